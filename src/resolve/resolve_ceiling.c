/* resolve_ceiling.c - what the weakest of bolt, thread and tapped metal can bear; and whether the
 * fastener is long enough, and not too long. */
#include "resolve_private.h"

struct weakest {
    double load_n;
    const char *words, *source;
    struct {
        struct fact **items;
        size_t count, room;
    } loads; /* of all that were looked at */
};

/* One load as a fact of its own, "rod-bolts.load-bolt", by `rule`; NULL where it is none. */
static struct fact *offer(struct resolver *r, struct weakest *weakest, const char *id,
                          const struct joint *joint, double load_n, const char *words,
                          const char *source)
{
    if (!table_has(load_n) || load_n <= 0)
        return NULL;
    struct fact *fact = resolve_fact(r, (struct entry *)&joint->e, id, FACT_COMPUTED);
    const struct qty_unit *unit = resolve_prefer(r, QTY_FORCE);
    fact->value =
        range_one(range_qty_si(load_n, QTY_FORCE, unit != NULL ? unit : qty_unit_find("kN", QTY_FORCE)));
    fact->derived = true;
    fact->formula = words;
    fact->source = source;
    *ARRAY_PUSH(r->arena, &weakest->loads) = fact;
    if (weakest->words == NULL || load_n < weakest->load_n) {
        weakest->load_n = load_n;
        weakest->words = words;
        weakest->source = source;
    }
    return fact;
}

/* Of the joint itself, or of the one that holds the other end of its stud. */
static const char *load_id(struct resolver *r, const struct joint *joint, const struct joint *own,
                           const char *what)
{
    return str_print(r->arena, "%s.load-%s%s", joint->e.member, what, own != joint ? "-at-stud-end" : "");
}

static double metres(int64_t pm)
{
    return (double)pm * 1e-12;
}

/* Proof over tensile stress where only the latter is stated (the British letter grades): the least
 * of ISO 898-1 classes 8.8, 10.9, 12.9 and SAE J429 grades 5, 8 is 0.708. */
static const double proof_share = 0.7;

/* The bolt in tension: at yield, else at proof, else at a share of what breaks it. */
static void bolt_in_tension(struct resolver *r, struct joint *joint,
                            const struct table_grade *grade, struct weakest *weakest)
{
    double area_m2 = joint->thread_row->stress_area_m2;
    double stress_pa = proof_share * grade->tensile_pa;
    const char *kind = "tensile-strength";
    const char *at = "at 0.7 of the breaking load (no proof stress is stated)";

    if (table_has(grade->proof_pa)) {
        stress_pa = grade->proof_pa;
        kind = "proof-stress";
        at = "at its proof load";
    }
    if (table_has(grade->yield_pa)) {
        stress_pa = grade->yield_pa;
        kind = "yield-stress";
        at = "at yield";
    }
    struct fact *fact = offer(
        r, weakest, load_id(r, joint, joint, "bolt"), joint, area_m2 * stress_pa,
        str_print(r->arena, "the bolt, grade %s, %s", grade->name, at), grade->row.source);
    if (fact == NULL)
        return;
    fact->rule = "load-of-bolt";
    resolve_number(r, fact, "stress-area", area_m2);
    resolve_number(r, fact, kind, str_equal(kind, "tensile-strength") ? grade->tensile_pa : stress_pa);
}

/* No screw holds by so few of its diameters (common practice, no source): a slip of the unit, which is
 * told as an engagement that is short. Nothing rests on it. */
static const double least_diameters = 0.25;

static bool is_engaged(const struct joint *joint)
{
    return resolve_said(&joint->engagement) &&
           joint->engagement.value.low.si >= least_diameters * metres(joint->thread_row->major_pm);
}

static void put_thread(struct resolver *r, struct fact *fact, const char *rule,
                       const struct joint *own, const char *strength, double strength_pa)
{
    const struct table_thread *thread = own->thread_row;

    if (fact == NULL)
        return;
    fact->rule = rule;
    resolve_number(r, fact, "major", metres(thread->major_pm));
    resolve_number(r, fact, "pitch", metres(thread->pitch_pm));
    resolve_number(r, fact, "pitch-diameter", metres(thread->effective_pm));
    resolve_number(r, fact, "minor", metres(thread->minor_pm));
    resolve_number(r, fact, strength, strength_pa);
    resolve_input_as(r, fact, "engaged",
                     resolve_claim_once(r, (struct entry *)&own->e, resolve_id(r, &own->e, "engagement"),
                                        &own->engagement));
}

