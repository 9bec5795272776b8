/* Closed solids as triangle soups, for tests: vertices repeat, so that a reader has to weld them.
 * Triangles are counter-clockwise seen from outside. */
#ifndef POISE_TEST_SOLIDS_H
#define POISE_TEST_SOLIDS_H

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "poise/mesh.h"

typedef struct Soup {
    size_t count, capacity; /* triangles */
    double (*corners)[3];   /* 3 per triangle, mm */
} Soup;

static inline void soup_free(Soup *s)
{
    free(s->corners);
    *s = (Soup){0};
}

static inline void soup_triangle(Soup *s, const double a[3], const double b[3], const double c[3])
{
    if (s->count == s->capacity) {
        s->capacity = s->capacity ? 2 * s->capacity : 64;
        void *grown = realloc(s->corners, 3 * s->capacity * sizeof *s->corners);
        if (!grown)
            abort();
        s->corners = grown;
    }
    memcpy(s->corners[3 * s->count], a, sizeof *s->corners);
    memcpy(s->corners[3 * s->count + 1], b, sizeof *s->corners);
    memcpy(s->corners[3 * s->count + 2], c, sizeof *s->corners);
    s->count++;
}

static inline void soup_quad(Soup *s, const double a[3], const double b[3], const double c[3],
                             const double d[3])
{
    soup_triangle(s, a, b, c);
    soup_triangle(s, a, c, d);
}

static inline void soup_box(Soup *s, const double lo[3], const double hi[3])
{
    double p[8][3];
    for (int k = 0; k < 8; k++)
        for (int i = 0; i < 3; i++)
            p[k][i] = (k >> i) & 1 ? hi[i] : lo[i];
    soup_quad(s, p[0], p[2], p[3], p[1]);
    soup_quad(s, p[4], p[5], p[7], p[6]);
    soup_quad(s, p[0], p[1], p[5], p[4]);
    soup_quad(s, p[2], p[6], p[7], p[3]);
    soup_quad(s, p[0], p[4], p[6], p[2]);
    soup_quad(s, p[1], p[3], p[7], p[5]);
}

/* Turns a profile about the z axis through `centre`: `rings` points (radius, height), the solid on
 * the left of the profile's direction seen with the radius to the right and the height up; a radius
 * of 0 is a pole. An open profile must start and end at poles; a closed one makes a ring (torus). n
 * facets around. */
static inline void soup_turned(Soup *s, const double centre[3], const double (*profile)[2],
                               size_t rings, size_t n, int closed)
{
    const double two_pi = 6.283185307179586476925;
    for (size_t r = 0; r + (closed ? 0 : 1) < rings; r++) {
        const double *p = profile[r], *q = profile[(r + 1) % rings];
        for (size_t k = 0; k < n; k++) {
            double t0 = two_pi * (double)k / (double)n,
                   t1 = two_pi * (double)((k + 1) % n) / (double)n;
            double c0 = cos(t0), s0 = sin(t0), c1 = cos(t1), s1 = sin(t1);
            double a[3] = {centre[0] + p[0] * c0, centre[1] + p[0] * s0, centre[2] + p[1]};
            double b[3] = {centre[0] + p[0] * c1, centre[1] + p[0] * s1, centre[2] + p[1]};
            double c[3] = {centre[0] + q[0] * c1, centre[1] + q[0] * s1, centre[2] + q[1]};
            double d[3] = {centre[0] + q[0] * c0, centre[1] + q[0] * s0, centre[2] + q[1]};
            if (p[0] > 0.0)
                soup_triangle(s, a, b, c);
            if (q[0] > 0.0)
                soup_triangle(s, a, c, d);
        }
    }
}

static inline void soup_cylinder(Soup *s, const double base[3], double radius, double height,
                                 size_t n)
{
    const double profile[4][2] = {{0, 0}, {radius, 0}, {radius, height}, {0, height}};
    soup_turned(s, base, profile, 4, n, 0);
}

/* Base at `base`, apex up. */
static inline void soup_cone(Soup *s, const double base[3], double radius, double height, size_t n)
{
    const double profile[3][2] = {{0, 0}, {radius, 0}, {0, height}};
    soup_turned(s, base, profile, 3, n, 0);
}

/* Two cylinders on one another, r1 × h1 below r2 × h2. */
static inline void soup_stepped(Soup *s, const double base[3], double r1, double h1, double r2,
                                double h2, size_t n)
{
    const double profile[6][2] = {{0, 0}, {r1, 0}, {r1, h1}, {r2, h1}, {r2, h1 + h2}, {0, h1 + h2}};
    soup_turned(s, base, profile, 6, n, 0);
}

