/* test_calc.c - verdicts, stacks, picks and assignments, against rules and brute force. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include <gudgeon/calc.h>

#define MM INT64_C(1000000000)
#define UM INT64_C(1000000)

static struct qty_value limits_mm(double low, double high)
{
    return (struct qty_value){.kind = QTY_LIMITS,
                              .low = qty_from_pm(qty_pm_from_mm(low)),
                              .high = qty_from_pm(qty_pm_from_mm(high))};
}

static struct qty_value one_mm(double mm)
{
    struct qty qty = qty_from_pm(qty_pm_from_mm(mm));

    return (struct qty_value){.kind = QTY_ONE, .nominal = qty, .low = qty, .high = qty};
}

/* ISO 14253-1: near where the uncertainty spans the limit. New limits 0.10..0.20, worn to 0.30. */
Test(calc_verdict, every_verdict_with_its_side_and_distance)
{
    static const struct {
        double low, high, uncertainty;
        bool worn;
        enum calc_verdict verdict;
        bool high_side, to_worn;
        double distance;
        const char *why;
    } rows[] = {
        {0.15, 0.15, 0, true, CALC_INSIDE, true, false, 0.05, "the middle"},
        {0.10, 0.10, 0, true, CALC_INSIDE, false, false, 0, "a limit includes its ends"},
        {0.20, 0.20, 0, true, CALC_INSIDE, true, false, 0, "at either end"},
        {0.195, 0.195, 0.01, true, CALC_NEAR_NEW, true, false, 0.005,
         "spans the new limit from inside"},
        {0.205, 0.205, 0.01, true, CALC_NEAR_NEW, true, false, -0.005, "and from outside"},
        {0.20, 0.20, 0.01, true, CALC_NEAR_NEW, true, false, 0, "on the limit nothing is proved"},
        {0.19, 0.19, 0.01, true, CALC_INSIDE, true, false, 0.01, "just clear of it"},
        {0.25, 0.25, 0.01, true, CALC_SERVICEABLE, true, true, 0.05, "between new and worn"},
        {0.295, 0.295, 0.01, true, CALC_NEAR_WORN, true, true, 0.005, "spans the wear limit"},
        {0.305, 0.305, 0.01, true, CALC_NEAR_WORN, true, true, -0.005, "from outside too"},
        {0.30, 0.30, 0, true, CALC_SERVICEABLE, true, true, 0, "the wear limit includes its end"},
        {0.35, 0.35, 0.01, true, CALC_OUTSIDE, true, true, -0.05, "beyond it"},
        {0.25, 0.25, 0.01, false, CALC_OUTSIDE, true, false, -0.05,
         "no wear limit: beyond new is outside"},
        {0.05, 0.05, 0.01, true, CALC_OUTSIDE, false, false, -0.05,
         "too tight, and worn says nothing there"},
        {0.15, 0.25, 0, true, CALC_SERVICEABLE, true, true, 0.05,
         "of several readings the worst counts"},
        {0.05, 0.25, 0, true, CALC_OUTSIDE, false, false, -0.05, "on the worse side"},
    };
    struct qty_value want = limits_mm(0.10, 0.20),
                     worn = {.kind = QTY_AT_MOST, .high = qty_from_pm(300 * UM)};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct qty_value found = rows[i].low == rows[i].high ? one_mm(rows[i].low)
                                                             : limits_mm(rows[i].low, rows[i].high);
        struct calc_judged judged =
            calc_judge(&found, &want, rows[i].worn ? &worn : NULL, rows[i].uncertainty * 1e-3);
        cr_expect_eq(judged.verdict, rows[i].verdict, "%s: verdict %d", rows[i].why,
                     judged.verdict);
        cr_expect_eq(judged.high, rows[i].high_side, "%s: side", rows[i].why);
        cr_expect_eq(judged.worn, rows[i].to_worn, "%s: which limit", rows[i].why);
        cr_expect_eq(judged.distance.exact, qty_pm_from_mm(rows[i].distance),
                     "%s: distance %lld pm", rows[i].why, (long long)judged.distance.exact);
    }
}

