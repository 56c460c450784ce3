/* font.c - the shipped fonts (src/write/fonts), made into arrays by font_tool. */
#include "font_private.h"

#include <gudgeon/str.h>

#include "font_advances.h"
#include "font_bytes.h"

enum { ADVANCES = sizeof font_advances / sizeof *font_advances, FIRST = 0x20, LAST_ASCII = 0x7e,
       REPLACEMENT = 0xfffd };

static size_t find(uint32_t point)
{
    size_t low = 0, high = ADVANCES;

    if (point >= FIRST && point <= LAST_ASCII)
        return point - FIRST; /* the table begins with ASCII, without gaps */
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (font_advances[middle].point < point)
            low = middle + 1;
        else
            high = middle;
    }
    return low < ADVANCES && font_advances[low].point == point ? low : ADVANCES;
}

unsigned font_advance(enum face face, uint32_t point)
{
    size_t i = find(point);

    if (i == ADVANCES)
        i = find(REPLACEMENT);
    return face == FACE_BOLD ? font_advances[i].bold : font_advances[i].regular;
}

double font_width(enum face face, const char *text, size_t length, double size)
{
    const char *end = text + length;
    unsigned long total = 0;

    while (text < end)
        total += font_advance(face, str_code_point(&text));
    return (double)total * size / 1000.0;
}

const unsigned char *font_bytes(enum face face, size_t *size)
{
    *size = (face == FACE_BOLD ? sizeof font_bold : sizeof font_regular) - 1;
    return face == FACE_BOLD ? font_bold : font_regular;
}
