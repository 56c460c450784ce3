/* One YAML file: what is accepted, and the exact bytes of every node. */
#include <criterion/criterion.h>
#include <gudgeon/tree.h>
#include <string.h>

#define COUNT(rows) (sizeof(rows) / sizeof *(rows))

static struct node *parse(struct context *context, const char *bytes, size_t size)
{
    uint32_t file = source_add(context->arena, &context->sources, "case.yaml", bytes, size);

    return tree_parse(context, file);
}

static const char *said(struct context *context)
{
    struct str_buf out = {.arena = context->arena};

    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, 20, &out);
    return out.bytes;
}

/* A dotted path; a number is the place in a list. */
static const struct node *at(const struct node *node, const char *path)
{
    char part[100];

    while (node != NULL && *path != '\0') {
        size_t length = strcspn(path, ".");
        int64_t index;
        memcpy(part, path, length);
        part[length] = '\0';
        if (node->kind == NODE_LIST && str_to_int(part, &index)) {
            node = node->child;
            while (index-- > 0)
                node = node->next;
        } else {
            node = tree_child(node, part);
        }
        path += length + (path[length] == '.');
    }
    return node;
}

static const char document[] =
    "\xef\xbb\xbf# a byte order mark, žluťoučký and a comment\r\n"
    "gudgeon: 1\r\n"
    "žluť: měřeno   # counted in code points by libyaml\n"
    "quoted: 'it''s'\n"
    "simple: 'plain inside'\n"
    "double: \"a\\tb\"\n"
    "empty: ''\n"
    "long: goes on\n"
    "  over two lines\n"
    "block: |\n"
    "  one # not a comment\n"
    "  two\n"
    "\n"
    "# a comment after it\n"
    "folded: >-\n"
    "  one\n"
    "  two\n"
    "map:\n"
    "  inner: {a: 1, b: [x,  y ], c: {}}\n"
    "  last: 🔧 end\n"
    "\n"
    "list:\n"
    "- first\n"
    "-  second: 2\n"
    "   third: 3\n"
    "pair: [key: value, alone]\n"
    "'odd key': no\n"
    "kept: [no, 1/4, 07, 1e3, 2026-11-24, 1:30, 0x1F, ~x, Null]\n"
    "hash: a#b and c'#d\n"
    "colon: http://x 12:30\n";

Test(tree, each_node_has_the_exact_bytes_of_its_value)
{
    static const struct {
        const char *path, *bytes, *text;
        bool quoted, multiline;
    } rows[] = {
        {"gudgeon", "1", "1", false, false},
        {"žluť", "měřeno", "měřeno", false, false},
        {"quoted", "'it''s'", "it's", true, true},
        {"simple", "'plain inside'", "plain inside", true, false},
        {"double", "\"a\\tb\"", "a\tb", true, true},
        {"empty", "''", "", true, false},
        {"long", "goes on\n  over two lines", "goes on over two lines", false, true},
        {"block", "|\n  one # not a comment\n  two", "one # not a comment\ntwo\n", true, true},
        {"folded", ">-\n  one\n  two", "one two", true, true},
        {"map", "inner: {a: 1, b: [x,  y ], c: {}}\n  last: 🔧 end", NULL, false, false},
        {"map.inner", "{a: 1, b: [x,  y ], c: {}}", NULL, false, false},
        {"map.inner.b", "[x,  y ]", NULL, false, false},
        {"map.inner.b.1", "y", "y", false, false},
        {"map.inner.c", "{}", NULL, false, false},
        {"map.last", "🔧 end", "🔧 end", false, false},
        {"list", "first\n-  second: 2\n   third: 3", NULL, false, false},
        {"list.0", "first", "first", false, false},
        {"list.1", "second: 2\n   third: 3", NULL, false, false},
        {"list.1.third", "3", "3", false, false},
        {"pair", "[key: value, alone]", NULL, false, false},
        {"pair.0", "key: value", NULL, false, false},
        {"odd key", "no", "no", false, false},
        {"kept.0", "no", "no", false, false},
        {"kept.1", "1/4", "1/4", false, false},
        {"kept.2", "07", "07", false, false},
        {"kept.3", "1e3", "1e3", false, false},
        {"kept.4", "2026-11-24", "2026-11-24", false, false},
        {"kept.5", "1:30", "1:30", false, false},
        {"kept.6", "0x1F", "0x1F", false, false},
        {"kept.7", "~x", "~x", false, false},
        {"kept.8", "Null", "Null", false, false},
        {"hash", "a#b and c'#d", "a#b and c'#d", false, false},
        {"colon", "http://x 12:30", "http://x 12:30", false, false},
    };
    struct context *context = context_new(NULL);
    struct node *root = parse(context, document, sizeof document - 1);

    cr_assert_not_null(root, "%s", said(context));
    cr_expect_eq(context->diags.count, 0);
    for (size_t i = 0; i < COUNT(rows); i++) {
        const struct node *node = at(root, rows[i].path);
        cr_assert_not_null(node, "%s", rows[i].path);
        const char *bytes = str_slice(context->arena, document + node->span.begin,
                                      node->span.end - node->span.begin);
        cr_expect_str_eq(bytes, rows[i].bytes, "%s: '%s'", rows[i].path, bytes);
        cr_expect(str_equal(node->text, rows[i].text), "%s: '%s'", rows[i].path, node->text);
        cr_expect_eq(node->quoted, rows[i].quoted, "%s", rows[i].path);
        cr_expect_eq(node->multiline, rows[i].multiline, "%s", rows[i].path);
    }
    for (const struct node *child = root->child; child != NULL; child = child->next) {
        const char *key = str_slice(context->arena, document + child->key_span.begin,
                                    child->key_span.end - child->key_span.begin);
        cr_expect(str_equal(key, child->key) || str_equal(key, "'odd key'"), "%s", key);
    }
    cr_expect_eq(root->count, 16);
    context_free(context);
}

