/* link.c - references: from ID, ID/PLACE, ID.size to what they mean where they stand.
 *
 * Inside an `each` entry a plain id means mine: same places, the same place; coarser, that one;
 * finer, all whose first words are mine; unrelated, all. Where one is meant, more than one is the
 * error "which?". */
#include "spec_private.h"

#include <string.h>

/* Bytes [begin, end) of a reference, where its text stands in the file as it is. */
static struct span part_of(struct span span, const char *text, size_t begin, size_t end)
{
    struct span part = span;

    if (span.end - span.begin != strlen(text))
        return span;
    part.begin = span.begin + (uint32_t)begin;
    part.end = span.begin + (uint32_t)end;
    return part;
}

static const char *kinds_in_words(struct reader *reader, unsigned targets)
{
    struct str_buf words = {.arena = reader->arena};

    if (targets == TO_ANY)
        return "an entry";
    for (int kind = 0; kind < ENTRY_KIND_COUNT; kind++)
        if (targets & 1u << kind)
            str_add_print(&words, "%s%s %s", words.length ? " or " : "",
                          strchr("aeiou", sections[kind].name[0]) ? "an" : "a",
                          sections[kind].name);
    return words.bytes;
}

/* "part", "opening or passage". */
static const char *kinds_alone(struct reader *reader, unsigned targets)
{
    struct str_buf words = {.arena = reader->arena};

    if (targets == TO_ANY)
        return "entry";
    for (int kind = 0; kind < ENTRY_KIND_COUNT; kind++)
        if (targets & 1u << kind)
            str_add_print(&words, "%s%s", words.length ? " or " : "", sections[kind].name);
    return words.bytes;
}

/* ---------- finding the group ---------- */

/* "piston-2" for piston/2, "piston.skirt" for piston: slips that deserve their own answer. */
static bool fix_shape(struct reader *reader, struct diag *diag, struct span span, const char *id)
{
    const char *dot = strchr(id, '.');

    if (dot && spec_group(reader->spec, str_slice(reader->arena, id, (size_t)(dot - id)))) {
        fault_fix(reader, diag, span, str_slice(reader->arena, id, (size_t)(dot - id)));
        return true;
    }
    for (const char *hyphen = strchr(id, '-'); hyphen; hyphen = strchr(hyphen + 1, '-')) {
        const char *head = str_slice(reader->arena, id, (size_t)(hyphen - id));
        const struct group *group = spec_group(reader->spec, head);
        if (group && group->each &&
            places_index(group->each, hyphen + 1) < group->each->count) {
            fault_fix(reader, diag, span, str_print(reader->arena, "%s/%s", head, hyphen + 1));
            return true;
        }
    }
    return false;
}

static void fault_unknown(struct reader *reader, struct span span, const char *id,
                          const struct field *field)
{
    unsigned targets = field->targets;
    const struct spec *spec = reader->spec;
    struct diag *diag = fault_once(reader, DIAG_SPEC_UNKNOWN_ID, span, id,
                                   str_print(reader->arena, "there is no %s '%s'",
                                             kinds_alone(reader, targets), id));
    const char **ids, *near;
    size_t count = 0;

    if (!diag || !fault_hints_wanted(reader) || fix_shape(reader, diag, span, id))
        return;
    if (strchr(id, ',') && field->kind == FIELD_REFS) {
        fault_fix(reader, diag, span, str_print(reader->arena, "[%s]", id));
        return;
    }
    ids = ARENA_ARRAY(reader->arena, const char *, spec->groups.count + 4);
    for (size_t i = 0; i < spec->groups.count; i++)
        if (targets & 1u << spec->groups.items[i]->kind)
            ids[count++] = spec->groups.items[i]->id;
    for (size_t i = 0; field->words && field->words[i] && i < 4; i++)
        ids[count++] = field->words[i];
    near = str_nearest(id, ids, count);
    if (near)
        fault_fix(reader, diag, span, near);
    if (near && spec_group(spec, near))
        fault_near(reader, diag, id, spec_group(spec, near)->span, &spec_group(spec, near)->named);
    if (near)
        return;
    if (targets == TO_ANY)
        fault_hint(reader, diag, "correct the id, or add the entry");
    else
        fault_hint(reader, diag, "correct the id, or name it under `%s`",
                   sections[__builtin_ctz(targets)].key);
}

