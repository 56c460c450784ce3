/* Random facts against brute force: the solver finds an order exactly when trying every order finds
 * one that the replay accepts. The replay shares nothing with the solver, and brute force shares
 * nothing with either. */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <gudgeon/plan.h>
#include "luck.h"

enum { CASES = 5000, MOST_TRIED = 6 /* operations whose every order is tried */ };

/* ---------- a small engine at random; the seed is the whole of it ---------- */

struct engine_plan {
    unsigned parts;
    int host[8]; /* -1: the case */
};

enum { NOBODY = 99 };

/* Some of the parts from number `from` on, but not `self`; nothing where luck picks none. */
static void list_from(struct str_buf *out, const char *key, unsigned from, unsigned self,
                      const struct engine_plan *e, struct luck *luck, unsigned percent)
{
    struct str_buf items = {.arena = out->arena};

    for (unsigned i = from; i < e->parts; i++)
        if (chance(luck, percent) && i != self)
            str_add_print(&items, "%sp%u", items.length ? ", " : "", i);
    if (items.length)
        str_add_print(out, ", %s: [%s]", key, items.bytes);
}

static void list(struct str_buf *out, const char *key, unsigned self,
                 const struct engine_plan *e, struct luck *luck, unsigned percent)
{
    list_from(out, key, 0, self, e, luck, percent);
}

static bool carries(const struct engine_plan *e, unsigned part)
{
    for (unsigned i = 0; i < e->parts; i++)
        if (e->host[i] == (int)part)
            return true;
    return false;
}

static void write_parts(struct str_buf *out, struct engine_plan *e, struct luck *luck)
{
    str_add(out, "parts:\n  case: {}\n");
    for (unsigned i = 0; i < e->parts; i++)
        e->host[i] = i && chance(luck, 45) ? (int)pick(luck, i) : -1;
    for (unsigned i = 0; i < e->parts; i++) {
        str_add_print(out, "  p%u: {in: ", i);
        if (e->host[i] < 0)
            str_add(out, "case");
        else
            str_add_print(out, "p%d", e->host[i]);
        if (chance(luck, 25))
            str_add_print(out, ", through: o%u", pick(luck, 2));
        if (chance(luck, 20))
            str_add_print(out, ", closes: [o%u]", pick(luck, 2));
        if (carries(e, i) && !chance(luck, 20))
            str_add(out, chance(luck, 60) ? ", with: all" : ", with: none");
        else if (chance(luck, 25)) /* what sits elsewhere comes along at the same moment */
            list_from(out, "with", i + 1, i, e, luck, 35);
        if (chance(luck, 10))
            str_add_print(out, ", until: p%u", (i + 1 + pick(luck, e->parts - 1)) % e->parts);
        if (chance(luck, 25))
            list(out, "clear-of", i, e, luck, 20);
        if (chance(luck, 20))
            list(out, "under", i, e, luck, 20);
        if (chance(luck, 25))
            list(out, "after", i, e, luck, 15);
        if (chance(luck, 10))
            list(out, "before", i, e, luck, 20);
        if (chance(luck, 15))
            str_add(out, ", witness: inspector");
        str_add(out, "}\n");
    }
    str_add(out, "  g0: {always-renew: true}\n  g1: {state: renew}\n");
    str_add(out, "openings:\n  o0: {in: case}\n");
    str_add_print(out, "  o1: {in: p%u}\n", pick(luck, e->parts));
}

