/* order.c - precedences in, order out, by the rule of what comes next (specs/LANGUAGE.md section
 * 6): bench readings as soon as nothing holds them up; then the parts of the engine in file order;
 * before each what it needs and nothing else; after each operation at once what it has made
 * possible. What must stand together is one clump, and clumps are what is ordered. */
#include <assert.h>
#include <stdlib.h>
#include <string.h>
#include "heap.h"
#include "plan_private.h"

static size_t index_of(const struct operation *op)
{
    return ((const struct task *)op)->index;
}

/* ---------- clumps ---------- */

static size_t root_of(size_t *parent, size_t i)
{
    while (parent[i] != i) {
        parent[i] = parent[parent[i]];
        i = parent[i];
    }
    return i;
}

static void find_clumps(struct maker *maker, struct plan_graph *graph, bool clumped)
{
    size_t count = maker->tasks.count;
    size_t *parent = ARENA_ARRAY(maker->arena, size_t, count + 1);
    size_t *name = ARENA_ARRAY(maker->arena, size_t, count + 1);

    for (size_t i = 0; i < count; i++)
        parent[i] = i;
    for (size_t i = 0; clumped && i < maker->glues.count; i++) {
        const struct precedence *edge =
            &maker->plan->precedences.items[maker->glues.items[i].edge];
        size_t a = root_of(parent, index_of(edge->before));
        size_t b = root_of(parent, index_of(edge->after));
        parent[a > b ? a : b] = a > b ? b : a;
    }
    graph->clump_of = ARENA_ARRAY(maker->arena, size_t, count + 1);
    for (size_t i = 0; i < count; i++) { /* the root is the lowest index: it comes first */
        size_t root = root_of(parent, i);
        if (root == i)
            name[i] = graph->clumps++;
        graph->clump_of[i] = name[root];
    }
}

/* Places `count` items in buckets: start[b]..start[b+1] of `item`. */
static void bucket(struct maker *maker, size_t buckets, size_t count, const size_t *bucket_of,
                   size_t **start, size_t **item)
{
    size_t *from = ARENA_ARRAY(maker->arena, size_t, buckets + 2);

    for (size_t i = 0; i < count; i++)
        if (bucket_of[i] < buckets)
            from[bucket_of[i] + 2]++;
    for (size_t b = 0; b < buckets; b++)
        from[b + 2] += from[b + 1];
    size_t *list = ARENA_ARRAY(maker->arena, size_t, from[buckets + 1] + 1);
    for (size_t i = 0; i < count; i++)
        if (bucket_of[i] < buckets)
            list[from[bucket_of[i] + 1]++] = i;
    *start = from;
    *item = list;
}

static bool is_signature(const struct task *task)
{
    return task->op.verb == VERB_WITNESS || task->op.verb == VERB_COUNT_BACK;
}

/* Ready member whose predecessor was emitted latest: what is begun is finished first. */
static size_t next_member(struct maker *maker, const size_t *members, size_t count,
                          const size_t *inner, size_t inner_count, const size_t *placed)
{
    size_t best = SIZE_MAX, best_at = 0;

    for (size_t i = 0; i < count; i++) {
        size_t latest = 0;
        bool ready = placed[members[i]] == 0;
        for (size_t k = 0; ready && k < inner_count; k++) {
            const struct precedence *edge = &maker->plan->precedences.items[inner[k]];
            if (index_of(edge->after) != members[i])
                continue;
            size_t at = placed[index_of(edge->before)];
            ready = at != 0;
            latest = at > latest ? at : latest;
        }
        /* first signatures, then locks, then what follows the latest */
        if (is_signature(maker->tasks.items[members[i]]))
            latest += 2 * count;
        else if (maker->tasks.items[members[i]]->op.verb == VERB_LOCK)
            latest += count;
        if (ready && (best == SIZE_MAX || latest > best_at)) {
            best = members[i];
            best_at = latest;
        }
    }
    return best;
}

