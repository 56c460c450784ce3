/* trouble.c - what libyaml trips over, in plain words.
 *
 * libyaml tells of its own state ("did not find expected key") and often at the line after the
 * fault. Here the line itself is looked at, for what a person would have meant by it. */
#include "reader_private.h"

#include <string.h>

enum { MOST_KEY = 1024 }; /* characters; YAML 1.1 section 9.2 (simple keys) */

/* Where libyaml stopped, and the line around it. */
struct trouble {
    uint32_t problem, context; /* bytes */
    bool has_context;
    uint32_t line, line_end;   /* of the problem */
    uint32_t first;            /* the first that is not blank in that line */
};

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\t';
}

static uint32_t begin_of_line(const struct reader *reader, uint32_t at)
{
    while (at > reader->start && reader->source->bytes[at - 1] != '\n')
        at--;
    return at;
}

/* The end of the line's text, without a comment, blanks and the line end. */
static uint32_t end_of_text(const struct reader *reader, uint32_t at)
{
    const char *bytes = reader->source->bytes;
    uint32_t end = at;

    while (end < reader->source->size && bytes[end] != '\n' &&
           !(bytes[end] == '#' && end > at && is_blank(bytes[end - 1])))
        end++;
    while (end > at && (is_blank(bytes[end - 1]) || bytes[end - 1] == '\r'))
        end--;
    return end;
}

static uint32_t skip_blanks(const struct reader *reader, uint32_t at)
{
    while (at < reader->source->size && is_blank(reader->source->bytes[at]))
        at++;
    return at;
}

/* The begin of the nearest line above that holds more than a comment, or `line` itself. */
static uint32_t line_above(const struct reader *reader, uint32_t line)
{
    for (uint32_t at = line; at > reader->start;) {
        at = begin_of_line(reader, at - 1);
        uint32_t begin = skip_blanks(reader, at);
        if (end_of_text(reader, begin) != begin && reader->source->bytes[begin] != '#')
            return at;
    }
    return line;
}

/* The first `: ` in [begin, end), or `end`. */
static uint32_t find_colon(const struct reader *reader, uint32_t begin, uint32_t end)
{
    const char *bytes = reader->source->bytes;

    for (uint32_t i = begin; i < end; i++)
        if (bytes[i] == ':' && (i + 1 >= end || is_blank(bytes[i + 1])))
            return i;
    return end;
}

/* The first in [line, end) that is neither a blank nor the dash of a list item. */
static uint32_t skip_dashes(const struct reader *reader, uint32_t line, uint32_t end)
{
    uint32_t at = skip_blanks(reader, line);

    while (at + 1 < end && reader->source->bytes[at] == '-' &&
           is_blank(reader->source->bytes[at + 1]))
        at = skip_blanks(reader, at + 1);
    return at;
}

/* Where the value of a line begins: after its first `: `, else after its dashes. */
static uint32_t value_begin(const struct reader *reader, uint32_t line, uint32_t before)
{
    uint32_t colon = find_colon(reader, line, before);

    return colon != before ? skip_blanks(reader, colon + 1) : skip_dashes(reader, line, before);
}

static struct diag *say(struct reader *reader, enum diag_code code, uint32_t begin, uint32_t end,
                        const char *words)
{
    return reader_report(reader, code, reader_span(reader, begin, end), "%s", words);
}

static void hint(struct reader *reader, struct diag *diag, const char *words)
{
    diag_hint(&reader->context->diags, diag, "%s", words);
}

static void fix(struct reader *reader, struct diag *diag, uint32_t begin, uint32_t end,
                const char *text)
{
    diag_fix(&reader->context->diags, diag, reader_span(reader, begin, end), text);
}

static void quote_fix(struct reader *reader, struct diag *diag, uint32_t begin, uint32_t end)
{
    const char *quoted = reader_quoted(reader, begin, end);

    diag_hint(&reader->context->diags, diag, "quote the text: `%s`", quoted);
    fix(reader, diag, begin, end, quoted);
}

static bool key_too_long(struct reader *reader, uint32_t begin, uint32_t colon)
{
    size_t length = str_code_points(reader->source->bytes + begin, colon - begin);

    if (length <= MOST_KEY)
        return false;
    struct diag *diag = reader_report(reader, DIAG_TREE_KEY_LENGTH,
                                      reader_span(reader, begin, colon),
                                      "a key of %zu characters, the bound is %d", length, MOST_KEY);
    hint(reader, diag, "if it is text, quote it");
    return true;
}

