/* steps.c - one operation as one step of a card: what to do, with every fact that belongs to it. */
#include "pack_private.h"

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

static struct step_check *add_check(struct packer *packer, struct step_block *step, int kind,
                                    const char *id, const char *words)
{
    struct step_check *check = ARRAY_PUSH(packer->arena, &step->checks);

    *check = (struct step_check){.id = id, .label = words};
    check->kind = kind;
    return check;
}

static void tick(struct packer *packer, struct step_block *step, const char *words)
{
    add_check(packer, step, CHECK_TICK, NULL, words);
}

static void reading(struct packer *packer, struct step_block *step, const char *id,
                    const char *limit, const char *unit)
{
    struct step_check *check =
        add_check(packer, step, CHECK_READING, id, L(packer, "check.read"));
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
static void claim_sources(struct packer *packer, struct step_block *step, const struct claim *claim)
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

static void claim_field(struct packer *packer, struct step_block *step, const char *key,
                        const struct claim *claim)
{
    step_field(packer, step, key, text_of_claim(packer, claim));
    claim_sources(packer, step, claim);
}

/* The same of a value in words, such as a crank position. */
static void text_sources(struct packer *packer, struct step_block *step, const struct text *text)
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
                          const struct entry *entry)
{
    step_field(packer, step, "called", entry->called.text);
    step_field(packer, step, "crank-at", entry->crank_at_text.text);
    step_field(packer, step, "side-up", entry->side_up.text);
    step_field_strong(packer, step, "engine-is", entry->engine_is.text);
    step_field(packer, step, "tools", text_of_tools(packer, &entry->tools));
    if (entry->people.present)
        step_field(packer, step, "people",
                   str_print(packer->arena, "%lld", (long long)entry->people.value));
    step_field(packer, step, "takes", text_of_claim(packer, &entry->takes));
    if (entry->reach.count)
        step_field(packer, step, "reach",
                   text_of_entries(packer, entry->reach.to, entry->reach.count));
    step_field(packer, step, "note", entry->note.text);
    step_field(packer, step, "photo", entry->photo.text);
}

static void part_words(struct packer *packer, struct step_block *step, struct part *part)
{
    int64_t quantity = part_quantity(part);

    step_field(packer, step, "number", part->number.text);
    if (quantity > 1)
        step_field(packer, step, "quantity",
                   str_print(packer->arena, "%lld", (long long)quantity));
    const struct bearing_values *bearing = build_bearing(packer->build, part);
    step_field(packer, step, "part", bearing ? bearing->order_text : NULL);
    if (part->matched.to_count)
        step_field(packer, step, "matched",
                   text_of_entries(packer, part->matched.to, part->matched.to_count));
    if (part->set.text)
        step_field(packer, step, "keep-set", part->set.text);
}

/* The pieces that a pick chose for this part, whichever reading chose them. */
static void pick_fields(struct packer *packer, struct step_block *step,
                        const struct pick_result *picks, size_t count, const struct part *part)
{
    for (size_t i = 0; i < count; i++) {
        const struct pick_result *pick = &picks[i];
        if (part && pick->part != part)
            continue;
        if (pick->open) {
            step_field(packer, step, "pick-open", pick->why_open ? pick->why_open : "");
            continue;
        }
        step_field_strong(packer, step, "pick",
                          str_print(packer->arena, "%s: %s", pick->part->e.shown,
                                    pick->best.words));
        struct str_buf others = {.arena = packer->arena};
        for (size_t j = 0; j < pick->other_count && j < 6; j++)
            str_add_print(&others, j ? "; %s" : "%s", pick->others[j].words);
        step_field(packer, step, "pick-others", others.length ? others.bytes : NULL);
    }
}

static void picked_piece(struct packer *packer, struct step_block *step, const struct part *part)
{
    for (size_t i = 0; i < packer->build->limits.count; i++) {
        const struct limit_values *values = &packer->build->limits.items[i];
        for (size_t j = 0; j < values->pick_count; j++)
            if (values->picks[j].part == part && !values->picks[j].open) {
                step_field_strong(packer, step, "made-with", values->picks[j].best.words);
                return;
            }
    }
    for (size_t i = 0; i < packer->build->fits.count; i++) {
        const struct fit_values *values = &packer->build->fits.items[i];
        for (size_t j = 0; j < values->pick_count; j++)
            if (values->picks[j].part == part && !values->picks[j].open) {
                step_field_strong(packer, step, "made-with", values->picks[j].best.words);
                return;
            }
    }
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
    tick(packer, step, L(packer, "check.done"));
}

