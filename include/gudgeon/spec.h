/* spec.h - node tree in, typed and linked spec out.
 *
 * `applies` has chosen its forms, `each` entries are made at their places, every key is read by a
 * static field table (src/spec/fields_*.c: the one home of key, kind, dimension and help, which
 * also prints the JSON Schema and specs/LANGUAGE.md), and every reference points at what it means.
 * Defaults are not applied; nothing is looked up but names (threads, grades, materials, ...).
 *
 * An absent leaf is all zero: `present` false, text NULL, count 0. */
#ifndef GUDGEON_SPEC_H
#define GUDGEON_SPEC_H

#include <gudgeon/qty.h>
#include <gudgeon/table.h>
#include <gudgeon/tree.h>

struct entry;
struct part;
struct joint;
struct size;

/* ---------- leaves ---------- */

struct spec_source;
struct text {
    const char *text;              /* NULL: absent */
    bool unknown;                  /* the word `unknown` where it is allowed */
    struct span span;
    const struct spec_source *from;
    const char *page;              /* "p. 31": what follows the source's id */
    bool chosen;
    const char *because;
    struct text *losers;           /* what other sources say */
    size_t loser_count;
};
struct texts {
    struct text *items;
    size_t count, room;
};
struct flag {
    bool present, value;
    struct span span;
    struct text written;
};
struct number {                    /* a bare whole number */
    bool present;
    int64_t value;
    struct span span;
    struct text written;
};
struct date {
    bool present, unknown;
    struct qty_date date;
    struct span span;
    struct text written;
};
struct spec_source { /* `sources` */
    const char *id, *title, *dated, *held;
    struct span span;
    int rank;                      /* 1 best; 0 unsaid */
    enum { LEVEL_UNSAID, LEVEL_ENGINE, LEVEL_MAKER, LEVEL_STANDARD, LEVEL_PRACTICE } level;
    struct {
        struct text title, dated, held, level;
        struct number rank;
    } said;                        /* the same as written */
};
/* What a claim holds for; used outside that it warns. */
struct holds_for {
    bool present;
    struct span span;
    struct text lubricant, plating, fastener;
};
/* A value, where it comes from, and what other sources say. */
struct claim {
    bool present;
    struct span span;              /* the value's text */
    struct qty_value value;
    const struct spec_source *from;
    const char *page;
    const char *because;           /* of chosen or believe */
    bool chosen;
    int believe;                   /* printed pair that disagrees: 1 first, 2 second, 0 unsaid.
                                      `value` is already the one believed, value.printed the other */
    struct holds_for holds_for;
    struct text table;             /* torque: {table: ID}; value.kind is then QTY_ABSENT */
    struct claim *losers;          /* sourced values not used; never averaged */
    size_t loser_count;
};
struct reading {                   /* one of `measured` */
    struct qty_value value;
    struct span span;
    struct text using;             /* gauge id */
    const struct gauge *gauge;
    struct text where, phase, by;
    struct date date;
    const struct spec_source *from;
    const char *page;
};
struct readings {
    struct reading *items;
    size_t count, room;
};

/* A reference as written, and all it means here, in file order. */
struct ref {
    const char *text;
    struct span span;
    struct entry **to;             /* members; empty when the target does not apply to this engine */
    size_t count;
};
struct refs {
    bool present, all, none;       /* the words `all`, `none` where they are allowed */
    struct span span;
    struct ref *items;
    size_t count, room;
    struct entry **to;             /* of all items, in order, repeats dropped */
    size_t to_count;
};
/* ID[/PLACE].size[/PLACE] */
struct size_ref {
    const char *text;
    struct span span;
    struct part *part;
    struct size *size;             /* may be one that resolve fills (a bearing's, a gasket's) */
};
struct size_refs {
    struct size_ref *items;
    size_t count, room;
};
struct ref_count {                 /* uses: {cyl-nut: 8} */
    struct ref ref;
    int64_t count;
    struct number said;
};
struct ref_counts {
    struct ref_count *items;
    size_t count, room;
};
struct condition {
    bool present;
    struct span span;
    const char *name;              /* of shop.conditions, or NULL */
    struct text named;             /* the same with its place; the words below are then the shop's */
    struct text lubricant, plating, fastener;
};
struct accept {
    const char *code;              /* "G0612" */
    const char *reason;
    struct span span;              /* the code */
    bool used;                     /* it silenced something */
    struct text said;
};

