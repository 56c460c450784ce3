/* check_metal.c - the replay of what the metal allows: hosts, units, openings, seals, slave parts,
 * (implications 1, 2, 4, 5 and 12 of specs/LANGUAGE.md section 6). */
#include "check_private.h"

static bool moves(const struct checker *c, struct part *part)
{
    return check_seat(c, part)->moves;
}

/* ---------- 1, 2: hosts and units ---------- */

static bool hosts_and_units(struct checker *c, struct part *part)
{
    struct seat *seat = check_seat(c, part);
    long in = check_in(c, part);
    struct part *host = check_mover(part->host);

    if (!seat->moves)
        return true;
    if (in < 0)
        return check_fail(c, 0, START, "%s never goes in", part->e.member);
    bool apart = host != seat->unit && seat->unit && check_within(c, seat->unit, host);
    /* not later, but as one: chain and both its sprockets */
    if (apart || check_arrival(c, host, seat->unit) > in)
        return check_fail(c, 1, in, "%s goes in before its host %s is there", part->e.member,
                          part->host->e.member);
    if (seat->unit && check_in(c, seat->unit) <= in)
        return check_fail(c, 2, in, "%s is to be on %s when that goes in", part->e.member,
                          seat->unit->e.member);
    if (seat->at[VERB_COUNT_BACK] != NEVER && seat->at[VERB_COUNT_BACK] < in)
        return check_fail(c, 1, in, "%s is counted before it goes in", part->e.member);
    return true;
}

/* ---------- 4: openings, clearance, cover ---------- */

/* The first goes in before the second, seen where both are at hand. */
static bool ahead(struct checker *c, struct part *first, struct part *second, const char *why)
{
    struct part *common;

    if (!moves(c, first) || !moves(c, second) || first == second)
        return true;
    common = check_common(c, check_home(c, first), check_home(c, second));
    if (common == second)
        return true; /* made up on it: there before it moves */
    if (common != first && check_arrival(c, first, common) <= check_arrival(c, second, common))
        return true;
    return check_fail(c, 4, check_in(c, first), "%s goes in after %s, %s", first->e.member,
                      second->e.member, why);
}

static bool openings(struct checker *c, struct part *part)
{
    struct opening *opening;

    if (!part->through.count || part->through.to[0]->kind != ENTRY_OPENING || !moves(c, part))
        return true;
    opening = (struct opening *)part->through.to[0];
    struct part *host = check_mover(opening->host);
    if (host && host != part && moves(c, host)) {
        struct part *common = check_common(c, check_seat(c, part)->unit, check_home(c, host));
        if (check_arrival(c, host, common) > check_arrival(c, part, common))
            return check_fail(c, 4, check_in(c, part), "%s goes in through %s before %s is there",
                              part->e.member, opening->e.member, host->e.member);
    }
    for (size_t i = 0; i < opening->closer_count; i++)
        if (!ahead(c, part, opening->closers[i], "which closes its opening"))
            return false;
    return true;
}

static bool clear_and_under(struct checker *c, struct part *part)
{
    for (size_t i = 0; i < part->clear_of.to_count; i++)
        if (part->clear_of.to[i]->kind == ENTRY_PART &&
            !ahead(c, part, (struct part *)part->clear_of.to[i], "which it must be clear of"))
            return false;
    for (size_t i = 0; i < part->e.under.to_count; i++)
        if (part->e.under.to[i]->kind == ENTRY_PART &&
            !ahead(c, part, (struct part *)part->e.under.to[i], "which it lies under"))
            return false;
    return true;
}

/* Entries that are no part: done before what they lie under covers them. */
static bool under(struct checker *c, struct entry *entry)
{
    struct seat *seat = check_seat(c, entry);
    struct part *where = seat->last >= 0 ? check_where(c, entry) : NULL;

    for (size_t i = 0; seat->last >= 0 && i < entry->under.to_count; i++) {
        struct entry *over = entry->under.to[i];
        long covers = over->kind == ENTRY_PART ? check_arrival(c, (struct part *)over, where)
                                               : check_seat(c, over)->first;
        if (covers >= 0 && covers <= seat->last)
            return check_fail(c, 4, seat->last, "%s is done after %s has covered it",
                              entry->member, over->member);
    }
    return true;
}

