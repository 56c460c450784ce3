/* resolve_setting.c - settings: crank angle and piston travel, each from the other; turns until
 * marks meet again. */
#include "resolve_private.h"

/* Where the rod length is not known the answer is a bound over this range of rods (times the
 * stroke); common practice, no source: rods of 1.75 to 2.25 strokes. */
static const double rod_low_strokes = 1.75, rod_high_strokes = 2.25;

static const struct qty_unit *travel_unit(const struct resolver *r)
{
    const struct qty_unit *unit = resolve_prefer(r, QTY_LENGTH);

    return unit != NULL ? unit : qty_unit_find("mm", QTY_LENGTH);
}

static struct qty travel_qty(const struct resolver *r, double metres)
{
    return range_qty_pm(qty_pm_from_mm(metres * 1000), travel_unit(r));
}

static struct qty angle_qty(double degrees)
{
    return range_qty_si(degrees, QTY_ANGLE, qty_unit_find("deg", QTY_ANGLE));
}

struct crank {
    double stroke_m, rod_low_m, rod_high_m;
    bool rod_known;
    bool bottom; /* measured from the bottom dead centre */
};

static bool know_crank(const struct resolver *r, struct crank *crank)
{
    const struct engine *engine = &r->spec->engine;

    if (!resolve_said(&engine->stroke))
        return false;
    crank->stroke_m = engine->stroke.value.nominal.si;
    crank->rod_known = resolve_said(&engine->rod_length);
    if (crank->rod_known) {
        struct qty_value rod = engine->rod_length.value;
        crank->rod_low_m = rod.low.si;
        crank->rod_high_m = rod.high.si;
    } else {
        crank->rod_low_m = rod_low_strokes * crank->stroke_m;
        crank->rod_high_m = rod_high_strokes * crank->stroke_m;
    }
    return crank->stroke_m > 0;
}

static bool rod_is_short(struct resolver *r, const struct crank *crank)
{
    const struct engine *engine = &r->spec->engine;

    if (crank->rod_low_m > crank->stroke_m / 2 * (1 + 1e-9))
        return false;
    struct diag *diag = diag_add(&r->context->diags, DIAG_CRANK_ROD_SHORT, engine->rod_length.span,
                                 "a rod of %s on a stroke of %s", engine->rod_length.value.text,
                                 engine->stroke.value.text);
    resolve_label(r, diag, engine->stroke.span, "the stroke");
    resolve_hint(r, diag, "measure the rod between the centres of its eyes");
    return true;
}

/* Away from bottom dead centre the travel is what is left of the stroke. */
static struct calc_bound travel(const struct crank *crank, double degrees)
{
    if (!crank->bottom)
        return calc_piston_travel_bound_m(crank->stroke_m, crank->rod_low_m, crank->rod_high_m,
                                          degrees);

    struct calc_bound bound = calc_piston_travel_bound_m(crank->stroke_m, crank->rod_low_m,
                                                         crank->rod_high_m, 180 - degrees);
    return (struct calc_bound){crank->stroke_m - bound.high, crank->stroke_m - bound.low};
}

static struct calc_bound angle(const struct crank *crank, double metres)
{
    if (!crank->bottom)
        return calc_crank_angle_bound_deg(crank->stroke_m, crank->rod_low_m, crank->rod_high_m,
                                          metres);

    struct calc_bound bound = calc_crank_angle_bound_deg(
        crank->stroke_m, crank->rod_low_m, crank->rod_high_m, crank->stroke_m - metres);
    return (struct calc_bound){180 - bound.high, 180 - bound.low};
}

/* Turns a bound and the tolerance round it into the other measure. */
static struct qty_value other_measure(const struct resolver *r, const struct crank *crank,
                                      struct qty offset, const struct qty *tolerance)
{
    bool from_angle = offset.dim == QTY_ANGLE;
    bool spread = tolerance != NULL && tolerance->dim == offset.dim;
    double low = offset.si - (spread ? tolerance->si : 0),
           high = offset.si + (spread ? tolerance->si : 0);
    double top = from_angle ? 180 : crank->stroke_m;