/* Threads over the length engaged, basic sizes: FED-STD-H28/2B. `own`: the joint whose thread it is. */
static void threads_in_shear(struct resolver *r, const struct joint *joint, const struct joint *own,
                             const struct table_grade *grade, struct weakest *weakest)
{
    const struct table_thread *thread = own->thread_row;
    const struct part *to = resolve_part(&own->to);
    struct resolve_metal metal;
    double engaged_m;

    if (!is_engaged(own))
        return;
    engaged_m = own->engagement.value.low.si;
    if (grade != NULL && table_has(grade->tensile_pa))
        put_thread(r,
                   offer(r, weakest, load_id(r, joint, own, "thread"), joint,
                         calc_strip_area_bolt_m2(engaged_m, metres(thread->pitch_pm),
                                                 metres(thread->effective_pm),
                                                 metres(thread->minor_pm)) *
                             calc_shear_strength_pa(grade->tensile_pa),
                         own != joint ? "the thread at the other end of the stud, over the length engaged"
                                      : "the thread of the bolt, over the length engaged",
                         grade->row.source),
                   "load-of-thread", own, "tensile-strength", grade->tensile_pa);
    if (to == NULL || !resolve_metal(r, to, &metal) || !table_has(metal.tensile_pa))
        return;
    double shear_pa =
        table_has(metal.shear_pa) ? metal.shear_pa : calc_shear_strength_pa(metal.tensile_pa);
    bool sheared = table_has(metal.shear_pa);
    put_thread(r,
               offer(r, weakest, load_id(r, joint, own, "tapped"), joint,
                     calc_strip_area_nut_m2(engaged_m, metres(thread->pitch_pm),
                                            metres(thread->major_pm), metres(thread->effective_pm)) *
                         shear_pa,
                     str_print(r->arena, "the thread in %s (%s), %s engaged", to->e.member, metal.name,
                               own->engagement.value.text),
                     metal.source),
               "load-of-tapped", own, sheared ? "shear-strength" : "tensile-strength",
               sheared ? metal.shear_pa : metal.tensile_pa);
}

static void check_torque(struct resolver *r, struct joint_values *values)
{
    struct range torque = range_of_fact(values->torque);

    if (!torque.high_set || qty_compare(torque.high, values->ceiling->value.high) <= 0)
        return;
    struct diag *diag = diag_add(&r->context->diags, DIAG_TORQUE_OVER_CEILING, values->torque->span,
                                 "%s is more than the weakest bears: %s, at about %s",
                                 resolve_print(r, torque.high), values->weakest,
                                 resolve_print(r, values->ceiling->value.high));
    const struct qty_unit *unit = torque.high.unit;
    double twelfth = torque.high.si / 12;
    if (unit != NULL && str_equal(unit->name, "lbf ft") && twelfth < values->ceiling->value.high.si)
        resolve_hint(r, diag, "was it lbf in? Look it up again, with grade and thread");
    else
        resolve_hint(r, diag, "look the torque up again, with grade, thread and condition");
}

/* Share of the ceiling below which a torque is taken for a slip of the unit: torques of the trade
 * begin at about an eighth, and lbf in for lbf ft is a twelfth of what was meant (common practice,
 * no source). */
static const double least_share = 1.0 / 16;

bool resolve_torque_is_slight(const struct joint_values *values)
{
    struct range torque = range_of_fact(values->torque);

    return values->ceiling != NULL && range_known(torque) &&
           torque.high.si < values->ceiling->value.high.si * least_share;
}

static void check_low_torque(struct resolver *r, struct joint_values *values)
{
    struct joint *joint = values->joint;
    struct range torque = range_of_fact(values->torque);

    if (!resolve_torque_is_slight(values))
        return;
    struct diag *diag =
        spec_warn(r->context, &joint->e, DIAG_TORQUE_FAR_BELOW, values->torque->span,
                  "%s is very little for %s, which bears about %s", resolve_print(r, torque.high),
                  joint->thread_row->name, resolve_print(r, values->ceiling->value.high));
    if (torque.high.unit != NULL && str_equal(torque.high.unit->name, "lbf in"))
        resolve_hint(r, diag, "was it lbf ft? Look it up again, with grade and thread");
    else
        resolve_hint(r, diag, "look the torque up again, with its unit");
}

