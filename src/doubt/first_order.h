/* Propagation of uncertainty to first order (JCGM 100:2008). */
#ifndef POISE_DOUBT_FIRST_ORDER_H
#define POISE_DOUBT_FIRST_ORDER_H

#include <stddef.h>

/* y[m] = f(x[n]); a result that does not exist is NAN. */
typedef void PoiseModel(const double *x, double *y, const void *context);

/* An input with the range its value can have at all. */
typedef struct PoiseInput {
    double value;
    double u;           /* one standard uncertainty */
    double least, most; /* bounds; steps stop there. ∓INFINITY: none */
} PoiseInput;

/* Sensitivity coefficients c = ∂f/∂x, from the model itself as clause 5.1.3 note 2 has it: half the
 * difference between the results at x + u and at x − u, over u. Where a bound cuts a step short, or
 * only one of the two results exists, the difference is taken over what is left. An input without
 * uncertainty has no step: its coefficient is 0.
 *  n, inputs  the inputs, n ≤ POISE_MOST_INPUTS
 *  m          the number of results, m ≤ POISE_MOST_RESULTS
 *  y          out, m: the results at the values
 *  c          out, m rows of n; NAN where it cannot be told */
enum { POISE_MOST_INPUTS = 16, POISE_MOST_RESULTS = 32 };
void poise_sensitivities(PoiseModel *model, const void *context, size_t n, const PoiseInput *inputs,
                         size_t m, double *y, double *c);

/* Combined standard uncertainty √(Σ_i Σ_j c_i c_j u(x_i, x_j)) (clause 5.2.2, eq. 13). covariance
 * is n × n by rows. Inputs without variance are left out. NAN when a coefficient that counts is
 * NAN. */
double poise_combined_u(size_t n, const double *c, const double *covariance);

/* Effective degrees of freedom by the Welch–Satterthwaite formula (G.4.1, eq. G.2b): u_c⁴ / Σ
 * (c_i u_i)⁴/ν_i. contributions are |c_i| u_i of independent inputs; INFINITY for ν_i known
 * exactly. INFINITY when nothing with finite degrees of freedom contributes. */
double poise_effective_dof(size_t n, const double *contributions, const double *dof);

#endif
