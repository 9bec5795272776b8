/* Shrinking a plane region by cutting it, edge by edge: slow, and hard to lead astray. */
#ifndef POISE_GEOMETRY_CARVE_H
#define POISE_GEOMETRY_CARVE_H

#include "geometry/rings.h"

/* Appends to `pieces`, for each edge of `in`, the strip of width `distance` (mm, > 0) on its left,
 * up to the bisectors at reflex corners: mitred, up to POISE_MITRE_LIMIT. The region less their
 * union is the region shrunk. Edges must have a length. Failure is in pieces->failed. */
void poise_carve_strips(const PoiseRings *in, double distance, PoiseRings *pieces);

#endif
