/* resolve_look_alike.c - what looks like a part and is another: as the spec says, and the forms of its
 * entry that are for other engines. */
#include "resolve_private.h"

static struct phrase *form_words(struct arena *arena, const struct other_form *form)
{
    static const char *const keys[] = {"look-alike.serial", "look-alike.built",
                                       "look-alike.variant"};
    struct phrase *engines = NULL;

    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        if (form->ranges[i])
            engines = phrase_then(engines, ", ",
                                  phrase_text(phrase_new(arena, keys[i]), "range", form->ranges[i]));
    struct phrase *words = phrase_text(phrase_new(arena, "look-alike.form"), "number", form->number);
    return phrase_phrase(words, "engines", engines);
}

const struct phrase *build_look_alikes(struct arena *arena, const struct part *part)
{
    struct phrase *all = NULL;

    for (size_t i = 0; i < part->looks_like.count; i++)
        all = phrase_then(all, "; ", phrase_of_text(arena, part->looks_like.items[i].text));
    for (size_t i = 0; i < part->e.group->other_forms.count; i++) {
        const struct other_form *form = &part->e.group->other_forms.items[i];
        if (!str_equal(form->number, part->number.text))
            all = phrase_then(all, "; ", form_words(arena, form));
    }
    return all;
}
