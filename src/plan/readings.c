/* readings.c - what is read, set, proved and tried, and between what (implications 3, 7, 8, 9, 10
 * and 14 of specs/LANGUAGE.md section 6). */
#include "plan_private.h"

/* ---------- 8: readings ---------- */

static void before_entering(struct maker *maker, int implication, struct task *task,
                            struct part *part, struct span span, const char *how)
{
    struct entering in = {0};

    plan_entering(maker, part, &in);
    for (size_t i = 0; task && i < in.count; i++)
        plan_edge(maker, implication, task, in.items[i], span, "%s %s before %s goes in",
                  task->op.entry->member, how, part->e.member);
}

static void picked(struct maker *maker, struct task *task, const struct refs *pick)
{
    for (size_t i = 0; i < pick->to_count; i++)
        if (plan_as_part(pick->to[i]))
            before_entering(maker, 8, task, plan_as_part(pick->to[i]), pick->span,
                            "picks, so it is read");
}

/* A fit is checked before its parts meet: before the later of the two goes to the other. Where
 * one sits in the other that is the one that sits; else the later in the file, which can only be
 * too early, never too late. */
static void fit_before_meeting(struct maker *maker, struct fit *fit)
{
    struct info *info = plan_info(fit);
    struct part *inner = plan_solid(fit->inner.part), *outer = plan_solid(fit->outer.part);

    if (!info->bench)
        return;
    struct part *common = plan_common(plan_unit_of(inner), plan_unit_of(outer));
    struct task *a = plan_arrival(inner, common), *b = plan_arrival(outer, common);
    if (a && b)
        b = a->rank > b->rank ? a : b;
    plan_edge(maker, 8, info->bench, b ? b : a, fit->e.span, "%s is checked before its parts meet",
              fit->e.member);
    picked(maker, info->bench, &fit->pick);
}

/* Default reach of a reading: the `through` of the first part it is of that has one, as a joint
 * takes that of the first part it holds; none where one of these parts closes it. */
static const struct part *default_reach(const struct parts *parts)
{
    const struct part *first = NULL;

    for (size_t i = 0; i < parts->count && !first; i++)
        if (parts->items[i]->through.count)
            first = parts->items[i];
    if (!first || first->through.to[0]->kind != ENTRY_OPENING)
        return NULL;
    const struct opening *opening = (const struct opening *)first->through.to[0];
    for (size_t k = 0; k < opening->closer_count; k++)
        for (size_t j = 0; j < parts->count; j++)
            if (parts->items[j] == opening->closers[k])
                return NULL;
    return first;
}

static bool says_reach(const struct entry *entry)
{
    return entry->reach.text || entry->reach_outside;
}

const struct ref *plan_reach_of(struct maker *maker, struct entry *entry,
                                const struct part **from)
{
    struct parts parts = {0};
    const struct part *first;

    if (from)
        *from = NULL;
    if (says_reach(entry))
        return entry->reach.count && entry->reach.to[0]->kind == ENTRY_OPENING ? &entry->reach
                                                                               : NULL;
    plan_parts_of(maker, entry, &parts);
    first = default_reach(&parts);
    if (from)
        *from = first;
    return first ? &first->through : NULL;
}

static void reached(struct maker *maker, int implication, struct task *task, struct part *unit,
                    bool defaults)
{
    struct entry *entry = task->op.entry;
    const struct part *from = NULL;
    const struct ref *reach =
        defaults || says_reach(entry) ? plan_reach_of(maker, entry, &from) : NULL;

    if (reach)
        plan_before_closing(
            maker, &(struct closing){implication, from, task, unit, NULL, reach->span},
            (struct opening *)reach->to[0]);
}

/* 7: nipped, brought right, then tight and locked. */
static void bring_right(struct maker *maker, struct task *made, const struct ref *by)
{
    for (size_t i = 0; i < by->count; i++) {
        struct joint *joint = plan_as_joint(by->to[i]);
        bool quick = false;
        if (!joint)
            continue;
        struct info *info = plan_info(joint);
        for (size_t k = 0; k < info->faces.count; k++)
            quick = quick || plan_open_time_s(info->faces.items[k]) > 0;
        plan_edge(maker, 7, info->nip, made, by->span, "%s is brought right when %s is nipped",
                  made->op.entry->member, joint->e.member);
        for (size_t k = 0; k < info->in_turns.count; k++)
            plan_edge(maker, 7, made, plan_info(info->in_turns.items[k])->tighten, by->span,
                      "%s is brought right before %s is tight", made->op.entry->member,
                      info->in_turns.items[k]->e.member);
        if (quick) /* within the open time of the face that the joint pulls */
            plan_glue(maker, 7, made, info->tighten, by->span,
                      "%s is brought right before %s is tight", made->op.entry->member,
                      joint->e.member);
        else
            plan_edge(maker, 7, made, info->tighten, by->span,
                      "%s is brought right before %s is tight", made->op.entry->member,
                      joint->e.member);
    }
}

