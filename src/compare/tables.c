/* tables.c - each kind of difference as a table of the pack. */
#include "lay_out_private.h"

#include <math.h>

const char *compare_side_word(const struct layer *layer, bool now)
{
    const struct comparison *c = layer->comparison;
    const struct engine *was = &c->was.plan->build->spec->engine;
    const struct engine *is = &c->is.plan->build->spec->engine;
    const struct text *pairs[][2] = {{&was->name, &is->name}, {&was->variant, &is->variant},
                                     {&was->serial, &is->serial}};

    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        if (pairs[i][0]->text && pairs[i][1]->text &&
            !str_equal(pairs[i][0]->text, pairs[i][1]->text))
            return pairs[i][now]->text;
    return now ? L(layer->packer, "compare.is") : L(layer->packer, "compare.was");
}

static const char *change_word(struct layer *layer, enum change change)
{
    static const char *const words[] = {"same", "new", "gone", "changed", "moved", "respelt"};

    return label_of(layer->packer, "change", words[change]);
}

static const char *joined(struct layer *layer, const char *const *items, size_t count,
                          const char *between)
{
    struct str_buf text = {.arena = layer->arena};

    for (size_t i = 0; i < count; i++)
        str_add_print(&text, "%s%s", i ? between : "", items[i]);
    return text.length ? text.bytes : NULL;
}

const char *compare_entry_text(struct layer *layer, struct entry *entry)
{
    static const char *const keys[] = {"number", "material", "bearing.designation", "thread",
                                       "want", "weight"};
    struct spec_says says = {0};
    struct str_buf text = {.arena = layer->arena};

    spec_say_entry(layer->arena, entry, &says);
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        for (size_t k = 0; k < says.count; k++)
            if (str_equal(says.items[k].key, keys[i]))
                str_add_print(&text, text.length ? ", %s" : "%s",
                              says.items[k].claim ? text_of_claim(layer->packer, says.items[k].claim)
                                                  : says.items[k].words);
    return text.length ? text.bytes : "–";
}

static const char *own_name(const struct entry *entry)
{
    return entry->name.text ? entry->name.text : entry->id;
}

/* Members of one group that have the same to say, told once: "Piston 1, 2". */
struct members {
    struct { struct entry **items; size_t count, room; };
};

static const char *members_text(struct layer *layer, const struct members *members)
{
    const struct entry *first = members->items[0];

    return members->count == first->group->member_count && members->count > 1
               ? own_name(first)
               : text_of_entries(layer->packer, members->items, members->count);
}

/* ---------- cards ---------- */

enum card_list compare_card_list(const struct layer *layer, const struct compare_card *card)
{
    if (card->change == CHANGE_NONE)
        return CARD_VALID;
    if (card->change == CHANGE_RESPELT)
        return CARD_RESPELT;
    return card->what.count == 1 && str_equal(card->what.items[0], L(layer->packer, "card.state"))
               ? CARD_STATE
               : CARD_TABLE;
}

const struct table *compare_card_table(struct layer *layer, bool all)
{
    const struct comparison *c = layer->comparison;
    struct table *table = table_new(layer->packer, "cards");

    table_column(layer->packer, table, "card", L(layer->packer, "sheet.card"), CELL_TEXT, 3);
    table_column(layer->packer, table, "phase", L(layer->packer, "overview.phase"), CELL_TEXT, 1);
    table_column(layer->packer, table, "change", L(layer->packer, "compare.do"), CELL_TEXT, 1);
    table_column(layer->packer, table, "what", L(layer->packer, "compare.on-it"), CELL_TEXT, 6);
    for (size_t i = 0; i < c->cards.count; i++) {
        const struct compare_card *card = &c->cards.items[i];
        const struct section *section = card->is ? card->is : card->was;
        if (card->change == CHANGE_NONE || card->change == CHANGE_RESPELT ||
            (!all && compare_card_list(layer, card) == CARD_STATE))
            continue;
        struct cell *row = table_row_new(layer->packer, table);
        row[0] = cell_text(section->title);
        row[1] = cell_text(label_of(layer->packer, "phase", phase_name(section->card->phase)));
        row[2] = cell_text(card->change == CHANGE_CHANGED ? L(layer->packer, "compare.print-again")
                           : card->change == CHANGE_NEW   ? L(layer->packer, "compare.print-new")
                                                          : L(layer->packer, "compare.throw-away"));
        row[3] = cell_text(joined(layer, card->what.items, card->what.count, "; "));
    }
    return table;
}

