#include "plot/view_sweep.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "output/words.h"
#include "plot/scene.h"

/* Candidates of the front that are named, and lines of a name; the most that are marked one by one.
 */
enum { MOST_NAMED = 5, MOST_LINES = 3, LABEL_COLUMNS = 40, BEST_COLUMNS = 100, MOST_MARKED = 30 };

static bool drawn(const PoiseSweepPoint *p)
{
    return isfinite(p->mass_g) && isfinite(p->hand_load_g);
}

/* How hard the hand works, whichever way it pushes. */
static double load(const PoiseSweepPoint *p)
{
    return fabs(p->hand_load_g);
}

static int lighter_first(const void *a, const void *b)
{
    const PoiseSweepPoint *p = *(const PoiseSweepPoint *const *)a;
    const PoiseSweepPoint *q = *(const PoiseSweepPoint *const *)b;
    if (p->mass_g != q->mass_g)
        return p->mass_g < q->mass_g ? -1 : 1;
    return load(p) < load(q) ? -1 : load(p) > load(q);
}

typedef struct Cloud {
    const PoiseSweepPlot *sweep;
    size_t count, front_count;
    const PoiseSweepPoint **points;  /* those drawn, lighter first */
    double filament_lo, filament_hi; /* g; equal when there is nothing to tell apart */
    const PoiseSweepPoint *best;     /* lightest that meets all targets; NULL: none, or no target */
} Cloud;

static bool any_target(const PoiseSweepPlot *sweep)
{
    return isfinite(sweep->target_mass_g) || isfinite(sweep->target_hand_load_g) ||
           sweep->unseen_target;
}

/* In the region of the picture that meets the targets of its axes. */
static bool within(const PoiseSweepPlot *sweep, const PoiseSweepPoint *p)
{
    return !(p->mass_g > sweep->target_mass_g) && !(load(p) > sweep->target_hand_load_g);
}

static bool meets(const PoiseSweepPlot *sweep, const PoiseSweepPoint *p)
{
    return within(sweep, p) && !p->misses;
}

static void look_through(Cloud *cloud)
{
    cloud->filament_lo = INFINITY;
    cloud->filament_hi = -INFINITY;
    for (size_t i = 0; i < cloud->sweep->count; i++) {
        const PoiseSweepPoint *p = &cloud->sweep->points[i];
        if (!drawn(p))
            continue;
        cloud->points[cloud->count++] = p;
        cloud->front_count += p->on_front;
        if (isfinite(p->filament_g)) {
            cloud->filament_lo = fmin(cloud->filament_lo, p->filament_g);
            cloud->filament_hi = fmax(cloud->filament_hi, p->filament_g);
        }
    }
    qsort(cloud->points, cloud->count, sizeof *cloud->points, lighter_first);
    for (size_t i = 0; i < cloud->count && !cloud->best && any_target(cloud->sweep); i++)
        if (meets(cloud->sweep, cloud->points[i]))
            cloud->best = cloud->points[i];
}

static void lay_out(const Cloud *cloud, PoiseSheet *sheet)
{
    double lo[2] = {INFINITY, 0.0}, hi[2] = {-INFINITY, 0.0};
    for (size_t i = 0; i < cloud->count; i++) {
        lo[0] = fmin(lo[0], cloud->points[i]->mass_g);
        hi[0] = fmax(hi[0], cloud->points[i]->mass_g);
        hi[1] = fmax(hi[1], load(cloud->points[i]));
    }
    if (isfinite(cloud->sweep->target_hand_load_g))
        hi[1] = fmax(hi[1], cloud->sweep->target_hand_load_g);
    double room = fmax(0.08 * (hi[0] - lo[0]), 1.0);
    sheet->height_px = 640.0;
    sheet->right_px = 120.0;           /* the scale of colours */
    sheet->lo[0] = lo[0] - 3.5 * room; /* names stand left of their points */
    sheet->hi[0] = hi[0] + room;
    sheet->lo[1] = -0.04 * fmax(hi[1], 10.0);
    sheet->hi[1] = 1.12 * fmax(hi[1], 10.0);
    bool told = cloud->filament_hi > cloud->filament_lo;
    poise_sheet_set(sheet, "FILAMENT_LO", told ? cloud->filament_lo : 0.0);
    poise_sheet_set(sheet, "FILAMENT_HI", told ? cloud->filament_hi : 1.0);
    poise_sheet_set(sheet, "HAS_FILAMENT", told ? 1.0 : 0.0);
    poise_sheet_set(sheet, "MARK_FRONT", cloud->front_count <= MOST_MARKED ? 1.0 : 0.0);
}

