/* cheapest.h - blocks of operations, what each wants of the bench, and an order that holds: an order
 * that loses less. Knows nothing of facts. */
#ifndef PLAN_CHEAPEST_H
#define PLAN_CHEAPEST_H

#include "plan_private.h"

/* Blocks are numbered from 0; both lists of what follows what are complete. */
struct cheapest {
    struct arena *arena;
    const struct cost_weights *weights;
    size_t count;
    const size_t *start;               /* what follows block b: after[start[b]..start[b+1]) */
    const uint32_t *after;
    const size_t *back_start;          /* what it follows */
    const uint32_t *before;
    const size_t *wants_start;
    const struct cost_wants *wants;    /* of its operations, in their order */
    const bool *at_once;               /* finished as soon as something has made it possible */
    const bool *late;                  /* as late as what follows it allows: trials */
    size_t *order;                     /* in: an order that holds; out: one that loses no more */
};
/* Exact for few blocks; for more, the cheapest that a search of bounded breadth meets. Every order that
 * it looks at keeps what follows what, does what is `at_once` before anything else, and what is `late`
 * directly before what needs it. */
void plan_cheapen(struct cheapest *problem);

#endif
