/* file_store.c - paths in a store of files that is not the disk. */
#include <gudgeon/file.h>

#include <gudgeon/str.h>

#include <assert.h>
#include <string.h>

static const char *without_mark(const struct file_store *store, const char *path)
{
    assert(str_starts(path, store->mark));
    return path + strlen(store->mark);
}

/* Word by word; ".." takes the last one back. */
char *file_tidy(struct arena *arena, const char *path)
{
    struct str_buf out = {.arena = arena};

    str_add(&out, "");
    if (*path == '/')
        return NULL;
    for (const char *at = path; *at != '\0';) {
        size_t length = strcspn(at, "/");
        if (length == 2 && at[0] == '.' && at[1] == '.') {
            if (out.length == 0)
                return NULL;
            while (out.length > 0 && out.bytes[out.length - 1] != '/')
                out.length--;
            out.length -= out.length > 0;
            out.bytes[out.length] = '\0';
        } else if (length > 0 && !(length == 1 && at[0] == '.')) {
            if (out.length > 0)
                str_add(&out, "/");
            str_add_bytes(&out, at, length);
        }
        at += length + (at[length] == '/');
    }
    return out.bytes;
}

char *file_store_real(struct arena *arena, const struct file_store *store, const char *path)
{
    const char *tidy = file_tidy(arena, without_mark(store, path));

    return tidy != NULL ? str_print(arena, "%s%s", store->mark, tidy) : NULL;
}

char *file_store_beside(struct arena *arena, const struct file_store *store, const char *beside,
                        const char *name)
{
    return str_print(arena, "%s%s", store->mark,
                     file_beside(arena, without_mark(store, beside), name));
}

struct file_bytes file_store_read(struct arena *arena, const struct file_store *store,
                                  const char *path, size_t most)
{
    return store->read(store, arena, without_mark(store, path), most);
}
