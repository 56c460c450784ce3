/* options.c - the command line, from the two tables. */
#include "cli.h"

#include <getopt.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#ifndef GUDGEON_VERSION
#error "the build says the version"
#endif

#define ON(name) (1u << COMMAND_##name)
#define ON_ALL (~0u)
#define ON_SPECS                                                                                   \
    (ON(CHECK) | ON(PACK) | ON(ORDER) | ON(WHY) | ON(VALUES) | ON(COMPARE) | ON(QUOTES))

static const struct {
    const char *word, *arguments;
    unsigned least, most;
    const char *help;
} commands[COMMAND_COUNT] = {
#define COMMAND(name, word, arguments, least, most, help) {word, arguments, least, most, help},
#include "commands.def"
#undef COMMAND
};

static const struct {
    const char *word;
    char letter;
    const char *argument;
    unsigned on;
    const char *help;
} options[OPTION_COUNT] = {
#define OPTION(name, word, letter, argument, commands, help) {word, letter, argument, commands, help},
#include "options.def"
#undef OPTION
};

enum cli_status cli_usage(const char *format, ...)
{
    va_list arguments;

    fputs("gudgeon: ", stderr);
    va_start(arguments, format);
    vfprintf(stderr, format, arguments);
    va_end(arguments);
    fputs("\nTry 'gudgeon --help'.\n", stderr);
    return CLI_USAGE;
}

void cli_print_help(FILE *out)
{
    fputs("Usage: gudgeon COMMAND [OPTION...] [WORD...]\n"
          "Compiles the build spec of an engine into a work pack.\n\nCommands:\n",
          out);
    for (size_t i = 0; i < COMMAND_COUNT; i++)
        fprintf(out, "  %s %s\n      %s\n", commands[i].word, commands[i].arguments,
                commands[i].help);
    fputs("\nOptions:\n", out);
    for (size_t i = 0; i < OPTION_COUNT; i++) {
        fputs("  ", out);
        if (options[i].letter)
            fprintf(out, "-%c, ", options[i].letter);
        fprintf(out, "--%s", options[i].word);
        if (options[i].argument)
            fprintf(out, "=%s", options[i].argument);
        if (options[i].on != ON_ALL) {
            fputs("   (", out);
            const char *between = "";
            for (size_t c = 0; c < COMMAND_COUNT; c++) {
                if (options[i].on & (1u << c)) {
                    fprintf(out, "%s%s", between, commands[c].word);
                    between = ", ";
                }
            }
            fputc(')', out);
        }
        fprintf(out, "\n      %s\n", options[i].help);
    }
    fputs("\n'--' ends options; '-' as SPEC reads standard input; REV:PATH is a spec of a git revision,\n"
          "seen from the top of the repository, :PATH one of the index.\n"
          "Exit status: 0 done, 1 the input is at fault, 2 wrong usage, 3 the outside failed,\n"
          "4 compare --exit-code found differences.\n",
          out);
}

static const char *nearest_command(const char *word)
{
    const char *words[COMMAND_COUNT];

    for (size_t i = 0; i < COMMAND_COUNT; i++)
        words[i] = commands[i].word;
    return str_nearest(word, words, COMMAND_COUNT);
}

static bool find_command(const char *word, enum cli_command *command)
{
    for (size_t i = 0; i < COMMAND_COUNT; i++) {
        if (strcmp(word, commands[i].word) == 0) {
            *command = (enum cli_command)i;
            return true;
        }
    }
    return false;
}

static bool positive(const char *text, int64_t most, int64_t *value)
{
    return str_to_int(text, value) && *value > 0 && *value <= most;
}

/* The options whose argument has a form of its own. */
static enum cli_status take_values(struct cli *cli)
{
    static const char *const forms[] = {"text", "json", "sarif"};
    static const char *const stages[] = {"tree", "spec", "build", "plan", "pack"};
    const char *form = cli->given[OPTION_DIAGNOSTICS];
    const char *stage = cli->given[OPTION_DUMP];
    int64_t number;

    if (form) {
        size_t i = 0;
        while (i < 3 && strcmp(forms[i], form) != 0)
            i++;
        if (i == 3)
            return cli_usage("--diagnostics is text, json or sarif, not '%s'", form);
        cli->diagnostics = (enum diag_form)i;
    }
    if (stage) {
        size_t i = 0;
        while (i < 5 && strcmp(stages[i], stage) != 0)
            i++;
        if (i == 5)
            return cli_usage("--dump is tree, spec, build, plan or pack, not '%s'", stage);
    }
    if (cli->given[OPTION_MAX_MEMORY]) {
        if (!positive(cli->given[OPTION_MAX_MEMORY], INT_MAX, &number))
            return cli_usage("--max-memory is a whole number of megabytes, not '%s'",
                             cli->given[OPTION_MAX_MEMORY]);
        cli->most_memory = (size_t)number * 1024 * 1024;
    }
    cli->jobs = 1;
    if (cli->given[OPTION_JOBS]) {
        if (!positive(cli->given[OPTION_JOBS], 1024, &number))
            return cli_usage("--jobs is a whole number from 1 to 1024, not '%s'",
                             cli->given[OPTION_JOBS]);
        cli->jobs = (unsigned)number;
    }
    return CLI_DONE;
}

