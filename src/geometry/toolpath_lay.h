/* Adding up what is laid. */
#ifndef POISE_GEOMETRY_TOOLPATH_LAY_H
#define POISE_GEOMETRY_TOOLPATH_LAY_H

#include "base/sum.h"
#include "geometry/toolpath.h"
#include "geometry/toolpath_path.h"

typedef struct PoiseBed {
    const PoiseToolpathOptions *options;
    double section_mm2; /* of the filament */
    bool begun;         /* origin_mm is set: something was kept */
    double origin_mm[3];
    PoiseSum volume, first[3], second[6], point, path;
    PoiseSum waste, unplaced, low, above;
    double min_mm[3], max_mm[3];
    size_t layers;
    double lowest_mm, level_mm; /* of the first and the last height counted */
} PoiseBed;

PoiseBed poise_bed(const PoiseToolpathOptions *options);

/* Lays a length of filament evenly over the way behind a fraction 0 ≤ f < 1.
 * way_mm is poise_path_length_mm(). */
void poise_bed_lay(PoiseBed *bed, const PoisePath *path, double way_mm, double fraction,
                   double filament_mm);
/* Lays it in one place. */
void poise_bed_drop(PoiseBed *bed, const double at_mm[3], double filament_mm);

/* Counts it as waste that is laid nobody knows where. */
void poise_bed_waste_unplaced(PoiseBed *bed, double filament_mm);

/* The sums as the toolpath's fields. */
void poise_bed_result(const PoiseBed *bed, PoiseToolpath *toolpath);

#endif
