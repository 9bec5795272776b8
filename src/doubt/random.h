/* Random numbers that depend on a seed and a position only, not on what was drawn before: any
 * thread may draw any part of the sequence. */
#ifndef POISE_DOUBT_RANDOM_H
#define POISE_DOUBT_RANDOM_H

#include <stdint.h>

/* Philox 4×32 with 10 rounds, the counter-based generator of J. K. Salmon, M. A. Moraes, R. O. Dror
 * and D. E. Shaw, "Parallel random numbers: as easy as 1, 2, 3", SC'11 (from memory). */
void poise_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4]);

/* Two numbers strictly between 0 and 1, on the midpoints of 2⁵² equal steps, for draw `draw` of
 * trial `trial`. */
void poise_uniform_pair(uint64_t seed, uint64_t trial, uint32_t draw, double u[2]);

#endif
