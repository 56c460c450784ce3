/* resolve_limit.c - limits: what is wanted (given, or by rule), and what was or can be found:
 * readings, a stack of sizes, the spread of a set, wear. */
#include <stdlib.h>

#include "resolve_private.h"

/* ---------- rules of thumb ---------- */

static bool place_fits(const char *mine, const char *theirs)
{
    size_t length;

    if (theirs == NULL || mine == NULL)
        return true;
    length = strlen(theirs);
    return strncmp(mine, theirs, length) == 0 && (mine[length] == '\0' || mine[length] == '-');
}

struct size *resolve_size_named(const struct part *part, const char *name, const char *place)
{
    for (size_t i = 0; i < part->sizes.count; i++)
        if (str_equal(part->sizes.items[i]->name, name) &&
            place_fits(place, part->sizes.items[i]->place))
            return part->sizes.items[i];
    return NULL;
}

/* The cylinder's own bore, measured or ordered, where one lies near the engine's nominal bore:
 * bushes have bores too. */
static struct fact *cylinder_bore(struct resolver *r, struct limit *limit, int64_t nominal_pm)
{
    for (size_t i = 0; i < r->spec->parts.count; i++) {
        struct part *part = r->spec->parts.items[i];
        struct size *size = resolve_size_named(part, "bore", limit->e.place);
        struct fact *fact = NULL;
        if (size == NULL || part->bearing.present || !place_fits(limit->e.place, part->e.place))
            continue;
        struct range range = resolve_size_range(r, size, &fact);
        if (range_known(range) && llabs(range.low.exact - nominal_pm) < nominal_pm / 20)
            return fact;
    }
    return NULL;
}

/* The size that a rule is per, as a fact; NULL when none is known. */
static struct fact *size_of_rule(struct resolver *r, struct limit *limit, const char *per)
{
    struct fact *fact = NULL;

    if (str_equal(per, "bore") && resolve_said(&r->spec->engine.bore)) {
        int64_t nominal_pm = r->spec->engine.bore.value.nominal.exact;
        fact = cylinder_bore(r, limit, nominal_pm);
        return fact != NULL ? fact : resolve_engine_fact(r, "engine.bore", &r->spec->engine.bore);
    }
    if (str_equal(per, "stroke") && resolve_said(&r->spec->engine.stroke))
        return resolve_engine_fact(r, "engine.stroke", &r->spec->engine.stroke);
    if (limit->stack.minus.count > 0 &&
        range_known(resolve_size_range(r, limit->stack.minus.items[0].size, &fact)))
        return fact; /* what sits inside: a journal, a pin */
    for (size_t i = 0; i < limit->of.to_count; i++) {
        struct part *part = spec_part(limit->of.to[i]);
        struct size *size = part != NULL ? resolve_size_named(part, per, limit->e.place) : NULL;
        if (size != NULL && range_known(resolve_size_range(r, size, &fact)))
            return fact;
    }
    return NULL;
}

/* The plain rule, else the variant that the place names (stem-guide at 1-inlet). */
static const struct table_rule *find_rule(struct resolver *r, struct limit *limit,
                                          struct table_near *near)
{
    const struct table_rule *rule = table_rule_find(r->tables, limit->rule.text, "", near);
    const char *word = limit->e.place != NULL ? strrchr(limit->e.place, '-') : NULL;

    if (rule != NULL || limit->e.place == NULL)
        return rule;
    return table_rule_find(r->tables, limit->rule.text, word != NULL ? word + 1 : limit->e.place,
                           near);
}

/* A rule is of a length; so must be the wear limit and the readings that it is held against. */
static bool is_other_kind(struct resolver *r, const struct limit *limit)
{
    const struct qty_value *value = resolve_said(&limit->worn)  ? &limit->worn.value
                                    : limit->measured.count > 0 ? &limit->measured.items[0].value
                                                                : NULL;
    struct range range = value != NULL ? range_of_value(value) : (struct range){0};
    enum qty_dim dim = range.low_set ? range.low.dim : range.high_set ? range.high.dim : QTY_LENGTH;

    if (dim == QTY_LENGTH)
        return false;
    struct diag *diag =
        diag_add(&r->context->diags, DIAG_RULE_OTHER_KIND,
                 resolve_said(&limit->worn) ? limit->worn.span : limit->measured.items[0].span,
                 "rule %s gives a length, and this is a %s", limit->rule.text, qty_dim_name(dim));
    resolve_label(r, diag, limit->rule.span, "the rule");
    resolve_hint(r, diag, "correct the unit, or give the limits as want");
    return true;
}

