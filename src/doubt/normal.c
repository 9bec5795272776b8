#include "doubt/normal.h"

#include <math.h>

#include "statics/root.h"

/* Coefficients of AS 241's three ratios of polynomials, highest power first. */
enum { DEGREE = 7 };
static const double A[DEGREE + 1] = {2.5090809287301226727e+3, 3.3430575583588128105e+4,
                                     6.7265770927008700853e+4, 4.5921953931549871457e+4,
                                     1.3731693765509461125e+4, 1.9715909503065514427e+3,
                                     1.3314166789178437745e+2, 3.3871328727963666080};
static const double B[DEGREE + 1] = {5.2264952788528545610e+3, 2.8729085735721942674e+4,
                                     3.9307895800092710610e+4, 2.1213794301586595867e+4,
                                     5.3941960214247511077e+3, 6.8718700749205790830e+2,
                                     4.2313330701600911252e+1, 1.0};
static const double C[DEGREE + 1] = {7.74545014278341407640e-4, 2.27238449892691845833e-2,
                                     2.41780725177450611770e-1, 1.27045825245236838258,
                                     3.64784832476320460504,    5.76949722146069140550,
                                     4.63033784615654529590,    1.42343711074968357734};
static const double D[DEGREE + 1] = {1.05075007164441684324e-9, 5.47593808499534494600e-4,
                                     1.51986665636164571966e-2, 1.48103976427480074590e-1,
                                     6.89767334985100004550e-1, 1.67638483018380384940,
                                     2.05319162663775882187,    1.0};
static const double E[DEGREE + 1] = {2.01033439929228813265e-7, 2.71155556874348757815e-5,
                                     1.24266094738807843860e-3, 2.65321895265761230930e-2,
                                     2.96560571828504891230e-1, 1.78482653991729133580,
                                     5.46378491116411436990,    6.65790464350110377720};
static const double F[DEGREE + 1] = {2.04426310338993978564e-15, 1.42151175831644588870e-7,
                                     1.84631831751005468180e-5,  7.86869131145613259100e-4,
                                     1.48753612908506148525e-2,  1.36929880922735805310e-1,
                                     5.99832206555887937690e-1,  1.0};

static double polynomial(const double *coefficients, double r)
{
    double sum = coefficients[0];
    for (int i = 1; i <= DEGREE; i++)
        sum = sum * r + coefficients[i];
    return sum;
}

double poise_normal_below(double x, double mean, double u)
{
    if (isnan(x) || isnan(mean) || isnan(u))
        return (double)NAN;
    if (!(u > 0.0))
        return mean < x ? 1.0 : 0.0;
    return 0.5 * erfc((mean - x) / (u * sqrt(2.0)));
}

/* The outer 2 × 7.5 %. */
static double tail_deviate(double p, double q)
{
    double smaller = q < 0.0 ? p : 1.0 - p;
    if (!(smaller > 0.0))
        return smaller < 0.0 ? (double)NAN : copysign((double)INFINITY, q);
    double r = sqrt(-log(smaller));
    double z = r <= 5.0 ? polynomial(C, r - 1.6) / polynomial(D, r - 1.6)
                        : polynomial(E, r - 5.0) / polynomial(F, r - 5.0);
    return q < 0.0 ? -z : z;
}

double poise_normal_deviate(double p)
{
    double q = p - 0.5;
    if (!(fabs(q) <= 0.425))
        return isnan(p) ? p : tail_deviate(p, q);
    double r = 0.180625 - q * q;
    return q * polynomial(A, r) / polynomial(B, r);
}

/* --- Student's t --- */

/* Past this many degrees of freedom t and normal agree to more digits than k is quoted with
 * (relative difference about 1/(4ν)·(k² + 1)). */
static const double NEARLY_NORMAL = 1e8;
/* The continued fraction below gains a digit every few terms; it has 16 long before this many. */
enum { MOST_TERMS = 500 };
static const double LAST_TERM = 1e-16;
static const double SMALLEST = 1e-300;

/* Lentz's method for the continued fraction of the incomplete beta function, DLMF 8.17.22 (from
 * memory): good for x < (a + 1)/(a + b + 2). */
static double beta_fraction(double a, double b, double x)
{
    double c = 1.0, d = 1.0 - (a + b) * x / (a + 1.0);
    d = 1.0 / (fabs(d) < SMALLEST ? SMALLEST : d);
    double f = d;
    for (int m = 1; m <= MOST_TERMS; m++) {
        double terms[2] = {m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
                           -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))};
        double change = 1.0;
        for (int i = 0; i < 2; i++) {
            d = 1.0 + terms[i] * d;
            c = 1.0 + terms[i] / c;
            d = 1.0 / (fabs(d) < SMALLEST ? SMALLEST : d);
            c = fabs(c) < SMALLEST ? SMALLEST : c;
            change = c * d;
            f *= change;
        }
        if (fabs(change - 1.0) < LAST_TERM)
            break;
    }
    return f;
}

/* lgamma() sets a global; arguments here are above 0, so its sign is not needed. */
static double log_gamma(double x)
{
    int sign;
    return lgamma_r(x, &sign);
}

/* I_x(a, b). */
static double incomplete_beta(double a, double b, double x)
{
    if (!(x > 0.0))
        return 0.0;
    if (!(x < 1.0))
        return 1.0;
    double front = exp(log_gamma(a + b) - log_gamma(a) - log_gamma(b) + a * log(x) + b * log1p(-x));
    if (x < (a + 1.0) / (a + b + 2.0))
        return front * beta_fraction(a, b, x) / a;
    return 1.0 - front * beta_fraction(b, a, 1.0 - x) / b;
}

typedef struct Coverage {
    double outside, dof;
} Coverage;

/* P(|T| > k) = I_x(ν/2, 1/2) with x = ν/(ν + k²). */
static double excess(double k, const void *context)
{
    const Coverage *c = context;
    return incomplete_beta(0.5 * c->dof, 0.5, c->dof / (c->dof + k * k)) - c->outside;
}

double poise_student_k(double p, double dof)
{
    /* Rounding of k that nobody quotes. */
    const double tolerance = 1e-12;
    if (!(p > 0.0 && p < 1.0) || !(dof > 0.0))
        return (double)NAN;
    double normal = poise_normal_deviate(0.5 + 0.5 * p);
    if (dof > NEARLY_NORMAL)
        return normal;
    Coverage c = {1.0 - p, dof};
    double low = 0.0, high = normal, at_low = excess(low, &c), at_high = excess(high, &c);
    while (at_high > 0.0 && isfinite(high)) { /* t spreads wider than the normal distribution */
        low = high;
        at_low = at_high;
        high *= 2.0;
        at_high = excess(high, &c);
    }
    if (!isfinite(high))
        return (double)NAN;
    return poise_root(excess, &c, low, at_low, high, at_high, tolerance * fmax(1.0, high));
}
