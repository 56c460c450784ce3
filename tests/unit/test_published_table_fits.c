/* Published rows on fits, bearings, materials, heat and rules against the built-in tables; each row
 * names its source. The binders are in tests/published. */
#include "published.h"
#include "test_arena.h"

#include <criterion/criterion.h>

#include <stdio.h>

TestSuite(published_fits, .init = test_arena_start, .fini = test_arena_stop);

#define TOPIC(name, topic)                                                                         \
    Test(published_fits, name)                                                                     \
    {                                                                                              \
        published_topic_holds(published_fits, "fits-and-engine.csv", topic);                       \
    }

TOPIC(iso_grades_are_as_printed, "iso286-it")
TOPIC(iso_shafts_are_as_printed, "iso286-shaft")
TOPIC(iso_holes_are_as_printed, "iso286-hole")
TOPIC(iso_deviations_are_as_printed, "iso286-fd")
TOPIC(iso_rules_and_corrigendum_hold, "iso286-rule")
TOPIC(iso_fits_are_as_computed, "iso286-fit")
TOPIC(inch_fits_are_as_printed, "ansi-b4.1")
TOPIC(metric_bearings_are_as_printed, "bearing-dim-metric")
TOPIC(inch_bearings_are_as_printed, "bearing-dim-inch")
TOPIC(designations_are_read_as_printed, "bearing-designation")
TOPIC(bearing_clearances_are_as_printed, "bearing-clearance")
TOPIC(bearing_tolerances_are_as_printed, "bearing-tolerance")
TOPIC(bearing_seats_come_out_as_printed, "bearing-seat")
TOPIC(seat_choices_are_as_printed, "bearing-fit-choice")
TOPIC(expansions_are_as_printed, "material-alpha")
TOPIC(moduli_are_as_printed, "material-E")
Test(published_fits, densities_ratios_and_strengths_are_as_printed)
{
    published_topic_holds(published_fits, "materials.csv", "material-other");
}
TOPIC(heating_ceilings_are_as_printed, "thermal-limit")
TOPIC(ring_gap_rules_are_as_printed, "ring-gap-rule")
TOPIC(wear_rules_are_as_printed, "wear-rule")
TOPIC(oil_clearance_rules_are_as_printed, "plain-bearing")

/* Further cells, read by hand in the same sources or in others. */
Test(published_fits, bearings_and_inch_fits_are_as_read_by_hand)
{
    static const char *const topics[] = {"bearing-dim-metric", "bearing-dim-inch",
                                         "bearing-clearance", "bearing-tolerance"};
    for (size_t i = 0; i < sizeof topics / sizeof *topics; i++)
        published_topic_holds(published_fits, "bearings.csv", topics[i]);
    published_topic_holds(published_fits, "inch-fits.csv", "ansi-b4.1");
}

Test(published_fits, deviations_and_grades_are_as_a_second_table_prints_them)
{
    published_topic_holds(published_fits_more, "deviations.csv", "more-deviation");
    published_topic_holds(published_fits_more, "deviations.csv", "more-grade");
}

Test(published_fits, rules_and_materials_are_as_read_by_hand)
{
    published_topic_holds(published_fits_more, "practice.csv", "more-rule");
    published_topic_holds(published_fits_more, "practice.csv", "more-material");
}

Test(published_fits, every_row_on_fits_and_engines_is_carried_by_a_record_a_formula_or_a_spec)
{
    struct published_carried carried = published_file("fits-and-engine.csv", true);

    cr_expect_geq(carried.numeric, 2104);
    cr_expect_geq(carried.worded, 129);
}
