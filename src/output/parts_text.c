/* The component library for a terminal of 80 columns. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "output/layout.h"
#include "output/parts_full.h"

enum { ID_LEAST = 24, NUMBER_COLUMNS = 7, ID_MOST = 36 };

static void append_cell(PoiseText *t, double value, int decimals)
{
    PoiseText cell = {0};
    if (isnan(value))
        poise_text_append(&cell, "-");
    else
        poise_words_number(&cell, value, decimals);
    poise_layout_right(t, &cell, NUMBER_COLUMNS);
}

/* Text from the library's files, made inert and cut or filled up to `width` columns. */
static void append_column(PoiseText *t, const char *s, size_t width)
{
    PoiseText inert = {0};
    poise_text_append_inert(&inert, s);
    char *text = poise_text_take(&inert);
    if (text)
        poise_layout_left(t, text, width);
    else
        t->failed = true;
    poise_release(text);
}

/* What is left for the name; the last column may stay empty, so nothing is filled up. */
static void append_name(PoiseText *t, const char *name, size_t width)
{
    poise_text_append(t, "  ");
    if (poise_text_columns(name) <= width)
        poise_text_append_inert(t, name);
    else
        append_column(t, name, width);
    poise_text_append(t, "\n");
}

static size_t id_columns(const PoiseListing *l)
{
    size_t widest = ID_LEAST;
    for (size_t i = 0; i < l->count; i++) {
        size_t n = poise_text_columns(l->entries[i].id);
        widest = n > widest ? n : widest;
    }
    return widest < ID_MOST ? widest : ID_MOST;
}

static void add_head(PoiseText *t, const PoiseListed *e, size_t id)
{
    static const char *const columns[] = {" mass g      ±  price  name", "", "",
                                          "  g/cm³      ±  name"};
    bool material = e->kind == POISE_LISTED_MATERIAL;
    char *title = poise_format(material ? "%s (materials)" : "%s", e->family);
    poise_text_append(t, t->length ? "\n" : "");
    if (title && columns[e->kind][0])
        append_column(t, title, id + 2);
    else if (title)
        poise_text_append_inert(t, title);
    else
        t->failed = true;
    poise_text_printf(t, "%s\n", columns[e->kind]);
    poise_release(title);
}

static void add_row(PoiseText *t, const PoiseListed *e, size_t id)
{
    size_t left = POISE_SCREEN_COLUMNS - 1 - 2 - id - 2;
    poise_text_append(t, "  ");
    append_column(t, e->id, id);
    if (e->kind == POISE_LISTED_PART) {
        int decimals = poise_amount_decimals(e->mass_g, e->mass_u_g);
        append_cell(t, e->mass_g, decimals);
        append_cell(t, e->mass_u_g, decimals);
        append_cell(t, e->part->has_price ? e->part->price : (double)NAN,
                    e->part->price < 9.95 ? 1 : 0);
        left -= 3 * NUMBER_COLUMNS;
    } else if (e->kind == POISE_LISTED_MATERIAL) {
        append_cell(t, e->material->density_g_cm3.value, 3);
        append_cell(t, e->material->density_g_cm3.u, 3);
        left -= 2 * NUMBER_COLUMNS;
    }
    append_name(t, e->name, left);
}

static void add_full(PoiseText *t, const PoiseListed *e)
{
    PoiseFactList list = {0};
    poise_text_append(t, t->length ? "\n" : "");
    poise_text_append_inert(t, e->id);
    poise_text_append(t, "\n");
    poise_words_listed(&list, e);
    for (size_t i = 0; i < list.count; i++)
        poise_layout_fact(t, list.lines[i].label, list.lines[i].value);
    t->failed = t->failed || list.failed;
    poise_facts_clear(&list);
}

/* One in full when it is alone, asked for by its id, or when all are. */
static bool full(const PoiseListing *l, const PoiseListed *e, bool in_full)
{
    return in_full || l->count == 1 || e->exact;
}

static void add_table(PoiseText *t, const PoiseListing *l)
{
    const PoiseListed *before = NULL;
    size_t id = id_columns(l);
    for (size_t i = 0; i < l->count; i++) {
        const PoiseListed *e = &l->entries[i];
        if (full(l, e, false))
            continue;
        if (!before || before->kind != e->kind || strcmp(before->family, e->family) != 0)
            add_head(t, e, id);
        add_row(t, e, id);
        before = e;
    }
}

char *poise_parts_text(const PoiseListing *l, bool in_full)
{
    PoiseText t = {0};
    if (l->match == POISE_MATCH_NEAR)
        poise_text_append(&t, "Nothing has just these words; the nearest:\n");
    for (size_t i = 0; i < l->count; i++)
        if (full(l, &l->entries[i], in_full))
            add_full(&t, &l->entries[i]);
    if (in_full || l->count < 2)
        return poise_text_take(&t);
    add_table(&t, l);
    poise_text_printf(
        &t,
        "\n%zu found. ± is one standard uncertainty. \"poise parts NAME\" shows one in "
        "full.\n",
        l->count);
    return poise_text_take(&t);
}

/* The ids of a family, as many as the line takes. */
static void add_family(PoiseText *t, const PoiseListing *l, size_t first, size_t n)
{
    PoiseText ids = {0}, count = {0};
    poise_text_append(t, "  ");
    append_column(t, l->entries[first].family, 17);
    poise_text_printf(&count, "%zu", n);
    poise_layout_right(t, &count, 4);
    for (size_t i = first; i < first + n && ids.length < POISE_SCREEN_COLUMNS; i++)
        poise_text_printf(&ids, "%s%s", i > first ? ", " : "", l->entries[i].id);
    char *text = poise_text_take(&ids);
    if (text)
        append_name(t, text, POISE_SCREEN_COLUMNS - 1 - 25);
    else
        t->failed = true;
    poise_release(text);
}

char *poise_parts_overview(const PoiseListing *l)
{
    static const char *const titles[] = {
        "Parts, for items of kind \"part\"", "Necks, presets for items of kind \"neck\"",
        "String sets, presets for items of kind \"strings\"", "Materials, for \"material\""};
    PoiseText t = {0};
    poise_text_printf(&t,
                      "The component library: %zu parts, %zu necks, %zu string sets, %zu "
                      "materials\n",
                      l->library[0], l->library[1], l->library[2], l->library[3]);
    for (size_t i = 0, j; i < l->count; i = j) {
        const PoiseListed *e = &l->entries[i];
        if (i == 0 || e[-1].kind != e->kind)
            poise_text_printf(&t, "\n%s\n", titles[e->kind]);
        for (j = i; j < l->count && l->entries[j].kind == e->kind &&
                    strcmp(l->entries[j].family, e->family) == 0;)
            j++;
        add_family(&t, l, i, j - i);
    }
    poise_text_append(&t, "\n  poise parts WORD...          search: poise parts bass bridge\n"
                          "  poise parts --family FAMILY  all of one family\n"
                          "  poise parts NAME             one of them in full\n");
    return poise_text_take(&t);
}
