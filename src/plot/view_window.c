/* Neck angle against station: where the strap holds, and how the centre of mass moves through it.
 */
#include <math.h>

#include "base/faults.h"
#include "output/words.h"
#include "plot/scene.h"

/* Angles shown at least, degrees, and how much is shown around the playing angle. */
static const double LOWEST_DEG = -30.0, HIGHEST_DEG = 60.0, AROUND_DEG = 25.0, END_DEG = 89.0;
/* Kept beside the angle where it settles, for its label. */
static const double BESIDE_DEG = 16.0;
static const double STEP_DEG = 0.5;
/* Pieces of line that labels keep off. */
static const double LINE_STEP_DEG = 2.0;

typedef struct Range {
    double lo, hi;          /* neck angle, degrees */
    double lowest, highest; /* stations met, mm */
    double friction[3];     /* least, the file's, most */
} Range;

static double station_at(const PoiseWeighing *w, double angle_deg)
{
    return poise_horizontal_mm(w->centre, angle_deg) -
           poise_horizontal_mm(w->strap.tail, angle_deg);
}

static Range range_of(const PoiseWeighing *w, const PoisePlotOptions *options)
{
    Range r = {.lo = fmin(LOWEST_DEG, w->neck_angle_deg - AROUND_DEG),
               .hi = fmax(HIGHEST_DEG, w->neck_angle_deg + AROUND_DEG),
               .lowest = INFINITY,
               .highest = -INFINITY};
    double settles = w->hanging.settles_at_deg;
    if (isfinite(settles)) {
        r.lo = fmin(r.lo, settles - BESIDE_DEG);
        r.hi = fmax(r.hi, settles + BESIDE_DEG);
    }
    r.lo = fmax(r.lo, -END_DEG);
    r.hi = fmin(r.hi, END_DEG);
    double mu = w->strap.friction;
    r.friction[0] =
        options->has_friction_range ? options->friction_lo : fmax(0.0, mu - w->friction_u);
    r.friction[1] = mu;
    r.friction[2] = options->has_friction_range ? options->friction_hi : mu + w->friction_u;
    return r;
}

static void take(Range *r, double station)
{
    r->lowest = fmin(r->lowest, station);
    r->highest = fmax(r->highest, station);
}

/* One band; angles without a window break it. */
static void write_band(const PoiseWeighing *w, Range *r, double friction, const char *block,
                       PoiseSheet *sheet)
{
    PoiseStrap strap = w->strap;
    strap.friction = friction;
    poise_sheet_block(sheet, block, "neck angle (degrees), lower and upper end of the window (mm)");
    bool open = false;
    for (int i = 0; r->lo + i * STEP_DEG <= r->hi; i++) {
        double angle = r->lo + i * STEP_DEG;
        PoiseInterval window;
        if (poise_strap_window(&strap, angle, &window)) {
            if (open)
                poise_sheet_break(sheet);
            open = false;
            continue;
        }
        open = true;
        take(r, window.lo);
        take(r, window.hi);
        poise_sheet_numbers(sheet, (double[3]){angle, window.lo, window.hi}, 3);
        poise_sheet_row(sheet);
    }
    poise_sheet_end(sheet, 3);
}

static void write_centre_line(const PoiseWeighing *w, Range *r, PoiseSheet *sheet)
{
    poise_sheet_block(sheet, "path", "neck angle (degrees), station of the centre of mass (mm)");
    for (int i = 0; r->lo + i * STEP_DEG <= r->hi; i++) {
        double angle = r->lo + i * STEP_DEG, station = station_at(w, angle);
        take(r, station);
        poise_sheet_numbers(sheet, (double[2]){angle, station}, 2);
        poise_sheet_row(sheet);
    }
    poise_sheet_end(sheet, 2);
}

static void mark(PoiseSheet *sheet, const char *block, double angle, double station)
{
    poise_sheet_block(sheet, block, "neck angle (degrees), station (mm)");
    if (isfinite(angle)) {
        poise_sheet_numbers(sheet, (double[2]){angle, station}, 2);
        poise_sheet_row(sheet);
    }
    poise_sheet_end(sheet, 2);
}

