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

/* The ids of an array of structs that begin with `const char *id`. */
static void know_ids(struct known *known, const void *at, size_t size)
{
    struct list list = list_load(at);

    for (size_t i = 0; i < list.count; i++)
        know(known, *(const char *const *)((const char *)list.items + i * size));
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
    diag = fault(reader, code, text->span, "there is no %s '%s'", what, text->text);

    fault_nearest(reader, diag, text->span, text->text, near, count);
    if (hint)
        fault_hint(reader, diag, "%s", hint);
}

/* ---------- the spec's own lists ---------- */

static void link_own(struct reader *reader, const struct field *field, struct text *text)
{
    const struct spec *spec = reader->spec;
    struct known known = {.count = 0};
    const char *what = "", *where = "";

    switch (field->names) {
    case NAMES_GAUGE:
        know_ids(&known, &spec->shop.gauges, sizeof(struct gauge));
        what = "gauge", where = "name it under `shop: gauges`";
        break;
    case NAMES_ADAPTER:
        know_ids(&known, &spec->shop.adapters, sizeof(struct adapter));
        what = "adapter", where = "name it under `shop: adapters`";
        break;
    case NAMES_SUPPLIER:
        know_ids(&known, &spec->suppliers, sizeof(struct supplier));
        what = "supplier", where = "name it under `suppliers`";
        break;
    case NAMES_SEALANT:
        if (str_equal(text->text, "none"))
            return;
        /* fall through */
    case NAMES_CONSUMABLE:
        know_ids(&known, &spec->consumables, sizeof(struct consumable));
        what = "consumable", where = "name it under `consumables`";
        break;
    case NAMES_CONDITION:
        for (size_t i = 0; i < spec->shop.conditions.count; i++)
            know(&known, spec->shop.conditions.items[i].name);
        what = "condition", where = "name it under `shop: conditions`, or write "
                                    "{lubricant: ..., plating: ..., fastener: ...}";
        break;
    case NAMES_CYLINDER:
        if (reader->engine_faulty)
            return;
        for (size_t i = 0; i < spec->engine.cylinder_count; i++)
            know(&known, spec->engine.cylinders[i]);
        what = "cylinder";
        break;
    default:
        return;
    }
    if (!knows(&known, text->text))
        fault_name(reader, DIAG_SPEC_UNKNOWN_NAME, text, what, known.names, known.count,
                   *where ? where : NULL);
}

/* A tool that the shop does not list may still be there: it only looks like a slip. */
static void link_tool(struct reader *reader, const struct text *text)
{
    struct known known = {.count = 0};
    struct diag *diag;
    const char *near;

    know_ids(&known, &reader->spec->shop.tools, sizeof(struct tool));
    if (known.count == 0 || knows(&known, text->text) || !reader->entry)
        return;
    diag = spec_warn(reader->context, reader->entry, DIAG_SPEC_UNKNOWN_TOOL, text->span,
                     "the shop lists no tool '%s'", text->text);
    if (!diag)
        return;
    near = str_nearest(text->text, known.names, known.count);
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

    know_ids(&known, &spec->materials, sizeof(struct material));
    if (field->names == NAMES_MATERIAL && knows(&known, text->text))
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
        if (found.near.count)
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
    default:
        link_own(reader, field, text);
        break;
    }
    for (size_t i = 0; i < text->loser_count; i++)
        link_name(reader, field, &text->losers[i]);
}
