/* resolve_buy.c - what must be bought, how much of it and for what; what it costs; what it
 * weighs. */
#include "pick_private.h"

struct counts {
    int64_t fitted, trial, again;
};

/* ---------- pieces for each reason ---------- */

bool build_is_lock(const struct joint *joint, const struct part *part)
{
    for (size_t i = 0; i < joint->lock.part.count; i++)
        if (joint->lock.part.to[i] == &part->e)
            return true;
    return false;
}

static int64_t uses_of(const struct joint *joint, const struct part *part)
{
    for (size_t i = 0; i < joint->uses.count; i++)
        for (size_t k = 0; k < joint->uses.items[i].ref.count; k++)
            if (joint->uses.items[i].ref.to[k] == &part->e)
                return joint->uses.items[i].count;
    return 0;
}

/* Pieces of a part that one joint takes: as `uses` says, else one lock a fastener. */
int64_t build_joint_pieces(const struct joint *joint, const struct part *part)
{
    int64_t uses = uses_of(joint, part);

    if (uses == 0 && build_is_lock(joint, part))
        uses = joint->count.present ? joint->count.value : 1;
    return uses;
}

int64_t resolve_used(const struct part *part)
{
    int64_t pieces = 0;

    for (size_t i = 0; i < part->used_by_count; i++)
        pieces += build_joint_pieces(part->used_by[i], part);
    return pieces;
}

static bool is_spent(enum lock_kind kind)
{
    return kind == LOCK_SPLIT_PIN || kind == LOCK_WIRE || kind == LOCK_TAB_WASHER;
}

/* A part that hangs on one of a trial's parts at any depth comes along. */
static bool in_trial(const struct trial *trial, const struct part *part)
{
    for (const struct part *up = part; up != NULL; up = up->host)
        if (spec_names(&trial->of, &up->e))
            return true;
    return false;
}

/* What a trial spends: its single-use locks where it fits locks, and the gaskets that are always
 * renewed of faces that close on one of its parts. */
static int64_t spent_in_trial(const struct trial *trial, const struct part *part)
{
    int64_t pieces = 0;

    for (size_t i = 0; i < trial->joints.to_count && trial->locks.value; i++) {
        const struct joint *joint = spec_joint(trial->joints.to[i]);
        if (joint != NULL && is_spent(joint->lock.kind) && build_is_lock(joint, part))
            pieces += build_joint_pieces(joint, part);
    }
    if (!part->always_renew.value || spec_names(&trial->without, &part->e))
        return pieces;
    for (size_t i = 0; i < part->sealed_by_count; i++) {
        const struct seal *seal = part->sealed_by[i];
        const struct part *last = seal->between.to_count > 0
                                      ? spec_part(seal->between.to[seal->between.to_count - 1])
                                      : NULL;
        if (last != NULL && in_trial(trial, last) && !spec_names(&trial->without, &seal->e))
            pieces += part_quantity(part);
    }
    return pieces;
}

/* A joint that is pulled again after a run is unlocked for it: its lock is spent once more. */
static int64_t spent_again(const struct joint *joint, const struct part *part)
{
    int64_t pieces = 0;

    for (size_t i = 0; i < joint->again.count; i++)
        if (joint->again.items[i].run.text != NULL && is_spent(joint->lock.kind) &&
            build_is_lock(joint, part))
            pieces += build_joint_pieces(joint, part);
    return pieces;
}

/* Hardware that says no quantity is as many pieces as joints take. */
int64_t build_pieces(const struct part *part)
{
    int64_t used = part->quantity.present || part->host != NULL ? 0 : resolve_used(part);

    return used > 0 ? used : part_quantity(part);
}

static struct counts count_part(const struct resolver *r, const struct part *part)
{
    struct counts counts = {.fitted = build_pieces(part)};

    for (size_t i = 0; i < r->spec->trials.count; i++)
        counts.trial += spent_in_trial(r->spec->trials.items[i], part);
    for (size_t i = 0; i < part->used_by_count; i++)
        counts.again += spent_again(part->used_by[i], part);
    return counts;
}