/* A line that should be `key: value` and is not; [begin, end) is its text. */
static void say_colon_missing(struct reader *reader, uint32_t begin, uint32_t end)
{
    const char *bytes = reader->source->bytes;
    const char *colon = memchr(bytes + begin, ':', end - begin);
    const char *blank = memchr(bytes + begin, ' ', end - begin);
    struct diag *diag;

    if (key_too_long(reader, begin, find_colon(reader, begin, end)))
        return;
    if (colon != NULL) {
        uint32_t at = (uint32_t)(colon - bytes);
        diag = say(reader, DIAG_TREE_COLON_MISSING, begin, end, "no blank after the colon");
        hint(reader, diag, "put a blank after the colon");
        fix(reader, diag, at + 1, at + 1, " ");
        return;
    }
    diag = say(reader, DIAG_TREE_COLON_MISSING, begin, end, "no colon in this line");
    if (blank == NULL) {
        hint(reader, diag, "write the key, a colon, a blank and the value");
        return;
    }
    uint32_t at = (uint32_t)(blank - bytes);
    diag_hint(&reader->context->diags, diag, "write `%.*s: %.*s`", (int)(at - begin),
              bytes + begin, (int)(end - at - 1), blank + 1);
    fix(reader, diag, at, at, ":");
}

/* What a key of a spec looks like, so that a mapping within the line may have been meant. */
static bool is_id(const struct reader *reader, uint32_t begin, uint32_t end)
{
    for (uint32_t i = begin; i < end; i++) {
        char byte = reader->source->bytes[i];
        if (!(byte >= 'a' && byte <= 'z') && !(byte >= '0' && byte <= '9') && byte != '-')
            return false;
    }
    return begin < end;
}

/* "mapping values are not allowed in this context", at a colon */
static void say_colon(struct reader *reader, const struct trouble *t)
{
    uint32_t value = value_begin(reader, t->line, t->problem);

    if (key_too_long(reader, t->first, t->problem))
        return;
    if (find_colon(reader, t->line, t->problem) != t->problem) {
        struct diag *diag = say(reader, DIAG_TREE_COLON_INSIDE, t->problem, t->problem + 1,
                                "a second colon in this line");
        uint32_t end = end_of_text(reader, value);
        quote_fix(reader, diag, value, end);
        if (is_id(reader, value, t->problem))
            diag_hint(&reader->context->diags, diag,
                      "begin a new line, further in, before `%.*s`, or quote the text: `%s`",
                      (int)(t->problem - value), reader->source->bytes + value, diag->fix_text);
        return;
    }
    uint32_t above = line_above(reader, t->line);
    uint32_t end = end_of_text(reader, above), begin = skip_dashes(reader, above, end);
    if (above < t->line && find_colon(reader, begin, end) == end &&
        reader->source->bytes[begin] != '"' && reader->source->bytes[begin] != '\'') {
        say_colon_missing(reader, begin, end);
        return;
    }
    struct diag *diag = say(reader, DIAG_TREE_INDENT, t->first, t->problem,
                            "this key stands deeper than the line above, which has its value "
                            "already");
    hint(reader, diag, "begin it in the same column as the line above, or quote text that goes on "
                       "over two lines");
}

/* "could not find expected ':'", with the line at fault as context */
static void say_no_colon(struct reader *reader, const struct trouble *t)
{
    say_colon_missing(reader, t->context, end_of_text(reader, t->context));
}

static void say_tab(struct reader *reader, uint32_t tab)
{
    uint32_t end = tab;

    while (end < reader->source->size && reader->source->bytes[end] == '\t')
        end++;
    struct diag *diag = say(reader, DIAG_TREE_TAB, tab, end, "a tab stands where only blanks may");
    fix(reader, diag, tab, end, " ");
}

/* Indents the line as the line above it, or by two more where that ends in a colon. */
static void say_tab_indent(struct reader *reader, const struct trouble *t, uint32_t tab)
{
    struct str_buf blanks = {.arena = reader->context->arena};
    uint32_t above = line_above(reader, t->line), begin = skip_blanks(reader, above);
    uint32_t end = end_of_text(reader, begin);
    bool opens = end > begin && reader->source->bytes[end - 1] == ':';

    struct diag *diag = say(reader, DIAG_TREE_TAB, tab, tab + 1, "a tab indents this line");
    hint(reader, diag, "use blanks");
    str_add_bytes(&blanks, reader->source->bytes + above, begin - above);
    str_add(&blanks, opens ? "  " : "");
    fix(reader, diag, t->line, t->first, blanks.bytes);
}

