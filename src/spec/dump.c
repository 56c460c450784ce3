/* dump.c - a spec as JSON, by the tables of fields: whatever was read is in it. */
#include "spec_private.h"

#include <string.h>

static void dump_map(struct json *json, const struct fields *fields, const void *item);
static void dump_members(struct json *json, const struct fields *fields, const void *item);

/* ---------- leaves ---------- */

static void dump_origin(struct json *json, const struct spec_source *from, const char *page,
                        bool chosen, const char *because)
{
    if (from)
        json_put_string(json, "from", from->id);
    if (page)
        json_put_string(json, "page", page);
    if (chosen)
        json_put_bool(json, "chosen", true);
    if (because)
        json_put_string(json, "because", because);
}

static void dump_text(struct json *json, const struct text *text)
{
    if (!text->from && !text->chosen && text->loser_count == 0 && !text->because) {
        json_string(json, text->text);
        return;
    }
    json_object(json);
    json_put_string(json, "is", text->text);
    dump_origin(json, text->from, text->page, text->chosen, text->because);
    if (text->loser_count) {
        json_key(json, "losers");
        json_array(json);
        for (size_t i = 0; i < text->loser_count; i++)
            dump_text(json, &text->losers[i]);
        json_array_end(json);
    }
    json_object_end(json);
}

static void dump_texts(struct json *json, const struct texts *texts)
{
    json_array(json);
    for (size_t i = 0; i < texts->count; i++)
        dump_text(json, &texts->items[i]);
    json_array_end(json);
}

/* A length exactly in mm, what is counted in whole units as it is, the rest in SI. */
static void dump_qty(struct json *json, const char *key, const struct qty *qty)
{
    json_key(json, key);
    if (qty->dim == QTY_LENGTH)
        json_number_text(json, qty_exact_mm(json->out.arena, qty->exact));
    else if (qty->dim == QTY_MONEY || qty->dim == QTY_COUNT)
        json_int(json, qty->exact);
    else
        json_double(json, qty->si);
}

static const char *unit_of(const struct qty *qty)
{
    static const char *const units[QTY_DIM_COUNT] = {
        [QTY_LENGTH] = "mm",         [QTY_MASS] = "kg",
        [QTY_FORCE] = "N",           [QTY_TORQUE] = "N m",
        [QTY_STRESS] = "Pa",         [QTY_TEMPERATURE] = "degC",
        [QTY_TEMPERATURE_DIFFERENCE] = "K", [QTY_TIME] = "s",
        [QTY_ANGLE] = "deg",         [QTY_MONEY] = "minor units",
        [QTY_AREA] = "m2",           [QTY_VOLUME] = "m3",
        [QTY_SPEED] = "rpm",         [QTY_RATIO] = "1",
        [QTY_DENSITY] = "kg/m3",     [QTY_STIFFNESS] = "N/m",
        [QTY_EXPANSION] = "1/K",     [QTY_MASS_LENGTH] = "kg m",
        [QTY_COUNT] = "pieces",
    };
    return units[qty->dim];
}

static void dump_value(struct json *json, const struct qty_value *value)
{
    const struct qty *shown = value->kind == QTY_AT_MOST ? &value->high : &value->low;

    json_put_string(json, "text", value->text);
    if (value->kind == QTY_UNKNOWN || value->kind == QTY_ABSENT)
        return;
    if (value->kind == QTY_CLASS) {
        json_put_string(json, "class", value->class);
        shown = &value->nominal;
    }
    if (value->kind == QTY_SIZE || value->kind == QTY_CLASS)
        dump_qty(json, "nominal", &value->nominal);
    if (value->kind != QTY_AT_MOST && value->kind != QTY_CLASS)
        dump_qty(json, "low", &value->low);
    if (value->kind != QTY_AT_LEAST && value->kind != QTY_CLASS)
        dump_qty(json, "high", &value->high);
    json_put_string(json, "unit", unit_of(shown));
    if (shown->currency)
        json_put_string(json, "currency", shown->currency);
}

static void dump_claim(struct json *json, const struct claim *claim)
{
    json_object(json);
    if (claim->table.text)
        json_put_string(json, "table", claim->table.text);
    else
        dump_value(json, &claim->value);
    dump_origin(json, claim->from, claim->page, claim->chosen, claim->because);
    if (claim->believe)
        json_put_string(json, "believe", claim->believe == 1 ? "first" : "second");
    if (claim->holds_for.present) {
        json_key(json, "holds-for");
        dump_map(json, &holds_for_fields, &claim->holds_for);
    }
    if (claim->loser_count) {
        json_key(json, "losers");
        json_array(json);
        for (size_t i = 0; i < claim->loser_count; i++)
            dump_claim(json, &claim->losers[i]);
        json_array_end(json);
    }
    json_object_end(json);
}

static void dump_readings(struct json *json, const struct readings *readings)
{
    json_array(json);
    for (size_t i = 0; i < readings->count; i++) {
        const struct reading *reading = &readings->items[i];
        json_object(json);
        dump_value(json, &reading->value);
        dump_origin(json, reading->from, reading->page, false, NULL);
        dump_members(json, &reading_fields, reading);
        json_object_end(json);
    }
    json_array_end(json);
}