/* ---------- values ---------- */

static const char *suffix_of(const struct compare_value *value)
{
    const char *member = value->entry ? value->entry->member : "";
    size_t length = strlen(member);

    return length && str_starts(value->id, member) && value->id[length] == '.'
               ? value->id + length + 1
               : value->id;
}

/* "front-bore, limits": the last word of a fact's id has a label, what stands before it is the user's. */
static const char *suffix_text(struct layer *layer, const char *suffix)
{
    const char *dot = strrchr(suffix, '.');
    const char *word = dot ? dot + 1 : suffix;
    const char *last = label_or(layer->packer, "fact", word);

    if (last == word) /* what the cards call it */
        last = label_or(layer->packer, "field", word);
    if (str_starts(suffix, "pull-"))
        return str_print(layer->arena, "%s %s", L(layer->packer, "fact.pull"), suffix + strlen("pull-"));
    if (str_starts(suffix, "pick."))
        return str_print(layer->arena, "%s, %s", L(layer->packer, "fact.pick"), dot + 1);
    return dot ? str_print(layer->arena, "%.*s, %s", (int)(dot - suffix), suffix, last) : last;
}

static const char *value_text(struct layer *layer, const struct fact *fact,
                              const struct phrase *verdict)
{
    return verdict ? text_of_phrase(layer->packer, verdict) : fact ? text_of_fact(layer->packer, fact) : "–";
}

static const char *because_text(struct layer *layer, const struct compare_value *value)
{
    const char **items = ARENA_ARRAY(layer->arena, const char *, value->because.count + 1);

    for (size_t i = 0; i < value->because.count; i++)
        items[i] = text_of_phrase(layer->packer, value->because.items[i]);
    return joined(layer, items, value->because.count, "; ");
}

static bool same_row(struct layer *layer, const struct compare_value *a,
                     const struct compare_value *b)
{
    if (!a->entry || !b->entry || !str_equal(a->entry->id, b->entry->id) ||
        !str_equal(suffix_of(a), suffix_of(b)) ||
        !str_equal(because_text(layer, a), because_text(layer, b)))
        return false;
    return str_equal(value_text(layer, a->was, a->was_words),
                     value_text(layer, b->was, b->was_words)) &&
           str_equal(value_text(layer, a->is, a->is_words),
                     value_text(layer, b->is, b->is_words));
}

static bool is_read(const struct fact *fact)
{
    return fact->measured || fact->uncertainty > 0;
}

/* Of two engines: what both kinds are made to, not what was read on this one or that or ordered for it. */
static bool is_of_kind(const struct compare_value *value)
{
    return value->was && value->is && value->entry && !is_read(value->was) && !is_read(value->is) &&
           !str_ends(value->id, ".ordered");
}

