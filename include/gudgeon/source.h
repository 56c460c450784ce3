/* source.h - files as bytes with a line index; places in them.
 *
 * In:  a path or bytes.  Out: valid UTF-8 without NUL, other controls or foreign line breaks, or a
 * refusal with its byte.  Line and column are computed only when a diagnostic is printed. */
#ifndef GUDGEON_SOURCE_H
#define GUDGEON_SOURCE_H

#include <gudgeon/str.h>

/* Bytes [begin, end) of source number `file` (1-based; 0 = no place). */
struct span {
    uint32_t file, begin, end;
};

struct source {
    const char *path; /* as the user would type it, for messages */
    const char *bytes;
    size_t size;
    const uint32_t *line_starts;
    size_t line_count;
    char separator;   /* of the cells of a CSV; 0: no CSV */
    bool stored;      /* no file of the disk: `path` is its name in a store (file.h) */
};

struct sources {
    struct source **items;
    size_t count, room;
};

struct source_place {
    uint32_t line;   /* 1-based */
    uint32_t column; /* 1-based, code points */
    uint32_t column_utf16;
};

/* Adds bytes as a source; the number to use in spans. Does not check the text. A NUL byte must
 * follow the last one, as file_read leaves it. */
uint32_t source_add(struct arena *arena, struct sources *sources, const char *path,
                    const char *bytes, size_t size);
const struct source *source_of(const struct sources *sources, struct span span);
struct source_place source_place(const struct source *source, uint32_t offset);
/* The cell of a CSV in which an offset lies, "G31" as a spreadsheet calls it: a line end inside quotation marks
 * begins no row. NULL where the source is no CSV. */
const char *source_cell(struct arena *arena, const struct source *source, uint32_t offset);
/* The text of a line without its end, 1-based. */
const char *source_line(const struct source *source, uint32_t line, size_t *length);

/* What the whole-buffer check found first: offset and plain words, or NULL. Checks UTF-8, NUL,
 * control characters, U+2028/2029/0085 and a lone CR, lines over `most_line` bytes. */
const char *source_fault(const struct source *source, size_t most_line, uint32_t *offset,
                         uint32_t *end);

#endif
