/* font_private.h - the shipped fonts: bytes, and widths without asking libharu. */
#ifndef GUDGEON_WRITE_FONT_PRIVATE_H
#define GUDGEON_WRITE_FONT_PRIVATE_H

#include <stddef.h>
#include <stdint.h>

enum face { FACE_REGULAR, FACE_BOLD, FACE_COUNT };

/* Advance width in thousandths of the size, as libharu reckons it; that of U+FFFD for a letter that
 * the face lacks. */
unsigned font_advance(enum face face, uint32_t point);
/* Width of `length` bytes of valid UTF-8 at `size`, in the unit of `size`. */
double font_width(enum face face, const char *text, size_t length, double size);
const unsigned char *font_bytes(enum face face, size_t *size);

#endif
