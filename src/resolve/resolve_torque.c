/* resolve_torque.c - where a torque comes from (specs/LANGUAGE.md section 5): the engine's own
 * figure, the user's table, a standard's, derivation, or an error that asks. */
#include "resolve_private.h"

struct offer {
    const struct table_torque *row;
    double factor, factors[3]; /* their product; of lubricant, plating, fastener, as they apply */
    size_t factor_count;
    const char *factor_words;
};
struct offers {
    struct offer *items;
    size_t count, room;
};

/* ---------- conditions of a row ---------- */

static bool differs(const char *row, const char *mine)
{
    return row != NULL && *row != '\0' && !str_equal(row, mine);
}

/* A joint whose faces have a gasket between them is not rigid. */
static bool is_soft(const struct resolver *r, const struct joint *joint)
{
    for (size_t i = 0; i < r->spec->seals.count; i++) {
        const struct seal *seal = r->spec->seals.items[i];
        if (seal->gasket.count == 0)
            continue;
        for (size_t k = 0; k < seal->between.to_count; k++)
            for (size_t h = 0; h < joint->holds.to_count; h++)
                if (seal->between.to[k] == joint->holds.to[h])
                    return true;
    }
    return false;
}

/* Multiplies the factors that carry a row over to this joint's condition; two at once only where
 * the table says that they combine. NULL, or why the row is refused. */
static const char *carry_over(struct resolver *r, const struct joint *joint, struct offer *offer)
{
    struct table_condition mine = resolve_condition(r, joint);
    const struct table_torque *row = offer->row;
    const struct table_head *head = row->row.table;
    const struct {
        const char *what, *theirs, *mine;
    } words[] = {
        {"lubricant", row->lubricant, mine.lubricant},
        {"plating", row->plating, mine.plating},
        {"fastener", row->fastener, mine.fastener},
    };

    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (!differs(words[i].theirs, words[i].mine))
            continue;
        if (words[i].mine == NULL)
            return str_print(r->arena, "holds for %s %s, and this joint does not say",
                             words[i].what, words[i].theirs);
        const struct table_factor *factor =
            table_factor_find(r->tables, head, words[i].what, words[i].theirs, words[i].mine);
        if (factor == NULL)
            return str_print(r->arena, "holds for %s %s, and this joint is %s", words[i].what,
                             words[i].theirs, words[i].mine);
        if (offer->factor_count > 0 && !head->factors_combine)
            return "two factors would have to be multiplied, and the table does not say that they "
                   "combine";
        offer->factor *= factor->factor;
        offer->factors[offer->factor_count++] = factor->factor;
        offer->factor_words =
            str_print(r->arena, "%s%sfactor %s for %s (%s)",
                      offer->factor_words != NULL ? offer->factor_words : "",
                      offer->factor_words != NULL ? ", " : "",
                      str_decimal(r->arena, factor->factor, 2), words[i].mine, factor->row.source);
    }
    if (head->rigid && is_soft(r, joint))
        return "holds for rigid joints, and this one has a gasket";
    return NULL;
}

/* What the joint is, as the column `use` says it; NULL where the spec does not say. */
static const char *kind_of(struct resolver *r, const struct joint *joint, const char *noun)
{
    static const char *const heads[][2] = {{"iron", "cast-iron"}, {"light-alloy", "aluminium"}};
    const struct part *to = resolve_part(&joint->to);
    struct resolve_metal metal;

    if (str_equal(noun, "nut"))
        return joint->nut.text;
    if (str_equal(noun, "seat"))
        return joint->seat.text;
    if (str_equal(noun, "head") && to != NULL && resolve_metal(r, to, &metal))
        for (size_t i = 0; i < sizeof heads / sizeof *heads; i++)
            if (str_equal(metal.family, heads[i][0]))
                return heads[i][1];
    return NULL;
}

/* A row for a shear nut is not for a joint with tension nuts. NULL, or why the row is refused; one
 * that the joint does not rule out stands. */
