/* The language page and the schema are what the reader reads by. */
#include <criterion/criterion.h>
#include <gudgeon/file.h>
#include <gudgeon/spec.h>
#include <stdlib.h>
#include <string.h>

#include "../../src/spec/spec_private.h"

static const char page[] = "specs/LANGUAGE.md";
static const char begin[] = "<!-- keys: begin -->\n", end[] = "<!-- keys: end -->";

/* With UPDATE_GOLDEN=1 the tables are written anew. */
Test(spec_language, the_tables_of_keys_are_those_the_reader_reads_by)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    struct str_buf keys = {.arena = arena}, out = {.arena = arena};
    struct file_bytes file = file_read(arena, page, 1 << 24);
    const char *update = getenv("UPDATE_GOLDEN");

    cr_assert_eq(file.status, FILE_OK, "%s", page);
    const char *from = strstr(file.bytes, begin);
    const char *to = from ? strstr(from, end) : NULL;
    cr_assert(to != NULL, "%s has no place for the tables", page);
    from += strlen(begin);
    spec_print_language(&keys);
    cr_assert(keys.length > 10000);
    if (update && strcmp(update, "1") == 0) {
        str_add_bytes(&out, file.bytes, (size_t)(from - file.bytes));
        str_add(&out, keys.bytes);
        str_add(&out, to);
        cr_assert_eq(file_write(arena, page, out.bytes, out.length), NULL);
    } else {
        cr_expect(keys.length == (size_t)(to - from) && memcmp(keys.bytes, from, keys.length) == 0,
                  "%s lists other keys: UPDATE_GOLDEN=1 writes them anew", page);
    }
    arena_free(arena);
}

Test(spec_language, every_row_has_help_in_lower_case_and_one_line)
{
    size_t rows = 0;

    for (int kind = -2; kind < ENTRY_KIND_COUNT; kind++) {
        const struct fields *fields = kind == -2   ? &spec_fields
                                      : kind == -1 ? &common_fields
                                                   : sections[kind].fields;
        for (size_t i = 0; i < fields->count; i++) {
            const struct field *field = &fields->items[i];
            rows++;
            cr_expect(field->help && strlen(field->help) > 5 && !strpbrk(field->help, "\n|"), "%s",
                      field->key);
            cr_expect(id_is_good(field->key), "%s is no key", field->key);
        }
    }
    cr_expect(rows > 150, "%zu rows", rows);
}

/* "A key has one meaning wherever it stands": the same kind of value and the same help, but for the
 * few whose words name what they belong to. */
static const char *const keyed_by_neighbour[] = {"want", "of",       "in",   "by",
                                                 "where", "supplier", "price"};

static bool named(const char *key)
{
    for (size_t i = 0; i < sizeof keyed_by_neighbour / sizeof *keyed_by_neighbour; i++)
        if (strcmp(keyed_by_neighbour[i], key) == 0)
            return true;
    return false;
}

Test(spec_language, a_key_takes_the_same_kind_of_value_wherever_it_stands)
{
    for (int a = 0; a < ENTRY_KIND_COUNT; a++)
        for (int b = 0; b < a; b++)
            for (size_t i = 0; i < sections[a].fields->count; i++) {
                const struct field *one = &sections[a].fields->items[i];
                const struct field *two = NULL;
                for (size_t k = 0; k < sections[b].fields->count; k++)
                    if (str_equal(sections[b].fields->items[k].key, one->key))
                        two = &sections[b].fields->items[k];
                cr_expect(!field_find(&common_fields, one->key), "%s.%s is a common key",
                          sections[a].key, one->key);
                if (!two)
                    continue;
                /* What outwork comes back with is `want` of several sizes at once. */
                cr_expect(one->kind == two->kind || str_equal(one->key, "want"),
                          "%s is of one kind in %s and of another in %s", one->key, sections[a].key,
                          sections[b].key);
                cr_expect(named(one->key) || str_equal(one->help, two->help),
                          "%s means one thing in %s and another in %s", one->key, sections[a].key,
                          sections[b].key);
            }
}

Test(spec_language, the_schema_names_every_key_and_closes_every_bracket)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    struct json json;
    long depth = 0;
    bool quoted = false;

    json_init(&json, arena, false);
    spec_print_schema(&json);
    cr_expect_eq(json.depth, 0);
    for (const char *at = json.out.bytes; *at; at++) {
        if (*at == '"' && (at == json.out.bytes || at[-1] != '\\'))
            quoted = !quoted;
        depth += !quoted && strchr("{[", *at) ? 1 : 0;
        depth -= !quoted && strchr("}]", *at) ? 1 : 0;
    }
    cr_expect_eq(depth, 0);
    for (int kind = 0; kind < ENTRY_KIND_COUNT; kind++)
        for (size_t i = 0; i < sections[kind].fields->count; i++)
            cr_expect(strstr(json.out.bytes, str_print(arena, "\"%s\": {",
                                                       sections[kind].fields->items[i].key)),
                      "%s is missing", sections[kind].fields->items[i].key);
    arena_free(arena);
}
