/* summary.c - the summary sheets: torques, limits, settings, follow-up, sources, questions. */
#include "pack_private.h"

static struct section *summary(struct packer *packer, const char *id, const char *title_key,
                               const struct table *table)
{
    struct section *section =
        section_new(packer, SECTION_SUMMARY, id, label(packer->labels, title_key));

    if (table->rows.count)
        block_add(packer, section, BLOCK_TABLE)->table = table;
    else
        block_text(packer, section, L(packer, "summary.none"));
    return section;
}

static void add_torques(struct packer *packer)
{
    struct table *table = table_new(packer, "torques");

    table_column(packer, table, "joint", L(packer, "summary.joint"), CELL_TEXT, 4);
    table_column(packer, table, "thread", L(packer, "field.thread"), CELL_TEXT, 2);
    table_column(packer, table, "count", L(packer, "field.count"), CELL_COUNT, 0);
    table_column(packer, table, "condition", L(packer, "field.condition"), CELL_TEXT, 3);
    table_column(packer, table, "torque", L(packer, "field.torque"), CELL_TEXT, 3);
    table_column(packer, table, "setting", L(packer, "field.setting"), CELL_TEXT, 2);
    table_column(packer, table, "source", L(packer, "summary.source"), CELL_TEXT, 3);
    for (size_t i = 0; i < packer->build->joints.count; i++) {
        const struct joint_values *values = &packer->build->joints.items[i];
        const struct fact *value = values->torque ? values->torque : values->stretch;
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(values->joint->e.shown);
        row[1] = cell_text(values->joint->left_hand.value
                               ? str_print(packer->arena, "%s %s", values->joint->thread.text,
                                           L(packer, "field.left-hand"))
                               : values->joint->thread.text);
        row[2] = cell_count(packer, values->joint->count.value);
        row[3] = cell_text(text_of_phrase(packer, values->condition));
        row[4] = cell_text(text_of_fact(packer, value));
        row[5] = cell_text(values->setting_text);
        row[6] = cell_text(value ? text_of_origin(packer, value) : NULL);
    }
    summary(packer, "torques", "summary.torques", table);
}

const char *text_of_moments(struct packer *packer, unsigned when)
{
    static const char *const words[] = {"strip", "bench", "trial", "assembled", "running"};
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < 5; i++)
        if (when & (1u << i))
            str_add_print(&text, text.length ? ", %s" : "%s", label_of(packer, "moment", words[i]));
    return text.length ? text.bytes : NULL;
}

/* Limits, fits and sizes are asked of in different words: a table each, without idle columns. */
static struct table *limit_table(struct packer *packer, const char *id, bool worn, bool when,
                                 const char *found_key)
{
    struct table *table = table_new(packer, id);

    table_column(packer, table, "what", L(packer, "summary.what"), CELL_TEXT, 4);
    table_column(packer, table, "new", L(packer, "summary.new"), CELL_TEXT, 4);
    if (worn)
        table_column(packer, table, "worn", L(packer, "summary.worn"), CELL_TEXT, 3);
    if (when)
        table_column(packer, table, "when", L(packer, "summary.when"), CELL_TEXT, 2);
    table_column(packer, table, "found", label(packer->labels, found_key), CELL_TEXT, 4);
    table_column(packer, table, "verdict", L(packer, "summary.verdict"), CELL_TEXT, 5);
    return table;
}

/* What counts, and each reading where more is known of it than its value. */
static const char *found(struct packer *packer, const struct fact *fact,
                         const struct readings *readings)
{
    const char *value = text_of_fact(packer, fact);
    const char *all = text_of_readings(packer, readings, !value || readings->count > 1);

    return all && value ? str_print(packer->arena, "%s (%s)", value, all) : value ? value : all;
}

static const struct table *limit_rows(struct packer *packer)
{
    struct table *table = limit_table(packer, "limits", true, true, "summary.found");

    for (size_t i = 0; i < packer->build->limits.count; i++) {
        const struct limit_values *values = &packer->build->limits.items[i];
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(values->limit->e.shown);
        row[1] = cell_text(text_of_fact(packer, values->want));
        row[2] = cell_text(text_of_fact(packer, values->worn));
        row[3] = cell_text(text_of_moments(packer, values->limit->when));
        row[4] = cell_text(found(packer, values->found, &values->limit->measured));
        row[5] = cell_text(text_of_phrase(packer, values->judged));
    }
    return table;
}

static const struct table *fit_rows(struct packer *packer)
{
    struct table *table = limit_table(packer, "fits", false, false, "field.clearance");

    for (size_t i = 0; i < packer->build->fits.count; i++) {
        const struct fit_values *values = &packer->build->fits.items[i];
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(values->fit->e.shown);
        row[1] = cell_text(text_of_fact(packer, values->want));
        row[2] = cell_text(text_of_fact(packer, values->clearance));
        row[3] = cell_text(text_of_phrase(packer, values->judged));
    }
    return table;
}

