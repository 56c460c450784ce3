/* read.c - the forms that a value takes: one, limits, size, class, one side, unknown, and a pair. */
#include "qty_private.h"
#include <string.h>

static const struct token *here(const struct reader *r)
{
    return &r->tokens[r->at];
}

/* Where the part that is read ends, in bytes. */
static size_t last_byte(const struct reader *r)
{
    return r->tokens[r->end > 0 ? r->end - 1 : 0].end;
}

static bool require(struct reader *r, enum qty_take take, size_t begin, const char *what)
{
    if (r->takes & take)
        return true;
    bool one = r->takes & QTY_TAKE_ONE;
    return reader_fail(
        r, QTY_FAULT_FORM, begin, last_byte(r),
        str_print(r->arena, "%s, where %s is due", what, one ? "one figure" : "a pair of limits"),
        str_print(r->arena, "write %s, %s", one ? "one figure" : "limits such as 0.010..0.015 in",
                  one ? reader_examples(r->dim) : "low first"),
        NULL);
}

static bool refuse_rest(struct reader *r)
{
    if (r->at == r->end)
        return true;
    const struct token *token = here(r);
    return reader_fail(
        r, QTY_FAULT_SYNTAX, token->begin, last_byte(r),
        str_print(r->arena, "'%s' does not belong to %s",
                  reader_slice(r, token->begin, last_byte(r)), reader_a(r->dim)),
        str_print(r->arena, "a value is %s", reader_examples(r->dim) + strlen("such as ")), NULL);
}

/* --- limits --- */

static const struct qty_unit *last_unit(const struct amounts *amounts)
{
    return amounts->parts[amounts->count - 1].unit;
}

static bool has_unit(const struct amounts *amounts)
{
    return amounts->parts[0].unit_end > amounts->parts[0].unit_first;
}

/* The number of an end with its sign, without unit. */
static char *end_number(const struct reader *r, const struct amounts *amounts)
{
    return reader_slice(r, amounts->begin, amounts->parts[amounts->count - 1].number.end);
}

/* "low..high unit" from two ends as they are written; `swap` puts the second first. */
static char *as_limits(const struct reader *r, const struct amounts *first,
                       const struct amounts *second, bool swap)
{
    const struct amounts *low = swap ? second : first, *high = swap ? first : second;
    const struct part *unit = has_unit(second) ? &second->parts[second->count - 1] : NULL;

    if (first->count > 1 || second->count > 1)
        return str_print(r->arena, "%s..%s", reader_slice(r, low->begin, low->end),
                         reader_slice(r, high->begin, high->end));
    return str_print(r->arena, "%s..%s%s%s", end_number(r, low), end_number(r, high),
                     unit == NULL ? "" : " ",
                     unit == NULL ? ""
                                  : reader_slice(r, r->tokens[unit->unit_first].begin,
                                                 r->tokens[unit->unit_end - 1].end));
}

static const char *unit_words(const struct part *part)
{
    return part->unit ? part->unit->name : "no unit"; /* of a ratio or a count */
}

static bool settle_limits(struct reader *r, struct amounts *low, struct amounts *high,
                          struct qty_value *value)
{
    const char *found = reader_slice(r, low->begin, high->end);

    if (!amounts_units(r, high, NULL))
        return false;
    if (!amounts_units(r, low, high->count == 1 ? last_unit(high) : NULL))
        return false;
    if (low->parts[0].unit != high->parts[0].unit)
        return reader_fail(r, QTY_FAULT_TWO_UNITS, low->begin, high->end,
                           str_print(r->arena, "'%s' has %s at one end and %s at the other", found,
                                     unit_words(&low->parts[0]), unit_words(&high->parts[0])),
                           "give both ends in one unit; the other system follows in ( )", NULL);
    if (!amounts_settle(r, low, &value->low) || !amounts_settle(r, high, &value->high))
        return false;
    if (qty_compare(value->low, value->high) > 0 && strstr(found, "...")) /* 25 .. .26 */
        return reader_fail(r, QTY_FAULT_HIGH_FIRST, low->begin, high->end,
                           "limits are written with two points", NULL,
                           str_print(r->arena, "%s..%s", reader_slice(r, low->begin, low->end),
                                     reader_slice(r, high->begin + 1, high->end)));
    if (qty_compare(value->low, value->high) > 0)
        return reader_fail(r, QTY_FAULT_HIGH_FIRST, low->begin, high->end,
                           str_print(r->arena, "'%s' has its high end first", found), NULL,
                           as_limits(r, low, high, true));
    value->nominal = value->low;
    value->kind = QTY_LIMITS;
    return require(r, QTY_TAKE_LIMITS, low->begin, "limits stand");
}

