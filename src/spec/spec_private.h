/* spec_private.h - the field tables, the one engine that reads, links, dumps and describes by them,
 * and what its files share.
 *
 * A struct of the spec is described by a `struct fields`: a row a key, with its kind, where its value
 * goes and one line of help. fields_*.c hold the tables; read.c, dump.c and describe.c say what
 * can be done with a kind. */
#ifndef GUDGEON_SPEC_PRIVATE_H
#define GUDGEON_SPEC_PRIVATE_H

#include <gudgeon/spec.h>

enum field_kind {
    /* leaves */
    FIELD_TEXT,       /* struct text */
    FIELD_TEXTS,      /* struct texts: one or a list */
    FIELD_FLAG,       /* struct flag: true, false, or two words of the field */
    FIELD_NUMBER,     /* struct number */
    FIELD_NUMBERS,    /* {int64_t *items; size_t count, room} */
    FIELD_DATE,       /* struct date */
    FIELD_CLAIM,      /* struct claim; with OR_WORDS, what is no quantity is a text at `also` */
    FIELD_CLAIMS,     /* {struct claim *items; size_t count, room} */
    FIELD_POINTS,     /* the same, of pairs x, y; `most` 1: of one pair */
    FIELD_CRANK,      /* struct text, and struct qty_crank at `also` */
    FIELD_READINGS,   /* struct readings */
    FIELD_UNITS,      /* {const struct qty_unit **items; ...} */
    /* references */
    FIELD_REF,        /* struct ref; of words it takes, the first sets the bool at `also` */
    FIELD_REFS,       /* struct refs; takes the words all, none where it has them */
    FIELD_SIZE_REF,   /* struct size_ref */
    FIELD_SIZE_REFS,  /* struct size_refs */
    FIELD_SPREAD,     /* struct size_ref, and struct ref at `also` */
    FIELD_LOCK_PART,  /* struct ref to a part, or struct text at `also`: a consumable */
    /* nested */
    FIELD_MAP,        /* a struct by `sub` */
    FIELD_LIST,       /* an array of structs by `sub`: one or a list */
    FIELD_TABLE,      /* an array of structs by `sub`, each under a key of the user's */
    FIELD_SECTION,    /* entries: made and read by entries.c */
    /* of one key only */
    FIELD_SIZES, FIELD_FITTED, FIELD_CYLINDERS, FIELD_PLACES,
    FIELD_SEEN_TO,    /* each, applies, gudgeon: read before all else */
    FIELD_KIND_COUNT
};

/* What the words of a text may be, beside a list of its own. */
enum names {
    NAMES_NONE, NAMES_GAUGE, NAMES_TOOL, NAMES_ADAPTER, NAMES_CONDITION, NAMES_SUPPLIER,
    NAMES_CONSUMABLE, NAMES_SEALANT, NAMES_MATERIAL, NAMES_ROW_MATERIAL, NAMES_SHEET, NAMES_RULE,
    NAMES_LUBRICANT, NAMES_PLATING, NAMES_FASTENER, NAMES_GRADE, NAMES_THREAD, NAMES_BEARING,
    NAMES_CLASS, NAMES_TORQUE_TABLE, NAMES_CYLINDER, NAMES_CURRENCY, NAMES_COUNT
};

enum field_flags {
    NEEDED = 1,        /* a missing key is an error at the id */
    UNKNOWN_TAKEN = 2, /* the word `unknown` says that nobody knows yet */
    SUGGESTED = 4,     /* `words` are the usual ones; another is taken unless it looks like a slip */
    INLINE = 8,        /* FIELD_MAP: the keys of `sub` lie in the struct around it */
    OR_WORDS = 16,
    FOUNDATION = 64,   /* a faulty one would make every name that rests on it look wrong */
    OR_SIZE = 128,     /* FIELD_CLAIM: what is no quantity is a struct size_ref at `also` */
    SEVERAL = 32,      /* FIELD_REF: all members are meant; FIELD_SIZE_REF: its owner links it */
};

