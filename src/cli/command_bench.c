/* command_bench.c - what is asked at the bench without a whole spec: table, convert, new, explain,
 * schema. */
#include "cli.h"
#include "starters.h" /* templates/starter-*.yaml as text, made by the build */

#include <gudgeon/file.h>

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { STARTERS = sizeof starters / sizeof *starters };

struct job {
    const struct cli *cli;
    enum cli_status status;
    void (*done)(struct context *context, struct job *job, struct str_buf *out);
};

static void run_job(struct context *context, void *user)
{
    struct job *job = user;
    struct str_buf out = {.arena = context->arena};

    job->done(context, job, &out);
    if (out.length) {
        enum cli_status printed = cli_print(out.bytes);
        if (job->status < printed)
            job->status = printed;
    }
}

static enum cli_status run(const struct cli *cli,
                           void (*done)(struct context *, struct job *, struct str_buf *))
{
    struct job job = {.cli = cli, .done = done};
    struct context *context = cli_context(cli);

    if (!context)
        return CLI_OUTSIDE;
    context_run(context, run_job, &job);
    enum cli_status status = cli_report(cli, context);
    context_free(context);
    return status < job.status ? job.status : status;
}

static void table_done(struct context *context, struct job *job, struct str_buf *out)
{
    if (!table_query(context, context->tables, job->cli->words, job->cli->word_count, out))
        job->status = CLI_INPUT;
}

enum cli_status cli_table(const struct cli *cli)
{
    return run(cli, table_done);
}

static void print_length(struct arena *arena, struct qty value, struct str_buf *out)
{
    int64_t rest;
    char *fraction = qty_print_fraction(arena, value.exact, 64, &rest);

    str_add_print(out, "  %s\n", qty_print(arena, value, qty_unit_find("mm", QTY_LENGTH), 4,
                                           QTY_NEAREST));
    str_add_print(out, "  %s\n", qty_print(arena, value, qty_unit_find("in", QTY_LENGTH), 5,
                                           QTY_NEAREST));
    str_add_print(out, "  %s\n", qty_print(arena, value, qty_unit_find("thou", QTY_LENGTH), 2,
                                           QTY_NEAREST));
    str_add_print(out, "  nearest 64th: %s, %s %s\n", fraction,
                  qty_print(arena, qty_from_pm(rest < 0 ? -rest : rest),
                            qty_unit_find("thou", QTY_LENGTH), 2, QTY_NEAREST),
                  rest < 0 ? "under it" : rest > 0 ? "over it" : "off");
}

static void print_to(struct arena *arena, struct qty value, const struct qty_unit *unit,
                     struct str_buf *out)
{
    str_add_print(out, "  %s\n",
                  qty_print(arena, value, unit, qty_places(unit) + 1, QTY_NEAREST));
}

/* The dimensions that a quantity could have, tried in the order of the enum. */
static bool read_any(struct context *context, const char *text, struct qty_value *value,
                     struct qty_error *error)
{
    struct qty_error first = {0};

    for (int dim = QTY_LENGTH; dim < QTY_DIM_COUNT; dim++) {
        if (dim == QTY_TEMPERATURE_DIFFERENCE || dim == QTY_COUNT)
            continue;
        if (qty_read(context->arena, text, (enum qty_dim)dim, QTY_TAKE_ONE, value, error))
            return true;
        if (dim == QTY_LENGTH || (first.fault == QTY_FAULT_DIMENSION &&
                                  error->fault != QTY_FAULT_DIMENSION))
            first = *error;
    }
    *error = first;
    return false;
}

/* The unit asked for says which dimension is meant: 25 lb in kg is a mass, in N a force; 5 K in degF
 * is a difference. */
static bool read_for_unit(struct context *context, const char *text, const char *unit,
                          struct qty_value *value, struct qty_error *error)
{
    bool any = false;
    struct qty_error first = {0};

    for (int dim = QTY_LENGTH; dim < QTY_DIM_COUNT; dim++) {
        if (!qty_unit_find(unit, (enum qty_dim)dim))
            continue;
        if (qty_read(context->arena, text, (enum qty_dim)dim, QTY_TAKE_ONE, value, error))
            return true;
        if (!any)
            first = *error;
        any = true;
    }
    if (!any)
        return read_any(context, text, value, error);
    *error = first;
    return false;
}

