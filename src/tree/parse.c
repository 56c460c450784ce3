/* parse.c - libyaml's events into nodes.
 *
 * libyaml lets pass what a spec must not have (duplicate keys, tags, empty values, any depth),
 * gives places in code points, and end marks of block texts and block mappings that point at the
 * next token. All of that is put right here. */
#include "reader_private.h"

#include <assert.h>
#include <string.h>

uint32_t reader_byte(struct reader *reader, const yaml_mark_t *mark)
{
    const char *bytes = reader->source->bytes;
    size_t size = reader->source->size;

    while (reader->index < mark->index && reader->index_byte < size) {
        do
            reader->index_byte++;
        while (reader->index_byte < size && (bytes[reader->index_byte] & 0xc0) == 0x80);
        reader->index++;
    }
    while (reader->index > mark->index) {
        do
            reader->index_byte--;
        while ((bytes[reader->index_byte] & 0xc0) == 0x80);
        reader->index--;
    }
    return reader->index_byte;
}

struct span reader_span(const struct reader *reader, size_t begin, size_t end)
{
    size_t size = reader->source->size; /* a fault at the end may have nothing behind it */

    begin = begin < size ? begin : size;
    end = end < size ? end : size;
    return (struct span){reader->file, (uint32_t)begin, (uint32_t)(end < begin ? begin : end)};
}

struct diag *reader_report(struct reader *reader, enum diag_code code, struct span span,
                           const char *format, ...)
{
    va_list arguments;

    if (reader->quiet != 0)
        return ARENA_NEW(reader->context->arena, struct diag);
    va_start(arguments, format);
    const char *message = str_vprint(reader->context->arena, format, arguments);
    va_end(arguments);
    return diag_add(&reader->context->diags, code, span, "%s", message);
}

const char *reader_quoted(struct reader *reader, size_t begin, size_t end)
{
    struct str_buf buf = {.arena = reader->context->arena};

    str_add(&buf, "'");
    for (size_t i = begin; i < end; i++)
        str_add_bytes(&buf, reader->source->bytes[i] == '\'' ? "''" : reader->source->bytes + i,
                      reader->source->bytes[i] == '\'' ? 2 : 1);
    str_add(&buf, "'");
    return buf.bytes;
}

/* Text long enough to be known again, for messages. */
static const char *shown(struct reader *reader, const char *text)
{
    size_t length = strlen(text), cut = 40;

    if (length <= cut)
        return text;
    while ((text[cut] & 0xc0) == 0x80)
        cut--;
    return str_print(reader->context->arena, "%.*s\xe2\x80\xa6", (int)cut, text);
}

/* The next event, or false after a report. */
static bool advance(struct reader *reader)
{
    yaml_event_delete(&reader->event);
    if (yaml_parser_parse(&reader->parser, &reader->event))
        return true;
    if (reader->parser.error == YAML_MEMORY_ERROR)
        arena_alloc(reader->context->arena, SIZE_MAX); /* ends the compilation, as it should */
    trouble_report(reader);
    return false;
}

bool parse_count(struct context *context, size_t *nodes, struct span at)
{
    if (++*nodes <= BOUND_NODES)
        return true;
    if (*nodes == BOUND_NODES + 1) /* said once */
        diag_add(&context->diags, DIAG_TREE_COUNT, at,
                 "more than %d values in this spec and its files, the bound", BOUND_NODES);
    return false;
}

static struct node *node_new(struct reader *reader, enum node_kind kind, uint32_t begin,
                             uint32_t end)
{
    struct span span = reader_span(reader, begin, end);

    if (!parse_count(reader->context, reader->nodes, span))
        return NULL;
    struct node *node = ARENA_NEW(reader->context->arena, struct node);
    node->kind = kind;
    node->span = span;
    return node;
}

/* What stands before a value and must not: an anchor or a tag, at the start of its event.
 * `text_end` is where a plain text ends that follows, else 0. */
