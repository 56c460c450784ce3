/* check_phases.c - the replay of what stands round the build: stock taken, pieces cleaned and inspected,
 * goods looked at, settings of the finished engine, readings of the running one. */
#include "check_private.h"

/* How often each is there, by entry. */
struct tally {
    unsigned stock, cleaned, came_in, running, set, built, witnessed;
    uint64_t kinds; /* bit i: inspected by the i-th kind it says */
};

static bool kept(const struct part *part)
{
    return part->state != STATE_RENEW && part->state != STATE_MAKE && part->state != STATE_MISSING;
}

/* ---------- what is due ---------- */

static bool stock_is_due(const struct checker *c, const struct part *part)
{
    bool of_engine = part->host || part == c->spec->first;
    bool with_unit = check_seat(c, part)->unit != NULL;

    if (!of_engine || part->until.count || part->assembly.value)
        return false;
    return part->serial.text || part->hours.present || part->state == STATE_MISSING ||
           (part->number.text && !with_unit);
}

static bool *find_soiled(const struct checker *c)
{
    bool *soiled = ARENA_ARRAY(c->arena, bool, c->spec->entries.count + 1);

    for (size_t i = 0; i < c->spec->passages.count; i++) {
        const struct refs *path = &c->spec->passages.items[i]->path;
        for (size_t k = 0; k < path->to_count; k++)
            soiled[check_seat(c, path->to[k]) - c->seats] = true;
    }
    for (size_t i = 0; i < c->spec->seals.count; i++) {
        const struct seal *seal = c->spec->seals.items[i];
        for (size_t k = 0; (seal->gasket.count || seal->sealant_row) && k < seal->between.to_count; k++)
            soiled[check_seat(c, seal->between.to[k]) - c->seats] = true;
    }
    for (size_t i = 0; i < c->spec->parts.count; i++)
        if (c->spec->parts.items[i]->out_for.text && c->spec->parts.items[i]->host)
            soiled[check_seat(c, c->spec->parts.items[i]->host) - c->seats] = true;
    return soiled;
}

/* ---------- one operation ---------- */

static size_t kind_stage(const char *kind)
{
    return str_equal(kind, "visual")        ? 1
           : str_equal(kind, "dye")         ? 2
           : str_equal(kind, "magnetic")    ? 3
           : str_equal(kind, "dimensional") ? 5
                                            : 4;
}

static bool note_kind(struct checker *c, struct tally *tally, long at, size_t *stage)
{
    const struct operation *op = c->ops[at];
    const struct part *part = (const struct part *)op->entry;

    if (kind_stage(op->kind) < *stage)
        return check_fail(c, 0, at, "%s comes after a later kind of inspection", op->id);
    *stage = kind_stage(op->kind);
    for (size_t i = 0; i < part->inspect.count && i < 64; i++)
        if (str_equal(part->inspect.items[i].text, op->kind)) {
            if (tally->kinds >> i & 1)
                return check_fail(c, 0, at, "%s is there twice", op->id);
            tally->kinds |= UINT64_C(1) << i;
            return true;
        }
    return check_fail(c, 0, at, "%s was not asked for", op->id);
}

static bool is_of_setting(const struct operation *op)
{
    return op->entry->kind == ENTRY_SETTING &&
           (op->verb == VERB_SET || op->verb == VERB_READ_AGAIN || op->verb == VERB_WITNESS);
}

