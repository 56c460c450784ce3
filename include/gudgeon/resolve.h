/* resolve.h - typed spec in, resolved build out: every value with its origin, and completeness.
 *
 * A fact is one value that a card, a list or another fact rests on. It can always answer "where
 * from?": given (with source and page), table (with row and its source), computed (formula and
 * inputs), defaulted. Values are chosen by the levels of specs/LANGUAGE.md section 5. */
#ifndef GUDGEON_RESOLVE_H
#define GUDGEON_RESOLVE_H

#include <gudgeon/calc.h>
#include <gudgeon/label.h>
#include <gudgeon/map.h>
#include <gudgeon/outline.h>
#include <gudgeon/spec.h>

struct fact_input;
struct fact_number;
enum fact_origin { FACT_GIVEN, FACT_TABLE, FACT_COMPUTED, FACT_DEFAULTED };

struct fact {
    const char *id;                /* "cylinder-nuts/1.torque", "crank-float.pick" */
    struct entry *entry;           /* whose fact it is, or NULL */
    struct qty_value value;        /* or */
    const char *words;             /* or a fact in the user's words, or */
    const struct phrase *phrase;   /* in ours: a designation with what it means, a choice */
    enum fact_origin origin;
    int level;                     /* LEVEL_*; LEVEL_UNSAID for computed */
    bool derived;                  /* from first principles: always printed as *derived* */
    bool measured;                 /* the value rests on readings */
    double uncertainty;            /* of what was measured, in the SI unit of the value; else 0 */
    const char *source;            /* as it is cited: "Owner's handbook p. 31", "ISO 898-1"; or */
    const struct phrase *sources;  /* several, each with what rests on it */
    const char *formula;           /* computed: with its clause, for people */
    const char *rule;              /* the same for programs: "stack", "hot-clearance"; or NULL */
    struct { struct fact_number *items; size_t count, room; } numbers; /* what else went in */
    const char *note;              /* a condition, a loser, "rule, common practice" */
    struct span span;              /* where the spec says it, or what asked for it */
    struct fact_input *inputs;
    size_t input_count, input_room;
};
struct fact_input {                /* as: what it is in the formula ("bore"); NULL: one of many */
    struct fact *fact;
    const char *as;
};
struct fact_number {               /* a coefficient or a table's cell, in SI */
    const char *name;
    double si;
};

struct facts {                     /* what else was worked out: the card prints each, by the label
                                      `field.` and the end of its id */
    struct fact **items;
    size_t count, room;
};

enum verdict { VERDICT_NONE, VERDICT_INSIDE, VERDICT_NEAR_NEW, VERDICT_SERVICEABLE,
               VERDICT_NEAR_WORN, VERDICT_OUTSIDE, VERDICT_NOT_MEASURED };
const char *verdict_word(enum verdict verdict); /* of the labels "verdict.": "inside", "near-new" */

struct pick_choice {               /* one way to make the limit hold */
    const struct phrase *words;    /* "0.15 mm + 0.25 mm", "piece b" */
    struct qty_value result;       /* the limit's value with it */
    const struct sold **sold;      /* sold sizes used, or */
    const struct loose *loose;
    size_t count;
};
struct pick_result {
    struct part *part;             /* the member for which it was picked */
    struct size *size;
    bool made;                     /* written by the user as `fitted` */
    bool open;                     /* cannot be decided yet: `why_open` */
    const struct phrase *why_open;
    struct pick_choice best, *others;
    size_t other_count;
    struct fact *fact;
};

