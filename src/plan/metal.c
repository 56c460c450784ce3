/* metal.c - what the metal allows: hosts, units, openings, seals, slave parts, before and after
 * (implications 1, 2, 4, 5, 12, 13 of specs/LANGUAGE.md section 6). */
#include "plan_private.h"

/* 1: a part goes in after its host and all its host sits in. */
static void after_host(struct maker *maker, struct part *part)
{
    struct info *info = plan_info(part);
    struct part *host = plan_solid(part->host);

    if (!info->fit || !host || host == info->carrier)
        return;
    struct part *common = plan_common(info->carrier, plan_info(host)->carrier);
    plan_edge(maker, 1, plan_arrival(host, common), info->fit, part->in.span, "%s sits in %s",
              part->e.member, host->e.member);
}

/* 2: the whole unit is made up before it goes in. */
static void before_unit(struct maker *maker, struct part *part)
{
    struct info *info = plan_info(part);

    if (info->fit && info->carrier)
        plan_edge(maker, 2, info->fit, plan_info(info->carrier)->fit,
                  info->carrier->with.present ? info->carrier->with.span : info->carrier->e.span,
                  "%s is on %s when that goes in", part->e.member, info->carrier->e.member);
}

/* Lifts both to the smallest unit that holds both: there the first goes before the second. */
static void part_before(struct maker *maker, int implication, struct part *first,
                        struct part *second, struct span span, const char *reason)
{
    struct part *common = plan_common(plan_unit_of(first), plan_unit_of(second));

    if (common == first && plan_inside(plan_info(second)->carrier, first)) {
        /* the second is made up on the first: it is there already when the first goes in */
        plan_edge(maker, implication, plan_info(first)->fit, plan_info(second)->fit, span, "%s",
                  reason);
        return;
    }
    if (common == second)
        common = plan_info(second)->carrier;
    if (common == first)
        common = plan_info(first)->carrier;
    plan_edge(maker, implication, plan_arrival(first, common), plan_arrival(second, common), span,
              "%s", reason);
}

/* 4: openings, what a part must be clear of, what it lies under. A unit obeys for all it carries,
 * since each of its parts is lifted to the unit. */
static void through_opening(struct maker *maker, struct part *part)
{
    struct info *info = plan_info(part);
    struct opening *opening =
        part->through.count && part->through.to[0]->kind == ENTRY_OPENING
            ? (struct opening *)part->through.to[0]
            : NULL;

    if (!opening || !info->fit)
        return;
    struct part *host = plan_solid(opening->host);
    if (host && plan_info(host)->fit && host != part) {
        struct part *common = plan_common(info->carrier, plan_unit_of(host));
        plan_edge(maker, 4, plan_arrival(host, common), plan_arrival(part, common),
                  part->through.span, "%s goes in through %s, which is in %s", part->e.member,
                  opening->e.member, host->e.member);
    }
    for (size_t i = 0; i < opening->closer_count; i++)
        if (plan_info(opening->closers[i])->fit && opening->closers[i] != part)
            part_before(maker, 4, part, opening->closers[i], part->through.span,
                        str_print(maker->arena, "%s goes in through %s, which %s closes",
                                  part->e.member, opening->e.member,
                                  opening->closers[i]->e.member));
}

static void clear_of(struct maker *maker, struct part *part)
{
    for (size_t i = 0; i < part->clear_of.count; i++) {
        const struct ref *ref = &part->clear_of.items[i];
        for (size_t k = 0; k < ref->count; k++) {
            struct part *other = plan_as_part(ref->to[k]);
            if (other && plan_info(part)->fit && plan_info(other)->fit)
                part_before(maker, 4, part, other, ref->span,
                            str_print(maker->arena, "%s must go in clear of %s", part->e.member,
                                      other->e.member));
        }
    }
}

static void part_under(struct maker *maker, struct part *part)
{
    for (size_t i = 0; i < part->e.under.count; i++) {
        const struct ref *ref = &part->e.under.items[i];
        for (size_t k = 0; k < ref->count; k++) {
            struct part *over = plan_as_part(ref->to[k]);
            const char *reason = str_print(maker->arena, "%s lies under %s", part->e.member,
                                           ref->to[k]->member);
            if (over && plan_info(part)->fit && plan_info(over)->fit)
                part_before(maker, 4, part, over, ref->span, reason);
            else if (!over)
                plan_edge(maker, 4, plan_info(part)->last, plan_info(ref->to[k])->first, ref->span,
                          "%s", reason);
        }
    }
}

/* `under` of an entry that is no part: its last operation before that part arrives where it is. */
static void entry_under(struct maker *maker, struct entry *entry)
{
    struct info *info = plan_info(entry);

    for (size_t i = 0; i < entry->under.count; i++) {
        const struct ref *ref = &entry->under.items[i];
        for (size_t k = 0; k < ref->count; k++) {
            struct part *over = plan_as_part(ref->to[k]);
            struct task *covering =
                over ? plan_at_hand(over, info->where) : plan_info(ref->to[k])->first;
            plan_edge(maker, 4, info->last, covering, ref->span, "%s lies under %s",
                      entry->member, ref->to[k]->member);
            if (info->assembled && info->assembled->ghost)
                plan_edge(maker, 4, info->assembled, covering, ref->span, "%s lies under %s",
                          entry->member, ref->to[k]->member);
        }
    }
}

