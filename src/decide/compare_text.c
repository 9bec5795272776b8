/* A comparison for people: a terminal of 80 columns, and Markdown. */
#include <math.h>

#include "base/memory.h"
#include "base/text.h"
#include "decide/compare.h"
#include "output/layout.h"
#include "output/words.h"

/* Columns: a label, the first's value, then value and difference of each variant of a block. */
enum { LABEL = 25, FIRST = 11, WIDTH = 14, IN_BLOCK = 3 };

static const char *name_of(const PoiseWeighing *w)
{
    return w->variant ? w->variant : "the file as it stands";
}

/* "3812 (−45)"; no difference for the first. The difference is that of the numbers shown, so that
 * what stands there adds up. */
static void value_text(PoiseText *cell, const PoiseMeasure *m, const PoiseWeighing *w,
                       const PoiseWeighing *first)
{
    double value = m->value(w), scale = pow(10.0, m->decimals);
    double difference = (round(value * scale) - round(m->value(first) * scale)) / scale;
    if (!isfinite(value)) {
        poise_text_append(cell, "–");
        return;
    }
    poise_words_number(cell, value, m->decimals);
    if (w == first || !isfinite(difference))
        return;
    poise_text_append(cell, difference > 0.0 ? " (+" : " (");
    poise_words_number(cell, difference, m->decimals);
    poise_text_append(cell, ")");
}

static void word_text(PoiseText *cell, const PoiseWordMeasure *m, const PoiseWeighing *w)
{
    const char *word = m->word(w);
    poise_text_append(cell, word ? word : "–");
}

/* Is there a value anywhere? A row of dashes helps nobody. */
static bool any_value(const PoiseComparison *c, const PoiseMeasure *m)
{
    for (size_t i = 0; i < c->count; i++)
        if (isfinite(m->value(c->weighings[i])))
            return true;
    return false;
}

static bool any_word(const PoiseComparison *c, const PoiseWordMeasure *m)
{
    for (size_t i = 0; i < c->count; i++)
        if (m->word(c->weighings[i]))
            return true;
    return false;
}

/* The variants of a block: the first of all, then those from `from` on. */
static size_t in_block(size_t from, size_t k)
{
    return k == 0 ? 0 : from + k - 1;
}

static size_t block_size(const PoiseComparison *c, size_t from)
{
    size_t left = c->count - from;
    return 1 + (left < IN_BLOCK ? left : IN_BLOCK);
}

static void add_block(PoiseText *t, const PoiseComparison *c, size_t from)
{
    size_t n = block_size(c, from);
    poise_text_append(t, "\n");
    poise_layout_left(t, "", LABEL);
    for (size_t k = 0; k < n; k++) {
        PoiseText cell = {0};
        poise_text_printf(&cell, "%zu", in_block(from, k) + 1);
        poise_layout_right(t, &cell, k == 0 ? FIRST : WIDTH);
    }
    poise_text_append(t, "\n");
    for (size_t m = 0; m < POISE_MEASURE_COUNT; m++) {
        if (!any_value(c, &POISE_MEASURES[m]))
            continue;
        poise_layout_left(t, POISE_MEASURES[m].label, LABEL);
        for (size_t k = 0; k < n; k++) {
            PoiseText cell = {0};
            value_text(&cell, &POISE_MEASURES[m], c->weighings[in_block(from, k)], c->weighings[0]);
            poise_layout_right(t, &cell, k == 0 ? FIRST : WIDTH);
        }
        poise_text_append(t, "\n");
    }
    for (size_t m = 0; m < POISE_WORD_MEASURE_COUNT; m++) {
        if (!any_word(c, &POISE_WORD_MEASURES[m]))
            continue;
        poise_layout_left(t, POISE_WORD_MEASURES[m].label, LABEL);
        for (size_t k = 0; k < n; k++) {
            PoiseText cell = {0};
            word_text(&cell, &POISE_WORD_MEASURES[m], c->weighings[in_block(from, k)]);
            poise_layout_right(t, &cell, k == 0 ? FIRST : WIDTH);
        }
        poise_text_append(t, "\n");
    }
}

