/* Moments of plane polygons and of the slabs above them. */
#ifndef POISE_GEOMETRY_POLYGON_H
#define POISE_GEOMETRY_POLYGON_H

#include <stddef.h>

#include "poise/moments.h"

/* Area moments of a plane region about a local origin. */
typedef struct PoiseAreaMoments {
    double origin_mm[2];
    double area_mm2;
    double first_mm3[2];
    double second_mm4[3]; /* ∫xx, ∫yy, ∫xy */
} PoiseAreaMoments;

/* Signed moments of one closed ring (n points, the last not repeated) about `origin`: positive for
 * counter-clockwise rings. By Green's theorem, compensated. */
PoiseAreaMoments poise_ring_moments(const double (*points_mm)[2], size_t n,
                                    const double origin_mm[2]);
/* a += scale·b, b moved to a's origin first. */
void poise_area_moments_add(PoiseAreaMoments *a, const PoiseAreaMoments *b, double scale);
/* The region extruded from z_lo to z_hi. */
PoiseMoments poise_extrude_moments(const PoiseAreaMoments *a, double z_lo_mm, double z_hi_mm);

#endif
