/* Merging: RFC 7396, use, base, like, tables. */
#include <criterion/criterion.h>
#include <gudgeon/file.h>
#include <gudgeon/tree.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define COUNT(rows) (sizeof(rows) / sizeof *(rows))

static const char *said(struct context *context)
{
    struct str_buf out = {.arena = context->arena};

    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, 20, &out);
    return out.bytes;
}

static const char *dumped(struct context *context, const struct node *node)
{
    struct json json;

    json_init(&json, context->arena, true);
    tree_dump(node, &json);
    return json.out.bytes;
}

/* A value of any kind, by way of a mapping around it. */
static struct node *value_of(struct context *context, const char *text)
{
    const char *spec = str_print(context->arena, "x: %s\n", text);
    uint32_t file = source_add(context->arena, &context->sources, "case.yaml", spec, strlen(spec));
    struct node *root = tree_parse(context, file);

    cr_assert_not_null(root, "%s", said(context));
    return tree_child(root, "x");
}

Test(tree_merge, the_test_table_of_rfc_7396_comes_out_as_printed)
{
    /* RFC 7396, appendix A "Example Test Cases", all fifteen rows in their order. */
    static const struct {
        const char *original, *patch, *result;
    } rows[] = {
        {"{\"a\":\"b\"}", "{\"a\":\"c\"}", "{\"a\":\"c\"}"},
        {"{\"a\":\"b\"}", "{\"b\":\"c\"}", "{\"a\":\"b\",\"b\":\"c\"}"},
        {"{\"a\":\"b\"}", "{\"a\": null}", "{}"},
        {"{\"a\":\"b\",\"b\":\"c\"}", "{\"a\": null}", "{\"b\":\"c\"}"},
        {"{\"a\":[\"b\"]}", "{\"a\":\"c\"}", "{\"a\":\"c\"}"},
        {"{\"a\":\"c\"}", "{\"a\":[\"b\"]}", "{\"a\":[\"b\"]}"},
        {"{\"a\":{\"b\":\"c\"}}", "{\"a\":{\"b\":\"d\",\"c\": null}}", "{\"a\":{\"b\":\"d\"}}"},
        {"{\"a\":[{\"b\":\"c\"}]}", "{\"a\":[1]}", "{\"a\":[\"1\"]}"},
        {"[\"a\",\"b\"]", "[\"c\",\"d\"]", "[\"c\",\"d\"]"},
        {"{\"a\":\"b\"}", "[\"c\"]", "[\"c\"]"},
        {"{\"a\":\"foo\"}", "null", "null"},
        {"{\"a\":\"foo\"}", "\"bar\"", "\"bar\""},
        {"{\"e\": null}", "{\"a\":1}", "{\"e\":null,\"a\":\"1\"}"},
        {"[1,2]", "{\"a\":\"b\",\"c\": null}", "{\"a\":\"b\"}"},
        {"{}", "{\"a\":{\"bb\":{\"ccc\": null}}}", "{\"a\":{\"bb\":{}}}"},
    };
    struct context *context = context_new(NULL);

    for (size_t i = 0; i < COUNT(rows); i++) {
        struct node *original = value_of(context, rows[i].original);
        struct node *patch = value_of(context, rows[i].patch);
        const char *before = dumped(context, original);
        struct node *result = tree_merge(context, original, patch);
        cr_expect_str_eq(dumped(context, result), rows[i].result, "row %zu", i + 1);
        cr_expect_str_eq(dumped(context, original), before, "row %zu: the original changed", i + 1);
        size_t children = 0;
        for (const struct node *child = result->child; child != NULL; child = child->next)
            children++;
        cr_expect_eq(result->count, children, "row %zu: the count of children", i + 1);
    }
    cr_expect_eq(context->diags.count, 0);
    context_free(context);
}