static void dump_ref(struct json *json, const struct ref *ref)
{
    json_array(json);
    for (size_t i = 0; i < ref->count; i++)
        json_string(json, ref->to[i]->member);
    json_array_end(json);
}

static void dump_refs(struct json *json, const struct refs *refs)
{
    if (refs->all || refs->none) {
        json_string(json, refs->all ? "all" : "none");
        return;
    }
    json_array(json);
    for (size_t i = 0; i < refs->to_count; i++)
        json_string(json, refs->to[i]->member);
    json_array_end(json);
}

static void dump_size_ref(struct json *json, const struct size_ref *ref)
{
    json_string(json, ref->size ? ref->size->id : ref->text);
}

/* ---------- nested ---------- */

static void dump_table(struct json *json, const struct fields *sub, const void *at)
{
    struct list list = list_load(at);

    json_object(json);
    for (size_t i = 0; i < list.count; i++) {
        const char *item = (const char *)list.items + i * sub->size;
        const char *key;

        if (sub->key_field && sub->key_field->kind == FIELD_REF) {
            const struct ref *ref = (const void *)(item + sub->key_field->offset);
            key = ref->count == 1 ? ref->to[0]->member : ref->text;
        } else if (sub->key_field) {
            const struct size_ref *ref = (const void *)(item + sub->key_field->offset);
            key = ref->size ? ref->size->id : ref->text;
        } else {
            memcpy(&key, item + sub->id, sizeof key);
        }
        json_key(json, key);
        dump_map(json, sub, item);
    }
    json_object_end(json);
}

static void dump_list(struct json *json, const struct field *field, const void *at)
{
    struct list list = list_load(at);

    json_array(json);
    for (size_t i = 0; i < list.count; i++) {
        const char *item = list.items;
        switch (field->kind) {
        case FIELD_LIST:
            dump_map(json, field->sub, item + i * field->sub->size);
            break;
        case FIELD_NUMBERS:
            json_int(json, ((const int64_t *)list.items)[i]);
            break;
        case FIELD_UNITS:
            json_string(json, ((const struct qty_unit *const *)list.items)[i]->name);
            break;
        default:
            dump_claim(json, &((const struct claim *)list.items)[i]);
            break;
        }
    }
    json_array_end(json);
}

static void dump_sizes(struct json *json, const struct part *part)
{
    json_object(json);
    for (size_t i = 0; i < part->sizes.count; i++) {
        const struct size *size = part->sizes.items[i];
        json_key(json, size->place ? str_print(json->out.arena, "%s/%s", size->name, size->place)
                                   : size->name);
        dump_map(json, &size_fields, size);
    }
    json_object_end(json);
}

static void dump_fitted(struct json *json, const struct fitted *fitted)
{
    json_array(json);
    for (size_t i = 0; i < fitted->names.count; i++)
        dump_text(json, &fitted->names.items[i]);
    for (size_t i = 0; i < fitted->sizes.count; i++)
        dump_claim(json, &fitted->sizes.items[i]);
    json_array_end(json);
}

static void dump_places(struct json *json, const struct engine *engine, bool cylinders)
{
    if (cylinders) {
        json_array(json);
        for (size_t i = 0; i < engine->cylinder_count; i++)
            json_string(json, engine->cylinders[i]);
        json_array_end(json);
        return;
    }
    json_object(json);
    for (size_t i = 0; i < engine->places.count; i++) {
        const struct places *places = engine->places.items[i];
        json_key(json, places->name);
        json_array(json);
        for (size_t k = 0; k < places->count; k++)
            json_string(json, places->items[k]);
        json_array_end(json);
    }
    json_object_end(json);
}

/* ---------- by field ---------- */

bool field_is_said(const struct field *field, const void *item)
{
    const char *at = (const char *)item + field->offset;
    bool present;

    switch (field->kind) {
    case FIELD_TEXT:
    case FIELD_CRANK:
        return ((const struct text *)at)->text != NULL;
    case FIELD_FLAG:
        return ((const struct flag *)at)->present;
    case FIELD_NUMBER:
        return ((const struct number *)at)->present;
    case FIELD_DATE:
        return ((const struct date *)at)->present;
    case FIELD_CLAIM:
        return ((const struct claim *)at)->present ||
               ((field->flags & OR_SIZE) &&
                ((const struct size_ref *)((const char *)item + field->also))->text) ||
               ((field->flags & OR_WORDS) &&
                ((const struct text *)((const char *)item + field->also))->text);
    case FIELD_REF:
        return ((const struct ref *)at)->text ||
               (field->words && *(const bool *)((const char *)item + field->also));
    case FIELD_LOCK_PART:
        return ((const struct ref *)at)->text != NULL;
    case FIELD_REFS:
        return ((const struct refs *)at)->present;
    case FIELD_SIZE_REF:
    case FIELD_SPREAD:
        return ((const struct size_ref *)at)->text != NULL;
    case FIELD_MAP:
        if (field->flags & INLINE || field->sub->present == NOWHERE)
            return true;
        memcpy(&present, at + field->sub->present, sizeof present);
        return present;
    case FIELD_FITTED:
        return ((const struct fitted *)at)->present;
    case FIELD_SIZES:
        return ((const struct part *)item)->sizes.count > 0;
    case FIELD_CYLINDERS:
    case FIELD_PLACES:
        return ((const struct engine *)item)->places.count > 0;
    case FIELD_SEEN_TO:
    case FIELD_SECTION:
    case FIELD_KIND_COUNT:
        return false;
    default:
        return list_load(at).count > 0;
    }
}

