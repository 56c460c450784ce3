/* cost.c - what an order loses: the weights (templates/cost.yaml), what each operation wants of the
 * bench, and the one number. */
#include "cheapest.h"
#include "cost_texts.h" /* templates/cost.yaml as text, made by the build */
#include "plan_private.h"

#include <gudgeon/file.h>

#include <string.h>

static const char *const cost_words[COST_COUNT] = {"card",   "side",  "crank", "engine",
                                                   "wrench", "paste", "heat",  "wait"};

const char *plan_cost_word(enum cost_kind kind)
{
    return cost_words[kind];
}

/* ---------- weights ---------- */

static void read_time(struct context *context, const struct node *node, int64_t *seconds)
{
    enum { MOST_DAYS = 365 };
    struct qty_value value;
    struct qty_error error;

    if (node->kind != NODE_SCALAR ||
        !qty_read(context->arena, node->text, QTY_TIME, QTY_TAKE_ONE, &value, &error) ||
        value.nominal.si < 0 || value.nominal.si > MOST_DAYS * 86400.0)
        diag_add(&context->diags, DIAG_PLAN_WEIGHT, node->span,
                 "%s is a time such as 6 min, and not more than a year", node->key);
    else
        *seconds = (int64_t)(value.nominal.si + 0.5);
}

/* Each key of `map` is one of `words` and says its seconds. */
static void read_times(struct context *context, const struct node *map, const char *const *words,
                       size_t count, int64_t *seconds)
{
    for (const struct node *node = map ? map->child : NULL; node; node = node->next) {
        size_t i = 0;
        while (i < count && !str_equal(words[i], node->key))
            i++;
        if (i < count) {
            read_time(context, node, &seconds[i]);
            continue;
        }
        struct diag *diag = diag_add(&context->diags, DIAG_PLAN_WEIGHT, node->key_span,
                                     "'%s' has no weight", node->key);
        const char *near = str_nearest(node->key, words, count);
        if (near)
            diag_fix(&context->diags, diag, node->key_span, near);
    }
}

static void read_weights(struct context *context, const struct node *root,
                         struct cost_weights *weights)
{
    static const char *const sections[] = {"lost", "work", "day"};
    const char *verbs[VERB_COUNT];

    for (int verb = 0; verb < VERB_COUNT; verb++)
        verbs[verb] = verb_word((enum verb)verb) ? verb_word((enum verb)verb) : "";
    for (const struct node *node = root->child; node; node = node->next)
        if (!str_equal(node->key, "lost") && !str_equal(node->key, "work") &&
            !str_equal(node->key, "day")) {
            struct diag *diag = diag_add(&context->diags, DIAG_PLAN_WEIGHT, node->key_span,
                                         "weights have no key '%s'", node->key);
            const char *near = str_nearest(node->key, sections, 3);
            if (near)
                diag_fix(&context->diags, diag, node->key_span, near);
        }
    read_times(context, tree_child(root, "lost"), cost_words, COST_WAIT, weights->lost_s);
    read_times(context, tree_child(root, "work"), verbs, VERB_COUNT, weights->work_s);
    const struct node *day = tree_child(root, "day");
    if (day)
        read_time(context, day, &weights->day_s);
    if (day && (weights->day_s < 60 || weights->day_s > 86400))
        diag_add(&context->diags, DIAG_PLAN_WEIGHT, day->span, "a day at the bench is 1 min to 24 h");
}

static void lay_over(struct context *context, uint32_t source, struct cost_weights *weights)
{
    const struct node *root = source ? tree_parse(context, source) : NULL;

    if (root)
        read_weights(context, root, weights);
}

const struct cost_weights *plan_weights(struct context *context, const char *path)
{
    struct cost_weights *weights = ARENA_NEW(context->arena, struct cost_weights);
    size_t errors = context->diags.errors;

    lay_over(context,
             source_add(context->arena, &context->sources, "cost.yaml (built in)",
                        cost_texts[0].text, strlen(cost_texts[0].text)),
             weights);
    if (path) { /* what it leaves out stays as built in */
        struct file_bytes file = file_read(context->arena, path, BOUND_FILE_BYTES);
        if (file.status != FILE_OK) {
            diag_add(&context->diags, DIAG_PLAN_WEIGHT_FILE, (struct span){0}, "weights %s: %s", path,
                     file.why ? file.why : "cannot be read");
            context->outside_failed = true; /* it was named on the command line */
            return NULL;
        }
        lay_over(context, source_add(context->arena, &context->sources, path, file.bytes, file.size),
                 weights);
    }
    return context->diags.errors > errors ? NULL : weights;
}

