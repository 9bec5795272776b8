/* A slab with pockets: an outline of some thickness, with cuts from either face. */
#ifndef POISE_GEOMETRY_SLAB_H
#define POISE_GEOMETRY_SLAB_H

#include <stdbool.h>
#include <stddef.h>

#include "poise/moments.h"
#include "poise/status.h"

/* A cut's region and depth. */
typedef struct PoiseSlabCut {
    size_t count; /* outline points; 0: a round hole at at_mm with diameter_mm */
    const double (*points_mm)[2];
    double at_mm[2], diameter_mm;
    double depth_mm; /* from the face it starts at; NAN: through */
    bool from_bottom;
} PoiseSlabCut;

/* Volume moments of the slab between z = top − thickness and z = top, less the union of its cuts
 * (cuts may overlap each other and the rim). Round holes are exact when they overlap nothing.
 * POISE_E_INPUT with a fault when an outline crosses itself or has no area, the cuts take
 * everything away, thickness is not positive or a cut goes deeper; POISE_E_MEMORY; POISE_E_INTERNAL
 * when GEOS fails. `pointer` is put before the fault's own ("/outline", "/cut/2/outline", …). */
PoiseStatus poise_slab_moments(const double (*outline_mm)[2], size_t count, double thickness_mm,
                               double top_mm, const PoiseSlabCut *cuts, size_t cut_count,
                               const char *file, const char *pointer, PoiseMoments *moments,
                               PoiseFaults *faults);

#endif
