/* The trade-off front of three numbers, the smaller the better: the points that no other point
 * equals or betters in all three. Kept while points stream by, in bounded memory. */
#ifndef POISE_DECIDE_FRONT_H
#define POISE_DECIDE_FRONT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "poise/status.h"

/* Most points kept. A maker looks at a few dozen; more than this is one point many times over. */
#define POISE_FRONT_MOST 4096
/* Cells along two of the numbers of the map that turns most points away at once. */
#define POISE_FRONT_CELLS 64

typedef struct PoiseFrontPoint {
    double by[3];
    uint64_t index; /* of equal points the one with the smallest stays */
} PoiseFrontPoint;

typedef struct PoiseFront {
    size_t count, capacity;
    PoiseFrontPoint *points; /* by rising by[0], then by[1], by[2], index */
    double step; /* 0: exact. Otherwise points are told apart by whole steps only, in all three */
    PoiseFrontPoint *stairs; /* scratch */
    /* least[i][j]: the smallest by[2] among points with by[0] ≤ edge i and by[1] ≤ edge j */
    double from[2], width[2];
    double least[POISE_FRONT_CELLS][POISE_FRONT_CELLS];
} PoiseFront;

/* Start from {0} and poise_front_begin(). */
void poise_front_begin(PoiseFront *front);
void poise_front_clear(PoiseFront *front);

/* Is it certain that a point adds nothing? Quick, and wrong only by saying false. Several threads
 * may ask at once while nobody merges. All three numbers must be finite. */
bool poise_front_beaten(const PoiseFront *front, const double by[3]);

/* Sorts points and keeps those on their own front; returns how many. `stairs` is scratch for 2n
 * points. */
size_t poise_front_reduce(PoiseFrontPoint *points, size_t n, double step, PoiseFrontPoint *stairs);

/* Merges points, whose indices are above those merged before. When more than POISE_FRONT_MOST would
 * stay, the step is doubled (from 0.01) until they do not: then for every point left out one stays
 * that is worse by less than a step in each number, if at all. The outcome depends on the points
 * and on how they come in batches, on nothing else. POISE_OK or POISE_E_MEMORY. */
PoiseStatus poise_front_merge(PoiseFront *front, const PoiseFrontPoint *points, size_t n);

#endif