/* The group that the id names, or NULL after an error or in silence where one was told. */
static struct group *group_of(struct reader *reader, struct span span, const char *id,
                              const struct field *field)
{
    unsigned targets = field->targets;
    struct group *group = spec_group(reader->spec, id);
    struct diag *diag;

    if (!group) {
        fault_unknown(reader, span, id, field);
        return NULL;
    }
    group->named++;
    if (targets & 1u << group->kind)
        return group;
    diag = fault(reader, DIAG_SPEC_WRONG_TARGET, span, "'%s' is %s, expected %s", id,
                 kinds_in_words(reader, 1u << group->kind), kinds_in_words(reader, targets));
    fault_label(reader, diag, group->span, "defined here");
    if (group->kind == ENTRY_JOINT && targets == TO(PART))
        fault_hint(reader, diag, "name what it holds, or what its thread is cut in");
    else
        fault_hint(reader, diag, "name %s", kinds_in_words(reader, targets));
    return NULL;
}

/* ---------- which members ---------- */

struct found {
    struct entry **items;
    size_t count, room;
    bool ended; /* nothing more to say: dropped, or told */
};

enum relation { UNRELATED, RELATED, SAME };

/* Related: some place of one list is within, or around, a place of the other. */
static enum relation compare_places(const struct places *mine, const struct places *theirs)
{
    if (places_same(mine, theirs))
        return SAME;
    for (size_t i = 0; i < mine->count; i++)
        for (size_t k = 0; k < theirs->count; k++)
            if (place_within(mine->items[i], theirs->items[k]) ||
                place_within(theirs->items[k], mine->items[i]))
                return RELATED;
    return UNRELATED;
}

static enum relation relation_of(struct reader *reader, const struct places *mine,
                                 const struct places *theirs)
{
    const size_t slots = sizeof reader->compared / sizeof *reader->compared;
    size_t slot = (((uintptr_t)mine >> 4) * 31 + ((uintptr_t)theirs >> 4)) % slots;

    if (reader->compared[slot].mine != mine || reader->compared[slot].theirs != theirs) {
        reader->compared[slot].mine = mine;
        reader->compared[slot].theirs = theirs;
        reader->compared[slot].relation = compare_places(mine, theirs);
    }
    return (enum relation)reader->compared[slot].relation;
}

/* Marks in `mine[]` the places of `theirs` that a plain id means at my place. */
static void places_mine(struct reader *reader, const struct places *theirs, bool *mine)
{
    const struct entry *entry = reader->entry;
    const struct places *own = entry ? entry->group->each : NULL;
    enum relation relation = own ? relation_of(reader, own, theirs) : UNRELATED;
    size_t coarser = theirs->count;
    bool any = false;

    for (size_t i = 0; i < theirs->count; i++)
        mine[i] = relation == UNRELATED;
    if (relation == SAME)
        mine[places_index(theirs, entry->place)] = true;
    if (relation != RELATED)
        return;
    for (size_t i = 0; i < theirs->count; i++) {
        mine[i] = place_within(theirs->items[i], entry->place);
        any |= mine[i];
        /* The longest that I am within: 1-ex rather than 1 where both are places. */
        if (place_within(entry->place, theirs->items[i]) &&
            (coarser == theirs->count ||
             strlen(theirs->items[i]) > strlen(theirs->items[coarser])))
            coarser = i;
    }
    if (!any && coarser < theirs->count)
        mine[coarser] = true;
}

