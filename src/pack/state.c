/* state.c - the state in which the engine must be when a card is taken up again: replayed from the
 * operations of the cards before it. */
#include "pack_private.h"

struct entries {
    struct entry **items;
    size_t count, room;
};

static void add(struct packer *packer, struct entries *list, struct entry *entry)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->items[i] == entry)
            return;
    *ARRAY_PUSH(packer->arena, list) = entry;
}

static void drop(struct entries *list, const struct entry *entry)
{
    for (size_t i = 0; i < list->count; i++) {
        if (list->items[i] == entry) {
            memmove(&list->items[i], &list->items[i + 1],
                    (list->count - i - 1) * sizeof *list->items);
            list->count--;
            return;
        }
    }
}

static bool contains(const struct entries *list, const struct entry *entry)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->items[i] == entry)
            return true;
    return false;
}

struct state {
    struct entries fitted, off, bench, loose, unlocked;
    struct entries placed; /* fitted on the engine or on a unit */
    const char *side_up, *crank_at;
};

static void replay(struct packer *packer, struct state *state, const struct operation *op)
{
    struct entry *entry = op->entry;

    if (op->phase == PHASE_STRIP) {
        if (op->verb == VERB_REMOVE && !op->unit)
            add(packer, &state->off, entry);
        return;
    }
    if (op->unit && op->verb != VERB_HEAT)
        add(packer, &state->bench, op->unit);
    switch (op->verb) {
    case VERB_FIT:
        drop(&state->bench, entry);
        add(packer, &state->placed, entry);
        if (!op->unit)
            add(packer, &state->fitted, entry);
        break;
    case VERB_REMOVE:
        drop(&state->fitted, entry);
        drop(&state->placed, entry);
        break;
    case VERB_NIP:
        add(packer, &state->loose, entry);
        break;
    case VERB_TIGHTEN:
    case VERB_RETIGHTEN:
        drop(&state->loose, entry);
        if (!op->trial && plan_locks_apart((const struct joint *)entry))
            add(packer, &state->unlocked, entry);
        break;
    case VERB_SLACKEN:
    case VERB_LOCK:
        drop(&state->unlocked, entry);
        break;
    default:
        break;
    }
    if (op->phase < PHASE_TRIAL || op->unit)
        return;
    if (entry->side_up.text)
        state->side_up = entry->side_up.text;
    if (entry->crank_at_text.text)
        state->crank_at = entry->place && !entry->crank_at.cylinder
                              ? str_print(packer->arena, "%s %s", entry->crank_at_text.text,
                                          entry->place)
                              : entry->crank_at_text.text;
}

/* Openings that something goes in by and that their closers do not close yet. */
static void find_open(struct packer *packer, const struct state *state, struct entries *open)
{
    for (size_t i = 0; i < packer->spec->openings.count; i++) {
        struct opening *opening = packer->spec->openings.items[i];
        bool closed = opening->closer_count > 0;
        bool here = !opening->host || opening->host == packer->spec->first ||
                    contains(&state->fitted, &opening->host->e);
        for (size_t j = 0; j < opening->closer_count; j++)
            closed = closed && contains(&state->placed, &opening->closers[j]->e);
        if (here && !closed && !opening->stays_open.text)
            add(packer, open, &opening->e);
    }
}

static void say(struct packer *packer, struct str_buf *text, const char *key, const char *words)
{
    if (words)
        str_add_print(text, "%s%s: %s", text->length ? "  ·  " : "",
                      label(packer->labels, str_print(packer->arena, "resume.%s", key)), words);
}

static const char *names(struct packer *packer, const struct entries *list)
{
    return text_of_entries(packer, list->items, list->count);
}

const char *state_before(struct packer *packer, const struct plan_card *card)
{
    struct state state = {0};
    struct entries open = {0};
    struct str_buf text = {.arena = packer->arena};
    const struct operation *first = card->operations[0];

    for (size_t i = 0; i < first->order; i++)
        replay(packer, &state, packer->plan->operations.items[i]);
    if (card->phase == PHASE_INTAKE || card->phase == PHASE_STRIP) {
        if (state.off.count)
            say(packer, &text, "off", str_print(packer->arena, "%zu", state.off.count));
        if (state.off.count)
            say(packer, &text, "last-off", state.off.items[state.off.count - 1]->shown);
        return text.length ? text.bytes : L(packer, "card.state-begin");
    }
    if (card->phase == PHASE_INSPECT || card->phase == PHASE_OUTWORK || card->phase == PHASE_CLEAN ||
        card->phase == PHASE_GOODS_IN)
        return L(packer, "card.state-apart");
    if (state.fitted.count) {
        find_open(packer, &state, &open);
        say(packer, &text, "fitted", str_print(packer->arena, "%zu", state.fitted.count));
        say(packer, &text, "last-fitted", state.fitted.items[state.fitted.count - 1]->shown);
    }
    say(packer, &text, "bench", names(packer, &state.bench));
    say(packer, &text, "loose", names(packer, &state.loose));
    say(packer, &text, "unlocked", names(packer, &state.unlocked));
    say(packer, &text, "open", names(packer, &open));
    say(packer, &text, "side-up", state.side_up);
    say(packer, &text, "crank-at", state.crank_at);
    return text.length ? text.bytes : L(packer, "card.state-apart");
}
