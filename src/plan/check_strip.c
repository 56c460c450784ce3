/* check_strip.c - the replay of the strip: the same facts in reverse, and what is read as found before it
 * is lost. A part that was not there has no place in it. */
#include "check_private.h"

static bool was_there(const struct part *part)
{
    return part->state != STATE_MISSING && part->state != STATE_MAKE;
}

/* ---------- parts ---------- */

/* In the build the first goes in before the second: here the second comes off before the first. */
static bool off_after(struct checker *c, int implication, struct part *first, struct part *second,
                      const char *why)
{
    struct part *common;
    long out, before;

    if (!check_seat(c, first)->moves || !check_seat(c, second)->moves || first == second)
        return true;
    common = check_common(c, check_home(c, first), check_home(c, second));
    if (common == second || common == first)
        return true;
    out = check_out(c, first, common);
    before = check_out(c, second, common);
    if (out == NEVER || before == NEVER || before <= out)
        return true;
    return check_fail(c, implication, out, "%s comes off before %s, %s", first->e.member,
                      second->e.member, why);
}

static bool off_after_all(struct checker *c, int implication, struct part *part,
                          const struct refs *others, const char *why)
{
    for (size_t i = 0; i < others->to_count; i++)
        if (others->to[i]->kind == ENTRY_PART &&
            !off_after(c, implication, part, (struct part *)others->to[i], why))
            return false;
    return true;
}

static bool covers_off(struct checker *c, struct part *part)
{
    if (part->through.count && part->through.to[0]->kind == ENTRY_OPENING) {
        const struct opening *opening = (const struct opening *)part->through.to[0];
        for (size_t i = 0; i < opening->closer_count; i++)
            if (!off_after(c, 4, part, opening->closers[i], "which closes its opening"))
                return false;
    }
    return off_after_all(c, 4, part, &part->clear_of, "which it must be clear of") &&
           off_after_all(c, 4, part, &part->e.under, "which it lies under");
}

/* A joint that holds it is slack. A joint within the unit that the part is keeps it together when that
 * comes off. */
static bool joints_slack(struct checker *c, struct part *part, long out)
{
    const struct seat *seat = check_seat(c, part);

    for (size_t i = 0; i < seat->held_by.count; i++) {
        const struct seat *joint = check_seat(c, seat->held_by.items[i]);
        if (part != check_where(c, joint->entry) && joint->stripped != NEVER &&
            joint->stripped > out)
            return check_fail(c, 6, out, "%s comes off while %s is tight", part->e.member,
                              seat->held_by.items[i]->e.member);
    }
    return true;
}

static bool strip_part(struct checker *c, struct part *part)
{
    struct seat *seat = check_seat(c, part);
    unsigned due = seat->moves && !seat->leader && was_there(part);
    unsigned again = seat->moves && part->until.count && was_there(part);

    if (seat->strip_times != due || seat->strip_fits != again || seat->strip_reads)
        return check_fail(c, 0, seat->stripped, "%s is taken off %u times, due %u", part->e.member,
                          seat->strip_times, due);
    /* what comes along comes off with what brings it */
    long out = seat->moves && was_there(part) ? check_out(c, part, seat->unit) : NEVER;
    if (out == NEVER)
        return true;
    if (seat->unit && check_seat(c, seat->unit)->stripped > out)
        return check_fail(c, 2, out, "%s comes off %s before that is out", part->e.member,
                          seat->unit->e.member);
    long host = check_out(c, part->host, seat->unit);
    if (host != NEVER && host < out)
        return check_fail(c, 1, out, "%s comes off after %s, which it sits in", part->e.member,
                          part->host->e.member);
    return joints_slack(c, part, out) && covers_off(c, part);
}

/* ---------- seals ---------- */