struct joint_values {              /* beside spec->joints, same index */
    struct joint *joint;
    struct fact *torque;           /* limits or one, drag not yet added; NULL with stretch alone */
    struct fact *stretch, *nip, *drag;
    struct fact *target;           /* drag added: what goes on the fastener */
    const struct wrench *wrench;   /* that fits, or NULL */
    struct fact *setting;          /* in the wrench's own unit and division, adapter corrected */
    const char *setting_text, *setting_other_text;
    struct fact *ceiling;          /* what the weakest of bolt, thread and tapped material bears */
    const char *weakest;
    const struct phrase *to_slot;  /* of a castellated nut: how it goes on from the low end, or NULL */
    const char **pulls;            /* the setting at each pull, printed */
    size_t pull_count;
    const struct phrase *spanner;  /* "3/8 W, 0.710 in across flats", or NULL */
    const struct phrase *condition; /* "oiled: engine oil, reused fastener" */
    bool derived;
    struct facts more;
};
struct size_values {
    struct size *size;
    struct fact *want, *worn;      /* limits; classes and bearings looked up */
    struct fact *found;            /* extremes of the readings, or outwork's want */
    bool doubted;                  /* want and reading contradict each other beyond belief (G0558):
                                      nothing is worked out from either */
    enum verdict verdict;
    struct phrase *judged;         /* the verdict with side and distance, or NULL */
};
struct fit_values {
    struct fit *fit;
    struct fact *clearance;        /* limits at room temperature; negative is interference */
    struct fact *want;
    struct fact *hot;              /* at runs-at */
    struct fact *heat_to;          /* temperature to heat the part to, held against ceilings */
    struct fact *chill_to;         /* and to chill the other one to, */
    const char *chill_in;          /* in a medium of the table ("dry-ice"), or NULL */
    enum verdict verdict;
    const char *kind;              /* clearance | transition | interference */
    struct phrase *judged;
    struct pick_result *picks;
    size_t pick_count;
    struct facts more;
};
struct limit_values {
    struct limit *limit;
    struct fact *want, *worn;      /* want: given or by rule */
    struct fact *found;            /* computed from a stack, measured, or NULL */
    enum verdict verdict;
    struct phrase *judged;
    struct pick_result *picks;
    size_t pick_count;
    struct facts more;
};
struct setting_values {
    struct setting *setting;
    struct fact *at, *at_other;    /* angle, and piston travel, or the reverse */
    struct fact *want;
    int64_t turns;                 /* until marks return; 0 unsaid */
    struct fact *found;            /* what was read, or NULL */
    enum verdict verdict;          /* against want, or against at with its tolerance */
    struct phrase *judged;
    struct facts more;
};
struct bearing_values {
    struct part *part;
    const struct table_bearing *row; /* NULL: candidates are an open question */
    const struct phrase *order;    /* the whole that a supplier must be told */
    struct facts more;
};

struct purchase {                  /* one line to buy */
    const char *line;              /* our reference, unique: "main-bearing", "shim:0.15 mm" */
    const char *what;              /* part name or consumable */
    struct part **parts;           /* members it serves; none for a consumable */
    size_t part_count, part_room;
    const struct consumable *consumable;
    const char *number;
    const struct phrase *text;     /* what to ask for, or NULL */
    const struct sheet_cut *sheet; /* a line of sheets */
    const struct supplier *supplier;
    int64_t fitted, spare, trial, again; /* pieces for each reason */
    int64_t needed;                /* their sum */
    int64_t pack, packs, pieces;   /* pack size, packs to buy, packs * pack */
    const struct claim *price;     /* of a piece (of a consumable: of its pack), or NULL */
    const struct claim *lead;      /* as its supplier offers it, or NULL: the supplier's usual one */
    int64_t line_minor;            /* minor units; -1 unknown */
    const char *currency;
    const struct phrase *acceptance; /* sizes to check at goods-in, both systems */
    const struct phrase *look_alikes; /* what it must not be mistaken for, or NULL */
    const struct phrase *why;      /* "renewed", "always renewed", "a pack, for the faces" */
};
enum offer_verdict { OFFER_TAKEN,  /* of the line's own supplier: its price and delivery are used */
                     OFFER_FITS,   /* another supplier's, as good */
                     OFFER_OPEN,   /* something else is offered: a person must judge */
                     OFFER_REFUSED };
struct offer_values {
    const struct quote *offer;
    struct purchase *line;
    enum offer_verdict verdict;
    const struct phrase *judged;   /* why */
};
struct part_weight {               /* of a part in the finished engine */
    struct part *part;
    int64_t pieces;
    bool known;                    /* false: nobody has weighed it */
    double low_kg, high_kg;        /* of all pieces */
};
/* What is cut from sheet to a declared outline. */
struct gasket {
    struct part **parts;           /* members of one entry */
    size_t part_count;
    const struct outline_shape *shape; /* millimetres */
    struct outline_box box;
    double area_mm2;
    bool bought;                   /* ready: its part names a supplier */
    struct purchase line;          /* else how many of it for what reason: its sheet is bought, */
    size_t sheet;                  /* that of build.sheets */
};
/* A sheet that gaskets are cut from. */
struct sheet_cut {
    const char *name;              /* "gasket-paper-04" */
    const struct sheet_material *said; /* how it is sold; NULL: not known, nothing is laid out */
    struct outline_sheet size;
    struct outline_piece *pieces;  /* each gasket as a rectangle, laid out */
    size_t *gaskets;               /* of each piece: which of build.gaskets */
    size_t piece_count;
    size_t sheets;                 /* that are cut into; 0 where nothing is cut */
    size_t to_buy;                 /* less what is in stock; 1 where the size is not known */
    double area_mm2;               /* of all gaskets that are cut from it */
};
struct question {                  /* an open question */
    struct span span;
    struct entry *entry;           /* whose it is, or NULL: the engine's */
    const char *about;             /* what of it: a size, another part; or NULL */
    struct phrase *asks, *settles; /* the question, and what would settle it */
};

