/* A tally as Markdown (CommonMark with pipe tables). */
#include <math.h>

#include "output/tally_report.h"
#include "output/tally_words.h"

static void number(PoiseText *t, double value, int decimals)
{
    poise_text_append(t, " ");
    if (!isnan(value))
        poise_words_number(t, value, decimals);
    poise_text_append(t, " |");
}

static void add_item(PoiseText *t, const PoiseTallyItem *item)
{
    poise_text_append(t, "| ");
    poise_words_markdown(t, item->id);
    poise_text_append(t, " |");
    number(t, item->predicted_g, 1);
    number(t, item->predicted_u_g, 1);
    number(t, item->weighed_g, 1);
    number(t, item->scale_u_g, 1);
    number(t, item->gap_g, 1);
    number(t, item->z, 1);
    number(t, item->expected_z, 1);
    number(t, item->corrected_g, 1);
    number(t, item->corrected_u_g, 1);
    poise_text_append(t, item->odd ? " NO |\n" : item->weighed ? " yes |\n" : "  |\n");
}

static void add_facts(PoiseText *t, const char *title, const PoiseTally *tally,
                      void (*words)(PoiseFactList *, const PoiseTally *))
{
    PoiseFactList list = {0};
    words(&list, tally);
    if (list.count)
        poise_text_printf(t, "\n## %s\n\n", title);
    for (size_t i = 0; i < list.count; i++) {
        poise_text_append(t, "- ");
        if (list.lines[i].label[0]) {
            poise_words_markdown(t, list.lines[i].label);
            poise_text_append(t, ": ");
        }
        poise_words_markdown(t, list.lines[i].value);
        poise_text_append(t, "\n");
    }
    t->failed = t->failed || list.failed;
    poise_facts_clear(&list);
}

char *poise_tally_markdown(const PoiseTally *tally)
{
    PoiseText t = {0};
    poise_text_append(&t, "# Tally of ");
    poise_words_markdown(&t, tally->weighing->name);
    if (tally->weighing->variant) {
        poise_text_append(&t, ", variant ");
        poise_words_markdown(&t, tally->weighing->variant);
    }
    poise_text_append(&t,
                      "\n\n| item | estimate g | ± | weighed g | ± | gap g | gap/± | gap/± against "
                      "the other weighed | corrected g | ± | fits |\n"
                      "|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|---|\n");
    for (size_t i = 0; i < tally->item_count; i++)
        if (tally->items[i].weighed || poise_tally_corrected(&tally->items[i]))
            add_item(&t, &tally->items[i]);
    add_facts(&t, "What the scale teaches", tally, poise_words_taught);
    add_facts(&t, "The whole", tally, poise_words_whole);
    add_facts(&t, "What to weigh next", tally, poise_words_next);
    add_facts(&t, "The finished instrument", tally, poise_words_observed);
    add_facts(&t, "Notes", tally, poise_words_tally_notes);
    return poise_text_take(&t);
}
