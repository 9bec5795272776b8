/* What choices of parts, infill and ballast do not do, and why. */
#ifndef POISE_DECIDE_REMEDY_COMBINE_H
#define POISE_DECIDE_REMEDY_COMBINE_H

#include "decide/remedy_choice.h"

/* Adds to the shortfalls: how near all choices of `classes` come to the goal that is missed by most
 * as it is. The mass is kept within its target where that can be; where it stands against that
 * goal, both are told. Statuses as below. */
PoiseStatus poise_remedy_say_short(PoiseRemedyTask *task, const PoiseChoices *choices,
                                   unsigned classes, PoisePick *picks);

/* Adds to out->conflicts: each goal that cannot be reached even by itself, and by how much; else
 * each pair of goals that cannot be reached together. POISE_OK, POISE_E_MEMORY, POISE_E_INTERNAL.
 */
PoiseStatus poise_remedy_explain(PoiseRemedyTask *task, const PoiseChoices *choices,
                                 PoisePick *picks);

#endif
