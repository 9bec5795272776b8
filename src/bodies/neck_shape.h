/* The wood of a neck as volume moments: stations along it, each a section with closed-form moments.
 */
#ifndef POISE_BODIES_NECK_SHAPE_H
#define POISE_BODIES_NECK_SHAPE_H

#include "poise/moments.h"

/* The shape, in axes at the nut: x towards the head, z out of the face, the top of the board at z =
 * 0. A station is a distance from the nut towards the heel, so x = −station.
 *
 *   width          linear in the station from the nut (0) to the heel end (length)
 *   thickness      board top to back, linear through its values at the 1st and the 12th fret
 *   board          a rectangle of the full width and constant thickness over the whole length
 *   shaft          below the board: half a superellipse |2y/w|^n + (depth/d)^n ≤ 1, flat side up
 *   heel           the last heel_length of the shaft: a rectangle of the full width
 *   headstock      a cuboid beyond the nut, its top `drop` behind the board's top
 *
 * Left out: fillets between shaft, heel and headstock, the board's radius, slots, screw holes. */
typedef struct PoiseNeckShape {
    double scale_mm, length_mm;
    double nut_width_mm, heel_width_mm;
    double first_mm, twelfth_mm;
    double board_mm;
    double heel_length_mm, heel_mm; /* length 0: none; thickness with the board */
    double headstock_length_mm, headstock_width_mm, headstock_mm, headstock_drop_mm;
    double exponent; /* n of the shaft's section */
} PoiseNeckShape;

/* Exponent of the shaft's section. 2 is the half ellipse of a "C" back, about 3 a full "D" or "U";
 * the middle is taken (common practice, no source), and the range counts as equally likely. */
#define POISE_NECK_EXPONENT      2.5
#define POISE_NECK_EXPONENT_LEAN 2.0
#define POISE_NECK_EXPONENT_FULL 3.0

/* Gauss–Legendre stations per smooth piece. Widths and depths are linear in the station, so every
 * integrand is a polynomial of degree 4 at most, and 3 stations are exact up to degree 5: what is
 * left is rounding. Measured against ten times the stations on a typical neck: every moment within
 * 4e-16 of its value (tests/unit/test_neck_shape.c holds it to 1e-12). */
#define POISE_NECK_STATIONS 3

/* Distance from the nut to fret n: L (1 − 2^(−n/12)), twelve equal steps to the octave. n ≥ 0; 0 is
 * the nut. */
double poise_fret_station_mm(double scale_mm, int fret);

double poise_neck_width_mm(const PoiseNeckShape *shape, double station_mm);
/* Thickness by the line through the 1st and 12th fret, heel and headstock left out. */
double poise_neck_thickness_mm(const PoiseNeckShape *shape, double station_mm);
double poise_neck_heel_start_mm(const PoiseNeckShape *shape);

/* Shares of a half superellipse of width w, depth d, flat side at depth 0:
 * area·w·d, first (∫depth) ·w·d², depth² ·w·d³, width² (∫y²) ·w³·d. */
typedef struct PoiseHalfSection {
    double area, first, depth2, width2;
} PoiseHalfSection;
/* By Dirichlet's integral over the quadrant y^n + z^n ≤ 1,
 * ∫∫ y^(p−1) z^(q−1) = Γ(p/n) Γ(q/n) / (n² Γ(1 + (p+q)/n)). For n = 2: π/4, 1/3, π/16, π/64. */
PoiseHalfSection poise_half_section(double exponent);

/* Volume moments of the two woods about the nut point. `panels` ≥ 1 divides every smooth piece that
 * many times over: 1 is exact, more is for checking that. */
void poise_neck_wood(const PoiseNeckShape *shape, int panels, PoiseMoments *shaft,
                     PoiseMoments *board);

#endif
