/* hash.c - the `#` that cuts a line without a word (specs/LANGUAGE.md, section 1): after a blank
 * and before a non-blank, on a line that already holds something, outside quotes and block text. */
#include "reader_private.h"

#include <string.h>

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\t';
}

/* The end of the line that holds `at`, without blanks and line end. */
static uint32_t line_end(const struct source *source, uint32_t at)
{
    const char *end = memchr(source->bytes + at, '\n', source->size - at);
    uint32_t stop = end == NULL ? (uint32_t)source->size : (uint32_t)(end - source->bytes);

    while (stop > at && (is_blank(source->bytes[stop - 1]) || source->bytes[stop - 1] == '\r'))
        stop--;
    return stop;
}

/* The begin of the line that holds `at`; not before `from`, the begin of a line that was looked at
 * already. */
static uint32_t line_begin(const struct reader *reader, uint32_t from, uint32_t at)
{
    const char *end = memrchr(reader->source->bytes + from, '\n', at - from);

    return end == NULL ? from : (uint32_t)(end - reader->source->bytes) + 1;
}

bool hash_follows(const struct reader *reader, uint32_t at)
{
    const struct source *source = reader->source;

    while (at < source->size && (is_blank(source->bytes[at]) || source->bytes[at] == ':'))
        at++;
    return at + 1 < source->size && source->bytes[at] == '#' && is_blank(source->bytes[at - 1]) &&
           strchr(" \t\r\n", source->bytes[at + 1]) == NULL;
}

/* The text that the `#` would cut: from the last place before it at which a value can begin. */
struct cut {
    uint32_t begin, end;
};

static struct cut cut_text(const struct reader *reader, uint32_t line, uint32_t hash)
{
    const char *bytes = reader->source->bytes;
    struct cut cut = {line, line_end(reader->source, hash)};
    int depth = 0;

    for (uint32_t i = line; i < hash; i++) {
        bool opens = bytes[i] == '{' || bytes[i] == '[';
        depth += opens;
        depth -= (bytes[i] == '}' || bytes[i] == ']') && depth > 0;
        bool parts = bytes[i] == ':' || (bytes[i] == '-' && (i == line || is_blank(bytes[i - 1])));
        if (opens || (depth > 0 && bytes[i] == ',') || (parts && is_blank(bytes[i + 1])))
            cut.begin = i + 1;
    }
    while (cut.begin < hash && is_blank(bytes[cut.begin]))
        cut.begin++;
    if (depth > 0)
        for (uint32_t i = hash; i < cut.end; i++)
            if (strchr(",]}", bytes[i]) != NULL)
                cut.end = i;
    return cut;
}

static void report(struct reader *reader, uint32_t line, uint32_t hash)
{
    struct diags *diags = &reader->context->diags;
    const char *bytes = reader->source->bytes;
    struct cut cut = cut_text(reader, line, hash);
    uint32_t end = line_end(reader->source, hash);

    struct diag *diag = reader_report(reader, DIAG_TREE_HASH, reader_span(reader, hash, end),
                                      "`%.*s` would be lost as a comment", (int)(end - hash),
                                      bytes + hash);
    if (bytes[cut.begin] == '\'' || bytes[cut.begin] == '"') { /* the text ends before it */
        diag_hint(diags, diag, "put a blank after #");
        diag_fix(diags, diag, reader_span(reader, hash + 1, hash + 1), " ");
        return;
    }
    const char *quoted = reader_quoted(reader, cut.begin, cut.end);
    diag_hint(diags, diag, "quote it: `%s`; or put a blank after # if a comment is meant", quoted);
    diag_fix(diags, diag, reader_span(reader, cut.begin, cut.end), quoted);
}

/* Quotes that open and close on one line, read on from where the last question ended: for the texts
 * that libyaml had read but not yet handed out when it failed. */
struct quotes {
    uint32_t line, at;
    char open; /* the mark that waits for its like, or NUL */
};

static bool in_quotes(const struct reader *reader, struct quotes *quotes, uint32_t line,
                      uint32_t hash)
{
    const char *bytes = reader->source->bytes;

    if (quotes->line != line || quotes->at < line)
        *quotes = (struct quotes){.line = line, .at = line};
    for (; quotes->at < hash; quotes->at++) {
        char byte = bytes[quotes->at];
        bool first = quotes->at == line || strchr(" \t,[{:", bytes[quotes->at - 1]) != NULL;
        if (quotes->open == '\0' && first && (byte == '"' || byte == '\''))
            quotes->open = byte;
        else if (quotes->open == '"' && byte == '\\')
            quotes->at++;
        else if (byte == quotes->open)
            quotes->open = '\0';
    }
    return quotes->open != '\0';
}

size_t hash_check(struct reader *reader, uint32_t known, uint32_t limit)
{
    const char *bytes = reader->source->bytes;
    size_t count = 0, next = 0;
    struct quotes quotes = {0};
    uint32_t line = reader->start;

    for (uint32_t at = reader->start; at < limit; at++) {
        const char *found = memchr(bytes + at, '#', limit - at);
        if (found == NULL)
            break;
        at = (uint32_t)(found - bytes);
        while (next < reader->opaque.count && reader->opaque.items[next].end <= at)
            next++;
        if (next < reader->opaque.count && reader->opaque.items[next].begin <= at) {
            at = reader->opaque.items[next].end - 1;
            continue;
        }
        if (at > reader->start && !is_blank(bytes[at - 1]) && bytes[at - 1] != '\n')
            continue; /* a letter like any other */
        line = line_begin(reader, line, at);
        uint32_t first = line;
        while (is_blank(bytes[first]))
            first++;
        if (at >= known && in_quotes(reader, &quotes, line, at))
            continue;
        uint32_t end = line_end(reader->source, at);
        if (first != at && at + 1 < end && !is_blank(bytes[at + 1])) {
            report(reader, line, at);
            count++;
        }
        at = end; /* the rest of the line is the comment */
    }
    return count;
}