static bool tab_in_indent(struct reader *reader, const struct trouble *t)
{
    for (uint32_t i = t->line; i < t->first; i++)
        if (reader->source->bytes[i] == '\t') {
            say_tab_indent(reader, t, i);
            return true;
        }
    return false;
}

/* Text after a closing quotation mark or bracket. */
static void say_after_value(struct reader *reader, const struct trouble *t)
{
    const char *bytes = reader->source->bytes;
    uint32_t value = value_begin(reader, t->line, t->problem);
    uint32_t end = end_of_text(reader, value);

    struct diag *diag = say(reader, DIAG_TREE_AFTER_VALUE, t->problem,
                            end_of_text(reader, t->problem), "text after the end of the value");
    if (bytes[t->problem] == ',' && t->problem + 1 == end) {
        fix(reader, diag, t->problem, end, ""); /* lines end without commas */
        return;
    }
    if (end - value >= 2 && bytes[value] == bytes[end - 1] &&
        (bytes[value] == '\'' || bytes[value] == '"')) { /* the outer pair was meant */
        const char *quoted = reader_quoted(reader, value + 1, end - 1);
        diag_hint(&reader->context->diags, diag, "write `%s`", quoted);
        fix(reader, diag, value, end, quoted);
        return;
    }
    quote_fix(reader, diag, value, end);
}

static bool is_closer(char byte)
{
    return byte == ']' || byte == '}';
}

static void say_stray_closer(struct reader *reader, uint32_t at)
{
    struct diag *diag = reader_report(reader, DIAG_TREE_BRACKET, reader_span(reader, at, at + 1),
                                      "`%c` closes nothing", reader->source->bytes[at]);

    fix(reader, diag, at, at + 1, "");
}

static void say_no_key(struct reader *reader, uint32_t colon)
{
    struct diag *diag = say(reader, DIAG_TREE_KEY_FORM, colon,
                            colon + (colon < reader->source->size), "no key before the colon");

    hint(reader, diag, "write a key before the colon");
}

/* "did not find expected key", "... '-' indicator": in block style */
static void say_block(struct reader *reader, const struct trouble *t)
{
    const char *bytes = reader->source->bytes;

    if (tab_in_indent(reader, t))
        return;
    if (t->problem < reader->source->size && is_closer(bytes[t->problem])) {
        say_stray_closer(reader, t->problem);
        return;
    }
    if (t->problem == t->context) {
        say_no_key(reader, t->problem);
        return;
    }
    if (t->problem > t->first) {
        say_after_value(reader, t);
        return;
    }
    bool dash = bytes[t->problem] == '-' && is_blank(bytes[t->problem + 1]);
    uint32_t end = end_of_text(reader, t->problem);
    struct diag *diag = say(reader, DIAG_TREE_INDENT, t->problem, end,
                            dash ? "a list item among keys"
                                 : "this line is indented like none that it could belong to");
    hint(reader, diag, dash ? "indent it below the key that the list belongs to"
                            : "begin it in the same column as the lines that it belongs with");
}

/* True if the bracket at `open` finds its like before the end of its line. */
static bool closed_in_line(const struct reader *reader, uint32_t open)
{
    uint32_t end = end_of_text(reader, open);
    int depth = 0;

    for (uint32_t i = open; i < end; i++) {
        char byte = reader->source->bytes[i];
        depth += byte == '[' || byte == '{';
        depth -= is_closer(byte);
        if (depth == 0)
            return true;
    }
    return false;
}

/* True if the line opens as many brackets of the kind of `closer` as it closes. */
static bool is_needed(const struct reader *reader, const struct trouble *t, char closer)
{
    char opener = closer == '}' ? '{' : '[';
    int open = 0;

    for (uint32_t i = t->line; i < t->line_end; i++)
        open += (reader->source->bytes[i] == opener) - (reader->source->bytes[i] == closer);
    return open >= 0;
}

