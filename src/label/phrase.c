/* phrase.c - phrases: made without a language, said in the words of a label set. */
#include <gudgeon/label.h>

#include <assert.h>
#include <string.h>

struct phrase *phrase_new(struct arena *arena, const char *key)
{
    struct phrase *phrase = ARENA_NEW(arena, struct phrase);

    *phrase = (struct phrase){.arena = arena, .key = key};
    return phrase;
}

struct phrase *phrase_of_text(struct arena *arena, const char *text)
{
    struct phrase *phrase = phrase_new(arena, NULL);

    phrase->text = text;
    return phrase;
}

static struct phrase *fill(struct phrase *phrase, struct phrase_place place)
{
    *ARRAY_PUSH(phrase->arena, &phrase->places) = place;
    return phrase;
}

struct phrase *phrase_text(struct phrase *phrase, const char *name, const char *text)
{
    return fill(phrase, (struct phrase_place){.name = name, .kind = PHRASE_TEXT, .text = text});
}

struct phrase *phrase_number(struct phrase *phrase, const char *name, const char *number)
{
    return fill(phrase, (struct phrase_place){.name = name, .kind = PHRASE_NUMBER, .text = number});
}

struct phrase *phrase_value(struct phrase *phrase, const char *name, const struct qty_value *value)
{
    return fill(phrase, (struct phrase_place){.name = name, .kind = PHRASE_VALUE, .value = *value});
}

struct phrase *phrase_written(struct phrase *phrase, const char *name,
                              const struct qty_value *value)
{
    return fill(phrase,
                (struct phrase_place){.name = name, .kind = PHRASE_WRITTEN, .value = *value});
}

struct phrase *phrase_count(struct phrase *phrase, const char *name, int64_t count)
{
    return fill(phrase, (struct phrase_place){.name = name, .kind = PHRASE_COUNT, .count = count});
}

struct phrase *phrase_word(struct phrase *phrase, const char *name, const char *list,
                           const char *word)
{
    return fill(phrase, (struct phrase_place){.name = name, .kind = PHRASE_WORD, .list = list,
                                              .text = word});
}

struct phrase *phrase_phrase(struct phrase *phrase, const char *name, const struct phrase *inner)
{
    return fill(phrase,
                (struct phrase_place){.name = name, .kind = PHRASE_PHRASE, .phrase = inner});
}

struct phrase *phrase_then(struct phrase *list, const char *mark, struct phrase *next)
{
    struct phrase *last = list;

    if (list == NULL)
        return next;
    while (last->next != NULL)
        last = last->next;
    last->mark = mark;
    last->next = next;
    return list;
}

/* ---------- saying ---------- */

static const char *place_words(const struct phrase_printer *printer,
                               const struct phrase_place *place)
{
    switch (place->kind) {
    case PHRASE_TEXT:
        return place->text;
    case PHRASE_NUMBER:
        return printer->number(printer->user, place->text);
    case PHRASE_VALUE:
    case PHRASE_WRITTEN:
        return printer->value(printer->user, &place->value, place->kind == PHRASE_WRITTEN);
    case PHRASE_COUNT:
        return str_print(printer->arena, "%lld", (long long)place->count);
    case PHRASE_WORD: {
        const char *key = str_print(printer->arena, "%s.%s", place->list, place->text);
        return label_has(printer->labels, key) ? label(printer->labels, key) : place->text;
    }
    case PHRASE_PHRASE:
        return phrase_words(printer, place->phrase);
    }
    return NULL;
}

static const struct phrase_place *place_named(const struct phrase *phrase, const char *name,
                                              size_t length)
{
    for (size_t i = 0; i < phrase->places.count; i++)
        if (strlen(phrase->places.items[i].name) == length &&
            memcmp(phrase->places.items[i].name, name, length) == 0)
            return &phrase->places.items[i];
    return NULL;
}

/* A brace that names no place of the phrase stays as it stands. */
static void say(const struct phrase_printer *printer, const struct phrase *phrase,
                struct str_buf *out)
{
    const char *at = phrase->text != NULL ? phrase->text : label(printer->labels, phrase->key);

    while (phrase->key != NULL && *at != '\0') {
        size_t plain = strcspn(at, "{");
        str_add_bytes(out, at, plain);
        at += plain;
        if (*at == '\0')
            break;
        size_t length = strcspn(at + 1, "}");
        const struct phrase_place *place =
            at[1 + length] == '}' ? place_named(phrase, at + 1, length) : NULL;
        if (place == NULL) {
            str_add_bytes(out, at++, 1);
            continue;
        }
        const char *words = place_words(printer, place);
        str_add(out, words != NULL ? words : "");
        at += length + 2;
    }
    str_add(out, at);
}

const char *phrase_words(const struct phrase_printer *printer, const struct phrase *phrase)
{
    struct str_buf out = {.arena = printer->arena};

    if (phrase == NULL)
        return NULL;
    for (; phrase != NULL; phrase = phrase->next) {
        say(printer, phrase, &out);
        if (phrase->next != NULL)
            str_add(&out, phrase->mark);
    }
    return out.bytes != NULL ? out.bytes : "";
}