/* One length less another, said on the card of the joint. */
static struct fact *put_difference(struct resolver *r, struct joint_values *values, const char *id,
                                   struct range range, struct span span, const char *formula,
                                   struct fact *plus, struct fact *minus)
{
    struct entry *entry = &values->joint->e;
    struct fact *fact = resolve_fact(r, entry, resolve_id(r, entry, id), FACT_COMPUTED);

    fact->value = range_value(range);
    fact->span = span;
    fact->formula = formula;
    fact->rule = "stack";
    resolve_input_as(r, fact, "plus", plus);
    resolve_input_as(r, fact, "minus", minus);
    *ARRAY_PUSH(r->arena, &values->more) = fact;
    return fact;
}

/* How far a screw goes in below what it holds, and how much of a blind hole is left under its end. */
static void put_reach(struct resolver *r, struct joint_values *values)
{
    struct joint *joint = values->joint;
    struct fact *length, *hole, *grip;

    if (!resolve_said(&joint->length) || !resolve_said(&joint->grip))
        return;
    length = resolve_claim(r, &joint->e, resolve_id(r, &joint->e, "length"), &joint->length);
    grip = resolve_claim(r, &joint->e, resolve_id(r, &joint->e, "grip"), &joint->grip);
    struct range reach = range_plus(range_of_fact(length), range_of_fact(grip), -1);
    if (!range_known(reach) || reach.low.exact <= 0) {
        struct diag *diag = diag_add(&r->context->diags, DIAG_ENGAGEMENT_OVER_LENGTH, joint->grip.span,
                                     "a screw %s long does not reach through %s",
                                     joint->length.value.text, joint->grip.value.text);
        resolve_label(r, diag, joint->length.span, "the length");
        resolve_hint(r, diag, "correct the one that is wrong");
        return;
    }
    struct fact *goes_in = put_difference(r, values, "goes-in", reach, joint->length.span,
                                          "length less what it goes through", length, grip);
    if (!resolve_said(&joint->hole_depth))
        return;
    hole = resolve_claim(r, &joint->e, resolve_id(r, &joint->e, "hole-depth"), &joint->hole_depth);
    struct range left = range_plus(range_of_fact(hole), reach, -1);
    if (left.low.exact < 0) {
        struct diag *diag = diag_add(&r->context->diags, DIAG_BOLT_BOTTOMS, joint->length.span,
                                     "%s goes in, of a hole %s deep: it can bottom",
                                     resolve_print_range(r, reach), joint->hole_depth.value.text);
        resolve_label(r, diag, joint->hole_depth.span, "the hole");
        resolve_hint(r, diag, "take a shorter fastener, or correct length, grip or hole-depth");
        return;
    }
    put_difference(r, values, "room-under", left, joint->hole_depth.span,
                   "depth of the hole less what goes in", hole, goes_in);
}

static void check_lengths(struct resolver *r, struct joint *joint)
{
    const struct claim *engaged = &joint->engagement, *length = &joint->length,
                       *hole = &joint->hole_depth;

    if (!resolve_said(engaged))
        return;
    struct qty_value engagement = engaged->value;
    if (resolve_said(hole) && qty_compare(engagement.high, hole->value.low) > 0) {
        struct diag *diag = diag_add(&r->context->diags, DIAG_BOLT_BOTTOMS, engaged->span,
                                     "%s engaged in a hole %s deep: it bottoms",
                                     engaged->value.text, hole->value.text);
        resolve_label(r, diag, hole->span, "the hole");
        resolve_hint(r, diag, "take a shorter fastener, or correct hole-depth");
    }
    if (resolve_said(length) && qty_compare(engagement.low, length->value.high) > 0) {
        struct diag *diag =
            diag_add(&r->context->diags, DIAG_ENGAGEMENT_OVER_LENGTH, engaged->span,
                     "%s engaged of a fastener %s long", engaged->value.text, length->value.text);
        resolve_label(r, diag, length->span, "the length");
        resolve_hint(r, diag, "correct the one that is wrong");
    }
}

/* No casting offers more than this many diameters of thread (common practice, no source). */
static const double most_diameters = 4;

