/* Diagnostics: the list of codes, one fault once, and the three printed forms. */
#include <criterion/criterion.h>
#include <gudgeon/context.h>
#include <string.h>

struct fixture {
    struct arena *arena;
    struct sources sources;
    struct diags diags;
};

static struct fixture fixture_of(const char *text)
{
    struct fixture f = {.arena = arena_new(0, NULL, NULL)};

    f.diags.arena = f.arena;
    source_add(f.arena, &f.sources, "a b.yaml", text, strlen(text));
    return f;
}

static const char *rendered(struct fixture *f, enum diag_form form, bool colour, size_t most)
{
    struct str_buf out = {.arena = f->arena};

    diag_render(&f->diags, &f->sources, form, colour, most, &out);
    return out.bytes;
}

Test(diag, every_code_is_one_g_number_in_its_block_with_a_paragraph)
{
    for (size_t i = 0; i < DIAG_CODE_COUNT; i++) {
        const struct diag_info *info = &diag_infos[i];
        cr_expect_eq(strlen(info->printed), 5, "%s", info->printed);
        cr_expect_eq(info->printed[0], 'G', "%s", info->printed);
        cr_expect_eq(strspn(info->printed + 1, "0123456789"), 4, "%s", info->printed);
        cr_expect(strlen(info->paragraph) >= 25, "%s says too little", info->printed);
        for (size_t other = 0; other < i; other++)
            cr_expect_str_neq(info->printed, diag_infos[other].printed);
        cr_expect_eq(diag_find(info->printed), info);
    }
    cr_expect_eq(diag_find("g101"), diag_find("G0101"));
    cr_expect_eq(diag_find("101"), diag_find("G0101"));
    cr_expect_not_null(diag_find("101"));
    cr_expect_null(diag_find("G0100"));
    cr_expect_null(diag_find("G-101"));
    cr_expect_null(diag_find("G"));
    cr_expect_null(diag_find("piston"));
}

Test(diag, the_same_code_at_the_same_place_is_one_diagnostic)
{
    struct fixture f = fixture_of("a: b\n");
    struct span span = {1, 3, 4};

    struct diag *first = diag_add(&f.diags, DIAG_TEXT_FAULT, span, "first %d", 1);
    diag_label(&f.diags, diag_add(&f.diags, DIAG_TEXT_FAULT, span, "second"), span, "lost");
    diag_add(&f.diags, DIAG_FILE_MISSING, span, "another code");
    diag_add(&f.diags, DIAG_TEXT_FAULT, (struct span){1, 3, 5}, "another place");
    diag_add(&f.diags, DIAG_FILE_MISSING, (struct span){0}, "no place, x");
    diag_add(&f.diags, DIAG_FILE_MISSING, (struct span){0}, "no place, y");
    diag_add(&f.diags, DIAG_FILE_MISSING, (struct span){0}, "no place, y");
    cr_expect_eq(f.diags.count, 5);
    cr_expect_eq(f.diags.errors, 5);
    cr_expect_str_eq(f.diags.items[0]->message, "first 1");
    cr_expect_eq(f.diags.items[0]->labels.count, 0);

    diag_remove(&f.diags, first);
    cr_expect_eq(f.diags.count, 4);
    cr_expect_eq(f.diags.errors, 4);
    diag_add(&f.diags, DIAG_TEXT_FAULT, span, "again");
    cr_expect_eq(f.diags.count, 5, "what was taken back may be said again");

    for (uint32_t i = 0; i < 200000; i++) /* linear, or this takes minutes */
        diag_add(&f.diags, DIAG_FILE_KIND, (struct span){1, i % 5, i}, "many");
    cr_expect_eq(f.diags.count, 200005);
    while (f.diags.count > 5)
        diag_remove(&f.diags, f.diags.items[f.diags.count - 1]);
    for (uint32_t i = 0; i < 200000; i++)
        diag_remove(&f.diags, diag_add(&f.diags, DIAG_FILE_KIND, (struct span){1, 0, i}, "many"));
    cr_expect_eq(f.diags.count, 5);
    cr_expect_eq(f.diags.errors, 5);
    arena_free(f.arena);
}

