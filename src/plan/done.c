/* done.c - what is done, read from a file: ids of operations and cards, a line each; and whether that can
 * be, by what must come before what over the whole job. */
#include "plan_private.h"
#include "schedule_private.h"

#include <gudgeon/file.h>
#include <gudgeon/resume.h>

#include <stdlib.h>
#include <string.h>

struct reader {
    struct context *context;
    const struct plan *plan;
    bool *done;
    struct span *said;             /* by operation: where the file says so */
};

/* ---------- lines ---------- */

struct named { /* ids, sorted, so that a long list is read in no time */
    const char *id;
    size_t at;
};

static int by_id(const void *left, const void *right)
{
    return strcmp(((const struct named *)left)->id, ((const struct named *)right)->id);
}

static size_t find(const struct named *names, size_t count, const char *id)
{
    const struct named key = {id, 0};
    const struct named *found = count ? bsearch(&key, names, count, sizeof key, by_id) : NULL;

    return found ? found->at : SIZE_MAX;
}

struct names {
    struct named *operations, *cards;
};

static struct names names_of(struct arena *arena, const struct plan *plan)
{
    struct names names = {ARENA_ARRAY(arena, struct named, plan->operations.count + 1),
                          ARENA_ARRAY(arena, struct named, plan->cards.count + 1)};

    for (size_t i = 0; i < plan->operations.count; i++)
        names.operations[i] = (struct named){plan->operations.items[i]->id, i};
    for (size_t i = 0; i < plan->cards.count; i++)
        names.cards[i] = (struct named){plan->cards.items[i].id, i};
    qsort(names.operations, plan->operations.count, sizeof(struct named), by_id);
    qsort(names.cards, plan->cards.count, sizeof(struct named), by_id);
    return names;
}

static void say_done(struct reader *r, const struct operation *op, struct span span)
{
    if (!r->done[op->order])
        r->said[op->order] = span;
    r->done[op->order] = true;
}

static void unknown(struct reader *r, const char *id, struct span span, bool cards, bool operations)
{
    struct { const char **items; size_t count, room; } ids = {0};
    struct diags *diags = &r->context->diags;

    for (size_t i = 0; cards && i < r->plan->cards.count; i++)
        *ARRAY_PUSH(r->context->arena, &ids) = r->plan->cards.items[i].id;
    for (size_t i = 0; operations && i < r->plan->operations.count; i++)
        *ARRAY_PUSH(r->context->arena, &ids) = r->plan->operations.items[i]->id;
    struct diag *diag = diag_add(diags, DIAG_PLAN_DONE_UNKNOWN, span, "no %s is called '%s'",
                                 !operations ? "card" : !cards ? "operation" : "operation or card", id);
    const char *near = str_nearest(id, ids.items, ids.count);
    if (near)
        diag_fix(diags, diag, span, near);
}

/* `id` at `span`, with the word before it or NULL. */
static void read_id(struct reader *r, const struct names *names, const char *word, const char *id,
                    struct span span)
{
    bool cards = !word || str_equal(word, "card"), operations = !word || str_equal(word, "operation");
    size_t card = cards ? find(names->cards, r->plan->cards.count, id) : SIZE_MAX;
    size_t op = operations ? find(names->operations, r->plan->operations.count, id) : SIZE_MAX;