static void check_long_engagement(struct resolver *r, struct joint *joint)
{
    if (!resolve_said(&joint->engagement) || joint->thread_row == NULL ||
        joint->engagement.value.low.si <= most_diameters * metres(joint->thread_row->major_pm))
        return;
    struct diag *diag =
        spec_warn(r->context, &joint->e, DIAG_ENGAGEMENT_LONG, joint->engagement.span,
                  "%s engaged is more than four diameters of %s", joint->engagement.value.text,
                  joint->thread_row->name);
    resolve_hint(r, diag, "look at the unit");
}

/* Practice by the tapped metal: so many diameters. */
static void check_engagement(struct resolver *r, struct joint *joint)
{
    const struct part *to = resolve_part(&joint->to);
    const struct table_engagement *row;
    struct resolve_metal metal;

    if (!resolve_said(&joint->engagement) || joint->thread_row == NULL || to == NULL ||
        !resolve_metal(r, to, &metal))
        return;
    row = table_engagement_find(r->tables, metal.name);
    if (row == NULL && metal.family != NULL)
        row = table_engagement_find(r->tables, metal.family);
    if (row == NULL || !table_has(row->low))
        return;
    struct qty engaged = joint->engagement.value.low;
    double ratio = engaged.si / metres(joint->thread_row->major_pm);
    struct qty least =
        range_qty_times(range_qty_pm(joint->thread_row->major_pm, engaged.unit), row->low);
    struct fact *fact =
        resolve_fact(r, &joint->e, resolve_id(r, &joint->e, "least-engagement"), FACT_COMPUTED);
    fact->value = (struct qty_value){.kind = QTY_AT_LEAST, .nominal = least, .low = least};
    fact->level = LEVEL_PRACTICE;
    fact->span = joint->engagement.span;
    fact->formula = str_print(r->arena, "%s diameters of thread in %s",
                              str_decimal(r->arena, row->low, 2), metal.name);
    fact->source = row->row.source;
    fact->rule = "least-engagement";
    resolve_number(r, fact, "diameters", row->low);
    resolve_number(r, fact, "major", metres(joint->thread_row->major_pm));
    if (ratio >= row->low - 1e-9)
        return;
    struct diag *diag =
        spec_warn(r->context, &joint->e, DIAG_ENGAGEMENT_SHORT, joint->engagement.span,
                  "%s is %s diameters; practice in %s is at least %s (%s)",
                  joint->engagement.value.text, str_decimal(r->arena, ratio, 2), metal.name,
                  str_decimal(r->arena, row->low, 2), row->row.source);
    resolve_hint(r, diag, "engage %s or more, or fit an insert", resolve_print(r, least));
}

/* A stud that is screwed in by a joint of its own holds by that end too. */
static void other_end(struct resolver *r, const struct joint *joint,
                      const struct table_grade *grade, struct weakest *weakest)
{
    const struct part *stud = resolve_part(&joint->stud);

    for (size_t i = 0; stud != NULL && i < r->spec->joints.count; i++) {
        const struct joint *own = r->spec->joints.items[i];
        if (own == joint || !str_equal(own->turned.text, "stud") || own->thread_row == NULL)
            continue;
        for (size_t k = 0; k < own->holds.to_count; k++)
            if (own->holds.to[k] == &stud->e)
                threads_in_shear(r, joint, own, grade, weakest);
    }
}

/* A torque is for a grade; a better bolt keeps it, a weaker one cannot bear it. */
static void check_was_grade(struct resolver *r, struct joint *joint, const struct table_grade *grade)
{
    if (joint->was_grade.text == NULL || joint->was_grade.unknown || grade == NULL)
        return;
    const struct table_grade *was =
        table_grade_find(r->tables, joint->was_grade.text, joint->thread_row->major_pm).grade;
    if (was == NULL || !table_has(was->tensile_pa) || !table_has(grade->tensile_pa) ||
        grade->tensile_pa >= was->tensile_pa)
        return;
    struct diag *diag =
        spec_warn(r->context, &joint->e, DIAG_GRADE_WEAKER, joint->grade.span,
                  "grade %s is weaker than grade %s, which the torque is for", joint->grade.text,
                  joint->was_grade.text);
    resolve_hint(r, diag, "fit the grade that the torque is for, or find the torque for this one");
}

