/* setup.c - what each operation hides for good (last chance to see), and what has to be turned,
 * heated or cooled before it. */
#include "plan_private.h"

/* ---------- last chance to see: closed off by through, reach, under or between ---------- */

static void hide(struct maker *maker, struct task *task, struct entry *entry)
{
    if (!task || task->op.entry == entry)
        return;
    for (size_t i = 0; i < task->op.hides.count; i++)
        if (task->op.hides.items[i] == entry)
            return;
    *ARRAY_PUSH(maker->arena, &task->op.hides) = entry;
}

/* The operation that closes an opening for good: the last of its closers. */
static struct task *closing_of(const struct opening *opening)
{
    struct task *last = NULL;

    for (size_t i = 0; i < opening->closer_count; i++) {
        struct task *fit = plan_info(opening->closers[i])->fit;
        if (fit && (!last || fit->at > last->at))
            last = fit;
    }
    return last;
}

static void hide_through(struct maker *maker, const struct ref *opening, struct entry *entry)
{
    if (opening->count && opening->to[0]->kind == ENTRY_OPENING)
        hide(maker, closing_of((const struct opening *)opening->to[0]), entry);
}

/* What is read or set within a unit is closed off with the unit, wherever it could be reached. */
static bool is_read_on_engine(const struct entry *entry)
{
    const struct info *info = plan_info(entry);

    return !info->where &&
           (entry->kind == ENTRY_SETTING ||
            (entry->kind == ENTRY_LIMIT && info->assembled && !info->assembled->ghost));
}

static void hide_entry(struct maker *maker, struct entry *entry)
{
    hide_through(maker, &entry->reach, entry);
    for (size_t i = 0; i < entry->under.to_count; i++)
        if (plan_as_part(entry->under.to[i]))
            hide(maker, plan_info(entry->under.to[i])->fit, entry);
    if (entry->kind == ENTRY_PART)
        hide_through(maker, &((struct part *)entry)->through, entry);
    if (is_read_on_engine(entry) && plan_reach_of(maker, entry, NULL))
        hide_through(maker, plan_reach_of(maker, entry, NULL), entry);
    if (entry->kind == ENTRY_JOINT && !entry->reach.text && !entry->reach_outside) {
        const struct joint *joint = (const struct joint *)entry;
        struct part *main = joint->holds.to_count ? plan_as_part(joint->holds.to[0]) : NULL;
        if (main)
            hide_through(maker, &main->through, entry);
    }
    if (entry->kind == ENTRY_SEAL) {
        const struct seal *seal = (const struct seal *)entry;
        struct part *last = seal->between.to_count
                                ? plan_as_part(seal->between.to[seal->between.to_count - 1])
                                : NULL;
        if (last)
            hide(maker, plan_info(last)->fit, entry);
    }
}

/* ---------- set-ups ---------- */

struct state {
    const char *side, *crank, *engine;
    const struct wrench *wrench;
};

/* As written; in an `each` entry the cylinder meant is named where the text leaves it out. */
const char *plan_crank_text(struct arena *arena, const struct entry *entry)
{
    const char *text = entry->crank_at_text.text, *place = entry->crank_at.cylinder;

    if (!text)
        return NULL;
    for (const char *at = text; place && *at; at++)
        if (*at == ' ' && str_starts(at + 1, place))
            return text;
    return place || entry->place
               ? str_print(arena, "%s of cylinder %s", text, place ? place : entry->place)
               : text;
}

/* Tightened again after a run, the engine is as that says: mostly hot. */
static const char *engine_text(const struct operation *op)
{
    const struct joint *joint = plan_as_joint(op->entry);

    for (size_t i = 0; joint && op->phase == PHASE_FOLLOW_UP && i < joint->again.count; i++)
        if (joint->again.items[i].run.count && joint->again.items[i].engine_is.text)
            return joint->again.items[i].engine_is.text;
    return op->entry->engine_is.text;
}

static void change(struct str_buf *out, const char **now, const char *wanted, const char *before,
                   const char *after)
{
    if (!wanted || str_equal(*now, wanted))
        return;
    str_add_print(out, "%s%s%s%s", out->length ? "; " : "", before, wanted, after);
    *now = wanted;
}

/* Another wrench in hand; each step prints the one it wants, so this is only counted. */
static bool another_wrench(const struct maker *maker, const struct operation *op,
                           struct state *state)
{
    const struct joint *joint = plan_as_joint(op->entry);
    const struct joint_values *values =
        joint && (op->verb == VERB_TIGHTEN || op->verb == VERB_RETIGHTEN)
            ? build_joint(maker->build, joint)
            : NULL;
    const struct wrench *before = state->wrench;

    if (!values || !values->wrench)
        return false;
    state->wrench = values->wrench;
    return before && before != values->wrench;
}

/* What is laid or heated for a part wants the engine as that part does: nobody turns a case over
 * with a gasket lying on it. */
static const struct entry *stands_for(const struct plan *plan, const struct operation *op)
{
    size_t i = op->order;

    while (i + 1 < plan->operations.count &&
           (plan->operations.items[i]->verb == VERB_SEAL ||
            plan->operations.items[i]->verb == VERB_HEAT ||
            (plan->operations.items[i]->verb == VERB_PROVE && plan->operations.items[i]->object)))
        i++;
    return plan->operations.items[i]->verb == VERB_FIT ? plan->operations.items[i]->entry
                                                       : op->entry;
}

static void set_up(struct maker *maker, struct operation *op, struct state *state)
{
    struct str_buf out = {.arena = maker->arena};
    const struct entry *wants = stands_for(maker->plan, op);
    bool turned_over = state->side != NULL;

    change(&out, &state->side, wants->side_up.text,
           turned_over ? "turn the case over: " : "lay the case: ", " up");
    change(&out, &state->crank, plan_crank_text(maker->arena, wants), "turn the crank to ", "");
    change(&out, &state->engine, engine_text(op), "the engine is to be ", "");
    if (op->verb == VERB_HEAT || another_wrench(maker, op, state))
        maker->plan->setups++;
    if (!out.length)
        return;
    op->turns = out.bytes;
    maker->plan->setups++;
}

static bool is_build(enum phase phase)
{
    return phase == PHASE_TRIAL || phase == PHASE_FINAL || phase == PHASE_SET;
}

/* What is done to loose pieces and units on the bench turns nothing on the engine. */
void plan_setups(struct maker *maker)
{
    struct state state = {0};
    enum phase phase = PHASE_INTAKE;

    for (size_t i = 0; i < maker->plan->operations.count; i++) {
        struct operation *op = maker->plan->operations.items[i];
        if (op->phase != phase && !(is_build(op->phase) && is_build(phase)))
            state = (struct state){0};
        phase = op->phase;
        if (!op->unit && !op->loose)
            set_up(maker, op, &state);
    }
    for (size_t i = 0; i < maker->spec->entries.count; i++)
        hide_entry(maker, maker->spec->entries.items[i]);
}
