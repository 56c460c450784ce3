/* The replay and the solver on whole engines: each implication left out is caught, file order alone
 * wrecks an engine, shuffled files keep every fact. */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <gudgeon/plan.h>

static const char *const engines[] = {
    "specs/hob.yaml",
    "specs/pintail.yaml",
    "tests/golden/plan/quillet-opposed-twin.yaml",
    "tests/golden/plan/dunmallet-v-twin.yaml",
    "tests/golden/plan/wexcombe-four.yaml",
    "tests/golden/plan/a-nut-on-the-bench-after-a-cure.yaml", /* kept for implication 3 */
};
enum { ENGINES = sizeof engines / sizeof *engines };

static struct context *open_context(void)
{
    struct context_options options = {0};
    struct context *context = context_new(&options);

    context->tables = table_set_default();
    return context;
}

static const char *said(struct context *context)
{
    struct str_buf out = {.arena = context->arena};

    str_add(&out, "");
    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, 20, &out);
    return out.bytes;
}

static const struct build *load(struct context *context, const char *path)
{
    struct spec *spec = spec_read(context, tree_load(context, path));
    const struct build *build = resolve_build(context, spec);

    cr_assert(build, "%s\n%s", path, said(context));
    return build;
}

/* ---------- each implication is watched ---------- */

/* An implication left out of the solver gives a plan that the replay refuses, on one of the engines. */
Test(plan, each_implication_left_out_is_caught_by_the_replay, .timeout = 120)
{
    bool caught[15] = {false};

    for (size_t e = 0; e < ENGINES; e++) {
        struct context *context = open_context();
        const struct build *build = load(context, engines[e]);
        struct plan *whole = plan_make(context, build, NULL);
        struct plan_fault fault = {0};
        cr_assert(whole, "%s\n%s", engines[e], said(context));
        cr_assert(plan_check(context->arena, build, whole->operations.items,
                             whole->operations.count, &fault),
                  "%s: %s", engines[e], fault.words);
        for (unsigned i = 1; i <= 14; i++) {
            struct plan_options options = {.without = 1u << i};
            struct plan *plan = plan_make(context, build, &options);
            cr_assert(plan, "%s without implication %u\n%s", engines[e], i, said(context));
            if (!plan_check(context->arena, build, plan->operations.items, plan->operations.count,
                            &fault))
                caught[i] = true;
        }
        context_free(context);
    }
    for (unsigned i = 1; i <= 14; i++)
        cr_assert(caught[i], "implication %u can be left out and the replay does not see it", i);
}

Test(plan, an_order_that_does_not_hold_is_gudgeons_own_fault)
{
    struct context *context = open_context();
    const struct build *build = load(context, "tests/golden/plan/wexcombe-four.yaml");
    struct plan_options options = {.without = 1u << 2, .replay = true};

    cr_assert_null(plan_make(context, build, &options));
    cr_assert(strstr(said(context), "gudgeon is at fault: its order does not hold implication 2: ") &&
                  strstr(said(context), "[G0799]"),
              "%s", said(context));
    context_free(context);
}

/* ---------- file order alone ---------- */

static int by_file(const void *left, const void *right)
{
    const struct operation *a = *(struct operation *const *)left;
    const struct operation *b = *(struct operation *const *)right;

    return a->entry->order != b->entry->order ? (a->entry->order < b->entry->order ? -1 : 1)
                                              : (a->order < b->order ? -1 : 1);
}

/* The operations of the build in the order of the file: all parts, then all joints, then the rest. */
Test(plan, file_order_alone_would_wreck_the_engine)
{
    for (size_t e = 0; e < 2; e++) {
        struct context *context = open_context();
        const struct build *build = load(context, engines[e]);
        struct plan *plan = plan_make(context, build, NULL);
        size_t count = plan->operations.count, from = 0, to;
        struct operation **ops = ARENA_ARRAY(context->arena, struct operation *, count);
        struct plan_fault fault = {0};
        memcpy(ops, plan->operations.items, count * sizeof *ops);
        while (ops[from]->phase != PHASE_FINAL && ops[from]->phase != PHASE_TRIAL)
            from++;
        for (to = from; to < count && (ops[to]->phase == PHASE_FINAL || ops[to]->phase == PHASE_TRIAL);)
            to++;
        qsort(ops + from, to - from, sizeof *ops, by_file);
        cr_assert(!plan_check(context->arena, build, ops, count, &fault), "%s", engines[e]);
        cr_assert(fault.words && fault.implication >= 1 && fault.implication <= 14, "%s: %s",
                  engines[e], fault.words);
        context_free(context);
    }
}

/* ---------- entries in any order ---------- */

static uint64_t next_random(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return *state >> 33;
}

static void shuffle(struct arena *arena, struct node *map, uint64_t *state)
{
    struct node **items = ARENA_ARRAY(arena, struct node *, map->count + 1);
    size_t count = 0;

    for (struct node *child = map->child; child; child = child->next)
        items[count++] = child;
    for (size_t i = count; i > 1; i--) {
        size_t k = next_random(state) % i;
        struct node *moved = items[i - 1];
        items[i - 1] = items[k];
        items[k] = moved;
    }
    for (size_t i = 0; i < count; i++)
        items[i]->next = items[i + 1];
    map->child = count ? items[0] : NULL;
}

static const char *const sections[] = {
    "parts",    "joints", "fits",  "limits", "settings", "openings",   "passages",
    "seals",    "steps",  "trials", "outwork", "running-in"};

/* Sections and the entries in them, in any order: every plan holds every fact. */
Test(plan, shuffled_entries_keep_every_fact, .timeout = 300)
{
    for (size_t e = 0; e < 2; e++) {
        size_t operations = 0;
        for (uint64_t seed = 1; seed <= 200; seed++) {
            struct context *context = open_context();
            struct tree *tree = tree_load(context, engines[e]);
            struct plan_fault fault = {0};
            uint64_t state = seed * 977;
            for (size_t i = 0; i < sizeof sections / sizeof *sections; i++) {
                struct node *section = tree_child(tree->root, sections[i]);
                if (section)
                    shuffle(context->arena, section, &state);
            }
            struct build build = {.spec = spec_read(context, tree)};
            cr_assert(build.spec, "%s, seed %u\n%s", engines[e], (unsigned)seed, said(context));
            struct plan *plan = plan_make(context, &build, NULL);
            cr_assert(plan, "%s, seed %u\n%s", engines[e], (unsigned)seed, said(context));
            cr_assert(plan_check(context->arena, &build, plan->operations.items,
                                 plan->operations.count, &fault),
                      "%s, seed %u: %s", engines[e], (unsigned)seed, fault.words);
            cr_assert(operations == 0 || operations == plan->operations.count,
                      "%s, seed %u: %zu operations, else %zu", engines[e], (unsigned)seed,
                      plan->operations.count, operations);
            operations = plan->operations.count;
            context_free(context);
        }
    }
}
