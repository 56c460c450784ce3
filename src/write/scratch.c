/* scratch.c - a file without a name, opened by libraries as /proc/self/fd/N. */
#include "scratch_private.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

bool scratch_open(struct scratch *scratch)
{
    char name[] = "/tmp/gudgeon-XXXXXX";

    scratch->file = memfd_create("gudgeon", MFD_CLOEXEC);
    if (scratch->file < 0) {
        scratch->file = mkstemp(name);
        if (scratch->file >= 0)
            unlink(name);
    }
    snprintf(scratch->path, sizeof scratch->path, "/proc/self/fd/%d", scratch->file);
    return scratch->file >= 0;
}

bool scratch_write(struct scratch *scratch, const void *bytes, size_t size)
{
    const char *at = bytes;

    while (size > 0) {
        ssize_t written = write(scratch->file, at, size);
        if (written < 0 && errno == EINTR)
            continue;
        if (written <= 0)
            return false;
        at += written;
        size -= (size_t)written;
    }
    return true;
}

bool scratch_read(struct scratch *scratch, struct arena *arena, const char **bytes, size_t *size)
{
    struct stat about;
    size_t have = 0;

    if (fstat(scratch->file, &about) != 0 || about.st_size < 0)
        return false;
    char *buffer = arena_alloc(arena, (size_t)about.st_size + 1);
    while (have < (size_t)about.st_size) {
        ssize_t got = pread(scratch->file, buffer + have, (size_t)about.st_size - have,
                            (off_t)have);
        if (got < 0 && errno == EINTR)
            continue;
        if (got <= 0)
            return false;
        have += (size_t)got;
    }
    *bytes = buffer;
    *size = have;
    return true;
}

void scratch_close(struct scratch *scratch)
{
    if (scratch->file >= 0)
        close(scratch->file);
    scratch->file = -1;
}
