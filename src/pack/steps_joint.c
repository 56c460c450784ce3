/* steps_joint.c - the steps of a joint: slackened, nipped, tightened, locked, tightened again. */
#include "steps_private.h"

static void thread_fields(struct packer *packer, struct step_block *step,
                          const struct joint *joint, const struct joint_values *values)
{
    if (joint->left_hand.value)
        step_field_strong(packer, step, "left-hand", L(packer, "field.left-hand-note"));
    step_field(packer, step, "thread", joint->thread.text);
    step_field(packer, step, "count",
               str_print(packer->arena, "%lld", (long long)joint->count.value));
    step_field(packer, step, "spanner", values ? text_of_phrase(packer, values->spanner) : NULL);
}

void fill_slacken(struct packer *packer, struct step_block *step,
                         const struct operation *op)
{
    const struct joint *joint = spec_joint(op->entry);

    if (joint) {
        thread_fields(packer, step, joint, build_joint(packer->build, joint));
        step_field(packer, step, "holds",
                   text_of_entries(packer, joint->holds.to, joint->holds.to_count));
        if (joint->lock.kind > LOCK_NONE)
            step_field(packer, step, "lock", joint->lock.part.count
                           ? text_of_entries(packer, joint->lock.part.to, joint->lock.part.count)
                           : joint->lock.consumable.text);
    }
    step_tick(packer, step, L(packer, "check.done"));
}

static void condition_field(struct packer *packer, struct step_block *step,
                            const struct joint *joint, const struct joint_values *values)
{
    if (values && values->condition)
        step_field(packer, step, "condition", text_of_phrase(packer, values->condition));
    else if (joint->condition.present)
        step_field(packer, step, "condition", joint->condition.name);
}

static void pattern_field(struct packer *packer, struct step_block *step,
                          const struct joint *joint)
{
    struct str_buf text = {.arena = packer->arena};

    if (joint->pattern.round.present)
        str_add_print(&text, "%lld %s", (long long)joint->pattern.round.value,
                      L(packer, "field.round"));
    for (size_t i = 0; i < joint->pattern.rows.count; i++)
        str_add_print(&text, i ? " + %lld" : "%lld", (long long)joint->pattern.rows.items[i]);
    for (size_t i = 0; i < joint->pattern.sequence.count; i++)
        str_add_print(&text, i ? "-%lld" : "%lld", (long long)joint->pattern.sequence.items[i]);
    if (text.length)
        step_field(packer, step, "pattern", text.bytes);
}

static void wrench_fields(struct packer *packer, struct step_block *step,
                          const struct joint_values *values)
{
    if (!values)
        return;
    if (values->wrench) /* by name: its range and last check stand under the tools */
        step_field(packer, step, "wrench",
                   values->wrench->name.text ? values->wrench->name.text : values->wrench->id);
    if (values->setting_text)
        step_field_strong(packer, step, "setting",
                          values->setting_other_text
                              ? str_print(packer->arena, "%s (%s)", values->setting_text,
                                          values->setting_other_text)
                              : values->setting_text);
    step_field_strong(packer, step, "then", text_of_phrase(packer, values->to_slot));
    struct str_buf pulls = {.arena = packer->arena};
    for (size_t i = 0; i < values->pull_count; i++)
        str_add_print(&pulls, i ? ", %s" : "%s", values->pulls[i]);
    step_field(packer, step, "pulls", pulls.length ? pulls.bytes : NULL);
}

static void torque_value_fields(struct packer *packer, struct step_block *step,
                                const struct joint *joint, const struct joint_values *values)
{
    step_field_strong(packer, step, "torque", values ? text_of_fact(packer, values->torque) : NULL);
    step_sources(packer, step, &joint->torque);
    if (joint->drag.present) {
        step_claim(packer, step, "drag", &joint->drag);
        step_field_strong(packer, step, "torque-with-drag",
                          values ? text_of_fact(packer, values->target) : NULL);
    }
    step_field_strong(packer, step, "stretch",
                      values ? text_of_fact(packer, values->stretch) : NULL);
    step_field(packer, step, "ceiling", values ? text_of_fact(packer, values->ceiling) : NULL);
    if (values)
        step_more(packer, step, &values->more);
}

static void joint_fields(struct packer *packer, struct step_block *step,
                         const struct joint *joint, const struct joint_values *values)
{
    step_field(packer, step, "holds",
               text_of_entries(packer, joint->holds.to, joint->holds.to_count));
    thread_fields(packer, step, joint, values);
    if (joint->to.count)
        step_field(packer, step, "cut-in", text_of_entries(packer, joint->to.to, joint->to.count));
    if (joint->stud.count)
        step_field(packer, step, "stud", text_of_entries(packer, joint->stud.to, joint->stud.count));
    step_field(packer, step, "grade", joint->grade.text);
    step_field(packer, step, "was-grade", joint->was_grade.text);
    step_field(packer, step, "turned", joint->turned.text);
    step_field(packer, step, "nut", joint->nut.text);
    step_field(packer, step, "seat", joint->seat.text);
    condition_field(packer, step, joint, values);
    step_claim(packer, step, "engagement", &joint->engagement);
    step_claim(packer, step, "length", &joint->length);
    step_claim(packer, step, "grip", &joint->grip);
    step_claim(packer, step, "hole-depth", &joint->hole_depth);
    if (joint->together_with.to_count)
        step_field_strong(packer, step, "together-with",
                          text_of_entries(packer, joint->together_with.to,
                                          joint->together_with.to_count));
    step_field(packer, step, "adapter", joint->adapter.text);
    struct str_buf uses = {.arena = packer->arena};
    for (size_t i = 0; i < joint->uses.count; i++)
        str_add_print(&uses, uses.length ? ", %lld × %s" : "%lld × %s",
                      (long long)joint->uses.items[i].count,
                      text_of_entries(packer, joint->uses.items[i].ref.to,
                                      joint->uses.items[i].ref.count)
                          ? text_of_entries(packer, joint->uses.items[i].ref.to,
                                            joint->uses.items[i].ref.count)
                          : joint->uses.items[i].ref.text);
    step_field(packer, step, "uses", uses.length ? uses.bytes : NULL);
}

