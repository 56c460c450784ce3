/* bolts.c - joints and the faces they pull: when each can be tight, and before what (implications
 * 3, 5 and 6 of specs/LANGUAGE.md section 6). */
#include "plan_private.h"

/* ---------- 3: in which unit an entry's work is done ---------- */

static bool outside(const struct entry *opening, const struct part *unit)
{
    struct part *host = ((const struct opening *)opening)->host;

    return host && !plan_inside(plan_unit_of(host), unit);
}

/* The smallest unit that holds all the parts. A unit's own part alone is no business of the unit:
 * what is said of it then is done where it goes in. */
static struct part *base_of(struct maker *maker, struct entry *entry)
{
    struct parts parts = {0};
    struct part *unit = NULL;
    bool begun = false, inner = false;

    plan_parts_of(maker, entry, &parts);
    for (size_t i = 0; i < parts.count; i++) {
        if (!plan_info(parts.items[i])->placed)
            continue;
        struct part *own = plan_unit_of(parts.items[i]);
        unit = begun ? plan_common(unit, own) : own;
        begun = true;
    }
    for (size_t i = 0; i < parts.count; i++)
        if (plan_info(parts.items[i])->placed && plan_solid(parts.items[i]) != unit)
            inner = true;
    return unit && !inner ? plan_info(unit)->carrier : unit;
}

/* `reach` names an opening of the engine, or `after` something outside, or `by` a joint there. */
static struct part *pulled_out(struct entry *entry, struct part *unit, const struct ref *by)
{
    if (entry->reach.count && entry->reach.to[0]->kind == ENTRY_OPENING &&
        outside(entry->reach.to[0], unit))
        unit = plan_common(unit, plan_unit_of(((struct opening *)entry->reach.to[0])->host));
    for (size_t i = 0; i < entry->after.to_count; i++) {
        struct info *after = plan_info(entry->after.to[i]);
        if (after->last && after->last->class != TASK_LOOSE)
            unit = plan_common(unit, plan_as_part(after->entry) ? after->carrier : after->where);
    }
    for (size_t i = 0; by && i < by->count; i++)
        unit = plan_common(unit, plan_info(by->to[i])->where);
    return unit;
}

static const struct ref *by_of(const struct entry *entry)
{
    switch (entry->kind) {
    case ENTRY_LIMIT:
        return &((const struct limit *)entry)->by;
    case ENTRY_SETTING:
        return &((const struct setting *)entry)->by;
    case ENTRY_STEP:
        return &((const struct step *)entry)->by;
    default:
        return NULL;
    }
}

static bool has_place(const struct entry *entry)
{
    return entry->kind != ENTRY_PART && entry->kind != ENTRY_SEAL && entry->kind != ENTRY_OPENING &&
           entry->kind != ENTRY_FIT;
}

static void place_trial(const struct trial *trial)
{
    bool begun = false;

    for (size_t i = 0; i < trial->of.to_count; i++) {
        struct part *part = plan_as_part(trial->of.to[i]);
        if (!part)
            continue;
        struct part *carrier = plan_info(part)->carrier;
        struct info *info = plan_info(trial);
        info->where = begun ? plan_common(info->where, carrier) : carrier;
        begun = true;
    }
}

/* ---------- who is pulled in turns with whom ---------- */

static bool is_in_turns(const struct info *info, const struct joint *joint)
{
    for (size_t i = 0; i < info->in_turns.count; i++)
        if (info->in_turns.items[i] == joint)
            return true;
    return false;
}

static void add_turn(struct maker *maker, struct joint *a, struct joint *b)
{
    if (a != b && !is_in_turns(plan_info(a), b))
        *ARRAY_PUSH(maker->arena, &plan_info(a)->in_turns) = b;
}

/* Who is pulled with one is pulled with all that are pulled with it. */
static void join_turns(struct maker *maker, struct joint *joint, struct joint *other)
{
    struct { struct joint **items; size_t count, room; } all = {0};

    *ARRAY_PUSH(maker->arena, &all) = joint;
    *ARRAY_PUSH(maker->arena, &all) = other;
    for (size_t i = 0; i < plan_info(joint)->in_turns.count; i++)
        *ARRAY_PUSH(maker->arena, &all) = plan_info(joint)->in_turns.items[i];
    for (size_t i = 0; i < plan_info(other)->in_turns.count; i++)
        *ARRAY_PUSH(maker->arena, &all) = plan_info(other)->in_turns.items[i];
    for (size_t i = 0; i < all.count; i++)
        for (size_t k = 0; k < all.count; k++)
            add_turn(maker, all.items[i], all.items[k]);
}

