/* Plane regions as sets of closed rings, and their moments. */
#ifndef POISE_GEOMETRY_RINGS_H
#define POISE_GEOMETRY_RINGS_H

#include <stdbool.h>
#include <stddef.h>

/* Rings of points in mm, the first point not repeated. The region lies to the left of each ring:
 * outlines run counter-clockwise, holes clockwise. Start from {0}. After an allocation failure
 * `failed` stays set and nothing more is added, so a long run of additions needs one check at its
 * end. */
typedef struct PoiseRings {
    double (*points)[2];
    size_t count, capacity;
    size_t *ends; /* ends[i]: index behind the last point of ring i */
    size_t rings, ring_capacity;
    bool failed;
} PoiseRings;

/* Area moments about the origin of the coordinates: mm², mm³, mm⁴. */
typedef struct PoiseFlat {
    double area, x, y, xx, yy, xy;
} PoiseFlat;

static inline size_t poise_rings_start(const PoiseRings *rings, size_t ring)
{
    return ring ? rings->ends[ring - 1] : 0;
}

/* Makes room for n more points; false (and failed) when there is none. */
bool poise_rings_reserve(PoiseRings *rings, size_t n);

static inline void poise_rings_add(PoiseRings *rings, double x, double y)
{
    if (rings->count == rings->capacity && !poise_rings_reserve(rings, 1))
        return;
    rings->points[rings->count][0] = x;
    rings->points[rings->count][1] = y;
    rings->count++;
}

/* Ends the ring that was being added; one of fewer than three points is dropped. */
void poise_rings_close(PoiseRings *rings);
/* Drops the points added since the last close. */
void poise_rings_drop_open(PoiseRings *rings);
/* Adds a copy of ring i of another set. */
void poise_rings_add_ring(PoiseRings *rings, const PoiseRings *from, size_t ring);
/* Empties the set and keeps its memory. */
void poise_rings_reset(PoiseRings *rings);
void poise_rings_release(PoiseRings *rings);
/* Swaps the contents of two sets. */
void poise_rings_swap(PoiseRings *a, PoiseRings *b);

/* Signed moments by Green's theorem: what each ring winds around is counted once for each time. */
PoiseFlat poise_rings_flat(const PoiseRings *rings);
double poise_ring_area(const PoiseRings *rings, size_t ring);

/* How often the rings wind around a point that is not on them. */
int poise_rings_winding(const PoiseRings *rings, double x, double y);

/* a + scale·b */
PoiseFlat poise_flat_add(PoiseFlat a, PoiseFlat b, double scale);

#endif
