/* number.c - numbers with their units: whole, decimal, fraction, mixed, compound. */
#include "qty_private.h"
#include <math.h>
#include <string.h>

__extension__ typedef __int128 wide; /* 18 digits times picometres in a yard */

static const struct token *token_of(const struct reader *r, size_t index)
{
    return &r->tokens[index];
}

static bool is_whole(const struct reader *r, size_t index)
{
    return reader_kind(r, index) == TOKEN_NUMBER && !token_of(r, index)->decimal;
}

static size_t token_length(const struct token *token)
{
    return token->end - token->begin;
}

/* --- what a number must not be --- */

/* 1e3, 1.5E-3: the number written out is offered. */
static bool refuse_exponent(struct reader *r)
{
    const struct token *number = token_of(r, r->at), *word = number + 1;
    size_t end;
    int sign = 1;
    int64_t power;

    if (reader_kind(r, r->at + 1) != TOKEN_WORD || word->blank_before ||
        (r->text[word->begin] | 32) != 'e')
        return true;
    if (token_length(word) == 1 &&
        (reader_kind(r, r->at + 2) == TOKEN_MINUS || reader_kind(r, r->at + 2) == TOKEN_PLUS) &&
        is_whole(r, r->at + 3) && !word[1].blank_before && !word[2].blank_before) {
        sign = word[1].kind == TOKEN_MINUS ? -1 : 1;
        power = word[2].mantissa;
        end = word[2].end;
    } else if (token_length(word) > 1 &&
               str_to_int(reader_slice(r, word->begin + 1, word->end), &power)) {
        end = word->end;
    } else {
        return true;
    }
    const char *fix = NULL;
    if (power <= 12) {
        int places = number->places - sign * (int)power;
        double value = (double)number->mantissa / qty_powers[number->places];
        value = sign > 0 ? value * qty_powers[power] : value / qty_powers[power];
        fix = places <= 18 ? str_decimal(r->arena, value, places > 0 ? places : 0) : NULL;
    }
    return reader_fail(r, QTY_FAULT_EXPONENT, number->begin, end,
                       str_print(r->arena, "'%s' is a power of ten; numbers are written out",
                                 reader_slice(r, number->begin, end)),
                       NULL, fix);
}

/* ½ and its like are single letters of a font: written out, their size is plain. */
static bool refuse_vulgar(struct reader *r)
{
    static const struct {
        const char *sign, *is;
    } rows[] = {{"½", "1/2"}, {"¼", "1/4"}, {"¾", "3/4"}, {"⅛", "1/8"},
                {"⅜", "3/8"}, {"⅝", "5/8"}, {"⅞", "7/8"}};
    bool whole = is_whole(r, r->at);
    size_t at = r->at + whole;

    for (size_t i = 0; i < sizeof rows / sizeof *rows && reader_kind(r, at) == TOKEN_WORD; i++) {
        const struct token *token = token_of(r, at);
        size_t begin = token_of(r, r->at)->begin, end = token->begin + strlen(rows[i].sign);
        if (strncmp(r->text + token->begin, rows[i].sign, strlen(rows[i].sign)) != 0)
            continue;
        const char *number = whole ? reader_slice(r, begin, token_of(r, r->at)->end) : "";
        return reader_fail(r, QTY_FAULT_SYNTAX, begin, end,
                           str_print(r->arena, "'%s' is written '%s'", rows[i].sign, rows[i].is),
                           NULL,
                           str_print(r->arena, "%s%s%s", number, whole ? " " : "", rows[i].is));
    }
    return true;
}

static char *without_commas(const struct reader *r, size_t begin, size_t end, char instead)
{
    char *text = reader_slice(r, begin, end);
    size_t length = 0;

    for (size_t i = 0; text[i] != '\0'; i++) {
        if (text[i] == ',' && instead != '\0')
            text[length++] = instead;
        else if (text[i] != ',' && text[i] != ' ')
            text[length++] = text[i];
    }
    text[length] = '\0';
    return text;
}

