/* A sweep for a terminal. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "decide/sweep_report.h"
#include "output/layout.h"
#include "output/words.h"

/* Columns of the numbers of a row, and what is left for the values beside them. */
enum { NUMBER_WIDTH = 48, VALUE_ROOM = POISE_SCREEN_COLUMNS - 1 - NUMBER_WIDTH, MOST_LETTERS = 26 };

/* How the values stand: beside the numbers, or on a line of their own when they are too wide. */
typedef struct Layout {
    size_t width[POISE_SWEEP_MOST_AXES];
    bool beside;
} Layout;

static Layout lay_out(const PoiseSweep *s)
{
    Layout l = {0};
    size_t total = 0;
    for (size_t a = 0; a < poise_sweep_axis_count(s); a++) {
        const PoiseVary *axis = poise_sweep_axis(s, a);
        l.width[a] = 1;
        for (size_t i = 0; i < axis->count; i++) {
            size_t columns = poise_text_columns(axis->labels[i]);
            l.width[a] = columns > l.width[a] ? columns : l.width[a];
        }
        total += l.width[a] + 2;
    }
    l.beside = total <= VALUE_ROOM;
    return l;
}

static char letter_of(size_t axis)
{
    return (char)('A' + axis % MOST_LETTERS);
}

static void number_cell(PoiseText *t, size_t width, double value, int decimals)
{
    PoiseText cell = {0};
    if (isfinite(value))
        poise_words_number(&cell, value, decimals);
    else
        poise_text_append(&cell, "–");
    poise_layout_right(t, &cell, width);
}

static void text_cell(PoiseText *t, size_t width, const char *value)
{
    PoiseText cell = {0};
    poise_text_append_inert(&cell, value);
    poise_layout_right(t, &cell, width);
}

static void add_heading(PoiseText *t, const PoiseSweep *s, const Layout *l)
{
    poise_text_append(t, "     mass    hand  margin  filament  time  price");
    for (size_t a = 0; a < poise_sweep_axis_count(s) && l->beside; a++)
        text_cell(t, l->width[a] + 2, (const char[]){letter_of(a), '\0'});
    poise_text_append(t, "\n        g       g      mm         g     h\n");
}

static void add_row(PoiseText *t, const PoiseSweep *s, const Layout *l, const PoiseSweepRow *row,
                    bool on_leg)
{
    size_t choice[POISE_SWEEP_MOST_AXES];
    poise_sweep_choice(s, row->index, choice);
    number_cell(t, 9, row->mass_g, 0);
    number_cell(t, 8, on_leg ? row->seat_hand_load_g : row->hand_load_g, 0);
    number_cell(t, 8, row->margin_mm, 0);
    number_cell(t, 10, row->filament_g, 0);
    number_cell(t, 6, row->hours, 1);
    number_cell(t, 7, row->price, row->price < 999.5 ? 2 : 0);
    PoiseText values = {0};
    for (size_t a = 0; a < poise_sweep_axis_count(s); a++) {
        const char *label = poise_sweep_axis(s, a)->labels[choice[a]];
        if (l->beside)
            text_cell(t, l->width[a] + 2, label);
        else
            poise_text_printf(&values, "%s%c: %s", a ? "; " : "", letter_of(a), label);
    }
    poise_text_append(t, "\n");
    char *line = poise_text_take(&values);
    if (!line)
        t->failed = true;
    else if (!l->beside)
        poise_layout_wrap(t, "            ", 12, line);
    poise_release(line);
}

static void add_axes(PoiseText *t, const PoiseSweep *s)
{
    for (size_t a = 0; a < poise_sweep_axis_count(s); a++) {
        const PoiseVary *axis = poise_sweep_axis(s, a);
        char *line = axis->count == 1
                         ? poise_format("%s: %s", axis->pointer, axis->labels[0])
                         : poise_format("%s: %zu values, %s to %s", axis->pointer, axis->count,
                                        axis->labels[0], axis->labels[axis->count - 1]);
        char first[8] = {' ', ' ', letter_of(a), ' ', ' ', '\0'};
        if (line)
            poise_layout_wrap(t, first, 5, line);
        else
            t->failed = true;
        poise_release(line);
    }
}

size_t poise_sweep_spread(size_t i, size_t most, size_t n)
{
    if (most >= n || most < 2)
        return i;
    return (i * (n - 1) + (most - 1) / 2) / (most - 1);
}

static void explain_columns(PoiseText *t, const PoiseSweepFindings *found)
{
    const char *where = found->on_strap ? "on the strap" : "with the instrument on the leg";
    if (found->on_strap || found->on_leg) {
        char *line = poise_format(
            "hand: what the fretting hand has to hold up %s (negative: press down; 0: it holds by "
            "itself). margin: from the centre of mass to the headward edge of the window in which "
            "the strap holds (negative: the neck dives). filament and time: of all printed "
            "sections. – : no answer.",
            where);
        if (line)
            poise_layout_wrap(t, "  ", 2, line);
        else
            t->failed = true;
        poise_release(line);
        return;
    }
    poise_layout_wrap(
        t, "  ", 2, "The file has neither strap posts nor a seat: nothing is said about balance.");
}

