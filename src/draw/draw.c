/* draw.c - figures of the pack as lines, circles, regions and labels. */
#include "draw_private.h"

#include <math.h>
#include <string.h>

struct shape *draw_add(struct canvas *canvas, enum shape_kind kind, enum stroke stroke)
{
    struct shape *shape = ARRAY_PUSH(canvas->arena, &canvas->drawing->shapes);

    *shape = (struct shape){.kind = kind, .stroke = stroke};
    return shape;
}

void draw_line(struct canvas *canvas, enum stroke stroke, double x1, double y1, double x2,
               double y2)
{
    struct shape *line = draw_add(canvas, SHAPE_LINE, stroke);

    line->x1 = x1;
    line->y1 = y1;
    line->x2 = x2;
    line->y2 = y2;
}

void draw_circle(struct canvas *canvas, enum stroke stroke, double x, double y, double radius)
{
    struct shape *circle = draw_add(canvas, SHAPE_CIRCLE, stroke);

    circle->x1 = x;
    circle->y1 = y;
    circle->radius = radius;
}

void draw_region(struct canvas *canvas, enum stroke stroke, double grey, const double *points,
                 size_t count)
{
    struct shape *region = draw_add(canvas, SHAPE_REGION, stroke);

    region->grey = grey;
    region->points = ARENA_ARRAY(canvas->arena, double, 2 * count);
    memcpy(region->points, points, 2 * count * sizeof *points);
    region->point_count = count;
}

void draw_label(struct canvas *canvas, double x, double y, int align, bool bold, const char *text)
{
    struct shape *label = draw_add(canvas, SHAPE_LABEL, STROKE_THIN);

    label->x1 = x;
    label->y1 = y;
    label->align = align;
    label->bold = bold;
    label->size_pt = LABEL_PT;
    label->text = text;
}

/* Bounds are reckoned without the font: what letters of each kind take of their size, rather too
 * much than too little. */
double draw_text_mm(const char *text)
{
    double widths = 0;

    while (*text != '\0') {
        uint32_t point = str_code_point(&text);
        bool wide = (point >= 'A' && point <= 'Z') || point == 'm' || point == 'w';
        widths += point >= 0x370 ? 0.85 : wide ? 0.8 : 0.6;
    }
    return widths * LABEL_MM;
}

const char *draw_fitted(struct canvas *canvas, const char *text, double room_mm)
{
    const char *end = text, *next = text, *fitted = text;

    if (draw_text_mm(text) <= room_mm)
        return text;
    do {
        end = next;
        (void)str_code_point(&next);
        fitted = str_print(canvas->arena, "%.*s\xe2\x80\xa6", (int)(next - text), text);
    } while (draw_text_mm(fitted) <= room_mm);
    for (const char *blank = end; blank > text; blank--) /* whole words, where there are several */
        if (*blank == ' ') {
            end = blank;
            break;
        }
    return str_print(canvas->arena, "%.*s\xe2\x80\xa6", (int)(end - text), text);
}

struct drawing *draw_figure(struct arena *arena, const struct figure *figure, double width_mm)
{
    struct canvas canvas = {arena, ARENA_NEW(arena, struct drawing), figure};

    canvas.drawing->width_mm = width_mm;
    switch (figure->kind) {
    case FIGURE_PATTERN:
        draw_pattern(&canvas);
        break;
    case FIGURE_FIT:
        draw_fit(&canvas);
        break;
    case FIGURE_TIMING:
        draw_timing(&canvas);
        break;
    case FIGURE_LANES:
        draw_lanes(&canvas);
        break;
    }
    return canvas.drawing;
}