/* ---------- 5: seals ---------- */

static struct part *last_face(const struct seal *seal)
{
    struct entry *last = seal->between.to_count ? seal->between.to[seal->between.to_count - 1] : NULL;

    return last && last->kind == ENTRY_PART ? (struct part *)last : NULL;
}

static bool signs_or_counts(const struct operation *op)
{
    return op->verb == VERB_WITNESS || op->verb == VERB_COUNT_BACK;
}

static bool same_moment(const struct checker *c, struct part *a, const struct part *b)
{
    return a == b || (a && b && check_in(c, a) == check_in(c, (struct part *)b));
}

/* Between a seal and the part that goes on it: other seals of that part, gaskets' holes, signatures. */
static bool beside_seal(const struct checker *c, const struct operation *op, const void *user)
{
    const struct part *last = user;
    const struct seal *seal = (const struct seal *)op->entry;

    if (op->verb == VERB_HEAT)
        return true; /* check_work.c sees to it that it is not left to cool */
    if (op->verb == VERB_SEAL)
        return same_moment(c, last_face(seal), last);
    if (op->verb == VERB_PROVE && op->object && op->object->kind == ENTRY_PART) {
        const struct part *gasket = (const struct part *)op->object;
        for (size_t i = 0; i < gasket->sealed_by_count; i++)
            if (same_moment(c, last_face(gasket->sealed_by[i]), last))
                return true;
        return false;
    }
    return signs_or_counts(op);
}

static bool clamps_face(const struct joint *joint, const struct seal *seal)
{
    size_t faces = 0;
    bool last = false;

    for (size_t i = 0; i < seal->between.to_count; i++) {
        const struct entry *face = seal->between.to[i];
        bool held = check_lists(&joint->holds, face) ||
                    (joint->to.count && joint->to.to[0] == face);
        faces += held;
        last = last || (held && i + 1 == seal->between.to_count);
    }
    return last && faces > 1;
}

struct joint_list { struct joint **items; size_t count, room; };

/* Made up within the last part: it pulls no face which that makes with others. */
static bool inside_last(const struct checker *c, struct joint *joint, const struct part *last)
{
    struct part *where = check_where(c, &joint->e);

    return where && last && check_within(c, where, last);
}

static struct joint_list joints_of_face(const struct checker *c, const struct seal *seal)
{
    struct joint_list list = {0};

    for (size_t i = 0; i < seal->between.to_count; i++) {
        const struct seat *face = check_seat(c, seal->between.to[i]);
        for (size_t k = 0; k < face->held_by.count; k++) {
            bool known = false;
            for (size_t j = 0; j < list.count; j++)
                known = known || list.items[j] == face->held_by.items[k];
            if (!known && clamps_face(face->held_by.items[k], seal) &&
                !inside_last(c, face->held_by.items[k], last_face(seal)))
                *ARRAY_PUSH(c->arena, &list) = face->held_by.items[k];
        }
    }
    const struct seat *last = check_seat(c, last_face(seal));
    bool none = list.count == 0;
    for (size_t k = 0; none && last && k < last->held_by.count; k++)
        if (!inside_last(c, last->held_by.items[k], last_face(seal)))
            *ARRAY_PUSH(c->arena, &list) = last->held_by.items[k];
    return list;
}

struct open_block {
    const struct part *last;
    const struct joint_list *joints;
};

static bool names(const struct ref *by, const struct joint_list *joints)
{
    for (size_t i = 0; i < joints->count; i++)
        if (by->count && by->to[0] == &joints->items[i]->e)
            return true;
    return false;
}

/* The same entry, or parts that go in as one. */
static bool as_one(const struct checker *c, const struct entry *a, const struct entry *b)
{
    return a == b || (a->kind == ENTRY_PART && b->kind == ENTRY_PART &&
                      check_in(c, (struct part *)a) >= 0 &&
                      check_in(c, (struct part *)a) == check_in(c, (struct part *)b));
}

