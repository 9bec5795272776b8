/* What one trial is about: a mass, a centre, and the way it is hung, drawn together. */
#ifndef POISE_DOUBT_TRIAL_DRAW_H
#define POISE_DOUBT_TRIAL_DRAW_H

#include "doubt/budget.h"
#include "doubt/distribution.h"

/* The joint distribution. The mass M and the moment S = Σ m (r − C) about the estimated centre are
 * sums of many independent sources: their three plane components are drawn at once from the normal
 * distribution with the sources' covariance, instead of item by item, and the centre is C + S/M. M
 * is exactly normal when its sources are. S has, beside its normal part, the products of an item's
 * mass error and its place error; their variance is counted in, their shape taken as normal. */
typedef struct PoiseDrawing {
    uint64_t seed;
    double mass_g;
    PoisePoint centre;
    double root[3][3]; /* lower triangle: the Cholesky root of the covariance of M, S_x, S_y */
    PoiseCutNormal friction, length, angle, arm;
    bool only_mass; /* the last three do not vary */
} PoiseDrawing;

typedef struct PoiseDraw {
    double mass_g;
    PoisePoint centre; /* NAN both when the mass drawn is not above 0 */
    double friction, length_mm, angle_deg, arm_g;
} PoiseDraw;

void poise_drawing(const PoiseDoubtProblem *problem, uint64_t seed, PoiseDrawing *out);
/* Trial number `trial`: a function of it and the seed alone. */
void poise_draw(const PoiseDrawing *drawing, uint64_t trial, PoiseDraw *out);

/* L with L Lᵀ = a for a symmetric matrix that is positive semidefinite to within round-off. A
 * direction without variance gets a column of 0. */
void poise_cholesky3(double a[3][3], double root[3][3]);

#endif
