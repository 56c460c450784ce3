/* str.h - text: NUL-terminated UTF-8 in an arena, built and read without any locale. */
#ifndef GUDGEON_STR_H
#define GUDGEON_STR_H

#include <gudgeon/arena.h>

#if defined(__GNUC__)
#define STR_PRINTF(text, first) __attribute__((format(printf, text, first)))
#else
#define STR_PRINTF(format, first)
#endif

char *str_copy(struct arena *arena, const char *text);
char *str_slice(struct arena *arena, const char *bytes, size_t length);
/* printf into the arena. Only %s %d %u %zu %c %ld %lld %x and widths: never %f, which obeys the
 * locale; numbers with a fraction are printed by str_decimal. */
char *str_print(struct arena *arena, const char *format, ...) STR_PRINTF(2, 3);
char *str_vprint(struct arena *arena, const char *format, va_list arguments);
/* `value` with `places` decimals, half away from zero, a '.' whatever the locale; "-0.0" never. */
char *str_decimal(struct arena *arena, double value, int places);

bool str_equal(const char *a, const char *b); /* NULL equals only NULL */
bool str_starts(const char *text, const char *start);
bool str_ends(const char *text, const char *end);

/* A growing text. `bytes` is always NUL-terminated once anything was added. */
struct str_buf {
    struct arena *arena;
    char *bytes;
    size_t length, room;
};
void str_add(struct str_buf *buf, const char *text);
void str_add_bytes(struct str_buf *buf, const char *bytes, size_t length);
void str_add_print(struct str_buf *buf, const char *format, ...) STR_PRINTF(2, 3);

/* A whole decimal number that fills `text`; false on anything else or overflow. */
bool str_to_int(const char *text, int64_t *value);

/* The code point at *at, which moves on; bytes must be valid UTF-8 (str_utf8_valid).  */
uint32_t str_code_point(const char **at);
/* The offset of the first byte that is not UTF-8 (overlong, surrogate, > U+10FFFF), or length. */
size_t str_utf8_valid(const char *bytes, size_t length);
size_t str_code_points(const char *bytes, size_t length);
/* Columns that a terminal gives the text (East Asian wide 2, combining 0; utf8proc). */
size_t str_display_width(const char *bytes, size_t length);

/* The nearest of `words` to `wrong` by edit distance over code points, transposition one step;
 * NULL when none is near enough to be a likely slip (at most a third of the letters, at least 1). */
const char *str_nearest(const char *wrong, const char *const *words, size_t count);

/* Text made safe for a spreadsheet cell: CR and CRLF to LF, other controls and U+FFFE/U+FFFF out.
 * `csv` true also defuses what a spreadsheet would run (a leading = + - @ tab gets an apostrophe
 * before it, and so does what begins with one before these), never a number. The text itself where
 * nothing is to be changed. The one home of the rules. */
const char *str_safe_cell(struct arena *arena, const char *text, bool csv);
/* What a cell of a CSV file says: the text without the apostrophe that str_safe_cell put before it. */
const char *str_plain_cell(const char *text);

#endif
