/* table.h - reference tables: what a standard, a handbook or common practice prints.
 *
 * In:  a table set and a name or size as a fitter writes it.  Out: a row, or a status that says why
 * there is none; the caller owns the diagnostic. A set holds the rows built in (src/table/data,
 * checked and embedded at build time) with the user's own in front of them. Rows are data: a test may
 * copy a set and change any cell.
 *
 * Units: lengths int64 picometres (`_pm`), all else double in SI (`_pa`, `_n_m`, `_per_k`, `_c` for
 * degC). A quantity that the source does not give is TABLE_NO_PM or NAN (table_has). Ranges are
 * "over .. up to and including". Every row names its source; one that starts with "from memory" was
 * not read anywhere and never decides a torque alone. */
#ifndef GUDGEON_TABLE_H
#define GUDGEON_TABLE_H

#include <gudgeon/qty.h>
#include <gudgeon/tree.h>

#define TABLE_NO_PM INT64_MIN
#define TABLE_NOT_FOUND "not in the table: give sizes and source"

/* Nearest to the engine first; the order of specs/LANGUAGE.md section 5. */
enum table_level { TABLE_ENGINE, TABLE_MAKER, TABLE_STANDARD, TABLE_PRACTICE };
const char *table_level_name(enum table_level level); /* "engine", "maker", ... */

/* What the '#' lines of a table say; each row points to its own. */
struct table_head {
    const char *id;         /* file name without folder and .csv: `torque: {table: ID}` names it */
    const char *kind;       /* "torque" */
    const char *title;
    const char *source;     /* where every row comes from that names no source of its own */
    const char *single;     /* columns that rest on one source, ' ' between, in rows that say nothing */
    const char *gaps;       /* what was not found, or "": printed by `gudgeon table` */
    enum table_level level;
    /* Conditions the whole table holds for; "" where it says nothing. */
    const char *lubricant, *plating, *fastener;
    bool reused_minimum;    /* `reused: minimum`: a fastener used again takes the low end */
    bool rigid;             /* `joint: rigid`: not for a joint with a soft gasket */
    bool factors_combine;   /* `factors: combine`; else two factors together are refused */
    struct span span;       /* the user's own table; file 0 when built in */
};

/* Every row starts with these. */
struct table_row {
    const struct table_head *table;
    const char *source; /* the row's own, else the table's */
    const char *single; /* headings of the columns whose figure was seen in one source only, ' ' between;
                           the row's own ("-": none), else the table's. Never NULL */
    struct span span;   /* of the row, in a user's table */
};

/* --- threads --- */
struct table_thread {
    struct table_row row;
    const char *name;        /* "M8x1.25", "3/8-20 BSF", "2 BA", "5/16-26 cycle", "G 3/8" */
    const char *system;      /* "M", "UNC", "UNF", "UNEF", "UNS", "BSW", "BSF", "BSB", "BA", "cycle",
                                "G", "old-metric", "plug" */
    const char *series;      /* "coarse", "fine", "constant", "" */
    const char *size;        /* "M8", "3/8", "#10", "2" */
    const char *form;        /* a row of table_form: "iso", "un", "whitworth", "ba", "cycle", "us-flat" */
    int64_t major_pm, pitch_pm; /* pitch to the nearest pm; `tpi` is the exact datum of inch threads */
    double tpi;              /* NAN for metric pitches */
    int64_t effective_pm;    /* pitch diameter d2, basic */
    int64_t minor_pm;        /* core of the basic form: D1 of the internal thread */
    int64_t root_pm;         /* d3 of the external thread, rounded root; = minor_pm where the form has one */
    double stress_area_m2;   /* tensile stress area, or NAN */
    const char *area_rule;   /* "ISO 898-1", "ASME B1.1", "mean of effective and core (no standard)" */
};
struct table_form {
    struct table_row row;
    const char *name;
    double flank_half_angle_deg;   /* 30, 27.5, 23.75 */
    double height_per_pitch;       /* sharp triangle H/P */
    double effective_per_pitch;    /* d2 = d - this * P */
    double minor_per_pitch;        /* D1 = d - this * P */
    double root_per_pitch;         /* d3 = d - this * P */
    double root_radius_per_pitch;
    const char *crest;             /* of the bolt: "flat", "rounded" */
};

