/* Variants: merge patches over an instrument file. */
#ifndef POISE_INPUT_VARIANT_H
#define POISE_INPUT_VARIANT_H

#include "input/reader.h"
#include "input/reading.h"

/* tree with the variant merged over it, a new tree; NULL for want of memory. Faults of the patch
 * itself (an item id that is a slip, a key no variant may change) are reported and left out of the
 * result. `r` is at the root. */
cJSON *poise_merge_variant(PoiseReading *r, const cJSON *tree, const cJSON *patch);

/* No variant of this name: POISE_E_USAGE with the names there are. */
PoiseStatus poise_no_variant(const PoiseDocument *document, const cJSON *tree, const char *variant,
                             PoiseFaults *faults);

#endif
