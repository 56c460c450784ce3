/* The user's own tables: the same checks as at build time, rows in front, factors, and no harm from
 * whatever a file holds. Exact messages and places are goldens (tests/golden/table). */
#include <criterion/criterion.h>
#include <gudgeon/file.h>
#include <gudgeon/table.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

static struct context *context;
static struct table_set *set;

static void start(void)
{
    struct context_options options = {0};
    context = context_new(&options);
    set = table_set_copy(context->arena, table_set_default());
}

static void stop(void)
{
    context_free(context);
}

TestSuite(table_user, .init = start, .fini = stop);

static bool add(const char *name, const char *text, size_t size)
{
    char *kept = str_slice(context->arena, text, size);
    return table_add_user(context, set,
                          source_add(context->arena, &context->sources, name, kept, size));
}

static bool add_text(const char *name, const char *text)
{
    return add(name, text, strlen(text));
}

static const char torques[] = "# table: torque\n"
                              "# title: General torques of the works\n"
                              "# source: Works sheet 4\n"
                              "# level: maker\n"
                              "# conditions: lubricant: oiled, plating: plain, fastener: new\n"
                              "# factors: lubricant: oiled to dry 1.2\n"
                              "# factors: fastener: new to reused 0.9\n"
                              "# reused: minimum\n"
                              "# joint: rigid\n"
                              "thread,grade,low:lbf ft,high:lbf ft,unit\n"
                              "3/8 BSF,45 ton,20,24,lbf ft\n"
                              "1/4-28 UNF,,6,7,lbf ft\n";

Test(table_user, rows_stand_in_front_in_the_words_of_the_tables)
{
    cr_assert(add_text("works.csv", torques));
    struct table_thread_found thread = table_thread_find(context->arena, set, "3/8 BSF");
    struct table_torques rows = table_torque_find(context->arena, set, thread.thread, "R", NULL);
    cr_assert_eq(rows.count, 1);
    const struct table_torque *row = rows.items[0];
    cr_assert_str_eq(row->thread, "3/8-20 BSF", "the canonical name, whatever was written");
    cr_assert_str_eq(row->grade, "R");
    cr_assert_str_eq(row->lubricant, "engine-oil");
    cr_assert_str_eq(row->plating, "none");
    cr_assert_str_eq(row->row.table->id, "works");
    cr_assert_str_eq(row->row.source, "Works sheet 4");
    cr_assert(row->row.table->reused_minimum && row->row.table->rigid &&
              !row->row.table->factors_combine);
    cr_assert(fabs(row->low_n_m - 27.116) < 0.001); /* 20 lbf ft */
    cr_assert_eq(row->row.span.file, 1);

    /* The maker's level stands before the standard's. */
    thread = table_thread_find(context->arena, set, "1/4-28 UNF");
    rows = table_torque_find(context->arena, set, thread.thread, NULL, NULL);
    cr_assert_eq(rows.items[0]->row.table->level, TABLE_MAKER);
    cr_assert_eq(rows.items[1]->row.table->level, TABLE_STANDARD);
}

Test(table_user, a_factor_belongs_to_its_table_and_carries_one_condition)
{
    cr_assert(add_text("works.csv", torques));
    struct table_thread_found thread = table_thread_find(context->arena, set, "3/8 BSF");
    const struct table_torque *row =
        table_torque_find(context->arena, set, thread.thread, "R", NULL).items[0];
    const struct table_factor *dry =
        table_factor_find(set, row->row.table, "lubricant", "engine-oil", "dry");
    cr_assert(dry != NULL && dry->factor == 1.2);
    cr_assert_null(table_factor_find(set, row->row.table, "lubricant", "dry", "engine-oil"),
                   "a factor is not turned round");
    cr_assert_null(table_factor_find(set, row->row.table, "plating", "none", "zinc"));
    struct table_condition condition = {"dry", "none", "reused"};
    cr_assert_eq(table_torque_holds(row, condition, NULL), TABLE_DIFFERS_MORE);
}

Test(table_user, an_own_thread_and_sheet_are_found_like_any_other)
{
    cr_assert(add_text("threads.csv", "# table: thread\n# source: Works drawing 7\n"
                                      "name,system,size,form,major:in,tpi,effective:in,minor:in\n"
                                      "3/8-24 BSF,BSF,3/8,whitworth,3/8,24,0.3483,0.3216\n"));
    struct table_thread_found found = table_thread_find(context->arena, set, "3/8-24 BSF");
    cr_assert_eq(found.status, TABLE_FOUND);
    cr_assert_eq(found.thread->pitch_pm, 1058333333, "25.4 mm / 24 to the nearest picometre");
    cr_assert_eq(found.thread->root_pm, found.thread->minor_pm);
    cr_assert_eq(table_thread_find(context->arena, set, "3/8 BSF").status, TABLE_AMBIGUOUS,
                 "now there are two");

    cr_assert(add_text("sheets.csv",
                       "# table: sheet\n# source: measured\n"
                       "name,material,free-low,free-high,crushed-low,crushed-high\n"
                       "gasket-paper-04,paper,0.016 in,0.017 in,0.013 in,0.014 in\n"));
    cr_assert_eq(table_sheet_find(set, "gasket-paper-04", NULL)->free_low_pm, 406400000,
                 "the user's row hides the built-in one");
    cr_assert_eq(table_sheet_find(table_set_default(), "gasket-paper-04", NULL)->free_low_pm,
                 400000000);
}

