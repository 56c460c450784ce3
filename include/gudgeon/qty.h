/* qty.h - quantities: a number with its dimension, unit and last digit, as it was written.
 *
 * Lengths are exact in picometres (a finer value is an error); money in minor units and counts as
 * integers; all else is double in SI. Knows text, not files: errors carry offsets into the text,
 * and the caller gives them a place. Grammar: specs/LANGUAGE.md section 2. */
#ifndef GUDGEON_QTY_H
#define GUDGEON_QTY_H

#include <gudgeon/str.h>

enum qty_dim {
    QTY_NONE,
    QTY_LENGTH,      /* m; exact: pm */
    QTY_MASS,        /* kg */
    QTY_FORCE,       /* N */
    QTY_TORQUE,      /* N m */
    QTY_STRESS,      /* Pa; pressure is the same dimension */
    QTY_TEMPERATURE, /* degC */
    QTY_TEMPERATURE_DIFFERENCE, /* K */
    QTY_TIME,        /* s */
    QTY_ANGLE,       /* deg */
    QTY_MONEY,       /* minor units; exact; unit is the currency */
    QTY_AREA,        /* m2 */
    QTY_VOLUME,      /* m3 */
    QTY_SPEED,       /* rotational, rpm */
    QTY_RATIO,       /* 1; '%' is 0.01 */
    QTY_DENSITY,     /* kg/m3 */
    QTY_STIFFNESS,   /* N/m */
    QTY_EXPANSION,   /* 1/K */
    QTY_MASS_LENGTH, /* kg m */
    QTY_COUNT,       /* exact */
    QTY_DIM_COUNT
};

/* One printed spelling of one unit. The first row of a unit is how we print it. */
struct qty_unit {
    const char *name;      /* canonical: "in", "lbf ft", "degC" */
    enum qty_dim dim;
    double factor, offset; /* SI = written * factor + offset */
    int64_t factor_exact;  /* pm for lengths, minor units for money; else 0 */
    bool inverse;          /* tpi only: SI = factor / written */
    bool fractions;        /* 1/2 allowed: in, ft, lb, oz, turn */
    const char *definition; /* published definition and where: printed by the unit test */
};
/* NULL if the spelling is unknown in that dimension (QTY_NONE: any). */
const struct qty_unit *qty_unit_find(const char *spelling, enum qty_dim dim);
const struct qty_unit *qty_unit_at(size_t index); /* every canonical unit, NULL at the end */
const char *qty_dim_name(enum qty_dim dim);       /* "length", "torque" */
size_t qty_unit_names(enum qty_dim dim, const char **names, size_t room); /* for hints */

struct qty {
    enum qty_dim dim;
    int64_t exact;               /* pm, minor units, count; else 0 */
    double si;                   /* always set, in the unit beside qty_dim */
    double half_digit;           /* half of the last digit written, SI; 0 for fractions; of an end of
                                  * a size the digit is that of its deviation */
    const struct qty_unit *unit; /* as written; NULL for counts and money in an unknown unit */
    uint8_t places;              /* decimals written */
    uint16_t denominator;        /* of a fraction as written, else 0 */
    const char *currency;        /* "GBP" */
    const char *text;            /* as written, its own slice */
};

enum qty_kind {
    QTY_ABSENT,
    QTY_ONE,
    QTY_LIMITS,    /* low, high */
    QTY_SIZE,      /* nominal with tolerance: nominal, low, high */
    QTY_CLASS,     /* nominal and `class`; low/high once resolve has looked the class up */
    QTY_AT_LEAST,  /* low */
    QTY_AT_MOST,   /* high */
    QTY_UNKNOWN,   /* the word `unknown` */
};

struct qty_value {
    enum qty_kind kind;
    struct qty nominal, low, high; /* QTY_ONE sets all three alike */
    const char *class;             /* "M6", "k5" */
    struct qty_value *printed;     /* the pair in ( ), or NULL */
    bool pair_disagrees;           /* the intervals do not touch; `believe` must settle it */
    const char *note;              /* "read as kgf m", or NULL */
    const char *text;              /* the whole scalar */
};

/* Whether the value bounds what it speaks of below, above: `at most` does not below; a figure alone does
 * on both sides. */
bool qty_value_has_low(const struct qty_value *value);
bool qty_value_has_high(const struct qty_value *value);

/* What can be wrong, one to one with the diagnostic codes: both enums are made from one list, so
 * spec maps a fault to DIAG_QTY_FAULT_SYNTAX + (fault - QTY_FAULT_SYNTAX). */
