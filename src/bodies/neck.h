/* Constants of the neck's model beyond its wood. */
#ifndef POISE_BODIES_NECK_H
#define POISE_BODIES_NECK_H

#include "model/instrument.h"

/* Board left beyond the last fret when the file gives no length (common practice, no source). */
#define POISE_NECK_BEYOND_LAST_FRET_MM 8.0

/* Truss rod: a uniform steel bar from the nut over this share of the neck's length, its middle this
 * far under the board, or half-way down the thinnest shaft where that is less (common practice, no
 * source). Steel 7.85 g/cm³ as structural steel is taken in handbooks (from memory); it only sets
 * how much wood the rod displaces. A wider channel than the rod itself is left out. */
#define POISE_NECK_ROD_SHARE    0.9
#define POISE_NECK_ROD_DEPTH_MM 5.0
#define POISE_NECK_ROD_G_CM3    7.85

/* The headstock's outline stands in the file as a cuboid of its mean width. What that may be off
 * by: one standard uncertainty as a fraction of the width (common practice, no source). */
#define POISE_NECK_HEADSTOCK_U 0.10

/* A balance point found on a knife edge, one standard uncertainty (common practice, no source). */
#define POISE_NECK_BALANCE_U_MM 1.0

/* From the nut to the heel end: as given, or just past the last fret (or where a neck without frets
 * would have it). */
double poise_neck_length_mm(const PoiseNeck *neck, double scale_mm);

#endif
