/* Lines, columns, and what is refused as text. */
#include <criterion/criterion.h>
#include <gudgeon/source.h>
#include <string.h>

static const struct source *source_from(struct arena *arena, const char *bytes, size_t size)
{
    static struct sources sources;

    sources = (struct sources){0};
    /* A copy of just this size, so that a read beyond the end is seen. */
    char *exact = arena_alloc(arena, size + 1);
    memcpy(exact, bytes, size);
    uint32_t file = source_add(arena, &sources, "a.yaml", exact, size);
    return source_of(&sources, (struct span){file, 0, 0});
}

Test(source, columns_count_code_points_and_utf16_units_from_one)
{
    /* UTF-16 units: RFC 2781 section 2.1 (two beyond U+FFFF). */
    static const char text[] = "a: 1\n"
                               "\xc5\xbelu\xc5\xa5: x\r\n"            /* 2-byte letters */
                               "\xf0\x9f\x94\xa7 y\n"                  /* U+1F527 */
                               "e\xcc\x81z";                          /* a combining mark */
    static const struct {
        uint32_t offset, line, column, column_utf16;
    } rows[] = {
        {0, 1, 1, 1},  {3, 1, 4, 4},  {4, 1, 5, 5},   {5, 2, 1, 1},  {7, 2, 2, 2},
        {13, 2, 7, 7}, {14, 2, 8, 8}, {16, 3, 1, 1},  {20, 3, 2, 3}, {21, 3, 3, 4},
        {23, 4, 1, 1}, {26, 4, 3, 3}, {27, 4, 4, 4},
    };
    struct arena *arena = arena_new(0, NULL, NULL);
    const struct source *source = source_from(arena, text, sizeof text - 1);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct source_place place = source_place(source, rows[i].offset);
        cr_expect_eq(place.line, rows[i].line, "offset %u", rows[i].offset);
        cr_expect_eq(place.column, rows[i].column, "offset %u", rows[i].offset);
        cr_expect_eq(place.column_utf16, rows[i].column_utf16, "offset %u", rows[i].offset);
    }
    size_t length;
    cr_expect_eq(source->line_count, 4);
    cr_expect(strncmp(source_line(source, 1, &length), "a: 1", length) == 0 && length == 4);
    source_line(source, 2, &length);
    cr_expect_eq(length, 9, "a line does not hold its carriage return");
    source_line(source, 4, &length);
    cr_expect_eq(length, 4);
    arena_free(arena);
}

Test(source, a_byte_order_mark_is_no_column)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    const struct source *source = source_from(arena, "\xef\xbb\xbf" "a: 1", 7);
    size_t length;
    uint32_t offset, end;

    cr_expect_eq(source_place(source, 3).column, 1);
    cr_expect_eq(source_place(source, 6).column, 4);
    source_line(source, 1, &length);
    cr_expect_eq(length, 4);
    cr_expect_null(source_fault(source, 100, &offset, &end));
    source = source_from(arena, "", 0);
    cr_expect_eq(source->line_count, 1);
    source_line(source, 1, &length);
    cr_expect_eq(length, 0);
    cr_expect_eq(source_place(source, 0).column, 1);
    cr_expect_null(source_of(&(struct sources){0}, (struct span){0, 0, 0}));
    cr_expect_null(source_of(&(struct sources){0}, (struct span){1, 0, 0}));
    arena_free(arena);
}

