/* schedule.c - the network of the job gone through by one person or two: each takes what comes first
 * in the plan of all that may be done; then back from the finish, what must be in hand when. */
#include "heap.h"
#include "plan_private.h"
#include "schedule_private.h"

#include <assert.h>
#include <stdlib.h>

enum { MOST_PEOPLE = 2, DAY_S = 86400, NOBODY = -1 };

/* One walk through the network, all ranges at one end; times are seconds of the clock. */
struct walk {
    const struct network *net;
    unsigned people;
    bool late;
    int64_t *takes, *start, *finish, *by; /* by: when it must be finished at the latest */
    int *person;                   /* who does it */
    size_t *cause;                 /* 1 + the node that it had to wait for last */
    size_t *left;                  /* what it still waits for */
    bool *offered;
    /* places of work, and people */
    size_t *head, *lane_start, *lane_ops; /* operations of a lane, in order */
    int64_t *lane_free;
    size_t *lane_last;             /* 1 + node */
    int64_t free_at[MOST_PEOPLE];
    size_t busy_with[MOST_PEOPLE]; /* 1 + node */
    struct { struct network_edge *items; size_t count, room; } added; /* of places and people */
    struct heap waiting, able;     /* operations that may be done: by their time, by the plan */
    int64_t end;
    size_t last;                   /* the node that is finished last */
};

/* ---------- how long ---------- */

static const struct claim *range_of(const struct network *net, size_t node)
{
    const struct build *build = net->plan->build;

    if (node < net->operations) {
        const struct operation *op = net->plan->operations.items[node];
        bool own = op->verb != VERB_WITNESS && op->verb != VERB_COUNT_BACK && op->verb != VERB_SEND &&
                   op->verb != VERB_MEASURE_RETURN;
        return own ? &op->entry->takes : NULL;
    }
    node -= net->operations;
    if (node < net->purchases) {
        const struct purchase *line = &build->purchases.items[node];
        return line->lead && !net->usual ? line->lead
               : line->supplier ? &line->supplier->lead
                                : NULL;
    }
    return &build->spec->outwork.items[node - net->purchases]->e.takes;
}

static bool is_said(const struct claim *claim)
{
    return claim && claim->present && claim->value.kind != QTY_ABSENT &&
           claim->value.low.dim == QTY_TIME;
}

static int64_t takes(const struct walk *w, size_t node)
{
    const struct network *net = w->net;
    const struct cost_weights *weights = net->plan->weights;
    const struct claim *range = range_of(net, node);
    int64_t said = is_said(range) ? (int64_t)(w->late ? range->value.high.si : range->value.low.si)
                                  : -1;

    if (node >= net->operations)
        return said < 0 ? 0 : said;
    const struct operation *op = net->plan->operations.items[node];
    if (network_is_wait(op))
        return op->at_least_s;
    if (op->verb == VERB_RUN && said < 0) {
        const struct claim *lasts = &((const struct run *)op->entry)->lasts;
        said = is_said(lasts) ? (int64_t)(w->late ? lasts->value.high.si : lasts->value.low.si) : -1;
    }
    int64_t work = said < 0 ? weights->work_s[op->verb] : said;
    return weights->day_s ? work * DAY_S / weights->day_s : work; /* nights between */
}

/* ---------- forward ---------- */

static const struct operation *op_of(const struct walk *w, size_t node)
{
    return node < w->net->operations ? w->net->plan->operations.items[node] : NULL;
}

static void settle(struct walk *w, size_t node);

static void note_cause(struct walk *w, size_t node, size_t cause, int64_t at)
{
    if (at < w->start[node] || (at == w->start[node] && w->cause[node]))
        return;
    w->start[node] = at;
    w->cause[node] = cause + 1;
}

