/* Where a formula or a table ends: each edge gives its value or one clear error, and what lies a
 * thousandth of a millimetre beside it too. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "../support/resolved.h"

/* One row: the patch, and words of the one error that it must give. */
static const struct {
    const char *patch, *words;
    enum diag_code code;
} refused[] = {
    {"parts: {crankcase: {sizes: {x: 0 mm H7}}}", "not tabled for 0 mm", DIAG_CLASS_UNKNOWN},
    {"parts: {crankcase: {sizes: {x: 500.001 mm H7}}}", "not tabled for 500.001 mm", DIAG_CLASS_UNKNOWN},
    {"settings: {t: {of: [cover], at: 90.001 mm before tdc firing}}", "beyond the stroke",
     DIAG_CRANK_BEYOND_STROKE},
    {"settings: {t: {of: [cover], at: 180.5 deg before tdc firing}}", "beyond half a turn",
     DIAG_CRANK_BEYOND_STROKE},
    {"engine: {rod-length: 45 mm}\nsettings: {t: {of: [cover], at: 30 deg before tdc firing}}",
     "a rod of 45 mm on a stroke of 90 mm", DIAG_CRANK_ROD_SHORT},
    {"fits: {main-outside: {press: {outside: 61.985 mm}}}", "outside is no larger", DIAG_PRESS_SIZES},
    {"fits: {main-outside: {press: {outside: 90 mm, bore: 61.985 mm}}}", "bore is no smaller",
     DIAG_PRESS_SIZES},
    {"limits: {l: {formula: {roller-room: {pin: 20 mm, roller: 3 mm, count: 0}}, when: bench}}",
     "at least one roller", DIAG_FORMULA_DOMAIN},
    {"limits: {l: {formula: {ring-gap-worn: {gap: 0.3 mm, unworn: 0 mm, worn: 80 mm}}, when: bench}}",
     "a bore is more than nothing", DIAG_FORMULA_DOMAIN},
    {"limits: {l: {formula: {spring-rate: {closed: 10 N, closed-length: 40 mm, open: 20 N, "
     "open-length: 40 mm}}, when: bench}}",
     "shorter when the valve is open", DIAG_FORMULA_DOMAIN},
    {"limits: {l: {formula: {bob-weight: {rotating: 10 g, reciprocating: 10 g, factor: 100.1%}}, "
     "when: bench}}",
     "a share, from 0 to 1", DIAG_FORMULA_DOMAIN},
    {"limits: {l: {formula: {ball-life: {capacity: 10 kN, load: 1 kN, speed: 0 rpm}}, when: bench}}",
     "more than nothing", DIAG_FORMULA_DOMAIN},
    {"limits: {l: {formula: {compression-ratio: {chamber: 20 cm3, deck: -5 mm}}, when: bench}}",
     "no space is left", DIAG_FORMULA_DOMAIN},
    {"fits: {main-outside: {heat: {part: crankcase, gap: 0.02 mm, cooling: 100%}}}",
     "leaves nothing", DIAG_SHARE_OF_ALL},
    {"fits: {main-outside: {chill: {part: main-bearing, gap: 0.01 mm, warming: 100%}}}",
     "leaves nothing", DIAG_SHARE_OF_ALL},
};

Test(resolve_edges, beyond_the_edge_there_is_one_error_that_says_why)
{
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        struct resolved resolved = resolved_of(refused[i].patch);
        const char *says = resolved_says(&resolved);
        cr_expect_eq(resolved_count(&resolved, refused[i].code), 1, "%s: %s", refused[i].patch, says);
        cr_expect(strstr(says, refused[i].words) != NULL, "%s: %s", refused[i].patch, says);
        resolved_free(&resolved);
    }
}

/* Some zeros are refused as they are read. */
Test(resolve_edges, what_may_not_be_nothing_is_refused_when_it_is_read)
{
    static const char *const patches[] = {
        "engine: {stroke: 0 mm}",
        "settings: {t: {of: [cover], at: 30 deg before tdc firing, rim: 0 mm}}",
        "limits: {l: {formula: {ball-life: {capacity: 10 kN, load: 0 kN, speed: 1500 rpm}}, when: bench}}",
        "limits: {l: {formula: {drill-depth: {unbalance: 10 g mm, radius: 0 mm, drill: 8 mm, density: "
        "7850 kg/m3}}, when: bench}}",
        "limits: {l: {formula: {roller-room: {pin: 0 mm, roller: 3 mm, count: 18}}, when: bench}}",
        "limits: {l: {formula: {swept-volume: {bore: 0 mm, stroke: 40 mm}}, when: bench}}",
        "fits: {main-outside: {press: {outside: 0 mm}}}",
    };

    for (size_t i = 0; i < sizeof patches / sizeof *patches; i++) {
        struct resolved resolved = resolved_of(patches[i]);
        const char *says = resolved_says(&resolved);
        cr_expect(strstr(says, "is nothing") != NULL, "%s: %s", patches[i], says);
        resolved_free(&resolved);
    }
}

