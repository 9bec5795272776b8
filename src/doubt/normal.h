/* The normal distribution and Student's t. */
#ifndef POISE_DOUBT_NORMAL_H
#define POISE_DOUBT_NORMAL_H

/* Coverage factor of a 95 % interval of a normal distribution (JCGM 100:2008, table G.1: 1.960). */
#define POISE_K_95 1.959963984540054

/* P(X ≤ x) of a normal distribution; with u = 0 a step at the mean, which counts as not below. */
double poise_normal_below(double x, double mean, double u);

/* The standard normal deviate z with P(Z ≤ z) = p, 0 < p < 1, to about 1 part in 10¹⁶: M. J.
 * Wichura, "Algorithm AS 241: the percentage points of the normal distribution", Applied Statistics
 * 37 (1988) 477–484, PPND16. ∓∞ at 0 and 1, NAN outside. */
double poise_normal_deviate(double p);

/* The coverage factor k with P(−k ≤ T ≤ k) = p for Student's t with `dof` degrees of freedom (any
 * real above 0; INFINITY is the normal distribution); NAN unless 0 < p < 1. */
double poise_student_k(double p, double dof);

#endif
