/* The search for a cheap order against orders that are the cheapest: all permutations of up to 9 operations with
 * cures, and dynamic programming over subsets of up to 16 without. What an order costs is worked out here again,
 * from what plan.h says of it; nothing but the problem is shared with the search.
 *
 * The builds come from the generator below: at least three units on the bench, four openings, three kinds of
 * set-up and two cures; a build is its seed, and the seeds are 1, 2, 3, … */
#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>
#include "cheapest.h"
#include "luck.h"

enum { MOST = 16, PERMUTED = 9, UNITS = 3, OPENINGS = 4, CURES = 2, BUILDS = 400, SUBSET_BUILDS = 120 };

/* ---------- the generator ---------- */

struct build_of_luck {
    size_t count;
    bool before[MOST][MOST]; /* [a][b]: a is done before b */
    bool at_once[MOST];
    struct cost_wants wants[MOST];
    size_t cures;
};

static void want_set_ups(struct luck *luck, struct cost_wants *wants)
{
    wants->wants[COST_SIDE] = pick(luck, 4);
    wants->wants[COST_CRANK] = chance(luck, 40) ? 1 + pick(luck, 3) : 0;
    wants->wants[COST_WRENCH] = chance(luck, 50) ? 1 + pick(luck, 4) : 0;
    wants->wants[COST_PASTE] = chance(luck, 20) ? 1 + pick(luck, 2) : 0;
    wants->wants[COST_HEAT] = chance(luck, 15) ? 1 + pick(luck, 2) : 0;
    wants->cools = !wants->wants[COST_HEAT] && chance(luck, 70);
    wants->work_s = 60 * (1 + pick(luck, 30));
}

/* An operation done of a unit is before the unit goes in; what goes through an opening is before its closer; a cure
 * follows what was spread and holds something up. Numbers rise along every precedence. */
static struct build_of_luck make_build(uint64_t seed, size_t least, size_t most, bool cures)
{
    struct luck luck = {seed * 0x9E3779B97F4A7C15u + 5};
    struct build_of_luck b = {.count = 0};

    for (int i = 0; i < 6; i++)
        pick(&luck, 2);
    b.count = least + pick(&luck, (unsigned)(most - least + 1));
    size_t n = b.count;
    for (size_t i = 0; i < n; i++) {
        size_t unit = i < 2 * UNITS ? 1 + i / 2 : pick(&luck, UNITS + 1); /* 0: on the engine */
        b.wants[i].wants[COST_CARD] = (uint32_t)(unit + 1);
        want_set_ups(&luck, &b.wants[i]);
    }
    for (size_t u = 0; u < UNITS; u++) /* the second operation of a unit is its going in */
        b.before[2 * u][2 * u + 1] = true;
    for (size_t o = 0; o < OPENINGS; o++) {
        size_t closer = n - 1 - pick(&luck, 3), through = pick(&luck, (unsigned)closer);
        b.before[through][closer] = true;
    }
    for (size_t c = 0; cures && c < CURES; c++) {
        size_t wait = 2 + 2 * c + pick(&luck, 2), held = wait + 1 + pick(&luck, (unsigned)(n - wait - 1));
        b.wants[wait] = (struct cost_wants){.wait_s = 600 * (1 + pick(&luck, 30)), .cools = true};
        b.before[pick(&luck, (unsigned)wait)][wait] = true;
        b.before[wait][held] = true;
        b.cures++;
    }
    for (size_t i = 0; i + 1 < n; i++)
        if (chance(&luck, 25))
            b.before[i][i + 1 + pick(&luck, (unsigned)(n - i - 1))] = true;
    for (size_t i = 1; i < n; i++) /* a lock, a reading: finished as soon as it may be */
        for (size_t k = 0; k < i; k++)
            if (b.before[k][i] && !b.wants[i].wait_s && chance(&luck, 20))
                b.at_once[i] = true;
    return b;
}

/* ---------- what an order costs, again ---------- */

struct state {
    uint32_t stands[COST_WAIT];
    int64_t lost, now, ended[MOST];
    uint32_t done;
};