/* The three windows at an angle, least friction first; false where one does not exist. */
static bool windows_at(const PoiseWeighing *w, const Range *r, double angle, PoiseInterval out[3])
{
    for (int i = 0; i < 3; i++) {
        PoiseStrap strap = w->strap;
        strap.friction = r->friction[i];
        if (poise_strap_window(&strap, angle, &out[i]))
            return false;
    }
    return true;
}

/* Angles at which names may stand, from the left, away from the ends and from the marks. */
enum { CANDIDATES = 40 };
static double candidate(const PoiseWeighing *w, const Range *r, int i)
{
    const double clear = 0.12 * (r->hi - r->lo);
    double angle = r->lo + (0.1 + 0.72 * i / CANDIDATES) * (r->hi - r->lo);
    double settles = w->hanging.settles_at_deg;
    bool near = fabs(angle - w->neck_angle_deg) < clear ||
                (isfinite(settles) && fabs(angle - settles) < clear);
    return near ? (double)NAN : angle;
}

/* The path's name, where the path is furthest from every edge of the bands. */
static void name_path(const PoiseWeighing *w, const Range *r, PoiseSheet *sheet, PoiseNotes *notes)
{
    double best = -1.0, at[2] = {(double)NAN, 0.0};
    for (int i = 0; i <= CANDIDATES; i++) {
        double angle = candidate(w, r, i), station = station_at(w, angle), nearest = INFINITY;
        PoiseInterval window[3];
        if (isnan(angle) || !windows_at(w, r, angle, window))
            continue;
        for (int k = 0; k < 3; k++)
            nearest =
                fmin(nearest, fmin(fabs(station - window[k].lo), fabs(station - window[k].hi)));
        if (nearest <= best)
            continue;
        best = nearest;
        at[0] = angle;
        at[1] = station;
    }
    double slope = station_at(w, at[0] + 1.0) - station_at(w, at[0] - 1.0);
    poise_notes_beside(notes, sheet, POISE_NOTE_ACCENT, at, slope > 0.0 ? -1.0 : 1.0, 2.0, -16.0,
                       false, "centre of mass");
}

/* How far above the playing point its label has to stand to clear the band around it. */
static double over_band_px(const PoiseWeighing *w, const Range *r, const PoiseSheet *sheet)
{
    PoiseStrap strap = w->strap;
    PoiseInterval window;
    strap.friction = r->friction[2];
    if (w->hanging.verdict != POISE_HOLDS || poise_strap_window(&strap, w->neck_angle_deg, &window))
        return 0.0;
    return (window.hi - w->hanging.station_mm) * poise_sheet_px_per_y(sheet);
}

static void name_marks(const PoiseWeighing *w, const Range *r, PoiseSheet *sheet, PoiseNotes *notes)
{
    const PoiseHanging *h = &w->hanging;
    double at[2] = {w->neck_angle_deg, h->station_mm};
    double out = h->verdict == POISE_TAIL_HEAVY ? 1.0 : -1.0; /* away from the band */
    PoiseText text = {0};
    poise_text_append(&text, "playing angle ");
    poise_words_number(&text, w->neck_angle_deg, 0);
    poise_text_append(&text, "°:\n");
    if (!h->has_verdict)
        poise_text_append(&text, "no window here");
    else if (h->verdict == POISE_HOLDS)
        poise_text_printf(&text, "%.0f mm to spare", h->margin_mm);
    else
        poise_text_printf(&text, "%.0f mm outside",
                          h->verdict == POISE_NECK_HEAVY ? -h->margin_mm
                                                         : h->window_mm.lo - h->station_mm);
    if (!text.failed)
        poise_notes_beside(notes, sheet, POISE_NOTE_ACCENT, at, 1.0, 14.0,
                           out * 34.0 - over_band_px(w, r, sheet), true, text.data);
    notes->failed = notes->failed || text.failed;
    poise_text_clear(&text);
    poise_notes_keep_off(notes, sheet, at, 9.0, 9.0);
    if (isfinite(h->settles_at_deg) && h->verdict != POISE_HOLDS) {
        double rest[2] = {h->settles_at_deg, station_at(w, h->settles_at_deg)};
        poise_words_number(&text, h->settles_at_deg, 0);
        if (!text.failed)
            poise_notes_say(notes, sheet, POISE_NOTE_ACCENT, rest, -70.0, out * 44.0, true,
                            "let go, it\nsettles at %s°", text.data);
        notes->failed = notes->failed || text.failed;
        poise_text_clear(&text);
        poise_notes_keep_off(notes, sheet, rest, 9.0, 9.0);
    }
    name_path(w, r, sheet, notes);
}

