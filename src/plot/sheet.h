/* One picture as data: what gnuplot reads, and the page it is laid out for. */
#ifndef POISE_PLOT_SHEET_H
#define POISE_PLOT_SHEET_H

#include <stddef.h>

#include "base/text.h"
#include "geometry/rings.h"

/* Pages are A5 across (210 mm), at this many px; text sizes are in the same px, so 15 px is 8 pt.
 */
#define POISE_SHEET_WIDTH_PX 1120.0
/* Text sizes, px: titles, names, the rest, and the smallest that A5 may carry (7 pt). */
#define POISE_TITLE_PX 22.0
#define POISE_TEXT_PX  15.0
#define POISE_SMALL_PX 13.0

/* Numbers and inert text only: whatever comes from an instrument file stands in `data`, never in
 * `settings`, which gnuplot runs. */
typedef struct PoiseSheet {
    PoiseText data;     /* blocks of lines, tabs between the columns */
    PoiseText settings; /* assignments of numbers: "XLO = 12" */
    size_t rows;        /* in the block being written */
    size_t columns;     /* in the row being written */
    double height_px;
    double left_px, right_px, top_px, bottom_px; /* margins around the plotted area */
    double lo[2], hi[2];                         /* axis ranges; lo[0] > hi[0] turns x around */
} PoiseSheet;

void poise_sheet_clear(PoiseSheet *sheet);
bool poise_sheet_failed(const PoiseSheet *sheet);

/* Begins a block, "# name: columns". No name is the beginning of another. */
void poise_sheet_block(PoiseSheet *sheet, const char *name, const char *columns);
/* Ends it; a block that got no row gets one of n NaN, so that a script may always name it. */
void poise_sheet_end(PoiseSheet *sheet, size_t n);
/* Adds columns to the row; NAN is written as NaN. */
void poise_sheet_number(PoiseSheet *sheet, double value);
void poise_sheet_numbers(PoiseSheet *sheet, const double *values, size_t n);
/* Text as it is to be drawn, one line. */
void poise_sheet_text(PoiseSheet *sheet, const char *text);
void poise_sheet_row(PoiseSheet *sheet);
/* An empty line: the curve breaks. */
void poise_sheet_break(PoiseSheet *sheet);
/* "NAME = 12.0": always with a point, for gnuplot divides whole numbers without remainder. */
void poise_plot_assign(PoiseText *script, const char *name, double value);
/* A number the script may use. */
void poise_sheet_set(PoiseSheet *sheet, const char *variable, double value);

/* Appends text from a file so that gnuplot reads it back as it is and takes no part of it for
 * anything else: control and direction characters made visible, at most `columns` wide, every ASCII
 * character but letters, digits and a few marks as an octal escape. */
void poise_plot_encode(PoiseText *out, const char *text);
/* A name from a file as it may be shown: inert and no wider than `columns`. */
void poise_plot_shown(PoiseText *out, const char *text, size_t columns);

/* Sets equal scales on both axes: the box from min to max, in the middle of what the page leaves,
 * the page as high as that takes (within least and most). `turned`: x grows to the left. */
void poise_sheet_fit(PoiseSheet *sheet, const double min[2], const double max[2], double least_px,
                     double most_px, bool turned);
double poise_sheet_px_per_x(const PoiseSheet *sheet);
double poise_sheet_px_per_y(const PoiseSheet *sheet);
/* Data to px from the page's upper left corner, and back. */
void poise_sheet_to_px(const PoiseSheet *sheet, const double at[2], double px[2]);
void poise_sheet_from_px(const PoiseSheet *sheet, const double px[2], double at[2]);
/* Width of text, px, as the usual sans-serif sets it; an estimate on the safe side. */
double poise_text_width_px(const char *text, double size_px);

/* All rings as one closed line, for filling: it runs from ring to ring and back the same way, so
 * what the rings do not wind around stays empty. */
void poise_sheet_fill(PoiseSheet *sheet, const PoiseRings *rings);
/* Each ring as a closed line of its own. */
void poise_sheet_rings(PoiseSheet *sheet, const PoiseRings *rings);

#endif