static const char *wrong_use(struct resolver *r, const struct joint *joint,
                             const struct table_torque *row)
{
    for (const char *at = row->use; at != NULL && *at != '\0'; at += strspn(at, ", ")) {
        size_t kind = strcspn(at, " ,"), length = strcspn(at, ",");
        const char *noun = str_slice(r->arena, at + kind + (at[kind] == ' '),
                                    length > kind ? length - kind - 1 : 0);
        const char *mine = kind_of(r, joint, noun);
        if (mine != NULL && (strlen(mine) != kind || strncmp(mine, at, kind) != 0))
            return str_print(r->arena, "holds for a %.*s, and this joint has a %s %s", (int)length,
                             at, mine, noun);
        at += length;
    }
    return NULL;
}

/* ---------- the user's and the standard's tables ---------- */

static bool same_torque(const struct offer *a, const struct offer *b)
{
    return a->row->low_n_m * a->factor == b->row->low_n_m * b->factor &&
           a->row->high_n_m * a->factor == b->row->high_n_m * b->factor;
}

static bool from_memory(const struct table_torque *row)
{
    return row->row.source != NULL && str_starts(row->row.source, "from memory");
}

/* A row for a friction coefficient is for the joint whose tabled friction includes it. */
static const char *wrong_friction(struct resolver *r, const struct joint *joint,
                                  const struct table_torque *row)
{
    struct table_condition mine = resolve_condition(r, joint);
    const struct table_friction *friction =
        mine.lubricant != NULL ? table_friction_find(r->tables, mine.lubricant, mine.plating)
                               : NULL;

    if (friction == NULL || !table_has(friction->thread_low))
        return "holds for a friction coefficient, and none is tabled for this condition";
    if (row->friction < friction->thread_low - 1e-9 || row->friction > friction->thread_high + 1e-9)
        return str_print(r->arena, "holds for a friction of %s, and this joint has %s..%s",
                         str_decimal(r->arena, row->friction, 2),
                         str_decimal(r->arena, friction->thread_low, 2),
                         str_decimal(r->arena, friction->thread_high, 2));
    return NULL;
}

/* Of rows that differ in friction the slipperiest is used: no other overloads the bolt. */
static void keep_slipperiest(struct offers *offers)
{
    for (size_t i = 1; i < offers->count; i++)
        if (offers->items[i].row->friction < offers->items[0].row->friction)
            offers->items[0] = offers->items[i];
    if (offers->count > 0 && table_has(offers->items[0].row->friction))
        offers->count = 1;
}

/* The rows of the nearest level at all that can be used; `refused` gets the first reason of those
 * that cannot. */
static struct offers find_offers(struct resolver *r, const struct joint *joint,
                                 const char *table_id, const char **refused)
{
    struct offers offers = {0};
    struct table_torques rows =
        table_torque_find(r->arena, r->tables, joint->thread_row,
                          resolve_torque_grade(joint), table_id);

    for (size_t i = 0; i < rows.count; i++) {
        struct offer offer = {.row = rows.items[i], .factor = 1};
        if (offers.count > 0 &&
            offer.row->row.table->level != offers.items[0].row->row.table->level)
            break;
        if (table_id == NULL && table_has(offer.row->friction))
            continue; /* for a coefficient, not a lubricant: only where the joint names the table */
        const char *why = NULL;
        if (from_memory(offer.row))
            why = "is from memory, which never decides a torque alone";
        else if (table_has(offer.row->friction))
            why = wrong_friction(r, joint, offer.row);
        else if ((why = wrong_use(r, joint, offer.row)) == NULL)
            why = carry_over(r, joint, &offer);
        if (why == NULL)
            *ARRAY_PUSH(r->arena, &offers) = offer;
        else if (*refused == NULL)
            *refused = str_print(r->arena, "row of %s: %s", offer.row->row.table->id, why);
    }
    keep_slipperiest(&offers);
    return offers;
}

