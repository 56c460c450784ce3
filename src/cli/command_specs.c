/* command_specs.c - check, pack, order and why: the commands that compile specs. */
#include "cli.h"

#include <gudgeon/dump.h>
#include <gudgeon/file.h>
#include <gudgeon/resume.h>
#include <gudgeon/schedule.h>

#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* What one command does with one compiled spec, inside the recovery point. */
struct job {
    const struct cli *cli;
    const char *path;
    const struct cli_side *side;     /* where the spec is read from */
    struct str_buf out;              /* for standard output */
    enum cli_status status;          /* beyond what the diagnostics call for */
    void (*done)(struct context *context, struct job *job, const struct compiled *compiled);
};

static void run_job(struct context *context, void *user)
{
    struct job *job = user;

    job->out.arena = context->arena;
    struct cli_side side = {.word = job->path};
    struct plan_options options = {.weights = job->cli->given[OPTION_WEIGHTS],
                                   .cheapest = job->cli->given[OPTION_CHEAPEST] != NULL};
    if (!cli_side_open(context, &side)) {
        job->status = CLI_OUTSIDE;
        return;
    }
    job->side = &side;
    struct compiled compiled = compile_file(context, side.path, &options);
    if (compiled.tree)
        job->done(context, job, &compiled);
    cli_side_close(context, &side);
}

static enum cli_status run_spec(const struct cli *cli, const char *path,
                                void (*done)(struct context *, struct job *,
                                             const struct compiled *))
{
    struct job job = {.cli = cli, .path = path, .done = done};
    struct context *context = cli_context(cli);

    if (!context)
        return CLI_OUTSIDE;
    context_run(context, run_job, &job);
    return cli_end(cli, context, &job.out, job.status);
}

/* A process a spec, at most `jobs` at a time; results come out in the order of the words only with
 * one job. The highest status wins. */
static enum cli_status run_specs(const struct cli *cli,
                                 void (*done)(struct context *, struct job *,
                                              const struct compiled *))
{
    enum cli_status highest = CLI_DONE;
    size_t running = 0, next = 0;

    if (cli->jobs == 1 || cli->word_count == 1) {
        for (size_t i = 0; i < cli->word_count; i++) {
            enum cli_status status = run_spec(cli, cli->words[i], done);
            if (status > highest)
                highest = status;
        }
        return highest;
    }
    while (next < cli->word_count || running > 0) {
        if (next < cli->word_count && running < cli->jobs) {
            pid_t child = fork();
            if (child == 0)
                _exit((int)run_spec(cli, cli->words[next], done));
            if (child > 0) {
                running++;
                next++;
                continue;
            }
            if (running == 0) {
                perror("gudgeon: fork");
                return CLI_OUTSIDE;
            }
        }
        int how;
        if (wait(&how) < 0)
            break;
        running--;
        enum cli_status status = WIFEXITED(how) ? (enum cli_status)WEXITSTATUS(how) : CLI_OUTSIDE;
        if (status > highest)
            highest = status;
    }
    return highest;
}

static struct pack *lay_out(struct context *context, const struct job *job,
                            const struct plan *plan)
{
    const struct cli *cli = job->cli;
    struct pack_options options = {.template_path = cli->given[OPTION_TEMPLATE],
                                   .revision = cli->given[OPTION_REVISION]};
    struct str_buf ids = {.arena = context->arena};

    if (!plan)
        return NULL;
    int64_t date = 0;
    if (cli->command == COMMAND_PACK && (!options.revision || cli->date < 0)) {
        const char *revision = cli_side_revision(context->arena, job->side, plan->build->spec->tree,
                                                 &date);
        options.revision = options.revision ? options.revision : revision;
    }
    options.date = cli->date >= 0 ? cli->date : date;

    if (cli->given[OPTION_CARDS]) {
        str_add(&ids, cli->given[OPTION_CARDS]);
        struct { const char **items; size_t count, room; } list = {0};
        for (char *at = strtok(ids.bytes, ","); at; at = strtok(NULL, ","))
            *ARRAY_PUSH(context->arena, &list) = at;
        options.cards = list.items;
        options.card_count = list.count;
    }
    return pack_lay_out(context, plan, &options);
}