Test(calc_verdict, one_sided_limits_and_missing_values)
{
    struct qty_value most = {.kind = QTY_AT_MOST, .high = qty_from_pm(100 * UM)};
    struct qty_value least = {.kind = QTY_AT_LEAST, .low = qty_from_pm(100 * UM)};
    struct qty_value unknown = {.kind = QTY_UNKNOWN};
    struct qty_value small = one_mm(0.05), large = one_mm(0.15);

    cr_expect_eq(calc_judge(&small, &most, NULL, 0).verdict, CALC_INSIDE);
    cr_expect_eq(calc_judge(&large, &most, NULL, 0).verdict, CALC_OUTSIDE);
    cr_expect_eq(calc_judge(&small, &least, NULL, 0).verdict, CALC_OUTSIDE);
    cr_expect_eq(calc_judge(&large, &least, NULL, 0).verdict, CALC_INSIDE);
    cr_expect_eq(calc_judge(NULL, &most, NULL, 0).verdict, CALC_NOT_MEASURED);
    cr_expect_eq(calc_judge(&unknown, &most, NULL, 0).verdict, CALC_NOT_MEASURED);
    cr_expect_eq(calc_judge(&small, NULL, NULL, 0).verdict, CALC_VERDICT_NONE);
    cr_expect_eq(calc_judge(&small, NULL, &most, 0).verdict, CALC_SERVICEABLE, "within wear alone");
    cr_expect_eq(calc_judge(&large, NULL, &most, 0).verdict, CALC_OUTSIDE);
    cr_expect(calc_judge(&small, &most, NULL, 0).high, "the side that has a limit");
}

Test(calc_verdict, a_torque_within_a_billionth_of_a_limit_is_on_it)
{
    struct qty limit = qty_from_si(32.5396308, QTY_TORQUE),
               over = qty_from_si(32.5396308 * (1 + 5e-10), QTY_TORQUE);
    struct qty_value want = {.kind = QTY_AT_MOST, .high = limit};
    struct qty_value found = {.kind = QTY_ONE, .nominal = over, .low = over, .high = over};

    cr_expect_eq(calc_judge(&found, &want, NULL, 0).verdict, CALC_INSIDE);
    found.low = found.high = qty_from_si(32.5396308 * (1 + 5e-9), QTY_TORQUE);
    cr_expect_eq(calc_judge(&found, &want, NULL, 0).verdict, CALC_OUTSIDE);
}

Test(calc_stack, worst_case_adds_end_by_end_and_exactly)
{
    /* crankcase 1.4420 in, gasket crushed 0.005..0.006 in, bearing 36.500 mm, shim 0.15 mm */
    struct calc_range_pm plus[] = {{36626800000, 36626800000}, {127000000, 152400000}};
    struct calc_range_pm minus[] = {{36500000000, 36500000000}, {150000000, 150000000}};
    struct calc_range_pm sum = calc_stack_pm(plus, 2, minus, 2);

    cr_expect_eq(sum.low, 36626800000 + 127000000 - 36650000000);
    cr_expect_eq(sum.high - sum.low, 25400000, "the gasket's spread, to the picometre");
    cr_expect_float_eq(calc_rss((double[]){3, 4}, 2), 5, 1e-15);
    cr_expect_eq(calc_step_pm(-26 * UM, 50 * UM, CALC_ROUND_DOWN), -50 * UM);
    cr_expect_eq(calc_step_pm(-26 * UM, 50 * UM, CALC_ROUND_UP), 0);
    cr_expect_eq(calc_step_pm(-25 * UM, 50 * UM, CALC_ROUND_NEAREST), 0, "half a step goes up");
}

/* --- picks --- */

static uint64_t next_random(uint64_t *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return *state;
}

