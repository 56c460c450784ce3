/* manifest.c - printed from a pack, read back from an old one. The last entry is the SHA-256 of all
 * bytes before it, so that a manifest that somebody changed is not taken for ours. */
#include "manifest_private.h"

#include <hpdf_version.h>
#include <string.h>
#include <utf8proc.h>
#include <xlsxwriter/utility.h>

static void print_libraries(struct json *json)
{
    json_key(json, "libraries");
    json_object(json);
    json_put_string(json, "libharu", HPDF_VERSION_TEXT);
    json_put_string(json, "libxlsxwriter", lxw_version());
    json_put_string(json, "libyaml", GUDGEON_YAML_VERSION);
    json_put_string(json, "nettle", GUDGEON_NETTLE_VERSION);
    json_put_string(json, "utf8proc", utf8proc_version());
    json_object_end(json);
}

/* As seen from the spec's root folder, so that a manifest is the same wherever the tree lies. */
static const char *input_name(const struct pack *pack, const struct source *source, const char *real)
{
    const char *root = pack->plan->build->spec->tree->root_folder;

    if (source->stored) /* the root is the store's mark */
        return real + strlen(root);
    if (root != NULL && file_inside(root, real)) {
        const char *inside = real + strlen(root);
        return *inside == '/' ? inside + 1 : inside;
    }
    return file_base_name(real);
}

/* What was read, from the bytes in memory: the file may have changed since. */
static void print_inputs(struct context *context, const struct pack *pack, struct json *json)
{
    const char **seen = ARENA_ARRAY(context->arena, const char *, context->sources.count + 1);
    size_t seen_count = 0;

    json_key(json, "inputs");
    json_array(json);
    for (size_t i = 0; pack->plan != NULL && i < context->sources.count; i++) {
        const struct source *source = context->sources.items[i];
        const char *real = source->stored ? source->path : file_real(context->arena, source->path);
        bool again = real == NULL; /* what is built in has no file */
        for (size_t j = 0; j < seen_count && !again; j++)
            again = strcmp(seen[j], real) == 0;
        if (again)
            continue;
        seen[seen_count++] = real;
        json_object(json);
        json_put_string(json, "name", input_name(pack, source, real));
        json_put_int(json, "bytes", (int64_t)source->size);
        json_put_string(json, "sha256",
                        hash_sha256_hex(context->arena, source->bytes, source->size));
        json_object_end(json);
    }
    json_array_end(json);
}

static void print_cards(const struct pack *pack, struct json *json)
{
    json_key(json, "cards");
    json_array(json);
    for (size_t i = 0; i < pack->sections.count; i++) {
        const struct section *section = pack->sections.items[i];
        if (section->kind != SECTION_CARD || section->fingerprint == NULL)
            continue;
        json_object(json);
        json_put_string(json, "id", section->id);
        json_put_string(json, "title", section->title);
        json_put_string(json, "fingerprint", section->fingerprint);
        json_object_end(json);
    }
    json_array_end(json);
}

static void print_outputs(struct arena *arena, const struct outputs *outputs, struct json *json)
{
    json_key(json, "outputs");
    json_array(json);
    for (size_t i = 0; i < outputs->count; i++) {
        const struct output *output = &outputs->items[i];
        json_object(json);
        json_put_string(json, "name", output->name);
        json_put_int(json, "bytes", (int64_t)output->size);
        json_put_string(json, "sha256", hash_sha256_hex(arena, output->bytes, output->size));
        json_object_end(json);
    }
    json_array_end(json);
}

static const char seal_start[] = ",\n  \"sha256\": \"";

const char *manifest_print(struct context *context, const struct pack *pack,
                           const struct outputs *outputs, const char *version, size_t *size)
{
    struct json json;
    struct str_buf sealed = {.arena = context->arena};

    json_init(&json, context->arena, false);
    json_object(&json);
    json_put_string(&json, "gudgeon", version);
    print_libraries(&json);
    json_put_string(&json, "pack", pack->id);
    json_put_string(&json, "revision", pack->revision);
    print_inputs(context, pack, &json);
    print_cards(pack, &json);
    print_outputs(context->arena, outputs, &json);
    size_t body = json.out.length;
    json_object_end(&json);
    str_add_bytes(&sealed, json.out.bytes, body);
    const char *seal = hash_sha256_hex(context->arena, sealed.bytes, body);
    str_add_print(&sealed, "%s%s\"\n}\n", seal_start, seal);
    *size = sealed.length;
    return sealed.bytes;
}

/* ---------- reading ---------- */

/* The string that begins at the quote `*at`, which moves past it. */
static const char *take_string(struct arena *arena, const char **at)
{
    struct str_buf out = {.arena = arena};

    str_add(&out, "");
    for (++*at; **at != '"' && **at != '\0'; ++*at) {
        if (**at == '\\' && (*at)[1] != '\0')
            ++*at;
        str_add_bytes(&out, *at, 1);
    }
    if (**at == '"')
        ++*at;
    return out.bytes;
}

static bool is_sealed(struct arena *arena, const char *bytes, size_t size)
{
    const char *seal = NULL, *end = bytes + size;

    for (const char *at = bytes; (at = strstr(at, seal_start)) != NULL; at++)
        seal = at;
    if (seal == NULL || end - seal < (ptrdiff_t)(sizeof seal_start - 1 + 64))
        return false;
    const char *hash = hash_sha256_hex(arena, bytes, (size_t)(seal - bytes));
    return strncmp(seal + sizeof seal_start - 1, hash, 64) == 0;
}

/* Sealed, it is as manifest_print wrote it: keys and values in turn are all there is to know. */
struct manifest *manifest_read(struct arena *arena, const char *bytes, size_t size)
{
    struct manifest *manifest = ARENA_NEW(arena, struct manifest);
    const char *list = "", *key = "", *name = NULL;

    if (memchr(bytes, '\0', size) != NULL || !is_sealed(arena, bytes, size))
        return NULL;
    for (const char *at = bytes; (at = strchr(at, '"')) != NULL;) {
        const char *text = take_string(arena, &at);
        if (*at == ':') {
            key = text;
            if (at[1] != '\0' && at[2] == '[')
                list = text;
        } else if (strcmp(key, "name") == 0 || strcmp(key, "id") == 0) {
            name = text;
        } else if (name != NULL && strcmp(list, "outputs") == 0 && strcmp(key, "sha256") == 0) {
            *ARRAY_PUSH(arena, &manifest->outputs) = (struct listed){name, text};
            name = NULL;
        } else if (name != NULL && strcmp(list, "cards") == 0 && strcmp(key, "fingerprint") == 0) {
            *ARRAY_PUSH(arena, &manifest->cards) = (struct listed){name, text};
            name = NULL;
        }
    }
    return manifest;
}

static const char *find(const struct listed *items, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(items[i].name, name) == 0)
            return items[i].hash;
    return NULL;
}

const char *manifest_output(const struct manifest *manifest, const char *name)
{
    return manifest != NULL ? find(manifest->outputs.items, manifest->outputs.count, name) : NULL;
}

const char *manifest_card(const struct manifest *manifest, const char *id)
{
    return manifest != NULL ? find(manifest->cards.items, manifest->cards.count, id) : NULL;
}