static struct found members_of(struct reader *reader, struct group *group, struct span span,
                               const char *place, bool in_list)
{
    struct found found = {0};
    size_t index, mine = 0;
    struct diag *diag;

    if (group->broken) {
        found.ended = true;
        return found;
    }
    if (group->member_count == 0) {
        found.ended = true;
        if (in_list || !group->conditional)
            return found;
        diag = fault(reader, DIAG_SPEC_ABSENT, span, "'%s' is not on this engine", group->id);
        fault_label(reader, diag, group->span, "its `applies` does not hold");
        fault_hint(reader, diag, "give this entry the same `applies`, or name something that is there");
        return found;
    }
    if (place) {
        index = group->each ? places_index(group->each, place) : 0;
        if (group->each && index < group->each->count) {
            *ARRAY_PUSH(reader->arena, &found) = group->members[index];
            return found;
        }
        found.ended = true;
        if (group->each) {
            struct node child = {.key = place, .key_span = span};
            fault_place(reader, &child, group->each, group->id);
            return found;
        }
        diag = fault_each(reader, DIAG_SPEC_UNKNOWN_PLACE, span, group->id,
                          str_print(reader->arena, "'%s' is no place of %s", place, group->id));
        if (diag)
            fault_hint(reader, diag, "%s has no `each`: leave /%s out", group->id, place);
        return found;
    }
    if (!group->each) {
        *ARRAY_PUSH(reader->arena, &found) = group->members[0];
        return found;
    }
    places_mine(reader, group->each, reader->mine);
    for (size_t i = 0; i < group->each->count; i++)
        mine += reader->mine[i];
    if (mine == group->member_count) { /* all: the group's own list will do */
        found.items = group->members;
        found.count = found.room = mine;
        return found;
    }
    for (size_t i = 0; i < group->each->count; i++)
        if (reader->mine[i])
            *ARRAY_PUSH(reader->arena, &found) = group->members[i];
    return found;
}

static const char *members_in_words(struct reader *reader, const struct group *group,
                                    const struct found *found)
{
    enum { MOST_LISTED = 8 };
    struct str_buf words = {.arena = reader->arena};
    size_t count = found->count ? found->count : group->member_count;
    struct entry *const *items = found->count ? found->items : group->members;

    for (size_t i = 0; i < count && i < MOST_LISTED; i++)
        str_add_print(&words, "%s%s", i ? ", " : "", items[i]->member);
    if (count > MOST_LISTED)
        str_add(&words, ", ...");
    return words.bytes;
}

/* An entry without `each` in which several references need one has one fault. */
static void fault_which(struct reader *reader, struct span span, const struct group *group,
                        const struct found *found)
{
    const struct entry *entry = reader->entry;
    const char *message = str_print(reader->arena,
                                    found->count ? "which %s? one is meant here"
                                                 : "which %s? none of its places is mine",
                                    group->id);
    struct diag *diag = entry && !entry->group->each
                            ? fault_each(reader, DIAG_SPEC_WHICH, span, entry->id, message)
                            : fault(reader, DIAG_SPEC_WHICH, span, "%s", message);

    if (diag)
        fault_hint(reader, diag, "%s", members_in_words(reader, group, found));
}

/* Members that `text` (ID or ID/PLACE) means here; count 0 after an error. */
static struct found find_members(struct reader *reader, struct span span, const char *text,
                                 const struct field *field, bool in_list)
{
    const char *slash = strchr(text, '/');
    size_t length = slash ? (size_t)(slash - text) : strlen(text);
    struct group *group = group_of(reader, part_of(span, text, 0, length),
                                   str_slice(reader->arena, text, length), field);
    struct found found = {.ended = true};
    struct span where = span;

    if (!group)
        return found;
    if (slash)
        where = part_of(span, text, length + 1, strlen(text));
    found = members_of(reader, group, where, slash ? slash + 1 : NULL, in_list);
    if (!found.ended && !in_list && found.count != 1) {
        fault_which(reader, span, group, &found);
        found.count = 0;
    }
    return found;
}

