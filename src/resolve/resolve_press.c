/* resolve_press.c - what an interference does to both parts: pressure, stress, the force to press it
 * in, how far the inner bore closes and the outside grows.
 *
 * Interference, moduli and sizes are known within limits; all corners are tried, and each result has
 * the ends that they give. */
#include "resolve_private.h"

struct pressing {
    struct range interference; /* positive; its low end may be 0 */
    double diameter_m;
    struct range outside, bore; /* bore at 0 where the inner part is solid */
    struct resolve_metal outer, inner;
};
struct ends {
    double low, high;
};
struct results {
    struct ends pressure, hoop, closes, grows;
};

static void widen(struct ends *ends, double value)
{
    ends->low = fmin(ends->low, value);
    ends->high = fmax(ends->high, value);
}

static double pick_end(struct range range, bool high)
{
    return high ? range.high.si : range.low.si;
}

static struct calc_pressed corner_of(const struct pressing *pressing, unsigned corner)
{
    double interference_m = pick_end(pressing->interference, corner & 1);
    struct calc_press press = {
        .diameter_m = pressing->diameter_m,
        .hub_outside_m = pick_end(pressing->outside, corner & 2),
        .shaft_bore_m = pick_end(pressing->bore, corner & 4),
        .hub_modulus_pa = corner & 8 ? pressing->outer.modulus_high_pa : pressing->outer.modulus_low_pa,
        .shaft_modulus_pa =
            corner & 16 ? pressing->inner.modulus_high_pa : pressing->inner.modulus_low_pa,
        .hub_poisson = pressing->outer.poisson,
        .shaft_poisson = pressing->inner.poisson,
        .interference_m = interference_m,
    };

    return interference_m > 0 ? calc_press(&press) : (struct calc_pressed){0};
}

static struct results work(const struct pressing *pressing)
{
    enum { CORNERS = 32 };
    const struct ends none = {INFINITY, -INFINITY};
    struct results results = {none, none, none, none};

    for (unsigned corner = 0; corner < CORNERS; corner++) {
        struct calc_pressed pressed = corner_of(pressing, corner);
        widen(&results.pressure, pressed.pressure_pa);
        widen(&results.hoop, pressed.hub_hoop_pa);
        widen(&results.closes, pressed.bore_closure_m);
        widen(&results.grows, pressed.hub_growth_m);
    }
    return results;
}

/* ---------- inputs ---------- */

static bool know_metal(struct resolver *r, struct fit *fit, struct part *part,
                       struct resolve_metal *metal)
{
    if (resolve_metal(r, part, metal) && table_has(metal->modulus_pa))
        return true;
    struct diag *diag = spec_warn(r->context, &fit->e, DIAG_FIT_NO_MATERIAL, fit->press.span,
                                  "%s does not say its material, so the press fit cannot be worked out",
                                  part->e.member);
    resolve_label(r, diag, part->e.span, "say material: here");
    resolve_hint(r, diag, "`gudgeon table material` lists them");
    return false;
}

static bool is_within(struct resolver *r, const struct fit *fit, const struct pressing *pressing)
{
    double d = pressing->diameter_m;
    const char *why = pressing->outside.low.si <= d  ? "the outside is no larger than the fit"
                      : pressing->bore.high.si >= d ? "the bore is no smaller than the fit"
                                                    : NULL;

    if (why == NULL)
        return true;
    struct diag *diag =
        diag_add(&r->context->diags, DIAG_PRESS_SIZES, fit->press.span,
                 "the press fit %s cannot be worked out: %s", fit->e.member, why);
    resolve_hint(r, diag, "outside is of the outer part, bore of the inner one; both are diameters");
    return false;
}

static bool know_size(struct resolver *r, struct fit *fit, const char *key,
                      const struct formula_input *input, struct range *range, struct fact **fact)
{
    *fact = resolve_formula_input(r, &fit->e, resolve_id(r, &fit->e, key), input);
    *range = range_of_fact(*fact);
    if (range_known(*range))
        return true;
    resolve_ask(r, &fit->e, key, input->size.text != NULL ? input->size.span : fit->press.span,
                "size-of-fit", "measure-or-limits");
    return false;
}