static bool read_limits(struct reader *r, struct amounts *low, struct qty_value *value)
{
    struct amounts high;
    size_t dots = r->at++;

    if (r->at == r->end) { /* 2200.. */
        if (!(r->takes & QTY_TAKE_OPEN))
            return reader_fail(r, QTY_FAULT_OPEN_END, r->tokens[dots].begin, r->tokens[dots].end,
                               "the limits have no upper end", "write both ends, or 'at least'",
                               NULL);
        value->kind = QTY_AT_LEAST;
        return amounts_units(r, low, NULL) && amounts_settle(r, low, &value->low);
    }
    return amounts_read(r, &high) && refuse_rest(r) && settle_limits(r, low, &high, value);
}

/* ..2199 */
static bool read_open_low(struct reader *r, struct qty_value *value)
{
    struct amounts high;
    size_t dots = r->at++;

    if (!(r->takes & QTY_TAKE_OPEN))
        return reader_fail(r, QTY_FAULT_OPEN_END, r->tokens[dots].begin, r->tokens[dots].end,
                           "the limits have no lower end",
                           r->takes & QTY_TAKE_SIDED ? NULL : "write both ends",
                           r->takes & QTY_TAKE_SIDED ? "at most " : NULL);
    value->kind = QTY_AT_MOST;
    return amounts_read(r, &high) && refuse_rest(r) && amounts_units(r, &high, NULL) &&
           amounts_settle(r, &high, &value->high);
}

/* .6250/.6255 in: either way round. */
static bool read_stroke_pair(struct reader *r, struct amounts *first, struct qty_value *value)
{
    struct amounts second;

    r->at++;
    if (!amounts_read(r, &second) || !refuse_rest(r))
        return false;
    if (first->is_signed || second.is_signed || second.count != 1 || first->parts[0].number.mixed)
        return reader_fail(r, QTY_FAULT_SYNTAX, first->begin, second.end,
                           "a pair with a stroke is two plain decimals", NULL,
                           as_limits(r, first, &second, false));
    struct qty *one = &value->low, *other = &value->high;
    if (!amounts_units(r, &second, NULL) || !amounts_units(r, first, last_unit(&second)) ||
        !amounts_settle(r, first, one) || !amounts_settle(r, &second, other))
        return false;
    if (qty_compare(*one, *other) > 0) {
        struct qty high = *one;
        *one = *other;
        *other = high;
    }
    value->nominal = value->low;
    value->kind = QTY_LIMITS;
    return require(r, QTY_TAKE_LIMITS, first->begin, "limits stand");
}

/* 0.010-0.015 in, 10 – 15, 0.010 to 0.015: what was meant is written with two points. */
static bool refuse_range_mark(struct reader *r, const struct amounts *first)
{
    const struct token *mark = here(r);
    struct amounts second;
    const char *fix = NULL;
    size_t end = last_byte(r);
    struct qty_error kept = *r->error;

    r->at++;
    if (amounts_read(r, &second)) {
        const struct number *a = &first->parts[0].number, *b = &second.parts[0].number;
        bool high_first = first->count == 1 && second.count == 1 && !first->is_signed &&
                          number_value(a) > number_value(b);
        if (high_first && !a->decimal && a->below == 0 && b->below > b->above &&
            mark->kind != TOKEN_WORD) /* 1 – 1/2: a mixed number in print */
            fix = str_print(r->arena, "%s %s", reader_slice(r, first->begin, a->end),
                            reader_slice(r, second.begin, second.end));
        else
            fix = as_limits(r, first, &second, high_first);
        end = second.end;
    }
    *r->error = kept;
    return reader_fail(r, QTY_FAULT_RANGE_MARK, first->begin, end,
                       str_print(r->arena, "'%s' between two numbers; limits are written with '..'",
                                 reader_slice(r, mark->begin, mark->end)),
                       NULL, fix);
}

