/* entries.c - ids become groups, groups become members at their places, members are read.
 *
 * First all ids of all sections (one name space), then their places (an `each` may name any other
 * entry), then the members, in the order of the file. */
#include "spec_private.h"

#include <stdlib.h>
#include <string.h>

/* ---------- ids ---------- */

/* Words of a-z and 0-9, joined by '-'. */
bool id_is_good(const char *id)
{
    bool in_word = false;

    for (const char *at = id; *at; at++) {
        bool letter = (*at >= 'a' && *at <= 'z') || (*at >= '0' && *at <= '9');
        if (!letter && (*at != '-' || !in_word))
            return false;
        in_word = letter;
    }
    return in_word && strlen(id) <= BOUND_ID_BYTES;
}

/* What the id was likely meant to be, or NULL. */
static const char *good_id_like(struct reader *reader, const char *id)
{
    struct str_buf buf = {.arena = reader->arena};

    for (const char *at = id; *at; at++) {
        char letter = *at >= 'A' && *at <= 'Z' ? (char)(*at - 'A' + 'a') : *at;
        if (letter == '_' || letter == ' ' || letter == '.' || letter == '/')
            letter = '-';
        str_add_bytes(&buf, &letter, 1);
    }
    return buf.bytes && id_is_good(buf.bytes) ? buf.bytes : NULL;
}

void check_id(struct reader *reader, const struct node *entry)
{
    const char *like;
    struct diag *diag;

    if (id_is_good(entry->key))
        return;
    if (strlen(entry->key) > BOUND_ID_BYTES) {
        fault(reader, DIAG_SPEC_BAD_ID, entry->key_span, "the id has %zu bytes, expected at most %d",
              strlen(entry->key), BOUND_ID_BYTES);
        return;
    }
    diag = fault(reader, DIAG_SPEC_BAD_ID, entry->key_span, "'%s' is no id", entry->key);
    like = good_id_like(reader, entry->key);
    if (strstr(entry->key, " {"))
        fault_hint(reader, diag, "put a colon before the {");
    else if (like)
        fault_fix(reader, diag, entry->key_span, like);
    fault_hint(reader, diag, "small letters and digits, words joined by '-'");
}

/* ---------- groups ---------- */

static int by_id(const void *a, const void *b)
{
    const struct group *const *left = a, *const *right = b;
    int order = strcmp((*left)->id, (*right)->id);

    if (order == 0)
        order = (*left)->order < (*right)->order ? -1 : 1;
    return order;
}

static void sort_groups(struct reader *reader)
{
    struct spec *spec = reader->spec;

    spec->by_id = ARENA_ARRAY(reader->arena, struct group *, spec->groups.count + 1);
    for (size_t i = 0; i < spec->groups.count; i++)
        spec->by_id[i] = spec->groups.items[i];
    qsort(spec->by_id, spec->groups.count, sizeof *spec->by_id, by_id);
    for (size_t i = 1; i < spec->groups.count; i++) {
        const struct group *first = spec->by_id[i - 1];
        struct group *second = spec->by_id[i];
        struct diag *diag;

        if (!str_equal(first->id, second->id))
            continue;
        diag = fault(reader, DIAG_SPEC_DUPLICATE_ID, second->span, "'%s' is the id of %s %s already",
                     second->id, strchr("aeiou", spec_kind_name(first->kind)[0]) ? "an" : "a",
                     spec_kind_name(first->kind));
        fault_label(reader, diag, first->span, "the other '%s'", first->id);
        fault_hint(reader, diag,
                   "all sections that lead to operations share one name space: rename one of the two");
        second->broken = true;
    }
}