const struct table *compare_value_table(struct layer *layer)
{
    const struct comparison *c = layer->comparison;
    struct table *table = table_new(layer->packer, "values");
    bool *told = ARENA_ARRAY(layer->arena, bool, c->values.count + 1);

    table_column(layer->packer, table, "what", L(layer->packer, "summary.what"), CELL_TEXT, 4);
    table_column(layer->packer, table, "was", compare_side_word(layer, false), CELL_TEXT, 4);
    table_column(layer->packer, table, "is", compare_side_word(layer, true), CELL_TEXT, 4);
    if (!c->engines)
        table_column(layer->packer, table, "because", L(layer->packer, "field.because"), CELL_TEXT, 5);
    for (size_t i = 0; i < c->values.count; i++) {
        const struct compare_value *value = &c->values.items[i];
        struct members members = {0};
        if (told[i] || str_equal(suffix_of(value), "weight") || /* weights have a table of their own */
            (c->engines && !is_of_kind(value)))
            continue;
        for (size_t k = i; k < c->values.count; k++)
            if (k == i || (!told[k] && same_row(layer, value, &c->values.items[k]))) {
                told[k] = true;
                *ARRAY_PUSH(layer->arena, &members) = c->values.items[k].entry;
            }
        struct cell *row = table_row_new(layer->packer, table);
        row[0] = cell_text(value->entry
                               ? str_print(layer->arena, "%s: %s", members_text(layer, &members),
                                           suffix_text(layer, suffix_of(value)))
                               : value->id);
        row[1] = cell_text(value_text(layer, value->was, value->was_words));
        row[2] = cell_text(value_text(layer, value->is, value->is_words));
        if (!c->engines)
            row[3] = cell_text(because_text(layer, value));
    }
    return table;
}

/* ---------- order ---------- */

/* As its card names it: "Fit: Piston 2". */
static const char *step_words(struct layer *layer, const struct pack *pack,
                              const struct operation *operation)
{
    for (size_t i = 0; i < pack->sections.count; i++) {
        const struct section *section = pack->sections.items[i];
        for (size_t k = 0; section->card && k < section->blocks.count; k++) {
            const struct step_block *step = section->blocks.items[k]->step;
            if (step && step->operation == operation)
                return str_print(layer->arena, "%s: %s", step->action, step->object);
        }
    }
    return str_print(layer->arena, "%s: %s",
                     text_of_verb(layer->packer, operation),
                     operation->entry->shown);
}

static const char *step_place(struct layer *layer, const struct compare_side *side,
                              const struct operation *operation)
{
    const char *phase = label_of(layer->packer, "phase", phase_name(operation->phase));
    const struct operation *before =
        operation->order > 0 ? side->plan->operations.items[operation->order - 1] : NULL;

    if (!before || before->phase != operation->phase)
        return str_print(layer->arena, "%s: %s", phase, L(layer->packer, "compare.first"));
    return str_print(layer->arena, "%s: %s %s", phase, L(layer->packer, "compare.after"),
                     step_words(layer, side->pack, before));
}

/* "written as before or after (Fit: Carburettor, Fit: Magneto)": the rule of the language, and on whom. */
static const char *step_reason(struct layer *layer, const struct precedence *because)
{
    const struct comparison *c = layer->comparison;

    if (!because)
        return NULL;
    const struct pack *pack =
        plan_operation(c->is.plan, because->after->id) == because->after ? c->is.pack : c->was.pack;
    return str_print(layer->arena, "%s (%s, %s)",
                     label_of(layer->packer, "order-rule",
                              str_print(layer->arena, "%u", because->implication)),
                     step_words(layer, pack, because->before), step_words(layer, pack, because->after));
}

const struct table *compare_order_table(struct layer *layer)
{
    const struct comparison *c = layer->comparison;
    struct table *table = table_new(layer->packer, "order");

    table_column(layer->packer, table, "what", L(layer->packer, "summary.what"), CELL_TEXT, 4);
    table_column(layer->packer, table, "change", L(layer->packer, "compare.change"), CELL_TEXT, 1);
    table_column(layer->packer, table, "was", compare_side_word(layer, false), CELL_TEXT, 4);
    table_column(layer->packer, table, "is", compare_side_word(layer, true), CELL_TEXT, 4);
    table_column(layer->packer, table, "because", L(layer->packer, "field.because"), CELL_TEXT, 4);
    for (size_t i = 0; i < c->steps.count; i++) {
        const struct compare_step *step = &c->steps.items[i];
        struct cell *row = table_row_new(layer->packer, table);
        row[0] = cell_text(step->is ? step_words(layer, c->is.pack, step->is)
                                    : step_words(layer, c->was.pack, step->was));
        row[1] = cell_text(change_word(layer, step->change));
        row[2] = cell_text(step->was ? step_place(layer, &c->was, step->was) : "–");
        row[3] = cell_text(step->is ? step_place(layer, &c->is, step->is) : "–");
        row[4] = cell_text(step_reason(layer, step->because));
    }
    return table;
}

