/* Closed meshes made on the spot: boxes, lathed solids, and a body with a pocket and hollows. */
#ifndef POISE_TEST_SHAPES_H
#define POISE_TEST_SHAPES_H

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "poise/mesh.h"

#define SHAPE_PI 3.14159265358979323846

static inline void shape_must(const void *block)
{
    if (!block)
        abort();
}

static inline PoiseMesh *shape_new(void)
{
    PoiseMesh *mesh = calloc(1, sizeof *mesh);
    shape_must(mesh);
    for (int i = 0; i < 3; i++) {
        mesh->min_mm[i] = INFINITY;
        mesh->max_mm[i] = -INFINITY;
    }
    return mesh;
}

static inline void shape_free(PoiseMesh *mesh)
{
    free(mesh->vertices_mm);
    free(mesh->triangles);
    free(mesh);
}

/* Capacities are the next powers of two: nothing has to remember them. */
static inline int shape_is_full(size_t n)
{
    return (n & (n - 1)) == 0;
}

static inline uint32_t shape_vertex(PoiseMesh *mesh, double x, double y, double z)
{
    size_t n = mesh->vertex_count;
    if (shape_is_full(n)) {
        mesh->vertices_mm = realloc(mesh->vertices_mm, (n ? 2 * n : 1) * 3 * sizeof(double));
        shape_must(mesh->vertices_mm);
    }
    double p[3] = {x, y, z};
    memcpy(mesh->vertices_mm + 3 * n, p, sizeof p);
    for (int i = 0; i < 3; i++) {
        mesh->min_mm[i] = p[i] < mesh->min_mm[i] ? p[i] : mesh->min_mm[i];
        mesh->max_mm[i] = p[i] > mesh->max_mm[i] ? p[i] : mesh->max_mm[i];
    }
    mesh->vertex_count++;
    return (uint32_t)n;
}

static inline void shape_triangle(PoiseMesh *mesh, uint32_t a, uint32_t b, uint32_t c)
{
    size_t n = mesh->triangle_count;
    if (shape_is_full(n)) {
        mesh->triangles = realloc(mesh->triangles, (n ? 2 * n : 1) * 3 * sizeof(uint32_t));
        shape_must(mesh->triangles);
    }
    uint32_t t[3] = {a, b, c};
    memcpy(mesh->triangles + 3 * n, t, sizeof t);
    mesh->triangle_count++;
}

static inline void shape_quad(PoiseMesh *mesh, uint32_t a, uint32_t b, uint32_t c, uint32_t d)
{
    shape_triangle(mesh, a, b, c);
    shape_triangle(mesh, a, c, d);
}

/* Adds the box x0 … x1, y0 … y1, z0 … z1. */
static inline void shape_box(PoiseMesh *mesh, double x0, double y0, double z0, double x1, double y1,
                             double z1)
{
    uint32_t v[8];
    for (int i = 0; i < 8; i++)
        v[i] = shape_vertex(mesh, i & 1 ? x1 : x0, i & 2 ? y1 : y0, i & 4 ? z1 : z0);
    shape_quad(mesh, v[0], v[2], v[3], v[1]);
    shape_quad(mesh, v[4], v[5], v[7], v[6]);
    shape_quad(mesh, v[0], v[1], v[5], v[4]);
    shape_quad(mesh, v[2], v[6], v[7], v[3]);
    shape_quad(mesh, v[0], v[4], v[6], v[2]);
    shape_quad(mesh, v[1], v[3], v[7], v[5]);
}

/* A point of a profile: distance from the axis (of the corners) and height. */
typedef struct ShapePoint {
    double r, z;
} ShapePoint;

/* Adds the solid of n sides between the axis and a profile that rises from the axis or starts with
 * a bottom disc. Corners lie at angles phase + 2πi/n. A point with r = 0 may only be the first or
 * the last. */
