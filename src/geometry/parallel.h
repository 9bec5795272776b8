/* A loop whose rounds run on several threads. */
#ifndef POISE_GEOMETRY_PARALLEL_H
#define POISE_GEOMETRY_PARALLEL_H

#include <stddef.h>

#include "poise/status.h"

/* What each round does. `worker` is below the number of threads and no two rounds that run at the
 * same time share it, so it may index scratch memory. Rounds must write only to places of their
 * own: then the results do not depend on the number of threads. */
typedef PoiseStatus (*PoiseRound)(void *context, size_t worker, size_t round);

/* Who hears how far the work is: fractions from `from` to `to` of the whole. `report` may be NULL.
 * It is called from the calling thread only. */
typedef struct PoiseProgress {
    void (*report)(double fraction, void *context);
    void *context;
    double from, to;
} PoiseProgress;

/* Threads to use when the user asked for `wanted` (0: one per core). */
size_t poise_thread_count(int wanted);

/* Runs rounds 0 … rounds − 1. A round that fails stops the handing out of further ones; the failure
 * with the lowest number is returned. Threads that cannot be had are done without. */
PoiseStatus poise_parallel(size_t threads, size_t rounds, PoiseRound run, void *context,
                           const PoiseProgress *progress);

#endif
