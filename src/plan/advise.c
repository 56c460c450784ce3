/* advise.c - which single `before` would make the predictable order lose less. Each pair of parts that
 * the cheapest order turns round is tried; the best are made into whole plans, and what those lose is
 * what is told. */
#include "plan_private.h"

#include <stdlib.h>
#include <string.h>

enum {
    EFFORT = 4000000, /* tasks and precedences gone through by all tries together */
    MADE = 4,         /* pairs that are made into whole plans */
};

/* What may be put before another: what is fitted to the engine, in the order found last. */
struct goals {
    struct entry **items;
    size_t count, room;
};

static struct goals goals_of(const struct maker *maker)
{
    struct goals goals = {0};

    for (size_t i = 0; i < maker->order.count; i++) {
        const struct task *task = maker->order.items[i];
        if (task->class == TASK_FIT && !task->op.unit && plan_info(task->op.entry)->first)
            *ARRAY_PUSH(maker->arena, &goals) = task->op.entry;
    }
    return goals;
}

/* What the predictable order loses if `first` is put before `second`; -1 where that cannot be. */
static int64_t try_pair(struct maker *maker, const struct entry *first, const struct entry *second)
{
    struct task *before = plan_info(first)->last, *after = plan_info(second)->first;
    struct maker tried = *maker;

    if (before == after || plan_path(maker, after, before))
        return -1;
    tried.arena = arena_new(0, NULL, NULL);
    if (!tried.arena)
        return -1;
    tried.order.items = NULL;
    tried.order.count = tried.order.room = 0;
    maker->plan->precedences.items[maker->plan->precedences.count++] =
        (struct precedence){&before->op, &after->op, 13, false, "", first->span};
    bool goes = plan_order(&tried);
    int64_t loses = goes ? plan_cost_of(&tried, maker->wants).total_s : -1;
    maker->plan->precedences.count--;
    arena_free(tried.arena);
    return loses;
}

static void restore(struct maker *maker, const size_t *at)
{
    for (size_t i = 0; i < maker->tasks.count; i++) {
        maker->tasks.items[i]->at = at[i];
        maker->order.items[at[i]] = maker->tasks.items[i];
    }
}

static int by_cost(const void *left, const void *right)
{
    const struct plan_advice *a = left, *b = right;

    return a->cost.total_s != b->cost.total_s ? (a->cost.total_s < b->cost.total_s ? -1 : 1)
           : a->first->order != b->first->order
               ? (a->first->order < b->first->order ? -1 : 1)
               : (a->second->order < b->second->order ? -1 : a->second->order > b->second->order);
}

/* Pairs that the cheapest order turns round, those that save something, the best first. */
struct plan_advices plan_candidates(struct maker *maker)
{
    struct plan_advices found = {0};
    struct goals goals = goals_of(maker);
    size_t *place = ARENA_ARRAY(maker->arena, size_t, maker->info_count + 1);
    size_t tries = EFFORT / (maker->tasks.count + maker->plan->precedences.count + 1) + 1;
    size_t *at = ARENA_ARRAY(maker->arena, size_t, maker->tasks.count + 1);
    int64_t loses = plan_cost_of(maker, maker->wants).total_s;

    (void)ARRAY_PUSH(maker->arena, &maker->plan->precedences); /* room for the pair that is tried */
    maker->plan->precedences.count--;
    for (size_t i = 0; i < maker->tasks.count; i++)
        at[i] = maker->tasks.items[i]->at;
    plan_find_cheapest(maker);
    for (size_t i = 0; i < goals.count; i++)
        place[goals.items[i]->order] = plan_info(goals.items[i])->first->at;
    restore(maker, at);
    for (size_t far = 1; far < goals.count && tries; far++)
        for (size_t b = 0; b + far < goals.count && tries; b++) {
            struct entry *first = goals.items[b + far], *second = goals.items[b];
            if (place[first->order] > place[second->order])
                continue;
            tries--;
            int64_t with = try_pair(maker, first, second);
            restore(maker, at);
            if (with >= 0 && with < loses)
                *ARRAY_PUSH(maker->arena, &found) =
                    (struct plan_advice){first, second, {.total_s = with}};
        }
    if (found.count)
        qsort(found.items, found.count, sizeof *found.items, by_cost);
    found.count = found.count < MADE ? found.count : MADE;
    return found;
}

/* ---------- told ---------- */

static void tell_minutes(struct str_buf *out, int64_t seconds)
{
    str_add_print(out, "%lld min", (long long)(seconds + 30) / 60);
}

static void tell_losses(struct str_buf *out, const struct plan_cost *cost)
{
    bool any = false;

    tell_minutes(out, cost->total_s);
    for (int kind = 0; kind < COST_COUNT; kind++) {
        if (!cost->times[kind])
            continue;
        str_add_print(out, "%s %s %zu times, ", any ? ";" : ":", plan_cost_word((enum cost_kind)kind),
                      cost->times[kind]);
        tell_minutes(out, cost->lost_s[kind]);
        any = true;
    }
    str_add(out, "\n");
}

/* Where the minutes go that a `before` saves. */
static void tell_why(struct str_buf *out, const struct plan_cost *without, const struct plan_cost *with)
{
    bool any = false;

    for (int kind = 0; kind < COST_COUNT; kind++) {
        if (without->lost_s[kind] == with->lost_s[kind])
            continue;
        str_add_print(out, "%s%s ", any ? ", " : "", plan_cost_word((enum cost_kind)kind));
        tell_minutes(out, without->lost_s[kind]);
        str_add(out, " become ");
        tell_minutes(out, with->lost_s[kind]);
        any = true;
    }
}

void plan_print_cost(const struct plan *plan, struct str_buf *out)
{
    const struct plan_advice *advice = &plan->advice;

    str_add(out, "this order loses ");
    tell_losses(out, &plan->cost);
    str_add(out, "the predictable order loses ");
    tell_losses(out, &plan->predictable);
    if (!advice->first) {
        str_add(out, "no single 'before' was found that would make the predictable order lose less\n");
        return;
    }
    str_add_print(out, "advice: 'before: [%s]' at %s alone would save ", advice->second->member,
                  advice->first->member);
    tell_minutes(out, plan->predictable.total_s - advice->cost.total_s);
    str_add(out, " of the predictable order: ");
    tell_why(out, &plan->predictable, &advice->cost);
    str_add(out, "\n");
}