struct field;
struct reader;
struct fields {
    const char *title;               /* "a part", "`lock`": for messages */
    const struct field *items;
    size_t count;
    const struct fields *base;       /* keys that come first, at offset 0: the common ones */
    const char *bare;                /* the key that a bare scalar, or point, stands for, or NULL */
    bool whole;                      /* the one key is never written: any value stands for it */
    bool free_keys;                  /* FIELD_TABLE: keys are words or codes, not ids */
    const struct field *key_field;   /* FIELD_TABLE: what the key itself is read by, or NULL: an id */
    size_t size;                     /* of the struct */
    size_t present, span, id;        /* offsets, or NOWHERE */
    void (*finish)(struct reader *reader, void *item, const struct node *node);
    void (*finish_links)(struct reader *reader, void *item);
};
#define NOWHERE SIZE_MAX

#define DIM(name) (1u << QTY_##name)
#define TO(name) (1u << ENTRY_##name)
#define TO_ANY ((1u << ENTRY_KIND_COUNT) - 1)

struct field {
    const char *key;
    enum field_kind kind;
    size_t offset, also;
    const char *help;
    unsigned flags;
    uint32_t dims;                   /* claims: DIM() of each dimension taken, tried in enum order */
    unsigned takes;                  /* claims: QTY_TAKE_*; 0 = QTY_TAKE_ONE */
    const char *const *words;        /* NULL-terminated */
    enum names names;
    unsigned targets;                /* references: TO() of each kind */
    int64_t least, most;             /* numbers; most 0 = no bound */
    const struct fields *sub;
};

/* A row: key, kind, struct, member, help, and what else by name. */
#define ROW(key_, kind_, type, member, help_, ...)                                                  \
    {.key = key_, .kind = FIELD_##kind_, .offset = offsetof(type, member), .help = help_,          \
     __VA_ARGS__}
/* The same for a member of an unnamed struct inside `type`. */
#define ROW_IN(key_, kind_, type, outer, member, help_, ...)                                        \
    {.key = key_, .kind = FIELD_##kind_,                                                           \
     .offset = offsetof(type, outer.member) - offsetof(type, outer), .help = help_, __VA_ARGS__}
#define ROWS(array) .items = array, .count = sizeof(array) / sizeof *(array)

extern const struct fields spec_fields;    /* the root */
extern const struct fields common_fields;  /* of every entry that leads to an operation */
extern const struct fields named_fields;   /* of an entry that leads to none */
extern const struct fields claim_fields, reading_fields, holds_for_fields, applies_fields,
    size_fields, cut_fields, outline_fields, sheet_fields, condition_fields, gauge_fields, tool_fields, adapter_fields, supplier_fields,
    consumable_fields, material_fields, shop_condition_fields;

/* A section of entries. */
struct section {
    const char *key, *name;          /* "parts", "part" */
    const struct fields *fields;
    size_t list;                     /* offset of its pointer array in struct spec */
};
extern const struct section sections[ENTRY_KIND_COUNT];

/* ---------- the reader ---------- */

struct reader {
    struct context *context;
    struct arena *arena;
    const struct table_set *tables;
    const struct tree *tree;
    struct spec *spec;
    struct entry *entry;             /* being read or linked; NULL outside entries */
    const struct places *each;       /* of what is being read: the entry's, or the size's own */
    bool spread;                     /* link.c: PART.weight is a size, too */
    const char *size;                /* PART.SIZE without its place, while a size is read; else NULL */
    struct span owner;               /* where a missing key is marked */
    struct {
        struct told {
            enum diag_code code, about; /* about: what code the first of its kind would have */
            const char *name;
            struct diag *diag;
            size_t mentions;
            const char *word;        /* the name alone, as it would stand where it is defined */
            struct span near;        /* the definition most like it, */
            const size_t *near_named; /* and how often that is named: never, then the slip is there */
        } *items;
        size_t count, room;
    } told;                          /* names that were not found */
    struct {
        const struct places *mine, *theirs;
        int relation;
    } compared[64];                  /* link.c: pairs of lists of places, so that each is compared once */
    bool mine[BOUND_PLACES];         /* link.c: which places of a list are mine */
    size_t *marks, mark;             /* link.c: by order of entry, the list in which it was last met */
    bool engine_faulty;              /* reported: places and forms are not judged by it */
    bool lists_faulty;               /* reported: names in sources, shop, suppliers are not judged */
};