/* ---------- entries ---------- */

enum entry_kind {
    ENTRY_PART, ENTRY_JOINT, ENTRY_FIT, ENTRY_LIMIT, ENTRY_SETTING, ENTRY_OPENING, ENTRY_PASSAGE,
    ENTRY_SEAL, ENTRY_STEP, ENTRY_TRIAL, ENTRY_OUTWORK, ENTRY_RUN, ENTRY_KIND_COUNT
};

/* An id with all its members; the member itself when it has no places. */
struct other_form {                /* of an entry, for other engines than this */
    const char *number;
    const char *ranges[3];         /* of serial, built, variant, as written, or NULL */
};
struct group {
    const char *id;
    enum entry_kind kind;
    struct span span;              /* the id */
    const struct places *each;     /* NULL: one member without a place */
    struct entry **members;        /* empty: no form applies to this engine */
    size_t member_count;
    bool conditional;              /* a form with `applies`: it may be absent */
    bool broken;                   /* an error was reported: references to it stay silent */
    size_t named;                  /* references to it that were found */
    const struct node *node;       /* the form that applies, before places; NULL when none does */
    struct { struct other_form *items; size_t count, room; } other_forms; /* that have a number */
    size_t order;                  /* in the file, over all sections */
};
struct places {                    /* a list of places, named or inline */
    const char *name;
    const char **items;            /* "1", "1-ex", "front", "1-top" */
    size_t count;
    struct span span;
};

/* What every entry that leads to an operation has; the first member of its struct. */
struct entry {
    enum entry_kind kind;
    struct group *group;
    const char *id;                /* the group's */
    const char *place;             /* or NULL */
    const char *member;            /* "piston/2", or the id */
    struct span span;              /* the id, where a missing key is marked */
    const struct node *node;
    size_t order;                  /* file order over all members of all sections */
    struct text name, called, note, photo;
    const char *shown;             /* name, else id; with the place: "Piston 2" for cards */
    struct texts tools;
    struct text side_up;
    struct text crank_at_text;
    struct qty_crank crank_at;
    struct span crank_at_span;
    struct text engine_is;         /* hot | cold | … */
    struct number people;
    struct claim takes;            /* time */
    struct refs after, before, under;
    struct ref reach;              /* an opening (or a passage's end) */
    bool reach_outside;            /* reach: outside */
    struct text witness;
    struct flag critical;
    struct {
        struct accept *items;
        size_t count, room;
    } accept;
    void *plan_data;               /* free for the plan stage */
};

enum part_state { STATE_UNKNOWN, STATE_REUSE, STATE_REWORK, STATE_RENEW, STATE_MAKE, STATE_MISSING,
                  STATE_STAYS };

struct sold {                      /* one size on offer */
    struct claim is;
    struct claim crushed;
    struct text called, number;
    struct number stock;
    struct claim price;
};
struct loose {                     /* one measured piece in hand */
    const char *name;
    struct span span;
    struct claim is;
};
struct size {
    const char *name;
    const char *place;             /* of the size's own `each`, or NULL */
    const char *id;                /* "crankcase.front-bore", "block.bore/2", "piston/1.skirt" */
    struct part *part;
    struct span span;
    struct claim want, worn;
    struct readings measured;
    struct { struct sold *items; size_t count, room; } sold;
    struct number most;
    struct text round;             /* nearest | down | up: which way a pick of pieces is rounded */
    struct { struct loose *items; size_t count, room; } loose;
    struct { struct claim *items; size_t count, room; } steps; /* sizes made (oversizes) */
    bool implied;                  /* a bearing's bore/outside/width, a gasket's free/crushed */
    const struct places *each;     /* the size's own, or NULL */
    size_t named;                  /* references to it that were found */
};
struct bearing {
    bool present;
    struct span span;
    struct text designation, clearance, sealing, cage, lip, kind;
    struct claim bore, outside, width;
    struct claim inner_hotter;     /* running: rise of the inner ring over the outer one */
};
struct points {                    /* x, y, x, y … */
    struct claim *items;
    size_t count, room;
};
struct outline_edge {              /* a straight edge or an arc to the next point */
    struct span span;
    struct points point, arc_over; /* one each */
    struct claim radius, corner;
    struct text bend;              /* left | right */
};
struct outline_body {              /* one of outside, plate, edge, same_as; then changed in this order:
                                      grow, mirror, rotate, middle */
    bool present;
    struct span span;
    struct claim outside;
    struct { bool present; struct span span; struct claim width, height, corners; } plate;
    struct { struct outline_edge *items; size_t count, room; } edge;
    struct ref same_as;
    struct claim grow, rotate;
    struct text mirror;            /* over | both */
    struct points middle;
};
struct outline_holes {
    struct span span;
    struct number count;
    struct claim size, circle, first_at;
    struct points points;
};
struct outline {                   /* what a gasket is cut to: the body, or a strip along its edge; what
                                      is added; less what is cut */
    struct outline_body body;
    struct claim strip, inside;
    struct { struct outline_holes *items; size_t count, room; } holes;
    struct { struct outline_body *items; size_t count, room; } add, cut;
};
struct cut_from {
    bool present;
    struct span span;
    struct text sheet;
    struct claim free, crushed;
    struct outline outline;
    struct text grain;             /* upright | across | any */
};
struct sheet_material {            /* `sheets`: as it is sold */
    const char *id;                /* a name of the table of sheets, or one's own */
    struct span span;
    struct text name, number, supplier;
    struct claim width, height, margin, spacing, bridge, price;
    struct number stock;
};
struct fitted {                    /* a pick as made: loose names, or sold sizes */
    bool present;
    struct span span;
    struct texts names;
    struct { struct claim *items; size_t count, room; } sizes;
};

