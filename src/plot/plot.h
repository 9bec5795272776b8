/* Pictures of a weighed instrument. Everything is computed here and written as data; gnuplot draws
 * it by the scripts in plots/. */
#ifndef POISE_PLOT_PLOT_H
#define POISE_PLOT_PLOT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "model/instrument.h"
#include "poise/weigh.h"

typedef enum PoisePlotView {
    POISE_PLOT_SIDE,    /* hanging at its neck angle */
    POISE_PLOT_FRONT,   /* plan: sections with their masses, the centre with its ellipse */
    POISE_PLOT_WINDOW,  /* neck angle against station: where the strap holds */
    POISE_PLOT_BALLAST, /* grams needed at each place */
    POISE_PLOT_BUDGET,  /* masses as sorted bars */
    POISE_PLOT_SWEEP,   /* candidates: mass against hand load */
    POISE_PLOT_VIEWS
} PoisePlotView;

/* "side", … */
const char *poise_plot_view_name(PoisePlotView view);

typedef struct PoisePlotOptions {
    const char *out; /* a name ending in .svg, .png or .pdf; "-" is SVG on standard output;
                        NULL opens a window */
    bool data;       /* also write the data and a script that draws it, beside `out` */
    bool has_friction_range;
    double friction_lo, friction_hi; /* window view; otherwise the file's own ± */
} PoisePlotOptions;

/* What drawing left behind; free with poise_plot_done_free(). */
typedef struct PoisePlotDone {
    char *script, *table; /* names of the two files with `data`, else NULL */
    char *remarks;        /* what gnuplot had to say although it drew, else NULL */
} PoisePlotDone;
void poise_plot_done_free(PoisePlotDone *done);

/* Draws one view (any but the sweep). The picture appears whole or not at all.
 * POISE_OK; POISE_E_USAGE (ending of `out`, no posts or strap for this view); POISE_E_IO (no
 * gnuplot, it failed or took too long, cannot write); POISE_E_MESH; POISE_E_MEMORY. */
PoiseStatus poise_plot(const PoiseInstrument *instrument, const PoiseWeighing *weighing,
                       PoisePlotView view, const PoisePlotOptions *options, PoisePlotDone *done,
                       PoiseFaults *faults);

/* One candidate of a sweep. */
typedef struct PoiseSweepPoint {
    double mass_g;
    double hand_load_g; /* NAN: no verdict; such a candidate is counted, not drawn */
    double filament_g;  /* NAN or 0: nothing is printed */
    bool on_front;      /* nothing else is lighter without being harder on the hand */
    const char *label;  /* what sets it apart, a line feed between its lines: "wing infill 12 %";
                           NULL  none. May come from a file */
    bool misses;        /* a target of the file, be it one that the axes do not show */
} PoiseSweepPoint;

typedef struct PoiseSweepPlot {
    const char *name;    /* of the instrument */
    uint64_t candidates; /* how many there are, drawn or not */
    size_t count;        /* of those drawn */
    const PoiseSweepPoint *points;
    bool on_leg;                              /* the hand load is the one when seated */
    double target_mass_g, target_hand_load_g; /* NAN: none */
    const char *unseen_target; /* what the axes do not show: "a margin of 10 mm"; NULL: none */
    int unseen_target_count;   /* targets that this names */
} PoiseSweepPlot;

/* Draws mass against hand load for every candidate, with the trade-off front. As poise_plot();
 * POISE_E_USAGE when no candidate can be drawn. */
PoiseStatus poise_plot_sweep(const PoiseSweepPlot *sweep, const PoisePlotOptions *options,
                             PoisePlotDone *done, PoiseFaults *faults);

/* POISE_OK when the name ends as a picture's must ("-" does), else POISE_E_USAGE with a fault. */
PoiseStatus poise_plot_check_name(const char *out, PoiseFaults *faults);

/* A file name without directory and ending, reduced to characters that mean nothing to gnuplot or a
 * shell. A new string (poise_release()) or NULL when out of memory. */
char *poise_plot_stem(const char *path);

/* Whether a picture can be shown on this screen: a display and a gnuplot with a window of its own.
 */
bool poise_plot_has_window(void);

#endif
