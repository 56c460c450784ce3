/* kinds.c - what only one key needs: the sizes of a part, and a pick as made. */
#include "spec_private.h"

#include <string.h>

static void fault_size_places(struct reader *reader, const struct node *each,
                              const struct group *other)
{
    const struct engine *engine = &reader->spec->engine;
    const char **names = ARENA_ARRAY(reader->arena, const char *, engine->places.count + 1);
    const char *message =
        str_print(reader->arena, "each: there are no places called '%s'", each->text);
    struct diag *diag =
        other ? fault_each(reader, DIAG_SPEC_UNKNOWN_PLACES, each->span, other->id, message)
              : fault_once(reader, DIAG_SPEC_UNKNOWN_PLACES, each->span, each->text, message);

    if (!diag)
        return;
    for (size_t i = 0; i < engine->places.count; i++)
        names[i] = engine->places.items[i]->name;
    fault_nearest(reader, diag, each->span, each->text, names, engine->places.count);
    fault_hint(reader, diag, "cylinder, a name under `engine: places`, or a list");
}

static const struct places *size_places(struct reader *reader, const struct node *node, bool *good)
{
    const struct node *each = child_meant(&size_fields, node, "each");
    const struct places *places = NULL;
    struct group *other;

    *good = true;
    if (!each)
        return NULL;
    if (each->kind == NODE_LIST) {
        places = places_inline(reader, each);
    } else if (each->kind == NODE_SCALAR) {
        places = places_named(reader->spec, each->text);
        other = places ? NULL : spec_group(reader->spec, each->text);
        if (other)
            places = other->each;
        if (!places && !reader->engine_faulty && !(other && other->broken))
            fault_size_places(reader, each, other);
    } else {
        fault(reader, DIAG_SPEC_WRONG_KIND, each->span,
              "each takes the name of places, or a list of them");
    }
    *good = places != NULL;
    return places;
}

static void read_size(struct reader *reader, const struct node *node, struct part *part,
                      const struct places *each, const char *place)
{
    struct size *size = ARENA_NEW(reader->arena, struct size);

    size->name = node->key;
    size->place = place;
    size->each = each;
    size->part = part;
    size->id = str_print(reader->arena, "%s.%s%s%s", part->e.member, node->key, place ? "/" : "",
                         place ? place : "");
    reader->each = each ? each : reader->entry->group->each;
    reader->size = str_print(reader->arena, "%s.%s", part->e.id, node->key);
    read_map(reader, &size_fields, place ? places_expand(reader, node, each, place) : node, size);
    reader->each = reader->entry->group->each;
    reader->size = NULL;
    size->span = node->key_span;
    *ARRAY_PUSH(reader->arena, &part->sizes) = size;
}

void read_sizes(struct reader *reader, const struct node *node, struct part *part)
{
    struct span owner = reader->owner;

    if (node->kind != NODE_MAP) {
        struct field named = {.key = "sizes"};
        fault_kind(reader, &named, node, "names, each with its size");
        return;
    }
    for (const struct node *child = node->child; child; child = child->next) {
        const struct places *each;
        bool good;

        check_id(reader, child);
        reader->owner = child->key_span;
        each = size_places(reader, child, &good);
        part->sizes_broken |= !good;
        if (good && !each)
            read_size(reader, child, part, NULL, NULL);
        for (size_t i = 0; good && each && i < each->count; i++)
            read_size(reader, child, part, each, each->items[i]);
    }
    reader->owner = owner;
}

/* Names of loose pieces, or sizes sold: `b`, [a, b], [0.15 mm, 0.25 mm]. */
void read_fitted(struct reader *reader, const struct node *node, struct fitted *out)
{
    static const struct field name = {.key = "fitted"};
    static const struct field size = {
        .key = "fitted", .dims = DIM(LENGTH), .takes = QTY_TAKE_ONE | QTY_TAKE_LIMITS};
    const struct node *child = node->kind == NODE_LIST ? node->child : node;

    out->present = true;
    out->span = node->span;
    for (; child; child = node->kind == NODE_LIST ? child->next : NULL) {
        if (child->kind != NODE_SCALAR)
            fault_kind(reader, &name, child, "names of pieces, or sizes, one or a list");
        else if (looks_like_quantity(child) && !id_is_good(child->text))
            read_claim(reader, &size, child, ARRAY_PUSH(reader->arena, &out->sizes));
        else
            read_text(reader, &name, child, ARRAY_PUSH(reader->arena, &out->names));
    }
}
