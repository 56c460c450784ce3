/* published.c - running the published rows of a topic. */
#include "published.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

const struct table_set *published_set;

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

struct published_count published_topic_run(const struct published_topic *topic, bool stop)
{
    struct check_rows rows = check_rows_load(topic->file);
    struct published_count count = {0};
    struct bind_fault fault = {""};

    for (size_t i = 0; i < rows.count && !(stop && count.failed > 0); i++) {
        if (strcmp(rows.items[i].topic, topic->topic) != 0)
            continue;
        enum bind_outcome outcome = topic->bind(&rows.items[i], &fault);
        count.all++;
        count.held += outcome == HELD;
        count.failed += outcome == FAILED;
        if (outcome == FAILED && count.failed == 1)
            count.first = fault;
    }
    return count;
}

void published_topic_holds(const struct published_topic *topics, const char *file,
                           const char *topic)
{
    while (topics->file != NULL &&
           (strcmp(topics->file, file) != 0 || strcmp(topics->topic, topic) != 0))
        topics++;
    cr_assert_not_null(topics->file, "no binder for the topic %s of %s", topic, file);
    published_set = table_set_default();
    struct published_count count = published_topic_run(topics, false);
    printf("published %s: %d of %d rows hold\n", topic, count.held, count.all);
    fflush(stdout);
    cr_assert_eq(count.failed, 0, "%d rows fail, first %s", count.failed, count.first.text);
    cr_assert_geq(count.held, topics->least, "%s: %d rows hold, %d did before", topic, count.held,
                  topics->least);
}
