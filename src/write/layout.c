/* layout.c - the little words that slabs are built of. */
#include "layout_private.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* DejaVu Sans is wide and has tall small letters: 9 pt of it reads as 10 pt of most faces. */
const struct style_row styles[STYLE_COUNT] = {
    [STYLE_SMALL] = {FACE_REGULAR, 9, LINE},
    [STYLE_SMALL_BOLD] = {FACE_BOLD, 9, LINE},
    [STYLE_BODY] = {FACE_REGULAR, 9.5, LINE},
    [STYLE_BOLD] = {FACE_BOLD, 9.5, LINE},
    [STYLE_STEP] = {FACE_REGULAR, 10.5, LINE},
    [STYLE_STEP_BOLD] = {FACE_BOLD, 10.5, LINE},
    [STYLE_HEADING_3] = {FACE_BOLD, 9.5, LINE},
    [STYLE_HEADING_2] = {FACE_BOLD, 10.5, LINE + GRID},
    [STYLE_HEADING_1] = {FACE_BOLD, 13, LINE + HALF},
    [STYLE_TITLE] = {FACE_BOLD, 15, LINE + HALF},
    [STYLE_COVER] = {FACE_BOLD, 26, 3 * LINE - HALF},
};

struct layout layout_on_paper(struct context *context, const struct pack *pack)
{
    const struct template *template = pack->template;
    struct layout layout = {.arena = context->arena, .pack = pack, .labels = template->labels};

    layout.page_width = paper_mm[template->paper][0] * MM;
    layout.page_height = paper_mm[template->paper][1] * MM;
    layout.margin_top = template->margin_top_mm * MM;
    layout.margin_bottom = template->margin_bottom_mm * MM;
    layout.margin_inner = template->margin_inner_mm * MM;
    layout.margin_outer = template->margin_outer_mm * MM;
    layout.width = layout.page_width - layout.margin_inner - layout.margin_outer;
    return layout;
}

double up_to_grid(double height)
{
    return ceil(height / (GRID / 2) - 0.001) * (GRID / 2);
}

double space_above(const struct layout *layout, double space)
{
    return layout->tight ? up_to_grid(space / 2) : space;
}

double text_width(enum style style, const char *text)
{
    return font_width(styles[style].face, text, strlen(text), styles[style].size);
}

struct slab *slab_new(struct layout *layout)
{
    return ARENA_NEW(layout->arena, struct slab);
}

void slab_push(struct layout *layout, struct slab *slab)
{
    const struct slabs *slabs = layout->slabs;

    /* A heading has its own space below. */
    if (slabs->count > 0 && slabs->items[slabs->count - 1]->bookmark != NULL)
        slab->before = 0;
    *ARRAY_PUSH(layout->arena, layout->slabs) = slab;
}

struct item *slab_item(struct layout *layout, struct slab *slab, enum item_kind kind, double x,
                       double y, double w, double h)
{
    struct item *item = ARRAY_PUSH(layout->arena, &slab->items);

    assert(isfinite(x) && isfinite(y) && isfinite(w) && isfinite(h));
    *item = (struct item){.kind = kind, .x = x, .y = y, .w = w, .h = h};
    return item;
}

/* The baseline of a line whose top is at `top`: letters stand in the middle of their line. */
static double baseline(enum style style, double top)
{
    double size = styles[style].leading > LINE ? styles[style].size : 9.5; /* one grid for all text */

    return top + (styles[style].leading + size * 0.73) / 2; /* 0.73: height of H */
}

void slab_line(struct layout *layout, struct slab *slab, enum style style, int align, double x,
               double y, const char *text)
{
    if (*text == '\0')
        return;
    struct item *item = slab_item(layout, slab, ITEM_TEXT, x, baseline(style, y), 0, 0);
    if (strchr(text, '\n') != NULL) { /* one line is wanted, whatever a user wrote */
        char *line = str_copy(layout->arena, text);
        for (char *at = line; (at = strchr(at, '\n')) != NULL;)
            *at = ' ';
        text = line;
    }
    item->text = text_drawable(layout->arena, text);
    item->style = style;
    item->align = align;
}

double slab_text(struct layout *layout, struct slab *slab, enum style style, double x, double y,
                 double width, const char *text)
{
    const struct style_row *row = &styles[style];
    struct text_lines lines = {0};

    text_break(layout->arena, row->face, row->size, width, text_drawable(layout->arena, text),
               &lines);
    for (size_t i = 0; i < lines.count; i++) {
        slab_line(layout, slab, style, -1, x, y, lines.items[i].text);
        y += row->leading;
        *ARRAY_PUSH(layout->arena, &slab->cuts) = y;
    }
    return y;
}

const char *text_shortened(struct layout *layout, enum style style, double width, const char *text,
                           size_t most)
{
    struct text_lines lines = {0};
    struct str_buf kept = {.arena = layout->arena};

    text_break(layout->arena, styles[style].face, styles[style].size,
               width - text_width(style, "\xe2\x80\xa6"), text_drawable(layout->arena, text), &lines);
    if (lines.count <= most)
        return text;
    for (size_t i = 0; i < most; i++)
        str_add_print(&kept, "%s%s", i > 0 ? "\n" : "", lines.items[i].text);
    str_add(&kept, "\xe2\x80\xa6");
    return kept.bytes;
}

void slab_rule(struct layout *layout, struct slab *slab, double x, double y, double w, double weight)
{
    slab_item(layout, slab, ITEM_RULE, x, y, w, 0)->weight = weight;
}

void slab_box(struct layout *layout, struct slab *slab, double x, double y, double w, double h,
              double weight)
{
    slab_item(layout, slab, ITEM_BOX, x, y, w, h)->weight = weight;
}

void slab_fill(struct layout *layout, struct slab *slab, double x, double y, double w, double h,
               double grey)
{
    slab_item(layout, slab, ITEM_FILL, x, y, w, h)->weight = grey;
}

/* A box to tick in a line whose top is at y. */
void slab_tick_box(struct layout *layout, struct slab *slab, double x, double y)
{
    slab_box(layout, slab, x + 0.5, y + 1, 10, 10, FINE + 0.15);
}
