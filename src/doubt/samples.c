#include "doubt/samples.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

static const double COVERAGE = 0.95;
/* Values up to this many are sorted; more are first sifted into as many bins. */
enum { BINS = 4096 };

PoiseTally poise_tally_of(const double *values, size_t n)
{
    PoiseTally t = {.least = (double)INFINITY, .most = -(double)INFINITY};
    double sum = 0.0;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(values[i]))
            continue;
        t.count++;
        sum += values[i];
        t.least = fmin(t.least, values[i]);
        t.most = fmax(t.most, values[i]);
    }
    if (t.count == 0)
        return t;
    t.mean = sum / (double)t.count;
    double off = 0.0;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(values[i]))
            continue;
        double d = values[i] - t.mean;
        off += d;
        t.squares += d * d;
    }
    /* What the first pass lost to rounding. */
    off /= (double)t.count;
    t.mean += off;
    t.squares = fmax(t.squares - off * off * (double)t.count, 0.0);
    return t;
}

PoiseTally poise_tally_join(const PoiseTally *a, const PoiseTally *b)
{
    if (a->count == 0 || b->count == 0)
        return a->count == 0 ? *b : *a;
    double na = (double)a->count, nb = (double)b->count, n = na + nb, d = b->mean - a->mean;
    return (PoiseTally){.count = a->count + b->count,
                        .mean = a->mean + d * (nb / n),
                        .squares = a->squares + b->squares + d * d * (na * nb / n),
                        .least = fmin(a->least, b->least),
                        .most = fmax(a->most, b->most)};
}

double poise_tally_u(const PoiseTally *t)
{
    return t->count < 2 ? (double)NAN : sqrt(t->squares / (double)(t->count - 1));
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Rises with x, so that equal and larger values never land in a lower bin. */
static size_t bin_of(double x, double least, double scale)
{
    double bin = (x - least) * scale;
    return bin < BINS - 1 ? (size_t)bin : BINS - 1;
}

double poise_ranked(const double *values, size_t n, const PoiseTally *tally, size_t rank,
                    double *work)
{
    double least = tally->least, most = tally->most;
    const double *from = values;
    while (n > BINS) {
        double scale = BINS / (most - least);
        if (!(most > least) || !isfinite(scale))
            return least; /* all alike, or as near as numbers get */
        size_t counts[BINS] = {0}, before = 0, bin = 0, kept = 0;
        for (size_t i = 0; i < n; i++)
            if (isfinite(from[i]))
                counts[bin_of(from[i], least, scale)]++;
        while (before + counts[bin] < rank)
            before += counts[bin++];
        double low = (double)INFINITY, high = -(double)INFINITY, origin = least;
        for (size_t i = 0; i < n; i++) {
            double x = from[i];
            if (!isfinite(x) || bin_of(x, origin, scale) != bin)
                continue;
            work[kept++] = x;
            low = fmin(low, x);
            high = fmax(high, x);
        }
        from = work;
        n = kept;
        rank -= before;
        least = low;
        most = high;
    }
    size_t kept = 0;
    for (size_t i = 0; i < n; i++)
        if (isfinite(from[i]))
            work[kept++] = from[i];
    qsort(work, kept, sizeof *work, by_size);
    return work[rank - 1];
}

void poise_symmetric_ranks(size_t count, double p, size_t *low, size_t *high)
{
    size_t q = (size_t)floor(p * (double)count + 0.5);
    if (q >= count)
        q = count - 1;
    size_t r = (count - q + 1) / 2; /* (M − q)/2, rounded up when it is not whole */
    *low = r > 0 ? r : 1;
    *high = *low + q <= count ? *low + q : count;
}

PoiseStatus poise_sampled(const double *values, size_t n, const PoiseTally *tally,
                          PoiseSampled *out)
{
    double no = (double)NAN;
    *out = (PoiseSampled){.count = tally->count, .mean = no, .u = no, .interval_95 = {no, no}};
    if (tally->count < 2)
        return POISE_OK;
    double *work = poise_alloc_zero(n, sizeof *work);
    if (!work)
        return POISE_E_MEMORY;
    size_t low, high;
    poise_symmetric_ranks(tally->count, COVERAGE, &low, &high);
    out->mean = tally->mean;
    out->u = poise_tally_u(tally);
    out->interval_95.lo = poise_ranked(values, n, tally, low, work);
    out->interval_95.hi = poise_ranked(values, n, tally, high, work);
    poise_release(work);
    return POISE_OK;
}

PoiseInterval poise_shortest_interval(double *values, size_t n, double p)
{
    PoiseInterval best = {(double)NAN, (double)NAN};
    if (n < 2)
        return best;
    qsort(values, n, sizeof *values, by_size);
    size_t q = (size_t)floor(p * (double)n + 0.5);
    if (q >= n)
        q = n - 1;
    for (size_t r = 0; r + q < n; r++)
        if (isnan(best.lo) || values[r + q] - values[r] < best.hi - best.lo)
            best = (PoiseInterval){values[r], values[r + q]};
    return best;
}
