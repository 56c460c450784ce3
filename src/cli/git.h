/* git.h - libgit2, opened on need: loading it costs more than compiling a small spec, and a machine
 * without it can do all but what is asked of a repository. */
#ifndef GUDGEON_CLI_GIT_H
#define GUDGEON_CLI_GIT_H

#include <git2.h>
#include <stdbool.h>

/* What is asked of the library: GIT_CALL(member, symbol, result, arguments). */
#define GIT_CALLS                                                                                  \
    GIT_CALL(init, git_libgit2_init, int, (void))                                                  \
    GIT_CALL(shutdown, git_libgit2_shutdown, int, (void))                                          \
    GIT_CALL(open, git_repository_open_ext, int,                                                   \
             (git_repository **, const char *, unsigned, const char *))                            \
    GIT_CALL(close, git_repository_free, void, (git_repository *))                                 \
    GIT_CALL(workdir, git_repository_workdir, const char *, (const git_repository *))              \
    GIT_CALL(head, git_reference_name_to_id, int, (git_oid *, git_repository *, const char *))     \
    GIT_CALL(commit, git_commit_lookup, int, (git_commit **, git_repository *, const git_oid *))   \
    GIT_CALL(commit_time, git_commit_time, git_time_t, (const git_commit *))                       \
    GIT_CALL(commit_id, git_commit_id, const git_oid *, (const git_commit *))                      \
    GIT_CALL(commit_tree, git_commit_tree, int, (git_tree **, const git_commit *))                 \
    GIT_CALL(commit_parent, git_commit_parent, int,                                                \
             (git_commit **, const git_commit *, unsigned))                                        \
    GIT_CALL(parent_count, git_commit_parentcount, unsigned, (const git_commit *))                 \
    GIT_CALL(commit_free, git_commit_free, void, (git_commit *))                                   \
    GIT_CALL(status, git_status_file, int, (unsigned *, git_repository *, const char *))           \
    GIT_CALL(id_text, git_oid_tostr, char *, (char *, size_t, const git_oid *))                    \
    GIT_CALL(id_equal, git_oid_equal, int, (const git_oid *, const git_oid *))                     \
    GIT_CALL(hash, git_odb_hash, int, (git_oid *, const void *, size_t, git_object_t))             \
    GIT_CALL(parse, git_revparse_single, int, (git_object **, git_repository *, const char *))     \
    GIT_CALL(peel, git_object_peel, int, (git_object **, const git_object *, git_object_t))        \
    GIT_CALL(object_free, git_object_free, void, (git_object *))                                   \
    GIT_CALL(tree_free, git_tree_free, void, (git_tree *))                                         \
    GIT_CALL(entry_at, git_tree_entry_bypath, int,                                                 \
             (git_tree_entry **, const git_tree *, const char *))                                  \
    GIT_CALL(entry_id, git_tree_entry_id, const git_oid *, (const git_tree_entry *))               \
    GIT_CALL(entry_mode, git_tree_entry_filemode, git_filemode_t, (const git_tree_entry *))        \
    GIT_CALL(entry_free, git_tree_entry_free, void, (git_tree_entry *))                            \
    GIT_CALL(index, git_repository_index, int, (git_index **, git_repository *))                   \
    GIT_CALL(index_free, git_index_free, void, (git_index *))                                      \
    GIT_CALL(index_entry, git_index_get_bypath, const git_index_entry *,                           \
             (git_index *, const char *, int))                                                     \
    GIT_CALL(index_count, git_index_entrycount, size_t, (const git_index *))                       \
    GIT_CALL(index_at, git_index_get_byindex, const git_index_entry *, (git_index *, size_t))      \
    GIT_CALL(blob, git_blob_lookup, int, (git_blob **, git_repository *, const git_oid *))         \
    GIT_CALL(blob_bytes, git_blob_rawcontent, const void *, (const git_blob *))                    \
    GIT_CALL(blob_size, git_blob_rawsize, git_object_size_t, (const git_blob *))                   \
    GIT_CALL(blob_free, git_blob_free, void, (git_blob *))

struct git {
    void *library;
#define GIT_CALL(member, symbol, result, arguments) result(*member) arguments;
    GIT_CALLS
#undef GIT_CALL
};

/* False where there is no libgit2 of the version this was built with. */
bool git_load(struct git *git);
void git_unload(struct git *git);
/* The repository that holds `path` (of its work tree), or NULL. */
git_repository *git_open(const struct git *git, const char *path);
/* The one that git would use here, with the index that it hands to its hooks. */
git_repository *git_open_here(const struct git *git);

#endif
