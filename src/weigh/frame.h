/* From the maker's drawing to the plane of the face and back. */
#ifndef POISE_WEIGH_FRAME_H
#define POISE_WEIGH_FRAME_H

#include "model/instrument.h"
#include "poise/statics.h"

/* The frame's axes in file coordinates: x towards the head, y up for the player (y = z × x, turned
 * over for a left-handed instrument, which is the mirror the plane statics ask for), z out of the
 * face. */
typedef struct PoiseAxes {
    double x[3], y[3], z[3];
} PoiseAxes;

PoiseAxes poise_frame_axes(const PoiseFrame *frame);
/* A file point in the plane of the face. */
PoisePoint poise_axes_point(const PoiseAxes *axes, const double r_mm[3]);
/* A file point as (x, y, z) along the axes. */
void poise_axes_xyz(const PoiseAxes *axes, const double r_mm[3], double xyz_mm[3]);
/* The direction, in file coordinates, in which h (horizontal, towards the head) grows at a neck
 * angle. */
void poise_axes_horizontal(const PoiseAxes *axes, double neck_angle_deg, double direction[3]);

#endif
