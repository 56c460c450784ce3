/* Look-ups of the built-in tables by the names and sizes that fitters write. Names: the spellings of
 * the language page; sizes: the standards named beside each row. */
#include "test_arena.h"

#include <criterion/criterion.h>
#include <gudgeon/table.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

TestSuite(table, .init = test_arena_start, .fini = test_arena_stop);

Test(table, a_thread_is_found_by_every_accepted_spelling)
{
    static const struct {
        const char *written, *name;
    } rows[] = {
        {"M8", "M8x1.25"},
        {"M8x1.25", "M8x1.25"},
        {"M8 x 1.25", "M8x1.25"},
        {"m8\xc3\x97"
         "1.25",
         "M8x1.25"},
        {"M8x1", "M8x1"},
        {"M8x1.0", "M8x1"},
        {"M 8 x 1 mm", "M8x1"},
        {"M8 coarse", "M8x1.25"},
        {"M3x0.6", "M3x0.6 old"},
        {"M14x1.25", "M14x1.25"},
        {"5/16-24 UNF", "5/16-24 UNF"},
        {"5/16 UNF", "5/16-24 UNF"},
        {"5/16\" UNF", "5/16-24 UNF"},
        {"5/16 in UNF", "5/16-24 UNF"},
        {"5/16-24", "5/16-24 UNF"},
        {"#10-32", "#10-32 UNF"},
        {"#10-32 unf", "#10-32 UNF"},
        {"1-12 UNF", "1-12 UNF"},
        {"1-1/8-12 UNF", "1 1/8-12 UNF"},
        {"1 1/8-12 UNF", "1 1/8-12 UNF"},
        {"1 1/8 UNC", "1 1/8-7 UNC"},
        {"9/16 BSW", "9/16-12 BSW"},
        {"9/16 Whitworth", "9/16-12 BSW"},
        {"3/8 BSF", "3/8-20 BSF"},
        {"3/8-20 BSF", "3/8-20 BSF"},
        {"3/8 x 20 BSF", "3/8-20 BSF"},
        {"3/8 x 20 tpi BSF", "3/8-20 BSF"},
        {"2 BA", "2 BA"},
        {"2BA", "2 BA"},
        {"0 ba", "0 BA"},
        {"G 3/8", "G 3/8"},
        {"G3/8", "G 3/8"},
        {"3/8 BSP", "G 3/8"},
        {"1-1/4 BSP", "G 1 1/4"},
        {"5/16-26 cycle", "5/16-26 cycle"},
        {"5/16 x 26 cycle", "5/16-26 cycle"},
        {"5/16 CEI", "5/16-26 cycle"},
        {"18 mm plug", "18 mm plug"},
        {"7/8-18 plug", "7/8-18 plug"},
        {"M18x1.5 plug", "18 mm plug"},
        {"1/2 brass", "1/2-26 BSB"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct table_thread_found found =
            table_thread_find(arena, table_set_default(), rows[i].written);
        cr_assert_eq(found.status, TABLE_FOUND, "%s: status %d, nearest %s", rows[i].written,
                     (int)found.status, found.near.count > 0 ? found.near.names[0] : "none");
        cr_assert_str_eq(found.thread->name, rows[i].name, "%s", rows[i].written);
        cr_assert_not_null(found.form, "%s has a form", rows[i].written);
    }
}

Test(table, every_thread_is_found_by_its_own_name)
{
    const struct table_set *set = table_set_default();
    const struct table_thread *thread;
    size_t count = 0;
    for (; (thread = table_row_at(set, "thread", count)) != NULL; count++) {
        struct table_thread_found found = table_thread_find(arena, set, thread->name);
        cr_assert_eq(found.status, TABLE_FOUND, "%s", thread->name);
        cr_assert_eq(found.thread, thread, "%s gives %s", thread->name, found.thread->name);
    }
    cr_assert_gt(count, 300);
}

Test(table, a_thread_that_is_not_one_is_told_apart_by_why)
{
    static const struct {
        const char *written;
        enum table_status status;
        const char *near;
    } rows[] = {
        {"1/4-20", TABLE_AMBIGUOUS, "1/4-20 UNC"}, /* or BSW: the flanks differ by 5 degrees */
        {"3/8", TABLE_AMBIGUOUS, "3/8-26 BSB"},
        {"7/16 cycle", TABLE_AMBIGUOUS, "7/16-26 cycle"}, /* 20 and 26 tpi were both made */
        {"M15", TABLE_AMBIGUOUS, "M15x1"}, /* no coarse pitch exists */
        {"M8x1.1", TABLE_CONTRADICTION, "M8x1.25"},
        {"3/8-24 BSF", TABLE_CONTRADICTION, "3/8-20 BSF"},
        {"5/16-20 UNF", TABLE_CONTRADICTION, "5/16-24 UNF"},
        {"M8x1.255", TABLE_CONTRADICTION, "M8x1.25"},
        {"3/8-20 BFS", TABLE_UNKNOWN, "3/8-20 BSF"},
        {"3/8 BFS", TABLE_UNKNOWN, "3/8-20 BSF"},
        {"M13", TABLE_UNKNOWN, NULL},
        {"", TABLE_UNKNOWN, NULL},
        {"BSF", TABLE_UNKNOWN, NULL},
        {"M", TABLE_UNKNOWN, NULL},
        {"M8x", TABLE_UNKNOWN, NULL},
        {"3/8-", TABLE_UNKNOWN, NULL},
        {"M8x1.25x3", TABLE_UNKNOWN, NULL},
        {"3/8 - 1/2 UNF", TABLE_UNKNOWN, NULL},
        {"M99999999999999999999", TABLE_UNKNOWN, NULL},
        {"M8x99999999999999999999", TABLE_UNKNOWN, NULL},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct table_thread_found found =
            table_thread_find(arena, table_set_default(), rows[i].written);
        bool seen = rows[i].near == NULL;
        cr_assert_eq(found.status, rows[i].status, "'%s': status %d", rows[i].written,
                     (int)found.status);
        cr_assert_null(found.thread, "'%s'", rows[i].written);
        for (size_t n = 0; n < found.near.count; n++)
            seen |= str_equal(found.near.names[n], rows[i].near);
        cr_assert(seen, "'%s' should offer %s, offers %s", rows[i].written, rows[i].near,
                  found.near.count > 0 ? found.near.names[0] : "nothing");
    }
}

Test(table, a_measured_thread_gives_every_candidate_nearest_first)
{
    const struct table_set *set = table_set_default();
    /* 5/16 BSF is 7.938 mm, 22 tpi; a worn crest reads 0.311 in. */
    struct table_thread_candidates found =
        table_thread_identify(arena, set, qty_pm_from_mm(0.311 * 25.4), TABLE_NO_PM, 22);
    cr_assert_gt(found.count, 0);
    cr_assert_str_eq(found.items[0].thread->name, "5/16-22 BSF");

    /* 6.0 mm with 1 mm pitch is M6, and 0 BA all the same: nothing decides but the flank angle. */
    found = table_thread_identify(arena, set, qty_pm_from_mm(5.95), qty_pm_from_mm(1), NAN);
    bool metric = false, ba = false;
    for (size_t i = 0; i < found.count; i++) {
        metric |= str_equal(found.items[i].thread->name, "M6x1");
        ba |= str_equal(found.items[i].thread->name, "0 BA");
        if (i > 0)
            cr_assert_geq(llabs(found.items[i].major_off_pm) + 1000000000,
                          llabs(found.items[0].major_off_pm));
    }
    cr_assert(metric && ba);

    /* Without a pitch all pitches of the size are candidates. */
    found = table_thread_identify(arena, set, qty_pm_from_mm(9.5), TABLE_NO_PM, NAN);
    size_t forms = 0;
    for (size_t i = 0; i < found.count; i++)
        forms += str_equal(found.items[i].thread->size, "3/8");
    cr_assert_geq(forms, 6);
    cr_assert_eq(table_thread_identify(arena, set, qty_pm_from_mm(500), TABLE_NO_PM, NAN).count, 0);
}

Test(table, what_goes_by_thread_size_is_found_by_the_thread)
{
    const struct table_set *set = table_set_default();
    struct table_thread_found m10 = table_thread_find(arena, set, "M10");
    struct table_thread_found bsf = table_thread_find(arena, set, "3/8 BSF");
    struct table_thread_found pipe = table_thread_find(arena, set, "3/8 BSP");
    int64_t outside, hole;
    const char *source;
    /* ISO 4014 dw 14.7, ISO 273 medium 11; BS 1083 across flats 0.600, washer face 0.582 in */
    cr_assert(table_bearing_face(set, m10.thread, &outside, &hole, &source));
    cr_assert_eq(outside, qty_pm_from_mm(14.7));
    cr_assert_eq(hole, qty_pm_from_mm(11));
    cr_assert_eq(table_hexagon_find(set, bsf.thread)->across_flats_pm, qty_pm_from_mm(15.24));
    cr_assert_str_eq(table_hexagon_find(set, bsf.thread)->spanner, "3/8 BS = 5/16 W");
    cr_assert(table_bearing_face(set, bsf.thread, &outside, &hole, &source));
    cr_assert_eq(outside, qty_pm_from_mm(0.582 * 25.4));
    cr_assert_null(table_hole_find(set, pipe.thread, "medium"), "a pipe size is no bolt size");
    cr_assert_eq(table_tap_drill_find(set, bsf.thread)->size_pm, qty_pm_from_mm(8.3)); /* BS 1157 */
    cr_assert_eq(table_pin_find(set, bsf.thread)->least_pm, qty_pm_from_mm(0.072 * 25.4));
    cr_assert_eq(table_drill_find(set, "#7")->diameter_pm, qty_pm_from_mm(0.201 * 25.4));
}

Test(table, a_grade_is_found_with_the_row_of_its_diameter)
{
    const struct table_set *set = table_set_default();
    static const struct {
        const char *grade;
        double major_mm, proof_mpa, tensile_mpa;
    } rows[] = {
        {"8.8", 16, 580, 800}, /* ISO 898-1: to 16 mm included */
        {"8.8", 16.001, 600, 830},
        {"class 10.9", 10, 830, 1040},
        {"SAE 2", 19.05, 379.2, 510.2}, /* 55 and 74 ksi to 3/4 in */
        {"grade 2", 19.06, 227.5, 413.7}, /* 33 and 60 ksi above */
        {"5", 25.4, 586.1, 827.4},
        {"R", 9.525, NAN, 694.99}, /* 45 long tonf/in2; no proof stress is stated */
        {"45 ton", 9.525, NAN, 694.99},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct table_grade_found found =
            table_grade_find(set, rows[i].grade, qty_pm_from_mm(rows[i].major_mm));
        cr_assert_eq(found.status, TABLE_FOUND, "%s", rows[i].grade);
        cr_assert_not_null(found.grade, "%s at %g mm", rows[i].grade, rows[i].major_mm);
        cr_assert(fabs(found.grade->tensile_pa / 1e6 - rows[i].tensile_mpa) < 0.1, "%s tensile %g",
                  rows[i].grade, found.grade->tensile_pa / 1e6);
        if (isnan(rows[i].proof_mpa))
            cr_assert(!table_has(found.grade->proof_pa), "%s", rows[i].grade);
        else
            cr_assert(fabs(found.grade->proof_pa / 1e6 - rows[i].proof_mpa) < 0.1, "%s proof %g",
                      rows[i].grade, found.grade->proof_pa / 1e6);
    }
    struct table_grade_found far = table_grade_find(set, "SAE 8", qty_pm_from_mm(50));
    cr_assert(far.status == TABLE_FOUND && far.grade == NULL, "known, but not at this diameter");
    struct table_grade_found wrong = table_grade_find(set, "8.9", 0);
    cr_assert_eq(wrong.status, TABLE_UNKNOWN);
    cr_assert_gt(wrong.near.count, 0);
}

Test(table, a_published_torque_says_whether_its_conditions_are_met)
{
    const struct table_set *set = table_set_default();
    struct table_thread_found thread = table_thread_find(arena, set, "1/4-28 UNF");
    struct table_torques rows =
        table_torque_find(arena, set, thread.thread, NULL, "torque_ac_43_13");
    const char *what = NULL;
    cr_assert_eq(rows.count, 2); /* tension and shear nut */
    /* FAA AC 43.13-1B table 7-1: 50 to 70 lbf in, never over 100 */
    cr_assert_str_eq(rows.items[0]->use, "tension nut");
    cr_assert(fabs(rows.items[0]->low_n_m - 5.649) < 0.001);
    cr_assert(fabs(rows.items[0]->most_n_m - 11.298) < 0.001);
    struct table_condition dry = {"dry", "cadmium", "new"}, oiled = {"engine-oil", "cadmium", NULL},
                           other = {"engine-oil", "zinc", NULL};
    cr_assert_eq(table_torque_holds(rows.items[0], dry, &what), TABLE_HOLDS);
    cr_assert_eq(table_torque_holds(rows.items[0], oiled, &what), TABLE_DIFFERS);
    cr_assert_str_eq(what, "lubricant");
    cr_assert_eq(table_torque_holds(rows.items[0], other, &what), TABLE_DIFFERS_MORE);
    cr_assert_null(
        table_factor_find(set, rows.items[0]->row.table, "lubricant", "dry", "engine-oil"),
        "the advisory gives no factor for oil");

    struct table_torques sae =
        table_torque_find(arena, set, thread.thread, "grade 5", "torque_sae_j429");
    cr_assert_gt(sae.count, 0);
    for (size_t i = 0; i < sae.count; i++)
        cr_assert_str_eq(sae.items[i]->grade, "SAE 5");
    struct table_thread_found m8 = table_thread_find(arena, set, "M8x1");
    struct table_torques vdi = table_torque_find(arena, set, m8.thread, "8.8", NULL);
    cr_assert_gt(vdi.count, 0);
    cr_assert_eq(table_torque_holds(vdi.items[0], dry, &what), TABLE_DIFFERS_MORE,
                 "a row by friction coefficient never holds for a lubricant by itself");
}

Test(table, friction_is_that_of_the_lubricant_and_plating)
{
    const struct table_set *set = table_set_default();
    cr_assert_eq(table_friction_find(set, "engine-oil", "zinc")->thread_high, 0.16);
    cr_assert_eq(table_friction_find(set, "dry", "zinc")->thread_high, 0.24);
    cr_assert_eq(table_friction_find(set, "engine-oil", "stainless")->thread_low, 0.20);
    cr_assert_null(table_friction_find(set, "treacle", "none"));
    struct table_near near = {0};
    cr_assert_str_eq(table_word_find(set, "lubricant", "Oiled", NULL)->name, "engine-oil");
    cr_assert_str_eq(table_word_find(set, "plating", "Cadmium Plated", NULL)->name, "cadmium");
    cr_assert_null(table_word_find(set, "plating", "cadmum", &near));
    cr_assert_str_eq(near.names[0], "cadmium");
}

Test(table, a_class_gives_its_limits_at_the_ends_of_each_step)
{
    const struct table_set *set = table_set_default();
    static const struct {
        const char *class;
        double nominal_mm, low_um, high_um;
    } rows[] = {
        {"H7", 3, 0, 10},         {"H7", 3.001, 0, 12},
        {"H7", 30, 0, 21},        {"H7", 30.001, 0, 25},
        {"M6", 62, -24, -5},      {"M6", 260, -41, -9}, /* the exception: -9, not -11 */
        {"k5", 30, 2, 11},        {"k6", 25, 2, 15},
        {"K7", 25, -15, 6},       {"j6", 30, -4, 9},
        {"J6", 62, -6, 13},       {"n6", 40, 17, 33},
        {"p6", 40, 26, 42},       {"js5", 40, -5.5, 5.5},
        {"JS7", 40, -12.5, 12.5}, {"h9", 500, -155, 0},
        {"r6", 50, 34, 50},       {"r6", 51, 41, 60},
        {"r6", 66, 43, 62}, /* finer steps */
        {"s6", 2, 14, 20},        {"P7", 25, -35, -14},
        {"N9", 25, -52, 0},       {"N9", 3, -29, -4},
        {"a11", 25, -430, -300},  {"c11", 40, -280, -120},
        {"zc8", 10, 97, 119},     {"u6", 210, 258, 287},
        {"H01", 10, 0, 0.4},      {"h18", 10, -2200, 0},
        {"ZB6", 45, -253, -237},  {"k8", 45, 0, 39}, /* vectors of an open implementation */
        {"E8", 100, 72, 126},     {"f9", 300, -186, -56}, /* ISO 286-2:1988/Cor.1:2006 */
        {"R10", 25, -112, -28},   {"A13", 340, 1200, 2090},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct table_limits limits =
            table_class_limits(set, rows[i].class, qty_pm_from_mm(rows[i].nominal_mm));
        cr_assert_eq(limits.status, TABLE_FOUND, "%g %s", rows[i].nominal_mm, rows[i].class);
        cr_assert_eq(limits.low_pm, llround(rows[i].low_um * 1e6), "%g %s low %lld",
                     rows[i].nominal_mm, rows[i].class, (long long)limits.low_pm);
        cr_assert_eq(limits.high_pm, llround(rows[i].high_um * 1e6), "%g %s high %lld",
                     rows[i].nominal_mm, rows[i].class, (long long)limits.high_pm);
        cr_assert_eq(limits.hole, rows[i].class[0] < 'a');
        cr_assert_gt(strlen(limits.source), 0);
    }
}

/* ISO 286-1 annex A: deviations of v to zc are IT + k D rounded, D the geometric mean of the step; the
 * table keeps to them within 2.5 %, and each letter lies further out than the one before. */
Test(table, wide_deviations_follow_the_formulas_of_the_annex)
{
    static const struct {
        const char *letters, *grade;
        double factor;
    } rows[] = {{"u", "IT7", 1},   {"v", "IT7", 1.25},  {"x", "IT7", 1.6}, {"y", "IT7", 2},
                {"z", "IT7", 2.5}, {"za", "IT8", 3.15}, {"zb", "IT9", 4},  {"zc", "IT10", 5}};
    static const double steps[] = {24,  30,  40,  50,  65,  80,  100, 120, 140, 160,
                                   180, 200, 225, 250, 280, 315, 355, 400, 450, 500};
    const struct table_set *set = table_set_default();
    for (size_t s = 1; s < sizeof steps / sizeof *steps; s++) {
        int64_t nominal = qty_pm_from_mm(steps[s]), before = 0;
        for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
            char class[8];
            snprintf(class, sizeof class, "%s6", rows[i].letters);
            struct table_limits limits = table_class_limits(set, class, nominal);
            double formula = (double)table_it(set, rows[i].grade, nominal) / 1e6 +
                             rows[i].factor * sqrt(steps[s - 1] * steps[s]);
            cr_assert_eq(limits.status, TABLE_FOUND, "%s at %g", class, steps[s]);
            cr_assert(fabs((double)limits.low_pm / 1e6 / formula - 1) < 0.025,
                      "%s at %g: %g um, formula %g", class, steps[s], (double)limits.low_pm / 1e6,
                      formula);
            cr_assert_gt(limits.low_pm, before, "%s at %g", class, steps[s]);
            before = limits.low_pm;
        }
    }
}

