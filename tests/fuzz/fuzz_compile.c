/* Any bytes at all as a spec, through every stage to the bytes of the pack: no crash, no leak; a stage
 * that gives nothing has said why; what stands can be printed. The bytes stand for a file in specs/, so
 * that a seed may use the shop's files there. Nothing is written. */
#include <gudgeon/compile.h>

#include "fuzz_common.h"

static void print_plan(struct context *context, const struct plan *plan)
{
    struct str_buf out = {.arena = context->arena};
    struct json json;

    plan_print(plan, false, &out);
    plan_print(plan, true, &out);
    plan_print_dot(plan, &out);
    json_init(&json, context->arena, false);
    plan_dump(plan, &json);
    build_dump(plan->build, &json);
    for (size_t i = 0; i < plan->build->facts.count; i++)
        build_why(plan->build, plan->build->facts.items[i], &out);
    assert(str_utf8_valid(out.bytes, out.length) == out.length);
}

static void write_pack(struct context *context, const struct plan *plan)
{
    struct pack_options options = {.revision = "fuzz"};
    const struct pack *pack = pack_lay_out(context, plan, &options);
    const struct outputs *outputs = pack != NULL ? write_all(context, pack, "0") : NULL;

    assert((outputs != NULL) == (context->diags.errors == 0));
    for (size_t i = 0; outputs != NULL && i < outputs->count; i++)
        assert(outputs->items[i].size > 0);
}

static void compile_it(struct context *context, void *user)
{
    const struct input *input = user;
    struct compiled done = compile_bytes(context, "specs/fuzz.yaml", input->bytes, input->size);

    assert(done.plan != NULL || context->diags.errors > 0);
    if (done.plan != NULL) {
        print_plan(context, done.plan);
        if (context->diags.errors == 0)
            write_pack(context, done.plan);
    }
    check_diagnostics(context);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    run_job(compile_it, bytes, size);
    return 0;
}

#ifdef FUZZING
/* Specs are lines: bytes changed at random seldom leave one that reaches the later stages. Half of all
 * mutations take whole lines or what stands behind a key. */
size_t LLVMFuzzerMutate(uint8_t *bytes, size_t size, size_t most);
size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t size, size_t most, unsigned seed);

struct piece {
    size_t begin, end;
};

static unsigned next(unsigned *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 8;
}

static struct piece random_line(const uint8_t *bytes, size_t size, unsigned *seed)
{
    struct piece line;

    line.begin = line.end = next(seed) % size;
    while (line.begin > 0 && bytes[line.begin - 1] != '\n')
        line.begin--;
    while (line.end < size && bytes[line.end] != '\n')
        line.end++;
    if (line.end < size)
        line.end++;
    return line;
}

/* A word of the line: what stands between blanks, braces, colons and commas. */
static struct piece random_word(const uint8_t *bytes, size_t size, unsigned *seed)
{
    static const char ends[] = " \n{}[]:,";
    struct piece word;

    word.begin = word.end = next(seed) % size;
    while (word.begin > 0 && strchr(ends, bytes[word.begin - 1]) == NULL)
        word.begin--;
    while (word.end < size && (bytes[word.end] == 0 || strchr(ends, bytes[word.end]) == NULL))
        word.end++;
    return word;
}

/* `with` in the place of `old`; both lie in the bytes. */
static size_t replace(uint8_t *bytes, size_t size, size_t most, struct piece old, struct piece with)
{
    size_t length = with.end - with.begin, after = size - old.end;
    uint8_t copy[512];

    if (length > sizeof copy || old.begin + length + after > most)
        return size;
    memcpy(copy, bytes + with.begin, length);
    memmove(bytes + old.begin + length, bytes + old.end, after);
    memcpy(bytes + old.begin, copy, length);
    return old.begin + length + after;
}

size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t size, size_t most, unsigned seed)
{
    struct piece old, with = {0};
    unsigned how = next(&seed) % 8;

    if (size == 0 || how > 4)
        return LLVMFuzzerMutate(bytes, size, most);
    switch (how) {
    case 0: /* a line taken out */
        old = random_line(bytes, size, &seed);
        break;
    case 1: /* a line put in once more, elsewhere */
        with = random_line(bytes, size, &seed);
        old = random_line(bytes, size, &seed);
        old.end = old.begin;
        break;
    case 2: /* a word taken out */
        old = random_word(bytes, size, &seed);
        break;
    default: /* a word in the place of another */
        with = random_word(bytes, size, &seed);
        old = random_word(bytes, size, &seed);
        break;
    }
    return replace(bytes, size, most, old, with);
}
#endif
