/* places.c - the places of the engine, and values by place.
 *
 * A place is an id word or several; `ring: {cylinder: [top, second]}` makes 1-top, 1-second, 2-top and
 * so on. Inside an `each` entry a mapping whose keys are all its places, or `others`, stands for the
 * value at the place at hand. */
#include "spec_private.h"

#include <string.h>

/* ---------- lists of places ---------- */

static bool place_is_good(struct reader *reader, const struct node *node)
{
    static const char *const taken[] = {"is", "want", "measured", "others"};

    for (size_t i = 0; i < sizeof taken / sizeof *taken; i++)
        if (str_equal(node->text, taken[i])) {
            fault_hint(reader, fault(reader, DIAG_SPEC_PLACE_NAME, node->span,
                                     "a place cannot be called '%s': that is a key of the language",
                                     node->text),
                       "another word, such as %s-side", node->text);
            return false;
        }
    if (id_is_good(node->text))
        return true;
    fault_hint(reader, fault(reader, DIAG_SPEC_PLACE_NAME, node->span,
                             "'%s' is no name for a place", node->text),
               "small letters and digits, words joined by '-'");
    return false;
}

static struct places *places_new(struct reader *reader, const char *name, struct span span,
                                 size_t room)
{
    struct places *places = ARENA_NEW(reader->arena, struct places);

    places->name = name;
    places->span = span;
    places->items = ARENA_ARRAY(reader->arena, const char *, room + 1);
    return places;
}

/* A list of words as places; NULL after an error. */
static struct places *places_of(struct reader *reader, const struct node *list, const char *name)
{
    struct places *places;

    if (list->kind != NODE_LIST) {
        fault(reader, DIAG_SPEC_WRONG_KIND, list->span, "%s takes a list of places", name);
        return NULL;
    }
    if (list->count > BOUND_PLACES) {
        fault(reader, DIAG_SPEC_NUMBER_RANGE, list->span,
              "%zu places, expected at most %d", list->count, BOUND_PLACES);
        return NULL;
    }
    places = places_new(reader, name, list->span, list->count);
    for (const struct node *child = list->child; child; child = child->next) {
        if (child->kind != NODE_SCALAR) {
            fault(reader, DIAG_SPEC_WRONG_KIND, child->span, "a place is one word");
            return NULL;
        }
        if (!place_is_good(reader, child))
            return NULL;
        if (places_index(places, child->text) < places->count) {
            fault_hint(reader, fault(reader, DIAG_SPEC_PLACE_NAME, child->span,
                                     "the place '%s' stands twice", child->text),
                       "take one of the two out");
            return NULL;
        }
        places->items[places->count++] = child->text;
    }
    if (places->count == 0) {
        fault(reader, DIAG_SPEC_FORM, list->span, "%s has no places", name);
        return NULL;
    }
    return places;
}

size_t places_index(const struct places *places, const char *place)
{
    size_t i = 0;

    while (i < places->count && !str_equal(places->items[i], place))
        i++;
    return i;
}

bool places_same(const struct places *a, const struct places *b)
{
    if (a == b)
        return true;
    if (!a || !b || a->count != b->count)
        return false;
    for (size_t i = 0; i < a->count; i++)
        if (!str_equal(a->items[i], b->items[i]))
            return false;
    return true;
}

bool place_within(const char *place, const char *coarser)
{
    size_t length = strlen(coarser);

    return strncmp(place, coarser, length) == 0 && (place[length] == '\0' || place[length] == '-');
}

const struct places *places_named(const struct spec *spec, const char *name)
{
    for (size_t i = 0; i < spec->engine.places.count; i++)
        if (str_equal(spec->engine.places.items[i]->name, name))
            return spec->engine.places.items[i];
    return NULL;
}

const struct places *places_inline(struct reader *reader, const struct node *list)
{
    return places_of(reader, list, "each");
}

void read_cylinders(struct reader *reader, const struct node *node, struct engine *engine)
{
    struct places *places;
    int64_t count;

    if (node->kind == NODE_SCALAR) {
        if (!str_to_int(node->text, &count) || count < 1 || count > BOUND_PLACES) {
            fault(reader, DIAG_SPEC_NUMBER, node->span,
                  "cylinders takes a number from 1 to %d, or a list of names, found '%s'",
                  BOUND_PLACES, node->text);
            reader->engine_faulty = true;
            return;
        }
        places = places_new(reader, "cylinder", node->span, (size_t)count);
        while (places->count < (size_t)count) {
            places->items[places->count] = str_print(reader->arena, "%zu", places->count + 1);
            places->count++;
        }
    } else {
        places = places_of(reader, node, "cylinders");
        reader->engine_faulty |= places == NULL;
        if (!places)
            return;
        places->name = "cylinder";
    }
    engine->cylinders = places->items;
    engine->cylinder_count = places->count;
    *ARRAY_PUSH(reader->arena, &engine->places) = places;
}

/* {cylinder: [top, second, oil]}: every place of the outer list with every word. */
static struct places *places_nested(struct reader *reader, const struct node *node)
{
    const struct node *inner = node->child;
    const struct places *outer;
    struct places *words, *places;

