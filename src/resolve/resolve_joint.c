/* resolve_joint.c - joints: torque, setting, ceiling, stretch, spanner, and the thread as found. */
#include "resolve_private.h"

/* ---------- the thread as measured ---------- */

/* A bolt's crests are worn and truncated: it reads low, by up to its tolerance; 4 % of the diameter
 * covers 2A and 6g down to the smallest sizes. */
static bool is_thread(const struct table_thread *thread, const struct joint *joint)
{
    const struct claim *major = &joint->found.major, *pitch = &joint->found.pitch;

    if (resolve_said(major)) {
        struct qty_value value = major->value;
        if (value.high.exact < thread->major_pm - thread->major_pm / 25 ||
            value.low.exact > thread->major_pm + thread->major_pm / 100)
            return false;
    }
    if (resolve_said(pitch)) {
        double ratio = (double)pitch->value.nominal.exact / (double)thread->pitch_pm;
        return ratio > 0.985 && ratio < 1.015;
    }
    return true;
}

static void check_found(struct resolver *r, struct joint *joint)
{
    const struct claim *major = &joint->found.major, *pitch = &joint->found.pitch;
    struct str_buf names = {.arena = r->arena};

    if (!joint->found.present || joint->thread_row == NULL || is_thread(joint->thread_row, joint))
        return;
    struct span span = resolve_said(major) && major->value.low.dim == QTY_LENGTH
                           ? joint->thread.span
                           : joint->found.span;
    struct diag *diag = diag_add(
        &r->context->diags, DIAG_THREAD_FOUND_DIFFERS, span,
        "%s is %s over the crests at %s, and %s%s%s was found", joint->thread_row->name,
        resolve_print(r, range_qty_pm(joint->thread_row->major_pm,
                                      resolve_said(major) ? major->value.low.unit : NULL)),
        joint->thread_row->tpi > 0
            ? str_print(
                  r->arena, "%s tpi",
                  str_decimal(r->arena, joint->thread_row->tpi,
                              joint->thread_row->tpi == floor(joint->thread_row->tpi) ? 0 : 1))
            : str_print(r->arena, "%s mm pitch",
                        qty_exact_mm(r->arena, joint->thread_row->pitch_pm)),
        resolve_said(major) ? major->value.text : "",
        resolve_said(major) && resolve_said(pitch) ? ", " : "",
        resolve_said(pitch) ? pitch->value.text : "");
    resolve_label(r, diag, joint->found.span, "as found");
    struct table_thread_candidates found = table_thread_identify(
        r->arena, r->tables, resolve_said(major) ? major->value.nominal.exact : TABLE_NO_PM,
        resolve_said(pitch) ? pitch->value.nominal.exact : TABLE_NO_PM, NAN);
    for (size_t i = 0; i < found.count && i < 4; i++)
        str_add_print(&names, "%s%s", i > 0 ? ", " : "", found.items[i].thread->name);
    if (names.bytes != NULL)
        resolve_hint(r, diag, "what was found could be %s: look at the flank angle", names.bytes);
}

/* ---------- the rest ---------- */

static const struct phrase *spanner(struct resolver *r, const struct joint *joint)
{
    if (joint->thread_row == NULL || str_equal(joint->turned.text, "stud"))
        return NULL;

    const struct table_hexagon *hexagon = table_hexagon_find(r->tables, joint->thread_row);
    if (hexagon == NULL)
        return NULL;
    bool metric = str_ends(hexagon->spanner, "mm");
    const struct qty_unit *unit = qty_unit_find(metric ? "mm" : "in", QTY_LENGTH);
    const char *across = qty_print(r->arena, range_qty_pm(hexagon->across_flats_pm, unit), unit,
                                   metric ? 1 : 3, QTY_NEAREST);
    struct phrase *phrase = phrase_text(resolve_say(r, "spanner.across-flats"), "spanner",
                                        hexagon->spanner);
    return phrase_text(phrase_number(phrase, "across", across), "standard", hexagon->standard);
}

/* An elongation beyond what the proof stress gives over the length: E = 206 GPa of steel
 * (fits-and-engine tables: carbon steel 206..207). */
static void check_stretch(struct resolver *r, struct joint_values *values)
{
    struct joint *joint = values->joint;
    const struct table_grade *grade = resolve_grade(r, joint);

    if (values->stretch == NULL || grade == NULL || !table_has(grade->proof_pa) ||
        !resolve_said(&joint->length))
        return;
    double most_m = grade->proof_pa / 206e9 * joint->length.value.high.si;
    struct range stretch = range_of_fact(values->stretch);
    if (!stretch.high_set || stretch.high.si <= most_m)
        return;
    struct diag *diag =
        spec_warn(r->context, &joint->e, DIAG_STRETCH_OVER_YIELD, joint->stretch.span,
                  "%s is more than %s, the stretch of %s at proof load of grade %s",
                  joint->stretch.value.text,
                  resolve_print(r, range_qty_pm(qty_pm_from_mm(most_m * 1000), stretch.high.unit)),
                  joint->length.value.text, grade->name);
    resolve_hint(r, diag, "look at the unit, the grade and the length");
}