/* ---------- facts ---------- */

struct writer {
    struct resolver *r;
    struct fit_values *values;
    const struct pressing *pressing;
    struct fact *outside, *bore;
};

static struct fact *put(struct writer *w, const char *what, const char *formula)
{
    struct resolver *r = w->r;
    struct fit *fit = w->values->fit;
    struct fact *fact = resolve_fact(r, &fit->e, resolve_id(r, &fit->e, what), FACT_COMPUTED);
    const struct pressing *pressing = w->pressing;

    fact->span = fit->press.span;
    fact->formula = formula;
    fact->rule = what;
    fact->measured = pressing->interference.measured;
    fact->sources = phrase_then(build_citation(r->arena, pressing->outer.source), "; ",
                                build_citation(r->arena, pressing->inner.source));
    resolve_input_as(r, fact, "clearance", w->values->clearance);
    resolve_input_as(r, fact, "outside", w->outside);
    resolve_input_as(r, fact, "bore", w->bore);
    resolve_number(r, fact, "diameter", pressing->diameter_m);
    resolve_number(r, fact, "outer-modulus-low", pressing->outer.modulus_low_pa);
    resolve_number(r, fact, "outer-modulus-high", pressing->outer.modulus_high_pa);
    resolve_number(r, fact, "inner-modulus-low", pressing->inner.modulus_low_pa);
    resolve_number(r, fact, "inner-modulus-high", pressing->inner.modulus_high_pa);
    resolve_number(r, fact, "outer-poisson", pressing->outer.poisson);
    resolve_number(r, fact, "inner-poisson", pressing->inner.poisson);
    *ARRAY_PUSH(r->arena, &w->values->more) = fact;
    return fact;
}

static struct fact *put_si(struct writer *w, const char *what, const char *formula,
                           enum qty_dim dim, const char *unit, struct ends ends)
{
    struct fact *fact = put(w, what, formula);
    const struct qty_unit *preferred = resolve_prefer(w->r, dim);

    if (preferred == NULL)
        preferred = qty_unit_find(unit, dim);
    struct range range = {.low_set = true, .high_set = true};
    range.low = range_qty_si(ends.low, dim, preferred);
    range.high = range_qty_si(ends.high, dim, preferred);
    fact->value = range_value(range);
    return fact;
}

static struct fact *put_length(struct writer *w, const char *what, const char *formula,
                               struct ends ends)
{
    struct fact *fact = put(w, what, formula);

    fact->value = range_limits_pm(llround(ends.low * 1e12), llround(ends.high * 1e12),
                                  range_of_fact(w->values->clearance).low.unit);
    return fact;
}

/* mu p pi d L, at both ends of all three. */
static void put_force(struct writer *w, struct ends pressure)
{
    struct resolver *r = w->r;
    struct fit *fit = w->values->fit;
    struct fact *length =
        resolve_claim(r, &fit->e, resolve_id(r, &fit->e, "length"), &fit->press.length);
    struct fact *friction =
        resolve_claim(r, &fit->e, resolve_id(r, &fit->e, "friction"), &fit->press.friction);
    struct range mu = range_of_fact(friction), along = range_of_fact(length);

    if (!range_known(mu) || !range_known(along))
        return;
    struct ends ends = {calc_press_force_n(pressure.low, w->pressing->diameter_m, along.low.si, mu.low.si),
                        calc_press_force_n(pressure.high, w->pressing->diameter_m, along.high.si,
                                           mu.high.si)};
    struct fact *fact = put_si(w, "press-force", "friction x pressure x pi d x length", QTY_FORCE, "kN",
                               ends);
    resolve_input_as(r, fact, "length", length);
    resolve_input_as(r, fact, "friction", friction);
}

