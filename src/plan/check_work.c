/* check_work.c - the replay of what is done to the parts: joints, readings, settings, passages,
 * witnesses, before and after (implications 3, 6 to 11 and 13 of specs/LANGUAGE.md section 6). */
#include "check_private.h"

static struct joint *joint_named(const struct ref *by)
{
    return by->count && by->to[0]->kind == ENTRY_JOINT ? (struct joint *)by->to[0] : NULL;
}

/* ---------- what must be in and tight; what must still be open ---------- */

static long latest(long a, long b)
{
    return a > b ? a : b;
}

/* When the part is at hand in `where`, by itself or by the seal or joints that bring it. */
static long in_at(const struct checker *c, struct part *part, struct part *where)
{
    long at = START;

    if (part->host || part == c->spec->first)
        return check_arrival(c, part, where);
    for (size_t i = 0; i < part->sealed_by_count; i++)
        at = latest(at, check_seat(c, part->sealed_by[i])->at[VERB_SEAL]);
    for (size_t i = 0; i < part->used_by_count; i++)
        at = latest(at, check_seat(c, part->used_by[i])->first);
    return at;
}

static bool tight_at(struct checker *c, int implication, struct part *part, struct part *where,
                     const struct joint *loose, long at, const struct entry *entry)
{
    struct seat *seat = check_seat(c, part);

    for (size_t i = 0; i < seat->held_by.count; i++) {
        struct joint *joint = seat->held_by.items[i];
        if (joint != loose && check_within(c, check_where(c, &joint->e), where) &&
            check_seat(c, joint)->last > at)
            return check_fail(c, implication, at, "%s comes before %s is tight", entry->member,
                              joint->e.member);
    }
    return true;
}

/* `assembled`: in and tight, along with what the parts sit on, no further out than `where`. */
bool check_in_and_tight(struct checker *c, int implication, struct entry *entry,
                        const struct part_list *parts, struct part *where,
                        const struct joint *loose, long at)
{
    size_t climb = ++*c->lists;

    for (size_t i = 0; i < parts->count; i++) {
        struct part *part = parts->items[i];
        if (in_at(c, part, where) > at)
            return check_fail(c, implication, at, "%s comes before %s is in", entry->member,
                              part->e.member);
        bool seated = part->host || part == c->spec->first;
        for (struct part *on = seated ? part : NULL;
             on && on != where && check_seat(c, on)->climbed != climb &&
             check_within(c, check_home(c, on), where);
             on = on->host) {
            check_seat(c, on)->climbed = climb;
            if (check_arrival(c, on, where) > at || 
                !tight_at(c, implication, on, where, loose, at, entry))
                return c->fault->words ? false
                                       : check_fail(c, implication, at,
                                                    "%s comes before %s is in", entry->member,
                                                    on->e.member);
        }
    }
    return true;
}

static bool still_open(struct checker *c, int implication, long at, struct part *where,
                       const struct ref *way, const struct refs *spared,
                       const struct part_list *own)
{
    if (at < 0 || !way->count || way->to[0]->kind != ENTRY_OPENING)
        return true;
    const struct opening *opening = (const struct opening *)way->to[0];
    for (size_t i = 0; own && i < opening->closer_count; i++)
        for (size_t k = 0; k < own->count; k++)
            if (own->items[k] == opening->closers[i])
                return true;
    for (size_t i = 0; i < opening->closer_count; i++) {
        long closes = check_arrival(c, opening->closers[i], where);
        if (!(spared && check_lists(spared, opening->closers[i])) && closes >= 0 && closes < at)
            return check_fail(c, implication, at, "%s comes after %s has closed %s",
                              c->ops[at]->id, opening->closers[i]->e.member, opening->e.member);
    }
    return true;
}

/* The reach of a reading or setting: said, or the `through` of the first that has one. */
static bool reached(struct checker *c, int implication, const struct entry *entry, long at,
                    struct part *where, const struct part_list *parts)
{
    if (entry->reach.text || entry->reach_outside)
        return still_open(c, implication, at, where, &entry->reach, NULL, NULL);
    for (size_t i = 0; i < parts->count; i++)
        if (parts->items[i]->through.count)
            return still_open(c, implication, at, where, &parts->items[i]->through, NULL, parts);
    return true;
}

