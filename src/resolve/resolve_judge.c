/* resolve_judge.c - verdicts of fits and limits, after picks are made. */
#include "resolve_private.h"

/* What toleranced, unmeasured sizes allow, against what is wanted. */
enum spread { SPREAD_INSIDE, SPREAD_SOME, SPREAD_NONE };

static enum spread compare_spread(struct range range, const struct fact *want)
{
    struct range limits = range_of_fact(want);

    if ((limits.high_set && qty_compare(range.low, limits.high) > 0) ||
        (limits.low_set && qty_compare(range.high, limits.low) < 0))
        return SPREAD_NONE;
    if ((limits.high_set && qty_compare(range.high, limits.high) > 0) ||
        (limits.low_set && qty_compare(range.low, limits.low) < 0))
        return SPREAD_SOME;
    return SPREAD_INSIDE;
}

/* ---------- fits ---------- */

static struct span want_span(const struct fit *fit)
{
    return fit->want.present         ? fit->want.span
           : fit->class.text != NULL ? fit->class.span
                                     : fit->e.span;
}

/* Where a measured fit is at fault: the fit itself; of one entry at many places, what was read at this
 * one, since all of them share the text of the fit. */
static struct span fault_span(struct resolver *r, const struct fit *fit)
{
    const struct size_ref *refs[] = {&fit->inner, &fit->outer};

    for (size_t i = 0; i < 2 && fit->e.place != NULL; i++) {
        struct fact *fact = NULL;
        resolve_size_range(r, refs[i]->size, &fact);
        if (fact != NULL && fact->measured)
            return fact->span;
    }
    return want_span(fit);
}

static void label_sizes(struct resolver *r, struct diag *diag, const struct fit *fit)
{
    const struct size_ref *refs[] = {&fit->outer, &fit->inner};

    for (size_t i = 0; i < 2; i++) {
        struct fact *fact = NULL;
        struct range range = resolve_size_range(r, refs[i]->size, &fact);
        if (fact != NULL)
            resolve_label(r, diag, fact->span, "%s: %s", refs[i]->text,
                          resolve_print_range(r, range));
    }
}

/* Of the members of one fit that share the text of what is wanted. */
static bool all_outside(const struct resolver *r, const struct fit_values *values)
{
    size_t outside = 0;

    for (size_t i = 0; i < r->build->fits.count; i++) {
        const struct fit_values *other = &r->build->fits.items[i];
        struct range range = range_of_fact(other->clearance);
        struct phrase *judged = NULL;
        if (other->fit->e.group != values->fit->e.group)
            continue;
        struct span mine = want_span(values->fit), theirs = want_span(other->fit);
        if (memcmp(&mine, &theirs, sizeof mine) != 0 || other->clearance == NULL ||
            other->want == NULL || !range.measured ||
            resolve_verdict(r, range, other->want, NULL, &judged) != VERDICT_OUTSIDE)
            return false;
        outside++;
    }
    return outside > 1;
}

static void judge_measured_fit(struct resolver *r, struct fit_values *values, struct range range)
{
    struct fit *fit = values->fit;

    values->verdict = resolve_verdict(r, range, values->want, NULL, &values->judged);
    if (values->verdict != VERDICT_OUTSIDE)
        return;
    /* Outside at every place: then it is what is wanted that is looked at, once. */
    bool all = fit->e.place != NULL && all_outside(r, values);
    struct diag *diag = all ? resolve_told(r, DIAG_FIT_OUTSIDE, want_span(fit)) : NULL;
    if (diag != NULL) {
        label_sizes(r, diag, fit);
        return;
    }
    diag = resolve_fault(r, &fit->e, DIAG_FIT_OUTSIDE_CRITICAL, DIAG_FIT_OUTSIDE,
                         all ? want_span(fit) : fault_span(r, fit), "%s: %s in %s is %s",
                         fit->e.member, fit->inner.text, fit->outer.text,
                         resolve_words(r, values->judged));
    label_sizes(r, diag, fit);
    resolve_hint(r, diag,
                 "pair it with another part, have one of the two worked on, or correct a reading");
    resolve_tell(r, DIAG_FIT_OUTSIDE, want_span(fit), diag);
}

