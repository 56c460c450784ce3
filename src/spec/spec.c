/* spec.c - a tree read into a spec, look-ups in it, warnings about its entries. */
#include "spec_private.h"

#include <gudgeon/file.h>

#include <stdarg.h>
#include <string.h>

/* The rows of the user's own tables stand before ours for this compilation. */
static const struct table_set *tables_of(struct context *context, const struct tree *tree)
{
    const struct table_set *base = context->tables ? context->tables : table_set_default();
    struct table_set *own;

    if (tree->tables.count == 0)
        return base;
    own = table_set_copy(context->arena, base);
    for (size_t i = 0; i < tree->tables.count; i++)
        table_add_user(context, own, tree->tables.items[i]);
    return own;
}

static const char *id_of(struct context *context, const char *path)
{
    struct arena *arena = context->arena;
    const char *name = file_base_name(context->store ? path + strlen(context->store->mark) : path);
    size_t length = strlen(name);

    if (str_ends(name, ".yaml"))
        length -= strlen(".yaml");
    else if (str_ends(name, ".yml"))
        length -= strlen(".yml");
    return str_slice(arena, name, length);
}

static void link_entries(struct reader *reader)
{
    struct spec *spec = reader->spec;

    link_map(reader, &spec_fields, spec);
    for (size_t i = 0; i < spec->entries.count; i++) {
        struct entry *entry = spec->entries.items[i];
        reader->entry = entry;
        link_map(reader, sections[entry->kind].fields, entry);
    }
    reader->entry = NULL;
    faults_settle(reader);
    link_structure(reader);
}

struct spec *spec_read(struct context *context, const struct tree *tree)
{
    size_t errors = context->diags.errors;
    struct reader reader = {.context = context, .arena = context->arena, .tree = tree};
    struct spec *spec;

    if (!tree)
        return NULL;
    spec = ARENA_NEW(context->arena, struct spec);
    spec->path = tree->path;
    spec->id = id_of(context, tree->path);
    spec->tree = tree;
    context->tables = tables_of(context, tree);
    reader.tables = context->tables;
    reader.spec = spec;
    reader.owner = tree->root->span;
    if (tree->root->child)
        reader.owner = tree->root->child->key_span;
    read_map(&reader, &spec_fields, tree->root, spec);
    if ((child_meant(&spec_fields, tree->root, "use") && !tree_child(tree->root, "use")) ||
        (child_meant(&spec_fields, tree->root, "base") && !tree_child(tree->root, "base")))
        return NULL; /* a slip in these, told: what they would have brought is missing everywhere */
    entries_make(&reader, tree->root);
    entries_read(&reader);
    read_sheets(&reader);
    link_entries(&reader);
    agree_values(&reader);
    return context->diags.errors > errors ? NULL : spec;
}

struct group *spec_group(const struct spec *spec, const char *id)
{
    size_t low = 0, high = spec->by_id ? spec->groups.count : 0;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(spec->by_id[middle]->id, id) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low < spec->groups.count && spec->by_id && str_equal(spec->by_id[low]->id, id)
               ? spec->by_id[low]
               : NULL;
}

struct entry *spec_member(const struct spec *spec, const char *member)
{
    const char *slash = strchr(member, '/');
    char id[BOUND_ID_BYTES + 1];
    size_t length = slash ? (size_t)(slash - member) : strlen(member);
    const struct group *group;

    if (length >= sizeof id)
        return NULL;
    memcpy(id, member, length);
    id[length] = '\0';
    group = spec_group(spec, id);
    for (size_t i = 0; group && i < group->member_count; i++)
        if (str_equal(group->members[i]->member, member))
            return group->members[i];
    return NULL;
}

const struct consumable *spec_consumable(const struct spec *spec, const char *id)
{
    for (size_t i = 0; i < spec->consumables.count; i++)
        if (str_equal(spec->consumables.items[i].id, id))
            return &spec->consumables.items[i];
    return NULL;
}

const struct sheet_material *spec_sheet(const struct spec *spec, const char *id)
{
    for (size_t i = 0; id && i < spec->sheets.count; i++)
        if (str_equal(spec->sheets.items[i].id, id))
            return &spec->sheets.items[i];
    return NULL;
}

const struct supplier *spec_supplier(const struct spec *spec, const char *id)
{
    for (size_t i = 0; id && i < spec->suppliers.count; i++)
        if (str_equal(spec->suppliers.items[i].id, id))
            return &spec->suppliers.items[i];
    return NULL;
}

bool spec_names(const struct refs *refs, const struct entry *entry)
{
    for (size_t i = 0; i < refs->to_count; i++)
        if (refs->to[i] == entry)
            return true;
    return false;
}

struct part *spec_part(struct entry *entry)
{
    return entry && entry->kind == ENTRY_PART ? (struct part *)entry : NULL;
}

struct joint *spec_joint(struct entry *entry)
{
    return entry && entry->kind == ENTRY_JOINT ? (struct joint *)entry : NULL;
}

int64_t part_quantity(const struct part *part)
{
    return part->quantity.present ? part->quantity.value : 1;
}

const char *spec_kind_name(enum entry_kind kind)
{
    return sections[kind].name;
}

const char *spec_section_name(enum entry_kind kind)
{
    return sections[kind].key;
}

/* ---------- warnings ---------- */

struct diag *spec_warn(struct context *context, struct entry *entry, enum diag_code code,
                       struct span span, const char *format, ...)
{
    va_list arguments;
    const char *message;

    for (size_t i = 0; i < entry->accept.count; i++)
        if (str_equal(entry->accept.items[i].code, diag_infos[code].printed)) {
            entry->accept.items[i].used = true;
            return NULL;
        }
    va_start(arguments, format);
    message = str_vprint(context->arena, format, arguments);
    va_end(arguments);
    return diag_add(&context->diags, code, span, "%s", message);
}

void spec_keep_accepts(struct entry *entry)
{
    for (size_t i = 0; i < entry->accept.count; i++)
        entry->accept.items[i].used = true;
}

/* Members share the text of their `accept`: it is used when one of them uses it. */
static bool used_by_any(const struct group *group, const struct accept *accept)
{
    for (size_t i = 0; i < group->member_count; i++)
        for (size_t k = 0; k < group->members[i]->accept.count; k++) {
            const struct accept *other = &group->members[i]->accept.items[k];
            if (other->used && str_equal(other->code, accept->code))
                return true;
        }
    return false;
}

void spec_report_unused_accepts(struct context *context, const struct spec *spec)
{
    for (size_t i = 0; i < spec->entries.count; i++) {
        const struct entry *entry = spec->entries.items[i];
        for (size_t k = 0; k < entry->accept.count; k++) {
            const struct accept *accept = &entry->accept.items[k];
            struct diag *diag;

            if (used_by_any(entry->group, accept))
                continue;
            diag = diag_add(&context->diags, DIAG_SPEC_ACCEPT_UNUSED, accept->span,
                            "%s: nothing is left to accept under %s", entry->id, accept->code);
            diag_hint(&context->diags, diag, "take the line out");
        }
    }
}
