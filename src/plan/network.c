/* network.c - what follows what over the whole job: strip before clean before inspection, away and
 * back, bought before fitted, and the precedences of the build. */
#include <assert.h>
#include "plan_private.h"
#include "schedule_private.h"


struct weaver {
    struct network *net;
    const struct spec *spec;
    size_t *latest;                /* by entry: 1 + the node after which it may be used */
    size_t *bought, *supplied;     /* by entry: 1 + the line to buy that brings it; supplied: 0 once
                                      goods-in has looked at it */
    size_t *sent;                  /* by entry: 1 + the job that it is sent away for */
    size_t *removed;               /* by entry: 1 + the operation that takes it off */
};

bool network_is_dated(const struct operation *op)
{
    return op->phase != PHASE_FOLLOW_UP;
}

static size_t index_of(const struct entry *entry)
{
    return entry->order;
}

static void link(struct weaver *w, size_t from, size_t to)
{
    assert(to >= w->net->operations || from >= w->net->operations || from <= to); /* no loop */
    if (from != to)
        *ARRAY_PUSH(w->net->arena, &w->net->edges) = (struct network_edge){from, to};
}

static void first_used(struct weaver *w, size_t node, const struct operation *op)
{
    const struct operation **first = &w->net->first_user[node - w->net->operations];

    if (!*first && (op->phase >= PHASE_TRIAL || op->verb == VERB_SEND))
        *first = op;
}

/* ---------- what an operation needs in hand ---------- */

static void need(struct weaver *w, const struct operation *op, const struct entry *entry)
{
    size_t i = index_of(entry);

    if (w->latest[i])
        link(w, w->latest[i] - 1, op->order);
    if (w->supplied[i] && op->phase >= PHASE_GOODS_IN) /* before that the old one is in hand */
        link(w, w->supplied[i] - 1, op->order);
    if (w->bought[i])
        first_used(w, w->bought[i] - 1, op);
    if (w->sent[i])
        first_used(w, w->sent[i] - 1, op);
}

static void need_all(struct weaver *w, const struct operation *op, struct entry *const *entries,
                     size_t count)
{
    for (size_t i = 0; i < count; i++)
        need(w, op, entries[i]);
}

static void need_stock(struct weaver *w, const struct operation *op, const char *id)
{
    const struct build *build = w->net->plan->build;

    for (size_t i = 0; id && i < build->purchases.count; i++) {
        const struct consumable *consumable = build->purchases.items[i].consumable;
        if (!consumable || !str_equal(consumable->id, id))
            continue;
        link(w, w->net->operations + i, op->order);
        first_used(w, w->net->operations + i, op);
    }
}

static void need_of_joint(struct weaver *w, const struct operation *op, const struct joint *joint)
{
    if (op->verb == VERB_LOCK) {
        need_all(w, op, joint->lock.part.to, joint->lock.part.count);
        return;
    }
    need_all(w, op, joint->holds.to, joint->holds.to_count);
    for (size_t i = 0; i < joint->uses.count; i++)
        need_all(w, op, joint->uses.items[i].ref.to, joint->uses.items[i].ref.count);
    need_stock(w, op, joint->condition.lubricant.text);
    need_stock(w, op, joint->lock.consumable.text);
}

static void need_of(struct weaver *w, const struct operation *op)
{
    struct entry *entry = op->entry;

    need(w, op, entry);
    if (op->object)
        need(w, op, op->object);
    switch (entry->kind) {
    case ENTRY_JOINT:
        need_of_joint(w, op, (const struct joint *)entry);
        break;
    case ENTRY_FIT: {
        const struct fit *fit = (const struct fit *)entry;
        if (fit->inner.part)
            need(w, op, &fit->inner.part->e);
        if (fit->outer.part)
            need(w, op, &fit->outer.part->e);
        break;
    }
    case ENTRY_LIMIT:
        need_all(w, op, ((const struct limit *)entry)->of.to, ((const struct limit *)entry)->of.to_count);
        break;
    case ENTRY_SETTING:
        need_all(w, op, ((const struct setting *)entry)->of.to,
                 ((const struct setting *)entry)->of.to_count);
        break;
    case ENTRY_STEP:
        need_all(w, op, ((const struct step *)entry)->of.to, ((const struct step *)entry)->of.to_count);
        break;
    case ENTRY_SEAL: {
        const struct seal *seal = (const struct seal *)entry;
        need_all(w, op, seal->gasket.to, seal->gasket.count);
        need_stock(w, op, seal->sealant_row ? seal->sealant_row->id : NULL);
        break;
    }
    default:
        break;
    }
}

/* ---------- before the build: off, cleaned, looked at, away, back ---------- */

/* Sent when all its parts are to hand; after it is back they may be used. */
static void send(struct weaver *w, const struct operation *op)
{
    const struct outwork *job = (const struct outwork *)op->entry;
    size_t number = 0;

    while (w->spec->outwork.items[number] != job)
        number++;
    size_t away = w->net->operations + w->net->purchases + number;
    if (op->verb == VERB_SEND) {
        need_all(w, op, job->of.to, job->of.to_count);
        for (size_t i = 0; i < job->of.to_count; i++)
            w->sent[index_of(job->of.to[i])] = away + 1;
        link(w, op->order, away);
        w->latest[index_of(op->entry)] = away + 1;
        return;
    }
    if (w->latest[index_of(op->entry)])
        link(w, w->latest[index_of(op->entry)] - 1, op->order);
    w->latest[index_of(op->entry)] = op->order + 1;
    for (size_t i = 0; i < job->of.to_count; i++)
        w->latest[index_of(job->of.to[i])] = op->order + 1;
}

