/* mutate.c - changes every numeric cell of the tables, one at a time and in memory, by the larger of 3 %
 * and one last digit, up and down, and asks whether anything notices: the published rows, the formulas,
 * sums and orders of tests/published/rules_*.c, the checker of the build. Prints by table how many were caught, what
 * survived, and how many cells rest on one source alone: each of these must be marked so in its table,
 * and no other. Exit status 0 when 95 % were caught and the marks are right.
 *
 *     mutate_tables [KIND...]      the survivors of these kinds are printed in full
 *     mutate_tables --marks        a line a row: table, number of the row in it, what has one source */
#include "mutation.h"
#include "published.h"
#include "rules.h"
#include "test_arena.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Published rows that hold on the tables as they are. */
struct witnesses {
    const struct check_row **items;
    size_t count;
};

static struct table_set *changed; /* the copy that is changed and put right again */
static struct arena *kept; /* lives as long as the run */

/* --- witnesses --- */

static bool holds(const struct check_row *row)
{
    struct bind_fault fault;
    return published_looked_up(row, &fault) == HELD;
}

/* The files that topics name, each once. */
static bool is_first_of_file(const struct published_topic *const *list,
                             const struct published_topic *topic)
{
    for (const struct published_topic *const *l = published_topics; *l != NULL; l++)
        for (const struct published_topic *t = *l; t->file != NULL; t++)
            if (strcmp(t->file, topic->file) == 0)
                return l == list && t == topic;
    return false;
}

static struct witnesses all_witnesses(void)
{
    struct {
        const struct check_row **items;
        size_t count, room;
    } found = {0};
    for (const struct published_topic *const *list = published_topics; *list != NULL; list++)
        for (const struct published_topic *topic = *list; topic->file != NULL; topic++) {
            if (!is_first_of_file(list, topic))
                continue;
            struct check_rows rows = check_rows_load(topic->file);
            for (size_t i = 0; i < rows.count; i++)
                if (holds(&rows.items[i]))
                    *ARRAY_PUSH(kept, &found) = &rows.items[i];
        }
    return (struct witnesses){found.items, found.count};
}

/* --- changing --- */

static void *place_of(const struct mutation_cell *cell)
{
    return (char *)table_row_edit(changed, cell->kind->name, cell->index) + cell->column->offset;
}

/* By `times` the larger of 3 % and one last digit. */
static void change(const struct mutation_cell *cell, double times)
{
    void *at = place_of(cell);
    if (cell->column->cell == TABLE_LENGTH) {
        int64_t *pm = at;
        *pm += (int64_t)llround(times * fmax(0.03 * fabs((double)*pm), cell->digit));
    } else {
        double *number = at;
        *number += times * fmax(0.03 * fabs(*number), cell->digit);
    }
}

static void put_right(const struct mutation_cell *cell)
{
    size_t size = cell->column->cell == TABLE_LENGTH ? sizeof(int64_t) : sizeof(double);
    memcpy(place_of(cell), (const char *)cell->row + cell->column->offset, size);
}

/* --- which rows depend on a cell --- */

enum { SET_ASIDE = 200 };

static void clear_arena(void)
{
    if (arena_used(arena) < (size_t)SET_ASIDE << 20)
        return;
    test_arena_stop();
    test_arena_start();
}

struct found {
    struct witnesses *by_cell; /* as many as cells */
};

/* Rows that notice when all cells of the range are changed together may notice one of them; halved
 * until one cell is left. Steps differ from cell to cell, so that no quotient of two stays as it was. */
static void narrow(const struct mutation_cells *cells, size_t begin, size_t end,
                   struct witnesses candidates, struct found *found)
{
    struct {
        const struct check_row **items;
        size_t count, room;
    } left = {0};
    for (size_t i = begin; i < end; i++)
        change(&cells->items[i], end - begin == 1 ? 1 : 1 + (double)(i * 7 % 11) / 5);
    for (size_t i = 0; i < candidates.count; i++)
        if (!holds(candidates.items[i]))
            *ARRAY_PUSH(kept, &left) = candidates.items[i];
    for (size_t i = begin; i < end; i++)
        put_right(&cells->items[i]);
    clear_arena();
    if (end - begin == 1)
        found->by_cell[begin] = (struct witnesses){left.items, left.count};
    else if (left.count > 0)
        for (size_t half = 0, middle = begin + (end - begin) / 2; half < 2; half++)
            narrow(cells, half == 0 ? begin : middle, half == 0 ? middle : end,
                   (struct witnesses){left.items, left.count}, found);
}

