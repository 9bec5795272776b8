#include "geometry/columns.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/vec.h"

/* A surface that a column goes through. */
typedef struct Crossing {
    float z_mm; /* to about 1e-5 mm at 300 mm */
    int step;   /* +1: upwards into the solid; −1: out of it */
} Crossing;

struct PoiseColumns {
    double min_mm[3], max_mm[3];
    double pitch_mm;
    size_t across, rows;
    size_t *starts; /* of each column's crossings; across · rows + 1 of them */
    Crossing *crossings;
};

/* What is done with each crossing found. */
typedef void Visit(PoiseColumns *c, size_t column, double z_mm, int step);

static double middle_of(double least, size_t i, double pitch_mm)
{
    return least + ((double)i + 0.5) * pitch_mm;
}

/* The columns whose middles lie from lo (included) to hi (not), as a half-open range of indices. */
static void range_of(double lo, double hi, double least, double pitch, size_t count, size_t *from,
                     size_t *to)
{
    double first = ceil((lo - least) / pitch - 0.5), last = ceil((hi - least) / pitch - 0.5);
    *from = first <= 0.0 ? 0 : first >= (double)count ? count : (size_t)first;
    *to = last <= 0.0 ? 0 : last >= (double)count ? count : (size_t)last;
}

/* Where the edge a–b crosses y. Always worked out from its lower end, so that both triangles of the
 * edge get the same digits and no column slips between them. */
static double edge_x(const double a[3], const double b[3], double y)
{
    const double *lo = a[1] <= b[1] ? a : b, *hi = a[1] <= b[1] ? b : a;
    return lo[0] + (hi[0] - lo[0]) * ((y - lo[1]) / (hi[1] - lo[1]));
}

static void visit_row(PoiseColumns *c, double p[3][3], size_t row, const double normal[3],
                      Visit *visit)
{
    double y = middle_of(c->min_mm[1], row, c->pitch_mm), x[2];
    int n = 0;
    for (int i = 0; i < 3 && n < 2; i++) {
        const double *a = p[i], *b = p[(i + 1) % 3];
        if ((a[1] <= y) != (b[1] <= y))
            x[n++] = edge_x(a, b, y);
    }
    if (n < 2)
        return;
    size_t from, to;
    range_of(fmin(x[0], x[1]), fmax(x[0], x[1]), c->min_mm[0], c->pitch_mm, c->across, &from, &to);
    for (size_t i = from; i < to; i++) {
        double dx = middle_of(c->min_mm[0], i, c->pitch_mm) - p[0][0], dy = y - p[0][1];
        double z = p[0][2] - (normal[0] * dx + normal[1] * dy) / normal[2];
        visit(c, row * c->across + i, z, normal[2] < 0.0 ? 1 : -1);
    }
}

static void turned_corner(const PoiseMesh *mesh, double axes[3][3], size_t triangle, int corner,
                          double out[3])
{
    poise_rotate(
        axes, mesh->vertices_mm + 3 * (size_t)mesh->triangles[3 * triangle + (size_t)corner], out);
}

static void visit_all(PoiseColumns *c, const PoiseMesh *mesh, double axes[3][3], Visit *visit)
{
    for (size_t t = 0; t < mesh->triangle_count; t++) {
        double p[3][3], u[3], v[3], normal[3];
        for (int k = 0; k < 3; k++)
            turned_corner(mesh, axes, t, k, p[k]);
        for (int i = 0; i < 3; i++) {
            u[i] = p[1][i] - p[0][i];
            v[i] = p[2][i] - p[0][i];
        }
        poise_cross(u, v, normal);
        if (normal[2] == 0.0)
            continue; /* upright: columns pass it by */
        size_t from, to;
        range_of(fmin(p[0][1], fmin(p[1][1], p[2][1])), fmax(p[0][1], fmax(p[1][1], p[2][1])),
                 c->min_mm[1], c->pitch_mm, c->rows, &from, &to);
        for (size_t row = from; row < to; row++)
            visit_row(c, p, row, normal, visit);
    }
}

static void count_crossing(PoiseColumns *c, size_t column, double z_mm, int step)
{
    (void)z_mm;
    (void)step;
    c->starts[column + 1]++;
}

/* starts[column] moves up as the column fills; settle_starts() moves it back. */
static void take_crossing(PoiseColumns *c, size_t column, double z_mm, int step)
{
    c->crossings[c->starts[column]++] = (Crossing){(float)z_mm, step};
}

