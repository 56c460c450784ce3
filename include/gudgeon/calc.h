/* calc.h - engineering formulas as pure functions: no I/O, no diagnostics, no tables.
 *
 * Lengths that add exactly are int64_t picometres (_pm); all else is double in SI, the unit in the
 * name. Angles are degrees. Domains are asserted: the caller checks first and reports. Clearance is
 * hole minus shaft, negative is interference. Sources stand beside each function. */
#ifndef GUDGEON_CALC_H
#define GUDGEON_CALC_H

#include <gudgeon/qty.h>

struct calc_range_pm {
    int64_t low, high;
};

/* --- threads --- */
enum calc_form { CALC_FORM_ISO, CALC_FORM_UN, CALC_FORM_WHITWORTH, CALC_FORM_BA, CALC_FORM_CYCLE };
struct calc_thread {
    int64_t major_pm, pitch_pm;
    int64_t pitch_diameter_pm; /* d2, effective */
    int64_t minor_pm;          /* D1, basic, internal; Whitworth form: core */
    int64_t root_pm;           /* d3, external, rounded root; ISO d - 1.226869 P, else D1 */
    double flank_half_deg;
    double stress_area_m2; /* As; Whitworth, BA, cycle: by convention ((d2 + core)/2) */
    double root_area_m2;
};
/* ISO 68-1, ASME B1.1 (the same form, but areas from a flat root), BS 84, BS 93, BS 811. As: ISO 898-1
 * 9.1.6.1, d - 0.938194 P; ASME B1.1, D - 0.9743/n. 0 < pitch < major. */
struct calc_thread calc_thread(enum calc_form form, int64_t major_pm, int64_t pitch_pm);
/* The nut of a castellated joint moves by this from slot to slot: P / slots. */
int64_t calc_slot_advance_pm(int64_t pitch_pm, int slots);

/* --- tightening --- */
struct calc_bolt {
    double pitch_m, pitch_diameter_m, root_m, flank_half_deg;
    double bearing_diameter_m; /* effective friction diameter Db under the part that is turned */
    double mu_thread, mu_bearing;
};
/* `face_m` outer diameter of the bearing face, `hole_m` of the clearance hole: Db is their mean. */
struct calc_bolt calc_bolt(const struct calc_thread *thread, double face_m, double hole_m,
                           double mu_thread, double mu_bearing);
/* T = F (P/2pi + mu_th d2/(2 cos beta) + mu_b Db/2): ISO 16047, VDI 2230 (exact coefficients). */
double calc_torque_n_m(const struct calc_bolt *bolt, double preload_n);
double calc_preload_n(const struct calc_bolt *bolt, double torque_n_m); /* its inverse */
/* Greatest assembly preload at `utilisation` (0.9) of the yield in combined stress: VDI 2230. */
double calc_assembly_preload_n(const struct calc_bolt *bolt, double yield_pa, double utilisation);
/* T = K D F (Shigley; AC 43.13-1B). */
double calc_torque_short_n_m(double nut_factor, double major_m, double preload_n);
double calc_nut_factor(double torque_n_m, double major_m, double preload_n);
/* What the wrench shows: T L/(L + E cos a); a shortening adapter has a negative E. L + E cos a > 0.
 * TM 9 series, AC 43.13-1B figure 7-2. */
double calc_wrench_setting_n_m(double torque_n_m, double wrench_m, double adapter_m,
                               double angle_deg);

/* --- stripping: FED-STD-H28/2B, ASME B1.1 appendix B --- */
double calc_strip_area_bolt_m2(double engaged_m, double pitch_m, double pitch_diameter_min_m,
                               double nut_minor_max_m);
double calc_strip_area_nut_m2(double engaged_m, double pitch_m, double bolt_major_min_m,
                              double nut_pitch_diameter_max_m);
/* Least engagement at which the bolt breaks before threads of equal material strip. */
double calc_engagement_m(double stress_area_m2, double pitch_m, double pitch_diameter_min_m,
                         double nut_minor_max_m);
/* Shear strength from tensile strength, von Mises: 1/sqrt 3. */
double calc_shear_strength_pa(double tensile_pa);