static void check_properties(struct reader *reader, const yaml_char_t *anchor,
                             const yaml_char_t *tag, uint32_t begin, uint32_t text_end)
{
    struct diags *diags = &reader->context->diags;
    const char *bytes = reader->source->bytes;
    size_t size = reader->source->size, end = begin;

    if (anchor == NULL && tag == NULL)
        return;
    while (end < size && strchr(" \t\r\n,[]{}", bytes[end]) == NULL)
        end++;
    size_t after = end;
    while (after < size && (bytes[after] == ' ' || bytes[after] == '\t'))
        after++;
    bool is_anchor = bytes[begin] == '&';
    struct diag *diag = reader_report(reader, is_anchor ? DIAG_TREE_ANCHOR : DIAG_TREE_TAG,
                                      reader_span(reader, begin, end),
                                      is_anchor ? "`%.*s` is an anchor" : "`%.*s` is a tag",
                                      (int)(end - begin), bytes + begin);
    bool yaml_tag = bytes[begin] == '!' && begin + 1 < size && bytes[begin + 1] == '!';
    if (text_end > end && !yaml_tag && memchr(bytes + begin, '\n', text_end - begin) == NULL) {
        diag_hint(diags, diag, "quote the text: `%s`", reader_quoted(reader, begin, text_end));
        diag_fix(diags, diag, reader_span(reader, begin, text_end),
                 reader_quoted(reader, begin, text_end));
        return;
    }
    diag_hint(diags, diag,
              is_anchor ? "remove it; an entry that is almost another one says `like: other-id`"
                        : "remove it");
    diag_fix(diags, diag, reader_span(reader, begin, after), "");
}

/* Characters that only an escape can bring in. */
static bool printable(const char *text)
{
    while (*text != '\0') {
        uint32_t point = str_code_point(&text);
        if ((point < 0x20 && point != '\t' && point != '\n') || (point >= 0x7f && point < 0xa0) ||
            point == 0x2028 || point == 0x2029 || point == 0xfeff || (point & 0xfffe) == 0xfffe)
            return false;
    }
    return true;
}

/* libyaml's end of a block text is where the next token begins. */
static uint32_t block_end(const struct reader *reader, uint32_t begin, uint32_t end)
{
    while (end > begin + 1 && strchr(" \t\r\n", reader->source->bytes[end - 1]) != NULL)
        end--;
    return end;
}

void parse_check_tilde(struct context *context, const struct node *scalar)
{
    if (scalar->quoted || strcmp(scalar->text, "~") != 0)
        return;
    struct diag *diag = diag_add(&context->diags, DIAG_TREE_TILDE, scalar->span,
                                 "`~` says nothing");
    diag_hint(&context->diags, diag,
              "write `null` to remove what a base brings, `unknown` for what you do not know, or "
              "leave the key out");
}

static struct node *scalar_read(struct reader *reader)
{
    yaml_scalar_style_t style = reader->event.data.scalar.style;
    size_t length = reader->event.data.scalar.length;
    const char *value = (const char *)reader->event.data.scalar.value;
    uint32_t begin = reader_byte(reader, &reader->event.start_mark);
    uint32_t end = reader_byte(reader, &reader->event.end_mark);
    bool block = style == YAML_LITERAL_SCALAR_STYLE || style == YAML_FOLDED_SCALAR_STYLE;

    if (block)
        end = block_end(reader, begin, end);
    struct node *node = node_new(reader, NODE_SCALAR, begin, end);
    if (node == NULL)
        return NULL;
    node->quoted = style != YAML_PLAIN_SCALAR_STYLE;
    node->text = str_slice(reader->context->arena, value, length);
    size_t mark = node->quoted ? 1 : 0;
    node->multiline = block || end - begin != length + 2 * mark ||
                      memcmp(reader->source->bytes + begin + mark, value, length) != 0;
    if (node->quoted)
        *ARRAY_PUSH(reader->context->arena, &reader->opaque) = node->span;
    check_properties(reader, reader->event.data.scalar.anchor, reader->event.data.scalar.tag,
                     begin, node->quoted ? 0 : end);
    if (strlen(node->text) != length || (node->quoted && !printable(node->text)))
        reader_report(reader, DIAG_TREE_ESCAPED_CONTROL, node->span,
                      "an escape in this text makes a character that cannot be printed");
    if (reader->quiet == 0)
        parse_check_tilde(reader->context, node);
    return node;
}

static bool is_empty(const struct node *node)
{
    return node->kind == NODE_SCALAR && !node->quoted && node->text[0] == '\0';
}

static struct node *value_read(struct reader *reader, uint32_t depth);

