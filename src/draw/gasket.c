/* gasket.c - a gasket at 1:1, and how gaskets lie on their sheet. */
#include "draw_private.h"

#include <math.h>
#include <string.h>

#define BORDER_MM 2.0 /* so that no line is cut in half at the edge of the drawing */

/* ---------- 1:1 ---------- */

static struct outline_shape moved(struct arena *arena, const struct outline_shape *shape,
                                  struct outline_move move)
{
    struct outline_shape copy = {ARENA_ARRAY(arena, struct outline_loop, shape->count), shape->count,
                                 shape->count};

    for (size_t i = 0; i < shape->count; i++) {
        copy.items[i] = outline_copy(arena, &shape->items[i]);
        outline_move(&copy.items[i], move);
    }
    return copy;
}

/* A circle, or what a union has made of one: chords whose corners lie on it. */
static bool is_round(const struct outline_loop *loop, struct outline_point *centre, double *radius)
{
    struct outline_box box = outline_box(loop);
    const double slack = 2 * OUTLINE_CHORD_MM;

    *radius = (box.high_x - box.low_x) / 2;
    *centre = (struct outline_point){box.low_x + *radius, (box.low_y + box.high_y) / 2};
    bool round = fabs((box.high_y - box.low_y) / 2 - *radius) <= slack &&
                 fabs(fabs(outline_area(loop)) - M_PI * *radius * *radius) <= 2 * M_PI * *radius * slack;
    for (size_t i = 0; i < loop->count && round; i++)
        round = fabs(hypot(loop->items[i].x - centre->x, loop->items[i].y - centre->y) - *radius) <=
                slack;
    return round;
}

/* A cross in a round hole, smaller than it, so that no mark is left on the gasket. */
static void mark_centre(struct canvas *canvas, const struct outline_loop *loop)
{
    struct outline_point centre;
    double radius;

    if (!is_round(loop, &centre, &radius))
        return;
    double arm = fmin(3, 0.6 * radius);
    draw_line(canvas, STROKE_THIN, centre.x - arm, centre.y, centre.x + arm, centre.y);
    draw_line(canvas, STROKE_THIN, centre.x, centre.y - arm, centre.x, centre.y + arm);
}

/* The place to put the shape's low corner at the drawing's, as it lies on the page. */
static struct outline_move place_of(struct outline_box box, bool turned)
{
    if (turned) /* x of the page is -y, y is x */
        return (struct outline_move){.rotate_deg = 90, .x = BORDER_MM + box.high_y,
                                     .y = BORDER_MM - box.low_x};
    return (struct outline_move){.x = BORDER_MM - box.low_x, .y = BORDER_MM - box.low_y};
}

struct drawing *draw_gasket(struct arena *arena, const struct gasket *gasket, bool turned)
{
    struct canvas canvas = {arena, ARENA_NEW(arena, struct drawing), NULL};
    struct outline_box box = gasket->box;
    double width = box.high_x - box.low_x + 2 * BORDER_MM;
    double height = box.high_y - box.low_y + 2 * BORDER_MM;
    struct outline_shape cut = moved(arena, gasket->shape, place_of(box, turned));

    canvas.drawing->width_mm = turned ? height : width;
    canvas.drawing->height_mm = turned ? width : height;
    draw_add(&canvas, SHAPE_CUT, STROKE_THIN)->cut = cut;
    for (size_t i = 1; i < cut.count; i++)
        mark_centre(&canvas, &cut.items[i]);
    return canvas.drawing;
}

/* ---------- on several pages ---------- */

struct outline_point tiling_corner(const struct tiling *tiling, size_t column, size_t row)
{
    return (struct outline_point){
        tiling->x + (double)column * (tiling->width - tiling->overlap),
        tiling->y + (double)(tiling->down - 1 - row) * (tiling->height - tiling->overlap)};
}

static void cross(struct canvas *canvas, double x, double y)
{
    const double arm = 4, radius = 2;

    draw_line(canvas, STROKE_THIN, x - arm, y, x + arm, y);
    draw_line(canvas, STROKE_THIN, x, y - arm, x, y + arm);
    draw_circle(canvas, STROKE_THIN, x, y, radius);
}

/* The join of two columns, or of two rows, beside one page: two crosses as far apart as they can be,
 * without coming near those of the next page. */
static void join(struct canvas *canvas, double overlap, bool upright, double at, double from, double to)
{
    double end = overlap + 6;

    for (int i = 0; i < 2; i++) {
        double along = i == 0 ? from + end : to - end;
        cross(canvas, upright ? at : along, upright ? along : at);
    }
    draw_line(canvas, STROKE_DASHED, upright ? at : from, upright ? from : at, upright ? at : to,
              upright ? to : at);
}

struct drawing *draw_joins(struct arena *arena, const struct tiling *tiling,
                           const struct drawing *over)
{
    struct canvas canvas = {arena, ARENA_NEW(arena, struct drawing), NULL};

    canvas.drawing->width_mm = over->width_mm;
    canvas.drawing->height_mm = over->height_mm;
    for (size_t row = 0; row < tiling->down; row++)
        for (size_t column = 0; column < tiling->across; column++) {
            struct outline_point low = tiling_corner(tiling, column, row);
            if (column > 0)
                join(&canvas, tiling->overlap, true, low.x + tiling->overlap / 2, low.y, low.y + tiling->height);
            if (row > 0)
                join(&canvas, tiling->overlap, false, low.y + tiling->height - tiling->overlap / 2, low.x,
                     low.x + tiling->width);
        }
    return canvas.drawing;
}