static void convert_done(struct context *context, struct job *job, struct str_buf *out)
{
    const char *text = job->cli->words[0];
    struct qty_value value;
    struct qty_error error;
    bool good = job->cli->word_count == 2
                    ? read_for_unit(context, text, job->cli->words[1], &value, &error)
                    : read_any(context, text, &value, &error);

    if (!good) {
        fprintf(stderr, "gudgeon: '%s': %s\n", text, error.message);
        if (error.hint)
            fprintf(stderr, "hint: %s\n", error.hint);
        job->status = CLI_INPUT;
        return;
    }
    const struct qty_unit *to = NULL;
    if (job->cli->word_count == 2) {
        to = qty_unit_find(job->cli->words[1], value.nominal.dim);
        if (!to) {
            fprintf(stderr, "gudgeon: '%s' is no unit of %s\n", job->cli->words[1],
                    qty_dim_name(value.nominal.dim));
            job->status = CLI_INPUT;
            return;
        }
    }
    str_add_print(out, "%s\n", text);
    if (to)
        print_to(context->arena, value.nominal, to, out);
    else if (value.nominal.dim == QTY_LENGTH)
        print_length(context->arena, value.nominal, out);
    else
        for (size_t i = 0; (to = qty_unit_at(i)); i++)
            if (to->dim == value.nominal.dim && to != value.nominal.unit)
                print_to(context->arena, value.nominal, to, out);
}

enum cli_status cli_convert(const struct cli *cli)
{
    return run(cli, convert_done);
}

static const char *starter_called(const char *kind)
{
    for (size_t i = 0; i < STARTERS; i++)
        if (strcmp(starters[i].kind, kind) == 0)
            return starters[i].text;
    fprintf(stderr, "gudgeon: no starter '%s'; there are:", kind);
    for (size_t i = 0; i < STARTERS; i++)
        fprintf(stderr, " %s", starters[i].kind);
    fputs("\n", stderr);
    return NULL;
}

/* "my-engine" of out/my-engine.yaml */
static const char *engine_name(struct arena *arena, const char *path)
{
    const char *name = file_base_name(path);

    return str_ends(name, ".yaml") ? str_slice(arena, name, strlen(name) - strlen(".yaml")) : name;
}

static const char *starter_of_csv(struct context *context, struct job *job, const char *csv,
                                  const char *path)
{
    struct file_bytes file = file_read(context->arena, csv, BOUND_FILE_BYTES);

    if (file.status != FILE_OK) {
        fprintf(stderr, "gudgeon: %s: %s\n", csv,
                file.status == FILE_MISSING ? "there is no such file" : "it cannot be read");
        job->status = CLI_OUTSIDE;
        return NULL;
    }
    return spec_starter(context,
                        source_add(context->arena, &context->sources, csv, file.bytes, file.size),
                        engine_name(context->arena, path));
}

static void new_done(struct context *context, struct job *job, struct str_buf *out)
{
    const char *csv = job->cli->given[OPTION_FROM_CSV];
    const char *path = job->cli->words[job->cli->word_count - 1];

    if (access(path, F_OK) == 0) {
        fprintf(stderr, "gudgeon: %s exists already; it was left as it is\n", path);
        job->status = CLI_OUTSIDE;
        return;
    }
    job->status = CLI_INPUT;
    const char *text =
        csv ? starter_of_csv(context, job, csv, path) : starter_called(job->cli->words[0]);
    if (!text)
        return;
    const char *why = file_write(context->arena, path, text, strlen(text));
    job->status = why ? CLI_OUTSIDE : CLI_DONE;
    if (why)
        fprintf(stderr, "gudgeon: %s: %s\n", path, why);
    else
        str_add_print(out, "%s written; next: gudgeon check %s\n", path, path);
}

enum cli_status cli_new(const struct cli *cli)
{
    size_t wanted = cli->given[OPTION_FROM_CSV] ? 1 : 2;

    if (cli->word_count != wanted)
        return cli_usage(wanted == 1 ? "with --from-csv, new takes a FILE alone"
                                     : "new takes a KIND and a FILE");
    return run(cli, new_done);
}

static void explain_done(struct context *context, struct job *job, struct str_buf *out)
{
    static const char *const severities[] = {"error", "warning", "note"};
    const struct diag_info *info = diag_find(job->cli->words[0]);

    (void)context;
    if (!info) {
        fprintf(stderr, "gudgeon: no diagnostic has the code '%s'\n", job->cli->words[0]);
        job->status = CLI_INPUT;
        return;
    }
    str_add_print(out, "%s (%s)\n\n%s\n", info->printed, severities[info->severity],
                  info->paragraph);
}

enum cli_status cli_explain(const struct cli *cli)
{
    return run(cli, explain_done);
}

static void schema_done(struct context *context, struct job *job, struct str_buf *out)
{
    struct json json;

    (void)job;
    json_init(&json, context->arena, false);
    spec_print_schema(&json);
    str_add(out, json.out.bytes);
    str_add(out, "\n");
}

enum cli_status cli_schema(const struct cli *cli)
{
    return run(cli, schema_done);
}
