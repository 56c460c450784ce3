/* practice.c - published rows of practice, each bound by its id to the record that carries it: a rule,
 * a factor, a split pin, a field of a grade, or a build that is resolved with the row's figures. */
#include "bind_joints.h"
#include "resolved.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* --- figures that a rule carries --- */

enum end { LOW, HIGH };

static const struct {
    const char *id, *rule, *variant;
    enum end end;
    double times; /* the row's figure in the rule's unit: a share, or inches */
} figures[] = {
    {"thr.spark.7_8.minreach", "plug-thread-length", "7/8", LOW, 1},
    {"str.an.minalu", "aircraft-bolt", "aluminium", LOW, 1},
    {"tq.form.frac.reuse", "preload-share", "reused", LOW, 1},
    {"tq.form.frac.perm", "preload-share", "permanent", LOW, 1},
    {"tq.form.frac.vdi", "preload-share", "combined", LOW, 1},
    {"tq.split.head", "torque-share", "face", LOW, 100},
    {"tq.split.thread", "torque-share", "thread", LOW, 100},
    {"tq.split.preload", "torque-share", "preload", LOW, 100},
    {"tq.lub.alu.tm9", "torque-into-aluminium", "", HIGH, 1},
    {"tq.lub.spring.hyundai", "torque-spring-washer", "", LOW, 1},
    {"tq.tol.tm", "torque-tolerance", "", HIGH, 100},
    {"tq.stage", "torque-first-pull", "", LOW, 1},
    {"tq.spark.turn.gasket.new", "plug-turn", "gasket-new", LOW, 1},
    {"tq.spark.turn.taper", "plug-turn", "taper", LOW, 1},
    {"tq.spark.turn.reused", "plug-turn", "gasket-used", LOW, 1},
    {"cas.step", "castle-nut", "step", LOW, 1},
    {"cas.slots", "castle-nut", "slots", LOW, 1},
    {"cas.pinproud", "split-pin-proud", "", HIGH, 100},
    {"cas.washers", "washers-under-nut", "", HIGH, 1},
    {"lock.wire.copper", "lock-wire-copper", "", LOW, 1},
    {"lock.pigtail.tw.lo", "lock-wire-pigtail-twists", "", LOW, 1},
    {"lock.pigtail.tw.hi", "lock-wire-pigtail-twists", "", HIGH, 1},
    {"lock.after.lo", "lock-wire-turns", "", LOW, 1},
    {"lock.after.hi", "lock-wire-turns", "", HIGH, 1},
    {"lock.series", "lock-wire-series", "", HIGH, 1},
    {"lock.close", "lock-wire-close", "", HIGH, 1},
    {"lock.protrude", "thread-projection", "", LOW, 1},
    {"lock.fit", "bolt-light-drive", "", LOW, 1},
};

static const struct table_rule *rule_named(const char *id, const char *variant)
{
    const struct table_rule *rule = table_rule_find(published_set, id, variant, NULL);
    cr_assert_not_null(rule, "no rule %s %s", id, variant);
    return rule;
}

/* The source prints one figure for the rule, not a range. */
static bool is_one_figure(size_t index)
{
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++)
        if (i != index && strcmp(figures[i].rule, figures[index].rule) == 0 &&
            strcmp(figures[i].variant, figures[index].variant) == 0)
            return false;
    return true;
}

static bool ends_differ(const struct table_rule *rule)
{
    return (table_has(rule->low_ratio) && table_has(rule->high_ratio) &&
            rule->low_ratio != rule->high_ratio) ||
           (rule->low_pm != TABLE_NO_PM && rule->high_pm != TABLE_NO_PM &&
            rule->low_pm != rule->high_pm);
}

static enum bind_outcome bind_figure(const struct check_row *row, struct bind_fault *fault)
{
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++) {
        if (strcmp(row->id, figures[i].id) != 0)
            continue;
        const struct table_rule *rule = rule_named(figures[i].rule, figures[i].variant);
        bool high = figures[i].end == HIGH;
        double ratio = high ? rule->high_ratio : rule->low_ratio;
        int64_t pm = high ? rule->high_pm : rule->low_pm;
        if (is_one_figure(i) && ends_differ(rule))
            return bind_fault(row, fault, "one figure is printed, the rule has two");
        return bind_near(row, fault, rule->id,
                         figures[i].times * (table_has(ratio) ? ratio : (double)pm / 25.4e9),
                         published_expected(row));
    }
    return UNBOUND;
}

