/* tags.c - tags.pdf: what is taken off gets a tag, the fasteners of a joint a bag, what is kept together a
 * tray; in the order in which the engine comes apart. */
#include "pack_private.h"

static struct tag *tag_new(struct packer *packer, enum tag_kind kind, const char *id,
                           const char *title)
{
    static const char *const words[] = {[TAG_PART] = "part", [TAG_BAG] = "bag",
                                        [TAG_TRAY] = "tray"};
    struct tag *tag = ARRAY_PUSH(packer->arena, &packer->pack->tags);

    *tag = (struct tag){.kind = kind, .heading = label_of(packer, "tag", words[kind]), .id = id,
                        .title = title};
    return tag;
}

static const char *count_text(struct packer *packer, int64_t count)
{
    return str_print(packer->arena, "%lld", (long long)count);
}

/* "38: Tappet-chest cover", as on the card. */
static const char *step_text(struct packer *packer, const struct operation *op)
{
    return str_print(packer->arena, "%zu, %s", op->number,
                     packer->plan->cards.items[op->card].title);
}

/* ---------- what is kept together ---------- */

struct entries {
    struct entry **items;
    size_t count, room;
};

static bool among(const struct entries *set, const struct entry *entry)
{
    for (size_t i = 0; i < set->count; i++)
        if (set->items[i] == entry)
            return true;
    return false;
}

/* Of one place where both have one: rod 2 with cap 2. */
static bool matched(const struct part *a, const struct part *b)
{
    bool apart = a->e.place && b->e.place && strcmp(a->e.place, b->e.place) != 0 &&
                 a->e.group->each == b->e.group->each;

    return !apart && (spec_names(&a->matched, &b->e) || spec_names(&b->matched, &a->e));
}

/* All that is matched with it, by way of others too; itself first. */
static struct entries matched_set(struct packer *packer, struct part *part)
{
    struct entries set = {0};

    *ARRAY_PUSH(packer->arena, &set) = &part->e;
    for (size_t i = 0; i < set.count; i++)
        for (size_t k = 0; k < packer->spec->parts.count; k++) {
            struct part *other = packer->spec->parts.items[k];
            if (!among(&set, &other->e) && matched((const struct part *)set.items[i], other))
                *ARRAY_PUSH(packer->arena, &set) = &other->e;
        }
    return set;
}

static const char *places_of(struct packer *packer, const struct group *group)
{
    struct str_buf text = {.arena = packer->arena};

    for (size_t i = 0; i < group->member_count; i++)
        str_add_print(&text, "%s%s", i ? ", " : "", group->members[i]->place);
    return text.bytes;
}

static bool comes_off(struct packer *packer, const struct entry *entry, const struct operation *before)
{
    for (size_t i = 0; i < packer->plan->operations.count; i++) {
        const struct operation *op = packer->plan->operations.items[i];
        if (op == before)
            return false;
        if (op->phase == PHASE_STRIP && op->verb == VERB_REMOVE && op->entry == entry)
            return true;
    }
    return false;
}

/* A tray before the first of its pieces: for the members of one entry, and for a matched set. */
static void add_trays(struct packer *packer, struct part *part, const struct operation *op)
{
    const struct group *group = part->e.group;
    struct entries set = matched_set(packer, part);
    bool first = true;

    for (size_t i = 0; i < group->member_count; i++)
        first &= !comes_off(packer, group->members[i], op);
    if (first && group->member_count > 1) {
        struct tag *tag = tag_new(packer, TAG_TRAY, group->id,
                                  part->e.name.text ? part->e.name.text : part->e.id);
        int64_t pieces = 0;
        for (size_t i = 0; i < group->member_count; i++)
            pieces += part_quantity((const struct part *)group->members[i]);
        fact_add(packer, &tag->facts, L(packer, "tag.places"), places_of(packer, group));
        fact_add(packer, &tag->facts, L(packer, "sheet.pieces"), count_text(packer, pieces));
        fact_add(packer, &tag->facts, L(packer, "tag.step"), step_text(packer, op));
    }
    for (size_t i = 0; i < set.count; i++)
        if (comes_off(packer, set.items[i], op))
            return;
    if (set.count < 2)
        return;
    struct tag *tag = tag_new(packer, TAG_TRAY, part->e.member, L(packer, "tag.set"));
    fact_add(packer, &tag->facts, L(packer, "tag.together"),
             text_of_entries(packer, set.items, set.count));
    fact_add(packer, &tag->facts, L(packer, "tag.step"), step_text(packer, op));
}