static void write_joints(struct str_buf *out, const struct engine_plan *e, struct luck *luck,
                         unsigned count)
{
    str_add(out, "joints:\n");
    for (unsigned i = 0; i < count; i++) {
        unsigned held = pick(luck, e->parts), other = pick(luck, e->parts);
        str_add_print(out, "  j%u: {holds: [p%u", i, held);
        if (other != held && chance(luck, 30))
            str_add_print(out, ", p%u", other);
        if (e->host[held] < 0)
            str_add(out, "], to: case");
        else
            str_add_print(out, "], to: p%d", e->host[held]);
        str_add(out, ", thread: M8, count: 4");
        if (chance(luck, 50))
            str_add(out, ", lock: {kind: wire}");
        if (chance(luck, 30))
            str_add_print(out, ", reach: o%u", pick(luck, 2));
        if (chance(luck, 20))
            list(out, "after", NOBODY, e, luck, 30);
        str_add(out, "}\n");
    }
}

/* At most one of the rest, so that brute force stays small. */
static void write_rest(struct str_buf *out, const struct engine_plan *e, struct luck *luck,
                       unsigned joints)
{
    unsigned a = pick(luck, e->parts), b = pick(luck, e->parts);

    switch (pick(luck, 6)) {
    case 0:
        if (e->host[b] < 0 || e->host[b] == (int)a)
            str_add_print(out, "seals:\n  s0: {between: [case, p%u], gasket: g0%s}\n", b,
                          chance(luck, 50) ? ", sealant: paste" : "");
        break;
    case 1:
        str_add_print(out, "limits:\n  l0: {of: [p%u, p%u], want: 1..2 mm, when: %s}\n", a,
                      (a + 1) % e->parts, chance(luck, 50) ? "assembled" : "bench");
        break;
    case 2:
        if (joints)
            str_add_print(out, "settings:\n  t0: {of: [p%u], by: j0, want: 1..2 mm}\n", a);
        break;
    case 3:
        str_add_print(out, "steps:\n  d0: {do: look, after: [p%u], before: [p%u]}\n", a,
                      (a + 1) % e->parts);
        break;
    case 4:
        str_add_print(out, "passages:\n  w0: {carries: oil, path: [p%u], prove: air}\n", a);
        break;
    default:
        break;
    }
}

static const char *write_engine(struct arena *arena, uint64_t seed)
{
    struct luck luck = {seed * 2654435761u + 97};
    struct str_buf out = {.arena = arena};
    struct engine_plan engine = {.parts = 2 + pick(&luck, 3)};
    unsigned joints = pick(&luck, 3);

    for (int i = 0; i < 8; i++)
        pick(&luck, 2);
    str_add(&out, "gudgeon: 1\nengine: {name: Random, cylinders: 1}\n"
                  "consumables: {paste: {open-time: 10 min}}\n");
    write_parts(&out, &engine, &luck);
    if (joints)
        write_joints(&out, &engine, &luck, joints);
    write_rest(&out, &engine, &luck, joints);
    return out.bytes;
}

/* ---------- every order ---------- */

struct orders {
    struct arena *arena;
    const struct build *build;
    const struct plan *loose;            /* all operations, in no order that means anything */
    struct operation *final[MOST_TRIED]; /* the ones to be put in order */
    size_t count;
};

static bool is_final(const struct operation *op)
{
    return op->phase == PHASE_FINAL;
}

static struct operation *mirror(const struct orders *o, const struct operation *op)
{
    const char *verb = op->verb == VERB_FIT ? "remove" : op->verb == VERB_TIGHTEN ? "slacken" : NULL;

    if (!verb)
        return NULL;
    return (struct operation *)plan_operation(
        o->loose, str_print(o->arena, "%s:%s", verb, op->entry->member));
}

static bool accepted(const struct orders *o)
{
    struct operation *ops[3 * MOST_TRIED];
    size_t count = 0;
    struct plan_fault fault = {0};

    for (size_t i = o->count; i > 0; i--)
        if (mirror(o, o->final[i - 1]))
            ops[count++] = mirror(o, o->final[i - 1]);
    for (size_t i = 0; i < o->count; i++)
        ops[count++] = o->final[i];
    return plan_check(o->arena, o->build, ops, count, &fault);
}