/* "did not find expected ',' or '}'": `context` is at the opening bracket */
static void say_flow(struct reader *reader, const struct trouble *t)
{
    const char *bytes = reader->source->bytes;
    char open = bytes[t->context], close = open == '{' ? '}' : ']';
    char at = t->problem < reader->source->size ? bytes[t->problem] : '\0';
    struct diag *diag;

    if (is_closer(at) && at != close) {
        diag = reader_report(reader, DIAG_TREE_BRACKET,
                             reader_span(reader, t->problem, t->problem + 1),
                             "`%c` does not close `%c`", at, open);
        diag_label(&reader->context->diags, diag, reader_span(reader, t->context, t->context + 1),
                   "opened here");
        /* If the wrong one is needed by another bracket of the line, the right one is missing. */
        uint32_t end = t->problem + !is_needed(reader, t, at);
        diag_hint(&reader->context->diags, diag, end == t->problem ? "add `%c`" : "write `%c`", close);
        fix(reader, diag, t->problem, end, close == '}' ? "}" : "]");
        return;
    }
    if (at == '\0' || (begin_of_line(reader, t->context) != t->line &&
                       !closed_in_line(reader, t->context))) {
        diag = reader_report(reader, DIAG_TREE_BRACKET,
                             reader_span(reader, t->context, t->context + 1),
                             "`%c` is never closed", open);
        diag_hint(&reader->context->diags, diag, "add `%c`", close);
        if (begin_of_line(reader, t->context) != t->line || at == '\0') {
            uint32_t end = end_of_text(reader, t->context);
            fix(reader, diag, end, end, close == '}' ? "}" : "]");
        }
        return;
    }
    uint32_t before = t->problem;
    while (before > t->context && is_blank(bytes[before - 1]))
        before--;
    if (at != ':' && strchr("\"'", bytes[before - 1]) != NULL) {
        diag = say(reader, DIAG_TREE_AFTER_VALUE, t->problem, t->problem + 1,
                   "text after a closing quotation mark");
        hint(reader, diag, "put the whole text in quotes, or a comma before the next one");
        return;
    }
    diag = say(reader, DIAG_TREE_COMMA, t->problem, t->problem + 1,
               at == ':' ? "a colon where a comma is expected" : "no comma before this");
    hint(reader, diag, "put a comma between two entries, or quote text that holds `: `");
}

/* "did not find expected node content" */
static void say_content(struct reader *reader, const struct trouble *t)
{
    char at = t->problem < reader->source->size ? reader->source->bytes[t->problem] : '\0';
    struct diag *diag;

    if (is_closer(at)) {
        say_stray_closer(reader, t->problem);
    } else if (at == ':') {
        say_no_key(reader, t->problem);
    } else if (at == ',') {
        diag = say(reader, DIAG_TREE_COMMA, t->problem, t->problem + 1,
                   "nothing stands before this comma");
        fix(reader, diag, t->problem, t->problem + 1, "");
    } else {
        diag = say(reader, DIAG_TREE_SYNTAX, t->problem, t->problem + (at != '\0'),
                   "a value is expected here");
        hint(reader, diag, "write one, or look for a bracket that is not closed");
    }
}

/* A text begins with what YAML keeps for itself; `at` is its first character. */
static void say_first_character(struct reader *reader, uint32_t at)
{
    uint32_t end = end_of_text(reader, at);
    struct diag *diag = reader_report(reader, DIAG_TREE_FIRST_CHARACTER,
                                      reader_span(reader, at, at + 1),
                                      "a text may not begin with `%c`", reader->source->bytes[at]);

    quote_fix(reader, diag, at, end);
}

/* "found character that cannot start any token": a tab, or @ ` % */
static void say_character(struct reader *reader, const struct trouble *t)
{
    if (!tab_in_indent(reader, t)) {
        if (reader->source->bytes[t->problem] == '\t')
            say_tab(reader, t->problem);
        else
            say_first_character(reader, t->problem);
    }
}

static void say_at_problem(struct reader *reader, const struct trouble *t)
{
    say_first_character(reader, t->problem);
}

static void say_at_context(struct reader *reader, const struct trouble *t)
{
    say_first_character(reader, t->context);
}

static void say_bad_tab(struct reader *reader, const struct trouble *t)
{
    if (!tab_in_indent(reader, t))
        say_tab(reader, t->problem);
}

static void say_quote(struct reader *reader, const struct trouble *t)
{
    struct diag *diag = say(reader, DIAG_TREE_QUOTE, t->context, t->context + 1,
                            "this quotation mark is never closed");

    diag_hint(&reader->context->diags, diag, "end the text with `%c`",
              reader->source->bytes[t->context]);
}

