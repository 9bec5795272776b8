#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/sum.h"
#include "base/vec.h"
#include "poise/moments.h"

static const double G_MM3_PER_G_CM3 = 1e-3;

/* A sum of masses this small beside the sum of their magnitudes is round-off of 0 (bodies taken
 * away again in another order), and its quotient with the first moment would be noise.
 * Dimensionless; a few hundred roundings of 1.1e-16. */
static const double CANCELLED = 1e-13;

/* The inertia tensor from second moments about the same point. */
static void tensor(double xx, double yy, double zz, double xy, double yz, double zx,
                   double out[3][3])
{
    out[0][0] = yy + zz;
    out[1][1] = zz + xx;
    out[2][2] = xx + yy;
    out[0][1] = out[1][0] = -xy;
    out[1][2] = out[2][1] = -yz;
    out[0][2] = out[2][0] = -zx;
}

PoiseBody poise_body_from_moments(const PoiseMoments *m, double density_g_cm3)
{
    PoiseBody body = {0};
    memcpy(body.centre_mm, m->origin_mm, sizeof body.centre_mm);
    if (m->volume_mm3 == 0.0)
        return body;
    double density = density_g_cm3 * G_MM3_PER_G_CM3;
    double c[3];
    for (int i = 0; i < 3; i++) {
        c[i] = m->first_mm4[i] / m->volume_mm3;
        body.centre_mm[i] += c[i];
    }
    body.mass_g = density * m->volume_mm3;
    const double *s = m->second_mm5, *f = m->first_mm4;
    tensor(density * (s[0] - f[0] * c[0]), density * (s[1] - f[1] * c[1]),
           density * (s[2] - f[2] * c[2]), density * (s[3] - f[0] * c[1]),
           density * (s[4] - f[1] * c[2]), density * (s[5] - f[2] * c[0]), body.inertia_gmm2);
    return body;
}

PoiseBody poise_body_point(double mass_g, const double at_mm[3])
{
    return (PoiseBody){.mass_g = mass_g, .centre_mm = {at_mm[0], at_mm[1], at_mm[2]}};
}

PoiseBody poise_body_box(double mass_g, const double centre_mm[3], const double size_mm[3])
{
    PoiseBody body = poise_body_point(mass_g, centre_mm);
    double part[3]; /* ∫x² dm = m a²/12 */
    for (int i = 0; i < 3; i++)
        part[i] = mass_g * size_mm[i] * size_mm[i] / 12.0;
    tensor(part[0], part[1], part[2], 0.0, 0.0, 0.0, body.inertia_gmm2);
    return body;
}

PoiseBody poise_body_cylinder(double mass_g, const double centre_mm[3], double diameter_mm,
                              double length_mm, int axis)
{
    PoiseBody body = poise_body_point(mass_g, centre_mm);
    double part[3]; /* across the axis ∫x² dm = m r²/4, along it m l²/12 */
    for (int i = 0; i < 3; i++)
        part[i] = i == axis ? mass_g * length_mm * length_mm / 12.0
                            : mass_g * diameter_mm * diameter_mm / 16.0;
    tensor(part[0], part[1], part[2], 0.0, 0.0, 0.0, body.inertia_gmm2);
    return body;
}

/* The common mass, and the centre, taken about a body's own so that a far drawing origin costs no
 * digits. False when the masses cancel. */
static bool common_centre(const PoiseBody *bodies, unsigned long n, PoiseBody *out)
{
    unsigned long heavy = 0;
    while (heavy + 1 < n && bodies[heavy].mass_g == 0.0)
        heavy++;
    const double *base = bodies[heavy].centre_mm;
    PoiseSum mass = {0}, magnitude = {0}, first[3] = {{0}};
    for (unsigned long k = 0; k < n; k++) {
        poise_sum_add(&mass, bodies[k].mass_g);
        poise_sum_add(&magnitude, fabs(bodies[k].mass_g));
        for (int i = 0; i < 3; i++)
            poise_sum_add(&first[i], bodies[k].mass_g * (bodies[k].centre_mm[i] - base[i]));
    }
    double total = poise_sum_value(&mass);
    memcpy(out->centre_mm, base, sizeof out->centre_mm);
    if (fabs(total) <= CANCELLED * poise_sum_value(&magnitude))
        return false;
    out->mass_g = total;
    for (int i = 0; i < 3; i++)
        out->centre_mm[i] += poise_sum_value(&first[i]) / total;
    return true;
}

PoiseBody poise_body_sum(const PoiseBody *bodies, unsigned long n)
{
    PoiseBody out = {0};
    if (n == 0 || !common_centre(bodies, n, &out))
        return out;
    PoiseSum inertia[3][3] = {{{0}}};
    for (unsigned long k = 0; k < n; k++) {
        /* Parallel axes: I + m(|r|²δ_ij − r_i r_j), r from the common centre. */
        const PoiseBody *b = &bodies[k];
        double r[3], shifted[3][3], m = b->mass_g;
        for (int i = 0; i < 3; i++)
            r[i] = b->centre_mm[i] - out.centre_mm[i];
        tensor(m * r[0] * r[0], m * r[1] * r[1], m * r[2] * r[2], m * r[0] * r[1], m * r[1] * r[2],
               m * r[2] * r[0], shifted);
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++) {
                poise_sum_add(&inertia[i][j], b->inertia_gmm2[i][j]);
                poise_sum_add(&inertia[i][j], shifted[i][j]);
            }
    }
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            out.inertia_gmm2[i][j] = poise_sum_value(&inertia[i][j]);
    return out;
}

PoiseBody poise_body_add(const PoiseBody *a, const PoiseBody *b)
{
    PoiseBody both[2] = {*a, *b};
    return poise_body_sum(both, 2);
}

PoiseBody poise_body_move(const PoiseBody *body, double rotation[3][3], const double shift_mm[3])
{
    PoiseBody out = {.mass_g = body->mass_g};
    poise_rotate(rotation, body->centre_mm, out.centre_mm);
    for (int i = 0; i < 3; i++) {
        out.centre_mm[i] += shift_mm[i];
        for (int j = 0; j <= i; j++) {
            double sum = 0.0; /* (R I Rᵀ)_ij */
            for (int p = 0; p < 3; p++)
                for (int q = 0; q < 3; q++)
                    sum += rotation[i][p] * body->inertia_gmm2[p][q] * rotation[j][q];
            out.inertia_gmm2[i][j] = out.inertia_gmm2[j][i] = sum;
        }
    }
    return out;
}

PoiseBody poise_body_with_mass(const PoiseBody *body, double mass_g)
{
    PoiseBody out = poise_body_point(mass_g, body->centre_mm);
    if (body->mass_g == 0.0)
        return out;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            out.inertia_gmm2[i][j] = body->inertia_gmm2[i][j] * (mass_g / body->mass_g);
    return out;
}