static bool any_order(struct orders *o, size_t from)
{
    if (from == o->count)
        return accepted(o);
    for (size_t i = from; i < o->count; i++) {
        struct operation *first = o->final[from];
        o->final[from] = o->final[i];
        o->final[i] = first;
        if (any_order(o, from + 1))
            return true;
        o->final[i] = o->final[from];
        o->final[from] = first;
    }
    return false;
}

static bool brute_force(struct context *context, const struct build *build, bool *too_many)
{
    struct plan_options loose = {.without = ~0u};
    struct orders o = {.arena = context->arena, .build = build};

    o.loose = plan_make(context, build, &loose);
    cr_assert(o.loose, "without any implication there is always an order");
    for (size_t i = 0; i < o.loose->operations.count; i++)
        if (is_final(o.loose->operations.items[i])) {
            *too_many = o.count == MOST_TRIED;
            if (*too_many)
                return false;
            o.final[o.count++] = o.loose->operations.items[i];
        }
    return any_order(&o, 0);
}

/* ---------- larger engines with every kind of fact: what is found passes the replay ---------- */

enum { LARGE = 5000, MOST_PARTS = 8, CHEAPEST_EVERY = 5 };

static void write_some(struct str_buf *out, const char *head, unsigned count, struct luck *luck,
                       const struct engine_plan *e, unsigned joints,
                       void (*one)(struct str_buf *, const struct engine_plan *, struct luck *,
                                   unsigned number, unsigned joints))
{
    if (!count)
        return;
    str_add_print(out, "%s:\n", head);
    for (unsigned i = 0; i < count; i++)
        one(out, e, luck, i, joints);
}

static void one_joint(struct str_buf *out, const struct engine_plan *e, struct luck *luck,
                      unsigned number, unsigned joints)
{
    unsigned held = pick(luck, e->parts);

    str_add_print(out, "  j%u: {holds: [p%u], to: ", number, held);
    if (e->host[held] < 0)
        str_add(out, "case");
    else
        str_add_print(out, "p%d", e->host[held]);
    str_add(out, ", thread: M8, count: 4");
    if (chance(luck, 50))
        str_add(out, ", lock: {kind: tab-washer}");
    if (chance(luck, 25))
        str_add(out, ", again: [{wait: 1 h}, {run: warm}]");
    else if (chance(luck, 25))
        str_add(out, ", again: [{run: warm, engine-is: hot}]");
    if (number && chance(luck, 15))
        str_add_print(out, ", together-with: [j%u]", pick(luck, number));
    if (chance(luck, 15))
        str_add_print(out, ", under: [p%u]", pick(luck, e->parts));
    if (chance(luck, 20))
        str_add_print(out, ", reach: o%u", pick(luck, 2));
    if (chance(luck, 15))
        str_add(out, ", witness: inspector");
    if (chance(luck, 10))
        str_add_print(out, ", nip: 2 N m");
    str_add(out, "}\n");
    (void)joints;
}

static void one_limit(struct str_buf *out, const struct engine_plan *e, struct luck *luck,
                      unsigned number, unsigned joints)
{
    static const char *const moments[] = {"assembled", "bench", "[strip, assembled]", "strip",
                                          "[bench, assembled, running]", "[trial, assembled]"};

    str_add_print(out, "  l%u: {of: [p%u, p%u], want: 1..2 mm, when: %s", number,
                  pick(luck, e->parts), pick(luck, e->parts), moments[pick(luck, 6)]);
    if (joints && chance(luck, 20))
        str_add_print(out, ", by: j%u", pick(luck, joints));
    if (chance(luck, 15))
        str_add(out, ", witness: inspector");
    str_add(out, "}\n");
}