static void judge_toleranced_fit(struct resolver *r, struct fit_values *values, struct range range)
{
    struct fit *fit = values->fit;
    const char *found = resolve_print_range(r, range);
    const char *want = resolve_print_value(r, &values->want->value);
    struct diag *diag;

    switch (compare_spread(range, values->want)) {
    case SPREAD_INSIDE:
        values->verdict = VERDICT_INSIDE;
        values->judged = resolve_say(r, "judged.inside-whatever");
        break;
    case SPREAD_SOME:
        values->verdict = VERDICT_NOT_MEASURED;
        values->judged = resolve_say_range(r, "judged.measure-pairs", "sizes", range);
        diag = diag_add(&r->context->diags, DIAG_FIT_MEASURE_PAIRS, want_span(fit),
                        "%s: measure each pair; the sizes allow %s, wanted is %s", fit->e.member,
                        found, want);
        label_sizes(r, diag, fit);
        resolve_hint(r, diag, "give what was measured: measured: {is: ..., using: ...}");
        break;
    case SPREAD_NONE:
        values->verdict = VERDICT_OUTSIDE;
        values->judged = resolve_say_range(r, "judged.outside-allow", "sizes", range);
        diag = diag_add(&r->context->diags, DIAG_FIT_NONE, want_span(fit),
                        "%s: no pair can fit; the sizes allow %s, wanted is %s", fit->e.member,
                        found, want);
        label_sizes(r, diag, fit);
        resolve_hint(r, diag, "correct the size or the fit that is wrong");
        break;
    }
}

/* Tight on the bench and free when hot, or running on the bench and shut when hot. */
static void judge_hot(struct resolver *r, const struct fit_values *values)
{
    struct fit *fit = values->fit;
    struct range hot = range_of_fact(values->hot), cold = range_of_fact(values->clearance);
    struct range want = range_of_fact(values->want);
    struct qty zero = range_qty_pm(0, NULL);

    if (values->hot == NULL)
        return;
    bool tight = qty_compare(cold.high, zero) <= 0 ||
                 (range_known(want) && qty_compare(want.high, zero) <= 0);
    if (tight && qty_compare(hot.high, zero) > 0) {
        bool sure = qty_compare(hot.low, zero) > 0;
        struct diag *diag = resolve_fault(
            r, &fit->e, DIAG_FIT_LOOSE_HOT_CRITICAL, DIAG_FIT_LOOSE_HOT, fit->runs_at.span,
            "%s %s loose at %s: %s in %s has %s then", fit->e.member, sure ? "is" : "may go",
            fit->runs_at.value.text, fit->inner.text, fit->outer.text, resolve_print_range(r, hot));
        resolve_hint(r, diag,
                     "a tighter fit, a peg or a sleeve; or accept it with the reason why it holds");
    } else if (!tight && qty_compare(cold.low, zero) > 0 && qty_compare(hot.low, zero) <= 0) {
        struct diag *diag = resolve_fault(
            r, &fit->e, DIAG_FIT_CLOSES_HOT_CRITICAL, DIAG_FIT_CLOSES_HOT, fit->runs_at.span,
            "%s closes up at %s: %s in %s has %s then", fit->e.member, fit->runs_at.value.text,
            fit->inner.text, fit->outer.text, resolve_print_range(r, hot));
        resolve_hint(r, diag, "give it more clearance, or correct a material");
    }
}

static void judge_fit(struct resolver *r, struct fit_values *values)
{
    struct range range = range_of_fact(values->clearance);

    if (values->clearance == NULL) {
        values->verdict = values->want != NULL ? VERDICT_NOT_MEASURED : VERDICT_NONE;
        values->judged =
            values->want != NULL ? resolve_say(r, "verdict.not-measured") : NULL;
        return;
    }
    if (values->want != NULL && range.measured)
        judge_measured_fit(r, values, range);
    else if (values->want != NULL)
        judge_toleranced_fit(r, values, range);
    resolve_finish_fit(r, values);
    judge_hot(r, values);
}

