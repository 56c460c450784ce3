/* font_tool.c - run by the build: the shipped fonts in, C arrays out.
 *
 *     font_tool REGULAR.ttf BOLD.ttf FOLDER
 *
 * writes FOLDER/font_coverage.h (ranges of code points that both faces have), font_advances.h
 * (advance width of each, in thousandths of the size, truncated as libharu truncates) and
 * font_bytes.h (the files themselves). Only what the subset has is read: tables head, hhea, hmtx
 * and a cmap of format 4 (ISO/IEC 14496-22, 5.2). */
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { POINTS = 0x10000, NO_GLYPH = 0xffff };

struct face {
    const char *path;
    unsigned char *bytes;
    size_t size;
    uint16_t advance[POINTS]; /* or NO_GLYPH */
};

static void fail(const char *path, const char *why)
{
    fprintf(stderr, "font_tool: %s: %s\n", path, why);
    exit(1);
}

static void load(struct face *face)
{
    FILE *file = fopen(face->path, "rb");

    if (file == NULL || fseek(file, 0, SEEK_END) != 0)
        fail(face->path, "cannot be read");
    face->size = (size_t)ftell(file);
    face->bytes = malloc(face->size);
    rewind(file);
    if (face->bytes == NULL || fread(face->bytes, 1, face->size, file) != face->size)
        fail(face->path, "cannot be read");
    fclose(file);
}

static unsigned u16(const struct face *face, size_t at)
{
    if (at + 2 > face->size)
        fail(face->path, "is cut short");
    return (unsigned)face->bytes[at] << 8 | face->bytes[at + 1];
}

static size_t u32(const struct face *face, size_t at)
{
    return (size_t)u16(face, at) << 16 | u16(face, at + 2);
}

static size_t find_table(const struct face *face, const char *tag)
{
    unsigned count = u16(face, 4);

    for (size_t i = 0; i < count; i++) {
        size_t entry = 12 + 16 * i;
        (void)u16(face, entry + 14);
        if (memcmp(face->bytes + entry, tag, 4) == 0)
            return u32(face, entry + 8);
    }
    fail(face->path, "lacks a table");
    return 0;
}

static size_t find_cmap_4(const struct face *face)
{
    size_t cmap = find_table(face, "cmap");
    unsigned count = u16(face, cmap + 2);

    for (size_t i = 0; i < count; i++) {
        size_t table = cmap + u32(face, cmap + 4 + 8 * i + 4);
        if (u16(face, table) == 4)
            return table;
    }
    fail(face->path, "has no cmap of format 4");
    return 0;
}

static unsigned glyph_of(const struct face *face, size_t cmap, unsigned point)
{
    size_t segments = u16(face, cmap + 6) / 2u;
    size_t ends = cmap + 14, starts = ends + 2 * segments + 2;
    size_t deltas = starts + 2 * segments, offsets = deltas + 2 * segments;

    for (size_t i = 0; i < segments; i++) {
        if (point > u16(face, ends + 2 * i))
            continue;
        unsigned start = u16(face, starts + 2 * i);
        unsigned offset = u16(face, offsets + 2 * i);
        if (point < start)
            return 0;
        if (offset == 0)
            return (point + u16(face, deltas + 2 * i)) & 0xffffu;
        return u16(face, offsets + 2 * i + offset + 2 * (size_t)(point - start));
    }
    return 0;
}

static void measure(struct face *face)
{
    size_t cmap = find_cmap_4(face), hmtx = find_table(face, "hmtx");
    unsigned em = u16(face, find_table(face, "head") + 18);
    unsigned widths = u16(face, find_table(face, "hhea") + 34);

    for (unsigned point = 0; point < POINTS; point++) {
        unsigned glyph = point == 0xffff ? 0 : glyph_of(face, cmap, point);
        unsigned row = glyph < widths ? glyph : widths - 1;
        unsigned advance = u16(face, hmtx + 4 * (size_t)row) * 1000u / em;
        face->advance[point] = (uint16_t)(glyph == 0 ? NO_GLYPH : advance);
    }
}

static FILE *create(const char *folder, const char *name)
{
    char path[4096];
    FILE *file;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    file = fopen(path, "wb");
    if (file == NULL)
        fail(path, "cannot be written");
    fprintf(file, "/* made by font_tool from src/write/fonts */\n");
    return file;
}

static void finish(FILE *file)
{
    if (fclose(file) != 0)
        fail("a generated file", "cannot be written");
}

static bool both_have(const struct face *faces, unsigned point)
{
    return faces[0].advance[point] != NO_GLYPH && faces[1].advance[point] != NO_GLYPH;
}

static void write_coverage(const struct face *faces, const char *folder)
{
    FILE *file = create(folder, "font_coverage.h");

    fprintf(file, "static const struct { uint16_t first, last; } font_coverage[] = {\n");
    for (unsigned point = 0; point < POINTS; point++) {
        unsigned first = point;
        if (!both_have(faces, point))
            continue;
        while (point + 1 < POINTS && both_have(faces, point + 1))
            point++;
        fprintf(file, "    {0x%04x, 0x%04x},\n", first, point);
    }
    fprintf(file, "};\n");
    finish(file);
}

static void write_advances(const struct face *faces, const char *folder)
{
    FILE *file = create(folder, "font_advances.h");

    fprintf(file, "static const struct { uint16_t point, regular, bold; } font_advances[] = {\n");
    for (unsigned point = 0; point < POINTS; point++)
        if (both_have(faces, point))
            fprintf(file, "    {0x%04x, %u, %u},\n", point, faces[0].advance[point],
                    faces[1].advance[point]);
    fprintf(file, "};\n");
    finish(file);
}

/* String literals compile a good deal faster than lists of numbers. */
static void write_bytes(const struct face *faces, const char *folder)
{
    static const char *const names[] = {"font_regular", "font_bold"};
    FILE *file = create(folder, "font_bytes.h");

    for (size_t i = 0; i < 2; i++) {
        fprintf(file, "static const unsigned char %s[%zu] =\n", names[i], faces[i].size + 1);
        for (size_t at = 0; at < faces[i].size; at++)
            fprintf(file, "%s\\%03o%s", at % 24 == 0 ? "\"" : "", faces[i].bytes[at],
                    at % 24 == 23 || at + 1 == faces[i].size ? "\"\n" : "");
        fprintf(file, ";\n");
    }
    finish(file);
}

int main(int count, char **arguments)
{
    static struct face faces[2];

    if (count != 4)
        fail("usage", "font_tool REGULAR.ttf BOLD.ttf FOLDER");
    for (size_t i = 0; i < 2; i++) {
        faces[i].path = arguments[1 + i];
        load(&faces[i]);
        measure(&faces[i]);
    }
    write_coverage(faces, arguments[3]);
    write_advances(faces, arguments[3]);
    write_bytes(faces, arguments[3]);
    for (size_t i = 0; i < 2; i++)
        free(faces[i].bytes);
    return 0;
}