static bool note(struct checker *c, struct tally *tallies, long at, size_t *stage)
{
    const struct operation *op = c->ops[at];
    struct tally *tally = &tallies[check_seat(c, op->entry) - c->seats];
    bool part = op->entry->kind == ENTRY_PART;

    switch (op->phase) {
    case PHASE_INTAKE:
        tally->stock++;
        return (part && op->verb == VERB_TAKE_STOCK) ||
               check_fail(c, 0, at, "%s is not of the intake", op->id);
    case PHASE_CLEAN:
        tally->cleaned++;
        return (part && op->verb == VERB_CLEAN) ||
               check_fail(c, 0, at, "%s is not cleaning", op->id);
    case PHASE_INSPECT:
        if (!part || op->verb != VERB_INSPECT || !op->kind)
            return check_fail(c, 0, at, "%s is not an inspection by kind", op->id);
        return note_kind(c, tally, at, stage);
    case PHASE_GOODS_IN:
        tally->came_in++;
        return (part && op->verb == VERB_INSPECT && !op->kind) ||
               check_fail(c, 0, at, "%s is not of goods in", op->id);
    case PHASE_FIRST_RUN:
        if (op->verb != VERB_RUN && op->verb != VERB_READ && op->verb != VERB_WITNESS)
            return check_fail(c, 0, at, "%s is not of the first run", op->id);
        /* fall through */
    case PHASE_OUTWORK:
    case PHASE_FOLLOW_UP:
        tally->witnessed += op->verb == VERB_WITNESS;
        tally->running += op->verb == VERB_READ && op->moment == MOMENT_RUNNING;
        return true;
    case PHASE_SET:
        tally->set++;
        return (is_of_setting(op) && op->entry->reach_outside &&
                !((const struct setting *)op->entry)->by.count) ||
               check_fail(c, 9, at, "%s is not a setting of the finished engine", op->id);
    case PHASE_FINAL:
        tally->built++;
        return true;
    default:
        return true;
    }
}

/* ---------- all there ---------- */

static bool part_is_whole(struct checker *c, const struct part *part, const struct tally *tally,
                          bool soiled)
{
    bool placed = part->host || part == c->spec->first;
    bool clean = placed && kept(part) && !part->assembly.value && (part->inspect.count || soiled);
    uint64_t kinds = 0;

    for (size_t i = 0; kept(part) && i < part->inspect.count && i < 64; i++) {
        size_t first = 0;
        while (!str_equal(part->inspect.items[first].text, part->inspect.items[i].text))
            first++;
        kinds |= UINT64_C(1) << first;
    }
    if (tally->stock != stock_is_due(c, part))
        return check_fail(c, 0, NEVER, "stock of %s is taken %u times", part->e.member, tally->stock);
    if (tally->cleaned != clean)
        return check_fail(c, 0, NEVER, "%s is cleaned %u times", part->e.member, tally->cleaned);
    if (tally->kinds != kinds)
        return check_fail(c, 0, NEVER, "%s is not inspected by every kind it says", part->e.member);
    return true;
}

static bool entry_is_whole(struct checker *c, struct entry *entry, const struct tally *tally)
{
    bool running = entry->kind == ENTRY_LIMIT && ((struct limit *)entry)->when & MOMENT_RUNNING;
    bool witness = (entry->kind == ENTRY_RUN || entry->kind == ENTRY_OUTWORK) && entry->witness.text;

    if (tally->running != running)
        return check_fail(c, 8, NEVER, "%s is read running %u times", entry->member, tally->running);
    if (tally->witnessed != witness)
        return check_fail(c, 11, NEVER, "%s is witnessed %u times", entry->member,
                          tally->witnessed);
    if (tally->set && tally->built)
        return check_fail(c, 9, NEVER, "%s is set partly in the build, partly after it",
                          entry->member);
    return true;
}

static void came_in_once(struct checker *c, struct tally *tallies, const struct purchase *bought)
{
    for (size_t k = 0; bought->acceptance && k < bought->part_count; k++)
        tallies[check_seat(c, bought->parts[k]) - c->seats].came_in--;
}

static bool goods_are_whole(struct checker *c, struct tally *tallies)
{
    for (size_t i = 0; i < c->build->purchases.count; i++)
        came_in_once(c, tallies, &c->build->purchases.items[i]);
    for (size_t i = 0; i < c->build->gaskets.count; i++) /* their sheet comes in */
        came_in_once(c, tallies, &c->build->gaskets.items[i].line);
    for (size_t i = 0; i < c->spec->entries.count; i++)
        if (tallies[i].came_in)
            return check_fail(c, 0, NEVER, "%s is looked at as it comes in too often or not at all",
                              c->seats[i].entry->member);
    return true;
}

/* Joints that hold the part, or what comes off on it, and that are reached from elsewhere or named for
 * something else that is still on, are told of as it comes off. */
static bool is_told(const struct operation *op, const struct joint *joint)
{
    for (size_t i = 0; i < op->fixings.count; i++)
        if (op->fixings.items[i] == &joint->e)
            return true;
    return false;
}

