/* Mass per length of strings. */
#ifndef POISE_BODIES_STRING_MODEL_H
#define POISE_BODIES_STRING_MODEL_H

/* Core diameter of a wound string as a fraction of its gauge, and how far it is off one standard
 * uncertainty up or down: about 0.5 on thin wound strings, 0.4 on thick ones, 0.25 on bass strings
 * (common practice, no source). The mass hardly depends on it, as both sides of the boundary are
 * metal. */
#define POISE_STRING_CORE   0.4
#define POISE_STRING_CORE_U 0.1

/* Share of its annulus that a close wrap of round wire fills. One turn of wire d_w on a core d_c
 * advances by d_w and has the length π(d_c + d_w), so per length of string the wire takes π(d_c +
 * d_w)·(π d_w²/4)/d_w, and the annulus between d_c and d_c + 2 d_w is π(d_c + d_w) d_w: their ratio
 * is π/4. (The turn's slope lengthens it by (d_w/(π(d_c + d_w)))²/2, below 1 %.) Flat-ground and
 * flat wire fill more. */
#define POISE_STRING_PACKING 0.78539816339744830962

/* What the model of a wound string may be off by for wraps in several layers, hexagonal cores and
 * ground wraps: one standard uncertainty of the unit mass (common practice, no source). */
#define POISE_STRING_WOUND_U 0.04

/* g/m of a solid wire: ρπd²/4. g/cm³ × mm² is g/m. */
double poise_plain_string_g_per_m(double gauge_mm, double density_g_cm3);
/* g/m of a round core with a close wrap that brings it to the gauge; core is the fraction d_c/d. */
double poise_wound_string_g_per_m(double gauge_mm, double core, double core_g_cm3,
                                  double wrap_g_cm3);

#endif
