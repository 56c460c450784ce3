/* applies.c - which of several forms of an entry is for this engine.
 *
 * `applies` looks at the engine's serial number, date and variant. Exactly one form of a list must
 * hold; where the engine does not say enough, nothing is guessed. */
#include "spec_private.h"

#include <string.h>

/* ---------- ranges ---------- */

struct ends {
    const char *low, *high; /* NULL: open */
    bool good;
};

/* "..2199", "2200..", "100..199", "2207". */
static struct ends ends_of(struct reader *reader, const char *text)
{
    const char *dots = strstr(text, "..");
    struct ends ends = {.good = text[0] != '\0'};
    size_t before;

    if (!dots) {
        ends.low = ends.high = text;
        return ends;
    }
    for (before = (size_t)(dots - text); before > 0 && text[before - 1] == ' '; before--)
        ;
    if (before > 0)
        ends.low = str_slice(reader->arena, text, before);
    dots += 2;
    dots += strspn(dots, " ");
    if (*dots)
        ends.high = dots;
    ends.good = (ends.low || ends.high) && *dots != '.' && !strstr(dots, "..");
    return ends;
}

static void fault_range(struct reader *reader, const struct node *node, bool dates)
{
    struct diag *diag = fault(reader, DIAG_SPEC_APPLIES_RANGE, node->span,
                              "applies: '%s' is no range of %s", node->text,
                              dates ? "dates" : "serial numbers");
    const char *hyphen = strchr(node->text, '-');

    if (hyphen && hyphen != node->text && hyphen[1] && !dates && !strstr(node->text, ".."))
        fault_fix(reader, diag, node->span,
                  str_print(reader->arena, "%.*s..%s", (int)(hyphen - node->text), node->text,
                            hyphen + 1));
    fault_hint(reader, diag, "write it as %s",
               dates ? "..1933, 1934-03.., 1931..1933 or 1934"
                     : "..2199, 2200.., 100..199 or 2207");
}

/* A serial number is letters and a whole number, "A2207": only those with the same letters are in
 * one series. */
struct serial {
    size_t letters;
    int64_t number;
    bool good;
};

static struct serial serial_of(const char *text)
{
    struct serial serial = {0};
    size_t length = strlen(text);

    while (serial.letters < length && (text[serial.letters] < '0' || text[serial.letters] > '9'))
        serial.letters++;
    serial.good = serial.letters < length && str_to_int(text + serial.letters, &serial.number);
    return serial;
}

static enum truth serial_within(struct reader *reader, const struct node *node, const char *lacks[])
{
    const struct text *own = &reader->spec->engine.serial;
    struct ends ends = ends_of(reader, node->text);
    const char *sides[] = {ends.low, ends.high};
    struct serial mine;

    if (ends.good && !strstr(node->text, ".."))
        for (size_t i = 0; i < 2 && own->text && !own->unknown; i++)
            if (str_equal(own->text, node->text))
                return TRUE_HERE;
    for (size_t i = 0; i < 2; i++)
        ends.good &= !sides[i] || serial_of(sides[i]).good;
    if (ends.good && ends.low && ends.high)
        ends.good = serial_of(ends.low).number <= serial_of(ends.high).number &&
                    serial_of(ends.low).letters == serial_of(ends.high).letters &&
                    memcmp(ends.low, ends.high, serial_of(ends.low).letters) == 0;
    if (!ends.good) {
        fault_range(reader, node, false);
        return FALSE_HERE;
    }
    if (!own->text || own->unknown) {
        *lacks = "the serial number (engine: serial)";
        return UNDECIDED;
    }
    mine = serial_of(own->text);
    if (!mine.good) {
        *lacks = "a serial number that ends in a whole number (engine: serial)";
        return UNDECIDED;
    }
    for (size_t i = 0; i < 2; i++) {
        struct serial side;
        if (!sides[i])
            continue;
        side = serial_of(sides[i]);
        if (side.letters != mine.letters || memcmp(sides[i], own->text, mine.letters) != 0)
            return FALSE_HERE;
        if (i == 0 ? mine.number < side.number : mine.number > side.number)
            return FALSE_HERE;
    }
    return TRUE_HERE;
}

/* First and last day that a date of less than full precision can mean, as one number. */
static int day_of(struct qty_date date, bool last)
{
    int month = date.precision < 2 ? (last ? 12 : 1) : date.month;
    int day = date.precision < 3 ? (last ? 31 : 1) : date.day;

    return (date.year * 100 + month) * 100 + day;
}