enum table_status {
    TABLE_FOUND,
    TABLE_UNKNOWN,       /* `near` holds the nearest names */
    TABLE_AMBIGUOUS,     /* two systems share the name: `near` holds the full names to choose from */
    TABLE_CONTRADICTION, /* size and pitch do not go together: `near` holds what the size does have */
};
enum { TABLE_NEAR = 8 };
struct table_near {
    const char *names[TABLE_NEAR]; /* best first */
    size_t count;
};
struct table_thread_found {
    enum table_status status;
    const struct table_thread *thread; /* TABLE_FOUND */
    const struct table_form *form;     /* TABLE_FOUND */
    struct table_near near;
};
/* Spellings: M8, M8x1.25, M8 x 1.25, 5/16-24 UNF, 5/16 UNF, 9/16 BSW, 3/8-20 BSF, 2 BA, 2BA, G 3/8,
 * G3/8, 3/8 BSP, 5/16-26 cycle, 5/16 x 26 cycle, 18 mm plug; case of letters does not matter. */
struct table_thread_found table_thread_find(struct arena *arena, const struct table_set *set,
                                            const char *name);

/* Every thread that what was measured could be, nearest first: external major diameter as measured
 * (worn and truncated crests read low) and pitch, or tpi (NAN: not measured; pitch TABLE_NO_PM). */
struct table_thread_candidate {
    const struct table_thread *thread;
    int64_t major_off_pm; /* measured minus nominal */
    double pitch_off;     /* measured pitch / nominal - 1; 0 when not measured */
};
struct table_thread_candidates {
    struct table_thread_candidate *items;
    size_t count, room;
};
struct table_thread_candidates table_thread_identify(struct arena *arena,
                                                     const struct table_set *set, int64_t major_pm,
                                                     int64_t pitch_pm, double tpi);

/* Width across flats and bearing face of hexagons by thread size; `standard` tells families apart. */
struct table_hexagon {
    struct table_row row;
    const char *thread_size;    /* "M10", "3/8 BSF", "3/8 BSW", "2 BA", "5/16 UNF" */
    const char *standard;       /* "ISO 4014", "DIN 934 (old)", "BS 1083", ... */
    const char *spanner;        /* as marked: "16 mm", "3/8 BS", "7/16 AF" */
    int64_t across_flats_pm;
    int64_t bearing_face_pm;    /* outside diameter of the face, or TABLE_NO_PM */
};
struct table_hole {             /* clearance hole */
    struct table_row row;
    const char *thread_size;
    const char *series;         /* "close", "medium", "coarse" */
    int64_t hole_pm;
};
/* The first family of the thread is the default; NULL if none was read. */
const struct table_hexagon *table_hexagon_find(const struct table_set *set,
                                               const struct table_thread *thread);
const struct table_hole *table_hole_find(const struct table_set *set,
                                         const struct table_thread *thread, const char *series);
/* Outside (friction) diameter pair of the bearing face: its outside and the hole under it. False when
 * either was not read. */
bool table_bearing_face(const struct table_set *set, const struct table_thread *thread,
                        int64_t *outside_pm, int64_t *hole_pm, const char **source);

/* Tapping drills as sold; sources differ, each keeps its row and the first is used. */
struct table_tap_drill {
    struct table_row row;
    const char *thread;         /* a thread name */
    const char *drill;          /* "8.5 mm", "#7", "F", "25/64" */
    int64_t size_pm;
};
const struct table_tap_drill *table_tap_drill_find(const struct table_set *set,
                                                   const struct table_thread *thread);

struct table_drill {            /* number, letter and fraction drills by name */
    struct table_row row;
    const char *name;
    int64_t diameter_pm;
};
const struct table_drill *table_drill_find(const struct table_set *set, const char *name);