/* A thread's diameters follow from its form: d2 = D - k P and so on, to the last digit of the table. */
Test(table, every_thread_follows_its_form)
{
    const struct table_set *set = table_set_default();
    const struct table_thread *thread;
    for (size_t i = 0; (thread = table_row_at(set, "thread", i)) != NULL; i++) {
        struct table_thread_found found = table_thread_find(arena, set, thread->name);
        double pitch = (double)thread->pitch_pm, major = (double)thread->major_pm;
        /* BS 93 rounds the depth of a BA thread to 0.005 mm; ISO 228 prints to 0.001 mm. */
        double digit = str_equal(thread->system, "BA")     ? 0.0055e9
                       : str_equal(thread->system, "G")    ? 0.0011e9
                       : str_equal(thread->system, "plug") ? 0.0014e9
                                                           : 0.00006e9;
        cr_assert(fabs(major - found.form->effective_per_pitch * pitch -
                       (double)thread->effective_pm) < digit,
                  "%s effective", thread->name);
        cr_assert(fabs(major - found.form->minor_per_pitch * pitch - (double)thread->minor_pm) <
                      2 * digit,
                  "%s minor", thread->name);
        if (!table_has(thread->stress_area_m2))
            continue;
        double mean = ((double)thread->effective_pm + (double)thread->root_pm) / 2e12;
        if (str_equal(thread->form, "un")) /* ASME B1.1 has an area of its own */
            mean = (major - 0.9743 * pitch) / 1e12;
        cr_assert(fabs(3.14159265358979 / 4 * mean * mean / thread->stress_area_m2 - 1) < 2e-3,
                  "%s stress area", thread->name);
    }
}

