/* published.h - published check rows bound to look-ups in the reference tables, a topic at a time.
 *
 * A binder answers for one row: HELD, FAILED (with a message), or UNBOUND when the row states something
 * that the look-up does not carry. A topic that holds fewer rows than it once did fails. Binders look
 * up in `published_set` alone, so a test can run all rows over a set with a changed cell. */
#ifndef PUBLISHED_H
#define PUBLISHED_H

#include "check_rows.h"

#include <gudgeon/table.h>

extern const struct table_set
    *published_set; /* the built-in one unless a test puts another there */

enum bind_outcome { UNBOUND, HELD, FAILED };

struct bind_fault {
    char text[400];
};
struct published_topic {
    const char *file, *topic; /* of tests/published; NULL ends a list */
    enum bind_outcome (*bind)(const struct check_row *row, struct bind_fault *fault);
    int least; /* rows that hold today */
};
extern const struct published_topic published_threads[], published_joints[], published_more[],
    published_fits[], published_fits_more[];
/* All of them; ended by NULL. */
extern const struct published_topic *const published_topics[];
/* The table's name of a material as a source prints it ("steel 1020"), NULL when it has none. */
const char *published_material(const char *printed);
/* Rows of practice, bound one by one by their id; asked after the binder of the topic. */
enum bind_outcome published_practice(const struct check_row *row, struct bind_fault *fault);
/* Rows on fits and engines that a record of the tables carries; asked after those of practice. */
enum bind_outcome published_record(const struct check_row *row, struct bind_fault *fault);
/* A row that states one engine's figures: a spec with them, resolved and judged. */
enum bind_outcome published_engine(const struct check_row *row, struct bind_fault *fault);
enum bind_outcome published_match(const struct check_row *row, struct bind_fault *fault);
/* Rows that a formula gives. */
extern const struct check_topic published_formulas[], published_formulas_fits[],
    published_formulas_engine[], published_formulas_printed[];

/* HELD when `got` is within the row's tolerance of `expected`, else FAILED with both. */
enum bind_outcome bind_near(const struct check_row *row, struct bind_fault *fault, const char *what,
                            double got, double expected);
enum bind_outcome bind_fault(const struct check_row *row, struct bind_fault *fault,
                             const char *why);

struct published_count {
    int all, held, failed;
    struct bind_fault first; /* of the failures */
};
/* Runs a topic over its rows; with `stop` only up to the first row that does not hold. */
struct published_count published_topic_run(const struct published_topic *topic, bool stop);
/* How a row is carried: by a binder of its topic, by a record of practice, or by a formula (which then
 * has been run). */
enum bind_outcome published_looked_up(const struct check_row *row, struct bind_fault *fault);
/* The same, or by a formula: for a running test. */
enum bind_outcome published_row(const struct check_row *row, struct bind_fault *fault);
struct published_carried {
    size_t numeric, worded; /* rows that hold */
};
/* All rows of a file against the built-in tables, printed as a line; a row that fails fails the running
 * test, and with `all` one that nothing carries does too. */
struct published_carried published_file(const char *file, bool all);
/* Fails the running test unless no row of the topic fails and at least `least` hold. */
void published_topic_holds(const struct published_topic *topics, const char *file,
                           const char *topic);

#endif
