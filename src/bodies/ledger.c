#include "bodies/ledger.h"

#include <math.h>

#include "base/memory.h"
#include "base/sum.h"
#include "base/vec.h"

/* Variances as they grow. Every source adds (∂f/∂x u)², taken together over all items it is common
 * to. */
typedef struct Variances {
    PoiseSum mass, centre[3][3];
} Variances;

/* One source shared by several items: its effect on the mass and, per unit of 1/M, on the centre.
 */
typedef struct Source {
    PoiseSum mass, moment[3];
} Source;

static void source_add(Source *source, const PoiseItemBody *item, double u_g,
                       const double centre_mm[3])
{
    poise_sum_add(&source->mass, u_g);
    for (int i = 0; i < 3; i++)
        poise_sum_add(&source->moment[i], u_g * (item->body.centre_mm[i] - centre_mm[i]));
}

static void take_source(Variances *v, const Source *source, double total_g)
{
    double mass = poise_sum_value(&source->mass), shift[3];
    for (int i = 0; i < 3; i++)
        shift[i] = poise_sum_value(&source->moment[i]) / total_g;
    poise_sum_add(&v->mass, mass * mass);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            poise_sum_add(&v->centre[i][j], shift[i] * shift[j]);
}

/* The density of entry i's material, with every later entry of the same; nothing when an earlier
 * one took it along already. */
static void take_density(Variances *v, const PoiseLedgerEntry *entries, size_t n, size_t i,
                         const PoiseBody *total)
{
    const PoiseMaterial *material = entries[i].material;
    Source source = {0};
    for (size_t j = 0; material && j < i; j++)
        if (entries[j].material == material)
            return;
    source_add(&source, entries[i].body, entries[i].body->doubt.density_u_g, total->centre_mm);
    for (size_t j = i + 1; material && j < n; j++)
        if (entries[j].material == material)
            source_add(&source, entries[j].body, entries[j].body->doubt.density_u_g,
                       total->centre_mm);
    take_source(v, &source, total->mass_g);
}

static void take_flow(Variances *v, const PoiseLedgerEntry *entries, size_t n,
                      const PoiseBody *total)
{
    Source shared = {0};
    for (size_t i = 0; i < n; i++) {
        Source alone = {0};
        source_add(entries[i].printed ? &shared : &alone, entries[i].body,
                   entries[i].body->doubt.flow_u_g, total->centre_mm);
        take_source(v, &alone, total->mass_g);
    }
    take_source(v, &shared, total->mass_g);
}

static void take_own_and_place(Variances *v, const PoiseItemBody *item, const PoiseBody *total)
{
    Source own = {0};
    source_add(&own, item, item->doubt.own_u_g, total->centre_mm);
    take_source(v, &own, total->mass_g);
    for (int i = 0; i < 3; i++) {
        double shift = item->body.mass_g / total->mass_g * item->doubt.place_u_mm[i];
        poise_sum_add(&v->centre[i][i], shift * shift);
    }
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
    Variances v = {0};
    for (size_t i = 0; i < n; i++) {
        take_density(&v, entries, n, i, &out->total);
        take_own_and_place(&v, entries[i].body, &out->total);
    }
    take_flow(&v, entries, n, &out->total);
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
