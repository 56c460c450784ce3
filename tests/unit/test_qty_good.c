/* test_qty_good.c - what the language page, section 2, says must be read, and as what.
 *
 * Expected lengths are worked by hand from 25.4 mm to the inch; torques from 0.45359237 kg *
 * 9.80665 m/s2 (NIST SP 811). */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include <gudgeon/qty.h>

enum { ALL = QTY_TAKE_ONE | QTY_TAKE_LIMITS | QTY_TAKE_SIZE | QTY_TAKE_SIDED | QTY_TAKE_UNKNOWN };

#define NM_PER_LBF_FT 1.3558179483314004
#define NM_PER_LBF_IN 0.1129848290276167

static struct qty_value read_value(struct arena *arena, const char *text, enum qty_dim dim,
                                   unsigned takes)
{
    struct qty_value value;
    struct qty_error error;
    bool ok = qty_read(arena, text, dim, takes, &value, &error);

    cr_assert(ok && error.fault == QTY_OK, "'%s' was refused: %s", text,
              error.message == NULL ? "" : error.message);
    return value;
}

static const struct {
    const char *text;
    enum qty_kind kind;
    int64_t low_pm, high_pm;
} lengths[] = {
    /* the rows of the grammar */
    {"38.10 mm", QTY_ONE, 38100000000, 38100000000},
    {"1 1/2 in", QTY_ONE, 38100000000, 38100000000},
    {"1-1/2\"", QTY_ONE, 38100000000, 38100000000},
    {"1-1/2 in", QTY_ONE, 38100000000, 38100000000},
    {"1 1\u20442 in", QTY_ONE, 38100000000, 38100000000}, /* U+2044, as keyboards of phones write it */
    {".25...26 in", QTY_LIMITS, 6350000000, 6604000000}, /* .25 to .26 */
    {"1 1/2\"", QTY_ONE, 38100000000, 38100000000},
    {".0035 in", QTY_ONE, 88900000, 88900000},
    {"0.0035 in", QTY_ONE, 88900000, 88900000},
    {"3 thou", QTY_ONE, 76200000, 76200000},
    {"3.5 thou", QTY_ONE, 88900000, 88900000},
    {"0.010..0.015 in", QTY_LIMITS, 254000000, 381000000},
    {"0.010 in..0.015 in", QTY_LIMITS, 254000000, 381000000},
    {".6250/.6255 in", QTY_LIMITS, 15875000000, 15887700000},
    {".6255/.6250 in", QTY_LIMITS, 15875000000, 15887700000},
    {".815/.814 in", QTY_LIMITS, 20675600000, 20701000000},
    {"25.000 mm +0.009/-0.004", QTY_SIZE, 24996000000, 25009000000},
    {"1.250 in ±0.0005", QTY_SIZE, 31737300000, 31762700000},
    {"62 mm M6", QTY_CLASS, 62000000000, 62000000000},
    /* units and their spellings */
    {"1 in", QTY_ONE, 25400000000, 25400000000},
    {"1 inch", QTY_ONE, 25400000000, 25400000000},
    {"2 inches", QTY_ONE, 50800000000, 50800000000},
    {"1 in.", QTY_ONE, 25400000000, 25400000000},
    {"1in", QTY_ONE, 25400000000, 25400000000},
    {"1\"", QTY_ONE, 25400000000, 25400000000},
    {"1 ″", QTY_ONE, 25400000000, 25400000000},
    {"1 ft", QTY_ONE, 304800000000, 304800000000},
    {"1'", QTY_ONE, 304800000000, 304800000000},
    {"3 feet", QTY_ONE, 914400000000, 914400000000},
    {"1 yd", QTY_ONE, 914400000000, 914400000000},
    {"5 ft 3 in", QTY_ONE, 1600200000000, 1600200000000},
    {"5' 3\"", QTY_ONE, 1600200000000, 1600200000000},
    {"5'3\"", QTY_ONE, 1600200000000, 1600200000000},
    {"5 ft 3 1/2 in", QTY_ONE, 1612900000000, 1612900000000},
    {"5 ft 3.5 in", QTY_ONE, 1612900000000, 1612900000000},
    {"1 m", QTY_ONE, 1000000000000, 1000000000000},
    {"2.5 cm", QTY_ONE, 25000000000, 25000000000},
    {"1 millimetre", QTY_ONE, 1000000000, 1000000000},
    {"3 um", QTY_ONE, 3000000, 3000000},
    {"3 µm", QTY_ONE, 3000000, 3000000},
    {"3 μm", QTY_ONE, 3000000, 3000000},
    {"3 microns", QTY_ONE, 3000000, 3000000},
    {"12 uin", QTY_ONE, 304800, 304800},
    {"22 tpi", QTY_ONE, 1154545455, 1154545455},
    {"26 tpi", QTY_ONE, 976923077, 976923077},
    {"20 tpi", QTY_ONE, 1270000000, 1270000000},
    /* fractions by halving down to 128 */
    {"1/2 in", QTY_ONE, 12700000000, 12700000000},
    {"1/4 in", QTY_ONE, 6350000000, 6350000000},
    {"3/8 in", QTY_ONE, 9525000000, 9525000000},
    {"5/16 in", QTY_ONE, 7937500000, 7937500000},
    {"7/32 in", QTY_ONE, 5556250000, 5556250000},
    {"1/64 in", QTY_ONE, 396875000, 396875000},
    {"1/128 in", QTY_ONE, 198437500, 198437500},
    {"1 17/32 in", QTY_ONE, 38893750000, 38893750000},
    {"10-15/16 in", QTY_ONE, 277812500000, 277812500000},
    {"2/4 in", QTY_ONE, 12700000000, 12700000000},
    {"1/2 ft", QTY_ONE, 152400000000, 152400000000},
    /* signs */
    {"-0.001 in", QTY_ONE, -25400000, -25400000},
    {"−0.001 in", QTY_ONE, -25400000, -25400000},
    {"- 0.001 in", QTY_ONE, -25400000, -25400000},
    {"+0.001 in", QTY_ONE, 25400000, 25400000},
    {"-1 1/2 in", QTY_ONE, -38100000000, -38100000000},
    {"-1-1/2 in", QTY_ONE, -38100000000, -38100000000},
    {"-5 ft 3 in", QTY_ONE, -1600200000000, -1600200000000},
    {"-0.001..-0.0002 in", QTY_LIMITS, -25400000, -5080000},
    {"−0.001..−0.0002 in", QTY_LIMITS, -25400000, -5080000},
    {"-0.001..0.0002 in", QTY_LIMITS, -25400000, 5080000},
    {"-0.02..+0.01 mm", QTY_LIMITS, -20000000, 10000000},
    {"0 mm", QTY_ONE, 0, 0},
    {"0..0.05 mm", QTY_LIMITS, 0, 50000000},
    /* limits */
    {"1/4..1/2 in", QTY_LIMITS, 6350000000, 12700000000},
    {"1 1/2..1 3/4 in", QTY_LIMITS, 38100000000, 44450000000},
    {"5 ft 3 in..5 ft 4 in", QTY_LIMITS, 1600200000000, 1625600000000},
    {"0.25 .. 0.30 mm", QTY_LIMITS, 250000000, 300000000},
    {"4..6 thou", QTY_LIMITS, 101600000, 152400000},
    {".010...015 in", QTY_LIMITS, 254000000, 381000000},
    {"3.0000..3.0015 in", QTY_LIMITS, 76200000000, 76238100000},
    {"0.10..0.10 mm", QTY_LIMITS, 100000000, 100000000},
    {"8.25/8.5 mm", QTY_LIMITS, 8250000000, 8500000000},
    {"0.8 / 0.9 mm", QTY_LIMITS, 800000000, 900000000},
    /* sizes */
    {"25 mm +0.02/-0", QTY_SIZE, 25000000000, 25020000000},
    {"25 mm +0.02/0", QTY_SIZE, 25000000000, 25020000000},
    {"25 mm +0/-0.02", QTY_SIZE, 24980000000, 25000000000},
    {"25 mm 0/-0.02", QTY_SIZE, 24980000000, 25000000000},
    {"25 mm +0.015/+0.002", QTY_SIZE, 25002000000, 25015000000},
    {"25 mm -0.007/-0.020", QTY_SIZE, 24980000000, 24993000000},
    {"25 mm +0.009/−0.004", QTY_SIZE, 24996000000, 25009000000},
    {"25 mm ±0.02", QTY_SIZE, 24980000000, 25020000000},
    {"25 mm ± 0.02", QTY_SIZE, 24980000000, 25020000000},
    {"1 1/2 in ±0.001", QTY_SIZE, 38074600000, 38125400000},
    {"1 1/2 in +1/64/-0", QTY_SIZE, 38100000000, 38496875000},
    {"25mm±0.02", QTY_SIZE, 24980000000, 25020000000},
    /* classes keep their capitals */
    {"25 mm k5", QTY_CLASS, 25000000000, 25000000000},
    {"62 mm JS6", QTY_CLASS, 62000000000, 62000000000},
    {"62 mm js6", QTY_CLASS, 62000000000, 62000000000},
    {"30 mm H7", QTY_CLASS, 30000000000, 30000000000},
    {"30 mm zc11", QTY_CLASS, 30000000000, 30000000000},
    {"30 mm H01", QTY_CLASS, 30000000000, 30000000000},
    {"30 mm CD18", QTY_CLASS, 30000000000, 30000000000},
    {"1 1/4 in H7", QTY_CLASS, 31750000000, 31750000000},
    /* blanks of any kind around and between */
    {"  38.10 mm  ", QTY_ONE, 38100000000, 38100000000},
    {"38.10\xC2\xA0mm", QTY_ONE, 38100000000, 38100000000},
    {"38.10\tmm", QTY_ONE, 38100000000, 38100000000},
    {"38.10\n mm", QTY_ONE, 38100000000, 38100000000},
    {"007 mm", QTY_ONE, 7000000000, 7000000000},
    /* exact to the picometre and to a millionth of an inch */
    {"0.000000001 mm", QTY_ONE, 1, 1},
    {"1.000001 in", QTY_ONE, 25400025400, 25400025400},
};

