/* plan_private.h - what the files of the solver share. check.c, the replay, includes none of it.
 *
 *   place.c    who is made up on whom: units, what goes in where
 *   tasks.c    facts -> operations
 *   metal.c    facts -> precedences of parts and seals      (1 2 4 5 11 12 13)
 *   bolts.c    facts -> precedences of joints               (3 6 7)
 *   readings.c facts -> precedences of readings, settings, passages, trials (3 7 8 9 10 14)
 *   order.c    precedences -> order by the rule of what comes next
 *   amend.c    what depends on the order itself: heat, settings read again, joints left untight
 *   loop.c     a contradiction as a story; open_time.c what breaks into a sealant's open time
 *   phases.c   the whole plan: strip, trials written out, first run
 *   prepare.c  as it comes in: stock; between strip and build: clean, inspect, outwork, goods in
 *   follow.c   what is tightened again after a run, and what comes off for it
 *   setup.c    last chance to see, set-ups      cards.c   cards
 *   cost.c     weights, and what an order loses; cheapest.c an order that loses less
 *   advise.c   which `before` would save most
 *   why.c      a chain of facts from one operation to another, or the rule that decided
 *   resume.c   the state of the engine when some of it is done; done.c the list of that; reach.c what must
 *              come off again
 *   network.c, schedule.c   what follows what over the whole job, and when
 */
#ifndef GUDGEON_PLAN_PRIVATE_H
#define GUDGEON_PLAN_PRIVATE_H

#include <gudgeon/plan.h>

/* How the rule of what comes next treats a task. */
enum task_class {
    TASK_FIT,    /* wanted in file order */
    TASK_LOOSE,  /* readings and proving of loose pieces: as soon as nothing holds them up */
    TASK_FINISH, /* done at once when something has made it possible */
    TASK_LAZY,   /* trials, cure: only when something needs it */
};

/* Why a task was taken when it was: the rule of what comes next that decided. */
enum taken {
    TAKEN_LOOSE, /* rule 1: a loose piece, and nothing held it up any more */
    TAKEN_NEXT,  /* rule 2: the next part of the engine in file order */
    TAKEN_NEED,  /* rule 3: `taken_for` needs it */
    TAKEN_BEGUN, /* rule 4: `taken_for` had made it possible */
    TAKEN_REST,  /* nothing needed it, so it was left until all parts were on */
};

/* An operation while it is being ordered. A trial is one task; phases.c writes it out. */
struct task {
    struct operation op; /* first: an operation of the plan is its task */
    enum task_class class;
    size_t rank;         /* file order, made place by place */
    size_t index;        /* in maker->tasks */
    size_t at;           /* in the order found last */
    bool ghost;          /* a strip reading's place in the build: ordered, never printed */
    enum taken taken;
    const struct task *taken_for, *block; /* block: the head of what it must stand together with */
};

struct glue { /* b directly follows a: nothing from outside between them */
    size_t edge; /* its precedence */
};

/* What the solver knows of an entry, beside the entry itself. */
struct info {
    struct entry *entry;
    struct task *first, *last; /* of the build */
    /* parts */
    struct part *carrier;      /* the unit in which it is made up; NULL: on the engine */
    size_t depth;              /* of that unit */
    size_t listed, climbed;    /* the last list that holds it, the last climb that met it */
    struct part *brought_by;   /* the part whose going-in takes this one along */
    bool unit;                 /* parts are made up on it before it goes in */
    bool placed;               /* sits on the engine, by itself or on its hosts */
    struct task *fit;          /* NULL: the first part, and those that stay */
    struct { struct part **items; size_t count, room; } children;   /* placed on it */
    struct { struct part **items; size_t count, room; } carried;    /* made up on it */
    struct { struct part **items; size_t count, room; } listed_by;  /* whose `with` names it */
    struct { struct joint **items; size_t count, room; } held_by;
    /* joints */
    struct task *nip, *tighten, *retighten, *lock;
    struct { struct seal **items; size_t count, room; } faces;      /* joint: faces it pulls */
    struct { struct joint **items; size_t count, room; } in_turns;  /* joint: pulled in turns with */
    bool brought;              /* joint: something is brought right `by` it */
    /* seals */
    struct task *lay, *cure;
    struct { struct joint **items; size_t count, room; } pulled_by; /* seal: its joints */
    /* limits, fits, settings, passages, steps, trials */
    struct task *bench, *assembled, *made, *whole;
    struct part *where;        /* the unit in which its build operations happen */
    struct { struct fit **items; size_t count, room; } pressed_by;  /* part: fits it is pressed in by */
    struct { struct trial **items; size_t count, room; } found_by;  /* limit: trials */
    struct { struct entry **items; size_t count, room; } upsets;    /* setting: read again after */
    bool as_found, off;        /* read in the strip; part: taken off in it */
    bool washed;               /* part: a drilling, a face or a plug's hole in it must be clean */
    bool set_last;             /* setting: made when the build is done */
};

