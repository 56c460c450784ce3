/* rules_joints.c - rules of strength and friction. */
#include "check_rows.h"
#include "rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- strength --- */

/* A grade with two bands: the second begins where the first ends; J429 ends at 1 1/2 in whatever the
 * grade. */
static bool grade_bands_join(const struct table_set *set, const void *row)
{
    const struct table_grade *grade = row, *other;
    bool first = grade->over_pm == TABLE_NO_PM, joined = first, followed = false;
    for (size_t i = 0; (other = table_row_at(set, "grade", i)) != NULL; i++) {
        if (other == grade || strcmp(other->name, grade->name) != 0)
            continue;
        joined |= other->up_to_pm == grade->over_pm;
        followed |= first;
        if (first && other->over_pm != grade->up_to_pm)
            return false;
    }
    return joined && (followed || strcmp(grade->family, "sae") != 0 ||
                      grade->up_to_pm == INT64_C(38100000000));
}

/* "8.8": tensile strength at least 100 times the first number and within 5 % of it, yield over tensile
 * by the second; "A2-70": tensile 10 times the number; "R" is 45 tons, as its spelling says. */
static bool name_says_strength(const struct table_set *set, const void *row)
{
    const struct table_grade *grade = row;
    double tensile = grade->tensile_pa / 1e6, first, second;
    (void)set;
    if (strcmp(grade->family, "metric") == 0) {
        first = strtod(grade->name, NULL);
        second = fmod(round(first * 10), 10) / 10;
        first = floor(first) * 100;
        return tensile >= first && tensile <= 1.052 * first &&
               (!table_has(grade->yield_pa) || (grade->yield_pa / 1e6 >= second * first &&
                                                grade->yield_pa / 1e6 <= 1.052 * second * first)) &&
               grade->proof_pa / 1e6 >= 0.87 * second * first &&
               grade->proof_pa / 1e6 <= second * first;
    }
    if (strcmp(grade->family, "stainless") == 0)
        return published_close(tensile, 10 * strtod(strchr(grade->name, '-') + 1, NULL), 1e-9);
    const char *tons = strstr(grade->spellings, " ton");
    if (tons == NULL)
        return true;
    while (tons > grade->spellings && tons[-1] != '|')
        tons--;
    return published_close(tensile, 15.444256336696 * strtod(tons, NULL), 1e-6);
}

/* TABLE_NO_PM, which an open beginning has, lies below every size. */
static bool nut_bands_join(const struct table_set *set, const void *row)
{
    const struct table_nut *nut = row, *other;
    bool begins = nut->over_pm == TABLE_NO_PM, ends = nut->up_to_pm == qty_pm_from_mm(39);
    for (size_t i = 0; (other = table_row_at(set, "nut", i)) != NULL; i++) {
        begins |= other != nut && other->up_to_pm == nut->over_pm;
        ends |= other != nut && other->over_pm == nut->up_to_pm;
        if (strcmp(other->class, nut->class) == 0 && strcmp(other->style, nut->style) == 0 &&
            other != nut && other->over_pm < nut->up_to_pm && nut->over_pm < other->up_to_pm)
            return false;
    }
    return begins && ends;
}

/* --- friction --- */

/* The VDI 2230 class that the source names decides the range: A, B, C, D, E (E has no upper end). */
static bool class_says_range(const struct table_set *set, const void *row)
{
    static const double ranges[][2] = {
        {0.04, 0.10}, {0.08, 0.16}, {0.14, 0.24}, {0.20, 0.35}, {0.30, NAN}};
    const struct table_friction *friction = row;
    const char *class = strstr(friction->row.source, "class ");
    (void)set;
    while (class != NULL && (class[6] < 'A' || class[6] > 'E'))
        class = strstr(class + 1, "class ");
    if (class == NULL)
        return isnan(friction->thread_low) && isnan(friction->face_low);
    const double *range = ranges[class[6] - 'A'];
    return friction->thread_low == range[0] && friction->face_low == range[0] &&
           (isnan(range[1]) ? isnan(friction->thread_high) && isnan(friction->face_high)
                            : friction->thread_high == range[1] && friction->face_high == range[1]);
}

const struct published_rule published_joint_rules[] = {
    {"grade", "grade", "the bands of a grade join", "ISO 898-1, SAE J429", false, grade_bands_join},
    {"grade", "", "the name says the strength", "ISO 898-1 clause 5, ISO 3506-1 clause 3", true,
     name_says_strength},
    {"nut", "nut", "the bands of nuts join and end at 39 mm", "ISO 898-2", false, nut_bands_join},
    {"friction", "", "the friction class says the range", "VDI 2230 table A5", true,
     class_says_range},
    {NULL, NULL, NULL, NULL, false, NULL},
};
