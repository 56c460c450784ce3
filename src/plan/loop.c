/* loop.c - a contradiction told as a story: the shortest loop of precedences, each link with its
 * fact and place, defaults named as defaults. */
#include "plan_private.h"

enum { SEARCHES = 200 }; /* starting points tried for the shortest loop of one knot */

static const struct precedence *edge_at(const struct maker *maker, size_t edge)
{
    return &maker->plan->precedences.items[edge];
}

static size_t clump_of(const struct plan_graph *graph, const struct operation *op)
{
    return graph->clump_of[((const struct task *)op)->index];
}

/* ---------- knots: strongly connected clumps (Tarjan's algorithm, without recursion) ---------- */

struct knots {
    size_t *knot_of; /* by clump; 0: in none yet */
    size_t count;
};

struct walk {
    size_t *number, *low, *stack, *path, *next;
    bool *waiting;
    size_t stacked, depth, numbered;
};

static void enter(struct walk *w, const struct plan_graph *graph, size_t c)
{
    w->number[c] = w->low[c] = ++w->numbered;
    w->stack[w->stacked++] = c;
    w->waiting[c] = true;
    w->path[w->depth++] = c;
    w->next[c] = graph->start[c];
}

static void leave(struct walk *w, struct knots *knots, size_t c)
{
    w->depth--;
    if (w->depth && w->low[c] < w->low[w->path[w->depth - 1]])
        w->low[w->path[w->depth - 1]] = w->low[c];
    if (w->low[c] != w->number[c])
        return;
    knots->count++;
    size_t member;
    do {
        member = w->stack[--w->stacked];
        w->waiting[member] = false;
        knots->knot_of[member] = knots->count;
    } while (member != c);
}

static struct knots find_knots(struct maker *maker, const struct plan_graph *graph)
{
    size_t n = graph->clumps + 1;
    struct walk w = {.number = ARENA_ARRAY(maker->arena, size_t, n),
                     .low = ARENA_ARRAY(maker->arena, size_t, n),
                     .stack = ARENA_ARRAY(maker->arena, size_t, n),
                     .path = ARENA_ARRAY(maker->arena, size_t, n),
                     .next = ARENA_ARRAY(maker->arena, size_t, n),
                     .waiting = ARENA_ARRAY(maker->arena, bool, n)};
    struct knots knots = {ARENA_ARRAY(maker->arena, size_t, n), 0};

    for (size_t root = 0; root < graph->clumps; root++) {
        if (w.number[root])
            continue;
        enter(&w, graph, root);
        while (w.depth) {
            size_t c = w.path[w.depth - 1];
            if (w.next[c] == graph->start[c + 1]) {
                leave(&w, &knots, c);
                continue;
            }
            size_t to = clump_of(graph, edge_at(maker, graph->edge[w.next[c]++])->after);
            if (!w.number[to])
                enter(&w, graph, to);
            else if (w.waiting[to] && w.number[to] < w.low[c])
                w.low[c] = w.number[to];
        }
    }
    return knots;
}

/* ---------- the shortest loop of a knot ---------- */

struct loop {
    size_t *edges; /* in order round the loop */
    size_t count;
};

struct search { /* room for one search at a time */
    size_t *came_by, *queue, *steps, *seen, stamp;
    struct loop loop;
};

/* Breadth first from `from` back to itself; 0 when there is nothing shorter than `most` links. */
static size_t loop_from(const struct maker *maker, const struct plan_graph *graph,
                        const size_t *knot_of, size_t from, size_t most, struct search *s)
{
    size_t head = 0, tail = 0;

    s->stamp++;
    s->queue[tail++] = from;
    s->steps[from] = 0;
    while (head < tail) {
        size_t c = s->queue[head++];
        if (s->steps[c] + 1 >= most)
            return 0;
        for (size_t e = graph->start[c]; e < graph->start[c + 1]; e++) {
            size_t to = clump_of(graph, edge_at(maker, graph->edge[e])->after);
            if (knot_of[to] != knot_of[from] || (to != from && s->seen[to] == s->stamp))
                continue;
            s->came_by[to] = graph->edge[e];
            if (to == from)
                return s->steps[c] + 1;
            s->seen[to] = s->stamp;
            s->steps[to] = s->steps[c] + 1;
            s->queue[tail++] = to;
        }
    }
    return 0;
}

static const struct loop *shortest(const struct maker *maker, const struct plan_graph *graph,
                                   const size_t *knot_of, const size_t *members, size_t count,
                                   struct search *s)
{
    size_t best = SIZE_MAX;

