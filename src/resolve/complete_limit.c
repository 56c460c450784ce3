/* complete_limit.c - limits that nobody measures, that cannot hold, that somebody waves through;
 * and what is critical and yet never written down. */
#include "resolve_private.h"

/* ---------- wear inside new ---------- */

bool resolve_wear_is_inside(const struct fact *want, const struct fact *worn)
{
    struct range made = range_of_fact(want), wear = range_of_fact(worn);

    if (want == NULL || worn == NULL)
        return false;
    return (wear.low_set && ((made.low_set && qty_compare(wear.low, made.low) > 0) ||
                             (made.high_set && qty_compare(wear.low, made.high) > 0))) ||
           (wear.high_set && ((made.high_set && qty_compare(wear.high, made.high) < 0) ||
                              (made.low_set && qty_compare(wear.high, made.low) < 0)));
}

static void check_wear(struct resolver *r, const struct fact *want, const struct fact *worn,
                       const char *id)
{
    if (!resolve_wear_is_inside(want, worn))
        return;
    struct diag *diag =
        diag_add(&r->context->diags, DIAG_WEAR_INSIDE_NEW, worn->span,
                 "%s: the wear limit %s lies inside what is allowed new, %s", id,
                 resolve_print_value(r, &worn->value), resolve_print_value(r, &want->value));
    resolve_label(r, diag, want->span, "new");
    resolve_hint(r, diag, "correct the one that is wrong: wear goes outwards from new");
}

/* ---------- both at once ---------- */

static bool same_size(const struct size_ref *a, const struct size_ref *b)
{
    return a->size != NULL && a->size == b->size;
}

/* The same sizes with the same signs, in any order. */
static bool same_list(const struct size_refs *a, const struct size_refs *b)
{
    if (a->count != b->count)
        return false;
    for (size_t i = 0; i < a->count; i++) {
        size_t here = 0, there = 0;
        for (size_t k = 0; k < a->count; k++) {
            here += same_size(&a->items[k], &a->items[i]);
            there += same_size(&b->items[k], &a->items[i]);
        }
        if (here == 0 || here != there)
            return false;
    }
    return true;
}

static bool same_thing(const struct limit *a, const struct limit *b)
{
    if (a->stack.present && b->stack.present)
        return same_list(&a->stack.plus, &b->stack.plus) &&
               same_list(&a->stack.minus, &b->stack.minus);
    if (a->wear.size != NULL)
        return a->wear.size == b->wear.size;
    return a->spread.text != NULL && a->spread.part != NULL && a->spread.part == b->spread.part &&
           a->spread.size == b->spread.size && str_equal(a->spread.text, b->spread.text);
}

static bool disjoint(const struct fact *a, const struct fact *b)
{
    struct range x = range_of_fact(a), y = range_of_fact(b);

    return (x.high_set && y.low_set && qty_compare(x.high, y.low) < 0) ||
           (y.high_set && x.low_set && qty_compare(y.high, x.low) < 0);
}

static void check_pair(struct resolver *r, const struct limit_values *a,
                       const struct limit_values *b)
{
    if (!same_thing(a->limit, b->limit) || !disjoint(a->want, b->want))
        return;
    struct diag *diag =
        diag_add(&r->context->diags, DIAG_LIMITS_CANNOT_BOTH_HOLD, b->want->span,
                 "%s and %s are of the same thing, and cannot both hold: %s, and %s",
                 b->limit->e.member, a->limit->e.member, resolve_print_value(r, &b->want->value),
                 resolve_print_value(r, &a->want->value));
    resolve_label(r, diag, a->want->span, "and this");
    resolve_hint(r, diag, "correct or remove one of the two");
}

/* A fit of the same two sizes is a stack of two. */
static void check_fit_pair(struct resolver *r, const struct fit_values *a,
                           const struct fit_values *b)
{
    if (!same_size(&a->fit->inner, &b->fit->inner) ||
        !same_size(&a->fit->outer, &b->fit->outer) || !disjoint(a->want, b->want))
        return;
    struct diag *diag =
        diag_add(&r->context->diags, DIAG_LIMITS_CANNOT_BOTH_HOLD, b->want->span,
                 "%s and %s are one fit, and cannot both hold: %s, and %s", b->fit->e.member,
                 a->fit->e.member, resolve_print_value(r, &b->want->value),
                 resolve_print_value(r, &a->want->value));
    resolve_label(r, diag, a->want->span, "and this");
    resolve_hint(r, diag, "correct or remove one of the two");
}

