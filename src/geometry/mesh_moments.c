#include "geometry/tetrahedra.h"
#include "poise/mesh.h"

PoiseMoments poise_mesh_moments(const PoiseMesh *mesh)
{
    if (mesh->integrated)
        return mesh->moments;
    double origin[3];
    for (int i = 0; i < 3; i++)
        origin[i] = 0.5 * (mesh->min_mm[i] + mesh->max_mm[i]);
    PoiseSum sums[POISE_TETRAHEDRON_TERMS] = {{0}};
    for (size_t start = 0; start < mesh->triangle_count; start += POISE_TETRAHEDRON_BLOCK) {
        PoiseTetrahedra block = {{{{0}}}};
        size_t left = mesh->triangle_count - start;
        size_t n = left < POISE_TETRAHEDRON_BLOCK ? left : POISE_TETRAHEDRON_BLOCK;
        for (size_t k = 0; k < n; k++)
            for (size_t corner = 0; corner < 3; corner++) {
                const double *p =
                    &mesh->vertices_mm[3 * (size_t)mesh->triangles[3 * (start + k) + corner]];
                for (size_t axis = 0; axis < 3; axis++)
                    poise_tetrahedra_set(&block, k, corner, axis, p[axis] - origin[axis]);
            }
        poise_tetrahedra_add(&block, sums);
    }
    return poise_tetrahedra_moments(sums, origin);
}
