/* Steps, tables and contents on pages. What readers of the PDF see of it: tests/e2e/pages.py. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "../../src/write/layout_private.h"
#include "sample_pack.h"

static struct context *context;
static struct arena *arena;
static const struct template *template;

static void set_up(void)
{
    context = context_new(NULL);
    arena = context->arena;
    template = template_load(context, NULL);
    cr_assert_not_null(template);
}

static void tear_down(void)
{
    context_free(context);
}

TestSuite(write_layout, .init = set_up, .fini = tear_down);

/* A page of A4 (ISO 216: 210 mm by 297 mm), or one of half its width. */
static struct layout *layout_of(const struct pack *pack, double width_mm)
{
    struct layout *layout = ARENA_NEW(arena, struct layout);

    *layout = (struct layout){.arena = arena, .pack = pack, .labels = template->labels,
                              .page_width = width_mm * MM, .page_height = 297 * MM,
                              .margin_top = 40, .margin_bottom = 40, .margin_inner = 40,
                              .margin_outer = 40, .width = width_mm * MM - 80};
    layout->slabs = ARENA_NEW(arena, struct slabs);
    return layout;
}

static const struct item *text_item(const struct slab *slab, const char *text)
{
    for (size_t i = 0; i < slab->items.count; i++)
        if (slab->items.items[i].text != NULL && strcmp(slab->items.items[i].text, text) == 0)
            return &slab->items.items[i];
    return NULL;
}

static double right_end(const struct item *item)
{
    return item->align < 0 ? item->x + text_width(item->style, item->text)
           : item->align > 0 ? item->x : item->x + text_width(item->style, item->text) / 2;
}

static double left_end(const struct item *item)
{
    return item->align < 0 ? item->x
                           : right_end(item) - text_width(item->style, item->text);
}

/* A drawing has its place to itself. */
static void expect_clear(const struct slab *slab, const struct item *drawing, const char *what)
{
    for (size_t i = 0; i < slab->items.count; i++) {
        const struct item *text = &slab->items.items[i];
        if (text->text == NULL || text->y < drawing->y || text->y > drawing->y + drawing->h + 7)
            continue;
        cr_expect(right_end(text) < drawing->x || left_end(text) > drawing->x + drawing->w,
                  "%s: '%s' on the drawing", what, text->text);
    }
}

/* No text leaves the text area or touches another in its line. */
static void expect_apart(const struct layout *layout, const struct slab *slab, const char *what)
{
    for (size_t i = 0; i < slab->items.count; i++) {
        const struct item *a = &slab->items.items[i];
        if (a->kind == ITEM_DRAWING)
            expect_clear(slab, a, what);
        if (a->text == NULL)
            continue;
        cr_expect(left_end(a) > -0.01 && right_end(a) < layout->width + 0.6, "%s: '%s' leaves the page",
                  what, a->text);
        for (size_t j = i + 1; j < slab->items.count; j++) {
            const struct item *b = &slab->items.items[j];
            if (b->text != NULL && fabs(a->y - b->y) < 8)
                cr_expect(right_end(a) < left_end(b) + 0.01 || right_end(b) < left_end(a) + 0.01,
                          "%s: '%s' on '%s'", what, a->text, b->text);
        }
    }
}

static void add_field(struct step_block *step, const char *label, const char *text, bool strong)
{
    (void)ARRAY_PUSH(arena, &step->fields);
    step->fields.items[step->fields.count - 1].label = label;
    step->fields.items[step->fields.count - 1].text = text;
    step->fields.items[step->fields.count - 1].strong = strong;
}

static void add_check(struct step_block *step, int kind, const char *label)
{
    struct step_check *check = ARRAY_PUSH(arena, &step->checks);

    *check = (struct step_check){.label = label};
    check->kind = kind;
}

static struct step_block *new_step(const char *number, const char *object)
{
    struct step_block *step = ARENA_NEW(arena, struct step_block);

    step->number = number;
    step->action = "Take off";
    step->object = object;
    add_check(step, CHECK_TICK, "done");
    return step;
}

static const struct slab *laid_out(struct layout *layout, const struct step_block *step,
                                   const struct figure *figure)
{
    layout_step(layout, step, figure);
    return layout->slabs->items[layout->slabs->count - 1];
}

