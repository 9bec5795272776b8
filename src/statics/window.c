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

#include "statics/root.h"
#include "statics/strap.h"

/* Root tolerance as a part of K, the half range of u. Stations move by at most about the belt's
 * length over that range, so this is some 1e-10 mm: far below POISE_EDGE_MM, well above round-off.
 */
static const double U_TOLERANCE = 1e-13;

typedef struct Ellipse {
    double sin_tilt, cos_tilt; /* of ψ */
    double k2;                 /* (L − d)/(L + d) */
    double one_less_k2;        /* 2d/(L + d), exact where 1 − k2 would cancel */
    double tan_middle;         /* k e^(−g): tan(A'/2) at u = −g */
    double friction;
} Ellipse;

typedef struct Corner {
    double sin_alpha, sin_beta;
    double tan_a, tan_b; /* of A'/2, B'/2 */
} Corner;

/* The triangle at u = w − g. */
static Corner corner_at(const Ellipse *e, double w)
{
    double ta = e->tan_middle * exp(w), tb = e->k2 / ta;
    double na = 1.0 / (1.0 + ta * ta), nb = 1.0 / (1.0 + tb * tb);
    return (Corner){
        .sin_alpha = (e->cos_tilt * (1.0 - ta * ta) - e->sin_tilt * 2.0 * ta) * na,
        .sin_beta = (e->cos_tilt * (1.0 - tb * tb) + e->sin_tilt * 2.0 * tb) * nb,
        .tan_a = ta,
        .tan_b = tb,
    };
}

static double grip(const Ellipse *e, const Corner *p)
{
    return exp(-e->friction * 2.0 * atan((p->tan_a + p->tan_b) / e->one_less_k2));
}

static double headward(double w, const void *context)
{
    const Ellipse *e = context;
    Corner p = corner_at(e, w);
    return p.sin_alpha * grip(e, &p) - p.sin_beta;
}

static double tailward(double w, const void *context)
{
    const Ellipse *e = context;
    Corner p = corner_at(e, w);
    return p.sin_alpha - p.sin_beta * grip(e, &p);
}

/* The root between the ends w = −K (β = 0, value ≥ 0) and w = K (α = 0, value ≤ 0). With so much
 * friction that e^(−μθ) vanishes, the edge is the post itself and the end value may round to the
 * wrong side of 0. */
static double edge(PoiseFunction f, const Ellipse *e, double half_range)
{
    double at_horn = f(-half_range, e), at_tail = f(half_range, e);
    if (at_horn <= 0)
        return -half_range;
    if (at_tail >= 0)
        return half_range;
    return poise_root(f, e, -half_range, at_horn, half_range, at_tail, U_TOLERANCE * half_range);
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

    Corner tail = corner_at(&e, edge(tailward, &e, half_range));
    Corner horn = corner_at(&e, edge(headward, &e, half_range));
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
