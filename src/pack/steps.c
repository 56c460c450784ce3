/* steps.c - one operation as one step of a card: what to do, with every fact that belongs to it. */
#include "steps_private.h"

static void add_field(struct packer *packer, struct step_block *step, const char *key,
                      const char *text, bool strong)
{
    if (!text || !*text)
        return;
    ARRAY_PUSH(packer->arena, &step->fields);
    step->fields.items[step->fields.count - 1].label =
        label(packer->labels, str_print(packer->arena, "field.%s", key));
    step->fields.items[step->fields.count - 1].text = text;
    step->fields.items[step->fields.count - 1].strong = strong;
}

void step_field(struct packer *packer, struct step_block *step, const char *label_key,
                const char *text)
{
    add_field(packer, step, label_key, text, false);
}

void step_field_strong(struct packer *packer, struct step_block *step, const char *label_key,
                       const char *text)
{
    add_field(packer, step, label_key, text, true);
}

void step_more(struct packer *packer, struct step_block *step, const struct facts *more)
{
    for (size_t i = 0; i < more->count; i++) {
        const struct fact *fact = more->items[i];
        step_field(packer, step, strrchr(fact->id, '.') + 1, text_of_fact(packer, fact));
    }
}

struct step_check *step_check(struct packer *packer, struct step_block *step, int kind,
                                    const char *id, const char *words)
{
    struct step_check *check = ARRAY_PUSH(packer->arena, &step->checks);

    *check = (struct step_check){.id = id, .label = words};
    check->kind = kind;
    return check;
}

void step_tick(struct packer *packer, struct step_block *step, const char *words)
{
    step_check(packer, step, CHECK_TICK, NULL, words);
}

void step_reading(struct packer *packer, struct step_block *step, const char *id,
                    const char *limit, const char *unit)
{
    struct step_check *check =
        step_check(packer, step, CHECK_READING, id, L(packer, "check.read"));
    check->limit = limit;
    check->unit = unit;
}

const char *reading_id(const struct operation *operation)
{
    const char *colon = strchr(operation->id, ':');
    return colon ? colon + 1 : operation->id;
}

const char *torque_id(struct packer *packer, const struct operation *op)
{
    const char *id = reading_id(op);
    /* tightened again after a wait: the same joint a second time in the same phase */
    bool waited = op->verb == VERB_RETIGHTEN && !strchr(id, '@');

    return str_print(packer->arena, waited ? "%s@wait@torque" : "%s@torque", id);
}

int64_t torque_readings(const struct joint *joint)
{
    return joint->e.critical.value ? joint->count.value : 1;
}

/* What other sources say of a value, and why it was not followed: the card prints the loser too. */
void step_sources(struct packer *packer, struct step_block *step, const struct claim *claim)
{
    for (size_t i = 0; i < claim->loser_count; i++) {
        const char *source = text_of_source(packer, &claim->losers[i]);
        const char *said = text_of_claim(packer, &claim->losers[i]);
        step_field(packer, step, "sources-differ",
                   source ? str_print(packer->arena, "%s: %s", source, said) : said);
    }
    if (claim->present)
        step_field(packer, step, "because", claim->because);
}

void step_claim(struct packer *packer, struct step_block *step, const char *key,
                        const struct claim *claim)
{
    step_field(packer, step, key, text_of_claim(packer, claim));
    step_sources(packer, step, claim);
}

/* The same of a value in words, such as a crank position. */
void step_text_sources(struct packer *packer, struct step_block *step, const struct text *text)
{
    for (size_t i = 0; i < text->loser_count; i++) {
        const struct claim shown = {.from = text->losers[i].from, .page = text->losers[i].page};
        const char *source = text_of_source(packer, &shown);
        step_field(packer, step, "sources-differ",
                   source ? str_print(packer->arena, "%s: %s", source, text->losers[i].text)
                          : text->losers[i].text);
    }
    step_field(packer, step, "because", text->because);
}

