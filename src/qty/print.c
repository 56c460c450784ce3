/* print.c - quantities as text: as written, in another unit, limits rounded inward. */
#include "qty_private.h"
#include <assert.h>
#include <math.h>
#include <string.h>

__extension__ typedef __int128 wide;

/* --- making and comparing --- */

struct qty qty_from_pm(int64_t pm)
{
    return (struct qty){.dim = QTY_LENGTH, .exact = pm, .si = (double)pm / 1e12};
}

struct qty qty_from_si(double si, enum qty_dim dim)
{
    struct qty qty = {.dim = dim, .si = si};

    if (dim == QTY_LENGTH)
        return qty_from_pm((int64_t)llround(si * 1e12));
    if (dim == QTY_MONEY || dim == QTY_COUNT) {
        qty.exact = (int64_t)llround(si);
        qty.si = (double)qty.exact;
    }
    return qty;
}

int64_t qty_pm_from_mm(double mm)
{
    return (int64_t)llround(mm * 1e9);
}

static bool is_exact(const struct qty *qty)
{
    return qty->dim == QTY_LENGTH || qty->dim == QTY_MONEY || qty->dim == QTY_COUNT;
}

bool qty_value_has_low(const struct qty_value *value)
{
    return value->kind != QTY_AT_MOST && value->kind != QTY_UNKNOWN && value->kind != QTY_ABSENT;
}

bool qty_value_has_high(const struct qty_value *value)
{
    return value->kind != QTY_AT_LEAST && value->kind != QTY_UNKNOWN && value->kind != QTY_ABSENT;
}

int qty_compare(struct qty a, struct qty b)
{
    assert(a.dim == b.dim);
    if (is_exact(&a))
        return (a.exact > b.exact) - (a.exact < b.exact);
    double larger = fmax(fabs(a.si), fabs(b.si));
    if (fabs(a.si - b.si) <= 1e-9 * larger)
        return 0;
    return a.si < b.si ? -1 : 1;
}

/* --- numbers --- */

static wide divide(wide above, wide below, enum qty_round round)
{
    wide quotient = above / below, rest = above % below;

    if (rest < 0) { /* to the floor, so that the rest is positive */
        quotient--;
        rest += below;
    }
    if (round == QTY_UP && rest > 0)
        return quotient + 1;
    if (round == QTY_NEAREST && (2 * rest > below || (2 * rest == below && above > 0)))
        return quotient + 1; /* halves away from zero */
    return quotient;
}

/* `scaled` / 10^places as text. */
static char *print_scaled(struct arena *arena, wide scaled, int places)
{
    char digits[64];
    size_t at = sizeof digits - 1;
    bool negative = scaled < 0;
    int count = 0;

    if (negative)
        scaled = -scaled;
    digits[at] = '\0';
    do {
        if (places > 0 && count == places)
            digits[--at] = '.';
        digits[--at] = (char)('0' + (int)(scaled % 10));
        scaled /= 10;
        count++;
    } while (scaled > 0 || count <= places);
    if (negative)
        digits[--at] = '-';
    return str_copy(arena, digits + at);
}

/* `value` to `places`, up or down unless it stands on the digit already. */
static char *print_real(struct arena *arena, double value, int places, enum qty_round round)
{
    double scaled = value * qty_powers[places], nearest = nearbyint(scaled);

    if (round == QTY_NEAREST || fabs(scaled) > 1e15)
        return str_decimal(arena, value, places);
    if (fabs(scaled - nearest) > 1e-9 * fmax(1, fabs(scaled)))
        nearest = round == QTY_UP ? ceil(scaled) : floor(scaled);
    return print_scaled(arena, (wide)nearest, places);
}

static int bounded_places(int places)
{
    return places < 0 ? 0 : places > 12 ? 12 : places;
}

char *qty_print_number(struct arena *arena, struct qty qty, const struct qty_unit *unit, int places,
                       enum qty_round round)
{
    places = bounded_places(places);
    if (unit != NULL && unit->inverse) /* more threads, less pitch */
        return print_real(arena, unit->factor / qty.si, places,
                          round == QTY_UP     ? QTY_DOWN
                          : round == QTY_DOWN ? QTY_UP
                                              : QTY_NEAREST);
    if (is_exact(&qty)) {
        wide power = 1;
        for (int i = 0; i < places; i++)
            power *= 10;
        int64_t factor = unit == NULL ? 1 : unit->factor_exact;
        return print_scaled(arena, divide(qty.exact * power, factor, round), places);
    }
    return print_real(arena, unit == NULL ? qty.si : (qty.si - unit->offset) / unit->factor, places,
                      round);
}

static char *with_unit(struct arena *arena, const char *number, const struct qty_unit *unit)
{
    if (unit == NULL)
        return str_copy(arena, number);
    return str_print(arena, strcmp(unit->name, "%") == 0 ? "%s%s" : "%s %s", number, unit->name);
}

