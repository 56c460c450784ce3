/* plain.c - a pack without cards as text for a terminal: headings, paragraphs, tables in columns. */
#include <gudgeon/write.h>

#include <string.h>

enum { WIDTH = 100, GAP = 2, LEAST = 8 };

/* ---------- words broken to a width ---------- */

struct broken {
    const char **items;
    size_t count, room;
};

static void push_line(struct arena *arena, struct broken *lines, const char *from, size_t length)
{
    *ARRAY_PUSH(arena, lines) = str_slice(arena, from, length);
}

/* Greedy; a word longer than the width stands alone and sticks out. */
static struct broken break_text(struct arena *arena, const char *text, size_t width)
{
    struct broken lines = {0};
    const char *start = text, *last = NULL;

    for (const char *at = text;; at++) {
        if (*at != ' ' && *at != '\0' && *at != '\n')
            continue;
        if (last && str_display_width(start, (size_t)(at - start)) > width) {
            push_line(arena, &lines, start, (size_t)(last - start));
            start = last + 1;
        }
        last = at;
        if (*at == '\n' || *at == '\0') {
            push_line(arena, &lines, start, (size_t)(at - start));
            start = at + 1;
            last = NULL;
        }
        if (*at == '\0')
            return lines;
    }
}

static void add_paragraph(struct str_buf *out, const char *text, size_t indent)
{
    struct broken lines = break_text(out->arena, text, WIDTH - indent);

    for (size_t i = 0; i < lines.count; i++)
        str_add_print(out, "%*s%s\n", (int)indent, "", lines.items[i]);
}

/* ---------- tables ---------- */

static const char *cell_words(struct arena *arena, const struct cell *cell)
{
    const char *text = cell->text ? cell->text : "";

    return cell->unit && *text ? str_print(arena, "%s %s", text, cell->unit) : text;
}

static size_t width_of(const char *text)
{
    return str_display_width(text, strlen(text));
}

/* As wide as each needs; where that is too much, the widest gives way. */
static size_t *widths_of(struct arena *arena, const struct table *table)
{
    size_t count = table->columns.count, sum = 0;
    size_t *widths = ARENA_ARRAY(arena, size_t, count);

    for (size_t i = 0; i < count; i++) {
        widths[i] = width_of(table->columns.items[i].heading);
        for (size_t row = 0; row < table->rows.count; row++) {
            size_t width = width_of(cell_words(arena, &table->rows.items[row][i]));
            widths[i] = width > widths[i] ? width : widths[i];
        }
        sum += widths[i] + GAP;
    }
    while (sum > WIDTH) {
        size_t widest = 0;
        for (size_t i = 1; i < count; i++)
            if (widths[i] > widths[widest])
                widest = i;
        if (widths[widest] <= LEAST)
            break;
        widths[widest]--;
        sum--;
    }
    return widths;
}

static void add_row(struct str_buf *out, const char *const *cells, const size_t *widths,
                    size_t count)
{
    struct broken *broken = ARENA_ARRAY(out->arena, struct broken, count);
    size_t lines = 1;

    for (size_t i = 0; i < count; i++) {
        broken[i] = break_text(out->arena, cells[i], widths[i]);
        lines = broken[i].count > lines ? broken[i].count : lines;
    }
    for (size_t line = 0; line < lines; line++) {
        struct str_buf text = {.arena = out->arena};
        for (size_t i = 0; i < count; i++) {
            const char *words = line < broken[i].count ? broken[i].items[line] : "";
            size_t width = width_of(words);
            str_add_print(&text, "  %s%*s", words, (int)(width < widths[i] ? widths[i] - width : 0),
                          "");
        }
        while (text.length && text.bytes[text.length - 1] == ' ')
            text.length--;
        str_add_bytes(out, text.bytes, text.length);
        str_add(out, "\n");
    }
}

static void add_table(struct str_buf *out, const struct table *table)
{
    size_t count = table->columns.count;
    const size_t *widths = widths_of(out->arena, table);
    const char **cells = ARENA_ARRAY(out->arena, const char *, count);

    for (size_t i = 0; i < count; i++)
        cells[i] = table->columns.items[i].heading;
    add_row(out, cells, widths, count);
    for (size_t row = 0; row < table->rows.count; row++) {
        for (size_t i = 0; i < count; i++)
            cells[i] = cell_words(out->arena, &table->rows.items[row][i]);
        add_row(out, cells, widths, count);
    }
}

/* ---------- blocks ---------- */

static void add_block(struct str_buf *out, const struct block *block)
{
    switch (block->kind) {
    case BLOCK_HEADING:
        str_add_print(out, "\n%s\n", block->text);
        break;
    case BLOCK_FACTS:
        for (size_t i = 0; i < block->facts.count; i++)
            add_paragraph(out, str_print(out->arena, "%s: %s", block->facts.items[i].label,
                                         block->facts.items[i].text), 2);
        break;
    case BLOCK_TABLE:
        add_table(out, block->table);
        break;
    case BLOCK_CHECKLIST:
        for (size_t i = 0; i < block->checklist.count; i++)
            add_paragraph(out, block->checklist.items[i].text, 2);
        break;
    case BLOCK_TEXT:
    case BLOCK_CAUTION:
        add_paragraph(out, block->text, 2);
        break;
    default: /* what is drawn or signed has no place in a terminal */
        break;
    }
}

void write_plain(const struct pack *pack, struct str_buf *out)
{
    for (size_t i = 0; i < pack->sections.count; i++) {
        const struct section *section = pack->sections.items[i];
        str_add_print(out, "%s%s\n", i ? "\n" : "", section->title);
        for (size_t k = 0; k < section->blocks.count; k++)
            add_block(out, section->blocks.items[k]);
    }
}
