/* pick_private.h - choosing pieces so that limits and fits hold.
 *
 * A variable is one picked part: its choices are packs of sold sizes or single loose pieces. A
 * demand is one limit or fit: fixed sizes plus so many times each variable. Demands that share a
 * variable are met together. */
#ifndef PICK_PRIVATE_H
#define PICK_PRIVATE_H

#include "resolve_private.h"

enum { PICK_DEMAND_VARS = 6, PICK_CHOICES = 4000, PICK_NODES = 300000, PICK_OTHERS = 40 };

struct choice {
    struct range range;
    const struct phrase *words;
    const struct sold **sold; /* `count` of them, repeats included */
    const struct loose *loose;
    size_t count;
};
struct variable {
    struct part *part;
    struct size *size;
    struct {
        struct choice *items;
        size_t count, room;
    } choices;
    bool made; /* `fitted` leaves one choice */
    bool cut_short; /* there are more packs than are held */
    size_t set; /* number of the set of demands met together */
    size_t chosen, best; /* indices of choices */
    struct fact *fact; /* the choice, once it is made */
};
struct demand {
    struct limit_values *limit; /* or */
    struct fit_values *fit;
    struct entry *entry;
    struct fact *want;
    struct span want_span;
    struct range base; /* of all that is not picked */
    struct {
        struct pick_fixed { struct fact *fact; int times; } *items;
        size_t count, room;
    } inputs; /* all that is not picked */
    const char *unknown; /* what of it is not known, or NULL */
    struct span unknown_span;
    struct variable *vars[PICK_DEMAND_VARS];
    int times[PICK_DEMAND_VARS];
    size_t var_count;
    size_t set;
};
struct picking {
    struct resolver *r;
    struct {
        struct variable **items;
        size_t count, room;
    } variables;
    struct {
        struct demand *items;
        size_t count, room;
    } demands;
};

/* Every pack of sold sizes and every loose piece of a variable, or the one that is fitted. */
void pick_offer(struct resolver *r, struct variable *variable);
/* "0.15 mm (red)" */
struct phrase *pick_sold_words(struct resolver *r, const struct sold *sold);
struct range pick_sold_range(const struct sold *sold, const struct size *size);
void pick_add_pack(struct resolver *r, struct variable *variable, const struct sold *const *sold,
                   size_t count);

/* The search over one set of variables. */
struct search {
    struct picking *picking;
    struct variable **vars;
    size_t count;
    struct demand **demands;
    size_t demand_count;
    bool may; /* an overlap is enough: it may hold */
    bool found;
    double score; /* distance from the middles, in half widths */
    size_t pieces;
    size_t nodes; /* tried so far */
    bool bounded; /* there is more than was tried */
};
/* Finds the best; `found` says whether there is one. One pack of sold sizes: calc_pick; loose
 * pieces for places of their own: calc_assign; what is coupled otherwise: depth first. */
void pick_search(struct search *search);
bool pick_is_pack(const struct search *search);
struct range pick_result_range(const struct demand *demand); /* with the choices as they stand */
/* Whether a demand holds in the worst case, or (may) in some. */
bool pick_holds(const struct demand *demand, bool may);
/* As a size says: 0 nearest, -1 down, 1 up. */
int pick_rounding(const struct size *size);
double pick_distance(const struct demand *demand);
bool pick_taken(const struct search *search, const struct variable *but, const struct loose *piece);
bool pick_stock_holds(const struct search *search, size_t upto);

#endif
