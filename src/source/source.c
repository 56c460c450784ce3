/* source.c - bytes with a line index, and the check of the whole text. */
#include <gudgeon/source.h>

#include <assert.h>
#include <string.h>

static const char bom[] = "\xef\xbb\xbf";

static void index_lines(struct arena *arena, struct source *source)
{
    const char *end = source->bytes + source->size;
    size_t count = 1;

    for (const char *at = source->bytes; (at = memchr(at, '\n', (size_t)(end - at))) != NULL; at++)
        count++;
    uint32_t *starts = ARENA_ARRAY(arena, uint32_t, count);
    /* A byte order mark is no column of the first line: no editor shows it. */
    if (source->size >= 3 && memcmp(source->bytes, bom, 3) == 0)
        starts[0] = 3;
    size_t line = 1;
    for (const char *at = source->bytes; (at = memchr(at, '\n', (size_t)(end - at))) != NULL; at++)
        starts[line++] = (uint32_t)(at + 1 - source->bytes);
    source->line_starts = starts;
    source->line_count = count;
}

uint32_t source_add(struct arena *arena, struct sources *sources, const char *path,
                    const char *bytes, size_t size)
{
    assert(size < UINT32_MAX);

    struct source *source = ARENA_NEW(arena, struct source);
    source->path = path;
    source->bytes = bytes != NULL ? bytes : "";
    source->size = size;
    index_lines(arena, source);
    *ARRAY_PUSH(arena, sources) = source;
    return (uint32_t)sources->count;
}

const struct source *source_of(const struct sources *sources, struct span span)
{
    if (span.file == 0 || span.file > sources->count)
        return NULL;
    return sources->items[span.file - 1];
}

struct source_place source_place(const struct source *source, uint32_t offset)
{
    size_t low = 0, high = source->line_count;

    assert(offset <= source->size);
    while (high - low > 1) { /* the last line that starts at or before the offset */
        size_t middle = low + (high - low) / 2;
        if (source->line_starts[middle] <= offset)
            low = middle;
        else
            high = middle;
    }
    uint32_t start = source->line_starts[low];
    struct source_place place = {.line = (uint32_t)low + 1, .column = 1, .column_utf16 = 1};
    for (uint32_t i = start; i < offset; i++) {
        unsigned char byte = (unsigned char)source->bytes[i];
        place.column += (byte & 0xc0) != 0x80;
        /* beyond U+FFFF, which begins with F0 or more, UTF-16 takes two units */
        place.column_utf16 += ((byte & 0xc0) != 0x80) + (byte >= 0xf0);
    }
    return place;
}

const char *source_line(const struct source *source, uint32_t line, size_t *length)
{
    assert(line >= 1 && line <= source->line_count);

    size_t start = source->line_starts[line - 1];
    size_t end = line < source->line_count ? source->line_starts[line] - 1u : source->size;
    if (end > start && source->bytes[end - 1] == '\r')
        end--;
    *length = end - start;
    return source->bytes + start;
}

/* The characters that are line breaks for some readers and none for others, so that line numbers
 * would differ (YAML 1.1 section 5.4 against YAML 1.2 section 5.4). */
static const struct {
    const char *bytes;
    const char *words;
} foreign_breaks[] = {
    {"\xc2\x85", "a NEXT LINE character (U+0085), which some programs take for a line break"},
    {"\xe2\x80\xa8", "a LINE SEPARATOR (U+2028), which some programs take for a line break"},
    {"\xe2\x80\xa9", "a PARAGRAPH SEPARATOR (U+2029), which some programs take for a line break"},
};

/* What is wrong with the character at `at`, and its size; NULL if nothing. */
static const char *fault_at(const struct source *source, uint32_t at, uint32_t *size)
{
    const char *bytes = source->bytes + at;
    unsigned char byte = (unsigned char)*bytes;

    *size = 1;
    if (byte == '\0')
        return "a NUL byte";
    if (byte == '\r')
        return at + 1 < source->size && bytes[1] == '\n'
                   ? NULL
                   : "a carriage return that no line feed follows";
    if ((byte < 0x20 && byte != '\t' && byte != '\n') || byte == 0x7f)
        return "a control character";
    if (byte == 0xc2 && (unsigned char)bytes[1] < 0xa0 && (unsigned char)bytes[1] != 0x85) {
        *size = 2;
        return "a control character";
    }
    for (size_t i = 0; i < sizeof foreign_breaks / sizeof *foreign_breaks; i++) {
        *size = (uint32_t)strlen(foreign_breaks[i].bytes);
        if (strncmp(bytes, foreign_breaks[i].bytes, *size) == 0)
            return foreign_breaks[i].words;
    }
    if (at != 0 && byte == 0xef && memcmp(bytes, bom, 3) == 0) {
        *size = 3;
        return "a byte order mark (U+FEFF) inside the text";
    }
    if (byte == 0xef && (memcmp(bytes, "\xef\xbf\xbe", 3) == 0 ||
                         memcmp(bytes, "\xef\xbf\xbf", 3) == 0)) {
        *size = 3;
        return "a code point that is no character (U+FFFE or U+FFFF)";
    }
    return NULL;
}

/* Only these bytes can begin a fault; all else is passed over quickly. */
static bool suspect(unsigned char byte)
{
    return (byte < 0x20 && byte != '\n' && byte != '\t') || byte == 0x7f || byte == 0xc2 ||
           byte == 0xe2 || byte == 0xef;
}

const char *source_fault(const struct source *source, size_t most_line, uint32_t *offset,
                         uint32_t *end)
{
    uint32_t valid = (uint32_t)str_utf8_valid(source->bytes, source->size);

    for (uint32_t at = 0; at < valid; at++) {
        uint32_t size;
        if (!suspect((unsigned char)source->bytes[at]))
            continue;
        const char *words = fault_at(source, at, &size);
        if (words != NULL) {
            *offset = at;
            *end = at + size;
            return words;
        }
    }
    if (valid < source->size) {
        *offset = valid;
        *end = valid + 1;
        return "a byte that is not UTF-8";
    }
    for (uint32_t line = 1; line <= source->line_count; line++) {
        size_t length;
        const char *text = source_line(source, line, &length);
        if (length > most_line) {
            *offset = (uint32_t)(text - source->bytes);
            *end = *offset + (uint32_t)length;
            return "a line that is too long";
        }
    }
    return NULL;
}

/* "A" to "Z", "AA" and so on, of a column from 0. */
static const char *column_letters(struct arena *arena, uint32_t column)
{
    const char *last = str_print(arena, "%c", 'A' + (int)(column % 26));

    return column < 26 ? last
                       : str_print(arena, "%s%s", column_letters(arena, column / 26 - 1), last);
}

/* A quotation mark opens a cell only at its beginning; inside, two of them are one letter. */
const char *source_cell(struct arena *arena, const struct source *source, uint32_t offset)
{
    uint32_t row = 1, column = 0;
    bool quoted = false, begins = true;

    if (source->separator == '\0')
        return NULL;
    for (uint32_t i = source->line_starts[0]; i < offset; i++) {
        char byte = source->bytes[i];
        bool ends = !quoted && (byte == source->separator || byte == '\n');
        if (byte == '"' && quoted && source->bytes[i + 1] == '"')
            i++;
        else if (byte == '"' && (quoted || begins))
            quoted = !quoted;
        row += ends && byte == '\n';
        column = !ends ? column : byte == '\n' ? 0 : column + 1;
        begins = ends || (begins && byte == ' ');
    }
    return str_print(arena, "%s%u", column_letters(arena, column), row);
}
