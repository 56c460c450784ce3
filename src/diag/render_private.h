/* render_private.h - one diagnostic in each of the three forms. */
#ifndef GUDGEON_RENDER_PRIVATE_H
#define GUDGEON_RENDER_PRIVATE_H

#include <gudgeon/diag.h>

extern const char *const severity_words[]; /* SARIF 2.1.0 section 3.27.10 uses the same words */

void render_text(const struct diag *diag, const struct sources *sources, bool colour,
                 struct str_buf *out);
/* One line. */
void render_json(const struct diag *diag, const struct sources *sources, struct str_buf *out);
/* A whole SARIF 2.1.0 document. */
void render_sarif(struct diag *const *items, size_t count, const struct sources *sources,
                  struct str_buf *out);

#endif
