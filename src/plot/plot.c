#include "plot/plot.h"

#include <stdlib.h>
#include <string.h>

#include "base/faults.h"
#include "base/locale_guard.h"
#include "base/memory.h"
#include "plot/deliver.h"
#include "plot/notes.h"
#include "plot/scene.h"
#include "plot/view_sweep.h"

const char *poise_plot_view_name(PoisePlotView view)
{
    static const char *const names[POISE_PLOT_VIEWS] = {"side",    "front",  "window",
                                                        "ballast", "budget", "sweep"};
    return (int)view >= 0 && view < POISE_PLOT_VIEWS ? names[view] : "";
}

void poise_plot_done_free(PoisePlotDone *done)
{
    poise_release(done->script);
    poise_release(done->table);
    poise_release(done->remarks);
    *done = (PoisePlotDone){0};
}

/* The margins that every view starts from, px: room for title, names of the axes, tick labels. */
static PoiseSheet sheet_begin(void)
{
    return (PoiseSheet){.height_px = 640.0,
                        .left_px = 78.0,
                        .right_px = 24.0,
                        .top_px = 84.0,
                        .bottom_px = 62.0,
                        .hi = {1.0, 1.0}};
}

static PoiseStatus deliver(PoiseSheet *sheet, PoisePlotView view, const PoisePlotOptions *options,
                           PoisePlotDone *done, PoiseFaults *faults)
{
    if (poise_sheet_failed(sheet))
        return poise_fault_memory(faults);
    return poise_plot_deliver(sheet, poise_plot_view_name(view), options, done, faults);
}

static PoiseViewMaker *maker_of(PoisePlotView view)
{
    switch (view) {
    case POISE_PLOT_SIDE:
        return poise_view_side;
    case POISE_PLOT_FRONT:
        return poise_view_front;
    case POISE_PLOT_WINDOW:
        return poise_view_window;
    case POISE_PLOT_BALLAST:
        return poise_view_ballast;
    case POISE_PLOT_BUDGET:
        return poise_view_budget;
    case POISE_PLOT_SWEEP:
    case POISE_PLOT_VIEWS:
        break;
    }
    return NULL;
}

PoiseStatus poise_plot(const PoiseInstrument *in, const PoiseWeighing *w, PoisePlotView view,
                       const PoisePlotOptions *options, PoisePlotDone *done, PoiseFaults *faults)
{
    *done = (PoisePlotDone){0};
    PoiseViewMaker *maker = maker_of(view);
    if (!maker)
        return poise_fault_say(faults, POISE_E_USAGE, NULL,
                               "there is no such view of one weighing");
    PoiseNotes *notes = poise_alloc_zero(1, sizeof *notes);
    if (!notes)
        return poise_fault_memory(faults);
    PoiseLocaleGuard guard = poise_locale_enter();
    PoiseSheet sheet = sheet_begin();
    PoiseStatus status = maker(in, w, options, &sheet, notes, faults);
    if (!status)
        status = deliver(&sheet, view, options, done, faults);
    poise_notes_clear(notes);
    poise_release(notes);
    poise_sheet_clear(&sheet);
    poise_locale_leave(&guard);
    return status;
}

PoiseStatus poise_plot_sweep(const PoiseSweepPlot *sweep, const PoisePlotOptions *options,
                             PoisePlotDone *done, PoiseFaults *faults)
{
    *done = (PoisePlotDone){0};
    PoiseNotes *notes = poise_alloc_zero(1, sizeof *notes);
    if (!notes)
        return poise_fault_memory(faults);
    PoiseLocaleGuard guard = poise_locale_enter();
    PoiseSheet sheet = sheet_begin();
    PoiseStatus status = poise_view_sweep(sweep, &sheet, notes, faults);
    if (!status)
        status = deliver(&sheet, POISE_PLOT_SWEEP, options, done, faults);
    poise_notes_clear(notes);
    poise_release(notes);
    poise_sheet_clear(&sheet);
    poise_locale_leave(&guard);
    return status;
}