Test(table, what_is_no_class_or_lies_outside_the_tables_is_refused)
{
    const struct table_set *set = table_set_default();
    static const char *const wrong[] = {"i6",  "l6",  "q7",  "W7",  "Hh7", "hH7", "H19", "H",   "7",
                                        "H7a", "H-7", "H+7", "H07", "",    "zd6", "JS",  "abc6"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        cr_assert_eq(table_class_limits(set, wrong[i], qty_pm_from_mm(50)).status, TABLE_UNKNOWN,
                     "%s", wrong[i]);
        cr_assert_not(table_is_class(wrong[i]), "%s", wrong[i]);
    }
    static const struct {
        const char *class;
        double nominal_mm;
    } outside[] = {{"H7", 0},  {"H7", -5},  {"H7", 500.001}, {"K9", 25},
                   {"t6", 20}, {"cd8", 12}, {"j8", 25}};
    for (size_t i = 0; i < sizeof outside / sizeof *outside; i++)
        cr_assert_eq(
            table_class_limits(set, outside[i].class, qty_pm_from_mm(outside[i].nominal_mm)).status,
            TABLE_CONTRADICTION, "%s at %g", outside[i].class, outside[i].nominal_mm);
}

Test(table, a_bearing_is_found_by_designation_whatever_its_suffix)
{
    const struct table_set *set = table_set_default();
    static const struct {
        const char *written, *designation;
        double bore, outside, width;
    } rows[] = {
        {"6206", "6206", 30, 62, 16},
        {"6206-2RS", "6206", 30, 62, 16},
        {"6206 C3", "6206", 30, 62, 16},
        {"62062RS", "6206", 30, 62, 16},
        {"nu 207", "NU207", 35, 72, 17},
        {"NU207EC", "NU207", 35, 72, 17},
        {"N305", "N305", 25, 62, 17},
        {"30206", "30206", 30, 62, 16},
        {"RMS10", "RMS10", 31.75, 79.375, 22.225},
        {"RLS 5", "RLS5", 15.875, 39.6875, 11.1125},
        {"R8-2RS", "R8-2RS", 12.7, 28.575, 7.9375},
        {"R8", "R8", 12.7, 28.575, 6.35},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct table_bearing_found found = table_bearing_find(set, rows[i].written);
        cr_assert_eq(found.status, TABLE_FOUND, "%s", rows[i].written);
        cr_assert_str_eq(found.bearing->designation, rows[i].designation, "%s", rows[i].written);
        cr_assert_eq(found.bearing->bore_pm, qty_pm_from_mm(rows[i].bore), "%s", rows[i].written);
        cr_assert_eq(found.bearing->outside_pm, qty_pm_from_mm(rows[i].outside), "%s",
                     rows[i].written);
        cr_assert_eq(found.bearing->width_pm, qty_pm_from_mm(rows[i].width), "%s", rows[i].written);
    }
    struct table_bearing_found wrong = table_bearing_find(set, "6260");
    cr_assert_eq(wrong.status, TABLE_UNKNOWN);
    cr_assert_gt(wrong.near.count, 0);
    cr_assert_eq(table_bearing_find(set, "62066").status, TABLE_UNKNOWN, "a digit is no suffix");
    cr_assert_eq(table_bearing_find(set, "").status, TABLE_UNKNOWN);
}