/* --- fits --- */
enum calc_fit_kind { CALC_FIT_CLEARANCE, CALC_FIT_TRANSITION, CALC_FIT_INTERFERENCE };
/* Corner pairs: smallest hole with largest shaft, largest hole with smallest shaft (ISO 286-1). */
struct calc_range_pm calc_clearance_pm(struct calc_range_pm hole, struct calc_range_pm shaft);
enum calc_fit_kind calc_fit_kind(struct calc_range_pm clearance);
/* ISO 286-1 tolerance IT0..IT18 (-1 is IT01) of a size step, unrounded: an alarm, never a value. */
double calc_iso_tolerance_m(double over_m, double up_to_m, int grade);

/* Lame, plane stress: thick hub on thick shaft. */
struct calc_press {
    double diameter_m, hub_outside_m, shaft_bore_m; /* bore 0: solid */
    double hub_modulus_pa, hub_poisson, shaft_modulus_pa, shaft_poisson;
    double interference_m; /* diametral, > 0 */
};
struct calc_pressed {
    double pressure_pa;
    double hub_hoop_pa;    /* at the bore of the hub: tension */
    double shaft_hoop_pa;  /* at the fit: negative, compression */
    double bore_closure_m; /* of the shaft's bore; a bush closes in by this */
    double hub_growth_m;   /* of the hub's outside; a raceway grows by this */
};
struct calc_pressed calc_press(const struct calc_press *press);
/* mu p pi d L. */
double calc_press_force_n(double pressure_pa, double diameter_m, double length_m, double mu);
/* DIN 7190: what is left of an interference when the peaks are pressed down, U - 0.8 (Rz + Rz). */
double calc_effective_interference_m(double interference_m, double rz_shaft_m, double rz_hub_m);

/* --- heat; alpha per K, rise against the room --- */
double calc_thermal_growth_m(double diameter_m, double expansion_per_k, double rise_k);
/* The rise (fall, of a chilled part) that opens `diameter_m` by `open_m`: interference and gap. */
double calc_heat_rise_k(double open_m, double expansion_per_k, double diameter_m);
/* The temperature to heat to so that, after losing `cooling` (0..<1) of its rise on the way, the
 * part is still open by interference and gap. */
double calc_heat_to_c(double room_c, double open_m, double expansion_per_k, double diameter_m,
                      double cooling);
/* The temperature to chill to, likewise: `warming` (0..<1) of its fall is lost on the way. */
double calc_chill_to_c(double room_c, double open_m, double expansion_per_k, double diameter_m,
                       double warming);
/* Clearance when both parts are `rise_k` warmer. */
int64_t calc_hot_clearance_pm(int64_t clearance_pm, double diameter_m, double hole_expansion_per_k,
                              double shaft_expansion_per_k, double rise_k);
/* The rise at which an interference is gone; INFINITY when heat does not loosen it. */
double calc_let_go_rise_k(double interference_m, double diameter_m, double hole_expansion_per_k,
                          double shaft_expansion_per_k);

/* --- rings and proportions --- */
/* size * per_unit to the nearest picometre: 0.0035 in per in of bore and the like (rules). */
int64_t calc_proportion_pm(int64_t size_pm, double per_unit);
/* What is left of a life of wear: hours until `most_m` is reached when `worn_m` came in `hours`, at
 * an even rate (common practice, no source; running-in and neglect wear faster). INFINITY where
 * nothing has worn; 0 where the limit is passed. hours, most_m > 0, worn_m >= 0. */
double calc_hours_left(double worn_m, double most_m, double hours);
/* A ring gap opens by pi times what the bore gains. */
int64_t calc_ring_gap_change_pm(int64_t bore_change_pm);

/* --- crank and piston; 0 < stroke/2 < rod --- */
/* Below the top dead centre, exact: r(1-cos t) + L - sqrt(L^2 - r^2 sin^2 t). */
double calc_piston_travel_m(double stroke_m, double rod_m, double angle_deg);
/* Its inverse, 0..180; 0 <= travel <= stroke. */
double calc_crank_angle_deg(double stroke_m, double rod_m, double travel_m);
/* Travel and angle for every rod length from low to high: the ends of the bound. */
struct calc_bound {
    double low, high;
};
struct calc_bound calc_piston_travel_bound_m(double stroke_m, double rod_low_m, double rod_high_m,
                                             double angle_deg);
struct calc_bound calc_crank_angle_bound_deg(double stroke_m, double rod_low_m, double rod_high_m,
                                             double travel_m);
/* Pin or bore set over by `offset_m` (sign: side on which the rod leans going down): top of travel,
 * whole travel, travel below the top at an angle from the vertical. |offset| < rod - stroke/2. */
