/* starter.c - a parts list as a starter spec: what each column fills is told by its heading; what no key can
 * take stays as a note, so that nothing of the list is lost. */
#include "headings.h" /* templates/headings.yaml as text, made by the build */
#include "spec_private.h"

#include <ctype.h>
#include <string.h>

enum column { ID, NUMBER, NAME, QUANTITY, IN, STATE, MATERIAL, WEIGHT, SUPPLIER, PRICE, PACK_OF, SPARE,
              ALWAYS_RENEW, NOTE, COLUMN_COUNT };
static const char *const column_keys[COLUMN_COUNT] = {
    "id", "number", "name", "quantity", "in", "state", "material", "weight", "supplier", "price", "pack-of",
    "spare", "always-renew", "note"};

struct starter {
    struct context *context;
    struct arena *arena;
    const struct tree_csv *csv;
    const char *heading_of[COLUMN_COUNT]; /* as the list has it, or NULL */
    const char *unit_of[COLUMN_COUNT];    /* in brackets after it, or NULL */
    struct { struct line { const char *id, *cells[COLUMN_COUNT]; const struct node *row; bool hosts; } *items;
             size_t count, room; } lines;
    struct { struct supplier_line { const char *id, *name; } *items; size_t count, room; } suppliers;
    const char *currency;
    struct str_buf parts;
};

/* ---------- headings ---------- */

static const char *small(struct arena *arena, const char *text)
{
    char *copy = str_copy(arena, text);

    for (char *at = copy; *at; at++)
        *at = (char)tolower((unsigned char)*at);
    return copy;
}

/* "weight" and "g" of "Weight (g)". */
static const char *split_heading(struct arena *arena, const char *heading, const char **unit)
{
    size_t length = strcspn(heading, "([");

    *unit = heading[length] ? str_slice(arena, heading + length + 1, strcspn(heading + length + 1, ")]"))
                            : NULL;
    while (length > 0 && heading[length - 1] == ' ')
        length--;
    return small(arena, str_slice(arena, heading, length));
}

static bool lists(const struct node *root, enum column column, const char *heading)
{
    const struct node *names = tree_child(root, column_keys[column]);

    for (const struct node *name = names ? names->child : NULL; name; name = name->next)
        if (str_equal(name->text, heading))
            return true;
    return false;
}

static void know_headings(struct starter *starter)
{
    uint32_t source = source_add(starter->arena, &starter->context->sources, "headings.yaml (built in)",
                                 heading_lists[0].text, strlen(heading_lists[0].text));
    const struct node *root = tree_parse(starter->context, source);

    for (size_t i = 0; i < starter->csv->heading_count; i++) {
        const char *unit, *heading = split_heading(starter->arena, starter->csv->headings[i], &unit);
        for (int column = 0; column < COLUMN_COUNT; column++) {
            if (starter->heading_of[column] || !lists(root, (enum column)column, heading))
                continue;
            starter->heading_of[column] = starter->csv->headings[i];
            starter->unit_of[column] = unit;
            break;
        }
    }
}

/* ---------- lines ---------- */

/* Letters and digits as words of an id: "Nut, 5/16 BSF" is "nut-5-16-bsf". */
static const char *id_of(struct arena *arena, const char *text)
{
    struct str_buf id = {.arena = arena};

    str_add(&id, "");
    for (const char *at = text ? text : ""; *at; at++) {
        bool good = isalnum((unsigned char)*at) && !(*at & 0x80);
        if (good)
            str_add_print(&id, "%c", tolower((unsigned char)*at));
        else if (id.length > 0 && id.bytes[id.length - 1] != '-')
            str_add(&id, "-");
    }
    if (id.length > 0 && id.bytes[id.length - 1] == '-')
        id.bytes[--id.length] = '\0';
    return id.bytes;
}

static const struct line *line_called(const struct starter *starter, const char *word)
{
    for (size_t i = 0; word && i < starter->lines.count; i++) {
        const struct line *line = &starter->lines.items[i];
        if (str_equal(line->id, word) || str_equal(line->cells[ID], word) ||
            str_equal(line->cells[NUMBER], word) || str_equal(line->cells[NAME], word))
            return line;
    }
    return NULL;
}

