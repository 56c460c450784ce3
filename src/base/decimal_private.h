/* decimal_private.h - a double as decimal digits, whatever the locale. */
#ifndef GUDGEON_DECIMAL_PRIVATE_H
#define GUDGEON_DECIMAL_PRIVATE_H

#include <stdbool.h>

enum { DECIMAL_DIGITS = 17 }; /* enough for any double */

/* 0.digits[0] digits[1] ... * 10^(exponent + 1), without zeros at the end. */
struct decimal {
    bool negative;
    char digits[DECIMAL_DIGITS + 2];
    int count;
    int exponent; /* of the first digit */
};

/* `value` rounded to `digits` significant digits; finite only (asserted). */
struct decimal decimal_of(double value, int digits);
/* Sign, digits and at most one point: what no spreadsheet would run. */
bool decimal_is_number(const char *text);

#endif