/* ---------- edges, for those who transcribe ---------- */

static void draw_edge(const struct draw_pen *pen, struct outline_vertex from,
                      struct outline_vertex to)
{
    struct outline_point centre;

    if (from.bulge == 0) {
        pen->line(pen->user, to.x, to.y);
        return;
    }
    double radius = outline_radius(from, to, &centre), sweep = 4 * atan(from.bulge);
    double start = atan2(from.y - centre.y, from.x - centre.x);
    int parts = (int)ceil(fabs(sweep) / (M_PI / 4) - 1e-9);
    for (int i = 1; i <= parts; i++) {
        double at = start + sweep * i / parts;
        bool last = i == parts; /* where the next edge begins, to the last digit */
        pen->arc(pen->user, last ? to.x : centre.x + radius * cos(at),
                 last ? to.y : centre.y + radius * sin(at), radius, centre.x, centre.y,
                 sweep / parts);
    }
}

void draw_cut(const struct outline_shape *cut, const struct draw_pen *pen)
{
    for (size_t i = 0; i < cut->count; i++) {
        const struct outline_loop *loop = &cut->items[i];
        pen->move(pen->user, loop->items[0].x, loop->items[0].y);
        for (size_t k = 0; k < loop->count; k++)
            draw_edge(pen, loop->items[k], loop->items[(k + 1) % loop->count]);
        pen->close(pen->user);
    }
}

/* ---------- on the sheet ---------- */

static void rectangle(struct canvas *canvas, enum stroke stroke, double grey, double x, double y,
                      double width, double height)
{
    const double corners[] = {x, y, x + width, y, x + width, y + height, x, y + height};

    draw_region(canvas, stroke, grey, corners, 4);
}

/* The gasket itself in its rectangle, scaled: what is laid where can be seen. */
static void lay(struct canvas *canvas, const struct cut_sheet *sheet, size_t index, double scale)
{
    const struct outline_piece *piece = &sheet->cut->pieces[index];
    const struct gasket *gasket = sheet->gaskets[index]->gasket;
    struct outline_box box = gasket->box;
    bool turned = piece->turned != str_equal(gasket->parts[0]->cut_from.grain.text, "across");
    struct outline_shape shape = moved(canvas->arena, gasket->shape, place_of(box, turned));

    for (size_t i = 0; i < shape.count; i++)
        for (size_t k = 0; k < shape.items[i].count; k++) {
            struct outline_vertex *vertex = &shape.items[i].items[k];
            vertex->x = (vertex->x - BORDER_MM + piece->x) * scale;
            vertex->y = (vertex->y - BORDER_MM + piece->y) * scale;
        }
    draw_add(canvas, SHAPE_CUT, STROKE_THIN)->cut = shape;
}

static void grain_arrow(struct canvas *canvas, double x, double height, const char *words)
{
    double high = fmin(30, height / 2);

    draw_line(canvas, STROKE_MEDIUM, x, 0, x, high);
    draw_line(canvas, STROKE_MEDIUM, x, high, x - 1.2, high - 3);
    draw_line(canvas, STROKE_MEDIUM, x, high, x + 1.2, high - 3);
    draw_label(canvas, x + 2, high / 2, -1, false, words);
}

struct drawing *draw_sheet(struct arena *arena, const struct cut_sheet *sheet, size_t number,
                           const char *grain, double width_mm, double height_mm)
{
    struct canvas canvas = {arena, ARENA_NEW(arena, struct drawing), NULL};
    const struct sheet_cut *cut = sheet->cut;
    double beside = draw_text_mm(grain) + 6;
    double scale = fmin((width_mm - beside) / cut->size.width, height_mm / cut->size.height);

    canvas.drawing->width_mm = cut->size.width * scale + beside;
    canvas.drawing->height_mm = cut->size.height * scale;
    rectangle(&canvas, STROKE_MEDIUM, 1, 0, 0, cut->size.width * scale, cut->size.height * scale);
    for (size_t i = 0; i < cut->piece_count; i++) {
        const struct outline_piece *piece = &cut->pieces[i];
        double width = (piece->turned ? piece->height : piece->width) * scale;
        double height = (piece->turned ? piece->width : piece->height) * scale;
        if (piece->sheet != number)
            continue;
        rectangle(&canvas, STROKE_DASHED, 1, piece->x * scale, piece->y * scale, width, height);
        lay(&canvas, sheet, i, scale);
        draw_label(&canvas, piece->x * scale + width / 2,
                   piece->y * scale + height / 2 - LABEL_MM * 0.36, 0, true,
                   str_print(arena, "%zu", i + 1));
    }
    grain_arrow(&canvas, cut->size.width * scale + 3, cut->size.height * scale, grain);
    return canvas.drawing;
}
