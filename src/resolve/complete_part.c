/* complete_part.c - parts: where they sit, what they carry, what is kept together, bought,
 * counted. */
#include "resolve_private.h"

/* ---------- hosts ---------- */

static bool is_listed(const struct part *part)
{
    return part->used_by_count > 0 || part->sealed_by_count > 0;
}

/* The part the build begins with. Where several sit in nothing, the one that most others sit in is
 * taken for it, so that the fault lies with the rest. */
static const struct part *begins(const struct resolver *r)
{
    const struct part *best = NULL;
    size_t most = 0, *in_it = ARENA_ARRAY(r->arena, size_t, r->spec->entries.count + 1);

    if (r->spec->first != NULL)
        return r->spec->first;
    for (size_t i = 0; i < r->spec->parts.count; i++)
        for (const struct part *up = r->spec->parts.items[i]->host; up != NULL; up = up->host)
            in_it[up->e.order]++;
    for (size_t i = 0; i < r->spec->parts.count; i++) {
        const struct part *part = r->spec->parts.items[i];
        size_t count = part->in.text == NULL && !is_listed(part) ? in_it[part->e.order] + 1 : 0;
        if (count > most) {
            most = count;
            best = part;
        }
    }
    return best;
}

/* A joint that does not say its lock, or a seal its gasket: that is reported there, and the part that
 * it would have named is not told as unused as well. */
static bool is_missed_elsewhere(const struct resolver *r)
{
    for (size_t i = 0; i < r->spec->joints.count; i++)
        if (r->spec->joints.items[i]->lock.kind == LOCK_ABSENT)
            return true;
    for (size_t i = 0; i < r->spec->seals.count; i++)
        if (resolve_seal_is_bare(r->spec->seals.items[i]))
            return true;
    return false;
}

/* Neighbours in the file that no joint uses are what one joint forgot: bolt and nut. `told` is the last
 * part told so, and its error. */
struct nowhere {
    const struct part *part;
    struct diag *diag;
};

static bool is_nowhere(const struct part *part, const struct part *first)
{
    return part != first && part->in.text == NULL && !is_listed(part);
}

bool resolve_has_part_nowhere(const struct resolver *r)
{
    const struct part *first = begins(r);

    for (size_t i = 0; i < r->spec->parts.count; i++)
        if (is_nowhere(r->spec->parts.items[i], first))
            return true;
    return false;
}

static void check_host(struct resolver *r, struct part *part, const struct part *first,
                       struct nowhere *told)
{
    if (!is_nowhere(part, first))
        return;
    if (first != NULL && part->child_count > 0) {
        struct diag *diag =
            diag_add(&r->context->diags, DIAG_TWO_BEGIN, part->e.span,
                     "%s sits in nothing, and neither does %s: the build begins with one part",
                     part->e.member, first->e.member);
        resolve_label(r, diag, first->e.span, "the other");
        resolve_hint(r, diag, "say in: with the part that %s sits in or on", part->e.group->id);
        return;
    }
    if (is_missed_elsewhere(r))
        return;
    if (told->part != NULL && part->e.group->order <= told->part->e.group->order + 1) {
        if (part->e.group != told->part->e.group)
            resolve_label(r, told->diag, part->e.span, "nor does %s", part->e.member);
    } else {
        told->diag = diag_add(
            &r->context->diags, DIAG_PART_NOWHERE, part->e.span,
            "%s sits in nothing, no joint or lock uses it, and it is no gasket", part->e.member);
        resolve_hint(
            r, told->diag,
            "say in: with the part that it sits in or on, or name it in uses of the joint");
    }
    told->part = part;
}

/* Every part that carries others must say which of them are on it when it goes in. */
static void check_with(struct resolver *r, struct part *part, const struct part *first)
{
    struct str_buf names = {.arena = r->arena};
    const struct group *last = NULL;

    if (part == first || part->with.present || part->state == STATE_STAYS)
        return;
    for (size_t i = 0; i < part->child_count; i++) {
        const struct part *child = part->children[i];
        if (child->state == STATE_STAYS || child->e.group == last)
            continue;
        str_add_print(&names, "%s%s", names.length > 0 ? ", " : "", child->e.group->id);
        last = child->e.group;
    }
    if (names.length == 0)
        return;
    struct diag *diag = diag_add(
        &r->context->diags, DIAG_CARRIER_WITHOUT_WITH, part->e.span,
        "%s carries %s: made up on the bench or fitted in place? say with:", part->e.group->id,
        names.bytes);
    resolve_hint(
        r, diag,
        "with: [%s] for what is made up on the bench, with: none if all is fitted in place",
        names.bytes);
}