struct table_pin {              /* split pin by thread size */
    struct table_row row;
    const char *thread_size;
    int64_t least_pm;
};
const struct table_pin *table_pin_find(const struct table_set *set,
                                       const struct table_thread *thread);

struct table_pin_size {         /* ISO 1234: a split pin goes by its hole and is thinner than that */
    struct table_row row;
    const char *name;           /* "4 mm" */
    int64_t hole_pm, shank_pm;
};

/* --- strength, friction, torque --- */
struct table_grade {
    struct table_row row;
    const char *name;          /* "8.8", "SAE 5", "R", "A2-70", "AN" */
    const char *spellings;     /* others, '|' between: "grade 5|5" */
    const char *family;        /* "metric", "sae", "stainless", "british", "aircraft" */
    int64_t over_pm, up_to_pm; /* thread diameters it holds for */
    double proof_pa, yield_pa, tensile_pa; /* NAN where the source states none */
    const char *standing;      /* "tensile only: no proof stress is stated", or "" */
};
struct table_grade_found {
    enum table_status status;        /* FOUND, UNKNOWN, AMBIGUOUS */
    const struct table_grade *grade; /* the row for this diameter; NULL with FOUND when the grade is
                                        known but the diameter lies outside its ranges */
    struct table_near near;
};
/* major_pm 0: the grade's first row, whatever the diameter. */
struct table_grade_found table_grade_find(const struct table_set *set, const char *name,
                                          int64_t major_pm);

/* Enumerated words: kind is "lubricant", "plating", "fastener", "lock", ... */
struct table_word {
    struct table_row row;
    const char *kind;
    const char *name;      /* canonical */
    const char *spellings; /* '|' between */
    const char *note;
};
/* NULL if unknown; `near` (may be NULL) then holds the nearest. */
const struct table_word *table_word_find(const struct table_set *set, const char *kind,
                                         const char *word, struct table_near *near);

struct table_nut {             /* ISO 898-2 */
    struct table_row row;
    const char *class;         /* "8": goes with a bolt of class 8.8 or weaker */
    const char *style;         /* "1" regular, "2" high */
    int64_t over_pm, up_to_pm; /* thread diameters it holds for */
    double proof_pa;           /* proof load = this * stress area of the thread */
};
/* NULL when the table has none for that diameter. */
const struct table_nut *table_nut_find(const struct table_set *set, const char *class,
                                       const char *style, int64_t major_pm);

struct table_friction {
    struct table_row row;
    const char *lubricant, *plating;   /* "" = any */
    double thread_low, thread_high;    /* coefficient in the thread */
    double face_low, face_high;        /* under head or nut */
    double factor_low, factor_high;    /* nut factor K as published, or NAN */
};
/* The row for exactly this lubricant and plating, else for the lubricant with any plating; NULL. */
const struct table_friction *table_friction_find(const struct table_set *set,
                                                 const char *lubricant, const char *plating);

struct table_torque {
    struct table_row row;
    const char *thread;      /* a thread name as table_thread gives it */
    const char *grade;       /* "" = any */
    const char *fastener;    /* "new", "reused": the row's, else the table's; "" = either */
    const char *lubricant, *plating; /* the row's, else the table's; "" where neither says */
    const char *use;         /* "tension nut", "gasket seat, cast-iron head", "": what it is for,
                                thing by thing, each a kind and a noun */
    double low_n_m, high_n_m;
    double most_n_m;         /* never beyond this, or NAN */
    double preload_n;        /* where the table prints it, or NAN */
    double friction;         /* the row holds for this coefficient rather than for a lubricant: it is
                                used only where a joint names the table; else NAN */
    const char *unit;        /* as printed in the source: "lbf in" */
};
struct table_torques {
    const struct table_torque **items; /* nearest level first, then file order */
    size_t count, room;
};
struct table_condition {
    const char *lubricant, *plating, *fastener; /* canonical words; NULL or "" = not said */
};
/* Every row for this thread and grade; `grade` and `table_id` may be NULL. Conditions are not judged
 * here: table_torque_holds says whether a row's are met, table_factor_find whether the row's own
 * table gives the factor that carries it over. */
