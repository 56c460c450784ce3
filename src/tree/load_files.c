/* load_files.c - which files a spec may read, and reading them. */
#include "load_private.h"

#include <gudgeon/file.h>

static void report_status(struct loader *loader, const struct file_bytes *bytes, const char *path,
                          struct span at)
{
    struct context *context = loader->context;
    struct diags *diags = &context->diags;
    struct diag *diag;

    /* A file that the command line names is the outside's fault, but for its size. */
    context->outside_failed |= at.file == 0 && bytes->status != FILE_TOO_LARGE;
    switch (bytes->status) {
    case FILE_OK:
        return;
    case FILE_MISSING:
        diag = diag_add(diags, DIAG_FILE_MISSING, at, "there is no file `%s`", path);
        if (at.file != 0)
            diag_hint(diags, diag, "a name is seen from the folder of the file that it stands in");
        return;
    case FILE_IS_DIRECTORY:
        diag = diag_add(diags, DIAG_FILE_IS_DIRECTORY, at, "`%s` is a folder, not a file", path);
        diag_hint(diags, diag, "name a file in it");
        return;
    case FILE_UNREADABLE:
        diag_add(diags, DIAG_FILE_UNREADABLE, at, "`%s` may not be read (%s)", path, bytes->why);
        return;
    case FILE_TOO_LARGE:
        diag_add(diags, DIAG_FILE_TOO_LARGE, at, "`%s` is larger than %d bytes, the bound", path,
                 BOUND_FILE_BYTES);
        return;
    case FILE_FAILED:
        diag_add(diags, DIAG_FILE_FAILED, at, "`%s` cannot be read (%s)", path, bytes->why);
        return;
    }
}

/* The disk, or what stands in its place. */
static struct file_bytes read_named(const struct loader *loader, const char *path, size_t most)
{
    const struct file_store *store = loader->context->store;

    return store != NULL ? file_store_read(loader->context->arena, store, path, most)
                         : file_read(loader->context->arena, path, most);
}

static const char *real_named(const struct loader *loader, const char *path)
{
    const struct file_store *store = loader->context->store;

    return store != NULL ? file_store_real(loader->context->arena, store, path)
                         : file_real(loader->context->arena, path);
}

const char *loaded_beside(const struct loader *loader, const char *path, const char *name)
{
    const struct file_store *store = loader->context->store;

    return store != NULL ? file_store_beside(loader->context->arena, store, path, name)
                         : file_beside(loader->context->arena, path, name);
}

struct loaded *loaded_add(struct loader *loader, const char *path, const char *real,
                          const char *bytes, size_t size)
{
    struct context *context = loader->context;
    struct loaded *file = ARENA_NEW(context->arena, struct loaded);

    file->path = path;
    file->real = real;
    file->source = source_add(context->arena, &context->sources, path, bytes, size);
    context->sources.items[file->source - 1]->stored = context->store != NULL;
    file->number = loader->files.count;
    *ARRAY_PUSH(context->arena, &loader->files) = file;
    *ARRAY_PUSH(context->arena, &loader->tree->files) = real;
    return file;
}

struct loaded *loaded_spec(struct loader *loader, const char *path)
{
    const char *real = str_equal(path, "-") ? path : real_named(loader, path);
    bool store = loader->context->store != NULL;
    struct file_bytes bytes = {.status = FILE_MISSING};

    if (!store || real != NULL)
        bytes = read_named(loader, store ? real : path, BOUND_FILE_BYTES);
    if (bytes.status != FILE_OK) {
        report_status(loader, &bytes, path, (struct span){0});
        return NULL;
    }
    return loaded_add(loader, path, real != NULL ? real : path, bytes.bytes, bytes.size);
}

static bool is_allowed(const struct loader *loader, const char *real)
{
    if (file_inside(loader->tree->root_folder, real))
        return true;
    for (size_t i = 0; i < loader->allowed_count; i++)
        if (file_inside(loader->allowed[i], real))
            return true;
    return false;
}

struct loaded *loaded_find(struct loader *loader, const char *path, struct span at)
{
    struct context *context = loader->context;
    const char *real = real_named(loader, path);

    if (real == NULL && context->store == NULL) { /* why not, the reading itself tells best */
        struct file_bytes bytes = file_read(context->arena, path, 0);
        if (bytes.status == FILE_OK || bytes.status == FILE_TOO_LARGE)
            bytes.status = FILE_MISSING; /* it came into being just now */
        report_status(loader, &bytes, path, at);
        return NULL;
    }
    if (real == NULL || (context->store == NULL && !is_allowed(loader, real))) {
        struct diag *diag = diag_add(&context->diags, DIAG_FILE_OUTSIDE_ROOT, at,
                                     "`%s` lies outside the root folder of this spec", path);
        diag_hint(&context->diags, diag, "move it there, or allow its folder with --allow");
        return NULL;
    }
    for (size_t i = 0; i < loader->files.count; i++)
        if (str_equal(loader->files.items[i]->real, real))
            return loader->files.items[i];
    if (loader->files.count >= BOUND_FILES) {
        diag_add(&context->diags, DIAG_FILE_COUNT, at, "more than %d files, the bound",
                 BOUND_FILES);
        return NULL;
    }
    struct file_bytes bytes = read_named(loader, real, BOUND_FILE_BYTES);
    if (bytes.status != FILE_OK) {
        report_status(loader, &bytes, path, at);
        return NULL;
    }
    return loaded_add(loader, path, real, bytes.bytes, bytes.size);
}

/* A folder of the command line; NULL after a report. */
static const char *folder_named(struct loader *loader, const char *path, const char *option)
{
    struct context *context = loader->context;
    const char *real = file_real(context->arena, path);

    if (real == NULL) {
        diag_add(&context->diags, DIAG_FILE_MISSING, (struct span){0},
                 "there is no folder `%s`, which %s names", path, option);
        context->outside_failed = true;
    }
    return real;
}

static const char *folder_of(struct arena *arena, const char *path)
{
    const char *base = file_base_name(path);

    return base - path > 1 ? str_slice(arena, path, (size_t)(base - path) - 1) : "/";
}

/* The nearest folder at or above `folder` that holds a .git entry, else the folder itself. */
static const char *root_above(struct arena *arena, const char *folder)
{
    for (const char *at = folder;; at = folder_of(arena, at)) {
        if (file_real(arena, str_print(arena, "%s/.git", at)) != NULL)
            return at;
        if (str_equal(at, "/"))
            return folder;
    }
}

bool loaded_bounds(struct loader *loader, const char *spec_real)
{
    struct context *context = loader->context;
    const struct context_options *options = &context->options;
    bool good = true;

    if (context->store != NULL) { /* nothing lies outside it */
        loader->tree->root_folder = context->store->mark;
        return true;
    }
    if (options->root != NULL) {
        loader->tree->root_folder = folder_named(loader, options->root, "--root");
        good = loader->tree->root_folder != NULL;
    } else {
        const char *folder = spec_real[0] == '/' ? folder_of(context->arena, spec_real)
                                                 : file_real(context->arena, ".");
        loader->tree->root_folder = root_above(context->arena, folder != NULL ? folder : "/");
    }
    loader->allowed = ARENA_ARRAY(context->arena, const char *, options->allow_count);
    for (size_t i = 0; i < options->allow_count; i++) {
        const char *real = folder_named(loader, options->allow[i], "--allow");
        good = good && real != NULL;
        if (real != NULL)
            loader->allowed[loader->allowed_count++] = real;
    }
    return good;
}