struct part {
    struct entry e;
    struct text number, serial, supplier, ask_for;
    struct ref in;                 /* host; in.text NULL: none */
    struct part *host;
    struct ref through;            /* opening */
    struct refs with, clear_of, closes, matched;
    struct text set;               /* whole */
    struct flag assembly, always_renew, count_back;
    struct text out_for;           /* cleaning */
    struct text material;
    enum part_state state;
    struct text state_text;
    struct number quantity;        /* 1 when absent: use part_quantity() */
    struct number spare;
    struct claim pack_of;          /* a count, or an amount such as 85 g */
    struct cut_from cut_from;
    struct bearing bearing;
    struct { bool present; struct span span; struct text mark, faces; } way_round;
    struct claim price, weight, life, hours;
    struct texts looks_like;       /* numbers or names of what must not be taken for it */
    struct texts inspect;          /* visual, dye, magnetic, dimensional */
    struct { struct size **items; size_t count, room; } sizes;
    bool sizes_broken;             /* an error was reported: references to sizes stay silent */
    struct ref until;              /* slave part: out straight after that */
    struct { bool present; struct span span; struct text number; struct claim weight; } replaces;
    struct fitted fitted;
    /* linked: what sits in it; who needs it without hosting it, each once, in file order */
    struct part **children;
    size_t child_count;
    struct joint **used_by;
    size_t used_by_count;
    struct seal **sealed_by;
    size_t sealed_by_count;
    struct seal **seals;           /* whose faces it has */
    size_t seal_count;
};
int64_t part_quantity(const struct part *part);

enum lock_kind { LOCK_ABSENT, LOCK_NONE, LOCK_SPLIT_PIN, LOCK_WIRE, LOCK_TAB_WASHER,
                 LOCK_SELF_LOCKING, LOCK_THREAD_LOCK };
struct lock {
    bool present;
    struct span span;
    enum lock_kind kind;
    struct text kind_text;
    struct ref part;               /* a part; where it names a consumable, empty */
    struct text reason;            /* of {none: reason} */
    struct text consumable;        /* thread-lock names one (written under `part`) */
};
struct again {
    struct span span;
    struct claim wait;             /* time, or */
    struct ref run;                /* a running-in entry */
    struct text engine_is;
    struct flag slacken_first;
};
struct pattern {
    bool present;
    struct span span;
    struct number round;
    struct { int64_t *items; size_t count, room; } rows, sequence;
    struct points points;
};