/* --- sizes --- */

static bool fail_tolerance(struct reader *r, size_t begin, const char *message, const char *fix)
{
    return reader_fail(
        r, QTY_FAULT_TOLERANCE, begin, last_byte(r), message,
        fix == NULL ? "write such as 25.000 mm +0.009/-0.004, or 1.250 in ±0.0005" : NULL, fix);
}

struct deviation {
    struct number number;
    bool negative;
    size_t begin, end;
};

/* A signed number; 0 needs no sign. */
static bool read_deviation(struct reader *r, struct deviation *deviation, bool bare)
{
    size_t begin = here(r)->begin;
    bool is_signed = reader_kind(r, r->at) == TOKEN_PLUS || reader_kind(r, r->at) == TOKEN_MINUS;

    deviation->negative = reader_kind(r, r->at) == TOKEN_MINUS;
    deviation->begin = begin;
    if (is_signed)
        r->at++;
    if (reader_kind(r, r->at) != TOKEN_NUMBER)
        return fail_tolerance(r, begin, "a tolerance has a number here", NULL);
    size_t end = r->end;
    if (reader_kind(r, r->at + 1) == TOKEN_SLASH && reader_kind(r, r->at + 2) == TOKEN_NUMBER &&
        r->tokens[r->at + 2].mantissa == 0)
        r->end = r->at + 1; /* +0.02/0 is two deviations, no fraction */
    if (!number_read(r, &deviation->number))
        return false;
    r->end = end;
    deviation->end = deviation->number.end;
    if (!is_signed && !bare && number_value(&deviation->number) != 0)
        return fail_tolerance(r, begin, "each part of a tolerance has its sign", NULL);
    return true;
}

/* Nothing but blanks may follow; the unit again is offered to be left out. */
static bool end_tolerance(struct reader *r, size_t begin, const struct qty_unit *unit)
{
    char phrase[UNIT_PHRASE_BYTES];

    if (r->at == r->end)
        return true;
    const char *fix = NULL;
    if (token_phrase(r->text, r->tokens, r->at, r->end, phrase) &&
        unit_of_phrase(phrase, r->dim) == unit)
        fix = reader_slice(r, begin, r->tokens[r->at - 1].end);
    return fail_tolerance(r, begin, "a tolerance takes the unit before it and has none of its own",
                          fix);
}

static bool read_deviations(struct reader *r, struct deviation *upper, struct deviation *lower)
{
    size_t begin = here(r)->begin;

    if (reader_kind(r, r->at) == TOKEN_PLUS_MINUS) {
        r->at++;
        if (!read_deviation(r, upper, true))
            return false;
        *lower = *upper;
        lower->negative = true;
        return true;
    }
    if (reader_kind(r, r->at) == TOKEN_PLUS && reader_kind(r, r->at + 1) == TOKEN_SLASH &&
        reader_kind(r, r->at + 2) == TOKEN_MINUS)
        return fail_tolerance(
            r, begin, "'+/-' is written '±'",
            str_print(r->arena, "±%s", reader_slice(r, r->tokens[r->at + 3].begin, last_byte(r))));
    if (!read_deviation(r, upper, false))
        return false;
    bool stroke = reader_kind(r, r->at) == TOKEN_SLASH;
    if (stroke)
        r->at++;
    else if (r->at == r->end)
        return fail_tolerance(r, begin, "a tolerance has two parts",
                              str_print(r->arena, upper->negative ? "+0/%s" : "%s/-0",
                                        reader_slice(r, begin, upper->end)));
    if (!read_deviation(r, lower, false))
        return false;
    const char *second = reader_slice(r, lower->begin, lower->end);
    if (!stroke)
        return fail_tolerance(
            r, begin, "the parts of a tolerance are set apart by '/'",
            str_print(r->arena, "%s/%s", reader_slice(r, begin, upper->end), second));
    return true;
}

