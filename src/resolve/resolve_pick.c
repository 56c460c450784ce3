/* resolve_pick.c - picks: which demands there are, which are met together, and what came out. */
#include "pick_private.h"

#include <stdlib.h>

/* ---------- gathering ---------- */

static struct variable *variable_of(struct picking *picking, struct part *part, struct size *size)
{
    for (size_t i = 0; i < picking->variables.count; i++)
        if (picking->variables.items[i]->size == size)
            return picking->variables.items[i];

    struct variable *variable = ARENA_NEW(picking->r->arena, struct variable);
    *variable = (struct variable){.part = part, .size = size, .set = picking->variables.count};
    *ARRAY_PUSH(picking->r->arena, &picking->variables) = variable;
    return variable;
}

static bool is_picked(const struct refs *pick, const struct part *part)
{
    for (size_t i = 0; i < pick->to_count; i++)
        if (pick->to[i] == &part->e)
            return true;
    return false;
}

static bool has_offer(const struct size *size)
{
    return size->sold.count > 0 || size->loose.count > 0;
}

static void use(struct picking *picking, struct demand *demand, struct part *part,
                struct size *size, int times)
{
    struct variable *variable = variable_of(picking, part, size);

    for (size_t i = 0; i < demand->var_count; i++)
        if (demand->vars[i] == variable) {
            demand->times[i] += times;
            return;
        }
    if (demand->var_count == PICK_DEMAND_VARS)
        return;
    demand->vars[demand->var_count] = variable;
    demand->times[demand->var_count++] = times;
}

/* One size of a chain: picked, or fixed. */
static void add_item(struct picking *picking, struct demand *demand, const struct size_ref *item,
                     const struct refs *pick, int times)
{
    struct fact *fact = NULL;

    if (item->size == NULL)
        return;
    if (is_picked(pick, item->part) && (has_offer(item->size) || item->part->fitted.present)) {
        use(picking, demand, item->part, item->size, times);
        return;
    }
    struct range range = resolve_size_range(picking->r, item->size, &fact);
    if (!range_known(range)) {
        demand->unknown = item->text;
        demand->unknown_span = item->span;
        return;
    }
    demand->base = range_plus(demand->base, range, times);
    *ARRAY_PUSH(picking->r->arena, &demand->inputs) = (struct pick_fixed){fact, times};
}

/* A float read without the part: each thickness put in takes from it. */
static void add_read_float(struct picking *picking, struct demand *demand, struct limit *limit)
{
    struct fact *read = demand->limit->found;

    if (read == NULL) {
        demand->unknown = limit->e.member;
        demand->unknown_span = limit->e.span;
    } else {
        demand->base = range_of_fact(read);
        *ARRAY_PUSH(picking->r->arena, &demand->inputs) = (struct pick_fixed){read, 1};
    }
    for (size_t i = 0; i < limit->pick.to_count; i++) {
        struct part *part = spec_part(limit->pick.to[i]);
        for (size_t k = 0; part != NULL && k < part->sizes.count; k++)
            if (has_offer(part->sizes.items[k])) {
                use(picking, demand, part, part->sizes.items[k], -1);
                break;
            }
    }
}

/* Every picked part must be in the chain and have something on offer. */
static void check_pick(struct picking *picking, const struct demand *demand,
                       const struct refs *pick)
{
    struct resolver *r = picking->r;

    for (size_t i = 0; i < pick->to_count; i++) {
        struct part *part = spec_part(pick->to[i]);
        bool used = false, offered = false;
        for (size_t k = 0; k < demand->var_count; k++)
            used |= part != NULL && demand->vars[k]->part == part;
        for (size_t k = 0; part != NULL && k < part->sizes.count; k++)
            offered |= has_offer(part->sizes.items[k]);
        if (used)
            continue;
        if (!offered) {
            struct diag *diag = diag_add(
                &r->context->diags, DIAG_PICK_NOTHING_OFFERED, pick->span,
                "%s is to be picked, and none of its sizes says what there is to pick from",
                pick->to[i]->member);
            resolve_label(r, diag, pick->to[i]->span, "this part");
            resolve_hint(r, diag,
                         "give the size sold: [0.10 mm, 0.15 mm, ...], or loose: {a: ..., b: ...}");
        } else {
            struct diag *diag =
                diag_add(&r->context->diags, DIAG_PICK_NOT_IN_CHAIN, pick->span,
                         "%s is to be picked, and none of its sizes on offer is part of %s",
                         pick->to[i]->member, demand->entry->member);
            resolve_hint(r, diag, "put one of its sizes into the stack, or take it out of pick");
        }
    }
}

