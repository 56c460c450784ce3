/* compare.h - two builds in, what differs between them and what follows from it out; as a pack that
 * every format serves, as text and as JSON.
 *
 * Entries meet by id, values by their fact's id, operations and cards by theirs. What means the same is
 * no difference, however it was written: another order in the file, another unit, another file of
 * `use` or `base`. What matters to the bench comes first: cards, values, order, purchases. */
#ifndef GUDGEON_COMPARE_H
#define GUDGEON_COMPARE_H

#include <gudgeon/pack_make.h>

struct compare_side {
    const char *name;              /* as the command line names it */
    const char *revision;          /* of git, or NULL */
    const struct plan *plan;
    const struct pack *pack;       /* its whole work pack: what stands on the cards */
};

enum change { CHANGE_NONE, CHANGE_NEW, CHANGE_GONE, CHANGE_CHANGED, CHANGE_MOVED,
              CHANGE_RESPELT /* says the same in other units */ };

struct compare_edit {              /* what was written differently: an entry, a key, a row of a table */
    enum change change;
    const char *section;           /* "parts", "shop", a table's file name */
    const char *owner;             /* "piston/2", "shop" */
    struct entry *entry;           /* in the later spec, else in the earlier; NULL outside entries */
    const char *key;               /* NULL: the whole entry */
    const struct spec_said *was, *is;
};
struct compare_value {             /* a fact, a verdict or a joint's pulls that is another */
    enum change change;
    const char *id;
    const struct fact *was, *is;   /* NULL: not there */
    const struct phrase *was_words, *is_words; /* of what is no fact */
    struct entry *entry;
    struct { const struct phrase **items; size_t count, room; } because;
};
struct compare_step {              /* an operation that is new, gone, or stands elsewhere */
    enum change change;
    const struct operation *was, *is;
    const struct precedence *because; /* that put it there, or NULL */
};
struct compare_purchase {
    enum change change;
    const struct purchase *was, *is;
};
struct compare_weight {            /* a part with all its places, in kg */
    const char *id, *name;
    bool was_there, is_there;      /* as a part at all */
    bool was_known, is_known;      /* all of its pieces are weighed */
    double was_kg, is_kg;
};
struct compare_card {
    enum change change;
    const struct section *was, *is;
    struct { const char **items; size_t count, room; } what; /* that changed on it */
};

struct comparison {
    struct compare_side was, is;
    bool engines;                  /* two engines, not two states of one: their names differ */
    struct { struct compare_edit *items; size_t count, room; } edits;
    struct { struct compare_value *items; size_t count, room; } values;
    struct { struct compare_step *items; size_t count, room; } steps;
    struct { struct compare_purchase *items; size_t count, room; } purchases;
    struct { struct compare_weight *items; size_t count, room; } weights;
    struct { struct compare_card *items; size_t count, room; } cards;
    size_t card_count[CHANGE_RESPELT + 1];
};

/* Both sides must have a plan and a pack of one template. Never NULL. */
struct comparison *compare_make(struct context *context, const struct compare_side *was,
                                const struct compare_side *is);
/* Whether nothing differs but how things are written. */
bool compare_is_same(const struct comparison *comparison);
/* As a pack without cards: what differs, for the bench first. NULL after a report. */
struct pack *compare_lay_out(struct context *context, const struct comparison *comparison,
                             const char *template_path);
/* "gudgeon-comparison": 1, and one array a kind of difference, empty where there is none. */
void compare_print_json(const struct comparison *comparison, struct json *json);

#endif
