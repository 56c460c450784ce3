/* print.c - the plan as text, as a graph, as JSON; and why one operation stands before another. */
#include <stdlib.h>
#include <string.h>
#include "plan_private.h"

/* Of the build, trials written out apart: what the precedences are between. */
static bool is_ordered(const struct operation *op)
{
    return op->phase == PHASE_FINAL || op->phase == PHASE_SET || op->verb == VERB_TRIAL;
}

/* ---------- order ---------- */

static void print_hidden(struct str_buf *out, const struct operation *op)
{
    if (!op->hides.count)
        return;
    str_add(out, "        last chance to see:");
    for (size_t i = 0; i < op->hides.count; i++)
        str_add_print(out, "%s %s", i ? "," : "", op->hides.items[i]->member);
    str_add(out, "\n");
}

static void print_fixings(struct str_buf *out, const struct operation *op)
{
    if (!op->fixings.count)
        return;
    str_add(out, "        hidden fixings, slack by now:");
    for (size_t i = 0; i < op->fixings.count; i++)
        str_add_print(out, "%s %s", i ? "," : "", op->fixings.items[i]->member);
    str_add(out, "\n");
}

static void print_op(struct str_buf *out, const struct operation *op)
{
    if (op->turns)
        str_add_print(out, "        %s\n", op->turns);
    str_add_print(out, "  %4zu  %s", op->number, operation_words(out->arena, op));
    if (op->loose)
        str_add(out, "  (loose)");
    else if (op->unit)
        str_add_print(out, "  (bench: %s)", op->unit->member);
    str_add_print(out, "  %s\n", op->id);
    print_fixings(out, op);
    print_hidden(out, op);
}

void plan_print(const struct plan *plan, bool strip, struct str_buf *out)
{
    enum phase phase = PHASE_COUNT;
    size_t setups = 0; /* of what is printed: stripping has its own */

    for (size_t i = 0; i < plan->operations.count; i++) {
        const struct operation *op = plan->operations.items[i];
        if ((op->phase == PHASE_STRIP) != strip)
            continue;
        setups += op->turns != NULL;
        if (op->phase != phase)
            str_add_print(out, "%s\n", phase_name(op->phase));
        phase = op->phase;
        print_op(out, op);
    }
    str_add_print(out, "%zu set-up change%s\n", setups, setups == 1 ? "" : "s");
}

static void quoted(struct str_buf *out, const char *text)
{
    str_add(out, "\"");
    for (; *text; text++) {
        if (*text == '"' || *text == '\\')
            str_add(out, "\\");
        str_add_bytes(out, text, 1);
    }
    str_add(out, "\"");
}

void plan_print_dot(const struct plan *plan, struct str_buf *out)
{
    str_add(out, "digraph order {\n  node [shape=box];\n");
    for (size_t i = 0; i < plan->operations.count; i++) {
        const struct operation *op = plan->operations.items[i];
        if (!is_ordered(op))
            continue;
        str_add(out, "  ");
        quoted(out, op->id);
        str_add(out, " [label=");
        quoted(out, operation_words(out->arena, op));
        str_add(out, "];\n");
    }
    for (size_t i = 0; i < plan->precedences.count; i++) {
        const struct precedence *edge = &plan->precedences.items[i];
        str_add(out, "  ");
        quoted(out, edge->before->id);
        str_add(out, " -> ");
        quoted(out, edge->after->id);
        str_add(out, " [tooltip=");
        quoted(out, edge->reason);
        str_add(out, "];\n");
    }
    str_add(out, "}\n");
}

/* ---------- why ---------- */

/* Precedences by the operation they start from. */
struct outgoing {
    size_t *start, *edge;
};

static size_t task_index(const struct operation *op)
{
    return ((const struct task *)op)->index;
}

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
        print_place(context, out, edge->span);
        str_add(out, "\n");
    }
}

static const struct operation *named(const struct plan *plan, const char *name,
                                     struct str_buf *out)
{
    static const char *const verbs_first[] = {"fit:%s", "tighten:%s", "set:%s", "%s@assembled",
                                              "%s@bench", "prove:%s", "do:%s", "trial:%s"};
    const struct operation *op = plan_operation(plan, name);

    for (size_t i = 0; !op && i < sizeof verbs_first / sizeof *verbs_first; i++) {
        const char *form = verbs_first[i], *slot = strstr(form, "%s");
        struct str_buf id = {.arena = out->arena};
        str_add_bytes(&id, form, (size_t)(slot - form));
        str_add_print(&id, "%s%s", name, slot + 2);
        op = plan_operation(plan, id.bytes);
    }
    if (!op)
        str_add_print(out, "no operation is called '%s'\n", name);
    return op;
}