/* 3: finished before the unit goes in. */
static bool within_unit(struct checker *c, struct entry *entry, struct part *where)
{
    const struct seat *seat = check_seat(c, entry);
    long last = latest(seat->last, seat->at[VERB_WITNESS]);

    if (!where || last < 0 || check_in(c, where) > last || last == seat->bench)
        return true;
    return check_fail(c, 3, last, "%s concerns only %s, which is in by then", entry->member,
                      where->e.member);
}

/* ---------- 6: joints ---------- */

bool check_of_lock(const struct checker *c, const struct operation *op, const void *user)
{
    return (op->verb == VERB_TIGHTEN || op->verb == VERB_RETIGHTEN || op->verb == VERB_LOCK ||
            op->verb == VERB_WITNESS) &&
           check_together(c, op->entry, user);
}

static bool joint_sequence(struct checker *c, struct joint *joint)
{
    const struct seat *seat = check_seat(c, joint);
    long tight = seat->at[VERB_TIGHTEN], final = tight, stranger;

    if (seat->at[VERB_NIP] > tight)
        return check_fail(c, 7, tight, "%s is tightened before it is nipped", joint->e.member);
    if (seat->times[VERB_RETIGHTEN]) {
        final = seat->at[VERB_RETIGHTEN];
        if (seat->at[VERB_WAIT] < tight || final < seat->at[VERB_WAIT])
            return check_fail(c, 6, final, "%s does not rest before it is tightened again",
                              joint->e.member);
    }
    if (seat->times[VERB_LOCK] &&
        !check_between(c, final, seat->at[VERB_LOCK], check_of_lock, joint, &stranger))
        return check_fail(c, 6, seat->at[VERB_LOCK], "%s is not locked straight after tightening",
                          joint->e.member);
    for (size_t i = 0; i < joint->together_with.to_count; i++) {
        const struct seat *other = check_seat(c, joint->together_with.to[i]);
        long a = tight < other->at[VERB_TIGHTEN] ? tight : other->at[VERB_TIGHTEN];
        long b = latest(tight, other->at[VERB_TIGHTEN]);
        if (b - a > 1 && !check_between(c, a, b, check_of_lock, joint, &stranger))
            return check_fail(c, 6, tight, "%s is not pulled together with %s", joint->e.member,
                              joint->together_with.to[i]->member);
        if (seat->at[VERB_LOCK] >= 0 && seat->at[VERB_LOCK] < b)
            return check_fail(c, 6, tight, "%s is locked before %s is tight", joint->e.member,
                              joint->together_with.to[i]->member);
    }
    return true;
}

static long all_in_at(const struct checker *c, struct joint *joint, struct part *where)
{
    struct part_list parts = check_parts_of(c, &joint->e);
    long in = START;

    for (size_t i = 0; i < parts.count; i++)
        if (parts.items[i]->host || parts.items[i] == c->spec->first)
            in = latest(in, check_arrival(c, parts.items[i], where));
    return in;
}

/* When the last operation of an entry is done, witness included. */
static long ends(const struct checker *c, const struct entry *entry)
{
    const struct seat *seat = check_seat(c, entry);
    long last = latest(seat->last, seat->at[VERB_WITNESS]);

    return entry->kind == ENTRY_PART && seat->moves
               ? latest(last, check_in(c, (struct part *)entry))
               : last;
}

/* Whether the facts themselves, rather than neglect, hold a joint up until `at`. */
static bool holds_up(const struct checker *c, struct joint *joint, long at)
{
    for (size_t i = 0; i < joint->e.after.to_count; i++)
        if (ends(c, joint->e.after.to[i]) >= at)
            return true;
    for (size_t i = 0; i < c->spec->entries.count; i++)
        if (check_lists(&c->spec->entries.items[i]->before, joint) &&
            ends(c, c->spec->entries.items[i]) >= at)
            return true;
    for (size_t i = 0; i < c->spec->trials.count; i++)
        if (check_lists(&c->spec->trials.items[i]->joints, joint) &&
            check_seat(c, c->spec->trials.items[i])->last >= at)
            return true;
    /* it waits for what is brought right by it, or for its own parts */
    return check_seat(c, joint)->made || all_in_at(c, joint, check_where(c, &joint->e)) >= at;
}

