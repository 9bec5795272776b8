/* Fasteners, dowels and ferrules worked out from their dimensions. */
#ifndef POISE_BODIES_FASTENER_H
#define POISE_BODIES_FASTENER_H

#include "model/material.h"
#include "poise/moments.h"
#include "poise/status.h"

/* One piece. It lies along x: a nut's bore, a screw's shank, a cylinder's or tube's axis; a screw's
 * point is towards +x. Origin: a screw's bearing plane under the head (pan, cylinder) or the flush
 * top of the head (countersunk); the middle of anything else. */
typedef struct PoiseFastener {
    PoiseBody body;
    double volume_mm3;
    double volume_u_mm3; /* from what the dimensions leave open (recess, crown, thread); one
                            standard uncertainty */
    double solid_mm3;    /* the volume without recess or crown: an upper bound */
    double extent_mm[3]; /* overall size along x, y, z */
} PoiseFastener;

/* Diameters of the ISO metric thread, ISO 724: pitch diameter d2 = d − 0.649519 P, minor diameter
 * of the nut D1 = d − 1.082532 P. */
double poise_thread_pitch_diameter_mm(double thread_mm, double pitch_mm);
double poise_thread_nut_minor_diameter_mm(double thread_mm, double pitch_mm);

/* A truncated cone along x from x_mm (radius r0) to x_mm + length (radius r1); a cone when one
 * radius is 0. */
PoiseBody poise_body_frustum(double density_g_cm3, double x_mm, double r0_mm, double r1_mm,
                             double length_mm);

/* POISE_OK; POISE_E_DOMAIN when the dimensions make no solid (then *complaint, which may be NULL,
 * says which, for a message: "a bore wider than the diameter"). */
PoiseStatus poise_fastener(const PoiseGeometry *geometry, double density_g_cm3,
                           PoiseFastener *fastener, const char **complaint);

#endif
