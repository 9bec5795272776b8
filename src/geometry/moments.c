#include "poise/moments.h"

#include <stdbool.h>

/* Where the products xx, yy, zz, xy, yz, zx of second_mm5 take their factors from. */
static const int PAIR[6][2] = {{0, 0}, {1, 1}, {2, 2}, {0, 1}, {1, 2}, {2, 0}};

PoiseMoments poise_moments_about(const PoiseMoments *m, const double origin_mm[3])
{
    /* With r' = r + d and d = old origin − new origin:
     * ∫r'_i r'_j = ∫r_i r_j + d_j ∫r_i + d_i ∫r_j + d_i d_j V. */
    double d[3];
    PoiseMoments out = {.volume_mm3 = m->volume_mm3};
    for (int i = 0; i < 3; i++) {
        d[i] = m->origin_mm[i] - origin_mm[i];
        out.origin_mm[i] = origin_mm[i];
        out.first_mm4[i] = m->first_mm4[i] + m->volume_mm3 * d[i];
    }
    for (int k = 0; k < 6; k++) {
        int i = PAIR[k][0], j = PAIR[k][1];
        out.second_mm5[k] = m->second_mm5[k] + m->first_mm4[i] * d[j] + m->first_mm4[j] * d[i] +
                            m->volume_mm3 * d[i] * d[j];
    }
    return out;
}

static bool is_zeroed(const PoiseMoments *m)
{
    if (m->volume_mm3 != 0.0)
        return false;
    for (int i = 0; i < 3; i++)
        if (m->origin_mm[i] != 0.0 || m->first_mm4[i] != 0.0)
            return false;
    for (int k = 0; k < 6; k++)
        if (m->second_mm5[k] != 0.0)
            return false;
    return true;
}

void poise_moments_add(PoiseMoments *a, const PoiseMoments *b, double scale)
{
    if (is_zeroed(a))
        for (int i = 0; i < 3; i++)
            a->origin_mm[i] = b->origin_mm[i];
    PoiseMoments moved = poise_moments_about(b, a->origin_mm);
    a->volume_mm3 += scale * moved.volume_mm3;
    for (int i = 0; i < 3; i++)
        a->first_mm4[i] += scale * moved.first_mm4[i];
    for (int k = 0; k < 6; k++)
        a->second_mm5[k] += scale * moved.second_mm5[k];
}
