/* faults.c - one fault, one error, with what to type next.
 *
 * Members of an `each` entry are read from the same text, so the same fault comes up once a place:
 * diag_add keeps one, and labels are added once. */
#include "spec_private.h"

#include <string.h>

struct diag *fault(struct reader *reader, enum diag_code code, struct span span,
                   const char *format, ...)
{
    va_list arguments;
    const char *message;

    va_start(arguments, format);
    message = str_vprint(reader->arena, format, arguments);
    va_end(arguments);
    return diag_add(&reader->context->diags, code, span, "%s", message);
}

void fault_hint(struct reader *reader, struct diag *diag, const char *format, ...)
{
    va_list arguments;

    if (diag->hint)
        return;
    va_start(arguments, format);
    diag_hint(&reader->context->diags, diag, "%s",
              str_vprint(reader->arena, format, arguments));
    va_end(arguments);
}

void fault_fix(struct reader *reader, struct diag *diag, struct span span, const char *text)
{
    if (!diag->hint)
        diag_fix(&reader->context->diags, diag, span, text);
}

void fault_label(struct reader *reader, struct diag *diag, struct span span, const char *format,
                 ...)
{
    va_list arguments;
    const char *text;

    for (size_t i = 0; i < diag->labels.count; i++)
        if (memcmp(&diag->labels.items[i].span, &span, sizeof span) == 0)
            return;
    va_start(arguments, format);
    text = str_vprint(reader->arena, format, arguments);
    va_end(arguments);
    diag_label(&reader->context->diags, diag, span, "%s", text);
}

static const char *shape_of(const struct node *node)
{
    switch (node->kind) {
    case NODE_MAP:
        return "a mapping";
    case NODE_LIST:
        return "a list";
    default:
        return "one value";
    }
}

void fault_place(struct reader *reader, const struct node *child, const struct places *each,
                 const char *id)
{
    const char **words = ARENA_ARRAY(reader->arena, const char *, each->count + 1);
    const char *name =
        str_print(reader->arena, "%s/%s/%zu", child->key, each->items[0], each->count);
    struct diag *diag = fault_once(reader, DIAG_SPEC_UNKNOWN_PLACE, child->key_span, name,
                                   str_print(reader->arena, "'%s' is no place of %s", child->key,
                                             id));

    if (!diag)
        return;
    for (size_t i = 0; i < each->count; i++)
        words[i] = each->items[i];
    /* A reference has no text: there `others` is no place. */
    words[each->count] = "others";
    fault_nearest(reader, diag, child->key_span, child->key, words,
                  each->count + (child->text != NULL || child->child != NULL));
}

/* Values by place where the entry has no places, or a place that is none of them, look like a
 * mapping where one value is due: then that is what is wrong. */
static bool in_places(const struct places *places, const char *word)
{
    return places && places_index(places, word) < places->count;
}

/* A place of the engine, or of some entry. */
static bool is_some_place(const struct reader *reader, const char *word)
{
    const struct spec *spec = reader->spec;

    for (size_t i = 0; i < spec->engine.places.count; i++)
        if (in_places(spec->engine.places.items[i], word))
            return true;
    for (size_t i = 0; i < spec->groups.count; i++)
        if (in_places(spec->groups.items[i]->each, word))
            return true;
    return false;
}

bool fault_places(struct reader *reader, const struct fields *fields, const struct node *node)
{
    const char *whose = reader->size ? reader->size : reader->entry ? reader->entry->id : NULL;
    struct diag *diag;
    const struct places *each = reader->each;
    const struct node *child;
    bool any = false;

    if (node->kind != NODE_MAP || !reader->entry)
        return false;
    for (child = node->child; child; child = child->next) {
        if (fields && field_find(fields, child->key))
            return false;
        any |= str_equal(child->key, "others") || in_places(each, child->key) ||
               (!each && is_some_place(reader, child->key));
    }
    if (!any)
        return false;
    for (child = node->child; child; child = child->next) {
        if (str_equal(child->key, "others") || in_places(each, child->key))
            continue;
        if (each) {
            fault_place(reader, child, each, reader->entry->id);
            return true;
        }
        break;
    }
    diag = fault_each(reader, DIAG_SPEC_UNKNOWN_PLACE, node->key_span, reader->entry->id,
                      str_print(reader->arena, "values by place, but %s has no places here", whose));
    if (diag && reader->size)
        fault_hint(reader, diag, "give one value, or say `each:` in %s or in %s", reader->entry->id,
                   whose);
    else if (diag)
        fault_hint(reader, diag, "give one value, or say `each:` in %s", whose);
    return true;
}

void fault_kind(struct reader *reader, const struct field *field, const struct node *node,
                const char *expected)
{
    const char *message;
    struct diag *diag;

    if (fault_places(reader, NULL, node))
        return;
    message = str_print(reader->arena, "%s takes %s, found %s", field->key, expected,
                        shape_of(node));
    if (node->kind != NODE_MAP || !reader->entry || reader->each) {
        diag = fault(reader, DIAG_SPEC_WRONG_KIND, node->span, "%s", message);
        fault_hint(reader, diag, node->kind == NODE_LIST ? "keep one of them, without [ ]"
                                                         : "write it without { }");
        return;
    }
    /* Places of its own, and the `each` that lists them is not there? */
    diag = fault_each(reader, DIAG_SPEC_WRONG_KIND, node->span, reader->entry->id, message);
    if (diag)
        fault_hint(reader, diag, "write it without { }");
}

