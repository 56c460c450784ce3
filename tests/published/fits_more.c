/* fits_more.c - further published rows on limits and fits, read cell by cell from second sources. */
#include "published.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static double printed(const char *text, const char *key)
{
    double number = NAN;
    const char *part = key == NULL ? text : check_part(text, key);
    if (part != NULL)
        check_number(part, &number);
    return number;
}

static enum bind_outcome in_um(const struct check_row *row, struct bind_fault *fault,
                               const char *what, int64_t pm, double expected)
{
    return pm == TABLE_NO_PM ? bind_fault(row, fault, "not in the table")
                             : bind_near(row, fault, what, (double)pm / 1e6, expected);
}

/* A step holds above `over` up to and with `incl`: both ends are asked. */
static int64_t end_of(const struct check_row *row, bool upper)
{
    return upper ? qty_pm_from_mm(check_value(row, "incl"))
                 : qty_pm_from_mm(check_value(row, "over")) + 1;
}

/* The limit nearest the zero line of a class: es or ei, ES or EI. */
static enum bind_outcome bind_deviation(const struct check_row *row, struct bind_fault *fault)
{
    bool high = (row->expected[1] | ' ') == 's';
    enum bind_outcome outcome = HELD;
    char key[3] = {row->expected[0], row->expected[1], '\0'};
    for (int upper = 0; upper < 2 && outcome == HELD; upper++) {
        struct table_limits limits = table_class_limits(
            published_set, check_part(row->input, "class"), end_of(row, upper));
        outcome = limits.status != TABLE_FOUND
                      ? bind_fault(row, fault, "not in the table")
                      : in_um(row, fault, key, high ? limits.high_pm : limits.low_pm,
                              printed(row->expected, key));
    }
    return outcome;
}

static enum bind_outcome bind_grade(const struct check_row *row, struct bind_fault *fault)
{
    enum bind_outcome outcome = HELD;
    const char *grade = check_part(row->input, "grade");
    for (int upper = 0; upper < 2 && outcome == HELD; upper++)
        outcome = in_um(row, fault, grade, table_it(published_set, grade, end_of(row, upper)),
                        printed(row->expected, NULL));
    return outcome;
}

#define DEVIATIONS "deviations.csv"

const struct published_topic published_fits_more[] = {
    {DEVIATIONS, "more-deviation", bind_deviation, 805},
    {DEVIATIONS, "more-grade", bind_grade, 234},
    {NULL, NULL, NULL, 0},
};
