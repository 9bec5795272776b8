/* Mass added or taken away to bring a centre to the edge it has left. Moments about that edge e:
 * M (h_G − h_e) + m (h_q − h_e) = 0. This is the ballast rule of aircraft weight and balance:
 * weight times the distance out of limits over the arm from the ballast station to the limit. */
#include <math.h>

#include "statics/lever.h"
#include "statics/strap.h"

PoiseVerdict poise_lever_verdict(double station_mm, PoiseInterval window_mm)
{
    if (station_mm > window_mm.hi + POISE_EDGE_MM)
        return POISE_NECK_HEAVY;
    return station_mm < window_mm.lo - POISE_EDGE_MM ? POISE_TAIL_HEAVY : POISE_HOLDS;
}

double poise_lever_edge(PoiseVerdict verdict, PoiseInterval window_mm)
{
    return verdict == POISE_NECK_HEAVY ? window_mm.hi : window_mm.lo;
}

double poise_lever_hand_load(double weight_g, double station_mm, double edge_mm, double hand_mm)
{
    double arm = hand_mm - edge_mm;
    if (!(fabs(arm) > POISE_EDGE_MM))
        return NAN;
    double load = weight_g * (station_mm - edge_mm) / arm;
    return load <= weight_g ? load : NAN;
}

double poise_lever_strap_load(double weight_g, double station_mm, double edge_mm, double hand_mm)
{
    return hand_mm > edge_mm ? poise_lever_hand_load(weight_g, station_mm, edge_mm, hand_mm) : NAN;
}

static bool lever_ok(double weight_g, double station_mm, PoiseInterval window_mm, double at_mm)
{
    return weight_g > 0 && isfinite(weight_g) && poise_within(station_mm, POISE_MAX_LENGTH_MM) &&
           poise_within(at_mm, POISE_MAX_LENGTH_MM) &&
           poise_within(window_mm.lo, POISE_MAX_LENGTH_MM) &&
           poise_within(window_mm.hi, POISE_MAX_LENGTH_MM) && window_mm.lo <= window_mm.hi;
}

/* The mass m ≥ 0 with M (h_G − h_e) = m · arm, arm counted so that a helpful place has the sign of
 * the excess. */
static PoiseStatus balance(double weight_g, double excess_mm, double arm_mm, double *mass_g)
{
    bool helps = (excess_mm > 0) == (arm_mm > 0) && fabs(arm_mm) > POISE_EDGE_MM;
    if (!helps)
        return POISE_E_DOMAIN;
    *mass_g = weight_g * excess_mm / arm_mm;
    return POISE_OK;
}

PoiseStatus poise_ballast_needed(double weight_g, double station_mm, PoiseInterval window_mm,
                                 double ballast_station_mm, double *ballast_g)
{
    *ballast_g = NAN;
    if (!lever_ok(weight_g, station_mm, window_mm, ballast_station_mm))
        return POISE_E_DOMAIN;
    PoiseVerdict verdict = poise_lever_verdict(station_mm, window_mm);
    if (verdict == POISE_HOLDS) {
        *ballast_g = 0;
        return POISE_OK;
    }
    double edge = poise_lever_edge(verdict, window_mm);
    return balance(weight_g, station_mm - edge, edge - ballast_station_mm, ballast_g);
}

PoiseStatus poise_removal_needed(double weight_g, double station_mm, PoiseInterval window_mm,
                                 double removal_station_mm, double *removal_g)
{
    *removal_g = NAN;
    if (!lever_ok(weight_g, station_mm, window_mm, removal_station_mm))
        return POISE_E_DOMAIN;
    PoiseVerdict verdict = poise_lever_verdict(station_mm, window_mm);
    if (verdict == POISE_HOLDS) {
        *removal_g = 0;
        return POISE_OK;
    }
    double edge = poise_lever_edge(verdict, window_mm), removal = NAN;
    PoiseStatus status = balance(weight_g, station_mm - edge, removal_station_mm - edge, &removal);
    if (status)
        return status;
    if (removal >= weight_g) /* nothing would be left */
        return POISE_E_DOMAIN;
    *removal_g = removal;
    return POISE_OK;
}
