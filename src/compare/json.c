/* json.c - a comparison for programs. */
#include "compare_private.h"

static void put_change(struct json *json, enum change change)
{
    static const char *const words[] = {"same", "new", "gone", "changed", "moved", "other-units"};

    json_put_string(json, "change", words[change]);
}

static void put_side(struct json *json, const char *key, const struct compare_side *side)
{
    const struct engine *engine = &side->plan->build->spec->engine;

    json_key(json, key);
    json_object(json);
    json_put_string(json, "name", side->name);
    json_put_string(json, "revision", side->revision);
    json_put_string(json, "engine", engine->name.text);
    json_put_string(json, "serial", engine->serial.text);
    json_put_string(json, "variant", engine->variant.text);
    json_object_end(json);
}

static void put_texts(struct json *json, const char *key, const char *const *items, size_t count)
{
    json_key(json, key);
    json_array(json);
    for (size_t i = 0; i < count; i++)
        json_string(json, items[i]);
    json_array_end(json);
}

static void put_cards(const struct comparison *c, struct json *json)
{
    json_key(json, "cards");
    json_array(json);
    for (size_t i = 0; i < c->cards.count; i++) {
        const struct compare_card *card = &c->cards.items[i];
        json_object(json);
        json_put_string(json, "card", card->is ? card->is->id : card->was->id);
        put_change(json, card->change);
        json_put_string(json, "was", card->was ? card->was->fingerprint : NULL);
        json_put_string(json, "is", card->is ? card->is->fingerprint : NULL);
        put_texts(json, "what", card->what.items, card->what.count);
        json_object_end(json);
    }
    json_array_end(json);
}

static const char *english(const struct comparison *c, struct json *json,
                           const struct phrase *phrase)
{
    return build_words(json->out.arena, c->is.plan->build, phrase);
}

static void put_fact(struct json *json, const char *key, const struct compare_side *side,
                     const struct fact *fact, const struct phrase *verdict)
{
    json_key(json, key);
    if (verdict)
        json_string(json, build_words(json->out.arena, side->plan->build, verdict));
    else if (fact)
        build_why_json(side->plan->build, fact, json);
    else
        json_null(json);
}

static void put_values(const struct comparison *c, struct json *json)
{
    json_key(json, "values");
    json_array(json);
    for (size_t i = 0; i < c->values.count; i++) {
        const struct compare_value *value = &c->values.items[i];
        json_object(json);
        json_put_string(json, "value", value->id);
        put_change(json, value->change);
        put_fact(json, "was", &c->was, value->was, value->was_words);
        put_fact(json, "is", &c->is, value->is, value->is_words);
        json_key(json, "because");
        json_array(json);
        for (size_t k = 0; k < value->because.count; k++)
            json_string(json, english(c, json, value->because.items[k]));
        json_array_end(json);
        json_object_end(json);
    }
    json_array_end(json);
}

static void put_place(struct json *json, const char *key, const struct operation *operation)
{
    json_key(json, key);
    if (!operation) {
        json_null(json);
        return;
    }
    json_object(json);
    json_put_string(json, "phase", phase_name(operation->phase));
    json_put_int(json, "number", (int64_t)operation->number);
    json_object_end(json);
}

static void put_order(const struct comparison *c, struct json *json)
{
    json_key(json, "order");
    json_array(json);
    for (size_t i = 0; i < c->steps.count; i++) {
        const struct compare_step *step = &c->steps.items[i];
        json_object(json);
        json_put_string(json, "operation", step->is ? step->is->id : step->was->id);
        put_change(json, step->change);
        put_place(json, "was", step->was);
        put_place(json, "is", step->is);
        json_put_string(json, "because", step->because ? step->because->reason : NULL);
        json_object_end(json);
    }
    json_array_end(json);
}

static void put_line(const struct comparison *c, struct json *json, const char *key,
                     const struct purchase *line)
{
    json_key(json, key);
    if (!line) {
        json_null(json);
        return;
    }
    json_object(json);
    json_put_string(json, "number", line->number);
    json_put_int(json, "needed", line->needed);
    json_put_int(json, "pieces", line->pieces);
    if (line->line_minor >= 0) {
        json_put_int(json, "cost-minor", line->line_minor);
        json_put_string(json, "currency", line->currency);
    }
    json_put_string(json, "supplier", line->supplier ? line->supplier->id : NULL);
    json_put_string(json, "why", english(c, json, line->why));
    json_object_end(json);
}

static void put_purchases(const struct comparison *c, struct json *json)
{
    json_key(json, "purchases");
    json_array(json);
    for (size_t i = 0; i < c->purchases.count; i++) {
        const struct compare_purchase *one = &c->purchases.items[i];
        const struct purchase *some = one->is ? one->is : one->was;
        json_object(json);
        json_put_string(json, "line", build_line_id(some));
        put_change(json, one->change);
        put_line(c, json, "was", one->was);
        put_line(c, json, "is", one->is);
        json_object_end(json);
    }
    json_array_end(json);
}

static void put_weight(struct json *json, const char *key, bool there, bool known, double kg)
{
    json_key(json, key);
    if (there && !known)
        json_string(json, "unknown");
    else if (there)
        json_double(json, kg);
    else
        json_null(json);
}

static void put_published(struct json *json, const char *key, const struct claim *claim)
{
    bool known = claim->present && claim->value.kind != QTY_UNKNOWN;

    put_weight(json, key, known, known,
               known ? claim->value.kind == QTY_AT_MOST ? claim->value.high.si : claim->value.low.si
                     : 0);
}

static void put_weights(const struct comparison *c, struct json *json)
{
    double was = 0, is = 0;

    json_key(json, "weights");
    json_object(json);
    json_put_string(json, "unit", "kg");
    json_key(json, "parts");
    json_array(json);
    for (size_t i = 0; i < c->weights.count; i++) {
        const struct compare_weight *weight = &c->weights.items[i];
        json_object(json);
        json_put_string(json, "part", weight->id);
        put_weight(json, "was", weight->was_there, weight->was_known, weight->was_kg);
        put_weight(json, "is", weight->is_there, weight->is_known, weight->is_kg);
        json_object_end(json);
        was += weight->was_kg;
        is += weight->is_kg;
    }
    json_array_end(json);
    put_weight(json, "was-sum", true, true, was);
    put_weight(json, "is-sum", true, true, is);
    put_published(json, "was-published", &c->was.plan->build->spec->engine.weight);
    put_published(json, "is-published", &c->is.plan->build->spec->engine.weight);
    json_object_end(json);
}

static void put_edits(const struct comparison *c, struct json *json)
{
    json_key(json, "written");
    json_array(json);
    for (size_t i = 0; i < c->edits.count; i++) {
        const struct compare_edit *edit = &c->edits.items[i];
        json_object(json);
        json_put_string(json, "section", edit->section);
        json_put_string(json, "id", edit->owner);
        json_put_string(json, "key", edit->key);
        put_change(json, edit->change);
        json_put_string(json, "was", edit->was ? edit->was->words : NULL);
        json_put_string(json, "is", edit->is ? edit->is->words : NULL);
        json_object_end(json);
    }
    json_array_end(json);
}

void compare_print_json(const struct comparison *c, struct json *json)
{
    json_object(json);
    json_put_int(json, "gudgeon-comparison", 1);
    json_put_bool(json, "same", compare_is_same(c));
    put_side(json, "was", &c->was);
    put_side(json, "is", &c->is);
    put_cards(c, json);
    put_values(c, json);
    put_order(c, json);
    put_purchases(c, json);
    put_weights(c, json);
    put_edits(c, json);
    json_object_end(json);
}
