/* The strap and the leg: the instrument's centre, posts and seat carried into the plane of the
 * face. */
#include <math.h>

#include "base/faults.h"
#include "model/place.h"
#include "weigh/weigh_parts.h"

/* A fault of the statics carries a pointer but no place in the file: add it. */
static PoiseStatus pass_on(PoiseFaults *to, const PoiseFaults *from, const PoiseInstrument *in)
{
    PoiseStatus status = poise_faults_status(from);
    for (size_t i = 0; i < poise_faults_count(from); i++)
        poise_instrument_fault(in, poise_faults_get(from, i), to);
    return status;
}

PoisePosture poise_weigh_posture(const PoiseInstrument *in, const PoiseAxes *axes,
                                 const PoiseWeighing *w)
{
    PoisePosture posture = {.mass_g = w->total.mass_g,
                            .neck_angle_deg = in->neck_angle_deg.value,
                            .has_hand = in->has_hand,
                            .hand = w->hand};
    poise_axes_xyz(axes, w->total.centre_mm, posture.centre_mm);
    return posture;
}

PoiseStatus poise_weigh_strap(const PoiseInstrument *in, const PoiseAxes *axes,
                              PoisePosture *posture, PoiseWeighing *w, PoiseFaults *faults)
{
    PoiseStrapBalance balance = poise_strap_balance_none();
    w->hanging = balance.hanging;
    w->free_hang_deg = w->lean_deg = w->margin_u_mm = w->p_neck_heavy = (double)NAN;
    if (!in->has_posts || !in->has_strap)
        return POISE_OK;
    w->strap = (PoiseStrap){.tail = poise_axes_point(axes, in->tail_mm),
                            .horn = poise_axes_point(axes, in->horn_mm),
                            .length_mm = in->strap_mm.value,
                            .friction = in->friction.value};
    w->friction_u = in->friction.u;
    posture->strap = w->strap;
    poise_axes_xyz(axes, in->tail_mm, posture->tail_mm);
    poise_axes_xyz(axes, in->horn_mm, posture->horn_mm);
    PoiseFaults *own = poise_faults_new();
    if (!own)
        return poise_fault_memory(faults);
    PoiseStatus status = poise_strap_balance(posture, &balance, own);
    if (status)
        status = pass_on(faults, own, in);
    poise_faults_free(own);
    if (status)
        return status;
    posture->has_strap = w->has_strap = true;
    w->hanging = balance.hanging;
    w->free_hang_deg = balance.free_hang_deg;
    w->lean_deg = balance.lean_deg;
    return POISE_OK;
}

PoiseStatus poise_weigh_seat(const PoiseInstrument *in, const PoiseAxes *axes,
                             PoisePosture *posture, PoiseWeighing *w, PoiseFaults *faults)
{
    w->tail_h_mm = in->has_posts
                       ? poise_horizontal_mm(poise_axes_point(axes, in->tail_mm), w->neck_angle_deg)
                       : (double)NAN;
    w->seat_from_h_mm = (double)NAN;
    if (!in->has_seat)
        return POISE_OK;
    posture->seat = (PoiseSeat){.rest = poise_axes_point(axes, in->rest_mm),
                                .half_width_mm = 0.5 * in->seat_width_mm,
                                .has_arm = in->has_arm,
                                .arm = poise_axes_point(axes, in->arm_mm),
                                .arm_g = in->arm_g.value};
    if (poise_seat_balance(posture, &w->resting))
        return poise_instrument_fault(
            in,
            &(PoiseFault){.status = POISE_E_INPUT,
                          .pointer = "/seat",
                          .found = "a seat that cannot be solved",
                          .expected = "finite numbers, width and arm mass not negative"},
            faults);
    posture->has_seat = w->has_seat = true;
    w->seat_from_h_mm =
        in->has_posts ? w->tail_h_mm : poise_horizontal_mm(posture->seat.rest, w->neck_angle_deg);
    w->has_arm = in->has_arm;
    return POISE_OK;
}
