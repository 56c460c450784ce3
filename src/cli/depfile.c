/* depfile.c - what was read, as a rule for make and ninja. */
#include "cli.h"

#include <gudgeon/file.h>

#include <string.h>

/* As GNU make reads a name in a rule, and ninja does too. */
static void add_name(struct str_buf *rule, const char *name)
{
    for (const char *at = name; *at; at++) {
        if (*at == ' ' || *at == '#' || *at == ':')
            str_add(rule, "\\");
        if (*at == '$')
            str_add(rule, "$");
        str_add_bytes(rule, at, 1);
    }
}

/* As it is best known to other rules, "shop.yaml" rather than "register/../shop.yaml"; NULL where it is no
 * file of the disk: what is built in, or lies in a revision. */
static const char *name_of(struct arena *arena, const struct source *source)
{
    const char *real = source->stored ? NULL : file_real(arena, source->path);
    const char *tidy = real ? file_tidy(arena, source->path) : NULL;

    return tidy && str_equal(file_real(arena, tidy), real) ? tidy : real ? source->path : NULL;
}

enum cli_status cli_write_depfile(struct context *context, const char *path, const char *folder)
{
    struct str_buf rule = {.arena = context->arena}, empty = {.arena = context->arena};

    add_name(&rule, str_print(context->arena, "%s/manifest.json", folder));
    str_add(&rule, ":");
    for (size_t i = 0; i < context->sources.count; i++) {
        const char *name = name_of(context->arena, context->sources.items[i]);
        if (!name)
            continue;
        str_add(&rule, " \\\n  ");
        add_name(&rule, name);
        if (strchr(name, '%'))
            continue; /* as a target it would be a pattern */
        add_name(&empty, name); /* so that a file that is gone stops nothing before the rule is run */
        str_add(&empty, ":\n");
    }
    str_add_print(&rule, "\n%s", empty.length ? empty.bytes : "");
    const char *why = file_write(context->arena, path, rule.bytes, rule.length);
    if (why) {
        fprintf(stderr, "gudgeon: %s: %s\n", path, why);
        return CLI_OUTSIDE;
    }
    return CLI_DONE;
}
