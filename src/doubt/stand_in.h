/* A quick stand-in for the window's edges over the range that trials draw from. */
#ifndef POISE_DOUBT_STAND_IN_H
#define POISE_DOUBT_STAND_IN_H

#include <stdbool.h>

#include "poise/statics.h"

/* mm. An edge that is interpolated may be off by this: a thousandth of what a rule on an instrument
 * can tell. Where the measured error is larger nothing is interpolated. */
#define POISE_STAND_IN_MM 1e-3

/* Nodes along friction, length and angle. Friction bends the edges most. */
enum { POISE_NODES_FRICTION = 16, POISE_NODES_OTHER = 8 };

/* One variable: value = middle + half · t with −1 ≤ t ≤ 1. */
typedef struct PoiseSpan {
    double middle, half; /* half 0: it does not vary */
    int terms;           /* of the Chebyshev series along it */
} PoiseSpan;

/* Chebyshev series of both edges in the three variables. */
typedef struct PoiseStandIn {
    bool usable;
    PoiseStrap strap;
    PoiseSpan friction, length, angle;
    /* [edge][length][angle][friction]; edge 0 is lo, 1 is hi */
    double terms[2][POISE_NODES_OTHER][POISE_NODES_OTHER][POISE_NODES_FRICTION];
    /* How many of them count along friction; the rest of the row adds next to nothing. */
    int kept[POISE_NODES_OTHER][POISE_NODES_OTHER];
    double error_mm; /* the largest found between the nodes */
} PoiseStandIn;

/* Fits the edges over the given spans (`terms` is set here) and measures the error. Not usable when
 * there is no window somewhere in the range, or the error is above POISE_STAND_IN_MM. */
void poise_stand_in(const PoiseStrap *strap, PoiseSpan friction, PoiseSpan length, PoiseSpan angle,
                    PoiseStandIn *out);

/* Edge 0 (lo) or 1 (hi) there. Beyond the spans, or without a usable fit, it is solved exactly; NAN
 * when there is no window. */
double poise_stand_in_edge(const PoiseStandIn *fit, int edge, double friction, double length_mm,
                           double angle_deg);

#endif