/* 5: gasket and sealant go on after all the faces but the last, directly before the last. */
static void seal_faces(struct maker *maker, struct seal *seal)
{
    struct info *info = plan_info(seal);
    struct part *last = NULL;

    if (!info->lay || !seal->between.to_count)
        return;
    last = plan_as_part(seal->between.to[seal->between.to_count - 1]);
    if (!last || !plan_info(last)->fit) {
        struct diag *diag = diag_add(
            &maker->context->diags, DIAG_PLAN_SEAL_LAST, seal->between.span,
            "%s is there before its seal: the last of `between` is the face that goes on last",
            last ? last->e.member : "the last of them");
        diag_hint(&maker->context->diags, diag, "write the part that goes on last at the end");
        return;
    }
    for (size_t i = 0; i + 1 < seal->between.to_count; i++) {
        struct part *face = plan_as_part(seal->between.to[i]);
        if (face && face != last)
            plan_edge(maker, 5, plan_at_hand(face, info->where), info->lay, seal->between.span, "%s is one of the faces of %s",
                      face->e.member, seal->e.member);
    }
    plan_glue(maker, 5, info->lay, plan_info(last)->fit, seal->between.span,
              "%s goes on directly before %s, the last of its faces", seal->e.member,
              last->e.member);
}

/* 12: a slave part is in before, out directly after, and out before its opening closes. */
static void slave(struct maker *maker, struct part *part)
{
    struct info *info = plan_info(part);
    struct info *helped;

    if (!info->fit || !part->until.count)
        return;
    helped = plan_info(part->until.to[0]);
    struct task *out = info->last;
    while (out->op.verb != VERB_REMOVE) /* a witness signs after it: the one before is it */
        out = maker->tasks.items[out->index - 1];
    plan_edge(maker, 12, info->fit, helped->first, part->until.span,
              "%s is in before %s is done", part->e.member, part->until.to[0]->member);
    plan_glue(maker, 12, helped->last, out, part->until.span,
              "%s comes out directly after %s", part->e.member, part->until.to[0]->member);
    for (size_t i = 0; i < helped->in_turns.count; i++) /* all that are pulled with it are one work */
        plan_edge(maker, 12, plan_info(helped->in_turns.items[i])->tighten, out, part->until.span,
                  "%s comes out after %s, which is pulled with %s", part->e.member,
                  helped->in_turns.items[i]->e.member, part->until.to[0]->member);
    struct entry *opening = part->e.reach.count     ? part->e.reach.to[0]
                            : part->through.count ? part->through.to[0]
                                                    : NULL;
    if (opening && opening->kind == ENTRY_OPENING)
        plan_before_closing(maker, &(struct closing){12, NULL, out, info->carrier, NULL,
                                                     part->until.span},
                            (struct opening *)opening);
}

/* 13: after the last operation of x, before the first. */
static struct task *begins(const struct entry *entry)
{
    struct info *info = plan_info(entry);

    /* `after` speaks of the work in the engine, where an entry has any. */
    if (entry->kind == ENTRY_LIMIT && info->made)
        return info->made;
    if (entry->kind == ENTRY_LIMIT && info->assembled && (!info->assembled->ghost || !info->bench))
        return info->assembled;
    if (entry->kind == ENTRY_PASSAGE)
        return info->whole;
    return info->first;
}

/* A slave part is there once it is in: what comes after it is what it helps with, not what follows
 * when it is out again. */
static struct task *is_done(const struct entry *entry)
{
    struct part *part = plan_as_part(entry);

    return part && part->until.count ? plan_info(entry)->fit : plan_info(entry)->last;
}

static void before_after(struct maker *maker, struct entry *entry)
{
    struct info *info = plan_info(entry);

    for (size_t i = 0; i < entry->after.count; i++) {
        const struct ref *ref = &entry->after.items[i];
        for (size_t k = 0; k < ref->count; k++)
            plan_edge(maker, 13, is_done(ref->to[k]), begins(entry), ref->span,
                      "%s says after %s", entry->member, ref->to[k]->member);
    }
    for (size_t i = 0; i < entry->before.count; i++) {
        const struct ref *ref = &entry->before.items[i];
        for (size_t k = 0; k < ref->count; k++)
            plan_edge(maker, 13, info->last, plan_info(ref->to[k])->first, ref->span,
                      "%s says before %s", entry->member, ref->to[k]->member);
    }
}

void plan_metal(struct maker *maker)
{
    const struct spec *spec = maker->spec;

    for (size_t i = 0; i < spec->parts.count; i++) {
        struct part *part = spec->parts.items[i];
        after_host(maker, part);
        before_unit(maker, part);
        through_opening(maker, part);
        clear_of(maker, part);
        part_under(maker, part);
        slave(maker, part);
    }
    for (size_t i = 0; i < spec->seals.count; i++)
        seal_faces(maker, spec->seals.items[i]);
    for (size_t i = 0; i < spec->entries.count; i++) {
        if (spec->entries.items[i]->kind != ENTRY_PART)
            entry_under(maker, spec->entries.items[i]);
        before_after(maker, spec->entries.items[i]);
    }
    if (maker->also)
        plan_edge(maker, 13, plan_info(maker->also->first)->last,
                  plan_info(maker->also->second)->first, maker->also->first->span,
                  "%s would be before %s", maker->also->first->member, maker->also->second->member);
}