Test(calc_pick, makers_differ_in_which_way_a_shim_is_rounded)
{
    /* free float 0.62 mm, wanted 0.10..0.15 mm: 0.495 mm is asked for. Always down is one maker's rule
     * and the nearest another's (workshop manuals of two makers); 0.44 leaves more than is wanted */
    struct calc_sold sold[] = {
        {{440 * UM, 440 * UM}, 0}, {{480 * UM, 480 * UM}, 0}, {{500 * UM, 500 * UM}, 0}};
    static const struct {
        enum calc_rounding rounding;
        int64_t first_um, last_um;
    } rows[] = {{CALC_ROUND_NEAREST, 500, 480}, {CALC_ROUND_DOWN, 480, 500}, {CALC_ROUND_UP, 500, 480}};
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < 3; i++) {
        struct calc_pick_limit limit = {
            {620 * UM, 620 * UM}, {100 * UM, 150 * UM}, -1, rows[i].rounding};
        struct calc_choices choices = calc_pick(arena, sold, 3, 1, 1, &limit, 1);
        cr_assert_eq(choices.count, 2, "row %zu: %zu", i, choices.count);
        cr_expect_eq(choices.items[0].sum.low, rows[i].first_um * UM, "row %zu", i);
        cr_expect_eq(choices.items[1].sum.low, rows[i].last_um * UM, "row %zu", i);
    }
    arena_free(arena);
}

Test(calc_pick, the_shim_pack_of_an_end_float)
{
    /* free float 0.62 mm, wanted 0.10..0.15 mm: shims of 0.47..0.52 mm together (SH-029) */
    struct calc_sold sold[] = {
        {{108 * UM, 108 * UM}, 0}, {{150 * UM, 150 * UM}, 0}, {{250 * UM, 250 * UM}, 0}};
    struct calc_pick_limit limit = {{620 * UM, 620 * UM}, {100 * UM, 150 * UM}, -1, CALC_ROUND_NEAREST};
    struct arena *arena = arena_new(0, NULL, NULL);
    struct calc_choices choices = calc_pick(arena, sold, 3, 1, 3, &limit, 1);

    cr_assert_eq(choices.count, 2, "%zu", choices.count);
    cr_expect(!choices.bounded);
    /* 0.25 + 0.25 leaves 0.120; 0.25 + 0.15 + 0.108 leaves 0.112; the middle is 0.125 */
    cr_expect_eq(choices.items[0].sum.low, 500 * UM);
    cr_expect_eq(choices.items[0].count, 2);
    cr_expect_eq(choices.items[0].off_middle_pm, 5 * UM);
    cr_expect_eq(choices.items[1].sum.low, 508 * UM);
    sold[2].stock = 1;
    choices = calc_pick(arena, sold, 3, 1, 3, &limit, 1);
    cr_expect_eq(choices.count, 1, "only one 0.25 mm shim is left");
    cr_expect_eq(choices.items[0].sum.low, 508 * UM);
    arena_free(arena);
}

Test(calc_pick, of_equally_good_packs_the_one_with_fewest_pieces)
{
    struct calc_sold sold[] = {
        {{100 * UM, 100 * UM}, 0}, {{200 * UM, 200 * UM}, 0}, {{300 * UM, 300 * UM}, 0}};
    struct calc_pick_limit limit = {{400 * UM, 400 * UM}, {90 * UM, 110 * UM}, -1, CALC_ROUND_NEAREST};
    struct arena *arena = arena_new(0, NULL, NULL);
    struct calc_choices choices = calc_pick(arena, sold, 3, 1, 4, &limit, 1);

    cr_assert_eq(choices.count, 3, "300; 200 + 100; 100 + 100 + 100");
    cr_expect_eq(choices.items[0].count, 1);
    cr_expect_eq(choices.items[0].pieces[0], 2);
    cr_expect_eq(choices.items[2].count, 3);
    arena_free(arena);
}

