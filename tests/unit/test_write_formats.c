/* What the writers make of a pack. How independent readers see it: tests/e2e/pages.py, sheets.py. */
#include <criterion/criterion.h>
#include <gudgeon/write.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include "sample_pack.h"

static struct context *context;
static const struct template *template;

static void set_up(void)
{
    context = context_new(NULL);
    template = template_load(context, NULL);
    cr_assert_not_null(template);
}

static void tear_down(void)
{
    context_free(context);
}

TestSuite(write_formats, .init = set_up, .fini = tear_down);

static struct outputs *all_written(bool (*write)(struct context *, const struct pack *,
                                                 struct outputs *),
                                   const struct pack *pack)
{
    struct outputs *outputs = ARENA_NEW(context->arena, struct outputs);

    cr_assert(write(context, pack, outputs), "%s",
              context->diags.count > 0 ? context->diags.items[0]->message : "");
    return outputs;
}

static struct output written(bool (*write)(struct context *, const struct pack *, struct outputs *),
                             const struct pack *pack)
{
    struct outputs *outputs = all_written(write, pack);

    cr_assert_gt(outputs->count, 0);
    return outputs->items[0];
}

Test(write_formats, the_same_pack_gives_the_same_bytes_whenever_it_is_written)
{
    struct outputs *first[8], *second;

    cr_assert_leq(writer_count, sizeof first / sizeof *first);
    setenv("TZ", "Asia/Kathmandu", 1);
    for (size_t i = 0; i < writer_count; i++)
        first[i] = all_written(writers[i].write, sample_pack(context->arena, template));
    sleep(2); /* zip entries and PDF dates count in seconds, zip in two */
    setenv("TZ", "America/St_Johns", 1);
    for (size_t i = 0; i < writer_count; i++) {
        second = all_written(writers[i].write, sample_pack(context->arena, template));
        cr_assert_gt(second->count, 0, "%s", writers[i].name);
        cr_assert_eq(first[i]->count, second->count, "%s", writers[i].name);
        for (size_t k = 0; k < second->count; k++) {
            const struct output *one = &first[i]->items[k], *other = &second->items[k];
            cr_expect_str_eq(one->name, other->name);
            cr_assert_eq(one->size, other->size, "%s", one->name);
            cr_expect_arr_eq(one->bytes, other->bytes, one->size, "%s", one->name);
        }
    }
}

Test(write_formats, a_pack_with_nothing_to_say_writes_no_file)
{
    struct pack *pack = ARENA_NEW(context->arena, struct pack);

    pack->template = template;
    pack->title = "Empty";
    for (size_t i = 0; i < writer_count; i++)
        cr_expect_eq(all_written(writers[i].write, pack)->count, 0, "%s", writers[i].name);
}

/* RFC 4180: CRLF ends a record (2.1), quotes are doubled (2.7), line breaks are quoted (2.6). */
Test(write_formats, readings_are_csv_by_the_rfc_and_run_nothing)
{
    static const char expected[] =
        "id,kind,value,unit,using,date,by,where,card,limit,void,because\r\n"
        "top-ring-gap/1@bench,measure,,in,,,,,final:bottom-end 9f2c41d07be85a33,"
        "\"0.009 to 0.011 in (0.23 to 0.27 mm), \"\"by rule\"\"\",,\r\n"
        "'=cmd|' /C calc'!A0,,,,,,,,,-0.001..-0.0002 in,,\"two\nlines\"\r\n";
    struct output output = written(write_csv, sample_pack(context->arena, template));

    cr_assert_eq(output.size, sizeof expected - 1);
    cr_expect_arr_eq(output.bytes, expected, sizeof expected - 1);
}

static struct pack *one_cell(const char *text)
{
    struct pack *pack = ARENA_NEW(context->arena, struct pack);
    struct table *table = ARENA_NEW(context->arena, struct table);
    struct cell *row = ARENA_NEW(context->arena, struct cell);

    *ARRAY_PUSH(context->arena, &table->columns) =
        (struct column){.key = "a", .heading = "A", .kind = CELL_TEXT};
    *row = (struct cell){.kind = CELL_TEXT, .text = text};
    *ARRAY_PUSH(context->arena, &table->rows) = row;
    pack->readings = table;
    return pack;
}

Test(write_formats, free_text_is_defused_in_csv_and_numbers_never)
{
    static const char *const rows[][2] = {
        {"=1+1", "'=1+1"},
        {"+1", "+1"},
        {"-0.5", "-0.5"},
        {"-0.001..-0.0002 in", "-0.001..-0.0002 in"},
        {"-5 \xc2\xb0" "C (23 \xc2\xb0" "F)", "-5 \xc2\xb0" "C (23 \xc2\xb0" "F)"},
        {"-1+cmd|' /C calc'!A0", "'-1+cmd|' /C calc'!A0"},
        {"-2+3", "'-2+3"},
        {"@SUM(A1)", "'@SUM(A1)"},
        {"- see note", "'- see note"},
        {"plain; with semicolon", "\"plain; with semicolon\""},
        {" blank ends ", "\" blank ends \""},
        {"a\rb\x01\xef\xbf\xbe", "\"a\nb\""},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct output output = written(write_csv, one_cell(rows[i][0]));
        const char *expected = str_print(context->arena, "a\r\n%s\r\n", rows[i][1]);
        cr_expect_str_eq(str_slice(context->arena, output.bytes, output.size), expected,
                         "'%s'", rows[i][0]);
    }
}