Test(qty_good, lengths_are_exact_picometres_in_every_form)
{
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
        struct qty_value value = read_value(arena, lengths[i].text, QTY_LENGTH, ALL);
        cr_expect_eq(value.kind, lengths[i].kind, "'%s': form %d", lengths[i].text, value.kind);
        cr_expect_eq(value.low.exact, lengths[i].low_pm, "'%s': low %lld pm", lengths[i].text,
                     (long long)value.low.exact);
        cr_expect_eq(value.high.exact, lengths[i].high_pm, "'%s': high %lld pm", lengths[i].text,
                     (long long)value.high.exact);
        cr_expect_float_eq(value.low.si, (double)lengths[i].low_pm * 1e-12, 1e-15, "'%s'",
                           lengths[i].text);
    }
    arena_free(arena);
}

static const struct {
    const char *text;
    enum qty_dim dim;
    double low, high; /* SI */
} reals[] = {
    /* products: two unit words behind one number */
    {"25 lb ft", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 ft-lbs", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 lbf.ft", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 lbf ft", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 ft lbf", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 lb-ft", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 lb.ft.", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 ft. lbs.", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 ft.-lbs.", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 ft.-lb.", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 foot pounds", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 foot-pounds", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 pounds feet", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 lb·ft", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25 ftlb", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"25lb ft", QTY_TORQUE, 25 * NM_PER_LBF_FT, 25 * NM_PER_LBF_FT},
    {"300 in lb", QTY_TORQUE, 300 * NM_PER_LBF_IN, 300 * NM_PER_LBF_IN},
    {"300 lbf in", QTY_TORQUE, 300 * NM_PER_LBF_IN, 300 * NM_PER_LBF_IN},
    {"300 in-lbs", QTY_TORQUE, 300 * NM_PER_LBF_IN, 300 * NM_PER_LBF_IN},
    {"300 inch pounds", QTY_TORQUE, 300 * NM_PER_LBF_IN, 300 * NM_PER_LBF_IN},
    {"16 oz in", QTY_TORQUE, NM_PER_LBF_IN, NM_PER_LBF_IN},
    {"34 Nm", QTY_TORQUE, 34, 34},
    {"34 N m", QTY_TORQUE, 34, 34},
    {"34 N·m", QTY_TORQUE, 34, 34},
    {"34 N.m", QTY_TORQUE, 34, 34},
    {"34 N-m", QTY_TORQUE, 34, 34},
    {"34 newton metres", QTY_TORQUE, 34, 34},
    {"340 N cm", QTY_TORQUE, 3.4, 3.4},
    {"3.5 kg m", QTY_TORQUE, 34.323275, 34.323275},
    {"3.5 kp m", QTY_TORQUE, 34.323275, 34.323275},
    {"3.5 kgf m", QTY_TORQUE, 34.323275, 34.323275},
    {"3.5 kg.m", QTY_TORQUE, 34.323275, 34.323275},
    {"3.5 kg-m", QTY_TORQUE, 34.323275, 34.323275},
    {"3.5 mkg", QTY_TORQUE, 34.323275, 34.323275},
    {"350 kg cm", QTY_TORQUE, 34.323275, 34.323275},
    {"20..24 lbf ft", QTY_TORQUE, 20 * NM_PER_LBF_FT, 24 * NM_PER_LBF_FT},
    {"24 lbf ft ±2", QTY_TORQUE, 22 * NM_PER_LBF_FT, 26 * NM_PER_LBF_FT},
    {"20.5/24.5 lbf ft", QTY_TORQUE, 20.5 * NM_PER_LBF_FT, 24.5 * NM_PER_LBF_FT},
    /* a mass where the field is a mass, a force where it is a force */
    {"2 lb 3 1/4 oz", QTY_MASS, 35.25 * 0.45359237 / 16, 35.25 * 0.45359237 / 16},
    {"2 lb", QTY_MASS, 0.90718474, 0.90718474},
    {"2 lb", QTY_FORCE, 0.90718474 * 9.80665, 0.90718474 * 9.80665},
    {"3 kg", QTY_MASS, 3, 3},
    {"3 kg", QTY_FORCE, 29.41995, 29.41995},
    {"16 oz", QTY_FORCE, 0.45359237 * 9.80665, 0.45359237 * 9.80665},
    {"2 lb 3 oz..2 lb 4 oz", QTY_MASS, 35 * 0.45359237 / 16, 36 * 0.45359237 / 16},
    {"412 g", QTY_MASS, 0.412, 0.412},
    {"1/2 lb", QTY_MASS, 0.226796185, 0.226796185},
    {"1 long ton", QTY_MASS, 1016.0469088, 1016.0469088},
    {"2 t", QTY_MASS, 2000, 2000},
    {"50 N", QTY_FORCE, 50, 50},
    {"1.2 kN", QTY_FORCE, 1200, 1200},
    /* times and angles */
    {"4 h 30 min", QTY_TIME, 16200, 16200},
    {"4 h 30.5 min", QTY_TIME, 16230, 16230},
    {"20 min", QTY_TIME, 1200, 1200},
    {"14..28 d", QTY_TIME, 14 * 86400, 28 * 86400},
    {"2 weeks", QTY_TIME, 14 * 86400, 14 * 86400},
    {"1.5 hours", QTY_TIME, 5400, 5400},
    {"32 deg", QTY_ANGLE, 32, 32},
    {"32°", QTY_ANGLE, 32, 32},
    {"32 °", QTY_ANGLE, 32, 32},
    {"32 degrees", QTY_ANGLE, 32, 32},
    {"5 deg 30 min", QTY_ANGLE, 5.5, 5.5},
    {"5° 30'", QTY_ANGLE, 5.5, 5.5},
    {"5°30′", QTY_ANGLE, 5.5, 5.5},
    {"1/6 turn", QTY_ANGLE, 60, 60},
    {"1/3 turn", QTY_ANGLE, 120, 120},
    {"1/12 turn", QTY_ANGLE, 30, 30},
    {"1 1/4 turns", QTY_ANGLE, 450, 450},
    {"1/4 turn", QTY_ANGLE, 90, 90},
    /* temperatures and differences */
    {"200 degC", QTY_TEMPERATURE, 200, 200},
    {"200 °C", QTY_TEMPERATURE, 200, 200},
    {"200 deg C", QTY_TEMPERATURE, 200, 200},
    {"200 C", QTY_TEMPERATURE, 200, 200},
    {"212 degF", QTY_TEMPERATURE, 100, 100},
    {"212 °F", QTY_TEMPERATURE, 100, 100},
    {"-40 degF", QTY_TEMPERATURE, -40, -40},
    {"-40..-20 degC", QTY_TEMPERATURE, -40, -20},
    {"80 degC ±5", QTY_TEMPERATURE, 75, 85},
    {"212 degF ±9", QTY_TEMPERATURE, 95, 105},
    {"80 K", QTY_TEMPERATURE_DIFFERENCE, 80, 80},
    {"80 degC", QTY_TEMPERATURE_DIFFERENCE, 80, 80},
    {"90 degF", QTY_TEMPERATURE_DIFFERENCE, 50, 50},
    /* pressures and stresses */
    {"35 psi", QTY_STRESS, 35 * 6894.757293168361, 35 * 6894.757293168361},
    {"35 lb/in2", QTY_STRESS, 35 * 6894.757293168361, 35 * 6894.757293168361},
    {"35 lb/sq in", QTY_STRESS, 35 * 6894.757293168361, 35 * 6894.757293168361},
    {"35 lb per sq in", QTY_STRESS, 35 * 6894.757293168361, 35 * 6894.757293168361},
    {"35 lb/in²", QTY_STRESS, 35 * 6894.757293168361, 35 * 6894.757293168361},
    {"2.4 bar", QTY_STRESS, 240000, 240000},
    {"640 MPa", QTY_STRESS, 640e6, 640e6},
    {"640 N/mm2", QTY_STRESS, 640e6, 640e6},
    {"640 N/mm²", QTY_STRESS, 640e6, 640e6},
    {"5 kg/cm2", QTY_STRESS, 490332.5, 490332.5},
    {"35 long ton/in2", QTY_STRESS, 35 * 2240 * 6894.757293168361, 35 * 2240 * 6894.757293168361},
    /* the rest of rule 8 */
    {"1500 rpm", QTY_SPEED, 1500, 1500},
    {"1500 r.p.m.", QTY_SPEED, 1500, 1500},
    {"35 p.s.i.", QTY_STRESS, 35 * 6894.757293168361, 35 * 6894.757293168361},
    {"35 lb./sq. in.", QTY_STRESS, 35 * 6894.757293168361, 35 * 6894.757293168361},
    {"500 c.c.", QTY_VOLUME, 500e-6, 500e-6},
    {"200 ℃", QTY_TEMPERATURE, 200, 200},
    {"1500 rev/min", QTY_SPEED, 1500, 1500},
    {"50%", QTY_RATIO, 0.5, 0.5},
    {"50 %", QTY_RATIO, 0.5, 0.5},
    {"0.8", QTY_RATIO, 0.8, 0.8},
    {"3 imp pint", QTY_VOLUME, 3 * 4.54609e-3 / 8, 3 * 4.54609e-3 / 8},
    {"3 pints imp", QTY_VOLUME, 3 * 4.54609e-3 / 8, 3 * 4.54609e-3 / 8},
    {"1 us gallon", QTY_VOLUME, 3.785411784e-3, 3.785411784e-3},
    {"500 cc", QTY_VOLUME, 500e-6, 500e-6},
    {"2.5 l", QTY_VOLUME, 2.5e-3, 2.5e-3},
    {"30 cu in", QTY_VOLUME, 30 * 16.387064e-6, 30 * 16.387064e-6},
    {"58 mm2", QTY_AREA, 58e-6, 58e-6},
    {"1 sq in", QTY_AREA, 645.16e-6, 645.16e-6},
    {"7850 kg/m3", QTY_DENSITY, 7850, 7850},
    {"7.85 g/cm3", QTY_DENSITY, 7850, 7850},
    {"40 N/mm", QTY_STIFFNESS, 40000, 40000},
    {"230 lb/in", QTY_STIFFNESS, 230 * 0.45359237 * 9.80665 / 0.0254,
     230 * 0.45359237 * 9.80665 / 0.0254},
    {"12.4 uin/in/degF", QTY_EXPANSION, 22.32e-6, 22.32e-6},
    {"21.5 um/m/K", QTY_EXPANSION, 21.5e-6, 21.5e-6},
    {"0.0000215 1/K", QTY_EXPANSION, 21.5e-6, 21.5e-6},
    {"21.5 ppm/K", QTY_EXPANSION, 21.5e-6, 21.5e-6},
    {"2 oz in", QTY_MASS_LENGTH, 2 * 0.45359237 / 16 * 0.0254, 2 * 0.45359237 / 16 * 0.0254},
    {"1440 g mm", QTY_MASS_LENGTH, 1440e-6, 1440e-6},
    {"8", QTY_COUNT, 8, 8},
    {"2..3", QTY_COUNT, 2, 3},
    {"9.80 GBP", QTY_MONEY, 980, 980},
    {"9 GBP", QTY_MONEY, 900, 900},
    {"900 JPY", QTY_MONEY, 900, 900},
    {"1.234 KWD", QTY_MONEY, 1234, 1234},
    {"9.80..12 EUR", QTY_MONEY, 980, 1200},
};

