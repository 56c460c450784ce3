/* state.c - the state of the engine in labels and names: in one line, for taking up a card again; and as a
 * stop sheet, for leaving it. */
#include "pack_private.h"

#include <gudgeon/resume.h>

static void say(struct packer *packer, struct str_buf *text, const char *key, const char *words)
{
    if (words)
        str_add_print(text, "%s%s: %s", text->length ? "  ·  " : "",
                      label_of(packer, "resume", key), words);
}

static const char *names(struct packer *packer, const struct resume_list *list)
{
    return text_of_entries(packer, list->items, list->count);
}

static const char *counted(struct packer *packer, const struct resume_list *list)
{
    return list->count ? str_print(packer->arena, "%zu", list->count) : NULL;
}

static const char *last(const struct resume_list *list)
{
    return list->count ? list->items[list->count - 1]->shown : NULL;
}

const char *state_before(struct packer *packer, const struct plan_card *card)
{
    const struct plan *plan = packer->plan;
    bool *done = ARENA_ARRAY(packer->arena, bool, plan->operations.count + 1);
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < card->operations[0]->order; i++)
        done[i] = true;
    const struct resume *state = resume_after(packer->arena, plan, done);
    if (card->phase == PHASE_INTAKE || card->phase == PHASE_STRIP) {
        say(packer, &text, "off", counted(packer, &state->off));
        say(packer, &text, "last-off", last(&state->off));
        return text.length ? text.bytes : L(packer, "card.state-begin");
    }
    if (card->phase == PHASE_INSPECT || card->phase == PHASE_OUTWORK || card->phase == PHASE_CLEAN ||
        card->phase == PHASE_GOODS_IN)
        return L(packer, "card.state-apart");
    say(packer, &text, "fitted", counted(packer, &state->fitted));
    say(packer, &text, "last-fitted", last(&state->fitted));
    say(packer, &text, "bench", names(packer, &state->bench));
    say(packer, &text, "loose", names(packer, &state->loose));
    say(packer, &text, "unlocked", names(packer, &state->torqued));
    if (state->fitted.count)
        say(packer, &text, "open", names(packer, &state->open));
    say(packer, &text, "side-up", state->side_up);
    say(packer, &text, "crank-at", state->crank_at);
    return text.length ? text.bytes : L(packer, "card.state-apart");
}

/* ---------- the stop sheet ---------- */

enum { NAMES = 24, CARDS = 12 }; /* what a sheet of one page has room for; the rest is counted */

static const char *first_names(struct packer *packer, const struct resume_list *list, size_t most)
{
    const char *text = text_of_entries(packer, list->items, list->count < most ? list->count : most);

    return list->count <= most ? text
                               : str_print(packer->arena, "%s  (+ %zu)", text, list->count - most);
}

static void fact(struct packer *packer, struct block *facts, const char *key, const char *text)
{
    block_fact(packer, facts, label_of(packer, "resume", key), text);
}

static size_t left_of(const struct resume *state, const struct plan_card *card)
{
    size_t left = 0;

    for (size_t i = 0; i < card->count; i++)
        left += !state->done[card->operations[i]->order];
    return left;
}

static const char *of(struct packer *packer, size_t a, size_t b)
{
    return str_print(packer->arena, "%zu %s %zu", a, L(packer, "card.of"), b);
}

static void how_far(struct packer *packer, struct section *section, const struct resume *state)
{
    const struct plan *plan = packer->plan;
    struct block *facts = block_add(packer, section, BLOCK_FACTS);
    size_t cards = 0;

    for (size_t i = 0; i < plan->cards.count; i++)
        cards += left_of(state, &plan->cards.items[i]) == 0;
    block_fact(packer, facts, L(packer, "cover.engine"), packer->spec->engine.name.text);
    block_fact(packer, facts, L(packer, "cover.serial"), packer->spec->engine.serial.text);
    fact(packer, facts, "operations-done", of(packer, state->done_count, plan->operations.count));
    fact(packer, facts, "cards-done", of(packer, cards, plan->cards.count));
    if (!state->next)
        return;
    const struct plan_card *card = &plan->cards.items[state->next->card];
    fact(packer, facts, "next-card", str_print(packer->arena, "%zu  %s", state->next->card + 1,
                                               card_title(packer, card)));
    struct step_block *step = step_of(packer, state->next);
    fact(packer, facts, "next-step", str_print(packer->arena, "%s  %s", step->action, step->object));
}