Test(tree, a_part_of_a_text_is_found_where_bytes_and_text_are_one)
{
    static const char text[] = "a: 24.5 mm\nb: '24.5 mm'\nc: \"24.5\\x20mm\"\n";
    struct context *context = context_new(NULL);
    struct node *root = parse(context, text, sizeof text - 1);
    struct span span = tree_text_span(tree_child(root, "a"), 5, 7);

    cr_expect(span.begin == 8 && span.end == 10);
    span = tree_text_span(tree_child(root, "b"), 5, 7);
    cr_expect(span.begin == 20 && span.end == 22);
    span = tree_text_span(tree_child(root, "c"), 5, 7);
    cr_expect(span.begin == 27 && span.end == 39, "the whole text, since escapes move its letters");
    span = tree_text_span(tree_child(root, "a"), 5, 70);
    cr_expect(span.begin == 3 && span.end == 10, "beyond the text is the whole text");
    context_free(context);
}

/* Nothing valid is refused: each of these is YAML that the language page does not forbid. */
Test(tree, what_the_page_does_not_forbid_is_accepted_in_silence)
{
    static const char *const rows[] = {
        "---\ngudgeon: 1\n",
        "gudgeon: 1\n...\n",
        "gudgeon: 1\n# end",
        "gudgeon: 1",
        "a: b # a comment",
        "a: b #",
        "a: b #\n# c #d #e\n   #f\nc: d",
        "a: 'x #y'\nb: \"x #y\"\nc: |\n  x #y\n  #z\nd: {e: 'x #1', f: \"#2\"} # g\n",
        "a: 'over\n  two #lines'\n",
        "a: b # see #2 and #3",
        "a: {b: 1, c: 2,}",
        "a: [1, 2,]",
        "a: []\nb: {}",
        "a: {b: null}",
        "? a\n: b",
        "a:\n- b\n- c\nd: e",
        "a:\n    b:\n     c: d\ne: f",
        "a: - b" + 3, /* "- b" is a list: see below */
        "a: it's 1/2\" wide",
        "a: x: y" + 3, /* a mapping again */
        "a: {b: x:y}",
        "a: \"\\u00b5m \\\" \\\\ \\/ \\x41\"",
        "a: 'null'\nb: '~'",
        "'a b': c\n\"d\": e",
        "a: -5 mm\nb: .5 in\nc: <x>\nd: =5\ne: (x)\nf: $5\ng: 5%\nh: a@b\ni: +0.009",
        "a: {b: 1/4 in, c: -0.5 mm, d: 3/8 BSF}",
        "a: [M10, 5/16-24 UNF]\n\n\n",
        "\n\n  a: b\n  c: d\n",
        "a: |2-\n    x\n   y\nb: c",
        "a: >+\n  x\n\n\nb: c",
        "a:   \tb\n",
        "%YAML 1.1\n---\na: b" + 14,
    };
    struct context *context = context_new(NULL);

    for (size_t i = 0; i < COUNT(rows); i++) {
        context->diags = (struct diags){.arena = context->arena};
        struct node *root = parse(context, rows[i], strlen(rows[i]));
        if (rows[i][0] == '-' && rows[i][1] == ' ')
            cr_expect_null(root, "a list is no spec");
        else
            cr_expect(root != NULL && context->diags.count == 0, "'%s':\n%s", rows[i],
                      said(context));
    }
    context_free(context);
}