struct plan_paths { /* what precedences lead to, as the order was found and with what was added since */
    size_t *seen, stamp;
    size_t linked;          /* precedences that `added` has seen */
    size_t *added_of;       /* by clump: 1 + the last in `added` that starts from it */
    struct { struct { size_t edge, next; } *items; size_t count, room; } added;
    bool backward;          /* one of them goes against the order */
};

struct maker {
    struct context *context;
    struct arena *arena;
    const struct build *build;
    const struct spec *spec;
    struct plan *plan;
    uint32_t without;
    bool replay;
    struct info *infos;
    size_t info_count;
    struct { struct task **items; size_t count, room; } tasks;
    struct { struct glue *items; size_t count, room; } glues;
    struct { struct task **items; size_t count, room; } order; /* of the final build */
    const struct plan_graph *graph; /* with which that order was found */
    const struct plan_graph *plain; /* the same without clumps, once it was asked for */
    struct plan_paths paths;        /* plan_path's own */
    size_t listing, climb;          /* the list of parts, the climb over hosts, being made */
    bool heated;                    /* amend.c has seen to the heat */
    const struct cost_wants *wants; /* by task, once an order is found */
    const struct plan_advice *also; /* a `before` more than the facts say, or NULL */
    bool cheapest;                  /* of all orders one that loses little */
};

static inline struct info *plan_info(const void *entry)
{
    return ((const struct entry *)entry)->plan_data;
}

/* An operation's unit is an entry in the plan and a part in here. */
static inline struct part *plan_op_unit(const struct operation *op)
{
    return (struct part *)op->unit;
}
static inline void plan_set_unit(struct operation *op, struct part *unit)
{
    op->unit = (struct entry *)unit;
}

/* ---------- place.c ---------- */
/* False: a `with` that cannot be, reported. */
bool plan_place_parts(struct maker *maker);
struct part *plan_solid(struct part *part);                /* the part that moves: hosts of what stays */
struct part *plan_unit_of(struct part *part);              /* itself if it is one, else its carrier */
struct part *plan_common(struct part *a, struct part *b);  /* smallest unit that holds both */
bool plan_inside(const struct part *unit, const struct part *outer); /* outer NULL: always */
/* The task by which the part arrives in `unit`; NULL: it is there from the start, or never. */
struct task *plan_arrival(struct part *part, const struct part *unit);
/* The same seen from work in `unit`: NULL too where the part is that unit or holds it. */
struct task *plan_at_hand(struct part *part, struct part *unit);
/* Parts that an entry is `of`: sizes' parts for fits and limits, an assembly's members. */
struct parts { struct part **items; size_t count, room; };
/* `parts` starts empty. */
void plan_parts_of(struct maker *maker, struct entry *entry, struct parts *parts);
bool plan_has(const struct refs *refs, const void *entry);
bool plan_has_ref(const struct ref *ref, const void *entry);
struct part *plan_as_part(const struct entry *entry);
struct joint *plan_as_joint(const struct entry *entry);
/* Tasks by which a part first comes in: its fit, its seal, or the joints that use it. */
struct entering { struct task **items; size_t count, room; };
void plan_entering(struct maker *maker, struct part *part, struct entering *out);

/* ---------- tasks.c ---------- */
void plan_make_tasks(struct maker *maker);
struct task *plan_task(struct maker *maker, enum verb verb, enum task_class class,
                       struct entry *entry, const char *id);
const char *plan_cause(const struct entry *entry, const struct entry *cause); /* for ids */
bool plan_seal_lays(const struct seal *seal); /* gasket or sealant to put on */
double plan_open_time_s(const struct seal *seal);
double plan_cure_s(const struct seal *seal);
bool plan_has_picked(const struct limit *limit, const struct part *part);

/* ---------- edges ---------- */
/* `before` is done before `after`, because. Either may be NULL: then nothing is said. */
void plan_edge(struct maker *maker, int implication, struct task *before, struct task *after,
               struct span span, const char *format, ...) STR_PRINTF(6, 7);
void plan_edge_default(struct maker *maker, int implication, struct task *before,
                       struct task *after, struct span span, const char *format, ...)
    STR_PRINTF(6, 7);
/* The same, and nothing from outside may stand between. */
void plan_glue(struct maker *maker, int implication, struct task *before, struct task *after,
               struct span span, const char *format, ...) STR_PRINTF(6, 7);

void plan_metal(struct maker *maker);
void plan_bolts(struct maker *maker);
void plan_readings(struct maker *maker);
void plan_trials(struct maker *maker);
bool plan_is_tight(const struct maker *maker, const struct fit *fit); /* by its values, or `want` */
/* The opening by which a reading is reached, said or by default (then *from is the part whose
 * `through` it is); NULL: from outside. `from` may be NULL. */
const struct ref *plan_reach_of(struct maker *maker, struct entry *entry,
                                const struct part **from);
/* Before what the setting is reached through closes, and before what it lies under. */
void plan_setting_hidden(struct maker *maker, struct setting *setting, struct task *task,
                         struct part *unit);
/* `task`, done in `unit`, is before the closers of the opening that it is reached through, except
 * closers in `spared` (may be NULL). */
