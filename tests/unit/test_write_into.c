/* A pack in its folder: whole or not at all, and nobody's files touched but ours. */
#include <criterion/criterion.h>
#include <errno.h>
#include <fcntl.h>
#include <gudgeon/file.h>
#include <gudgeon/hash.h>
#include <gudgeon/write.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include "../../src/write/manifest_private.h"
#include "sample_pack.h"

/* Stands before the C library's, so that a file system can be had that exchanges no folders. */
static bool no_exchange;
int renameat2(int from_folder, const char *from, int to_folder, const char *to, unsigned flags);
int renameat2(int from_folder, const char *from, int to_folder, const char *to, unsigned flags)
{
    if (no_exchange) {
        errno = EINVAL;
        return -1;
    }
    return (int)syscall(SYS_renameat2, from_folder, from, to_folder, to, flags);
}

static struct context *context;
static char root[] = "/tmp/gudgeon-into-XXXXXX";
static const char *folder;

static void set_up(void)
{
    context = context_new(NULL);
    cr_assert_not_null(mkdtemp(root));
    folder = str_print(context->arena, "%s/out/pintail", root);
}

static void tear_down(void)
{
    if (system(str_print(context->arena, "rm -rf '%s'", root)) != 0)
        abort();
    context_free(context);
}

TestSuite(write_into, .init = set_up, .fini = tear_down);

/* A pack of three files and its manifest; `mark` changes one of them and one card. */
static struct outputs *pack_of(const char *mark, bool extra)
{
    struct arena *arena = context->arena;
    struct outputs *outputs = ARENA_NEW(arena, struct outputs);
    struct pack pack = {.id = "pintail", .title = "Pintail"};
    struct section cards[2] = {
        {.kind = SECTION_CARD, .id = "final:a", .title = "A", .fingerprint = "11"},
        {.kind = SECTION_CARD, .id = "final:b", .title = "B", .fingerprint = mark}};

    *ARRAY_PUSH(arena, &pack.sections) = &cards[0];
    *ARRAY_PUSH(arena, &pack.sections) = &cards[1];
    *ARRAY_PUSH(arena, outputs) = (struct output){"cards.pdf", "always the same", 15};
    *ARRAY_PUSH(arena, outputs) = (struct output){"readings.csv", mark, strlen(mark)};
    if (extra)
        *ARRAY_PUSH(arena, outputs) = (struct output){"gaskets/base.dxf", mark, strlen(mark)};
    struct output manifest = {.name = MANIFEST_NAME};
    manifest.bytes = manifest_print(context, &pack, outputs, "test", &manifest.size);
    *ARRAY_PUSH(arena, outputs) = manifest;
    return outputs;
}

static bool put(const char *mark, bool extra)
{
    struct str_buf changed = {.arena = context->arena};

    return write_into(context, pack_of(mark, extra), folder, &changed);
}

static char *in_folder(const char *name)
{
    return str_print(context->arena, "%s/%s", folder, name);
}

static const char *content(const char *name)
{
    struct file_bytes file = file_read(context->arena, in_folder(name), 1 << 20);

    return file.status == FILE_OK ? file.bytes : "(none)";
}

static void write_file(const char *name, const char *text)
{
    cr_assert_null(file_write(context->arena, in_folder(name), text, strlen(text)));
}

static bool said(enum diag_code code, const char *words)
{
    for (size_t i = 0; i < context->diags.count; i++)
        if (context->diags.items[i]->code == code &&
            strstr(context->diags.items[i]->message, words) != NULL)
            return true;
    return false;
}

/* Only what must be there is there, and nothing is left beside it. */
static const char *listing(const char *path)
{
    struct str_buf out = {.arena = context->arena};
    char line[256];
    FILE *list = popen(str_print(context->arena, "cd '%s' && find . -mindepth 1 | LC_ALL=C sort",
                                 path), "r");

    str_add(&out, "");
    while (fgets(line, sizeof line, list) != NULL)
        str_add_print(&out, "%.*s ", (int)strcspn(line, "\n") - 2, line + 2);
    pclose(list);
    return out.bytes;
}

