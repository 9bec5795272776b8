/* A tally as JSON, CSV, Markdown or text for a terminal of 80 columns, and what it teaches as a
 * profile. New strings, freed with poise_string_free(); NULL when out of memory. */
#ifndef POISE_OUTPUT_TALLY_REPORT_H
#define POISE_OUTPUT_TALLY_REPORT_H

#include "tally/tally.h"

char *poise_tally_text(const PoiseTally *tally);
char *poise_tally_markdown(const PoiseTally *tally);
char *poise_tally_json(const PoiseTally *tally);
char *poise_tally_csv(const PoiseTally *tally);

/* A profile: the flow, and for each material that a reading bore on its density and, where it was
 * printed, the product of density and flow. Each number is for what uses it alone: `laid` for
 * printed items of that material, with all the doubt of density and flow together; `density` for
 * solid pieces of it; `flow` for prints of materials that the profile does not know. What the three
 * have in common beyond that is left out: the product is told so well that its covariance with
 * either factor, at most the product of their ±, is small beside the factors' own. A note says
 * when the readings do not fit. Ask poise_tally_check_profile() first. */
char *poise_tally_profile(const PoiseTally *tally);

#endif
