/* lay_out_private.h - a comparison on its way into a pack. */
#ifndef GUDGEON_COMPARE_LAY_OUT_PRIVATE_H
#define GUDGEON_COMPARE_LAY_OUT_PRIVATE_H

#include "compare_private.h"

struct layer {
    struct packer *packer;
    struct arena *arena;
    const struct comparison *comparison;
    const struct qty_unit *mass_unit;
    uint8_t mass_places;
};

/* Where a card stands on the page: a row of its own, or a name in a list. */
enum card_list { CARD_TABLE, CARD_STATE /* nothing but where work is resumed changed */, CARD_VALID,
                 CARD_RESPELT };
enum card_list compare_card_list(const struct layer *layer, const struct compare_card *card);

/* tables.c: a table each; without rows where nothing differs */
/* `all`: the cards on which only the state changed too, as a sheet has them. */
const struct table *compare_card_table(struct layer *layer, bool all);
const struct table *compare_value_table(struct layer *layer);
const struct table *compare_order_table(struct layer *layer);
const struct table *compare_purchase_table(struct layer *layer);
const struct table *compare_edit_table(struct layer *layer, bool parts);
/* `all`: the parts that weigh the same one by one too, as a sheet has them. */
const struct table *compare_weight_table(struct layer *layer, bool all);
/* An entry in a few words: what would be looked for in a parts list. */
const char *compare_entry_text(struct layer *layer, struct entry *entry);
/* What tells one side from the other at the head of a column: the engine, variant or serial number; else
 * before and now. */
const char *compare_side_word(const struct layer *layer, bool now);

/* engines.c: two engines side by side, and which parts they share */
void compare_add_engines(struct layer *layer, struct section *section);

#endif
