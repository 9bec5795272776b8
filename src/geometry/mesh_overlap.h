/* How much of a mesh's volume its shells share. */
#ifndef POISE_GEOMETRY_MESH_OVERLAP_H
#define POISE_GEOMETRY_MESH_OVERLAP_H

#include "poise/mesh.h"

/* The share of the signed volume that lies inside the surface more than once, each further time
 * counted: overlapping shells, or a shell that runs through itself. Such a mesh is closed, but its
 * moments count what the shells share twice. Estimated along a grid of parallel lines: a shared
 * region narrower than 1/128 of the mesh's width may be missed. 0 for a mesh without overlap,
 * hollows and bodies inside hollows included. The mesh must have passed poise_mesh_check().
 * POISE_OK or POISE_E_MEMORY. */
PoiseStatus poise_mesh_overlap(const PoiseMesh *mesh, double *share);

#endif
