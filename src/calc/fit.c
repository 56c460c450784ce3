/* fit.c - clearances, press fits, heat, and the clearance of rolling bearings. */
#include "calc_private.h"

struct calc_range_pm calc_clearance_pm(struct calc_range_pm hole, struct calc_range_pm shaft)
{
    assert(hole.low <= hole.high && shaft.low <= shaft.high);
    return (struct calc_range_pm){hole.low - shaft.high, hole.high - shaft.low};
}

enum calc_fit_kind calc_fit_kind(struct calc_range_pm clearance)
{
    if (clearance.low >= 0)
        return CALC_FIT_CLEARANCE;
    return clearance.high <= 0 ? CALC_FIT_INTERFERENCE : CALC_FIT_TRANSITION;
}

/* IT5 = 7i, IT6 = 10i and so on: ISO 286-1 annex A, i = 0.45 D^(1/3) + 0.001 D um, D in mm. */
static double tolerance_um(double mean_mm, int grade)
{
    static const double multiples[] = {10,  16,  25,  40,  64,   100, 160,
                                       250, 400, 640, 1000, 1600, 2500}; /* from IT6 on */
    double i = 0.45 * cbrt(mean_mm) + 0.001 * mean_mm;
    double first = 0.8 + 0.020 * mean_mm; /* IT1 */

    if (grade == -1)
        return 0.3 + 0.008 * mean_mm;
    if (grade == 0)
        return 0.5 + 0.012 * mean_mm;
    if (grade <= 5) /* in geometric progression from IT1 to IT5 */
        return first * pow(7 * i / first, (grade - 1) / 4.0);
    return multiples[grade - 6] * i;
}

double calc_iso_tolerance_m(double over_m, double up_to_m, int grade)
{
    double over_mm = over_m * 1e3, up_to_mm = up_to_m * 1e3;

    assert(0 <= over_m && over_m < up_to_m && grade >= -1 && grade <= 18);
    if (over_mm < 1) /* the first step, over 0 to 3, counts as 1 to 3 */
        over_mm = 1;
    return tolerance_um(sqrt(over_mm * up_to_mm), grade) * 1e-6;
}

/* --- press fits --- */

/* (a^2 + b^2)/(a^2 - b^2), the ring's stiffness term. */
static double ring_term(double outside, double inside)
{
    return (calc_square(outside) + calc_square(inside)) /
           (calc_square(outside) - calc_square(inside));
}

struct calc_pressed calc_press(const struct calc_press *press)
{
    double d = press->diameter_m, outside = press->hub_outside_m, bore = press->shaft_bore_m;

    assert(0 <= bore && bore < d && d < outside);
    assert(press->hub_modulus_pa > 0 && press->shaft_modulus_pa > 0 && press->interference_m > 0);
    double hub = ring_term(outside, d), shaft = ring_term(d, bore);
    double give = (hub + press->hub_poisson) / press->hub_modulus_pa +
                  (shaft - press->shaft_poisson) / press->shaft_modulus_pa;
    double pressure = press->interference_m / (d * give);
    return (struct calc_pressed){
        .pressure_pa = pressure,
        .hub_hoop_pa = pressure * hub,
        .shaft_hoop_pa = -pressure * shaft,
        .bore_closure_m = 2 * pressure * calc_square(d) * bore /
                          (press->shaft_modulus_pa * (calc_square(d) - calc_square(bore))),
        .hub_growth_m = 2 * pressure * calc_square(d) * outside /
                        (press->hub_modulus_pa * (calc_square(outside) - calc_square(d))),
    };
}

double calc_press_force_n(double pressure_pa, double diameter_m, double length_m, double mu)
{
    return mu * pressure_pa * CALC_PI * diameter_m * length_m;
}

double calc_effective_interference_m(double interference_m, double rz_shaft_m, double rz_hub_m)
{
    assert(rz_shaft_m >= 0 && rz_hub_m >= 0);
    return fmax(0, interference_m - 0.8 * (rz_shaft_m + rz_hub_m));
}

/* --- heat --- */

double calc_thermal_growth_m(double diameter_m, double expansion_per_k, double rise_k)
{
    return diameter_m * expansion_per_k * rise_k;
}