Test(diag, text_has_place_line_marker_notes_and_hint)
{
    /* The form of the first line: GNU Coding Standards, "Formatting Error Messages". */
    struct fixture f = fixture_of("name: Piston #2\n\tx\xe6\xbc\xa2y: \xc5\xbe\n");

    struct diag *diag = diag_add(&f.diags, DIAG_TEXT_FAULT, (struct span){1, 13, 15}, "cut off");
    diag_label(&f.diags, diag, (struct span){1, 21, 22}, "seen from here");
    diag_fix(&f.diags, diag, (struct span){1, 6, 15}, "'Piston #2'");
    diag_add(&f.diags, DIAG_FILE_MISSING, (struct span){0}, "no\nplace \x1b[1m");
    cr_expect_str_eq(rendered(&f, DIAG_TEXT, false, 10),
                     "error: no place \xef\xbf\xbd[1m [G0101]\n"
                     "a b.yaml:1:14: error: cut off [G0108]\n"
                     "  name: Piston #2\n"
                     "               ^^\n"
                     "a b.yaml:2:4: note: seen from here\n"
                     "   x\xe6\xbc\xa2y: \xc5\xbe\n"
                     "      ^\n"
                     "hint: write `'Piston #2'`\n");
    cr_expect_str_eq(rendered(&f, DIAG_TEXT, false, 1),
                     "error: no place \xef\xbf\xbd[1m [G0101]\n"
                     "and 1 more that are not shown\n");
    cr_expect_not_null(strstr(rendered(&f, DIAG_TEXT, true, 10), "\x1b[1;31merror:\x1b[0m cut"));
    arena_free(f.arena);
}

Test(diag, a_long_line_is_shown_through_a_window_around_its_mark)
{
    char text[5000];

    memset(text, 'x', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    struct fixture f = fixture_of(text);
    uint32_t marks[] = {0, 50, 66, 67, 500, 4950, 4999};
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
        f.diags = (struct diags){.arena = f.arena};
        diag_add(&f.diags, DIAG_TEXT_FAULT, (struct span){1, marks[i], 4999}, "long");
        const char *line = strchr(rendered(&f, DIAG_TEXT, false, 1), '\n') + 1;
        const char *marker = strchr(line, '\n') + 1;
        size_t columns = str_display_width(line, (size_t)(marker - 1 - line));
        size_t caret = strcspn(marker, "^");
        cr_expect(columns <= 104, "mark %u: %zu columns", marks[i], columns);
        cr_expect(caret >= 2 && caret < 104, "mark %u: caret at %zu", marks[i], caret);
        cr_expect(strcspn(marker, "\n") <= columns + 1, "mark %u: marker beyond the line",
                  marks[i]);
        if (marks[i] == 500)
            cr_expect(str_starts(line, "  \xe2\x80\xa6x"), "the cut is shown");
    }
    arena_free(f.arena);
}

Test(diag, a_span_over_several_lines_is_marked_to_the_end_of_its_first)
{
    struct fixture f = fixture_of("a: one\n   two\n");

    diag_add(&f.diags, DIAG_TEXT_FAULT, (struct span){1, 3, 13}, "two lines");
    diag_add(&f.diags, DIAG_TEXT_FAULT, (struct span){1, 14, 14}, "the end");
    cr_expect_str_eq(rendered(&f, DIAG_TEXT, false, 10), "a b.yaml:1:4: error: two lines [G0108]\n"
                                                         "  a: one\n"
                                                         "     ^^^\n"
                                                         "a b.yaml:3:1: error: the end [G0108]\n"
                                                         "  \n"
                                                         "  ^\n");
    arena_free(f.arena);
}