static void step(const struct cost_weights *weights, const struct build_of_luck *b, struct state *s, size_t next)
{
    const struct cost_wants *w = &b->wants[next];
    int64_t change = 0, since = 0;

    for (int kind = COST_CARD; kind <= COST_HEAT; kind++)
        if (w->wants[kind] != 0 && w->wants[kind] != s->stands[kind]) {
            /* the first of each is no change, but every heating is one */
            change += s->stands[kind] != 0 || kind == COST_HEAT ? weights->lost_s[kind] : 0;
            s->stands[kind] = w->wants[kind];
        }
    if (w->cools)
        s->stands[COST_HEAT] = 0;
    s->lost += change;
    s->now += change + w->work_s;
    for (size_t i = 0; i < b->count; i++)
        if (b->before[i][next] && s->ended[i] > since)
            since = s->ended[i];
    if (w->wait_s && since + w->wait_s > s->now) {
        s->lost += since + w->wait_s - s->now;
        s->now = since + w->wait_s;
    }
    s->ended[next] = s->now;
    s->done |= 1u << next;
}

static bool is_ready(const struct build_of_luck *b, uint32_t done, size_t next)
{
    if (done >> next & 1)
        return false;
    for (size_t i = 0; i < b->count; i++)
        if (b->before[i][next] && !(done >> i & 1))
            return false;
    return true;
}

/* What may come next: what is begun is finished first. */
static uint32_t may_follow(const struct build_of_luck *b, uint32_t done)
{
    uint32_t ready = 0, at_once = 0;

    for (size_t i = 0; i < b->count; i++)
        if (is_ready(b, done, i)) {
            ready |= 1u << i;
            at_once |= b->at_once[i] ? 1u << i : 0;
        }
    return at_once ? at_once : ready;
}

/* ---------- the cheapest there is ---------- */

static void permute(const struct cost_weights *weights, const struct build_of_luck *b, struct state s, int64_t *least)
{
    uint32_t next = may_follow(b, s.done);

    if (!next && s.lost < *least)
        *least = s.lost;
    for (size_t i = 0; i < b->count; i++)
        if (next >> i & 1) {
            struct state one = s;
            step(weights, b, &one, i);
            permute(weights, b, one, least);
        }
}

/* By subset done: the benches that may stand, each with the least that it takes. */
struct benches {
    struct state *items;
    size_t count, room;
};

static void keep_least(struct arena *arena, struct benches *benches, const struct state *s)
{
    for (size_t i = 0; i < benches->count; i++)
        if (memcmp(benches->items[i].stands, s->stands, sizeof s->stands) == 0) {
            if (s->lost < benches->items[i].lost)
                benches->items[i] = *s;
            return;
        }
    *ARRAY_PUSH(arena, benches) = *s;
}

static int64_t over_subsets(struct arena *arena, const struct cost_weights *weights, const struct build_of_luck *b)
{
    uint32_t all = (1u << b->count) - 1;
    struct benches *of = ARENA_ARRAY(arena, struct benches, (size_t)all + 1);
    int64_t least = INT64_MAX;

    *ARRAY_PUSH(arena, &of[0]) = (struct state){.lost = 0};
    for (uint32_t done = 0; done < all; done++)
        for (size_t k = 0; k < of[done].count; k++) {
            uint32_t next = may_follow(b, done);
            for (size_t i = 0; i < b->count; i++)
                if (next >> i & 1) {
                    struct state one = of[done].items[k];
                    step(weights, b, &one, i);
                    keep_least(arena, &of[one.done], &one);
                }
        }
    for (size_t k = 0; k < of[all].count; k++)
        least = of[all].items[k].lost < least ? of[all].items[k].lost : least;
    return least;
}

/* ---------- what the search finds ---------- */

