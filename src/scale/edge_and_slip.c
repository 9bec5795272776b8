#include <math.h>

#include "scale/home_methods.h"
#include "scale/refusal.h"

PoiseStatus poise_edge_balance(const PoiseEdgeReading *reading, PoiseQuantity *station_mm,
                               PoiseFaults *faults)
{
    *station_mm = (PoiseQuantity){NAN, NAN};
    if (!poise_within(reading->tips_tail_mm, POISE_MAX_LENGTH_MM) ||
        !poise_within(reading->tips_head_mm, POISE_MAX_LENGTH_MM))
        return poise_refuse(faults, "/edge", "a station that is not finite or beyond a kilometre",
                            "a distance in mm");
    if (!poise_is_u(reading->read_u_mm))
        return poise_refuse(faults, "/edge", "an uncertainty that is negative or not finite",
                            "0 or more");
    if (reading->tips_tail_mm < reading->tips_head_mm)
        return poise_refuse(faults, "/edge",
                            "an edge that stands farther tailwards when it tips "
                            "to the tail than when it tips to the head",
                            "farther headwards, or the same place for both");
    double half = 0.5 * (reading->tips_tail_mm - reading->tips_head_mm);
    station_mm->value = reading->tips_head_mm + half;
    station_mm->u = hypot(half / sqrt(3), reading->read_u_mm);
    return POISE_OK;
}

/* Steps of the differences. Friction changes over degrees and centimetres, so its curvature within
 * these is far below its slope, and they are far above round-off. */
static const double STEP_DEG = 1e-3, STEP_MM = 1e-2;

static PoiseStatus needed(const PoiseSlipReading *r, double *friction)
{
    double station = poise_horizontal_mm(r->centre, r->angle_deg.value) -
                     poise_horizontal_mm(r->strap.tail, r->angle_deg.value);
    return poise_strap_needed_friction(&r->strap, r->angle_deg.value, station, friction);
}

/* Adds (u ∂friction/∂field)²; the field is restored. */
static PoiseStatus add_share(PoiseSlipReading *r, double *field, double u, double step,
                             double *variance)
{
    if (u == 0)
        return POISE_OK;
    double middle = *field, lower = NAN, upper = NAN;
    *field = middle - step;
    PoiseStatus status = needed(r, &lower);
    *field = middle + step;
    if (!status)
        status = needed(r, &upper);
    *field = middle;
    double share = (upper - lower) / (2 * step) * u;
    *variance += share * share;
    return status;
}

static PoiseStatus check_slip(const PoiseSlipReading *r, PoiseFaults *faults)
{
    PoiseStrap strap = r->strap;
    strap.friction = 0;
    PoiseStatus status = poise_strap_check(&strap, faults);
    if (status)
        return status;
    if (!poise_point_ok(r->centre))
        return poise_refuse(faults, "/centre",
                            "a coordinate that is not finite or beyond a kilometre",
                            "a position in mm");
    if (!(fabs(r->angle_deg.value) < 90))
        return poise_refuse_value(faults, "/angle", "neck angle", r->angle_deg.value, "°",
                                  "an angle between -90° and 90°");
    if (!poise_is_u(r->length_u_mm) || !poise_is_u(r->x_u_mm) || !poise_is_u(r->y_u_mm) ||
        !poise_is_u(r->angle_deg.u))
        return poise_refuse(faults, NULL, "an uncertainty that is negative or not finite",
                            "0 or more");
    return POISE_OK;
}

PoiseStatus poise_slip_friction(const PoiseSlipReading *reading, PoiseSlipResult *result,
                                PoiseFaults *faults)
{
    *result = (PoiseSlipResult){{NAN, NAN}, POISE_HOLDS};
    PoiseStatus status = check_slip(reading, faults);
    if (status)
        return status;
    PoiseSlipReading r = *reading;
    r.strap.friction = 0;
    double friction = NAN, variance = 0;
    status = needed(&r, &friction);
    if (!status)
        status = add_share(&r, &r.angle_deg.value, r.angle_deg.u, STEP_DEG, &variance);
    if (!status)
        status = add_share(&r, &r.centre.x_mm, r.x_u_mm, STEP_MM, &variance);
    if (!status)
        status = add_share(&r, &r.centre.y_mm, r.y_u_mm, STEP_MM, &variance);
    if (!status)
        status = add_share(&r, &r.strap.length_mm, r.length_u_mm, STEP_MM, &variance);
    PoiseInterval top;
    if (!status)
        status = poise_strap_window(&r.strap, r.angle_deg.value, &top);
    if (status)
        return poise_refuse_value(faults, "/angle", "neck angle", r.angle_deg.value, "°",
                                  "an angle at which the centre of mass hangs between the posts");
    double u = sqrt(variance);
    if (!(friction > u))
        return poise_refuse_value(faults, "/angle", "needed friction", friction, "",
                                  "more than its own uncertainty: it hangs freely near this angle");
    double station = poise_horizontal_mm(r.centre, r.angle_deg.value) -
                     poise_horizontal_mm(r.strap.tail, r.angle_deg.value);
    result->friction = (PoiseQuantity){friction, u};
    /* Without friction the window is the one point at which the strap hangs evenly. */
    result->slips = station > top.hi ? POISE_NECK_HEAVY : POISE_TAIL_HEAVY;
    return POISE_OK;
}