/* ---------- parts and bags ---------- */

static void decide(struct packer *packer, struct tag *tag, const struct part *part)
{
    static const char *const choices[] = {"reuse", "rework", "renew"};

    if (part->state != STATE_UNKNOWN && part->state_text.text) {
        fact_add(packer, &tag->facts, L(packer, "sheet.state"),
                 label_of(packer, "state", part->state_text.text));
        return;
    }
    for (size_t i = 0; i < sizeof choices / sizeof *choices; i++)
        tag->decide.items[tag->decide.count++] = label_of(packer, "state", choices[i]);
}

static void add_part_tag(struct packer *packer, struct part *part, const struct operation *op)
{
    add_trays(packer, part, op);
    struct entries set = matched_set(packer, part);
    struct tag *tag = tag_new(packer, TAG_PART, part->e.member, part->e.shown);

    fact_add(packer, &tag->facts, L(packer, "sheet.number"),
             part->number.unknown ? L(packer, "cover.unknown") : part->number.text);
    fact_add(packer, &tag->facts, L(packer, "tag.from"), part->host ? part->host->e.shown : NULL);
    if (part->e.place)
        fact_add(packer, &tag->facts, L(packer, "tag.place"),
                 str_print(packer->arena, "%s (%s)", part->e.place,
                           places_of(packer, part->e.group)));
    if (set.count > 1)
        fact_add(packer, &tag->facts, L(packer, "tag.together"),
                 text_of_entries(packer, set.items + 1, set.count - 1));
    if (part->way_round.present)
        fact_add(packer, &tag->facts, L(packer, "field.way-round"), part->way_round.mark.text);
    fact_add(packer, &tag->facts, L(packer, "sheet.pieces"),
             count_text(packer, part_quantity(part)));
    fact_add(packer, &tag->facts, L(packer, "tag.step"), step_text(packer, op));
    decide(packer, tag, part);
}

static void add_bag(struct packer *packer, const struct joint *joint, const struct operation *op)
{
    const struct joint_values *values = build_joint(packer->build, joint);
    struct tag *tag = tag_new(packer, TAG_BAG, joint->e.member, joint->e.shown);
    struct pack_facts *facts = &tag->facts;

    fact_add(packer, facts, L(packer, "sheet.holds"),
             text_of_entries(packer, joint->holds.to, joint->holds.to_count));
    fact_add(packer, facts, L(packer, "sheet.count"), count_text(packer, joint->count.value));
    fact_or_blank(packer, facts, L(packer, "sheet.thread"), joint->thread.text);
    fact_or_blank(packer, facts, L(packer, "field.length"), text_of_claim(packer, &joint->length));
    fact_or_blank(packer, facts, L(packer, "sheet.spanner"),
                  values ? text_of_phrase(packer, values->spanner) : NULL);
    if (joint->left_hand.value)
        fact_add(packer, facts, L(packer, "sheet.hand"), L(packer, "sheet.left"));
    fact_add(packer, facts, L(packer, "sheet.hardware"), text_of_hardware(packer, joint));
    fact_add(packer, facts, L(packer, "tag.step"), step_text(packer, op));
}

void add_tags(struct packer *packer)
{
    for (size_t i = 0; i < packer->plan->operations.count; i++) {
        const struct operation *op = packer->plan->operations.items[i];
        if (op->phase != PHASE_STRIP)
            continue;
        if (op->verb == VERB_REMOVE && op->entry->kind == ENTRY_PART)
            add_part_tag(packer, (struct part *)op->entry, op);
        else if (op->verb == VERB_SLACKEN && op->entry->kind == ENTRY_JOINT)
            add_bag(packer, (const struct joint *)op->entry, op);
    }
}
