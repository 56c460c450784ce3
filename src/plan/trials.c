/* trials.c - trial builds (implication 14 of specs/LANGUAGE.md section 6): what must stand before
 * one, what waits for what it finds, and whether it can be undone. */
#include "plan_private.h"

/* Whether the part goes in on this trial: listed, not left out, not what the trial is to find. */
bool plan_trial_holds(const struct trial *trial, const struct part *part)
{
    if (!plan_has(&trial->of, part) || plan_has(&trial->without, part))
        return false;
    for (size_t i = 0; i < trial->finds.to_count; i++)
        if (trial->finds.to[i]->kind == ENTRY_LIMIT &&
            plan_has_picked((const struct limit *)trial->finds.to[i], part))
            return false;
    return true;
}

/* ---------- a tight fit cannot come apart again ---------- */

bool plan_is_tight(const struct maker *maker, const struct fit *fit)
{
    const struct fit_values *values = build_fit(maker->build, fit);

    if (values && values->kind)
        return str_equal(values->kind, "interference");
    return fit->want.present && fit->want.value.high.exact < 0;
}

/* The listed part that carries `part` in, or NULL. */
static struct part *goes_with(const struct trial *trial, struct part *part)
{
    for (part = plan_solid(part); part; part = plan_info(part)->carrier)
        if (plan_trial_holds(trial, part))
            return part;
    return NULL;
}

static void refuse_tight_fits(struct maker *maker, struct trial *trial)
{
    for (size_t i = 0; i < maker->spec->fits.count; i++) {
        const struct fit *fit = maker->spec->fits.items[i];
        if (!fit->inner.part || !fit->outer.part)
            continue;
        struct part *inner = goes_with(trial, fit->inner.part);
        struct part *outer = goes_with(trial, fit->outer.part);
        if (inner == outer || !plan_is_tight(maker, fit))
            continue;
        struct diag *diag = diag_add(&maker->context->diags, DIAG_PLAN_TRIAL_TIGHT, trial->of.span,
                                     "trial %s cannot be undone: %s has a tight fit, %s",
                                     trial->e.member, (inner ? inner : outer)->e.member,
                                     fit->e.member);
        diag_label(&maker->context->diags, diag, fit->e.span, "the fit");
        diag_hint(&maker->context->diags, diag,
                  "leave %s out of the trial, and try it before it is pressed home",
                  (inner ? inner : outer)->e.member);
    }
}

static void refuse_fixtures(struct maker *maker, struct trial *trial)
{
    for (size_t i = 0; i < trial->of.to_count; i++) {
        struct part *part = plan_as_part(trial->of.to[i]);
        if (!part || plan_info(part)->fit)
            continue;
        struct diag *diag = diag_add(&maker->context->diags, DIAG_PLAN_TRIAL_FIXED, trial->of.span,
                                     "trial %s cannot be undone: %s never comes off",
                                     trial->e.member, part->e.member);
        diag_hint(&maker->context->diags, diag, "take %s out of the trial: it is there anyway",
                  part->e.member);
    }
}

/* ---------- order ---------- */

/* Tasks of a unit that wait for what the trial finds, and so cannot be done before it. */
static bool *waiting_for(struct maker *maker, const struct trial *trial)
{
    bool *waits = ARENA_ARRAY(maker->arena, bool, maker->tasks.count);
    bool grew = false;

    for (size_t i = 0; i < trial->finds.to_count; i++) {
        const struct limit *limit = (const struct limit *)trial->finds.to[i];
        for (size_t k = 0; trial->finds.to[i]->kind == ENTRY_LIMIT && k < limit->pick.to_count; k++) {
            struct info *info = plan_info(limit->pick.to[k]);
            if (info->fit && info->carrier) /* only within units: elsewhere the order sees to it */
                grew = waits[info->fit->index] = true;
        }
    }
    while (grew) {
        grew = false;
        for (size_t i = 0; i < maker->plan->precedences.count; i++) {
            const struct precedence *edge = &maker->plan->precedences.items[i];
            size_t before = ((struct task *)edge->before)->index;
            size_t after = ((struct task *)edge->after)->index;
            if (waits[before] && !waits[after])
                grew = waits[after] = true;
        }
    }
    return waits;
}

