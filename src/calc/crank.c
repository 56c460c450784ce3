/* crank.c - crank and piston, valve timing, volumes, balance. */
#include "calc_private.h"

/* Below the top, with the bore set over by `offset`; 0 for the plain crank. The piston stands
 * r cos t + sqrt(L^2 - (r sin t - e)^2) above the shaft. */
static double height_m(double throw_m, double rod_m, double offset_m, double angle_deg)
{
    double angle = calc_radians(angle_deg);

    return throw_m * cos(angle) +
           sqrt(calc_square(rod_m) - calc_square(throw_m * sin(angle) - offset_m));
}

double calc_piston_travel_m(double stroke_m, double rod_m, double angle_deg)
{
    double throw_m = stroke_m / 2;

    assert(0 < throw_m && throw_m < rod_m);
    return throw_m + rod_m - height_m(throw_m, rod_m, 0, angle_deg);
}

double calc_crank_angle_deg(double stroke_m, double rod_m, double travel_m)
{
    double r = stroke_m / 2, y = r + rod_m - travel_m;

    assert(0 < r && r < rod_m && 0 <= travel_m && travel_m <= stroke_m * (1 + 1e-12));
    double cosine = (calc_square(y) + calc_square(r) - calc_square(rod_m)) / (2 * r * y);
    return acos(fmax(-1, fmin(1, cosine))) * (180 / CALC_PI);
}

struct calc_bound calc_piston_travel_bound_m(double stroke_m, double rod_low_m, double rod_high_m,
                                             double angle_deg)
{
    /* travel falls as the rod grows: its derivative by L is 1 - L / sqrt(L^2 - r^2 sin^2 t) <= 0 */
    assert(rod_low_m <= rod_high_m);
    return (struct calc_bound){calc_piston_travel_m(stroke_m, rod_high_m, angle_deg),
                               calc_piston_travel_m(stroke_m, rod_low_m, angle_deg)};
}

struct calc_bound calc_crank_angle_bound_deg(double stroke_m, double rod_low_m, double rod_high_m,
                                             double travel_m)
{
    assert(rod_low_m <= rod_high_m);
    return (struct calc_bound){calc_crank_angle_deg(stroke_m, rod_low_m, travel_m),
                               calc_crank_angle_deg(stroke_m, rod_high_m, travel_m)};
}

double calc_offset_top_deg(double stroke_m, double rod_m, double offset_m)
{
    double throw_m = stroke_m / 2;

    assert(0 < throw_m && throw_m < rod_m && fabs(offset_m) < rod_m - throw_m);
    return asin(offset_m / (rod_m + throw_m)) * (180 / CALC_PI);
}

double calc_offset_stroke_m(double stroke_m, double rod_m, double offset_m)
{
    double throw_m = stroke_m / 2;

    assert(0 < throw_m && throw_m < rod_m && fabs(offset_m) < rod_m - throw_m);
    return sqrt(calc_square(rod_m + throw_m) - calc_square(offset_m)) -
           sqrt(calc_square(rod_m - throw_m) - calc_square(offset_m));
}

double calc_offset_travel_m(double stroke_m, double rod_m, double offset_m, double angle_deg)
{
    double throw_m = stroke_m / 2;

    assert(0 < throw_m && throw_m < rod_m && fabs(offset_m) < rod_m - throw_m);
    return sqrt(calc_square(rod_m + throw_m) - calc_square(offset_m)) -
           height_m(throw_m, rod_m, offset_m, angle_deg);
}

double calc_stop_centre_deg(double first_deg, double second_deg)
{
    /* the dead centre lies in the middle of the shorter way round */
    double between = remainder(second_deg - first_deg, CALC_TURN_DEG);
    double centre = remainder(first_deg + between / 2, CALC_TURN_DEG);

    return centre < 0 ? centre + CALC_TURN_DEG : centre;
}

double calc_rim_arc_m(double rim_diameter_m, double angle_deg)
{
    return CALC_PI * rim_diameter_m * angle_deg / CALC_TURN_DEG;
}

double calc_rim_chord_m(double rim_diameter_m, double angle_deg)
{
    return rim_diameter_m * sin(calc_radians(angle_deg) / 2);
}

double calc_piston_speed_m_s(double stroke_m, double rpm)
{
    return 2 * stroke_m * rpm / 60;
}

