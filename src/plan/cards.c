/* cards.c - operations dealt out on cards. By default one a unit and one an opening closed; an
 * entry of `cards` starts one of its own; over MOST steps a card is cut, at a set-up change where
 * there is one. */
#include <string.h>
#include "plan_private.h"

enum { MOST = 14, LEAST = 4 }; /* steps of a card that is cut: no more, and no stump */

struct dealer {
    struct maker *maker;
    bool *starts;                     /* by operation: an explicit or natural start of a card */
    const struct card **named;        /* by operation: the `cards` entry that starts here */
    struct map taken;                 /* ids of cards named so far */
};

static struct operation *op_at(const struct dealer *d, size_t i)
{
    return d->maker->plan->operations.items[i];
}

/* ---------- where cards may be cut ---------- */

/* An operation that begins something: never a lock without its nut, a part without its seal. */
static bool begins(const struct dealer *d, size_t i)
{
    const struct operation *op = op_at(d, i), *before = i ? op_at(d, i - 1) : NULL;

    if (!before || op->phase != before->phase || op->trial != before->trial)
        return true;
    if (op->phase == PHASE_STRIP) /* never between a nut and what it holds */
        return before->verb == VERB_REMOVE;
    if (before->verb == VERB_SEAL || before->verb == VERB_HEAT)
        return false;
    return op->verb == VERB_FIT || op->verb == VERB_SEAL || op->verb == VERB_HEAT ||
           op->verb == VERB_SEND || op->verb == VERB_RUN || op->verb == VERB_TRIAL ||
           op->verb == VERB_INSPECT || op->verb == VERB_TAKE_STOCK || op->verb == VERB_CLEAN ||
           (op->loose && !before->loose) ||
           (!op->loose && before->loose) ||
           ((op->verb == VERB_SET || op->loose) && op->entry != before->entry);
}

struct part *plan_whole_unit(const struct operation *op)
{
    struct part *unit = plan_op_unit(op);

    while (unit && plan_info(unit)->carrier)
        unit = plan_info(unit)->carrier;
    return unit;
}

static bool closes_opening(const struct operation *op)
{
    const struct part *part = op->verb == VERB_FIT ? (const struct part *)op->entry : NULL;

    for (size_t i = 0; part && i < part->closes.to_count; i++)
        if (part->closes.to[i]->kind == ENTRY_OPENING)
            return true;
    return false;
}

/* What the dealer has seen of the phase: how long the card is, whether an opening was closed on it,
 * whether anything but loose pieces was in hand, and the unit that was. */
struct hand {
    size_t length;
    bool closed, begun;
    const struct part *unit;
};

/* Whether a card ends before operation `i` by itself: loose pieces done, a unit taken in hand, an
 * opening closed; in the strip a unit taken apart. */
static bool naturally(const struct dealer *d, size_t i, const struct hand *hand)
{
    const struct operation *op = op_at(d, i);
    const struct part *unit = plan_whole_unit(op);

    if (op->phase == PHASE_STRIP)
        return !op->unit && op_at(d, i - 1)->unit && hand->length >= LEAST;
    if (op->phase != PHASE_FINAL || op->loose)
        return false;
    return !hand->begun || (hand->closed && begins(d, i) && hand->length >= LEAST) ||
           (unit && unit != hand->unit);
}

/* Starts by default: another phase or trial, a job sent away, one a unit, one an opening closed. */
static void natural_starts(struct dealer *d)
{
    struct hand hand = {0};

    for (size_t i = 0; i < d->maker->plan->operations.count; i++) {
        const struct operation *op = op_at(d, i), *before = i ? op_at(d, i - 1) : NULL;
        bool apart = !before || op->phase != before->phase || op->trial != before->trial ||
                     !str_equal(op->kind, before->kind); /* another kind of inspection */
        d->starts[i] = apart || op->verb == VERB_SEND || naturally(d, i, &hand);
        if (d->starts[i])
            hand = (struct hand){.begun = hand.begun, .unit = hand.unit};
        hand.length++;
        if (op->phase != PHASE_FINAL || op->loose)
            continue;
        hand.closed = hand.closed || closes_opening(op);
        hand.begun = true;
        hand.unit = plan_whole_unit(op);
    }
}

/* A card of the user's own starts at its entry's first operation, bench work included, and runs to
 * the next one that the user names. */
static size_t first_of(const struct dealer *d, const struct entry *entry)
{
    const struct part *unit = entry->kind == ENTRY_PART ? (const struct part *)entry : NULL;

    for (size_t i = 0; i < d->maker->plan->operations.count; i++) {
        const struct operation *op = op_at(d, i);
        if ((op->phase == PHASE_FINAL || op->phase == PHASE_SET || op->phase == PHASE_FIRST_RUN ||
             op->phase == PHASE_FOLLOW_UP) &&
            !op->loose && (op->entry == entry || (unit && plan_inside(plan_op_unit(op), unit))))
            return i;
    }
    return SIZE_MAX;
}

