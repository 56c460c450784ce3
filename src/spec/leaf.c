/* leaf.c - words, whole numbers, flags, dates, crank positions, units: values without a dimension.
 *
 * Each may say where it comes from, so each is read through claim_choose. */
#include "spec_private.h"

#include <string.h>

static size_t word_count(const char *const *words)
{
    size_t count = 0;

    while (words && words[count])
        count++;
    return count;
}

static bool word_in(const char *const *words, const char *word)
{
    for (; words && *words; words++)
        if (str_equal(*words, word))
            return true;
    return false;
}

/* A word that is none of the field's: an error, or where other words are taken too, only when it
 * looks like a slip of one of them. */
static bool word_holds(struct reader *reader, const struct field *field, const struct node *node)
{
    size_t count = word_count(field->words);
    struct diag *diag;

    if (count == 0 || word_in(field->words, node->text))
        return true;
    if ((field->flags & SUGGESTED) && !str_nearest(node->text, field->words, count))
        return true;
    diag = fault(reader, DIAG_SPEC_BAD_WORD, node->span, "%s does not take '%s'", field->key,
                 node->text);
    fault_nearest(reader, diag, node->span, node->text, field->words, count);
    return false;
}

static bool text_from(struct reader *reader, const struct field *field, const struct said *said,
                      struct text *out)
{
    static const char *const unknown[] = {"unknown"};
    const struct node *node = said->is;

    if (node->kind != NODE_SCALAR) {
        fault_kind(reader, field, node, "one value");
        return false;
    }
    if (node->text[0] == '\0') {
        fault(reader, DIAG_SPEC_FORM, node->span, "%s is empty", field->key);
        return false;
    }
    out->unknown = (field->flags & UNKNOWN_TAKEN) && str_equal(node->text, "unknown");
    if (!out->unknown && !word_holds(reader, field, node))
        return false;
    if (!out->unknown && field->flags & UNKNOWN_TAKEN && str_nearest(node->text, unknown, 1)) {
        fault_fix(reader, fault(reader, DIAG_SPEC_BAD_WORD, node->span, "%s: '%s' looks like a slip",
                                field->key, node->text),
                  node->span, unknown[0]);
        return false;
    }
    out->text = node->text;
    out->span = node->span;
    out->from = said->from;
    out->page = said->page;
    out->chosen = said->chosen;
    out->because = said->because;
    return true;
}

bool read_text(struct reader *reader, const struct field *field, const struct node *node,
               struct text *out)
{
    struct saids saids = claim_choose(reader, field, node);
    struct text loser = {0};

    if (saids.count == 0 || !text_from(reader, field, &saids.items[0], out))
        return false;
    out->losers = ARENA_ARRAY(reader->arena, struct text, saids.count);
    for (size_t i = 1; i < saids.count; i++)
        if (text_from(reader, field, &saids.items[i], &loser))
            out->losers[out->loser_count++] = loser;
    return true;
}

void read_texts(struct reader *reader, const struct field *field, const struct node *node,
                struct texts *out)
{
    const struct node *child = node->kind == NODE_LIST ? node->child : node;

    for (; child; child = node->kind == NODE_LIST ? child->next : NULL) {
        struct text text = {0};

        if (child->kind == NODE_LIST)
            fault_kind(reader, field, child, "words, one or a list");
        else if (read_text(reader, field, child, &text))
            *ARRAY_PUSH(reader->arena, out) = text;
    }
}

static bool number_of(struct reader *reader, const struct field *field, struct span span,
                      const char *text, int64_t *value)
{
    size_t digits = strspn(text, "0123456789");

    if (!str_to_int(text, value)) {
        struct diag *diag = fault(reader, DIAG_SPEC_NUMBER, span,
                                  "%s takes a whole number, found '%s'", field->key, text);
        if (digits > 0 && text[digits] == ' ')
            fault_fix(reader, diag, span, str_slice(reader->arena, text, digits));
        return false;
    }
    if (*value < field->least || (field->most && *value > field->most)) {
        if (field->most)
            fault(reader, DIAG_SPEC_NUMBER_RANGE, span, "%s is %s, expected %lld to %lld",
                  field->key, text, (long long)field->least, (long long)field->most);
        else
            fault(reader, DIAG_SPEC_NUMBER_RANGE, span, "%s is %s, expected at least %lld",
                  field->key, text, (long long)field->least);
        return false;
    }
    return true;
}

void read_number(struct reader *reader, const struct field *field, const struct node *node,
                 struct number *out)
{
    struct field plain = {.key = field->key};

    if (!read_text(reader, &plain, node, &out->written))
        return;
    out->span = out->written.span;
    out->present = number_of(reader, field, out->span, out->written.text, &out->value);
}

void read_numbers(struct reader *reader, const struct field *field, const struct node *node,
                  void *out)
{
    const struct node *child = node->kind == NODE_LIST ? node->child : node;
    bool good = true;
    int64_t value;

    for (; child; child = node->kind == NODE_LIST ? child->next : NULL) {
        if (child->kind != NODE_SCALAR)
            fault_kind(reader, field, child, "whole numbers in a list");
        bool read = child->kind == NODE_SCALAR &&
                    number_of(reader, field, child->span, child->text, &value);
        if (read)
            *(int64_t *)list_push(reader, out, sizeof value) = value;
        good &= read;
    }
    /* One that is none is reported: what is left of the list is no list to count. */
    if (!good)
        memset(out, 0, sizeof(struct list));
}

