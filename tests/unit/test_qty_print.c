/* test_qty_print.c - printing: as written, converted, rounded inward, and read back. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include <gudgeon/qty.h>

enum { ALL = QTY_TAKE_ONE | QTY_TAKE_LIMITS | QTY_TAKE_SIZE | QTY_TAKE_SIDED | QTY_TAKE_UNKNOWN };

static struct qty_value read_value(struct arena *arena, const char *text, enum qty_dim dim)
{
    struct qty_value value;
    struct qty_error error;

    cr_assert(qty_read(arena, text, dim, ALL, &value, &error), "'%s': %s", text,
              error.message == NULL ? "" : error.message);
    return value;
}

static uint64_t next_random(uint64_t *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return *state;
}

Test(qty_print, both_systems_own_unit_first_and_inward)
{
    /* the example of qty.h, then rows worked by hand */
    static const struct {
        const char *text;
        enum qty_dim dim;
        const char *prefer, *printed;
    } rows[] = {
        {"0.010..0.012 in", QTY_LENGTH, NULL, "0.010..0.012 in (0.254..0.304 mm)"},
        {"0.254..0.304 mm", QTY_LENGTH, NULL, "0.254..0.304 mm (0.0100..0.0119 in)"},
        {".6250/.6255 in", QTY_LENGTH, NULL, "0.6250..0.6255 in (15.875..15.887 mm)"},
        {"-0.001..-0.0002 in", QTY_LENGTH, NULL, "-0.001..-0.0002 in (-0.025..-0.006 mm)"},
        {"at most 4 thou", QTY_LENGTH, NULL, "at most 4 thou (0.101 mm)"},
        {"at least 0.25 mm", QTY_LENGTH, NULL, "at least 0.25 mm (0.0099 in)"},
        {"2.2500 in", QTY_LENGTH, NULL, "2.2500 in (57.150 mm)"},
        {"2.2500 in (57.15 mm)", QTY_LENGTH, NULL, "2.2500 in (57.150 mm)"},
        {"1 1/2 in", QTY_LENGTH, NULL, "1 1/2 in (38.100 mm)"},
        {"5 in", QTY_LENGTH, NULL, "5 in (127 mm)"},
        {"24 lbf ft", QTY_TORQUE, NULL, "24 lbf ft (32.5 N m)"},
        {"20..24 lbf ft", QTY_TORQUE, NULL, "20..24 lbf ft (27.2..32.5 N m)"},
        {"20..24 lbf ft", QTY_TORQUE, "N m", "27.2..32.5 N m (20..24 lbf ft)"},
        {"20..24 lbf ft", QTY_TORQUE, "lbf in", "240..288 lbf in (27.2..32.5 N m)"},
        {"0.254..0.304 mm", QTY_LENGTH, "in", "0.0100..0.0119 in (0.254..0.304 mm)"},
        {"120 degC", QTY_TEMPERATURE, NULL, "120 degC (248 degF)"},
        {"120 degC", QTY_TEMPERATURE, "degF", "248 degF (120 degC)"},
        {"90 degF", QTY_TEMPERATURE_DIFFERENCE, NULL, "90 degF (50 K)"},
        {"35 psi", QTY_STRESS, NULL, "35 psi (2.41 bar)"},
        {"20 min", QTY_TIME, NULL, "20 min"},
        {"9.80 GBP", QTY_MONEY, NULL, "9.80 GBP"},
        {"8", QTY_COUNT, NULL, "8"},
        {"50%", QTY_RATIO, NULL, "50%"},
        {"unknown", QTY_LENGTH, NULL, "unknown"},
        {"62 mm M6", QTY_LENGTH, NULL, "62 mm M6"},
        {"25.000 mm +0.009/-0.004", QTY_LENGTH, NULL,
         "25.000 mm +0.009/-0.004 (0.9841..0.9846 in)"},
        {"22 tpi", QTY_LENGTH, NULL, "22 tpi (1.155 mm)"},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct qty_value value = read_value(arena, rows[i].text, rows[i].dim);
        const struct qty_unit *prefer =
            rows[i].prefer == NULL ? NULL : qty_unit_find(rows[i].prefer, rows[i].dim);
        cr_expect_str_eq(qty_print_both(arena, &value, prefer), rows[i].printed, "'%s': %s",
                         rows[i].text, qty_print_both(arena, &value, prefer));
    }
    arena_free(arena);
}

