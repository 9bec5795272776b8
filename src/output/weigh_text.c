/* The results of weighing as a table for a terminal of 80 columns. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "output/layout.h"
#include "output/words.h"
#include "poise/weigh.h"

static const char *const KINDS[] = {"printed", "poured", "solid", "neck",
                                    "strings", "part",   "mass"};

static void mass_cell(PoiseText *t, double mass_g)
{
    poise_words_number(t, mass_g, fabs(mass_g) < 9.95 ? 1 : 0);
}

static void number_cell(PoiseText *row, size_t width, double value, int decimals)
{
    PoiseText cell = {0};
    poise_words_number(&cell, value, decimals);
    poise_layout_right(row, &cell, width);
}

static void item_row(PoiseText *t, const char *name, const PoiseBody *body, double u_g,
                     double total_g, bool weighed)
{
    PoiseText cell = {0};
    poise_layout_left(t, name, 29);
    mass_cell(&cell, body->mass_g);
    poise_text_append(&cell, weighed ? "*" : " ");
    poise_layout_right(t, &cell, 8);
    mass_cell(&cell, u_g);
    poise_layout_right(t, &cell, 6);
    number_cell(t, 8, 100.0 * body->mass_g / total_g, 1);
    for (int i = 0; i < 3; i++)
        number_cell(t, 9, body->centre_mm[i], 0);
    poise_text_append(t, "\n");
}

static void add_group(PoiseText *t, const PoiseWeighing *w, const char *kind)
{
    bool titled = false;
    for (size_t i = 0; i < w->item_count; i++) {
        const PoiseItemResult *r = &w->items[i];
        if (strcmp(r->kind, kind) != 0)
            continue;
        if (!titled)
            poise_text_printf(t, "%s\n", poise_words_group(kind));
        titled = true;
        PoiseText name = {0};
        poise_text_append(&name, "  ");
        poise_text_append_inert(&name, r->id);
        char *text = poise_text_take(&name);
        if (text)
            item_row(t, text, &r->body, r->mass_u_g, w->total.mass_g, r->measured);
        else
            t->failed = true;
        poise_release(text);
    }
}

static void add_table(PoiseText *t, const PoiseWeighing *w)
{
    bool weighed = false;
    poise_text_append(
        t, "                                mass      ±   share      centre of mass, mm\n"
           "                                   g      g       %        x        y        z\n");
    for (size_t k = 0; k < sizeof KINDS / sizeof *KINDS; k++)
        add_group(t, w, KINDS[k]);
    item_row(t, "Total", &w->total, w->mass_u_g, w->total.mass_g, false);
    for (size_t i = 0; i < w->item_count; i++)
        weighed = weighed || w->items[i].measured;
    poise_text_append(t, weighed ? "  * weighed, not estimated\n" : "");
    poise_text_append(t, "  Positions are the drawing's own; headwards means towards the head.\n");
}

static void add_list_of_facts(PoiseText *t, PoiseFactList *list)
{
    for (size_t i = 0; i < list->count; i++)
        poise_layout_fact(t, list->lines[i].label, list->lines[i].value);
    t->failed = t->failed || list->failed;
    poise_facts_clear(list);
}

static void add_facts(PoiseText *t, const PoiseWeighing *w,
                      void (*words)(PoiseFactList *, const PoiseWeighing *))
{
    PoiseFactList list = {0};
    words(&list, w);
    add_list_of_facts(t, &list);
}

static void add_doubt(PoiseText *t, const PoiseWeighing *w)
{
    PoiseFactList list = {0};
    poise_words_doubt(&list, w);
    if (list.count)
        poise_text_append(t, "\nHow sure (± is one standard uncertainty)\n");
    add_list_of_facts(t, &list);
}

/* The resin cards. */
static void add_pours(PoiseText *t, const PoiseWeighing *w)
{
    for (size_t i = 0; i < w->item_count; i++) {
        PoiseFactList list = {0};
        poise_words_pour(&list, &w->items[i]);
        if (list.count) {
            poise_text_append(t, "\nPour \"");
            poise_text_append_inert(t, w->items[i].id);
            poise_text_append(t, "\"\n");
        }
        add_list_of_facts(t, &list);
    }
}

static void add_verdict(PoiseText *t, const PoiseWeighing *w,
                        void (*words)(PoiseText *, const PoiseWeighing *))
{
    PoiseText verdict = {0};
    poise_text_append(t, "\n");
    words(&verdict, w);
    char *text = poise_text_take(&verdict);
    if (text)
        poise_layout_wrap(t, "", 2, text);
    else
        t->failed = true;
    poise_release(text);
}

static void add_list(PoiseText *t, const char *title, const char *const *lines, size_t n)
{
    if (n == 0)
        return;
    poise_text_printf(t, "\n%s\n", title);
    for (size_t i = 0; i < n; i++)
        poise_layout_bullet(t, lines[i]);
}

static void add_lines(PoiseText *t, const PoiseWeighing *w)
{
    const char *lines[POISE_MOST_LINES];
    size_t n = poise_words_limits(w, lines);
    add_list(t, "How far to trust this", lines, n);
    n = poise_words_rules(w, lines);
    add_list(t, "Rules of thumb (common practice, no source)", lines, n);
}

char *poise_weighing_text(const PoiseWeighing *w)
{
    PoiseText t = {0};
    poise_text_append_inert(&t, w->name);
    if (w->variant) {
        poise_text_append(&t, ", variant \"");
        poise_text_append_inert(&t, w->variant);
        poise_text_append(&t, "\"");
    }
    poise_text_append(&t, "\n\n");
    add_table(&t, w);
    poise_text_append(&t, "\n");
    add_facts(&t, w, poise_words_weight);
    if (w->has_strap) {
        add_verdict(&t, w, poise_words_strap_verdict);
        add_facts(&t, w, poise_words_strap);
    }
    if (w->has_seat) {
        add_verdict(&t, w, poise_words_seat_verdict);
        add_facts(&t, w, poise_words_seat);
    }
    add_doubt(&t, w);
    if (w->target_count || w->filament_g > 0.0)
        poise_text_append(&t, "\n");
    add_facts(&t, w, poise_words_targets);
    add_facts(&t, w, poise_words_print);
    add_pours(&t, w);
    add_list(&t, "Warnings", (const char *const *)w->warnings, w->warning_count);
    add_lines(&t, w);
    add_list(&t, "Cautions", (const char *const *)w->cautions, w->caution_count);
    return poise_text_take(&t);
}
