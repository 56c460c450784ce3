/* test_calc_domain.c - the edges of each formula: what is taken at them, and what is refused.
 *
 * The caller checks first and reports to the user; a formula that is called outside its domain
 * ends the program rather than give a figure. */
#include <criterion/criterion.h>
#include <fcntl.h>
#include <math.h>
#include <signal.h>
#include <string.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include <gudgeon/calc.h>

#include "check_rows.h"

#define MM INT64_C(1000000000)
#define UM INT64_C(1000000)

/* Runs on in a child that says nothing. */
static bool in_child(pid_t *child)
{
    *child = fork();
    cr_assert_geq(*child, 0);
    if (*child == 0)
        dup2(open("/dev/null", O_WRONLY), STDERR_FILENO);
    return *child == 0;
}

static bool aborted(pid_t child)
{
    int status = 0;

    waitpid(child, &status, 0);
    return WIFSIGNALED(status) && WTERMSIG(status) == SIGABRT;
}

#define REFUSES(call)                                                                              \
    do {                                                                                           \
        pid_t child;                                                                               \
        if (in_child(&child)) {                                                                    \
            (void)(call);                                                                          \
            _exit(EXIT_SUCCESS);                                                                   \
        }                                                                                          \
        cr_expect(aborted(child), "taken: %s", #call);                                             \
    } while (0)
#define EQUAL(got, expected) cr_expect_float_eq(got, (double)(expected), 1e-12 * fabs((double)(expected)), "%s", #got)

Test(calc_domain, threads_bolts_and_wrenches)
{
    struct calc_thread m10 = calc_thread(CALC_FORM_ISO, 10 * MM, 1500 * UM);
    struct calc_bolt slippery = calc_bolt(&m10, 16e-3, 11e-3, 0, 0);

    REFUSES(calc_thread(CALC_FORM_ISO, 10 * MM, 0));
    REFUSES(calc_thread(CALC_FORM_ISO, 10 * MM, 10 * MM));
    REFUSES(calc_thread((enum calc_form)5, 10 * MM, MM));
    cr_expect_eq(calc_thread(CALC_FORM_BA, 1000, 1).minor_pm, 999, "a pitch of one picometre");
    cr_expect_eq(calc_slot_advance_pm(1, 1), 1);
    cr_expect_eq(calc_slot_advance_pm(1500 * UM, 6), 250 * UM, "a sixth of a turn of M10");
    REFUSES(calc_slot_advance_pm(0, 6));
    REFUSES(calc_slot_advance_pm(1500 * UM, 0));
    REFUSES(calc_bolt(&m10, 11e-3, 11e-3, 0.1, 0.1));
    REFUSES(calc_bolt(&m10, 16e-3, 0, 0.1, 0.1));
    REFUSES(calc_bolt(&m10, 16e-3, 11e-3, -0.1, 0.1));
    REFUSES(calc_bolt(&m10, 16e-3, 11e-3, 0.1, -0.1));
    /* without friction all of the torque lifts: T 2 pi = F P */
    EQUAL(calc_preload_n(&slippery, 1.5e-3), 2 * acos(-1));
    EQUAL(calc_assembly_preload_n(&slippery, 0.5, 1), 2 * calc_assembly_preload_n(&slippery, 0.5, 0.5));
    REFUSES(calc_assembly_preload_n(&slippery, 0, 0.9));
    REFUSES(calc_assembly_preload_n(&slippery, 640e6, 0));
    REFUSES(calc_assembly_preload_n(&slippery, 640e6, 1.01));
    EQUAL(calc_nut_factor(0.1, 0.5, 0.5), 0.4);
    REFUSES(calc_nut_factor(1, 0, 1));
    REFUSES(calc_nut_factor(1, 1, 0));
    EQUAL(calc_wrench_setting_n_m(50, 0.25, -0.05, 0), 62.5);
    REFUSES(calc_wrench_setting_n_m(50, 0, 0.05, 0));
    REFUSES(calc_wrench_setting_n_m(50, 0.25, -0.25, 0));
    REFUSES(calc_strip_area_bolt_m2(-1e-3, 1.5e-3, 9e-3, 8.6e-3));
    REFUSES(calc_strip_area_bolt_m2(1e-3, 0, 9e-3, 8.6e-3));
    REFUSES(calc_strip_area_nut_m2(-1e-3, 1.5e-3, 10e-3, 9.2e-3));
    REFUSES(calc_strip_area_nut_m2(1e-3, 0, 10e-3, 9.2e-3));
    EQUAL(calc_strip_area_bolt_m2(0, 1.5e-3, 9e-3, 8.6e-3), 0.0);
    EQUAL(calc_strip_area_nut_m2(0, 1.5e-3, 10e-3, 9.2e-3), 0.0);
    REFUSES(calc_engagement_m(0, 1.5e-3, 9e-3, 8.6e-3));
    REFUSES(calc_engagement_m(58e-6, 0, 9e-3, 8.6e-3));
    REFUSES(calc_engagement_m(58e-6, 1.5e-3, 7e-3, 8.6e-3));
}

/* The share of the flank's friction, 1/(2 cos b), as each form's half angle gives it: 0.577350 at 30
 * degrees (ISO 16047), 0.563691 at 27.5 and 0.546262 at 23.75. */
Test(calc_domain, friction_on_the_flanks_of_every_form)
{
    static const struct {
        enum calc_form form;
        double share;
    } rows[] = {
        {CALC_FORM_ISO, 0.577350},       {CALC_FORM_UN, 0.577350}, {CALC_FORM_CYCLE, 0.577350},
        {CALC_FORM_WHITWORTH, 0.563691}, {CALC_FORM_BA, 0.546262},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct calc_thread thread = calc_thread(rows[i].form, 10 * MM, MM);
        struct calc_bolt rough = calc_bolt(&thread, 16e-3, 11e-3, 1, 0),
                         slippery = calc_bolt(&thread, 16e-3, 11e-3, 0, 0);
        double share = (calc_torque_n_m(&rough, 1) - calc_torque_n_m(&slippery, 1)) /
                       ((double)thread.pitch_diameter_pm * 1e-12);
        cr_expect_float_eq(share, rows[i].share, 5e-7, "form %zu: %.7f", i, share);
    }
}

Test(calc_domain, fits_presses_and_heat)
{
    struct calc_press press = {.diameter_m = 0.05, .hub_outside_m = 0.1, .hub_modulus_pa = 0.5,
                               .shaft_modulus_pa = 0.5, .hub_poisson = 0.3, .shaft_poisson = 0.3,
                               .interference_m = 1e-5};
    struct calc_press wrong = press;

    /* equal metals, solid shaft: p = E d/(2 D) (1 - (D/Do)^2) */
    EQUAL(calc_press(&press).pressure_pa, 0.5 * 1e-5 / (2 * 0.05) * 0.75);
    wrong.shaft_bore_m = -1e-3;
    REFUSES(calc_press(&wrong));
    wrong.shaft_bore_m = wrong.diameter_m;
    REFUSES(calc_press(&wrong));
    wrong = press, wrong.hub_outside_m = press.diameter_m;
    REFUSES(calc_press(&wrong));
    wrong = press, wrong.hub_modulus_pa = 0;
    REFUSES(calc_press(&wrong));
    wrong = press, wrong.shaft_modulus_pa = 0;
    REFUSES(calc_press(&wrong));
    wrong = press, wrong.interference_m = 0;
    REFUSES(calc_press(&wrong));
    REFUSES(calc_clearance_pm((struct calc_range_pm){2, 1}, (struct calc_range_pm){1, 1}));
    REFUSES(calc_clearance_pm((struct calc_range_pm){1, 1}, (struct calc_range_pm){2, 1}));
    cr_expect_eq(calc_fit_kind((struct calc_range_pm){-1, 1}), CALC_FIT_TRANSITION);
    cr_expect_eq(calc_fit_kind((struct calc_range_pm){-1, 0}), CALC_FIT_INTERFERENCE);
    REFUSES(calc_effective_interference_m(1e-5, -1e-6, 0));
    REFUSES(calc_effective_interference_m(1e-5, 0, -1e-6));
    cr_expect_eq(calc_effective_interference_m(1e-6, 1e-5, 1e-5), 0, "nothing is left");
    REFUSES(calc_heat_rise_k(1e-5, 0, 0.05));
    REFUSES(calc_heat_rise_k(1e-5, 12e-6, 0));
    REFUSES(calc_heat_to_c(20, 1e-5, 12e-6, 0.05, -0.1));
    REFUSES(calc_heat_to_c(20, 1e-5, 12e-6, 0.05, 1));
    REFUSES(calc_chill_to_c(20, 1e-5, 12e-6, 0.05, -0.1));
    REFUSES(calc_chill_to_c(20, 1e-5, 12e-6, 0.05, 1));
    REFUSES(calc_let_go_rise_k(-1e-6, 0.05, 22e-6, 12e-6));
    REFUSES(calc_let_go_rise_k(1e-6, 0, 22e-6, 12e-6));
    cr_expect(isinf(calc_let_go_rise_k(1e-6, 0.05, 12e-6, 12e-6)), "equal metals never let go");
    cr_expect_eq(calc_let_go_rise_k(0, 0.05, 22e-6, 12e-6), 0);
}

Test(calc_domain, rolling_bearings)
{
    struct calc_range_pm clearance = {5 * UM, 20 * UM}, loose = {-3, -1}, tight = {1, 1};
    struct calc_range_pm mounted =
        calc_mounted_clearance_pm(clearance, 1, tight, 1, loose);

    cr_expect_eq(mounted.low, 5 * UM - 1, "one picometre tight");
    cr_expect_eq(mounted.high, 20 * UM - 1, "and the loose seat takes nothing");
    REFUSES(calc_mounted_clearance_pm(clearance, -0.1, tight, 1, loose));
    REFUSES(calc_mounted_clearance_pm(clearance, 1.5, tight, 1, loose));
    REFUSES(calc_mounted_clearance_pm(clearance, 1, tight, -0.1, loose));
    REFUSES(calc_mounted_clearance_pm(clearance, 1, tight, 1.5, loose));
    EQUAL(calc_seat_interference_m(10e-6, 0.03, true), 10e-6 * 30 / 32);
    EQUAL(calc_seat_interference_m(10e-6, 0.03, false), 10e-6 * 30 / 33);
    REFUSES(calc_seat_interference_m(10e-6, 0, true));
    REFUSES(calc_running_loss_m(0, 0.062, false, 12.5e-6, 10));
    REFUSES(calc_running_loss_m(0.062, 0.062, false, 12.5e-6, 10));
    EQUAL(calc_life_million(0.5, 0.25, false), 8);
    EQUAL(calc_life_million(0.5, 0.25, true), pow(2, 10.0 / 3));
    REFUSES(calc_life_million(0, 1, false));
    REFUSES(calc_life_million(1, 0, false));
    EQUAL(calc_life_h(1, 0.5), 1e6 / 30);
    REFUSES(calc_life_h(1, 0));
}

/* ISO 286-1:1988 annex A: each grade is a multiple of i, which the table rounds up or down. Over the
 * eleven steps from 6 to 500 mm the roundings cancel: the mean of table over formula is 1 within one
 * part in eighty from IT5 to IT10; from IT6 on every fifth grade is ten times as wide (clause A.3). */
Test(calc_domain, tolerances_agree_with_the_printed_table_grade_by_grade)
{
    struct check_rows rows = check_rows_load("fits-and-engine.csv");
    double sum[19] = {0};
    int count[19] = {0};

    for (size_t i = 0; i < rows.count; i++) {
        const struct check_row *row = &rows.items[i];
        double grade;
        if (strcmp(row->topic, "iso286-it") != 0 || strstr(row->input, "grade=IT0") ||
            check_given(row, "over=") < 6)
            continue;
        cr_assert(check_number(check_part(row->input, "grade") + 2, &grade), "%s", row->id);
        double printed_um = strtod(row->expected, NULL),
               formula_um = 1e6 * calc_iso_tolerance_m(check_given(row, "over=") * 1e-3,
                                                       check_given(row, "incl=") * 1e-3, (int)grade);
        sum[(int)grade] += printed_um / formula_um;
        count[(int)grade]++;
    }
    for (int grade = 11; grade <= 18; grade++)
        EQUAL(calc_iso_tolerance_m(30e-3, 50e-3, grade), 10 * calc_iso_tolerance_m(30e-3, 50e-3, grade - 5));
    for (int grade = 1; grade <= 18; grade++) {
        double mean = sum[grade] / count[grade],
               within = grade < 5 ? 0.05 : grade <= 10 ? 0.0125 : 0.025;
        cr_expect_geq(count[grade], 11, "IT%d: %d steps", grade, count[grade]);
        cr_expect_float_eq(mean, 1, within, "IT%d: printed / formula is %.4f", grade, mean);
    }
}

Test(calc_domain, steps_of_iso_286_are_half_open_and_end_at_500_mm)
{
    REFUSES(calc_iso_tolerance_m(-1e-3, 3e-3, 7));
    REFUSES(calc_iso_tolerance_m(3e-3, 3e-3, 7));
    REFUSES(calc_iso_tolerance_m(3e-3, 6e-3, -2));
    REFUSES(calc_iso_tolerance_m(3e-3, 6e-3, 19));
    cr_expect_geq(calc_iso_tolerance_m(3e-3, 6e-3, 18), calc_iso_tolerance_m(3e-3, 6e-3, 17));
    /* over 1.5 mm is its own step; only what begins below 1 mm counts as from 1 mm */
    cr_expect_lt(calc_iso_tolerance_m(1e-3, 3e-3, 7), calc_iso_tolerance_m(1.5e-3, 3e-3, 7));
    EQUAL(calc_iso_tolerance_m(0, 3e-3, 7), calc_iso_tolerance_m(1e-3, 3e-3, 7));
    EQUAL(calc_iso_tolerance_m(0.5e-3, 3e-3, 7), calc_iso_tolerance_m(1e-3, 3e-3, 7));
    /* IT1 to IT5 rise by one ratio (annex A) */
    double it[6];
    for (int grade = 1; grade <= 5; grade++)
        it[grade] = calc_iso_tolerance_m(50e-3, 80e-3, grade);
    for (int grade = 2; grade <= 4; grade++)
        EQUAL(it[grade + 1] / it[grade], it[2] / it[1]);
    double i_m = (0.45 * cbrt(sqrt(50.0 * 80)) + 0.001 * sqrt(50.0 * 80)) * 1e-6;
    EQUAL(it[5], 7 * i_m);
    EQUAL(it[1], (0.8 + 0.02 * sqrt(50.0 * 80)) * 1e-6);
}

Test(calc_domain, crank_angles_at_the_ends_of_the_stroke)
{
    cr_expect_float_eq(calc_crank_angle_deg(0.08, 0.16, 0.08), 180, 1e-5);
    cr_expect_eq(calc_crank_angle_deg(0.08, 0.16, 0), 0);
    REFUSES(calc_crank_angle_deg(0.08, 0.16, -1e-6));
    REFUSES(calc_crank_angle_deg(0.08, 0.16, 0.08 * (1 + 1.5e-12)));
    REFUSES(calc_crank_angle_deg(0.08, 0.16, 0.1));
    REFUSES(calc_crank_angle_deg(0, 0.16, 0));
    REFUSES(calc_crank_angle_deg(0.08, 0.04, 0.01));
    REFUSES(calc_piston_travel_m(0, 0.16, 10));
    REFUSES(calc_piston_travel_m(0.08, 0.04, 10));
    REFUSES(calc_piston_travel_bound_m(0.08, 0.17, 0.16, 10));
    REFUSES(calc_crank_angle_bound_deg(0.08, 0.17, 0.16, 0.01));
    REFUSES(calc_offset_top_deg(0, 0.16, 0));
    REFUSES(calc_offset_top_deg(0.08, 0.04, 0));
    REFUSES(calc_offset_top_deg(0.08, 0.16, 0.12));
    REFUSES(calc_offset_stroke_m(0, 0.16, 0));
    REFUSES(calc_offset_stroke_m(0.08, 0.16, -0.12));
    REFUSES(calc_offset_travel_m(0, 0.16, 0, 10));
    REFUSES(calc_offset_travel_m(0.08, 0.16, 0.12, 10));
    REFUSES(calc_piston_acceleration_m_s2(0.08, 0.04, 1000));
}

/* Both readings of a positive stop, on whichever turn of the wheel and whichever way round. */
Test(calc_domain, the_dead_centre_between_two_readings_of_a_stop)
{
    static const struct {
        double first, second, centre;
    } rows[] = {
        {10, 30, 20},    {350, 10, 0},      {10, 350, 0},    {200, 250, 225}, {0, 181, 270.5},
        {0, 179, 89.5},  {0, 184, 272},     {184, 0, 272},   {-170, 371, 100.5}, {700, 20, 0},
        {1, 727, 4},     {359, 357, 358},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        cr_expect_float_eq(calc_stop_centre_deg(rows[i].first, rows[i].second), rows[i].centre,
                           1e-9, "%g and %g: %g", rows[i].first, rows[i].second,
                           calc_stop_centre_deg(rows[i].first, rows[i].second));
}

Test(calc_domain, gears_volumes_and_balance)
{
    REFUSES(calc_turns_until_marks((int64_t[]){20}, 0));
    REFUSES(calc_turns_until_marks((int64_t[]){0, 20}, 2));
    REFUSES(calc_turns_until_marks((int64_t[]){20, 0}, 2));
    cr_expect_eq(calc_turns_until_marks((int64_t[]){1, 1}, 2), 1);
    EQUAL(calc_disc_m3(0.5, 2), acos(-1) / 8);
    EQUAL(calc_compression_ratio(0.5, 0.25), 3);
    REFUSES(calc_compression_ratio(0, 1));
    REFUSES(calc_compression_ratio(1, 0));
    EQUAL(calc_clearance_m3(0.5, 1.5), 1);
    REFUSES(calc_clearance_m3(0.5, 1));
    REFUSES(calc_balance_mass_kg(1, 1, 0.5, 0.05, 0));
    EQUAL(calc_drill_depth_m(0.25, 0.5, 0.5, 0.5), 0.5 / (0.5 * acos(-1) / 4 * 0.25));
    REFUSES(calc_drill_depth_m(1, 0, 0.01, 7850));
    REFUSES(calc_drill_depth_m(1, 0.05, 0, 7850));
    REFUSES(calc_drill_depth_m(1, 0.05, 0.01, 0));
}

/* Against geometry done another way: rollers set out one by one round the circle; the two ends of a
 * strip bent into a ring; a wheel turned tooth by tooth. */
Test(calc_domain, rollers_shells_springs_and_teeth)
{
    double pin = 1.2485 * 0.0254, roller = 0.25 * 0.0254, circle = pin + roller;
    double x = circle / 2, y = 0; /* centre of the first roller; each next one touches the last */
    for (int i = 0; i < 18; i++) {
        double cosine = 1 - 2 * roller * roller / (circle * circle), sine = sqrt(1 - cosine * cosine),
               next = x * cosine - y * sine;
        y = x * sine + y * cosine;
        x = next;
    }
    double left = -atan2(y, x); /* of the turn: 18 rollers nearly fill it */
    cr_expect_float_eq(calc_roller_room_m(pin, roller, 18), left * circle / 2, 1e-12);
    cr_expect_gt(calc_roller_room_m(pin, roller, 18), 0);
    cr_expect_lt(calc_roller_room_m(pin, roller, 19), 0, "one too many");
    EQUAL(calc_roller_room_m(0.5, 0.25, 0), 0.75 * acos(-1));
    REFUSES(calc_roller_room_m(0.03, 0, 18));
    REFUSES(calc_roller_room_m(0, 0.006, 18));
    REFUSES(calc_roller_room_m(0.03, 0.006, -1));

    /* each half is 0.04 mm longer than its half of the housing: a ring too long by 0.08 mm */
    EQUAL(calc_shell_grip_m(0.04e-3), (acos(-1) * 0.06 + 2 * 0.04e-3) / acos(-1) - 0.06);

    EQUAL(calc_spring_rate_n_m(0.25, 0.5, 0.5, 0.25), 1);
    REFUSES(calc_spring_rate_n_m(100, 0.03, 200, 0.03));
    EQUAL(calc_tooth_step_deg(36, 2), 20);
    EQUAL(calc_tooth_step_deg(1, 0.5), 180);
    REFUSES(calc_tooth_step_deg(0, 2));
    REFUSES(calc_tooth_step_deg(36, 0));
}

Test(calc_domain, hours_left_before_a_wear_limit)
{
    EQUAL(calc_hours_left(0.25, 0.5, 0.5), 0.5); /* half used, as much again */
    EQUAL(calc_hours_left(0.08e-3, 0.2e-3, 600), 900);
    cr_expect(isinf(calc_hours_left(0, 0.1, 600)), "nothing has worn");
    cr_expect_eq(calc_hours_left(0.2, 0.1, 600), 0, "the limit is passed");
    REFUSES(calc_hours_left(-1e-6, 0.1, 600));
    REFUSES(calc_hours_left(1e-6, 0, 600));
    REFUSES(calc_hours_left(1e-6, 0.1, 0));
}

Test(calc_domain, steps_round_as_the_maker_does)
{
    cr_expect_eq(calc_step_pm(-1, 50, CALC_ROUND_DOWN), -50);
    cr_expect_eq(calc_step_pm(-1, 50, CALC_ROUND_UP), 0);
    cr_expect_eq(calc_step_pm(1, 50, CALC_ROUND_UP), 50);
    cr_expect_eq(calc_step_pm(0, 50, CALC_ROUND_UP), 0);
    cr_expect_eq(calc_step_pm(0, 50, CALC_ROUND_DOWN), 0);
    cr_expect_eq(calc_step_pm(100, 50, CALC_ROUND_DOWN), 100);
    cr_expect_eq(calc_step_pm(3, 1, CALC_ROUND_NEAREST), 3);
    REFUSES(calc_step_pm(3, 0, CALC_ROUND_NEAREST));
}

/* A gauge's uncertainty that just reaches the limit, to the billionth that counts as on it. */
Test(calc_domain, near_ends_a_billionth_before_the_uncertainty_does)
{
    struct qty_value most = {.kind = QTY_AT_MOST, .high = qty_from_si(10, QTY_TORQUE)};
    struct {
        double inside;
        enum calc_verdict verdict;
    } rows[] = {{1 - 0.5e-9, CALC_INSIDE}, {1 - 1.5e-9, CALC_NEAR_NEW}, {1, CALC_INSIDE}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct qty found = qty_from_si(10 - rows[i].inside, QTY_TORQUE);
        struct qty_value value = {.kind = QTY_ONE, .nominal = found, .low = found, .high = found};
        cr_expect_eq(calc_judge(&value, &most, NULL, 1).verdict, rows[i].verdict, "row %zu", i);
    }
    REFUSES(calc_judge(NULL, &most, NULL, -1));
}

/* --- picks --- */

Test(calc_domain, picks_in_the_order_that_the_header_promises)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    /* 4 + 1, 3 + 2: equally near, equally many; the earlier sizes of the file first */
    struct calc_sold sold[] = {{{4, 4}, 0}, {{2, 2}, 0}, {{3, 3}, 0}, {{1, 1}, 0}};
    struct calc_pick_limit limit = {{10, 10}, {5, 5}, -1, CALC_ROUND_NEAREST};
    struct calc_choices choices = calc_pick(arena, sold, 4, 2, 2, &limit, 1);

    cr_assert_eq(choices.count, 2);
    cr_expect_eq(choices.items[0].pieces[0], 0, "4 + 1");
    cr_expect_eq(choices.items[0].pieces[1], 3);
    cr_expect_eq(choices.items[1].pieces[0], 2, "3 + 2");
    cr_expect_eq(choices.items[1].pieces[1], 1);
    /* a piece of two sizes known only within limits comes after one that is certain */
    struct calc_sold unsure[] = {{{4, 6}, 0}, {{3, 3}, 0}};
    limit.want = (struct calc_range_pm){5, 7};
    choices = calc_pick(arena, unsure, 2, 1, 1, &limit, 1);
    cr_assert_eq(choices.count, 2);
    cr_expect(choices.items[0].certain && choices.items[0].pieces[0] == 1);
    cr_expect(!choices.items[1].certain && choices.items[1].off_middle_pm == 1);
    REFUSES(calc_pick(arena, sold, 4, 2, 1, &limit, 1));
    REFUSES(calc_pick(arena, sold, 4, 1, CALC_PICK_PIECES + 1, &limit, 1));
    /* equal sizes keep the order of the file; larger ones come first */
    struct calc_sold equal[] = {{{2, 2}, 1}, {{2, 2}, 1}, {{9, 9}, 1}};
    limit = (struct calc_pick_limit){{6, 6}, {2, 2}, -1, CALC_ROUND_NEAREST};
    choices = calc_pick(arena, equal, 3, 1, 3, &limit, 1);
    cr_assert_eq(choices.count, 1);
    cr_expect_eq(choices.items[0].pieces[0], 0);
    cr_expect_eq(choices.items[0].pieces[1], 1);
    arena_free(arena);
}

/* The greatest costs that the header allows. */
Test(calc_domain, pieces_are_served_first_and_dear_ones_are_bounded)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    size_t piece_of[3];
    int64_t most = INT64_MAX / 12; /* n = 2: n^3 + n^2 */

    /* piece 1 alone fits place 1: place 0 takes the dear one so that both are served */
    cr_expect_eq(calc_assign(arena, (int64_t[]){most, 0, -1, 0}, 2, 2, piece_of), 2);
    cr_expect(piece_of[0] == 0 && piece_of[1] == 1);
    REFUSES(calc_assign(arena, (int64_t[]){most + 1, 0, -1, 0}, 2, 2, piece_of));
    cr_expect_eq(calc_assign(arena, (int64_t[]){INT64_MAX / 2}, 1, 1, piece_of), 1);
    cr_expect_eq(calc_assign(arena, NULL, 0, 0, piece_of), 0);
    cr_expect_eq(calc_assign(arena, (int64_t[]){-1, -1}, 2, 1, piece_of), 0);
    cr_expect(piece_of[0] == SIZE_MAX && piece_of[1] == SIZE_MAX);
    /* three places, two pieces: the place that is left out is the one that saves most */
    cr_expect_eq(calc_assign(arena, (int64_t[]){5, 1, 1, 5, 9, 9}, 3, 2, piece_of), 2);
    cr_expect(piece_of[0] == 1 && piece_of[1] == 0 && piece_of[2] == SIZE_MAX);
    arena_free(arena);
}