/* False: they follow each other in a loop. */
static bool order_members(struct maker *maker, struct plan_graph *graph, size_t clump,
                          const size_t *inner, size_t inner_count, size_t *placed)
{
    size_t *members = &graph->member[graph->member_start[clump]];
    size_t count = graph->member_start[clump + 1] - graph->member_start[clump];

    if (count < 2)
        return true;
    size_t *sorted = ARENA_ARRAY(maker->arena, size_t, count);
    for (size_t i = 0; i < count; i++) {
        sorted[i] = next_member(maker, members, count, inner, inner_count, placed);
        if (sorted[i] == SIZE_MAX)
            return false;
        placed[sorted[i]] = i + 1;
    }
    memcpy(members, sorted, count * sizeof *members);
    return true;
}

/* The clumps at both ends of each precedence; those within one clump lead nowhere, and go to `inside`. */
struct ends {
    size_t *from, *to;
    struct { size_t *items; size_t count, room; } inside, clump;
};

static struct ends find_ends(struct maker *maker, const struct plan_graph *graph)
{
    size_t count = maker->plan->precedences.count;
    struct ends ends = {ARENA_ARRAY(maker->arena, size_t, count + 1),
                        ARENA_ARRAY(maker->arena, size_t, count + 1), {0}, {0}};

    for (size_t i = 0; i < count; i++) {
        const struct precedence *edge = &maker->plan->precedences.items[i];
        ends.from[i] = graph->clump_of[index_of(edge->before)];
        ends.to[i] = graph->clump_of[index_of(edge->after)];
        if (ends.from[i] != ends.to[i] || edge->before == edge->after)
            continue;
        *ARRAY_PUSH(maker->arena, &ends.inside) = i;
        *ARRAY_PUSH(maker->arena, &ends.clump) = ends.from[i];
        ends.from[i] = ends.to[i] = SIZE_MAX;
    }
    return ends;
}

/* False: within a clump there is a loop. */
static bool order_clumps(struct maker *maker, struct plan_graph *graph, const struct ends *ends)
{
    size_t *placed = ARENA_ARRAY(maker->arena, size_t, maker->tasks.count + 1);
    size_t *start, *inner;
    bool good = true;

    bucket(maker, graph->clumps, ends->inside.count, ends->clump.items, &start, &inner);
    for (size_t i = 0; i < ends->inside.count; i++)
        inner[i] = ends->inside.items[inner[i]];
    for (size_t c = 0; good && c < graph->clumps; c++)
        good = order_members(maker, graph, c, &inner[start[c]], start[c + 1] - start[c], placed);
    return good;
}

static bool link_clumps(struct maker *maker, struct plan_graph *graph)
{
    size_t count = maker->plan->precedences.count, *back_edge;
    struct ends ends = find_ends(maker, graph);

    graph->edges = count;
    graph->tasks = maker->tasks.count;
    bucket(maker, graph->clumps, count, ends.from, &graph->start, &graph->edge);
    bucket(maker, graph->clumps, count, ends.to, &graph->back_start, &back_edge);
    size_t links = graph->start[graph->clumps];
    graph->after = ARENA_ARRAY(maker->arena, uint32_t, links + 1);
    graph->before = ARENA_ARRAY(maker->arena, uint32_t, links + 1);
    for (size_t e = 0; e < links; e++) {
        graph->after[e] = (uint32_t)ends.to[graph->edge[e]];
        graph->before[e] = (uint32_t)ends.from[back_edge[e]];
    }
    bucket(maker, graph->clumps, maker->tasks.count, graph->clump_of, &graph->member_start,
           &graph->member);
    return order_clumps(maker, graph, &ends);
}

/* ---------- does it go at all? ---------- */

static size_t *incoming(struct maker *maker, const struct plan_graph *graph)
{
    size_t *count = ARENA_ARRAY(maker->arena, size_t, graph->clumps + 1);

    for (size_t c = 0; c < graph->clumps; c++)
        count[c] = graph->back_start[c + 1] - graph->back_start[c];
    return count;
}