enum qty_fault {
    QTY_OK,
#define DIAG(name, printed, severity, paragraph) name,
#include <gudgeon/codes/qty.def>
#undef DIAG
    QTY_FAULT_COUNT
};
struct qty_error {
    enum qty_fault fault;
    size_t begin, end;    /* bytes of the text to edit */
    const char *message;  /* lower case, found and expected */
    const char *hint;     /* what to type, or NULL */
    const char *fix;      /* the text that replaces [begin, end), or NULL */
};

/* Which forms a field takes; QTY_TAKE_ONE alone for a plain number with unit. */
enum qty_take {
    QTY_TAKE_ONE = 1,
    QTY_TAKE_LIMITS = 2,   /* .. and a/b */
    QTY_TAKE_SIZE = 4,     /* tolerance and class */
    QTY_TAKE_SIDED = 8,    /* at least, at most */
    QTY_TAKE_UNKNOWN = 16,
    QTY_TAKE_OPEN = 32,    /* ..2199, 2200.. */
    QTY_TAKE_POSITIVE = 64 /* a condition: nothing below zero, temperatures apart */
};

/* Reads the whole of `text` as a value of `dim`. True when a value came out: either without fault,
 * or with QTY_FAULT_PAIR. Deterministic, no locale, linear in the text, any bytes are safe. */
bool qty_read(struct arena *arena, const char *text, enum qty_dim dim, unsigned takes,
              struct qty_value *value, struct qty_error *error);

/* Crank position: `[(angle | length) before|after] tdc|bdc [CYLINDER] [firing|overlap]`. */
struct qty_crank {
    bool present;
    struct qty offset;      /* QTY_ANGLE or QTY_LENGTH; QTY_NONE when at the point itself */
    bool before, bottom;
    const char *cylinder;   /* or NULL */
    enum { QTY_STROKE_UNSAID, QTY_FIRING, QTY_OVERLAP } stroke;
    const char *text;
};
bool qty_read_crank(struct arena *arena, const char *text, struct qty_crank *crank,
                    struct qty_error *error);

/* ISO 8601 dates YYYY, YYYY-MM, YYYY-MM-DD, checked against the calendar; `precision` 1..3. */
struct qty_date {
    int year, month, day, precision;
};
bool qty_read_date(const char *text, struct qty_date *date);
int qty_date_compare(struct qty_date a, struct qty_date b); /* over the shared precision */

/* --- making --- */
struct qty qty_from_pm(int64_t pm);
struct qty qty_from_si(double si, enum qty_dim dim);
int64_t qty_pm_from_mm(double mm); /* nearest */

/* --- comparing: exact for lengths, within 1e-9 relative for the rest (a value on a limit is
 * inside) --- */
int qty_compare(struct qty a, struct qty b);

/* --- printing --- */
enum qty_round { QTY_NEAREST, QTY_UP, QTY_DOWN };
/* In `unit` with `places` decimals; "0.0025 in". Rounding of a length is exact. */
char *qty_print(struct arena *arena, struct qty qty, const struct qty_unit *unit, int places,
                enum qty_round round);
/* The number alone, without unit. */
char *qty_print_number(struct arena *arena, struct qty qty, const struct qty_unit *unit, int places,
                       enum qty_round round);
/* The unit it was written in, else that of a bench near SI (mm, N m, kg); NULL of a bare number. */
const struct qty_unit *qty_unit_workshop(const struct qty *qty);
/* As written if it was written, else in its SI-near workshop unit (mm with 3 places, N m, ...). */
char *qty_print_plain(struct arena *arena, struct qty qty);
/* The workshop places of a unit for this kind of value: in 4, mm 3, thou 1, lbf ft 1, N m 1,
 * degC 0 ... */
int qty_places(const struct qty_unit *unit);
/* The unit of the other system in which the value is printed beside its own: in <-> mm,
 * lbf ft / lbf in <-> N m, degC <-> degF, lb <-> kg, psi <-> bar; NULL where there is none. */
const struct qty_unit *qty_unit_other(const struct qty_unit *unit);
/* Both ends of limits in `unit`, rounded INWARD: "0.0100..0.0120 in", "at most 0.30 mm".
 * Falls back to one more place while inward rounding would empty the interval. */
char *qty_print_value(struct arena *arena, const struct qty_value *value,
                      const struct qty_unit *unit, int places);
/* A value as a card prints it: own unit first (or `prefer`), the other system after it in ( ),
 * inward: "0.010..0.012 in (0.254..0.304 mm)". `prefer` may be NULL. */
char *qty_print_both(struct arena *arena, const struct qty_value *value,
                     const struct qty_unit *prefer);
/* The nearest fraction of an inch with denominator 2..64 (or 128), and what is left. */
char *qty_print_fraction(struct arena *arena, int64_t pm, int denominator, int64_t *rest_pm);
/* pm as exact mm digits for JSON: "57.15". */
char *qty_exact_mm(struct arena *arena, int64_t pm);

#endif
