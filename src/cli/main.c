/* main.c - one command, one exit status. */
#include "cli.h"

#include <stdlib.h>
#include <string.h>

static enum cli_status (*const runs[COMMAND_COUNT])(const struct cli *) = {
    [COMMAND_CHECK] = cli_check,     [COMMAND_PACK] = cli_pack,       [COMMAND_ORDER] = cli_order,
    [COMMAND_WHY] = cli_why,         [COMMAND_VALUES] = cli_values,
    [COMMAND_COMPARE] = cli_compare, [COMMAND_QUOTES] = cli_quotes,
    [COMMAND_TABLE] = cli_table,     [COMMAND_CONVERT] = cli_convert,
    [COMMAND_NEW] = cli_new,         [COMMAND_EXPLAIN] = cli_explain, [COMMAND_SCHEMA] = cli_schema,
};

enum cli_status cli_print(const char *text)
{
    if (fputs(text, stdout) == EOF || fflush(stdout) == EOF) {
        perror("gudgeon: standard output");
        return CLI_OUTSIDE;
    }
    return CLI_DONE;
}

struct context *cli_context(const struct cli *cli)
{
    struct context_options options = {.root = cli->given[OPTION_ROOT],
                                      .allow = cli->allow,
                                      .allow_count = cli->allow_count,
                                      .most_memory = cli->most_memory};
    struct context *context = context_new(&options);

    if (!context)
        fputs("gudgeon: out of memory\n", stderr);
    return context;
}

enum cli_status cli_report(const struct cli *cli, struct context *context)
{
    if (context->out_of_memory) {
        fputs(cli->most_memory ? "gudgeon: the spec needs more memory than --max-memory allows\n"
                               : "gudgeon: out of memory\n",
              stderr);
        return cli->most_memory ? CLI_INPUT : CLI_OUTSIDE;
    }
    struct str_buf out = {.arena = context->arena};
    diag_render(&context->diags, &context->sources, cli->diagnostics, cli->colour,
                BOUND_DIAGNOSTICS, &out);
    if (out.length)
        fputs(out.bytes, stderr);
    if (context->diags.errors)
        return context->outside_failed ? CLI_OUTSIDE : CLI_INPUT;
    if (context->diags.warnings && cli->given[OPTION_STRICT])
        return CLI_INPUT;
    return CLI_DONE;
}

enum cli_status cli_end(const struct cli *cli, struct context *context, const struct str_buf *out,
                        enum cli_status status)
{
    enum cli_status reported = cli_report(cli, context), printed = CLI_DONE;

    if (out->length && !context->out_of_memory)
        printed = cli_print(out->bytes);
    context_free(context);
    return printed != CLI_DONE ? printed : reported > status ? reported : status;
}

int main(int argc, char **argv)
{
    struct cli cli;
    enum cli_status status;

    if (cli_parse(argc, argv, &cli, &status))
        status = runs[cli.command](&cli);
    free(cli.allow);
    return (int)status;
}