Test(tree_merge, what_was_kept_keeps_its_place_and_order)
{
    struct context *context = context_new(NULL);
    struct node *original = value_of(context, "{a: 1, b: 2, c: {d: 3, e: 4}}");
    struct node *patch = value_of(context, "{c: {f: 5, d: 6}, g: 7, a: null}");
    struct node *result = tree_merge(context, original, patch);

    cr_expect_str_eq(dumped(context, result),
                     "{\"b\":\"2\",\"c\":{\"d\":\"6\",\"e\":\"4\",\"f\":\"5\"},\"g\":\"7\"}");
    uint32_t old = original->span.file, changed = patch->span.file;
    const struct node *c = tree_child(result, "c");
    cr_expect_eq(tree_child(result, "b")->span.file, old);
    cr_expect_eq(tree_child(c, "e")->span.file, old);
    cr_expect_eq(tree_child(c, "e")->key_span.file, old);
    cr_expect_eq(tree_child(c, "d")->span.file, changed);
    cr_expect_eq(tree_child(c, "f")->key_span.file, changed);
    cr_expect_eq(c->key_span.file, changed, "what was laid over is the place to edit");
    context_free(context);
}

/* A folder with files of its own for each test. */
static char folder[] = "/tmp/gudgeon-merge-XXXXXX";
static struct arena *arena;

static void set_up(void)
{
    arena = arena_new(0, NULL, NULL);
    cr_assert_not_null(mkdtemp(folder));
}

static void tear_down(void)
{
    if (system(str_print(arena, "rm -rf '%s'", folder)) != 0)
        abort();
    arena_free(arena);
}

static const char *put(const char *name, const char *text)
{
    const char *path = str_print(arena, "%s/%s", folder, name);

    cr_assert_null(file_write(arena, path, text, strlen(text)));
    return path;
}

TestSuite(tree_files, .init = set_up, .fini = tear_down);

static void expect_tree(const char *path, const char *dump)
{
    struct context *context = context_new(NULL);
    struct tree *tree = tree_load(context, path);

    cr_assert_not_null(tree, "%s", said(context));
    cr_expect_str_eq(dumped(context, tree->root), dump, "%s", said(context));
    context_free(context);
}

Test(tree_files, used_files_come_first_then_the_spec_itself)
{
    put("shop.yaml", "shop: {room: 20 degC, wrenches: {small: {range: 8..40 N m}}}\n");
    put("bottom.yaml", "gudgeon: 1\nuse: shop.yaml\nparts: {crank: {in: case}}\n"
                       "joints: {cap: {count: 2}}\n");
    const char *spec = put("spec.yaml", "gudgeon: 1\nuse: [bottom.yaml, shop.yaml]\n"
                                        "engine: {name: Hob}\nparts: {case: {state: reuse}}\n"
                                        "shop: {wrenches: {large: {range: 40..200 N m}}}\n");
    expect_tree(spec, "{\"gudgeon\":\"1\",\"shop\":{\"room\":\"20 degC\",\"wrenches\":{"
                      "\"small\":{\"range\":\"8..40 N m\"},\"large\":{\"range\":\"40..200 N m\"}}},"
                      "\"parts\":{\"crank\":{\"in\":\"case\"},\"case\":{\"state\":\"reuse\"}},"
                      "\"joints\":{\"cap\":{\"count\":\"2\"}},\"engine\":{\"name\":\"Hob\"}}");

    struct context *context = context_new(NULL);
    struct tree *tree = tree_load(context, spec);
    cr_assert_not_null(tree);
    cr_assert_eq(tree->files.count, 3);
    cr_expect(str_ends(tree->files.items[0], "/spec.yaml"));
    cr_expect_str_eq(tree->path, spec);
    cr_expect_str_eq(tree->root_folder, file_real(arena, folder), "no .git above it");
    context_free(context);
}

