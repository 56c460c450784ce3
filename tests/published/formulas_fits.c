/* formulas_fits.c - published rows of fits, heat and bearings.
 *
 * The source of each value stands in its row. Rows that only state a rule in words, or a figure to be
 * looked up, are not formulas and are left to the tables' own test; how many ran is printed, and may
 * only grow. */
#include "published.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gudgeon/calc.h>

/* --- fits and heat --- */

static bool run_lame(const struct check_row *row)
{
    bool short_form = check_says(row, "solid shaft d=");
    struct calc_press press = {.hub_poisson = 0.3, .shaft_poisson = 0.3};

    if (!short_form && !check_has(row, "d"))
        return false;
    press.diameter_m = check_given(row, "d=") * 1e-3;
    double mu = check_after(row->input, "mu="), length_m = check_after(row->input, "L=") * 1e-3;
    if (short_form || !check_has(row, "Eo")) {
        double modulus = isnan(check_after(row->input, "E=")) ? 208000 : check_given(row, "E=");
        press.hub_modulus_pa = press.shaft_modulus_pa = modulus * 1e6;
        press.hub_outside_m =
            (check_has(row, "Do") ? check_given(row, "Do=") : check_given(row, "Di=")) * 1e-3;
        press.interference_m =
            (short_form ? check_given(row, "delta=") : check_given(row, "interference=")) * 1e-3;
    } else {
        press.hub_outside_m = check_given(row, "Do=") * 1e-3;
        press.shaft_bore_m = check_given(row, "di=") * 1e-3;
        press.hub_modulus_pa = check_given(row, "Eo=") * 1e6;
        press.hub_poisson = check_given(row, "nuo=");
        press.shaft_modulus_pa = check_given(row, "Ei=") * 1e6;
        press.shaft_poisson = check_given(row, "nui=");
        press.interference_m = check_given(row, "delta=") * 1e-3;
    }
    struct calc_pressed pressed = calc_press(&press);
    check_expect(row, "p=", pressed.pressure_pa * 1e-6);
    double force = calc_press_force_n(pressed.pressure_pa, press.diameter_m, length_m, mu);
    if (!isnan(check_after(row->expected, "hub_hoop=")))
        check_expect(row, "hub_hoop=", pressed.hub_hoop_pa * 1e-6);
    if (!isnan(check_after(row->expected, "inner_hoop_at_fit=")))
        check_expect(row, "inner_hoop_at_fit=", pressed.shaft_hoop_pa * 1e-6);
    if (!isnan(check_after(row->expected, "F=")))
        check_expect(row, "F=", force);
    if (!isnan(check_after(row->expected, "T=")))
        check_expect(row, "T=", force * press.diameter_m / 2);
    if (!isnan(check_after(row->expected, "growth=")))
        check_expect(row, "growth=", pressed.hub_growth_m * 1e3);
    return true;
}

static bool run_thermal(const struct check_row *row)
{
    if (check_has(row, "alpha")) {
        double open_m = (check_value(row, "interference") + check_value(row, "clearance")) * 1e-3;
        double rise =
            calc_heat_rise_k(open_m, check_value(row, "alpha"), check_value(row, "d") * 1e-3);
        check_expect(row, "", rise);
        cr_expect_float_eq(calc_heat_to_c(20, open_m, check_value(row, "alpha"),
                                          check_value(row, "d") * 1e-3, 0.2),
                           20 + rise / 0.8, 1e-9);
        return true;
    }
    if (check_has(row, "cold_interference")) {
        int64_t clearance =
            calc_hot_clearance_pm(-qty_pm_from_mm(check_value(row, "cold_interference")),
                                  check_value(row, "d") * 1e-3, check_value(row, "alpha_outer"),
                                  check_value(row, "alpha_inner"), check_value(row, "rise"));
        check_expect(row, "", -(double)clearance * 1e-9);
        return true;
    }
    if (check_says(row, "um/mm rule lost")) {
        double rule = check_says(row, "1.5 um/mm")
                          ? 1.5e-3
                          : 1.0e-3; /* interference for each metre of diameter */
        check_expect(row, "",
                     calc_let_go_rise_k(rule, 1, check_value(row, "alpha_outer"),
                                        check_value(row, "alpha_inner")));
        return true;
    }
    return false;
}