static void dump_stage(struct context *context, struct job *job, const struct compiled *compiled)
{
    const char *stage = job->cli->given[OPTION_DUMP];
    struct json json;

    json_init(&json, context->arena, false);
    if (strcmp(stage, "tree") == 0) {
        tree_dump(compiled->tree->root, &json);
    } else if (strcmp(stage, "spec") == 0 && compiled->spec) {
        spec_dump(compiled->spec, &json);
    } else if (strcmp(stage, "build") == 0 && compiled->build) {
        build_dump(compiled->build, &json);
    } else if (strcmp(stage, "plan") == 0 && compiled->plan) {
        plan_dump(compiled->plan, &json);
    } else if (strcmp(stage, "pack") == 0) {
        const struct pack *pack = lay_out(context, job, compiled->plan);
        if (pack)
            pack_dump(pack, &json);
    }
    if (json.out.length) {
        str_add(&job->out, json.out.bytes);
        str_add(&job->out, "\n");
    }
}

/* The one line a spec that check and pack print. */
static void print_summary(struct context *context, struct job *job, const struct plan *plan)
{
    size_t accepted = 0;
    const struct spec *spec = plan->build->spec;

    for (size_t i = 0; i < spec->entries.count; i++)
        for (size_t j = 0; j < spec->entries.items[i]->accept.count; j++)
            accepted += spec->entries.items[i]->accept.items[j].used;
    str_add_print(&job->out,
                  "%s: %zu operations on %zu cards, %zu set-up changes, %lld min lost to "
                  "changes and waits, %zu lines to buy, "
                  "%zu open questions; %zu warnings, %zu accepted with a reason\n",
                  job->path, plan->operations.count, plan->cards.count, plan->setups,
                  (long long)(plan->cost.total_s + 30) / 60,
                  plan->build->purchases.count, plan->build->questions.count,
                  context->diags.warnings, accepted);
}

static void check_done(struct context *context, struct job *job, const struct compiled *compiled)
{
    if (job->cli->given[OPTION_DUMP])
        dump_stage(context, job, compiled);
    else if (compiled->plan && context->diags.errors == 0)
        print_summary(context, job, compiled->plan);
}

enum cli_status cli_check(const struct cli *cli)
{
    return run_specs(cli, check_done);
}

static const char *pack_folder(struct context *context, const struct cli *cli,
                               const struct spec *spec)
{
    if (!cli->given[OPTION_OUTPUT])
        return str_print(context->arena, "out/%s", spec->id);
    return cli->word_count == 1 ? cli->given[OPTION_OUTPUT]
                                : str_print(context->arena, "%s/%s", cli->given[OPTION_OUTPUT],
                                            spec->id);
}

static void pack_done(struct context *context, struct job *job, const struct compiled *compiled)
{
    struct str_buf changed = {.arena = context->arena};

    if (!compiled->plan || context->diags.errors ||
        (job->cli->given[OPTION_STRICT] && context->diags.warnings))
        return;
    const struct pack *pack = lay_out(context, job, compiled->plan);
    if (!pack)
        return;
    const struct outputs *outputs = write_all(context, pack, GUDGEON_VERSION);
    const char *folder = pack_folder(context, job->cli, compiled->spec);
    if (!outputs || !write_into(context, outputs, folder, &changed))
        return;
    print_summary(context, job, compiled->plan);
    str_add_print(&job->out, "the work pack is in %s\n", folder);
    if (changed.length)
        str_add_print(&job->out, "cards changed since the pack before: %s\n", changed.bytes);
    if (job->cli->given[OPTION_DEPFILE])
        job->status = cli_write_depfile(context, job->cli->given[OPTION_DEPFILE], folder);
}

/* Two specs with one ID would write one pack over the other. */
static enum cli_status refuse_same_ids(const struct cli *cli)
{
    for (size_t i = 0; i < cli->word_count; i++)
        for (size_t j = 0; j < i; j++)
            if (strcmp(file_base_name(cli->words[i]), file_base_name(cli->words[j])) == 0)
                return cli_usage("'%s' and '%s' would write the same pack", cli->words[j],
                                 cli->words[i]);
    return CLI_DONE;
}

enum cli_status cli_pack(const struct cli *cli)
{
    enum cli_status status = refuse_same_ids(cli);

    if (status == CLI_DONE && cli->given[OPTION_DEPFILE] && cli->word_count > 1)
        status = cli_usage("--depfile goes with one spec");
    return status == CLI_DONE ? run_specs(cli, pack_done) : status;
}

static void quotes_done(struct context *context, struct job *job, const struct compiled *compiled)
{
    if (!compiled->plan || context->diags.errors)
        return;
    const struct pack *pack =
        quotes_lay_out(context, compiled->plan, job->cli->given[OPTION_TEMPLATE]);
    if (pack)
        write_plain(pack, &job->out);
}

enum cli_status cli_quotes(const struct cli *cli)
{
    return run_spec(cli, cli->words[0], quotes_done);
}

