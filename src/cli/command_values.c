/* command_values.c - values: all that a spec says and what is resolved from it, a line each, so that two
 * states of it differ where their values do; as git's text conversion too. */
#include "store.h"

#include <string.h>

enum { MOST_COMMITS = 1000, MOST_SPECS = 200 }; /* looked through for a file that git has copied */

struct job {
    const struct cli *cli;
    struct str_buf out;
    enum cli_status status;
};

/* ---------- a line a value ---------- */

static void add_fact(struct str_buf *out, const struct build *build, const struct fact *fact,
                     const char *member)
{
    const char *source = build_words(out->arena, build, build_source(out->arena, fact));
    bool own = str_starts(fact->id, member) && fact->id[strlen(member)] == '.';

    str_add_print(out, "  = %s: %s", own ? fact->id + strlen(member) + 1 : fact->id,
                  build_fact_words(out->arena, build, fact));
    str_add_print(out, source ? " [%s]\n" : "\n", source);
}

/* What is worked out, looked up and judged; what is given stands above as it is written. */
static void add_facts(struct str_buf *out, const struct build *build, const struct entry *entry,
                      const struct build_judgements *judged)
{
    for (size_t i = 0; i < build->facts.count; i++)
        if (build->facts.items[i]->entry == entry && build->facts.items[i]->origin != FACT_GIVEN)
            add_fact(out, build, build->facts.items[i], entry ? entry->member : "engine");
    for (size_t i = 0; entry && i < judged->count; i++)
        if (judged->items[i].entry == entry)
            str_add_print(out, "  = %s: %s\n", judged->items[i].id,
                          judged->items[i].words ? build_words(out->arena, build, judged->items[i].words)
                                                 : verdict_word(judged->items[i].verdict));
}

/* `source`: only what stands in that file; 0: all. */
static void add_values(struct str_buf *out, const struct build *build, uint32_t source)
{
    struct spec_says says = {0};
    struct build_judgements judged = build_judgements(out->arena, build);
    const struct spec_said *last = NULL;

    spec_say(out->arena, build->spec, &says);
    for (size_t i = 0; i < says.count; i++) {
        const struct spec_said *said = &says.items[i];
        if (source && (said->entry ? said->entry->group->span.file : said->span.file) != source)
            continue;
        if (!last || strcmp(last->owner, said->owner) != 0)
            str_add_print(out, "%s%s%s\n", said->entry ? spec_section_name(said->entry->kind) : "",
                          said->entry ? " " : "", said->owner);
        str_add_print(out, "  %s: %s\n", *said->key ? said->key : said->owner, said->words);
        last = said;
        if (i + 1 == says.count || strcmp(said->owner, says.items[i + 1].owner) != 0)
            if (said->entry || str_equal(said->owner, "engine"))
                add_facts(out, build, said->entry, &judged);
    }
}

/* ---------- what git has copied ---------- */

struct copy {
    struct context *context;
    struct cli_store *store;
    const char *name;              /* of the copied file */
    git_oid id;                    /* of its bytes */
    const char *path;              /* in the repository, once it is found */
};

/* git names a copy after the file, with letters of its own before it. */
static bool may_be(const struct copy *copy, const char *path)
{
    return str_ends(copy->name, file_base_name(path));
}

static bool holds(struct copy *copy)
{
    const struct git *git = &copy->store->git;

    for (size_t i = 0; i < git->index_count(copy->store->index); i++) {
        const char *path = git->index_at(copy->store->index, i)->path;
        git_oid id;
        bool link;
        if (!may_be(copy, path) || !store_entry(copy->store, path, &id, &link) ||
            !git->id_equal(&id, &copy->id))
            continue;
        copy->path = path;
        return true;
    }
    return false;
}

/* The newest state that holds the bytes under a path of today: the index, then commits down the first parents. */
static bool find_state(struct copy *copy)
{
    const struct git *git = &copy->store->git;
    git_commit *commit, *parent;
    git_oid head;

    if (holds(copy))
        return true;
    if (git->head(&head, copy->store->repository, "HEAD") != 0 ||
        git->commit(&commit, copy->store->repository, &head) != 0)
        return false;
    for (size_t n = 0; commit && n < MOST_COMMITS; n++) {
        if (git->commit_tree(&copy->store->tree, commit) == 0) {
            if (holds(copy))
                break;
            git->tree_free(copy->store->tree);
            copy->store->tree = NULL;
        }
        if (git->commit_parent(&parent, commit, 0) != 0)
            parent = NULL;
        git->commit_free(commit);
        commit = parent;
    }
    if (commit)
        git->commit_free(commit);
    return copy->path != NULL;
}

