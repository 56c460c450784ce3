/* units.c - the one table of units: factors as the products that define them, every spelling.
 *
 * Definitions: international yard and pound of 1959 (NIST SP 811 appendix B.8), standard gravity
 * 9.80665 m/s2 (3rd CGPM 1901), UK gallon 4.54609 l (Weights and Measures Act 1985), US gallon
 * 231 in3. The first row of a dimension is the one offered first in hints. */
#include "qty_private.h"

#define IN_PM INT64_C(25400000000)
#define IN 0.0254
#define FT 0.3048
#define LB 0.45359237
#define OZ (LB / 16)
#define GN 9.80665
#define LBF (LB * GN)
#define LONG_TON (LB * 2240)
#define SHORT_TON (LB * 2000)
#define IMP_GALLON 4.54609e-3
#define US_GALLON (231 * IN * IN * IN)
#define PI 3.14159265358979323846

#define LENGTH(name, pm, half, definition)                                                         \
    {                                                                                              \
        name, QTY_LENGTH, (double)(pm)*1e-12, 0, pm, false, half, definition                       \
    }
#define UNIT(name, dim, factor, definition)                                                        \
    {                                                                                              \
        name, dim, factor, 0, 0, false, false, definition                                          \
    }
#define HALVED(name, dim, factor, definition)                                                      \
    {                                                                                              \
        name, dim, factor, 0, 0, false, true, definition                                           \
    }

