/* reader_private.h - the reading of one YAML file; the only header that sees yaml.h. */
#ifndef GUDGEON_READER_PRIVATE_H
#define GUDGEON_READER_PRIVATE_H

#include <yaml.h>

#include "tree_private.h"

struct reader {
    struct context *context;
    const struct source *source;
    uint32_t file;
    yaml_parser_t parser;
    yaml_event_t event;
    size_t *nodes;
    uint32_t start;      /* the first byte after a byte order mark */
    size_t index;        /* a code point as libyaml counts them, and ... */
    uint32_t index_byte; /* ... its byte: marks mostly ascend, so this moves little */
    uint32_t quiet;      /* inside what is wrong as a whole */
    struct {
        struct span *items; /* quoted and block texts, in which # is a letter */
        size_t count, room;
    } opaque;
};

/* The byte offset of a mark: libyaml counts code points. */
uint32_t reader_byte(struct reader *reader, const yaml_mark_t *mark);
struct span reader_span(const struct reader *reader, size_t begin, size_t end);
struct diag *reader_report(struct reader *reader, enum diag_code code, struct span span,
                           const char *format, ...) STR_PRINTF(4, 5);
/* 'text' in single quotes, as YAML wants it. */
const char *reader_quoted(struct reader *reader, size_t begin, size_t end);

/* hash.c: reports each `#` that would cut a line silently, up to `limit`; the count. Events have
 * told of all quotes up to `known`. */
size_t hash_check(struct reader *reader, uint32_t known, uint32_t limit);
/* True if from `at` on the line holds nothing but such a `#` and what it cuts. */
bool hash_follows(const struct reader *reader, uint32_t at);

/* trouble.c: says in plain words what libyaml could not read. */
void trouble_report(struct reader *reader);

#endif