Test(table, three_sizes_give_every_bearing_that_has_them)
{
    const struct table_set *set = table_set_default();
    /* 35 x 80 x 21 is a ball and a roller bearing: which one it was must be asked. */
    struct table_bearing_candidates found = table_bearing_identify(
        arena, set, qty_pm_from_mm(35), qty_pm_from_mm(80), qty_pm_from_mm(21));
    bool ball = false, roller = false;
    for (size_t i = 0; i < found.exact; i++) {
        ball |= str_equal(found.items[i].bearing->designation, "6307");
        roller |= str_equal(found.items[i].bearing->designation, "N307");
    }
    cr_assert(ball && roller);
    /* A ruler's 30.5 x 62 x 16: no exact match, 6206 as a near miss with the difference. */
    found = table_bearing_identify(arena, set, qty_pm_from_mm(30.5), qty_pm_from_mm(62),
                                   qty_pm_from_mm(16));
    cr_assert_eq(found.exact, 0);
    cr_assert_gt(found.count, 0);
    cr_assert_eq(found.items[0].bore_off_pm, qty_pm_from_mm(0.5));
    /* A width not measured leaves more candidates. */
    found = table_bearing_identify(arena, set, qty_pm_from_mm(30), qty_pm_from_mm(62), TABLE_NO_PM);
    cr_assert_geq(found.exact, 5);
}

