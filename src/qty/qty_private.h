/* qty_private.h - what the files of src/qty share: rows of the unit table and tokens of a text. */
#ifndef GUDGEON_QTY_PRIVATE_H
#define GUDGEON_QTY_PRIVATE_H

#include <gudgeon/qty.h>

/* A unit with what only this module needs. `unit` is first, so that a unit found is its row. */
struct unit_row {
    struct qty_unit unit;
    int places; /* decimals that a workshop prints */
    const char *other; /* the unit of the other system, or NULL */
    const char *spellings; /* all phrases read as this unit, between '|' */
};
extern const struct unit_row unit_rows[];
extern const size_t unit_row_count;
extern const struct unit_row currency_rows[];
extern const size_t currency_row_count;

enum { UNIT_PHRASE_BYTES = 48 }; /* the longest unit is half of that */

/* A word of a unit as its short form: "inches" -> "in". The word itself if it has none. */
const char *unit_word(const char *word);
/* The row of a phrase already made of short forms; NULL if that dimension has no such unit. */
const struct qty_unit *unit_of_phrase(const char *phrase, enum qty_dim dim);
/* May `small` follow `large` in one value (ft in)? `most` of the small make one of the large. */
bool unit_is_compound(const struct qty_unit *large, const struct qty_unit *small, int *most);

enum token_kind {
    TOKEN_NUMBER, /* digits with at most one point */
    TOKEN_WORD, /* letters, with digits after them: mm2 */
    TOKEN_SLASH,
    TOKEN_DOTS, /* .. */
    TOKEN_DOT,
    TOKEN_MINUS, /* hyphen and U+2212 */
    TOKEN_DASH, /* en dash, em dash, ellipsis, ~: only ever meant as .. */
    TOKEN_PLUS,
    TOKEN_PLUS_MINUS,
    TOKEN_COMMA,
    TOKEN_OPEN,
    TOKEN_CLOSE,
    TOKEN_TIMES, /* middle dot, *, x between units */
    TOKEN_COMPARE, /* < > <= >= */
    TOKEN_OTHER,
    TOKEN_END,
};
struct token {
    enum token_kind kind;
    size_t begin, end;
    bool blank_before;
    bool decimal; /* a number with a point */
    int64_t mantissa; /* of a number: the digits; value = mantissa / 10^places */
    int places;
    bool too_long; /* more than 18 digits */
};
enum {
    TOKENS_MOST = 64,
    TOKENS_AHEAD = 4, /* looked at beyond the end */
    TEXT_MOST = 300, /* bytes of a quantity or crank position */
};

/* The tokens of `text`, the last one TOKEN_END; false when there are more than TOKENS_MOST. */
bool token_scan(const char *text, struct token *tokens, size_t *count);
/* The unit phrase of the tokens from `first` to before `end` in short forms; false if it does not
 * fit or is no phrase. */
bool token_phrase(const char *text, const struct token *tokens, size_t first, size_t end,
                  char phrase[UNIT_PHRASE_BYTES]);

extern const double qty_powers[19]; /* 10^0 .. 10^18 */

/* A number as written: mantissa / 10^places + above / below. */
struct number {
    int64_t mantissa;
    int places;
    bool decimal, mixed;
    int64_t above, below; /* below 0: no fraction */
    size_t begin, end; /* bytes */
};
struct part { /* a number with its unit */
    struct number number;
    size_t unit_first, unit_end; /* tokens; equal when there is none */
    const struct qty_unit *unit;
};
struct amounts { /* one signed value: 5 ft 3 in */
    bool negative, is_signed;
    struct part parts[2];
    size_t count;
    size_t begin, end; /* bytes */
};
struct reader {
    struct arena *arena;
    const char *text;
    enum qty_dim dim;
    unsigned takes;
    struct token *tokens;
    size_t at, end; /* tokens; the rest is not seen */
    struct qty_error *error;
    const char *note;
};

/* --- reader.c: looking ahead, failing --- */
enum token_kind reader_kind(const struct reader *r, size_t index);
bool reader_word_is(const struct reader *r, size_t index, const char *word);
char *reader_slice(const struct reader *r, size_t begin, size_t end);
/* Notes the first fault, always false. Hint and fix may be NULL; a fix alone makes the hint. */
bool reader_fail(struct reader *r, enum qty_fault fault, size_t begin, size_t end,
                 const char *message, const char *hint, const char *fix);
const char *reader_examples(enum qty_dim dim); /* "such as 0.010 in or 0.25 mm" */

const char *reader_a(enum qty_dim dim); /* "a length", "an angle" */

/* --- number.c --- */
bool number_read(struct reader *r, struct number *number);
double number_value(const struct number *number);
bool amounts_read(struct reader *r, struct amounts *amounts);
/* Units found, fractions and bounds checked, value made. A value without unit takes `unit`. */
bool amounts_units(struct reader *r, struct amounts *amounts, const struct qty_unit *unit);
bool amounts_settle(struct reader *r, const struct amounts *amounts, struct qty *qty);
/* A deviation in `unit`: no offset, so of a temperature it is a difference. */
bool number_deviation(struct reader *r, const struct number *number, bool negative,
                      const struct qty_unit *unit, struct qty *qty);

/* --- explain.c: why a phrase is no unit here --- */
bool unit_explain(struct reader *r, const struct part *part, const char *phrase);

/* --- pair.c --- */
/* Do the two say the same, end by end, within half a digit of each? If not, `slip` is what would
 * explain it, or NULL. */
bool pair_agrees(const struct qty_value *first, const struct qty_value *second, const char **slip);

#endif
