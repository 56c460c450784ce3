/* values.c - facts and verdicts that are others than before, and why: down the chain of each to what
 * changed first. */
#include "compare_private.h"

/* ---------- whether two facts say the same ---------- */

static bool same_end(bool set, const struct qty *was, const struct qty *is)
{
    return !set || (was->dim == is->dim && qty_compare(*was, *is) == 0);
}

static bool same_value(const struct qty_value *was, const struct qty_value *is)
{
    bool sided = was->kind == QTY_AT_LEAST || was->kind == QTY_AT_MOST ||
                 was->kind == QTY_UNKNOWN || was->kind == QTY_ABSENT;
    bool other = is->kind == QTY_AT_LEAST || is->kind == QTY_AT_MOST || is->kind == QTY_UNKNOWN ||
                 is->kind == QTY_ABSENT;

    if ((sided || other) && was->kind != is->kind)
        return false;
    if (was->kind == QTY_UNKNOWN || was->kind == QTY_ABSENT)
        return true;
    return same_end(was->kind != QTY_AT_MOST, &was->low, &is->low) &&
           same_end(was->kind != QTY_AT_LEAST, &was->high, &is->high);
}

/* The words of a fact that is no quantity. */
static const char *fact_words(struct comparer *comparer, const struct fact *fact)
{
    return fact->words ? fact->words
                       : build_words(comparer->arena, comparer->is->build, fact->phrase);
}

static const char *source_words(struct comparer *comparer, const struct fact *fact)
{
    return build_words(comparer->arena, comparer->is->build, build_source(comparer->arena, fact));
}

static bool same_source(struct comparer *comparer, const struct fact *was, const struct fact *is)
{
    return compare_alike(comparer->arena, source_words(comparer, was), source_words(comparer, is));
}

static bool same_fact(struct comparer *comparer, const struct fact *was, const struct fact *is)
{
    return was->origin == is->origin && was->level == is->level && was->derived == is->derived &&
           same_value(&was->value, &is->value) &&
           compare_alike(comparer->arena, fact_words(comparer, was), fact_words(comparer, is)) &&
           same_source(comparer, was, is);
}

/* ---------- reasons ---------- */

static void say(struct comparer *comparer, struct compare_value *value, const struct phrase *reason)
{
    const struct build *build = comparer->is->build;
    const char *words = build_words(comparer->arena, build, reason);

    for (size_t i = 0; i < value->because.count; i++)
        if (str_equal(build_words(comparer->arena, build, value->because.items[i]), words))
            return;
    *ARRAY_PUSH(comparer->arena, &value->because) = reason;
}

static void put_fact(struct phrase *phrase, const char *place, const struct fact *fact)
{
    if (!fact)
        phrase_text(phrase, place, "–");
    else if (fact->phrase)
        phrase_phrase(phrase, place, fact->phrase);
    else if (fact->words)
        phrase_text(phrase, place, fact->words);
    else if (fact->origin == FACT_GIVEN && fact->value.text)
        phrase_written(phrase, place, &fact->value);
    else
        phrase_value(phrase, place, &fact->value);
}

static struct phrase *put_side(struct phrase *phrase, const char *place, const struct phrase *inner)
{
    return inner ? phrase_phrase(phrase, place, inner) : phrase_text(phrase, place, "–");
}

static const char *fact_name(struct arena *arena, const struct fact *fact)
{
    const char *member = fact->entry ? fact->entry->member : NULL;

    if (!member || !str_starts(fact->id, member) || fact->id[strlen(member)] != '.')
        return fact->id;
    return str_print(arena, "%s, %s", fact->entry->shown,
                     compare_key_text(arena, fact->id + strlen(member) + 1));
}

/* The inputs that changed and none of whose own inputs did; true when there was one. */
static bool say_roots(struct comparer *comparer, struct compare_value *value,
                      const struct fact *fact, unsigned depth)
{
    bool any = false;

    for (size_t i = 0; i < fact->input_count && depth < 12; i++) {
        const struct fact *input = fact->inputs[i].fact;
        const struct fact *before = build_fact(comparer->was->build, input->id);
        if (before && same_fact(comparer, before, input))
            continue;
        any = true;
        if (say_roots(comparer, value, input, depth + 1))
            continue;
        struct phrase *reason = phrase_text(phrase_new(comparer->arena, "compare.became"), "what",
                                            fact_name(comparer->arena, input));
        put_fact(reason, "was", before);
        put_fact(reason, "is", input);
        say(comparer, value, reason);
    }
    return any;
}

