/* resolve_fit.c - fits of two parts: clearance from what is known of them, want, the same when
 * hot, and the heat that lets one drop into the other.
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

static bool class_range(struct resolver *r, const char *class, int64_t nominal_pm,
                        struct range *range, bool *hole, const char **source)
{
    struct table_limits limits = table_class_limits(r->tables, class, nominal_pm);

    if (limits.status != TABLE_FOUND)
        return false;
    *range = (struct range){.low_set = true, .high_set = true};
    range->low = range_qty_pm(nominal_pm + limits.low_pm, qty_unit_find("mm", QTY_LENGTH));
    range->high = range_qty_pm(nominal_pm + limits.high_pm, qty_unit_find("mm", QTY_LENGTH));
    *hole = limits.hole;
    *source = limits.source;
    return true;
}

/* A class of a fit is a pair (H7/k6), one seat beside a part with limits of its own (M6 round a
 * bearing), or an inch fit of ANSI B4.1 (RC3), whose clearance is tabled as such. */
static bool class_clearance(struct resolver *r, const struct fit *fit, int64_t nominal_pm,
                            struct range *clearance, const char **source)
{
    const char *slash = strchr(fit->class.text, '/');
    struct range outer = {0}, inner = {0}, range;
    bool hole = false;

    const struct table_b41 *inch = table_b41_find(r->tables, fit->class.text, nominal_pm);
    if (inch != NULL) {
        *clearance = (struct range){.low_set = true, .high_set = true};
        clearance->low = range_qty_pm(inch->low_pm, qty_unit_find("in", QTY_LENGTH));
        clearance->high = range_qty_pm(inch->high_pm, qty_unit_find("in", QTY_LENGTH));
        *source = inch->row.source;
        return true;
    }
    const char *first =
        slash != NULL ? str_slice(r->arena, fit->class.text, (size_t)(slash - fit->class.text))
                      : fit->class.text;
    if (!class_range(r, first, nominal_pm, &range, &hole, source))
        return false;
    *(hole ? &outer : &inner) = range;
    if (slash != NULL) {
        if (!class_range(r, slash + 1, nominal_pm, &range, &hole, source))
            return false;
        *(hole ? &outer : &inner) = range;
    } else {
        const struct size *other = hole ? fit->inner.size : fit->outer.size;
        const struct size_values *values = resolve_size_values(r, other);
        *(hole ? &inner : &outer) = range_of_fact(values != NULL && !values->doubted ? values->want : NULL);
    }
    if (!range_known(outer) || !range_known(inner))
        return false;
    *clearance = range_plus(outer, inner, -1);
    return true;
}

static struct fact *wanted(struct resolver *r, struct fit *fit)
{
    const char *id = resolve_id(r, &fit->e, "want");
    struct range clearance;
    const char *source = NULL;
    int64_t nominal_pm = 0;

    if (resolve_said(&fit->want))
        return resolve_claim(r, &fit->e, id, &fit->want);
    if (fit->class.text == NULL)
        return NULL;
    if (!nominal(r, fit, &nominal_pm)) {
        refuse_class(r, fit, "neither size has a nominal");
        return NULL;
    }
    if (!class_clearance(r, fit, nominal_pm, &clearance, &source)) {
        refuse_class(r, fit, "it is not tabled for this size");
        return NULL;
    }
    struct fact *fact = resolve_fact(r, &fit->e, id, FACT_TABLE);
    fact->value = range_value(clearance);
    fact->span = fit->class.span;
    fact->level = LEVEL_STANDARD;
    fact->source = source;
    fact->formula = str_print(
        r->arena,
        "class %s at %s: largest hole less smallest shaft, smallest hole less largest shaft",
        fit->class.text,
        resolve_print(r, range_qty_pm(nominal_pm, qty_unit_find("mm", QTY_LENGTH))));
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
    resolve_input(r, fact, outer_fact);
    resolve_input(r, fact, inner_fact);
    return fact;
}

/* ---------- hot ---------- */

static bool both_metals(struct resolver *r, struct fit *fit, struct resolve_metal *outer,
                        struct resolve_metal *inner, struct span span)
{
    struct part *parts[] = {fit->outer.part, fit->inner.part};
    struct resolve_metal *metals[] = {outer, inner};

    for (size_t i = 0; i < 2; i++) {
        if (resolve_metal(r, parts[i], metals[i]) && table_has(metals[i]->expansion_per_k))
            continue;
        resolve_no_material(r, &fit->e, parts[i], span, "the fit cannot be worked out hot");
        return false;
    }
    return true;
}

double resolve_fit_diameter_m(const struct resolver *r, const struct fit *fit)
{
    struct range range = resolve_size_range(r, fit->outer.size, NULL);

    return range_middle(range).si;
}

static struct fact *hot(struct resolver *r, struct fit_values *values)
{
    struct fit *fit = values->fit;
    struct resolve_metal outer, inner;

    if (!resolve_said(&fit->runs_at) || values->clearance == NULL)
        return NULL;
    if (!both_metals(r, fit, &outer, &inner, fit->runs_at.span))
        return NULL;

    struct fact *at = resolve_claim(r, &fit->e, resolve_id(r, &fit->e, "runs-at"), &fit->runs_at);
    struct range range = range_of_fact(values->clearance);
    double rise_k = at->value.high.si - resolve_room(r).si;
    int64_t growth_pm = calc_hot_clearance_pm(0, resolve_fit_diameter_m(r, fit),
                                              outer.expansion_per_k, inner.expansion_per_k, rise_k);
    struct fact *fact = resolve_fact(r, &fit->e, resolve_id(r, &fit->e, "hot"), FACT_COMPUTED);
    fact->value =
        range_limits_pm(range.low.exact + growth_pm, range.high.exact + growth_pm, range.low.unit);
    fact->measured = range.measured;
    fact->uncertainty = range.uncertainty;
    fact->span = fit->runs_at.span;
    fact->formula =
        str_print(r->arena, "clearance + d (a outer - a inner)(T - room): %s %s /K, %s %s /K, d %s",
                  outer.name, str_decimal(r->arena, outer.expansion_per_k * 1e6, 1), inner.name,
                  str_decimal(r->arena, inner.expansion_per_k * 1e6, 1),
                  resolve_print(r, range_middle(resolve_size_range(r, fit->outer.size, NULL))));
    fact->sources = phrase_then(resolve_cite(r, "source.expansion", outer.source), "; ",
                                build_citation(r->arena, inner.source));
    resolve_input(r, fact, values->clearance);
    resolve_input(r, fact, at);
    return fact;
}

void resolve_fits(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->fits.count; i++) {
        struct fit_values *values = ARRAY_PUSH(r->arena, &r->build->fits);
        *values = (struct fit_values){.fit = r->spec->fits.items[i]};
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
    values->hot = hot(r, values);
    values->heat_to = resolve_heat_to(r, values);
    resolve_press_fit(r, values);
}
