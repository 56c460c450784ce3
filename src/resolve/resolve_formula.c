/* resolve_formula.c - limits that are worked out by a formula: its inputs collected, its domain
 * checked, its result with the ends that the ends of the inputs allow.
 *
 * Each formula rises or falls with each of its inputs all the way, so its extremes lie where every
 * input is at one of its ends: all corners are tried. */
#include "resolve_private.h"

/* `in` holds the inputs in the order of src/spec/fields_formula.c, in SI; NAN is left out. */
struct formula_row {
    double (*work)(const double *in);
    const char *(*wrong)(const double *in); /* why it cannot be worked out, or NULL */
    const char *unit;                       /* where neither limit nor shop says one */
    const char *words;
};

static double or_zero(double value)
{
    return isnan(value) ? 0 : value;
}

static double space_at_top_m3(const double *in)
{
    double gasket_bore_m = isnan(in[4]) ? in[0] : in[4];

    return in[2] + calc_disc_m3(gasket_bore_m, or_zero(in[3])) +
           calc_disc_m3(in[0], or_zero(in[5])) + or_zero(in[6]);
}

static const char *no_space(const double *in)
{
    return in[0] <= 0 || in[1] <= 0       ? "bore and stroke are more than nothing"
           : space_at_top_m3(in) <= 0 ? "no space is left above the piston"
                                      : NULL;
}

static double compression_ratio(const double *in)
{
    return calc_compression_ratio(calc_swept_m3(in[0], in[1]), space_at_top_m3(in));
}

static double swept_volume(const double *in)
{
    return calc_swept_m3(in[0], in[1]);
}

static double bob_weight(const double *in)
{
    return calc_bobweight_kg(in[0], in[1], in[2]);
}

static const char *no_share(const double *in)
{
    return in[2] < 0 || in[2] > 1 ? "the balance factor is a share, from 0 to 1" : NULL;
}

static double drill_depth(const double *in)
{
    return calc_drill_depth_m(in[0], in[1], in[2], in[3]);
}

static const char *no_hole(const double *in)
{
    return in[1] <= 0 || in[2] <= 0 || in[3] <= 0 ? "radius, drill and density are more than nothing"
                                                  : NULL;
}

static double roller_room(const double *in)
{
    return calc_roller_room_m(in[0], in[1], in[2]);
}

static const char *no_rollers(const double *in)
{
    return in[0] <= 0 || in[1] <= 0 ? "pin and roller are more than nothing"
           : in[2] < 1              ? "a row has at least one roller"
                                    : NULL;
}

static double shell_grip(const double *in)
{
    return calc_shell_grip_m(in[0]);
}

static double ring_gap_worn(const double *in)
{
    return in[0] + (double)calc_ring_gap_change_pm(llround((in[2] - in[1]) * 1e12)) * 1e-12;
}

static const char *no_bore(const double *in)
{
    return in[1] <= 0 || in[2] <= 0 ? "a bore is more than nothing"
           : in[0] < 0              ? "a gap is not less than nothing"
                                    : NULL;
}

static double life_s(const double *in, bool roller)
{
    return calc_life_h(calc_life_million(in[0], in[1], roller), in[2]) * 3600;
}

static double ball_life(const double *in)
{
    return life_s(in, false);
}

static double roller_life(const double *in)
{
    return life_s(in, true);
}

static const char *no_load(const double *in)
{
    return in[0] <= 0 || in[1] <= 0 || in[2] <= 0 ? "capacity, load and speed are more than nothing"
                                                  : NULL;
}

static double spring_rate(const double *in)
{
    return calc_spring_rate_n_m(in[0], in[1], in[2], in[3]);
}

static const char *no_give(const double *in)
{
    return in[1] <= in[3] ? "a spring is shorter when the valve is open" : NULL;
}

static double bolt_stretch(const double *in)
{
    return in[1] - in[0];
}

static const char *no_stretch(const double *in)
{
    return in[0] <= 0           ? "a bolt has a length"
           : in[1] < in[0]      ? "a tight bolt is longer than it was, not shorter"
           : in[1] > in[0] * 2  ? "no bolt stretches to twice its length"
                                : NULL;
}

