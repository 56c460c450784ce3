/* names.c - names out of other lists: the shop's, suppliers, the rows of reference tables. */
#include "spec_private.h"

#include <string.h>

enum { MOST_NAMES = 512 };

struct known {
    const char *names[MOST_NAMES];
    size_t count;
};

static void know(struct known *known, const char *name)
{
    if (known->count < MOST_NAMES && name)
        known->names[known->count++] = name;
}

static const char *id_at(const struct list *list, size_t index, const struct fields *fields)
{
    const char *id;

    memcpy(&id, (const char *)list->items + index * fields->size + fields->id, sizeof id);
    return id;
}

/* True if one of an array of structs has the id; else their ids are known for the hint. */
static bool has_id(struct known *known, const void *at, const struct fields *fields, const char *id)
{
    struct list list = list_load(at);

    for (size_t i = 0; i < list.count; i++)
        if (str_equal(id_at(&list, i, fields), id))
            return true;
    for (size_t i = 0; i < list.count; i++)
        know(known, id_at(&list, i, fields));
    return false;
}

static bool knows(const struct known *known, const char *name)
{
    for (size_t i = 0; i < known->count; i++)
        if (str_equal(known->names[i], name))
            return true;
    return false;
}

static void fault_name(struct reader *reader, enum diag_code code, const struct text *text,
                       const char *what, const char *const *near, size_t count, const char *hint)
{
    struct diag *diag;

    if (reader->lists_faulty)
        return;
    diag = fault_once(reader, code, text->span, text->text,
                      str_print(reader->arena, "there is no %s '%s'", what, text->text));
    if (!diag)
        return;

    fault_nearest(reader, diag, text->span, text->text, near, count);
    if (hint)
        fault_hint(reader, diag, "%s", hint);
}

/* ---------- the spec's own lists ---------- */

/* Where the ids of a kind of name stand, and what to say of one that does not. */
static const struct {
    size_t list;
    const struct fields *fields;
    const char *what, *hint;
} own_lists[NAMES_COUNT] = {
    [NAMES_GAUGE] = {offsetof(struct spec, shop.gauges), &gauge_fields, "gauge",
                     "name it under `shop: gauges`"},
    [NAMES_ADAPTER] = {offsetof(struct spec, shop.adapters), &adapter_fields, "adapter",
                       "name it under `shop: adapters`"},
    [NAMES_SUPPLIER] = {offsetof(struct spec, suppliers), &supplier_fields, "supplier",
                        "name it under `suppliers`"},
    [NAMES_CONSUMABLE] = {offsetof(struct spec, consumables), &consumable_fields, "consumable",
                          "name it under `consumables`"},
    [NAMES_SEALANT] = {offsetof(struct spec, consumables), &consumable_fields, "consumable",
                       "name it under `consumables`, or say none"},
    [NAMES_CONDITION] = {offsetof(struct spec, shop.conditions), &shop_condition_fields, "condition",
                         "name it under `shop: conditions`, or write {lubricant: ..., plating: ..., "
                         "fastener: ...}"},
};

static void link_own(struct reader *reader, const struct field *field, struct text *text)
{
    struct known known = {.count = 0};

    if (!own_lists[field->names].fields ||
        (field->names == NAMES_SEALANT && str_equal(text->text, "none")))
        return;
    if (!has_id(&known, (const char *)reader->spec + own_lists[field->names].list,
                own_lists[field->names].fields, text->text)) {
        if (field->names == NAMES_SEALANT)
            know(&known, "none");
        fault_name(reader, DIAG_SPEC_UNKNOWN_NAME, text, own_lists[field->names].what, known.names,
                   known.count, own_lists[field->names].hint);
    }
}

static void link_cylinder(struct reader *reader, const struct text *text)
{
    const struct engine *engine = &reader->spec->engine;

    if (reader->engine_faulty)
        return;
    for (size_t i = 0; i < engine->cylinder_count; i++)
        if (str_equal(engine->cylinders[i], text->text))
            return;
    fault_name(reader, DIAG_SPEC_UNKNOWN_NAME, text, "cylinder", engine->cylinders,
               engine->cylinder_count, NULL);
}

/* A tool that the shop does not list may still be there: it only looks like a slip. */
static void link_tool(struct reader *reader, const struct text *text)
{
    struct known known = {.count = 0};
    struct diag *diag;
    const char *near;

    if (reader->spec->shop.tools.count == 0 || !reader->entry ||
        has_id(&known, &reader->spec->shop.tools, &tool_fields, text->text))
        return;
    diag = spec_warn(reader->context, reader->entry, DIAG_SPEC_UNKNOWN_TOOL, text->span,
                     "the shop lists no tool '%s'", text->text);
    if (!diag)
        return;
    near = fault_hints_wanted(reader) ? str_nearest(text->text, known.names, known.count) : NULL;
    if (near)
        fault_fix(reader, diag, text->span, near);
    else
        fault_hint(reader, diag, "name it under `shop: tools`");
}

