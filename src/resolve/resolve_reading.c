/* resolve_reading.c - what was measured, with what, how well, and the verdict on it. */
#include "resolve_private.h"

const struct gauge *resolve_gauge(const struct resolver *r, const char *id)
{
    for (size_t i = 0; i < r->spec->shop.gauges.count; i++)
        if (str_equal(r->spec->shop.gauges.items[i].id, id))
            return &r->spec->shop.gauges.items[i];
    return NULL;
}

/* The latest phase counts: that of the reading with the last date, else of the last one written. */
static const struct reading *latest(const struct readings *readings)
{
    const struct reading *last = NULL;

    for (size_t i = 0; i < readings->count; i++) {
        const struct reading *reading = &readings->items[i];
        if (reading->value.kind == QTY_ABSENT || reading->value.kind == QTY_UNKNOWN)
            continue;
        if (last == NULL || !last->date.present || last->date.unknown || !reading->date.present ||
            reading->date.unknown || qty_date_compare(reading->date.date, last->date.date) >= 0)
            last = reading;
    }
    return last;
}

bool resolve_as_found(const struct readings *readings)
{
    const struct reading *last = latest(readings);
    const char *phase = last != NULL ? last->phase.text : NULL;

    return phase != NULL && (str_starts(phase, "strip") || str_starts(phase, "as found") ||
                             str_starts(phase, "as-found") || str_starts(phase, "intake"));
}

/* More than a year between check and reading, or the check came after: common practice, no
 * source. */
static bool check_is_old(struct qty_date checked, struct qty_date read)
{
    struct qty_date year_on = checked;

    year_on.year++;
    return qty_date_compare(read, year_on) > 0 || qty_date_compare(read, checked) < 0;
}

static void look_at_gauge(struct resolver *r, struct entry *entry, const struct reading *reading,
                          const struct gauge *gauge)
{
    if (!gauge->checked.present || gauge->checked.unknown) {
        struct diag *diag = spec_warn(r->context, entry, DIAG_GAUGE_NOT_CHECKED, gauge->span,
                                      "%s has no date of its last check", gauge->id);
        resolve_hint(r, diag, "say checked: with the date, as 2026-02-01");
    } else if (reading->date.present && !reading->date.unknown &&
               check_is_old(gauge->checked.date, reading->date.date)) {
        struct diag *diag =
            spec_warn(r->context, entry, DIAG_GAUGE_CHECK_OLD, reading->date.span,
                      "%s was not checked in the year before this reading", gauge->id);
        resolve_label(r, diag, gauge->checked.span, "last checked");
        resolve_hint(r, diag, "have it checked, say so, and read again");
    }
}

/* It says something, and was taken in the phase of the last. */
static bool counts(const struct reading *reading, const struct reading *last)
{
    return reading->value.kind != QTY_UNKNOWN && reading->value.kind != QTY_ABSENT &&
           str_equal(reading->phase.text, last->phase.text);
}

/* The uncertainty of one reading, SI: the gauge's, else half of the last digit written. */
static double reading_uncertainty(struct resolver *r, struct entry *entry,
                                  const struct reading *reading, const char *using)
{
    const struct gauge *gauge = reading->gauge;
    if (gauge == NULL)
        gauge = resolve_gauge(r, reading->using.text != NULL ? reading->using.text : using);

    if (gauge != NULL && resolve_said(&gauge->uncertainty)) {
        look_at_gauge(r, entry, reading, gauge);
        return fabs(gauge->uncertainty.value.nominal.si);
    }
    if (gauge == NULL) {
        struct diag *diag =
            spec_warn(r->context, entry, DIAG_READING_NO_INSTRUMENT, reading->span,
                      "%s does not say with which gauge it was read", reading->value.text);
        resolve_hint(r, diag, "say using: with a gauge of the shop, as {is: %s, using: ...}",
                     reading->value.text);
    }
    double half = reading->value.low.half_digit;
    return reading->value.high.half_digit > half ? reading->value.high.half_digit : half;
}

struct range resolve_readings(struct resolver *r, struct entry *entry,
                              const struct readings *readings, const char *using)
{
    const struct reading *last = latest(readings);
    struct range range = {0};

    if (last == NULL)
        return range;
    for (size_t i = 0; i < readings->count; i++) {
        const struct reading *reading = &readings->items[i];
        if (!counts(reading, last))
            continue;
        struct range one = range_of_value(&reading->value);
        double uncertainty = reading_uncertainty(r, entry, reading, using);
        if (one.low_set && (!range.low_set || qty_compare(one.low, range.low) < 0))
            range.low = one.low;
        if (one.high_set && (!range.high_set || qty_compare(one.high, range.high) > 0))
            range.high = one.high;
        range.low_set |= one.low_set;
        range.high_set |= one.high_set;
        if (uncertainty > range.uncertainty)
            range.uncertainty = uncertainty;
    }
    range.measured = true;
    return range;
}

struct span resolve_worst_span(const struct readings *readings, const struct fact *limits)
{
    const struct reading *last = latest(readings);
    struct range range = range_of_fact(limits);
    struct span span = readings->items[0].span;
    double worst = -INFINITY;

