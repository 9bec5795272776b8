/** @file mesh.h  Closed triangle meshes: reading, checking, mass properties. */
#ifndef POISE_MESH_H
#define POISE_MESH_H

#include <stddef.h>
#include <stdint.h>

#include "poise/moments.h"
#include "poise/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A triangle mesh with welded vertices, in mm, in the mesh file's own axes. Read-only for callers.
 *  Triangles are counter-clockwise seen from outside. */
typedef struct PoiseMesh {
    size_t vertex_count;
    size_t triangle_count;
    double *vertices_mm;         /**< 3 per vertex: x, y, z */
    uint32_t *triangles;         /**< 3 per triangle: vertex indices from 0 */
    double min_mm[3], max_mm[3]; /**< bounding box */
    size_t dropped_triangles; /**< triangles of the file left out because two corners coincide; this
                                   changes neither the volume nor whether the mesh is closed */
    char unit_warning[128];   /**< "" or why the size suggests another unit */
    int integrated;           /**< 1: `moments` are there, summed up while the file was read */
    PoiseMoments moments;     /**< what poise_mesh_moments() returns, when `integrated` */
} PoiseMesh;

/** Reads a mesh file: binary or ASCII STL, 3MF core (ISO/IEC 25422) or OBJ, told apart by content.
 *  Vertices are welded exactly (bit-equal coordinates).
 *  @param path     file name
 *  @param unit     unit of a file that has none (STL, OBJ): "mm", "cm", "m", "in", "ft", "um", or
 * NULL for mm. A 3MF file carries its own and ignores this.
 *  @param mesh     out: the mesh; free with poise_mesh_free()
 *  @param faults   out: what is wrong, on failure
 *  @return POISE_OK; POISE_E_IO (cannot read); POISE_E_MESH (not a mesh, or damaged); POISE_E_USAGE
 *          (unknown unit); POISE_E_MEMORY. Closedness is not checked here: see poise_mesh_check().
 */
POISE_API PoiseStatus poise_mesh_read(const char *path, const char *unit, PoiseMesh **mesh,
                                      PoiseFaults *faults);
/** The same from memory; `name` is used in messages. */
POISE_API PoiseStatus poise_mesh_parse(const void *data, size_t size, const char *name,
                                       const char *unit, PoiseMesh **mesh, PoiseFaults *faults);
POISE_API void poise_mesh_free(PoiseMesh *mesh);

/** Checks that the mesh bounds a solid: every edge is used as often in one direction as in the
 * other (more than once each where shells touch), the signed volume is positive, no triangle
 * repeats a vertex, no shell is inside out except as a hollow of another. Overlapping closed shells
 * are allowed here.
 *  @return POISE_OK, or POISE_E_MESH with one fault naming the number of bad edges and where the
 * first one is, or that the mesh is inside out. */
POISE_API PoiseStatus poise_mesh_check(const PoiseMesh *mesh, const char *name,
                                       PoiseFaults *faults);

/** Volume moments by the divergence theorem: a sum of signed tetrahedra from a local origin (the
 *  middle of the bounding box), compensated. Per-triangle sums as in M. Kallay, "Computing the
 * Moment of Inertia of a Solid Defined by a Triangle Mesh", JGT 11(2), 2006. Unchecked assumption:
 * the mesh is closed. An inside-out mesh gives a negative volume. */
POISE_API PoiseMoments poise_mesh_moments(const PoiseMesh *mesh);

#ifdef __cplusplus
}
#endif
#endif