Test(qty_good, every_dimension_reads_its_units_as_si)
{
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof reals / sizeof *reals; i++) {
        struct qty_value value = read_value(arena, reals[i].text, reals[i].dim, ALL);
        cr_expect(fabs(value.low.si - reals[i].low) <= 1e-12 * fabs(reals[i].low),
                  "'%s': low %.17g", reals[i].text, value.low.si);
        cr_expect(fabs(value.high.si - reals[i].high) <= 1e-12 * fabs(reals[i].high),
                  "'%s': high %.17g", reals[i].text, value.high.si);
        cr_expect_eq(value.nominal.dim, reals[i].dim, "'%s'", reals[i].text);
    }
    arena_free(arena);
}

Test(qty_good, one_sided_limits_and_unknown_are_words)
{
    struct arena *arena = arena_new(0, NULL, NULL);
    struct qty_value value = read_value(arena, "at least 0.25 mm", QTY_LENGTH, ALL);

    cr_expect_eq(value.kind, QTY_AT_LEAST);
    cr_expect_eq(value.low.exact, 250000000);
    value = read_value(arena, "at most 4 thou", QTY_LENGTH, ALL);
    cr_expect_eq(value.kind, QTY_AT_MOST);
    cr_expect_eq(value.high.exact, 101600000);
    value = read_value(arena, "unknown", QTY_LENGTH, ALL);
    cr_expect_eq(value.kind, QTY_UNKNOWN);
    value = read_value(arena, "..2199", QTY_COUNT, QTY_TAKE_ONE | QTY_TAKE_OPEN);
    cr_expect_eq(value.kind, QTY_AT_MOST);
    cr_expect_eq(value.high.exact, 2199);
    value = read_value(arena, "2200..", QTY_COUNT, QTY_TAKE_ONE | QTY_TAKE_OPEN);
    cr_expect_eq(value.kind, QTY_AT_LEAST);
    cr_expect_eq(value.low.exact, 2200);
    arena_free(arena);
}

