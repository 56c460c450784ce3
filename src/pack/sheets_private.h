/* sheets_private.h - what the sheets of parts.xlsx share: columns as rows of a table, cells. */
#ifndef GUDGEON_PACK_SHEETS_PRIVATE_H
#define GUDGEON_PACK_SHEETS_PRIVATE_H

#include <gudgeon/schedule.h>

#include "pack_private.h"

struct sheet_column {
    const char *key, *label;       /* for formulas, and of the label set */
    enum cell_kind kind;
    uint8_t weight;
    bool fill;
};
#define COLUMN_COUNT(columns) (sizeof(columns) / sizeof *(columns))

struct table *sheet_table(struct packer *packer, const char *id, const struct sheet_column *columns,
                          size_t count);
/* A sheet of parts.xlsx; none for a table without rows. */
void sheet_add(struct packer *packer, const char *id, struct table *table);
struct cell *sheet_foot(struct packer *packer, struct table *table);

struct cell unit_cell(const struct cell *quantity);
/* `text` with its value now; a formula that gives words has them as `result`. */
struct cell cell_formula(const char *text, double number, const char *unit);
struct cell cell_formula_words(const char *text, const char *result);
/* `words` as a string of a formula, in its quotation marks. */
const char *formula_string(struct packer *packer, const char *words);

/* The card on which an entry is fitted, tightened or read, or NULL. */
const char *sheet_card_of(struct packer *packer, const struct entry *entry);
struct cell card_cell(struct packer *packer, const struct entry *entry);
const char *supplier_name(struct packer *packer, const struct supplier *supplier);
/* All that a supplier must be told of a line so that nothing else can be meant, but its sizes. */
const char *asked_text(struct packer *packer, const struct purchase *buy);
/* Which engines the form of an entry is for, "serial ..2199", or NULL. */
const char *effectivity(struct packer *packer, const struct entry *entry);

void add_parts(struct packer *packer);
void add_fasteners(struct packer *packer);
void add_sorting(struct packer *packer);
void add_inventory(struct packer *packer);
void add_weights(struct packer *packer);
void add_gasket_sheet(struct packer *packer);
void add_bearings(struct packer *packer);
void add_to_buy(struct packer *packer, const struct schedule *schedule);
void add_outwork(struct packer *packer, const struct schedule *schedule);
void add_budget(struct packer *packer);
void add_enquiries(struct packer *packer);
void add_offers(struct packer *packer);
void add_limits_sheet(struct packer *packer);
void add_hours(struct packer *packer);
void add_materials(struct packer *packer);

#endif
