/* Dropping the points of an outline that hardly change it. */
#ifndef POISE_GEOMETRY_REDUCE_H
#define POISE_GEOMETRY_REDUCE_H

#include "geometry/rings.h"

/* Points nearer to each other than this, mm, are one. Edges keep at least this length, so that
 * their directions are good to 1e-9 and better in spite of the contour grid. */
#define POISE_SHORTEST_EDGE_MM 2e-5
/* A point this near the chord that replaces it, mm, is on a straight line: four steps of the
 * contour grid. */
#define POISE_STRAIGHT_MM 4e-6

/* Appends the rings of `in` to `out`, each begun at its leftmost (of those the lowest) point,
 * without the points that lie within `tolerance` of the chords that replace them. No more than
 * `budget_mm2` of area is given or taken: *given_up_mm2 grows by a bound of the area between old
 * and new outlines, and when a chord would exceed the budget its points stay. Rings that shrink to
 * nothing vanish. */
void poise_reduce(const PoiseRings *in, double tolerance, double budget_mm2, double *given_up_mm2,
                  PoiseRings *out);

/* Orders the rings by their first points, so that equal regions come out as equal sets. False when
 * out of memory. */
bool poise_rings_sort(PoiseRings *rings, PoiseRings *scratch);

/* Whether the two sets have the same points, ring by ring, to within `tolerance` in x and y. */
bool poise_rings_same(const PoiseRings *a, const PoiseRings *b, double tolerance);

#endif
