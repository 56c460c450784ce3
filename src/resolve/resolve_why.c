/* resolve_why.c - the chain of a fact in words, and the build as JSON. */
#include "resolve_private.h"

/* A chain is as deep as the rules of this stage stack up, which is less; the bound is for the
 * reader. */
enum { WHY_DEPTH = 12 };

static const char *level_words(int level)
{
    static const char *const words[] = {"", "this engine's own figure",
                                        "the maker's general figure", "a published standard",
                                        "common practice"};

    return level > 0 && level < (int)(sizeof words / sizeof *words) ? words[level] : "";
}

static const char *origin_words(const struct fact *fact)
{
    static const char *const words[] = {"given", "looked up", "computed", "a default"};

    return fact->derived ? "derived" : words[fact->origin];
}

const char *build_fact_words(struct arena *arena, const struct build *build,
                             const struct fact *fact)
{
    if (fact->phrase != NULL)
        return build_words(arena, build, fact->phrase);
    if (fact->words != NULL)
        return str_copy(arena, fact->words);
    if (fact->value.kind == QTY_ABSENT || fact->value.kind == QTY_UNKNOWN)
        return str_copy(arena, "unknown");
    if (fact->value.low.dim == QTY_COUNT)
        return str_print(arena, "%lld", (long long)fact->value.low.exact);
    return qty_print_both(arena, &fact->value, NULL);
}

static void add_line(struct str_buf *out, int depth, const char *format, ...) STR_PRINTF(3, 4);
static void add_line(struct str_buf *out, int depth, const char *format, ...)
{
    va_list arguments;

    for (int i = 0; i < depth; i++)
        str_add(out, "  ");
    va_start(arguments, format);
    str_add(out, str_vprint(out->arena, format, arguments));
    va_end(arguments);
    str_add(out, "\n");
}

static void add_fact(const struct build *build, const struct fact *fact, struct str_buf *out,
                     int depth)
{
    const char *level =
        fact->origin == FACT_COMPUTED && !fact->derived ? "" : level_words(fact->level);

    add_line(out, depth, "%s = %s", fact->id, build_fact_words(out->arena, build, fact));
    const char *source = build_words(out->arena, build, build_source(out->arena, fact));
    add_line(out, depth + 1, "%s%s%s%s%s", origin_words(fact), *level != '\0' ? ", " : "", level,
             source != NULL ? ": " : "", source != NULL ? source : "");
    if (fact->formula != NULL)
        add_line(out, depth + 1, "%s", fact->formula);
    if (fact->measured && fact->uncertainty > 0)
        add_line(out, depth + 1, "measured, good to %s",
                 qty_print_plain(out->arena, range_qty_si(fact->uncertainty, fact->value.low.dim,
                                                          fact->value.low.unit)));
    if (fact->note != NULL)
        add_line(out, depth + 1, "%s", fact->note);
    for (size_t i = 0; i < fact->input_count && depth < WHY_DEPTH; i++)
        add_fact(build, fact->inputs[i].fact, out, depth + 1);
}

void build_why(const struct build *build, const struct fact *fact, struct str_buf *out)
{
    add_fact(build, fact, out, 0);
}

/* ---------- JSON ---------- */

static void put_number(struct json *json, const char *key, const struct qty *qty)
{
    json_key(json, key);
    if (qty->dim == QTY_LENGTH)
        json_number_text(json, qty_exact_mm(json->out.arena, qty->exact)); /* mm, exact */
    else if (qty->dim == QTY_MONEY || qty->dim == QTY_COUNT)
        json_int(json, qty->exact);
    else if (isfinite(qty->si))
        json_double(json, qty->si);
    else
        json_null(json);
}