/* What any entry may say. */
static void common_fields(struct packer *packer, struct step_block *step,
                          const struct operation *op)
{
    const struct entry *entry = op->entry;

    step_field(packer, step, "called", entry->called.text);
    step_field(packer, step, "photo", op->verb == VERB_CLEAN ? NULL : entry->photo.text);
    if (is_of_piece(op))
        return;
    if (!op->loose) { /* a loose piece on the bench knows neither crank nor case */
        step_field(packer, step, "crank-at", entry->crank_at_text.text);
        step_field(packer, step, "side-up", entry->side_up.text);
        step_field_strong(packer, step, "engine-is", entry->engine_is.text);
    }
    step_field(packer, step, "tools", text_of_tools(packer, &entry->tools));
    if (entry->people.present)
        step_field(packer, step, "people",
                   str_print(packer->arena, "%lld", (long long)entry->people.value));
    step_field(packer, step, "takes", text_of_claim(packer, &entry->takes));
    if (entry->reach.count && !op->loose)
        step_field(packer, step, "reach",
                   text_of_entries(packer, entry->reach.to, entry->reach.count));
    step_field(packer, step, "note", entry->note.text);
}

static bool has(const struct entry *const *entries, size_t count, const struct entry *entry)
{
    for (size_t i = 0; i < count; i++)
        if (entries[i] == entry)
            return true;
    return false;
}

/* Whether an operation works through an opening, or closes it. */
static bool goes_through(const struct operation *op, const struct entry *opening)
{
    struct part *part = spec_part(op->entry);
    const struct ref *reach = &op->entry->reach;

    if (has((const struct entry *const *)reach->to, reach->count, opening))
        return true;
    return part &&
           (has((const struct entry *const *)part->through.to, part->through.count, opening) ||
            has((const struct entry *const *)part->closes.to, part->closes.to_count, opening));
}

/* What is said of an opening stands at the first step of the phase that has to do with it. */
static void opening_fields(struct packer *packer, struct step_block *step,
                           const struct operation *op)
{
    for (size_t i = 0; i < packer->spec->openings.count; i++) {
        const struct entry *opening = &packer->spec->openings.items[i]->e;
        bool first = goes_through(op, opening);

        for (size_t k = 0; first && k < packer->plan->operations.count; k++) {
            const struct operation *other = packer->plan->operations.items[k];
            if (other == op)
                break;
            first = other->phase != op->phase || !goes_through(other, opening);
        }
        if (!first)
            continue;
        if (opening->called.text)
            step_field(packer, step, "called",
                       str_print(packer->arena, "%s: %s", opening->shown, opening->called.text));
        if (opening->note.text)
            step_field(packer, step, "note",
                       str_print(packer->arena, "%s: %s", opening->shown, opening->note.text));
    }
}

/* What a gasket is cut from and to. */
static void cut_fields(struct packer *packer, struct step_block *step, const struct part *part)
{
    const struct cut_from *cut = &part->cut_from;
    const struct outline *outline = &cut->outline;
    const char *circle = text_of_hole_circles(packer, outline);

    if (!cut->present)
        return;
    step_field(packer, step, "cut-from", cut->sheet.text);
    step_claim(packer, step, "free", &cut->free);
    step_claim(packer, step, "crushed", &cut->crushed);
    step_claim(packer, step, "outside", &outline->body.outside);
    step_claim(packer, step, "inside", &outline->inside);
    step_field(packer, step, "holes", text_of_holes(packer, outline));
    step_field(packer, step, "hole-circle", circle);
}

void step_part(struct packer *packer, struct step_block *step, struct part *part)
{
    int64_t quantity = part_quantity(part);

    step_field(packer, step, "number", part->number.text);
    step_field_strong(packer, step, "looks-like",
                      text_of_phrase(packer, build_look_alikes(packer->arena, part)));
    if (quantity > 1)
        step_field(packer, step, "quantity",
                   str_print(packer->arena, "%lld", (long long)quantity));
    const struct bearing_values *bearing = build_bearing(packer->build, part);
    step_field(packer, step, "part", bearing ? text_of_phrase(packer, bearing->order) : NULL);
    if (part->matched.to_count)
        step_field(packer, step, "matched",
                   text_of_entries(packer, part->matched.to, part->matched.to_count));
    if (part->set.text)
        step_field(packer, step, "keep-set", part->set.text);
}