static void one_setting(struct str_buf *out, const struct engine_plan *e, struct luck *luck,
                        unsigned number, unsigned joints)
{
    bool marks = chance(luck, 30);
    unsigned part = pick(luck, e->parts);

    str_add_print(out, "  t%u: {of: [p%u", number, part);
    if (marks)
        str_add_print(out, ", p%u], marks: dot to dot, teeth: [17, 23]", (part + 1) % e->parts);
    else
        str_add(out, "], want: 1..2 mm");
    if (joints && chance(luck, 40))
        str_add_print(out, ", by: j%u", pick(luck, joints));
    if (joints && chance(luck, 60))
        str_add_print(out, ", upset-by: [j%u]", pick(luck, joints));
    if (chance(luck, 25))
        str_add(out, ", witness: inspector");
    if (chance(luck, 25))
        str_add_print(out, ", reach: o%u", pick(luck, 2));
    str_add(out, "}\n");
}

static void one_seal(struct str_buf *out, const struct engine_plan *e, struct luck *luck,
                     unsigned number, unsigned joints)
{
    unsigned last = pick(luck, e->parts);

    if (e->host[last] < 0)
        str_add_print(out, "  s%u: {between: [case, p%u], gasket: g%u", number, last, number);
    else
        str_add_print(out, "  s%u: {between: [p%d, p%u], gasket: g%u", number, e->host[last], last,
                      number);
    str_add_print(out, "%s%s}\n", chance(luck, 40) ? ", sealant: paste" : "",
                  chance(luck, 15) ? ", witness: inspector" : "");
    (void)joints;
}

static void one_passage(struct str_buf *out, const struct engine_plan *e, struct luck *luck,
                        unsigned number, unsigned joints)
{
    str_add_print(out, "  w%u: {carries: oil, path: [case, g0, p%u, p%u], prove: air}\n", number,
                  pick(luck, e->parts), pick(luck, e->parts));
    (void)joints;
}

static void one_step(struct str_buf *out, const struct engine_plan *e, struct luck *luck,
                     unsigned number, unsigned joints)
{
    str_add_print(out, "  d%u: {do: look, after: [p%u]", number, pick(luck, e->parts));
    if (joints && chance(luck, 40))
        str_add_print(out, ", by: j%u", pick(luck, joints));
    str_add(out, "}\n");
}

static void one_trial(struct str_buf *out, const struct engine_plan *e, struct luck *luck,
                      unsigned number, unsigned joints)
{
    str_add_print(out, "  y%u: {of: [p%u, p%u], finds: [l%u]%s}\n", number, pick(luck, e->parts),
                  pick(luck, e->parts), number, joints ? ", joints: [j0]" : "");
}

static const char *write_large(struct arena *arena, uint64_t seed)
{
    struct luck luck = {seed * 0x9E3779B97F4A7C15u + 11};
    struct str_buf out = {.arena = arena};
    struct engine_plan e = {.parts = 3 + pick(&luck, MOST_PARTS - 3)};
    unsigned joints = pick(&luck, 5);

    str_add(&out, "gudgeon: 1\nengine: {name: Large, cylinders: 1}\n"
                  "consumables: {paste: {open-time: 10 min, cures: 2 h}}\n"
                  "running-in: {warm: {for: 20 min}}\n");
    write_parts(&out, &e, &luck);
    write_some(&out, "joints", joints, &luck, &e, joints, one_joint);
    write_some(&out, "limits", 1 + pick(&luck, 3), &luck, &e, joints, one_limit);
    write_some(&out, "settings", pick(&luck, 3), &luck, &e, joints, one_setting);
    write_some(&out, "seals", pick(&luck, 3), &luck, &e, joints, one_seal);
    write_some(&out, "passages", pick(&luck, 2), &luck, &e, joints, one_passage);
    write_some(&out, "steps", pick(&luck, 2), &luck, &e, joints, one_step);
    write_some(&out, "trials", chance(&luck, 30), &luck, &e, joints, one_trial);
    return out.bytes;
}

