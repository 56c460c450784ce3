/* why.c - why one operation stands before another: the shortest chain of facts; or, where they are free of
 * each other, the rule of what comes next that decided. */
#include <string.h>
#include "plan_private.h"

/* Of the build, trials written out apart: what the precedences are between. */
static bool is_ordered(const struct operation *op)
{
    return op->phase == PHASE_FINAL || op->phase == PHASE_SET || op->verb == VERB_TRIAL;
}

static size_t task_index(const struct operation *op)
{
    return ((const struct task *)op)->index;
}

/* ---------- chains of facts ---------- */

/* Precedences by the operation they start from. */
struct outgoing {
    size_t *start, *edge;
};

static size_t task_count(const struct plan *plan)
{
    size_t most = 0;

    for (size_t i = 0; i < plan->precedences.count; i++) {
        size_t a = task_index(plan->precedences.items[i].before);
        size_t b = task_index(plan->precedences.items[i].after);
        most = a > most ? a : most;
        most = b > most ? b : most;
    }
    return most + 1;
}

static struct outgoing outgoing_of(struct arena *arena, const struct plan *plan, size_t count)
{
    struct outgoing out = {ARENA_ARRAY(arena, size_t, count + 2),
                           ARENA_ARRAY(arena, size_t, plan->precedences.count + 1)};

    for (size_t i = 0; i < plan->precedences.count; i++)
        out.start[task_index(plan->precedences.items[i].before) + 2]++;
    for (size_t i = 0; i < count; i++)
        out.start[i + 2] += out.start[i + 1];
    for (size_t i = 0; i < plan->precedences.count; i++)
        out.edge[out.start[task_index(plan->precedences.items[i].before) + 1]++] = i;
    return out;
}

/* The shortest chain from a to b as edges, last first; its length, 0 when there is none. */
static size_t chain(struct arena *arena, const struct plan *plan, const struct operation *a,
                    const struct operation *b, size_t **links)
{
    size_t count = task_count(plan), head = 0, tail = 0, length = 0;
    struct outgoing out = outgoing_of(arena, plan, count);
    size_t *queue = ARENA_ARRAY(arena, size_t, count + 1);
    size_t *came_by = ARENA_ARRAY(arena, size_t, count + 1); /* edge + 1 */

    if (task_index(a) >= count || task_index(b) >= count)
        return 0;
    queue[tail++] = task_index(a);
    while (head < tail && !came_by[task_index(b)]) {
        size_t at = queue[head++];
        for (size_t e = out.start[at]; e < out.start[at + 1]; e++) {
            size_t to = task_index(plan->precedences.items[out.edge[e]].after);
            if (came_by[to] || to == task_index(a))
                continue;
            came_by[to] = out.edge[e] + 1;
            queue[tail++] = to;
        }
    }
    *links = ARENA_ARRAY(arena, size_t, count + 1);
    for (size_t at = task_index(b); came_by[at] && at != task_index(a);
         at = task_index(plan->precedences.items[came_by[at] - 1].before))
        (*links)[length++] = came_by[at] - 1;
    return length;
}

static void print_place(struct context *context, struct str_buf *out, struct span span)
{
    const struct source *source = span.file ? source_of(&context->sources, span) : NULL;

    if (source)
        str_add_print(out, " (%s:%u)", source->path, source_place(source, span.begin).line);
}

static void print_chain(struct context *context, const struct plan *plan, const size_t *links,
                        size_t length, struct str_buf *out)
{
    for (size_t i = length; i > 0; i--) {
        const struct precedence *edge = &plan->precedences.items[links[i - 1]];
        str_add_print(out, "  %s before %s: %s, implication %u", edge->before->id,
                      edge->after->id, edge->reason, edge->implication);
        if (edge->by_default)
            str_add(out, " (a default)");
        print_place(context, out, edge->span);
        str_add(out, "\n");
    }
}

/* Every reason why one operation stands where it does: what had to come before it, what waits for it. */
static void print_reasons(struct context *context, const struct plan *plan,
                          const struct operation *op, struct str_buf *out)
{
    str_add_print(out, "%s (%s %zu)\n", op->id, phase_name(op->phase), op->number);
    for (size_t i = 0; i < plan->precedences.count; i++)
        if (plan->precedences.items[i].after == op)
            print_chain(context, plan, &i, 1, out);
    for (size_t i = 0; i < plan->precedences.count; i++)
        if (plan->precedences.items[i].before == op)
            print_chain(context, plan, &i, 1, out);
}

/* ---------- free of each other: which rule decided ---------- */

/* What a task was taken for, and that again, up to what nothing asked for. */
struct causes {
    const struct task **items;
    size_t count, room;
};