static struct demand *new_demand(struct picking *picking, struct entry *entry, struct fact *want)
{
    struct demand *demand = ARRAY_PUSH(picking->r->arena, &picking->demands);

    *demand = (struct demand){
        .entry = entry, .want = want, .want_span = want != NULL ? want->span : entry->span};
    demand->base = (struct range){.low_set = true, .high_set = true, .measured = true};
    demand->base.low = demand->base.high = range_qty_pm(0, NULL);
    return demand;
}

static void gather_limit(struct picking *picking, struct limit_values *values)
{
    struct limit *limit = values->limit;

    if (limit->pick.to_count == 0)
        return;
    struct demand *demand = new_demand(picking, &limit->e, values->want);
    demand->limit = values;
    if (limit->stack.present) {
        for (size_t i = 0; i < limit->stack.plus.count; i++)
            add_item(picking, demand, &limit->stack.plus.items[i], &limit->pick, 1);
        for (size_t i = 0; i < limit->stack.minus.count; i++)
            add_item(picking, demand, &limit->stack.minus.items[i], &limit->pick, -1);
    } else {
        add_read_float(picking, demand, limit);
    }
    check_pick(picking, demand, &limit->pick);
}

static void gather_fit(struct picking *picking, struct fit_values *values)
{
    struct fit *fit = values->fit;

    if (fit->pick.to_count == 0 || fit->inner.size == NULL || fit->outer.size == NULL)
        return;
    struct demand *demand = new_demand(picking, &fit->e, values->want);
    demand->fit = values;
    add_item(picking, demand, &fit->outer, &fit->pick, 1);
    add_item(picking, demand, &fit->inner, &fit->pick, -1);
    check_pick(picking, demand, &fit->pick);
}

/* Demands that share a variable, or whose variables share loose pieces or stock, form one set. */
static void join(struct picking *picking, size_t from, size_t to)
{
    for (size_t i = 0; i < picking->variables.count; i++)
        if (picking->variables.items[i]->set == from)
            picking->variables.items[i]->set = to;
}

static bool share(const struct variable *a, const struct variable *b)
{
    if (a->part->e.group != b->part->e.group || !str_equal(a->size->name, b->size->name))
        return false;
    if (a->size->loose.count > 0)
        return true;
    for (size_t i = 0; i < a->size->sold.count; i++)
        if (a->size->sold.items[i].stock.present)
            return true;
    return false;
}

static void make_sets(struct picking *picking)
{
    for (size_t i = 0; i < picking->demands.count; i++) {
        struct demand *demand = &picking->demands.items[i];
        for (size_t k = 1; k < demand->var_count; k++)
            join(picking, demand->vars[k]->set, demand->vars[0]->set);
    }
    for (size_t i = 0; i < picking->variables.count; i++)
        for (size_t k = i + 1; k < picking->variables.count; k++)
            if (share(picking->variables.items[i], picking->variables.items[k]))
                join(picking, picking->variables.items[k]->set, picking->variables.items[i]->set);
    for (size_t i = 0; i < picking->demands.count; i++)
        if (picking->demands.items[i].var_count > 0)
            picking->demands.items[i].set = picking->demands.items[i].vars[0]->set;
}

/* ---------- what came out ---------- */

