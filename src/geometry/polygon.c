#include "geometry/polygon.h"

#include "base/sum.h"

PoiseAreaMoments poise_ring_moments(const double (*points)[2], size_t n, const double origin[2])
{
    /* Green's theorem edge by edge: with c = x₁y₂ − x₂y₁, A = Σc/2, ∫x = Σc(x₁ + x₂)/6,
     * ∫x² = Σc(x₁² + x₁x₂ + x₂²)/12, ∫xy = Σc(2x₁y₁ + x₁y₂ + x₂y₁ + 2x₂y₂)/24. */
    PoiseSum sum[6] = {{0}};
    for (size_t k = 0; k < n; k++) {
        const double *p = points[k], *q = points[k + 1 < n ? k + 1 : 0];
        double x1 = p[0] - origin[0], y1 = p[1] - origin[1];
        double x2 = q[0] - origin[0], y2 = q[1] - origin[1];
        double c = x1 * y2 - x2 * y1;
        poise_sum_add(&sum[0], c);
        poise_sum_add(&sum[1], c * (x1 + x2));
        poise_sum_add(&sum[2], c * (y1 + y2));
        poise_sum_add(&sum[3], c * (x1 * x1 + x1 * x2 + x2 * x2));
        poise_sum_add(&sum[4], c * (y1 * y1 + y1 * y2 + y2 * y2));
        poise_sum_add(&sum[5], c * (2.0 * (x1 * y1 + x2 * y2) + x1 * y2 + x2 * y1));
    }
    return (PoiseAreaMoments){
        .origin_mm = {origin[0], origin[1]},
        .area_mm2 = poise_sum_value(&sum[0]) / 2.0,
        .first_mm3 = {poise_sum_value(&sum[1]) / 6.0, poise_sum_value(&sum[2]) / 6.0},
        .second_mm4 = {poise_sum_value(&sum[3]) / 12.0, poise_sum_value(&sum[4]) / 12.0,
                       poise_sum_value(&sum[5]) / 24.0},
    };
}

static int is_zeroed(const PoiseAreaMoments *a)
{
    return a->origin_mm[0] == 0.0 && a->origin_mm[1] == 0.0 && a->area_mm2 == 0.0 &&
           a->first_mm3[0] == 0.0 && a->first_mm3[1] == 0.0 && a->second_mm4[0] == 0.0 &&
           a->second_mm4[1] == 0.0 && a->second_mm4[2] == 0.0;
}

void poise_area_moments_add(PoiseAreaMoments *a, const PoiseAreaMoments *b, double scale)
{
    if (is_zeroed(a))
        for (int i = 0; i < 2; i++)
            a->origin_mm[i] = b->origin_mm[i];
    double dx = b->origin_mm[0] - a->origin_mm[0], dy = b->origin_mm[1] - a->origin_mm[1];
    double fx = b->first_mm3[0], fy = b->first_mm3[1], area = b->area_mm2;
    a->area_mm2 += scale * area;
    a->first_mm3[0] += scale * (fx + area * dx);
    a->first_mm3[1] += scale * (fy + area * dy);
    a->second_mm4[0] += scale * (b->second_mm4[0] + 2.0 * dx * fx + area * dx * dx);
    a->second_mm4[1] += scale * (b->second_mm4[1] + 2.0 * dy * fy + area * dy * dy);
    a->second_mm4[2] += scale * (b->second_mm4[2] + dx * fy + dy * fx + area * dx * dy);
}

PoiseMoments poise_extrude_moments(const PoiseAreaMoments *a, double z_lo, double z_hi)
{
    /* About the middle height, where ∫z dz = 0 and ∫z² dz = h³/12. */
    double h = z_hi - z_lo;
    return (PoiseMoments){
        .origin_mm = {a->origin_mm[0], a->origin_mm[1], 0.5 * (z_lo + z_hi)},
        .volume_mm3 = a->area_mm2 * h,
        .first_mm4 = {a->first_mm3[0] * h, a->first_mm3[1] * h, 0.0},
        .second_mm5 = {a->second_mm4[0] * h, a->second_mm4[1] * h, a->area_mm2 * h * h * h / 12.0,
                       a->second_mm4[2] * h, 0.0, 0.0},
    };
}
