/* table_embed_tool.c - run by the build: CSV files in, one C file of const arrays out.
 *
 *     table_embed OUTPUT FILE.csv...
 *
 * Reads and checks with the code that reads the user's tables at run time; any fault is printed with
 * its place and fails the build. References between tables (a torque row's thread) are checked over
 * the whole set. */
#include "table_private.h"

#include <gudgeon/file.h>

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* This program has no set built in: it makes it. */
const struct table_set table_built_in;

struct embedding {
    struct context *context;
    const char *output;
    char **paths;
    size_t path_count;
    struct {
        enum table_kind_id kind;
        struct table_slice *slice;
    } * tables;
    bool ok;
};

static void print_text(struct str_buf *out, const char *text)
{
    str_add(out, "\"");
    for (const char *at = text; *at != '\0'; at++) {
        if (*at == '"' || *at == '\\')
            str_add(out, "\\");
        str_add_bytes(out, at, 1);
    }
    str_add(out, "\"");
}

static void print_number(struct str_buf *out, double value)
{
    char text[40];
    if (!table_has(value)) {
        str_add(out, "NAN");
        return;
    }
    snprintf(text, sizeof text, "%.17g", value); /* the C locale: this program sets none */
    str_add(out, text);
    if (strpbrk(text, ".e") == NULL)
        str_add(out, ".0");
}

static void print_cell(struct str_buf *out, const struct table_column *column, const void *cell)
{
    str_add_print(out, ", .%s = ", column->member);
    if (column->cell == TABLE_TEXT)
        print_text(out, *(const char *const *)cell);
    else if (column->cell == TABLE_FLAG)
        str_add(out, *(const bool *)cell ? "true" : "false");
    else if (column->cell == TABLE_NUMBER)
        print_number(out, *(const double *)cell);
    else if (*(const int64_t *)cell == TABLE_NO_PM)
        str_add(out, "TABLE_NO_PM");
    else
        str_add_print(out, "INT64_C(%lld)", (long long)*(const int64_t *)cell);
}

static void print_head(struct str_buf *out, size_t number, const struct table_head *head)
{
    const struct {
        const char *member, *text;
    } texts[] = {
        {"id", head->id},           {"kind", head->kind},         {"title", head->title},
        {"source", head->source},   {"gaps", head->gaps},         {"lubricant", head->lubricant},
        {"plating", head->plating}, {"fastener", head->fastener}, {"single", head->single},
    };
    str_add_print(out, "static const struct table_head head_%zu = {.level = (enum table_level)%d, ",
                  number, (int)head->level);
    str_add_print(out, ".reused_minimum = %d, .rigid = %d, .factors_combine = %d",
                  head->reused_minimum, head->rigid, head->factors_combine);
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        str_add_print(out, ", .%s = ", texts[i].member);
        print_text(out, texts[i].text);
    }
    str_add(out, "};\n");
}

static const char *const row_types[KIND_COUNT] = {
#define KIND(name, id, type) [KIND_##id] = #type,
    TABLE_KINDS(KIND)
#undef KIND
};

static void print_rows(struct str_buf *out, size_t number, enum table_kind_id id,
                       const struct table_slice *slice)
{
    const struct table_kind *kind = &table_kinds[id];
    str_add_print(out, "static const struct %s rows_%zu[] = {\n", row_types[id], number);
    for (size_t i = 0; i < slice->count; i++) {
        const char *row = (const char *)slice->rows + i * kind->row_size;
        str_add_print(out, "    {.row = {.table = &head_%zu, .source = ", number);
        print_text(out, ((const struct table_row *)(const void *)row)->source);
        str_add(out, ", .single = ");
        print_text(out, ((const struct table_row *)(const void *)row)->single);
        str_add(out, "}");
        for (size_t c = 0; c < kind->column_count; c++)
            print_cell(out, &kind->columns[c], row + kind->columns[c].offset);
        str_add(out, "},\n");
    }
    str_add(out, "};\n");
}