static struct pick_choice as_choice(const struct choice *choice, const struct demand *demand)
{
    return (struct pick_choice){.words = choice->words,
                                .result = range_value(pick_result_range(demand)),
                                .sold = choice->sold,
                                .loose = choice->loose,
                                .count = choice->count};
}

static bool all_hold(const struct search *search, bool may)
{
    for (size_t i = 0; i < search->demand_count; i++)
        if (!pick_holds(search->demands[i], may))
            return false;
    return true;
}

/* Every other acceptable choice of one variable, the rest as they are, nearest first. */
static void others(struct search *search, const struct demand *demand, struct variable *variable,
                   struct pick_result *result)
{
    struct resolver *r = search->picking->r;
    double *distance = ARENA_ARRAY(r->arena, double, PICK_OTHERS);
    size_t best = variable->chosen;

    result->others = ARENA_ARRAY(r->arena, struct pick_choice, PICK_OTHERS);
    for (size_t c = 0; c < variable->choices.count && !variable->made; c++) {
        const struct choice *choice = &variable->choices.items[c];
        variable->chosen = c;
        if (c == best || (choice->loose != NULL && pick_taken(search, variable, choice->loose)) ||
            !all_hold(search, false))
            continue;
        double off = pick_distance(demand);
        size_t at = result->other_count < PICK_OTHERS ? result->other_count++ : PICK_OTHERS - 1;
        while (at > 0 && off < distance[at - 1] - 1e-9) {
            result->others[at] = result->others[at - 1];
            distance[at] = distance[at - 1];
            at--;
        }
        result->others[at] = as_choice(choice, demand);
        distance[at] = off;
    }
    variable->chosen = best;
}

/* So many times each: "plus" or "minus", as often as it is in the chain. */
static void put_times(struct resolver *r, struct fact *fact, struct fact *input, int times)
{
    for (int i = 0; i < abs(times); i++)
        resolve_input_as(r, fact, times > 0 ? "plus" : "minus", input);
}

static void put_chain(struct resolver *r, struct fact *fact, const struct demand *demand)
{
    for (size_t i = 0; i < demand->inputs.count; i++)
        put_times(r, fact, demand->inputs.items[i].fact, demand->inputs.items[i].times);
}

static void put_ends(struct resolver *r, struct fact *fact, const char *name, struct range range)
{
    resolve_number(r, fact, str_print(r->arena, "%s-low", name), range.low.si);
    resolve_number(r, fact, str_print(r->arena, "%s-high", name), range.high.si);
}

/* All that there is to pick from, and with what it is picked together. */
static void put_offer(struct resolver *r, struct fact *fact, const struct demand *demand,
                      const struct variable *variable)
{
    const struct size *size = variable->size;

    resolve_number(r, fact, "set", (double)variable->set);
    for (size_t i = 0; i < demand->var_count; i++)
        if (demand->vars[i] == variable)
            resolve_number(r, fact, "times", demand->times[i]);
    resolve_number(r, fact, "round", pick_rounding(size));
    resolve_number(r, fact, "most",
                   size->most.present && size->most.value > 0 ? (double)size->most.value : 1);
    for (size_t i = 0; i < size->sold.count; i++) {
        const struct sold *sold = &size->sold.items[i];
        if (!resolve_said(&sold->is))
            continue;
        put_ends(r, fact, str_print(r->arena, "sold-%zu", i + 1), pick_sold_range(sold, size));
        if (sold->stock.present)
            resolve_number(r, fact, str_print(r->arena, "sold-%zu-stock", i + 1),
                           (double)sold->stock.value);
    }
    for (size_t i = 0; i < size->loose.count; i++)
        if (resolve_said(&size->loose.items[i].is))
            put_ends(r, fact, str_print(r->arena, "loose-%s", size->loose.items[i].name),
                     range_of_value(&size->loose.items[i].is.value));
}

