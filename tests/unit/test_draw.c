/* Figures: finite, inside their bounds, and where independent sums put them. */
#include <criterion/criterion.h>
#include <gudgeon/draw.h>
#include <math.h>
#include <string.h>

static struct arena *arena;

static void set_up(void)
{
    arena = arena_new(0, NULL, NULL);
}

static void tear_down(void)
{
    arena_free(arena);
}

TestSuite(draw, .init = set_up, .fini = tear_down);

static struct figure *pattern(const double *x, const double *y, const int64_t *order, size_t count)
{
    struct figure *figure = ARENA_NEW(arena, struct figure);

    figure->kind = FIGURE_PATTERN;
    for (size_t i = 0; i < count; i++) {
        *ARRAY_PUSH(arena, &figure->x_mm) = x[i];
        *ARRAY_PUSH(arena, &figure->y_mm) = y[i];
        *ARRAY_PUSH(arena, &figure->sequence) = order[i];
    }
    return figure;
}

static struct figure *timing(const double *angles, const char *const *names, size_t count)
{
    struct figure *figure = ARENA_NEW(arena, struct figure);

    figure->kind = FIGURE_TIMING;
    for (size_t i = 0; i < count; i++) {
        *ARRAY_PUSH(arena, &figure->angles) = angles[i];
        *ARRAY_PUSH(arena, &figure->names) = names[i];
    }
    return figure;
}

static void expect_inside(const struct drawing *drawing, double x, double y, const char *what)
{
    cr_expect(isfinite(x) && isfinite(y), "%s is not finite", what);
    cr_expect(x >= -0.01 && y >= -0.01 && x <= drawing->width_mm + 0.01 &&
                  y <= drawing->height_mm + 0.01,
              "%s at %g %g leaves %g x %g", what, x, y, drawing->width_mm, drawing->height_mm);
}

static void expect_bounded(const struct drawing *drawing)
{
    cr_assert(drawing->width_mm > 0 && drawing->height_mm > 0);
    for (size_t i = 0; i < drawing->shapes.count; i++) {
        const struct shape *shape = &drawing->shapes.items[i];
        const char *what = shape->kind == SHAPE_LABEL ? shape->text : "a shape";
        double reach = shape->kind == SHAPE_CIRCLE ? shape->radius : 0;
        if (shape->kind != SHAPE_REGION) {
            expect_inside(drawing, shape->x1 - reach, shape->y1 - reach, what);
            expect_inside(drawing, shape->x1 + reach, shape->y1 + reach, what);
        }
        if (shape->kind == SHAPE_LINE)
            expect_inside(drawing, shape->x2, shape->y2, "a line's end");
        for (size_t j = 0; j < shape->point_count; j++)
            expect_inside(drawing, shape->points[2 * j], shape->points[2 * j + 1], "a corner");
        if (shape->kind == SHAPE_LABEL)
            cr_expect_geq(shape->size_pt, 9, "'%s' is too small to read", shape->text);
    }
}

static const struct shape *find_label(const struct drawing *drawing, const char *text)
{
    for (size_t i = 0; i < drawing->shapes.count; i++)
        if (drawing->shapes.items[i].kind == SHAPE_LABEL &&
            strcmp(drawing->shapes.items[i].text, text) == 0)
            return &drawing->shapes.items[i];
    return NULL;
}

