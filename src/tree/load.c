/* load.c - a spec with all it uses and rests on, as one tree (specs/LANGUAGE.md, section 3). */
#include "load_private.h"

#include <gudgeon/file.h>

#include <assert.h>
#include <string.h>

enum role { ROLE_SPEC, ROLE_USED, ROLE_BASE };

static void file_open(struct loader *loader, struct loaded *file, enum role role);

static bool after(struct span a, struct span b)
{
    return a.file != b.file ? a.file > b.file : a.begin > b.begin;
}

static bool is_base_link(const struct loaded_link *link)
{
    return str_equal(link->name->key, "base");
}

/* The file that `back` names is already open: the links from it on are a loop. */
static void report_loop(struct loader *loader, const struct loaded *back)
{
    struct diags *diags = &loader->context->diags;
    struct str_buf story = {.arena = loader->context->arena};
    const struct loaded_link *links = loader->stack.items;
    size_t first = 0, last, count = loader->stack.count;

    while (links[first].file != back)
        first++;
    last = first;
    str_add_print(&story, "%s", back->path);
    for (size_t i = first; i < count; i++) {
        str_add_print(&story, "%s %s %s", i == first ? "" : ", which",
                      is_base_link(&links[i]) ? "rests on" : "uses",
                      i + 1 < count ? links[i + 1].file->path : back->path);
        if (after(links[i].name->span, links[last].name->span))
            last = i;
    }
    struct diag *diag = diag_add(diags, DIAG_TREE_FILE_LOOP, links[last].name->span, "%s",
                                 story.bytes);
    for (size_t i = first; i < count; i++)
        if (i != last)
            diag_label(diags, diag, links[i].name->span, "%s %s this", links[i].file->path,
                       is_base_link(&links[i]) ? "rests on" : "uses");
    diag_hint(diags, diag, "take one of the links out");
}

static bool is_spec_name(const char *path)
{
    return str_ends(path, ".yaml") || str_ends(path, ".yml");
}

/* Opens the file that `name` in `from` names, and all below it; NULL after a report. */
static struct loaded *named_open(struct loader *loader, struct loaded *from,
                                 const struct node *name, enum role role)
{
    struct context *context = loader->context;
    const char *path = loaded_beside(loader, from->path, name->text);

    if (!is_spec_name(path) && (role == ROLE_BASE || !str_ends(path, ".csv"))) {
        struct diag *diag = diag_add(&context->diags, DIAG_FILE_KIND, name->span,
                                     role == ROLE_BASE ? "a base is a .yaml file"
                                                       : "only .yaml and .csv files can be used");
        diag_hint(&context->diags, diag,
                  "other files are named where they belong, such as `readings`");
        return NULL;
    }
    struct loaded *file = loaded_find(loader, path, name->span);
    if (file == NULL)
        return NULL;
    *ARRAY_PUSH(context->arena, &loader->stack) = (struct loaded_link){from, name};
    if (file->open) {
        report_loop(loader, file);
        file = NULL;
    } else {
        file_open(loader, file, role);
    }
    loader->stack.count--;
    return file;
}

static void report_form(struct loader *loader, const struct node *at, const char *words)
{
    struct diag *diag = diag_add(&loader->context->diags, DIAG_TREE_FILE_NAMES, at->span, "%s",
                                 words);

    diag_hint(&loader->context->diags, diag,
              "such as `use: [shop.yaml, fasteners.csv]` and `base: pintail.yaml`");
}

static void use_open(struct loader *loader, struct loaded *file, const struct node *name)
{
    if (name->kind != NODE_SCALAR || tree_is_null(name) || name->text[0] == '\0') {
        report_form(loader, name, "the name of a file is expected");
        return;
    }
    struct loaded_link link = {named_open(loader, file, name, ROLE_USED), name};
    if (link.file != NULL)
        *ARRAY_PUSH(loader->context->arena, &file->uses) = link;
}