static const struct phrase *edit_reason(struct arena *arena, const struct compare_edit *edit)
{
    const struct spec_said *was = edit->was, *is = edit->is;
    bool bare = was && is && was->claim && is->claim &&
                !str_equal(was->claim->value.text, is->claim->value.text);
    struct phrase *reason = phrase_new(arena, "compare.became");

    phrase_text(reason, "what",
                str_print(arena, "%s%s%s", edit->entry ? edit->entry->shown : edit->section,
                          edit->key && *edit->key ? ", " : "", compare_key_text(arena, edit->key)));
    phrase_text(reason, "was", bare ? was->claim->value.text : was ? was->words : "–");
    return phrase_text(reason, "is", bare ? is->claim->value.text : is ? is->words : "–");
}

/* The source that it is given by; both where it changed. */
static void say_source(struct comparer *comparer, struct compare_value *value)
{
    const struct phrase *now = build_source(comparer->arena, value->is);

    if (!value->was || same_source(comparer, value->was, value->is)) {
        say(comparer, value, now);
        return;
    }
    struct phrase *reason = phrase_new(comparer->arena, "compare.source-became");
    put_side(reason, "was", build_source(comparer->arena, value->was));
    say(comparer, value, put_side(reason, "is", now));
}

/* How near a key of an entry is to one of its facts: at the value itself, at the same size, elsewhere. */
enum nearness { NEAR_ITSELF, NEAR_SIZE, NEAR_ENTRY, NEAR_COUNT };

static enum nearness nearness_of(struct arena *arena, const char *key, const char *fact)
{
    const char *sized = str_print(arena, "sizes.%s", fact);
    const char *dot = strrchr(sized, '.');

    if (str_equal(key, fact) || str_equal(key, sized))
        return NEAR_ITSELF;
    return str_starts(key, str_print(arena, "%.*s.", (int)(dot - sized), sized)) ? NEAR_SIZE : NEAR_ENTRY;
}

/* What was written at the entry, no further from the value than need be. */
static void say_own_edits(struct comparer *comparer, struct compare_value *value)
{
    const struct comparison *comparison = comparer->comparison;
    const char *member = value->entry ? value->entry->member : "";
    const char *fact = str_starts(value->id, member) && value->id[strlen(member)] == '.'
                           ? value->id + strlen(member) + 1
                           : "";

    for (int near = 0; near < NEAR_COUNT && value->because.count == 0; near++) {
        for (size_t i = 0; i < comparison->edits.count; i++) {
            const struct compare_edit *edit = &comparison->edits.items[i];
            if (!edit->entry || !edit->key || !str_equal(edit->entry->member, member) ||
                (int)nearness_of(comparer->arena, edit->key, fact) != near)
                continue;
            if (near == NEAR_ITSELF && value->is && value->is->origin == FACT_GIVEN &&
                value->is->source)
                say_source(comparer, value);
            else
                say(comparer, value, edit_reason(comparer->arena, edit));
        }
    }
}

static bool names(struct comparer *comparer, const struct fact *fact, const char *word)
{
    const char *sources = source_words(comparer, fact);

    return (fact->note && strstr(fact->note, word)) || (sources && strstr(sources, word)) ||
           (fact->formula && strstr(fact->formula, word));
}

/* "small" of the shop's wrenches.small.range, "case-alloy" of case-alloy.expansion; of a row of a table what
 * it is about. */
static const char *what_of(struct arena *arena, const struct compare_edit *edit)
{
    const char *dot = edit->key ? strchr(edit->key, '.') : NULL;

    if (!dot)
        return edit->key;
    return str_equal(edit->section, "shop") ? str_slice(arena, dot + 1, strcspn(dot + 1, "."))
                                            : str_slice(arena, edit->key, (size_t)(dot - edit->key));
}

/* Coefficients of a formula come from tables, and from what the spec lays over them. */
static bool same_numbers(const struct fact *was, const struct fact *is)
{
    if (was->numbers.count != is->numbers.count)
        return false;
    for (size_t i = 0; i < is->numbers.count; i++)
        if (was->numbers.items[i].si != is->numbers.items[i].si)
            return false;
    return true;
}

/* Whether a value can rest on what was edited outside all entries. */
static bool is_rested_on(const struct compare_edit *edit)
{
    static const char *const no_value[] = {"suppliers", "cards", "history", "budget", "engine"};

    for (size_t i = 0; i < sizeof no_value / sizeof *no_value; i++)
        if (str_equal(edit->section, no_value[i]))
            return false;
    return !edit->entry;
}

/* What a value names nowhere: where its coefficients are others, tables and materials; where they are not,
 * what is computed rests on the shop alone. */
static bool may_rest_on(const struct compare_value *value, const struct compare_edit *edit)
{
    const struct fact *was = value->was, *is = value->is;
    bool shop = str_equal(edit->section, "shop");

    if (was && is && !same_numbers(was, is))
        return !shop;
    return shop || (is ? is->origin != FACT_COMPUTED : was != NULL);
}