/* Positions keep their shape: distances between numbers are all in one ratio to the real ones. */
Test(draw, a_pattern_is_the_real_one_to_one_scale)
{
    static const double x1[] = {0, 60, 120, 0, 60, 120}, y1[] = {0, 0, 0, 70, 70, 70};
    static const int64_t order1[] = {5, 1, 4, 3, 2, 6};
    static const double x2[] = {0, 40, 0, -40, 13}, y2[] = {50, 0, -50, 0, 22};
    static const int64_t order2[] = {1, 3, 2, 4, 5};
    const struct figure *figures[] = {pattern(x1, y1, order1, 6), pattern(x2, y2, order2, 5)};

    for (size_t f = 0; f < 2; f++) {
        const struct figure *figure = figures[f];
        struct drawing *drawing = draw_figure(arena, figure, f == 0 ? 170 : 100);
        size_t count = figure->x_mm.count;
        double ratio = 0;
        expect_bounded(drawing);
        for (size_t i = 1; i < count; i++) {
            const struct shape *a = find_label(
                drawing, str_print(arena, "%d", (int)figure->sequence.items[0]));
            const struct shape *b = find_label(
                drawing, str_print(arena, "%d", (int)figure->sequence.items[i]));
            cr_assert(a != NULL && b != NULL, "a number is missing");
            double drawn = hypot(b->x1 - a->x1, b->y1 - a->y1);
            double real = hypot(figure->x_mm.items[i] - figure->x_mm.items[0],
                                figure->y_mm.items[i] - figure->y_mm.items[0]);
            if (i == 1)
                ratio = drawn / real;
            cr_expect_float_eq(drawn / real, ratio, 1e-9, "figure %zu position %zu", f, i);
            /* up stays up, right stays right */
            cr_expect(signbit(b->x1 - a->x1) ==
                          signbit(figure->x_mm.items[i] - figure->x_mm.items[0]) ||
                      fabs(b->x1 - a->x1) < 1e-9);
            cr_expect(signbit(b->y1 - a->y1) ==
                          signbit(figure->y_mm.items[i] - figure->y_mm.items[0]) ||
                      fabs(b->y1 - a->y1) < 1e-9);
        }
    }
}

static const struct shape *zone(const struct drawing *drawing, double grey)
{
    for (size_t i = 0; i < drawing->shapes.count; i++)
        if (drawing->shapes.items[i].kind == SHAPE_REGION &&
            fabs(drawing->shapes.items[i].grey - grey) < 1e-9)
            return &drawing->shapes.items[i];
    return NULL;
}

/* Zones: heights and distances in the ratio of their micrometres. 62 M6 is -24..-5, the outside of a
 * 6206 bearing 0..-13 (ISO 286-2 and ISO 492, as in tests/published). */
Test(draw, zones_of_a_fit_stand_in_the_ratio_of_their_sizes)
{
    static const double rows[][4] = {{-13, 0, -24, -5}, {8, 20, 0, 25}, {-0.4, 0.6, -1, 3}};

    for (size_t i = 0; i < 3; i++) {
        struct figure *figure = ARENA_NEW(arena, struct figure);
        const double *r = rows[i];
        *figure = (struct figure){.kind = FIGURE_FIT, .inner_low = r[0], .inner_high = r[1],
                                  .outer_low = r[2], .outer_high = r[3], .outer_measured = true,
                                  .outer_found = r[3] + 2, .inner_label = "shaft",
                                  .outer_label = "hole", .nominal_label = "62 mm"};
        struct drawing *drawing = draw_figure(arena, figure, 120);
        const struct shape *inner = zone(drawing, 0.8), *outer = zone(drawing, -1);
        expect_bounded(drawing);
        cr_assert(inner != NULL && outer != NULL);
        double unit = (inner->points[5] - inner->points[1]) / (r[1] - r[0]);
        cr_expect_float_eq(outer->points[5] - outer->points[1], unit * (r[3] - r[2]), 1e-9);
        cr_expect_float_eq(outer->points[1] - inner->points[1], unit * (r[2] - r[0]), 1e-9);
        const struct shape *found = NULL;
        for (size_t j = 0; j < drawing->shapes.count; j++)
            if (drawing->shapes.items[j].kind == SHAPE_LINE &&
                drawing->shapes.items[j].stroke == STROKE_THICK)
                found = &drawing->shapes.items[j];
        cr_assert_not_null(found);
        cr_expect_float_eq(found->y1 - outer->points[5], unit * 2, 1e-9);
    }
}

/* A spoke at `a` degrees after top dead centre runs along (sin a, cos a): right of the top for what
 * comes after, left for what comes before. */