Test(qty_good, unit_and_last_digit_are_kept_as_written)
{
    static const struct {
        const char *text;
        enum qty_dim dim;
        const char *unit;
        int places, denominator;
        double half_digit;
    } rows[] = {
        {"2.2500 in", QTY_LENGTH, "in", 4, 0, 0.00005 * 0.0254},
        {"57.150 mm", QTY_LENGTH, "mm", 3, 0, 0.0005e-3},
        {"1 1/2 in", QTY_LENGTH, "in", 0, 2, 0},
        {"24 lbf ft", QTY_TORQUE, "lbf ft", 0, 0, 0.5 * NM_PER_LBF_FT},
        {"300 in lb", QTY_TORQUE, "lbf in", 0, 0, 0.5 * NM_PER_LBF_IN},
        {"120 degF", QTY_TEMPERATURE, "degF", 0, 0, 0.5 * 5 / 9},
        {"2 lb 3 oz", QTY_MASS, "oz", 0, 0, 0.5 * 0.45359237 / 16},
        {"50%", QTY_RATIO, "%", 0, 0, 0.005},
        {"9.80 GBP", QTY_MONEY, "GBP", 2, 0, 0.5},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct qty qty = read_value(arena, rows[i].text, rows[i].dim, ALL).nominal;
        cr_expect_str_eq(qty.unit->name, rows[i].unit, "'%s'", rows[i].text);
        cr_expect_eq(qty.places, rows[i].places, "'%s': %d places", rows[i].text, qty.places);
        cr_expect_eq(qty.denominator, rows[i].denominator, "'%s'", rows[i].text);
        cr_expect_float_eq(qty.half_digit, rows[i].half_digit, 1e-12, "'%s': half digit %.9g",
                           rows[i].text, qty.half_digit);
        cr_expect_str_eq(qty.text, rows[i].text);
    }
    arena_free(arena);
}

