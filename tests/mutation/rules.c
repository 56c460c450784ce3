/* rules.c - formulas, sums and orders that the tables obey whatever their source. */
#include "mutation.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The steps of nominal sizes: ISO 286-1 table 1 with the intermediate ones, ISO 5753-1, ISO 492. */
static bool is_step(int64_t pm)
{
    static const double steps[] = {0,   0.6, 2.5, 3,   6,   10,  14,  18,  24,  30,
                                   40,  50,  65,  80,  100, 120, 140, 150, 160, 180,
                                   200, 225, 250, 280, 315, 355, 400, 450, 500};
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (pm == (int64_t)(steps[i] * 1e9 + 0.5))
            return true;
    return pm == TABLE_NO_PM;
}

static const char *fault(const char *what, const char *name, size_t index)
{
    static char text[160];
    snprintf(text, sizeof text, "%s: %s, row %zu", what, name, index + 1);
    return text;
}

static const struct table_column *column_of(const struct table_kind *kind, unsigned role)
{
    for (size_t i = 0; i < kind->column_count; i++)
        if (kind->columns[i].roles & role)
            return &kind->columns[i];
    return NULL;
}

static int64_t length_at(const void *row, const struct table_column *column)
{
    return *(const int64_t *)((const char *)row + column->offset);
}

static const char *steps_of(const struct table_set *set, const char *name, const char *but)
{
    const struct table_kind *kind = table_kind_find(name);
    const struct table_column *over = column_of(kind, TABLE_OVER),
                              *up_to = column_of(kind, TABLE_UP_TO);
    const struct table_row *row;
    for (size_t i = 0; (row = table_row_at(set, name, i)) != NULL; i++)
        if ((but == NULL || strcmp(row->table->id, but) != 0) &&
            (!is_step(length_at(row, over)) || !is_step(length_at(row, up_to))))
            return fault("a band that is no step of the standard", name, i);
    return NULL;
}

static const char *steps(const struct table_set *set)
{
    const char *broken = steps_of(set, "tolerance-grade", "b4_1_grades");
    if (broken == NULL)
        broken = steps_of(set, "deviation", NULL);
    if (broken == NULL)
        broken = steps_of(set, "bearing-clearance", NULL);
    return broken == NULL ? steps_of(set, "bearing-tolerance", NULL) : broken;
}

/* Clearance of a fit is what the limits of its two parts leave, as far as each is given. */
static const char *inch_sums(const struct table_set *set)
{
    const struct table_b41 *row;
    for (size_t i = 0; (row = table_row_at(set, "inch-fit", i)) != NULL; i++) {
        bool low = row->hole_low_pm != TABLE_NO_PM && row->shaft_high_pm != TABLE_NO_PM;
        bool high = row->hole_high_pm != TABLE_NO_PM && row->shaft_low_pm != TABLE_NO_PM;
        if ((low && llabs(row->hole_low_pm - row->shaft_high_pm - row->low_pm) > 1000) ||
            (high && llabs(row->hole_high_pm - row->shaft_low_pm - row->high_pm) > 1000))
            return fault("limits and clearance differ", row->class, i);
    }
    return NULL;
}

const struct mutation_rule mutation_rules[] = {
    {"band ends are steps of the standard", "ISO 286-1 table 1, ISO 5753-1, ISO 492",
     "tolerance-grade deviation bearing-clearance bearing-tolerance", true, steps},
    {"clearance is hole less shaft", "ANSI B4.1", "inch-fit", true, inch_sums},
    {NULL, NULL, NULL, false, NULL},
};
