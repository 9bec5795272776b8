/* Whether the edges of a set of rings meet, and which side of each ring is inside. Detection only:
 * what meets is sorted out by GEOS (region_geos.h). */
#ifndef POISE_GEOMETRY_CROSSING_H
#define POISE_GEOMETRY_CROSSING_H

#include <stdint.h>

#include "geometry/rings.h"

typedef enum PoiseMeeting {
    POISE_RINGS_APART, /* the rings neither cross nor touch, and bound a region as they are */
    POISE_RINGS_CROSS, /* they cross, or one lies where it bounds nothing */
    POISE_RINGS_TOUCH, /* some of them touch, or nearly */
    POISE_RINGS_NO_MEMORY
} PoiseMeeting;

/* Scratch memory. Start from {0}. */
typedef struct PoiseCrossingWork {
    struct PoiseCrossingEdge *edges;
    struct PoiseCrossingEntry *entries;
    uint32_t *rows;
    size_t edge_capacity, entry_capacity, row_capacity;
    /* of the call under way */
    size_t edge_count, row_count;
    double low, rows_per_mm, tolerance;
} PoiseCrossingWork;
void poise_crossing_release(PoiseCrossingWork *work);

/* Finds how edges meet, other than neighbours at their common point. Edges that come nearer to each
 * other than `tolerance` mm without clearly crossing touch. Rings that stay apart bound a region
 * when they wind once around what is on their left and not around what is on their right. Linear in
 * the number of edges as long as few of them share a height. */
PoiseMeeting poise_rings_meet(const PoiseRings *in, double tolerance, PoiseCrossingWork *work);

#endif
