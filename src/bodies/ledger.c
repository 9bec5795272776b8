#include "bodies/ledger.h"

#include <math.h>

#include "base/memory.h"
#include "base/sum.h"
#include "base/vec.h"

/* Variances as they grow: every source adds (∂f/∂x u)². */
typedef struct Variances {
    PoiseSum mass, centre[3][3];
} Variances;

static void take_source(Variances *v, const PoiseSource *source, double total_g)
{
    double shift[3];
    for (int i = 0; i < 3; i++)
        shift[i] = source->moment_gmm[i] / total_g;
    poise_sum_add(&v->mass, source->mass_g * source->mass_g);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            poise_sum_add(&v->centre[i][j], shift[i] * shift[j]);
}

static PoiseStatus sum_bodies(const PoiseLedgerEntry *entries, size_t n, PoiseBody *total)
{
    PoiseBody *bodies = poise_alloc_zero(n, sizeof *bodies);
    if (!bodies)
        return POISE_E_MEMORY;
    for (size_t i = 0; i < n; i++)
        bodies[i] = entries[i].body->body;
    *total = poise_body_sum(bodies, n);
    poise_release(bodies);
    return POISE_OK;
}

PoiseStatus poise_ledger(const PoiseLedgerEntry *entries, size_t n, PoiseLedger *out)
{
    *out = (PoiseLedger){0};
    PoiseStatus status = sum_bodies(entries, n, &out->total);
    if (status)
        return status;
    PoiseSources sources;
    status = poise_sources(entries, n, out->total.centre_mm, &sources);
    if (status)
        return status;
    Variances v = {0};
    for (size_t i = 0; i < sources.count; i++)
        take_source(&v, &sources.list[i], out->total.mass_g);
    poise_sources_free(&sources);
    bool weighs = out->total.mass_g > 0.0;
    out->mass_u_g = sqrt(poise_sum_value(&v.mass));
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++)
            out->centre_covariance_mm2[i][j] = weighs ? poise_sum_value(&v.centre[i][j]) : NAN;
        out->centre_u_mm[i] = sqrt(out->centre_covariance_mm2[i][i]);
        if (!weighs)
            out->total.centre_mm[i] = NAN;
    }
    return weighs ? POISE_OK : POISE_E_DOMAIN;
}

double poise_ledger_station_u(const PoiseLedger *ledger, const double direction[3])
{
    double along[3];
    for (int i = 0; i < 3; i++)
        along[i] = poise_dot(ledger->centre_covariance_mm2[i], direction);
    double variance = poise_dot(along, direction);
    /* Round-off may leave a direction without doubt a hair below 0. */
    return variance < 0.0 ? 0.0 : sqrt(variance);
}