/* The folder holds the one pack or the other, whole, by the hashes of its own manifest. */
static bool is_whole(void)
{
    struct file_bytes file = file_read(context->arena, in_folder(MANIFEST_NAME), 1 << 20);
    struct manifest *manifest =
        file.status == FILE_OK ? manifest_read(context->arena, file.bytes, file.size) : NULL;

    for (size_t i = 0; manifest != NULL && i < manifest->outputs.count; i++) {
        const struct listed *output = &manifest->outputs.items[i];
        struct file_bytes out = file_read(context->arena, in_folder(output->name), 1 << 20);
        if (out.status != FILE_OK ||
            strcmp(hash_sha256_hex(context->arena, out.bytes, out.size), output->hash) != 0)
            return false;
    }
    return manifest != NULL && manifest->outputs.count >= 2;
}

Test(write_into, a_new_pack_is_made_with_the_folders_above_it)
{
    cr_assert(put("one", true));
    cr_expect_str_eq(content("readings.csv"), "one");
    cr_expect_str_eq(listing(root), "out out/pintail out/pintail/cards.pdf out/pintail/gaskets "
                                    "out/pintail/gaskets/base.dxf out/pintail/manifest.json "
                                    "out/pintail/readings.csv ");
}

Test(write_into, what_does_not_change_keeps_its_time_and_what_is_no_longer_made_goes)
{
    struct stat before, after;
    const struct timespec old[] = {{1000000000, 0}, {1000000000, 0}};

    cr_assert(put("one", true));
    utimensat(AT_FDCWD, in_folder("cards.pdf"), old, 0);
    stat(folder, &before);
    cr_assert(put("one", true)); /* nothing to do: the very folder stays */
    stat(folder, &after);
    cr_expect_eq(before.st_ino, after.st_ino);
    cr_assert(put("two", false));
    cr_expect_str_eq(content("readings.csv"), "two");
    cr_expect_str_eq(listing(folder), "cards.pdf manifest.json readings.csv ");
    stat(in_folder("cards.pdf"), &after);
    cr_expect_eq(after.st_mtim.tv_sec, 1000000000);
}

Test(write_into, cards_that_changed_are_named)
{
    struct str_buf changed = {.arena = context->arena};

    cr_assert(write_into(context, pack_of("one", true), folder, &changed));
    cr_expect_eq(changed.length, 0); /* there was no pack before */
    cr_assert(write_into(context, pack_of("one", true), folder, &changed));
    cr_expect_eq(changed.length, 0);
    cr_assert(write_into(context, pack_of("two", true), folder, &changed));
    cr_expect_str_eq(changed.bytes, "final:b");
}

Test(write_into, strangers_files_are_carried_over_as_they_are)
{
    struct stat before, after;

    cr_assert(put("one", true));
    write_file("notes.txt", "mine");
    write_file("gaskets/notes.txt", "mine too");
    cr_assert_eq(mkdir(in_folder("photos"), 0750), 0);
    cr_assert_eq(symlink("nowhere", in_folder("link")), 0);
    stat(in_folder("notes.txt"), &before);
    cr_assert(put("two", false));
    stat(in_folder("notes.txt"), &after);
    cr_expect_eq(before.st_ino, after.st_ino);
    cr_expect_str_eq(content("gaskets/notes.txt"), "mine too");
    cr_expect_str_eq(listing(root),
                     "out out/pintail out/pintail/cards.pdf out/pintail/gaskets "
                     "out/pintail/gaskets/notes.txt out/pintail/link out/pintail/manifest.json "
                     "out/pintail/notes.txt out/pintail/photos out/pintail/readings.csv ");
}

