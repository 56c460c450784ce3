/* page.c - slabs on pages: nothing split that fits on a page, no heading left behind, head and foot
 * on every page. */
#include "layout_private.h"

#include <assert.h>
#include <math.h>
#include <string.h>

struct filler {
    struct layout *layout;
    struct pages *pages;
    size_t section;
    double first_top, top, bottom; /* of the body, on the section's first page and the others */
    double y;
    bool empty; /* nothing on the page yet */
};

static void new_page(struct filler *f)
{
    struct page *page = ARRAY_PUSH(f->layout->arena, f->pages);
    bool first = f->pages->count == f->pages->first[f->section] + 1;

    *page = (struct page){.section = f->section};
    *ARRAY_PUSH(f->layout->arena, &page->placed) = (struct placed){0}; /* the head, first to be read */
    f->y = first ? f->first_top : f->top;
    f->empty = true;
}

static void place_at(struct filler *f, const struct slab *slab, double y)
{
    struct page *page = &f->pages->items[f->pages->count - 1];

    *ARRAY_PUSH(f->layout->arena, &page->placed) = (struct placed){slab, y};
}

static void put(struct filler *f, const struct slab *slab)
{
    if (f->empty && slab->head != NULL) {
        place_at(f, slab->head, f->y);
        f->y += slab->head->height;
        f->empty = false;
    }
    f->y += f->empty ? slab->overhang : slab->before;
    place_at(f, slab, f->y);
    f->y += slab->height;
    f->empty = false;
}

static double space_for(const struct filler *f, const struct slab *slab)
{
    double space = f->bottom - f->y;

    if (!f->empty)
        space -= slab->before;
    else if (slab->head != NULL)
        space -= slab->head->height;
    return space;
}

/* One slab; taken apart where it is running text or taller than a page. */
static void put_whole_or_shattered(struct filler *f, struct slab *slab)
{
    double page = f->bottom - f->top - (slab->head != NULL ? slab->head->height : 0);
    struct slabs pieces = {0};

    if (slab->height <= space_for(f, slab) + 0.01) {
        put(f, slab);
        return;
    }
    if (slab->flows || slab->height > page)
        slab_shatter(f->layout, slab, &pieces);
    else
        *ARRAY_PUSH(f->layout->arena, &pieces) = slab;
    for (size_t i = 0; i < pieces.count; i++) {
        if (pieces.items[i]->height > space_for(f, pieces.items[i]) + 0.01 &&
            (!f->empty || pieces.items[i]->height <= page))
            new_page(f);
        put(f, pieces.items[i]);
    }
}

/* What a group needs on the page where it begins; a paragraph at its end needs its first lines. */
static double group_height(const struct slabs *slabs, size_t first, size_t last)
{
    double height = 0;

    for (size_t i = first; i <= last; i++) {
        const struct slab *slab = slabs->items[i];
        bool part = i == last && slab->flows && slab->cuts.count > 0;
        height += (i > first ? slab->before : 0) + (part ? slab->cuts.items[0] : slab->height);
    }
    return height;
}

static void fill(struct filler *f, const struct slabs *slabs)
{
    for (size_t first = 0; first < slabs->count;) {
        size_t last = first;
        while (last + 1 < slabs->count && slabs->items[last]->keep)
            last++;
        double needs = group_height(slabs, first, last);
        if (needs > space_for(f, slabs->items[first]) + 0.01 &&
            needs <= f->bottom - f->top + 0.01)
            new_page(f);
        for (; first <= last; first++)
            put_whole_or_shattered(f, slabs->items[first]);
    }
}

/* ---------- head and foot ---------- */

static const char *labelled(struct layout *layout, const char *key, const char *text)
{
    return str_print(layout->arena, "%s %s", label(layout->labels, key), text);
}

/* Text of at most so many lines: a head and a foot must leave room for what is between them. */
static double short_text(struct layout *layout, struct slab *slab, enum style style, double y,
                         double width, const char *text, size_t most)
{
    const struct style_row *row = &styles[style];
    struct text_lines lines = {0};
    const char *end = text;

    for (size_t letters = 0; *end != '\0' && letters < 200 * most; letters++)
        (void)str_code_point(&end); /* more will not be printed: do not break it on every page */
    text_break(layout->arena, row->face, row->size, width - 12,
               text_drawable(layout->arena, str_slice(layout->arena, text, (size_t)(end - text))),
               &lines);
    for (size_t i = 0; i < lines.count && i < most; i++, y += row->leading)
        slab_line(layout, slab, style, -1, 0, y,
                  i + 1 == most && lines.count > most
                      ? str_print(layout->arena, "%s\xe2\x80\xa6", lines.items[i].text)
                      : lines.items[i].text);
    return y;
}