/* The joint itself, or one that it is pulled in turns with. */
static bool held_up(const struct checker *c, const struct joint *joint, long at)
{
    for (size_t i = 0; i < c->spec->joints.count; i++)
        if (check_together(c, &joint->e, &c->spec->joints.items[i]->e) &&
            holds_up(c, c->spec->joints.items[i], at))
            return true;
    return false;
}

/* No joint is left untight or unlocked when anything goes in what it holds, unless `by`. */
static bool left_untight(struct checker *c, struct joint *joint, long in)
{
    const struct seat *seat = check_seat(c, joint);
    struct part_list own = check_parts_of(c, &joint->e);

    for (size_t i = 0; i < joint->holds.to_count; i++) {
        if (joint->holds.to[i]->kind != ENTRY_PART)
            continue;
        const struct seat *held = check_seat(c, joint->holds.to[i]);
        for (size_t k = 0; k < held->on_it.count; k++) {
            struct part *part = held->on_it.items[k];
            long goes = check_in(c, part);
            bool of_joint = false;
            for (size_t j = 0; j < own.count; j++)
                of_joint = of_joint || own.items[j] == part;
            /* what helps to tighten it goes in before */
            of_joint = of_joint || (part->until.count && part->until.to[0] == &joint->e);
            if (!of_joint && check_seat(c, part)->moves && goes > in && goes < seat->last &&
                !held_up(c, joint, goes))
                return check_fail(c, 6, goes, "%s goes on %s while %s is left untight or unlocked",
                                  part->e.member, joint->holds.to[i]->member, joint->e.member);
        }
    }
    return true;
}

static bool joints(struct checker *c, struct joint *joint)
{
    struct seat *seat = check_seat(c, joint);
    struct part *where = check_where(c, &joint->e);
    struct part *main = joint->holds.to_count && joint->holds.to[0]->kind == ENTRY_PART
                            ? (struct part *)joint->holds.to[0]
                            : NULL;
    long in = all_in_at(c, joint, where);

    if (in > seat->first)
        return check_fail(c, 6, seat->first, "%s is begun before all it holds is in",
                          joint->e.member);
    const struct ref none = {0};
    const struct ref *way = joint->e.reach.text || joint->e.reach_outside ? &joint->e.reach
                            : main                                        ? &main->through
                                                                          : &none;
    return joint_sequence(c, joint) && left_untight(c, joint, in) &&
           still_open(c, 6, seat->last, where, way, &joint->holds, NULL) &&
           within_unit(c, &joint->e, where);
}

/* ---------- 7: nipped, brought right, tight and locked, read again ---------- */

static bool brought_right(struct checker *c, struct entry *entry, const struct ref *by, long made)
{
    struct joint *joint = joint_named(by);
    const struct seat *seat = joint ? check_seat(c, joint) : NULL;

    if (joint && (made < seat->at[VERB_NIP] || made > seat->at[VERB_TIGHTEN]))
        return check_fail(c, 7, made, "%s is not brought right between nip and tightening of %s",
                          entry->member, joint->e.member);
    return true;
}

/* ---------- 8: limits, fits, check_picks, outwork ---------- */

bool check_picks(struct checker *c, const struct refs *pick, const struct entry *entry, long at)
{
    for (size_t i = 0; i < pick->to_count && at >= 0; i++) {
        if (pick->to[i]->kind != ENTRY_PART)
            continue;
        struct part *part = (struct part *)pick->to[i];
        long in = part->host ? check_in(c, part) : in_at(c, part, NULL);
        if (in >= 0 && in < at)
            return check_fail(c, 8, at, "%s is fitted before %s check_picks it", part->e.member,
                              entry->member);
    }
    return true;
}

/* Its own going in, or that of the seal or the joints that bring it. */
static bool before_its_parts(struct checker *c, const struct part_list *parts,
                             const struct entry *entry, long at)
{
    for (size_t i = 0; i < parts->count; i++) {
        struct part *part = parts->items[i];
        long in = check_seat(c, part)->moves ? check_in(c, part) : START;
        for (size_t k = 0; !part->host && k < part->sealed_by_count; k++)
            in = check_seat(c, part->sealed_by[k])->at[VERB_SEAL];
        if (in >= 0 && in < at)
            return check_fail(c, 8, at, "%s is in before %s is read on the bench", part->e.member,
                              entry->member);
    }
    return true;
}

