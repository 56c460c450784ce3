/* read.c - the one engine: a mapping read into a struct by its table of fields, and its references
 * linked by the same table. */
#include "spec_private.h"

#include <assert.h>
#include <string.h>

enum { MOST_FIELDS = 96 };

struct list list_load(const void *at)
{
    struct list list;

    memcpy(&list, at, sizeof list);
    return list;
}

void *list_push(struct reader *reader, void *at, size_t size)
{
    struct list list = list_load(at);

    list.items = arena_grow(reader->arena, list.items, list.count, &list.room, size);
    list.count++;
    memcpy(at, &list, sizeof list);
    return (char *)list.items + (list.count - 1) * size;
}

const struct field *field_at(const struct fields *fields, size_t index)
{
    if (fields->base) {
        if (index < fields->base->count)
            return &fields->base->items[index];
        index -= fields->base->count;
    }
    return index < fields->count ? &fields->items[index] : NULL;
}

const struct field *field_find(const struct fields *fields, const char *key)
{
    const struct field *field;

    for (size_t i = 0; (field = field_at(fields, i)); i++)
        if (str_equal(field->key, key))
            return field;
    return NULL;
}

const char *key_meant(const struct fields *fields, const char *key)
{
    const char *keys[MOST_FIELDS];
    const struct field *field;
    size_t count = 0;

    if (field_find(fields, key))
        return NULL;
    for (; count < MOST_FIELDS && (field = field_at(fields, count)); count++)
        keys[count] = field->key;
    return str_nearest(key, keys, count);
}

const struct node *child_meant(const struct fields *fields, const struct node *map, const char *key)
{
    const struct node *child = map->kind == NODE_MAP ? tree_child(map, key) : NULL;

    for (const struct node *at = map->child; !child && map->kind == NODE_MAP && at; at = at->next)
        if (str_equal(key_meant(fields, at->key), key))
            return at;
    return child;
}

/* The slip is told; what the key says is read for the key it was meant to be, in silence. */
static void read_slip(struct reader *reader, const struct field *field, const struct node *node,
                      void *out)
{
    struct diags *diags = &reader->context->diags;
    size_t before = diags->count;

    read_field(reader, field, node, out);
    while (diags->count > before)
        diag_remove(diags, diags->items[diags->count - 1]);
}

static void unknown_key(struct reader *reader, const struct fields *fields,
                        const struct node *child)
{
    const char *keys[MOST_FIELDS];
    const struct field *field;
    size_t count = 0;
    struct diag *diag;

    diag = fault(reader, DIAG_SPEC_UNKNOWN_KEY, child->key_span, "%s has no key '%s'",
                 fields->title, child->key);
    /* Its own before those that every entry has. */
    for (size_t base = fields->base ? fields->base->count : 0;
         count < MOST_FIELDS && (field = field_at(fields, base + count)); count++)
        keys[count] = field->key;
    for (size_t i = 0; fields->base && i < fields->base->count && count < MOST_FIELDS; i++)
        keys[count++] = fields->base->items[i].key;
    fault_nearest(reader, diag, child->key_span, child->key, keys, count);
}

static void set_place(const struct fields *fields, void *out, const struct node *node)
{
    const bool yes = true;

    if (fields->present != NOWHERE)
        memcpy((char *)out + fields->present, &yes, sizeof yes);
    if (fields->span != NOWHERE)
        memcpy((char *)out + fields->span, &node->span, sizeof node->span);
}

static size_t index_of(const struct fields *fields, const char *key)
{
    const struct field *field;
    size_t i = 0;

    while ((field = field_at(fields, i)) && !str_equal(field->key, key))
        i++;
    assert(i < MOST_FIELDS);
    return i;
}

/* One value of a key that is known. */
static void read_known(struct reader *reader, const struct field *field, const struct node *node,
                       void *out)
{
    struct span owner = reader->owner;
    size_t errors = reader->context->diags.errors;

    if (field->flags & NEEDED && node->kind == NODE_LIST && node->count == 0) {
        fault_hint(reader, fault(reader, DIAG_SPEC_MISSING_KEY, node->span, "%s: the list is empty",
                                 field->key),
                   "%s: %s", field->key, field->help);
        return;
    }
    if (field->kind == FIELD_MAP || field->kind == FIELD_LIST)
        reader->owner = node->key_span;
    read_field(reader, field, node, out);
    reader->owner = owner;
    if (field->flags & FOUNDATION && reader->context->diags.errors > errors) {
        reader->engine_faulty |= str_equal(field->key, "engine");
        reader->lists_faulty |= node->kind != NODE_MAP;
    }
}

/* The mapping's children in the order of the table: what others rest on comes first there. A slip is
 * told, and read for what it was meant to be unless that is there too. */