/* The ids that `why` knows and `word` is nearest to. */
static const char *nearest_id(struct context *context, const struct compiled *compiled,
                              const char *word)
{
    struct { const char **items; size_t count, room; } words = {0};

    for (size_t i = 0; i < compiled->build->facts.count; i++)
        *ARRAY_PUSH(context->arena, &words) = compiled->build->facts.items[i]->id;
    for (size_t i = 0; i < compiled->spec->groups.count; i++)
        *ARRAY_PUSH(context->arena, &words) = compiled->spec->groups.items[i]->id;
    for (size_t i = 0; i < compiled->plan->operations.count; i++)
        *ARRAY_PUSH(context->arena, &words) = compiled->plan->operations.items[i]->id;
    return str_nearest(word, words.items, words.count);
}

/* ---------- order ---------- */

/* A word of the command line that names nothing. */
static void say_unknown(struct job *job, const char *what, const char *word, const char *near)
{
    fprintf(stderr, near ? "gudgeon: no %s '%s'; did you mean '%s'?\n" : "gudgeon: no %s '%s'\n", what,
            word, near);
    job->status = CLI_INPUT;
}

static void print_reach(struct context *context, struct job *job, const struct compiled *compiled)
{
    const char *word = job->cli->given[OPTION_REACH], *at = job->cli->given[OPTION_AT];
    const struct group *group = spec_group(compiled->spec, word);
    struct entry *entry = spec_member(compiled->spec, word);
    struct { const char **items; size_t count, room; } parts = {0};

    for (size_t i = 0; i < compiled->spec->parts.count; i++)
        *ARRAY_PUSH(context->arena, &parts) = compiled->spec->parts.items[i]->e.member;
    if (!entry && group && group->member_count == 1)
        entry = group->members[0];
    const struct part *part = entry ? spec_part(entry) : NULL;
    if (!part) {
        const char *near = !entry && group && group->member_count ? group->members[0]->member
                                                                  : str_nearest(word, parts.items, parts.count);
        say_unknown(job, "part", word, near);
        return;
    }
    const struct operation *operation = at ? plan_operation(compiled->plan, at) : NULL;
    if (at && !operation) {
        say_unknown(job, "operation", at, nearest_id(context, compiled, at));
        return;
    }
    resume_print_reach(compiled->plan, part, operation, &job->out);
}

/* The state of the engine and the cards to come, as the stop sheet has them; then each operation. */
static void print_remaining(struct context *context, struct job *job, const struct compiled *compiled)
{
    const struct cli *cli = job->cli;
    const bool *done = resume_read_done(context, compiled->plan, cli->given[OPTION_DONE]);
    struct pack_options options = {.template_path = cli->given[OPTION_TEMPLATE]};
    struct str_buf changed = {.arena = context->arena};
    int64_t date = 0;

    if (!done)
        return;
    options.revision = cli_side_revision(context->arena, job->side, compiled->tree, &date);
    options.date = cli->date >= 0 ? cli->date : date;
    const struct resume *state = resume_after(context->arena, compiled->plan, done);
    struct pack *pack = pack_stop_sheet(context, state, &options);
    if (!pack)
        return;
    write_plain(pack, &job->out);
    str_add(&job->out, "\n");
    plan_print_remaining(compiled->plan, done, &job->out);
    if (!cli->given[OPTION_OUTPUT])
        return;
    const struct outputs *outputs = write_all(context, pack, GUDGEON_VERSION);
    if (outputs && write_into(context, outputs, cli->given[OPTION_OUTPUT], &changed))
        str_add_print(&job->out, "the stop sheet is in %s\n", cli->given[OPTION_OUTPUT]);
}

static void order_done(struct context *context, struct job *job, const struct compiled *compiled)
{
    const char *const *given = job->cli->given;

    if (!compiled->plan || context->diags.errors)
        return;
    if (given[OPTION_DOT])
        plan_print_dot(compiled->plan, &job->out);
    else if (given[OPTION_SCHEDULE])
        schedule_print(schedule_make(context->arena, compiled->plan, 2), &job->out);
    else if (given[OPTION_DONE])
        print_remaining(context, job, compiled);
    else if (given[OPTION_REACH])
        print_reach(context, job, compiled);
    else
        plan_print(compiled->plan, given[OPTION_STRIP] != NULL, &job->out);
    if (given[OPTION_CHEAPEST] && !given[OPTION_DOT])
        plan_print_cost(compiled->plan, &job->out);
}