static bool limits(struct checker *c, struct limit *limit)
{
    struct seat *seat = check_seat(c, limit);
    struct part_list parts = check_parts_of(c, &limit->e);
    struct part *where = check_where(c, &limit->e);
    struct joint *by = joint_named(&limit->by);
    long made = seat->at[VERB_SET];

    if (limit->when & MOMENT_BENCH &&
        !(before_its_parts(c, &parts, &limit->e, seat->bench) &&
          check_picks(c, &limit->pick, &limit->e, seat->bench)))
        return false;
    if (made >= 0 && !(brought_right(c, &limit->e, &limit->by, made) &&
                       check_in_and_tight(c, 7, &limit->e, &parts, where, by, made) &&
                       reached(c, 7, &limit->e, made, where, &parts)))
        return false;
    if (limit->when & MOMENT_ASSEMBLED) {
        if (by && check_seat(c, by)->last > seat->assembled)
            return check_fail(c, 7, seat->assembled, "%s is read before %s is tight and locked",
                              limit->e.member, by->e.member);
        if (made > seat->assembled)
            return check_fail(c, 7, made, "%s is read before it is brought right", limit->e.member);
        if (!check_in_and_tight(c, 8, &limit->e, &parts, where, NULL, seat->assembled) ||
            !reached(c, 8, &limit->e, seat->assembled, where, &parts) ||
            !within_unit(c, &limit->e, where))
            return false;
    }
    return true;
}

static bool fits(struct checker *c, struct fit *fit)
{
    struct seat *seat = check_seat(c, fit);

    if (seat->bench == NEVER)
        return true;
    struct part *common =
        check_common(c, check_home(c, fit->inner.part), check_home(c, fit->outer.part));
    long meets = latest(check_arrival(c, fit->inner.part, common),
                        check_arrival(c, fit->outer.part, common));
    if (meets >= 0 && meets < seat->bench)
        return check_fail(c, 8, seat->bench, "%s is checked after its parts have met",
                          fit->e.member);
    long heat = seat->at[VERB_HEAT];
    for (long i = heat + 1; heat >= 0 && i < meets; i++) {
        enum verb verb = c->ops[i]->verb;
        bool gasket = verb == VERB_PROVE && c->ops[i]->object && !c->ops[i]->loose;
        if (verb != VERB_SEAL && verb != VERB_HEAT && verb != VERB_WITNESS && !gasket)
            return check_fail(c, 8, heat, "%s is heated and left to cool", fit->e.member);
    }
    if (heat >= 0 && heat > meets)
        return check_fail(c, 8, heat, "%s is heated after its parts have met", fit->e.member);
    return check_picks(c, &fit->pick, &fit->e, seat->bench);
}

static bool outwork(struct checker *c)
{
    long final = NEVER;
    unsigned *sent = ARENA_ARRAY(c->arena, unsigned, c->spec->entries.count + 1);

    for (size_t i = 0; i < c->count; i++) {
        const struct operation *op = c->ops[i];
        if (final == NEVER && (op->phase == PHASE_FINAL || op->phase == PHASE_TRIAL))
            final = (long)i;
        if (op->verb != VERB_SEND && op->verb != VERB_MEASURE_RETURN)
            continue;
        if (final != NEVER)
            return check_fail(c, 8, (long)i, "%s comes after the build has begun", op->id);
        sent[check_seat(c, op->entry) - c->seats] += op->verb == VERB_SEND ? 1 : 16;
    }
    for (size_t i = 0; i < c->spec->outwork.count; i++)
        if (sent[check_seat(c, c->spec->outwork.items[i]) - c->seats] != 17)
            return check_fail(c, 8, NEVER, "%s is not sent and measured on return once",
                              c->spec->outwork.items[i]->e.member);
    return true;
}

/* ---------- 9: settings ---------- */

static long again_after(const struct seat *seat, const struct entry *cause, long at)
{
    for (size_t i = 0; i < seat->again.count; i++)
        if (seat->again.items[i].object == cause && seat->again.items[i].at > at)
            return seat->again.items[i].at;
    return NEVER;
}

