/* font.c - which letters the shipped fonts have (src/write/fonts, read by the build). */
#include <gudgeon/pack.h>

#include "font_coverage.h"

bool pack_font_has(uint32_t code_point)
{
    size_t low = 0, high = sizeof font_coverage / sizeof *font_coverage;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (code_point > font_coverage[middle].last)
            low = middle + 1;
        else if (code_point < font_coverage[middle].first)
            high = middle;
        else
            return true;
    }
    return false;
}
