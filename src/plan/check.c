/* check.c - the replay. It takes the resolved build and the list of operations, never a precedence,
 * and shares no code with the solver: units, places and moments are worked out again here.
 *
 * In this file: where parts are made up, when each operation stands, and that every operation the
 * facts call for is there exactly as often as due. */
#include <stdlib.h>
#include "check_private.h"

bool check_fail(struct checker *c, int implication, long at, const char *format, ...)
{
    va_list arguments;

    if (c->fault->overlook >> implication & 1)
        return true;
    va_start(arguments, format);
    c->fault->words = str_vprint(c->arena, format, arguments);
    va_end(arguments);
    c->fault->implication = (uint8_t)implication;
    c->fault->operation = at >= 0 && (size_t)at < c->count ? c->ops[at] : NULL;
    return false;
}

/* Two joints pulled in turns, directly or by way of others. */
bool check_together(const struct checker *c, const struct entry *a, const struct entry *b)
{
    return a->kind == ENTRY_JOINT && b->kind == ENTRY_JOINT &&
           check_seat(c, a)->group == check_seat(c, b)->group;
}

static void group_joints(struct checker *c)
{
    const struct spec *spec = c->spec;

    for (size_t i = 0; i < spec->joints.count; i++)
        check_seat(c, spec->joints.items[i])->group = i;
    for (size_t i = 0; i < spec->joints.count; i++)
        for (size_t k = 0; k < spec->joints.items[i]->together_with.to_count; k++) {
            size_t to = check_seat(c, spec->joints.items[i])->group;
            size_t from = check_seat(c, spec->joints.items[i]->together_with.to[k])->group;
            check_seat(c, spec->joints.items[i])->grouped = true;
            check_seat(c, spec->joints.items[i]->together_with.to[k])->grouped = true;
            for (size_t j = 0; from != to && j < spec->joints.count; j++)
                if (check_seat(c, spec->joints.items[j])->group == from)
                    check_seat(c, spec->joints.items[j])->group = to;
        }
}

bool check_lists(const struct refs *refs, const void *entry)
{
    for (size_t i = 0; i < refs->to_count; i++)
        if (refs->to[i] == entry)
            return true;
    return false;
}

/* ---------- seats ---------- */

static size_t slot_of(const struct checker *c, const void *entry)
{
    size_t slot = ((uintptr_t)entry >> 4) * 0x9E3779B97F4A7C15u % c->slot_count;

    while (c->slots[slot] && c->seats[c->slots[slot] - 1].entry != entry)
        slot = (slot + 1) % c->slot_count;
    return slot;
}

struct seat *check_seat(const struct checker *c, const void *entry)
{
    size_t found = entry ? c->slots[slot_of(c, entry)] : 0;

    return found ? &c->seats[found - 1] : NULL;
}

static void take_seats(struct checker *c)
{
    size_t count = c->spec->entries.count;

    c->seats = ARENA_ARRAY(c->arena, struct seat, count + 1);
    c->slot_count = 2 * count + 3;
    c->slots = ARENA_ARRAY(c->arena, size_t, c->slot_count);
    for (size_t i = 0; i < count; i++) {
        struct seat *seat = &c->seats[i];
        seat->entry = c->spec->entries.items[i];
        c->slots[slot_of(c, seat->entry)] = i + 1;
        for (int v = 0; v < VERB_COUNT; v++)
            seat->at[v] = NEVER;
        seat->bench = seat->assembled = NEVER;
        seat->strip_read = seat->stripped = seat->strip_fit = NEVER;
        seat->first = seat->last = NEVER;
    }
}

/* ---------- where parts are made up ---------- */

struct part *check_mover(struct part *part)
{
    while (part && part->host && part->state == STATE_STAYS)
        part = part->host;
    return part;
}

static bool is_above(const struct part *base, const struct part *part)
{
    for (; part; part = part->host)
        if (part == base)
            return true;
    return false;
}

/* On `base` when that goes in: listed, or all and no opening of its own on the way. */
static bool comes_with(const struct part *base, const struct part *part)
{
    if (check_lists(&base->with, part))
        return true;
    if (!base->with.all)
        return false;
    for (const struct part *at = part; at != base; at = at->host)
        if (at->through.text)
            return false;
    return true;
}

