/* layout_block.c - each kind of block but steps and tables, as slabs. */
#include "layout_private.h"

#include <math.h>
#include <string.h>

static void heading(struct layout *layout, const struct block *block)
{
    static const enum style by_level[] = {STYLE_HEADING_1, STYLE_HEADING_1, STYLE_HEADING_2,
                                          STYLE_HEADING_3};
    struct slab *slab = slab_new(layout);
    unsigned level = block->level > 3 ? 3 : block->level;

    slab->height = up_to_grid(slab_text(layout, slab, by_level[level], 0, 0, layout->width,
                                        block->text)) + (level == 3 ? 0 : GRID / 2);
    slab->height = up_to_grid(slab->height);
    slab->before = space_above(layout, level == 3 ? HALF : LINE - GRID);
    slab->keep = true;
    slab->bookmark = block->text;
    slab_push(layout, slab);
}

/* A paragraph may be cut between lines, but not after its first or before its last. */
static void paragraph(struct layout *layout, const struct block *block)
{
    struct slab *slab = slab_new(layout);

    slab->height = slab_text(layout, slab, STYLE_BODY, 0, 0, layout->width, block->text);
    slab->before = space_above(layout, HALF);
    slab->keep = block->keep_with_next;
    slab->flows = true;
    size_t kept = 0;
    for (size_t i = 0; i < slab->cuts.count; i++)
        if (i >= 1 && i + 2 < slab->cuts.count)
            slab->cuts.items[kept++] = slab->cuts.items[i];
    slab->cuts.count = kept;
    slab_push(layout, slab);
}

static void facts(struct layout *layout, const struct block *block)
{
    double label_width = 0, most = layout->width * 0.36;

    for (size_t i = 0; i < block->facts.count; i++)
        label_width = fmax(label_width, text_width(STYLE_SMALL, block->facts.items[i].label));
    label_width = fmin(label_width + 1, most);
    for (size_t i = 0; i < block->facts.count; i++) {
        struct slab *slab = slab_new(layout);
        double a = slab_text(layout, slab, STYLE_SMALL, 0, 0, label_width,
                             block->facts.items[i].label);
        double b = slab_text(layout, slab, STYLE_BODY, label_width + 14, 0,
                             layout->width - label_width - 14, block->facts.items[i].text);
        slab->height = fmax(a, b);
        slab->before = i == 0 ? space_above(layout, HALF) : 0;
        slab->keep = block->keep_with_next && i + 1 == block->facts.count;
        slab_push(layout, slab);
    }
}

/* Kit and tools: a box to tick, the count, the thing; three abreast where they are short, each taking as
 * many columns as it needs. */
struct list {
    const struct block *block;
    size_t columns;
    double column, count_width; /* from one column to the next; of the widest count */
};

static const double LIST_GAP = 14;

static const char *list_text(struct layout *layout, const struct block *block, size_t i)
{
    const char *text = block->checklist.items[i].text;

    return block->checklist.items[i].mark ? str_print(layout->arena, "%s \xe2\x97\x86", text) : text;
}

static double list_lead(const struct list *list)
{
    return 16 + (list->count_width > 0 ? list->count_width + 5 : 0);
}

/* Smaller where that spares a second line. */
static enum style list_style(const struct layout *layout, const struct list *list, const char *text)
{
    return text_width(STYLE_BODY, text) > layout->width - list_lead(list) ? STYLE_SMALL : STYLE_BODY;
}

static size_t columns_for(struct layout *layout, const struct list *list, size_t i)
{
    double wide = list_lead(list) + text_width(STYLE_BODY, list_text(layout, list->block, i)) + LIST_GAP;
    size_t needs = (size_t)ceil(wide / list->column - 0.001);

    return needs > list->columns ? list->columns : needs;
}

static double list_item(struct layout *layout, struct slab *slab, const struct list *list, size_t i,
                        size_t column, size_t columns)
{
    double x = (double)column * list->column, lead = list_lead(list);
    const char *count = list->block->checklist.items[i].count;
    const char *text = list_text(layout, list->block, i);

    slab_tick_box(layout, slab, x, 1);
    if (count != NULL)
        slab_line(layout, slab, STYLE_BOLD, 1, x + lead - 5, 1, count);
    return slab_text(layout, slab, list_style(layout, list, text), x + lead, 1,
                     (double)columns * list->column - LIST_GAP - lead, text);
}

static struct list list_of(struct layout *layout, const struct block *block)
{
    struct list list = {block, layout->width > 420 ? 6 : 4, 0, 0};

