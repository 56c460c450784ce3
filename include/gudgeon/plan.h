/* plan.h - resolved build in, ordered plan out.
 *
 * Operations are derived from the facts (specs/LANGUAGE.md section 6), each precedence knows its
 * implication, reason and place, and ties follow the rule of what comes next. A separate piece of
 * code (plan_check) replays the finished order from the build, never from the precedences. */
#ifndef GUDGEON_PLAN_H
#define GUDGEON_PLAN_H

#include <gudgeon/resolve.h>

enum phase { PHASE_INTAKE, PHASE_STRIP, PHASE_CLEAN, PHASE_INSPECT, PHASE_OUTWORK, PHASE_GOODS_IN,
             PHASE_TRIAL, PHASE_FINAL, PHASE_SET, PHASE_FIRST_RUN, PHASE_FOLLOW_UP, PHASE_COUNT };
const char *phase_name(enum phase phase); /* "final" */

/* What is done; the word is the first half of an operation's id, `VERB:ID/PLACE`. */
enum verb {
    VERB_FIT,        /* part goes in (or on) */
    VERB_REMOVE,     /* part comes off: slave parts, trials, strip, follow-up */
    VERB_SLACKEN,    /* joint undone */
    VERB_NIP, VERB_TIGHTEN, VERB_LOCK, VERB_RETIGHTEN /* again */, VERB_WAIT,
    VERB_READ,       /* limit or fit or outwork size at a moment */
    VERB_SET,        /* setting made */ VERB_READ_AGAIN, /* setting read again */
    VERB_PROVE,      /* passage: a loose piece, a gasket's hole, or the whole */
    VERB_SEAL,       /* gasket laid or sealant spread */
    VERB_DO,         /* a step */
    VERB_WITNESS, VERB_HEAT,
    VERB_RUN,        /* running-in */
    VERB_SEND, VERB_MEASURE_RETURN, /* outwork */
    VERB_TRIAL,      /* opens a trial: words only */
    VERB_INSPECT, VERB_COUNT_BACK,
    VERB_TAKE_STOCK, /* intake: what should be there */
    VERB_CLEAN, VERB_COUNT
};
const char *verb_word(enum verb verb);

struct operation {
    const char *id;                /* "fit:crankshaft", "top-ring-gap/2@bench", "final:…" never: see
                                      specs/LANGUAGE.md, ids; unique in the plan */
    enum verb verb;
    enum phase phase;
    struct entry *entry;           /* whose operation it is */
    struct entry *object;          /* what it acts on beside the entry: the piece proved, what a
                                      setting is read after, the part heated, the run that a
                                      follow-up follows; or NULL */
    unsigned moment;               /* of a reading: MOMENT_* */
    size_t number;                 /* 1-based in its phase, printed only */
    size_t order;                  /* index in plan->operations */
    struct entry *unit;            /* the unit on the bench in which it happens; NULL: on the engine */
    bool loose;                    /* of a loose piece on the bench, in no unit */
    struct trial *trial;           /* within that trial, or NULL */
    size_t card;                   /* index in plan->cards */
    const char *turns;             /* "before this: turn the crank to …", set-up changes, or NULL */
    /* what becomes unreachable with this operation: last chance to see */
    struct { struct entry **items; size_t count, room; } hides;
    /* taking off in the strip: joints that hold the part and are not in plain view */
    struct { struct entry **items; size_t count, room; } fixings;
    const char *kind;              /* inspection: "dye"; NULL for all others */
    int64_t at_least_s;            /* waiting: clock seconds; 0 none */
    bool after_nip;                /* tighten: the joint was nipped before, its hardware is in */
};

struct precedence {
    struct operation *before, *after;
    uint8_t implication;           /* 1..14 of section 6 */
    bool by_default;               /* a default, named as one */
    const char *reason;            /* a clause: "the crankshaft goes in through timing-opening,
                                      which the timing cover closes" */
    struct span span;
};

/* ---------- what an order loses ---------- */

/* Minutes of work lost between operations, by cause. A change counts where an operation wants another
 * than stands; the first of each is no change, but every heating is one. */
enum cost_kind { COST_CARD, COST_SIDE, COST_CRANK, COST_ENGINE, COST_WRENCH, COST_PASTE, COST_HEAT,
                 COST_WAIT /* idle until something has cured or rested */, COST_COUNT };
