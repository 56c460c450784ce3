/* The replay under attack: orders that are right are made wrong in one place, and each must be refused. Operations
 * are left out, done twice, said of another phase, another unit or another entry, and put before what they follow; and
 * for every implication there is a wrong order that passes once the replay overlooks that implication alone. */
#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>
#include <gudgeon/plan.h>

static const char *const engines[] = {
    "specs/hob.yaml",
    "specs/pintail.yaml",
    "tests/golden/plan/quillet-opposed-twin.yaml",
    "tests/golden/plan/dunmallet-v-twin.yaml",
    "tests/golden/plan/wexcombe-four.yaml",
    "tests/golden/plan/a-nut-on-the-bench-after-a-cure.yaml",
};
enum { ENGINES = sizeof engines / sizeof *engines, MOST_TRIED = 150 /* of each kind, on one engine */ };

struct attack {
    struct context *context;
    const char *engine;
    const struct build *build;
    struct plan *plan;
    struct operation **ops; /* the order to be spoiled: room for one more */
    size_t count;
    size_t passed;          /* wrong orders that were not refused */
    struct str_buf said;
};

static struct attack open_attack(const char *engine)
{
    struct context_options options = {0};
    struct attack a = {.context = context_new(&options), .engine = engine};

    a.context->tables = table_set_default();
    a.build = resolve_build(a.context, spec_read(a.context, tree_load(a.context, engine)));
    cr_assert(a.build, "%s", engine);
    a.plan = plan_make(a.context, a.build, NULL);
    cr_assert(a.plan, "%s", engine);
    a.ops = ARENA_ARRAY(a.context->arena, struct operation *, a.plan->operations.count + 1);
    a.said.arena = a.context->arena;
    str_add(&a.said, "");
    return a;
}

static void restore(struct attack *a)
{
    a->count = a->plan->operations.count;
    memcpy(a->ops, a->plan->operations.items, a->count * sizeof *a->ops);
}

static bool is_accepted(const struct attack *a, uint32_t overlook)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    struct plan_fault fault = {.overlook = overlook};
    bool accepted = plan_check(arena, a->build, a->ops, a->count, &fault);

    arena_free(arena);
    return accepted;
}

static void must_be_refused(struct attack *a, const char *what, const struct operation *op)
{
    if (!is_accepted(a, 0))
        return;
    a->passed++;
    str_add_print(&a->said, "%s: %s %s\n", a->engine, what, op->id);
}

static void leave_out(struct attack *a, size_t at)
{
    restore(a);
    memmove(&a->ops[at], &a->ops[at + 1], (a->count - at - 1) * sizeof *a->ops);
    a->count--;
}

static void do_twice(struct attack *a, size_t at)
{
    restore(a);
    memmove(&a->ops[at + 1], &a->ops[at], (a->count - at) * sizeof *a->ops);
    a->count++;
}

/* A copy of the operation, in its place, for another to be made of it. */
static struct operation *stand_in(struct attack *a, size_t at)
{
    struct operation *copy = ARENA_NEW(a->context->arena, struct operation);

    restore(a);
    *copy = *a->ops[at];
    a->ops[at] = copy;
    return copy;
}

static void move_before(struct attack *a, size_t from, size_t to)
{
    struct operation *moved;

    restore(a);
    moved = a->ops[from];
    memmove(&a->ops[to + 1], &a->ops[to], (from - to) * sizeof *a->ops);
    a->ops[to] = moved;
}

static size_t stride(const struct attack *a)
{
    return 1 + a->plan->operations.count / MOST_TRIED;
}

static void report(const struct attack *a)
{
    cr_expect(a->passed == 0, "%zu wrong orders were not refused\n%s", a->passed, a->said.bytes);
    context_free(a->context);
}

Test(plan_mutation, an_operation_left_out_or_done_twice_is_refused, .timeout = 300)
{
    for (size_t e = 0; e < ENGINES; e++) {
        struct attack a = open_attack(engines[e]);
        for (size_t i = 0; i < a.plan->operations.count; i += stride(&a)) {
            leave_out(&a, i);
            must_be_refused(&a, "without", a.plan->operations.items[i]);
            do_twice(&a, i);
            must_be_refused(&a, "twice", a.plan->operations.items[i]);
        }
        report(&a);
    }
}

/* Heat, gaskets' holes, cures and pins counted are wherever they are wanted, trials have places of their own, and the
 * strip reads what it finds on the whole engine. */
static bool has_one_bench(const struct operation *op)
{
    bool slave = op->entry->kind == ENTRY_PART && ((const struct part *)op->entry)->until.count;

    return !op->trial && op->verb != VERB_TRIAL && op->verb != VERB_HEAT && op->verb != VERB_COUNT_BACK &&
           op->verb != VERB_WAIT && !(op->verb == VERB_PROVE && op->object) &&
           !(op->phase == PHASE_STRIP && (slave || op->verb == VERB_READ));
}