static void find_turns(struct maker *maker)
{
    for (size_t i = 0; i < maker->spec->joints.count; i++) {
        struct joint *joint = maker->spec->joints.items[i];
        for (size_t k = 0; k < joint->together_with.to_count; k++)
            if (plan_as_joint(joint->together_with.to[k]))
                join_turns(maker, joint, (struct joint *)joint->together_with.to[k]);
    }
}

/* A seal is laid where the last of its faces goes on. */
static struct part *seal_place(const struct seal *seal)
{
    struct part *last = seal->between.to_count
                            ? plan_as_part(seal->between.to[seal->between.to_count - 1])
                            : NULL;

    return last ? plan_info(last)->carrier : NULL;
}

static void place_entries(struct maker *maker)
{
    const struct spec *spec = maker->spec;

    for (size_t i = 0; i < spec->entries.count; i++) {
        struct entry *entry = spec->entries.items[i];
        if (entry->kind == ENTRY_TRIAL)
            place_trial((const struct trial *)entry);
        else if (entry->kind == ENTRY_SEAL)
            plan_info(entry)->where = seal_place((const struct seal *)entry);
        else if (has_place(entry))
            plan_info(entry)->where = base_of(maker, entry);
    }
    for (size_t i = 0; i < spec->joints.count; i++) {
        struct entry *entry = &spec->joints.items[i]->e;
        plan_info(entry)->where = pulled_out(entry, plan_info(entry)->where, NULL);
    }
    for (size_t i = 0; i < spec->joints.count; i++) { /* pulled in turns: in one place */
        struct info *info = plan_info(spec->joints.items[i]);
        for (size_t k = 0; k < info->in_turns.count; k++)
            info->where = plan_common(info->where, plan_info(info->in_turns.items[k])->where);
    }
    for (size_t i = 0; i < spec->entries.count; i++) {
        struct entry *entry = spec->entries.items[i];
        if (has_place(entry) && entry->kind != ENTRY_JOINT && entry->kind != ENTRY_TRIAL)
            plan_info(entry)->where = pulled_out(entry, plan_info(entry)->where, by_of(entry));
    }
}

/* ---------- 6: joints ---------- */

static void parts_in(struct maker *maker, struct joint *joint, const struct ref *ref,
                     const char *how)
{
    struct info *info = plan_info(joint);

    for (size_t i = 0; i < ref->count; i++) {
        struct part *part = plan_as_part(ref->to[i]);
        if (part && plan_info(part)->placed)
            plan_edge(maker, 6, plan_at_hand(part, info->where), info->first, ref->span,
                      "%s %s %s", joint->e.member, how, part->e.member);
    }
}

static void joint_parts(struct maker *maker, struct joint *joint)
{
    for (size_t i = 0; i < joint->holds.count; i++)
        parts_in(maker, joint, &joint->holds.items[i], "holds");
    parts_in(maker, joint, &joint->to, "is cut in");
    parts_in(maker, joint, &joint->stud, "is on the stud");
    for (size_t i = 0; i < joint->uses.count; i++)
        parts_in(maker, joint, &joint->uses.items[i].ref, "uses");
}

static void joint_reach(struct maker *maker, struct joint *joint)
{
    struct info *info = plan_info(joint);
    struct part *main = joint->holds.to_count ? plan_as_part(joint->holds.to[0]) : NULL;
    struct closing closing = {6, NULL, info->last, info->where, &joint->holds, joint->e.span};

    if (joint->e.reach.count && joint->e.reach.to[0]->kind == ENTRY_OPENING) {
        closing.span = joint->e.reach.span;
        plan_before_closing(maker, &closing, (struct opening *)joint->e.reach.to[0]);
    } else if (!joint->e.reach.text && !joint->e.reach_outside && main && main->through.count &&
               main->through.to[0]->kind == ENTRY_OPENING) {
        closing.by_default = main;
        plan_before_closing(maker, &closing, (struct opening *)main->through.to[0]);
    }
}

/* Two kinds of bolt pulled in turns: both begin when all is in, neither is locked before both are
 * tight. */
static void interleave(struct maker *maker, struct joint *a, struct joint *b, struct span span)
{
    struct info *first = plan_info(a), *second = plan_info(b);
    struct parts parts = {0};

    plan_parts_of(maker, &b->e, &parts);
    for (size_t i = 0; i < parts.count; i++)
        if (plan_info(parts.items[i])->placed)
            plan_edge(maker, 6, plan_at_hand(parts.items[i], first->where), first->first, span,
                      "%s is pulled together with %s", a->e.member, b->e.member);
    plan_edge(maker, 6, second->nip, first->tighten, span, "%s is pulled together with %s",
              a->e.member, b->e.member);
    plan_glue(maker, 6, first->tighten, second->tighten, span, "%s is pulled together with %s",
              b->e.member, a->e.member);
    plan_edge(maker, 6, second->tighten, first->lock, span,
              "%s is locked when %s is tight too", a->e.member, b->e.member);
}