    if (card == SIZE_MAX && op == SIZE_MAX) {
        unknown(r, id, span, cards, operations);
    } else if (card != SIZE_MAX && op != SIZE_MAX && r->plan->cards.items[card].count > 1) {
        struct diag *diag =
            diag_add(&r->context->diags, DIAG_PLAN_DONE_BOTH, span,
                     "'%s' is an operation, and a card of %zu operations", id,
                     r->plan->cards.items[card].count);
        diag_hint(&r->context->diags, diag, "write 'card %s' or 'operation %s'", id, id);
    } else if (op != SIZE_MAX) {
        say_done(r, r->plan->operations.items[op], span);
    } else {
        for (size_t i = 0; i < r->plan->cards.items[card].count; i++)
            say_done(r, r->plan->cards.items[card].operations[i], span);
    }
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

/* The next word of a line, in `text`; moves `at`. NULL at its end or a remark. */
static const char *next_word(struct arena *arena, const char *line, size_t length, size_t *at,
                             size_t *begin)
{
    while (*at < length && is_blank(line[*at]))
        ++*at;
    if (*at == length || line[*at] == '#')
        return NULL;
    *begin = *at;
    while (*at < length && !is_blank(line[*at]))
        ++*at;
    return str_slice(arena, line + *begin, *at - *begin);
}

static void read_line(struct reader *r, const struct names *names, uint32_t file,
                      const struct source *source, uint32_t number)
{
    struct arena *arena = r->context->arena;
    size_t length, at = 0, begin = 0, begin2 = 0;
    const char *line = source_line(source, number, &length);
    uint32_t from = (uint32_t)(line - source->bytes);
    const char *first = next_word(arena, line, length, &at, &begin);
    uint32_t end = from + (uint32_t)at;
    const char *second = first ? next_word(arena, line, length, &at, &begin2) : NULL;
    bool worded = second && (str_equal(first, "card") || str_equal(first, "operation"));

    if (!first)
        return;
    if (second && (!worded || next_word(arena, line, length, &(size_t){at}, &(size_t){0}))) {
        struct diag *diag = diag_add(&r->context->diags, DIAG_PLAN_DONE_LINE,
                                     (struct span){file, from + (uint32_t)begin, from + (uint32_t)at},
                                     "one id a line: expected an id, 'card ID' or 'operation ID'");
        diag_hint(&r->context->diags, diag, "put each id on a line of its own; a remark begins with #");
        return;
    }
    if (worded)
        read_id(r, names, first, second,
                (struct span){file, from + (uint32_t)begin2, from + (uint32_t)at});
    else
        read_id(r, names, NULL, first, (struct span){file, from + (uint32_t)begin, end});
}

/* ---------- what must come before what ---------- */

struct musts {
    struct { struct must { size_t before, after; const struct precedence *why; } *items;
             size_t count, room; } links;
    size_t *start, *link;          /* by the later operation */
};

static void must(struct reader *r, struct musts *musts, const struct operation *before,
                 const struct operation *after, const struct precedence *why)
{
    if (before && after && before->order < after->order)
        *ARRAY_PUSH(r->context->arena, &musts->links) =
            (struct must){before->order, after->order, why};
}

/* By entry: what takes it off, slackens it or reads it as found in the strip. */
static const struct operation **strip_of(struct reader *r)
{
    const struct operation **strip = ARENA_ARRAY(
        r->context->arena, const struct operation *, r->plan->build->spec->entries.count + 1);

    for (size_t i = 0; i < r->plan->operations.count; i++) {
        const struct operation *op = r->plan->operations.items[i];
        if (op->phase == PHASE_STRIP && op->verb != VERB_FIT)
            strip[op->entry->order] = op;
    }
    return strip;
}

static bool is_mirrored(const struct operation *op)
{
    return op->verb == VERB_FIT || op->verb == VERB_NIP || op->verb == VERB_TIGHTEN || op->verb == VERB_SET ||
           op->verb == VERB_READ_AGAIN || (op->verb == VERB_READ && op->moment == MOMENT_ASSEMBLED);
}

/* Stripping is the build backwards: of what went on before something that something comes off first.
 * What only orders the work (12 to 14: after, before, trials) and passages (10) hold no metal. */
static void mirror(struct reader *r, struct musts *musts, const struct operation **strip)
{
    const struct plan *plan = r->plan;

    for (size_t i = 0; i < plan->precedences.count; i++) {
        const struct precedence *edge = &plan->precedences.items[i];
        if (edge->implication == 10 || edge->implication > 11)
            continue;
        if (is_mirrored(edge->before) && is_mirrored(edge->after))
            must(r, musts, strip[edge->after->entry->order], strip[edge->before->entry->order], edge);
    }
    for (size_t i = 0; i < plan->build->spec->seals.count; i++) { /* the last face is over the others */
        const struct seal *seal = plan->build->spec->seals.items[i];
        for (size_t k = 0; k + 1 < seal->between.to_count; k++)
            must(r, musts, strip[seal->between.to[seal->between.to_count - 1]->order],
                 strip[seal->between.to[k]->order], NULL);
    }
}

/* Within a trial, and after a run, one thing is done after the other. */
static void in_a_row(struct reader *r, struct musts *musts)
{
    for (size_t i = 1; i < r->plan->operations.count; i++) {
        const struct operation *before = r->plan->operations.items[i - 1];
        const struct operation *op = r->plan->operations.items[i];
        if ((op->trial && op->trial == before->trial) ||
            (op->phase == PHASE_FOLLOW_UP && before->phase == PHASE_FOLLOW_UP &&
             op->card == before->card))
            must(r, musts, before, op, NULL);
        if (op->phase == PHASE_FOLLOW_UP && before->phase != PHASE_FOLLOW_UP)
            for (size_t k = 0; k < i; k++) /* the engine has run */
                if (r->plan->operations.items[k]->phase >= PHASE_FINAL)
                    must(r, musts, r->plan->operations.items[k], op, NULL);
    }
}

static void sort_musts(struct reader *r, struct musts *musts)
{
    size_t count = r->plan->operations.count;

    musts->start = ARENA_ARRAY(r->context->arena, size_t, count + 2);
    musts->link = ARENA_ARRAY(r->context->arena, size_t, musts->links.count + 1);
    for (size_t i = 0; i < musts->links.count; i++)
        musts->start[musts->links.items[i].after + 2]++;
    for (size_t i = 0; i < count; i++)
        musts->start[i + 2] += musts->start[i + 1];
    for (size_t i = 0; i < musts->links.count; i++)
        musts->link[musts->start[musts->links.items[i].after + 1]++] = i;
}

/* The precedences themselves, with their reasons; then what the network of the job says beside them. */
static struct musts musts_of(struct reader *r)
{
    struct musts musts = {0};
    const struct plan *plan = r->plan;
    const struct network *net = network_of(r->context->arena, plan);