static bool strip_seal(struct checker *c, struct seal *seal)
{
    struct entry *last = seal->between.to_count ? seal->between.to[seal->between.to_count - 1] : NULL;

    if (check_seat(c, seal)->at[VERB_SEAL] == NEVER || !last || last->kind != ENTRY_PART)
        return true;
    for (size_t i = 0; i + 1 < seal->between.to_count; i++)
        if (seal->between.to[i]->kind == ENTRY_PART &&
            !off_after(c, 5, (struct part *)seal->between.to[i], (struct part *)last,
                       "which goes on last"))
            return false;
    return true;
}

/* ---------- joints ---------- */

static bool was_any_there(const struct joint *joint)
{
    for (size_t i = 0; i < joint->holds.to_count; i++)
        if (joint->holds.to[i]->kind == ENTRY_PART && was_there((struct part *)joint->holds.to[i]))
            return true;
    return joint->holds.to_count == 0;
}

/* What closes the way to it, or lies over it, is off by then. */
static bool bared(struct checker *c, struct entry *entry, const struct ref *way,
                  const struct refs *spared, struct part *where, long at)
{
    if (way && way->count && way->to[0]->kind == ENTRY_OPENING) {
        const struct opening *opening = (const struct opening *)way->to[0];
        for (size_t i = 0; i < opening->closer_count; i++) {
            long off = check_out(c, opening->closers[i], where);
            if (off != NEVER && off > at && !(spared && check_lists(spared, opening->closers[i])))
                return check_fail(c, 4, at, "%s is reached while %s closes %s", entry->member,
                                  opening->closers[i]->e.member, opening->e.member);
        }
    }
    for (size_t i = 0; i < entry->under.to_count; i++) {
        struct part *over = (struct part *)entry->under.to[i];
        if (over->e.kind == ENTRY_PART && check_out(c, over, where) > at)
            return check_fail(c, 4, at, "%s is reached while %s lies over it", entry->member,
                              over->e.member);
    }
    return true;
}

static bool strip_joint(struct checker *c, struct joint *joint)
{
    const struct seat *seat = check_seat(c, joint);
    struct part *where = check_where(c, &joint->e);
    struct part *main = joint->holds.to_count && joint->holds.to[0]->kind == ENTRY_PART
                            ? (struct part *)joint->holds.to[0]
                            : NULL;
    unsigned due = was_any_there(joint);

    if (seat->strip_times != due || seat->strip_fits || seat->strip_reads)
        return check_fail(c, 6, seat->stripped, "%s is slackened %u times, due %u", joint->e.member,
                          seat->strip_times, due);
    if (!due)
        return true;
    struct part_list parts = check_parts_of(c, &joint->e);
    for (size_t i = 0; i < parts.count; i++) {
        bool seated = parts.items[i]->host || parts.items[i] == c->spec->first;
        long off = seated ? check_out(c, parts.items[i], where) : NEVER;
        if (off != NEVER && off < seat->stripped)
            return check_fail(c, 6, seat->stripped, "%s is slackened after %s came off",
                              joint->e.member, parts.items[i]->e.member);
    }
    if (where && check_seat(c, where)->stripped > seat->stripped)
        return check_fail(c, 3, seat->stripped, "%s is slackened before %s is on the bench",
                          joint->e.member, where->e.member);
    const struct ref *way = joint->e.reach.text || joint->e.reach_outside ? &joint->e.reach
                            : main                                        ? &main->through
                                                                          : NULL;
    return bared(c, &joint->e, way, &joint->holds, where, seat->stripped);
}

/* ---------- read as found ---------- */

static bool is_timing(const struct setting *setting)
{
    if (!(setting->at_text.text || setting->marks.text) || !setting->of.to_count)
        return false;
    for (size_t i = 0; i < setting->of.to_count; i++)
        if (setting->of.to[i]->kind == ENTRY_PART && !was_there((struct part *)setting->of.to[i]))
            return false;
    return true;
}

