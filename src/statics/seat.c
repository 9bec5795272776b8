/* Resting on the leg. The waist rolls on the thigh, so the reaction may act anywhere within
 * rest ± half width; the playing arm's weight joins the instrument's. */
#include <math.h>

#include "statics/lever.h"
#include "statics/seat.h"

static bool seat_ok(const PoiseSeat *seat, PoisePoint centre, double weight_g,
                    double neck_angle_deg, PoisePoint hand)
{
    bool arm =
        !seat->has_arm || (poise_point_ok(seat->arm) && seat->arm_g >= 0 && isfinite(seat->arm_g));
    return arm && poise_point_ok(seat->rest) && seat->half_width_mm >= 0 &&
           poise_within(seat->half_width_mm, POISE_MAX_LENGTH_MM) && poise_point_ok(centre) &&
           poise_point_ok(hand) && weight_g > 0 && isfinite(weight_g) && isfinite(neck_angle_deg);
}

PoiseSeatLever poise_seat_lever(const PoiseSeat *seat, PoiseTurn turn, PoisePoint centre,
                                double weight_g, PoisePoint hand)
{
    PoiseSeatLever lever = {.weight_g = weight_g,
                            .station_mm = poise_turned_h(turn, poise_from(seat->rest, centre)),
                            .hand_mm = poise_turned_h(turn, poise_from(seat->rest, hand))};
    if (seat->has_arm && seat->arm_g > 0) {
        double arm = poise_turned_h(turn, poise_from(seat->rest, seat->arm));
        lever.weight_g += seat->arm_g;
        lever.station_mm += (arm - lever.station_mm) * (seat->arm_g / lever.weight_g);
    }
    return lever;
}

PoiseStatus poise_seat_rest(const PoiseSeat *seat, PoisePoint centre, double weight_g,
                            double neck_angle_deg, PoisePoint hand, PoiseResting *resting)
{
    *resting = (PoiseResting){.horizontal_mm = NAN, .window_mm = {NAN, NAN}, .hand_load_g = NAN};
    if (!seat_ok(seat, centre, weight_g, neck_angle_deg, hand))
        return POISE_E_DOMAIN;

    PoiseTurn turn = poise_turn(neck_angle_deg);
    PoiseSeatLever lever = poise_seat_lever(seat, turn, centre, weight_g, hand);
    double station = lever.station_mm;
    PoiseInterval window = {-seat->half_width_mm, seat->half_width_mm};
    resting->verdict = poise_lever_verdict(station, window);
    resting->hand_load_g = 0;
    if (resting->verdict != POISE_HOLDS)
        resting->hand_load_g = poise_lever_hand_load(
            lever.weight_g, station, poise_lever_edge(resting->verdict, window), lever.hand_mm);
    double rest = poise_turned_h(turn, seat->rest);
    resting->horizontal_mm = rest + station;
    resting->window_mm = (PoiseInterval){rest + window.lo, rest + window.hi};
    return POISE_OK;
}
