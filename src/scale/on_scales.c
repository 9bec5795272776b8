/* Several scales under one instrument: the sum of moments, as aircraft are weighed
 * (FAA-H-8083-1). */
#include <math.h>

#include "base/sum.h"
#include "scale/home_methods.h"
#include "scale/refusal.h"

/* mm. Supports nearer together than this say nothing about where between them the load is: kitchen
 * scales are off by a gram, and the station by that gram's share of the distance. */
static const double LEAST_SPREAD_MM = 10;

static PoiseStatus check_support(const PoiseSupport *s, size_t i, PoiseFaults *faults)
{
    if (!poise_within(s->station_mm.value, POISE_MAX_LENGTH_MM))
        return poise_refuse_reading(faults, "supports", i, "station",
                                    "a station that is not finite or beyond a kilometre",
                                    "a distance in mm");
    if (!(s->load_g.value >= 0) || !poise_within(s->load_g.value, POISE_MAX_LENGTH_MM))
        return poise_refuse_reading(faults, "supports", i, "load",
                                    "a load below 0 or beyond a tonne",
                                    "what the scale shows, 0 g or more");
    if (!poise_is_u(s->station_mm.u) || !poise_is_u(s->load_g.u))
        return poise_refuse_reading(faults, "supports", i, NULL,
                                    "an uncertainty that is negative or not finite", "0 or more");
    return POISE_OK;
}

static PoiseStatus check_supports(const PoiseSupport *supports, size_t count, PoiseFaults *faults)
{
    if (count < 2 || count > POISE_MOST_SUPPORTS)
        return poise_refuse(faults, "/supports", "fewer than two scales, or more than four",
                            "two to four");
    double lo = INFINITY, hi = -INFINITY, mass = 0;
    PoiseStatus status = POISE_OK;
    for (size_t i = 0; i < count && !status; i++) {
        status = check_support(&supports[i], i, faults);
        lo = fmin(lo, supports[i].station_mm.value);
        hi = fmax(hi, supports[i].station_mm.value);
        mass += supports[i].load_g.value;
    }
    if (status)
        return status;
    if (!(hi - lo >= LEAST_SPREAD_MM))
        return poise_refuse(faults, "/supports", "supports in one place",
                            "supports at least 10 mm apart; half the instrument's length is good");
    if (!(mass > 0))
        return poise_refuse(faults, "/supports", "no load on any scale", "some load");
    return POISE_OK;
}

PoiseStatus poise_weigh_on_scales(const PoiseSupport *supports, size_t count,
                                  PoiseScaleResult *result, PoiseFaults *faults)
{
    *result = (PoiseScaleResult){{NAN, NAN}, {NAN, NAN}, NAN};
    PoiseStatus status = check_supports(supports, count, faults);
    if (status)
        return status;
    /* Moments about the first support, so that a far-away origin costs no digits. */
    double origin = supports[0].station_mm.value;
    PoiseSum mass = {0}, moment = {0};
    for (size_t i = 0; i < count; i++) {
        poise_sum_add(&mass, supports[i].load_g.value);
        poise_sum_add(&moment, supports[i].load_g.value * (supports[i].station_mm.value - origin));
    }
    double m = poise_sum_value(&mass), x = poise_sum_value(&moment) / m;
    double var_m = 0, var_x = 0, cov = 0;
    for (size_t i = 0; i < count; i++) {
        double uf = supports[i].load_g.u;
        double by_load = (supports[i].station_mm.value - origin - x) / m;
        double by_station = supports[i].load_g.value / m * supports[i].station_mm.u;
        var_m += uf * uf;
        var_x += by_load * uf * by_load * uf + by_station * by_station;
        cov += by_load * uf * uf;
    }
    result->mass_g = (PoiseQuantity){m, sqrt(var_m)};
    result->station_mm = (PoiseQuantity){origin + x, sqrt(var_x)};
    result->correlation = var_m > 0 && var_x > 0 ? cov / sqrt(var_m * var_x) : 0;
    return POISE_OK;
}