/* ---------- the rows of tables ---------- */

static const char *word_kind(enum names names)
{
    return names == NAMES_LUBRICANT ? "lubricant" : names == NAMES_PLATING ? "plating" : "fastener";
}

static void link_material(struct reader *reader, const struct field *field, struct text *text)
{
    const struct spec *spec = reader->spec;
    struct table_near near = {.count = 0};
    struct known known = {.count = 0};

    if (has_id(&known, &spec->materials, &material_fields, text->text) &&
        field->names == NAMES_MATERIAL)
        return;
    if (table_material_find(reader->tables, text->text, &near))
        return;
    if (field->names == NAMES_ROW_MATERIAL)
        known.count = 0;
    if (str_equal(text->text, "unknown")) {
        fault_hint(reader, fault(reader, DIAG_SPEC_UNKNOWN_MATERIAL, text->span,
                                 "there is no material 'unknown'"),
                   "leave the key out until it is known");
        return;
    }
    for (size_t i = 0; i < near.count; i++)
        know(&known, near.names[i]);
    fault_name(reader, DIAG_SPEC_UNKNOWN_MATERIAL, text, "material", known.names, known.count,
               "`gudgeon table material` lists them; one of your own goes under `materials`");
}

static void link_thread(struct reader *reader, const struct text *text)
{
    struct table_thread_found found =
        table_thread_find(reader->arena, reader->tables, text->text);
    struct diag *diag;
    const char *names[TABLE_NEAR];
    struct str_buf list = {.arena = reader->arena};

    for (size_t i = 0; i < found.near.count; i++) {
        names[i] = found.near.names[i];
        str_add_print(&list, "%s%s", i ? ", " : "", names[i]);
    }
    switch (found.status) {
    case TABLE_FOUND:
        return;
    case TABLE_AMBIGUOUS:
        diag = fault(reader, DIAG_SPEC_AMBIGUOUS_THREAD, text->span,
                     "'%s' names more than one thread", text->text);
        fault_hint(reader, diag, "write one of: %s", list.bytes);
        return;
    case TABLE_CONTRADICTION:
        diag = fault(reader, DIAG_SPEC_THREAD_PITCH, text->span,
                     "size and pitch of '%s' do not go together", text->text);
        if (found.near.count == 1)
            fault_fix(reader, diag, text->span, names[0]);
        else if (found.near.count)
            fault_hint(reader, diag, "this size has: %s", list.bytes);
        return;
    case TABLE_UNKNOWN:
        diag = fault(reader, DIAG_SPEC_UNKNOWN_THREAD, text->span, "there is no thread '%s'",
                     text->text);
        if (str_nearest(text->text, names, found.near.count))
            fault_fix(reader, diag, text->span, str_nearest(text->text, names, found.near.count));
        else if (found.near.count)
            fault_hint(reader, diag, "nearest: %s", list.bytes);
        else
            fault_hint(reader, diag, "M8, M8x1.25, 3/8 BSF, 5/16-24 UNF, 2 BA and so on: "
                                     "`gudgeon table thread` lists them");
        return;
    }
}

static void link_grade(struct reader *reader, const struct text *text)
{
    struct table_grade_found found = table_grade_find(reader->tables, text->text, 0);

    if (found.status == TABLE_AMBIGUOUS) {
        struct diag *diag = fault(reader, DIAG_SPEC_UNKNOWN_GRADE, text->span,
                                  "'%s' names more than one grade", text->text);
        fault_nearest(reader, diag, text->span, "", found.near.names, found.near.count);
    } else if (found.status != TABLE_FOUND) {
        fault_name(reader, DIAG_SPEC_UNKNOWN_GRADE, text, "grade", found.near.names,
                   found.near.count, "`gudgeon table grade` lists them; or write unknown");
    }
}

/* A designation that no table has will do where the three sizes stand beside it. */
static void link_bearing(struct reader *reader, const struct text *text)
{
    struct table_bearing_found found = table_bearing_find(reader->tables, text->text);
    const struct part *part = reader->entry ? spec_part(reader->entry) : NULL;

    if (found.status == TABLE_FOUND ||
        (part && part->bearing.bore.present && part->bearing.outside.present &&
         part->bearing.width.present))
        return;
    fault_name(reader, DIAG_SPEC_UNKNOWN_BEARING, text, "bearing", found.near.names,
               found.near.count, "give its sizes: bore:, outside:, width:");
}