static void picked_piece(struct packer *packer, struct step_block *step, const struct part *part)
{
    for (size_t i = 0; i < packer->build->limits.count; i++) {
        const struct limit_values *values = &packer->build->limits.items[i];
        for (size_t j = 0; j < values->pick_count; j++)
            if (values->picks[j].part == part && !values->picks[j].open) {
                step_field_strong(packer, step, "made-with",
                                  text_of_phrase(packer, values->picks[j].best.words));
                return;
            }
    }
    for (size_t i = 0; i < packer->build->fits.count; i++) {
        const struct fit_values *values = &packer->build->fits.items[i];
        for (size_t j = 0; j < values->pick_count; j++)
            if (values->picks[j].part == part && !values->picks[j].open) {
                step_field_strong(packer, step, "made-with",
                                  text_of_phrase(packer, values->picks[j].best.words));
                return;
            }
    }
}

/* The clearance that the parts are wanted to have while they go together: asked for, or of practice. */
static const struct fact *gap_of(struct packer *packer, const struct fit *fit)
{
    return build_fact(packer->build, str_print(packer->arena, "%s.%s", fit->e.member,
                                               fit->heat.present ? "heat.gap" : "chill.gap"));
}

static void fill_heat(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind != ENTRY_FIT)
        return;
    const struct fit *fit = (const struct fit *)op->entry;
    const struct fit_values *values = build_fit(packer->build, fit);
    if (fit->heat.part.count)
        step_field(packer, step, "heat-part",
                   text_of_entries(packer, fit->heat.part.to, fit->heat.part.count));
    step_field_strong(packer, step, "heat-to", values ? text_of_fact(packer, values->heat_to) : NULL);
    step_field(packer, step, "heat-at-most", text_of_claim(packer, &fit->heat.at_most));
    step_field(packer, step, "cooling", text_of_claim(packer, &fit->heat.cooling));
    if (fit->chill.part.count)
        step_field(packer, step, "chill-part",
                   text_of_entries(packer, fit->chill.part.to, fit->chill.part.count));
    step_field_strong(packer, step, "chill-to", values ? text_of_fact(packer, values->chill_to) : NULL);
    if (values && values->chill_in)
        step_field(packer, step, "chill-in", label_of(packer, "medium", values->chill_in));
    step_field(packer, step, "chill-at-least", text_of_claim(packer, &fit->chill.at_least));
    step_field(packer, step, "warming", text_of_claim(packer, &fit->chill.warming));
    step_field(packer, step, "gap", text_of_fact(packer, gap_of(packer, fit)));
    step_tick(packer, step, L(packer, "check.done"));
}

static void fill_fit(struct packer *packer, struct step_block *step, const struct operation *op)
{
    struct part *part = spec_part(op->entry);

    if (!part)
        return;
    step_part(packer, step, part);
    const struct bearing_values *bearing = build_bearing(packer->build, part);
    if (bearing)
        step_more(packer, step, &bearing->more);
    if (part->in.count)
        step_field(packer, step, "into", text_of_entries(packer, part->in.to, part->in.count));
    if (part->through.count)
        step_field(packer, step, "through",
                   text_of_entries(packer, part->through.to, part->through.count));
    if (part->with.to_count)
        step_field(packer, step, "with",
                   text_of_entries(packer, part->with.to, part->with.to_count));
    if (part->closes.to_count)
        step_field(packer, step, "closes",
                   text_of_entries(packer, part->closes.to, part->closes.to_count));
    if (part->clear_of.to_count)
        step_field(packer, step, "must-clear",
                   text_of_entries(packer, part->clear_of.to, part->clear_of.to_count));
    if (part->until.count)
        step_field_strong(packer, step, "out-again",
                          text_of_entries(packer, part->until.to, part->until.count));
    if (op->phase == PHASE_FINAL)
        picked_piece(packer, step, part);
    if (part->sealed_by_count == 0)
        cut_fields(packer, step, part);
    if (part->way_round.present) {
        step_field_strong(packer, step, "way-round",
                          str_print(packer->arena, "%s: %s",
                                    part->way_round.mark.text ? part->way_round.mark.text : "",
                                    part->way_round.faces.text ? part->way_round.faces.text : ""));
        step_tick(packer, step, L(packer, "check.way-round"));
    }
    step_tick(packer, step, L(packer, "check.done"));
}

