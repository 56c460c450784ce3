/* check_rows.c - reading published check values. */
#include "check_rows.h"

#include <criterion/criterion.h>

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

static struct check_rows load(const char *name)
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

/* Each file is read once and kept for the life of the process. */
struct check_rows check_rows_load(const char *name)
{
    static struct {
        const char *name;
        struct check_rows rows;
    } files[16];
    size_t i = 0;

    while (files[i].name != NULL && strcmp(files[i].name, name) != 0)
        if (++i == sizeof files / sizeof *files)
            give_up(name, 0, "too many files of check rows");
    if (files[i].name == NULL) {
        files[i].rows = load(name);
        files[i].name = name;
    }
    return files[i].rows;
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

double check_after(const char *text, const char *words)
{
    for (const char *at = strstr(text, words); at != NULL; at = strstr(at + 1, words)) {
        double number;
        bool inside = at > text && (at[-1] == '_' || (at[-1] >= '0' && at[-1] <= '9') ||
                                    ((at[-1] | 32) >= 'a' && (at[-1] | 32) <= 'z'));
        if (!inside && check_number(at + strlen(words), &number))
            return number;
    }
    return NAN;
}

bool check_says(const struct check_row *row, const char *words)
{
    return strstr(row->input, words) != NULL;
}

double check_given(const struct check_row *row, const char *words)
{
    double number = check_after(row->input, words);

    cr_assert(!isnan(number), "%s:%d %s: no '%s'", row->file, row->line, row->id, words);
    return number;
}

void check_expect(const struct check_row *row, const char *words, double got)
{
    double want = *words == '\0' ? strtod(row->expected, NULL) : check_after(row->expected, words);

    cr_assert(!isnan(want), "%s: nothing expected as '%s'", row->id, words);
    cr_expect(fabs(got - want) <= check_tolerance(row, want), "%s:%d %s %s%s: got %.9g (%s)",
              row->file, row->line, row->id, words, row->expected, got, row->source);
}

void check_topics(const struct check_topic *topics, size_t count)
{
    int all = 0;

    for (size_t i = 0; i < count; i++) {
        struct check_rows rows = check_rows_load(topics[i].file);
        int ran = 0, left = 0;
        for (size_t j = 0; j < rows.count; j++) {
            if (strcmp(rows.items[j].topic, topics[i].topic) != 0)
                continue;
            if (topics[i].run(&rows.items[j]))
                ran++;
            else
                left++;
        }
        fprintf(stderr, "%-24s %4d rows run, %3d are no formula\n", topics[i].topic, ran, left);
        cr_expect_geq(ran, topics[i].least, "%s: %d rows ran", topics[i].topic, ran);
        all += ran;
    }
    fprintf(stderr, "published rows of formulas: %d\n", all);
}
