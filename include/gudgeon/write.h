/* write.h - work pack in, bytes out, all or nothing.
 *
 * Same bytes for the same pack, whatever locale, time zone, folder or user. Knows pack, draw, dump (for
 * build.json) and base only (and context, for errors).
 *
 * In sheets a quantity, or money, is a number with its unit in a column beside it (made here where the
 * table has none that says the same). In a formula [key] is the cell of that column in the same row; in
 * a row of the foot it is that column above the foot; [sheet.key] is that column of another sheet,
 * which bears a name of its own in the workbook. */
#ifndef GUDGEON_WRITE_H
#define GUDGEON_WRITE_H

#include <gudgeon/draw.h>

struct output {                    /* one file of a pack */
    const char *name;              /* "cards.pdf" */
    const char *bytes;
    size_t size;
};
struct outputs {
    struct output *items;
    size_t count, room;
};

/* A format is one file under src/write/ and one line in writers.c. Each adds its files to the outputs,
 * none where there is nothing to say, and returns false after reporting; bytes live in
 * context->arena. */
struct writer {
    const char *name;
    bool (*write)(struct context *context, const struct pack *pack, struct outputs *outputs);
};
extern const struct writer writers[];
extern const size_t writer_count;

bool write_pdf(struct context *context, const struct pack *pack, struct outputs *outputs);
bool write_xlsx(struct context *context, const struct pack *pack, struct outputs *outputs);
bool write_csv(struct context *context, const struct pack *pack, struct outputs *outputs);
bool write_tags(struct context *context, const struct pack *pack, struct outputs *outputs);
bool write_gaskets(struct context *context, const struct pack *pack, struct outputs *outputs);
/* Each gasket on its own, 1:1 whatever the printer does. */
bool write_dxf(struct context *context, const struct pack *pack, struct outputs *outputs);
bool write_svg(struct context *context, const struct pack *pack, struct outputs *outputs);

/* What a file of the pack is called: `usual`, or the pack's own name where it has one, and the ending. */
const char *write_name(struct arena *arena, const struct pack *pack, const char *usual,
                       const char *ending);

/* A pack without cards as text for a terminal, 100 columns wide. */
void write_plain(const struct pack *pack, struct str_buf *out);

/* Every file of the pack in memory, build.json and the manifest (inputs and outputs with SHA-256,
 * program and library versions, each card's fingerprint) included. */
struct outputs *write_all(struct context *context, const struct pack *pack, const char *version);

/* Puts them into `folder`: built beside it, swapped in one exchange where the file system can, else
 * file by file with the manifest last; a lock file names the running pack. Never replaces or deletes
 * a file that it did not write or that was changed since (by the old manifest's hash): G09xx, status 3.
 * A file that would not change keeps its time stamp; strangers' files are carried over. On any
 * failure the old pack is whole. `changed` gets the ids of cards that changed since the old pack. */
bool write_into(struct context *context, const struct outputs *outputs, const char *folder,
                struct str_buf *changed);

#endif
