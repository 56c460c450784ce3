/* table_word.c - names as people write them: spellings, nearest names, enumerated words. */
#include "table_private.h"

#include <string.h>

static char folded(char c)
{
    if (c >= 'A' && c <= 'Z')
        return (char)(c - 'A' + 'a');
    return c == '_' || c == ' ' ? '-' : c;
}

static bool folded_equal(const char *a, const char *b, size_t b_length)
{
    for (size_t i = 0; i < b_length; i++)
        if (a[i] == '\0' || folded(a[i]) != folded(b[i]))
            return false;
    return a[b_length] == '\0';
}

bool table_word_is(const char *word, const char *name, const char *spellings)
{
    if (word[0] == '\0')
        return false;
    if (folded_equal(word, name, strlen(name)))
        return true;
    for (const char *at = spellings; *at != '\0';) {
        size_t length = strcspn(at, "|");
        if (length > 0 && folded_equal(word, at, length))
            return true;
        at += length + (at[length] == '|');
    }
    return false;
}

void table_near_add(struct table_near *near, const char *name)
{
    for (size_t i = 0; i < near->count; i++)
        if (str_equal(near->names[i], name))
            return;
    if (near->count < TABLE_NEAR)
        near->names[near->count++] = name;
}

const struct table_word *table_word_find(const struct table_set *set, const char *kind,
                                         const char *word, struct table_near *near)
{
    struct table_walk walk = table_walk_over(set, KIND_WORD);
    const struct table_word *row;
    while ((row = table_walk_next(&walk)) != NULL) {
        if (str_equal(row->kind, kind) && table_word_is(word, row->name, row->spellings))
            return row;
    }
    if (near == NULL)
        return NULL;
    walk = table_walk_over(set, KIND_WORD);
    while ((row = table_walk_next(&walk)) != NULL)
        if (str_equal(row->kind, kind) && str_nearest(word, &row->name, 1) != NULL)
            table_near_add(near, row->name);
    return NULL;
}