/* An operation at the head of its place, with nothing left to wait for, may be done. */
static void offer(struct walk *w, size_t node)
{
    size_t lane = w->net->lane[node];

    if (w->left[node] || w->lane_ops[w->head[lane]] != node || w->offered[node])
        return;
    w->offered[node] = true;
    if (network_is_wait(op_of(w, node))) { /* it cures by itself, since it could */
        settle(w, node);
        return;
    }
    if (w->lane_last[lane])
        note_cause(w, node, w->lane_last[lane] - 1, w->lane_free[lane]);
    plan_heap_push(w->net->arena, &w->waiting,
                   (struct heap_item){(size_t)w->start[node], node, node});
}

static void tell_followers(struct walk *w, size_t node)
{
    const struct network *net = w->net;

    for (size_t e = net->start[node]; e < net->start[node + 1]; e++) {
        size_t next = net->edge[e];
        note_cause(w, next, node, w->finish[node]);
        w->left[next]--;
        if (w->left[next])
            continue;
        if (next < net->operations && network_is_dated(op_of(w, next)))
            offer(w, next);
        else if (next >= net->operations)
            settle(w, next);
    }
}

/* The place is free for what comes next at it. */
static void leave_lane(struct walk *w, size_t node)
{
    size_t lane = w->net->lane[node];

    w->lane_free[lane] = w->finish[node];
    w->lane_last[lane] = node + 1;
    if (++w->head[lane] < w->lane_start[lane + 1])
        offer(w, w->lane_ops[w->head[lane]]);
}

/* The node is finished: its start is known. */
static void settle(struct walk *w, size_t node)
{
    bool wait = node < w->net->operations && network_is_wait(op_of(w, node));
    size_t lane = node < w->net->operations ? w->net->lane[node] : 0;

    w->finish[node] = w->start[node] + w->takes[node];
    if (wait && w->lane_free[lane] > w->finish[node]) { /* cured before it is come to */
        w->finish[node] = w->lane_free[lane];
        w->cause[node] = w->lane_last[lane];
    }
    if (node < w->net->operations && w->lane_last[lane])
        *ARRAY_PUSH(w->net->arena, &w->added) =
            (struct network_edge){w->lane_last[lane] - 1, node};
    if (node < w->net->operations && w->finish[node] >= w->end) {
        w->end = w->finish[node];
        w->last = node;
    }
    tell_followers(w, node);
    if (node < w->net->operations)
        leave_lane(w, node);
}

static void take(struct walk *w, size_t node, unsigned who)
{
    if (w->busy_with[who]) {
        note_cause(w, node, w->busy_with[who] - 1, w->free_at[who]);
        *ARRAY_PUSH(w->net->arena, &w->added) =
            (struct network_edge){w->busy_with[who] - 1, node};
    }
}

/* Whoever was last at that place goes on there if free in time; two where the entry wants two. */
static void work_on(struct walk *w, size_t node)
{
    const struct operation *op = op_of(w, node);
    size_t lane = w->net->lane[node], before = w->lane_last[lane];
    unsigned who = 0;
    bool both = op->entry->people.present && op->entry->people.value > 1 && w->people > 1;

    for (unsigned i = 1; i < w->people; i++)
        if (w->free_at[i] < w->free_at[who])
            who = i;
    if (before && w->person[before - 1] >= 0 &&
        w->free_at[w->person[before - 1]] <= w->start[node])
        who = (unsigned)w->person[before - 1];
    take(w, node, who);
    for (unsigned i = 0; both && i < w->people; i++)
        take(w, node, i);
    w->person[node] = (int)who;
    for (unsigned i = 0; i < w->people; i++)
        if (i == who || both) {
            w->free_at[i] = w->start[node] + w->takes[node];
            w->busy_with[i] = node + 1;
        }
    settle(w, node);
}

/* Of all that may be done when somebody is free: what comes first in the plan. */
static bool work(struct walk *w)
{
    size_t free_at = (size_t)w->free_at[0];

    for (unsigned i = 1; i < w->people; i++)
        if ((size_t)w->free_at[i] < free_at)
            free_at = (size_t)w->free_at[i];
    if (!w->able.count && !w->waiting.count)
        return false;
    if (!w->able.count && w->waiting.items[0].key > free_at)
        free_at = w->waiting.items[0].key;
    while (w->waiting.count && w->waiting.items[0].key <= free_at) {
        size_t node = plan_heap_pop(&w->waiting).item;
        plan_heap_push(w->net->arena, &w->able, (struct heap_item){node, node, node});
    }
    work_on(w, plan_heap_pop(&w->able).item);
    return true;
}

