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

/* ---------- each precedence is watched ---------- */

/* `ops` with the operation at `from` moved to just before `to`. */
static void move_before(struct operation **ops, size_t from, size_t to)
{
    struct operation *moved = ops[from];

    memmove(&ops[to + 1], &ops[to], (from - to) * sizeof *ops);
    ops[to] = moved;
}

/* For every precedence of every engine: its second operation put before its first is refused. What the
 * solver alone wants, a default, may be otherwise. */
Test(plan, an_operation_put_before_what_it_follows_is_refused, .timeout = 120)
{
    for (size_t e = 0; e < ENGINES; e++) {
        struct context *context = open_context();
        const struct build *build = load(context, engines[e]);
        struct plan *plan = plan_make(context, build, NULL);
        size_t count = plan->operations.count, watched = 0;
        struct operation **ops = ARENA_ARRAY(context->arena, struct operation *, count);
        for (size_t i = 0; i < plan->precedences.count; i++) {
            const struct precedence *edge = &plan->precedences.items[i];
            bool wish = edge->by_default && !strstr(edge->reason, "reach taken from");
            if (wish || edge->before->verb == VERB_TRIAL ||
                edge->after->verb == VERB_TRIAL || edge->before->phase != PHASE_FINAL ||
                plan->operations.items[edge->before->order] != edge->before ||
                plan->operations.items[edge->after->order] != edge->after)
                continue;
            struct arena *arena = arena_new(0, NULL, NULL);
            struct plan_fault fault = {0};
            memcpy(ops, plan->operations.items, count * sizeof *ops);
            move_before(ops, edge->after->order, edge->before->order);
            cr_assert(!plan_check(arena, build, ops, count, &fault),
                      "%s: %s put before %s (implication %u: %s)", engines[e], edge->after->id,
                      edge->before->id, edge->implication, edge->reason);
            watched++;
            arena_free(arena);
        }
        cr_assert(watched > 8, "%s: %zu precedences", engines[e], watched);
        context_free(context);
    }
}

/* ---------- cards ---------- */

Test(plan, every_operation_is_on_one_card_and_no_card_is_too_long)
{
    for (size_t e = 0; e < ENGINES; e++) {
        struct context *context = open_context();
        struct plan *plan = plan_make(context, load(context, engines[e]), NULL);
        size_t next = 0;
        for (size_t c = 0; c < plan->cards.count; c++) {
            const struct plan_card *card = &plan->cards.items[c];
            cr_assert(card->count > 0 && card->count <= 14, "%s, %s: %zu steps", engines[e],
                      card->id, card->count);
            for (size_t k = 0; k < c; k++)
                cr_assert_str_neq(card->id, plan->cards.items[k].id, "%s: two cards %s",
                                  engines[e], card->id);
            for (size_t i = 0; i < card->count; i++, next++) {
                cr_assert_eq(card->operations[i], plan->operations.items[next], "%s, %s",
                             engines[e], card->id);
                cr_assert_eq(card->operations[i]->card, c, "%s, %s", engines[e], card->id);
                cr_assert_eq(card->operations[i]->phase, card->phase, "%s, %s", engines[e],
                             card->id);
            }
        }
        cr_assert_eq(next, plan->operations.count, "%s", engines[e]);
        for (size_t i = 0; i < plan->operations.count; i++)
            cr_assert_eq(plan_operation(plan, plan->operations.items[i]->id),
                         plan->operations.items[i], "%s: two operations %s", engines[e],
                         plan->operations.items[i]->id);
        context_free(context);
    }
}

/* ---------- size ---------- */