/* {T *items; size_t count, room;} of any T, as the engine sees it. */
struct list {
    void *items;
    size_t count, room;
};
struct list list_load(const void *at);
void *list_push(struct reader *reader, void *at, size_t size);

/* fields_engine.c: what a gauge measures; QTY_NONE where it does not say */
enum qty_dim gauge_dim(const struct gauge *gauge);

/* dump.c: whether the key stands in the spec, itself or by merging */
bool field_is_said(const struct field *field, const void *item);

/* read.c */
const struct field *field_find(const struct fields *fields, const char *key);
const struct field *field_at(const struct fields *fields, size_t index); /* base first; NULL at end */
void read_map(struct reader *reader, const struct fields *fields, const struct node *node,
              void *out);
void read_field(struct reader *reader, const struct field *field, const struct node *node,
                void *out);
void link_map(struct reader *reader, const struct fields *fields, void *item);
/* The key of the table that a misspelt one was likely meant to be, or NULL. */
const char *key_meant(const struct fields *fields, const char *key);
/* The child under `key`, or under a misspelling of it: the slip is told once, and what it says is read
 * as it was meant, so that it is not missed too. */
const struct node *child_meant(const struct fields *fields, const struct node *map,
                               const char *key);

/* leaf.c */
bool read_text(struct reader *reader, const struct field *field, const struct node *node,
               struct text *out);
void read_texts(struct reader *reader, const struct field *field, const struct node *node,
                struct texts *out);
void read_number(struct reader *reader, const struct field *field, const struct node *node,
                 struct number *out);
void read_numbers(struct reader *reader, const struct field *field, const struct node *node,
                  void *out);
void read_flag(struct reader *reader, const struct field *field, const struct node *node,
               struct flag *out);
void read_date(struct reader *reader, const struct field *field, const struct node *node,
               struct date *out);
void read_crank(struct reader *reader, const struct field *field, const struct node *node,
                struct text *out, struct qty_crank *crank);
void read_units(struct reader *reader, const struct field *field, const struct node *node,
                void *out);

/* claim.c */
/* One of several sourced values, before its text is read. */
struct said {
    const struct node *is;
    const struct node *node;         /* the whole claim; = is for a bare value */
    const struct spec_source *from;
    const char *page, *because;
    bool chosen;
    struct span chosen_span;         /* the key */
    int believe;
};
struct saids {
    struct said *items;              /* the one that is used first */
    size_t count, room;
};
/* The value with its sources, the used one first. Count 0 after an error, or when no form applies. */
struct saids claim_choose(struct reader *reader, const struct field *field,
                          const struct node *node);
void read_claim(struct reader *reader, const struct field *field, const struct node *node,
                struct claim *out);
bool read_quantity(struct reader *reader, const struct field *field, const struct node *node,
                   int believe, struct qty_value *out);
/* A fault of qty as a diagnostic, at the bytes to edit. */
void fault_quantity(struct reader *reader, const struct field *field, const struct node *node,
                    const struct qty_error *error);
const struct spec_source *source_find(const struct spec *spec, const char *id, size_t length);
/* Whether a text starts as a quantity does: a digit, a sign, a point, "at least", "at most". */
bool looks_like_quantity(const struct node *node);
void link_reading(struct reader *reader, struct reading *reading);
void read_readings(struct reader *reader, const struct field *field, const struct node *node,
                   struct readings *out);

/* applies.c */
enum truth { FALSE_HERE, TRUE_HERE, UNDECIDED };
/* Whether `applies` (a map) holds for this engine; `lacks` then says what would settle it. */
enum truth applies_holds(struct reader *reader, const struct node *applies, const char **lacks);
/* The form of an entry that applies; NULL: none (conditional) or an error (broken). */
const struct node *applies_choose(struct reader *reader, const struct node *entry,
                                  struct group *group);

