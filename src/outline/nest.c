/* nest.c - rectangles on sheets, each cut going right across what is left (guillotine). */
#include <gudgeon/outline.h>

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#define SLACK_MM 1e-9

struct space {
    size_t sheet;
    double x, y, width, height;
};
struct spaces {
    struct space *items;
    size_t count, room;
};

static bool fits(const struct space *space, double width, double height)
{
    return width <= space->width + SLACK_MM && height <= space->height + SLACK_MM;
}

/* The space in which least is left over beside the piece, and which way round. */
static size_t best_space(const struct spaces *spaces, const struct outline_piece *piece, bool *turned)
{
    double least = INFINITY;
    size_t best = spaces->count;

    for (size_t i = 0; i < spaces->count; i++)
        for (int turn = 0; turn <= (piece->turns ? 1 : 0); turn++) {
            const struct space *space = &spaces->items[i];
            double width = turn ? piece->height : piece->width;
            double height = turn ? piece->width : piece->height;
            double over = fmin(space->width - width, space->height - height);
            if (!fits(space, width, height) || over >= least - SLACK_MM)
                continue;
            least = over;
            best = i;
            *turned = turn != 0;
        }
    return best;
}

/* Cut so that the larger of the two rests stays as large as it can. */
static void take(struct arena *arena, struct spaces *spaces, size_t index, double width, double height,
                 double spacing)
{
    struct space from = spaces->items[index], right = from, above = from;

    right.x += width + spacing;
    right.width -= width + spacing;
    above.y += height + spacing;
    above.height -= height + spacing;
    if (right.width * from.height >= above.height * from.width)
        above.width = width;
    else
        right.height = height;
    spaces->items[index] = spaces->items[--spaces->count];
    if (above.height > 0 && above.width > 0)
        *ARRAY_PUSH(arena, spaces) = above;
    if (right.height > 0 && right.width > 0)
        *ARRAY_PUSH(arena, spaces) = right;
}

/* The longer side first, then the other, then as they were given: qsort keeps no order of its own. */
static int by_size(const void *a, const void *b)
{
    const struct outline_piece *p = *(struct outline_piece *const *)a;
    const struct outline_piece *q = *(struct outline_piece *const *)b;
    double p_long = fmax(p->width, p->height), q_long = fmax(q->width, q->height);
    double p_short = fmin(p->width, p->height), q_short = fmin(q->width, q->height);

    if (p_long != q_long)
        return p_long < q_long ? 1 : -1;
    if (p_short != q_short)
        return p_short < q_short ? 1 : -1;
    return p < q ? -1 : p > q;
}

bool outline_nest(struct arena *arena, struct outline_sheet sheet, struct outline_piece *pieces,
                  size_t count, size_t *sheets, size_t *unfit)
{
    struct outline_piece **order = ARENA_ARRAY(arena, struct outline_piece *, count);
    struct space whole = {0, sheet.margin, sheet.margin, sheet.width - 2 * sheet.margin,
                          sheet.height - 2 * sheet.margin};
    struct spaces spaces = {0};

    assert(sheet.margin >= 0 && sheet.spacing >= 0);
    *sheets = 0;
    for (size_t i = 0; i < count; i++) {
        const struct outline_piece *piece = &pieces[i];
        *unfit = i;
        if (!fits(&whole, piece->width, piece->height) &&
            !(piece->turns && fits(&whole, piece->height, piece->width)))
            return false;
        order[i] = &pieces[i];
    }
    if (count > 0)
        qsort(order, count, sizeof *order, by_size);
    for (size_t i = 0; i < count; i++) {
        struct outline_piece *piece = order[i];
        bool turned = false;
        size_t at = best_space(&spaces, piece, &turned);
        if (at == spaces.count) {
            whole.sheet = (*sheets)++;
            *ARRAY_PUSH(arena, &spaces) = whole;
            at = best_space(&spaces, piece, &turned);
        }
        piece->sheet = spaces.items[at].sheet;
        piece->x = spaces.items[at].x;
        piece->y = spaces.items[at].y;
        piece->turned = turned;
        take(arena, &spaces, at, turned ? piece->height : piece->width,
             turned ? piece->width : piece->height, sheet.spacing);
    }
    return true;
}
