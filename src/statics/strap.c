#include "statics/strap.h"

#include <math.h>
#include <stdio.h>

#include "base/faults.h"
#include "base/text.h"

PoiseStatus poise_refuse(PoiseFaults *faults, const char *pointer, const char *found,
                         const char *expected)
{
    return poise_fault_add(faults, &(PoiseFault){.status = POISE_E_DOMAIN,
                                                 .pointer = pointer,
                                                 .found = found,
                                                 .expected = expected});
}

/* A value for a message, to 0.001 of its unit; a finer one in full, so that it never reads as 0. */
static void value_text(double value, char out[32])
{
    double rounded = round(value * 1000.0) / 1000.0;
    if (isfinite(value))
        poise_double_text(rounded == 0 || !isfinite(rounded) ? value : rounded, out);
    else
        snprintf(out, 32, "%s", isnan(value) ? "not a number" : "infinite");
}

PoiseStatus poise_refuse_value(PoiseFaults *faults, const char *pointer, const char *name,
                               double value, const char *unit, const char *expected)
{
    char number[32], found[128];
    value_text(value, number);
    snprintf(found, sizeof found, "%s %s%s", name, number, isfinite(value) ? unit : "");
    return poise_refuse(faults, pointer, found, expected);
}

PoiseStatus poise_strap_check(const PoiseStrap *strap, PoiseFaults *faults)
{
    PoiseStatus status = POISE_OK;
    bool posts = poise_point_ok(strap->tail) && poise_point_ok(strap->horn);
    PoisePoint d = poise_from(strap->tail, strap->horn);
    double distance = hypot(d.x_mm, d.y_mm);
    if (!posts)
        status =
            poise_refuse(faults, "/posts", "a coordinate that is not finite or beyond a kilometre",
                         "positions of the two strap posts in mm");
    else if (distance < POISE_MIN_SPREAD_MM)
        status = poise_refuse(faults, "/posts", "both strap posts in one place", "two posts apart");
    else if (!(d.x_mm > POISE_MIN_SPREAD_MM))
        status =
            poise_refuse(faults, "/posts", "the horn post not nearer the head than the tail post",
                         "the horn post nearer the head (are the two swapped?)");
    if (!(strap->length_mm > 0) || !poise_within(strap->length_mm, POISE_MAX_LENGTH_MM)) {
        status = poise_refuse_value(faults, "/strap/length", "strap length", strap->length_mm,
                                    " mm", "a length above 0, in mm");
    } else if (posts && !(strap->length_mm > distance)) {
        char number[32], expected[96];
        value_text(distance, number);
        snprintf(expected, sizeof expected, "longer than the %s mm between the posts", number);
        status = poise_refuse_value(faults, "/strap/length", "strap length", strap->length_mm,
                                    " mm", expected);
    }
    if (!(strap->friction >= 0) || !isfinite(strap->friction))
        status = poise_refuse_value(faults, "/strap/friction", "friction", strap->friction, "",
                                    "a coefficient of 0 or more");
    return status;
}

PoiseBelt poise_belt(const PoiseStrap *strap, PoiseTurn turn)
{
    PoisePoint d = poise_from(strap->tail, strap->horn);
    return (PoiseBelt){.span_mm = poise_turned_h(turn, d),
                       .rise_mm = poise_turned_v(turn, d),
                       .distance_mm = hypot(d.x_mm, d.y_mm),
                       .length_mm = strap->length_mm,
                       .friction = strap->friction};
}