Test(plan_mutation, an_operation_said_of_another_phase_unit_or_entry_is_refused, .timeout = 300)
{
    for (size_t e = 0; e < ENGINES; e++) {
        struct attack a = open_attack(engines[e]);
        for (size_t i = 0; i < a.plan->operations.count; i += stride(&a)) {
            const struct operation *op = a.plan->operations.items[i];
            for (int to = -1; to <= 1; to += 2) {
                struct operation *copy = stand_in(&a, i);
                copy->phase = (enum phase)((op->phase + PHASE_COUNT + to) % PHASE_COUNT);
                if (op->phase != PHASE_SET || copy->phase != PHASE_FINAL) /* something may wait for it */
                    must_be_refused(&a, str_print(a.context->arena, "%s for", phase_name(copy->phase)), op);
            }
            struct operation *copy = stand_in(&a, i);
            copy->unit = op->unit ? NULL : &a.build->spec->parts.items[0]->e;
            if (has_one_bench(op))
                must_be_refused(&a, "in another unit", op);
            copy = stand_in(&a, i);
            const struct spec *spec = a.build->spec;
            for (size_t k = 1; copy->entry == op->entry && k < spec->entries.count; k++)
                if (spec->entries.items[(op->entry->order + k) % spec->entries.count]->kind == op->entry->kind)
                    copy->entry = spec->entries.items[(op->entry->order + k) % spec->entries.count];
            if (copy->entry != op->entry)
                must_be_refused(&a, "of another entry", op);
        }
        report(&a);
    }
}

/* The strip is the build in reverse: what a fact of the metal or of a joint puts on first comes off last. */
Test(plan_mutation, what_is_stripped_before_what_lies_over_it_is_refused, .timeout = 300)
{
    size_t watched = 0;

    for (size_t e = 0; e < ENGINES; e++) {
        struct attack a = open_attack(engines[e]);
        for (size_t i = 0; i < a.plan->precedences.count; i++) {
            const struct precedence *edge = &a.plan->precedences.items[i];
            bool metal = edge->implication == 1 || edge->implication == 2 || edge->implication == 4 ||
                         edge->implication == 6;
            const char *first = edge->before->verb == VERB_FIT ? "remove" : NULL;
            const char *then = edge->after->verb == VERB_FIT       ? "remove"
                               : edge->after->verb == VERB_TIGHTEN ? "slacken"
                                                                   : NULL;
            if (!metal || edge->by_default || !first || !then || edge->before->phase != PHASE_FINAL)
                continue;
            /* a unit is taken off whole, and apart on the bench */
            if (edge->before->unit != edge->after->unit || edge->implication == 2)
                continue;
            const struct operation *off = plan_operation(
                a.plan, str_print(a.context->arena, "%s:%s", first, edge->before->entry->member));
            const struct operation *over = plan_operation(
                a.plan, str_print(a.context->arena, "%s:%s", then, edge->after->entry->member));
            if (!off || !over || off->phase != PHASE_STRIP || over->phase != PHASE_STRIP || off->order < over->order)
                continue;
            move_before(&a, off->order, over->order);
            must_be_refused(&a, str_print(a.context->arena, "%s before %s, against %s,", off->id, over->id,
                                          edge->reason), off);
            watched++;
        }
        report(&a);
    }
    cr_assert(watched > 100, "%zu precedences of the strip", watched);
}

/* ---------- each implication is needed ---------- */

/* Whether the order at hand is refused, and passes when `implication` alone is overlooked. */
static bool only_it_catches(const struct attack *a, unsigned implication)
{
    return is_accepted(a, 1u << implication) && !is_accepted(a, 0);
}

static bool has_such_an_order(struct attack *a, unsigned implication)
{
    for (size_t i = 0; i < a->plan->precedences.count; i++) {
        const struct precedence *edge = &a->plan->precedences.items[i];
        if (edge->implication != implication || a->plan->operations.items[edge->before->order] != edge->before ||
            a->plan->operations.items[edge->after->order] != edge->after || edge->before->order > edge->after->order)
            continue;
        move_before(a, edge->after->order, edge->before->order);
        if (only_it_catches(a, implication))
            return true;
        restore(a); /* or the first put behind the second, which breaks other facts */
        struct operation *moved = a->ops[edge->before->order];
        memmove(&a->ops[edge->before->order], &a->ops[edge->before->order + 1],
                (edge->after->order - edge->before->order) * sizeof *a->ops);
        a->ops[edge->after->order] = moved;
        if (only_it_catches(a, implication))
            return true;
    }
    return false;
}

Test(plan_mutation, each_implication_has_a_wrong_order_that_only_it_catches, .timeout = 300)
{
    bool needed[15] = {false};

    for (size_t e = 0; e < ENGINES; e++) {
        struct attack a = open_attack(engines[e]);
        for (unsigned n = 1; n <= 14; n++)
            needed[n] = needed[n] || has_such_an_order(&a, n);
        for (size_t i = 0; i < a.plan->operations.count && !needed[0]; i++) {
            leave_out(&a, i);
            needed[0] = only_it_catches(&a, 0);
        }
        context_free(a.context);
    }
    for (unsigned n = 0; n <= 14; n++)
        cr_expect(needed[n], "no wrong order is caught by implication %u alone", n);
}
