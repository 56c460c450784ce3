/* formulas.c - published rows of threads, tightening and units that a formula gives.
 *
 * The source of each value stands in its row. Rows that only state a rule in words, or a figure to be
 * looked up, are not formulas and are left to the tables' binders. */
#include "published.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gudgeon/calc.h>

/* --- threads --- */

struct designation {
    enum calc_form form;
    int64_t major_pm, pitch_pm;
};

/* "1-1/8", "7/8", "#10" or "M10" in picometres. */
static int64_t size_pm(const char *text)
{
    int whole = 0, above = 0, below = 1;

    if (*text == 'M' && text[1] != '\0')
        return qty_pm_from_mm(strtod(text + 1, NULL));
    if (*text == '#')
        return (int64_t)llround((0.060 + 0.013 * strtod(text + 1, NULL)) * 25.4e9);
    if (sscanf(text, "%d-%d/%d", &whole, &above, &below) == 3 ||
        sscanf(text, "%d %d/%d", &whole, &above, &below) == 3)
        return INT64_C(25400000000) * whole + INT64_C(25400000000) * above / below;
    if (sscanf(text, "%d/%d", &above, &below) == 2)
        return INT64_C(25400000000) * above / below;
    return (int64_t)llround(strtod(text, NULL) * 25.4e9);
}