static bool run_press_rule(const struct check_row *row)
{
    if (!check_has(row, "apparent"))
        return false;
    check_expect(row, "",
                 1e3 * calc_effective_interference_m(check_given(row, "apparent=") * 1e-3,
                                                     check_given(row, "Rz_shaft=") * 1e-6,
                                                     check_given(row, "Rz_hub=") * 1e-6));
    return true;
}

static bool run_iso_formula(const struct check_row *row)
{
    if (check_has(row, "size"))
        return false; /* tabled */
    if (check_says(row, "incl=3;D") && !check_says(row, "sqrt"))
        return false;
    int grade = check_says(row, "IT01")   ? -1
                : check_says(row, "IT0;") ? 0
                : check_says(row, "IT1;") ? 1
                                          : 6;
    double um =
        calc_iso_tolerance_m(check_given(row, "over=") * 1e-3, check_given(row, "incl=") * 1e-3, grade) *
        1e6;
    check_expect(row, "", grade == 6 ? um / 10 : um); /* IT6 = 10 i */
    return true;
}

/* "name=a/b": the two limits. */
static struct calc_range_pm limits_pm(const struct check_row *row, const char *name, double unit_mm)
{
    char text[64], *end;
    const char *part = check_part(row->input, name);

    cr_assert_not_null(part, "%s: no %s", row->id, name);
    snprintf(text, sizeof text, "%s", part);
    double low = strtod(text, &end), high = *end == '/' ? strtod(end + 1, NULL) : low;
    return (struct calc_range_pm){qty_pm_from_mm(low * unit_mm), qty_pm_from_mm(high * unit_mm)};
}

static bool run_fit_arithmetic(const struct check_row *row)
{
    bool bearing = check_has(row, "bearing");
    struct calc_range_pm shaft = limits_pm(row, bearing ? "cam journal" : "guide", 1);
    struct calc_range_pm hole = limits_pm(row, bearing ? "bearing" : "hole", 1);
    struct calc_range_pm clearance = calc_clearance_pm(hole, shaft);

    if (!bearing) /* interference is asked for */
        clearance = (struct calc_range_pm){-clearance.high, -clearance.low};
    cr_expect_eq(calc_fit_kind(calc_clearance_pm(hole, shaft)),
                 bearing ? CALC_FIT_CLEARANCE : CALC_FIT_INTERFERENCE, "%s", row->id);
    check_expect(row, "min=", (double)clearance.low * 1e-9);
    check_expect(row, "max=", (double)clearance.high * 1e-9);
    return true;
}

/* Rows of the fits of one old single: "spindle=.623/.6235;bush=.6245/.6255", in inches. */
static bool run_clearance_from_sizes(const struct check_row *row)
{
    static const char *const shafts[] = {"gudgeon pin", "cam spindle", "idler spindle",
                                         "pinion",      "stem",        "tappet"};
    static const char *const holes[] = {"bush", "outrigger bush", "guide", "inlet guide",
                                        "exhaust guide"};
    char input[256];
    struct check_row renamed = *row;
    const char *shaft = NULL, *hole = NULL;

    if (strstr(row->unit, "from sizes") == NULL && strcmp(row->how, "computed") != 0)
        return false;
    const char *name = strstr(row->input, "WM20 ");
    if (name == NULL)
        return false;
    snprintf(input, sizeof input, "%s", name + 5);
    renamed.input = input;
    for (size_t i = 0; i < sizeof shafts / sizeof *shafts; i++)
        if (check_has(&renamed, shafts[i]))
            shaft = shafts[i];
    for (size_t i = 0; i < sizeof holes / sizeof *holes; i++)
        if (check_has(&renamed, holes[i]))
            hole = holes[i];
    if (shaft == NULL || hole == NULL)
        return false;
    struct calc_range_pm clearance =
        calc_clearance_pm(limits_pm(&renamed, hole, 25.4), limits_pm(&renamed, shaft, 25.4));
    check_expect(row, "min=", (double)clearance.low / 25.4e9);
    check_expect(row, "max=", (double)clearance.high / 25.4e9);
    return true;
}

