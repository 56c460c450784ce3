/* press.c - pages transcribed by libharu; the only file that includes its header.
 *
 * libharu's errors jump to the one setjmp in emit(), after which the document is given up. It never
 * writes a file itself: on a full disk it would report success. */
#include "press_private.h"
#include "scratch_private.h"

#include <assert.h>
#include <hpdf.h>
#include <hpdf_doc.h>
#include <math.h>
#include <setjmp.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

/* The low-level objects used below are not documented; what follows was tried with this version. */
_Static_assert(HPDF_VERSION_ID == 20300, "check document objects against the new libharu");

struct press {
    struct context *context;
    const struct pack *pack;
    const struct press_job *job;
    HPDF_Doc doc;
    HPDF_Font fonts[FACE_COUNT];
    HPDF_Page *sheets;       /* of each page */
    HPDF_Page sheet;         /* being drawn on */
    HPDF_Outline bookmark;   /* the last of level 1 */
    double left;             /* what x is measured from */
    double stroke, grey;     /* as set on it; < 0: not yet */
    jmp_buf jump;
    unsigned long error, detail;
    bool no_scratch;         /* the fonts could not be handed over */
};

static void on_error(HPDF_STATUS error, HPDF_STATUS detail, void *user)
{
    struct press *press = user;

    press->error = error;
    press->detail = detail;
    longjmp(press->jump, 1);
}

/* ---------- marks on a page; y still runs down ---------- */

static HPDF_REAL real(double value)
{
    assert(isfinite(value)); /* libharu prints NaN as rubbish; it clamps what is beyond any page */
    return (HPDF_REAL)(round(value * 1000) / 1000);
}

static HPDF_REAL across(const struct press *press, double x)
{
    return real(press->left + x);
}

static HPDF_REAL up(const struct press *press, double y)
{
    return real(press->job->height - y);
}

static void set_stroke(struct press *press, double width)
{
    if (press->stroke != width)
        HPDF_Page_SetLineWidth(press->sheet, real(width));
    press->stroke = width;
}

static void set_grey(struct press *press, double grey)
{
    if (press->grey != grey)
        HPDF_Page_SetGrayFill(press->sheet, real(grey));
    press->grey = grey;
}

static void draw_text(struct press *press, enum face face, double size, int align, double x,
                      double y, double grey, const char *text)
{
    if (align != -1)
        x -= font_width(face, text, strlen(text), size) * (align == 0 ? 0.5 : 1);
    set_grey(press, grey);
    HPDF_Page_BeginText(press->sheet);
    HPDF_Page_SetFontAndSize(press->sheet, press->fonts[face], real(size));
    HPDF_Page_TextOut(press->sheet, across(press, x), up(press, y), text);
    HPDF_Page_EndText(press->sheet);
}

static void draw_line(struct press *press, double x1, double y1, double x2, double y2)
{
    HPDF_Page_MoveTo(press->sheet, across(press, x1), up(press, y1));
    HPDF_Page_LineTo(press->sheet, across(press, x2), up(press, y2));
    HPDF_Page_Stroke(press->sheet);
}

/* ---------- figures: millimetres, y up, from the corner at x y ---------- */

struct easel {
    struct press *press;
    double x, y; /* bottom left corner, y down */
    double scale; /* points of paper for a millimetre of the drawing */
};

static double fx(const struct easel *easel, double x_mm)
{
    return easel->x + x_mm * easel->scale;
}

static double fy(const struct easel *easel, double y_mm)
{
    return easel->y - y_mm * easel->scale;
}

/* An arc as Bezier curves of at most 45 degrees each, anticlockwise from the x axis. */
static void arc_path(const struct easel *easel, const struct shape *shape, double from, double to)
{
    int parts = (int)ceil(fabs(to - from) / 45);
    double step = (to - from) / parts * M_PI / 180, at = from * M_PI / 180;
    double k = 4.0 / 3 * tan(step / 4) * shape->radius, r = shape->radius;
    struct press *press = easel->press;

    HPDF_Page_MoveTo(press->sheet, across(press, fx(easel, shape->x1 + r * cos(at))),
                     up(press, fy(easel, shape->y1 + r * sin(at))));
    for (int i = 0; i < parts; i++, at += step) {
        double c = cos(at), s = sin(at), d = cos(at + step), t = sin(at + step);
        HPDF_Page_CurveTo(press->sheet, across(press, fx(easel, shape->x1 + r * c - k * s)),
                          up(press, fy(easel, shape->y1 + r * s + k * c)),
                          across(press, fx(easel, shape->x1 + r * d + k * t)),
                          up(press, fy(easel, shape->y1 + r * t - k * d)),
                          across(press, fx(easel, shape->x1 + r * d)),
                          up(press, fy(easel, shape->y1 + r * t)));
    }
}

