/* resolve_fit.c - fits of two parts: clearance from what is known of them, and want; what follows
 * once the clearance is settled.
 *
 * Clearance is hole minus shaft; negative is interference. */
#include "resolve_private.h"

static const char *fit_kind(struct range clearance)
{
    static const char *const words[] = {[CALC_FIT_CLEARANCE] = "clearance",
                                        [CALC_FIT_TRANSITION] = "transition",
                                        [CALC_FIT_INTERFERENCE] = "interference"};

    return words[calc_fit_kind((struct calc_range_pm){clearance.low.exact, clearance.high.exact})];
}

/* ---------- what is wanted ---------- */

/* The nominal that a class is looked up for: of the hole, else of the shaft. */
static bool nominal(const struct resolver *r, const struct fit *fit, int64_t *pm)
{
    const struct size *sizes[] = {fit->outer.size, fit->inner.size};

    for (size_t i = 0; i < 2; i++) {
        const struct size_values *values =
            sizes[i] != NULL ? resolve_size_values(r, sizes[i]) : NULL;
        if (values == NULL || values->want == NULL)
            continue;
        const struct qty_value *value = &values->want->value;
        if (value->nominal.dim == QTY_LENGTH && value->nominal.exact > 0) {
            *pm = value->nominal.exact;
            return true;
        }
    }
    return false;
}

static void refuse_class(struct resolver *r, const struct fit *fit, const char *why)
{
    struct diag *diag = diag_add(&r->context->diags, DIAG_FIT_CLASS, fit->class.span,
                                 "class %s cannot be looked up: %s", fit->class.text, why);

    resolve_hint(r, diag, "write the clearance wanted instead, as want: -0.02..-0.005 mm");
}

/* One seat of a class as a fact of its own: "shaft-in.hole", nominal with the deviations. */
static struct fact *class_seat(struct resolver *r, struct fit *fit, const char *class,
                               int64_t nominal_pm, bool *hole)
{
    struct table_limits limits = table_class_limits(r->tables, class, nominal_pm);

    if (limits.status != TABLE_FOUND)
        return NULL;
    *hole = limits.hole;
    struct fact *fact =
        resolve_fact(r, &fit->e, resolve_id(r, &fit->e, *hole ? "hole" : "shaft"), FACT_TABLE);
    fact->value = range_limits_pm(nominal_pm + limits.low_pm, nominal_pm + limits.high_pm,
                                  qty_unit_find("mm", QTY_LENGTH));
    fact->span = fit->class.span;
    fact->level = LEVEL_STANDARD;
    fact->source = limits.source;
    fact->rule = "deviations";
    resolve_number(r, fact, "nominal", (double)nominal_pm * 1e-12);
    resolve_number(r, fact, "lower", (double)limits.low_pm * 1e-12);
    resolve_number(r, fact, "upper", (double)limits.high_pm * 1e-12);
    return fact;
}

/* A class of a fit is a pair (H7/k6), one seat beside a part with limits of its own (M6 round a
 * bearing), or an inch fit of ANSI B4.1 (RC3), whose clearance is tabled as such. */
struct class_clearance {
    struct range range;
    struct fact *outer, *inner; /* the seats; NULL where the clearance is tabled as such */
    const char *source;
};
static bool class_clearance(struct resolver *r, struct fit *fit, int64_t nominal_pm,
                            struct class_clearance *clearance)
{
    const char *slash = strchr(fit->class.text, '/');
    struct fact *seat;
    bool hole = false;

    *clearance = (struct class_clearance){0};
    const struct table_b41 *inch = table_b41_find(r->tables, fit->class.text, nominal_pm);
    if (inch != NULL) {
        clearance->range = (struct range){.low_set = true, .high_set = true};
        clearance->range.low = range_qty_pm(inch->low_pm, qty_unit_find("in", QTY_LENGTH));
        clearance->range.high = range_qty_pm(inch->high_pm, qty_unit_find("in", QTY_LENGTH));
        clearance->source = inch->row.source;
        return true;
    }
    const char *first =
        slash != NULL ? str_slice(r->arena, fit->class.text, (size_t)(slash - fit->class.text))
                      : fit->class.text;
    if ((seat = class_seat(r, fit, first, nominal_pm, &hole)) == NULL)
        return false;
    *(hole ? &clearance->outer : &clearance->inner) = seat;
    clearance->source = seat->source;
    if (slash != NULL) {
        if ((seat = class_seat(r, fit, slash + 1, nominal_pm, &hole)) == NULL)
            return false;
        *(hole ? &clearance->outer : &clearance->inner) = seat;
    } else {
        const struct size *other = hole ? fit->inner.size : fit->outer.size;
        const struct size_values *values = resolve_size_values(r, other);
        *(hole ? &clearance->inner : &clearance->outer) =
            values != NULL && !values->doubted ? values->want : NULL;
    }
    clearance->range =
        range_plus(range_of_fact(clearance->outer), range_of_fact(clearance->inner), -1);
    return range_known(clearance->range);
}

