/* Running trials in blocks over threads, a fixed number or until they have settled. */
#ifndef POISE_DOUBT_RUN_TRIALS_H
#define POISE_DOUBT_RUN_TRIALS_H

#include "doubt/samples.h"

/* Trials of one block. JCGM 101:2008, 7.9.4 b) wants max(J, 10⁴) with J ≥ 100/(1 − p), 2000 at 95
 * %. Fixed, so that neither the blocks nor the order their sums are joined in depend on threads. */
enum { POISE_BLOCK_TRIALS = 10000, POISE_MOST_SAMPLED = 8 };

/* Runs trials first … first + n − 1: out[k][i] gets result k of trial first + i, NAN where it does
 * not exist. Several blocks run at once; nothing but `out` and a place of the block's own
 * (numbered first / POISE_BLOCK_TRIALS) may be written. */
typedef void PoiseBlock(void *context, uint64_t first, size_t n, double *const *out);

typedef struct PoiseRun {
    PoiseBlock *block;
    void *context;
    size_t results; /* ≤ POISE_MOST_SAMPLED */
    PoiseTrialOptions options;
    size_t most; /* adaptive: give up after this many; a whole number of blocks */
} PoiseRun;

/* The values of one result follow each other at `values + k · stride`. */
typedef struct PoiseSamples {
    size_t trials, results, stride;
    double *values; /* owned */
    PoiseTally tallies[POISE_MOST_SAMPLED];
    bool settled;
} PoiseSamples;

/* POISE_OK; POISE_E_MEMORY; POISE_E_USAGE for no trials or too many results. */
PoiseStatus poise_run_trials(const PoiseRun *run, PoiseSamples *samples);
void poise_samples_free(PoiseSamples *samples);
static inline const double *poise_samples_of(const PoiseSamples *samples, size_t result)
{
    return samples->values + result * samples->stride;
}

/* The numerical tolerance of a standard uncertainty given to `digits` significant digits: half a
 * unit of the last (JCGM 101:2008, 7.9.2). 0 for u = 0. */
double poise_numerical_tolerance(double u, int digits);

#endif