static const struct formula_row rows[FORMULA_KIND_COUNT] = {
    [FORMULA_COMPRESSION_RATIO] = {compression_ratio, no_space, NULL,
                                   "(swept + space at the top) / space at the top; the latter is "
                                   "chamber, gasket, deck and land"},
    [FORMULA_SWEPT_VOLUME] = {swept_volume, NULL, "cm3", "pi/4 bore^2 stroke"},
    [FORMULA_BOB_WEIGHT] = {bob_weight, no_share, "g", "rotating + factor x reciprocating"},
    [FORMULA_DRILL_DEPTH] = {drill_depth, no_hole, "mm",
                             "unbalance / radius / (density pi/4 drill^2)"},
    [FORMULA_ROLLER_ROOM] = {roller_room, no_rollers, "mm",
                             "(pin + roller) (pi - count asin(roller / (pin + roller)))"},
    [FORMULA_SHELL_GRIP] = {shell_grip, NULL, "mm", "2 proud / pi, of the diameter"},
    [FORMULA_RING_GAP_WORN] = {ring_gap_worn, no_bore, "mm", "gap + pi (worn - unworn)"},
    [FORMULA_BALL_LIFE] = {ball_life, no_load, "h", "(capacity / load)^3 million turns, ISO 281"},
    [FORMULA_ROLLER_LIFE] = {roller_life, no_load, "h",
                             "(capacity / load)^(10/3) million turns, ISO 281"},
    [FORMULA_SPRING_RATE] = {spring_rate, no_give, "N/mm",
                             "(load open - load closed) / (length closed - length open)"},
    [FORMULA_BOLT_STRETCH] = {bolt_stretch, no_stretch, "mm", "length after - length before"},
};

/* ---------- inputs ---------- */

struct inputs {
    size_t count;
    struct range ranges[FORMULA_INPUTS];
    struct fact *facts[FORMULA_INPUTS]; /* NULL: left out */
    bool measured;                      /* nothing of it is only toleranced */
};

/* Left out, it is the engine's. */
static bool is_of_engine(const char *key)
{
    return str_equal(key, "bore") || str_equal(key, "stroke");
}

static struct fact *of_engine(struct resolver *r, const char *key)
{
    const struct engine *engine = &r->spec->engine;

    if (!is_of_engine(key))
        return NULL;
    return resolve_engine_fact(r, str_print(r->arena, "engine.%s", key),
                               str_equal(key, "bore") ? &engine->bore : &engine->stroke);
}

static struct fact *weight_of(struct resolver *r, struct part *part)
{
    return resolve_claim_once(r, &part->e, resolve_id(r, &part->e, "weight"), &part->weight);
}

struct fact *resolve_formula_input(struct resolver *r, struct entry *entry, const char *id,
                                   const struct formula_input *input)
{
    struct fact *fact = NULL;

    if (input->size.size != NULL)
        resolve_size_range(r, input->size.size, &fact);
    else if (input->size.part != NULL)
        fact = weight_of(r, input->size.part);
    else if ((fact = build_fact(r->build, id)) == NULL) /* another reader of it may have been first */
        fact = resolve_claim(r, entry, id, &input->claim);
    return fact;
}

static bool is_said(const struct formula_input *input)
{
    return input->size.text != NULL || input->claim.present;
}

/* False where one is said to be unknown, or is a size that nobody has measured: then it is asked. */
static bool collect(struct resolver *r, struct limit *limit, struct inputs *inputs)
{
    const struct formula *formula = &limit->formula;

    inputs->measured = true;
    for (size_t i = 0; spec_formula_input(formula->kind, i) != NULL; i++) {
        const struct formula_input *input = &formula->inputs[i];
        const char *key = spec_formula_input(formula->kind, i);
        const char *id = str_print(r->arena, "%s.%s", limit->e.member, key);
        struct fact *fact = is_said(input) ? resolve_formula_input(r, &limit->e, id, input)
                                           : of_engine(r, key);
        inputs->count = i + 1;
        inputs->facts[i] = fact;
        inputs->ranges[i] = range_of_fact(fact);
        if (fact == NULL && (is_said(input) || is_of_engine(key))) {
            resolve_ask(r, &limit->e, key,
                        input->size.text != NULL ? input->size.span
                        : input->claim.present   ? input->claim.span
                                                 : formula->span,
                        "input-of-formula", "measure-or-limits");
            return false;
        }
        if (fact != NULL && input->size.size != NULL && !fact->measured)
            inputs->measured = false;
    }
    return true;
}