Test(table, a_bearing_has_ring_tolerances_and_clearance_by_its_bore)
{
    const struct table_set *set = table_set_default();
    const struct table_bearing *ball = table_bearing_find(set, "6206").bearing;
    const struct table_bearing *roller = table_bearing_find(set, "NU207").bearing;
    const struct table_bearing *inch = table_bearing_find(set, "RMS10").bearing;
    int64_t low, high;
    const char *source;
    /* ISO 492 Normal: bore 30: 0/-10 um, outside 62: 0/-13 um; ISO 5753-1: C3 at 30: 13 to 28 um */
    cr_assert(table_bearing_tolerance(set, ball, false, &low, &high, &source));
    cr_assert(low == -10000000 && high == 0);
    cr_assert(table_bearing_tolerance(set, ball, true, &low, &high, &source));
    cr_assert(low == -13000000 && high == 0);
    cr_assert(table_bearing_clearance(set, ball, "C3", &low, &high, &source));
    cr_assert(low == 13000000 && high == 28000000);
    cr_assert(table_bearing_clearance(set, roller, "normal", &low, &high, &source));
    cr_assert(low == 25000000 && high == 50000000); /* interchangeable rollers, 35 mm */
    cr_assert_not(table_bearing_clearance(set, ball, "C9", &low, &high, &source));
    cr_assert_not(table_bearing_tolerance(set, inch, false, &low, &high, &source));
    const struct table_bearing *thrust = table_bearing_find(set, "51206").bearing;
    cr_assert_not(table_bearing_tolerance(set, thrust, false, &low, &high, &source));
}