static void deal_lanes(struct walk *w)
{
    const struct network *net = w->net;
    size_t *from = ARENA_ARRAY(net->arena, size_t, net->lanes + 2);

    w->lane_ops = ARENA_ARRAY(net->arena, size_t, net->operations + 1);
    for (size_t i = 0; i < net->operations; i++)
        if (network_is_dated(op_of(w, i)))
            from[net->lane[i] + 2]++;
    for (size_t i = 0; i < net->lanes; i++)
        from[i + 2] += from[i + 1];
    for (size_t i = 0; i < net->operations; i++)
        if (network_is_dated(op_of(w, i)))
            w->lane_ops[from[net->lane[i] + 1]++] = i;
    w->lane_start = from;
    for (size_t i = 0; i < net->lanes; i++)
        w->head[i] = from[i];
}

static void forward(struct walk *w)
{
    const struct network *net = w->net;

    for (size_t i = 0; i < net->count; i++) {
        w->person[i] = NOBODY;
        w->takes[i] = takes(w, i);
        w->left[i] = net->back_start[i + 1] - net->back_start[i];
    }
    deal_lanes(w);
    for (size_t i = net->operations; i < net->count; i++)
        if (!w->left[i])
            settle(w, i);
    for (size_t i = 0; i < net->lanes; i++)
        if (w->head[i] < w->lane_start[i + 1])
            offer(w, w->lane_ops[w->head[i]]);
    while (work(w))
        ;
    for (size_t i = 0; i < net->operations; i++)
        assert(w->offered[i] || !network_is_dated(op_of(w, i)));
}

/* ---------- back from the finish ---------- */

static void press(struct walk *w, size_t node, int64_t by)
{
    if (by < w->by[node])
        w->by[node] = by;
}

static int by_finish(const void *left, const void *right)
{
    const struct heap_item *a = left, *b = right;

    return plan_heap_sooner(*b, *a) ? -1 : plan_heap_sooner(*a, *b) ? 1 : 0;
}

/* By when each node must be finished for the job to be finished as it is. */
static void backward(struct walk *w)
{
    const struct network *net = w->net;
    struct heap_item *nodes = ARENA_ARRAY(net->arena, struct heap_item, net->count + 1);
    size_t *from = ARENA_ARRAY(net->arena, size_t, net->count + 2);
    size_t *before = ARENA_ARRAY(net->arena, size_t, w->added.count + 1);

    for (size_t i = 0; i < w->added.count; i++)
        from[w->added.items[i].to + 2]++;
    for (size_t i = 0; i < net->count; i++)
        from[i + 2] += from[i + 1];
    for (size_t i = 0; i < w->added.count; i++)
        before[from[w->added.items[i].to + 1]++] = w->added.items[i].from;
    for (size_t i = 0; i < net->count; i++) {
        w->by[i] = w->end;
        nodes[i] = (struct heap_item){(size_t)w->finish[i], (size_t)w->start[i], i};
    }
    qsort(nodes, net->count, sizeof *nodes, by_finish);
    for (size_t n = 0; n < net->count; n++) {
        size_t node = nodes[n].item;
        bool wait = node < net->operations && network_is_wait(op_of(w, node));
        int64_t starts = w->by[node] - w->takes[node];
        for (size_t e = net->back_start[node]; e < net->back_start[node + 1]; e++)
            press(w, net->back_edge[e], starts);
        for (size_t e = from[node]; e < from[node + 1]; e++)
            press(w, before[e], wait ? w->by[node] : starts);
    }
}

static struct walk walk(const struct network *net, unsigned people, bool late)
{
    size_t n = net->count + 1;
    struct walk w = {.net = net, .people = people, .late = late};

