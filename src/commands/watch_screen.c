/* What "weigh --watch" shows: the balance, and what the last save changed. */
#include "commands/watch.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "output/layout.h"
#include "output/words.h"
#include "poise/poise.h"

enum {
    MOST_FAULTS = 6,  /* shown of a broken save */
    MOST_CHANGED = 8, /* items shown */
    LABEL = 26,
    NOW = 26,
    CHANGE = 26
};

/* Grams below which a change is round-off, and shows as none. */
static const double SAME_G = 5e-4;

static void append_amount(PoiseText *t, double value, const char *unit, int decimals)
{
    if (isnan(value)) {
        poise_text_append(t, "–");
        return;
    }
    poise_words_number(t, value, decimals);
    poise_text_printf(t, " %s", unit);
}

/* A difference with its sign; nothing when there is nothing to compare. */
static void append_change(PoiseText *t, double now, double then, const char *unit, int decimals)
{
    if (isnan(now) || isnan(then))
        return;
    double change = now - then;
    if (fabs(change) < 0.5 * pow(10.0, -decimals)) {
        poise_text_append(t, "no change");
        return;
    }
    if (change > 0)
        poise_text_append(t, "+");
    append_amount(t, change, unit, decimals);
}

static void row(PoiseText *t, const char *label, double now, double u, double then,
                const char *unit, int decimals)
{
    PoiseText cell = {0};
    poise_text_append(t, "  ");
    poise_layout_left(t, label, LABEL);
    append_amount(&cell, now, unit, decimals);
    if (!isnan(now) && u > 0.0) {
        poise_text_append(&cell, " ± ");
        append_amount(&cell, u, unit, decimals);
    }
    poise_layout_right(t, &cell, NOW);
    append_change(&cell, now, then, unit, decimals);
    if (cell.length)
        poise_layout_right(t, &cell, CHANGE);
    poise_text_clear(&cell);
    poise_text_append(t, "\n");
}

static void put_verdicts(PoiseText *t, const PoiseWeighing *w)
{
    PoiseText line = {0};
    poise_words_strap_verdict(&line, w);
    poise_layout_wrap(t, "", 0, line.data ? line.data : "");
    poise_text_clear(&line);
    if (w->has_seat) {
        poise_words_seat_verdict(&line, w);
        poise_layout_wrap(t, "", 0, line.data ? line.data : "");
        poise_text_clear(&line);
    }
}

static void put_verdict_change(PoiseText *t, const PoiseWeighing *w, const PoiseWeighing *then)
{
    if (!then || !w->hanging.has_verdict || !then->hanging.has_verdict ||
        w->hanging.verdict == then->hanging.verdict)
        return;
    poise_text_printf(t, "Before this save it was: %s.\n",
                      poise_verdict_name(then->hanging.verdict));
}

static void put_numbers(PoiseText *t, const PoiseWeighing *w, const PoiseWeighing *b)
{
    const double none = (double)NAN;
    PoiseText head = {0};
    poise_text_append(t, "\n  ");
    poise_layout_left(t, "", LABEL);
    poise_text_append(&head, "now");
    poise_layout_right(t, &head, NOW);
    if (b) {
        poise_text_append(&head, "by this save");
        poise_layout_right(t, &head, CHANGE);
    }
    poise_text_append(t, "\n");
    row(t, "Weight", w->total.mass_g, w->mass_u_g, b ? b->total.mass_g : none, "g", 0);
    row(t, "Centre from the saddle", w->from_saddle_mm, w->doubts.along_mm,
        b ? b->from_saddle_mm : none, "mm", 1);
    if (w->has_strap) {
        row(t, "Margin on the strap", w->hanging.margin_mm, w->doubts.margin_mm,
            b ? b->hanging.margin_mm : none, "mm", 1);
        row(t, "Hand load on the strap", w->hanging.hand_load_g, w->doubts.hand_load_g,
            b ? b->hanging.hand_load_g : none, "g", 0);
    }
    if (w->has_seat)
        row(t, "Hand load on the leg", w->resting.hand_load_g, w->doubts.seat_hand_load_g,
            b && b->has_seat ? b->resting.hand_load_g : none, "g", 0);
}

static const PoiseItemResult *find_item(const PoiseWeighing *w, const char *id)
{
    for (size_t i = 0; i < w->item_count; i++)
        if (strcmp(w->items[i].id, id) == 0)
            return &w->items[i];
    return NULL;
}

