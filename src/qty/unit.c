/* unit.c - finding units by what people write for them. */
#include "qty_private.h"
#include <string.h>

static const char *const dim_names[QTY_DIM_COUNT] = {
    [QTY_NONE] = "quantity",
    [QTY_LENGTH] = "length",
    [QTY_MASS] = "mass",
    [QTY_FORCE] = "force",
    [QTY_TORQUE] = "torque",
    [QTY_STRESS] = "stress or pressure",
    [QTY_TEMPERATURE] = "temperature",
    [QTY_TEMPERATURE_DIFFERENCE] = "temperature difference",
    [QTY_TIME] = "time",
    [QTY_ANGLE] = "angle",
    [QTY_MONEY] = "sum of money",
    [QTY_AREA] = "area",
    [QTY_VOLUME] = "volume",
    [QTY_SPEED] = "rotational speed",
    [QTY_RATIO] = "ratio",
    [QTY_DENSITY] = "density",
    [QTY_STIFFNESS] = "stiffness",
    [QTY_EXPANSION] = "thermal expansion",
    [QTY_MASS_LENGTH] = "mass times length",
    [QTY_COUNT] = "count",
};

const char *qty_dim_name(enum qty_dim dim)
{
    return dim_names[dim];
}

/* Long words, plurals and other spellings, between '|', and the short form that they stand for. */
static const struct {
    const char *is, *words;
} word_rows[] = {
    {"in", "|inch|inches|ins|"},
    {"ft", "|foot|feet|"},
    {"\"", "|″|”|"}, /* inch or second of arc */
    {"'", "|′|’|"}, /* foot or minute of arc */
    {"yd", "|yard|yards|yds|"},
    {"mm", "|millimetre|millimetres|millimeter|millimeters|mms|"},
    {"cm", "|centimetre|centimetres|centimeter|centimeters|"},
    {"m", "|metre|metres|meter|meters|"},
    {"um", "|micron|microns|micrometre|micrometres|micrometer|micrometers|"},
    {"uin", "|microinch|microinches|"},
    {"thou", "|thous|"},
    {"lb", "|lbs|pound|pounds|"},
    {"lbf", "|lbsf|lbfs|"},
    {"oz", "|ounce|ounces|ozs|"},
    {"kg", "|kilogram|kilograms|kilogramme|kilogrammes|kilo|kilos|kgs|"},
    {"g", "|gram|grams|gramme|grammes|gms|gm|"},
    {"t", "|tonne|tonnes|"},
    {"ton", "|tons|"},
    {"N", "|newton|newtons|Newton|Newtons|"},
    {"kp", "|kilopond|kiloponds|"},
    {"deg", "|degree|degrees|degs|"},
    {"C", "|Celsius|celsius|centigrade|Centigrade|"},
    {"F", "|Fahrenheit|fahrenheit|"},
    {"degC", "|℃|"},
    {"degF", "|℉|"},
    {"K", "|kelvin|kelvins|Kelvin|"},
    {"s", "|second|seconds|sec|secs|"},
    {"min", "|minute|minutes|mins|"},
    {"h", "|hour|hours|hr|hrs|"},
    {"d", "|day|days|"},
    {"week", "|weeks|wk|wks|"},
    {"turn", "|turns|"},
    {"rev", "|revs|revolution|revolutions|"},
    {"rad", "|radian|radians|"},
    {"l", "|litre|litres|liter|liters|L|ltr|"},
    {"ml", "|millilitre|millilitres|milliliter|milliliters|mL|"},
    {"gallon", "|gallons|gal|gals|"},
    {"quart", "|quarts|qt|qts|"},
    {"pint", "|pints|pt|pts|"},
    {"imp", "|imperial|Imperial|Imp|UK|"},
    {"us", "|US|"},
    {"sq", "|square|"},
    {"cu", "|cubic|"},
    {"Pa", "|pascal|pascals|"},
    {"%", "|percent|"},
};

const char *unit_word(const char *word)
{
    size_t length = strlen(word);

    if (length == 0)
        return word;
    for (size_t i = 0; i < sizeof word_rows / sizeof *word_rows; i++) {
        const char *at = word_rows[i].words;
        while ((at = strstr(at, word)) != NULL) {
            if (at[-1] == '|' && at[length] == '|')
                return word_rows[i].is;
            at += length;
        }
    }
    return word;
}

/* Is `phrase` one of `spellings`, which stand between '|'? */
static bool is_among(const char *phrase, const char *spellings)
{
    size_t length = strlen(phrase);

    for (const char *at = spellings; at != NULL; at = strchr(at, '|')) {
        if (*at == '|')
            at++;
        if (strncmp(at, phrase, length) == 0 && (at[length] == '|' || at[length] == '\0'))
            return true;
    }
    return false;
}

const struct qty_unit *unit_of_phrase(const char *phrase, enum qty_dim dim)
{
    if (*phrase == '\0' || strchr(phrase, '|') != NULL)
        return NULL;
    for (size_t i = 0; i < unit_row_count; i++) {
        const struct unit_row *row = &unit_rows[i];
        if ((dim == QTY_NONE || row->unit.dim == dim) && is_among(phrase, row->spellings))
            return &row->unit;
    }
    for (size_t i = 0; i < currency_row_count && (dim == QTY_NONE || dim == QTY_MONEY); i++)
        if (strcmp(phrase, currency_rows[i].unit.name) == 0)
            return &currency_rows[i].unit;
    return NULL;
}

const struct qty_unit *qty_unit_find(const char *spelling, enum qty_dim dim)
{
    struct token tokens[TOKENS_MOST + TOKENS_AHEAD];
    size_t count;
    char phrase[UNIT_PHRASE_BYTES];

    if (spelling == NULL || !token_scan(spelling, tokens, &count))
        return NULL;
    if (!token_phrase(spelling, tokens, 0, count - 1, phrase))
        return NULL;
    return unit_of_phrase(phrase, dim);
}

const struct qty_unit *qty_unit_at(size_t index)
{
    if (index < unit_row_count)
        return &unit_rows[index].unit;
    index -= unit_row_count;
    return index < currency_row_count ? &currency_rows[index].unit : NULL;
}

size_t qty_unit_names(enum qty_dim dim, const char **names, size_t room)
{
    const struct qty_unit *unit;
    size_t count = 0;

    for (size_t i = 0; (unit = qty_unit_at(i)) != NULL && count < room; i++)
        if (dim == QTY_NONE || unit->dim == dim)
            names[count++] = unit->name;
    return count;
}

/* Units that may follow each other in one value, and the first value of the second that would make
 * one more of the first. */
bool unit_is_compound(const struct qty_unit *large, const struct qty_unit *small, int *most)
{
    static const struct {
        const char *large, *small;
        int most;
    } rows[] = {
        {"ft", "in", 12}, {"lb", "oz", 16},      {"lbf", "ozf", 16},
        {"h", "min", 60}, {"deg", "arcmin", 60},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (strcmp(large->name, rows[i].large) == 0 && strcmp(small->name, rows[i].small) == 0) {
            *most = rows[i].most;
            return true;
        }
    return false;
}

int qty_places(const struct qty_unit *unit)
{
    return ((const struct unit_row *)unit)->places;
}

const struct qty_unit *qty_unit_other(const struct qty_unit *unit)
{
    const char *other = unit == NULL ? NULL : ((const struct unit_row *)unit)->other;

    return other == NULL ? NULL : unit_of_phrase(other, unit->dim);
}