struct table_torques table_torque_find(struct arena *arena, const struct table_set *set,
                                       const struct table_thread *thread, const char *grade,
                                       const char *table_id);
enum table_holds {
    TABLE_HOLDS,
    TABLE_HOLDS_UNSAID,  /* the row states no condition at all */
    TABLE_DIFFERS,       /* one condition differs: a factor may carry it over */
    TABLE_DIFFERS_MORE,  /* more than one differs, or the row holds for a friction coefficient */
};
/* `what` (may be NULL): the first condition that differs, "lubricant", "plating" or "fastener". */
enum table_holds table_torque_holds(const struct table_torque *row, struct table_condition condition,
                                    const char **what);
struct table_factor {
    struct table_row row;
    const char *table;       /* id of the torque table it belongs to */
    const char *what;        /* "lubricant", "plating", "fastener" */
    const char *from, *to;   /* canonical words */
    double factor;
};
const struct table_factor *table_factor_find(const struct table_set *set,
                                             const struct table_head *table, const char *what,
                                             const char *from, const char *to);

struct table_drag {          /* least run-on torque of a self-locking nut that is used again */
    struct table_row row;
    const char *thread;
    double least_n_m;
    const char *unit;
};
const struct table_drag *table_drag_find(const struct table_set *set,
                                         const struct table_thread *thread);

/* Length engaged / nominal diameter, practice by the tapped material; a range. */
struct table_engagement {
    struct table_row row;
    const char *material; /* a material name or family */
    double low, high;
};
const struct table_engagement *table_engagement_find(const struct table_set *set,
                                                     const char *material);

/* --- limits and fits, ISO 286 --- */
struct table_limits {
    enum table_status status; /* FOUND; UNKNOWN: no such class; CONTRADICTION: class known, but the
                                 size lies outside what was read: TABLE_NOT_FOUND */
    int64_t low_pm, high_pm;  /* deviations from nominal */
    bool hole;                /* the class has a capital letter */
    const char *source;
};
/* "H7", "k5", "js6", "JS7"; case counts. Exact in whole micrometres (js of odd grades: half). */
struct table_limits table_class_limits(const struct table_set *set, const char *class,
                                       int64_t nominal_pm);
/* Standard tolerance of a grade "IT7", or TABLE_NO_PM. */
int64_t table_it(const struct table_set *set, const char *grade, int64_t nominal_pm);
/* True if the text is shaped like a class: letters of ISO 286 and a grade 01..18. */
bool table_is_class(const char *text);

struct table_b41 {            /* ANSI B4.1 inch fits */
    struct table_row row;
    const char *class;        /* "RC3", "LN2", "FN1" */
    int64_t over_pm, up_to_pm;
    int64_t hole_low_pm, hole_high_pm, shaft_low_pm, shaft_high_pm; /* deviations; NO_PM if not read */
    int64_t low_pm, high_pm;  /* clearance of the fit, negative = interference */
};
const struct table_b41 *table_b41_find(const struct table_set *set, const char *class,
                                       int64_t nominal_pm);

/* --- rolling bearings --- */
struct table_bearing {
    struct table_row row;
    const char *designation;  /* "6206", "NU207", "RMS10" */
    const char *type;         /* "deep-groove", "cylindrical-roller", "taper-roller",
                                 "self-aligning", "angular-contact", "thrust" */
    const char *series;       /* "62", "NU2", "light inch" */
    int64_t bore_pm, outside_pm;
    int64_t width_pm;         /* B; for tapers the cone's */
    int64_t overall_pm;       /* T of tapers; else = width */
    int64_t cup_pm;           /* C, width of a taper's outer ring; TABLE_NO_PM where none was read */
    const char *iso_355;      /* of a taper, "T2DB020": angle, diameter and width series, bore; or "" */
};
struct table_bearing_found {
    enum table_status status;
    const struct table_bearing *bearing;
    struct table_near near;
};
/* Suffixes for seals, clearance and cage (6206-2RS, 6206 C3, NU207EC) are ignored: the spec says them
 * by keys. Thin sections go by both names (6805 is 61805); an inch taper's cup may be shortened
 * (LM11949/10 is LM11949/LM11910). */
