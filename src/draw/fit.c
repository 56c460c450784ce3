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

/* A label in the way of the zero line takes a piece out of it. */
static void draw_limit(struct canvas *canvas, double middle, double y, const char *text)
{
    double half = draw_text_mm(text) / 2 + 0.5;
    const double white[] = {middle - half, y - 0.3, middle + half, y - 0.3,
                            middle + half, y + 0.8 * LABEL_MM, middle - half, y + 0.8 * LABEL_MM};

    draw_region(canvas, STROKE_NONE, 1, white, 4);
    draw_label(canvas, middle, y, 0, false, text);
}

/* Limits stand outside the zone's ends so that a thin zone stays readable; the found size is a thick
 * line across and beyond the zone. */
static void draw_zone(struct canvas *canvas, const struct scale *scale, const struct zone *zone)
{
    double low = at(scale, zone->low), high = at(scale, zone->high);
    double middle = zone->x + zone->width / 2;
    const double box[] = {zone->x, low, zone->x + zone->width, low,
                          zone->x + zone->width, high, zone->x, high};

    draw_limit(canvas, middle, high + 0.9, signed_um(canvas, zone->high));
    draw_limit(canvas, middle, low - LABEL_MM, signed_um(canvas, zone->low));
    draw_region(canvas, STROKE_MEDIUM, zone->grey, box, 4);
    if (!zone->measured)
        return;
    double y = at(scale, zone->found), beyond = zone->x + zone->width + 2.5;
    draw_line(canvas, STROKE_THICK, zone->x - 2, y, beyond, y);
    draw_label(canvas, beyond + 0.8, y - LABEL_MM * 0.36, -1, true,
               signed_um(canvas, zone->found));
}

/* What each zone is: a swatch and its name, in a line of its own, since names may be long. */
static void draw_name(struct canvas *canvas, const struct zone *zone, double y)
{
    const double swatch = 5, gap = 1.5;
    const double box[] = {0, y - 0.4, swatch, y - 0.4, swatch, y + 2.6, 0, y + 2.6};
    const char *name = zone->label != NULL ? zone->label : "";
    double room = canvas->drawing->width_mm - swatch - gap - 6;

    draw_region(canvas, STROKE_THIN, zone->grey, box, 4);
    draw_label(canvas, swatch + gap, y, -1, false, draw_fitted(canvas, name, room));
}

static void spread(double *low, double *high, double value)
{
    *low = fmin(*low, value);
    *high = fmax(*high, value);
}

void draw_fit(struct canvas *canvas)
{
    const struct figure *figure = canvas->figure;
    double low = 0, high = 0, width = fmin(canvas->drawing->width_mm, 72);
    const double zones_mm = 20, foot = 1.6 * LABEL_MM, head = 4.6 * LABEL_MM;

    spread(&low, &high, figure->inner_low);
    spread(&low, &high, figure->inner_high);
    spread(&low, &high, figure->outer_low);
    spread(&low, &high, figure->outer_high);
    if (figure->inner_measured)
        spread(&low, &high, figure->inner_found);
    if (figure->outer_measured)
        spread(&low, &high, figure->outer_found);
    double unit = high > low ? zones_mm / (high - low) : 1;
    const struct scale scale = {foot - low * unit, unit};
    const struct zone outer = {width * 0.27, width * 0.18, figure->outer_low, figure->outer_high,
                               figure->outer_found, figure->outer_measured, -1,
                               figure->outer_label};
    const struct zone inner = {width * 0.63, width * 0.18, figure->inner_low, figure->inner_high,
                               figure->inner_found, figure->inner_measured, 0.8,
                               figure->inner_label};
    canvas->drawing->width_mm = width;
    canvas->drawing->height_mm = foot + zones_mm + head;
    draw_line(canvas, STROKE_MEDIUM, 0, at(&scale, 0), width, at(&scale, 0));
    draw_label(canvas, 0, at(&scale, 0) + 1, -1, false,
               figure->nominal_label != NULL ? figure->nominal_label : "0");
    draw_label(canvas, width, canvas->drawing->height_mm - 1.1 * LABEL_MM, 1, false,
               "\xc2\xb5m");
    draw_zone(canvas, &scale, &outer);
    draw_zone(canvas, &scale, &inner);
    draw_name(canvas, &outer, canvas->drawing->height_mm - 1.1 * LABEL_MM);
    draw_name(canvas, &inner, canvas->drawing->height_mm - 2.6 * LABEL_MM);
}
