#include "doubt/balance.h"

#include <math.h>

#include "statics/lever.h"
#include "statics/seat.h"
#include "statics/strap.h"

/* Least slack of a strap, as a part of the posts' distance: a strap that is drawn straight has no
 * window to speak of, and no one can sling it. */
static const double LEAST_SLACK = 1e-3;
/* Steps of the neck angle stay inside ±90° by this. */
static const double UPRIGHT_DEG = 89.999;

static const PoiseHanging NO_HANGING = {.station_mm = NAN,
                                        .window_mm = {NAN, NAN},
                                        .margin_mm = NAN,
                                        .needed_friction = NAN,
                                        .hand_load_g = NAN,
                                        .hold_range_deg = {NAN, NAN},
                                        .settles_at_deg = NAN};

PoiseStrapBalance poise_strap_balance_none(void)
{
    return (PoiseStrapBalance){NO_HANGING, (double)NAN, (double)NAN};
}

double poise_shortest_strap_mm(const PoiseStrap *strap)
{
    return (1.0 + LEAST_SLACK) *
           hypot(strap->horn.x_mm - strap->tail.x_mm, strap->horn.y_mm - strap->tail.y_mm);
}

static double nearest_stable(const PoiseHanging *hanging, double angle_deg)
{
    double best = (double)NAN;
    for (size_t i = 0; i < hanging->free_hang_count; i++) {
        const PoiseFreeHang *f = &hanging->free_hangs[i];
        if (f->stable &&
            (isnan(best) || fabs(f->neck_angle_deg - angle_deg) < fabs(best - angle_deg)))
            best = f->neck_angle_deg;
    }
    return best;
}

static PoisePoint centre_of(const PoisePosture *s)
{
    return (PoisePoint){s->centre_mm[0], s->centre_mm[1]};
}

PoiseStatus poise_strap_balance(const PoisePosture *s, PoiseStrapBalance *out, PoiseFaults *faults)
{
    *out = poise_strap_balance_none();
    /* Without a known hand position the load is asked for at the horn post and then taken back. */
    PoiseStatus status =
        poise_strap_hang(&s->strap, centre_of(s), s->mass_g, s->neck_angle_deg,
                         s->has_hand ? s->hand : s->strap.horn, &out->hanging, faults);
    if (status)
        return status;
    if (!s->has_hand && out->hanging.hand_load_g != 0.0)
        out->hanging.hand_load_g = (double)NAN;
    out->free_hang_deg = nearest_stable(&out->hanging, s->neck_angle_deg);
    /* No lean to speak of when the centre lies on the hinge, or the hinge is vertical. */
    if (poise_lean(s->tail_mm, s->horn_mm, s->centre_mm, s->neck_angle_deg, &out->lean_deg))
        out->lean_deg = (double)NAN;
    return POISE_OK;
}

PoiseStatus poise_seat_balance(const PoisePosture *s, PoiseResting *out)
{
    PoiseStatus status = poise_seat_rest(&s->seat, centre_of(s), s->mass_g, s->neck_angle_deg,
                                         s->has_hand ? s->hand : s->seat.rest, out);
    if (!status && !s->has_hand && out->verdict != POISE_HOLDS)
        out->hand_load_g = (double)NAN;
    return status;
}

