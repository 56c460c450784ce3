/* render_json.c - diagnostics for programs: a JSON object a line, or one SARIF 2.1.0 document
 * (OASIS Standard, 27 March 2020). */
#include "render_private.h"

#include <string.h>

static void put_place(struct json *json, const struct sources *sources, struct span span)
{
    const struct source *source = source_of(sources, span);

    if (source == NULL)
        return;
    struct source_place begin = source_place(source, span.begin);
    struct source_place end = source_place(source, span.end);
    json_put_string(json, "file", source->path);
    json_put_int(json, "line", begin.line);
    json_put_int(json, "column", begin.column);
    json_put_int(json, "end_line", end.line);
    json_put_int(json, "end_column", end.column);
    if (source->separator != '\0')
        json_put_string(json, "cell", source_cell(json->out.arena, source, span.begin));
    json_put_int(json, "begin", span.begin);
    json_put_int(json, "end", span.end);
}

void render_json(const struct diag *diag, const struct sources *sources, struct str_buf *out)
{
    struct json json;

    json_init(&json, out->arena, true);
    json_object(&json);
    json_put_string(&json, "code", diag_infos[diag->code].printed);
    json_put_string(&json, "severity", severity_words[diag->severity]);
    put_place(&json, sources, diag->span);
    json_put_string(&json, "message", diag->message);
    json_key(&json, "labels");
    json_array(&json);
    for (size_t i = 0; i < diag->labels.count; i++) {
        json_object(&json);
        put_place(&json, sources, diag->labels.items[i].span);
        json_put_string(&json, "text", diag->labels.items[i].text);
        json_object_end(&json);
    }
    json_array_end(&json);
    if (diag->hint != NULL)
        json_put_string(&json, "hint", diag->hint);
    if (diag->fix_text != NULL) {
        json_key(&json, "fix");
        json_object(&json);
        put_place(&json, sources, diag->fix);
        json_put_string(&json, "text", diag->fix_text);
        json_object_end(&json);
    }
    json_object_end(&json);
    str_add(out, json.out.bytes);
    str_add(out, "\n");
}

/* RFC 3986: what is not unreserved or a slash is percent-encoded; a path from / is a file URI. */
static void put_uri(struct json *json, const char *path)
{
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
                                "0123456789-._~/";
    struct str_buf uri = {.arena = json->out.arena};

    str_add(&uri, path[0] == '/' ? "file://" : "");
    for (; *path != '\0'; path++) {
        if (strchr(plain, *path) != NULL)
            str_add_bytes(&uri, path, 1);
        else
            str_add_print(&uri, "%%%02x", (unsigned)(unsigned char)*path);
    }
    json_put_string(json, "uri", uri.bytes);
}

static void put_artifact(struct json *json, const struct source *source)
{
    json_key(json, "artifactLocation");
    json_object(json);
    put_uri(json, source->path);
    json_object_end(json);
}

static void put_region(struct json *json, const char *key, const struct source *source,
                       struct span span)
{
    struct source_place begin = source_place(source, span.begin);
    struct source_place end = source_place(source, span.end);

    json_key(json, key);
    json_object(json);
    json_put_int(json, "startLine", begin.line);
    json_put_int(json, "startColumn", begin.column);
    json_put_int(json, "endLine", end.line);
    json_put_int(json, "endColumn", end.column);
    json_object_end(json);
}

static void put_message(struct json *json, const char *text, const char *hint)
{
    json_key(json, "message");
    json_object(json);
    json_put_string(json, "text",
                    hint == NULL ? text
                                 : str_print(json->out.arena, "%s\nhint: %s", text, hint));
    json_object_end(json);
}

static void put_location(struct json *json, const struct sources *sources, struct span span,
                         const char *text)
{
    const struct source *source = source_of(sources, span);

    json_object(json);
    if (source != NULL) {
        json_key(json, "physicalLocation");
        json_object(json);
        put_artifact(json, source);
        put_region(json, "region", source, span);
        json_object_end(json);
    }
    if (text != NULL)
        put_message(json, text, NULL);
    json_object_end(json);
}

static void put_fix(struct json *json, const struct source *source, const struct diag *diag)
{
    json_key(json, "fixes");
    json_array(json);
    json_object(json);
    json_key(json, "artifactChanges");
    json_array(json);
    json_object(json);
    put_artifact(json, source);
    json_key(json, "replacements");
    json_array(json);
    json_object(json);
    put_region(json, "deletedRegion", source, diag->fix);
    json_key(json, "insertedContent");
    json_object(json);
    json_put_string(json, "text", diag->fix_text);
    json_object_end(json);
    json_object_end(json);
    json_array_end(json);
    json_object_end(json);
    json_array_end(json);
    json_object_end(json);
    json_array_end(json);
}

static void put_result(struct json *json, const struct sources *sources, const struct diag *diag)
{
    json_object(json);
    json_put_string(json, "ruleId", diag_infos[diag->code].printed);
    json_put_string(json, "level", severity_words[diag->severity]);
    put_message(json, diag->message, diag->hint);
    json_key(json, "locations");
    json_array(json);
    if (source_of(sources, diag->span) != NULL)
        put_location(json, sources, diag->span, NULL);
    json_array_end(json);
    json_key(json, "relatedLocations");
    json_array(json);
    for (size_t i = 0; i < diag->labels.count; i++)
        put_location(json, sources, diag->labels.items[i].span, diag->labels.items[i].text);
    json_array_end(json);
    const struct source *fixed = source_of(sources, diag->fix);
    if (diag->fix_text != NULL && fixed != NULL)
        put_fix(json, fixed, diag);
    json_object_end(json);
}

/* The rules are the codes that occur, in the order of the list. */
static void put_rules(struct json *json, struct diag *const *items, size_t count)
{
    bool *used = ARENA_ARRAY(json->out.arena, bool, DIAG_CODE_COUNT);

    for (size_t i = 0; i < count; i++)
        used[items[i]->code] = true;
    json_key(json, "rules");
    json_array(json);
    for (size_t code = 0; code < DIAG_CODE_COUNT; code++) {
        if (!used[code])
            continue;
        json_object(json);
        json_put_string(json, "id", diag_infos[code].printed);
        json_key(json, "fullDescription");
        json_object(json);
        json_put_string(json, "text", diag_infos[code].paragraph);
        json_object_end(json);
        json_object_end(json);
    }
    json_array_end(json);
}

void render_sarif(struct diag *const *items, size_t count, const struct sources *sources,
                  struct str_buf *out)
{
    struct json json;

    json_init(&json, out->arena, false);
    json_object(&json);
    json_put_string(&json, "version", "2.1.0");
    json_key(&json, "runs");
    json_array(&json);
    json_object(&json);
    json_key(&json, "tool");
    json_object(&json);
    json_key(&json, "driver");
    json_object(&json);
    json_put_string(&json, "name", "gudgeon");
    put_rules(&json, items, count);
    json_object_end(&json);
    json_object_end(&json);
    json_put_string(&json, "columnKind", "unicodeCodePoints");
    json_key(&json, "results");
    json_array(&json);
    for (size_t i = 0; i < count; i++)
        put_result(&json, sources, items[i]);
    json_array_end(&json);
    json_object_end(&json);
    json_array_end(&json);
    json_object_end(&json);
    str_add(out, json.out.bytes);
    str_add(out, "\n");
}
