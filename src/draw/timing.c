/* timing.c - a timing disc: crank degrees from top dead centre, which is up; the crank turns the way
 * the clock goes, so after tdc is to the right. Each event is a spoke with what is said of it. */
#include "draw_private.h"

#include <math.h>
#include <stdlib.h>

#define RADIUS 17.0
#define HUB 0.55 /* of the radius */
#define REACH (RADIUS + 6)

struct event {
    double angle; /* 0 to 360 from tdc, the way of the clock */
    const char *text;
};

static int by_angle(const void *a, const void *b)
{
    double left = ((const struct event *)a)->angle, right = ((const struct event *)b)->angle;

    return left < right ? -1 : left > right;
}

/* Above the middle of the disc, from the top down; a label that would touch the one above slides down. */
static double label_height(const struct event *event, double above)
{
    return fmin(REACH * cos(event->angle * M_PI / 180), above - LABEL_MM * 1.35);
}

/* Events of one half, from the top down. */
static const struct event *nth_down(const struct event *events, size_t count, int side, size_t k)
{
    return &events[side > 0 ? k : count - 1 - k];
}

static void draw_side(struct canvas *canvas, const struct event *events, size_t count, int side,
                      double x, double y, double radius)
{
    double above = INFINITY; /* the label before */

    for (size_t k = 0; k < count; k++) {
        const struct event *event = nth_down(events, count, side, k);
        double turn = event->angle * M_PI / 180, c = cos(turn), s = sin(turn);
        double elbow_x = x + side * fmax(fabs(REACH * s), radius * 0.45);
        above = label_height(event, above);
        double label_y = y + above;
        draw_line(canvas, STROKE_THICK, x + radius * HUB * s, y + radius * HUB * c,
                  x + radius * s, y + radius * c);
        draw_line(canvas, STROKE_THIN, x + radius * s, y + radius * c, elbow_x,
                  label_y + LABEL_MM * 0.36);
        draw_label(canvas, elbow_x + side * 1.0, label_y, -side, false, event->text);
    }
}

static void draw_disc(struct canvas *canvas, double x, double y, double radius)
{
    draw_circle(canvas, STROKE_MEDIUM, x, y, radius);
    draw_circle(canvas, STROKE_THIN, x, y, radius * HUB);
    for (int degree = 0; degree < 360; degree += 10) {
        double turn = degree * M_PI / 180, inner = radius * (degree % 30 == 0 ? 0.93 : 0.965);
        draw_line(canvas, STROKE_THIN, x + inner * sin(turn), y + inner * cos(turn),
                  x + radius * sin(turn), y + radius * cos(turn));
    }
    draw_line(canvas, STROKE_DASHED, x, y + radius * HUB, x, y + radius);
    draw_line(canvas, STROKE_DASHED, x, y - radius, x, y - radius * HUB);
    draw_label(canvas, x, y + radius * HUB - LABEL_MM * 1.2, 0, true, "0\xc2\xb0");
    draw_label(canvas, x, y - radius * HUB + LABEL_MM * 0.6, 0, true, "180\xc2\xb0");
}

/* The way it turns: an arc with an arrow head, right of the middle. */
static void draw_turn(struct canvas *canvas, double x, double y, double radius)
{
    struct shape *arc = draw_add(canvas, SHAPE_ARC, STROKE_MEDIUM);
    double end = -40 * M_PI / 180, tip_x, tip_y;

    arc->x1 = x;
    arc->y1 = y;
    arc->radius = radius * HUB * 0.42; /* clear of the figures above and below */
    arc->from_deg = -40;
    arc->to_deg = 40;
    tip_x = x + arc->radius * cos(end);
    tip_y = y + arc->radius * sin(end);
    /* along the tangent, which at `end` points down and to the left */
    double tx = sin(end), ty = -cos(end), nx = cos(end), ny = sin(end);
    const double head[] = {tip_x + 2.4 * tx, tip_y + 2.4 * ty, tip_x + nx, tip_y + ny, tip_x - nx,
                           tip_y - ny};
    draw_region(canvas, STROKE_THIN, 0, head, 3);
}

/* How much paper the labels of some events need beside the middle of the disc. */
static double side_width(const struct event *events, size_t count)
{
    double widest = 0;

    for (size_t i = 0; i < count; i++)
        widest = fmax(widest, draw_text_mm(events[i].text) + 3);
    return REACH + widest;
}

/* How much they need above and below it. */
static void reach_of(const struct event *events, size_t count, int side, double *top, double *bottom)
{
    double above = INFINITY;

    for (size_t k = 0; k < count; k++) {
        above = label_height(nth_down(events, count, side, k), above);
        *top = fmax(*top, above + LABEL_MM);
        *bottom = fmax(*bottom, LABEL_MM * 0.3 - above);
    }
}

void draw_timing(struct canvas *canvas)
{
    const struct figure *figure = canvas->figure;
    size_t count = figure->angles.count, right = 0;
    struct event *events = ARENA_ARRAY(canvas->arena, struct event, count);
    double room = canvas->drawing->width_mm / 2 - REACH - 3;

    if (count != figure->names.count)
        return;
    for (size_t i = 0; i < count; i++) {
        double angle = fmod(figure->angles.items[i], 360);
        events[i] = (struct event){angle < 0 ? angle + 360 : angle,
                                   draw_fitted(canvas, figure->names.items[i], room)};
    }
    qsort(events, count, sizeof *events, by_angle);
    while (right < count && events[right].angle <= 180)
        right++;
    double x = side_width(events + right, count - right);
    canvas->drawing->width_mm = x + side_width(events, right);
    double top = RADIUS + 1, y = RADIUS + 1;
    reach_of(events, right, 1, &top, &y);
    reach_of(events + right, count - right, -1, &top, &y);
    canvas->drawing->height_mm = top + y;
    draw_disc(canvas, x, y, RADIUS);
    draw_turn(canvas, x, y, RADIUS);
    draw_side(canvas, events, right, 1, x, y, RADIUS);
    draw_side(canvas, events + right, count - right, -1, x, y, RADIUS);
}