struct table_bearing_found table_bearing_find(const struct table_set *set, const char *designation);
struct table_bearing_candidate {
    const struct table_bearing *bearing;
    int64_t bore_off_pm, outside_off_pm, width_off_pm; /* measured minus listed */
    bool width_is_overall; /* of a taper: the width off is that of T rather than of B */
};
struct table_bearing_candidates {
    struct table_bearing_candidate *items; /* all within the bearing's own tolerance first, then near
                                              misses, nearest first */
    size_t count, room;
    size_t exact; /* how many agree within 0.05 mm on all three */
};
/* Any size may be TABLE_NO_PM (not measured). */
struct table_bearing_candidates table_bearing_identify(struct arena *arena,
                                                       const struct table_set *set, int64_t bore_pm,
                                                       int64_t outside_pm, int64_t width_pm);
/* ISO 492 limits of a ring by group: "bore", "outside", "width", "runout" (Normal class), "bore P6".
 * False when not in the table, or for a bearing that is no metric radial one. */
bool table_bearing_ring(const struct table_set *set, const struct table_bearing *bearing,
                        const char *group, int64_t *low_pm, int64_t *high_pm, const char **source);
/* ISO 492 Normal. `outer` true: of the outside diameter. False when not in the table. */
bool table_bearing_tolerance(const struct table_set *set, const struct table_bearing *bearing,
                             bool outer, int64_t *low_pm, int64_t *high_pm, const char **source);
/* ISO 5753-1 radial clearance by group "C2", "CN" ("C0", "normal"), "C3", "C4", "C5". */
bool table_bearing_clearance(const struct table_set *set, const struct table_bearing *bearing,
                             const char *group, int64_t *low_pm, int64_t *high_pm,
                             const char **source);
struct table_seat {           /* seat class by use */
    struct table_row row;
    const char *place;        /* "shaft" or "housing" */
    const char *type;         /* bearing type, "" = any */
    const char *load;         /* as printed: "rotating inner load, light" */
    int64_t over_pm, up_to_pm;
    const char *class;        /* "k5" */
};

struct table_roller {         /* rollers and balls as made */
    struct table_row row;
    const char *name;         /* "5x5", "1/4 in" */
    const char *type;         /* "cylindrical-roller", "ball" */
    int64_t diameter_pm;
    int64_t length_pm, chamfer_pm; /* TABLE_NO_PM for balls */
};
struct table_roller_grade {   /* ISO 12297 rollers, ISO 3096 needles, ISO 3290 balls: at most */
    struct table_row row;
    const char *type, *grade; /* "ball", "16" */
    int64_t roundness_pm;     /* deviation from roundness, of balls from the sphere */
    int64_t diameter_pm;      /* variation of diameter of one piece */
    int64_t lot_pm;           /* variation of diameter within a lot */
    int64_t roughness_pm;     /* Ra, or TABLE_NO_PM */
};
struct table_oversize {       /* oversizes as made */
    struct table_row row;
    const char *of;           /* "roller" */
    int64_t size_pm;
};
struct table_life_factor {    /* a1 of ISO 281 */
    struct table_row row;
    const char *edition;      /* "ISO 281:2007", "before 2007" */
    double reliability;       /* share of bearings that reach the life */
    double factor;            /* of the basic rating life */
};

/* --- materials, sheets, rules, heat, cautions, records --- */
struct table_material {
    struct table_row row;
    const char *name;         /* "aluminium-cast" */
    const char *spellings;
    const char *family;       /* "light-alloy", "iron", "steel", "copper-alloy", "magnesium", ... */
    double expansion_low_per_k, expansion_high_per_k;
    double modulus_low_pa, modulus_high_pa;
    double poisson;
    double density_kg_m3;
    double tensile_pa;        /* least, or NAN */
    double shear_pa;          /* or NAN */
};
/* First row of the name; second sources follow in table_material_next. */
const struct table_material *table_material_find(const struct table_set *set, const char *name,
                                                 struct table_near *near);
