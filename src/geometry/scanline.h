/* Plane regions as intervals along parallel lines, and what is common to the regions of many
 * layers. */
#ifndef POISE_GEOMETRY_SCANLINE_H
#define POISE_GEOMETRY_SCANLINE_H

#include <stdint.h>

#include "geometry/rings.h"
#include "poise/status.h"

/* Evenly spaced horizontal lines: line i at y = low + (i + 1/2) step. */
typedef struct PoiseScan {
    double low_mm, step_mm;
    size_t lines;
} PoiseScan;

/* A region along the lines: the numbers of line i are at[start[i]] … at[start[i + 1] − 1], rising,
 * in pairs: from, to. float is good to 3e-5 mm at 500 mm and cancels: shared walls get the same
 * numbers. */
typedef struct PoiseSpans {
    uint32_t *start; /* lines + 1 */
    float *at;
} PoiseSpans;

/* Scratch memory of poise_spans_make(). Start from {0}. */
typedef struct PoiseScanWork {
    struct PoiseScanEdge *edges;
    double *at;
    size_t edge_capacity, at_capacity;
} PoiseScanWork;
void poise_scan_work_release(PoiseScanWork *work);

/* The rings bound a region. POISE_E_MEMORY; release the spans in either case. */
PoiseStatus poise_spans_make(const PoiseRings *rings, const PoiseScan *scan, PoiseScanWork *work,
                             PoiseSpans *spans);
void poise_spans_release(PoiseSpans *spans);

/* The lines of a part, and what the regions of the layers have in common there. */
typedef struct PoiseCommonQuery {
    size_t from, to; /* regions, both counted */
    PoiseFlat common;
} PoiseCommonQuery;

/* For lines first … last − 1: the moments of each region alone (own[r], r < regions) and of what
 * the regions from … to of each query have in common. Intersections of 2, 4, 8, … neighbours are
 * made by doubling, and each query is the intersection of two of those that cover it. The midpoint
 * rule over the lines: exact but for the ends of the edges between lines. */
PoiseStatus poise_spans_common(const PoiseSpans *const *spans, size_t regions,
                               const PoiseScan *scan, size_t first, size_t last, PoiseFlat *own,
                               PoiseCommonQuery *queries, size_t query_count);

#endif
