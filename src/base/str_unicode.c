/* str_unicode.c - what needs code points: validity, width, likeness. */
#include <gudgeon/str.h>

#include <string.h>
#include <utf8proc.h>

uint32_t str_code_point(const char **at)
{
    const unsigned char *bytes = (const unsigned char *)*at;
    uint32_t point = bytes[0];
    int more = point < 0x80 ? 0 : point < 0xe0 ? 1 : point < 0xf0 ? 2 : 3;

    if (more != 0)
        point &= 0x3fu >> more;
    int size = 1; /* words of a command line may be anything: never beyond their end */
    for (; size <= more && (bytes[size] & 0xc0) == 0x80; size++)
        point = point << 6 | (bytes[size] & 0x3fu);
    *at += size;
    return point;
}

size_t str_utf8_valid(const char *bytes, size_t length)
{
    size_t at = 0;

    while (at < length) {
        utf8proc_int32_t point;
        if ((unsigned char)bytes[at] < 0x80) {
            at++;
            continue;
        }
        utf8proc_ssize_t size = utf8proc_iterate((const utf8proc_uint8_t *)bytes + at,
                                                 (utf8proc_ssize_t)(length - at), &point);
        if (size <= 0)
            return at;
        at += (size_t)size;
    }
    return length;
}

size_t str_code_points(const char *bytes, size_t length)
{
    size_t count = 0;

    for (size_t i = 0; i < length; i++)
        count += ((unsigned char)bytes[i] & 0xc0) != 0x80;
    return count;
}

size_t str_display_width(const char *bytes, size_t length)
{
    size_t width = 0;

    for (size_t at = 0; at < length;) {
        if (bytes[at] >= 0x20 && bytes[at] < 0x7f) { /* most letters need no table */
            width++;
            at++;
            continue;
        }
        utf8proc_int32_t point;
        utf8proc_ssize_t size = utf8proc_iterate((const utf8proc_uint8_t *)bytes + at,
                                                 (utf8proc_ssize_t)(length - at), &point);
        if (size <= 0) { /* a terminal shows one mark for a byte that it cannot read */
            width++;
            at++;
            continue;
        }
        width += (size_t)utf8proc_charwidth(point);
        at += (size_t)size;
    }
    return width;
}

enum { LONGEST_WORD = 64 };

/* Code points in lower case; false if the word is too long to be looked at. */
static bool letters_of(const char *word, uint32_t *letters, size_t *count)
{
    *count = 0;
    while (*word != '\0') {
        if (*count == LONGEST_WORD)
            return false;
        letters[(*count)++] = (uint32_t)utf8proc_tolower((utf8proc_int32_t)str_code_point(&word));
    }
    return true;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Letters put in, left out, changed, or two neighbours swapped (optimal string alignment). */
static size_t distance(const uint32_t *a, size_t a_count, const uint32_t *b, size_t b_count)
{
    size_t rows[3][LONGEST_WORD + 1];
    size_t *before = rows[0], *above = rows[1], *row = rows[2];

    for (size_t j = 0; j <= b_count; j++)
        above[j] = j;
    for (size_t i = 1; i <= a_count; i++) {
        row[0] = i;
        for (size_t j = 1; j <= b_count; j++) {
            row[j] = least(least(above[j], row[j - 1]) + 1,
                           above[j - 1] + (a[i - 1] != b[j - 1]));
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                row[j] = least(row[j], before[j - 2] + 1);
        }
        size_t *oldest = before;
        before = above;
        above = row;
        row = oldest;
    }
    return above[b_count];
}

const char *str_nearest(const char *wrong, const char *const *words, size_t count)
{
    uint32_t letters[LONGEST_WORD], other[LONGEST_WORD];
    size_t letter_count, other_count;
    const char *nearest = NULL;

    if (!letters_of(wrong, letters, &letter_count) || letter_count == 0)
        return NULL;
    size_t limit = letter_count / 3 == 0 ? 1 : letter_count / 3;
    /* With no letter in common there is no likeness. */
    size_t best = least(limit, letter_count - 1) + 1;
    for (size_t i = 0; i < count; i++) {
        if (!letters_of(words[i], other, &other_count))
            continue;
        /* Each letter more or less is a step of its own. */
        if (other_count >= letter_count + best || letter_count >= other_count + best)
            continue;
        size_t steps = distance(letters, letter_count, other, other_count);
        if (steps < best) {
            best = steps;
            nearest = words[i];
        }
    }
    return nearest;
}