/* Ends that the rule states: per length of the size, and as lengths of their own. */
static void put_rule_numbers(struct resolver *r, struct fact *fact, const struct table_rule *rule)
{
    const struct {
        const char *name;
        double si;
    } numbers[] = {{"low-ratio", rule->low_ratio},
                   {"high-ratio", rule->high_ratio},
                   {"low", rule->low_pm != TABLE_NO_PM ? (double)rule->low_pm * 1e-12 : NAN},
                   {"high", rule->high_pm != TABLE_NO_PM ? (double)rule->high_pm * 1e-12 : NAN}};

    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        if (table_has(numbers[i].si))
            resolve_number(r, fact, numbers[i].name, numbers[i].si);
}

static struct fact *by_rule(struct resolver *r, struct limit *limit)
{
    struct table_near near = {0};
    const struct table_rule *rule = find_rule(r, limit, &near);
    int64_t low_pm = TABLE_NO_PM, high_pm = TABLE_NO_PM;
    struct fact *size = NULL;

    if (rule == NULL) {
        struct diag *diag = diag_add(&r->context->diags, DIAG_RULE_VARIANT, limit->rule.span,
                                     "rule %s has several forms, and the place says none of them",
                                     limit->rule.text);
        resolve_hint(r, diag, "`gudgeon table rule %s` prints them; write the limits as want",
                     limit->rule.text);
        return NULL;
    }
    if (rule->per != NULL && *rule->per != '\0') {
        size = size_of_rule(r, limit, rule->per);
        if (size == NULL) {
            struct diag *diag = diag_add(&r->context->diags, DIAG_RULE_NEEDS_SIZE, limit->rule.span,
                                         "rule %s is per %s, and no %s is known here", rule->id,
                                         rule->per, rule->per);
            resolve_hint(r, diag, "give a size named %s%s, or the limits as want", rule->per,
                         str_equal(rule->per, "bore") ? " (engine: bore)" : "");
            return NULL;
        }
    }
    if (is_other_kind(r, limit))
        return NULL;
    table_rule_limits(rule, size != NULL ? range_middle(range_of_fact(size)).exact : 0, &low_pm,
                      &high_pm);
    struct fact *fact = resolve_fact(r, &limit->e, resolve_id(r, &limit->e, "want"), FACT_COMPUTED);
    const struct qty_unit *unit =
        size != NULL ? range_of_fact(size).low.unit : qty_unit_find("mm", QTY_LENGTH);
    struct range range = {.low_set = low_pm != TABLE_NO_PM, .high_set = high_pm != TABLE_NO_PM};
    range.low = range_qty_pm(range.low_set ? low_pm : 0, unit);
    range.high = range_qty_pm(range.high_set ? high_pm : 0, unit);
    fact->value = range_value(range);
    fact->span = limit->rule.span;
    fact->level = LEVEL_PRACTICE;
    fact->source = rule->row.source;
    fact->formula = str_print(r->arena, "rule %s%s%s: %s", rule->id,
                              *rule->variant != '\0' ? " " : "", rule->variant, rule->text);
    fact->note = "rule of thumb, not a limit of this engine";
    fact->rule = "rule-of-thumb";
    put_rule_numbers(r, fact, rule);
    resolve_input_as(r, fact, "size", size);
    return fact;
}

/* ---------- what is found ---------- */

static const struct qty_unit *unit_of(const struct limit_values *values)
{
    struct range want = range_of_fact(values->want);

    return want.low_set ? want.low.unit : want.high_set ? want.high.unit : NULL;
}

/* The sum in the unit of the limit, so that both can be compared by eye. */
static void in_unit(struct fact *fact, const struct qty_unit *unit)
{
    if (unit == NULL)
        return;
    struct qty *ends[] = {&fact->value.nominal, &fact->value.low, &fact->value.high};
    for (size_t i = 0; i < 3; i++)
        if (ends[i]->dim == unit->dim)
            ends[i]->unit = unit;
}