static bool read_size(struct reader *r, struct amounts *nominal, struct qty_value *value)
{
    struct deviation upper, lower;
    struct qty high, low;
    size_t begin = here(r)->begin;

    if (!has_unit(nominal) && r->dim != QTY_COUNT && r->dim != QTY_RATIO) { /* 25 ±0.02 mm */
        const char *number = reader_slice(r, nominal->begin, nominal->end);
        size_t words = r->at;
        while (words < r->end && r->tokens[words].kind != TOKEN_WORD)
            words++;
        const char *fix = words == r->end
                              ? NULL
                              : str_print(r->arena, "%s %s %s", number,
                                          reader_slice(r, r->tokens[words].begin, last_byte(r)),
                                          reader_slice(r, begin, r->tokens[words - 1].end));
        return fail_tolerance(r, nominal->begin, "the unit stands before the tolerance", fix);
    }
    if (!amounts_units(r, nominal, NULL) || !amounts_settle(r, nominal, &value->nominal))
        return false;
    const struct qty_unit *unit = last_unit(nominal);
    if (!read_deviations(r, &upper, &lower) || !end_tolerance(r, begin, unit))
        return false;
    if (!number_deviation(r, &upper.number, upper.negative, unit, &high) ||
        !number_deviation(r, &lower.number, lower.negative, unit, &low))
        return false;
    if (low.si > high.si)
        return fail_tolerance(r, begin, "the lower part of the tolerance stands first",
                              str_print(r->arena, "%s/%s", reader_slice(r, lower.begin, lower.end),
                                        reader_slice(r, upper.begin, upper.end)));
    high.exact += value->nominal.exact;
    low.exact += value->nominal.exact;
    high.si = r->dim == QTY_LENGTH ? (double)high.exact / 1e12 : high.si + value->nominal.si;
    low.si = r->dim == QTY_LENGTH ? (double)low.exact / 1e12 : low.si + value->nominal.si;
    if (high.places < value->nominal.places)
        high.places = value->nominal.places;
    if (low.places < value->nominal.places)
        low.places = value->nominal.places;
    value->high = high;
    value->low = low;
    value->kind = QTY_SIZE;
    return require(r, QTY_TAKE_SIZE, nominal->begin, "a size with its tolerance stands");
}

/* A letter or two of ISO 286 in one case, then a grade 01, 0 to 18. */
static bool is_class(const char *word, size_t length)
{
    static const char letters[] =
        " a b c cd d e ef f fg g h js j k m n p r s t u v x y z za zb zc ";
    static const char grades[] = " 01 0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 ";
    char name[5] = " ", grade[5] = " ";
    size_t i = 0, capitals = 0, n = 1;

    for (; i < length && i < 2 && (word[i] | 32) >= 'a' && (word[i] | 32) <= 'z'; i++) {
        capitals += word[i] < 'a';
        name[n++] = (char)(word[i] | 32);
    }
    if (i == 0 || (capitals != 0 && capitals != i) || length - i < 1 || length - i > 2)
        return false;
    name[n] = ' ';
    for (n = 1; i < length; i++)
        grade[n++] = word[i];
    grade[n] = ' ';
    return strstr(letters, name) != NULL && strstr(grades, grade) != NULL;
}

/* 62 mm M6: the last word of what looked like the unit is a class. */
static bool take_class(struct reader *r, struct amounts *amounts, struct qty_value *value)
{
    struct part *part = &amounts->parts[amounts->count - 1];
    char phrase[UNIT_PHRASE_BYTES];
    size_t last = part->unit_end - 1;
    const struct token *token = &r->tokens[last];

    if ((r->dim != QTY_LENGTH && r->dim != QTY_NONE) || part->unit_end < part->unit_first + 2 ||
        !token->blank_before || !is_class(r->text + token->begin, token->end - token->begin) ||
        !token_phrase(r->text, r->tokens, part->unit_first, last, phrase) ||
        unit_of_phrase(phrase, QTY_LENGTH) == NULL)
        return false;
    value->class = reader_slice(r, token->begin, token->end);
    part->unit_end = last;
    amounts->end = r->tokens[last - 1].end;
    return true;
}

static bool finish_one(struct reader *r, struct amounts *amounts, struct qty_value *value)
{
    bool class = take_class(r, amounts, value);

    if (!amounts_units(r, amounts, NULL) || !amounts_settle(r, amounts, &value->nominal))
        return false;
    value->low = value->high = value->nominal;
    value->kind = class ? QTY_CLASS : QTY_ONE;
    if (class)
        return require(r, QTY_TAKE_SIZE, amounts->begin, "a tolerance class stands");
    return require(r, QTY_TAKE_ONE, amounts->begin, "one figure stands");
}

