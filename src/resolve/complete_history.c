/* complete_history.c - what is told of the past must be possible. */
#include "resolve_private.h"

static bool shares(const struct history *a, const struct history *b)
{
    if (a->of.to_count == 0 && b->of.to_count == 0)
        return true; /* both of the whole engine */
    for (size_t i = 0; i < a->of.to_count; i++)
        for (size_t k = 0; k < b->of.to_count; k++)
            if (a->of.to[i] == b->of.to[k])
                return true;
    return false;
}

/* The entry that may accept a fault of the history: the part it is told of. */
static struct diag *warn(struct resolver *r, const struct history *history, enum diag_code code,
                         struct span span, const char *text)
{
    if (history->of.to_count > 0)
        return spec_warn(r->context, history->of.to[0], code, span, "%s", text);
    return diag_add(&r->context->diags, code, span, "%s", text);
}

static bool dated(const struct history *history)
{
    return history->date.present && !history->date.unknown;
}

static void check_pair(struct resolver *r, const struct history *before,
                       const struct history *after)
{
    struct diag *diag = NULL;

    if (!dated(before) || !dated(after) || !shares(before, after))
        return;
    int order = qty_date_compare(before->date.date, after->date.date);
    bool hours = resolve_said(&before->hours) && resolve_said(&after->hours);
    if (order > 0) {
        diag = warn(r, after, DIAG_HISTORY_BACKWARDS, after->date.span,
                    "this is earlier than the entry before it");
        resolve_label(r, diag, before->date.span, "the entry before");
        resolve_hint(r, diag, "put the history in order, or correct a date");
    } else if (order == 0 && str_equal(before->did.text, after->did.text) &&
               before->date.date.precision == after->date.date.precision) {
        diag = warn(r, after, DIAG_HISTORY_OVERLAPS, after->span,
                    "this says what an earlier entry of that date says");
        resolve_label(r, diag, before->span, "the other");
        resolve_hint(r, diag, "remove one of the two, or tell them apart");
    } else if (hours && qty_compare(before->hours.value.low, after->hours.value.high) > 0) {
        diag = warn(r, after, DIAG_HISTORY_BACKWARDS, after->hours.span,
                    str_print(r->arena, "%s, and %s before that", after->hours.value.text,
                              before->hours.value.text));
        resolve_label(r, diag, before->hours.span, "before");
        resolve_hint(r, diag, "correct one of the two, or say unknown");
    }
}

/* The engine has run no less than it had when something was done to it. */
static void check_engine_hours(struct resolver *r, const struct history *history)
{
    const struct claim *now = &r->spec->engine.hours;

    if (history->of.to_count > 0 || !resolve_said(now) || !resolve_said(&history->hours) ||
        now->value.kind == QTY_AT_LEAST || history->hours.value.kind == QTY_AT_MOST ||
        qty_compare(history->hours.value.low, now->value.high) <= 0)
        return;
    struct diag *diag = warn(r, history, DIAG_HISTORY_BACKWARDS, history->hours.span,
                             str_print(r->arena, "%s then, and the engine has run %s",
                                       history->hours.value.text, now->value.text));
    resolve_label(r, diag, now->span, "the hours of the engine");
    resolve_hint(r, diag, "correct one of the two, or say unknown");
}

/* Nothing was done to an engine that was not there. */
static void check_built(struct resolver *r, const struct history *history)
{
    const struct date *built = &r->spec->engine.built;

    if (!dated(history) || !built->present || built->unknown ||
        qty_date_compare(history->date.date, built->date) >= 0)
        return;
    struct diag *diag = warn(r, history, DIAG_HISTORY_BACKWARDS, history->date.span,
                             "this is earlier than the engine");
    resolve_label(r, diag, built->span, "built");
    resolve_hint(r, diag, "correct one of the two, or say unknown");
}

/* Each entry is held against the last one before it that tells of the same thing. */
void resolve_complete_history(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->history.count; i++) {
        check_engine_hours(r, &r->spec->history.items[i]);
        check_built(r, &r->spec->history.items[i]);
    }
    for (size_t i = 1; i < r->spec->history.count; i++)
        for (size_t k = i; k-- > 0;)
            if (shares(&r->spec->history.items[k], &r->spec->history.items[i]) &&
                dated(&r->spec->history.items[k])) {
                check_pair(r, &r->spec->history.items[k], &r->spec->history.items[i]);
                break;
            }
}