static const char *hold_words(struct packer *packer, const struct resume *state)
{
    static const char *const keys[] = {[HOLD_SETTING] = "hold-setting", [HOLD_JOINT] = "hold-joint",
                                       [HOLD_SLAVE] = "hold-slave"};
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < state->holds.count && i < NAMES; i++)
        str_add_print(&text, "%s%s: %s", text.length ? "; " : "",
                      label_of(packer, "resume", keys[state->holds.items[i].why]),
                      state->holds.items[i].entry->shown);
    return text.length ? text.bytes : NULL;
}

static void as_it_stands(struct packer *packer, struct section *section, const struct resume *state)
{
    struct block *facts;
    const char *none = L(packer, "summary.none"), *holds = hold_words(packer, state);
    const struct { const char *key; const struct resume_list *list; bool always; } lists[] = {
        {"loose", &state->loose, true},   {"unlocked", &state->torqued, true},
        {"locked", &state->locked, true}, {"open", &state->open, true},
        {"pasted", &state->pasted, false}, {"curing", &state->curing, false},
        {"warm", &state->warm, true},     {"bench", &state->bench, false},
    };

    block_heading(packer, section, 2, L(packer, "resume.as-it-stands"));
    facts = block_add(packer, section, BLOCK_FACTS);
    if (!state->building && state->next && state->next->phase > PHASE_STRIP) {
        block_text(packer, section, L(packer, "card.state-apart"));
        return;
    }
    fact(packer, facts, "off", state->building ? NULL : counted(packer, &state->off));
    fact(packer, facts, "last-off", state->building ? NULL : last(&state->off));
    fact(packer, facts, "fitted", counted(packer, &state->fitted));
    fact(packer, facts, "last-fitted", last(&state->fitted));
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        const char *text = first_names(packer, lists[i].list, NAMES);
        fact(packer, facts, lists[i].key, text || !lists[i].always ? text : none);
    }
    fact(packer, facts, "not-to-turn", holds ? holds : none);
    fact(packer, facts, "side-up", state->side_up);
    fact(packer, facts, "crank-at", state->crank_at);
    fact(packer, facts, "engine-is", state->engine_is);
}

static void what_remains(struct packer *packer, struct section *section, const struct resume *state)
{
    struct table *table = table_new(packer, "remaining");
    size_t more = 0;

    table_column(packer, table, "number", L(packer, "overview.number"), CELL_COUNT, 0);
    table_column(packer, table, "card", L(packer, "overview.card"), CELL_TEXT, 6);
    table_column(packer, table, "phase", L(packer, "overview.phase"), CELL_TEXT, 0);
    table_column(packer, table, "steps", L(packer, "resume.steps-left"), CELL_TEXT, 0);
    for (size_t i = 0; i < packer->plan->cards.count; i++) {
        const struct plan_card *card = &packer->plan->cards.items[i];
        size_t left = left_of(state, card);
        if (!left)
            continue;
        if (table->rows.count == CARDS) {
            more++;
            continue;
        }
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_count(packer, (int64_t)i + 1);
        row[1] = cell_text(card_title(packer, card));
        row[2] = cell_text(label_of(packer, "phase", phase_name(card->phase)));
        row[3] = cell_text(of(packer, left, card->count));
    }
    if (!table->rows.count)
        return;
    block_heading(packer, section, 2, L(packer, "resume.remaining"));
    block_add(packer, section, BLOCK_TABLE)->table = table;
    if (more)
        block_text(packer, section,
                   str_print(packer->arena, "%s: %zu", L(packer, "resume.more-cards"), more));
}

struct pack *pack_stop_sheet(struct context *context, const struct resume *state,
                             const struct pack_options *options)
{
    const struct plan *plan = state->plan;
    struct packer *packer = packer_start(context, options->template_path, plan->build);

    if (!packer)
        return NULL;
    struct pack *pack = packer->pack;
    packer->plan = plan;
    pack->file = pack->id = "stop-sheet";
    pack->engine = packer->spec->engine.name.text;
    pack->serial = packer->spec->engine.serial.text;
    pack->title = str_print(context->arena, "%s: %s", L(packer, "resume.title"), pack->engine);
    pack->revision = options->revision;
    pack->date = options->date;
    struct section *section =
        section_new(packer, SECTION_SUMMARY, "stop-sheet", L(packer, "resume.title"));
    how_far(packer, section, state);
    as_it_stands(packer, section, state);
    what_remains(packer, section, state);
    block_add(packer, section, BLOCK_SIGN_OFF);
    return pack;
}