static void put_value(struct json *json, const struct build *build, const struct fact *fact)
{
    struct range range = range_of_fact(fact);

    if (fact->words != NULL || fact->phrase != NULL)
        json_put_string(json, "words", build_fact_words(json->out.arena, build, fact));
    if (!range.low_set && !range.high_set)
        return;
    const struct qty *some = range.low_set ? &range.low : &range.high;
    json_put_string(json, "dimension", qty_dim_name(some->dim));
    json_put_string(json, "unit",
                    some->dim == QTY_LENGTH  ? "mm"
                    : some->dim == QTY_MONEY ? some->currency
                                             : "SI");
    json_put_string(json, "printed", build_fact_words(json->out.arena, build, fact));
    if (range.low_set)
        put_number(json, "low", &range.low);
    if (range.high_set)
        put_number(json, "high", &range.high);
    if (fact->uncertainty > 0)
        json_put_double(json, "uncertainty", fact->uncertainty);
}

/* By which a program can work the value out again from the inputs. */
static void put_rule(struct json *json, const struct fact *fact)
{
    if (fact->rule != NULL)
        json_put_string(json, "rule", fact->rule);
    if (fact->numbers.count == 0)
        return;
    json_key(json, "numbers");
    json_object(json);
    for (size_t i = 0; i < fact->numbers.count; i++)
        json_put_double(json, fact->numbers.items[i].name, fact->numbers.items[i].si);
    json_object_end(json);
}

static void put_words(struct json *json, const char *key, const struct build *build,
                      const struct phrase *phrase)
{
    if (phrase != NULL)
        json_put_string(json, key, build_words(json->out.arena, build, phrase));
}

/* All of a fact but its inputs, inside an object that the caller opens and ends. */
static void put_fact(struct json *json, const struct build *build, const struct fact *fact)
{
    static const char *const origins[] = {"given", "table", "computed", "defaulted"};
    static const char *const levels[] = {NULL, "engine", "maker", "standard", "practice"};

    json_put_string(json, "id", fact->id);
    put_value(json, build, fact);
    json_put_string(json, "origin", origins[fact->origin]);
    if (fact->level > 0 && fact->level < 5)
        json_put_string(json, "level", levels[fact->level]);
    if (fact->derived)
        json_put_bool(json, "derived", true);
    if (fact->measured)
        json_put_bool(json, "measured", true);
    put_words(json, "source", build, build_source(json->out.arena, fact));
    if (fact->formula != NULL)
        json_put_string(json, "formula", fact->formula);
    put_rule(json, fact);
    if (fact->note != NULL)
        json_put_string(json, "note", fact->note);
}

static void why_json(const struct build *build, const struct fact_input *input, struct json *json,
                     int depth)
{
    const struct fact *fact = input->fact;

    json_object(json);
    if (input->as != NULL)
        json_put_string(json, "as", input->as);
    put_fact(json, build, fact);
    json_key(json, "inputs");
    json_array(json);
    for (size_t i = 0; i < fact->input_count && depth < WHY_DEPTH; i++)
        why_json(build, &fact->inputs[i], json, depth + 1);
    json_array_end(json);
    json_object_end(json);
}

void build_why_json(const struct build *build, const struct fact *fact, struct json *json)
{
    why_json(build, &(struct fact_input){.fact = (struct fact *)fact}, json, 0);
}

static void dump_fact(struct json *json, const struct build *build, const struct fact *fact)
{
    json_object(json);
    put_fact(json, build, fact);
    if (fact->input_count > 0) {
        json_key(json, "inputs");
        json_array(json);
        for (size_t i = 0; i < fact->input_count; i++)
            json_string(json, fact->inputs[i].fact->id);
        json_array_end(json);
    }
    json_object_end(json);
}

static void put_fact_id(struct json *json, const char *key, const struct fact *fact)
{
    if (fact != NULL)
        json_put_string(json, key, fact->id);
}

static void dump_picks(struct json *json, const struct build *build,
                       const struct pick_result *picks, size_t count)
{
    if (count == 0)
        return;
    json_key(json, "picks");
    json_array(json);
    for (size_t i = 0; i < count; i++) {
        json_object(json);
        json_put_string(json, "part", picks[i].part->e.member);
        json_put_bool(json, "made", picks[i].made);
        if (picks[i].open)
            put_words(json, "open", build, picks[i].why_open);
        else
            put_words(json, "choice", build, picks[i].best.words);
        if (picks[i].other_count > 0) {
            json_key(json, "others");
            json_array(json);
            for (size_t k = 0; k < picks[i].other_count; k++)
                json_string(json,
                            build_words(json->out.arena, build, picks[i].others[k].words));
            json_array_end(json);
        }
        json_object_end(json);
    }
    json_array_end(json);
}