static void read_children(struct reader *reader, const struct fields *fields,
                          const struct node *node, void *out)
{
    const struct node *values[MOST_FIELDS] = {0};
    const struct field *field;

    if (fault_places(reader, fields, node))
        return;
    for (const struct node *child = node->child; child; child = child->next)
        if (field_find(fields, child->key))
            values[index_of(fields, child->key)] = child;
    for (const struct node *child = node->child; child; child = child->next) {
        const char *meant = key_meant(fields, child->key);

        if (field_find(fields, child->key))
            continue;
        unknown_key(reader, fields, child);
        if (!meant || values[index_of(fields, meant)])
            continue;
        values[index_of(fields, meant)] = child;
        read_slip(reader, field_find(fields, meant), child, out);
    }
    for (size_t i = 0; (field = field_at(fields, i)); i++) {
        if (values[i] && str_equal(values[i]->key, field->key))
            read_known(reader, field, values[i], out);
        else if (!values[i] && field->flags & NEEDED && !child_meant(fields, node, "like"))
            fault_hint(reader, fault(reader, DIAG_SPEC_MISSING_KEY, reader->owner,
                                     "%s needs the key '%s'", fields->title, field->key),
                       "%s: %s", field->key, field->help);
    }
}

/* A scalar, or where the bare key is a point the two lengths of one. */
static bool bare_value(const struct fields *fields, const struct node *node)
{
    return fields->bare &&
           (node->kind == NODE_SCALAR ||
            (node->kind == NODE_LIST && field_find(fields, fields->bare)->kind == FIELD_POINTS));
}

void read_map(struct reader *reader, const struct fields *fields, const struct node *node,
              void *out)
{
    set_place(fields, out, node);
    if (fields->whole || bare_value(fields, node)) {
        /* A fault in the bare value is told under the key that was written. */
        struct field bare = *field_find(fields, fields->bare);
        bare.key = node->key ? node->key : bare.key;
        read_field(reader, &bare, node, out);
    } else if (node->kind == NODE_MAP) {
        read_children(reader, fields, node, out);
    } else {
        fault_keys(reader, fields, node->key ? node->key : fields->title, node);
        return;
    }
    if (fields->finish)
        fields->finish(reader, out, node);
}

/* {ID: value, ...}: each under an id of the user's own, or under what the key refers to. */
static void read_table(struct reader *reader, const struct field *field, const struct node *node,
                       void *out)
{
    const struct fields *sub = field->sub;
    struct span owner = reader->owner;
    struct list list = {0};

    if (node->kind != NODE_MAP) {
        fault_hint(reader, fault(reader, DIAG_SPEC_WRONG_KIND, node->span,
                                 "%s takes ids, each with its value", field->key),
                   "write {ID: ...}");
        return;
    }
    /* Whole at once: what is pointed at may not move. */
    list.items = node->count ? arena_array(reader->arena, node->count, sub->size) : NULL;
    list.room = node->count;
    memcpy(out, &list, sizeof list);
    for (const struct node *child = node->child; child; child = child->next) {
        void *item;

        if (!sub->free_keys && !sub->key_field)
            check_id(reader, child);
        item = list_push(reader, out, sub->size);
        if (sub->id != NOWHERE)
            memcpy((char *)item + sub->id, &child->key, sizeof child->key);
        if (sub->key_field) {
            struct node key = {.kind = NODE_SCALAR, .span = child->key_span, .text = child->key};
            read_field(reader, sub->key_field, &key, item);
        }
        reader->owner = child->key_span;
        read_map(reader, sub, child, item);
        if (sub->span != NOWHERE)
            memcpy((char *)item + sub->span, &child->key_span, sizeof child->key_span);
    }
    reader->owner = owner;
}

/* One struct or a list of them. */
static void read_list(struct reader *reader, const struct field *field, const struct node *node,
                      void *out)
{
    const struct node *child = node->kind == NODE_LIST ? node->child : node;

    for (; child; child = node->kind == NODE_LIST ? child->next : NULL) {
        if (node->kind == NODE_LIST)
            reader->owner = child->span;
        read_map(reader, field->sub, child, list_push(reader, out, field->sub->size));
    }
}

static void read_ref(struct reader *reader, const struct field *field, const struct node *node,
                     struct ref *ref)
{
    if (node->kind != NODE_SCALAR) {
        fault_kind(reader, field, node, "one id");
        return;
    }
    ref->text = node->text;
    ref->span = node->span;
}

static void read_refs(struct reader *reader, const struct field *field, const struct node *node,
                      struct refs *refs)
{
    const struct node *child = node->kind == NODE_LIST ? node->child : node;
    bool in_list = node->kind == NODE_LIST;

