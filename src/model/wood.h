/* Density of wood from specific gravity and moisture content. */
#ifndef POISE_MODEL_WOOD_H
#define POISE_MODEL_WOOD_H

/* Fibre saturation point, percent moisture content: Wood Handbook (FPL-GTR-282) ch. 4 takes 30 %.
 */
#define POISE_FIBRE_SATURATION_PERCENT 30.0

/* Density in g/cm³ of wood at moisture content x percent, G_x being ovendry mass / volume at x.
 * Wood Handbook ch. 4 eq. (4-12): ρ = 1000 G_x (1 + x/100) kg/m³. */
double poise_wood_density_g_cm3(double gravity_at_mc, double moisture_percent);

/* Specific gravity at moisture content x from the basic (green-volume) specific gravity.
 * Wood Handbook ch. 4 eq. (4-11): G_x = G_b / [1 − 0.265 G_b (1 − x/MC_fs)]; G_b at and above
 * MC_fs. */
double poise_wood_gravity_at(double basic_gravity, double moisture_percent);

/* The basic gravity that eq. (4-11) turns into gravity_at_mc: its exact inverse. */
double poise_wood_basic_gravity(double gravity_at_mc, double moisture_percent);

#endif
