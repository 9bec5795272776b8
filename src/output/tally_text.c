/* A tally as tables for a terminal of 80 columns. */
#include <math.h>

#include "base/memory.h"
#include "output/layout.h"
#include "output/tally_report.h"
#include "output/tally_words.h"

static void cell(PoiseText *row, size_t width, double value, int decimals)
{
    PoiseText text = {0};
    if (!isnan(value))
        poise_words_number(&text, value, decimals);
    poise_layout_right(row, &text, width);
}

/* Grams, with tenths and hundredths where that is what they are about. */
static void grams(PoiseText *row, size_t width, double value)
{
    double size = fabs(value);
    cell(row, width, value, size < 9.95 ? (size > 0.0 && size < 0.05 ? 2 : 1) : 0);
}

static void name(PoiseText *t, const char *id)
{
    PoiseText text = {0};
    poise_text_append(&text, "  ");
    poise_text_append_inert(&text, id);
    char *shown = poise_text_take(&text);
    if (shown)
        poise_layout_left(t, shown, 26);
    else
        t->failed = true;
    poise_release(shown);
}

static void weighed_row(PoiseText *t, const PoiseTallyItem *item)
{
    name(t, item->id);
    grams(t, 8, item->predicted_g);
    grams(t, 6, item->predicted_u_g);
    grams(t, 9, item->weighed_g);
    grams(t, 6, item->scale_u_g);
    grams(t, 8, item->gap_g);
    cell(t, 8, item->z, 1);
    poise_text_append(t, item->odd ? "   NO\n" : "   yes\n");
}

static void sibling_row(PoiseText *t, const PoiseTallyItem *item)
{
    name(t, item->id);
    grams(t, 8, item->expected_g);
    grams(t, 6, item->expected_u_g);
    grams(t, 9, item->weighed_g);
    grams(t, 6, item->scale_u_g);
    grams(t, 8, item->weighed_g - item->expected_g);
    cell(t, 8, item->expected_z, 1);
    poise_text_append(t, fabs(item->expected_z) > POISE_TALLY_ODD_Z ? "   NO\n" : "   yes\n");
}

static void corrected_row(PoiseText *t, const PoiseTallyItem *item)
{
    name(t, item->id);
    grams(t, 8, item->predicted_g);
    grams(t, 6, item->predicted_u_g);
    grams(t, 9, item->corrected_g);
    grams(t, 6, item->corrected_u_g);
    grams(t, 8, item->corrected_g - item->predicted_g);
    poise_text_append(t, "\n");
}

static bool is_weighed(const PoiseTallyItem *item)
{
    return item->weighed;
}

static bool has_siblings(const PoiseTallyItem *item)
{
    return item->weighed && !isnan(item->expected_g);
}

/* A table of the items that belong in it; nothing when none does. */
static void add_table(PoiseText *t, const PoiseTally *tally, const char *title, const char *heading,
                      bool (*belongs)(const PoiseTallyItem *),
                      void (*row)(PoiseText *, const PoiseTallyItem *))
{
    bool titled = false;
    for (size_t i = 0; i < tally->item_count; i++) {
        if (!belongs(&tally->items[i]))
            continue;
        if (!titled)
            poise_text_printf(t, "\n%s\n%s", title, heading);
        titled = true;
        row(t, &tally->items[i]);
    }
}

/* Facts with labels stand in two columns, those without as a list. */
static void add_facts(PoiseText *t, const char *title, const PoiseTally *tally,
                      void (*words)(PoiseFactList *, const PoiseTally *))
{
    PoiseFactList list = {0};
    words(&list, tally);
    if (list.count)
        poise_text_printf(t, "\n%s\n", title);
    for (size_t i = 0; i < list.count; i++) {
        if (list.lines[i].label[0])
            poise_layout_fact(t, list.lines[i].label, list.lines[i].value);
        else
            poise_layout_bullet(t, list.lines[i].value);
    }
    t->failed = t->failed || list.failed;
    poise_facts_clear(&list);
}

char *poise_tally_text(const PoiseTally *tally)
{
    PoiseText t = {0};
    poise_text_append_inert(&t, tally->weighing->name);
    if (tally->weighing->variant) {
        poise_text_append(&t, ", variant \"");
        poise_text_append_inert(&t, tally->weighing->variant);
        poise_text_append(&t, "\"");
    }
    poise_text_printf(&t, ": %zu of %zu items weighed\n", tally->weighed_count, tally->item_count);
    add_table(&t, tally, "Against the estimate",
              "                          estimate      ±  weighed     ±     gap   gap/±   fits\n"
              "                                 g      g        g     g       g\n",
              is_weighed, weighed_row);
    add_table(&t, tally, "Against what the other weighed items lead to expect",
              "                          expected      ±  weighed     ±     gap   gap/±   fits\n"
              "                                 g      g        g     g       g\n",
              has_siblings, sibling_row);
    add_facts(&t, "What the scale teaches (one standard uncertainty each)", tally,
              poise_words_taught);
    add_table(&t, tally, "Estimates of what is not weighed yet, corrected by it",
              "                          estimate      ±  corrected   ±  change\n"
              "                                 g      g        g     g       g\n",
              poise_tally_corrected, corrected_row);
    add_facts(&t, "The whole", tally, poise_words_whole);
    add_facts(&t, "What to weigh next (on a scale of ± 1 g)", tally, poise_words_next);
    add_facts(&t, "The finished instrument", tally, poise_words_observed);
    add_facts(&t, "Notes", tally, poise_words_tally_notes);
    return poise_text_take(&t);
}
