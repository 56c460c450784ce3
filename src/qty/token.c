/* token.c - the text of a quantity cut into numbers, words and marks, each with its place. */
#include "qty_private.h"
#include <string.h>

const double qty_powers[19] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8, 1e9,
                               1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* Marks longer than one byte, in UTF-8. */
static const struct {
    const char *bytes;
    enum token_kind kind;
} marks[] = {
    {"\xC2\xA0", TOKEN_END}, /* no-break space: a blank */
    {"\xE2\x80\x89", TOKEN_END}, /* thin space */
    {"\xE2\x80\xAF", TOKEN_END}, /* narrow no-break space */
    {"\xE2\x88\x92", TOKEN_MINUS}, /* U+2212 */
    {"\xE2\x80\x91", TOKEN_MINUS}, /* no-break hyphen */
    {"\xE2\x80\x90", TOKEN_MINUS}, /* hyphen */
    {"\xE2\x80\x93", TOKEN_DASH}, /* en dash */
    {"\xE2\x80\x94", TOKEN_DASH}, /* em dash */
    {"\xE2\x80\xA6", TOKEN_DASH}, /* ellipsis */
    {"\xE2\x81\x84", TOKEN_SLASH}, /* fraction slash */
    {"\xC2\xB1", TOKEN_PLUS_MINUS},
    {"\xC2\xB7", TOKEN_TIMES}, /* middle dot */
    {"\xE2\x8B\x85", TOKEN_TIMES}, /* dot operator */
    {"\xC3\x97", TOKEN_TIMES}, /* multiplication sign */
    {"\xE2\x89\xA4", TOKEN_COMPARE},
    {"\xE2\x89\xA5", TOKEN_COMPARE},
    {"<=", TOKEN_COMPARE},
    {">=", TOKEN_COMPARE},
    {"..", TOKEN_DOTS},
    {"<", TOKEN_COMPARE},
    {">", TOKEN_COMPARE},
    {"/", TOKEN_SLASH},
    {".", TOKEN_DOT},
    {"-", TOKEN_MINUS},
    {"~", TOKEN_DASH},
    {"+", TOKEN_PLUS},
    {",", TOKEN_COMMA},
    {"(", TOKEN_OPEN},
    {")", TOKEN_CLOSE},
    {"*", TOKEN_TIMES},
};

static size_t mark_at(const char *text, enum token_kind *kind)
{
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
        size_t length = strlen(marks[i].bytes);
        if (strncmp(text, marks[i].bytes, length) == 0) {
            *kind = marks[i].kind;
            return length;
        }
    }
    return 0;
}

/* Digits with at most one point; a point before another point belongs to `..`. */
static size_t number_at(const char *text, struct token *token)
{
    size_t at = 0;
    int digits = 0;

    for (; is_digit(text[at]) || (text[at] == '.' && !token->decimal && is_digit(text[at + 1]));
         at++) {
        if (text[at] == '.') {
            token->decimal = true;
            continue;
        }
        if (token->mantissa > 0 || text[at] != '0')
            digits++;
        if (digits > 18) {
            token->too_long = true;
            continue;
        }
        token->mantissa = token->mantissa * 10 + (text[at] - '0');
        token->places += token->decimal;
    }
    if (token->places > 18)
        token->too_long = true;
    return at;
}

/* A run of letters, and of whatever is neither digit, blank nor mark; digits may follow letters.
 * Minute and inch marks, percent and signs of money stand alone. */
static size_t word_at(const char *text)
{
    static const char *const single[] = {"'",
                                         "\"",
                                         "%",
                                         "$",
                                         "\xC2\xA3",
                                         "\xE2\x82\xAC",
                                         "\xE2\x80\xB2",
                                         "\xE2\x80\xB3",
                                         "\xE2\x80\x99",
                                         "\xE2\x80\x9D"};
    size_t at = 0;
    enum token_kind kind;

    for (size_t i = 0; i < sizeof single / sizeof *single; i++)
        if (strncmp(text, single[i], strlen(single[i])) == 0)
            return strlen(single[i]);
    if (strncmp(text, "\xC2\xB0", 2) == 0)
        at = 2;
    while (is_letter(text[at]) ||
           (at > 0 && is_digit(text[at]) &&
            (is_letter(text[at - 1]) || is_digit(text[at - 1]) || text[at - 1] == '^')) ||
           (at > 0 && text[at] == '^') ||
           ((unsigned char)text[at] >= 0x80 && strncmp(text + at, "\xC2\xB0", 2) != 0 &&
            strncmp(text + at, "\xE2\x80", 2) != 0 && strncmp(text + at, "\xC2\xA3", 2) != 0 &&
            mark_at(text + at, &kind) == 0))
        at++;
    return at;
}

