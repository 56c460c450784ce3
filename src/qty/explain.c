/* explain.c - why a word behind a number is no unit here, and what was likely meant. */
#include "qty_private.h"
#include <string.h>

/* Words that stand for more than one size; in any field. */
static const struct {
    const char *phrases; /* between '|' */
    enum qty_fault fault;
    const char *why, *hint;
} ambiguous[] = {
    {"|ton|ton force|tonf|", QTY_FAULT_AMBIGUOUS_UNIT, "a ton is 2240 lb, 2000 lb or 1000 kg",
     "write long ton, short ton or t"},
    {"|ton/in2|ton/sq in|tonf/in2|tonf/sq in|tsi|ton force/in2|", QTY_FAULT_AMBIGUOUS_UNIT,
     "a ton is 2240 lb or 2000 lb", "British figures are in long tons: write long tonf/in2"},
    {"|cwt|hundredweight|", QTY_FAULT_AMBIGUOUS_UNIT, "a hundredweight is 112 lb or 100 lb",
     "write it in lb"},
    {"|mil|mils|", QTY_FAULT_AMBIGUOUS_UNIT, "a mil is a thou to some and a millimetre to others",
     "write thou or mm"},
    {"|tenth|tenths|", QTY_FAULT_AMBIGUOUS_UNIT, "a tenth is of a thou or of a millimetre",
     "write 2 tenths as 0.2 thou or as 0.2 mm"},
    {"|gallon|quart|pint|fl oz|", QTY_FAULT_NEEDS_IMP_OR_US,
     "imperial and American measures differ by a fifth", NULL},
};

/* A product written as a quotient: the torque that was meant. */
static const struct {
    const char *phrases, *meant;
} quotients[] = {
    {"|kg/m|kgf/m|kp/m|", "kgf m"},     {"|kg/cm|kgf/cm|kp/cm|", "kgf cm"}, {"|N/m|", "N m"},
    {"|lb/ft|lbf/ft|ft/lb|", "lbf ft"}, {"|lb/in|lbf/in|in/lb|", "lbf in"},
};

static bool is_listed(const char *list, const char *phrase)
{
    char barred[UNIT_PHRASE_BYTES + 2] = "|";

    strcat(barred, phrase);
    strcat(barred, "|");
    return strstr(list, barred) != NULL;
}

struct place {
    size_t begin, end;
    const char *found;
};

static bool explain_ambiguous(struct reader *r, const char *phrase, struct place at)
{
    for (size_t i = 0; i < sizeof ambiguous / sizeof *ambiguous; i++) {
        const char *hint = ambiguous[i].hint;
        if (!is_listed(ambiguous[i].phrases, phrase))
            continue;
        if (hint == NULL)
            hint = str_print(r->arena, "write imp %s or us %s", phrase, phrase);
        reader_fail(r, ambiguous[i].fault, at.begin, at.end,
                    str_print(r->arena, "'%s' is not one size: %s", at.found, ambiguous[i].why),
                    hint, NULL);
        return true;
    }
    return false;
}

static bool explain_torque(struct reader *r, const char *phrase, struct place at)
{
    if (r->dim != QTY_TORQUE)
        return false;
    for (size_t i = 0; i < sizeof quotients / sizeof *quotients; i++)
        if (is_listed(quotients[i].phrases, phrase)) {
            reader_fail(r, QTY_FAULT_KG_PER_M, at.begin, at.end,
                        str_print(r->arena,
                                  "'%s' is a quotient; a torque is a force times a length",
                                  at.found),
                        NULL, quotients[i].meant);
            return true;
        }
    static const struct {
        const char *phrases, *hint, *fix;
    } halves[] = {
        {"|lb|lbf|ft|in|", "write lbf ft or lbf in", NULL},
        {"|oz|ozf|", "write ozf in", "ozf in"},
        {"|kg|kgf|kp|", "write kgf m or kgf cm", NULL},
        {"|N|", "write N m", "N m"},
        {"|m|cm|mm|", "write N m, or kgf m or kgf cm", NULL},
    };
    for (size_t i = 0; i < sizeof halves / sizeof *halves; i++)
        if (is_listed(halves[i].phrases, phrase)) {
            reader_fail(r, QTY_FAULT_TORQUE_UNIT, at.begin, at.end,
                        str_print(r->arena, "'%s' alone is no torque: a force and a length are due",
                                  at.found),
                        halves[i].hint, halves[i].fix);
            return true;
        }
    return false;
}