static void together(struct maker *maker, struct joint *joint)
{
    struct info *info = plan_info(joint);

    for (size_t i = 0; i < info->in_turns.count; i++) {
        struct joint *other = info->in_turns.items[i];
        if (joint->e.order < other->e.order)
            interleave(maker, joint, other,
                       joint->together_with.present ? joint->together_with.span
                                                    : other->together_with.span);
    }
}

/* ---------- 5: what pulls a face together ---------- */

static size_t clamps(const struct joint *joint, const struct seal *seal)
{
    size_t count = 0;

    for (size_t i = 0; i < seal->between.to_count; i++)
        if (plan_has(&joint->holds, seal->between.to[i]) ||
            (joint->to.count && joint->to.to[0] == seal->between.to[i]))
            count++;
    return count;
}

static bool touches(const struct joint *joint, const struct entry *part)
{
    return plan_has(&joint->holds, part) || (joint->to.count && joint->to.to[0] == part);
}

static void pulls(struct maker *maker, struct joint *joint, struct seal *seal)
{
    struct info *info = plan_info(seal);
    struct entry *last = seal->between.to[seal->between.to_count - 1];

    /* what is made up within the last part pulls no face that it makes with others */
    if (plan_as_part(last) && plan_info(joint)->where &&
        plan_inside(plan_info(joint)->where, (struct part *)last))
        return;
    for (size_t i = 0; i < info->pulled_by.count; i++)
        if (info->pulled_by.items[i] == joint)
            return;
    *ARRAY_PUSH(maker->arena, &info->pulled_by) = joint;
    *ARRAY_PUSH(maker->arena, &plan_info(joint)->faces) = seal;
}

/* The joints of a face clamp its last part to another of the faces; where none is known to, those
 * that hold the last part. */
static void find_faces(struct maker *maker, struct seal *seal)
{
    struct entry *last;

    if (!seal->between.to_count)
        return;
    last = seal->between.to[seal->between.to_count - 1];
    for (size_t i = 0; i < seal->between.to_count; i++) {
        struct info *face = plan_info(seal->between.to[i]);
        for (size_t k = 0; k < face->held_by.count; k++)
            if (touches(face->held_by.items[k], last) && clamps(face->held_by.items[k], seal) > 1)
                pulls(maker, face->held_by.items[k], seal);
    }
    struct info *info = plan_info(last);
    bool none = plan_info(seal)->pulled_by.count == 0;
    for (size_t k = 0; none && k < info->held_by.count; k++)
        pulls(maker, info->held_by.items[k], seal);
}

struct joint *const *plan_pulled_by(const struct seal *seal, size_t *count)
{
    const struct info *info = plan_info(seal);

    *count = info->pulled_by.count;
    return info->pulled_by.items;
}

static void open_and_cure(struct maker *maker, struct seal *seal)
{
    struct info *info = plan_info(seal);
    double open_s = plan_open_time_s(seal);

    for (size_t i = 0; i < info->pulled_by.count; i++) {
        struct joint *joint = info->pulled_by.items[i];
        struct info *pull = plan_info(joint);
        if (open_s > 0 && info->lay) {
            plan_glue(maker, 5, info->lay, pull->nip, seal->e.span,
                      "%s is pulled within the open time of %s", joint->e.member, seal->e.member);
            plan_glue(maker, 5, info->lay, pull->tighten, seal->e.span,
                      "%s is pulled within the open time of %s", joint->e.member, seal->e.member);
        }
        plan_edge(maker, 5, pull->last, info->cure, seal->e.span,
                  "%s cures from when %s has closed it", seal->e.member, joint->e.member);
    }
    if (info->cure && seal->between.to_count)
        plan_edge(maker, 5, plan_info(seal->between.to[seal->between.to_count - 1])->fit,
                  info->cure, seal->e.span, "%s cures once it is closed", seal->e.member);
}

void plan_bolts(struct maker *maker)
{
    const struct spec *spec = maker->spec;

    find_turns(maker);
    place_entries(maker);
    for (size_t i = 0; i < spec->joints.count; i++) {
        joint_parts(maker, spec->joints.items[i]);
        joint_reach(maker, spec->joints.items[i]);
        together(maker, spec->joints.items[i]);
    }
    for (size_t i = 0; i < spec->seals.count; i++) {
        find_faces(maker, spec->seals.items[i]);
        open_and_cure(maker, spec->seals.items[i]);
    }
}
