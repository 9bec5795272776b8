/* Strips and hatching of plane regions. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/vec.h"
#include "geometry/silhouette.h"

/* Adds the part of the ring in `in` with side·(x − at) ≥ 0 to `out`, one half-plane of Sutherland
 * and Hodgman's clipping. */
static void clip_ring(const PoiseRings *in, size_t ring, double at_mm, double side, PoiseRings *out)
{
    size_t start = poise_rings_start(in, ring), end = in->ends[ring];
    for (size_t i = start; i < end; i++) {
        const double *a = in->points[i], *b = in->points[i + 1 < end ? i + 1 : start];
        double da = side * (a[0] - at_mm), db = side * (b[0] - at_mm);
        if (da >= 0.0)
            poise_rings_add(out, a[0], a[1]);
        if ((da > 0.0 && db < 0.0) || (da < 0.0 && db > 0.0))
            poise_rings_add(out, at_mm, a[1] + (b[1] - a[1]) * (da / (da - db)));
    }
    poise_rings_close(out);
}

void poise_rings_between(const PoiseRings *in, double lo_mm, double hi_mm, PoiseRings *out)
{
    PoiseRings half = {0};
    for (size_t i = 0; i < in->rings; i++)
        clip_ring(in, i, lo_mm, 1.0, &half);
    for (size_t i = 0; i < half.rings; i++)
        clip_ring(&half, i, hi_mm, -1.0, out);
    out->failed = out->failed || half.failed;
    poise_rings_release(&half);
}

static int ascending(const void *a, const void *b)
{
    double p = *(const double *)a, q = *(const double *)b;
    return p < q ? -1 : p > q;
}

/* Where the line crosses the rings, as distances along it; returns how many. n is the line's normal
 * and k its distance from the origin. */
static size_t crossings(const PoiseRings *in, const double n[2], double k, double *along)
{
    size_t count = 0;
    for (size_t r = 0; r < in->rings; r++) {
        size_t start = poise_rings_start(in, r), end = in->ends[r];
        for (size_t i = start; i < end; i++) {
            const double *a = in->points[i], *b = in->points[i + 1 < end ? i + 1 : start];
            double da = n[0] * a[0] + n[1] * a[1] - k, db = n[0] * b[0] + n[1] * b[1] - k;
            if ((da < 0.0) == (db < 0.0))
                continue; /* half-open, so that a corner on the line counts once */
            double f = da / (da - db), x = a[0] + f * (b[0] - a[0]), y = a[1] + f * (b[1] - a[1]);
            along[count++] = n[0] * y - n[1] * x;
        }
    }
    qsort(along, count, sizeof *along, ascending);
    return count;
}

/* Adds the parts of the line {p : p · n = k} inside the rings; `along` has room for one crossing of
 * each edge. */
static void add_parts(const PoiseRings *in, const double n[2], double k, double *along,
                      PoiseRings *out)
{
    size_t count = crossings(in, n, k, along);
    for (size_t i = 0; i + 1 < count; i += 2)
        for (size_t end = i; end <= i + 1; end++)
            poise_rings_add(out, n[0] * k - n[1] * along[end], n[1] * k + n[0] * along[end]);
}

void poise_rings_hatch(const PoiseRings *in, double angle_deg, double spacing_mm, PoiseRings *out)
{
    double n[2], lo = INFINITY, hi = -INFINITY;
    if (in->count == 0 || !(spacing_mm > 0.0))
        return;
    poise_sincos_deg(angle_deg, &n[1], &n[0]);
    for (size_t i = 0; i < in->count; i++) {
        double d = n[0] * in->points[i][0] + n[1] * in->points[i][1];
        lo = fmin(lo, d);
        hi = fmax(hi, d);
    }
    double *along = poise_alloc_zero(in->count, sizeof *along);
    if (!along) {
        out->failed = true;
        return;
    }
    for (double k = ceil(lo / spacing_mm); k * spacing_mm <= hi; k += 1.0)
        add_parts(in, n, k * spacing_mm, along, out);
    poise_release(along);
}

void poise_rings_upright(const PoiseRings *in, double x_mm, PoiseRings *out)
{
    double *along = poise_alloc_zero(in->count, sizeof *along);
    if (!along) {
        out->failed = true;
        return;
    }
    add_parts(in, (double[2]){1.0, 0.0}, x_mm, along, out);
    poise_release(along);
}

bool poise_rings_box(const PoiseRings *rings, double min_mm[2], double max_mm[2])
{
    for (size_t i = 0; i < rings->count; i++)
        for (int c = 0; c < 2; c++) {
            double v = rings->points[i][c];
            min_mm[c] = i == 0 ? v : fmin(min_mm[c], v);
            max_mm[c] = i == 0 ? v : fmax(max_mm[c], v);
        }
    return rings->count > 0;
}