/* n facets around, n/2 from pole to pole. */
static inline void soup_sphere(Soup *s, const double centre[3], double radius, size_t n)
{
    const double pi = 3.141592653589793238463;
    size_t rings = n / 2 + 1;
    double(*profile)[2] = malloc(rings * sizeof *profile);
    if (!profile)
        abort();
    for (size_t k = 0; k < rings; k++) {
        double t = pi * (double)k / (double)(rings - 1);
        profile[k][0] = k == 0 || k == rings - 1 ? 0.0 : radius * sin(t);
        profile[k][1] = -radius * cos(t);
    }
    soup_turned(s, centre, (const double(*)[2])profile, rings, n, 0);
    free(profile);
}

/* Ring radius `ring`, tube radius `tube`, axis z; n facets around, m around the tube. */
static inline void soup_torus(Soup *s, const double centre[3], double ring, double tube, size_t n,
                              size_t m)
{
    const double two_pi = 6.283185307179586476925;
    double(*profile)[2] = malloc(m * sizeof *profile);
    if (!profile)
        abort();
    for (size_t k = 0; k < m; k++) {
        double t = two_pi * (double)k / (double)m;
        profile[k][0] = ring + tube * cos(t);
        profile[k][1] = tube * sin(t);
    }
    soup_turned(s, centre, (const double(*)[2])profile, m, n, 1);
    free(profile);
}

/* Swaps two corners of every triangle from `from` on: turns the solid inside out. */
static inline void soup_reverse(Soup *s, size_t from)
{
    for (size_t k = from; k < s->count; k++) {
        double t[3];
        memcpy(t, s->corners[3 * k + 1], sizeof t);
        memcpy(s->corners[3 * k + 1], s->corners[3 * k + 2], sizeof t);
        memcpy(s->corners[3 * k + 2], t, sizeof t);
    }
}

/* p ← R p + shift for all corners. */
static inline void soup_move(Soup *s, double rotation[3][3], const double shift[3])
{
    for (size_t k = 0; k < 3 * s->count; k++) {
        double p[3];
        for (int i = 0; i < 3; i++)
            p[i] = rotation[i][0] * s->corners[k][0] + rotation[i][1] * s->corners[k][1] +
                   rotation[i][2] * s->corners[k][2] + shift[i];
        memcpy(s->corners[k], p, sizeof p);
    }
}

/* The soup as a mesh that borrows the soup's corners (no welding: three vertices per triangle).
 * Only for functions that do not look at edges. Release `triangles` with free(). */
static inline PoiseMesh soup_as_mesh(const Soup *s)
{
    PoiseMesh mesh = {.vertex_count = 3 * s->count, .triangle_count = s->count};
    mesh.vertices_mm = s->corners ? s->corners[0] : NULL;
    mesh.triangles = malloc(3 * s->count * sizeof *mesh.triangles + 1);
    if (!mesh.triangles)
        abort();
    for (size_t k = 0; k < 3 * s->count; k++) {
        mesh.triangles[k] = (uint32_t)k;
        for (int i = 0; i < 3; i++) {
            double x = s->corners[k][i];
            mesh.min_mm[i] = k == 0 || x < mesh.min_mm[i] ? x : mesh.min_mm[i];
            mesh.max_mm[i] = k == 0 || x > mesh.max_mm[i] ? x : mesh.max_mm[i];
        }
    }
    return mesh;
}

static inline PoiseMoments soup_moments(const Soup *s)
{
    PoiseMesh mesh = soup_as_mesh(s);
    PoiseMoments m = poise_mesh_moments(&mesh);
    free(mesh.triangles);
    return m;
}

/* The soup as a binary STL file in memory (84 + 50 n bytes, little-endian); free() it. */
static inline unsigned char *soup_stl(const Soup *s, size_t *size)
{
    *size = 84 + 50 * s->count;
    unsigned char *file = calloc(1, *size);
    if (!file)
        abort();
    for (int i = 0; i < 4; i++)
        file[80 + i] = (unsigned char)(s->count >> (8 * i));
    for (size_t k = 0; k < s->count; k++)
        for (size_t j = 0; j < 9; j++) {
            float x = (float)s->corners[3 * k + j / 3][j % 3];
            uint32_t bits;
            memcpy(&bits, &x, 4);
            for (size_t i = 0; i < 4; i++)
                file[84 + 50 * k + 12 + 4 * j + i] = (unsigned char)(bits >> (8 * i));
        }
    return file;
}

#endif
