/* thread.c - thread geometry, tightening, stripping. */
#include "calc_private.h"

#include <stdlib.h>

/* Each form as multiples of the pitch, taken from the major diameter. H: height of the sharp
 * triangle, P / (2 tan beta). */
struct form {
    double flank_half_deg;
    double effective; /* d - d2 */
    double core; /* d - D1 */
    double root; /* d - d3 */
    double area_root; /* the root that the areas rest on */
};

static struct form form_of(enum calc_form form)
{
    double h;

    switch (form) {
    case CALC_FORM_ISO: /* ISO 68-1: 3H/4, 5H/4; rounded root of external threads 17H/12 */
        h = sqrt(3.0) / 2;
        return (struct form){30, 0.75 * h, 1.25 * h, 17 * h / 12, 17 * h / 12};
    case CALC_FORM_UN: /* ASME B1.1; areas by D - 0.9743/n and D - 1.3/n: a root of 3H/4 a side */
        h = sqrt(3.0) / 2;
        return (struct form){30, 0.75 * h, 1.25 * h, 17 * h / 12, 1.5 * h};
    case CALC_FORM_WHITWORTH: /* BS 84: depth 2H/3 */
        h = 1 / (2 * tan(calc_radians(27.5)));
        return (struct form){27.5, 2 * h / 3, 4 * h / 3, 4 * h / 3, 4 * h / 3};
    case CALC_FORM_BA: /* BS 93: depth 0.6 P */
        return (struct form){23.75, 0.6, 1.2, 1.2, 1.2};
    case CALC_FORM_CYCLE: /* BS 811: 60 degrees, crest and root rounded to P/6 */
        h = sqrt(3.0) / 2;
        h = 2 * (h - 1.0 / 3);
        return (struct form){30, h / 2, h, h, h};
    }
    assert(!"a thread form");
    abort();
}

struct calc_thread calc_thread(enum calc_form form, int64_t major_pm, int64_t pitch_pm)
{
    struct form shape = form_of(form);
    double pitch = (double)pitch_pm, major = (double)major_pm;

    assert(0 < pitch_pm && pitch_pm < major_pm);
    struct calc_thread thread = {
        .major_pm = major_pm,
        .pitch_pm = pitch_pm,
        .pitch_diameter_pm = llround(major - shape.effective * pitch),
        .minor_pm = llround(major - shape.core * pitch),
        .root_pm = llround(major - shape.root * pitch),
        .flank_half_deg = shape.flank_half_deg,
        .root_area_m2 = calc_circle((major - shape.area_root * pitch) / CALC_PM_PER_M),
    };
    thread.stress_area_m2 =
        calc_circle((major - (shape.effective + shape.area_root) / 2 * pitch) / CALC_PM_PER_M);
    return thread;
}

int64_t calc_slot_advance_pm(int64_t pitch_pm, int slots)
{
    assert(pitch_pm > 0 && slots > 0);
    return (2 * pitch_pm + slots) / (2 * slots);
}

/* --- tightening --- */

struct calc_bolt calc_bolt(const struct calc_thread *thread, double face_m, double hole_m,
                           double mu_thread, double mu_bearing)
{
    assert(face_m > hole_m && hole_m > 0 && mu_thread >= 0 && mu_bearing >= 0);
    return (struct calc_bolt){
        .pitch_m = (double)thread->pitch_pm / CALC_PM_PER_M,
        .pitch_diameter_m = (double)thread->pitch_diameter_pm / CALC_PM_PER_M,
        .root_m = (double)thread->root_pm / CALC_PM_PER_M,
        .flank_half_deg = thread->flank_half_deg,
        .bearing_diameter_m = (face_m + hole_m) / 2,
        .mu_thread = mu_thread,
        .mu_bearing = mu_bearing,
    };
}

/* The torque that turns the thread alone, for each newton of preload. */
static double thread_torque_m(const struct calc_bolt *bolt)
{
    return bolt->pitch_m / (2 * CALC_PI) +
           bolt->mu_thread * bolt->pitch_diameter_m / (2 * cos(calc_radians(bolt->flank_half_deg)));
}

static double torque_m(const struct calc_bolt *bolt)
{
    return thread_torque_m(bolt) + bolt->mu_bearing * bolt->bearing_diameter_m / 2;
}

double calc_torque_n_m(const struct calc_bolt *bolt, double preload_n)
{
    return preload_n * torque_m(bolt);
}

double calc_preload_n(const struct calc_bolt *bolt, double torque_n_m)
{
    assert(torque_m(bolt) > 0);
    return torque_n_m / torque_m(bolt);
}

double calc_assembly_preload_n(const struct calc_bolt *bolt, double yield_pa, double utilisation)
{
    /* VDI 2230, equation for F_Mzul: d0 is the mean of effective and root diameter; the twist that
     * the thread leaves in the shank takes its share by von Mises. */
    double d0 = (bolt->pitch_diameter_m + bolt->root_m) / 2;
    double lead = bolt->pitch_m / (CALC_PI * bolt->pitch_diameter_m);
    double friction = bolt->mu_thread / cos(calc_radians(bolt->flank_half_deg));
    double twist = 1.5 * bolt->pitch_diameter_m / d0 * (lead + friction);

    assert(yield_pa > 0 && utilisation > 0 && utilisation <= 1 && d0 > 0);
    return calc_circle(d0) * utilisation * yield_pa / sqrt(1 + 3 * calc_square(twist));
}

double calc_torque_short_n_m(double nut_factor, double major_m, double preload_n)
{
    return nut_factor * major_m * preload_n;
}

double calc_nut_factor(double torque_n_m, double major_m, double preload_n)
{
    assert(major_m > 0 && preload_n > 0);
    return torque_n_m / (major_m * preload_n);
}

double calc_wrench_setting_n_m(double torque_n_m, double wrench_m, double adapter_m,
                               double angle_deg)
{
    double lever = wrench_m + adapter_m * cos(calc_radians(angle_deg));

    assert(wrench_m > 0 && lever > 0);
    return torque_n_m * wrench_m / lever;
}

/* --- stripping --- */

double calc_strip_area_bolt_m2(double engaged_m, double pitch_m, double pitch_diameter_min_m,
                               double nut_minor_max_m)
{
    assert(engaged_m >= 0 && pitch_m > 0);
    return CALC_PI * engaged_m * nut_minor_max_m / pitch_m *
           (pitch_m / 2 + (pitch_diameter_min_m - nut_minor_max_m) / sqrt(3.0));
}

double calc_strip_area_nut_m2(double engaged_m, double pitch_m, double bolt_major_min_m,
                              double nut_pitch_diameter_max_m)
{
    assert(engaged_m >= 0 && pitch_m > 0);
    return CALC_PI * engaged_m * bolt_major_min_m / pitch_m *
           (pitch_m / 2 + (bolt_major_min_m - nut_pitch_diameter_max_m) / sqrt(3.0));
}

double calc_engagement_m(double stress_area_m2, double pitch_m, double pitch_diameter_min_m,
                         double nut_minor_max_m)
{
    double overlap = 0.5 + (pitch_diameter_min_m - nut_minor_max_m) / (sqrt(3.0) * pitch_m);

    assert(stress_area_m2 > 0 && pitch_m > 0 && overlap > 0);
    return 2 * stress_area_m2 / (CALC_PI * nut_minor_max_m * overlap);
}

double calc_shear_strength_pa(double tensile_pa)
{
    return tensile_pa / sqrt(3.0);
}
