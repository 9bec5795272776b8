/* Which part of each layer is solid skin. */
#ifndef POISE_GEOMETRY_SECTION_SKIN_H
#define POISE_GEOMETRY_SECTION_SKIN_H

#include "geometry/section_job.h"

/* The layers as runs of equal ones. */
typedef struct PoiseLayerRuns {
    const PoiseSectionPlan *plan;
    const uint32_t *run_of;           /* per layer: its run, counted from 0 without gaps */
    const PoiseLayerRegions *regions; /* per run */
    size_t top, bottom;
    size_t threads;
    const PoiseProgress *progress;
} PoiseLayerRuns;

/* Divides layers from … to − 1 (the layers of their windows are there) and adds them to the tallies
 * [perimeters][perimeter, skin, infill]. POISE_E_MEMORY. */
PoiseStatus poise_skins_divide(const PoiseLayerRuns *runs, size_t from, size_t to,
                               PoiseTally tallies[POISE_SPLITS][3]);

#endif
