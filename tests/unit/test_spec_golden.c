/* tests/golden/spec: what is said of each fault, to the letter; and hints that are edits work. */
#include <criterion/criterion.h>
#include <gudgeon/file.h>
#include <gudgeon/spec.h>
#include <string.h>

#include "golden.h"

static const char folder[] = TESTS_FOLDER "/golden/spec";

struct job {
    const char *path, *bytes; /* bytes: in place of what stands there, or NULL */
    size_t size;
    struct spec *spec;
};

static void read_it(struct context *context, void *user)
{
    struct job *job = user;
    struct tree *tree = job->bytes ? tree_load_bytes(context, job->path, job->bytes, job->size)
                                   : tree_load(context, job->path);

    job->spec = spec_read(context, tree);
    if (job->spec)
        spec_report_unused_accepts(context, job->spec);
}

/* A case that lays one fault over the twin shows that one fault gives one error. */
static bool has_one_fault(struct context *context, const char *path)
{
    return strstr(file_read(context->arena, path, 1 << 20).bytes, "base: base/twin.yaml") != NULL;
}

static const char *diagnostics_of(struct arena *arena, const char *path)
{
    struct context *context = context_new(NULL);
    struct job job = {.path = path};
    struct str_buf out = {.arena = context->arena};

    cr_assert(context_run(context, read_it, &job));
    cr_expect_eq(job.spec == NULL, context->diags.errors != 0,
                 "%s: a spec, or an error, and never both", path);
    cr_expect(context->diags.errors == 1 || !has_one_fault(context, path), "%s: %zu errors", path,
              context->diags.errors);
    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, BOUND_DIAGNOSTICS, &out);
    char *text = str_copy(arena, out.bytes);
    context_free(context);
    return text;
}

Test(spec_golden, each_fault_is_told_once_and_as_expected)
{
    struct golden_result result = golden_run(folder, diagnostics_of);

    cr_expect_eq(result.failed, 0, "%zu of %zu cases differ", result.failed, result.cases);
    cr_expect(result.cases >= 130, "only %zu cases", result.cases);
}

static void read_edited(struct context *context, void *user)
{
    const struct golden_edit *edit = user;

    read_it(context, &(struct job){.path = edit->path, .bytes = edit->bytes, .size = edit->size});
}

Test(spec_golden, a_hint_that_is_an_edit_mends_its_fault)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    size_t count, fixes = 0, hints = 0, all = 0;
    char **cases = golden_cases(arena, folder, &count);

    for (size_t i = 0; i < count; i++) {
        struct context *context = context_new(NULL);
        struct job job = {.path = cases[i]};
        cr_assert(context_run(context, read_it, &job));
        for (size_t d = 0; d < context->diags.count; d++) {
            const struct diag *diag = context->diags.items[d];
            const struct source *source = source_of(&context->sources, diag->fix);
            all++;
            hints += diag->hint != NULL;
            if (diag->fix_text == NULL || !str_equal(source->path, cases[i]))
                continue;
            fixes++;
            cr_expect(golden_fix_helps(arena, diag, source, context->diags.errors, read_edited),
                      "%s: `%s` does not help", cases[i], diag->fix_text);
        }
        context_free(context);
    }
    cr_expect(fixes >= 38, "%zu fixes", fixes);
    cr_expect(hints * 10 >= all * 8, "%zu hints for %zu diagnostics", hints, all);
    arena_free(arena);
}

/* A code of no spec has its test elsewhere, which tests/tidy/codes.py looks for. */
Test(spec_golden, each_code_of_quantities_and_specs_has_a_case)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    struct str_buf said = {.arena = arena};
    size_t count;
    char **cases = golden_cases(arena, folder, &count);
    struct file_bytes elsewhere = file_read(arena, "tests/tidy/codes_elsewhere.txt", 1 << 20);

    cr_assert(elsewhere.status == FILE_OK);
    str_add(&said, "");
    for (size_t i = 0; i < count; i++)
        str_add(&said, diagnostics_of(arena, cases[i]));
    for (size_t i = 0; i < DIAG_CODE_COUNT; i++) {
        const char *printed = diag_infos[i].printed;
        if (str_starts(printed, "G03") || str_starts(printed, "G04"))
            cr_expect(strstr(said.bytes, str_print(arena, "[%s]", printed)) != NULL ||
                          strstr(elsewhere.bytes, str_print(arena, "%s tests/", printed)) != NULL,
                      "%s has no case", printed);
    }
    arena_free(arena);
}