/* --- judging one cell --- */

static bool has_word(const char *words, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = words; (at = strstr(at, word)) != NULL; at += length)
        if ((at == words || at[-1] == ' ') && (at[length] == ' ' || at[length] == '\0'))
            return true;
    return false;
}

/* The first row of its kind that breaks the rule, or NULL. */
static const void *breaks(const struct published_rule *rule)
{
    const void *row;
    for (size_t i = 0; (row = table_row_at(changed, rule->kind, i)) != NULL; i++)
        if (!rule->holds(changed, row))
            return row;
    return NULL;
}

static bool checker_notices(const char *kind)
{
    struct context_options options = {0};
    struct context *context = context_new(&options);
    bool ok = table_set_check(context, changed, kind);
    context_free(context);
    return !ok;
}

/* A publisher by the beginning of the source: editions of one book are one source. */
static bool same_publisher(const char *a, const char *b)
{
    return strncmp(a, b, 8) == 0;
}

struct verdict {
    bool caught[2]; /* up, down */
    bool second; /* two sources, or a formula or sum, hold the cell */
};

static void judge_rules(const struct mutation_cell *cell, int way, struct verdict *verdict)
{
    const char *kind = cell->kind->name;
    for (const struct published_rule *const *list = published_rules; *list != NULL; list++)
        for (const struct published_rule *rule = *list; rule->kind != NULL; rule++) {
            bool own = strcmp(rule->kind, kind) == 0;
            if ((!own && !has_word(rule->reads, kind)) ||
                (verdict->caught[way] && (verdict->second || !rule->second)))
                continue;
            if ((own && !rule->holds(changed, table_row_at(changed, kind, cell->index))) ||
                (has_word(rule->reads, kind) && breaks(rule) != NULL)) {
                verdict->caught[way] = true;
                verdict->second |= rule->second;
            }
        }
    if (!verdict->caught[way])
        verdict->caught[way] = checker_notices(kind);
}

static struct verdict judge(const struct mutation_cell *cell, struct witnesses witnesses)
{
    struct verdict verdict = {0};
    const char *publisher = NULL;
    for (int way = 0; way < 2; way++) {
        change(cell, way == 0 ? 1 : -1);
        for (size_t i = 0; i < witnesses.count && !(verdict.caught[way] && verdict.second); i++) {
            const struct check_row *row = witnesses.items[i];
            if (holds(row))
                continue;
            verdict.caught[way] = true;
            verdict.second |= strcmp(row->how, "computed") == 0 ||
                              strcmp(row->how, "second") == 0 || strstr(row->source, "; same") ||
                              (publisher != NULL && !same_publisher(publisher, row->source));
            publisher = row->source;
        }
        if (!verdict.caught[way] || !verdict.second)
            judge_rules(cell, way, &verdict);
        put_right(cell);
    }
    clear_arena();
    return verdict;
}

/* --- the account, by table --- */

struct account {
    const char *id;
    size_t cells, changes, caught, single, mismarked;
};

static struct account *account_of(struct account *accounts, size_t *count, const char *id)
{
    for (size_t i = 0; i < *count; i++)
        if (strcmp(accounts[i].id, id) == 0)
            return &accounts[i];
    accounts[*count] = (struct account){.id = id};
    return &accounts[(*count)++];
}

static void print_survivor(const struct mutation_cell *cell, const struct verdict *verdict)
{
    const char *name = "";
    if (cell->kind->columns[0].cell == TABLE_TEXT)
        name = *(const char *const *)((const char *)cell->row + cell->kind->columns[0].offset);
    printf("    %s row %zu (%s) %s %s: not noticed %s\n", cell->row->table->id, cell->index + 1,
           name, cell->column->heading, cell->text,
           verdict->caught[0]   ? "when less"
           : verdict->caught[1] ? "when more"
                                : "either way");
}

/* A mark in the table that does not say what the run has found. */
static void print_mismarked(const struct mutation_cell *cell, bool second)
{
    printf("    %s row %zu %s %s: %s\n", cell->row->table->id, cell->index + 1, cell->column->heading,
           cell->text,
           second ? "marked `single`, has a second source" : "has one source, is not marked `single`");
}