static void fill_fit(struct packer *packer, struct step_block *step, const struct operation *op)
{
    struct part *part = spec_part(op->entry);

    if (!part)
        return;
    part_words(packer, step, part);
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
    if (part->way_round.present) {
        step_field_strong(packer, step, "way-round",
                          str_print(packer->arena, "%s: %s",
                                    part->way_round.mark.text ? part->way_round.mark.text : "",
                                    part->way_round.faces.text ? part->way_round.faces.text : ""));
        tick(packer, step, L(packer, "check.way-round"));
    }
    tick(packer, step, L(packer, "check.done"));
}

static void fill_remove(struct packer *packer, struct step_block *step, const struct operation *op)
{
    struct part *part = spec_part(op->entry);

    if (part) {
        part_words(packer, step, part);
        if (part->with.to_count)
            step_field(packer, step, "with",
                       text_of_entries(packer, part->with.to, part->with.to_count));
        if (part->through.count)
            step_field(packer, step, "through",
                       text_of_entries(packer, part->through.to, part->through.count));
        step_field(packer, step, "out-for", part->out_for.text);
        step_field(packer, step, "inspect", text_of_texts(packer, &part->inspect));
        step_field(packer, step, "life", text_of_claim(packer, &part->life));
        claim_field(packer, step, "hours", &part->hours);
    }
    tick(packer, step, L(packer, "check.done"));
}

static void thread_fields(struct packer *packer, struct step_block *step,
                          const struct joint *joint, const struct joint_values *values)
{
    if (joint->left_hand.value)
        step_field_strong(packer, step, "left-hand", L(packer, "field.left-hand-note"));
    step_field(packer, step, "thread", joint->thread.text);
    step_field(packer, step, "count",
               str_print(packer->arena, "%lld", (long long)joint->count.value));
    step_field(packer, step, "spanner", values ? values->spanner : NULL);
}

static void fill_slacken(struct packer *packer, struct step_block *step,
                         const struct operation *op)
{
    const struct joint *joint = spec_joint(op->entry);

    if (joint) {
        thread_fields(packer, step, joint, build_joint(packer->build, joint));
        step_field(packer, step, "holds",
                   text_of_entries(packer, joint->holds.to, joint->holds.to_count));
        if (joint->lock.kind > LOCK_NONE)
            step_field(packer, step, "lock", joint->lock.part.count
                           ? text_of_entries(packer, joint->lock.part.to, joint->lock.part.count)
                           : joint->lock.consumable.text);
    }
    tick(packer, step, L(packer, "check.done"));
}

static void condition_field(struct packer *packer, struct step_block *step,
                            const struct joint *joint, const struct joint_values *values)
{
    if (values && values->condition)
        step_field(packer, step, "condition", values->condition);
    else if (joint->condition.present)
        step_field(packer, step, "condition", joint->condition.name);
}

static void pattern_field(struct packer *packer, struct step_block *step,
                          const struct joint *joint)
{
    struct str_buf text = {.arena = packer->arena};

    if (joint->pattern.round.present)
        str_add_print(&text, "%lld %s", (long long)joint->pattern.round.value,
                      L(packer, "field.round"));
    for (size_t i = 0; i < joint->pattern.rows.count; i++)
        str_add_print(&text, i ? " + %lld" : "%lld", (long long)joint->pattern.rows.items[i]);
    for (size_t i = 0; i < joint->pattern.sequence.count; i++)
        str_add_print(&text, i ? "-%lld" : "%lld", (long long)joint->pattern.sequence.items[i]);
    if (text.length)
        step_field(packer, step, "pattern", text.bytes);
}