/* ---------- purchases ---------- */

static void money(struct layer *layer, struct cell *cell, const struct purchase *line)
{
    struct qty sum = {.dim = QTY_MONEY};

    if (!line || line->line_minor < 0)
        return;
    sum.exact = line->line_minor;
    sum.currency = line->currency;
    cell_put_quantity(layer->packer, cell, &sum);
}

/* Number and text, as it was and as it is where they differ. */
static const char *order_text(struct layer *layer, const struct compare_purchase *one)
{
    const struct purchase *sides[] = {one->was, one->is};
    const char *texts[2] = {NULL, NULL};

    for (int i = 0; i < 2; i++)
        if (sides[i]) {
            const char *words[] = {sides[i]->number, text_of_phrase(layer->packer, sides[i]->text)};
            texts[i] = joined(layer, words + !words[0], (words[0] != NULL) + (words[1] != NULL), ", ");
        }
    if (texts[0] && texts[1] && strcmp(texts[0], texts[1]) != 0)
        return str_print(layer->arena, "%s → %s", texts[0], texts[1]);
    return texts[1] ? texts[1] : texts[0];
}

const struct table *compare_purchase_table(struct layer *layer)
{
    const struct comparison *c = layer->comparison;
    struct packer *packer = layer->packer;
    struct table *table = table_new(packer, "to-buy");

    table_column(packer, table, "name", L(packer, "sheet.name"), CELL_TEXT, 4);
    table_column(packer, table, "text", L(packer, "sheet.order-text"), CELL_TEXT, 4);
    table_column(packer, table, "change", L(packer, "compare.change"), CELL_TEXT, 1);
    table_column(packer, table, "was", L(packer, "compare.pieces-was"), CELL_COUNT, 0);
    table_column(packer, table, "is", L(packer, "compare.pieces-is"), CELL_COUNT, 0);
    table_column(packer, table, "cost-was", L(packer, "compare.cost-was"), CELL_MONEY, 0);
    table_column(packer, table, "cost-is", L(packer, "compare.cost-is"), CELL_MONEY, 0);
    table_column(packer, table, "why", L(packer, "sheet.why"), CELL_TEXT, 4);
    for (size_t i = 0; i < c->purchases.count; i++) {
        const struct compare_purchase *one = &c->purchases.items[i];
        const struct purchase *was = one->was, *is = one->is, *some = is ? is : was;
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(some->what);
        row[1] = cell_text(order_text(layer, one));
        row[2] = cell_text(change_word(layer, one->change));
        if (was)
            row[3] = cell_count(packer, was->pieces);
        if (is)
            row[4] = cell_count(packer, is->pieces);
        money(layer, &row[5], was);
        money(layer, &row[6], is);
        row[7] = cell_text(text_of_phrase(packer, some->why));
    }
    return table;
}

/* ---------- what was written ---------- */

static bool same_value(const struct spec_said *was, const struct spec_said *is)
{
    return was && is && was->claim && is->claim &&
           str_equal(was->claim->value.text, is->claim->value.text);
}

/* A quantity in both systems where it is the quantity that changed. */
static const char *said_text(struct layer *layer, const struct spec_said *said, bool same)
{
    const char *both = said && said->claim && !same && !said->claim->loser_count &&
                               !said->claim->table.text
                           ? text_of_claim(layer->packer, said->claim)
                           : NULL;
    const char *source = both ? text_of_source(layer->packer, said->claim) : NULL;

    if (!said)
        return "–";
    return !both ? said->words : source ? str_print(layer->arena, "%s [%s]", both, source) : both;
}