    s->loop.count = 0;
    for (size_t i = 0; i < count && i < SEARCHES && best > 1; i++) {
        size_t length = loop_from(maker, graph, knot_of, members[i], best, s);
        if (length == 0)
            continue;
        best = s->loop.count = length;
        size_t at = members[i];
        for (size_t k = length; k > 0; k--) {
            s->loop.edges[k - 1] = s->came_by[at];
            at = clump_of(graph, edge_at(maker, s->came_by[at])->before);
        }
    }
    return &s->loop;
}

/* ---------- telling it ---------- */

static bool later(struct span a, struct span b)
{
    return a.file != b.file ? a.file > b.file : a.begin > b.begin;
}

static const char *say(struct maker *maker, const struct operation *op)
{
    return operation_words(maker->arena, op);
}

/* A block that the loop passes through against its grain: why nothing may stand in it. */
static const struct precedence *block_reason(const struct maker *maker,
                                             const struct plan_graph *graph, size_t clump,
                                             const struct operation *in,
                                             const struct operation *out)
{
    const struct precedence *reason = NULL;

    for (size_t i = 0; i < maker->glues.count; i++) {
        const struct precedence *glue = edge_at(maker, maker->glues.items[i].edge);
        if (clump_of(graph, glue->before) != clump)
            continue;
        if (!reason || (glue->before == out && glue->after == in) ||
            (reason->after != in && glue->after == in))
            reason = glue;
    }
    return reason;
}

struct story {
    struct { struct precedence *items; size_t count, room; } links;
    bool block;      /* some link is that a block is unbroken */
    bool open_time;
    const struct operation *stranger; /* what would stand in the block, and the block's ends */
    struct precedence held;
};

static bool quick(const struct precedence *glue)
{
    const struct entry *seal = glue->before->entry;

    return seal->kind == ENTRY_SEAL && plan_open_time_s((const struct seal *)seal) > 0;
}

static struct story tell(struct maker *maker, const struct plan_graph *graph,
                         const struct loop *loop)
{
    struct story story = {0};

    for (size_t i = 0; i < loop->count; i++) {
        const struct precedence *link = edge_at(maker, loop->edges[i]);
        const struct precedence *next = edge_at(maker, loop->edges[(i + 1) % loop->count]);
        *ARRAY_PUSH(maker->arena, &story.links) = *link;
        if (link->after == next->before)
            continue;
        const struct precedence *why = block_reason(maker, graph, clump_of(graph, link->after),
                                                    link->after, next->before);
        if (!why)
            continue;
        story.block = true;
        story.stranger = link->before;
        story.open_time = story.open_time || (why->implication == 5 && quick(why));
        story.held = (struct precedence){next->before,    link->after, why->implication,
                                         why->by_default, why->reason, why->span};
        *ARRAY_PUSH(maker->arena, &story.links) = story.held;
    }
    return story;
}

static enum diag_code code_of(const struct story *story)
{
    enum diag_code code = story->open_time ? DIAG_PLAN_OPEN_TIME
                          : story->block   ? DIAG_PLAN_BLOCK
                                           : DIAG_PLAN_LOOP;

    for (size_t i = 0; i < story->links.count && code == DIAG_PLAN_LOOP; i++) {
        const struct operation *op = story->links.items[i].before;
        if (op->verb == VERB_READ_AGAIN)
            code = DIAG_PLAN_SETTING_HIDDEN;
        else if (op->verb == VERB_TRIAL)
            code = DIAG_PLAN_TRIAL_LOOP;
    }
    return code;
}

/* ---------- which facts would open it ---------- */

/* What is looked through: the tasks of one knot and the precedences between them. */
struct tangle {
    struct { size_t *items; size_t count, room; } tasks, edges, glues;
    size_t *parent, *left; /* by task: what it stands together with; what holds that up */
};

static size_t root_of(size_t *parent, size_t i)
{
    while (parent[i] != i) {
        parent[i] = parent[parent[i]];
        i = parent[i];
    }
    return i;
}

static size_t index_of(const struct operation *op)
{
    return ((const struct task *)op)->index;
}

static bool same_span(struct span a, struct span b)
{
    return a.file == b.file && a.begin == b.begin && a.end == b.end;
}

