/* edges.c - precedences: one before, one after, because. */
#include "plan_private.h"

static void add(struct maker *maker, int implication, bool by_default, struct task *before,
                struct task *after, struct span span, const char *reason)
{
    struct precedence *edge = ARRAY_PUSH(maker->arena, &maker->plan->precedences);

    *edge = (struct precedence){&before->op, &after->op, (uint8_t)implication, by_default, reason,
                                span};
}

/* What goes in at the same moment orders nothing; `after` itself is the user's own loop. */
static bool silent(const struct maker *maker, int implication, const struct task *before,
                   const struct task *after)
{
    return !before || !after || (before == after && implication != 13) ||
           (maker->without >> implication & 1);
}

#define REASON(reason, format)                                                                     \
    va_list arguments;                                                                             \
    va_start(arguments, format);                                                                   \
    const char *reason = str_vprint(maker->arena, format, arguments);                              \
    va_end(arguments)

void plan_edge(struct maker *maker, int implication, struct task *before, struct task *after,
               struct span span, const char *format, ...)
{
    if (silent(maker, implication, before, after))
        return;
    REASON(reason, format);
    add(maker, implication, false, before, after, span, reason);
}

void plan_edge_default(struct maker *maker, int implication, struct task *before,
                       struct task *after, struct span span, const char *format, ...)
{
    if (silent(maker, implication, before, after))
        return;
    REASON(reason, format);
    add(maker, implication, true, before, after, span, reason);
}

void plan_glue(struct maker *maker, int implication, struct task *before, struct task *after,
               struct span span, const char *format, ...)
{
    if (silent(maker, implication, before, after) || before == after)
        return;
    REASON(reason, format);
    ARRAY_PUSH(maker->arena, &maker->glues)->edge = maker->plan->precedences.count;
    add(maker, implication, false, before, after, span, reason);
}

void plan_before_closing(struct maker *maker, const struct closing *closing,
                         const struct opening *opening)
{
    const char *who = closing->task->op.entry->member;

    for (size_t i = 0; i < opening->closer_count; i++) {
        struct part *closer = opening->closers[i];
        if (plan_has(closing->spared, closer))
            continue;
        struct task *closes = plan_at_hand(closer, closing->unit);
        if (closing->by_default)
            plan_edge_default(maker, closing->implication, closing->task, closes, closing->span,
                              "%s is reached through %s, which %s closes (reach taken from the "
                              "through of %s)",
                              who, opening->e.member, closer->e.member,
                              closing->by_default->e.member);
        else
            plan_edge(maker, closing->implication, closing->task, closes, closing->span,
                      "%s is reached through %s, which %s closes", who, opening->e.member,
                      closer->e.member);
    }
}

static void tight_before(struct maker *maker, int implication, struct task *task,
                         const struct part *unit, const struct part *part,
                         const struct joint *loose)
{
    struct info *info = plan_info(part);

    for (size_t i = 0; i < info->held_by.count; i++) {
        struct joint *joint = info->held_by.items[i];
        struct info *held = plan_info(joint);
        if (joint != loose && plan_inside(held->where, unit) && held->last != task)
            plan_edge(maker, implication, held->last, task, joint->holds.span,
                      "%s holds %s, which must be tight for %s", joint->e.member, part->e.member,
                      task->op.entry->member);
    }
}

/* `assembled` = in and tight, along with what the parts sit on, no further out than the unit. */
void plan_in_and_tight(struct maker *maker, int implication, struct task *task,
                       struct part *unit, const struct parts *parts, const struct joint *loose)
{
    maker->climb++;
    for (size_t i = 0; i < parts->count; i++) {
        struct part *part = parts->items[i];
        struct info *info = plan_info(part);
        if (!info->placed) {
            struct entering in = {0};
            plan_entering(maker, part, &in);
            for (size_t k = 0; k < in.count; k++)
                plan_edge(maker, implication, in.items[k], task, part->e.span,
                          "%s must be in for %s", part->e.member, task->op.entry->member);
            for (size_t k = 0; k < part->sealed_by_count; k++) {
                struct info *seal = plan_info(part->sealed_by[k]);
                for (size_t j = 0; j < seal->pulled_by.count; j++)
                    if (seal->pulled_by.items[j] != loose)
                        plan_edge(maker, implication, plan_info(seal->pulled_by.items[j])->last,
                                  task, part->e.span, "%s pulls %s down", 
                                  seal->pulled_by.items[j]->e.member, part->e.member);
            }
            continue;
        }
        plan_edge(maker, implication, plan_arrival(part, unit), task, task->op.entry->span,
                  "%s must be in for %s", part->e.member, task->op.entry->member);
        for (struct part *at = part; at && at != unit && plan_info(at)->climbed != maker->climb &&
                                     plan_inside(plan_unit_of(at), unit);
             at = at->host) {
            plan_info(at)->climbed = maker->climb; /* what it sits on is seen to */
            if (plan_info(at)->carrier != unit)
                plan_edge(maker, implication, plan_info(at)->fit, task, task->op.entry->span,
                          "%s must be in for %s", at->e.member, task->op.entry->member);
            tight_before(maker, implication, task, unit, at, loose);
        }
    }
}
