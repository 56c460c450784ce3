/* json.c - printing JSON (RFC 8259). */
#include <gudgeon/json.h>

#include <assert.h>
#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "decimal_private.h"

void json_init(struct json *json, struct arena *arena, bool compact)
{
    *json = (struct json){.out = {.arena = arena}, .first = true, .compact = compact};
    str_add(&json->out, "");
}

static void line_start(struct json *json)
{
    if (json->compact)
        return;
    str_add(&json->out, "\n");
    for (uint32_t i = 0; i < json->depth; i++)
        str_add(&json->out, "  ");
}

/* What stands before a key, or before a value that has none. */
static void item_start(struct json *json)
{
    if (json->keyed) {
        json->keyed = false;
        return;
    }
    if (json->depth == 0)
        return;
    if (!json->first)
        str_add(&json->out, ",");
    line_start(json);
    json->first = false;
}

static void nest(struct json *json, const char *bracket)
{
    item_start(json);
    str_add(&json->out, bracket);
    json->depth++;
    json->first = true;
}

static void nest_end(struct json *json, const char *bracket)
{
    assert(json->depth > 0);
    assert(!json->keyed);
    json->depth--;
    if (!json->first)
        line_start(json);
    str_add(&json->out, bracket);
    json->first = false;
}

void json_object(struct json *json)
{
    nest(json, "{");
}

void json_object_end(struct json *json)
{
    nest_end(json, "}");
}

void json_array(struct json *json)
{
    nest(json, "[");
}

void json_array_end(struct json *json)
{
    nest_end(json, "]");
}

static void quoted(struct str_buf *out, const char *text)
{
    str_add(out, "\"");
    for (const char *start = text, *at = text;; at++) {
        unsigned char byte = (unsigned char)*at;
        if (byte >= 0x20 && byte != '"' && byte != '\\')
            continue;
        str_add_bytes(out, start, (size_t)(at - start));
        if (byte == '\0')
            break;
        if (byte == '\n')
            str_add(out, "\\n");
        else if (byte == '\t')
            str_add(out, "\\t");
        else if (byte < 0x20)
            str_add_print(out, "\\u%04x", (unsigned)byte);
        else
            str_add_print(out, "\\%c", byte);
        start = at + 1;
    }
    str_add(out, "\"");
}

void json_key(struct json *json, const char *key)
{
    assert(json->depth > 0 && !json->keyed);
    item_start(json);
    quoted(&json->out, key);
    str_add(&json->out, json->compact ? ":" : ": ");
    json->keyed = true;
}

static void raw(struct json *json, const char *text)
{
    item_start(json);
    str_add(&json->out, text);
}

void json_string(struct json *json, const char *text)
{
    if (text == NULL) {
        json_null(json);
        return;
    }
    item_start(json);
    quoted(&json->out, text);
}

void json_int(struct json *json, int64_t value)
{
    item_start(json);
    str_add_print(&json->out, "%lld", (long long)value);
}

void json_bool(struct json *json, bool value)
{
    raw(json, value ? "true" : "false");
}

void json_null(struct json *json)
{
    raw(json, "null");
}

static bool reads_back(double value, int digits)
{
    struct decimal decimal = decimal_of(value, digits);
    char text[40];
    int at = 0;

    /* Without a radix character the locale has no say: 25e-1. */
    for (int i = 0; i < decimal.count; i++)
        text[at++] = decimal.digits[i];
    text[at] = '\0';
    char *whole = text + at;
    int power = decimal.exponent - (decimal.count - 1);
    *whole++ = 'e';
    *whole++ = power < 0 ? '-' : '+';
    power = abs(power);
    *whole++ = (char)('0' + power / 100);
    *whole++ = (char)('0' + power / 10 % 10);
    *whole++ = (char)('0' + power % 10);
    *whole = '\0';
    return strtod(text, NULL) == fabs(value);
}

void json_double(struct json *json, double value)
{
    assert(isfinite(value));

    /* What has 15 digits comes back from 15 (DBL_DIG); numbers below DBL_MIN hold fewer. */
    int digits = fabs(value) < DBL_MIN ? 1 : DBL_DIG;
    while (digits < DECIMAL_DIGITS && !reads_back(value, digits))
        digits++;
    struct decimal decimal = decimal_of(value, digits);
    struct str_buf *out = &json->out;
    item_start(json);
    if (decimal.negative)
        str_add(out, "-");
    if (decimal.exponent < -7 || decimal.exponent > 20) {
        str_add_bytes(out, decimal.digits, 1);
        if (decimal.count > 1)
            str_add(out, ".");
        str_add_bytes(out, decimal.digits + 1, (size_t)decimal.count - 1);
        str_add_print(out, "e%d", decimal.exponent);
        return;
    }
    for (int worth = decimal.exponent < 0 ? 0 : decimal.exponent;
         worth >= 0 || decimal.exponent - worth < decimal.count; worth--) {
        int i = decimal.exponent - worth;
        if (worth == -1)
            str_add(out, ".");
        str_add_bytes(out, i >= 0 && i < decimal.count ? &decimal.digits[i] : "0", 1);
    }
    if (decimal.negative && value == 0)
        str_add(out, ".0"); /* "-0" would come back as a whole number, without its sign */
}

void json_number_text(struct json *json, const char *digits)
{
    raw(json, digits);
}

void json_put_string(struct json *json, const char *key, const char *text)
{
    json_key(json, key);
    json_string(json, text);
}

void json_put_int(struct json *json, const char *key, int64_t value)
{
    json_key(json, key);
    json_int(json, value);
}

void json_put_bool(struct json *json, const char *key, bool value)
{
    json_key(json, key);
    json_bool(json, value);
}

void json_put_double(struct json *json, const char *key, double value)
{
    json_key(json, key);
    json_double(json, value);
}
