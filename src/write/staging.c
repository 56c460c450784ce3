/* staging.c - the folder beside the pack: filled, exchanged, cleared. */
#include "staging_private.h"

#include "manifest_private.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { DEEPEST = 32, MOST_STANDING = 100000 };

/* ---------- survey ---------- */

static const char *join(struct staging *job, const char *folder, const char *name)
{
    return *name != '\0' ? str_print(job->arena, "%s/%s", folder, name) : folder;
}

/* The names in one folder, sorted, so that a run does the same whatever the file system lists. */
static bool list_folder(struct staging *job, const char *path, struct dirent ***entries, int *count)
{
    *count = scandir(path, entries, NULL, alphasort);
    return *count >= 0 || staging_failed(job, path);
}

static bool survey_folder(struct staging *job, const char *inside, int depth)
{
    struct dirent **entries;
    bool good = true;
    int count;

    if (depth > DEEPEST) {
        errno = ENAMETOOLONG;
        return staging_failed(job, join(job, job->folder, inside));
    }
    if (!list_folder(job, join(job, job->folder, inside), &entries, &count))
        return false;
    for (int i = 0; i < count; i++) {
        const char *name = entries[i]->d_name;
        struct stat info;
        if (good && strcmp(name, ".") != 0 && strcmp(name, "..") != 0) {
            const char *whole = *inside != '\0' ? str_print(job->arena, "%s/%s", inside, name)
                                                : str_copy(job->arena, name);
            const char *path = join(job, job->folder, whole);
            if (lstat(path, &info) != 0 || job->standing.count >= MOST_STANDING) {
                good = staging_failed(job, path);
            } else {
                *ARRAY_PUSH(job->arena, &job->standing) = (struct standing){
                    .name = whole,
                    .kind = S_ISREG(info.st_mode)   ? STANDING_FILE
                            : S_ISDIR(info.st_mode) ? STANDING_FOLDER
                                                    : STANDING_OTHER};
                if (S_ISDIR(info.st_mode))
                    good = survey_folder(job, whole, depth + 1);
            }
        }
        free(entries[i]);
    }
    free(entries);
    return good;
}

bool staging_survey(struct staging *job)
{
    return !job->exists || survey_folder(job, "", 0);
}

/* ---------- build ---------- */

static bool make_folders(struct staging *job, const char *root, const char *name)
{
    for (const char *at = strchr(name, '/'); at != NULL; at = strchr(at + 1, '/')) {
        const char *path = str_print(job->arena, "%s/%.*s", root, (int)(at - name), name);
        if (mkdir(path, 0777) != 0 && errno != EEXIST)
            return staging_failed(job, path);
    }
    return true;
}

static bool copy_file(struct staging *job, const char *from, const char *to, const struct stat *info)
{
    struct file_bytes file = file_read(job->arena, from, SIZE_MAX / 4);
    const struct timespec times[] = {info->st_atim, info->st_mtim};

    if (file.status != FILE_OK) {
        errno = EIO;
        return staging_failed(job, from);
    }
    const char *why = file_write(job->arena, to, file.bytes, file.size);
    if (why != NULL) {
        diag_add(&job->context->diags, DIAG_OUTPUT_FAILED, (struct span){0}, "%s: %s", to, why);
        job->context->outside_failed = true;
        return false;
    }
    return (chmod(to, info->st_mode & 07777) == 0 &&
            utimensat(AT_FDCWD, to, times, 0) == 0) || staging_failed(job, to);
}

/* The same file under a second name; where links are not to be had, a copy with its time. */
static bool carry(struct staging *job, const char *name)
{
    const char *from = join(job, job->folder, name), *to = join(job, job->stage, name);
    struct stat info;

    if (!make_folders(job, job->stage, name))
        return false;
    if (linkat(AT_FDCWD, from, AT_FDCWD, to, 0) == 0)
        return true;
    if (lstat(from, &info) != 0 || !S_ISREG(info.st_mode))
        return staging_failed(job, from);
    return copy_file(job, from, to, &info);
}