static void make_group(struct reader *reader, enum entry_kind kind, const struct node *node)
{
    struct group *group = ARENA_NEW(reader->arena, struct group);

    group->id = node->key;
    group->kind = kind;
    group->span = node->key_span;
    group->order = reader->spec->groups.count;
    *ARRAY_PUSH(reader->arena, &reader->spec->groups) = group;
    check_id(reader, node);
    group->node = applies_choose(reader, node, group);
    if (group->node && group->node->kind != NODE_MAP && !id_is_good(group->id)) {
        group->broken = true; /* "piston {in: rod}" without its colon: told as the id */
        group->node = NULL;
    } else if (group->node && group->node->kind != NODE_MAP) {
        fault_keys(reader, sections[kind].fields, group->id, group->node);
        group->broken = true;
        group->node = NULL;
    }
}

static enum entry_kind kind_of_section(const char *key)
{
    const char *meant = key_meant(&spec_fields, key);
    int kind = 0;

    if (meant)
        key = meant; /* a slip, told when the root was read */
    while (kind < ENTRY_KIND_COUNT && !str_equal(sections[kind].key, key))
        kind++;
    return (enum entry_kind)kind;
}

/* ---------- places of groups ---------- */

enum visit { NOT_SEEN, BEING_SEEN, SEEN };

static const struct node *each_of(const struct group *group)
{
    return child_meant(sections[group->kind].fields, group->node, "each");
}

static void resolve_each(struct reader *reader, struct group *group, unsigned char *visits);

static void each_by_name(struct reader *reader, struct group *group, const struct node *each,
                         unsigned char *visits)
{
    const struct spec *spec = reader->spec;
    struct group *other;
    const char **names;
    size_t count = 0;
    struct diag *diag;

    group->each = places_named(spec, each->text);
    if (group->each)
        return;
    other = spec_group(spec, each->text);
    group->broken = true;
    if (reader->engine_faulty && other == group)
        return;
    if (other && other->node && each_of(other)) {
        if (visits[other->order] == BEING_SEEN) {
            diag = fault(reader, DIAG_SPEC_EACH_LOOP, each->span,
                         "each: %s takes its places from %s, and so back to itself", group->id,
                         other->id);
            fault_hint(reader, diag, "name the places under `engine: places`, or list them");
            return;
        }
        resolve_each(reader, other, visits);
        group->each = other->each;
        group->broken = other->each == NULL;
        return;
    }
    if (other && other->broken)
        return;
    if (other && !other->node) {
        diag = fault(reader, DIAG_SPEC_ABSENT, each->span,
                     "each: %s is not for this engine", other->id);
        fault_hint(reader, diag, "name the places under `engine: places`, or list them");
        fault_label(reader, diag, other->span, "it has `applies`");
        return;
    }
    if (reader->engine_faulty)
        return;
    const char *message =
        str_print(reader->arena, "each: there are no places called '%s'", each->text);
    diag = other ? fault_each(reader, DIAG_SPEC_UNKNOWN_PLACES, each->span, other->id, message)
                 : fault_once(reader, DIAG_SPEC_UNKNOWN_PLACES, each->span, each->text, message);
    if (!diag)
        return;
    names = ARENA_ARRAY(reader->arena, const char *, spec->engine.places.count + spec->groups.count);
    for (size_t i = 0; i < spec->engine.places.count; i++)
        names[count++] = spec->engine.places.items[i]->name;
    for (size_t i = 0; i < spec->groups.count; i++)
        if (spec->groups.items[i]->node && each_of(spec->groups.items[i]))
            names[count++] = spec->groups.items[i]->id;
    if (str_equal(each->text, "cylinder"))
        fault_hint(reader, diag, "say under `engine` how many cylinders there are");
    fault_nearest(reader, diag, each->span, each->text, names, count);
}