/* 24,5 and 1,200: told apart by the groups of three that thousands have. */
static bool refuse_comma(struct reader *r)
{
    const struct token *first = token_of(r, r->at);
    size_t groups = 0, last = r->at;
    bool threes = !first->decimal && token_length(first) <= 3 && r->text[first->begin] != '0';

    while (reader_kind(r, last + 1) == TOKEN_COMMA && reader_kind(r, last + 2) == TOKEN_NUMBER &&
           !token_of(r, last + 1)->blank_before && !token_of(r, last + 2)->blank_before) {
        const struct token *group = token_of(r, last + 2);
        size_t whole = token_length(group) - (group->decimal ? (size_t)group->places + 1 : 0);
        threes = threes && whole == 3;
        groups++;
        last += 2;
    }
    if (groups == 0)
        return true;
    size_t begin = first->begin, end = token_of(r, last)->end;
    const char *found = reader_slice(r, begin, end);
    if (threes) {
        const char *plain = without_commas(r, begin, end, '\0');
        const char *hint =
            groups > 1 || token_of(r, last)->decimal
                ? NULL
                : str_print(r->arena, "write %s, or %s if the comma is a decimal one", plain,
                            without_commas(r, begin, end, '.'));
        return reader_fail(
            r, QTY_FAULT_THOUSANDS, begin, end,
            str_print(r->arena, "'%s' has a comma; thousands are not set apart", found), hint,
            plain);
    }
    return reader_fail(
        r, QTY_FAULT_DECIMAL_COMMA, begin, end,
        str_print(r->arena, "'%s' has a comma; decimals are written with a point", found), NULL,
        groups == 1 && !first->decimal ? without_commas(r, begin, end, '.') : NULL);
}

/* 1 200 rpm */
static bool refuse_blank_thousands(struct reader *r)
{
    size_t last = r->at;

    while (is_whole(r, last) && is_whole(r, last + 1) && token_of(r, last + 1)->blank_before &&
           token_length(token_of(r, last + 1)) == 3 && token_length(token_of(r, r->at)) <= 3 &&
           reader_kind(r, last + 2) != TOKEN_SLASH)
        last++;
    if (last == r->at)
        return true;
    size_t begin = token_of(r, r->at)->begin, end = token_of(r, last)->end;
    return reader_fail(r, QTY_FAULT_THOUSANDS, begin, end,
                       str_print(r->arena, "'%s' has a blank in it; thousands are not set apart",
                                 reader_slice(r, begin, end)),
                       NULL, without_commas(r, begin, end, '\0'));
}

/* --- numbers --- */

static bool read_fraction(struct reader *r, struct number *number)
{
    const struct token *above = token_of(r, r->at), *below = above + 2;

    if (above->decimal != below->decimal) {
        const struct token *low = above, *high = below;
        double a = (double)above->mantissa / qty_powers[above->places];
        double b = (double)below->mantissa / qty_powers[below->places];
        if (a > b)
            low = below, high = above;
        return reader_fail(r, QTY_FAULT_FRACTION_MIXTURE, above->begin, below->end,
                           str_print(r->arena, "'%s' is half a fraction and half a pair of limits",
                                     reader_slice(r, above->begin, below->end)),
                           NULL,
                           str_print(r->arena, "%s..%s", reader_slice(r, low->begin, low->end),
                                     reader_slice(r, high->begin, high->end)));
    }
    number->above = above->mantissa;
    number->below = below->mantissa;
    number->end = below->end;
    r->at += 3;
    if (below->mantissa == 0)
        return reader_fail(r, QTY_FAULT_DENOMINATOR, above->begin, below->end,
                           "a fraction has 0 below the line", NULL, NULL);
    return true;
}

static bool is_fraction(const struct reader *r, size_t index)
{
    return reader_kind(r, index) == TOKEN_NUMBER && reader_kind(r, index + 1) == TOKEN_SLASH &&
           reader_kind(r, index + 2) == TOKEN_NUMBER &&
           !(token_of(r, index)->decimal && token_of(r, index + 2)->decimal);
}

