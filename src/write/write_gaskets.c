/* write_gaskets.c - gaskets.pdf: each gasket at 1:1 with two bars to measure before it is cut, on several
 * pages to be joined where it is larger than the paper; then how they are laid out on sheets. */
#include "press_private.h"

#include <math.h>

static const double BAR_100 = 100, BAR_4_IN = 101.6; /* millimetres, along x and along y */
static const double BESIDE = 10 * MM, BELOW = 9 * MM; /* what the bars take of the page */

struct cut_page {
    const struct slab *text;       /* from the left margin and the top of the page */
    const struct slab *drawn;      /* its own corner, where that comes from 0, 0 of the page; or NULL */
    double x, y, w, h;             /* what of `drawn` is to be seen */
    double left, top;              /* where its corner goes */
    const char *bookmark;          /* or NULL */
};
struct cut_pages {
    struct cut_page *items;
    size_t count, room;
    const struct layout *layout;
};
struct maker {
    struct layout *layout;
    struct cut_pages *pages;
    double scale;                  /* points of paper for a millimetre, the printer's error taken out */
};

/* ---------- what stands around ---------- */

static const char *word(struct maker *maker, const char *key)
{
    return label(maker->layout->labels, key);
}

/* The name, which page of it this is, the facts where asked; returns the y below. */
static double head(struct maker *maker, struct slab *slab, const char *title, const char *page,
                   const struct pack_facts *facts)
{
    struct layout *layout = maker->layout;
    const struct pack *pack = layout->pack;
    struct str_buf engine = {.arena = layout->arena};
    double y = layout->margin_top, room = layout->width - text_width(STYLE_BOLD, page) - 12;

    str_add_print(&engine, "%s", pack->engine);
    if (pack->serial != NULL)
        str_add_print(&engine, " \xc2\xb7 %s %s", word(maker, "cover.serial"), pack->serial);
    slab_line(layout, slab, STYLE_BOLD, 1, layout->width, y, page);
    y = slab_text(layout, slab, STYLE_SMALL, 0, y, room,
                  text_shortened(layout, STYLE_SMALL, room, engine.bytes, 2));
    y = slab_text(layout, slab, STYLE_TITLE, 0, y, layout->width,
                  text_shortened(layout, STYLE_TITLE, layout->width, title, 3));
    if (facts == NULL)
        return y;
    struct flow flow = flow_new(layout, slab, 0, y, layout->width);
    for (size_t i = 0; i < facts->count; i++)
        flow_add(&flow, facts->items[i].label, STYLE_BODY,
                 text_shortened(layout, STYLE_BODY, layout->width / 2, facts->items[i].text, 4));
    return flow_end(&flow);
}

/* Measure first; what to write where the bar is wrong. */
static double notes(struct maker *maker, struct slab *slab, double y)
{
    struct layout *layout = maker->layout;
    double printer = layout->pack->printer_mm;

    y = slab_text(layout, slab, STYLE_SMALL_BOLD, 0, y, layout->width,
                  word(maker, "gasket.measure"));
    if (printer == 100)
        return slab_text(layout, slab, STYLE_SMALL, 0, y, layout->width,
                         word(maker, "gasket.correct"));
    return slab_text(layout, slab, STYLE_SMALL, 0, y, layout->width,
                     str_print(layout->arena, "%s %s mm. %s %s.", word(maker, "gasket.corrected"),
                               str_decimal(layout->arena, printer, 2),
                               word(maker, "gasket.correct-again"),
                               str_decimal(layout->arena, printer / 100, 4)));
}

/* A line with a tick at each centimetre, or each inch; every length from its first end. */
static void bar(struct maker *maker, struct slab *slab, double x, double y, bool along, double length,
                double step)
{
    double whole = length * maker->scale;
    int ticks = (int)lround(length / step);

    if (along)
        slab_rule(maker->layout, slab, x, y, whole, FINE);
    else
        slab_item(maker->layout, slab, ITEM_RULE, x, y, 0, -whole)->weight = FINE;
    for (int i = 0; i <= ticks; i++) {
        double at = whole * i / ticks, half = i == 0 || i == ticks ? 6 : 3;
        if (along)
            slab_item(maker->layout, slab, ITEM_RULE, x + at, y - half, 0, 2 * half)->weight = HAIR;
        else
            slab_item(maker->layout, slab, ITEM_RULE, x - half, y - at, 2 * half, 0)->weight = HAIR;
    }
}

