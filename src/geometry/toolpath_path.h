/* The way of one move: a straight line or a helical arc, and what is uniform along it. */
#ifndef POISE_GEOMETRY_TOOLPATH_PATH_H
#define POISE_GEOMETRY_TOOLPATH_PATH_H

#include <stdbool.h>

#include "geometry/toolpath_block.h"

typedef struct PoisePath {
    double from_mm[3], to_mm[3];
    bool arc;
    double middle_mm[2], radius_mm;
    double start_rad, sweep_rad; /* sweep is positive counter-clockwise */
} PoisePath;

/* Means over a path along which plastic is uniform. */
typedef struct PoisePathMeans {
    double at_mm[3];      /* the mean position */
    double spread_mm2[6]; /* mean squares about it: xx, yy, zz, xy, yz, zx */
    double min_mm[3], max_mm[3];
} PoisePathMeans;

/* fmin() and fmax() for numbers that are never NaN: one instruction instead of a call, for every
 * bead of a long program. */
static inline double poise_path_least(double a, double b)
{
    return a < b ? a : b;
}
static inline double poise_path_most(double a, double b)
{
    return a > b ? a : b;
}

/* Makes the path an arc from its ends and the line's I and J, or R (times mm_per_unit).
 * POISE_E_MESH with a fault when there is no such arc. */
PoiseStatus poise_path_arc(PoisePath *path, const PoiseBlock *block, double mm_per_unit,
                           bool clockwise, PoiseFaults *faults);

double poise_path_length_mm(const PoisePath *path);
/* The place a fraction 0 … 1 along the way. */
void poise_path_at(const PoisePath *path, double fraction, double at_mm[3]);
/* The means over the part of the way behind a fraction 0 ≤ f < 1. */
PoisePathMeans poise_path_means(const PoisePath *path, double fraction);

#endif
