#include "doubt/distribution.h"

#include <math.h>

#include "doubt/normal.h"

static const double PI = 3.14159265358979323846;

double poise_distribution_u(const PoiseDistribution *d)
{
    switch (d->kind) {
    case POISE_SPREAD_NORMAL:
        break;
    case POISE_SPREAD_RECTANGULAR:
        return d->width / sqrt(3.0);
    case POISE_SPREAD_TRIANGULAR:
        return d->width / sqrt(6.0);
    case POISE_SPREAD_U_SHAPED:
        return d->width / sqrt(2.0);
    }
    return d->width;
}

/* Of half-width 1 about 0, or of standard deviation 1. */
static double standard_at(PoiseDistributionKind kind, double p)
{
    switch (kind) {
    case POISE_SPREAD_NORMAL:
        break;
    case POISE_SPREAD_RECTANGULAR:
        return 2.0 * p - 1.0;
    case POISE_SPREAD_TRIANGULAR:
        return p < 0.5 ? sqrt(2.0 * p) - 1.0 : 1.0 - sqrt(2.0 * (1.0 - p));
    case POISE_SPREAD_U_SHAPED:
        return -cos(PI * p);
    }
    return poise_normal_deviate(p);
}

double poise_distribution_at(const PoiseDistribution *d, double p)
{
    return d->middle + d->width * standard_at(d->kind, p);
}

PoiseCutNormal poise_cut_normal(double mean, double u, double least)
{
    double below = u > 0.0 ? poise_normal_below(least, mean, u) : 0.0;
    return (PoiseCutNormal){mean, u, below, 1.0 - below};
}

double poise_cut_normal_at(const PoiseCutNormal *cut, double p)
{
    if (!(cut->u > 0.0))
        return cut->mean;
    return cut->mean + cut->u * poise_normal_deviate(cut->below + cut->rest * p);
}