static void dump_field(struct json *json, const struct field *field, const void *item)
{
    const char *at = (const char *)item + field->offset;
    const char *also = (const char *)item + field->also;
    const struct size_refs *sizes = (const void *)at;

    switch (field->kind) {
    case FIELD_TEXT:
    case FIELD_CRANK:
        dump_text(json, (const void *)at);
        break;
    case FIELD_TEXTS:
        dump_texts(json, (const void *)at);
        break;
    case FIELD_FLAG:
        dump_text(json, &((const struct flag *)at)->written);
        break;
    case FIELD_NUMBER:
        if (((const struct number *)at)->written.from || ((const struct number *)at)->written.loser_count)
            dump_text(json, &((const struct number *)at)->written);
        else
            json_int(json, ((const struct number *)at)->value);
        break;
    case FIELD_DATE:
        dump_text(json, &((const struct date *)at)->written);
        break;
    case FIELD_CLAIM:
        if (((const struct claim *)at)->present)
            dump_claim(json, (const void *)at);
        else if (field->flags & OR_SIZE)
            dump_size_ref(json, (const void *)also);
        else
            dump_text(json, (const void *)also);
        break;
    case FIELD_READINGS:
        dump_readings(json, (const void *)at);
        break;
    case FIELD_REF:
        if (((const struct ref *)at)->text)
            dump_ref(json, (const void *)at);
        else
            json_string(json, field->words[0]);
        break;
    case FIELD_LOCK_PART:
        if (((const struct ref *)at)->count)
            dump_ref(json, (const void *)at);
        else
            json_string(json, ((const struct ref *)at)->text);
        break;
    case FIELD_REFS:
        dump_refs(json, (const void *)at);
        break;
    case FIELD_SIZE_REF:
    case FIELD_SPREAD:
        dump_size_ref(json, (const void *)at);
        break;
    case FIELD_SIZE_REFS:
        json_array(json);
        for (size_t i = 0; i < sizes->count; i++)
            dump_size_ref(json, &sizes->items[i]);
        json_array_end(json);
        break;
    case FIELD_MAP:
        dump_map(json, field->sub, field->flags & INLINE ? item : (const void *)at);
        break;
    case FIELD_TABLE:
        dump_table(json, field->sub, at);
        break;
    case FIELD_SIZES:
        dump_sizes(json, item);
        break;
    case FIELD_FITTED:
        dump_fitted(json, (const void *)at);
        break;
    case FIELD_CYLINDERS:
    case FIELD_PLACES:
        dump_places(json, item, field->kind == FIELD_CYLINDERS);
        break;
    default:
        dump_list(json, field, at);
        break;
    }
}

static void dump_members(struct json *json, const struct fields *fields, const void *item)
{
    const struct field *field;

    for (size_t i = 0; (field = field_at(fields, i)); i++)
        if (field_is_said(field, item)) {
            json_key(json, field->key);
            dump_field(json, field, item);
        }
}

static void dump_map(struct json *json, const struct fields *fields, const void *item)
{
    if (fields->whole) {
        const struct field *field = field_find(fields, fields->bare);
        if (field_is_said(field, item))
            dump_field(json, field, item);
        else
            json_null(json);
        return;
    }
    json_object(json);
    dump_members(json, fields, item);
    json_object_end(json);
}

static void dump_section(struct json *json, const struct spec *spec, const struct section *section)
{
    struct list list = list_load((const char *)spec + section->list);

    if (list.count == 0)
        return;
    json_key(json, section->key);
    json_object(json);
    for (size_t i = 0; i < list.count; i++) {
        const struct entry *entry = ((struct entry *const *)list.items)[i];
        json_key(json, entry->member);
        dump_map(json, section->fields, entry);
    }
    json_object_end(json);
}

void spec_dump(const struct spec *spec, struct json *json)
{
    const struct field *field;
    int kind = 0;

    json_object(json);
    json_put_string(json, "id", spec->id);
    for (size_t i = 0; (field = field_at(&spec_fields, i)); i++) {
        if (field->kind == FIELD_SECTION) {
            dump_section(json, spec, &sections[kind++]);
        } else if (field_is_said(field, spec)) {
            json_key(json, field->key);
            dump_field(json, field, spec);
        }
    }
    if (spec->first)
        json_put_string(json, "first", spec->first->e.member);
    json_object_end(json);
}
