/* render.c - diagnostics as text for people. */
#include "render_private.h"

#include <stdlib.h>
#include <string.h>
#include <utf8proc.h>

enum { WINDOW_COLUMNS = 100 }; /* of a source line, around its marker */

static const char replacement[] = "\xef\xbf\xbd"; /* U+FFFD */

const char *const severity_words[] = {"error", "warning", "note"};
static const char *const severity_colours[] = {"\x1b[1;31m", "\x1b[1;33m", "\x1b[1;36m"};

/* One character as a terminal may safely show it. */
struct glyph {
    const char *bytes;
    size_t size;  /* of `bytes` */
    size_t taken; /* of the text */
    size_t width;
};

/* What would move the cursor, hide text or turn its direction is shown as U+FFFD. */
static bool unsafe(utf8proc_int32_t point)
{
    return point < 0x20 || (point >= 0x7f && point <= 0x9f) ||
           (point >= 0x200e && point <= 0x200f) || (point >= 0x2028 && point <= 0x202e) ||
           (point >= 0x2066 && point <= 0x2069) || point == 0xfeff;
}

static struct glyph glyph_at(const char *text, size_t length)
{
    utf8proc_int32_t point;
    utf8proc_ssize_t size =
        utf8proc_iterate((const utf8proc_uint8_t *)text, (utf8proc_ssize_t)length, &point);

    if (size <= 0)
        return (struct glyph){replacement, 3, 1, 1};
    if (point == '\t' || point == '\n')
        return (struct glyph){" ", 1, 1, 1};
    if (unsafe(point))
        return (struct glyph){replacement, 3, (size_t)size, 1};
    return (struct glyph){text, (size_t)size, (size_t)size, (size_t)utf8proc_charwidth(point)};
}

static void add_safe(struct str_buf *out, const char *text, size_t length)
{
    for (size_t at = 0; at < length;) {
        struct glyph glyph = glyph_at(text + at, length - at);
        str_add_bytes(out, glyph.bytes, glyph.size);
        at += glyph.taken;
    }
}

static size_t width_of(const char *text, size_t length)
{
    size_t width = 0;

    for (size_t at = 0; at < length;) {
        struct glyph glyph = glyph_at(text + at, length - at);
        width += glyph.width;
        at += glyph.taken;
    }
    return width;
}

/* The bytes of `text` that fill at most `columns`. */
static size_t fitting(const char *text, size_t length, size_t columns)
{
    size_t at = 0, width = 0;

    while (at < length) {
        struct glyph glyph = glyph_at(text + at, length - at);
        if (width + glyph.width > columns)
            break;
        width += glyph.width;
        at += glyph.taken;
    }
    return at;
}

/* A line that is too long is cut to a window that begins a third before the mark. */
struct window {
    size_t begin, end;
    bool cut_left, cut_right;
};

static struct window window_of(const char *line, size_t length, size_t mark)
{
    struct window window = {0, length, false, false};

    if (length <= WINDOW_COLUMNS || width_of(line, length) <= WINDOW_COLUMNS)
        return window;
    size_t before = width_of(line, mark);
    if (before > WINDOW_COLUMNS * 2 / 3) {
        window.begin = fitting(line, length, before - WINDOW_COLUMNS / 3);
        window.cut_left = true;
    }
    window.end = window.begin + fitting(line + window.begin, length - window.begin, WINDOW_COLUMNS);
    window.cut_right = window.end < length;
    return window;
}

static void add_marks(struct str_buf *out, size_t count)
{
    for (size_t i = 0; i < count; i++)
        str_add(out, "^");
}

