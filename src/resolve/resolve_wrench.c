/* resolve_wrench.c - the wrench that fits a torque, its setting in its own unit and division, and
 * the pulls on the way to it. */
#include "resolve_private.h"

/* A wrench is not trusted under a fifth of its top (specs/OUTPUTS: tools and settings). */
static const double least_share = 0.2;

static const struct adapter *find_adapter(const struct resolver *r, const struct joint *joint)
{
    const struct text *name = &joint->adapter;

    if (name->text == NULL)
        return NULL;
    for (size_t i = 0; i < r->spec->shop.adapters.count; i++)
        if (str_equal(r->spec->shop.adapters.items[i].id, name->text))
            return &r->spec->shop.adapters.items[i];

    return NULL;
}

/* What the wrench must show, SI; NAN when its length is needed and not known. */
static double shown(const struct wrench *wrench, const struct adapter *adapter, double torque_n_m)
{
    if (adapter == NULL)
        return torque_n_m;
    if (!resolve_said(&wrench->length) || !resolve_said(&adapter->offset))
        return NAN;

    double angle = resolve_said(&adapter->angle) ? adapter->angle.value.nominal.si : 0;
    double length_m = wrench->length.value.nominal.si;
    double offset_m = adapter->offset.value.nominal.si;
    double reach_m = length_m + offset_m * cos(angle * acos(-1.0) / 180);
    return length_m > 0 && reach_m > 0
               ? calc_wrench_setting_n_m(torque_n_m, length_m, offset_m, angle)
               : NAN;
}

static bool fits(const struct wrench *wrench, double setting_n_m)
{
    struct qty_value range = wrench->range.value;

    return setting_n_m >= range.low.si * (1 - 1e-9) && setting_n_m <= range.high.si * (1 + 1e-9) &&
           setting_n_m >= least_share * range.high.si * (1 - 1e-9);
}

/* The finest that fits: the one with the lowest top. */
static const struct wrench *choose(const struct resolver *r, const struct adapter *adapter,
                                   double torque_n_m, bool *needs_length)
{
    const struct wrench *best = NULL;

    for (size_t i = 0; i < r->spec->shop.wrenches.count; i++) {
        const struct wrench *wrench = &r->spec->shop.wrenches.items[i];
        if (!resolve_said(&wrench->range))
            continue;
        double setting = shown(wrench, adapter, torque_n_m);
        if (isnan(setting)) {
            *needs_length |= fits(wrench, torque_n_m);
            continue;
        }
        if (fits(wrench, setting) &&
            (best == NULL || wrench->range.value.high.si < best->range.value.high.si))
            best = wrench;
    }
    return best;
}

static bool has_division(const struct wrench *wrench)
{
    return resolve_said(&wrench->division) && wrench->division.value.nominal.si > 0;
}

static const struct qty_unit *unit_of(const struct wrench *wrench)
{
    const struct claim *claim = has_division(wrench) ? &wrench->division : &wrench->range;

    return claim->value.high.unit;
}

/* To the wrench's division, in its own unit, and `more` divisions on. */
static struct qty to_division(const struct wrench *wrench, double setting_n_m, int more)
{
    struct qty qty = range_qty_si(setting_n_m, QTY_TORQUE, unit_of(wrench));

    if (!has_division(wrench))
        return qty;
    double division = wrench->division.value.nominal.si;
    return range_qty_si((floor(setting_n_m / division + 0.5) + more) * division, QTY_TORQUE,
                        qty.unit);
}

static int division_places(const struct wrench *wrench)
{
    return has_division(wrench) ? wrench->division.value.nominal.places
                                : qty_places(unit_of(wrench));
}

static char *print_setting(struct resolver *r, const struct wrench *wrench, struct qty qty)
{
    return qty_print(r->arena, qty, unit_of(wrench), division_places(wrench), QTY_NEAREST);
}

/* What goes on the fastener: a castellated nut starts from the low end, all else from the
 * middle. */
static struct qty aim(const struct joint_values *values, struct range target)
{
    if (!target.low_set)
        return target.high;
    if (!target.high_set || values->joint->lock.kind == LOCK_SPLIT_PIN)
        return target.low;
    return range_middle(target);
}