static struct joint *by_joint(const struct ref *by)
{
    return by->count ? plan_as_joint(by->to[0]) : NULL;
}

static void limit_order(struct maker *maker, struct limit *limit)
{
    struct info *info = plan_info(limit);
    struct parts parts = {0};
    struct joint *by = by_joint(&limit->by);

    plan_parts_of(maker, &limit->e, &parts);
    for (size_t i = 0; info->bench && i < parts.count; i++)
        before_entering(maker, 8, info->bench, parts.items[i], limit->e.span,
                        "is read on the bench");
    if (info->bench)
        picked(maker, info->bench, &limit->pick);
    if (info->made) {
        plan_in_and_tight(maker, 7, info->made, info->where, &parts, by);
        bring_right(maker, info->made, &limit->by);
        plan_edge(maker, 7, info->made, info->assembled, limit->by.span,
                  "%s is brought right before it is read", limit->e.member);
        reached(maker, 7, info->made, info->where, true);
    }
    if (info->assembled) {
        plan_in_and_tight(maker, 8, info->assembled, info->where, &parts, NULL);
        if (by)
            plan_edge(maker, 7, plan_info(by)->last, info->assembled, limit->by.span,
                      "%s is read again when %s is tight and locked", limit->e.member,
                      by->e.member);
        reached(maker, 8, info->assembled, info->where, true);
    }
}

/* ---------- 9: settings ---------- */

void plan_setting_hidden(struct maker *maker, struct setting *setting, struct task *task,
                         struct part *unit)
{
    reached(maker, 9, task, unit, true);
    for (size_t i = 0; i < setting->e.under.to_count; i++) {
        struct part *over = plan_as_part(setting->e.under.to[i]);
        if (over)
            plan_edge(maker, 9, task, plan_at_hand(over, unit), setting->e.under.span,
                      "%s is read before %s hides it", setting->e.member, over->e.member);
    }
}

static void setting_order(struct maker *maker, struct setting *setting)
{
    struct info *info = plan_info(setting);
    struct parts parts = {0};
    struct joint *by = by_joint(&setting->by);

    plan_parts_of(maker, &setting->e, &parts);
    plan_in_and_tight(maker, 9, info->made, info->where, &parts, by);
    bring_right(maker, info->made, &setting->by);
    if (by && info->assembled)
        plan_edge(maker, 7, plan_info(by)->last, info->assembled, setting->by.span,
                  "%s is read again when %s is tight and locked", setting->e.member,
                  by->e.member);
    plan_setting_hidden(maker, setting, info->last, info->where);
}

/* ---------- 10: passages ---------- */

static void piece_loose(struct maker *maker, struct passage *passage, struct task *prove,
                        struct part *part)
{
    struct info *info = plan_info(part);

    plan_edge(maker, 10, prove, info->fit, passage->path.span, "%s is proved in %s loose",
              passage->e.member, part->e.member);
    for (size_t i = 0; i < info->children.count; i++) {
        struct part *child = info->children.items[i];
        bool plug = child->out_for.text && plan_has(&child->closes, &passage->e);
        plan_edge(maker, 10, prove, plan_info(child)->fit,
                  plug ? child->out_for.span : passage->path.span,
                  plug ? "%s is proved in %s before %s goes back"
                       : "%s is proved in %s before %s goes on it",
                  passage->e.member, part->e.member, child->e.member);
    }
}

static void gasket_seen(struct maker *maker, struct passage *passage, struct task *prove,
                        struct part *gasket)
{
    for (size_t i = 0; i < gasket->sealed_by_count; i++) {
        struct seal *seal = gasket->sealed_by[i];
        struct info *info = plan_info(seal);
        if (!info->lay || !seal->between.to_count)
            continue;
        plan_set_unit(&prove->op, info->where);
        plan_glue(maker, 10, info->lay, prove, passage->path.span,
                  "the hole of %s is seen over the drilling as it goes on", gasket->e.member);
        plan_glue(maker, 10, prove, plan_info(seal->between.to[seal->between.to_count - 1])->fit,
                  passage->path.span, "the hole of %s is seen before it is covered",
                  gasket->e.member);
    }
}

