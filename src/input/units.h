/* The trade's units. */
#ifndef POISE_INPUT_UNITS_H
#define POISE_INPUT_UNITS_H

#include <stddef.h>

#include "input/quantity.h"

typedef struct PoiseUnit {
    const char *name; /* as written, after superscripts have become digits */
    PoiseUnitKind kind;
    double factor; /* to the unit poise keeps the kind in */
    double zero;   /* temperatures: what 0 of the unit is in °C */
} PoiseUnit;

/* The longest unit that stands at s and is not followed by another letter; NULL when none does. */
const PoiseUnit *poise_unit_at(const char *s);
/* All units in turn, those of a kind together; NULL past the last. */
const PoiseUnit *poise_unit_number(size_t i);
/* The known unit nearest to a word, of this kind, or NULL. */
const char *poise_unit_nearest(const char *word, PoiseUnitKind kind);

#endif
