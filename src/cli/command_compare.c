/* command_compare.c - compare: two specs compiled side by side in one context. */
#include "cli.h"

#include <gudgeon/compare.h>

#include <string.h>

struct job {
    const struct cli *cli;
    struct str_buf out;
    enum cli_status status;
};

/* A comparison tells of what changed, not of what both have to be warned of: `check` does. */
static void keep_errors(struct diags *diags)
{
    size_t kept = 0;

    for (size_t i = 0; i < diags->count; i++)
        if (diags->items[i]->severity == DIAG_SEVERITY_ERROR)
            diags->items[kept++] = diags->items[i];
    diags->count = kept;
    diags->warnings = 0;
}

static bool make_side(struct context *context, struct job *job, const char *word,
                      struct compare_side *made)
{
    struct cli_side side = {.word = word};
    int64_t date = 0;

    if (!cli_side_open(context, &side)) {
        job->status = CLI_OUTSIDE;
        return false;
    }
    context->tables = NULL; /* each brings its own */
    struct compiled compiled = compile_file(context, side.path, NULL);
    made->name = word;
    made->plan = context->diags.errors ? NULL : compiled.plan;
    if (made->plan)
        made->revision = cli_side_revision(context->arena, &side, compiled.tree, &date);
    cli_side_close(context, &side);
    if (!made->plan)
        return false;
    const struct pack_options options = {.template_path = job->cli->given[OPTION_TEMPLATE],
                                         .date = job->cli->date >= 0 ? job->cli->date : date};
    made->pack = pack_lay_out(context, made->plan, &options);
    return made->pack != NULL;
}

static void write_folder(struct context *context, struct job *job,
                         const struct comparison *comparison, struct pack *pack)
{
    const char *folder = job->cli->given[OPTION_OUTPUT];
    struct str_buf changed = {.arena = context->arena};
    struct json json;

    json_init(&json, context->arena, false);
    compare_print_json(comparison, &json);
    str_add(&json.out, "\n");
    pack->json = json.out.bytes;
    const struct outputs *outputs = write_all(context, pack, GUDGEON_VERSION);
    if (outputs && write_into(context, outputs, folder, &changed) && !job->cli->given[OPTION_JSON])
        str_add_print(&job->out, "\nthe comparison is in %s\n", folder);
}

static void run_job(struct context *context, void *user)
{
    struct job *job = user;
    struct compare_side was = {0}, is = {0};
    struct json json;

    job->out.arena = context->arena;
    if (!make_side(context, job, job->cli->words[0], &was) ||
        !make_side(context, job, job->cli->words[1], &is))
        return;
    const struct comparison *comparison = compare_make(context, &was, &is);
    struct pack *pack = compare_lay_out(context, comparison, job->cli->given[OPTION_TEMPLATE]);
    if (!pack)
        return;
    if (job->cli->given[OPTION_JSON]) {
        json_init(&json, context->arena, false);
        compare_print_json(comparison, &json);
        str_add_print(&job->out, "%s\n", json.out.bytes);
    } else {
        write_plain(pack, &job->out);
    }
    if (job->cli->given[OPTION_OUTPUT])
        write_folder(context, job, comparison, pack);
    if (job->cli->given[OPTION_EXIT_CODE] && !compare_is_same(comparison) &&
        context->diags.errors == 0 && !context->outside_failed) /* a fault is graver */
        job->status = CLI_DIFFERS;
}

enum cli_status cli_compare(const struct cli *cli)
{
    struct job job = {.cli = cli};
    struct context *context = cli_context(cli);

    if (!context)
        return CLI_OUTSIDE;
    context_run(context, run_job, &job);
    keep_errors(&context->diags);
    return cli_end(cli, context, &job.out, job.status);
}