static bool carry_folder(struct staging *job, const char *name)
{
    const char *to = join(job, job->stage, name);
    struct stat info;

    if (lstat(join(job, job->folder, name), &info) != 0)
        return staging_failed(job, name);
    if (!make_folders(job, job->stage, name))
        return false;
    if (mkdir(to, 0777) != 0 && errno != EEXIST)
        return staging_failed(job, to);
    return chmod(to, (info.st_mode & 07777) | 0700) == 0 || staging_failed(job, to);
}

/* A folder goes on if somebody else has something in it, or put it there empty. */
static bool folder_goes_on(const struct staging *job, size_t index)
{
    const char *name = job->standing.items[index].name;
    size_t length = strlen(name);
    bool empty = true;

    for (size_t i = index + 1; i < job->standing.count; i++) {
        const struct standing *inner = &job->standing.items[i];
        if (strncmp(inner->name, name, length) != 0 || inner->name[length] != '/')
            break;
        empty = false;
        if (inner->fate == FATE_STRANGER && inner->kind != STANDING_FOLDER)
            return true;
    }
    return empty;
}

static bool is_same(const struct staging *job, const char *name)
{
    for (size_t i = 0; i < job->standing.count; i++)
        if (job->standing.items[i].fate == FATE_SAME &&
            strcmp(job->standing.items[i].name, name) == 0)
            return true;
    return false;
}

static bool write_output(struct staging *job, const struct output *output)
{
    const char *path = join(job, job->stage, output->name);

    if (!make_folders(job, job->stage, output->name))
        return false;
    const char *why = file_write(job->arena, path, output->bytes, output->size);
    if (why == NULL)
        return true;
    diag_add(&job->context->diags, DIAG_OUTPUT_FAILED, (struct span){0}, "%s/%s: %s", job->shown,
             output->name, why);
    job->context->outside_failed = true;
    return false;
}

static bool fill_stage(struct staging *job)
{
    if (mkdir(job->stage, 0777) != 0)
        return staging_failed(job, job->stage);
    if (job->exists && chmod(job->stage, job->mode | 0700) != 0)
        return staging_failed(job, job->stage);
    for (size_t i = 0; i < job->outputs->count; i++) {
        const struct output *output = &job->outputs->items[i];
        if (!(is_same(job, output->name) ? carry(job, output->name) : write_output(job, output)))
            return false;
    }
    for (size_t i = 0; i < job->standing.count; i++) {
        const struct standing *standing = &job->standing.items[i];
        if (standing->fate != FATE_STRANGER)
            continue;
        if (standing->kind != STANDING_FOLDER ? !carry(job, standing->name)
                                              : folder_goes_on(job, i) &&
                                                    !carry_folder(job, standing->name))
            return false;
    }
    return true;
}

bool staging_build(struct staging *job)
{
    if (fill_stage(job))
        return true;
    staging_clear(job);
    return false;
}

/* ---------- swap ---------- */

/* File by file, where the file system cannot exchange folders: the manifest comes last, and until
 * then the stage's own manifest vouches for what has been moved already. */
static bool move_files(struct staging *job)
{
    for (size_t i = 0; i < job->outputs->count; i++) {
        const struct output *output = &job->outputs->items[i];
        const char *to = join(job, job->folder, output->name), *why = NULL;
        bool last = i + 1 == job->outputs->count;
        if (is_same(job, output->name))
            continue;
        if (!make_folders(job, job->folder, output->name))
            return false;
        if (last || rename(join(job, job->stage, output->name), to) != 0)
            why = file_write(job->arena, to, output->bytes, output->size);
        if (why != NULL) {
            diag_add(&job->context->diags, DIAG_OUTPUT_FAILED, (struct span){0}, "%s: %s", to, why);
            job->context->outside_failed = true;
            return false;
        }
    }
    return true;
}

static bool is_output(const struct staging *job, const char *name)
{
    for (size_t i = 0; i < job->outputs->count; i++)
        if (strcmp(job->outputs->items[i].name, name) == 0)
            return true;
    return false;
}

