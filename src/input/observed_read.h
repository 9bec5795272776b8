/* The key "observed" beyond what its tables say. */
#ifndef POISE_INPUT_OBSERVED_READ_H
#define POISE_INPUT_OBSERVED_READ_H

#include "input/reading.h"
#include "model/instrument.h"

/* Reads the scales, and checks that what was observed can be told from what the file holds:
 * stations need "scale", plumb lines "posts", the slipping strap "posts" and "strap". */
void poise_read_observed(PoiseReading *r, const cJSON *root, PoiseInstrument *in);

#endif