Test(write_layout, a_step_with_little_to_say_takes_a_line)
{
    struct layout *layout = layout_of(sample_pack(arena, template), 210);
    struct step_block *step = new_step("23", "Pump cover");
    double bare = laid_out(layout, step, NULL)->height;

    cr_expect_leq(bare, 2 * LINE, "%g", bare);
    add_field(step, "Number", "SM-1705", false);
    const struct slab *slab = laid_out(layout, step, NULL);
    cr_expect_eq(slab->height, bare);
    cr_expect_float_eq(text_item(slab, "SM-1705")->y, text_item(slab, "Pump cover")->y, 0.01);
    add_field(step, "Note", "One blade is pitted; renew or build up, to be decided when the blades are clean.",
              false);
    slab = laid_out(layout, step, NULL);
    cr_expect_gt(slab->height, bare + LINE - 1);
    expect_apart(layout, slab, "two fields");
}

Test(write_layout, strong_facts_come_first_and_what_differs_stays_with_them)
{
    struct layout *layout = layout_of(sample_pack(arena, template), 210);
    struct step_block *step = new_step("8", "Head nuts");
    const char *differs = label(template->labels, "field.sources-differ");

    add_field(step, "Holds", "Cylinder head", false);
    add_field(step, "Critical", " ", true);
    add_field(step, "Torque", "28 lbf ft (38.0 N m)", true);
    add_field(step, differs, "Bulletin 6: 25 lbf ft", false);
    add_field(step, "Thread", "7/16 BSF", false);
    add_field(step, "Wrench set to", "38.0 N m", true);
    const struct slab *slab = laid_out(layout, step, NULL);
    static const char *const order[] = {"28 lbf ft (38.0 N m)", "Bulletin 6: 25 lbf ft", "38.0 N m",
                                        "Cylinder head"};
    for (size_t i = 1; i < sizeof order / sizeof *order; i++)
        cr_expect_lt(text_item(slab, order[i - 1])->y, text_item(slab, order[i])->y, "'%s'", order[i]);
    for (size_t i = 1; i < 3; i++)
        cr_expect_float_eq(text_item(slab, order[i])->x, text_item(slab, order[0])->x, 0.01);
    cr_expect_float_eq(text_item(slab, "Critical")->y, text_item(slab, "Head nuts")->y, 0.01);
    expect_apart(layout, slab, "a torque");
}

/* Words of every length, on a wide and a narrow page, with a figure and without. */
Test(write_layout, nothing_on_a_step_lies_on_anything_else)
{
    static const size_t lengths[] = {1, 12, 40, 90, 300};
    struct figure figure = {.kind = FIGURE_PATTERN};

    for (int64_t i = 0; i < 8; i++) {
        *ARRAY_PUSH(arena, &figure.x_mm) = (double)(i % 4) * 30;
        *ARRAY_PUSH(arena, &figure.y_mm) = (double)(i / 4) * 30;
        *ARRAY_PUSH(arena, &figure.sequence) = i + 1;
    }
    for (size_t i = 0; i < 5 * 5 * 4; i++) {
        struct layout *layout = layout_of(sample_pack(arena, template), i / 50 == 0 ? 210 : 148);
        char *name = arena_alloc(arena, lengths[i % 5] + 1);
        memset(name, 'w', lengths[i % 5]);
        for (size_t k = i % 2 + 7; i % 10 < 7 && k + 1 < lengths[i % 5]; k += 5 + k % 7)
            name[k] = ' '; /* the others fill their lines to the end */
        name[lengths[i % 5]] = '\0';
        struct step_block *step = new_step("123", name);
        add_field(step, "Critical", " ", true);
        if (i % 4 > 0) /* the others have so little to say that it stands behind the title */
            add_field(step, "Torque", "28 lbf ft (38.0 N m)", true);
        if (i % 4 > 1)
            add_field(step, "Wrench set to", name, true);
        for (size_t k = 0; k < i / 5 % 5 * 3; k++)
            add_field(step, k % 3 == 0 ? "Turn the" : "Thread cut in", k % 2 == 0 ? name : "nut", false);
        add_check(step, i % 2 == 0 ? CHECK_INITIALS : CHECK_COUNT, "Initials");
        *ARRAY_PUSH(arena, &step->cautions) = name;
        *ARRAY_PUSH(arena, &step->last_chance) = name;
        *ARRAY_PUSH(arena, &step->last_chance) = "Camshaft";
        expect_apart(layout, laid_out(layout, step, i % 3 == 0 ? &figure : NULL), name);
    }
}

