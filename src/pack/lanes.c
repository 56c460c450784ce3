/* lanes.c - the order of the job at a glance, as facts for a figure: the engine and each sub-assembly on the
 * bench in a column of its own, time downward. What follows each other in one place is folded into one row,
 * and rows into fewer, until a page holds them. */
#include "pack_private.h"

struct spell { /* operations first..last, of one phase and at one place */
    size_t first, last, count;
    const struct part *unit;
    enum phase phase;
    size_t column;
};

struct spells {
    struct spell *items;
    size_t count, room;
};

static struct operation *op_at(const struct packer *packer, size_t i)
{
    return packer->plan->operations.items[i];
}

static struct spells spells_of(struct packer *packer)
{
    struct spells spells = {0};

    for (size_t i = 0; i < packer->plan->operations.count; i++) {
        const struct operation *op = op_at(packer, i);
        const struct part *unit = plan_whole_unit(op);
        struct spell *last = spells.count ? &spells.items[spells.count - 1] : NULL;
        if (op->loose && last && op_at(packer, last->last)->card == op->card)
            unit = last->unit; /* read beside the unit that waits for it */
        if (last && last->unit == unit && last->phase == op->phase &&
            op_at(packer, last->last)->card == op->card) {
            last->last = i;
            last->count++;
        } else {
            *ARRAY_PUSH(packer->arena, &spells) = (struct spell){i, i, 1, unit, op->phase, 0};
        }
    }
    return spells;
}

/* ---------- folding ---------- */

/* Rows that a page of each paper holds under its headings. */
static size_t rows_of_page(const struct packer *packer)
{
    return packer->pack->template->paper == PAPER_A5       ? 18
           : packer->pack->template->paper == PAPER_LETTER ? 36
                                                           : 40;
}

static bool may_fold(const struct spell *a, const struct spell *b)
{
    return a->unit == b->unit && a->phase == b->phase;
}

/* A short spell on the bench between two on the engine, or the other way round, hides in the longer one. */
static bool may_swallow(const struct spells *spells, size_t i)
{
    return may_fold(&spells->items[i - 1], &spells->items[i + 1]) &&
           spells->items[i - 1].phase == spells->items[i].phase;
}

static void take_out(struct spells *spells, size_t i, size_t count)
{
    memmove(&spells->items[i], &spells->items[i + count],
            (spells->count - i - count) * sizeof *spells->items);
    spells->count -= count;
}

static void fold(struct spells *spells, size_t i, size_t count)
{
    for (size_t k = 1; k < count; k++)
        spells->items[i].count += spells->items[i + k].count;
    spells->items[i].last = spells->items[i + count - 1].last;
    take_out(spells, i + 1, count - 1);
}

/* Folds what is shortest: two neighbours at one place; where there are none, a spell into those around it.
 * False when nothing can be. */
static bool fold_once(struct spells *spells)
{
    size_t best = SIZE_MAX, at = 0;

    for (size_t i = 0; i + 1 < spells->count; i++) {
        size_t sum = spells->items[i].count + spells->items[i + 1].count;
        if (may_fold(&spells->items[i], &spells->items[i + 1]) && sum < best) {
            best = sum;
            at = i;
        }
    }
    if (best < SIZE_MAX) {
        fold(spells, at, 2);
        return true;
    }
    for (size_t i = 1; i + 1 < spells->count; i++)
        if (may_swallow(spells, i) && spells->items[i].count < best) {
            best = spells->items[i].count;
            at = i - 1;
        }
    if (best < SIZE_MAX)
        fold(spells, at, 3);
    return best < SIZE_MAX;
}

/* Whether a phase begins that none has begun after; a trial between is told in its own row. */
static bool begins_phase(const struct spells *spells, size_t i)
{
    for (size_t k = 0; k < i; k++)
        if (spells->items[k].phase >= spells->items[i].phase)
            return false;
    return true;
}

/* A line a row, and one above each phase that begins. */
static size_t lines_of(const struct spells *spells)
{
    size_t lines = 0;

    for (size_t i = 0; i < spells->count; i++)
        lines += 1 + begins_phase(spells, i);
    return lines;
}

/* ---------- columns ---------- */

enum { COLUMNS = 3 }; /* the engine, and units side by side */

