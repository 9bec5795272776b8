/* Frame, scale and hand: what the keys alone do not settle. */
#ifndef POISE_INPUT_PLACE_READ_H
#define POISE_INPUT_PLACE_READ_H

#include "input/reading.h"
#include "model/instrument.h"

/* Checks that head and face are square to each other and makes them unit vectors, exactly square.
 */
void poise_settle_frame(PoiseReading *r, PoiseFrame *frame);
/* Checks that the nut lies headwards of the saddle. */
void poise_settle_scale(PoiseReading *r, const PoiseInstrument *instrument);
/* Reads "hand" of the stance (NULL: not given, which is "nut"). */
void poise_read_hand(PoiseReading *r, const cJSON *hand, PoiseInstrument *instrument);

#endif
