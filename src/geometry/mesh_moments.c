#include "base/sum.h"
#include "poise/mesh.h"

/* Triangles summed plainly before the compensated sum takes over: few enough that their round-off
 * stays at a rounding or two, and ten compensated additions are spread over this many triangles. */
enum { BLOCK = 32 };

/* 6V, 24 first moments, 120 second moments (xx, yy, zz, xy, yz, zx). */
enum { TERMS = 10 };

/* Adds one tetrahedron (origin, a, b, c). With v = det(a, b, c) and s = a + b + c:
 * 6V = v, 24 ∫x = v s, 120 ∫x y = v (Σ_k x_k y_k + s_x s_y).
 * M. Kallay, "Computing the Moment of Inertia of a Solid Defined by a Triangle Mesh", JGT 11(2),
 * 2006. */
static inline void add_tetrahedron(const double a[3], const double b[3], const double c[3],
                                   double t[TERMS])
{
    double v = a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) +
               a[2] * (b[0] * c[1] - b[1] * c[0]);
    double x = a[0] + b[0] + c[0], y = a[1] + b[1] + c[1], z = a[2] + b[2] + c[2];
    t[0] += v;
    t[1] += v * x;
    t[2] += v * y;
    t[3] += v * z;
    t[4] += v * (a[0] * a[0] + b[0] * b[0] + c[0] * c[0] + x * x);
    t[5] += v * (a[1] * a[1] + b[1] * b[1] + c[1] * c[1] + y * y);
    t[6] += v * (a[2] * a[2] + b[2] * b[2] + c[2] * c[2] + z * z);
    t[7] += v * (a[0] * a[1] + b[0] * b[1] + c[0] * c[1] + x * y);
    t[8] += v * (a[1] * a[2] + b[1] * b[2] + c[1] * c[2] + y * z);
    t[9] += v * (a[2] * a[0] + b[2] * b[0] + c[2] * c[0] + z * x);
}

static inline void local(const PoiseMesh *mesh, uint32_t vertex, const double origin[3],
                         double out[3])
{
    const double *p = &mesh->vertices_mm[3 * (size_t)vertex];
    for (int i = 0; i < 3; i++)
        out[i] = p[i] - origin[i];
}

PoiseMoments poise_mesh_moments(const PoiseMesh *mesh)
{
    PoiseMoments m = {0};
    double *origin = m.origin_mm;
    for (int i = 0; i < 3; i++)
        origin[i] = 0.5 * (mesh->min_mm[i] + mesh->max_mm[i]);
    PoiseSum sums[TERMS] = {{0}};
    for (size_t start = 0; start < mesh->triangle_count; start += BLOCK) {
        size_t end = start + BLOCK < mesh->triangle_count ? start + BLOCK : mesh->triangle_count;
        double block[TERMS] = {0};
        for (size_t k = start; k < end; k++) {
            const uint32_t *t = &mesh->triangles[3 * k];
            double a[3], b[3], c[3];
            local(mesh, t[0], origin, a);
            local(mesh, t[1], origin, b);
            local(mesh, t[2], origin, c);
            add_tetrahedron(a, b, c, block);
        }
        for (int i = 0; i < TERMS; i++)
            poise_sum_add(&sums[i], block[i]);
    }
    m.volume_mm3 = poise_sum_value(&sums[0]) / 6.0;
    for (int i = 0; i < 3; i++)
        m.first_mm4[i] = poise_sum_value(&sums[1 + i]) / 24.0;
    for (int k = 0; k < 6; k++)
        m.second_mm5[k] = poise_sum_value(&sums[4 + k]) / 120.0;
    return m;
}
