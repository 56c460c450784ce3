/* resume.c - the state of the engine when some of its operations are done, replayed from them. */
#include "plan_private.h"
#include <gudgeon/resume.h>

#include <stdlib.h>

/* When an entry came to be something, by entry->order; 0: it is not. */
struct since {
    size_t *at;
};

struct replayer {
    struct arena *arena;
    const struct plan *plan;
    const struct spec *spec;
    struct resume *resume;
    struct since off, fitted, placed, bench, loose, tight, locked, pasted, curing, warm;
    size_t now;
};

static void set(struct replayer *r, struct since *since, const struct entry *entry)
{
    if (!since->at[entry->order])
        since->at[entry->order] = r->now;
}

static void clear(struct since *since, const struct entry *entry)
{
    since->at[entry->order] = 0;
}

static bool holds_now(const struct since *since, const struct entry *entry)
{
    return since->at[entry->order] != 0;
}

/* ---------- before anything is done ---------- */

/* As it came in: on and tight is what the strip takes off and slackens, and what nothing ever fits. */
static void begin(struct replayer *r)
{
    for (size_t i = 0; i < r->spec->parts.count; i++)
        r->resume->on[r->spec->parts.items[i]->e.order] = !plan_info(r->spec->parts.items[i])->fit;
    for (size_t i = 0; i < r->plan->operations.count; i++) {
        const struct operation *op = r->plan->operations.items[i];
        if (op->phase == PHASE_STRIP && op->verb == VERB_REMOVE)
            r->resume->on[op->entry->order] = true;
        if (op->phase != PHASE_STRIP || op->verb != VERB_SLACKEN)
            continue;
        r->resume->tight[op->entry->order] = true;
        set(r, &r->tight, op->entry);
        set(r, &r->locked, op->entry);
    }
}

/* ---------- one operation ---------- */

/* Whether `part` is what moves when `in` goes in: itself, made up on it, or brought along. */
static bool moves_with(const struct part *part, const struct part *in)
{
    while (part && part != in)
        part = plan_info(part)->brought_by ? plan_info(part)->brought_by : plan_info(part)->carrier;
    return part != NULL;
}

static bool joins(const struct fit *fit, const struct part *in)
{
    return (fit->inner.part && moves_with(fit->inner.part, in)) ||
           (fit->outer.part && moves_with(fit->outer.part, in));
}

static void fitted(struct replayer *r, const struct operation *op)
{
    r->resume->on[op->entry->order] = true;
    for (size_t i = 0; i < r->spec->fits.count; i++)
        if (holds_now(&r->warm, &r->spec->fits.items[i]->e) &&
            joins(r->spec->fits.items[i], (const struct part *)op->entry))
            clear(&r->warm, &r->spec->fits.items[i]->e);
    if (op->phase == PHASE_STRIP)
        return;
    clear(&r->bench, op->entry);
    set(r, &r->placed, op->entry);
    if (!op->unit)
        set(r, &r->fitted, op->entry);
}

static void removed(struct replayer *r, const struct operation *op)
{
    r->resume->on[op->entry->order] = false;
    clear(&r->fitted, op->entry);
    clear(&r->placed, op->entry);
    if (op->phase == PHASE_STRIP && !op->unit)
        set(r, &r->off, op->entry);
}

static bool is_pulled(const struct replayer *r, const struct seal *seal)
{
    const struct info *info = plan_info(seal);

    for (size_t i = 0; i < info->pulled_by.count; i++)
        if (!r->resume->tight[info->pulled_by.items[i]->e.order])
            return false;
    return true;
}

static void tightened(struct replayer *r, const struct operation *op)
{
    const struct joint *joint = (const struct joint *)op->entry;
    bool apart = !op->trial && plan_locks_apart(joint);

    r->resume->tight[op->entry->order] = true;
    clear(&r->loose, op->entry);
    clear(&r->locked, op->entry);
    set(r, &r->tight, op->entry);
    if (!apart)
        set(r, &r->locked, op->entry);
    for (size_t i = 0; i < plan_info(joint)->faces.count; i++)
        if (is_pulled(r, plan_info(joint)->faces.items[i]))
            clear(&r->pasted, &plan_info(joint)->faces.items[i]->e);
}

static void slackened(struct replayer *r, const struct operation *op)
{
    r->resume->tight[op->entry->order] = false;
    clear(&r->tight, op->entry);
    clear(&r->locked, op->entry);
}

