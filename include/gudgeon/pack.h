/* pack.h - build, plan and template in; work pack out: what is to be printed, as meaning.
 *
 * Sections of blocks. No points, fonts, colours or cell addresses here; rounding happens here and
 * nowhere later. Words come from the label set of the template, never from C. */
#ifndef GUDGEON_PACK_H
#define GUDGEON_PACK_H

#include <gudgeon/label.h>
#include <gudgeon/plan.h>

/* ---------- template ---------- */

enum paper { PAPER_A4, PAPER_LETTER, PAPER_A5, PAPER_COUNT };
extern const double paper_mm[PAPER_COUNT][2]; /* width, height */
struct template {
    enum paper paper;
    double margin_top_mm, margin_bottom_mm, margin_inner_mm, margin_outer_mm;
    size_t tags_across, tags_down; /* on a page of tags.pdf, where none needs more room */
    double overlap_mm;             /* of two pages that a gasket is joined from */
    const struct labels *labels;
    const struct qty_unit *first_length; /* first system of a printed pair; NULL: as written */
    char decimal_mark;
    const char *language;          /* "en" */
};
/* `path` NULL: the built-in template (templates/pack.yaml, embedded). */
const struct template *template_load(struct context *context, const char *path);

/* ---------- blocks ---------- */

enum cell_kind { CELL_EMPTY, CELL_TEXT, CELL_COUNT, CELL_QUANTITY, CELL_MONEY, CELL_DATE,
                 CELL_VERDICT, CELL_FORMULA, CELL_BOX /* tick box */, CELL_BLANK /* to write in */ };
struct cell {
    enum cell_kind kind;
    const char *text;              /* as printed; of a formula, itself, over names of columns:
                                      "=[pieces]*[price]" (write.h) */
    double number;                 /* count, quantity in `unit`, money in major units, formula's
                                      computed value; finite */
    const char *result;            /* the computed text of a formula that gives no number */
    const char *link;              /* id of a sheet whose row `link_row` says more of it, or NULL */
    size_t link_row;
    const char *link_file;         /* a file of the pack that says more of it, or NULL */
    const char *unit;              /* printed beside, its own column in sheets */
    const char *exact;             /* exact decimal digits where a double would lose them, or NULL */
    enum verdict verdict;
};
struct column {
    const char *key;               /* stable id, used by formulas and CSV heads */
    const char *heading;           /* from the label set */
    enum cell_kind kind;
    bool fill;                     /* people fill it */
    uint8_t weight;                /* share of the width of a page; 0: as wide as its text */
    const char *const *choices;    /* the words that may be filled in, to a NULL; or NULL: any */
    const char *strong, *soft;     /* formulas: where one holds, the cell is marked */
};
struct table {
    const char *id;
    size_t foot;                   /* rows at the end that stand below a line: sums */
    struct { struct column *items; size_t count, room; } columns;
    struct { struct cell **items; size_t count, room; } rows; /* each an array of columns.count */
};

struct step_check {                /* one thing to do, tick or write on a step */
    enum { CHECK_TICK, CHECK_READING, CHECK_INITIALS, CHECK_COUNT } kind;
    const char *id;                /* of the reading: "top-ring-gap/2@bench" */
    const char *label;             /* "torqued", "locked" */
    const char *limit;             /* as printed, both systems, inward */
    const char *unit;
};
struct step_block {
    const struct operation *operation;
    const char *number;            /* as printed */
    const char *action;            /* label of the verb */
    const char *object;            /* what it is done to: the user's words */
    struct { struct { const char *label, *text; bool strong; } *items; size_t count, room; } fields;
                                   /* to, through, torque, lock, crank at, note, … */
    struct { struct step_check *items; size_t count, room; } checks;
    struct { const char **items; size_t count, room; } cautions;
    struct { const char **items; size_t count, room; } last_chance;
    bool hold_point;               /* full-width bar, two signatures: `witness` */
    const char *witness;
    const char *before;            /* set-up change announced above the step, or NULL */
};

enum block_kind { BLOCK_HEADING, BLOCK_TEXT, BLOCK_FACTS, BLOCK_TABLE, BLOCK_CHECKLIST, BLOCK_STEP,
                  BLOCK_CAUTION, BLOCK_FIGURE, BLOCK_CONTENTS, BLOCK_SIGN_OFF };
