/* Labels that do not cover each other. */
#ifndef POISE_PLOT_LABEL_PLACE_H
#define POISE_PLOT_LABEL_PLACE_H

#include <stdbool.h>
#include <stddef.h>

/* A box of text around its middle, px, y down. */
typedef struct PoiseLabel {
    double x, y;          /* in: where the middle would best be; out: where it is */
    double width, height; /* of the text */
    bool fixed;           /* stays where it is: an obstacle */
    bool leader;          /* a line is drawn to `at`, unless that is beside it */
    double at[2];         /* what it speaks of */
} PoiseLabel;

/* Clear space kept between two labels, px. */
#define POISE_LABEL_GAP_PX 4.0

/* Pushes labels apart along the shorter way out, sorted from top to bottom so that the result does
 * not depend on the order they come in; keeps all of them inside the area (min x, min y, max x, max
 * y). Stops when none overlap, or after a bounded number of rounds: then the rest is as good as it
 * got. n is small (at most a few dozen). Returns whether none overlap. */
bool poise_labels_place(PoiseLabel *labels, size_t n, const double area_px[4]);

#endif
