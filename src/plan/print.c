/* print.c - the plan as text, as a graph, as JSON. */
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

void plan_print_remaining(const struct plan *plan, const bool *done, struct str_buf *out)
{
    enum phase phase = PHASE_COUNT;

    for (size_t i = 0; i < plan->operations.count; i++) {
        const struct operation *op = plan->operations.items[i];
        if (done[i])
            continue;
        if (op->phase != phase)
            str_add_print(out, "%s\n", phase_name(op->phase));
        phase = op->phase;
        print_op(out, op);
    }
    if (phase == PHASE_COUNT)
        str_add(out, "nothing remains\n");
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

/* In the box of its sub-assembly; what covers something is bold, a hold point has a double frame. */
static void print_node(struct str_buf *out, const struct operation *op)
{
    const struct part *unit = plan_whole_unit(op);

    str_add(out, "  ");
    if (unit) {
        str_add(out, "subgraph ");
        quoted(out, str_print(out->arena, "cluster_%s", unit->e.member));
        str_add(out, " { label=");
        quoted(out, unit->e.shown ? unit->e.shown : unit->e.member);
        str_add(out, "; ");
    }
    quoted(out, op->id);
    str_add(out, " [label=");
    quoted(out, operation_words(out->arena, op));
    str_add_print(out, "%s%s];%s\n", op->hides.count ? ", style=bold" : "",
                  op->verb == VERB_WITNESS ? ", peripheries=2" : "", unit ? " }" : "");
}

void plan_print_dot(const struct plan *plan, struct str_buf *out)
{
    str_add(out, "digraph order {\n  node [shape=box];\n");
    for (size_t i = 0; i < plan->operations.count; i++) {
        const struct operation *op = plan->operations.items[i];
        if (!is_ordered(op))
            continue;
        print_node(out, op);
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
