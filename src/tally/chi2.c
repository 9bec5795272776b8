#include <math.h>

#include "tally/fit.h"

/* Enough terms for any n and χ² that occur: both expansions gain a digit in a few terms once past
 * √n of them. */
enum { MOST_TERMS = 100000 };
static const double ENOUGH = 1e-16; /* of the result: what a double holds */

/* P(a, x) = x^a e^−x / Γ(a + 1) · Σ x^k / ((a + 1)…(a + k)) (6.5.29). */
static double lower_by_series(double a, double x)
{
    double term = 1.0, sum = 1.0;
    for (int k = 1; k < MOST_TERMS && term > ENOUGH * sum; k++) {
        term *= x / (a + k);
        sum += term;
    }
    return sum * exp(a * log(x) - x - lgamma(a + 1.0));
}

/* Q(a, x) = x^a e^−x / Γ(a) · 1/(x + 1 − a − 1(1 − a)/(x + 3 − a − …)) (6.5.31, its even part), by
 * Lentz's method. */
static double upper_by_fraction(double a, double x)
{
    const double tiny = 1e-300;
    double b = x + 1.0 - a, c = 1.0 / tiny, d = 1.0 / b, product = d;
    for (int k = 1; k < MOST_TERMS; k++) {
        double numerator = -k * (k - a);
        b += 2.0;
        d = numerator * d + b;
        c = b + numerator / c;
        d = 1.0 / (fabs(d) < tiny ? tiny : d);
        c = fabs(c) < tiny ? tiny : c;
        product *= d * c;
        if (fabs(d * c - 1.0) < ENOUGH * 10.0)
            break;
    }
    return product * exp(a * log(x) - x - lgamma(a));
}

double poise_chi2_above(double chi2, size_t n)
{
    double a = 0.5 * (double)n, x = 0.5 * chi2;
    if (!(x > 0.0))
        return x <= 0.0 ? 1.0 : (double)NAN;
    return x < a + 1.0 ? 1.0 - lower_by_series(a, x) : upper_by_fraction(a, x);
}
