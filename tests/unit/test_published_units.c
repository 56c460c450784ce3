/* test_published_units.c - every unit factor against GNU units and UDUNITS.
 *
 * tests/published/units.csv says how each of the two programs calls the unit. GNU units prints 15
 * figures, UDUNITS 6; the tolerances are theirs. Units that neither knows are printed with their
 * published definition. A missing program, or a unit without a row, fails. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gudgeon/qty.h>

#ifndef TESTS_FOLDER
#define TESTS_FOLDER "tests"
#endif

struct row {
    char unit[32], dimension[40], gnu[64], udunits[64];
};
static struct row rows[256];
static size_t row_count;

static void load_rows(void)
{
    FILE *file = fopen(TESTS_FOLDER "/published/units.csv", "r");
    char line[256];

    cr_assert_not_null(file, "tests/published/units.csv is not there");
    while (fgets(line, sizeof line, file) != NULL && row_count < 256) {
        struct row *row = &rows[row_count];
        char *cells[4], *at = line;
        if (*line == '#' || strncmp(line, "unit,", 5) == 0)
            continue;
        line[strcspn(line, "\n")] = '\0';
        for (int i = 0; i < 4; i++) {
            cells[i] = at;
            at += strcspn(at, ",");
            if (*at == ',')
                *at++ = '\0';
        }
        snprintf(row->unit, sizeof row->unit, "%s", cells[0]);
        snprintf(row->dimension, sizeof row->dimension, "%s", cells[1]);
        snprintf(row->gnu, sizeof row->gnu, "%s", cells[2]);
        snprintf(row->udunits, sizeof row->udunits, "%s", cells[3]);
        row_count++;
    }
    fclose(file);
}

static const struct row *row_of(const struct qty_unit *unit)
{
    for (size_t i = 0; i < row_count; i++)
        if (strcmp(rows[i].unit, unit->name) == 0 &&
            strcmp(rows[i].dimension, qty_dim_name(unit->dim)) == 0)
            return &rows[i];
    return NULL;
}

/* The SI unit beside each dimension in qty.h, as the two programs call it. */
static const struct {
    const char *gnu, *udunits;
} targets[QTY_DIM_COUNT] = {
    [QTY_LENGTH] = {"m", "m"},
    [QTY_MASS] = {"kg", "kg"},
    [QTY_FORCE] = {"N", "N"},
    [QTY_TORQUE] = {"N m", "N.m"},
    [QTY_STRESS] = {"Pa", "Pa"},
    [QTY_TEMPERATURE] = {"tempC", "degC"},
    [QTY_TEMPERATURE_DIFFERENCE] = {"K", "K"},
    [QTY_TIME] = {"s", "s"},
    [QTY_ANGLE] = {"degree", "degree"},
    [QTY_AREA] = {"m^2", "m2"},
    [QTY_VOLUME] = {"m^3", "m3"},
    [QTY_SPEED] = {"turn/minute", "turn/min"},
    [QTY_RATIO] = {"1", "1"},
    [QTY_DENSITY] = {"kg/m^3", "kg.m-3"},
    [QTY_STIFFNESS] = {"N/m", "N.m-1"},
    [QTY_EXPANSION] = {"1/K", "K-1"},
    [QTY_MASS_LENGTH] = {"kg m", "kg.m"},
};

static bool ask(const char *command, char *answer, size_t room)
{
    FILE *pipe = popen(command, "r");
    size_t length;

    if (pipe == NULL)
        return false;
    length = fread(answer, 1, room - 1, pipe);
    answer[length] = '\0';
    return pclose(pipe) == 0 && length > 0;
}

/* `amount` of the unit in SI, by GNU units. */
static double by_gnu(const char *name, const char *target, double amount)
{
    char command[256], answer[256] = "";
    bool function = strncmp(name, "temp", 4) == 0; /* tempF(50) */

    if (function)
        snprintf(command, sizeof command, "units -t -d 15 '%s(%.0f)' '%s' 2>&1", name, amount,
                 target);
    else
        snprintf(command, sizeof command, "units -t -d 15 '%.0f %s' '%s' 2>&1", amount, name,
                 target);
    cr_expect(ask(command, answer, sizeof answer), "%s: %s", command, answer);
    return strtod(answer, NULL);
}

