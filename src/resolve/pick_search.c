/* pick_search.c - depth first over the choices: the nearest to the middle of what is wanted, then
 * the fewest pieces, then the first in the file. Bounded; the bound is reported by the caller. */
#include "pick_private.h"

struct range pick_result_range(const struct demand *demand)
{
    struct range range = demand->base;

    for (size_t i = 0; i < demand->var_count; i++) {
        const struct variable *variable = demand->vars[i];
        range =
            range_plus(range, variable->choices.items[variable->chosen].range, demand->times[i]);
    }
    return range;
}

bool pick_holds(const struct demand *demand, bool may)
{
    struct range range = pick_result_range(demand), want = range_of_fact(demand->want);
    struct qty low = may ? range.high : range.low, high = may ? range.low : range.high;

    return (!want.low_set || qty_compare(low, want.low) >= 0) &&
           (!want.high_set || qty_compare(high, want.high) <= 0);
}

/* In half widths of what is wanted, so that demands of different size count alike; a limit with one
 * end has no middle. */
double pick_distance(const struct demand *demand)
{
    struct range range = pick_result_range(demand), want = range_of_fact(demand->want);

    if (!range_known(want))
        return 0;
    double half = (want.high.si - want.low.si) / 2;
    double off = fabs(range_middle(range).si - range_middle(want).si);
    return half > 0 ? off / half : off * 1e6;
}

bool pick_taken(const struct search *search, const struct variable *but, const struct loose *piece)
{
    for (size_t i = 0; i < search->count; i++) {
        const struct variable *variable = search->vars[i];
        if (variable == but)
            continue;
        const struct loose *other = variable->choices.items[variable->chosen].loose;
        if (other != NULL && variable->part->e.group == but->part->e.group &&
            str_equal(other->name, piece->name))
            return true;
    }
    return false;
}

/* Members of one entry share the stock of a sold size: the same text at the same place. */
bool pick_stock_holds(const struct search *search, size_t upto)
{
    const struct choice *last = &search->vars[upto]->choices.items[search->vars[upto]->chosen];

    for (size_t s = 0; last->sold != NULL && s < last->count; s++) {
        int64_t used = 0;
        if (!last->sold[s]->stock.present)
            continue;
        for (size_t i = 0; i <= upto; i++) {
            const struct variable *variable = search->vars[i];
            const struct choice *choice = &variable->choices.items[variable->chosen];
            for (size_t k = 0; choice->sold != NULL && k < choice->count; k++)
                used += variable->part->e.group == search->vars[upto]->part->e.group &&
                        choice->sold[k]->is.span.begin == last->sold[s]->is.span.begin;
        }
        if (used > last->sold[s]->stock.value)
            return false;
    }
    return true;
}

static bool taken_before(const struct search *search, size_t upto)
{
    struct search before = *search;
    const struct variable *variable = search->vars[upto];
    const struct loose *piece = variable->choices.items[variable->chosen].loose;

    before.count = upto;
    return piece != NULL && pick_taken(&before, variable, piece);
}

/* A demand all of whose variables are chosen can be judged at once. */
static bool judged(const struct search *search, const struct demand *demand, size_t upto)
{
    for (size_t i = 0; i < demand->var_count; i++) {
        size_t at = 0;
        while (at < search->count && search->vars[at] != demand->vars[i])
            at++;
        if (at > upto)
            return false;
    }
    return true;
}

static void keep(struct search *search)
{
    double score = 0;
    size_t pieces = 0;

    for (size_t i = 0; i < search->demand_count; i++)
        score += pick_distance(search->demands[i]);
    for (size_t i = 0; i < search->count; i++)
        pieces += search->vars[i]->choices.items[search->vars[i]->chosen].count;
    if (search->found && (score > search->score + 1e-9 ||
                          (score > search->score - 1e-9 && pieces >= search->pieces)))
        return;
    search->found = true;
    search->score = score;
    search->pieces = pieces;
    for (size_t i = 0; i < search->count; i++)
        search->vars[i]->best = search->vars[i]->chosen;
}

static void choose(struct search *search, size_t index)
{
    struct variable *variable = search->vars[index];

    for (size_t c = 0; c < variable->choices.count; c++) {
        bool holds = true;
        if (++search->nodes > PICK_NODES)
            return;
        variable->chosen = c;
        if (taken_before(search, index) || !pick_stock_holds(search, index))
            continue;
        for (size_t d = 0; d < search->demand_count && holds; d++)
            holds = !judged(search, search->demands[d], index) ||
                    pick_holds(search->demands[d], search->may);
        if (!holds)
            continue;
        if (index + 1 == search->count)
            keep(search);
        else
            choose(search, index + 1);
    }
}

void pick_search(struct search *search)
{
    search->found = false;
    search->nodes = 0;
    for (size_t i = 0; i < search->count; i++)
        if (search->vars[i]->choices.count == 0)
            return;
    choose(search, 0);
    for (size_t i = 0; i < search->count && search->found; i++)
        search->vars[i]->chosen = search->vars[i]->best;
}