static bool upset(struct checker *c, const struct setting *setting, const struct refs *by_list,
                  const struct ref *by)
{
    const struct seat *seat = check_seat(c, setting);

    for (size_t i = 0; i < by_list->to_count + by->count; i++) {
        const struct entry *cause = i < by_list->to_count ? by_list->to[i]
                                                          : by->to[i - by_list->to_count];
        long spoiled = check_seat(c, cause)->last;
        if (spoiled > seat->at[VERB_SET] && again_after(seat, cause, spoiled) == NEVER)
            return check_fail(c, cause->kind == ENTRY_JOINT && i >= by_list->to_count ? 7 : 9,
                              spoiled, "%s is not read again after %s", setting->e.member,
                              cause->member);
    }
    return true;
}

static bool settings(struct checker *c, struct setting *setting)
{
    struct seat *seat = check_seat(c, setting);
    struct part_list parts = check_parts_of(c, &setting->e);
    struct part *where = check_where(c, &setting->e);
    long made = seat->at[VERB_SET];
    unsigned known = 0;

    if (!check_in_and_tight(c, 9, &setting->e, &parts, where, joint_named(&setting->by), made) ||
        !brought_right(c, &setting->e, &setting->by, made) ||
        !upset(c, setting, &setting->upset_by, &setting->by) ||
        !reached(c, 9, &setting->e, seat->last, where, &parts))
        return false;
    for (size_t i = 0; i < seat->again.count; i++) {
        const struct moment_at *again = &seat->again.items[i];
        bool marks = !again->object && setting->teeth.count > 1;
        bool due = again->object && (check_lists(&setting->upset_by, again->object) ||
                                     (setting->by.count && setting->by.to[0] == again->object));
        known += marks;
        if (again->at < made || !(marks || due))
            return check_fail(c, 9, again->at, "%s is read again for nothing", setting->e.member);
    }
    if (known != (setting->teeth.count > 1))
        return check_fail(c, 9, made, "the marks of %s are not read again", setting->e.member);
    return seat->again.count > known + setting->by.count || within_unit(c, &setting->e, where);
}

/* ---------- 10: passages ---------- */

static bool proved_loose(struct checker *c, struct passage *passage, struct part *part, long at)
{
    struct seat *seat = check_seat(c, part);

    if (seat->moves && check_in(c, part) < at)
        return check_fail(c, 10, at, "%s is proved in %s after that is in", passage->e.member,
                          part->e.member);
    for (size_t i = 0; i < seat->on_it.count; i++)
        if (check_seat(c, seat->on_it.items[i])->moves && check_in(c, seat->on_it.items[i]) < at)
            return check_fail(c, 10, at, "%s is proved in %s after %s is on it", passage->e.member,
                              part->e.member, seat->on_it.items[i]->e.member);
    return true;
}

static bool seen_over(struct checker *c, struct passage *passage, struct part *gasket, long at)
{
    for (size_t i = 0; i < gasket->sealed_by_count; i++) {
        const struct seal *seal = gasket->sealed_by[i];
        struct entry *last = seal->between.to_count ? seal->between.to[seal->between.to_count - 1]
                                                    : NULL;
        if (last && last->kind == ENTRY_PART &&
            (check_seat(c, seal)->at[VERB_SEAL] > at || check_in(c, (struct part *)last) < at))
            return check_fail(c, 10, at, "the hole of %s for %s is not seen as it goes on",
                              gasket->e.member, passage->e.member);
    }
    return true;
}

static bool passages(struct checker *c, struct passage *passage)
{
    struct seat *seat = check_seat(c, passage);
    struct part_list parts = check_parts_of(c, &passage->e);
    struct part *where = check_where(c, &passage->e);
    long whole = NEVER;

    for (size_t i = 0; i < seat->proofs.count; i++) {
        struct part *part = (struct part *)seat->proofs.items[i].object;
        if (!part)
            whole = seat->proofs.items[i].at;
        else if (!check_lists(&passage->path, part))
            return check_fail(c, 10, seat->proofs.items[i].at, "%s is proved off its path",
                              passage->e.member);
        else if (part->host || part == c->spec->first
                     ? !proved_loose(c, passage, part, seat->proofs.items[i].at)
                     : !seen_over(c, passage, part, seat->proofs.items[i].at))
            return false;
    }
    for (size_t i = 0; i < seat->proofs.count; i++)
        if (seat->proofs.items[i].at > whole)
            return check_fail(c, 10, whole, "%s is proved whole before its pieces",
                              passage->e.member);
    return check_in_and_tight(c, 10, &passage->e, &parts, where, NULL, whole) &&
           still_open(c, 10, whole, where, &passage->e.reach, NULL, NULL) &&
           within_unit(c, &passage->e, where);
}

