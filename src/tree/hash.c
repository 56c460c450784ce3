/* hash.c - the `#` that cuts a line without a word (specs/LANGUAGE.md, section 1): after a blank and
 * before a non-blank, on a line that already holds something, outside quotes and block text. */
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

static uint32_t line_begin(const struct reader *reader, uint32_t at)
{
    while (at > reader->start && reader->source->bytes[at - 1] != '\n')
        at--;
    return at;
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

/* True if `hash` lies in quotes that open on its own line: for the texts that libyaml had read but
 * not yet handed out when it failed. */
static bool in_open_quotes(const struct reader *reader, uint32_t line, uint32_t hash)
{
    const char *bytes = reader->source->bytes;
    char quote = '\0';

    for (uint32_t i = line; i < hash; i++) {
        bool first = i == line || strchr(" \t,[{:", bytes[i - 1]) != NULL;
        if (quote == '\0' && first && (bytes[i] == '"' || bytes[i] == '\''))
            quote = bytes[i];
        else if (quote == '"' && bytes[i] == '\\')
            i++;
        else if (bytes[i] == quote)
            quote = '\0';
    }
    return quote != '\0';
}

size_t hash_check(struct reader *reader, uint32_t known, uint32_t limit)
{
    const char *bytes = reader->source->bytes;
    size_t count = 0, next = 0;

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
        uint32_t line = line_begin(reader, at), first = line;
        while (is_blank(bytes[first]))
            first++;
        if (at >= known && in_open_quotes(reader, line, at))
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
