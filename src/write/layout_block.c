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
                                        block->text)) + (level == 3 ? 0 : HALF / 2);
    slab->height = up_to_grid(slab->height);
    slab->before = level == 3 ? LINE : LINE + HALF;
    slab->keep = true;
    slab->bookmark = block->text;
    slab_push(layout, slab);
}

/* A paragraph may be cut between lines, but not after its first or before its last. */
static void paragraph(struct layout *layout, const struct block *block)
{
    struct slab *slab = slab_new(layout);

    slab->height = slab_text(layout, slab, STYLE_BODY, 0, 0, layout->width, block->text);
    slab->before = HALF;
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
        slab->before = i == 0 ? HALF : 0;
        slab->keep = block->keep_with_next && i + 1 == block->facts.count;
        slab_push(layout, slab);
    }
}

/* Kit and tools: a box to tick, the count, the thing; two abreast where the page is wide. */
struct list_cell {
    double x, width, count_width;
};

static double list_item(struct layout *layout, struct slab *slab, struct list_cell cell,
                        const struct block *block, size_t i)
{
    const char *count = block->checklist.items[i].count;
    double text_x = cell.x + 18 + (cell.count_width > 0 ? cell.count_width + 6 : 0);
    const char *text = block->checklist.items[i].text;

    slab_tick_box(layout, slab, cell.x, HALF / 2);
    if (count != NULL)
        slab_line(layout, slab, STYLE_BOLD, 1, text_x - 6, HALF / 2, count);
    if (block->checklist.items[i].mark)
        text = str_print(layout->arena, "%s \xe2\x97\x86", text);
    return slab_text(layout, slab, STYLE_BODY, text_x, HALF / 2, cell.x + cell.width - text_x,
                     text) + HALF / 2;
}

static void checklist(struct layout *layout, const struct block *block)
{
    size_t abreast = layout->width > 420 ? 2 : 1, count = block->checklist.count;
    const double gap = 16;
    struct list_cell cell = {0};
    bool marked = false;

    cell.width = (layout->width - gap * (double)(abreast - 1)) / (double)abreast;
    for (size_t i = 0; i < count; i++) {
        if (block->checklist.items[i].count != NULL)
            cell.count_width = fmax(cell.count_width,
                                    text_width(STYLE_BOLD, block->checklist.items[i].count));
        marked = marked || block->checklist.items[i].mark;
    }
    for (size_t i = 0; i < count; i += abreast) {
        struct slab *slab = slab_new(layout);
        double y = 0;
        for (size_t j = i; j < count && j < i + abreast; j++) {
            cell.x = (double)(j - i) * (cell.width + gap);
            y = fmax(y, list_item(layout, slab, cell, block, j));
        }
        slab->height = up_to_grid(y);
        slab->before = i == 0 ? HALF : 0;
        slab->keep = marked && i + abreast >= count;
        slab_push(layout, slab);
    }
    if (marked) {
        struct slab *slab = slab_new(layout);
        const char *words = str_print(layout->arena, "\xe2\x97\x86 %s",
                                      label(layout->labels, "card.always-renewed"));
        slab->height = slab_text(layout, slab, STYLE_SMALL, 0, HALF / 2, layout->width, words);
        slab->height = up_to_grid(slab->height);
        slab_push(layout, slab);
    }
}

/* The warning triangle (ISO 7010 W001) and a strong frame; cautions that follow one another share
 * the line between them. */
static void caution(struct layout *layout, const struct block *block, bool follows)
{
    struct slab *slab = slab_new(layout);
    const double pad = 8, sign = 30;
    double y;

    slab_box(layout, slab, STRONG / 2, 0, layout->width - STRONG, 0, STRONG);
    slab_line(layout, slab, STYLE_TITLE, -1, pad + 2, 0, "\xe2\x9a\xa0");
    y = slab_text(layout, slab, STYLE_BODY, sign + pad, HALF / 2 + 0.5,
                  layout->width - sign - 2 * pad, block->text);
    slab->height = up_to_grid(y + HALF / 2 - 1);
    slab->items.items[0].h = slab->height;
    slab->before = follows ? 0 : HALF;
    slab->keep = block->keep_with_next;
    slab_push(layout, slab);
}