/* ---------- what operations want ---------- */

/* Alike texts have one number, from 1; no text has none. */
static uint32_t number_of(struct arena *arena, struct map *numbers, const char *text)
{
    return text ? (uint32_t)map_put_text(arena, numbers, text, numbers->count + 1) : 0;
}

enum { ON_ENGINE = 1, LOOSE_PIECES, UNITS }; /* places: units and trials from UNITS on */

static uint32_t place_of(const struct maker *maker, const struct task *task)
{
    const struct operation *op = &task->op;
    const struct part *unit = plan_whole_unit(op);

    if (op->verb == VERB_WAIT)
        return 0;
    if (op->verb == VERB_TRIAL) /* cards of its own */
        return (uint32_t)(UNITS + (plan_info(op->entry) - maker->infos));
    return unit      ? (uint32_t)(UNITS + (plan_info(unit) - maker->infos))
           : op->loose ? LOOSE_PIECES
                       : ON_ENGINE;
}

static uint32_t wrench_of(const struct maker *maker, const struct operation *op)
{
    const struct joint *joint = plan_as_joint(op->entry);
    const struct joint_values *values =
        joint && (op->verb == VERB_TIGHTEN || op->verb == VERB_RETIGHTEN)
            ? build_joint(maker->build, joint)
            : NULL;

    return values && values->wrench
               ? (uint32_t)(1 + (values->wrench - maker->spec->shop.wrenches.items))
               : 0;
}

static uint32_t paste_of(const struct maker *maker, const struct operation *op)
{
    const struct seal *seal = op->verb == VERB_SEAL ? (const struct seal *)op->entry : NULL;

    return seal && seal->sealant_row
               ? (uint32_t)(1 + (seal->sealant_row - maker->spec->consumables.items))
               : 0;
}

/* A part stays hot while others go on, with what is laid for them; anything else lets it cool. */
static bool keeps_warm(const struct operation *op)
{
    return op->verb == VERB_HEAT || op->verb == VERB_FIT || op->verb == VERB_SEAL ||
           (op->verb == VERB_PROVE && op->object);
}

/* What is laid or heated for a part takes the engine as it stands: the part says how it wants it. */
static bool turns_engine(const struct operation *op)
{
    return !op->unit && !op->loose && op->verb != VERB_WAIT && op->verb != VERB_SEAL &&
           op->verb != VERB_HEAT;
}

static int64_t work_of(const struct cost_weights *weights, const struct operation *op)
{
    if (op->verb == VERB_WAIT)
        return 0;
    return op->entry->takes.present && op->verb != VERB_WITNESS && op->verb != VERB_COUNT_BACK &&
                   op->entry->takes.value.kind != QTY_ABSENT
               ? (int64_t)op->entry->takes.value.low.si
               : weights->work_s[op->verb];
}

struct cost_wants *plan_wants(struct maker *maker)
{
    struct cost_wants *all = ARENA_ARRAY(maker->arena, struct cost_wants, maker->tasks.count + 1);
    struct map sides = {0}, cranks = {0}, engines = {0};

    for (size_t i = 0; i < maker->tasks.count; i++) {
        const struct task *task = maker->tasks.items[i];
        const struct operation *op = &task->op;
        struct cost_wants *w = &all[i];
        if (task->ghost) /* a place in the build, nothing done */
            continue;
        w->wants[COST_CARD] = place_of(maker, task);
        if (turns_engine(op)) {
            w->wants[COST_SIDE] = number_of(maker->arena, &sides, op->entry->side_up.text);
            w->wants[COST_CRANK] =
                number_of(maker->arena, &cranks, plan_crank_text(maker->arena, op->entry));
            w->wants[COST_ENGINE] = number_of(maker->arena, &engines, op->entry->engine_is.text);
        }
        w->wants[COST_WRENCH] = wrench_of(maker, op);
        w->wants[COST_PASTE] = paste_of(maker, op);
        if (op->verb == VERB_HEAT) /* of one and the same part, or else of the fit */
            w->wants[COST_HEAT] = (uint32_t)(1 + (op->object ? op->object : op->entry)->order);
        w->cools = !keeps_warm(op);
        w->work_s = work_of(maker->plan->weights, op);
        w->wait_s = op->verb == VERB_WAIT ? op->at_least_s : 0;
    }
    return all;
}

/* ---------- the number ---------- */

