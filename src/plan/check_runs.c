/* check_runs.c - the replay of trials, of the first run, and of what is tightened again after it
 * (implications 6, 9 and 14 of specs/LANGUAGE.md section 6). */
#include "check_private.h"

/* ---------- 14: trials ---------- */

static bool is_found(const struct trial *trial, const struct part *part)
{
    for (size_t i = 0; i < trial->finds.to_count; i++)
        if (trial->finds.to[i]->kind == ENTRY_LIMIT &&
            check_lists(&((const struct limit *)trial->finds.to[i])->pick, part))
            return true;
    return false;
}

static bool goes_in(const struct trial *trial, const struct part *part)
{
    return check_lists(&trial->of, part) && !check_lists(&trial->without, part) &&
           !is_found(trial, part);
}

/* What went in comes out again, last in first out; its readings are taken in between. */
static bool trial_balances(struct checker *c, struct trial *trial, long from, long to)
{
    struct { const struct operation **items; size_t count, room; } in = {0};
    size_t fitted = 0, read = 0, due = 0, readings = 0;

    for (long i = from + 1; i <= to; i++) {
        const struct operation *op = c->ops[i];
        if (op->trial != trial)
            return check_fail(c, 14, i, "%s stands within trial %s", op->id, trial->e.member);
        if (op->verb == VERB_FIT || op->verb == VERB_TIGHTEN) {
            *ARRAY_PUSH(c->arena, &in) = op;
            fitted += op->verb == VERB_FIT;
        } else if (op->verb == VERB_REMOVE || op->verb == VERB_SLACKEN) {
            enum verb was = op->verb == VERB_REMOVE ? VERB_FIT : VERB_TIGHTEN;
            if (!in.count || in.items[in.count - 1]->entry != op->entry ||
                in.items[in.count - 1]->verb != was)
                return check_fail(c, 14, i, "%s is out of turn in trial %s", op->id,
                                  trial->e.member);
            in.count--;
        } else if (op->verb == VERB_READ || op->verb == VERB_SET) {
            if (!check_lists(&trial->finds, op->entry))
                return check_fail(c, 14, i, "%s is not what trial %s finds", op->id, trial->e.member);
            read++;
        }
    }
    for (size_t i = 0; i < trial->of.to_count; i++)
        due += trial->of.to[i]->kind == ENTRY_PART && goes_in(trial, (struct part *)trial->of.to[i]) &&
               !check_seat(c, trial->of.to[i])->leader;
    for (size_t i = 0; i < trial->finds.to_count; i++)
        readings += trial->finds.to[i]->kind == ENTRY_LIMIT ||
                    trial->finds.to[i]->kind == ENTRY_FIT ||
                    trial->finds.to[i]->kind == ENTRY_SETTING;
    for (size_t i = 0; i < trial->finds.to_count; i++) {
        size_t times = 0;
        for (long k = from + 1; k <= to; k++)
            times += c->ops[k]->entry == trial->finds.to[i] &&
                     (c->ops[k]->verb == VERB_READ || c->ops[k]->verb == VERB_SET);
        if (times > 1)
            return check_fail(c, 14, from, "trial %s finds %s twice", trial->e.member,
                              trial->finds.to[i]->member);
    }
    if (in.count || fitted != due || read != readings)
        return check_fail(c, 14, from, "trial %s leaves something fitted, out or unread",
                          trial->e.member);
    return true;
}

static bool carried_by_trial(const struct checker *c, const struct trial *trial, struct part *part)
{
    for (part = check_mover(part); part; part = check_seat(c, part)->unit)
        if (goes_in(trial, part) || check_lists(&trial->of, part))
            return true;
    return false;
}

static bool trial_stands_on(struct checker *c, struct trial *trial, long from, struct part *where)
{
    for (size_t i = 0; i < trial->of.to_count; i++) {
        if (trial->of.to[i]->kind != ENTRY_PART)
            continue;
        struct part *part = (struct part *)trial->of.to[i];
        if (check_in(c, part) < from)
            return check_fail(c, 14, from, "%s is finally in before trial %s", part->e.member,
                              trial->e.member);
        struct part *host = check_mover(part->host);
        if (!host || carried_by_trial(c, trial, host) || str_equal(trial->where.text, "bench"))
            continue;
        struct part_list hosts = {.items = &host, .count = 1, .room = 1};
        if (!check_in_and_tight(c, 14, &trial->e, &hosts, where, NULL, from))
            return false;
    }
    return true;
}

