/* Probability distributions of inputs (JCGM 101:2008, clause 6.4). */
#ifndef POISE_DOUBT_DISTRIBUTION_H
#define POISE_DOUBT_DISTRIBUTION_H

typedef enum PoiseDistributionKind {
    POISE_SPREAD_NORMAL,      /* known by its standard uncertainty */
    POISE_SPREAD_RECTANGULAR, /* anywhere within ± the half-width alike */
    POISE_SPREAD_TRIANGULAR,
    POISE_SPREAD_U_SHAPED /* arcsine: a quantity that cycles like a sine */
} PoiseDistributionKind;

/* A distribution about its middle. */
typedef struct PoiseDistribution {
    PoiseDistributionKind kind;
    double middle;
    double width; /* normal: the standard deviation; else the half-width */
} PoiseDistribution;

/* Standard uncertainty: a/√3, a/√6, a/√2 of a half-width a (JCGM 100:2008, 4.3.7 and 4.3.9; JCGM
 * 101:2008, 6.4). */
double poise_distribution_u(const PoiseDistribution *distribution);
/* The value below which lies the probability p, 0 < p < 1. */
double poise_distribution_at(const PoiseDistribution *distribution, double p);

/* A normal distribution cut off below `least`: how a quantity that cannot be negative is drawn. The
 * mean and standard deviation are those before the cut. */
typedef struct PoiseCutNormal {
    double mean, u;
    double below, rest; /* probability cut off, and what is left */
} PoiseCutNormal;
/* `least` may be −INFINITY. */
PoiseCutNormal poise_cut_normal(double mean, double u, double least);
/* The value at probability p of what is left, 0 < p < 1. */
double poise_cut_normal_at(const PoiseCutNormal *cut, double p);

#endif