static double iso_coarse_mm(double major_mm)
{
    /* ISO 261 coarse series */
    static const double rows[][2] = {
        {4, 0.7},  {5, 0.8},  {6, 1},    {8, 1.25}, {10, 1.5}, {12, 1.75}, {14, 2},   {16, 2},
        {18, 2.5}, {20, 2.5}, {22, 2.5}, {24, 3},   {27, 3},   {30, 3.5},  {33, 3.5}, {36, 4}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (rows[i][0] == major_mm)
            return rows[i][1];
    return 0;
}

static bool designation(const struct check_row *row, struct designation *out)
{
    const char *text = check_part(row->input, "thread");

    if (text == NULL)
        return false;
    if (*text == 'M') {
        const char *times = strchr(text, 'x');
        out->form = CALC_FORM_ISO;
        out->major_pm = size_pm(text);
        out->pitch_pm = qty_pm_from_mm(times != NULL ? strtod(times + 1, NULL)
                                                     : iso_coarse_mm(strtod(text + 1, NULL)));
        return out->pitch_pm > 0;
    }
    out->form = strstr(text, "BSW") != NULL || strstr(text, "BSF") != NULL ? CALC_FORM_WHITWORTH
                : strstr(text, "Cycle") != NULL                            ? CALC_FORM_CYCLE
                                                                           : CALC_FORM_UN;
    char size[32];
    snprintf(size, sizeof size, "%s", text);
    double tpi = check_has(row, "tpi") ? check_value(row, "tpi") : 0;
    if (tpi == 0) { /* 1/4-28 UNF: the threads an inch follow the last hyphen */
        char *dash = strrchr(size, '-');
        if (dash == NULL)
            return false;
        *dash = '\0';
        tpi = strtod(dash + 1, NULL);
    }
    if (tpi <= 0)
        return false;
    out->major_pm = size_pm(size);
    out->pitch_pm = (int64_t)llround(25.4e9 / tpi);
    return true;
}

static double in_unit(double m, const char *unit)
{
    return strcmp(unit, "in") == 0    ? m / 0.0254
           : strcmp(unit, "in2") == 0 ? m / (0.0254 * 0.0254)
           : strcmp(unit, "mm2") == 0 ? m * 1e6
                                      : m * 1e3;
}

/* The geometry of a row whose quantity is one; false when it is a table's own column. */
static bool run_thread(const struct check_row *row)
{
    static const struct {
        const char *quantity;
        char what;
    } quantities[] = {
        {"basic minor diameter internal", 'D'},
        {"basic pitch diameter", '2'},
        {"pitch diameter", '2'},
        {"effective (pitch) diameter", '2'},
        {"effective diameter", '2'},
        {"minor diameter external d3 (rounded root)", '3'},
        {"d3", '3'},
        {"minor diameter external, rounded root D-17H/12 (=D-1.22687P)", '3'},
        {"core (minor) diameter", 'D'},
        {"core diameter D-1.0654P", 'D'},
        {"core diameter (second source)", 'D'},
        {"tensile stress area", 'A'},
        {"nominal stress area As,nom", 'A'},
        {"stress area, convention mean of effective and core", 'A'},
        {"core area", 'R'},
    };
    const char *quantity = check_part(row->input, "quantity");
    struct designation d;
    char what = 0;

    for (size_t i = 0; quantity != NULL && i < sizeof quantities / sizeof *quantities; i++)
        if (strcmp(quantity, quantities[i].quantity) == 0)
            what = quantities[i].what;
    if (what == 0 || !designation(row, &d))
        return false;
    struct calc_thread thread = calc_thread(d.form, d.major_pm, d.pitch_pm);
    double m = what == 'D'   ? (double)thread.minor_pm * 1e-12
               : what == '2' ? (double)thread.pitch_diameter_pm * 1e-12
               : what == '3' ? (double)thread.root_pm * 1e-12
               : what == 'A' ? thread.stress_area_m2
                             : thread.root_area_m2;
    check_expect(row, "", in_unit(m, row->unit));
    return true;
}

/* --- tightening --- */

static bool run_torque_formula(const struct check_row *row)
{
    const char *quantity = check_part(row->input, "quantity");

    if (check_says(row, "exact coefficients")) {
        struct calc_bolt bolt = {.pitch_m = check_given(row, "P=") * 1e-3,
                                 .pitch_diameter_m = check_given(row, "d2=") * 1e-3,
                                 .flank_half_deg = 30,
                                 .bearing_diameter_m = check_given(row, "Db=") * 1e-3,
                                 .mu_thread = check_given(row, "mu_th="),
                                 .mu_bearing = check_given(row, "mu_b=")};
        double torque = calc_torque_n_m(&bolt, check_given(row, "F="));
        check_expect(row, "", torque);
        cr_expect_float_eq(calc_preload_n(&bolt, torque), check_given(row, "F="), 1e-6,
                           "%s: inverse", row->id);
        return true;
    }
    if (check_says(row, "rounded coefficients 0.159 and 0.578")) { /* the rounding is put back */
        struct calc_bolt bolt = {
            .pitch_m = check_given(row, "P=") * 1e-3 * 0.159 * 2 * 3.14159265358979,
            .pitch_diameter_m = check_given(row, "d2=") * 1e-3 * 0.578 * sqrt(3),
            .flank_half_deg = 30,
            .bearing_diameter_m = check_given(row, "Db=") * 1e-3,
            .mu_thread = check_given(row, "mu_th="),
            .mu_bearing = check_given(row, "mu_b=")};
        check_expect(row, "", calc_torque_n_m(&bolt, check_given(row, "F=")));
        return true;
    }
    if (check_says(row, "term=thread pitch coefficient")) { /* no friction: T = F P / 2 pi */
        struct calc_bolt bolt = {.pitch_m = 1, .flank_half_deg = 30};
        check_expect(row, "", calc_torque_n_m(&bolt, 1));
        return true;
    }
    if (check_says(row,
                   "1/(2 cos half-angle)")) { /* no pitch, no bearing: T = F mu d2 / (2 cos beta) */
        struct calc_bolt bolt = {.pitch_diameter_m = 1,
                                 .mu_thread = 1,
                                 .flank_half_deg = check_says(row, "BA")   ? 23.75
                                                   : check_says(row, "55") ? 27.5
                                                                           : 30};
        check_expect(row, "", calc_torque_n_m(&bolt, 1));
        return true;
    }
    if (quantity != NULL && strcmp(quantity, "T=K D F") == 0) {
        check_expect(row, "",
                     calc_torque_short_n_m(check_given(row, "K="), check_given(row, "D="),
                                           check_given(row, "F="))); /* lbf and in throughout */
        return true;
    }
    if (check_says(row, "nut factor implied")) { /* F = stress * stress area */
        struct designation d;
        cr_assert(designation(row, &d));
        struct calc_thread thread = calc_thread(d.form, d.major_pm, d.pitch_pm);
        double preload_lbf = check_given(row, "stress=") * in_unit(thread.stress_area_m2, "in2");
        check_expect(row, "",
                     calc_nut_factor(check_given(row, "T="),
                                     in_unit((double)d.major_pm * 1e-12, "in"), preload_lbf));
        return true;
    }
    return false;
}

/* VDI 2230: head dw,min of ISO 4014 (from memory), medium hole of ISO 273. */
static bool vdi_head(double major_mm, double *face_mm, double *hole_mm)
{
    static const double heads[][3] = {
        {6, 8.88, 6.6},    {8, 11.63, 9},   {10, 14.63, 11}, {12, 16.63, 13.5}, {14, 19.64, 15.5},
        {16, 22.49, 17.5}, {18, 25.34, 20}, {20, 28.19, 22}, {22, 31.71, 24},   {24, 33.61, 26}};
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++)
        if (heads[i][0] == major_mm) {
            *face_mm = heads[i][1];
            *hole_mm = heads[i][2];
            return true;
        }
    return false;
}

