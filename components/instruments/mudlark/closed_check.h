/* Whether a surface is closed as it stands in a file of 32-bit floats, and its volume. */
#ifndef MUDLARK_CLOSED_CHECK_H
#define MUDLARK_CLOSED_CHECK_H

#include <stdbool.h>

#include "surface_grid.h"

typedef struct MudlarkClosedness {
    size_t repeated_vertices; /* different vertices that round to the same three floats */
    size_t flat_triangles;    /* triangles without area, or with a vertex used twice */
    size_t bad_edges;         /* edges not used exactly once in each direction */
    double volume_mm3;        /* signed; from the divergence theorem */
    double min_mm[3], max_mm[3];
} MudlarkClosedness;

/* Coordinates are rounded to float first. Returns false when memory runs out. */
bool mudlark_closed_check(const MudlarkSurface *surface, MudlarkClosedness *result);

#endif