static bool trials(struct checker *c, struct trial *trial)
{
    struct seat *seat = check_seat(c, trial);
    struct part *where = check_where(c, &trial->e);
    long from = seat->first, to = seat->last;

    if (from == NEVER || to == NEVER)
        return check_fail(c, 14, NEVER, "trial %s is not there", trial->e.member);
    if (!trial_balances(c, trial, from, to) || !trial_stands_on(c, trial, from, where))
        return false;
    for (size_t i = 0; i < trial->joints.to_count; i++)
        if (check_seat(c, trial->joints.to[i])->first < to)
            return check_fail(c, 14, from, "%s is finally tight before trial %s",
                              trial->joints.to[i]->member, trial->e.member);
    for (size_t i = 0; i < trial->finds.to_count; i++) {
        struct limit *limit = (struct limit *)trial->finds.to[i];
        if (limit->e.kind != ENTRY_LIMIT)
            continue;
        struct part_list parts = check_parts_of(c, &limit->e);
        for (size_t k = 0; k < parts.count; k++) {
            struct part *part = parts.items[k];
            bool seated = part->host || part == c->spec->first;
            if (seated && !carried_by_trial(c, trial, part) && !check_lists(&trial->without, part) &&
                !is_found(trial, part) && check_arrival(c, part, where) > from)
                return check_fail(c, 14, from, "trial %s finds %s without %s", trial->e.member,
                                  limit->e.member, part->e.member);
        }
        if (!(limit->when & MOMENT_BENCH) && !check_picks(c, &limit->pick, &limit->e, to))
            return false;
    }
    return true;
}

/* ---------- running: first run, and what is tightened again after it ---------- */

static long find_op(const struct checker *c, enum phase phase, enum verb verb,
                    const struct entry *entry, long from)
{
    for (size_t i = (size_t)(from + 1); i < c->count; i++)
        if (c->ops[i]->phase == phase && c->ops[i]->verb == verb && c->ops[i]->entry == entry)
            return (long)i;
    return NEVER;
}

/* Off and on again in the follow-up of a run: the part, or the unit that carries it. */
static bool opened(const struct checker *c, struct part *part, long run, long at)
{
    while (check_seat(c, part)->unit)
        part = check_seat(c, part)->unit;
    if (!check_seat(c, part)->moves || check_seat(c, part)->leader || part->until.count)
        return true; /* never there, or out by then */
    long off = find_op(c, PHASE_FOLLOW_UP, VERB_REMOVE, &part->e, run);
    long on = find_op(c, PHASE_FOLLOW_UP, VERB_FIT, &part->e, run);
    return off != NEVER && on != NEVER && off < at && at < on;
}

static long run_at(const struct checker *c, const struct entry *run)
{
    long at = find_op(c, PHASE_FIRST_RUN, VERB_RUN, run, -1);

    return at == NEVER ? find_op(c, PHASE_FOLLOW_UP, VERB_RUN, run, -1) : at;
}

/* Later than the first run: due by hours or date, or after a run that is. */
static bool is_due_later(const struct checker *c, const struct run *run, size_t steps)
{
    bool later = run->due.present || run->or_by.present;

    for (size_t i = 0; !later && steps < c->spec->runs.count && i < run->e.after.to_count; i++)
        later = run->e.after.to[i]->kind == ENTRY_RUN &&
                is_due_later(c, (const struct run *)run->e.after.to[i], steps + 1);
    return later;
}

static bool runs(struct checker *c)
{
    for (size_t i = 0; i < c->spec->runs.count; i++) {
        struct run *run = c->spec->runs.items[i];
        long at = run_at(c, &run->e);
        if (at == NEVER)
            return check_fail(c, 13, NEVER, "%s is not run", run->e.member);
        if ((c->ops[at]->phase == PHASE_FOLLOW_UP) != is_due_later(c, run, 0))
            return check_fail(c, 0, at, "%s is run in the wrong phase", run->e.member);
        for (size_t k = 0; k < run->e.after.to_count; k++)
            if (run->e.after.to[k]->kind == ENTRY_RUN && run_at(c, run->e.after.to[k]) > at)
                return check_fail(c, 13, at, "%s is run before %s", run->e.member,
                                  run->e.after.to[k]->member);
    }
    return true;
}

