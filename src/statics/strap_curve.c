#include "statics/strap_curve.h"

#include <math.h>

#include "statics/strap.h"

PoiseStatus poise_strap_curve(const PoiseStrap *strap, double from_deg, double to_deg, size_t count,
                              double *angles_deg, PoiseInterval *window_mm)
{
    PoiseStatus status = poise_strap_check(strap, NULL);
    if (status)
        return status;
    if (count < 2 || !isfinite(from_deg) || !isfinite(to_deg) || !(to_deg > from_deg))
        return POISE_E_DOMAIN;
    for (size_t i = 0; i < count; i++) {
        double part = (double)i / (double)(count - 1);
        angles_deg[i] = i + 1 < count ? from_deg + (to_deg - from_deg) * part : to_deg;
        PoiseBelt belt = poise_belt(strap, poise_turn(angles_deg[i]));
        window_mm[i] =
            poise_belt_spreads(&belt) ? poise_belt_window(&belt) : (PoiseInterval){NAN, NAN};
    }
    return POISE_OK;
}

PoiseStatus poise_strap_polyline(const PoiseStrap *strap, double neck_angle_deg, double station_mm,
                                 PoiseDrawn points[3])
{
    double height = NAN;
    PoiseStatus status = poise_strap_support(strap, neck_angle_deg, station_mm, &height);
    if (status)
        return status;
    PoiseBelt belt = poise_belt(strap, poise_turn(neck_angle_deg));
    points[0] = (PoiseDrawn){0, 0};
    points[1] = (PoiseDrawn){station_mm, height};
    points[2] = (PoiseDrawn){belt.span_mm, belt.rise_mm};
    return POISE_OK;
}