    for (size_t i = 0; last != NULL && i < readings->count; i++) {
        const struct reading *reading = &readings->items[i];
        struct range one = range_of_value(&reading->value);
        double out = -INFINITY;

        if (!counts(reading, last))
            continue;
        if (range.high_set && one.high_set)
            out = fmax(out, one.high.si - range.high.si);
        if (range.low_set && one.low_set)
            out = fmax(out, range.low.si - one.low.si);
        if (out > worst) {
            worst = out;
            span = reading->span;
        }
    }
    return span;
}

/* Several of one phase: the fact is their extremes. */
static void put_readings(struct resolver *r, struct fact *fact, const struct readings *readings,
                         const struct reading *last)
{
    size_t count = 0;

    for (size_t i = 0; i < readings->count; i++)
        count += counts(&readings->items[i], last);
    for (size_t i = 0, n = 0; i < readings->count && count > 1; i++) {
        struct range one = range_of_value(&readings->items[i].value);
        if (!counts(&readings->items[i], last))
            continue;
        n++;
        if (one.low_set)
            resolve_number(r, fact, str_print(r->arena, "low-%zu", n), one.low.si);
        if (one.high_set)
            resolve_number(r, fact, str_print(r->arena, "high-%zu", n), one.high.si);
    }
    if (count > 1)
        fact->rule = "extremes";
}

struct fact *resolve_reading_fact(struct resolver *r, struct entry *entry, const char *id,
                                  const struct readings *readings, struct range range)
{
    const struct reading *last = latest(readings);
    struct fact *fact = resolve_fact(r, entry, id, FACT_GIVEN);
    const char *source = resolve_source(r, last->from, last->page);

    fact->value = range_value(range);
    fact->measured = true;
    fact->uncertainty = range.uncertainty;
    fact->span = last->span;
    if (last->using.text != NULL)
        source = str_print(r->arena, "read with %s%s%s", last->using.text,
                           source != NULL ? "; " : "", source != NULL ? source : "");
    fact->source = source;
    put_readings(r, fact, readings, last);
    if (qty_compare(range.low, range.high) != 0)
        fact->note = str_print(r->arena, "extremes of what was read, %s apart",
                               resolve_distance(r, range.high, range.low));
    return fact;
}

/* ---------- verdicts ---------- */

const char *verdict_word(enum verdict verdict)
{
    static const char *const words[] = {
        [VERDICT_NONE] = "",
        [VERDICT_INSIDE] = "inside",
        [VERDICT_NEAR_NEW] = "near-new",
        [VERDICT_SERVICEABLE] = "serviceable",
        [VERDICT_NEAR_WORN] = "near-worn",
        [VERDICT_OUTSIDE] = "outside",
        [VERDICT_NOT_MEASURED] = "not-measured",
    };
    return words[verdict];
}

/* "0.0001 in inside the upper new limit, 0.8760 in". */
static struct phrase *side_and_distance(const struct resolver *r, struct calc_judged judged,
                                        const struct qty_value *limits)
{
    struct qty off = judged.distance, limit = judged.high ? limits->high : limits->low;
    const char *where = off.si < 0 ? "beyond" : off.si > 0 ? "inside" : "on";

    if (off.si < 0)
        off = range_qty_times(off, -1);
    struct qty_value distance = range_one(off), end = range_one(limit);
    struct phrase *phrase = resolve_say(
        r, str_print(r->arena, "judged.%s-%s-%s", judged.high ? "upper" : "lower",
                     judged.worn ? "worn" : "new", where));
    return phrase_value(phrase_value(phrase, "distance", &distance), "limit", &end);
}

/* The two enums are one list (calc.h): the order of concern. */
enum verdict resolve_verdict(const struct resolver *r, struct range found, const struct fact *want,
                             const struct fact *worn, struct phrase **judged_words)
{
    struct qty_value value = range_value(found);
    struct calc_judged judged =
        calc_judge(range_known(found) ? &value : NULL, want != NULL ? &want->value : NULL,
                   worn != NULL ? &worn->value : NULL, found.uncertainty);
    enum verdict verdict = (enum verdict)judged.verdict;
    struct phrase *said = NULL;

    if (verdict != VERDICT_NONE)
        said = resolve_say(r, str_print(r->arena, "verdict.%s", verdict_word(verdict)));
    if (judged.sided && verdict != VERDICT_INSIDE && verdict != VERDICT_NOT_MEASURED)
        said = phrase_then(said, ": ", side_and_distance(r, judged, judged.worn ? &worn->value
                                                                                : &want->value));
    if (judged.sided && (verdict == VERDICT_NEAR_NEW || verdict == VERDICT_NEAR_WORN)) {
        struct qty_value least = range_one(
            range_qty_si(found.uncertainty, judged.distance.dim, judged.distance.unit));
        said = phrase_then(said, "; ", phrase_value(resolve_say(r, "judged.good-to"), "uncertainty",
                                                    &least));
    }
    if (verdict == VERDICT_OUTSIDE && worn == NULL)
        said = phrase_then(said, "; ", resolve_say(r, "judged.no-wear-limit"));
    *judged_words = said;
    return verdict;
}
