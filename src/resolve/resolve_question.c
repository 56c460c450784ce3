/* resolve_question.c - open questions: all that the spec says is unknown and that somebody can
 * still find out. */
#include "resolve_private.h"

static void ask_claim(struct resolver *r, struct entry *entry, const struct claim *claim,
                      const char *asks, const char *settles)
{
    if (claim->present && claim->value.kind == QTY_UNKNOWN)
        resolve_ask(r, entry, NULL, claim->span, asks, settles);
}

static void ask_text(struct resolver *r, struct entry *entry, const struct text *text,
                     const char *asks, const char *settles)
{
    if (text->unknown)
        resolve_ask(r, entry, NULL, text->span, asks, settles);
}

static void ask_engine(struct resolver *r)
{
    const struct engine *engine = &r->spec->engine;

    ask_text(r, NULL, &engine->serial, "serial", "plate");
    ask_text(r, NULL, &engine->variant, "variant", "makers-list");
    if (engine->built.unknown)
        resolve_ask(r, NULL, NULL, engine->built.span, "built", "serial-in-makers-list");
    ask_claim(r, NULL, &engine->hours, "hours", "logs-or-nought");
    ask_claim(r, NULL, &engine->weight, "weight", "weigh");
    ask_claim(r, NULL, &engine->rod_length, "rod-length", "rod-centres");
    ask_claim(r, NULL, &engine->bore, "bore", "measure");
    ask_claim(r, NULL, &engine->stroke, "stroke", "measure");
}

static void ask_fate(struct resolver *r, struct part *part)
{
    if (part->state != STATE_UNKNOWN || part->assembly.value || part->until.text != NULL)
        return;
    struct question *question = resolve_ask(
        r, &part->e, NULL, part->state_text.text != NULL ? part->state_text.span : part->e.span,
        "fate", "look-and-decide");
    phrase_text(question->settles, "words", "state: reuse | rework | renew | make | missing | stays");
}

static void ask_supplier(struct resolver *r, struct part *part)
{
    if (!resolve_is_bought(part) || part->supplier.text != NULL || part->cut_from.present)
        return;
    struct question *question =
        resolve_ask(r, &part->e, NULL, part->e.span, "supplier", "write");
    phrase_text(question->settles, "words", "supplier:");
}

static void ask_part(struct resolver *r, struct part *part)
{
    struct entry *entry = &part->e;

    ask_fate(r, part);
    ask_text(r, entry, &part->serial, "serial", "number-on-it");
    ask_text(r, entry, &part->number, "part-number", "parts-book");
    ask_text(r, entry, &part->material, "material", "test-material");
    ask_claim(r, entry, &part->hours, "hours", "log-card");
    ask_claim(r, entry, &part->weight, "weight", "weigh");
    ask_claim(r, entry, &part->price, "price", "ask-supplier");
    ask_supplier(r, part);
    for (size_t i = 0; i < part->sizes.count; i++) {
        const struct size *size = part->sizes.items[i];
        bool unknown = size->measured.count > 0;
        for (size_t k = 0; k < size->measured.count; k++)
            unknown &= size->measured.items[k].value.kind == QTY_UNKNOWN;
        if (unknown)
            resolve_ask(r, entry, size->id, size->measured.items[0].span, "size", "measure");
        if (size->want.present && size->want.value.kind == QTY_UNKNOWN)
            resolve_ask(r, entry, size->id, size->want.span, "limits", "table-of-limits");
    }
}

/* What is asked, and of what. */
static const char *key_of(const struct resolver *r, const struct question *question)
{
    if (question->about != NULL)
        return str_print(r->arena, "%s\n%s", question->asks->key, question->about);
    return question->entry != NULL
               ? str_print(r->arena, "%s\n#%zu", question->asks->key, question->entry->order)
               : question->asks->key;
}

/* What several values want to know is asked once. */
static void drop_repeats(struct resolver *r)
{
    struct map asked = {0};
    size_t kept = 0, count = r->build->questions.count;

    for (size_t i = 0; i < count; i++) {
        struct question question = r->build->questions.items[i];
        if (map_put_text(r->arena, &asked, key_of(r, &question), i) == i)
            r->build->questions.items[kept++] = question;
    }
    r->build->questions.count = kept;
}

void resolve_questions(struct resolver *r)
{
    ask_engine(r);
    for (size_t i = 0; i < r->spec->parts.count; i++)
        ask_part(r, r->spec->parts.items[i]);
    for (size_t i = 0; i < r->build->limits.count; i++) {
        const struct limit_values *values = &r->build->limits.items[i];
        if (values->want == NULL && values->worn == NULL)
            resolve_ask(r, &values->limit->e, NULL, values->limit->e.span, "limits",
                        "table-or-rule");
    }
    for (size_t i = 0; i < r->spec->history.count; i++) {
        const struct history *history = &r->spec->history.items[i];
        struct entry *entry = history->of.to_count > 0 ? history->of.to[0] : NULL;
        if (history->date.unknown)
            resolve_ask(r, entry, history->did.text, history->date.span, "when-done",
                        "logs-letters-marks");
    }
    drop_repeats(r);
}
