/* expression.h - formulas as published rows print them: "P1+P2+0.15-A", "(E/2)(dd/d)(1-k^2)". */
#ifndef PUBLISHED_EXPRESSION_H
#define PUBLISHED_EXPRESSION_H

#include <stddef.h>

struct expression_value {
    const char *name;
    double value;
};
/* + - * / ^ and brackets; brackets side by side multiply. Ends at ';' or '=' ; NAN for an unknown name. */
double expression(const char *text, const struct expression_value *values, size_t count);

#endif
