/* pack_private.h - what the files of this folder share: the packer, and small ways to add blocks. */
#ifndef GUDGEON_PACK_PRIVATE_H
#define GUDGEON_PACK_PRIVATE_H

#include <gudgeon/pack.h>

#include <string.h>

enum pack_part { PART_COVER, PART_OVERVIEW, PART_CARDS, PART_TORQUES, PART_LIMITS, PART_SETTINGS,
                 PART_FOLLOW_UP, PART_SOURCES, PART_QUESTIONS, PART_ACCEPTED, PART_COUNT };

/* The template with what only this folder needs to know. */
struct layout {
    struct template template;
    enum pack_part parts[PART_COUNT];
    size_t part_count;
};

struct packer {
    struct context *context;
    struct arena *arena;
    const struct layout *layout;
    const struct labels *labels;
    const struct plan *plan;
    const struct build *build;
    const struct spec *spec;
    struct pack *pack;
};

#define L(packer, key) label((packer)->labels, key)

/* --- texts: a value as a card prints it, or NULL when there is nothing to print --- */
const char *text_of_value(struct packer *packer, const struct qty_value *value);
const char *text_of_claim(struct packer *packer, const struct claim *claim);
const char *text_of_fact(struct packer *packer, const struct fact *fact);
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
/* Why a value outside its limits is used all the same, who signed it and when. */
const char *text_of_concession(struct packer *packer, const struct limit *limit);
/* Place, phase, date, reader and source of every reading; its value too where asked. */
const char *text_of_readings(struct packer *packer, const struct readings *readings, bool values);

/* --- blocks --- */
struct block *block_add(struct packer *packer, struct section *section, enum block_kind kind);
void block_heading(struct packer *packer, struct section *section, uint8_t level, const char *text);
void block_text(struct packer *packer, struct section *section, const char *text);
void block_fact(struct packer *packer, struct block *facts, const char *label, const char *text);
struct table *table_new(struct packer *packer, const char *id);
void table_column(struct packer *packer, struct table *table, const char *key, const char *heading,
                  enum cell_kind kind, uint8_t weight);
struct cell *table_row_new(struct packer *packer, struct table *table);
struct cell cell_text(const char *text);
struct cell cell_count(struct packer *packer, int64_t count);

/* --- steps --- */
struct step_block *step_of(struct packer *packer, const struct operation *operation);
void step_field(struct packer *packer, struct step_block *step, const char *label_key,
                const char *text);
void step_field_strong(struct packer *packer, struct step_block *step, const char *label_key,
                       const char *text);
/* What else was worked out of an entry: a field each, by the end of its id. */
void step_more(struct packer *packer, struct step_block *step, const struct facts *more);
/* The id of a reading: an operation's id without its verb. */
const char *reading_id(const struct operation *operation);
/* The id of its torque readings, without their numbers; one tightening has one. */
const char *torque_id(struct packer *packer, const struct operation *operation);
/* How many ticks and readings a joint's torque has: one, or one a fastener where it is critical. */
int64_t torque_readings(const struct joint *joint);

/* --- sections --- */
void add_cover(struct packer *packer);
void add_overview(struct packer *packer);
void add_cards(struct packer *packer);
void add_summary(struct packer *packer, enum pack_part part);
void add_sheets(struct packer *packer);
void add_readings(struct packer *packer);
void add_kit(struct packer *packer, struct section *section, const struct plan_card *card);
/* The figure that an operation is shown by, after its step; none for most. */
void add_figure(struct packer *packer, struct section *section, const struct operation *operation);
struct section *section_new(struct packer *packer, enum section_kind kind, const char *id,
                            const char *title);
void section_source(struct packer *packer, struct section *section, const char *source);
/* A piece in hand, not yet or no longer of the build: how it is fitted does not matter then. */
bool is_of_piece(const struct operation *operation);
/* Sources of every value that an operation prints. */
void add_sources(struct packer *packer, struct section *section, const struct operation *operation);
/* What a card is called: by the plan, or what is measured loose from where on. */
const char *card_title(struct packer *packer, const struct plan_card *card);
/* The state on resuming, in labels and names. */
const char *state_before(struct packer *packer, const struct plan_card *card);
/* A user's own words, or those of the label set. */
const char *caution_text(struct packer *packer, const struct table_caution *caution);
/* Cautions that the facts of an operation call for, in table order. */
void cautions_of(struct packer *packer, const struct operation *operation,
                 void (*each)(struct packer *, void *, const struct table_caution *), void *user);
/* Those that the whole card calls for: its phase, the engine's duty. */
void cautions_of_card(struct packer *packer, const struct plan_card *card,
                      void (*each)(struct packer *, void *, const struct table_caution *),
                      void *user);
void fingerprint_section(struct packer *packer, struct section *section);
void dump_section(const struct section *section, struct json *json, bool whole);

/* Which label of a word list: "verb." + verb_word and the like. */
const char *label_of(struct packer *packer, const char *list, const char *word);

const struct layout *layout_load(struct context *context, const char *path);

#endif
