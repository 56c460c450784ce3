/* threads.c - published rows on threads, drills, holes and hexagons. */
#include "bind_joints.h"

#include <criterion/criterion.h>
#include <gudgeon/table.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static enum bind_outcome bind_form(const struct check_row *row, struct bind_fault *fault,
                                   const char *name)
{
    const char *quantity = QUANTITY(row);
    const struct table_form *form = NULL;
    double got = NAN;
    for (size_t i = 0; (form = table_row_at(published_set, "form", i)) != NULL; i++)
        if (strcmp(form->name, name) == 0)
            break;
    cr_assert_not_null(form, "%s", name);
    if (check_has(row, "P")) /* H and 5H/8 for a pitch */
        return bind_near(row, fault, quantity,
                         check_value(row, "P") * (quantity[0] == 'H' ? form->height_per_pitch
                                                                     : form->minor_per_pitch / 2),
                         published_expected(row));
    if (strcmp(quantity, "h/P") == 0 || strcmp(quantity, "depth/P") == 0)
        got = form->effective_per_pitch; /* the depth is twice the half depth to the effective */
    else if (strcmp(quantity, "2h/P") == 0)
        got = form->minor_per_pitch;
    else if (strcmp(quantity, "radius/P") == 0)
        got = form->root_radius_per_pitch;
    else if (strcmp(quantity, "H/P") == 0)
        got = form->height_per_pitch;
    else
        return UNBOUND;
    return bind_near(row, fault, quantity, got, published_expected(row));
}

/* ISO 262: the size, the series and its pitch belong together. */
static enum bind_outcome bind_series(const struct check_row *row, struct bind_fault *fault)
{
    char name[80];
    snprintf(name, sizeof name, "%sx%s", check_part(row->input, "size"), row->expected);
    struct table_thread_found found = table_thread_find(arena, published_set, name);
    if (found.status != TABLE_FOUND ||
        strncmp(strrchr(check_part(row->input, "series"), ' ') + 1, found.thread->series, 4) != 0)
        return bind_fault(row, fault, "no such thread in that series");
    return published_length_is(row, fault, "pitch", found.thread->pitch_pm);
}

/* UNR bolts: the root of their own form below the major diameter of the thread. */
static enum bind_outcome bind_unr(const struct check_row *row, struct bind_fault *fault,
                                  const struct table_thread *thread)
{
    const struct table_form *form;
    for (size_t i = 0; (form = table_row_at(published_set, "form", i)) != NULL; i++)
        if (strcmp(form->name, "unr") == 0)
            break;
    return published_length_is(row, fault, "UNR root",
                               thread->major_pm -
                                   (int64_t)(form->root_per_pitch * (double)thread->pitch_pm));
}

