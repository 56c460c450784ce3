/* link_structure.c - what follows from the references: hosts, who closes what, who needs a part
 * without hosting it, and the part that begins the build. */
#include "spec_private.h"

#include <string.h>

/* Room doubles at powers of two, so that no third member is needed beside pointer and count. */
static void *push(struct reader *reader, void *items, size_t *count, void *item)
{
    void **array = items;

    if ((*count & (*count - 1)) == 0) {
        void **grown = ARENA_ARRAY(reader->arena, void *, *count ? *count * 2 : 1);
        if (*count)
            memcpy(grown, array, *count * sizeof *grown);
        array = grown;
    }
    array[(*count)++] = item;
    return array;
}

static void link_closers(struct reader *reader, struct part *part)
{
    for (size_t i = 0; i < part->closes.to_count; i++) {
        struct entry *target = part->closes.to[i];

        if (target->kind == ENTRY_OPENING) {
            struct opening *opening = (struct opening *)target;
            opening->closers = push(reader, opening->closers, &opening->closer_count, part);
        } else if (target->kind == ENTRY_PASSAGE) {
            struct passage *passage = (struct passage *)target;
            passage->plugs = push(reader, passage->plugs, &passage->plug_count, part);
        }
    }
}

static void link_user(struct reader *reader, const struct ref *ref, struct joint *joint,
                      struct seal *seal)
{
    for (size_t i = 0; i < ref->count; i++) {
        struct part *part = spec_part(ref->to[i]);

        if (!part)
            continue;
        if (joint && (!part->used_by_count || part->used_by[part->used_by_count - 1] != joint))
            part->used_by = push(reader, part->used_by, &part->used_by_count, joint);
        else if (seal)
            part->sealed_by = push(reader, part->sealed_by, &part->sealed_by_count, seal);
    }
}

static void link_faces(struct reader *reader, struct seal *seal)
{
    for (size_t i = 0; i < seal->between.to_count; i++) {
        struct part *part = spec_part(seal->between.to[i]);

        if (part && (!part->seal_count || part->seals[part->seal_count - 1] != seal))
            part->seals = push(reader, part->seals, &part->seal_count, seal);
    }
}

/* The loop of hosts that `start` is in, told once, at its last link in file order. */
static void fault_loop(struct reader *reader, struct part *start)
{
    struct part *last = start, *at = start;
    struct str_buf chain = {.arena = reader->arena};
    struct diag *diag;

    do {
        str_add_print(&chain, "%s in ", at->e.member);
        if (at->e.order > last->e.order)
            last = at;
        at = at->host;
    } while (at != start);
    str_add(&chain, start->e.member);
    diag = fault(reader, DIAG_SPEC_HOST_LOOP, last->in.span, "parts sit in each other in a ring: %s",
                 chain.bytes);
    fault_hint(reader, diag, "one of them sits in something else");
    for (at = last->host; at != last; at = at->host)
        fault_label(reader, diag, at->in.span, "%s sits in %s", at->e.member, at->host->e.member);
    last->host = NULL; /* who follows hosts comes to an end */
}

/* Everything later may follow hosts to the end: there is one, after an error too. */
static void check_hosts(struct reader *reader)
{
    struct spec *spec = reader->spec;
    size_t *seen = ARENA_ARRAY(reader->arena, size_t, spec->entries.count + 1);

    for (size_t i = 0; i < spec->parts.count; i++) {
        struct part *at = spec->parts.items[i];

        while (at && seen[at->e.order] == 0) {
            seen[at->e.order] = i + 1;
            at = at->host;
        }
        if (at && seen[at->e.order] == i + 1)
            fault_loop(reader, at);
    }
}

static void link_children(struct reader *reader)
{
    for (size_t i = 0; i < reader->spec->parts.count; i++) {
        struct part *part = reader->spec->parts.items[i], *host = part->host;
        if (host)
            host->children = push(reader, host->children, &host->child_count, part);
    }
}

static void find_first(struct spec *spec)
{
    size_t found = 0;

    for (size_t i = 0; i < spec->parts.count; i++) {
        struct part *part = spec->parts.items[i];

        if (part->in.text || part->used_by_count || part->sealed_by_count)
            continue;
        spec->first = part;
        found++;
    }
    if (found != 1)
        spec->first = NULL;
}

void link_structure(struct reader *reader)
{
    struct spec *spec = reader->spec;

    for (size_t i = 0; i < spec->parts.count; i++) {
        struct part *part = spec->parts.items[i];
        part->host = part->in.count ? spec_part(part->in.to[0]) : NULL;
        link_closers(reader, part);
    }
    for (size_t i = 0; i < spec->openings.count; i++) {
        struct opening *opening = spec->openings.items[i];
        opening->host = opening->in.count ? spec_part(opening->in.to[0]) : NULL;
    }
    for (size_t i = 0; i < spec->joints.count; i++) {
        struct joint *joint = spec->joints.items[i];
        for (size_t k = 0; k < joint->uses.count; k++)
            link_user(reader, &joint->uses.items[k].ref, joint, NULL);
        link_user(reader, &joint->lock.part, joint, NULL);
    }
    for (size_t i = 0; i < spec->seals.count; i++) {
        link_user(reader, &spec->seals.items[i]->gasket, NULL, spec->seals.items[i]);
        link_faces(reader, spec->seals.items[i]);
    }
    check_hosts(reader);
    link_children(reader);
    find_first(spec);
}
