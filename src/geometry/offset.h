/* Shrinking a plane region by the width of a printed line. */
#ifndef POISE_GEOMETRY_OFFSET_H
#define POISE_GEOMETRY_OFFSET_H

#include "geometry/crossing.h"
#include "geometry/region_geos.h"

/* Scratch memory of one thread. Start from {0} with `geos` set, or NULL to have it made when
 * needed. */
typedef struct PoiseOffsetWork {
    GEOSContextHandle_t geos;
    PoiseCrossingWork crossing;
    PoiseRings island, moved, best, strips;
    size_t retries; /* how often an answer of GEOS could not be right */
} PoiseOffsetWork;
void poise_offset_release(PoiseOffsetWork *work);

/* The points of the region that are at least `distance` mm from its outline, corners mitred (limit
 * POISE_MITRE_LIMIT). `in` bounds a region: its rings do not cross, and each outline is followed by
 * its holes. Replaces `out`, ordered likewise. By GEOS, whose answers are checked
 * (poise_offset_plausible()) and asked for again in smaller steps, and at last edge by
 * edge (poise_carve_strips()), when they cannot be right.
 * POISE_E_MEMORY, or POISE_E_INTERNAL when no answer can be right. */
PoiseStatus poise_offset_inward(const PoiseRings *in, double distance, PoiseOffsetWork *work,
                                PoiseRings *out);

/* The region that rings wind around at least once. Shells nearer than `tolerance` mm are joined.
 * *joined says whether the rings had to be changed at all: if not, `out` is left empty. */
PoiseStatus poise_region_unite(const PoiseRings *in, double tolerance, PoiseOffsetWork *work,
                               bool *joined, PoiseRings *out);

/* Whether `out` can be `in` shrunk by `distance`: no more area is gone than the strip along the
 * outline and the mitres at its reflex corners hold and no less than the edges of `out` have swept,
 * no ring of `in` was overlooked, and points of `out` keep their distance. */
bool poise_offset_plausible(const PoiseRings *in, double distance, const PoiseRings *out);

#endif
