/* check_rows.c - reading published check values. */
#include "check_rows.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifndef TESTS_FOLDER
#define TESTS_FOLDER "tests"
#endif

static void give_up(const char *file, int line, const char *why)
{
    fprintf(stderr, "%s:%d: %s\n", file, line, why);
    abort();
}

static char *read_all(const char *path)
{
    FILE *file = fopen(path, "rb");

    if (file == NULL)
        give_up(path, 0, "cannot be opened (run the tests from the top of the tree)");
    size_t room = 1 << 20, length = 0, got;
    char *text = malloc(room + 1);
    while ((got = fread(text + length, 1, room - length, file)) > 0) {
        length += got;
        if (length == room) {
            room *= 2;
            text = realloc(text, room + 1);
        }
    }
    fclose(file);
    text[length] = '\0';
    return text;
}

/* One field, unquoted in place; `*at` moves behind its comma. True when it was the row's last. */
static bool next_field(char **at, char **field)
{
    char *read = *at, *write = *at;
    bool quoted = *read == '"';

    *field = write;
    if (quoted) {
        for (read++; *read != '\0'; read++) {
            if (*read == '"' && *++read != '"')
                break;
            *write++ = *read;
        }
    } else {
        while (*read != ',' && *read != '\n' && *read != '\r' && *read != '\0')
            *write++ = *read++;
    }
    bool last = *read != ',';
    while (*read == '\r')
        read++;
    *at = *read == '\0' ? read : read + 1;
    *write = '\0';
    return last;
}

struct check_rows check_rows_load(const char *name)
{
    struct check_rows rows = {0};
    char path[256];
    size_t room = 0;
    int line = 1;

    snprintf(path, sizeof path, "%s/published/%s", TESTS_FOLDER, name);
    char *at = strchr(read_all(path), '\n') + 1;
    for (line = 2; *at != '\0'; line++) {
        char *fields[8];
        for (int i = 0; i < 8; i++)
            if (next_field(&at, &fields[i]) != (i == 7))
                give_up(path, line, "a row has not eight fields");
        if (rows.count == room) {
            room = room == 0 ? 256 : 2 * room;
            rows.items = realloc(rows.items, room * sizeof *rows.items);
        }
        rows.items[rows.count++] =
            (struct check_row){name,      line,      fields[0], fields[1], fields[2],
                               fields[3], fields[4], fields[5], fields[6], fields[7]};
    }
    if (rows.count == 0)
        give_up(path, 1, "no rows");
    return rows;
}

const char *check_part(const char *text, const char *key)
{
    static char buffers[8][512];
    static int turn;
    size_t length = strlen(key);

    for (const char *part = text; part != NULL; part = strchr(part, ';')) {
        if (*part == ';')
            part++;
        while (*part == ' ')
            part++;
        if (strncmp(part, key, length) != 0 || part[length] != '=')
            continue;
        char *buffer = buffers[turn++ % 8];
        snprintf(buffer, sizeof buffers[0], "%.*s", (int)strcspn(part + length + 1, ";"),
                 part + length + 1);
        return buffer;
    }
    return NULL;
}

bool check_number(const char *text, double *number)
{
    char *end;

    *number = strtod(text, &end);
    if (end == text)
        return false;
    if (*end == '/' && end[1] >= '0' && end[1] <= '9')
        *number /= strtod(end + 1, NULL);
    return true;
}

double check_value(const struct check_row *row, const char *key)
{
    const char *text = check_part(row->input, key);
    double number;

    if (text == NULL || !check_number(text, &number))
        give_up(row->file, row->line, key);
    return number;
}

bool check_has(const struct check_row *row, const char *key)
{
    return check_part(row->input, key) != NULL;
}

double check_tolerance(const struct check_row *row, double expected)
{
    double number;

    if (!check_number(row->tolerance, &number))
        give_up(row->file, row->line, "no numeric tolerance");
    if (strchr(row->tolerance, '%') != NULL)
        return fabs(expected) * number / 100;
    return number == 0 ? fmax(1e-9 * fabs(expected), 1e-12) : number * (1 + 1e-9);
}
