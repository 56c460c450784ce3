/* shatter.c - a slab too tall for what is left of a page, taken apart between its lines. */
#include "layout_private.h"

#include <stdlib.h>
#include <string.h>

struct sizes {
    double *items;
    size_t count, room;
};

static int by_size(const void *a, const void *b)
{
    double left = *(const double *)a, right = *(const double *)b;

    return left < right ? -1 : left > right;
}

/* Index of the first that is above `value`, or the count. */
static size_t first_above(const struct sizes *sizes, double value)
{
    size_t low = 0, high = sizes->count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (sizes->items[middle] > value)
            high = middle;
        else
            low = middle + 1;
    }
    return low;
}

/* The cuts in order, each once, and the height as the last. */
static struct sizes cuts_of(struct layout *layout, const struct slab *slab)
{
    struct sizes wanted = {0}, cuts = {0};

    for (size_t i = 0; i < slab->cuts.count; i++)
        *ARRAY_PUSH(layout->arena, &wanted) = slab->cuts.items[i];
    if (wanted.count > 1)
        qsort(wanted.items, wanted.count, sizeof *wanted.items, by_size);
    for (size_t i = 0; i < wanted.count; i++) {
        double cut = wanted.items[i];
        if (cut > (cuts.count > 0 ? cuts.items[cuts.count - 1] : 0) + 0.01 &&
            cut < slab->height - 0.01)
            *ARRAY_PUSH(layout->arena, &cuts) = cut;
    }
    *ARRAY_PUSH(layout->arena, &cuts) = slab->height;
    return cuts;
}

/* A line of another column may begin above the cut: so much room the piece needs on a new page. */
static void push(struct layout *layout, struct slab *piece, const struct item *item, double top)
{
    const double letters = 9.5; /* what they take above their baseline */
    struct item *moved = ARRAY_PUSH(layout->arena, &piece->items);
    double above;

    *moved = *item;
    moved->y -= top;
    above = (item->kind == ITEM_TEXT ? letters : 0) - moved->y;
    if (above > piece->overhang)
        piece->overhang = up_to_grid(above);
}

/* A frame taken apart is open where it was cut. */
static void push_sides(struct layout *layout, struct slab *piece, const struct item *box, double from,
                       double to, double top)
{
    struct item side = *box;

    side.kind = ITEM_RULE;
    side.y = from;
    side.w = 0;
    side.h = to - from;
    push(layout, piece, &side, top);
    side.x += box->w;
    push(layout, piece, &side, top);
    side = *box;
    side.kind = ITEM_RULE;
    side.h = 0;
    if (from <= box->y)
        push(layout, piece, &side, top);
    side.y += box->h;
    if (to >= side.y)
        push(layout, piece, &side, top);
}

/* What goes over several pieces gets a part in each. */
static void spread(struct layout *layout, struct slab **pieces, const struct sizes *cuts,
                   const struct item *item)
{
    double bottom = item->y + item->h;

    for (size_t i = first_above(cuts, item->y); i < cuts->count; i++) {
        double top = i > 0 ? cuts->items[i - 1] : 0;
        double from = item->y > top ? item->y : top;
        double to = bottom < cuts->items[i] ? bottom : cuts->items[i];
        if (from >= bottom - 0.01)
            break;
        if (item->kind == ITEM_BOX) {
            push_sides(layout, pieces[i], item, from, to, top);
            continue;
        }
        struct item part = *item;
        part.y = from;
        part.h = to - from;
        push(layout, pieces[i], &part, top);
    }
}

/* What may be cut through; the rest goes whole into the piece in which it ends. */
static bool is_tall(const struct item *item)
{
    return item->h > 3 * LINE && (item->kind == ITEM_BOX || item->kind == ITEM_FILL ||
                                  item->kind == ITEM_LINK || item->kind == ITEM_RULE);
}

static void place(struct layout *layout, struct slab **pieces, const struct sizes *cuts,
                  const struct item *item)
{
    size_t first = first_above(cuts, item->y + 0.01);
    size_t last = first_above(cuts, item->y + item->h - 0.01);

    if (first == cuts->count)
        first--;
    if (last == cuts->count)
        last--;
    if (is_tall(item) && last > first)
        spread(layout, pieces, cuts, item);
    else
        push(layout, pieces[last], item, last > 0 ? cuts->items[last - 1] : 0);
}

void slab_shatter(struct layout *layout, const struct slab *slab, struct slabs *pieces)
{
    struct sizes cuts = cuts_of(layout, slab);

    for (size_t i = 0; i < cuts.count; i++) {
        struct slab *piece = slab_new(layout);
        piece->height = cuts.items[i] - (i > 0 ? cuts.items[i - 1] : 0);
        piece->before = i == 0 ? slab->before : 0;
        piece->head = slab->head;
        piece->bookmark = i == 0 ? slab->bookmark : NULL;
        *ARRAY_PUSH(layout->arena, pieces) = piece;
    }
    for (size_t i = 0; i < slab->items.count; i++)
        place(layout, pieces->items, &cuts, &slab->items.items[i]);
}