/* 100 mm along the foot, 4 in up the left side: a printer may be out in one way only. */
static void bars(struct maker *maker, struct slab *slab)
{
    struct layout *layout = maker->layout;
    double y = layout->page_height - layout->margin_bottom - 7;
    double up = y - BELOW + 7;

    bar(maker, slab, 0, y, true, BAR_100, 10);
    slab_line(layout, slab, STYLE_SMALL_BOLD, -1, BAR_100 * maker->scale + 8, y - LINE / 2 - 1,
              "100 mm");
    bar(maker, slab, 9, up, false, BAR_4_IN, 25.4);
    slab_line(layout, slab, STYLE_SMALL_BOLD, -1, 0, up - BAR_4_IN * maker->scale - LINE - 6,
              "4 in");
}

/* ---------- a page at 1:1 ---------- */

struct window {
    double x, y, w, h;             /* points, on the page */
};

static struct window window_below(const struct maker *maker, double y)
{
    const struct layout *layout = maker->layout;

    y += HALF;
    return (struct window){layout->margin_inner + BESIDE, y, layout->width - BESIDE,
                           layout->page_height - layout->margin_bottom - BELOW - y};
}

/* True where bars and drawing both have room. */
static bool holds(const struct maker *maker, struct window window, const struct drawing *drawing)
{
    return window.h >= BAR_4_IN * maker->scale + LINE + 8 &&
           drawing->width_mm * maker->scale <= window.w &&
           drawing->height_mm * maker->scale <= window.h;
}

static void put(struct maker *maker, struct slab *slab, const struct drawing *drawing)
{
    slab_item(maker->layout, slab, ITEM_DRAWING, 0, 0, drawing->width_mm * maker->scale,
              drawing->height_mm * maker->scale)->drawing = drawing;
}

/* Its low corner at x y, in millimetres of the drawing, stands in the window's. */
static void add_page(struct maker *maker, const struct slab *text, const struct slab *drawn,
                     struct window window, double high_mm, double x, double y, const char *bookmark)
{
    *ARRAY_PUSH(maker->layout->arena, maker->pages) = (struct cut_page){
        text, drawn, window.x, window.y, window.w, window.h, window.x - x * maker->scale,
        window.y + window.h + (y - high_mm) * maker->scale, bookmark};
}

static bool on_one_page(struct maker *maker, const struct cut_gasket *gasket)
{
    struct layout *layout = maker->layout;
    struct slab *text = slab_new(layout), *drawn = slab_new(layout);
    double y = head(maker, text, gasket->title, "", &gasket->facts);

    y = slab_text(layout, text, STYLE_SMALL, 0, notes(maker, text, y), layout->width,
                  word(maker, "gasket.grey"));
    struct window window = window_below(maker, y);
    const struct drawing *drawing = draw_gasket(layout->arena, gasket->gasket, false);
    if (!holds(maker, window, drawing))
        drawing = draw_gasket(layout->arena, gasket->gasket, true);
    if (!holds(maker, window, drawing))
        return false;
    bars(maker, text);
    put(maker, drawn, drawing);
    add_page(maker, text, drawn, window, drawing->height_mm,
             (drawing->width_mm - window.w / maker->scale) / 2,
             (drawing->height_mm - window.h / maker->scale) / 2, gasket->title);
    return true;
}

/* ---------- several pages to be joined ---------- */

static size_t pages_for(double whole, double each, double overlap)
{
    return whole <= each ? 1 : (size_t)ceil((whole - overlap) / (each - overlap) - 1e-9);
}

static struct tiling tiling_of(const struct maker *maker, struct window window,
                               const struct drawing *drawing)
{
    struct tiling tiling = {.width = window.w / maker->scale, .height = window.h / maker->scale,
                            .overlap = maker->layout->pack->template->overlap_mm};

    tiling.across = pages_for(drawing->width_mm, tiling.width, tiling.overlap);
    tiling.down = pages_for(drawing->height_mm, tiling.height, tiling.overlap);
    /* in the middle of all pages together */
    tiling.x = (drawing->width_mm - tiling.overlap -
                (double)tiling.across * (tiling.width - tiling.overlap)) / 2;
    tiling.y = (drawing->height_mm - tiling.overlap -
                (double)tiling.down * (tiling.height - tiling.overlap)) / 2;
    return tiling;
}

