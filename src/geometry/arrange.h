/* What lies to the left of rings that may cross: the region they wind around at least once. */
#ifndef POISE_GEOMETRY_ARRANGE_H
#define POISE_GEOMETRY_ARRANGE_H

#include <stdint.h>

#include "geometry/rings.h"

typedef enum PoiseArranged {
    POISE_RINGS_FINE,     /* the rings neither cross nor touch and bound the region as they are */
    POISE_RINGS_RESOLVED, /* `out` bounds the region */
    POISE_RINGS_UNSURE,   /* some of them touch, or nearly: only exact arithmetic can tell */
    POISE_RINGS_NO_MEMORY
} PoiseArranged;

/* Scratch memory. Start from {0}. */
typedef struct PoiseArrangeWork {
    struct PoiseArrangeEdge *edges;
    struct PoiseArrangeEntry *entries;
    struct PoiseArrangeEvent *events;
    uint32_t *rows, *bases;
    unsigned char *walked;
    size_t edge_capacity, entry_capacity, event_capacity, row_capacity, base_capacity,
        walked_capacity;
    /* of the call under way */
    size_t edge_count, row_count, event_count;
    double low, rows_per_mm, tolerance;
} PoiseArrangeWork;
void poise_arrange_release(PoiseArrangeWork *work);

/* Finds the region with winding number ≥ 1 (positive fill). Edges that come nearer to each other
 * than `tolerance` mm without clearly crossing make the result POISE_RINGS_UNSURE. Linear in the
 * number of edges as long as few of them share a height. */
PoiseArranged poise_rings_arrange(const PoiseRings *in, double tolerance, PoiseArrangeWork *work,
                                  PoiseRings *out);

#endif
