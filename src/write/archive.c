/* archive.c - the parts of a workbook, unpacked and looked at. */
#include "archive_private.h"

#include <string.h>
#include <zlib.h>

enum {
    END_BYTES = 22,    /* 4.3.16, without comment */
    ENTRY_BYTES = 46,  /* 4.3.12, without names */
    LOCAL_BYTES = 30,  /* 4.3.7, without names */
    METHOD_DEFLATE = 8,
    MOST_PART = 1 << 28,
};

struct archive {
    const unsigned char *bytes;
    size_t size;
};

/* Numbers lie with the low byte first (4.4.1). */
static size_t number(const unsigned char *at, unsigned bytes)
{
    size_t value = 0;

    while (bytes-- > 0)
        value = value << 8 | at[bytes];
    return value;
}

static bool stands(const struct archive *archive, size_t at, size_t length, const char *mark)
{
    return at <= archive->size && length <= archive->size - at &&
           memcmp(archive->bytes + at, mark, 4) == 0;
}

/* The part behind one entry of the directory, unpacked; NULL if it cannot be. */
static const char *unpack(struct arena *arena, const struct archive *archive,
                          const unsigned char *entry, size_t *size)
{
    size_t packed = number(entry + 20, 4), local = number(entry + 42, 4);
    z_stream stream = {0};

    *size = number(entry + 24, 4);
    if (number(entry + 10, 2) != METHOD_DEFLATE || *size > MOST_PART ||
        !stands(archive, local, LOCAL_BYTES, "PK\3\4"))
        return NULL;
    size_t begin = local + LOCAL_BYTES + number(archive->bytes + local + 26, 2) +
                   number(archive->bytes + local + 28, 2);
    if (begin > archive->size || packed > archive->size - begin)
        return NULL;
    char *part = arena_alloc(arena, *size + 1);
    if (inflateInit2(&stream, -MAX_WBITS) != Z_OK) /* bare, as 4.4.5 has it */
        return NULL;
    stream.next_in = (unsigned char *)archive->bytes + begin;
    stream.avail_in = (uInt)packed;
    stream.next_out = (unsigned char *)part;
    stream.avail_out = (uInt)*size + 1;
    int status = inflate(&stream, Z_FINISH);
    bool good = status == Z_STREAM_END && stream.total_out == *size;
    inflateEnd(&stream);
    part[*size] = '\0';
    return good ? part : NULL;
}

static bool is_closed(const char *part, size_t size)
{
    const char *root = strncmp(part, "<?xml", 5) == 0 ? strstr(part, "?>") : part;

    root = root != NULL ? strchr(root, '<') : NULL;
    while (size > 0 && part[size - 1] == '\n')
        size--;
    if (root == NULL || size < 2)
        return false;
    size_t name = strcspn(++root, " />\r\n");
    const char *end = part + size;
    if (memcmp(end - 2, "/>", 2) == 0) /* a root without content */
        return strchr(root, '<') == NULL;
    return name + 3 <= size && end[-1] == '>' && memcmp(end - 1 - name, root, name) == 0 &&
           memcmp(end - 3 - name, "</", 2) == 0;
}

bool archive_is_whole(struct arena *arena, const char *bytes, size_t size)
{
    const struct archive archive = {(const unsigned char *)bytes, size};

    if (size < END_BYTES || !stands(&archive, size - END_BYTES, END_BYTES, "PK\5\6"))
        return false;
    const unsigned char *end = archive.bytes + size - END_BYTES;
    size_t count = number(end + 10, 2), at = number(end + 16, 4);
    for (size_t i = 0; i < count; i++) {
        size_t length;
        if (!stands(&archive, at, ENTRY_BYTES, "PK\1\2"))
            return false;
        const unsigned char *entry = archive.bytes + at;
        const char *part = unpack(arena, &archive, entry, &length);
        if (part == NULL || !is_closed(part, length))
            return false;
        at += ENTRY_BYTES + number(entry + 28, 2) + number(entry + 30, 2) + number(entry + 32, 2);
    }
    return count > 0;
}
