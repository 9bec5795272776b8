/* Offsets and unions of plane regions, by the GEOS library. */
#ifndef POISE_GEOMETRY_REGION_GEOS_H
#define POISE_GEOMETRY_REGION_GEOS_H

#include <geos_c.h>

#include "geometry/rings.h"
#include "poise/status.h"

/* A corner of an offset outline reaches at most this many offset distances from the corner it
 * belongs to. */
#define POISE_MITRE_LIMIT 5.0

/* A context of one's own for each thread; NULL when out of memory. Messages are kept quiet. */
GEOSContextHandle_t poise_geos_new(void);
void poise_geos_free(GEOSContextHandle_t geos);

/* All replace `out`, each outline followed by its holes, and may fail with POISE_E_MEMORY (out of
 * memory) or POISE_E_INTERNAL (the library gave up). */

/* The region that the rings wind around at least once. Points nearer than `grid` mm become one; a
 * grid of 0 keeps all digits. */
PoiseStatus poise_geos_positive(GEOSContextHandle_t geos, const PoiseRings *in, double grid,
                                PoiseRings *out);
/* An island (an outline followed by its holes) shrunk by `distance` mm with mitred corners, in that
 * many equal steps. The rings do not cross. */
PoiseStatus poise_geos_shrink(GEOSContextHandle_t geos, const PoiseRings *in, double distance,
                              int steps, PoiseRings *out);
/* An island less the union of other rings, each counter-clockwise and a piece of its own; all
 * points are moved to a grid of that many mm (> 0), on which the library is never at a loss. */
PoiseStatus poise_geos_without(GEOSContextHandle_t geos, const PoiseRings *in,
                               const PoiseRings *pieces, double grid, PoiseRings *out);

#endif
