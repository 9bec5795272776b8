#include "tally/fit.h"

#include <math.h>

#include "base/memory.h"
#include "base/sum.h"

/* The two places where an item's row of H is not 0. */
typedef struct Row {
    size_t at[2];
    double c[2];
    int n;
} Row;

static Row row_of(const PoiseFitItem *item)
{
    Row row = {.n = 0};
    if (item->flow_share != 0.0) {
        row.at[row.n] = 0;
        row.c[row.n++] = item->flow_share;
    }
    if (item->density_share != 0.0 && item->material != POISE_FIT_NONE) {
        row.at[row.n] = 1 + item->material;
        row.c[row.n++] = item->density_share;
    }
    return row;
}

bool poise_fit_shares(const PoiseFitItem *item)
{
    return item->predicted_g > 0.0 && row_of(item).n > 0;
}

static bool takes_part(const PoiseFitItem *item)
{
    return item->weighed && poise_fit_shares(item);
}

/* u²(r): of the logarithm of a reading over its estimate. */
static double noise_of(const PoiseFitItem *item)
{
    double own = item->own_u_g / item->predicted_g, scale = item->scale_u_g / item->weighed_g;
    return own * own + scale * scale;
}

static double log_ratio(const PoiseFitItem *item)
{
    return log(item->weighed_g / item->predicted_g);
}

/* h · v */
static double dot(const Row *row, const double *v)
{
    double sum = 0.0;
    for (int i = 0; i < row->n; i++)
        sum += row->c[i] * v[row->at[i]];
    return sum;
}

/* out = P h */
static void times(const PoiseFit *fit, const Row *row, double *out)
{
    for (size_t i = 0; i < fit->count; i++)
        out[i] = dot(row, fit->covariance + i * fit->count);
}

/* a P bᵀ */
static double between(const PoiseFit *fit, const Row *a, const Row *b)
{
    double sum = 0.0;
    for (int i = 0; i < a->n; i++)
        sum += a->c[i] * dot(b, fit->covariance + a->at[i] * fit->count);
    return sum;
}

/* P takes in one reading: P − P h hᵀ P / (r² + h P hᵀ), which is (P⁻¹ + h hᵀ/r²)⁻¹ (Sherman and
 * Morrison). Starting from the priors' 1, this builds P exactly and keeps it symmetric. */
static void take_in(PoiseFit *fit, const Row *row, double noise, double *scratch)
{
    times(fit, row, scratch);
    double scale = 1.0 / (noise + dot(row, scratch));
    for (size_t i = 0; i < fit->count; i++)
        for (size_t j = 0; j < fit->count; j++)
            fit->covariance[i * fit->count + j] -= scale * scratch[i] * scratch[j];
}

/* x moves by the gain P h / (r² + h P hᵀ) times the reading's surprise; chi2 grows by that surprise
 * in its own uncertainty. */
static void learn(PoiseFit *fit, const PoiseFitItem *item, double *scratch)
{
    Row row = row_of(item);
    double noise = noise_of(item);
    times(fit, &row, scratch);
    double variance = noise + dot(&row, scratch), surprise = log_ratio(item) - dot(&row, fit->x);
    fit->chi2 += surprise * surprise / variance;
    for (size_t i = 0; i < fit->count; i++)
        fit->x[i] += scratch[i] * surprise / variance;
    take_in(fit, &row, noise, scratch);
}

PoiseStatus poise_fit(const PoiseFitItem *items, size_t n, size_t materials, PoiseFit *fit)
{
    *fit = (PoiseFit){.count = 1 + materials};
    fit->x = poise_alloc_zero(fit->count, sizeof *fit->x);
    fit->covariance = poise_alloc_zero(fit->count, fit->count * sizeof *fit->covariance);
    double *scratch = poise_alloc_zero(fit->count, sizeof *scratch);
    if (!fit->x || !fit->covariance || !scratch) {
        poise_release(scratch);
        poise_fit_free(fit);
        return POISE_E_MEMORY;
    }
    for (size_t i = 0; i < fit->count; i++)
        fit->covariance[i * fit->count + i] = 1.0;
    for (size_t i = 0; i < n; i++)
        if (takes_part(&items[i])) {
            learn(fit, &items[i], scratch);
            fit->weighed++;
        }
    fit->p_value = fit->weighed ? poise_chi2_above(fit->chi2, fit->weighed) : (double)NAN;
    poise_release(scratch);
    return POISE_OK;
}

void poise_fit_free(PoiseFit *fit)
{
    poise_release(fit->x);
    poise_release(fit->covariance);
    *fit = (PoiseFit){0};
}

static double positive(double variance)
{
    return variance > 0.0 ? variance : 0.0; /* rounding */
}

PoiseFitMass poise_fit_mass(const PoiseFit *fit, const PoiseFitItem *item)
{
    if (!poise_fit_shares(item))
        return (PoiseFitMass){item->predicted_g, item->own_u_g};
    Row row = row_of(item);
    double mass = item->predicted_g * exp(dot(&row, fit->x));
    double own = item->own_u_g / item->predicted_g;
    return (PoiseFitMass){mass, mass * sqrt(positive(between(fit, &row, &row)) + own * own)};
}

/* With e the reading's residual in the whole fit and l = h P hᵀ / r² its leverage, the residual
 * with it left out is e / (1 − l), and h P hᵀ becomes that over 1 − l (R. D. Cook and S. Weisberg,
 * "Residuals and Influence in Regression", 1982, section 2.2, from memory). */
