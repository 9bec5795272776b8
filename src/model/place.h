/* Where in the file stand the values that can be found wrong only after reading: each is good by
 * itself, but not with the others. */
#ifndef POISE_MODEL_PLACE_H
#define POISE_MODEL_PLACE_H

#include "model/instrument.h"
#include "poise/status.h"

/* Pointers whose places the reader keeps, as far as the file has them; NULL ends the list. Items
 * keep their own. */
extern const char *const POISE_KEPT_PLACES[];

/* Adds a copy of a fault about a value of the instrument: its file, line, column and pointer are
 * those of the value as the file has it (in the variant, when that sets it), or of the nearest
 * value around it. `fault->pointer` is as in the file without a variant. Without a kept place
 * around it, line, column and pointer stay as they are. Returns fault->status, or POISE_E_MEMORY.
 */
PoiseStatus poise_instrument_fault(const PoiseInstrument *instrument, const PoiseFault *fault,
                                   PoiseFaults *faults);

#endif
