/* resolve_bearing.c - rolling bearings: the row of a designation, or what the sizes could be, and
 * the whole that a supplier must be told. */
#include "resolve_private.h"

/* "clearance C3"; what is not said is asked for, since a bearing house will choose for itself. */
static struct phrase *say(struct resolver *r, struct part *part, struct phrase *order,
                          const char *what, const struct text *text, const char *settles)
{
    struct phrase *said;

    if (text->text != NULL && !text->unknown) {
        said = resolve_say(r, str_print(r->arena, "bearing.%s", what));
        return phrase_then(order, ", ", phrase_word(said, "word", "bearing-word", text->text));
    }
    if (settles == NULL)
        return order;
    resolve_ask(r, &part->e, NULL, text->text != NULL ? text->span : part->bearing.span,
                str_print(r->arena, "bearing-%s", what), settles);
    return phrase_then(order, ", ", resolve_say(r, str_print(r->arena, "bearing.%s-unknown", what)));
}

/* "6203 deep-groove ball bearing, 17 x 40 x 12 mm". */
static struct phrase *listed(struct resolver *r, const struct bearing *bearing,
                             const struct table_bearing *row)
{
    struct phrase *said = resolve_say(r, "bearing.listed");

    phrase_text(said, "designation", bearing->designation.text);
    phrase_word(said, "type", "bearing-type", row->type);
    phrase_number(said, "bore", qty_exact_mm(r->arena, row->bore_pm));
    phrase_number(said, "outside", qty_exact_mm(r->arena, row->outside_pm));
    return phrase_number(said, "width", qty_exact_mm(r->arena, row->width_pm));
}

/* A bearing of no table: what its user says of it. */
static struct phrase *described(struct resolver *r, const struct bearing *bearing)
{
    const struct claim *sizes[] = {&bearing->bore, &bearing->outside, &bearing->width};
    static const char *const names[] = {"bore", "outside", "width"};
    struct phrase *said = bearing->designation.text != NULL
                              ? phrase_of_text(r->arena, bearing->designation.text)
                              : resolve_say(r, "bearing.bearing");

    if (bearing->kind.text != NULL && !bearing->kind.unknown)
        said = phrase_then(said, ", ", phrase_word(resolve_say(r, "bearing.kind"), "type",
                                                   "bearing-type", bearing->kind.text));
    for (size_t i = 0; i < 3; i++)
        if (resolve_said(sizes[i]))
            said = phrase_then(said, ", ",
                               phrase_written(resolve_say(r, str_print(r->arena, "bearing.%s",
                                                                       names[i])),
                                              "size", &sizes[i]->value));
    return said;
}

static const struct phrase *order_of(struct resolver *r, struct part *part,
                                     const struct table_bearing *row)
{
    const struct bearing *bearing = &part->bearing;
    struct phrase *order = row != NULL ? listed(r, bearing, row) : described(r, bearing);

    order = say(r, part, order, "clearance", &bearing->clearance, "old-one-or-maker");
    /* Roller bearings come open; of a ball bearing nobody can tell. */
    order = say(r, part, order, "sealing", &bearing->sealing,
                row == NULL || strstr(row->type, "roller") == NULL ? "look-at-sealing" : NULL);
    order = say(r, part, order, "cage", &bearing->cage, NULL);
    return say(r, part, order, "lip", &bearing->lip, NULL);
}

static void check_given(struct resolver *r, struct part *part, const struct claim *claim,
                        int64_t listed_pm, const char *what)
{
    if (!resolve_said(claim) || listed_pm == TABLE_NO_PM)
        return;

    struct qty_value value = claim->value;
    struct qty listed = range_qty_pm(listed_pm, qty_unit_find("mm", QTY_LENGTH));
    int64_t slack_pm =
        50000000 + (int64_t)(value.low.half_digit * 1e12); /* as table_bearing_identify */
    if (value.low.exact - slack_pm > listed_pm || value.high.exact + slack_pm < listed_pm) {
        struct diag *diag =
            diag_add(&r->context->diags, DIAG_BEARING_SIZE_DIFFERS, claim->span,
                     "%s of %s is %s, and this says %s", what, part->bearing.designation.text,
                     resolve_print(r, listed), claim->value.text);
        resolve_label(r, diag, part->bearing.designation.span, "the designation");
        resolve_edit(r, diag, claim->span,
                     qty_print(r->arena, listed, listed.unit, 0, QTY_NEAREST));
    }
}