bool number_read(struct reader *r, struct number *number)
{
    const struct token *token = token_of(r, r->at);

    *number = (struct number){0};
    if (!refuse_vulgar(r))
        return false;
    if (reader_kind(r, r->at) != TOKEN_NUMBER)
        return reader_fail(r, QTY_FAULT_SYNTAX, token->begin,
                           token->end > token->begin ? token->end : token->begin,
                           str_print(r->arena, "a number is due here, %s", reader_examples(r->dim)),
                           NULL, NULL);
    if (token->too_long)
        return reader_fail(r, QTY_FAULT_LARGE, token->begin, token->end,
                           "the number has more than 18 digits", NULL, NULL);
    number->begin = token->begin;
    if (!refuse_exponent(r) || !refuse_comma(r) || !refuse_blank_thousands(r))
        return false;
    if (is_fraction(r, r->at))
        return read_fraction(r, number);
    number->mantissa = token->mantissa;
    number->places = token->places;
    number->decimal = token->decimal;
    number->end = token->end;
    r->at++;
    bool joined = reader_kind(r, r->at) == TOKEN_MINUS && !token_of(r, r->at)->blank_before &&
                  !token_of(r, r->at + 1)->blank_before && is_fraction(r, r->at + 1);
    if (token->decimal || !(joined || (token[1].blank_before && is_fraction(r, r->at))))
        return true;
    r->at += joined;
    number->mixed = true;
    return read_fraction(r, number);
}

double number_value(const struct number *number)
{
    double value = (double)number->mantissa / qty_powers[number->places];

    return number->below == 0 ? value : value + (double)number->above / (double)number->below;
}

/* --- amounts: a number and a unit, once or twice --- */

static bool ends_unit(const struct reader *r, size_t index)
{
    return reader_word_is(r, index, "to") || reader_word_is(r, index, "or");
}

/* The tokens that belong to the unit behind a number. */
static size_t unit_end(const struct reader *r, size_t first)
{
    size_t at = first;

    if (is_whole(r, at) && token_of(r, at)->mantissa == 1 &&
        reader_kind(r, at + 1) == TOKEN_SLASH && reader_kind(r, at + 2) == TOKEN_WORD)
        at++;
    for (;; at++) {
        enum token_kind kind = reader_kind(r, at), next = reader_kind(r, at + 1);
        bool after_word = at > first && (reader_kind(r, at - 1) == TOKEN_WORD ||
                                         (reader_kind(r, at - 1) == TOKEN_DOT && at > first + 1));
        bool tight = !token_of(r, at)->blank_before && !token_of(r, at + 1)->blank_before;
        if (kind == TOKEN_WORD && !ends_unit(r, at))
            continue;
        if (kind == TOKEN_SLASH && next == TOKEN_WORD)
            continue;
        if (after_word && next == TOKEN_WORD &&
            (kind == TOKEN_TIMES || kind == TOKEN_DOT || (kind == TOKEN_MINUS && tight)))
            continue;
        if (after_word && kind == TOKEN_DOT && !token_of(r, at)->blank_before)
            continue; /* the dot of an abbreviation */
        return at;
    }
}

/* Is the next number a deviation (25 mm 0/-0.02) rather than a second part? */
static bool is_deviation(const struct reader *r, size_t index)
{
    enum token_kind after = reader_kind(r, index + 2);

    return reader_kind(r, index + 1) == TOKEN_SLASH &&
           (after == TOKEN_MINUS || after == TOKEN_PLUS);
}

bool amounts_read(struct reader *r, struct amounts *amounts)
{
    *amounts = (struct amounts){.begin = token_of(r, r->at)->begin};
    if (reader_kind(r, r->at) == TOKEN_MINUS || reader_kind(r, r->at) == TOKEN_PLUS) {
        amounts->is_signed = true;
        amounts->negative = reader_kind(r, r->at) == TOKEN_MINUS;
        r->at++;
    }
    for (;;) {
        struct part *part = &amounts->parts[amounts->count];
        const struct token *token = token_of(r, r->at);
        if (!number_read(r, &part->number))
            return false;
        part->unit_first = r->at;
        part->unit_end = r->at = unit_end(r, r->at);
        amounts->count++;
        amounts->end = token_of(r, r->at - 1)->end;
        if (reader_kind(r, r->at) != TOKEN_NUMBER || is_deviation(r, r->at))
            return true;
        if (part->unit_first == part->unit_end)
            return reader_fail(
                r, QTY_FAULT_SYNTAX, token->begin, token_of(r, r->at)->end,
                str_print(r->arena, "two numbers, %s and %s, with no unit between them",
                          reader_slice(r, part->number.begin, part->number.end),
                          reader_slice(r, token_of(r, r->at)->begin, token_of(r, r->at)->end)),
                NULL, NULL);
        if (amounts->count == 2)
            return reader_fail(r, QTY_FAULT_COMPOUND, amounts->begin, token_of(r, r->at)->end,
                               "a value has at most two units, such as 5 ft 3 in", NULL, NULL);
    }
}