/* Whether there is an order at all; where not, why not is told if that is asked for. */
static bool goes(struct maker *maker, const struct plan_graph *graph, bool told)
{
    size_t *left = incoming(maker, graph), *queue = ARENA_ARRAY(maker->arena, size_t, graph->clumps + 1);
    bool *done = ARENA_ARRAY(maker->arena, bool, graph->clumps + 1);
    size_t head = 0, tail = 0;

    for (size_t c = 0; c < graph->clumps; c++)
        if (left[c] == 0)
            queue[tail++] = c;
    while (head < tail) {
        size_t c = queue[head++];
        done[c] = true;
        for (size_t e = graph->start[c]; e < graph->start[c + 1]; e++)
            if (--left[graph->after[e]] == 0)
                queue[tail++] = graph->after[e];
    }
    if (tail < graph->clumps && told)
        plan_tell_loops(maker, graph, done);
    return tail == graph->clumps;
}

/* ---------- what comes next ---------- */

/* Rule 4's list: slave out, lock, nip, bring right, tighten, read, prove, witness. */
static const uint8_t urgencies[VERB_COUNT] = {
    [VERB_REMOVE] = 1, [VERB_LOCK] = 2,      [VERB_COUNT_BACK] = 2, [VERB_NIP] = 3,
    [VERB_SET] = 4,    [VERB_DO] = 4,        [VERB_TIGHTEN] = 5,    [VERB_WAIT] = 6,
    [VERB_RETIGHTEN] = 6, [VERB_READ] = 7,   [VERB_READ_AGAIN] = 7, [VERB_PROVE] = 8,
    [VERB_WITNESS] = 9,
};

struct scheduler {
    struct maker *maker;
    const struct plan_graph *graph;
    size_t *left;               /* incoming precedences not yet done, by clump */
    bool *done, *wanted;
    enum task_class *class;
    struct task **head;         /* the task whose rank and place stand for the clump */
    struct why {                /* by clump: the rule that took it, and for what */
        enum taken taken;
        const struct task *cause;
        bool known;
    } *why;
    struct heap loose, finish;
};

/* A clump that fits a part is wanted as that part; what waits for need waits whole. */
static const uint8_t class_weight[] = {
    [TASK_FIT] = 3, [TASK_LAZY] = 2, [TASK_FINISH] = 1, [TASK_LOOSE] = 0};

static void characterise(struct scheduler *s)
{
    for (size_t c = 0; c < s->graph->clumps; c++) {
        s->head[c] = s->maker->tasks.items[s->graph->member[s->graph->member_start[c]]];
        for (size_t m = s->graph->member_start[c]; m < s->graph->member_start[c + 1]; m++) {
            struct task *task = s->maker->tasks.items[s->graph->member[m]];
            if (class_weight[task->class] > class_weight[s->head[c]->class])
                s->head[c] = task;
        }
        s->class[c] = s->head[c]->class;
    }
}

/* The first reason stays: what is asked for while it waits for its own needs was asked for before. */
static void take(struct scheduler *s, size_t clump, enum taken taken, const struct task *cause)
{
    if (!s->why[clump].known)
        s->why[clump] = (struct why){taken, cause, true};
}

/* `by`: what has made it possible; NULL: nothing ever held it up. */
static void offer(struct scheduler *s, size_t clump, const struct task *by)
{
    struct task *head = s->head[clump];
    struct heap_item item = {urgencies[head->op.verb], head->rank, clump};

    if (s->class[clump] == TASK_LOOSE) {
        plan_heap_push(s->maker->arena, &s->loose, (struct heap_item){0, item.rank, clump});
        take(s, clump, TAKEN_LOOSE, by);
    } else if (s->class[clump] == TASK_FINISH && by) {
        plan_heap_push(s->maker->arena, &s->finish, item);
        take(s, clump, TAKEN_BEGUN, by);
    }
}