/* --- everything but the pair --- */

/* Does a minus behind a value begin a deviation? It is stuck to its number, and a stroke or nothing
 * follows. */
static bool is_lower_deviation(const struct reader *r)
{
    enum token_kind after = reader_kind(r, r->at + 2);

    return reader_kind(r, r->at) == TOKEN_MINUS && r->tokens[r->at].blank_before &&
           reader_kind(r, r->at + 1) == TOKEN_NUMBER && !r->tokens[r->at + 1].blank_before &&
           (after == TOKEN_SLASH || after == TOKEN_END || after == TOKEN_PLUS);
}

static bool read_figures(struct reader *r, struct qty_value *value)
{
    struct amounts amounts;

    if (reader_kind(r, r->at) == TOKEN_DOTS)
        return read_open_low(r, value);
    if (!amounts_read(r, &amounts))
        return false;
    switch (reader_kind(r, r->at)) {
    case TOKEN_END:
        return finish_one(r, &amounts, value);
    case TOKEN_DOTS:
        return read_limits(r, &amounts, value);
    case TOKEN_SLASH:
        if (!has_unit(&amounts) && reader_kind(r, r->at + 1) == TOKEN_NUMBER)
            return read_stroke_pair(r, &amounts, value);
        break;
    case TOKEN_PLUS:
    case TOKEN_PLUS_MINUS:
    case TOKEN_NUMBER:
        return read_size(r, &amounts, value);
    case TOKEN_MINUS:
        if (is_lower_deviation(r))
            return read_size(r, &amounts, value);
        if (reader_kind(r, r->at + 1) == TOKEN_NUMBER)
            return refuse_range_mark(r, &amounts);
        break;
    case TOKEN_DASH:
        return refuse_range_mark(r, &amounts);
    case TOKEN_WORD:
        if (reader_word_is(r, r->at, "to"))
            return refuse_range_mark(r, &amounts);
        break;
    default:
        break;
    }
    return refuse_rest(r);
}

static bool read_sided(struct reader *r, bool least, struct qty_value *value)
{
    struct amounts amounts;
    size_t begin = here(r)->begin;

    r->at += 2;
    if (!amounts_read(r, &amounts) || !refuse_rest(r) || !amounts_units(r, &amounts, NULL) ||
        !amounts_settle(r, &amounts, least ? &value->low : &value->high))
        return false;
    value->kind = least ? QTY_AT_LEAST : QTY_AT_MOST;
    value->nominal = least ? value->low : value->high;
    return require(r, QTY_TAKE_SIDED, begin, "a one-sided limit stands");
}

/* >= 0.25 mm, max 4 thou, up to 5 mm: the words that mean the same. */
static bool refuse_side_mark(struct reader *r)
{
    static const struct {
        const char *mark, *words;
    } rows[] = {
        {"<", "at most"},       {"<=", "at most"},       {"≤", "at most"},     {"max", "at most"},
        {"maximum", "at most"}, {">", "at least"},       {">=", "at least"},   {"≥", "at least"},
        {"min", "at least"},    {"minimum", "at least"}, {"over", "at least"}, {"under", "at most"},
    };
    const struct token *token = here(r);
    const char *mark = reader_slice(r, token->begin, token->end);

    size_t next = r->at + 1 + (reader_kind(r, r->at + 1) == TOKEN_DOT); /* max. */
    if (reader_kind(r, next) == TOKEN_END)
        return true;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (strcmp(mark, rows[i].mark) == 0)
            return reader_fail(r, QTY_FAULT_SIDE_MARK, token->begin, last_byte(r),
                               str_print(r->arena, "'%s' is written '%s'", mark, rows[i].words),
                               NULL,
                               str_print(r->arena, "%s %s", rows[i].words,
                                         reader_slice(r, r->tokens[next].begin, last_byte(r))));
    return true;
}