Test(qty_good, kg_m_is_read_as_kgf_m_with_a_note)
{
    static const struct {
        const char *text, *note;
    } rows[] = {
        {"3.5 kg m", "'kg m' read as kgf m"},
        {"3.5 kp m", "'kp m' read as kgf m"},
        {"350 kg cm", "'kg cm' read as kgf cm"},
        {"3.5 kgf m", NULL},
        {"34 N m", NULL},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct qty_value value = read_value(arena, rows[i].text, QTY_TORQUE, ALL);
        if (rows[i].note == NULL)
            cr_expect_null(value.note, "'%s'", rows[i].text);
        else
            cr_expect_str_eq(value.note, rows[i].note, "'%s'", rows[i].text);
    }
    arena_free(arena);
}

/* Pairs found in print; the ones that disagree are misprints of the manuals named in the studies. */
static const struct {
    const char *text;
    enum qty_dim dim;
    const char *slip; /* NULL: agrees; "": disagrees without a likely slip */
} pairs[] = {
    {"2.2500 in (57.150 mm)", QTY_LENGTH, NULL},
    {"2.25 in (57.15 mm)", QTY_LENGTH, NULL},
    {"2 1/4 in (57.15 mm)", QTY_LENGTH, NULL},
    {"57.150 mm (2 1/4 in)", QTY_LENGTH, NULL},
    {"0.010..0.015 in (0.25..0.38 mm)", QTY_LENGTH, NULL},
    {".815/.814 in (20.70/20.68 mm)", QTY_LENGTH, NULL},
    {"at most 4 thou (0.10 mm)", QTY_LENGTH, NULL},
    {"at most 4 thou (at most 0.10 mm)", QTY_LENGTH, NULL},
    {"at least 0.010 in (0.25 mm)", QTY_LENGTH, NULL},
    {"25.000 mm +0.009/-0.004 (0.9843 in +0.0004/-0.0002)", QTY_LENGTH, NULL},
    {"24 lbf ft (32.5 N m)", QTY_TORQUE, NULL},
    {"24 lbf ft (33 N m)", QTY_TORQUE, NULL},
    {"20..24 lbf ft (27..33 N m)", QTY_TORQUE, NULL},
    {"120 degC (248 degF)", QTY_TEMPERATURE, NULL},
    {"-40 degC (-40 degF)", QTY_TEMPERATURE, NULL},
    {"14.7 psi (1.01 bar)", QTY_STRESS, NULL},
    {"2 lb 3 oz (992 g)", QTY_MASS, NULL},
    {"0.003 in (0.76 mm)", QTY_LENGTH, "place"},
    {"0.0015 in (0.3810 mm)", QTY_LENGTH, "place"},
    {"0.00015 in (0.038 mm)", QTY_LENGTH, "place"},
    {"0.5923 in (15.45 mm)", QTY_LENGTH, ""},
    {"-0.555 in (1.40 mm)", QTY_LENGTH, ""},
    {"2.2500 in (57.510 mm)", QTY_LENGTH, "swapped"},
    {"-0.001 in (0.0254 mm)", QTY_LENGTH, "minus"},
    {"2.000 in (50.00 mm)", QTY_LENGTH, "25 mm"},
    {"24 lbf ft (2.7 N m)", QTY_TORQUE, "inches and feet"},
    {"0.010..0.015 in (0.25..0.48 mm)", QTY_LENGTH, ""},
    {"5 kgf m (5 N m)", QTY_TORQUE, "kgf"},
    {"2.000 imp pint (0.946 l)", QTY_VOLUME, "American"},
};