/* ---------- the result ---------- */

static double end_of(const struct inputs *inputs, size_t i, bool high)
{
    return inputs->facts[i] == NULL ? NAN
           : high                   ? inputs->ranges[i].high.si
                                    : inputs->ranges[i].low.si;
}

/* A corner of the ranges: bit i of `corner` takes input i at its high end. */
static void corner_of(const struct inputs *inputs, unsigned corner, double *in)
{
    for (size_t i = 0; i < inputs->count; i++)
        in[i] = end_of(inputs, i, corner & 1u << i);
}

static bool is_within(struct resolver *r, const struct limit *limit, const struct inputs *inputs)
{
    const struct formula_row *row = &rows[limit->formula.kind];
    double in[FORMULA_INPUTS];

    for (unsigned corner = 0; row->wrong != NULL && corner < 1u << inputs->count; corner++) {
        corner_of(inputs, corner, in);
        const char *why = row->wrong(in);
        if (why == NULL)
            continue;
        struct diag *diag =
            diag_add(&r->context->diags, DIAG_FORMULA_DOMAIN, limit->formula.span,
                     "%s of %s cannot be worked out: %s", spec_formula_word(limit->formula.kind),
                     limit->e.member, why);
        resolve_hint(r, diag, "look at the figures and their units");
        return false;
    }
    return true;
}

/* To first order: half of what the result moves by when an input does by its uncertainty, either
 * way; combined by root-sum-square (GUM, JCGM 100, 5.1.2). */
static double uncertainty_of(const struct formula_row *row, const struct inputs *inputs)
{
    double moves[FORMULA_INPUTS], in[FORMULA_INPUTS];

    for (size_t i = 0; i < inputs->count; i++)
        in[i] = (end_of(inputs, i, false) + end_of(inputs, i, true)) / 2;
    for (size_t i = 0; i < inputs->count; i++) {
        double middle = in[i], by = inputs->ranges[i].uncertainty, high, low;
        moves[i] = 0;
        if (!(by > 0) || by >= fabs(middle))
            continue;
        in[i] = middle + by;
        high = row->work(in);
        in[i] = middle - by;
        low = row->work(in);
        in[i] = middle;
        moves[i] = (high - low) / 2;
    }
    return calc_rss(moves, inputs->count);
}

static struct qty result_qty(const struct resolver *r, const struct formula_row *row,
                             enum qty_dim dim, const struct qty_unit *unit, double si)
{
    if (unit == NULL)
        unit = resolve_prefer(r, dim);
    if (unit == NULL && row->unit != NULL)
        unit = qty_unit_find(row->unit, dim);
    return dim == QTY_LENGTH ? range_qty_pm(llround(si * 1e12), unit) : range_qty_si(si, dim, unit);
}

struct fact *resolve_by_formula(struct resolver *r, struct limit *limit, const struct qty_unit *unit)
{
    const struct formula_row *row = &rows[limit->formula.kind];
    enum qty_dim dim = spec_formula_dim(limit->formula.kind);
    struct inputs inputs = {0};
    double in[FORMULA_INPUTS], low = INFINITY, high = -INFINITY;

    if (!collect(r, limit, &inputs) || !is_within(r, limit, &inputs))
        return NULL;
    for (unsigned corner = 0; corner < 1u << inputs.count; corner++) {
        corner_of(&inputs, corner, in);
        double value = row->work(in);
        low = fmin(low, value);
        high = fmax(high, value);
    }
    struct fact *fact =
        resolve_fact(r, &limit->e, resolve_id(r, &limit->e, spec_formula_word(limit->formula.kind)),
                     FACT_COMPUTED);
    struct range range = {.low_set = true, .high_set = true};
    range.low = result_qty(r, row, dim, unit, low);
    range.high = result_qty(r, row, dim, unit, high);
    fact->value = range_value(range);
    fact->measured = inputs.measured;
    fact->uncertainty = uncertainty_of(row, &inputs);
    fact->span = limit->formula.span;
    fact->formula = row->words;
    fact->rule = spec_formula_word(limit->formula.kind);
    for (size_t i = 0; i < inputs.count; i++)
        resolve_input_as(r, fact, spec_formula_input(limit->formula.kind, i), inputs.facts[i]);
    return fact;
}