/* Which readings a variant has set aside: what it changes then stands beside what a scale said. */
static char *aside_note(const PoiseWeighing *w, const PoiseItem *item)
{
    if (!item->measured_aside)
        return NULL;
    return poise_format("%s: what it weighed is set aside by \"%s\", which changes it; the "
                        "difference holds the loss of that reading too",
                        item->id, name_of(w));
}

static void add_notes(PoiseText *t, const PoiseComparison *c, bool markdown)
{
    bool any = false;
    for (size_t k = 0; k < c->count; k++)
        for (size_t i = 0; i < c->instruments[k]->item_count; i++) {
            const PoiseItem *item = &c->instruments[k]->items[i];
            char *note = aside_note(c->weighings[k], item);
            t->failed = t->failed || (item->measured_aside && !note);
            if (!note)
                continue;
            poise_text_append(t, any ? "" : "\n");
            any = true;
            if (markdown) {
                poise_text_append(t, "- ");
                poise_words_markdown(t, note);
                poise_text_append(t, "\n");
            } else {
                poise_layout_bullet(t, note);
            }
            poise_release(note);
        }
}

static const char EXPLAINED[] =
    "In brackets: the difference from 1. Centre from tail post: horizontally at the playing angle, "
    "towards the head; from saddle: along the strings. Margin: from the centre to the headward "
    "edge of the window in which the strap "
    "holds; negative, the neck dives. Hand load: what the fretting hand has to hold up; negative, "
    "press down. Price: as far as the file and the library know prices.";

char *poise_comparison_text(const PoiseComparison *c)
{
    PoiseText t = {0};
    poise_text_append_inert(&t, c->weighings[0]->name);
    poise_text_append(&t, "\n\n");
    for (size_t i = 0; i < c->count; i++) {
        char *first = poise_format("  %2zu  ", i + 1);
        if (first)
            poise_layout_wrap(&t, first, 6, name_of(c->weighings[i]));
        else
            t.failed = true;
        poise_release(first);
    }
    for (size_t from = 1; from < c->count || from == 1; from += IN_BLOCK)
        add_block(&t, c, from);
    add_notes(&t, c, false);
    poise_text_append(&t, "\n");
    poise_layout_wrap(&t, "", 0, EXPLAINED);
    for (size_t i = 0; i < c->count; i++)
        if (c->weighings[i]->has_strap) {
            poise_layout_wrap(&t, "", 0, POISE_STRAP_LIMIT);
            break;
        }
    return poise_text_take(&t);
}

static void markdown_row(PoiseText *t, const PoiseComparison *c, const char *label,
                         const PoiseMeasure *m, const PoiseWordMeasure *word)
{
    poise_text_printf(t, "| %s |", label);
    for (size_t i = 0; i < c->count; i++) {
        poise_text_append(t, " ");
        if (m)
            value_text(t, m, c->weighings[i], c->weighings[0]);
        else
            word_text(t, word, c->weighings[i]);
        poise_text_append(t, " |");
    }
    poise_text_append(t, "\n");
}

char *poise_comparison_markdown(const PoiseComparison *c)
{
    PoiseText t = {0};
    poise_text_append(&t, "# ");
    poise_words_markdown(&t, c->weighings[0]->name);
    poise_text_append(&t, "\n\n| |");
    for (size_t i = 0; i < c->count; i++) {
        poise_text_append(&t, " ");
        poise_words_markdown(&t, name_of(c->weighings[i]));
        poise_text_append(&t, " |");
    }
    poise_text_append(&t, "\n|---|");
    for (size_t i = 0; i < c->count; i++)
        poise_text_append(&t, "---:|");
    poise_text_append(&t, "\n");
    for (size_t m = 0; m < POISE_MEASURE_COUNT; m++)
        if (any_value(c, &POISE_MEASURES[m]))
            markdown_row(&t, c, POISE_MEASURES[m].label, &POISE_MEASURES[m], NULL);
    for (size_t m = 0; m < POISE_WORD_MEASURE_COUNT; m++)
        if (any_word(c, &POISE_WORD_MEASURES[m]))
            markdown_row(&t, c, POISE_WORD_MEASURES[m].label, NULL, &POISE_WORD_MEASURES[m]);
    add_notes(&t, c, true);
    poise_text_printf(&t, "\n%s\n", EXPLAINED);
    return poise_text_take(&t);
}
