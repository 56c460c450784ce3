/* pick_offer.c - what there is to pick from. */
#include "pick_private.h"

/* The thickness that counts in a made-up joint: crushed where the piece says so. */
struct range pick_sold_range(const struct sold *sold, const struct size *size)
{
    bool crushed = resolve_said(&sold->crushed) && !str_equal(size->name, "free");

    return range_of_value(crushed ? &sold->crushed.value : &sold->is.value);
}

struct phrase *pick_sold_words(struct resolver *r, const struct sold *sold)
{
    struct phrase *said =
        resolve_say(r, sold->called.text != NULL ? "pick.sold-called" : "pick.sold");

    return phrase_text(phrase_written(said, "size", &sold->is.value), "called", sold->called.text);
}

void pick_add_pack(struct resolver *r, struct variable *variable, const struct sold *const *sold,
                   size_t count)
{
    struct choice *choice = ARRAY_PUSH(r->arena, &variable->choices);
    struct phrase *words = NULL;

    *choice =
        (struct choice){.count = count, .sold = ARENA_ARRAY(r->arena, const struct sold *, count)};
    for (size_t i = 0; i < count; i++) {
        struct range one = pick_sold_range(sold[i], variable->size);
        choice->sold[i] = sold[i];
        choice->range = i == 0 ? one : range_plus(choice->range, one, 1);
        words = phrase_then(words, " + ", pick_sold_words(r, sold[i]));
    }
    choice->words = words;
}

/* Packs of up to `most` pieces, sizes in rising order of the list so that each pack comes once. */
static void packs(struct resolver *r, struct variable *variable, const struct sold **pack,
                  size_t have, size_t from)
{
    const struct size *size = variable->size;
    size_t most = size->most.present && size->most.value > 0 ? (size_t)size->most.value : 1;

    if (have > 0)
        pick_add_pack(r, variable, pack, have);
    if (have == most || have == CALC_PICK_PIECES)
        return;
    for (size_t i = from; i < size->sold.count; i++) {
        const struct sold *sold = &size->sold.items[i];
        size_t used = 0;
        for (size_t k = 0; k < have; k++)
            used += pack[k] == sold;
        if (sold->stock.present && (int64_t)used >= sold->stock.value)
            continue;
        if (!resolve_said(&sold->is))
            continue;
        if (variable->choices.count >= PICK_CHOICES) {
            variable->cut_short = true;
            return;
        }
        pack[have] = sold;
        packs(r, variable, pack, have + 1, i);
    }
}

static void add_loose(struct resolver *r, struct variable *variable, const struct loose *loose)
{
    struct qty_value value = loose->is.value;

    if (!resolve_said(&loose->is))
        return;
    struct phrase *words = phrase_text(resolve_say(r, "pick.piece"), "piece", loose->name);
    *ARRAY_PUSH(r->arena, &variable->choices) = (struct choice){
        .range = range_of_value(&value),
        .words = phrase_written(words, "size", &loose->is.value),
        .loose = loose,
        .count = 1};
}

/* ---------- fitted ---------- */

static void refuse_fitted(struct resolver *r, const struct variable *variable, struct span span,
                          const char *text)
{
    struct str_buf offers = {.arena = r->arena};
    const struct size *size = variable->size;

    for (size_t i = 0; i < size->loose.count; i++)
        str_add_print(&offers, "%s%s", offers.length > 0 ? ", " : "", size->loose.items[i].name);
    for (size_t i = 0; i < size->sold.count; i++)
        str_add_print(&offers, "%s%s", offers.length > 0 ? ", " : "",
                      size->sold.items[i].is.value.text);
    struct diag *diag = diag_add(&r->context->diags, DIAG_FITTED_UNKNOWN, span,
                                 "%s: '%s' is not on offer", variable->part->e.member, text);
    resolve_hint(r, diag, "on offer: %s", offers.bytes != NULL ? offers.bytes : "nothing");
}

static void fitted_loose(struct resolver *r, struct variable *variable, const struct text *name)
{
    for (size_t i = 0; i < variable->size->loose.count; i++)
        if (str_equal(variable->size->loose.items[i].name, name->text))
            add_loose(r, variable, &variable->size->loose.items[i]);
}

static const struct sold *sold_of(const struct size *size, const struct claim *claim)
{
    struct qty_value wanted = claim->value;

    for (size_t i = 0; i < size->sold.count; i++) {
        const struct sold *sold = &size->sold.items[i];
        struct qty_value is = sold->is.value;
        if (is.low.dim == wanted.low.dim && qty_compare(is.low, wanted.low) == 0 &&
            qty_compare(is.high, wanted.high) == 0)
            return sold;
    }
    return NULL;
}

static bool check_pack(struct resolver *r, const struct variable *variable,
                       const struct sold *const *pack, size_t count)
{
    const struct size *size = variable->size;
    int64_t most = size->most.present ? size->most.value : 1;

    if ((int64_t)count > most) {
        struct diag *diag =
            diag_add(&r->context->diags, DIAG_FITTED_TOO_MANY, variable->part->fitted.span,
                     "%zu pieces fitted together, and at most %lld are", count, (long long)most);
        resolve_hint(r, diag, "take out what is not there, or correct most");
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        int64_t used = 0;
        for (size_t k = 0; k < count; k++)
            used += pack[k] == pack[i];
        if (pack[i]->stock.present && used > pack[i]->stock.value) {
            diag_add(&r->context->diags, DIAG_FITTED_TOO_MANY, variable->part->fitted.span,
                     "%lld pieces of %s fitted, and %lld are in stock", (long long)used,
                     pack[i]->is.value.text, (long long)pack[i]->stock.value);
            return false;
        }
    }
    return true;
}

static void offer_fitted(struct resolver *r, struct variable *variable)
{
    const struct fitted *fitted = &variable->part->fitted;
    size_t total = fitted->sizes.count, count = 0;
    const struct sold **pack = ARENA_ARRAY(r->arena, const struct sold *, total + 1);

    variable->made = true;
    for (size_t i = 0; i < fitted->sizes.count; i++) {
        const struct sold *sold = sold_of(variable->size, &fitted->sizes.items[i]);
        if (sold == NULL)
            refuse_fitted(r, variable, fitted->sizes.items[i].span,
                          fitted->sizes.items[i].value.text);
        else
            pack[count++] = sold;
    }
    for (size_t i = 0; i < fitted->names.count; i++) {
        fitted_loose(r, variable, &fitted->names.items[i]);
    }
    if (count > 0 && check_pack(r, variable, pack, count))
        pick_add_pack(r, variable, pack, count);
}

void pick_offer(struct resolver *r, struct variable *variable)
{
    const struct sold *pack[CALC_PICK_PIECES];

    if (variable->part->fitted.present) {
        offer_fitted(r, variable);
        return;
    }
    packs(r, variable, pack, 0, 0);
    for (size_t i = 0; i < variable->size->loose.count; i++)
        add_loose(r, variable, &variable->size->loose.items[i]);
}
