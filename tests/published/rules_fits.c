/* rules_fits.c - rules of limits and fits. */
#include "rules.h"

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

static const struct table_column *column_of(const struct table_kind *kind, unsigned role)
{
    for (size_t i = 0; i < kind->column_count; i++)
        if (kind->columns[i].roles & role)
            return &kind->columns[i];
    return NULL;
}

static int64_t length_at(const void *row, const struct table_column *column)
{
    return *(const int64_t *)(const void *)((const char *)row + column->offset);
}

static bool bands_are_steps(const struct table_set *set, const void *row)
{
    const struct table_row *common = row;
    const struct table_kind *kind = table_kind_find(common->table->kind);
    (void)set;
    return strcmp(common->table->id, "b4_1_grades") == 0 ||
           (is_step(length_at(row, column_of(kind, TABLE_OVER))) &&
            is_step(length_at(row, column_of(kind, TABLE_UP_TO))));
}

/* Clearance of a fit is what the limits of its two parts leave, as far as each is given. */
static bool clearance_is_hole_less_shaft(const struct table_set *set, const void *row)
{
    const struct table_b41 *fit = row;
    bool low = fit->hole_low_pm != TABLE_NO_PM && fit->shaft_high_pm != TABLE_NO_PM;
    bool high = fit->hole_high_pm != TABLE_NO_PM && fit->shaft_low_pm != TABLE_NO_PM;
    (void)set;
    return !(low && llabs(fit->hole_low_pm - fit->shaft_high_pm - fit->low_pm) > 1000) &&
           !(high && llabs(fit->hole_high_pm - fit->shaft_low_pm - fit->high_pm) > 1000);
}

#define STEPS "ISO 286-1 table 1, ISO 5753-1, ISO 492"

const struct published_rule published_fit_rules[] = {
    {"tolerance-grade", "", "the band's ends are steps of the standard", STEPS, true,
     bands_are_steps},
    {"deviation", "", "the band's ends are steps of the standard", STEPS, true, bands_are_steps},
    {"bearing-clearance", "", "the band's ends are steps of the standard", STEPS, true,
     bands_are_steps},
    {"bearing-tolerance", "", "the band's ends are steps of the standard", STEPS, true,
     bands_are_steps},
    {"inch-fit", "", "clearance is hole less shaft", "ANSI B4.1", true,
     clearance_is_hole_less_shaft},
    {NULL, NULL, NULL, NULL, false, NULL},
};