/* It can be seen: what closes the opening it is reached through is off at that moment. */
static bool seen_after(struct checker *c, struct setting *setting, long run, long at)
{
    struct part_list parts = check_parts_of(c, &setting->e);
    const struct ref *way = &setting->e.reach;

    for (size_t i = 0; !setting->e.reach.text && !setting->e.reach_outside && i < parts.count; i++)
        if (parts.items[i]->through.count) {
            way = &parts.items[i]->through;
            break;
        }
    if (!way->count || way->to[0]->kind != ENTRY_OPENING)
        return true;
    const struct opening *opening = (const struct opening *)way->to[0];
    for (size_t i = 0; i < opening->closer_count; i++)
        for (size_t k = 0; k < parts.count; k++)
            if (opening->closers[i] == parts.items[k] && way != &setting->e.reach)
                return true;
    for (size_t i = 0; i < opening->closer_count; i++) {
        struct part *closer = opening->closers[i];
        if (!closer->until.count && !opened(c, closer, run, at))
            return check_fail(c, 9, at, "%s is read again behind %s", setting->e.member,
                              closer->e.member);
    }
    return true;
}

static bool settings_read_after(struct checker *c, const struct joint *joint, long run, long at)
{
    for (size_t i = 0; i < c->spec->settings.count; i++) {
        struct setting *setting = c->spec->settings.items[i];
        bool touched = check_lists(&setting->upset_by, joint) ||
                       (setting->by.count && setting->by.to[0] == &joint->e);
        long read = touched ? find_op(c, PHASE_FOLLOW_UP, VERB_READ_AGAIN, &setting->e, at) : NEVER;
        if (touched && read == NEVER)
            return check_fail(c, 9, at, "%s is not read again after %s is tightened again",
                              setting->e.member, joint->e.member);
        if (touched && !seen_after(c, setting, run, read))
            return false;
    }
    return true;
}

/* What the joint is under is off while it is tightened again. */
static bool bared(struct checker *c, const struct joint *joint, long run, long at)
{
    for (size_t i = 0; i < joint->e.under.to_count; i++) {
        const struct entry *over = joint->e.under.to[i];
        if (over->kind == ENTRY_PART && !((const struct part *)over)->until.count &&
            !opened(c, (struct part *)over, run, at))
            return check_fail(c, 6, at, "%s is tightened again under %s", joint->e.member,
                              over->member);
    }
    return true;
}

static bool again_after_runs(struct checker *c, struct joint *joint)
{
    for (size_t i = 0; i < joint->again.count; i++) {
        const struct ref *run = &joint->again.items[i].run;
        long at, lock, stranger;
        if (!run->count || run->to[0]->kind != ENTRY_RUN)
            continue;
        at = find_op(c, PHASE_FOLLOW_UP, VERB_RETIGHTEN, &joint->e, run_at(c, run->to[0]));
        if (at == NEVER) /* undone on the way to another: then it is tightened anew */
            at = find_op(c, PHASE_FOLLOW_UP, VERB_TIGHTEN, &joint->e, run_at(c, run->to[0]));
        if (at == NEVER)
            return check_fail(c, 6, NEVER, "%s is not tightened again after %s", joint->e.member,
                              run->to[0]->member);
        lock = find_op(c, PHASE_FOLLOW_UP, VERB_LOCK, &joint->e, at);
        if (check_seat(c, joint)->due[VERB_LOCK] &&
            !check_between(c, at, lock, check_of_lock, &joint->e, &stranger))
            return check_fail(c, 6, at, "%s is not locked again", joint->e.member);
        if (!bared(c, joint, run_at(c, run->to[0]), at) ||
            !settings_read_after(c, joint, run_at(c, run->to[0]), at))
            return false;
    }
    return true;
}

/* ---------- what is opened after a run is closed again ---------- */

static bool is_twin(const struct operation *op, enum verb verb, const struct entry *entry,
                    const struct operation *of)
{
    return op->phase == PHASE_FOLLOW_UP && op->verb == verb && op->entry == entry &&
           op->object == of->object;
}

/* In the follow-up of the same run, between two positions. */
static bool stands(const struct checker *c, enum verb verb, const struct entry *entry,
                   const struct operation *of, long from, long to)
{
    for (long i = from; i < to; i++)
        if (is_twin(c->ops[i], verb, entry, of))
            return true;
    return false;
}