/* What limits of the same thing have in common: a size, whatever the order of a list. */
static const void *key_of(const struct limit *limit)
{
    const struct size *least = limit->wear.size;

    for (size_t i = 0; limit->stack.present && i < limit->stack.plus.count; i++)
        if (i == 0 || limit->stack.plus.items[i].size < least)
            least = limit->stack.plus.items[i].size;
    return least != NULL ? (const void *)least : (const void *)limit->spread.part;
}

static void check_pairs(struct resolver *r)
{
    const struct build *build = r->build;
    struct alike limits = resolve_alike(r, build->limits.count);
    struct alike fits = resolve_alike(r, build->fits.count);

    for (size_t i = 0; i < build->limits.count; i++) {
        const struct limit_values *values = &build->limits.items[i];
        const void *key = values->want != NULL ? key_of(values->limit) : NULL;
        if (key == NULL)
            continue;
        size_t first = map_put_item(r->arena, &limits.first, key, i);
        for (size_t k = resolve_join(&limits, first, i); k != i; k = limits.next[k])
            check_pair(r, &build->limits.items[k], values);
    }
    for (size_t i = 0; i < build->fits.count; i++) {
        const struct fit_values *values = &build->fits.items[i];
        if (values->want == NULL || values->fit->inner.size == NULL)
            continue;
        size_t first = map_put_item(r->arena, &fits.first, values->fit->inner.size, i);
        for (size_t k = resolve_join(&fits, first, i); k != i; k = fits.next[k])
            check_fit_pair(r, &build->fits.items[k], values);
    }
}

/* ---------- nobody measures ---------- */

static bool found_at_trial(const struct resolver *r, const struct entry *entry)
{
    for (size_t i = 0; i < r->spec->trials.count; i++)
        for (size_t k = 0; k < r->spec->trials.items[i]->finds.to_count; k++)
            if (r->spec->trials.items[i]->finds.to[k] == entry)
                return true;
    return false;
}

