/* Values of the resolved build against worked examples printed elsewhere; the source beside
 * each. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "resolved.h"

#define CHECK(rows) resolved_check((rows), sizeof(rows) / sizeof *(rows))

Test(resolve, a_torque_comes_from_the_nearest_level_that_holds)
{
    static const struct resolved_row rows[] = {
        {"", "cover-nuts.torque", "N m", 18, 18, 1e-9, "the engine's own figure, as written"},
        {"use: [base/torque_one.csv]\njoints: {cover-nuts: {torque: null}}", "cover-nuts.torque",
         "N m", 17, 19, 1e-9, "the works' table, row M8x1.25"},
        {"use: [base/torque_one.csv]", "cover-nuts.torque", "N m", 18, 18, 1e-9,
         "the engine's own figure goes before the works' table"},
        {"use: [base/torque_one.csv, base/factor_one.csv]\njoints: {cover-nuts: {torque: null, "
         "condition: "
         "{lubricant: dry, plating: none, fastener: new}}}",
         "cover-nuts.torque", "N m", 17 * 1.2, 19 * 1.2, 1e-9,
         "the works' table and its own factor"},
        {"seals: {cover-face: {gasket: null, sealant: paste}}\nparts: {cover-gasket: "
         "null}\njoints: {cover-nuts: "
         "{thread: 1/4-28 UNF, grade: SAE 8, torque: null}}",
         "cover-nuts.torque", "lbf in", 123, 123, 0.5,
         "IFI torque-tension table, 1/4-28 grade 8, K 0.15"},
        {"joints: {cover-nuts: {thread: M8x1, torque: {is: null, from: null, table: "
         "torque_vdi_2230}}}",
         "cover-nuts.torque", "N m", 22.8, 22.8, 0.05, "VDI 2230 table, M8x1, 8.8, friction 0.10"},
    };
    CHECK(rows);
}

Test(resolve, a_derived_torque_is_three_quarters_of_proof_load_and_says_that_it_is_derived)
{
    /* M8, 8.8: As 36.6 mm2, proof 580 MPa (ISO 898-1): F = 15.92 kN. Friction 0.08 in thread and
     * face, Db = (11.63 + 9)/2 mm: T = F (0.159 P + 0.578 d2 0.08 + 0.5 Db 0.08), ISO 16047, by
     * hand. */
    double db_mm = (11.63 + 9.0) / 2;
    double wanted =
        0.75 * 580 * 36.6 * (0.1592 * 1.25 + 0.5774 * 7.188 * 0.08 + 0.5 * db_mm * 0.08) / 1000;
    const struct resolved_row rows[] = {
        {"joints: {cover-nuts: {torque: null}}", "cover-nuts.torque", "N m", wanted, wanted,
         0.02 * wanted, "ISO 16047 with ISO 898-1 and the hexagon of ISO 4014, by hand"},
    };
    CHECK(rows);

    struct resolved resolved = resolved_of("joints: {cover-nuts: {torque: null}}");
    cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
    cr_expect(resolved.build->joints.items[0].derived, "the joint does not say so");
    cr_expect(build_fact(resolved.build, "cover-nuts.torque")->derived, "the fact does not say so");
    resolved_free(&resolved);
}

Test(resolve, the_wrench_shows_what_the_published_adapter_examples_say)
{
    static const struct resolved_row rows[] = {
        {"shop: {wrenches: {large: {range: 10..60 lbf ft, division: 0.5 lbf ft, length: 12 in}, "
         "small: null}, adapters: "
         "{crow-foot: {offset: 4 in}}}\njoints: {cover-nuts: {thread: M10, torque: {is: 40 lbf "
         "ft}, adapter: crow-foot}}",
         "cover-nuts.setting", "lbf ft", 30, 30, 1e-6, "US Army TM 9-2350-261-20-1 p 2-29"},
        {"shop: {wrenches: {large: {range: 100..400 lbf in, division: 1 lbf in, length: 10 in}, "
         "small: null}, adapters: "
         "{crow-foot: {offset: 4 in}}}\njoints: {cover-nuts: {thread: M10, torque: {is: 300 lbf "
         "in}, adapter: crow-foot}}",
         "cover-nuts.setting", "lbf in", 214, 214, 0.5, "US Army TM 1-1500-204-23-9 fig 8-16"},
        {"shop: {wrenches: {large: {range: 10..60 lbf ft, division: 0.5 lbf ft, length: 22 in}, "
         "small: null}, adapters: "
         "{crow-foot: {offset: 3 in}}}\njoints: {cover-nuts: {thread: M10, torque: {is: 19 lbf "
         "ft}, adapter: crow-foot}}",
         "cover-nuts.setting", "lbf ft", 17, 17, 0.5, "US Army TM 5-3805-274-13&P WP 0051"},
        {"shop: {wrenches: {large: {range: 10..60 lbf ft, division: 0.1 lbf ft, length: 12 in}, "
         "small: null}, adapters: "
         "{crow-foot: {offset: 4 in, angle: 45 deg}}}\njoints: {cover-nuts: {thread: M10, torque: "
         "{is: 40 lbf ft}, adapter: "
         "crow-foot}}",
         "cover-nuts.setting", "lbf ft", 32.3703, 32.3703, 0.05,
         "TM 9-254 fig 4-6 geometry, evaluated"},
    };
    CHECK(rows);
}