static struct fact *pick_fact(struct resolver *r, const struct demand *demand,
                              struct variable *variable, const struct pick_result *result)
{
    const char *id =
        str_print(r->arena, "%s.pick.%s", demand->entry->member, variable->part->e.member);
    struct fact *fact =
        resolve_fact(r, demand->entry, id, variable->made ? FACT_GIVEN : FACT_COMPUTED);
    struct str_buf note = {.arena = r->arena};

    fact->phrase = result->open ? phrase_phrase(resolve_say(r, "pick.open"), "why", result->why_open)
                                : result->best.words;
    fact->span = variable->made ? variable->part->fitted.span : demand->want_span;
    if (!result->open) {
        fact->value = range_value(variable->choices.items[variable->chosen].range);
        variable->fact = fact;
    }
    if (result->open)
        fact->rule = "open";
    else if (!variable->made) {
        fact->rule = "pick";
        put_offer(r, fact, demand, variable);
    }
    if (!variable->made)
        fact->formula = str_print(r->arena,
                                  "%snearest the middle of what is wanted, then the fewest pieces",
                                  pick_rounding(variable->size) < 0   ? "rounded down, "
                                  : pick_rounding(variable->size) > 0 ? "rounded up, "
                                                                      : "");
    for (size_t i = 0; i < result->other_count; i++)
        str_add_print(&note, "%s%s", i == 0 ? "also acceptable: " : "; ",
                      resolve_words(r, result->others[i].words));
    fact->note = note.bytes;
    put_chain(r, fact, demand);
    resolve_input_as(r, fact, "want", demand->want);
    return fact;
}

static struct pick_result *new_result(struct resolver *r, const struct demand *demand,
                                      struct variable *variable)
{
    struct pick_result **list = demand->limit != NULL ? &demand->limit->picks : &demand->fit->picks;
    size_t *count = demand->limit != NULL ? &demand->limit->pick_count : &demand->fit->pick_count;

    if (*list == NULL)
        *list = ARENA_ARRAY(r->arena, struct pick_result, PICK_DEMAND_VARS);
    struct pick_result *result = &(*list)[(*count)++];
    *result = (struct pick_result){
        .part = variable->part, .size = variable->size, .made = variable->made};
    return result;
}

/* The limit's or fit's value with the pieces chosen. */
static void set_found(struct resolver *r, struct demand *demand)
{
    struct range range = pick_result_range(demand);
    bool fit = demand->fit != NULL;
    struct fact *fact =
        resolve_fact(r, demand->entry,
                     resolve_id(r, demand->entry, fit ? "clearance" : "with-pick"), FACT_COMPUTED);
    struct range want = range_of_fact(demand->want);
    const struct qty_unit *unit = want.low_set ? want.low.unit : want.high.unit;

    if (unit != NULL && unit->dim == range.low.dim)
        range.low.unit = range.high.unit = unit;
    fact->value = range_value(range);
    fact->measured = demand->base.measured;
    fact->uncertainty = demand->base.uncertainty;
    fact->formula = fit ? "hole less shaft, with the piece picked"
                        : "plus less minus, with the pieces picked; uncertainties by "
                          "root-sum-square (JCGM 100, 5.1.2)";
    fact->rule = "stack";
    put_chain(r, fact, demand);
    for (size_t i = 0; i < demand->var_count; i++)
        put_times(r, fact, demand->vars[i]->fact, demand->times[i]);
    if (fit)
        demand->fit->clearance = fact;
    else if (demand->limit->found == NULL || !demand->limit->limit->stack.present)
        demand->limit->found = fact;
    else
        resolve_input(r, demand->limit->found, fact);
}

static void report_set(struct search *search)
{
    for (size_t d = 0; d < search->demand_count; d++) {
        struct demand *demand = search->demands[d];
        for (size_t v = 0; v < demand->var_count; v++) {
            struct pick_result *result = new_result(search->picking->r, demand, demand->vars[v]);
            result->best =
                as_choice(&demand->vars[v]->choices.items[demand->vars[v]->chosen], demand);
            others(search, demand, demand->vars[v], result);
            result->fact = pick_fact(search->picking->r, demand, demand->vars[v], result);
        }
        set_found(search->picking->r, demand);
    }
}

