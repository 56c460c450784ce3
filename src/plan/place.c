/* place.c - where each part is made up: units, hosts, what goes in at the same moment. */
#include <assert.h>
#include "plan_private.h"

struct part *plan_as_part(const struct entry *entry)
{
    return entry && entry->kind == ENTRY_PART ? (struct part *)entry : NULL;
}

struct joint *plan_as_joint(const struct entry *entry)
{
    return entry && entry->kind == ENTRY_JOINT ? (struct joint *)entry : NULL;
}

bool plan_has(const struct refs *refs, const void *entry)
{
    for (size_t i = 0; refs && i < refs->to_count; i++)
        if (refs->to[i] == entry)
            return true;
    return false;
}

bool plan_has_ref(const struct ref *ref, const void *entry)
{
    for (size_t i = 0; i < ref->count; i++)
        if (ref->to[i] == entry)
            return true;
    return false;
}

struct part *plan_solid(struct part *part)
{
    while (part && part->state == STATE_STAYS && part->host)
        part = part->host;
    return part;
}

/* ---------- units ---------- */

/* Whether `part`, somewhere on `unit`, is on it when that goes in: named in its `with`, or `all`
 * of it; a part with its own `through`, and what sits on that, is never part of `all`. */
static bool is_with(struct part *unit, struct part *part, bool barred)
{
    struct info *info = plan_info(part);

    for (size_t i = 0; i < info->listed_by.count; i++)
        if (info->listed_by.items[i] == unit)
            return true;
    return unit->with.all && !barred;
}

static void find_carrier(struct maker *maker, struct part *part)
{
    bool barred = part->through.text != NULL;

    for (struct part *host = part->host; host && host != maker->spec->first; host = host->host) {
        if (is_with(host, part, barred)) {
            plan_info(part)->carrier = host;
            plan_info(host)->unit = true;
            *ARRAY_PUSH(maker->arena, &plan_info(host)->carried) = part;
            return;
        }
        barred = barred || host->through.text;
    }
}

static bool sits_on(const struct part *part, const struct part *base)
{
    while (part && part != base)
        part = part->host;
    return part != NULL;
}

/* What a part sits on cannot come along with it, nor can two bring each other. */
static bool with_holds(struct maker *maker, struct part *unit)
{
    bool good = true;

    for (size_t i = 0; i < unit->with.count; i++) {
        const struct ref *ref = &unit->with.items[i];
        for (size_t k = 0; k < ref->count; k++) {
            struct part *part = plan_as_part(ref->to[k]);
            bool below = part && sits_on(unit, part);
            bool mutual = part && part != unit && !sits_on(part, unit) &&
                          plan_has(&part->with, unit) && !sits_on(unit, part);
            if (!below && !(mutual && unit->e.order > part->e.order))
                continue;
            good = false;
            struct diag *diag =
                diag_add(&maker->context->diags, DIAG_PLAN_WITH, ref->span,
                         below ? "%s sits on %s, so that is not on it when it goes in"
                               : "%s brings %s along, and is brought along by it",
                         unit->e.member, part->e.member);
            diag_hint(&maker->context->diags, diag, "take %s out of the `with` of %s",
                      part->e.member, unit->e.member);
        }
    }
    return good;
}

static void list_with(struct maker *maker, struct part *unit)
{
    for (size_t i = 0; i < unit->with.to_count; i++) {
        struct part *part = plan_as_part(unit->with.to[i]);
        if (part)
            *ARRAY_PUSH(maker->arena, &plan_info(part)->listed_by) = unit;
    }
}

/* What a unit brings along that sits elsewhere (chain and both sprockets) goes in with it, at the
 * same moment. What is made up on such a part comes along with that, named or not. */
