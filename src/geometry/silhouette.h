/* The outline of a solid seen from one side, and what pictures do with plane regions. */
#ifndef POISE_GEOMETRY_SILHOUETTE_H
#define POISE_GEOMETRY_SILHOUETTE_H

#include "geometry/rings.h"
#include "poise/mesh.h"
#include "poise/status.h"

/* Corners are put on a grid of this size, mm, before lines are crossed: finer than any picture
 * shows, and far coarser than the rounding of crossing points. */
#define POISE_SILHOUETTE_GRID_MM 0.05

/* Where a point r of a solid's own axes falls in the picture: (across · r, up · r) + shift. The two
 * vectors are unit vectors square to each other. */
typedef struct PoiseProjection {
    double across[3], up[3];
    double shift_mm[2];
} PoiseProjection;

void poise_project(const PoiseProjection *projection, const double r_mm[3], double picture_mm[2]);

/* The outline of a closed mesh. The triangles that face the viewer cover the picture of the solid;
 * where one of them borders on a triangle that does not, the edge is kept. Those edges are closed
 * loops, and they wind around a point of the picture as often as triangles facing the viewer lie
 * over it: the outline bounds the region wound around at least once. The work that grows with the
 * mesh is one sort of its edges; only the loops are crossed with each other.
 * Replaces `out`. POISE_OK, POISE_E_MEMORY, POISE_E_INTERNAL (the geometry library gave up). */
PoiseStatus poise_silhouette_mesh(const PoiseMesh *mesh, const PoiseProjection *projection,
                                  PoiseRings *out);

/* A flat outline (either winding) carried into the picture. Replaces `out`. POISE_OK,
 * POISE_E_MEMORY. */
PoiseStatus poise_silhouette_outline(const double (*points_mm)[2], size_t count,
                                     const PoiseProjection *projection, PoiseRings *out);

/* All that any of the regions covers: `in` holds the rings of several, one behind the other.
 * Replaces `out`. POISE_OK, POISE_E_MEMORY, POISE_E_INTERNAL. */
PoiseStatus poise_silhouette_union(const PoiseRings *in, PoiseRings *out);

/* The part of a region between two vertical lines. Rings stay closed by running along the lines
 * (Sutherland and Hodgman's clipping), so it is for filling, not for outlining. Adds to `out`;
 * check out->failed. */
void poise_rings_between(const PoiseRings *in, double lo_mm, double hi_mm, PoiseRings *out);

/* The parts inside a region of the lines {p : p · (cos a, sin a) = k spacing}, k whole: hatching.
 * Adds two points (start, end) for each part to out->points and closes no ring; check
 * out->failed. */
void poise_rings_hatch(const PoiseRings *in, double angle_deg, double spacing_mm, PoiseRings *out);

/* The parts inside a region of the vertical line at x, as poise_rings_hatch() gives them. */
void poise_rings_upright(const PoiseRings *in, double x_mm, PoiseRings *out);

/* Smallest and largest coordinates; false when there are no points. */
bool poise_rings_box(const PoiseRings *rings, double min_mm[2], double max_mm[2]);

#endif