/* ---------- sets ---------- */

static bool is_new(const struct part *part)
{
    return part->state == STATE_RENEW || part->state == STATE_MISSING || part->state == STATE_MAKE;
}

static void report_split(struct resolver *r, struct part *part, const struct part *other,
                         struct span span)
{
    struct diag *diag = spec_warn(r->context, &part->e, DIAG_MATCHED_SET_SPLIT, span,
                                  "%s is new and %s is not, and they are one set",
                                  is_new(part) ? part->e.member : other->e.member,
                                  is_new(part) ? other->e.member : part->e.member);
    resolve_label(r, diag, other->state_text.text != NULL ? other->state_text.span : other->e.span,
                  "%s: %s", other->e.member,
                  other->state_text.text != NULL ? other->state_text.text : "unknown");
    resolve_hint(r, diag, "renew all of the set, or say with accept why they may be parted");
}

static bool state_is_known(const struct part *part)
{
    return part->state != STATE_UNKNOWN;
}

static void check_sets(struct resolver *r, struct part *part)
{
    for (size_t i = 0; i < part->matched.to_count; i++) {
        struct part *other = spec_part(part->matched.to[i]);
        if (other != NULL && state_is_known(part) && state_is_known(other) &&
            is_new(part) != is_new(other)) {
            report_split(r, part, other, part->matched.span);
            return;
        }
    }
    for (size_t i = 0; part->set.text != NULL && i < part->e.group->member_count; i++) {
        struct part *other = spec_part(part->e.group->members[i]);
        if (other != NULL && state_is_known(part) && state_is_known(other) && is_new(part) &&
            !is_new(other)) {
            report_split(r, part, other, part->set.span);
            return;
        }
    }
}

/* ---------- bought and counted ---------- */

static void check_renewed(struct resolver *r, struct part *part)
{
    if (!part->always_renew.value ||
        (part->state != STATE_REUSE && part->state != STATE_REWORK && part->state != STATE_STAYS))
        return;
    struct diag *diag = spec_warn(
        r->context, &part->e, DIAG_ALWAYS_RENEW_NOT_BOUGHT, part->state_text.span,
        "%s is always renewed, and its state is %s", part->e.member, part->state_text.text);
    resolve_label(r, diag, part->always_renew.span, "always renewed");
    resolve_edit(r, diag, part->state_text.span, "renew");
}

static void check_plug(struct resolver *r, struct part *part)
{
    if (part->out_for.text == NULL)
        return;
    if (part->closes.to_count == 0 && !part->closes.present) {
        struct diag *diag =
            diag_add(&r->context->diags, DIAG_OUT_FOR_CLOSES_NOTHING, part->out_for.span,
                     "%s is out for %s, and closes nothing", part->e.member, part->out_for.text);
        resolve_hint(r, diag, "say closes: with the passage or opening that it closes");
    }
    if (!part->count_back.present) {
        struct diag *diag = spec_warn(
            r->context, &part->e, DIAG_NOT_COUNTED_BACK, part->out_for.span,
            "%s is taken out for %s, and is not counted back", part->e.member, part->out_for.text);
        resolve_hint(r, diag, "say count-back: true");
    }
}

/* ---------- one number, two entries ---------- */

static bool texts_differ(const struct text *a, const struct text *b)
{
    return a->text != NULL && b->text != NULL && !a->unknown && !b->unknown &&
           !str_equal(a->text, b->text);
}

static bool claims_differ(const struct claim *a, const struct claim *b)
{
    return resolve_said(a) && resolve_said(b) && a->value.low.dim == b->value.low.dim &&
           (qty_compare(a->value.low, b->value.low) != 0 ||
            qty_compare(a->value.high, b->value.high) != 0);
}