/* --- units --- */

static bool find_unit(struct reader *r, struct part *part, const struct part *before)
{
    char phrase[UNIT_PHRASE_BYTES] = "";
    bool is_phrase = token_phrase(r->text, r->tokens, part->unit_first, part->unit_end, phrase);
    bool arc = before != NULL && before->unit != NULL && strcmp(before->unit->name, "deg") == 0 &&
               (strcmp(phrase, "min") == 0 || strcmp(phrase, "'") == 0);

    if (!is_phrase)
        *phrase = '\0';
    part->unit = unit_of_phrase(arc ? "arcmin" : phrase, arc ? QTY_ANGLE : r->dim);
    if (part->unit == NULL)
        return unit_explain(r, part, phrase);
    if (r->dim == QTY_NONE)
        r->dim = part->unit->dim;
    if (part->unit->dim == QTY_TORQUE && strstr(part->unit->name, "kgf") != NULL &&
        (strstr(phrase, "kgf") == NULL && strstr(phrase, "force") == NULL))
        r->note = str_print(r->arena, "'%s' read as %s",
                            reader_slice(r, token_of(r, part->unit_first)->begin,
                                         token_of(r, part->unit_end - 1)->end),
                            part->unit->name);
    return true;
}

/* The end of a number with its unit. */
static size_t part_end(const struct reader *r, const struct part *part)
{
    return part->unit_end > part->unit_first ? token_of(r, part->unit_end - 1)->end
                                             : part->number.end;
}

static const char *unit_slice(const struct reader *r, const struct part *part)
{
    if (part->unit_first == part->unit_end)
        return "";
    return str_print(r->arena, " %s",
                     reader_slice(r, token_of(r, part->unit_first)->begin,
                                  token_of(r, part->unit_end - 1)->end));
}

static bool is_halving(int64_t below)
{
    return below >= 1 && below <= 128 && (below & (below - 1)) == 0;
}

/* 3/8 as 0.375: halving k times takes k decimals. */
static const char *fraction_as_decimal(const struct reader *r, const struct number *number)
{
    int places = 0;

    while (is_halving(number->below) && (1 << places) < number->below)
        places++;
    return str_decimal(r->arena, number_value(number), is_halving(number->below) ? places : 4);
}

/* 62/64 mm is 62..64, 1/2 mm is 0.5: a proper fraction of a rule is taken for one. */
static bool refuse_fraction_unit(struct reader *r, const struct part *part)
{
    const struct number *n = &part->number;
    const char *unit = unit_slice(r, part), *fix;

    if (!n->mixed && (!is_halving(n->below) || n->above % 2 == 0 || n->above >= n->below)) {
        bool rising = n->above <= n->below;
        fix = str_print(r->arena, "%lld..%lld%s", (long long)(rising ? n->above : n->below),
                        (long long)(rising ? n->below : n->above), unit);
    } else {
        fix = str_print(r->arena, "%s%s", fraction_as_decimal(r, n), unit);
    }
    return reader_fail(r, QTY_FAULT_FRACTION_UNIT, n->begin, part_end(r, part),
                       *unit == '\0' ? "a fraction stands where a decimal is due"
                                     : str_print(r->arena, "%s takes no fractions", unit + 1),
                       NULL, fix);
}

/* 117/32: the digits before a proper fraction were a whole number (1 17/32); else 5/4 is 1 1/4. */
static bool refuse_improper(struct reader *r, const struct part *part)
{
    const struct number *n = &part->number;
    int64_t whole = 0, above = n->above;

    for (int64_t ten = 10; !n->mixed && n->below > 4 && ten <= n->above; ten *= 10) {
        int64_t rest = n->above % ten;
        if (rest < n->below && rest >= ten / 10 && rest % 2 == 1) { /* the longest wins */
            whole = n->above / ten;
            above = rest;
        }
    }
    if (whole == 0) {
        whole = n->mantissa + n->above / n->below;
        above = n->above % n->below;
    }
    const char *unit = unit_slice(r, part);
    const char *fix = above == 0 ? str_print(r->arena, "%lld%s", (long long)whole, unit)
                                 : str_print(r->arena, "%lld %lld/%lld%s", (long long)whole,
                                             (long long)above, (long long)n->below, unit);
    return reader_fail(r, QTY_FAULT_IMPROPER_FRACTION, n->begin, part_end(r, part),
                       str_print(r->arena, "%lld/%lld is not less than one", (long long)n->above,
                                 (long long)n->below),
                       str_print(r->arena, "write %s; was a blank lost?", fix), fix);
}