static void uses_open(struct loader *loader, struct loaded *file, const struct node *use)
{
    if (use->kind == NODE_SCALAR)
        use_open(loader, file, use);
    else if (use->kind == NODE_MAP)
        report_form(loader, use, "`use` takes a list of files, found a mapping");
    else
        for (const struct node *name = use->child; name != NULL; name = name->next)
            use_open(loader, file, name);
}

static void base_open(struct loader *loader, struct loaded *file, const struct node *base)
{
    if (base->kind != NODE_SCALAR || tree_is_null(base) || base->text[0] == '\0') {
        report_form(loader, base, "`base` takes the name of one file");
        return;
    }
    file->base = (struct loaded_link){named_open(loader, file, base, ROLE_BASE), base};
}

static void check_version(struct loader *loader, const struct loaded *file,
                          const struct node *root, enum role role)
{
    struct diags *diags = &loader->context->diags;
    const struct node *version = file->version, *first = root->child;
    struct diag *diag;

    if (version == NULL) {
        if (role == ROLE_USED)
            return;
        bool braces = first == NULL || root->span.begin < first->key_span.begin;
        diag = diag_add(diags, DIAG_TREE_VERSION_MISSING,
                        first != NULL ? first->key_span : root->span,
                        "`gudgeon: 1` is missing before this");
        diag_hint(diags, diag, "begin the file with the line `gudgeon: 1`");
        if (!braces)
            diag_fix(diags, diag,
                     (struct span){file->source, root->span.begin, root->span.begin},
                     "gudgeon: 1\n");
        return;
    }
    if (version != first) {
        diag = diag_add(diags, DIAG_TREE_VERSION_FIRST, version->key_span,
                        "`gudgeon` stands behind `%s`", first->key);
        diag_hint(diags, diag, "move it to the top");
    }
    if (version->kind != NODE_SCALAR || !str_equal(version->text, "1")) {
        diag = diag_add(diags, DIAG_TREE_VERSION_UNKNOWN, version->span,
                        "version 1 is expected, found %s",
                        version->kind == NODE_SCALAR ? version->text : "no text");
        diag_fix(diags, diag, version->span, "1");
    }
}

/* Splits what a file says from what it names. */
static void file_split(struct loader *loader, struct loaded *file, struct node *root)
{
    struct node *own = ARENA_NEW(loader->context->arena, struct node);
    struct list_end end = {.parent = own};

    *own = *root;
    own->child = NULL;
    own->count = 0;
    for (struct node *child = root->child, *next; child != NULL; child = next) {
        next = child->next;
        if (strcmp(child->key, "gudgeon") == 0 || strcmp(child->key, "use") == 0 ||
            strcmp(child->key, "base") == 0)
            continue;
        list_append(&end, child);
    }
    file->own = own;
}

/* A reference table, whose first line is `# table: KIND`, is read by the table stage. */
static bool is_reference_table(const struct source *source)
{
    const char *at = source->bytes + source->line_starts[0];
    size_t length;

    source_line(source, 1, &length);
    const char *end = at + length;
    if (at == end || *at != '#')
        return false;
    for (at++; at < end && *at == ' '; at++)
        ;
    return (size_t)(end - at) >= 6 && memcmp(at, "table:", 6) == 0;
}

static void csv_open(struct loader *loader, struct loaded *file)
{
    struct context *context = loader->context;
    struct span span = {file->source, 0, 0};

    if (is_reference_table(source_of(&context->sources, span))) {
        if (parse_text_is_good(context, file->source))
            *ARRAY_PUSH(context->arena, &loader->tree->tables) = file->source;
        return;
    }
    file->own = section_of_csv(loader, file->source);
}

