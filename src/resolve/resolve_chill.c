/* resolve_chill.c - the temperature at which the inner part of a fit drops into the other, held
 * against what it bears and what can make it so cold. */
#include "resolve_private.h"

static char *print_c(const struct resolver *r, double celsius)
{
    return resolve_print(r, range_qty_si(celsius, QTY_TEMPERATURE, NULL));
}

static bool carries(const struct part *chilled, const struct part *part)
{
    while (part != NULL && part != chilled)
        part = part->host;
    return part != NULL;
}

static bool floor_holds(struct resolver *r, struct fit *fit, double need_c)
{
    const char *what = fit->inner.part->bearing.present ? "bearing" : fit->inner.part->material.text;
    const struct table_chill *row = what != NULL ? table_chill_floor(r->tables, what) : NULL;

    if (row == NULL || need_c >= row->temperature_c)
        return true;
    struct diag *diag = spec_warn(r->context, &fit->e, DIAG_CHILL_UNDER_FLOOR, fit->chill.span,
                                  "%s would be chilled to %s, and %s is not to be colder than %s (%s)",
                                  fit->inner.part->e.member, print_c(r, need_c), what,
                                  print_c(r, row->temperature_c), row->row.source);
    resolve_hint(r, diag, "heat the outer part as well, or ask for less gap");
    return diag == NULL;
}

/* The mildest that is cold enough. */
static void name_medium(struct resolver *r, struct fit_values *values, struct fact *fact,
                        double need_c)
{
    struct fit *fit = values->fit;
    const struct table_chill *row = table_chill_medium(r->tables, need_c);

    if (row != NULL) {
        values->chill_in = row->what;
        fact->note = str_print(r->arena, "%s brings a part to %s (%s)", row->what,
                               print_c(r, row->temperature_c), row->row.source);
        return;
    }
    struct diag *diag = diag_add(&r->context->diags, DIAG_CHILL_NO_MEDIUM, fit->chill.span,
                                 "%s would have to be at %s, and nothing makes it so cold",
                                 fit->inner.part->e.member, print_c(r, need_c));
    resolve_hint(r, diag, "heat the outer part as well, or ask for less gap");
}

static bool at_least_holds(struct resolver *r, struct fit *fit, const struct fact *at_least,
                           double need_c)
{
    if (at_least == NULL || need_c >= at_least->value.low.si - 1e-9)
        return true;
    struct diag *diag =
        diag_add(&r->context->diags, DIAG_CHILL_UNDER_AT_LEAST, fit->chill.at_least.span,
                 "%s would have to be at %s, and may be no colder than %s",
                 fit->inner.part->e.member, print_c(r, need_c), fit->chill.at_least.value.text);
    resolve_hint(r, diag, "heat the outer part as well, or ask for less gap");
    return false;
}

/* Chilled alone: as cold as interference and gap want it. */
static void by_need(struct resolver *r, struct fit_values *values, struct fact *fact,
                    const struct resolve_metal *metal)
{
    struct fit *fit = values->fit;
    struct fact *gap = resolve_gap(r, fit, "chill.gap", &fit->chill.gap, fit->chill.span);
    double d = resolve_fit_diameter_m(r, fit), warming = resolve_share(r, &fit->chill.warming);
    double open_m =
        (double)(gap->value.high.exact - range_of_fact(values->clearance).low.exact) * 1e-12;
    double room_c = resolve_room(r).si, need_c = room_c;

    if (open_m > 0 && metal->expansion_per_k > 0 && d > 0)
        need_c = calc_chill_to_c(room_c, open_m, metal->expansion_per_k, d, warming);
    fact->value =
        range_one(range_qty_si(need_c, QTY_TEMPERATURE, resolve_prefer(r, QTY_TEMPERATURE)));
    fact->formula = str_print(r->arena, "room - (interference + gap) / (a d)%s, a %s um/m/K of %s",
                              warming > 0 ? " / (1 - warming)" : "",
                              str_decimal(r->arena, metal->expansion_per_k * 1e6, 1), metal->name);
    fact->sources = resolve_cite(r, "source.expansion", metal->expansion_source);
    fact->rule = "chill-to";
    resolve_number(r, fact, "room", room_c);
    resolve_number(r, fact, "diameter", d);
    resolve_number(r, fact, "expansion", metal->expansion_per_k);
    resolve_number(r, fact, "warming", warming);
    resolve_input_as(r, fact, "clearance", values->clearance);
    resolve_input_as(r, fact, "gap", gap);
}

struct fact *resolve_chill_to(struct resolver *r, struct fit_values *values)
{
    struct fit *fit = values->fit;
    struct part *part = resolve_part(&fit->chill.part);
    struct resolve_metal metal;

    if (!fit->chill.present || values->clearance == NULL)
        return NULL;
    if (part != NULL && (!carries(part, fit->inner.part) || carries(part, fit->outer.part))) {
        struct diag *diag = diag_add(&r->context->diags, DIAG_CHILL_WRONG_PART, fit->chill.part.span,
                                     "%s is not the inner part of this fit: that is %s",
                                     part->e.member, fit->inner.part->e.member);
        resolve_edit(r, diag, fit->chill.part.span, fit->inner.part->e.group->id);
        return NULL;
    }
    if (!resolve_metal(r, fit->inner.part, &metal) || !table_has(metal.expansion_per_k)) {
        resolve_no_material(r, &fit->e, fit->inner.part, fit->chill.span,
                            "the chill cannot be worked out");
        return NULL;
    }
    struct fact *at_least = resolve_claim(r, &fit->e, resolve_id(r, &fit->e, "chill.at-least"),
                                          &fit->chill.at_least);
    struct fact *fact = resolve_fact(r, &fit->e, resolve_id(r, &fit->e, "chill-to"), FACT_COMPUTED);
    fact->span = fit->chill.span;
    if (fit->heat.present && at_least != NULL) {
        fact->value = at_least->value;
        fact->formula = "as cold as it may get; the heat of the other part makes up the rest";
        fact->rule = "chilled";
        resolve_input_as(r, fact, "at-least", at_least);
    } else {
        by_need(r, values, fact, &metal);
        resolve_input_as(r, fact, "at-least", at_least);
    }
    double need_c = fact->value.nominal.si;
    if (at_least_holds(r, fit, at_least, need_c) && floor_holds(r, fit, need_c))
        name_medium(r, values, fact, need_c);
    return fact;
}
