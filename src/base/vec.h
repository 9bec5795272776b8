/* Three-vectors and 3×3 matrices as plain arrays. */
#ifndef POISE_BASE_VEC_H
#define POISE_BASE_VEC_H

#include <math.h>

static inline double poise_dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/* out = a × b; out may not be a or b. */
static inline void poise_cross(const double a[3], const double b[3], double out[3])
{
    out[0] = a[1] * b[2] - a[2] * b[1];
    out[1] = a[2] * b[0] - a[0] * b[2];
    out[2] = a[0] * b[1] - a[1] * b[0];
}

static inline double poise_length(const double a[3])
{
    /* Scaled, so that neither huge nor tiny components overflow or vanish when squared. */
    return hypot(hypot(a[0], a[1]), a[2]);
}

/* out = R r */
static inline void poise_rotate(double r[3][3], const double v[3], double out[3])
{
    double t[3];
    for (int i = 0; i < 3; i++)
        t[i] = poise_dot(r[i], v);
    out[0] = t[0];
    out[1] = t[1];
    out[2] = t[2];
}

/* The rotation of "turn": degrees about the fixed x axis first, then y, then z. R = Rz Ry Rx.
 * Multiples of 90° come out exact. */
void poise_rotation_xyz(const double turn_deg[3], double r[3][3]);

/* sin and cos of degrees, exact at multiples of 90°. */
void poise_sincos_deg(double deg, double *s, double *c);

#endif
