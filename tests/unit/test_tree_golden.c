/* tests/golden/tree: what is said of each fault, to the letter; and hints that are edits work. */
#include <criterion/criterion.h>
#include <gudgeon/file.h>
#include <gudgeon/tree.h>
#include <string.h>

#include "golden.h"

static const char folder[] = TESTS_FOLDER "/golden/tree";

struct job {
    const char *path;
    struct tree *tree;
};

static void load(struct context *context, void *user)
{
    struct job *job = user;

    job->tree = tree_load(context, job->path);
}

static const char *diagnostics_of(struct arena *arena, const char *path)
{
    struct context *context = context_new(NULL);
    struct job job = {.path = path};
    struct str_buf out = {.arena = context->arena};

    cr_assert(context_run(context, load, &job));
    cr_expect_eq(job.tree == NULL, context->diags.errors != 0,
                 "%s: a tree, or an error, and never both", path);
    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, BOUND_DIAGNOSTICS, &out);
    char *text = str_copy(arena, out.bytes);
    context_free(context);
    return text;
}

Test(tree_golden, each_fault_is_told_as_expected)
{
    struct golden_result result = golden_run(folder, diagnostics_of);

    cr_expect_eq(result.failed, 0, "%zu of %zu cases differ", result.failed, result.cases);
    cr_expect(result.cases >= 95, "only %zu cases", result.cases);
}

static void load_edited(struct context *context, void *user)
{
    const struct golden_edit *edit = user;

    tree_load_bytes(context, edit->path, edit->bytes, edit->size);
}

Test(tree_golden, a_hint_that_is_an_edit_mends_its_fault)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    size_t count, fixes = 0, hints = 0, all = 0;
    char **cases = golden_cases(arena, folder, &count);

    for (size_t i = 0; i < count; i++) {
        struct context *context = context_new(NULL);
        struct job job = {.path = cases[i]};
        cr_assert(context_run(context, load, &job));
        for (size_t d = 0; d < context->diags.count; d++) {
            const struct diag *diag = context->diags.items[d];
            const struct source *source = source_of(&context->sources, diag->fix);
            all++;
            hints += diag->hint != NULL;
            if (diag->fix_text == NULL || !str_equal(source->path, cases[i]))
                continue; /* a fix in a used file is tried with the case of that file alone */
            fixes++;
            cr_expect(golden_fix_helps(arena, diag, source, context->diags.errors, load_edited),
                      "%s: `%s` does not help", cases[i], diag->fix_text);
        }
        context_free(context);
    }
    cr_expect(fixes >= 40, "%zu fixes", fixes);
    cr_expect(hints * 10 >= all * 8, "%zu hints for %zu diagnostics", hints, all);
    arena_free(arena);
}

/* Those that no small file can bring forth have their exact text in test_tree_load.c. */
static const char *const elsewhere[] = {"G0103", "G0104", "G0105", "G0107", "G0217"};

Test(tree_golden, each_code_of_these_stages_has_a_case)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    struct str_buf said = {.arena = arena};
    size_t count;
    char **cases = golden_cases(arena, folder, &count);

    str_add(&said, "");
    for (size_t i = 0; i < count; i++)
        str_add(&said, diagnostics_of(arena, cases[i]));
    for (size_t i = 0; i < DIAG_CODE_COUNT; i++) {
        const char *printed = diag_infos[i].printed;
        bool known = false;
        if (!str_starts(printed, "G01") && !str_starts(printed, "G02"))
            continue;
        for (size_t e = 0; e < sizeof elsewhere / sizeof *elsewhere; e++)
            known |= str_equal(elsewhere[e], printed);
        cr_expect(known || strstr(said.bytes, str_print(arena, "[%s]", printed)) != NULL,
                  "%s has no case", printed);
    }
    arena_free(arena);
}