static bool check_fraction(struct reader *r, const struct part *part)
{
    const struct number *n = &part->number;

    if (n->below == 0)
        return true;
    if (part->unit == NULL || !part->unit->fractions)
        return refuse_fraction_unit(r, part);
    if (n->above >= n->below)
        return refuse_improper(r, part);
    bool turn = strcmp(part->unit->name, "turn") == 0;
    if ((is_halving(n->below) && n->below >= 2) ||
        (turn && (n->below == 3 || n->below == 6 || n->below == 12)))
        return true;
    return reader_fail(
        r, QTY_FAULT_DENOMINATOR, n->begin, n->end,
        str_print(r->arena, "%lld below the line; %s", (long long)n->below,
                  turn ? "a turn is divided by halving, or in 3, 6 or 12"
                       : "it must be 2, 4, 8, 16, 32, 64 or 128"),
        str_print(r->arena, "write a decimal, such as %s", fraction_as_decimal(r, n)), NULL);
}

static bool check_compound(struct reader *r, const struct amounts *amounts)
{
    const struct part *large = &amounts->parts[0], *small = &amounts->parts[1];
    int most = 0;

    if (!unit_is_compound(large->unit, small->unit, &most))
        return reader_fail(r, QTY_FAULT_COMPOUND, amounts->begin, amounts->end,
                           str_print(r->arena,
                                     "%s and %s do not make one value; ft in, lb oz, h min "
                                     "and deg min do",
                                     large->unit->name, small->unit->name),
                           NULL, NULL);
    if (large->number.decimal || large->number.below != 0)
        return reader_fail(r, QTY_FAULT_COMPOUND, large->number.begin, large->number.end,
                           "only the last part may have a fraction or decimals",
                           "write it in one unit, or the whole part first", NULL);
    if (number_value(&small->number) >= most)
        return reader_fail(r, QTY_FAULT_COMPOUND, small->number.begin, part_end(r, small),
                           str_print(r->arena, "%d %s are one %s more", most, small->unit->name,
                                     large->unit->name),
                           str_print(r->arena, "write less than %d %s behind the %s", most,
                                     small->unit->name, large->unit->name),
                           NULL);
    return true;
}

bool amounts_units(struct reader *r, struct amounts *amounts, const struct qty_unit *unit)
{
    for (size_t i = 0; i < amounts->count; i++) {
        struct part *part = &amounts->parts[i];
        if (part->unit_first < part->unit_end) {
            if (!find_unit(r, part, i == 0 ? NULL : part - 1))
                return false;
        } else if (unit != NULL) {
            part->unit = unit;
        } else if (i > 0 || (r->dim != QTY_COUNT && r->dim != QTY_RATIO)) {
            return reader_fail(
                r, QTY_FAULT_NO_UNIT, part->number.begin, part->number.end,
                str_print(r->arena, "%s has no unit; %s is due",
                          reader_slice(r, part->number.begin, part->number.end), reader_a(r->dim)),
                str_print(r->arena, "write it with its unit, %s", reader_examples(r->dim)), NULL);
        }
        if (!check_fraction(r, part))
            return false;
    }
    return amounts->count == 1 || check_compound(r, amounts);
}

/* --- values --- */

static bool fail_fine(struct reader *r, const struct number *number, const struct qty_unit *unit)
{
    const char *most = unit == NULL             ? "a count is whole"
                       : unit->dim == QTY_MONEY ? "money is kept to its smallest coin"
                                                : "lengths are kept to a picometre";
    return reader_fail(r, QTY_FAULT_FINE, number->begin, number->end,
                       str_print(r->arena, "%s is too fine: %s",
                                 reader_slice(r, number->begin, number->end), most),
                       NULL, NULL);
}

/* A kilometre in picometres: thousands of such lengths still add without overflow. */
#define QTY_EXACT_MOST INT64_C(1000000000000000)

