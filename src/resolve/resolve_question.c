/* resolve_question.c - open questions: all that the spec says is unknown and that somebody can
 * still find out. */
#include "resolve_private.h"

static void ask_claim(struct resolver *r, struct entry *entry, const struct claim *claim,
                      const char *settles, const char *question)
{
    if (claim->present && claim->value.kind == QTY_UNKNOWN)
        resolve_ask(r, entry, claim->span, settles, "%s", question);
}

static void ask_text(struct resolver *r, struct entry *entry, const struct text *text,
                     const char *settles, const char *question)
{
    if (text->unknown)
        resolve_ask(r, entry, text->span, settles, "%s", question);
}

static void ask_engine(struct resolver *r)
{
    const struct engine *engine = &r->spec->engine;

    ask_text(r, NULL, &engine->serial, "look for the number on crankcase or plate",
             "what is the engine's serial number?");
    ask_text(r, NULL, &engine->variant, "compare with the maker's list",
             "which variant is the engine?");
    if (engine->built.unknown)
        resolve_ask(r, NULL, engine->built.span, "the serial number against the maker's list",
                    "when was the engine built?");
    ask_claim(r, NULL, &engine->hours, "logs, or start the count at nought and say so",
              "how many hours has the engine run?");
    ask_claim(r, NULL, &engine->weight, "weigh it", "what does the engine weigh?");
    ask_claim(r, NULL, &engine->rod_length, "measure between the centres of a rod",
              "how long is the connecting rod between centres?");
    ask_claim(r, NULL, &engine->bore, "measure it", "what is the bore?");
    ask_claim(r, NULL, &engine->stroke, "measure it", "what is the stroke?");
}

static void ask_part(struct resolver *r, struct part *part)
{
    struct entry *entry = &part->e;
    const char *shown = entry->shown;

    if (part->state == STATE_UNKNOWN && !part->assembly.value && part->until.text == NULL)
        resolve_ask(r, entry, part->state_text.text != NULL ? part->state_text.span : entry->span,
                    "look at it, then say state: reuse, rework, renew, make, missing or stays",
                    "what becomes of %s?", shown);
    ask_text(r, entry, &part->serial, "look for the number on it",
             str_print(r->arena, "what is the serial number of %s?", shown));
    ask_text(r, entry, &part->number, "the parts book, or the number on the part",
             str_print(r->arena, "what is the part number of %s?", shown));
    ask_text(r, entry, &part->material, "a magnet, a file, a test house",
             str_print(r->arena, "what is %s made of?", shown));
    ask_claim(r, entry, &part->hours, "its log card",
              str_print(r->arena, "how many hours has %s run?", shown));
    ask_claim(r, entry, &part->weight, "weigh it",
              str_print(r->arena, "what does %s weigh?", shown));
    ask_claim(r, entry, &part->price, "ask the supplier",
              str_print(r->arena, "what does %s cost?", shown));
    if (resolve_is_bought(part) && part->supplier.text == NULL && !part->cut_from.present)
        resolve_ask(r, entry, entry->span, "say supplier", "who sells %s?", shown);
    for (size_t i = 0; i < part->sizes.count; i++) {
        const struct size *size = part->sizes.items[i];
        bool unknown = size->measured.count > 0;
        for (size_t k = 0; k < size->measured.count; k++)
            unknown &= size->measured.items[k].value.kind == QTY_UNKNOWN;
        if (unknown)
            resolve_ask(r, entry, size->measured.items[0].span, "measure it", "how large is %s?",
                        size->id);
        ask_claim(r, entry, &size->want, "a table of limits",
                  str_print(r->arena, "what are the limits of %s?", size->id));
    }
}

/* What several values want to know is asked once. */
static void drop_repeats(struct resolver *r)
{
    size_t kept = 0, count = r->build->questions.count;

    for (size_t i = 0; i < count; i++) {
        struct question question = r->build->questions.items[i];
        bool repeated = false;
        for (size_t k = 0; k < kept && !repeated; k++)
            repeated = str_equal(r->build->questions.items[k].text, question.text);
        if (!repeated)
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
            resolve_ask(r, &values->limit->e, values->limit->e.span, "a table of limits, or a rule",
                        "what are the limits of %s?", values->limit->e.shown);
    }
    for (size_t i = 0; i < r->spec->history.count; i++) {
        const struct history *history = &r->spec->history.items[i];
        struct entry *entry = history->of.to_count > 0 ? history->of.to[0] : NULL;
        if (history->date.unknown)
            resolve_ask(r, entry, history->date.span, "logs, letters, marks", "when was it %s?",
                        history->did.text);
    }
    drop_repeats(r);
}