struct joint {
    struct entry e;
    struct refs holds;
    struct ref to;
    struct ref_counts uses;
    struct text thread;
    const struct table_thread *thread_row;
    struct number count;
    struct flag left_hand;         /* hand: left (value true) or right */
    struct text grade, turned;     /* turned: nut | head | stud */
    struct text was_grade;         /* that the torque was given for, where a better one is fitted */
    struct text nut, seat;         /* nut: tension | shear; seat of a spark plug: gasket | conical */
    struct condition condition;
    struct claim engagement, length, grip, hole_depth, nip, torque, then, stretch, drag;
    struct text adapter;
    struct lock lock;
    struct { struct claim *items; size_t count, room; } pulls;
    struct pattern pattern;
    struct refs together_with;
    struct { struct again *items; size_t count, room; } again;
    struct ref stud;
    struct { bool present; struct span span; struct claim major, pitch; } found;
};

struct heat {
    bool present;
    struct span span;
    struct ref part;
    struct claim at_most, gap, cooling;
};
struct chill {
    bool present;
    struct span span;
    struct ref part;
    struct claim at_least, gap, warming;
};
struct formula_input {             /* a quantity, or a size; of a mass `size.part` is weighed */
    struct claim claim;
    struct size_ref size;
};
struct fit_press {                     /* what an interference does to both parts */
    bool present;
    struct span span;
    struct formula_input outside;  /* of the outer part */
    struct formula_input bore;     /* of the inner part; solid where it says nothing */
    struct claim length, friction;
};
struct fit {
    struct entry e;
    struct size_ref inner, outer;
    struct claim want;
    struct text class;
    struct claim runs_at;
    struct heat heat;              /* the outer part, and */
    struct chill chill;            /* the inner one, made ready to go together */
    struct fit_press press;
    struct refs pick;
};

enum moment { MOMENT_STRIP = 1, MOMENT_BENCH = 2, MOMENT_TRIAL = 4, MOMENT_ASSEMBLED = 8,
              MOMENT_RUNNING = 16 };
/* What a limit may be worked out by (src/spec/fields_formula.c lists the inputs of each). */
enum formula_kind { FORMULA_NONE, FORMULA_COMPRESSION_RATIO, FORMULA_SWEPT_VOLUME,
                    FORMULA_BOB_WEIGHT, FORMULA_DRILL_DEPTH, FORMULA_ROLLER_ROOM,
                    FORMULA_SHELL_GRIP, FORMULA_RING_GAP_WORN, FORMULA_BALL_LIFE,
                    FORMULA_ROLLER_LIFE, FORMULA_SPRING_RATE, FORMULA_BOLT_STRETCH,
                    FORMULA_KIND_COUNT };
enum { FORMULA_INPUTS = 7 };
struct formula {
    bool present, said[FORMULA_KIND_COUNT];
    struct span span;              /* its name */
    enum formula_kind kind;
    struct formula_input inputs[FORMULA_INPUTS];
};
const char *spec_formula_word(enum formula_kind kind); /* "compression-ratio" */
enum qty_dim spec_formula_dim(enum formula_kind kind);   /* of what it gives */
/* The key of its input with this index, NULL beyond the last. */
const char *spec_formula_input(enum formula_kind kind, size_t index);

struct limit {
    struct entry e;
    struct refs of;
    struct text rule;
    struct formula formula;
    unsigned when;                 /* moments, or-ed */
    struct texts when_texts;
    struct claim want, worn;
    struct { bool present; struct span span; struct size_refs plus, minus; struct text sum; } stack;
    struct size_ref spread, wear;  /* spread: PART.SIZE; its `size` is the first member's, NULL for
                                      PART.weight */
    struct ref spread_of;          /* the part whose members spread */
    struct claim from_new;
    struct refs pick;
    struct ref by;
    struct readings measured;
    struct { bool present; struct span span; struct text is_signed, because; struct date date; }
        concession;
    struct text where;
    struct text using;
};

struct setting {
    struct entry e;
    struct refs of;
    struct ref by;                 /* joint */
    struct refs upset_by;
    struct text event;             /* spark | valve | … */
    struct text at_text;
    struct qty_crank at;
    struct span at_span;
    struct text advance;
    struct claim tolerance, want;
    struct claim lift;             /* of the valve, at which the event counts */
    struct formula_input rim;      /* diameter of the rim that the angle is marked on */
    struct text marks;
    struct { int64_t *items; size_t count, room; struct span span; } teeth;
    struct text using;
    struct readings measured;
};