/* A wrench, a material, a row of a table. `named`: only what its note, source or formula speaks of. */
static void say_other_edits(struct comparer *comparer, struct compare_value *value, bool named)
{
    const struct fact *was = value->was, *is = value->is, *fact = is ? is : was;

    for (size_t i = 0; (fact || !named) && i < comparer->comparison->edits.count; i++) {
        const struct compare_edit *edit = &comparer->comparison->edits.items[i];
        const char *what = what_of(comparer->arena, edit);
        if (!is_rested_on(edit) || !what || !*what)
            continue;
        if (named ? names(comparer, fact, what) || (was && names(comparer, was, what))
                  : may_rest_on(value, edit))
            say(comparer, value, edit_reason(comparer->arena, edit));
    }
}

static void say_why(struct comparer *comparer, struct compare_value *value)
{
    const struct fact *was = value->was, *is = value->is;

    if (is)
        say_roots(comparer, value, is, 0);
    if (value->because.count == 0)
        say_own_edits(comparer, value);
    if (value->because.count == 0)
        say_other_edits(comparer, value, true);
    if (value->because.count == 0)
        say_other_edits(comparer, value, false);
    if (was && is && !same_source(comparer, was, is))
        say_source(comparer, value);
}

/* ---------- all of them ---------- */

static struct compare_value *value_new(struct comparer *comparer, const char *id,
                                       struct entry *entry)
{
    struct compare_value *value = ARRAY_PUSH(comparer->arena, &comparer->comparison->values);

    *value = (struct compare_value){.change = CHANGE_CHANGED, .id = id, .entry = entry};
    return value;
}

/* What only one spec has is new or gone as a whole; the sum of weights has a place of its own. */
static bool is_told_elsewhere(const struct comparer *comparer, const struct fact *fact)
{
    if (fact == comparer->was->build->weight || fact == comparer->is->build->weight)
        return true;
    return fact->entry && (!spec_member(comparer->was->build->spec, fact->entry->member) ||
                           !spec_member(comparer->is->build->spec, fact->entry->member));
}

static void compare_facts(struct comparer *comparer)
{
    const struct build *was = comparer->was->build, *is = comparer->is->build;

    for (size_t i = 0; i < is->facts.count; i++) {
        const struct fact *now = is->facts.items[i], *before = build_fact(was, now->id);
        if (is_told_elsewhere(comparer, now) || (before && same_fact(comparer, before, now)))
            continue;
        struct compare_value *value = value_new(comparer, now->id, now->entry);
        value->was = before;
        value->is = now;
        value->change = before ? CHANGE_CHANGED : CHANGE_NEW;
        say_why(comparer, value);
    }
    for (size_t i = 0; i < was->facts.count; i++) {
        const struct fact *before = was->facts.items[i];
        if (is_told_elsewhere(comparer, before) || build_fact(is, before->id))
            continue;
        struct compare_value *value = value_new(comparer, before->id, before->entry);
        value->was = before;
        value->change = CHANGE_GONE;
        say_why(comparer, value);
    }
}

static const struct phrase *verdict_phrase(struct arena *arena, const struct build_judged *judged)
{
    return judged->words ? judged->words
                         : phrase_word(phrase_new(arena, "compare.verdict"), "verdict", "verdict",
                                       verdict_word(judged->verdict));
}

static void compare_verdicts(struct comparer *comparer)
{
    struct build_judgements was = build_judgements(comparer->arena, comparer->was->build);
    struct build_judgements is = build_judgements(comparer->arena, comparer->is->build);

    for (size_t i = 0; i < is.count; i++) {
        const struct build_judged *now = &is.items[i], *before = NULL;
        for (size_t j = 0; j < was.count && !before; j++)
            if (str_equal(was.items[j].id, now->id))
                before = &was.items[j];
        if (!before || before->verdict == now->verdict)
            continue;
        struct compare_value *value =
            value_new(comparer, str_print(comparer->arena, "%s.verdict", now->id), now->entry);
        value->was_words = verdict_phrase(comparer->arena, before);
        value->is_words = verdict_phrase(comparer->arena, now);
        struct fact *rests[] = {now->found, now->want, now->worn};
        struct fact_input inputs[sizeof rests / sizeof *rests] = {{0}};
        struct fact all = {.inputs = inputs};
        for (size_t k = 0; k < sizeof rests / sizeof *rests; k++)
            if (rests[k])
                inputs[all.input_count++].fact = rests[k];
        say_roots(comparer, value, &all, 0);
    }
}

void compare_values(struct comparer *comparer)
{
    compare_facts(comparer);
    compare_verdicts(comparer);
}