Test(table, a_material_gives_its_range_and_its_second_sources)
{
    const struct table_set *set = table_set_default();
    struct table_near near = {0};
    const struct table_material *case_alloy = table_material_find(set, "Aluminium cast", NULL);
    cr_assert_str_eq(case_alloy->name, "aluminium-cast");
    cr_assert(fabs(table_material_expansion(case_alloy) - 21.5e-6) < 1e-12);
    const struct table_material *iron = table_material_find(set, "cast-iron", NULL);
    cr_assert_eq(iron->modulus_low_pa, 66e9);
    cr_assert_eq(iron->modulus_high_pa, 138e9);
    size_t sources = 0;
    for (const struct table_material *row = iron; row != NULL; row = table_material_next(set, row))
        sources++;
    cr_assert_geq(sources, 3);
    const struct table_material *dense = table_material_with(set, case_alloy, "density");
    cr_assert(dense != NULL && dense != case_alloy && dense->density_kg_m3 == 2707);
    cr_assert_null(table_material_with(set, iron, "no such column"));
    cr_assert_null(table_material_find(set, "alumnium-cast", &near));
    cr_assert_str_eq(near.names[0], "aluminium-cast");
    cr_assert_eq(table_engagement_find(set, "aluminium-cast")->high, 2.0);
}