const struct unit_row unit_rows[] = {
    {LENGTH("mm", INT64_C(1000000000), false, "1e-3 m, SI"), 3, "in", "mm"},
    {LENGTH("in", IN_PM, true, "25.4 mm exactly, international yard and pound 1959"), 4, "mm",
     "in|\""},
    {LENGTH("thou", IN_PM / 1000, false, "0.001 in; trade name, no standard; 25.4 um"), 1, "mm",
     "thou"},
    {LENGTH("um", INT64_C(1000000), false, "1e-6 m, SI"), 1, "thou", "um"},
    {LENGTH("cm", INT64_C(10000000000), false, "1e-2 m, SI"), 2, "in", "cm"},
    {LENGTH("m", INT64_C(1000000000000), false, "SI base unit"), 3, "ft", "m"},
    {LENGTH("ft", 12 * IN_PM, true, "12 in = 0.3048 m exactly, international yard and pound 1959"),
     2, "m", "ft|'"},
    {LENGTH("yd", 36 * IN_PM, false, "3 ft = 0.9144 m exactly, international yard and pound 1959"),
     2, "m", "yd"},
    {LENGTH("uin", IN_PM / 1000000, false, "1e-6 in = 0.0254 um"), 0, "um", "uin|microinch"},
    {{"tpi", QTY_LENGTH, IN, 0, IN_PM, true, false,
      "threads per inch: pitch = 25.4 mm / n (ASME B1.7)"},
     1,
     "mm",
     "tpi"},

    {UNIT("kg", QTY_MASS, 1, "SI base unit"), 2, "lb", "kg"},
    {UNIT("g", QTY_MASS, 1e-3, "1e-3 kg, SI"), 1, "oz", "g"},
    {HALVED("lb", QTY_MASS, LB, "0.45359237 kg exactly, international yard and pound 1959"), 2,
     "kg", "lb"},
    {HALVED("oz", QTY_MASS, OZ, "1/16 lb"), 2, "g", "oz"},
    {UNIT("mg", QTY_MASS, 1e-6, "1e-6 kg, SI"), 0, NULL, "mg"},
    {UNIT("t", QTY_MASS, 1000, "1000 kg (SI brochure, table 8)"), 3, NULL, "t"},
    {UNIT("long ton", QTY_MASS, LONG_TON, "2240 lb (NIST SP 811 B.8)"), 3, "t", "long ton"},
    {UNIT("short ton", QTY_MASS, SHORT_TON, "2000 lb (NIST SP 811 B.8)"), 3, "t", "short ton"},

    {UNIT("N", QTY_FORCE, 1, "kg m/s2, SI"), 0, "lbf", "N"},
    {UNIT("kN", QTY_FORCE, 1000, "1000 N, SI"), 2, "lbf", "kN"},
    {UNIT("daN", QTY_FORCE, 10, "10 N, SI"), 1, "lbf", "daN"},
    {HALVED("lbf", QTY_FORCE, LBF, "0.45359237 kg * 9.80665 m/s2"), 0, "N", "lbf|lb|lb force"},
    {HALVED("ozf", QTY_FORCE, LBF / 16, "1/16 lbf"), 1, "N", "ozf|oz|oz force"},
    {UNIT("kgf", QTY_FORCE, GN, "9.80665 N exactly, 3rd CGPM 1901"), 1, "N", "kgf|kp|kg|kg force"},
    {UNIT("gf", QTY_FORCE, GN / 1000, "1e-3 kgf"), 0, "N", "gf|g|p"},
    {UNIT("long tonf", QTY_FORCE, LONG_TON *GN, "2240 lbf"), 2, "kN",
     "long tonf|long ton|long ton force"},

    {UNIT("N m", QTY_TORQUE, 1, "N m, SI"), 1, "lbf ft", "N m|Nm"},
    {UNIT("lbf ft", QTY_TORQUE, LBF *FT, "0.45359237 kg * 9.80665 m/s2 * 0.3048 m"), 1, "N m",
     "lbf ft|ft lbf|lb ft|ft lb|lbft|ftlb|lbfft|ftlbf|lb force ft|ft lb force|ftlbs|lbsft"},
    {UNIT("lbf in", QTY_TORQUE, LBF *IN, "0.45359237 kg * 9.80665 m/s2 * 0.0254 m"), 0, "N m",
     "lbf in|in lbf|lb in|in lb|lbin|inlb|lbfin|inlbf|lb force in|in lb force|inlbs|lbsin"},
    {UNIT("kgf m", QTY_TORQUE, GN, "9.80665 N m"), 2, "N m",
     "kgf m|m kgf|kgfm|mkgf|kg m|m kg|kgm|mkg|kp m|m kp|kpm|mkp|kg force m"},
    {UNIT("kgf cm", QTY_TORQUE, GN * 0.01, "9.80665 N * 0.01 m"), 1, "N m",
     "kgf cm|cm kgf|kgfcm|cmkgf|kg cm|cm kg|kgcm|cmkg|kp cm|cm kp|kpcm|cmkp"},
    {UNIT("ozf in", QTY_TORQUE, LBF *IN / 16, "1/16 lbf in"), 1, "N mm",
     "ozf in|in ozf|oz in|in oz|ozin|inoz"},
    {UNIT("kN m", QTY_TORQUE, 1000, "1000 N m, SI"), 3, "lbf ft", "kN m|kNm"},
    {UNIT("daN m", QTY_TORQUE, 10, "10 N m, SI"), 2, "lbf ft", "daN m|daNm"},
    {UNIT("cN m", QTY_TORQUE, 0.01, "0.01 N m, SI"), 0, "lbf in", "cN m|cNm"},
    {UNIT("N cm", QTY_TORQUE, 0.01, "0.01 N m, SI"), 0, "lbf in", "N cm|Ncm"},
    {UNIT("N mm", QTY_TORQUE, 0.001, "0.001 N m, SI"), 0, "ozf in", "N mm|Nmm"},

    {UNIT("bar", QTY_STRESS, 1e5, "1e5 Pa (SI brochure 8th ed., table 8)"), 2, "psi", "bar"},
    {UNIT("psi", QTY_STRESS, LBF / (IN * IN), "lbf/in2"), 0, "bar",
     "psi|lbf/in2|lb/in2|lbf/sq in|lb/sq in|p s i"},
    {UNIT("MPa", QTY_STRESS, 1e6, "1e6 Pa, SI"), 1, "psi", "MPa|N/mm2|N/sq mm"},
    {UNIT("kPa", QTY_STRESS, 1e3, "1e3 Pa, SI"), 0, "psi", "kPa"},
    {UNIT("Pa", QTY_STRESS, 1, "N/m2, SI"), 0, "psi", "Pa|N/m2"},
    {UNIT("GPa", QTY_STRESS, 1e9, "1e9 Pa, SI"), 1, "ksi", "GPa"},
    {UNIT("ksi", QTY_STRESS, 1000 * LBF / (IN * IN), "1000 lbf/in2"), 1, "MPa", "ksi|kip/in2"},
    {UNIT("mbar", QTY_STRESS, 100, "100 Pa"), 0, "psi", "mbar|hPa"},
    {UNIT("kgf/cm2", QTY_STRESS, GN * 1e4, "9.80665e4 Pa"), 2, "psi",
     "kgf/cm2|kg/cm2|kp/cm2|kgf/sq cm|kg/sq cm"},
    {UNIT("kgf/mm2", QTY_STRESS, GN * 1e6, "9.80665e6 Pa"), 1, "psi",
     "kgf/mm2|kg/mm2|kp/mm2|kgf/sq mm|kg/sq mm"},
    {UNIT("long tonf/in2", QTY_STRESS, LONG_TON *GN / (IN * IN), "2240 lbf/in2"), 1, "MPa",
     "long tonf/in2|long ton/in2|long tonf/sq in|long ton/sq in|long ton force/in2"},
    {UNIT("atm", QTY_STRESS, 101325, "101325 Pa, 10th CGPM 1954"), 2, "psi", "atm"},
    {UNIT("inHg", QTY_STRESS, 25.4 * 133.322387415,
          "25.4 mm of mercury, 13595.1 kg/m3 * 9.80665 m/s2 (conventional, NIST SP 811 B.8)"),
     1, "kPa", "inHg|in Hg"},
    {UNIT("mmHg", QTY_STRESS, 133.322387415,
          "13595.1 kg/m3 * 9.80665 m/s2 * 1 mm (conventional, NIST SP 811 B.8)"),
     0, "kPa", "mmHg|mm Hg"},

    {UNIT("degC", QTY_TEMPERATURE, 1, "Celsius temperature: T/K - 273.15, SI"), 0, "degF",
     "degC|deg C|C"},
    {{"degF", QTY_TEMPERATURE, 5.0 / 9, -160.0 / 9, 0, false, false,
      "(t/degF - 32) * 5/9 (NIST SP 811 B.8)"},
     0,
     "degC",
     "degF|deg F|F"},

    {UNIT("K", QTY_TEMPERATURE_DIFFERENCE, 1, "SI base unit"), 0, "degF", "K"},
    {UNIT("degC", QTY_TEMPERATURE_DIFFERENCE, 1, "as a difference: 1 K"), 0, "degF",
     "degC|deg C|C"},
    {UNIT("degF", QTY_TEMPERATURE_DIFFERENCE, 5.0 / 9, "as a difference: 5/9 K"), 0, "K",
     "degF|deg F|F"},

    {UNIT("s", QTY_TIME, 1, "SI base unit"), 0, NULL, "s"},
    {UNIT("min", QTY_TIME, 60, "60 s"), 0, NULL, "min"},
    {UNIT("h", QTY_TIME, 3600, "60 min"), 1, NULL, "h"},
    {UNIT("d", QTY_TIME, 86400, "24 h"), 0, NULL, "d"},
    {UNIT("week", QTY_TIME, 604800, "7 d"), 0, NULL, "week"},

    {UNIT("deg", QTY_ANGLE, 1, "pi/180 rad"), 1, NULL, "deg"},
    {UNIT("arcmin", QTY_ANGLE, 1.0 / 60, "1/60 deg"), 0, NULL, "arcmin"},
    {HALVED("turn", QTY_ANGLE, 360, "360 deg"), 2, NULL, "turn|rev"},
    {UNIT("rad", QTY_ANGLE, 180 / PI, "180/pi deg, SI"), 3, NULL, "rad"},

    {UNIT("mm2", QTY_AREA, 1e-6, "1e-6 m2, SI"), 1, "in2", "mm2|sq mm"},
    {UNIT("cm2", QTY_AREA, 1e-4, "1e-4 m2, SI"), 2, "in2", "cm2|sq cm"},
    {UNIT("m2", QTY_AREA, 1, "SI"), 3, "ft2", "m2|sq m"},
    {UNIT("in2", QTY_AREA, IN *IN, "25.4 mm * 25.4 mm"), 4, "mm2", "in2|sq in"},
    {UNIT("ft2", QTY_AREA, FT *FT, "0.3048 m * 0.3048 m"), 2, "m2", "ft2|sq ft"},

    {UNIT("l", QTY_VOLUME, 1e-3, "1e-3 m3 (SI brochure, table 8)"), 2, NULL, "l|dm3"},
    {UNIT("cm3", QTY_VOLUME, 1e-6, "1e-6 m3, SI"), 1, "in3", "cm3|cc|c c|ccm|cu cm"},
    {UNIT("ml", QTY_VOLUME, 1e-6, "1e-6 m3"), 0, NULL, "ml"},
    {UNIT("mm3", QTY_VOLUME, 1e-9, "1e-9 m3, SI"), 0, NULL, "mm3|cu mm"},
    {UNIT("m3", QTY_VOLUME, 1, "SI"), 4, NULL, "m3|cu m"},
    {UNIT("in3", QTY_VOLUME, IN *IN *IN, "25.4 mm cubed"), 3, "cm3", "in3|cu in"},
    {UNIT("ft3", QTY_VOLUME, FT *FT *FT, "0.3048 m cubed"), 3, "l", "ft3|cu ft"},
    {UNIT("imp gallon", QTY_VOLUME, IMP_GALLON,
          "4.54609 l exactly (Weights and Measures Act 1985)"),
     2, "l", "imp gallon|gallon imp"},
    {UNIT("imp quart", QTY_VOLUME, IMP_GALLON / 4, "1/4 imp gallon"), 2, "l",
     "imp quart|quart imp"},
    {UNIT("imp pint", QTY_VOLUME, IMP_GALLON / 8, "1/8 imp gallon"), 2, "l", "imp pint|pint imp"},
    {UNIT("imp fl oz", QTY_VOLUME, IMP_GALLON / 160, "1/160 imp gallon"), 1, "ml",
     "imp fl oz|fl oz imp"},
    {UNIT("us gallon", QTY_VOLUME, US_GALLON, "231 in3 (NIST Handbook 44, appendix C)"), 2, "l",
     "us gallon|gallon us"},
    {UNIT("us quart", QTY_VOLUME, US_GALLON / 4, "1/4 us gallon"), 2, "l", "us quart|quart us"},
    {UNIT("us pint", QTY_VOLUME, US_GALLON / 8, "1/8 us gallon"), 2, "l", "us pint|pint us"},
    {UNIT("us fl oz", QTY_VOLUME, US_GALLON / 128, "1/128 us gallon"), 1, "ml",
     "us fl oz|fl oz us"},

    {UNIT("rpm", QTY_SPEED, 1, "1 revolution a minute"), 0, NULL,
     "rpm|r p m|rev/min|r/min|1/min|turn/min"},
    {UNIT("rev/s", QTY_SPEED, 60, "60 rpm"), 1, NULL, "rev/s|r/s|turn/s"},

    {UNIT("%", QTY_RATIO, 0.01, "0.01"), 1, NULL, "%"},

    {UNIT("kg/m3", QTY_DENSITY, 1, "SI"), 0, "lb/in3", "kg/m3"},
    {UNIT("g/cm3", QTY_DENSITY, 1000, "1000 kg/m3"), 2, "lb/in3", "g/cm3|g/cc|g/ml|kg/l|kg/dm3"},
    {UNIT("lb/in3", QTY_DENSITY, LB / (IN * IN * IN), "0.45359237 kg / (25.4 mm)^3"), 3, "g/cm3",
     "lb/in3|lb/cu in"},
    {UNIT("lb/ft3", QTY_DENSITY, LB / (FT * FT * FT), "0.45359237 kg / (0.3048 m)^3"), 1, "kg/m3",
     "lb/ft3|lb/cu ft"},

    {UNIT("N/mm", QTY_STIFFNESS, 1000, "1000 N/m"), 1, "lbf/in", "N/mm|kN/m"},
    {UNIT("N/m", QTY_STIFFNESS, 1, "SI"), 0, "lbf/in", "N/m"},
    {UNIT("kN/mm", QTY_STIFFNESS, 1e6, "1e6 N/m"), 1, "lbf/in", "kN/mm"},
    {UNIT("lbf/in", QTY_STIFFNESS, LBF / IN, "0.45359237 kg * 9.80665 m/s2 / 0.0254 m"), 0, "N/mm",
     "lbf/in|lb/in"},
    {UNIT("kgf/mm", QTY_STIFFNESS, GN * 1000, "9.80665 N / 1e-3 m"), 2, "N/mm",
     "kgf/mm|kg/mm|kp/mm"},

    {UNIT("um/m/K", QTY_EXPANSION, 1e-6, "1e-6 /K"), 1, "uin/in/degF",
     "um/m/K|um/m K|um/m/degC|um/m degC|um/m/C|ppm/K|ppm/degC"},
    {UNIT("uin/in/degF", QTY_EXPANSION, 1.8e-6, "1e-6 /degF = 1.8e-6 /K"), 1, "um/m/K",
     "uin/in/degF|uin/in degF|uin/in/F|ppm/degF"},
    {UNIT("1/K", QTY_EXPANSION, 1, "SI"), 7, NULL, "1/K|/K|1/degC|/degC"},
    {UNIT("1/degF", QTY_EXPANSION, 1.8, "1.8 /K"), 7, NULL, "1/degF|/degF|1/F"},

    {UNIT("g mm", QTY_MASS_LENGTH, 1e-6, "1e-3 kg * 1e-3 m"), 0, "oz in", "g mm|gmm|mm g"},
    {UNIT("g cm", QTY_MASS_LENGTH, 1e-5, "1e-3 kg * 1e-2 m"), 1, "oz in", "g cm|gcm|cm g"},
    {UNIT("kg mm", QTY_MASS_LENGTH, 1e-3, "1e-3 kg m"), 2, "oz in", "kg mm|mm kg"},
    {UNIT("kg cm", QTY_MASS_LENGTH, 1e-2, "1e-2 kg m"), 3, "oz in", "kg cm|cm kg"},
    {UNIT("kg m", QTY_MASS_LENGTH, 1, "SI"), 5, "lb in", "kg m|m kg"},
    {UNIT("oz in", QTY_MASS_LENGTH, OZ *IN, "0.45359237 kg / 16 * 0.0254 m"), 2, "g mm",
     "oz in|in oz"},
    {UNIT("lb in", QTY_MASS_LENGTH, LB *IN, "0.45359237 kg * 0.0254 m"), 3, "g mm", "lb in|in lb"},
};
const size_t unit_row_count = sizeof unit_rows / sizeof *unit_rows;