/* ---------- 11, 13: witnesses, before and after ---------- */

static bool signs(const struct checker *c, const struct operation *op, const void *user)
{
    (void)c;
    (void)user;
    return op->verb == VERB_WITNESS || op->verb == VERB_COUNT_BACK;
}

static bool witness(struct checker *c, struct entry *entry)
{
    const struct seat *seat = check_seat(c, entry);
    long last = seat->last, stranger;

    if (!seat->due[VERB_WITNESS])
        return true;
    if (entry->kind == ENTRY_PART && last == NEVER)
        last = check_in(c, (struct part *)entry);
    if (entry->kind == ENTRY_SEAL)
        last = seat->at[VERB_SEAL]; /* the cure is waiting, not work */
    if (check_between(c, last, seat->at[VERB_WITNESS], signs, NULL, &stranger))
        return true;
    return check_fail(c, 11, seat->at[VERB_WITNESS],
                      "%s is not witnessed directly after its last operation", entry->member);
}

static long begins(const struct checker *c, const struct entry *entry)
{
    const struct seat *seat = check_seat(c, entry);

    if (entry->kind == ENTRY_LIMIT)
        return seat->at[VERB_SET] >= 0 ? seat->at[VERB_SET]
               : seat->assembled >= 0  ? seat->assembled
                                       : seat->bench;
    if (entry->kind == ENTRY_PASSAGE)
        return seat->at[VERB_PROVE];
    if (entry->kind == ENTRY_PART)
        return check_seat(c, entry)->moves ? check_in(c, (struct part *)entry) : NEVER;
    return seat->first;
}

/* For what says `after`: a slave part counts from when it is in, not from when it is out again. */
static long there(const struct checker *c, const struct entry *entry)
{
    bool slave = entry->kind == ENTRY_PART && ((const struct part *)entry)->until.count;

    return slave ? check_in(c, (struct part *)entry) : ends(c, entry);
}

static bool before_after(struct checker *c, struct entry *entry)
{
    long own = begins(c, entry);

    for (size_t i = 0; i < entry->after.to_count; i++)
        if (own >= 0 && there(c, entry->after.to[i]) >= own)
            return check_fail(c, 13, own, "%s comes before %s, and says after", entry->member,
                              entry->after.to[i]->member);
    for (size_t i = 0; i < entry->before.to_count; i++) {
        const struct entry *other = entry->before.to[i];
        long first = other->kind == ENTRY_PART ? begins(c, other) : check_seat(c, other)->first;
        if (first >= 0 && ends(c, entry) >= first)
            return check_fail(c, 13, first, "%s comes after %s, and says before", entry->member,
                              other->member);
    }
    return true;
}

static bool steps(struct checker *c, struct step *step)
{
    struct part *where = check_where(c, &step->e);
    long at = check_seat(c, step)->at[VERB_DO];

    for (size_t i = 0; i < step->of.to_count; i++) {
        struct part *part = (struct part *)step->of.to[i];
        if (part->e.kind == ENTRY_PART && !check_lists(&step->e.before, part) &&
            (part->host || part == c->spec->first) && check_arrival(c, part, where) > at)
            return check_fail(c, 3, at, "%s is done before %s is there", step->e.member,
                              part->e.member);
    }
    return brought_right(c, &step->e, &step->by, at) &&
           still_open(c, 4, at, where, &step->e.reach, NULL, NULL) &&
           within_unit(c, &step->e, where);
}

#define EACH(c, list, check)                                                                       \
    for (size_t i = 0; i < (c)->spec->list.count; i++)                                             \
        if (!check((c), (c)->spec->list.items[i]))                                                 \
            return false

bool check_work(struct checker *c)
{
    EACH(c, joints, joints);
    EACH(c, limits, limits);
    EACH(c, fits, fits);
    EACH(c, settings, settings);
    EACH(c, passages, passages);
    EACH(c, steps, steps);
    EACH(c, entries, witness);
    EACH(c, entries, before_after);
    return outwork(c);
}
