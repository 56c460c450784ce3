/* Specs read: references at their places, claims by rank, forms that apply, values that arrive. */
#include <criterion/criterion.h>
#include <gudgeon/spec.h>
#include <stdlib.h>
#include <string.h>

struct job {
    const char *path, *bytes;
    struct tree *tree;
    struct spec *spec;
};

static void read_it(struct context *context, void *user)
{
    struct job *job = user;

    job->tree = job->bytes ? tree_load_bytes(context, job->path, job->bytes, strlen(job->bytes))
                           : tree_load(context, job->path);
    job->spec = spec_read(context, job->tree);
}

static const char *said(struct context *context)
{
    struct str_buf out = {.arena = context->arena};

    str_add(&out, "");
    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, 20, &out);
    return out.bytes;
}

/* A spec that must be good. */
static struct spec *good(struct context *context, const char *text)
{
    struct job job = {.path = "case.yaml", .bytes = text};

    cr_assert(context_run(context, read_it, &job));
    cr_assert(job.spec != NULL, "%s\n%s", text, said(context));
    return job.spec;
}

/* ---------- references ---------- */

static const char metal[] =
    "gudgeon: 1\n"
    "engine: {name: Case, cylinders: 11, serial: 150, built: 1934-03, variant: late,\n"
    "  places: {valve: [1-ex, 1-in, 2-ex, 10-ex, 11-in], main: [front, centre, rear],\n"
    "    spring: {cylinder: [inner, outer]}}}\n"
    "parts:\n"
    "  crankcase: {state: reuse}\n"
    "  rod: {each: cylinder, in: crankcase}\n"
    "  valve: {each: valve, in: crankcase}\n"
    "  spring: {each: spring, in: crankcase}\n"
    "  shell: {each: main, in: crankcase}\n"
    "  cap: {each: [front, rear], in: crankcase}\n"
    "  magneto: {each: [left, right], in: crankcase}\n"
    "  twin-magneto: {each: [left, right], in: crankcase}\n"
    "  absent: {applies: {serial: ..99}, in: crankcase}\n"
    "steps:\n";

/* specs/LANGUAGE.md, section 3: same places, coarser, finer, unrelated; whole words, so that 1 is never
 * 10; outside an `each` entry all. */
static const struct {
    const char *each, *after, *expect;
} references[] = {
    {NULL, "crankcase", "s: crankcase"},
    {NULL, "magneto", "s: magneto/left magneto/right"},
    {NULL, "magneto/right", "s: magneto/right"},
    {NULL, "[magneto/right, magneto]", "s: magneto/right magneto/left"},
    {NULL, "absent", "s:"},
    {"magneto", "twin-magneto", "s/left: twin-magneto/left; s/right: twin-magneto/right"},
    {"[left, right]", "magneto", "s/left: magneto/left; s/right: magneto/right"},
    {"[left, right]", "shell",
     "s/left: shell/front shell/centre shell/rear; s/right: shell/front shell/centre shell/rear"},
    {"main", "shell", "s/front: shell/front; s/centre: shell/centre; s/rear: shell/rear"},
    {"main", "cap", "s/front: cap/front; s/centre:; s/rear: cap/rear"},
    {"[front, rear]", "shell", "s/front: shell/front; s/rear: shell/rear"},
    {"valve", "rod",
     "s/1-ex: rod/1; s/1-in: rod/1; s/2-ex: rod/2; s/10-ex: rod/10; s/11-in: rod/11"},
    {"valve", "spring/3-outer",
     "s/1-ex: spring/3-outer; s/1-in: spring/3-outer; s/2-ex: spring/3-outer; s/10-ex: "
     "spring/3-outer; s/11-in: spring/3-outer"},
    {"[1, 2, 10]", "valve", "s/1: valve/1-ex valve/1-in; s/2: valve/2-ex; s/10: valve/10-ex"},
    {"[1, 2]", "spring", "s/1: spring/1-inner spring/1-outer; s/2: spring/2-inner spring/2-outer"},
};

static const char *after_of(struct arena *arena, const struct group *group)
{
    struct str_buf out = {.arena = arena};

    for (size_t i = 0; i < group->member_count; i++) {
        str_add_print(&out, "%s%s:", i ? "; " : "", group->members[i]->member);
        for (size_t k = 0; k < group->members[i]->after.to_count; k++)
            str_add_print(&out, " %s", group->members[i]->after.to[k]->member);
    }
    return out.bytes;
}

