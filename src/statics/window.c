/* The holding window.
 *
 * In triangle ABP let A', B' be the angles at the posts. With |PA| + |PB| = L, |AB| = d,
 * tan(A'/2) tan(B'/2) = (L − d)/(L + d) = k² (half-angle formulas of any triangle, s the half
 * perimeter: (s − d)/s). So tan(A'/2) = k e^u, tan(B'/2) = k e^(−u) runs over the upper half of the
 * ellipse, and keeps its digits when the strap is barely longer than the posts' distance. When AB
 * rises by ψ,
 *
 *     α = π/2 − ψ − A',   β = π/2 + ψ − B',   θ = A' + B'.
 *
 * α > 0 and β > 0 mean |u + g| < K with g = artanh(sin ψ) and K = −ln k = artanh(d/L). u grows
 * tailwards. The edges solve sin α e^(−μθ) = sin β (headward) and sin α = sin β e^(−μθ) (tailward);
 * written so, both sides stay bounded, and have opposite signs at the two ends. That each edge is
 * one root is shown in hold.c. */
#include <math.h>
#include <stdbool.h>

#include "statics/strap.h"

/* As a part of K, the half range of u. A Newton step this short leaves an error of its square.
 * Stations move by at most about the belt's length over the range, so that is far below
 * POISE_EDGE_MM. */
static const double LAST_STEP = 1e-8;
/* Newton needs 4 to 8 steps; even if every one were a bisection, 64 exhaust the digits of u. */
static const int MAX_STEPS = 64;

typedef struct Ellipse {
    double sin_tilt, cos_tilt; /* of ψ */
    double k2;                 /* (L − d)/(L + d) */
    double one_less_k2;        /* 2d/(L + d), exact where 1 − k2 would cancel */
    double tan_middle;         /* k e^(−g): tan(A'/2) at u = −g */
    double friction;
} Ellipse;

typedef struct Corner {
    double tan_a, tan_b; /* of A'/2, B'/2 */
    double sin_alpha, sin_beta;
    double excess, slope; /* of the edge's equation, and its derivative by u */
} Corner;

/* The triangle at u = w − g. dA'/du = sin A' and dB'/du = −sin B' give the slope. */
static Corner corner_at(const Ellipse *e, double w, bool headward)
{
    double ta = e->tan_middle * exp(w), tb = e->k2 / ta;
    double na = 1.0 / (1.0 + ta * ta), nb = 1.0 / (1.0 + tb * tb);
    double sin_a = 2.0 * ta * na, cos_a = (1.0 - ta * ta) * na;
    double sin_b = 2.0 * tb * nb, cos_b = (1.0 - tb * tb) * nb;
    double sin_alpha = e->cos_tilt * cos_a - e->sin_tilt * sin_a;
    double cos_alpha = e->sin_tilt * cos_a + e->cos_tilt * sin_a;
    double sin_beta = e->cos_tilt * cos_b + e->sin_tilt * sin_b;
    double cos_beta = e->cos_tilt * sin_b - e->sin_tilt * cos_b;

    double grip = exp(-e->friction * 2.0 * atan((ta + tb) / e->one_less_k2));
    double grip_slope = -e->friction * (sin_a - sin_b);
    double alpha_slope = -cos_alpha * sin_a, beta_slope = cos_beta * sin_b;
    Corner corner = {.tan_a = ta, .tan_b = tb, .sin_alpha = sin_alpha, .sin_beta = sin_beta};
    if (headward) {
        corner.excess = sin_alpha * grip - sin_beta;
        corner.slope = (alpha_slope + sin_alpha * grip_slope) * grip - beta_slope;
    } else {
        corner.excess = sin_alpha - sin_beta * grip;
        corner.slope = alpha_slope - (beta_slope + sin_beta * grip_slope) * grip;
    }
    return corner;
}

/* The root between w = −K (β = 0, excess ≥ 0) and w = K (α = 0, excess ≤ 0): Newton's method, and a
 * bisection whenever it would leave the bracket or does not halve the step before last. */
static Corner edge(const Ellipse *e, double half_range, bool headward)
{
    double lo = -half_range, hi = half_range, w = 0;
    double step = 2.0 * half_range, step_before = step;
    Corner corner = corner_at(e, w, headward);
    bool done = false;
    for (int i = 0; i < MAX_STEPS && !done; i++) {
        if (corner.excess > 0)
            lo = w;
        else
            hi = w;
        double newton = w - corner.excess / corner.slope;
        bool trusted = newton >= lo && newton <= hi && fabs(newton - w) <= 0.5 * fabs(step_before);
        double next = trusted ? newton : 0.5 * (lo + hi);
        step_before = step;
        step = next - w;
        w = next;
        corner = corner_at(e, w, headward);
        done = trusted && fabs(step) <= LAST_STEP * half_range;
    }
    return corner;
}

/* |PA| = d sin B'/sin θ by the law of sines; both sines from half-angle tangents. */
static double side_opposite(const PoiseBelt *belt, const Ellipse *e, double tan_opposite,
                            double tan_sum)
{
    double sin_opposite = 2.0 * tan_opposite / (1.0 + tan_opposite * tan_opposite);
    double c = e->one_less_k2;
    return belt->distance_mm * sin_opposite * (c * c + tan_sum * tan_sum) / (2.0 * tan_sum * c);
}

PoiseInterval poise_belt_window(const PoiseBelt *belt)
{
    double top = poise_belt_top_station(belt);
    if (belt->friction == 0)
        return (PoiseInterval){top, top};

    double d = belt->distance_mm, l = belt->length_mm, b = belt->span_mm, r = belt->rise_mm;
    double k2 = (l - d) / (l + d);
    double flattened = r > 0 ? b / (d + r) : (d - r) / b; /* e^(−g) */
    Ellipse e = {.sin_tilt = r / d,
                 .cos_tilt = b / d,
                 .k2 = k2,
                 .one_less_k2 = 2.0 * d / (l + d),
                 .tan_middle = sqrt(k2) * flattened,
                 .friction = belt->friction};
    double half_range = atanh(d / l);

    Corner tail = edge(&e, half_range, false);
    Corner horn = edge(&e, half_range, true);
    double lo = side_opposite(belt, &e, tail.tan_b, tail.tan_a + tail.tan_b) * tail.sin_alpha;
    double hi = b - side_opposite(belt, &e, horn.tan_a, horn.tan_a + horn.tan_b) * horn.sin_beta;
    /* The top point always lies between; this removes round-off at vanishing friction. */
    return (PoiseInterval){fmax(fmin(lo, top), 0.0), fmin(fmax(hi, top), b)};
}

PoiseStatus poise_strap_window(const PoiseStrap *strap, double neck_angle_deg,
                               PoiseInterval *window_mm)
{
    *window_mm = (PoiseInterval){NAN, NAN};
    PoiseStatus status = poise_strap_check(strap, NULL);
    if (status)
        return status;
    if (!isfinite(neck_angle_deg))
        return POISE_E_DOMAIN;
    PoiseBelt belt = poise_belt(strap, poise_turn(neck_angle_deg));
    if (!poise_belt_spreads(&belt))
        return POISE_E_DOMAIN;
    *window_mm = poise_belt_window(&belt);
    return POISE_OK;
}