/* Reads what is in a file and opens what it names. Once a file. */
static void file_open(struct loader *loader, struct loaded *file, enum role role)
{
    if (file->own != NULL) { /* another file has named it too */
        if (role == ROLE_BASE && file->version == NULL)
            check_version(loader, file, file->own, role);
        return;
    }
    if (str_ends(file->path, ".csv")) {
        if (!file->listed)
            csv_open(loader, file);
        file->listed = true;
        return;
    }
    if (file->listed)
        return; /* it could not be read, and that was said */
    file->listed = true;
    struct node *root = parse_counted(loader->context, file->source, &loader->nodes);
    if (root == NULL)
        return;
    file->version = tree_child(root, "gudgeon");
    check_version(loader, file, root, role);
    const struct node *use = tree_child(root, "use"), *base = tree_child(root, "base");
    file->open = true;
    if (use != NULL)
        uses_open(loader, file, use);
    if (base != NULL)
        base_open(loader, file, base);
    file->open = false;
    file_split(loader, file, root);
}

/* Base of base of …; the chain is finite, since loops were refused. */
static bool chains_are_short(struct loader *loader)
{
    for (size_t i = 0; i < loader->files.count; i++) {
        const struct loaded *at = loader->files.items[i];
        size_t length = 0;
        while (at->base.file != NULL && length <= BOUND_CHAIN) {
            at = at->base.file;
            length++;
        }
        if (length > BOUND_CHAIN) {
            diag_add(&loader->context->diags, DIAG_TREE_CHAIN,
                     loader->files.items[i]->base.name->span,
                     "base of base through more than %d files, the bound", BOUND_CHAIN);
            return false;
        }
    }
    return true;
}

static struct tree *spec_load(struct loader *loader, struct loaded *spec)
{
    struct context *context = loader->context;
    size_t errors = context->diags.errors;

    if (!loaded_bounds(loader, spec->real))
        return NULL;
    file_open(loader, spec, ROLE_SPEC);
    if (context->diags.errors != errors || !chains_are_short(loader))
        return NULL;
    struct node *root = layer_make(loader, spec);
    struct node *version = ARENA_NEW(context->arena, struct node);
    *version = *spec->version;
    version->next = root->child;
    root->child = version;
    root->count++;
    root->span = spec->own->span;
    if (context->diags.errors != errors)
        return NULL;
    like_apply(context, root, &loader->copies);
    if (context->diags.errors != errors)
        return NULL;
    like_check_nulls(context, root);
    loader->tree->root = root;
    return context->diags.errors == errors ? loader->tree : NULL;
}

static struct loader *loader_new(struct context *context, const char *path)
{
    struct loader *loader = ARENA_NEW(context->arena, struct loader);

    loader->context = context;
    loader->tree = ARENA_NEW(context->arena, struct tree);
    loader->tree->path = path;
    loader->tree->loader = loader;
    return loader;
}

struct tree *tree_load(struct context *context, const char *path)
{
    struct loader *loader = loader_new(context, path);
    struct loaded *spec = loaded_spec(loader, path);

    return spec == NULL ? NULL : spec_load(loader, spec);
}

struct tree *tree_load_bytes(struct context *context, const char *path, const char *bytes,
                             size_t size)
{
    struct loader *loader = loader_new(context, path);
    const char *real = file_real(context->arena, path);

    if (size > BOUND_FILE_BYTES) {
        diag_add(&context->diags, DIAG_FILE_TOO_LARGE, (struct span){0},
                 "`%s` is larger than %d bytes, the bound", path, BOUND_FILE_BYTES);
        return NULL;
    }
    return spec_load(loader, loaded_add(loader, path, real != NULL ? real : path,
                                        str_slice(context->arena, bytes, size), size));
}

uint32_t tree_open(struct context *context, const struct tree *tree, const char *name,
                   struct span at)
{
    const struct source *from = source_of(&context->sources, at);
    const char *path = loaded_beside(tree->loader, from != NULL ? from->path : tree->path, name);

    assert(tree->loader->context == context);
    const struct loaded *file = loaded_find(tree->loader, path, at);
    return file == NULL ? 0 : file->source;
}