Test(spec, a_plain_id_means_mine_and_outside_all)
{
    for (size_t i = 0; i < sizeof references / sizeof *references; i++) {
        struct context *context = context_new(NULL);
        const char *each = references[i].each;
        const char *text = str_print(context->arena, "%s  s: {do: look, after: %s%s%s}\n", metal,
                                     references[i].after, each ? ", each: " : "", each ? each : "");
        struct spec *spec = good(context, text);
        const char *got = after_of(context->arena, spec_group(spec, "s"));
        cr_expect_str_eq(got, references[i].expect, "each %s, after %s: %s", each ? each : "-",
                         references[i].after, got);
        context_free(context);
    }
}

/* ---------- sizes ---------- */

static const char sized[] =
    "gudgeon: 1\n"
    "engine: {name: Case, cylinders: 2}\n"
    "parts:\n"
    "  block: {sizes: {bore: {each: cylinder, want: {1: 3.000..3.001 in, 2: 3.010..3.011 in}}, deck: 4 in}}\n"
    "  piston: {each: cylinder, in: block, sizes: {skirt: 2.998 in}}\n"
    "  ball: {in: block, bearing: {designation: 6206}}\n"
    "  gasket: {in: block, cut-from: {sheet: gasket-paper-04, free: 0.40 mm, crushed: 0.32 mm}}\n"
    "fits:\n";
static const struct {
    const char *each, *outer, *expect;
} size_references[] = {
    {NULL, "block.deck", "block.deck"},
    {NULL, "block.bore/2", "block.bore/2"},
    {NULL, "piston/2.skirt", "piston/2.skirt"},
    {NULL, "ball.outside", "ball.outside"},
    {NULL, "gasket.crushed", "gasket.crushed"},
    {"cylinder", "block.bore", "block.bore/1 block.bore/2"},
    {"cylinder", "piston.skirt", "piston/1.skirt piston/2.skirt"},
    {"cylinder", "block.deck", "block.deck block.deck"},
    {"cylinder", "block.bore/1", "block.bore/1 block.bore/1"},
};

Test(spec, a_size_is_found_at_its_place)
{
    for (size_t i = 0; i < sizeof size_references / sizeof *size_references; i++) {
        struct context *context = context_new(NULL);
        const char *each = size_references[i].each;
        struct str_buf got = {.arena = context->arena};
        const char *text = str_print(
            context->arena, "%s  f: {inner: block.deck, outer: %s%s%s}\n", sized,
            size_references[i].outer, each ? ", each: " : "", each ? each : "");
        struct spec *spec = good(context, text);

        for (size_t k = 0; k < spec->fits.count; k++)
            str_add_print(&got, "%s%s", k ? " " : "", spec->fits.items[k]->outer.size->id);
        cr_expect_str_eq(got.bytes, size_references[i].expect, "%s", size_references[i].outer);
        context_free(context);
    }
}

Test(spec, a_size_by_place_has_the_value_of_its_place)
{
    struct context *context = context_new(NULL);
    struct spec *spec = good(
        context, str_print(context->arena, "%s  f: {inner: block.deck, outer: block.deck}\n", sized));
    const struct part *block = spec_part(spec_member(spec, "block"));

    cr_assert_eq(block->sizes.count, 3);
    cr_expect_eq(block->sizes.items[0]->want.value.low.exact, 76200000000);
    cr_expect_eq(block->sizes.items[1]->want.value.low.exact, 76454000000);
    cr_expect_str_eq(block->sizes.items[1]->place, "2");
    context_free(context);
}

/* ---------- claims ---------- */

static const struct {
    const char *torque, *used, *loser;
} claims[] = {
    {"24 lbf ft", "24 lbf ft", NULL},
    {"{is: 24 lbf ft, from: book p. 3}", "24 lbf ft", NULL},
    {"[{is: 24 lbf ft, from: book}, {is: 26 lbf ft, from: notes}]", "24 lbf ft", "26 lbf ft"},
    {"[{is: 26 lbf ft, from: notes}, {is: 24 lbf ft, from: book}]", "24 lbf ft", "26 lbf ft"},
    {"[{is: 26 lbf ft, from: notes}, {is: 25 lbf ft, from: sheet, chosen: true, because: newer}]",
     "25 lbf ft", "26 lbf ft"},
    {"[{is: 26 lbf ft, from: letter}, {is: 24 lbf ft, from: book, chosen: true, because: printed}]",
     "24 lbf ft", "26 lbf ft"},
    {"[{is: 20 lbf ft, from: book, applies: {serial: ..99}}, {is: 22 lbf ft, from: book, applies: "
     "{serial: 100..}}]",
     "22 lbf ft", NULL},
    {"[{is: 20 lbf ft, from: book, applies: {variant: early}}, {is: 22 lbf ft, from: notes, applies: "
     "{variant: late}}, {is: 23 lbf ft, from: book, applies: {serial: 150}}]",
     "23 lbf ft", "22 lbf ft"},
};

