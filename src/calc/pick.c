/* pick.c - stacks, and choosing pieces so that limits hold. */
#include "calc_private.h"

#include <stdlib.h>
#include <string.h>

struct calc_range_pm calc_stack_pm(const struct calc_range_pm *plus, size_t plus_count,
                                   const struct calc_range_pm *minus, size_t minus_count)
{
    struct calc_range_pm sum = {0, 0};

    for (size_t i = 0; i < plus_count; i++) {
        sum.low += plus[i].low;
        sum.high += plus[i].high;
    }
    for (size_t i = 0; i < minus_count; i++) {
        sum.low -= minus[i].high;
        sum.high -= minus[i].low;
    }
    return sum;
}

int64_t calc_step_pm(int64_t value_pm, int64_t step_pm, enum calc_rounding rounding)
{
    assert(step_pm > 0);
    int64_t steps = value_pm / step_pm, rest = value_pm % step_pm;

    if (rest < 0) { /* to the floor */
        steps--;
        rest += step_pm;
    }
    if ((rounding == CALC_ROUND_UP && rest != 0) ||
        (rounding == CALC_ROUND_NEAREST && rest >= step_pm - rest))
        steps++;
    return steps * step_pm;
}

int64_t calc_roller_pm(int64_t race_pm, int64_t pin_pm, int64_t clearance_pm)
{
    return (race_pm - pin_pm - clearance_pm) / 2;
}

/* --- picks of sold sizes --- */

struct search {
    struct arena *arena;
    const struct calc_sold *sold;
    const size_t *order; /* sold sizes, largest first */
    size_t sold_count, least, most, limit_count, tries;
    const struct calc_pick_limit *limits;
    struct calc_choice choice; /* under way */
    struct calc_choices found;
};

static struct calc_range_pm result_of(const struct calc_pick_limit *limit, struct calc_range_pm sum)
{
    int64_t a = limit->times * sum.low, b = limit->times * sum.high;

    return (struct calc_range_pm){limit->base.low + (a < b ? a : b),
                                  limit->base.high + (a < b ? b : a)};
}

static int64_t middle(struct calc_range_pm range)
{
    return range.low + (range.high - range.low) / 2;
}

static bool is_open(struct calc_range_pm want)
{
    return want.low == INT64_MIN || want.high == INT64_MAX;
}

/* The pieces come to more or less than the middle of `want` asks for, and it says not to. */
static bool is_against(const struct calc_pick_limit *limit, int64_t at)
{
    int64_t off = at - middle(limit->want), over = limit->times < 0 ? -off : off;

    return (limit->rounding == CALC_ROUND_DOWN && over > 0) ||
           (limit->rounding == CALC_ROUND_UP && over < 0);
}

/* Holds in the worst case, or only with luck; how far from the middle of `want`. */
static bool weigh(const struct search *s, struct calc_choice *choice)
{
    choice->certain = true;
    choice->off_middle_pm = 0;
    choice->against = false;
    for (size_t i = 0; i < s->limit_count; i++) {
        const struct calc_pick_limit *limit = &s->limits[i];
        struct calc_range_pm result = result_of(limit, choice->sum);
        int64_t at = middle(result);
        if (at < limit->want.low || at > limit->want.high)
            return false;
        if (result.low < limit->want.low || result.high > limit->want.high)
            choice->certain = false;
        if (is_open(limit->want))
            continue;
        choice->off_middle_pm += llabs(at - middle(limit->want));
        choice->against |= is_against(limit, at);
    }
    return true;
}

/* Adds pieces of the sizes from `next` on, in falling order, so that each set comes once. */
static void extend(struct search *s, size_t next)
{
    struct calc_choice weighed = s->choice;

    if (++s->tries > CALC_PICK_TRIES) {
        s->found.bounded = true;
        return;
    }
    if (s->choice.count >= s->least && weigh(s, &weighed))
        *ARRAY_PUSH(s->arena, &s->found) = weighed;
    if (s->choice.count == s->most)
        return;
    for (size_t i = next; i < s->sold_count && !s->found.bounded; i++) {
        size_t piece = s->order[i];
        const struct calc_sold *sold = &s->sold[piece];
        int64_t used = 0;
        for (size_t j = 0; j < s->choice.count; j++)
            used += s->choice.pieces[j] == piece;
        if (sold->stock > 0 && used >= sold->stock)
            continue;
        s->choice.pieces[s->choice.count++] = piece;
        s->choice.sum.low += sold->size.low;
        s->choice.sum.high += sold->size.high;
        extend(s, i);
        s->choice.count--;
        s->choice.sum.low -= sold->size.low;
        s->choice.sum.high -= sold->size.high;
    }
}

