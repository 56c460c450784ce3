/* resolve_clearance.c - the clearance inside a rolling bearing, as bought, fitted and running.
 *
 * What the seats take of it is not one fixed share: a thin ring in a light-alloy housing gives way
 * less, a heavy one on a solid shaft more. So each share is worked out by Lame from the rings, the
 * metals and the sizes. The raceways are taken at (4d + D)/5 and (d + 4D)/5 of a ball bearing, at
 * (3d + D)/4 and (d + 3D)/4 of a roller bearing: the outer ones are those by which a bearing maker's
 * catalogue works out the loss by heat, the inner ones their mirror image (assumed). */
#include "resolve_private.h"

struct seats {
    struct fit_values *shaft, *housing; /* NULL: no fit is declared there */
};
struct work {
    struct resolver *r;
    struct bearing_values *values;
    struct fact *bought;
    struct seats seats;
    double bore_m, outside_m;
    bool roller;
    struct resolve_metal ring;
};

static struct seats seats_of(const struct resolver *r, const struct part *part)
{
    struct seats seats = {0};

    for (size_t i = 0; i < r->build->fits.count; i++) {
        struct fit_values *values = &r->build->fits.items[i];
        if (values->clearance == NULL)
            continue;
        if (values->fit->outer.part == part && str_equal(values->fit->outer.size->name, "bore"))
            seats.shaft = values;
        if (values->fit->inner.part == part && str_equal(values->fit->inner.size->name, "outside"))
            seats.housing = values;
    }
    return seats;
}

static struct fact *put(struct work *w, const char *what, const char *formula)
{
    struct part *part = w->values->part;
    struct fact *fact = resolve_fact(w->r, &part->e, resolve_id(w->r, &part->e, what), FACT_COMPUTED);

    fact->span = part->bearing.span;
    fact->formula = formula;
    fact->rule = what;
    *ARRAY_PUSH(w->r->arena, &w->values->more) = fact;
    return fact;
}

/* ---------- the seats ---------- */

/* Interference of a seat, 0 where it is loose; `hot` takes the fit as it is when running. */
static struct calc_range_pm interference(const struct fit_values *seat, bool hot)
{
    const struct fact *fact = seat == NULL                      ? NULL
                              : hot && seat->hot != NULL ? seat->hot
                                                         : seat->clearance;
    struct range range = range_of_fact(fact);

    return fact == NULL ? (struct calc_range_pm){0, 0}
                        : (struct calc_range_pm){-range.high.exact, -range.low.exact};
}

/* What the peaks of both surfaces leave of it, of a ground seat. */
static struct calc_range_pm effective(struct calc_range_pm apparent, double bore_m)
{
    struct calc_range_pm range = apparent;

    if (range.low > 0)
        range.low = llround(calc_seat_interference_m((double)range.low * 1e-12, bore_m, true) * 1e12);
    if (range.high > 0)
        range.high = llround(calc_seat_interference_m((double)range.high * 1e-12, bore_m, true) * 1e12);
    return range;
}

static double raceway_m(const struct work *w, bool outer)
{
    double near_m = outer ? w->outside_m : w->bore_m, far_m = outer ? w->bore_m : w->outside_m;

    return w->roller ? (3 * near_m + far_m) / 4 : (4 * near_m + far_m) / 5;
}

/* A diameter that the fit's press says, by its key there; 0 where it says none. */
static double press_size_m(struct work *w, const struct fit *fit, const char *key,
                           const struct formula_input *input)
{
    if (!fit->press.present)
        return 0;
    struct range range = range_of_fact(resolve_formula_input(
        w->r, (struct entry *)&fit->e, resolve_id(w->r, &fit->e, key), input));

    return range_known(range) ? range_middle(range).si : 0;
}

static const double slight_m = 1e-6; /* shares do not hang on the interference: any will do */

/* Of the inner ring: it grows at its raceway, on a shaft that is solid or has a bore. */
static bool share_inner(struct work *w, double *share)
{
    const struct fit *fit = w->seats.shaft != NULL ? w->seats.shaft->fit : NULL;
    struct resolve_metal shaft;

    *share = 0;
    if (fit == NULL)
        return true;
    if (!resolve_metal(w->r, fit->inner.part, &shaft) || !table_has(shaft.modulus_pa))
        return false;
    double bore_m = press_size_m(w, fit, "bore", &fit->press.bore);
    struct calc_press press = {w->bore_m,           raceway_m(w, false), bore_m < w->bore_m ? bore_m : 0,
                               w->ring.modulus_pa,  w->ring.poisson,     shaft.modulus_pa,
                               shaft.poisson,       slight_m};
    *share = calc_press(&press).hub_growth_m / slight_m;
    return true;
}

/* A housing much thicker than this many outside diameters gives way no less. */
static const double thick = 4;

/* Of the outer ring: it closes at its raceway, in a housing as thick as the fit says. */
static bool share_outer(struct work *w, double *share)
{
    const struct fit *fit = w->seats.housing != NULL ? w->seats.housing->fit : NULL;
    struct resolve_metal housing;

    *share = 0;
    if (fit == NULL)
        return true;
    if (!resolve_metal(w->r, fit->outer.part, &housing) || !table_has(housing.modulus_pa))
        return false;
    double around = press_size_m(w, fit, "outside", &fit->press.outside);
    struct calc_press press = {w->outside_m,
                               around > w->outside_m ? around : thick * w->outside_m,
                               raceway_m(w, true),
                               housing.modulus_pa,
                               housing.poisson,
                               w->ring.modulus_pa,
                               w->ring.poisson,
                               slight_m};
    *share = calc_press(&press).bore_closure_m / slight_m;
    return true;
}

