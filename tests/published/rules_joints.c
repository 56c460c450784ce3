/* rules_joints.c - rules of strength, friction and torque. */
#include "check_rows.h"
#include "rules.h"

#include <gudgeon/calc.h>

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

/* --- torque --- */

static const struct table_grade *grade_of(const struct table_set *set, const char *name,
                                          int64_t major_pm)
{
    const struct table_grade *grade;
    for (size_t i = 0; (grade = table_row_at(set, "grade", i)) != NULL; i++)
        if (strcmp(name, grade->name) == 0 &&
            (grade->over_pm == TABLE_NO_PM || major_pm > grade->over_pm) &&
            (grade->up_to_pm == TABLE_NO_PM || major_pm <= grade->up_to_pm))
            return grade;
    return NULL;
}

static const struct table_thread *thread_of(const struct table_set *set, const char *name)
{
    const struct table_thread *thread;
    for (size_t i = 0; (thread = table_row_at(set, "thread", i)) != NULL; i++)
        if (strcmp(thread->name, name) == 0)
            return thread;
    return NULL;
}

/* VDI 2230: 0.9 of the yield strength in tension and twist together, head of ISO 4014 and hole of
 * ISO 273. Single cells of the stainless table lie up to 5.5 % beside it as printed. */
static bool torque_follows_vdi(const struct table_set *set, const void *row)
{
    const struct table_torque *torque = row;
    const struct table_thread *thread = thread_of(set, torque->thread);
    const struct table_grade *grade;
    int64_t face_pm, hole_pm;
    const char *source;
    if (!table_has(torque->friction))
        return true;
    if (thread == NULL || (grade = grade_of(set, torque->grade, thread->major_pm)) == NULL ||
        !table_bearing_face(set, thread, &face_pm, &hole_pm, &source))
        return false;
    struct calc_thread shape = calc_thread(CALC_FORM_ISO, thread->major_pm, thread->pitch_pm);
    struct calc_bolt bolt = calc_bolt(&shape, (double)face_pm * 1e-12, (double)hole_pm * 1e-12,
                                      torque->friction, torque->friction);
    double preload = calc_assembly_preload_n(&bolt, grade->yield_pa, 0.9);
    bool printed_off =
        strcmp(torque->thread, "M5x0.8") == 0 || strcmp(torque->thread, "M3x0.5") == 0;
    return published_close(torque->low_n_m, calc_torque_n_m(&bolt, preload),
                           printed_off ? 0.055 : 0.026) &&
           (isnan(torque->preload_n) || published_close(torque->preload_n, preload, 0.024));
}

/* The SAE table: 0.75 of the proof load; K is 0.20 dry and 0.15 oiled; whole pounds-force, and torques
 * rounded to a unit (0.5 of it is all that rounding explains). */
static bool torque_follows_proof_load(const struct table_set *set, const void *row)
{
    const struct table_torque *torque = row;
    if (strcmp(torque->row.table->id, "torque_sae_j429") != 0)
        return true;
    const struct table_thread *thread = thread_of(set, torque->thread);
    const struct table_grade *grade =
        thread == NULL ? NULL : grade_of(set, torque->grade, thread->major_pm);
    if (grade == NULL)
        return false;
    double preload = 0.75 * grade->proof_pa * thread->stress_area_m2;
    double wanted = calc_torque_short_n_m(strcmp(torque->lubricant, "dry") == 0 ? 0.20 : 0.15,
                                          (double)thread->major_pm * 1e-12, preload);
    double unit = strcmp(torque->unit, "lbf ft") == 0 ? 1.3558179483314 : 0.1129848290276;
    return fabs(torque->low_n_m - wanted) <= fmax(0.012 * wanted, 1.02 * unit / 2) &&
           (isnan(torque->preload_n) || published_close(torque->preload_n, preload, 0.012));
}

const struct published_rule published_joint_rules[] = {
    {"grade", "the bands of a grade join", grade_bands_join},
    {"grade", "the name says the strength", name_says_strength},
    {"nut", "the bands of nuts join and end at 39 mm", nut_bands_join},
    {"friction", "the friction class says the range", class_says_range},
    {"torque", "0.9 of yield in combined stress gives the torque", torque_follows_vdi},
    {"torque", "0.75 of the proof load gives the torque", torque_follows_proof_load},
    {NULL, NULL, NULL},
};

const char *published_broken_rule(const struct table_set *set, const char *kind, const void *row)
{
    const struct published_rule *const lists[] = {published_thread_rules, published_joint_rules};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++)
        for (const struct published_rule *rule = lists[i]; rule->kind != NULL; rule++)
            if (strcmp(rule->kind, kind) == 0 && !rule->holds(set, row))
                return rule->says;
    return NULL;
}