static void list_item_check(struct reader *reader, const struct node *item)
{
    if (!is_empty(item) || hash_follows(reader, item->span.begin))
        return;
    struct diag *diag = reader_report(reader, DIAG_TREE_EMPTY_VALUE, item->span,
                                      "a list item is empty");
    diag_hint(&reader->context->diags, diag, "write a value after the `-`, or remove it");
}

static struct node *list_read(struct reader *reader, uint32_t depth)
{
    uint32_t begin = reader_byte(reader, &reader->event.start_mark);
    bool flow = reader->event.data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE;
    struct node *list = node_new(reader, NODE_LIST, begin, begin);
    struct list_end end = {.parent = list};

    if (list == NULL)
        return NULL;
    check_properties(reader, reader->event.data.sequence_start.anchor,
                     reader->event.data.sequence_start.tag, begin, 0);
    for (;;) {
        if (!advance(reader))
            return NULL;
        if (reader->event.type == YAML_SEQUENCE_END_EVENT)
            break;
        struct node *item = value_read(reader, depth + 1);
        if (item == NULL)
            return NULL;
        list_item_check(reader, item);
        list_append(&end, item);
    }
    if (flow) {
        list->span.end = reader_byte(reader, &reader->event.end_mark);
    } else if (end.last != NULL) {
        list->span.begin = list->child->span.begin;
        list->span.end = end.last->span.end;
    }
    return list;
}

/* A run of keys without values inside { }. */
struct lone {
    struct diag *diag;
    const struct node *key;    /* the first, or NULL where there is no run */
    const struct node *before; /* the value that the first comma ended, or NULL */
    uint32_t begin, end;       /* of the whole text that commas cut up */
    bool quoted;               /* one of the keys is */
    size_t count;
};

/* A map under construction. */
struct map_reading {
    struct node *map;
    struct list_end end;
    struct keys keys;
    bool flow;
    const struct node *before; /* the value before this key, or NULL */
    struct lone lone;
};

/* The key of the next entry; NULL with *stop false where it is none and was reported. */
static struct node *key_read(struct reader *reader, uint32_t depth, bool *stop)
{
    uint32_t begin = reader_byte(reader, &reader->event.start_mark);
    bool scalar = reader->event.type == YAML_SCALAR_EVENT;

    reader->quiet += !scalar;
    struct node *key = value_read(reader, depth + 1);
    reader->quiet -= !scalar;
    *stop = key == NULL;
    if (key == NULL)
        return NULL;
    if (!scalar || key->text[0] == '\0') {
        uint32_t end = scalar ? begin : key->span.end;
        struct diag *diag = reader_report(reader, DIAG_TREE_KEY_FORM,
                                          reader_span(reader, begin, end),
                                          scalar ? "no key before the colon"
                                                 : "a list or a mapping stands where a key should");
        diag_hint(&reader->context->diags, diag,
                  scalar ? "write a key before the colon" : "quote the text");
        return NULL;
    }
    if (!key->quoted && strcmp(key->text, "<<") == 0) {
        struct diag *diag = reader_report(reader, DIAG_TREE_MERGE_KEY, key->span,
                                          "`<<` does not merge in a spec");
        diag_hint(&reader->context->diags, diag, "write `like: other-id` in the entry");
    }
    return key;
}

static bool colon_after(const struct reader *reader, uint32_t at)
{
    const struct source *source = reader->source;

    while (at < source->size && strchr(" \t\r\n", source->bytes[at]) != NULL)
        at++;
    return at < source->size && source->bytes[at] == ':';
}

static bool is_digit(char byte)
{
    return byte >= '0' && byte <= '9';
}

/* `24,5 mm`: between digits a comma is meant as a decimal sign, or groups thousands. */
static void lone_hint_number(struct reader *reader, const struct lone *lone, uint32_t comma)
{
    const char *bytes = reader->source->bytes;
    struct diags *diags = &reader->context->diags;
    int left = (int)(comma - lone->begin), right = (int)(lone->end - comma - 1);
    uint32_t digits = comma + 1;

    while (digits < lone->end && is_digit(bytes[digits]))
        digits++;
    if (digits - comma - 1 == 3) {
        diag_hint(diags, lone->diag,
                  "write `%.*s%.*s` for thousands, or a point for a decimal fraction", left,
                  bytes + lone->begin, right, bytes + comma + 1);
        return;
    }
    diag_fix(diags, lone->diag, reader_span(reader, lone->begin, lone->end),
             str_print(reader->context->arena, "%.*s.%.*s", left, bytes + lone->begin, right,
                       bytes + comma + 1));
}