static void wrench_fields(struct packer *packer, struct step_block *step,
                          const struct joint_values *values)
{
    if (!values)
        return;
    step_field(packer, step, "wrench", text_of_wrench(packer, values->wrench));
    if (values->setting_text)
        step_field_strong(packer, step, "setting",
                          values->setting_other_text
                              ? str_print(packer->arena, "%s (%s)", values->setting_text,
                                          values->setting_other_text)
                              : values->setting_text);
    struct str_buf pulls = {.arena = packer->arena};
    for (size_t i = 0; i < values->pull_count; i++)
        str_add_print(&pulls, i ? ", %s" : "%s", values->pulls[i]);
    step_field(packer, step, "pulls", pulls.length ? pulls.bytes : NULL);
}

static void torque_value_fields(struct packer *packer, struct step_block *step,
                                const struct joint *joint, const struct joint_values *values)
{
    step_field_strong(packer, step, "torque", values ? text_of_fact(packer, values->torque) : NULL);
    claim_sources(packer, step, &joint->torque);
    if (joint->drag.present) {
        claim_field(packer, step, "drag", &joint->drag);
        step_field_strong(packer, step, "torque-with-drag",
                          values ? text_of_fact(packer, values->target) : NULL);
    }
    step_field_strong(packer, step, "stretch",
                      values ? text_of_fact(packer, values->stretch) : NULL);
    if (values && values->ceiling && values->ceiling->value.kind == QTY_AT_MOST) {
        struct fact most = *values->ceiling; /* "never beyond" says "at most" already */
        most.value.kind = QTY_ONE;
        most.value.nominal = most.value.low = most.value.high;
        step_field(packer, step, "ceiling", text_of_fact(packer, &most));
    }
}

static void joint_fields(struct packer *packer, struct step_block *step,
                         const struct joint *joint, const struct joint_values *values)
{
    step_field(packer, step, "holds",
               text_of_entries(packer, joint->holds.to, joint->holds.to_count));
    thread_fields(packer, step, joint, values);
    if (joint->to.count)
        step_field(packer, step, "cut-in", text_of_entries(packer, joint->to.to, joint->to.count));
    if (joint->stud.count)
        step_field(packer, step, "stud", text_of_entries(packer, joint->stud.to, joint->stud.count));
    step_field(packer, step, "grade", joint->grade.text);
    step_field(packer, step, "turned", joint->turned.text);
    condition_field(packer, step, joint, values);
    claim_field(packer, step, "engagement", &joint->engagement);
    claim_field(packer, step, "length", &joint->length);
    claim_field(packer, step, "hole-depth", &joint->hole_depth);
    if (joint->together_with.to_count)
        step_field_strong(packer, step, "together-with",
                          text_of_entries(packer, joint->together_with.to,
                                          joint->together_with.to_count));
    step_field(packer, step, "adapter", joint->adapter.text);
    struct str_buf uses = {.arena = packer->arena};
    for (size_t i = 0; i < joint->uses.count; i++)
        str_add_print(&uses, uses.length ? ", %lld × %s" : "%lld × %s",
                      (long long)joint->uses.items[i].count,
                      text_of_entries(packer, joint->uses.items[i].ref.to,
                                      joint->uses.items[i].ref.count)
                          ? text_of_entries(packer, joint->uses.items[i].ref.to,
                                            joint->uses.items[i].ref.count)
                          : joint->uses.items[i].ref.text);
    step_field(packer, step, "uses", uses.length ? uses.bytes : NULL);
}

static void torque_checks(struct packer *packer, struct step_block *step,
                          const struct operation *op, const struct joint *joint,
                          const struct joint_values *values)
{
    const struct fact *target = values ? (values->target ? values->target : values->torque) : NULL;
    const char *unit = target && target->value.nominal.unit ? target->value.nominal.unit->name : NULL;
    int64_t count = torque_readings(joint);

    tick(packer, step, L(packer, "check.torqued"));
    for (int64_t i = 1; joint->e.critical.value && i <= count; i++)
        reading(packer, step,
                str_print(packer->arena, "%s#%lld", torque_id(packer, op), (long long)i),
                text_of_fact(packer, target), unit);
    add_check(packer, step, CHECK_INITIALS, NULL, L(packer, "card.initials"));
}