static int64_t search(struct arena *arena, const struct cost_weights *weights, const struct build_of_luck *b,
                      uint64_t seed)
{
    size_t start[MOST + 1] = {0}, back_start[MOST + 1] = {0}, wants_start[MOST + 1], order[MOST], outs = 0, ins = 0;
    uint32_t after[MOST * MOST], before[MOST * MOST];
    bool late[MOST] = {false};
    struct state s = {.lost = 0};

    for (size_t i = 0; i < b->count; i++) {
        wants_start[i] = i;
        for (size_t k = 0; k < b->count; k++) {
            if (b->before[i][k])
                after[outs++] = (uint32_t)k;
            if (b->before[k][i])
                before[ins++] = (uint32_t)k;
        }
        start[i + 1] = outs;
        back_start[i + 1] = ins;
    }
    wants_start[b->count] = b->count;
    for (size_t i = 0; i < b->count; i++) { /* an order that holds */
        uint32_t next = may_follow(b, s.done);
        order[i] = (size_t)__builtin_ctz(next);
        step(weights, b, &s, order[i]);
    }
    struct cheapest problem = {.arena = arena, .weights = weights, .count = b->count, .start = start,
                               .after = after, .back_start = back_start, .before = before,
                               .wants_start = wants_start, .wants = b->wants, .at_once = b->at_once,
                               .late = late, .order = order};
    plan_cheapen(&problem);
    s = (struct state){.lost = 0};
    for (size_t i = 0; i < b->count; i++) {
        cr_assert(may_follow(b, s.done) >> order[i] & 1, "seed %lu: %zu is out of turn", (unsigned long)seed,
                  order[i]);
        step(weights, b, &s, order[i]);
    }
    return s.lost;
}

struct tally {
    size_t builds, equal;
    double worst; /* share over the cheapest */
};

static void note(struct tally *tally, int64_t found, int64_t least, uint64_t seed)
{
    double over = least ? (double)(found - least) / (double)least : found > 0;

    cr_assert(found >= least, "seed %lu: found %ld s, and the cheapest of all is %ld s", (unsigned long)seed,
              (long)found, (long)least);
    cr_assert(over <= 0.10, "seed %lu: %.1f %% over the cheapest", (unsigned long)seed, 100 * over);
    tally->builds++;
    tally->equal += found == least;
    tally->worst = over > tally->worst ? over : tally->worst;
}

static void report(const char *name, const struct tally *tally)
{
    double share = 100.0 * (double)tally->equal / (double)tally->builds;

    fprintf(stderr, "cheapest order against %s: %zu builds, %.1f %% equal, worst %.1f %% over\n", name, tally->builds,
            share, 100 * tally->worst);
    cr_assert(share >= 95, "%s: only %.1f %% are the cheapest", name, share);
}

static struct context *open_context(const struct cost_weights **weights)
{
    struct context_options options = {0};
    struct context *context = context_new(&options);

    *weights = plan_weights(context, NULL);
    cr_assert(*weights);
    return context;
}

Test(plan_cheapest, up_to_nine_operations_against_all_permutations, .timeout = 300)
{
    struct tally tally = {0};

    for (uint64_t seed = 1; seed <= BUILDS; seed++) {
        const struct cost_weights *weights;
        struct context *context = open_context(&weights);
        struct build_of_luck b = make_build(seed, 7, PERMUTED, true);
        int64_t least = INT64_MAX;
        cr_assert(b.cures >= CURES);
        permute(weights, &b, (struct state){.lost = 0}, &least);
        note(&tally, search(context->arena, weights, &b, seed), least, seed);
        context_free(context);
    }
    report("all permutations", &tally);
}

Test(plan_cheapest, up_to_sixteen_operations_without_cures_against_dynamic_programming, .timeout = 300)
{
    struct tally tally = {0};

    for (uint64_t seed = 1; seed <= SUBSET_BUILDS; seed++) {
        const struct cost_weights *weights;
        struct context *context = open_context(&weights);
        struct build_of_luck b = make_build(seed, 10, MOST, false);
        int64_t least = over_subsets(context->arena, weights, &b);
        note(&tally, search(context->arena, weights, &b, seed), least, seed);
        context_free(context);
    }
    report("dynamic programming over subsets", &tally);
}