static void put_verdict(struct json *json, const struct build *build, enum verdict verdict,
                        const struct phrase *judged)
{
    if (verdict == VERDICT_NONE)
        return;
    json_put_string(json, "verdict", verdict_word(verdict));
    put_words(json, "verdict-text", build, judged);
}

static void dump_joint(struct json *json, const struct build *build,
                       const struct joint_values *values)
{
    json_object(json);
    json_put_string(json, "joint", values->joint->e.member);
    put_fact_id(json, "torque", values->torque);
    put_fact_id(json, "stretch", values->stretch);
    put_fact_id(json, "nip", values->nip);
    put_fact_id(json, "drag", values->drag);
    put_fact_id(json, "target", values->target);
    put_fact_id(json, "ceiling", values->ceiling);
    if (values->weakest != NULL)
        json_put_string(json, "weakest", values->weakest);
    if (values->wrench != NULL)
        json_put_string(json, "wrench", values->wrench->id);
    if (values->setting_text != NULL)
        json_put_string(json, "setting", values->setting_text);
    if (values->setting_other_text != NULL)
        json_put_string(json, "setting-other", values->setting_other_text);
    if (values->pull_count > 0) {
        json_key(json, "pulls");
        json_array(json);
        for (size_t i = 0; i < values->pull_count; i++)
            json_string(json, values->pulls[i]);
        json_array_end(json);
    }
    put_words(json, "spanner", build, values->spanner);
    put_words(json, "condition", build, values->condition);
    json_object_end(json);
}

static void dump_checks(struct json *json, const struct build *build)
{
    json_key(json, "sizes");
    json_array(json);
    for (size_t i = 0; i < build->sizes.count; i++) {
        const struct size_values *values = &build->sizes.items[i];
        json_object(json);
        json_put_string(json, "size", values->size->id);
        put_fact_id(json, "want", values->want);
        put_fact_id(json, "worn", values->worn);
        put_fact_id(json, "found", values->found);
        put_verdict(json, build, values->verdict, values->judged);
        json_object_end(json);
    }
    json_array_end(json);
    json_key(json, "fits");
    json_array(json);
    for (size_t i = 0; i < build->fits.count; i++) {
        const struct fit_values *values = &build->fits.items[i];
        json_object(json);
        json_put_string(json, "fit", values->fit->e.member);
        if (values->kind != NULL)
            json_put_string(json, "kind", values->kind);
        put_fact_id(json, "want", values->want);
        put_fact_id(json, "clearance", values->clearance);
        put_fact_id(json, "hot", values->hot);
        put_fact_id(json, "heat-to", values->heat_to);
        put_verdict(json, build, values->verdict, values->judged);
        dump_picks(json, build, values->picks, values->pick_count);
        json_object_end(json);
    }
    json_array_end(json);
    json_key(json, "limits");
    json_array(json);
    for (size_t i = 0; i < build->limits.count; i++) {
        const struct limit_values *values = &build->limits.items[i];
        json_object(json);
        json_put_string(json, "limit", values->limit->e.member);
        put_fact_id(json, "want", values->want);
        put_fact_id(json, "worn", values->worn);
        put_fact_id(json, "found", values->found);
        put_verdict(json, build, values->verdict, values->judged);
        dump_picks(json, build, values->picks, values->pick_count);
        json_object_end(json);
    }
    json_array_end(json);
}

