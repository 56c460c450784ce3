/* The torque that a joint is given by what it says of its nut or its spark plug, against the rows
 * of tests/published: each printed figure is reached through a spec. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "check_rows.h"
#include "resolved.h"
#include "test_arena.h"

TestSuite(resolve_torque, .init = test_arena_start, .fini = test_arena_stop);

/* The printed name of a thread of AC 43.13-1B as a spec writes it: "8-36" is a numbered size. */
static void name_thread(char *name, size_t size, const char *printed)
{
    static const char *const systems[] = {"UNF", "UNC", "UNS"};
    bool number = strchr(printed, '/') == NULL && atof(printed) > 1.5;

    for (size_t i = 0; i < sizeof systems / sizeof *systems; i++) {
        snprintf(name, size, "%s%s %s", number ? "#" : "", printed, systems[i]);
        if (table_thread_find(arena, table_set_default(), name).status == TABLE_FOUND)
            return;
    }
    cr_assert_fail("no thread %s", printed);
}

/* The joint of one printed figure, and which end of its range the figure is; false: no torque to
 * tighten to. */
static bool patch_of(const struct check_row *row, char *patch, size_t size, bool *low)
{
    static const char joint[] =
        "joints: {cover-nuts: {thread: '%s', grade: null, engagement: null, torque: null, %s, "
        "condition: {lubricant: dry, plating: %s, fastener: new}}}";
    char thread[60], said[60];

    if (strcmp(row->topic, "torque-ac4313") == 0) {
        const char *quantity = check_part(row->input, "quantity");
        if (strncmp(quantity, "recommended", 11) != 0)
            return false;
        *low = strstr(quantity, "minimum") != NULL;
        name_thread(thread, sizeof thread, check_part(row->input, "thread"));
        bool tension = strstr(check_part(row->input, "nut"), "tension") != NULL;
        snprintf(said, sizeof said, "nut: %s", tension ? "tension" : "shear");
        snprintf(patch, size, joint, thread, said, "cadmium");
        return true;
    }
    if (strcmp(row->topic, "torque-spark") != 0 || !check_has(row, "thread_mm"))
        return false;
    *low = strncmp(check_part(row->input, "quantity"), "minimum", 7) == 0;
    snprintf(thread, sizeof thread, "%s mm plug", check_part(row->input, "thread_mm"));
    snprintf(said, sizeof said, "seat: %s", check_part(row->input, "seat"));
    int length = snprintf(patch, size, joint, thread, said, "none");
    snprintf(patch + length, size - (size_t)length, "\nparts: {crankcase: {material: %s}}",
             strcmp(check_part(row->input, "head"), "cast iron") == 0 ? "cast-iron"
                                                                      : "aluminium-cast");
    return true;
}

Test(resolve_torque, nut_and_seat_choose_the_row_that_is_printed_for_them)
{
    struct check_rows rows = check_rows_load("fasteners.csv");
    size_t run = 0;

    for (size_t i = 0; i < rows.count; i++) {
        char patch[600];
        bool low;
        if (!patch_of(&rows.items[i], patch, sizeof patch, &low))
            continue;
        double wanted;
        cr_assert(check_number(rows.items[i].expected, &wanted), "%s", rows.items[i].id);
        struct resolved_row row = {patch, "cover-nuts.torque", rows.items[i].unit,
                                   low ? wanted : NAN, low ? NAN : wanted,
                                   check_tolerance(&rows.items[i], wanted) + 1e-9,
                                   rows.items[i].source};
        resolved_check(&row, 1);
        run++;
    }
    cr_expect(run >= 126, "%zu rows", run);
}

Test(resolve_torque, a_row_for_another_nut_or_seat_is_never_used)
{
    static const struct {
        const char *said;
        size_t disagree;
    } rows[] = {
        {"thread: 5/16-24 UNF, condition: {lubricant: dry, plating: cadmium, fastener: new}", 1},
        {"thread: 5/16-24 UNF, condition: {lubricant: dry, plating: cadmium, fastener: new}, "
         "nut: shear",
         0},
        {"thread: 14 mm plug, condition: {lubricant: dry, plating: none, fastener: new}", 1},
        {"thread: 14 mm plug, condition: {lubricant: dry, plating: none, fastener: new}, seat: "
         "conical",
         0},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char patch[300];
        snprintf(patch, sizeof patch,
                 "joints: {cover-nuts: {grade: null, engagement: null, torque: null, %s}}",
                 rows[i].said);
        struct resolved resolved = resolved_of(patch);
        cr_expect(resolved_count(&resolved, DIAG_TORQUE_TABLES_DISAGREE) == rows[i].disagree,
                  "%s: %s", rows[i].said, resolved_says(&resolved));
        resolved_free(&resolved);
    }
}