/* What the shades and the places outside them mean. */
static void name_bands(const PoiseWeighing *w, const Range *r, PoiseSheet *sheet, PoiseNotes *notes)
{
    double inner[2] = {(double)NAN, 0.0}, most = 0.0;
    for (int i = 0; i <= CANDIDATES; i++) {
        double angle = candidate(w, r, i), station = station_at(w, angle);
        PoiseInterval window[3];
        if (isnan(angle) || !windows_at(w, r, angle, window))
            continue;
        /* the path may divide the innermost band: the wider part counts */
        double path = fmin(fmax(station, window[0].lo), window[0].hi);
        bool upper = window[0].hi - path > path - window[0].lo;
        double gap = upper ? window[0].hi - path : path - window[0].lo;
        if (gap <= most)
            continue;
        most = gap;
        inner[0] = angle;
        inner[1] = upper ? 0.5 * (window[0].hi + path) : 0.5 * (window[0].lo + path);
    }
    bool split = r->friction[2] > r->friction[0];
    if (split) {
        poise_notes_say(notes, sheet, POISE_NOTE_NAME, inner, 0.0, 0.0, false,
                        "holds: darkest even at\nfriction %.2f, lightest\nonly at %.2f",
                        r->friction[0], r->friction[2]);
    } else {
        poise_notes_say(notes, sheet, POISE_NOTE_NAME, inner, 0.0, 0.0, false,
                        "holds at\nfriction %.2f", r->friction[0]);
    }
    /* On the side of the playing angle with more room. */
    bool right = w->neck_angle_deg < 0.5 * (r->lo + r->hi);
    double middle = r->lo + (right ? 0.7 : 0.3) * (r->hi - r->lo);
    poise_notes_add(notes, sheet, POISE_NOTE_SMALL, (double[2]){middle, sheet->hi[1]}, 0.0, 12.0,
                    false, "a centre of mass up here is too near the head: the neck dives");
    poise_notes_add(notes, sheet, POISE_NOTE_SMALL, (double[2]){middle, sheet->lo[1]}, 0.0, -12.0,
                    false, "a centre of mass down here is too near the tail: the neck rises");
}

/* The lines that are drawn: the path, the edges at the file's friction, the playing angle. */
static void keep_off_lines(const PoiseWeighing *w, const Range *r, const PoiseSheet *sheet,
                           PoiseNotes *notes)
{
    double last[3] = {(double)NAN, (double)NAN, (double)NAN}, playing = w->neck_angle_deg;
    for (int i = 0; r->lo + i * LINE_STEP_DEG <= r->hi; i++) {
        double angle = r->lo + i * LINE_STEP_DEG;
        PoiseInterval window = {(double)NAN, (double)NAN};
        if (poise_strap_window(&w->strap, angle, &window))
            window = (PoiseInterval){(double)NAN, (double)NAN};
        const double now[3] = {station_at(w, angle), window.lo, window.hi};
        for (int k = 0; k < 3; k++) {
            poise_notes_keep_off_line(notes, sheet, (double[2]){angle - LINE_STEP_DEG, last[k]},
                                      (double[2]){angle, now[k]});
            last[k] = now[k];
        }
    }
    poise_notes_keep_off_line(notes, sheet, (double[2]){playing, sheet->lo[1]},
                              (double[2]){playing, sheet->hi[1]});
}