    if (node->count != 1) {
        fault(reader, DIAG_SPEC_FORM, node->span,
              "places within places name one list, such as {cylinder: [top, oil]}");
        return NULL;
    }
    outer = places_named(reader->spec, inner->key);
    if (!outer && reader->engine_faulty)
        return NULL;
    if (!outer) {
        const struct engine *engine = &reader->spec->engine;
        const char **names = ARENA_ARRAY(reader->arena, const char *, engine->places.count + 1);

        for (size_t i = 0; i < engine->places.count; i++)
            names[i] = engine->places.items[i]->name;
        fault_nearest(reader, fault(reader, DIAG_SPEC_UNKNOWN_PLACES, inner->key_span,
                                    "there are no places called '%s' before these", inner->key),
                      inner->key_span, inner->key, names, engine->places.count);
        return NULL;
    }
    words = places_of(reader, inner, node->key);
    if (!words)
        return NULL;
    if (words->count * outer->count > BOUND_PLACES) {
        fault(reader, DIAG_SPEC_NUMBER_RANGE, node->span, "%zu places, expected at most %d",
              words->count * outer->count, BOUND_PLACES);
        return NULL;
    }
    places = places_new(reader, node->key, node->span, words->count * outer->count);
    for (size_t i = 0; i < outer->count; i++)
        for (size_t k = 0; k < words->count; k++)
            places->items[places->count++] =
                str_print(reader->arena, "%s-%s", outer->items[i], words->items[k]);
    return places;
}

void read_places(struct reader *reader, const struct node *node, struct engine *engine)
{
    if (node->kind != NODE_MAP) {
        fault(reader, DIAG_SPEC_WRONG_KIND, node->span,
              "places takes names, each with its list");
        return;
    }
    for (const struct node *child = node->child; child; child = child->next) {
        struct places *places;

        if (str_equal(child->key, "cylinder")) {
            fault_hint(reader, fault(reader, DIAG_SPEC_PLACE_NAME, child->key_span,
                                     "the cylinders are named by `cylinders`"),
                       "cylinders: [front, rear]");
            continue;
        }
        check_id(reader, child);
        places = child->kind == NODE_MAP ? places_nested(reader, child)
                                         : places_of(reader, child, child->key);
        if (places)
            *ARRAY_PUSH(reader->arena, &engine->places) = places;
    }
}

/* ---------- values by place ---------- */

/* All keys are places or `others`, or one is `others`: then the rest ought to be. */
static bool is_by_place(const struct node *node, const struct places *places)
{
    size_t known = 0;

    for (const struct node *child = node->child; child; child = child->next) {
        if (str_equal(child->key, "others"))
            return true;
        known += places_index(places, child->key) < places->count;
    }
    return known > 0 && known == node->count;
}

/* After an error any value will do: the fault is told, the rest is read on. */
static const struct node *value_at(struct reader *reader, const struct node *node,
                                   const struct places *places, const char *place)
{
    const struct node *value = tree_child(node, place), *missing = NULL;
    struct str_buf lacking = {.arena = reader->arena};
    struct diag *diag;

    for (const struct node *child = node->child; child; child = child->next)
        if (!str_equal(child->key, "others") &&
            places_index(places, child->key) == places->count) {
            fault_place(reader, child, places, reader->entry->id);
            return node->child;
        }
    if (tree_child(node, "others"))
        return value ? value : tree_child(node, "others");
    for (size_t i = 0; i < places->count; i++)
        if (!tree_child(node, places->items[i])) {
            missing = node;
            str_add_print(&lacking, "%s%s", lacking.length ? ", " : "", places->items[i]);
        }
    if (!missing)
        return value;
    diag = fault(reader, DIAG_SPEC_PLACE_MISSING, node->key_span, "%s: no value for %s", node->key,
                 lacking.bytes);
    fault_hint(reader, diag, "add it, or others: for all the rest");
    return node->child;
}

static struct node *copy_under(struct reader *reader, const struct node *value,
                               const struct node *from)
{
    struct node *copy = ARENA_NEW(reader->arena, struct node);

    *copy = *value;
    copy->key = from->key;
    copy->key_span = from->key_span;
    copy->next = NULL;
    return copy;
}

/* The children of `node` at `place`, in a copy only where something differs. `top` is the entry
 * itself, which is no value. A size with places of its own is left to them. */
static const struct node *expand(struct reader *reader, const struct node *node,
                                 const struct places *places, const char *place, bool top)
{
    struct node *copy = NULL, **end = NULL;

    if (node->kind == NODE_SCALAR || (!top && node->kind == NODE_MAP && tree_child(node, "each")))
        return node;
    if (!top && node->kind == NODE_MAP && is_by_place(node, places))
        return copy_under(reader, value_at(reader, node, places, place), node);
    for (const struct node *child = node->child; child; child = child->next) {
        const struct node *at = top && str_equal(child->key, "each")
                                    ? child
                                    : expand(reader, child, places, place, false);
        if (at == child && !copy)
            continue;
        if (!copy) {
            copy = copy_under(reader, node, node);
            copy->child = NULL;
            copy->count = 0;
            end = &copy->child;
            for (const struct node *before = node->child; before != child; before = before->next) {
                *end = copy_under(reader, before, before);
                end = &(*end)->next;
                copy->count++;
            }
        }
        *end = copy_under(reader, at, child);
        end = &(*end)->next;
        copy->count++;
    }
    return copy ? copy : node;
}

const struct node *places_expand(struct reader *reader, const struct node *node,
                                 const struct places *places, const char *place)
{
    return expand(reader, node, places, place, true);
}
