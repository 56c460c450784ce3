/* reader.c - looking ahead in the tokens of a text, and saying what is wrong with it. */
#include "qty_private.h"
#include <string.h>

enum token_kind reader_kind(const struct reader *r, size_t index)
{
    return index < r->end ? r->tokens[index].kind : TOKEN_END;
}

bool reader_word_is(const struct reader *r, size_t index, const char *word)
{
    const struct token *token = &r->tokens[index];

    return reader_kind(r, index) == TOKEN_WORD && token->end - token->begin == strlen(word) &&
           strncmp(r->text + token->begin, word, strlen(word)) == 0;
}

char *reader_slice(const struct reader *r, size_t begin, size_t end)
{
    return str_slice(r->arena, r->text + begin, end - begin);
}

bool reader_fail(struct reader *r, enum qty_fault fault, size_t begin, size_t end,
                 const char *message, const char *hint, const char *fix)
{
    if (r->error->fault != QTY_OK)
        return false;
    if (hint == NULL && fix != NULL)
        hint = *fix == '\0' ? "leave this out" : str_print(r->arena, "write %s", fix);
    char *line = str_copy(r->arena, message); /* block text may hold line ends */
    for (char *c = line; *c != '\0'; c++)
        if ((unsigned char)*c < ' ')
            *c = ' ';
    *r->error = (struct qty_error){fault, begin, end, line, hint, fix};
    return false;
}

const char *reader_examples(enum qty_dim dim)
{
    static const char *const examples[QTY_DIM_COUNT] = {
        [QTY_NONE] = "such as 1 1/2 in or 24 lbf ft",
        [QTY_LENGTH] = "such as 0.0035 in, 3 thou, 1 1/2 in or 38.10 mm",
        [QTY_MASS] = "such as 412 g or 2 lb 3 1/4 oz",
        [QTY_FORCE] = "such as 120 lbf or 50 N",
        [QTY_TORQUE] = "such as 24 lbf ft, 300 lbf in or 34 N m",
        [QTY_STRESS] = "such as 35 psi, 2.4 bar or 640 MPa",
        [QTY_TEMPERATURE] = "such as 120 degC or 250 degF",
        [QTY_TEMPERATURE_DIFFERENCE] = "such as 80 K",
        [QTY_TIME] = "such as 20 min, 4 h 30 min or 14 d",
        [QTY_ANGLE] = "such as 32 deg, 5 deg 30 min or 1/6 turn",
        [QTY_MONEY] = "such as 9.80 GBP",
        [QTY_AREA] = "such as 58 mm2 or 0.09 in2",
        [QTY_VOLUME] = "such as 500 cm3, 3 l or 2 imp pint",
        [QTY_SPEED] = "such as 1500 rpm",
        [QTY_RATIO] = "such as 0.8 or 80%",
        [QTY_DENSITY] = "such as 7850 kg/m3",
        [QTY_STIFFNESS] = "such as 40 N/mm or 230 lbf/in",
        [QTY_EXPANSION] = "such as 12.4 uin/in/degF or 23 um/m/K",
        [QTY_MASS_LENGTH] = "such as 2 oz in or 1440 g mm",
        [QTY_COUNT] = "such as 8",
    };

    return examples[dim];
}

const char *reader_a(enum qty_dim dim)
{
    static const char *const words[QTY_DIM_COUNT] = {
        [QTY_NONE] = "a quantity",
        [QTY_LENGTH] = "a length",
        [QTY_MASS] = "a mass",
        [QTY_FORCE] = "a force",
        [QTY_TORQUE] = "a torque",
        [QTY_STRESS] = "a stress or pressure",
        [QTY_TEMPERATURE] = "a temperature",
        [QTY_TEMPERATURE_DIFFERENCE] = "a temperature difference",
        [QTY_TIME] = "a time",
        [QTY_ANGLE] = "an angle",
        [QTY_MONEY] = "a sum of money",
        [QTY_AREA] = "an area",
        [QTY_VOLUME] = "a volume",
        [QTY_SPEED] = "a rotational speed",
        [QTY_RATIO] = "a ratio",
        [QTY_DENSITY] = "a density",
        [QTY_STIFFNESS] = "a stiffness",
        [QTY_EXPANSION] = "a thermal expansion",
        [QTY_MASS_LENGTH] = "a mass times a length",
        [QTY_COUNT] = "a count",
    };

    return words[dim];
}