/* A part that comes off: what holds it is slack, it goes back later, and what seals it is laid anew. */
static bool part_goes_back(struct checker *c, struct part *part, long at)
{
    const struct operation *off = c->ops[at];
    const struct seat *seat = check_seat(c, part);

    for (size_t i = 0; i < seat->held_by.count; i++) {
        struct joint *joint = seat->held_by.items[i];
        struct part *where = check_where(c, &joint->e);
        bool within = where && check_within(c, where, part);
        if (!within && check_seat(c, joint)->at[VERB_TIGHTEN] != NEVER &&
            !stands(c, VERB_SLACKEN, &joint->e, off, 0, at))
            return check_fail(c, 6, at, "%s comes off while %s is tight", part->e.member, joint->e.member);
    }
    for (long i = at + 1; i < (long)c->count; i++) {
        if (!is_twin(c->ops[i], VERB_FIT, &part->e, off))
            continue;
        for (size_t k = 0; k < part->seal_count; k++) {
            const struct seal *seal = part->seals[k];
            if (seal->between.to[seal->between.to_count - 1] == &part->e &&
                check_seat(c, seal)->at[VERB_SEAL] != NEVER &&
                !stands(c, VERB_SEAL, &seal->e, off, at, i))
                return check_fail(c, 5, i, "%s goes back and %s is not laid anew", part->e.member,
                                  seal->e.member);
        }
        return true;
    }
    return check_fail(c, 6, at, "%s comes off after a run and does not go back", part->e.member);
}

static bool goes_back(struct checker *c, long at)
{
    const struct operation *op = c->ops[at];
    long last = (long)c->count;
    bool joint = op->entry->kind == ENTRY_JOINT, part = op->entry->kind == ENTRY_PART;

    if (part && op->verb == VERB_REMOVE)
        return part_goes_back(c, (struct part *)op->entry, at);
    if (joint && op->verb == VERB_SLACKEN && !stands(c, VERB_TIGHTEN, op->entry, op, at, last))
        return check_fail(c, 6, at, "%s is slackened after a run and not tightened", op->entry->member);
    if ((joint && op->verb == VERB_TIGHTEN && !stands(c, VERB_SLACKEN, op->entry, op, 0, at)) ||
        (part && op->verb == VERB_FIT && !stands(c, VERB_REMOVE, op->entry, op, 0, at)))
        return check_fail(c, 6, at, "%s is done after a run to what was not undone", op->id);
    if (joint && (op->verb == VERB_TIGHTEN || op->verb == VERB_RETIGHTEN) &&
        check_seat(c, op->entry)->due[VERB_LOCK] && !stands(c, VERB_LOCK, op->entry, op, at, last))
        return check_fail(c, 6, at, "%s is not locked again", op->entry->member);
    return true;
}

/* Nothing stands twice: counts of the build are looked at by check.c, all that repeats by its cause here. */
static bool once_each(struct checker *c)
{
    long *last = ARENA_ARRAY(c->arena, long, c->spec->entries.count + 1);
    long *before = ARENA_ARRAY(c->arena, long, c->count + 1);

    for (long i = 0; i < (long)c->count; i++) {
        const struct operation *op = c->ops[i];
        long *own = &last[check_seat(c, op->entry) - c->seats];
        bool repeats = op->phase == PHASE_FIRST_RUN || op->phase == PHASE_FOLLOW_UP ||
                       op->verb == VERB_READ_AGAIN || op->verb == VERB_TRIAL;
        for (long k = *own; repeats && k; k = before[k - 1])
            if (c->ops[k - 1]->verb == op->verb && c->ops[k - 1]->object == op->object &&
                c->ops[k - 1]->phase == op->phase && c->ops[k - 1]->moment == op->moment)
                return check_fail(c, 0, i, "%s is there twice", op->id);
        before[i] = *own;
        *own = i + 1;
    }
    return true;
}

#define EACH(c, list, check)                                                                       \
    for (size_t i = 0; i < (c)->spec->list.count; i++)                                             \
        if (!check((c), (c)->spec->list.items[i]))                                                 \
            return false

bool check_runs(struct checker *c)
{
    EACH(c, trials, trials);
    EACH(c, joints, again_after_runs);
    for (size_t i = 0; i < c->count; i++)
        if (c->ops[i]->phase == PHASE_FOLLOW_UP && !goes_back(c, (long)i))
            return false;
    return once_each(c) && runs(c);
}
