/* expression.c - formulas as published rows print them, worked out by recursive descent. */
#include "expression.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct reader {
    const char *at;
    const struct expression_value *values;
    size_t count;
};

static double sum(struct reader *reader);

static char next(struct reader *reader)
{
    while (*reader->at == ' ')
        reader->at++;
    return *reader->at;
}

static double name(struct reader *reader)
{
    size_t length = 0;
    const char *start = reader->at;
    while (isalnum((unsigned char)start[length]) || start[length] == '_')
        length++;
    reader->at += length;
    for (size_t i = 0; i < reader->count; i++)
        if (strlen(reader->values[i].name) == length &&
            strncmp(reader->values[i].name, start, length) == 0)
            return reader->values[i].value;
    return NAN;
}

static double factor(struct reader *reader)
{
    double value = NAN;
    char first = next(reader);
    if (first == '(') {
        reader->at++;
        value = sum(reader);
        if (next(reader) != ')')
            return NAN;
        reader->at++;
    } else if (isdigit((unsigned char)first)) {
        char *end;
        value = strtod(reader->at, &end);
        reader->at = end;
    } else if (isalpha((unsigned char)first)) {
        value = name(reader);
    }
    if (next(reader) != '^')
        return value;
    reader->at++;
    return pow(value, factor(reader));
}

static double product(struct reader *reader)
{
    double value = factor(reader);
    for (char sign; (sign = next(reader)) == '*' || sign == '/' || sign == '(';) {
        reader->at += sign != '(';
        double other = factor(reader);
        value = sign == '/' ? value / other : value * other;
    }
    return value;
}

static double sum(struct reader *reader)
{
    double value = product(reader);
    for (char sign; (sign = next(reader)) == '+' || sign == '-';) {
        reader->at++;
        double other = product(reader);
        value = sign == '+' ? value + other : value - other;
    }
    return value;
}

double expression(const char *text, const struct expression_value *values, size_t count)
{
    struct reader reader = {text, values, count};
    double value = sum(&reader);
    char end = next(&reader);
    return end == '\0' || end == ';' || end == '=' ? value : NAN;
}
