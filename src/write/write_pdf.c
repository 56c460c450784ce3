/* write_pdf.c - cards.pdf: the sections of the pack laid out on pages. */
#include <gudgeon/write.h>

#include "press_private.h"

/* What is printed: the layout and its pages. */
struct cards {
    const struct layout *layout;
    const struct pages *pages;
};

static void draw_page(struct press *press, size_t index, void *user)
{
    const struct cards *cards = user;
    const struct page *page = &cards->pages->items[index];
    double left = index % 2 == 0 ? cards->layout->margin_inner : cards->layout->margin_outer;

    for (size_t i = 0; i < page->placed.count; i++)
        if (page->placed.items[i].slab != NULL)
            press_slab(press, page->placed.items[i].slab, left, page->placed.items[i].y);
}

/* Sections, and within them the headings on their pages. */
static void add_bookmarks(struct press *press, void *user)
{
    const struct cards *cards = user;
    const struct pack *pack = cards->layout->pack;

    for (size_t i = 0; i < cards->pages->count; i++) {
        const struct page *page = &cards->pages->items[i];
        if (page->number == 1)
            press_bookmark(press, 1, pack->sections.items[page->section]->title, i, 0);
        for (size_t j = 0; j < page->placed.count; j++) {
            const struct placed *placed = &page->placed.items[j];
            if (placed->slab != NULL && placed->slab->bookmark != NULL)
                press_bookmark(press, 2, placed->slab->bookmark, i, placed->y - LINE);
        }
    }
}

/* Numbers of pages are known now: the contents get theirs. */
static void number_contents(struct layout *layout, struct pages *pages)
{
    for (size_t i = 0; i < pages->count; i++)
        for (size_t j = 0; j < pages->items[i].placed.count; j++) {
            const struct slab *slab = pages->items[i].placed.items[j].slab;
            for (size_t k = 0; slab != NULL && k < slab->items.count; k++)
                if (slab->items.items[k].kind == ITEM_PAGE_OF)
                    slab->items.items[k].text =
                        str_print(layout->arena, "%zu",
                                  pages->first[slab->items.items[k].target] + 1);
        }
}

bool write_pdf(struct context *context, const struct pack *pack, struct outputs *outputs)
{
    if (pack->sections.count == 0)
        return true;

    struct layout layout = layout_on_paper(context, pack);
    struct pages *pages = layout_pages(&layout);
    number_contents(&layout, pages);
    struct cards cards = {&layout, pages};
    const struct press_job job = {.file = write_name(context->arena, pack, "cards", "pdf"),
                                  .title = pack->title,
                                  .width = layout.page_width, .height = layout.page_height,
                                  .page_count = pages->count, .first = pages->first,
                                  .draw_page = draw_page, .bookmarks = add_bookmarks,
                                  .user = &cards};
    return press_print(context, pack, &job, outputs);
}