/* The hint for a run of lone keys, once its end is known. */
static void lone_finish(struct reader *reader, struct map_reading *reading)
{
    const char *bytes = reader->source->bytes;
    struct diags *diags = &reader->context->diags;
    struct lone lone = reading->lone;
    const struct node *before = lone.before;
    const char *text = lone.key == NULL ? NULL : lone.key->text;

    reading->lone = (struct lone){0};
    if (lone.key == NULL)
        return;
    const char *colon = lone.key->quoted || lone.key->multiline ? NULL : strchr(text, ':');
    if (colon != NULL && colon != text && colon[1] != '\0') {
        uint32_t at = lone.key->span.begin + (uint32_t)(colon - text) + 1;
        diag_hint(diags, lone.diag, "put a blank after the colon: `%.*s %s`",
                  (int)(colon + 1 - text), text, shown(reader, colon + 1));
        diag_fix(diags, lone.diag, reader_span(reader, at, at), " ");
        return;
    }
    if (before == NULL || before->kind != NODE_SCALAR || before->quoted || lone.quoted ||
        memchr(bytes + lone.begin, '\n', lone.end - lone.begin) != NULL) {
        diag_hint(diags, lone.diag, "inside { } write `%s: value`; a list stands in [ ]",
                  shown(reader, text));
        return;
    }
    uint32_t comma = before->span.end;
    if (lone.count == 1 && comma + 1 == lone.key->span.begin && bytes[comma] == ',' &&
        is_digit(bytes[comma - 1]) && is_digit(bytes[comma + 1]))
        lone_hint_number(reader, &lone, comma);
    else
        diag_fix(diags, lone.diag, reader_span(reader, lone.begin, lone.end),
                 reader_quoted(reader, lone.begin, lone.end));
}

/* A key inside { } that has no value and no colon: what a comma in a text leaves behind. Several in
 * a row are one fault. */
static void lone_key(struct reader *reader, struct map_reading *reading, const struct node *key)
{
    struct lone *lone = &reading->lone;

    if (lone->key == NULL) {
        lone->diag = reader_report(reader, DIAG_TREE_LONE_KEY, key->span,
                                   "`%s` stands alone inside { }, without a value",
                                   shown(reader, key->text));
        lone->key = key;
        lone->before = reading->before;
        lone->begin = reading->before != NULL ? reading->before->span.begin : key->span.begin;
    }
    lone->end = key->span.end;
    lone->quoted |= key->quoted;
    lone->count++;
}

static void entry_check(struct reader *reader, struct map_reading *reading,
                        const struct node *key, const struct node *value)
{
    bool empty = is_empty(value);

    if (empty && reading->flow && !colon_after(reader, key->span.end)) {
        lone_key(reader, reading, key);
        return;
    }
    lone_finish(reader, reading);
    reading->before = empty ? NULL : value;
    if (!empty)
        return;
    if (hash_follows(reader, key->span.end))
        return; /* `thread: #10-32`: the # is the fault, and is reported as such */
    struct diag *diag = reader_report(reader, DIAG_TREE_EMPTY_VALUE, key->span,
                                      "`%s` has no value", shown(reader, key->text));
    diag_hint(&reader->context->diags, diag,
              "write a value after the colon, or leave the key out; lines that belong to it are "
              "indented deeper");
}

static void duplicate_report(struct reader *reader, const struct node *key,
                             const struct node *first)
{
    struct diags *diags = &reader->context->diags;
    struct diag *diag = reader_report(reader, DIAG_TREE_DUPLICATE_KEY, key->span,
                                      "`%s` is given twice", shown(reader, key->text));

    diag_label(diags, diag, first->key_span, "first given here");
    diag_hint(diags, diag, "remove or rename one of the two");
}

/* One key and its value; false when reading cannot go on. */
static bool entry_read(struct reader *reader, struct map_reading *reading, uint32_t depth)
{
    bool stop;
    struct node *key = key_read(reader, depth, &stop);

    if (stop || !advance(reader))
        return false;
    reader->quiet += key == NULL; /* the value of what is no key */
    struct node *value = value_read(reader, depth + 1);
    reader->quiet -= key == NULL;
    if (value == NULL)
        return false;
    if (key == NULL)
        return true;
    entry_check(reader, reading, key, value);
    value->key = key->text;
    value->key_span = key->span;
    const struct node *first = keys_find(&reading->keys, key->text);
    if (first != NULL) {
        duplicate_report(reader, key, first);
        return true;
    }
    list_append(&reading->end, value);
    keys_add(&reading->keys, value);
    return true;
}