static void dump_settings(struct json *json, const struct build *build)
{
    json_key(json, "settings");
    json_array(json);
    for (size_t i = 0; i < build->settings.count; i++) {
        const struct setting_values *values = &build->settings.items[i];
        json_object(json);
        json_put_string(json, "setting", values->setting->e.member);
        put_fact_id(json, "at", values->at);
        put_fact_id(json, "at-other", values->at_other);
        put_fact_id(json, "want", values->want);
        if (values->turns > 0)
            json_put_int(json, "turns", values->turns);
        put_fact_id(json, "found", values->found);
        put_verdict(json, build, values->verdict, values->judged);
        json_object_end(json);
    }
    json_array_end(json);
    json_key(json, "bearings");
    json_array(json);
    for (size_t i = 0; i < build->bearings.count; i++) {
        json_object(json);
        json_put_string(json, "part", build->bearings.items[i].part->e.member);
        put_words(json, "order", build, build->bearings.items[i].order);
        json_object_end(json);
    }
    json_array_end(json);
}

static void dump_purchase(struct json *json, const struct build *build,
                          const struct purchase *line)
{
    json_object(json);
    json_put_string(json, "line", line->line);
    json_put_string(json, "what", line->what);
    if (line->number != NULL)
        json_put_string(json, "number", line->number);
    put_words(json, "text", build, line->text);
    if (line->supplier != NULL)
        json_put_string(json, "supplier", line->supplier->id);
    if (line->consumable != NULL)
        json_put_string(json, "consumable", line->consumable->id);
    json_put_int(json, "fitted", line->fitted);
    json_put_int(json, "spare", line->spare);
    json_put_int(json, "trial", line->trial);
    json_put_int(json, "again", line->again);
    json_put_int(json, "needed", line->needed);
    json_put_int(json, "pack", line->pack);
    json_put_int(json, "packs", line->packs);
    json_put_int(json, "pieces", line->pieces);
    if (line->line_minor >= 0) {
        json_put_int(json, "cost-minor", line->line_minor);
        json_put_string(json, "currency", line->currency);
    }
    put_words(json, "acceptance", build, line->acceptance);
    put_words(json, "look-alikes", build, line->look_alikes);
    put_words(json, "why", build, line->why);
    json_object_end(json);
}

static void dump_offers(struct json *json, const struct build *build)
{
    static const char *const verdicts[] = {"taken", "fits", "open", "refused"};

    json_key(json, "offers");
    json_array(json);
    for (size_t i = 0; i < build->offers.count; i++) {
        const struct offer_values *values = &build->offers.items[i];
        json_object(json);
        json_put_string(json, "line", values->line->line);
        json_put_string(json, "supplier", values->offer->supplier->id);
        if (values->offer->price.present)
            json_put_int(json, "price-minor", values->offer->price.value.nominal.exact);
        json_put_string(json, "verdict", verdicts[values->verdict]);
        put_words(json, "judged", build, values->judged);
        json_object_end(json);
    }
    json_array_end(json);
}

void build_dump(const struct build *build, struct json *json)
{
    json_object(json);
    json_key(json, "facts");
    json_array(json);
    for (size_t i = 0; i < build->facts.count; i++)
        dump_fact(json, build, build->facts.items[i]);
    json_array_end(json);
    json_key(json, "joints");
    json_array(json);
    for (size_t i = 0; i < build->joints.count; i++)
        dump_joint(json, build, &build->joints.items[i]);
    json_array_end(json);
    dump_checks(json, build);
    dump_settings(json, build);
    json_key(json, "purchases");
    json_array(json);
    for (size_t i = 0; i < build->purchases.count; i++)
        dump_purchase(json, build, &build->purchases.items[i]);
    json_array_end(json);
    if (build->offers.count)
        dump_offers(json, build);
    json_key(json, "questions");
    json_array(json);
    for (size_t i = 0; i < build->questions.count; i++) {
        json_object(json);
        if (build->questions.items[i].entry != NULL)
            json_put_string(json, "entry", build->questions.items[i].entry->member);
        if (build->questions.items[i].about != NULL)
            json_put_string(json, "about", build->questions.items[i].about);
        put_words(json, "asks", build, build->questions.items[i].asks);
        put_words(json, "settles", build, build->questions.items[i].settles);
        json_object_end(json);
    }
    json_array_end(json);
    json_put_int(json, "cost-minor", build->cost_minor);
    json_put_int(json, "unpriced", (int64_t)build->unpriced);
    json_object_end(json);
}
