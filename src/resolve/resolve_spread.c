/* resolve_spread.c - the members of a set against each other: how far they are apart, and what has to
 * come off each to bring all to the lightest. */
#include "resolve_private.h"

static struct range member_range(struct resolver *r, struct part *part, const char *name,
                                 struct fact **fact)
{
    *fact = NULL;
    if (str_equal(name, "weight")) {
        *fact = resolve_claim_once(r, &part->e, resolve_id(r, &part->e, "weight"), &part->weight);
        return range_of_fact(*fact);
    }
    return resolve_size_range(r, resolve_size_named(part, name, part->e.place), fact);
}

/* Sets are brought to their lightest: metal can be taken off, not put on. Of each other member, what
 * it weighs more than the lightest; that weighs at least the lowest of all low ends, and at most the
 * lowest of all high ones. */
static void lighten(struct resolver *r, struct limit_values *values, struct entry **members,
                    size_t count, struct range lightest)
{
    for (size_t i = 0; i < count; i++) {
        struct part *part = spec_part(members[i]);
        struct fact *own = NULL;
        struct range range = member_range(r, part, "weight", &own);
        struct qty low = range_qty_plus(range.low, lightest.high, -1),
                   high = range_qty_plus(range.high, lightest.low, -1);
        if (high.si <= 0)
            continue;
        if (low.si < 0)
            low = range_qty_plus(low, low, -1);
        char *id = resolve_id(r, &part->e, "take-off");
        if (build_fact(r->build, id) != NULL)
            continue; /* another limit weighs the same set */
        struct fact *fact = resolve_fact(r, &part->e, id, FACT_COMPUTED);
        fact->span = values->limit->spread.span;
        fact->value = qty_compare(low, high) == 0 ? range_one(high) : range_limits(low, high);
        fact->phrase = phrase_value(
            phrase_text(resolve_say(r, "balance.take-off"), "part", part->e.shown), "mass",
            &fact->value);
        fact->formula = "its weight less that of the lightest of the set";
        fact->rule = "to-lightest";
        resolve_input_as(r, fact, "own", own);
        for (size_t k = 0; k < count; k++) {
            struct fact *item = NULL;
            member_range(r, spec_part(members[k]), "weight", &item);
            if (item != own)
                resolve_input_as(r, fact, "others", item);
        }
        *ARRAY_PUSH(r->arena, &values->more) = fact;
    }
}

/* Largest less smallest of a set. Where members are known within limits only, the spread is too. */
struct fact *resolve_by_spread(struct resolver *r, struct limit_values *values)
{
    struct limit *limit = values->limit;
    const char *dot = limit->spread.text != NULL ? strchr(limit->spread.text, '.') : NULL;
    const char *name = dot != NULL ? dot + 1 : "weight";
    struct group *group = limit->spread.part != NULL ? limit->spread.part->e.group : NULL;
    size_t count = limit->spread_of.count > 0 ? limit->spread_of.count
                   : group != NULL            ? group->member_count
                                              : 0;
    struct entry **members = limit->spread_of.count > 0 ? limit->spread_of.to
                             : group != NULL            ? group->members
                                                        : NULL;
    struct range least = {0},
                 most = {0}; /* of the members: highest low end and lowest high end; extremes */
    struct fact *fact = ARENA_NEW(r->arena, struct fact);

    for (size_t i = 0; i < count; i++) {
        struct part *part = spec_part(members[i]);
        struct fact *item = NULL;
        struct range range = part != NULL ? member_range(r, part, name, &item) : (struct range){0};
        if (!range_known(range)) {
            struct question *question = resolve_ask(
                r, &limit->e, part != NULL ? part->e.shown : members[i]->member,
                limit->spread.span, "of-spread", "measure");
            phrase_word(question->asks, "what", "size-name", name);
            return NULL;
        }
        resolve_input_as(r, fact, "member", item);
        if (i == 0 || qty_compare(range.low, least.low) > 0)
            least.low = range.low;
        if (i == 0 || qty_compare(range.high, least.high) < 0)
            least.high = range.high;
        if (i == 0 || qty_compare(range.low, most.low) < 0)
            most.low = range.low;
        if (i == 0 || qty_compare(range.high, most.high) > 0)
            most.high = range.high;
    }
    if (count == 0)
        return NULL;
    struct qty low = range_qty_plus(least.low, least.high, -1),
               high = range_qty_plus(most.high, most.low, -1);
    if (low.si < 0)
        low = range_qty_plus(low, low, -1);
    fact->id = resolve_id(r, &limit->e, "found");
    fact->entry = &limit->e;
    fact->origin = FACT_COMPUTED;
    fact->span = limit->spread.span;
    fact->value = qty_compare(low, high) == 0 ? range_one(high) : range_limits(low, high);
    fact->measured = true;
    fact->formula = str_print(r->arena, "largest less smallest of %zu", count);
    fact->rule = "spread";
    resolve_keep(r, fact);
    if (str_equal(name, "weight"))
        lighten(r, values, members, count, (struct range){.low = most.low, .high = least.high});
    return fact;
}
