/* Arena, text, numbers without locale, JSON, maps. */
#include <criterion/criterion.h>
#include <float.h>
#include <gudgeon/json.h>
#include <gudgeon/map.h>
#include <locale.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(rows) (sizeof(rows) / sizeof *(rows))

static void jump(void *user)
{
    longjmp(*(jmp_buf *)user, 1);
}

Test(base, the_arena_gives_zeroed_aligned_memory_of_any_size)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    size_t sizes[] = {0, 1, 7, 16, 1000, 65536, 1000000, 3};
    size_t sum = 0;

    for (size_t round = 0; round < 50; round++)
        for (size_t i = 0; i < COUNT(sizes); i++) {
            unsigned char *block = arena_alloc(arena, sizes[i]);
            cr_assert_eq((uintptr_t)block % _Alignof(max_align_t), 0, "size %zu", sizes[i]);
            for (size_t at = 0; at < sizes[i]; at++)
                cr_assert_eq(block[at], 0, "size %zu byte %zu", sizes[i], at);
            memset(block, 0xaa, sizes[i]);
            sum += sizes[i];
        }
    cr_expect_eq(arena_used(arena), sum);
    arena_free(arena);
}

Test(base, the_bound_of_an_arena_jumps_and_does_not_return)
{
    jmp_buf recovery;
    struct arena *arena = arena_new(100000, jump, &recovery);
    volatile int blocks = 0;

    if (setjmp(recovery) == 0)
        for (;;) {
            arena_alloc(arena, 1000);
            blocks = blocks + 1;
        }
    cr_expect_eq(blocks, 100);
    if (setjmp(recovery) == 0) {
        arena_array(arena, SIZE_MAX / 4, 8);
        cr_assert_fail("a product that overflows was allocated");
    }
    arena_free(arena);
}

Test(base, a_growing_array_keeps_what_it_holds)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    struct {
        int *items;
        size_t count, room;
    } list = {0};

    for (int i = 0; i < 10000; i++)
        *ARRAY_PUSH(arena, &list) = i;
    cr_assert_eq(list.count, 10000);
    for (int i = 0; i < 10000; i++)
        cr_assert_eq(list.items[i], i);
    arena_free(arena);
}

Test(base, whole_numbers_are_read_to_the_last_value_and_nothing_else)
{
    static const struct {
        const char *text;
        bool good;
        int64_t value;
    } rows[] = {
        {"0", true, 0},
        {"-0", true, 0},
        {"007", true, 7},
        {"9223372036854775807", true, INT64_MAX},   /* ISO C 7.20.2.1: 2^63 - 1 */
        {"-9223372036854775808", true, INT64_MIN},
        {"9223372036854775808", false, 0},
        {"-9223372036854775809", false, 0},
        {"99999999999999999999", false, 0},
        {"", false, 0},
        {"-", false, 0},
        {"+1", false, 0},
        {" 1", false, 0},
        {"1 ", false, 0},
        {"1.0", false, 0},
        {"0x10", false, 0},
        {"1e3", false, 0},
        {"\xd9\xa1", false, 0}, /* ARABIC-INDIC DIGIT ONE */
    };

    for (size_t i = 0; i < COUNT(rows); i++) {
        int64_t value = -1;
        bool good = str_to_int(rows[i].text, &value);
        cr_expect_eq(good, rows[i].good, "'%s'", rows[i].text);
        if (good && rows[i].good)
            cr_expect_eq(value, rows[i].value, "'%s'", rows[i].text);
    }
}

