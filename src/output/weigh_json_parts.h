/* The parts of the results' JSON that stand in files of their own. */
#ifndef POISE_OUTPUT_WEIGH_JSON_PARTS_H
#define POISE_OUTPUT_WEIGH_JSON_PARTS_H

#include "output/json_build.h"
#include "poise/weigh.h"

void poise_json_interval(PoiseJson *json, cJSON *parent, const char *key, PoiseInterval interval);
/* One standard uncertainty of each result, and 95 % intervals (from the trials when they ran). */
void poise_json_strap_doubt(PoiseJson *json, cJSON *strap, const PoiseWeighing *w);
void poise_json_seat_doubt(PoiseJson *json, cJSON *seat, const PoiseWeighing *w);
/* Stations, the budget and the trials, at the root. */
void poise_json_doubt(PoiseJson *json, const PoiseWeighing *w);

#endif
