/* resume.h - plan and what is done of it in; the state of the engine, and what must come off again to
 * reach a part, out.
 *
 * The state is replayed from the operations in the order of the plan; no order changes by it. */
#ifndef GUDGEON_RESUME_H
#define GUDGEON_RESUME_H

#include <gudgeon/plan.h>

struct resume_list { /* in the order in which they came to be so */
    struct entry **items;
    size_t count, room;
};

/* Why the crank must stay where it is. */
enum resume_hold {
    HOLD_SETTING, /* a setting is made and the joint that it is brought right by is not yet tight */
    HOLD_JOINT,   /* a joint is loose that holds what went on at a position of the crank */
    HOLD_SLAVE,   /* a part that only helps is still in */
};

struct resume {
    const struct plan *plan;
    const bool *done;              /* by operation */
    size_t done_count;
    const struct operation *next;  /* the first that is not done, or NULL */
    bool building;                 /* something of the build, or a trial, is done */
    bool *on;                      /* by entry->order: a part that is on its host */
    bool *tight;                   /* by entry->order: a joint */
    struct resume_list off;        /* stripping: taken off the engine */
    struct resume_list fitted;     /* building: on the engine */
    struct resume_list bench;      /* units that are being made up */
    struct resume_list loose;      /* joints that are not tight, though what they hold is on */
    struct resume_list torqued;    /* tight, the lock still to come */
    struct resume_list locked;     /* tight, and locked where there is a lock */
    struct resume_list open;       /* openings with something still to go in by */
    struct resume_list pasted;     /* faces with sealant on them and not yet pulled together */
    struct resume_list curing;     /* faces whose sealant must still cure */
    struct resume_list warm;       /* fits heated and not yet put together; the run just done */
    struct { struct { struct entry *entry; enum resume_hold why; } *items; size_t count, room; } holds;
    const char *side_up, *crank_at, *engine_is; /* as last asked for, or NULL */
};
/* done: by operation, in the order of the plan; must outlive what comes back. */
struct resume *resume_after(struct arena *arena, const struct plan *plan, const bool *done);

/* What is done, from a file: an id of an operation or a card on each line, `#` begins a remark; where one
 * id names both, `card ID` or `operation ID`. By operation; NULL after an error: an id that nothing has, or
 * something done before what must come before it. `path` is named on the command line. */
const bool *resume_read_done(struct context *context, const struct plan *plan, const char *path);

/* `order --reach PART --at OP`: what must come off again to reach a part, once `at` is done (NULL: when
 * all is done); what is then spent and what must be set or read again. Text. */
void resume_print_reach(const struct plan *plan, const struct part *part, const struct operation *at,
                        struct str_buf *out);

#endif