Test(qty_print, numbers_round_exactly_and_halves_go_away_from_zero)
{
    static const struct {
        int64_t pm;
        int places;
        enum qty_round round;
        const char *mm;
    } rows[] = {
        {2500000, 2, QTY_NEAREST, "0.00"},
        {5000000, 2, QTY_NEAREST, "0.01"},
        {-5000000, 2, QTY_NEAREST, "-0.01"},
        {4999999, 2, QTY_NEAREST, "0.00"},
        {-4999999, 2, QTY_NEAREST, "0.00"},
        {1, 3, QTY_UP, "0.001"},
        {-1, 3, QTY_UP, "0.000"},
        {1, 3, QTY_DOWN, "0.000"},
        {-1, 3, QTY_DOWN, "-0.001"},
        {1000000000, 3, QTY_UP, "1.000"},
        {1000000000, 3, QTY_DOWN, "1.000"},
        {25400000000, 0, QTY_NEAREST, "25"},
        {25500000000, 0, QTY_NEAREST, "26"},
        {-25500000000, 0, QTY_NEAREST, "-26"},
        {0, 3, QTY_NEAREST, "0.000"},
    };
    struct arena *arena = arena_new(0, NULL, NULL);
    const struct qty_unit *mm = qty_unit_find("mm", QTY_LENGTH);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        cr_expect_str_eq(
            qty_print_number(arena, qty_from_pm(rows[i].pm), mm, rows[i].places, rows[i].round),
            rows[i].mm, "%lld pm to %d: %s", (long long)rows[i].pm, rows[i].places,
            qty_print_number(arena, qty_from_pm(rows[i].pm), mm, rows[i].places, rows[i].round));
    arena_free(arena);
}

Test(qty_print, limits_in_any_unit_lie_inside_the_limits)
{
    static const struct {
        enum qty_dim dim;
        const char *unit;
    } units[] = {
        {QTY_LENGTH, "mm"},     {QTY_LENGTH, "in"},        {QTY_LENGTH, "thou"},
        {QTY_LENGTH, "um"},     {QTY_TORQUE, "N m"},       {QTY_TORQUE, "lbf ft"},
        {QTY_TORQUE, "lbf in"}, {QTY_TORQUE, "kgf m"},     {QTY_STRESS, "bar"},
        {QTY_STRESS, "psi"},    {QTY_TEMPERATURE, "degF"}, {QTY_MASS, "oz"},
    };
    struct arena *arena = arena_new(0, NULL, NULL);
    uint64_t state = 88172645463325252u;

    for (int round = 0; round < 4000; round++) {
        size_t i = next_random(&state) % (sizeof units / sizeof *units);
        const struct qty_unit *unit = qty_unit_find(units[i].unit, units[i].dim);
        double low = (double)(next_random(&state) % 2000000) * 1e-6 * unit->factor * 40;
        double wide = (double)(next_random(&state) % 1000 + 1) * 1e-4 * unit->factor;
        struct qty_value value = {.kind = QTY_LIMITS,
                                  .low = qty_from_si(low + unit->offset, units[i].dim),
                                  .high = qty_from_si(low + wide + unit->offset, units[i].dim)};
        char *text = qty_print_value(arena, &value, unit, qty_places(unit));
        struct qty_value back = read_value(arena, text, units[i].dim);
        cr_assert_leq(qty_compare(value.low, back.low), 0, "'%s' begins before %.12g", text,
                      value.low.si);
        cr_assert_geq(qty_compare(value.high, back.high), 0, "'%s' ends after %.12g", text,
                      value.high.si);
    }
    arena_free(arena);
}

Test(qty_print, what_is_printed_reads_back_as_the_same_value)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    uint64_t state = 1234567;
    const struct qty_unit *unit;
    int checked = 0;

    for (size_t i = 0; (unit = qty_unit_at(i)) != NULL; i++)
        for (int round = 0; round < 20; round++) {
            int places = unit->dim == QTY_MONEY ? qty_places(unit) : (int)(next_random(&state) % 4);
            double amount = (double)(next_random(&state) % 100000) / 100 + 1;
            struct qty qty = qty_from_si(unit->inverse ? unit->factor / amount
                                                       : amount * unit->factor + unit->offset,
                                         unit->dim);
            char *text = qty_print(arena, qty, unit, places, QTY_NEAREST);
            struct qty_value back = read_value(arena, text, unit->dim);
            char *again = qty_print(arena, back.nominal, unit, places, QTY_NEAREST);
            cr_expect_str_eq(text, again, "'%s' came back as '%s'", text, again);
            cr_expect_eq(back.nominal.unit, unit, "'%s' came back in %s", text,
                         back.nominal.unit->name);
            checked++;
        }
    cr_expect_gt(checked, 4000);
    arena_free(arena);
}

