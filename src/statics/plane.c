#include "poise/statics.h"

#include <math.h>

#include "base/vec.h"
#include "statics/strap.h"

PoiseTurn poise_turn(double neck_angle_deg)
{
    PoiseTurn turn;
    poise_sincos_deg(neck_angle_deg, &turn.s, &turn.c);
    return turn;
}

double poise_horizontal_mm(PoisePoint p, double neck_angle_deg)
{
    return isfinite(neck_angle_deg) ? poise_turned_h(poise_turn(neck_angle_deg), p) : NAN;
}

double poise_vertical_mm(PoisePoint p, double neck_angle_deg)
{
    return isfinite(neck_angle_deg) ? poise_turned_v(poise_turn(neck_angle_deg), p) : NAN;
}

bool poise_within(double value, double limit)
{
    return fabs(value) <= limit; /* false for NaN */
}

bool poise_point_ok(PoisePoint p)
{
    return poise_within(p.x_mm, POISE_MAX_LENGTH_MM) && poise_within(p.y_mm, POISE_MAX_LENGTH_MM);
}

const char *poise_verdict_name(PoiseVerdict verdict)
{
    switch (verdict) {
    case POISE_HOLDS:
        return "holds";
    case POISE_NECK_HEAVY:
        return "neck-heavy";
    case POISE_TAIL_HEAVY:
        break;
    }
    return "tail-heavy";
}
