/* golden.c - runs the cases of a folder. */
#include "golden.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <gudgeon/file.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

char **golden_cases(struct arena *arena, const char *folder, size_t *count)
{
    struct {
        char **items;
        size_t count, room;
    } names = {0};
    DIR *directory = opendir(folder);
    const struct dirent *entry;

    while (directory != NULL && (entry = readdir(directory)) != NULL)
        if (str_ends(entry->d_name, ".yaml"))
            *ARRAY_PUSH(arena, &names) = str_print(arena, "%s/%s", folder, entry->d_name);
    if (directory != NULL)
        closedir(directory);
    if (names.count != 0)
        qsort(names.items, names.count, sizeof *names.items, by_name);
    *count = names.count;
    return names.items;
}

static bool updating(void)
{
    const char *update = getenv("UPDATE_GOLDEN");

    return update != NULL && strcmp(update, "1") == 0;
}

/* True if the case is as expected, or has just been made so. */
static bool run_case(struct arena *arena, const char *path, golden_work *work)
{
    const char *expect =
        str_print(arena, "%.*s.expect", (int)(strlen(path) - strlen(".yaml")), path);
    const char *got = work(arena, path);
    struct file_bytes wanted = file_read(arena, expect, 1 << 24);

    if (wanted.status == FILE_OK && str_equal(wanted.bytes, got))
        return true;
    if (updating()) {
        const char *why = file_write(arena, expect, got, strlen(got));
        if (why == NULL)
            return true;
        fprintf(stderr, "%s: %s\n", expect, why);
        return false;
    }
    fprintf(stderr, "%s: expected %s, found:\n%s", path,
            wanted.status == FILE_OK ? wanted.bytes : "a file that is not there", got);
    return false;
}

struct golden_result golden_run(const char *folder, golden_work *work)
{
    struct golden_result result = {0};
    struct arena *arena = arena_new(0, NULL, NULL);
    char **cases = golden_cases(arena, folder, &result.cases);

    for (size_t i = 0; i < result.cases; i++)
        result.failed += !run_case(arena, cases[i], work);
    arena_free(arena);
    if (result.cases == 0) {
        fprintf(stderr, "%s: no cases\n", folder);
        result.failed = 1;
    }
    return result;
}

bool golden_fix_helps(struct arena *arena, const struct diag *diag, const struct source *source,
                      size_t errors, void (*read)(struct context *context, void *edit))
{
    struct str_buf text = {.arena = arena};

    str_add_bytes(&text, source->bytes, diag->fix.begin);
    str_add(&text, diag->fix_text);
    str_add_bytes(&text, source->bytes + diag->fix.end, source->size - diag->fix.end);
    struct golden_edit edit = {source->path, text.bytes, text.length};
    struct context *context = context_new(NULL);
    cr_assert(context_run(context, read, &edit));
    bool helps = context->diags.errors < errors + (diag->severity != DIAG_SEVERITY_ERROR);
    for (size_t i = 0; i < context->diags.count; i++)
        helps = helps && !(context->diags.items[i]->code == diag->code &&
                           str_equal(context->diags.items[i]->message, diag->message));
    context_free(context);
    return helps;
}
