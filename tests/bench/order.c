/* order.c - how long ordering takes: 100,000 operations, 400,000 precedences, in a form that the solver
 * gets from facts: units on the bench, joints with wrenches, pastes, heat, waits, what stands together.
 * The same precedences as text go through tsort of coreutils; all three are timed in turn, and the
 * medians of processor time are compared. Run from the top of the tree: sh tests/bench/run.sh */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

#include "luck.h"
#include "plan_private.h"

enum { OPERATIONS = 100000, PRECEDENCES = 400000, UNITS = 300, WRENCHES = 12, PASTES = 5, RUNS = 7 };

/* ---------- a large build ---------- */

struct bench {
    struct context *context;
    struct spec spec;
    struct build build;
    struct plan plan;
    struct maker maker;
    struct luck luck;
    struct part *units[UNITS];
};

static const enum verb verbs[] = {VERB_FIT, VERB_FIT, VERB_FIT, VERB_TIGHTEN, VERB_TIGHTEN, VERB_LOCK,
                                  VERB_SEAL, VERB_READ, VERB_WITNESS, VERB_HEAT, VERB_WAIT};

static struct entry *make_entry(struct bench *b, enum verb verb)
{
    static const char *const sides[] = {"head", "sump", "front"}, *const states[] = {"hot", "cold"};
    struct arena *arena = b->context->arena;
    struct entry *entry;

    if (verb == VERB_TIGHTEN) {
        struct joint *joint = ARENA_NEW(arena, struct joint);
        map_put_item(arena, &b->build.places, joint, b->build.joints.count);
        *ARRAY_PUSH(arena, &b->build.joints) = (struct joint_values){
            .joint = joint, .wrench = &b->spec.shop.wrenches.items[pick(&b->luck, WRENCHES)]};
        entry = &joint->e;
        entry->kind = ENTRY_JOINT;
    } else if (verb == VERB_SEAL) {
        struct seal *seal = ARENA_NEW(arena, struct seal);
        seal->sealant_row = &b->spec.consumables.items[pick(&b->luck, PASTES)];
        entry = &seal->e;
        entry->kind = ENTRY_SEAL;
    } else {
        entry = &ARENA_NEW(arena, struct part)->e;
        entry->kind = ENTRY_PART;
    }
    if (chance(&b->luck, 40))
        entry->side_up.text = sides[pick(&b->luck, 3)];
    if (chance(&b->luck, 5))
        entry->engine_is.text = states[pick(&b->luck, 2)];
    return entry;
}

static void make_operation(struct bench *b, size_t index)
{
    struct task *task = ARENA_NEW(b->context->arena, struct task);
    struct info *info = &b->maker.infos[UNITS + index];

    task->op.verb = verbs[pick(&b->luck, sizeof verbs / sizeof *verbs)];
    task->op.phase = PHASE_FINAL;
    task->op.entry = info->entry = make_entry(b, task->op.verb);
    info->entry->plan_data = info;
    info->entry->order = index;
    if (task->op.verb == VERB_WAIT)
        task->op.at_least_s = 60 * (1 + pick(&b->luck, 600));
    else if (chance(&b->luck, 30)) /* neighbours work on one unit */
        plan_set_unit(&task->op, b->units[index * UNITS / OPERATIONS]);
    task->class = task->op.verb == VERB_FIT    ? TASK_FIT
                  : task->op.verb == VERB_WAIT ? TASK_LAZY
                                               : TASK_FINISH;
    task->rank = pick(&b->luck, OPERATIONS);
    task->index = index;
    *ARRAY_PUSH(b->maker.arena, &b->maker.tasks) = task;
}

/* Most precedences join neighbours, some go far; every tenth pair stands together. */
static void make_precedences(struct bench *b)
{
    while (b->plan.precedences.count < PRECEDENCES) {
        size_t edge = b->plan.precedences.count;
        size_t from = pick(&b->luck, OPERATIONS - 1);
        size_t reach = chance(&b->luck, 90) ? 60 : OPERATIONS, to = from + 1 + pick(&b->luck, (unsigned)reach);
        if (edge < OPERATIONS / 10) {
            from = 10 * edge;
            to = from + 1;
            *ARRAY_PUSH(b->maker.arena, &b->maker.glues) = (struct glue){edge};
        }
        if (to < OPERATIONS)
            *ARRAY_PUSH(b->maker.arena, &b->plan.precedences) =
                (struct precedence){.before = &b->maker.tasks.items[from]->op,
                                    .after = &b->maker.tasks.items[to]->op};
    }
}

