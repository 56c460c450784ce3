/* str.c - copying, printing and reading text. */
#include <gudgeon/str.h>

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "decimal_private.h"

char *str_slice(struct arena *arena, const char *bytes, size_t length)
{
    char *text = arena_alloc(arena, length + 1);

    if (length != 0)
        memcpy(text, bytes, length);
    return text; /* the arena gives zeroed memory: the end is marked */
}

char *str_copy(struct arena *arena, const char *text)
{
    return str_slice(arena, text, strlen(text));
}

char *str_vprint(struct arena *arena, const char *format, va_list arguments)
{
    va_list again;

    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    assert(length >= 0);
    char *text = arena_alloc(arena, (size_t)length + 1);
    vsnprintf(text, (size_t)length + 1, format, again);
    va_end(again);
    return text;
}

char *str_print(struct arena *arena, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    char *text = str_vprint(arena, format, arguments);
    va_end(arguments);
    return text;
}

bool str_equal(const char *a, const char *b)
{
    if (a == NULL || b == NULL)
        return a == b;
    return strcmp(a, b) == 0;
}

bool str_starts(const char *text, const char *start)
{
    return strncmp(text, start, strlen(start)) == 0;
}

bool str_ends(const char *text, const char *end)
{
    size_t length = strlen(text), tail = strlen(end);

    return length >= tail && memcmp(text + length - tail, end, tail) == 0;
}

void str_add_bytes(struct str_buf *buf, const char *bytes, size_t length)
{
    if (buf->room - buf->length <= length) {
        size_t room = buf->room == 0 ? 64 : buf->room;
        while (room - buf->length <= length) {
            assert(room < SIZE_MAX / 2);
            room *= 2;
        }
        char *grown = arena_alloc(buf->arena, room);
        if (buf->length != 0)
            memcpy(grown, buf->bytes, buf->length);
        buf->bytes = grown;
        buf->room = room;
    }
    if (length != 0)
        memcpy(buf->bytes + buf->length, bytes, length);
    buf->length += length;
    buf->bytes[buf->length] = '\0';
}

void str_add(struct str_buf *buf, const char *text)
{
    str_add_bytes(buf, text, strlen(text));
}

void str_add_print(struct str_buf *buf, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    const char *text = str_vprint(buf->arena, format, arguments);
    va_end(arguments);
    str_add(buf, text);
}

bool str_to_int(const char *text, int64_t *value)
{
    bool minus = *text == '-';
    int64_t sum = 0;

    text += minus;
    if (*text == '\0')
        return false;
    for (; *text != '\0'; text++) {
        if (*text < '0' || *text > '9')
            return false;
        int digit = *text - '0'; /* downwards, so that the least value is reached too */
        if (sum < (INT64_MIN + digit) / 10)
            return false;
        sum = sum * 10 - digit;
    }
    if (!minus && sum == INT64_MIN)
        return false;
    *value = minus ? sum : -sum;
    return true;
}

struct decimal decimal_of(double value, int digits)
{
    struct decimal decimal = {.negative = signbit(value)};
    char text[64];

    assert(isfinite(value));
    assert(digits >= 1 && digits <= DECIMAL_DIGITS);
    /* The radix character is the locale's, possibly of several bytes: only digits are taken. */
    snprintf(text, sizeof text, "%.*e", digits - 1, fabs(value));
    const char *at = text;
    for (; *at != 'e'; at++)
        if (*at >= '0' && *at <= '9')
            decimal.digits[decimal.count++] = *at;
    decimal.exponent = (int)strtol(at + 1, NULL, 10);
    while (decimal.count > 1 && decimal.digits[decimal.count - 1] == '0')
        decimal.count--;
    return decimal;
}

/* Rounds to the digits whose worth is at least 10^-places, half away from zero. */
static void decimal_round(struct decimal *decimal, int places)
{
    int keep = decimal->exponent + 1 + places; /* digits that stay */

    if (keep >= decimal->count)
        return;
    bool up = keep >= 0 && decimal->digits[keep] >= '5';
    decimal->count = keep > 0 ? keep : 0;
    int i = decimal->count - 1;
    for (; up && i >= 0; i--) {
        up = decimal->digits[i] == '9';
        decimal->digits[i] = up ? '0' : (char)(decimal->digits[i] + 1);
    }
    if (up) { /* 9.99 became 10.0, or 0.6 became 1 */
        memmove(decimal->digits + 1, decimal->digits, (size_t)decimal->count);
        decimal->digits[0] = '1';
        if (decimal->count == 0)
            decimal->exponent = -places;
        else
            decimal->exponent++;
        decimal->count++;
    }
}

char *str_decimal(struct arena *arena, double value, int places)
{
    assert(places >= 0 && places <= 30);

    /* 15 digits are what every double holds of a decimal: 2.675, stored a little below itself,
     * counts as the half that it was written as. */
    struct decimal decimal = decimal_of(value, 15);
    struct str_buf buf = {.arena = arena};
    bool zero = true;
    decimal_round(&decimal, places);
    for (int i = 0; i < decimal.count; i++)
        zero = zero && decimal.digits[i] == '0';
    if (decimal.negative && !zero)
        str_add(&buf, "-");
    int first = zero || decimal.exponent < 0 ? 0 : decimal.exponent;
    for (int worth = first; worth >= -places; worth--) {
        int i = decimal.exponent - worth;
        if (worth == -1)
            str_add(&buf, ".");
        str_add_bytes(&buf, !zero && i >= 0 && i < decimal.count ? &decimal.digits[i] : "0", 1);
    }
    return buf.bytes;
}

/* Marks, `least` or more, before what a spreadsheet takes for the beginning of a formula. */
static bool is_defused(const char *text, size_t least)
{
    size_t marks = strspn(text, "'");

    return marks >= least && text[marks] != '\0' && strchr("=+-@\t", text[marks]) != NULL;
}

/* Bytes at the beginning that are printed ASCII, which most texts are to their end. */
static size_t plain_bytes(const char *text)
{
    const char *at = text;

    while (*at >= 0x20 && *at < 0x7f)
        at++;
    return (size_t)(at - text);
}

const char *str_safe_cell(struct arena *arena, const char *text, bool csv)
{
    struct str_buf buf = {.arena = arena};
    size_t plain = plain_bytes(text);

    if (text[plain] == '\0' && !(csv && is_defused(text, 0)))
        return text;
    str_add_bytes(&buf, text, plain);
    for (const char *at = text + plain; *at != '\0';) {
        const char *start = at;
        uint32_t point = str_code_point(&at);
        if (point == '\r') {
            if (*at != '\n')
                str_add(&buf, "\n");
        } else if (point == '\n' || point == '\t' ||
                   (point >= 0x20 && !(point >= 0x7f && point <= 0x9f) && point != 0xfffe &&
                    point != 0xffff)) {
            str_add_bytes(&buf, start, (size_t)(at - start));
        }
    }
    if (csv && is_defused(buf.bytes, 0) && !decimal_is_number(buf.bytes))
        return str_print(arena, "'%s", buf.bytes);
    return buf.bytes;
}

const char *str_plain_cell(const char *text)
{
    return is_defused(text, 1) ? text + 1 : text;
}

bool decimal_is_number(const char *text)
{
    bool digits = false;

    text += *text == '+' || *text == '-';
    for (; *text >= '0' && *text <= '9'; text++)
        digits = true;
    if (*text == '.')
        for (text++; *text >= '0' && *text <= '9'; text++)
            digits = true;
    return digits && *text == '\0';
}