/* Instead of the worst case: each size anywhere within its limits, none depending on another. */
static void narrow(struct resolver *r, const struct limit *limit, struct fact *fact)
{
    const struct size_refs *lists[] = {&limit->stack.plus, &limit->stack.minus};
    size_t count = 0;
    double *halves = ARENA_ARRAY(r->arena, double, limit->stack.plus.count + limit->stack.minus.count);
    struct range sum = range_of_fact(fact);

    for (size_t side = 0; side < 2; side++)
        for (size_t i = 0; i < lists[side]->count; i++) {
            struct range range = resolve_size_range(r, lists[side]->items[i].size, NULL);
            halves[count++] = (range.high.si - range.low.si) / 2;
        }
    int64_t half_pm = llround(calc_rss(halves, count) * 1e12),
            middle_pm = sum.low.exact + (sum.high.exact - sum.low.exact) / 2;
    fact->value = range_value((struct range){.low_set = true,
                                             .high_set = true,
                                             .low = range_qty_pm(middle_pm - half_pm, sum.low.unit),
                                             .high = range_qty_pm(middle_pm + half_pm, sum.low.unit)});
    fact->formula = "plus less minus; widths by root-sum-square, which assumes that each size lies "
                    "anywhere within its limits and none hangs on another";
    fact->rule = "stack-rss";
}

static struct fact *by_stack(struct resolver *r, struct limit_values *values)
{
    struct limit *limit = values->limit;
    struct fact *fact = ARENA_NEW(r->arena, struct fact);
    struct range sum = {.low_set = true, .high_set = true, .measured = true};
    const struct size_refs *lists[] = {&limit->stack.plus, &limit->stack.minus};

    sum.low = sum.high = range_qty_pm(0, NULL);
    for (size_t side = 0; side < 2; side++)
        for (size_t i = 0; i < lists[side]->count; i++) {
            struct fact *item = NULL;
            struct range range = resolve_size_range(r, lists[side]->items[i].size, &item);
            if (!range_known(range)) {
                resolve_ask(r, &limit->e, lists[side]->items[i].text, lists[side]->items[i].span,
                            "size-of-stack", "measure-or-limits");
                return NULL;
            }
            sum = range_plus(sum, range, side == 0 ? 1 : -1);
            resolve_input_as(r, fact, side == 0 ? "plus" : "minus", item);
        }
    fact->id = resolve_id(r, &limit->e, "stack");
    fact->entry = &limit->e;
    fact->origin = FACT_COMPUTED;
    fact->span = limit->stack.span;
    fact->value = range_value(sum);
    in_unit(fact, unit_of(values));
    fact->measured = sum.measured;
    fact->uncertainty = sum.uncertainty;
    fact->formula = "plus less minus, worst case at both ends; uncertainties by root-sum-square "
                    "(JCGM 100, 5.1.2)";
    fact->rule = "stack";
    if (str_equal(limit->stack.sum.text, "root-sum-square"))
        narrow(r, limit, fact);
    resolve_keep(r, fact);
    return fact;
}

/* Hours since it was new: the part's own, else the engine's. */
static struct fact *hours_of(struct resolver *r, const struct limit *limit)
{
    struct part *part = limit->wear.part;

    if (part->hours.present)
        return resolve_claim(r, &part->e, resolve_id(r, &part->e, "hours"), &part->hours);
    return resolve_engine_fact(r, "engine.hours", &r->spec->engine.hours);
}

/* At the rate so far, between the fastest wear that the size when new allows and the slowest.
 * Nothing is projected where nobody knows the hours: that is asked elsewhere. */
static void put_hours_left(struct resolver *r, struct limit_values *values, struct fact *wear)
{
    struct limit *limit = values->limit;
    struct fact *hours = hours_of(r, limit);
    struct range worn = range_of_fact(wear), most = range_of_fact(values->worn),
                 run = range_of_fact(hours);

    if (!most.high_set || most.high.si <= 0 || !range_known(run) || run.low.si <= 0 ||
        worn.high.si <= 0)
        return;
    struct fact *fact =
        resolve_fact(r, &limit->e, resolve_id(r, &limit->e, "hours-left"), FACT_COMPUTED);
    double least_h = calc_hours_left(worn.high.si, most.high.si, run.low.si / 3600),
           most_h = calc_hours_left(worn.low.si, most.high.si, run.high.si / 3600);
    struct range left = {.low_set = true, .high_set = isfinite(most_h)};
    const struct qty_unit *unit = qty_unit_find("h", QTY_TIME);
    left.low = range_qty_si(least_h * 3600, QTY_TIME, unit);
    left.high = range_qty_si(left.high_set ? most_h * 3600 : 0, QTY_TIME, unit);
    fact->value = range_value(left);
    fact->formula = "(limit - wear) / wear x hours, an even rate; from the most wear that the size when "
                    "new allows to the least (common practice, no source)";
    fact->rule = "hours-left";
    fact->measured = true;
    fact->span = limit->wear.span;
    resolve_input_as(r, fact, "wear", wear);
    resolve_input_as(r, fact, "limit", values->worn);
    resolve_input_as(r, fact, "hours", hours);
    *ARRAY_PUSH(r->arena, &values->more) = fact;
}

