/* The steps of a tally; used by tally.c only. */
#ifndef POISE_TALLY_TALLY_PARTS_H
#define POISE_TALLY_TALLY_PARTS_H

#include "tally/fit.h"
#include "tally/tally.h"

/* Fills flow, materials, chi2 and what the fit says of every item and of the whole.
 * POISE_OK or POISE_E_MEMORY. */
PoiseStatus poise_tally_learn(PoiseTally *tally);
/* Compares what was observed of the whole. POISE_OK, POISE_E_INPUT, POISE_E_MEMORY. */
PoiseStatus poise_tally_observed(PoiseTally *tally, PoiseFaults *faults);

#endif
