/* pair.c - do two values printed side by side agree, and if not, which slip would explain it?
 *
 * A printed value stands for an interval of half a unit in its last digit; a fraction is exact.
 * Intervals that touch agree. */
#include "qty_private.h"
#include <math.h>
#include <string.h>

/* One end of a printed value: what must lie together. */
struct end {
    double value, half; /* SI */
    const struct qty *as_written;
};

static struct end end_of(const struct qty *qty, double from)
{
    return (struct end){qty->si - from, qty->half_digit, qty};
}

/* The ends of a value in the order in which they pair: a size by its nominal and deviations. */
static size_t ends_of(const struct qty_value *value, struct end ends[3])
{
    switch (value->kind) {
    case QTY_LIMITS:
        ends[0] = end_of(&value->low, 0);
        ends[1] = end_of(&value->high, 0);
        return 2;
    case QTY_SIZE:
        ends[0] = end_of(&value->nominal, 0);
        ends[1] = end_of(&value->low, value->nominal.si);
        ends[2] = end_of(&value->high, value->nominal.si);
        return 3;
    default:
        ends[0] = end_of(value->kind == QTY_AT_LEAST  ? &value->low
                         : value->kind == QTY_AT_MOST ? &value->high
                                                      : &value->nominal,
                         0);
        return 1;
    }
}

static bool touch(double a, double a_half, double b, double b_half)
{
    return fabs(a - b) <= (a_half + b_half) * (1 + 1e-9) + 1e-12 * fabs(a);
}

static bool ends_touch(const struct end *a, const struct end *b, double factor)
{
    return touch(a->value * factor, a->half * fabs(factor), b->value, b->half);
}

/* The digits of `qty`'s own text with those at `i` and `i + 1` swapped, read again in its unit. */
static bool swapped_touches(const struct end *a, const struct end *b)
{
    double step = 2 * b->half, digits;

    if (step <= 0 || b->as_written->unit == NULL)
        return false;
    digits = fabs(b->value) / step;
    if (digits > 1e15)
        return false;
    int64_t number = llround(digits);
    double sign = b->value < 0 ? -1 : 1;
    for (int64_t place = 1; number / place >= 10; place *= 10) {
        int64_t low = number / place % 10, high = number / (place * 10) % 10;
        int64_t swapped = number + (high - low) * place + (low - high) * place * 10;
        if (low != high && touch(a->value, a->half, sign * (double)swapped * step, b->half))
            return true;
    }
    return false;
}

/* Slips that multiply. */
static const struct {
    double factor;
    enum qty_dim dim; /* QTY_NONE: any */
    const char *slip;
} slips[] = {
    {10, QTY_NONE, "a point one place out would explain it"},
    {0.1, QTY_NONE, "a point one place out would explain it"},
    {100, QTY_NONE, "a point two places out would explain it"},
    {0.01, QTY_NONE, "a point two places out would explain it"},
    {1000, QTY_NONE, "a factor of a thousand would explain it"},
    {0.001, QTY_NONE, "a factor of a thousand would explain it"},
    {-1, QTY_NONE, "a lost minus would explain it"},
    {25.0 / 25.4, QTY_LENGTH, "an inch taken as 25 mm would explain it"},
    {12, QTY_TORQUE, "inches and feet changed about would explain it"},
    {1.0 / 12, QTY_TORQUE, "inches and feet changed about would explain it"},
    {9.80665, QTY_NONE, "kgf taken for N would explain it"},
    {1 / 9.80665, QTY_NONE, "N taken for kgf would explain it"},
    {277.4194327916215 / 231, QTY_VOLUME, "imperial taken for American measure would explain it"},
    {231 / 277.4194327916215, QTY_VOLUME, "American taken for imperial measure would explain it"},
};

static const char *slip_between(const struct qty_value *first, const struct end *a,
                                const struct end *b, size_t count)
{
    for (size_t i = 0; i < sizeof slips / sizeof *slips; i++) {
        size_t same = 0;
        if (slips[i].dim != QTY_NONE && slips[i].dim != first->nominal.dim)
            continue;
        while (same < count && ends_touch(&a[same], &b[same], slips[i].factor))
            same++;
        if (same == count)
            return slips[i].slip;
    }
    for (size_t i = 0; i < count; i++)
        if (!ends_touch(&a[i], &b[i], 1) && !swapped_touches(&a[i], &b[i]) &&
            !swapped_touches(&b[i], &a[i]))
            return NULL;
    return "two neighbouring digits swapped would explain it";
}

bool pair_agrees(const struct qty_value *first, const struct qty_value *second, const char **slip)
{
    struct end a[3], b[3];
    size_t count = ends_of(first, a), same = 0;
    size_t other = ends_of(second, b);

    *slip = NULL;
    if (other < count)
        count = other;
    while (same < count && ends_touch(&a[same], &b[same], 1))
        same++;
    if (same == count)
        return true;
    *slip = slip_between(first, a, b, count);
    return false;
}
