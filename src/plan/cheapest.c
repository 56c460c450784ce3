/* cheapest.c - a search over beginnings of orders, one block longer each round. Of beginnings that have
 * done the same and left the bench alike only those are kept that another does not beat; of the rest the
 * cheapest, as many as the breadth allows. What is long is searched window by window along the order
 * that was found before, cut where nothing begun is left over. */
#include "cheapest.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

enum {
    EXACT = 20,          /* blocks up to which nothing is left out */
    EXACT_BREADTH = 1 << 15,
    WHOLE = 4096,        /* blocks that are searched as one window */
    WINDOW = 256,        /* of more than that */
    TRIES = 3000000,     /* of blocks put next, over a whole window */
    CHOICES = 12,        /* blocks tried next after one beginning */
    FAST_BREADTH = 2, FAST_CHOICES = 4, /* of more than WHOLE */
};

struct beginning {       /* a beginning */
    int64_t cost, now;
    struct cost_bench bench;
    uint64_t done;       /* hash of what is done */
    uint32_t trace;      /* 1 + its last block in `traces` */
    uint32_t owed;       /* 1 + the late block whose follower is due */
    uint16_t ready;      /* how many blocks may come next */
};

/* Beginnings of one length, with what belongs to each side by side. */
struct layer {
    struct beginning *nodes;
    uint64_t *bits;      /* blocks done: `words` a node */
    uint16_t *ready;     /* blocks that may come next, by the order found before: `size` a node */
    int64_t *ends;       /* when each wait that is ready is over: `waits` a node */
    size_t count;
};

struct choice {
    int64_t cost;
    uint32_t node;
    uint16_t item;
};

struct trace {           /* a block put next, after what */
    uint32_t before;
    uint16_t item;
};

struct list {
    uint32_t *items;
    size_t count, room;
};

struct window {
    const struct cheapest *p;
    size_t from, size, words, waits, breadth, choices;
    size_t most, most_waits; /* of any window */
    /* blocks by their number in the window: the position in the order found before */
    struct list after, before;
    uint32_t *start, *back_start;
    uint16_t *wait_of;       /* 1 + number of its wait; 0: it waits for nothing */
    uint64_t *salt;
    int64_t *over;           /* when its wait is over, where all before it was done before the window */
    struct layer layers[2];
    struct { struct choice *items; size_t count, room; } found;
    struct { struct trace *items; size_t count, room; } traces;
    struct { uint32_t *items; size_t room; } seen; /* hash of the layer being made: 1 + node */
};

struct search {
    const struct cheapest *p;
    size_t *at;              /* position in the order found before, by block */
    int64_t *ended;          /* by block, of what is settled */
    uint32_t *kinds;         /* blocks that want alike have one */
    struct cost_bench bench;
    int64_t cost, now;
    struct window window;
};

/* ---------- the cost of a block ---------- */

/* `over`: when its wait is over. Adds to `now` and returns what it loses. */
static int64_t put_next(const struct cheapest *p, size_t block, struct cost_bench *bench,
                        int64_t *now, int64_t over)
{
    int64_t lost = 0;
    size_t begin = p->wants_start[block], end = p->wants_start[block + 1];

    for (size_t i = begin; i < end; i++) {
        const struct cost_wants *wants = &p->wants[i];
        int64_t change = plan_change(p->weights, bench, wants, NULL);
        *now += change + wants->work_s;
        lost += change;
        if (!wants->wait_s)
            continue;
        int64_t until = end - begin > 1 ? *now + wants->wait_s : over;
        if (until > *now) {
            lost += until - *now;
            *now = until;
        }
    }
    return lost;
}

static int64_t wait_s(const struct cheapest *p, size_t block)
{
    size_t i = p->wants_start[block];

    return p->wants_start[block + 1] == i + 1 ? p->wants[i].wait_s : 0;
}

/* When its wait is over, all before it being settled. */
static int64_t over_at(const struct search *s, size_t block)
{
    int64_t since = 0;

    for (size_t e = s->p->back_start[block]; e < s->p->back_start[block + 1]; e++)
        if (s->ended[s->p->before[e]] > since)
            since = s->ended[s->p->before[e]];
    return since + wait_s(s->p, block);
}

/* ---------- the window's own numbers ---------- */