/* A unit is off before it is taken apart; a part that nothing takes off waits for the last that is. */
static void before_build(struct weaver *w, const struct operation *op, size_t last_off)
{
    size_t own = index_of(op->entry);

    if (op->entry->kind == ENTRY_OUTWORK) {
        send(w, op);
        return;
    }
    if (op->phase == PHASE_STRIP && op->unit && w->removed[index_of(op->unit)])
        link(w, w->removed[index_of(op->unit)] - 1, op->order);
    else if (op->phase > PHASE_STRIP && !w->latest[own] && !w->supplied[own] && last_off)
        link(w, last_off - 1, op->order);
    need(w, op, op->entry);
    w->latest[own] = op->order + 1;
    w->supplied[own] = op->phase == PHASE_GOODS_IN ? 0 : w->supplied[own]; /* in, and looked at */
    if (op->phase == PHASE_STRIP && op->verb == VERB_REMOVE)
        w->removed[own] = op->order + 1;
}

static void weave(struct weaver *w)
{
    const struct plan *plan = w->net->plan;
    size_t last_off = 0;
    const struct operation *before = NULL;

    for (size_t i = 0; i < w->net->operations; i++) {
        const struct operation *op = plan->operations.items[i];
        if (!network_is_dated(op))
            continue;
        if (op->phase < PHASE_TRIAL)
            before_build(w, op, last_off);
        else
            need_of(w, op);
        if (op->phase == PHASE_STRIP)
            last_off = i + 1;
        if (op->phase == PHASE_FIRST_RUN && before && before->phase == PHASE_FIRST_RUN)
            link(w, before->order, i);
        else if (op->phase == PHASE_FIRST_RUN)
            for (size_t k = 0; k < i; k++)
                link(w, k, i);
        before = op;
    }
}

/* Ghosts of the solver, which nobody does, are no operations of the plan. */
static bool stands(const struct plan *plan, const struct operation *op)
{
    return op->order < plan->operations.count && plan->operations.items[op->order] == op;
}

/* A trial is over with its last operation. */
static size_t last_of(const struct plan *plan, const struct operation *op)
{
    size_t i = op->order;

    while (op->verb == VERB_TRIAL && i + 1 < plan->operations.count &&
           plan->operations.items[i + 1]->trial == op->trial)
        i++;
    return i;
}

static void link_precedences(struct weaver *w)
{
    const struct plan *plan = w->net->plan;

    for (size_t i = 0; i < plan->precedences.count; i++) {
        const struct precedence *edge = &plan->precedences.items[i];
        if (stands(plan, edge->before) && stands(plan, edge->after) &&
            last_of(plan, edge->before) < edge->after->order)
            link(w, last_of(plan, edge->before), edge->after->order);
    }
}

static void bucket(struct network *net, bool back, size_t **start, size_t **edge)
{
    size_t *from = ARENA_ARRAY(net->arena, size_t, net->count + 2);
    size_t *list = ARENA_ARRAY(net->arena, size_t, net->edges.count + 1);

    for (size_t i = 0; i < net->edges.count; i++)
        from[(back ? net->edges.items[i].to : net->edges.items[i].from) + 2]++;
    for (size_t i = 0; i < net->count; i++)
        from[i + 2] += from[i + 1];
    for (size_t i = 0; i < net->edges.count; i++) {
        size_t node = back ? net->edges.items[i].to : net->edges.items[i].from;
        list[from[node + 1]++] = back ? net->edges.items[i].from : net->edges.items[i].to;
    }
    *start = from;
    *edge = list;
}

static void find_lanes(struct network *net, const struct spec *spec)
{
    size_t *number = ARENA_ARRAY(net->arena, size_t, spec->entries.count + 1);

    net->lane = ARENA_ARRAY(net->arena, size_t, net->operations + 1);
    net->lanes = 1; /* the engine */
    for (size_t i = 0; i < net->operations; i++) {
        const struct operation *op = net->plan->operations.items[i];
        const struct part *unit = plan_whole_unit(op);
        if (unit && !number[index_of(&unit->e)])
            number[index_of(&unit->e)] = net->lanes++;
        net->lane[i] = unit ? number[index_of(&unit->e)] : op->loose ? net->lanes++ : 0;
    }
}

struct network *network_of(struct arena *arena, const struct plan *plan)
{
    struct network *net = ARENA_NEW(arena, struct network);
    const struct spec *spec = plan->build->spec;
    const struct build *build = plan->build;
    size_t entries = spec->entries.count + 1;
    struct weaver w = {.net = net,
                       .spec = spec,
                       .latest = ARENA_ARRAY(arena, size_t, entries),
                       .bought = ARENA_ARRAY(arena, size_t, entries),
                       .supplied = ARENA_ARRAY(arena, size_t, entries),
                       .sent = ARENA_ARRAY(arena, size_t, entries),
                       .removed = ARENA_ARRAY(arena, size_t, entries)};

    net->arena = arena;
    net->plan = plan;
    net->operations = plan->operations.count;
    net->purchases = build->purchases.count;
    net->count = net->operations + net->purchases + spec->outwork.count;
    net->first_user =
        ARENA_ARRAY(arena, const struct operation *, net->purchases + spec->outwork.count + 1);
    for (size_t i = 0; i < build->purchases.count; i++)
        for (size_t k = 0; k < build->purchases.items[i].part_count; k++)
            w.supplied[index_of(&build->purchases.items[i].parts[k]->e)] =
                w.bought[index_of(&build->purchases.items[i].parts[k]->e)] = net->operations + i + 1;
    find_lanes(net, spec);
    weave(&w);
    link_precedences(&w);
    bucket(net, false, &net->start, &net->edge);
    bucket(net, true, &net->back_start, &net->back_edge);
    return net;
}
