/* write_csv.c - readings.csv and what suppliers are asked: RFC 4180, the keys of the columns as its head, CRLF at line ends. */
#include <gudgeon/write.h>

#include <string.h>

/* Limits such as -0.001..-0.0002 in begin with a sign and are no formula: a number, units, and
 * signs only at the beginning of a number. They are left as they are; what else begins like a
 * formula is defused by str_safe_cell. */
static bool is_quantity(const char *text)
{
    if ((*text != '-' && *text != '+') || text[1] < '.' || text[1] > '9')
        return false;
    for (const char *at = text + 1; *at != '\0'; at++) {
        bool sign = *at == '-' || *at == '+';
        if (sign && at[-1] != '.' && at[-1] != '/')
            return false;
        if (!sign && strchr("=|!@\"'*&^<>:;$[]{}#~`\\", *at) != NULL)
            return false;
    }
    return true;
}

/* A field is quoted where RFC 4180 (2.5 to 2.7) asks for it, and where blanks at its ends would be
 * lost in reading. */
static void add_field(struct str_buf *out, struct arena *arena, const char *text)
{
    const char *safe = str_safe_cell(arena, text, !is_quantity(text));
    size_t length = strlen(safe);

    if (strpbrk(safe, ",;\"\n\t") == NULL &&
        (length == 0 || (safe[0] != ' ' && safe[length - 1] != ' '))) {
        str_add(out, safe);
        return;
    }
    str_add(out, "\"");
    for (const char *at = safe; *at != '\0'; at++) {
        if (*at == '"')
            str_add(out, "\"");
        str_add_bytes(out, at, 1);
    }
    str_add(out, "\"");
}

static const char *cell_text(struct arena *arena, const struct cell *cell)
{
    if (cell->exact != NULL)
        return cell->exact;
    if (cell->kind == CELL_FORMULA)
        return str_decimal(arena, cell->number, 2);
    return cell->text != NULL ? cell->text : "";
}

static void add_file(struct context *context, const char *name, const struct table *table,
                     struct outputs *outputs)
{
    struct str_buf out = {.arena = context->arena};

    if (table == NULL || table->rows.count == 0)
        return;
    for (size_t i = 0; i < table->columns.count; i++) {
        str_add(&out, i > 0 ? "," : "");
        add_field(&out, context->arena, table->columns.items[i].key);
    }
    str_add(&out, "\r\n");
    for (size_t row = 0; row < table->rows.count; row++) {
        for (size_t i = 0; i < table->columns.count; i++) {
            str_add(&out, i > 0 ? "," : "");
            add_field(&out, context->arena,
                      cell_text(context->arena, &table->rows.items[row][i]));
        }
        str_add(&out, "\r\n");
    }
    *ARRAY_PUSH(context->arena, outputs) = (struct output){name, out.bytes, out.length};
}

bool write_csv(struct context *context, const struct pack *pack, struct outputs *outputs)
{
    add_file(context, "readings.csv", pack->readings, outputs);
    for (size_t i = 0; i < pack->enquiries.count; i++)
        add_file(context, str_print(context->arena, "orders/%s.csv", pack->enquiries.items[i].supplier),
                 pack->enquiries.items[i].lines, outputs);
    return true;
}