/* "B2": the second column from the left, the second row from the top. */
static const char *tile_name(struct maker *maker, size_t column, size_t row)
{
    return str_print(maker->layout->arena, "%s%c%zu", column >= 26 ? "A" : "",
                     (char)('A' + column % 26), row + 1);
}

static double tile_head(struct maker *maker, struct slab *text, const struct cut_gasket *gasket,
                        const char *name)
{
    const char *page = str_print(maker->layout->arena, "%s %s", word(maker, "gasket.part"), name);

    return notes(maker, text, head(maker, text, gasket->title, page, NULL));
}

/* The whole made small, each page a frame with its name. */
static void overview(struct maker *maker, const struct cut_gasket *gasket,
                     const struct drawing *drawing, const struct tiling *tiling)
{
    struct layout *layout = maker->layout;
    struct slab *text = slab_new(layout);
    double y = head(maker, text, gasket->title, "", &gasket->facts);

    y = slab_text(layout, text, STYLE_SMALL, 0, notes(maker, text, y), layout->width,
                  word(maker, "gasket.grey"));
    if (tiling->across * tiling->down > 1)
        y = slab_text(layout, text, STYLE_SMALL_BOLD, 0, y, layout->width,
                      word(maker, "gasket.join"));
    double wide = tiling->overlap + (double)tiling->across * (tiling->width - tiling->overlap);
    double high = tiling->overlap + (double)tiling->down * (tiling->height - tiling->overlap);
    double bottom = layout->page_height - layout->margin_bottom;
    double scale = fmin(fmin(layout->width / wide, (bottom - y - LINE) / high), 0.7 * MM);
    double left = (layout->width - wide * scale) / 2, foot = y + LINE + high * scale;
    double x_mm = left - tiling->x * scale, y_mm = foot + tiling->y * scale;
    slab_item(layout, text, ITEM_DRAWING, x_mm, y_mm - drawing->height_mm * scale,
              drawing->width_mm * scale, drawing->height_mm * scale)->drawing = drawing;
    for (size_t row = 0; row < tiling->down; row++)
        for (size_t column = 0; column < tiling->across; column++) {
            struct outline_point at = tiling_corner(tiling, column, row);
            double x = x_mm + at.x * scale, top = y_mm - (at.y + tiling->height) * scale;
            slab_box(layout, text, x, top, tiling->width * scale, tiling->height * scale, FINE);
            slab_line(layout, text, STYLE_HEADING_1, 0, x + tiling->width * scale / 2,
                      top + tiling->height * scale / 2 - LINE, tile_name(maker, column, row));
        }
    *ARRAY_PUSH(layout->arena, maker->pages) =
        (struct cut_page){.text = text, .bookmark = gasket->title};
}

static void on_several_pages(struct maker *maker, const struct cut_gasket *gasket)
{
    struct layout *layout = maker->layout;
    struct window window = window_below(maker, tile_head(maker, slab_new(layout), gasket, "A1"));
    const struct drawing *drawing = draw_gasket(layout->arena, gasket->gasket, false);
    const struct drawing *turned = draw_gasket(layout->arena, gasket->gasket, true);
    struct tiling tiling = tiling_of(maker, window, drawing);
    struct tiling other = tiling_of(maker, window, turned);

    if (other.across * other.down < tiling.across * tiling.down) {
        tiling = other;
        drawing = turned;
    }
    overview(maker, gasket, drawing, &tiling);
    struct slab *drawn = slab_new(layout);
    put(maker, drawn, drawing);
    put(maker, drawn, draw_joins(layout->arena, &tiling, drawing));
    for (size_t row = 0; row < tiling.down; row++)
        for (size_t column = 0; column < tiling.across; column++) {
            struct slab *text = slab_new(layout);
            struct outline_point at = tiling_corner(&tiling, column, row);
            tile_head(maker, text, gasket, tile_name(maker, column, row));
            bars(maker, text);
            add_page(maker, text, drawn, window, drawing->height_mm, at.x, at.y, NULL);
        }
}

