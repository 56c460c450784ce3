/* prepare.c - what the facts ask for outside the build: stock taken as the engine comes in; the pieces
 * cleaned and inspected, work sent away, goods looked at as they come in. Each rests on a fact that a
 * spec may leave out, and then asks for nothing. */
#include "plan_private.h"

static struct operation *bench_op(struct writer *w, enum phase phase, enum verb verb,
                                  struct entry *entry, const char *at)
{
    struct operation *op = plan_new_op(w, phase, verb, entry, at);

    op->loose = true;
    return op;
}

/* Still of this engine once it is apart. */
static bool is_kept(const struct part *part)
{
    return part->state == STATE_REUSE || part->state == STATE_REWORK ||
           part->state == STATE_UNKNOWN || part->state == STATE_STAYS;
}

/* ---------- intake ---------- */

/* What a unit carries is looked for with the unit, unless it has a number or hours of its own or is
 * known to be missing. */
static bool is_taken_in(const struct maker *maker, const struct part *part)
{
    bool own = part->serial.text || part->hours.present || part->state == STATE_MISSING;

    if ((!part->host && part != maker->spec->first) || part->until.count || part->assembly.value)
        return false;
    return own || (part->number.text && !plan_info(part)->carrier);
}

void plan_take_stock(struct writer *w)
{
    for (size_t i = 0; i < w->maker->spec->parts.count; i++) {
        struct part *part = w->maker->spec->parts.items[i];
        if (is_taken_in(w->maker, part))
            bench_op(w, PHASE_INTAKE, VERB_TAKE_STOCK, &part->e, NULL);
    }
}

/* ---------- clean ---------- */

static void must_be_clean(const struct refs *parts)
{
    for (size_t i = 0; i < parts->to_count; i++)
        if (plan_as_part(parts->to[i]))
            plan_info(parts->to[i])->washed = true;
}

/* Drillings, faces that get a new gasket or sealant, and what its plugs came out of. */
static void note_what_is_washed(const struct spec *spec)
{
    for (size_t i = 0; i < spec->passages.count; i++)
        must_be_clean(&spec->passages.items[i]->path);
    for (size_t i = 0; i < spec->seals.count; i++)
        if (plan_seal_lays(spec->seals.items[i]))
            must_be_clean(&spec->seals.items[i]->between);
    for (size_t i = 0; i < spec->parts.count; i++)
        if (spec->parts.items[i]->out_for.text && spec->parts.items[i]->host)
            plan_info(spec->parts.items[i]->host)->washed = true;
}

static void clean(struct writer *w)
{
    const struct spec *spec = w->maker->spec;

    note_what_is_washed(spec);
    for (size_t i = 0; i < spec->parts.count; i++) {
        struct part *part = spec->parts.items[i];
        bool placed = part->host || part == spec->first;
        if (placed && is_kept(part) && !part->assembly.value &&
            (part->inspect.count || plan_info(part)->washed))
            bench_op(w, PHASE_CLEAN, VERB_CLEAN, &part->e, NULL);
    }
}

/* ---------- inspect, by kind ---------- */

/* What costs least and scraps most comes first: looking, then crack tests, then the rest, and measuring
 * last; common practice, no source. */
enum { KIND_RANKS = 5 };
static size_t kind_rank(const char *kind)
{
    static const char *const first[] = {"visual", "dye", "magnetic"};

    for (size_t i = 0; i < sizeof first / sizeof *first; i++)
        if (str_equal(kind, first[i]))
            return i;
    return str_equal(kind, "dimensional") ? KIND_RANKS - 1 : KIND_RANKS - 2;
}

/* A kind in words of one's own is one word in an id. */
static const char *kind_id(struct arena *arena, const char *kind)
{
    char *id = str_copy(arena, kind);

    for (char *at = id; *at; at++)
        *at = *at == ' ' ? '-' : *at;
    return id;
}

static bool said_before(const struct part *part, size_t k)
{
    for (size_t i = 0; i < k; i++)
        if (str_equal(part->inspect.items[i].text, part->inspect.items[k].text))
            return true;
    return false;
}

static void inspect_by(struct writer *w, size_t rank)
{
    for (size_t i = 0; i < w->maker->spec->parts.count; i++) {
        struct part *part = w->maker->spec->parts.items[i];
        for (size_t k = 0; is_kept(part) && k < part->inspect.count; k++) {
            const char *kind = part->inspect.items[k].text;
            if (kind_rank(kind) == rank && !said_before(part, k))
                bench_op(w, PHASE_INSPECT, VERB_INSPECT, &part->e,
                         kind_id(w->maker->arena, kind))->kind = kind;
        }
    }
}

/* ---------- outwork, goods in ---------- */

static void outwork(struct writer *w)
{
    for (size_t i = 0; i < w->maker->spec->outwork.count; i++) {
        struct outwork *job = w->maker->spec->outwork.items[i];
        bench_op(w, PHASE_OUTWORK, VERB_SEND, &job->e, NULL);
        bench_op(w, PHASE_OUTWORK, VERB_MEASURE_RETURN, &job->e, NULL);
        if (job->e.witness.text)
            bench_op(w, PHASE_OUTWORK, VERB_WITNESS, &job->e, NULL);
    }
}

static void accept_goods(struct writer *w, const struct purchase *bought)
{
    for (size_t k = 0; bought->acceptance && k < bought->part_count; k++)
        bench_op(w, PHASE_GOODS_IN, VERB_INSPECT, &bought->parts[k]->e, "goods-in");
}

/* Of a gasket that is cut here the sheet comes, as thick as the gasket is to be. */
static void goods_in(struct writer *w)
{
    const struct build *build = w->maker->build;

    for (size_t i = 0; i < build->purchases.count; i++)
        accept_goods(w, &build->purchases.items[i]);
    for (size_t i = 0; i < build->gaskets.count; i++)
        accept_goods(w, &build->gaskets.items[i].line);
}

void plan_prepare(struct writer *w)
{
    clean(w);
    for (size_t rank = 0; rank < KIND_RANKS; rank++)
        inspect_by(w, rank);
    outwork(w);
    goods_in(w);
}
