/* reach.c - what must come off again to reach a part. */
#include "plan_private.h"
#include <gudgeon/resume.h>

struct reach {
    struct arena *arena;
    const struct plan *plan;
    const struct spec *spec;
    struct resume *resume;         /* the state at that moment */
    bool *off;                     /* by entry->order: a part that comes off, the part itself too */
    struct { struct entry **items; size_t count, room; } queue;
};

static void mark(struct reach *r, struct entry *entry)
{
    if (r->off[entry->order] || !r->resume->on[entry->order])
        return;
    r->off[entry->order] = true;
    *ARRAY_PUSH(r->arena, &r->queue) = entry;
}

/* Whether the operation itself is one of those that put metal over metal. */
static bool is_solid(const struct operation *op)
{
    return op->verb == VERB_FIT && (op->phase == PHASE_FINAL || op->phase == PHASE_SET);
}

/* Whether the one is made up on the other, and comes off with it. */
static bool comes_with(const struct entry *part, const struct entry *unit)
{
    const struct part *carrier = plan_as_part(part) ? plan_info(part)->carrier : NULL;

    while (carrier && &carrier->e != unit)
        carrier = plan_info(carrier)->carrier;
    return carrier != NULL;
}

/* Faces: the last is over the others. */
static void mark_faces(struct reach *r)
{
    for (size_t i = 0; i < r->spec->seals.count; i++) {
        const struct seal *seal = r->spec->seals.items[i];
        for (size_t k = 0; k + 1 < seal->between.to_count; k++)
            if (r->off[seal->between.to[k]->order] && plan_as_part(seal->between.to[k]) &&
                !comes_with(seal->between.to[seal->between.to_count - 1], seal->between.to[k]))
                mark(r, seal->between.to[seal->between.to_count - 1]);
    }
}

/* What hosts, openings and clearances put on after it (implications 1 and 4), and so on outwards; and the
 * unit that it is made up in, which is taken off whole. */
static void mark_over(struct reach *r, const struct part *part)
{
    const struct plan *plan = r->plan;

    mark(r, (struct entry *)&part->e);
    for (size_t done = 0; done < r->queue.count; done++) {
        struct entry *entry = r->queue.items[done];
        for (size_t i = 0; i < plan->precedences.count; i++) {
            const struct precedence *edge = &plan->precedences.items[i];
            if (edge->before->entry == entry && (edge->implication == 1 || edge->implication == 4) &&
                is_solid(edge->before) && is_solid(edge->after))
                mark(r, edge->after->entry);
        }
        mark_faces(r);
    }
}

/* The units that carry it, while they are on the engine or on a larger unit. */
static void mark_units(struct reach *r, const struct part *part)
{
    for (struct part *unit = plan_info(part)->carrier; unit; unit = plan_info(unit)->carrier)
        mark_over(r, unit);
}

/* ---------- telling it ---------- */

static bool comes_undone(const struct reach *r, const struct joint *joint)
{
    for (size_t i = 0; i < joint->holds.to_count; i++)
        if (r->off[joint->holds.to[i]->order] && r->resume->tight[joint->e.order])
            return true;
    return false;
}

static const char *shown(const struct entry *entry)
{
    return entry->shown ? entry->shown : entry->member;
}

static size_t print_off(struct reach *r, const struct part *part, struct str_buf *out)
{
    size_t number = 0;

    for (size_t i = r->plan->operations.count; i > 0; i--) { /* the build from its end */
        const struct operation *op = r->plan->operations.items[i - 1];
        if (op->phase != PHASE_FINAL && op->phase != PHASE_SET)
            continue;
        const char *unit = op->unit ? str_print(r->arena, "  (on the bench: %s)", shown(op->unit)) : "";
        if (op->verb == VERB_TIGHTEN && comes_undone(r, (const struct joint *)op->entry))
            str_add_print(out, "  %3zu  Slacken %s%s\n", ++number, shown(op->entry), unit);
        if (op->verb != VERB_FIT || !r->off[op->entry->order] || op->entry == &part->e)
            continue;
        const struct part *gone = (const struct part *)op->entry;
        str_add_print(out, "  %3zu  Take off %s%s%s%s\n", ++number, shown(op->entry),
                      gone->host ? " from " : "", gone->host ? shown(&gone->host->e) : "", unit);
    }
    return number;
}