double calc_heat_rise_k(double open_m, double expansion_per_k, double diameter_m)
{
    assert(expansion_per_k > 0 && diameter_m > 0);
    return open_m / (expansion_per_k * diameter_m);
}

double calc_heat_to_c(double room_c, double open_m, double expansion_per_k, double diameter_m,
                      double cooling)
{
    assert(0 <= cooling && cooling < 1);
    return room_c + calc_heat_rise_k(open_m, expansion_per_k, diameter_m) / (1 - cooling);
}

double calc_chill_to_c(double room_c, double open_m, double expansion_per_k, double diameter_m,
                       double warming)
{
    assert(0 <= warming && warming < 1);
    return room_c - calc_heat_rise_k(open_m, expansion_per_k, diameter_m) / (1 - warming);
}

int64_t calc_hot_clearance_pm(int64_t clearance_pm, double diameter_m, double hole_expansion_per_k,
                              double shaft_expansion_per_k, double rise_k)
{
    double opened =
        calc_thermal_growth_m(diameter_m, hole_expansion_per_k - shaft_expansion_per_k, rise_k);

    return clearance_pm + llround(opened * CALC_PM_PER_M);
}

double calc_let_go_rise_k(double interference_m, double diameter_m, double hole_expansion_per_k,
                          double shaft_expansion_per_k)
{
    double difference = hole_expansion_per_k - shaft_expansion_per_k;

    assert(interference_m >= 0 && diameter_m > 0);
    return difference <= 0 ? INFINITY : interference_m / (diameter_m * difference);
}

int64_t calc_proportion_pm(int64_t size_pm, double per_unit)
{
    return llround((double)size_pm * per_unit);
}

double calc_hours_left(double worn_m, double most_m, double hours)
{
    assert(worn_m >= 0 && most_m > 0 && hours > 0);
    return fmax(0, (most_m - worn_m) / worn_m * hours); /* of no wear: without end */
}

int64_t calc_ring_gap_change_pm(int64_t bore_change_pm)
{
    return calc_proportion_pm(bore_change_pm, CALC_PI);
}

/* --- rolling bearings --- */

static double tight(int64_t interference_pm)
{
    return interference_pm > 0 ? (double)interference_pm : 0;
}

struct calc_range_pm calc_mounted_clearance_pm(struct calc_range_pm clearance, double share_inner,
                                               struct calc_range_pm inner, double share_outer,
                                               struct calc_range_pm outer)
{
    assert(0 <= share_inner && share_inner <= 1 && 0 <= share_outer && share_outer <= 1);
    return (struct calc_range_pm){
        clearance.low - llround(share_inner * tight(inner.high) + share_outer * tight(outer.high)),
        clearance.high - llround(share_inner * tight(inner.low) + share_outer * tight(outer.low)),
    };
}

double calc_seat_interference_m(double interference_m, double bore_m, bool ground)
{
    assert(bore_m > 0);
    return interference_m * bore_m / (bore_m + (ground ? 2e-3 : 3e-3));
}

double calc_running_loss_m(double bore_m, double outside_m, bool roller, double expansion_per_k,
                           double rise_k)
{
    double raceway = roller ? (3 * outside_m + bore_m) / 4 : (4 * outside_m + bore_m) / 5;

    assert(0 < bore_m && bore_m < outside_m);
    return calc_thermal_growth_m(raceway, expansion_per_k, rise_k);
}

double calc_roller_room_m(double pin_m, double roller_m, double count)
{
    double circle = pin_m + roller_m;

    assert(0 < roller_m && roller_m < circle && count >= 0);
    return circle * (CALC_PI - count * asin(roller_m / circle));
}

double calc_shell_grip_m(double proud_m)
{
    return 2 * proud_m / CALC_PI;
}

double calc_life_million(double capacity_n, double load_n, bool roller)
{
    assert(capacity_n > 0 && load_n > 0);
    return pow(capacity_n / load_n, roller ? 10.0 / 3 : 3);
}

double calc_life_h(double life_million, double rpm)
{
    assert(rpm > 0);
    return life_million * 1e6 / (60 * rpm);
}
