/* diag.c - the list of diagnostics of one compilation. */
#include <gudgeon/diag.h>

#include <assert.h>
#include <string.h>

#define ERROR DIAG_SEVERITY_ERROR
#define WARNING DIAG_SEVERITY_WARNING
#define NOTE DIAG_SEVERITY_NOTE
const struct diag_info diag_infos[DIAG_CODE_COUNT] = {
#define DIAG(name, printed, severity, paragraph) {printed, severity, paragraph},
#include <gudgeon/diag_codes.def>
#undef DIAG
};
#undef ERROR
#undef WARNING
#undef NOTE

const struct diag_info *diag_find(const char *printed)
{
    int64_t wanted, number;

    printed += *printed == 'G' || *printed == 'g';
    if (*printed < '0' || *printed > '9' || !str_to_int(printed, &wanted))
        return NULL;
    for (size_t i = 0; i < DIAG_CODE_COUNT; i++)
        if (str_to_int(diag_infos[i].printed + 1, &number) && number == wanted)
            return &diag_infos[i];
    return NULL;
}

static uint64_t hash_of(const struct diag *diag)
{
    /* FNV-1a over what makes two diagnostics the same. */
    uint32_t parts[] = {(uint32_t)diag->code, diag->span.file, diag->span.begin, diag->span.end};
    uint64_t hash = 14695981039346656037u;

    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        hash = (hash ^ parts[i]) * 1099511628211u;
    return hash ^ hash >> 29;
}

/* Without a place only the words tell two faults apart. */
static bool same(const struct diag *a, const struct diag *b)
{
    return !a->removed && a->code == b->code && a->span.file == b->span.file &&
           a->span.begin == b->span.begin && a->span.end == b->span.end &&
           (a->span.file != 0 || str_equal(a->message, b->message));
}

/* The slot that holds an equal diagnostic, or the free one where it belongs. */
static struct diag **slot_of(const struct diags *diags, const struct diag *diag)
{
    size_t at = hash_of(diag) & (diags->seen_room - 1);

    while (diags->seen[at] != NULL && !same(diags->seen[at], diag))
        at = (at + 1) & (diags->seen_room - 1);
    return &diags->seen[at];
}

/* Makes the table anew, with room for as many again. */
static void table_make(struct diags *diags)
{
    size_t room = 64;

    while (room / 4 < diags->count + 1)
        room *= 2;
    diags->seen = ARENA_ARRAY(diags->arena, struct diag *, room);
    diags->seen_room = room;
    for (size_t i = 0; i < diags->count; i++)
        *slot_of(diags, diags->items[i]) = diags->items[i];
    diags->seen_used = diags->count;
}

static void count_severity(struct diags *diags, enum diag_severity severity, bool more)
{
    size_t *count = severity == DIAG_SEVERITY_ERROR     ? &diags->errors
                    : severity == DIAG_SEVERITY_WARNING ? &diags->warnings
                                                        : NULL;

    if (count != NULL)
        *count = more ? *count + 1 : *count - 1;
}

struct diag *diag_add(struct diags *diags, enum diag_code code, struct span span,
                      const char *format, ...)
{
    va_list arguments;

    assert(code < DIAG_CODE_COUNT);
    struct diag *diag = ARENA_NEW(diags->arena, struct diag);
    diag->code = code;
    diag->severity = diag_infos[code].severity;
    diag->span = span;
    va_start(arguments, format);
    diag->message = str_vprint(diags->arena, format, arguments);
    va_end(arguments);

    if ((diags->seen_used + 1) * 2 > diags->seen_room)
        table_make(diags);
    struct diag **slot = slot_of(diags, diag);
    if (*slot != NULL)
        return diag; /* said already: what the caller adds to this one is not kept */
    *slot = diag;
    diags->seen_used++;
    *ARRAY_PUSH(diags->arena, diags) = diag;
    count_severity(diags, diag->severity, true);
    return diag;
}

void diag_label(struct diags *diags, struct diag *diag, struct span span, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    const char *text = str_vprint(diags->arena, format, arguments);
    va_end(arguments);
    *ARRAY_PUSH(diags->arena, &diag->labels) = (struct diag_label){.span = span, .text = text};
}

void diag_hint(struct diags *diags, struct diag *diag, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    diag->hint = str_vprint(diags->arena, format, arguments);
    va_end(arguments);
}

void diag_fix(struct diags *diags, struct diag *diag, struct span span, const char *text)
{
    diag->fix = span;
    diag->fix_text = str_copy(diags->arena, text);
    if (diag->hint != NULL)
        return;
    size_t blanks = strspn(text, " \n"), length = strlen(text);
    while (length > blanks && (text[length - 1] == ' ' || text[length - 1] == '\n'))
        length--;
    if (length == blanks)
        diag_hint(diags, diag, *text == '\0' ? "remove it" : "put a blank there");
    else
        diag_hint(diags, diag, span.begin == span.end ? "add `%.*s`" : "write `%.*s`",
                  (int)(length - blanks), text + blanks);
}

void diag_remove(struct diags *diags, struct diag *diag)
{
    for (size_t i = diags->count; i-- > 0;) { /* mostly one of the last */
        if (diags->items[i] != diag)
            continue;
        diag->removed = true; /* its slot stays, like no other and no end of a search */
        memmove(&diags->items[i], &diags->items[i + 1],
                (diags->count - i - 1) * sizeof *diags->items);
        diags->count--;
        count_severity(diags, diag->severity, false);
        return;
    }
}
