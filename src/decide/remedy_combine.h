/* Why no choice of parts, infill and ballast meets the target. */
#ifndef POISE_DECIDE_REMEDY_COMBINE_H
#define POISE_DECIDE_REMEDY_COMBINE_H

#include "decide/remedy_choice.h"

/* Adds to out->conflicts: each goal that cannot be reached even by itself, and by how much; else
 * each pair of goals that cannot be reached together. POISE_OK, POISE_E_MEMORY, POISE_E_INTERNAL.
 */
PoiseStatus poise_remedy_explain(PoiseRemedyTask *task, const PoiseChoices *choices,
                                 PoisePick *picks);

#endif