Test(resolve, a_castellated_nut_starts_from_the_low_end_and_drag_is_added)
{
    static const struct resolved_row rows[] = {
        /* AC 43.13-1B 7-40: start alignment at the minimum recommended torque plus friction
         * drag. */
        {"joints: {cover-nuts: {torque: {is: 18..20 N m}, drag: 2 N m}}", "cover-nuts.setting",
         "N m", 20, 20, 1e-9, "FAA AC 43.13-1B par 7-40: minimum plus drag"},
        {"joints: {cover-nuts: {torque: {is: 18..20 N m}, drag: 2 N m}}", "cover-nuts.target",
         "N m", 20, 22, 1e-9, "FAA AC 43.13-1B par 7-40: maximum plus drag is the end"},
        {"joints: {cover-nuts: {lock: {kind: tab-washer}, torque: {is: 18..20 N m}, drag: 2 N m}}",
         "cover-nuts.setting", "N m", 21, 21, 1e-9,
         "the middle, for what does not have to meet a slot (common practice, no source)"},
    };
    CHECK(rows);
}

Test(resolve, a_wrench_is_used_inside_its_range_and_never_under_a_fifth_of_its_top)
{
    static const struct {
        const char *torque, *wrench;
    } rows[] = {
        {"5 N m", "small"},    {"4.9 N m", NULL},    {"25 N m", "small"},
        {"25.1 N m", "large"}, {"100 N m", "large"}, {"101 N m", NULL},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char patch[200];
        snprintf(
            patch, sizeof patch,
            "joints: {cover-nuts: {thread: M20, grade: null, engagement: null, torque: {is: %s}}}",
            rows[i].torque);
        struct resolved resolved = resolved_of(patch);
        cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
        const struct wrench *wrench = resolved.build->joints.items[0].wrench;
        cr_expect(str_equal(wrench != NULL ? wrench->id : NULL, rows[i].wrench), "%s: %s",
                  rows[i].torque, wrench != NULL ? wrench->id : "none");
        cr_expect_eq(resolved_count(&resolved, DIAG_WRENCH_NONE), rows[i].wrench == NULL ? 1u : 0u,
                     "%s: %s", rows[i].torque, resolved_says(&resolved));
        resolved_free(&resolved);
    }
}

/* Two parts of steel and aluminium round one diameter, to be fitted at will. */
#define PAIR(outer, inner, more)                                                                   \
    "parts: {crankshaft: {sizes: {j: {want: " inner "}}}, cover: {sizes: {b: {want: " outer        \
    "}}}}\nfits: {f: {inner: crankshaft.j, outer: cover.b" more "}}"

Test(resolve, fits_of_printed_limits_give_the_printed_clearance)
{
    static const struct resolved_row rows[] = {
        {PAIR("48.000..48.016 mm", "47.949..47.962 mm", ""), "f.clearance", "mm", 0.038, 0.067,
         1e-9, "1977 pick-up service manual EM-28, cam journal (PB-060)"},
        {PAIR("9.475..9.496 mm", "9.523..9.534 mm", ""), "f.clearance", "mm", -0.059, -0.027, 1e-9,
         "valve guide tables of a car maker (PB-061)"},
        {PAIR("10.975..10.996 mm", "11.023..11.034 mm", ""), "f.clearance", "mm", -0.059, -0.027,
         1e-9, "valve guide tables of a car maker (PB-063)"},
        {PAIR("25 mm H7", "25 mm k6", ""), "f.clearance", "mm", -0.015, 0.019, 1e-9,
         "ISO 286-2: H7 +21/0, k6 +15/+2 at 25 mm"},
        {PAIR("25 mm H7", "25 mm g6", ", class: H7/g6"), "f.want", "mm", 0.007, 0.041, 1e-9,
         "ISO 286-2: H7 +21/0, g6 -7/-20 at 25 mm"},
        {PAIR("62 mm M6", "62 mm h6", ", class: M6"), "f.want", "mm", -0.024, 0.014, 1e-9,
         "ISO 286-2: M6 -5/-24, h6 0/-19 at 62 mm"},
        {PAIR("1.0000..1.0008 in", "0.9980..0.9988 in", ", class: RC3"), "f.want", "in", 0.0008,
         0.0021, 1e-7, "ANSI B4.1, RC3 at 0.71-1.19 in: 0.8 to 2.1 thou"},
    };
    CHECK(rows);
}

