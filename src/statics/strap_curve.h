/* Geometry for drawing the strap and its window. */
#ifndef POISE_STATICS_STRAP_CURVE_H
#define POISE_STATICS_STRAP_CURVE_H

#include "poise/statics.h"

/* The holding window at `count` ≥ 2 neck angles, evenly from `from_deg` to `to_deg`, both ends
 * included. angles_deg, window_mm   out, `count` each; a window is NAN both at an angle that has
 * none, so that a plot breaks there Returns POISE_E_DOMAIN when the strap fails poise_strap_check()
 * or the angles do not rise. */
PoiseStatus poise_strap_curve(const PoiseStrap *strap, double from_deg, double to_deg, size_t count,
                              double *angles_deg, PoiseInterval *window_mm);

/* A position as drawn: horizontal towards the head and up, mm, from the tail post. */
typedef struct PoiseDrawn {
    double h_mm, v_mm;
} PoiseDrawn;

/* Tail post, support, horn post at a neck angle, the support over a station. Give the centre's
 * station where it holds, else the edge of the window the strap slips from. POISE_E_DOMAIN as
 * poise_strap_support(). */
PoiseStatus poise_strap_polyline(const PoiseStrap *strap, double neck_angle_deg, double station_mm,
                                 PoiseDrawn points[3]);

#endif