/* ---------- references to entries ---------- */

void link_ref(struct reader *reader, const struct field *field, struct ref *ref)
{
    struct found found;

    if (!ref->text)
        return;
    found = find_members(reader, ref->span, ref->text, field, field->flags & SEVERAL);
    ref->to = found.items;
    ref->count = found.count;
}

void link_refs(struct reader *reader, const struct field *field, struct refs *refs)
{
    struct {
        struct entry **items;
        size_t count, room;
    } all = {0};

    if (!reader->marks)
        reader->marks = ARENA_ARRAY(reader->arena, size_t, reader->spec->entries.count + 1);
    reader->mark++;
    for (size_t i = 0; i < refs->count; i++) {
        struct ref *ref = &refs->items[i];
        struct found found;

        if (!ref->text)
            continue;
        found = find_members(reader, ref->span, ref->text, field, true);
        ref->to = found.items;
        ref->count = found.count;
        if (refs->count == 1) {
            refs->to = found.items;
            refs->to_count = found.count;
            return;
        }
        for (size_t k = 0; k < found.count; k++) {
            size_t *mark = &reader->marks[found.items[k]->order];
            if (*mark != reader->mark)
                *ARRAY_PUSH(reader->arena, &all) = found.items[k];
            *mark = reader->mark;
        }
    }
    refs->to = all.items;
    refs->to_count = all.count;
}

static void fault_lock_part(struct reader *reader, const struct ref *ref)
{
    const struct spec *spec = reader->spec;
    const char **ids, *near;
    size_t count = 0;
    struct diag *diag = fault_once(reader, DIAG_SPEC_UNKNOWN_ID, ref->span, ref->text,
                                   str_print(reader->arena, "there is no part or consumable '%s'",
                                             ref->text));

    if (!diag || !fault_hints_wanted(reader))
        return;
    ids = ARENA_ARRAY(reader->arena, const char *, spec->groups.count + spec->consumables.count + 1);
    for (size_t i = 0; i < spec->groups.count; i++)
        if (spec->groups.items[i]->kind == ENTRY_PART)
            ids[count++] = spec->groups.items[i]->id;
    for (size_t i = 0; i < spec->consumables.count; i++)
        ids[count++] = spec->consumables.items[i].id;
    near = str_nearest(ref->text, ids, count);
    if (near)
        fault_fix(reader, diag, ref->span, near);
    else
        fault_hint(reader, diag, "correct the id, or name it under `parts` or `consumables`");
}

void link_lock_part(struct reader *reader, const struct field *field, struct ref *ref,
                    struct text *consumable)
{
    if (!ref->text)
        return;
    if (!spec_group(reader->spec, ref->text) && !strchr(ref->text, '/') &&
        !spec_consumable(reader->spec, ref->text))
        fault_lock_part(reader, ref);
    else if (!spec_consumable(reader->spec, ref->text))
        link_ref(reader, field, ref);
    if (!spec_consumable(reader->spec, ref->text))
        return;
    consumable->text = ref->text;
    consumable->span = ref->span;
}

/* ---------- references to sizes ---------- */

static const struct field to_part = {.key = "part", .targets = TO(PART)};

struct size_words {
    const char *entry; /* ID or ID/PLACE */
    const char *size;  /* name */
    const char *place; /* of the size's own, or NULL */
    size_t dot, slash; /* offsets; slash of the size's place, else the end */
};

static bool size_words(struct reader *reader, const char *text, struct size_words *words)
{
    const char *dot = strchr(text, '.'), *slash;
    size_t length = strlen(text);

    if (!dot || dot == text || dot[1] == '\0')
        return false;
    slash = strchr(dot, '/');
    words->dot = (size_t)(dot - text);
    words->slash = slash ? (size_t)(slash - text) : length;
    words->entry = str_slice(reader->arena, text, words->dot);
    words->size = str_slice(reader->arena, dot + 1, words->slash - words->dot - 1);
    words->place = slash ? slash + 1 : NULL;
    return true;
}