static double by_udunits(const char *name, const char *target)
{
    char command[256], answer[512] = "";

    snprintf(command, sizeof command, "udunits2 -H '%s' -W '%s' 2>&1", name, target);
    cr_expect(ask(command, answer, sizeof answer), "%s: %s", command, answer);
    const char *equals = strchr(answer, '=');
    cr_expect_not_null(equals, "%s: %s", command, answer);
    return equals == NULL ? NAN : strtod(equals + 1, NULL);
}

static double ours(const struct qty_unit *unit, double amount)
{
    return amount * unit->factor + unit->offset;
}

Test(published_units, every_factor_agrees_with_gnu_units_and_udunits)
{
    const struct qty_unit *unit;
    int gnu = 0, udunits = 0, neither = 0;

    load_rows();
    cr_assert_eq(system("command -v units >/dev/null && command -v udunits2 >/dev/null"), 0,
                 "GNU units and UDUNITS must be installed");
    for (size_t i = 0; (unit = qty_unit_at(i)) != NULL && unit->dim != QTY_MONEY; i++) {
        const struct row *row = row_of(unit);
        cr_assert_not_null(row, "%s (%s) has no row in units.csv", unit->name,
                           qty_dim_name(unit->dim));
        for (int amount = 1; amount <= 50 && *row->gnu != '\0'; amount += 49) {
            double theirs = by_gnu(row->gnu, targets[unit->dim].gnu, amount),
                   mine = ours(unit, amount);
            cr_expect(fabs(theirs - mine) <= 2e-14 * fabs(mine) + 1e-14 * fabs(unit->offset),
                      "%d %s: GNU units %.15g, ours %.17g", amount, unit->name, theirs, mine);
            gnu++;
        }
        if (*row->udunits != '\0') {
            double theirs = by_udunits(row->udunits, targets[unit->dim].udunits),
                   mine = ours(unit, 1);
            cr_expect(fabs(theirs - mine) <= 5.1e-6 * fabs(mine), "%s: UDUNITS %.7g, ours %.17g",
                      unit->name, theirs, mine);
            udunits++;
        }
        if (*row->gnu == '\0' && *row->udunits == '\0') {
            fprintf(stderr, "known to neither program: %s, by definition %s\n", unit->name,
                    unit->definition);
            neither++;
        }
        if (unit->dim == QTY_LENGTH)
            cr_expect_eq((double)unit->factor_exact, nearbyint(unit->factor * 1e12), "%s",
                         unit->name);
    }
    fprintf(stderr, "unit factors: %d by GNU units, %d by UDUNITS, %d by neither\n", gnu, udunits,
            neither);
    cr_expect_gt(gnu, 150);
    cr_expect_gt(udunits, 80);
    cr_expect_eq(neither, 1, "tpi alone");
}

Test(published_units, tpi_is_the_inverse_of_a_pitch)
{
    /* ASME B1.7, ISO 5864: P = 25.4 mm / n */
    const struct qty_unit *tpi = qty_unit_find("tpi", QTY_LENGTH);

    cr_assert_not_null(tpi);
    cr_expect(tpi->inverse);
    cr_expect_eq(tpi->factor_exact, 25400000000);
}

Test(published_units, minor_units_of_currencies)
{
    /* ISO 4217, from memory: a sample of each number of digits */
    static const struct {
        const char *code;
        int64_t minor;
    } codes[] = {
        {"GBP", 100},  {"EUR", 100},  {"USD", 100},  {"CHF", 100},  {"PLN", 100}, {"SEK", 100},
        {"AUD", 100},  {"JPY", 1},    {"KRW", 1},    {"ISK", 1},    {"CLP", 1},   {"VND", 1},
        {"KWD", 1000}, {"BHD", 1000}, {"JOD", 1000}, {"TND", 1000},
    };

    for (size_t i = 0; i < sizeof codes / sizeof *codes; i++) {
        const struct qty_unit *unit = qty_unit_find(codes[i].code, QTY_MONEY);
        cr_assert_not_null(unit, "%s", codes[i].code);
        cr_expect_eq(unit->factor_exact, codes[i].minor, "%s", codes[i].code);
    }
}
