#include "geometry/silhouette.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/vec.h"
#include "geometry/region_geos.h"

/* An edge of a triangle that faces the viewer, as it stands in the sort: low and high vertex, and
 * the direction it is run through in. */
typedef struct Edge {
    uint32_t low, high;
    int32_t sign; /* +1 from low to high */
} Edge;

/* A border edge, from one vertex to another. */
typedef struct Step {
    uint32_t from, to;
} Step;

void poise_project(const PoiseProjection *projection, const double r_mm[3], double picture_mm[2])
{
    picture_mm[0] = poise_dot(projection->across, r_mm) + projection->shift_mm[0];
    picture_mm[1] = poise_dot(projection->up, r_mm) + projection->shift_mm[1];
}

static double on_grid(double mm)
{
    return round(mm / POISE_SILHOUETTE_GRID_MM) * POISE_SILHOUETTE_GRID_MM;
}

static int by_vertices(const void *a, const void *b)
{
    const Edge *p = a, *q = b;
    if (p->low != q->low)
        return p->low < q->low ? -1 : 1;
    return p->high < q->high ? -1 : p->high > q->high;
}

static int by_start(const void *a, const void *b)
{
    const Step *p = a, *q = b;
    if (p->from != q->from)
        return p->from < q->from ? -1 : 1;
    return p->to < q->to ? -1 : p->to > q->to;
}

/* Twice the signed area of a projected triangle. */
static double facing(const double (*p)[2], const uint32_t t[3])
{
    const double *a = p[t[0]], *b = p[t[1]], *c = p[t[2]];
    return (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]);
}

/* The edges of all triangles that face the viewer; returns how many. */
static size_t take_edges(const PoiseMesh *mesh, const double (*p)[2], Edge *edges)
{
    /* Corners stand on the grid, so a triangle that is not edge-on has at least half a cell. */
    const double least = 0.5 * POISE_SILHOUETTE_GRID_MM * POISE_SILHOUETTE_GRID_MM;
    size_t n = 0;
    for (size_t i = 0; i < mesh->triangle_count; i++) {
        const uint32_t *t = &mesh->triangles[3 * i];
        if (!(facing(p, t) > least))
            continue;
        for (int k = 0; k < 3; k++) {
            uint32_t a = t[k], b = t[(k + 1) % 3];
            edges[n++] = a < b ? (Edge){a, b, 1} : (Edge){b, a, -1};
        }
    }
    return n;
}

/* Edges run through as often in one direction as in the other cancel; the others are the border.
 * Each is written as often as it is left over. Returns how many. */
static size_t take_border(Edge *edges, size_t n, Step *steps)
{
    qsort(edges, n, sizeof *edges, by_vertices);
    size_t count = 0;
    for (size_t i = 0, j; i < n; i = j) {
        int32_t net = 0;
        for (j = i; j < n && by_vertices(&edges[i], &edges[j]) == 0; j++)
            net += edges[j].sign;
        for (int32_t k = 0; k < abs(net); k++)
            steps[count++] =
                net > 0 ? (Step){edges[i].low, edges[i].high} : (Step){edges[i].high, edges[i].low};
    }
    qsort(steps, count, sizeof *steps, by_start);
    return count;
}

/* The first step from a vertex, by bisection; `count` when there is none. */
static size_t first_from(const Step *steps, size_t count, uint32_t vertex)
{
    size_t lo = 0, hi = count;
    while (lo < hi) {
        size_t middle = lo + (hi - lo) / 2;
        if (steps[middle].from < vertex)
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo < count && steps[lo].from == vertex ? lo : count;
}

/* Walks the border into closed loops. As a sum of triangles' borders it enters each vertex as often
 * as it leaves it, so a walk that leaves by unused steps only ends where it began.
 * next[i], for the first step of each vertex: the first of its steps not used yet. */
static void walk(const Step *steps, size_t count, size_t *next, const double (*p)[2],
                 PoiseRings *loops)
{
    for (size_t i = 0; i < count; i++)
        next[i] = i;
    for (size_t i = 0; i < count; i++) {
        size_t start = first_from(steps, count, steps[i].from);
        while (next[start] < count && steps[next[start]].from == steps[i].from) {
            size_t at = start;
            do {
                const Step *step = &steps[next[at]++];
                poise_rings_add(loops, p[step->from][0], p[step->from][1]);
                at = first_from(steps, count, step->to);
            } while (at < count && at != start && next[at] < count &&
                     steps[next[at]].from == steps[at].from);
            poise_rings_close(loops);
        }
    }
}

static PoiseStatus positive(const PoiseRings *loops, PoiseRings *out)
{
    poise_rings_reset(out);
    if (loops->failed)
        return POISE_E_MEMORY;
    GEOSContextHandle_t geos = poise_geos_new();
    if (!geos)
        return POISE_E_MEMORY;
    PoiseStatus status = poise_geos_positive(geos, loops, POISE_SILHOUETTE_GRID_MM, out);
    poise_geos_free(geos);
    return status;
}

PoiseStatus poise_silhouette_mesh(const PoiseMesh *mesh, const PoiseProjection *projection,
                                  PoiseRings *out)
{
    poise_rings_reset(out);
    double(*p)[2] = poise_alloc_zero(mesh->vertex_count, sizeof *p);
    Edge *edges = poise_alloc_zero(mesh->triangle_count, 3 * sizeof *edges);
    Step *steps = poise_alloc_zero(mesh->triangle_count, 3 * sizeof *steps);
    size_t *next = poise_alloc_zero(mesh->triangle_count, 3 * sizeof *next);
    PoiseRings loops = {0};
    PoiseStatus status = POISE_E_MEMORY;
    if (p && edges && steps && next) {
        for (size_t i = 0; i < mesh->vertex_count; i++) {
            poise_project(projection, &mesh->vertices_mm[3 * i], p[i]);
            p[i][0] = on_grid(p[i][0]);
            p[i][1] = on_grid(p[i][1]);
        }
        size_t n = take_edges(mesh, (const double(*)[2])p, edges);
        size_t count = take_border(edges, n, steps);
        walk(steps, count, next, (const double(*)[2])p, &loops);
        status = positive(&loops, out);
    }
    poise_rings_release(&loops);
    poise_release(p);
    poise_release(edges);
    poise_release(steps);
    poise_release(next);
    return status;
}

PoiseStatus poise_silhouette_outline(const double (*points_mm)[2], size_t count,
                                     const PoiseProjection *projection, PoiseRings *out)
{
    poise_rings_reset(out);
    for (size_t i = 0; i < count; i++) {
        double r[3] = {points_mm[i][0], points_mm[i][1], 0.0}, at[2];
        poise_project(projection, r, at);
        poise_rings_add(out, at[0], at[1]);
    }
    poise_rings_close(out);
    if (out->rings == 1 && poise_ring_area(out, 0) < 0.0)
        for (size_t i = 0, j = out->count - 1; i < j; i++, j--)
            for (int c = 0; c < 2; c++) {
                double swap = out->points[i][c];
                out->points[i][c] = out->points[j][c];
                out->points[j][c] = swap;
            }
    return out->failed ? POISE_E_MEMORY : POISE_OK;
}

PoiseStatus poise_silhouette_union(const PoiseRings *in, PoiseRings *out)
{
    return positive(in, out);
}
