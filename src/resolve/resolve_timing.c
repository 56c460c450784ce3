/* resolve_timing.c - what follows from where settings are made: the distance on a rim, what one tooth
 * is worth, and the timing of the valves as a whole. */
#include "resolve_private.h"

static struct fact *put(struct resolver *r, struct setting_values *values, const char *what,
                        const char *formula, struct fact *from)
{
    struct entry *entry = &values->setting->e;
    struct fact *fact = resolve_fact(r, entry, resolve_id(r, entry, what), FACT_COMPUTED);

    fact->span = entry->span;
    fact->formula = formula;
    fact->rule = what;
    resolve_input_as(r, fact, "at", from);
    *ARRAY_PUSH(r->arena, &values->more) = fact;
    return fact;
}

/* ---------- on a rim ---------- */

/* The angle of the setting, given or worked out from the piston's travel. */
static struct fact *angle_of(const struct setting_values *values)
{
    struct fact *facts[] = {values->at, values->at_other};

    for (size_t i = 0; i < 2; i++)
        if (facts[i] != NULL && range_known(range_of_fact(facts[i])) &&
            range_of_fact(facts[i]).low.dim == QTY_ANGLE)
            return facts[i];
    return NULL;
}

static void put_rim(struct resolver *r, struct setting_values *values, const char *what,
                    const char *formula, struct fact *angle, struct fact *rim,
                    double (*distance)(double, double))
{
    struct range at = range_of_fact(angle), wide = range_of_fact(rim);
    struct fact *fact = put(r, values, what, formula, angle);

    fact->value = range_value((struct range){
        .low_set = true,
        .high_set = true,
        .low = range_qty_pm(llround(distance(wide.low.si, at.low.si) * 1e12), wide.low.unit),
        .high = range_qty_pm(llround(distance(wide.high.si, at.high.si) * 1e12), wide.low.unit),
    });
    resolve_input_as(r, fact, "rim", rim);
}

static void on_rim(struct resolver *r, struct setting_values *values)
{
    struct setting *setting = values->setting;
    struct fact *angle = angle_of(values);
    struct fact *rim = resolve_formula_input(r, &setting->e, resolve_id(r, &setting->e, "rim"),
                                             &setting->rim);
    struct range at = range_of_fact(angle);

    if (!range_known(range_of_fact(rim)) || angle == NULL || at.low.si < 0)
        return;
    put_rim(r, values, "rim-tape", "pi D angle / 360, along the rim", angle, rim, calc_rim_arc_m);
    if (at.high.si <= 180)
        put_rim(r, values, "rim-dividers", "D sin(angle / 2), straight across", angle, rim,
                calc_rim_chord_m);
}

/* ---------- teeth ---------- */

/* One tooth out where the first two wheels meet shifts the crank by a tooth of the first. */
static void one_tooth(struct resolver *r, struct setting_values *values)
{
    const struct setting *setting = values->setting;

    if (setting->teeth.count < 2 || setting->teeth.items[0] <= 0)
        return;
    struct fact *fact = put(r, values, "tooth-step",
                            "360 / teeth of the wheel on the crank, in degrees of the crank", NULL);
    fact->value = range_one(range_qty_si(calc_tooth_step_deg(setting->teeth.items[0], 1), QTY_ANGLE,
                                         qty_unit_find("deg", QTY_ANGLE)));
    fact->span = setting->teeth.span;
    resolve_number(r, fact, "teeth", (double)setting->teeth.items[0]);
}

/* ---------- valve timing ---------- */

enum event { INLET_OPENS, INLET_CLOSES, EXHAUST_OPENS, EXHAUST_CLOSES, EVENTS };
static const char *const event_words[EVENTS] = {"inlet opens", "inlet closes", "exhaust opens",
                                                "exhaust closes"};
/* Of each, on which side of which dead centre it counts as positive: opening before, closing after. */
static const struct {
    bool bottom, after;
} event_sides[EVENTS] = {{false, false}, {true, true}, {true, false}, {false, true}};

struct camshaft {
    const char *place;
    struct setting_values *values[EVENTS];
};

static enum event event_of(const struct setting *setting)
{
    for (size_t i = 0; i < EVENTS; i++)
        if (str_equal(setting->event.text, event_words[i]))
            return (enum event)i;
    return EVENTS;
}

