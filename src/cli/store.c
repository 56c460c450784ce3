/* store.c - specs of a git revision, read from its tree or from the index: nothing is checked out. */
#include "store.h"

#include <string.h>
#include <unistd.h>

enum { MOST_LINKS = 8 };

/* ---------- reading ---------- */

bool store_entry(const struct cli_store *store, const char *path, git_oid *id, bool *link)
{
    const struct git *git = &store->git;
    git_tree_entry *entry;

    if (!store->tree) {
        const git_index_entry *staged = git->index_entry(store->index, path, 0);
        if (!staged)
            return false;
        *id = staged->id;
        *link = staged->mode == GIT_FILEMODE_LINK;
        return true;
    }
    if (git->entry_at(&entry, store->tree, path) != 0)
        return false;
    git_filemode_t mode = git->entry_mode(entry);
    *id = *git->entry_id(entry);
    *link = mode == GIT_FILEMODE_LINK;
    git->entry_free(entry);
    return mode != GIT_FILEMODE_TREE && mode != GIT_FILEMODE_COMMIT;
}

static struct file_bytes read_blob(const struct cli_store *store, struct arena *arena,
                                   const git_oid *id, size_t most)
{
    const struct git *git = &store->git;
    struct file_bytes bytes = {.status = FILE_TOO_LARGE};
    git_blob *blob;

    if (git->blob(&blob, store->repository, id) != 0)
        return (struct file_bytes){.status = FILE_FAILED, .why = "its object is not in the repository"};
    bytes.size = (size_t)git->blob_size(blob);
    if (bytes.size <= most) {
        bytes.status = FILE_OK;
        bytes.bytes = str_slice(arena, git->blob_bytes(blob), bytes.size);
    }
    git->blob_free(blob);
    return bytes;
}

/* A symbolic link is a blob that holds where it leads. */
static struct file_bytes read_stored(const struct file_store *files, struct arena *arena,
                                     const char *path, size_t most)
{
    const struct cli_store *store = files->user;

    for (int links = 0; links <= MOST_LINKS; links++) {
        git_oid id;
        bool link;
        if (!store_entry(store, path, &id, &link))
            break;
        struct file_bytes bytes = read_blob(store, arena, &id, most);
        if (!link || bytes.status != FILE_OK)
            return bytes;
        const char *to = file_store_real(
            arena, files,
            str_print(arena, "%s%s", files->mark, file_beside(arena, path, bytes.bytes)));
        if (!to)
            break;
        path = to + strlen(files->mark);
    }
    return (struct file_bytes){.status = FILE_MISSING};
}

/* ---------- opening ---------- */

bool store_open_index(struct cli_store *store)
{
    return store->git.index(&store->index, store->repository) == 0;
}

bool store_open_commit(struct cli_store *store, git_object *object)
{
    git_object *commit;

    if (store->git.peel(&commit, object, GIT_OBJECT_COMMIT) != 0)
        return false;
    store->git.id_text(store->revision, sizeof store->revision,
                       store->git.commit_id((git_commit *)commit));
    store->date = store->git.commit_time((git_commit *)commit);
    bool good = store->git.commit_tree(&store->tree, (git_commit *)commit) == 0;
    store->git.object_free(commit);
    return good;
}

static bool open_revision(struct cli_store *store, const char *revision)
{
    git_object *object;

    if (*revision == '\0')
        return store_open_index(store);
    if (store->git.parse(&object, store->repository, revision) != 0)
        return false;
    bool good = store_open_commit(store, object) ||
                store->git.peel((git_object **)&store->tree, object, GIT_OBJECT_TREE) == 0;
    store->git.object_free(object);
    return good;
}

/* git's own rule: a path is seen from the top of the repository, but from here where it begins with a
 * dot. */
static const char *path_from_top(const struct cli_store *store, struct arena *arena,
                                 const char *path)
{
    const char *top = store->git.workdir(store->repository);
    const char *here = file_real(arena, ".");

    if (strncmp(path, "./", 2) != 0 && strncmp(path, "../", 3) != 0)
        return path;
    if (!top || !here || !str_starts(str_print(arena, "%s/", here), top))
        return path;
    size_t skip = strlen(top);
    return strlen(here) > skip ? str_print(arena, "%s/%s", here + skip, path) : path;
}

/* Splits REV:PATH; NULL where the word is none, or a file of that name stands on the disk. */
static const char *split(struct arena *arena, const char *word, const char **revision)
{
    const char *colon = strchr(word, ':');

    if (!colon || file_real(arena, word))
        return NULL;
    *revision = str_slice(arena, word, (size_t)(colon - word));
    return colon + 1;
}

static void close_handles(struct cli_store *store)
{
    if (store->tree)
        store->git.tree_free(store->tree);
    if (store->index)
        store->git.index_free(store->index);
    store->tree = NULL;
    store->index = NULL;
}

static void close_store(void *handle)
{
    struct cli_store *store = handle;

    close_handles(store);
    if (store->repository)
        store->git.close(store->repository);
    git_unload(&store->git);
}

void store_close(struct context *context, struct cli_store *store)
{
    context->store = NULL;
    context_closed(context, store);
    close_store(store);
}

bool store_open(struct context *context, struct cli_store *store, const char *word)
{
    if (!git_load(&store->git)) {
        fputs("gudgeon: libgit2 is not here, and a revision is read by it\n", stderr);
        return false;
    }
    context_opened(context, close_store, store);
    store->repository = git_open_here(&store->git);
    if (store->repository)
        return true;
    fprintf(stderr, "gudgeon: %s: no git repository holds this folder\n", word);
    store_close(context, store);
    return false;
}

void store_serve(struct context *context, struct cli_store *store, const char *mark)
{
    store->files = (struct file_store){.mark = str_print(context->arena, "%s:", mark),
                                       .read = read_stored, .user = store};
    context->store = &store->files;
}

/* ---------- a side of the command line ---------- */

bool cli_side_open(struct context *context, struct cli_side *side)
{
    const char *revision, *path = split(context->arena, side->word, &revision);

    side->path = side->word;
    context->store = NULL;
    if (!path)
        return true;
    struct cli_store *store = ARENA_NEW(context->arena, struct cli_store);
    if (!store_open(context, store, side->word))
        return false;
    if (!open_revision(store, revision)) {
        fprintf(stderr, "gudgeon: %s: the repository has no revision '%s'\n", side->word, revision);
        store_close(context, store);
        return false;
    }
    store_serve(context, store, revision);
    side->store = store;
    side->path = str_print(context->arena, "%s:%s", revision,
                           path_from_top(store, context->arena, path));
    return true;
}

const char *cli_side_revision(struct arena *arena, const struct cli_side *side,
                              const struct tree *tree, int64_t *date)
{
    const char *revision = NULL;

    *date = 0;
    if (!side->store)
        return cli_revision(arena, tree->path, tree->files.items, tree->files.count, &revision, date)
                   ? revision
                   : NULL;
    *date = side->store->date;
    return *side->store->revision ? side->store->revision : NULL;
}

void cli_side_close(struct context *context, struct cli_side *side)
{
    if (side->store)
        store_close(context, side->store);
    context->store = NULL;
    side->store = NULL;
}
