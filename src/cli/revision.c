/* revision.c - what git says of the spec; never asked by check. */
#include "cli.h"
#include "git.h"

#include <string.h>

static bool edited(const struct git *git, git_repository *repository, const char *const *files,
                   size_t count)
{
    const char *top = git->workdir(repository);

    for (size_t i = 0; top && i < count; i++) {
        unsigned flags = 0;
        if (str_starts(files[i], top) &&
            git->status(&flags, repository, files[i] + strlen(top)) == 0 &&
            flags != GIT_STATUS_CURRENT)
            return true;
    }
    return false;
}

static bool ask(const struct git *git, git_repository *repository, struct arena *arena,
                const char *const *files, size_t count, const char **revision, int64_t *date)
{
    git_oid id;
    git_commit *commit;
    char text[8];

    if (git->head(&id, repository, "HEAD") != 0 ||
        git->commit(&commit, repository, &id) != 0)
        return false;
    *date = git->commit_time(commit);
    git->commit_free(commit);
    git->id_text(text, sizeof text, &id);
    *revision = edited(git, repository, files, count)
                    ? str_print(arena, "%s, edited since", text)
                    : str_copy(arena, text);
    return true;
}

bool cli_revision(struct arena *arena, const char *path, const char *const *files, size_t count,
                  const char **revision, int64_t *date)
{
    struct git git;
    bool found = false;

    if (!git_load(&git))
        return false;
    git_repository *repository = git_open(&git, path);
    if (repository) {
        found = ask(&git, repository, arena, files, count, revision, date);
        git.close(repository);
    }
    git_unload(&git);
    return found;
}