static void resolve_each(struct reader *reader, struct group *group, unsigned char *visits)
{
    const struct node *each = group->node ? each_of(group) : NULL;

    if (visits[group->order] != NOT_SEEN)
        return;
    visits[group->order] = BEING_SEEN;
    if (each && each->kind == NODE_SCALAR) {
        each_by_name(reader, group, each, visits);
    } else if (each && each->kind == NODE_LIST) {
        group->each = places_inline(reader, each);
        group->broken |= group->each == NULL;
    } else if (each) {
        fault(reader, DIAG_SPEC_WRONG_KIND, each->span,
              "each takes the name of places, or a list of them");
        group->broken = true;
    }
    visits[group->order] = SEEN;
}

/* ---------- members ---------- */

static void make_member(struct reader *reader, struct group *group, const char *place)
{
    const struct section *section = &sections[group->kind];
    struct entry *entry = arena_alloc(reader->arena, section->fields->size);
    struct spec *spec = reader->spec;

    entry->kind = group->kind;
    entry->group = group;
    entry->id = group->id;
    entry->place = place;
    entry->member = place ? str_print(reader->arena, "%s/%s", group->id, place) : group->id;
    entry->span = group->span;
    entry->order = spec->entries.count;
    reader->entry = entry;
    entry->node = place ? places_expand(reader, group->node, group->each, place) : group->node;
    reader->entry = NULL;
    group->members[group->member_count++] = entry;
    *ARRAY_PUSH(reader->arena, &spec->entries) = entry;
    *(struct entry **)list_push(reader, (char *)spec + section->list, sizeof entry) = entry;
}

static void make_members(struct reader *reader, struct group *group)
{
    size_t count = group->each ? group->each->count : 1;

    if (!group->node || (each_of(group) && !group->each))
        return;
    if (reader->spec->entries.count + count > BOUND_ENTRIES) {
        fault(reader, DIAG_SPEC_NUMBER_RANGE, group->span,
              "more than %d entries, each counted at each of its places", BOUND_ENTRIES);
        return;
    }
    group->members = ARENA_ARRAY(reader->arena, struct entry *, count);
    for (size_t i = 0; i < count; i++)
        make_member(reader, group, group->each ? group->each->items[i] : NULL);
}

void entries_make(struct reader *reader, const struct node *root)
{
    struct spec *spec = reader->spec;
    unsigned char *visits;

    for (const struct node *section = root->child; section; section = section->next) {
        enum entry_kind kind = kind_of_section(section->key);

        if (kind == ENTRY_KIND_COUNT)
            continue;
        if (section->kind != NODE_MAP) {
            fault_hint(reader, fault(reader, DIAG_SPEC_WRONG_KIND, section->span,
                                     "%s takes ids, each with its keys", section->key),
                       "write {ID: {...}}");
            continue;
        }
        for (const struct node *node = section->child; node; node = node->next)
            make_group(reader, kind, node);
    }
    sort_groups(reader);
    visits = ARENA_ARRAY(reader->arena, unsigned char, spec->groups.count + 1);
    for (size_t i = 0; i < spec->groups.count; i++)
        resolve_each(reader, spec->groups.items[i], visits);
    for (size_t i = 0; i < spec->groups.count; i++)
        make_members(reader, spec->groups.items[i]);
}

static void read_member(struct reader *reader, struct entry *entry)
{
    const struct node *name = tree_child(entry->group->node, "name");

    reader->entry = entry;
    reader->each = entry->group->each;
    reader->owner = entry->span;
    read_map(reader, sections[entry->kind].fields, entry->node, entry);
    entry->crank_at_span = entry->crank_at_text.span;
    entry->shown = entry->name.text ? entry->name.text : entry->id;
    /* A name of its own for each place says the place already. */
    if (entry->place && !(entry->name.text && name && name->kind == NODE_MAP &&
                          !tree_child(name, "is")))
        entry->shown = str_print(reader->arena, "%s %s", entry->shown, entry->place);
}

void entries_read(struct reader *reader)
{
    struct spec *spec = reader->spec;

    for (size_t i = 0; i < spec->entries.count; i++)
        read_member(reader, spec->entries.items[i]);
    reader->entry = NULL;
}
