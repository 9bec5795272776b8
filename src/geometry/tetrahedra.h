/* Volume moments as sums over tetrahedra, four at a time. */
#ifndef POISE_GEOMETRY_TETRAHEDRA_H
#define POISE_GEOMETRY_TETRAHEDRA_H

#include <stddef.h>

#include "base/sum.h"
#include "poise/moments.h"

/* Four numbers, one of each of four tetrahedra. The compiler makes one operation of them where the
 * processor has it, two or four where not, with the same digits. */
typedef double PoiseFour __attribute__((vector_size(32)));
enum { POISE_FOUR = 4 };

/* 6V, 24 first moments, 120 second moments (xx, yy, zz, xy, yz, zx). */
enum { POISE_TETRAHEDRON_TERMS = 10 };

/* Triangles summed plainly before the compensated sum takes over: few enough that their round-off
 * stays at a rounding or two, and the compensated additions are spread over this many. A multiple
 * of four. */
enum { POISE_TETRAHEDRON_BLOCK = 32 };

/* The corners of a block of triangles from the local origin: first x, y, z of the first corners,
 * then of the second and third ones. Triangles that are not there are all zero. */
typedef struct PoiseTetrahedra {
    PoiseFour at[9][POISE_TETRAHEDRON_BLOCK / POISE_FOUR];
} PoiseTetrahedra;

static inline void poise_tetrahedra_set(PoiseTetrahedra *block, size_t k, size_t corner,
                                        size_t axis, double value)
{
    block->at[3 * corner + axis][k / POISE_FOUR][k % POISE_FOUR] = value;
}

/* The terms of the tetrahedra (origin, a, b, c). With v = det(a, b, c) and s = a + b + c:
 * 6V = v, 24 ∫x = v s, 120 ∫x y = v (Σ_k x_k y_k + s_x s_y).
 * M. Kallay, "Computing the Moment of Inertia of a Solid Defined by a Triangle Mesh", JGT 11(2),
 * 2006. */
static inline void poise_tetrahedra_add(const PoiseTetrahedra *block,
                                        PoiseSum sums[POISE_TETRAHEDRON_TERMS])
{
    PoiseFour t[POISE_TETRAHEDRON_TERMS] = {{0}};
    for (size_t k = 0; k < POISE_TETRAHEDRON_BLOCK / POISE_FOUR; k++) {
        PoiseFour ax = block->at[0][k], ay = block->at[1][k], az = block->at[2][k];
        PoiseFour bx = block->at[3][k], by = block->at[4][k], bz = block->at[5][k];
        PoiseFour cx = block->at[6][k], cy = block->at[7][k], cz = block->at[8][k];
        PoiseFour v =
            ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
        PoiseFour x = ax + bx + cx, y = ay + by + cy, z = az + bz + cz;
        t[0] += v;
        t[1] += v * x;
        t[2] += v * y;
        t[3] += v * z;
        t[4] += v * (ax * ax + bx * bx + cx * cx + x * x);
        t[5] += v * (ay * ay + by * by + cy * cy + y * y);
        t[6] += v * (az * az + bz * bz + cz * cz + z * z);
        t[7] += v * (ax * ay + bx * by + cx * cy + x * y);
        t[8] += v * (ay * az + by * bz + cy * cz + y * z);
        t[9] += v * (az * ax + bz * bx + cz * cx + z * x);
    }
    for (size_t i = 0; i < POISE_TETRAHEDRON_TERMS; i++)
        poise_sum_add(&sums[i], (t[i][0] + t[i][1]) + (t[i][2] + t[i][3]));
}

static inline PoiseMoments poise_tetrahedra_moments(const PoiseSum sums[POISE_TETRAHEDRON_TERMS],
                                                    const double origin_mm[3])
{
    PoiseMoments m = {.volume_mm3 = poise_sum_value(&sums[0]) / 6.0};
    for (int i = 0; i < 3; i++) {
        m.origin_mm[i] = origin_mm[i];
        m.first_mm4[i] = poise_sum_value(&sums[1 + i]) / 24.0;
    }
    for (int k = 0; k < 6; k++)
        m.second_mm5[k] = poise_sum_value(&sums[4 + k]) / 120.0;
    return m;
}

#endif