static void emit(struct scheduler *s, size_t clump)
{
    const struct plan_graph *graph = s->graph;

    assert(!s->done[clump] && s->left[clump] == 0);
    s->done[clump] = true;
    for (size_t m = graph->member_start[clump]; m < graph->member_start[clump + 1]; m++) {
        struct task *task = s->maker->tasks.items[graph->member[m]];
        task->at = s->maker->order.count;
        task->taken = s->why[clump].taken;
        task->taken_for = s->why[clump].cause;
        task->block = s->head[clump];
        *ARRAY_PUSH(s->maker->arena, &s->maker->order) = task;
    }
    for (size_t e = graph->start[clump]; e < graph->start[clump + 1]; e++) {
        size_t next = graph->after[e];
        if (--s->left[next] == 0)
            offer(s, next, s->head[clump]);
    }
}

static void finish_what_is_begun(struct scheduler *s)
{
    while (s->finish.count || s->loose.count) {
        size_t clump = plan_heap_pop(s->finish.count ? &s->finish : &s->loose).item;
        if (!s->done[clump])
            emit(s, clump);
    }
}

/* Its unit on the bench, then what is already due on the engine; trials as late as may be. */
static int need_order(const void *left, const void *right)
{
    const struct heap_item *a = left, *b = right;

    return plan_heap_sooner(*a, *b) ? -1 : plan_heap_sooner(*b, *a) ? 1 : 0;
}

struct frame {
    size_t clump, next, count;
    struct heap_item *needs;
};

static struct frame frame_of(struct scheduler *s, size_t clump)
{
    const struct plan_graph *graph = s->graph;
    size_t most = graph->back_start[clump + 1] - graph->back_start[clump];
    struct frame frame = {clump, 0, 0, ARENA_ARRAY(s->maker->arena, struct heap_item, most + 1)};

    for (size_t e = graph->back_start[clump]; e < graph->back_start[clump + 1]; e++) {
        size_t need = graph->before[e];
        const struct task *head = s->head[need];
        if (!s->done[need])
            frame.needs[frame.count++] = (struct heap_item){
                head->op.verb == VERB_TRIAL || head->op.verb == VERB_WAIT ? 2 : !head->op.unit,
                head->rank, need};
    }
    qsort(frame.needs, frame.count, sizeof *frame.needs, need_order);
    return frame;
}

static void demand(struct scheduler *s, size_t clump, enum taken taken)
{
    struct { struct frame *items; size_t count, room; } stack = {0};

    if (s->done[clump])
        return;
    take(s, clump, taken, NULL);
    *ARRAY_PUSH(s->maker->arena, &stack) = frame_of(s, clump);
    while (stack.count) {
        struct frame *top = &stack.items[stack.count - 1];
        while (top->next < top->count && s->done[top->needs[top->next].item])
            top->next++;
        if (top->next < top->count && !s->done[top->clump]) {
            size_t need = top->needs[top->next++].item;
            take(s, need, TAKEN_NEED, s->head[top->clump]);
            *ARRAY_PUSH(s->maker->arena, &stack) = frame_of(s, need);
            continue;
        }
        size_t ready = top->clump;
        stack.count--;
        if (!s->done[ready]) {
            emit(s, ready);
            finish_what_is_begun(s);
        }
    }
}

static int rank_order(const void *left, const void *right)
{
    const struct task *a = *(struct task *const *)left, *b = *(struct task *const *)right;

    return a->rank != b->rank ? (a->rank < b->rank ? -1 : 1) : (a->index < b->index ? -1 : 1);
}

