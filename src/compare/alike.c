/* alike.c - whether two printed texts say the same, though in other units. */
#include "compare_private.h"

#include <ctype.h>
#include <math.h>

enum { LONGEST = 96 }; /* letters of a printed quantity with its pair */

static bool is_end(const char *text, size_t length)
{
    char last = text[length - 1], next = text[length];

    return !isalnum((unsigned char)next) && last != ' ' &&
           (isalpha((unsigned char)last) || last == ')' || last == '%' || (last & 0x80));
}

/* The longest quantity that begins at `text`; its length, or 0. */
static size_t take_quantity(struct arena *arena, const char *text, struct qty_value *value)
{
    const unsigned takes = QTY_TAKE_LIMITS | QTY_TAKE_SIZE | QTY_TAKE_SIDED;
    struct qty_error error;
    size_t most = strlen(text);

    for (size_t length = most < LONGEST ? most : LONGEST; length > 1; length--) {
        if (!is_end(text, length))
            continue;
        const char *slice = str_slice(arena, text, length);
        for (int dim = QTY_LENGTH; dim < QTY_COUNT; dim++)
            if (qty_read(arena, slice, (enum qty_dim)dim, takes, value, &error) &&
                (error.fault == QTY_OK || value->kind != QTY_ABSENT))
                return length;
    }
    return 0;
}

static bool starts_quantity(const char *begin, const char *at)
{
    if (at > begin && (isalnum((unsigned char)at[-1]) || at[-1] == '.'))
        return false;
    return isdigit((unsigned char)*at) || *at == '-' || str_starts(at, "at least ") ||
           str_starts(at, "at most ");
}

static bool same_end(const struct qty *a, const struct qty *b)
{
    double digit = 2 * (a->half_digit + b->half_digit); /* printed limits are rounded inward */

    return a->dim == b->dim && fabs(a->si - b->si) <= digit + 1e-9 * fabs(a->si);
}

static bool same_value(const struct qty_value *a, const struct qty_value *b)
{
    bool low = a->kind != QTY_AT_MOST, high = a->kind != QTY_AT_LEAST;

    if ((a->kind == QTY_AT_MOST) != (b->kind == QTY_AT_MOST) ||
        (a->kind == QTY_AT_LEAST) != (b->kind == QTY_AT_LEAST))
        return false;
    return (!low || same_end(&a->low, &b->low)) && (!high || same_end(&a->high, &b->high));
}

/* The unit that begins at `text` and fills a word. */
static const struct qty_unit *take_unit(struct arena *arena, const char *text, size_t *length)
{
    for (*length = strcspn(text, "\",;:()"); *length > 0; --*length) {
        const struct qty_unit *unit = text[*length - 1] != ' '
                                          ? qty_unit_find(str_slice(arena, text, *length), QTY_NONE)
                                          : NULL;
        if (unit)
            return unit;
    }
    return NULL;
}

bool compare_alike(struct arena *arena, const char *was, const char *is)
{
    const char *was_begin = was, *is_begin = is;

    if (!was || !is)
        return was == is;
    while (*was || *is) {
        struct qty_value a, b;
        size_t a_length, b_length;
        if (starts_quantity(was_begin, was) && starts_quantity(is_begin, is) &&
            (a_length = take_quantity(arena, was, &a)) > 0 &&
            (b_length = take_quantity(arena, is, &b)) > 0) {
            if (!same_value(&a, &b))
                return false;
            was += a_length;
            is += b_length;
        } else if (*was == *is) {
            was++;
            is++;
        } else {
            const struct qty_unit *left = take_unit(arena, was, &a_length);
            const struct qty_unit *right = take_unit(arena, is, &b_length);
            bool word = was > was_begin && !isalnum((unsigned char)was[-1]);
            if (!word || !left || !right || left->dim != right->dim)
                return false;
            was += a_length;
            is += b_length;
        }
    }
    return true;
}