/* What the right side of a head takes: the card's id may be long. */
static double right_width(const struct layout *layout, const struct section *section)
{
    double most = layout->width > 400 ? 150 : 110;

    return section->kind == SECTION_CARD
               ? fmin(fmax(text_width(STYLE_SMALL, section->id) + 10, 86), most) : 86;
}

/* Engine, serial, title on the left; card, page, revision on the right; a rule below. `of` 0 gives the
 * same head without numbers, for its height. */
static struct slab *head_slab(struct layout *layout, const struct section *section, size_t number,
                              size_t of)
{
    struct slab *slab = slab_new(layout);
    const struct pack *pack = layout->pack;
    struct str_buf left = {.arena = layout->arena};
    double right = layout->width, wide = right_width(layout, section), y, z = 0;
    struct text_lines id = {0};

    str_add(&left, pack->engine != NULL ? pack->engine : pack->title);
    if (pack->serial != NULL)
        str_add_print(&left, " \xc2\xb7 %s %s", label(layout->labels, "cover.serial"),
                      pack->serial);
    y = short_text(layout, slab, STYLE_SMALL, 0, layout->width - wide, left.bytes, 2);
    bool large = number == 1 && text_width(STYLE_TITLE, section->title) <= layout->width - wide - 12;
    y = short_text(layout, slab, large ? STYLE_TITLE : STYLE_HEADING_1, y, layout->width - wide,
                   section->title, number == 1 ? 8 : 2);
    if (section->kind == SECTION_CARD && section->place != NULL)
        slab_line(layout, slab, STYLE_BOLD, 1, right, z,
                  labelled(layout, "card.place", section->place));
    z += LINE;
    if (of > 0)
        slab_line(layout, slab, STYLE_SMALL, 1, right, z,
                  str_print(layout->arena, "%s %zu %s %zu", label(layout->labels, "card.page"),
                            number, label(layout->labels, "card.of"), of));
    z += LINE;
    if (section->kind == SECTION_CARD)
        text_break(layout->arena, FACE_REGULAR, styles[STYLE_SMALL].size, wide - 8, section->id,
                   &id);
    for (size_t i = 0; i < id.count; i++, z += LINE)
        slab_line(layout, slab, STYLE_SMALL, 1, right, z, id.items[i].text);
    y = up_to_grid(fmax(y, z)) + GRID / 2;
    slab_rule(layout, slab, 0, y, layout->width, STRONG);
    slab->height = up_to_grid(y + HALF - 0.5);
    return slab;
}

static struct slab *foot_slab(struct layout *layout, const struct section *section, size_t number,
                              size_t total)
{
    struct slab *slab = slab_new(layout);
    const struct pack *pack = layout->pack;
    struct str_buf left = {.arena = layout->arena};

    str_add(&left, "");
    if (section->fingerprint != NULL)
        str_add_print(&left, "%s %.16s", label(layout->labels, "card.fingerprint"),
                      section->fingerprint);
    if (pack->revision != NULL)
        str_add_print(&left, "%s%s %s", left.length > 0 ? " \xc2\xb7 " : "",
                      label(layout->labels, "cover.revision"), pack->revision);
    slab_rule(layout, slab, 0, 2, layout->width, HAIR);
    slab_line(layout, slab, STYLE_SMALL, 1, layout->width, 4,
              str_print(layout->arena, "%zu / %zu", number, total));
    double y = short_text(layout, slab, STYLE_SMALL, 4, layout->width - 70, left.bytes, 2);
    slab->height = up_to_grid(y);
    return slab;
}

