/* The line breaker, and the widths it goes by. */
#include <criterion/criterion.h>
#include <gudgeon/pack.h>
#include <gudgeon/str.h>
#include <string.h>

#include "../../src/write/text_private.h"

static struct arena *arena;

static void set_up(void)
{
    arena = arena_new(0, NULL, NULL);
}

static void tear_down(void)
{
    arena_free(arena);
}

TestSuite(write_text, .init = set_up, .fini = tear_down);

static struct text_lines broken(double width, const char *text)
{
    struct text_lines lines = {0};

    text_break(arena, FACE_REGULAR, 10, width, text, &lines);
    return lines;
}

static const char *joined(const struct text_lines *lines)
{
    struct str_buf out = {.arena = arena};

    for (size_t i = 0; i < lines->count; i++)
        str_add_print(&out, "%s%s", i > 0 ? "|" : "", lines->items[i].text);
    return out.bytes;
}

/* Letters without blanks: what breaking may not lose, add or move. */
static const char *letters(const char *text)
{
    struct str_buf out = {.arena = arena};

    str_add(&out, "");
    for (; *text != '\0'; text++)
        if (*text != ' ' && *text != '\n')
            str_add_bytes(&out, text, 1);
    return out.bytes;
}

static const char *const samples[] = {
    "Two people: one guides the rods past the sump baffle stud while the other lowers.",
    "0.009 to 0.011 in (0.23 to 0.27 mm), by rule, common practice",
    "wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww",
    "Zahnradgeh\xc3\xa4useverschlussdeckel und \xc5\x81o\xc5\xbcysko kulkowe",
    "\xce\x9a\xce\xb9\xce\xbd\xce\xb7\xcf\x84\xce\xae\xcf\x81\xce\xb1\xcf\x82 "
    "\xd0\x9a\xd0\xbe\xd0\xbb\xd0\xb5\xd0\xbd\xd0\xb2\xd0\xb0\xd0\xbb",
    "a\nb\n\nc", "", " leading and  double  blanks ",
    "crank-case/timing-cover, tab-washer \xe2\x80\x94 as fitted",
};

Test(write_text, no_line_is_wider_than_it_may_be_and_no_letter_is_lost)
{
    for (size_t i = 0; i < sizeof samples / sizeof *samples; i++)
        for (double width = 12; width < 400; width += 7.3) {
            struct text_lines lines = broken(width, samples[i]);
            struct str_buf all = {.arena = arena};
            cr_assert_geq(lines.count, 1);
            for (size_t j = 0; j < lines.count; j++) {
                const char *text = lines.items[j].text;
                cr_expect(font_width(FACE_REGULAR, text, strlen(text), 10) <= width + 0.02,
                          "'%s' at %g: line '%s'", samples[i], width, text);
                cr_expect_eq(str_utf8_valid(text, strlen(text)), strlen(text));
                cr_expect(text[0] == '\0' || text[strlen(text) - 1] != ' ');
                str_add(&all, text);
            }
            cr_expect_str_eq(letters(all.bytes), letters(samples[i]), "'%s' at %g", samples[i],
                             width);
        }
}