Test(tree_files, a_spec_with_all_it_uses_lies_over_its_base)
{
    put("common.yaml", "sources: {handbook: {rank: 1}}\n");
    put("old.yaml", "gudgeon: 1\nuse: common.yaml\nengine: {name: Pintail, bore: 2 in}\n"
                    "parts: {piston: {state: reuse, weight: 412 g}, rod: {state: reuse}}\n");
    put("mid.yaml", "gudgeon: 1\nbase: old.yaml\nparts: {rod: {note: straightened}}\n");
    put("extra.yaml", "parts: {piston: {state: renew, weight: null}}\n");
    const char *spec = put("spec.yaml", "gudgeon: 1\nuse: [extra.yaml, common.yaml]\n"
                                        "base: mid.yaml\nengine: {bore: 2 1/8 in}\n"
                                        "parts: {rod: null, pin: {like: piston, state: make}}\n");
    expect_tree(spec, "{\"gudgeon\":\"1\",\"sources\":{\"handbook\":{\"rank\":\"1\"}},"
                      "\"engine\":{\"name\":\"Pintail\",\"bore\":\"2 1/8 in\"},"
                      "\"parts\":{\"piston\":{\"state\":\"renew\"},\"pin\":{\"state\":\"make\"}}}");
}

Test(tree_files, like_copies_what_the_base_has_made_of_the_other)
{
    put("old.yaml", "gudgeon: 1\nparts: {a: {x: 1, y: {z: 2}}, c: {like: b, w: 5}}\n");
    const char *spec = put("spec.yaml",
                           "gudgeon: 1\nbase: old.yaml\n"
                           "parts:\n"
                           "  b: {like: a, y: {v: 3}}\n"
                           "  a: {x: 4}\n"
                           "  d:\n"
                           "    - {like: a, applies: {serial: 1..}}\n"
                           "    - {like: b, y: null}\n"
                           "shop: {wrenches: {s: {r: 1}, t: {like: s, q: 2}}}\n"
                           "materials: {alloy: {like: aluminium-cast, e: 1}, other: {like: alloy}}\n");
    expect_tree(spec, "{\"gudgeon\":\"1\",\"parts\":{\"a\":{\"x\":\"4\",\"y\":{\"z\":\"2\"}},"
                      "\"c\":{\"x\":\"4\",\"y\":{\"z\":\"2\",\"v\":\"3\"},\"w\":\"5\"},"
                      "\"b\":{\"x\":\"4\",\"y\":{\"z\":\"2\",\"v\":\"3\"}},"
                      "\"d\":[{\"x\":\"4\",\"y\":{\"z\":\"2\"},\"applies\":{\"serial\":\"1..\"}},"
                      "{\"x\":\"4\"}]},"
                      "\"shop\":{\"wrenches\":{\"s\":{\"r\":\"1\"},\"t\":{\"r\":\"1\",\"q\":\"2\"}}},"
                      "\"materials\":{\"alloy\":{\"like\":\"aluminium-cast\",\"e\":\"1\"},"
                      "\"other\":{\"like\":\"aluminium-cast\",\"e\":\"1\"}}}");
}