static void fill_tighten(struct packer *packer, struct step_block *step,
                         const struct operation *op)
{
    const struct joint *joint = spec_joint(op->entry);

    if (!joint)
        return;
    const struct joint_values *values = build_joint(packer->build, joint);
    joint_fields(packer, step, joint, values);
    torque_value_fields(packer, step, joint, values);
    claim_field(packer, step, "then", &joint->then);
    wrench_fields(packer, step, values);
    pattern_field(packer, step, joint);
    if (joint->lock.kind == LOCK_NONE)
        step_field(packer, step, "no-lock", joint->lock.reason.text);
    torque_checks(packer, step, op, joint, values);
}

static void fill_retighten(struct packer *packer, struct step_block *step,
                           const struct operation *op)
{
    const struct joint *joint = spec_joint(op->entry);

    if (!joint)
        return;
    const struct joint_values *values = build_joint(packer->build, joint);
    thread_fields(packer, step, joint, values);
    condition_field(packer, step, joint, values);
    for (size_t i = 0; i < joint->again.count; i++) {
        const struct again *again = &joint->again.items[i];
        step_field(packer, step, "engine-is", again->engine_is.text);
        if (again->slacken_first.present)
            step_field(packer, step, "slacken-first",
                       again->slacken_first.value ? L(packer, "check.done") : L(packer, "summary.none"));
    }
    torque_value_fields(packer, step, joint, values);
    wrench_fields(packer, step, values);
    torque_checks(packer, step, op, joint, values);
}

static void fill_nip(struct packer *packer, struct step_block *step, const struct operation *op)
{
    const struct joint *joint = spec_joint(op->entry);

    if (!joint)
        return;
    joint_fields(packer, step, joint, build_joint(packer->build, joint));
    claim_field(packer, step, "nip", &joint->nip);
    tick(packer, step, L(packer, "check.done"));
}

static const char *lock_word(enum lock_kind kind)
{
    static const char *const words[] = {NULL, "none", "split-pin", "wire", "tab-washer",
                                        "self-locking", "thread-lock"};
    return words[kind];
}

static void fill_lock(struct packer *packer, struct step_block *step, const struct operation *op)
{
    const struct joint *joint = spec_joint(op->entry);

    if (joint) {
        const char *word = lock_word(joint->lock.kind);
        step_field_strong(packer, step, "lock", word ? label_of(packer, "lock", word) : NULL);
        if (joint->lock.part.count)
            step_field(packer, step, "part",
                       text_of_entries(packer, joint->lock.part.to, joint->lock.part.count));
        if (joint->lock.consumable.text)
            step_field(packer, step, "part",
                       text_of_consumable(packer, joint->lock.consumable.text));
        step_field(packer, step, "count",
                   str_print(packer->arena, "%lld", (long long)joint->count.value));
    }
    tick(packer, step, L(packer, "check.locked"));
    add_check(packer, step, CHECK_INITIALS, NULL, L(packer, "card.initials"));
}

static void fill_wait(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->at_least_s > 0) {
        struct qty_value value = {.kind = QTY_ONE};
        value.nominal = value.low = value.high = qty_from_si((double)op->at_least_s, QTY_TIME);
        step_field_strong(packer, step, "at-least", qty_print_plain(packer->arena, value.nominal));
    }
    tick(packer, step, L(packer, "check.done"));
}

static const char *unit_of(const struct fact *fact)
{
    if (!fact || fact->value.kind == QTY_ABSENT)
        return NULL;
    const struct qty *qty = fact->value.kind == QTY_AT_MOST ? &fact->value.high : &fact->value.low;
    return qty->unit ? qty->unit->name : NULL;
}

static void verdict_field(struct packer *packer, struct step_block *step, const char *text)
{
    step_field_strong(packer, step, "verdict", text);
}

