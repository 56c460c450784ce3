/* archive.c - the parts of a workbook, unpacked and looked at. */
#include "archive_private.h"

#include <string.h>
#include <zlib.h>

enum {
    END_BYTES = 22,    /* 4.3.16, without comment */
    ENTRY_BYTES = 46,  /* 4.3.12, without names */
    LOCAL_BYTES = 30,  /* 4.3.7, without names */
    METHOD_DEFLATE = 8,
    SPAN = 1 << 15,    /* unpacked at a time */
    EDGE = 1 << 9,     /* of a part, at either end: room for its root's tags */
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

/* What is looked at of a part: both its ends, all of it where it is short. */
struct ends {
    char first[EDGE + 1], last[EDGE + 1];
    size_t size, last_size;
};

static void keep_ends(struct ends *ends, const char *bytes, size_t size)
{
    if (ends->size < EDGE) {
        size_t room = EDGE - ends->size, take = size < room ? size : room;
        memcpy(ends->first + ends->size, bytes, take);
        ends->first[ends->size + take] = '\0';
    }
    size_t take = size < EDGE ? size : EDGE, keep = EDGE - take;
    keep = keep < ends->last_size ? keep : ends->last_size;
    memmove(ends->last, ends->last + ends->last_size - keep, keep);
    memcpy(ends->last + keep, bytes + size - take, take);
    ends->last_size = keep + take;
    ends->last[ends->last_size] = '\0';
    ends->size += size;
}

static bool inflate_all(z_stream *stream, struct ends *ends)
{
    char span[SPAN];
    int status;

    do {
        stream->next_out = (unsigned char *)span;
        stream->avail_out = SPAN;
        status = inflate(stream, Z_NO_FLUSH);
        keep_ends(ends, span, SPAN - stream->avail_out);
    } while (status == Z_OK && (stream->avail_in > 0 || stream->avail_out == 0));
    return status == Z_STREAM_END;
}

/* The part behind one entry of the directory, unpacked; false if it cannot be. */
static bool unpack(const struct archive *archive, const unsigned char *entry, struct ends *ends)
{
    size_t packed = number(entry + 20, 4), local = number(entry + 42, 4);
    z_stream stream = {0};

    if (number(entry + 10, 2) != METHOD_DEFLATE || !stands(archive, local, LOCAL_BYTES, "PK\3\4"))
        return false;
    size_t begin = local + LOCAL_BYTES + number(archive->bytes + local + 26, 2) +
                   number(archive->bytes + local + 28, 2);
    if (begin > archive->size || packed > archive->size - begin)
        return false;
    if (inflateInit2(&stream, -MAX_WBITS) != Z_OK) /* bare, as 4.4.5 has it */
        return false;
    stream.next_in = (unsigned char *)archive->bytes + begin;
    stream.avail_in = (uInt)packed;
    bool good = inflate_all(&stream, ends) && ends->size == number(entry + 24, 4);
    inflateEnd(&stream);
    return good;
}

static bool is_closed(const struct ends *ends)
{
    const char *first = ends->first, *last = ends->last;
    const char *root = strncmp(first, "<?xml", 5) == 0 ? strstr(first, "?>") : first;
    size_t size = ends->last_size;

    root = root != NULL ? strchr(root, '<') : NULL;
    while (size > 0 && last[size - 1] == '\n')
        size--;
    if (root == NULL || size < 2)
        return false;
    size_t name = strcspn(++root, " />\r\n");
    const char *end = last + size;
    if (memcmp(end - 2, "/>", 2) == 0) /* a root without content */
        return ends->size <= EDGE && strchr(root, '<') == NULL;
    return name + 3 <= size && end[-1] == '>' && memcmp(end - 1 - name, root, name) == 0 &&
           memcmp(end - 3 - name, "</", 2) == 0;
}

bool archive_is_whole(const char *bytes, size_t size)
{
    const struct archive archive = {(const unsigned char *)bytes, size};

    if (size < END_BYTES || !stands(&archive, size - END_BYTES, END_BYTES, "PK\5\6"))
        return false;
    const unsigned char *end = archive.bytes + size - END_BYTES;
    size_t count = number(end + 10, 2), at = number(end + 16, 4);
    for (size_t i = 0; i < count; i++) {
        struct ends ends = {0};
        if (!stands(&archive, at, ENTRY_BYTES, "PK\1\2"))
            return false;
        const unsigned char *entry = archive.bytes + at;
        if (!unpack(&archive, entry, &ends) || !is_closed(&ends))
            return false;
        at += ENTRY_BYTES + number(entry + 28, 2) + number(entry + 30, 2) + number(entry + 32, 2);
    }
    return count > 0;
}