/* No two entries share an id, and `all` and `none` are words of `with`. */
static const char *own_id(const struct starter *starter, const char *wish)
{
    const char *id = *wish ? wish : "part";

    if (str_equal(id, "all") || str_equal(id, "none"))
        id = str_print(starter->arena, "%s-part", id);
    for (size_t n = 2, taken = 1; taken; n++) {
        taken = 0;
        for (size_t i = 0; i < starter->lines.count; i++)
            taken += str_equal(starter->lines.items[i].id, id);
        if (taken)
            id = str_print(starter->arena, "%s-%zu", *wish ? wish : "part", n);
    }
    return id;
}

static void add_line(struct starter *starter, const struct node *row)
{
    struct line line = {.row = row};

    for (const struct node *cell = row->child; cell; cell = cell->next)
        for (int column = 0; column < COLUMN_COUNT; column++)
            if (str_equal(cell->key, starter->heading_of[column]))
                line.cells[column] = cell->text;
    for (int column = ID, tried = 0; tried < 3 && (!line.id || !*line.id); tried++) {
        line.id = id_of(starter->arena, line.cells[column]);
        column = column == ID ? NAME : NUMBER;
    }
    line.id = own_id(starter, line.id);
    *ARRAY_PUSH(starter->arena, &starter->lines) = line;
}

/* What the list says it sits in, else the first part; that too where what it sits in would sit in itself. */
static const struct line *host_of(const struct starter *starter, const struct line *line)
{
    const struct line *root = &starter->lines.items[0], *up = line;

    for (size_t steps = 0; up && up != root; up = line_called(starter, up->cells[IN]))
        if (steps++ > starter->lines.count)
            return root;
    up = line_called(starter, line->cells[IN]);
    return line == root ? NULL : up ? up : root;
}

/* ---------- values ---------- */

static bool is_whole(const char *text, int64_t least)
{
    int64_t number;

    return str_to_int(text, &number) && number >= least;
}

/* A quantity as it stands, or with the unit of its heading; NULL if it is none. */
static const char *quantity(struct starter *starter, const char *text, const char *unit, enum qty_dim dim)
{
    struct qty_value value;
    struct qty_error error;
    const char *tries[] = {text, unit ? str_print(starter->arena, "%s %s", text, unit) : NULL};

    for (size_t i = 0; i < sizeof tries / sizeof *tries; i++) {
        if (!tries[i] || !qty_read(starter->arena, tries[i], dim, QTY_TAKE_ONE | QTY_TAKE_POSITIVE, &value, &error))
            continue;
        if (dim == QTY_MONEY && !starter->currency)
            starter->currency = value.nominal.currency;
        return tries[i];
    }
    return NULL;
}

static const char *supplier_of(struct starter *starter, const char *name)
{
    const char *id = id_of(starter->arena, name);

    for (size_t i = 0; i < starter->suppliers.count; i++)
        if (str_equal(starter->suppliers.items[i].id, id))
            return str_equal(small(starter->arena, starter->suppliers.items[i].name),
                             small(starter->arena, name))
                       ? id
                       : NULL;
    if (*id)
        *ARRAY_PUSH(starter->arena, &starter->suppliers) = (struct supplier_line){id, name};
    return *id ? id : NULL;
}

static const char *material_of(struct starter *starter, const char *text)
{
    const struct table_material *row =
        table_material_find(table_set_default(), id_of(starter->arena, text), NULL);

    return row ? row->name : NULL;
}

/* As text between single quotation marks, where only they are doubled and a line end is a blank. */
static const char *quoted(struct arena *arena, const char *text)
{
    struct str_buf out = {.arena = arena};

    str_add(&out, "'");
    for (const char *at = text; *at; at++)
        str_add_print(&out, *at == '\'' ? "''" : "%c", *at == '\n' ? ' ' : *at);
    str_add(&out, "'");
    return out.bytes;
}

/* What the key of a column takes of a cell; NULL: it cannot. */
static const char *value_of(struct starter *starter, enum column column, const char *text)
{
    static const char *const states[] = {"reuse", "rework", "renew", "make", "missing", "unknown"};
    const char *unit = starter->unit_of[column];

    switch (column) {
    case NUMBER:
    case NAME:
        return quoted(starter->arena, text);
    case QUANTITY:
    case PACK_OF:
        return is_whole(text, 1) ? text : NULL;
    case SPARE:
        return is_whole(text, 0) ? text : NULL;
    case STATE:
        for (size_t i = 0; i < sizeof states / sizeof *states; i++)
            if (str_equal(small(starter->arena, text), states[i]))
                return states[i];
        return NULL;
    case MATERIAL:
        return material_of(starter, text);
    case ALWAYS_RENEW:
        return str_equal(text, "true") || str_equal(small(starter->arena, text), "yes") ? "true" : NULL;
    case WEIGHT:
        return quantity(starter, text, unit, QTY_MASS);
    case PRICE:
        return quantity(starter, text, unit, QTY_MONEY);
    case SUPPLIER:
        return supplier_of(starter, text);
    default:
        return NULL;
    }
}