static bool fixings(struct checker *c, struct joint *joint)
{
    struct part *where = check_where(c, &joint->e);
    const struct seat *main = joint->holds.to_count ? check_seat(c, joint->holds.to[0]) : NULL;

    for (size_t i = 0; i < joint->holds.to_count; i++) {
        struct part *held = (struct part *)joint->holds.to[i];
        if (held->e.kind != ENTRY_PART)
            continue;
        long out = check_out(c, held, where);
        if (out == NEVER || (main->stripped != NEVER && main->stripped < out))
            continue;
        bool hidden = joint->e.reach.count || joint->e.under.to_count ||
                      joint->holds.to[0] != c->ops[out]->entry;
        if (hidden && c->ops[out]->verb == VERB_REMOVE && !check_seat(c, held)->leader &&
            !is_told(c->ops[out], joint))
            return check_fail(c, 6, out, "%s comes off and nobody is told of %s",
                              c->ops[out]->entry->member, joint->e.member);
    }
    return true;
}

/* ---------- on which bench ---------- */

static struct part *place_of(const struct checker *c, struct entry *entry)
{
    return entry->kind == ENTRY_PART ? check_seat(c, entry)->unit : check_where(c, entry);
}

/* The unit in which an operation of the build or of the strip is done; NULL: on the engine, or loose. */
static struct part *bench_of(const struct checker *c, const struct operation *op)
{
    struct part *unit = place_of(c, op->entry);
    struct entry *at = op->entry;
    bool out = op->phase != PHASE_STRIP && (op->verb == VERB_REMOVE || op->verb == VERB_WITNESS);

    if (op->verb == VERB_READ_AGAIN && op->object)
        return check_common(c, unit, place_of(c, op->object));
    for (size_t i = 0; out && at->kind == ENTRY_PART && ((struct part *)at)->until.count &&
                       i < c->spec->parts.count; i++) { /* where what the slave part helps is done */
        at = ((struct part *)at)->until.to[0];
        unit = check_common(c, unit, place_of(c, at));
    }
    return unit;
}

static bool on_its_bench(struct checker *c, long at)
{
    const struct operation *op = c->ops[at];
    bool built = (op->phase == PHASE_FINAL || op->phase == PHASE_SET || op->phase == PHASE_STRIP) &&
                 !op->loose && !op->trial;
    struct part *unit = built ? bench_of(c, op) : NULL;

    if ((op->trial != NULL) != (op->phase == PHASE_TRIAL))
        return check_fail(c, 14, at, "%s is of a trial and stands outside it, or the reverse", op->id);
    /* heat, gaskets' holes, cures and pins counted are wherever they are wanted; as found is read on the
     * whole engine, and a slave part is put in again for the strip where it helps */
    bool anywhere = op->trial || op->verb == VERB_HEAT || op->verb == VERB_COUNT_BACK ||
                    op->verb == VERB_WAIT || (op->verb == VERB_PROVE && op->object) ||
                    (op->phase == PHASE_STRIP &&
                     (op->verb == VERB_READ || (op->entry->kind == ENTRY_PART &&
                                                ((const struct part *)op->entry)->until.count)));
    return anywhere || op->unit == (struct entry *)unit ||
           check_fail(c, 2, at, "%s is said to be done in another unit than %s", op->id,
                      unit ? unit->e.member : "none");
}

bool check_phases(struct checker *c)
{
    struct tally *tallies = ARENA_ARRAY(c->arena, struct tally, c->spec->entries.count + 1);
    const bool *soiled = find_soiled(c);
    size_t stage = 0;

    for (size_t i = 0; i < c->count; i++)
        if (!note(c, tallies, (long)i, &stage) || !on_its_bench(c, (long)i))
            return false;
    for (size_t i = 0; i < c->spec->parts.count; i++) {
        struct part *part = c->spec->parts.items[i];
        size_t seat = (size_t)(check_seat(c, part) - c->seats);
        if (!part_is_whole(c, part, &tallies[seat], soiled[seat]))
            return false;
    }
    for (size_t i = 0; i < c->spec->entries.count; i++)
        if (!entry_is_whole(c, c->seats[i].entry, &tallies[i]))
            return false;
    for (size_t i = 0; i < c->spec->joints.count; i++)
        if (!fixings(c, c->spec->joints.items[i]))
            return false;
    return goods_are_whole(c, tallies);
}