Test(calc_pick, a_range_that_holds_only_with_luck_must_be_measured)
{
    struct calc_sold sold[] = {{{152400000, 177800000}, 0}}; /* a gasket 0.006..0.007 in */
    struct calc_pick_limit limit = {{300 * UM, 300 * UM}, {125 * UM, 150 * UM}, -1, CALC_ROUND_NEAREST};
    struct arena *arena = arena_new(0, NULL, NULL);
    struct calc_choices choices = calc_pick(arena, sold, 1, 1, 1, &limit, 1);

    cr_assert_eq(choices.count, 1);
    cr_expect(!choices.items[0].certain);
    limit.want = (struct calc_range_pm){120 * UM, 150 * UM};
    choices = calc_pick(arena, sold, 1, 1, 1, &limit, 1);
    cr_expect(choices.items[0].certain);
    limit.want = (struct calc_range_pm){0, 20 * UM};
    cr_expect_eq(calc_pick(arena, sold, 1, 1, 1, &limit, 1).count, 0);
    arena_free(arena);
}

Test(calc_pick, a_roller_counts_twice)
{
    /* RG-036 turned about: race 47.010, pin 35 mm, running clearance 0.010..0.018 mm */
    struct calc_sold sold[] = {
        {{6000 * UM, 6000 * UM}, 0}, {{5998 * UM, 5998 * UM}, 0}, {{6002 * UM, 6002 * UM}, 0}};
    struct calc_pick_limit limit = {
        {47010 * UM - 35 * MM, 47010 * UM - 35 * MM}, {10 * UM, 18 * UM}, -2, CALC_ROUND_NEAREST};
    struct arena *arena = arena_new(0, NULL, NULL);
    struct calc_choices choices = calc_pick(arena, sold, 3, 1, 1, &limit, 1);

    cr_assert_eq(choices.count, 2, "6.000 leaves 0.010, 5.998 leaves 0.014");
    cr_expect_eq(choices.items[0].pieces[0], 1, "nearest the middle");
    arena_free(arena);
}

/* All multisets of at most three by three loops, against the search. */
Test(calc_pick, random_packs_agree_with_brute_force)
{
    uint64_t state = 42;

    for (int round = 0; round < 300; round++) {
        struct arena *arena = arena_new(0, NULL, NULL);
        struct calc_sold sold[6];
        size_t count = 1 + next_random(&state) % 5;
        int64_t free = (int64_t)(next_random(&state) % 900) * UM,
                base2 = (int64_t)(next_random(&state) % 1800) * UM;
        struct calc_pick_limit limits[] = {{{free, free}, {0, 100 * UM}, -1, CALC_ROUND_NEAREST},
                                           {{base2, base2}, {-200 * UM, 400 * UM}, -2, CALC_ROUND_NEAREST}};
        for (size_t i = 0; i < count; i++) {
            int64_t size = (int64_t)(next_random(&state) % 400 + 1) * UM;
            sold[i] = (struct calc_sold){{size, size}, (int64_t)(next_random(&state) % 3)};
        }
        size_t expected = 0;
        int64_t best = INT64_MAX;
        for (size_t a = 0; a <= count; a++)
            for (size_t b = a; b <= count; b++)
                for (size_t c = b; c <= count; c++) {
                    size_t set[] = {a, b, c};
                    int64_t sum = 0;
                    bool stocked = true, empty = true;
                    for (int i = 0; i < 3; i++) {
                        int64_t same = 0;
                        if (set[i] == count)
                            continue;
                        empty = false;
                        sum += sold[set[i]].size.low;
                        for (int j = 0; j < 3; j++)
                            same += set[j] == set[i];
                        stocked =
                            stocked && (sold[set[i]].stock == 0 || same <= sold[set[i]].stock);
                    }
                    int64_t one = free - sum, two = base2 - 2 * sum;
                    if (empty || !stocked || one < 0 || one > 100 * UM || two < -200 * UM ||
                        two > 400 * UM)
                        continue;
                    int64_t off = llabs(one - 50 * UM) + llabs(two - 100 * UM);
                    best = off < best ? off : best;
                    expected++;
                }
        struct calc_choices choices = calc_pick(arena, sold, count, 1, 3, limits, 2);
        cr_assert_eq(choices.count, expected, "round %d: %zu choices, %zu by brute force", round,
                     choices.count, expected);
        if (expected > 0)
            cr_assert_eq(choices.items[0].off_middle_pm, best, "round %d", round);
        arena_free(arena);
    }
}