    w.takes = ARENA_ARRAY(net->arena, int64_t, n);
    w.start = ARENA_ARRAY(net->arena, int64_t, n);
    w.finish = ARENA_ARRAY(net->arena, int64_t, n);
    w.by = ARENA_ARRAY(net->arena, int64_t, n);
    w.person = ARENA_ARRAY(net->arena, int, n);
    w.cause = ARENA_ARRAY(net->arena, size_t, n);
    w.left = ARENA_ARRAY(net->arena, size_t, n);
    w.offered = ARENA_ARRAY(net->arena, bool, n);
    w.head = ARENA_ARRAY(net->arena, size_t, net->lanes + 1);
    w.lane_free = ARENA_ARRAY(net->arena, int64_t, net->lanes + 1);
    w.lane_last = ARENA_ARRAY(net->arena, size_t, net->lanes + 1);
    forward(&w);
    backward(&w);
    return w;
}

/* ---------- told ---------- */

static double days(int64_t seconds)
{
    return (double)seconds / DAY_S;
}

static struct schedule_ends ends(int64_t early, int64_t late)
{
    return (struct schedule_ends){days(early), days(late)};
}

static void widen(struct schedule_task *task, const struct walk *early, const struct walk *late,
                  size_t node)
{
    struct schedule_ends start = ends(early->start[node], late->start[node]);
    struct schedule_ends finish = ends(early->finish[node], late->finish[node]);

    if (task->count++ == 0) {
        task->start = start;
        task->finish = finish;
    }
    task->start.early = start.early < task->start.early ? start.early : task->start.early;
    task->start.late = start.late < task->start.late ? start.late : task->start.late;
    task->finish.early = finish.early > task->finish.early ? finish.early : task->finish.early;
    task->finish.late = finish.late > task->finish.late ? finish.late : task->finish.late;
    if (!task->person && late->person[node] >= 0)
        task->person = (unsigned)late->person[node] + 1;
}

/* The operations of each card, place by place. */
static void tell_tasks(struct schedule *schedule, const struct network *net, const struct walk *early,
                       const struct walk *late)
{
    const struct plan *plan = net->plan;

    for (size_t i = 0, begin = 0; i < net->operations; i++) {
        const struct operation *op = plan->operations.items[i];
        const struct part *bench = plan_whole_unit(op);
        size_t t = begin;
        if (!network_is_dated(op))
            continue;
        if (schedule->tasks.count &&
            schedule->tasks.items[schedule->tasks.count - 1].card != &plan->cards.items[op->card])
            t = begin = schedule->tasks.count;
        while (t < schedule->tasks.count && schedule->tasks.items[t].bench != bench)
            t++;
        if (t == schedule->tasks.count)
            *ARRAY_PUSH(net->arena, &schedule->tasks) =
                (struct schedule_task){.card = &plan->cards.items[op->card], .bench = bench, .first = i};
        widen(&schedule->tasks.items[t], early, late, i);
    }
}

static int needed_first(const void *left, const void *right)
{
    const struct schedule_need *a = left, *b = right;

    if (a->act.late != b->act.late)
        return a->act.late < b->act.late ? -1 : 1;
    if (a->by.late != b->by.late)
        return a->by.late < b->by.late ? -1 : 1;
    return a->purchase != b->purchase ? (a->purchase < b->purchase ? -1 : 1)
                                      : (a->job < b->job ? -1 : a->job > b->job);
}

