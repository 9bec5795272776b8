/* Uncertainties that every kind of item handles alike. All are one standard uncertainty (JCGM 100).
 */
#ifndef POISE_BODIES_DOUBT_H
#define POISE_BODIES_DOUBT_H

#include "bodies/item_body.h"

/* How well the place of a bought or hand-placed part is known along each axis, mm: a rule laid on a
 * body and the middle of a part judged by eye. Common practice, no source. Meshes and outlines are
 * in the drawing's own coordinates and take 0. Told to the reader in the manual, in the schema
 * ("at") and where a place leads the budget. */
#define POISE_PLACE_U_MM 1.0

/* How well a pocket is filled to what is drawn of it, as a share of its resin: level by eye, a
 * meniscus, bubbles, a drop over the rim. It is each pour's own: no weighing of another one tells
 * it. Common practice, no source. A volume that states its ± takes that instead. Told to the reader
 * in the manual. */
#define POISE_POUR_U_SHARE 0.01

/* Half-width of a rectangular distribution to its standard uncertainty: a/√3 (JCGM 100, 4.3.7). */
#define POISE_RECTANGULAR 0.57735026918962576451

/* What a mass owes to its material's density: m = ρV, so u(m) = m u(ρ)/ρ (JCGM 100, 5.1.2). 0
 * without a material. */
double poise_density_doubt_g(const PoiseMaterial *material, double mass_g);

/* The sources of one item together; within one item they are independent (JCGM 100, 5.1.2). */
double poise_doubt_mass_u_g(const PoiseItemDoubt *doubt);

/* The same doubt of `count` like pieces: what is wrong with one is wrong with all, so each source
 * grows with the count (JCGM 100, 5.2.2, r = 1). */
void poise_doubt_times(PoiseItemDoubt *doubt, int count);

/* Standard uncertainties along turned axes: u_i² = Σ_j R_ij² u_j² for independent u_j. */
void poise_doubt_turn(PoiseItemDoubt *doubt, double rotation[3][3]);

#endif