/* The drag of a self-locking nut that is used again has a least value: below it the nut is
 * renewed. */
static void check_drag(struct resolver *r, struct joint_values *values)
{
    struct joint *joint = values->joint;
    const struct table_drag *row;

    if (joint->lock.kind != LOCK_SELF_LOCKING || joint->thread_row == NULL ||
        str_equal(resolve_condition(r, joint).fastener, "new"))
        return;
    row = table_drag_find(r->tables, joint->thread_row);
    if (row == NULL)
        return;
    struct fact *fact =
        resolve_fact(r, &joint->e, resolve_id(r, &joint->e, "least-drag"), FACT_TABLE);
    struct qty least =
        range_qty_si(row->least_n_m, QTY_TORQUE, qty_unit_find(row->unit, QTY_TORQUE));
    fact->value = (struct qty_value){.kind = QTY_AT_LEAST, .nominal = least, .low = least};
    fact->level = LEVEL_STANDARD;
    fact->source = row->row.source;
    fact->note = "a nut that runs on with less is renewed";
    *ARRAY_PUSH(r->arena, &values->more) = fact;
}

/* Castle nuts have six slots up to 39 mm (ISO 7035, DIN 935: from memory), and the window to the next
 * one is a sixth of a turn. */
enum { SLOTS = 6 };
static const int64_t most_of_six_pm = INT64_C(39000000000);

static void put_slots(struct resolver *r, struct joint_values *values)
{
    struct joint *joint = values->joint;
    const struct table_thread *thread = joint->thread_row;

    if (joint->lock.kind != LOCK_SPLIT_PIN || thread == NULL || thread->major_pm > most_of_six_pm)
        return;
    struct fact *turn =
        resolve_fact(r, &joint->e, resolve_id(r, &joint->e, "slot-turn"), FACT_COMPUTED);
    struct qty angle = range_qty_si(360.0 / SLOTS, QTY_ANGLE, qty_unit_find("deg", QTY_ANGLE));
    turn->value = (struct qty_value){.kind = QTY_AT_MOST, .nominal = angle, .high = angle};
    turn->formula = "360 degrees / six slots: forward only, never back (AC 43.13-1B 7-126)";
    turn->rule = "slot-turn";
    turn->span = joint->lock.span;
    *ARRAY_PUSH(r->arena, &values->more) = turn;
    struct fact *advance =
        resolve_fact(r, &joint->e, resolve_id(r, &joint->e, "slot-advance"), FACT_COMPUTED);
    advance->value = range_one(range_qty_pm(calc_slot_advance_pm(thread->pitch_pm, SLOTS),
                                            resolve_prefer(r, QTY_LENGTH)));
    advance->formula = "pitch / six slots";
    advance->rule = "slot-advance";
    advance->span = joint->lock.span;
    resolve_number(r, advance, "pitch", (double)thread->pitch_pm * 1e-12);
    *ARRAY_PUSH(r->arena, &values->more) = advance;
}

/* A nut that is turned further by an angle draws up so much thread: what the bolt gets longer and the
 * parts get thinner, together. */
static void put_turn(struct resolver *r, struct joint_values *values)
{
    struct joint *joint = values->joint;
    struct fact *then = resolve_claim(r, &joint->e, resolve_id(r, &joint->e, "then"), &joint->then);

    if (then == NULL || joint->thread_row == NULL)
        return;
    struct range turn = range_of_fact(then);
    struct range drawn = {.low_set = turn.low_set, .high_set = turn.high_set};
    struct qty pitch = range_qty_pm(joint->thread_row->pitch_pm, resolve_prefer(r, QTY_LENGTH));
    drawn.low = range_qty_times(pitch, turn.low.si / 360);
    drawn.high = range_qty_times(pitch, turn.high.si / 360);
    struct fact *fact = resolve_fact(r, &joint->e, resolve_id(r, &joint->e, "drawn-up"), FACT_COMPUTED);
    fact->value = range_value(drawn);
    fact->span = joint->then.span;
    fact->formula = "pitch x angle / 360 degrees: the bolt gets longer and the parts thinner by it";
    fact->rule = "drawn-up";
    resolve_number(r, fact, "pitch", pitch.si);
    resolve_input_as(r, fact, "turn", then);
    *ARRAY_PUSH(r->arena, &values->more) = fact;
}

static void resolve_joint(struct resolver *r, struct joint *joint)
{
    struct joint_values values = {.joint = joint};

    values.condition = resolve_condition_phrase(r, joint);
    values.nip = resolve_claim(r, &joint->e, resolve_id(r, &joint->e, "nip"), &joint->nip);
    values.spanner = spanner(r, joint);
    resolve_torque(r, &values);
    resolve_ceiling(r, &values);
    resolve_wrench(r, &values);
    check_stretch(r, &values);
    check_drag(r, &values);
    put_slots(r, &values);
    put_turn(r, &values);
    resolve_preload(r, &values);
    check_found(r, joint);
    resolve_place(r, joint, r->build->joints.count);
    *ARRAY_PUSH(r->arena, &r->build->joints) = values;
}

void resolve_joints(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->joints.count; i++)
        resolve_joint(r, r->spec->joints.items[i]);
}