/* ---------- the spec ---------- */

static void add_note(struct str_buf *note, const char *heading, const char *text)
{
    str_add_print(note, "%s%s%s%s", note->length ? "; " : "", heading ? heading : "", heading ? ": " : "", text);
}

static enum column column_of(const struct starter *starter, const char *heading)
{
    for (int column = 0; column < COLUMN_COUNT; column++)
        if (str_equal(starter->heading_of[column], heading))
            return (enum column)column;
    return COLUMN_COUNT;
}

/* The keys of a part, in the order of its row; what remains as one note. */
static void add_part(struct starter *starter, const struct line *line)
{
    const struct line *host = host_of(starter, line);
    struct str_buf note = {.arena = starter->arena}, *out = &starter->parts;

    str_add_print(out, "  %s:\n", line->id);
    if (host)
        str_add_print(out, "    in: %s\n", host->id);
    if (line->hosts && host)
        str_add(out, "    with: all\n");
    for (const struct node *cell = line->row->child; cell; cell = cell->next) {
        enum column column = column_of(starter, cell->key);
        const char *value = column < COLUMN_COUNT ? value_of(starter, column, cell->text) : NULL;
        if (value)
            str_add_print(out, "    %s: %s\n", column_keys[column], value);
        else if (column == NOTE)
            add_note(&note, NULL, cell->text);
        else if (!(column == IN && host == line_called(starter, cell->text)) &&
                 !(column == ID && str_equal(cell->text, line->id)))
            add_note(&note, cell->key, cell->text);
    }
    if (note.length)
        str_add_print(out, "    note: %s\n", quoted(starter->arena, note.bytes));
}

static const char head[] =
    "# Made from a parts list. Every line of the list is a part; what a heading did not tell the key of, or a key\n"
    "# could not take, stands in the part's note. Next, for each part:\n"
    "#   in: what it sits in. Where the list does not say, it is the first part for now.\n"
    "#   with: all that is on it when it goes in. Where a part carries others, `all` is said for now.\n"
    "#   state: reuse, rework, renew, make, missing or stays. Until it is said, it is an open question.\n"
    "# Nuts, washers and gaskets then move from `in` to the `uses` of a joint and the `gasket` of a seal.\n";

const char *spec_starter(struct context *context, uint32_t source, const char *name)
{
    struct starter starter = {.context = context, .arena = context->arena,
                              .parts = {.arena = context->arena}};
    struct str_buf out = {.arena = context->arena};

    starter.csv = tree_parse_csv(context, source);
    if (!starter.csv)
        return NULL;
    know_headings(&starter);
    for (const struct node *row = starter.csv->rows->child; row; row = row->next)
        add_line(&starter, row);
    if (starter.lines.count == 0 || (!starter.heading_of[NAME] && !starter.heading_of[NUMBER])) {
        struct diag *diag = diag_add(&context->diags, DIAG_SPEC_STARTER, starter.csv->heading_spans[0],
                                     starter.lines.count ? "no heading names or numbers the parts"
                                                         : "the list has no rows");
        diag_hint(&context->diags, diag, "head the columns as in: Number,Name,Quantity,Material,Weight (g)");
        return NULL;
    }
    for (size_t i = 0; i < starter.lines.count; i++) {
        const struct line *host = host_of(&starter, &starter.lines.items[i]);
        if (host)
            starter.lines.items[host - starter.lines.items].hosts = true;
    }
    for (size_t i = 0; i < starter.lines.count; i++)
        add_part(&starter, &starter.lines.items[i]);
    str_add_print(&out, "gudgeon: 1\n%s\nengine:\n  name: %s\n", head, quoted(context->arena, name));
    if (starter.currency)
        str_add_print(&out, "  currency: %s\n", starter.currency);
    for (size_t i = 0; i < starter.suppliers.count; i++)
        str_add_print(&out, "%s  %s: {name: %s}\n", i ? "" : "\nsuppliers:\n", starter.suppliers.items[i].id,
                      quoted(context->arena, starter.suppliers.items[i].name));
    str_add_print(&out, "\nparts:\n%s", starter.parts.bytes);
    return out.bytes;
}
