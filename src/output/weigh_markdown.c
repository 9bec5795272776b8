/* The results of weighing as Markdown (CommonMark with pipe tables). */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "output/words.h"
#include "poise/weigh.h"

void poise_words_markdown(PoiseText *t, const char *s)
{
    PoiseText inert = {0};
    poise_text_append_inert(&inert, s);
    char *text = poise_text_take(&inert);
    if (!text) {
        t->failed = true;
        return;
    }
    for (const char *c = text; *c; c++) {
        if (*c == '<' || *c == '>' || *c == '&')
            poise_text_append(t, *c == '<' ? "&lt;" : *c == '>' ? "&gt;" : "&amp;");
        else if (strchr("\\`*_{}[]()#+!|~", *c))
            poise_text_printf(t, "\\%c", *c);
        else
            poise_text_append_n(t, c, 1);
    }
    poise_release(text);
}

static void number(PoiseText *t, double value, int decimals)
{
    poise_text_append(t, " ");
    poise_words_number(t, value, decimals);
    poise_text_append(t, " |");
}

static void add_row(PoiseText *t, const char *name, const char *group, const PoiseBody *b,
                    double u_g, double total_g)
{
    poise_text_append(t, "| ");
    poise_words_markdown(t, name);
    poise_text_printf(t, " | %s |", group);
    number(t, b->mass_g, 1);
    number(t, u_g, 1);
    number(t, 100.0 * b->mass_g / total_g, 1);
    for (int i = 0; i < 3; i++)
        number(t, b->centre_mm[i], 0);
    poise_text_append(t, "\n");
}

static void add_list_of_facts(PoiseText *t, PoiseFactList *list)
{
    for (size_t i = 0; i < list->count; i++) {
        poise_text_printf(t, "- %s: ", list->lines[i].label);
        if (list->lines[i].outside)
            poise_words_markdown(t, list->lines[i].value);
        else
            poise_text_append(t, list->lines[i].value);
        poise_text_append(t, "\n");
    }
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
        poise_text_append(t, "\n## How sure (± is one standard uncertainty)\n\n");
    add_list_of_facts(t, &list);
}

/* The resin cards. */
static void add_pours(PoiseText *t, const PoiseWeighing *w)
{
    for (size_t i = 0; i < w->item_count; i++) {
        PoiseFactList list = {0};
        poise_words_pour(&list, &w->items[i]);
        if (list.count) {
            poise_text_append(t, "\n## Pour: ");
            poise_words_markdown(t, w->items[i].id);
            poise_text_append(t, "\n\n");
        }
        add_list_of_facts(t, &list);
    }
}

static void add_list(PoiseText *t, const char *title, const char *const *lines, size_t n)
{
    if (n == 0)
        return;
    poise_text_printf(t, "\n## %s\n\n", title);
    for (size_t i = 0; i < n && lines[i]; i++) {
        poise_text_append(t, "- ");
        poise_words_markdown(t, lines[i]);
        poise_text_append(t, "\n");
    }
}

static void add_verdict(PoiseText *t, const char *title, const PoiseWeighing *w,
                        void (*verdict)(PoiseText *, const PoiseWeighing *),
                        void (*facts)(PoiseFactList *, const PoiseWeighing *))
{
    poise_text_printf(t, "\n## %s\n\n**", title);
    verdict(t, w);
    poise_text_append(t, "**\n\n");
    add_facts(t, w, facts);
}

char *poise_weighing_markdown(const PoiseWeighing *w)
{
    PoiseText t = {0};
    poise_text_append(&t, "# ");
    poise_words_markdown(&t, w->name);
    if (w->variant) {
        poise_text_append(&t, ", variant ");
        poise_words_markdown(&t, w->variant);
    }
    poise_text_append(&t, "\n\n| item | group | mass g | ± g | share % | x mm | y mm | z mm |\n"
                          "|---|---|--:|--:|--:|--:|--:|--:|\n");
    for (size_t i = 0; i < w->item_count; i++) {
        const PoiseItemResult *r = &w->items[i];
        add_row(&t, r->id, poise_words_group(r->kind), &r->body, r->mass_u_g, w->total.mass_g);
    }
    add_row(&t, "Total", "", &w->total, w->mass_u_g, w->total.mass_g);
    poise_text_append(&t, "\n");
    add_facts(&t, w, poise_words_weight);
    add_facts(&t, w, poise_words_targets);
    add_facts(&t, w, poise_words_print);
    if (w->has_strap)
        add_verdict(&t, "On the strap", w, poise_words_strap_verdict, poise_words_strap);
    if (w->has_seat)
        add_verdict(&t, "On the leg", w, poise_words_seat_verdict, poise_words_seat);
    add_doubt(&t, w);
    add_pours(&t, w);
    add_list(&t, "Warnings", (const char *const *)w->warnings, w->warning_count);
    const char *lines[POISE_MOST_LINES];
    size_t n = poise_words_limits(w, lines);
    add_list(&t, "How far to trust this", lines, n);
    n = poise_words_rules(w, lines);
    add_list(&t, "Rules of thumb (common practice, no source)", lines, n);
    add_list(&t, "Cautions", (const char *const *)w->cautions, w->caution_count);
    return poise_text_take(&t);
}
