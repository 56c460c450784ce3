/* golden.h - text pairs: CASE.yaml is worked on, CASE.expect holds what must come out.
 *
 * Cases are the *.yaml right in a folder, in order of name; what they use lies in folders below it.
 * With UPDATE_GOLDEN=1 in the environment the .expect files are written anew; look at `git diff`. */
#ifndef GUDGEON_TEST_GOLDEN_H
#define GUDGEON_TEST_GOLDEN_H

#include <gudgeon/context.h>

struct golden_result {
    size_t cases, failed;
};

/* The text that the case at `path` (as seen from the top folder) brings forth. */
typedef const char *golden_work(struct arena *arena, const char *path);

/* Prints each difference to standard error. A folder without cases has failed. */
struct golden_result golden_run(const char *folder, golden_work *work);

/* The cases of a folder, sorted; the count in *count. */
char **golden_cases(struct arena *arena, const char *folder, size_t *count);

/* A text with the edit of a hint made, as `read` gets it. */
struct golden_edit {
    const char *path, *bytes;
    size_t size;
};
/* True if the source with the fix of `diag` made says one thing less than its `errors` before, and
 * nothing worse. `read` works on a struct golden_edit in a context of its own. */
bool golden_fix_helps(struct arena *arena, const struct diag *diag, const struct source *source,
                      size_t errors, void (*read)(struct context *context, void *edit));

#endif