static void sealed(struct replayer *r, const struct operation *op)
{
    const struct seal *seal = (const struct seal *)op->entry;

    if (plan_open_time_s(seal) > 0)
        set(r, &r->pasted, op->entry);
    if (plan_info(seal)->cure)
        set(r, &r->curing, op->entry);
}

/* What the operation asks of the bench, which stands until another is asked for. */
static void asks(struct replayer *r, const struct operation *op)
{
    const struct entry *entry = op->entry;

    if (op->phase < PHASE_TRIAL || op->unit)
        return;
    if (entry->side_up.text)
        r->resume->side_up = entry->side_up.text;
    if (entry->crank_at_text.text)
        r->resume->crank_at = entry->place && !entry->crank_at.cylinder
                                  ? str_print(r->arena, "%s %s", entry->crank_at_text.text, entry->place)
                                  : entry->crank_at_text.text;
    if (entry->engine_is.text)
        r->resume->engine_is = entry->engine_is.text;
}

static void replay(struct replayer *r, const struct operation *op)
{
    for (size_t i = 0; i < r->spec->runs.count; i++) /* hot only until the next thing is done */
        clear(&r->warm, &r->spec->runs.items[i]->e);
    if (op->phase >= PHASE_TRIAL && op->unit && op->verb != VERB_HEAT)
        set(r, &r->bench, op->unit);
    switch (op->verb) {
    case VERB_FIT: fitted(r, op); break;
    case VERB_REMOVE: removed(r, op); break;
    case VERB_NIP: set(r, &r->loose, op->entry); break;
    case VERB_TIGHTEN:
    case VERB_RETIGHTEN: tightened(r, op); break;
    case VERB_SLACKEN: slackened(r, op); break;
    case VERB_LOCK: set(r, &r->locked, op->entry); break;
    case VERB_SEAL: sealed(r, op); break;
    case VERB_WAIT: clear(&r->curing, op->entry); break;
    case VERB_HEAT: set(r, &r->warm, op->entry); break;
    case VERB_RUN:
        if (((const struct run *)op->entry)->speed.present) /* else it is turned by hand */
            set(r, &r->warm, op->entry);
        break;
    default: break;
    }
    asks(r, op);
}

/* ---------- what that comes to ---------- */

struct dated {
    size_t at;
    struct entry *entry;
};

static int by_date(const void *left, const void *right)
{
    const struct dated *a = left, *b = right;

    return a->at < b->at ? -1 : a->at > b->at;
}

static struct resume_list collect(struct replayer *r, const struct since *since)
{
    struct { struct dated *items; size_t count, room; } all = {0};
    struct resume_list list = {0};

    for (size_t i = 0; i < r->spec->entries.count; i++)
        if (since->at[r->spec->entries.items[i]->order])
            *ARRAY_PUSH(r->arena, &all) = (struct dated){since->at[r->spec->entries.items[i]->order],
                                                         r->spec->entries.items[i]};
    if (all.count)
        qsort(all.items, all.count, sizeof *all.items, by_date);
    for (size_t i = 0; i < all.count; i++)
        *ARRAY_PUSH(r->arena, &list) = all.items[i].entry;
    return list;
}

/* Not tight, though all that it holds is on; or nipped. */
static bool is_loose(const struct replayer *r, const struct joint *joint)
{
    if (r->resume->tight[joint->e.order])
        return false;
    for (size_t i = 0; i < joint->holds.to_count; i++)
        if (plan_as_part(joint->holds.to[i]) && !r->resume->on[joint->holds.to[i]->order])
            return false;
    return joint->holds.to_count > 0 && plan_info(joint)->tighten;
}

static void find_joints(struct replayer *r)
{
    for (size_t i = 0; i < r->spec->joints.count; i++) {
        struct joint *joint = r->spec->joints.items[i];
        if (is_loose(r, joint))
            set(r, &r->loose, &joint->e);
        if (holds_now(&r->tight, &joint->e) && !holds_now(&r->locked, &joint->e))
            *ARRAY_PUSH(r->arena, &r->resume->torqued) = &joint->e;
    }
}