char *qty_print(struct arena *arena, struct qty qty, const struct qty_unit *unit, int places,
                enum qty_round round)
{
    return with_unit(arena, qty_print_number(arena, qty, unit, places, round), unit);
}

const struct qty_unit *qty_unit_workshop(const struct qty *qty)
{
    static const char *const names[QTY_DIM_COUNT] = {
        [QTY_LENGTH] = "mm",
        [QTY_MASS] = "kg",
        [QTY_FORCE] = "N",
        [QTY_TORQUE] = "N m",
        [QTY_STRESS] = "MPa",
        [QTY_TEMPERATURE] = "degC",
        [QTY_TEMPERATURE_DIFFERENCE] = "K",
        [QTY_TIME] = "h",
        [QTY_ANGLE] = "deg",
        [QTY_AREA] = "mm2",
        [QTY_VOLUME] = "cm3",
        [QTY_SPEED] = "rpm",
        [QTY_DENSITY] = "kg/m3",
        [QTY_STIFFNESS] = "N/mm",
        [QTY_EXPANSION] = "um/m/K",
        [QTY_MASS_LENGTH] = "g mm",
    };

    if (qty->unit != NULL)
        return qty->unit;
    if (qty->dim == QTY_MONEY && qty->currency != NULL)
        return unit_of_phrase(qty->currency, QTY_MONEY);
    return names[qty->dim] == NULL ? NULL : unit_of_phrase(names[qty->dim], qty->dim);
}

static int workshop_places(const struct qty *qty, const struct qty_unit *unit)
{
    return unit != NULL ? qty_places(unit) : qty->dim == QTY_RATIO ? 3 : 0;
}

char *qty_print_plain(struct arena *arena, struct qty qty)
{
    if (qty.text != NULL)
        return str_copy(arena, qty.text);
    const struct qty_unit *unit = qty_unit_workshop(&qty);
    return qty_print(arena, qty, unit, workshop_places(&qty, unit), QTY_NEAREST);
}

/* --- values --- */

/* Low up, high down; one more place while nothing would be left between them. */
static char *print_inward(struct arena *arena, struct qty low, struct qty high,
                          const struct qty_unit *unit, int places)
{
    bool turned = unit != NULL && unit->inverse; /* the finer pitch has the higher count */
    struct qty first = turned ? high : low, second = turned ? low : high;
    enum qty_round up = turned ? QTY_DOWN : QTY_UP, down = turned ? QTY_UP : QTY_DOWN;

    for (;; places++) {
        char *a = qty_print_number(arena, first, unit, places, up);
        char *b = qty_print_number(arena, second, unit, places, down);
        char *a_out = qty_print_number(arena, first, unit, places, down);
        char *b_out = qty_print_number(arena, second, unit, places, up);
        /* inward rounding has crossed when the outward ends are the inward ones, changed about */
        bool crossed = qty_compare(low, high) != 0 && strcmp(a, b_out) == 0 &&
                       strcmp(b, a_out) == 0 && strcmp(a, b) != 0;
        if (!crossed || places >= 9)
            return with_unit(arena, str_print(arena, "%s..%s", a, b), unit);
    }
}

char *qty_print_value(struct arena *arena, const struct qty_value *value,
                      const struct qty_unit *unit, int places)
{
    switch (value->kind) {
    case QTY_LIMITS:
    case QTY_SIZE:
        /* limits that leave nothing between them are one value */
        return qty_compare(value->low, value->high) == 0
                   ? qty_print(arena, value->low, unit, places, QTY_NEAREST)
                   : print_inward(arena, value->low, value->high, unit, places);
    case QTY_CLASS:
        if (value->low.si != value->high.si)
            return print_inward(arena, value->low, value->high, unit, places);
        return str_print(arena, "%s %s",
                         qty_print(arena, value->nominal, unit, places, QTY_NEAREST), value->class);
    case QTY_AT_LEAST:
        return str_print(arena, "at least %s", qty_print(arena, value->low, unit, places, QTY_UP));
    case QTY_AT_MOST:
        return str_print(arena, "at most %s",
                         qty_print(arena, value->high, unit, places, QTY_DOWN));
    case QTY_ONE:
        return qty_print(arena, value->nominal, unit, places, QTY_NEAREST);
    case QTY_UNKNOWN:
        return str_copy(arena, "unknown");
    case QTY_ABSENT:
        break;
    }
    return str_copy(arena, "");
}

static const struct qty *main_end(const struct qty_value *value)
{
    return value->kind == QTY_AT_MOST                                 ? &value->high
           : value->kind == QTY_AT_LEAST || value->kind == QTY_LIMITS ? &value->low
                                                                      : &value->nominal;
}

