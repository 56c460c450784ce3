/* phases.c - the whole plan from the order of the build: strip (its mirror), trials written out,
 * settings of the finished engine, first run, follow-up. */
#include "plan_private.h"

struct operation *plan_write_op(struct writer *w, enum phase phase, struct operation *op)
{
    struct plan *plan = w->maker->plan;

    op->phase = phase;
    op->order = plan->operations.count;
    op->number = ++w->numbers[phase];
    *ARRAY_PUSH(w->maker->arena, &plan->operations) = op;
    return op;
}

struct operation *plan_new_op(struct writer *w, enum phase phase, enum verb verb,
                              struct entry *entry, const char *at)
{
    struct operation *op = ARENA_NEW(w->maker->arena, struct operation);
    bool plain = at && (verb == VERB_READ || verb == VERB_READ_AGAIN);

    op->id = plain ? str_print(w->maker->arena, "%s@%s", entry->member, at)
             : at  ? str_print(w->maker->arena, "%s:%s@%s", verb_word(verb), entry->member, at)
                   : str_print(w->maker->arena, "%s:%s", verb_word(verb), entry->member);
    op->verb = verb;
    op->entry = entry;
    return plan_write_op(w, phase, op);
}

/* ---------- strip: the mirror of the build ---------- */

bool plan_was_there(const struct part *part)
{
    return part->state != STATE_MISSING && part->state != STATE_MAKE;
}

static bool holds_any(const struct joint *joint)
{
    for (size_t i = 0; i < joint->holds.to_count; i++)
        if (plan_as_part(joint->holds.to[i]) && plan_was_there((struct part *)joint->holds.to[i]))
            return true;
    return joint->holds.to_count == 0;
}

static bool is_named(const struct operation *op, const struct joint *joint)
{
    for (size_t i = 0; i < op->fixings.count; i++)
        if (op->fixings.items[i] == &joint->e)
            return true;
    return false;
}

static void name_joints(struct writer *w, struct operation *op, const struct part *held,
                        const struct part *unit)
{
    const struct info *info = plan_info(held);

    for (size_t i = 0; i < info->held_by.count; i++) {
        struct joint *joint = info->held_by.items[i];
        const struct entry *main = joint->holds.to[0];
        bool hidden = joint->e.reach.count || joint->e.under.to_count || main != op->entry;
        if (hidden && !plan_info(main)->off && plan_info(joint)->where == unit &&
            !is_named(op, joint))
            *ARRAY_PUSH(w->maker->arena, &op->fixings) = &joint->e;
    }
    for (size_t i = 0; i < info->carried.count; i++)
        name_joints(w, op, info->carried.items[i], unit);
    for (size_t i = 0; i < held->with.to_count; i++) /* what it brings along */
        if (plan_as_part(held->with.to[i]) && plan_info(held->with.to[i])->brought_by == held)
            name_joints(w, op, (struct part *)held->with.to[i], unit);
}

/* Joints that hold the part, or what comes off on it, and would be forced by one who does not know of
 * them: reached through an opening or under another part, or told of what they hold first. Once that is
 * off they are plain to see. */
static void name_fixings(struct writer *w, struct operation *op, struct part *unit)
{
    name_joints(w, op, (struct part *)op->entry, unit);
    plan_info(op->entry)->off = true;
}

/* Timing is read as found before it is lost, where all that it depends on is there: at the mirror of
 * its last reading in the build. */
static bool is_found_timing(const struct setting *setting)
{
    if (!setting->at_text.text && !setting->marks.text)
        return false;
    for (size_t i = 0; i < setting->of.to_count; i++)
        if (plan_as_part(setting->of.to[i]) && !plan_was_there((struct part *)setting->of.to[i]))
            return false;
    return setting->of.to_count > 0;
}

static struct operation *as_found(struct writer *w, struct entry *entry)
{
    struct operation *op = plan_new_op(w, PHASE_STRIP, VERB_READ, entry, "strip");

    op->moment = MOMENT_STRIP;
    plan_info(entry)->as_found = true;
    return op;
}