static void seat_part(struct checker *c, struct part *part)
{
    struct seat *seat = check_seat(c, part);

    seat->moves = part->host && part != c->spec->first && part->state != STATE_STAYS;
    if (part->host)
        *ARRAY_PUSH(c->arena, &check_seat(c, part->host)->on_it) = part;
    for (struct part *base = part->host; base && base != c->spec->first; base = base->host)
        if (comes_with(base, part)) {
            seat->unit = base;
            check_seat(c, base)->is_unit = true;
            break;
        }
}

static void seat_companions(struct checker *c, struct part *unit)
{
    for (size_t i = 0; unit->host && i < unit->with.to_count; i++) {
        if (unit->with.to[i]->kind != ENTRY_PART || is_above(unit, (struct part *)unit->with.to[i]))
            continue;
        struct seat *seat = check_seat(c, unit->with.to[i]);
        /* made up on a part that comes along too: it is on that, and comes with it */
        if (seat->leader || !check_within(c, check_seat(c, unit)->unit, seat->unit))
            continue;
        seat->leader = unit;
        seat->unit = check_seat(c, unit)->unit;
    }
}

static struct part *leader_of(const struct checker *c, struct part *part)
{
    for (size_t i = 0; check_seat(c, part)->leader && i < c->spec->parts.count; i++)
        part = check_seat(c, part)->leader;
    return part;
}

struct part *check_home(const struct checker *c, struct part *part)
{
    struct part *mover = check_mover(part);

    if (!mover)
        return NULL;
    return check_seat(c, mover)->is_unit ? mover : check_seat(c, mover)->unit;
}

bool check_within(const struct checker *c, struct part *unit, const struct part *outer)
{
    for (; unit && unit != outer; unit = check_seat(c, unit)->unit)
        ;
    return unit == outer;
}

static size_t nesting(const struct checker *c, struct part *unit)
{
    size_t deep = 0;

    for (; unit; unit = check_seat(c, unit)->unit)
        deep++;
    return deep;
}

struct part *check_common(const struct checker *c, struct part *a, struct part *b)
{
    size_t deep_a = nesting(c, a), deep_b = nesting(c, b);

    for (; deep_a > deep_b; deep_a--)
        a = check_seat(c, a)->unit;
    for (; deep_b > deep_a; deep_b--)
        b = check_seat(c, b)->unit;
    while (a != b) {
        a = check_seat(c, a)->unit;
        b = check_seat(c, b)->unit;
    }
    return a;
}

long check_in(const struct checker *c, struct part *part)
{
    part = check_mover(part);
    if (!part || !check_seat(c, part)->moves)
        return START;
    return check_seat(c, leader_of(c, part))->at[VERB_FIT];
}

long check_arrival(const struct checker *c, struct part *part, struct part *unit)
{
    part = check_mover(part);
    if (!part || (unit && check_within(c, unit, part)))
        return START;
    struct part *common = check_common(c, unit, check_seat(c, part)->unit);
    while (check_seat(c, part)->unit != common)
        part = check_seat(c, part)->unit;
    return check_in(c, part);
}

long check_out(const struct checker *c, struct part *part, struct part *unit)
{
    part = check_mover(part);
    if (!part || (unit && check_within(c, unit, part)))
        return NEVER;
    struct part *common = check_common(c, unit, check_seat(c, part)->unit);
    while (check_seat(c, part)->unit != common)
        part = check_seat(c, part)->unit;
    return check_seat(c, leader_of(c, part))->stripped;
}

/* ---------- what an entry is of, and where its work is done ---------- */

static void take(const struct checker *c, struct part_list *list, struct entry *entry)
{
    if (!entry || entry->kind != ENTRY_PART || check_seat(c, entry)->taken == list->number)
        return;
    check_seat(c, entry)->taken = list->number;
    *ARRAY_PUSH(c->arena, list) = (struct part *)entry;
}