static bool find_company(struct maker *maker, struct part *part)
{
    struct info *info = plan_info(part);

    for (size_t i = 0; i < info->listed_by.count && !info->brought_by; i++) {
        struct part *unit = info->listed_by.items[i], *on = info->carrier;
        if (sits_on(part, unit) || !unit->host)
            continue;
        if (plan_inside(plan_info(unit)->carrier, on)) {
            info->brought_by = unit;
            info->carrier = plan_info(unit)->carrier;
            continue;
        }
        while (on && !plan_has(&unit->with, on))
            on = plan_info(on)->carrier;
        if (on)
            continue;
        diag_add(&maker->context->diags, DIAG_PLAN_WITH, unit->with.span,
                 "%s brings %s along, which is made up on %s", unit->e.member, part->e.member,
                 info->carrier->e.member);
        return false;
    }
    return true;
}

static size_t depth_of(struct part *unit)
{
    size_t depth = 0;

    while (unit) {
        depth++;
        unit = plan_info(unit)->carrier;
    }
    return depth;
}

bool plan_place_parts(struct maker *maker)
{
    const struct spec *spec = maker->spec;
    bool good = true;

    for (size_t i = 0; good && i < spec->parts.count; i++)
        good = with_holds(maker, spec->parts.items[i]) && good;
    if (!good)
        return false;
    for (size_t i = 0; i < spec->parts.count; i++) {
        struct part *part = spec->parts.items[i];
        struct info *info = plan_info(part);
        info->placed = part == spec->first || part->host;
        if (part->host)
            *ARRAY_PUSH(maker->arena, &plan_info(part->host)->children) = part;
        list_with(maker, part);
    }
    for (size_t i = 0; i < spec->parts.count; i++)
        find_carrier(maker, spec->parts.items[i]);
    for (size_t i = 0; i < spec->parts.count; i++)
        good = find_company(maker, spec->parts.items[i]) && good;
    for (size_t i = 0; i < spec->parts.count; i++)
        plan_info(spec->parts.items[i])->depth = depth_of(plan_unit_of(spec->parts.items[i]));
    return good;
}

struct part *plan_unit_of(struct part *part)
{
    part = plan_solid(part);
    return !part ? NULL : plan_info(part)->unit ? part : plan_info(part)->carrier;
}

static size_t unit_depth(const struct part *unit)
{
    return unit ? plan_info(unit)->depth : 0;
}

struct part *plan_common(struct part *a, struct part *b)
{
    while (unit_depth(a) > unit_depth(b))
        a = plan_info(a)->carrier;
    while (unit_depth(b) > unit_depth(a))
        b = plan_info(b)->carrier;
    while (a != b) {
        a = plan_info(a)->carrier;
        b = plan_info(b)->carrier;
    }
    return a;
}

bool plan_inside(const struct part *unit, const struct part *outer)
{
    if (!outer)
        return true;
    while (unit && unit != outer)
        unit = plan_info(unit)->carrier;
    return unit != NULL;
}

struct task *plan_arrival(struct part *part, const struct part *unit)
{
    part = plan_solid(part);
    while (part && part != unit && plan_info(part)->carrier != unit)
        part = plan_info(part)->carrier;
    return part && part != unit ? plan_info(part)->fit : NULL;
}

struct task *plan_at_hand(struct part *part, struct part *unit)
{
    part = plan_solid(part);
    if (!part || (unit && plan_inside(unit, part)))
        return NULL;
    return plan_arrival(part, plan_common(unit, plan_info(part)->carrier));
}

/* ---------- what an entry is of ---------- */

static void add_part(struct maker *maker, struct parts *out, struct part *part)
{
    if (!part || plan_info(part)->listed == maker->listing)
        return;
    plan_info(part)->listed = maker->listing;
    *ARRAY_PUSH(maker->arena, out) = part;
}

/* An assembly has no metal of its own: it is all that is made up on it. */
static void add_made_up(struct maker *maker, struct parts *out)
{
    for (size_t i = 0; i < out->count; i++) {
        const struct info *info = plan_info(out->items[i]);
        for (size_t k = 0; out->items[i]->assembly.value && k < info->carried.count; k++)
            add_part(maker, out, info->carried.items[k]);
    }
}

