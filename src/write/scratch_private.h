/* scratch_private.h - a file without a name, for libraries that read or write files only. */
#ifndef GUDGEON_WRITE_SCRATCH_PRIVATE_H
#define GUDGEON_WRITE_SCRATCH_PRIVATE_H

#include <gudgeon/arena.h>

struct scratch {
    int file;
    char path[64]; /* under which this process can open it */
};

/* In memory, or where that is not to be had a private temporary file that is unlinked at once. */
bool scratch_open(struct scratch *scratch);
bool scratch_write(struct scratch *scratch, const void *bytes, size_t size);
/* All of it, into the arena. */
bool scratch_read(struct scratch *scratch, struct arena *arena, const char **bytes, size_t *size);
void scratch_close(struct scratch *scratch);

#endif