static struct tangle tangle_of(struct maker *maker, const struct plan_graph *graph,
                               const size_t *clumps, size_t count)
{
    struct tangle t = {.parent = ARENA_ARRAY(maker->arena, size_t, maker->tasks.count + 1),
                       .left = ARENA_ARRAY(maker->arena, size_t, maker->tasks.count + 1)};
    bool *in = ARENA_ARRAY(maker->arena, bool, graph->clumps + 1);

    for (size_t i = 0; i < count; i++) {
        in[clumps[i]] = true;
        for (size_t m = graph->member_start[clumps[i]]; m < graph->member_start[clumps[i] + 1]; m++)
            *ARRAY_PUSH(maker->arena, &t.tasks) = graph->member[m];
    }
    for (size_t i = 0; i < maker->plan->precedences.count; i++)
        if (in[clump_of(graph, edge_at(maker, i)->before)] &&
            in[clump_of(graph, edge_at(maker, i)->after)])
            *ARRAY_PUSH(maker->arena, &t.edges) = i;
    for (size_t i = 0; graph->clumps < graph->tasks && i < maker->glues.count; i++)
        if (in[clump_of(graph, edge_at(maker, maker->glues.items[i].edge)->before)])
            *ARRAY_PUSH(maker->arena, &t.glues) = maker->glues.items[i].edge;
    return t;
}

/* Whether an order is left without what the spec says at `span`. */
static bool opens(struct maker *maker, struct tangle *t, struct span span)
{
    struct { size_t *items; size_t count, room; } queue = {0};
    size_t done = 0, roots = 0;

    for (size_t i = 0; i < t->tasks.count; i++) {
        t->parent[t->tasks.items[i]] = t->tasks.items[i];
        t->left[t->tasks.items[i]] = 0;
    }
    for (size_t i = 0; i < t->glues.count; i++) {
        const struct precedence *glue = edge_at(maker, t->glues.items[i]);
        if (!same_span(glue->span, span))
            t->parent[root_of(t->parent, index_of(glue->before))] =
                root_of(t->parent, index_of(glue->after));
    }
    for (size_t i = 0; i < t->edges.count; i++) {
        const struct precedence *edge = edge_at(maker, t->edges.items[i]);
        size_t from = root_of(t->parent, index_of(edge->before));
        size_t to = root_of(t->parent, index_of(edge->after));
        if (same_span(edge->span, span))
            continue;
        if (edge->before == edge->after)
            return false;
        t->left[to] += from != to;
    }
    for (size_t i = 0; i < t->tasks.count; i++) {
        roots += t->parent[t->tasks.items[i]] == t->tasks.items[i];
        if (t->parent[t->tasks.items[i]] == t->tasks.items[i] && !t->left[t->tasks.items[i]])
            *ARRAY_PUSH(maker->arena, &queue) = t->tasks.items[i];
    }
    while (queue.count) { /* each round goes through all: knots are small */
        size_t at = queue.items[--queue.count];
        done++;
        for (size_t i = 0; i < t->edges.count; i++) {
            const struct precedence *edge = edge_at(maker, t->edges.items[i]);
            size_t to = root_of(t->parent, index_of(edge->after));
            if (!same_span(edge->span, span) && root_of(t->parent, index_of(edge->before)) == at &&
                to != at && --t->left[to] == 0)
                *ARRAY_PUSH(maker->arena, &queue) = to;
        }
    }
    return done == roots;
}

enum { TANGLED = 2000 }; /* precedences of a knot that is still looked through */

/* "6:13, 7:17", with the file where it is another than `here`: facts of the story each of which, left out
 * alone, leaves an order. NULL where the knot is too large to say; "" where no single one does. */
static const char *opening_facts(struct maker *maker, struct tangle *t, const struct story *story,
                                 struct span here)
{
    struct str_buf text = {.arena = maker->arena};

    if (t->edges.count > TANGLED)
        return NULL;
    str_add(&text, "");
    for (size_t i = 0; i < story->links.count; i++) {
        struct span span = story->links.items[i].span;
        bool again = !span.file;
        for (size_t k = 0; k < i && !again; k++)
            again = same_span(story->links.items[k].span, span);
        if (again || !opens(maker, t, span))
            continue;
        const struct source *source = source_of(&maker->context->sources, span);
        struct source_place place = source_place(source, span.begin);
        bool other = span.file != here.file;
        str_add_print(&text, "%s%s%s%u:%u", text.length ? ", " : "", other ? source->path : "",
                      other ? ":" : "", place.line, place.column);
    }
    return text.bytes;
}