/* Each way in which a name of ours is taken, and what is said; the old pack stays whole. */
Test(write_into, a_file_that_is_not_ours_or_was_changed_stops_the_pack)
{
    static const struct {
        const char *before;   /* shell, in the folder that already has pack "one" */
        enum diag_code code;
        const char *words;
    } rows[] = {
        {"echo 0.011 >> readings.csv", DIAG_OUTPUT_CHANGED, "out/pintail/readings.csv"},
        {"echo >> gaskets/base.dxf", DIAG_OUTPUT_CHANGED, "gaskets/base.dxf"},
        {"rm manifest.json", DIAG_OUTPUT_FOREIGN, "readings.csv"},
        {"sed -i s/Pintail/Hob/ manifest.json; sed -i s/test/tost/ manifest.json",
         DIAG_OUTPUT_FOREIGN, "readings.csv"},
        {"rm readings.csv; mkdir readings.csv", DIAG_OUTPUT_FOREIGN, "readings.csv"},
        {"rm readings.csv; ln -s /etc/passwd readings.csv", DIAG_OUTPUT_FOREIGN, "readings.csv"},
        {"rm -r gaskets; echo > gaskets", DIAG_OUTPUT_FOREIGN, "gaskets"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        folder = str_print(context->arena, "%s/%zu/out/pintail", root, i);
        context->diags = (struct diags){.arena = context->arena};
        context->outside_failed = false;
        cr_assert(put("one", true));
        cr_assert_eq(system(str_print(context->arena, "cd '%s' && { %s; }", folder,
                                      rows[i].before)), 0);
        const char *before = listing(folder), *readings = content("readings.csv");
        cr_expect(!put("two", true), "%s: was accepted", rows[i].before);
        cr_expect(said(rows[i].code, rows[i].words), "%s: %s", rows[i].before,
                  context->diags.count > 0 ? context->diags.items[0]->message : "nothing said");
        cr_expect(context->outside_failed, "%s: status would not be 3", rows[i].before);
        cr_expect_str_eq(listing(folder), before, "%s: something was moved", rows[i].before);
        cr_expect_str_eq(content("readings.csv"), readings);
        cr_expect_str_eq(content("cards.pdf"), "always the same");
        cr_expect_null(strstr(listing(root), ".pintail"), "something is left: %s", listing(root));
    }
}

Test(write_into, a_folder_that_is_none_or_cannot_be_written_is_one_message)
{
    static const struct {
        const char *folder;
        enum diag_code code;
    } rows[] = {{"/dev/null", DIAG_OUTPUT_NOT_FOLDER}, {"/", DIAG_OUTPUT_NOT_FOLDER},
                {"/dev/null/out/pintail", DIAG_OUTPUT_FAILED},
                {"/proc/gudgeon/pintail", DIAG_OUTPUT_FAILED}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        context->diags = (struct diags){.arena = context->arena};
        folder = rows[i].folder;
        cr_expect(!put("one", true));
        cr_expect_eq(context->diags.count, 1, "%s: %zu messages", folder, context->diags.count);
        cr_expect(said(rows[i].code, rows[i].folder[1] == '\0' ? "/" : "/"), "%s", folder);
    }
}

Test(write_into, two_runs_at_once_do_not_mix)
{
    cr_assert(put("one", true));
    const char *lock = str_print(context->arena, "%s/out/.pintail.lock", root);
    int ready[2];
    cr_assert_eq(pipe(ready), 0);
    pid_t other = fork();
    if (other == 0) {
        int file = open(lock, O_RDWR | O_CREAT, 0666);
        struct str_buf pid = {.arena = context->arena};
        str_add_print(&pid, "%ld\n", (long)getpid());
        if (flock(file, LOCK_EX) != 0 || write(file, pid.bytes, pid.length) < 0 ||
            write(ready[1], "x", 1) != 1)
            _exit(1);
        pause();
        _exit(0);
    }
    char byte;
    cr_assert_eq(read(ready[0], &byte, 1), 1);
    cr_expect(!put("two", true));
    cr_expect(said(DIAG_OUTPUT_LOCKED, str_print(context->arena, "process %ld", (long)other)));
    cr_expect_str_eq(content("readings.csv"), "one");
    kill(other, SIGKILL);
    waitpid(other, NULL, 0);
    cr_expect(put("two", true), "the lock outlived its holder");
    cr_expect_str_eq(content("readings.csv"), "two");
}

/* Then files are moved one by one, the manifest last; a killed run's stage vouches for what it moved. */
Test(write_into, where_folders_cannot_be_exchanged_files_move_and_the_manifest_comes_last)
{
    struct stat before, after;

    no_exchange = true;
    cr_assert(put("one", true));
    write_file("notes.txt", "mine");
    stat(folder, &before);
    cr_assert(put("two", false));
    stat(folder, &after);
    cr_expect_eq(before.st_ino, after.st_ino, "the folder itself must stay");
    cr_expect_str_eq(content("readings.csv"), "two");
    cr_expect_str_eq(listing(root), "out out/pintail out/pintail/cards.pdf "
                                    "out/pintail/manifest.json out/pintail/notes.txt "
                                    "out/pintail/readings.csv ");
    for (unsigned i = 0; i < 40; i++) {
        pid_t child = fork();
        if (child == 0) {
            for (unsigned j = 0;; j++)
                (void)put(j % 2 ? "one" : "two", j % 3 == 0);
        }
        usleep(2000 + i * 173 % 6000);
        kill(child, SIGKILL);
        waitpid(child, NULL, 0);
        cr_assert(put("three", true), "after kill %u: %s: %s", i,
                  context->diags.count > 0 ? context->diags.items[0]->message : "",
                  listing(folder));
        cr_assert(is_whole());
        cr_assert_str_eq(content("notes.txt"), "mine");
    }
}

/* A limit on the size of files stands for a full disk: every limit below what the largest file needs
 * fails, says so once, and leaves the old pack as it was. */
Test(write_into, a_full_disk_leaves_the_old_pack_whole)
{
    signal(SIGXFSZ, SIG_IGN);
    cr_assert(put("one", true));
    const char *before = listing(root), *manifest = content(MANIFEST_NAME);
    struct outputs *next = pack_of("two", true);
    for (rlim_t most = 0; most < next->items[next->count - 1].size; most += 97) {
        struct rlimit limit = {most, RLIM_INFINITY};
        struct str_buf changed = {.arena = context->arena};
        context->diags = (struct diags){.arena = context->arena};
        cr_assert_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
        bool good = write_into(context, next, folder, &changed);
        limit.rlim_cur = RLIM_INFINITY;
        setrlimit(RLIMIT_FSIZE, &limit);
        cr_assert(!good, "a limit of %ld bytes was not seen", (long)most);
        cr_expect_eq(context->diags.count, 1);
        cr_expect(said(DIAG_OUTPUT_FAILED, strerror(EFBIG)), "%s",
                  context->diags.items[0]->message);
        cr_expect_str_eq(listing(root), before, "limit %ld", (long)most);
        cr_expect_str_eq(content(MANIFEST_NAME), manifest);
    }
    cr_expect(put("two", true));
}

Test(write_into, a_kill_at_any_moment_leaves_a_whole_pack)
{
    cr_assert(put("one", true));
    write_file("notes.txt", "mine");
    for (unsigned i = 0; i < 60; i++) {
        pid_t child = fork();
        if (child == 0) {
            for (unsigned j = 0;; j++)
                (void)put(j % 2 ? "one" : "two", j % 3 == 0);
        }
        usleep(500 + i * 173 % 6000);
        kill(child, SIGKILL);
        waitpid(child, NULL, 0);
        cr_assert(is_whole(), "after kill %u: %s", i, listing(folder));
        cr_assert_str_eq(content("notes.txt"), "mine", "after kill %u", i);
    }
    cr_assert(put("three", true));
    cr_expect_str_eq(listing(root),
                     "out out/pintail out/pintail/cards.pdf out/pintail/gaskets "
                     "out/pintail/gaskets/base.dxf out/pintail/manifest.json out/pintail/notes.txt "
                     "out/pintail/readings.csv ");
}

Test(write_into, a_manifest_is_taken_for_ours_only_as_it_was_written)
{
    struct outputs *outputs = pack_of("one", true);
    const struct output *last = &outputs->items[outputs->count - 1];
    struct manifest *manifest = manifest_read(context->arena, last->bytes, last->size);

    cr_assert_not_null(manifest);
    /* SHA-256 of "one": FIPS 180-4 by coreutils' sha256sum */
    cr_expect_str_eq(manifest_output(manifest, "readings.csv"),
                     "7692c3ad3540bb803c020b3aee66cd8887123234ea0c6e7143c0add73ff431ed");
    cr_expect_str_eq(manifest_card(manifest, "final:b"), "one");
    cr_expect_null(manifest_output(manifest, "absent"));
    for (size_t i = 0; i + 3 < last->size; i += 7) { /* but for the closing brace */
        char *changed = str_slice(context->arena, last->bytes, last->size);
        changed[i] = changed[i] == 'x' ? 'y' : 'x';
        cr_expect_null(manifest_read(context->arena, changed, last->size), "byte %zu", i);
        cr_expect_null(manifest_read(context->arena, changed, i), "cut at %zu", i);
    }
}

/* What a user reads, to the letter; the folder's name is cut off. */
static const char *printed(void)
{
    struct str_buf out = {.arena = context->arena}, cut = {.arena = context->arena};

    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, 100, &out);
    const char *at = out.bytes, *found;
    str_add(&cut, "");
    while ((found = strstr(at, root)) != NULL) {
        str_add_bytes(&cut, at, (size_t)(found - at));
        at = found + strlen(root) + 1;
    }
    str_add(&cut, at);
    context->diags = (struct diags){.arena = context->arena};
    return cut.bytes;
}