struct build {
    const struct spec *spec;
    const struct table_set *tables;
    const struct labels *english;
    struct { struct fact **items; size_t count, room; } facts;
    struct { struct joint_values *items; size_t count, room; } joints;
    struct { struct size_values *items; size_t count, room; } sizes;
    struct { struct fit_values *items; size_t count, room; } fits;
    struct { struct limit_values *items; size_t count, room; } limits;
    struct { struct setting_values *items; size_t count, room; } settings;
    struct { struct bearing_values *items; size_t count, room; } bearings;
    struct { struct purchase *items; size_t count, room; } purchases;
    struct { struct offer_values *items; size_t count, room; } offers; /* later ones stand for earlier */
    struct { struct gasket *items; size_t count, room; } gaskets;
    struct { struct sheet_cut *items; size_t count, room; } sheets;
    struct { struct question *items; size_t count, room; } questions;
    int64_t cost_minor;            /* of what is priced */
    size_t unpriced;
    struct fact *weight;           /* "at least" where some are unknown */
    struct { struct part_weight *items; size_t count, room; } weights;
    struct map fact_ids;           /* where in `facts` the first of each id is */
    struct map lines;              /* where in `purchases` the first of each kind is */
    struct map places;             /* where in its list the values of a joint, size, fit, … are */
};

/* NULL after at least one error. Completeness that needs no order is reported here (G06xx). */
struct build *resolve_build(struct context *context, const struct spec *spec);

/* Pieces of a part that a joint takes: what `uses` says, else one a fastener for its lock; 0 for what it
 * does not take. */
int64_t build_joint_pieces(const struct joint *joint, const struct part *part);
bool build_is_lock(const struct joint *joint, const struct part *part);

/* Pieces of a part in the finished engine: what it says, else what joints take of it. */
int64_t build_pieces(const struct part *part);

/* Pieces of a part that only the plan knows will be spent: what a follow-up opens and closes again.
 * Nothing happens for a part that is not bought. */
void build_spend_again(struct context *context, struct build *build, const struct part *part,
                       int64_t pieces);

/* Once all that is spent is known: gaskets are laid out on sheets, sheets are lines to buy, and the sum
 * is compared with the budget. */
void build_settle_purchases(struct context *context, struct build *build);

/* What a line is of: the id of an entry, a consumable or a sheet. */
const char *build_line_id(const struct purchase *line);

struct fact *build_fact(const struct build *build, const char *id);
const struct joint_values *build_joint(const struct build *build, const struct joint *joint);
const struct limit_values *build_limit(const struct build *build, const struct limit *limit);
const struct fit_values *build_fit(const struct build *build, const struct fit *fit);
const struct setting_values *build_setting(const struct build *build,
                                           const struct setting *setting);
const struct bearing_values *build_bearing(const struct build *build, const struct part *part);
const struct size_values *build_size(const struct build *build, const struct size *size);

/* A source as its table or the spec cites it; "common practice, no source" and "from memory of ..." are
 * labels. NULL for NULL. */
struct phrase *build_citation(struct arena *arena, const char *source);
/* The source of a fact, of either form, or NULL. */
const struct phrase *build_source(struct arena *arena, const struct fact *fact);
/* What looks like the part and is another, each with the engines that it is for; NULL where there is none. */
const struct phrase *build_look_alikes(struct arena *arena, const struct part *part);
/* A phrase in plain English, as diagnostics, `why` and build.json have it; NULL for NULL. */
const char *build_words(struct arena *arena, const struct build *build, const struct phrase *phrase);

/* What a fact says, in English: its words, or its value in both systems. */
const char *build_fact_words(struct arena *arena, const struct build *build, const struct fact *fact);

struct build_judged {              /* a verdict, and what it rests on */
    const char *id;                /* of the size, fit, limit or setting */
    struct entry *entry;
    enum verdict verdict;
    const struct phrase *words;    /* with side and distance, or NULL */
    struct fact *found, *want, *worn;
};
struct build_judgements {
    struct build_judged *items;
    size_t count, room;
};
struct build_judgements build_judgements(struct arena *arena, const struct build *build);

/* The chain of a fact as indented text, as `why SPEC ID` prints it. */
void build_why(const struct build *build, const struct fact *fact, struct str_buf *out);
/* The same chain as one JSON object: id, value, words, origin, source, formula, inputs[]. */
void build_why_json(const struct build *build, const struct fact *fact, struct json *json);
void build_dump(const struct build *build, struct json *json);

#endif