/* What tests/mutation/mark.py writes into the tables. */
static void print_marks(const struct mutation_cells *cells, const struct found *found)
{
    for (size_t i = 0; i < cells->count; i++) {
        const struct mutation_cell *cell = &cells->items[i];
        if (!judge(cell, found->by_cell[i]).second)
            printf("%s\t%zu\t%s\n", cell->row->table->id, cell->line, cell->column->heading);
    }
}

static bool is_asked(char **kinds, int count, const char *kind)
{
    for (int i = 0; i < count; i++)
        if (strcmp(kinds[i], kind) == 0)
            return true;
    return count == 0;
}

static bool rules_hold(void)
{
    const struct table_kind *kind;
    bool ok = true;
    for (const struct published_rule *const *list = published_rules; *list != NULL; list++)
        for (const struct published_rule *rule = *list; rule->kind != NULL; rule++) {
            const struct table_row *row = breaks(rule);
            if (row != NULL)
                printf("not ok %s: the rule '%s' (%s) does not hold\n", row->table->id, rule->says,
                       rule->source);
            ok &= row == NULL;
        }
    for (size_t i = 0; (kind = table_kind_at(i)) != NULL; i++)
        if (checker_notices(kind->name)) {
            printf("not ok the checker of the build finds fault with %s\n", kind->name);
            ok = false;
        }
    return ok;
}

static int print_account(const struct account *accounts, size_t count)
{
    struct account sum = {.id = "all tables"};
    for (size_t i = 0; i < count; i++) {
        const struct account *a = &accounts[i];
        printf("# %-22s %5zu cells, %5zu of %5zu changes noticed (%5.1f %%), %4zu single\n", a->id,
               a->cells, a->caught, a->changes, 100.0 * (double)a->caught / (double)a->changes,
               a->single);
        sum.cells += a->cells;
        sum.changes += a->changes;
        sum.caught += a->caught;
        sum.single += a->single;
        sum.mismarked += a->mismarked;
    }
    double share = 100.0 * (double)sum.caught / (double)sum.changes;
    bool ok = sum.caught * 100 >= sum.changes * 95 && sum.mismarked == 0;
    printf("%s the tables: %zu cells, %zu of %zu changes noticed (%.2f %%, at least 95), %zu cells "
           "with one source, %zu of all marked wrong\n",
           ok ? "ok" : "not ok", sum.cells, sum.caught, sum.changes, share, sum.single,
           sum.mismarked);
    return ok ? 0 : 1;
}

int main(int count, char **arguments)
{
    static struct account accounts[64];
    size_t account_count = 0;
    test_arena_start();
    kept = arena_new(0, NULL, NULL);
    published_set = table_set_default();
    struct mutation_cells cells = mutation_cells_load(kept, table_set_default());
    changed = table_set_copy(kept, table_set_default());
    published_set = changed; /* a row that needs the built-in set witnesses nothing */
    struct witnesses witnesses = all_witnesses();
    for (size_t i = 0; i < witnesses.count; i++)
        if (!holds(witnesses.items[i]))
            abort(); /* one that fails before anything is changed would notice everything */
    if (!rules_hold())
        return 1;
    if (count == 1 || strcmp(arguments[1], "--marks") != 0)
        printf("# %zu published rows hold and witness\n", witnesses.count);
    struct found found = {ARENA_ARRAY(kept, struct witnesses, cells.count)};
    narrow(&cells, 0, cells.count, witnesses, &found);
    if (count > 1 && strcmp(arguments[1], "--marks") == 0) {
        print_marks(&cells, &found);
        return 0;
    }
    for (size_t i = 0; i < cells.count; i++) {
        const struct mutation_cell *cell = &cells.items[i];
        struct account *account = account_of(accounts, &account_count, cell->row->table->id);
        struct verdict verdict = judge(cell, found.by_cell[i]);
        account->cells++;
        account->changes += 2;
        account->caught += (size_t)verdict.caught[0] + verdict.caught[1];
        account->single += !verdict.second;
        if (table_is_single(cell->row, cell->column->heading) == verdict.second) {
            account->mismarked++;
            print_mismarked(cell, verdict.second);
        }
        if (!(verdict.caught[0] && verdict.caught[1]) &&
            is_asked(arguments + 1, count - 1, cell->kind->name))
            print_survivor(cell, &verdict);
    }
    return print_account(accounts, account_count);
}
