/* Mean, standard deviation and intervals of many values. */
#ifndef POISE_DOUBT_SAMPLES_H
#define POISE_DOUBT_SAMPLES_H

#include <stddef.h>

#include "poise/doubt.h"

/* Running moments of the finite values among those seen. */
typedef struct PoiseTally {
    size_t count;
    double mean, squares; /* squares: Σ (x − mean)² */
    double least, most;   /* +∞, −∞ when there are none */
} PoiseTally;

PoiseTally poise_tally_of(const double *values, size_t n);
/* The tally of both together. The digits depend on the order of joining, so join in a fixed one. */
PoiseTally poise_tally_join(const PoiseTally *a, const PoiseTally *b);
/* √(Σ (x − mean)²/(n − 1)); NAN for fewer than two values. */
double poise_tally_u(const PoiseTally *tally);

/* The value of rank `rank` (1 is the smallest) among the finite ones of values, whose tally is
 * given; exact. work   n doubles of scratch memory. */
double poise_ranked(const double *values, size_t n, const PoiseTally *tally, size_t rank,
                    double *work);

/* Ranks of the ends of the probabilistically symmetric interval that covers the fraction p of count
 * values (JCGM 101:2008, 7.7.2). */
void poise_symmetric_ranks(size_t count, double p, size_t *low, size_t *high);

/* All of it at once. POISE_E_MEMORY. */
PoiseStatus poise_sampled(const double *values, size_t n, const PoiseTally *tally,
                          PoiseSampled *out);

/* The shortest interval that covers the fraction p of n finite values (JCGM 101:2008, 7.7.2 note
 * 2); sorts them. NAN both for fewer than two. */
PoiseInterval poise_shortest_interval(double *values, size_t n, double p);

#endif
