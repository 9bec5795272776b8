/* What weighs what: bars sorted by mass, with their uncertainty, estimate beside weighed. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "output/words.h"
#include "plot/scene.h"

/* Items with bars of their own; the lighter ones share one. */
enum { MOST_BARS = 18, ID_COLUMNS = 20 };

static const double ROW_PX = 25.0;

typedef struct Bar {
    const PoiseItemResult *item; /* NULL: all the others together */
    double mass_g, u_g;
    size_t others;
} Bar;

static int heavier_first(const void *a, const void *b)
{
    const Bar *p = a, *q = b;
    if (p->mass_g != q->mass_g)
        return p->mass_g > q->mass_g ? -1 : 1;
    return p->item < q->item ? -1 : 1; /* in file order; no two are the same */
}

/* Sorts and gathers; returns the number of bars. */
static size_t make_bars(const PoiseWeighing *w, Bar *bars)
{
    size_t n = 0;
    for (size_t i = 0; i < w->item_count; i++)
        if (w->items[i].body.mass_g > 0.0 || w->items[i].predicted_g > 0.0)
            bars[n++] = (Bar){.item = &w->items[i],
                              .mass_g = w->items[i].body.mass_g,
                              .u_g = w->items[i].mass_u_g};
    qsort(bars, n, sizeof *bars, heavier_first);
    if (n <= MOST_BARS)
        return n;
    Bar rest = {.others = n - (MOST_BARS - 1)};
    double variance = 0.0;
    for (size_t i = MOST_BARS - 1; i < n; i++) {
        rest.mass_g += bars[i].mass_g;
        variance += bars[i].u_g * bars[i].u_g;
    }
    rest.u_g = sqrt(variance);
    bars[MOST_BARS - 1] = rest;
    return MOST_BARS;
}

static bool of_kind(const Bar *bar, const char *kind)
{
    return bar->item && strcmp(bar->item->kind, kind) == 0;
}

/* Body, neck and strings, everything else: the three that a maker works on separately. */
static int group_of(const Bar *bar)
{
    if (of_kind(bar, "printed") || of_kind(bar, "poured") || of_kind(bar, "solid"))
        return 0;
    return of_kind(bar, "neck") || of_kind(bar, "strings") ? 1 : 2;
}

static void write_bars(PoiseSheet *sheet, const Bar *bars, size_t n)
{
    static const char *const blocks[] = {"bars-body", "bars-neck", "bars-parts"};
    for (int group = 0; group < 3; group++) {
        poise_sheet_block(sheet, blocks[group], "mass (g), row, half of the bar's width");
        for (size_t i = 0; i < n; i++) {
            if (group_of(&bars[i]) != group)
                continue;
            bool two = bars[i].item && bars[i].item->measured;
            double row = (double)(n - i);
            poise_sheet_numbers(
                sheet, (double[3]){bars[i].mass_g, two ? row + 0.17 : row, two ? 0.16 : 0.34}, 3);
            poise_sheet_row(sheet);
        }
        poise_sheet_end(sheet, 3);
    }
}

/* The estimate of what has been weighed, under the weighed bar. */
static bool write_estimates(PoiseSheet *sheet, const Bar *bars, size_t n)
{
    bool any = false;
    poise_sheet_block(sheet, "estimates", "mass (g), row, half of the bar's width");
    for (size_t i = 0; i < n; i++)
        if (bars[i].item && bars[i].item->measured) {
            any = true;
            poise_sheet_numbers(
                sheet, (double[3]){bars[i].item->predicted_g, (double)(n - i) - 0.17, 0.16}, 3);
            poise_sheet_row(sheet);
        }
    poise_sheet_end(sheet, 3);
    return any;
}

static void write_doubts(PoiseSheet *sheet, const Bar *bars, size_t n)
{
    poise_sheet_block(sheet, "doubts", "mass (g), row, one standard uncertainty (g)");
    for (size_t i = 0; i < n; i++) {
        bool two = bars[i].item && bars[i].item->measured;
        double row = (double)(n - i);
        poise_sheet_numbers(sheet, (double[3]){bars[i].mass_g, two ? row + 0.17 : row, bars[i].u_g},
                            3);
        poise_sheet_row(sheet);
        if (!two)
            continue;
        poise_sheet_numbers(
            sheet, (double[3]){bars[i].item->predicted_g, row - 0.17, bars[i].item->predicted_u_g},
            3);
        poise_sheet_row(sheet);
    }
    poise_sheet_end(sheet, 3);
}

/* Empties a line for the next; one that failed is not forgotten. */
static void clear_line(PoiseSheet *sheet, PoiseText *line)
{
    sheet->data.failed = sheet->data.failed || line->failed;
    poise_text_clear(line);
}

