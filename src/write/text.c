/* text.c - the line breaker. libharu's own returns offsets inside letters and 0 for a long word, so
 * it is not used; it draws each line as it stands. */
#include "text_private.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>
#include <utf8proc.h>

#include <gudgeon/pack.h>

static bool is_mark(uint32_t point)
{
    return point >= 0x300 && point <= 0x36f;
}

const char *text_drawable(struct arena *arena, const char *text)
{
    struct str_buf out = {.arena = arena};
    utf8proc_uint8_t *composed = NULL;
    const utf8proc_option_t options = UTF8PROC_STABLE | UTF8PROC_COMPOSE | UTF8PROC_NULLTERM;
    bool plain = true;

    for (const char *at = text; *at != '\0' && plain; at++)
        plain = *at == '\n' || (*at >= ' ' && *at <= '~');
    if (plain)
        return text;
    if (utf8proc_map((const utf8proc_uint8_t *)text, 0, &composed, options) < 0)
        composed = NULL;
    const char *from = composed != NULL ? (const char *)composed : text;
    str_add(&out, "");
    while (*from != '\0') {
        const char *letter = from;
        uint32_t point = str_code_point(&from);
        if (point == '\n' || pack_font_has(point))
            str_add_bytes(&out, letter, (size_t)(from - letter));
        else
            str_add(&out, point < ' ' ? " " : "\xef\xbf\xbd");
    }
    free(composed);
    return out.bytes;
}

/* Where a line may end: after `before`, with `after` next on the new line. */
static bool may_break(uint32_t before_that, uint32_t before, uint32_t after)
{
    switch (before) {
    case '-':
    case '/':
        /* Not within numbers, ranges, fractions, or a sign before a number: 1-1/2, -0.001. */
        return before_that != ' ' && before_that != 0 && after != ' ' &&
               !(after >= '0' && after <= '9');
    case 0x2013: /* en dash between limits binds, spaced it breaks at its spaces */
        return false;
    case 0x2014:
        return after != ' ';
    default:
        return false;
    }
}

struct breaker {
    struct arena *arena;
    enum face face;
    double size, width;
    struct text_lines *lines;
};

static void push_line(struct breaker *b, const char *from, const char *to)
{
    while (to > from && to[-1] == ' ')
        to--;
    struct text_line *line = ARRAY_PUSH(b->arena, b->lines);
    line->text = str_slice(b->arena, from, (size_t)(to - from));
    line->width = font_width(b->face, from, (size_t)(to - from), b->size);
}

/* Words of force that another word makes a torque of: N m, lbf ft. */
static bool ends_in_force(const char *start, const char *end)
{
    static const char *const forces[] = {"N", "lbf", "kgf", "ozf", "kN", "cN"};

    for (size_t i = 0; i < sizeof forces / sizeof *forces; i++) {
        size_t length = strlen(forces[i]);
        if ((size_t)(end - start) > length + 1 && end[-(ptrdiff_t)length - 1] == ' ' &&
            memcmp(end - length, forces[i], length) == 0)
            return true;
    }
    return false;
}

bool text_binds(const char *start, const char *space)
{
    size_t letters = strcspn(space + 1, " \n");

    if (space == start || letters < 1 || letters > 4)
        return false;
    if (space[-1] >= '0' && space[-1] <= '9')
        return !(space[1] >= '0' && space[1] <= '9') && space[1] != '(';
    return ends_in_force(start, space);
}

/* A place where a line may end and the next begin. */
struct gap {
    const char *end, *next;
};

/* One word fills the line: it ends before the letter at `at` that no longer fits, marks staying with
 * the letter before them; at least one letter is taken. */
static struct gap gap_in_word(const char *from, const char *at, const char *end)
{
    const char *cut = at;

    while (cut > from) {
        const char *peek = cut;
        if (!is_mark(str_code_point(&peek)))
            break;
        do
            cut--;
        while (cut > from && ((unsigned char)*cut & 0xc0) == 0x80);
    }
    if (cut == from) { /* not even one letter fits: take it with its marks */
        (void)str_code_point(&cut);
        for (const char *peek = cut; peek < end && is_mark(str_code_point(&peek));)
            cut = peek;
    }
    return (struct gap){cut, cut};
}

/* One line off the front of [from, end): where the next begins. */
static const char *take_line(struct breaker *b, const char *from, const char *end)
{
    struct gap good = {0}, weak = {0}; /* weak: between a number and its unit, if it must be */
    uint32_t before_that = 0, before = 0;
    unsigned long used = 0;

    for (const char *at = from; at < end;) {
        const char *letter = at;
        uint32_t point = str_code_point(&at);
        if (point == ' ' && letter > from)
            *(text_binds(from, letter) ? &weak : &good) = (struct gap){letter, at};
        else if (letter > from && may_break(before_that, before, point))
            good = (struct gap){letter, letter};
        used += font_advance(b->face, point);
        if (point != ' ' && (double)used * b->size / 1000 > b->width + 0.01) {
            if (good.end == NULL)
                good = weak.end != NULL ? weak : gap_in_word(from, letter, end);
            push_line(b, from, good.end);
            while (good.next < end && *good.next == ' ')
                good.next++;
            return good.next;
        }
        before_that = before;
        before = point;
    }
    push_line(b, from, end);
    return end;
}

void text_break(struct arena *arena, enum face face, double size, double width, const char *text,
                struct text_lines *lines)
{
    struct breaker b = {arena, face, size, width, lines};

    assert(width > 0);
    for (;;) {
        const char *end = text + strcspn(text, "\n");
        const char *at = text;
        do
            at = take_line(&b, at, end);
        while (at < end);
        if (*end == '\0')
            break;
        text = end + 1;
    }
}
