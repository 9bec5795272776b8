/* Propagation of distributions through any model (JCGM 101:2008, clauses 5 to 7). */
#ifndef POISE_DOUBT_MONTE_CARLO_H
#define POISE_DOUBT_MONTE_CARLO_H

#include "doubt/distribution.h"
#include "doubt/first_order.h"
#include "doubt/run_trials.h"

/* Draws n ≤ POISE_MOST_INPUTS independent inputs from their distributions and runs the model on
 * them; m ≤ POISE_MOST_SAMPLED results. Trial i depends on the seed and i alone. Free the samples
 * with poise_samples_free(). As poise_run_trials(). */
PoiseStatus poise_monte_carlo(PoiseModel *model, const void *context, size_t n,
                              const PoiseDistribution *inputs, size_t m,
                              const PoiseTrialOptions *options, PoiseSamples *samples);

#endif