Test(resolve, a_tight_ring_lets_go_when_the_case_is_hot_as_computed_by_hand)
{
    /* d 62 mm, 21.5 against 12.5 e-6/K: 0.558 um a kelvin (TH-011, TH-012: rises of 60 and 80
     * K). */
    static const struct resolved_row rows[] = {
        {"parts: {crankcase: {sizes: {main-bore: {want: 61.970 mm, measured: {is: 61.970 mm, "
         "using: bore-gauge}}}}}\n"
         "fits: {main-outside: {want: -0.031..-0.010 mm, runs-at: 80 degC, accept: {G0527: a "
         "test}}}",
         "main-outside.hot", "mm", -0.030 + 0.0335, -0.017 + 0.0335, 0.0002,
         "TH-011: 0.558 um/K over 60 K"},
        {"parts: {crankcase: {sizes: {main-bore: {want: 61.970 mm, measured: {is: 61.970 mm, "
         "using: bore-gauge}}}}}\n"
         "fits: {main-outside: {want: -0.031..-0.010 mm, runs-at: 100 degC, accept: {G0527: a "
         "test}}}",
         "main-outside.hot", "mm", -0.030 + 0.0446, -0.017 + 0.0446, 0.0002,
         "TH-012: 0.558 um/K over 80 K"},
    };
    CHECK(rows);
}

Test(resolve, the_heat_to_fit_is_the_rise_of_the_worked_examples)
{
    static const struct resolved_row rows[] = {
        {"parts: {crankcase: {sizes: {main-bore: {want: 61.965 mm, measured: {is: 61.965 mm, "
         "using: bore-gauge}}}}}\n"
         "fits: {main-outside: {want: -0.036..-0.010 mm, heat: {part: crankcase, gap: 0.020 mm}}}",
         "main-outside.heat-to", "degC", 20 + 41.26, 20 + 41.26, 0.2,
         "TH-002: aluminium case 62, 35 + 20 um"},
        {"parts: {crankshaft: {sizes: {seat: {measured: {is: 30.005 mm, using: micrometer}}}}}\n"
         "fits: {main-inside: {heat: {part: main-bearing, gap: 0.020 mm, at-most: 120 degC}}}",
         "main-inside.heat-to", "degC", 20 + 93.33, 20 + 93.33, 0.2,
         "TH-005: inner ring 30, 15 + 20 um"},
        {"parts: {crankshaft: {sizes: {seat: {measured: {is: 30.005 mm, using: micrometer}}}}}\n"
         "fits: {main-inside: {heat: {part: main-bearing, gap: 0.010 mm, at-most: 120 degC, "
         "cooling: 20%}}}",
         "main-inside.heat-to", "degC", 20 + 66.67 / 0.8, 20 + 66.67 / 0.8, 0.2,
         "15 + 10 um at 12.5 e-6/K, a fifth lost on the way: by hand"},
        {"parts: {crankcase: {sizes: {main-bore: {want: 61.985 mm, measured: {is: 61.985 mm, using: "
         "bore-gauge}}}}}\n"
         "fits: {main-outside: {want: -0.036..0 mm, chill: {part: main-bearing, gap: 0.010 mm, warming: "
         "20%}}}",
         "main-outside.chill-to", "degC", 20 - 32.27 / 0.8, 20 - 32.27 / 0.8, 0.2,
         "15 + 10 um of 62 mm at 12.5 e-6/K, a fifth lost on the way: by hand"},
        /* -55 degC takes (75 K less a fifth) 12.5e-6 x 61.965 = 46.5 um off the ring: of 55 um wanted
         * 8.5 are left, 6.4 K of aluminium */
        {"parts: {crankcase: {sizes: {main-bore: {want: 61.965 mm, measured: {is: 61.965 mm, "
         "using: bore-gauge}}}}}\n"
         "fits: {main-outside: {want: -0.036..-0.010 mm, heat: {part: crankcase, gap: 0.020 mm}, chill: "
         "{part: main-bearing, at-least: -55 degC, warming: 20%}}}",
         "main-outside.heat-to", "degC", 20 + 6.4, 20 + 6.4, 0.2, "both together: by hand"},
        {"parts: {crankcase: {sizes: {main-bore: {want: 61.970 mm, measured: {is: 61.970 mm, "
         "using: bore-gauge}}}}}\n"
         "fits: {main-outside: {want: -0.031..-0.010 mm, runs-at: 60 degC, accept: {G0527: a test}}}",
         "main-outside.lets-go", "degC", 20 + 17 / 0.558, 20 + 30 / 0.558, 0.2,
         "17 to 30 um of interference, 0.558 um/K (TH-011): by hand"},
    };
    CHECK(rows);
}

