/* The parts of slicing a section, and what they hand to each other. */
#ifndef POISE_GEOMETRY_SECTION_JOB_H
#define POISE_GEOMETRY_SECTION_JOB_H

#include <stdint.h>

#include "base/sum.h"
#include "geometry/contour.h"
#include "geometry/offset.h"
#include "geometry/scanline.h"
#include "poise/section.h"

#define POISE_SPLITS (POISE_MAX_PERIMETERS + 1)

/* Where the layers and the lines lie. Build axes: z along `up`. Scan axes: build axes turned about
 * z so that x runs along the lines, origin at `centre`. */
typedef struct PoiseSectionPlan {
    double axes[3][3];      /* rows: the build axes in mesh axes */
    const double *vertices; /* build axes; the mesh's own when `up` is +z */
    double *turned;         /* or this copy of them, else NULL */
    double centre[3];       /* middle of the bounding box, build axes */
    size_t layers;
    double layer_mm; /* the height divided by `layers`: the layers fill the solid exactly */
    double *planes;  /* mid-heights */
    double cosine, sine;
    PoiseScan scan;
} PoiseSectionPlan;

/* POISE_E_USAGE with a fault, or POISE_E_MEMORY; release in either case. */
PoiseStatus poise_section_plan(const PoiseMesh *mesh, const char *name, const PoiseSlicing *slicing,
                               PoiseSectionPlan *plan, PoiseFaults *faults);
void poise_section_plan_release(PoiseSectionPlan *plan);

/* One distinct layer: the regions inside n perimeters, n = 0 … POISE_MAX_PERIMETERS, scan axes. */
typedef struct PoiseLayerRegions {
    PoiseFlat exact[POISE_SPLITS];
    PoiseSpans spans[POISE_SPLITS];
    PoiseFlat overlap; /* what overlapping shells count too often */
    double simplified_mm2;
    bool empty; /* no outline at all */
} PoiseLayerRegions;

/* Scratch memory of one thread. Start from {0}. */
typedef struct PoiseLayerWork {
    PoiseContourWork contour;
    PoiseOffsetWork offset;
    PoiseScanWork scan;
    PoiseRings raw, now, next, turned;
} PoiseLayerWork;
void poise_layer_work_release(PoiseLayerWork *work);

/* The outline of a layer: rings of the cut, straight points dropped, in a fixed order.
 * POISE_E_MESH, POISE_E_MEMORY. */
PoiseStatus poise_layer_outline(const PoiseSectionPlan *plan, const PoiseSlices *slices,
                                const PoiseSliceRun *run, size_t layer, PoiseLayerWork *work,
                                PoiseRings *outline);

/* Unites, simplifies and shrinks an outline line by line. POISE_E_MEMORY, POISE_E_INTERNAL; release
 * in either case. Without `with_spans` only the moments are made. */
PoiseStatus poise_layer_regions(const PoiseSectionPlan *plan, const PoiseRings *outline,
                                double line_mm, bool with_spans, PoiseLayerWork *work,
                                PoiseLayerRegions *regions);
void poise_layer_regions_release(PoiseLayerRegions *regions);

/* Moments as they are added up layer by layer, in scan axes. */
typedef struct PoiseTally {
    PoiseSum volume, first[3], second[6];
} PoiseTally;
/* Adds the prism of height `height` around z over a plane region, times scale. */
void poise_tally_prism(PoiseTally *tally, const PoiseFlat *flat, double z, double height,
                       double scale);
/* The sum in mesh axes about the plan's centre. */
PoiseMoments poise_tally_moments(const PoiseTally *tally, const PoiseSectionPlan *plan);

/* Scales the three parts to the volume of the solid, and shares what is then left of the solid's
 * first and second moments among them by volume: the layers' steps shift them by some 1e-6 of the
 * size. */
void poise_split_fit(PoiseSplit *split, const PoiseMoments *solid);

#endif