Test(write_into, messages_to_the_letter)
{
    const char *seen;

    cr_assert(put("one", true));
    write_file("readings.csv", "0.011");
    cr_assert(!put("two", true));
    seen = printed();
    cr_expect_str_eq(seen,
                     "error: out/pintail/readings.csv: it was changed since gudgeon wrote it "
                     "[G0902]\nhint: keep what was entered in it beside the spec, move the file "
                     "away, and run again\n", "%s", seen);
    cr_assert_eq(unlink(in_folder("readings.csv")), 0);
    cr_assert_eq(mkdir(in_folder("readings.csv"), 0777), 0);
    cr_assert(!put("two", true));
    seen = printed();
    cr_expect_str_eq(seen,
                     "error: out/pintail/readings.csv: gudgeon did not write what stands here, and "
                     "the pack needs the name [G0901]\nhint: move it away, or choose another folder "
                     "with -o\n", "%s", seen);
    folder = str_print(context->arena, "%s/out/pintail/cards.pdf", root);
    cr_assert(!put("two", true));
    seen = printed();
    cr_expect_str_eq(seen,
                     "error: out/pintail/cards.pdf: this is not a folder [G0905]\n"
                     "hint: choose another folder with -o\n", "%s", seen);
    folder = str_print(context->arena, "%s/out/pintail/cards.pdf/more", root);
    cr_assert(!put("two", true));
    seen = printed();
    cr_expect_str_eq(seen, "error: out/pintail/cards.pdf/more: Not a directory [G0904]\n", "%s", seen);
    folder = str_print(context->arena, "%s/out/hob", root);
    int lock = open(str_print(context->arena, "%s/out/.hob.lock", root), O_RDWR | O_CREAT, 0666);
    cr_assert(flock(lock, LOCK_EX) == 0 && write(lock, "4711\n", 5) == 5);
    cr_assert(!put("two", true));
    seen = printed();
    cr_expect_str_eq(seen,
                     "error: out/hob: process 4711 is writing a pack here [G0903]\n"
                     "hint: wait until it has ended\n", "%s", seen);
    close(lock);
}
