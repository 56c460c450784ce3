/* dump.c - build.json: the spec as read, every fact, the order, and what was accepted. */
#include <gudgeon/dump.h>

static void dump_accepted(const struct spec *spec, struct json *json)
{
    json_array(json);
    for (size_t i = 0; i < spec->entries.count; i++) {
        const struct entry *entry = spec->entries.items[i];
        for (size_t j = 0; j < entry->accept.count; j++) {
            json_object(json);
            json_put_string(json, "entry", entry->member);
            json_put_string(json, "code", entry->accept.items[j].code);
            json_put_string(json, "reason", entry->accept.items[j].reason);
            json_object_end(json);
        }
    }
    json_array_end(json);
}

void dump_build(struct context *context, const struct plan *plan, struct json *json)
{
    (void)context;
    json_object(json);
    json_put_int(json, "gudgeon", 1);
    json_put_string(json, "engine", plan->build->spec->engine.name.text);
    json_put_string(json, "serial", plan->build->spec->engine.serial.text);
    json_key(json, "spec");
    spec_dump(plan->build->spec, json);
    json_key(json, "build");
    build_dump(plan->build, json);
    json_key(json, "plan");
    plan_dump(plan, json);
    json_key(json, "accepted");
    dump_accepted(plan->build->spec, json);
    json_object_end(json);
}