    for (size_t i = 0; i < block->checklist.count; i++)
        if (block->checklist.items[i].count != NULL)
            list.count_width = fmax(list.count_width,
                                    text_width(STYLE_BOLD, block->checklist.items[i].count));
    list.column = (layout->width + LIST_GAP) / (double)list.columns;
    return list;
}

static void always_renewed(struct layout *layout)
{
    struct slab *slab = slab_new(layout);
    const char *words = str_print(layout->arena, "\xe2\x97\x86 %s",
                                  label(layout->labels, "card.always-renewed"));

    layout->slabs->items[layout->slabs->count - 1]->keep = true;
    slab->height = up_to_grid(slab_text(layout, slab, STYLE_SMALL, 0, 0, layout->width, words));
    slab_push(layout, slab);
}

static void checklist(struct layout *layout, const struct block *block)
{
    struct list list = list_of(layout, block);
    bool marked = false;

    for (size_t i = 0; i < block->checklist.count;) {
        struct slab *slab = slab_new(layout);
        size_t column = 0, first = i;
        double y = 0;
        for (; i < block->checklist.count; i++) {
            size_t columns = columns_for(layout, &list, i);
            if (column > 0 && column + columns > list.columns)
                break;
            y = fmax(y, list_item(layout, slab, &list, i, column, columns));
            marked = marked || block->checklist.items[i].mark;
            column += columns;
        }
        slab->height = up_to_grid(y + (layout->tight ? 0 : 2));
        slab->before = first == 0 ? space_above(layout, GRID) : 0;
        slab_push(layout, slab);
    }
    if (marked)
        always_renewed(layout);
}

/* The warning triangle (ISO 7010 W001) and a strong frame; cautions that follow one another share
 * the line between them. */
static void caution(struct layout *layout, const struct block *block, bool follows)
{
    struct slab *slab = slab_new(layout);
    const double pad = 6, sign = 24;
    double y;

    slab_box(layout, slab, STRONG / 2, 0, layout->width - STRONG, 0, STRONG);
    slab_line(layout, slab, STYLE_HEADING_1, -1, pad + 1, -1.5, "\xe2\x9a\xa0");
    y = slab_text(layout, slab, STYLE_BODY, sign + pad, 1.5, layout->width - sign - 2 * pad,
                  block->text);
    slab->height = up_to_grid(y + 1.5);
    slab->items.items[0].h = slab->height;
    slab->before = follows ? 0 : space_above(layout, HALF);
    slab->keep = block->keep_with_next;
    slab_push(layout, slab);
}

/* A figure that follows no step. */
static void figure(struct layout *layout, const struct figure *what)
{
    struct slab *slab = slab_new(layout);

    slab->height = up_to_grid(figure_put(layout, slab, figure_drawn(layout, what, layout->width),
                                         what->caption, 0, 0, layout->width));
    slab->before = space_above(layout, HALF);
    slab_push(layout, slab);
}

/* One line of the contents: the page first, so that the eye need not cross the sheet; then the card's
 * place, then its title. */
static double content(struct layout *layout, struct slab *slab, size_t index, double left, double width)
{
    const double page_end = 22, place = 28, title = 78;
    const struct section *section = layout->pack->sections.items[index];
    bool card = section->kind == SECTION_CARD && section->place != NULL;
    double x = card ? title : place, height;
    size_t first = slab->items.count;

    if (card)
        slab_line(layout, slab, STYLE_SMALL, -1, left + place, 0, section->place);
    height = slab_text(layout, slab, card ? STYLE_BODY : STYLE_BOLD, left + x, 0, width - x,
                       section->title);
    struct item *page = slab_item(layout, slab, ITEM_PAGE_OF, left + page_end, 0, 0, 0);
    page->y = slab->items.items[first].y;
    page->style = STYLE_BODY;
    page->align = 1;
    page->target = index;
    slab_item(layout, slab, ITEM_LINK, left, 0, width, height)->target = index;
    return height;
}

/* In two columns, read down the first and then the second, as many lines as stand on a page. */
static void contents(struct layout *layout)
{
    const struct pack *pack = layout->pack;
    const double gap = 18;
    size_t columns = layout->width > 420 ? 2 : 1, count = 0;
    size_t *listed = ARENA_ARRAY(layout->arena, size_t, pack->sections.count);
    double width = (layout->width - gap * (double)(columns - 1)) / (double)columns;
    size_t most = (size_t)((layout->page_height - layout->margin_top - layout->margin_bottom) / LINE) - 8;

    for (size_t i = 0; i < pack->sections.count; i++)
        if (pack->sections.items[i]->kind != SECTION_COVER)
            listed[count++] = i;
    for (size_t first = 0, rows; first < count; first += rows * columns) {
        rows = (count - first + columns - 1) / columns;
        rows = rows > most ? most : rows;
        for (size_t row = 0; row < rows; row++) {
            struct slab *slab = slab_new(layout);
            for (size_t i = first + row, column = 0; column < columns && i < count; i += rows, column++)
                slab->height = fmax(slab->height,
                                    content(layout, slab, listed[i],
                                            (double)column * (width + gap), width));
            slab->keep = columns > 1 && row + 1 < rows;
            slab_push(layout, slab);
        }
    }
}

