/* diag.h - diagnostics: what is wrong, where, what else is there, what to type next.
 *
 * One list of codes (include/gudgeon/codes/STAGE.def, blocks of 100 a stage, never reused) gives enum,
 * printed code, severity and the paragraph that `explain` prints. Messages: lower case, one line,
 * value found and value expected. Span: the smallest thing to edit. */
#ifndef GUDGEON_DIAG_H
#define GUDGEON_DIAG_H

#include <gudgeon/json.h>
#include <gudgeon/source.h>

enum diag_severity { DIAG_SEVERITY_ERROR, DIAG_SEVERITY_WARNING, DIAG_SEVERITY_NOTE };

/* DIAG(NAME, "G0103", ERROR, "paragraph"); severity is ERROR, WARNING or NOTE */
enum diag_code {
#define DIAG(name, printed, severity, paragraph) DIAG_##name,
#include <gudgeon/diag_codes.def>
#undef DIAG
    DIAG_CODE_COUNT
};

struct diag_info {
    const char *printed; /* "G0103" */
    enum diag_severity severity;
    const char *paragraph;
};
extern const struct diag_info diag_infos[DIAG_CODE_COUNT];
/* NULL for an unknown code; "g103" and "103" are found too. */
const struct diag_info *diag_find(const char *printed);

struct diag_label {
    struct span span;
    const char *text;
};
struct diag {
    enum diag_code code;
    enum diag_severity severity;
    struct span span;
    const char *message;
    struct {
        struct diag_label *items;
        size_t count, room;
    } labels;
    const char *hint; /* what to type next, or NULL */
    struct span fix;  /* with `fix_text`: the bytes that the hint replaces, for editors and tests */
    const char *fix_text;
    bool removed; /* taken back: no longer in the list */
};

struct diags {
    struct arena *arena;
    struct diag **items;
    size_t count, room;
    size_t errors, warnings;
    struct diag **seen; /* by code and span, so that a repeat is found at once */
    size_t seen_room, seen_used;
};

/* The diagnostic is kept; add labels and a hint to what comes back (never NULL). The same code at
 * the same span is one diagnostic: the first message stands. */
struct diag *diag_add(struct diags *diags, enum diag_code code, struct span span,
                      const char *format, ...) STR_PRINTF(4, 5);
void diag_label(struct diags *diags, struct diag *diag, struct span span, const char *format, ...)
    STR_PRINTF(4, 5);
void diag_hint(struct diags *diags, struct diag *diag, const char *format, ...) STR_PRINTF(3, 4);
/* A hint that is also an edit: `text` in place of `span`. */
void diag_fix(struct diags *diags, struct diag *diag, struct span span, const char *text);
/* Takes a diagnostic back (accept); its count goes down. */
void diag_remove(struct diags *diags, struct diag *diag);

enum diag_form { DIAG_TEXT, DIAG_JSON, DIAG_SARIF };
/* Sorted by file, place, code; printed to the end of `out`. At most `most` are printed, the rest
 * are counted in a last line. `colour` is for terminals. */
void diag_render(const struct diags *diags, const struct sources *sources, enum diag_form form,
                 bool colour, size_t most, struct str_buf *out);

#endif