static void leave_open(struct search *search, const struct phrase *why)
{
    struct resolver *r = search->picking->r;

    for (size_t d = 0; d < search->demand_count; d++) {
        struct demand *demand = search->demands[d];
        for (size_t v = 0; v < demand->var_count; v++) {
            struct pick_result *result = new_result(r, demand, demand->vars[v]);
            result->open = true;
            result->why_open = why;
            result->fact = pick_fact(r, demand, demand->vars[v], result);
        }
    }
}

/* Nothing holds: one demand alone cannot be met, the loose pieces do not go round, or two demands
 * cannot be met together. */
static void report_none(struct search *search)
{
    struct resolver *r = search->picking->r;

    for (size_t d = 0; d < search->demand_count; d++) {
        struct demand *demand = search->demands[d];
        struct search alone = {.picking = search->picking,
                               .vars = demand->vars,
                               .count = demand->var_count,
                               .demands = &search->demands[d],
                               .demand_count = 1};
        pick_search(&alone);
        if (alone.found)
            continue;
        struct diag *diag = resolve_fault(
            r, demand->entry, DIAG_PICK_NONE_CRITICAL, DIAG_PICK_NONE, demand->want_span,
            "no %s on offer makes %s hold: without it there is %s, wanted is %s",
            demand->vars[0]->part->e.shown, demand->entry->member,
            resolve_print_range(r, demand->base), resolve_print_value(r, &demand->want->value));
        resolve_hint(r, diag,
                     "add sizes to sold (or more together: most), or correct what is measured");
        return;
    }
    if (search->vars[0]->size->loose.count > 0 && search->count > 1) {
        struct demand *first = search->demands[0];
        struct diag *diag = resolve_fault(
            r, first->entry, DIAG_PICK_NONE_CRITICAL, DIAG_PICK_NONE, first->want_span,
            "the loose pieces of %s cannot be shared out so that each %s holds",
            search->vars[0]->part->e.id, first->entry->id);
        resolve_hint(r, diag, "add pieces to loose, or correct what is measured");
        return;
    }
    struct demand *last = search->demands[search->demand_count - 1];
    struct diag *diag =
        diag_add(&r->context->diags, DIAG_LIMITS_CANNOT_BOTH_HOLD, last->want_span,
                 "%s cannot hold together with %s: no choice of %s meets both", last->entry->member,
                 search->demands[0]->entry->member, search->vars[0]->part->e.shown);
    resolve_label(r, diag, search->demands[0]->want_span, "and this");
    resolve_hint(r, diag, "correct one of the two, or add sizes to sold");
}

static void must_measure(struct search *search)
{
    struct resolver *r = search->picking->r;
    struct demand *demand = search->demands[0];

    struct diag *diag = diag_add(&r->context->diags, DIAG_PICK_MUST_MEASURE, demand->want_span,
                                 "%s: no choice is sure to hold with what is known within limits "
                                 "only: measure, then pick",
                                 demand->entry->member);
    resolve_hint(r, diag, "give what was measured: measured: {is: ..., using: ...}");
    resolve_ask(r, demand->entry, demand->vars[0]->part->e.shown, demand->want_span, "pick-unsure",
                "measure-chain");
    leave_open(search, resolve_say(r, "pick-open.measure-first"));
}

static const struct phrase *what_is_unknown(struct search *search)
{
    struct resolver *r = search->picking->r;

    for (size_t d = 0; d < search->demand_count; d++) {
        struct demand *demand = search->demands[d];
        if (demand->unknown == NULL && demand->want != NULL)
            continue;
        if (demand->unknown == NULL)
            return phrase_text(resolve_say(r, "pick-open.no-limit"), "id", demand->entry->member);
        struct question *question = resolve_ask(r, demand->entry, demand->unknown,
                                                demand->unknown_span, "size-of-pick", "measure");
        phrase_text(question->asks, "part", demand->vars[0]->part->e.shown);
        return phrase_text(resolve_say(r, "pick-open.unmeasured"), "id", demand->unknown);
    }
    return NULL;
}