static void add_front(PoiseText *t, const PoiseSweep *s, const Layout *l,
                      const PoiseSweepFindings *found, size_t most)
{
    bool loads = found->on_strap || found->on_leg, on_leg = !found->on_strap;
    size_t shown = found->front_count < most ? found->front_count : most;
    poise_text_append(t, "\n");
    char *title = poise_format(
        "Trade-off front: %zu of %llu. No other combination is better in one of %s "
        "and filament without being worse in another.",
        found->front_count, (unsigned long long)found->count, loads ? "mass, hand load" : "mass");
    if (title)
        poise_layout_wrap(t, "", 0, title);
    else
        t->failed = true;
    poise_release(title);
    add_heading(t, s, l);
    for (size_t i = 0; i < shown; i++)
        add_row(t, s, l, &found->front[poise_sweep_spread(i, shown, found->front_count)], on_leg);
    if (shown < found->front_count)
        poise_text_printf(t, "  %zu of the %zu %s shown%s; --limit N shows more\n", shown,
                          found->front_count, shown == 1 ? "is" : "are",
                          shown == 1 ? "" : ", evenly spread");
    if (found->front_step_g > 0.0) {
        poise_text_append(t, "  points nearer to each other than ");
        poise_words_number(t, found->front_step_g, 2);
        poise_text_append(t, " g in all three are shown as one\n");
    }
}

static PoiseSweepRow base_row(const PoiseSweep *s)
{
    const PoiseWeighing *w = poise_sweep_base(s);
    return (PoiseSweepRow){.mass_g = w->total.mass_g,
                           .margin_mm = w->has_strap ? w->hanging.margin_mm : (double)NAN,
                           .hand_load_g = w->has_strap ? w->hanging.hand_load_g : (double)NAN,
                           .seat_hand_load_g = w->has_seat ? w->resting.hand_load_g : (double)NAN,
                           .filament_g = w->filament_g,
                           .hours = w->filament_h,
                           .price = w->price};
}

static void say_row(PoiseFactList *list, const char *label, const PoiseSweep *s,
                    const PoiseSweepRow *row, const PoiseSweepFindings *found, bool with_values)
{
    PoiseText line = {0};
    poise_words_mass(&line, row->mass_g);
    double load = found->on_strap ? row->hand_load_g : row->seat_hand_load_g;
    if (isfinite(load)) {
        poise_text_append(&line, ", hand load ");
        poise_words_number(&line, load, 0);
        poise_text_append(&line, " g");
    }
    poise_text_append(&line, ", filament ");
    poise_words_number(&line, row->filament_g, 0);
    poise_text_append(&line, " g");
    size_t choice[POISE_SWEEP_MOST_AXES];
    poise_sweep_choice(s, row->index, choice);
    for (size_t a = 0; a < poise_sweep_axis_count(s) && with_values; a++)
        poise_text_printf(&line, "%s%c %s", a ? ", " : ": ", letter_of(a),
                          poise_sweep_axis(s, a)->labels[choice[a]]);
    poise_facts_take(list, label, &line);
}

static void add_findings(PoiseText *t, const PoiseSweep *s, const PoiseSweepFindings *found)
{
    PoiseFactList list = {0};
    PoiseSweepRow base = base_row(s);
    unsigned long long all = found->count;
    say_row(&list, "As it stands", s, &base, found, false);
    if (found->has_best)
        say_row(&list, "Least hand load", s, &found->best, found, true);
    if (found->front_count)
        say_row(&list, "Lightest", s, &found->front[0], found, true);
    poise_facts_add(&list, "Combinations", "%llu", all);
    if (found->on_strap || found->on_leg)
        poise_facts_add(&list, "Need no hand", "%llu of them", (unsigned long long)found->holding);
    if (poise_sweep_base(s)->target_count)
        poise_facts_add(&list, "Meet all targets", "%llu of them", (unsigned long long)found->met);
    if (found->impossible)
        poise_facts_add(&list, "Cannot be built", "%llu of them: their values exclude each other",
                        (unsigned long long)found->impossible);
    poise_text_append(t, "\n");
    for (size_t i = 0; i < list.count; i++)
        poise_layout_fact(t, list.lines[i].label, list.lines[i].value);
    t->failed = t->failed || list.failed;
    poise_facts_clear(&list);
}

static void add_rows(PoiseText *t, const PoiseSweep *s, const Layout *l,
                     const PoiseSweepFindings *found, const PoiseSweepRow *rows, size_t n)
{
    if (n == 0)
        return;
    if (n == 1 && n < found->count)
        poise_text_printf(t, "\nThe first of all %llu, in the order of the values\n",
                          (unsigned long long)found->count);
    else if (n < found->count)
        poise_text_printf(t, "\nThe first %zu of all %llu, in the order of the values\n", n,
                          (unsigned long long)found->count);
    else
        poise_text_append(t, "\nAll of them, in the order of the values\n");
    add_heading(t, s, l);
    for (size_t i = 0; i < n; i++)
        add_row(t, s, l, &rows[i], !found->on_strap);
    if (n < found->count)
        poise_text_append(t, "  --limit N shows more, --csv and --json write all of them\n");
}

void poise_sweep_text(PoiseText *t, const PoiseSweep *s, const PoiseSweepFindings *found,
                      size_t most, const PoiseSweepRow *rows, size_t n)
{
    Layout l = lay_out(s);
    poise_text_append_inert(t, poise_sweep_base(s)->name);
    if (poise_sweep_variant(s)) {
        poise_text_append(t, ", variant \"");
        poise_text_append_inert(t, poise_sweep_variant(s));
        poise_text_append(t, "\"");
    }
    poise_text_printf(t, ": %llu combinations of\n", (unsigned long long)found->count);
    add_axes(t, s);
    explain_columns(t, found);
    add_front(t, s, &l, found, most);
    add_findings(t, s, found);
    add_rows(t, s, &l, found, rows, n);
    if (poise_sweep_note_count(s))
        poise_text_append(t, "\nNotes\n");
    for (size_t i = 0; i < poise_sweep_note_count(s); i++)
        poise_layout_bullet(t, poise_sweep_note(s, i));
    if (found->on_strap) {
        poise_text_append(t, "\n");
        poise_layout_wrap(t, "", 0, POISE_STRAP_LIMIT);
    }
}