static void fill_remove(struct packer *packer, struct step_block *step, const struct operation *op)
{
    struct part *part = spec_part(op->entry);

    if (part) {
        step_part(packer, step, part);
        if (part->with.to_count)
            step_field(packer, step, "with",
                       text_of_entries(packer, part->with.to, part->with.to_count));
        if (part->through.count)
            step_field(packer, step, "through",
                       text_of_entries(packer, part->through.to, part->through.count));
        step_field(packer, step, "out-for", part->out_for.text);
        step_field_strong(packer, step, "hidden-fixings",
                          text_of_fixings(packer, op->fixings.items, op->fixings.count));
        step_field(packer, step, "inspect", text_of_texts(packer, &part->inspect));
        step_field(packer, step, "life", text_of_claim(packer, &part->life));
        step_claim(packer, step, "hours", &part->hours);
        if (part->replaces.present) {
            step_field(packer, step, "old-number", part->replaces.number.text);
            step_claim(packer, step, "old-weight", &part->replaces.weight);
        }
    }
    step_tick(packer, step, L(packer, "check.done"));
}

static void fill_wait(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->at_least_s > 0) {
        struct qty_value value = {.kind = QTY_ONE};
        value.nominal = value.low = value.high = qty_from_si((double)op->at_least_s, QTY_TIME);
        step_field_strong(packer, step, "at-least", qty_print_plain(packer->arena, value.nominal));
    }
    step_tick(packer, step, L(packer, "check.done"));
}

static void fill_prove(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind == ENTRY_PASSAGE) {
        const struct passage *passage = (const struct passage *)op->entry;
        step_field(packer, step, "carries", passage->carries.text);
        if (op->object)
            step_field_strong(packer, step, "piece", op->object->shown);
        else
            step_field(packer, step, "path",
                       text_of_entries(packer, passage->path.to, passage->path.to_count));
        step_field(packer, step, "prove", passage->prove.text);
    }
    step_tick(packer, step, L(packer, "check.seen"));
}

static void fill_seal(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind != ENTRY_SEAL)
        return;
    const struct seal *seal = (const struct seal *)op->entry;
    step_field(packer, step, "between",
               text_of_entries(packer, seal->between.to, seal->between.to_count));
    if (seal->gasket.count)
        step_field(packer, step, "gasket",
                   text_of_entries(packer, seal->gasket.to, seal->gasket.count));
    for (size_t i = 0; i < seal->gasket.count; i++)
        if (spec_part(seal->gasket.to[i]))
            cut_fields(packer, step, spec_part(seal->gasket.to[i]));
    step_field(packer, step, "sealant", text_of_consumable(packer, seal->sealant.text));
    if (seal->sealant_row) {
        step_field_strong(packer, step, "open-time",
                          text_of_claim(packer, &seal->sealant_row->open_time));
        step_field(packer, step, "cures", text_of_claim(packer, &seal->sealant_row->cures));
    }
    for (size_t i = 0; i < seal->keep_off.count; i++) {
        const struct keep_off *off = &seal->keep_off.items[i];
        step_field_strong(packer, step, "keep-off",
                          str_print(packer->arena, "%s %s %s",
                                    text_of_entries(packer, off->passage.to, off->passage.count),
                                    L(packer, "field.keep-off-by"),
                                    text_of_claim(packer, &off->distance)));
    }
    step_tick(packer, step, L(packer, "check.done"));
}

