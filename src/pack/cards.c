/* cards.c - the cards of the plan as sections: state, cautions, kit, tools, steps with figures, foot. */
#include "pack_private.h"

/* A caution stands boxed at the head of the card and again at the first step that needs it: at every
 * step it would no longer be read. */
struct caution_place {
    struct section *section;
    struct step_block *step; /* NULL: the head alone */
    struct { const char **items; size_t count, room; } said;
};

static void at_head(struct packer *packer, void *user, const struct table_caution *caution)
{
    struct caution_place *place = user;
    const char *text = caution_text(packer, caution);

    for (size_t i = 0; i < place->section->blocks.count; i++)
        if (place->section->blocks.items[i]->kind == BLOCK_CAUTION &&
            strcmp(place->section->blocks.items[i]->text, text) == 0)
            return;
    block_add(packer, place->section, BLOCK_CAUTION)->text = text;
}

static void at_step(struct packer *packer, void *user, const struct table_caution *caution)
{
    struct caution_place *place = user;
    const char *text = caution_text(packer, caution);

    for (size_t i = 0; i < place->said.count; i++)
        if (strcmp(place->said.items[i], text) == 0)
            return;
    *ARRAY_PUSH(packer->arena, &place->said) = text;
    *ARRAY_PUSH(packer->arena, &place->step->cautions) = text;
}

static void source_of_fact(struct packer *packer, struct section *section, const struct fact *fact)
{
    if (!fact || fact->measured)
        return;
    section_source(packer, section, text_of_origin(packer, fact));
    if (fact->derived)
        section_source(packer, section, L(packer, "card.derived-explained"));
    if (!fact->source && !fact->sources)
        for (size_t i = 0; i < fact->input_count; i++)
            source_of_fact(packer, section, fact->inputs[i].fact);
}

void add_sources(struct packer *packer, struct section *section, const struct operation *op)
{
    if (op->entry->kind == ENTRY_JOINT) {
        const struct joint_values *values =
            build_joint(packer->build, (const struct joint *)op->entry);
        if (values && (op->verb == VERB_TIGHTEN || op->verb == VERB_RETIGHTEN)) {
            source_of_fact(packer, section, values->torque);
            source_of_fact(packer, section, values->stretch);
        }
    } else if (op->entry->kind == ENTRY_LIMIT) {
        const struct limit_values *values =
            build_limit(packer->build, (const struct limit *)op->entry);
        if (values) {
            source_of_fact(packer, section, values->want);
            source_of_fact(packer, section, values->worn);
        }
    } else if (op->entry->kind == ENTRY_FIT) {
        const struct fit_values *values = build_fit(packer->build, (const struct fit *)op->entry);
        if (values) {
            source_of_fact(packer, section, values->want);
            source_of_fact(packer, section, values->clearance);
        }
    } else if (op->entry->kind == ENTRY_SETTING) {
        const struct setting_values *values =
            build_setting(packer->build, (const struct setting *)op->entry);
        if (values) {
            source_of_fact(packer, section, values->at);
            source_of_fact(packer, section, values->want);
        }
    } else if (op->entry->kind == ENTRY_PART && op->verb == VERB_FIT) {
        const struct bearing_values *bearing =
            build_bearing(packer->build, (const struct part *)op->entry);
        if (bearing && bearing->row)
            section_source(packer, section, text_of_citation(packer, bearing->row->row.source));
    }
}

/* What stands until it is changed: which side is up, where the crank is, how warm the engine is. */
struct setup {
    const char *side_up, *crank_at, *engine_is;
};

static const char *announce(struct packer *packer, struct setup *setup, const struct entry *entry)
{
    struct str_buf text = {.arena = packer->arena};
    struct { const char **now; const char *then, *key; } changes[] = {
        {&setup->side_up, entry->side_up.text, "setup.side-up"},
        {&setup->crank_at, entry->crank_at_text.text, "setup.crank-at"},
        {&setup->engine_is, entry->engine_is.text, "setup.engine-is"},
    };

    for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
        if (!changes[i].then || str_equal(*changes[i].now, changes[i].then))
            continue;
        *changes[i].now = changes[i].then;
        const char *place = i == 1 && entry->place && !entry->crank_at.cylinder ? entry->place : NULL;
        str_add_print(&text, "%s%s: %s%s%s", text.length ? "   " : "", L(packer, changes[i].key),
                      changes[i].then, place ? " " : "", place ? place : "");
        if (place)
            *changes[i].now = NULL; /* each place has its own position */
    }
    return text.length ? text.bytes : NULL;
}

