#include "geometry/rings.h"

#include <string.h>

#include "base/memory.h"

bool poise_rings_reserve(PoiseRings *rings, size_t n)
{
    if (rings->failed)
        return false;
    if (rings->capacity - rings->count >= n)
        return true;
    size_t capacity = 2 * rings->capacity + n + 64;
    double(*points)[2] = poise_resize(rings->points, capacity, sizeof *points);
    if (!points) {
        rings->failed = true;
        return false;
    }
    rings->points = points;
    rings->capacity = capacity;
    return true;
}

void poise_rings_drop_open(PoiseRings *rings)
{
    rings->count = poise_rings_start(rings, rings->rings);
}

void poise_rings_close(PoiseRings *rings)
{
    if (rings->failed)
        return;
    if (rings->count < poise_rings_start(rings, rings->rings) + 3) {
        poise_rings_drop_open(rings);
        return;
    }
    if (rings->rings == rings->ring_capacity) {
        size_t capacity = 2 * rings->ring_capacity + 16;
        size_t *ends = poise_resize(rings->ends, capacity, sizeof *ends);
        if (!ends) {
            rings->failed = true;
            return;
        }
        rings->ends = ends;
        rings->ring_capacity = capacity;
    }
    rings->ends[rings->rings++] = rings->count;
}

void poise_rings_add_ring(PoiseRings *rings, const PoiseRings *from, size_t ring)
{
    size_t start = poise_rings_start(from, ring), n = from->ends[ring] - start;
    if (!poise_rings_reserve(rings, n))
        return;
    memcpy(rings->points + rings->count, from->points + start, n * sizeof *from->points);
    rings->count += n;
    poise_rings_close(rings);
}

void poise_rings_reset(PoiseRings *rings)
{
    rings->count = rings->rings = 0;
    rings->failed = false;
}

void poise_rings_release(PoiseRings *rings)
{
    poise_release(rings->points);
    poise_release(rings->ends);
    *rings = (PoiseRings){0};
}

void poise_rings_swap(PoiseRings *a, PoiseRings *b)
{
    PoiseRings t = *a;
    *a = *b;
    *b = t;
}

PoiseFlat poise_rings_flat(const PoiseRings *rings)
{
    /* Green's theorem, edge by edge: with c = x0 y1 − x1 y0,
     * A = Σc/2, Sx = Σc(x0+x1)/6, Ixx = Σc(x0²+x0x1+x1²)/12, Ixy = Σc(x0y1+2x0y0+2x1y1+x1y0)/24. */
    PoiseFlat f = {0};
    for (size_t r = 0; r < rings->rings; r++) {
        size_t start = poise_rings_start(rings, r), end = rings->ends[r];
        double x0 = rings->points[end - 1][0], y0 = rings->points[end - 1][1];
        for (size_t i = start; i < end; i++) {
            double x1 = rings->points[i][0], y1 = rings->points[i][1];
            double c = x0 * y1 - x1 * y0;
            f.area += c;
            f.x += c * (x0 + x1);
            f.y += c * (y0 + y1);
            f.xx += c * (x0 * x0 + x0 * x1 + x1 * x1);
            f.yy += c * (y0 * y0 + y0 * y1 + y1 * y1);
            f.xy += c * (x0 * y1 + 2 * (x0 * y0 + x1 * y1) + x1 * y0);
            x0 = x1;
            y0 = y1;
        }
    }
    return (PoiseFlat){f.area / 2, f.x / 6, f.y / 6, f.xx / 12, f.yy / 12, f.xy / 24};
}

double poise_ring_area(const PoiseRings *rings, size_t ring)
{
    size_t start = poise_rings_start(rings, ring), end = rings->ends[ring];
    double ox = rings->points[start][0], oy = rings->points[start][1], twice = 0;
    for (size_t i = start + 1; i + 1 < end; i++) {
        const double *a = rings->points[i], *b = rings->points[i + 1];
        twice += (a[0] - ox) * (b[1] - oy) - (b[0] - ox) * (a[1] - oy);
    }
    return twice / 2;
}

int poise_rings_winding(const PoiseRings *rings, double x, double y)
{
    int winding = 0;
    for (size_t r = 0; r < rings->rings; r++) {
        size_t start = poise_rings_start(rings, r), end = rings->ends[r];
        const double *a = rings->points[end - 1];
        for (size_t i = start; i < end; i++) {
            const double *b = rings->points[i];
            if ((a[1] <= y) != (b[1] <= y)) {
                double at = a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
                if (at < x)
                    winding += b[1] > a[1] ? -1 : 1;
            }
            a = b;
        }
    }
    return winding;
}

PoiseFlat poise_flat_add(PoiseFlat a, PoiseFlat b, double scale)
{
    return (PoiseFlat){a.area + scale * b.area, a.x + scale * b.x,   a.y + scale * b.y,
                       a.xx + scale * b.xx,     a.yy + scale * b.yy, a.xy + scale * b.xy};
}
