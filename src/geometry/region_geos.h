/* The plane regions that only exact predicates can settle, by the GEOS library. */
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

/* Both replace `out` and may fail with POISE_E_MEMORY (out of memory) or POISE_E_INTERNAL (the
 * library gave up). */

/* The region that the rings wind around at least once; points nearer than `grid` mm become one. */
PoiseStatus poise_geos_positive(GEOSContextHandle_t geos, const PoiseRings *in, double grid,
                                PoiseRings *out);
/* The region shrunk by `distance` mm with mitred corners. The rings bound a region and do not
 * cross. */
PoiseStatus poise_geos_shrink(GEOSContextHandle_t geos, const PoiseRings *in, double distance,
                              PoiseRings *out);

#endif
