/* write_tags.c - tags.pdf: a grid to cut out. Names wrap; a tag that needs more height than its row makes
 * the row higher, and no letter is smaller than on a card. */
#include "press_private.h"

#include <math.h>

static const double PAD = 6, NOTES = 26; /* least height of the box for notes */
enum { MOST_LINES = 4 };                 /* of a name or a list; what is longer stands on the card */

struct tag_page {
    struct { struct placed *items; size_t count, room; } tags;
    struct { double *items; size_t count, room; } lefts;
    const char *first;
};
struct tag_pages {
    struct tag_page *items;
    size_t count, room;
    const struct layout *layout;
};

static void facts(struct flow *flow, const struct tag *tag)
{
    struct layout *layout = flow->layout;

    for (size_t i = 0; i < tag->facts.count; i++) {
        const char *text = tag->facts.items[i].text;
        flow_add(flow, tag->facts.items[i].label, STYLE_BODY,
                 text == NULL ? "________"
                              : text_shortened(layout, STYLE_BODY, flow->width - 2 * PAD, text,
                                               MOST_LINES));
    }
    if (tag->decide.count > 0)
        flow_add(flow, label(layout->labels, "tag.decide"), STYLE_BODY, "");
    for (size_t i = 0; i < tag->decide.count; i++)
        flow_tick(flow, tag->decide.items[i]);
}

/* What it is for, and of which engine: there are others on the next bench. */
static const char *tag_heading(const struct layout *layout, const struct tag *tag)
{
    const struct pack *pack = layout->pack;

    return str_print(layout->arena, "%s \xc2\xb7 %s%s%s", tag->heading, pack->engine,
                     pack->serial != NULL ? " " : "", pack->serial != NULL ? pack->serial : "");
}

/* All but the box for notes, which takes what is left of the row. */
static struct slab *tag_slab(struct layout *layout, const struct tag *tag, double width)
{
    struct slab *slab = slab_new(layout);
    double inner = width - 2 * PAD, y = PAD;
    const char *heading = tag_heading(layout, tag);
    double id_room = inner - text_width(STYLE_SMALL_BOLD, heading) - PAD;

    heading = text_shortened(layout, STYLE_SMALL_BOLD, inner, heading, 1);
    slab_line(layout, slab, STYLE_SMALL_BOLD, -1, PAD, y, heading);
    if (text_width(STYLE_SMALL, tag->id) <= id_room) {
        slab_line(layout, slab, STYLE_SMALL, 1, PAD + inner, y, tag->id);
        y += LINE;
    } else {
        y = slab_text(layout, slab, STYLE_SMALL, PAD, y + LINE, inner,
                      text_shortened(layout, STYLE_SMALL, inner, tag->id, MOST_LINES));
    }
    y = slab_text(layout, slab, STYLE_HEADING_2, PAD, y, inner,
                  text_shortened(layout, STYLE_HEADING_2, inner, tag->title, MOST_LINES));
    struct flow flow = flow_new(layout, slab, PAD, y, inner);
    facts(&flow, tag);
    slab->height = flow_end(&flow) + GRID + NOTES + PAD;
    return slab;
}

static void finish(struct layout *layout, struct slab *slab, double width, double height)
{
    double top = slab->height - PAD - NOTES;

    slab_line(layout, slab, STYLE_SMALL, -1, PAD + 3, top, label(layout->labels, "tag.notes"));
    slab_box(layout, slab, PAD, top, width - 2 * PAD, height - PAD - top, HAIR);
    slab_box(layout, slab, 0, 0, width, height, HAIR);
    slab->height = height;
}

static struct tag_page *new_page(struct layout *layout, struct tag_pages *pages)
{
    struct tag_page *page = ARRAY_PUSH(layout->arena, pages);

    *page = (struct tag_page){0};
    return page;
}

static void lay_out(struct layout *layout, struct tag_pages *pages)
{
    const struct pack *pack = layout->pack;
    size_t across = pack->template->tags_across;
    double width = layout->width / (double)across;
    double bottom = layout->page_height - layout->margin_bottom;
    double least = (bottom - layout->margin_top) / (double)pack->template->tags_down;
    double y = INFINITY;
    struct slab *row[4]; /* as the template bounds it */

    for (size_t first = 0; first < pack->tags.count; first += across) {
        double height = least;
        size_t count = 0;
        for (; count < across && first + count < pack->tags.count; count++) {
            row[count] = tag_slab(layout, &pack->tags.items[first + count], width);
            height = fmax(height, row[count]->height);
        }
        if (y + height > bottom + 0.01) {
            new_page(layout, pages)->first = pack->tags.items[first].title;
            y = layout->margin_top;
        }
        struct tag_page *page = &pages->items[pages->count - 1];
        for (size_t i = 0; i < count; i++) {
            finish(layout, row[i], width, height);
            *ARRAY_PUSH(layout->arena, &page->tags) = (struct placed){row[i], y};
            *ARRAY_PUSH(layout->arena, &page->lefts) =
                layout->margin_inner + width * (double)i;
        }
        y += height;
    }
}

static void draw_page(struct press *press, size_t index, void *user)
{
    const struct tag_pages *pages = user;
    const struct tag_page *page = &pages->items[index];

    for (size_t i = 0; i < page->tags.count; i++)
        press_slab(press, page->tags.items[i].slab, page->lefts.items[i], page->tags.items[i].y);
}

static void add_bookmarks(struct press *press, void *user)
{
    const struct tag_pages *pages = user;

    for (size_t i = 0; i < pages->count; i++)
        press_bookmark(press, 1, pages->items[i].first, i, 0);
}

bool write_tags(struct context *context, const struct pack *pack, struct outputs *outputs)
{
    struct layout layout = layout_on_paper(context, pack);
    struct tag_pages pages = {.layout = &layout};

    if (pack->tags.count == 0)
        return true;
    lay_out(&layout, &pages);
    const struct press_job job = {
        .file = "tags.pdf",
        .title = str_print(context->arena, "%s: %s", label(layout.labels, "tag.title"),
                           pack->engine),
        .width = layout.page_width, .height = layout.page_height, .page_count = pages.count,
        .draw_page = draw_page, .bookmarks = add_bookmarks, .user = &pages};
    return press_print(context, pack, &job, outputs);
}
