/* amend.c - what the facts ask for only once an order is known: which part meets the other hot,
 * which setting is upset after it was made, which joint would be left untight. Each adds
 * precedences or operations, and the order is found again. */
#include "plan_private.h"

/* ---------- heat ---------- */

/* The operations by which the two parts of a fit come together. */
static void arrivals(const struct fit *fit, struct task **a, struct task **b)
{
    struct part *inner = plan_solid(fit->inner.part), *outer = plan_solid(fit->outer.part);

    if (!inner || !outer || inner == outer || !plan_info(inner)->placed ||
        !plan_info(outer)->placed)
        return;
    struct part *common = plan_common(plan_unit_of(inner), plan_unit_of(outer));
    *a = plan_arrival(inner, common);
    *b = plan_arrival(outer, common);
}

/* The one by which they meet: the later of the two. */
static struct task *meeting(const struct fit *fit)
{
    struct task *a = NULL, *b = NULL;

    arrivals(fit, &a, &b);
    return !a ? b : !b ? a : a->at > b->at ? a : b;
}

static struct task *other_arrival(const struct fit *fit, const struct task *meets)
{
    struct task *a = NULL, *b = NULL;

    arrivals(fit, &a, &b);
    return a == meets ? b : a;
}

static void heat_fit(struct maker *maker, struct fit *fit)
{
    struct task *meets = meeting(fit), *heat;

    bool heated = fit->heat.present;
    if ((!heated && !fit->chill.present) || !meets)
        return;
    const struct ref *ready = heated ? &fit->heat.part : &fit->chill.part;
    struct span span = heated ? fit->heat.span : fit->chill.span;
    const char *how = heated ? "hot" : "cold";
    heat = plan_task(maker, VERB_HEAT, TASK_FINISH, &fit->e,
                     str_print(maker->arena, "%s:%s", heated ? verb_word(VERB_HEAT) : "chill",
                               fit->e.member));
    heat->op.unit = meets->op.unit;
    heat->op.object = ready->count ? ready->to[0] : NULL;
    plan_edge(maker, 8, plan_info(fit)->bench, heat, span,
              "%s is checked before its parts are made %s", fit->e.member, how);
    for (size_t i = 0, count = maker->glues.count; i < count; i++) {
        const struct precedence *glue =
            &maker->plan->precedences.items[maker->glues.items[i].edge];
        if (glue->after == &meets->op) /* gaskets and sealant wait until the part is hot */
            plan_edge(maker, 8, heat, (struct task *)glue->before, span,
                      "the part is %s before %s goes on", how, glue->before->entry->member);
    }
    plan_glue(maker, 8, heat, meets, span, "the parts of %s meet while one is %s", fit->e.member,
              how);
    if (maker->cheapest) /* the other order would want the heat elsewhere */
        plan_edge_default(maker, 8, other_arrival(fit, meets), meets, span,
                          "the parts of %s meet in the order of the file", fit->e.member);
}

/* ---------- bores that pressing in closes ---------- */

static void note_pressed(struct maker *maker)
{
    for (size_t i = 0; i < maker->spec->fits.count; i++) {
        struct fit *fit = maker->spec->fits.items[i];
        if (fit->inner.part && plan_is_tight(maker, fit))
            *ARRAY_PUSH(maker->arena, &plan_info(fit->inner.part)->pressed_by) = fit;
    }
}

/* A bush is read when it is pressed home: pressing closes its bore. A default, where the facts leave
 * the choice; common practice, no source. */
static void read_pressed(struct maker *maker, struct fit *fit)
{
    struct task *read = plan_info(fit)->bench;

    for (size_t i = 0; read && fit->outer.part && i < plan_info(fit->outer.part)->pressed_by.count;
         i++) {
        const struct fit *press = plan_info(fit->outer.part)->pressed_by.items[i];
        struct task *pressed = press != fit ? meeting(press) : NULL;
        if (!pressed || plan_path(maker, read, pressed))
            continue;
        plan_edge_default(maker, 8, pressed, read, fit->e.span,
                          "%s is pressed in by %s, which closes its bore, so %s is read after it by "
                          "default",
                          fit->outer.part->e.member, press->e.member, fit->e.member);
    }
}

/* ---------- settings upset after they were made ---------- */

static bool has_reading(const struct setting *setting, const struct entry *upset)
{
    const struct info *info = plan_info(setting);

    for (size_t i = 0; i < info->upsets.count; i++)
        if (info->upsets.items[i] == upset)
            return true;
    return false;
}

/* The witness of a setting signs after its last reading: its block moves with it. */
static void move_witness(struct maker *maker, struct info *info, struct task *again)
{
    struct task *sign = info->last;

    if (sign->op.verb != VERB_WITNESS) {
        info->last = again;
        return;
    }
    for (size_t i = 0; i < maker->glues.count; i++) {
        struct glue *glue = &maker->glues.items[i];
        if (maker->plan->precedences.items[glue->edge].after != &sign->op)
            continue;
        glue->edge = maker->plan->precedences.count;
        plan_edge(maker, 11, again, sign, info->entry->witness.span,
                  "%s is witnessed directly after its last operation", info->entry->member);
        return;
    }
}