static enum bind_outcome bind_thread(const struct check_row *row, struct bind_fault *fault)
{
    const char *quantity = QUANTITY(row);
    const struct table_form *form = NULL;
    if (check_has(row, "form") && strstr(check_part(row->input, "form"), "47.5") != NULL)
        return bind_form(row, fault, "ba");
    if (check_has(row, "form") && strstr(check_part(row->input, "form"), "Whitworth") != NULL)
        return bind_form(row, fault, "whitworth");
    if (check_has(row, "form") && strstr(check_part(row->input, "form"), "cycle") != NULL)
        return bind_form(row, fault, "cycle");
    if (check_has(row, "P") && !check_has(row, "size"))
        return bind_form(row, fault, "iso");
    if (check_has(row, "series"))
        return bind_series(row, fault);
    const struct table_thread *thread = published_thread(row, &form);
    if (thread == NULL)
        return UNBOUND;
    double pitch = (double)thread->pitch_pm;
    if (published_starts(quantity, "minor diameter external, UNR"))
        return bind_unr(row, fault, thread);
    if (strcmp(quantity, "core area") == 0)
        return published_number_is(row, fault, quantity,
                                   3.14159265358979 / 4 * pow((double)thread->minor_pm * 1e-12, 2));
    if (strcmp(quantity, "pitch") == 0)
        return published_length_is(row, fault, quantity, thread->pitch_pm);
    if (published_starts(quantity, "threads per inch"))
        return bind_near(row, fault, quantity,
                         table_has(thread->tpi) ? thread->tpi : 25.4e9 / pitch,
                         published_expected(row));
    if (published_starts(quantity, "nominal diameter") ||
        published_starts(quantity, "major diameter") || strcmp(quantity, "diameter") == 0)
        return published_length_is(row, fault, quantity, thread->major_pm);
    if (strstr(quantity, "pitch diameter") != NULL || published_starts(quantity, "effective"))
        return published_length_is(row, fault, quantity, thread->effective_pm);
    if (published_starts(quantity, "minor diameter external") || strcmp(quantity, "d3") == 0 ||
        published_starts(quantity, "root diameter"))
        return published_length_is(row, fault, quantity, thread->root_pm);
    if (published_starts(quantity, "basic minor") || published_starts(quantity, "minor diameter") ||
        published_starts(quantity, "core (minor)") || published_starts(quantity, "core diameter"))
        return published_length_is(row, fault, quantity, thread->minor_pm);
    if (strstr(quantity, "stress area") != NULL)
        return published_number_is(row, fault, quantity, thread->stress_area_m2);
    if (published_starts(quantity, "depth of thread"))
        return published_length_is(row, fault, quantity,
                                   (int64_t)(form->effective_per_pitch * pitch));
    if (published_starts(quantity, "crest and root radius"))
        return published_length_is(row, fault, quantity,
                                   (int64_t)(form->root_radius_per_pitch * pitch));
    return UNBOUND;
}

/* Old metric sizes: the row names the series, the pitch is what is looked up. */
static enum bind_outcome bind_old_metric(const struct check_row *row, struct bind_fault *fault)
{
    char name[80];
    snprintf(name, sizeof name, "M%sx%s", check_part(row->input, "size"), row->expected);
    struct table_thread_found found = table_thread_find(arena, published_set, name);
    if (found.status != TABLE_FOUND)
        return bind_fault(row, fault, "no such thread");
    return published_length_is(row, fault, "pitch", found.thread->pitch_pm);
}

static enum bind_outcome bind_plug(const struct check_row *row, struct bind_fault *fault)
{
    char name[80];
    const char *text = check_part(row->input, "thread");
    double size;
    if (strstr(QUANTITY(row), "length") != NULL)
        return UNBOUND;
    if (text[0] == 'M' && check_number(text + 1, &size))
        snprintf(name, sizeof name, "%g mm plug", size);
    else
        snprintf(name, sizeof name, "%.*s%s plug", (int)strcspn(text, " "), text,
                 strchr(text, '-') == NULL ? "-18" : "");
    struct table_thread_found found = table_thread_find(arena, published_set, name);
    if (found.status != TABLE_FOUND)
        return bind_fault(row, fault, name);
    const char *quantity = QUANTITY(row);
    if (strcmp(quantity, "pitch") == 0)
        return published_length_is(row, fault, quantity, found.thread->pitch_pm);
    if (published_starts(quantity, "threads"))
        return bind_near(row, fault, quantity, found.thread->tpi, published_expected(row));
    if (strcmp(quantity, "diameter") == 0)
        return published_length_is(row, fault, quantity, found.thread->major_pm);
    return published_length_is(row, fault, quantity,
                               published_starts(quantity, "root") ? found.thread->root_pm
                                                                  : found.thread->minor_pm);
}

/* --- drills, holes, hexagons --- */