static bool is_blank(const char *text, size_t *length)
{
    enum token_kind kind;

    if (*text == ' ' || *text == '\t' || *text == '\n' || *text == '\r') {
        *length = 1;
        return true;
    }
    if ((unsigned char)*text < 0x80)
        return false;
    *length = mark_at(text, &kind);
    return *length > 0 && kind == TOKEN_END;
}

static size_t token_at(const char *text, struct token *token)
{
    size_t length;

    if (is_digit(*text) || (*text == '.' && is_digit(text[1]))) {
        token->kind = TOKEN_NUMBER;
        return number_at(text, token);
    }
    length = mark_at(text, &token->kind);
    if (length > 0)
        return length;
    token->kind = TOKEN_WORD;
    length = word_at(text);
    if (length > 0)
        return length;
    token->kind = TOKEN_OTHER;
    return 1;
}

bool token_scan(const char *text, struct token *tokens, size_t *count)
{
    size_t at = 0, length;
    bool blank = false;

    *count = 0;
    for (;;) {
        struct token token = {.kind = TOKEN_END};
        while (is_blank(text + at, &length)) {
            at += length;
            blank = true;
        }
        token.begin = at;
        token.blank_before = blank;
        if (text[at] != '\0')
            at += token_at(text + at, &token);
        token.end = at;
        blank = false;
        tokens[(*count)++] = token;
        if (token.kind == TOKEN_END)
            return true;
        if (*count == TOKENS_MOST)
            return false;
    }
}

/* One word with ° and µ, superscripts and ^ written in ASCII, then in its short form. */
static bool add_word(const char *text, const struct token *token, char *phrase)
{
    char word[UNIT_PHRASE_BYTES];
    size_t length = 0;

    for (size_t at = token->begin; at < token->end; at++) {
        const char *bytes = text + at, *ascii = NULL;
        if (strncmp(bytes, "\xC2\xB0", 2) == 0)
            ascii = "deg";
        else if (strncmp(bytes, "\xC2\xB5", 2) == 0 || strncmp(bytes, "\xCE\xBC", 2) == 0)
            ascii = "u";
        else if (strncmp(bytes, "\xC2\xB2", 2) == 0)
            ascii = "2";
        else if (strncmp(bytes, "\xC2\xB3", 2) == 0)
            ascii = "3";
        else if (*bytes == '^')
            continue;
        if (length + 4 >= sizeof word)
            return false;
        if (ascii != NULL) {
            memcpy(word + length, ascii, strlen(ascii));
            length += strlen(ascii);
            at++;
        } else {
            word[length++] = *bytes;
        }
    }
    word[length] = '\0';
    const char *shortest = unit_word(word);
    if (strlen(phrase) + strlen(shortest) + 1 >= UNIT_PHRASE_BYTES)
        return false;
    strcat(phrase, shortest);
    return true;
}

bool token_phrase(const char *text, const struct token *tokens, size_t first, size_t end,
                  char phrase[UNIT_PHRASE_BYTES])
{
    bool joined = true; /* by a slash, or at the beginning: no blank */

    *phrase = '\0';
    for (size_t i = first; i < end; i++) {
        const struct token *token = &tokens[i];
        size_t length = strlen(phrase);
        bool slash = token->kind == TOKEN_SLASH ||
                     (token->kind == TOKEN_WORD && token->end - token->begin == 3 &&
                      strncmp(text + token->begin, "per", 3) == 0);
        if (length + 2 >= UNIT_PHRASE_BYTES)
            return false;
        if (slash) {
            strcat(phrase, "/");
            joined = true;
        } else if (token->kind == TOKEN_NUMBER) {
            if (i != first || token->mantissa != 1 || token->decimal)
                return false;
            strcat(phrase, "1"); /* 1/K */
        } else if (token->kind == TOKEN_WORD) {
            if (!joined)
                strcat(phrase, " ");
            if (!add_word(text, token, phrase))
                return false;
            joined = false;
        } else if (token->kind != TOKEN_MINUS && token->kind != TOKEN_DOT &&
                   token->kind != TOKEN_TIMES) {
            return false;
        }
    }
    return *phrase != '\0';
}