static void write_points(const Cloud *cloud, PoiseSheet *sheet)
{
    poise_sheet_block(sheet, "candidates", "mass (g), hand load (g), filament (g)");
    for (size_t i = 0; i < cloud->count; i++) {
        const PoiseSweepPoint *p = cloud->points[i];
        double filament = isfinite(p->filament_g) ? p->filament_g : 0.0;
        poise_sheet_numbers(sheet, (double[3]){p->mass_g, load(p), filament}, 3);
        poise_sheet_row(sheet);
    }
    poise_sheet_end(sheet, 3);
    poise_sheet_block(sheet, "front",
                      "mass (g), hand load (g): nothing is both lighter and easier");
    for (size_t i = 0; i < cloud->count; i++)
        if (cloud->points[i]->on_front) {
            poise_sheet_numbers(sheet,
                                (double[2]){cloud->points[i]->mass_g, load(cloud->points[i])}, 2);
            poise_sheet_row(sheet);
        }
    poise_sheet_end(sheet, 2);
    poise_sheet_block(sheet, "best",
                      "mass (g), hand load (g): the lightest that meets the targets");
    if (cloud->best) {
        poise_sheet_numbers(sheet, (double[2]){cloud->best->mass_g, load(cloud->best)}, 2);
        poise_sheet_row(sheet);
    }
    poise_sheet_end(sheet, 2);
}

static bool same_place(const PoiseSweepPoint *p, const PoiseSweepPoint *q)
{
    return q && p->mass_g == q->mass_g && load(p) == load(q);
}

/* One that meets all targets stands at the same place; such stand side by side in the order. */
static bool covers_one_that_meets(const Cloud *cloud, size_t i)
{
    const PoiseSweepPoint *p = cloud->points[i];
    while (i > 0 && same_place(p, cloud->points[i - 1]))
        i--;
    for (; i < cloud->count && same_place(p, cloud->points[i]); i++)
        if (meets(cloud->sweep, cloud->points[i]))
            return true;
    return false;
}

/* Those that stand where the targets seem to be met: how many there are. They are crossed out
 * beside one that meets them; with none to tell them from, a cross on some would make the others,
 * which are seen to miss a target, look better. */
static size_t write_missed(const Cloud *cloud, PoiseSheet *sheet)
{
    size_t count = 0;
    poise_sheet_block(sheet, "missed", "mass (g), hand load (g): another target is not met");
    for (size_t i = 0; i < cloud->count; i++) {
        const PoiseSweepPoint *p = cloud->points[i];
        if (!p->misses || !within(cloud->sweep, p) || covers_one_that_meets(cloud, i))
            continue;
        count++;
        if (!cloud->best)
            continue;
        poise_sheet_numbers(sheet, (double[2]){p->mass_g, load(p)}, 2);
        poise_sheet_row(sheet);
    }
    poise_sheet_end(sheet, 2);
    return count;
}

static void name_missed(const Cloud *cloud, PoiseSheet *sheet, PoiseNotes *notes)
{
    const char *unseen = cloud->sweep->unseen_target;
    bool region =
        isfinite(cloud->sweep->target_mass_g) || isfinite(cloud->sweep->target_hand_load_g);
    if (write_missed(cloud, sheet) == 0 || !unseen || (!cloud->best && !region))
        return;
    poise_notes_say(notes, sheet, POISE_NOTE_SMALL, sheet->hi, -200.0, 22.0, false, "%s\n%s",
                    !cloud->best ? "of those in the shade none meets"
                    : region     ? "crossed out: in the shade, but misses"
                                 : "crossed out: misses",
                    unseen);
}

/* "meets target", or only those of the axes. */
static const char *what_is_met(const PoiseSweepPlot *sweep)
{
    if (!sweep->unseen_target)
        return "meets target";
    if (!isfinite(sweep->target_hand_load_g))
        return "meets the mass target";
    return isfinite(sweep->target_mass_g) ? "meets mass and hand load targets"
                                          : "meets the hand load target";
}

