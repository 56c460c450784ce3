/* verdict.c - a measured value against its limits, with the uncertainty of the measuring. */
#include "calc_private.h"

struct end {
    bool set;
    struct qty at;
};

static struct end low_end(const struct qty_value *value)
{
    return value != NULL && qty_value_has_low(value) ? (struct end){true, value->low}
                                                     : (struct end){0};
}

static struct end high_end(const struct qty_value *value)
{
    return value != NULL && qty_value_has_high(value) ? (struct end){true, value->high}
                                                      : (struct end){0};
}

/* a - b in their dimension, exact where they are; on the limit is 0. */
static struct qty difference(struct qty a, struct qty b)
{
    struct qty qty = {.dim = a.dim, .unit = a.unit, .currency = a.currency};

    if (a.dim == QTY_TEMPERATURE) { /* a difference has no offset */
        qty.dim = QTY_TEMPERATURE_DIFFERENCE;
        qty.unit = a.unit == NULL ? NULL : qty_unit_find(a.unit->name, qty.dim);
    }
    if (qty_compare(a, b) == 0)
        return qty;
    qty.exact = a.exact - b.exact;
    qty.si = a.dim == QTY_LENGTH ? (double)qty.exact / CALC_PM_PER_M : a.si - b.si;
    return qty;
}

static bool spans(struct qty margin, double uncertainty)
{
    return fabs(margin.si) < uncertainty * (1 - 1e-9);
}

/* How far inside the end, negative beyond; nothing where no end is set. */
static struct qty margin_to(struct end end, struct qty found, bool high)
{
    return !end.set ? found : high ? difference(end.at, found) : difference(found, end.at);
}

/* One side. */
static struct calc_judged judge_side(bool high, struct qty found, struct end want, struct end worn,
                                     bool has_new, double uncertainty)
{
    struct calc_judged judged = {.verdict = CALC_INSIDE, .high = high};
    struct qty new_margin = margin_to(want, found, high), worn_margin = margin_to(worn, found, high);

    judged.sided = want.set || worn.set;
    judged.distance = new_margin;
    if (want.set && spans(new_margin, uncertainty))
        judged.verdict = CALC_NEAR_NEW;
    else if (want.set && new_margin.si < 0)
        judged.verdict = worn.set ? CALC_SERVICEABLE : CALC_OUTSIDE;
    else if (!want.set && worn.set && !has_new)
        judged.verdict = CALC_SERVICEABLE;
    /* the wear limit has the last word where the reading is near or beyond it */
    bool near_worn = worn.set && spans(worn_margin, uncertainty);
    bool beyond = worn.set && worn_margin.si < 0;
    if (near_worn || beyond)
        judged.verdict = near_worn ? CALC_NEAR_WORN : CALC_OUTSIDE;
    if (near_worn || beyond || (worn.set && (!want.set || judged.verdict == CALC_SERVICEABLE))) {
        judged.worn = true;
        judged.distance = worn_margin;
    }
    return judged;
}

struct calc_judged calc_judge(const struct qty_value *found, const struct qty_value *want,
                              const struct qty_value *worn, double uncertainty)
{
    struct end found_low = low_end(found), found_high = high_end(found);
    struct end want_low = low_end(want), want_high = high_end(want);
    struct end worn_low = low_end(worn), worn_high = high_end(worn);
    bool has_new = want_low.set || want_high.set;

    assert(uncertainty >= 0);
    if (!found_low.set || !found_high.set)
        return (struct calc_judged){.verdict = CALC_NOT_MEASURED};
    if (!has_new && !worn_low.set && !worn_high.set)
        return (struct calc_judged){.verdict = CALC_VERDICT_NONE};
    struct calc_judged low =
        judge_side(false, found_low.at, want_low, worn_low, has_new, uncertainty);
    struct calc_judged high =
        judge_side(true, found_high.at, want_high, worn_high, has_new, uncertainty);
    if (low.sided != high.sided)
        return low.sided ? low : high;
    if (low.verdict != high.verdict)
        return low.verdict > high.verdict ? low : high;
    return low.distance.si < high.distance.si ? low : high;
}

double calc_rss(const double *values, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++)
        sum += calc_square(values[i]);
    return sqrt(sum);
}