static void read_again(struct maker *maker, struct setting *setting, struct entry *upset)
{
    struct info *info = plan_info(setting);
    struct task *again =
        plan_task(maker, VERB_READ_AGAIN, TASK_FINISH, &setting->e,
                  str_print(maker->arena, "%s@%s", setting->e.member,
                            plan_cause(&setting->e, upset)));
    struct task *cause = plan_info(upset)->last;
    struct part *place = plan_as_part(upset) ? plan_info(upset)->carrier : plan_info(upset)->where;

    *ARRAY_PUSH(maker->arena, &info->upsets) = upset;
    again->op.object = upset;
    plan_set_unit(&again->op, plan_common(info->where, place));
    plan_edge(maker, 9, cause, again, setting->upset_by.span, "%s is read again after %s",
              setting->e.member, upset->member);
    plan_edge(maker, 9, info->made, again, setting->upset_by.span,
              "%s is made before it is read again", setting->e.member);
    plan_edge(maker, 9, again, again->op.unit ? plan_info(again->op.unit)->fit : NULL,
              setting->e.span, "%s concerns only %s", setting->e.member,
              again->op.unit ? again->op.unit->member : "");
    plan_setting_hidden(maker, setting, again, plan_op_unit(&again->op));
    move_witness(maker, info, again);
}

/* What upsets a setting is best done before it: a precedence by default, where the facts leave
 * the choice. Where they do not (`forced`), the setting is read again. */
static bool upset_later(struct maker *maker, struct setting *setting, bool forced)
{
    struct info *info = plan_info(setting);
    bool more = false;

    for (size_t i = 0; i < setting->upset_by.to_count; i++) {
        struct entry *upset = setting->upset_by.to[i];
        struct task *cause = plan_info(upset)->last;
        if (!cause || cause->at < info->made->at || plan_has_ref(&setting->by, upset) ||
            has_reading(setting, upset))
            continue;
        bool path = plan_path(maker, info->made, cause);
        if (path && forced)
            read_again(maker, setting, upset);
        else if (!path && !forced)
            plan_edge_default(maker, 9, cause, info->made, setting->upset_by.span,
                              "%s would upset %s, so it comes first by default", upset->member,
                              setting->e.member);
        else
            continue;
        more = true;
    }
    return more;
}

/* ---------- joints left untight ---------- */

/* When all that the joint needs is in, in the order found last. */
static size_t all_in_at(const struct joint *joint, const struct parts *parts)
{
    size_t at = 0;
    bool any = false;

    for (size_t i = 0; i < parts->count; i++) {
        struct task *in = plan_info(parts->items[i])->placed
                              ? plan_at_hand(parts->items[i], plan_info(joint)->where)
                              : NULL;
        if (in && (!any || in->at > at)) {
            at = in->at;
            any = true;
        }
    }
    return at;
}

static bool is_among(const struct parts *parts, const struct part *part)
{
    for (size_t i = 0; i < parts->count; i++)
        if (parts->items[i] == part)
            return true;
    return false;
}

/* No joint is left untight or unlocked when anything goes in what it holds, unless it waits for
 * what is brought right `by` it, or the facts put that part before it. */
static bool left_untight(struct maker *maker, struct joint *joint)
{
    struct info *info = plan_info(joint);
    struct parts parts = {0};
    size_t before = maker->plan->precedences.count;

    bool brought = info->brought;
    for (size_t i = 0; i < info->in_turns.count; i++)
        brought = brought || plan_info(info->in_turns.items[i])->brought;
    if (brought || !info->last)
        return false;
    plan_parts_of(maker, &joint->e, &parts);
    size_t in = all_in_at(joint, &parts);
    for (size_t i = 0; i < joint->holds.to_count; i++) {
        struct part *held = plan_as_part(joint->holds.to[i]);
        for (size_t k = 0; held && k < plan_info(held)->children.count; k++) {
            struct part *child = plan_info(held)->children.items[k];
            struct task *goes = plan_info(child)->fit;
            if (!goes || goes->at <= in || goes->at > info->last->at || is_among(&parts, child) ||
                plan_path(maker, goes, info->last))
                continue;
            plan_edge(maker, 6, info->last, goes, joint->holds.span,
                      "%s holds %s and is tight before anything more goes on it", joint->e.member,
                      held->e.member);
        }
    }
    return maker->plan->precedences.count != before;
}

bool plan_amend(struct maker *maker)
{
    const struct spec *spec = maker->spec;
    bool more = false;

    if (!maker->heated) {
        size_t tasks = maker->tasks.count, known = maker->plan->precedences.count;
        maker->heated = true;
        note_pressed(maker);
        for (size_t i = 0; i < spec->fits.count; i++)
            read_pressed(maker, spec->fits.items[i]);
        for (size_t i = 0; i < spec->fits.count; i++)
            heat_fit(maker, spec->fits.items[i]);
        if (maker->tasks.count != tasks || maker->plan->precedences.count != known)
            return true;
    }
    for (size_t i = 0; i < spec->joints.count; i++)
        more = left_untight(maker, spec->joints.items[i]) || more;
    for (int forced = 0; forced < 2 && !more; forced++)
        for (size_t i = 0; i < spec->settings.count; i++)
            more = upset_later(maker, spec->settings.items[i], forced) || more;
    return more;
}