static void fault_size(struct reader *reader, const struct size_ref *ref,
                       const struct size_words *words, const struct part *part)
{
    struct span span = part_of(ref->span, ref->text, words->dot + 1, words->slash);
    const char **names = ARENA_ARRAY(reader->arena, const char *, part->sizes.count + 1);
    /* What a bearing has by itself is missing all at once. */
    bool of_bearing = !part->bearing.present && (str_equal(words->size, "bore") ||
                                                 str_equal(words->size, "outside") ||
                                                 str_equal(words->size, "width"));
    const char *name = str_print(reader->arena, "%s.%s", part->e.id,
                                 of_bearing ? "(bearing)" : words->size);
    struct diag *diag = part->sizes_broken ? NULL : fault_once(reader, DIAG_SPEC_UNKNOWN_SIZE, span, name,
                                   str_print(reader->arena, "%s has no size '%s'", part->e.id,
                                             words->size));

    const char *near;

    if (!diag)
        return;
    for (size_t i = 0; i < part->sizes.count; i++)
        names[i] = part->sizes.items[i]->name;
    names[part->sizes.count] = "weight";
    fault_nearest(reader, diag, span, words->size, names, part->sizes.count + reader->spread);
    near = fault_hints_wanted(reader) ? str_nearest(words->size, names, part->sizes.count) : NULL;
    for (size_t i = 0; near && i < part->sizes.count; i++)
        if (str_equal(part->sizes.items[i]->name, near) && !part->sizes.items[i]->implied) {
            fault_near(reader, diag, words->size, part->sizes.items[i]->span,
                       &part->sizes.items[i]->named);
            break; /* the first of a run counts for all */
        }
    fault_label(reader, diag, part->e.span, "its sizes are here");
    fault_hint(reader, diag, "add it under `sizes` of %s", part->e.id);
}

/* The sizes of one name stand together: one, or one at each of its places. */
static size_t run_of(const struct size *size)
{
    return size->each ? size->each->count : 1;
}

static void fault_size_place(struct reader *reader, const struct size_ref *ref,
                             const struct size_words *words, const struct size *size)
{
    struct span span = part_of(ref->span, ref->text, words->slash + 1, strlen(ref->text));
    struct diag *diag = fault(reader, DIAG_SPEC_UNKNOWN_PLACE, span, "'%s' is no place of %s.%s",
                              words->place, size->part->e.id, words->size);

    if (size->each)
        fault_nearest(reader, diag, span, words->place, size->each->items, size->each->count);
    else
        fault_hint(reader, diag, "the size has no `each`: leave /%s out", words->place);
}

/* All sizes of one part that the words mean here. */
static void sizes_of_part(struct reader *reader, const struct size_ref *ref,
                          const struct size_words *words, struct part *part,
                          struct size_refs *all)
{
    size_t i = 0, before = all->count;
    struct size *first;

    while (i < part->sizes.count && !str_equal(part->sizes.items[i]->name, words->size))
        i += run_of(part->sizes.items[i]);
    if (i == part->sizes.count) {
        fault_size(reader, ref, words, part);
        return;
    }
    first = part->sizes.items[i];
    first->named++;
    if (first->each && !words->place)
        places_mine(reader, first->each, reader->mine);
    for (size_t k = 0; k < run_of(first); k++) {
        struct size *size = part->sizes.items[i + k];
        bool meant = words->place  ? size->each && str_equal(words->place, size->place)
                     : first->each ? reader->mine[k]
                                   : true;
        if (meant)
            *ARRAY_PUSH(reader->arena, all) =
                (struct size_ref){.text = ref->text, .span = ref->span, .part = part, .size = size};
    }
    if (all->count == before && words->place)
        fault_size_place(reader, ref, words, first);
}