/* The decimals that carry over what was written: a step at most a fifth of the written one. */
static int carried_places(const struct qty *qty, const struct qty_unit *unit)
{
    double step = 2 * qty->half_digit / 5;
    int most = qty_places(unit), places = 0;

    if (step <= 0)
        return most;
    while (places < most && fabs(unit->factor) / qty_powers[places] > step * (1 + 1e-9))
        places++;
    return places;
}

static int converted_places(const struct qty_value *value, const struct qty_unit *unit)
{
    const struct qty *qty = main_end(value);

    if (value->kind != QTY_ONE || unit->inverse || qty->half_digit <= 0)
        return qty_places(unit);
    return carried_places(qty, unit);
}

/* The value in the unit in which it was written: its own words, without the printed pair. */
static char *print_own(struct arena *arena, const struct qty_value *value)
{
    const struct qty *qty = main_end(value);

    if (value->kind == QTY_LIMITS && value->low.text != NULL && value->high.text != NULL) {
        const char *low = value->low.text,
                   *unit = value->low.unit == NULL ? "" : value->low.unit->name;
        size_t length = strlen(low), tail = strlen(unit);
        bool simple = tail > 0 && length > tail && strcmp(low + length - tail, unit) == 0 &&
                      str_ends(value->high.text, unit) &&
                      value->low.text[length - tail - 1] == ' ' &&
                      strpbrk(low, " ") == low + length - tail - 1;
        return str_print(arena, "%s%s..%s%s", *low == '.' ? "0" : "",
                         simple ? str_slice(arena, low, length - tail - 1) : low,
                         *value->high.text == '.' ? "0" : "", value->high.text);
    }
    if (value->text != NULL && value->kind != QTY_ABSENT) {
        const char *open = strchr(value->text, '(');
        size_t length = open == NULL ? strlen(value->text) : (size_t)(open - value->text);
        while (length > 0 && value->text[length - 1] == ' ')
            length--;
        return str_slice(arena, value->text, length);
    }
    const struct qty_unit *unit = qty_unit_workshop(qty);
    int places =
        qty->unit != NULL && qty->half_digit > 0 ? qty->places : workshop_places(qty, unit);
    return qty_print_value(arena, value, unit, places);
}

char *qty_print_both(struct arena *arena, const struct qty_value *value,
                     const struct qty_unit *prefer)
{
    const struct qty_unit *own = qty_unit_workshop(main_end(value));
    const struct qty_unit *first =
        prefer != NULL && own != NULL && prefer->dim == own->dim ? prefer : own;

    if (value->kind == QTY_UNKNOWN || value->kind == QTY_ABSENT || first == NULL)
        return print_own(arena, value);
    char *lead = first == own
                     ? print_own(arena, value)
                     : qty_print_value(arena, value, first, converted_places(value, first));
    if (value->kind == QTY_CLASS && value->low.si == value->high.si)
        return lead; /* a class not yet looked up is no figure to convert */
    const struct qty_unit *second = qty_unit_other(first);
    if (second == NULL && first != own)
        second = own;
    if (second == NULL)
        return lead;
    char *follow = second == own
                       ? print_own(arena, value)
                       : qty_print_value(arena, value, second, converted_places(value, second));
    /* "at most 4 thou (0.101 mm)": the words need not be said twice */
    const char *words = value->kind == QTY_AT_MOST ? "at most " : "at least ";
    if ((value->kind == QTY_AT_MOST || value->kind == QTY_AT_LEAST) && str_starts(follow, words))
        follow += strlen(words);
    return str_print(arena, "%s (%s)", lead, follow);
}

/* --- fractions and exact digits --- */

char *qty_print_fraction(struct arena *arena, int64_t pm, int denominator, int64_t *rest_pm)
{
    int64_t step = INT64_C(25400000000) / denominator;
    int64_t size = pm < 0 ? -pm : pm;
    int64_t steps = (size + step / 2) / step, whole = steps / denominator;
    int64_t above = steps % denominator, below = denominator;

    assert(denominator >= 2 && denominator <= 128 && (denominator & (denominator - 1)) == 0);
    *rest_pm = pm - (pm < 0 ? -steps : steps) * step;
    while (above != 0 && above % 2 == 0) {
        above /= 2;
        below /= 2;
    }
    const char *sign = pm < 0 && steps > 0 ? "-" : "";
    if (above == 0)
        return str_print(arena, "%s%lld in", sign, (long long)whole);
    if (whole == 0)
        return str_print(arena, "%s%lld/%lld in", sign, (long long)above, (long long)below);
    return str_print(arena, "%s%lld %lld/%lld in", sign, (long long)whole, (long long)above,
                     (long long)below);
}

char *qty_exact_mm(struct arena *arena, int64_t pm)
{
    char *text = print_scaled(arena, pm, 9);
    size_t length = strlen(text);

    while (text[length - 1] == '0')
        length--;
    if (text[length - 1] == '.')
        length--;
    text[length] = '\0';
    return text;
}