static uint64_t mix(uint64_t x)
{
    x = (x ^ x >> 30) * 0xBF58476D1CE4E5B9u;
    x = (x ^ x >> 27) * 0x94D049BB133111EBu;
    return x ^ x >> 31;
}

static size_t block_of(const struct window *w, size_t item)
{
    return w->p->order[w->from + item];
}

static void make_room(struct window *w)
{
    struct arena *arena = w->p->arena;

    for (int i = 0; i < 2; i++) {
        w->layers[i].nodes = ARENA_ARRAY(arena, struct beginning, w->breadth);
        w->layers[i].bits = ARENA_ARRAY(arena, uint64_t, w->breadth * ((w->most + 63) / 64));
        w->layers[i].ready = ARENA_ARRAY(arena, uint16_t, w->breadth * w->most);
        w->layers[i].ends = ARENA_ARRAY(arena, int64_t, w->breadth * w->most_waits + 1);
    }
    w->start = ARENA_ARRAY(arena, uint32_t, w->most + 1);
    w->back_start = ARENA_ARRAY(arena, uint32_t, w->most + 1);
    w->wait_of = ARENA_ARRAY(arena, uint16_t, w->most + 1);
    w->salt = ARENA_ARRAY(arena, uint64_t, w->most + 1);
    w->over = ARENA_ARRAY(arena, int64_t, w->most + 1);
    for (size_t i = 0; i < w->most; i++)
        w->salt[i] = mix(i + 1);
    w->seen.room = 64;
    while (w->seen.room < 2 * w->breadth)
        w->seen.room *= 2;
    w->seen.items = ARENA_ARRAY(arena, uint32_t, w->seen.room);
}

/* Those of a block's neighbours that stand in the window. */
static void number_neighbours(const struct search *s, struct window *w, const uint32_t *blocks,
                              size_t count, struct list *list)
{
    for (size_t i = 0; i < count; i++) {
        size_t at = s->at[blocks[i]];
        if (at >= w->from && at < w->from + w->size)
            *ARRAY_PUSH(w->p->arena, list) = (uint32_t)(at - w->from);
    }
}

static void open_window(struct search *s, size_t from, size_t size)
{
    struct window *w = &s->window;
    const struct cheapest *p = s->p;

    w->from = from;
    w->size = size;
    w->words = (size + 63) / 64;
    w->waits = w->after.count = w->before.count = w->traces.count = 0;
    for (size_t i = 0; i < size; i++) {
        size_t block = block_of(w, i);
        w->start[i] = (uint32_t)w->after.count;
        w->back_start[i] = (uint32_t)w->before.count;
        number_neighbours(s, w, &p->after[p->start[block]], p->start[block + 1] - p->start[block],
                          &w->after);
        number_neighbours(s, w, &p->before[p->back_start[block]],
                          p->back_start[block + 1] - p->back_start[block], &w->before);
        w->wait_of[i] = wait_s(p, block) ? (uint16_t)++w->waits : 0;
        if (w->wait_of[i])
            w->over[i] = over_at(s, block);
    }
    w->start[size] = (uint32_t)w->after.count;
    w->back_start[size] = (uint32_t)w->before.count;
}

static bool is_done(const uint64_t *bits, size_t item)
{
    return bits[item / 64] >> (item % 64) & 1;
}

static bool is_ready(const struct window *w, const uint64_t *bits, size_t item)
{
    for (size_t e = w->back_start[item]; e < w->back_start[item + 1]; e++)
        if (!is_done(bits, w->before.items[e]))
            return false;
    return true;
}

static void add_ready(const struct window *w, struct layer *layer, size_t n, size_t item)
{
    uint16_t *ready = &layer->ready[n * w->size];
    size_t i = layer->nodes[n].ready++;

    for (; i > 0 && ready[i - 1] > item; i--)
        ready[i] = ready[i - 1];
    ready[i] = (uint16_t)item;
}

/* The one beginning in which nothing of the window is done. */
static void begin(const struct search *s, struct window *w)
{
    struct layer *layer = &w->layers[0];

    layer->count = 1;
    layer->nodes[0] = (struct beginning){.cost = s->cost, .now = s->now, .bench = s->bench};
    memset(layer->bits, 0, w->words * sizeof *layer->bits);
    for (size_t i = 0; i < w->size; i++) {
        if (w->wait_of[i])
            layer->ends[w->wait_of[i] - 1] = w->over[i];
        if (w->back_start[i] == w->back_start[i + 1])
            add_ready(w, layer, 0, i);
    }
}