/* One figure with its caption in a part of the width; the y below it. */
static double figure(struct layout *layout, struct slab *slab, const struct figure *what, double x,
                     double width)
{
    const double mm = 72 / 25.4;
    double room = layout->page_height - layout->margin_top - layout->margin_bottom - 14 * LINE;
    double wide = fmin(width / mm, 170), y;
    const struct drawing *drawing = draw_figure(layout->arena, what, wide);

    if (drawing->height_mm * mm > room)
        drawing = draw_figure(layout->arena, what, wide * room / (drawing->height_mm * mm));
    slab_item(layout, slab, ITEM_DRAWING, x + (width - drawing->width_mm * mm) / 2, HALF,
              drawing->width_mm * mm, drawing->height_mm * mm)->drawing = drawing;
    y = up_to_grid(drawing->height_mm * mm + LINE);
    if (what->caption == NULL)
        return y;
    if (text_width(STYLE_SMALL, what->caption) >= width)
        return slab_text(layout, slab, STYLE_SMALL, x, y, width, what->caption);
    slab_line(layout, slab, STYLE_SMALL, 0, x + width / 2, y, what->caption);
    return y + LINE;
}

static bool is_narrow(const struct block *block)
{
    return block->kind == BLOCK_FIGURE && block->figure->kind != FIGURE_TIMING;
}

/* The figure at `first`, with the one after it beside it where both are narrow; how many. */
static size_t figures(struct layout *layout, const struct section *section, size_t first)
{
    struct block *const *blocks = section->blocks.items + first;
    struct slab *slab = slab_new(layout);
    const double gap = 24;
    bool two = layout->width > 420 && first + 1 < section->blocks.count && is_narrow(blocks[0]) &&
               is_narrow(blocks[1]);
    double width = two ? (layout->width - gap) / 2 : layout->width;

    slab->height = figure(layout, slab, blocks[0]->figure, 0, width);
    if (two)
        slab->height = fmax(slab->height, figure(layout, slab, blocks[1]->figure, width + gap,
                                                 width));
    slab->height = up_to_grid(slab->height);
    slab->before = HALF;
    slab_push(layout, slab);
    return two ? 2 : 1;
}

/* The page first, so that the eye need not cross the sheet; then the card's place, then its title. */
static void contents(struct layout *layout)
{
    const struct pack *pack = layout->pack;
    const double page_end = 24, place = 36, title = 100;

    for (size_t i = 0; i < pack->sections.count; i++) {
        const struct section *section = pack->sections.items[i];
        if (section->kind == SECTION_COVER)
            continue;
        struct slab *slab = slab_new(layout);
        bool card = section->kind == SECTION_CARD && section->place != NULL;
        double x = card ? title : place;
        if (card)
            slab_line(layout, slab, STYLE_SMALL, -1, place, 0, section->place);
        slab->height = slab_text(layout, slab, card ? STYLE_BODY : STYLE_BOLD, x, 0,
                                 layout->width - x, section->title);
        struct item *page = slab_item(layout, slab, ITEM_PAGE_OF, page_end, 0, 0, 0);
        page->y = slab->items.items[0].y;
        page->style = STYLE_BODY;
        page->align = 1;
        page->target = i;
        slab_item(layout, slab, ITEM_LINK, 0, 0, layout->width, slab->height)->target = i;
        slab_push(layout, slab);
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
    double date = layout->width * 0.7;
    double height = slab_text(layout, slab, STYLE_SMALL, 4, 1, date - 8, who);

    height = up_to_grid(height - 1 + 2 * LINE);
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
    space->height = LINE;
    space->keep = true;
    if (block->text != NULL)
        space->height = up_to_grid(slab_text(layout, space, STYLE_BOLD, 0, HALF, layout->width,
                                             block->text) + HALF / 2);
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
    case BLOCK_STEP:
        layout_step(layout, block->step);
        break;
    case BLOCK_CAUTION: /* these two look at their neighbours: layout_blocks */
    case BLOCK_FIGURE:
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

    for (size_t i = 0; i < section->blocks.count;) {
        if (blocks[i]->kind == BLOCK_FIGURE) {
            i += figures(layout, section, i);
            continue;
        }
        if (blocks[i]->kind == BLOCK_CAUTION)
            caution(layout, blocks[i], i > 0 && blocks[i - 1]->kind == BLOCK_CAUTION);
        else
            layout_block(layout, blocks[i]);
        i++;
    }
}

void layout_sources(struct layout *layout, const struct section *section)
{
    if (section->sources.count == 0)
        return;
    struct slab *head = slab_new(layout);
    keep_last(layout);
    slab_rule(layout, head, 0, HALF, layout->width * 0.3, FINE);
    head->height = up_to_grid(slab_text(layout, head, STYLE_SMALL_BOLD, 0, LINE, layout->width,
                                        label(layout->labels, "card.sources")));
    head->before = HALF;
    head->keep = true;
    slab_push(layout, head);
    for (size_t i = 0; i < section->sources.count; i++) {
        struct slab *slab = slab_new(layout);
        slab->height = slab_text(layout, slab, STYLE_SMALL, 10, 0, layout->width - 10,
                                 section->sources.items[i]);
        slab_push(layout, slab);
    }
}
