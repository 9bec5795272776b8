/* Faults about an item of the instrument file. */
#ifndef POISE_BODIES_ITEM_FAULT_H
#define POISE_BODIES_ITEM_FAULT_H

#include "model/instrument.h"
#include "poise/status.h"

/* Adds a fault at the item's place in the file: pointer "/items/ID" and `rest` (may be ""). `hint`
 * may be NULL. Returns status, or POISE_E_MEMORY. */
PoiseStatus poise_item_fault(const PoiseInstrument *instrument, const PoiseItem *item,
                             PoiseStatus status, const char *rest, const char *found,
                             const char *expected, const char *hint, PoiseFaults *faults);

#endif