struct opening {
    struct entry e;
    struct ref in;
    struct part *host;
    struct text stays_open;
    struct part **closers;         /* linked: parts whose `closes` names it */
    size_t closer_count;
};
struct passage {
    struct entry e;
    struct text carries;           /* oil | water | fuel | air */
    struct refs path;
    struct text prove;
    struct part **plugs;           /* linked: parts whose `closes` names it */
    size_t plug_count;
};
struct keep_off {
    struct ref passage;
    struct claim distance;
};
struct seal {
    struct entry e;
    struct refs between;           /* the last goes on last */
    struct ref gasket;
    struct text sealant;           /* consumable id, or `none` said with a reason in note */
    const struct consumable *sealant_row;
    struct { struct keep_off *items; size_t count, room; } keep_off;
};
struct step {
    struct entry e;
    struct text what;              /* do: */
    struct ref by;
    struct refs of;
};
struct trial {
    struct entry e;
    struct refs of, joints, without, finds;
    struct text where;             /* bench */
    struct flag locks;
};
struct outwork_size {
    struct size_ref size;
    struct claim want;
};
struct outwork {
    struct entry e;
    struct refs of;
    struct text supplier, what, using;
    struct { struct outwork_size *items; size_t count, room; } want;
    struct claim price;
    /* e.takes is how long it is away */
};
struct look_for {
    const char *what;
    struct claim value;            /* a quantity, or */
    struct text words;
    struct span span;
};
struct run {                       /* running-in */
    struct entry e;
    struct text what;              /* do: */
    struct claim lasts, speed, due; /* for:, speed:, due: */
    struct date or_by;
    struct { struct look_for *items; size_t count, room; } look_for;
    struct texts stop_if;
};

/* ---------- the rest ---------- */

struct engine {
    struct span span;
    struct text name, maker, serial, variant, duty, cycle, turns_way, turns_seen_from, currency;
    struct date built;
    const char **cylinders;        /* place names */
    size_t cylinder_count;
    struct claim bore, stroke, rod_length, weight, hours, next_overhaul;
    struct texts firing_order;
    struct { struct places **items; size_t count, room; } places; /* "cylinder" first */
};
struct wrench { const char *id; struct span span; struct text name; struct claim range, division, length; struct date checked; };
struct gauge { const char *id; struct span span; struct text name, measures; struct claim uncertainty; struct date checked; };
struct tool { const char *id; struct span span; struct text name, note; struct flag borrowed; };
struct adapter { const char *id; struct span span; struct text name; struct claim offset, angle; };
struct oven { const char *id; struct span span; struct text name; struct claim up_to; };
struct shop {
    struct { struct wrench *items; size_t count, room; } wrenches;
    struct { struct gauge *items; size_t count, room; } gauges;
    struct { struct tool *items; size_t count, room; } tools;
    struct { struct adapter *items; size_t count, room; } adapters;
    struct { struct oven *items; size_t count, room; } ovens;
    struct { struct condition *items; size_t count, room; } conditions;
    struct { const struct qty_unit **items; size_t count, room; } prefer;
    struct claim room;             /* temperature */
    struct claim printer;          /* what 100 mm of a check bar measured */
};
struct consumable {
    const char *id;
    struct span span;
    struct text name, supplier, number;
    struct claim open_time, cures, pack_of, price;
};
struct supplier {
    const char *id;
    struct span span;
    struct text name, currency;
    struct claim lead, least_order;
};
struct quote {                     /* a row of a file of offers that was filled in */
    struct span span;              /* the line that it answers */
    const struct supplier *supplier;
    struct text line, number, text, alternative;
    struct number pieces;
    struct claim price, lead;      /* of one piece; from order to delivery */
};
struct card {
    const char *id;
    struct span span;
    struct text title;
    struct ref starts;             /* all members of what it names */
};
struct history {
    struct span span;
    struct date date;
    struct text did, evidence;
    struct claim hours;
    struct refs of;
};
struct material {                  /* `materials`: a table row with some values of one's own */
    const char *id;
    struct span span;
    struct text like;
    struct claim expansion, modulus, density, poisson;
};