/* By height; where two shells touch, in before out, so that the touch is solid. */
static int by_height(const void *a, const void *b)
{
    const Crossing *p = a, *q = b;
    if (p->z_mm != q->z_mm)
        return p->z_mm < q->z_mm ? -1 : 1;
    return q->step - p->step;
}

static void find_box(PoiseColumns *c, const PoiseMesh *mesh, double axes[3][3])
{
    for (int i = 0; i < 3; i++) {
        c->min_mm[i] = INFINITY;
        c->max_mm[i] = -INFINITY;
    }
    for (size_t v = 0; v < mesh->vertex_count; v++) {
        double r[3];
        poise_rotate(axes, mesh->vertices_mm + 3 * v, r);
        for (int i = 0; i < 3; i++) {
            c->min_mm[i] = fmin(c->min_mm[i], r[i]);
            c->max_mm[i] = fmax(c->max_mm[i], r[i]);
        }
    }
}

static void choose_grid(PoiseColumns *c, double pitch_mm)
{
    double wide = c->max_mm[0] - c->min_mm[0], deep = c->max_mm[1] - c->min_mm[1];
    c->pitch_mm = fmax(pitch_mm, sqrt(wide * deep / POISE_MOST_COLUMNS));
    /* A sliver of a solid: many columns one way, one the other. */
    c->pitch_mm = fmax(c->pitch_mm, fmax(wide, deep) / POISE_MOST_COLUMNS);
    c->across = (size_t)fmax(1.0, ceil(wide / c->pitch_mm));
    c->rows = (size_t)fmax(1.0, ceil(deep / c->pitch_mm));
}

static PoiseStatus fill(PoiseColumns *c, const PoiseMesh *mesh, double axes[3][3])
{
    size_t n = c->across * c->rows;
    c->starts = poise_alloc_zero(n + 1, sizeof *c->starts);
    if (!c->starts)
        return POISE_E_MEMORY;
    visit_all(c, mesh, axes, count_crossing);
    for (size_t i = 0; i < n; i++)
        c->starts[i + 1] += c->starts[i];
    c->crossings = poise_alloc_zero(c->starts[n], sizeof *c->crossings);
    if (!c->crossings)
        return POISE_E_MEMORY;
    visit_all(c, mesh, axes, take_crossing);
    for (size_t i = n; i > 0; i--) /* each has come to stand at the next one's start */
        c->starts[i] = c->starts[i - 1];
    c->starts[0] = 0;
    for (size_t i = 0; i < n; i++)
        qsort(c->crossings + c->starts[i], c->starts[i + 1] - c->starts[i], sizeof *c->crossings,
              by_height);
    return POISE_OK;
}

PoiseStatus poise_columns_new(const PoiseMesh *mesh, double axes[3][3], double pitch_mm,
                              PoiseColumns **columns)
{
    *columns = NULL;
    PoiseColumns *c = poise_alloc_zero(1, sizeof *c);
    if (!c)
        return POISE_E_MEMORY;
    find_box(c, mesh, axes);
    choose_grid(c, pitch_mm);
    PoiseStatus status = fill(c, mesh, axes);
    if (status)
        poise_columns_free(c);
    else
        *columns = c;
    return status;
}

void poise_columns_free(PoiseColumns *c)
{
    if (!c)
        return;
    poise_release(c->starts);
    poise_release(c->crossings);
    poise_release(c);
}

void poise_columns_box(const PoiseColumns *c, double min_mm[3], double max_mm[3])
{
    for (int i = 0; i < 3; i++) {
        min_mm[i] = c->min_mm[i];
        max_mm[i] = c->max_mm[i];
    }
}

bool poise_columns_hold(const PoiseColumns *c, const double at_mm[3], double reach_mm)
{
    double x = floor((at_mm[0] - c->min_mm[0]) / c->pitch_mm);
    double y = floor((at_mm[1] - c->min_mm[1]) / c->pitch_mm);
    if (!(x >= 0.0 && y >= 0.0 && x < (double)c->across && y < (double)c->rows))
        return false;
    size_t column = (size_t)y * c->across + (size_t)x;
    int depth = 0;
    for (size_t i = c->starts[column]; i < c->starts[column + 1]; i++) {
        if (depth > 0 && at_mm[2] <= (double)c->crossings[i].z_mm + reach_mm)
            return true; /* between here and the crossing below is solid, and it begins low enough
                          */
        depth += c->crossings[i].step;
        if (depth > 0 && (double)c->crossings[i].z_mm > at_mm[2] + reach_mm)
            return false;
    }
    return false;
}
