/* pattern.c - the order in which the fasteners of a joint are tightened, where they stand. */
#include "draw_private.h"

#include <math.h>

static const double STUD_MM = 4, EDGE_MM = 5.5; /* a circle's radius; room around the middles */

/* Millimetres of paper for one of the joint: small, but so that no two circles touch while there is
 * room for that. */
static double scale_of(const struct canvas *canvas, double span_x, double span_y)
{
    const struct figure *figure = canvas->figure;
    const double small = 45 - 2 * EDGE_MM, apart = 2 * STUD_MM + 1.5;
    double span = fmax(span_x, span_y * 1.3), nearest = INFINITY;

    for (size_t i = 0; i < figure->x_mm.count; i++)
        for (size_t j = 0; j < i; j++)
            nearest = fmin(nearest, hypot(figure->x_mm.items[i] - figure->x_mm.items[j],
                                          figure->y_mm.items[i] - figure->y_mm.items[j]));
    if (span <= 0)
        return 1;
    double wanted = nearest > 0 ? fmax(small / span, apart / nearest) : small / span;
    return fmin(wanted, (canvas->drawing->width_mm - 2 * EDGE_MM) / span);
}

/* Each position as a circle with its number in it, joined in the order of tightening. */
void draw_pattern(struct canvas *canvas)
{
    const struct figure *figure = canvas->figure;
    size_t count = figure->x_mm.count;
    double low_x = INFINITY, high_x = -INFINITY, low_y = INFINITY, high_y = -INFINITY;

    if (count == 0 || figure->sequence.count != count || figure->y_mm.count != count)
        return;
    for (size_t i = 0; i < count; i++) {
        low_x = fmin(low_x, figure->x_mm.items[i]);
        high_x = fmax(high_x, figure->x_mm.items[i]);
        low_y = fmin(low_y, figure->y_mm.items[i]);
        high_y = fmax(high_y, figure->y_mm.items[i]);
    }
    double scale = scale_of(canvas, high_x - low_x, high_y - low_y);
    double *x = ARENA_ARRAY(canvas->arena, double, count);
    double *y = ARENA_ARRAY(canvas->arena, double, count);
    size_t *by_number = ARENA_ARRAY(canvas->arena, size_t, count);
    for (size_t i = 0; i < count; i++) {
        int64_t number = figure->sequence.items[i];
        x[i] = EDGE_MM + (figure->x_mm.items[i] - low_x) * scale;
        y[i] = EDGE_MM + (figure->y_mm.items[i] - low_y) * scale;
        if (number >= 1 && (size_t)number <= count)
            by_number[number - 1] = i;
    }
    for (size_t i = 1; i < count; i++)
        draw_line(canvas, STROKE_THIN, x[by_number[i - 1]], y[by_number[i - 1]], x[by_number[i]],
                  y[by_number[i]]);
    for (size_t i = 0; i < count; i++) {
        enum { CORNERS = 24 };
        double white[2 * CORNERS];
        for (int k = 0; k < CORNERS; k++) {
            white[2 * k] = x[i] + STUD_MM * cos(2 * M_PI * k / CORNERS);
            white[2 * k + 1] = y[i] + STUD_MM * sin(2 * M_PI * k / CORNERS);
        }
        draw_region(canvas, STROKE_THIN, 1, white, CORNERS);
        draw_circle(canvas, figure->sequence.items[i] == 1 ? STROKE_THICK : STROKE_MEDIUM, x[i],
                    y[i], STUD_MM);
        draw_label(canvas, x[i], y[i] - LABEL_MM * 0.36, 0, true,
                   str_print(canvas->arena, "%lld", (long long)figure->sequence.items[i]));
    }
    canvas->drawing->width_mm = (high_x - low_x) * scale + 2 * EDGE_MM;
    canvas->drawing->height_mm = (high_y - low_y) * scale + 2 * EDGE_MM;
}