/* One fault gives one error, whatever else the fault does to the text after it. */
Test(tree, one_fault_is_one_error)
{
    static const struct {
        const char *text, *code;
    } rows[] = {
        {"a:\n  thread: #10-32\n  count: 2", "G0214"},
        {"a: [x, #2, y]\nb: c", "G0214"},
        {"a: {x: one, two, three, four}", "G0213"},
        {"a: {x: 24,5 mm}", "G0213"},
        {"a: &x {b: !t c}", "G0204,G0203"},
        {"a: !!map {b: c}", "G0203"},
        {"a: [*x, *x]", "G0204,G0204"},
        {"{a: b}: c", "G0209"},
        {"[a, ~]: {c: ~}", "G0209"},
        {"a: ~\nb: ~", "G0211,G0211"},
        {"a:\nb:\nc: d", "G0210,G0210"},
        {"a: [, b]", "G0228"},
        {"- \n- a", "G0210,G0202"},
        {"a: {b: }", "G0210"},
        {"a: {b: , c: d}", "G0210"},
        {"a: {b\n: }", "G0222"},
        {"a: b\n\t\nc: d", "G0221"},
        {"a: {b, c: ,\nd: e", "G0222"},
        {"a: 1\na: 2\na: 3", "G0208,G0208"},
        {"a: \"\\0\"", "G0215"},
        {"a: \"\\e[0m\"", "G0215"},
        {"a: \"\\L\"", "G0215"},
        {"a: b\n---\nc: d", "G0206"},
        {"a: b\n...\n%TAG ! x:\n---\nc: d", "G0206"},
        {"%FOO\na: b", "G0207"},
        {"\"unclosed", "G0223"},
        {"'a\n---\nb'", "G0223"},
        {"a", "G0202"},
        {"", "G0201"},
        {"\n# x\n", "G0201"},
        {"---\n---\n", "G0206"},
        {"a: 'x'y", "G0227"},
        {"a: |x\n  y", "G0225"},
        {"a: [\"b\" c]", "G0227"},
        {"a: ? b", "G0225"},
        {"a: %b", "G0225"},
        {"a: `b`", "G0225"},
        {"a: {b: c", "G0222"},
        {"a: (b]\nc: [d", "G0222"},
        {"a: [b\nc: d\ne: f]", "G0222"},
    };
    struct context *context = context_new(NULL);

    for (size_t i = 0; i < COUNT(rows); i++) {
        struct str_buf codes = {.arena = context->arena};
        context->diags = (struct diags){.arena = context->arena};
        struct node *root = parse(context, rows[i].text, strlen(rows[i].text));
        str_add(&codes, "");
        for (size_t d = 0; d < context->diags.count; d++)
            str_add_print(&codes, "%s%s", d == 0 ? "" : ",",
                          diag_infos[context->diags.items[d]->code].printed);
        cr_expect_str_eq(codes.bytes, rows[i].code, "'%s':\n%s", rows[i].text, said(context));
        cr_expect_null(root, "'%s'", rows[i].text);
    }
    context_free(context);
}

Test(tree, depth_is_counted_exactly)
{
    struct context *context = context_new(NULL);

    for (int extra = 0; extra < 2; extra++) {
        char text[200] = "a: ";
        /* the root mapping is the first level */
        size_t depth = BOUND_DEPTH - 1 + (size_t)extra, length = 3;
        memset(text + length, '[', depth);
        memset(text + length + depth, ']', depth);
        context->diags = (struct diags){.arena = context->arena};
        struct node *root = parse(context, text, length + 2 * depth);
        cr_expect_eq(root != NULL, extra == 0, "%s", said(context));
    }
    context_free(context);
}

Test(tree, many_keys_are_told_apart_in_linear_time)
{
    enum { KEYS = 300000 };
    struct context *context = context_new(NULL);
    struct str_buf text = {.arena = context->arena};

    for (int i = 0; i < KEYS; i++)
        str_add_print(&text, "k%d: v\n", (int)((long)i * 7919 % KEYS));
    str_add(&text, "k5: again\n");
    struct node *root = parse(context, text.bytes, text.length);
    cr_expect_null(root);
    cr_expect_eq(context->diags.count, 1);
    cr_expect_eq(context->diags.items[0]->code, DIAG_TREE_DUPLICATE_KEY);
    cr_expect_eq(context->diags.items[0]->labels.count, 1);
    context_free(context);
}

Test(tree, a_dump_is_the_tree_as_json)
{
    static const char text[] = "a: {b: [1, 'null', null], c: \"x\\ty\"}\nd: |\n  z\n";
    struct context *context = context_new(NULL);
    struct node *root = parse(context, text, sizeof text - 1);
    struct json json;

    json_init(&json, context->arena, true);
    tree_dump(root, &json);
    cr_expect_str_eq(json.out.bytes,
                     "{\"a\":{\"b\":[\"1\",\"null\",null],\"c\":\"x\\ty\"},\"d\":\"z\\n\"}");
    context_free(context);
}
