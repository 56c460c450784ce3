/* schedule_private.h - the network of a job: its operations, what is away, what is on its way.
 *
 *   network.c   plan -> nodes and what follows what       schedule.c   network -> days */
#ifndef PLAN_SCHEDULE_PRIVATE_H
#define PLAN_SCHEDULE_PRIVATE_H

#include <gudgeon/schedule.h>

/* Nodes are the plan's operations in their order, then the lines to buy, then the jobs sent out. */
struct network {
    struct arena *arena;
    const struct plan *plan;
    size_t operations, purchases, count;
    size_t *lane;                  /* by operation: the place of work: 0 the engine, a unit, or a
                                      loose piece by itself */
    size_t lanes;
    struct { struct network_edge { size_t from, to; } *items; size_t count, room; } edges;
    size_t *start, *edge;          /* outgoing edges of a node, once it is linked */
    size_t *back_start, *back_edge;
    const struct operation **first_user; /* by purchase and job: what needs it first */
    bool usual;                    /* as if no supplier had offered another delivery */
};

struct network *network_of(struct arena *arena, const struct plan *plan);
bool network_is_dated(const struct operation *op); /* false: follow-up */
static inline bool network_is_wait(const struct operation *op)
{
    return op->verb == VERB_WAIT;
}

#endif