/* --- rules in words: the text of the record says it --- */

static const struct {
    const char *id, *rule, *variant;
    const char *says; /* in the rule's text */
    const char *answer; /* what the row expects, of rows that ask yes or no */
} texts[] = {
    {"cas.start", "castle-nut", "start", "minimum recommended torque plus the drag", NULL},
    {"cas.limit", "castle-nut", "most",
     "maximum torque plus drag: change washer or nut and try again", NULL},
    {"cas.low", "castle-nut", "side", "low side", NULL},
    {"cas.backoff", "castle-nut", "back", "never slackened", "false"},
    {"lock.reuse.cotter", "lock-reuse", "", "split pins and lock wire are never used again",
     "false"},
    {"lock.self.rotation", "lock-turning-part", "", "no self-locking nut on a part that turns",
     "false"},
    {"lock.pal.reuse", "lock-speed-nut", "", "pal and speed nuts are never used again", "false"},
    {"lock.wire.loosen", "lock-wire-line-up", "", "never loosened to bring wire holes in line",
     "false"},
    {"lock.safety.torque", "lock-is-no-torque", "", "does not keep the torque", "false"},
    {"lock.jerk", "torque-jerk", "", "slacken it and pull again", "true"},
    {"lock.nutside", "torque-nut", "", "on the nut rather than the bolt", "true"},
};

static enum bind_outcome bind_text(const struct check_row *row, struct bind_fault *fault)
{
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        if (strcmp(row->id, texts[i].id) != 0)
            continue;
        if (strstr(rule_named(texts[i].rule, texts[i].variant)->text, texts[i].says) == NULL)
            return bind_fault(row, fault, "the rule does not say so");
        return texts[i].answer == NULL || strcmp(texts[i].answer, row->expected) == 0
                   ? HELD
                   : bind_fault(row, fault, "the rule says the contrary");
    }
    return UNBOUND;
}

/* --- factors, each with the table it belongs to --- */

static const struct {
    const char *id, *table, *what, *from, *to;
} factors[] = {
    {"tq.lub.oil.tm9", "torque_tm_9", "lubricant", "dry", "engine-oil"},
    {"tq.lub.plated.tm9", "torque_tm_9", "plating", "none", "zinc"},
    {"tq.lub.lub.tm55", "US Army TM 55-1520-240-23-1 standard torques", "lubricant", "dry",
     "engine-oil"},
    {"tq.lub.lub.piper", "a light aircraft maker's nut torques", "lubricant", "dry", "engine-oil"},
    {"tq.lub.oil.hyundai", "a car maker's standard torques", "lubricant", "dry", "engine-oil"},
    {"tq.lub.lub.pilotref", "AN bolt notes for pilots", "lubricant", "dry", "engine-oil"},
    {"tq.lub.cd.mos2", "DIN hand-tool guidance", "lubricant", "dry", "moly-paste"},
    {"tq.lub.cd.mos2", "DIN hand-tool guidance", "plating", "none", "cadmium"},
    {"tq.lub.kohler", "a small-engine maker's torques", "plating", "zinc", "none"},
    {"tq.cement", "a packing-press maker's table at friction 0.14", "lubricant", "dry",
     "thread-lock"},
};

static enum bind_outcome bind_belonging(const struct check_row *row, struct bind_fault *fault)
{
    enum bind_outcome outcome = UNBOUND;
    for (size_t i = 0; i < sizeof factors / sizeof *factors && outcome != FAILED; i++) {
        if (strcmp(row->id, factors[i].id) != 0)
            continue;
        const struct table_head head = {.id = factors[i].table};
        const struct table_factor *factor = table_factor_find(published_set, &head, factors[i].what,
                                                              factors[i].from, factors[i].to);
        outcome = factor == NULL ? bind_fault(row, fault, "no such factor")
                                 : bind_near(row, fault, factor->table, factor->factor,
                                             published_expected(row));
    }
    return outcome;
}

