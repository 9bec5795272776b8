/* What the mesh readers share: welding corners to vertices, and the formats' entry points. */
#ifndef POISE_GEOMETRY_MESH_BUILD_H
#define POISE_GEOMETRY_MESH_BUILD_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/limits.h"
#include "poise/mesh.h"

/* One slot of the vertex table: part of the hash, and the vertex number plus 1 (0: free). */
typedef struct PoiseWeldSlot {
    uint32_t tag, vertex;
} PoiseWeldSlot;

/* A mesh under construction. Start from {0}. Vertices are numbered in the order they first appear,
 * so the result depends on nothing but the input. */
typedef struct PoiseWeld {
    double *vertices_mm;
    size_t vertex_count, vertex_capacity;
    uint32_t *triangles;
    size_t triangle_count, triangle_capacity;
    PoiseWeldSlot *slots;
    size_t slot_count; /* a power of two, or 0 */
    size_t dropped;
    bool integrated;      /* the reader has summed up the moments */
    PoiseMoments moments; /* about any origin */
} PoiseWeld;

/* Most corners of one poise_weld_corners() call. */
enum { POISE_WELD_BATCH = 48 };

/* Makes room for that many triangles and about half as many vertices. False when out of memory. */
bool poise_weld_reserve(PoiseWeld *weld, size_t triangles);
/* Numbers of n ≤ POISE_WELD_BATCH corners: bit-equal coordinates are one vertex, and −0 is 0. False
 * when out of memory. The coordinates must be finite: see poise_coordinates_ok(). */
bool poise_weld_corners(PoiseWeld *weld, const double (*corners_mm)[3], size_t n,
                        uint32_t *vertices);
/* Adds a triangle, or counts it as dropped when two corners are the same vertex: such a sliver runs
 * along an edge and back, so leaving it out keeps the balance of every edge. */
bool poise_weld_triangle(PoiseWeld *weld, const uint32_t vertices[3]);
/* Hands the mesh over and empties the weld, on failure too. A mesh without triangles is
 * POISE_E_MESH. */
PoiseStatus poise_weld_finish(PoiseWeld *weld, const char *name, PoiseMesh **mesh,
                              PoiseFaults *faults);
void poise_weld_clear(PoiseWeld *weld);

/* All three finite and within POISE_LIMIT_COORDINATE_MM. NaN compares false. */
static inline bool poise_coordinates_ok(const double p_mm[3])
{
    return fabs(p_mm[0]) <= POISE_LIMIT_COORDINATE_MM &&
           fabs(p_mm[1]) <= POISE_LIMIT_COORDINATE_MM && fabs(p_mm[2]) <= POISE_LIMIT_COORDINATE_MM;
}
/* The fault for one that is not. `where` is "triangle 12", "line 7". */
PoiseStatus poise_coordinates_fault(const double p_mm[3], const char *name, const char *where,
                                    PoiseFaults *faults);

/* The formats. `scale_mm` is the file unit in mm. All leave the weld for the caller to clear on
 * failure. */
PoiseStatus poise_stl_binary(const unsigned char *data, size_t size, const char *name,
                             double scale_mm, PoiseWeld *weld, PoiseFaults *faults);
PoiseStatus poise_stl_text(const char *data, size_t size, const char *name, double scale_mm,
                           PoiseWeld *weld, PoiseFaults *faults);
PoiseStatus poise_obj_text(const char *data, size_t size, const char *name, double scale_mm,
                           PoiseWeld *weld, PoiseFaults *faults);
PoiseStatus poise_3mf_package(const unsigned char *data, size_t size, const char *name,
                              PoiseWeld *weld, PoiseFaults *faults);

/* The volume moments of a binary STL of the right size, straight from its bytes: one pass, before
 * the corners are welded, about the first corner. */
PoiseMoments poise_stl_moments(const unsigned char *data, size_t size, double scale_mm);
/* True for a file whose size is that of a binary STL with the triangle count in its header. */
bool poise_is_stl_binary(const unsigned char *data, size_t size);

/* Shells: connected by shared vertices. Looks for one that is inside out without being a hollow of
 * another. *bad is set to false, or to true with a point of it and its volume. POISE_OK or
 * POISE_E_MEMORY. */
PoiseStatus poise_mesh_stray_hollow(const PoiseMesh *mesh, bool *bad, double at_mm[3],
                                    double *volume_mm3);

#endif