static inline void shape_lathe(PoiseMesh *mesh, const ShapePoint *profile, size_t count, unsigned n,
                               double cx, double cy, double phase)
{
    uint32_t *ring = calloc(2 * (size_t)n, sizeof *ring);
    shape_must(ring);
    uint32_t *below = ring, *above = ring + n;
    uint32_t foot = shape_vertex(mesh, cx, cy, profile[0].z);
    int have = 0;
    for (size_t k = profile[0].r > 0 ? 0 : 1; k < count; k++) {
        int tip = !(profile[k].r > 0);
        uint32_t top = tip ? shape_vertex(mesh, cx, cy, profile[k].z) : 0;
        for (unsigned i = 0; i < n; i++)
            if (!tip)
                above[i] = shape_vertex(mesh, cx + profile[k].r * cos(phase + 2 * SHAPE_PI * i / n),
                                        cy + profile[k].r * sin(phase + 2 * SHAPE_PI * i / n),
                                        profile[k].z);
        for (unsigned i = 0; i < n; i++) {
            unsigned j = (i + 1) % n;
            if (!have)
                shape_triangle(mesh, foot, above[j], above[i]);
            else if (tip)
                shape_triangle(mesh, below[i], below[j], top);
            else
                shape_quad(mesh, below[i], below[j], above[j], above[i]);
        }
        have = 1;
        if (!tip)
            memcpy(below, above, n * sizeof *ring);
    }
    if (profile[count - 1].r > 0) {
        uint32_t top = shape_vertex(mesh, cx, cy, profile[count - 1].z);
        for (unsigned i = 0; i < n; i++)
            shape_triangle(mesh, below[i], below[(i + 1) % n], top);
    }
    free(ring);
}

/* Adds a torus around the z axis. */
static inline void shape_torus(PoiseMesh *mesh, double radius, double tube, unsigned n, unsigned m)
{
    uint32_t first = (uint32_t)mesh->vertex_count;
    for (unsigned i = 0; i < n; i++)
        for (unsigned j = 0; j < m; j++) {
            double u = 2 * SHAPE_PI * i / n, v = 2 * SHAPE_PI * j / m, r = radius + tube * cos(v);
            shape_vertex(mesh, r * cos(u), r * sin(u), tube * sin(v));
        }
    for (unsigned i = 0; i < n; i++)
        for (unsigned j = 0; j < m; j++) {
            uint32_t a = first + i * m, b = first + (i + 1) % n * m, k = (j + 1) % m;
            shape_quad(mesh, a + j, b + j, b + k, a + k);
        }
}

/* Turns the triangles added since `from` inside out: a hollow. */
static inline void shape_invert(PoiseMesh *mesh, size_t from)
{
    for (size_t t = from; t < mesh->triangle_count; t++) {
        uint32_t *corner = mesh->triangles + 3 * t, a = corner[1];
        corner[1] = corner[2];
        corner[2] = a;
    }
}

/* Moves every vertex through a rotation matrix. */
static inline void shape_rotate(PoiseMesh *mesh, double r[3][3])
{
    for (int i = 0; i < 3; i++) {
        mesh->min_mm[i] = INFINITY;
        mesh->max_mm[i] = -INFINITY;
    }
    for (size_t v = 0; v < mesh->vertex_count; v++) {
        double *p = mesh->vertices_mm + 3 * v, q[3];
        for (int i = 0; i < 3; i++)
            q[i] = r[i][0] * p[0] + r[i][1] * p[1] + r[i][2] * p[2];
        memcpy(p, q, sizeof q);
        for (int i = 0; i < 3; i++) {
            mesh->min_mm[i] = q[i] < mesh->min_mm[i] ? q[i] : mesh->min_mm[i];
            mesh->max_mm[i] = q[i] > mesh->max_mm[i] ? q[i] : mesh->max_mm[i];
        }
    }
}

/* The path over a body's skin from the middle of its bottom, around its edge, to the middle of its
 * top, for s = 0 … 1: at angle a it lies `along` of the way out (1: the edge) at height z. The
 * pocket takes the inner part of the top. */
typedef struct ShapePath {
    double out, in; /* share of the outer outline, of the pocket's outline */
    double z;
} ShapePath;