static bool remove_superseded(struct staging *job)
{
    for (size_t i = 0; i < job->standing.count; i++) {
        const struct standing *standing = &job->standing.items[i];
        const char *path = join(job, job->folder, standing->name);
        if (standing->fate == FATE_OURS && !is_output(job, standing->name) && unlink(path) != 0)
            return staging_failed(job, path);
    }
    for (size_t i = job->standing.count; i-- > 0;)
        if (job->standing.items[i].kind == STANDING_FOLDER && !folder_goes_on(job, i))
            rmdir(join(job, job->folder, job->standing.items[i].name)); /* fails if not empty */
    return true;
}

static void sync_folder(const char *path)
{
    int folder = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);

    if (folder >= 0) {
        fsync(folder); /* a file system that cannot is no failure */
        close(folder);
    }
}

bool staging_swap(struct staging *job)
{
    unsigned how = job->exists ? RENAME_EXCHANGE : RENAME_NOREPLACE;
    int done;

    sync_folder(job->stage);
    done = renameat2(AT_FDCWD, job->stage, AT_FDCWD, job->folder, how);
    if (done != 0 && !job->exists && (errno == EINVAL || errno == ENOSYS))
        done = rename(job->stage, job->folder); /* refuses to replace a folder that is not empty */
    if (done != 0 && job->exists &&
        (errno == EINVAL || errno == ENOSYS || errno == EBUSY || errno == EXDEV)) {
        bool good = remove_superseded(job) && move_files(job);
        sync_folder(job->folder);
        return good;
    }
    if (done != 0) {
        staging_failed(job, job->folder);
        return false;
    }
    sync_folder(job->beside);
    return true;
}

/* ---------- clear ---------- */

static bool is_ours(const struct staging *job, const char *name)
{
    return is_output(job, name) || strcmp(name, MANIFEST_NAME) == 0 ||
           manifest_output(job->old, name) != NULL || manifest_output(job->left, name) != NULL;
}

/* Removes a file of the stage; one that nobody knows of goes into the folder instead. */
static bool clear_file(struct staging *job, const char *name)
{
    const char *from = join(job, job->stage, name), *to = join(job, job->folder, name);
    const char *dot = strrchr(name, '.');
    struct stat info;

    if (is_ours(job, name) || lstat(to, &info) == 0 ||
        (dot != NULL && strcmp(dot, ".part") == 0)) /* of a file_write that was killed */
        return unlink(from) == 0 || staging_failed(job, from);
    if (mkdir(job->folder, 0777) != 0 && errno != EEXIST)
        return staging_failed(job, job->folder);
    if (!make_folders(job, job->folder, name))
        return false;
    return renameat2(AT_FDCWD, from, AT_FDCWD, to, RENAME_NOREPLACE) == 0 ||
           rename(from, to) == 0 || staging_failed(job, to);
}

static bool clear_folder(struct staging *job, const char *inside, int depth)
{
    const char *path = join(job, job->stage, inside);
    struct dirent **entries;
    bool good = depth <= DEEPEST;
    int count;

    if (!list_folder(job, path, &entries, &count))
        return false;
    for (int i = 0; i < count; i++) {
        const char *name = entries[i]->d_name;
        struct stat info;
        if (good && strcmp(name, ".") != 0 && strcmp(name, "..") != 0) {
            const char *whole = *inside != '\0' ? str_print(job->arena, "%s/%s", inside, name)
                                                : str_copy(job->arena, name);
            if (lstat(join(job, job->stage, whole), &info) != 0)
                good = staging_failed(job, whole);
            else
                good = S_ISDIR(info.st_mode) ? clear_folder(job, whole, depth + 1)
                                             : clear_file(job, whole);
        }
        free(entries[i]);
    }
    free(entries);
    return good && (rmdir(path) == 0 || staging_failed(job, path));
}

bool staging_clear(struct staging *job)
{
    struct stat info;

    if (lstat(job->stage, &info) != 0)
        return errno == ENOENT || staging_failed(job, job->stage);
    return clear_folder(job, "", 0);
}