static bool explain_degrees(struct reader *r, const char *phrase, struct place at)
{
    if ((r->dim != QTY_TEMPERATURE && r->dim != QTY_TEMPERATURE_DIFFERENCE) ||
        strcmp(phrase, "deg") != 0)
        return false;
    reader_fail(
        r, QTY_FAULT_BARE_DEGREES, at.begin, at.end,
        str_print(r->arena, "'%s' alone is an angle; a temperature says which scale", at.found),
        r->dim == QTY_TEMPERATURE ? "write degC or degF" : "write K, degC or degF", NULL);
    return true;
}

/* "0.3 mm max", "0.25 mm min". */
static bool explain_side(struct reader *r, const struct part *part)
{
    size_t last = part->unit_end - 1;
    bool most = reader_word_is(r, last, "max") || reader_word_is(r, last, "maximum");
    bool least = reader_word_is(r, last, "min") || reader_word_is(r, last, "minimum");

    if (part->unit_end < part->unit_first + 2 || (!most && !least))
        return false;
    size_t begin = part->number.begin, end = r->tokens[last].end;
    reader_fail(r, QTY_FAULT_SIDE_MARK, begin, end,
                str_print(r->arena, "'%s' is written '%s'",
                          reader_slice(r, r->tokens[last].begin, end),
                          most ? "at most" : "at least"),
                NULL,
                str_print(r->arena, "%s %s", most ? "at most" : "at least",
                          reader_slice(r, begin, r->tokens[last - 1].end)));
    return true;
}

static bool explain_money(struct reader *r, const char *phrase, struct place at)
{
    static const struct {
        const char *sign, *hint, *fix;
    } signs[] = {
        {"£", NULL, "GBP"},
        {"€", NULL, "EUR"},
        {"$", "write USD, CAD or AUD, whichever is meant", NULL},
    };
    char upper[4] = "";

    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++)
        if (strcmp(phrase, signs[i].sign) == 0) {
            reader_fail(r, QTY_FAULT_CURRENCY, at.begin, at.end,
                        str_print(r->arena, "'%s' is not the name of a currency", at.found),
                        signs[i].hint, signs[i].fix);
            return true;
        }
    if (r->dim != QTY_MONEY)
        return false;
    for (int i = 0; i < 3 && strlen(phrase) == 3; i++)
        upper[i] = (char)(phrase[i] >= 'a' && phrase[i] <= 'z' ? phrase[i] - 'a' + 'A' : phrase[i]);
    const struct qty_unit *unit = unit_of_phrase(upper, QTY_MONEY);
    reader_fail(r, QTY_FAULT_CURRENCY, at.begin, at.end,
                str_print(r->arena, "'%s' is no currency of ISO 4217", at.found),
                unit == NULL ? "write its three letters, such as GBP, EUR or USD" : NULL,
                unit == NULL ? NULL : unit->name);
    return true;
}