struct figure {                    /* a figure as facts; src/draw makes lines of it */
    enum { FIGURE_PATTERN, FIGURE_FIT, FIGURE_TIMING, FIGURE_LANES } kind;
    const char *id, *caption;
    /* pattern: tightening order; sequence[i] is the number (1-based) of position i */
    struct { double *items; size_t count, room; } x_mm, y_mm;
    struct { int64_t *items; size_t count, room; } sequence;
    bool to_scale;                 /* positions are real millimetres */
    /* fit: tolerance zones, um from nominal; timing: crank degrees from tdc */
    double inner_low, inner_high, outer_low, outer_high;
    bool inner_measured, outer_measured;
    double inner_found, outer_found;
    const char *inner_label, *outer_label, *nominal_label;
    struct { double *items; size_t count, room; } angles;
    struct { const char **items; size_t count, room; } names;
    /* lanes: the order of the job, time downward, the engine and each unit on the bench in a column of its
     * own; names: what the marks mean, and of the engine's column */
    struct { struct figure_row *items; size_t count, room; } rows;
    size_t columns;                /* the engine's is 0 */
};
struct figure_row {                /* operations that follow each other in one place, folded into one */
    size_t line, column;           /* line: from the top; several columns may share one */
    const char *head;              /* printed above the row: the phase that begins, or NULL */
    const char *number, *text;     /* of the cards: "12", "12-15" */
    size_t steps;
    size_t covers, holds;          /* operations that cover what is behind them; hold points */
    bool goes_in;                  /* after this row the unit goes in on the engine */
    bool came_off;                 /* before this row it was taken off */
};
struct pack_facts {
    struct { const char *label, *text; } *items; /* text NULL: to be written in by hand */
    size_t count, room;
};
struct block {
    enum block_kind kind;
    uint8_t level;                 /* heading 1..3 */
    const char *text;
    const char *anchor;            /* link target, or NULL */
    bool keep_with_next, always_renew;
    struct pack_facts facts;
    struct { struct { const char *text; const char *count; bool mark; } *items; size_t count, room; }
        checklist;                 /* kit, tools: tick, text, count; mark: always renewed */
    const struct table *table;
    const struct step_block *step;
    const struct figure *figure;
    struct span span;              /* where the words came from: for letters that the font lacks */
};
enum section_kind { SECTION_COVER, SECTION_OVERVIEW, SECTION_CARD, SECTION_SUMMARY };
struct section {
    enum section_kind kind;
    const char *id;                /* card id, "cover", "torques" */
    const char *title;
    const struct plan_card *card;
    const char *state;             /* state on resuming */
    const char *place;             /* place in the whole: "7 of 22" */
    const char *fingerprint;       /* over the content, without revision, date and running numbers */
    struct { const char **items; size_t count, room; } sources; /* foot: every value's source */
    struct { struct block **items; size_t count, room; } blocks;
};

/* ---------- to be cut out ---------- */

struct tag {                       /* tied to a part, put in a bag of fasteners, laid in a tray */
    enum tag_kind { TAG_PART, TAG_BAG, TAG_TRAY } kind;
    const char *heading;           /* what it is for: "Bag" */
    const char *id, *title;
    struct pack_facts facts;
    struct { const char *items[STATE_STAYS]; size_t count; } decide; /* to tick one of */
};
struct cut_gasket {                /* drawn 1:1 */
    const char *id;                /* names its files: "head-gasket", "cover-gasket.front" */
    const char *title;
    struct pack_facts facts;
    const struct gasket *gasket;
};
struct cut_sheet {                 /* how gaskets are laid out on one that is sold */
    const char *title;
    struct pack_facts facts;
    const struct sheet_cut *cut;
    const struct cut_gasket **gaskets; /* of each of its pieces */
};

struct sheet {
    const char *name;              /* "To buy" */
    const char *id;
    const struct table *table;     /* or */
    struct { const char **items; size_t count, room; } lines; /* About: lines of text */
};

/* What one supplier is asked, as a workbook and as CSV: orders/ID.xlsx, orders/ID.csv. */
struct enquiry {
    const char *supplier;          /* its id */
    const char *title;
    struct { struct sheet **items; size_t count, room; } sheets;
    const struct table *lines;     /* to be sent, filled and named under `quotes` */
};

struct pack {
    const struct plan *plan;
    const struct template *template;
    const char *id, *title, *engine, *serial, *language;
    const char *revision;          /* "a1b2c3d", "a1b2c3d, edited since", or NULL: not printed */
    int64_t date;                  /* seconds since 1970 UTC; 0: none is printed */
    struct { struct section **items; size_t count, room; } sections;   /* cards.pdf */
    struct { struct sheet **items; size_t count, room; } sheets;       /* parts.xlsx */
    struct { struct enquiry *items; size_t count, room; } enquiries;  /* orders/ */
    const struct table *readings;                                     /* readings.csv */
    struct { struct tag *items; size_t count, room; } tags;           /* tags.pdf, in strip order */
    struct { struct cut_gasket *items; size_t count, room; } gaskets; /* gaskets.pdf and gaskets/ */
    struct { struct cut_sheet *items; size_t count, room; } cut_sheets; /* gaskets.pdf, at its end */
    double printer_mm;             /* what a bar of 100 mm measured on the last print of gaskets.pdf */
    const char *file;              /* of a pack without cards: "comparison" names its .pdf, .xlsx and
                                      .json; NULL: cards.pdf and parts.xlsx */
    const char *json;              /* what that .json holds, or NULL */
};

struct pack_options {
    const char *template_path;     /* or NULL */
    const char *revision;
    int64_t date;
    const char *const *cards;      /* --cards: only these; NULL all */
    size_t card_count;
};
struct pack *pack_lay_out(struct context *context, const struct plan *plan,
                          const struct pack_options *options);
/* One page for leaving the engine: how far it is, how it stands, what comes next. A pack without cards, whose
 * files are called stop-sheet. */
struct resume;
struct pack *pack_stop_sheet(struct context *context, const struct resume *state,
                             const struct pack_options *options);
void pack_dump(const struct pack *pack, struct json *json);
/* What `quotes` prints: the offers side by side, what they cost and what becomes of the finish. NULL after
 * an error in the template. */
struct pack *quotes_lay_out(struct context *context, const struct plan *plan,
                            const char *template_path);

/* Coverage of the shipped font: true when it has the letter. Made with the font subset (src/write
 * data), looked up here so that pack can report a letter with its place (G08xx). */
bool pack_font_has(uint32_t code_point);

#endif