/* The source line, and under it a marker below the exact text, as wide as the terminal shows it. */
static void add_excerpt(struct str_buf *out, const struct source *source, struct span span,
                        const char *colour)
{
    size_t length;
    struct source_place place = source_place(source, span.begin);
    const char *cell = source_cell(out->arena, source, span.begin);
    const char *line = source_line(source, place.line, &length);
    size_t start = (size_t)(line - source->bytes);
    size_t begin = span.begin > start ? span.begin - start : 0;
    size_t end = span.end > start ? span.end - start : 0;

    begin = begin < length ? begin : length;
    struct window window = window_of(line, length, begin);
    end = end < window.end ? end : window.end;
    end = end > begin ? end : begin;
    str_add(out, window.cut_left ? "  \xe2\x80\xa6" : "  ");
    add_safe(out, line + window.begin, window.end - window.begin);
    str_add(out, window.cut_right ? "\xe2\x80\xa6\n  " : "\n  ");
    size_t blanks = width_of(line + window.begin, begin - window.begin) + window.cut_left;
    for (size_t i = 0; i < blanks; i++)
        str_add(out, " ");
    size_t width = width_of(line + begin, end - begin);
    str_add(out, colour);
    add_marks(out, width == 0 ? 1 : width);
    if (cell != NULL)
        str_add_print(out, " cell %s", cell);
    str_add(out, *colour != '\0' ? "\x1b[0m\n" : "\n");
}

static void add_item(struct str_buf *out, const struct sources *sources, struct span span,
                     enum diag_severity severity, const char *text, const char *printed,
                     bool colour)
{
    const struct source *source = source_of(sources, span);
    const char *paint = colour ? severity_colours[severity] : "";

    if (source != NULL) {
        struct source_place place = source_place(source, span.begin);
        add_safe(out, source->path, strlen(source->path));
        str_add_print(out, ":%u:%u: ", place.line, place.column);
    }
    str_add_print(out, "%s%s:%s ", paint, severity_words[severity], colour ? "\x1b[0m" : "");
    add_safe(out, text, strlen(text));
    if (printed != NULL)
        str_add_print(out, " [%s]", printed);
    str_add(out, "\n");
    if (source != NULL)
        add_excerpt(out, source, span, paint);
}

void render_text(const struct diag *diag, const struct sources *sources, bool colour,
                 struct str_buf *out)
{
    add_item(out, sources, diag->span, diag->severity, diag->message,
             diag_infos[diag->code].printed, colour);
    for (size_t i = 0; i < diag->labels.count; i++)
        add_item(out, sources, diag->labels.items[i].span, DIAG_SEVERITY_NOTE,
                 diag->labels.items[i].text, NULL, colour);
    if (diag->hint != NULL) {
        str_add(out, colour ? "\x1b[1;32mhint:\x1b[0m " : "hint: ");
        add_safe(out, diag->hint, strlen(diag->hint));
        str_add(out, "\n");
    }
}

static int by_number(uint32_t a, uint32_t b)
{
    return (a > b) - (a < b);
}

static int by_place(const void *left, const void *right)
{
    const struct diag *a = *(struct diag *const *)left, *b = *(struct diag *const *)right;
    int order = by_number(a->span.file, b->span.file);

    if (order == 0)
        order = by_number(a->span.begin, b->span.begin);
    if (order == 0)
        order = by_number((uint32_t)a->code, (uint32_t)b->code);
    if (order == 0)
        order = by_number(a->span.end, b->span.end);
    return order != 0 ? order : strcmp(a->message, b->message);
}

void diag_render(const struct diags *diags, const struct sources *sources, enum diag_form form,
                 bool colour, size_t most, struct str_buf *out)
{
    struct diag **sorted = ARENA_ARRAY(diags->arena, struct diag *, diags->count);
    size_t shown = diags->count < most ? diags->count : most;

    if (diags->count != 0)
        memcpy(sorted, diags->items, diags->count * sizeof *sorted);
    qsort(sorted, diags->count, sizeof *sorted, by_place);
    str_add(out, "");
    if (form == DIAG_SARIF) {
        render_sarif(sorted, shown, sources, out);
        return;
    }
    for (size_t i = 0; i < shown; i++)
        if (form == DIAG_JSON)
            render_json(sorted[i], sources, out);
        else
            render_text(sorted[i], sources, colour, out);
    if (shown < diags->count && form == DIAG_JSON)
        str_add_print(out, "{\"not_shown\":%zu}\n", diags->count - shown);
    else if (shown < diags->count)
        str_add_print(out, "and %zu more that are not shown\n", diags->count - shown);
}
