/* Any line at all as a quantity of every dimension, a crank position and a date: no crash, places
 * inside the text, limits in order, and what is printed reads back as the same value. */
#include <assert.h>
#include <gudgeon/qty.h>
#include <math.h>
#include <string.h>

enum {
    ALL = QTY_TAKE_ONE | QTY_TAKE_LIMITS | QTY_TAKE_SIZE | QTY_TAKE_SIDED | QTY_TAKE_UNKNOWN |
          QTY_TAKE_OPEN,
    LINES = 40, /* of one input */
};

static void check_error(const char *text, const struct qty_error *error)
{
    assert(error->begin <= error->end && error->end <= strlen(text));
    assert(error->message != NULL && error->fault > QTY_OK && error->fault < QTY_FAULT_COUNT);
    assert(error->fix == NULL || error->hint != NULL);
}

/* Printed in its own unit with all its digits, a length comes back to the picometre. */
static void check_round_trip(struct arena *arena, struct qty qty)
{
    struct qty_value back;
    struct qty_error error;

    if (qty.unit == NULL || qty.unit->inverse || fabs(qty.si) > 1e12)
        return;
    char *text = qty_print(arena, qty, qty.unit, 12, QTY_NEAREST);
    if (!qty_read(arena, text, qty.dim, QTY_TAKE_ONE, &back, &error)) {
        assert(error.fault == QTY_FAULT_FINE || error.fault == QTY_FAULT_LARGE);
        return; /* a twelfth decimal, or the digits before it, may be too many */
    }
    double step = fabs(qty.unit->factor) * 1e-12 + 1e-11 * fabs(qty.si) + 1e-12;
    assert(fabs(back.nominal.si - qty.si) <= step);
}

static void check_value(struct arena *arena, const struct qty_value *value)
{
    const struct qty_unit *unit = value->kind == QTY_AT_MOST ? value->high.unit : value->low.unit;

    assert(value->kind != QTY_ABSENT);
    if (value->kind == QTY_LIMITS || value->kind == QTY_SIZE)
        assert(qty_compare(value->low, value->high) <= 0);
    qty_print_both(arena, value, NULL);
    if (value->kind == QTY_UNKNOWN)
        return;
    qty_print_value(arena, value, unit, unit == NULL ? 0 : qty_places(unit));
    if (value->kind == QTY_ONE)
        check_round_trip(arena, value->nominal);
    if (value->printed != NULL)
        check_value(arena, value->printed);
}

static void read_line(struct arena *arena, const char *text, enum qty_dim dim)
{
    struct qty_value value;
    struct qty_error error;

    if (qty_read(arena, text, dim, ALL, &value, &error)) {
        assert(error.fault == QTY_OK || error.fault == QTY_FAULT_PAIR);
        check_value(arena, &value);
    } else {
        check_error(text, &error);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    size_t begin = 0;

    for (int lines = 0; begin < size && lines < LINES; lines++) {
        const uint8_t *newline = memchr(bytes + begin, '\n', size - begin);
        size_t length = newline == NULL ? size - begin : (size_t)(newline - bytes) - begin;
        const char *text = str_slice(arena, (const char *)bytes + begin, length);
        struct qty_crank crank;
        struct qty_error error;
        struct qty_date date;
        for (int dim = QTY_NONE; dim < QTY_DIM_COUNT; dim++)
            read_line(arena, text, (enum qty_dim)dim);
        if (!qty_read_crank(arena, text, &crank, &error))
            check_error(text, &error);
        qty_read_date(text, &date);
        begin += length + 1;
    }
    arena_free(arena);
    return 0;
}