static bool explain_class(struct reader *r, const struct part *part)
{
    size_t last = part->unit_end - 1;
    const struct token *token = &r->tokens[last];
    char phrase[UNIT_PHRASE_BYTES];
    const char *word = r->text + token->begin;
    size_t length = token->end - token->begin;

    if (part->unit_end < part->unit_first + 2 || !token->blank_before || length < 2 || length > 4 ||
        word[length - 1] < '0' || word[length - 1] > '9' ||
        !token_phrase(r->text, r->tokens, part->unit_first, last, phrase))
        return false;
    const struct qty_unit *unit = unit_of_phrase(phrase, QTY_NONE);
    if (unit == NULL)
        return false;
    reader_fail(r, QTY_FAULT_CLASS, token->begin, token->end,
                unit->dim == QTY_LENGTH
                    ? str_print(r->arena, "'%s' is no tolerance class of ISO 286",
                                reader_slice(r, token->begin, token->end))
                    : str_print(r->arena,
                                "'%s' stands behind %s; a tolerance class follows a length",
                                reader_slice(r, token->begin, token->end), reader_a(unit->dim)),
                unit->dim == QTY_LENGTH ? "a class is such as H7, JS6 or k5" : NULL,
                unit->dim == QTY_LENGTH ? NULL : "");
    return true;
}

static char small(char c)
{
    return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

/* Is `phrase` one of `spellings` (between '|') but for capitals? */
static bool differs_in_capitals(const char *phrase, const char *spellings)
{
    for (const char *at = spellings; at != NULL; at = strchr(at, '|')) {
        size_t i = 0;
        at += *at == '|';
        while (phrase[i] != '\0' && small(phrase[i]) == small(at[i]))
            i++;
        if (phrase[i] == '\0' && (at[i] == '|' || at[i] == '\0'))
            return true;
    }
    return false;
}

/* The unit that differs in capitals only, else the nearest in spelling; of two letters every other
 * unit is near. */
static const char *nearest_unit(struct reader *r, const char *phrase)
{
    const char *names[512];
    size_t count = qty_unit_names(r->dim, names, 512);
    char *lower = str_copy(r->arena, phrase);

    for (char *c = lower; *c != '\0'; c++)
        *c = small(*c);
    const char *word = unit_word(lower); /* Inch */
    for (size_t i = 0; i < unit_row_count; i++)
        if ((r->dim == QTY_NONE || unit_rows[i].unit.dim == r->dim) &&
            (differs_in_capitals(phrase, unit_rows[i].spellings) ||
             differs_in_capitals(word, unit_rows[i].spellings)))
            return unit_rows[i].unit.name;
    return strlen(phrase) < 3 ? NULL : str_nearest(phrase, names, count);
}

bool unit_explain(struct reader *r, const struct part *part, const char *phrase)
{
    struct place at = {r->tokens[part->unit_first].begin, r->tokens[part->unit_end - 1].end, NULL};
    const struct qty_unit *elsewhere = unit_of_phrase(phrase, QTY_NONE);

    at.found = reader_slice(r, at.begin, at.end);
    if (explain_degrees(r, phrase, at) || explain_torque(r, phrase, at) ||
        explain_ambiguous(r, phrase, at) || explain_side(r, part) || explain_class(r, part))
        return false;
    if (elsewhere != NULL && elsewhere->dim != r->dim)
        return reader_fail(
            r, QTY_FAULT_DIMENSION, at.begin, at.end,
            str_print(r->arena, "'%s' measures %s; %s is due", at.found, reader_a(elsewhere->dim),
                      reader_a(r->dim)),
            str_print(r->arena, "write %s, %s", reader_a(r->dim), reader_examples(r->dim)), NULL);
    if (explain_money(r, phrase, at))
        return false;
    if (r->dim == QTY_COUNT)
        return reader_fail(r, QTY_FAULT_DIMENSION, at.begin, at.end,
                           str_print(r->arena, "'%s' follows a count, which has no unit", at.found),
                           NULL, "");
    const char *nearest = nearest_unit(r, phrase);
    return reader_fail(
        r, QTY_FAULT_UNIT, at.begin, at.end,
        str_print(r->arena, "'%s' is no unit of %s%s", at.found,
                  r->dim == QTY_NONE ? "any kind" : "",
                  r->dim == QTY_NONE ? "" : qty_dim_name(r->dim)),
        nearest == NULL ? str_print(r->arena, "write a unit, %s", reader_examples(r->dim)) : NULL,
        nearest);
}