static struct fact *wanted(struct resolver *r, struct fit *fit)
{
    const char *id = resolve_id(r, &fit->e, "want");
    struct class_clearance clearance;
    int64_t nominal_pm = 0;

    if (resolve_said(&fit->want))
        return resolve_claim(r, &fit->e, id, &fit->want);
    if (fit->class.text == NULL)
        return NULL;
    if (!nominal(r, fit, &nominal_pm)) {
        refuse_class(r, fit, "neither size has a nominal");
        return NULL;
    }
    if (!class_clearance(r, fit, nominal_pm, &clearance)) {
        refuse_class(r, fit, "it is not tabled for this size");
        return NULL;
    }
    struct fact *fact = resolve_fact(r, &fit->e, id, FACT_TABLE);
    fact->value = range_value(clearance.range);
    fact->span = fit->class.span;
    fact->level = LEVEL_STANDARD;
    fact->source = clearance.source;
    const char *at = resolve_print(r, range_qty_pm(nominal_pm, qty_unit_find("mm", QTY_LENGTH)));
    if (clearance.outer == NULL) {
        fact->note = str_print(r->arena, "class %s at %s, as tabled", fit->class.text, at);
        return fact;
    }
    fact->formula = str_print(
        r->arena,
        "class %s at %s: largest hole less smallest shaft, smallest hole less largest shaft",
        fit->class.text, at);
    fact->rule = "stack";
    resolve_input_as(r, fact, "plus", clearance.outer);
    resolve_input_as(r, fact, "minus", clearance.inner);
    return fact;
}

/* ---------- the clearance there is ---------- */

static struct fact *clearance(struct resolver *r, struct fit *fit)
{
    struct fact *outer_fact = NULL, *inner_fact = NULL;
    struct range outer = resolve_size_range(r, fit->outer.size, &outer_fact);
    struct range inner = resolve_size_range(r, fit->inner.size, &inner_fact);

    if (!range_known(outer) || !range_known(inner)) {
        const struct size_ref *unknown = range_known(outer) ? &fit->inner : &fit->outer;
        spec_keep_accepts(&fit->e);
        resolve_ask(r, &fit->e, unknown->size != NULL ? unknown->size->id : unknown->text,
                    unknown->span, "size-of-fit", "measure-or-limits");
        return NULL;
    }
    struct fact *fact =
        resolve_fact(r, &fit->e, resolve_id(r, &fit->e, "clearance"), FACT_COMPUTED);
    struct range range = range_plus(outer, inner, -1);
    fact->value = range_value(range);
    fact->measured = range.measured;
    fact->uncertainty = range.uncertainty;
    fact->formula = "hole less shaft; smallest hole with largest shaft and the reverse (ISO 286-1)";
    fact->rule = "stack";
    resolve_input_as(r, fact, "plus", outer_fact);
    resolve_input_as(r, fact, "minus", inner_fact);
    return fact;
}

double resolve_fit_diameter_m(const struct resolver *r, const struct fit *fit)
{
    struct range range = resolve_size_range(r, fit->outer.size, NULL);

    return range_middle(range).si;
}

void resolve_fits(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->fits.count; i++) {
        struct fit_values *values = ARRAY_PUSH(r->arena, &r->build->fits);
        *values = (struct fit_values){.fit = r->spec->fits.items[i]};
        resolve_place(r, values->fit, i);
        if (values->fit->inner.size == NULL || values->fit->outer.size == NULL)
            continue;
        values->want = wanted(r, values->fit);
        if (values->fit->pick.to_count == 0)
            values->clearance = clearance(r, values->fit);
    }
}

/* What follows from the clearance, once a pick has settled it. */
void resolve_finish_fit(struct resolver *r, struct fit_values *values)
{
    values->kind = fit_kind(range_of_fact(values->clearance));
    values->hot = resolve_hot(r, values);
    values->chill_to = resolve_chill_to(r, values);
    values->heat_to = resolve_heat_to(r, values);
    resolve_press_fit(r, values);
}
