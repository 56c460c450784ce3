/* write_into.c - a pack put in its folder, whole or not at all.
 *
 * Everything is built in a hidden folder beside the target and exchanged with it in one system call.
 * A run that was killed leaves that folder behind; the next one, holding the lock, clears it. */
#include "manifest_private.h"
#include "staging_private.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <stdlib.h>

static bool fail(struct staging *job, enum diag_code code, const char *path, const char *why,
                 const char *hint)
{
    struct diag *diag =
        diag_add(&job->context->diags, code, (struct span){0}, "%s: %s", path, why);

    if (hint != NULL)
        diag_hint(&job->context->diags, diag, "%s", hint);
    job->context->outside_failed = true;
    return false;
}

static bool not_a_folder(struct staging *job, const char *path, const char *why)
{
    return fail(job, DIAG_OUTPUT_NOT_FOLDER, path, why, "choose another folder with -o");
}

bool staging_failed(struct staging *job, const char *path)
{
    return fail(job, DIAG_OUTPUT_FAILED, path, strerror(errno), NULL);
}

/* ---------- where ---------- */

static bool make_parents(struct staging *job, const char *path)
{
    char *folder = str_copy(job->arena, path);

    for (char *at = strchr(folder + 1, '/'); at != NULL; at = strchr(at + 1, '/')) {
        *at = '\0';
        if (mkdir(folder, 0777) != 0 && errno != EEXIST)
            return staging_failed(job, folder);
        *at = '/';
    }
    return true;
}

/* Real paths of the folder and of what lies beside it. */
static bool locate(struct staging *job, const char *folder)
{
    char *name = str_copy(job->arena, folder);
    struct stat info;

    for (size_t length = strlen(name); length > 1 && name[length - 1] == '/'; length--)
        name[length - 1] = '\0';
    job->shown = name;
    if (lstat(name, &info) == 0) {
        job->exists = true;
        if (stat(name, &info) != 0 || !S_ISDIR(info.st_mode))
            return not_a_folder(job, name, "this is not a folder");
        job->folder = file_real(job->arena, name);
        job->mode = info.st_mode & 07777;
    } else {
        if (!make_parents(job, name))
            return false;
        const char *parent = file_real(job->arena, strchr(name, '/') != NULL
                                                       ? file_beside(job->arena, name, ".") : ".");
        if (parent == NULL)
            return staging_failed(job, name);
        job->folder = str_print(job->arena, "%s/%s", strcmp(parent, "/") == 0 ? "" : parent,
                                file_base_name(name));
    }
    if (job->folder == NULL || strcmp(job->folder, "/") == 0)
        return not_a_folder(job, name, "a pack cannot be put here");
    const char *base = file_base_name(job->folder);
    job->beside = str_print(job->arena, "%.*s", (int)(base - job->folder), job->folder);
    job->lock_path = str_print(job->arena, "%s.%s.lock", job->beside, base);
    job->stage = str_print(job->arena, "%s.%s.new", job->beside, base);
    return true;
}

/* ---------- lock ---------- */

static void close_lock(void *handle)
{
    struct staging *job = handle;

    unlink(job->lock_path);
    close(job->lock);
}

static bool locked_by_other(struct staging *job)
{
    char text[32] = "";
    ssize_t length = pread(job->lock, text, sizeof text - 1, 0);

    text[length > 0 ? strspn(text, "0123456789") : 0] = '\0';
    close(job->lock);
    return fail(job, DIAG_OUTPUT_LOCKED, job->shown,
                str_print(job->arena, "process %s is writing a pack here",
                          *text != '\0' ? text : "(unknown)"),
                "wait until it has ended");
}

/* The file is only a name for the lock: the kernel drops it when its holder ends, however it ends. */
static bool take_lock(struct staging *job)
{
    for (;;) {
        struct stat held, there;
        job->lock = open(job->lock_path, O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666);
        if (job->lock < 0)
            return staging_failed(job, job->lock_path);
        if (flock(job->lock, LOCK_EX | LOCK_NB) != 0)
            return errno == EWOULDBLOCK ? locked_by_other(job)
                                        : (close(job->lock), staging_failed(job, job->lock_path));
        if (fstat(job->lock, &held) == 0 && stat(job->lock_path, &there) == 0 &&
            held.st_ino == there.st_ino)
            break;
        close(job->lock); /* its last holder took the name away between open and lock */
    }
    const char *pid = str_print(job->arena, "%ld\n", (long)getpid());
    if (ftruncate(job->lock, 0) != 0 ||
        pwrite(job->lock, pid, strlen(pid), 0) != (ssize_t)strlen(pid)) {
        staging_failed(job, job->lock_path);
        unlink(job->lock_path);
        close(job->lock);
        return false;
    }
    context_opened(job->context, close_lock, job);
    return true;
}

static void drop_lock(struct staging *job)
{
    context_closed(job->context, job);
    close_lock(job);
}

/* ---------- what stands there ---------- */

static const struct output *output_of(const struct outputs *outputs, const char *name)
{
    for (size_t i = 0; i < outputs->count; i++)
        if (strcmp(outputs->items[i].name, name) == 0)
            return &outputs->items[i];
    return NULL;
}