Test(spec, of_disagreeing_sources_the_best_rank_is_used_and_the_loser_kept)
{
    for (size_t i = 0; i < sizeof claims / sizeof *claims; i++) {
        struct context *context = context_new(NULL);
        const char *text = str_print(
            context->arena,
            "gudgeon: 1\nengine: {name: Case, serial: 150, variant: late}\n"
            "sources: {book: {rank: 1}, notes: {rank: 2}, sheet: {rank: 2}, letter: {title: L}}\n"
            "parts: {case: {state: reuse}, lid: {in: case}}\n"
            "joints: {j: {holds: [lid], to: case, thread: M8, count: 4, torque: %s}}\n",
            claims[i].torque);
        const struct claim *torque = &good(context, text)->joints.items[0]->torque;

        cr_expect_str_eq(torque->value.text, claims[i].used, "%s", claims[i].torque);
        cr_expect_eq(torque->loser_count, claims[i].loser != NULL, "%s", claims[i].torque);
        if (claims[i].loser && torque->loser_count == 1)
            cr_expect_str_eq(torque->losers[0].value.text, claims[i].loser, "%s", claims[i].torque);
        context_free(context);
    }
}

Test(spec, of_a_printed_pair_that_disagrees_the_believed_one_is_the_value)
{
    static const struct {
        const char *believe;
        int64_t pm;
    } rows[] = {{"first", 12700000000}, {"second", 13700000000}};

    for (size_t i = 0; i < 2; i++) {
        struct context *context = context_new(NULL);
        const char *text = str_print(
            context->arena,
            "gudgeon: 1\nengine: {name: Case}\nparts: {case: {sizes: {a: {want: {is: 1/2 in (13.7 mm), "
            "believe: %s, because: measured}}}}}\n",
            rows[i].believe);
        const struct claim *want = &good(context, text)->parts.items[0]->sizes.items[0]->want;

        cr_expect_eq(want->value.nominal.exact, rows[i].pm, "%s", rows[i].believe);
        cr_assert(want->value.printed != NULL);
        cr_expect_eq(want->value.printed->nominal.exact, rows[1 - i].pm, "%s", rows[i].believe);
        context_free(context);
    }
}

/* ---------- applies ---------- */

static const struct {
    const char *applies;
    bool holds;
} ranges[] = {
    {"{serial: ..150}", true},       {"{serial: ..149}", false},
    {"{serial: 150..}", true},       {"{serial: 151..}", false},
    {"{serial: 100..199}", true},    {"{serial: 150}", true},
    {"{serial: 15}", false},         {"{serial: [1..9, 140..160]}", true},
    {"{built: 1934}", true},         {"{built: ..1933}", false},
    {"{built: 1934-03..}", true},    {"{built: 1934-04..}", false},
    {"{built: ..1934-03}", true},    {"{built: 1931..1935}", true},
    {"{variant: late}", true},       {"{variant: early}", false},
    {"{variant: [early, late]}", true},
    {"{serial: ..199, variant: late}", true},
    {"{serial: ..199, variant: early}", false},
};

Test(spec, applies_looks_at_serial_date_and_variant)
{
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++) {
        struct context *context = context_new(NULL);
        const char *text = str_print(
            context->arena,
            "gudgeon: 1\nengine: {name: Case, serial: 150, built: 1934-03, variant: late}\n"
            "parts: {case: {state: reuse}, pump: {in: case, applies: %s}}\n",
            ranges[i].applies);
        struct spec *spec = good(context, text);

        cr_expect_eq(spec_member(spec, "pump") != NULL, ranges[i].holds, "%s", ranges[i].applies);
        cr_expect(spec_group(spec, "pump")->conditional);
        context_free(context);
    }
}

Test(spec, letters_before_a_serial_number_keep_series_apart)
{
    struct context *context = context_new(NULL);
    struct spec *spec = good(context,
                             "gudgeon: 1\nengine: {name: Case, serial: A150}\n"
                             "parts: {case: {state: reuse}, a: {in: case, applies: {serial: A100..A199}},"
                             " b: {in: case, applies: {serial: B100..}}}\n");

    cr_expect(spec_member(spec, "a") != NULL);
    cr_expect(spec_member(spec, "b") == NULL);
    context_free(context);
}