static double yield_pa(const char *class, double major_mm)
{
    return strcmp(class, "8.8") == 0    ? (major_mm > 16 ? 660e6 : 640e6)
           : strcmp(class, "10.9") == 0 ? 940e6
           : strcmp(class, "12.9") == 0 ? 1100e6
                                        : 0;
}

static bool run_torque_vdi(const struct check_row *row)
{
    struct designation d;
    double face_mm = 0, hole_mm = 0;
    const char *class = check_part(row->input, "property_class");

    if (class == NULL || !designation(row, &d))
        return false;
    double major_mm = (double)d.major_pm * 1e-9, yield = yield_pa(class, major_mm);
    if (yield == 0 ||
        !vdi_head(major_mm, &face_mm, &hole_mm)) /* A2-70: other heads, a table's own values */
        return false;
    struct calc_thread thread = calc_thread(d.form, d.major_pm, d.pitch_pm);
    if (check_has(row, "dw")) {
        face_mm = check_value(row, "dw");
        hole_mm = check_value(row, "dh");
    }
    double mu_thread = check_has(row, "mu") ? check_value(row, "mu") : check_value(row, "mu_th");
    double mu_bearing = check_has(row, "mu_b") ? check_value(row, "mu_b") : mu_thread;
    struct calc_bolt bolt =
        calc_bolt(&thread, face_mm * 1e-3, hole_mm * 1e-3, mu_thread, mu_bearing);
    bool computed = strcmp(row->how, "computed") == 0;
    /* The computed rows carry VDI 2230's rounded coefficients, 1.155 for 2/sqrt 3, 0.16 for 1/2pi and
     * 0.58 for 1/sqrt 3; ours are exact, so the rounding is put back before they are compared. */
    if (computed)
        bolt.mu_thread = mu_thread * 1.155 * sqrt(3) / 2;
    double preload = calc_assembly_preload_n(&bolt, yield, 0.9);
    bolt.mu_thread = mu_thread;
    double torque = calc_torque_n_m(&bolt, preload);
    if (computed)
        torque += preload * ((0.16 - 0.5 / 3.14159265358979) * bolt.pitch_m +
                             (0.58 - 1 / sqrt(3)) * bolt.pitch_diameter_m * mu_thread);
    check_expect(row, "", strcmp(row->unit, "kN") == 0 ? preload / 1000 : torque);
    return true;
}

static bool run_adapter(const struct check_row *row)
{
    double angle = check_has(row, "angle_deg") ? check_value(row, "angle_deg") : 0;

    check_expect(row, "",
                 calc_wrench_setting_n_m(check_given(row, "T="), check_given(row, "L="),
                                         check_given(row, "E="), angle));
    return true;
}