/* Other slave parts of the same, slave parts of these in turn, joints pulled with the same. */
static bool beside_slave(const struct checker *c, const struct operation *op, const void *user)
{
    const struct entry *at = op->entry;

    if (signs_or_counts(op) || check_together(c, at, user)) /* or what is pulled with it */
        return true;
    for (size_t i = 0; op->verb == VERB_REMOVE && i < c->spec->parts.count; i++) {
        const struct ref *until = &((const struct part *)at)->until;
        at = until->count ? until->to[0] : NULL;
        if (!at || as_one(c, at, user))
            return at != NULL;
        if (at->kind != ENTRY_PART)
            return false;
    }
    return false;
}

/* Within the open time: the part, its joints, and what is brought right by them. */
static bool within_open_time(const struct checker *c, const struct operation *op, const void *user)
{
    const struct open_block *block = user;

    if (beside_seal(c, op, block->last) || op->entry == &block->last->e)
        return true;
    if (op->verb == VERB_FIT && check_in(c, (struct part *)op->entry) ==
                                    check_in(c, (struct part *)block->last))
        return true;
    for (size_t i = 0; i < block->joints->count; i++)
        if (check_together(c, op->entry, &block->joints->items[i]->e) && op->verb != VERB_WAIT)
            return true;
    if (op->verb == VERB_REMOVE) /* a slave part comes out directly after, whatever is drying */
        return beside_slave(c, op, &block->last->e);
    if (op->entry->kind == ENTRY_SETTING)
        return names(&((const struct setting *)op->entry)->by, block->joints);
    if (op->entry->kind == ENTRY_LIMIT)
        return names(&((const struct limit *)op->entry)->by, block->joints);
    return op->entry->kind == ENTRY_STEP &&
           names(&((const struct step *)op->entry)->by, block->joints);
}

static bool open_time(struct checker *c, const struct seal *seal, const struct joint_list *joints)
{
    long lay = check_seat(c, seal)->at[VERB_SEAL], tight = lay, stranger;
    struct open_block block = {last_face(seal), joints};

    if (!seal->sealant_row || !seal->sealant_row->open_time.present)
        return true;
    for (size_t i = 0; i < joints->count; i++)
        if (check_seat(c, joints->items[i])->at[VERB_TIGHTEN] > tight)
            tight = check_seat(c, joints->items[i])->at[VERB_TIGHTEN];
    if (check_between(c, lay, tight, within_open_time, &block, &stranger) || tight == lay)
        return true;
    return check_fail(c, 5, stranger, "%s stands within the open time of %s", c->ops[stranger]->id,
                      seal->e.member);
}

static bool cure(struct checker *c, const struct seal *seal, const struct joint_list *joints)
{
    long wait = check_seat(c, seal)->at[VERB_WAIT];

    if (wait == NEVER)
        return true;
    for (size_t i = 0; i < joints->count; i++)
        if (check_seat(c, joints->items[i])->last > wait)
            return check_fail(c, 5, wait, "%s cures before %s has closed it", seal->e.member,
                              joints->items[i]->e.member);
    if (check_in(c, last_face(seal)) > wait)
        return check_fail(c, 5, wait, "%s cures before it is closed", seal->e.member);
    return true;
}

/* What is sealed across a passage has cured before the whole of it is proved. */
static bool cured_across(struct checker *c, const struct passage *passage)
{
    for (size_t i = 0; i < passage->path.to_count; i++) {
        const struct part *piece = (const struct part *)passage->path.to[i];
        for (size_t s = 0; piece->e.kind == ENTRY_PART && s < piece->seal_count; s++) {
            const struct seal *seal = piece->seals[s];
            long wait = check_seat(c, seal)->at[VERB_WAIT];
            size_t faces = 0;
            for (size_t k = 0; wait != NEVER && k < seal->between.to_count; k++)
                faces += check_lists(&passage->path, seal->between.to[k]);
            if (faces > 1 && check_seat(c, passage)->at[VERB_PROVE] < wait)
                return check_fail(c, 5, wait, "%s is proved before %s has cured",
                                  passage->e.member, seal->e.member);
        }
    }
    return true;
}

