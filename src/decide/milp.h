/* A mixed-integer linear programme: the few calls of the solver's library that remedies need. */
#ifndef POISE_DECIDE_MILP_H
#define POISE_DECIDE_MILP_H

#include <stdbool.h>
#include <stddef.h>

#include "poise/status.h"

/* Seconds one solve may take before the best answer so far is taken, or none. The programmes here
 * have a few hundred columns and take milliseconds; this is for a file made to be hard. */
#define POISE_MILP_SECONDS 5

/* How far an answer may be from the optimum: in the objective's own unit, and as a fraction of it.
 * A thousandth of a gram is nothing anybody can weigh out. */
#define POISE_MILP_GAP          1e-3
#define POISE_MILP_GAP_RELATIVE 1e-6

typedef struct PoiseMilp PoiseMilp;

/* A programme with columns x_0 … x_{n−1}, each ≥ 0 without an upper bound, and no rows; NULL when
 * out of memory. */
PoiseMilp *poise_milp_new(size_t columns);
void poise_milp_free(PoiseMilp *milp);

/* lo ≤ x ≤ hi (±INFINITY: none); `whole`: an integer. */
bool poise_milp_column(PoiseMilp *milp, size_t column, double lo, double hi, bool whole);
/* Adds a row Σ values[i]·x_{columns[i]} ≤ limit; no column twice. False when out of memory. */
bool poise_milp_at_most(PoiseMilp *milp, size_t count, const size_t *columns, const double *values,
                        double limit);
/* Adds a row Σ values[i]·x_{columns[i]} = value. */
bool poise_milp_equal(PoiseMilp *milp, size_t count, const size_t *columns, const double *values,
                      double value);

typedef struct PoiseMilpAnswer {
    double value; /* of the objective */
    bool proved;  /* false: time ran out; there may be a better answer */
} PoiseMilpAnswer;

/* Minimises Σ objective[i]·x_i; x gets one value per column. May be called again after adding rows
 * or with another objective. POISE_OK; POISE_E_DOMAIN when no x meets the rows, or time ran out
 * before one was found (answer->proved is then false), or the minimum is unbounded; POISE_E_MEMORY;
 * POISE_E_INTERNAL (the solver broke down). */
PoiseStatus poise_milp_minimise(PoiseMilp *milp, const double *objective, double *x,
                                PoiseMilpAnswer *answer);

#endif
