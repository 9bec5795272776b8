/* A closed triangle surface from a field sampled on a regular grid. */
#ifndef MUDLARK_SURFACE_GRID_H
#define MUDLARK_SURFACE_GRID_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Signed distance, or any continuous function that is negative inside the solid; mm. */
typedef double MudlarkField(void *context, const double at_mm[3]);

/* Triangles are counter-clockwise seen from outside. */
typedef struct MudlarkSurface {
    size_t vertex_count, triangle_count;
    double (*vertices_mm)[3];
    uint32_t (*triangles)[3];
} MudlarkSurface;

/* Samples `field` at the nodes of a cubic grid and returns the surface where it changes sign.
 *
 * Nodes stand at lo_mm + i·step_mm and reach past hi_mm. Every surface vertex lies on a grid edge
 * whose ends differ in sign, and there is one vertex per such edge, so neighbouring cubes share it:
 * the surface is closed, free of T-joints and every edge is used once in each direction. A plane of
 * the field that stands midway between nodes comes out exactly flat.
 *
 * Returns false with a message in *error when memory runs out or the solid reaches the border of
 * the grid (it would be left open there). Free with mudlark_surface_free() in either case. */
bool mudlark_surface_make(MudlarkField *field, void *context, const double lo_mm[3],
                          const double hi_mm[3], double step_mm, MudlarkSurface *surface,
                          const char **error);
void mudlark_surface_free(MudlarkSurface *surface);

#endif