/* Where the engine stands when the card is picked up, in a tinted band under the head. */
static void push_state(struct layout *layout, const struct section *section)
{
    struct slab *slab = slab_new(layout);
    const double pad = 6;
    const char *words = label(layout->labels, "card.state");
    double wide = text_width(STYLE_SMALL_BOLD, words) + 10, y = 1.5;

    if (section->state == NULL || *section->state == '\0')
        return;
    slab_fill(layout, slab, 0, 0, layout->width, 0, 0.92);
    if (wide < layout->width * 0.3) {
        slab_line(layout, slab, STYLE_SMALL_BOLD, -1, pad, y, words);
    } else {
        y = slab_text(layout, slab, STYLE_SMALL_BOLD, pad, y, layout->width - 2 * pad, words);
        wide = 0;
    }
    y = slab_text(layout, slab, STYLE_BODY, pad + wide, y, layout->width - 2 * pad - wide,
                  section->state);
    slab->height = up_to_grid(y + 1.5);
    slab->items.items[0].h = slab->height;
    slab_push(layout, slab);
}

static void push_cover_title(struct layout *layout)
{
    struct slab *slab = slab_new(layout);
    const struct pack *pack = layout->pack;
    double y = 2 * LINE;

    y = slab_text(layout, slab, STYLE_COVER, 0, y, layout->width, pack->title);
    if (pack->engine != NULL && strstr(pack->title, pack->engine) == NULL)
        y = slab_text(layout, slab, STYLE_HEADING_1, 0, y, layout->width, pack->engine);
    if (pack->serial != NULL)
        y = slab_text(layout, slab, STYLE_HEADING_1, 0, y, layout->width,
                      labelled(layout, "cover.serial", pack->serial));
    y += HALF;
    slab_rule(layout, slab, 0, y, layout->width, STRONG);
    slab->height = up_to_grid(y + LINE);
    slab_push(layout, slab);
}

/* Slabs on the pages after those that there are. */
static void fill_section(struct layout *layout, struct pages *pages, size_t index)
{
    const struct section *section = layout->pack->sections.items[index];
    struct slabs slabs = {0};
    struct filler f = {.layout = layout, .pages = pages, .section = index};
    bool cover = section->kind == SECTION_COVER;

    layout->slabs = &slabs;
    if (cover)
        push_cover_title(layout);
    else
        push_state(layout, section);
    layout_blocks(layout, section);
    layout_sources(layout, section);

    f.first_top = f.top = layout->margin_top;
    if (!cover) {
        f.first_top += head_slab(layout, section, 1, 0)->height;
        f.top += head_slab(layout, section, 2, 0)->height;
    }
    f.bottom = layout->page_height - layout->margin_bottom - HALF -
               foot_slab(layout, section, 0, 0)->height;
    f.bottom = f.top + floor((f.bottom - f.top) / GRID) * GRID;
    assert(f.bottom - f.top > 8 * LINE);
    new_page(&f);
    fill(&f, &slabs);
}

/* With less space between the slabs too, if that saves a page: a sheet for a signature alone would be
 * lost. */
static void lay_out_section(struct layout *layout, struct pages *pages, size_t index)
{
    size_t first = pages->count, easy;

    pages->first[index] = first;
    layout->tight = false;
    fill_section(layout, pages, index);
    easy = pages->count;
    if (easy > first + 1) {
        pages->count = first;
        layout->tight = true;
        fill_section(layout, pages, index);
        if (pages->count == easy) {
            pages->count = first;
            layout->tight = false;
            fill_section(layout, pages, index);
        }
    }
    for (size_t i = first; i < pages->count; i++) {
        pages->items[i].number = i - first + 1;
        pages->items[i].of = pages->count - first;
    }
}

struct pages *layout_pages(struct layout *layout)
{
    struct pages *pages = ARENA_NEW(layout->arena, struct pages);
    size_t sections = layout->pack->sections.count;

    pages->first = ARENA_ARRAY(layout->arena, size_t, sections);
    for (size_t i = 0; i < sections; i++)
        lay_out_section(layout, pages, i);
    for (size_t i = 0; i < pages->count; i++) {
        struct page *page = &pages->items[i];
        const struct section *section = layout->pack->sections.items[page->section];
        if (section->kind != SECTION_COVER)
            page->placed.items[0] =
                (struct placed){head_slab(layout, section, page->number, page->of), layout->margin_top};
        const struct slab *foot = foot_slab(layout, section, i + 1, pages->count);
        *ARRAY_PUSH(layout->arena, &page->placed) = (struct placed){
            foot, layout->page_height - layout->margin_bottom - foot->height};
    }
    return pages;
}
