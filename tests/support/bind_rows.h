/* bind_rows.h - published check rows bound to look-ups, a topic at a time.
 *
 * A binder answers for one row: HELD, FAILED (with a message), or UNBOUND when the row states something
 * that the look-up does not carry. A topic that holds fewer rows than it once did fails. */
#ifndef BIND_ROWS_H
#define BIND_ROWS_H

#include "check_rows.h"

enum bind_outcome { UNBOUND, HELD, FAILED };

struct bind_fault {
    char text[400];
};
struct bind_topic {
    const char *topic;
    enum bind_outcome (*bind)(const struct check_row *row, struct bind_fault *fault);
    int least; /* rows that hold today */
};

/* HELD when `got` is within the row's tolerance of `expected`, else FAILED with both. */
enum bind_outcome bind_near(const struct check_row *row, struct bind_fault *fault, const char *what,
                            double got, double expected);
enum bind_outcome bind_fault(const struct check_row *row, struct bind_fault *fault,
                             const char *why);
/* Runs a topic over its rows in tests/published/`file`: every failing row is in the one message. */
void bind_run(const char *file, const struct bind_topic *topic);

#endif
