/* At which neck angles a centre holds. */
#ifndef POISE_STATICS_RANGE_H
#define POISE_STATICS_RANGE_H

#include "statics/strap.h"

typedef struct PoiseHoldRange {
    bool holds_somewhere;
    PoiseInterval
        nearest_deg;  /* the interval with the given angle, else the nearest; NAN both when none */
    double below_deg; /* the highest angle below the given one that holds; NAN when none */
    double above_deg; /* the lowest angle above it that holds; NAN when none */
} PoiseHoldRange;

/* Every neck angle in [−90°, 90°] is looked at. `centre` is relative to the tail post; the strap
 * has passed poise_strap_check(). The ends returned hold themselves. */
PoiseHoldRange poise_hold_range(const PoiseStrap *strap, PoisePoint centre, double neck_angle_deg);

/* Where it comes to rest when let go at neck_angle_deg: it moves the way the moment turns it, to
 * the first angle that holds. NAN: does not settle. */
double poise_settles_at(const PoiseHoldRange *range, PoiseVerdict verdict, double neck_angle_deg);

#endif