/* What is sealed across the way has cured before the whole of it is proved. */
static void cured_across(struct maker *maker, struct passage *passage, const struct part *piece)
{
    for (size_t i = 0; i < piece->seal_count; i++) {
        struct seal *seal = piece->seals[i];
        const struct entry *first = NULL;
        size_t faces = 0;
        for (size_t k = 0; plan_info(seal)->cure && k < seal->between.to_count; k++) {
            if (!plan_has(&passage->path, seal->between.to[k]))
                continue;
            first = faces++ ? first : seal->between.to[k];
        }
        if (faces > 1 && first == &piece->e)
            plan_edge(maker, 5, plan_info(seal)->cure, plan_info(passage)->whole, seal->e.span,
                      "%s must have cured before %s is proved", seal->e.member,
                      passage->e.member);
    }
}

static void whole_way(struct maker *maker, struct passage *passage)
{
    struct info *info = plan_info(passage);
    struct parts parts = {0};

    plan_parts_of(maker, &passage->e, &parts);
    plan_in_and_tight(maker, 10, info->whole, info->where, &parts, NULL);
    for (size_t i = 0; i < passage->path.to_count; i++)
        if (plan_as_part(passage->path.to[i]))
            cured_across(maker, passage, plan_as_part(passage->path.to[i]));
    reached(maker, 10, info->whole, info->where, false);
}

static void passage_order(struct maker *maker, struct passage *passage)
{
    struct info *info = plan_info(passage);

    for (size_t i = info->bench ? info->bench->index : 0;
         info->bench && maker->tasks.items[i] != info->whole; i++) {
        struct task *prove = maker->tasks.items[i];
        struct part *part = (struct part *)prove->op.object;
        if (plan_info(part)->placed)
            piece_loose(maker, passage, prove, part);
        else
            gasket_seen(maker, passage, prove, part);
        plan_edge(maker, 10, prove, info->whole, passage->path.span,
                  "%s is proved piece by piece before it is proved whole", passage->e.member);
    }
    whole_way(maker, passage);
}

static void step_order(struct maker *maker, struct step *step)
{
    struct info *info = plan_info(step);

    bring_right(maker, info->last, &step->by);
    for (size_t i = 0; i < step->of.to_count; i++) {
        struct part *part = plan_as_part(step->of.to[i]);
        /* What says that it comes before a part is not done to it in its place. */
        if (part && !plan_has(&step->e.before, part) && plan_info(part)->placed)
            plan_edge(maker, 3, plan_at_hand(part, info->where), info->first, step->of.span,
                      "%s is done to %s", step->e.member, part->e.member);
    }
    reached(maker, 4, info->last, info->where, false);
}

/* The unit in which a task is done. A slave part comes out where what it helps is done, which may be
 * a slave part again. */
static struct part *place_of(const struct maker *maker, const struct task *task)
{
    const struct info *info = plan_info(task->op.entry);
    const struct part *slave = plan_as_part(task->op.entry);
    bool out = task->op.verb == VERB_REMOVE || task->op.verb == VERB_WITNESS;
    struct part *unit = slave ? info->carrier : info->where;

    for (size_t i = 0; out && slave && slave->until.count && i < maker->spec->parts.count; i++) {
        const struct info *helped = plan_info(slave->until.to[0]);
        slave = plan_as_part(helped->entry);
        unit = plan_common(unit, slave ? helped->carrier : helped->where);
    }
    return unit;
}

/* 3: what is done within a unit is done before the unit goes in. */
static void before_units(struct maker *maker)
{
    for (size_t i = 0; i < maker->tasks.count; i++) {
        struct task *task = maker->tasks.items[i];
        bool cure = task->op.verb == VERB_WAIT && task->op.entry->kind == ENTRY_SEAL;
        if (task->class == TASK_LOOSE) {
            task->op.loose = true;
            continue;
        }
        if (!cure && !task->op.unit)
            plan_set_unit(&task->op, place_of(maker, task));
        if (task->op.unit && task->op.verb != VERB_FIT)
            plan_edge(maker, 3, task, plan_info(task->op.unit)->fit, task->op.entry->span,
                      "%s concerns only %s, which is finished before it goes in",
                      task->op.entry->member, task->op.unit->member);
    }
}

void plan_readings(struct maker *maker)
{
    const struct spec *spec = maker->spec;

    for (size_t i = 0; i < spec->fits.count; i++)
        fit_before_meeting(maker, spec->fits.items[i]);
    for (size_t i = 0; i < spec->limits.count; i++)
        limit_order(maker, spec->limits.items[i]);
    for (size_t i = 0; i < spec->settings.count; i++)
        setting_order(maker, spec->settings.items[i]);
    for (size_t i = 0; i < spec->passages.count; i++)
        passage_order(maker, spec->passages.items[i]);
    for (size_t i = 0; i < spec->steps.count; i++)
        step_order(maker, spec->steps.items[i]);
    before_units(maker);
}
