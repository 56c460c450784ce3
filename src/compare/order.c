/* order.c - operations that are new, gone, or moved: as few as explain the new order. */
#include "compare_private.h"

/* Positions in the earlier order of what both have, in the later order: what is on its longest rising run
 * has stayed, the rest has moved. (Patience sorting: piles end in the smallest possible position.) */
static bool *stayed(struct arena *arena, const size_t *at, size_t count)
{
    size_t *pile = ARENA_ARRAY(arena, size_t, count + 1); /* index of the last of each length */
    size_t *before = ARENA_ARRAY(arena, size_t, count + 1), length = 0;
    bool *stays = ARENA_ARRAY(arena, bool, count + 1);

    for (size_t i = 0; i < count; i++) {
        size_t low = 0, high = length;
        while (low < high) {
            size_t middle = low + (high - low) / 2;
            if (at[pile[middle]] < at[i])
                low = middle + 1;
            else
                high = middle;
        }
        before[i] = low > 0 ? pile[low - 1] : count;
        pile[low] = i;
        if (low == length)
            length++;
    }
    for (size_t i = length > 0 ? pile[length - 1] : count; i < count; i = before[i])
        stays[i] = true;
    return stays;
}

static bool has_precedence(const struct plan *plan, const struct precedence *wanted)
{
    for (size_t i = 0; i < plan->precedences.count; i++) {
        const struct precedence *one = &plan->precedences.items[i];
        if (one->implication == wanted->implication &&
            str_equal(one->before->id, wanted->before->id) &&
            str_equal(one->after->id, wanted->after->id))
            return true;
    }
    return false;
}

/* A precedence about the operation that stands in `plan` alone. */
static const struct precedence *new_reason(const struct plan *plan, const struct plan *other,
                                           const struct operation *operation)
{
    for (size_t i = 0; i < plan->precedences.count; i++) {
        const struct precedence *one = &plan->precedences.items[i];
        if ((one->after == operation || one->before == operation) &&
            !has_precedence(other, one))
            return one;
    }
    return NULL;
}

static void add(struct comparer *comparer, enum change change, const struct operation *was,
                const struct operation *is)
{
    struct compare_step *step = ARRAY_PUSH(comparer->arena, &comparer->comparison->steps);

    *step = (struct compare_step){.change = change, .was = was, .is = is};
    if (is)
        step->because = new_reason(comparer->is, comparer->was, is);
    if (!step->because && was && change == CHANGE_MOVED)
        step->because = new_reason(comparer->was, comparer->is, was);
}

static bool same_entry(const struct compare_step *a, const struct compare_step *b)
{
    return str_equal((a->is ? a->is : a->was)->entry->member, (b->is ? b->is : b->was)->entry->member);
}

/* Whether `b` is done straight after `a`, before and now: both have moved as one. */
static bool is_next(const struct compare_step *a, const struct compare_step *b)
{
    return a->change == CHANGE_MOVED && b->change == CHANGE_MOVED &&
           a->is->order + 1 == b->is->order && a->was->order + 1 == b->was->order;
}

/* What moved along with its neighbour has its reason; stripping has that of the build, whose mirror it is. */
static void spread_reasons(struct comparison *comparison)
{
    struct compare_step *steps = comparison->steps.items;
    size_t count = comparison->steps.count;

    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < count && !steps[i].because; k++)
            if (steps[i].change == CHANGE_MOVED && same_entry(&steps[i], &steps[k]))
                steps[i].because = steps[k].because;
    for (size_t i = 1; i < count; i++)
        if (!steps[i].because && is_next(&steps[i - 1], &steps[i]))
            steps[i].because = steps[i - 1].because;
    for (size_t i = count; i-- > 1;)
        if (!steps[i - 1].because && is_next(&steps[i - 1], &steps[i]))
            steps[i - 1].because = steps[i].because;
}

void compare_steps(struct comparer *comparer)
{
    const struct plan *was = comparer->was, *is = comparer->is;
    size_t count = 0, *at = ARENA_ARRAY(comparer->arena, size_t, is->operations.count + 1);

    for (size_t i = 0; i < is->operations.count; i++) {
        const struct operation *before = plan_operation(was, is->operations.items[i]->id);
        if (before)
            at[count++] = before->order;
    }
    const bool *stays = stayed(comparer->arena, at, count);
    count = 0;
    for (size_t i = 0; i < is->operations.count; i++) {
        const struct operation *now = is->operations.items[i];
        const struct operation *before = plan_operation(was, now->id);
        if (!before)
            add(comparer, CHANGE_NEW, NULL, now);
        else if (!stays[count++])
            add(comparer, CHANGE_MOVED, before, now);
    }
    for (size_t i = 0; i < was->operations.count; i++)
        if (!plan_operation(is, was->operations.items[i]->id))
            add(comparer, CHANGE_GONE, was->operations.items[i], NULL);
    spread_reasons(comparer->comparison);
}
