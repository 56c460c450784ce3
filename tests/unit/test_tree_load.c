/* Which files are read, and the bounds that no small golden can show. */
#include <criterion/criterion.h>
#include <fcntl.h>
#include <gudgeon/file.h>
#include <gudgeon/tree.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[] = "/tmp/gudgeon-load-XXXXXX";
static struct arena *arena;

static void set_up(void)
{
    arena = arena_new(0, NULL, NULL);
    cr_assert_not_null(mkdtemp(folder));
    cr_assert_eq(chdir(folder), 0); /* so that messages hold names without a folder */
}

static void tear_down(void)
{
    if (system(str_print(arena, "rm -rf '%s'", folder)) != 0)
        abort();
    arena_free(arena);
}

static void put(const char *path, const char *text)
{
    cr_assert_null(file_write(arena, path, text, strlen(text)), "%s", path);
}

TestSuite(tree_load, .init = set_up, .fini = tear_down);

struct job {
    const char *path;
    bool loaded;
};

static void load(struct context *context, void *user)
{
    struct job *job = user;

    job->loaded = tree_load(context, job->path) != NULL;
}

/* What is said of the spec at `path`; "" where all is well. */
static const char *said_of(const struct context_options *options, const char *path, bool *outside)
{
    struct context *context = context_new(options);
    struct job job = {.path = path};
    struct str_buf out = {.arena = context->arena};

    cr_assert(context_run(context, load, &job));
    cr_expect_eq(job.loaded, context->diags.errors == 0);
    diag_render(&context->diags, &context->sources, DIAG_TEXT, false, 20, &out);
    const char *text = str_copy(arena, out.bytes);
    if (outside != NULL)
        *outside = context->outside_failed;
    context_free(context);
    return text;
}

Test(tree_load, a_spec_that_cannot_be_read_is_the_outsides_fault_unless_it_is_too_large)
{
    bool outside;
    int descriptor = open("huge.yaml", O_WRONLY | O_CREAT, 0666);

    cr_assert_eq(ftruncate(descriptor, (off_t)1 << 40), 0);
    close(descriptor);
    cr_assert_eq(mkdir("folder", 0777), 0);
    cr_expect_str_eq(said_of(NULL, "none.yaml", &outside),
                     "error: there is no file `none.yaml` [G0101]\n");
    cr_expect(outside);
    cr_expect_str_eq(said_of(NULL, "folder", &outside),
                     "error: `folder` is a folder, not a file [G0102]\nhint: name a file in it\n");
    cr_expect(outside);
    cr_expect_str_eq(said_of(NULL, "huge.yaml", &outside),
                     "error: `huge.yaml` is larger than 16777216 bytes, the bound [G0105]\n");
    cr_expect_not(outside);
    put("spec.yaml", "gudgeon: 1\nuse: huge.yaml\n");
    cr_expect_str_eq(said_of(NULL, "spec.yaml", &outside),
                     "spec.yaml:2:6: error: `huge.yaml` is larger than 16777216 bytes, the bound "
                     "[G0105]\n"
                     "  use: huge.yaml\n"
                     "       ^^^^^^^^^\n");
    cr_expect_not(outside, "a file that a spec names is the input's fault");
    put("secret.yaml", "gudgeon: 1\n");
    cr_assert_eq(chmod("secret.yaml", 0), 0);
    uid_t user = geteuid();
    if (user == 0) { /* who may read everything */
        cr_assert_eq(chmod(folder, 0755), 0);
        cr_assert_eq(seteuid(65534), 0);
    }
    cr_expect_str_eq(said_of(NULL, "secret.yaml", &outside),
                     "error: `secret.yaml` may not be read (Permission denied) [G0103]\n");
    cr_expect(outside);
    cr_assert_eq(seteuid(user), 0);
    /* A file of the process table that fails to be read whoever reads it. */
    if (access("/proc/self/mem", R_OK) == 0) {
        cr_expect_str_eq(said_of(NULL, "/proc/self/mem", &outside),
                         "error: `/proc/self/mem` cannot be read (Input/output error) [G0104]\n");
        cr_expect(outside);
    }
}

Test(tree_load, the_bounds_on_files_and_values_hold)
{
    struct str_buf spec = {.arena = arena};

    str_add(&spec, "gudgeon: 1\nuse:\n");
    for (int i = 0; i < BOUND_FILES; i++) {
        put(str_print(arena, "u%d.yaml", i), "gudgeon: 1\n");
        if (i < BOUND_FILES - 1)
            str_add_print(&spec, "  - u%d.yaml\n", i);
    }
    put("spec.yaml", spec.bytes);
    cr_expect_str_eq(said_of(NULL, "spec.yaml", NULL), "", "the spec is one of the thousand");
    str_add_print(&spec, "  - u%d.yaml\n", BOUND_FILES - 1);
    put("spec.yaml", spec.bytes);
    cr_expect_str_eq(said_of(NULL, "spec.yaml", NULL),
                     "spec.yaml:1002:5: error: more than 1000 files, the bound [G0107]\n"
                     "    - u999.yaml\n"
                     "      ^^^^^^^^^\n");

    /* Few bytes, but written out two million values. */
    spec = (struct str_buf){.arena = arena};
    str_add(&spec, "gudgeon: 1\nparts:\n  p0: {v: [0");
    for (int i = 1; i < 2000; i++)
        str_add_print(&spec, ",%d", i);
    str_add(&spec, "]}\n");
    for (int i = 1; i < 1100; i++)
        str_add_print(&spec, "  p%d: {like: p0}\n", i);
    put("spec.yaml", spec.bytes);
    const char *said = said_of(NULL, "spec.yaml", NULL);
    cr_expect_not_null(
        strstr(said, "error: more than 2000000 values in this spec and its files, the bound [G0217]\n"),
        "%s", said);
    cr_expect(str_starts(said, "spec.yaml:3:"));
}

