/* Lean: the instrument as a pendulum about the line through its strap posts. Potential energy is
 * least when the centre's offset from that line points down in the plane normal to it. */
#include <math.h>

#include "base/vec.h"
#include "statics/strap.h"

/* Part of a unit vector. A line within this of the vertical, or with no horizontal run along the
 * strings, has no side that is the face's: the angle would be round-off (sine of about 0.2 arc
 * seconds). */
static const double MIN_DIRECTION = 1e-6;

static bool triple_ok(const double p[3])
{
    return poise_within(p[0], POISE_MAX_LENGTH_MM) && poise_within(p[1], POISE_MAX_LENGTH_MM) &&
           poise_within(p[2], POISE_MAX_LENGTH_MM);
}

/* to − from, turned to the neck angle: (h, v, z). */
static void turned(const double from[3], const double to[3], PoiseTurn turn, double out[3])
{
    PoisePoint p = {to[0] - from[0], to[1] - from[1]};
    out[0] = poise_turned_h(turn, p);
    out[1] = poise_turned_v(turn, p);
    out[2] = to[2] - from[2];
}

PoiseStatus poise_lean(const double tail_mm[3], const double horn_mm[3], const double centre_mm[3],
                       double neck_angle_deg, double *lean_deg)
{
    *lean_deg = NAN;
    if (!triple_ok(tail_mm) || !triple_ok(horn_mm) || !triple_ok(centre_mm) ||
        !isfinite(neck_angle_deg))
        return POISE_E_DOMAIN;
    PoiseTurn turn = poise_turn(neck_angle_deg);
    double hinge[3], arm[3], up[3], out[3];
    turned(tail_mm, horn_mm, turn, hinge);
    turned(tail_mm, centre_mm, turn, arm);
    double length = poise_length(hinge);
    if (length < POISE_MIN_SPREAD_MM)
        return POISE_E_DOMAIN;
    for (int i = 0; i < 3; i++)
        hinge[i] /= length;

    /* Up, less its part along the hinge; its length is that of the hinge's horizontal part. */
    double steep = hypot(hinge[0], hinge[2]);
    if (steep < MIN_DIRECTION || fabs(hinge[0]) < MIN_DIRECTION)
        return POISE_E_DOMAIN;
    for (int i = 0; i < 3; i++)
        up[i] = ((i == 1) - hinge[1] * hinge[i]) / steep;
    poise_cross(hinge, up,
                out); /* its z part is hinge[0]/steep: towards the face when that is > 0 */
    double side = hinge[0] > 0 ? 1.0 : -1.0;
    double down = -poise_dot(arm, up), forward = side * poise_dot(arm, out);
    if (hypot(down, forward) < POISE_EDGE_MM)
        return POISE_E_DOMAIN;
    *lean_deg = atan2(forward, down) * (180.0 / 3.14159265358979323846);
    return POISE_OK;
}
