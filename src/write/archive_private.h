/* archive_private.h - is a workbook whole? libxlsxwriter lays each part in a temporary file and does not
 * hear when the disk under it is full: the part is cut short and all is reported well. */
#ifndef GUDGEON_WRITE_ARCHIVE_PRIVATE_H
#define GUDGEON_WRITE_ARCHIVE_PRIVATE_H

#include <gudgeon/arena.h>

/* True when the bytes are a zip archive without comment (APPNOTE 6.3, its clauses cited in archive.c) of
 * XML parts, and each part ends with the end tag of the element that it begins with. */
bool archive_is_whole(const char *bytes, size_t size);

#endif
