/* Which edges of a set of rings meet, and where. Private to arrange.c and crossing.c. */
#ifndef POISE_GEOMETRY_CROSSING_H
#define POISE_GEOMETRY_CROSSING_H

#include "geometry/arrange.h"

typedef struct PoiseArrangeEdge {
    double x0, y0, x1, y1, length;
    uint32_t next; /* the edge that follows in the ring */
} PoiseArrangeEdge;

/* An edge in a row: the part of x it covers there. */
typedef struct PoiseArrangeEntry {
    double lo, hi;
    uint32_t edge;
} PoiseArrangeEntry;

/* One of the two sides of a crossing. */
typedef struct PoiseArrangeEvent {
    double t, x, y; /* along the edge, 0 … 1, and where */
    uint32_t edge, crossing;
    uint32_t partner; /* index of the other side's event, once sorted */
} PoiseArrangeEvent;

/* Makes room for `wanted` elements of `size` bytes in the block whose address lies at `pointer`. */
bool poise_arrange_grow(void *pointer, size_t *capacity, size_t wanted, size_t size);

/* Takes in the edges of the rings, and sorts them into rows of y. False when out of memory. */
bool poise_crossing_load(const PoiseRings *in, PoiseArrangeWork *work);

/* Finds every pair of edges that meet, other than neighbours at their common point: w->events holds
 * two entries for each proper crossing. POISE_RINGS_UNSURE when two edges touch, or there are more
 * crossings than a few loops explain. */
PoiseArranged poise_crossing_find(PoiseArrangeWork *work);

/* Winding number just left (towards −x) of a point on an edge. False when another edge passes too
 * near. */
bool poise_crossing_winding(const PoiseArrangeWork *work, uint32_t edge, double x, double y,
                            int *winding);

#endif