/* The cheapest order is found wherever the predictable one is, keeps every fact, and loses no more. */
static void find_cheapest(struct context *context, const struct build *build, const char *text,
                          uint64_t seed)
{
    struct plan_options options = {.cheapest = true};
    struct plan *plan = plan_make(context, build, &options);

    cr_assert(plan, "seed %lu, cheapest: %s\n%s", (unsigned long)seed,
              context->diags.count ? context->diags.items[context->diags.count - 1]->message : "",
              text);
    cr_assert(plan->cost.total_s <= plan->predictable.total_s,
              "seed %lu: the cheapest order loses %ld s, the predictable one %ld s\n%s",
              (unsigned long)seed, (long)plan->cost.total_s, (long)plan->predictable.total_s, text);
}

Test(plan_random, whatever_order_is_found_passes_the_replay, .timeout = 120)
{
    size_t found = 0, refused = 0;

    for (uint64_t seed = 1; seed <= LARGE; seed++) {
        struct context_options options = {0};
        struct context *context = context_new(&options);
        context->tables = table_set_default();
        const char *text = write_large(context->arena, seed);
        struct tree *tree = tree_load_bytes(context, "large.yaml", text, strlen(text));
        struct spec *spec = spec_read(context, tree);
        cr_assert(spec, "seed %lu: %s\n%s", (unsigned long)seed,
                  context->diags.count ? context->diags.items[0]->message : "", text);
        struct build build = {.spec = spec};
        struct plan *plan = plan_make(context, &build, NULL);
        for (size_t i = 0; i < context->diags.count; i++)
            cr_assert(context->diags.items[i]->code != DIAG_PLAN_INTERNAL, "seed %lu: %s\n%s",
                      (unsigned long)seed, context->diags.items[i]->message, text);
        cr_assert(plan || context->diags.errors, "seed %lu: nothing said\n%s",
                  (unsigned long)seed, text);
        found += plan != NULL;
        refused += plan == NULL;
        if (plan && seed % CHEAPEST_EVERY == 0)
            find_cheapest(context, &build, text, seed);
        context_free(context);
    }
    cr_assert(found > LARGE / 10, "the facts are too hard: %zu found, %zu refused", found, refused);
}

Test(plan_random, an_order_is_found_exactly_when_trying_all_of_them_finds_one, .timeout = 120)
{
    size_t found = 0, refused = 0, unread = 0, skipped = 0;

    for (uint64_t seed = 1; seed <= CASES; seed++) {
        struct context_options options = {0};
        struct context *context = context_new(&options);
        context->tables = table_set_default();
        const char *text = write_engine(context->arena, seed);
        struct tree *tree = tree_load_bytes(context, "random.yaml", text, strlen(text));
        struct spec *spec = spec_read(context, tree);
        if (spec) {
            struct build build = {.spec = spec};
            struct plan *plan = plan_make(context, &build, NULL);
            for (size_t i = 0; i < context->diags.count; i++)
                cr_assert(context->diags.items[i]->code != DIAG_PLAN_INTERNAL, "seed %lu: %s\n%s",
                          (unsigned long)seed, context->diags.items[i]->message, text);
            bool too_many = false;
            if (plan)
                found++;
            else if (context->diags.items[0]->code == DIAG_PLAN_WITH)
                skipped++; /* refused before any order is looked for */
            else if (brute_force(context, &build, &too_many))
                cr_assert_fail("seed %lu: there is an order, none was found: %s\n%s",
                               (unsigned long)seed, context->diags.items[0]->message, text);
            else if (too_many)
                skipped++;
            else
                refused++;
        } else {
            unread++;
            if (unread > CASES / 20)
                cr_assert_fail("seed %lu: %s\n%s", (unsigned long)seed,
                               context->diags.items[0]->message, text);
        }
        context_free(context);
    }
    fprintf(stderr, "random facts: %zu orders found, %zu refused and tried in full, %zu not tried\n", found, refused, skipped);
    cr_assert(found > CASES / 4 && refused > CASES / 20,
              "the facts are too easy or too hard: %zu found, %zu refused", found, refused);
}
