/* describe.c - the language as the field tables have it: JSON Schema (2020-12), and the tables of keys
 * of specs/LANGUAGE.md. */
#include "spec_private.h"

#include <string.h>

/* ---------- in words ---------- */

static const char *dims_in_words(struct arena *arena, uint32_t dims)
{
    enum { MOST_NAMED = 3 };
    struct str_buf words = {.arena = arena};
    int count = 0;

    for (int dim = QTY_NONE + 1; dim < QTY_DIM_COUNT; dim++)
        if (dims & 1u << dim && ++count <= MOST_NAMED)
            str_add_print(&words, "%s%s", words.length ? " or " : "",
                          qty_dim_name((enum qty_dim)dim));
    return count > MOST_NAMED ? "quantity" : words.bytes;
}

static void add_words(struct str_buf *out, const char *const *words, const char *before)
{
    for (size_t i = 0; words[i]; i++)
        str_add_print(out, "%s`%s`", i ? ", " : before, words[i]);
}

static void add_targets(struct str_buf *out, unsigned targets)
{
    bool any = false;

    if (targets == TO_ANY) {
        str_add(out, "entry");
        return;
    }
    for (int kind = 0; kind < ENTRY_KIND_COUNT; kind++)
        if (targets & 1u << kind) {
            str_add_print(out, "%s%s", any ? " or " : "", sections[kind].name);
            any = true;
        }
}

static const char *names_in_words(enum names names)
{
    static const char *const words[NAMES_COUNT] = {
        [NAMES_GAUGE] = "id of a gauge",
        [NAMES_TOOL] = "id of a tool",
        [NAMES_ADAPTER] = "id of an adapter",
        [NAMES_CONDITION] = "id of a condition",
        [NAMES_SUPPLIER] = "id of a supplier",
        [NAMES_CONSUMABLE] = "id of a consumable",
        [NAMES_SEALANT] = "id of a consumable, or `none`",
        [NAMES_MATERIAL] = "material, of the table or one's own",
        [NAMES_ROW_MATERIAL] = "material of the table",
        [NAMES_SHEET] = "sheet of the table",
        [NAMES_RULE] = "rule of the table",
        [NAMES_LUBRICANT] = "lubricant of the table",
        [NAMES_PLATING] = "plating of the table",
        [NAMES_FASTENER] = "`new`, `reused`",
        [NAMES_GRADE] = "grade of the table",
        [NAMES_THREAD] = "thread",
        [NAMES_BEARING] = "bearing of the table",
        [NAMES_CLASS] = "class of fit",
        [NAMES_CYLINDER] = "cylinder",
        [NAMES_CURRENCY] = "three letters of ISO 4217",
    };
    return words[names] ? words[names] : "text";
}

static void add_claim_forms(struct str_buf *out, const struct field *field)
{
    str_add(out, dims_in_words(out->arena, field->dims));
    if (field->takes & QTY_TAKE_LIMITS)
        str_add(out, field->takes & QTY_TAKE_ONE ? ", limits" : " limits");
    if (field->takes & QTY_TAKE_SIZE)
        str_add(out, ", tolerance");
    if (field->takes & QTY_TAKE_SIDED)
        str_add(out, ", at least, at most");
    if (field->takes & QTY_TAKE_UNKNOWN)
        str_add(out, ", `unknown`");
    if (field->names == NAMES_TORQUE_TABLE)
        str_add(out, ", `{table: ID}`");
    if (field->flags & OR_WORDS)
        str_add(out, ", or words");
    if (field->flags & OR_SIZE)
        str_add(out, field->dims & DIM(MASS) ? ", or PART.weight"
                     : field->dims & DIM(LENGTH) ? ", or PART.SIZE" : "");
}

