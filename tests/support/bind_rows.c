/* bind_rows.c - running the published rows of a topic. */
#include "bind_rows.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum bind_outcome bind_fault(const struct check_row *row, struct bind_fault *fault, const char *why)
{
    snprintf(fault->text, sizeof fault->text, "%s:%d %s [%s]: %s", row->file, row->line, row->id,
             row->input, why);
    return FAILED;
}

enum bind_outcome bind_near(const struct check_row *row, struct bind_fault *fault, const char *what,
                            double got, double expected)
{
    char why[160];
    double tolerance = check_tolerance(row, expected);

    if (fabs(got - expected) <= fmax(tolerance * (1 + 1e-9), 1e-9))
        return HELD;
    snprintf(why, sizeof why, "%s %.10g, printed %.10g, tolerance %g", what, got, expected,
             tolerance);
    return bind_fault(row, fault, why);
}

void bind_run(const char *file, const struct bind_topic *topic)
{
    struct check_rows rows = check_rows_load(file);
    struct bind_fault fault = {""}, first = {""};
    int held = 0, failed = 0, all = 0;

    for (size_t i = 0; i < rows.count; i++) {
        if (strcmp(rows.items[i].topic, topic->topic) != 0)
            continue;
        all++;
        enum bind_outcome outcome = topic->bind(&rows.items[i], &fault);
        held += outcome == HELD;
        failed += outcome == FAILED;
        if (outcome == FAILED && failed == 1)
            first = fault;
    }
    printf("published %s: %d of %d rows hold\n", topic->topic, held, all);
    fflush(stdout);
    cr_assert_eq(failed, 0, "%d rows fail, first %s", failed, first.text);
    cr_assert_geq(held, topic->least, "%s: %d rows hold, %d did before", topic->topic, held,
                  topic->least);
}