static void torque_checks(struct packer *packer, struct step_block *step,
                          const struct operation *op, const struct joint *joint,
                          const struct joint_values *values)
{
    /* Each bolt is measured before and after: the pull of the wrench says little of one near yield. */
    static const char *const lengths[] = {"length-before", "length-after"};
    const struct fact *target = values ? (values->target ? values->target : values->torque) : NULL;
    const char *unit = target && target->value.nominal.unit ? target->value.nominal.unit->name : NULL;
    int64_t count = torque_readings(joint);

    for (size_t k = 0; values && values->stretch && k < 2; k++)
        for (int64_t i = 1; i <= joint->count.value; i++)
            step_check(packer, step, CHECK_READING,
                       str_print(packer->arena, "%s@%s#%lld", reading_id(op), lengths[k], (long long)i),
                       label_of(packer, "check", lengths[k]))
                ->unit = step_unit(values->stretch);
    if (values && values->stretch && !values->torque)
        target = NULL;
    step_tick(packer, step, L(packer, "check.torqued"));
    for (int64_t i = 1; joint->e.critical.value && i <= count; i++)
        step_reading(packer, step,
                str_print(packer->arena, "%s#%lld", torque_id(packer, op), (long long)i),
                text_of_fact(packer, target), unit);
    step_check(packer, step, CHECK_INITIALS, NULL, L(packer, "card.initials"));
}

void fill_tighten(struct packer *packer, struct step_block *step,
                         const struct operation *op)
{
    const struct joint *joint = spec_joint(op->entry);

    if (!joint)
        return;
    const struct joint_values *values = build_joint(packer->build, joint);
    joint_fields(packer, step, joint, values);
    torque_value_fields(packer, step, joint, values);
    wrench_fields(packer, step, values);
    if (joint->then.present) {
        step_field_strong(packer, step, "then", text_of_claim(packer, &joint->then));
        step_sources(packer, step, &joint->then);
    }
    pattern_field(packer, step, joint);
    if (joint->lock.kind == LOCK_NONE)
        step_field(packer, step, "no-lock", joint->lock.reason.text);
    torque_checks(packer, step, op, joint, values);
}

void fill_retighten(struct packer *packer, struct step_block *step,
                           const struct operation *op)
{
    const struct joint *joint = spec_joint(op->entry);

    if (!joint)
        return;
    const struct joint_values *values = build_joint(packer->build, joint);
    thread_fields(packer, step, joint, values);
    condition_field(packer, step, joint, values);
    for (size_t i = 0; i < joint->again.count; i++) {
        const struct again *again = &joint->again.items[i];
        step_field(packer, step, "engine-is", again->engine_is.text);
        if (again->slacken_first.present)
            step_field(packer, step, "slacken-first",
                       again->slacken_first.value ? L(packer, "check.done") : L(packer, "summary.none"));
    }
    torque_value_fields(packer, step, joint, values);
    wrench_fields(packer, step, values);
    torque_checks(packer, step, op, joint, values);
}

void fill_nip(struct packer *packer, struct step_block *step, const struct operation *op)
{
    const struct joint *joint = spec_joint(op->entry);

    if (!joint)
        return;
    joint_fields(packer, step, joint, build_joint(packer->build, joint));
    step_claim(packer, step, "nip", &joint->nip);
    step_tick(packer, step, L(packer, "check.done"));
}

void fill_lock(struct packer *packer, struct step_block *step, const struct operation *op)
{
    const struct joint *joint = spec_joint(op->entry);

    if (joint) {
        const char *word = spec_lock_word(joint->lock.kind);
        step_field_strong(packer, step, "lock", word ? label_of(packer, "lock", word) : NULL);
        if (joint->lock.part.count)
            step_field(packer, step, "part",
                       text_of_entries(packer, joint->lock.part.to, joint->lock.part.count));
        if (joint->lock.consumable.text)
            step_field(packer, step, "part",
                       text_of_consumable(packer, joint->lock.consumable.text));
        step_field(packer, step, "count",
                   str_print(packer->arena, "%lld", (long long)joint->count.value));
    }
    step_tick(packer, step, L(packer, "check.locked"));
    step_check(packer, step, CHECK_INITIALS, NULL, L(packer, "card.initials"));
}