static void undo(struct writer *w, const struct task *task)
{
    struct entry *entry = task->op.entry;
    struct operation *op = NULL;

    switch (task->op.verb) {
    case VERB_FIT:
        if (plan_was_there((struct part *)entry))
            op = plan_new_op(w, PHASE_STRIP, VERB_REMOVE, entry, NULL);
        if (op)
            name_fixings(w, op, plan_op_unit(&task->op));
        break;
    case VERB_REMOVE: /* a slave part: in again before what it helps comes out */
        if (plan_was_there((struct part *)entry))
            op = plan_new_op(w, PHASE_STRIP, VERB_FIT, entry, "strip");
        break;
    case VERB_TIGHTEN:
        if (holds_any((struct joint *)entry))
            op = plan_new_op(w, PHASE_STRIP, VERB_SLACKEN, entry, NULL);
        break;
    case VERB_READ:
        if (task->op.moment == MOMENT_ASSEMBLED && entry->kind == ENTRY_LIMIT &&
            ((struct limit *)entry)->when & MOMENT_STRIP)
            op = as_found(w, entry);
        break;
    case VERB_SET:
    case VERB_READ_AGAIN:
        if (entry->kind == ENTRY_SETTING && !plan_info(entry)->as_found &&
            is_found_timing((struct setting *)entry))
            op = as_found(w, entry);
        break;
    default:
        break;
    }
    if (op)
        op->unit = task->op.unit;
}

static void strip(struct writer *w)
{
    for (size_t i = w->maker->order.count; i > 0; i--)
        undo(w, w->maker->order.items[i - 1]);
}

/* ---------- trials ---------- */

static bool left_out(const struct trial *trial, const struct seal *seal)
{
    return plan_has(&trial->without, &seal->e) || !seal->gasket.count ||
           plan_has(&trial->without, seal->gasket.to[0]);
}

/* What of the build is done in the trial too, in the order of the build. */
static bool is_tried(const struct trial *trial, const struct task *task)
{
    switch (task->op.verb) {
    case VERB_FIT:
        return plan_trial_holds(trial, (struct part *)task->op.entry);
    case VERB_SEAL: {
        const struct seal *seal = (const struct seal *)task->op.entry;
        struct part *last = plan_as_part(seal->between.to[seal->between.to_count - 1]);
        return last && plan_trial_holds(trial, last) && !left_out(trial, seal);
    }
    case VERB_TIGHTEN:
        return plan_has(&trial->joints, task->op.entry);
    case VERB_LOCK:
        return trial->locks.value && plan_has(&trial->joints, task->op.entry);
    default:
        return false;
    }
}

static void in_trial(struct operation *op, struct trial *trial)
{
    op->trial = trial;
    plan_set_unit(op, plan_info(trial)->where);
}

static void trial_readings(struct writer *w, struct trial *trial)
{
    for (size_t i = 0; i < trial->finds.to_count; i++) {
        struct entry *entry = trial->finds.to[i];
        bool only = plan_info(entry)->found_by.count < 2;
        enum verb verb = entry->kind == ENTRY_SETTING ? VERB_SET : VERB_READ;
        if (entry->kind != ENTRY_LIMIT && entry->kind != ENTRY_FIT && entry->kind != ENTRY_SETTING)
            continue;
        struct operation *op =
            plan_new_op(w, PHASE_TRIAL, verb, entry,
                   only ? "trial" : plan_cause(entry, &trial->e));
        op->moment = MOMENT_TRIAL;
        in_trial(op, trial);
    }
}

static void write_trial(struct writer *w, struct task *task)
{
    struct trial *trial = (struct trial *)task->op.entry;
    const struct maker *maker = w->maker;
    struct { struct task **items; size_t count, room; } tried = {0};

    in_trial(plan_write_op(w, PHASE_TRIAL, &task->op), trial);
    for (size_t i = 0; i < maker->order.count; i++)
        if (is_tried(trial, maker->order.items[i]))
            *ARRAY_PUSH(maker->arena, &tried) = maker->order.items[i];
    for (size_t i = 0; i < tried.count; i++)
        in_trial(plan_new_op(w, PHASE_TRIAL, tried.items[i]->op.verb, tried.items[i]->op.entry,
                        plan_cause(tried.items[i]->op.entry, &trial->e)),
                 trial);
    trial_readings(w, trial);
    for (size_t i = tried.count; i > 0; i--) {
        const struct operation *op = &tried.items[i - 1]->op;
        if (op->verb == VERB_FIT || op->verb == VERB_TIGHTEN)
            in_trial(plan_new_op(w, PHASE_TRIAL, op->verb == VERB_FIT ? VERB_REMOVE : VERB_SLACKEN,
                            op->entry, plan_cause(op->entry, &trial->e)),
                     trial);
    }
}

/* ---------- the build, and what is set when it is done ---------- */

/* A setting that says `reach: outside` is made when the build is done, unless it is brought right by a
 * joint, concerns a unit on the bench, or something of the build waits for it. */