static void schedule(struct maker *maker, const struct plan_graph *graph)
{
    struct scheduler s = {.maker = maker, .graph = graph, .left = incoming(maker, graph)};
    size_t count = maker->tasks.count;
    struct task **goals = ARENA_ARRAY(maker->arena, struct task *, count + 1);

    s.done = ARENA_ARRAY(maker->arena, bool, graph->clumps + 1);
    s.class = ARENA_ARRAY(maker->arena, enum task_class, graph->clumps + 1);
    s.head = ARENA_ARRAY(maker->arena, struct task *, graph->clumps + 1);
    s.why = ARENA_ARRAY(maker->arena, struct why, graph->clumps + 1);
    characterise(&s);
    if (count)
        memcpy(goals, maker->tasks.items, count * sizeof *goals);
    qsort(goals, count, sizeof *goals, rank_order);
    for (size_t c = 0; c < graph->clumps; c++)
        if (s.left[c] == 0)
            offer(&s, c, NULL);
    finish_what_is_begun(&s);
    for (size_t i = 0; i < count; i++)
        if (goals[i]->class == TASK_FIT && !goals[i]->op.unit)
            demand(&s, graph->clump_of[goals[i]->index], TAKEN_NEXT);
    for (size_t i = 0; i < count; i++)
        demand(&s, graph->clump_of[goals[i]->index], TAKEN_REST);
    assert(maker->order.count == count);
}

/* ---------- place by place ---------- */

static bool same_places(const struct part *a, const struct part *b)
{
    const struct places *x = a->e.group->each, *y = b->e.group->each;

    if (!x || !y || x->count != y->count)
        return false;
    for (size_t i = 0; x != y && i < x->count; i++)
        if (!str_equal(x->items[i], y->items[i]))
            return false;
    return true;
}

static size_t place_number(const struct part *part)
{
    const struct places *each = part->e.group->each;

    for (size_t i = 0; each && i < each->count; i++)
        if (str_equal(each->items[i], part->e.place))
            return i;
    return 0;
}

/* One run of neighbours with the same places: its ranks are dealt out place by place. */
static void deal_run(struct maker *maker, struct task **run, size_t count)
{
    size_t *ranks = ARENA_ARRAY(maker->arena, size_t, count);
    size_t *start, *item, *place = ARENA_ARRAY(maker->arena, size_t, count);
    const struct places *each = ((struct part *)run[0]->op.entry)->e.group->each;

    for (size_t i = 0; i < count; i++) {
        ranks[i] = run[i]->rank; /* rising, since the run is in file order */
        place[i] = place_number((struct part *)run[i]->op.entry);
    }
    bucket(maker, each->count, count, place, &start, &item);
    for (size_t i = 0; i < count; i++)
        run[item[i]]->rank = ranks[i];
}

/* The fits of each unit, and of the engine, in file order. */
void plan_rank(struct maker *maker)
{
    size_t parts = maker->spec->parts.count, units = 1;
    size_t *unit = ARENA_ARRAY(maker->arena, size_t, parts + 1);
    size_t *number = ARENA_ARRAY(maker->arena, size_t, maker->info_count + 1);
    size_t *start, *item;
    struct task **run = ARENA_ARRAY(maker->arena, struct task *, parts + 1);

    for (size_t i = 0; i < parts; i++) {
        struct info *info = plan_info(maker->spec->parts.items[i]);
        size_t *own = info->carrier ? &number[plan_info(info->carrier) - maker->infos] : NULL;
        if (own && *own == 0)
            *own = units++;
        bool leads = info->fit && info->fit->op.entry == info->entry;
        unit[i] = !leads ? SIZE_MAX : own ? *own : 0;
    }
    bucket(maker, units, parts, unit, &start, &item);
    for (size_t u = 0; u < units; u++) {
        size_t count = 0;
        for (size_t i = start[u]; i <= start[u + 1]; i++) {
            struct part *part = i < start[u + 1] ? maker->spec->parts.items[item[i]] : NULL;
            if (count && (!part || !same_places((struct part *)run[0]->op.entry, part))) {
                if (((struct part *)run[0]->op.entry)->e.group->each)
                    deal_run(maker, run, count);
                count = 0;
            }
            if (part)
                run[count++] = plan_info(part)->fit;
        }
    }
}