/* The region that meets the targets, as far as they are given. */
static void write_target(const Cloud *cloud, PoiseSheet *sheet, PoiseNotes *notes)
{
    double mass = cloud->sweep->target_mass_g, most = cloud->sweep->target_hand_load_g;
    double right = isfinite(mass) ? fmin(mass, sheet->hi[0]) : sheet->hi[0];
    double top = isfinite(most) ? fmin(most, sheet->hi[1]) : sheet->hi[1];
    bool any = (isfinite(mass) || isfinite(most)) && right > sheet->lo[0];
    poise_sheet_block(sheet, "target", "x, y: what meets the targets");
    if (any) {
        const double corners[5][2] = {{sheet->lo[0], sheet->lo[1]},
                                      {right, sheet->lo[1]},
                                      {right, top},
                                      {sheet->lo[0], top},
                                      {sheet->lo[0], sheet->lo[1]}};
        for (int i = 0; i < 5; i++) {
            poise_sheet_numbers(sheet, corners[i], 2);
            poise_sheet_row(sheet);
        }
        poise_notes_beside(notes, sheet, POISE_NOTE_SMALL, (double[2]){sheet->lo[0], top}, 1.0,
                           10.0, 12.0, false, what_is_met(cloud->sweep));
    }
    poise_sheet_end(sheet, 2);
}

/* The name of a candidate; the same one may be drawn twice, and named once. */
static const char *label_of(const Cloud *cloud, const PoiseSweepPoint *p)
{
    const char *label = p->label;
    for (size_t i = 0; i < cloud->count && !label; i++) {
        const PoiseSweepPoint *q = cloud->points[i];
        if (same_place(p, q))
            label = q->label;
    }
    return label;
}

/* As many of its lines as there is room for. */
static void show_lines(PoiseText *out, const char *label)
{
    PoiseText line = {0};
    size_t lines = 0;
    for (const char *s = label;; s += strcspn(s, "\n") + 1) {
        size_t n = strcspn(s, "\n");
        if (lines == MOST_LINES) {
            poise_text_append(out, " …");
            break;
        }
        poise_text_clear(&line);
        poise_text_append_n(&line, s, n);
        poise_text_append(out, lines++ ? "\n" : "");
        poise_plot_shown(out, line.data ? line.data : "", LABEL_COLUMNS);
        out->failed = out->failed || line.failed;
        if (!s[n])
            break;
    }
    poise_text_clear(&line);
}

/* No name within this far of a point, px: a cross of lines. */
static void keep_off_point(PoiseNotes *notes, const PoiseSheet *sheet, const double at[2],
                           double radius_px)
{
    double dx = radius_px / fabs(poise_sheet_px_per_x(sheet));
    double dy = radius_px / poise_sheet_px_per_y(sheet);
    poise_notes_keep_off_line(notes, sheet, (double[2]){at[0] - dx, at[1]},
                              (double[2]){at[0] + dx, at[1]});
    poise_notes_keep_off_line(notes, sheet, (double[2]){at[0], at[1] - dy},
                              (double[2]){at[0], at[1] + dy});
}

/* The ends of the front, evenly some between them while names are short, and the best. */
static bool is_named(const Cloud *cloud, size_t place, bool on_front, bool is_best, bool ends_only)
{
    size_t last = cloud->front_count - 1;
    size_t every = last >= MOST_NAMED ? last / (MOST_NAMED - 1) + 1 : 1;
    if (!on_front || is_best)
        return is_best;
    return place == 0 || place == last ||
           (!ends_only && place % every == 0 && place + every / 2 < last);
}

static void name_point(const Cloud *cloud, const PoiseSweepPoint *p, PoiseSheet *sheet,
                       PoiseNotes *notes)
{
    const char *label = label_of(cloud, p);
    if (!label || (p != cloud->best && same_place(p, cloud->best)))
        return;
    PoiseText text = {0};
    double at[2] = {p->mass_g, load(p)};
    show_lines(&text, label);
    if (!text.failed) /* towards the corner where nothing of the cloud can be */
        poise_notes_beside(notes, sheet, p == cloud->best ? POISE_NOTE_ACCENT : POISE_NOTE_SMALL,
                           at, -1.0, 10.0, 20.0, true, text.data);
    notes->failed = notes->failed || text.failed;
    poise_text_clear(&text);
}

/* Does a name take more than one line? Then several values vary. */
static bool names_are_long(const Cloud *cloud)
{
    for (size_t i = 0; i < cloud->count; i++)
        if (cloud->points[i]->label && strchr(cloud->points[i]->label, '\n'))
            return true;
    return false;
}