/* The table of 0.75 proof load prints dry and oiled torques side by side: their ratio is the row's. */
static enum bind_outcome bind_oiled_share(const struct check_row *row, struct bind_fault *fault)
{
    if (strcmp(row->id, "tq.lub.lub.ifi") != 0)
        return UNBOUND;
    struct table_thread_found found = table_thread_find(arena, published_set, "5/8-11 UNC");
    if (found.status != TABLE_FOUND)
        return bind_fault(row, fault, "no such thread");
    struct table_torques rows =
        table_torque_find(arena, published_set, found.thread, "SAE 8", "torque_sae_j429");
    double dry = NAN, oiled = NAN;
    for (size_t i = 0; i < rows.count; i++)
        *(strcmp(rows.items[i]->lubricant, "dry") == 0 ? &dry : &oiled) = rows.items[i]->low_n_m;
    return bind_near(row, fault, "oiled over dry", oiled / dry, published_expected(row));
}

/* --- fields of other records --- */

static const struct table_grade *grade_named(const char *name, int64_t major_pm)
{
    struct table_grade_found found = table_grade_find(published_set, name, major_pm);
    cr_assert_not_null(found.grade, "no grade %s", name);
    return found.grade;
}

static enum bind_outcome bind_field(const struct check_row *row, struct bind_fault *fault)
{
    const struct table_friction *friction;
    if (strcmp(row->id, "str.j429.2.maxlen") == 0)
        return bind_near(row, fault, "standing of SAE 2",
                         check_after(grade_named("SAE 2", qty_pm_from_mm(10))->standing, "up to "),
                         published_expected(row));
    if (strcmp(row->id, "str.brit.S.psi") == 0) /* a dealer's word: shown in the source, not used */
        return bind_near(row, fault, "source of grade S",
                         1000 * check_after(grade_named("S", 0)->row.source, "a dealer states "),
                         published_expected(row));
    if (strcmp(row->id, "str.an.minsteel") == 0) /* number sizes: 0.060 in + 0.013 in a number */
        return bind_near(row, fault, "number size",
                         ((double)rule_named("aircraft-bolt", "steel")->low_pm / 25.4e9 - 0.060) /
                             0.013,
                         published_expected(row));
    if (strcmp(row->id, "tq.K.zincplated") == 0 &&
        (friction = table_friction_find(published_set, "dry", "zinc")) != NULL)
        return bind_near(row, fault, "K", friction->factor_low, published_expected(row));
    if (strcmp(row->id, "tq.K.lubricated") != 0)
        return UNBOUND;
    for (size_t i = 0; (friction = table_row_at(published_set, "friction", i)) != NULL; i++)
        if (strstr(friction->row.source, "newsletter") != NULL)
            return bind_near(row, fault, "K", friction->factor_high, published_expected(row));
    return bind_fault(row, fault, "no such friction");
}

/* E = 1.5 D + 0.062 in, as the rule has it. */
static enum bind_outcome bind_stud(const struct check_row *row, struct bind_fault *fault)
{
    bool shock = strcmp(row->id, "eng.prac.alu.shock") == 0;
    if (!shock && strcmp(row->id, "eng.prac.alu.norm") != 0)
        return UNBOUND;
    int64_t low_pm, high_pm;
    table_rule_limits(rule_named("stud-engagement", shock ? "shock" : "normal"),
                      (int64_t)llround(check_value(row, "D") * 25.4e9), &low_pm, &high_pm);
    return published_length_is(row, fault, "engagement", low_pm);
}

static enum bind_outcome bind_pin_size(const struct check_row *row, struct bind_fault *fault)
{
    const char *nominal = check_part(row->input, "split_pin_nominal");
    const struct table_pin_size *pin;
    double hole;
    if (nominal == NULL || !check_number(nominal, &hole))
        return UNBOUND;
    for (size_t i = 0; (pin = table_row_at(published_set, "pin-size", i)) != NULL; i++)
        if (pin->hole_pm == qty_pm_from_mm(hole))
            return published_length_is(row, fault, "shank", pin->shank_pm);
    return bind_fault(row, fault, "no such split pin");
}

