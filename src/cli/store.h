/* store.h - a git revision or the index as a store of files. */
#ifndef GUDGEON_CLI_STORE_H
#define GUDGEON_CLI_STORE_H

#include "cli.h"
#include "git.h"

#include <gudgeon/file.h>

struct cli_store {
    struct file_store files;
    struct git git;
    git_repository *repository;
    git_tree *tree;          /* what is read, or NULL: */
    git_index *index;
    char revision[8];
    int64_t date;
};

/* Opens the repository of the folder we are in; false after saying why not. Its tree or index comes next. */
bool store_open(struct context *context, struct cli_store *store, const char *word);
bool store_open_index(struct cli_store *store);
bool store_open_commit(struct cli_store *store, git_object *object);
/* The id of a file, from the top of the repository. */
bool store_entry(const struct cli_store *store, const char *path, git_oid *id, bool *link);
/* From here on, `context` reads specs from the store, whose paths begin with `mark` and a colon. */
void store_serve(struct context *context, struct cli_store *store, const char *mark);
void store_close(struct context *context, struct cli_store *store);

#endif