/* £9.80, GBP 9.80 */
static bool refuse_money_first(struct reader *r)
{
    const struct token *token = here(r);
    const char *word = reader_slice(r, token->begin, token->end);
    const char *code = strcmp(word, "£") == 0 ? "GBP" : strcmp(word, "€") == 0 ? "EUR" : word;
    bool dollar = strcmp(word, "$") == 0;

    if (reader_kind(r, r->at + 1) != TOKEN_NUMBER ||
        (!dollar && unit_of_phrase(code, QTY_MONEY) == NULL))
        return true;
    const char *amount = reader_slice(r, r->tokens[r->at + 1].begin, last_byte(r));
    return reader_fail(
        r, QTY_FAULT_CURRENCY, token->begin, last_byte(r),
        str_print(r->arena,
                  "'%s' stands first; the three letters of the currency follow the amount", word),
        dollar ? str_print(r->arena, "write %s USD, CAD or AUD, whichever is meant", amount) : NULL,
        dollar ? NULL : str_print(r->arena, "%s %s", amount, code));
}

static bool read_plain(struct reader *r, struct qty_value *value)
{
    size_t begin = here(r)->begin;

    if (r->at == r->end)
        return reader_fail(
            r, QTY_FAULT_SYNTAX, begin, begin,
            str_print(r->arena, "nothing stands where %s is due", reader_a(r->dim)),
            str_print(r->arena, "write %s, %s", reader_a(r->dim), reader_examples(r->dim)), NULL);
    if (r->end - r->at == 1 && reader_word_is(r, r->at, "unknown")) {
        value->kind = QTY_UNKNOWN;
        r->at++;
        return require(r, QTY_TAKE_UNKNOWN, begin, "'unknown' stands");
    }
    if (reader_word_is(r, r->at, "at") &&
        (reader_word_is(r, r->at + 1, "least") || reader_word_is(r, r->at + 1, "most")))
        return read_sided(r, reader_word_is(r, r->at + 1, "least"), value);
    if (!refuse_side_mark(r) || !refuse_money_first(r))
        return false;
    enum token_kind kind = reader_kind(r, r->at);
    if (kind == TOKEN_DASH && reader_kind(r, r->at + 1) == TOKEN_NUMBER &&
        !str_equal(reader_slice(r, here(r)->begin, here(r)->end), "~")) /* about */
        return reader_fail(r, QTY_FAULT_SYNTAX, here(r)->begin, here(r)->end,
                           "a dash stands where a minus is due", NULL, "-");
    struct number vulgar;
    if (kind == TOKEN_WORD && !number_read(r, &vulgar) && r->error->fix != NULL)
        return false; /* ½ in */
    *r->error = (struct qty_error){.fault = QTY_OK};
    if (kind != TOKEN_NUMBER && kind != TOKEN_MINUS && kind != TOKEN_PLUS && kind != TOKEN_DOTS)
        return reader_fail(
            r, QTY_FAULT_SYNTAX, begin, last_byte(r),
            str_print(r->arena, "'%s' is not %s", reader_slice(r, begin, last_byte(r)),
                      reader_a(r->dim)),
            str_print(r->arena, "write %s, %s", reader_a(r->dim), reader_examples(r->dim)), NULL);
    return read_figures(r, value);
}

/* --- the printed pair --- */

static bool same_form(const struct qty_value *a, const struct qty_value *b)
{
    if (a->kind == b->kind)
        return true;
    /* at most 4 thou (0.10 mm): the words need not be said twice */
    return b->kind == QTY_ONE &&
           (a->kind == QTY_AT_MOST || a->kind == QTY_AT_LEAST || a->kind == QTY_CLASS);
}

/* " is 57.150 mm", in the unit of the second; nothing for limits, which print inward. */
static const char *converted(struct arena *arena, const struct qty_value *first,
                             const struct qty_value *second)
{
    const struct qty *to = &second->nominal;

    if (first->kind != QTY_ONE || second->kind != QTY_ONE || to->unit == NULL)
        return "";
    return str_print(arena, " is %s",
                     qty_print(arena, first->nominal, to->unit, to->places + 1, QTY_NEAREST));
}