PoiseFitMass poise_fit_left_out(const PoiseFit *fit, const PoiseFitItem *item)
{
    if (!takes_part(item))
        return poise_fit_mass(fit, item);
    Row row = row_of(item);
    double noise = noise_of(item), shared = positive(between(fit, &row, &row));
    double rest = 1.0 - shared / noise;
    double residual = (log_ratio(item) - dot(&row, fit->x)) / rest;
    double mass = item->weighed_g * exp(-residual), own = item->own_u_g / item->predicted_g;
    return (PoiseFitMass){mass, mass * sqrt(shared / rest + own * own)};
}

void poise_fit_combine(const PoiseFit *fit, double flow, double density, size_t material,
                       double *value, double *variance)
{
    PoiseFitItem item = {.flow_share = flow, .density_share = density, .material = material};
    Row row = row_of(&item);
    *value = dot(&row, fit->x);
    *variance = positive(between(fit, &row, &row));
}

double poise_fit_correlation(const PoiseFit *fit, size_t i, size_t j)
{
    const double *p = fit->covariance;
    size_t n = fit->count;
    return p[i * n + j] / sqrt(p[i * n + i] * p[j * n + j]);
}

/* The total's gradient by x, and the parts of its variance that are not the fit's. */
typedef struct Total {
    double mass_g, other;
} Total;

static Total add_up(const PoiseFit *fit, const PoiseFitItem *items, size_t n, size_t next,
                    double scale_u_g, double *gradient)
{
    PoiseSum mass = {0}, other = {0};
    for (size_t i = 0; i < fit->count; i++)
        gradient[i] = 0.0;
    for (size_t i = 0; i < n; i++) {
        const PoiseFitItem *item = &items[i];
        if (item->weighed || i == next) {
            double u = i == next ? scale_u_g : item->scale_u_g;
            poise_sum_add(&mass, i == next ? poise_fit_mass(fit, item).mass_g : item->weighed_g);
            poise_sum_add(&other, u * u);
            continue;
        }
        double m = poise_fit_mass(fit, item).mass_g, own = item->own_u_g;
        if (poise_fit_shares(item)) {
            Row row = row_of(item);
            own *= m / item->predicted_g;
            for (int k = 0; k < row.n; k++)
                gradient[row.at[k]] += m * row.c[k];
        }
        poise_sum_add(&mass, m);
        poise_sum_add(&other, own * own);
    }
    return (Total){poise_sum_value(&mass), poise_sum_value(&other)};
}

/* g P gᵀ and, for each reading, 2 u(s)² ∂T/∂W of the fit's part: ∂x/∂W = P h / (r² W). */
static double variance_by_fit(const PoiseFit *fit, const PoiseFitItem *items, size_t n,
                              const double *gradient)
{
    PoiseSum sum = {0};
    for (size_t i = 0; i < fit->count; i++)
        for (size_t j = 0; j < fit->count; j++)
            poise_sum_add(&sum, gradient[i] * fit->covariance[i * fit->count + j] * gradient[j]);
    for (size_t i = 0; i < n; i++) {
        const PoiseFitItem *item = &items[i];
        if (!takes_part(item))
            continue;
        Row row = row_of(item);
        double along = 0.0;
        for (size_t j = 0; j < fit->count; j++)
            along += gradient[j] * dot(&row, fit->covariance + j * fit->count);
        double u = item->scale_u_g;
        poise_sum_add(&sum, 2.0 * u * u * along / (noise_of(item) * item->weighed_g));
    }
    return positive(poise_sum_value(&sum));
}

/* The total as it would be with `next` weighed too (POISE_FIT_NONE: as it is). */
static PoiseStatus total_with(const PoiseFit *fit, const PoiseFitItem *items, size_t n, size_t next,
                              double scale_u_g, PoiseFitMass *out)
{
    double *gradient = poise_alloc_zero(fit->count, sizeof *gradient);
    if (!gradient)
        return POISE_E_MEMORY;
    Total total = add_up(fit, items, n, next, scale_u_g, gradient);
    double variance = total.other + variance_by_fit(fit, items, n, gradient);
    poise_release(gradient);
    *out = (PoiseFitMass){total.mass_g, sqrt(variance)};
    return POISE_OK;
}

PoiseStatus poise_fit_total(const PoiseFit *fit, const PoiseFitItem *items, size_t n,
                            PoiseFitMass *total)
{
    return total_with(fit, items, n, POISE_FIT_NONE, 0.0, total);
}

/* The fit after a reading that says just what was expected; x stays. */
static PoiseStatus fit_after(const PoiseFit *fit, const PoiseFitItem *item, double scale_u_g,
                             PoiseFit *after)
{
    size_t size = fit->count * fit->count;
    double *scratch = poise_alloc_zero(fit->count, sizeof *scratch);
    *after = *fit;
    after->covariance = poise_alloc_zero(size, sizeof *after->covariance);
    bool room = scratch && after->covariance;
    for (size_t i = 0; room && i < size; i++)
        after->covariance[i] = fit->covariance[i];
    if (room && poise_fit_shares(item)) {
        PoiseFitItem weighed = *item;
        Row row = row_of(item);
        weighed.weighed_g = poise_fit_mass(fit, item).mass_g;
        weighed.scale_u_g = scale_u_g;
        take_in(after, &row, noise_of(&weighed), scratch);
    }
    poise_release(scratch);
    if (room)
        return POISE_OK;
    poise_release(after->covariance);
    return POISE_E_MEMORY;
}

PoiseStatus poise_fit_total_u_after(const PoiseFit *fit, const PoiseFitItem *items, size_t n,
                                    size_t next, double scale_u_g, double *u_g)
{
    PoiseFit after;
    PoiseFitMass total = {(double)NAN, (double)NAN};
    PoiseStatus status = fit_after(fit, &items[next], scale_u_g, &after);
    if (status)
        return status;
    status = total_with(&after, items, n, next, scale_u_g, &total);
    poise_release(after.covariance);
    *u_g = total.u_g;
    return status;
}