/* The division nearest the aim that lies inside the limits, where one does. */
static struct qty settle(struct resolver *r, struct joint_values *values,
                         const struct wrench *wrench, const struct adapter *adapter,
                         struct range target)
{
    double aimed = shown(wrench, adapter, aim(values, target).si);
    double low = target.low_set ? shown(wrench, adapter, target.low.si) : 0;
    double high = target.high_set ? shown(wrench, adapter, target.high.si) : INFINITY;
    struct qty setting = to_division(wrench, aimed, 0);

    if (high - low < 1e-9 * high)
        return setting; /* one figure: the nearest division is all that can be done */
    static const int steps[] = {0, -1, 1};
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++) {
        struct qty try = to_division(wrench, aimed, steps[i]);
        if (try.si >= low * (1 - 1e-9) && try.si <= high * (1 + 1e-9))
            return try;
    }
    struct diag *diag =
        spec_warn(r->context, &values->joint->e, DIAG_WRENCH_ROUNDS_OUT, values->torque->span,
                  "no division of %s lies inside %s: the nearest is %s", wrench->id,
                  resolve_print_range(r, target), print_setting(r, wrench, setting));
    resolve_hint(r, diag, "name a wrench with a finer division");
    resolve_label(r, diag, wrench->division.present ? wrench->division.span : wrench->span,
                  "its division");
    return setting;
}

/* What a torque becomes on a wrench by. */
static void put_lever(struct resolver *r, struct fact *fact, const struct wrench *wrench,
                      const struct adapter *adapter)
{
    if (wrench == NULL)
        return;
    if (has_division(wrench))
        resolve_number(r, fact, "division", wrench->division.value.nominal.si);
    if (adapter == NULL)
        return;
    resolve_number(r, fact, "wrench-length", wrench->length.value.nominal.si);
    resolve_number(r, fact, "adapter-offset", adapter->offset.value.nominal.si);
    resolve_number(r, fact, "adapter-angle",
                   resolve_said(&adapter->angle) ? adapter->angle.value.nominal.si : 0);
}

/* The setting at one pull: so much of the whole. */
static struct fact *pull_fact(struct resolver *r, struct joint_values *values, size_t index,
                              const struct wrench *wrench)
{
    struct joint *joint = values->joint;
    const struct claim *share = &joint->pulls.items[index];
    struct qty whole = values->setting->value.nominal;
    double torque_n_m = share->value.nominal.si * whole.si;
    struct fact *fact = resolve_fact(
        r, &joint->e, resolve_id(r, &joint->e, str_print(r->arena, "pull-%zu", index + 1)), FACT_COMPUTED);

    fact->value = range_one(wrench != NULL ? to_division(wrench, torque_n_m, 0)
                                           : range_qty_si(torque_n_m, QTY_TORQUE, whole.unit));
    fact->span = share->span;
    fact->formula = str_print(r->arena, wrench != NULL ? "%s of the whole, to the wrench's division" : "%s of the whole",
                              share->value.text);
    fact->rule = "pull";
    fact->note = values->setting->note; /* which wrench */
    resolve_number(r, fact, "share", share->value.nominal.si);
    resolve_input_as(r, fact, "whole", values->setting);
    put_lever(r, fact, wrench, NULL);
    return fact;
}

static void print_pulls(struct resolver *r, struct joint_values *values, const struct wrench *wrench)
{
    struct joint *joint = values->joint;

    values->pulls = ARENA_ARRAY(r->arena, const char *, joint->pulls.count);
    for (size_t i = 0; i < joint->pulls.count; i++) {
        struct qty pull = pull_fact(r, values, i, wrench)->value.nominal;
        values->pulls[i] =
            wrench != NULL ? print_setting(r, wrench, pull) : resolve_print(r, pull);
    }
    values->pull_count = joint->pulls.count;
}

static void report_none(struct resolver *r, struct joint_values *values,
                        const struct adapter *adapter, bool needs_length, struct qty aimed)
{
    struct joint *joint = values->joint;

    if (needs_length) {
        struct diag *diag = spec_warn(
            r->context, &joint->e, DIAG_ADAPTER_NO_LENGTH, joint->adapter.span,
            "with adapter %s the wrench must say its length, and none that fits does", adapter->id);
        resolve_hint(r, diag,
                     "say length: on the wrench, from the middle of the grip to the drive");
        return;
    }
    struct diag *diag = spec_warn(r->context, &joint->e, DIAG_WRENCH_NONE, values->torque->span,
                                  "no wrench of the shop fits %s%s", resolve_print(r, aimed),
                                  adapter != NULL ? " with this adapter" : "");
    resolve_hint(r, diag,
                 "add a wrench under shop: wrenches, one whose top is at most five times that");
}

