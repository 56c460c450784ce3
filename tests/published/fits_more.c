/* fits_more.c - further published rows on limits and fits, rules and materials, read cell by cell. */
#include "published.h"
#include "rules.h"

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

/* --- rules and materials --- */

static enum bind_outcome bind_rule(const struct check_row *row, struct bind_fault *fault)
{
    const char *id = check_part(row->input, "rule");
    const struct table_rule *rule =
        table_rule_find(published_set, id, check_part(row->input, "variant"), NULL);
    bool high = strcmp(check_part(row->input, "end"), "high") == 0;
    if (rule == NULL)
        return bind_fault(row, fault, "no such rule");
    if (strcmp(row->unit, "ratio") == 0)
        return bind_near(row, fault, id, high ? rule->high_ratio : rule->low_ratio,
                         printed(row->expected, NULL));
    return bind_near(row, fault, id, (double)(high ? rule->high_pm : rule->low_pm) / 25.4e9,
                     printed(row->expected, NULL));
}

/* A property of the row of a material that rests on the source: "FreeCAD", "tin-base". */
static enum bind_outcome bind_property(const struct check_row *row, struct bind_fault *fault)
{
    const char *name = check_part(row->input, "material");
    const char *source = check_part(row->input, "source");
    const char *property = check_part(row->input, "property");
    double unit = strcmp(row->unit, "GPa") == 0      ? 1e9
                  : strcmp(row->unit, "MPa") == 0    ? 1e6
                  : strcmp(row->unit, "um/m/K") == 0 ? 1e-6
                                                     : 1;
    for (const struct table_material *item = table_material_find(published_set, name, NULL);
         item != NULL; item = table_material_next(published_set, item))
        if (strstr(item->row.source, source) != NULL)
            return bind_near(row, fault, property, published_number(item, property) / unit,
                             printed(row->expected, NULL));
    return bind_fault(row, fault, "no row of that source");
}

#define DEVIATIONS "deviations.csv"
#define PRACTICE "practice.csv"

const struct published_topic published_fits_more[] = {
    {DEVIATIONS, "more-deviation", bind_deviation, 805},
    {DEVIATIONS, "more-grade", bind_grade, 234},
    {PRACTICE, "more-rule", bind_rule, 20},
    {PRACTICE, "more-material", bind_property, 27},
    {NULL, NULL, NULL, 0},
};
