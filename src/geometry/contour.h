/* Cutting a triangle mesh by horizontal planes. */
#ifndef POISE_GEOMETRY_CONTOUR_H
#define POISE_GEOMETRY_CONTOUR_H

#include <stdint.h>

#include "geometry/parallel.h"
#include "geometry/rings.h"

/* Points of a contour lie on a grid of this many mm (2^-20): far below what a printer can resolve,
 * far above round-off, so that cuts of the same upright wall come out bit-equal at every height. */
#define POISE_CONTOUR_GRID_MM 9.5367431640625e-07

/* The triangles of a mesh by the planes they cross. A vertex exactly on a plane counts as above it
 * (the plane is moved down by an infinitesimal amount), so that every triangle crosses a plane in
 * exactly two of its edges or not at all, and all triangles around a vertex agree. */
typedef struct PoiseSlices {
    const double *vertices; /* 3 per vertex, build axes */
    const uint32_t *triangles;
    size_t triangle_count;
    const double *planes; /* heights, evenly spaced, rising */
    size_t layers;
    uint16_t *first, *end; /* triangle t crosses planes first[t] … end[t] − 1 */
    uint32_t *order;       /* triangles that cross some plane, by their first */
    size_t *order_start;   /* layers + 1 */
    size_t *crossings;     /* per layer: triangles that cross its plane */
    uint32_t *carry;       /* triangles of earlier runs that reach into the next */
    size_t carry_count, carry_capacity;
} PoiseSlices;

/* Sorts the triangles. POISE_OK or POISE_E_MEMORY; release in either case. layers ≤ 65535. */
PoiseStatus poise_slices_build(PoiseSlices *slices, size_t threads);
void poise_slices_release(PoiseSlices *slices);

/* The triangles that cross the planes begin … end − 1, plane by plane. */
typedef struct PoiseSliceRun {
    size_t begin, end;
    uint32_t *triangles;
    size_t *start; /* end − begin + 1 */
} PoiseSliceRun;

/* Runs must be taken in order, each beginning where the last one ended. */
PoiseStatus poise_slices_run(PoiseSlices *slices, size_t begin, size_t end, PoiseSliceRun *run);
void poise_slice_run_release(PoiseSliceRun *run);

/* Scratch memory of poise_contour(). Start from {0}. */
typedef struct PoiseContourWork {
    struct PoiseCut *cuts;
    uint32_t *table;
    size_t cut_capacity, table_capacity;
} PoiseContourWork;
void poise_contour_work_release(PoiseContourWork *work);

/* The rings in which n triangles cross a plane, centre subtracted, solid on the left. Neighbours
 * are found by the mesh edge they share: no tolerance is involved. POISE_E_MESH when the triangles
 * do not close. */
PoiseStatus poise_contour(const PoiseSlices *slices, const uint32_t *list, size_t n, double plane,
                          const double centre[2], PoiseContourWork *work, PoiseRings *rings);

#endif