static const struct task *cause_of(const struct task *task)
{
    return task->block && task->block != task ? task->block : task->taken_for;
}

static struct causes causes_of(struct arena *arena, const struct task *task)
{
    struct causes causes = {0};

    for (; task; task = cause_of(task))
        *ARRAY_PUSH(arena, &causes) = task;
    return causes;
}

static const char *name_of(const struct task *task)
{
    return task->op.entry->shown ? task->op.entry->shown : task->op.entry->member;
}

static void print_taken(struct context *context, const struct task *task, struct str_buf *out)
{
    const char *id = task->op.id, *cause = task->taken_for ? task->taken_for->op.id : NULL;

    str_add_print(out, "  %s ", id);
    if (task->block && task->block != task) {
        str_add_print(out, "stands in one block with %s, where nothing may come between\n",
                      task->block->op.id);
        return;
    }
    switch (task->taken) {
    case TAKEN_LOOSE:
        str_add_print(out, "is of a loose piece, and nothing held it up%s%s", cause ? " after " : "",
                      cause ? cause : "");
        break;
    case TAKEN_NEXT:
        str_add(out, "was the next part of the engine in the file");
        print_place(context, out, task->op.entry->span);
        break;
    case TAKEN_NEED:
        str_add_print(out, "is needed for %s", cause);
        break;
    case TAKEN_BEGUN:
        str_add_print(out, "was made possible by %s", cause);
        break;
    case TAKEN_REST:
        str_add(out, "is needed for nothing else, so it waited until all parts were on");
        break;
    }
    str_add(out, "\n");
}

static bool is_late(const struct task *task)
{
    return task->op.verb == VERB_TRIAL || task->op.verb == VERB_WAIT;
}

/* Both may come and nothing else decides: by the file, neighbours place by place. */
static const char *by_file(struct arena *arena, const char *rule, const struct task *a,
                           const struct task *b)
{
    const struct group *x = a->op.entry->group, *y = b->op.entry->group;

    if (a->rank > b->rank)
        return str_print(arena, "%s, the order in which they became possible", rule);
    return x && y && x->each && x->each == y->each && a->op.entry->place &&
                   !str_equal(a->op.entry->place, b->op.entry->place)
               ? str_print(arena, "rule 5, neighbours in the file are done place by place, and %s comes "
                                  "before %s", name_of(a), name_of(b))
               : str_print(arena, "%s, the order of the file, in which %s stands before %s", rule,
                           name_of(a), name_of(b));
}

/* Neither was asked for by anything: loose pieces, parts in file order, what is left. */
static const char *of_roots(struct arena *arena, const struct task *a, const struct task *b)
{
    if (a->taken == b->taken)
        return by_file(arena, a->taken == TAKEN_LOOSE ? "rule 1" : "rule 2", a, b);
    return a->taken == TAKEN_LOOSE || b->taken == TAKEN_LOOSE
               ? "rule 1, loose pieces are read and proved as soon as nothing holds them up"
               : "rule 2, first the parts that go on the engine, then what nothing needs";
}

/* Both were asked for by the same: what of it decided. */
static const char *of_siblings(struct arena *arena, const struct task *a, const struct task *b)
{
    bool a_block = a->block != a, b_block = b->block != b;

    if (a_block && b_block)
        return "the block: signatures and locks first, then what follows from the latest, then the file";
    if (a_block || b_block)
        return "rule 3, what a block needs comes before it, and what it has made possible after it";
    if (a->taken == TAKEN_NEED && b->taken == TAKEN_NEED) {
        if (is_late(a) != is_late(b))
            return "rule 3, trials and waits come as late as they may";
        if (!a->op.unit != !b->op.unit)
            return "rule 3, of what is needed first the unit on the bench, then what is due on the "
                   "engine";
        return by_file(arena, "rule 3", a, b);
    }
    if (a->taken == TAKEN_NEED || b->taken == TAKEN_NEED)
        return "rule 4, what is needed comes before it, and what it has made possible after it";
    if (a->taken != b->taken)
        return "rule 4, what is begun is finished before loose pieces are looked at";
    return a->op.verb != b->op.verb
               ? "rule 4, what is begun is finished in this order: slave part out, lock, nip, bring "
                 "right, tighten, read, prove, witness"
               : by_file(arena, "rule 4", a, b);
}

/* One was asked for on the way from the other. */
static const char *of_line(const struct task *child)
{
    return child->taken == TAKEN_BEGUN
               ? "rule 4, what is begun is finished before anything else is taken in hand"
           : child->taken == TAKEN_LOOSE
               ? "rule 1, loose pieces are read and proved as soon as nothing holds them up"
               : "rule 3, before each part what it needs and nothing else";
}