/* Names keep off the points and the front. */
static void name_front(const Cloud *cloud, PoiseSheet *sheet, PoiseNotes *notes)
{
    bool ends_only = names_are_long(cloud);
    const PoiseSweepPoint *last = NULL;
    size_t place = 0;
    for (size_t i = 0; i < cloud->count; i++) {
        const PoiseSweepPoint *p = cloud->points[i];
        double at[2] = {p->mass_g, load(p)};
        keep_off_point(notes, sheet, at, p->on_front || p == cloud->best ? 7.0 : 4.0);
        if (p->on_front && last)
            poise_notes_keep_off_line(notes, sheet, (double[2]){last->mass_g, load(last)}, at);
        if (is_named(cloud, place, p->on_front, p == cloud->best, ends_only))
            name_point(cloud, p, sheet, notes);
        place += p->on_front;
        last = p->on_front ? p : last;
    }
}

/* The name of the best candidate, which there must be, in one line. */
static void show_best(const Cloud *cloud, PoiseText *out)
{
    const char *label = label_of(cloud, cloud->best);
    if (!label)
        return;
    PoiseText line = {0};
    for (const char *c = label; *c; c++)
        poise_text_append_n(&line, *c == '\n' ? ", " : c, *c == '\n' ? 2 : 1);
    poise_text_append(out, " Ringed: ");
    poise_plot_shown(out, line.data ? line.data : "", BEST_COLUMNS);
    poise_text_append(out, ".");
    out->failed = out->failed || line.failed;
    poise_text_clear(&line);
}

static void write_words(const Cloud *cloud, PoiseSheet *sheet)
{
    enum { NAME_COLUMNS = 40 };
    PoiseText title = {0}, subtitle = {0};
    bool targets = any_target(cloud->sweep);
    if (cloud->best && targets) {
        poise_text_append(&title, "The lightest that meets the target weighs ");
        poise_words_mass(&title, cloud->best->mass_g);
        poise_text_append(&title, ", hand load ");
        poise_words_mass(&title, load(cloud->best));
    } else if (targets) {
        int count = isfinite(cloud->sweep->target_mass_g) +
                    isfinite(cloud->sweep->target_hand_load_g) + cloud->sweep->unseen_target_count;
        poise_text_printf(&title, "None of the candidates meets %s",
                          count > 1 ? "all targets" : "the target");
    } else {
        poise_text_printf(&title, "%zu of %llu candidates are worth a choice", cloud->front_count,
                          (unsigned long long)cloud->sweep->candidates);
    }
    poise_plot_shown(&subtitle, cloud->sweep->name, NAME_COLUMNS);
    poise_text_printf(
        &subtitle,
        ". %llu candidates; those along the line are the lightest for their hand load%s.",
        (unsigned long long)cloud->sweep->candidates, cloud->sweep->on_leg ? " on the leg" : "");
    if (cloud->best && names_are_long(cloud)) {
        poise_text_clear(&subtitle);
        poise_plot_shown(&subtitle, cloud->sweep->name, NAME_COLUMNS);
        poise_text_printf(&subtitle, ". %llu candidates.",
                          (unsigned long long)cloud->sweep->candidates);
        show_best(cloud, &subtitle);
    }
    poise_plot_words(sheet, &title, &subtitle, "mass of the instrument, g",
                     cloud->sweep->on_leg ? "hand load on the leg, g"
                                          : "hand load on the strap, g");
}

PoiseStatus poise_view_sweep(const PoiseSweepPlot *sweep, PoiseSheet *sheet, PoiseNotes *notes,
                             PoiseFaults *faults)
{
    Cloud cloud = {.sweep = sweep,
                   .points = poise_alloc_zero(sweep->count, sizeof(const PoiseSweepPoint *))};
    if (!cloud.points)
        return poise_fault_memory(faults);
    look_through(&cloud);
    if (cloud.count == 0) {
        poise_release(cloud.points);
        return poise_fault_say(faults, POISE_E_USAGE, NULL,
                               "no candidate has both a mass and a hand load to draw");
    }
    lay_out(&cloud, sheet);
    write_words(&cloud, sheet);
    write_target(&cloud, sheet, notes);
    write_points(&cloud, sheet);
    name_missed(&cloud, sheet, notes);
    name_front(&cloud, sheet, notes);
    poise_notes_write(notes, sheet);
    poise_release(cloud.points);
    return POISE_OK;
}