/* ---------- structure ---------- */

Test(spec, hosts_closers_users_and_the_first_part_are_linked)
{
    struct job job = {.path = "specs/hob.yaml"};
    struct context *context = context_new(NULL);

    cr_assert(context_run(context, read_it, &job));
    cr_assert(job.spec != NULL, "%s", said(context));
    const struct spec *spec = job.spec;
    const struct part *piston = spec_part(spec_member(spec, "piston"));
    const struct part *pin = spec_part(spec_member(spec, "rod-pin"));
    const struct part *gasket = spec_part(spec_member(spec, "plate-gasket"));

    cr_expect_str_eq(spec->first->e.id, "crankcase");
    cr_expect_str_eq(piston->host->e.id, "rod");
    cr_assert_eq(pin->used_by_count, 1);
    cr_expect_str_eq(pin->used_by[0]->e.id, "rod-bolts");
    cr_assert_eq(gasket->sealed_by_count, 1);
    cr_expect_str_eq(gasket->sealed_by[0]->e.id, "plate-face");
    for (size_t i = 0; i < spec->openings.count; i++)
        if (str_equal(spec->openings.items[i]->e.id, "front-opening")) {
            cr_assert_eq(spec->openings.items[i]->closer_count, 1);
            cr_expect_str_eq(spec->openings.items[i]->closers[0]->e.id, "bearing-plate");
        }
    context_free(context);
}

/* ---------- accept ---------- */

Test(spec, an_accepted_warning_is_silent_and_an_unused_accept_is_told_once)
{
    struct context *context = context_new(NULL);
    struct spec *spec = good(
        context, "gudgeon: 1\nengine: {name: Case, cylinders: 2}\nshop: {tools: {hoist: {borrowed: true}}}\n"
                 "parts: {case: {tools: sling, accept: {G0441: lent by the yard}}, "
                 "rod: {each: cylinder, in: case, accept: {g441: gone}}}\n");

    cr_expect_eq(context->diags.count, 0, "%s", said(context));
    cr_expect(spec->parts.items[0]->e.accept.items[0].used);
    spec_report_unused_accepts(context, spec);
    cr_expect_eq(context->diags.count, 1, "%s", said(context));
    cr_expect_eq(context->diags.items[0]->code, DIAG_SPEC_ACCEPT_UNUSED);
    context_free(context);
}

/* ---------- everything arrives ---------- */

/* Keys that choose what is read and so leave no value of their own. */
static bool chooses(const char *key)
{
    static const char *const keys[] = {"gudgeon", "applies", "each", "in"};

    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        if (str_equal(keys[i], key))
            return true;
    return false;
}

static void expect_in(const char *dump, const struct node *node, size_t *count)
{
    if (chooses(node->key) || str_equal(node->text, "early-drain")) /* absent from this engine */
        return;
    if (node->kind == NODE_SCALAR) {
        /* References stand in the dump as the members they mean, so the first word must do. */
        size_t length = strcspn(node->text, str_equal(node->key, "from") ? " " : "/.");
        char *text = strndup(node->text, length > 0 ? length : 1);
        (*count)++;
        cr_expect(strstr(dump, text) != NULL, "%s: %s did not arrive", node->key ? node->key : "item",
                  node->text);
        free(text);
    }
    for (const struct node *child = node->child; child; child = child->next)
        if (node->kind != NODE_LIST || node->child->kind != NODE_MAP ||
            !tree_child(node->child, "applies") || child->next == NULL)
            expect_in(dump, child, count); /* of forms, only the one that applies: the last */
}

Test(spec, every_form_of_the_language_page_is_read_and_every_value_arrives)
{
    struct job job = {.path = "tests/golden/spec/good/page.yaml"};
    struct context *context = context_new(NULL);
    struct json json;
    size_t count = 0;

    cr_assert(context_run(context, read_it, &job));
    cr_assert(job.spec != NULL, "%s", said(context));
    cr_expect_eq(context->diags.count, 0, "%s", said(context));
    json_init(&json, context->arena, false);
    spec_dump(job.spec, &json);
    for (const struct node *child = job.tree->root->child; child; child = child->next)
        expect_in(json.out.bytes, child, &count);
    cr_expect(count > 400, "%zu values", count);
    context_free(context);
}