Test(resolve, stacks_add_in_the_worst_case_and_their_uncertainties_by_root_sum_square)
{
    static const struct resolved_row rows[] = {
        {"parts: {crankcase: {sizes: {a: {want: 71.98..72.02 mm}, b: {want: 15.98..16.02 mm}, c: "
         "{want: 39.67..39.73 mm}}}}\n"
         "limits: {s: {stack: {plus: [crankcase.a], minus: [crankcase.b, crankcase.b, "
         "crankcase.c]}, when: assembled}}",
         "s.stack", "mm", 0.21, 0.39, 1e-9, "SH-031: 72 - 16 - 16 - 39.7"},
        {"parts: {crankcase: {sizes: {a: {want: 109.95..110.05 mm}, b: {want: 20.94..21.06 mm}, c: "
         "{want: 67.45..67.55 mm}}}}\n"
         "limits: {s: {stack: {plus: [crankcase.a], minus: [crankcase.b, crankcase.b, "
         "crankcase.c]}, when: assembled}}",
         "s.stack", "mm", 0.28, 0.72, 1e-9, "SH-032: 110 - 21 - 21 - 67.5"},
    };
    CHECK(rows);

    struct resolved resolved = resolved_of("limits: {s: {stack: {plus: [crankcase.depth], minus: "
                                           "[crankshaft.over]}, when: assembled}}");
    cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
    double got = build_fact(resolved.build, "s.stack")->uncertainty;
    cr_expect(fabs(got - sqrt(2) * 2e-6) < 1e-12,
              "two readings good to 2 um: %.4g m, JCGM 100 5.1.2", got);
    resolved_free(&resolved);
}

Test(resolve, a_ring_gap_by_rule_is_so_much_for_each_inch_of_bore)
{
    static const struct resolved_row rows[] = {
        {"engine: {bore: 3.5 in}\nlimits: {g: {of: [cover], rule: ring-gap, when: bench}}",
         "g.want", "in", 0.0123, NAN, 0.00006,
         "RR-014: a ring maker's service tip, 0.0035 in per in"},
        {"engine: {bore: 3.0000 in}\nlimits: {g: {of: [cover], rule: ring-gap, when: bench}}",
         "g.want", "in", 0.0105, NAN, 0.00001, "RR-003: arithmetic of 0.0035 in per in at 3 in"},
    };
    CHECK(rows);
}

Test(resolve, timing_turns_into_piston_travel_and_back)
{
    static const struct resolved_row rows[] = {
        /* an Army manual sets a diesel 0.2032 in below top for 19 deg; stroke 6 in, rod 12 in */
        {"engine: {stroke: 6 in, rod-length: 12 in}\nsettings: {t: {of: [cover], at: 19 deg before "
         "tdc firing}}",
         "t.at-other", "in", 0.2033, 0.2033, 0.0001,
         "research note on crank geometry, section 7: Army manual"},
        {"engine: {stroke: 6 in, rod-length: 12 in}\nsettings: {t: {of: [cover], at: 0.2033 in "
         "before tdc firing}}",
         "t.at-other", "deg", 19, 19, 0.01, "the same, inverse"},
        {"engine: {stroke: 90 mm, rod-length: unknown}\nsettings: {t: {of: [cover], at: 38 deg "
         "before tdc firing}}",
         "t.at-other", "mm", 11.4, 12.1, 0.2,
         "the bound over rods of 1.75 to 2.25 strokes: by hand"},
    };
    CHECK(rows);

    static const struct {
        const char *teeth;
        int64_t turns;
        const char *source;
    } gears[] = {
        {"[22, 23], of: [cover, crankshaft]", 23, "VT-023: lcm(driven, driver)/driver"},
        {"[22, 44], of: [cover, crankshaft]", 2, "VT-024"},
        {"[50, 25], of: [cover, crankshaft]", 1, "VT-025"},
        {"[17, 23, 34], of: [cover, crankshaft, main-bearing]", 46,
         "17, 23, 34 meet after lcm 782 teeth: 46 turns, by hand"},
    };
    for (size_t i = 0; i < sizeof gears / sizeof *gears; i++) {
        char patch[160];
        snprintf(patch, sizeof patch, "settings: {t: {marks: dot to dot, teeth: %s}}",
                 gears[i].teeth);
        struct resolved resolved = resolved_of(patch);
        cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
        cr_expect_eq(resolved.build->settings.items[0].turns, gears[i].turns, "%s",
                     gears[i].source);
        resolved_free(&resolved);
    }
}