const char *plan_cost_word(enum cost_kind kind); /* "card", the key of templates/cost.yaml; "wait" */
struct cost_weights {
    int64_t lost_s[COST_WAIT];     /* seconds of each change */
    int64_t work_s[VERB_COUNT];    /* of an operation whose entry says no `takes` */
    int64_t day_s;                 /* at the bench, of one day */
};
struct plan_cost {
    int64_t total_s;               /* the one number */
    int64_t lost_s[COST_COUNT];
    size_t times[COST_COUNT];
};

/* A `before` that no fact asks for, and what the predictable order would lose with it. */
struct plan_advice {
    struct entry *first, *second;  /* first NULL: none was found */
    struct plan_cost cost;
};

struct plan_card {
    const char *id;                /* "final:timing-side", "strip:…", "trial:mains" */
    const char *title;
    enum phase phase;
    struct operation **operations;
    size_t count, room;
};

struct plan {
    const struct build *build;
    struct { struct operation **items; size_t count, room; } operations; /* strip … follow-up, in order */
    struct { struct precedence *items; size_t count, room; } precedences;
    struct { struct plan_card *items; size_t count, room; } cards;
    size_t setups;                 /* changes counted: turned over, crank turned, heat */
    const struct cost_weights *weights;
    struct plan_cost cost;         /* of the build */
    struct plan_cost predictable;  /* of the cheapest plan: what the predictable one loses, and */
    struct plan_advice advice;     /* the single `before` that would save most of it */
};

/* Off switches of single implications, for the test that each is caught by the checker. */
struct plan_options {
    uint32_t without;              /* bit n: implication n is not derived; the replay is left out */
    bool replay;                   /* even so: what it finds is then G0799 */
    bool cheapest;                 /* not predictable first, but an order that loses little */
    const char *weights;           /* a file of weights laid over the built-in ones, or NULL */
};
/* NULL after an error: a contradiction (told as the shortest loop) or incompleteness of order. */
struct plan *plan_make(struct context *context, const struct build *build,
                       const struct plan_options *options);

/* Whether a joint is locked in an operation of its own: a self-locking nut and paste on the thread are
 * locked by tightening. */
bool plan_locks_apart(const struct joint *joint);

/* The joints that pull the faces of a seal together, of a planned build. */
struct joint *const *plan_pulled_by(const struct seal *seal, size_t *count);

/* Adds to the purchases of the build what follow-ups spend on opening and closing again. */
void plan_spend(struct context *context, struct build *build, const struct plan *plan);

/* The replay: true when the operations, in this order, hold every fact of the build. Takes no
 * precedence. The first fault is told in `fault` (and its implication). */
struct plan_fault {
    uint32_t overlook;             /* in: bit n: what breaks implication n (0: what is due) passes, for
                                      the test that each is needed */
    uint8_t implication;
    const struct operation *operation;
    const char *words;
};
bool plan_check(struct arena *arena, const struct build *build,
                struct operation *const *operations, size_t count, struct plan_fault *fault);

/* The outermost unit on the bench in which it happens; NULL: on the engine, or a loose piece. */
struct part *plan_whole_unit(const struct operation *op);
const struct operation *plan_operation(const struct plan *plan, const char *id);
/* Why one operation comes before another: the shortest chain of precedences, or that they are free
 * of each other and which rule put them so. Text for `why SPEC A B`. `b` NULL: every reason why `a`
 * stands where it does (what had to come before it, what waits for it). A word may be an entry or member id:
 * then its last operation of the build is meant. */
void plan_why(struct context *context, const struct plan *plan, const char *a, const char *b,
              struct str_buf *out);
/* `order`: a line an operation; `strip`: the strip order alone. */
void plan_print(const struct plan *plan, bool strip, struct str_buf *out);
/* `order --done`: the operations that are not done, by operation. */
void plan_print_remaining(const struct plan *plan, const bool *done, struct str_buf *out);
/* `order --cheapest`: what it loses, and the advice. */
void plan_print_cost(const struct plan *plan, struct str_buf *out);
void plan_print_dot(const struct plan *plan, struct str_buf *out);
/* In a fitter's words: "Fit Piston 2 to Connecting rod 2". */
const char *operation_words(struct arena *arena, const struct operation *operation);
void plan_dump(const struct plan *plan, struct json *json);

#endif
