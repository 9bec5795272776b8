/* One entry of the component library in full. */
#ifndef POISE_OUTPUT_PARTS_FULL_H
#define POISE_OUTPUT_PARTS_FULL_H

#include "output/parts_list.h"
#include "output/words.h"

/* Everything known of it but its id, as facts. */
void poise_words_listed(PoiseFactList *list, const PoiseListed *entry);

/* How many decimals of a mass and its standard uncertainty say something, 0 to 2. */
int poise_amount_decimals(double value, double u);

#endif