    for (size_t i = 0; i < plan->precedences.count; i++) {
        const struct precedence *edge = &plan->precedences.items[i];
        if (edge->before->order < plan->operations.count && edge->after->order < plan->operations.count &&
            plan->operations.items[edge->before->order] == edge->before &&
            plan->operations.items[edge->after->order] == edge->after)
            must(r, &musts, edge->before, edge->after, edge);
    }
    for (size_t i = 0; i < net->edges.count; i++) {
        size_t from = net->edges.items[i].from, to = net->edges.items[i].to;
        if (from < net->operations && to < net->operations)
            must(r, &musts, plan->operations.items[from], plan->operations.items[to], NULL);
    }
    mirror(r, &musts, strip_of(r));
    in_a_row(r, &musts);
    sort_musts(r, &musts);
    return musts;
}

/* What is lacking before `op`, back to what is done: in the order of the plan. */
static size_t lacking(struct reader *r, const struct musts *musts, size_t op, bool *seen, size_t *list)
{
    struct { size_t *items; size_t count, room; } queue = {0};
    size_t count = 0;

    *ARRAY_PUSH(r->context->arena, &queue) = op;
    while (queue.count) {
        size_t at = queue.items[--queue.count];
        for (size_t k = musts->start[at]; k < musts->start[at + 1]; k++) {
            size_t before = musts->links.items[musts->link[k]].before;
            if (r->done[before] || seen[before])
                continue;
            seen[before] = true;
            list[count++] = before;
            *ARRAY_PUSH(r->context->arena, &queue) = before;
        }
    }
    return count;
}

static int by_number(const void *left, const void *right)
{
    size_t a = *(const size_t *)left, b = *(const size_t *)right;

    return a < b ? -1 : a > b;
}

enum { NAMED = 3 };

static void refuse(struct reader *r, const struct musts *musts, size_t op, const size_t *list,
                   size_t count)
{
    struct diags *diags = &r->context->diags;
    struct str_buf names = {.arena = r->context->arena};
    const struct precedence *why = NULL;

    for (size_t k = musts->start[op]; !why && k < musts->start[op + 1]; k++)
        if (!r->done[musts->links.items[musts->link[k]].before])
            why = musts->links.items[musts->link[k]].why;
    for (size_t i = 0; i < count && i < NAMED; i++)
        str_add_print(&names, "%s%s", i ? ", " : "", r->plan->operations.items[list[i]]->id);
    if (count > NAMED)
        str_add_print(&names, " and %zu more", count - NAMED);
    struct diag *diag =
        diag_add(diags, DIAG_PLAN_DONE_EARLY, r->said[op],
                 "%s is done, but what must come before it is not: %s",
                 r->plan->operations.items[op]->id, names.bytes);
    if (why && why->span.file)
        diag_label(diags, diag, why->span, "%s", why->reason);
    diag_hint(diags, diag, "list what was done before it too, or take this line out; a reading that was "
                           "missed stays missed: list it, and say so in the readings");
}

static void check(struct reader *r)
{
    struct musts musts = musts_of(r);
    bool *seen = ARENA_ARRAY(r->context->arena, bool, r->plan->operations.count + 1);
    size_t *list = ARENA_ARRAY(r->context->arena, size_t, r->plan->operations.count + 1);

    for (size_t i = 0; i < r->plan->operations.count; i++) {
        if (!r->done[i])
            continue;
        size_t count = lacking(r, &musts, i, seen, list); /* what was told of is not told again */
        if (!count)
            continue;
        qsort(list, count, sizeof *list, by_number);
        refuse(r, &musts, i, list, count);
    }
}

const bool *resume_read_done(struct context *context, const struct plan *plan, const char *path)
{
    size_t errors = context->diags.errors;
    struct file_bytes file = file_read(context->arena, path, BOUND_FILE_BYTES);

    if (file.status != FILE_OK) {
        diag_add(&context->diags, DIAG_PLAN_DONE_FILE, (struct span){0}, "done list %s: %s", path,
                 file.why ? file.why : "cannot be read");
        context->outside_failed = true; /* it was named on the command line */
        return NULL;
    }
    uint32_t number = source_add(context->arena, &context->sources, path, file.bytes, file.size);
    struct span whole = {number, 0, 0};
    const struct source *source = source_of(&context->sources, whole);
    const char *wrong = source_fault(source, BOUND_LINE_BYTES, &whole.begin, &whole.end);
    if (wrong) {
        diag_add(&context->diags, DIAG_PLAN_DONE_LINE, whole, "%s", wrong);
        return NULL;
    }
    struct reader r = {context, plan, ARENA_ARRAY(context->arena, bool, plan->operations.count + 1),
                       ARENA_ARRAY(context->arena, struct span, plan->operations.count + 1)};
    struct names names = names_of(context->arena, plan);
    for (uint32_t line = 1; line <= source->line_count; line++)
        read_line(&r, &names, number, source, line);
    if (context->diags.errors == errors)
        check(&r);
    return context->diags.errors == errors ? r.done : NULL;
}
