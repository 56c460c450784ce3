/* json.h - the one printer of JSON: stable, exact, two spaces an indent, ASCII escapes only where
 * JSON demands them. Commas, indents and nesting are the printer's own business. */
#ifndef GUDGEON_JSON_H
#define GUDGEON_JSON_H

#include <gudgeon/str.h>

struct json {
    struct str_buf out;
    uint32_t depth;
    bool first; /* nothing yet inside the innermost object or array */
    bool keyed; /* a key stands and waits for its value */
    bool compact; /* one line, for diagnostics */
};

void json_init(struct json *json, struct arena *arena, bool compact);
void json_object(struct json *json);
void json_object_end(struct json *json);
void json_array(struct json *json);
void json_array_end(struct json *json);
void json_key(struct json *json, const char *key);
void json_string(struct json *json, const char *text); /* NULL prints null */
void json_int(struct json *json, int64_t value);
void json_bool(struct json *json, bool value);
void json_null(struct json *json);
/* The shortest decimal that reads back as the same double; finite only (asserted). */
void json_double(struct json *json, double value);
/* A decimal whose digits are given, such as an exact length: printed as it stands. */
void json_number_text(struct json *json, const char *digits);

/* key and value in one call */
void json_put_string(struct json *json, const char *key, const char *text);
void json_put_int(struct json *json, const char *key, int64_t value);
void json_put_bool(struct json *json, const char *key, bool value);
void json_put_double(struct json *json, const char *key, double value);

#endif