static const struct qty_unit *torque_unit(const struct resolver *r, const char *printed)
{
    const struct qty_unit *unit = printed != NULL ? qty_unit_find(printed, QTY_TORQUE) : NULL;

    if (unit == NULL)
        unit = resolve_prefer(r, QTY_TORQUE);
    return unit != NULL ? unit : qty_unit_find("N m", QTY_TORQUE);
}

static struct qty_value offer_value(const struct resolver *r, const struct joint *joint,
                                    const struct offer *offer)
{
    const struct qty_unit *unit = torque_unit(r, offer->row->unit);
    struct table_condition condition = resolve_condition(r, joint);
    struct qty low = range_qty_si(offer->row->low_n_m * offer->factor, QTY_TORQUE, unit);
    struct qty high = range_qty_si(offer->row->high_n_m * offer->factor, QTY_TORQUE, unit);

    if (offer->row->row.table->reused_minimum && str_equal(condition.fastener, "reused"))
        return range_one(low);
    return qty_compare(low, high) == 0 ? range_one(low) : range_limits(low, high);
}

static const char *offer_words(struct resolver *r, const struct joint *joint,
                               const struct offer *offer)
{
    struct qty_value value = offer_value(r, joint, offer);
    const char *use = offer->row->use;

    return str_print(r->arena, "%s%s%s%s: %s", offer->row->row.table->id,
                     use != NULL && *use != '\0' ? " (" : "", use != NULL ? use : "",
                     use != NULL && *use != '\0' ? ")" : "", resolve_print_value(r, &value));
}

static struct span torque_span(const struct joint *joint)
{
    return joint->torque.table.text != NULL ? joint->torque.table.span
           : joint->torque.present          ? joint->torque.span
                                            : joint->e.span;
}

/* The first row and another are for different nuts, or seats. */
static bool differ_in(const struct offers *offers, size_t other, const char *noun)
{
    const char *first = offers->items[0].row->use, *second = offers->items[other].row->use;
    size_t length = strcspn(first, ",");

    return length > strlen(noun) && strcspn(second, ",") > strlen(noun) &&
           str_starts(first + length - strlen(noun), noun) &&
           str_starts(second + strcspn(second, ",") - strlen(noun), noun) &&
           (strcspn(second, ",") != length || strncmp(first, second, length) != 0);
}

static bool agree(struct resolver *r, struct joint *joint, const struct offers *offers)
{
    for (size_t i = 1; i < offers->count; i++) {
        if (same_torque(&offers->items[0], &offers->items[i]))
            continue;
        struct diag *diag = diag_add(
            &r->context->diags, DIAG_TORQUE_TABLES_DISAGREE, torque_span(joint),
            "%s: two rows of equal standing: %s, and %s", joint->e.member,
            offer_words(r, joint, &offers->items[0]), offer_words(r, joint, &offers->items[i]));
        const char *first = offers->items[0].row->row.table->id,
                   *other = offers->items[i].row->row.table->id;
        if (differ_in(offers, i, "nut"))
            resolve_hint(r, diag, "say which: nut: tension, or nut: shear");
        else if (differ_in(offers, i, "seat"))
            resolve_hint(r, diag, "say which: seat: gasket, or seat: conical");
        else if (str_equal(first, other))
            resolve_hint(r, diag, "write the one meant as torque: {is: ..., from: ...}");
        else
            resolve_hint(r, diag,
                         "name the one to trust: torque: {table: %s} or torque: {table: %s}", first,
                         other);
        return false;
    }
    return true;
}

