/* The shells of a mesh, and whether one that is inside out is a hollow of another. */
#include <math.h>

#include "base/memory.h"
#include "base/vec.h"
#include "geometry/mesh_build.h"

/* Every hollow is tested against all triangles; past this many only bounding boxes are compared, so
 * that a foam with thousands of bubbles does not take minutes. */
enum { TESTED_HOLLOWS = 32 };

/* A sheet with both its sides has no volume but for round-off; beyond this times its own size
 * squared times the mesh's size it is a shell that counts. Dimensionless. */
static const double FLAT = 1e-9;

typedef struct Shell {
    double volume_mm3, min_mm[3], max_mm[3];
    uint32_t vertex; /* one of its vertices */
} Shell;

static uint32_t find_root(uint32_t *parent, uint32_t v)
{
    while (parent[v] != v) {
        parent[v] = parent[parent[v]]; /* path halving */
        v = parent[v];
    }
    return v;
}

/* parent[v] becomes the number of v's shell; returns how many shells there are. */
static size_t label_shells(const PoiseMesh *mesh, uint32_t *parent, uint32_t *number)
{
    for (size_t v = 0; v < mesh->vertex_count; v++)
        parent[v] = (uint32_t)v;
    for (size_t k = 0; k < mesh->triangle_count; k++) {
        const uint32_t *t = &mesh->triangles[3 * k];
        uint32_t root = find_root(parent, t[0]);
        for (int i = 1; i < 3; i++) {
            uint32_t other = find_root(parent, t[i]);
            uint32_t low = root < other ? root : other;
            parent[root] = parent[other] = low;
            root = low;
        }
    }
    /* A root is the lowest vertex of its shell, so it is numbered before the others of the shell.
     */
    size_t shells = 0;
    for (size_t v = 0; v < mesh->vertex_count; v++) {
        uint32_t root = find_root(parent, (uint32_t)v);
        number[v] = root == v ? (uint32_t)shells++ : number[root];
    }
    return shells;
}

static void measure_shells(const PoiseMesh *mesh, const uint32_t *number, Shell *shells,
                           size_t count)
{
    for (size_t s = 0; s < count; s++)
        for (int i = 0; i < 3; i++) {
            shells[s].min_mm[i] = INFINITY;
            shells[s].max_mm[i] = -INFINITY;
        }
    double origin[3];
    for (int i = 0; i < 3; i++)
        origin[i] = 0.5 * (mesh->min_mm[i] + mesh->max_mm[i]);
    for (size_t k = 0; k < mesh->triangle_count; k++) {
        const uint32_t *t = &mesh->triangles[3 * k];
        Shell *shell = &shells[number[t[0]]];
        double p[3][3], cross[3];
        for (size_t j = 0; j < 3; j++)
            for (size_t i = 0; i < 3; i++) {
                double x = mesh->vertices_mm[3 * (size_t)t[j] + i];
                p[j][i] = x - origin[i];
                shell->min_mm[i] = x < shell->min_mm[i] ? x : shell->min_mm[i];
                shell->max_mm[i] = x > shell->max_mm[i] ? x : shell->max_mm[i];
            }
        poise_cross(p[1], p[2], cross);
        shell->volume_mm3 += poise_dot(p[0], cross) / 6.0;
        shell->vertex = t[0];
    }
}

/* +1 or −1 when an edge seen from above passes the point on its right, upwards or downwards in y.
 * The same digits whichever way the edge runs, so that the two facets at it agree. */
static int passes(const double *a, const double *b, const double at[3])
{
    if ((a[1] <= at[1]) == (b[1] <= at[1]))
        return 0;
    const double *low = a[1] < b[1] ? a : b, *high = a[1] < b[1] ? b : a;
    double x = low[0] + (at[1] - low[1]) / (high[1] - low[1]) * (high[0] - low[0]);
    return x <= at[0] ? 0 : b[1] > a[1] ? 1 : -1;
}

