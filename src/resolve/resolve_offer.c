/* resolve_offer.c - what suppliers offer, beside what they were asked: nothing that contradicts the
 * designation or a size is counted, and what only a person can judge is asked. */
#include "resolve_private.h"

/* ---------- bearings ---------- */

/* The first word: "6206 C3, sealed" begins with its designation. */
static const struct table_bearing *bearing_named(struct resolver *r, const char *text)
{
    return table_bearing_find(r->tables, str_slice(r->arena, text, strcspn(text, " ,;(")))
        .bearing;
}

/* The clearance group that a text names, "C3", or NULL: a word that is C and a figure or N. */
static const char *group_named(struct resolver *r, const char *text)
{
    for (const char *at = text; (at = strchr(at, 'C')) != NULL; at++) {
        bool alone = at == text || strchr(" -/,;(", at[-1]) != NULL;
        bool ends = at[1] != '\0' && (at[2] == '\0' || strchr(" -/,;)", at[2]) != NULL);
        if (alone && ends && strchr("2345N", at[1]) != NULL)
            return str_slice(r->arena, at, 2);
    }
    return NULL;
}

static const char *sizes_of(struct resolver *r, const struct table_bearing *row)
{
    return str_print(r->arena, "%s x %s x %s mm", qty_exact_mm(r->arena, row->bore_pm),
                     qty_exact_mm(r->arena, row->outside_pm), qty_exact_mm(r->arena, row->width_pm));
}

/* NULL: a text does not contradict the bearing that is asked for. `same`: it names that very one. */
static struct phrase *against_bearing(struct resolver *r, const struct part *part, const char *text,
                                      bool *same)
{
    const struct table_bearing *row = build_bearing(r->build, part)->row;
    const struct table_bearing *other = bearing_named(r, text);
    const char *asked = part->bearing.clearance.unknown ? NULL : part->bearing.clearance.text;
    const char *group = group_named(r, text);

    if (row == NULL || other == NULL)
        return NULL;
    if (other->bore_pm != row->bore_pm || other->outside_pm != row->outside_pm ||
        other->width_pm != row->width_pm || !str_equal(other->type, row->type)) {
        struct phrase *said = phrase_text(resolve_say(r, "offer.bearing"), "offered",
                                          other->designation);
        phrase_text(said, "asked", row->designation);
        phrase_number(said, "offered-size", sizes_of(r, other));
        phrase_number(said, "asked-size", sizes_of(r, row));
        phrase_word(said, "offered-type", "bearing-type", other->type);
        return phrase_word(said, "asked-type", "bearing-type", row->type);
    }
    if (group != NULL && asked != NULL && !str_equal(group, asked))
        return phrase_text(phrase_text(resolve_say(r, "offer.clearance"), "offered", group), "asked",
                           asked);
    *same = true;
    return NULL;
}

/* ---------- sizes ---------- */

static bool is_within(const struct qty_value *offered, const struct qty_value *want)
{
    return (!qty_value_has_low(want) || qty_compare(offered->low, want->low) >= 0) &&
           (!qty_value_has_high(want) || qty_compare(offered->high, want->high) <= 0);
}

/* A size that is offered, against the one that is checked when the part comes. NULL: within it, or
 * nothing that could be compared. */
static struct phrase *against_size(struct resolver *r, const struct part *part, const char *text,
                                   bool *same)
{
    const struct size_values *only = NULL;
    struct qty_value offered;
    struct qty_error error;

    if (!qty_read(r->arena, text, QTY_LENGTH, QTY_TAKE_ONE | QTY_TAKE_LIMITS | QTY_TAKE_SIZE, &offered,
                  &error))
        return NULL;
    for (size_t i = 0; i < part->sizes.count; i++) {
        const struct size_values *values = resolve_size_values(r, part->sizes.items[i]);
        if (values == NULL || values->want == NULL || str_equal(values->size->name, "crushed"))
            continue;
        if (only != NULL)
            return NULL; /* nobody knows which of them is meant */
        only = values;
    }
    if (only == NULL)
        return NULL;
    *same = is_within(&offered, &only->want->value);
    if (*same)
        return NULL;
    struct phrase *said = phrase_written(resolve_say(r, "offer.size"), "offered", &offered);
    phrase_word(said, "size", "size-name", only->size->name);
    return phrase_value(said, "asked", &only->want->value);
}

/* ---------- one offer ---------- */