void link_sizes(struct reader *reader, const struct size_ref *ref, struct size_refs *all)
{
    struct size_words words;
    struct found found;

    if (!ref->text)
        return;
    if (!size_words(reader, ref->text, &words)) {
        fault_hint(reader, fault(reader, DIAG_SPEC_SIZE_FORM, ref->span,
                                 "'%s' names no size of a part", ref->text),
                   "write the part, a point and the name of the size: piston.skirt");
        return;
    }
    found = find_members(reader, part_of(ref->span, ref->text, 0, words.dot), words.entry, &to_part,
                         true);
    for (size_t i = 0; i < found.count; i++)
        sizes_of_part(reader, ref, &words, spec_part(found.items[i]), all);
}

void link_size_ref(struct reader *reader, struct size_ref *ref)
{
    struct size_words words;
    struct size_refs all = {0};
    struct found found;
    const char *message;
    struct diag *diag;
    struct str_buf names = {.arena = reader->arena};

    if (!ref->text)
        return;
    if (!size_words(reader, ref->text, &words)) {
        link_sizes(reader, ref, &all); /* reports */
        return;
    }
    found = find_members(reader, part_of(ref->span, ref->text, 0, words.dot), words.entry, &to_part,
                         false);
    if (found.count != 1)
        return;
    ref->part = spec_part(found.items[0]);
    sizes_of_part(reader, ref, &words, ref->part, &all);
    if (all.count == 1)
        ref->size = all.items[0].size;
    if (all.count < 2)
        return;
    for (size_t i = 0; i < all.count; i++)
        str_add_print(&names, "%s%s", i ? ", " : "", all.items[i].size->id);
    message = str_print(reader->arena, "which %s? one is meant here", ref->text);
    diag = reader->entry && !reader->entry->group->each
               ? fault_each(reader, DIAG_SPEC_WHICH, ref->span, reader->entry->id, message)
               : fault(reader, DIAG_SPEC_WHICH, ref->span, "%s", message);
    if (diag)
        fault_hint(reader, diag, "%s", names.bytes);
}

void link_input(struct reader *reader, const struct field *field, struct size_ref *ref)
{
    struct size_words words;
    struct found found;

    if (!ref->text)
        return;
    if (!(field->dims & DIM(MASS))) {
        link_size_ref(reader, ref);
        return;
    }
    if (!size_words(reader, ref->text, &words) || !str_equal(words.size, "weight")) {
        fault_hint(reader, fault(reader, DIAG_SPEC_SIZE_FORM, ref->span,
                                 "'%s' is no weight of a part", ref->text),
                   "write the part and .weight, as piston.weight, or the mass");
        return;
    }
    found = find_members(reader, part_of(ref->span, ref->text, 0, words.dot), words.entry, &to_part,
                         false);
    if (found.count == 1)
        ref->part = spec_part(found.items[0]);
}

/* PART.weight or PART.SIZE, of all members. */
void link_spread(struct reader *reader, struct size_ref *ref, struct ref *of)
{
    struct size_words words;
    struct size_refs all = {0};
    struct found found;

    if (!ref->text)
        return;
    if (size_words(reader, ref->text, &words) && str_equal(words.size, "weight")) {
        struct span span = part_of(ref->span, ref->text, 0, words.dot);
        found = find_members(reader, span, words.entry, &to_part, true);
        of->text = words.entry;
        of->span = span;
        of->to = found.items;
        of->count = found.count;
        return;
    }
    reader->spread = true;
    link_sizes(reader, ref, &all);
    reader->spread = false;
    if (all.count == 0)
        return;
    found = find_members(reader, part_of(ref->span, ref->text, 0, words.dot), words.entry, &to_part,
                         true);
    of->text = words.entry;
    of->span = ref->span;
    of->to = found.items;
    of->count = found.count;
    ref->part = all.items[0].part;
    ref->size = all.items[0].size;
}
