/* rules_torque.c - rules of torques. */
#include "rules.h"

#include <gudgeon/calc.h>

#include <math.h>
#include <string.h>

#define LBF_FT 1.3558179483314 /* N m */

/* VDI 2230: 0.9 of the yield strength in tension and twist together, head of ISO 4014 and hole of
 * ISO 273. Single cells of the stainless table lie up to 5.5 % beside it as printed. */
static bool torque_follows_vdi(const struct table_set *set, const void *row)
{
    const struct table_torque *torque = row;
    const struct table_thread *thread = published_thread_of(set, torque->thread);
    const struct table_grade *grade;
    int64_t face_pm, hole_pm;
    const char *source;
    if (!table_has(torque->friction))
        return true;
    if (thread == NULL || (grade = published_grade_of(set, torque->grade, thread->major_pm)) == NULL ||
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
    const struct table_thread *thread = published_thread_of(set, torque->thread);
    const struct table_grade *grade =
        thread == NULL ? NULL : published_grade_of(set, torque->grade, thread->major_pm);
    if (grade == NULL)
        return false;
    double preload = 0.75 * grade->proof_pa * thread->stress_area_m2;
    double wanted = calc_torque_short_n_m(strcmp(torque->lubricant, "dry") == 0 ? 0.20 : 0.15,
                                          (double)thread->major_pm * 1e-12, preload);
    double unit = strcmp(torque->unit, "lbf ft") == 0 ? LBF_FT : LBF_FT / 12;
    return fabs(torque->low_n_m - wanted) <= fmax(0.012 * wanted, 1.02 * unit / 2) &&
           (isnan(torque->preload_n) || published_close(torque->preload_n, preload, 0.012));
}

const struct published_rule published_torque_rules[] = {
    {"torque", "thread grade hexagon hole", "0.9 of yield in combined stress gives the torque",
     "VDI 2230:2003 (5.5/4)", true, torque_follows_vdi},
    {"torque", "thread grade", "0.75 of the proof load gives the torque", "K 0.20 dry, 0.15 oiled", true,
     torque_follows_proof_load},
    {NULL, NULL, NULL, NULL, false, NULL},
};