/* ---------- the lines ---------- */

static void put_seat(struct work *w, const char *what, struct fit_values *seat, double diameter_m)
{
    if (seat == NULL)
        return;
    struct calc_range_pm left = effective(interference(seat, false), diameter_m);
    struct fact *fact = put(w, what,
                            "interference x d / (d + 2 mm), of a ground seat; negative is clearance");

    fact->value = range_limits_pm(left.low, left.high, qty_unit_find("mm", QTY_LENGTH));
    fact->source = "a bearing maker's general catalogue, equation 9.4";
    fact->measured = seat->clearance->measured;
    resolve_input_as(w->r, fact, "clearance", seat->clearance);
    resolve_number(w->r, fact, "diameter", diameter_m);
}

static struct fact *put_fitted(struct work *w, const char *what, bool hot, double inner, double outer)
{
    struct range bought = range_of_fact(w->bought);
    struct calc_range_pm fitted = calc_mounted_clearance_pm(
        (struct calc_range_pm){bought.low.exact, bought.high.exact}, inner,
        effective(interference(w->seats.shaft, hot), w->bore_m), outer,
        effective(interference(w->seats.housing, hot), w->outside_m));
    struct fact *fact = put(w, what,
                            "clearance as bought less the share of each interference that reaches the "
                            "raceway (Lame), worst case");

    fact->value = range_limits_pm(fitted.low, fitted.high, qty_unit_find("mm", QTY_LENGTH));
    resolve_input_as(w->r, fact, "bought", w->bought);
    if (w->seats.shaft != NULL)
        resolve_input_as(w->r, fact, "shaft",
                         hot && w->seats.shaft->hot ? w->seats.shaft->hot : w->seats.shaft->clearance);
    if (w->seats.housing != NULL)
        resolve_input_as(w->r, fact, "housing",
                         hot && w->seats.housing->hot ? w->seats.housing->hot
                                                      : w->seats.housing->clearance);
    resolve_number(w->r, fact, "bore", w->bore_m);
    resolve_number(w->r, fact, "outside", w->outside_m);
    resolve_number(w->r, fact, "share-inner", inner);
    resolve_number(w->r, fact, "share-outer", outer);
    return fact;
}

/* The inner ring runs hotter than the outer one by so much; seats as they are when hot. */
static void put_running(struct work *w, double inner, double outer)
{
    struct part *part = w->values->part;
    struct fact *hotter = resolve_claim(w->r, &part->e, resolve_id(w->r, &part->e, "inner-hotter"),
                                        &part->bearing.inner_hotter);
    struct range rise = range_of_fact(hotter);

    if (!range_known(rise))
        return;
    struct fact *fact = put_fitted(w, "clearance-running", true, inner, outer);
    double per_k = calc_running_loss_m(w->bore_m, w->outside_m, w->roller, w->ring.expansion_per_k, 1);
    struct range range = range_of_fact(fact);
    fact->value = range_limits_pm(range.low.exact - llround(per_k * rise.high.si * 1e12),
                                  range.high.exact - llround(per_k * rise.low.si * 1e12),
                                  range.low.unit);
    fact->formula = "as fitted, with the seats as hot as they run, less expansion x rise x raceway";
    fact->source = "a bearing maker's general catalogue, equation 9.6";
    resolve_input_as(w->r, fact, "inner-hotter", hotter);
    resolve_number(w->r, fact, "loss-per-k", per_k);
    range = range_of_fact(fact);
    if (range.high.exact >= 0 && range.low.exact >= 0)
        return;
    struct diag *diag =
        spec_warn(w->r->context, &part->e, DIAG_BEARING_TIGHT, part->bearing.span,
                  "%s may run with %s inside: it would be nipped", part->e.member,
                  resolve_print_range(w->r, range));
    resolve_hint(w->r, diag, "a looser group of clearance, or a lighter fit of the rings");
}

static bool is_roller(const struct table_bearing *row)
{
    return strstr(row->type, "roller") != NULL;
}

static void clearances(struct resolver *r, struct bearing_values *values)
{
    struct part *part = values->part;
    const struct table_bearing *row = values->row;
    struct work w = {.r = r, .values = values, .seats = seats_of(r, part)};
    double inner, outer;

    if (row == NULL || strstr(row->type, "taper") != NULL)
        return; /* a taper's clearance is set, not bought */
    w.bought = build_fact(r->build, resolve_id(r, &part->e, "clearance-bought"));
    if (w.bought == NULL || (w.seats.shaft == NULL && w.seats.housing == NULL) ||
        !resolve_metal(r, part, &w.ring) || !table_has(w.ring.modulus_pa))
        return;
    *ARRAY_PUSH(r->arena, &values->more) = w.bought;
    w.bore_m = (double)row->bore_pm * 1e-12;
    w.outside_m = (double)row->outside_pm * 1e-12;
    w.roller = is_roller(row);
    put_seat(&w, "interference-shaft", w.seats.shaft, w.bore_m);
    put_seat(&w, "interference-housing", w.seats.housing, w.outside_m);
    if (!share_inner(&w, &inner) || !share_outer(&w, &outer))
        return; /* asked for the metal where it matters more */
    put_fitted(&w, "clearance-fitted", false, inner, outer);
    put_running(&w, inner, outer);
}

void resolve_clearances(struct resolver *r)
{
    for (size_t i = 0; i < r->build->bearings.count; i++)
        clearances(r, &r->build->bearings.items[i]);
}