static void strap_results(const PoisePosture *s, double *y)
{
    PoiseStrapBalance b;
    if (poise_strap_balance(s, &b, NULL))
        return;
    const PoiseHanging *h = &b.hanging;
    y[POISE_OUT_STATION] = h->station_mm;
    y[POISE_OUT_WINDOW_LO] = h->window_mm.lo;
    y[POISE_OUT_WINDOW_HI] = h->window_mm.hi;
    y[POISE_OUT_MARGIN] = h->margin_mm;
    y[POISE_OUT_FRICTION] = h->needed_friction;
    y[POISE_OUT_LOAD] = h->hand_load_g;
    y[POISE_OUT_HOLD_LO] = h->hold_range_deg.lo;
    y[POISE_OUT_HOLD_HI] = h->hold_range_deg.hi;
    y[POISE_OUT_SETTLES] = h->settles_at_deg;
    y[POISE_OUT_FREE_HANG] = b.free_hang_deg;
    y[POISE_OUT_LEAN] = b.lean_deg;
    if (!s->has_hand)
        return;
    double hand = poise_turned_h(poise_turn(s->neck_angle_deg), poise_from(s->strap.tail, s->hand));
    y[POISE_OUT_LEVER_LO] = poise_lever_strap_load(s->mass_g, h->station_mm, h->window_mm.lo, hand);
    y[POISE_OUT_LEVER_HI] = poise_lever_strap_load(s->mass_g, h->station_mm, h->window_mm.hi, hand);
}

static void seat_results(const PoisePosture *s, double *y)
{
    PoiseResting r;
    if (poise_seat_balance(s, &r))
        return;
    PoiseTurn turn = poise_turn(s->neck_angle_deg);
    double from = poise_turned_h(turn, s->has_strap ? s->strap.tail : s->seat.rest);
    y[POISE_OUT_SEAT_STATION] = r.horizontal_mm - from;
    y[POISE_OUT_SEAT_WINDOW_LO] = r.window_mm.lo - from;
    y[POISE_OUT_SEAT_WINDOW_HI] = r.window_mm.hi - from;
    y[POISE_OUT_SEAT_LOAD] = r.hand_load_g;
    if (!s->has_hand)
        return;
    PoiseSeatLever lever = poise_seat_lever(&s->seat, turn, centre_of(s), s->mass_g, s->hand);
    double half = s->seat.half_width_mm;
    y[POISE_OUT_SEAT_LEVER_LO] =
        poise_lever_hand_load(lever.weight_g, lever.station_mm, -half, lever.hand_mm);
    y[POISE_OUT_SEAT_LEVER_HI] =
        poise_lever_hand_load(lever.weight_g, lever.station_mm, half, lever.hand_mm);
}

void poise_balance_model(const double *x, double *y, const void *context)
{
    PoisePosture s = *(const PoisePosture *)context;
    s.mass_g = x[POISE_IN_MASS];
    for (int i = 0; i < 3; i++)
        s.centre_mm[i] = x[POISE_IN_X + i];
    s.strap.friction = x[POISE_IN_FRICTION];
    s.strap.length_mm = x[POISE_IN_LENGTH];
    s.neck_angle_deg = x[POISE_IN_ANGLE];
    s.seat.arm_g = x[POISE_IN_ARM];
    for (int k = 0; k < POISE_OUT_COUNT; k++)
        y[k] = (double)NAN;
    if (s.has_strap)
        strap_results(&s, y);
    if (s.has_seat)
        seat_results(&s, y);
}

void poise_balance_inputs(const PoisePosture *s, PoiseInput inputs[POISE_IN_COUNT])
{
    const double none = (double)INFINITY;
    const double values[POISE_IN_COUNT] = {s->mass_g,         s->centre_mm[0],   s->centre_mm[1],
                                           s->centre_mm[2],   s->strap.friction, s->strap.length_mm,
                                           s->neck_angle_deg, s->seat.arm_g};
    for (int i = 0; i < POISE_IN_COUNT; i++)
        inputs[i] = (PoiseInput){values[i], 0.0, -none, none};
    inputs[POISE_IN_MASS].least = 0.0;
    inputs[POISE_IN_FRICTION].least = 0.0;
    /* Never above the value itself: the file's strap may be as taut as it likes. */
    inputs[POISE_IN_LENGTH].least = fmin(poise_shortest_strap_mm(&s->strap), s->strap.length_mm);
    inputs[POISE_IN_ANGLE].least = -UPRIGHT_DEG;
    inputs[POISE_IN_ANGLE].most = UPRIGHT_DEG;
    inputs[POISE_IN_ARM].least = 0.0;
}