static void add_name(struct str_buf *text, const char *name)
{
    str_add_print(text, "%s%s", text->length ? ", " : "", name);
}

/* What was spent on it: locks, gaskets, what is always renewed. */
static const char *spent(struct reach *r, const struct part *part)
{
    struct str_buf text = {.arena = r->arena};

    for (size_t i = 0; i < r->spec->joints.count; i++) {
        const struct joint *joint = r->spec->joints.items[i];
        bool part_of_lock = joint->lock.part.count && spec_part(joint->lock.part.to[0]);
        if (comes_undone(r, joint) && part_of_lock)
            add_name(&text, str_print(r->arena, "%s of %s", shown(joint->lock.part.to[0]),
                                      shown(&joint->e)));
    }
    for (size_t i = 0; i < r->spec->seals.count; i++) {
        const struct seal *seal = r->spec->seals.items[i];
        const struct entry *last = seal->between.to_count ? seal->between.to[seal->between.to_count - 1]
                                                          : NULL;
        if (last && r->off[last->order] && (seal->gasket.count || seal->sealant_row))
            add_name(&text, seal->gasket.count ? shown(seal->gasket.to[0]) : shown(&seal->e));
    }
    for (size_t i = 0; i < r->spec->parts.count; i++) {
        const struct part *gone = r->spec->parts.items[i];
        if (gone != part && r->off[gone->e.order] && gone->always_renew.value)
            add_name(&text, shown(&gone->e));
    }
    return text.length ? text.bytes : NULL;
}

static bool any_gone(const struct reach *r, const struct refs *refs)
{
    for (size_t i = 0; i < refs->to_count; i++)
        if (refs->to[i]->kind == ENTRY_JOINT ? comes_undone(r, (const struct joint *)refs->to[i])
                                             : r->off[refs->to[i]->order])
            return true;
    return false;
}

static const char *upset(struct reach *r)
{
    struct str_buf text = {.arena = r->arena};

    for (size_t i = 0; i < r->spec->settings.count; i++) {
        const struct setting *setting = r->spec->settings.items[i];
        const struct info *info = plan_info(setting);
        bool by = setting->by.count && plan_as_joint(setting->by.to[0]) &&
                  comes_undone(r, (const struct joint *)setting->by.to[0]);
        bool made = info->made && info->made->op.order < r->plan->operations.count &&
                    r->plan->operations.items[info->made->op.order] == &info->made->op &&
                    r->resume->done[info->made->op.order];
        if (made && (by || any_gone(r, &setting->of) || any_gone(r, &setting->upset_by)))
            add_name(&text, shown(&setting->e));
    }
    return text.length ? text.bytes : NULL;
}

void resume_print_reach(const struct plan *plan, const struct part *part, const struct operation *at,
                        struct str_buf *out)
{
    struct arena *arena = out->arena;
    bool *done = ARENA_ARRAY(arena, bool, plan->operations.count + 1);
    size_t last = at ? at->order + 1 : plan->operations.count;
    struct reach r = {.arena = arena, .plan = plan, .spec = plan->build->spec};

    for (size_t i = 0; i < last; i++)
        done[i] = at || plan->operations.items[i]->phase < PHASE_FOLLOW_UP;
    r.resume = resume_after(arena, plan, done);
    r.off = ARENA_ARRAY(arena, bool, r.spec->entries.count + 1);
    const char *when = at ? str_print(arena, "after %s", at->id) : "when all is built";
    if (!r.resume->on[part->e.order]) {
        str_add_print(out, "%s is in hand %s: it is not on\n", shown(&part->e), when);
        return;
    }
    if (!plan_info(part)->fit) {
        str_add_print(out, "%s never comes off\n", shown(&part->e));
        return;
    }
    mark_over(&r, part);
    mark_units(&r, part);
    str_add_print(out, "to reach %s %s\n", shown(&part->e), when);
    if (!print_off(&r, part, out))
        str_add(out, "  nothing comes off: it lies bare\n");
    const char *spent_text = spent(&r, part), *upset_text = upset(&r);
    if (spent_text)
        str_add_print(out, "spent, to be renewed: %s\n", spent_text);
    if (upset_text)
        str_add_print(out, "to be set or read again: %s\n", upset_text);
}
