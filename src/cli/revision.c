/* revision.c - what git says of the files of a spec: the last commit that touched one of them, and whether
 * they were edited since; never asked by check. */
#include "cli.h"
#include "git.h"

#include <string.h>

enum { MOST_COMMITS = 100000 }; /* looked at; then the newest of all is named */

struct asked {
    const struct git *git;
    git_repository *repository;
    const char **paths;      /* of the files, seen from the top of the repository */
    size_t path_count;
};

static void keep_inside(struct arena *arena, struct asked *asked, const char *const *files,
                        size_t count)
{
    const char *top = asked->git->workdir(asked->repository);

    asked->paths = ARENA_ARRAY(arena, const char *, count + 1);
    for (size_t i = 0; top && i < count; i++)
        if (str_starts(files[i], top))
            asked->paths[asked->path_count++] = files[i] + strlen(top);
}

static bool edited(const struct asked *asked)
{
    for (size_t i = 0; i < asked->path_count; i++) {
        unsigned flags = 0;
        if (asked->git->status(&flags, asked->repository, asked->paths[i]) == 0 &&
            flags != GIT_STATUS_CURRENT)
            return true;
    }
    return false;
}

static bool id_in(const struct asked *asked, const git_tree *tree, const char *path, git_oid *id)
{
    git_tree_entry *entry;

    if (asked->git->entry_at(&entry, tree, path) != 0)
        return false;
    *id = *asked->git->entry_id(entry);
    asked->git->entry_free(entry);
    return true;
}

static bool same_files(const struct asked *asked, const git_tree *a, const git_tree *b)
{
    for (size_t i = 0; i < asked->path_count; i++) {
        git_oid in_a, in_b;
        bool has_a = id_in(asked, a, asked->paths[i], &in_a);
        bool has_b = id_in(asked, b, asked->paths[i], &in_b);
        if (has_a != has_b || (has_a && !asked->git->id_equal(&in_a, &in_b)))
            return false;
    }
    return true;
}

static bool has_any(const struct asked *asked, git_commit *commit)
{
    git_tree *tree;
    git_oid id;
    bool any = false;

    if (asked->git->commit_tree(&tree, commit) != 0)
        return false;
    for (size_t i = 0; i < asked->path_count && !any; i++)
        any = id_in(asked, tree, asked->paths[i], &id);
    asked->git->tree_free(tree);
    return any;
}

/* A parent in which every file is as it is here, or NULL. */
static git_commit *unchanged_parent(const struct asked *asked, git_commit *commit)
{
    const struct git *git = asked->git;
    git_commit *found = NULL;
    git_tree *tree;

    if (git->commit_tree(&tree, commit) != 0)
        return NULL;
    for (unsigned i = 0; !found && i < git->parent_count(commit); i++) {
        git_commit *parent;
        git_tree *before;
        if (git->commit_parent(&parent, commit, i) != 0)
            continue;
        bool same = false;
        if (git->commit_tree(&before, parent) == 0) {
            same = same_files(asked, tree, before);
            git->tree_free(before);
        }
        if (same)
            found = parent;
        else
            git->commit_free(parent);
    }
    git->tree_free(tree);
    return found;
}

/* The commit that last touched one of the files, as `git log` finds it: down to a parent while there is one
 * that has them all the same. */
static git_commit *last_touched(const struct asked *asked, git_commit *head)
{
    git_commit *commit = head, *parent;

    for (size_t n = 0; n < MOST_COMMITS && (parent = unchanged_parent(asked, commit)); n++) {
        asked->git->commit_free(commit);
        commit = parent;
    }
    return commit;
}

static bool ask(const struct asked *asked, struct arena *arena, const char **revision, int64_t *date)
{
    const struct git *git = asked->git;
    git_oid id;
    git_commit *commit;
    char text[8];

    if (git->head(&id, asked->repository, "HEAD") != 0 ||
        git->commit(&commit, asked->repository, &id) != 0)
        return false;
    bool known = has_any(asked, commit);
    if (known) {
        commit = last_touched(asked, commit);
        *date = git->commit_time(commit);
        git->id_text(text, sizeof text, git->commit_id(commit));
        *revision = edited(asked) ? str_print(arena, "%s, edited since", text)
                                  : str_copy(arena, text);
    }
    git->commit_free(commit);
    return known;
}

bool cli_revision(struct arena *arena, const char *path, const char *const *files, size_t count,
                  const char **revision, int64_t *date)
{
    struct git git;
    bool found = false;

    if (!git_load(&git))
        return false;
    struct asked asked = {.git = &git, .repository = git_open(&git, path)};
    if (asked.repository) {
        keep_inside(arena, &asked, files, count);
        found = ask(&asked, arena, revision, date);
        git.close(asked.repository);
    }
    git_unload(&git);
    return found;
}
