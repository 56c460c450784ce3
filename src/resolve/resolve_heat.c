/* resolve_heat.c - the temperature at which one part drops into the other, held against what the
 * book, the published ceilings and the shop's ovens allow. */
#include "resolve_private.h"

struct heating {
    struct fit_values *values;
    struct resolve_metal metal;
    struct part *part;
    double need_c;
};

static char *print_c(const struct resolver *r, double celsius)
{
    return resolve_print(r, range_qty_si(celsius, QTY_TEMPERATURE, NULL));
}

/* The ceiling of the book that the user goes by. */
static bool at_most_holds(struct resolver *r, const struct heating *heating, struct fact *fact)
{
    struct fit *fit = heating->values->fit;
    struct fact *at_most =
        resolve_claim(r, &fit->e, resolve_id(r, &fit->e, "heat.at-most"), &fit->heat.at_most);

    if (at_most == NULL)
        return true;
    resolve_input(r, fact, at_most);
    if (qty_compare(fact->value.nominal, at_most->value.high) <= 0)
        return true;
    struct diag *diag =
        diag_add(&r->context->diags, DIAG_HEAT_OVER_AT_MOST, fit->heat.at_most.span,
                 "%s would have to be at %s, and may be at most %s", heating->part->e.member,
                 print_c(r, heating->need_c), fit->heat.at_most.value.text);
    resolve_hint(r, diag, "chill the inner part as well, or ask for less gap");
    return false;
}

static struct table_ceilings ceilings_of(struct resolver *r, const struct heating *heating,
                                         const char **what)
{
    const struct text *sealing = &heating->part->bearing.sealing;
    bool sealed = sealing->text != NULL && !sealing->unknown && !str_equal(sealing->text, "none") &&
                  !str_equal(sealing->text, "open");

    *what = !heating->part->bearing.present ? heating->metal.name
            : sealed                        ? "bearing-sealed"
                                            : "bearing";
    struct table_ceilings found = table_ceiling_find(r->arena, r->tables, *what);
    if (found.count == 0 && heating->metal.family != NULL)
        found = table_ceiling_find(r->arena, r->tables, heating->metal.family);
    return found;
}

/* Published ceilings differ, and none is picked: above all of them is an error, above one a
 * warning. Where the user gives the ceiling of a book, that one decides. */
static bool ceilings_hold(struct resolver *r, const struct heating *heating, struct fact *fact)
{
    struct fit *fit = heating->values->fit;
    const char *what = NULL, *need = print_c(r, heating->need_c);
    struct table_ceilings found = ceilings_of(r, heating, &what);

    if (found.count == 0)
        return true;
    const struct table_ceiling *low = found.items[0], *high = found.items[found.count - 1];
    fact->note = str_print(r->arena, "published ceilings for %s: %s (%s) to %s (%s)", what,
                           print_c(r, low->most_c), low->row.source, print_c(r, high->most_c),
                           high->row.source);
    if (resolve_said(&fit->heat.at_most) || heating->need_c <= low->most_c)
        return true;
    struct diag *diag;
    if (heating->need_c > high->most_c) {
        diag = diag_add(&r->context->diags, DIAG_HEAT_OVER_ALL_CEILINGS, fit->heat.span,
                        "%s would have to be at %s, and no source allows more than %s",
                        heating->part->e.member, need, print_c(r, high->most_c));
        resolve_hint(r, diag, "chill the inner part as well, or ask for less gap");
        return false;
    }
    diag = spec_warn(r->context, &fit->e, DIAG_HEAT_OVER_CEILING, fit->heat.span,
                     "%s needs %s, more than one source allows: %s (%s)", heating->part->e.member,
                     need, print_c(r, low->most_c), low->row.source);
    resolve_hint(r, diag, "say at-most: with the ceiling of the book you go by");
    return true;
}

static void ask_oven(struct resolver *r, const struct heating *heating, const struct fact *fact)
{
    struct fit *fit = heating->values->fit;
    const struct oven *best = NULL;

    for (size_t i = 0; i < r->spec->shop.ovens.count; i++) {
        const struct oven *oven = &r->spec->shop.ovens.items[i];
        if (resolve_said(&oven->up_to) &&
            (best == NULL || oven->up_to.value.high.si > best->up_to.value.high.si))
            best = oven;
    }
    if (best == NULL || qty_compare(fact->value.nominal, best->up_to.value.high) <= 0)
        return;
    struct diag *diag = spec_warn(r->context, &fit->e, DIAG_HEAT_NO_OVEN, fit->heat.span,
                                  "%s is needed, and no oven of the shop goes beyond %s",
                                  print_c(r, heating->need_c), best->up_to.value.text);
    resolve_label(r, diag, best->up_to.span, "the hottest oven");
    resolve_hint(r, diag, "chill the inner part as well, or add an oven that reaches it");
}

static bool same_unit(const struct part *heated, const struct part *outer)
{
    for (const struct part *part = outer; part != NULL; part = part->host)
        if (part == heated)
            return true;
    return false;
}

