/* From a filled sheet to a picture in a file or a window. */
#ifndef POISE_PLOT_DELIVER_H
#define POISE_PLOT_DELIVER_H

#include "plot/plot.h"
#include "plot/render.h"
#include "plot/sheet.h"

/* Which picture a file name asks for, by its ending (any case); "-" is SVG. False when none. */
bool poise_plot_format_of(const char *out, PoisePictureFormat *format);

PoiseStatus poise_plot_deliver(const PoiseSheet *sheet, const char *view,
                               const PoisePlotOptions *options, PoisePlotDone *done,
                               PoiseFaults *faults);

#endif
