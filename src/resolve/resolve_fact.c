/* resolve_fact.c - facts and the words of facts, questions and faults. */
#include "resolve_private.h"

void resolve_keep(struct resolver *r, struct fact *fact)
{
    map_put_text(r->arena, &r->build->fact_ids, fact->id, r->build->facts.count);
    *ARRAY_PUSH(r->arena, &r->build->facts) = fact;
}

struct fact *resolve_fact(struct resolver *r, struct entry *entry, const char *id,
                          enum fact_origin origin)
{
    struct fact *fact = ARENA_NEW(r->arena, struct fact);

    fact->id = id;
    fact->entry = entry;
    fact->origin = origin;
    if (entry != NULL)
        fact->span = entry->span;
    resolve_keep(r, fact);
    return fact;
}

char *resolve_id(struct resolver *r, const struct entry *entry, const char *what)
{
    return str_print(r->arena, "%s.%s", entry->member, what);
}

void resolve_input_as(struct resolver *r, struct fact *fact, const char *as, struct fact *input)
{
    if (input == NULL || input == fact)
        return;
    fact->inputs = arena_grow(r->arena, fact->inputs, fact->input_count, &fact->input_room,
                              sizeof *fact->inputs);
    fact->inputs[fact->input_count++] = (struct fact_input){input, as};
}

void resolve_input(struct resolver *r, struct fact *fact, struct fact *input)
{
    resolve_input_as(r, fact, NULL, input);
}

void resolve_number(struct resolver *r, struct fact *fact, const char *name, double si)
{
    *ARRAY_PUSH(r->arena, &fact->numbers) = (struct fact_number){name, si};
}

/* ---------- claims ---------- */

bool resolve_said(const struct claim *claim)
{
    return claim->present && claim->value.kind != QTY_ABSENT && claim->value.kind != QTY_UNKNOWN;
}

const char *resolve_source(struct resolver *r, const struct spec_source *source, const char *page)
{
    if (source == NULL)
        return NULL;

    const char *title = source->title != NULL ? source->title : source->id;
    return page != NULL && *page != '\0' ? str_print(r->arena, "%s %s", title, page) : title;
}

/* The value with the deviations of its class, or false after an error. */
static bool look_class_up(struct resolver *r, const struct claim *claim, struct qty_value *value,
                          struct fact *fact)
{
    struct table_limits limits = table_class_limits(r->tables, value->class, value->nominal.exact);

    if (limits.status != TABLE_FOUND) {
        const char *size = qty_print_plain(r->arena, value->nominal);
        struct diag *diag = limits.status == TABLE_UNKNOWN
                                ? diag_add(&r->context->diags, DIAG_CLASS_UNKNOWN, claim->span,
                                           "class %s is in no table of limits", value->class)
                                : diag_add(&r->context->diags, DIAG_CLASS_UNKNOWN, claim->span,
                                           "class %s is not tabled for %s", value->class, size);
        resolve_hint(r, diag, "write the limits out, such as %s +0.009/-0.004", size);
        return false;
    }
    value->low = range_qty_pm(value->nominal.exact + limits.low_pm, value->nominal.unit);
    value->high = range_qty_pm(value->nominal.exact + limits.high_pm, value->nominal.unit);
    fact->formula = str_print(r->arena, "%s with the deviations of %s: %s", value->text,
                              value->class, limits.source);
    fact->rule = "deviations";
    resolve_number(r, fact, "nominal", value->nominal.si);
    resolve_number(r, fact, "lower", (double)limits.low_pm * 1e-12);
    resolve_number(r, fact, "upper", (double)limits.high_pm * 1e-12);
    return true;
}