static void report_grade(struct resolver *r, struct joint *joint, const struct table_grade *grade)
{
    if (joint->grade.unknown) {
        resolve_ask(r, &joint->e, NULL, joint->grade.span, "grade", "marks-on-heads");
        return;
    }
    if (joint->grade.text == NULL || grade != NULL || joint->thread_row == NULL)
        return;
    struct table_grade_found found =
        table_grade_find(r->tables, joint->grade.text, joint->thread_row->major_pm);
    if (found.status != TABLE_FOUND)
        return;
    struct diag *diag = spec_warn(r->context, &joint->e, DIAG_GRADE_OUT_OF_RANGE, joint->grade.span,
                                  "grade %s has no tabled strength at %s", joint->grade.text,
                                  joint->thread_row->name);
    resolve_hint(r, diag, "look the grade up for this diameter, or write unknown");
}

void resolve_ceiling(struct resolver *r, struct joint_values *values)
{
    struct joint *joint = values->joint;
    const struct table_grade *grade = resolve_grade(r, joint);
    struct weakest weakest = {0};
    struct resolve_screw screw;
    const char *why = NULL;

    report_grade(r, joint, grade);
    check_lengths(r, joint);
    put_reach(r, values);
    check_engagement(r, joint);
    check_long_engagement(r, joint);
    if (joint->thread_row == NULL || !table_has(joint->thread_row->stress_area_m2) ||
        !resolve_screw(r, joint, &screw, &why))
        return;
    if (grade != NULL)
        bolt_in_tension(r, joint, grade, &weakest);
    threads_in_shear(r, joint, joint, grade, &weakest);
    other_end(r, joint, grade, &weakest);
    check_was_grade(r, joint, grade);
    if (weakest.words == NULL)
        return;

    /* At the middle of the tabled friction: a ceiling says that a figure is wrong, not that it is
     * fine. */
    double torque_n_m = weakest.load_n * (screw.per_newton_low + screw.per_newton_high) / 2;
    struct fact *fact =
        resolve_fact(r, &joint->e, resolve_id(r, &joint->e, "ceiling"), FACT_COMPUTED);
    const struct qty_unit *unit = values->torque != NULL && values->torque->value.high.unit != NULL
                                      ? values->torque->value.high.unit
                                      : resolve_prefer(r, QTY_TORQUE);
    struct qty most = range_qty_si(torque_n_m, QTY_TORQUE, unit);
    fact->value = (struct qty_value){.kind = QTY_AT_MOST, .nominal = most, .high = most};
    fact->derived = true;
    fact->formula =
        str_print(r->arena, "what brings %s to %s kN, at the middle of the tabled friction",
                  weakest.words, str_decimal(r->arena, weakest.load_n / 1000, 1));
    fact->sources = phrase_then(build_citation(r->arena, weakest.source), "; ",
                                resolve_screw_sources(r, &screw));
    fact->rule = "torque-of-weakest";
    for (size_t i = 0; i < weakest.loads.count; i++)
        resolve_input_as(r, fact, "bears", weakest.loads.items[i]);
    resolve_screw_numbers(r, fact, &screw);
    values->ceiling = fact;
    values->weakest = weakest.words;
    check_torque(r, values);
    check_low_torque(r, values);
}

void resolve_preload(struct resolver *r, struct joint_values *values)
{
    struct joint *joint = values->joint;
    struct range torque = range_of_fact(values->torque);
    struct resolve_screw screw;
    const char *why = NULL;

    if (!range_known(torque) || joint->thread_row == NULL || !resolve_screw(r, joint, &screw, &why))
        return;
    /* What an angle adds hangs on how the parts give, which nobody has measured. */
    const char *what = joint->then.present ? "preload-before-turn" : "preload";
    struct fact *fact = resolve_fact(r, &joint->e, resolve_id(r, &joint->e, what), FACT_COMPUTED);
    const struct qty_unit *unit = resolve_prefer(r, QTY_FORCE);
    if (unit == NULL)
        unit = qty_unit_find("kN", QTY_FORCE);
    fact->value = range_limits(range_qty_si(torque.low.si / screw.per_newton_high, QTY_FORCE, unit),
                               range_qty_si(torque.high.si / screw.per_newton_low, QTY_FORCE, unit));
    fact->derived = true;
    fact->span = joint->e.span;
    fact->formula = "F = T / (P/2pi + mu d2/(2 cos b) + mu Db/2), ISO 16047, from the least torque at the "
                    "greatest friction to the greatest at the least";
    fact->rule = "preload";
    fact->sources = resolve_screw_sources(r, &screw);
    resolve_input_as(r, fact, "torque", values->torque);
    resolve_screw_numbers(r, fact, &screw);
    *ARRAY_PUSH(r->arena, &values->more) = fact;
}
