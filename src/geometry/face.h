/* Cutting a plane polygon of a mesh into triangles. */
#ifndef POISE_GEOMETRY_FACE_H
#define POISE_GEOMETRY_FACE_H

#include <stddef.h>
#include <stdint.h>

#include "poise/status.h"

/* Cuts the face with n ≥ 3 corners (vertex numbers into vertices_mm, three doubles each; no two
 * neighbours equal) into n − 2 triangles with the same sense, written to triangles[3 (n − 2)]: a
 * fan when the face is convex, ears otherwise. POISE_E_MESH when no ear can be found (the face
 * crosses itself) or a face that is not convex has more than 4096 corners; POISE_E_MEMORY. */
PoiseStatus poise_face_cut(const double *vertices_mm, const uint32_t *corners, size_t n,
                           uint32_t *triangles, size_t *count);

#endif