/* Both settings: the wrench's own unit, and the other system. */
static void set(struct resolver *r, struct joint_values *values, const struct wrench *wrench,
                const struct adapter *adapter, struct range target)
{
    struct joint *joint = values->joint;
    struct qty setting =
        wrench != NULL ? settle(r, values, wrench, adapter, target) : aim(values, target);
    struct fact *fact =
        resolve_fact(r, &joint->e, resolve_id(r, &joint->e, "setting"), FACT_COMPUTED);

    fact->value = range_one(setting);
    fact->rule = values->joint->lock.kind == LOCK_SPLIT_PIN ? "wrench-from-low-end" : "wrench-to-middle";
    put_lever(r, fact, wrench, adapter);
    resolve_input_as(r, fact, "torque", values->target);
    values->setting = fact;
    if (wrench == NULL) {
        fact->formula = "no wrench is named: the torque itself";
        values->setting_text = qty_print_plain(r->arena, setting);
    } else {
        fact->formula = adapter != NULL
                            ? "T L / (L + E cos a), to the wrench's division (TM 9 series)"
                            : "to the wrench's division";
        fact->note =
            str_print(r->arena, "wrench %s, %s%s%s", wrench->id, wrench->range.value.text,
                      adapter != NULL ? ", adapter " : "", adapter != NULL ? adapter->id : "");
        values->setting_text = print_setting(r, wrench, setting);
    }
    const struct qty_unit *other = setting.unit != NULL ? qty_unit_other(setting.unit) : NULL;
    if (other != NULL)
        values->setting_other_text =
            qty_print(r->arena, setting, other, qty_places(other), QTY_NEAREST);
}

/* A critical torque rests on the wrench. */
static void check_checked(struct resolver *r, struct joint *joint, const struct wrench *wrench)
{
    if (wrench == NULL || !joint->e.critical.value ||
        (wrench->checked.present && !wrench->checked.unknown))
        return;
    struct diag *diag =
        spec_warn(r->context, &joint->e, DIAG_GAUGE_NOT_CHECKED, wrench->span,
                  "%s tightens %s, which is critical, and has no date of its last check",
                  wrench->id, joint->e.member);
    resolve_hint(r, diag, "say checked: with the date, as 2026-02-01");
}

void resolve_wrench(struct resolver *r, struct joint_values *values)
{
    struct joint *joint = values->joint;
    const struct adapter *adapter = find_adapter(r, joint);
    bool needs_length = false;
    struct range target;

    if (values->torque == NULL || values->torque->value.kind == QTY_AT_MOST)
        return; /* a ceiling beside a stretch is not pulled to */
    values->drag = resolve_claim(r, &joint->e, resolve_id(r, &joint->e, "drag"), &joint->drag);
    target = range_of_fact(values->torque);
    values->target = values->torque;
    if (values->drag != NULL) {
        target = range_plus(target, range_of_fact(values->drag), 1);
        values->target =
            resolve_fact(r, &joint->e, resolve_id(r, &joint->e, "target"), FACT_COMPUTED);
        values->target->value = range_value(target);
        values->target->formula = "torque and the drag of running the nut down (AC 43.13-1B)";
        values->target->rule = "stack";
        resolve_input_as(r, values->target, "plus", values->torque);
        resolve_input_as(r, values->target, "plus", values->drag);
    }
    struct qty aimed = aim(values, target);
    values->wrench = choose(r, adapter, aimed.si, &needs_length);
    if (values->wrench == NULL && r->spec->shop.wrenches.count > 0 &&
        !resolve_torque_is_slight(values))
        report_none(r, values, adapter, needs_length, aimed);
    check_checked(r, joint, values->wrench);
    set(r, values, values->wrench, adapter, target);
    print_pulls(r, values, values->wrench);
    if (joint->lock.kind == LOCK_SPLIT_PIN && target.high_set &&
        qty_compare(target.low, target.high) < 0) {
        struct qty_value most = range_one(target.high);
        values->to_slot = phrase_value(resolve_say(r, "slot.forward"), "most", &most);
        values->setting->note = str_print(r->arena, "%s%slow end first, then %s",
                                          values->setting->note != NULL ? values->setting->note : "",
                                          values->setting->note != NULL ? "; " : "",
                                          resolve_words(r, values->to_slot));
    }
}
