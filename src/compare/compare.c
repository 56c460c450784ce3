/* compare.c - two builds side by side. */
#include "compare_private.h"

struct comparison *compare_make(struct context *context, const struct compare_side *was,
                                const struct compare_side *is)
{
    struct comparison *comparison = ARENA_NEW(context->arena, struct comparison);
    struct comparer comparer = {context, context->arena, comparison, was->plan, is->plan};

    comparison->was = *was;
    comparison->is = *is;
    comparison->engines = !str_equal(was->plan->build->spec->engine.name.text,
                                     is->plan->build->spec->engine.name.text);
    compare_edits(&comparer);
    compare_values(&comparer);
    compare_steps(&comparer);
    compare_purchases(&comparer);
    compare_weights(&comparer);
    compare_cards(&comparer);
    return comparison;
}

bool compare_is_same(const struct comparison *comparison)
{
    if (comparison->edits.count || comparison->values.count || comparison->steps.count ||
        comparison->purchases.count)
        return false;
    return comparison->card_count[CHANGE_NEW] + comparison->card_count[CHANGE_GONE] +
               comparison->card_count[CHANGE_CHANGED] == 0;
}

bool compare_touches(const struct comparison *comparison, const struct entry *entry)
{
    for (size_t i = 0; entry && i < comparison->edits.count; i++) {
        const struct entry *edited = comparison->edits.items[i].entry;
        if (edited && str_equal(edited->member, entry->member))
            return true;
    }
    return false;
}