/* A unit keeps its column from the row in which it is begun to the last; then another may have it. */
static size_t deal_columns(struct spells *spells)
{
    const struct part *holder[COLUMNS] = {NULL};
    size_t until[COLUMNS] = {0}, most = 1;

    for (size_t i = 0; i < spells->count; i++) {
        struct spell *spell = &spells->items[i];
        size_t column = 1;
        if (!spell->unit)
            continue;
        while (column + 1 < COLUMNS && holder[column] != spell->unit && holder[column] && until[column] > i)
            column++;
        holder[column] = spell->unit;
        for (size_t k = i; k < spells->count; k++)
            if (spells->items[k].unit == spell->unit && spells->items[k].phase == spell->phase)
                until[column] = k;
        spell->column = column;
        most = column + 1 > most ? column + 1 : most;
    }
    return most;
}

/* ---------- rows ---------- */

static const char *cards_of(struct packer *packer, const struct spell *spell)
{
    size_t from = op_at(packer, spell->first)->card + 1, to = op_at(packer, spell->last)->card + 1;

    return from == to ? str_print(packer->arena, "%zu", from)
                      : str_print(packer->arena, "%zu\xe2\x80\x93%zu", from, to);
}

static void fill_row(struct packer *packer, struct figure_row *row, const struct spells *spells, size_t i)
{
    const struct spell *spell = &spells->items[i];
    const struct plan_card *card = &packer->plan->cards.items[op_at(packer, spell->first)->card];
    bool begun = false, more = false;

    row->column = spell->column;
    row->number = cards_of(packer, spell);
    for (size_t k = 0; k < i; k++)
        begun |= spells->items[k].unit == spell->unit && spells->items[k].phase == spell->phase;
    for (size_t k = i + 1; k < spells->count; k++)
        more |= spells->items[k].unit == spell->unit && spells->items[k].phase == spell->phase;
    row->text = spell->unit ? spell->unit->e.shown : card_title(packer, card);
    if (spell->phase == PHASE_TRIAL)
        row->text = str_print(packer->arena, "%s: %s", label_of(packer, "phase", "trial"), row->text);
    row->steps = spell->count;
    row->goes_in = spell->unit && spell->phase != PHASE_STRIP && !more;
    row->came_off = spell->unit && spell->phase == PHASE_STRIP && !begun;
    for (size_t k = spell->first; k <= spell->last; k++) {
        row->covers += op_at(packer, k)->hides.count > 0;
        row->holds += op_at(packer, k)->verb == VERB_WITNESS;
    }
}

static void put_rows(struct packer *packer, struct section *section, const struct spells *spells,
                     size_t columns)
{
    size_t room = rows_of_page(packer), line = room;
    struct figure *figure = NULL;

    for (size_t i = 0; i < spells->count; i++) {
        bool begins = begins_phase(spells, i);
        if (line + begins >= room) {
            figure = ARENA_NEW(packer->arena, struct figure);
            figure->kind = FIGURE_LANES;
            figure->id = str_print(packer->arena, "lanes:%zu", i);
            figure->columns = columns;
            *ARRAY_PUSH(packer->arena, &figure->names) = L(packer, "lanes.engine");
            *ARRAY_PUSH(packer->arena, &figure->names) = L(packer, "lanes.bench");
            *ARRAY_PUSH(packer->arena, &figure->names) = L(packer, "lanes.covers");
            *ARRAY_PUSH(packer->arena, &figure->names) = L(packer, "lanes.holds");
            block_add(packer, section, BLOCK_FIGURE)->figure = figure;
            line = 0;
        }
        struct figure_row *row = ARRAY_PUSH(packer->arena, &figure->rows);
        *row = (struct figure_row){0};
        fill_row(packer, row, spells, i);
        if (begins || line == 0) {
            row->head = label_of(packer, "phase", phase_name(spells->items[i].phase));
            line++;
        }
        row->line = line++;
    }
}

void add_lanes(struct packer *packer)
{
    struct spells spells = spells_of(packer);
    size_t room = rows_of_page(packer), pages = lines_of(&spells) > 2 * room ? 2 : 1;

    if (!spells.count)
        return;
    while (lines_of(&spells) > pages * room - (pages > 1) && fold_once(&spells))
        ;
    size_t columns = deal_columns(&spells);
    struct section *section =
        section_new(packer, SECTION_OVERVIEW, "lanes", L(packer, "lanes.title"));
    block_text(packer, section, L(packer, "lanes.how-to-read"));
    put_rows(packer, section, &spells, columns);
}