Test(diag, json_is_one_object_a_line)
{
    struct fixture f = fixture_of("a: \xc5\xbe\xc5\xa5\n");

    struct diag *diag = diag_add(&f.diags, DIAG_TEXT_FAULT, (struct span){1, 5, 7}, "odd \"x\"");
    diag_label(&f.diags, diag, (struct span){1, 0, 1}, "here");
    diag_fix(&f.diags, diag, (struct span){1, 5, 7}, "");
    diag_add(&f.diags, DIAG_FILE_MISSING, (struct span){0}, "none");
    cr_expect_str_eq(
        rendered(&f, DIAG_JSON, false, 10),
        "{\"code\":\"G0101\",\"severity\":\"error\",\"message\":\"none\",\"labels\":[]}\n"
        "{\"code\":\"G0108\",\"severity\":\"error\",\"file\":\"a b.yaml\",\"line\":1,\"column\":5,"
        "\"end_line\":1,\"end_column\":6,\"begin\":5,\"end\":7,\"message\":\"odd \\\"x\\\"\","
        "\"labels\":[{\"file\":\"a b.yaml\",\"line\":1,\"column\":1,\"end_line\":1,"
        "\"end_column\":2,\"begin\":0,\"end\":1,\"text\":\"here\"}],\"hint\":\"remove it\","
        "\"fix\":{\"file\":\"a b.yaml\",\"line\":1,\"column\":5,\"end_line\":1,\"end_column\":6,"
        "\"begin\":5,\"end\":7,\"text\":\"\"}}\n");
    cr_expect_str_eq(
        rendered(&f, DIAG_JSON, false, 1),
        "{\"code\":\"G0101\",\"severity\":\"error\",\"message\":\"none\",\"labels\":[]}\n"
        "{\"not_shown\":1}\n");
    arena_free(f.arena);
}

Test(diag, sarif_has_what_the_standard_requires)
{
    /* SARIF 2.1.0: 3.13 version and runs, 3.18 tool, 3.27 result (message, ruleId, level),
     * 3.30 region (startLine, startColumn, 1-based, end column after the last character), 3.14.17
     * columnKind, 3.55-3.57 fix. */
    struct fixture f = fixture_of("a: b\n");
    static const char *const parts[] = {
        "\"version\": \"2.1.0\"",
        "\"name\": \"gudgeon\"",
        "\"columnKind\": \"unicodeCodePoints\"",
        "\"ruleId\": \"G0108\"",
        "\"level\": \"error\"",
        "\"uri\": \"a%20b.yaml\"",
        "\"startLine\": 1",
        "\"startColumn\": 4",
        "\"endColumn\": 5",
        "\"deletedRegion\"",
        "\"insertedContent\"",
        "\"id\": \"G0108\"",
    };

    struct diag *diag = diag_add(&f.diags, DIAG_TEXT_FAULT, (struct span){1, 3, 4}, "odd");
    diag_fix(&f.diags, diag, (struct span){1, 3, 4}, "c");
    const char *text = rendered(&f, DIAG_SARIF, false, 10);
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        cr_expect_not_null(strstr(text, parts[i]), "%s", parts[i]);
    cr_expect_null(strstr(text, "G0101"), "rules that do not occur are left out");
    arena_free(f.arena);
}

static void use_too_much(struct context *context, void *user)
{
    context_opened(context, (void (*)(void *))(*(void (**)(void *))user), user);
    for (;;)
        arena_alloc(context->arena, 1000);
}

static int closed;
static void count_closed(void *handle)
{
    closed += handle != NULL;
}

static void use_little(struct context *context, void *user)
{
    *(char **)user = arena_alloc(context->arena, 10);
}

Test(diag, memory_that_runs_out_ends_at_the_recovery_point_with_handles_closed)
{
    struct context_options options = {.most_memory = 100000};
    struct context *context = context_new(&options), *other = context_new(NULL);
    void (*handle)(void *) = count_closed;
    char *little = NULL;

    cr_expect(context_run(context, use_little, &little));
    cr_expect_not_null(little);
    cr_expect_not(context->out_of_memory);
    cr_expect_not(context_run(context, use_too_much, &handle));
    cr_expect(context->out_of_memory);
    cr_expect_eq(closed, 1);
    cr_expect_eq(context->open_count, 0);
    cr_expect(context_run(other, use_little, &little), "another context is not touched");

    int handles[3];
    for (int i = 0; i < 3; i++)
        context_opened(other, count_closed, &handles[i]);
    context_closed(other, &handles[1]);
    cr_expect_eq(other->open_count, 2);
    cr_expect_eq(other->open[1].handle, &handles[2]);
    context_closed(other, &handles[2]);
    context_closed(other, &handles[0]);
    context_free(context);
    context_free(other);
}