static struct node *map_read(struct reader *reader, uint32_t depth)
{
    uint32_t begin = reader_byte(reader, &reader->event.start_mark);
    struct node *map = node_new(reader, NODE_MAP, begin, begin);
    struct map_reading reading = {.map = map, .end = {.parent = map}};

    if (map == NULL)
        return NULL;
    reading.keys.arena = reader->context->arena;
    reading.flow = reader->event.data.mapping_start.style == YAML_FLOW_MAPPING_STYLE;
    check_properties(reader, reader->event.data.mapping_start.anchor,
                     reader->event.data.mapping_start.tag, begin, 0);
    bool bracket = reading.flow && begin < reader->source->size &&
                   reader->source->bytes[begin] == '{';
    for (;;) {
        if (!advance(reader))
            return NULL;
        if (reader->event.type == YAML_MAPPING_END_EVENT)
            break;
        if (!entry_read(reader, &reading, depth))
            return NULL;
    }
    lone_finish(reader, &reading);
    if (bracket) {
        map->span.end = reader_byte(reader, &reader->event.end_mark);
    } else if (reading.end.last != NULL) { /* also `[a: 1]`, a mapping without braces */
        map->span.begin = map->child->key_span.begin;
        map->span.end = reading.end.last->span.end;
    }
    return map;
}

static struct node *alias_read(struct reader *reader)
{
    uint32_t begin = reader_byte(reader, &reader->event.start_mark);
    uint32_t end = reader_byte(reader, &reader->event.end_mark);
    struct node *node = node_new(reader, NODE_SCALAR, begin, end);

    if (node == NULL)
        return NULL;
    node->text = str_slice(reader->context->arena, reader->source->bytes + begin, end - begin);
    node->quoted = true; /* so that nothing else is said of it */
    struct diag *diag = reader_report(reader, DIAG_TREE_ANCHOR, node->span, "`%s` is an alias",
                                      shown(reader, node->text));
    diag_hint(&reader->context->diags, diag,
              "write out what it stands for, say `like: other-id`, or quote the text");
    return node;
}

/* The value whose first event is at hand; NULL when reading cannot go on, after a report. */
static struct node *value_read(struct reader *reader, uint32_t depth)
{
    yaml_event_type_t type = reader->event.type;

    if (type == YAML_ALIAS_EVENT)
        return alias_read(reader);
    if (type == YAML_SCALAR_EVENT)
        return scalar_read(reader);
    if (depth > BOUND_DEPTH) {
        uint32_t begin = reader_byte(reader, &reader->event.start_mark);
        diag_add(&reader->context->diags, DIAG_TREE_DEPTH,
                 reader_span(reader, begin, begin + (begin < reader->source->size)),
                 "nested deeper than %d levels, the bound", BOUND_DEPTH);
        return NULL;
    }
    return type == YAML_SEQUENCE_START_EVENT ? list_read(reader, depth) : map_read(reader, depth);
}

/* A `%` line before the document. Found by itself, since libyaml takes quadratic time over many. */
static bool directive_report(struct reader *reader)
{
    for (uint32_t line = 1; line <= reader->source->line_count; line++) {
        size_t length;
        const char *text = source_line(reader->source, line, &length);
        size_t blanks = strspn(text, " \t"), at = (size_t)(text - reader->source->bytes);
        if (length != 0 && text[0] == '%') {
            struct diag *diag = reader_report(reader, DIAG_TREE_DIRECTIVE,
                                              reader_span(reader, at, at + length),
                                              "a spec has no `%%` lines");
            diag_fix(&reader->context->diags, diag,
                     reader_span(reader, at, line < reader->source->line_count
                                                 ? reader->source->line_starts[line]
                                                 : at + length),
                     "");
            return true;
        }
        if (blanks < length && text[blanks] != '#')
            return false;
    }
    return false;
}

/* The events around the one document. */
static struct node *document_read(struct reader *reader)
{
    uint32_t begin = reader->start;