    low = low < 0 ? 0 : low;
    high = high > top ? top : high;
    struct calc_bound at_low = from_angle ? travel(crank, low) : angle(crank, low);
    struct calc_bound at_high = from_angle ? travel(crank, high) : angle(crank, high);
    if (from_angle)
        return range_limits(travel_qty(r, at_low.low), travel_qty(r, at_high.high));
    return range_limits(angle_qty(at_low.low), angle_qty(at_high.high));
}

/* False after an error: nothing can be turned into the other measure. */
static bool is_crank(struct resolver *r, struct setting *setting, struct qty offset, struct crank *crank)
{
    if (!know_crank(r, crank)) {
        struct diag *diag =
            spec_warn(r->context, &setting->e, DIAG_CRANK_NO_STROKE, setting->at_span,
                      "%s cannot be turned into %s: the stroke is not known", setting->at_text.text,
                      offset.dim == QTY_ANGLE ? "piston travel" : "a crank angle");
        resolve_hint(r, diag, "say engine: stroke");
        return false;
    }
    if (rod_is_short(r, crank))
        return false;
    double top = offset.dim == QTY_ANGLE ? 180 : crank->stroke_m;
    if (offset.si >= 0 && offset.si <= top * (1 + 1e-9))
        return true;
    struct diag *diag = diag_add(&r->context->diags, DIAG_CRANK_BEYOND_STROKE, setting->at_span,
                                 "%s is beyond %s", setting->at_text.text,
                                 offset.dim == QTY_ANGLE ? "half a turn" : "the stroke");
    resolve_hint(r, diag, "count from the nearer dead centre");
    return false;
}

/* The position, the other way: "at-other"; with the tolerance about it, "at-other-limits". */
static struct fact *other(struct resolver *r, struct setting *setting, const struct crank *crank,
                          struct fact *at, struct fact *tolerance)
{
    struct qty offset = at->value.nominal;
    struct fact *fact = resolve_fact(
        r, &setting->e, resolve_id(r, &setting->e, tolerance != NULL ? "at-other-limits" : "at-other"),
        FACT_COMPUTED);

    fact->value = other_measure(r, crank, offset, tolerance != NULL ? &tolerance->value.high : NULL);
    if (tolerance == NULL && crank->rod_known && r->spec->engine.rod_length.value.kind == QTY_ONE)
        fact->value = range_one(fact->value.high); /* both ends are the same */
    fact->span = setting->at_span;
    fact->formula = offset.dim == QTY_ANGLE
                        ? "x = r(1 - cos t) + L - sqrt(L^2 - r^2 sin^2 t), r = stroke/2, exact"
                        : "cos t = ((r + L - x)^2 + r^2 - L^2) / (2 r (r + L - x)), exact";
    fact->rule = offset.dim == QTY_ANGLE ? "travel-of-angle" : "angle-of-travel";
    resolve_number(r, fact, "from-bottom", crank->bottom);
    resolve_input_as(r, fact, "at", at);
    resolve_input_as(r, fact, "tolerance", tolerance);
    resolve_input_as(r, fact, "stroke", resolve_engine_fact(r, "engine.stroke", &r->spec->engine.stroke));
    if (crank->rod_known)
        resolve_input_as(r, fact, "rod",
                         resolve_engine_fact(r, "engine.rod-length", &r->spec->engine.rod_length));
    else
        fact->note = "the rod length is not known: a bound over rods of 1.75 to 2.25 strokes "
                     "(common practice, no source)";
    return fact;
}

static void resolve_at(struct resolver *r, struct setting_values *values)
{
    struct setting *setting = values->setting;
    struct qty offset = setting->at.offset;

    if (!setting->at.present)
        return;
    struct fact *fact = resolve_fact(r, &setting->e, resolve_id(r, &setting->e, "at"), FACT_GIVEN);
    fact->span = setting->at_span;
    fact->words = setting->at_text.text;
    fact->source = resolve_source(r, setting->at_text.from, setting->at_text.page);
    fact->level = setting->at_text.from != NULL ? (int)setting->at_text.from->level : LEVEL_UNSAID;
    values->at = fact;
    if (offset.dim != QTY_ANGLE && offset.dim != QTY_LENGTH)
        return; /* at the dead centre itself */
    fact->value = range_one(offset);
    struct crank crank = {.bottom = setting->at.bottom};
    if (!is_crank(r, setting, offset, &crank))
        return;
    values->at_other = other(r, setting, &crank, fact, NULL);
    struct fact *tolerance =
        resolve_claim_once(r, &setting->e, resolve_id(r, &setting->e, "tolerance"), &setting->tolerance);
    if (tolerance != NULL && tolerance->value.high.dim == offset.dim)
        *ARRAY_PUSH(r->arena, &values->more) = other(r, setting, &crank, fact, tolerance);
}