/* Every reason why one operation stands where it does: what had to come before, what waits for it. */
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

void plan_why(struct context *context, const struct plan *plan, const char *a, const char *b,
              struct str_buf *out)
{
    const struct operation *first = named(plan, a, out), *second = b ? named(plan, b, out) : NULL;
    size_t *links = NULL, length;

    if (first && !b)
        print_reasons(context, plan, first, out);
    if (!first || !second)
        return;
    if (first->order > second->order) {
        const struct operation *swap = first;
        first = second;
        second = swap;
    }
    str_add_print(out, "%s (%s %zu) comes before %s (%s %zu)\n", first->id,
                  phase_name(first->phase), first->number, second->id, phase_name(second->phase),
                  second->number);
    if (!is_ordered(first) || !is_ordered(second)) {
        str_add(out, "  what they belong to comes in that order: strip (the reverse of the build), "
                     "inspection, outwork, the build with its trials, running\n");
        return;
    }
    length = chain(out->arena, plan, first, second, &links);
    print_chain(context, plan, links, length, out);
    if (!length)
        str_add(out, "  no fact puts one before the other: loose pieces are read and proved first, "
                     "then parts go on in file order, each with what it needs, and what is begun "
                     "is finished\n");
}

/* ---------- JSON ---------- */

static void dump_op(struct json *json, const struct plan *plan, const struct operation *op)
{
    json_object(json);
    json_put_string(json, "id", op->id);
    json_put_string(json, "verb", verb_word(op->verb));
    json_put_string(json, "phase", phase_name(op->phase));
    json_put_int(json, "number", (int64_t)op->number);
    json_put_string(json, "entry", op->entry->member);
    if (op->object)
        json_put_string(json, "object", op->object->member);
    if (op->unit)
        json_put_string(json, "unit", op->unit->member);
    if (op->loose)
        json_put_bool(json, "loose", true);
    if (op->trial)
        json_put_string(json, "trial", op->trial->e.member);
    json_put_string(json, "card", plan->cards.items[op->card].id);
    if (op->turns)
        json_put_string(json, "before", op->turns);
    if (op->at_least_s)
        json_put_int(json, "at-least-s", op->at_least_s);
    if (op->kind)
        json_put_string(json, "kind", op->kind);
    if (op->fixings.count) {
        json_key(json, "hidden-fixings");
        json_array(json);
        for (size_t i = 0; i < op->fixings.count; i++)
            json_string(json, op->fixings.items[i]->member);
        json_array_end(json);
    }
    if (op->hides.count) {
        json_key(json, "last-chance");
        json_array(json);
        for (size_t i = 0; i < op->hides.count; i++)
            json_string(json, op->hides.items[i]->member);
        json_array_end(json);
    }
    json_object_end(json);
}

static void dump_precedence(struct json *json, const struct precedence *edge)
{
    json_object(json);
    json_put_string(json, "before", edge->before->id);
    json_put_string(json, "after", edge->after->id);
    json_put_int(json, "implication", edge->implication);
    json_put_bool(json, "default", edge->by_default);
    json_put_string(json, "reason", edge->reason);
    json_object_end(json);
}

void plan_dump(const struct plan *plan, struct json *json)
{
    json_object(json);
    json_key(json, "operations");
    json_array(json);
    for (size_t i = 0; i < plan->operations.count; i++)
        dump_op(json, plan, plan->operations.items[i]);
    json_array_end(json);
    json_key(json, "precedences");
    json_array(json);
    for (size_t i = 0; i < plan->precedences.count; i++)
        dump_precedence(json, &plan->precedences.items[i]);
    json_array_end(json);
    json_key(json, "cards");
    json_array(json);
    for (size_t i = 0; i < plan->cards.count; i++) {
        json_object(json);
        json_put_string(json, "id", plan->cards.items[i].id);
        json_put_string(json, "title", plan->cards.items[i].title);
        json_put_string(json, "phase", phase_name(plan->cards.items[i].phase));
        json_put_int(json, "steps", (int64_t)plan->cards.items[i].count);
        json_object_end(json);
    }
    json_array_end(json);
    json_put_int(json, "set-up-changes", (int64_t)plan->setups);
    json_object_end(json);
}