static void say_escape(struct reader *reader, const struct trouble *t)
{
    uint32_t at = t->problem; /* at the backslash, or at a digit that is none */

    while (at > t->context && reader->source->bytes[at] != '\\')
        at--;
    if (at + 1 >= reader->source->size) {
        say_quote(reader, t);
        return;
    }
    struct diag *diag = say(reader, DIAG_TREE_ESCAPE, at, at + 2, "this escape means nothing");
    hint(reader, diag, "write `\\\\` for a backslash, or use single quotes");
    fix(reader, diag, at, at + 1, "\\\\");
}

static void say_document(struct reader *reader, const struct trouble *t)
{
    struct diag *diag = say(reader, DIAG_TREE_DOCUMENTS, t->problem,
                            end_of_text(reader, t->problem), "text after the end of the document");

    hint(reader, diag, "remove the line `...` or `---` above it");
}

static const struct {
    const char *problem; /* how libyaml 0.2.5 begins to say it */
    void (*say)(struct reader *reader, const struct trouble *t);
} sayings[] = {
    {"mapping values are not allowed", say_colon},
    {"could not find expected ':'", say_no_colon},
    {"did not find expected key", say_block},
    {"did not find expected '-' indicator", say_block},
    {"did not find expected ',' or", say_flow},
    {"did not find expected node content", say_content},
    {"found character that cannot start any token", say_character},
    {"found a tab character that violates indentation", say_bad_tab},
    {"found a tab character where an indentation space", say_bad_tab},
    {"found unexpected end of stream", say_quote},
    {"found unknown escape character", say_escape},
    {"did not find expected hexdecimal number", say_escape},
    {"found invalid Unicode character escape code", say_escape},
    {"did not find expected alphabetic or numeric", say_at_context},
    {"did not find expected comment or line break", say_at_context},
    {"found undefined tag handle", say_at_context},
    {"did not find expected whitespace or line break", say_at_context}, /* after a tag */
    {"block sequence entries are not allowed", say_at_problem},
    {"mapping keys are not allowed", say_at_problem},
    {"did not find expected <document start>", say_document},
    {"found unexpected document indicator", say_quote}, /* inside quotes */
};

/* What was said of keys without values inside a bracket that turns out to be broken itself. */
static void take_back(struct reader *reader, uint32_t bracket)
{
    struct diags *diags = &reader->context->diags;

    for (size_t i = diags->count; i-- > 0;) {
        struct diag *diag = diags->items[i];
        if (diag->span.file != reader->file)
            break;
        if (diag->span.begin > bracket &&
            (diag->code == DIAG_TREE_LONE_KEY || diag->code == DIAG_TREE_EMPTY_VALUE))
            diag_remove(diags, diag);
    }
}

void trouble_report(struct reader *reader)
{
    const yaml_parser_t *parser = &reader->parser;
    struct trouble t = {.has_context = parser->context != NULL};
    const char *problem = parser->problem != NULL ? parser->problem : "unreadable";

    uint32_t known = reader->index_byte; /* where the last event ended */
    reader->quiet = 0; /* whatever was wrong around it, this ends the reading */
    if (t.has_context)
        t.context = reader_byte(reader, &parser->context_mark);
    t.problem = reader_byte(reader, &parser->problem_mark);
    t.line = begin_of_line(reader, t.problem);
    t.line_end = end_of_text(reader, t.line);
    t.first = skip_blanks(reader, t.line);

    if (t.has_context && str_starts(parser->context, "while parsing a flow"))
        take_back(reader, t.context);
    /* What a silent comment has cut away is the likeliest cause of all that follows it. */
    bool scanning = t.has_context && str_starts(parser->context, "while scanning a quoted");
    if (hash_check(reader, known, scanning ? t.context : t.problem) != 0)
        return;
    for (size_t i = 0; i < sizeof sayings / sizeof *sayings; i++)
        if (str_starts(problem, sayings[i].problem)) {
            sayings[i].say(reader, &t);
            return;
        }
    struct diag *diag = reader_report(reader, DIAG_TREE_SYNTAX,
                                      reader_span(reader, t.problem, t.line_end),
                                      "this is not YAML (%s)", problem);
    hint(reader, diag,
         "look at quotes, colons, brackets and indentation here and in the line above");
}