static void find_set_last(struct maker *maker)
{
    const struct plan *plan = maker->plan;
    bool more = false;

    for (size_t i = 0; i < maker->spec->settings.count; i++) {
        struct setting *setting = maker->spec->settings.items[i];
        struct info *info = plan_info(setting);
        info->set_last = setting->e.reach_outside && !setting->by.count && !info->where;
        more = more || info->set_last;
    }
    while (more) {
        more = false;
        for (size_t i = 0; i < plan->precedences.count; i++) {
            struct info *info = plan_info(plan->precedences.items[i].before->entry);
            if (info->set_last && !plan_info(plan->precedences.items[i].after->entry)->set_last) {
                info->set_last = false;
                more = true;
            }
        }
    }
}

static void build(struct writer *w)
{
    const struct maker *maker = w->maker;

    for (size_t i = 0; i < maker->order.count; i++) {
        struct task *task = maker->order.items[i];
        if (task->op.verb == VERB_TRIAL)
            write_trial(w, task);
        else if (!task->ghost && !plan_info(task->op.entry)->set_last)
            plan_write_op(w, PHASE_FINAL, &task->op);
    }
    for (size_t i = 0; i < maker->order.count; i++)
        if (plan_info(maker->order.items[i]->op.entry)->set_last)
            plan_write_op(w, PHASE_SET, &maker->order.items[i]->op);
}

/* ---------- first run ---------- */

/* Due later: by hours or date, or after a run that is. */
static bool is_due(const struct run *run, size_t depth)
{
    if (run->due.present || run->or_by.present)
        return true;
    for (size_t i = 0; depth < BOUND_CHAIN && i < run->e.after.to_count; i++)
        if (run->e.after.to[i]->kind == ENTRY_RUN &&
            is_due((const struct run *)run->e.after.to[i], depth + 1))
            return true;
    return false;
}

static void write_run(struct writer *w, struct run *run, enum phase phase)
{
    plan_new_op(w, phase, VERB_RUN, &run->e, NULL);
    if (run->e.witness.text)
        plan_new_op(w, phase, VERB_WITNESS, &run->e, NULL);
    plan_follow_up(w, run);
}

static bool may_run(const struct run *run, const struct run *other, const bool *done,
                    const struct spec *spec)
{
    for (size_t i = 0; i < spec->runs.count; i++)
        if (spec->runs.items[i] == other && !done[i] &&
            (plan_has(&run->e.after, other) || plan_has(&other->e.before, run)))
            return false;
    return true;
}

/* Runs in file order where `after` and `before` leave the choice; false when they lead in a
 * circle. */
static bool next_run(struct writer *w, bool *done, enum phase phase)
{
    const struct spec *spec = w->maker->spec;

    for (size_t i = 0; i < spec->runs.count; i++) {
        bool free = !done[i] && is_due(spec->runs.items[i], 0) == (phase == PHASE_FOLLOW_UP);
        for (size_t k = 0; free && k < spec->runs.count; k++)
            free = may_run(spec->runs.items[i], spec->runs.items[k], done, spec);
        if (!free)
            continue;
        done[i] = true;
        write_run(w, spec->runs.items[i], phase);
        return true;
    }
    return false;
}

static void running_readings(struct writer *w)
{
    for (size_t i = 0; i < w->maker->spec->limits.count; i++) {
        struct limit *limit = w->maker->spec->limits.items[i];
        if (limit->when & MOMENT_RUNNING)
            plan_new_op(w, PHASE_FIRST_RUN, VERB_READ, &limit->e, "running")->moment = MOMENT_RUNNING;
    }
}

static void runs(struct writer *w)
{
    const struct spec *spec = w->maker->spec;
    bool *done = ARENA_ARRAY(w->maker->arena, bool, spec->runs.count + 1);

    while (next_run(w, done, PHASE_FIRST_RUN))
        ;
    running_readings(w);
    while (next_run(w, done, PHASE_FOLLOW_UP))
        ;
    for (size_t i = 0; i < spec->runs.count; i++)
        if (!done[i]) {
            struct diag *diag =
                diag_add(&w->maker->context->diags, DIAG_PLAN_LOOP, spec->runs.items[i]->e.span,
                         "%s waits for a run that waits for it", spec->runs.items[i]->e.member);
            diag_hint(&w->maker->context->diags, diag, "drop one of the two `after`");
            return;
        }
}

void plan_write_out(struct maker *maker)
{
    struct writer w = {.maker = maker};

    find_set_last(maker);
    plan_take_stock(&w);
    strip(&w);
    plan_prepare(&w);
    build(&w);
    runs(&w);
}