/* The next row of the same material from another source; NULL at the end. */
const struct table_material *table_material_next(const struct table_set *set,
                                                 const struct table_material *row);
/* The first row of the same material that has the value of a column ("density", "poisson", ...);
 * NULL if none has. */
const struct table_material *table_material_with(const struct table_set *set,
                                                 const struct table_material *row,
                                                 const char *heading);
/* Middle of a range where it is one. */
double table_material_expansion(const struct table_material *row);
double table_material_modulus(const struct table_material *row);

struct table_sheet {
    struct table_row row;
    const char *name;         /* "gasket-paper-04" */
    const char *material;
    int64_t free_low_pm, free_high_pm, crushed_low_pm, crushed_high_pm;
    int64_t bridge_pm;        /* the thinnest strip that is cut from it; TABLE_NO_PM where not said */
};
const struct table_sheet *table_sheet_find(const struct table_set *set, const char *name,
                                           struct table_near *near);

struct table_rule {
    struct table_row row;
    const char *id;           /* "ring-gap" */
    const char *variant;      /* "", "top", "inlet|in|intake": '|' between spellings of one place */
    const char *text;         /* what is measured, in plain words */
    const char *per;          /* "bore", "journal", "" when the limits are lengths of their own */
    double low_ratio, high_ratio;     /* length per length of `per`, or NAN */
    int64_t low_pm, high_pm;          /* or TABLE_NO_PM; with `per` they are added */
};
const struct table_rule *table_rule_find(const struct table_set *set, const char *id,
                                         const char *variant, struct table_near *near);
/* The limits that a rule gives for a size; an end that it does not state is TABLE_NO_PM. */
void table_rule_limits(const struct table_rule *rule, int64_t size_pm, int64_t *low_pm,
                       int64_t *high_pm);

struct table_ceiling {        /* highest temperature of a part while it is heated; sources disagree */
    struct table_row row;
    const char *what;         /* material name, or "bearing", "bearing-sealed", "fibre-nut", ... */
    double most_c;
    const char *where;        /* "held over 5 minutes", "oil bath", ... */
};
struct table_ceilings {
    const struct table_ceiling **items; /* lowest first */
    size_t count, room;
};
struct table_ceilings table_ceiling_find(struct arena *arena, const struct table_set *set,
                                         const char *what);

struct table_chill {          /* how cold a part may be made, and how cold a medium makes it */
    struct table_row row;
    const char *what;         /* "bearing", "dry-ice" */
    const char *use;          /* "part" that bears no colder, or "medium" that a part gets so cold in */
    double temperature_c;
    const char *where;        /* "not chilled below this" */
};
/* How cold a kind of part (a material, "bearing") may be made; NULL where no source says. */
const struct table_chill *table_chill_floor(const struct table_set *set, const char *what);
/* The mildest medium that makes a part as cold as this; NULL if none does. */
const struct table_chill *table_chill_medium(const struct table_set *set, double celsius);

/* What laws and guides list as content of a maintenance entry and say of records. */
struct table_record {
    struct table_row row;
    const char *topic;        /* "us-43.9", "dye-penetrant" */
    const char *use;          /* "entry" (something to fill in), "kept", "due", "copy", "form",
                                 "meaning", "step" (in this order), "practice" */
    double number;            /* order within the topic, from 1 */
    const char *text;
};

