/* complete_joint.c - what a joint must say, and that its hardware adds up. */
#include "resolve_private.h"

/* A condition that leaves out the lubricant is none: plating and age alone make no friction. */
static void check_lubricant(struct resolver *r, struct joint *joint)
{
    const struct text *lubricant = &joint->condition.lubricant;

    if (lubricant->unknown)
        resolve_ask(r, &joint->e, NULL, joint->condition.span, "condition", "say-condition");
    if (lubricant->text != NULL || joint->lock.kind == LOCK_THREAD_LOCK)
        return;
    struct diag *diag = resolve_fault(r, &joint->e, DIAG_NO_CONDITION_CRITICAL, DIAG_NO_CONDITION,
                                      joint->condition.span,
                                      "the condition of %s names no lubricant", joint->e.member);
    resolve_hint(r, diag, "say lubricant: engine-oil, dry or another of `gudgeon table word`");
}

static void check_condition(struct resolver *r, struct joint *joint)
{
    if (joint->condition.present)
        check_lubricant(r, joint);
    if (joint->condition.present || joint->stretch.present)
        return;
    struct diag *diag =
        resolve_fault(r, &joint->e, DIAG_NO_CONDITION_CRITICAL, DIAG_NO_CONDITION, joint->e.span,
                      "%s does not say in which condition it is tightened", joint->e.member);
    if (r->spec->shop.conditions.count > 0)
        resolve_hint(r, diag, "say condition: with one of the shop's, such as condition: %s",
                     r->spec->shop.conditions.items[0].name);
    else
        resolve_hint(r, diag,
                     "say condition: {lubricant: engine-oil, plating: none, fastener: reused}");
}

static void check_lock(struct resolver *r, struct joint *joint)
{
    if (joint->lock.kind == LOCK_NONE && joint->lock.reason.text != NULL)
        return;
    if (joint->lock.kind != LOCK_ABSENT && joint->lock.kind != LOCK_NONE)
        return;
    struct diag *diag =
        resolve_fault(r, &joint->e, DIAG_NO_LOCK_CRITICAL, DIAG_NO_LOCK, joint->e.span,
                      "%s does not say how it is locked", joint->e.member);
    resolve_hint(r, diag,
                 "say lock: {kind: split-pin, part: ID}, or lock: {none: why it needs none}");
}

/* Single-use locks whose part says that the old one goes back. */
static void check_lock_part(struct resolver *r, struct joint *joint)
{
    if (joint->lock.kind != LOCK_SPLIT_PIN && joint->lock.kind != LOCK_WIRE &&
        joint->lock.kind != LOCK_TAB_WASHER)
        return;
    for (size_t i = 0; i < joint->lock.part.count; i++) {
        struct part *part = spec_part(joint->lock.part.to[i]);
        if (part == NULL || part->always_renew.value ||
            (part->state != STATE_REUSE && part->state != STATE_REWORK))
            continue;
        struct diag *diag =
            spec_warn(r->context, &part->e, DIAG_LOCK_USED_AGAIN, part->state_text.span,
                      "%s locks %s and is to be used again", part->e.member, joint->e.member);
        resolve_label(r, diag, joint->lock.span, "the lock");
        resolve_edit(r, diag, part->state_text.span, "renew");
    }
}

/* Loose hardware: as many pieces as joints and locks take. A part with a host is not loose. */
static void check_hardware(struct resolver *r, struct part *part)
{
    int64_t used = resolve_used(r, part);

    if (part->host != NULL || part->in.text != NULL || used == 0 || !part->quantity.present ||
        part == r->spec->first)
        return;
    /* An entry at its places is counted place by place; a plain one over all. */
    if (used == part_quantity(part))
        return;
    struct diag *diag = spec_warn(r->context, &part->e, DIAG_HARDWARE_COUNT, part->quantity.span,
                                  "there are %lld of %s, and joints use %lld",
                                  (long long)part_quantity(part), part->e.member, (long long)used);
    for (size_t i = 0; i < r->spec->joints.count; i++) {
        const struct joint *joint = r->spec->joints.items[i];
        if (build_joint_pieces(joint, part) > 0)
            resolve_label(r, diag, joint->e.span, "%s uses %lld", joint->e.member,
                          (long long)build_joint_pieces(joint, part));
    }
    resolve_edit(r, diag, part->quantity.span, str_print(r->arena, "%lld", (long long)used));
}

void resolve_complete_joints(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->joints.count; i++) {
        check_condition(r, r->spec->joints.items[i]);
        check_lock(r, r->spec->joints.items[i]);
        check_lock_part(r, r->spec->joints.items[i]);
    }
    for (size_t i = 0; i < r->spec->parts.count; i++)
        check_hardware(r, r->spec->parts.items[i]);
}