static bool same_edit(const struct compare_edit *a, const struct compare_edit *b)
{
    return a->entry && b->entry && a->change == b->change &&
           str_equal(a->entry->id, b->entry->id) && str_equal(a->key, b->key) &&
           str_equal(a->was ? a->was->words : NULL, b->was ? b->was->words : NULL) &&
           str_equal(a->is ? a->is->words : NULL, b->is ? b->is->words : NULL);
}

static void edit_row(struct layer *layer, struct table *table, const struct compare_edit *edit,
                     const struct members *members)
{
    struct cell *row = table_row_new(layer->packer, table);
    bool same = same_value(edit->was, edit->is);

    row[0] = cell_text(edit->entry ? members_text(layer, members) : edit->section);
    if (edit->key || !edit->entry) {
        row[1] = cell_text(compare_key_text(layer->arena, edit->key));
        row[2] = cell_text(said_text(layer, edit->was, same));
        row[3] = cell_text(said_text(layer, edit->is, same));
        return;
    }
    row[1] = cell_text(change_word(layer, edit->change));
    row[2] = cell_text(edit->change == CHANGE_GONE ? compare_entry_text(layer, edit->entry) : "–");
    row[3] = cell_text(edit->change == CHANGE_NEW ? compare_entry_text(layer, edit->entry) : "–");
}

const struct table *compare_edit_table(struct layer *layer, bool parts)
{
    const struct comparison *c = layer->comparison;
    struct packer *packer = layer->packer;
    struct table *table = table_new(packer, parts ? "parts" : "written");
    bool *told = ARENA_ARRAY(layer->arena, bool, c->edits.count + 1);

    table_column(packer, table, "what", L(packer, "summary.what"), CELL_TEXT, 3);
    table_column(packer, table, "key", L(packer, "compare.key"), CELL_TEXT, 2);
    table_column(packer, table, "was", compare_side_word(layer, false), CELL_TEXT, 4);
    table_column(packer, table, "is", compare_side_word(layer, true), CELL_TEXT, 4);
    for (size_t i = 0; i < c->edits.count; i++) {
        const struct compare_edit *edit = &c->edits.items[i];
        struct members members = {0};
        if (told[i] || str_equal(edit->section, "parts") != parts)
            continue;
        for (size_t k = i; k < c->edits.count; k++)
            if (k == i || (!told[k] && same_edit(edit, &c->edits.items[k]))) {
                told[k] = true;
                *ARRAY_PUSH(layer->arena, &members) = c->edits.items[k].entry;
            }
        edit_row(layer, table, edit, &members);
    }
    return table;
}

/* ---------- weights ---------- */

static void mass(struct layer *layer, struct cell *cell, double kg, bool sign)
{
    struct qty qty = qty_from_si(kg, QTY_MASS);

    qty.unit = layer->mass_unit;
    qty.places = layer->mass_places;
    cell_put_quantity(layer->packer, cell, &qty);
    if (sign && kg > 0 && strpbrk(cell->text, "123456789"))
        cell->text = str_print(layer->arena, "+%s", cell->text);
}

static void weight_row(struct layer *layer, struct table *table, const char *what, bool was_known,
                       double was_kg, bool is_known, double is_kg)
{
    struct cell *row = table_row_new(layer->packer, table);

    row[0] = cell_text(what);
    if (was_known)
        mass(layer, &row[1], was_kg, false);
    if (is_known)
        mass(layer, &row[2], is_kg, false);
    if (was_known && is_known)
        mass(layer, &row[3], is_kg - was_kg, true);
}

static bool differs(const struct compare_weight *weight)
{
    return weight->was_there != weight->is_there || weight->was_known != weight->is_known ||
           fabs(weight->was_kg - weight->is_kg) > 1e-9;
}