static void add_refs(struct maker *maker, struct parts *out, const struct refs *refs)
{
    for (size_t i = 0; i < refs->to_count; i++)
        add_part(maker, out, plan_as_part(refs->to[i]));
}

static void add_sizes(struct maker *maker, struct parts *out, const struct size_refs *sizes)
{
    for (size_t i = 0; i < sizes->count; i++)
        add_part(maker, out, sizes->items[i].part);
}

static void add_ref(struct maker *maker, struct parts *out, const struct ref *ref)
{
    for (size_t i = 0; i < ref->count; i++)
        add_part(maker, out, plan_as_part(ref->to[i]));
}

void plan_parts_of(struct maker *maker, struct entry *entry, struct parts *parts)
{
    maker->listing++;
    switch (entry->kind) {
    case ENTRY_PART:
        add_part(maker, parts, (struct part *)entry);
        break;
    case ENTRY_JOINT: {
        const struct joint *joint = (const struct joint *)entry;
        add_refs(maker, parts, &joint->holds);
        add_ref(maker, parts, &joint->to);
        add_ref(maker, parts, &joint->stud);
        for (size_t i = 0; i < joint->uses.count; i++)
            add_ref(maker, parts, &joint->uses.items[i].ref);
        break;
    }
    case ENTRY_FIT:
        add_part(maker, parts, ((const struct fit *)entry)->inner.part);
        add_part(maker, parts, ((const struct fit *)entry)->outer.part);
        break;
    case ENTRY_LIMIT: {
        const struct limit *limit = (const struct limit *)entry;
        add_refs(maker, parts, &limit->of);
        add_sizes(maker, parts, &limit->stack.plus);
        add_sizes(maker, parts, &limit->stack.minus);
        add_part(maker, parts, limit->spread.part);
        add_ref(maker, parts, &limit->spread_of);
        add_part(maker, parts, limit->wear.part);
        break;
    }
    case ENTRY_SETTING:
        add_refs(maker, parts, &((const struct setting *)entry)->of);
        break;
    case ENTRY_PASSAGE:
        add_refs(maker, parts, &((const struct passage *)entry)->path);
        for (size_t i = 0; i < ((const struct passage *)entry)->plug_count; i++)
            add_part(maker, parts, ((const struct passage *)entry)->plugs[i]);
        break;
    case ENTRY_SEAL:
        add_refs(maker, parts, &((const struct seal *)entry)->between);
        break;
    case ENTRY_STEP:
        add_refs(maker, parts, &((const struct step *)entry)->of);
        break;
    case ENTRY_TRIAL:
        add_refs(maker, parts, &((const struct trial *)entry)->of);
        break;
    case ENTRY_OUTWORK:
        add_refs(maker, parts, &((const struct outwork *)entry)->of);
        break;
    case ENTRY_OPENING:
        add_part(maker, parts, ((const struct opening *)entry)->host);
        break;
    case ENTRY_RUN:
    case ENTRY_KIND_COUNT:
        break;
    }
    add_made_up(maker, parts);
}

void plan_entering(struct maker *maker, struct part *part, struct entering *out)
{
    struct info *info = plan_info(part);

    if (info->fit) {
        *ARRAY_PUSH(maker->arena, out) = info->fit;
        return;
    }
    for (size_t i = 0; i < part->sealed_by_count; i++)
        if (plan_info(part->sealed_by[i])->lay)
            *ARRAY_PUSH(maker->arena, out) = plan_info(part->sealed_by[i])->lay;
    for (size_t i = 0; i < part->used_by_count && !part->host; i++)
        if (plan_info(part->used_by[i])->first)
            *ARRAY_PUSH(maker->arena, out) = plan_info(part->used_by[i])->first;
}