double calc_offset_top_deg(double stroke_m, double rod_m, double offset_m);
double calc_offset_stroke_m(double stroke_m, double rod_m, double offset_m);
double calc_offset_travel_m(double stroke_m, double rod_m, double offset_m, double angle_deg);
/* The dead centre between two readings of a degree wheel against a positive stop, 0..<360. */
double calc_stop_centre_deg(double first_deg, double second_deg);
double calc_rim_arc_m(double rim_diameter_m, double angle_deg);   /* by tape */
double calc_rim_chord_m(double rim_diameter_m, double angle_deg); /* by dividers */
double calc_piston_speed_m_s(double stroke_m, double rpm);        /* mean */
double calc_piston_acceleration_m_s2(double stroke_m, double rod_m, double rpm); /* greatest, at tdc */

/* --- valve timing --- */
struct calc_events { /* before tdc, after bdc, before bdc, after tdc; the other side is negative */
    double inlet_opens_deg, inlet_closes_deg, exhaust_opens_deg, exhaust_closes_deg;
};
struct calc_timing {
    double inlet_deg, exhaust_deg, overlap_deg;
    double inlet_centre_deg, exhaust_centre_deg, separation_deg; /* after, before tdc */
};
struct calc_timing calc_timing(struct calc_events events);
struct calc_events calc_events_advanced(struct calc_events events, double advance_deg);
/* Crank degrees by which one tooth shifts a wheel that turns once in `turns` of the crank: 360
 * turns / teeth (geometry; 720/z at half speed). teeth, turns > 0. */
double calc_tooth_step_deg(int64_t teeth, double turns);
/* Turns of the first gear until the same teeth of all meet again; 0 if that overflows. */
int64_t calc_turns_until_marks(const int64_t *teeth, size_t count);

/* --- verdicts --- */
enum calc_verdict { /* in rising order of concern */
    CALC_VERDICT_NONE, /* no limit was given */
    CALC_INSIDE,
    CALC_NEAR_NEW,
    CALC_SERVICEABLE,
    CALC_NEAR_WORN,
    CALC_OUTSIDE,
    CALC_NOT_MEASURED
};
struct calc_judged {
    enum calc_verdict verdict;
    bool sided, high;      /* on which side the verdict fell; unsided: no limit there */
    bool worn;             /* `distance` is to the wear limit, else to the new one */
    struct qty distance;   /* inside positive, beyond negative */
};
/* `found` is one figure or its extremes, or NULL; `want` and `worn` limits, sizes or one-sided, or
 * NULL. Near: |distance| < `uncertainty` (SI, expanded): ISO 14253-1. A limit includes its ends. */
struct calc_judged calc_judge(const struct qty_value *found, const struct qty_value *want,
                              const struct qty_value *worn, double uncertainty);
/* Root of the sum of squares: JCGM 100 (GUM) 5.1.2, independent contributions. */
double calc_rss(const double *values, size_t count);

/* --- stacks and picks --- */
/* Worst case: sum of plus less sum of minus, end by end. */
struct calc_range_pm calc_stack_pm(const struct calc_range_pm *plus, size_t plus_count,
                                   const struct calc_range_pm *minus, size_t minus_count);

enum { CALC_PICK_PIECES = 8, CALC_PICK_TRIES = 2000000 };
struct calc_sold { /* a size on offer; low = high when it is known */
    struct calc_range_pm size;
    int64_t stock; /* pieces; 0: as many as wanted */
};
enum calc_rounding { CALC_ROUND_NEAREST, CALC_ROUND_DOWN, CALC_ROUND_UP };
struct calc_pick_limit { /* result = base + times * sum of the pieces, to lie in `want` */
    struct calc_range_pm base, want; /* open ends: INT64_MIN, INT64_MAX */
    int times;                       /* -1 for a shim in `minus`, -2 for a roller */
    enum calc_rounding rounding;     /* of the pieces' sum, from what gives the middle of `want` */
};
struct calc_choice {
    size_t pieces[CALC_PICK_PIECES], count; /* indices of sold sizes, falling in size */
    struct calc_range_pm sum;
    int64_t off_middle_pm; /* of all limits together */
    bool against;          /* the rounding that a limit asks for */
    bool certain;          /* holds in the worst case; else its pieces must be measured */
};
struct calc_choices {
    struct calc_choice *items; /* best first: certain, as rounded, nearest the middle, fewest pieces */
    size_t count, room;
    bool bounded; /* CALC_PICK_TRIES was reached: there may be others */
};
/* Every choice of `least` to `most` pieces (at most CALC_PICK_PIECES) that holds in all limits. */
struct calc_choices calc_pick(struct arena *arena, const struct calc_sold *sold, size_t sold_count,
                              size_t least, size_t most, const struct calc_pick_limit *limits,
                              size_t limit_count);