/* ---------- lines ---------- */

const char *build_line_id(const struct purchase *line)
{
    return line->part_count > 0        ? line->parts[0]->e.group->id
           : line->consumable != NULL ? line->consumable->id
                                      : line->sheet->name;
}

/* What a line is found by: the entry and the number of what is bought, or a number and who sells it. */
static const char *own_key(const struct resolver *r, const struct part *part, const char *number)
{
    return number != NULL ? str_print(r->arena, "%s\n=%s", part->e.group->id, number)
                          : part->e.group->id;
}

static const char *number_key(const struct resolver *r, const struct part *part, const char *number)
{
    return str_print(r->arena, "%s\n@%s", number,
                     part->supplier.text != NULL ? part->supplier.text : "");
}

static void index_line(struct resolver *r, const struct purchase *line)
{
    const struct part *part = line->parts[0];
    size_t at = (size_t)(line - r->build->purchases.items);

    map_put_text(r->arena, &r->build->lines, own_key(r, part, line->number), at);
    if (line->number != NULL)
        map_put_text(r->arena, &r->build->lines, number_key(r, part, line->number), at);
}

static struct purchase *line_of(struct resolver *r, const struct part *part)
{
    struct gasket *gasket = resolve_gasket(r->build, part);

    if (gasket != NULL)
        return gasket->line.part_count > 0 ? &gasket->line : NULL;
    size_t at = map_text(&r->build->lines, own_key(r, part, part->number.text));

    /* one number under two entries: the same thing, summed */
    if (part->number.text != NULL && !part->number.unknown) {
        size_t alike = map_text(&r->build->lines, number_key(r, part, part->number.text));
        at = alike < at ? alike : at;
    }
    return at != MAP_NONE ? &r->build->purchases.items[at] : NULL;
}

static const struct phrase *acceptance(struct resolver *r, const struct part *part)
{
    struct phrase *checks = NULL;

    for (size_t i = 0; i < part->sizes.count; i++) {
        const struct size_values *values = resolve_size_values(r, part->sizes.items[i]);
        if (values == NULL || values->want == NULL ||
            str_equal(part->sizes.items[i]->name, "crushed"))
            continue; /* crushed is not to be measured before it is */
        struct phrase *check = phrase_word(resolve_say(r, "buy.check"), "size", "size-name",
                                           part->sizes.items[i]->name);
        checks = phrase_then(checks, "; ", phrase_value(check, "value", &values->want->value));
    }
    return checks;
}

static const char *reason(const struct part *part)
{
    return part->state == STATE_MISSING ? "buy.missing"
           : part->always_renew.value   ? "buy.always-renewed"
                                        : "buy.renewed";
}

/* What a supplier answers to: `id`, with a number behind it where a line before has taken it. Lines of
 * one id follow each other. */
static const char *own_line(struct resolver *r, const char *id)
{
    const char *line = id;
    size_t length = strlen(id), taken = 1;

    for (size_t i = r->build->purchases.count; i-- > 0;) {
        const char *other = r->build->purchases.items[i].line;
        if (strncmp(other, id, length) != 0)
            break;
        if (str_equal(other, line)) {
            line = str_print(r->arena, "%s:%zu", id, ++taken);
            i = r->build->purchases.count; /* that too may be taken */
        }
    }
    return line;
}

static struct purchase *new_line(struct resolver *r, struct part *part)
{
    const char *own = own_line(r, part->e.group->id);
    struct gasket *gasket = resolve_gasket(r->build, part);
    struct purchase *line =
        gasket != NULL ? &gasket->line : ARRAY_PUSH(r->arena, &r->build->purchases);
    const struct bearing_values *bearing =
        part->bearing.present ? build_bearing(r->build, part) : NULL;

