/* Plane regions of a slab and its cuts, by GEOS. */
#ifndef POISE_GEOMETRY_SLAB_REGION_H
#define POISE_GEOMETRY_SLAB_REGION_H

#include <geos_c.h>
#include <stdbool.h>
#include <stddef.h>

#include "geometry/polygon.h"
#include "poise/status.h"

/* A GEOS context that keeps its last complaint. */
typedef struct PoisePlane {
    GEOSContextHandle_t geos;
    char complaint[160];
} PoisePlane;

/* False when out of memory. */
bool poise_plane_open(PoisePlane *plane);
void poise_plane_close(PoisePlane *plane);

/* A closed region: a polygon, or a disc that also knows its exact moments. */
typedef struct PoiseRegion {
    GEOSGeometry *shape;        /* owned; a disc as a polygon of its area */
    GEOSGeometry *centre;       /* disc only; owned */
    double at_mm[2], radius_mm; /* disc only; 0: polygon */
    double min_mm[2], max_mm[2];
    PoiseAreaMoments exact; /* positive area */
} PoiseRegion;

/* From a ring (last point not repeated) or a disc. False when GEOS gives nothing. Free with
 * poise_region_clear() in either case. */
bool poise_region_ring(PoisePlane *plane, const double (*points_mm)[2], size_t n,
                       const double origin_mm[2], PoiseRegion *region);
bool poise_region_disc(PoisePlane *plane, const double at_mm[2], double radius_mm,
                       const double origin_mm[2], PoiseRegion *region);
void poise_region_clear(PoisePlane *plane, PoiseRegion *region);

/* 1 when the inner region lies in the outer polygon, 0 when not, −1 on failure. */
int poise_region_inside(PoisePlane *plane, const PoiseRegion *inner, const PoiseRegion *outer);
/* 1 when the regions share area, 0 when not, −1 on failure. */
int poise_region_overlap(PoisePlane *plane, const PoiseRegion *a, const PoiseRegion *b);

/* Moments of the part of `within` that the n regions cover together. False on failure. */
bool poise_region_union_moments(PoisePlane *plane, const PoiseRegion *const *regions, size_t n,
                                const PoiseRegion *within, const double origin_mm[2],
                                PoiseAreaMoments *moments);

#endif