static void part_row(struct layer *layer, struct table *table, const struct compare_weight *weight)
{
    weight_row(layer, table, weight->name, weight->was_known, weight->was_kg, weight->is_known,
               weight->is_kg);
    struct cell *row = table->rows.items[table->rows.count - 1];
    const char *none = L(layer->packer, "compare.not-weighed");
    if (weight->was_there && !weight->was_known)
        row[1] = cell_text(none);
    if (weight->is_there && !weight->is_known)
        row[2] = cell_text(none);
    if (!weight->was_there) /* nought, not unknown */
        row[1] = cell_text("–");
    if (!weight->is_there)
        row[2] = cell_text("–");
}

static bool published(const struct plan *plan, double *kg)
{
    const struct claim *claim = &plan->build->spec->engine.weight;

    if (!claim->present || claim->value.kind == QTY_UNKNOWN)
        return false;
    *kg = claim->value.kind == QTY_AT_MOST ? claim->value.high.si : claim->value.low.si;
    return true;
}

static bool same_published(const struct comparison *c)
{
    double was_kg = 0, is_kg = 0;

    return published(c->was.plan, &was_kg) == published(c->is.plan, &is_kg) &&
           fabs(was_kg - is_kg) <= 1e-9;
}

struct sums {
    double was, is, was_same, is_same;
    int64_t was_unknown, is_unknown;
    size_t same;
};

static struct sums sums_of(const struct comparison *c)
{
    struct sums sums = {0};

    for (size_t i = 0; i < c->weights.count; i++) {
        const struct compare_weight *weight = &c->weights.items[i];
        sums.was += weight->was_kg;
        sums.is += weight->is_kg;
        sums.was_unknown += weight->was_there && !weight->was_known;
        sums.is_unknown += weight->is_there && !weight->is_known;
        if (differs(weight))
            continue;
        sums.same += weight->was_known;
        sums.was_same += weight->was_kg;
        sums.is_same += weight->is_kg;
    }
    return sums;
}

/* Sum of the parts, what was published, and the rest that nobody explains. */
static void add_sums(struct layer *layer, struct table *table, const struct sums *sums)
{
    const struct comparison *c = layer->comparison;
    struct packer *packer = layer->packer;
    double was_kg = 0, is_kg = 0;
    bool was = published(c->was.plan, &was_kg), is = published(c->is.plan, &is_kg);

    weight_row(layer, table, L(packer, "sheet.total"), true, sums->was, true, sums->is);
    if (was || is) {
        weight_row(layer, table, L(packer, "compare.published"), was, was_kg, is, is_kg);
        weight_row(layer, table, L(packer, "compare.rest"), was, was_kg - sums->was, is,
                   is_kg - sums->is);
    }
    if (sums->was_unknown || sums->is_unknown) {
        struct cell *row = table_row_new(packer, table);
        row[0] = cell_text(L(packer, "compare.parts-not-weighed"));
        row[1] = cell_count(packer, sums->was_unknown);
        row[2] = cell_count(packer, sums->is_unknown);
    }
}

const struct table *compare_weight_table(struct layer *layer, bool all)
{
    const struct comparison *c = layer->comparison;
    struct packer *packer = layer->packer;
    struct table *table = table_new(packer, "weights");
    struct sums sums = sums_of(c);

    table_column(packer, table, "what", L(packer, "summary.what"), CELL_TEXT, 5);
    table_column(packer, table, "was", compare_side_word(layer, false), CELL_QUANTITY, 0);
    table_column(packer, table, "is", compare_side_word(layer, true), CELL_QUANTITY, 0);
    table_column(packer, table, "difference", L(packer, "compare.difference"), CELL_QUANTITY, 0);
    for (size_t i = 0; i < c->weights.count; i++)
        if (all || differs(&c->weights.items[i]))
            part_row(layer, table, &c->weights.items[i]);
    if (!all && table->rows.count == 0 && same_published(c))
        return table; /* nothing differs */
    if (!all && sums.same)
        weight_row(layer, table,
                   str_print(layer->arena, "%s (%zu)", L(packer, "compare.all-others"), sums.same),
                   true, sums.was_same, true, sums.is_same);
    add_sums(layer, table, &sums);
    return table;
}