Test(calc_pick, too_many_packs_are_bounded_and_say_so)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    struct calc_sold sold[60];
    struct calc_pick_limit limit = {{0, 0}, {-1, 1}, -1, CALC_ROUND_NEAREST};

    for (size_t i = 0; i < 60; i++)
        sold[i] = (struct calc_sold){{(int64_t)(100 + i) * UM, (int64_t)(100 + i) * UM}, 0};
    cr_expect(calc_pick(arena, sold, 60, 1, CALC_PICK_PIECES, &limit, 1).bounded);
    arena_free(arena);
}

/* Every permutation of at most six pieces, against Kuhn-Munkres. */
struct brute {
    const int64_t *costs;
    size_t places, pieces, served;
    int64_t cost;
};

static void try_place(struct brute *brute, size_t place, unsigned used, size_t served, int64_t cost)
{
    if (place == brute->places) {
        if (served > brute->served || (served == brute->served && cost < brute->cost)) {
            brute->served = served;
            brute->cost = cost;
        }
        return;
    }
    try_place(brute, place + 1, used, served, cost);
    for (size_t i = 0; i < brute->pieces; i++)
        if (!(used & 1u << i) && brute->costs[place * brute->pieces + i] >= 0)
            try_place(brute, place + 1, used | 1u << i, served + 1,
                      cost + brute->costs[place * brute->pieces + i]);
}

Test(calc_pick, loose_pieces_go_to_places_as_brute_force_would)
{
    uint64_t state = 7;

    for (int round = 0; round < 400; round++) {
        struct arena *arena = arena_new(0, NULL, NULL);
        size_t places = 1 + next_random(&state) % 5, pieces = 1 + next_random(&state) % 6,
               piece_of[8];
        int64_t costs[64], cost = 0;
        for (size_t i = 0; i < places * pieces; i++)
            costs[i] = next_random(&state) % 3 == 0 ? -1 : (int64_t)(next_random(&state) % 50) * UM;
        struct brute brute = {costs, places, pieces, 0, INT64_MAX};
        try_place(&brute, 0, 0, 0, 0);
        size_t served = calc_assign(arena, costs, places, pieces, piece_of);
        unsigned used = 0;
        for (size_t i = 0; i < places; i++) {
            if (piece_of[i] == SIZE_MAX)
                continue;
            cr_assert(!(used & 1u << piece_of[i]), "round %d: a piece is used twice", round);
            used |= 1u << piece_of[i];
            cr_assert_geq(costs[i * pieces + piece_of[i]], 0);
            cost += costs[i * pieces + piece_of[i]];
        }
        cr_assert_eq(served, brute.served, "round %d: %zu served, %zu can be", round, served,
                     brute.served);
        if (served > 0)
            cr_assert_eq(cost, brute.cost, "round %d: cost %lld, least %lld", round,
                         (long long)cost, (long long)brute.cost);
        arena_free(arena);
    }
}

Test(calc_timing_marks, hunting_teeth_come_round_after_the_least_common_multiple)
{
    cr_expect_eq(calc_turns_until_marks((int64_t[]){17, 23, 34}, 3), 46,
                 "23 by the idler, 2 by the cam");
    cr_expect_eq(calc_turns_until_marks((int64_t[]){20, 40}, 2), 2);
    cr_expect_eq(calc_turns_until_marks((int64_t[]){20}, 1), 1);
    cr_expect_eq(calc_turns_until_marks((int64_t[]){2, 999999999989, 999999999961}, 3), 0,
                 "overflow says so");
}