static void check_moments(struct resolver *r, struct limit *limit)
{
    static const struct {
        unsigned moment;
        const char *word, *why, *hint;
    } rows[] = {
        {MOMENT_TRIAL, "trial", "no trial finds it",
         "name it in finds of a trial, or take trial out of when"},
        {MOMENT_RUNNING, "running", "nothing is run",
         "add a running-in entry, or take running out of when"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct span span = limit->e.span;
        bool met =
            rows[i].moment == MOMENT_TRIAL ? found_at_trial(r, &limit->e) : r->spec->runs.count > 0;
        if ((limit->when & rows[i].moment) == 0 || met)
            continue;
        for (size_t k = 0; k < limit->when_texts.count; k++)
            if (str_equal(limit->when_texts.items[k].text, rows[i].word))
                span = limit->when_texts.items[k].span;
        struct diag *diag =
            spec_warn(r->context, &limit->e, DIAG_LIMIT_NOBODY_MEASURES, span,
                      "nobody measures %s at %s: %s", limit->e.member, rows[i].word, rows[i].why);
        resolve_hint(r, diag, "%s", rows[i].hint);
    }
}

/* ---------- concessions ---------- */

static void check_concession(struct resolver *r, struct limit *limit)
{
    if (!limit->concession.present)
        return;
    if (limit->concession.is_signed.text == NULL || limit->concession.is_signed.unknown) {
        struct diag *diag =
            spec_warn(r->context, &limit->e, DIAG_CONCESSION_WITHOUT_NAME, limit->concession.span,
                      "the concession for %s has no name", limit->e.member);
        resolve_hint(r, diag, "say signed: with the name of who answers for it");
    }
    if (limit->concession.because.text == NULL) {
        struct diag *diag =
            spec_warn(r->context, &limit->e, DIAG_CONCESSION_WITHOUT_REASON, limit->concession.span,
                      "the concession for %s gives no reason", limit->e.member);
        resolve_hint(r, diag, "say because: with the reason");
    }
}

static void check_rule(struct resolver *r, const struct limit_values *values)
{
    struct limit *limit = values->limit;

    if (!limit->e.critical.value || limit->want.present || limit->rule.text == NULL)
        return;
    struct diag *diag = spec_warn(r->context, &limit->e, DIAG_SAID_BY_RULE_ONLY, limit->rule.span,
                                  "%s is critical and rests on a rule of thumb", limit->e.member);
    resolve_hint(r, diag, "give the book's own limits: want: {is: ..., from: ...}");
}

/* ---------- critical, and nothing to write down ---------- */

static bool sized(const struct size_refs *refs, const struct entry *entry)
{
    for (size_t i = 0; i < refs->count; i++)
        if (refs->items[i].part != NULL && &refs->items[i].part->e == entry)
            return true;
    return false;
}

static bool is_read(const struct resolver *r, const struct part *part)
{
    const struct entry *entry = &part->e;

    for (size_t i = 0; i < part->sizes.count; i++)
        if (!part->sizes.items[i]->implied)
            return true;
    for (size_t i = 0; i < r->spec->limits.count; i++) {
        const struct limit *limit = r->spec->limits.items[i];
        if (spec_names(&limit->of, entry) || spec_names(&limit->pick, entry) ||
            sized(&limit->stack.plus, entry) || sized(&limit->stack.minus, entry) ||
            (limit->spread.part != NULL && limit->spread.part->e.group == entry->group) ||
            (limit->wear.part != NULL && &limit->wear.part->e == entry))
            return true;
    }
    for (size_t i = 0; i < r->spec->fits.count; i++)
        if (r->spec->fits.items[i]->inner.part == part ||
            r->spec->fits.items[i]->outer.part == part)
            return true;
    for (size_t i = 0; i < r->spec->settings.count; i++)
        if (spec_names(&r->spec->settings.items[i]->of, entry))
            return true;
    for (size_t i = 0; i < r->spec->joints.count;
         i++) /* a torque is the reading of a critical joint */
        if (r->spec->joints.items[i]->e.critical.value &&
            spec_names(&r->spec->joints.items[i]->holds, entry))
            return true;
    return false;
}

static void check_critical(struct resolver *r, struct entry *entry)
{
    const char *hint = "give it a size, or a limit of: it";

    if (!entry->critical.value)
        return;
    if (entry->kind == ENTRY_PART) {
        struct part *part = spec_part(entry);
        if (is_read(r, part))
            return;
    } else if (entry->kind == ENTRY_OUTWORK) {
        const struct outwork *work = (const struct outwork *)entry;
        hint = "say want: with the sizes ordered";
        if (work->want.count > 0)
            return;
    } else if (entry->kind == ENTRY_RUN) {
        const struct run *run = (const struct run *)entry;
        hint = "say look-for: with what is read and its limits";
        if (run->look_for.count > 0)
            return;
    } else {
        return; /* joints, fits, limits, settings are readings; steps, seals, passages ticks */
    }
    struct diag *diag =
        spec_warn(r->context, entry, DIAG_CRITICAL_NO_READING, entry->critical.span,
                  "%s is critical, and nothing of it is written down", entry->member);
    resolve_hint(r, diag, "%s", hint);
}

void resolve_complete_limits(struct resolver *r)
{
    const struct build *build = r->build;

    for (size_t i = 0; i < build->sizes.count; i++)
        if (!build->sizes.items[i].doubted)
            check_wear(r, build->sizes.items[i].want, build->sizes.items[i].worn,
                       build->sizes.items[i].size->id);
    for (size_t i = 0; i < build->limits.count; i++) {
        const struct limit_values *values = &build->limits.items[i];
        check_wear(r, values->want, values->worn, values->limit->e.member);
        check_moments(r, values->limit);
        check_concession(r, values->limit);
        check_rule(r, values);
    }
    check_pairs(r);
    for (size_t i = 0; i < r->spec->entries.count; i++)
        check_critical(r, r->spec->entries.items[i]);
}