    refs->present = true;
    refs->span = node->span;
    if (node->kind == NODE_MAP) {
        fault_kind(reader, field, node, "one id or a list of ids");
        return;
    }
    if (field->words && child && (!in_list || !child->next) && child->kind == NODE_SCALAR) {
        refs->all = str_equal(child->text, "all");
        refs->none = str_equal(child->text, "none");
        if (refs->all || refs->none)
            return;
    }
    for (; child; child = in_list ? child->next : NULL)
        read_ref(reader, field, child, ARRAY_PUSH(reader->arena, refs));
}

static void read_size_ref(struct reader *reader, const struct field *field,
                          const struct node *node, struct size_ref *ref)
{
    if (node->kind != NODE_SCALAR) {
        fault_kind(reader, field, node, "one size, such as piston.skirt");
        return;
    }
    ref->text = node->text;
    ref->span = node->span;
}

static void read_size_refs(struct reader *reader, const struct field *field,
                           const struct node *node, struct size_refs *refs)
{
    const struct node *child = node->kind == NODE_LIST ? node->child : node;

    if (node->kind == NODE_MAP) {
        fault_kind(reader, field, node, "one size or a list of sizes");
        return;
    }
    for (; child; child = node->kind == NODE_LIST ? child->next : NULL)
        read_size_ref(reader, field, child, ARRAY_PUSH(reader->arena, refs));
}

static void read_claims(struct reader *reader, const struct field *field, const struct node *node,
                        void *out)
{
    const struct node *child = node->kind == NODE_LIST ? node->child : node;

    for (; child; child = node->kind == NODE_LIST ? child->next : NULL)
        read_claim(reader, field, child, list_push(reader, out, sizeof(struct claim)));
}

static void read_points(struct reader *reader, const struct field *field, const struct node *node,
                        void *out)
{
    bool one = node->kind == NODE_LIST && node->child && node->child->kind == NODE_SCALAR;

    if (node->kind != NODE_LIST || (field->most == 1 && !one)) {
        fault_kind(reader, field, node,
                   field->most == 1 ? "one point, such as [40 mm, 0 mm]"
                                    : "a list of points, such as [[0 mm, 0 mm], [40 mm, 0 mm]]");
        return;
    }
    for (const struct node *child = one ? node : node->child; child;
         child = one ? NULL : child->next) {
        if (child->kind != NODE_LIST || child->count != 2) {
            fault_hint(reader, fault(reader, DIAG_SPEC_FORM, child->span,
                                     "a point is two lengths, x and y"),
                       "write [0 mm, 0 mm]");
            continue;
        }
        read_claims(reader, field, child, out);
    }
}

/* `outside` in place of an id. */
static void read_ref_or_word(struct reader *reader, const struct field *field,
                             const struct node *node, void *out)
{
    struct ref *ref = (struct ref *)((char *)out + field->offset);

    read_ref(reader, field, node, ref);
    if (field->words && str_equal(ref->text, field->words[0])) {
        *(bool *)((char *)out + field->also) = true;
        ref->text = NULL;
    }
}

void read_field(struct reader *reader, const struct field *field, const struct node *node,
                void *out)
{
    void *at = (char *)out + field->offset;

    switch (field->kind) {
    case FIELD_TEXT:
        read_text(reader, field, node, at);
        break;
    case FIELD_TEXTS:
        read_texts(reader, field, node, at);
        break;
    case FIELD_FLAG:
        read_flag(reader, field, node, at);
        break;
    case FIELD_NUMBER:
        read_number(reader, field, node, at);
        break;
    case FIELD_NUMBERS:
        read_numbers(reader, field, node, at);
        break;
    case FIELD_DATE:
        read_date(reader, field, node, at);
        break;
    case FIELD_CLAIM:
        if ((field->flags & OR_WORDS) && !looks_like_quantity(node))
            read_text(reader, field, node, (struct text *)((char *)out + field->also));
        else if ((field->flags & OR_SIZE) && node->kind == NODE_SCALAR && strchr(node->text, '.') &&
                 !looks_like_quantity(node))
            read_size_ref(reader, field, node, (struct size_ref *)((char *)out + field->also));
        else
            read_claim(reader, field, node, at);
        break;
    case FIELD_CLAIMS:
        read_claims(reader, field, node, at);
        break;
    case FIELD_POINTS:
        read_points(reader, field, node, at);
        break;
    case FIELD_CRANK:
        read_crank(reader, field, node, at, (struct qty_crank *)((char *)out + field->also));
        break;
    case FIELD_READINGS:
        read_readings(reader, field, node, at);
        break;
    case FIELD_UNITS:
        read_units(reader, field, node, at);
        break;
    case FIELD_REF:
        read_ref_or_word(reader, field, node, out);
        break;
    case FIELD_LOCK_PART:
        read_ref(reader, field, node, at);
        break;
    case FIELD_REFS:
        read_refs(reader, field, node, at);
        break;
    case FIELD_SIZE_REF:
    case FIELD_SPREAD:
        read_size_ref(reader, field, node, at);
        break;
    case FIELD_SIZE_REFS:
        read_size_refs(reader, field, node, at);
        break;
    case FIELD_MAP:
        read_map(reader, field->sub, node, field->flags & INLINE ? out : at);
        break;
    case FIELD_LIST:
        read_list(reader, field, node, at);
        break;
    case FIELD_TABLE:
        read_table(reader, field, node, at);
        break;
    case FIELD_SIZES:
        read_sizes(reader, node, out);
        break;
    case FIELD_FITTED:
        read_fitted(reader, node, at);
        break;
    case FIELD_CYLINDERS:
        read_cylinders(reader, node, out);
        break;
    case FIELD_PLACES:
        read_places(reader, node, out);
        break;
    case FIELD_SECTION:
    case FIELD_SEEN_TO:
    case FIELD_KIND_COUNT:
        break;
    }
}