static struct fact *torque_of_offer(struct resolver *r, struct joint *joint,
                                    const struct offer *offer)
{
    struct fact *fact = resolve_fact(r, &joint->e, resolve_id(r, &joint->e, "torque"), FACT_TABLE);
    const struct table_row *row = &offer->row->row;

    fact->value = offer_value(r, joint, offer);
    fact->span = torque_span(joint);
    fact->level = (int)row->table->level + 1;
    fact->source = row->source;
    fact->formula = offer->factor_words;
    if (offer->factor_words != NULL) {
        fact->rule = "torque-by-factor";
        resolve_number(r, fact, "low", offer->row->low_n_m);
        resolve_number(r, fact, "high", offer->row->high_n_m);
        for (size_t i = 0; i < offer->factor_count; i++)
            resolve_number(r, fact, str_print(r->arena, "factor-%zu", i + 1), offer->factors[i]);
    }
    fact->note =
        str_print(r->arena, "row %s%s%s%s%s of %s", joint->thread_row->name,
                  offer->row->grade != NULL && *offer->row->grade != '\0' ? ", grade " : "",
                  offer->row->grade != NULL ? offer->row->grade : "",
                  offer->row->use != NULL && *offer->row->use != '\0' ? ", " : "",
                  offer->row->use != NULL ? offer->row->use : "", row->table->id);
    return fact;
}

/* torque: {table: ID}: that table or an error. */
static struct fact *from_named_table(struct resolver *r, struct joint *joint)
{
    const struct text *table = &joint->torque.table;
    const char *refused = NULL;

    struct offers offers = find_offers(r, joint, table->text, &refused);
    if (offers.count == 0 && refused != NULL) {
        struct diag *diag = diag_add(&r->context->diags, DIAG_TORQUE_TABLE_REFUSED, table->span,
                                     "%s: %s", joint->e.member, refused);
        resolve_label(r, diag, joint->condition.span, "the condition of this joint");
        resolve_hint(r, diag,
                     "write the torque for this condition as torque: {is: ..., from: ...}");
    } else if (offers.count == 0) {
        struct diag *diag = diag_add(
            &r->context->diags, DIAG_TORQUE_TABLE_NO_ROW, table->span, "%s has no row for %s%s%s",
            table->text, joint->thread_row->name, joint->grade.text != NULL ? ", grade " : "",
            joint->grade.text != NULL ? joint->grade.text : "");
        resolve_hint(r, diag, "write the torque as torque: {is: ..., from: ...}");
    } else if (agree(r, joint, &offers)) {
        return torque_of_offer(r, joint, &offers.items[0]);
    }
    return NULL;
}

/* ---------- derived ---------- */

/* Three quarters of the proof load, for a joint that is undone again (Shigley); at the lowest
 * friction of the table, so that no friction within it takes the bolt beyond. */
static struct fact *derive(struct resolver *r, struct joint *joint, const char **why)
{
    const char *name = resolve_torque_grade(joint);
    const struct table_grade *grade =
        name != NULL ? table_grade_find(r->tables, name, joint->thread_row->major_pm).grade : NULL;
    struct resolve_screw screw;

    if (grade == NULL)
        *why = joint->grade.text == NULL ? "no grade is given"
                                         : "the grade has no row for this diameter";
    else if (!table_has(grade->proof_pa))
        *why = str_print(r->arena, "no proof stress is stated for grade %s", grade->name);
    else if (!table_has(joint->thread_row->stress_area_m2))
        *why = "the thread has no stress area";
    if (*why != NULL || !resolve_screw(r, joint, &screw, why))
        return NULL;

    double preload_n = 0.75 * grade->proof_pa * joint->thread_row->stress_area_m2;
    struct fact *fact =
        resolve_fact(r, &joint->e, resolve_id(r, &joint->e, "torque"), FACT_COMPUTED);
    fact->value =
        range_one(range_qty_si(preload_n * screw.per_newton_low, QTY_TORQUE, torque_unit(r, NULL)));
    fact->derived = true;
    fact->formula = str_print(
        r->arena,
        "T = F (P/2pi + mu d2/(2 cos b) + mu Db/2), ISO 16047; F = 0.75 of proof load = %s kN",
        str_decimal(r->arena, preload_n / 1000, 1));
    fact->rule = "torque-of-proof";
    resolve_number(r, fact, "proof-stress", grade->proof_pa);
    resolve_number(r, fact, "stress-area", joint->thread_row->stress_area_m2);
    resolve_screw_numbers(r, fact, &screw);
    struct phrase *sources = phrase_text(resolve_cite(r, "source.grade", grade->row.source),
                                         "grade", grade->name);
    phrase_then(sources, "; ",
                resolve_cite(r, "source.stress-area", joint->thread_row->area_rule));
    fact->sources = phrase_then(sources, "; ", resolve_screw_sources(r, &screw));
    return fact;
}

