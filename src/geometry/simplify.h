/* Dropping the points of a region's outline that hardly change it, and moving its neighbours so
 * that the area stays. */
#ifndef POISE_GEOMETRY_SIMPLIFY_H
#define POISE_GEOMETRY_SIMPLIFY_H

#include "geometry/rings.h"

/* Scratch memory. Start from {0}. */
typedef struct PoiseSimplifyWork {
    double *owed; /* per point of a ring: area to be won back by moving it, mm² */
    size_t capacity;
} PoiseSimplifyWork;
void poise_simplify_release(PoiseSimplifyWork *work);

/* poise_reduce(), and then every kept point moves (by no more than `tolerance`) so that the chords
 * next to it enclose what the curves did: the area of each ring stays. Appends to `out`;
 * *given_up_mm2 grows by a bound of the area between old and new outlines, which is what was given
 * plus what was taken and stays below `budget_mm2`. Rings that shrink to nothing vanish. False when
 * out of memory. */
bool poise_simplify(const PoiseRings *in, double tolerance, double budget_mm2,
                    PoiseSimplifyWork *work, double *given_up_mm2, PoiseRings *out);

#endif