/* ISO 4217, the currencies in use with the digits of their minor unit. */
#define MONEY(code, minor, digits)                                                                 \
    {                                                                                              \
        {code, QTY_MONEY, minor, 0, minor, false, false, "ISO 4217"}, digits, NULL, code           \
    }
#define CENTS(code) MONEY(code, 100, 2)
#define WHOLES(code) MONEY(code, 1, 0)
#define MILS(code) MONEY(code, 1000, 3)
const struct unit_row currency_rows[] = {
    CENTS("AED"),  CENTS("AFN"),  CENTS("ALL"),  CENTS("AMD"),  CENTS("ANG"),  CENTS("AOA"),
    CENTS("ARS"),  CENTS("AUD"),  CENTS("AWG"),  CENTS("AZN"),  CENTS("BAM"),  CENTS("BBD"),
    CENTS("BDT"),  CENTS("BGN"),  MILS("BHD"),   WHOLES("BIF"), CENTS("BMD"),  CENTS("BND"),
    CENTS("BOB"),  CENTS("BRL"),  CENTS("BSD"),  CENTS("BTN"),  CENTS("BWP"),  CENTS("BYN"),
    CENTS("BZD"),  CENTS("CAD"),  CENTS("CDF"),  CENTS("CHF"),  WHOLES("CLP"), CENTS("CNY"),
    CENTS("COP"),  CENTS("CRC"),  CENTS("CUP"),  CENTS("CVE"),  CENTS("CZK"),  WHOLES("DJF"),
    CENTS("DKK"),  CENTS("DOP"),  CENTS("DZD"),  CENTS("EGP"),  CENTS("ERN"),  CENTS("ETB"),
    CENTS("EUR"),  CENTS("FJD"),  CENTS("FKP"),  CENTS("GBP"),  CENTS("GEL"),  CENTS("GHS"),
    CENTS("GIP"),  CENTS("GMD"),  WHOLES("GNF"), CENTS("GTQ"),  CENTS("GYD"),  CENTS("HKD"),
    CENTS("HNL"),  CENTS("HTG"),  CENTS("HUF"),  CENTS("IDR"),  CENTS("ILS"),  CENTS("INR"),
    MILS("IQD"),   CENTS("IRR"),  WHOLES("ISK"), CENTS("JMD"),  MILS("JOD"),   WHOLES("JPY"),
    CENTS("KES"),  CENTS("KGS"),  CENTS("KHR"),  WHOLES("KMF"), CENTS("KPW"),  WHOLES("KRW"),
    MILS("KWD"),   CENTS("KYD"),  CENTS("KZT"),  CENTS("LAK"),  CENTS("LBP"),  CENTS("LKR"),
    CENTS("LRD"),  CENTS("LSL"),  MILS("LYD"),   CENTS("MAD"),  CENTS("MDL"),  CENTS("MGA"),
    CENTS("MKD"),  CENTS("MMK"),  CENTS("MNT"),  CENTS("MOP"),  CENTS("MRU"),  CENTS("MUR"),
    CENTS("MVR"),  CENTS("MWK"),  CENTS("MXN"),  CENTS("MYR"),  CENTS("MZN"),  CENTS("NAD"),
    CENTS("NGN"),  CENTS("NIO"),  CENTS("NOK"),  CENTS("NPR"),  CENTS("NZD"),  MILS("OMR"),
    CENTS("PAB"),  CENTS("PEN"),  CENTS("PGK"),  CENTS("PHP"),  CENTS("PKR"),  CENTS("PLN"),
    WHOLES("PYG"), CENTS("QAR"),  CENTS("RON"),  CENTS("RSD"),  CENTS("RUB"),  WHOLES("RWF"),
    CENTS("SAR"),  CENTS("SBD"),  CENTS("SCR"),  CENTS("SDG"),  CENTS("SEK"),  CENTS("SGD"),
    CENTS("SHP"),  CENTS("SLE"),  CENTS("SOS"),  CENTS("SRD"),  CENTS("SSP"),  CENTS("STN"),
    CENTS("SVC"),  CENTS("SYP"),  CENTS("SZL"),  CENTS("THB"),  CENTS("TJS"),  CENTS("TMT"),
    MILS("TND"),   CENTS("TOP"),  CENTS("TRY"),  CENTS("TTD"),  CENTS("TWD"),  CENTS("TZS"),
    CENTS("UAH"),  WHOLES("UGX"), CENTS("USD"),  CENTS("UYU"),  CENTS("UZS"),  CENTS("VED"),
    CENTS("VES"),  WHOLES("VND"), WHOLES("VUV"), CENTS("WST"),  WHOLES("XAF"), CENTS("XCD"),
    WHOLES("XOF"), WHOLES("XPF"), CENTS("YER"),  CENTS("ZAR"),  CENTS("ZMW"),
};
const size_t currency_row_count = sizeof currency_rows / sizeof *currency_rows;