void read_flag(struct reader *reader, const struct field *field, const struct node *node,
               struct flag *out)
{
    static const char *const truths[] = {"true", "false", NULL};
    const char *const *words = field->words ? field->words : truths;
    struct field plain = {.key = field->key};
    struct diag *diag;

    if (!read_text(reader, &plain, node, &out->written))
        return;
    out->span = out->written.span;
    out->value = str_equal(out->written.text, words[0]);
    out->present = out->value || str_equal(out->written.text, words[1]);
    if (out->present)
        return;
    diag = fault(reader, DIAG_SPEC_BAD_WORD, out->span, "%s takes %s or %s, found '%s'", field->key,
                 words[0], words[1], out->written.text);
    if (!field->words && (str_equal(out->written.text, "yes") || str_equal(out->written.text, "on")))
        fault_fix(reader, diag, out->span, "true");
    else if (!field->words &&
             (str_equal(out->written.text, "no") || str_equal(out->written.text, "off")))
        fault_fix(reader, diag, out->span, "false");
    else
        fault_nearest(reader, diag, out->span, out->written.text, words, 2);
}

void read_date(struct reader *reader, const struct field *field, const struct node *node,
               struct date *out)
{
    struct field plain = {.key = field->key, .flags = field->flags};

    if (!read_text(reader, &plain, node, &out->written))
        return;
    out->span = out->written.span;
    out->unknown = out->written.unknown;
    out->present = out->unknown || qty_read_date(out->written.text, &out->date);
    if (!out->present)
        fault_hint(reader, fault(reader, DIAG_QTY_FAULT_DATE, out->span,
                                 "%s takes a date, found '%s'", field->key, out->written.text),
                   "write 1934, 1934-03 or 1934-03-17");
}

/* The cylinder that a position means: the one it names, that of the entry's place, or the only
 * one. */
static void crank_cylinder(struct reader *reader, struct text *text, struct qty_crank *crank)
{
    const struct engine *engine = &reader->spec->engine;
    const struct places *each = reader->entry ? reader->entry->group->each : NULL;
    const struct places *cylinders = places_named(reader->spec, "cylinder");
    struct diag *diag;

    if (reader->engine_faulty)
        return;
    if (crank->cylinder) {
        if (!cylinders || places_index(cylinders, crank->cylinder) < cylinders->count)
            return;
        diag = fault(reader, DIAG_SPEC_CRANK_CYLINDER, text->span, "there is no cylinder '%s'",
                     crank->cylinder);
        fault_hint(reader, diag, "the cylinders are %s to %s", engine->cylinders[0],
                   engine->cylinders[engine->cylinder_count - 1]);
        return;
    }
    if (each && cylinders && places_same(each, cylinders))
        crank->cylinder = reader->entry->place;
    else if (engine->cylinder_count == 1)
        crank->cylinder = engine->cylinders[0];
    else if (engine->cylinder_count > 1)
        fault_hint(reader, fault(reader, DIAG_SPEC_CRANK_CYLINDER, text->span,
                                 "'%s' does not say of which cylinder", text->text),
                   "name it after tdc or bdc, such as tdc %s", engine->cylinders[0]);
}

void read_crank(struct reader *reader, const struct field *field, const struct node *node,
                struct text *out, struct qty_crank *crank)
{
    struct field plain = {.key = field->key};
    struct saids saids = claim_choose(reader, &plain, node);

    if (!read_text(reader, &plain, node, out))
        return;
    for (size_t i = 0; i < saids.count; i++) {
        struct qty_crank read = {0};
        struct qty_error error = {0};

        if (saids.items[i].is->kind != NODE_SCALAR)
            continue;
        if (!qty_read_crank(reader->arena, saids.items[i].is->text, &read, &error))
            fault_quantity(reader, field, saids.items[i].is, &error);
        else if (i == 0)
            *crank = read;
    }
    if (crank->present)
        crank_cylinder(reader, out, crank);
}

void read_units(struct reader *reader, const struct field *field, const struct node *node,
                void *out)
{
    enum { MOST_UNITS = 256 };
    const struct node *child = node->kind == NODE_LIST ? node->child : node;

    for (; child; child = node->kind == NODE_LIST ? child->next : NULL) {
        const struct qty_unit *unit;
        const char *names[MOST_UNITS];
        struct diag *diag;

        if (child->kind != NODE_SCALAR) {
            fault_kind(reader, field, child, "units, one or a list");
            continue;
        }
        unit = qty_unit_find(child->text, QTY_NONE);
        if (unit) {
            *(const struct qty_unit **)list_push(reader, out, sizeof unit) = unit;
            continue;
        }
        diag = fault(reader, DIAG_QTY_FAULT_UNIT, child->span, "'%s' is no unit", child->text);
        fault_nearest(reader, diag, child->span, child->text, names,
                      qty_unit_names(QTY_NONE, names, MOST_UNITS));
    }
}
