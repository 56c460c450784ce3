/* text_private.h - text broken into lines, over code points and the fonts' own widths. */
#ifndef GUDGEON_WRITE_TEXT_PRIVATE_H
#define GUDGEON_WRITE_TEXT_PRIVATE_H

#include <gudgeon/arena.h>

#include "font_private.h"

struct text_line {
    const char *text; /* NUL-terminated, NFC, no controls */
    double width;
};
struct text_lines {
    struct text_line *items;
    size_t count, room;
};

/* What can be drawn: NFC, controls and tabs to spaces, line feeds kept, letters that the fonts lack
 * as U+FFFD (pack has reported them at their place). */
const char *text_drawable(struct arena *arena, const char *text);

/* True if the space in the text that begins at `start` holds a number and a short word, its unit,
 * together. */
bool text_binds(const char *start, const char *space);

/* Breaks at spaces and after hyphens, dashes and slashes; keeps a number with the unit after it; a
 * word wider than the line is broken between letters, never before a combining mark. At least one
 * line; none is wider than `width` unless a single letter is. */
void text_break(struct arena *arena, enum face face, double size, double width, const char *text,
                struct text_lines *lines);

#endif
