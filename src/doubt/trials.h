/* Trials of the balance: Monte Carlo for what is not linear. */
#ifndef POISE_DOUBT_TRIALS_H
#define POISE_DOUBT_TRIALS_H

#include "doubt/budget.h"

/* Runs the trials. POISE_OK; POISE_E_USAGE for a number of trials out of range; POISE_E_MEMORY. */
PoiseStatus poise_trials(const PoiseDoubtProblem *problem, const PoiseTrialOptions *options,
                         PoiseTrials *out);

#endif