/* All that it depends on is still there and tight. */
static bool strip_reading(struct checker *c, struct entry *entry, bool due)
{
    const struct seat *seat = check_seat(c, entry);
    long at = seat->strip_read;

    if (seat->strip_reads != due || seat->strip_times || seat->strip_fits)
        return check_fail(c, 8, at, "%s is read %u times in the strip, due %u", entry->member,
                          seat->strip_reads, due);
    if (!due)
        return true;
    struct part_list parts = check_parts_of(c, entry);
    struct part *where = check_where(c, entry);
    for (size_t i = 0; i < parts.count; i++) {
        long out = check_out(c, parts.items[i], where);
        if (out != NEVER && out < at)
            return check_fail(c, 8, at, "%s is read after %s came off", entry->member,
                              parts.items[i]->e.member);
        const struct seat *part = check_seat(c, parts.items[i]);
        for (size_t k = 0; k < part->held_by.count; k++) {
            struct joint *joint = part->held_by.items[k];
            const struct seat *held = check_seat(c, joint);
            if (check_within(c, check_where(c, &joint->e), where) && held->stripped != NEVER &&
                held->stripped < at)
                return check_fail(c, 8, at, "%s is read after %s was slackened", entry->member,
                                  joint->e.member);
        }
    }
    return bared(c, entry, &entry->reach, NULL, where, at);
}

/* ---------- slave parts, before and after ---------- */

static long undone_at(const struct checker *c, struct entry *entry)
{
    if (entry->kind == ENTRY_PART)
        return check_seat(c, entry)->moves
                   ? check_out(c, (struct part *)entry, check_seat(c, entry)->unit)
                   : NEVER;
    return check_seat(c, entry)->stripped;
}

/* In again before what it helps is undone, and out after that. */
static bool strip_slave(struct checker *c, struct part *part)
{
    const struct seat *seat = check_seat(c, part);
    long undone = part->until.count ? undone_at(c, part->until.to[0]) : NEVER;

    if (undone == NEVER || !seat->strip_fits || seat->stripped == NEVER)
        return true;
    if (seat->strip_fit < undone && undone <= seat->stripped) /* with it, at the same moment */
        return true;
    return check_fail(c, 12, seat->stripped, "%s is not in while %s is undone", part->e.member,
                      part->until.to[0]->member);
}

static bool strip_after(struct checker *c, struct entry *entry)
{
    long own = undone_at(c, entry);

    for (size_t i = 0; own != NEVER && i < entry->after.to_count; i++) {
        struct entry *other = entry->after.to[i];
        long at = undone_at(c, other);
        if (at != NEVER && at < own)
            return check_fail(c, 13, own, "%s is undone after %s, and says after", entry->member,
                              other->member);
    }
    for (size_t i = 0; own != NEVER && i < entry->before.to_count; i++) {
        struct entry *other = entry->before.to[i];
        long at = undone_at(c, other);
        if (at != NEVER && at > own)
            return check_fail(c, 13, own, "%s is undone before %s, and says before", entry->member,
                              other->member);
    }
    return true;
}

bool check_strip(struct checker *c)
{
    const struct spec *spec = c->spec;

    for (size_t i = 0; i < spec->parts.count; i++)
        if (!strip_part(c, spec->parts.items[i]) || !strip_slave(c, spec->parts.items[i]))
            return false;
    for (size_t i = 0; i < spec->joints.count; i++)
        if (!strip_joint(c, spec->joints.items[i]))
            return false;
    for (size_t i = 0; i < spec->seals.count; i++)
        if (!strip_seal(c, spec->seals.items[i]))
            return false;
    for (size_t i = 0; i < spec->entries.count; i++) {
        struct entry *entry = spec->entries.items[i];
        bool due = entry->kind == ENTRY_LIMIT ? ((struct limit *)entry)->when & MOMENT_STRIP
                   : entry->kind == ENTRY_SETTING ? is_timing((struct setting *)entry)
                                                  : false;
        if (entry->kind != ENTRY_PART && entry->kind != ENTRY_JOINT &&
            !strip_reading(c, entry, due))
            return false;
        if ((entry->kind == ENTRY_PART || entry->kind == ENTRY_JOINT) && !strip_after(c, entry))
            return false;
    }
    return true;
}
