/* Published rows on fasteners against the built-in tables; each row names its source. The binders are
 * in tests/published. */
#include "published.h"
#include "rules.h"
#include "test_arena.h"

#include <criterion/criterion.h>
#include <stdio.h>

TestSuite(published_table, .init = test_arena_start, .fini = test_arena_stop);

#define TOPIC(name, topics, file, topic)                                                           \
    Test(published_table, name)                                                                    \
    {                                                                                              \
        published_topic_holds(topics, file, topic);                                                \
    }
#define THREADS(name, topic) TOPIC(name, published_threads, "fasteners.csv", topic)
#define JOINTS(name, topic) TOPIC(name, published_joints, "fasteners.csv", topic)

THREADS(iso_threads_are_as_printed, "thread-iso")
THREADS(unified_threads_are_as_printed, "thread-un")
THREADS(whitworth_threads_are_as_printed, "thread-whit")
THREADS(ba_threads_are_as_printed, "thread-ba")
THREADS(cycle_threads_are_as_printed, "thread-cycle")
THREADS(pipe_threads_are_as_printed, "thread-bsp")
THREADS(old_metric_pitches_are_as_printed, "thread-oldmetric")
THREADS(plug_threads_are_as_printed, "thread-spark")
THREADS(tapping_drills_are_as_printed, "tapdrill")
THREADS(hexagons_and_holes_are_as_printed, "geometry-bearing")
JOINTS(iso_898_strengths_and_loads_are_as_printed, "strength-iso898")
JOINTS(iso_3506_strengths_are_as_printed, "strength-iso3506")
JOINTS(sae_strengths_are_as_printed, "strength-sae")
JOINTS(an_bolts_are_as_printed, "strength-an")
JOINTS(british_grades_are_as_printed, "strength-british")
JOINTS(torques_of_ac_43_13_are_as_printed, "torque-ac4313")
JOINTS(least_drags_are_as_printed, "torque-prevailing")
JOINTS(sae_torques_are_as_printed, "torque-sae")
JOINTS(vdi_torques_are_as_printed, "torque-vdi")
JOINTS(plug_torques_are_as_printed, "torque-spark")
JOINTS(engaged_lengths_are_as_printed, "engagement")
JOINTS(nut_factors_are_as_printed, "torque-formula")
JOINTS(pins_wire_and_nut_temperatures_are_as_printed, "locking")
TOPIC(iso_threads_are_as_in_a_second_source, published_threads, "threads.csv", "thread-iso")
TOPIC(unified_threads_are_as_in_a_second_source, published_threads, "threads.csv", "thread-un")
#define MORE(name, topic) TOPIC(name, published_more, "fasteners-more.csv", topic)
MORE(threads_are_as_further_sources_print_them, "more-thread")
MORE(hexagons_are_as_further_sources_print_them, "more-hexagon")
MORE(clearance_holes_are_as_further_sources_print_them, "more-hole")
MORE(drills_are_as_further_sources_print_them, "more-drill")
MORE(tapping_drills_are_as_further_sources_print_them, "more-tapdrill")
MORE(torques_are_as_further_sources_print_them, "more-torque")
MORE(nuts_hold_the_printed_proof_loads, "more-nut")
JOINTS(factors_belong_to_the_table_that_prints_them, "torque-lubrication")
JOINTS(castellated_nuts_go_as_printed, "castellated")
JOINTS(torques_are_as_a_reprint_converts_them, "units")

#define CELLS(name, topics, topic) TOPIC(name, topics, "fasteners-cells.csv", topic)
CELLS(pipe_and_ba_threads_are_as_further_tables_print_them, published_more, "more-thread")
CELLS(heads_and_old_nuts_are_as_further_tables_print_them, published_more, "more-hexagon")
CELLS(holes_are_as_further_tables_print_them, published_more, "more-hole")
CELLS(all_drills_are_as_a_second_table_prints_them, published_more, "more-drill")
CELLS(split_pins_lie_within_the_printed_limits, published_more, "more-pin-size")
CELLS(the_vdi_and_stainless_tables_are_whole, published_joints, "torque-vdi")
CELLS(torques_of_ac_43_13_are_as_another_printing_has_them, published_joints, "torque-ac4313")
CELLS(drags_are_as_another_manual_prints_them, published_joints, "torque-prevailing")
CELLS(the_sae_table_is_whole, published_joints, "torque-sae")

Test(published_table, every_row_on_fasteners_is_carried_by_a_record_or_a_formula)
{
    published_file("fasteners.csv", true);
}

Test(published_table, cells_agree_with_names_formulas_and_each_other)
{
    const struct table_kind *kind;
    const void *row;

    for (size_t k = 0; (kind = table_kind_at(k)) != NULL; k++)
        for (size_t i = 0; (row = table_row_at(table_set_default(), kind->name, i)) != NULL; i++) {
            const struct published_rule *broken =
                published_broken_rule(table_set_default(), kind->name, row);
            cr_expect_null(broken, "%s row %zu (%s): not so: %s (%s)", kind->name, i,
                           ((const struct table_row *)row)->table->id, broken->says,
                           broken->source);
        }
}