    if (!advance(reader) || !advance(reader)) /* the start of the stream, then of a document */
        return NULL;
    if (reader->event.type == YAML_STREAM_END_EVENT) {
        struct diag *diag = reader_report(reader, DIAG_TREE_EMPTY,
                                          reader_span(reader, begin, begin),
                                          "this file holds nothing");
        diag_hint(&reader->context->diags, diag, "begin with `gudgeon: 1`");
        return NULL;
    }
    if (!advance(reader))
        return NULL;
    struct node *root = value_read(reader, 1);
    if (root == NULL || !advance(reader) || !advance(reader))
        return NULL;
    if (reader->event.type == YAML_DOCUMENT_START_EVENT) {
        begin = reader_byte(reader, &reader->event.start_mark);
        struct diag *diag = reader_report(reader, DIAG_TREE_DOCUMENTS,
                                          reader_span(reader, begin, begin + 3),
                                          "a second document begins here");
        diag_hint(&reader->context->diags, diag,
                  "put it into a file of its own and name that in `use`");
        return NULL;
    }
    if (root->kind == NODE_MAP)
        return root;
    struct diag *diag = reader_report(reader, DIAG_TREE_ROOT, root->span,
                                      root->kind == NODE_LIST
                                          ? "the file is a list, where a mapping is expected"
                                          : "the file is one text, where a mapping is expected");
    diag_hint(&reader->context->diags, diag, "begin with `gudgeon: 1`, then write `key: value`");
    return NULL;
}

static void reader_close(void *handle)
{
    struct reader *reader = handle;

    yaml_event_delete(&reader->event);
    yaml_parser_delete(&reader->parser);
}

bool parse_text_is_good(struct context *context, uint32_t source)
{
    struct span span = {source, 0, 0};
    const struct source *text = source_of(&context->sources, span);
    const char *words = source_fault(text, BOUND_LINE_BYTES, &span.begin, &span.end);

    if (words == NULL)
        return true;
    if (span.end - span.begin > BOUND_LINE_BYTES) {
        diag_add(&context->diags, DIAG_TEXT_FAULT, span, "%s: %u bytes, the bound is %d", words,
                 span.end - span.begin, BOUND_LINE_BYTES);
        return false;
    }
    struct diag *diag = diag_add(&context->diags, DIAG_TEXT_FAULT, span, "%s", words);
    unsigned char byte = (unsigned char)text->bytes[span.begin];
    if (span.end - span.begin == 1 && byte >= 0x80) {
        diag_hint(&context->diags, diag, "save the file as UTF-8; this byte is 0x%02X", byte);
    } else {
        /* A foreign break or a lone carriage return was a line end to somebody. */
        bool line_end = byte == '\r' || byte == 0xe2 ||
                        (byte == 0xc2 && (unsigned char)text->bytes[span.begin + 1] == 0x85);
        diag_hint(&context->diags, diag, line_end ? "end the line there, or write a blank"
                                                  : "remove it");
        diag_fix(&context->diags, diag, span, line_end ? "\n" : "");
    }
    return false;
}

struct node *parse_counted(struct context *context, uint32_t source, size_t *nodes)
{
    struct reader reader = {.context = context, .file = source, .nodes = nodes};
    size_t errors = context->diags.errors;

    reader.source = source_of(&context->sources, (struct span){source, 0, 0});
    assert(reader.source != NULL);
    if (!parse_text_is_good(context, source))
        return NULL;
    reader.start = reader.index_byte = reader.source->line_starts[0];
    if (directive_report(&reader))
        return NULL;
    if (!yaml_parser_initialize(&reader.parser))
        arena_alloc(context->arena, SIZE_MAX);
    context_opened(context, reader_close, &reader);
    yaml_parser_set_encoding(&reader.parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&reader.parser,
                                 (const unsigned char *)reader.source->bytes + reader.start,
                                 reader.source->size - reader.start);
    struct node *root = document_read(&reader);
    context_closed(context, &reader);
    reader_close(&reader);
    if (root != NULL)
        hash_check(&reader, (uint32_t)reader.source->size, (uint32_t)reader.source->size);
    return context->diags.errors == errors ? root : NULL;
}

struct node *tree_parse(struct context *context, uint32_t source)
{
    size_t nodes = 0;

    return parse_counted(context, source, &nodes);
}