/* ---------- what may come next ---------- */

/* Late blocks wait until something needs nothing else any more. */
static bool is_due(const struct window *w, const uint64_t *bits, size_t item)
{
    if (w->start[item] == w->start[item + 1])
        return false;
    for (size_t e = w->start[item]; e < w->start[item + 1]; e++) {
        size_t follower = w->after.items[e];
        bool due = true;
        for (size_t b = w->back_start[follower]; due && b < w->back_start[follower + 1]; b++) {
            size_t need = w->before.items[b];
            due = is_done(bits, need) || w->p->late[block_of(w, need)];
        }
        if (due)
            return true;
    }
    return false;
}

static bool follows(const struct window *w, size_t item, size_t before)
{
    for (size_t e = w->back_start[item]; e < w->back_start[item + 1]; e++)
        if (w->before.items[e] == before)
            return true;
    return false;
}

/* Which of the ready may come next: what is at once due, else what a late block was done for, else all
 * but what is not due yet; and if nothing else is left, that too. */
enum turn { AT_ONCE, OWED, ANY, LEFT_OVER };

static bool has_turn(const struct search *s, const struct layer *layer, size_t n, size_t item,
                     enum turn turn)
{
    const struct window *w = &s->window;
    size_t block = block_of(w, item), owed = layer->nodes[n].owed;

    switch (turn) {
    case AT_ONCE:
        return s->p->at_once[block];
    case OWED:
        return owed && (follows(w, item, owed - 1) || s->p->late[block]);
    case ANY:
        return !s->p->late[block] || is_due(w, &layer->bits[n * w->words], item);
    case LEFT_OVER:
        return true;
    }
    return false;
}

static void try_next(struct search *s, const struct layer *layer, size_t n, size_t item)
{
    struct window *w = &s->window;
    const struct beginning *node = &layer->nodes[n];
    struct cost_bench bench = node->bench;
    int64_t now = node->now;
    int64_t over = w->wait_of[item] ? layer->ends[n * w->waits + w->wait_of[item] - 1] : 0;
    int64_t lost = put_next(s->p, block_of(w, item), &bench, &now, over);

    *ARRAY_PUSH(s->p->arena, &w->found) =
        (struct choice){node->cost + lost, (uint32_t)n, (uint16_t)item};
}

/* The ready in the order found before; of those that want alike only the first, where there are many. */
static bool try_turn(struct search *s, const struct layer *layer, size_t n, enum turn turn)
{
    const struct window *w = &s->window;
    const uint16_t *ready = &layer->ready[n * w->size];
    uint32_t kinds[CHOICES];
    size_t tried = 0;

    for (size_t i = 0; i < layer->nodes[n].ready && tried < w->choices; i++) {
        size_t item = ready[i], k = 0;
        uint32_t kind = s->kinds[block_of(w, item)];
        if (!has_turn(s, layer, n, item, turn))
            continue;
        if (w->choices <= CHOICES) {
            while (k < tried && kinds[k] != kind)
                k++;
            if (k < tried)
                continue;
            kinds[tried] = kind;
        }
        tried++;
        try_next(s, layer, n, item);
    }
    return tried > 0;
}

static void try_all(struct search *s, const struct layer *layer)
{
    s->window.found.count = 0;
    for (size_t n = 0; n < layer->count; n++)
        for (enum turn turn = AT_ONCE; turn <= LEFT_OVER; turn++)
            if (try_turn(s, layer, n, turn))
                break;
}

/* ---------- the next layer ---------- */

static int cheaper(const void *left, const void *right)
{
    const struct choice *a = left, *b = right;

    return a->cost != b->cost   ? (a->cost < b->cost ? -1 : 1)
           : a->node != b->node ? (a->node < b->node ? -1 : 1)
                                : a->item - b->item;
}

static void sort_choices(struct choice *items, size_t count)
{
    enum { FEW = 24 };

    if (count > FEW) {
        qsort(items, count, sizeof *items, cheaper);
        return;
    }
    for (size_t i = 1; i < count; i++) {
        struct choice moved = items[i];
        size_t k = i;
        for (; k > 0 && cheaper(&moved, &items[k - 1]) < 0; k--)
            items[k] = items[k - 1];
        items[k] = moved;
    }
}

