/* test_qty_bad.c - what the language page, section 2, says must be refused, with what to type.
 *
 * Each row: the text, what is due, the fault, the marked bytes, the fix. Applying a fix must give a
 * text that is read. */
#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include <gudgeon/qty.h>

enum { ALL = QTY_TAKE_ONE | QTY_TAKE_LIMITS | QTY_TAKE_SIZE | QTY_TAKE_SIDED | QTY_TAKE_UNKNOWN };

#define HINT "\1" /* a hint without an edit */

static const struct {
    const char *text;
    enum qty_dim dim;
    enum qty_fault fault;
    const char *marked, *fix; /* fix NULL: no hint at all */
} rows[] = {
    /* rule 1: strokes */
    {"117/32 in", QTY_LENGTH, QTY_FAULT_IMPROPER_FRACTION, "117/32 in", "1 17/32 in"},
    {"117/32\"", QTY_LENGTH, QTY_FAULT_IMPROPER_FRACTION, "117/32\"", "1 17/32 \""},
    {"19/16 in", QTY_LENGTH, QTY_FAULT_IMPROPER_FRACTION, "19/16 in", "1 9/16 in"},
    {"5/4 in", QTY_LENGTH, QTY_FAULT_IMPROPER_FRACTION, "5/4 in", "1 1/4 in"},
    {"4/4 in", QTY_LENGTH, QTY_FAULT_IMPROPER_FRACTION, "4/4 in", "1 in"},
    {"3/2 lb", QTY_MASS, QTY_FAULT_IMPROPER_FRACTION, "3/2 lb", "1 1/2 lb"},
    {"1 5/4 in", QTY_LENGTH, QTY_FAULT_IMPROPER_FRACTION, "1 5/4 in", "2 1/4 in"},
    {"62/64 mm", QTY_LENGTH, QTY_FAULT_FRACTION_UNIT, "62/64 mm", "62..64 mm"},
    {"25/30 lbf ft", QTY_TORQUE, QTY_FAULT_FRACTION_UNIT, "25/30 lbf ft", "25..30 lbf ft"},
    {"30/25 lbf ft", QTY_TORQUE, QTY_FAULT_FRACTION_UNIT, "30/25 lbf ft", "25..30 lbf ft"},
    {"1/2 mm", QTY_LENGTH, QTY_FAULT_FRACTION_UNIT, "1/2 mm", "0.5 mm"},
    {"1 3/4 mm", QTY_LENGTH, QTY_FAULT_FRACTION_UNIT, "1 3/4 mm", "1.75 mm"},
    {"1/2 thou", QTY_LENGTH, QTY_FAULT_FRACTION_UNIT, "1/2 thou", "0.5 thou"},
    {"1/2 h", QTY_TIME, QTY_FAULT_FRACTION_UNIT, "1/2 h", "0.5 h"},
    {"1/2", QTY_RATIO, QTY_FAULT_FRACTION_UNIT, "1/2", "0.5"},
    {"5%..0.1", QTY_RATIO, QTY_FAULT_TWO_UNITS, "5%..0.1", HINT},
    {"1/3 in", QTY_LENGTH, QTY_FAULT_DENOMINATOR, "1/3", HINT},
    {"1/256 in", QTY_LENGTH, QTY_FAULT_DENOMINATOR, "1/256", HINT},
    {"3/10 in", QTY_LENGTH, QTY_FAULT_DENOMINATOR, "3/10", HINT},
    {"1/6 in", QTY_LENGTH, QTY_FAULT_DENOMINATOR, "1/6", HINT},
    {"1/5 turn", QTY_ANGLE, QTY_FAULT_DENOMINATOR, "1/5", HINT},
    {"1/0 in", QTY_LENGTH, QTY_FAULT_DENOMINATOR, "1/0", NULL},
    {"0.5/1 in", QTY_LENGTH, QTY_FAULT_FRACTION_MIXTURE, "0.5/1", "0.5..1"},
    {"1/0.5 in", QTY_LENGTH, QTY_FAULT_FRACTION_MIXTURE, "1/0.5", "0.5..1"},
    {"1.5/2 in", QTY_LENGTH, QTY_FAULT_FRACTION_MIXTURE, "1.5/2", "1.5..2"},
    {"-.625/.626 in", QTY_LENGTH, QTY_FAULT_SYNTAX, "-.625/.626 in", "-.625...626 in"},
    {"1½ in", QTY_LENGTH, QTY_FAULT_SYNTAX, "1½", "1 1/2"},
    {"1 ¾ in", QTY_LENGTH, QTY_FAULT_SYNTAX, "1 ¾", "1 3/4"},
    {"½ in", QTY_LENGTH, QTY_FAULT_SYNTAX, "½", "1/2"},
    {"½\"", QTY_LENGTH, QTY_FAULT_SYNTAX, "½", "1/2"},
    {"-½ in", QTY_LENGTH, QTY_FAULT_SYNTAX, "½", "1/2"},
    /* rule 2: hyphens and dots */
    {"0.010-0.015 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.010-0.015 in", "0.010..0.015 in"},
    {"0.010 - 0.015 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.010 - 0.015 in", "0.010..0.015 in"},
    {"0.010–0.015 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.010–0.015 in", "0.010..0.015 in"},
    {"0.010—0.015 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.010—0.015 in", "0.010..0.015 in"},
    {"0.010−0.015 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.010−0.015 in", "0.010..0.015 in"},
    {"0.010…0.015 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.010…0.015 in", "0.010..0.015 in"},
    {"0.010~0.015 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.010~0.015 in", "0.010..0.015 in"},
    {"0.010 to 0.015 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.010 to 0.015 in", "0.010..0.015 in"},
    {"0.010 in to 0.015 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.010 in to 0.015 in",
     "0.010..0.015 in"},
    {"0.010 in-0.015 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.010 in-0.015 in", "0.010..0.015 in"},
    {"0.015-0.010 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "0.015-0.010 in", "0.010..0.015 in"},
    {"10-15 lbf ft", QTY_TORQUE, QTY_FAULT_RANGE_MARK, "10-15 lbf ft", "10..15 lbf ft"},
    {"1/4-1/2 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "1/4-1/2 in", "1/4..1/2 in"},
    {"1–1/2 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "1–1/2 in", "1 1/2 in"},
    {"1 to 1/2 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "1 to 1/2 in", "1/2..1 in"},
    {"1 - 1/2 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "1 - 1/2 in", "1 1/2 in"},
    {"5 ft 3 in - 5 ft 4 in", QTY_LENGTH, QTY_FAULT_RANGE_MARK, "5 ft 3 in - 5 ft 4 in",
     "5 ft 3 in..5 ft 4 in"},
    {"-0.0002..-0.001 in", QTY_LENGTH, QTY_FAULT_HIGH_FIRST, "-0.0002..-0.001 in",
     "-0.001..-0.0002 in"},
    {"25...26 mm", QTY_LENGTH, QTY_FAULT_HIGH_FIRST, "25...26 mm", "25..26 mm"},
    {"~25 mm", QTY_LENGTH, QTY_FAULT_SYNTAX, "~25 mm", HINT},
    {"0.015..0.010 in", QTY_LENGTH, QTY_FAULT_HIGH_FIRST, "0.015..0.010 in", "0.010..0.015 in"},
    {"24..20 lbf ft", QTY_TORQUE, QTY_FAULT_HIGH_FIRST, "24..20 lbf ft", "20..24 lbf ft"},
    {"0.010 in..0.3 mm", QTY_LENGTH, QTY_FAULT_TWO_UNITS, "0.010 in..0.3 mm", HINT},
    {"10 mm..2 cm", QTY_LENGTH, QTY_FAULT_TWO_UNITS, "10 mm..2 cm", HINT},
    {"14 oz..1 lb 2 oz", QTY_MASS, QTY_FAULT_TWO_UNITS, "14 oz..1 lb 2 oz", HINT},
    {"..5 mm", QTY_LENGTH, QTY_FAULT_OPEN_END, "..", "at most "},
    {"5 mm..", QTY_LENGTH, QTY_FAULT_OPEN_END, "..", HINT},
    {"-5 mm..", QTY_LENGTH, QTY_FAULT_OPEN_END, "..", HINT},
    {"–5 degC", QTY_TEMPERATURE, QTY_FAULT_SYNTAX, "–", "-"},
    {">= 0.25 mm", QTY_LENGTH, QTY_FAULT_SIDE_MARK, ">= 0.25 mm", "at least 0.25 mm"},
    {"≥0.25 mm", QTY_LENGTH, QTY_FAULT_SIDE_MARK, "≥0.25 mm", "at least 0.25 mm"},
    {"< 4 thou", QTY_LENGTH, QTY_FAULT_SIDE_MARK, "< 4 thou", "at most 4 thou"},
    {"max 4 thou", QTY_LENGTH, QTY_FAULT_SIDE_MARK, "max 4 thou", "at most 4 thou"},
    {"max. 4 thou", QTY_LENGTH, QTY_FAULT_SIDE_MARK, "max. 4 thou", "at most 4 thou"},
    {"max.", QTY_LENGTH, QTY_FAULT_SYNTAX, "max.", HINT},
    {"4 thou max", QTY_LENGTH, QTY_FAULT_SIDE_MARK, "4 thou max", "at most 4 thou"},
    {"0.25 mm min", QTY_LENGTH, QTY_FAULT_SIDE_MARK, "0.25 mm min", "at least 0.25 mm"},
    /* rule 3: products, compounds, torques that are none */
    {"25 lb", QTY_TORQUE, QTY_FAULT_TORQUE_UNIT, "lb", HINT},
    {"25 lbs", QTY_TORQUE, QTY_FAULT_TORQUE_UNIT, "lbs", HINT},
    {"25 ft", QTY_TORQUE, QTY_FAULT_TORQUE_UNIT, "ft", HINT},
    {"25 pounds", QTY_TORQUE, QTY_FAULT_TORQUE_UNIT, "pounds", HINT},
    {"3 kg", QTY_TORQUE, QTY_FAULT_TORQUE_UNIT, "kg", HINT},
    {"34 N", QTY_TORQUE, QTY_FAULT_TORQUE_UNIT, "N", "N m"},
    {"3.5 kg/m", QTY_TORQUE, QTY_FAULT_KG_PER_M, "kg/m", "kgf m"},
    {"25 lb/ft", QTY_TORQUE, QTY_FAULT_KG_PER_M, "lb/ft", "lbf ft"},
    {"25 lbs/ft", QTY_TORQUE, QTY_FAULT_KG_PER_M, "lbs/ft", "lbf ft"},
    {"34 N/m", QTY_TORQUE, QTY_FAULT_KG_PER_M, "N/m", "N m"},
    {"5 ft 3 lb", QTY_TORQUE, QTY_FAULT_TORQUE_UNIT, "ft", HINT},
    {"5 ft 14 in", QTY_LENGTH, QTY_FAULT_COMPOUND, "14 in", HINT},
    {"2 lb 17 oz", QTY_MASS, QTY_FAULT_COMPOUND, "17 oz", HINT},
    {"3 in 5 ft", QTY_LENGTH, QTY_FAULT_COMPOUND, "3 in 5 ft", NULL},
    {"3 cm 5 mm", QTY_LENGTH, QTY_FAULT_COMPOUND, "3 cm 5 mm", NULL},
    {"5 1/2 ft 3 in", QTY_LENGTH, QTY_FAULT_COMPOUND, "5 1/2", HINT},
    {"5.5 ft 3 in", QTY_LENGTH, QTY_FAULT_COMPOUND, "5.5", HINT},
    {"1 yd 1 ft 3 in", QTY_LENGTH, QTY_FAULT_COMPOUND, "1 yd 1 ft 3", NULL},
    {"5 ft 3 lb", QTY_LENGTH, QTY_FAULT_DIMENSION, "lb", HINT},
    /* rule 4: degrees, pints, commas, thousands, powers, bare numbers */
    {"200 degrees", QTY_TEMPERATURE, QTY_FAULT_BARE_DEGREES, "degrees", HINT},
    {"200 deg", QTY_TEMPERATURE, QTY_FAULT_BARE_DEGREES, "deg", HINT},
    {"200°", QTY_TEMPERATURE, QTY_FAULT_BARE_DEGREES, "°", HINT},
    {"80 deg", QTY_TEMPERATURE_DIFFERENCE, QTY_FAULT_BARE_DEGREES, "deg", HINT},
    {"373 K", QTY_TEMPERATURE, QTY_FAULT_DIMENSION, "K", HINT},
    {"-300 degC", QTY_TEMPERATURE, QTY_FAULT_ABSOLUTE_ZERO, "-300 degC", NULL},
    {"-460 degF", QTY_TEMPERATURE, QTY_FAULT_ABSOLUTE_ZERO, "-460 degF", NULL},
    {"3 pint", QTY_VOLUME, QTY_FAULT_NEEDS_IMP_OR_US, "pint", HINT},
    {"3 pints", QTY_VOLUME, QTY_FAULT_NEEDS_IMP_OR_US, "pints", HINT},
    {"1 gal", QTY_VOLUME, QTY_FAULT_NEEDS_IMP_OR_US, "gal", HINT},
    {"1 quart", QTY_VOLUME, QTY_FAULT_NEEDS_IMP_OR_US, "quart", HINT},
    {"5 fl oz", QTY_VOLUME, QTY_FAULT_NEEDS_IMP_OR_US, "fl oz", HINT},
    {"24,5 mm", QTY_LENGTH, QTY_FAULT_DECIMAL_COMMA, "24,5", "24.5"},
    {"0,254 mm", QTY_LENGTH, QTY_FAULT_DECIMAL_COMMA, "0,254", "0.254"},
    {"32,54 Nm", QTY_TORQUE, QTY_FAULT_DECIMAL_COMMA, "32,54", "32.54"},
    {"1,200 mm", QTY_LENGTH, QTY_FAULT_THOUSANDS, "1,200", "1200"},
    {"1,200,000 um", QTY_LENGTH, QTY_FAULT_THOUSANDS, "1,200,000", "1200000"},
    {"1,200.5 mm", QTY_LENGTH, QTY_FAULT_THOUSANDS, "1,200.5", "1200.5"},
    {"1 200 rpm", QTY_SPEED, QTY_FAULT_THOUSANDS, "1 200", "1200"},
    {"1 200 300 um", QTY_LENGTH, QTY_FAULT_THOUSANDS, "1 200 300", "1200300"},
    {"1,200 GBP", QTY_MONEY, QTY_FAULT_THOUSANDS, "1,200", "1200"},
    {"1e3 mm", QTY_LENGTH, QTY_FAULT_EXPONENT, "1e3", "1000"},
    {"1.5e-3 in", QTY_LENGTH, QTY_FAULT_EXPONENT, "1.5e-3", "0.0015"},
    {"1E+2 mm", QTY_LENGTH, QTY_FAULT_EXPONENT, "1E+2", "100"},
    {"2.5e1 mm", QTY_LENGTH, QTY_FAULT_EXPONENT, "2.5e1", "25"},
    {"24", QTY_TORQUE, QTY_FAULT_NO_UNIT, "24", HINT},
    {"0", QTY_LENGTH, QTY_FAULT_NO_UNIT, "0", HINT},
    {"0.010..0.015", QTY_LENGTH, QTY_FAULT_NO_UNIT, "0.015", HINT},
    {"1 1/2", QTY_LENGTH, QTY_FAULT_NO_UNIT, "1 1/2", HINT},
    {"12", QTY_NONE, QTY_FAULT_NO_UNIT, "12", HINT},
    /* units */
    {"12 kg", QTY_LENGTH, QTY_FAULT_DIMENSION, "kg", HINT},
    {"5 N", QTY_MASS, QTY_FAULT_DIMENSION, "N", HINT},
    {"30 min", QTY_ANGLE, QTY_FAULT_DIMENSION, "min", HINT},
    {"12 nn", QTY_LENGTH, QTY_FAULT_UNIT, "nn", HINT},
    {"12 MM", QTY_LENGTH, QTY_FAULT_UNIT, "MM", "mm"},
    {"12 Inch", QTY_LENGTH, QTY_FAULT_UNIT, "Inch", "in"},
    {"34 nm", QTY_TORQUE, QTY_FAULT_UNIT, "nm", "N m"},
    {"35 PSI", QTY_STRESS, QTY_FAULT_UNIT, "PSI", "psi"},
    {"1500 RPM", QTY_SPEED, QTY_FAULT_UNIT, "RPM", "rpm"},
    {"3 ton", QTY_MASS, QTY_FAULT_AMBIGUOUS_UNIT, "ton", HINT},
    {"28 ton/in2", QTY_STRESS, QTY_FAULT_AMBIGUOUS_UNIT, "ton/in2", HINT},
    {"2 cwt", QTY_MASS, QTY_FAULT_AMBIGUOUS_UNIT, "cwt", HINT},
    {"2 tenths", QTY_LENGTH, QTY_FAULT_AMBIGUOUS_UNIT, "tenths", HINT},
    {"5 mil", QTY_LENGTH, QTY_FAULT_AMBIGUOUS_UNIT, "mil", HINT},
    {"8 off", QTY_COUNT, QTY_FAULT_DIMENSION, "off", ""},
    {"8.5", QTY_COUNT, QTY_FAULT_FINE, "8.5", NULL},
    {"5 wibble", QTY_LENGTH, QTY_FAULT_UNIT, "wibble", HINT},
    /* money */
    {"£9.80", QTY_MONEY, QTY_FAULT_CURRENCY, "£9.80", "9.80 GBP"},
    {"€ 9.80", QTY_MONEY, QTY_FAULT_CURRENCY, "€ 9.80", "9.80 EUR"},
    {"$9.80", QTY_MONEY, QTY_FAULT_CURRENCY, "$9.80", HINT},
    {"GBP 9.80", QTY_MONEY, QTY_FAULT_CURRENCY, "GBP 9.80", "9.80 GBP"},
    {"9.80 £", QTY_MONEY, QTY_FAULT_CURRENCY, "£", "GBP"},
    {"9.80 gbp", QTY_MONEY, QTY_FAULT_CURRENCY, "gbp", "GBP"},
    {"9.80 pounds", QTY_MONEY, QTY_FAULT_DIMENSION, "pounds", HINT},
    {"9.805 GBP", QTY_MONEY, QTY_FAULT_FINE, "9.805", NULL},
    {"0.5 JPY", QTY_MONEY, QTY_FAULT_FINE, "0.5", NULL},
    {"9.80 XYZ", QTY_MONEY, QTY_FAULT_CURRENCY, "XYZ", HINT},
    {"9.80", QTY_MONEY, QTY_FAULT_NO_UNIT, "9.80", HINT},
    /* tolerances and classes */
    {"25 ±0.02 mm", QTY_LENGTH, QTY_FAULT_TOLERANCE, "25 ±0.02 mm", "25 mm ±0.02"},
    {"25 +0.02/-0.01 mm", QTY_LENGTH, QTY_FAULT_TOLERANCE, "25 +0.02/-0.01 mm",
     "25 mm +0.02/-0.01"},
    {"25 mm ±0.02 mm", QTY_LENGTH, QTY_FAULT_TOLERANCE, "±0.02 mm", "±0.02"},
    {"25 mm +0.02/-0.01 mm", QTY_LENGTH, QTY_FAULT_TOLERANCE, "+0.02/-0.01 mm", "+0.02/-0.01"},
    {"25 mm ±0.001 in", QTY_LENGTH, QTY_FAULT_TOLERANCE, "±0.001 in", HINT},
    {"25 mm +/-0.02", QTY_LENGTH, QTY_FAULT_TOLERANCE, "+/-0.02", "±0.02"},
    {"25 mm -0.02", QTY_LENGTH, QTY_FAULT_TOLERANCE, "-0.02", "+0/-0.02"},
    {"25 mm +0.02", QTY_LENGTH, QTY_FAULT_TOLERANCE, "+0.02", "+0.02/-0"},
    {"25 mm +0.02 -0.01", QTY_LENGTH, QTY_FAULT_TOLERANCE, "+0.02 -0.01", "+0.02/-0.01"},
    {"25 mm -0.004/+0.009", QTY_LENGTH, QTY_FAULT_TOLERANCE, "-0.004/+0.009", "+0.009/-0.004"},
    {"25 mm +0.02/0.01", QTY_LENGTH, QTY_FAULT_TOLERANCE, "0.01", HINT},
    {"62 mm O6", QTY_LENGTH, QTY_FAULT_CLASS, "O6", HINT},
    {"62 mm I6", QTY_LENGTH, QTY_FAULT_CLASS, "I6", HINT},
    {"62 mm q6", QTY_LENGTH, QTY_FAULT_CLASS, "q6", HINT},
    {"62 mm Js6", QTY_LENGTH, QTY_FAULT_CLASS, "Js6", HINT},
    {"62 mm H19", QTY_LENGTH, QTY_FAULT_CLASS, "H19", HINT},
    {"24 lbf ft M6", QTY_TORQUE, QTY_FAULT_CLASS, "M6", ""},
    /* pairs */
    {"3 mm (4 kg)", QTY_LENGTH, QTY_FAULT_DIMENSION, "kg", HINT},
    {"3 mm (0.1..0.2 in)", QTY_LENGTH, QTY_FAULT_PAIR_FORM, "(0.1..0.2 in)", HINT},
    {"0.1..0.2 in (3 mm)", QTY_LENGTH, QTY_FAULT_PAIR_FORM, "(3 mm)", HINT},
    {"unknown (3 mm)", QTY_LENGTH, QTY_FAULT_PAIR_FORM, "(3 mm)", NULL},
    {"(3 mm)", QTY_LENGTH, QTY_FAULT_SYNTAX, "", HINT},
    {"3 mm (", QTY_LENGTH, QTY_FAULT_SYNTAX, "(", NULL},
    {"3 mm (1/8 in", QTY_LENGTH, QTY_FAULT_SYNTAX, "(1/8 in", NULL},
    {"3 mm (3 mm) 4", QTY_LENGTH, QTY_FAULT_SYNTAX, "(3 mm)", NULL},
    /* not quantities at all */
    {"", QTY_LENGTH, QTY_FAULT_SYNTAX, "", HINT},
    {"   ", QTY_LENGTH, QTY_FAULT_SYNTAX, "", HINT},
    {"abc", QTY_LENGTH, QTY_FAULT_SYNTAX, "abc", HINT},
    {"a\nb", QTY_LENGTH, QTY_FAULT_SYNTAX, "a\nb", HINT},
    {"mm", QTY_LENGTH, QTY_FAULT_SYNTAX, "mm", HINT},
    {"no", QTY_COUNT, QTY_FAULT_SYNTAX, "no", HINT},
    {"about 3 mm", QTY_LENGTH, QTY_FAULT_SYNTAX, "about 3 mm", HINT},
    {"3 4 mm", QTY_LENGTH, QTY_FAULT_SYNTAX, "3 4", NULL},
    {"1.2.3 mm", QTY_LENGTH, QTY_FAULT_SYNTAX, "1.2.3", NULL},
    {"--3 mm", QTY_LENGTH, QTY_FAULT_SYNTAX, "-", NULL},
    {"3 mm; 4 mm", QTY_LENGTH, QTY_FAULT_SYNTAX, "; 4 mm", HINT},
    {"3 mm = 4", QTY_LENGTH, QTY_FAULT_SYNTAX, "= 4", HINT},
    {"0x10 mm", QTY_LENGTH, QTY_FAULT_UNIT, "x10 mm", HINT},
    {"nan mm", QTY_LENGTH, QTY_FAULT_SYNTAX, "nan mm", HINT},
    {"inf", QTY_LENGTH, QTY_FAULT_SYNTAX, "inf", HINT},
    /* bounds */
    {"0.0000000000001 mm", QTY_LENGTH, QTY_FAULT_FINE, "0.0000000000001", NULL},
    {"0.00000000001 in", QTY_LENGTH, QTY_FAULT_FINE, "0.00000000001", NULL},
    {"1234567890123456789 mm", QTY_LENGTH, QTY_FAULT_LARGE, "1234567890123456789", NULL},
    {"100000000 m", QTY_LENGTH, QTY_FAULT_LARGE, "100000000", NULL},
    {"0 tpi", QTY_LENGTH, QTY_FAULT_LARGE, "0", NULL},
};

/* `text` with [begin, end) replaced. */
static void apply(char *out, size_t room, const char *text, const struct qty_error *error)
{
    snprintf(out, room, "%.*s%s%s", (int)error->begin, text, error->fix, text + error->end);
}

Test(qty_bad, each_trap_is_refused_at_its_place_with_what_to_type)
{
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct qty_value value;
        struct qty_error error;
        bool ok = qty_read(arena, rows[i].text, rows[i].dim, ALL, &value, &error);
        cr_expect(!ok, "'%s' was read", rows[i].text);
        cr_expect_eq(error.fault, rows[i].fault, "'%s': fault %d, %s", rows[i].text, error.fault,
                     error.message == NULL ? "" : error.message);
        if (ok || error.fault != rows[i].fault)
            continue;
        char marked[256];
        snprintf(marked, sizeof marked, "%.*s", (int)(error.end - error.begin),
                 rows[i].text + error.begin);
        cr_expect_str_eq(marked, rows[i].marked, "'%s': marked '%s'", rows[i].text, marked);
        bool hinted = rows[i].fix != NULL;
        cr_expect_eq(error.hint != NULL, hinted, "'%s': hint '%s'", rows[i].text,
                     error.hint == NULL ? "" : error.hint);
        bool edit = hinted && strcmp(rows[i].fix, HINT) != 0;
        if (edit)
            cr_expect(str_equal(error.fix, rows[i].fix), "'%s': fix '%s'", rows[i].text,
                      error.fix == NULL ? "" : error.fix);
        else
            cr_expect_null(error.fix, "'%s': fix '%s'", rows[i].text, error.fix);
        cr_expect(error.message[0] < 'A' || error.message[0] > 'Z' ||
                      strncmp(error.message, rows[i].text, 1) == 0,
                  "'%s': message begins small: %s", rows[i].text, error.message);
        cr_expect_null(strchr(error.message, '\n'));
    }
    arena_free(arena);
}

Test(qty_bad, applying_the_fix_gives_a_value)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    size_t fixes = 0;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct qty_value value;
        struct qty_error error;
        char mended[256];
        qty_read(arena, rows[i].text, rows[i].dim, ALL, &value, &error);
        if (error.fix == NULL)
            continue;
        apply(mended, sizeof mended, rows[i].text, &error);
        bool ok = qty_read(arena, mended, rows[i].dim, ALL, &value, &error);
        cr_expect(ok && error.fault == QTY_OK, "'%s' mended to '%s': %s", rows[i].text, mended,
                  error.message == NULL ? "" : error.message);
        fixes++;
    }
    cr_expect_gt(fixes, 60);
    arena_free(arena);
}

Test(qty_bad, a_form_that_the_key_does_not_take_is_refused)
{
    static const struct {
        const char *text;
        unsigned takes;
    } forms[] = {
        {"0.010..0.015 in", QTY_TAKE_ONE},
        {".6250/.6255 in", QTY_TAKE_ONE},
        {"25 mm ±0.02", QTY_TAKE_ONE | QTY_TAKE_LIMITS},
        {"62 mm M6", QTY_TAKE_ONE | QTY_TAKE_LIMITS},
        {"at least 0.25 mm", QTY_TAKE_ONE | QTY_TAKE_LIMITS | QTY_TAKE_SIZE},
        {"at most 4 thou", QTY_TAKE_ONE},
        {"unknown", QTY_TAKE_ONE | QTY_TAKE_LIMITS},
        {"3 mm", QTY_TAKE_LIMITS | QTY_TAKE_SIDED},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        struct qty_value value;
        struct qty_error error;
        cr_expect(!qty_read(arena, forms[i].text, QTY_LENGTH, forms[i].takes, &value, &error),
                  "'%s' was read", forms[i].text);
        cr_expect_eq(error.fault, QTY_FAULT_FORM, "'%s': fault %d", forms[i].text, error.fault);
        cr_expect_not_null(error.hint, "'%s'", forms[i].text);
    }
    arena_free(arena);
}

Test(qty_bad, what_cannot_be_negative_is_refused_below_zero)
{
    static const struct {
        const char *text;
        enum qty_dim dim;
        const char *fix; /* NULL: read; HINT: refused without an edit */
    } signs[] = {
        {"-3 mm", QTY_LENGTH, "3 mm"},
        {"−1 1/2 in", QTY_LENGTH, "1 1/2 in"},
        {"-0.001..0.002 in", QTY_LENGTH, HINT},
        {"0.001 in ±0.002", QTY_LENGTH, HINT},
        {"at most -3 mm", QTY_LENGTH, HINT},
        {"-5 lbf ft", QTY_TORQUE, "5 lbf ft"},
        {"-1", QTY_COUNT, "1"},
        {"0 mm", QTY_LENGTH, NULL},
        {"-20 degC", QTY_TEMPERATURE, NULL},
        {"at least 0 mm", QTY_LENGTH, NULL},
        {"unknown", QTY_LENGTH, NULL},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
        struct qty_value value;
        struct qty_error error;
        bool ok =
            qty_read(arena, signs[i].text, signs[i].dim, ALL | QTY_TAKE_POSITIVE, &value, &error);
        cr_expect_eq(ok, signs[i].fix == NULL, "'%s'", signs[i].text);
        if (ok)
            continue;
        cr_expect_eq(error.fault, QTY_FAULT_NEGATIVE, "'%s': fault %d", signs[i].text, error.fault);
        if (strcmp(signs[i].fix, HINT) == 0)
            cr_expect(error.fix == NULL && error.hint != NULL, "'%s'", signs[i].text);
        else
            cr_expect(str_equal(error.fix, signs[i].fix), "'%s': fix '%s'", signs[i].text,
                      error.fix);
    }
    arena_free(arena);
}

Test(qty_bad, crank_positions_that_leave_something_unsaid)
{
    static const struct {
        const char *text;
        enum qty_fault fault;
    } cranks[] = {
        {"", QTY_FAULT_CRANK},
        {"32 deg", QTY_FAULT_CRANK},
        {"32 deg tdc", QTY_FAULT_CRANK},
        {"before tdc", QTY_FAULT_CRANK},
        {"btdc", QTY_FAULT_CRANK},
        {"32 before tdc", QTY_FAULT_NO_UNIT},
        {"32 kg before tdc", QTY_FAULT_CRANK},
        {"-32 deg before tdc", QTY_FAULT_CRANK},
        {"32 deg before tdc 1 firing now", QTY_FAULT_CRANK},
        {"32 deg before tdc firing 1", QTY_FAULT_CRANK},
        {"32 deg before tdc #1", QTY_FAULT_CRANK},
        {"30..32 deg before tdc", QTY_FAULT_FORM},
        {"32,5 deg before tdc", QTY_FAULT_DECIMAL_COMMA},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof cranks / sizeof *cranks; i++) {
        struct qty_crank crank;
        struct qty_error error;
        cr_expect(!qty_read_crank(arena, cranks[i].text, &crank, &error), "'%s' was read",
                  cranks[i].text);
        cr_expect_eq(error.fault, cranks[i].fault, "'%s': fault %d %s", cranks[i].text, error.fault,
                     error.message);
        cr_expect(error.begin <= error.end && error.end <= strlen(cranks[i].text), "'%s'",
                  cranks[i].text);
    }
    arena_free(arena);
}

Test(qty_bad, long_and_odd_texts_are_refused_without_harm)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    char text[20001];
    struct qty_value value;
    struct qty_error error;

    for (int c = 1; c < 256; c++) {
        memset(text, c, 300);
        text[300] = '\0';
        bool ok = qty_read(arena, text, QTY_LENGTH, ALL, &value, &error);
        cr_expect(!ok, "300 times byte %d was read", c);
        cr_expect(error.end <= 300 && error.begin <= error.end);
    }
    for (size_t i = 0; i < 20000; i += 2)
        memcpy(text + i, "1 ", 2);
    text[20000] = '\0';
    cr_expect(!qty_read(arena, text, QTY_LENGTH, ALL, &value, &error));
    memset(text, 'a', 20000);
    cr_expect(!qty_read(arena, text, QTY_LENGTH, ALL, &value, &error));
    cr_expect_lt(strlen(error.message), 100, "a message does not repeat a long text");
    arena_free(arena);
}