void fault_keys(struct reader *reader, const struct fields *fields, const char *key,
                const struct node *node)
{
    enum { MOST_SHOWN = 3 };
    struct str_buf keys = {.arena = reader->arena};
    const struct field *field;
    size_t shown = 0;

    if (fault_places(reader, fields, node))
        return;
    /* What is needed, else what comes first. */
    for (int needed = 1; needed >= 0 && shown == 0; needed--)
        for (size_t i = 0; i < fields->count && shown < MOST_SHOWN; i++) {
            field = &fields->items[i];
            if (!needed || field->flags & NEEDED)
                str_add_print(&keys, "%s%s: ...", shown++ ? ", " : "", field->key);
        }
    fault_hint(reader, fault(reader, DIAG_SPEC_WRONG_KIND, node->span, "%s takes a mapping, found %s",
                             key, shape_of(node)),
               "write {%s}", keys.bytes);
}

static struct diag *told_once(struct reader *reader, enum diag_code about, enum diag_code code,
                              struct span span, const char *name, const char *message)
{
    enum { MOST_NOTES = 4 };
    struct told *told;

    for (size_t i = 0; i < reader->told.count; i++) {
        told = &reader->told.items[i];
        if (told->about != about || !str_equal(told->name, name))
            continue;
        if (memcmp(&told->diag->span, &span, sizeof span) == 0)
            return told->diag; /* the same text, read at another place */
        told->mentions++;
        if (told->diag->labels.count < MOST_NOTES)
            fault_label(reader, told->diag, span, "named here too");
        return NULL;
    }
    if (reader->told.count > 2 * BOUND_DIAGNOSTICS)
        return fault(reader, code, span, "%s", message); /* beyond what is printed */
    told = ARRAY_PUSH(reader->arena, &reader->told);
    told->code = code;
    told->about = about;
    told->name = name;
    told->diag = fault(reader, code, span, "%s", message);
    told->mentions = 1;
    return told->diag;
}

struct diag *fault_once(struct reader *reader, enum diag_code code, struct span span,
                        const char *name, const char *message)
{
    return told_once(reader, code, code, span, name, message);
}

struct diag *fault_each(struct reader *reader, enum diag_code code, struct span span,
                        const char *whose, const char *message)
{
    return told_once(reader, DIAG_SPEC_UNKNOWN_PLACES, code, span,
                     str_print(reader->arena, "each of %s", whose), message);
}

void fault_near(struct reader *reader, struct diag *diag, const char *word, struct span near,
                const size_t *near_named)
{
    for (size_t i = 0; i < reader->told.count; i++)
        if (reader->told.items[i].diag == diag) {
            reader->told.items[i].word = word;
            reader->told.items[i].near = near;
            reader->told.items[i].near_named = near_named;
        }
}

static const char *source_text(struct reader *reader, struct span span)
{
    const struct source *source = source_of(&reader->context->sources, span);

    return source ? str_slice(reader->arena, source->bytes + span.begin, span.end - span.begin) : "";
}

void faults_settle(struct reader *reader)
{
    for (size_t i = 0; i < reader->told.count; i++) {
        const struct told *told = &reader->told.items[i];
        const struct diag *old = told->diag;
        struct diag *diag;

        if (told->mentions < 2 || !told->near_named || *told->near_named > 0)
            continue;
        diag_remove(&reader->context->diags, told->diag);
        diag = fault(reader, told->code, told->near, "'%s' is named in %zu places, and here it is '%s'",
                     told->word, told->mentions, source_text(reader, told->near));
        fault_label(reader, diag, old->span, "named here");
        for (size_t k = 0; k < old->labels.count; k++)
            fault_label(reader, diag, old->labels.items[k].span, "%s", old->labels.items[k].text);
        fault_fix(reader, diag, told->near, told->word);
    }
}

bool fault_hints_wanted(const struct reader *reader)
{
    return reader->context->diags.count <= 2 * BOUND_DIAGNOSTICS;
}

static bool listed(const char *const *words, size_t count, const char *word)
{
    for (size_t i = 0; i < count; i++)
        if (str_equal(words[i], word))
            return true;
    return false;
}

void fault_nearest(struct reader *reader, struct diag *diag, struct span span, const char *wrong,
                   const char *const *words, size_t count)
{
    enum { MOST_LISTED = 16 };
    const char *near = fault_hints_wanted(reader) ? str_nearest(wrong, words, count) : NULL;
    struct str_buf text = {.arena = reader->arena};
    const char *seen[MOST_LISTED];
    size_t shown = 0;

    if (near) {
        fault_fix(reader, diag, span, near);
        return;
    }
    for (size_t i = 0; i < count && fault_hints_wanted(reader); i++) {
        if (listed(seen, shown, words[i]))
            continue;
        if (shown == MOST_LISTED) {
            str_add(&text, ", and others");
            break;
        }
        str_add_print(&text, "%s%s", shown ? ", " : "", words[i]);
        seen[shown++] = words[i];
    }
    if (shown > 0)
        fault_hint(reader, diag, "one of: %s", text.bytes);
}
