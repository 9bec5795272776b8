/* Chebyshev interpolation on the roots of T_n, a tensor product over the variables that vary. The
 * edges are analytic in all three (the two are one curve, continued through no friction), so the
 * series fall off geometrically; that they did is measured, not trusted. */
#include "doubt/stand_in.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static const double PI = 3.14159265358979323846;

/* All terms that are left off together add less than this, mm: they cost time and change nothing.
 */
static const double NEGLIGIBLE_MM = 1e-4;

/* Terms of a row that are added up together: processors add several numbers in one go, if told how
 * many. */
enum { STEP = 4 };
static_assert(POISE_NODES_FRICTION % STEP == 0, "rows are added up in whole steps");

typedef double Grid[2][POISE_NODES_OTHER][POISE_NODES_OTHER][POISE_NODES_FRICTION];

static bool exact(const PoiseStandIn *f, double friction, double length, double angle,
                  double edge[2])
{
    PoiseStrap strap = f->strap;
    PoiseInterval window;
    strap.friction = friction;
    strap.length_mm = length;
    if (poise_strap_window(&strap, angle, &window))
        return false;
    edge[0] = window.lo;
    edge[1] = window.hi;
    return true;
}

/* Root k of T_n. */
static double node(int k, int n)
{
    return cos(PI * (k + 0.5) / n);
}

static double at(const PoiseSpan *span, double t)
{
    return span->middle + span->half * t;
}

static bool sample(const PoiseStandIn *f, Grid values)
{
    for (int l = 0; l < f->length.terms; l++)
        for (int a = 0; a < f->angle.terms; a++)
            for (int m = 0; m < f->friction.terms; m++) {
                double edge[2];
                if (!exact(f, at(&f->friction, node(m, f->friction.terms)),
                           at(&f->length, node(l, f->length.terms)),
                           at(&f->angle, node(a, f->angle.terms)), edge))
                    return false;
                values[0][l][a][m] = edge[0];
                values[1][l][a][m] = edge[1];
            }
    return true;
}

/* From n values at the roots of T_n, `stride` apart, to the coefficients, in place. */
static void transform(double *values, int n, int stride)
{
    double out[POISE_NODES_FRICTION];
    for (int j = 0; j < n; j++) {
        double sum = 0.0;
        for (int k = 0; k < n; k++)
            sum += values[k * stride] * cos(PI * j * (k + 0.5) / n);
        out[j] = sum * (j == 0 ? 1.0 : 2.0) / n;
    }
    for (int j = 0; j < n; j++)
        values[j * stride] = out[j];
}

static void to_series(PoiseStandIn *f)
{
    for (int e = 0; e < 2; e++) {
        for (int l = 0; l < f->length.terms; l++)
            for (int a = 0; a < f->angle.terms; a++)
                transform(f->terms[e][l][a], f->friction.terms, 1);
        for (int l = 0; l < f->length.terms; l++)
            for (int m = 0; m < f->friction.terms; m++)
                transform(&f->terms[e][l][0][m], f->angle.terms, POISE_NODES_FRICTION);
        for (int a = 0; a < f->angle.terms; a++)
            for (int m = 0; m < f->friction.terms; m++)
                transform(&f->terms[e][0][a][m], f->length.terms,
                          POISE_NODES_OTHER * POISE_NODES_FRICTION);
    }
}

static double size_of(const PoiseStandIn *f, int l, int a, int m)
{
    return fmax(fabs(f->terms[0][l][a][m]), fabs(f->terms[1][l][a][m]));
}

/* Ends each row at its last term of at least that size. Returns what the rest may add up to. */
static double end_rows(PoiseStandIn *f, double least)
{
    double rest = 0.0;
    for (int l = 0; l < f->length.terms; l++)
        for (int a = 0; a < f->angle.terms; a++) {
            int n = f->friction.terms;
            for (; n > 0 && !(size_of(f, l, a, n - 1) >= least); n--)
                rest += size_of(f, l, a, n - 1);
            f->kept[l][a] = (n + STEP - 1) / STEP * STEP;
        }
    return rest;
}

/* Leaves off as many small terms as may go, and ends each variable at its last row with a term. */
static void leave_off(PoiseStandIn *f)
{
    int length = 1, angle = 1, friction = 1;
    double least = NEGLIGIBLE_MM;
    while (end_rows(f, least) > NEGLIGIBLE_MM)
        least *= 0.5;
    for (int l = 0; l < f->length.terms; l++)
        for (int a = 0; a < f->angle.terms; a++) {
            int n = f->kept[l][a];
            if (n == 0)
                continue;
            if (n > friction)
                friction = n < f->friction.terms ? n : f->friction.terms;
            angle = a + 1 > angle ? a + 1 : angle;
            length = l + 1;
        }
    f->length.terms = length;
    f->angle.terms = angle;
    f->friction.terms = friction;
}