/* Parts come as made up: all of their units that does not wait for the trial. */
static void units_made_up(struct maker *maker, struct trial *trial, struct task *task)
{
    bool *waits = waiting_for(maker, trial);

    for (size_t i = 0; i < maker->tasks.count; i++) {
        struct task *made = maker->tasks.items[i];
        if (!made->op.unit || made->ghost || waits[i] || made == task ||
            !goes_with(trial, plan_op_unit(&made->op)))
            continue;
        if (plan_inside(plan_info(trial)->where, plan_op_unit(&made->op)))
            continue; /* the trial itself is made within that unit */
        plan_edge(maker, 14, made, task, trial->of.span, "%s comes to trial %s as made up",
                  made->op.unit->member, trial->e.member);
    }
}

static void stands_on(struct maker *maker, struct trial *trial, struct task *task)
{
    struct info *info = plan_info(trial);

    for (size_t i = 0; i < trial->of.to_count; i++) {
        struct part *part = plan_as_part(trial->of.to[i]);
        struct part *host = part ? plan_solid(part->host) : NULL;
        if (!host || goes_with(trial, host) || plan_has(&trial->of, host) ||
            str_equal(trial->where.text, "bench"))
            continue;
        struct parts hosts = {0};
        *ARRAY_PUSH(maker->arena, &hosts) = host;
        plan_in_and_tight(maker, 14, task, info->where, &hosts, NULL);
    }
}

static void finds(struct maker *maker, struct trial *trial, struct task *task,
                  struct limit *limit)
{
    struct info *info = plan_info(trial);
    struct parts parts = {0};

    plan_parts_of(maker, &limit->e, &parts);
    for (size_t i = 0; i < parts.count; i++) {
        struct part *part = parts.items[i];
        if (!plan_info(part)->placed || goes_with(trial, part) || plan_has(&trial->of, part) ||
            plan_has(&trial->without, part) || plan_has_picked(limit, part))
            continue;
        plan_edge(maker, 14, plan_at_hand(part, info->where), task, trial->finds.span,
                  "trial %s finds %s, for which %s is in", trial->e.member, limit->e.member,
                  part->e.member);
    }
    if (!(limit->when & MOMENT_BENCH)) /* it picks at the first of bench, trial */
        for (size_t i = 0; i < limit->pick.to_count; i++) {
            struct entering in = {0};
            if (plan_as_part(limit->pick.to[i]))
                plan_entering(maker, (struct part *)limit->pick.to[i], &in);
            for (size_t k = 0; k < in.count; k++)
                plan_edge(maker, 14, task, in.items[k], trial->finds.span,
                          "trial %s finds which %s is fitted", trial->e.member,
                          limit->pick.to[i]->member);
        }
}

static void trial_order(struct maker *maker, struct trial *trial)
{
    struct info *info = plan_info(trial);
    struct task *task = info->first;

    refuse_fixtures(maker, trial);
    refuse_tight_fits(maker, trial);
    plan_set_unit(&task->op, info->where);
    for (size_t i = 0; i < trial->of.to_count; i++)
        if (plan_as_part(trial->of.to[i]))
            plan_edge(maker, 14, task, plan_info(trial->of.to[i])->fit, trial->of.span,
                      "%s is tried in trial %s before it is finally fitted",
                      trial->of.to[i]->member, trial->e.member);
    for (size_t i = 0; i < trial->joints.to_count; i++)
        plan_edge(maker, 14, task, plan_info(trial->joints.to[i])->first, trial->joints.span,
                  "%s is tightened in trial %s first", trial->joints.to[i]->member,
                  trial->e.member);
    stands_on(maker, trial, task);
    for (size_t i = 0; i < trial->finds.to_count; i++)
        if (trial->finds.to[i]->kind == ENTRY_LIMIT) {
            struct limit *limit = (struct limit *)trial->finds.to[i];
            *ARRAY_PUSH(maker->arena, &plan_info(limit)->found_by) = trial;
            finds(maker, trial, task, limit);
        }
    units_made_up(maker, trial, task);
}

void plan_trials(struct maker *maker)
{
    for (size_t i = 0; i < maker->spec->trials.count; i++)
        trial_order(maker, maker->spec->trials.items[i]);
}
