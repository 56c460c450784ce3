/* resolve_hot.c - fits at the temperature the engine runs at: what clearance they have then, where an
 * interference lets go, and whether another source's figures for a metal would say otherwise.
 *
 * Figures of sources that disagree are never averaged: one row is used and named. */
#include "resolve_private.h"

struct warming {
    struct fit *fit;
    struct fit_values *values;
    struct resolve_metal outer, inner;
    double diameter_m, room_c;
    struct fact *at;
};

static bool both_metals(struct resolver *r, struct warming *w)
{
    struct part *parts[] = {w->fit->outer.part, w->fit->inner.part};
    struct resolve_metal *metals[] = {&w->outer, &w->inner};

    for (size_t i = 0; i < 2; i++) {
        if (resolve_metal(r, parts[i], metals[i]) && table_has(metals[i]->expansion_per_k))
            continue;
        resolve_no_material(r, &w->fit->e, parts[i], w->fit->runs_at.span,
                            "the fit cannot be worked out hot");
        return false;
    }
    return true;
}

/* The clearance at runs-at, if the metals grew so. */
static struct range clearance_at(const struct warming *w, double outer_per_k, double inner_per_k)
{
    struct range range = range_of_fact(w->values->clearance);
    int64_t growth_pm = calc_hot_clearance_pm(0, w->diameter_m, outer_per_k, inner_per_k,
                                              w->at->value.high.si - w->room_c);

    range.low.exact += growth_pm;
    range.high.exact += growth_pm;
    return range;
}

static enum calc_fit_kind kind_of(struct range range)
{
    return calc_fit_kind((struct calc_range_pm){range.low.exact, range.high.exact});
}

static struct fact *put(struct resolver *r, const struct warming *w, const char *what,
                        double outer_per_k, double inner_per_k)
{
    struct fit *fit = w->fit;
    struct fact *fact = resolve_fact(r, &fit->e, resolve_id(r, &fit->e, what), FACT_COMPUTED);

    fact->span = fit->runs_at.span;
    fact->measured = range_of_fact(w->values->clearance).measured;
    fact->sources =
        phrase_then(resolve_cite(r, "source.expansion", w->outer.expansion_source), "; ",
                    build_citation(r->arena, w->inner.expansion_source));
    resolve_number(r, fact, "diameter", w->diameter_m);
    resolve_number(r, fact, "outer-expansion", outer_per_k);
    resolve_number(r, fact, "inner-expansion", inner_per_k);
    resolve_number(r, fact, "room", w->room_c);
    resolve_input_as(r, fact, "clearance", w->values->clearance);
    return fact;
}

static const char *micro(struct resolver *r, double expansion_per_k)
{
    return str_decimal(r->arena, expansion_per_k * 1e6, 1);
}

static struct fact *put_clearance(struct resolver *r, const struct warming *w, const char *what,
                                  double outer_per_k, double inner_per_k)
{
    struct range range = clearance_at(w, outer_per_k, inner_per_k);
    struct fact *fact = put(r, w, what, outer_per_k, inner_per_k);

    fact->value = range_limits_pm(range.low.exact, range.high.exact, range.low.unit);
    fact->uncertainty = range.uncertainty;
    fact->formula = str_print(
        r->arena, "clearance + d (a outer - a inner)(T - room): %s %s um/m/K, %s %s um/m/K, d %s",
        w->outer.name, micro(r, outer_per_k), w->inner.name, micro(r, inner_per_k),
        resolve_print(r, range_middle(resolve_size_range(r, w->fit->outer.size, NULL))));
    fact->rule = "clearance-hot";
    resolve_input_as(r, fact, "at", w->at);
    return fact;
}

