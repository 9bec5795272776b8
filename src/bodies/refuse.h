/* Faults of one item: file, place and pointer of the item, and what its mesh had to say. */
#ifndef POISE_BODIES_REFUSE_H
#define POISE_BODIES_REFUSE_H

#include "base/faults.h"
#include "model/instrument.h"

/* Adds a fault of status POISE_E_INPUT at "/items/ID" + key ("" is the item itself), what was found
 * as by printf. Returns POISE_E_INPUT, or POISE_E_MEMORY when the message could not be made. */
PoiseStatus poise_item_refuse(const PoiseInstrument *instrument, const PoiseItem *item,
                              const char *key, const char *expected, PoiseFaults *faults,
                              const char *found_format, ...) __attribute__((format(printf, 6, 7)));

/* Adds copies of the faults of a file that an item names, each placed at the item's key in the
 * instrument file: the maker then knows which item the bad mesh belongs to. The mesh's own file and
 * line move into the words of what was found, and each takes
 * this `status`. Returns `status`, or POISE_E_MEMORY. */
PoiseStatus poise_item_pass_on(const PoiseInstrument *instrument, const PoiseItem *item,
                               const char *key, PoiseStatus status, const PoiseFaults *from,
                               PoiseFaults *faults);

#endif