static void write_names(PoiseSheet *sheet, const Bar *bars, size_t n)
{
    PoiseText text = {0};
    poise_sheet_block(sheet, "names", "row, text left of it");
    for (size_t i = 0; i < n; i++) {
        clear_line(sheet, &text);
        if (bars[i].item)
            poise_plot_shown(&text, bars[i].item->id, ID_COLUMNS);
        else
            poise_text_printf(&text, "%zu lighter items", bars[i].others);
        poise_sheet_number(sheet, (double)(n - i));
        poise_sheet_text(sheet, text.data ? text.data : "");
        poise_sheet_row(sheet);
    }
    poise_sheet_end(sheet, 2);
    poise_sheet_block(sheet, "amounts", "x, row, text right of the bar");
    for (size_t i = 0; i < n; i++) {
        const PoiseItemResult *item = bars[i].item;
        double end = bars[i].mass_g + bars[i].u_g;
        clear_line(sheet, &text);
        if (item && item->measured)
            poise_text_append(&text, "weighed ");
        poise_words_mass(&text, bars[i].mass_g);
        poise_text_append(&text, " ± ");
        poise_words_mass(&text, bars[i].u_g);
        if (item && item->measured) {
            poise_text_append(&text, ", estimated ");
            poise_words_mass(&text, item->predicted_g);
            end = fmax(end, item->predicted_g + item->predicted_u_g);
        }
        poise_sheet_numbers(sheet, (double[2]){end, (double)(n - i)}, 2);
        poise_sheet_text(sheet, text.data ? text.data : "");
        poise_sheet_row(sheet);
    }
    poise_sheet_end(sheet, 3);
    clear_line(sheet, &text);
}

/* Which colour is what, in the empty corner under the short bars. */
static void write_key(PoiseSheet *sheet)
{
    static const char *const blocks[] = {"key-body", "key-neck", "key-parts"};
    static const char *const texts[] = {"body", "neck and strings", "the rest"};
    const double from_right_px = 190.0, from_bottom_px = 96.0, pitch_px = 26.0;
    for (int i = 0; i < 3; i++) {
        double px[2] = {POISE_SHEET_WIDTH_PX - sheet->right_px - from_right_px,
                        sheet->height_px - sheet->bottom_px - from_bottom_px + pitch_px * i};
        double at[2];
        poise_sheet_from_px(sheet, px, at);
        poise_sheet_block(sheet, blocks[i], "x, y, text right of it");
        poise_sheet_numbers(sheet, at, 2);
        poise_sheet_text(sheet, texts[i]);
        poise_sheet_row(sheet);
        poise_sheet_end(sheet, 3);
    }
}

/* "3.93 kg: body 52 %, neck and strings 21 %, hardware 27 %" */
static void write_words(const PoiseWeighing *w, PoiseSheet *sheet, bool weighed)
{
    double sums[3] = {0.0, 0.0, 0.0};
    for (size_t i = 0; i < w->item_count; i++)
        sums[group_of(&(Bar){.item = &w->items[i]})] += w->items[i].body.mass_g;
    PoiseText title = {0}, subtitle = {0};
    poise_words_mass(&title, w->total.mass_g);
    poise_text_printf(&title,
                      ": the body is %.0f %% of it, neck and strings %.0f %%, the rest %.0f %%",
                      100.0 * sums[0] / w->total.mass_g, 100.0 * sums[1] / w->total.mass_g,
                      100.0 * sums[2] / w->total.mass_g);
    poise_plot_subtitle(&subtitle, w, false);
    poise_text_append(&subtitle, weighed
                                     ? ". Whiskers: one standard uncertainty; open bars: estimates."
                                     : ". Whiskers: one standard uncertainty.");
    poise_plot_words(sheet, &title, &subtitle, "mass, g", "");
}

static void lay_out(PoiseSheet *sheet, const Bar *bars, size_t n)
{
    double most = 1.0, room = 1.42; /* for the amounts behind the bars */
    for (size_t i = 0; i < n; i++) {
        most = fmax(most, bars[i].mass_g + bars[i].u_g);
        if (bars[i].item && bars[i].item->measured) {
            most = fmax(most, bars[i].item->predicted_g + bars[i].item->predicted_u_g);
            room = 1.62; /* two amounts */
        }
    }
    sheet->left_px = 200.0;
    sheet->top_px = 78.0;
    sheet->height_px = fmax(ROW_PX * ((double)n + 1.0) + sheet->top_px + sheet->bottom_px, 320.0);
    sheet->hi[0] = room * most;
    sheet->lo[1] = 0.4;
    sheet->hi[1] = (double)n + 0.6;
}

PoiseStatus poise_view_budget(const PoiseInstrument *in, const PoiseWeighing *w,
                              const PoisePlotOptions *options, PoiseSheet *sheet, PoiseNotes *notes,
                              PoiseFaults *faults)
{
    (void)in;
    (void)options;
    Bar *bars = poise_alloc_zero(w->item_count, sizeof *bars);
    if (!bars)
        return poise_fault_memory(faults);
    size_t n = make_bars(w, bars);
    lay_out(sheet, bars, n);
    bool weighed = write_estimates(sheet, bars, n);
    write_words(w, sheet, weighed);
    write_bars(sheet, bars, n);
    write_doubts(sheet, bars, n);
    write_names(sheet, bars, n);
    write_key(sheet);
    poise_notes_write(notes, sheet);
    poise_release(bars);
    return POISE_OK;
}