/* Of a fit that is tight in the room, in metals of which the outer grows more; else no heat frees it. */
static void put_let_go(struct resolver *r, const struct warming *w)
{
    struct range range = range_of_fact(w->values->clearance);

    if (range.low.exact >= 0 || w->outer.expansion_per_k <= w->inner.expansion_per_k)
        return;
    double least_m = range.high.exact < 0 ? -(double)range.high.exact * 1e-12 : 0,
           most_m = -(double)range.low.exact * 1e-12;
    double rises[] = {calc_let_go_rise_k(least_m, w->diameter_m, w->outer.expansion_per_k,
                                         w->inner.expansion_per_k),
                      calc_let_go_rise_k(most_m, w->diameter_m, w->outer.expansion_per_k,
                                         w->inner.expansion_per_k)};
    struct fact *fact =
        put(r, w, "lets-go", w->outer.expansion_per_k, w->inner.expansion_per_k);
    const struct qty_unit *unit = resolve_prefer(r, QTY_TEMPERATURE);
    fact->value = range_limits(range_qty_si(w->room_c + rises[0], QTY_TEMPERATURE, unit),
                               range_qty_si(w->room_c + rises[1], QTY_TEMPERATURE, unit));
    fact->formula = "room + interference / (d (a outer - a inner)), both parts equally warm";
    fact->rule = "lets-go";
    *ARRAY_PUSH(r->arena, &w->values->more) = fact;
}

/* ---------- other figures for the same metal ---------- */

struct dispute {
    const struct resolve_metal *metal;
    const struct resolve_expansion *other;
    struct range clearance;
    bool outer;
};

/* The figure that is farthest from the one used, of those with which the fit would be of another kind. */
static struct dispute disputed(const struct warming *w)
{
    const struct resolve_metal *metals[] = {&w->outer, &w->inner};
    enum calc_fit_kind kind = kind_of(clearance_at(w, w->outer.expansion_per_k, w->inner.expansion_per_k));
    struct dispute found = {0};

    for (size_t side = 0; side < 2; side++)
        for (size_t i = 0; i < metals[side]->rival_count; i++) {
            const struct resolve_expansion *other = &metals[side]->rivals[i];
            struct range range =
                clearance_at(w, side == 0 ? other->per_k : w->outer.expansion_per_k,
                             side == 1 ? other->per_k : w->inner.expansion_per_k);
            double off = fabs(other->per_k - metals[side]->expansion_per_k);
            if (kind_of(range) != kind &&
                (found.other == NULL ||
                 off > fabs(found.other->per_k - found.metal->expansion_per_k)))
                found = (struct dispute){metals[side], other, range, side == 0};
        }
    return found;
}

static void report_dispute(struct resolver *r, const struct warming *w, const struct fact *used)
{
    struct dispute dispute = disputed(w);

    if (dispute.other == NULL)
        return;
    struct fact *fact = put_clearance(
        r, w, "hot-by-others", dispute.outer ? dispute.other->per_k : w->outer.expansion_per_k,
        dispute.outer ? w->inner.expansion_per_k : dispute.other->per_k);
    fact->sources = resolve_cite(r, "source.expansion", dispute.other->source);
    fact->phrase = phrase_value(
        phrase_phrase(phrase_text(resolve_say(r, "hot.by-others"), "metal", dispute.metal->name),
                      "source", build_citation(r->arena, dispute.other->source)),
        "clearance", &fact->value);
    *ARRAY_PUSH(r->arena, &w->values->more) = fact;
    struct diag *diag = spec_warn(
        r->context, &w->fit->e, DIAG_EXPANSION_DISPUTED, w->fit->runs_at.span,
        "%s at %s hangs on whose figure for %s is right: with %s um/m/K it has %s, with %s %s",
        w->fit->e.member, w->fit->runs_at.value.text, dispute.metal->name,
        micro(r, dispute.metal->expansion_per_k), resolve_print_range(r, range_of_fact(used)),
        micro(r, dispute.other->per_k),
        resolve_print_range(r, dispute.clearance));
    resolve_hint(r, diag, "say in materials which figure holds for this metal, and where it is from");
}

struct fact *resolve_hot(struct resolver *r, struct fit_values *values)
{
    struct warming w = {.fit = values->fit, .values = values, .room_c = resolve_room(r).si};

    if (!resolve_said(&w.fit->runs_at) || values->clearance == NULL || !both_metals(r, &w))
        return NULL;
    w.diameter_m = resolve_fit_diameter_m(r, w.fit);
    w.at = resolve_claim(r, &w.fit->e, resolve_id(r, &w.fit->e, "runs-at"), &w.fit->runs_at);
    struct fact *fact =
        put_clearance(r, &w, "hot", w.outer.expansion_per_k, w.inner.expansion_per_k);
    if (w.diameter_m > 0)
        put_let_go(r, &w);
    report_dispute(r, &w, fact);
    return fact;
}