static void link_rule(struct reader *reader, const struct text *text)
{
    struct known known = {.count = 0};
    const struct table_rule *rule;

    for (size_t i = 0; (rule = table_row_at(reader->tables, "rule", i)); i++)
        if (!knows(&known, rule->id))
            know(&known, rule->id);
    if (!knows(&known, text->text))
        fault_name(reader, DIAG_SPEC_UNKNOWN_RULE, text, "rule", known.names, known.count,
                   "`gudgeon table rule` lists them");
}

/* "M6", "H7/k6", or a class of ANSI B4.1 such as "RC3". */
static void link_class(struct reader *reader, const struct text *text)
{
    const char *stroke = strchr(text->text, '/');
    const struct table_b41 *row;

    for (size_t i = 0; (row = table_row_at(reader->tables, "inch-fit", i)); i++)
        if (str_equal(row->class, text->text))
            return;
    if (!stroke && table_is_class(text->text))
        return;
    if (stroke && table_is_class(str_slice(reader->arena, text->text, (size_t)(stroke - text->text))) &&
        table_is_class(stroke + 1))
        return;
    fault_hint(reader, fault(reader, DIAG_SPEC_BAD_WORD, text->span, "'%s' is no class of fit",
                             text->text),
               "a class of ISO 286 such as M6 or H7/k6, or one of ANSI B4.1 such as RC3");
}

static void link_currency(struct reader *reader, const struct text *text)
{
    struct qty_value value;
    struct qty_error error;

    if (qty_read(reader->arena, str_print(reader->arena, "1 %s", text->text), QTY_MONEY,
                 QTY_TAKE_ONE, &value, &error))
        return;
    struct diag *diag = fault(reader, DIAG_QTY_FAULT_CURRENCY, text->span,
                              "'%s' is no currency of ISO 4217", text->text);
    if (error.fix)
        fault_fix(reader, diag, text->span, error.fix);
    fault_hint(reader, diag, "three letters, such as GBP");
}

/* The user's torque tables, by the id of their head. */
static void link_table_id(struct reader *reader, const struct text *text)
{
    struct known known = {.count = 0};
    const struct table_torque *row;

    for (size_t i = 0; (row = table_row_at(reader->tables, "torque", i)); i++)
        if (!knows(&known, row->row.table->id))
            know(&known, row->row.table->id);
    if (!knows(&known, text->text)) {
        fault_name(reader, DIAG_SPEC_UNKNOWN_NAME, text, "table of torques", known.names,
                   known.count, "name the file under `use`");
    }
}

static void link_word(struct reader *reader, const struct field *field, struct text *text)
{
    struct table_near near = {.count = 0};
    const char *kind = word_kind(field->names);

    if (!table_word_find(reader->tables, kind, text->text, &near))
        fault_name(reader, DIAG_SPEC_UNKNOWN_WORD, text, kind, near.names, near.count, NULL);
}

/* A sheet that no table has will do where both thicknesses stand beside it. */
static void link_sheet(struct reader *reader, const struct text *text)
{
    struct table_near near = {.count = 0};
    const struct part *part = reader->entry ? spec_part(reader->entry) : NULL;

    if (part && part->cut_from.free.present && part->cut_from.crushed.present)
        return;
    if (!table_sheet_find(reader->tables, text->text, &near))
        fault_name(reader, DIAG_SPEC_UNKNOWN_SHEET, text, "sheet", near.names, near.count,
                   "give free: and crushed:, or one that `gudgeon table sheet` lists");
}

void link_name(struct reader *reader, const struct field *field, struct text *text)
{
    if (!text->text || text->unknown)
        return;
    switch (field->names) {
    case NAMES_TOOL:
        link_tool(reader, text);
        break;
    case NAMES_MATERIAL:
    case NAMES_ROW_MATERIAL:
        link_material(reader, field, text);
        break;
    case NAMES_SHEET:
        link_sheet(reader, text);
        break;
    case NAMES_RULE:
        link_rule(reader, text);
        break;
    case NAMES_LUBRICANT:
    case NAMES_PLATING:
    case NAMES_FASTENER:
        link_word(reader, field, text);
        break;
    case NAMES_GRADE:
        link_grade(reader, text);
        break;
    case NAMES_THREAD:
        link_thread(reader, text);
        break;
    case NAMES_BEARING:
        link_bearing(reader, text);
        break;
    case NAMES_CLASS:
        link_class(reader, text);
        break;
    case NAMES_CURRENCY:
        link_currency(reader, text);
        break;
    case NAMES_TORQUE_TABLE:
        link_table_id(reader, text);
        break;
    case NAMES_CYLINDER:
        link_cylinder(reader, text);
        break;
    default:
        link_own(reader, field, text);
        break;
    }
    for (size_t i = 0; i < text->loser_count; i++)
        link_name(reader, field, &text->losers[i]);
}