Test(tree_load, only_files_inside_the_root_or_allowed_are_read)
{
    struct context_options here = {.root = "inner"};
    const char *allowed[] = {"other", "inner"};
    struct context_options allow = {.root = "inner", .allow = allowed, .allow_count = 2};
    bool outside;

    cr_assert_eq(mkdir("inner", 0777), 0);
    cr_assert_eq(mkdir("other", 0777), 0);
    put("other/a.yaml", "parts: {a: {x: 1}}\n");
    put("inner/b.yaml", "parts: {b: {x: 1}}\n");
    put("inner/spec.yaml", "gudgeon: 1\nuse: [b.yaml, ../other/a.yaml]\n");
    const char *refused =
        "inner/spec.yaml:2:15: error: `inner/../other/a.yaml` lies outside the root folder of this "
        "spec [G0106]\n"
        "  use: [b.yaml, ../other/a.yaml]\n"
        "                ^^^^^^^^^^^^^^^\n"
        "hint: move it there, or allow its folder with --allow\n";

    cr_expect_str_eq(said_of(NULL, "inner/spec.yaml", NULL), refused, "its own folder is the root");
    cr_expect_str_eq(said_of(&here, "inner/spec.yaml", NULL), refused);
    cr_expect_str_eq(said_of(&allow, "inner/spec.yaml", NULL), "");
    cr_assert_eq(symlink("../other/a.yaml", "inner/link.yaml"), 0);
    put("inner/linked.yaml", "gudgeon: 1\nuse: link.yaml\n");
    cr_expect_not_null(strstr(said_of(NULL, "inner/linked.yaml", NULL), "G0106"),
                       "links are followed first");
    cr_assert_eq(symlink("none.yaml", "inner/dangling.yaml"), 0);
    put("inner/linked.yaml", "gudgeon: 1\nuse: dangling.yaml\n");
    cr_expect_not_null(strstr(said_of(NULL, "inner/linked.yaml", NULL), "G0101"));

    put(".git", "gitdir: elsewhere\n"); /* a file does as well as a folder */
    cr_expect_str_eq(said_of(NULL, "inner/spec.yaml", NULL), "", "the nearest folder with .git");
    cr_expect_str_eq(said_of(&here, "inner/spec.yaml", NULL), refused, "--root has the last word");
    here.root = "none";
    cr_expect_str_eq(said_of(&here, "inner/spec.yaml", &outside),
                     "error: there is no folder `none`, which --root names [G0101]\n");
    cr_expect(outside);
}

Test(tree_load, a_file_named_in_a_field_is_found_beside_the_file_that_names_it)
{
    cr_assert_eq(mkdir("sub", 0777), 0);
    put("sub/readings.csv", "id,value\n");
    put("sub/more.yaml", "readings: [readings.csv, none.csv]\n");
    put("spec.yaml", "gudgeon: 1\nuse: sub/more.yaml\n");
    struct context *context = context_new(NULL);
    struct tree *tree = tree_load(context, "spec.yaml");

    cr_assert_not_null(tree);
    const struct node *names = tree_child(tree->root, "readings");
    uint32_t file = tree_open(context, tree, names->child->text, names->child->span);
    cr_assert_neq(file, 0);
    cr_expect_eq(tree_open(context, tree, "readings.csv", names->child->span), file,
                 "a file is read once");
    cr_assert_eq(tree->files.count, 3);
    cr_expect(str_ends(tree->files.items[2], "/sub/readings.csv"));
    cr_expect_eq(tree_parse_csv(context, file)->rows->count, 0);
    cr_expect_eq(context->diags.count, 0);
    cr_expect_eq(tree_open(context, tree, "none.csv", names->child->next->span), 0);
    cr_assert_eq(context->diags.count, 1);
    cr_expect_eq(context->diags.items[0]->span.begin, names->child->next->span.begin);
    context_free(context);
}

static void load_bytes(struct context *context, void *user)
{
    const char *text = user;

    tree_load_bytes(context, "spec.yaml", text, strlen(text));
}

Test(tree_load, memory_may_run_out_at_any_moment)
{
    static const char text[] = "gudgeon: 1\nuse: [parts.csv, more.yaml]\nbase: base.yaml\n"
                               "parts: {a: {like: b, x: \"1\\t2\"}, c: [1, #2]}\n";

    put("parts.csv", "parts,x\nb,\"1\"\"2\"\n");
    put("more.yaml", "joints: {j: {k: {l: [m, n]}}}\n");
    put("base.yaml", "gudgeon: 1\nparts: {b: {y: 2}, z: ~}\n");
    bool finished = false;
    size_t stopped = 0;
    for (size_t most = 1; !finished; most += 13) {
        struct context_options options = {.most_memory = most};
        struct context *context = context_new(&options);
        finished = context_run(context, load_bytes, (void *)text);
        cr_expect_eq(context->out_of_memory, !finished);
        cr_expect_eq(context->open_count, 0);
        stopped += !finished;
        context_free(context);
    }
    cr_expect(stopped > 50, "only %zu stops were tried", stopped);
}