static void resolve_turns(struct resolver *r, struct setting_values *values)
{
    const struct setting *setting = values->setting;

    if (setting->teeth.count < 2)
        return;
    for (size_t i = 0; i < setting->teeth.count; i++)
        if (setting->teeth.items[i] <= 0)
            return;
    values->turns = calc_turns_until_marks(setting->teeth.items, setting->teeth.count);
    struct fact *fact =
        resolve_fact(r, &values->setting->e, resolve_id(r, &setting->e, "turns"), FACT_COMPUTED);
    fact->value = range_one(qty_from_si((double)values->turns, QTY_COUNT));
    fact->value.nominal.exact = fact->value.low.exact = fact->value.high.exact = values->turns;
    fact->span = setting->teeth.span;
    fact->formula = "turns of the first gear until the same teeth of all meet again: least common "
                    "multiple of the teeth / teeth of the first";
    fact->rule = "marks-return";
    for (size_t i = 0; i < setting->teeth.count; i++)
        resolve_number(r, fact, str_print(r->arena, "teeth-%zu", i + 1),
                       (double)setting->teeth.items[i]);
}

/* The limits of a setting: what is wanted, else the position with its tolerance either way. */
static struct fact *limits_of(struct resolver *r, const struct setting_values *values)
{
    struct setting *setting = values->setting;
    struct fact *tolerance =
        resolve_claim_once(r, &setting->e, resolve_id(r, &setting->e, "tolerance"), &setting->tolerance);

    if (values->want != NULL)
        return values->want;
    if (tolerance == NULL || values->at == NULL ||
        values->at->value.nominal.dim != tolerance->value.high.dim)
        return NULL;
    struct fact *fact =
        resolve_fact(r, &setting->e, resolve_id(r, &setting->e, "limits"), FACT_COMPUTED);
    struct qty at = values->at->value.nominal, slack = tolerance->value.high;
    fact->value = range_limits(range_qty_plus(at, slack, -1), range_qty_plus(at, slack, 1));
    fact->span = setting->at_span;
    fact->formula = "the position and its tolerance either way";
    fact->rule = "position-limits";
    resolve_input_as(r, fact, "at", values->at);
    resolve_input_as(r, fact, "tolerance", tolerance);
    return fact;
}

static void judge(struct resolver *r, struct setting_values *values)
{
    struct setting *setting = values->setting;
    struct fact *limits = limits_of(r, values);
    struct range found = resolve_readings(r, &setting->e, &setting->measured, setting->using.text);

    if (!range_known(found))
        return;
    values->found = resolve_reading_fact(r, &setting->e, resolve_id(r, &setting->e, "found"),
                                         &setting->measured, found);
    struct range wanted = range_of_fact(limits);
    if (limits == NULL || (wanted.low_set ? wanted.low.dim : wanted.high.dim) != found.low.dim)
        return;
    values->verdict = resolve_verdict(r, found, limits, NULL, &values->judged);
    if (values->verdict != VERDICT_OUTSIDE || resolve_as_found(&setting->measured))
        return;
    struct diag *diag =
        resolve_fault(r, &setting->e, DIAG_LIMIT_OUTSIDE_CRITICAL, DIAG_LIMIT_OUTSIDE,
                      values->found->span, "%s is %s", setting->e.member,
                      resolve_words(r, values->judged));
    resolve_label(r, diag, limits->span, "the limit");
    resolve_hint(r, diag, "set it again, and read it again");
}

void resolve_settings(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->settings.count; i++) {
        struct setting_values *values = ARRAY_PUSH(r->arena, &r->build->settings);
        struct setting *setting = r->spec->settings.items[i];
        *values = (struct setting_values){.setting = setting};
        resolve_place(r, setting, i);
        values->want =
            resolve_claim(r, &setting->e, resolve_id(r, &setting->e, "want"), &setting->want);
        resolve_at(r, values);
        resolve_turns(r, values);
        judge(r, values);
    }
}
