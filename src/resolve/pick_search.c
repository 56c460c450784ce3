/* pick_search.c - the best choice: nearest to the middle of what is wanted, then the fewest pieces,
 * then the first in the file. Bounded; the bound is reported by the caller. */
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
int pick_rounding(const struct size *size)
{
    return str_equal(size->round.text, "down") ? -1 : str_equal(size->round.text, "up") ? 1 : 0;
}

/* A pick that goes against the rounding stands after all that go with it: those are at most one half
 * width off. */
static const double against_rounding = 2;

static double against(const struct demand *demand, double off)
{
    double add = 0;

    for (size_t i = 0; i < demand->var_count; i++)
        if (off * demand->times[i] * pick_rounding(demand->vars[i]->size) < 0)
            add += against_rounding;
    return add;
}

double pick_distance(const struct demand *demand)
{
    struct range range = pick_result_range(demand), want = range_of_fact(demand->want);

    if (!range_known(want))
        return 0;
    double half = (want.high.si - want.low.si) / 2;
    double off = range_middle(range).si - range_middle(want).si;
    return (half > 0 ? fabs(off) / half : fabs(off) * 1e6) + against(demand, off);
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

static void search_deep(struct search *search)
{
    for (size_t i = 0; i < search->count; i++) {
        if (search->vars[i]->choices.count == 0)
            return;
        search->bounded |= search->vars[i]->cut_short;
    }
    choose(search, 0);
    search->bounded |= search->nodes > PICK_NODES;
    for (size_t i = 0; i < search->count && search->found; i++)
        search->vars[i]->chosen = search->vars[i]->best;
}

/* ---------- one pack of sold sizes ---------- */

bool pick_is_pack(const struct search *search)
{
    const struct variable *variable = search->vars[0];

    if (search->count != 1 || variable->part->fitted.present || variable->size->loose.count > 0 ||
        variable->size->most.value > CALC_PICK_PIECES)
        return false;
    for (size_t i = 0; i < search->demand_count; i++)
        if (range_of_fact(search->demands[i]->want).low.dim > QTY_LENGTH ||
            range_of_fact(search->demands[i]->want).high.dim > QTY_LENGTH)
            return false;
    return true;
}

static struct calc_pick_limit pick_limit(const struct demand *demand)
{
    struct range want = range_of_fact(demand->want);

    return (struct calc_pick_limit){
        .base = {demand->base.low.exact, demand->base.high.exact},
        .want = {want.low_set ? want.low.exact : INT64_MIN,
                 want.high_set ? want.high.exact : INT64_MAX},
        .times = demand->times[0],
        .rounding = (enum calc_rounding[]){CALC_ROUND_DOWN, CALC_ROUND_NEAREST,
                                           CALC_ROUND_UP}[1 + pick_rounding(demand->vars[0]->size)],
    };
}

static void search_pack(struct search *search)
{
    struct arena *arena = search->picking->r->arena;
    struct variable *variable = search->vars[0];
    const struct size *size = variable->size;
    struct calc_sold *sold = ARENA_ARRAY(arena, struct calc_sold, size->sold.count + 1);
    struct calc_pick_limit *limits =
        ARENA_ARRAY(arena, struct calc_pick_limit, search->demand_count);
    const struct sold **pieces = ARENA_ARRAY(arena, const struct sold *, CALC_PICK_PIECES);

    for (size_t i = 0; i < size->sold.count; i++) {
        struct range range = pick_sold_range(&size->sold.items[i], size);
        sold[i] = (struct calc_sold){
            {range.low.exact, range.high.exact},
            size->sold.items[i].stock.present ? size->sold.items[i].stock.value : 0};
    }
    for (size_t i = 0; i < search->demand_count; i++)
        limits[i] = pick_limit(search->demands[i]);
    size_t most = size->most.present && size->most.value > 0 ? (size_t)size->most.value : 1;
    struct calc_choices choices =
        calc_pick(arena, sold, size->sold.count, 1, most, limits, search->demand_count);

    variable->choices.count = 0;
    for (size_t i = 0; i < choices.count && i < PICK_CHOICES; i++) {
        for (size_t k = 0; k < choices.items[i].count; k++)
            pieces[k] = &size->sold.items[choices.items[i].pieces[k]];
        pick_add_pack(search->picking->r, variable, pieces, choices.items[i].count);
    }
    variable->chosen = 0;
    search->bounded = choices.bounded;
    search->found = choices.count > 0 && (search->may || choices.items[0].certain);
}

/* ---------- loose pieces ---------- */

/* Every place takes one loose piece and no demand looks at two places. */
static bool is_assignment(const struct search *search)
{
    for (size_t i = 0; i < search->count; i++)
        if (search->vars[i]->size->loose.count == 0 || search->vars[i]->size->sold.count > 0 ||
            search->vars[i]->made)
            return false;
    for (size_t i = 0; i < search->demand_count; i++)
        if (search->demands[i]->var_count != 1)
            return false;
    return search->count > 0;
}

/* What a piece costs at a place: the sum of its distances, in millionths of half a width; -1
 * where it does not hold. */
static int64_t piece_cost(const struct search *search, struct variable *variable, size_t choice)
{
    double cost = 0;

    variable->chosen = choice;
    for (size_t i = 0; i < search->demand_count; i++) {
        const struct demand *demand = search->demands[i];
        if (demand->vars[0] != variable)
            continue;
        if (!pick_holds(demand, search->may))
            return -1;
        cost += pick_distance(demand);
    }
    return (int64_t)llround(cost * 1e6);
}

static void search_assignment(struct search *search)
{
    struct arena *arena = search->picking->r->arena;
    size_t pieces = search->vars[0]->choices.count;
    int64_t *costs = ARENA_ARRAY(arena, int64_t, search->count * pieces + 1);
    size_t *piece_of = ARENA_ARRAY(arena, size_t, search->count);

    for (size_t i = 0; i < search->count; i++)
        for (size_t k = 0; k < pieces; k++)
            costs[i * pieces + k] = piece_cost(search, search->vars[i], k);
    search->found = calc_assign(arena, costs, search->count, pieces, piece_of) == search->count;
    for (size_t i = 0; i < search->count && search->found; i++)
        search->vars[i]->chosen = piece_of[i];
}

void pick_search(struct search *search)
{
    search->found = search->bounded = false;
    search->nodes = 0;
    if (pick_is_pack(search))
        search_pack(search);
    else if (is_assignment(search))
        search_assignment(search);
    else
        search_deep(search);
}