static const struct phrase *contradiction(struct resolver *r, const struct quote *offer,
                                          const struct purchase *line, bool *same)
{
    const char *texts[] = {offer->text.text, offer->alternative.text};
    const struct part *part = line->part_count > 0 ? line->parts[0] : NULL;

    if (offer->number.text != NULL && line->number != NULL &&
        !str_equal(offer->number.text, line->number))
        return phrase_text(phrase_text(resolve_say(r, "offer.number"), "offered", offer->number.text),
                           "asked", line->number);
    for (size_t i = 0; i < 2 && part != NULL && part->bearing.present; i++) {
        struct phrase *said = texts[i] != NULL ? against_bearing(r, part, texts[i], same) : NULL;
        if (said != NULL)
            return said;
    }
    *same = *same && offer->alternative.text != NULL && part != NULL && part->bearing.present &&
            bearing_named(r, offer->alternative.text) != NULL;
    if (part != NULL && !part->bearing.present && offer->alternative.text != NULL)
        return against_size(r, part, offer->alternative.text, same);
    return NULL;
}

static void judge(struct resolver *r, struct offer_values *values)
{
    const struct quote *offer = values->offer;
    const struct purchase *line = values->line;
    bool same = false;
    struct diag *diag;

    values->judged = contradiction(r, offer, line, &same);
    if (values->judged != NULL) {
        values->verdict = OFFER_REFUSED;
        diag = diag_add(&r->context->diags, DIAG_OFFER_CONTRADICTS, offer->span,
                        "%s: %s offers what is not asked: %s", line->line, offer->supplier->id,
                        resolve_words(r, values->judged));
        resolve_hint(r, diag, "have it corrected, or strike the line; it is not counted");
        return;
    }
    if (offer->pieces.present && offer->pieces.value < line->needed) {
        values->verdict = OFFER_REFUSED;
        values->judged = phrase_count(phrase_count(resolve_say(r, "offer.short"), "offered",
                                                   offer->pieces.value),
                                      "asked", line->needed);
        diag_add(&r->context->diags, DIAG_OFFER_SHORT, offer->pieces.span,
                 "%s: %s offers %lld of the %lld pieces that are needed", line->line,
                 offer->supplier->id, (long long)offer->pieces.value, (long long)line->needed);
        return;
    }
    if (!offer->price.present || (offer->alternative.text != NULL && !same)) {
        values->verdict = OFFER_OPEN;
        values->judged = phrase_text(resolve_say(r, "offer.open"), "offered",
                                     offer->alternative.text != NULL ? offer->alternative.text : "");
        struct question *question =
            resolve_ask(r, line->part_count > 0 ? &line->parts[0]->e : NULL, line->line, offer->span,
                        "offer-instead", "compare-offer");
        phrase_text(question->asks, "offered",
                    offer->alternative.text != NULL ? offer->alternative.text : "");
        phrase_text(question->asks, "supplier", offer->supplier->id);
        return;
    }
    values->verdict = offer->supplier == line->supplier ? OFFER_TAKEN : OFFER_FITS;
    values->judged = resolve_say(r, values->verdict == OFFER_TAKEN ? "offer.taken" : "offer.fits");
}

/* ---------- all ---------- */

static void tell_unknown_line(struct resolver *r, const struct quote *offer)
{
    size_t count = r->build->purchases.count;
    const char **lines = ARENA_ARRAY(r->arena, const char *, count + 1);

    for (size_t i = 0; i < count; i++)
        lines[i] = r->build->purchases.items[i].line;
    struct diag *diag = diag_add(&r->context->diags, DIAG_OFFER_LINE, offer->line.span,
                                 "nothing is to be bought under the reference '%s'", offer->line.text);
    const char *near = str_nearest(offer->line.text, lines, count);
    if (near != NULL)
        resolve_edit(r, diag, offer->line.span, near);
    else
        resolve_hint(r, diag, "take the row out, or ask anew with the sheets of this pack");
}

static struct purchase *line_named(struct resolver *r, const struct quote *offer)
{
    for (size_t i = 0; i < r->build->purchases.count; i++)
        if (str_equal(r->build->purchases.items[i].line, offer->line.text))
            return &r->build->purchases.items[i];
    tell_unknown_line(r, offer);
    return NULL;
}

/* A later offer of one supplier for a line stands for the earlier one. */
static bool is_superseded(const struct spec *spec, size_t at)
{
    for (size_t i = at + 1; i < spec->offers.count; i++)
        if (spec->offers.items[i].supplier == spec->offers.items[at].supplier &&
            str_equal(spec->offers.items[i].line.text, spec->offers.items[at].line.text))
            return true;
    return false;
}

void resolve_offers(struct resolver *r)
{
    for (size_t i = 0; i < r->spec->offers.count; i++) {
        const struct quote *offer = &r->spec->offers.items[i];
        struct purchase *line = line_named(r, offer);
        if (line == NULL || is_superseded(r->spec, i))
            continue;
        struct offer_values *values = ARRAY_PUSH(r->arena, &r->build->offers);
        *values = (struct offer_values){.offer = offer, .line = line};
        judge(r, values);
        if (values->verdict != OFFER_TAKEN)
            continue;
        line->price = &offer->price;
        if (offer->lead.present)
            line->lead = &offer->lead;
    }
}