/* Extra clearance asked for while the parts go together. */
struct fact *resolve_gap(struct resolver *r, struct fit *fit, const char *what,
                         const struct claim *claim, struct span span)
{
    const char *id = resolve_id(r, &fit->e, what);
    struct fact *fact = resolve_claim(r, &fit->e, id, claim);

    if (fact != NULL)
        return fact;
    fact = resolve_fact(r, &fit->e, id, FACT_DEFAULTED);
    fact->value = range_one(range_qty_pm(25000000, qty_unit_find("mm", QTY_LENGTH)));
    fact->sources = phrase_number(resolve_say(r, "source.gap-practice"), "gap", "0.025");
    fact->span = span;
    return fact;
}

double resolve_share(struct resolver *r, const struct claim *claim)
{
    double share = resolve_said(claim) ? claim->value.nominal.si : 0;

    if (share < 1)
        return share;
    if (resolve_told(r, DIAG_SHARE_OF_ALL, claim->span) == NULL) {
        struct diag *diag = diag_add(&r->context->diags, DIAG_SHARE_OF_ALL, claim->span,
                                     "%s lost on the way leaves nothing", claim->value.text);
        resolve_hint(r, diag, "a share is less than 100%%");
        resolve_tell(r, DIAG_SHARE_OF_ALL, claim->span, diag);
    }
    return 0;
}

/* By this the chilled part is smaller when it meets the other. */
static double shrunk_m(struct resolver *r, const struct fit_values *values, struct fact *fact)
{
    const struct fit *fit = values->fit;
    struct resolve_metal inner;

    if (values->chill_to == NULL || !resolve_metal(r, fit->inner.part, &inner))
        return 0;
    double warming = resolve_share(r, &fit->chill.warming);
    double fall_k = resolve_room(r).si - values->chill_to->value.nominal.si;
    resolve_input_as(r, fact, "chilled", values->chill_to);
    resolve_number(r, fact, "inner-expansion", inner.expansion_per_k);
    resolve_number(r, fact, "warming", warming);
    return calc_thermal_growth_m(resolve_fit_diameter_m(r, fit), inner.expansion_per_k,
                                 fall_k * (1 - warming));
}

struct fact *resolve_heat_to(struct resolver *r, struct fit_values *values)
{
    struct fit *fit = values->fit;
    struct heating heating = {.values = values, .part = resolve_part(&fit->heat.part)};

    if (!fit->heat.present || values->clearance == NULL)
        return NULL;
    if (heating.part == NULL)
        heating.part = fit->outer.part;
    if (!same_unit(heating.part, fit->outer.part)) {
        struct diag *diag = diag_add(&r->context->diags, DIAG_HEAT_WRONG_PART, fit->heat.part.span,
                                     "%s is not the outer part of this fit: that is %s",
                                     heating.part->e.member, fit->outer.part->e.member);
        resolve_edit(r, diag, fit->heat.part.span, fit->outer.part->e.group->id);
        return NULL;
    }
    if (!resolve_metal(r, fit->outer.part, &heating.metal) ||
        !table_has(heating.metal.expansion_per_k)) {
        resolve_no_material(r, &fit->e, fit->outer.part, fit->heat.span,
                            "the heat cannot be worked out");
        return NULL;
    }
    struct fact *gap_fact = resolve_gap(r, fit, "heat.gap", &fit->heat.gap, fit->heat.span);
    struct fact *fact = resolve_fact(r, &fit->e, resolve_id(r, &fit->e, "heat-to"), FACT_COMPUTED);
    struct range range = range_of_fact(values->clearance);
    double open_m = (double)(gap_fact->value.high.exact - range.low.exact) * 1e-12 -
                    shrunk_m(r, values, fact);
    double cooling = resolve_share(r, &fit->heat.cooling);
    heating.need_c = resolve_room(r).si;
    if (open_m > 0 && heating.metal.expansion_per_k > 0 && resolve_fit_diameter_m(r, fit) > 0)
        heating.need_c = calc_heat_to_c(heating.need_c, open_m, heating.metal.expansion_per_k,
                                        resolve_fit_diameter_m(r, fit), cooling);

    fact->value = range_one(
        range_qty_si(heating.need_c, QTY_TEMPERATURE, resolve_prefer(r, QTY_TEMPERATURE)));
    fact->span = fit->heat.span;
    fact->formula = str_print(r->arena, "room + (interference + gap%s) / (a d)%s, a %s um/m/K of %s",
                              values->chill_to != NULL ? " - what the chill gives" : "", cooling > 0 ? " / (1 - cooling)" : "",
                              str_decimal(r->arena, heating.metal.expansion_per_k * 1e6, 1),
                              heating.metal.name);
    fact->sources = resolve_cite(r, "source.expansion", heating.metal.expansion_source);
    fact->rule = "heat-to";
    resolve_number(r, fact, "room", resolve_room(r).si);
    resolve_number(r, fact, "diameter", resolve_fit_diameter_m(r, fit));
    resolve_number(r, fact, "expansion", heating.metal.expansion_per_k);
    resolve_number(r, fact, "cooling", cooling);
    resolve_input_as(r, fact, "clearance", values->clearance);
    resolve_input_as(r, fact, "gap", gap_fact);
    if (at_most_holds(r, &heating, fact) && ceilings_hold(r, &heating, fact))
        ask_oven(r, &heating, fact);
    return fact;
}