static void polynomials(double t, int n, double *out)
{
    out[0] = 1.0;
    if (n > 1)
        out[1] = t;
    for (int k = 2; k < n; k++)
        out[k] = 2.0 * t * out[k - 1] - out[k - 2];
}

static double series(const PoiseStandIn *f, int edge, double friction, double length, double angle)
{
    double tm[POISE_NODES_FRICTION], sum = 0.0;
    polynomials(friction, f->friction.terms, tm);
    if (f->length.terms == 1 && f->angle.terms == 1) {
        for (int m = 0; m < f->friction.terms; m++)
            sum += f->terms[edge][0][0][m] * tm[m];
        return sum;
    }
    double tl[POISE_NODES_OTHER], ta[POISE_NODES_OTHER], along[POISE_NODES_FRICTION] = {0};
    polynomials(length, f->length.terms, tl);
    polynomials(angle, f->angle.terms, ta);
    for (int l = 0; l < f->length.terms; l++)
        for (int a = 0; a < f->angle.terms; a++) {
            double weight = tl[l] * ta[a];
            const double *row = f->terms[edge][l][a];
            for (int m = 0; m < f->kept[l][a]; m += STEP)
                for (int k = 0; k < STEP; k++)
                    along[m + k] += weight * row[m + k];
        }
    for (int m = 0; m < f->friction.terms; m++)
        sum += along[m] * tm[m];
    return sum;
}

/* Half way (in angle of the cosine) between the nodes, and at the ends: where the error of
 * interpolation is largest. */
static double between(int k, int n)
{
    return n == 1 ? 0.0 : cos(PI * k / n);
}

static double measured_error(const PoiseStandIn *f, const int n[3])
{
    double most = 0.0;
    for (int l = 0; l <= (n[2] > 1 ? n[2] : 0); l++)
        for (int a = 0; a <= (n[1] > 1 ? n[1] : 0); a++)
            for (int m = 0; m <= (n[0] > 1 ? n[0] : 0); m++) {
                double t[3] = {between(m, n[0]), between(a, n[1]), between(l, n[2])}, edge[2];
                if (!exact(f, at(&f->friction, t[0]), at(&f->length, t[2]), at(&f->angle, t[1]),
                           edge))
                    return (double)INFINITY;
                for (int e = 0; e < 2; e++)
                    most = fmax(most, fabs(series(f, e, t[0], t[2], t[1]) - edge[e]));
            }
    return most;
}

void poise_stand_in(const PoiseStrap *strap, PoiseSpan friction, PoiseSpan length, PoiseSpan angle,
                    PoiseStandIn *out)
{
    memset(out, 0, sizeof *out);
    out->strap = *strap;
    out->friction = friction;
    out->length = length;
    out->angle = angle;
    const int n[3] = {friction.half > 0.0 ? POISE_NODES_FRICTION : 1,
                      angle.half > 0.0 ? POISE_NODES_OTHER : 1,
                      length.half > 0.0 ? POISE_NODES_OTHER : 1};
    out->friction.terms = n[0];
    out->angle.terms = n[1];
    out->length.terms = n[2];
    if (!sample(out, out->terms))
        return;
    to_series(out);
    leave_off(out);
    out->error_mm = measured_error(out, n);
    out->usable = out->error_mm <= POISE_STAND_IN_MM;
}

/* The place in the span, or NAN beyond it. */
static double place(const PoiseSpan *span, double value)
{
    if (!(span->half > 0.0))
        return value == span->middle ? 0.0 : (double)NAN;
    double t = (value - span->middle) / span->half;
    return fabs(t) <= 1.0 ? t : (double)NAN;
}

double poise_stand_in_edge(const PoiseStandIn *f, int edge, double friction, double length_mm,
                           double angle_deg)
{
    if (f->usable) {
        double m = place(&f->friction, friction), l = place(&f->length, length_mm),
               a = place(&f->angle, angle_deg);
        if (!isnan(m + l + a))
            return series(f, edge, m, l, a);
    }
    double edges[2];
    return exact(f, friction, length_mm, angle_deg, edges) ? edges[edge] : (double)NAN;
}