/* One item's line; `shown` counts the lines, also those past the last one shown. */
static void put_item(PoiseText *t, const char *id, double now_g, double then_g, size_t *shown)
{
    if (fabs(now_g - then_g) < SAME_G || ++*shown > MOST_CHANGED)
        return;
    PoiseText name = {0};
    if (*shown == 1)
        poise_text_append(t, "\nItems this save changed\n");
    poise_text_append_inert(&name, id);
    row(t, name.data ? name.data : "", now_g, (double)NAN, then_g, "g", 1);
    poise_text_clear(&name);
}

static void put_items(PoiseText *t, const PoiseWeighing *w, const PoiseWeighing *b)
{
    size_t shown = 0;
    if (!b)
        return;
    for (size_t i = 0; i < w->item_count; i++) {
        const PoiseItemResult *old = find_item(b, w->items[i].id);
        put_item(t, w->items[i].id, w->items[i].body.mass_g, old ? old->body.mass_g : 0.0, &shown);
    }
    for (size_t i = 0; i < b->item_count; i++)
        if (!find_item(w, b->items[i].id))
            put_item(t, b->items[i].id, 0.0, b->items[i].body.mass_g, &shown);
    if (shown > MOST_CHANGED)
        poise_text_printf(t, "  and %zu more\n", shown - MOST_CHANGED);
}

static void put_targets(PoiseText *t, const PoiseWeighing *w)
{
    PoiseFactList facts = {0};
    poise_words_targets(&facts, w);
    if (facts.count)
        poise_text_append(t, "\n");
    for (size_t i = 0; i < facts.count; i++)
        poise_layout_fact(t, facts.lines[i].label, facts.lines[i].value);
    if (facts.failed)
        t->failed = true;
    poise_facts_clear(&facts);
}

static void put_result(PoiseText *t, const PoiseSave *last, const PoiseSave *before)
{
    const PoiseWeighing *w = last->weighing;
    put_verdicts(t, w);
    put_verdict_change(t, w, before->weighing);
    put_numbers(t, w, before->weighing);
    put_items(t, w, before->weighing);
    put_targets(t, w);
    if (w->caution_count + w->warning_count)
        poise_text_printf(t, "\nCautions: %zu, warnings: %zu; \"poise weigh\" shows them.\n",
                          w->caution_count, w->warning_count);
}

static void put_faults(PoiseText *t, const PoiseFaults *faults)
{
    size_t n = poise_faults_count(faults);
    poise_text_append(t, "This save cannot be weighed:\n");
    for (size_t i = 0; i < n && i < MOST_FAULTS; i++) {
        char *line = poise_fault_text(poise_faults_get(faults, i));
        poise_layout_bullet(t, line ? line : "out of memory");
        poise_string_free(line);
    }
    if (n > MOST_FAULTS)
        poise_text_printf(t, "  and %zu more; \"poise check\" shows all\n", n - MOST_FAULTS);
}

static void put_heading(PoiseText *t, const char *path, const PoiseSave *now, const PoiseSave *last)
{
    PoiseText name = {0};
    const char *title = last->weighing ? last->weighing->name : path;
    poise_text_append_inert(&name, title ? title : path);
    if (last->weighing && last->weighing->variant) {
        poise_text_append(&name, ", variant ");
        poise_text_append_inert(&name, last->weighing->variant);
    }
    poise_layout_left(t, name.data ? name.data : "", POISE_SCREEN_COLUMNS - 22);
    poise_text_clear(&name);
    poise_text_printf(&name, "save %d, %s", now->number, now->clock);
    poise_layout_right(t, &name, 22);
    poise_text_append(t, "\n\n");
}

char *poise_watch_screen(const char *path, const PoiseSave *now, const PoiseSave *last,
                         const PoiseSave *before, const PoiseFaults *faults, size_t files)
{
    PoiseText t = {0};
    put_heading(&t, path, now, last);
    bool broken = !now->weighing;
    if (broken)
        put_faults(&t, faults);
    if (broken && last->weighing)
        poise_text_printf(&t, "\nThe last that could be weighed (save %d, %s):\n", last->number,
                          last->clock);
    if (last->weighing)
        put_result(&t, last, before);
    poise_text_printf(&t, "\nWatching %zu file%s. Ctrl-C ends.\n", files, files == 1 ? "" : "s");
    return poise_text_take(&t);
}