/* What is done in words: under its name, or in its place where it has none. */
static void work_words(struct packer *packer, struct step_block *step, const struct entry *entry,
                       const struct text *what)
{
    if (entry->name.text && what->text)
        step_field_strong(packer, step, "outwork", what->text);
    else if (what->text)
        step->object = what->text;
}

static void fill_do(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind == ENTRY_STEP) {
        const struct step *entry = (const struct step *)op->entry;
        work_words(packer, step, op->entry, &entry->what);
        if (entry->of.to_count)
            step_field(packer, step, "holds-of",
                       text_of_entries(packer, entry->of.to, entry->of.to_count));
    }
    step_tick(packer, step, L(packer, "check.done"));
}

static void fill_witness(struct packer *packer, struct step_block *step,
                         const struct operation *op)
{
    (void)packer;
    step->hold_point = true;
    step->witness = op->entry->witness.text;
}

static void fill_outwork(struct packer *packer, struct step_block *step,
                         const struct operation *op)
{
    if (op->entry->kind != ENTRY_OUTWORK)
        return;
    const struct outwork *outwork = (const struct outwork *)op->entry;
    const struct supplier *supplier = spec_supplier(packer->spec, outwork->supplier.text);
    step_field(packer, step, "holds-of",
               text_of_entries(packer, outwork->of.to, outwork->of.to_count));
    step_field(packer, step, "outwork", outwork->what.text);
    step_field(packer, step, "supplier",
               supplier && supplier->name.text ? supplier->name.text : outwork->supplier.text);
    step_field(packer, step, "gauge", text_of_gauge(packer, outwork->using.text));
    if (op->verb == VERB_SEND) {
        for (size_t i = 0; i < outwork->want.count; i++)
            step_field_strong(packer, step, "limit",
                              str_print(packer->arena, "%s %s",
                                        text_of_size(packer, &outwork->want.items[i].size),
                                        text_of_claim(packer, &outwork->want.items[i].want)));
        step_tick(packer, step, L(packer, "check.done"));
        return;
    }
    for (size_t i = 0; i < outwork->want.count; i++) {
        const struct outwork_size *want = &outwork->want.items[i];
        const struct qty_unit *unit = want->want.value.low.unit;
        step_reading(packer, step,
                str_print(packer->arena, "%s@%s", reading_id(op),
                          want->size.size ? want->size.size->id : want->size.text),
                text_of_claim(packer, &want->want), unit ? unit->name : NULL);
    }
    step_tick(packer, step, L(packer, "check.seen"));
}

static void fill_run(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind != ENTRY_RUN)
        return;
    const struct run *run = (const struct run *)op->entry;
    work_words(packer, step, op->entry, &run->what);
    step_field_strong(packer, step, "lasts", text_of_claim(packer, &run->lasts));
    step_field_strong(packer, step, "speed", text_of_claim(packer, &run->speed));
    step_field(packer, step, "due", text_of_claim(packer, &run->due));
    step_field(packer, step, "or-by", text_of_date(packer, &run->or_by));
    step_field_strong(packer, step, "stop-if", text_of_texts(packer, &run->stop_if));
    for (size_t i = 0; i < run->look_for.count; i++) {
        const struct look_for *look = &run->look_for.items[i];
        if (!look->value.present) {
            step_field(packer, step, "look-for",
                       look->words.text ? str_print(packer->arena, "%s: %s", look->what,
                                                    look->words.text)
                                        : look->what);
            continue;
        }
        step_field(packer, step, "look-for",
                   str_print(packer->arena, "%s: %s", look->what,
                             text_of_claim(packer, &look->value)));
        const struct qty_unit *unit = look->value.value.low.unit ? look->value.value.low.unit
                                                                 : look->value.value.high.unit;
        step_reading(packer, step,
                str_print(packer->arena, "%s@%zu", reading_id(op), i + 1),
                str_print(packer->arena, "%s: %s", look->what, text_of_claim(packer, &look->value)),
                unit ? unit->name : NULL);
    }
    step_tick(packer, step, L(packer, "check.done"));
}