/* Openings that something goes in by and that their closers do not close. */
static void find_open(struct replayer *r)
{
    for (size_t i = 0; i < r->spec->openings.count; i++) {
        struct opening *opening = r->spec->openings.items[i];
        bool closed = opening->closer_count > 0;
        bool here = !opening->host || (r->resume->on[opening->host->e.order] &&
                                       (!r->resume->building || opening->host == r->spec->first ||
                                        holds_now(&r->fitted, &opening->host->e)));
        for (size_t j = 0; j < opening->closer_count; j++)
            closed = closed && r->resume->on[opening->closers[j]->e.order];
        if (here && !closed && !opening->stays_open.text)
            *ARRAY_PUSH(r->arena, &r->resume->open) = &opening->e;
    }
}

static void hold(struct replayer *r, struct entry *entry, enum resume_hold why)
{
    ARRAY_PUSH(r->arena, &r->resume->holds);
    r->resume->holds.items[r->resume->holds.count - 1].entry = entry;
    r->resume->holds.items[r->resume->holds.count - 1].why = why;
}

static bool is_done(const struct replayer *r, const struct task *task)
{
    return task && task->op.order < r->plan->operations.count &&
           r->plan->operations.items[task->op.order] == &task->op && r->resume->done[task->op.order];
}

static void find_holds(struct replayer *r)
{
    for (size_t i = 0; i < r->spec->settings.count; i++) {
        struct setting *setting = r->spec->settings.items[i];
        const struct joint *by = setting->by.count ? plan_as_joint(setting->by.to[0]) : NULL;
        if (by && is_done(r, plan_info(setting)->made) && !r->resume->tight[by->e.order])
            hold(r, &setting->e, HOLD_SETTING);
    }
    for (size_t i = 0; i < r->resume->loose.count; i++) {
        const struct joint *joint = (const struct joint *)r->resume->loose.items[i];
        bool placed = false;
        for (size_t k = 0; k < joint->holds.to_count; k++)
            placed |= joint->holds.to[k]->crank_at_text.text && holds_now(&r->fitted, joint->holds.to[k]);
        if (placed)
            hold(r, r->resume->loose.items[i], HOLD_JOINT);
    }
    for (size_t i = 0; i < r->spec->parts.count; i++)
        if (r->spec->parts.items[i]->until.count && r->resume->on[r->spec->parts.items[i]->e.order])
            hold(r, &r->spec->parts.items[i]->e, HOLD_SLAVE);
}

static void *flags(struct replayer *r)
{
    return ARENA_ARRAY(r->arena, bool, r->spec->entries.count + 1);
}

static struct since none(struct replayer *r)
{
    return (struct since){ARENA_ARRAY(r->arena, size_t, r->spec->entries.count + 1)};
}

struct resume *resume_after(struct arena *arena, const struct plan *plan, const bool *done)
{
    struct replayer r = {.arena = arena, .plan = plan, .spec = plan->build->spec,
                         .resume = ARENA_NEW(arena, struct resume)};
    struct since *const all[] = {&r.off,  &r.fitted, &r.placed, &r.bench,  &r.loose,
                                 &r.tight, &r.locked, &r.pasted, &r.curing, &r.warm};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        *all[i] = none(&r);
    *r.resume = (struct resume){.plan = plan, .done = done, .on = flags(&r), .tight = flags(&r)};
    r.now = 1; /* what stood before anything was done came first */
    begin(&r);
    for (size_t i = 0; i < plan->operations.count; i++) {
        const struct operation *op = plan->operations.items[i];
        if (!done[i]) {
            r.resume->next = r.resume->next ? r.resume->next : op;
            continue;
        }
        r.resume->building |= op->phase >= PHASE_TRIAL && !op->loose;
        r.now = 1 + ++r.resume->done_count;
        replay(&r, op);
    }
    r.now = r.resume->done_count + 2;
    for (size_t i = 0; i < r.spec->parts.count; i++) { /* what comes along with another */
        const struct part *part = r.spec->parts.items[i], *with = plan_info(part)->brought_by;
        if (with)
            r.resume->on[part->e.order] = r.resume->on[with->e.order];
    }
    find_joints(&r);
    r.resume->off = collect(&r, &r.off);
    r.resume->fitted = collect(&r, &r.fitted);
    r.resume->bench = collect(&r, &r.bench);
    r.resume->loose = collect(&r, &r.loose);
    r.resume->locked = collect(&r, &r.locked);
    r.resume->pasted = collect(&r, &r.pasted);
    r.resume->curing = collect(&r, &r.curing);
    r.resume->warm = collect(&r, &r.warm);
    find_open(&r);
    find_holds(&r);
    return r.resume;
}