static void add_seen_to(struct str_buf *out, const char *key)
{
    static const struct {
        const char *key, *takes;
    } rows[] = {
        {"gudgeon", "`1`"},        {"use", "files"},
        {"base", "file"},          {"applies", "mapping"},
        {"like", "id"},            {"each", "name of places, or a list"},
        {"is", "value"},           {"from", "id of a source, then the page"},
        {"chosen", "`true`"},      {"believe", "`first`, `second`"},
        {"because", "text"},       {"table", "id of a table"},
        {"serial", "range, or a list"}, {"built", "range of dates, or a list"},
        {"variant", "word, or a list"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (str_equal(rows[i].key, key))
            str_add(out, rows[i].takes);
}

static void add_text(struct str_buf *out, const struct field *field)
{
    if (field->words)
        add_words(out, field->words, "");
    else
        str_add(out, names_in_words(field->names));
    if (field->flags & SUGGESTED)
        str_add(out, " and others");
    if (field->flags & UNKNOWN_TAKEN)
        str_add(out, ", `unknown`");
}

static void add_reference(struct str_buf *out, const struct field *field)
{
    bool vowel = field->targets == TO_ANY || field->targets == TO(OPENING);

    str_add(out, field->kind == FIELD_REFS ? "ids of " : vowel ? "id of an " : "id of a ");
    add_targets(out, field->targets);
    if (field->words)
        add_words(out, field->words, ", or ");
}

static void add_table(struct str_buf *out, const struct fields *sub)
{
    if (sub->key_field)
        str_add(out, sub->key_field->kind == FIELD_REF ? "ids, each with its value"
                                                       : "PART.SIZE, each with its value");
    else
        str_add(out, sub->free_keys ? "words, each with its value" : "ids, each with its keys");
}

/* What is the same for every field of a kind; NULL where the field has a say. */
static const char *const kind_takes[FIELD_KIND_COUNT] = {
    [FIELD_NUMBER] = "whole number",
    [FIELD_NUMBERS] = "whole numbers",
    [FIELD_CRANK] = "crank position",
    [FIELD_READINGS] = "reading, or a list",
    [FIELD_UNITS] = "units, in a list",
    [FIELD_LOCK_PART] = "id of a part or consumable",
    [FIELD_SIZE_REF] = "PART.SIZE",
    [FIELD_SPREAD] = "PART.SIZE",
    [FIELD_SIZE_REFS] = "PART.SIZE; one or a list",
    [FIELD_LIST] = "mapping, or a list of them",
    [FIELD_SECTION] = "entries by id",
    [FIELD_SIZES] = "names, each with its size",
    [FIELD_FITTED] = "names, or sizes; one or a list",
    [FIELD_CYLINDERS] = "whole number, or a list of names",
    [FIELD_PLACES] = "names, each with its list",
};

static void add_takes(struct str_buf *out, const struct field *field)
{
    switch (field->kind) {
    case FIELD_TEXT:
    case FIELD_TEXTS:
        add_text(out, field);
        str_add(out, field->kind == FIELD_TEXTS ? "; one or a list" : "");
        break;
    case FIELD_FLAG:
        if (field->words)
            add_words(out, field->words, "");
        else
            str_add(out, "`true`, `false`");
        break;
    case FIELD_DATE:
        str_add(out, field->flags & UNKNOWN_TAKEN ? "date, `unknown`" : "date");
        break;
    case FIELD_CLAIM:
    case FIELD_CLAIMS:
    case FIELD_POINTS:
        add_claim_forms(out, field);
        str_add(out, field->kind == FIELD_CLAIMS   ? "; one or a list"
                     : field->kind != FIELD_POINTS ? ""
                     : field->most == 1           ? "; x and y in a list"
                                                  : "; pairs in a list");
        break;
    case FIELD_REF:
    case FIELD_REFS:
        add_reference(out, field);
        break;
    case FIELD_MAP:
        str_add(out, "mapping");
        if (field->sub->bare)
            str_add_print(out, ", or its `%s`", field->sub->bare);
        break;
    case FIELD_TABLE:
        add_table(out, field->sub);
        break;
    case FIELD_SEEN_TO:
        add_seen_to(out, field->key);
        break;
    default:
        str_add(out, kind_takes[field->kind]);
        break;
    }
}

/* ---------- the language page ---------- */

static void print_table(struct str_buf *out, const struct fields *fields, const char *heading)
{
    str_add_print(out, "\n### %s\n\n| key | takes | meaning |\n| --- | --- | --- |\n", heading);
    for (size_t i = 0; i < fields->count; i++) {
        const struct field *field = &fields->items[i];
        str_add_print(out, "| `%s`%s | ", field->key, field->flags & NEEDED ? " (needed)" : "");
        add_takes(out, field);
        str_add_print(out, " | %s |\n", field->help);
    }
}

/* The tables of what is nested, each once, where it is first met. */
static void print_nested(struct str_buf *out, const struct fields *fields, const char *path,
                         const struct fields **seen, size_t *seen_count)
{
    enum { MOST_TABLES = 96 };

    for (size_t i = 0; i < fields->count; i++) {
        const struct field *field = &fields->items[i];
        const struct fields *sub = field->kind == FIELD_SIZES ? &size_fields : field->sub;
        const char *name;
        bool known = false;

        if (!sub || sub->whole || field->kind == FIELD_SECTION)
            continue;
        for (size_t k = 0; k < *seen_count; k++)
            known |= seen[k] == sub;
        if (known || *seen_count == MOST_TABLES)
            continue;
        seen[(*seen_count)++] = sub;
        name = str_print(out->arena, "%s: %s", path, field->key);
        print_table(out, sub, str_print(out->arena, "`%s`", name));
        print_nested(out, sub, name, seen, seen_count);
    }
}

void spec_print_language(struct str_buf *out)
{
    const struct fields *seen[96];
    size_t count = 0;

    print_table(out, &spec_fields, "A spec");
    for (size_t i = 0; i < spec_fields.count; i++) {
        const struct field *field = &spec_fields.items[i];
        if (!field->sub || field->kind == FIELD_SECTION)
            continue;
        print_table(out, field->sub, str_print(out->arena, "`%s`", field->key));
        print_nested(out, field->sub, field->key, seen, &count);
    }
    print_table(out, &common_fields,
                "Every entry from `parts` to `running-in`; of an opening the first six");
    for (int kind = 0; kind < ENTRY_KIND_COUNT; kind++) {
        print_table(out, sections[kind].fields, str_print(out->arena, "`%s`", sections[kind].key));
        print_nested(out, sections[kind].fields, sections[kind].key, seen, &count);
    }
    print_table(out, &claim_fields, "A value with its source");
    print_table(out, &reading_fields, "A reading, under `measured`");
    print_table(out, &holds_for_fields, "`holds-for`");
    print_table(out, &applies_fields, "`applies`");
}

/* ---------- JSON Schema ---------- */

static void schema_fields(struct json *json, const struct fields *fields);

static void schema_ref(struct json *json, const char *name)
{
    json_object(json);
    json_put_string(json, "$ref", str_print(json->out.arena, "#/$defs/%s", name));
    json_object_end(json);
}

static void schema_words(struct json *json, const struct field *field)
{
    json_object(json);
    json_key(json, "enum");
    json_array(json);
    for (size_t i = 0; field->words[i]; i++)
        json_string(json, field->words[i]);
    if (field->flags & UNKNOWN_TAKEN)
        json_string(json, "unknown");
    json_array_end(json);
    json_object_end(json);
}

/* What a key takes, bare. */
static void schema_bare(struct json *json, const struct field *field)
{
    switch (field->kind) {
    case FIELD_FLAG:
        if (field->words) {
            schema_words(json, field);
        } else {
            json_object(json);
            json_put_string(json, "type", "boolean");
            json_object_end(json);
        }
        break;
    case FIELD_NUMBER:
        json_object(json);
        json_put_string(json, "type", "integer");
        json_put_int(json, "minimum", field->least);
        if (field->most)
            json_put_int(json, "maximum", field->most);
        json_object_end(json);
        break;
    case FIELD_TEXT:
        if (field->words && !(field->flags & SUGGESTED))
            schema_words(json, field);
        else
            schema_ref(json, "text");
        break;
    case FIELD_CLAIM:
        schema_ref(json, "text");
        break;
    default:
        schema_ref(json, "text");
        break;
    }
}

static void schema_type(struct json *json, const char *type)
{
    json_object(json);
    json_put_string(json, "type", type);
    json_object_end(json);
}

/* What null may remove in a merge; elsewhere the program refuses it. */
static void schema_null(struct json *json)
{
    schema_type(json, "null");
}

/* A value as it may be said: bare, with its source, or by several sources. */
static void schema_said(struct json *json, const struct field *field)
{
    schema_null(json);
    schema_bare(json, field);
    schema_ref(json, "claim");
    schema_type(json, "array");
}

/* By place: a value of `field`, or of `sub`; none of its keys is then one of the language's, so that a
 * misspelt key does not pass for a place. */
static void schema_by_place(struct json *json, const struct field *field, const struct fields *sub)
{
    const struct field *known;

    json_object(json);
    json_put_string(json, "type", "object");
    json_put_string(json, "description", "by place");
    json_key(json, "propertyNames");
    json_object(json);
    json_key(json, "not");
    json_object(json);
    json_key(json, "enum");
    json_array(json);
    for (size_t i = 0; (known = field_at(sub, i)); i++)
        json_string(json, known->key);
    json_array_end(json);
    json_object_end(json);
    json_object_end(json);
    json_key(json, "additionalProperties");
    json_object(json);
    json_key(json, "anyOf");
    json_array(json);
    if (field) {
        schema_said(json, field);
    } else {
        schema_type(json, "object");
        schema_type(json, "array");
        if (sub->bare)
            schema_ref(json, "text");
    }
    json_array_end(json);
    json_object_end(json);
    json_object_end(json);
}

static void schema_struct(struct json *json, const struct fields *fields)
{
    json_object(json);
    schema_fields(json, fields);
    json_object_end(json);
}

/* The keys of `sub`, its one bare value where it has one, a list of either, or all that by place. */
static void schema_nested(struct json *json, const struct fields *sub, bool list, bool by_place)
{
    json_key(json, "anyOf");
    json_array(json);
    schema_null(json);
    schema_struct(json, sub);
    if (sub->bare && field_find(sub, sub->bare)->kind == FIELD_POINTS)
        schema_type(json, "array");
    else if (sub->bare)
        schema_ref(json, "text");
    if (list) {
        json_object(json);
        json_put_string(json, "type", "array");
        json_key(json, "items");
        json_object(json);
        schema_nested(json, sub, false, false);
        json_object_end(json);
        json_object_end(json);
    }
    if (by_place)
        schema_by_place(json, NULL, sub);
    json_array_end(json);
}

static void schema_table(struct json *json, const struct field *field)
{
    json_put_string(json, "type", "object");
    json_key(json, "additionalProperties");
    if (field->sub->whole) {
        json_bool(json, true);
        return;
    }
    json_object(json);
    json_key(json, "anyOf");
    json_array(json);
    schema_null(json);
    schema_struct(json, field->sub);
    json_array_end(json);
    json_object_end(json);
}

/* A section's entry: the mapping, or the forms of one id in a list. */
static void schema_section(struct json *json, const struct section *section)
{
    json_put_string(json, "type", "object");
    json_key(json, "propertyNames");
    schema_ref(json, "id");
    json_key(json, "additionalProperties");
    json_object(json);
    json_key(json, "anyOf");
    json_array(json);
    schema_null(json);
    schema_ref(json, section->name);
    json_object(json);
    json_put_string(json, "type", "array");
    json_key(json, "items");
    schema_ref(json, section->name);
    json_object_end(json);
    json_array_end(json);
    json_object_end(json);
}

static void schema_field(struct json *json, const struct field *field, bool root)
{
    struct str_buf takes = {.arena = json->out.arena};

    add_takes(&takes, field);
    json_object(json);
    json_put_string(json, "description",
                    str_print(json->out.arena, "%s (%s)", field->help, takes.bytes));
    switch (field->kind) {
    case FIELD_SECTION:
        for (int kind = 0; kind < ENTRY_KIND_COUNT; kind++)
            if (str_equal(sections[kind].key, field->key))
                schema_section(json, &sections[kind]);
        break;
    case FIELD_TABLE:
        schema_table(json, field);
        break;
    case FIELD_MAP:
        if (root)
            schema_fields(json, field->sub);
        else
            schema_nested(json, field->sub, false, true);
        break;
    case FIELD_LIST:
        schema_nested(json, field->sub, true, !root);
        break;
    case FIELD_READINGS:
        schema_nested(json, &reading_fields, true, true);
        break;
    case FIELD_SIZES:
        json_put_string(json, "type", "object");
        json_key(json, "additionalProperties");
        json_object(json);
        schema_nested(json, &size_fields, false, true);
        json_object_end(json);
        break;
    case FIELD_FLAG:
    case FIELD_NUMBER:
    case FIELD_TEXT:
    case FIELD_CLAIM:
        json_key(json, "anyOf");
        json_array(json);
        schema_said(json, field);
        if (!root)
            schema_by_place(json, field, &claim_fields);
        json_array_end(json);
        break;
    default:
        break;
    }
    json_object_end(json);
}

static void schema_fields(struct json *json, const struct fields *fields)
{
    const struct field *field;

    json_put_string(json, "type", "object");
    json_put_bool(json, "additionalProperties", false);
    json_key(json, "properties");
    json_object(json);
    for (size_t i = 0; (field = field_at(fields, i)); i++) {
        json_key(json, field->key);
        schema_field(json, field, fields == &spec_fields);
    }
    json_object_end(json);
}

static void schema_definitions(struct json *json)
{
    json_key(json, "text");
    json_object(json);
    json_key(json, "type");
    json_array(json);
    json_string(json, "string");
    json_string(json, "number");
    json_string(json, "boolean");
    json_array_end(json);
    json_object_end(json);
    json_key(json, "id");
    json_object(json);
    json_put_string(json, "pattern", "^[a-z0-9]+(-[a-z0-9]+)*$");
    json_object_end(json);
    json_key(json, "claim");
    json_object(json);
    json_put_string(json, "type", "object");
    json_put_bool(json, "additionalProperties", false);
    json_key(json, "properties");
    json_object(json);
    for (size_t i = 0; i < claim_fields.count; i++) {
        json_key(json, claim_fields.items[i].key);
        json_object(json);
        json_put_string(json, "description", claim_fields.items[i].help);
        json_object_end(json);
    }
    json_object_end(json);
    json_object_end(json);
    for (int kind = 0; kind < ENTRY_KIND_COUNT; kind++) {
        json_key(json, sections[kind].name);
        schema_struct(json, sections[kind].fields);
    }
}

void spec_print_schema(struct json *json)
{
    json_object(json);
    json_put_string(json, "$schema", "https://json-schema.org/draft/2020-12/schema");
    json_put_string(json, "title", "gudgeon build spec, version 1");
    schema_fields(json, &spec_fields);
    json_key(json, "required");
    json_array(json);
    json_string(json, "gudgeon");
    json_array_end(json);
    json_key(json, "$defs");
    json_object(json);
    schema_definitions(json);
    json_object_end(json);
    json_object_end(json);
}