/* The first fact of two entries that says they are not one thing. */
static const char *difference(const struct part *a, const struct part *b, struct span *here,
                              struct span *there)
{
    const struct {
        const char *what;
        const struct text *a, *b;
    } words[] = {{"material", &a->material, &b->material},
                 {"bearing", &a->bearing.designation, &b->bearing.designation},
                 {"clearance", &a->bearing.clearance, &b->bearing.clearance},
                 {"sheet", &a->cut_from.sheet, &b->cut_from.sheet},
                 {"ask-for", &a->ask_for, &b->ask_for}};
    const struct {
        const char *what;
        const struct claim *a, *b;
    } values[] = {{"weight", &a->weight, &b->weight},
                  {"price", &a->price, &b->price},
                  {"pack-of", &a->pack_of, &b->pack_of},
                  {"life", &a->life, &b->life}};

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (texts_differ(words[i].a, words[i].b)) {
            *here = words[i].b->span;
            *there = words[i].a->span;
            return words[i].what;
        }
    for (size_t i = 0; i < sizeof values / sizeof *values; i++)
        if (claims_differ(values[i].a, values[i].b)) {
            *here = values[i].b->span;
            *there = values[i].a->span;
            return values[i].what;
        }
    for (size_t i = 0; i < a->sizes.count; i++)
        for (size_t k = 0; k < b->sizes.count; k++)
            if (str_equal(a->sizes.items[i]->name, b->sizes.items[k]->name) &&
                claims_differ(&a->sizes.items[i]->want, &b->sizes.items[k]->want)) {
                *here = b->sizes.items[k]->want.span;
                *there = a->sizes.items[i]->want.span;
                return a->sizes.items[i]->name;
            }
    return NULL;
}

/* `part` is number `index` of the spec's. */
static void check_number(struct resolver *r, struct alike *alike, size_t index)
{
    struct part *part = r->spec->parts.items[index];
    struct span here, there;

    if (part->number.text == NULL || part->number.unknown)
        return;
    size_t first = map_put_text(r->arena, &alike->first, part->number.text, index);
    for (size_t i = resolve_join(alike, first, index); i != index; i = alike->next[i]) {
        struct part *other = r->spec->parts.items[i];
        if (other->e.group == part->e.group)
            continue;
        const char *what = difference(other, part, &here, &there);
        if (what == NULL)
            continue; /* the same thing twice: summed when it is bought */
        struct diag *diag =
            diag_add(&r->context->diags, DIAG_NUMBER_TWO_FACTS, here,
                     "%s has the number %s of %s, and another %s", part->e.group->id,
                     part->number.text, other->e.group->id, what);
        resolve_label(r, diag, there, "%s of %s", what, other->e.group->id);
        resolve_hint(r, diag, "correct the number, or the %s", what);
        return;
    }
}

/* ---------- life ---------- */

static void check_life(struct resolver *r, struct part *part)
{
    const struct claim *next = &r->spec->engine.next_overhaul;

    if (!resolve_said(&part->life) || !resolve_said(&part->hours) || is_new(part))
        return;
    struct qty left = range_qty_plus(part->life.value.low, part->hours.value.high, -1);
    if (left.si <= 0) {
        struct diag *diag = spec_warn(r->context, &part->e, DIAG_LIFE_USED_UP, part->hours.span,
                                      "%s has run %s of a life of %s", part->e.member,
                                      part->hours.value.text, part->life.value.text);
        resolve_hint(r, diag, "renew it");
    } else if (resolve_said(next) && qty_compare(left, next->value.low) < 0) {
        struct diag *diag =
            spec_warn(r->context, &part->e, DIAG_LIFE_USED_UP, part->life.span,
                      "%s has %s left, and the next overhaul is in %s", part->e.member,
                      qty_print_plain(r->arena, left), next->value.text);
        resolve_label(r, diag, next->span, "next overhaul");
        resolve_hint(r, diag, "renew it now, or plan for it");
    }
}

void resolve_complete_parts(struct resolver *r)
{
    const struct part *first = begins(r);
    struct nowhere told = {0};
    struct alike alike = resolve_alike(r, r->spec->parts.count);

    for (size_t i = 0; i < r->spec->parts.count; i++) {
        struct part *part = r->spec->parts.items[i];
        check_host(r, part, first, &told);
        check_with(r, part, first);
        check_sets(r, part);
        check_renewed(r, part);
        check_plug(r, part);
        check_number(r, &alike, i);
        check_life(r, part);
    }
}