static const char *place_words(struct packer *packer, const struct operation *op)
{
    if (op->unit)
        return str_print(packer->arena, "%s: %s", L(packer, "card.on-the-bench"), op->unit->shown);
    return L(packer, "card.on-the-engine");
}

static void add_steps(struct packer *packer, struct section *section, const struct plan_card *card)
{
    struct setup setup = {0};
    struct caution_place place = {.section = section};
    const char *where = NULL;
    bool benches = false;

    for (size_t i = 0; i < card->count; i++)
        benches |= card->operations[i]->unit != NULL;
    block_heading(packer, section, 2, L(packer, "card.steps"));
    for (size_t i = 0; i < card->count; i++) {
        const struct operation *op = card->operations[i];
        const char *now = place_words(packer, op);
        if (benches && !str_equal(where, now))
            block_heading(packer, section, 3, now);
        where = now;
        struct step_block *step = step_of(packer, op);
        step->before = op->loose ? NULL : announce(packer, &setup, op->entry);
        place.step = step;
        cautions_of(packer, op, at_step, &place);
        struct block *block = block_add(packer, section, BLOCK_STEP);
        block->step = step;
        block->anchor = op->id;
        add_figure(packer, section, op);
        add_sources(packer, section, op);
    }
}

/* Loose hardware that this card issued or took in is counted before it is closed. */
static void add_count_back(struct packer *packer, struct section *section,
                           const struct plan_card *card)
{
    struct table *table = table_new(packer, "count-back");

    table_column(packer, table, "what", L(packer, "card.hardware-back"), CELL_TEXT, 6);
    table_column(packer, table, "issued", L(packer, "card.issued"), CELL_COUNT, 0);
    table_column(packer, table, "fitted", L(packer, "card.fitted"), CELL_BLANK, 1);
    table_column(packer, table, "back", L(packer, "card.back"), CELL_BLANK, 1);
    for (size_t i = 0; i < card->count; i++) {
        const struct operation *op = card->operations[i];
        if (op->entry->kind != ENTRY_JOINT || (op->verb != VERB_TIGHTEN && op->verb != VERB_NIP) ||
            (op->verb == VERB_TIGHTEN && op->after_nip))
            continue;
        const struct joint *joint = (const struct joint *)op->entry;
        for (size_t j = 0; j < joint->uses.count; j++) {
            if (!joint->uses.items[j].ref.count)
                continue;
            struct cell *row = table_row_new(packer, table);
            row[0] = cell_text(str_print(packer->arena, "%s: %s", joint->e.shown,
                                         text_of_entries(packer, joint->uses.items[j].ref.to,
                                                         joint->uses.items[j].ref.count)));
            row[1] = cell_count(packer, joint->uses.items[j].count);
            row[2].kind = row[3].kind = CELL_BLANK;
        }
    }
    if (table->rows.count)
        block_add(packer, section, BLOCK_TABLE)->table = table;
}

const char *card_title(struct packer *packer, const struct plan_card *card)
{
    const struct operation *first = card->operations[0];
    const char *phase = label_of(packer, "phase", phase_name(card->phase));

    if (!first->loose || card->phase == PHASE_OUTWORK)
        return card->title;
    if (card->phase == PHASE_FINAL)
        return str_print(packer->arena, "%s: %s", L(packer, "card.loose-pieces"), card->title);
    return first->kind ? str_print(packer->arena, "%s, %s, %s: %s", phase, first->kind,
                                   L(packer, "card.from"), card->title)
                       : str_print(packer->arena, "%s, %s: %s", phase, L(packer, "card.from"),
                                   card->title);
}

static void add_card(struct packer *packer, const struct plan_card *card, size_t number)
{
    struct section *section =
        section_new(packer, SECTION_CARD, card->id, card_title(packer, card));

    section->card = card;
    section->state = state_before(packer, card);
    section->place = str_print(packer->arena, "%zu %s %zu", number, L(packer, "card.of"),
                               packer->plan->cards.count);
    struct caution_place head = {.section = section};
    cautions_of_card(packer, card, at_head, &head);
    for (size_t i = 0; i < card->count; i++)
        cautions_of(packer, card->operations[i], at_head, &head);
    add_kit(packer, section, card);
    add_steps(packer, section, card);
    if (card->phase != PHASE_STRIP)
        add_count_back(packer, section, card);
    block_add(packer, section, BLOCK_SIGN_OFF);
}

void add_cards(struct packer *packer)
{
    for (size_t i = 0; i < packer->plan->cards.count; i++)
        add_card(packer, &packer->plan->cards.items[i], i + 1);
}
