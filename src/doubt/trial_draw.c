#include "doubt/trial_draw.h"

#include <math.h>
#include <string.h>

#include "base/vec.h"
#include "doubt/normal.h"
#include "doubt/random.h"

/* A pivot below this part of its diagonal entry is what round-off left of 0. */
static const double NO_PIVOT = 1e-13;

void poise_cholesky3(double a[3][3], double root[3][3])
{
    for (int j = 0; j < 3; j++) {
        double pivot = a[j][j];
        for (int k = 0; k < 3; k++)
            root[j][k] = k < j ? root[j][k] : 0.0;
        for (int k = 0; k < j; k++)
            pivot -= root[j][k] * root[j][k];
        if (!(pivot > NO_PIVOT * a[j][j])) {
            for (int i = j; i < 3; i++)
                root[i][j] = 0.0;
            continue;
        }
        root[j][j] = sqrt(pivot);
        for (int i = j + 1; i < 3; i++) {
            double sum = a[i][j];
            for (int k = 0; k < j; k++)
                sum -= root[i][k] * root[j][k];
            root[i][j] = sum / root[j][j];
        }
    }
}

/* The covariance of M, S_x and S_y. */
static void covariance_of(const PoiseDoubtProblem *p, double a[3][3])
{
    memset(a, 0, 9 * sizeof a[0][0]);
    for (size_t k = 0; k < p->sources->count; k++) {
        const PoiseSource *source = &p->sources->list[k];
        double moment[3];
        poise_source_moment(p, source, moment);
        const double effect[3] = {source->mass_g, moment[0], moment[1]};
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++)
                a[i][j] += effect[i] * effect[j];
    }
    /* Var(δm δr) of independent factors: independent along the file's axes, so turned like a
     * diagonal tensor. */
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++)
            for (int k = 0; k < 3; k++)
                a[1 + i][1 + j] += p->axes[i][k] * p->axes[j][k] * p->sources->product_g2mm2[k];
}

void poise_drawing(const PoiseDoubtProblem *p, uint64_t seed, PoiseDrawing *out)
{
    const PoisePosture *s = &p->posture;
    const double none = (double)INFINITY;
    PoiseInput inputs[POISE_IN_COUNT];
    double a[3][3];
    poise_balance_inputs(s, inputs);
    covariance_of(p, a);
    double length_u = s->has_strap ? p->length_u : 0.0;
    bool arm = s->has_seat && s->seat.has_arm;
    *out = (PoiseDrawing){
        .seed = seed,
        .mass_g = s->mass_g,
        .centre = {s->centre_mm[0], s->centre_mm[1]},
        .friction = poise_cut_normal(s->strap.friction, s->has_strap ? p->friction_u : 0.0, 0.0),
        .length = poise_cut_normal(s->strap.length_mm, length_u, inputs[POISE_IN_LENGTH].least),
        .angle = poise_cut_normal(s->neck_angle_deg, p->angle_u, -none),
        .arm = poise_cut_normal(s->seat.arm_g, arm ? p->arm_u : 0.0, 0.0)};
    out->only_mass = !(out->length.u > 0.0 || out->angle.u > 0.0 || out->arm.u > 0.0);
    poise_cholesky3(a, out->root);
}

void poise_draw(const PoiseDrawing *d, uint64_t trial, PoiseDraw *out)
{
    double u[4][2], z[3];
    poise_uniform_pair(d->seed, trial, 0, u[0]);
    poise_uniform_pair(d->seed, trial, 1, u[1]);
    z[0] = poise_normal_deviate(u[0][0]);
    z[1] = poise_normal_deviate(u[0][1]);
    z[2] = poise_normal_deviate(u[1][0]);
    double mass = d->mass_g + d->root[0][0] * z[0];
    double sx = d->root[1][0] * z[0] + d->root[1][1] * z[1];
    double sy = poise_dot(d->root[2], z);
    out->mass_g = mass;
    out->centre = mass > 0.0 ? (PoisePoint){d->centre.x_mm + sx / mass, d->centre.y_mm + sy / mass}
                             : (PoisePoint){(double)NAN, (double)NAN};
    out->friction = poise_cut_normal_at(&d->friction, u[1][1]);
    out->length_mm = d->length.mean;
    out->angle_deg = d->angle.mean;
    out->arm_g = d->arm.mean;
    if (d->only_mass)
        return;
    poise_uniform_pair(d->seed, trial, 2, u[2]);
    poise_uniform_pair(d->seed, trial, 3, u[3]);
    out->length_mm = poise_cut_normal_at(&d->length, u[2][0]);
    out->angle_deg = poise_cut_normal_at(&d->angle, u[2][1]);
    out->arm_g = poise_cut_normal_at(&d->arm, u[3][0]);
}