/* The exact value in units of `factor`; fine or large values are errors. */
static bool exact_value(struct reader *r, const struct number *number, int64_t factor,
                        const struct qty_unit *unit, int64_t *exact)
{
    wide scaled = (wide)number->mantissa * factor, power = 1, part = 0;

    for (int i = 0; i < number->places; i++)
        power *= 10;
    if (number->below != 0) {
        part = (wide)number->above * factor;
        if (part % number->below != 0)
            return fail_fine(r, number, unit);
        part /= number->below;
    }
    if (scaled % power != 0)
        return fail_fine(r, number, unit);
    scaled = scaled / power + part;
    if (scaled > QTY_EXACT_MOST)
        return reader_fail(
            r, QTY_FAULT_LARGE, number->begin, number->end,
            str_print(r->arena, "%s is too large", reader_slice(r, number->begin, number->end)),
            NULL, NULL);
    *exact = (int64_t)scaled;
    return true;
}

/* A pitch of n threads an inch, to the nearest picometre. */
static bool inverse_value(struct reader *r, const struct number *number,
                          const struct qty_unit *unit, int64_t *exact)
{
    double value = number_value(number);

    if (value < 1 || value > 1000)
        return reader_fail(r, QTY_FAULT_LARGE, number->begin, number->end,
                           "threads an inch are between 1 and 1000", NULL, NULL);
    *exact = (int64_t)llround((double)unit->factor_exact / value);
    return true;
}

/* One number in its unit, without sign or offset. */
static bool part_value(struct reader *r, const struct number *number, const struct qty_unit *unit,
                       struct qty *qty)
{
    double factor = unit == NULL ? 1 : unit->factor;
    bool ok = true;

    qty->dim = r->dim;
    qty->unit = unit;
    qty->places = (uint8_t)number->places;
    qty->denominator = (uint16_t)(number->below <= 128 ? number->below : 0);
    qty->half_digit = number->below != 0 || (unit != NULL && unit->inverse) || r->dim == QTY_COUNT
                          ? 0
                          : 0.5 / qty_powers[number->places] * factor;
    if (unit != NULL && unit->inverse)
        ok = inverse_value(r, number, unit, &qty->exact);
    else if (r->dim == QTY_LENGTH || r->dim == QTY_MONEY)
        ok = exact_value(r, number, unit->factor_exact, unit, &qty->exact);
    else if (r->dim == QTY_COUNT)
        ok = exact_value(r, number, 1, NULL, &qty->exact);
    qty->si = number_value(number) * factor;
    if (r->dim == QTY_LENGTH)
        qty->si = (double)qty->exact / 1e12;
    else if (r->dim == QTY_MONEY || r->dim == QTY_COUNT)
        qty->si = (double)qty->exact;
    if (r->dim == QTY_MONEY)
        qty->currency = unit->name;
    return ok;
}

bool number_deviation(struct reader *r, const struct number *number, bool negative,
                      const struct qty_unit *unit, struct qty *qty)
{
    *qty = (struct qty){0};
    if (!part_value(r, number, unit, qty))
        return false;
    if (negative) {
        qty->exact = -qty->exact;
        qty->si = -qty->si;
    }
    return true;
}

bool amounts_settle(struct reader *r, const struct amounts *amounts, struct qty *qty)
{
    const struct part *last = &amounts->parts[amounts->count - 1];
    struct qty sum;

    *qty = (struct qty){0};
    if (!number_deviation(r, &last->number, amounts->negative, last->unit, qty))
        return false;
    if (amounts->count == 2) {
        const struct part *first = &amounts->parts[0];
        if (!number_deviation(r, &first->number, amounts->negative, first->unit, &sum))
            return false;
        qty->exact += sum.exact;
        qty->si = r->dim == QTY_LENGTH ? (double)qty->exact / 1e12 : qty->si + sum.si;
    }
    if (last->unit != NULL)
        qty->si += last->unit->offset;
    if (r->dim == QTY_TEMPERATURE && qty->si < -273.15 * (1 + 1e-12))
        return reader_fail(r, QTY_FAULT_ABSOLUTE_ZERO, amounts->begin, amounts->end,
                           str_print(r->arena, "%s is colder than anything can be",
                                     reader_slice(r, amounts->begin, amounts->end)),
                           NULL, NULL);
    bool bare = last->unit_first == last->unit_end && last->unit != NULL;
    const char *written = reader_slice(r, amounts->begin, amounts->end);
    qty->text = bare ? str_print(r->arena, "%s %s", written, last->unit->name) : written;
    return true;
}
