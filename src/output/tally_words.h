/* A tally in words: the same sentences for the terminal and Markdown. */
#ifndef POISE_OUTPUT_TALLY_WORDS_H
#define POISE_OUTPUT_TALLY_WORDS_H

#include "output/words.h"
#include "tally/tally.h"

/* "322 g ± 12 g" */
void poise_words_mass_u(PoiseText *text, PoiseQuantity mass_g);
/* Flow, densities and their products, before and after. */
void poise_words_taught(PoiseFactList *list, const PoiseTally *tally);
/* The weight of the whole: estimated, with the readings, with what they taught. */
void poise_words_whole(PoiseFactList *list, const PoiseTally *tally);
void poise_words_next(PoiseFactList *list, const PoiseTally *tally);
/* The finished instrument on scales, cord, edge and strap. */
void poise_words_observed(PoiseFactList *list, const PoiseTally *tally);
/* What does not fit, and what to mind; the labels are empty. */
void poise_words_tally_notes(PoiseFactList *list, const PoiseTally *tally);
/* Is there an item whose estimate the scale corrected? */
bool poise_tally_corrected(const PoiseTallyItem *item);

#endif