/* What this view is looked at for: where the neck goes when the hand lets go. */
static void say_title(PoiseText *title, const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    if (!h->has_verdict || (h->verdict == POISE_HOLDS && isnan(h->hold_range_deg.lo))) {
        poise_plot_verdict(title, w);
        return;
    }
    static const char *const starts[] = {"Holds at ", "Neck-heavy at ", "Tail-heavy at "};
    poise_text_append(title, starts[h->verdict]);
    poise_words_number(title, w->neck_angle_deg, 0);
    if (h->verdict == POISE_HOLDS) {
        poise_text_append(title, "°, and from ");
        poise_words_number(title, h->hold_range_deg.lo, 0);
        poise_text_append(title, "° to ");
        poise_words_number(title, h->hold_range_deg.hi, 0);
        poise_text_append(title, "°");
    } else if (isfinite(h->settles_at_deg)) {
        poise_text_append(title, "°: let go, the neck settles at ");
        poise_words_number(title, h->settles_at_deg, 0);
        poise_text_append(title, "°");
    } else {
        poise_text_printf(title, "°: let go, no angle %s holds it",
                          h->verdict == POISE_NECK_HEAVY ? "down to −90°" : "up to 90°");
    }
}

static void write_title(const PoiseWeighing *w, const Range *r, PoiseSheet *sheet)
{
    PoiseText title = {0}, subtitle = {0};
    say_title(&title, w);
    poise_plot_subtitle(&subtitle, w, true);
    if (r->friction[1] < r->friction[0] || r->friction[1] > r->friction[2]) {
        poise_text_printf(&subtitle, ". Friction %.2f", r->friction[0]);
        if (r->friction[2] > r->friction[0])
            poise_text_printf(&subtitle, " to %.2f", r->friction[2]);
        poise_text_printf(&subtitle, " (the file: %.2f)", r->friction[1]);
    } else {
        poise_text_printf(&subtitle, ". Friction %.2f", r->friction[1]);
        if (r->friction[2] > r->friction[0])
            poise_text_printf(&subtitle, ", from %.2f to %.2f", r->friction[0], r->friction[2]);
    }
    poise_text_append(&subtitle, "; the lines are the file's own.");
    poise_plot_words(sheet, &title, &subtitle, "neck angle above level, degrees",
                     "mm from the tail post towards the head");
}

PoiseStatus poise_view_window(const PoiseInstrument *in, const PoiseWeighing *w,
                              const PoisePlotOptions *options, PoiseSheet *sheet, PoiseNotes *notes,
                              PoiseFaults *faults)
{
    if (!w->has_strap)
        return poise_fault_add(faults, &(PoiseFault){.status = POISE_E_USAGE,
                                                     .file = in->file,
                                                     .found = "no holding window to draw",
                                                     .expected = "\"posts\" and \"strap\" in the "
                                                                 "file"});
    const PoiseHanging *h = &w->hanging;
    Range r = range_of(w, options);
    write_title(w, &r, sheet);
    write_band(w, &r, r.friction[2], "band-most", sheet);
    /* the file's, unless it lies outside the range that was asked for: then only its lines */
    write_band(w, &r, fmin(fmax(r.friction[1], r.friction[0]), r.friction[2]), "band-middle",
               sheet);
    write_band(w, &r, r.friction[1], "band-file", sheet);
    write_band(w, &r, r.friction[0], "band-least", sheet);
    write_centre_line(w, &r, sheet);
    sheet->height_px = 640.0;
    sheet->lo[0] = r.lo;
    sheet->hi[0] = r.hi;
    /* more where the playing angle is named outside the band */
    const double room = 0.1, named = 0.18, span = r.highest - r.lowest;
    sheet->lo[1] = r.lowest - (h->verdict == POISE_TAIL_HEAVY ? named : room) * span;
    sheet->hi[1] = r.highest + (h->verdict == POISE_NECK_HEAVY ? named : room) * span;
    mark(sheet, "playing", w->neck_angle_deg, h->station_mm);
    bool settles = h->has_verdict && h->verdict != POISE_HOLDS && isfinite(h->settles_at_deg);
    mark(sheet, "settles", settles ? h->settles_at_deg : (double)NAN,
         settles ? station_at(w, h->settles_at_deg) : (double)NAN);
    name_marks(w, &r, sheet, notes);
    name_bands(w, &r, sheet, notes);
    keep_off_lines(w, &r, sheet, notes);
    poise_notes_write(notes, sheet);
    return POISE_OK;
}
