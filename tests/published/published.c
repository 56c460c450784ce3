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
    double number, tolerance = 1e-9 * fabs(expected); /* figures of a row in words are exact */
    if (check_number(row->tolerance, &number))
        tolerance = check_tolerance(row, expected);

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
        if (outcome == UNBOUND)
            outcome = published_practice(&rows.items[i], &fault);
        count.all++;
        count.held += outcome == HELD;
        count.failed += outcome == FAILED;
        if (outcome == FAILED && count.failed == 1)
            count.first = fault;
    }
    return count;
}

const struct published_topic *const published_topics[] = {
    published_threads, published_joints, published_more, published_fits, published_fits_more, NULL};

static const struct published_topic *topic_of(const struct check_row *row)
{
    for (const struct published_topic *const *list = published_topics; *list != NULL; list++)
        for (const struct published_topic *topic = *list; topic->file != NULL; topic++)
            if (strcmp(topic->file, row->file) == 0 && strcmp(topic->topic, row->topic) == 0)
                return topic;
    return NULL;
}

/* A formula fails the running test itself. */
static bool formula_runs(const struct check_row *row)
{
    const struct check_topic *const lists[] = {published_formulas, published_formulas_fits,
                                               published_formulas_engine,
                                               published_formulas_printed};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++)
        for (const struct check_topic *formula = lists[i]; formula->file != NULL; formula++)
            if (strcmp(formula->file, row->file) == 0 &&
                strcmp(formula->topic, row->topic) == 0 && formula->run(row))
                return true;
    return false;
}

enum bind_outcome published_looked_up(const struct check_row *row, struct bind_fault *fault)
{
    const struct published_topic *topic = topic_of(row);
    enum bind_outcome outcome = topic == NULL ? UNBOUND : topic->bind(row, fault);
    if (outcome == UNBOUND)
        outcome = published_practice(row, fault);
    return outcome;
}

enum bind_outcome published_row(const struct check_row *row, struct bind_fault *fault)
{
    enum bind_outcome outcome = published_looked_up(row, fault);
    return outcome == UNBOUND && formula_runs(row) ? HELD : outcome;
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

struct published_carried published_file(const char *file, bool all)
{
    struct check_rows rows = check_rows_load(file);
    struct bind_fault fault = {""};
    struct published_carried carried = {0};

    published_set = table_set_default();
    for (size_t i = 0; i < rows.count; i++) {
        double number;
        enum bind_outcome outcome = published_row(&rows.items[i], &fault);
        cr_expect_neq(outcome, FAILED, "%s", fault.text);
        cr_expect(!all || outcome != UNBOUND, "%s:%d %s: nothing carries it", rows.items[i].file,
                  rows.items[i].line, rows.items[i].id);
        *(check_number(rows.items[i].tolerance, &number) ? &carried.numeric : &carried.worded) +=
            outcome == HELD;
    }
    printf("published %s: %zu numeric rows hold, %zu rows in words are carried\n", file,
           carried.numeric, carried.worded);
    fflush(stdout);
    return carried;
}
