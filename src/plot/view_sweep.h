/* Candidates of a sweep: mass against hand load. */
#ifndef POISE_PLOT_VIEW_SWEEP_H
#define POISE_PLOT_VIEW_SWEEP_H

#include "plot/notes.h"
#include "plot/plot.h"
#include "plot/sheet.h"

/* POISE_E_USAGE with a fault when no candidate has both a mass and a hand load. */
PoiseStatus poise_view_sweep(const PoiseSweepPlot *sweep, PoiseSheet *sheet, PoiseNotes *notes,
                             PoiseFaults *faults);

#endif
