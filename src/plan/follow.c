/* follow.c - the follow-up card of a run: what lies over the joints that are tightened again comes
 * off, they are tightened, what hides the settings that this upsets comes off, and all goes back with
 * new locks and gaskets while the settings are read again where they can be seen. */
#include "plan_private.h"

/* Marks what must come off before `part` can: the parts that hosts, openings, clearances and faces
 * put on after it (implications 1, 4 and 5), and so on outwards. */
static void mark_over(struct maker *maker, struct part *part, bool *off)
{
    struct { struct task **items; size_t count, room; } queue = {0};
    const struct plan_graph *graph = plan_plain(maker);
    struct task *arrives = part->until.count ? NULL : plan_arrival(part, NULL);

    /* with the unit that carries it; a slave part is out already */
    if (!arrives || off[arrives->index])
        return;
    *ARRAY_PUSH(maker->arena, &queue) = arrives;
    off[arrives->index] = true;
    while (queue.count) {
        size_t at = queue.items[--queue.count]->index;
        for (size_t e = graph->start[at]; e < graph->start[at + 1]; e++) {
            const struct precedence *edge = &maker->plan->precedences.items[graph->edge[e]];
            struct task *next = (struct task *)edge->after;
            bool metal = edge->implication == 1 || edge->implication == 4 || edge->implication == 5;
            bool solid = next->op.verb == VERB_FIT || next->op.verb == VERB_SEAL;
            if (!metal || !solid || off[next->index])
                continue;
            off[next->index] = true;
            *ARRAY_PUSH(maker->arena, &queue) = next;
        }
    }
}

/* What lies over a joint: what it is under, and what closes the opening it is reached through. */
static void mark_over_joint(struct maker *maker, struct joint *joint, bool *off)
{
    struct part *main = joint->holds.to_count ? plan_as_part(joint->holds.to[0]) : NULL;
    const struct ref *reach = joint->e.reach.count ? &joint->e.reach
                              : main && !joint->e.reach_outside ? &main->through
                                                                : NULL;

    for (size_t i = 0; i < joint->e.under.to_count; i++)
        if (plan_as_part(joint->e.under.to[i]))
            mark_over(maker, (struct part *)joint->e.under.to[i], off);
    if (!reach || !reach->count || reach->to[0]->kind != ENTRY_OPENING)
        return;
    struct opening *opening = (struct opening *)reach->to[0];
    for (size_t i = 0; i < opening->closer_count; i++)
        if (!plan_has(&joint->holds, opening->closers[i]))
            mark_over(maker, opening->closers[i], off);
}

static const struct again *again_at(const struct joint *joint, const struct run *run)
{
    for (size_t i = 0; i < joint->again.count; i++)
        if (plan_has_ref(&joint->again.items[i].run, &run->e))
            return &joint->again.items[i];
    return NULL;
}

static bool comes_off(const struct entry *part, const bool *off)
{
    return plan_as_part(part) && plan_info(part)->fit && off[plan_info(part)->fit->index];
}

static bool comes_undone(const struct joint *joint, const bool *off)
{
    for (size_t i = 0; i < joint->holds.to_count; i++)
        if (comes_off(joint->holds.to[i], off))
            return true;
    return false;
}

/* Whether a task of the build is part of taking off and putting back. */
static bool is_redone(const struct task *task, const bool *off)
{
    const struct seal *seal = (const struct seal *)task->op.entry;

    switch (task->op.verb) {
    case VERB_FIT:
        return off[task->index] && !task->op.unit &&
               !((const struct part *)task->op.entry)->until.count;
    case VERB_SEAL:
        return comes_off(seal->between.to[seal->between.to_count - 1], off);
    case VERB_TIGHTEN:
    case VERB_LOCK:
    case VERB_WAIT:
    case VERB_RETIGHTEN:
        return task->op.entry->kind == ENTRY_JOINT &&
               comes_undone((const struct joint *)task->op.entry, off);
    default:
        return false;
    }
}

static bool any_in(const struct refs *refs, const bool *off, const struct run *run)
{
    for (size_t i = 0; i < refs->to_count; i++) {
        struct joint *joint = plan_as_joint(refs->to[i]);
        if (joint ? comes_undone(joint, off) || again_at(joint, run) : comes_off(refs->to[i], off))
            return true;
    }
    return false;
}

static bool is_upset(const struct setting *setting, const struct run *run, const bool *off)
{
    struct joint *by = setting->by.count ? plan_as_joint(setting->by.to[0]) : NULL;

    return any_in(&setting->of, off, run) || any_in(&setting->upset_by, off, run) ||
           (by && (comes_undone(by, off) || again_at(by, run)));
}