Test(qty_good, printed_pairs_agree_when_their_half_digits_touch)
{
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        struct qty_value value;
        struct qty_error error;
        bool ok = qty_read(arena, pairs[i].text, pairs[i].dim, ALL, &value, &error);
        cr_assert(ok, "'%s': %s", pairs[i].text, error.message);
        cr_assert_not_null(value.printed, "'%s'", pairs[i].text);
        bool agrees = pairs[i].slip == NULL;
        cr_expect_eq(error.fault, agrees ? QTY_OK : QTY_FAULT_PAIR, "'%s': %s", pairs[i].text,
                     error.message == NULL ? "agrees" : error.message);
        cr_expect_eq(value.pair_disagrees, !agrees, "'%s'", pairs[i].text);
        if (agrees || error.fault == QTY_OK)
            continue;
        cr_expect_eq(error.begin, 0);
        cr_expect_eq(error.end, strlen(pairs[i].text), "'%s': the whole scalar", pairs[i].text);
        if (*pairs[i].slip != '\0')
            cr_expect(strstr(error.message, pairs[i].slip) != NULL, "'%s': %s", pairs[i].text,
                      error.message);
        else
            cr_expect(strstr(error.message, "explain") == NULL, "'%s': %s", pairs[i].text,
                      error.message);
    }
    arena_free(arena);
}

