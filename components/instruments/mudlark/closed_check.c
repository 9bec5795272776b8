#include "closed_check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A directed edge; `a` < `b`, and `down` tells that it ran from b to a. */
typedef struct Edge {
    uint32_t a, b;
    bool down;
} Edge;

static int compare_edges(const void *left, const void *right)
{
    const Edge *l = left, *r = right;
    if (l->a != r->a)
        return l->a < r->a ? -1 : 1;
    if (l->b != r->b)
        return l->b < r->b ? -1 : 1;
    return (int)l->down - (int)r->down;
}

static int compare_points(const void *left, const void *right)
{
    const float *l = left, *r = right;
    for (int x = 0; x < 3; x++)
        if (l[x] < r[x] || l[x] > r[x])
            return l[x] < r[x] ? -1 : 1;
    return 0;
}

static bool count_bad_edges(const MudlarkSurface *s, size_t *bad)
{
    size_t count = 3 * s->triangle_count;
    Edge *edges = malloc((count ? count : 1) * sizeof *edges);
    if (edges == NULL)
        return false;
    for (size_t t = 0; t < s->triangle_count; t++)
        for (size_t k = 0; k < 3; k++) {
            uint32_t from = s->triangles[t][k], to = s->triangles[t][(k + 1) % 3];
            edges[3 * t + k] = from < to ? (Edge){from, to, false} : (Edge){to, from, true};
        }
    qsort(edges, count, sizeof *edges, compare_edges);
    *bad = 0;
    for (size_t i = 0; i < count;) {
        size_t end = i, ups = 0;
        for (; end < count && edges[end].a == edges[i].a && edges[end].b == edges[i].b; end++)
            ups += !edges[end].down;
        *bad += !(end - i == 2 && ups == 1);
        i = end;
    }
    free(edges);
    return true;
}

static bool round_vertices(const MudlarkSurface *s, MudlarkClosedness *result)
{
    float(*points)[3] = malloc((s->vertex_count ? s->vertex_count : 1) * sizeof *points);
    if (points == NULL)
        return false;
    for (size_t v = 0; v < s->vertex_count; v++)
        for (int x = 0; x < 3; x++) {
            points[v][x] = (float)s->vertices_mm[v][x];
            result->min_mm[x] = fmin(result->min_mm[x], (double)points[v][x]);
            result->max_mm[x] = fmax(result->max_mm[x], (double)points[v][x]);
        }
    qsort(points, s->vertex_count, sizeof *points, compare_points);
    for (size_t v = 1; v < s->vertex_count; v++)
        result->repeated_vertices += compare_points(points[v - 1], points[v]) == 0;
    free(points);
    return true;
}

static void measure_triangles(const MudlarkSurface *s, MudlarkClosedness *result)
{
    const double *origin = s->triangle_count ? s->vertices_mm[0] : NULL;
    for (size_t t = 0; t < s->triangle_count; t++) {
        double p[3][3];
        for (int k = 0; k < 3; k++)
            for (int x = 0; x < 3; x++)
                p[k][x] = (double)(float)s->vertices_mm[s->triangles[t][k]][x] - origin[x];
        double u[3], v[3], n[3];
        for (int x = 0; x < 3; x++) {
            u[x] = p[1][x] - p[0][x];
            v[x] = p[2][x] - p[0][x];
        }
        for (int x = 0; x < 3; x++)
            n[x] = u[(x + 1) % 3] * v[(x + 2) % 3] - u[(x + 2) % 3] * v[(x + 1) % 3];
        result->flat_triangles += !(n[0] * n[0] + n[1] * n[1] + n[2] * n[2] > 0);
        result->volume_mm3 += (n[0] * p[0][0] + n[1] * p[0][1] + n[2] * p[0][2]) / 6;
    }
}

bool mudlark_closed_check(const MudlarkSurface *surface, MudlarkClosedness *result)
{
    *result = (MudlarkClosedness){.min_mm = {HUGE_VAL, HUGE_VAL, HUGE_VAL},
                                  .max_mm = {-HUGE_VAL, -HUGE_VAL, -HUGE_VAL}};
    measure_triangles(surface, result);
    return round_vertices(surface, result) && count_bad_edges(surface, &result->bad_edges);
}
