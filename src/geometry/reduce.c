#include "geometry/reduce.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

static size_t leftmost(const PoiseRings *in, size_t start, size_t end)
{
    size_t best = start;
    for (size_t i = start + 1; i < end; i++) {
        const double *a = in->points[i], *b = in->points[best];
        if (a[0] < b[0] || (a[0] == b[0] && a[1] < b[1]))
            best = i;
    }
    return best;
}

/* The directions from an anchor in which a chord passes within the tolerance of all points seen so
 * far, as the two rays that bound them. After K. Imai, M. Iri, "Polygonal approximations of a
 * curve", 1988 (from memory). */
typedef struct Wedge {
    double left[2], right[2];
    bool any;
    double reach; /* distance of the last point from the anchor: a chord never turns back */
    double fan;   /* area of the fan of triangles from the anchor, all counted positive */
    double last[2];
} Wedge;

static double cross(const double a[2], const double b[2])
{
    return a[0] * b[1] - a[1] * b[0];
}

/* Whether a chord from the anchor may end at offset d, given the points seen so far. */
static bool may_end(const Wedge *w, const double d[2], double length)
{
    if (length < w->reach)
        return false;
    return !w->any || (cross(w->right, d) >= 0 && cross(d, w->left) >= 0 &&
                       d[0] * w->last[0] + d[1] * w->last[1] > 0);
}

/* A bound of the area between the points seen so far and a chord that ends at offset d: neither
 * more than the fan of triangles from the anchor nor than a strip as wide as the tolerance. */
static double chord_area(const Wedge *w, const double d[2], double length, double tolerance)
{
    return fmin(w->fan + fabs(cross(w->last, d)) / 2, length * tolerance);
}

/* Takes in the point at offset d: later chords have to pass within the tolerance of it. */
static void take_in(Wedge *w, const double d[2], double length, double tolerance)
{
    w->fan += fabs(cross(w->last, d)) / 2;
    w->last[0] = d[0];
    w->last[1] = d[1];
    w->reach = length;
    if (length <= tolerance)
        return;
    double s = tolerance / length, c = sqrt(1 - s * s);
    double left[2] = {d[0] * c - d[1] * s, d[1] * c + d[0] * s};
    double right[2] = {d[0] * c + d[1] * s, d[1] * c - d[0] * s};
    if (!w->any || cross(left, w->left) > 0) {
        w->left[0] = left[0];
        w->left[1] = left[1];
    }
    if (!w->any || cross(w->right, right) > 0) {
        w->right[0] = right[0];
        w->right[1] = right[1];
    }
    w->any = true;
}

void poise_reduce_ring(const PoiseRings *in, size_t ring, double tolerance, double budget,
                       double *given_up, PoiseRings *out)
{
    size_t start = poise_rings_start(in, ring), n = in->ends[ring] - start;
    size_t at = leftmost(in, start, in->ends[ring]) - start;
    if (!poise_rings_reserve(out, n))
        return;
    const double *anchor = in->points[start + at];
    double limit = *given_up + budget;
    poise_rings_add(out, anchor[0], anchor[1]);
    Wedge w = {0};
    const double *pending = NULL; /* the last point, not yet known to be kept */
    double pending_area = 0;
    for (size_t i = 1; i <= n; i++) {
        if (++at == n)
            at = 0;
        const double *p = in->points[start + at];
        double d[2] = {p[0] - anchor[0], p[1] - anchor[1]};
        double length = sqrt(d[0] * d[0] + d[1] * d[1]);
        if (length < POISE_SHORTEST_EDGE_MM && i < n && !pending) {
            /* the anchor stands for it, unless the ring has been elsewhere in between */
            *given_up += fabs(cross(w.last, d)) / 2;
            continue;
        }
        if (pending &&
            (!may_end(&w, d, length) || *given_up + chord_area(&w, d, length, tolerance) > limit)) {
            *given_up += pending_area;
            anchor = pending;
            poise_rings_add(out, anchor[0], anchor[1]);
            w = (Wedge){0};
            d[0] = p[0] - anchor[0];
            d[1] = p[1] - anchor[1];
            length = sqrt(d[0] * d[0] + d[1] * d[1]);
            pending = NULL;
            pending_area = 0;
            if (length < POISE_SHORTEST_EDGE_MM && i < n)
                continue;
        }
        pending_area = chord_area(&w, d, length, tolerance);
        take_in(&w, d, length, tolerance);
        pending = p;
    }
    *given_up +=
        pending_area; /* the closing chord ends at the first point, which is there already */
    size_t first = poise_rings_start(out, out->rings);
    if (out->count > first + 1) { /* the last kept point may sit on the first */
        const double *a = out->points[first], *b = out->points[out->count - 1];
        if (hypot(a[0] - b[0], a[1] - b[1]) < POISE_SHORTEST_EDGE_MM)
            out->count--;
    }
    poise_rings_close(out);
}

void poise_reduce(const PoiseRings *in, double tolerance, double budget_mm2, double *given_up_mm2,
                  PoiseRings *out)
{
    double begun = *given_up_mm2;
    for (size_t r = 0; r < in->rings; r++) {
        double left = budget_mm2 - (*given_up_mm2 - begun);
        poise_reduce_ring(in, r, tolerance, left > 0 ? left : 0, given_up_mm2, out);
    }
}

typedef struct Key {
    double x, y;
    size_t ring;
} Key;

static int by_first_point(const void *pa, const void *pb)
{
    const Key *a = pa, *b = pb;
    if (a->x != b->x)
        return a->x < b->x ? -1 : 1;
    if (a->y != b->y)
        return a->y < b->y ? -1 : 1;
    return a->ring < b->ring ? -1 : a->ring > b->ring;
}

bool poise_rings_sort(PoiseRings *rings, PoiseRings *scratch)
{
    if (rings->rings < 2)
        return true;
    Key *keys = poise_resize(NULL, rings->rings, sizeof *keys);
    if (!keys)
        return false;
    for (size_t r = 0; r < rings->rings; r++) {
        const double *p = rings->points[poise_rings_start(rings, r)];
        keys[r] = (Key){p[0], p[1], r};
    }
    qsort(keys, rings->rings, sizeof *keys, by_first_point);
    poise_rings_reset(scratch);
    for (size_t r = 0; r < rings->rings; r++)
        poise_rings_add_ring(scratch, rings, keys[r].ring);
    poise_release(keys);
    if (scratch->failed)
        return false;
    poise_rings_swap(rings, scratch);
    return true;
}

bool poise_rings_same(const PoiseRings *a, const PoiseRings *b, double tolerance)
{
    if (a->rings != b->rings || a->count != b->count)
        return false;
    for (size_t r = 0; r < a->rings; r++)
        if (a->ends[r] != b->ends[r])
            return false;
    for (size_t i = 0; i < a->count; i++)
        if (!(fabs(a->points[i][0] - b->points[i][0]) <= tolerance &&
              fabs(a->points[i][1] - b->points[i][1]) <= tolerance))
            return false;
    return true;
}