    *line = (struct purchase){.line = own,
                              .what = part->e.name.text != NULL ? part->e.name.text
                                                                : part->e.group->id};
    line->number = part->number.unknown ? NULL : part->number.text;
    line->text = bearing != NULL ? bearing->order : NULL;
    line->supplier = spec_supplier(r->spec, part->supplier.text);
    line->price = part->price.present && resolve_said(&part->price) ? &part->price : NULL;
    line->pack = 1;
    if (resolve_said(&part->pack_of) && part->pack_of.value.nominal.dim == QTY_COUNT)
        line->pack = part->pack_of.value.nominal.exact;
    line->acceptance = acceptance(r, part);
    line->look_alikes = build_look_alikes(r->arena, part);
    line->why = resolve_say(r, reason(part));
    line->spare = part->spare.present ? part->spare.value : 0;
    return line;
}

static bool has_thread(const struct resolver *r, const struct part *part)
{
    for (size_t i = 0; i < part->used_by_count; i++)
        if (part->used_by[i]->thread.text != NULL)
            return true;
    for (size_t i = 0; i < r->spec->joints.count; i++)
        if (r->spec->joints.items[i]->thread.text != NULL &&
            spec_names(&r->spec->joints.items[i]->holds, &part->e))
            return true;
    return false;
}

/* A name alone is no order: every circlip is a circlip. */
static void ask_what_it_is(struct resolver *r, const struct purchase *line, struct part *part)
{
    if (line->number == NULL && line->text == NULL && line->acceptance == NULL &&
        part->ask_for.text == NULL && part->e.called.text == NULL && !part->cut_from.present &&
        !has_thread(r, part))
        resolve_ask(r, &part->e, NULL, part->e.span, "ask-for", "ask-for");
}

static void serve(struct resolver *r, struct purchase *line, struct part *part)
{
    if (line->part_count > 0 && line->parts[line->part_count - 1]->e.group != part->e.group)
        line->spare += part->spare.present ? part->spare.value : 0;
    line->parts = arena_grow(r->arena, line->parts, line->part_count, &line->part_room,
                             sizeof *line->parts);
    line->parts[line->part_count++] = part;
    if (line->part_count == 1 && resolve_gasket(r->build, part) == NULL)
        index_line(r, line);
}

/* `set: whole` is one thing with pieces in several places: bought once. */
static bool is_first_of_set(const struct part *part)
{
    return part->set.text == NULL || part->e.group->members[0] == &part->e;
}

static const struct pick_result *pick_of(const struct resolver *r, const struct part *part)
{
    size_t at = map_item(&r->picked, part);

    return at != MAP_NONE ? r->picks.items[at] : NULL;
}

static void index_picks(struct resolver *r, const struct pick_result *picks, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        map_put_item(r->arena, &r->picked, picks[i].part, r->picks.count);
        *ARRAY_PUSH(r->arena, &r->picks) = &picks[i];
    }
}

/* A picked part is bought by size, once the pick is made; before that it cannot be ordered. */
static void buy_picked(struct resolver *r, struct part *part, const struct pick_result *pick)
{
    if (pick->open) {
        struct question *question = resolve_ask(r, &part->e, NULL, pick->fact->span, "buy-size",
                                                "picking-reading");
        phrase_phrase(question->asks, "why", pick->why_open);
        return;
    }
    for (size_t i = 0; pick->best.sold != NULL && i < pick->best.count; i++) {
        const struct sold *sold = pick->best.sold[i];
        const struct phrase *text = pick_sold_words(r, sold);
        const char *words = resolve_words(r, text);
        const char *key = str_print(r->arena, "%s\n~%s", part->e.group->id, words);
        size_t at = map_text(&r->build->lines, key);
        struct purchase *line = at != MAP_NONE ? &r->build->purchases.items[at] : NULL;
        if (line == NULL) {
            map_put_text(r->arena, &r->build->lines, key, r->build->purchases.count);
            line = new_line(r, part);
            line->line = own_line(r, str_print(r->arena, "%s:%s", part->e.group->id, words));
            line->text = text;
            line->spare = 0;
            if (sold->number.text != NULL)
                line->number = sold->number.text;
            if (resolve_said(&sold->price))
                line->price = &sold->price;
        }
        serve(r, line, part);
        line->fitted += pick->size->sold.count > 0 ? part_quantity(part) : 0;
    }
}