Test(qty_good, crank_positions)
{
    static const struct {
        const char *text;
        enum qty_dim dim;
        double offset; /* deg or m */
        bool before, bottom;
        const char *cylinder;
        int stroke;
    } rows[] = {
        {"32 deg before tdc 1 firing", QTY_ANGLE, 32, true, false, "1", QTY_FIRING},
        {"8.2 mm before tdc", QTY_LENGTH, 8.2e-3, true, false, NULL, QTY_STROKE_UNSAID},
        {"7/16 in before tdc 1 firing", QTY_LENGTH, 7 * 0.0254 / 16, true, false, "1", QTY_FIRING},
        {"tdc", QTY_NONE, 0, false, false, NULL, QTY_STROKE_UNSAID},
        {"tdc 1 firing", QTY_NONE, 0, false, false, "1", QTY_FIRING},
        {"tdc firing", QTY_NONE, 0, false, false, NULL, QTY_FIRING},
        {"bdc 2", QTY_NONE, 0, false, true, "2", QTY_STROKE_UNSAID},
        {"tdc rear overlap", QTY_NONE, 0, false, false, "rear", QTY_OVERLAP},
        {"32 deg btdc 1 firing", QTY_ANGLE, 32, true, false, "1", QTY_FIRING},
        {"5° atdc", QTY_ANGLE, 5, false, false, NULL, QTY_STROKE_UNSAID},
        {"50 deg bbdc 1", QTY_ANGLE, 50, true, true, "1", QTY_STROKE_UNSAID},
        {"50 deg abdc 1", QTY_ANGLE, 50, false, true, "1", QTY_STROKE_UNSAID},
        {"32 deg BTDC 1 firing", QTY_ANGLE, 32, true, false, "1", QTY_FIRING},
        {"5 deg 30 min after tdc 1", QTY_ANGLE, 5.5, false, false, "1", QTY_STROKE_UNSAID},
        {"1/12 turn before tdc", QTY_ANGLE, 30, true, false, NULL, QTY_STROKE_UNSAID},
    };
    struct arena *arena = arena_new(0, NULL, NULL);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct qty_crank crank;
        struct qty_error error;
        cr_assert(qty_read_crank(arena, rows[i].text, &crank, &error), "'%s': %s", rows[i].text,
                  error.message);
        cr_expect(crank.present);
        cr_expect_eq(crank.offset.dim, rows[i].dim, "'%s'", rows[i].text);
        cr_expect_float_eq(crank.offset.si, rows[i].offset, 1e-12, "'%s'", rows[i].text);
        cr_expect_eq(crank.before, rows[i].before, "'%s'", rows[i].text);
        cr_expect_eq(crank.bottom, rows[i].bottom, "'%s'", rows[i].text);
        cr_expect_eq((int)crank.stroke, rows[i].stroke, "'%s'", rows[i].text);
        cr_expect(str_equal(crank.cylinder, rows[i].cylinder), "'%s'", rows[i].text);
    }
    arena_free(arena);
}