/* What other sources say, and why they lose. */
static const char *losers(struct resolver *r, const struct claim *claim)
{
    struct str_buf out = {.arena = r->arena};

    for (size_t i = 0; i < claim->loser_count; i++) {
        const struct claim *loser = &claim->losers[i];
        const char *source = resolve_source(r, loser->from, loser->page);
        str_add_print(&out, "%snot used: %s", out.length > 0 ? "; " : "",
                      loser->value.text != NULL ? loser->value.text : "?");
        if (source != NULL)
            str_add_print(&out, " (%s)", source);
    }
    if (claim->because != NULL)
        str_add_print(&out, "%s%s", out.length > 0 ? "; because: " : "", claim->because);
    if (claim->value.note != NULL)
        str_add_print(&out, "%s%s", out.length > 0 ? "; " : "", claim->value.note);
    return out.bytes;
}

struct fact *resolve_claim(struct resolver *r, struct entry *entry, const char *id,
                           const struct claim *claim)
{
    if (!resolve_said(claim))
        return NULL;

    struct fact *fact = ARENA_NEW(r->arena, struct fact);
    struct qty_value value = claim->value;
    if (value.kind == QTY_CLASS && !look_class_up(r, claim, &value, fact))
        return NULL;
    fact->id = id;
    fact->entry = entry;
    fact->span = claim->span;
    fact->value = value;
    fact->origin = FACT_GIVEN;
    fact->level = claim->from != NULL ? (int)claim->from->level : LEVEL_UNSAID;
    fact->source = resolve_source(r, claim->from, claim->page);
    fact->note = losers(r, claim);
    resolve_keep(r, fact);
    return fact;
}

struct fact *resolve_claim_once(struct resolver *r, struct entry *entry, const char *id,
                                const struct claim *claim)
{
    struct fact *fact = build_fact(r->build, id);

    return fact != NULL ? fact : resolve_claim(r, entry, id, claim);
}

struct fact *resolve_engine_fact(struct resolver *r, const char *id, const struct claim *claim)
{
    return resolve_claim_once(r, NULL, id, claim);
}

/* ---------- words ---------- */

const struct qty_unit *resolve_prefer(const struct resolver *r, enum qty_dim dim)
{
    for (size_t i = 0; i < r->spec->shop.prefer.count; i++)
        if (r->spec->shop.prefer.items[i]->dim == dim)
            return r->spec->shop.prefer.items[i];
    return NULL;
}

char *resolve_print_value(const struct resolver *r, const struct qty_value *value)
{
    return qty_print_both(
        r->arena, value,
        resolve_prefer(r, value->low.dim != QTY_NONE ? value->low.dim : value->high.dim));
}

char *resolve_print(const struct resolver *r, struct qty qty)
{
    struct qty_value value = range_one(qty);

    return resolve_print_value(r, &value);
}

char *resolve_print_range(const struct resolver *r, struct range range)
{
    struct qty_value value = range_value(range);

    if (value.kind == QTY_UNKNOWN)
        return str_copy(r->arena, "unknown");
    return resolve_print_value(r, &value);
}

char *resolve_distance(const struct resolver *r, struct qty a, struct qty b)
{
    struct qty off = range_qty_plus(a, b, -1);

    if (off.exact < 0 || off.si < 0)
        off = range_qty_times(off, -1);
    return resolve_print(r, off);
}

/* ---------- phrases ---------- */

static const char *print_place(const void *user, const struct qty_value *value, bool as_written)
{
    const struct resolver *r = user;

    return as_written ? value->text : resolve_print_value(r, value);
}

static const char *print_number(const void *user, const char *number)
{
    (void)user;
    return number;
}

const char *resolve_words(const struct resolver *r, const struct phrase *phrase)
{
    const struct phrase_printer printer = {r->arena, r->build->english, print_place, print_number,
                                           r};

    return phrase_words(&printer, phrase);
}

const char *build_words(struct arena *arena, const struct build *build, const struct phrase *phrase)
{
    const struct resolver r = {.arena = arena, .spec = build->spec, .build = (struct build *)build};

    return resolve_words(&r, phrase);
}

struct phrase *build_citation(struct arena *arena, const char *source)
{
    static const char practice[] = "common practice, no source", memory[] = "from memory of ";

