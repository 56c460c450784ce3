/* resolve_bearing.c - rolling bearings: the row of a designation, or what the sizes could be, and
 * the whole that a supplier must be told. */
#include "resolve_private.h"

static const char *type_words(const char *type)
{
    static const struct {
        const char *type, *words;
    } words[] = {
        {"deep-groove", "deep-groove ball bearing"},
        {"cylindrical-roller", "cylindrical roller bearing"},
        {"taper-roller", "taper roller bearing"},
        {"angular-contact", "angular-contact ball bearing"},
        {"self-aligning", "self-aligning ball bearing"},
        {"thrust", "thrust ball bearing"},
        {"needle", "needle roller bearing"},
    };

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (str_equal(words[i].type, type))
            return words[i].words;
    return type;
}

/* "clearance C3"; what is not said is asked for, since a bearing house will choose for itself. */
static void say(struct resolver *r, struct part *part, struct str_buf *out, const char *what,
                const struct text *text, const char *settles)
{
    if (text->text != NULL && !text->unknown) {
        str_add_print(out, ", %s %s", what, text->text);
        return;
    }
    if (settles == NULL)
        return;
    str_add_print(out, ", %s not known", what);
    resolve_ask(r, &part->e, text->text != NULL ? text->span : part->bearing.span, settles,
                "which %s has the bearing %s?", what, part->e.shown);
}

static const char *sizes_words(struct resolver *r, int64_t bore_pm, int64_t outside_pm,
                               int64_t width_pm)
{
    return str_print(r->arena, "%s x %s x %s mm", qty_exact_mm(r->arena, bore_pm),
                     qty_exact_mm(r->arena, outside_pm), qty_exact_mm(r->arena, width_pm));
}

static const char *order_text(struct resolver *r, struct part *part,
                              const struct table_bearing *row)
{
    struct str_buf out = {.arena = r->arena};
    const struct bearing *bearing = &part->bearing;

    if (row != NULL) {
        str_add_print(&out, "%s %s, %s", bearing->designation.text, type_words(row->type),
                      sizes_words(r, row->bore_pm, row->outside_pm, row->width_pm));
    } else {
        str_add(&out, bearing->designation.text != NULL ? bearing->designation.text : "bearing");
        if (bearing->kind.text != NULL && !bearing->kind.unknown)
            str_add_print(&out, ", %s", bearing->kind.text);
        const struct claim *sizes[] = {&bearing->bore, &bearing->outside, &bearing->width};
        static const char *const names[] = {"bore", "outside", "width"};
        for (size_t i = 0; i < 3; i++)
            if (resolve_said(sizes[i]))
                str_add_print(&out, ", %s %s", names[i], sizes[i]->value.text);
    }
    say(r, part, &out, "clearance", &bearing->clearance,
        "measure the old one, or ask the maker of the engine");
    /* Roller bearings come open; of a ball bearing nobody can tell. */
    say(r, part, &out, "sealing", &bearing->sealing,
        row == NULL || strstr(row->type, "roller") == NULL
            ? "look at the old one: open, shields or seals"
            : NULL);
    say(r, part, &out, "cage", &bearing->cage, NULL);
    say(r, part, &out, "lip", &bearing->lip, NULL);
    return out.bytes;
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
    struct fact *fact = resolve_fact(r, &part->e, resolve_id(r, &part->e, "clearance"), FACT_TABLE);
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
    struct str_buf names = {.arena = r->arena};
    int64_t bore = given_pm(&bearing->bore), outside = given_pm(&bearing->outside),
            width = given_pm(&bearing->width);

    if (bore == TABLE_NO_PM && outside == TABLE_NO_PM && width == TABLE_NO_PM) {
        resolve_ask(r, &part->e, bearing->span, "measure its bore, outside and width",
                    "which bearing is %s?", part->e.shown);
        return;
    }
    struct table_bearing_candidates found =
        table_bearing_identify(r->arena, r->tables, bore, outside, width);
    for (size_t i = 0; i < found.count && i < 8; i++)
        str_add_print(&names, "%s%s (%s)", i > 0 ? ", " : "", found.items[i].bearing->designation,
                      type_words(found.items[i].bearing->type));
    const char *settles = "look at it: balls or rollers, which ring has lips, shields or seals, "
                          "any number left on a face";
    if (found.exact > 0)
        resolve_ask(r, &part->e, bearing->span, settles,
                    "which bearing is %s? By its sizes it could be %s", part->e.shown, names.bytes);
    else
        resolve_ask(r, &part->e, bearing->span, settles,
                    "which bearing is %s? No tabled bearing has these sizes%s%s", part->e.shown,
                    found.count > 0 ? "; nearest: " : "", found.count > 0 ? names.bytes : "");
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
        *ARRAY_PUSH(r->arena, &r->build->bearings) = (struct bearing_values){
            .part = part, .row = row, .order_text = order_text(r, part, row)};
        struct fact *fact = resolve_fact(r, &part->e, resolve_id(r, &part->e, "bearing"),
                                         row != NULL ? FACT_TABLE : FACT_GIVEN);
        fact->words = r->build->bearings.items[r->build->bearings.count - 1].order_text;
        fact->span = part->bearing.span;
        fact->source = row != NULL ? row->row.source : NULL;
        fact->level = row != NULL ? LEVEL_STANDARD : LEVEL_UNSAID;
    }
}