static const struct table *size_rows(struct packer *packer)
{
    struct table *table = limit_table(packer, "sizes", true, false, "summary.found");

    for (size_t i = 0; i < packer->build->sizes.count; i++) {
        const struct size_values *values = &packer->build->sizes.items[i];
        if (values->size->implied || (!values->size->measured.count && !values->worn))
            continue;
        const struct size_ref ref = {.size = values->size};
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(text_of_size(packer, &ref));
        row[1] = cell_text(text_of_fact(packer, values->want));
        row[2] = cell_text(text_of_fact(packer, values->worn));
        row[3] = cell_text(found(packer, values->found, &values->size->measured));
        row[4] = cell_text(text_of_phrase(packer, values->judged));
    }
    return table;
}

static void add_limits(struct packer *packer)
{
    const struct { const char *key; const struct table *table; } parts[] = {
        {"summary.limits", limit_rows(packer)},
        {"summary.fits", fit_rows(packer)},
        {"summary.sizes", size_rows(packer)},
    };
    struct section *section =
        section_new(packer, SECTION_SUMMARY, "limits", L(packer, "summary.limits"));

    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        if (parts[i].table->rows.count == 0)
            continue;
        if (i > 0)
            block_heading(packer, section, 2, label(packer->labels, parts[i].key));
        block_add(packer, section, BLOCK_TABLE)->table = parts[i].table;
    }
    if (section->blocks.count == 0)
        block_text(packer, section, L(packer, "summary.none"));
}

static void add_settings(struct packer *packer)
{
    struct table *table = table_new(packer, "settings");

    table_column(packer, table, "what", L(packer, "summary.what"), CELL_TEXT, 3);
    table_column(packer, table, "value", L(packer, "summary.value"), CELL_TEXT, 4);
    table_column(packer, table, "other", L(packer, "field.at-other"), CELL_TEXT, 3);
    table_column(packer, table, "tolerance", L(packer, "field.tolerance"), CELL_TEXT, 2);
    table_column(packer, table, "engine", L(packer, "field.engine-is"), CELL_TEXT, 1);
    table_column(packer, table, "found", L(packer, "summary.found"), CELL_BLANK, 2);
    for (size_t i = 0; i < packer->build->settings.count; i++) {
        const struct setting_values *values = &packer->build->settings.items[i];
        const struct setting *setting = values->setting;
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(setting->e.shown);
        row[1] = cell_text(setting->at_text.text ? setting->at_text.text
                           : values->want        ? text_of_fact(packer, values->want)
                                                 : setting->marks.text);
        row[2] = cell_text(text_of_fact(packer, values->at_other));
        row[3] = cell_text(text_of_claim(packer, &setting->tolerance));
        row[4] = cell_text(setting->e.engine_is.text);
        row[5].kind = CELL_BLANK;
        if (setting->measured.count)
            row[5] = cell_text(text_of_readings(packer, &setting->measured, true));
    }
    summary(packer, "settings", "summary.settings", table);
}

static void add_follow_up(struct packer *packer)
{
    struct table *table = table_new(packer, "follow-up");

    table_column(packer, table, "what", L(packer, "summary.what"), CELL_TEXT, 5);
    table_column(packer, table, "due", L(packer, "field.due"), CELL_TEXT, 2);
    table_column(packer, table, "by", L(packer, "field.or-by"), CELL_TEXT, 2);
    table_column(packer, table, "done", L(packer, "overview.done-on"), CELL_BLANK, 2);
    for (size_t i = 0; i < packer->spec->runs.count; i++) {
        const struct run *run = packer->spec->runs.items[i];
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(run->what.text ? str_print(packer->arena, "%s: %s", run->e.shown,
                                                      run->what.text)
                                          : run->e.shown);
        row[1] = cell_text(text_of_claim(packer, &run->due));
        row[2] = cell_text(text_of_date(packer, &run->or_by));
        row[3].kind = CELL_BLANK;
    }
    for (size_t i = 0; i < packer->plan->operations.count; i++) {
        const struct operation *op = packer->plan->operations.items[i];
        if (op->phase != PHASE_FOLLOW_UP || op->verb != VERB_RETIGHTEN)
            continue;
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(str_print(packer->arena, "%s: %s", L(packer, "verb.retighten"),
                                     op->entry->shown));
        row[3].kind = CELL_BLANK;
    }
    summary(packer, "follow-up", "summary.follow-up", table);
}

/* What rests on a source: the facts that were given by it, and what it said that was not followed. */
static void rests_on(struct packer *packer, const struct spec_source *source, struct str_buf *rests,
                     struct str_buf *not_followed)
{
    const char *title = source->title ? source->title : source->id;