static void fill_trial(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind == ENTRY_TRIAL) {
        const struct trial *trial = (const struct trial *)op->entry;
        step_field(packer, step, "holds-of",
                   text_of_entries(packer, trial->of.to, trial->of.to_count));
        step_field(packer, step, "where", trial->where.text);
        step_field(packer, step, "tightened",
                   text_of_entries(packer, trial->joints.to, trial->joints.to_count));
        step_field_strong(packer, step, "left-out",
                          text_of_entries(packer, trial->without.to, trial->without.to_count));
        step_field(packer, step, "lock",
                   trial->locks.value ? NULL : label_of(packer, "lock", "none"));
        step_field(packer, step, "found",
                   text_of_entries(packer, trial->finds.to, trial->finds.to_count));
    }
    step_tick(packer, step, L(packer, "check.done"));
}

static void fill_count(struct packer *packer, struct step_block *step, const struct operation *op)
{
    struct part *part = spec_part(op->entry);

    if (part) {
        step_part(packer, step, part);
        struct step_check *check = step_check(packer, step, CHECK_COUNT,
                                             str_print(packer->arena, "%s@count", reading_id(op)),
                                             L(packer, "check.count"));
        check->limit = str_print(packer->arena, "%lld", (long long)part_quantity(part));
        return;
    }
    step_tick(packer, step, L(packer, "check.done"));
}

static void (*const fills[VERB_COUNT])(struct packer *, struct step_block *,
                                       const struct operation *) = {
    [VERB_FIT] = fill_fit,           [VERB_REMOVE] = fill_remove,
    [VERB_SLACKEN] = fill_slacken,   [VERB_NIP] = fill_nip,
    [VERB_TIGHTEN] = fill_tighten,   [VERB_LOCK] = fill_lock,
    [VERB_RETIGHTEN] = fill_retighten, [VERB_WAIT] = fill_wait,
    [VERB_READ] = fill_read,         [VERB_SET] = fill_set,
    [VERB_READ_AGAIN] = fill_set,    [VERB_PROVE] = fill_prove,
    [VERB_SEAL] = fill_seal,         [VERB_DO] = fill_do,
    [VERB_WITNESS] = fill_witness,   [VERB_HEAT] = fill_heat,
    [VERB_RUN] = fill_run,           [VERB_SEND] = fill_outwork,
    [VERB_MEASURE_RETURN] = fill_outwork, [VERB_TRIAL] = fill_trial,
    [VERB_INSPECT] = fill_inspect,   [VERB_COUNT_BACK] = fill_count,
    [VERB_TAKE_STOCK] = fill_stock,  [VERB_CLEAN] = fill_clean,
};

struct step_block *step_of(struct packer *packer, const struct operation *operation)
{
    struct step_block *step = ARENA_NEW(packer->arena, struct step_block);

    step->operation = operation;
    step->number = str_print(packer->arena, "%zu", operation->number);
    step->action = text_of_verb(packer, operation);
    step->object = operation->entry->shown;
    if (operation->entry->critical.value)
        step_field_strong(packer, step, "critical", " ");
    fills[operation->verb](packer, step, operation);
    if (operation->verb != VERB_WITNESS && operation->verb != VERB_LOCK &&
        operation->verb != VERB_HEAT)
        common_fields(packer, step, operation);
    opening_fields(packer, step, operation);
    for (size_t i = 0; i < operation->hides.count; i++)
        *ARRAY_PUSH(packer->arena, &step->last_chance) = operation->hides.items[i]->shown;
    return step;
}