Test(resolve, verdicts_name_their_side_and_distance)
{
    static const struct {
        const char *found;
        enum verdict verdict;
        const char *words; /* a part of what is said */
    } rows[] = {
        /* pin: new 34.98..35.00, worn at least 34.93, micrometer good to 2 um (ISO 14253-1) */
        {"34.990 mm", VERDICT_INSIDE, "inside"},
        {"34.9985 mm", VERDICT_NEAR_NEW, "inside the upper new limit"},
        {"34.979 mm", VERDICT_NEAR_NEW, "under the lower new limit"},
        {"34.960 mm", VERDICT_SERVICEABLE, "inside the lower wear limit"},
        {"34.931 mm", VERDICT_NEAR_WORN, "inside the lower wear limit"},
        {"34.920 mm", VERDICT_OUTSIDE, "0.010 mm (0.0004 in) under the lower wear limit"},
        {"35.010 mm", VERDICT_OUTSIDE, "0.010 mm (0.0004 in) over the upper new limit"},
        {"unknown", VERDICT_NOT_MEASURED, "not measured"},
        {"[{is: 34.990 mm, using: micrometer, where: front}, {is: 34.920 mm, using: micrometer, "
         "where: rear}]",
         VERDICT_OUTSIDE, "under the lower wear limit"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char patch[300];
        bool plain = rows[i].found[0] != '[' && rows[i].found[0] != 'u';
        snprintf(
            patch, sizeof patch,
            plain ? "parts: {crankshaft: {sizes: {pin: {measured: {is: %s, using: micrometer}}}}}"
                  : "parts: {crankshaft: {sizes: {pin: {measured: %s}}}}",
            rows[i].found);
        struct resolved resolved = resolved_of(patch);
        cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
        for (size_t k = 0; k < resolved.build->sizes.count; k++) {
            const struct size_values *values = &resolved.build->sizes.items[k];
            if (!str_equal(values->size->id, "crankshaft.pin"))
                continue;
            cr_expect_eq(values->verdict, rows[i].verdict, "%s: %s", rows[i].found,
                         verdict_word(values->verdict));
            const char *judged = resolved_words(&resolved, values->judged);
            cr_expect(judged != NULL && strstr(judged, rows[i].words) != NULL, "%s: %s",
                      rows[i].found, judged);
        }
        resolved_free(&resolved);
    }
}

Test(resolve, accept_silences_a_warning_once_and_is_remembered)
{
    struct resolved resolved = resolved_of(
        "joints: {cover-nuts: {engagement: 9 mm, accept: {G0510: inserts are fitted}}}");

    cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
    cr_expect_eq(resolved_count(&resolved, DIAG_ENGAGEMENT_SHORT), 0, "%s",
                 resolved_says(&resolved));
    cr_expect(resolved.spec->joints.items[0]->e.accept.items[0].used,
              "the reason would not reach the record");
    resolved_free(&resolved);
}

Test(resolve, a_size_ordered_from_outwork_counts_until_it_is_measured_on_return)
{
    static const char work[] =
        "outwork: {grind: {of: crankshaft, do: grind, want: {crankshaft.pin: 34.73..34.75 mm}}}";
    const struct resolved_row rows[] = {
        {work, "crankshaft.pin.ordered", "mm", 34.73, 34.75, 1e-9, "as ordered"},
    };
    CHECK(rows);

    struct resolved resolved = resolved_of(work);
    cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
    cr_expect_eq(resolved_count(&resolved, DIAG_SIZE_OUTSIDE), 0);
    for (size_t k = 0; k < resolved.build->sizes.count; k++)
        if (str_equal(resolved.build->sizes.items[k].size->id, "crankshaft.pin"))
            cr_expect_str_eq(resolved.build->sizes.items[k].found->id, "crankshaft.pin.ordered");
    resolved_free(&resolved);
}
