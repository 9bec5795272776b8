/** @file section.h  A printed section: how a mesh divides into perimeters, skins and infill. */
#ifndef POISE_SECTION_H
#define POISE_SECTION_H

#include "poise/mesh.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Most perimeters the split is computed for. */
#define POISE_MAX_PERIMETERS 8

/** How a section is sliced. Everything the split of the volume depends on, and nothing else. */
typedef struct PoiseSlicing {
    double layer_mm; /**< layer height, > 0 */
    double line_mm;  /**< width of one extruded line, > 0 */
    int top, bottom; /**< solid skin layers under an upward and over a downward surface, ≥ 0 */
    double up[3];    /**< build direction in mesh axes; any length but zero */
} PoiseSlicing;

/** 0.2 mm layers, 0.45 mm lines, 5 top and 4 bottom skins, z up. */
POISE_API PoiseSlicing poise_slicing_default(void);

/** The body divided for one number of perimeters. The three regions are disjoint and together they
 * are the whole solid, so their volumes add up to the mesh's volume. In mesh axes. */
typedef struct PoiseSplit {
    PoiseMoments perimeter; /**< within n line widths of the layer's outline */
    PoiseMoments skin;      /**< solid top and bottom layers inside the perimeters */
    PoiseMoments infill;    /**< the rest: the region that gets the infill pattern */
} PoiseSplit;

/** What slicing a mesh found. splits[n] is for n perimeters, n = 0 … POISE_MAX_PERIMETERS. */
typedef struct PoiseSection {
    size_t layers;          /**< number of layers */
    size_t distinct_layers; /**< layers that had to be computed (others equal their neighbour) */
    double layered_mm3;     /**< Σ layer area × height, before scaling to the mesh's volume */
    double simplified_mm2;  /**< bound of the area outlines gave up, summed over layers */
    PoiseMoments solid; /**< the whole solid, exact; overlaps of shells as the layers see them */
    PoiseSplit splits[POISE_MAX_PERIMETERS + 1];
} PoiseSection;

/** Slices a closed mesh and divides it for 0 … POISE_MAX_PERIMETERS perimeters in one pass.
 *  @param mesh     a mesh that passes poise_mesh_check()
 *  @param slicing  see PoiseSlicing
 *  @param threads  number of threads; 0 = one per core. The digits do not depend on it.
 *  @param progress called with the fraction done, from one thread at a time; may be NULL
 *  @return POISE_OK, POISE_E_MESH, POISE_E_USAGE (bad slicing), POISE_E_MEMORY, POISE_E_INTERNAL */
POISE_API PoiseStatus poise_section_slice(const PoiseMesh *mesh, const char *name,
                                          const PoiseSlicing *slicing, int threads,
                                          void (*progress)(double fraction, void *context),
                                          void *context, PoiseSection *section,
                                          PoiseFaults *faults);

#ifdef __cplusplus
}
#endif
#endif