/* What is named for the many that it is made of stands for them. */
static void take_assemblies(const struct checker *c, struct part_list *list)
{
    for (size_t i = 0; i < list->count; i++) {
        const struct seat *seat = check_seat(c, list->items[i]);
        for (size_t k = 0; list->items[i]->assembly.value && k < seat->made_on.count; k++)
            take(c, list, &seat->made_on.items[k]->e);
    }
}

static void take_refs(const struct checker *c, struct part_list *list, const struct refs *refs)
{
    for (size_t i = 0; i < refs->to_count; i++)
        take(c, list, refs->to[i]);
}

static void take_ref(const struct checker *c, struct part_list *list, const struct ref *ref)
{
    for (size_t i = 0; i < ref->count; i++)
        take(c, list, ref->to[i]);
}

static void take_sizes(const struct checker *c, struct part_list *list, const struct size_refs *refs)
{
    for (size_t i = 0; i < refs->count; i++)
        take(c, list, (struct entry *)refs->items[i].part);
}

struct part_list check_parts_of(const struct checker *c, struct entry *entry)
{
    struct part_list list = {.number = ++*c->lists};

    if (entry->kind == ENTRY_LIMIT) {
        const struct limit *limit = (const struct limit *)entry;
        take_refs(c, &list, &limit->of);
        take_sizes(c, &list, &limit->stack.plus);
        take_sizes(c, &list, &limit->stack.minus);
        take(c, &list, (struct entry *)limit->spread.part);
        take_ref(c, &list, &limit->spread_of);
        take(c, &list, (struct entry *)limit->wear.part);
    } else if (entry->kind == ENTRY_JOINT) {
        const struct joint *joint = (const struct joint *)entry;
        take_refs(c, &list, &joint->holds);
        take_ref(c, &list, &joint->to);
        take_ref(c, &list, &joint->stud);
        for (size_t i = 0; i < joint->uses.count; i++)
            take_ref(c, &list, &joint->uses.items[i].ref);
    } else if (entry->kind == ENTRY_SETTING) {
        take_refs(c, &list, &((const struct setting *)entry)->of);
    } else if (entry->kind == ENTRY_STEP) {
        take_refs(c, &list, &((const struct step *)entry)->of);
    } else if (entry->kind == ENTRY_PASSAGE) {
        const struct passage *passage = (const struct passage *)entry;
        take_refs(c, &list, &passage->path);
        for (size_t i = 0; i < passage->plug_count; i++)
            take(c, &list, &passage->plugs[i]->e);
    }
    take_assemblies(c, &list);
    return list;
}

/* Whether a part has a place on the engine: hardware and gaskets have none of their own. */
static bool has_seat(const struct checker *c, const struct part *part)
{
    return part->host || part == c->spec->first;
}

static struct part *plain_where(const struct checker *c, struct entry *entry)
{
    struct part_list parts = check_parts_of(c, entry);
    struct part *unit = NULL;
    bool begun = false, more = false;

    for (size_t i = 0; i < parts.count; i++) {
        if (!has_seat(c, parts.items[i]))
            continue;
        struct part *home = check_home(c, parts.items[i]);
        unit = begun ? check_common(c, unit, home) : home;
        begun = true;
    }
    for (size_t i = 0; i < parts.count; i++)
        more = more || (has_seat(c, parts.items[i]) && check_mover(parts.items[i]) != unit);
    return unit && !more ? check_seat(c, unit)->unit : unit;
}

static bool is_loose(const struct entry *entry)
{
    return entry->kind == ENTRY_FIT ||
           (entry->kind == ENTRY_LIMIT &&
            !(((const struct limit *)entry)->when & (MOMENT_ASSEMBLED | MOMENT_STRIP)) &&
            !((const struct limit *)entry)->by.count);
}

static struct part *trial_where(const struct checker *c, const struct trial *trial)
{
    struct part *unit = NULL;
    bool begun = false;

    for (size_t i = 0; i < trial->of.to_count; i++) {
        if (trial->of.to[i]->kind != ENTRY_PART)
            continue;
        struct part *own = check_seat(c, trial->of.to[i])->unit;
        unit = begun ? check_common(c, unit, own) : own;
        begun = true;
    }
    return unit;
}