static void region_path(const struct easel *easel, const struct shape *shape)
{
    struct press *press = easel->press;

    for (size_t i = 0; i < shape->point_count; i++) {
        HPDF_REAL x = across(press, fx(easel, shape->points[2 * i]));
        HPDF_REAL y = up(press, fy(easel, shape->points[2 * i + 1]));
        if (i == 0)
            HPDF_Page_MoveTo(press->sheet, x, y);
        else
            HPDF_Page_LineTo(press->sheet, x, y);
    }
    HPDF_Page_ClosePath(press->sheet);
}

static void cut_move(void *user, double x, double y)
{
    const struct easel *easel = user;

    HPDF_Page_MoveTo(easel->press->sheet, across(easel->press, fx(easel, x)),
                     up(easel->press, fy(easel, y)));
}

static void cut_line(void *user, double x, double y)
{
    const struct easel *easel = user;

    HPDF_Page_LineTo(easel->press->sheet, across(easel->press, fx(easel, x)),
                     up(easel->press, fy(easel, y)));
}

/* Control points on the tangents at both ends, (4/3) tan(angle/4) radii from them. */
static void cut_arc(void *user, double x, double y, double radius, double centre_x, double centre_y,
                    double angle)
{
    const struct easel *easel = user;
    struct press *press = easel->press;
    double k = 4.0 / 3 * tan(angle / 4), end = atan2(y - centre_y, x - centre_x);
    double c = radius * cos(end - angle), s = radius * sin(end - angle);

    HPDF_Page_CurveTo(press->sheet, across(press, fx(easel, centre_x + c - k * s)),
                      up(press, fy(easel, centre_y + s + k * c)),
                      across(press, fx(easel, x + k * (y - centre_y))),
                      up(press, fy(easel, y - k * (x - centre_x))), across(press, fx(easel, x)),
                      up(press, fy(easel, y)));
}

static void cut_close(void *user)
{
    HPDF_Page_ClosePath(((const struct easel *)user)->press->sheet);
}

/* The material grey, so that nobody takes a hole for it. */
static void draw_gasket_path(const struct easel *easel, const struct shape *shape)
{
    struct easel at = *easel;
    const struct draw_pen pen = {cut_move, cut_line, cut_arc, cut_close, &at};

    set_grey(easel->press, 0.9);
    draw_cut(&shape->cut, &pen);
    HPDF_Page_EofillStroke(easel->press->sheet);
}

/* Lines at 45 degrees, 2 mm apart, clipped to the region. */
static void hatch(const struct easel *easel, const struct shape *shape)
{
    struct press *press = easel->press;
    double low_x = INFINITY, high_x = -INFINITY, low_y = INFINITY, high_y = -INFINITY;

    for (size_t i = 0; i < shape->point_count; i++) {
        low_x = fmin(low_x, shape->points[2 * i]);
        high_x = fmax(high_x, shape->points[2 * i]);
        low_y = fmin(low_y, shape->points[2 * i + 1]);
        high_y = fmax(high_y, shape->points[2 * i + 1]);
    }
    double tall = high_y - low_y;
    HPDF_Page_GSave(press->sheet);
    region_path(easel, shape);
    HPDF_Page_Clip(press->sheet);
    HPDF_Page_EndPath(press->sheet);
    set_stroke(press, HAIR);
    for (double x = low_x - tall; x < high_x; x += 2)
        draw_line(press, fx(easel, x), fy(easel, low_y), fx(easel, x + tall), fy(easel, high_y));
    HPDF_Page_GRestore(press->sheet);
    press->stroke = press->grey = -1;
}