Test(table, sheets_rules_ceilings_and_cautions_are_found)
{
    const struct table_set *set = table_set_default();
    int64_t low, high;
    cr_assert_eq(table_sheet_find(set, "gasket-paper-04", NULL)->crushed_low_pm,
                 qty_pm_from_mm(0.32));
    const struct table_rule *gap = table_rule_find(set, "ring-gap", "", NULL);
    table_rule_limits(gap, qty_pm_from_mm(2.875 * 25.4), &low, &high);
    cr_assert_eq(low, llround(2.875 * 25.4e9 * 0.0035));
    cr_assert_eq(high, llround(2.875 * 25.4e9 * 0.0050));
    table_rule_limits(table_rule_find(set, "ring-gap", "oil", NULL), 0, &low, &high);
    cr_assert(low == 381000000 && high == TABLE_NO_PM); /* at least 0.015 in */
    table_rule_limits(table_rule_find(set, "stem-guide", "ex", NULL), 0, &low, &high);
    cr_assert_eq(low, 38100000, "a place named ex is the exhaust valve: 0.0015 in");
    struct table_near forms = {0};
    cr_assert_null(table_rule_find(set, "stem-guide", "", &forms), "inlet or exhaust must be said");
    cr_assert_eq(forms.count, 2);
    struct table_near near = {0};
    cr_assert_null(table_rule_find(set, "ring-gpa", NULL, &near));
    cr_assert_str_eq(near.names[0], "ring-gap");

    struct table_ceilings ceilings = table_ceiling_find(arena, set, "aluminium-cast");
    cr_assert_geq(ceilings.count, 4, "the sources disagree: all are shown");
    for (size_t i = 1; i < ceilings.count; i++)
        cr_assert_leq(ceilings.items[i - 1]->most_c, ceilings.items[i]->most_c);
    cr_assert(fabs(table_ceiling_find(arena, set, "self-locking-nut-fibre").items[0]->most_c -
                   121.1) < 0.1);

    cr_assert_gt(table_caution_find(arena, set, "heat", NULL, NAN).count, 0);
    cr_assert_eq(table_caution_find(arena, set, "material", "magnesium-cast", NAN).count, 1);
    cr_assert_eq(table_caution_find(arena, set, "material", "steel", NAN).count, 0);
    cr_assert_eq(table_caution_find(arena, set, "material", "", NAN).count, 0);
    cr_assert_eq(table_caution_find(arena, set, "weight", NULL, 25).count, 0);
    cr_assert_eq(table_caution_find(arena, set, "weight", NULL, 25.1).count, 1);
    cr_assert_eq(table_caution_find(arena, set, "weight", NULL, NAN).count, 0);
}

