/* compare_private.h - what the files of this folder share. */
#ifndef GUDGEON_COMPARE_PRIVATE_H
#define GUDGEON_COMPARE_PRIVATE_H

#include <gudgeon/compare.h>

struct comparer {
    struct context *context;
    struct arena *arena;
    struct comparison *comparison;
    const struct plan *was, *is;
};

/* edits.c: entries, keys and rows of the user's own tables */
void compare_edits(struct comparer *comparer);
/* values.c: facts and verdicts, each with the reasons from its chain */
void compare_values(struct comparer *comparer);
/* order.c */
void compare_steps(struct comparer *comparer);
/* lists.c: purchases and weights */
void compare_purchases(struct comparer *comparer);
void compare_weights(struct comparer *comparer);
/* cards.c; last, since a card on which nothing changed may still be written in other units */
void compare_cards(struct comparer *comparer);

/* alike.c: two texts that say the same, though in other units: their words are equal, and their quantities
 * agree as printed, each standing for half a unit of its last digit either way. */
bool compare_alike(struct arena *arena, const char *was, const char *is);

/* "wrenches, small, range" of a key with dots; never NULL. */
const char *compare_key_text(struct arena *arena, const char *key);

/* Whether an entry, or one of the parts a fact's size belongs to, was edited. */
bool compare_touches(const struct comparison *comparison, const struct entry *entry);

#endif
