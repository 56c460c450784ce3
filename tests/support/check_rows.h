/* check_rows.h - published check values: tests/published/NAME.csv, read row by row.
 *
 * Columns: id, topic, input (key=value;key=value), expected, unit, tolerance, source, how: read,
 * computed, from memory, or second: read in another source than the one that the table was filled from. */
#ifndef CHECK_ROWS_H
#define CHECK_ROWS_H

#include <stdbool.h>
#include <stddef.h>

struct check_row {
    const char *file;
    int line;
    const char *id, *topic, *input, *expected, *unit, *tolerance, *source, *how;
};
struct check_rows {
    struct check_row *items;
    size_t count;
};
/* All rows of tests/published/NAME; aborts with a message when the file is missing or malformed. */
struct check_rows check_rows_load(const char *name);

/* The value of `key` in "key=value;key=value", in one of a few rotating buffers; NULL when absent. */
const char *check_part(const char *text, const char *key);
/* The number at the beginning of a text ("54 mm" is 54, "2/3" is 0.667); false when there is none. */
bool check_number(const char *text, double *number);
/* check_part and check_number in one; aborts when absent: the caller has matched the row's form. */
double check_value(const struct check_row *row, const char *key);
bool check_has(const struct check_row *row, const char *key);
/* The tolerance as a number: absolute, or "1 %" of `expected`; 0 (carried exactly) gives 1e-9 of it. */
double check_tolerance(const struct check_row *row, double expected);

/* --- for tests of formulas: these fail the running Criterion test --- */
/* The number behind `words`, which begin at a word's beginning; NAN when they are not there. */
double check_after(const char *text, const char *words);
bool check_says(const struct check_row *row, const char *words);
/* check_after in the row's input; fails the test when it is not there. */
double check_given(const struct check_row *row, const char *words);
/* `got` against the number behind `words` of the expected text ("" for its beginning). */
void check_expect(const struct check_row *row, const char *words, double got);

struct check_topic {
    const char *file, *topic;
    bool (*run)(const struct check_row *row); /* false: the row is no formula */
    int least; /* rows that must run: only grows */
};
void check_topics(const struct check_topic *topics, size_t count);

#endif