    for (size_t i = 0; i < packer->build->facts.count; i++) {
        const struct fact *fact = packer->build->facts.items[i];
        if (fact->origin == FACT_GIVEN && fact->source && str_starts(fact->source, title))
            str_add_print(rests, rests->length ? ", %s" : "%s", fact->id);
    }
    for (size_t i = 0; i < packer->spec->joints.count; i++) {
        const struct joint *joint = packer->spec->joints.items[i];
        for (size_t j = 0; j < joint->torque.loser_count; j++)
            if (joint->torque.losers[j].from == source)
                str_add_print(not_followed, not_followed->length ? ", %s %s" : "%s %s",
                              joint->e.member, text_of_claim(packer, &joint->torque.losers[j]));
    }
    for (size_t i = 0; i < packer->spec->limits.count; i++) {
        const struct limit *limit = packer->spec->limits.items[i];
        for (size_t j = 0; j < limit->want.loser_count; j++)
            if (limit->want.losers[j].from == source)
                str_add_print(not_followed, not_followed->length ? ", %s %s" : "%s %s",
                              limit->e.member, text_of_claim(packer, &limit->want.losers[j]));
    }
}

struct table *source_table(struct packer *packer)
{
    struct table *table = table_new(packer, "sources");

    table_column(packer, table, "source", L(packer, "summary.source"), CELL_TEXT, 3);
    table_column(packer, table, "dated", L(packer, "summary.dated"), CELL_TEXT, 1);
    table_column(packer, table, "rank", L(packer, "summary.rank"), CELL_COUNT, 0);
    table_column(packer, table, "held", L(packer, "summary.held"), CELL_TEXT, 2);
    table_column(packer, table, "rests", L(packer, "summary.rests"), CELL_TEXT, 5);
    table_column(packer, table, "differ", L(packer, "summary.differ"), CELL_TEXT, 3);
    for (size_t i = 0; i < packer->spec->sources.count; i++) {
        const struct spec_source *source = &packer->spec->sources.items[i];
        struct str_buf rests = {.arena = packer->arena}, differs = {.arena = packer->arena};
        rests_on(packer, source, &rests, &differs);
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(source->title ? source->title : source->id);
        row[1] = cell_text(source->dated);
        if (source->rank)
            row[2] = cell_count(packer, source->rank);
        row[3] = cell_text(source->held);
        row[4] = cell_text(rests.length ? rests.bytes : NULL);
        row[5] = cell_text(differs.length ? differs.bytes : NULL);
    }
    return table;
}

struct table *question_table(struct packer *packer)
{
    struct table *table = table_new(packer, "questions");

    table_column(packer, table, "what", L(packer, "summary.what"), CELL_TEXT, 3);
    table_column(packer, table, "question", L(packer, "summary.question"), CELL_TEXT, 5);
    table_column(packer, table, "settles", L(packer, "summary.settles"), CELL_TEXT, 5);
    for (size_t i = 0; i < packer->build->questions.count; i++) {
        const struct question *question = &packer->build->questions.items[i];
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(question->entry ? question->entry->shown : L(packer, "cover.engine"));
        const char *asks = text_of_phrase(packer, question->asks);
        row[1] = cell_text(question->about
                               ? str_print(packer->arena, "%s: %s", question->about, asks)
                               : asks);
        row[2] = cell_text(text_of_phrase(packer, question->settles));
    }
    return table;
}

static void add_accepted(struct packer *packer)
{
    struct table *table = table_new(packer, "accepted");

    table_column(packer, table, "what", L(packer, "summary.what"), CELL_TEXT, 3);
    table_column(packer, table, "code", L(packer, "summary.code"), CELL_TEXT, 1);
    table_column(packer, table, "reason", L(packer, "summary.reason"), CELL_TEXT, 6);
    for (size_t i = 0; i < packer->spec->entries.count; i++) {
        const struct entry *entry = packer->spec->entries.items[i];
        if (entry->group->members[0] != entry)
            continue; /* said once for all places */
        for (size_t j = 0; j < entry->accept.count; j++) {
            struct cell *row = table_row_new(packer, table);
            row[0] = cell_text(entry->name.text ? entry->name.text : entry->id);
            row[1] = cell_text(entry->accept.items[j].code);
            row[2] = cell_text(entry->accept.items[j].reason);
        }
    }
    for (size_t i = 0; i < packer->spec->limits.count; i++) {
        const struct limit *limit = packer->spec->limits.items[i];
        if (!limit->concession.present)
            continue;
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(limit->e.shown);
        row[1] = cell_text(L(packer, "field.concession"));
        row[2] = cell_text(text_of_concession(packer, limit));
    }
    summary(packer, "accepted", "summary.accepted", table);
}

void add_summary(struct packer *packer, enum pack_part part)
{
    switch (part) {
    case PART_TORQUES: add_torques(packer); break;
    case PART_LIMITS: add_limits(packer); break;
    case PART_SETTINGS: add_settings(packer); break;
    case PART_FOLLOW_UP: add_follow_up(packer); break;
    case PART_SOURCES: summary(packer, "sources", "summary.sources", source_table(packer)); break;
    case PART_QUESTIONS:
        summary(packer, "questions", "summary.questions", question_table(packer));
        break;
    case PART_ACCEPTED: add_accepted(packer); break;
    default: break;
    }
}
