/* Compensated summation. */
#ifndef POISE_BASE_SUM_H
#define POISE_BASE_SUM_H

#include <math.h>

/* Neumaier's variant of Kahan's sum: also exact to one rounding when a term is larger than the
 * running sum. A. Neumaier, "Rundungsfehleranalyse einiger Verfahren zur Summation endlicher
 * Summen", ZAMM 54 (1974) (from memory). Start from {0}. */
typedef struct PoiseSum {
    double sum, carry;
} PoiseSum;

static inline void poise_sum_add(PoiseSum *s, double term)
{
    double t = s->sum + term;
    if (fabs(s->sum) >= fabs(term))
        s->carry += (s->sum - t) + term;
    else
        s->carry += (term - t) + s->sum;
    s->sum = t;
}

static inline double poise_sum_value(const PoiseSum *s)
{
    return s->sum + s->carry;
}

#endif
