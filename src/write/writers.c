/* writers.c - a format is one file in this folder and one line here. */
#include <gudgeon/write.h>

const struct writer writers[] = {
    {"pdf", write_pdf},
    {"xlsx", write_xlsx},
    {"csv", write_csv},
};
const size_t writer_count = sizeof writers / sizeof *writers;