struct table_caution {
    struct table_row row;
    const char *id;           /* "hot-parts" */
    const char *fact;         /* the key of the fact that calls for it: "heat", "fit", "material", ... */
    const char *value;        /* with this value, '|' between; "" = whatever it is */
    double over;              /* for numbers: over this, SI; NAN if none */
    const char *text;         /* a user's own; "": the label caution.ID has the words */
    bool cover;               /* for the cover, once, besides the step */
};
/* Every caution row that the fact calls for, in table order: key, text value (may be NULL), number
 * (NAN if none). Facts of the built-in table and their values:
 *   always · heat · cooling · bearing · crank-at · consumable         (no value: that there is one)
 *   material: a material's name · fit: interference · carries: fuel · prove: as the spec writes it
 *   phase: strip, clean, first-run · duty: aircraft, marine, stationary · lock: wire, split-pin
 *   tools: a tool's id · part: the id, and each of its words · inspect: dye · plating: cadmium
 *   torque: derived, angle, stretch · weight: number in kg · people: number */
struct table_cautions {
    const struct table_caution **items;
    size_t count, room;
};
struct table_cautions table_caution_find(struct arena *arena, const struct table_set *set,
                                         const char *fact, const char *value, double number);

/* --- sets --- */
/* What is built in; always there, never changes. */
const struct table_set *table_set_default(void);
/* A set of its own in the arena, with the same rows: tables can be added in front, cells changed. */
struct table_set *table_set_copy(struct arena *arena, const struct table_set *set);
/* Reads a user's table (first line '# table: KIND') and puts its rows in front. False after reporting
 * (codes G11xx). */
bool table_add_user(struct context *context, struct table_set *set, uint32_t source);

/* What the build checks of its own tables, over every row of one kind in a set: low over high, bands
 * that overlap, keys given twice, shapes. False after reporting (codes G11xx). */
bool table_set_check(struct context *context, const struct table_set *set, const char *kind);

/* Every kind with its columns: the one description from which tables are read, checked, embedded,
 * printed and, in tests, changed. */
enum table_cell {
    TABLE_TEXT,    /* const char *, "" when empty */
    TABLE_LENGTH,  /* int64_t pm, TABLE_NO_PM when empty */
    TABLE_NUMBER,  /* double SI, NAN when empty */
    TABLE_FLAG,    /* bool: yes, no */
};
enum table_role {
    TABLE_NEEDED = 1, /* may not be empty */
    TABLE_IN_KEY = 2, /* rows of one table differ in these; needed unless text */
    TABLE_OVER = 4,   /* begin and end of a band "over .. up to and including": bands of one key */
    TABLE_UP_TO = 8,  /* follow each other without overlap, and without gap unless the head says so */
    TABLE_LOW = 16,   /* may not exceed the TABLE_HIGH column that follows it */
    TABLE_HIGH = 32,
};
struct table_column {
    const char *heading; /* in a file "heading" or "heading:unit" */
    const char *member;  /* of the row's struct */
    enum table_cell cell;
    enum qty_dim dim;    /* TABLE_NUMBER, TABLE_LENGTH */
    unsigned roles;
    size_t offset;
};
struct table_kind {
    const char *name;
    const char *help;
    const struct table_column *columns;
    size_t column_count;
    size_t row_size;
};
const struct table_kind *table_kind_at(size_t index); /* NULL at the end */
const struct table_kind *table_kind_find(const char *name);
/* Row `index` of a kind, the user's first; NULL at the end. Each starts with struct table_row. */
const void *table_row_at(const struct table_set *set, const char *kind, size_t index);
/* The same, to change a cell of a copied set. */
void *table_row_edit(struct table_set *set, const char *kind, size_t index);

bool table_has(double value); /* not NAN */
/* The row's figure in that column was seen in one source only, as far as the row says. */
bool table_is_single(const struct table_row *row, const char *heading);

/* `gudgeon table WORDS`: looks up and prints plain lines. Words: nothing (the list of tables), a kind
 * (its rows), `thread 3/8 BSF`, `thread 0.311 in 22 tpi`, `bearing 6206`, `bearing 30 62 16` (mm where no
 * unit stands, inches where nothing measures that), `fit 62 H7/k6`, `torque 1/4-28 UNF`, `material steel`, `rule ring-gap 2 7/8 in`, ... False when nothing
 * was found: what is said then is in `out` too. */
bool table_query(struct context *context, const struct table_set *set, char **words, size_t count,
                 struct str_buf *out);

#endif
