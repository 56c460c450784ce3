/* cli.h - the program: arguments in, exit status out. Only this folder reads argv, the environment
 * and the clock, and prints. */
#ifndef GUDGEON_CLI_H
#define GUDGEON_CLI_H

#include <stdio.h>
#include <gudgeon/compile.h>

enum cli_status {
    CLI_DONE = 0,
    CLI_INPUT = 1,   /* the input is at fault */
    CLI_USAGE = 2,
    CLI_OUTSIDE = 3, /* disk, memory, a file named on the command line */
    CLI_DIFFERS = 4, /* compare --exit-code */
};

enum cli_command {
#define COMMAND(name, word, arguments, least, most, help) COMMAND_##name,
#include "commands.def"
#undef COMMAND
    COMMAND_COUNT
};
enum cli_option {
#define OPTION(name, word, letter, argument, commands, help) OPTION_##name,
#include "options.def"
#undef OPTION
    OPTION_COUNT
};

struct cli {
    enum cli_command command;
    const char *given[OPTION_COUNT]; /* the argument, or "" for a flag that is set; NULL: not given */
    const char **allow;
    size_t allow_count;
    char **words;                    /* what is not an option */
    size_t word_count;
    enum diag_form diagnostics;
    size_t most_memory;
    unsigned jobs;
    int64_t date;                    /* SOURCE_DATE_EPOCH, or -1 */
    bool colour;                     /* standard error is a terminal and NO_COLOR is not set */
};

/* False: `status` is what to exit with (0 after --help and --version). */
bool cli_parse(int argc, char **argv, struct cli *cli, enum cli_status *status);
void cli_print_help(FILE *out);

enum cli_status cli_check(const struct cli *cli);
enum cli_status cli_pack(const struct cli *cli);
enum cli_status cli_order(const struct cli *cli);
enum cli_status cli_why(const struct cli *cli);
enum cli_status cli_values(const struct cli *cli);
enum cli_status cli_compare(const struct cli *cli);
enum cli_status cli_quotes(const struct cli *cli);
enum cli_status cli_table(const struct cli *cli);
enum cli_status cli_convert(const struct cli *cli);
enum cli_status cli_new(const struct cli *cli);
enum cli_status cli_explain(const struct cli *cli);
enum cli_status cli_schema(const struct cli *cli);

/* A context with the options of the command line; NULL only without any memory (said). */
struct context *cli_context(const struct cli *cli);
/* Prints the diagnostics to standard error; the status that they call for. */
enum cli_status cli_report(const struct cli *cli, struct context *context);
/* One usage error, in the GNU form. */
enum cli_status cli_usage(const char *format, ...) STR_PRINTF(1, 2);
/* All of `text` to standard output; CLI_OUTSIDE if that fails. */
enum cli_status cli_print(const char *text);

/* The end of a command that worked in a context: its diagnostics, then what it has to say; frees the
 * context. The gravest status wins, but for a standard output that fails. */
enum cli_status cli_end(const struct cli *cli, struct context *context, const struct str_buf *out,
                        enum cli_status status);

/* The revision of the git repository that holds `path` ("a1b2c3d", with ", edited since" when one of
 * `files` differs from it) and its commit's time; false where there is none. libgit2 is opened on
 * need, and a machine without it simply has no revision. */
bool cli_revision(struct arena *arena, const char *path, const char *const *files, size_t count,
                  const char **revision, int64_t *date);

/* Writes to `path` that the manifest in `folder` rests on every file that was read. */
enum cli_status cli_write_depfile(struct context *context, const char *path, const char *folder);

/* A spec as a word of the command line names it: a file, or REV:PATH of a git revision (":PATH": of the
 * index), which is read without a checkout. */
struct cli_store;
struct cli_side {
    const char *word;
    const char *path;              /* what tree_load is to be given */
    struct cli_store *store;       /* NULL: the disk */
};
/* False after saying why not. From then on context->store serves this side. */
bool cli_side_open(struct context *context, struct cli_side *side);
/* Of the commit, or of the repository in which the files lie ("a1b2c3d, edited since"); NULL where there is
 * none. */
const char *cli_side_revision(struct arena *arena, const struct cli_side *side,
                              const struct tree *tree, int64_t *date);
void cli_side_close(struct context *context, struct cli_side *side);

#endif