static bool run_castellated(const struct check_row *row)
{
    struct designation d = {.form = CALC_FORM_ISO};

    if (!check_says(row, "axial advance"))
        return false;
    if (check_says(row, "tpi"))
        d.pitch_pm = (int64_t)llround(25.4e9 / 20);
    else
        cr_assert(designation(row, &d));
    check_expect(
        row, "",
        (double)calc_slot_advance_pm(d.pitch_pm, (int)(360 / check_given(row, "rotation="))) *
            1e-9);
    return true;
}

/* A limit of a thread class in metres, from tests/published/thread-limits.csv. */
static double limit_m(const struct check_row *row, const char *class, const char *limit)
{
    struct check_rows rows = check_rows_load("thread-limits.csv");
    char input[60];
    double mm = NAN;

    snprintf(input, sizeof input, "thread=%s;class=%s", check_part(row->input, "thread"), class);
    for (size_t i = 0; i < rows.count; i++)
        if (strcmp(rows.items[i].input, input) == 0)
            check_number(check_part(rows.items[i].expected, limit), &mm);
    cr_assert(!isnan(mm), "%s: no %s of %s", row->id, limit, input);
    return mm * 1e-3;
}

/* Strip areas at one diameter engaged, at the worst limits of the row's classes. */
static bool run_strip(const struct check_row *row)
{
    struct designation d;
    const char *class = check_says(row, "6H/4g6g;") ? "4g6g" : "6g";

    cr_assert(designation(row, &d));
    double engaged = (double)d.major_pm * 1e-12, pitch = (double)d.pitch_pm * 1e-12;
    check_expect(
        row, "",
        in_unit(check_says(row, "bolt thread strip area")
                    ? calc_strip_area_bolt_m2(engaged, pitch, limit_m(row, class, "pitch-min"),
                                              limit_m(row, "6H", "minor-max"))
                    : calc_strip_area_nut_m2(engaged, pitch, limit_m(row, "6g", "major-min"),
                                             limit_m(row, "6H", "pitch-max")),
                "mm2"));
    return true;
}

static bool run_engagement(const struct check_row *row)
{
    if (check_says(row, "Le=1D;"))
        return run_strip(row);
    if (check_says(row, "quantity=Le=2At/(0.5 pi (D-0.64952p))")) { /* no clearance: d2 = D1max */
        double pitch = check_given(row, "p="), effective = check_given(row, "D=") - 0.64952 * pitch;
        check_expect(row, "",
                     calc_engagement_m(check_given(row, "At="), pitch, effective, effective));
        return true;
    }
    if (check_says(row, "quantity=tensile stress area"))
        return run_thread(row);
    if (check_has(row, "Le") && check_has(row, "d2min")) {
        struct designation d;
        cr_assert(designation(row, &d));
        check_expect(row, "",
                     in_unit(calc_strip_area_bolt_m2(check_given(row, "Le=") * 1e-3,
                                                     (double)d.pitch_pm * 1e-12,
                                                     check_given(row, "d2min=") * 1e-3,
                                                     check_given(row, "D1max=") * 1e-3),
                             "mm2"));
        return true;
    }
    if (check_has(row, "Le") && check_has(row, "D2max")) {
        struct designation d;
        cr_assert(designation(row, &d));
        check_expect(row, "",
                     in_unit(calc_strip_area_nut_m2(check_given(row, "Le=") * 1e-3,
                                                    (double)d.pitch_pm * 1e-12,
                                                    check_given(row, "dmin=") * 1e-3,
                                                    check_given(row, "D2max=") * 1e-3),
                             "mm2"));
        return true;
    }
    if (check_has(row, "As")) {
        struct designation d;
        cr_assert(designation(row, &d));
        check_expect(row, "",
                     1e3 * calc_engagement_m(check_given(row, "As=") * 1e-6,
                                             (double)d.pitch_pm * 1e-12,
                                             check_given(row, "d2min=") * 1e-3,
                                             check_given(row, "D1max=") * 1e-3));
        return true;
    }
    if (check_has(row, "Esmin")) { /* in inches throughout; the formula is free of units */
        check_expect(row, "",
                     calc_engagement_m(check_given(row, "At="), 1 / check_given(row, "n="),
                                       check_given(row, "Esmin="), check_given(row, "Knmax=")));
        return true;
    }
    return false;
}