const struct plan_graph *plan_plain(struct maker *maker)
{
    if (!maker->plain) {
        struct plan_graph *plain = ARENA_NEW(maker->arena, struct plan_graph);
        find_clumps(maker, plain, false);
        link_clumps(maker, plain);
        maker->plain = plain;
    }
    return maker->plain;
}

bool plan_order(struct maker *maker)
{
    struct plan_graph *graph = ARENA_NEW(maker->arena, struct plan_graph);

    maker->order.count = 0;
    maker->plain = NULL;
    find_clumps(maker, graph, true);
    if (!link_clumps(maker, graph) || !goes(maker, graph, false)) {
        if (goes(maker, plan_plain(maker), true)) /* the facts may go, and what stands together not */
            goes(maker, graph, true);
        return false;
    }
    schedule(maker, graph);
    maker->graph = graph;
    maker->paths = (struct plan_paths){
        .seen = ARENA_ARRAY(maker->arena, size_t, graph->clumps + 1),
        .linked = graph->edges,
        .added_of = ARENA_ARRAY(maker->arena, size_t, graph->clumps + 1)};
    return true;
}

/* ---------- what leads to what ---------- */

static void link_added(struct maker *maker)
{
    struct plan_paths *paths = &maker->paths;
    const struct plan_graph *graph = maker->graph;

    for (; paths->linked < maker->plan->precedences.count; paths->linked++) {
        const struct precedence *link = &maker->plan->precedences.items[paths->linked];
        size_t before = index_of(link->before), after = index_of(link->after);
        if (before >= graph->tasks || after >= graph->tasks) /* an operation added since */
            continue;
        size_t *last = &paths->added_of[graph->clump_of[before]], next = *last;
        *last = paths->added.count + 1;
        ARRAY_PUSH(maker->arena, &paths->added);
        paths->added.items[*last - 1].edge = paths->linked;
        paths->added.items[*last - 1].next = next;
        if (maker->tasks.items[before]->at > maker->tasks.items[after]->at)
            paths->backward = true;
    }
}

struct queue { size_t *items; size_t count, room; };

/* Goes along one precedence, unless it leads behind `last`. */
static void go_along(struct maker *maker, size_t edge, size_t last, struct queue *queue)
{
    const struct task *next = (const struct task *)maker->plan->precedences.items[edge].after;
    size_t clump = maker->graph->clump_of[next->index];

    if (maker->paths.seen[clump] == maker->paths.stamp || next->at > last)
        return;
    maker->paths.seen[clump] = maker->paths.stamp;
    *ARRAY_PUSH(maker->arena, queue) = clump;
}

/* Whether precedences lead from one task to another, through clumps too. While none that was added since
 * the order was found goes against it, only what stands between the two can lie on such a path. */
bool plan_path(struct maker *maker, const struct task *from, const struct task *to)
{
    const struct plan_graph *graph = maker->graph;
    struct plan_paths *paths = &maker->paths;
    size_t goal = graph->clump_of[to->index];
    struct queue queue = {0};

    link_added(maker);
    size_t last = paths->backward ? SIZE_MAX : to->at;
    if (from->at > last && graph->clump_of[from->index] != goal)
        return false;
    *ARRAY_PUSH(maker->arena, &queue) = graph->clump_of[from->index];
    paths->seen[graph->clump_of[from->index]] = ++paths->stamp;
    while (queue.count) {
        size_t clump = queue.items[--queue.count];
        if (clump == goal)
            return true;
        for (size_t e = graph->start[clump]; e < graph->start[clump + 1]; e++)
            go_along(maker, graph->edge[e], last, &queue);
        for (size_t a = paths->added_of[clump]; a; a = paths->added.items[a - 1].next)
            go_along(maker, paths->added.items[a - 1].edge, last, &queue);
    }
    return false;
}