/* ---------- */

static void check_holds_for(struct resolver *r, struct joint *joint)
{
    const struct holds_for *holds = &joint->torque.holds_for;
    struct table_condition mine = resolve_condition(r, joint);
    const struct {
        const char *kind;
        const struct text *theirs;
        const char *mine;
    } words[] = {{"lubricant", &holds->lubricant, mine.lubricant},
                 {"plating", &holds->plating, mine.plating},
                 {"fastener", &holds->fastener, mine.fastener}};

    for (size_t i = 0; holds->present && i < sizeof words / sizeof *words; i++) {
        if (words[i].theirs->text == NULL || words[i].theirs->unknown || words[i].mine == NULL)
            continue;
        const struct table_word *word =
            table_word_find(r->tables, words[i].kind, words[i].theirs->text, NULL);
        const char *theirs = word != NULL ? word->name : words[i].theirs->text;
        if (str_equal(theirs, words[i].mine))
            continue;
        struct diag *diag =
            spec_warn(r->context, &joint->e, DIAG_HOLDS_FOR_DIFFERS, words[i].theirs->span,
                      "%s holds for %s %s, and this joint has %s", joint->torque.value.text,
                      words[i].kind, theirs, words[i].mine);
        resolve_label(r, diag, joint->condition.span, "the condition of this joint");
        resolve_hint(r, diag, "look for a figure for this condition, or change the condition");
        return;
    }
}

static void ask(struct resolver *r, struct joint *joint, const char *refused, const char *why)
{
    struct span span = torque_span(joint);
    struct diag *diag =
        resolve_fault(r, &joint->e, DIAG_NO_TORQUE_CRITICAL, DIAG_NO_TORQUE, span,
                      "%s has no torque: no table gives one%s%s, and none can be derived: %s",
                      joint->e.member, refused != NULL ? ", " : "", refused != NULL ? refused : "",
                      why != NULL ? why : "values are missing");

    resolve_hint(r, diag, "say torque: {is: 24 lbf ft, from: SOURCE p. 1}, or stretch");
}

void resolve_torque(struct resolver *r, struct joint_values *values)
{
    struct joint *joint = values->joint;
    const char *refused = NULL, *why = NULL;

    values->stretch =
        resolve_claim(r, &joint->e, resolve_id(r, &joint->e, "stretch"), &joint->stretch);
    if (joint->torque.present && joint->torque.table.text != NULL) {
        values->torque = joint->thread_row != NULL ? from_named_table(r, joint) : NULL;
        return;
    }
    if (resolve_said(&joint->torque)) {
        values->torque =
            resolve_claim(r, &joint->e, resolve_id(r, &joint->e, "torque"), &joint->torque);
        if (values->torque != NULL && values->torque->level == LEVEL_UNSAID)
            values->torque->level = LEVEL_ENGINE;
        check_holds_for(r, joint);
        return;
    }
    if (values->stretch != NULL)
        return;
    if (joint->thread_row != NULL) {
        struct offers offers = find_offers(r, joint, NULL, &refused);
        if (offers.count > 0) {
            if (agree(r, joint, &offers))
                values->torque = torque_of_offer(r, joint, &offers.items[0]);
            return;
        }
        values->torque = derive(r, joint, &why);
        if (values->torque != NULL && refused != NULL)
            values->torque->note = str_print(r->arena, "not used: %s", refused);
    } else {
        why = "the thread is not known";
    }
    if (values->torque == NULL)
        ask(r, joint, refused, why);
    values->derived = values->torque != NULL && values->torque->derived;
}
