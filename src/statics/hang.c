/* Everything about hanging at one neck angle, put together. */
#include <math.h>

#include "statics/free_hang.h"
#include "statics/lever.h"
#include "statics/range.h"

static PoiseStatus check_hanging(const PoiseStrap *strap, PoisePoint centre, double weight_g,
                                 double neck_angle_deg, PoisePoint hand, PoiseFaults *faults)
{
    PoiseStatus status = poise_strap_check(strap, faults);
    if (!poise_point_ok(centre))
        status =
            poise_refuse(faults, NULL, "a centre of mass that is not finite or beyond a kilometre",
                         "a position in mm");
    if (!(weight_g > 0) || !isfinite(weight_g))
        status = poise_refuse_value(faults, NULL, "weight", weight_g, " g", "a weight above 0");
    if (!(fabs(neck_angle_deg) < 90.0))
        status = poise_refuse_value(faults, "/stance/neck_angle", "neck angle", neck_angle_deg, "°",
                                    "an angle between -90° and 90°");
    if (!poise_point_ok(hand))
        status = poise_refuse(faults, "/stance/hand",
                              "a coordinate that is not finite or beyond a kilometre",
                              "a position in mm");
    return status;
}

static double hand_load(double weight_g, const PoiseHanging *hanging, double hand_station_mm)
{
    if (hanging->verdict == POISE_HOLDS)
        return 0;
    double edge = poise_lever_edge(hanging->verdict, hanging->window_mm);
    return poise_lever_strap_load(weight_g, hanging->station_mm, edge, hand_station_mm);
}

static void at_playing_angle(const PoiseStrap *strap, PoisePoint centre, double weight_g,
                             PoiseTurn turn, PoisePoint hand, PoiseHanging *hanging)
{
    PoiseBelt belt = poise_belt(strap, turn);
    double station = poise_turned_h(turn, centre);
    hanging->station_mm = station;
    if (!poise_belt_spreads(&belt))
        return;
    hanging->window_mm = poise_belt_window(&belt);
    hanging->margin_mm = hanging->window_mm.hi - station;
    if (station > 0 && station < belt.span_mm)
        hanging->needed_friction = fabs(poise_belt_friction(&belt, station));
    /* By the same test as the scan over angles, so that the two never disagree on an edge. */
    double eased = poise_belt_eased_friction(&belt, station);
    hanging->has_verdict = true;
    hanging->verdict = eased > belt.friction    ? POISE_NECK_HEAVY
                       : eased < -belt.friction ? POISE_TAIL_HEAVY
                                                : POISE_HOLDS;
    hanging->hand_load_g = hand_load(weight_g, hanging, poise_turned_h(turn, hand));
}

static void over_angles(const PoiseStrap *strap, PoisePoint centre, double neck_angle_deg,
                        PoiseHanging *hanging)
{
    PoiseHoldRange range = poise_hold_range(strap, centre, neck_angle_deg);
    hanging->holds_somewhere = range.holds_somewhere;
    hanging->hold_range_deg = range.nearest_deg;
    if (!hanging->has_verdict)
        return;
    hanging->settles_at_deg = poise_settles_at(&range, hanging->verdict, neck_angle_deg);
    if (hanging->verdict != POISE_HOLDS)
        return;
    /* A centre on a post, within POISE_EDGE_MM, is just outside what the scan walks. */
    if (!range.holds_somewhere)
        hanging->hold_range_deg = (PoiseInterval){neck_angle_deg, neck_angle_deg};
    hanging->holds_somewhere = true;
    hanging->hold_range_deg.lo = fmin(hanging->hold_range_deg.lo, neck_angle_deg);
    hanging->hold_range_deg.hi = fmax(hanging->hold_range_deg.hi, neck_angle_deg);
}

PoiseStatus poise_strap_hang(const PoiseStrap *strap, PoisePoint centre, double weight_g,
                             double neck_angle_deg, PoisePoint hand, PoiseHanging *hanging,
                             PoiseFaults *faults)
{
    *hanging = (PoiseHanging){.station_mm = NAN,
                              .window_mm = {NAN, NAN},
                              .margin_mm = NAN,
                              .needed_friction = NAN,
                              .hand_load_g = NAN,
                              .hold_range_deg = {NAN, NAN},
                              .settles_at_deg = NAN};
    PoiseStatus status = check_hanging(strap, centre, weight_g, neck_angle_deg, hand, faults);
    if (status)
        return status;
    PoisePoint from_tail = poise_from(strap->tail, centre);
    PoiseTurn turn = poise_turn(neck_angle_deg);
    at_playing_angle(strap, from_tail, weight_g, turn, poise_from(strap->tail, hand), hanging);
    over_angles(strap, from_tail, neck_angle_deg, hanging);
    hanging->free_hang_count =
        poise_free_hangs(strap, from_tail, neck_angle_deg, hanging->free_hangs);
    return POISE_OK;
}