static int order_of(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

/* Certain ones first, then as `calc_choices` says; the search gives no set twice. */
static int compare_choices(const void *a, const void *b)
{
    const struct calc_choice *x = a, *y = b;
    int order = order_of(y->certain, x->certain);

    if (!order)
        order = order_of(x->against, y->against);
    if (!order)
        order = order_of(x->off_middle_pm, y->off_middle_pm);
    if (!order)
        order = order_of((int64_t)x->count, (int64_t)y->count);
    for (size_t i = 0; !order && i < x->count; i++)
        order = order_of((int64_t)x->pieces[i], (int64_t)y->pieces[i]);
    return order;
}

struct ranked {
    int64_t low_pm;
    size_t index;
};

/* Equal sizes keep the order of the file. */
static int compare_ranked(const void *a, const void *b)
{
    const struct ranked *x = a, *y = b;
    int order = order_of(y->low_pm, x->low_pm);

    return order ? order : order_of((int64_t)x->index, (int64_t)y->index);
}

static size_t *largest_first(struct arena *arena, const struct calc_sold *sold, size_t count)
{
    struct ranked *ranked = ARENA_ARRAY(arena, struct ranked, count);
    size_t *order = ARENA_ARRAY(arena, size_t, count);

    for (size_t i = 0; i < count; i++)
        ranked[i] = (struct ranked){sold[i].size.low, i};
    if (count)
        qsort(ranked, count, sizeof *ranked, compare_ranked);
    for (size_t i = 0; i < count; i++)
        order[i] = ranked[i].index;
    return order;
}

struct calc_choices calc_pick(struct arena *arena, const struct calc_sold *sold, size_t sold_count,
                              size_t least, size_t most, const struct calc_pick_limit *limits,
                              size_t limit_count)
{
    struct search search = {
        .arena = arena,
        .sold = sold,
        .order = largest_first(arena, sold, sold_count),
        .sold_count = sold_count,
        .least = least,
        .most = most,
        .limits = limits,
        .limit_count = limit_count,
    };

    assert(least <= most && most <= CALC_PICK_PIECES);
    extend(&search, 0);
    if (search.found.count > 1)
        qsort(search.found.items, search.found.count, sizeof *search.found.items, compare_choices);
    return search.found;
}

/* --- loose pieces to places --- */

/* Kuhn-Munkres on a square matrix by potentials (n^3). Column `size` is where a row waits that is
 * not yet in; row `match[column]` holds the column, NO_ROW where none does. */
#define NO_ROW SIZE_MAX
struct matching {
    size_t size;
    const int64_t *cost; /* size * size */
    int64_t *row_potential, *column_potential, *slack;
    size_t *match, *way;
    bool *used;
};

/* The free column that is cheapest to reach from the columns used so far, by their rows. */
static size_t cheapest(struct matching *m, size_t column, int64_t *least)
{
    size_t row = m->match[column], next = m->size;

    *least = INT64_MAX;
    for (size_t j = 0; j < m->size; j++) {
        if (m->used[j])
            continue;
        int64_t reduced =
            m->cost[row * m->size + j] - m->row_potential[row] - m->column_potential[j];
        if (reduced < m->slack[j]) {
            m->slack[j] = reduced;
            m->way[j] = column;
        }
        if (m->slack[j] < *least) {
            *least = m->slack[j];
            next = j;
        }
    }
    return next;
}

/* One row is brought in along the cheapest alternating path. */
static void bring_in(struct matching *m, size_t row)
{
    size_t column = m->size;

    m->match[column] = row;
    for (size_t j = 0; j <= m->size; j++) {
        m->slack[j] = INT64_MAX;
        m->used[j] = false;
    }
    while (m->match[column] != NO_ROW) {
        int64_t least;
        m->used[column] = true;
        size_t next = cheapest(m, column, &least);
        for (size_t j = 0; j <= m->size; j++) {
            if (m->used[j]) {
                m->row_potential[m->match[j]] += least;
                m->column_potential[j] -= least;
            } else {
                m->slack[j] -= least;
            }
        }
        column = next;
    }
    for (; column != m->size; column = m->way[column])
        m->match[column] = m->match[m->way[column]];
}

static struct matching new_matching(struct arena *arena, size_t size, const int64_t *cost)
{
    size_t columns = size;

    columns++; /* the one where a row waits */
    struct matching m = {
        .size = size,
        .cost = cost,
        .row_potential = ARENA_ARRAY(arena, int64_t, size),
        .column_potential = ARENA_ARRAY(arena, int64_t, columns),
        .slack = ARENA_ARRAY(arena, int64_t, columns),
        .match = ARENA_ARRAY(arena, size_t, columns),
        .way = ARENA_ARRAY(arena, size_t, columns),
        .used = ARENA_ARRAY(arena, bool, columns),
    };

    for (size_t j = 0; j < size; j++) /* all but that one, which is given its row */
        m.match[j] = NO_ROW;
    return m;
}

/* A square of the costs. A piece that does not fit is dearer than all that do together, so that
 * places served come first; pieces left over, where there are more than places, cost nothing. */
static int64_t *square(struct arena *arena, const int64_t *costs, size_t places, size_t pieces,
                       size_t size)
{
    int64_t *cost = ARENA_ARRAY(arena, int64_t, size * size);
    int64_t dear = size ? INT64_MAX / (int64_t)(size * size + size) : INT64_MAX;

    for (size_t i = 0; i < places; i++)
        for (size_t j = 0; j < size; j++) {
            bool fits = j < pieces && costs[i * pieces + j] >= 0;
            assert(!fits || costs[i * pieces + j] <= dear / (int64_t)size);
            cost[i * size + j] = fits ? costs[i * pieces + j] : dear;
        }
    return cost;
}

size_t calc_assign(struct arena *arena, const int64_t *costs, size_t places, size_t pieces,
                   size_t *piece_of)
{
    size_t size = places > pieces ? places : pieces, served = 0;
    struct matching m =
        new_matching(arena, size, square(arena, costs, places, pieces, size));

    for (size_t row = 0; row < size; row++)
        bring_in(&m, row);
    for (size_t i = 0; i < places; i++)
        piece_of[i] = SIZE_MAX;
    for (size_t piece = 0; piece < pieces; piece++) {
        size_t place = m.match[piece];
        if (place < places && costs[place * pieces + piece] >= 0) {
            piece_of[place] = piece;
            served++;
        }
    }
    return served;
}
