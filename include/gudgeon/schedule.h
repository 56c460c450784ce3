/* schedule.h - plan in, time out: when each card is done by one person or by two side by side, what
 * holds the job up, what must be bought or sent first, when it is finished.
 *
 * Times are days (of 24 h) from the beginning of the job. People work weights->day_s of each day; what
 * cures, is away or is on its way goes on by night, so work of one hour takes 24 h / day_s of that.
 * Everything has two ends: `early` with every range (takes, lead, outwork) at its short end, `late` at
 * its long end. Follow-up, due after hours of running, has no day here.
 *
 * The engine and each unit on the bench are places at which one operation is done at a time, in the
 * order of the plan; loose pieces are looked at by whoever is free. */
#ifndef GUDGEON_SCHEDULE_H
#define GUDGEON_SCHEDULE_H

#include <gudgeon/plan.h>

struct schedule_ends {
    double early, late;
};

/* What one person takes in hand: the operations of one card at one place, side by side with the work
 * of the other. */
struct schedule_task {
    const struct plan_card *card;
    const struct part *bench;      /* the unit made up on the bench; NULL: on the engine, or loose */
    size_t first, count;           /* in plan->operations; what others do between is left out */
    unsigned person;               /* 1.. ; who begins it, in the late case */
    struct schedule_ends start, finish;
};

/* What must come in from outside before the work can go on: a line to buy, or a job sent out. */
struct schedule_need {
    const struct purchase *purchase; /* or */
    const struct outwork *job;
    struct schedule_ends takes;    /* the supplier's lead, or how long the job is away */
    bool unknown;                  /* nobody said how long: counted as none */
    struct schedule_ends by;       /* day on which it must be in hand; later holds up the finish */
    struct schedule_ends act;      /* day on which it must be ordered or sent for that */
    const struct plan_card *card;  /* the first card that needs it; NULL: none does */
    bool critical;                 /* it holds up the finish, whichever day it is ordered on */
};

/* One link of the chain that decides the finish in the late case, in order. */
struct schedule_link {
    const struct plan_card *from, *to; /* work, without a wait between, from one card to another; or */
    const struct operation *wait;  /* what cures or rests, or */
    const struct schedule_need *need; /* what is away or on its way */
    double start, finish;
};

struct schedule {
    unsigned people;
    struct schedule_ends finish;
    struct schedule_ends alone;    /* the same job by one person */
    struct { struct schedule_task *items; size_t count, room; } tasks; /* in the order of the plan */
    struct { struct schedule_need *items; size_t count, room; } needs; /* what to act on first, first */
    struct { struct schedule_link *items; size_t count, room; } path;
    size_t unknown;                /* needs of which nobody said how long they take */
};

/* people: 1 or 2. Never NULL. */
const struct schedule *schedule_make(struct arena *arena, const struct plan *plan, unsigned people);
/* The same with each supplier's usual delivery, whatever was offered. */
const struct schedule *schedule_make_usual(struct arena *arena, const struct plan *plan,
                                           unsigned people);
/* The need that a line to buy is; NULL when no operation needs it. */
const struct schedule_need *schedule_need_of(const struct schedule *schedule,
                                             const struct purchase *purchase);
/* `order --schedule`: text. */
void schedule_print(const struct schedule *schedule, struct str_buf *out);

#endif