Test(resolve_edges, a_class_steps_after_3_6_10_18_30_50_80_120_and_ends_at_500)
{
    /* IT7 in micrometres, ISO 286-1 table 1: a step includes its upper end */
    static const struct {
        double mm;
        int um;
    } rows[] = {{2.999, 10}, {3, 10},     {3.001, 12},  {5.999, 12}, {6, 12},      {6.001, 15},
                {9.999, 15}, {10, 15},    {10.001, 18}, {17.999, 18}, {18, 18},    {18.001, 21},
                {29.999, 21}, {30, 21},   {30.001, 25}, {49.999, 25}, {50, 25},    {50.001, 30},
                {79.999, 30}, {80, 30},   {80.001, 35}, {119.999, 35}, {120, 35},  {120.001, 40},
                {499.999, 63}, {500, 63}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char patch[96];
        snprintf(patch, sizeof patch, "parts: {crankcase: {sizes: {x: %.3f mm H7}}}", rows[i].mm);
        struct resolved_row row = {patch, "crankcase.x.want", "mm", rows[i].mm,
                                   rows[i].mm + rows[i].um * 1e-3, 1e-9, "ISO 286-1 table 1"};
        resolved_check(&row, 1);
    }
}

/* Stress of a hub as thin as its wall is: Lame at k = d/D near 1 goes as d/(2 wall) times the pressure. */
Test(resolve_edges, a_thin_hub_is_stretched_by_all_of_the_interference)
{
    struct resolved resolved = resolved_of(
        "fits: {main-outside: {want: -0.2..0 mm, press: {outside: 62.985 mm}}}\nparts: {crankcase: {sizes: {main-bore: "
        "{measured: {is: 61.900 mm, using: bore-gauge}}}}}");

    cr_assert(resolved.build != NULL, "%s", resolved_says(&resolved));
    const struct fact *hoop = build_fact(resolved.build, "main-outside.press-hoop");
    cr_assert(hoop != NULL);
    /* a thin ring on a stiff core stretches by all of the interference: E u/d, 72.4 GPa, 0.087..0.100 mm */
    cr_expect_float_eq(hoop->value.high.si, 72.4e9 * 0.100 / 61.9, 3e6, "%g", hoop->value.high.si);
    resolved_free(&resolved);
}

Test(resolve_edges, on_the_edge_there_is_a_value)
{
    static const struct resolved_row rows[] = {
        {"settings: {t: {of: [cover], at: 90 mm before tdc firing}}", "t.at-other", "deg", 180, 180,
         1e-6, "the whole stroke is half a turn"},
        {"settings: {t: {of: [cover], at: 180 deg before tdc firing}}", "t.at-other", "mm", 90, 90,
         1e-6, "half a turn is the whole stroke"},
        {"settings: {t: {of: [cover], at: 0 deg before tdc firing}}", "t.at-other", "mm", 0, 0, 1e-9,
         "no turn is no travel"},
        {"limits: {l: {formula: {bob-weight: {rotating: 10 g, reciprocating: 10 g, factor: 100%}}, "
         "when: bench}}",
         "l.bob-weight", "g", 20, 20, 1e-9, "all of it"},
        {"limits: {l: {formula: {bob-weight: {rotating: 10 g, reciprocating: 10 g, factor: 0%}}, "
         "when: bench}}",
         "l.bob-weight", "g", 10, 10, 1e-9, "none of it"},
        {"limits: {l: {formula: {shell-grip: {proud: 0 mm}}, when: bench}}", "l.shell-grip", "mm", 0, 0,
         1e-9, "flush shells have no grip"},
        {"fits: {main-outside: {want: -0.1..0.2 mm, heat: {part: crankcase, gap: 0 mm}}}\nparts: "
         "{crankcase: {sizes: {main-bore: {measured: {is: 62.100 mm, using: bore-gauge}}}}}",
         "main-outside.heat-to", "degC", 20, 20, 1e-9, "what is loose already needs no heat"},
    };

    resolved_check(rows, sizeof rows / sizeof *rows);
}