Test(table, every_row_names_its_source_and_every_kind_has_rows)
{
    const struct table_set *set = table_set_default();
    const struct table_kind *kind;
    for (size_t k = 0; (kind = table_kind_at(k)) != NULL; k++) {
        size_t count = 0;
        const struct table_row *row;
        for (; (row = table_row_at(set, kind->name, count)) != NULL; count++) {
            cr_assert_gt(strlen(row->source), 3, "%s row %zu", kind->name, count);
            cr_assert_gt(strlen(row->table->title), 3, "%s", row->table->id);
        }
        if (!str_equal(kind->name, "factor")) /* only users' torque tables give factors */
            cr_assert_gt(count, 0, "%s", kind->name);
    }
}

Test(table, a_cell_of_a_copied_set_can_be_changed_and_the_default_stays)
{
    struct table_set *set = table_set_copy(arena, table_set_default());
    size_t index = 0;
    struct table_bearing *row;
    while ((row = table_row_edit(set, "bearing", index)) != NULL &&
           !str_equal(row->designation, "6206"))
        index++;
    cr_assert_not_null(row);
    row->bore_pm += 1;
    cr_assert_eq(table_bearing_find(set, "6206").bearing->bore_pm, qty_pm_from_mm(30) + 1);
    cr_assert_eq(table_bearing_find(table_set_default(), "6206").bearing->bore_pm,
                 qty_pm_from_mm(30));
}