struct spec {
    const char *path, *id;         /* id: the file's name without .yaml */
    const struct tree *tree;
    struct engine engine;
    struct shop shop;
    struct { struct spec_source *items; size_t count, room; } sources;
    struct { struct consumable *items; size_t count, room; } consumables;
    struct { struct supplier *items; size_t count, room; } suppliers;
    struct { struct sheet_material *items; size_t count, room; } sheets;
    struct { struct material *items; size_t count, room; } materials;
    struct { struct card *items; size_t count, room; } cards;
    struct { struct history *items; size_t count, room; } history;
    struct texts readings, quotes;
    struct { struct quote *items; size_t count, room; } offers; /* what the quotes say, in their order */
    struct claim budget;
    /* members in file order */
    struct { struct part **items; size_t count, room; } parts;
    struct { struct joint **items; size_t count, room; } joints;
    struct { struct fit **items; size_t count, room; } fits;
    struct { struct limit **items; size_t count, room; } limits;
    struct { struct setting **items; size_t count, room; } settings;
    struct { struct opening **items; size_t count, room; } openings;
    struct { struct passage **items; size_t count, room; } passages;
    struct { struct seal **items; size_t count, room; } seals;
    struct { struct step **items; size_t count, room; } steps;
    struct { struct trial **items; size_t count, room; } trials;
    struct { struct outwork **items; size_t count, room; } outwork;
    struct { struct run **items; size_t count, room; } runs;
    struct { struct group **items; size_t count, room; } groups;
    struct { struct entry **items; size_t count, room; } entries; /* all members, by order */
    struct part *first;            /* the one part without a host that begins the build, or NULL
                                      when there is none or more than one */
    struct group **by_id;          /* groups sorted by id, for spec_group */
};

/* NULL after at least one error. Every independent error of the stage is reported. */
struct spec *spec_read(struct context *context, const struct tree *tree);

struct group *spec_group(const struct spec *spec, const char *id);
struct entry *spec_member(const struct spec *spec, const char *member); /* "piston/2" */
const struct consumable *spec_consumable(const struct spec *spec, const char *id);
const struct supplier *spec_supplier(const struct spec *spec, const char *id); /* NULL for NULL */
/* Whether the references of a list mean this entry, whichever way they name it. */
bool spec_names(const struct refs *refs, const struct entry *entry);
const struct sheet_material *spec_sheet(const struct spec *spec, const char *id);

/* From an entry to its struct; NULL if it is of another kind. */
struct part *spec_part(struct entry *entry);
struct joint *spec_joint(struct entry *entry);

/* A warning, unless this entry accepts it (the reason then goes into the record). NULL if silenced.
 * The one way in which any stage warns about an entry. */
struct diag *spec_warn(struct context *context, struct entry *entry, enum diag_code code,
                       struct span span, const char *format, ...) STR_PRINTF(5, 6);
/* What the entry accepts was not judged, for want of something that is told elsewhere: none of it is
 * accepted in vain. */
void spec_keep_accepts(struct entry *entry);
/* After the last stage: an `accept` that silenced nothing. */
void spec_report_unused_accepts(struct context *context, const struct spec *spec);

const char *spec_lock_word(enum lock_kind kind);        /* "split-pin"; NULL when absent */
const char *spec_kind_name(enum entry_kind kind);       /* "part" */
const char *spec_section_name(enum entry_kind kind);    /* "parts" */

void spec_print_schema(struct json *json);               /* JSON Schema 2020-12 */
void spec_print_language(struct str_buf *out);           /* the key tables of specs/LANGUAGE.md */
void spec_dump(const struct spec *spec, struct json *json);

/* A starter spec from a parts list, a CSV of any headings (templates/headings.yaml); it passes `check`. NULL
 * after a report. `name`: of the engine. */
const char *spec_starter(struct context *context, uint32_t source, const char *name);

/* What a spec says, flat: a line a key that has a value after merging, in the order of the key tables. */
struct spec_said {
    const char *owner;             /* "piston/2", or the key at the top: "engine", "shop" */
    struct entry *entry;           /* whose it is, or NULL */
    const char *key;               /* "torque", "sizes.skirt.want", "wrenches.small.range" */
    const char *exact;             /* equal where the same is meant, however it was written */
    const char *words;             /* for people */
    const struct claim *claim;     /* of one quantity, or NULL */
    struct span span;              /* of what has one alone; else {0} */
};
struct spec_says {
    struct spec_said *items;
    size_t count, room;
};
void spec_say(struct arena *arena, const struct spec *spec, struct spec_says *out);
/* The same of one entry. */
void spec_say_entry(struct arena *arena, struct entry *entry, struct spec_says *out);

#endif