static void draw_shape(const struct easel *easel, const struct shape *shape)
{
    static const double widths[] = {[STROKE_THIN] = HAIR, [STROKE_MEDIUM] = 0.8,
                                    [STROKE_THICK] = 1.6, [STROKE_DASHED] = FINE,
                                    [STROKE_NONE] = HAIR};
    static const HPDF_UINT16 dashes[] = {3, 2};
    struct press *press = easel->press;

    set_stroke(press, widths[shape->stroke]);
    if (shape->stroke == STROKE_DASHED)
        HPDF_Page_SetDash(press->sheet, dashes, 2, 0);
    switch (shape->kind) {
    case SHAPE_LINE:
        draw_line(press, fx(easel, shape->x1), fy(easel, shape->y1), fx(easel, shape->x2),
                  fy(easel, shape->y2));
        break;
    case SHAPE_CIRCLE:
        arc_path(easel, shape, 0, 360);
        HPDF_Page_ClosePathStroke(press->sheet);
        break;
    case SHAPE_ARC:
        arc_path(easel, shape, shape->from_deg, shape->to_deg);
        HPDF_Page_Stroke(press->sheet);
        break;
    case SHAPE_REGION:
        if (shape->grey < 0) {
            hatch(easel, shape);
            set_stroke(press, widths[shape->stroke]);
        } else {
            set_grey(press, shape->grey);
        }
        region_path(easel, shape);
        if (shape->stroke == STROKE_NONE)
            HPDF_Page_Fill(press->sheet);
        else if (shape->grey < 0)
            HPDF_Page_Stroke(press->sheet);
        else
            HPDF_Page_FillStroke(press->sheet);
        break;
    case SHAPE_CUT:
        draw_gasket_path(easel, shape);
        break;
    case SHAPE_LABEL:
        draw_text(press, shape->bold ? FACE_BOLD : FACE_REGULAR, shape->size_pt, shape->align,
                  fx(easel, shape->x1), fy(easel, shape->y1), 0, shape->text);
        break;
    }
    if (shape->stroke == STROKE_DASHED)
        HPDF_Page_SetDash(press->sheet, NULL, 0, 0);
}

/* ---------- items ---------- */

static HPDF_Destination destination(HPDF_Page sheet, HPDF_REAL top)
{
    HPDF_Destination to = HPDF_Page_CreateDestination(sheet);

    HPDF_Destination_SetXYZ(to, 0, top, 1);
    /* 0 leaves the reader's zoom as it is (ISO 32000-1, 12.3.2.2); libharu's function refuses it. */
    HPDF_Real zoom = HPDF_Array_GetItem(to, 4, HPDF_OCLASS_REAL);
    if (zoom != NULL)
        zoom->value = 0;
    return to;
}

static void draw_link(struct press *press, const struct item *item, double y)
{
    HPDF_Rect area = {across(press, item->x), up(press, y + item->h),
                      across(press, item->x + item->w), up(press, y)};
    HPDF_Page target = press->sheets[press->job->first[item->target]];
    HPDF_Annotation link = HPDF_Page_CreateLinkAnnot(
        press->sheet, area, destination(target, up(press, 0)));

    HPDF_LinkAnnot_SetBorderStyle(link, 0, 0, 0); /* else a black frame */
}

static void draw_item(struct press *press, const struct item *item, double top)
{
    double x = item->x, y = top + item->y;
    const struct style_row *style = &styles[item->style];
    struct easel easel;

    switch (item->kind) {
    case ITEM_TEXT:
        draw_text(press, style->face, style->size, item->align, x, y, item->weight, item->text);
        break;
    case ITEM_PAGE_OF:
        draw_text(press, style->face, style->size, item->align, x, y, 0, item->text);
        break;
    case ITEM_RULE:
        set_stroke(press, item->weight);
        draw_line(press, x, y, x + item->w, y + item->h);
        break;
    case ITEM_BOX:
        set_stroke(press, item->weight);
        HPDF_Page_Rectangle(press->sheet, across(press, x), up(press, y + item->h), real(item->w),
                            real(item->h));
        HPDF_Page_Stroke(press->sheet);
        break;
    case ITEM_FILL:
        set_grey(press, item->weight);
        HPDF_Page_Rectangle(press->sheet, across(press, x), up(press, y + item->h), real(item->w),
                            real(item->h));
        HPDF_Page_Fill(press->sheet);
        break;
    case ITEM_DRAWING:
        easel = (struct easel){press, x, y + item->h, item->w / item->drawing->width_mm};
        for (size_t i = 0; i < item->drawing->shapes.count; i++)
            draw_shape(&easel, &item->drawing->shapes.items[i]);
        break;
    case ITEM_LINK:
        draw_link(press, item, y);
        break;
    }
}