/* An engine of 20,000 operations is ordered and replayed in a time that a user would wait. */
Test(plan, twenty_thousand_operations_are_ordered, .timeout = 120)
{
    struct context *context = open_context();
    struct str_buf text = {.arena = context->arena};
    str_add(&text,
            "gudgeon: 1\nengine: {name: Large, cylinders: 700}\nparts:\n  crankcase: {}\n"
            "  crankshaft: {in: crankcase, through: front, with: [rod, rod-cap]}\n"
            "  rod: {each: cylinder, in: crankshaft, with: [bush]}\n"
            "  bush: {each: cylinder, in: rod}\n  rod-cap: {each: cylinder, in: rod}\n"
            "  plate: {in: crankcase, closes: [front]}\n"
            "  piston: {each: cylinder, in: rod, through: mouth, with: [ring]}\n"
            "  ring: {each: cylinder, in: piston}\n"
            "  cylinder: {each: cylinder, in: crankcase, closes: [mouth], with: [valve, collet]}\n"
            "  gasket: {each: cylinder, state: renew}\n"
            "  valve: {each: cylinder, in: cylinder, with: none}\n"
            "  collet: {each: cylinder, in: valve}\n"
            "  cover: {each: cylinder, in: cylinder, closes: [chest]}\n"
            "openings:\n  front: {in: crankcase}\n  mouth: {each: cylinder, in: crankcase}\n"
            "  chest: {each: cylinder, in: cylinder}\njoints:\n"
            "  rod-bolts: {each: cylinder, holds: [rod-cap, rod], to: rod, thread: M8, count: 2, "
            "lock: {kind: split-pin}, witness: inspector}\n"
            "  nuts: {each: cylinder, holds: [cylinder], to: crankcase, thread: M8, count: 2, "
            "lock: {kind: tab-washer}, again: [{wait: 1 h}]}\n"
            "  cover-nuts: {each: cylinder, holds: [cover], to: cylinder, thread: M8, count: 2}\n"
            "seals:\n  foot: {each: cylinder, between: [crankcase, cylinder], gasket: gasket}\n"
            "limits:\n  ring-gap: {each: cylinder, of: [ring], want: 1..2 mm, when: bench}\n"
            "settings:\n  gap: {each: cylinder, of: [valve], want: 1..2 mm, reach: chest, "
            "upset-by: [nuts]}\n");
    struct build build = {.spec = spec_read(
                              context, tree_load_bytes(context, "large.yaml", text.bytes, text.length))};
    cr_assert(build.spec, "%s", said(context));
    clock_t start = clock();
    struct plan *plan = plan_make(context, &build, NULL);
    double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
    cr_assert(plan, "%s", said(context));
    cr_assert(plan->operations.count > 20000, "%zu operations", plan->operations.count);
    cr_assert(seconds < 10, "%zu operations took %d s of CPU, with sanitizers", 
              plan->operations.count, (int)seconds);
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

/* ---------- a small edit moves little ---------- */

/* Puts `extra: {in: HOST}` into `parts`, behind the `at`-th of its entries. */
static void put_part(struct context *context, struct tree *tree, const char *host, size_t at)
{
    const char *text =
        str_print(context->arena, "gudgeon: 1\nparts: {extra: {in: %s}}\n", host);
    struct node *map = tree_child(tree->root, "parts");
    struct node *extra =
        tree_child(tree_child(tree_load_bytes(context, "extra.yaml", text, strlen(text))->root, "parts"),
                   "extra");
    struct node **link = &map->child;

    for (size_t i = 0; i < at; i++)
        link = &(*link)->next;
    extra->next = *link;
    *link = extra;
    map->count++;
}

static bool goes_on_the_engine(const struct plan *plan, const struct group *group)
{
    for (size_t i = 0; i < plan->operations.count; i++) {
        const struct operation *op = plan->operations.items[i];
        if (op->phase == PHASE_FINAL && op->verb == VERB_FIT && !op->unit && op->entry->group == group)
            return true;
    }
    return false;
}

/* Whether the entry stands between two that are done place by place: the parts on the engine before it and
 * after it in the file are at the same places. */
static bool parts_neighbours(const struct plan *plan, const struct spec *spec, size_t at)
{
    const struct group *before = NULL, *after = NULL, *last = NULL;
    size_t number = 0;

    for (size_t i = 0; i < spec->parts.count && !after; i++) {
        const struct group *group = spec->parts.items[i]->e.group;
        number += group != last;
        last = group;
        if (!goes_on_the_engine(plan, group))
            continue;
        if (number <= at)
            before = group;
        else
            after = group;
    }
    return before && after && before->each && after->each && before->each->count == after->each->count;
}

/* One part more, that nothing but its host touches, at each place of the file: every other operation stays
 * where it was. Put between two that are done place by place, it parts them: LANGUAGE.md, section 6. */
Test(plan, a_part_that_is_added_moves_no_operation_that_no_fact_touches, .timeout = 300)
{
    for (size_t e = 0; e < ENGINES; e++) {
        struct context *context = open_context();
        struct tree *tree = tree_load(context, engines[e]);
        struct build build = {.spec = spec_read(context, tree)};
        struct plan *plan = plan_make(context, &build, NULL);
        size_t places = tree_child(tree->root, "parts")->count, parted = 0;
        cr_assert(plan && places > 3, "%s\n%s", engines[e], said(context));
        for (size_t at = 0; at <= places; at++) {
            struct context *other = open_context();
            struct tree *edited = tree_load(other, engines[e]);
            size_t i = 0;
            if (parts_neighbours(plan, build.spec, at)) {
                parted++;
                context_free(other);
                continue;
            }
            put_part(other, edited, build.spec->first->e.id, at);
            struct build larger = {.spec = spec_read(other, edited)};
            struct plan *with = larger.spec ? plan_make(other, &larger, NULL) : NULL;
            cr_assert(with, "%s, behind %zu\n%s", engines[e], at, said(other));
            for (size_t k = 0; k < with->operations.count; k++) {
                const struct operation *op = with->operations.items[k];
                if (str_equal(op->entry->id, "extra"))
                    continue;
                cr_assert(i < plan->operations.count, "%s, behind %zu", engines[e], at);
                cr_assert_str_eq(op->id, plan->operations.items[i]->id, "%s, behind %zu: %s where %s was",
                                 engines[e], at, op->id, plan->operations.items[i]->id);
                i++;
            }
            cr_assert_eq(i, plan->operations.count, "%s, behind %zu", engines[e], at);
            context_free(other);
        }
        cr_assert(parted < places / 2, "%s: %zu of %zu places left out", engines[e], parted, places);
        context_free(context);
    }
}
