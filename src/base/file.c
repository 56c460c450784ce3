/* file.c - whole files in and out; paths. */
#include <gudgeon/file.h>

#include <gudgeon/str.h>

#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "arena_private.h"

static struct file_bytes refused(struct arena *arena, enum file_status status, int error)
{
    return (struct file_bytes){.status = status, .why = str_copy(arena, strerror(error))};
}

static enum file_status status_of(int error)
{
    switch (error) {
    case ENOENT:
    case ENOTDIR:
        return FILE_MISSING;
    case EISDIR:
        return FILE_IS_DIRECTORY;
    case EACCES:
    case EPERM:
        return FILE_UNREADABLE;
    default:
        return FILE_FAILED;
    }
}

/* Fills the buffer as far as the file goes; the bytes read, or -1 with errno. */
static ssize_t read_fully(int descriptor, char *buffer, size_t room)
{
    size_t got = 0;

    while (got < room) {
        ssize_t part = read(descriptor, buffer + got, room - got);
        if (part < 0 && errno == EINTR)
            continue;
        if (part < 0)
            return -1;
        if (part == 0)
            break;
        got += (size_t)part;
    }
    return (ssize_t)got;
}

/* Reads to the end. `room` is a guess: a pipe has no size, a file may grow meanwhile. Sets *error
 * to an errno, or -1 when the arena has no more. */
static struct file_bytes read_open(struct arena *arena, int descriptor, size_t room, size_t most,
                                   int *error)
{
    size_t size = 0;
    char *buffer = NULL;

    *error = 0;
    for (;;) {
        char *grown = arena_try(arena, room + 1);
        if (grown == NULL) {
            *error = -1;
            break;
        }
        if (size != 0)
            memcpy(grown, buffer, size);
        buffer = grown;
        ssize_t got = read_fully(descriptor, buffer + size, room - size);
        if (got < 0) {
            *error = errno;
            break;
        }
        size += (size_t)got;
        if (size < room || size > most)
            break;
        room = room > most / 2 ? most + 1 : room * 2;
    }
    if (size > most)
        return (struct file_bytes){.status = FILE_TOO_LARGE};
    if (buffer != NULL)
        buffer[size] = '\0';
    return (struct file_bytes){.status = FILE_OK, .bytes = buffer, .size = size};
}

struct file_bytes file_read(struct arena *arena, const char *path, size_t most)
{
    struct stat info;
    bool standard = str_equal(path, "-");
    int error = 0;

    assert(most < SIZE_MAX / 2);
    int descriptor = standard ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    if (descriptor < 0)
        return refused(arena, status_of(errno), errno);
    struct file_bytes bytes = {.status = FILE_OK};
    size_t room = 4096;
    if (fstat(descriptor, &info) != 0) {
        error = errno;
    } else if (S_ISDIR(info.st_mode)) {
        error = EISDIR;
    } else if (S_ISREG(info.st_mode) && (uintmax_t)info.st_size > most) {
        bytes.status = FILE_TOO_LARGE;
    } else {
        if (S_ISREG(info.st_mode))
            room = (size_t)info.st_size + 1; /* one more shows the end without growing */
        bytes = read_open(arena, descriptor, room, most, &error);
    }
    if (!standard)
        close(descriptor);
    if (error < 0)
        arena_fail(arena);
    if (error > 0)
        return refused(arena, status_of(error), error);
    return bytes;
}

static bool write_fully(int descriptor, const char *bytes, size_t size)
{
    while (size != 0) {
        ssize_t part = write(descriptor, bytes, size);
        if (part < 0 && errno == EINTR)
            continue;
        if (part < 0)
            return false;
        bytes += part;
        size -= (size_t)part;
    }
    return true;
}

/* A device or a pipe takes its bytes as they come: there is nothing to swap. */
static int write_through(const char *path, const char *bytes, size_t size)
{
    int descriptor = open(path, O_WRONLY | O_CLOEXEC);

    if (descriptor < 0)
        return errno;
    int error = write_fully(descriptor, bytes, size) ? 0 : errno;
    if (close(descriptor) != 0 && error == 0)
        error = errno;
    return error;
}

/* Opens a new file beside the target; its name is left in `name`. -1 with errno on failure. */
static int open_beside(const char *target, char *name, size_t room)
{
    for (int attempt = 0; attempt < 100; attempt++) {
        snprintf(name, room, "%s.%ld-%d.part", target, (long)getpid(), attempt);
        int descriptor = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (descriptor >= 0 || errno != EEXIST)
            return descriptor;
    }
    return -1;
}

/* The swap itself must reach the disk too; a file system that cannot do this is no failure. */
static void sync_folder(const char *folder)
{
    int descriptor = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);

    if (descriptor >= 0) {
        fsync(descriptor);
        close(descriptor);
    }
}

const char *file_write(struct arena *arena, const char *path, const char *bytes, size_t size)
{
    struct stat info;
    const char *real = file_real(arena, path); /* a link stays a link */
    const char *target = real != NULL ? real : path;
    size_t room = strlen(target) + 40;
    char *name = arena_alloc(arena, room);
    const char *folder = file_beside(arena, target, ".");

    if (stat(target, &info) == 0 && !S_ISREG(info.st_mode)) {
        int error = S_ISDIR(info.st_mode) ? EISDIR : write_through(target, bytes, size);
        return error == 0 ? NULL : str_copy(arena, strerror(error));
    }
    int descriptor = open_beside(target, name, room);
    if (descriptor < 0)
        return str_copy(arena, strerror(errno));
    int error = write_fully(descriptor, bytes, size) && fsync(descriptor) == 0 ? 0 : errno;
    if (close(descriptor) != 0 && error == 0)
        error = errno;
    if (error == 0 && rename(name, target) != 0)
        error = errno;
    if (error != 0) {
        unlink(name);
        return str_copy(arena, strerror(error));
    }
    sync_folder(folder);
    return NULL;
}

char *file_real(struct arena *arena, const char *path)
{
    char buffer[PATH_MAX];

    if (realpath(path, buffer) == NULL)
        return NULL;
    return str_copy(arena, buffer);
}

char *file_beside(struct arena *arena, const char *beside, const char *name)
{
    const char *slash = strrchr(beside, '/');

    if (name[0] == '/' || slash == NULL)
        return str_copy(arena, name);
    return str_print(arena, "%.*s/%s", (int)(slash - beside), beside, name);
}

bool file_inside(const char *folder, const char *path)
{
    size_t length = strlen(folder);

    if (length != 0 && folder[length - 1] == '/')
        length--; /* the root of all */
    return strncmp(folder, path, length) == 0 && (path[length] == '/' || path[length] == '\0');
}

const char *file_base_name(const char *path)
{
    const char *slash = strrchr(path, '/');

    return slash == NULL ? path : slash + 1;
}