/* How often the other shells wind around a point: what a ray upwards from it leaves less what it
 * enters. */
static long winding(const PoiseMesh *mesh, const uint32_t *number, uint32_t own, const double at[3])
{
    long sum = 0;
    for (size_t k = 0; k < mesh->triangle_count; k++) {
        const uint32_t *t = &mesh->triangles[3 * k];
        const double *p[3];
        for (size_t j = 0; j < 3; j++)
            p[j] = &mesh->vertices_mm[3 * (size_t)t[j]];
        bool below = p[0][1] <= at[1];
        if ((below == (p[1][1] <= at[1]) && below == (p[2][1] <= at[1])) || number[t[0]] == own)
            continue;
        int turn = passes(p[0], p[1], at) + passes(p[1], p[2], at) + passes(p[2], p[0], at);
        if (turn == 0)
            continue;
        double u[3], v[3], to[3], normal[3];
        for (int i = 0; i < 3; i++) {
            u[i] = p[1][i] - p[0][i];
            v[i] = p[2][i] - p[0][i];
            to[i] = at[i] - p[0][i];
        }
        poise_cross(u, v, normal);
        if (poise_dot(normal, to) * turn < 0) /* the facet lies above the point */
            sum += turn;
    }
    return sum;
}

static bool box_within(const Shell *inner, const Shell *outer)
{
    for (int i = 0; i < 3; i++)
        if (inner->min_mm[i] < outer->min_mm[i] || inner->max_mm[i] > outer->max_mm[i])
            return false;
    return true;
}

static double size_of(const double min_mm[3], const double max_mm[3])
{
    double d[3] = {max_mm[0] - min_mm[0], max_mm[1] - min_mm[1], max_mm[2] - min_mm[2]};
    return sqrt(poise_dot(d, d));
}

static bool is_inside_out(const PoiseMesh *mesh, const Shell *shell)
{
    double own = size_of(shell->min_mm, shell->max_mm);
    return shell->volume_mm3 < -FLAT * own * own * size_of(mesh->min_mm, mesh->max_mm);
}

static bool is_hollow(const PoiseMesh *mesh, const uint32_t *number, const Shell *shells,
                      size_t count, size_t s, bool exact)
{
    bool within = false;
    for (size_t o = 0; o < count && !within; o++)
        within = o != s && shells[o].volume_mm3 > 0.0 && box_within(&shells[s], &shells[o]);
    if (!within || !exact)
        return within;
    return winding(mesh, number, (uint32_t)s, &mesh->vertices_mm[3 * (size_t)shells[s].vertex]) > 0;
}

PoiseStatus poise_mesh_stray_hollow(const PoiseMesh *mesh, bool *bad, double at_mm[3],
                                    double *volume_mm3)
{
    *bad = false;
    PoiseStatus status = POISE_E_MEMORY;
    uint32_t *parent = poise_resize(NULL, mesh->vertex_count, sizeof *parent);
    uint32_t *number = poise_resize(NULL, mesh->vertex_count, sizeof *number);
    size_t count = parent && number ? label_shells(mesh, parent, number) : 0;
    Shell *shells = count ? poise_alloc_zero(count, sizeof *shells) : NULL;
    if (shells) {
        status = POISE_OK;
        if (count > 1)
            measure_shells(mesh, number, shells, count);
        size_t hollows = 0;
        for (size_t s = 0; s < count && !*bad && count > 1; s++) {
            if (!is_inside_out(mesh, &shells[s]))
                continue;
            *bad = !is_hollow(mesh, number, shells, count, s, hollows++ < TESTED_HOLLOWS);
            *volume_mm3 = shells[s].volume_mm3;
            for (size_t i = 0; i < 3; i++)
                at_mm[i] = mesh->vertices_mm[3 * (size_t)shells[s].vertex + i];
        }
    }
    poise_release(parent);
    poise_release(number);
    poise_release(shells);
    return status;
}
