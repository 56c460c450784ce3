/* complete_joint.c - what a joint must say, and that its hardware adds up. */
#include "resolve_private.h"

static const struct condition *shop_condition(const struct resolver *r, const struct joint *joint)
{
    for (size_t i = 0; i < r->spec->shop.conditions.count; i++)
        if (joint->condition.name != NULL &&
            str_equal(r->spec->shop.conditions.items[i].name, joint->condition.name))
            return &r->spec->shop.conditions.items[i];
    return NULL;
}

/* What a condition of the shop lacks is told once, at the condition, by the first joint that it makes
 * an error for, else by the first. */
static bool speaks_for(const struct resolver *r, const struct condition *shared,
                       const struct joint *joint)
{
    const struct joint *speaker = NULL;

    for (size_t i = 0; i < r->spec->joints.count; i++) {
        const struct joint *other = r->spec->joints.items[i];
        if (shop_condition(r, other) == shared && other->lock.kind != LOCK_THREAD_LOCK &&
            (speaker == NULL || (other->e.critical.value && !speaker->e.critical.value)))
            speaker = other;
    }
    return speaker == joint;
}

/* A condition that leaves out the lubricant is none: plating and age alone make no friction. */
static void check_lubricant(struct resolver *r, struct joint *joint)
{
    const struct text *lubricant = &joint->condition.lubricant;

    if (lubricant->unknown)
        resolve_ask(r, &joint->e, NULL, joint->condition.span, "condition", "say-condition");
    if (lubricant->text != NULL || joint->lock.kind == LOCK_THREAD_LOCK)
        return;
    const struct condition *shared = shop_condition(r, joint);
    if (shared != NULL && !speaks_for(r, shared, joint))
        return;
    struct diag *diag = resolve_fault(r, &joint->e, DIAG_NO_CONDITION_CRITICAL, DIAG_NO_CONDITION,
                                      shared != NULL ? shared->span : joint->condition.span,
                                      "the condition of %s names no lubricant", joint->e.member);
    if (shared != NULL)
        resolve_label(r, diag, joint->condition.span, "used here");
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

/* Bolts, nuts and washers of one joint that are all too many or too few: its count is wrong, or its
 * `each`; told once. */
struct miscount {
    const struct joint *user;
    struct diag *diag;
};

static const struct joint *first_user(const struct part *part)
{
    for (size_t i = 0; i < part->used_by_count; i++)
        if (build_joint_pieces(part->used_by[i], part) > 0)
            return part->used_by[i];
    return NULL;
}

/* Loose hardware: as many pieces as joints and locks take. A part with a host is not loose. */
static void check_hardware(struct resolver *r, struct part *part, struct miscount *last)
{
    int64_t used = resolve_used(part);
    const struct joint *user = first_user(part);

    if (part->host != NULL || part->in.text != NULL || used == 0 || !part->quantity.present ||
        part == r->spec->first)
        return;
    /* An entry at its places is counted place by place; a plain one over all. */
    if (used == part_quantity(part))
        return;
    /* What a joint takes is not known where some part is in no joint's list. */
    if (resolve_has_part_nowhere(r))
        return;
    if (last->diag != NULL && last->user == user) {
        resolve_label(r, last->diag, part->quantity.span, "and %lld of %s where joints use %lld",
                      (long long)part_quantity(part), part->e.member, (long long)used);
        return;
    }
    struct diag *diag = spec_warn(r->context, &part->e, DIAG_HARDWARE_COUNT, part->quantity.span,
                                  "there are %lld of %s, and joints use %lld",
                                  (long long)part_quantity(part), part->e.member, (long long)used);
    for (size_t i = 0; i < part->used_by_count; i++) {
        const struct joint *joint = part->used_by[i];
        if (build_joint_pieces(joint, part) > 0)
            resolve_label(r, diag, joint->e.span, "%s uses %lld", joint->e.member,
                          (long long)build_joint_pieces(joint, part));
    }
    resolve_edit(r, diag, part->quantity.span, str_print(r->arena, "%lld", (long long)used));
    *last = (struct miscount){user, diag};
}

void resolve_complete_joints(struct resolver *r)
{
    struct miscount last = {0};

    for (size_t i = 0; i < r->spec->joints.count; i++) {
        check_condition(r, r->spec->joints.items[i]);
        check_lock(r, r->spec->joints.items[i]);
        check_lock_part(r, r->spec->joints.items[i]);
    }
    for (size_t i = 0; i < r->spec->parts.count; i++)
        check_hardware(r, r->spec->parts.items[i], &last);
}