/* Number sizes are looked up by their coarse thread. */
static enum bind_outcome bind_number_size(const struct check_row *row, struct bind_fault *fault)
{
    char start[16];
    const struct table_thread *thread;
    if (!published_starts(row->id, "thr.un.num"))
        return UNBOUND;
    snprintf(start, sizeof start, "%s-", check_part(row->input, "size"));
    for (size_t i = 0; (thread = table_row_at(published_set, "thread", i)) != NULL; i++)
        if (published_starts(thread->name, start))
            return published_length_is(row, fault, thread->name, thread->major_pm);
    return bind_fault(row, fault, "no such thread");
}

/* The AC's own figures, in newton metres as a maker reprints them. */
static enum bind_outcome bind_reprint(const struct check_row *row, struct bind_fault *fault)
{
    const char *text = check_part(row->input, "convert");
    char name[40];
    if (text == NULL || !published_starts(text, "AC 43.13 tension "))
        return UNBOUND;
    snprintf(name, sizeof name, "%s%s UNF", strchr(text, '/') == NULL ? "#" : "",
             strrchr(text, ' ') + 1);
    struct table_thread_found found = table_thread_find(arena, published_set, name);
    if (found.status != TABLE_FOUND)
        return bind_fault(row, fault, name);
    struct table_torques rows =
        table_torque_find(arena, published_set, found.thread, NULL, "torque_ac_43_13");
    for (size_t i = 0; i < rows.count; i++)
        if (strcmp(rows.items[i]->use, "tension nut") == 0)
            return published_number_is(row, fault, name,
                                       strstr(text, "minimum") != NULL ? rows.items[i]->low_n_m
                                                                       : rows.items[i]->high_n_m);
    return bind_fault(row, fault, "no such torque");
}

/* --- one engine's figures: a build with them, resolved --- */

static double end_of(const struct check_row *row, const char *patch, const char *name, bool high)
{
    struct resolved resolved = resolved_of(patch);
    cr_assert_not_null(resolved.build, "%s: %s", row->id, resolved_says(&resolved));
    const struct fact *fact = build_fact(resolved.build, name);
    cr_assert_not_null(fact, "%s: no fact %s", row->id, name);
    double si =
        high && fact->value.high.dim == QTY_TORQUE ? fact->value.high.si : fact->value.low.si;
    resolved_free(&resolved);
    return si;
}

static enum bind_outcome bind_build(const struct check_row *row, struct bind_fault *fault)
{
    char patch[240];
    if (published_set != table_set_default())
        return UNBOUND; /* a build resolves with the built-in tables; no table has its figures */
    if (published_starts(row->id, "pv.sum")) {
        snprintf(
            patch, sizeof patch,
            "joints: {cover-nuts: {torque: {is: %g lbf in, from: book p. 4}, drag: %g lbf in}}",
            check_value(row, "target"), check_value(row, "drag"));
        return published_number_is(row, fault, "target",
                                   end_of(row, patch, "cover-nuts.target", false));
    }
    if (published_starts(row->id, "pv.mtu")) {
        double base = published_expected(row);
        snprintf(patch, sizeof patch,
                 "joints: {cover-nuts: {thread: %s, torque: {is: %g..%g N m, from: book p. 4}}}",
                 check_part(row->input, "thread"), base, base + check_value(row, "plus_tolerance"));
        return published_number_is(row, fault, "torque",
                                   end_of(row, patch, "cover-nuts.torque", false));
    }
    if (published_starts(row->id, "tq.spark.franklin")) {
        bool high = strstr(row->input, "maximum") != NULL;
        return published_number_is(
            row, fault, "torque",
            end_of(row,
                   "joints: {cover-nuts: {thread: 18 mm plug, torque: {is: 240..280 lbf in, from: "
                   "book p. 4}}}",
                   "cover-nuts.torque", high));
    }
    return UNBOUND;
}

/* Rows that no binder of their topic has: by their id. */
enum bind_outcome published_practice(const struct check_row *row, struct bind_fault *fault)
{
    static enum bind_outcome (*const binders[])(const struct check_row *, struct bind_fault *) = {
        bind_figure, bind_text,     bind_belonging,   bind_oiled_share, bind_field,
        bind_stud,   bind_pin_size, bind_number_size, bind_reprint,     bind_build,
        published_record};
    for (size_t i = 0; i < sizeof binders / sizeof *binders; i++) {
        enum bind_outcome outcome = binders[i](row, fault);
        if (outcome != UNBOUND)
            return outcome;
    }
    return UNBOUND;
}