/* Widths at 10 pt: a figure 6.36, a blank 3.17, so what fits can be reckoned by hand. */
Test(write_text, lines_end_where_a_fitter_would_end_them)
{
    static const struct {
        const char *text;
        double width;
        const char *lines;
    } rows[] = {
        {"bolt nut", 200, "bolt nut"},
        {"bolt nut", 25, "bolt|nut"},
        {"torque 24 lbf ft now", 75, "torque|24 lbf ft now"},
        {"torque 24 lbf ft now", 60, "torque|24 lbf ft|now"}, /* 24 stays with its unit */
        {"a\n\nb", 50, "a||b"},
        {"tab-washer", 40, "tab-|washer"},
        {"1-1/2 in", 22, "1-1/|2 in"}, /* nothing else to break: between letters */
        {"x 1-1/2", 34, "x|1-1/2"},    /* a fraction is not broken while it fits */
        {"wwwww", 17, "ww|ww|w"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct text_lines lines = broken(rows[i].width, rows[i].text);
        cr_expect_str_eq(joined(&lines), rows[i].lines, "'%s' at %g: '%s'", rows[i].text,
                         rows[i].width, joined(&lines));
    }
}

Test(write_text, a_mark_stays_with_its_letter)
{
    /* x with combining ring below has no composed form */
    struct text_lines lines = broken(7, "x\xcc\xa5x\xcc\xa5x\xcc\xa5");

    cr_assert_eq(lines.count, 3);
    for (size_t i = 0; i < 3; i++)
        cr_expect_str_eq(lines.items[i].text, "x\xcc\xa5");
}

/* Compositions by Unicode 15, UnicodeData.txt; U+2126 decomposes to U+03A9. */
Test(write_text, what_is_drawn_is_composed_and_has_no_controls)
{
    static const char *const rows[][2] = {
        {"plain", "plain"},
        {"r\xcc\x8c", "\xc5\x99"},
        {"\xe2\x84\xa6", "\xce\xa9"},
        {"a\tb\001c", "a b c"},
        {"a\nb", "a\nb"},
        {"\xf0\x9f\x94\xa7", "\xef\xbf\xbd"}, /* U+1F527, beyond the font */
        {"\xd8\xb4", "\xef\xbf\xbd"},         /* Arabic, which it cannot set */
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        cr_expect_str_eq(text_drawable(arena, rows[i][0]), rows[i][1], "row %zu", i);
}

/* DejaVu Sans 2.37, table hmtx, read with fontTools: advance / 2048 * 1000, truncated. */
Test(write_text, widths_are_those_of_the_font)
{
    static const struct {
        uint32_t point;
        unsigned regular, bold;
    } rows[] = {{'A', 684, 773},    {'W', 988, 1103},   {' ', 317, 348},
                {'i', 277, 342},    {0x00b0, 500, 500}, {0x03a9, 764, 850},
                {0x0416, 1077, 1224}, {0x2264, 837, 837}, {0x26a0, 896, 896},
                {0x1e9e, 768, 895}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        cr_expect_eq(font_advance(FACE_REGULAR, rows[i].point), rows[i].regular, "U+%04x: %u",
                     rows[i].point, font_advance(FACE_REGULAR, rows[i].point));
        cr_expect_eq(font_advance(FACE_BOLD, rows[i].point), rows[i].bold, "bold U+%04x: %u",
                     rows[i].point, font_advance(FACE_BOLD, rows[i].point));
    }
    for (char digit = '0'; digit <= '9'; digit++) { /* columns of figures stand straight */
        cr_expect_eq(font_advance(FACE_REGULAR, (uint32_t)digit), 636);
        cr_expect_eq(font_advance(FACE_BOLD, (uint32_t)digit), 695);
    }
}

/* Read with fontTools from DejaVu Sans 2.37 and its bold: what both have. A letter that is missing
 * would print as a box, though a reader's text search would still find it. Hebrew and Arabic are left
 * out on purpose, since libharu sets them wrong way round. */
Test(write_text, the_fonts_have_the_signs_of_the_trade_and_say_what_they_lack)
{
    static const char has[] = "AZaz09 .,;:!?()[]{}/\\\"'#%&*+-=<>@_~"
                              "\xc2\xb1\xc2\xb0\xc2\xb5\xc3\x97\xc2\xbd\xc2\xbc\xc2\xbe\xc3\x98"
                              "\xe2\x89\xa4\xe2\x89\xa5\xe2\x8c\x80\xe2\x98\x90\xe2\x98\x91"
                              "\xe2\x86\x92\xce\xa9\xc5\x99\xc5\x81\xd0\x96\xce\xb2\xe2\x84\x96"
                              "\xe2\x9a\xa0\xe2\x88\x92\xe2\x80\x93\xe2\x80\x94\xe2\x80\xa6"
                              "\xe2\x97\x86\xe2\x96\xb6\xef\xbf\xbd\xe1\xba\x9e\xe2\x82\xac";
    static const uint32_t lacks[] = {0x09, 0x7f, 0x27c2, 0x2316, 0x4e00, 0x5d0, 0x634, 0xfffe,
                                     0x1f527, 0x10ffff};

    for (const char *at = has; *at != '\0';) {
        uint32_t point = str_code_point(&at);
        cr_expect(pack_font_has(point), "U+%04X", point);
    }
    for (size_t i = 0; i < sizeof lacks / sizeof *lacks; i++)
        cr_expect(!pack_font_has(lacks[i]), "U+%04X", lacks[i]);
}
