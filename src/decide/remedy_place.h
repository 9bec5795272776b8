/* Ballast inside the body's edge, and points as remedies say and write them. */
#ifndef POISE_DECIDE_REMEDY_PLACE_H
#define POISE_DECIDE_REMEDY_PLACE_H

#include "decide/body_outline.h"
#include "decide/remedy_lever.h"
#include "decide/remedy_task.h"

/* The body's outline at the depth of the tail post, and POISE_REMEDY_EDGE_MM inside it. Status and
 * clearing as of poise_body_outline(). */
PoiseStatus poise_task_outline(const PoiseRemedyTask *task, PoiseBodyOutline *outline,
                               PoiseFaults *faults);

/* Puts new ballast at a place of the file's coordinates into a remedy: patch only. */
void poise_place_put(PoiseRemedyTask *task, PoiseRemedy *remedy, const double at_mm[3],
                     double grams);
/* "x 122, y 26, z −20" */
void poise_point_say(PoiseText *text, const double at_mm[3]);
/* [122, 26, −20], to tenths; NULL when out of memory. */
cJSON *poise_point_json(const double at_mm[3]);

#endif