static struct diag *headline(struct maker *maker, const struct story *story,
                             const struct precedence *main)
{
    struct diags *diags = &maker->context->diags;

    if (story->links.count == 1)
        return diag_add(diags, code_of(story), main->span, "'%s' would come before itself: %s",
                        say(maker, main->before), main->reason);
    if (story->block)
        return diag_add(diags, code_of(story), main->span,
                        "'%s' has to be done between '%s' and '%s', where nothing may stand: %s",
                        say(maker, story->stranger), say(maker, story->held.before),
                        say(maker, story->held.after), story->held.reason);
    return diag_add(diags, code_of(story), main->span,
                    "no order holds: '%s' must come before '%s', because %s; and the notes lead "
                    "round to the opposite",
                    say(maker, main->before), say(maker, main->after), main->reason);
}

static void hint_at(struct maker *maker, struct diag *diag, const struct story *story,
                    const char *facts)
{
    struct diags *diags = &maker->context->diags;
    const char *which = !facts  ? ""
                        : *facts ? str_print(maker->arena, "; any one of these, left out, opens it: "
                                                           "%s", facts)
                                 : "; no single one of them opens it: the circle is closed in more than one way";

    for (size_t i = 0; i < story->links.count; i++) {
        const struct precedence *link = &story->links.items[i];
        if (link->by_default) {
            diag_hint(diags, diag,
                      "the reach of %s was not said; if it is reached from outside, say "
                      "'reach: outside' there%s",
                      link->before->entry->member, which);
            return;
        }
    }
    diag_hint(diags, diag,
              "one of these facts is not so: correct it, or say how it is done on the bench%s", which);
}

/* `clumps`: the knot that the loop is in. */
static void report(struct maker *maker, const struct plan_graph *graph, const struct loop *loop,
                   const size_t *clumps, size_t count)
{
    struct story story = tell(maker, graph, loop);
    struct tangle tangle = tangle_of(maker, graph, clumps, count);
    const struct precedence *main = &story.links.items[0];
    struct diags *diags = &maker->context->diags;

    for (size_t i = 1; i < story.links.count; i++)
        if (later(story.links.items[i].span, main->span))
            main = &story.links.items[i];
    struct diag *diag = headline(maker, &story, main);
    size_t start = (size_t)(main - story.links.items);
    for (size_t k = 1; k < story.links.count; k++) {
        const struct precedence *link = &story.links.items[(start + k) % story.links.count];
        diag_label(diags, diag, link->span, "'%s' before '%s': %s", say(maker, link->before),
                   say(maker, link->after), link->reason);
    }
    hint_at(maker, diag, &story, opening_facts(maker, &tangle, &story, main->span));
}

/* The clumps of each knot, side by side: members[start[k]..start[k+1]) of knot k. */
static size_t *sort_by_knot(struct maker *maker, const struct plan_graph *graph,
                            const struct knots *knots, size_t **start)
{
    size_t *from = ARENA_ARRAY(maker->arena, size_t, knots->count + 3);
    size_t *members = ARENA_ARRAY(maker->arena, size_t, graph->clumps + 1);

    for (size_t c = 0; c < graph->clumps; c++)
        from[knots->knot_of[c] + 2]++;
    for (size_t k = 1; k < knots->count + 3; k++)
        from[k] += from[k - 1];
    for (size_t c = 0; c < graph->clumps; c++)
        members[from[knots->knot_of[c] + 1]++] = c;
    *start = from;
    return members;
}

void plan_tell_loops(struct maker *maker, const struct plan_graph *graph, const bool *done)
{
    struct knots knots = find_knots(maker, graph);
    size_t n = graph->clumps + 1, told = 0, *start;
    size_t *members = sort_by_knot(maker, graph, &knots, &start);
    struct search search = {ARENA_ARRAY(maker->arena, size_t, n), ARENA_ARRAY(maker->arena, size_t, n),
                            ARENA_ARRAY(maker->arena, size_t, n), ARENA_ARRAY(maker->arena, size_t, n),
                            0, {ARENA_ARRAY(maker->arena, size_t, n), 0}};

    for (size_t knot = 1; knot <= knots.count && told <= BOUND_DIAGNOSTICS; knot++) {
        size_t count = start[knot + 1] - start[knot];
        if (count < 2)
            continue;
        const struct loop *loop =
            shortest(maker, graph, knots.knot_of, &members[start[knot]], count, &search);
        if (loop->count) {
            report(maker, graph, loop, &members[start[knot]], count);
            told++;
        }
    }
    for (size_t c = 0; c < graph->clumps && told <= BOUND_DIAGNOSTICS; c++) /* after itself */
        for (size_t e = graph->start[c]; e < graph->start[c + 1] && !done[c]; e++)
            if (clump_of(graph, edge_at(maker, graph->edge[e])->after) == c) {
                report(maker, graph, &(struct loop){&graph->edge[e], 1}, &c, 1);
                told++;
            }
}