Test(calc_threads, constants_of_the_forms)
{
    /* H/P and depths as the standards print them: BS 84 0.640327, BS 93 0.6, BS 811 0.532692,
     * ISO 68-1 0.649519, 1.082532, 1.226869 */
    static const struct {
        enum calc_form form;
        int64_t pitch_diameter, minor, root; /* of d = 10 mm, P = 1 mm, in nm */
        double stress_mm2;
    } rows[] = {
        {CALC_FORM_ISO, 9350481, 8917468, 8773131, 64.4949}, /* d - 0.938194 P */
        {CALC_FORM_UN, 9350481, 8917468, 8773131, 63.9811}, /* D - 0.9743/n */
        {CALC_FORM_WHITWORTH, 9359673, 8719345, 8719345, 64.1770}, /* d - 0.96049 P */
        {CALC_FORM_BA, 9400000, 8800000, 8800000, 65.0388}, /* d - 0.9 P */
        {CALC_FORM_CYCLE, 9467308, 8934616, 8934616, 66.4903}, /* d - 0.79904 P */
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct calc_thread thread = calc_thread(rows[i].form, 10 * MM, MM);
        cr_expect_eq((thread.pitch_diameter_pm + 500) / 1000, rows[i].pitch_diameter,
                     "form %zu: d2 %lld", i, (long long)thread.pitch_diameter_pm);
        cr_expect_eq((thread.minor_pm + 500) / 1000, rows[i].minor, "form %zu: D1 %lld", i,
                     (long long)thread.minor_pm);
        cr_expect_eq((thread.root_pm + 500) / 1000, rows[i].root, "form %zu: d3 %lld", i,
                     (long long)thread.root_pm);
        cr_expect_float_eq(thread.stress_area_m2 * 1e6, rows[i].stress_mm2, 2e-3,
                           "form %zu: As %.5g", i, thread.stress_area_m2 * 1e6);
    }
}

Test(calc_heat, what_a_case_needs_and_when_it_lets_go)
{
    /* a 62 mm race with 0.03 mm interference in aluminium, gap 0.02 mm, a fifth lost on the way */
    double heat_c = calc_heat_to_c(20, 0.05e-3, 21.5e-6, 62e-3, 0.2);

    cr_expect_float_eq(heat_c, 20 + 0.05e-3 / (21.5e-6 * 62e-3) / 0.8, 1e-9);
    cr_expect_float_eq(calc_let_go_rise_k(0.03e-3, 62e-3, 21.5e-6, 12.5e-6), 53.76, 0.01);
    cr_expect(isinf(calc_let_go_rise_k(0.03e-3, 62e-3, 11.4e-6, 12.5e-6)), "iron never lets go");
    cr_expect_eq(calc_fit_kind((struct calc_range_pm){0, 5}), CALC_FIT_CLEARANCE);
    cr_expect_eq(calc_fit_kind((struct calc_range_pm){-5, 0}), CALC_FIT_INTERFERENCE);
    cr_expect_eq(calc_fit_kind((struct calc_range_pm){-5, 5}), CALC_FIT_TRANSITION);
    cr_expect_float_eq(calc_shear_strength_pa(800e6), 461.88e6, 0.01e6);
}

Test(calc_crank, travel_and_angle_are_each_others_inverse_over_the_stroke)
{
    for (double rod = 0.09; rod < 0.3; rod += 0.013)
        for (double angle = 0; angle <= 180; angle += 0.5) {
            double travel = calc_piston_travel_m(0.082, rod, angle);
            cr_assert_float_eq(calc_crank_angle_deg(0.082, rod, travel), angle, 2e-5,
                               "rod %g, %g deg", rod, angle);
        }
    /* a rod unknown between 1.75 and 2 strokes: 38 deg of an 82 mm stroke (study, section 7) */
    struct calc_bound bound = calc_piston_travel_bound_m(0.082, 1.75 * 0.082, 2 * 0.082, 38);
    cr_expect_float_eq(bound.low * 1e3, 10.65, 0.005);
    cr_expect_float_eq(bound.high * 1e3, 10.93, 0.005);
}
