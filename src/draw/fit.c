/* fit.c - a fit as two tolerance zones beside the zero line of the nominal size (the way of ISO 286-1,
 * its figures of zones): the outer part's hole left, the inner part's shaft right. */
#include "draw_private.h"

#include <math.h>

struct scale {
    double zero_mm, mm_per_um;
};

static double at(const struct scale *scale, double um)
{
    return scale->zero_mm + um * scale->mm_per_um;
}

static const char *signed_um(struct canvas *canvas, double um)
{
    const char *digits = str_decimal(canvas->arena, fabs(um), fabs(um - round(um)) < 0.05 ? 0 : 1);

    return str_print(canvas->arena, "%s%s", um < -0.04 ? "\xe2\x88\x92" : um > 0.04 ? "+" : "",
                     digits);
}

struct zone {
    double x, width, low, high, found;
    bool measured;
    double grey;
    const char *label;
};

/* Limits stand outside the zone's ends so that a thin zone stays readable; the found size is a thick
 * line across and beyond the zone. */
static void draw_zone(struct canvas *canvas, const struct scale *scale, const struct zone *zone,
                      double top)
{
    double low = at(scale, zone->low), high = at(scale, zone->high);
    double middle = zone->x + zone->width / 2;
    const double box[] = {zone->x, low, zone->x + zone->width, low,
                          zone->x + zone->width, high, zone->x, high};

    draw_region(canvas, STROKE_MEDIUM, zone->grey, box, 4);
    draw_label(canvas, middle, high + 1, 0, false, signed_um(canvas, zone->high));
    draw_label(canvas, middle, low - LABEL_MM * 0.9, 0, false, signed_um(canvas, zone->low));
    draw_label(canvas, middle, top, 0, true, zone->label != NULL ? zone->label : "");
    if (!zone->measured)
        return;
    double y = at(scale, zone->found), beyond = zone->x + zone->width + 4;
    draw_line(canvas, STROKE_THICK, zone->x - 2, y, beyond, y);
    draw_label(canvas, beyond + 1, y - LABEL_MM * 0.36, -1, true, signed_um(canvas, zone->found));
}

void draw_fit(struct canvas *canvas)
{
    const struct figure *figure = canvas->figure;
    double low = fmin(0, fmin(figure->inner_low, figure->outer_low));
    double high = fmax(0, fmax(figure->inner_high, figure->outer_high));
    const double zones_mm = 40, foot = 2 * LABEL_MM, head = 4 * LABEL_MM;
    double width = fmin(canvas->drawing->width_mm, 120), unit;

    if (figure->inner_measured) {
        low = fmin(low, figure->inner_found);
        high = fmax(high, figure->inner_found);
    }
    if (figure->outer_measured) {
        low = fmin(low, figure->outer_found);
        high = fmax(high, figure->outer_found);
    }
    canvas->drawing->width_mm = width;
    unit = high > low ? zones_mm / (high - low) : 1;
    struct scale scale = {foot - low * unit, unit};
    canvas->drawing->height_mm = foot + zones_mm + head;
    double top = canvas->drawing->height_mm - LABEL_MM * 1.1;
    draw_line(canvas, STROKE_MEDIUM, 2, at(&scale, 0), width - 2, at(&scale, 0));
    draw_label(canvas, 2, at(&scale, 0) + 1, -1, false,
               figure->nominal_label != NULL ? figure->nominal_label : "0");
    draw_label(canvas, width - 2, top, 1, false, "\xc2\xb5m");
    const struct zone outer = {width * 0.28, width * 0.16, figure->outer_low, figure->outer_high,
                               figure->outer_found, figure->outer_measured, -1,
                               figure->outer_label};
    const struct zone inner = {width * 0.62, width * 0.16, figure->inner_low, figure->inner_high,
                               figure->inner_found, figure->inner_measured, 0.8,
                               figure->inner_label};
    draw_zone(canvas, &scale, &outer, top);
    draw_zone(canvas, &scale, &inner, top);
}
