/* Holding at a given station, in closed form.
 *
 * Put the tail post at the origin, the horn post at (b, r), b > 0, at distance d, and let the
 * support point P = (h, v) have |P| + |P − B| = L. With x = 2h − b, q² = L² − r² and e² = L² − d²,
 * eliminating the roots gives the quadratic whose upper solution is
 *
 *     v = r/2 + (b r x + L e √(q² − x²)) / (2 q²),
 *
 * real for |x| < q, and |x| < b < q whenever P is between the posts. The area of triangle ABP is
 * half of
 *
 *     b v − h r = e (b L √(q² − x²) − x r e) / (2 q²),
 *
 * a form without cancellation, from which the wrap θ = π − ∠APB keeps its digits on a tight strap.
 */
#include <math.h>

#include "statics/strap.h"

typedef struct Support {
    double v, cross; /* cross = b v − h r > 0 */
} Support;

static Support support_over(const PoiseBelt *belt, double station_mm)
{
    double b = belt->span_mm, r = belt->rise_mm, l = belt->length_mm, d = belt->distance_mm;
    double x = 2.0 * station_mm - b;
    double q2 = (l - r) * (l + r);
    double e = sqrt((l - d) * (l + d));
    double root = sqrt(fmax(q2 - x * x, 0.0));
    return (Support){.v = 0.5 * r + (b * r * x + l * e * root) / (2.0 * q2),
                     .cross = e * (b * l * root - x * r * e) / (2.0 * q2)};
}

double poise_belt_height(const PoiseBelt *belt, double station_mm)
{
    return support_over(belt, station_mm).v;
}

/* The ellipse's top: by the reflection property its normal, here the vertical, halves ∠APB.
 * Unfolded, the belt is a straight line of length L over a horizontal distance b, so V = √(L² −
 * b²)/2 above the middle of AB, and the ellipse's equation gives the station b/2 + b r/(4 V). */
double poise_belt_top_station(const PoiseBelt *belt)
{
    double b = belt->span_mm, l = belt->length_mm;
    return 0.5 * b + b * belt->rise_mm / (2.0 * sqrt((l - b) * (l + b)));
}

/* Equilibrium across the vertical: T_A sin α = T_B sin β. Belt friction (Euler–Eytelwein,
 * "capstan"): no slip while |ln(T_B/T_A)| ≤ μθ. Since −ln cos is the integral of the tangent,
 * ln(sin α/sin β)/θ is the mean of tan over the directions from α − π/2 to π/2 − β; when P moves
 * headwards along the ellipse both ends of that range grow, so the mean grows: one root at each
 * edge. */
double poise_belt_friction(const PoiseBelt *belt, double station_mm)
{
    double rest = belt->span_mm - station_mm;
    if (station_mm <= 0)
        return -INFINITY;
    if (rest <= 0)
        return INFINITY;
    Support p = support_over(belt, station_mm);
    double over_horn = p.v - belt->rise_mm;
    double to_tail = sqrt(station_mm * station_mm + p.v * p.v);
    double to_horn = sqrt(rest * rest + over_horn * over_horn);
    double wrap = atan2(p.cross, station_mm * rest - p.v * over_horn);
    return log((station_mm * to_horn) / (rest * to_tail)) / wrap;
}

double poise_belt_eased_friction(const PoiseBelt *belt, double station_mm)
{
    double eased = poise_belt_friction(belt, station_mm - POISE_EDGE_MM);
    if (eased > 0)
        return eased;
    eased = poise_belt_friction(belt, station_mm + POISE_EDGE_MM);
    return eased < 0 ? eased : 0;
}

static PoiseStatus belt_over(const PoiseStrap *strap, double neck_angle_deg, double station_mm,
                             PoiseBelt *belt)
{
    PoiseStatus status = poise_strap_check(strap, NULL);
    if (status)
        return status;
    if (!isfinite(neck_angle_deg) || !isfinite(station_mm))
        return POISE_E_DOMAIN;
    *belt = poise_belt(strap, poise_turn(neck_angle_deg));
    bool between = station_mm > 0 && station_mm < belt->span_mm;
    return poise_belt_spreads(belt) && between ? POISE_OK : POISE_E_DOMAIN;
}

PoiseStatus poise_strap_support(const PoiseStrap *strap, double neck_angle_deg, double station_mm,
                                double *height_mm)
{
    PoiseBelt belt;
    PoiseStatus status = belt_over(strap, neck_angle_deg, station_mm, &belt);
    *height_mm = status ? NAN : poise_belt_height(&belt, station_mm);
    return status;
}

PoiseStatus poise_strap_needed_friction(const PoiseStrap *strap, double neck_angle_deg,
                                        double station_mm, double *friction)
{
    PoiseBelt belt;
    PoiseStatus status = belt_over(strap, neck_angle_deg, station_mm, &belt);
    *friction = status ? NAN : fabs(poise_belt_friction(&belt, station_mm));
    return status;
}