/* Since when all before a clump has been done: the blocks that they stand in have ended. */
static int64_t ready_since(const struct maker *maker, size_t clump, const int64_t *ended)
{
    const struct plan_graph *graph = maker->graph;
    int64_t since = 0;

    for (size_t e = graph->back_start[clump]; e < graph->back_start[clump + 1]; e++) {
        int64_t end = ended[graph->before[e]];
        since = end > since ? end : since;
    }
    return since;
}

struct plan_cost plan_cost_of(struct maker *maker, const struct cost_wants *wants)
{
    struct plan_cost cost = {0};
    struct cost_bench bench = {{0}};
    int64_t *ended = ARENA_ARRAY(maker->arena, int64_t, maker->graph->clumps + 1), now = 0;

    for (size_t i = 0; i < maker->order.count; i++) {
        size_t task = maker->order.items[i]->index, clump = maker->graph->clump_of[task];
        const struct cost_wants *w = &wants[task];
        bool alone = maker->graph->member_start[clump + 1] == maker->graph->member_start[clump] + 1;
        int64_t change = plan_change(maker->plan->weights, &bench, w, &cost);
        cost.total_s += change;
        now += change + w->work_s;
        int64_t idle = !w->wait_s ? 0
                       : alone    ? ready_since(maker, clump, ended) + w->wait_s - now
                                  : w->wait_s;
        if (idle > 0) {
            cost.lost_s[COST_WAIT] += idle;
            cost.total_s += idle;
            cost.times[COST_WAIT]++;
            now += idle;
        }
        ended[clump] = now;
    }
    return cost;
}

/* ---------- cheaper ---------- */

/* What is begun is finished; but nobody stands by while something rests. */
static bool finishes(const struct maker *maker, size_t clump)
{
    const struct plan_graph *graph = maker->graph;
    bool begun = graph->back_start[clump] != graph->back_start[clump + 1];

    for (size_t m = graph->member_start[clump]; m < graph->member_start[clump + 1]; m++) {
        const struct task *task = maker->tasks.items[graph->member[m]];
        begun = begun && task->class == TASK_FINISH && task->op.verb != VERB_WAIT;
    }
    return begun;
}

static bool comes_late(const struct maker *maker, size_t clump)
{
    const struct plan_graph *graph = maker->graph;

    for (size_t m = graph->member_start[clump]; m < graph->member_start[clump + 1]; m++)
        if (maker->tasks.items[graph->member[m]]->op.verb == VERB_TRIAL)
            return true;
    return false;
}

static void take_order(struct maker *maker, const size_t *order)
{
    const struct plan_graph *graph = maker->graph;

    maker->order.count = 0;
    for (size_t i = 0; i < graph->clumps; i++)
        for (size_t m = graph->member_start[order[i]]; m < graph->member_start[order[i] + 1]; m++) {
            struct task *task = maker->tasks.items[graph->member[m]];
            task->at = maker->order.count;
            maker->order.items[maker->order.count++] = task;
        }
}

void plan_find_cheapest(struct maker *maker)
{
    const struct plan_graph *graph = maker->graph;
    const struct cost_wants *wants = plan_wants(maker);
    struct cost_wants *dealt = ARENA_ARRAY(maker->arena, struct cost_wants, graph->tasks + 1);
    bool *at_once = ARENA_ARRAY(maker->arena, bool, graph->clumps + 1);
    bool *late = ARENA_ARRAY(maker->arena, bool, graph->clumps + 1);
    struct cheapest problem = {.arena = maker->arena,
                               .weights = maker->plan->weights,
                               .count = graph->clumps,
                               .start = graph->start,
                               .after = graph->after,
                               .back_start = graph->back_start,
                               .before = graph->before,
                               .wants_start = graph->member_start,
                               .wants = dealt,
                               .at_once = at_once,
                               .late = late,
                               .order = ARENA_ARRAY(maker->arena, size_t, graph->clumps + 1)};

    for (size_t i = 0; i < graph->tasks; i++)
        dealt[i] = wants[graph->member[i]];
    for (size_t c = 0; c < graph->clumps; c++) {
        at_once[c] = finishes(maker, c);
        late[c] = comes_late(maker, c);
    }
    for (size_t i = 0, blocks = 0; i < maker->order.count; i++) {
        size_t clump = graph->clump_of[maker->order.items[i]->index];
        if (i == 0 || clump != graph->clump_of[maker->order.items[i - 1]->index])
            problem.order[blocks++] = clump;
    }
    plan_cheapen(&problem);
    take_order(maker, problem.order);
}