static void buy_part(struct resolver *r, struct part *part)
{
    const struct pick_result *pick = pick_of(r, part);

    if (part->until.text != NULL || part->assembly.value || !is_first_of_set(part))
        return;
    if (pick != NULL && pick->size->sold.count > 0) {
        if (part->state != STATE_REUSE && part->state != STATE_STAYS)
            buy_picked(r, part, pick);
        return;
    }
    struct counts counts = count_part(r, part);
    bool bought = resolve_is_bought(part) ||
                  (part->state == STATE_MAKE && resolve_gasket(r->build, part) != NULL);
    if (!bought && counts.again + counts.trial == 0)
        return;
    struct purchase *line = line_of(r, part);
    if (line == NULL) {
        line = new_line(r, part);
        ask_what_it_is(r, line, part);
    }
    serve(r, line, part);
    line->fitted += bought ? counts.fitted : 0;
    line->trial += counts.trial;
    line->again += counts.again;
}

/* ---------- consumables ---------- */

static void buy_consumable(struct resolver *r, const char *id, const char *why)
{
    const struct consumable *consumable = id != NULL ? spec_consumable(r->spec, id) : NULL;

    if (consumable == NULL)
        return;
    if (map_item(&r->build->places, consumable) != MAP_NONE)
        return;
    resolve_place(r, consumable, r->build->purchases.count);
    bool taken = spec_group(r->spec, consumable->id) != NULL; /* ids of parts are no concern of its own */
    const char *own = taken ? str_print(r->arena, "%s:0", consumable->id) : consumable->id;
    struct purchase *line = ARRAY_PUSH(r->arena, &r->build->purchases);
    *line = (struct purchase){.line = own, .consumable = consumable, .fitted = 1, .pack = 1,
                              .why = resolve_say(r, why)};
    line->what = consumable->name.text != NULL ? consumable->name.text : consumable->id;
    line->number = consumable->number.text;
    line->supplier = spec_supplier(r->spec, consumable->supplier.text);
    line->price = resolve_said(&consumable->price) ? &consumable->price : NULL;
    line->text = resolve_said(&consumable->pack_of)
                     ? phrase_written(resolve_say(r, "buy.pack-of"), "size",
                                      &consumable->pack_of.value)
                     : NULL;
}

static void buy_consumables(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->seals.count; i++)
        if (r->spec->seals.items[i]->sealant_row != NULL)
            buy_consumable(r, r->spec->seals.items[i]->sealant_row->id, "buy.for-faces");
    for (size_t i = 0; i < r->spec->joints.count; i++) {
        const struct joint *joint = r->spec->joints.items[i];
        if (joint->lock.kind == LOCK_THREAD_LOCK)
            buy_consumable(r, joint->lock.consumable.text, "buy.for-locking");
        buy_consumable(r, resolve_condition(r, joint).lubricant, "buy.for-threads");
    }
}

/* ---------- money ---------- */

static bool add_price(struct resolver *r, const struct claim *price, int64_t times,
                      int64_t *line_minor, const char **currency)
{
    const char *ours = r->spec->engine.currency.text;

    if (price == NULL || !resolve_said(price))
        return false;
    struct qty money = price->value.nominal;
    *currency = money.currency;
    *line_minor = money.exact * times;
    if (ours != NULL && money.currency != NULL && !str_equal(ours, money.currency))
        return false; /* no rate of exchange is known */
    r->build->cost_minor += *line_minor;
    return true;
}

static void count_line(struct purchase *line)
{
    line->needed = line->fitted + line->spare + line->trial + line->again;
    if (line->pack < 1)
        line->pack = 1;
    line->packs = (line->needed + line->pack - 1) / line->pack;
    line->pieces = line->packs * line->pack;
}