/* What the language page shows is read as it stands. */
Test(table_user, a_row_says_what_rests_on_one_source)
{
    cr_assert(add_text("sheets.csv", "# table: sheet\n# source: Works sheet 5\n"
                                     "# single: crushed-low crushed-high\n"
                                     "name,material,free-low,free-high,crushed-low,crushed-high,single\n"
                                     "works-1,paper,1 mm,1 mm,0.8 mm,0.9 mm\n"
                                     "works-2,paper,2 mm,2 mm,1.6 mm,1.8 mm,free-low\n"
                                     "works-3,paper,3 mm,3 mm,2.4 mm,2.7 mm,-\n"));
    static const struct {
        const char *name, *printed; /* NULL: nothing */
    } rows[] = {{"works-1", "one source for  crushed-low, crushed-high\n"},
                {"works-2", "one source for  free-low\n"},
                {"works-3", NULL}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct str_buf out = {.arena = context->arena};
        char sheet[] = "sheet", name[16], *words[] = {sheet, name};
        snprintf(name, sizeof name, "%s", rows[i].name);
        cr_assert(table_query(context, set, words, 2, &out));
        const char *found = strstr(out.bytes, "one source");
        cr_expect(rows[i].printed == NULL ? found == NULL
                                          : found != NULL && strstr(found, rows[i].printed),
                  "%s: %s", rows[i].name, out.bytes);
    }
    cr_assert_not(add_text("wrong.csv", "# table: sheet\n# source: Works sheet 5\n# single: colour\n"
                                        "name,material,free-low,free-high,crushed-low,crushed-high\n"
                                        "works-4,paper,1 mm,1 mm,0.8 mm,0.9 mm\n"),
                  "a column that the table does not have");
}

Test(table_user, the_example_of_the_language_page_is_a_good_table)
{
    static const char fence[] = "```csv\n";
    struct file_bytes page = file_read(context->arena, "specs/LANGUAGE.md", 1 << 24);
    cr_assert_eq(page.status, FILE_OK);
    const char *begin = strstr(page.bytes, fence);
    cr_assert_not_null(begin);
    begin += strlen(fence);
    const char *end = strstr(begin, "```");
    cr_assert(add("page.csv", begin, (size_t)(end - begin)));
    struct table_thread_found thread = table_thread_find(context->arena, set, "1/4 BSF");
    struct table_torques rows = table_torque_find(context->arena, set, thread.thread, "R", NULL);
    cr_assert_eq(rows.count, 1);
    cr_assert_not_null(
        table_factor_find(set, rows.items[0]->row.table, "fastener", "new", "reused"));
}

Test(table_user, a_table_at_fault_adds_nothing)
{
    size_t before = 0, after = 0;
    while (table_row_at(set, "torque", before) != NULL)
        before++;
    cr_assert_not(add_text("bad.csv", "# table: torque\n# source: s\nthread,low:lbf ft\n"
                                      "M8,15\nM8x1.25,16\n"));
    cr_assert_not(add_text("factor.csv",
                           "# table: torque\n# source: s\n# factors: lubricant: dry to "
                           "treacle 2\nthread,low:lbf ft\nM8,15\n"));
    while (table_row_at(set, "torque", after) != NULL)
        after++;
    cr_assert_eq(before, after);
    cr_assert_eq(context->diags.errors, 2);
}

/* Bytes changed, cut and doubled at every place: a message or a table, never harm (the sanitizers
 * watch). */
Test(table_user, no_file_does_harm)
{
    static const char junk[] = "\",\n#:|/x-.0 \xc3\xa9\x01\xff";
    char text[sizeof torques + 8];
    for (size_t at = 0; at + 1 < sizeof torques; at += 3) {
        size_t size = sizeof torques - 1;
        struct context_options options = {0};
        context_free(context);
        context = context_new(&options);
        set = table_set_copy(context->arena, table_set_default());
        memcpy(text, torques, size);
        text[at] = junk[at % (sizeof junk - 1)];
        bool ok = add("changed.csv", text, size);
        cr_assert(ok || context->diags.errors > 0, "byte %zu: refused without a word", at);
        ok = add("cut.csv", torques, at);
        cr_assert(ok || context->diags.errors > 0, "cut at %zu: refused without a word", at);
    }
}
