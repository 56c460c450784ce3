/* label.h - label sets: the words of all that is printed, by key; and phrases, which say something
 * before it is in any language.
 *
 * A set is a YAML file (templates/labels-*.yaml). A label is a heading, a field, a fixed sentence, or
 * one with places for quantities, counts, ids and standard words: "{distance} over the limit". No
 * label is a sentence whose grammar hangs on a user's own word. */
#ifndef GUDGEON_LABEL_H
#define GUDGEON_LABEL_H

#include <gudgeon/qty.h>
#include <gudgeon/tree.h>

struct labels;
/* The built-in English set; read once a context. */
const struct labels *label_english(struct context *context);
/* A built-in set by its language, or a file beside `beside`; complete, or NULL after an error at
 * `at`. */
const struct labels *label_load(struct context *context, const char *beside, const char *name,
                                struct span at);
/* The words of a label. The set was checked when it was loaded, and a tidy test reads the keys that
 * the code asks for. Never NULL. */
const char *label(const struct labels *labels, const char *key);
bool label_has(const struct labels *labels, const char *key);
const char *label_language(const struct labels *labels); /* "en", as in BCP 47 */

/* ---------- phrases ---------- */

enum phrase_kind { PHRASE_TEXT, PHRASE_NUMBER, PHRASE_VALUE, PHRASE_WRITTEN, PHRASE_COUNT,
                   PHRASE_WORD, PHRASE_PHRASE };
struct phrase_place {
    const char *name;              /* as in the label: "limit" of "{limit}" */
    enum phrase_kind kind;
    const char *text;              /* a user's word, an id, a designation; a number; a standard word */
    const char *list;              /* of a standard word: the list of labels that has it */
    struct qty_value value;
    int64_t count;
    const struct phrase *phrase;
};
struct phrase {
    struct arena *arena;
    const char *key;               /* its label; NULL: `text` alone */
    const char *text;
    struct { struct phrase_place *items; size_t count, room; } places;
    const char *mark;              /* what parts it from the next: "; " */
    struct phrase *next;
};
struct phrase *phrase_new(struct arena *arena, const char *key);
struct phrase *phrase_of_text(struct arena *arena, const char *text); /* language plays no part */
/* Each fills one place and returns its phrase. */
struct phrase *phrase_text(struct phrase *phrase, const char *name, const char *text);
struct phrase *phrase_number(struct phrase *phrase, const char *name, const char *number);
struct phrase *phrase_value(struct phrase *phrase, const char *name, const struct qty_value *value);
/* As its user wrote it, not in both systems. */
struct phrase *phrase_written(struct phrase *phrase, const char *name,
                              const struct qty_value *value);
struct phrase *phrase_count(struct phrase *phrase, const char *name, int64_t count);
/* A word of a closed list ("lubricant.engine-oil"); one that the set does not have stays as it is. */
struct phrase *phrase_word(struct phrase *phrase, const char *name, const char *list,
                           const char *word);
struct phrase *phrase_phrase(struct phrase *phrase, const char *name, const struct phrase *inner);
/* `list` (or NULL) with `next` (or NULL) after it, `mark` between. */
struct phrase *phrase_then(struct phrase *list, const char *mark, struct phrase *next);

/* How what stands in the places is printed. */
struct phrase_printer {
    struct arena *arena;
    const struct labels *labels;
    const char *(*value)(const void *user, const struct qty_value *value, bool as_written);
    const char *(*number)(const void *user, const char *number);
    const void *user;
};
/* In the words of a set; NULL for NULL. */
const char *phrase_words(const struct phrase_printer *printer, const struct phrase *phrase);

#endif
