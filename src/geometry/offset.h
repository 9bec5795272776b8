/* Shrinking a plane region by the width of a printed line. */
#ifndef POISE_GEOMETRY_OFFSET_H
#define POISE_GEOMETRY_OFFSET_H

#include "geometry/arrange.h"
#include "geometry/region_geos.h"

/* Scratch memory of one thread. Start from {0} with `geos` set, or NULL to have it made when
 * needed. */
typedef struct PoiseOffsetWork {
    GEOSContextHandle_t geos;
    PoiseArrangeWork arrange;
    PoiseRings raw;
    struct PoiseOffsetEdge *edges;
    size_t edge_capacity;
    size_t library_calls; /* how often the exact library was needed */
} PoiseOffsetWork;
void poise_offset_release(PoiseOffsetWork *work);

/* The points of the region that are at least `distance` mm from its outline, corners mitred (limit
 * POISE_MITRE_LIMIT). `in` bounds a region: its rings do not cross. Replaces `out`.
 * Outlines in general position are moved edge by edge and what crosses is resolved by winding
 * numbers; everything else goes to GEOS. POISE_E_MEMORY or POISE_E_INTERNAL. */
PoiseStatus poise_offset_inward(const PoiseRings *in, double distance, PoiseOffsetWork *work,
                                PoiseRings *out);

/* The region that rings wind around at least once. Shells nearer than `tolerance` mm are joined.
 * *joined says whether the rings had to be changed at all: if not, `out` is left empty. */
PoiseStatus poise_region_unite(const PoiseRings *in, double tolerance, PoiseOffsetWork *work,
                               bool *joined, PoiseRings *out);

#endif