Test(tree_files, a_table_is_a_section_with_places)
{
    /* RFC 4180 section 2: quotes, doubled quotes, line ends inside quotes, CRLF. */
    static const char csv[] = "# bought in one go\r\n#\r\nparts;name;price.is;price.from;note;\r\n"
                              "piston;\"Piston; \"\"A\"\"\";9.80 GBP;catalogue p. 3;;\r\n"
                              "\r\n"
                              ";;;;;\r\n"
                              " pin ; Pin ;;;\"two\r\nlines\";\r\n"
                              "clip";
    put("parts.csv", csv);
    const char *spec = put("spec.yaml", "gudgeon: 1\nuse: parts.csv\nparts: {rod: {like: piston}}\n");
    expect_tree(spec, "{\"gudgeon\":\"1\",\"parts\":{"
                      "\"piston\":{\"name\":\"Piston; \\\"A\\\"\","
                      "\"price\":{\"is\":\"9.80 GBP\",\"from\":\"catalogue p. 3\"}},"
                      "\"pin\":{\"name\":\"Pin\",\"note\":\"two\\nlines\"},"
                      "\"clip\":{},"
                      "\"rod\":{\"name\":\"Piston; \\\"A\\\"\","
                      "\"price\":{\"is\":\"9.80 GBP\",\"from\":\"catalogue p. 3\"}}}}");

    static const struct {
        const char *path, *bytes;
        bool key;
    } rows[] = {
        {"piston", "piston", true},
        {"name", "name", true},
        {"name", "\"Piston; \"\"A\"\"\"", false},
    };
    struct context *context = context_new(NULL);
    const struct node *parts = tree_child(tree_load(context, spec)->root, "parts");
    const struct node *piston = tree_child(parts, "piston"), *name = tree_child(piston, "name");
    const struct node *nodes[] = {piston, name, name};
    for (size_t i = 0; i < COUNT(rows); i++) {
        struct span span = rows[i].key ? nodes[i]->key_span : nodes[i]->span;
        cr_expect_str_eq(str_slice(arena, csv + span.begin, span.end - span.begin), rows[i].bytes);
    }
    const struct node *is = tree_child(tree_child(piston, "price"), "is");
    struct span span = tree_text_span(is, 0, 4);
    cr_expect_str_eq(str_slice(arena, csv + span.begin, span.end - span.begin), "9.80");
    context_free(context);
}

Test(tree_files, a_table_with_a_kind_is_left_to_the_table_stage)
{
    put("torque.csv", "# table: torque\n# level: maker\nthread,torque\nM8,25 N m\n");
    put("table.csv", "# a table: of parts\nparts\npiston\n");
    const char *spec = put("spec.yaml", "gudgeon: 1\nuse: [torque.csv, table.csv]\n");
    struct context *context = context_new(NULL);
    struct tree *tree = tree_load(context, spec);

    cr_assert_not_null(tree, "%s", said(context));
    cr_assert_eq(tree->tables.count, 1);
    const struct source *source =
        source_of(&context->sources, (struct span){tree->tables.items[0], 0, 0});
    cr_expect(str_ends(source->path, "torque.csv"));
    struct tree_csv *csv = tree_parse_csv(context, tree->tables.items[0]);
    cr_expect_str_eq(csv->head, "table: torque\nlevel: maker");
    cr_expect_eq(csv->heading_count, 2);
    cr_expect_str_eq(csv->headings[1], "torque");
    cr_expect_eq(csv->rows->count, 1);
    cr_expect_str_eq(tree_child(csv->rows->child, "torque")->text, "25 N m");
    cr_expect_str_eq(dumped(context, tree->root), "{\"gudgeon\":\"1\",\"parts\":{\"piston\":{}}}");
    context_free(context);
}

Test(tree_files, merging_a_hundred_thousand_ids_is_quick)
{
    enum { IDS = 100000 };
    struct str_buf base = {.arena = arena}, spec = {.arena = arena};

    str_add(&base, "gudgeon: 1\nparts:\n");
    str_add(&spec, "gudgeon: 1\nbase: base.yaml\nparts:\n");
    for (int i = 0; i < IDS; i++) {
        str_add_print(&base, "  p%d: {state: reuse, weight: %d g}\n", i, i);
        str_add_print(&spec, "  p%d: {weight: null}\n", IDS - 1 - i);
        str_add_print(&spec, "  q%d: {like: p%d}\n", i, i);
    }
    put("base.yaml", base.bytes);
    const char *path = put("spec.yaml", spec.bytes);
    struct context *context = context_new(NULL);
    struct tree *tree = tree_load(context, path);
    cr_assert_not_null(tree, "%s", said(context));
    const struct node *parts = tree_child(tree->root, "parts");
    cr_expect_eq(parts->count, 2 * IDS);
    cr_expect_str_eq(dumped(context, tree_child(parts, "q77777")), "{\"state\":\"reuse\"}");
    context_free(context);
}