/* The bore of the inner part, once it is in. */
static void put_bore_after(struct writer *w, struct ends closes)
{
    struct range bore = range_of_fact(w->bore);

    if (!range_known(bore))
        return;
    struct fact *fact = put(w, "bore-after", "bore less what it closes by");
    fact->value = range_limits_pm(bore.low.exact - llround(closes.high * 1e12),
                                  bore.high.exact - llround(closes.low * 1e12), bore.low.unit);
}

static void check_hoop(struct resolver *r, const struct fit *fit, const struct pressing *pressing,
                       struct ends hoop)
{
    if (!table_has(pressing->outer.tensile_pa) || hoop.high <= pressing->outer.tensile_pa)
        return;
    const struct qty_unit *unit = qty_unit_find("MPa", QTY_STRESS);
    struct diag *diag = spec_warn(
        r->context, (struct entry *)&fit->e, DIAG_PRESS_BURSTS, fit->press.span,
        "%s is stretched to %s at its bore, and %s breaks at %s", fit->outer.part->e.member,
        resolve_print(r, range_qty_si(hoop.high, QTY_STRESS, unit)), pressing->outer.name,
        resolve_print(r, range_qty_si(pressing->outer.tensile_pa, QTY_STRESS, unit)));
    resolve_hint(r, diag, "less interference, or more metal around it");
}

void resolve_press_fit(struct resolver *r, struct fit_values *values)
{
    struct fit *fit = values->fit;
    struct range clearance = range_of_fact(values->clearance);
    struct pressing pressing = {.diameter_m = resolve_fit_diameter_m(r, fit)};
    struct writer w = {.r = r, .values = values, .pressing = &pressing};

    if (!fit->press.present || !range_known(clearance))
        return;
    if (clearance.low.exact >= 0) {
        struct diag *diag = spec_warn(r->context, &fit->e, DIAG_PRESS_LOOSE, fit->press.span,
                                      "%s is no press fit: the sizes leave %s", fit->e.member,
                                      resolve_print_range(r, clearance));
        resolve_hint(r, diag, "look at the sizes, or leave press out");
        return;
    }
    if (!know_metal(r, fit, fit->outer.part, &pressing.outer) ||
        !know_metal(r, fit, fit->inner.part, &pressing.inner) ||
        !know_size(r, fit, "outside", &fit->press.outside, &pressing.outside, &w.outside))
        return;
    bool hollow = fit->press.bore.claim.present || fit->press.bore.size.text != NULL;
    pressing.bore = (struct range){.low = range_qty_pm(0, NULL), .high = range_qty_pm(0, NULL)};
    if (hollow && !know_size(r, fit, "bore", &fit->press.bore, &pressing.bore, &w.bore))
        return;
    if (!is_within(r, fit, &pressing))
        return;
    pressing.interference = clearance;
    pressing.interference.low = range_qty_pm(clearance.high.exact > 0 ? 0 : -clearance.high.exact, NULL);
    pressing.interference.high = range_qty_pm(-clearance.low.exact, NULL);

    struct results results = work(&pressing);
    put_si(&w, "press-pressure",
           "interference / (d ((outer term + nu)/E + (inner term - nu)/E)), Lame, plane stress",
           QTY_STRESS, "MPa", results.pressure);
    put_si(&w, "press-hoop", "pressure (D^2 + d^2)/(D^2 - d^2), at the bore of the outer part",
           QTY_STRESS, "MPa", results.hoop);
    put_length(&w, "press-grows", "2 p d^2 D / (E (D^2 - d^2)), the outside of the outer part",
               results.grows);
    if (hollow) {
        put_length(&w, "press-closes", "2 p d^2 bore / (E (d^2 - bore^2)), the bore of the inner part",
                   results.closes);
        put_bore_after(&w, results.closes);
    }
    put_force(&w, results.pressure);
    check_hoop(r, fit, &pressing, results.hoop);
}
