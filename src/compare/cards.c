/* cards.c - which cards must be printed again, and what changed on them; which are still valid. */
#include "compare_private.h"

struct piece {                     /* a block of a card, known by what it is about */
    const char *key, *name, *exact;
};
struct pieces {
    struct piece *items;
    size_t count, room;
};

static const char *exact_block(struct arena *arena, const struct block *block)
{
    struct json json;

    json_init(&json, arena, true);
    pack_dump_block(block, &json);
    return json.out.bytes;
}

static void add_piece(struct comparer *comparer, struct pieces *pieces, const char *key,
                      const char *name, const char *exact)
{
    *ARRAY_PUSH(comparer->arena, pieces) = (struct piece){key, name, exact};
}

static const char *key_of(struct comparer *comparer, const struct block *block, const char *heading)
{
    const char *what = block->kind == BLOCK_FIGURE  ? block->figure->id
                       : block->kind == BLOCK_TABLE ? block->table->id
                       : block->text                ? block->text
                                                    : heading;

    return str_print(comparer->arena, "%d %s", (int)block->kind, what);
}

static const char *name_of(const struct labels *labels, const struct block *block,
                           const char *heading)
{
    switch (block->kind) {
    case BLOCK_CAUTION:
        return label(labels, "cover.cautions");
    case BLOCK_TABLE:
        return block->table->columns.items[0].heading;
    case BLOCK_FIGURE:
        return block->figure->caption ? block->figure->caption : heading;
    case BLOCK_HEADING:
        return block->text;
    default:
        return heading;
    }
}

/* State, steps by their operation, all else by the heading above it and the kind. */
static struct pieces pieces_of(struct comparer *comparer, const struct pack *pack,
                               const struct section *section)
{
    const struct labels *labels = pack->template->labels;
    struct pieces pieces = {0};
    struct str_buf sources = {.arena = comparer->arena};
    const char *heading = section->title;

    add_piece(comparer, &pieces, "title", section->title, section->title);
    add_piece(comparer, &pieces, "state", label(labels, "card.state"), section->state);
    for (size_t i = 0; i < section->blocks.count; i++) {
        const struct block *block = section->blocks.items[i];
        if (block->kind == BLOCK_HEADING && block->level < 3)
            heading = block->text;
        if (block->kind == BLOCK_STEP) {
            const struct operation *op = block->step->operation;
            add_piece(comparer, &pieces, op->id,
                      str_print(comparer->arena, "%s: %s", block->step->action, block->step->object),
                      exact_block(comparer->arena, block));
            continue;
        }
        add_piece(comparer, &pieces, key_of(comparer, block, heading), name_of(labels, block, heading),
                  exact_block(comparer->arena, block));
    }
    for (size_t i = 0; i < section->sources.count; i++)
        str_add_print(&sources, "%s; ", section->sources.items[i]);
    add_piece(comparer, &pieces, "sources", label(labels, "card.sources"), sources.bytes);
    return pieces;
}

static const struct piece *find(const struct pieces *pieces, const char *key)
{
    for (size_t i = 0; i < pieces->count; i++)
        if (strcmp(pieces->items[i].key, key) == 0)
            return &pieces->items[i];
    return NULL;
}

static void say(struct comparer *comparer, struct compare_card *card, const char *what)
{
    for (size_t i = 0; i < card->what.count; i++)
        if (strcmp(card->what.items[i], what) == 0)
            return;
    *ARRAY_PUSH(comparer->arena, &card->what) = what;
}

/* What is not the same on the two; true while everything says the same, though in other units. */
static bool say_what(struct comparer *comparer, struct compare_card *card)
{
    struct pieces was = pieces_of(comparer, comparer->comparison->was.pack, card->was);
    struct pieces is = pieces_of(comparer, comparer->comparison->is.pack, card->is);
    bool alike = true;

    for (size_t i = 0; i < is.count; i++) {
        const struct piece *before = find(&was, is.items[i].key);
        if (before && str_equal(before->exact, is.items[i].exact))
            continue;
        alike = alike && before &&
                compare_alike(comparer->arena, before->exact, is.items[i].exact);
        say(comparer, card, is.items[i].name);
    }
    for (size_t i = 0; i < was.count; i++) {
        if (find(&is, was.items[i].key))
            continue;
        alike = false;
        say(comparer, card, was.items[i].name);
    }
    return alike;
}

/* Whether something on the card was edited, or has another value. */
static bool is_touched(const struct comparison *comparison, const struct section *section)
{
    for (size_t i = 0; i < section->card->count; i++) {
        const struct entry *entry = section->card->operations[i]->entry;
        if (compare_touches(comparison, entry))
            return true;
        for (size_t k = 0; k < comparison->values.count; k++)
            if (comparison->values.items[k].entry &&
                str_equal(comparison->values.items[k].entry->member, entry->member))
                return true;
    }
    return false;
}

static const struct section *card_called(const struct pack *pack, const char *id)
{
    for (size_t i = 0; i < pack->sections.count; i++)
        if (pack->sections.items[i]->kind == SECTION_CARD &&
            str_equal(pack->sections.items[i]->id, id))
            return pack->sections.items[i];
    return NULL;
}

static void add_card(struct comparer *comparer, const struct section *was,
                     const struct section *is)
{
    struct comparison *comparison = comparer->comparison;
    struct compare_card *card = ARRAY_PUSH(comparer->arena, &comparison->cards);

    *card = (struct compare_card){.was = was, .is = is};
    if (!was || !is)
        card->change = was ? CHANGE_GONE : CHANGE_NEW;
    else if (str_equal(was->fingerprint, is->fingerprint))
        card->change = CHANGE_NONE;
    else if (say_what(comparer, card) && !is_touched(comparison, is))
        card->change = CHANGE_RESPELT;
    else
        card->change = CHANGE_CHANGED;
    comparison->card_count[card->change]++;
}

void compare_cards(struct comparer *comparer)
{
    const struct pack *was = comparer->comparison->was.pack, *is = comparer->comparison->is.pack;

    for (size_t i = 0; i < is->sections.count; i++)
        if (is->sections.items[i]->kind == SECTION_CARD)
            add_card(comparer, card_called(was, is->sections.items[i]->id), is->sections.items[i]);
    for (size_t i = 0; i < was->sections.count; i++)
        if (was->sections.items[i]->kind == SECTION_CARD &&
            !card_called(is, was->sections.items[i]->id))
            add_card(comparer, was->sections.items[i], NULL);
}