static size_t count_of(const struct output *output, const char *words)
{
    size_t count = 0, length = strlen(words);

    for (size_t i = 0; i + length <= output->size; i++)
        count += memcmp(output->bytes + i, words, length) == 0;
    return count;
}

Test(write_formats, pages_are_of_the_paper_that_the_template_asks_for)
{
    static const struct {
        enum paper paper;
        const char *box;
    } rows[] = {{PAPER_A4, "[ 0 0 595.276 841.89"},
                {PAPER_LETTER, "[ 0 0 612 792"},
                {PAPER_A5, "[ 0 0 419.52"}};

    for (size_t i = 0; i < 3; i++) {
        struct template other = *template;
        other.paper = rows[i].paper;
        struct output output = written(write_pdf, sample_pack(context->arena, &other));
        cr_expect_geq(count_of(&output, rows[i].box), 6, "%s", rows[i].box);
        cr_expect_eq(memcmp(output.bytes + output.size - 6, "%%EOF\n", 6), 0);
    }
}

/* The longest line that a spec may have, in every place where a user's words are printed. */
Test(write_formats, words_of_any_length_make_pages)
{
    static const size_t lengths[] = {0, 1, 200, 5000, 70000};

    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
        struct pack *pack = sample_pack_of(context->arena, template, 1, 1, lengths[i]);
        pack->title = pack->engine = pack->serial = pack->revision =
            pack->sections.items[1]->title;
        struct output output = written(write_pdf, pack);
        cr_expect_geq(count_of(&output, "/Type /Page\n"), 2, "%zu letters", lengths[i]);
    }
}

/* Files whose library cannot write its scratch end in a message, not in a cut file. */
Test(write_formats, a_library_that_runs_out_of_room_says_so)
{
    struct rlimit limit = {2000, RLIM_INFINITY};
    const struct pack *pack = sample_pack(context->arena, template);
    struct outputs outputs = {0};

    signal(SIGXFSZ, SIG_IGN);
    cr_assert_not_null(freopen("/dev/null", "w", stderr)); /* libxlsxwriter speaks there itself */
    cr_assert_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
    bool pdf = write_pdf(context, pack, &outputs), xlsx = write_xlsx(context, pack, &outputs);
    limit.rlim_cur = RLIM_INFINITY;
    setrlimit(RLIMIT_FSIZE, &limit);
    cr_expect(!pdf, "the fonts were not written whole and nobody noticed");
    cr_expect(!xlsx, "the workbook was not written whole and nobody noticed");
    cr_expect(context->outside_failed);
    struct str_buf out = {.arena = context->arena};
    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, 100, &out);
    cr_expect_str_eq(out.bytes,
                     "error: cards.pdf: no scratch file for the fonts; is there room in memory and "
                     "in /tmp? [G0906]\n"
                     "error: parts.xlsx: Zip generic error ZIP_ERRNO while creating the xlsx file. "
                     "[G0906]\n", "%s", out.bytes);
    cr_expect_null(write_all(context, NULL, "test"));
}

static struct pack *one_sheet(const char *name, const char *text)
{
    struct pack *pack = one_cell(text);
    struct sheet *sheet = ARENA_NEW(context->arena, struct sheet);

    *sheet = (struct sheet){.name = name, .id = "a", .table = pack->readings};
    *ARRAY_PUSH(context->arena, &pack->sheets) = sheet;
    *ARRAY_PUSH(context->arena, &pack->sheets) = sheet; /* one name twice */
    pack->template = template;
    pack->title = "A & B";
    return pack;
}

/* 32,767 letters a cell: ECMA-376 gives the limit as an application's; from memory. */
Test(write_formats, names_and_texts_that_a_workbook_cannot_bear_are_made_bearable)
{
    static const char *const names[] = {"", "a/b*c?[d]:e\\f'", "a name of more than thirty-one letters"};
    char *text = arena_alloc(context->arena, 40001);

    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        cr_expect_gt(written(write_xlsx, one_sheet(names[i], "\x01\r\n_x0041_")).size, 1000);
    cr_expect_eq(context->diags.count, 0);
    memset(text, 'w', 40000);
    cr_expect_gt(written(write_xlsx, one_sheet("long", text)).size, 1000);
    struct str_buf out = {.arena = context->arena};
    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, 100, &out);
    cr_expect_str_eq(out.bytes,
                     "warning: a text of 40000 letters is cut to 32767 in parts.xlsx: "
                     "'wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww...' [G0907]\n", "%s", out.bytes);
}