/* ---------- the cutting plan ---------- */

/* "1, 2" beside the name of each gasket on this sheet. */
static void legend(struct maker *maker, struct flow *flow, const struct cut_sheet *sheet,
                   size_t number)
{
    const struct sheet_cut *cut = sheet->cut;

    for (size_t i = 0; i < cut->piece_count;) {
        struct str_buf numbers = {.arena = maker->layout->arena};
        const struct cut_gasket *gasket = sheet->gaskets[i];
        for (; i < cut->piece_count && sheet->gaskets[i] == gasket; i++)
            if (cut->pieces[i].sheet == number)
                str_add_print(&numbers, "%s%zu", numbers.length > 0 ? ", " : "", i + 1);
        if (numbers.length > 0)
            flow_add(flow, numbers.bytes, STYLE_BODY, gasket->title);
    }
}

static void plan_page(struct maker *maker, const struct cut_sheet *sheet, size_t number)
{
    struct layout *layout = maker->layout;
    struct slab *text = slab_new(layout);
    const char *title = str_print(layout->arena, "%s: %s", word(maker, "gasket.plan"), sheet->title);
    const char *page = str_print(layout->arena, "%zu / %zu", number + 1, sheet->cut->sheets);
    double y = head(maker, text, title, page, &sheet->facts);

    y = slab_text(layout, text, STYLE_SMALL, 0, y, layout->width, word(maker, "gasket.plan-how"));
    struct flow flow = flow_new(layout, text, 0, y + HALF, layout->width);
    legend(maker, &flow, sheet, number);
    y = flow_end(&flow) + LINE;
    double room = layout->page_height - layout->margin_bottom - y;
    const struct drawing *drawing =
        draw_sheet(layout->arena, sheet, number,
                   word(maker, "gasket.along"), layout->width / MM, fmax(room / MM, 60));
    slab_item(layout, text, ITEM_DRAWING, (layout->width - drawing->width_mm * MM) / 2, y,
              drawing->width_mm * MM, drawing->height_mm * MM)->drawing = drawing;
    *ARRAY_PUSH(layout->arena, maker->pages) =
        (struct cut_page){.text = text, .bookmark = number == 0 ? title : NULL};
}

/* ---------- the file ---------- */

static void draw_page(struct press *press, size_t index, void *user)
{
    const struct cut_pages *pages = user;
    const struct cut_page *page = &pages->items[index];

    press_slab(press, page->text, pages->layout->margin_inner, 0);
    if (page->drawn == NULL)
        return;
    press_clip(press, page->x, page->y, page->w, page->h);
    press_slab(press, page->drawn, page->left, page->top);
    press_unclip(press);
}

static void add_bookmarks(struct press *press, void *user)
{
    const struct cut_pages *pages = user;

    for (size_t i = 0; i < pages->count; i++)
        if (pages->items[i].bookmark != NULL)
            press_bookmark(press, 1, pages->items[i].bookmark, i, 0);
}

bool write_gaskets(struct context *context, const struct pack *pack, struct outputs *outputs)
{
    struct layout layout = layout_on_paper(context, pack);
    struct cut_pages pages = {.layout = &layout};

    if (pack->gaskets.count == 0)
        return true;
    struct maker maker = {&layout, &pages, MM * 100 / pack->printer_mm};
    for (size_t i = 0; i < pack->gaskets.count; i++)
        if (!on_one_page(&maker, &pack->gaskets.items[i]))
            on_several_pages(&maker, &pack->gaskets.items[i]);
    for (size_t i = 0; i < pack->cut_sheets.count; i++)
        for (size_t k = 0; k < pack->cut_sheets.items[i].cut->sheets; k++)
            plan_page(&maker, &pack->cut_sheets.items[i], k);
    const struct press_job job = {
        .file = "gaskets.pdf",
        .title = str_print(context->arena, "%s: %s", label(layout.labels, "gasket.title"),
                           pack->engine),
        .width = layout.page_width, .height = layout.page_height, .page_count = pages.count,
        .draw_page = draw_page, .bookmarks = add_bookmarks, .user = &pages};
    return press_print(context, pack, &job, outputs);
}