static enum cli_status take_environment(struct cli *cli)
{
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    const char *no_colour = getenv("NO_COLOR");

    cli->date = -1;
    if (epoch && *epoch && (!str_to_int(epoch, &cli->date) || cli->date < 0 ||
                            cli->date > INT64_C(253402300799)))
        return cli_usage("SOURCE_DATE_EPOCH is a number of seconds since 1970, not '%s'", epoch);
    cli->colour = isatty(STDERR_FILENO) && !(no_colour && *no_colour);
    return CLI_DONE;
}

static enum cli_status take_options(int argc, char **argv, struct cli *cli)
{
    struct option longs[OPTION_COUNT + 1] = {0};
    char shorts[3 * OPTION_COUNT + 2] = ":";
    char *at = shorts + 1;

    for (size_t i = 0; i < OPTION_COUNT; i++) {
        longs[i] = (struct option){options[i].word,
                                   options[i].argument ? required_argument : no_argument, NULL,
                                   256 + (int)i};
        if (options[i].letter) {
            *at++ = options[i].letter;
            if (options[i].argument)
                *at++ = ':';
        }
    }
    opterr = 0;
    for (int got; (got = getopt_long(argc, argv, shorts, longs, NULL)) != -1;) {
        if (got == '?')
            return optopt && optopt < 256 ? cli_usage("unknown option '-%c'", optopt)
                                          : cli_usage("unknown option '%s'", argv[optind - 1]);
        if (got == ':')
            return cli_usage("'%s' needs an argument", argv[optind - 1]);
        size_t i = 0;
        if (got >= 256)
            i = (size_t)(got - 256);
        else
            while (options[i].letter != (char)got)
                i++;
        cli->given[i] = optarg ? optarg : "";
        if (i == OPTION_ALLOW)
            cli->allow[cli->allow_count++] = optarg;
    }
    return CLI_DONE;
}

static enum cli_status take_command(struct cli *cli, char **words, size_t count)
{
    if (count == 0)
        return cli_usage("a command is missing");
    if (!find_command(words[0], &cli->command)) {
        const char *near = nearest_command(words[0]);
        return near ? cli_usage("unknown command '%s'; did you mean '%s'?", words[0], near)
                    : cli_usage("unknown command '%s'", words[0]);
    }
    cli->words = words + 1;
    cli->word_count = count - 1;
    if (cli->word_count < commands[cli->command].least)
        return cli_usage("too few words: gudgeon %s %s", commands[cli->command].word,
                         commands[cli->command].arguments);
    if (commands[cli->command].most && cli->word_count > commands[cli->command].most)
        return cli_usage("too many words: gudgeon %s %s", commands[cli->command].word,
                         commands[cli->command].arguments);
    for (size_t i = 0; i < OPTION_COUNT; i++)
        if (cli->given[i] && !(options[i].on & (1u << cli->command)))
            return cli_usage("'%s' does not take --%s", commands[cli->command].word,
                             options[i].word);
    return CLI_DONE;
}

bool cli_parse(int argc, char **argv, struct cli *cli, enum cli_status *status)
{
    *cli = (struct cli){.allow = calloc((size_t)argc + 1, sizeof(char *))};
    *status = CLI_OUTSIDE;
    if (!cli->allow) {
        fputs("gudgeon: out of memory\n", stderr);
        return false;
    }
    *status = take_options(argc, argv, cli);
    if (*status != CLI_DONE)
        return false;
    if (cli->given[OPTION_HELP]) {
        cli_print_help(stdout);
        *status = fflush(stdout) == 0 ? CLI_DONE : CLI_OUTSIDE;
        return false;
    }
    if (cli->given[OPTION_VERSION]) {
        *status = cli_print("gudgeon " GUDGEON_VERSION "\n");
        return false;
    }
    *status = take_command(cli, argv + optind, (size_t)(argc - optind));
    if (*status == CLI_DONE)
        *status = take_values(cli);
    if (*status == CLI_DONE)
        *status = take_environment(cli);
    return *status == CLI_DONE;
}