/* ---------- compiling it, or a spec that reads it ---------- */

/* The number of a source among those that were read since there were `known`; 0: it was not read. */
static uint32_t source_called(const struct context *context, size_t known, const char *path)
{
    for (size_t i = known; i < context->sources.count; i++)
        if (str_equal(context->sources.items[i]->path, path))
            return (uint32_t)i + 1;
    return 0;
}

/* Adds the values of `spec` that stand in `path`; false where it is no whole spec or does not read it. */
static bool add_values_of(struct job *job, struct context *context, const char *spec, const char *path)
{
    size_t known = context->sources.count, told = context->diags.count;

    context->tables = NULL;
    context->diags.errors = 0;
    struct compiled compiled = compile_file(context, spec, NULL);
    uint32_t number = source_called(context, known, path);
    bool good = compiled.build && context->diags.errors == 0 && number;
    context->diags.count = told; /* what is wrong with a state of the past is not asked here */
    context->diags.errors = context->diags.warnings = 0;
    if (good)
        add_values(&job->out, compiled.build, str_equal(spec, path) ? 0 : number);
    return good;
}

static bool is_whole(const struct file_bytes *file)
{
    return file->status == FILE_OK &&
           (strstr(file->bytes, "\nengine:") || strstr(file->bytes, "\nbase:"));
}

/* `mark`: of the store, "" for the disk. */
static bool add_copy(struct job *job, struct copy *copy, const char *mark)
{
    const struct git *git = &copy->store->git;
    struct context *context = copy->context;
    struct arena *arena = context->arena;
    const char *path = str_print(arena, "%s%s", mark, copy->path);
    size_t tried = 0;

    if (add_values_of(job, context, path, path))
        return true;
    for (size_t i = 0; i < git->index_count(copy->store->index) && tried < MOST_SPECS; i++) {
        const char *spec = str_print(arena, "%s%s", mark, git->index_at(copy->store->index, i)->path);
        if (!str_ends(spec, ".yaml"))
            continue;
        struct file_bytes file =
            *mark ? file_store_read(arena, context->store, spec, BOUND_FILE_BYTES)
                  : file_read(arena, spec, BOUND_FILE_BYTES);
        if (is_whole(&file) && ++tried && add_values_of(job, context, spec, path))
            return true;
    }
    return false;
}

/* The bytes as they are, where nothing better can be made of them. */
static void add_bytes(struct job *job, const struct file_bytes *file)
{
    str_add_bytes(&job->out, file->bytes, file->size);
}

static void convert(struct context *context, struct job *job)
{
    const char *word = job->cli->words[0];
    struct file_bytes file = file_read(context->arena, word, BOUND_FILE_BYTES);
    struct cli_store *store = ARENA_NEW(context->arena, struct cli_store);
    struct copy copy = {context, store, file_base_name(word), {{0}}, NULL};

    if (file.status != FILE_OK) {
        fprintf(stderr, "gudgeon: %s cannot be read\n", word);
        job->status = CLI_OUTSIDE;
        return;
    }
    if (!store_open(context, store, word)) {
        job->status = CLI_OUTSIDE;
        return;
    }
    bool done = false;
    if (store_open_index(store) &&
        store->git.hash(&copy.id, file.bytes, file.size, GIT_OBJECT_BLOB) == 0) {
        if (file_tidy(context->arena, word) && *word != '.') { /* of the work tree: git gives its path */
            copy.path = word;
            done = add_copy(job, &copy, "");
        } else if (find_state(&copy)) {
            store_serve(context, store, "git");
            done = add_copy(job, &copy, "git:");
        }
    }
    if (!done)
        add_bytes(job, &file);
    store_close(context, store);
}

static void run_job(struct context *context, void *user)
{
    struct job *job = user;
    struct cli_side side = {.word = job->cli->words[0]};

    job->out.arena = context->arena;
    if (job->cli->given[OPTION_TEXTCONV]) {
        convert(context, job);
        return;
    }
    if (!cli_side_open(context, &side)) {
        job->status = CLI_OUTSIDE;
        return;
    }
    struct compiled compiled = compile_file(context, side.path, NULL);
    if (compiled.build && context->diags.errors == 0)
        add_values(&job->out, compiled.build, 0);
    cli_side_close(context, &side);
}

enum cli_status cli_values(const struct cli *cli)
{
    struct job job = {.cli = cli};
    struct context *context = cli_context(cli);

    if (!context)
        return CLI_OUTSIDE;
    context_run(context, run_job, &job);
    return cli_end(cli, context, &job.out, job.status);
}