static enum truth built_within(struct reader *reader, const struct node *node, const char *lacks[])
{
    const struct date *own = &reader->spec->engine.built;
    struct ends ends = ends_of(reader, node->text);
    struct qty_date low = {0}, high = {0};
    int from, to, first, last;

    if ((ends.low && !qty_read_date(ends.low, &low)) ||
        (ends.high && !qty_read_date(ends.high, &high)) || !ends.good ||
        (ends.low && ends.high && day_of(low, false) > day_of(high, true))) {
        fault_range(reader, node, true);
        return FALSE_HERE;
    }
    if (!own->present || own->unknown) {
        *lacks = "the date (engine: built)";
        return UNDECIDED;
    }
    from = ends.low ? day_of(low, false) : 0;
    to = ends.high ? day_of(high, true) : 99999999;
    first = day_of(own->date, false);
    last = day_of(own->date, true);
    if (first >= from && last <= to)
        return TRUE_HERE;
    if (last < from || first > to)
        return FALSE_HERE;
    *lacks = "the date to the month or the day (engine: built)";
    return UNDECIDED;
}

static enum truth variant_is(struct reader *reader, const struct node *node, const char *lacks[])
{
    const struct text *own = &reader->spec->engine.variant;

    if (!own->text || str_equal(own->text, "unknown")) {
        *lacks = "the variant (engine: variant)";
        return UNDECIDED;
    }
    return str_equal(own->text, node->text) ? TRUE_HERE : FALSE_HERE;
}

/* ---------- one `applies` ---------- */

typedef enum truth (*judge)(struct reader *, const struct node *, const char *lacks[]);

/* Of a list, any may hold. */
static enum truth any_holds(struct reader *reader, judge holds, const struct node *node,
                            const char *lacks[])
{
    const struct node *child = node->kind == NODE_LIST ? node->child : node;
    enum truth all = FALSE_HERE;

    for (; child; child = node->kind == NODE_LIST ? child->next : NULL) {
        enum truth one;
        if (child->kind != NODE_SCALAR) {
            fault(reader, DIAG_SPEC_WRONG_KIND, child->span, "applies: %s takes one value or a list",
                  node->key);
            continue;
        }
        one = holds(reader, child, lacks);
        if (one == TRUE_HERE)
            return TRUE_HERE;
        if (one == UNDECIDED)
            all = UNDECIDED;
    }
    return all;
}

enum { APPLIES_KEYS = 3 };
static const char *const applies_keys[APPLIES_KEYS] = {"serial", "built", "variant"};

enum truth applies_holds(struct reader *reader, const struct node *applies, const char **lacks)
{
    static const judge judges[] = {serial_within, built_within, variant_is};
    enum truth all = TRUE_HERE;

    if (applies->kind != NODE_MAP) {
        fault_hint(reader, fault(reader, DIAG_SPEC_WRONG_KIND, applies->span,
                                 "applies takes a mapping of serial, built, variant"),
                   "applies: {serial: ..2199}");
        return TRUE_HERE;
    }
    for (const struct node *child = applies->child; child; child = child->next) {
        size_t i = 0;
        enum truth one;

        while (i < APPLIES_KEYS && !str_equal(applies_keys[i], child->key))
            i++;
        if (i == APPLIES_KEYS) {
            fault_nearest(reader, fault(reader, DIAG_SPEC_UNKNOWN_KEY, child->key_span,
                                        "`applies` has no key '%s'", child->key),
                          child->key_span, child->key, applies_keys, APPLIES_KEYS);
            /* What it was meant to be is judged, so that no second fault follows. */
            const char *near = str_nearest(child->key, applies_keys, APPLIES_KEYS);
            for (i = 0; i < APPLIES_KEYS && !str_equal(applies_keys[i], near);)
                i++;
            if (i == APPLIES_KEYS)
                continue;
        }
        const char *this_lacks = NULL;
        one = any_holds(reader, judges[i], child, &this_lacks);
        if (one == FALSE_HERE)
            return FALSE_HERE;
        if (one == UNDECIDED) {
            *lacks = all == UNDECIDED ? str_print(reader->arena, "%s and %s", *lacks, this_lacks)
                                      : this_lacks;
            all = UNDECIDED;
        }
    }
    return all;
}

/* ---------- forms of an entry ---------- */

