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

static bool bands_are_steps(const struct table_set *set, const void *row)
{
    const struct table_row *common = row;
    (void)set;
    return strcmp(common->table->id, "b4_1_grades") == 0 ||
           (is_step(published_length(row, "over")) &&
            is_step(published_length(row, "up-to")));
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

/* ANSI B4.1 tables 1 to 6: the steps of nominal sizes, in inches. */
static bool is_inch_step(int64_t pm)
{
    static const double steps[] = {0,    0.12, 0.24, 0.40, 0.56, 0.71, 0.95,  1.19,  1.58,
                                   1.97, 2.56, 3.15, 3.94, 4.73, 5.52, 6.30,  7.09,  7.88,
                                   8.86, 9.85, 11.03, 12.41, 13.98, 15.75, 17.72, 19.69};
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (pm == (int64_t)(steps[i] * 25.4e9 + 0.5))
            return true;
    return false;
}

static bool inch_bands_are_steps(const struct table_set *set, const void *row)
{
    const struct table_row *common = row;
    (void)set;
    return strncmp(common->table->id, "b4_1", 4) != 0 ||
           (is_inch_step(published_length(row, "over")) &&
            is_inch_step(published_length(row, "up-to")));
}

/* Every fit of the standard has the basic hole, which begins at the nominal size. */
static bool hole_is_basic(const struct table_set *set, const void *row)
{
    const struct table_b41 *fit = row;
    (void)set;
    return fit->hole_low_pm == TABLE_NO_PM || fit->hole_low_pm == 0;
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
    {"inch-fit", "", "the band's ends are steps of the standard", "ANSI B4.1 tables 1 to 6", true,
     inch_bands_are_steps},
    {"tolerance-grade", "", "the band's ends are steps of the standard",
     "ANSI B4.1 tables 1 to 6", true, inch_bands_are_steps},
    {"inch-fit", "", "the hole begins at the nominal size", "ANSI B4.1: basic hole system", true,
     hole_is_basic},
    {NULL, NULL, NULL, NULL, false, NULL},
};