void press_slab(struct press *press, const struct slab *slab, double left, double top)
{
    press->left = left;
    for (size_t i = 0; i < slab->items.count; i++)
        draw_item(press, &slab->items.items[i], top);
}

void press_clip(struct press *press, double x, double y, double w, double h)
{
    press->left = 0;
    HPDF_Page_GSave(press->sheet);
    HPDF_Page_Rectangle(press->sheet, across(press, x), up(press, y + h), real(w), real(h));
    HPDF_Page_Clip(press->sheet);
    HPDF_Page_EndPath(press->sheet);
}

void press_unclip(struct press *press)
{
    HPDF_Page_GRestore(press->sheet);
    press->stroke = press->grey = -1;
}

/* ---------- the document ---------- */

/* libharu's ToUnicode uses an operator that readers warn of. Codes are UCS-2, so the map is the
 * identity; a range may not cross its last byte (ISO 32000-1, 9.10.3). */
static void set_to_unicode(struct press *press, HPDF_Font font)
{
    HPDF_Dict map = HPDF_DictStream_New(press->doc->mmgr, press->doc->xref);
    char line[64];

    if (map == NULL || HPDF_Dict_Add(font, "ToUnicode", map) != HPDF_OK)
        on_error(HPDF_FAILD_TO_ALLOC_MEM, 0, press);
    map->filter = HPDF_STREAM_FILTER_FLATE_DECODE;
    HPDF_Stream_WriteStr(map->stream,
                         "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
                         "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
                         "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
                         "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n");
    for (unsigned high = 0; high < 256; high++) {
        if (high % 64 == 0) /* at most 100 ranges in one block */
            HPDF_Stream_WriteStr(map->stream, "64 beginbfrange\n");
        snprintf(line, sizeof line, "<%02X00> <%02XFF> <%02X00>\n", high, high, high);
        HPDF_Stream_WriteStr(map->stream, line);
        if (high % 64 == 63)
            HPDF_Stream_WriteStr(map->stream, "endbfrange\n");
    }
    HPDF_Stream_WriteStr(map->stream,
                         "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
}

/* libharu 2.3 takes fonts from files only: the bytes go into one without a name. Its handler is held
 * off meanwhile, for it would leave that file open. */
static void load_fonts(struct press *press)
{
    for (int face = 0; face < FACE_COUNT; face++) {
        size_t size;
        const unsigned char *bytes = font_bytes((enum face)face, &size);
        struct scratch scratch;
        const char *name = NULL;
        HPDF_SetErrorHandler(press->doc, NULL);
        press->no_scratch = !scratch_open(&scratch) || !scratch_write(&scratch, bytes, size);
        if (!press->no_scratch)
            name = HPDF_LoadTTFontFromFile(press->doc, scratch.path, HPDF_TRUE);
        scratch_close(&scratch);
        HPDF_SetErrorHandler(press->doc, on_error);
        if (name == NULL)
            on_error(HPDF_FILE_OPEN_ERROR, 0, press);
        press->fonts[face] = HPDF_GetFont(press->doc, name, "UTF-8");
        set_to_unicode(press, press->fonts[face]);
    }
}

static void set_date(struct press *press, HPDF_InfoType type, int64_t seconds)
{
    time_t when = (time_t)seconds;
    struct tm utc;

    gmtime_r(&when, &utc);
    HPDF_SetInfoDateAttr(press->doc, type,
                         (HPDF_Date){utc.tm_year + 1900, utc.tm_mon + 1, utc.tm_mday, utc.tm_hour,
                                     utc.tm_min, utc.tm_sec, 'Z', 0, 0});
}

/* A reader's side panel shows no more, and libharu refuses strings over 65,535 bytes. */
static const char *short_name(struct press *press, const char *text)
{
    enum { MOST = 200 };
    const char *end = text_drawable(press->context->arena, text), *from = end;
    size_t letters = 0;

    for (; *end != '\0' && letters < MOST; letters++)
        (void)str_code_point(&end);
    char *name = str_print(press->context->arena, *end != '\0' ? "%.*s\xe2\x80\xa6" : "%.*s",
                           (int)(end - from), from);
    for (char *at = name; (at = strchr(at, '\n')) != NULL;)
        *at = ' ';
    return name;
}

static void set_information(struct press *press)
{
    const struct pack *pack = press->pack;
    const char *language = pack->language != NULL ? pack->language : "en";

    HPDF_SetInfoAttr(press->doc, HPDF_INFO_TITLE, short_name(press, press->job->title));
    if (pack->engine != NULL)
        HPDF_SetInfoAttr(press->doc, HPDF_INFO_SUBJECT, short_name(press, pack->engine));
    HPDF_SetInfoAttr(press->doc, HPDF_INFO_CREATOR, "gudgeon");
    if (pack->date != 0) {
        set_date(press, HPDF_INFO_CREATION_DATE, pack->date);
        set_date(press, HPDF_INFO_MOD_DATE, pack->date);
    }
    HPDF_Dict_Add(press->doc->catalog, "Lang",
                  HPDF_String_New(press->doc->mmgr, language, NULL));
    HPDF_SetPageMode(press->doc, HPDF_PAGE_MODE_USE_OUTLINE);
    HPDF_AddPageLabel(press->doc, 0, HPDF_PAGE_NUM_STYLE_DECIMAL, 1, "");
}

void press_bookmark(struct press *press, int level, const char *title, size_t page, double y)
{
    HPDF_Outline above = level > 1 ? press->bookmark : NULL;
    HPDF_Outline made = HPDF_CreateOutline(press->doc, above, short_name(press, title),
                                           HPDF_GetEncoder(press->doc, "UTF-8"));

    HPDF_Outline_SetDestination(made, destination(press->sheets[page], up(press, y)));
    if (level > 1)
        return;
    HPDF_Outline_SetOpened(made, HPDF_FALSE);
    press->bookmark = made;
}

static void compose(struct press *press)
{
    const struct press_job *job = press->job;

    HPDF_UseUTFEncodings(press->doc);
    HPDF_SetCurrentEncoder(press->doc, "UTF-8");
    HPDF_SetCompressionMode(press->doc, HPDF_COMP_ALL);
    HPDF_SetPagesConfiguration(press->doc, 200); /* else no more than 32,767 pages */
    load_fonts(press);
    set_information(press);
    for (size_t i = 0; i < job->page_count; i++) {
        press->sheets[i] = HPDF_AddPage(press->doc);
        HPDF_Page_SetWidth(press->sheets[i], real(job->width));
        HPDF_Page_SetHeight(press->sheets[i], real(job->height));
    }
    for (size_t i = 0; i < job->page_count; i++) {
        press->sheet = press->sheets[i];
        press->left = 0;
        press->stroke = press->grey = -1;
        job->draw_page(press, i, job->user);
    }
    job->bookmarks(press, job->user);
    HPDF_SaveToStream(press->doc);
}

static void close_document(void *doc)
{
    HPDF_Free(doc);
}

/* The one function in which a document is open. */
static bool emit(struct press *press, struct output *output)
{
    press->doc = HPDF_New(on_error, press);
    if (press->doc == NULL) {
        press->error = HPDF_FAILD_TO_ALLOC_MEM;
        return false;
    }
    context_opened(press->context, close_document, press->doc);
    if (setjmp(press->jump) == 0) {
        compose(press);
        HPDF_UINT32 size = HPDF_GetStreamSize(press->doc);
        char *bytes = arena_alloc(press->context->arena, (size_t)size + 1);
        HPDF_ReadFromStream(press->doc, (HPDF_BYTE *)bytes, &size);
        output->bytes = bytes;
        output->size = size;
    } else {
        output->bytes = NULL;
    }
    context_closed(press->context, press->doc);
    HPDF_Free(press->doc);
    return output->bytes != NULL;
}

bool press_print(struct context *context, const struct pack *pack, const struct press_job *job,
                 struct outputs *outputs)
{
    struct press *press = ARENA_NEW(context->arena, struct press);
    struct output output = {.name = job->file};

    press->context = context;
    press->pack = pack;
    press->job = job;
    press->sheets = ARENA_ARRAY(context->arena, HPDF_Page, job->page_count);
    if (emit(press, &output)) {
        *ARRAY_PUSH(context->arena, outputs) = output;
        return true;
    }
    diag_add(&context->diags, DIAG_WRITER_FAILED, (struct span){0}, "%s: %s", job->file,
             press->no_scratch
                 ? "no scratch file for the fonts; is there room in memory and in /tmp?"
                 : str_print(context->arena, "libharu gave up with error 0x%x, detail %u",
                             (unsigned)press->error, (unsigned)press->detail));
    context->outside_failed = true;
    return false;
}
