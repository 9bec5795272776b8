/* Labels that no line runs through, neither of the picture nor to another label. */
#ifndef POISE_PLOT_LABEL_CLEAR_H
#define POISE_PLOT_LABEL_CLEAR_H

#include "plot/label_place.h"

/* A straight piece of a line of the picture, px, y down; both ends the same: a point. */
typedef struct PoiseLabelLine {
    double from[2], to[2];
    double gap; /* clear space between it and the sides of a label */
} PoiseLabelLine;

/* Usual gaps, px: beside a curve; beside an edge of what the label stands within. */
#define POISE_CURVE_GAP_PX 4.0
#define POISE_EDGE_GAP_PX  1.0

/* Whether a piece of a line comes into a box (min x, min y, max x, max y). */
bool poise_line_meets_box(const PoiseLabelLine *line, const double box[4]);

/* The line drawn from a label to what it speaks of, if one is: not where the label stands beside
 * that. */
bool poise_label_leader(const PoiseLabel *label, PoiseLabelLine *leader);

/* For labels that have been pushed apart: each one that lies on a line, on another label, under the
 * leader of another or with its own across another moves to the nearest place inside the area where
 * none of that is so; where there is none within reach it stays. The result depends on the order.
 * Returns whether all are clear. */
bool poise_labels_clear(PoiseLabel *labels, size_t n, const PoiseLabelLine *lines,
                        size_t line_count, const double area_px[4]);

#endif
