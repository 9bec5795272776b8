/* From the split of a printed section to its mass, centre and inertia. */
#ifndef POISE_BODIES_PRINTED_FILL_H
#define POISE_BODIES_PRINTED_FILL_H

#include "bodies/item_body.h"

/* Infill lines run a little into the innermost perimeter. That perimeter's region counts as full
 * already, so what is pushed into it only closes the gaps between rounded lines: the allowance is
 * 0. Were it not, it would be the extra infill as a fraction, in a form that leaves 0 % and 100 %
 * exact: share = f (1 + allowance (1 − f)). */
#define POISE_INFILL_OVERLAP 0.0

/* How far printed infill is off its nominal fraction: turns at the walls, lines crossing in one
 * layer, spacing rounded to whole lines. ±5 % of the infill, rectangular: one standard uncertainty
 * 3 % (common practice, no source). */
#define POISE_INFILL_PATTERN_U 0.03

/* The share of the infill region that is filled, for a nominal fraction 0 … 1. */
double poise_infill_share(double infill);

/* What comes out of the nozzle for what it is told to lay: grams are density times flow times the
 * volume told. One material's density is common to all that is made of it, the flow to all that the
 * printer prints. */
typedef struct PoiseLaying {
    PoiseQuantity density_g_cm3, flow;
} PoiseLaying;

/* From the material, the flow setting and what a profile knows. Where the profile knows the product
 * of the two for this material, `density_g_cm3` is that product with all of its doubt, and the flow
 * is what is set, without any. `told`: a volume that the setting is in already (a toolpath's), so
 * that only what the printer lays over it counts. */
PoiseLaying poise_printed_laying(const PoisePrinted *printed, bool told);

/* What a mass laid so owes to the material and to the flow. */
PoiseItemDoubt poise_laying_doubt(const PoiseLaying *laying, double mass_g);

/* Mass ρ·flow·(perimeters + skins + share·infill region); centre and inertia follow that sum. */
PoiseBody poise_printed_fill(const PoiseSplit *split, double infill, double flow,
                             double density_g_cm3);

/* By what fraction n lines may fall short of n line widths, at most. A line of width w and height h
 * with round sides has the section h(w − h) + πh²/4 = h(w − h(1 − π/4)): laid so that they just
 * fill the wall, lines stand h(1 − π/4) closer than w. Some printers' settings mean the one by
 * "line width", some the other. */
double poise_line_narrowing(const PoiseSlicing *slicing);

/* Where the mass may be off. Material and flow scale everything and do not move the centre; the
 * infill's pattern and fraction move it towards or from the infill's own centre, and the line width
 * towards the perimeters'. */
PoiseItemDoubt poise_printed_doubt(const PoisePrinted *printed, const PoiseSplit *split,
                                   const PoiseBody *body);

#endif