static void check_fitted_twice(struct search *search)
{
    struct resolver *r = search->picking->r;

    for (size_t i = 0; i < search->count; i++) {
        struct variable *variable = search->vars[i];
        struct search before = *search;
        if (!variable->made || variable->choices.count == 0)
            continue;
        before.count = i;
        const struct loose *piece = variable->choices.items[0].loose;
        if (piece == NULL || !pick_taken(&before, variable, piece))
            continue;
        struct diag *diag =
            diag_add(&r->context->diags, DIAG_FITTED_TWICE, variable->part->fitted.span,
                     "piece %s is fitted in two places", piece->name);
        resolve_hint(r, diag, "name another piece in one of the two");
    }
}

/* What the user has fitted is kept, right or wrong; the verdict says which. */
static bool all_made(const struct search *search)
{
    for (size_t i = 0; i < search->count; i++)
        if (!search->vars[i]->made || search->vars[i]->choices.count == 0)
            return false;
    return true;
}

static void solve_set(struct picking *picking, size_t set)
{
    struct search search = {.picking = picking};
    struct resolver *r = picking->r;

    search.vars = ARENA_ARRAY(r->arena, struct variable *, picking->variables.count + 1);
    search.demands = ARENA_ARRAY(r->arena, struct demand *, picking->demands.count + 1);
    for (size_t i = 0; i < picking->variables.count; i++)
        if (picking->variables.items[i]->set == set)
            search.vars[search.count++] = picking->variables.items[i];
    for (size_t i = 0; i < picking->demands.count; i++)
        if (picking->demands.items[i].set == set && picking->demands.items[i].var_count > 0)
            search.demands[search.demand_count++] = &picking->demands.items[i];
    if (search.count == 0 || search.demand_count == 0)
        return;

    for (size_t i = 0; i < search.count && !pick_is_pack(&search); i++) {
        pick_offer(r, search.vars[i]);
        if (search.vars[i]->choices.count == 0)
            return; /* reported when it was offered */
    }
    const struct phrase *unknown = what_is_unknown(&search);
    if (unknown != NULL) {
        leave_open(&search, unknown);
        return;
    }
    check_fitted_twice(&search);
    if (all_made(&search)) {
        report_set(&search);
        return;
    }
    pick_search(&search);
    if (search.bounded) {
        struct demand *demand = search.demands[0];
        struct diag *diag = spec_warn(
            r->context, demand->entry, DIAG_PICK_SEARCH_BOUND, demand->want_span,
            "more combinations than are searched for %s: %s", demand->entry->member,
            search.found ? "the best of those tried is printed" : "none of those tried holds");
        resolve_hint(r, diag, "offer fewer sizes, or fewer of them together (most)");
        if (!search.found) {
            leave_open(&search, resolve_say(r, "pick-open.too-many"));
            return;
        }
    }
    if (search.found) {
        report_set(&search);
        return;
    }
    search.may = true;
    pick_search(&search);
    if (search.found)
        must_measure(&search);
    else {
        report_none(&search);
        leave_open(&search, resolve_say(r, "pick-open.none-holds"));
    }
}

void resolve_picks(struct resolver *r)
{
    struct picking picking = {.r = r};
    size_t limits = r->build->limits.count, fits = r->build->fits.count;

    for (size_t i = 0; i < limits; i++)
        gather_limit(&picking, &r->build->limits.items[i]);
    for (size_t i = 0; i < fits; i++)
        gather_fit(&picking, &r->build->fits.items[i]);
    make_sets(&picking);
    for (size_t set = 0; set < picking.variables.count; set++)
        solve_set(&picking, set);
}