static struct part *near_where(const struct checker *c, struct entry *entry)
{
    if (entry->kind == ENTRY_PART)
        return check_seat(c, entry)->unit;
    if (entry->kind == ENTRY_TRIAL)
        return trial_where(c, (struct trial *)entry);
    if (entry->kind == ENTRY_SEAL) {
        const struct refs *between = &((const struct seal *)entry)->between;
        return between->to_count && between->to[between->to_count - 1]->kind == ENTRY_PART
                   ? check_seat(c, between->to[between->to_count - 1])->unit
                   : NULL;
    }
    return plain_where(c, entry);
}

static const struct ref *by_of(const struct entry *entry)
{
    return entry->kind == ENTRY_LIMIT     ? &((const struct limit *)entry)->by
           : entry->kind == ENTRY_SETTING ? &((const struct setting *)entry)->by
           : entry->kind == ENTRY_STEP    ? &((const struct step *)entry)->by
                                          : NULL;
}

/* Led out of the unit by `reach` or `after`. */
static struct part *led_out(const struct checker *c, struct entry *entry, struct part *unit)
{
    if (entry->reach.count && entry->reach.to[0]->kind == ENTRY_OPENING) {
        struct part *host = ((struct opening *)entry->reach.to[0])->host;
        if (host && !check_within(c, check_home(c, host), unit))
            unit = check_common(c, unit, check_home(c, host));
    }
    for (size_t i = 0; i < entry->after.to_count; i++) {
        struct entry *other = entry->after.to[i];
        const struct seat *seat = check_seat(c, other);
        if ((seat->last != NEVER || seat->moves) && !is_loose(other))
            unit = check_common(c, unit, other->kind == ENTRY_JOINT ? check_where(c, other)
                                                                    : near_where(c, other));
    }
    return unit;
}

/* 3: within the unit of its parts, unless `reach`, `after` or `by` lead out of it; joints pulled in
 * turns are done in one place. */
struct part *check_where(const struct checker *c, struct entry *entry)
{
    struct part *unit = near_where(c, entry);
    const struct ref *by = by_of(entry);

    if (entry->kind == ENTRY_PART || entry->kind == ENTRY_SEAL || entry->kind == ENTRY_TRIAL)
        return unit;
    unit = led_out(c, entry, unit);
    for (size_t i = 0; by && i < by->count; i++)
        unit = check_common(c, unit, check_where(c, by->to[i]));
    for (size_t i = 0; check_seat(c, entry)->grouped && i < c->spec->joints.count; i++) {
        struct entry *other = &c->spec->joints.items[i]->e;
        if (other != entry && check_together(c, entry, other))
            unit = check_common(c, unit, led_out(c, other, near_where(c, other)));
    }
    return unit;
}

/* ---------- when each operation stands ---------- */

static void note_build(struct checker *c, struct seat *seat, const struct operation *op, long i)
{
    seat->at[op->verb] = i;
    seat->times[op->verb]++;
    if (seat->first == NEVER)
        seat->first = i;
    if (op->verb != VERB_WITNESS && op->verb != VERB_HEAT)
        seat->last = i;
    if (op->verb == VERB_READ && op->moment == MOMENT_BENCH)
        seat->bench = i;
    if (op->verb == VERB_READ && op->moment == MOMENT_ASSEMBLED)
        seat->assembled = i;
    if (op->verb == VERB_READ_AGAIN)
        *ARRAY_PUSH(c->arena, &seat->again) = (struct moment_at){op->object, i};
    if (op->verb == VERB_PROVE)
        *ARRAY_PUSH(c->arena, &seat->proofs) = (struct moment_at){op->object, i};
}

static void note_strip(struct seat *seat, const struct operation *op, long i)
{
    if (op->verb == VERB_READ) {
        seat->strip_read = i;
        seat->strip_reads++;
    } else if (op->verb == VERB_FIT) {
        seat->strip_fit = i;
        seat->strip_fits++;
    } else {
        seat->stripped = i;
        seat->strip_times++;
    }
}