static bool seals(struct checker *c, struct seal *seal)
{
    long lay = check_seat(c, seal)->at[VERB_SEAL], stranger;
    struct part *last = last_face(seal);

    if (lay == NEVER || !last)
        return true;
    struct part *where = check_seat(c, last)->unit;
    for (size_t i = 0; i + 1 < seal->between.to_count; i++)
        if (seal->between.to[i]->kind == ENTRY_PART && seal->between.to[i] != &last->e &&
            check_arrival(c, (struct part *)seal->between.to[i], where) > lay)
            return check_fail(c, 5, lay, "%s is laid before %s is there", seal->e.member,
                              seal->between.to[i]->member);
    if (!check_between(c, lay, check_in(c, last), beside_seal, last, &stranger))
        return check_fail(c, 5, lay, "%s is not laid directly before %s", seal->e.member,
                          last->e.member);
    struct joint_list joints = joints_of_face(c, seal);
    return open_time(c, seal, &joints) && cure(c, seal, &joints);
}

/* ---------- 12: slave parts ---------- */

/* 3: it comes out within the unit in which it, and all that it helps, are made up. */
static bool slave_in_unit(struct checker *c, struct part *part, long out)
{
    struct part *unit = check_seat(c, part)->unit, *at = part;

    for (size_t i = 0; at && at->until.count && i < c->spec->parts.count; i++) {
        struct entry *helped = at->until.to[0];
        unit = check_common(c, unit, check_where(c, helped));
        at = helped->kind == ENTRY_PART ? (struct part *)helped : NULL;
    }
    if (!unit || check_in(c, unit) > out)
        return true;
    return check_fail(c, 3, out, "%s comes out of %s after that is in", part->e.member,
                      unit->e.member);
}

static bool slave(struct checker *c, struct part *part)
{
    struct seat *seat = check_seat(c, part);
    long out = seat->at[VERB_REMOVE], stranger = 0;

    if (!part->until.count || !seat->moves)
        return true;
    if (!slave_in_unit(c, part, out))
        return false;
    const struct entry *helped = part->until.to[0];
    long begins = check_seat(c, helped)->first, ends = check_seat(c, helped)->last;
    if (helped->kind == ENTRY_PART && check_seat(c, helped)->moves) {
        begins = check_in(c, (struct part *)helped);
        ends = ends > begins ? ends : begins;
    }
    if (begins < 0) /* what it helps has nothing to be done in this build */
        return true;
    if (check_in(c, part) > begins || out < check_in(c, part))
        return check_fail(c, 12, out, "%s is not in before %s", part->e.member, helped->member);
    if (!check_between(c, ends, out, beside_slave, helped, &stranger))
        return check_fail(c, 12, out, "%s does not come out directly after %s", part->e.member,
                          helped->member);
    const struct ref *way = part->e.reach.count ? &part->e.reach : &part->through;
    if (!way->count || way->to[0]->kind != ENTRY_OPENING)
        return true;
    const struct opening *opening = (const struct opening *)way->to[0];
    for (size_t i = 0; i < opening->closer_count; i++) {
        long closes = check_arrival(c, opening->closers[i], seat->unit);
        if (closes >= 0 && closes < out)
            return check_fail(c, 12, out, "%s is shut in by %s", part->e.member,
                              opening->closers[i]->e.member);
    }
    return true;
}

bool check_metal(struct checker *c)
{
    const struct spec *spec = c->spec;

    for (size_t i = 0; i < spec->parts.count; i++) {
        struct part *part = spec->parts.items[i];
        if (!hosts_and_units(c, part) || !openings(c, part) || !clear_and_under(c, part) ||
            !slave(c, part))
            return false;
    }
    for (size_t i = 0; i < spec->seals.count; i++)
        if (!seals(c, spec->seals.items[i]))
            return false;
    for (size_t i = 0; i < spec->passages.count; i++)
        if (!cured_across(c, spec->passages.items[i]))
            return false;
    for (size_t i = 0; i < spec->entries.count; i++)
        if (spec->entries.items[i]->kind != ENTRY_PART && !under(c, spec->entries.items[i]))
            return false;
    return true;
}