static void tell_needs(struct schedule *schedule, const struct network *net, const struct walk *early,
                       const struct walk *late)
{
    const struct build *build = net->plan->build;

    for (size_t i = net->operations; i < net->count; i++) {
        const struct operation *user = net->first_user[i - net->operations];
        bool bought = i < net->operations + net->purchases;
        if (net->start[i] == net->start[i + 1])
            continue; /* no operation waits for it */
        struct schedule_need *need = ARRAY_PUSH(net->arena, &schedule->needs);
        *need = (struct schedule_need){.takes = ends(early->takes[i], late->takes[i]),
                                       .by = ends(early->by[i], late->by[i]),
                                       .act = ends(early->by[i] - early->takes[i],
                                                   late->by[i] - late->takes[i]),
                                       .unknown = !is_said(range_of(net, i)),
                                       .critical = late->by[i] <= late->finish[i]};
        if (bought)
            need->purchase = &build->purchases.items[i - net->operations];
        else
            need->job = build->spec->outwork.items[i - net->operations - net->purchases];
        if (user)
            need->card = &net->plan->cards.items[user->card];
        schedule->unknown += need->unknown;
    }
    if (schedule->needs.count)
        qsort(schedule->needs.items, schedule->needs.count, sizeof *schedule->needs.items,
              needed_first);
}

static const struct schedule_need *need_at(const struct schedule *schedule, const struct network *net,
                                           size_t node)
{
    const struct build *build = net->plan->build;
    size_t i = node - net->operations;

    for (size_t k = 0; k < schedule->needs.count; k++) {
        const struct schedule_need *need = &schedule->needs.items[k];
        if (i < net->purchases ? need->purchase == &build->purchases.items[i]
                               : need->job == build->spec->outwork.items[i - net->purchases])
            return need;
    }
    return NULL;
}

/* Back from the last operation along what each had to wait for; work without a wait is one link. */
static void tell_path(struct schedule *schedule, const struct network *net, const struct walk *late)
{
    struct { struct schedule_link *items; size_t count, room; } back = {0};

    if (!net->operations)
        return;
    for (size_t at = late->last + 1; at; at = late->cause[at - 1]) {
        size_t node = at - 1;
        const struct operation *op = op_of(late, node);
        if (op && network_is_wait(op) && late->finish[node] > late->start[node] + late->takes[node])
            continue; /* it had cured before */
        struct schedule_link link = {.start = days(late->start[node]),
                                     .finish = days(late->finish[node])};
        if (!op)
            link.need = need_at(schedule, net, node);
        else if (network_is_wait(op))
            link.wait = op;
        else
            link.from = link.to = &net->plan->cards.items[op->card];
        struct schedule_link *after = back.count ? &back.items[back.count - 1] : NULL;
        if (after && link.from && after->from) {
            after->start = link.start;
            after->from = link.from;
        } else
            *ARRAY_PUSH(net->arena, &back) = link;
    }
    while (back.count)
        *ARRAY_PUSH(net->arena, &schedule->path) = back.items[--back.count];
}

static const struct schedule *make(struct arena *arena, const struct plan *plan, unsigned people,
                                   bool usual)
{
    struct schedule *schedule = ARENA_NEW(arena, struct schedule);
    struct network *net = network_of(arena, plan);

    net->usual = usual;

    schedule->people = people < 1 ? 1 : people > MOST_PEOPLE ? MOST_PEOPLE : people;
    struct walk early = walk(net, schedule->people, false), late = walk(net, schedule->people, true);
    schedule->finish = ends(early.end, late.end);
    if (schedule->people > 1)
        schedule->alone = ends(walk(net, 1, false).end, walk(net, 1, true).end);
    else
        schedule->alone = schedule->finish;
    tell_tasks(schedule, net, &early, &late);
    tell_needs(schedule, net, &early, &late);
    tell_path(schedule, net, &late);
    return schedule;
}

const struct schedule *schedule_make(struct arena *arena, const struct plan *plan, unsigned people)
{
    return make(arena, plan, people, false);
}

const struct schedule *schedule_make_usual(struct arena *arena, const struct plan *plan,
                                           unsigned people)
{
    return make(arena, plan, people, true);
}

const struct schedule_need *schedule_need_of(const struct schedule *schedule,
                                             const struct purchase *purchase)
{
    for (size_t i = 0; i < schedule->needs.count; i++)
        if (schedule->needs.items[i].purchase == purchase)
            return &schedule->needs.items[i];
    return NULL;
}
