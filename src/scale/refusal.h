/* The one form of a refusal in this room. */
#ifndef POISE_SCALE_REFUSAL_H
#define POISE_SCALE_REFUSAL_H

#include <math.h>
#include <stdbool.h>

#include "statics/strap.h"

/* A standard uncertainty: finite and not negative. */
static inline bool poise_is_u(double u)
{
    return u >= 0 && isfinite(u);
}

/* "/supports/N/key" and the like, N from 0. */
PoiseStatus poise_refuse_reading(PoiseFaults *faults, const char *list, size_t i, const char *key,
                                 const char *found, const char *expected);

#endif
