/* Files whole in and whole out. */
#include <criterion/criterion.h>
#include <fcntl.h>
#include <gudgeon/file.h>
#include <gudgeon/str.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static struct arena *arena;
static char folder[] = "/tmp/gudgeon-file-XXXXXX";

static void set_up(void)
{
    arena = arena_new(0, NULL, NULL);
    cr_assert_not_null(mkdtemp(folder));
}

static void tear_down(void)
{
    char *command = str_print(arena, "rm -rf '%s'", folder);
    if (system(command) != 0)
        abort();
    arena_free(arena);
}

static char *in_folder(const char *name)
{
    return str_print(arena, "%s/%s", folder, name);
}

TestSuite(base_file, .init = set_up, .fini = tear_down);

Test(base_file, what_is_written_is_read_back_with_its_nul_bytes)
{
    static const char bytes[] = "a\0b\n";
    const char *path = in_folder("spec.yaml");

    cr_assert_null(file_write(arena, path, bytes, sizeof bytes - 1));
    struct file_bytes got = file_read(arena, path, 4);
    cr_assert_eq(got.status, FILE_OK);
    cr_assert_eq(got.size, 4);
    cr_expect_arr_eq(got.bytes, bytes, 5);
    cr_assert_null(file_write(arena, path, "", 0));
    got = file_read(arena, path, 0);
    cr_assert_eq(got.status, FILE_OK);
    cr_expect_eq(got.size, 0);
    cr_expect_str_eq(got.bytes, "");
    cr_expect_eq(system(str_print(arena, "test \"$(ls -A %s)\" = spec.yaml", folder)), 0,
                 "something is left beside the file");
}

Test(base_file, each_way_in_which_a_file_cannot_be_read_is_told_apart)
{
    const char *sparse = in_folder("sparse");
    int descriptor = open(sparse, O_WRONLY | O_CREAT, 0666);

    cr_assert_eq(ftruncate(descriptor, (off_t)1 << 40), 0);
    close(descriptor);
    cr_expect_eq(file_read(arena, in_folder("none"), 100).status, FILE_MISSING);
    cr_expect_eq(file_read(arena, in_folder("sparse/below"), 100).status, FILE_MISSING);
    cr_expect_eq(file_read(arena, folder, 100).status, FILE_IS_DIRECTORY);
    cr_expect_eq(file_read(arena, sparse, 1 << 20).status, FILE_TOO_LARGE);
    cr_expect_eq(file_read(arena, "/dev/zero", 1 << 20).status, FILE_TOO_LARGE);
    cr_expect(arena_used(arena) < 8 << 20, "a file refused by its size was read");
    if (geteuid() != 0) { /* root reads everything */
        cr_assert_eq(chmod(sparse, 0), 0);
        cr_expect_eq(file_read(arena, sparse, 100).status, FILE_UNREADABLE);
    }
}

Test(base_file, a_pipe_is_read_to_its_end_or_to_the_bound)
{
    int ends[2];
    char byte[10000];

    memset(byte, 'x', sizeof byte);
    for (size_t most = 9999; most <= 10001; most++) {
        cr_assert_eq(pipe(ends), 0);
        cr_assert_eq(write(ends[1], byte, sizeof byte), (ssize_t)sizeof byte);
        close(ends[1]);
        struct file_bytes got = file_read(arena, str_print(arena, "/dev/fd/%d", ends[0]), most);
        close(ends[0]);
        cr_expect_eq(got.status, most < sizeof byte ? FILE_TOO_LARGE : FILE_OK);
        if (got.status == FILE_OK)
            cr_expect_eq(got.size, sizeof byte);
    }
}

Test(base_file, a_failed_write_says_why_and_leaves_the_old_file_whole)
{
    cr_expect_not_null(file_write(arena, in_folder("no/such/folder"), "x", 1));
    cr_expect_not_null(file_write(arena, folder, "x", 1));
    if (access("/dev/full", W_OK) == 0) {
        const char *link = in_folder("full");
        cr_assert_eq(symlink("/dev/full", link), 0);
        cr_expect_not_null(file_write(arena, link, "x", 1), "a full disk must be reported");
    }
    const char *old = in_folder("old"), *link = in_folder("link");
    cr_assert_null(file_write(arena, old, "old", 3));
    cr_assert_eq(symlink("old", link), 0);
    cr_assert_null(file_write(arena, link, "new", 3));
    struct stat info;
    cr_assert_eq(lstat(link, &info), 0);
    cr_expect(S_ISLNK(info.st_mode), "a link was replaced by a file");
    cr_expect_str_eq(file_read(arena, old, 10).bytes, "new");
}

Test(base_file, paths_are_seen_from_the_file_that_names_them)
{
    static const struct {
        const char *beside, *name, *path;
    } rows[] = {
        {"spec.yaml", "shop.yaml", "shop.yaml"},
        {"specs/pintail/spec.yaml", "../shop.yaml", "specs/pintail/../shop.yaml"},
        {"/a/b", "c", "/a/c"},
        {"/b", "c", "/c"},
        {"a/b", "/c", "/c"},
        {"-", "c", "c"},
    };
    static const struct {
        const char *folder, *path;
        bool inside;
    } lies[] = {
        {"/a", "/a/b", true}, {"/a", "/a", true},   {"/a", "/ab", false},
        {"/a", "/", false},   {"/", "/ab", true},   {"/a/b", "/a", false},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        cr_expect_str_eq(file_beside(arena, rows[i].beside, rows[i].name), rows[i].path);
    for (size_t i = 0; i < sizeof lies / sizeof *lies; i++)
        cr_expect_eq(file_inside(lies[i].folder, lies[i].path), lies[i].inside, "row %zu", i);
    cr_expect_str_eq(file_base_name("a/b/c.yaml"), "c.yaml");
    cr_expect_str_eq(file_base_name("c.yaml"), "c.yaml");
    cr_expect_null(file_real(arena, in_folder("none")));
}