/* A bore wears larger, a journal smaller; which of the two this is, the reading says. The original
 * size is known within its limits only, and so is the wear. */
static struct fact *by_wear(struct resolver *r, struct limit_values *values)
{
    struct limit *limit = values->limit;
    struct fact *now_fact = NULL;
    struct fact *new_fact =
        resolve_claim(r, &limit->e, resolve_id(r, &limit->e, "from-new"), &limit->from_new);
    struct range now = resolve_size_range(r, limit->wear.size, &now_fact);

    if (new_fact == NULL && limit->wear.size != NULL) {
        const struct size_values *size = resolve_size_values(r, limit->wear.size);
        new_fact = size != NULL ? size->want : NULL;
    }
    struct range original = range_of_fact(new_fact);
    if (!range_known(now) || !now.measured || !range_known(original)) {
        resolve_ask(r, &limit->e, limit->wear.text, limit->wear.span,
                    range_known(original) ? "worn-now" : "worn-from", "measure-and-new");
        return NULL;
    }
    bool bore = qty_compare(range_middle(now), range_middle(original)) >= 0;
    struct range wear = bore ? range_plus(now, original, -1) : range_plus(original, now, -1);
    struct qty zero = range_qty_plus(wear.low, wear.low, -1);
    if (qty_compare(wear.low, zero) < 0)
        wear.low = zero;
    if (qty_compare(wear.high, zero) < 0)
        wear.high = zero;
    struct fact *fact =
        resolve_fact(r, &limit->e, resolve_id(r, &limit->e, "found"), FACT_COMPUTED);
    fact->value = range_value(wear);
    in_unit(fact, unit_of(values));
    fact->measured = true;
    fact->uncertainty = wear.uncertainty;
    fact->span = limit->wear.span;
    fact->formula = bore ? "size now less size when new" : "size when new less size now";
    fact->rule = bore ? "wear-of-hole" : "wear-of-shaft";
    resolve_input_as(r, fact, "now", now_fact);
    resolve_input_as(r, fact, "new", new_fact);
    put_hours_left(r, values, fact);
    return fact;
}

static struct fact *by_reading(struct resolver *r, struct limit *limit)
{
    struct range range = resolve_readings(r, &limit->e, &limit->measured, limit->using.text);

    if (!range_known(range))
        return NULL;
    return resolve_reading_fact(r, &limit->e, resolve_id(r, &limit->e, "found"), &limit->measured,
                                range);
}

void resolve_limits(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->limits.count; i++) {
        struct limit *limit = r->spec->limits.items[i];
        struct limit_values *values = ARRAY_PUSH(r->arena, &r->build->limits);
        *values = (struct limit_values){.limit = limit};
        resolve_place(r, limit, i);
        if (resolve_said(&limit->want))
            values->want =
                resolve_claim(r, &limit->e, resolve_id(r, &limit->e, "want"), &limit->want);
        else if (limit->rule.text != NULL)
            values->want = by_rule(r, limit);
        values->worn = resolve_claim(r, &limit->e, resolve_id(r, &limit->e, "worn"), &limit->worn);

        struct fact *worked = NULL;
        if (limit->stack.present && limit->pick.to_count == 0)
            worked = by_stack(r, values);
        else if (limit->spread.text != NULL)
            worked = resolve_by_spread(r, values);
        else if (limit->wear.text != NULL)
            worked = by_wear(r, values);
        else if (limit->formula.kind != FORMULA_NONE)
            worked = resolve_by_formula(r, limit, unit_of(values));
        values->found = by_reading(r, limit);
        if (values->found == NULL)
            values->found = worked;
        else
            resolve_input(r, values->found, worked);
    }
}
