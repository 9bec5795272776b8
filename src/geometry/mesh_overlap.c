#include "geometry/mesh_overlap.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/sum.h"

/* Lines along z, on each side of a square grid over the mesh's box. */
enum { LINES = 128 };

/* Lines stand at (i + OFFSET) cells: drawings are full of round numbers and symmetry planes, and
 * this keeps the lines off them. Both irrational. */
static const double OFFSET_X = 0.41421356237309505, OFFSET_Y = 0.61803398874989485;

typedef struct Crossing {
    uint32_t line;
    int step; /* +1 into the solid, −1 out of it, going up */
    double z_mm;
} Crossing;

typedef struct Crossings {
    Crossing *list;
    size_t count, capacity;
    bool failed;
} Crossings;

static void add(Crossings *c, Crossing crossing)
{
    if (c->count == c->capacity) {
        size_t capacity = c->capacity ? 2 * c->capacity : 4096;
        Crossing *larger = poise_resize(c->list, capacity, sizeof *larger);
        if (!larger) {
            c->failed = true;
            return;
        }
        c->list = larger;
        c->capacity = capacity;
    }
    c->list[c->count++] = crossing;
}

/* Twice the area of (a, b, p) in the plane. Always worked out from the lower vertex to the higher,
 * so that two triangles with a common edge put every line on exactly one side of it. */
static double side(const PoiseMesh *mesh, uint32_t a, uint32_t b, double x, double y)
{
    bool swapped = a > b;
    const double *p = &mesh->vertices_mm[3 * (size_t)(swapped ? b : a)];
    const double *q = &mesh->vertices_mm[3 * (size_t)(swapped ? a : b)];
    double area = (q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0]);
    return swapped ? -area : area;
}

/* The first and last line whose place on the grid lies in [lo, hi]. */
static void line_range(double lo, double hi, double start, double cell, double offset, int *first,
                       int *last)
{
    double a = ceil((lo - start) / cell - offset), b = floor((hi - start) / cell - offset);
    *first = a < 0.0 ? 0 : (int)a;
    *last = b > LINES - 1 ? LINES - 1 : (int)b;
}

static void cross_triangle(const PoiseMesh *mesh, const uint32_t t[3], const double cell[2],
                           Crossings *out)
{
    const double *p[3];
    double lo[2], hi[2];
    for (size_t j = 0; j < 3; j++)
        p[j] = &mesh->vertices_mm[3 * (size_t)t[j]];
    for (int i = 0; i < 2; i++) {
        lo[i] = fmin(p[0][i], fmin(p[1][i], p[2][i]));
        hi[i] = fmax(p[0][i], fmax(p[1][i], p[2][i]));
    }
    int x0, x1, y0, y1;
    line_range(lo[0], hi[0], mesh->min_mm[0], cell[0], OFFSET_X, &x0, &x1);
    line_range(lo[1], hi[1], mesh->min_mm[1], cell[1], OFFSET_Y, &y0, &y1);
    for (int iy = y0; iy <= y1 && !out->failed; iy++)
        for (int ix = x0; ix <= x1 && !out->failed; ix++) {
            double x = mesh->min_mm[0] + (ix + OFFSET_X) * cell[0];
            double y = mesh->min_mm[1] + (iy + OFFSET_Y) * cell[1];
            double w[3];
            for (int j = 0; j < 3; j++)
                w[j] = side(mesh, t[(j + 1) % 3], t[(j + 2) % 3], x, y);
            bool up = w[0] > 0.0 && w[1] > 0.0 && w[2] > 0.0;
            bool down = w[0] < 0.0 && w[1] < 0.0 && w[2] < 0.0;
            if (!up && !down)
                continue;
            double z = (w[0] * p[0][2] + w[1] * p[1][2] + w[2] * p[2][2]) / (w[0] + w[1] + w[2]);
            /* A facet that looks up is where the line leaves the solid. */
            add(out, (Crossing){(uint32_t)(iy * LINES + ix), up ? -1 : 1, z});
        }
}

static int by_line_and_height(const void *a, const void *b)
{
    const Crossing *x = a, *y = b;
    if (x->line != y->line)
        return x->line < y->line ? -1 : 1;
    return (x->z_mm > y->z_mm) - (x->z_mm < y->z_mm);
}

/* One line's crossings, sorted: the lengths inside, and inside more than once. A line that hits an
 * edge exactly misses both of its facets and does not come out even: it is left out. */
static void walk(const Crossing *c, size_t n, PoiseSum *inside, PoiseSum *again)
{
    int depth = 0;
    for (size_t i = 0; i < n; i++)
        depth += c[i].step;
    if (depth != 0)
        return;
    for (size_t i = 0; i + 1 < n; i++) {
        depth += c[i].step;
        double length = c[i + 1].z_mm - c[i].z_mm;
        poise_sum_add(inside, depth * length);
        if (depth > 1)
            poise_sum_add(again, (depth - 1) * length);
    }
}

PoiseStatus poise_mesh_overlap(const PoiseMesh *mesh, double *share)
{
    *share = 0.0;
    double cell[2];
    for (int i = 0; i < 2; i++)
        cell[i] = (mesh->max_mm[i] - mesh->min_mm[i]) / LINES;
    if (!(cell[0] > 0.0 && cell[1] > 0.0))
        return POISE_OK;
    Crossings crossings = {0};
    for (size_t k = 0; k < mesh->triangle_count && !crossings.failed; k++)
        cross_triangle(mesh, &mesh->triangles[3 * k], cell, &crossings);
    if (!crossings.failed && crossings.count) {
        PoiseSum inside = {0}, again = {0};
        qsort(crossings.list, crossings.count, sizeof *crossings.list, by_line_and_height);
        for (size_t i = 0, j; i < crossings.count; i = j) {
            for (j = i; j < crossings.count && crossings.list[j].line == crossings.list[i].line;)
                j++;
            walk(&crossings.list[i], j - i, &inside, &again);
        }
        if (poise_sum_value(&inside) > 0.0)
            *share = poise_sum_value(&again) / poise_sum_value(&inside);
    }
    poise_release(crossings.list);
    return crossings.failed ? POISE_E_MEMORY : POISE_OK;
}