/* The cylinder that a position counts for; what stands before the hyphen of a place else. */
static const char *cylinder_of(struct resolver *r, const struct setting *setting)
{
    const char *place = setting->at.cylinder != NULL ? setting->at.cylinder : setting->e.place;
    const char *hyphen = place != NULL ? strchr(place, '-') : NULL;

    return place == NULL   ? ""
           : hyphen == NULL ? place
                            : str_slice(r->arena, place, (size_t)(hyphen - place));
}

/* Degrees from the dead centre of the event, positive on its usual side; false where the angle is not
 * known exactly. */
static bool degrees(const struct setting_values *values, enum event event, double *found)
{
    const struct setting *setting = values->setting;
    struct fact *angle = angle_of(values);
    double deg = 0;

    if (setting->at.bottom != event_sides[event].bottom)
        return false;
    if (angle != NULL) {
        if (angle->value.kind != QTY_ONE)
            return false;
        deg = angle->value.nominal.si;
    }
    *found = !setting->at.before == event_sides[event].after ? deg : -deg;
    return true;
}

static void put_degrees(struct resolver *r, const struct camshaft *cam, const char *what,
                        const char *formula, double deg)
{
    struct fact *fact = put(r, cam->values[EXHAUST_CLOSES], what, formula, NULL);

    fact->value = range_one(range_qty_si(deg, QTY_ANGLE, qty_unit_find("deg", QTY_ANGLE)));
    for (size_t i = 0; i < EVENTS; i++)
        resolve_input_as(r, fact, event_words[i], angle_of(cam->values[i]));
}

static void ask_lift(struct resolver *r, const struct camshaft *cam)
{
    for (size_t i = 0; i < EVENTS; i++) {
        struct setting *setting = cam->values[i]->setting;
        if (!resolve_said(&setting->lift))
            resolve_ask(r, &setting->e, NULL, setting->at_span, "lift", "timing-lift");
    }
}

static void whole_timing(struct resolver *r, const struct camshaft *cam)
{
    double deg[EVENTS];

    for (size_t i = 0; i < EVENTS; i++)
        if (cam->values[i] == NULL || !degrees(cam->values[i], (enum event)i, &deg[i]))
            return;
    struct calc_timing timing = calc_timing((struct calc_events){
        deg[INLET_OPENS], deg[INLET_CLOSES], deg[EXHAUST_OPENS], deg[EXHAUST_CLOSES]});
    put_degrees(r, cam, "inlet-duration", "opens before top + 180 + closes after bottom",
                timing.inlet_deg);
    put_degrees(r, cam, "exhaust-duration", "opens before bottom + 180 + closes after top",
                timing.exhaust_deg);
    put_degrees(r, cam, "overlap", "inlet opens before top + exhaust closes after it",
                timing.overlap_deg);
    put_degrees(r, cam, "inlet-centre", "(180 + closes - opens) / 2, after top", timing.inlet_centre_deg);
    put_degrees(r, cam, "exhaust-centre", "(180 + opens - closes) / 2, before top",
                timing.exhaust_centre_deg);
    ask_lift(r, cam);
}

static void valve_timing(struct resolver *r)
{
    struct {
        struct camshaft *items;
        size_t count, room;
    } cams = {0};

    for (size_t i = 0; i < r->build->settings.count; i++) {
        struct setting_values *values = &r->build->settings.items[i];
        enum event event = event_of(values->setting);
        const char *place = cylinder_of(r, values->setting);
        size_t at = 0;
        if (event == EVENTS)
            continue;
        while (at < cams.count && !str_equal(cams.items[at].place, place))
            at++;
        if (at == cams.count)
            *ARRAY_PUSH(r->arena, &cams) = (struct camshaft){.place = place};
        cams.items[at].values[event] = values;
    }
    for (size_t i = 0; i < cams.count; i++)
        whole_timing(r, &cams.items[i]);
}

void resolve_timing(struct resolver *r)
{
    for (size_t i = 0; i < r->build->settings.count; i++) {
        struct setting_values *values = &r->build->settings.items[i];
        if (values->setting->lift.present)
            resolve_claim(r, &values->setting->e, resolve_id(r, &values->setting->e, "lift"),
                          &values->setting->lift);
        on_rim(r, values);
        one_tooth(r, values);
    }
    valve_timing(r);
}