Test(source, the_first_fault_of_a_text_is_found_at_its_byte)
{
    static const struct {
        const char *bytes;
        size_t size;
        const char *words; /* a part of them, or NULL where the text is good */
        uint32_t offset, end;
    } rows[] = {
        {"a: 1\n\tb\r\n", 9, NULL, 0, 0},
        {"\xef\xbb\xbf", 3, NULL, 0, 0},
        {"a: \xc2\xb5m \xe2\x8c\x80 \xef\xbc\xa1 \xc2\xa0", 17, NULL, 0, 0},
        {"a\0b", 3, "NUL", 1, 2},
        {"a: \x1b[0m", 7, "control", 3, 4},
        {"a: \x7f", 4, "control", 3, 4},
        {"a: \xc2\x9f", 5, "control", 3, 5},
        {"a: x\xc2\x85", 6, "U+0085", 4, 6},
        {"a: x\xe2\x80\xa8" "b", 8, "U+2028", 4, 7},
        {"a: x\xe2\x80\xa9", 7, "U+2029", 4, 7},
        {"a: 1\rb: 2\n", 10, "carriage return", 4, 5},
        {"a: 1\r", 5, "carriage return", 4, 5},
        {"a: \xef\xbb\xbf", 6, "byte order mark", 3, 6},
        {"a: \xef\xbf\xbf", 6, "no character", 3, 6},
        {"a: \xe9\n", 5, "not UTF-8", 3, 4},
        {"a: \xe2\x80", 5, "not UTF-8", 3, 4},
        {"a: \xc2", 4, "not UTF-8", 3, 4},
        {"a\x01\xff", 3, "control", 1, 2},
        {"ok\n0123456789012345678901234567890", 34, NULL, 0, 0},
        {"ok\n01234567890123456789012345678901\nok", 38, "too long", 3, 35},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        uint32_t offset = 0, end = 0;
        const struct source *source = source_from(arena, rows[i].bytes, rows[i].size);
        const char *words = source_fault(source, 31, &offset, &end);
        if (rows[i].words == NULL) {
            cr_expect_null(words, "row %zu: %s", i, words);
            continue;
        }
        cr_assert_not_null(words, "row %zu", i);
        cr_expect_not_null(strstr(words, rows[i].words), "row %zu: %s", i, words);
        cr_expect_eq(offset, rows[i].offset, "row %zu: %u", i, offset);
        cr_expect_eq(end, rows[i].end, "row %zu: %u", i, end);
    }
    arena_free(arena);
}

/* Row and column as RFC 4180 parts records and fields, in the letters of a spreadsheet: what stands at '@'. */
Test(source, a_cell_is_named_as_a_spreadsheet_names_it)
{
    static const struct {
        char separator;
        const char *text, *cell;
    } rows[] = {
        {',', "@parts,name\na,b\n", "A1"},
        {',', "parts,@name\na,b\n", "B1"},
        {',', "parts,name\r\na,@b\r\n", "B2"},
        {',', "parts,name\n\"a, b\",@c\n", "B2"},
        {',', "parts,name\n\"a\nb\n\",@c\n", "B2"},
        {',', "parts,name\n\"a \"\"x\"\", \n\",@c\nd,e\n", "B2"},
        {',', "parts,name\n\"a\nb\",c\n@d,e\n", "A3"},
        {',', "parts,name\n3/8\",@c\n", "B2"}, /* a mark inside a plain cell opens none */
        {',', "parts,name\n, \"a,b\",@c\n", "C2"},
        {';', "parts;name\na,b;@c\n", "B2"},
        {',', "\xef\xbb\xbf" "parts,@name\n", "B1"},
        {',', ",,,,,,,,,,,,,,,,,,,,,,,,,@\n", "Z1"},
        {',', ",,,,,,,,,,,,,,,,,,,,,,,,,,@\n", "AA1"},
        {'\0', "parts,@name\n", NULL},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct sources sources = {0};
        source_add(arena, &sources, "x.csv", rows[i].text, strlen(rows[i].text));
        sources.items[0]->separator = rows[i].separator;
        const char *cell = source_cell(arena, sources.items[0],
                                       (uint32_t)(strchr(rows[i].text, '@') - rows[i].text));
        cr_expect(str_equal(cell, rows[i].cell), "row %zu: %s, not %s", i, cell ? cell : "none",
                  rows[i].cell ? rows[i].cell : "none");
    }
    arena_free(arena);
}