enum cli_status cli_order(const struct cli *cli)
{
    static const enum cli_option alone[] = {OPTION_STRIP, OPTION_SCHEDULE, OPTION_DOT, OPTION_DONE,
                                            OPTION_REACH};
    size_t asked = 0;

    for (size_t i = 0; i < sizeof alone / sizeof *alone; i++)
        asked += cli->given[alone[i]] != NULL;
    if (asked > 1)
        return cli_usage("--strip, --schedule, --dot, --done and --reach each answer another question: "
                         "give one of them");
    if (cli->given[OPTION_AT] && !cli->given[OPTION_REACH])
        return cli_usage("--at goes with --reach");
    if ((cli->given[OPTION_OUTPUT] || cli->given[OPTION_TEMPLATE]) && !cli->given[OPTION_DONE])
        return cli_usage("--output and --template go with --done");
    return run_spec(cli, cli->words[0], order_done);
}

static bool belongs(const struct entry *entry, const char *id)
{
    return entry && (str_equal(entry->member, id) || str_equal(entry->id, id));
}

static void print_verdicts(const struct build *build, const char *id, struct str_buf *out)
{
    struct build_judgements all = build_judgements(out->arena, build);

    for (size_t i = 0; i < all.count; i++)
        if (all.items[i].words && all.items[i].entry->kind != ENTRY_PART &&
            belongs(all.items[i].entry, id))
            str_add_print(out, "%s: %s\n", all.items[i].entry->member,
                          build_words(out->arena, build, all.items[i].words));
}

/* All that is known of an entry: its facts, verdicts and operations. */
static bool print_entry(const struct compiled *compiled, const char *id, struct str_buf *out)
{
    bool any = false;

    for (size_t i = 0; i < compiled->build->facts.count; i++) {
        const struct fact *fact = compiled->build->facts.items[i];
        if (belongs(fact->entry, id)) {
            build_why(compiled->build, fact, out);
            any = true;
        }
    }
    print_verdicts(compiled->build, id, out);
    for (size_t i = 0; i < compiled->plan->operations.count; i++) {
        const struct operation *operation = compiled->plan->operations.items[i];
        if (belongs(operation->entry, id)) {
            str_add_print(out, "%s %zu: %s  [%s]\n", phase_name(operation->phase),
                          operation->number, operation_words(out->arena, operation),
                          operation->id);
            any = true;
        }
    }
    return any;
}

static void print_why_json(struct context *context, const struct compiled *compiled,
                           const char *id, struct str_buf *out)
{
    struct json json;

    json_init(&json, context->arena, false);
    json_array(&json);
    for (size_t i = 0; i < compiled->build->facts.count; i++) {
        const struct fact *fact = compiled->build->facts.items[i];
        if (str_equal(fact->id, id) || belongs(fact->entry, id))
            build_why_json(compiled->build, fact, &json);
    }
    json_array_end(&json);
    str_add(out, json.out.bytes);
    str_add(out, "\n");
}

static void why_done(struct context *context, struct job *job, const struct compiled *compiled)
{
    const char *id = job->cli->words[1];

    if (!compiled->plan || context->diags.errors)
        return;
    if (job->cli->word_count == 3) {
        for (size_t i = 1; i < 3; i++) {
            const char *word = job->cli->words[i];
            if (plan_operation(compiled->plan, word) || spec_group(compiled->spec, word) ||
                spec_member(compiled->spec, word))
                continue;
            const char *near = nearest_id(context, compiled, word);
            fprintf(stderr, near ? "gudgeon: no operation or entry '%s'; did you mean '%s'?\n"
                                 : "gudgeon: no operation or entry '%s'\n",
                    word, near);
            job->status = CLI_INPUT;
            return;
        }
        plan_why(context, compiled->plan, id, job->cli->words[2], &job->out);
        return;
    }
    struct fact *fact = build_fact(compiled->build, id);
    const struct operation *operation = plan_operation(compiled->plan, id);
    if (job->cli->given[OPTION_JSON])
        print_why_json(context, compiled, id, &job->out);
    else if (fact)
        build_why(compiled->build, fact, &job->out);
    else if (operation)
        plan_why(context, compiled->plan, id, NULL, &job->out);
    else if (!print_entry(compiled, id, &job->out)) {
        const char *near = nearest_id(context, compiled, id);
        fprintf(stderr, near ? "gudgeon: nothing is called '%s'; did you mean '%s'?\n"
                             : "gudgeon: nothing is called '%s'\n",
                id, near);
        job->status = CLI_INPUT;
    }
}

enum cli_status cli_why(const struct cli *cli)
{
    return run_spec(cli, cli->words[0], why_done);
}