Test(draw, spokes_of_a_timing_disc_stand_at_their_angles)
{
    static const double first[] = {-32, 12, -12, 228, 350}, second[] = {0, 90, 180, 270, 719, 1, 2};
    static const char *const names[] = {"spark", "exhaust closes", "inlet opens", "inlet closes",
                                        "a name as long as any name that a user may ever give", "f", "g"};
    const struct figure *figures[] = {timing(first, names, 5), timing(second, names, 7)};

    for (size_t f = 0; f < 2; f++) {
        struct drawing *drawing = draw_figure(arena, figures[f], 170);
        double x = -1, y = -1;
        expect_bounded(drawing);
        for (size_t i = 0; i < drawing->shapes.count && x < 0; i++)
            if (drawing->shapes.items[i].kind == SHAPE_CIRCLE) {
                x = drawing->shapes.items[i].x1;
                y = drawing->shapes.items[i].y1;
            }
        for (size_t i = 0; i < figures[f]->angles.count; i++) {
            double turn = figures[f]->angles.items[i] * 3.14159265358979 / 180;
            bool found = false;
            for (size_t j = 0; j < drawing->shapes.count && !found; j++) {
                const struct shape *s = &drawing->shapes.items[j];
                if (s->kind != SHAPE_LINE || s->stroke != STROKE_THICK)
                    continue;
                double r = hypot(s->x2 - x, s->y2 - y);
                found = fabs(s->x2 - x - r * sin(turn)) < 1e-6 &&
                        fabs(s->y2 - y - r * cos(turn)) < 1e-6;
            }
            cr_expect(found, "figure %zu: no spoke at %g degrees", f, figures[f]->angles.items[i]);
        }
        /* labels of one side lie below one another with room between */
        for (size_t i = 0; i < drawing->shapes.count; i++)
            for (size_t j = i + 1; j < drawing->shapes.count; j++) {
                const struct shape *a = &drawing->shapes.items[i], *b = &drawing->shapes.items[j];
                if (a->kind == SHAPE_LABEL && b->kind == SHAPE_LABEL && a->align == b->align &&
                    a->align != 0)
                    cr_expect(fabs(a->y1 - b->y1) > 9 * 25.4 / 72, "'%s' on '%s'", a->text,
                              b->text);
            }
    }
}

Test(draw, a_figure_without_facts_is_empty_and_harmless)
{
    struct figure figure = {.kind = FIGURE_PATTERN};

    cr_assert_not_null(draw_figure(arena, &figure, 100));
    figure.kind = FIGURE_TIMING;
    expect_bounded(draw_figure(arena, &figure, 100));
    figure.kind = FIGURE_FIT;
    expect_bounded(draw_figure(arena, &figure, 100));
}

Test(draw, lanes_of_one_to_forty_rows_stay_inside_and_apart)
{
    static const size_t counts[] = {1, 7, 40};

    for (size_t c = 0; c < sizeof counts / sizeof *counts; c++)
        for (size_t columns = 1; columns <= 3; columns++)
            for (double width = 110; width <= 180; width += 35) {
                struct figure figure = {.kind = FIGURE_LANES, .columns = columns};
                for (size_t i = 0; i < 4; i++)
                    *ARRAY_PUSH(arena, &figure.names) = "a long word or two of what the mark means";
                for (size_t i = 0; i < counts[c]; i++) {
                    struct figure_row *row = ARRAY_PUSH(arena, &figure.rows);
                    *row = (struct figure_row){.line = i + 1, .column = i % columns, .number = "120–135",
                                               .head = i ? NULL : "Final build", .covers = i % 3,
                                               .text = "Tappet with its adjusting screw exhaust, the second",
                                               .steps = 100 + i, .holds = i % 12,
                                               .goes_in = i % columns > 0, .came_off = i % columns > 0};
                }
                struct drawing *drawing = draw_figure(arena, &figure, width);
                expect_bounded(drawing);
                for (size_t i = 0; i < drawing->shapes.count; i++) /* boxes do not lie over each other */
                    for (size_t j = i + 1; j < drawing->shapes.count; j++) {
                        const struct shape *a = &drawing->shapes.items[i], *b = &drawing->shapes.items[j];
                        if (a->kind == SHAPE_REGION && b->kind == SHAPE_REGION && a->grey > 0 && b->grey > 0)
                            cr_expect(a->points[1] >= b->points[5] || b->points[1] >= a->points[5],
                                      "%zu rows, %zu columns: boxes overlap", counts[c], columns);
                    }
            }
}