static bool note_operations(struct checker *c)
{
    for (size_t i = 0; i < c->count; i++) {
        const struct operation *op = c->ops[i];
        struct seat *seat = check_seat(c, op->entry);
        if (!seat)
            return check_fail(c, 0, (long)i, "an operation of no entry");
        if (op->phase == PHASE_STRIP)
            note_strip(seat, op, (long)i);
        else if ((op->phase == PHASE_FINAL || op->phase == PHASE_SET) && !op->trial)
            note_build(c, seat, op, (long)i);
        else if (op->verb == VERB_TRIAL)
            seat->first = (long)i;
        if (op->trial && check_seat(c, op->trial))
            check_seat(c, op->trial)->last = (long)i;
    }
    return true;
}

/* ---------- every operation exactly as often as due ---------- */

static bool lock_is_done_apart(const struct joint *joint)
{
    return joint->lock.kind == LOCK_WIRE || joint->lock.kind == LOCK_SPLIT_PIN ||
           joint->lock.kind == LOCK_TAB_WASHER;
}

static void joint_due(struct checker *c, const struct joint *joint)
{
    struct seat *seat = check_seat(c, joint);

    seat->due[VERB_TIGHTEN] = 1;
    seat->due[VERB_LOCK] = lock_is_done_apart(joint);
    seat->due[VERB_NIP] = joint->nip.present || seat->made;
    for (size_t i = 0; i < joint->again.count; i++)
        if (joint->again.items[i].wait.present) {
            seat->due[VERB_WAIT]++;
            seat->due[VERB_RETIGHTEN]++;
        }
}

static void part_due(struct checker *c, struct part *part)
{
    struct seat *seat = check_seat(c, part);

    seat->due[VERB_FIT] = seat->moves && !seat->leader;
    seat->due[VERB_REMOVE] = seat->moves && part->until.count;
    seat->due[VERB_COUNT_BACK] =
        part->count_back.value && (seat->moves || (!part->host && part->used_by_count));
}

static void reading_due(struct checker *c, struct entry *entry)
{
    struct seat *seat = check_seat(c, entry);

    if (entry->kind == ENTRY_LIMIT) {
        const struct limit *limit = (const struct limit *)entry;
        seat->due[VERB_READ] =
            !!(limit->when & MOMENT_BENCH) + !!(limit->when & MOMENT_ASSEMBLED);
        seat->due[VERB_SET] = limit->by.count != 0;
    } else if (entry->kind == ENTRY_FIT) {
        const struct fit *fit = (const struct fit *)entry;
        bool apart = fit->inner.part && fit->outer.part && has_seat(c, fit->inner.part) &&
                     has_seat(c, fit->outer.part) &&
                     check_mover(fit->inner.part) != check_mover(fit->outer.part);
        seat->due[VERB_READ] = apart;
        seat->due[VERB_HEAT] = apart && (fit->heat.present || fit->chill.present);
    } else if (entry->kind == ENTRY_PASSAGE) {
        const struct passage *passage = (const struct passage *)entry;
        seat->due[VERB_PROVE] = 1;
        for (size_t i = 0; i < passage->path.to_count; i++)
            seat->due[VERB_PROVE] += passage->path.to[i]->kind == ENTRY_PART;
    } else if (entry->kind == ENTRY_SETTING) {
        seat->due[VERB_SET] = 1; /* readings again depend on the order: check_work.c */
        seat->due[VERB_READ_AGAIN] = seat->times[VERB_READ_AGAIN];
    }
}