/* Radial clearance before fitting: what a bearing of this group comes with. */
static void clearance_fact(struct resolver *r, struct part *part, const struct table_bearing *row)
{
    const struct text *group = &part->bearing.clearance;
    int64_t low_pm = 0, high_pm = 0;
    const char *source = NULL;

    if (group->text == NULL || group->unknown)
        return;
    if (!table_bearing_clearance(r->tables, row, group->text, &low_pm, &high_pm, &source)) {
        struct diag *diag =
            spec_warn(r->context, &part->e, DIAG_BEARING_CLEARANCE_UNKNOWN, group->span,
                      "no clearance group '%s' is tabled for %s", group->text, row->designation);
        resolve_hint(r, diag, "write CN, C2, C3, C4 or unknown");
        return;
    }
    struct fact *fact = resolve_fact(r, &part->e, resolve_id(r, &part->e, "clearance-bought"), FACT_TABLE);
    fact->value = range_limits_pm(low_pm, high_pm, qty_unit_find("mm", QTY_LENGTH));
    fact->span = group->span;
    fact->level = LEVEL_STANDARD;
    fact->source = source;
    fact->note = str_print(r->arena, "radial, before fitting, group %s", group->text);
}

static int64_t given_pm(const struct claim *claim)
{
    return resolve_said(claim) ? claim->value.nominal.exact != 0 ? claim->value.nominal.exact
                                                                 : claim->value.low.exact
                               : TABLE_NO_PM;
}

/* A bearing known by its sizes alone: all that it could be, as a question. */
static void candidates(struct resolver *r, struct part *part)
{
    const struct bearing *bearing = &part->bearing;
    struct phrase *names = NULL;
    int64_t bore = given_pm(&bearing->bore), outside = given_pm(&bearing->outside),
            width = given_pm(&bearing->width);

    if (bore == TABLE_NO_PM && outside == TABLE_NO_PM && width == TABLE_NO_PM) {
        resolve_ask(r, &part->e, NULL, bearing->span, "bearing", "bearing-sizes");
        return;
    }
    struct table_bearing_candidates found =
        table_bearing_identify(r->arena, r->tables, bore, outside, width);
    for (size_t i = 0; i < found.count && i < 8; i++) {
        struct phrase *name = resolve_say(r, "bearing.candidate");
        phrase_text(name, "designation", found.items[i].bearing->designation);
        phrase_word(name, "type", "bearing-type", found.items[i].bearing->type);
        names = phrase_then(names, ", ", name);
    }
    struct question *question =
        resolve_ask(r, &part->e, NULL, bearing->span,
                    found.exact > 0   ? "bearing-could-be"
                    : found.count > 0 ? "bearing-nearest"
                                      : "bearing-no-size",
                    "look-at-bearing");
    phrase_phrase(question->asks, "bearings", names);
}

void resolve_bearings(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->parts.count; i++) {
        struct part *part = r->spec->parts.items[i];
        if (!part->bearing.present)
            continue;
        const struct table_bearing *row = NULL;
        bool named = part->bearing.designation.text != NULL && !part->bearing.designation.unknown;
        if (named)
            row = table_bearing_find(r->tables, part->bearing.designation.text).bearing;
        else
            candidates(r, part);
        if (row != NULL) {
            check_given(r, part, &part->bearing.bore, row->bore_pm, "bore");
            check_given(r, part, &part->bearing.outside, row->outside_pm, "outside");
            check_given(r, part, &part->bearing.width, row->width_pm, "width");
            clearance_fact(r, part, row);
        }
        resolve_place(r, part, r->build->bearings.count);
        *ARRAY_PUSH(r->arena, &r->build->bearings) = (struct bearing_values){
            .part = part, .row = row, .order = order_of(r, part, row)};
        struct fact *fact = resolve_fact(r, &part->e, resolve_id(r, &part->e, "bearing"),
                                         row != NULL ? FACT_TABLE : FACT_GIVEN);
        fact->phrase = r->build->bearings.items[r->build->bearings.count - 1].order;
        fact->span = part->bearing.span;
        fact->source = row != NULL ? row->row.source : NULL;
        fact->level = row != NULL ? LEVEL_STANDARD : LEVEL_UNSAID;
    }
}