static void settle_line(struct resolver *r, struct purchase *line)
{
    count_line(line);
    line->line_minor = -1;
    /* A price is that of a piece, as all of an entry is of one piece; of a consumable, of its
     * pack. */
    if (!add_price(r, line->price, line->pieces, &line->line_minor, &line->currency))
        r->build->unpriced++;
}

/* A line whose pieces or price have changed since it was settled. */
static void settle_again(struct resolver *r, struct purchase *line)
{
    const char *ours = r->spec->engine.currency.text;
    bool counted = line->line_minor >= 0 && (ours == NULL || line->currency == NULL ||
                                             str_equal(ours, line->currency));

    if (counted)
        r->build->cost_minor -= line->line_minor;
    else
        r->build->unpriced--;
    settle_line(r, line);
}

static void check_budget(struct resolver *r)
{
    const struct claim *budget = &r->spec->budget;

    if (!resolve_said(budget) || r->build->cost_minor <= budget->value.nominal.exact)
        return;
    struct qty cost = qty_from_si((double)r->build->cost_minor, QTY_MONEY);
    cost.exact = r->build->cost_minor;
    cost.currency = budget->value.nominal.currency;
    cost.unit = budget->value.nominal.unit;
    cost.places = 2;
    struct diag *diag =
        diag_add(&r->context->diags, DIAG_OVER_BUDGET, budget->span,
                 "what is priced comes to %lld.%02lld %s, over %s%s", (long long)(cost.exact / 100),
                 (long long)(cost.exact % 100), cost.currency != NULL ? cost.currency : "",
                 budget->value.text,
                 r->build->unpriced > 0
                     ? str_print(r->arena, "; %zu lines have no price yet", r->build->unpriced)
                     : "");
    resolve_hint(r, diag, "raise the budget, or reuse, make or leave out something");
}

void resolve_purchases(struct resolver *r)
{
    for (size_t i = 0; i < r->build->limits.count; i++)
        index_picks(r, r->build->limits.items[i].picks, r->build->limits.items[i].pick_count);
    for (size_t i = 0; i < r->build->fits.count; i++)
        index_picks(r, r->build->fits.items[i].picks, r->build->fits.items[i].pick_count);
    for (size_t i = 0; i < r->spec->parts.count; i++)
        buy_part(r, r->spec->parts.items[i]);
    buy_consumables(r);
    for (size_t i = 0; i < r->build->purchases.count; i++)
        count_line(&r->build->purchases.items[i]);
    for (size_t i = 0; i < r->build->purchases.count; i++)
        settle_line(r, &r->build->purchases.items[i]);
    for (size_t i = 0; i < r->build->gaskets.count; i++)
        count_line(&r->build->gaskets.items[i].line);
    for (size_t i = 0; i < r->spec->outwork.count; i++) {
        int64_t minor = -1;
        const char *currency = NULL;
        if (!add_price(r, &r->spec->outwork.items[i]->price, 1, &minor, &currency))
            r->build->unpriced++;
    }
}

void build_spend_again(struct context *context, struct build *build, const struct part *part,
                       int64_t pieces)
{
    struct resolver r = {.context = context, .arena = context->arena, .spec = build->spec,
                         .build = build};
    struct purchase *line = line_of(&r, part);

    if (line == NULL)
        return; /* used again, not bought */
    if (resolve_gasket(build, part) != NULL) {
        line->again += pieces;
        count_line(line);
        return;
    }
    line->again += pieces;
    settle_again(&r, line);
}

/* Sheets as a line of what is bought; where their size is not known, one of at least what the largest
 * gasket takes. */
