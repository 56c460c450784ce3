/* git.c - libgit2 by name. */
#include "git.h"

#include <dlfcn.h>
#include <string.h>

#define SONAME_OF(version) "libgit2.so." version

/* dlsym gives an object's pointer; POSIX lets it be read as that of a function. */
static bool find(void *library, const char *name, void *slot)
{
    void *symbol = dlsym(library, name);

    memcpy(slot, &symbol, sizeof symbol);
    return symbol != NULL;
}

bool git_load(struct git *git)
{
    bool good = true;

    git->library = dlopen(SONAME_OF(LIBGIT2_SOVERSION), RTLD_NOW | RTLD_LOCAL);
    if (!git->library)
        return false;
#define GIT_CALL(member, symbol, result, arguments)                                                \
    good = find(git->library, #symbol, &git->member) && good;
    GIT_CALLS
#undef GIT_CALL
    if (good && git->init() > 0)
        return true;
    dlclose(git->library);
    return false;
}

void git_unload(struct git *git)
{
    git->shutdown();
    dlclose(git->library);
}

git_repository *git_open(const struct git *git, const char *path)
{
    git_repository *repository;

    return git->open(&repository, path, 0, NULL) == 0 ? repository : NULL;
}

git_repository *git_open_here(const struct git *git)
{
    git_repository *repository;

    return git->open(&repository, NULL, GIT_REPOSITORY_OPEN_FROM_ENV, NULL) == 0 ? repository : NULL;
}