/* ---------- limits ---------- */

static struct span limit_span(const struct limit *limit, const struct fact *asked)
{
    return limit->measured.count > 0 ? resolve_worst_span(&limit->measured, asked)
           : limit->want.present     ? limit->want.span
           : limit->worn.present     ? limit->worn.span
                                     : limit->e.span;
}

/* A strip reading is as found: the rebuild is there to mend it. */
static bool is_as_found(const struct limit *limit)
{
    return resolve_as_found(&limit->measured) ||
           (limit->measured.count > 0 && limit->when == MOMENT_STRIP);
}

static void report_limit(struct resolver *r, struct limit_values *values)
{
    struct limit *limit = values->limit;

    if (limit->concession.present || is_as_found(limit) ||
        resolve_wear_is_inside(values->want, values->worn))
        return;
    const struct fact *asked = values->worn != NULL ? values->worn : values->want;
    struct span span = limit_span(limit, asked);
    struct diag *diag = resolve_told(r, DIAG_LIMIT_OUTSIDE, span);
    if (diag != NULL) {
        resolve_label(r, diag, asked->span, "%s is %s", limit->e.member,
                      resolve_words(r, values->judged));
        return;
    }
    diag = resolve_fault(r, &limit->e, DIAG_LIMIT_OUTSIDE_CRITICAL, DIAG_LIMIT_OUTSIDE, span,
                         "%s is %s", limit->e.member, resolve_words(r, values->judged));
    resolve_tell(r, DIAG_LIMIT_OUTSIDE, span, diag);
    resolve_label(r, diag, asked->span, "the limit");
    resolve_hint(r, diag,
                 "put it right, or say concession: {signed: NAME, date: ..., because: ...}");
}

/* The wear of a thing whose size when new is known within limits lies within limits itself. */
static bool judge_undecided_wear(struct resolver *r, struct limit_values *values,
                                 struct range found)
{
    struct range worn = range_of_fact(values->worn != NULL ? values->worn : values->want);

    if (values->limit->wear.text == NULL || !worn.high_set || !range_known(found) ||
        qty_compare(found.low, worn.high) > 0 || qty_compare(found.high, worn.high) <= 0)
        return false;
    values->verdict = VERDICT_NEAR_WORN;
    struct qty_value is = range_value(found), may = range_value(worn);
    values->judged = phrase_value(resolve_say(r, "judged.undecided-wear"), "worn", &is);
    struct question *question = resolve_ask(r, &values->limit->e, NULL, values->limit->wear.span,
                                            "worn-beyond", "size-when-new");
    phrase_value(phrase_value(question->asks, "worn", &is), "limit", &may);
    return true;
}

static void judge_limit(struct resolver *r, struct limit_values *values)
{
    struct range found = range_of_fact(values->found);

    if (values->found == NULL || found.measured) {
        if (judge_undecided_wear(r, values, found))
            return;
        values->verdict =
            resolve_verdict(r, found, values->want, values->worn, &values->judged);
        if (values->verdict == VERDICT_OUTSIDE)
            report_limit(r, values);
        return;
    }
    if (values->want == NULL)
        return;
    switch (compare_spread(found, values->want)) {
    case SPREAD_INSIDE:
        values->verdict = VERDICT_INSIDE;
        values->judged = resolve_say(r, "judged.inside-whatever");
        break;
    case SPREAD_SOME:
        values->verdict = VERDICT_NOT_MEASURED;
        values->judged = resolve_say_range(r, "judged.unmeasured-allow", "sizes", found);
        break;
    case SPREAD_NONE:
        values->verdict = VERDICT_OUTSIDE;
        values->judged = resolve_say_range(r, "judged.outside-allow", "sizes", found);
        report_limit(r, values);
        break;
    }
}

void resolve_judge(struct resolver *r)
{
    for (size_t i = 0; i < r->build->fits.count; i++)
        judge_fit(r, &r->build->fits.items[i]);
    for (size_t i = 0; i < r->build->limits.count; i++)
        judge_limit(r, &r->build->limits.items[i]);
}