static void fill_limit(struct packer *packer, struct step_block *step, const struct operation *op,
                       const struct limit *limit)
{
    const struct limit_values *values = build_limit(packer->build, limit);

    if (limit->of.to_count)
        step_field(packer, step, "holds-of",
                   text_of_entries(packer, limit->of.to, limit->of.to_count));
    step_field(packer, step, "rule", limit->rule.text);
    if (limit->stack.present) {
        struct str_buf text = {.arena = packer->arena};
        for (size_t i = 0; i < limit->stack.plus.count; i++)
            str_add_print(&text, "+ %s ", text_of_size(packer, &limit->stack.plus.items[i]));
        for (size_t i = 0; i < limit->stack.minus.count; i++)
            str_add_print(&text, "− %s ", text_of_size(packer, &limit->stack.minus.items[i]));
        step_field(packer, step, "stack", text.bytes);
    }
    const char *want = values ? text_of_fact(packer, values->want) : NULL;
    claim_sources(packer, step, &limit->want);
    step_field(packer, step, "worn", values ? text_of_fact(packer, values->worn) : NULL);
    if (values && values->found) {
        step_field(packer, step, values->found->origin == FACT_COMPUTED ? "worked-out" : "found",
                   text_of_fact(packer, values->found));
        verdict_field(packer, step, values->verdict_text);
    }
    step_field(packer, step, "gauge", text_of_gauge(packer, limit->using.text));
    step_field(packer, step, "where", limit->where.text);
    if (values && op->phase != PHASE_STRIP)
        pick_fields(packer, step, values->picks, values->pick_count, NULL);
    if (limit->concession.present)
        step_field(packer, step, "concession", limit->concession.because.text);
    reading(packer, step, reading_id(op), want, values ? unit_of(values->want) : NULL);
}

static void fill_fit_reading(struct packer *packer, struct step_block *step,
                             const struct operation *op, const struct fit *fit)
{
    const struct fit_values *values = build_fit(packer->build, fit);

    step_field(packer, step, "inner", text_of_size(packer, &fit->inner));
    step_field(packer, step, "outer", text_of_size(packer, &fit->outer));
    if (!values)
        return;
    step_field(packer, step, "clearance", text_of_fact(packer, values->clearance));
    step_field(packer, step, "kind", values->kind);
    step_field(packer, step, "hot", text_of_fact(packer, values->hot));
    verdict_field(packer, step, values->verdict_text);
    pick_fields(packer, step, values->picks, values->pick_count, NULL);
    const struct fact *shown = values->want ? values->want : values->clearance;
    reading(packer, step, reading_id(op), text_of_fact(packer, shown), unit_of(shown));
}

static void fill_read(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind == ENTRY_LIMIT)
        fill_limit(packer, step, op, (const struct limit *)op->entry);
    else if (op->entry->kind == ENTRY_FIT)
        fill_fit_reading(packer, step, op, (const struct fit *)op->entry);
}

static void fill_set(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind != ENTRY_SETTING)
        return;
    const struct setting *setting = (const struct setting *)op->entry;
    const struct setting_values *values = build_setting(packer->build, setting);
    const char *at = values && values->at ? text_of_fact(packer, values->at) : setting->at_text.text;
    const char *want = values && values->want ? text_of_fact(packer, values->want)
                                              : text_of_claim(packer, &setting->want);

    step_field(packer, step, "holds-of",
               text_of_entries(packer, setting->of.to, setting->of.to_count));
    step_field(packer, step, "event", setting->event.text);
    step_field_strong(packer, step, "at", setting->at_text.text);
    text_sources(packer, step, &setting->at_text);
    step_field_strong(packer, step, "at-other",
                      values ? text_of_fact(packer, values->at_other) : NULL);
    step_field_strong(packer, step, "limit", want);
    step_field(packer, step, "tolerance", text_of_claim(packer, &setting->tolerance));
    step_field_strong(packer, step, "advance", setting->advance.text);
    step_field(packer, step, "marks", setting->marks.text);
    if (values && values->turns > 0)
        step_field(packer, step, "turns-back",
                   str_print(packer->arena, "%lld", (long long)values->turns));
    step_field(packer, step, "gauge", text_of_gauge(packer, setting->using.text));
    if (want || at) {
        const char *unit = setting->want.present ? unit_of(values ? values->want : NULL)
                           : setting->at.present && setting->at.offset.unit
                               ? setting->at.offset.unit->name
                               : NULL;
        reading(packer, step, reading_id(op), want ? want : setting->at_text.text, unit);
    } else {
        tick(packer, step, L(packer, "check.seen"));
    }
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
    tick(packer, step, L(packer, "check.seen"));
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
    tick(packer, step, L(packer, "check.done"));
}