/* Loose pieces to places, each used once: as many places served as can be, then the least sum of
 * costs (exact: Kuhn-Munkres). costs[place * pieces + piece] >= 0, -1 where the piece does not fit,
 * at most INT64_MAX / (n^3 + n^2), n the larger of places and pieces (9 m in pm for a hundred);
 * piece_of[place] is SIZE_MAX where none is left. Gives the number of places served. */
size_t calc_assign(struct arena *arena, const int64_t *costs, size_t places, size_t pieces,
                   size_t *piece_of);
/* To a whole number of steps; half a step goes up. Makers differ: their rule is an argument. */
int64_t calc_step_pm(int64_t value_pm, int64_t step_pm, enum calc_rounding rounding);
int64_t calc_roller_pm(int64_t race_pm, int64_t pin_pm, int64_t clearance_pm); /* (race-pin-c)/2 */
/* The room left over in a full row of `count` rollers round a pin, along their pitch circle (pin +
 * roller): rollers that touch stand 2 asin(roller / pitch circle) apart (geometry); negative: one
 * too many. 0 < roller < pitch circle. */
double calc_roller_room_m(double pin_m, double roller_m, double count);
/* Two half shells, each of which stands `proud_m` above the housing's joint at one end while the
 * other is held flush, grip as an interference of 2 proud / pi of the diameter does: what is
 * pressed in lengthwise, over pi (geometry). */
double calc_shell_grip_m(double proud_m);

/* --- rolling bearings --- */
/* Clearance once fitted, worst case: G0 - f_i U_i - f_o U_o; loose fits take nothing. */
struct calc_range_pm calc_mounted_clearance_pm(struct calc_range_pm clearance, double share_inner,
                                               struct calc_range_pm inner_interference,
                                               double share_outer,
                                               struct calc_range_pm outer_interference);
/* NSK: U d/(d + 2 mm) on a ground shaft, d/(d + 3 mm) on a turned one. */
double calc_seat_interference_m(double interference_m, double bore_m, bool ground);
/* Lost when the inner ring is hotter: alpha rise De, De = (4D + d)/5 ball, (3D + d)/4 roller (NSK). */
double calc_running_loss_m(double bore_m, double outside_m, bool roller, double expansion_per_k,
                           double rise_k);
/* ISO 281: (C/P)^3 ball, (C/P)^(10/3) roller, in million turns. */
double calc_life_million(double capacity_n, double load_n, bool roller);
double calc_life_h(double life_million, double rpm);

/* --- volumes --- */
double calc_swept_m3(double bore_m, double stroke_m);
double calc_disc_m3(double bore_m, double thickness_m); /* a gasket's, a deck's */
double calc_compression_ratio(double swept_m3, double clearance_m3);
double calc_clearance_m3(double swept_m3, double compression_ratio);

/* --- balance --- */
/* At the crankpin: all that turns and `factor` of what goes to and fro. */
double calc_bobweight_kg(double rotating_kg, double reciprocating_kg, double factor);
/* At radius `at_m`, opposite: (m_rot + c m_rec) r / b. */
double calc_balance_mass_kg(double rotating_kg, double reciprocating_kg, double factor,
                            double throw_m, double at_m);
/* Left over at a crank angle: m_rec w^2 r sqrt(((1-c) cos t)^2 + (c sin t)^2), first order. */
double calc_unbalance_n(double reciprocating_kg, double factor, double throw_m, double rpm,
                        double angle_deg);
/* Force a length of give, between two loads: (F2 - F1)/(L1 - L2); length_first > length_second. */
double calc_spring_rate_n_m(double first_n, double length_first_m, double second_n,
                            double length_second_m);
/* Depth of a hole that takes away an unbalance: m1 r1 = m2 r2. */
double calc_drill_depth_m(double unbalance_kg_m, double at_m, double drill_m, double density_kg_m3);

#endif
