/* resolved.h - builds resolved from a patch on tests/golden/resolve/base/single.yaml, for tests of
 * values. */
#ifndef RESOLVED_H
#define RESOLVED_H

#include <gudgeon/resolve.h>

struct resolved {
    struct context *context;
    struct spec *spec;
    struct build *build; /* NULL after an error */
};
/* `patch`: the lines after `base:`. */
struct resolved resolved_of(const char *patch);
void resolved_free(struct resolved *resolved);
/* All diagnostics as text, for the message of a failing assertion. */
const char *resolved_says(const struct resolved *resolved);
/* A phrase of the build in English. */
const char *resolved_words(const struct resolved *resolved, const struct phrase *phrase);
/* How often a code was reported. */
size_t resolved_count(const struct resolved *resolved, enum diag_code code);

/* One row: what a fact's ends must be, in `unit`; NAN: that end is open or not looked at. */
struct resolved_row {
    const char *patch, *fact, *unit;
    double low, high, tolerance;
    const char *source;
};
/* Asserts every row; the failing one stands in the message. */
void resolved_check(const struct resolved_row *rows, size_t count);

#endif