/* True if one of the outputs lies in a folder of this name. */
static bool is_our_folder(const struct outputs *outputs, const char *name)
{
    size_t length = strlen(name);

    for (size_t i = 0; i < outputs->count; i++)
        if (strncmp(outputs->items[i].name, name, length) == 0 &&
            outputs->items[i].name[length] == '/')
            return true;
    return false;
}

static struct manifest *read_manifest(struct staging *job, const char *folder)
{
    struct file_bytes file = file_read(
        job->arena, str_print(job->arena, "%s/" MANIFEST_NAME, folder), SIZE_MAX / 4);

    return file.status == FILE_OK ? manifest_read(job->arena, file.bytes, file.size) : NULL;
}

/* Is the file as a manifest says that we wrote it? A manifest vouches for itself by its seal. */
static bool is_as_written(struct staging *job, const char *name, const char *hash)
{
    const char *old = manifest_output(job->old, name), *left = manifest_output(job->left, name);

    if (strcmp(name, MANIFEST_NAME) == 0)
        return job->old != NULL;
    return (old != NULL && strcmp(old, hash) == 0) || (left != NULL && strcmp(left, hash) == 0);
}

static bool is_listed(const struct staging *job, const char *name)
{
    return manifest_output(job->old, name) != NULL || manifest_output(job->left, name) != NULL;
}

static bool foreign(struct staging *job, const struct standing *standing)
{
    return fail(job, DIAG_OUTPUT_FOREIGN,
                str_print(job->arena, "%s/%s", job->shown, standing->name),
                "gudgeon did not write what stands here, and the pack needs the name",
                "move it away, or choose another folder with -o");
}

/* A file that we wrote, or one that stands where we must write. */
static bool judge_file(struct staging *job, struct standing *standing, const struct output *output)
{
    const char *path = str_print(job->arena, "%s/%s", job->folder, standing->name);
    struct file_bytes file = file_read(job->arena, path, SIZE_MAX / 4);

    if (file.status != FILE_OK)
        return fail(job, DIAG_OUTPUT_FAILED, path, file.why != NULL ? file.why : "cannot be read",
                    NULL);
    if (output != NULL && file.size == output->size &&
        memcmp(file.bytes, output->bytes, file.size) == 0) {
        standing->fate = FATE_SAME;
        return true;
    }
    if (is_as_written(job, standing->name, hash_sha256_hex(job->arena, file.bytes, file.size))) {
        standing->fate = FATE_OURS;
        return true;
    }
    if (!is_listed(job, standing->name) && strcmp(standing->name, MANIFEST_NAME) != 0)
        return foreign(job, standing);
    return fail(job, DIAG_OUTPUT_CHANGED,
                str_print(job->arena, "%s/%s", job->shown, standing->name),
                "it was changed since gudgeon wrote it",
                "keep what was entered in it beside the spec, move the file away, and run again");
}

static bool judge(struct staging *job, struct standing *standing)
{
    const struct output *output = output_of(job->outputs, standing->name);

    standing->fate = FATE_STRANGER;
    if (standing->kind == STANDING_FILE && (output != NULL || is_listed(job, standing->name)))
        return judge_file(job, standing, output);
    if (output != NULL ||
        (standing->kind != STANDING_FOLDER && is_our_folder(job->outputs, standing->name)))
        return foreign(job, standing);
    return true;
}

/* ---------- the whole ---------- */

static bool is_all_there(const struct staging *job)
{
    size_t same = 0;

    for (size_t i = 0; i < job->standing.count; i++) {
        if (job->standing.items[i].fate == FATE_OURS)
            return false;
        same += job->standing.items[i].fate == FATE_SAME;
    }
    return same == job->outputs->count;
}

static void list_changed_cards(struct staging *job, struct str_buf *changed)
{
    const struct output *output = output_of(job->outputs, MANIFEST_NAME);
    const struct manifest *now =
        output != NULL ? manifest_read(job->arena, output->bytes, output->size) : NULL;

    for (size_t i = 0; now != NULL && job->old != NULL && i < now->cards.count; i++) {
        const char *before = manifest_card(job->old, now->cards.items[i].name);
        if (before == NULL || strcmp(before, now->cards.items[i].hash) != 0)
            str_add_print(changed, "%s%s", changed->length > 0 ? " " : "",
                          now->cards.items[i].name);
    }
}

static bool put_under_lock(struct staging *job, struct str_buf *changed)
{
    bool good = true;

    job->old = job->exists ? read_manifest(job, job->folder) : NULL;
    job->left = read_manifest(job, job->stage);
    if (!staging_survey(job) || !staging_clear(job))
        return false;
    for (size_t i = 0; i < job->standing.count; i++)
        good = judge(job, &job->standing.items[i]) && good;
    if (!good)
        return false;
    if (!is_all_there(job)) {
        good = staging_build(job) && staging_swap(job);
        good = staging_clear(job) && good;
    }
    if (good)
        list_changed_cards(job, changed);
    return good;
}

bool write_into(struct context *context, const struct outputs *outputs, const char *folder,
                struct str_buf *changed)
{
    struct staging *job = ARENA_NEW(context->arena, struct staging);

    if (outputs == NULL)
        return false;
    job->context = context;
    job->arena = context->arena;
    job->outputs = outputs;
    if (!locate(job, folder) || !take_lock(job))
        return false;
    bool good = put_under_lock(job, changed);
    drop_lock(job);
    return good;
}
