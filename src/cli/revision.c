/* revision.c - what git says of the spec. libgit2 is opened on need, never by check: loading it costs
 * more than compiling a small spec, and a machine without it simply prints no revision. */
#include "cli.h"

#include <dlfcn.h>
#include <git2.h>
#include <string.h>

/* What is asked of the library; each pointer is filled by name. */
struct git {
    void *library;
    int (*init)(void);
    int (*shutdown)(void);
    int (*open)(git_repository **, const char *, unsigned, const char *);
    void (*close)(git_repository *);
    const char *(*workdir)(const git_repository *);
    int (*head)(git_oid *, git_repository *, const char *);
    int (*commit)(git_commit **, git_repository *, const git_oid *);
    git_time_t (*commit_time)(const git_commit *);
    void (*commit_free)(git_commit *);
    int (*status)(unsigned *, git_repository *, const char *);
    char *(*id_text)(char *, size_t, const git_oid *);
};

#define SONAME_OF(version) "libgit2.so." version

static bool git_load(struct git *git)
{
    static const char *const names[] = {
        "git_libgit2_init", "git_libgit2_shutdown", "git_repository_open_ext",
        "git_repository_free", "git_repository_workdir", "git_reference_name_to_id",
        "git_commit_lookup", "git_commit_time", "git_commit_free", "git_status_file",
        "git_oid_tostr"};
    void **slots[] = {(void **)&git->init,   (void **)&git->shutdown, (void **)&git->open,
                      (void **)&git->close,  (void **)&git->workdir,  (void **)&git->head,
                      (void **)&git->commit, (void **)&git->commit_time,
                      (void **)&git->commit_free, (void **)&git->status, (void **)&git->id_text};

    git->library = dlopen(SONAME_OF(LIBGIT2_SOVERSION), RTLD_NOW | RTLD_LOCAL);
    if (!git->library)
        return false;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        *slots[i] = dlsym(git->library, names[i]);
        if (!*slots[i]) {
            dlclose(git->library);
            return false;
        }
    }
    return true;
}

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
    git_repository *repository;
    bool found = false;

    if (!git_load(&git))
        return false;
    if (git.init() > 0) {
        if (git.open(&repository, path, 0, NULL) == 0) {
            found = ask(&git, repository, arena, files, count, revision, date);
            git.close(repository);
        }
        git.shutdown();
    }
    dlclose(git.library);
    return found;
}