static void print_rule(struct context *context, const struct task *a, const struct task *b,
                       struct str_buf *out)
{
    struct causes up_a = causes_of(out->arena, a), up_b = causes_of(out->arena, b);
    size_t i = up_a.count, j = up_b.count;
    const char *decided;

    while (i && j && up_a.items[i - 1] == up_b.items[j - 1]) {
        i--;
        j--;
    }
    str_add(out, "  no fact puts one before the other: they are free of each other\n");
    for (size_t k = 0; k < i; k++)
        print_taken(context, up_a.items[k], out);
    for (size_t k = 0; k < j; k++)
        print_taken(context, up_b.items[k], out);
    if (i && j)
        decided = i == up_a.count ? of_roots(out->arena, up_a.items[i - 1], up_b.items[j - 1])
                                  : of_siblings(out->arena, up_a.items[i - 1], up_b.items[j - 1]);
    else
        decided = of_line(i ? up_a.items[i - 1] : up_b.items[j - 1]);
    str_add_print(out, "  what decided: %s\n", decided);
}

/* ---------- stripping: the build's facts from the other end ---------- */

static const struct operation *twin_of(const struct operation *op)
{
    const struct info *info = plan_info(op->entry);
    const struct task *task = op->verb == VERB_REMOVE    ? info->fit
                              : op->verb == VERB_SLACKEN ? info->tighten
                              : op->verb == VERB_READ && info->assembled ? info->assembled
                              : op->verb == VERB_READ                    ? info->made
                                                                         : NULL;

    return task ? &task->op : NULL;
}

static void print_strip(struct context *context, const struct plan *plan,
                        const struct operation *first, const struct operation *second,
                        struct str_buf *out)
{
    const struct operation *later = twin_of(first), *sooner = twin_of(second);
    size_t *links = NULL, length = 0;

    if (later && sooner)
        length = chain(out->arena, plan, sooner, later, &links);
    str_add(out, length ? "  stripping is the reverse of the build, in which\n"
                        : "  no fact puts one before the other: stripping is the reverse of the "
                          "build, in which they stood the other way round\n");
    print_chain(context, plan, links, length, out);
}

/* ---------- the answer ---------- */

const struct operation *plan_named(struct arena *arena, const struct plan *plan, const char *name)
{
    static const char *const verbs_first[] = {"fit:%s", "tighten:%s", "set:%s", "%s@assembled",
                                              "%s@bench", "prove:%s", "do:%s", "trial:%s"};
    const struct operation *op = plan_operation(plan, name);

    for (size_t i = 0; !op && i < sizeof verbs_first / sizeof *verbs_first; i++) {
        const char *form = verbs_first[i], *slot = strstr(form, "%s");
        struct str_buf id = {.arena = arena};
        str_add_bytes(&id, form, (size_t)(slot - form));
        str_add_print(&id, "%s%s", name, slot + 2);
        op = plan_operation(plan, id.bytes);
    }
    return op;
}

static const struct operation *named(const struct plan *plan, const char *name, struct str_buf *out)
{
    const struct operation *op = plan_named(out->arena, plan, name);

    if (!op)
        str_add_print(out, "no operation is called '%s'\n", name);
    return op;
}

void plan_why(struct context *context, const struct plan *plan, const char *a, const char *b,
              struct str_buf *out)
{
    const struct operation *first = named(plan, a, out), *second = b ? named(plan, b, out) : NULL;
    size_t *links = NULL, length;

    if (first && !b)
        print_reasons(context, plan, first, out);
    if (!first || !second)
        return;
    if (first == second) {
        str_add_print(out, "both words name %s\n", first->id);
        return;
    }
    if (first->order > second->order) {
        const struct operation *swap = first;
        first = second;
        second = swap;
    }
    str_add_print(out, "%s (%s %zu) comes before %s (%s %zu)\n", first->id,
                  phase_name(first->phase), first->number, second->id, phase_name(second->phase),
                  second->number);
    if (first->phase == PHASE_STRIP && second->phase == PHASE_STRIP) {
        print_strip(context, plan, first, second, out);
        return;
    }
    if (!is_ordered(first) || !is_ordered(second)) {
        str_add(out, "  what they belong to comes in that order: strip (the reverse of the build), "
                     "inspection, outwork, the build with its trials, running\n");
        return;
    }
    length = chain(out->arena, plan, first, second, &links);
    print_chain(context, plan, links, length, out);
    if (length)
        return;
    if (first->phase != second->phase)
        str_add(out, "  no fact puts one before the other: what is reached from outside and hides "
                     "nothing is set when the build is done\n");
    else
        print_rule(context, (const struct task *)first, (const struct task *)second, out);
}