    if (source == NULL)
        return NULL;
    if (str_equal(source, practice))
        return phrase_new(arena, "source.practice");
    if (str_starts(source, memory))
        return phrase_text(phrase_new(arena, "source.from-memory"), "source",
                           source + strlen(memory));
    return phrase_of_text(arena, source);
}

const struct phrase *build_source(struct arena *arena, const struct fact *fact)
{
    return fact->sources != NULL ? fact->sources : build_citation(arena, fact->source);
}

struct phrase *resolve_cite(const struct resolver *r, const char *key, const char *source)
{
    return phrase_phrase(resolve_say(r, key), "source", build_citation(r->arena, source));
}

struct phrase *resolve_say(const struct resolver *r, const char *key)
{
    return phrase_new(r->arena, key);
}

struct phrase *resolve_say_range(const struct resolver *r, const char *key, const char *name,
                                 struct range range)
{
    struct qty_value value = range_value(range);

    return phrase_value(resolve_say(r, key), name, &value);
}

/* ---------- diagnostics and questions ---------- */

struct diag *resolve_fault(struct resolver *r, struct entry *entry, enum diag_code error,
                           enum diag_code warning, struct span span, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const char *text = str_vprint(r->arena, format, arguments);
    va_end(arguments);

    if (entry->critical.value)
        return diag_add(&r->context->diags, error, span, "%s", text);
    return spec_warn(r->context, entry, warning, span, "%s", text);
}

void resolve_hint(struct resolver *r, struct diag *diag, const char *format, ...)
{
    if (diag == NULL)
        return;

    va_list arguments;
    va_start(arguments, format);
    diag_hint(&r->context->diags, diag, "%s", str_vprint(r->arena, format, arguments));
    va_end(arguments);
}

void resolve_label(struct resolver *r, struct diag *diag, struct span span, const char *format, ...)
{
    if (diag == NULL || span.file == 0)
        return;

    va_list arguments;
    va_start(arguments, format);
    diag_label(&r->context->diags, diag, span, "%s", str_vprint(r->arena, format, arguments));
    va_end(arguments);
}

void resolve_edit(struct resolver *r, struct diag *diag, struct span span, const char *text)
{
    if (diag != NULL && span.file != 0)
        diag_fix(&r->context->diags, diag, span, text);
}

struct question *resolve_ask(struct resolver *r, struct entry *entry, const char *about,
                             struct span span, const char *asks, const char *settles)
{
    struct question *question = ARRAY_PUSH(r->arena, &r->build->questions);

    *question = (struct question){
        .span = span,
        .entry = entry,
        .about = about,
        .asks = resolve_say(r, str_print(r->arena, "question.%s", asks)),
        .settles = resolve_say(r, str_print(r->arena, "settles.%s", settles))};
    return question;
}

/* ---------- finding ---------- */

struct part *resolve_part(const struct ref *ref)
{
    return ref->count > 0 ? spec_part(ref->to[0]) : NULL;
}

bool resolve_is_bought(const struct part *part)
{
    return part->state == STATE_RENEW || part->state == STATE_MISSING || part->always_renew.value;
}

struct qty resolve_room(const struct resolver *r)
{
    if (resolve_said(&r->spec->shop.room))
        return r->spec->shop.room.value.nominal;
    return qty_from_si(20.0, QTY_TEMPERATURE); /* ISO 1: sizes hold at 20 degC */
}

struct diag *resolve_told(const struct resolver *r, enum diag_code code, struct span cause)
{
    for (size_t i = 0; i < r->told.count; i++)
        if (r->told.items[i].code == code &&
            memcmp(&r->told.items[i].cause, &cause, sizeof cause) == 0)
            return r->told.items[i].diag;
    return NULL;
}

void resolve_tell(struct resolver *r, enum diag_code code, struct span cause, struct diag *diag)
{
    if (diag != NULL)
        *ARRAY_PUSH(r->arena, &r->told) = (struct told){code, cause, diag};
}