Test(base, decimals_round_half_away_from_zero_in_any_locale)
{
    static const struct {
        double value;
        int places;
        const char *text;
    } rows[] = {
        {0, 0, "0"},          {0, 3, "0.000"},        {-0.0, 1, "0.0"},
        {-0.04, 1, "0.0"},    {0.05, 1, "0.1"},       {-0.05, 1, "-0.1"},
        {2.675, 2, "2.68"},   {-2.675, 2, "-2.68"},   {1.005, 2, "1.01"},
        {0.5, 0, "1"},        {1.5, 0, "2"},          {2.5, 0, "3"},
        {9.995, 2, "10.00"},  {0.0004, 3, "0.000"},   {0.0005, 3, "0.001"},
        {99.99, 1, "100.0"},  {123456789, 2, "123456789.00"},
        {25.4, 3, "25.400"},  {1e15, 1, "1000000000000000.0"},
        {1.25, 1, "1.3"},     {6.25e-3, 4, "0.0063"}, {0.1 + 0.2, 3, "0.300"},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (int comma = 0; comma < 2; comma++) {
        /* Where no comma locale is installed the second round repeats the first. */
        setlocale(LC_ALL, comma ? "cs_CZ.UTF-8" : "C");
        for (size_t i = 0; i < COUNT(rows); i++)
            cr_expect_str_eq(str_decimal(arena, rows[i].value, rows[i].places), rows[i].text,
                             "row %zu", i);
    }
    arena_free(arena);
}

Test(base, a_double_is_printed_as_the_shortest_decimal_that_reads_back)
{
    static const struct {
        double value;
        const char *text;
    } rows[] = {
        {0, "0"},
        {-0.0, "-0.0"},
        {0.1, "0.1"},
        {0.3, "0.3"},
        {0.1 + 0.2, "0.30000000000000004"},
        {25.4, "25.4"},
        {1e21, "1e21"},
        {1e20, "100000000000000000000"},
        {123456, "123456"},
        {1e-7, "0.0000001"},
        {1e-8, "1e-8"},
        {-1.5e-9, "-1.5e-9"},
        {5e-324, "5e-324"}, /* the least double: one digit is enough */
        {DBL_MAX, "1.7976931348623157e308"},
        {DBL_MIN, "2.2250738585072014e-308"},
    };
    struct arena *arena = arena_new(0, NULL, NULL);
    uint64_t state = 88172645463325252u;

    for (size_t i = 0; i < COUNT(rows); i++) {
        struct json json;
        json_init(&json, arena, true);
        json_double(&json, rows[i].value);
        cr_expect_str_eq(json.out.bytes, rows[i].text, "row %zu", i);
    }
    for (int i = 0; i < 20000; i++) {
        double value;
        state ^= state << 13, state ^= state >> 7, state ^= state << 17; /* xorshift */
        memcpy(&value, &state, sizeof value);
        if (!(value - value == 0))
            continue;
        struct json json;
        json_init(&json, arena, true);
        json_double(&json, value);
        double back = strtod(json.out.bytes, NULL);
        cr_assert(memcmp(&back, &value, sizeof value) == 0, "%s", json.out.bytes);
    }
    arena_free(arena);
}

Test(base, json_is_indented_by_two_and_escapes_only_what_it_must)
{
    struct arena *arena = arena_new(0, NULL, NULL);

    for (int compact = 0; compact < 2; compact++) {
        struct json json;
        json_init(&json, arena, compact);
        json_object(&json);
        json_put_string(&json, "a\"b\\c/d\x01\n\x7fž", NULL);
        json_key(&json, "empty");
        json_array(&json);
        json_array_end(&json);
        json_key(&json, "list");
        json_array(&json);
        json_int(&json, -3);
        json_object(&json);
        json_object_end(&json);
        json_object(&json);
        json_put_bool(&json, "yes", true);
        json_put_double(&json, "half", 0.5);
        json_object_end(&json);
        json_number_text(&json, "12.700000000000");
        json_array_end(&json);
        json_object_end(&json);
        cr_expect_str_eq(json.out.bytes,
                         compact ? "{\"a\\\"b\\\\c/d\\u0001\\n\x7fž\":null,\"empty\":[],"
                                   "\"list\":[-3,{},{\"yes\":true,\"half\":0.5},12.700000000000]}"
                                 : "{\n"
                                   "  \"a\\\"b\\\\c/d\\u0001\\n\x7fž\": null,\n"
                                   "  \"empty\": [],\n"
                                   "  \"list\": [\n"
                                   "    -3,\n"
                                   "    {},\n"
                                   "    {\n"
                                   "      \"yes\": true,\n"
                                   "      \"half\": 0.5\n"
                                   "    },\n"
                                   "    12.700000000000\n"
                                   "  ]\n"
                                   "}");
    }
    arena_free(arena);
}

Test(base, utf8_is_checked_to_the_byte)
{
    /* RFC 3629 section 4 (syntax of byte sequences) and the ill-formed sequences of the Unicode
     * Standard, table 3-7. */
    static const struct {
        const char *bytes;
        size_t size, valid;
    } rows[] = {
        {"", 0, 0},
        {"abc", 3, 3},
        {"a\0b", 3, 3},
        {"\xc2\x80", 2, 2},
        {"\xdf\xbf", 2, 2},
        {"\xe0\xa0\x80", 3, 3},
        {"\xed\x9f\xbf", 3, 3},
        {"\xee\x80\x80", 3, 3},
        {"\xef\xbf\xbd", 3, 3},
        {"\xf0\x90\x80\x80", 4, 4},
        {"\xf4\x8f\xbf\xbf", 4, 4},
        {"ab\x80", 3, 2},             /* a continuation alone */
        {"a\xc0\xaf", 3, 1},          /* overlong */
        {"\xc1\xbf", 2, 0},           /* overlong */
        {"\xe0\x9f\xbf", 3, 0},       /* overlong */
        {"\xf0\x8f\xbf\xbf", 4, 0},   /* overlong */
        {"x\xed\xa0\x80", 4, 1},      /* surrogate */
        {"\xed\xbf\xbf", 3, 0},       /* surrogate */
        {"\xf4\x90\x80\x80", 4, 0},   /* beyond U+10FFFF */
        {"\xf5\x80\x80\x80", 4, 0},
        {"\xff", 1, 0},
        {"ab\xe2\x82", 4, 2},         /* cut off */
        {"\xe2\x28\xa1", 3, 0},
    };

    for (size_t i = 0; i < COUNT(rows); i++)
        cr_expect_eq(str_utf8_valid(rows[i].bytes, rows[i].size), rows[i].valid, "row %zu", i);

    /* every code point, encoded as RFC 3629 section 3 says, comes back */
    for (uint32_t point = 1; point <= 0x10ffff; point++) {
        char bytes[5] = {0};
        size_t size = 0;
        if (point >= 0xd800 && point <= 0xdfff)
            continue;
        if (point < 0x80) {
            bytes[size++] = (char)point;
        } else if (point < 0x800) {
            bytes[size++] = (char)(0xc0 | point >> 6);
        } else if (point < 0x10000) {
            bytes[size++] = (char)(0xe0 | point >> 12);
            bytes[size++] = (char)(0x80 | (point >> 6 & 0x3f));
        } else {
            bytes[size++] = (char)(0xf0 | point >> 18);
            bytes[size++] = (char)(0x80 | (point >> 12 & 0x3f));
            bytes[size++] = (char)(0x80 | (point >> 6 & 0x3f));
        }
        if (point >= 0x80)
            bytes[size++] = (char)(0x80 | (point & 0x3f));
        const char *at = bytes;
        cr_assert_eq(str_utf8_valid(bytes, size), size, "U+%04x", point);
        cr_assert_eq(str_code_point(&at), point, "U+%04x", point);
        cr_assert_eq(at - bytes, (long)size, "U+%04x", point);
        cr_assert_eq(str_code_points(bytes, size), 1, "U+%04x", point);
    }
}

Test(base, display_width_follows_east_asian_width_and_combining_marks)
{
    /* Unicode UAX #11 (W, F: two columns); combining marks and ZERO WIDTH SPACE none. */
    static const struct {
        const char *text;
        size_t points, width;
    } rows[] = {
        {"", 0, 0},
        {"piston", 6, 6},
        {"\xc5\xbelu\xc5\xa5", 4, 4},               /* Latin with carons */
        {"e\xcc\x81", 2, 1},                        /* e and COMBINING ACUTE ACCENT */
        {"\xe6\xbc\xa2\xe5\xad\x97", 2, 4},         /* two ideographs */
        {"\xef\xbc\xa1", 1, 2},                     /* FULLWIDTH LATIN CAPITAL LETTER A */
        {"\xe2\x80\x8b", 1, 0},                     /* ZERO WIDTH SPACE */
        {"\xc3\x98 \xc2\xb1 \xc2\xb5", 5, 5},
    };

    for (size_t i = 0; i < COUNT(rows); i++) {
        size_t size = strlen(rows[i].text);
        cr_expect_eq(str_code_points(rows[i].text, size), rows[i].points, "row %zu", i);
        cr_expect_eq(str_display_width(rows[i].text, size), rows[i].width, "row %zu", i);
    }
}

Test(base, the_nearest_word_is_a_likely_slip_or_none)
{
    static const char *const words[] = {"crankshaft", "crankcase", "piston", "pin",
                                        "rod-cap",    "through",   "m",      "\xc3\x98re"};
    static const struct {
        const char *wrong, *nearest;
    } rows[] = {
        {"crankshaft", "crankshaft"}, {"cranckshaft", "crankshaft"}, {"crnakcase", "crankcase"},
        {"Piston", "piston"},         {"pistn", "piston"},           {"rod cap", "rod-cap"},
        {"trough", "through"},        {"pim", "pin"},                {"pxx", NULL},
        {"gudgeon", NULL},            {"k", NULL},                   {"", NULL},
        {"\xc3\xb8re", "\xc3\x98re"},
    };

    for (size_t i = 0; i < COUNT(rows); i++) {
        const char *nearest = str_nearest(rows[i].wrong, words, COUNT(words));
        cr_expect(str_equal(nearest, rows[i].nearest), "'%s': %s", rows[i].wrong,
                  nearest ? nearest : "none");
    }
}

Test(base, cells_hold_nothing_that_a_spreadsheet_would_run)
{
    static const struct {
        const char *text, *plain, *csv;
    } rows[] = {
        {"piston", "piston", "piston"},
        {"", "", ""},
        {"=1+1", "=1+1", "'=1+1"},
        {"+1", "+1", "+1"},
        {"-0.001", "-0.001", "-0.001"},
        {"-.5", "-.5", "-.5"},
        {"-", "-", "'-"},
        {"-1-1", "-1-1", "'-1-1"},
        {"+0.009/-0.004", "+0.009/-0.004", "'+0.009/-0.004"},
        {"@SUM(A1)", "@SUM(A1)", "'@SUM(A1)"},
        {"\t=1", "\t=1", "'\t=1"},
        {"a\r\nb\rc\nd", "a\nb\nc\nd", "a\nb\nc\nd"},
        {"\x01=1\x7f", "=1", "'=1"}, /* what is taken out must not bare a formula */
        {"a\xef\xbf\xbe\xef\xbf\xbf\xc2\x85z", "az", "az"},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < COUNT(rows); i++) {
        cr_expect_str_eq(str_safe_cell(arena, rows[i].text, false), rows[i].plain, "row %zu", i);
        cr_expect_str_eq(str_safe_cell(arena, rows[i].text, true), rows[i].csv, "row %zu", i);
    }
    arena_free(arena);
}

/* ---------- map ---------- */

/* The first number under a key stays, however many others come; what was never put is not there. */
Test(base, the_first_number_under_a_key_stays)
{
    enum { MANY = 5000 };
    struct arena *arena = arena_new(0, NULL, NULL);
    struct map texts = {0}, items = {0};
    char *things = ARENA_ARRAY(arena, char, 2 * MANY);

    cr_assert_eq(map_text(&texts, "0"), MAP_NONE);
    cr_assert_eq(map_item(&items, things), MAP_NONE);
    for (size_t i = 0; i < 2 * MANY; i++) {
        const char *key = str_print(arena, "%zu", i % MANY); /* alike, and not at one place */
        cr_assert_eq(map_put_text(arena, &texts, key, i), i % MANY, "%zu", i);
        cr_assert_eq(map_put_item(arena, &items, &things[i % MANY], i), i % MANY, "%zu", i);
    }
    for (size_t i = 0; i < 2 * MANY; i++) {
        size_t number = i < MANY ? i : MAP_NONE;
        cr_assert_eq(map_text(&texts, str_print(arena, "%zu", i)), number, "%zu", i);
        cr_assert_eq(map_item(&items, &things[i]), number, "%zu", i);
    }
    cr_assert_eq(map_text(&texts, NULL), MAP_NONE);
    cr_assert_eq(texts.count, (size_t)MANY);
    arena_free(arena);
}