/* What follows would be lost alone on a page. */
static void keep_last(struct layout *layout)
{
    if (layout->slabs->count > 0)
        layout->slabs->items[layout->slabs->count - 1]->keep = true;
}

/* Name with signature, and the date: a row a person who signs. */
static void sign_row(struct layout *layout, const char *who)
{
    struct slab *slab = slab_new(layout);
    double date = layout->width * 0.7, room = date * 0.4, height;

    height = slab_text(layout, slab, STYLE_SMALL, 4, 1, room, who) + 1;
    height = fmax(up_to_grid(height), BLANK + space_above(layout, GRID));
    slab_line(layout, slab, STYLE_SMALL, -1, date + 4, 1, label(layout->labels, "card.date"));
    slab_box(layout, slab, 0, 0, layout->width, height, FINE);
    slab_item(layout, slab, ITEM_RULE, date, 0, 0, height)->weight = FINE;
    slab->height = height;
    slab_push(layout, slab);
}

static void sign_off(struct layout *layout, const struct block *block)
{
    struct slab *space = slab_new(layout);

    keep_last(layout);
    space->height = space_above(layout, HALF);
    space->keep = true;
    if (block->text != NULL)
        space->height = up_to_grid(slab_text(layout, space, STYLE_BOLD, 0, HALF, layout->width,
                                             block->text) + GRID);
    slab_push(layout, space);
    if (block->facts.count == 0)
        sign_row(layout, label(layout->labels, "card.done-by"));
    for (size_t i = 0; i < block->facts.count; i++)
        sign_row(layout, block->facts.items[i].label);
}

static void layout_block(struct layout *layout, const struct block *block)
{
    switch (block->kind) {
    case BLOCK_HEADING:
        heading(layout, block);
        break;
    case BLOCK_TEXT:
        paragraph(layout, block);
        break;
    case BLOCK_FACTS:
        facts(layout, block);
        break;
    case BLOCK_TABLE:
        layout_table(layout, block->table);
        break;
    case BLOCK_CHECKLIST:
        checklist(layout, block);
        break;
    case BLOCK_FIGURE:
        figure(layout, block->figure);
        break;
    case BLOCK_STEP: /* these two look at their neighbours: layout_blocks */
    case BLOCK_CAUTION:
        break;
    case BLOCK_CONTENTS:
        contents(layout);
        break;
    case BLOCK_SIGN_OFF:
        sign_off(layout, block);
        break;
    }
}

void layout_blocks(struct layout *layout, const struct section *section)
{
    struct block *const *blocks = section->blocks.items;
    size_t count = section->blocks.count;

    for (size_t i = 0; i < count; i++) {
        if (blocks[i]->kind == BLOCK_STEP) {
            bool shown = i + 1 < count && blocks[i + 1]->kind == BLOCK_FIGURE;
            layout_step(layout, blocks[i]->step, shown ? blocks[i + 1]->figure : NULL);
            i += shown;
        } else if (blocks[i]->kind == BLOCK_CAUTION) {
            caution(layout, blocks[i], i > 0 && blocks[i - 1]->kind == BLOCK_CAUTION);
        } else {
            layout_block(layout, blocks[i]);
        }
    }
}

/* One paragraph in small letters at the very end. */
void layout_sources(struct layout *layout, const struct section *section)
{
    const char *words = label(layout->labels, "card.sources");
    struct str_buf all = {.arena = layout->arena};
    struct slab *slab = slab_new(layout);

    if (section->sources.count == 0)
        return;
    for (size_t i = 0; i < section->sources.count; i++)
        str_add_print(&all, i > 0 ? "; %s" : "%s", section->sources.items[i]);
    struct flow flow = flow_new(layout, slab, 0, GRID, layout->width);
    keep_last(layout);
    flow_add(&flow, words, STYLE_SMALL, all.bytes);
    slab->height = up_to_grid(flow_end(&flow));
    slab->flows = true;
    slab_push(layout, slab);
}