/* places.c */
void read_cylinders(struct reader *reader, const struct node *node, struct engine *engine);
void read_places(struct reader *reader, const struct node *node, struct engine *engine);
const struct places *places_named(const struct spec *spec, const char *name);
const struct places *places_inline(struct reader *reader, const struct node *list);
bool places_same(const struct places *a, const struct places *b);
size_t places_index(const struct places *places, const char *place); /* count when absent */
bool place_within(const char *place, const char *coarser); /* "1-ex" in "1"; equal counts */
/* A copy of `node` in which every mapping by place is replaced by its value at `place`. */
const struct node *places_expand(struct reader *reader, const struct node *node,
                                 const struct places *places, const char *place);

/* entries.c */
bool id_is_good(const char *id);
void check_id(struct reader *reader, const struct node *entry);
void entries_make(struct reader *reader, const struct node *root);
void entries_read(struct reader *reader);

/* kinds.c: what only one key needs */
void read_sizes(struct reader *reader, const struct node *node, struct part *part);
void read_fitted(struct reader *reader, const struct node *node, struct fitted *out);

/* link.c */
void link_ref(struct reader *reader, const struct field *field, struct ref *ref);
void link_refs(struct reader *reader, const struct field *field, struct refs *refs);
void link_size_ref(struct reader *reader, struct size_ref *ref);
/* All sizes that a reference names, where several may be meant. */
void link_sizes(struct reader *reader, const struct size_ref *ref, struct size_refs *all);
void link_spread(struct reader *reader, struct size_ref *size, struct ref *of);
/* PART.SIZE; where a mass is due, PART.weight. */
void link_input(struct reader *reader, const struct field *field, struct size_ref *ref);
void link_lock_part(struct reader *reader, const struct field *field, struct ref *ref,
                    struct text *consumable);
void link_structure(struct reader *reader); /* closers, used_by, sealed_by, hosts, first */

/* names.c */
void link_name(struct reader *reader, const struct field *field, struct text *text);
const char *near_of(const char *wrong, const char *const *words, size_t count);

/* fields_formula.c: whether the node of a limit has a formula whose result has that dimension */
bool formula_gives(const struct node *limit, enum qty_dim dim);

/* agree.c: values that are compared measure the same thing */
void agree_values(struct reader *reader);

/* csv.c */
void read_sheets(struct reader *reader);

/* faults.c: one fault, one error, with what to type next */
struct diag *fault(struct reader *reader, enum diag_code code, struct span span,
                   const char *format, ...) STR_PRINTF(4, 5);
void fault_hint(struct reader *reader, struct diag *diag, const char *format, ...)
    STR_PRINTF(3, 4);
void fault_fix(struct reader *reader, struct diag *diag, struct span span, const char *text);
void fault_label(struct reader *reader, struct diag *diag, struct span span, const char *format,
                 ...) STR_PRINTF(4, 5);
/* "expected one value, found a list" */
void fault_kind(struct reader *reader, const struct field *field, const struct node *node,
                const char *expected);
/* True after telling that some keys of a mapping are places and one is none. */
bool fault_places(struct reader *reader, const struct fields *fields, const struct node *node);
/* `child` is under a key that is none of the places. */
void fault_place(struct reader *reader, const struct node *child, const struct places *each,
                 const char *id);
/* The first time that a name is not found it is an error; NULL when it was told before: then this
 * place is noted there. */
struct diag *fault_once(struct reader *reader, enum diag_code code, struct span span,
                        const char *name, const char *message);
/* The same for what comes of an `each:` that is not there, whatever its code: `whose` is the entry that
 * lacks it, or whose sizes do. */
struct diag *fault_each(struct reader *reader, enum diag_code code, struct span span,
                        const char *whose, const char *message);
/* What was told at `diag` may rather be a slip where the name is defined. */
void fault_near(struct reader *reader, struct diag *diag, const char *word, struct span near,
                const size_t *near_named);
/* After linking: names that are missing in several places and defined under a slip are told there. */
void faults_settle(struct reader *reader);
/* A mapping of these keys is due: shows it. */
void fault_keys(struct reader *reader, const struct fields *fields, const char *key,
                const struct node *node);
/* Whether hints are still worth their search: beyond what is printed, nobody sees them. */
bool fault_hints_wanted(const struct reader *reader);
/* The nearest word as an edit of `span`, else the words in a hint. */
void fault_nearest(struct reader *reader, struct diag *diag, struct span span, const char *wrong,
                   const char *const *words, size_t count);

#endif
