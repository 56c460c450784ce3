/* writers.c - a format is one file in this folder and one line here. */
#include <gudgeon/dump.h>
#include <gudgeon/write.h>

#include "manifest_private.h"

#include <string.h>

const struct writer writers[] = {
    {"pdf", write_pdf},
    {"xlsx", write_xlsx},
    {"csv", write_csv},
    {"tags", write_tags},
    {"gaskets", write_gaskets},
    {"dxf", write_dxf},
    {"svg", write_svg},
};
const size_t writer_count = sizeof writers / sizeof *writers;

static void add_build(struct context *context, const struct pack *pack, struct outputs *outputs)
{
    struct json json;

    json_init(&json, context->arena, false);
    dump_build(context, pack->plan, &json);
    str_add(&json.out, "\n");
    *ARRAY_PUSH(context->arena, outputs) =
        (struct output){"build.json", json.out.bytes, json.out.length};
}

const char *write_name(struct arena *arena, const struct pack *pack, const char *usual,
                       const char *ending)
{
    return str_print(arena, "%s.%s", pack->file ? pack->file : usual, ending);
}

static void add_json(struct context *context, const struct pack *pack, struct outputs *outputs)
{
    *ARRAY_PUSH(context->arena, outputs) =
        (struct output){write_name(context->arena, pack, pack->id, "json"), pack->json,
                        strlen(pack->json)};
}

struct outputs *write_all(struct context *context, const struct pack *pack, const char *version)
{
    if (pack == NULL)
        return NULL;

    struct outputs *outputs = ARENA_NEW(context->arena, struct outputs);
    struct output manifest = {.name = MANIFEST_NAME};
    bool good = true;

    for (size_t i = 0; i < writer_count && good; i++) /* what one lacks, all lack: told once */
        good = writers[i].write(context, pack, outputs);
    if (!good)
        return NULL;
    if (pack->plan != NULL)
        add_build(context, pack, outputs);
    if (pack->json != NULL)
        add_json(context, pack, outputs);
    manifest.bytes = manifest_print(context, pack, outputs, version, &manifest.size);
    *ARRAY_PUSH(context->arena, outputs) = manifest; /* last, as write_into asks */
    return outputs;
}