/* Slices of one kind are chained in the order of the files, so they are printed last first. */
static void print_slices(struct str_buf *out, const struct embedding *embedding)
{
    long next[KIND_COUNT];
    for (size_t kind = 0; kind < KIND_COUNT; kind++)
        next[kind] = -1;
    for (size_t i = embedding->path_count; i-- > 0;) {
        enum table_kind_id kind = embedding->tables[i].kind;
        str_add_print(out,
                      "static const struct table_slice slice_%zu = {&head_%zu, rows_%zu, %zu, ", i,
                      i, i, embedding->tables[i].slice->count);
        if (next[kind] < 0)
            str_add(out, "NULL, NULL};\n");
        else
            str_add_print(out, "&slice_%ld, NULL};\n", next[kind]);
        next[kind] = (long)i;
    }
    str_add(out, "const struct table_set table_built_in = {{\n");
    for (size_t kind = 0; kind < KIND_COUNT; kind++)
        if (next[kind] >= 0)
            str_add_print(out, "    [%zu] = &slice_%ld,\n", kind, next[kind]);
    str_add(out, "}};\n");
}

static bool read_all(struct embedding *embedding)
{
    struct context *context = embedding->context;
    bool ok = true;
    for (size_t i = 0; i < embedding->path_count; i++) {
        struct file_bytes file = file_read(context->arena, embedding->paths[i], BOUND_FILE_BYTES);
        if (file.status != FILE_OK) {
            fprintf(stderr, "%s: cannot be read\n", embedding->paths[i]);
            return false;
        }
        uint32_t source = source_add(context->arena, &context->sources, embedding->paths[i],
                                     file.bytes, file.size);
        embedding->tables[i].slice = table_read(context, source, &embedding->tables[i].kind);
        ok &= embedding->tables[i].slice != NULL;
    }
    return ok;
}

/* All tables together: each row's references are looked up in the set that will be built in. */
static bool check_all(struct embedding *embedding)
{
    struct table_set set = {{NULL}};
    bool ok = true;
    for (size_t i = embedding->path_count; i-- > 0;) {
        enum table_kind_id kind = embedding->tables[i].kind;
        embedding->tables[i].slice->next = set.slices[kind];
        set.slices[kind] = embedding->tables[i].slice;
    }
    for (size_t i = 0; i < embedding->path_count; i++)
        ok &= table_check(embedding->context, embedding->tables[i].kind, embedding->tables[i].slice,
                          &set);
    return ok;
}

static void embed(struct context *context, void *user)
{
    struct embedding *embedding = user;
    struct str_buf out = {.arena = context->arena};
    embedding->tables =
        arena_array(context->arena, embedding->path_count, sizeof *embedding->tables);
    embedding->ok = read_all(embedding) && check_all(embedding);
    if (!embedding->ok) {
        diag_render(&context->diags, &context->sources, DIAG_TEXT, false, BOUND_DIAGNOSTICS, &out);
        fputs(out.bytes == NULL ? "tables: failed\n" : out.bytes, stderr);
        return;
    }
    str_add(&out, "/* Made by table_embed_tool.c from src/table/data; do not edit. */\n"
                  "#include \"table_private.h\"\n\n");
    for (size_t i = 0; i < embedding->path_count; i++) {
        print_head(&out, i, embedding->tables[i].slice->head);
        print_rows(&out, i, embedding->tables[i].kind, embedding->tables[i].slice);
    }
    print_slices(&out, embedding);
    const char *why = file_write(context->arena, embedding->output, out.bytes, out.length);
    if (why != NULL)
        fprintf(stderr, "%s: %s\n", embedding->output, why);
    embedding->ok = why == NULL;
}

int main(int count, char **arguments)
{
    struct context_options options = {0};
    struct context *context = context_new(&options);
    if (count < 3 || context == NULL) {
        fputs("usage: table_embed OUTPUT FILE.csv...\n", stderr);
        return 2;
    }
    struct embedding embedding = {context,           arguments[1], arguments + 2,
                                  (size_t)count - 2, NULL,         false};
    bool finished = context_run(context, embed, &embedding);
    context_free(context);
    return finished && embedding.ok ? EXIT_SUCCESS : EXIT_FAILURE;
}