static bool beats(const struct window *w, const struct layer *layer, size_t a, size_t b)
{
    const struct beginning *x = &layer->nodes[a], *y = &layer->nodes[b];

    if (x->done != y->done || x->owed != y->owed ||
        memcmp(&x->bench, &y->bench, sizeof x->bench) != 0 || x->cost > y->cost)
        return false;
    for (size_t i = 0; i < w->waits; i++)
        if (layer->ends[a * w->waits + i] > layer->ends[b * w->waits + i])
            return false;
    return true;
}

/* Whether one made before beats node `n`; else it is noted. */
static bool is_beaten(struct window *w, const struct layer *layer, size_t n)
{
    const struct beginning *node = &layer->nodes[n];
    uint64_t hash = node->done;

    for (int kind = 0; kind < COST_WAIT; kind++)
        hash = mix(hash + node->bench.stands[kind]);
    size_t i = hash & (w->seen.room - 1);
    for (; w->seen.items[i]; i = (i + 1) & (w->seen.room - 1))
        if (beats(w, layer, w->seen.items[i] - 1, n))
            return true;
    w->seen.items[i] = (uint32_t)(n + 1);
    return false;
}

static void make_node(struct search *s, const struct layer *from, const struct choice *choice,
                      struct layer *to, size_t n)
{
    struct window *w = &s->window;
    const struct beginning *parent = &from->nodes[choice->node];
    struct beginning *node = &to->nodes[n];
    uint64_t *bits = &to->bits[n * w->words];
    int64_t *ends = &to->ends[n * w->waits];
    const uint16_t *ready = &from->ready[choice->node * w->size];
    uint16_t wait = w->wait_of[choice->item];

    *node = *parent;
    memcpy(bits, &from->bits[choice->node * w->words], w->words * sizeof *bits);
    memcpy(ends, &from->ends[choice->node * w->waits], w->waits * sizeof *ends);
    int64_t over = wait ? ends[wait - 1] : 0;
    node->cost += put_next(s->p, block_of(w, choice->item), &node->bench, &node->now, over);
    if (wait)
        ends[wait - 1] = 0; /* it is over for all alike */
    bits[choice->item / 64] |= (uint64_t)1 << (choice->item % 64);
    node->done ^= w->salt[choice->item];
    node->ready = 0;
    for (size_t i = 0; i < parent->ready; i++)
        if (ready[i] != choice->item)
            to->ready[n * w->size + node->ready++] = ready[i];
    for (size_t e = w->start[choice->item]; e < w->start[choice->item + 1]; e++) {
        size_t next = w->after.items[e];
        if (is_done(bits, next) || !is_ready(w, bits, next))
            continue;
        size_t before = e; /* said twice, it is ready once */
        while (before > w->start[choice->item] && w->after.items[before - 1] != next)
            before--;
        if (before > w->start[choice->item])
            continue;
        add_ready(w, to, n, next);
        if (w->wait_of[next])
            ends[w->wait_of[next] - 1] =
                node->now + wait_s(s->p, block_of(w, next));
    }
    if (s->p->late[block_of(w, choice->item)])
        node->owed = (uint32_t)choice->item + 1;
    else if (node->owed && follows(w, choice->item, node->owed - 1))
        node->owed = 0;
}

static void next_layer(struct search *s, const struct layer *from, struct layer *to)
{
    struct window *w = &s->window;

    try_all(s, from);
    sort_choices(w->found.items, w->found.count);
    memset(w->seen.items, 0, w->seen.room * sizeof *w->seen.items);
    to->count = 0;
    for (size_t i = 0; i < w->found.count && to->count < w->breadth; i++) {
        const struct choice *choice = &w->found.items[i];
        make_node(s, from, choice, to, to->count);
        if (w->breadth > 1 && is_beaten(w, to, to->count))
            continue;
        *ARRAY_PUSH(s->p->arena, &w->traces) =
            (struct trace){from->nodes[choice->node].trace, choice->item};
        to->nodes[to->count++].trace = (uint32_t)w->traces.count;
    }
    assert(to->count);
}

/* ---------- the whole ---------- */