static void fill_do(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind == ENTRY_STEP) {
        const struct step *entry = (const struct step *)op->entry;
        step->object = entry->what.text ? entry->what.text : entry->e.shown;
        if (entry->of.to_count)
            step_field(packer, step, "holds-of",
                       text_of_entries(packer, entry->of.to, entry->of.to_count));
            }
    tick(packer, step, L(packer, "check.done"));
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
    const struct supplier *supplier =
        outwork->supplier.text ? spec_supplier(packer->spec, outwork->supplier.text) : NULL;
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
        tick(packer, step, L(packer, "check.done"));
        return;
    }
    for (size_t i = 0; i < outwork->want.count; i++) {
        const struct outwork_size *want = &outwork->want.items[i];
        const struct qty_unit *unit = want->want.value.low.unit;
        reading(packer, step,
                str_print(packer->arena, "%s@%s", reading_id(op),
                          want->size.size ? want->size.size->id : want->size.text),
                text_of_claim(packer, &want->want), unit ? unit->name : NULL);
    }
    tick(packer, step, L(packer, "check.seen"));
}

static void fill_run(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind != ENTRY_RUN)
        return;
    const struct run *run = (const struct run *)op->entry;
    step->object = run->what.text ? run->what.text : run->e.shown;
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
        reading(packer, step,
                str_print(packer->arena, "%s@%zu", reading_id(op), i + 1),
                str_print(packer->arena, "%s: %s", look->what, text_of_claim(packer, &look->value)),
                unit ? unit->name : NULL);
    }
    tick(packer, step, L(packer, "check.done"));
}

static void fill_trial(struct packer *packer, struct step_block *step, const struct operation *op)
{
    if (op->entry->kind == ENTRY_TRIAL) {
        const struct trial *trial = (const struct trial *)op->entry;
        step_field(packer, step, "holds-of",
                   text_of_entries(packer, trial->of.to, trial->of.to_count));
        step_field(packer, step, "where", trial->where.text);
        step_field(packer, step, "found",
                   text_of_entries(packer, trial->finds.to, trial->finds.to_count));
    }
    tick(packer, step, L(packer, "check.done"));
}

static void fill_inspect(struct packer *packer, struct step_block *step,
                         const struct operation *op)
{
    struct part *part = spec_part(op->entry);

    if (part) {
        step_field(packer, step, "inspect", text_of_texts(packer, &part->inspect));
        for (size_t i = 0; i < part->sizes.count; i++) {
            const struct size_values *values = build_size(packer->build, part->sizes.items[i]);
            if (!values || part->sizes.items[i]->implied || !values->found)
                continue;
            step_field(packer, step, "found",
                       str_print(packer->arena, "%s %s: %s", values->size->name,
                                 text_of_fact(packer, values->found),
                                 values->verdict_text ? values->verdict_text : ""));
        }
    }
    tick(packer, step, L(packer, "check.done"));
}

static void fill_count(struct packer *packer, struct step_block *step, const struct operation *op)
{
    struct part *part = spec_part(op->entry);

    if (part) {
        part_words(packer, step, part);
        struct step_check *check = add_check(packer, step, CHECK_COUNT,
                                             str_print(packer->arena, "%s@count", reading_id(op)),
                                             L(packer, "check.count"));
        check->limit = str_print(packer->arena, "%lld", (long long)part_quantity(part));
        return;
    }
    tick(packer, step, L(packer, "check.done"));
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
};

struct step_block *step_of(struct packer *packer, const struct operation *operation)
{
    struct step_block *step = ARENA_NEW(packer->arena, struct step_block);

    step->operation = operation;
    step->number = str_print(packer->arena, "%zu", operation->number);
    step->action = label_of(packer, "verb", verb_word(operation->verb));
    step->object = operation->entry->shown;
    if (operation->entry->critical.value)
        step_field_strong(packer, step, "critical", " ");
    fills[operation->verb](packer, step, operation);
    if (operation->verb != VERB_WITNESS && operation->verb != VERB_LOCK &&
        operation->verb != VERB_HEAT)
        common_fields(packer, step, operation->entry);
    for (size_t i = 0; i < operation->hides.count; i++)
        *ARRAY_PUSH(packer->arena, &step->last_chance) = operation->hides.items[i]->shown;
    return step;
}
