#include "geometry/face.h"

#include <math.h>
#include <stdbool.h>

#include "base/memory.h"

/* Clipping ears takes up to n³ steps in the worst case; drawings stay far below this. */
enum { MOST_CONCAVE = 4096 };

typedef struct Corner {
    double x, y;
    size_t before, after; /* the ring of corners not yet cut off */
} Corner;

/* Twice the area of the triangle, positive when it turns left. */
static double turn(const Corner *a, const Corner *b, const Corner *c)
{
    return (b->x - a->x) * (c->y - a->y) - (b->y - a->y) * (c->x - a->x);
}

/* The face seen along the axis its normal (Newell's sum, good for any polygon) is nearest to,
 * turned so that the corners run counter-clockwise. */
static void flatten(const double *vertices, const uint32_t *corners, size_t n, Corner *ring)
{
    double normal[3] = {0, 0, 0};
    const double *base = &vertices[3 * (size_t)corners[0]];
    for (size_t k = 0; k < n; k++) {
        const double *p = &vertices[3 * (size_t)corners[k]],
                     *q = &vertices[3 * (size_t)corners[(k + 1) % n]];
        for (int i = 0; i < 3; i++) {
            int j = (i + 1) % 3, l = (i + 2) % 3;
            normal[i] += (p[j] - base[j]) * (q[l] - base[l]) - (p[l] - base[l]) * (q[j] - base[j]);
        }
    }
    int axis = 0;
    for (int i = 1; i < 3; i++)
        if (fabs(normal[i]) > fabs(normal[axis]))
            axis = i;
    int u = (axis + 1) % 3, v = (axis + 2) % 3;
    double side = normal[axis] < 0.0 ? -1.0 : 1.0;
    for (size_t k = 0; k < n; k++) {
        /* NOLINTNEXTLINE(clang-analyzer-core.uninitialized.ArraySubscript): n corners are set */
        const double *p = &vertices[3 * (size_t)corners[k]];
        ring[k] = (Corner){p[u], side * p[v], (k + n - 1) % n, (k + 1) % n};
    }
}

static bool is_convex(const Corner *ring, size_t n)
{
    /* No right turn, and once around only: the direction of the edges crosses "up" twice. */
    size_t flips = 0;
    for (size_t k = 0; k < n; k++) {
        /* NOLINTNEXTLINE(clang-analyzer-core.uninitialized.ArraySubscript): n corners are set */
        const Corner *b = &ring[k], *a = &ring[b->before], *c = &ring[b->after];
        if (turn(a, b, c) < 0.0)
            return false;
        flips += (b->y - a->y < 0.0) != (c->y - b->y < 0.0);
    }
    return flips <= 2;
}

static bool same_place(const Corner *a, const Corner *b)
{
    return a->x == b->x && a->y == b->y;
}

static bool is_ear(const Corner *ring, size_t at)
{
    const Corner *b = &ring[at], *a = &ring[b->before], *c = &ring[b->after];
    if (turn(a, b, c) < 0.0)
        return false;
    for (size_t k = c->after; k != b->before; k = ring[k].after) {
        const Corner *p = &ring[k];
        /* Bridges to holes visit a place twice; a corner on one of the ear's own is not in its way.
         */
        if (same_place(p, a) || same_place(p, b) || same_place(p, c))
            continue;
        if (turn(a, b, p) >= 0.0 && turn(b, c, p) >= 0.0 && turn(c, a, p) >= 0.0)
            return false;
    }
    return true;
}

static PoiseStatus clip_ears(Corner *ring, const uint32_t *corners, size_t n, uint32_t *triangles)
{
    size_t at = 0, left = n, tried = 0;
    while (left > 3) {
        if (!is_ear(ring, at)) {
            if (++tried > left)
                return POISE_E_MESH;
            at = ring[at].after;
            continue;
        }
        tried = 0;
        size_t before = ring[at].before, after = ring[at].after;
        *triangles++ = corners[before];
        *triangles++ = corners[at];
        *triangles++ = corners[after];
        ring[before].after = after;
        ring[after].before = before;
        left--;
        at = ring[after].after; /* not the neighbour: fewer slivers */
    }
    *triangles++ = corners[ring[at].before];
    *triangles++ = corners[at];
    *triangles++ = corners[ring[at].after];
    return POISE_OK;
}

PoiseStatus poise_face_cut(const double *vertices_mm, const uint32_t *corners, size_t n,
                           uint32_t *triangles, size_t *count)
{
    *count = n - 2;
    Corner few[16];
    Corner *ring = few;
    if (n > sizeof few / sizeof *few) {
        ring = poise_resize(NULL, n, sizeof *ring);
        if (!ring)
            return POISE_E_MEMORY;
    }
    PoiseStatus status = POISE_OK;
    if (n > 3)
        flatten(vertices_mm, corners, n, ring);
    if (n == 3 || is_convex(ring, n)) {
        for (size_t k = 1; k + 1 < n; k++) {
            *triangles++ = corners[0];
            *triangles++ = corners[k];
            *triangles++ = corners[k + 1];
        }
    } else {
        status = n > MOST_CONCAVE ? POISE_E_MESH : clip_ears(ring, corners, n, triangles);
    }
    if (ring != few)
        poise_release(ring);
    return status;
}
