/* file.h - whole files in, whole files out, and a directory swapped in one step.
 *
 * Only this header's module touches the file system for reading and writing bytes. */
#ifndef GUDGEON_FILE_H
#define GUDGEON_FILE_H

#include <gudgeon/arena.h>

enum file_status {
    FILE_OK,
    FILE_MISSING,
    FILE_IS_DIRECTORY,
    FILE_UNREADABLE,
    FILE_TOO_LARGE, /* beyond `most`; found from the size where there is one, so a sparse file
                       costs nothing */
    FILE_FAILED,    /* the system's words are in `why` */
};

struct file_bytes {
    enum file_status status;
    const char *bytes; /* NUL-terminated for convenience; NULs inside are possible */
    size_t size;
    const char *why;
};

/* path "-" reads standard input. */
struct file_bytes file_read(struct arena *arena, const char *path, size_t most);

/* Writes beside the target, fsyncs, renames: the old file or the new, never a part. NULL on
 * success, else why it failed, and the old file is whole. */
const char *file_write(struct arena *arena, const char *path, const char *bytes, size_t size);

/* The path without "." and ".."; NULL where it leads out of where it begins, or begins at the root. Links are
 * not looked at. */
char *file_tidy(struct arena *arena, const char *path);

/* Files that do not lie on the disk, such as those of a git revision. Their paths begin with its mark,
 * "HEAD~1:specs/pintail.yaml"; the rest is seen from its top. */
struct file_store {
    const char *mark;
    /* `path` without the mark, without "." and ".." */
    struct file_bytes (*read)(const struct file_store *store, struct arena *arena, const char *path,
                              size_t most);
    void *user;
};
/* The path of a file of the store without "." and "..", mark included; NULL where it leads outside. */
char *file_store_real(struct arena *arena, const struct file_store *store, const char *path);
char *file_store_beside(struct arena *arena, const struct file_store *store, const char *beside,
                        const char *name);
struct file_bytes file_store_read(struct arena *arena, const struct file_store *store,
                                  const char *path, size_t most);

/* The path with links resolved, or NULL when it does not exist. */
char *file_real(struct arena *arena, const char *path);
/* `name` as a path seen from the folder of `beside`. */
char *file_beside(struct arena *arena, const char *beside, const char *name);
/* True if `path` (real) is `folder` (real) or lies in it. */
bool file_inside(const char *folder, const char *path);
const char *file_base_name(const char *path);

#endif