struct closing {
    int implication;
    const struct part *by_default; /* whose `through` is taken for want of a reach, or NULL */
    struct task *task;
    struct part *unit;
    const struct refs *spared;
    struct span span;
};
void plan_before_closing(struct maker *maker, const struct closing *closing,
                         const struct opening *opening);
/* Everything that `parts` need to be in and tight within `unit`, before `task`. */
void plan_in_and_tight(struct maker *maker, int implication, struct task *task,
                       struct part *unit, const struct parts *parts, const struct joint *loose);

/* ---------- order.c, loop.c, amend.c ---------- */
void plan_rank(struct maker *maker);  /* file order, neighbours place by place */
bool plan_order(struct maker *maker); /* fills maker->order and task->at; false: a loop, reported */
struct plan_graph {                   /* clumps of tasks and the precedences between them */
    size_t clumps, edges, tasks;
    size_t *clump_of;                 /* by task */
    size_t *start, *edge;             /* outgoing precedences of clump c: edge[start[c]..start[c+1]) */
    uint32_t *after;                  /* to which clump each of them leads */
    size_t *back_start;               /* incoming: from which clumps, before[back_start[c]..) */
    uint32_t *before;
    size_t *member_start, *member;    /* tasks of a clump, in their order */
};
/* Each task a clump of its own. */
const struct plan_graph *plan_plain(struct maker *maker);
void plan_tell_loops(struct maker *maker, const struct plan_graph *graph, const bool *done);
void plan_keep_open_times(struct maker *maker); /* reports what cannot be kept */
/* True when something was added and the order must be found again. */
bool plan_amend(struct maker *maker);
bool plan_path(struct maker *maker, const struct task *from, const struct task *to);

/* ---------- why.c ---------- */
/* By its id, or the last operation of the build of an entry or member; or NULL. */
const struct operation *plan_named(struct arena *arena, const struct plan *plan, const char *name);

/* ---------- cost.c ---------- */
/* What a clump wants of the bench. 0: it does not care. Alike numbers are alike wants. */
struct cost_wants {
    uint32_t wants[COST_WAIT];
    bool cools;    /* whatever was hot before it is cold after it */
    int64_t work_s;
    int64_t wait_s; /* of waiting: since all before it was done */
};
struct cost_bench { /* what stands, while an order is gone through */
    uint32_t stands[COST_WAIT];
};
/* The built-in weights (templates/cost.yaml), or those of `path`. NULL after an error. */
const struct cost_weights *plan_weights(struct context *context, const char *path);
/* By task of maker->tasks. */
struct cost_wants *plan_wants(struct maker *maker);
/* Seconds lost in changing the bench from what stands to what is wanted; told in `cost` where that is
 * not NULL. */
static inline int64_t plan_change(const struct cost_weights *weights, struct cost_bench *bench,
                                  const struct cost_wants *wants, struct plan_cost *cost)
{
    int64_t lost = 0;

    for (int kind = 0; kind < COST_WAIT; kind++) {
        if (!wants->wants[kind] || wants->wants[kind] == bench->stands[kind])
            continue;
        if (bench->stands[kind] || kind == COST_HEAT) {
            lost += weights->lost_s[kind];
            if (cost) {
                cost->lost_s[kind] += weights->lost_s[kind];
                cost->times[kind]++;
            }
        }
        bench->stands[kind] = wants->wants[kind];
    }
    if (wants->cools)
        bench->stands[COST_HEAT] = 0;
    return lost;
}
/* Of the order found last. */
struct plan_cost plan_cost_of(struct maker *maker, const struct cost_wants *wants);
/* The order found last made cheaper: maker->order and task->at. */
void plan_find_cheapest(struct maker *maker);

/* ---------- advise.c ---------- */
struct plan_advices {
    struct plan_advice *items;
    size_t count, room;
};
/* For the predictable order found last. Their costs are estimates. */
struct plan_advices plan_candidates(struct maker *maker);

/* ---------- phases.c, follow.c, setup.c, cards.c ---------- */
struct writer {
    struct maker *maker;
    size_t numbers[PHASE_COUNT];
};
struct operation *plan_write_op(struct writer *w, enum phase phase, struct operation *op);
/* A new operation; `at` is what made a repeated one due, or NULL. */
struct operation *plan_new_op(struct writer *w, enum phase phase, enum verb verb,
                              struct entry *entry, const char *at);
/* What is tightened again after a run, with what lies over it. */
void plan_follow_up(struct writer *w, struct run *run);
bool plan_was_there(const struct part *part); /* when the engine came in: neither missing nor made */
/* Intake; and clean, inspect, outwork, goods in. */
void plan_take_stock(struct writer *w);
void plan_prepare(struct writer *w);
void plan_write_out(struct maker *maker);
void plan_setups(struct maker *maker);
const char *plan_crank_text(struct arena *arena, const struct entry *entry); /* or NULL */
void plan_deal_cards(struct maker *maker);
bool plan_trial_holds(const struct trial *trial, const struct part *part);

#endif
