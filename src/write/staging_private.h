/* staging_private.h - the folder beside the pack in which the next pack is built. */
#ifndef GUDGEON_WRITE_STAGING_PRIVATE_H
#define GUDGEON_WRITE_STAGING_PRIVATE_H

#include <sys/types.h>

#include <gudgeon/file.h>
#include <gudgeon/write.h>

struct manifest;

enum standing_kind { STANDING_FILE, STANDING_FOLDER, STANDING_OTHER /* links, pipes */ };
enum standing_fate { FATE_STRANGER /* carried over */, FATE_SAME /* as the new output, kept */,
                     FATE_OURS /* replaced, or left out */ };
struct standing {              /* something in the folder now */
    const char *name;          /* from the folder on, "gaskets/base.dxf" */
    enum standing_kind kind;
    enum standing_fate fate;
};
struct staging {
    struct context *context;
    struct arena *arena;
    const struct outputs *outputs;
    const char *shown;         /* the folder as the user names it */
    const char *folder, *beside, *stage, *lock_path; /* real paths; `beside` ends in '/' */
    bool exists;
    mode_t mode;
    int lock;
    const struct manifest *old, *left; /* of the folder; of what a killed run left */
    struct { struct standing *items; size_t count, room; } standing;
};

/* Reports errno at `path`; false. */
bool staging_failed(struct staging *job, const char *path);

/* Lists what stands in the folder, folders before what they hold. */
bool staging_survey(struct staging *job);
/* Fills the stage: outputs, unchanged files with their time, strangers. */
bool staging_build(struct staging *job);
/* The stage takes the folder's place, and the old pack the stage's. */
bool staging_swap(struct staging *job);
/* Removes the stage. What is in it and neither ours nor in the folder too (it came between survey and
 * swap) is moved into the folder. */
bool staging_clear(struct staging *job);

#endif