static void buy_sheets(struct resolver *r, const struct sheet_cut *cut)
{
    const struct sheet_material *said = cut->said;
    const char *own = own_line(r, cut->name);
    struct purchase *line = ARRAY_PUSH(r->arena, &r->build->purchases);

    *line = (struct purchase){.line = own,
                              .what = said != NULL && said->name.text != NULL ? said->name.text : cut->name,
                              .sheet = cut, .fitted = (int64_t)cut->to_buy, .pack = 1};
    if (said != NULL) {
        line->number = said->number.unknown ? NULL : said->number.text;
        line->text = phrase_value(
            phrase_value(resolve_say(r, "buy.sheet"), "width", &said->width.value), "height",
            &said->height.value);
        line->supplier = spec_supplier(r->spec, said->supplier.text);
        line->price = resolve_said(&said->price) ? (struct claim *)&said->price : NULL;
    }
    settle_line(r, line);
}

void build_settle_purchases(struct context *context, struct build *build)
{
    struct resolver r = {.context = context, .arena = context->arena, .tables = context->tables,
                         .spec = build->spec, .build = build};

    for (size_t i = 0; i < build->sheets.count; i++) {
        resolve_lay_out(&r, i);
        if (build->sheets.items[i].to_buy > 0)
            buy_sheets(&r, &build->sheets.items[i]);
    }
    resolve_offers(&r);
    for (size_t i = 0; i < build->offers.count; i++)
        if (build->offers.items[i].verdict == OFFER_TAKEN)
            settle_again(&r, build->offers.items[i].line);
    check_budget(&r);
}

/* ---------- weight ---------- */

static void weigh_part(struct resolver *r, struct part *part)
{
    struct part_weight *weight = ARRAY_PUSH(r->arena, &r->build->weights);

    *weight = (struct part_weight){.part = part, .pieces = count_part(r, part).fitted,
                                   .known = resolve_said(&part->weight)};
    if (!weight->known)
        return;
    struct range range = range_of_value(&part->weight.value);
    weight->low_kg = range.low_set ? range.low.si * (double)weight->pieces : 0;
    weight->high_kg = range.high_set ? range.high.si * (double)weight->pieces : 0;
}

/* Of all that is in the finished engine; at least, while any piece is not weighed. */
void resolve_weight(struct resolver *r)
{
    struct fact *fact = resolve_fact(r, NULL, "engine.parts-weight", FACT_COMPUTED);
    double low_kg = 0, high_kg = 0;
    size_t unknown = 0;

    for (size_t i = 0; i < r->spec->parts.count; i++)
        if (r->spec->parts.items[i]->until.text == NULL && !r->spec->parts.items[i]->assembly.value)
            weigh_part(r, r->spec->parts.items[i]);
    for (size_t i = 0; i < r->build->weights.count; i++) {
        const struct part_weight *weight = &r->build->weights.items[i];
        unknown += !weight->known;
        low_kg += weight->low_kg;
        high_kg += weight->high_kg;
    }
    const struct qty_unit *unit = resolve_prefer(r, QTY_MASS);
    if (unit == NULL && resolve_said(&r->spec->engine.weight))
        unit = r->spec->engine.weight.value.nominal.unit;
    struct range sum = {.low_set = true, .high_set = unknown == 0};
    sum.low = range_qty_si(low_kg, QTY_MASS, unit);
    sum.high = range_qty_si(high_kg, QTY_MASS, unit);
    fact->value = range_value(sum);
    fact->formula =
        unknown == 0
            ? "sum over all pieces"
            : str_print(r->arena, "sum over all pieces but %zu that are not weighed", unknown);
    fact->rule = "sum-of-pieces";
    resolve_number(r, fact, "not weighed", (double)unknown);
    for (size_t i = 0; i < r->build->weights.count; i++) {
        const struct part_weight *weight = &r->build->weights.items[i];
        struct part *part = weight->part;
        if (!weight->known)
            continue;
        resolve_number(r, fact, part->e.member, (double)weight->pieces);
        resolve_input_as(r, fact, part->e.member,
                         resolve_claim_once(r, &part->e, resolve_id(r, &part->e, "weight"), &part->weight));
    }
    fact->span = r->spec->engine.span;
    r->build->weight = fact;
}