/* The cheapest order of the window goes into the order, and the bench on to the next window. */
static void settle(struct search *s, const struct layer *last)
{
    struct window *w = &s->window;
    size_t *blocks = ARENA_ARRAY(s->p->arena, size_t, w->size);
    uint32_t trace = last->nodes[0].trace; /* layers are made cheapest first */

    for (size_t i = w->size; i > 0; i--) {
        blocks[i - 1] = block_of(w, w->traces.items[trace - 1].item);
        trace = w->traces.items[trace - 1].before;
    }
    for (size_t i = 0; i < w->size; i++) {
        s->cost += put_next(s->p, blocks[i], &s->bench, &s->now, over_at(s, blocks[i]));
        s->ended[blocks[i]] = s->now;
        s->p->order[w->from + i] = blocks[i];
    }
}

static void search_window(struct search *s, size_t from, size_t size)
{
    struct window *w = &s->window;

    open_window(s, from, size);
    begin(s, w);
    for (size_t i = 0; i < size; i++)
        next_layer(s, &w->layers[i % 2], &w->layers[(i + 1) % 2]);
    settle(s, &w->layers[size % 2]);
}

/* Blocks that want the same, operation by operation; two kinds with one number only narrow the search. */
static void number_kinds(struct search *s)
{
    const struct cheapest *p = s->p;

    for (size_t b = 0; b < p->count; b++) {
        uint64_t hash = wait_s(p, b) ? b + 1 : 0; /* each wait is a kind of its own */
        for (size_t i = p->wants_start[b]; i < p->wants_start[b + 1]; i++)
            for (int kind = 0; kind < COST_WAIT; kind++)
                hash = mix(hash * 31 + p->wants[i].wants[kind] + 1);
        s->kinds[b] = (uint32_t)(hash ^ hash >> 32);
    }
}

static int64_t cost_of(const struct cheapest *p, const size_t *order, int64_t *ended)
{
    struct search s = {.p = p, .ended = ended};

    for (size_t i = 0; i < p->count; i++) {
        s.cost += put_next(p, order[i], &s.bench, &s.now, over_at(&s, order[i]));
        ended[order[i]] = s.now;
    }
    return s.cost;
}

/* Windows end before a block that nothing begun has made possible: what is begun is finished in them. */
static size_t window_end(const struct cheapest *p, size_t from)
{
    size_t to = from + (p->count > WHOLE ? WINDOW : p->count);

    if (to >= p->count)
        return p->count;
    while (to > from + 1 && p->at_once[p->order[to]])
        to--;
    if (to > from + 1)
        return to;
    for (to = from + WINDOW; to < p->count && p->at_once[p->order[to]];)
        to++;
    return to;
}

static void choose_breadth(struct window *w, size_t count)
{
    w->breadth = count <= EXACT   ? EXACT_BREADTH
                 : count <= WHOLE ? TRIES / CHOICES / count
                                  : FAST_BREADTH;
    w->choices = count <= EXACT ? EXACT : count <= WHOLE ? CHOICES : FAST_CHOICES;
}

void plan_cheapen(struct cheapest *p)
{
    struct search s = {.p = p};
    size_t *before = ARENA_ARRAY(p->arena, size_t, p->count + 1);

    if (p->count == 0)
        return;
    memcpy(before, p->order, p->count * sizeof *before);
    s.ended = ARENA_ARRAY(p->arena, int64_t, p->count + 1);
    int64_t cost = cost_of(p, before, s.ended);
    s.at = ARENA_ARRAY(p->arena, size_t, p->count + 1);
    s.kinds = ARENA_ARRAY(p->arena, uint32_t, p->count + 1);
    for (size_t i = 0; i < p->count; i++)
        s.at[p->order[i]] = i;
    number_kinds(&s);
    s.window.p = p;
    choose_breadth(&s.window, p->count);
    for (size_t from = 0, to; from < p->count; from = to) {
        to = window_end(p, from);
        s.window.most = to - from > s.window.most ? to - from : s.window.most;
    }
    for (size_t b = 0; b < p->count; b++)
        s.window.most_waits += wait_s(p, b) > 0;
    if (s.window.most_waits > s.window.most)
        s.window.most_waits = s.window.most;
    make_room(&s.window);
    for (size_t from = 0, to; from < p->count; from = to) {
        to = window_end(p, from);
        search_window(&s, from, to - from);
    }
    if (s.cost >= cost) /* no better: then as it was */
        memcpy(p->order, before, p->count * sizeof *before);
}