/* What hides a setting: what it is under, and what closes the opening it is reached through. */
static void mark_over_setting(struct maker *maker, struct setting *setting, bool *off)
{
    const struct ref *reach = plan_reach_of(maker, &setting->e, NULL);

    for (size_t i = 0; i < setting->e.under.to_count; i++)
        if (plan_as_part(setting->e.under.to[i]))
            mark_over(maker, (struct part *)setting->e.under.to[i], off);
    for (size_t i = 0; reach && i < ((struct opening *)reach->to[0])->closer_count; i++)
        mark_over(maker, ((struct opening *)reach->to[0])->closers[i], off);
}

/* Opening up for one setting may upset another: until no more is found. */
static bool *upset_settings(struct maker *maker, const struct run *run, bool *off)
{
    size_t count = maker->spec->settings.count;
    bool *upset = ARENA_ARRAY(maker->arena, bool, count + 1), more = true;

    while (more) {
        more = false;
        for (size_t i = 0; i < count; i++) {
            struct setting *setting = maker->spec->settings.items[i];
            if (upset[i] || !is_upset(setting, run, off))
                continue;
            upset[i] = more = true;
            mark_over_setting(maker, setting, off);
        }
    }
    return upset;
}

static void write(struct writer *w, enum verb verb, struct entry *entry, const struct run *run)
{
    struct operation *op = plan_new_op(w, PHASE_FOLLOW_UP, verb, entry, run->e.member);
    const struct info *info = plan_info(entry);

    op->object = (struct entry *)&run->e;
    for (size_t i = 0; verb == VERB_WAIT && info->retighten && i < w->maker->tasks.count; i++)
        if (w->maker->tasks.items[i]->op.verb == VERB_WAIT &&
            w->maker->tasks.items[i]->op.entry == entry)
            op->at_least_s = w->maker->tasks.items[i]->op.at_least_s;
}

/* Takes off what is marked in `off` and not yet in `gone`, in the order of the strip. */
static void take_off(struct writer *w, const struct run *run, const bool *off, const bool *gone)
{
    for (size_t i = w->maker->order.count; i > 0; i--) {
        const struct task *task = w->maker->order.items[i - 1];
        if (is_redone(task, off) && !is_redone(task, gone) &&
            (task->op.verb == VERB_FIT || task->op.verb == VERB_TIGHTEN))
            write(w, task->op.verb == VERB_FIT ? VERB_REMOVE : VERB_SLACKEN, task->op.entry, run);
    }
}

/* Those that want the engine hot come first: it is. */
static void retighten(struct writer *w, const struct run *run, const bool *off, bool hot)
{
    for (size_t i = 0; i < w->maker->order.count; i++) {
        const struct operation *op = &w->maker->order.items[i]->op;
        struct joint *joint = op->verb == VERB_TIGHTEN ? plan_as_joint(op->entry) : NULL;
        const struct again *again = joint ? again_at(joint, run) : NULL;
        if (!again || comes_undone(joint, off) || str_equal(again->engine_is.text, "hot") != hot)
            continue;
        write(w, VERB_RETIGHTEN, &joint->e, run);
        if (plan_locks_apart(joint))
            write(w, VERB_LOCK, &joint->e, run);
    }
}

/* All goes back in the order of the build; each setting is read again where the build did last. */
static void put_back(struct writer *w, const struct run *run, const bool *off, const bool *upset)
{
    const struct maker *maker = w->maker;
    bool *read = ARENA_ARRAY(maker->arena, bool, maker->tasks.count + 1);

    for (size_t i = 0; i < maker->spec->settings.count; i++)
        if (upset[i])
            read[plan_info(maker->spec->settings.items[i])->last->index] = true;
    for (size_t i = 0; i < maker->order.count; i++) {
        const struct task *task = maker->order.items[i];
        if (is_redone(task, off))
            write(w, task->op.verb, task->op.entry, run);
        if (read[task->index])
            write(w, VERB_READ_AGAIN, task->op.entry, run);
    }
}

void plan_follow_up(struct writer *w, struct run *run)
{
    struct maker *maker = w->maker;
    size_t count = maker->tasks.count + 1;
    bool *over = ARENA_ARRAY(maker->arena, bool, count), *none = ARENA_ARRAY(maker->arena, bool, count);
    bool *off = ARENA_ARRAY(maker->arena, bool, count), any = false;

    for (size_t i = 0; i < maker->spec->joints.count; i++)
        if (again_at(maker->spec->joints.items[i], run)) {
            mark_over_joint(maker, maker->spec->joints.items[i], over);
            mark_over_joint(maker, maker->spec->joints.items[i], off);
            any = true;
        }
    if (!any)
        return;
    bool *upset = upset_settings(maker, run, off);
    take_off(w, run, over, none);
    retighten(w, run, off, true);
    retighten(w, run, off, false);
    take_off(w, run, off, over);
    put_back(w, run, off, upset);
}