static inline ShapePath shape_path(double s)
{
    const double h = 45, round = 6, pocket = 18, fillet = 3;
    double quarter;
    if (s < 0.15) /* bottom */
        return (ShapePath){s / 0.15 * 0.97, 0, 0};
    if (s < 0.22) { /* lower edge, rounded */
        quarter = (s - 0.15) / 0.07 * SHAPE_PI / 2;
        return (ShapePath){0.97 + 0.03 * sin(quarter), 0, round * (1 - cos(quarter))};
    }
    if (s < 0.50) { /* wall, bulging a little */
        double t = (s - 0.22) / 0.28;
        return (ShapePath){1 + 0.01 * sin(SHAPE_PI * t), 0, round + (h - 2 * round) * t};
    }
    if (s < 0.57) { /* upper edge */
        quarter = (s - 0.50) / 0.07 * SHAPE_PI / 2;
        return (ShapePath){0.97 + 0.03 * cos(quarter), 0, h - round * (1 - sin(quarter))};
    }
    if (s < 0.70) { /* face: from the edge to the pocket's rim, arched by a millimetre */
        double t = (s - 0.57) / 0.13;
        return (ShapePath){0.97 * (1 - t), t, h + sin(SHAPE_PI * t)};
    }
    if (s < 0.84) { /* pocket wall, with a draft of a degree */
        double t = (s - 0.70) / 0.14;
        return (ShapePath){0, 1 - 0.004 * t, h - (pocket - fillet) * t};
    }
    if (s < 0.88) { /* fillet */
        quarter = (s - 0.84) / 0.04 * SHAPE_PI / 2;
        return (ShapePath){0, 0.996 - 0.04 * (1 - cos(quarter)),
                           h - pocket + fillet * (1 - sin(quarter))};
    }
    return (ShapePath){0, 0.956 * (1 - (s - 0.88) / 0.12), h - pocket};
}

/* Radius of the outer outline (waisted, 420 mm × 330 mm) and of the pocket's. */
static inline double shape_outer(double a)
{
    return 165 + 35 * cos(2 * a) + 9 * cos(3 * a + 0.4) + 4 * sin(5 * a);
}
static inline double shape_inner(double a)
{
    double c = fabs(cos(a)) / 80, s = fabs(sin(a)) / 45; /* a rectangle with rounded corners */
    return pow(pow(c, 8) + pow(s, 8), -1.0 / 8);
}

/* Adds a rounded instrument body, about 420 mm × 330 mm × 46 mm, with a pocket in its top and eight
 * closed hollows around it; roughly `triangles` triangles. */
static inline void shape_body(PoiseMesh *mesh, size_t triangles)
{
    double share = 0.9 * (double)triangles / 2;
    unsigned m = (unsigned)ceil(sqrt(share / 4.5)), n = (unsigned)(share / m);
    uint32_t first = (uint32_t)mesh->vertex_count;
    uint32_t foot = shape_vertex(mesh, 0, 0, 0);
    for (unsigned k = 1; k < m; k++) {
        ShapePath p = shape_path((double)k / m);
        for (unsigned i = 0; i < n; i++) {
            double a = 2 * SHAPE_PI * i / n, r = p.out * shape_outer(a) + p.in * shape_inner(a);
            shape_vertex(mesh, r * cos(a), r * sin(a), p.z);
        }
    }
    uint32_t tip = shape_vertex(mesh, 0, 0, shape_path(1).z);
    for (unsigned i = 0; i < n; i++) {
        unsigned j = (i + 1) % n;
        shape_triangle(mesh, foot, first + 1 + j, first + 1 + i);
        for (unsigned k = 0; k + 2 < m; k++) {
            uint32_t below = first + 1 + k * n, above = below + n;
            shape_quad(mesh, below + i, below + j, above + j, above + i);
        }
        shape_triangle(mesh, first + 1 + (m - 2) * n + i, first + 1 + (m - 2) * n + j, tip);
    }
    unsigned rings = (unsigned)ceil(sqrt(0.1 * (double)triangles / 8 / 2 / 3)), sides = 3 * rings;
    ShapePoint *profile = malloc(((size_t)rings + 1) * sizeof *profile);
    shape_must(profile);
    for (unsigned k = 0; k <= rings; k++) {
        double v = SHAPE_PI * k / rings;
        profile[k] = (ShapePoint){k == 0 || k == rings ? 0 : 14 * sin(v), 14.037 - 9 * cos(v)};
    }
    for (unsigned c = 0; c < 8; c++) {
        double a = 2 * SHAPE_PI * (c + 0.3) / 8;
        size_t from = mesh->triangle_count;
        double r = shape_outer(a) * 0.72;
        shape_lathe(mesh, profile, (size_t)rings + 1, sides < 3 ? 3 : sides, r * cos(a), r * sin(a),
                    0.1);
        shape_invert(mesh, from);
    }
    free(profile);
}

#endif