/* --- units --- */

static double convert(double amount, const char *from, const char *to, enum qty_dim dim)
{
    const struct qty_unit *a = qty_unit_find(from, dim),
                          *b = qty_unit_find(to, a == NULL ? dim : a->dim);

    cr_assert_not_null(a, "no unit '%s'", from);
    cr_assert_not_null(b, "no unit '%s'", to);
    return amount * a->factor / b->factor;
}

static bool run_units(const struct check_row *row)
{
    static const struct {
        const char *words, *unit;
        enum qty_dim dim;
    } names[] = {
        {"long ton-force per square inch", "long tonf/in2", QTY_STRESS},
        {"long ton/in2", "long ton/in2", QTY_STRESS},
        {"long ton per square inch", "long ton/in2", QTY_STRESS},
        {"pound", "lb", QTY_MASS},
        {"long ton", "long ton", QTY_MASS},
        {"long_ton", "long ton", QTY_MASS},
        {"kgf/mm2", "kgf/mm2", QTY_STRESS},
        {"kgf/cm2", "kgf/cm2", QTY_STRESS},
        {"lbf ft", "lbf ft", QTY_TORQUE},
        {"lbf in to", "lbf in", QTY_TORQUE},
        {"kgf m", "kgf m", QTY_TORQUE},
        {"ozf in", "ozf in", QTY_TORQUE},
        {"ksi", "ksi", QTY_STRESS},
        {"psi", "psi", QTY_STRESS},
        {"N m to lbf in", "N m", QTY_TORQUE},
        {"lbf in", "lbf in", QTY_TORQUE},
        {"lbf", "lbf", QTY_FORCE},
        {"inch", "in", QTY_LENGTH},
    };
    const char *text = check_part(row->input, "convert");
    double amount = 1;

    if (text == NULL || strstr(text, "AC 43.13") != NULL)
        return false; /* the AC's own figures belong to its table */
    /* Units that are not ours are so many of one that is. */
    if (strstr(text, "ton_force") != NULL || strstr(text, "ton-force (2000") != NULL)
        return check_expect(row, "", convert(2000, "lbf", "N", QTY_FORCE)), true;
    if (strstr(text, "kip") != NULL)
        return check_expect(row, "", convert(1000, "lbf", "N", QTY_FORCE)), true;
    if (strstr(text, "gravity") != NULL) /* a kilogram-force is the weight of one kilogram */
        return check_expect(row, "", convert(1, "kgf", "N", QTY_FORCE)), true;
    if (*text >= '0' && *text <= '9')
        amount = strtod(text, NULL);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strstr(text, names[i].words) != NULL &&
            (names[i].dim != QTY_TORQUE || strcmp(names[i].unit, "lbf ft") != 0 ||
             strstr(text, "lbf ft") != NULL)) {
            if (strcmp(names[i].unit, "N m") != 0 && strncmp(text, "27 N m", 6) == 0)
                continue;
            check_expect(row, "", convert(amount, names[i].unit, row->unit, names[i].dim));
            return true;
        }
    return false;
}

const struct check_topic published_formulas[] = {
    {"fasteners.csv", "thread-iso", run_thread, 70},
    {"fasteners.csv", "thread-un", run_thread, 64},
    {"fasteners.csv", "thread-whit", run_thread, 44},
    {"fasteners.csv", "thread-cycle", run_thread, 29},
    {"fasteners.csv", "torque-formula", run_torque_formula, 16},
    {"fasteners.csv", "torque-vdi", run_torque_vdi, 142},
    {"fasteners.csv", "torque-adapter", run_adapter, 9},
    {"fasteners.csv", "castellated", run_castellated, 2},
    {"fasteners.csv", "engagement", run_engagement, 42},
    {"fasteners.csv", "units", run_units, 37},
    {"fasteners.csv", "strength-british", run_units, 1},
    {NULL, NULL, NULL, 0},
};