static void entry_due(struct checker *c, struct entry *entry)
{
    struct seat *seat = check_seat(c, entry);

    if (entry->kind == ENTRY_PART)
        part_due(c, (struct part *)entry);
    else if (entry->kind == ENTRY_JOINT)
        joint_due(c, (const struct joint *)entry);
    else if (entry->kind == ENTRY_STEP)
        seat->due[VERB_DO] = 1;
    else if (entry->kind == ENTRY_SEAL) {
        const struct seal *seal = (const struct seal *)entry;
        seat->due[VERB_SEAL] = seal->gasket.count || seal->sealant_row;
        seat->due[VERB_WAIT] = seat->due[VERB_SEAL] && seal->sealant_row &&
                               seal->sealant_row->cures.present;
    } else
        reading_due(c, entry);
    if (!entry->witness.text || entry->kind == ENTRY_RUN || entry->kind == ENTRY_OUTWORK)
        return;
    unsigned any = entry->kind == ENTRY_TRIAL;
    for (int v = 0; v < VERB_COUNT; v++)
        any += v != VERB_HEAT ? seat->due[v] : 0;
    any += entry->kind == ENTRY_PART && seat->leader && seat->moves;
    seat->due[VERB_WITNESS] = any != 0;
}

static void note_brought(struct checker *c)
{
    for (size_t i = 0; i < c->spec->entries.count; i++) {
        const struct ref *by = by_of(c->spec->entries.items[i]);
        for (size_t k = 0; by && k < by->count; k++)
            check_seat(c, by->to[k])->made = true;
    }
}

static bool all_there(struct checker *c)
{
    for (size_t i = 0; i < c->spec->entries.count; i++) {
        struct seat *seat = &c->seats[i];
        entry_due(c, seat->entry);
        for (int v = 0; v < VERB_COUNT; v++)
            if (seat->times[v] != seat->due[v])
                return check_fail(c, 0, seat->at[v], "%s:%s is there %u times, due %u",
                                  verb_word((enum verb)v), seat->entry->member, seat->times[v],
                                  seat->due[v]);
    }
    return true;
}

/* Phases follow one another; trials stand within the build, follow-up between the runs. */
static int stage_of(enum phase phase)
{
    return phase == PHASE_TRIAL      ? PHASE_FINAL
           : phase == PHASE_FOLLOW_UP ? PHASE_FIRST_RUN
                                      : (int)phase;
}

static bool phases(struct checker *c)
{
    for (size_t i = 1; i < c->count; i++)
        if (stage_of(c->ops[i - 1]->phase) > stage_of(c->ops[i]->phase))
            return check_fail(c, 0, (long)i, "%s stands after %s, in a later phase", c->ops[i]->id,
                              c->ops[i - 1]->id);
    return true;
}

bool check_between(struct checker *c, long from, long to,
                   bool (*allowed)(const struct checker *, const struct operation *, const void *),
                   const void *user, long *stranger)
{
    *stranger = from;
    if (from < START || to < START)
        return false;
    for (long i = from + 1; i < to; i++)
        if (!allowed(c, c->ops[i], user)) {
            *stranger = i;
            return false;
        }
    return from < to;
}

bool plan_check(struct arena *arena, const struct build *build,
                struct operation *const *operations, size_t count, struct plan_fault *fault)
{
    struct checker c = {.arena = arena, .build = build, .spec = build->spec, .ops = operations,
                        .count = count, .fault = fault, .lists = ARENA_NEW(arena, size_t)};

    take_seats(&c);
    for (size_t i = 0; i < c.spec->parts.count; i++)
        seat_part(&c, c.spec->parts.items[i]);
    for (size_t i = 0; i < c.spec->parts.count; i++)
        seat_companions(&c, c.spec->parts.items[i]);
    for (size_t i = 0; i < c.spec->parts.count; i++) {
        struct part *part = c.spec->parts.items[i];
        if (check_seat(&c, part)->unit)
            *ARRAY_PUSH(arena, &check_seat(&c, check_seat(&c, part)->unit)->made_on) = part;
    }
    for (size_t i = 0; i < c.spec->joints.count; i++) {
        struct joint *joint = c.spec->joints.items[i];
        for (size_t k = 0; k < joint->holds.to_count; k++)
            if (joint->holds.to[k]->kind == ENTRY_PART)
                *ARRAY_PUSH(arena, &check_seat(&c, joint->holds.to[k])->held_by) = joint;
    }
    note_brought(&c);
    group_joints(&c);
    return phases(&c) && note_operations(&c) && all_there(&c) && check_phases(&c) &&
           check_strip(&c) && check_metal(&c) && check_work(&c) && check_runs(&c);
}