static bool run_ring_gap(const struct check_row *row)
{
    double bore = check_after(row->input, "bore="), change = check_after(row->input, "change=");

    if (strcmp(row->tolerance, "n/a") == 0)
        return false;
    if (!isnan(change)) {
        check_expect(row, "",
                     (double)calc_ring_gap_change_pm(qty_pm_from_mm(change * 25.4)) / 25.4e9);
        return true;
    }
    double rule = check_says(row, "factor=")     ? check_given(row, "factor=")
                  : check_says(row, "0.008/in")  ? 0.008
                  : check_says(row, "0.0035/in") ? 0.0035
                                                 : NAN;
    if (isnan(bore) || isnan(rule))
        return false;
    check_expect(row, "", (double)calc_proportion_pm(qty_pm_from_mm(bore * 25.4), rule) / 25.4e9);
    return true;
}

static bool run_wear_rule(const struct check_row *row)
{
    /* TM 10-3930-647-14&P: per inch of bore or diameter */
    static const struct {
        const char *words, *size;
        double per_unit;
    } rules[] = {
        {"sleeve bore wear limit", "bore=", 0.001},
        {"journal out-of-round limit", "d=", 0.0004},
        {"rod clearance wear limit", "d=", 0.0005},
        {"cam journal min", "d=", -0.0005},
    };

    if (strcmp(row->how, "computed") != 0)
        return false;
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++)
        if (check_says(row, rules[i].words)) {
            double from = isnan(check_after(row->input, "high limit="))
                              ? check_after(row->input, "low limit=")
                              : check_after(row->input, "high limit=");
            double wear =
                (double)calc_proportion_pm(qty_pm_from_mm(check_given(row, rules[i].size) * 25.4),
                                           rules[i].per_unit) /
                25.4e9;
            check_expect(row, "", isnan(from) ? wear : from + wear);
            return true;
        }
    return false;
}

/* --- bearings --- */

static bool run_clearance_loss(const struct check_row *row)
{
    struct calc_press press = {.hub_poisson = 0.3,
                               .shaft_poisson = 0.3,
                               .hub_modulus_pa = 207e9,
                               .shaft_modulus_pa = 207e9,
                               .interference_m = 1e-5};

    if (check_says(row, "effective interference;")) {
        check_expect(row, "",
                     1e6 * calc_seat_interference_m(check_given(row, "apparent=") * 1e-6,
                                                    check_given(row, "d=") * 1e-3,
                                                    check_says(row, "ground")));
        return true;
    }
    if (check_says(row, "catalogue-1 thermal")) {
        check_expect(row, "",
                     1e6 * calc_running_loss_m(
                               check_given(row, "d=") * 1e-3, check_given(row, "D=") * 1e-3,
                               check_says(row, "type=roller"), 12.5e-6, check_given(row, "dt=")));
        return true;
    }
    if (check_says(
            row, "bearing maker thermal")) { /* 0.012 um for each mm of mean diameter and kelvin */
        check_expect(row, "",
                     1e6 * calc_thermal_growth_m((check_given(row, "d=") + check_given(row, "D=")) / 2e3,
                                                 12e-6, check_given(row, "dT=")));
        return true;
    }
    if (check_says(row, "loss=0.8 of interference")) {
        struct calc_range_pm fitted = calc_mounted_clearance_pm(
            (struct calc_range_pm){13000000, 28000000}, 0.8,
            (struct calc_range_pm){2000000, 25000000}, 0.6, (struct calc_range_pm){-30000000, 0});
        cr_assert(check_says(row, "C3 13..28") && check_says(row, "-25..-2"));
        check_expect(row, "min=", (double)fitted.low * 1e-6);
        check_expect(row, "max=", (double)fitted.high * 1e-6);
        return true;
    }
    if (check_says(row, "outer ring D=")) {
        press.diameter_m = check_given(row, "outer ring D=") * 1e-3;
        press.shaft_bore_m = check_given(row, "raceway=") * 1e-3;
        press.hub_outside_m = check_given(row, "housing OD=") * 1e-3;
        press.hub_modulus_pa = check_given(row, "E=") * 1e6;
        press.hub_poisson = check_given(row, "nu=");
        press.shaft_modulus_pa = 208e9; /* the ring: bearing steel */
        check_expect(row, "", calc_press(&press).bore_closure_m / press.interference_m);
        return true;
    }
    if (check_says(row, "inner ring d=")) {
        press.diameter_m = check_given(row, "inner ring d=") * 1e-3;
        press.hub_outside_m = check_given(row, "raceway=") * 1e-3;
        press.shaft_bore_m = check_given(row, "shaft bore=") * 1e-3;
        check_expect(row, "", calc_press(&press).hub_growth_m / press.interference_m);
        return true;
    }
    return false;
}