static bool read_pair(struct reader *r, size_t open, struct qty_value *value)
{
    struct qty_value *second = ARENA_NEW(r->arena, struct qty_value);
    size_t begin = r->tokens[open].begin, whole = r->tokens[0].begin;
    enum qty_dim dim = r->dim;

    r->at = open + 1;
    r->takes |= QTY_TAKE_ONE | QTY_TAKE_LIMITS | QTY_TAKE_SIZE | QTY_TAKE_SIDED;
    while (reader_kind(r, r->end) != TOKEN_CLOSE && r->tokens[r->end].kind != TOKEN_CLOSE &&
           r->tokens[r->end].kind != TOKEN_END)
        r->end++;
    if (r->tokens[r->end].kind != TOKEN_CLOSE || r->tokens[r->end + 1].kind != TOKEN_END)
        return reader_fail(r, QTY_FAULT_SYNTAX, begin, r->tokens[r->end].end,
                           "a bracket is not closed, or something follows it", NULL, NULL);
    if (!read_plain(r, second))
        return false;
    size_t end = r->tokens[r->end].end;
    second->text = reader_slice(r, r->tokens[open + 1].begin, r->tokens[r->end].begin);
    if (!same_form(value, second))
        return reader_fail(r, QTY_FAULT_PAIR_FORM, begin, end,
                           "the value in brackets is of another form than the one before it",
                           "a pair is one and one, limits and limits, a size and a size", NULL);
    value->printed = second;
    r->dim = dim;
    const char *slip = NULL;
    if (pair_agrees(value, second, &slip))
        return true;
    value->pair_disagrees = true;
    reader_fail(r, QTY_FAULT_PAIR, whole, end,
                str_print(r->arena, "%s%s, but %s stands beside it%s%s",
                          reader_slice(r, whole, r->tokens[open - 1].end),
                          converted(r->arena, value, second), second->text,
                          slip == NULL ? "" : "; ", slip == NULL ? "" : slip),
                "mend the misprint, or say believe: first or second, with because", NULL);
    return false;
}

/* The lowest that the value may be. */
static const struct qty *lowest(const struct qty_value *value)
{
    return value->kind == QTY_AT_MOST ? &value->high : &value->low;
}

static bool check_sign(struct reader *r, const struct qty_value *value)
{
    size_t begin = r->tokens[0].begin, end = last_byte(r);
    bool dash = reader_kind(r, 0) == TOKEN_MINUS && value->kind == QTY_ONE;

    if (!(r->takes & QTY_TAKE_POSITIVE) || value->kind == QTY_UNKNOWN ||
        lowest(value)->dim == QTY_TEMPERATURE || lowest(value)->si >= 0)
        return true;
    return reader_fail(r, QTY_FAULT_NEGATIVE, begin, end,
                       str_print(r->arena, "'%s' is below zero", reader_slice(r, begin, end)),
                       dash ? NULL : "write what is above zero",
                       dash ? reader_slice(r, r->tokens[1].begin, end) : NULL);
}

bool qty_read(struct arena *arena, const char *text, enum qty_dim dim, unsigned takes,
              struct qty_value *value, struct qty_error *error)
{
    struct token tokens[TOKENS_MOST + TOKENS_AHEAD] = {0};
    struct reader r = {
        .arena = arena, .text = text, .dim = dim, .takes = takes, .tokens = tokens, .error = error};
    size_t count, open = 0;

    *value = (struct qty_value){.text = str_copy(arena, text)};
    *error = (struct qty_error){.fault = QTY_OK};
    if (strlen(text) > TEXT_MOST || !token_scan(text, tokens, &count))
        return reader_fail(&r, QTY_FAULT_SYNTAX, 0, strlen(text), "this is too long for a quantity",
                           NULL, NULL);
    size_t last = count - 1;
    while (open < last && tokens[open].kind != TOKEN_OPEN)
        open++;
    r.end = open;
    bool ok = read_plain(&r, value) && check_sign(&r, value);
    if (ok && open < last)
        ok = open == 0 || value->kind == QTY_UNKNOWN
                 ? reader_fail(&r, QTY_FAULT_PAIR_FORM, tokens[open].begin, tokens[last - 1].end,
                               "a bracket stands where nothing can be paired", NULL, NULL)
                 : read_pair(&r, open, value);
    value->note = r.note;
    return ok || error->fault == QTY_FAULT_PAIR;
}
