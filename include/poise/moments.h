/** @file moments.h  Volume moments of a region, and the rigid body made from them. */
#ifndef POISE_MOMENTS_H
#define POISE_MOMENTS_H

#include "poise/export.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Volume, first and second moments of a region of space, about a local origin.
 *  The origin is kept near the region so that no digits are lost to a far-away drawing origin. */
typedef struct PoiseMoments {
    double origin_mm[3];  /**< the point the moments are taken about */
    double volume_mm3;    /**< ∫dV */
    double first_mm4[3];  /**< ∫(r − origin) dV */
    double second_mm5[6]; /**< ∫ of xx, yy, zz, xy, yz, zx, each relative to the origin */
} PoiseMoments;

/** A rigid body: mass, centre of mass, inertia about that centre (positive products convention:
 *  off-diagonal entries are −∫xy dm, so the matrix is the inertia tensor). */
typedef struct PoiseBody {
    double mass_g;
    double centre_mm[3];
    double inertia_gmm2[3][3];
} PoiseBody;

/** a += scale·b, b moved to a's origin first (parallel axes). A zeroed `a` takes b's origin. */
POISE_API void poise_moments_add(PoiseMoments *a, const PoiseMoments *b, double scale);
/** The same region's moments about another origin. */
POISE_API PoiseMoments poise_moments_about(const PoiseMoments *m, const double origin_mm[3]);
/** The body a region makes when filled with density_g_cm3. A region without volume gives a body of
 *  mass 0 centred on the region's origin. */
POISE_API PoiseBody poise_body_from_moments(const PoiseMoments *m, double density_g_cm3);

/** A point mass. */
POISE_API PoiseBody poise_body_point(double mass_g, const double at_mm[3]);
/** A solid cuboid with edges size_mm along the axes. I = m(b² + c²)/12. */
POISE_API PoiseBody poise_body_box(double mass_g, const double centre_mm[3],
                                   const double size_mm[3]);
/** A solid cylinder along axis (0 x, 1 y, 2 z). Axial mr²/2; transverse m(3r² + l²)/12. */
POISE_API PoiseBody poise_body_cylinder(double mass_g, const double centre_mm[3],
                                        double diameter_mm, double length_mm, int axis);

/** The two bodies as one (parallel-axis theorem). Masses may be negative to take a body away; the
 *  sum of a body and its exact opposite is a massless body. */
POISE_API PoiseBody poise_body_add(const PoiseBody *a, const PoiseBody *b);
/** n bodies as one, with compensated sums; the result does not depend on how far the drawing's
 *  origin is from the bodies. n = 0 gives a massless body at the origin. */
POISE_API PoiseBody poise_body_sum(const PoiseBody *bodies, unsigned long n);
/** The body turned by the rotation matrix about the origin, then moved by shift_mm. */
POISE_API PoiseBody poise_body_move(const PoiseBody *body, double rotation[3][3],
                                    const double shift_mm[3]);
/** The same shape and centre with another mass; a massless body becomes a point mass. */
POISE_API PoiseBody poise_body_with_mass(const PoiseBody *body, double mass_g);

#ifdef __cplusplus
}
#endif
#endif
