/* crank.c - crank positions: `[(angle | length) before|after] tdc|bdc [CYLINDER] [firing|overlap]`. */
#include "qty_private.h"
#include <string.h>

struct words {
    struct arena *arena;
    const char *text;
    struct {
        size_t begin, end;
        const char *is; /* in small letters */
    } items[32];
    size_t count;
};

static bool split(struct arena *arena, const char *text, struct words *words)
{
    size_t at = 0;

    *words = (struct words){.arena = arena, .text = text};
    for (;;) {
        at += strspn(text + at, " \t\r\n");
        if (text[at] == '\0')
            return true;
        if (words->count == sizeof words->items / sizeof *words->items)
            return false;
        size_t end = at + strcspn(text + at, " \t\r\n");
        char *is = str_slice(arena, text + at, end - at);
        for (char *c = is; *c != '\0'; c++)
            if (*c >= 'A' && *c <= 'Z')
                *c = (char)(*c - 'A' + 'a');
        words->items[words->count].begin = at;
        words->items[words->count].end = end;
        words->items[words->count++].is = is;
        at = end;
    }
}

static bool is(const struct words *words, size_t i, const char *word)
{
    return i < words->count && strcmp(words->items[i].is, word) == 0;
}

static bool fail(struct qty_error *error, size_t begin, size_t end, const char *message,
                 const char *hint, const char *fix)
{
    if (error->fault == QTY_OK)
        *error = (struct qty_error){QTY_FAULT_CRANK, begin, end, message, hint, fix};
    return false;
}

static const char form[] =
    "write such as 32 deg before tdc 1 firing, or 8.2 mm before tdc, or bdc 2";

/* The dead centre among the words, `side` the word that says before or after ("btdc" is both). */
struct centre {
    size_t at;
    bool found, sided, before, bottom, own_word; /* own_word: `before` stands by itself */
};

static struct centre find_centre(const struct words *words)
{
    static const struct {
        const char *word;
        bool sided, before, bottom;
    } rows[] = {
        {"tdc", false, false, false}, {"bdc", false, false, true}, {"btdc", true, true, false},
        {"atdc", true, false, false}, {"bbdc", true, true, true},  {"abdc", true, false, true},
    };

    for (size_t i = 0; i < words->count; i++)
        for (size_t row = 0; row < sizeof rows / sizeof *rows; row++)
            if (is(words, i, rows[row].word)) {
                struct centre centre = {
                    i, true, rows[row].sided, rows[row].before, rows[row].bottom, false};
                if (!centre.sided && i > 0 &&
                    (is(words, i - 1, "before") || is(words, i - 1, "after"))) {
                    centre.sided = centre.own_word = true;
                    centre.before = is(words, i - 1, "before");
                }
                return centre;
            }
    return (struct centre){0};
}

static bool read_offset(const struct words *words, const struct centre *centre,
                        struct qty_crank *crank, struct qty_error *error)
{
    size_t last = centre->at - (centre->own_word ? 1 : 0); /* words before this one */
    struct qty_value value;

    if (last == 0)
        return !centre->sided || fail(error, words->items[0].begin, words->items[centre->at].end,
                                      "how far from the dead centre is not said", form, NULL);
    size_t end = words->items[last - 1].end;
    if (!centre->sided)
        return fail(error, words->items[0].begin, end,
                    "before or after the dead centre is not said", form, NULL);
    if (!qty_read(words->arena, str_slice(words->arena, words->text, end), QTY_NONE, QTY_TAKE_ONE,
                  &value, error))
        return false;
    if (value.nominal.dim != QTY_ANGLE && value.nominal.dim != QTY_LENGTH)
        return fail(error, words->items[0].begin, end,
                    "a crank position is an angle or a piston travel", form, NULL);
    if (value.nominal.si < 0)
        return fail(error, words->items[0].begin, end,
                    "a crank position has no sign: before and after say it", NULL, NULL);
    crank->offset = value.nominal;
    return true;
}

static bool is_place(const char *word)
{
    return strspn(word, "abcdefghijklmnopqrstuvwxyz0123456789-") == strlen(word) && *word != '-';
}

static bool read_cylinder(const struct words *words, size_t at, struct qty_crank *crank,
                          struct qty_error *error)
{
    if (at < words->count && !is(words, at, "firing") && !is(words, at, "overlap")) {
        crank->cylinder = words->items[at].is;
        if (!is_place(crank->cylinder))
            return fail(error, words->items[at].begin, words->items[at].end,
                        "a cylinder is a number or a name", form, NULL);
        at++;
    }
    if (is(words, at, "firing") || is(words, at, "overlap"))
        crank->stroke = is(words, at++, "firing") ? QTY_FIRING : QTY_OVERLAP;
    if (at < words->count)
        return fail(error, words->items[at].begin, words->items[words->count - 1].end,
                    "only the cylinder, and firing or overlap, follow the dead centre", form, NULL);
    return true;
}

bool qty_read_crank(struct arena *arena, const char *text, struct qty_crank *crank,
                    struct qty_error *error)
{
    struct words words;

    *crank = (struct qty_crank){.text = str_copy(arena, text)};
    *error = (struct qty_error){.fault = QTY_OK};
    if (strlen(text) > TEXT_MOST || !split(arena, text, &words))
        return fail(error, 0, strlen(text), "this is too long for a crank position", form, NULL);
    struct centre centre = find_centre(&words);
    if (!centre.found)
        return fail(error, 0, strlen(text), "no tdc or bdc is named", form, NULL);
    crank->before = centre.before;
    crank->bottom = centre.bottom;
    if (!read_offset(&words, &centre, crank, error) ||
        !read_cylinder(&words, centre.at + 1, crank, error))
        return false;
    crank->present = true;
    return true;
}