static void named_starts(struct dealer *d)
{
    const struct spec *spec = d->maker->spec;
    const struct card *now = NULL;

    for (size_t i = 0; i < spec->cards.count; i++) {
        const struct card *card = &spec->cards.items[i];
        size_t at = card->starts.count ? first_of(d, card->starts.to[0]) : SIZE_MAX;
        while (at != SIZE_MAX && at > 0 && !begins(d, at)) /* its seal and heat come along */
            at--;
        if (at != SIZE_MAX)
            d->named[at] = card;
    }
    for (size_t i = 0; i < d->maker->plan->operations.count; i++) {
        const struct operation *op = op_at(d, i);
        if (i && op->phase != op_at(d, i - 1)->phase && op->phase != PHASE_TRIAL &&
            op_at(d, i - 1)->phase != PHASE_TRIAL)
            now = NULL;
        bool resumed = i && op->trial != op_at(d, i - 1)->trial;
        if (d->named[i])
            now = d->named[i];
        if (now && op->phase != PHASE_TRIAL)
            d->starts[i] = d->named[i] != NULL || resumed;
    }
}

/* ---------- cutting long ones ---------- */

/* The best place to cut within the first MOST steps: a set-up change, else the last beginning. */
static size_t cut_at(const struct dealer *d, size_t from, size_t to)
{
    size_t turn = 0, start = 0;

    for (size_t i = from + LEAST; i < to && i <= from + MOST; i++) {
        if (!begins(d, i))
            continue;
        start = i;
        if (op_at(d, i)->turns)
            turn = i;
    }
    if (turn || start)
        return turn ? turn : start;
    for (size_t i = from + MOST + 1; i < to; i++)
        if (begins(d, i))
            return i;
    return to;
}

static void cut_long(struct dealer *d)
{
    size_t count = d->maker->plan->operations.count;

    for (size_t from = 0; from < count;) {
        size_t to = from + 1;
        while (to < count && !d->starts[to])
            to++;
        if (to - from > MOST) {
            size_t cut = cut_at(d, from, to);
            if (cut < count)
                d->starts[cut] = true;
            to = cut;
        }
        from = to;
    }
}

/* ---------- naming them ---------- */

/* What a card is about: its unit, its trial, its first part, else its first operation's entry. */
static struct entry *subject(const struct plan_card *card)
{
    const struct operation *first = card->operations[0];

    if (first->trial)
        return &first->trial->e;
    if (first->phase == PHASE_FOLLOW_UP && first->object)
        return first->object; /* the run that it follows */
    if (plan_whole_unit(first))
        return &plan_whole_unit(first)->e;
    for (size_t i = 0; i < card->count; i++)
        if (card->operations[i]->verb == VERB_FIT || card->operations[i]->verb == VERB_REMOVE)
            return card->operations[i]->entry;
    return first->entry;
}

static void name_card(struct dealer *d, struct plan_card *card, const struct card *named)
{
    struct arena *arena = d->maker->arena;
    struct entry *about = subject(card);
    const struct entry *first = card->operations[0]->entry;
    const char *phase = phase_name(card->phase);

    if (named) {
        card->id = str_print(arena, "%s:%s", phase, named->id);
        card->title = named->title.text ? named->title.text : named->id;
        return;
    }
    card->title = about->shown ? about->shown : about->member;
    card->id = card->operations[0]->kind
                   ? card->operations[0]->id /* by the kind too */
                   : str_print(arena, "%s:%s", phase, about->member);
    if (map_text(&d->taken, card->id) != MAP_NONE) {
        card->id = str_print(arena, "%s:%s", phase, first->member);
        if (first != about)
            card->title = str_print(arena, "%s: %s", card->title,
                                    first->shown ? first->shown : first->member);
    }
    if (map_text(&d->taken, card->id) != MAP_NONE)
        card->id = str_print(arena, "%s:%s", phase, card->operations[0]->id);
}

void plan_deal_cards(struct maker *maker)
{
    size_t count = maker->plan->operations.count;
    struct dealer d = {.maker = maker,
                       .starts = ARENA_ARRAY(maker->arena, bool, count + 1),
                       .named = ARENA_ARRAY(maker->arena, const struct card *, count + 1)};

    natural_starts(&d);
    named_starts(&d);
    cut_long(&d);
    for (size_t from = 0, to; from < count; from = to) {
        struct plan_card *card = ARRAY_PUSH(maker->arena, &maker->plan->cards);
        *card = (struct plan_card){.phase = op_at(&d, from)->phase};
        for (to = from; to < count && (to == from || !d.starts[to]); to++) {
            op_at(&d, to)->card = maker->plan->cards.count - 1;
            card->count++;
        }
        card->room = card->count;
        card->operations = &maker->plan->operations.items[from];
        name_card(&d, card, d.named[from]);
        map_put_text(maker->arena, &d.taken, card->id, from);
    }
}