/* What a form says; a misspelt key is told here, since a form that is not chosen is never read. */
static const struct node *applies_of(struct reader *reader, const struct group *group,
                                     const struct node *form)
{
    static const char key[] = "applies";
    const struct fields *fields = sections[group->kind].fields;
    const struct node *applies = child_meant(fields, form, key);

    if (applies && !str_equal(applies->key, key))
        fault_fix(reader, fault(reader, DIAG_SPEC_UNKNOWN_KEY, applies->key_span,
                                "%s has no key '%s'", fields->title, applies->key),
                  applies->key_span, key);
    return applies;
}

static void fault_open(struct reader *reader, struct group *group, const struct node *applies,
                       const char *lacks)
{
    struct diag *diag;

    group->broken = true;
    if (reader->engine_faulty)
        return;
    diag = fault(reader, DIAG_SPEC_APPLIES_OPEN, group->span,
                 "%s: which form is for this engine cannot be decided", group->id);
    fault_label(reader, diag, applies->key_span, "what is asked");
    fault_hint(reader, diag, "%s would settle it", lacks);
}

static const struct node *choose_single(struct reader *reader, const struct node *form,
                                        struct group *group)
{
    const struct node *applies = applies_of(reader, group, form);
    const char *lacks = NULL;

    if (!applies)
        return form;
    group->conditional = true;
    switch (applies_holds(reader, applies, &lacks)) {
    case TRUE_HERE:
        return form;
    case UNDECIDED:
        fault_open(reader, group, applies, lacks);
        return NULL;
    default:
        return NULL;
    }
}

static const char *joined(struct arena *arena, const struct node *node)
{
    struct str_buf text = {.arena = arena};

    if (node->kind == NODE_SCALAR)
        return node->text;
    for (const struct node *child = node->child; child; child = child->next)
        str_add_print(&text, text.length ? ", %s" : "%s", child->text);
    return text.bytes;
}

/* A form that is not chosen is not read; its number tells what must not be taken for the one chosen. */
static void keep_other(struct reader *reader, struct group *group, const struct node *form,
                       const struct node *applies)
{
    const struct node *number = form->kind == NODE_MAP ? tree_child(form, "number") : NULL;

    if (!number || number->kind != NODE_SCALAR)
        return;
    struct other_form *other = ARRAY_PUSH(reader->arena, &group->other_forms);
    *other = (struct other_form){.number = number->text};
    for (size_t i = 0; i < APPLIES_KEYS; i++) {
        const struct node *range = tree_child(applies, applies_keys[i]);
        other->ranges[i] = range ? joined(reader->arena, range) : NULL;
    }
}

static const struct node *choose_of_list(struct reader *reader, const struct node *entry,
                                         struct group *group)
{
    const struct node *chosen = NULL;

    for (const struct node *form = entry->child; form; form = form->next) {
        const struct node *applies = applies_of(reader, group, form);
        const char *lacks = NULL;
        size_t errors = reader->context->diags.errors;
        enum truth truth;

        if (!applies) {
            fault_hint(reader, fault(reader, DIAG_SPEC_FORM_WITHOUT_APPLIES, form->span,
                                     "%s: a form in a list does not say which engines it is for",
                                     group->id),
                       "add applies: {serial: ...}, built or variant");
            group->broken = true;
            return NULL;
        }
        truth = applies_holds(reader, applies, &lacks);
        if (reader->context->diags.errors > errors) { /* which one is meant cannot be known */
            group->broken = true;
            return NULL;
        }
        if (truth == UNDECIDED) {
            fault_open(reader, group, applies, lacks);
            return NULL;
        }
        if (truth == TRUE_HERE && chosen) {
            struct diag *diag = fault(reader, DIAG_SPEC_APPLIES_SEVERAL, applies->span,
                                      "%s: more than one form is for this engine", group->id);
            fault_label(reader, diag, applies_of(reader, group, chosen)->span, "so is this one");
            fault_hint(reader, diag, "narrow one of the two");
            group->broken = true;
            return NULL;
        }
        if (truth == TRUE_HERE)
            chosen = form;
        else
            keep_other(reader, group, form, applies);
    }
    if (!chosen) {
        group->broken = true;
        fault_hint(reader, fault(reader, DIAG_SPEC_APPLIES_NONE, group->span,
                                 "%s: none of its forms is for this engine", group->id),
                   "widen one of the forms, or add one for this engine");
    }
    return chosen;
}

const struct node *applies_choose(struct reader *reader, const struct node *entry,
                                  struct group *group)
{
    if (entry->kind == NODE_LIST && entry->count > 0)
        return choose_of_list(reader, entry, group);
    return choose_single(reader, entry, group);
}
