/* Bracketed roots. */
#ifndef POISE_STATICS_ROOT_H
#define POISE_STATICS_ROOT_H

typedef double (*PoiseFunction)(double x, const void *context);

/* A root of f in [a, b], where fa = f(a) and fb = f(b) have opposite signs or one is 0 (the
 * caller's promise), to within ±tolerance in x. ITP: never more than one evaluation above
 * bisection, superlinear on smooth functions. I. F. D. Oliveira and R. H. C. Takahashi, "An
 * Enhancement of the Bisection Method Average Performance Preserving Minmax Optimality", ACM TOMS
 * 47(1), 2020 (from memory). */
double poise_root(PoiseFunction f, const void *context, double a, double fa, double b, double fb,
                  double tolerance);

#endif
