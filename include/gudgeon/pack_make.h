/* pack_make.h - what packs are made with: sections, blocks, tables and cells, and values as a card prints
 * them. src/pack makes the work pack with it; src/compare and src/record make packs that hold no cards,
 * so that every format serves them too. */
#ifndef GUDGEON_PACK_MAKE_H
#define GUDGEON_PACK_MAKE_H

#include <gudgeon/pack.h>

#include <string.h>

struct layout; /* the template as src/pack reads it */

struct packer {
    struct context *context;
    struct arena *arena;
    const struct layout *layout;
    const struct labels *labels;
    const struct plan *plan;
    const struct build *build;
    const struct spec *spec;
    struct pack *pack;
    const char **card_titles;      /* by order of entries; made when first asked for */
};

#define L(packer, key) label((packer)->labels, key)

/* --- texts: a value as a card prints it, or NULL when there is nothing to print --- */
const char *text_of_value(struct packer *packer, const struct qty_value *value);
const char *text_of_claim(struct packer *packer, const struct claim *claim);
const char *text_of_number(struct packer *packer, const char *number); /* with the template's mark */
const char *text_of_fact(struct packer *packer, const struct fact *fact);
/* What an operation does: "Fit", "Heat", of a part that is chilled "Chill". */
const char *text_of_verb(struct packer *packer, const struct operation *op);
/* In the words of the label set. */
const char *text_of_phrase(struct packer *packer, const struct phrase *phrase);
/* "handbook p. 31" as a title and page, for the foot and the sources sheet. */
const char *text_of_source(struct packer *packer, const struct claim *claim);
/* Names of entries, joined by ", "; members of one group together: "Piston 1, 2". */
const char *text_of_entries(struct packer *packer, struct entry *const *entries, size_t count);
/* "Crankcase, front-bore" */
const char *text_of_size(struct packer *packer, const struct size_ref *ref);
const char *text_of_texts(struct packer *packer, const struct texts *texts);
const char *text_of_tools(struct packer *packer, const struct texts *tools); /* by their names */
const char *text_of_date(struct packer *packer, const struct date *date);
const char *text_of_gauge(struct packer *packer, const char *id);
const char *text_of_consumable(struct packer *packer, const char *id);
const char *text_of_wrench(struct packer *packer, const struct wrench *wrench);
const char *text_of_adapter(struct packer *packer, const char *id);
const char *text_of_oven(struct packer *packer, const struct oven *oven);
const char *text_of_tool(struct packer *packer, const char *id);
/* Where a fact comes from, or NULL. */
const char *text_of_origin(struct packer *packer, const struct fact *fact);
/* As a table cites its source, or NULL. */
const char *text_of_citation(struct packer *packer, const char *source);
/* "6 × 0.39 in (9.9 mm)", or NULL */
const char *text_of_holes(struct packer *packer, const struct outline *outline);
const char *text_of_hole_circles(struct packer *packer, const struct outline *outline);
/* Why a value outside its limits is used all the same, who signed it and when. */
const char *text_of_concession(struct packer *packer, const struct limit *limit);
/* Place, phase, date, reader and source of every reading; its value too where asked. */
const char *text_of_readings(struct packer *packer, const struct readings *readings, bool values);

/* --- blocks --- */
struct block *block_add(struct packer *packer, struct section *section, enum block_kind kind);
void block_heading(struct packer *packer, struct section *section, uint8_t level, const char *text);
void block_text(struct packer *packer, struct section *section, const char *text);
void block_fact(struct packer *packer, struct block *facts, const char *label, const char *text);
/* Nothing where there is no text. */
void fact_add(struct packer *packer, struct pack_facts *facts, const char *label, const char *text);
/* To be written in where there is no text. */
void fact_or_blank(struct packer *packer, struct pack_facts *facts, const char *label,
                   const char *text);
struct table *table_new(struct packer *packer, const char *id);
void table_column(struct packer *packer, struct table *table, const char *key, const char *heading,
                  enum cell_kind kind, uint8_t weight);
struct cell *table_row_new(struct packer *packer, struct table *table);
struct cell cell_text(const char *text);
struct cell cell_count(struct packer *packer, int64_t count);

struct section *section_new(struct packer *packer, enum section_kind kind, const char *id,
                            const char *title);
void section_source(struct packer *packer, struct section *section, const char *source);
struct sheet *sheet_new(struct packer *packer, const char *id, const char *name);
/* A quantity, in the unit it is written in or in `unit` (NULL: a bare number), or a sum of money as a
 * number in `cell`, its unit beside it. */
void cell_put_in_unit(struct packer *packer, struct cell *cell, struct qty qty,
                      const struct qty_unit *unit);
void cell_put_quantity(struct packer *packer, struct cell *cell, const struct qty *qty);

/* Which label of a word list: "verb." + verb_word and the like. */
const char *label_of(struct packer *packer, const char *list, const char *word);
/* The same for a word that may be the user's own: itself where the list has none. */
const char *label_or(struct packer *packer, const char *list, const char *word);

/* A block as the fingerprint of its card sees it: without running numbers. */
void pack_dump_block(const struct block *block, struct json *json);

/* A pack with nothing in it, in the paper, margins and words of the template at `path` (NULL: the built-in
 * one); values are printed as the shop of `build` prefers. NULL after a report. */
struct packer *packer_start(struct context *context, const char *path, const struct build *build);

#endif