static bool has_number(const struct page *page)
{
    for (size_t i = 0; i < page->placed.count; i++) {
        const struct slab *slab = page->placed.items[i].slab;
        for (size_t k = 0; slab != NULL && k < slab->items.count; k++)
            if (slab->items.items[k].text != NULL && slab->items.items[k].style == STYLE_STEP_BOLD)
                return true;
    }
    return false;
}

static struct pack *card_of(size_t steps)
{
    struct pack *pack = ARENA_NEW(arena, struct pack);
    struct section *card = ARENA_NEW(arena, struct section);

    *pack = (struct pack){.title = "Engine", .template = template};
    *card = (struct section){.kind = SECTION_CARD, .id = "strip:head", .title = "Cylinder head"};
    *ARRAY_PUSH(arena, &pack->sections) = card;
    for (size_t i = 0; i <= steps; i++) {
        struct block *block = ARENA_NEW(arena, struct block);
        block->kind = i < steps ? BLOCK_STEP : BLOCK_SIGN_OFF;
        if (i < steps)
            block->step = new_step(str_print(arena, "%zu", i + 1), "Valve spring");
        *ARRAY_PUSH(arena, &card->blocks) = block;
    }
    *ARRAY_PUSH(arena, &card->sources) = "Owner's handbook, p. 21";
    return pack;
}

Test(write_layout, no_page_is_for_signatures_alone_and_a_page_is_saved_where_it_can_be)
{
    size_t tightened = 0, before = 1;

    for (size_t steps = 1; steps < 130; steps++) {
        struct layout *layout = layout_of(card_of(steps), 210);
        const struct pages *pages = layout_pages(layout);
        for (size_t i = 0; i < pages->count; i++)
            cr_expect(has_number(&pages->items[i]), "%zu steps: page %zu has no step", steps, i + 1);
        cr_expect(pages->count == before || pages->count == before + 1);
        before = pages->count;
        tightened += layout->tight;
    }
    cr_expect_geq(before, 3);
    cr_expect_geq(tightened, 5, "only %zu cards were set closer to spare a page", tightened);
}

static struct table *table_of(const char *const *texts, size_t columns, size_t rows)
{
    struct table *table = ARENA_NEW(arena, struct table);

    table->id = "limits";
    for (size_t i = 0; i < columns; i++)
        *ARRAY_PUSH(arena, &table->columns) =
            (struct column){.key = "k", .heading = "What", .kind = CELL_TEXT};
    for (size_t i = 0; i < rows; i++) {
        struct cell *cells = ARENA_ARRAY(arena, struct cell, columns);
        for (size_t k = 0; k < columns; k++)
            cells[k] = (struct cell){.kind = CELL_TEXT, .text = texts[(i * columns + k) % 7]};
        *ARRAY_PUSH(arena, &table->rows) = cells;
    }
    return table;
}

Test(write_layout, tables_keep_their_columns_apart_and_long_remarks_go_below_the_row)
{
    static const char *const texts[] = {
        "inside", "0.0015..0.0030 in (0.038..0.076 mm)", "Tappet guide in the crankcase 2-ex",
        "near the new limit: 0.0002 in (0.005 mm) inside the upper new limit", "", "bench", "at most 4 g"};
    struct layout *layout = layout_of(sample_pack(arena, template), 210);
    bool below = false;

    for (size_t columns = 1; columns < 8; columns++) {
        layout->slabs->count = 0;
        layout_table(layout, table_of(texts, columns, 14));
        cr_assert_eq(layout->slabs->count, 15);
        for (size_t i = 0; i < 15; i++) {
            const struct slab *slab = layout->slabs->items[i];
            const struct item *remark = text_item(slab, texts[3]);
            expect_apart(layout, slab, "a table");
            below = below || (remark != NULL && columns > 3 && remark->y > LINE + 4);
        }
    }
    cr_expect(below, "no long remark stands in one line below its row");
}