static void make_bench(struct bench *b, struct context *context, uint64_t seed)
{
    struct arena *arena = context->arena;

    *b = (struct bench){.context = context, .luck = {seed}};
    b->spec.shop.wrenches.items = arena_alloc(arena, WRENCHES * sizeof *b->spec.shop.wrenches.items);
    b->spec.consumables.items = arena_alloc(arena, PASTES * sizeof *b->spec.consumables.items);
    b->build.spec = &b->spec;
    b->plan.weights = plan_weights(context, NULL);
    b->maker = (struct maker){.context = context, .arena = arena, .build = &b->build, .spec = &b->spec,
                              .plan = &b->plan,
                              .infos = ARENA_ARRAY(arena, struct info, UNITS + OPERATIONS)};
    for (size_t i = 0; i < UNITS; i++) {
        b->units[i] = ARENA_NEW(arena, struct part);
        b->units[i]->e.kind = ENTRY_PART;
        b->units[i]->e.plan_data = &b->maker.infos[i];
        b->maker.infos[i].entry = &b->units[i]->e;
    }
    for (size_t i = 0; i < OPERATIONS; i++)
        make_operation(b, i);
    make_precedences(b);
}

/* ---------- timing ---------- */

static double cpu_s(int who)
{
    struct rusage usage;

    getrusage(who, &usage);
    return (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
           (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) * 1e-6;
}

static void write_pairs(const struct bench *b, const char *path)
{
    FILE *file = fopen(path, "w");

    if (!file)
        abort();
    for (size_t i = 0; i < b->plan.precedences.count; i++)
        fprintf(file, "%zu %zu\n", ((struct task *)b->plan.precedences.items[i].before)->index,
                ((struct task *)b->plan.precedences.items[i].after)->index);
    if (fclose(file))
        abort();
}

static double time_tsort(const char *command)
{
    double start = cpu_s(RUSAGE_CHILDREN);

    if (system(command) != 0)
        abort();
    return cpu_s(RUSAGE_CHILDREN) - start;
}

/* Everything from precedences to an order; each run in an arena of its own, as a user's run is. */
static double time_order(uint64_t seed, const char *pairs, bool cheapest, struct plan_cost *cost)
{
    struct context_options options = {0};
    struct context *context = context_new(&options);
    static struct bench b;

    make_bench(&b, context, seed);
    if (pairs)
        write_pairs(&b, pairs);
    double start = cpu_s(RUSAGE_SELF);
    if (!plan_order(&b.maker))
        abort();
    if (cheapest)
        plan_find_cheapest(&b.maker);
    double seconds = cpu_s(RUSAGE_SELF) - start;
    *cost = plan_cost_of(&b.maker, plan_wants(&b.maker));
    context_free(context);
    return seconds;
}

static int by_size(const void *left, const void *right)
{
    const double *a = left, *b = right;

    return *a < *b ? -1 : *a > *b;
}

static double median(double *seconds)
{
    qsort(seconds, RUNS, sizeof *seconds, by_size);
    return seconds[RUNS / 2];
}

static void report(const char *name, double seconds, double tsort_s, double most)
{
    double times = seconds / tsort_s;

    printf("# %s: median %.0f ms, %.2f times what tsort needs, at most %.1f\n", name, seconds * 1e3, times,
           most);
    printf(times <= most ? "ok %s\n" : "not ok %s: %.2f times\n", name, times);
}

int main(int count, char **words)
{
    const char *pairs = count > 1 ? words[1] : "precedences.txt";
    double tsort_s[RUNS], order_s[RUNS], cheapest_s[RUNS];
    struct plan_cost plain, cheap;
    char command[4096];

    snprintf(command, sizeof command, "tsort '%s' >/dev/null", pairs);
    for (int i = 0; i < RUNS; i++) {
        order_s[i] = time_order((uint64_t)i + 1, pairs, false, &plain);
        tsort_s[i] = time_tsort(command);
        cheapest_s[i] = time_order((uint64_t)i + 1, NULL, true, &cheap);
    }
    double base = median(tsort_s);
    printf("# %d operations, %d precedences, %d runs; tsort: median %.0f ms\n", OPERATIONS, PRECEDENCES, RUNS,
           base * 1e3);
    printf("# of the last: the default order loses %lld min, the cheapest found %lld min\n",
           (long long)(plain.total_s / 60), (long long)(cheap.total_s / 60));
    report("the default rule", median(order_s), base, 0.3);
    report("the cheapest order", median(cheapest_s), base, 1.0);
    return 0;
}