static enum bind_outcome bind_tap_drill(const struct check_row *row, struct bind_fault *fault)
{
    const char *quantity = QUANTITY(row);
    const struct table_form *form = NULL;
    if (check_has(row, "drill") && !check_has(row, "thread")) {
        const struct table_drill *drill =
            table_drill_find(published_set, check_part(row->input, "drill"));
        return drill == NULL ? bind_fault(row, fault, "no such drill")
                             : published_length_is(row, fault, quantity, drill->diameter_pm);
    }
    const struct table_thread *thread = published_thread(row, &form);
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    if (published_starts(quantity, "percent")) {
        double drill = check_value(row, "drill") * (strstr(thread->name, "UN") != NULL ? 25.4 : 1);
        return bind_near(row, fault, quantity,
                         100 * ((double)thread->major_pm / 1e9 - drill) /
                             (2 * form->effective_per_pitch * (double)thread->pitch_pm / 1e9),
                         published_expected(row));
    }
    /* Several sources keep a row each: one of them must be the printed drill. */
    const struct table_tap_drill *tap;
    for (size_t i = 0; (tap = table_row_at(published_set, "tap-drill", i)) != NULL; i++) {
        if (strcmp(tap->thread, thread->name) != 0)
            continue;
        if (strcmp(row->unit, "drill name") == 0
                ? strcmp(tap->drill, row->expected) == 0
                : published_length_is(row, fault, quantity, tap->size_pm) == HELD)
            return HELD;
    }
    return bind_fault(row, fault, "no such tapping drill");
}

static enum bind_outcome bind_geometry(const struct check_row *row, struct bind_fault *fault)
{
    const char *bolt = check_part(row->input, "bolt"), *quantity = QUANTITY(row);
    const char *nut = check_part(row->input, "nut");
    bool british = bolt != NULL && strstr(bolt, "BSW/BSF") != NULL;
    char name[80];
    if (british)
        snprintf(name, sizeof name, "%.*s BSF", (int)strcspn(bolt, " "), bolt);
    else
        snprintf(name, sizeof name, "%s", strchr(nut != NULL ? nut : bolt, 'M'));
    struct table_thread_found found = table_thread_find(arena, published_set, name);
    if (found.status != TABLE_FOUND)
        return bind_fault(row, fault, name);
    if (published_starts(quantity, "clearance hole")) {
        const char *series = strrchr(check_part(row->input, "series"), ' ') + 1;
        const struct table_hole *hole = table_hole_find(published_set, found.thread, series);
        return hole == NULL ? bind_fault(row, fault, "no such hole")
                            : published_length_is(row, fault, quantity, hole->hole_pm);
    }
    const struct table_hexagon *hexagon = NULL;
    for (size_t i = 0; (hexagon = table_row_at(published_set, "hexagon", i)) != NULL; i++)
        if (published_starts(hexagon->standard, nut != NULL ? "DIN"
                                                : british   ? "BS"
                                                            : "ISO") &&
            (british ? published_starts(hexagon->thread_size, name)
                     : strcmp(hexagon->thread_size, name) == 0))
            break;
    if (hexagon == NULL)
        return bind_fault(row, fault, "no such hexagon");
    return published_length_is(row, fault, quantity,
                               strstr(quantity, "flats") != NULL ? hexagon->across_flats_pm
                                                                 : hexagon->bearing_face_pm);
}

static enum bind_outcome bind_second_unified(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_thread *thread = published_unified(row);
    bool nominal = published_starts(QUANTITY(row), "nominal");
    if (thread == NULL)
        return bind_fault(row, fault, "no such thread");
    return published_length_is(row, fault, thread->name,
                               nominal ? thread->major_pm : thread->effective_pm);
}

#define FASTENERS "fasteners.csv"
#define SECOND "threads.csv"

const struct published_topic published_threads[] = {
    {FASTENERS, "thread-iso", bind_thread, 98},
    {FASTENERS, "thread-un", bind_thread, 91},
    {FASTENERS, "thread-whit", bind_thread, 64},
    {FASTENERS, "thread-ba", bind_thread, 58},
    {FASTENERS, "thread-cycle", bind_thread, 31},
    {FASTENERS, "thread-bsp", bind_thread, 20},
    {FASTENERS, "thread-oldmetric", bind_old_metric, 16},
    {FASTENERS, "thread-spark", bind_plug, 15},
    {FASTENERS, "tapdrill", bind_tap_drill, 90},
    {FASTENERS, "geometry-bearing", bind_geometry, 39},
    {SECOND, "thread-iso", bind_thread, 275},
    {SECOND, "thread-un", bind_second_unified, 118},
    {NULL, NULL, NULL, 0},
};