static bool run_life(const struct check_row *row)
{
    if (check_has(row, "C") && check_has(row, "P") && check_has(row, "p")) {
        bool roller = check_value(row, "p") != 3;
        double life = calc_life_million(check_value(row, "C"), check_value(row, "P"), roller);
        check_expect(row, "L10=", life);
        check_expect(row, "L10h=", calc_life_h(life, check_value(row, "n")));
        return true;
    }
    if (check_says(row, "ball pair;C=") || check_says(row, "C/P=")) {
        bool roller = check_says(row, "roller");
        double ratio = check_says(row, "C/P=") ? check_given(row, "C/P=")
                                               : check_given(row, "C=") / check_given(row, "P=");
        double factor = isnan(check_after(row->input, "a_life=")) ? 1 : check_given(row, "a_life=");
        check_expect(row, "",
                     factor *
                         calc_life_h(calc_life_million(ratio, 1, roller), check_given(row, "n=")));
        return true;
    }
    return false;
}

static bool run_roller(const struct check_row *row)
{
    if (!check_has(row, "race"))
        return false;
    bool inches = check_has(row, "min_clearance");
    double mm = inches ? 25.4 : 1;
    int64_t size = calc_roller_pm(
        qty_pm_from_mm(check_value(row, "race") * mm), qty_pm_from_mm(check_value(row, "pin") * mm),
        qty_pm_from_mm(check_value(row, inches ? "min_clearance" : "clearance") * mm));
    check_expect(row, inches ? "roller=" : "", (double)size * 1e-9 / mm);
    return true;
}

const struct check_topic published_formulas_fits[] = {
    {"fits-and-engine.csv", "lame-fit", run_lame, 15},
    {"fits-and-engine.csv", "thermal-fit", run_thermal, 20},
    {"fits-and-engine.csv", "press-fit-rule", run_press_rule, 2},
    {"fits-and-engine.csv", "iso286-formula", run_iso_formula, 22},
    {"fits-and-engine.csv", "fit-arithmetic", run_fit_arithmetic, 4},
    {"fits-and-engine.csv", "plain-bearing", run_clearance_from_sizes, 4},
    {"fits-and-engine.csv", "valve-gear", run_clearance_from_sizes, 3},
    {"fits-and-engine.csv", "ring-gap-rule", run_ring_gap, 12},
    {"fits-and-engine.csv", "wear-rule", run_wear_rule, 4},
    {"fits-and-engine.csv", "bearing-clearance-loss", run_clearance_loss, 25},
    {"fits-and-engine.csv", "bearing-life", run_life, 5},
    {"fits-and-engine.csv", "bearing-roller", run_roller, 3},
    {NULL, NULL, NULL, 0},
};