Test(qty_good, dates_are_in_the_calendar)
{
    static const struct {
        const char *text;
        int year, month, day, precision; /* precision 0: refused */
    } rows[] = {
        {"1934", 1934, 0, 0, 1},
        {"1934-03", 1934, 3, 0, 2},
        {"2026-11-24", 2026, 11, 24, 3},
        {"2024-02-29", 2024, 2, 29, 3},
        {"2000-02-29", 2000, 2, 29, 3},
        {"1900-02-29", 0, 0, 0, 0},
        {"2023-02-29", 0, 0, 0, 0},
        {"1934-13", 0, 0, 0, 0},
        {"1934-00", 0, 0, 0, 0},
        {"1934-04-31", 0, 0, 0, 0},
        {"34-03", 0, 0, 0, 0},
        {"1934-3", 0, 0, 0, 0},
        {"24/11/2026", 0, 0, 0, 0},
        {"24-11-2026", 0, 0, 0, 0},
        {"1934-", 0, 0, 0, 0},
        {"1934-03-", 0, 0, 0, 0},
        {"", 0, 0, 0, 0},
        {"0000", 0, 0, 0, 0},
        {"1934-03-17x", 0, 0, 0, 0},
        {"1934-03-17-01", 0, 0, 0, 0},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct qty_date date;
        bool ok = qty_read_date(rows[i].text, &date);
        cr_expect_eq(ok, rows[i].precision > 0, "'%s'", rows[i].text);
        if (!ok)
            continue;
        cr_expect(date.year == rows[i].year && date.month == rows[i].month &&
                      date.day == rows[i].day && date.precision == rows[i].precision,
                  "'%s'", rows[i].text);
    }
    struct qty_date year, march, day;
    qty_read_date("1934", &year);
    qty_read_date("1934-03", &march);
    qty_read_date("1934-03-17", &day);
    cr_expect_eq(qty_date_compare(year, day), 0, "a year holds its days");
    cr_expect_eq(qty_date_compare(march, day), 0);
    qty_read_date("1934-04-01", &march);
    cr_expect_lt(qty_date_compare(day, march), 0);
    cr_expect_gt(qty_date_compare(march, day), 0);
}