static double turning_rad_s(double rpm)
{
    return rpm * 2 * CALC_PI / 60;
}

double calc_piston_acceleration_m_s2(double stroke_m, double rod_m, double rpm)
{
    double throw_m = stroke_m / 2;

    assert(rod_m > throw_m);
    return throw_m * calc_square(turning_rad_s(rpm)) * (1 + throw_m / rod_m);
}

/* --- valve timing --- */

struct calc_timing calc_timing(struct calc_events events)
{
    struct calc_timing timing = {
        .inlet_deg = events.inlet_opens_deg + 180 + events.inlet_closes_deg,
        .exhaust_deg = events.exhaust_opens_deg + 180 + events.exhaust_closes_deg,
        .overlap_deg = events.inlet_opens_deg + events.exhaust_closes_deg,
        .inlet_centre_deg = (180 + events.inlet_closes_deg - events.inlet_opens_deg) / 2,
        .exhaust_centre_deg = (180 + events.exhaust_opens_deg - events.exhaust_closes_deg) / 2,
    };
    timing.separation_deg = (timing.inlet_centre_deg + timing.exhaust_centre_deg) / 2;
    return timing;
}

struct calc_events calc_events_advanced(struct calc_events events, double advance_deg)
{
    return (struct calc_events){
        events.inlet_opens_deg + advance_deg,
        events.inlet_closes_deg - advance_deg,
        events.exhaust_opens_deg + advance_deg,
        events.exhaust_closes_deg - advance_deg,
    };
}

double calc_tooth_step_deg(int64_t teeth, double turns)
{
    assert(teeth > 0 && turns > 0);
    return CALC_TURN_DEG * turns / (double)teeth;
}

static int64_t common_divisor(int64_t a, int64_t b)
{
    while (b != 0) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

int64_t calc_turns_until_marks(const int64_t *teeth, size_t count)
{
    int64_t turns = 1;

    assert(count > 0 && teeth[0] > 0);
    for (size_t i = 1; i < count; i++) {
        /* gear i has come round after this many turns of the first, and its multiples */
        assert(teeth[i] > 0);
        int64_t own = teeth[i] / common_divisor(teeth[i], teeth[0]);
        int64_t step = own / common_divisor(own, turns);
        if (__builtin_mul_overflow(turns, step, &turns))
            return 0;
    }
    return turns;
}

/* --- volumes --- */

double calc_swept_m3(double bore_m, double stroke_m)
{
    return calc_circle(bore_m) * stroke_m;
}

double calc_disc_m3(double bore_m, double thickness_m)
{
    return calc_circle(bore_m) * thickness_m;
}

double calc_compression_ratio(double swept_m3, double clearance_m3)
{
    assert(swept_m3 > 0 && clearance_m3 > 0);
    return (swept_m3 + clearance_m3) / clearance_m3;
}

double calc_clearance_m3(double swept_m3, double compression_ratio)
{
    assert(compression_ratio > 1);
    return swept_m3 / (compression_ratio - 1);
}

/* --- balance --- */

double calc_bobweight_kg(double rotating_kg, double reciprocating_kg, double factor)
{
    return rotating_kg + factor * reciprocating_kg;
}

double calc_balance_mass_kg(double rotating_kg, double reciprocating_kg, double factor,
                            double throw_m, double at_m)
{
    assert(at_m > 0);
    return calc_bobweight_kg(rotating_kg, reciprocating_kg, factor) * throw_m / at_m;
}

double calc_unbalance_n(double reciprocating_kg, double factor, double throw_m, double rpm,
                        double angle_deg)
{
    double along = (1 - factor) * cos(calc_radians(angle_deg));
    double across = factor * sin(calc_radians(angle_deg));

    return reciprocating_kg * calc_square(turning_rad_s(rpm)) * throw_m * hypot(along, across);
}

double calc_spring_rate_n_m(double first_n, double length_first_m, double second_n,
                            double length_second_m)
{
    assert(length_first_m > length_second_m);
    return (second_n - first_n) / (length_first_m - length_second_m);
}

double calc_drill_depth_m(double unbalance_kg_m, double at_m, double drill_m, double density_kg_m3)
{
    assert(at_m > 0 && drill_m > 0 && density_kg_m3 > 0);
    return unbalance_kg_m / at_m / (density_kg_m3 * calc_circle(drill_m));
}