Test(qty_print, every_value_as_a_card_prints_it_reads_back)
{
    static const struct {
        const char *text;
        enum qty_dim dim;
    } rows[] = {
        {"1-1/2\"", QTY_LENGTH},
        {"5 ft 3 in", QTY_LENGTH},
        {"0.010..0.015 in", QTY_LENGTH},
        {".815/.814 in", QTY_LENGTH},
        {"1.250 in ±0.0005", QTY_LENGTH},
        {"at most 4 thou", QTY_LENGTH},
        {"25 ft-lbs", QTY_TORQUE},
        {"3.5 kg m", QTY_TORQUE},
        {"2 lb 3 1/4 oz", QTY_MASS},
        {"200 °C", QTY_TEMPERATURE},
        {"1/6 turn", QTY_ANGLE},
        {"1 1/2..1 3/4 in", QTY_LENGTH},
        {"2 lb 3 oz..2 lb 4 oz", QTY_MASS},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct qty_value value = read_value(arena, rows[i].text, rows[i].dim);
        char *text = qty_print_both(arena, &value, NULL);
        char *bracket = strchr(text, '(');
        if (bracket != NULL)
            *bracket = '\0';
        struct qty_value back = read_value(arena, text, rows[i].dim);
        cr_expect_eq(back.kind, value.kind, "'%s' -> '%s'", rows[i].text, text);
        if (value.kind != QTY_AT_MOST)
            cr_expect_eq(qty_compare(back.low, value.low), 0, "'%s' -> '%s'", rows[i].text, text);
        cr_expect_eq(qty_compare(back.high, value.high), 0, "'%s' -> '%s'", rows[i].text, text);
    }
    arena_free(arena);
}

Test(qty_print, a_limit_includes_its_ends)
{
    struct qty torque = qty_from_si(24 * 1.3558179483314004, QTY_TORQUE);

    cr_expect_eq(qty_compare(torque, qty_from_si(torque.si * (1 + 5e-10), QTY_TORQUE)), 0);
    cr_expect_lt(qty_compare(torque, qty_from_si(torque.si * (1 + 5e-9), QTY_TORQUE)), 0);
    cr_expect_lt(qty_compare(qty_from_pm(1), qty_from_pm(2)), 0, "a picometre counts");
    cr_expect_eq(qty_compare(qty_from_pm(7), qty_from_pm(7)), 0);
    cr_expect_eq(qty_pm_from_mm(57.15), 57150000000);
}

Test(qty_print, fractions_of_an_inch_are_the_nearest_and_leave_a_rest)
{
    static const struct {
        int64_t pm;
        int denominator;
        const char *text;
        int64_t rest_pm;
    } rows[] = {
        {38100000000, 64, "1 1/2 in", 0},
        {38893750000, 64, "1 17/32 in", 0},
        {12700000000, 16, "1/2 in", 0},
        {25400000000, 64, "1 in", 0},
        {0, 64, "0 in", 0},
        {-12700000000, 64, "-1/2 in", 0},
        {10000000000, 64, "25/64 in", 78125000},
        {9525000001, 64, "3/8 in", 1},
        {198437500, 128, "1/128 in", 0},
        {198437499, 64, "0 in", 198437499},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        int64_t rest;
        char *text = qty_print_fraction(arena, rows[i].pm, rows[i].denominator, &rest);
        cr_expect_str_eq(text, rows[i].text, "%lld pm: %s", (long long)rows[i].pm, text);
        cr_expect_eq(rest, rows[i].rest_pm, "%lld pm: rest %lld", (long long)rows[i].pm,
                     (long long)rest);
    }
    arena_free(arena);
}

Test(qty_print, exact_millimetres_have_no_needless_digits)
{
    struct arena *arena = arena_new(0, NULL, NULL);

    cr_expect_str_eq(qty_exact_mm(arena, 57150000000), "57.15");
    cr_expect_str_eq(qty_exact_mm(arena, 62000000000), "62");
    cr_expect_str_eq(qty_exact_mm(arena, -1), "-0.000000001");
    cr_expect_str_eq(qty_exact_mm(arena, 0), "0");
    cr_expect_str_eq(qty_exact_mm(arena, 25400), "0.0000254");
    arena_free(arena);
}

Test(qty_print, other_units_come_back_and_belong_to_the_same_dimension)
{
    const struct qty_unit *unit;

    for (size_t i = 0; (unit = qty_unit_at(i)) != NULL; i++) {
        const struct qty_unit *other = qty_unit_other(unit);
        cr_expect_eq(qty_unit_find(unit->name, unit->dim), unit, "%s is found by its own name",
                     unit->name);
        cr_expect_not_null(unit->definition, "%s", unit->name);
        if (other != NULL)
            cr_expect_eq(other->dim, unit->dim, "%s", unit->name);
    }
    cr_expect_null(qty_unit_find("wibble", QTY_NONE));
    cr_expect_null(qty_unit_find("kg", QTY_LENGTH));
    cr_expect_null(qty_unit_find("", QTY_NONE));
    cr_expect_str_eq(qty_unit_find("foot-pounds", QTY_TORQUE)->name, "lbf ft");
    cr_expect_str_eq(qty_unit_other(qty_unit_find("lbf ft", QTY_TORQUE))->name, "N m");
    cr_expect_str_eq(qty_unit_other(qty_unit_find("in", QTY_LENGTH))->name, "mm");
}
