/* Items of an instrument file. */
#ifndef POISE_INPUT_ITEM_READ_H
#define POISE_INPUT_ITEM_READ_H

#include "input/library.h"
#include "input/reading.h"

/* Reads one item into *item, which is zeroed and has its id. `presets` may be NULL: presets are not
 * looked up. `instrument` has its scale read. Faults are in the reading. */
void poise_read_item(PoiseReading *r, const cJSON *value, const PoiseInstrument *instrument,
                     const PoisePresets *presets, PoiseItem *item);

/* The gauges of a string set or an item's own; does nothing when there are none. */
void poise_read_gauges(PoiseReading *r, const cJSON *object, PoiseStrings *strings);

#endif