/* ---------- linking ---------- */

static void link_items(struct reader *reader, const struct field *field, void *at)
{
    struct list list = list_load(at);

    for (size_t i = 0; i < list.count; i++) {
        void *item = (char *)list.items + i * field->sub->size;

        if (field->sub->key_field && field->sub->key_field->kind == FIELD_REF)
            link_ref(reader, field->sub->key_field,
                     (struct ref *)((char *)item + field->sub->key_field->offset));
        link_map(reader, field->sub, item);
    }
}

static void link_claims(struct reader *reader, const struct field *field, struct claim *claims,
                        size_t count)
{
    for (size_t i = 0; i < count; i++) {
        link_map(reader, &holds_for_fields, &claims[i].holds_for);
        link_name(reader, field, &claims[i].table);
        link_claims(reader, field, claims[i].losers, claims[i].loser_count);
    }
}

static void link_sizes_of(struct reader *reader, struct part *part)
{
    for (size_t i = 0; i < part->sizes.count; i++)
        if (!part->sizes.items[i]->implied)
            link_map(reader, &size_fields, part->sizes.items[i]);
}

/* Of several that share their place only the one that was written is linked. */
static bool is_present(const struct fields *fields, const void *at)
{
    bool present = true;

    if (fields->present != NOWHERE)
        memcpy(&present, (const char *)at + fields->present, sizeof present);
    return present;
}

static void link_field(struct reader *reader, const struct field *field, void *item)
{
    void *at = (char *)item + field->offset;
    struct texts *texts = at;
    struct readings *readings = at;
    struct size_refs *sizes = at;
    struct list list;

    switch (field->kind) {
    case FIELD_TEXT:
        link_name(reader, field, at);
        break;
    case FIELD_TEXTS:
        for (size_t i = 0; i < texts->count; i++)
            link_name(reader, field, &texts->items[i]);
        break;
    case FIELD_CLAIM:
        link_claims(reader, field, at, 1);
        if (field->flags & OR_SIZE)
            link_input(reader, field, (struct size_ref *)((char *)item + field->also));
        break;
    case FIELD_CLAIMS:
        list = list_load(at);
        link_claims(reader, field, list.items, list.count);
        break;
    case FIELD_READINGS:
        for (size_t i = 0; i < readings->count; i++)
            link_reading(reader, &readings->items[i]);
        break;
    case FIELD_REF:
        link_ref(reader, field, at);
        break;
    case FIELD_LOCK_PART:
        link_lock_part(reader, field, at, (struct text *)((char *)item + field->also));
        break;
    case FIELD_REFS:
        link_refs(reader, field, at);
        break;
    case FIELD_SIZE_REF:
        link_size_ref(reader, at);
        break;
    case FIELD_SIZE_REFS:
        for (size_t i = 0; i < sizes->count; i++)
            link_size_ref(reader, &sizes->items[i]);
        break;
    case FIELD_SPREAD:
        link_spread(reader, at, (struct ref *)((char *)item + field->also));
        break;
    case FIELD_MAP:
        if (is_present(field->sub, at))
            link_map(reader, field->sub, field->flags & INLINE ? item : at);
        break;
    case FIELD_LIST:
    case FIELD_TABLE:
        link_items(reader, field, at);
        break;
    case FIELD_SIZES:
        link_sizes_of(reader, item);
        break;
    default:
        break;
    }
}

void link_map(struct reader *reader, const struct fields *fields, void *item)
{
    const struct field *field;

    for (size_t i = 0; (field = field_at(fields, i)); i++)
        link_field(reader, field, item);
    if (fields->finish_links)
        fields->finish_links(reader, item);
}
