/* What weighed items teach about those that are not weighed, by way of what they have in common:
 * the printer's flow and the densities of materials. Plain numbers, no instrument.
 *
 * Model. Item i weighs  M_i = p_i exp(a_i x_0 + b_i x_m(i)) (1 + e_i),  p_i the estimate, x_0 the
 * flow and x_m the density of its material, each in units of its own prior standard uncertainty and
 * 0 where the file puts it; a_i and b_i are the relative uncertainties that flow and density give
 * the estimate; e_i is what is the item's alone. A scale shows W_i = M_i + s_i. In logarithms this
 * is linear:
 *
 *     y_i = ln(W_i/p_i) = h_i · x + r_i,     x ~ N(0, 1),   u²(r_i) = (own_i/p_i)² + (u_i/W_i)²
 *
 * and least squares with the priors as observations of their own (C. D. Rodgers, "Inverse Methods
 * for Atmospheric Sounding", World Scientific 2000, eq. 2.30; A. Gelman et al., "Bayesian Data
 * Analysis", 3rd ed., section 14.8; both from memory) gives
 *
 *     P = (1 + Hᵀ R⁻¹ H)⁻¹,     x = P Hᵀ R⁻¹ y.
 *
 * Masses alone tell the product of flow and density, not either: that product's ± shrinks with
 * every section weighed, while what splits it is the priors, and P says so by a strong negative
 * correlation. A weighed solid piece of the same material has no flow in it and tells them apart.
 * (The logarithm of a reading that is off by a share e is off by e²/2 more: 1e-4 at e = 1.5 %.) */
#ifndef POISE_TALLY_FIT_H
#define POISE_TALLY_FIT_H

#include <stdbool.h>
#include <stddef.h>

#include "poise/status.h"

#define POISE_FIT_NONE ((size_t)-1)

typedef struct PoiseFitItem {
    double predicted_g;   /* the estimate, > 0 where the item is to take part */
    double flow_share;    /* a */
    double density_share; /* b */
    size_t material;      /* index, or POISE_FIT_NONE */
    double own_u_g;       /* what is this item's alone */
    bool weighed;
    double weighed_g, scale_u_g; /* > 0 */
} PoiseFitItem;

typedef struct PoiseFit {
    size_t count;       /* of x: 1 + the number of materials; x_0 is the flow */
    double *x;          /* count */
    double *covariance; /* count × count, P */
    size_t weighed;     /* items that take part */
    double chi2; /* yᵀ (R + H Hᵀ)⁻¹ y: of the readings against the file's estimates and ± */
    double p_value; /* chance of as much or more by chance; NAN when nothing takes part */
} PoiseFit;

/* POISE_OK or POISE_E_MEMORY. Free with poise_fit_free(). */
PoiseStatus poise_fit(const PoiseFitItem *items, size_t n, size_t materials, PoiseFit *fit);
void poise_fit_free(PoiseFit *fit);

/* Does the item share a doubt that others can teach about? */
bool poise_fit_shares(const PoiseFitItem *item);

/* A mass and one standard uncertainty. */
typedef struct PoiseFitMass {
    double mass_g, u_g;
} PoiseFitMass;

/* What an item weighs by the fit, its own doubt included: p exp(h · x), u² = M² (h P hᵀ + own²/p²).
 * For a weighed item this is not its reading. */
PoiseFitMass poise_fit_mass(const PoiseFit *fit, const PoiseFitItem *item);
/* What the other weighed items say of a weighed one (the fit with its reading left out). */
PoiseFitMass poise_fit_left_out(const PoiseFit *fit, const PoiseFitItem *item);

/* A linear combination of x: (value, variance) of c_0 x_0 + c_m x_m. m may be POISE_FIT_NONE. */
void poise_fit_combine(const PoiseFit *fit, double flow, double density, size_t material,
                       double *value, double *variance);
double poise_fit_correlation(const PoiseFit *fit, size_t i, size_t j);

/* All items together, weighed ones by their readings, the others by the fit. The scale's error in a
 * reading is in the fit as well: that covariance is counted. POISE_OK or POISE_E_MEMORY. */
PoiseStatus poise_fit_total(const PoiseFit *fit, const PoiseFitItem *items, size_t n,
                            PoiseFitMass *total);
/* The total's standard uncertainty once item `next` is weighed too, with this scale. It does not
 * depend on what the scale will say. POISE_OK or POISE_E_MEMORY. */
PoiseStatus poise_fit_total_u_after(const PoiseFit *fit, const PoiseFitItem *items, size_t n,
                                    size_t next, double scale_u_g, double *u_g);

/* P(χ²_n ≥ chi2): the upper tail of the chi-square distribution, Q(n/2, χ²/2) by the series or the
 * continued fraction of the incomplete gamma function (M. Abramowitz and I. A. Stegun, "Handbook of
 * Mathematical Functions", 6.5.29 and 6.5.31, from memory). */
double poise_chi2_above(double chi2, size_t n);

#endif
