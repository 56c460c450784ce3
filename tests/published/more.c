/* more.c - rows read from further sources (fasteners-more.csv, fasteners-cells.csv): threads, drills,
 * holes, hexagons, pins, nuts, torques. */
#include "bind_joints.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const struct table_thread *thread_named(const char *name)
{
    struct table_thread_found found = table_thread_find(arena, published_set, name);
    return found.status == TABLE_FOUND ? found.thread : NULL;
}

static enum bind_outcome bind_more_thread(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_thread *thread = thread_named(check_part(row->input, "thread"));
    const char *quantity = check_part(row->input, "quantity");
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    if (published_starts(quantity, "threads per inch"))
        return bind_near(row, fault, quantity, thread->tpi, published_expected(row));
    if (published_starts(quantity, "distance"))
        return published_length_is(row, fault, quantity, thread->pitch_pm);
    if (published_starts(quantity, "tensile"))
        return published_number_is(row, fault, quantity, thread->stress_area_m2);
    return published_length_is(row, fault, quantity,
                               published_starts(quantity, "nominal")     ? thread->major_pm
                               : published_starts(quantity, "effective") ? thread->effective_pm
                               : published_starts(quantity, "pitch")     ? thread->effective_pm
                                                                         : thread->minor_pm);
}

static enum bind_outcome bind_more_hexagon(const struct check_row *row, struct bind_fault *fault)
{
    const char *size = check_part(row->input, "size");
    const char *standard = check_part(row->input, "standard");
    const struct table_hexagon *found;
    for (size_t i = 0; (found = table_row_at(published_set, "hexagon", i)) != NULL; i++)
        if (strcmp(found->thread_size, size) == 0 && published_starts(found->standard, standard))
            return published_length_is(row, fault, size,
                                       strstr(row->input, "face") != NULL ? found->bearing_face_pm
                                                                          : found->across_flats_pm);
    return bind_fault(row, fault, "no such hexagon");
}

static enum bind_outcome bind_more_hole(const struct check_row *row, struct bind_fault *fault)
{
    const char *size = check_part(row->input, "size"), *series = check_part(row->input, "series");
    const struct table_hole *hole;
    for (size_t i = 0; (hole = table_row_at(published_set, "hole", i)) != NULL; i++)
        if (strcmp(hole->thread_size, size) == 0 && strcmp(hole->series, series) == 0)
            return published_length_is(row, fault, series, hole->hole_pm);
    return bind_fault(row, fault, "no such hole");
}

static enum bind_outcome bind_more_drill(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_drill *drill =
        table_drill_find(published_set, check_part(row->input, "drill"));
    return drill == NULL ? bind_fault(row, fault, "no such drill")
                         : published_length_is(row, fault, drill->name, drill->diameter_pm);
}

/* Several sources keep a row each: one of them must be the printed drill. */
static enum bind_outcome bind_more_tap_drill(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_thread *thread = thread_named(check_part(row->input, "thread"));
    const struct table_tap_drill *tap;
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    for (size_t i = 0; (tap = table_row_at(published_set, "tap-drill", i)) != NULL; i++)
        if (strcmp(tap->thread, thread->name) == 0 &&
            published_length_is(row, fault, "drill", tap->size_pm) == HELD)
            return HELD;
    return bind_fault(row, fault, "no such tapping drill");
}

static enum bind_outcome bind_more_torque(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_thread *thread = published_unified(row);
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    struct table_torques rows =
        table_torque_find(arena, published_set, thread, check_part(row->input, "grade"),
                          check_part(row->input, "table"));
    for (size_t i = 0; i < rows.count; i++)
        if (!check_has(row, "friction") ||
            fabs(rows.items[i]->friction - check_value(row, "friction")) < 1e-9)
            return published_number_is(row, fault, "torque",
                                       strcmp(row->unit, "kN") == 0 ? rows.items[i]->preload_n
                                                                    : rows.items[i]->low_n_m);
    return bind_fault(row, fault, "no such torque");
}

/* Proof loads are printed in newtons, to three figures and finer: stress times the area as tabulated to
 * three figures. */
static enum bind_outcome bind_more_nut(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_thread *thread = thread_named(check_part(row->input, "thread"));
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    const struct table_nut *nut = table_nut_find(published_set, check_part(row->input, "class"),
                                                 check_part(row->input, "style"), thread->major_pm);
    return nut == NULL ? bind_fault(row, fault, "no such nut at that diameter")
                       : bind_near(row, fault, "proof load",
                                   nut->proof_pa / 1e6 * check_value(row, "As_nom"),
                                   published_expected(row));
}

/* A split pin's shank as the table gives it is the middle of the standard's limits. */
static enum bind_outcome bind_more_pin_size(const struct check_row *row, struct bind_fault *fault)
{
    const char *name = check_part(row->input, "pin");
    const struct table_pin_size *pin;
    for (size_t i = 0; (pin = table_row_at(published_set, "pin-size", i)) != NULL; i++)
        if (strcmp(pin->name, name) == 0)
            return bind_near(row, fault, "least shank",
                             2 * (double)pin->shank_pm / 1e9 - check_value(row, "shank_max"),
                             published_expected(row));
    return bind_fault(row, fault, "no such pin");
}

#define MORE "fasteners-more.csv"
#define CELLS "fasteners-cells.csv" /* the rest of a source's table, and second tables whole */

const struct published_topic published_more[] = {
    {MORE, "more-thread", bind_more_thread, 182},
    {MORE, "more-hexagon", bind_more_hexagon, 131},
    {MORE, "more-hole", bind_more_hole, 128},
    {MORE, "more-drill", bind_more_drill, 68},
    {MORE, "more-tapdrill", bind_more_tap_drill, 53},
    {MORE, "more-torque", bind_more_torque, 106},
    {MORE, "more-nut", bind_more_nut, 122},
    {CELLS, "more-thread", bind_more_thread, 109},
    {CELLS, "more-hexagon", bind_more_hexagon, 72},
    {CELLS, "more-hole", bind_more_hole, 81},
    {CELLS, "more-drill", bind_more_drill, 106},
    {CELLS, "more-pin-size", bind_more_pin_size, 16},
    {NULL, NULL, NULL, 0},
};
