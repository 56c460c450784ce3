/* resolve_range.c - arithmetic with values that are known within limits. */
#include "resolve_private.h"

bool range_known(struct range range)
{
    return range.low_set && range.high_set;
}

struct qty range_qty_pm(int64_t pm, const struct qty_unit *unit)
{
    struct qty qty = qty_from_pm(pm);

    if (unit != NULL && unit->dim == QTY_LENGTH)
        qty.unit = unit;
    return qty;
}

struct qty range_qty_si(double si, enum qty_dim dim, const struct qty_unit *unit)
{
    struct qty qty = qty_from_si(si, dim);

    if (unit != NULL && unit->dim == dim)
        qty.unit = unit;
    return qty;
}

struct qty range_qty_plus(struct qty a, struct qty b, int times)
{
    if (a.dim == QTY_LENGTH)
        return range_qty_pm(a.exact + times * b.exact, a.unit);
    return range_qty_si(a.si + times * b.si, a.dim, a.unit);
}

struct qty range_qty_times(struct qty a, double factor)
{
    if (a.dim == QTY_LENGTH)
        return range_qty_pm((int64_t)llround((double)a.exact * factor), a.unit);
    return range_qty_si(a.si * factor, a.dim, a.unit);
}

struct qty range_middle(struct range range)
{
    if (range.low.dim == QTY_LENGTH)
        return range_qty_pm(range.low.exact + (range.high.exact - range.low.exact) / 2,
                            range.low.unit);
    return range_qty_si((range.low.si + range.high.si) / 2, range.low.dim, range.low.unit);
}

struct range range_of_value(const struct qty_value *value)
{
    struct range range = {.low = value->low, .high = value->high};

    switch (value->kind) {
    case QTY_ONE:
    case QTY_LIMITS:
    case QTY_SIZE:
    case QTY_CLASS: /* its ends were filled in by resolve_claim */
        range.low_set = range.high_set = true;
        break;
    case QTY_AT_LEAST:
        range.low_set = true;
        break;
    case QTY_AT_MOST:
        range.high_set = true;
        break;
    case QTY_ABSENT:
    case QTY_UNKNOWN:
        break;
    }
    return range;
}

struct range range_of_fact(const struct fact *fact)
{
    if (fact == NULL)
        return (struct range){0};

    struct range range = range_of_value(&fact->value);
    range.measured = fact->measured;
    range.uncertainty = fact->uncertainty;
    return range;
}

/* Ends cross when a range is taken away: the low end of a - b is a's low less b's high. */
struct range range_plus(struct range a, struct range b, int times)
{
    const struct qty *low = times < 0 ? &b.high : &b.low;
    const struct qty *high = times < 0 ? &b.low : &b.high;
    bool low_set = times < 0 ? b.high_set : b.low_set;
    bool high_set = times < 0 ? b.low_set : b.high_set;
    struct range sum = {.low_set = a.low_set && low_set, .high_set = a.high_set && high_set};

    if (sum.low_set)
        sum.low = range_qty_plus(a.low, *low, times);
    if (sum.high_set)
        sum.high = range_qty_plus(a.high, *high, times);
    sum.measured = a.measured && b.measured;
    sum.uncertainty = hypot(a.uncertainty, times * b.uncertainty);
    return sum;
}

struct qty_value range_one(struct qty qty)
{
    return (struct qty_value){.kind = QTY_ONE, .nominal = qty, .low = qty, .high = qty};
}

struct qty_value range_limits(struct qty low, struct qty high)
{
    return (struct qty_value){.kind = QTY_LIMITS, .low = low, .high = high};
}

struct qty_value range_limits_pm(int64_t low_pm, int64_t high_pm, const struct qty_unit *unit)
{
    return range_limits(range_qty_pm(low_pm, unit), range_qty_pm(high_pm, unit));
}

struct qty_value range_value(struct range range)
{
    if (range_known(range))
        return qty_compare(range.low, range.high) == 0 ? range_one(range.low)
                                                       : range_limits(range.low, range.high);
    if (range.low_set)
        return (struct qty_value){.kind = QTY_AT_LEAST, .nominal = range.low, .low = range.low};
    if (range.high_set)
        return (struct qty_value){.kind = QTY_AT_MOST, .nominal = range.high, .high = range.high};
    return (struct qty_value){.kind = QTY_UNKNOWN};
}
