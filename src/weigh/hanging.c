/* The strap and the leg: the instrument's centre, posts and seat carried into the plane of the
 * face. */
#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"
#include "weigh/weigh_parts.h"

/* Relative step of the one-sided differences that carry an input's uncertainty into the margin: one
 * standard uncertainty, as in JCGM 100 clause 5.1.3 note 2 (Z_i = ½[f(x + u) − f(x − u)]). */
static double half_spread(double plus, double minus)
{
    double half = 0.5 * (plus - minus);
    return isfinite(half) ? half : 0.0;
}

static double margin_at(const PoiseStrap *strap, PoisePoint centre, double angle_deg)
{
    PoiseInterval window;
    if (poise_strap_window(strap, angle_deg, &window))
        return (double)NAN;
    double station =
        poise_horizontal_mm(centre, angle_deg) - poise_horizontal_mm(strap->tail, angle_deg);
    return window.hi - station;
}

/* The margin's standard uncertainty: the centre along h, the friction, the strap's length and the
 * neck angle. */
static double margin_uncertainty(const PoiseInstrument *in, const PoiseWeighing *w,
                                 double centre_u_mm)
{
    double sum = centre_u_mm * centre_u_mm;
    double angle = w->neck_angle_deg;
    PoiseStrap up = w->strap, down = w->strap;
    up.friction += in->friction.u;
    down.friction = fmax(0.0, down.friction - in->friction.u);
    double d = half_spread(margin_at(&up, w->centre, angle), margin_at(&down, w->centre, angle));
    sum += d * d;
    up = down = w->strap;
    up.length_mm += in->strap_mm.u;
    down.length_mm -= in->strap_mm.u;
    d = half_spread(margin_at(&up, w->centre, angle), margin_at(&down, w->centre, angle));
    sum += d * d;
    double u_angle = in->neck_angle_deg.u;
    d = half_spread(margin_at(&w->strap, w->centre, angle + u_angle),
                    margin_at(&w->strap, w->centre, angle - u_angle));
    sum += d * d;
    return sqrt(sum);
}

/* Probability that the margin is negative, the margin taken as normal. */
static double probability_negative(double margin, double u)
{
    if (isnan(margin))
        return (double)NAN;
    if (!(u > 0.0))
        return margin < 0.0 ? 1.0 : 0.0;
    return 0.5 * erfc(margin / (u * sqrt(2.0)));
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

static void blank_hanging(PoiseHanging *h)
{
    double no = (double)NAN;
    *h = (PoiseHanging){.station_mm = no,
                        .window_mm = {no, no},
                        .margin_mm = no,
                        .needed_friction = no,
                        .hand_load_g = no,
                        .hold_range_deg = {no, no},
                        .settles_at_deg = no};
}

/* A fault of the statics carries a pointer but no file: add it. */
static PoiseStatus pass_on(PoiseFaults *to, const PoiseFaults *from, const char *file)
{
    PoiseStatus status = poise_faults_status(from);
    for (size_t i = 0; i < poise_faults_count(from); i++) {
        PoiseFault f = *poise_faults_get(from, i);
        f.file = file;
        poise_fault_add(to, &f);
    }
    return status;
}

PoiseStatus poise_weigh_strap(const PoiseInstrument *in, const PoiseAxes *axes,
                              const PoiseLedger *ledger, PoiseWeighing *w, PoiseFaults *faults)
{
    double no = (double)NAN;
    blank_hanging(&w->hanging);
    w->free_hang_deg = w->lean_deg = w->margin_u_mm = w->p_neck_heavy = no;
    if (!in->has_posts || !in->has_strap)
        return POISE_OK;
    w->strap = (PoiseStrap){.tail = poise_axes_point(axes, in->tail_mm),
                            .horn = poise_axes_point(axes, in->horn_mm),
                            .length_mm = in->strap_mm.value,
                            .friction = in->friction.value};
    w->friction_u = in->friction.u;
    PoisePoint hand = w->has_hand ? w->hand : (PoisePoint){no, no};
    PoiseFaults *own = poise_faults_new();
    if (!own)
        return poise_fault_memory(faults);
    PoiseStatus status = poise_strap_check(&w->strap, own);
    /* Without a known hand position the load is asked for at the horn post and then taken back. */
    if (!status)
        status = poise_strap_hang(&w->strap, w->centre, w->total.mass_g, w->neck_angle_deg,
                                  w->has_hand ? hand : w->strap.horn, &w->hanging, own);
    if (status)
        status = pass_on(faults, own, in->file);
    poise_faults_free(own);
    if (status)
        return status;
    w->has_strap = true;
    if (!w->has_hand && w->hanging.hand_load_g != 0.0)
        w->hanging.hand_load_g = no;
    w->free_hang_deg = nearest_stable(&w->hanging, w->neck_angle_deg);

    double along[3], tail[3], horn[3], centre[3];
    poise_axes_horizontal(axes, w->neck_angle_deg, along);
    w->margin_u_mm = margin_uncertainty(in, w, poise_ledger_station_u(ledger, along));
    w->p_neck_heavy = probability_negative(w->hanging.margin_mm, w->margin_u_mm);
    poise_axes_xyz(axes, in->tail_mm, tail);
    poise_axes_xyz(axes, in->horn_mm, horn);
    poise_axes_xyz(axes, w->total.centre_mm, centre);
    if (poise_lean(tail, horn, centre, w->neck_angle_deg, &w->lean_deg))
        w->lean_deg =
            no; /* the centre lies on the hinge, or the hinge is vertical: no lean to speak of */
    return POISE_OK;
}

PoiseStatus poise_weigh_seat(const PoiseInstrument *in, const PoiseAxes *axes, PoiseWeighing *w,
                             PoiseFaults *faults)
{
    double no = (double)NAN;
    w->tail_h_mm = in->has_posts
                       ? poise_horizontal_mm(poise_axes_point(axes, in->tail_mm), w->neck_angle_deg)
                       : no;
    if (!in->has_seat)
        return POISE_OK;
    PoiseSeat seat = {.rest = poise_axes_point(axes, in->rest_mm),
                      .half_width_mm = 0.5 * in->seat_width_mm,
                      .has_arm = in->has_arm,
                      .arm = poise_axes_point(axes, in->arm_mm),
                      .arm_g = in->arm_g.value};
    PoisePoint hand = w->has_hand ? w->hand : (PoisePoint){no, no};
    PoiseStatus status = poise_seat_rest(&seat, w->centre, w->total.mass_g, w->neck_angle_deg,
                                         w->has_hand ? hand : seat.rest, &w->resting);
    if (status)
        return poise_fault_add(
            faults, &(PoiseFault){.status = POISE_E_INPUT,
                                  .file = in->file,
                                  .pointer = "/seat",
                                  .found = "a seat that cannot be solved",
                                  .expected = "finite numbers, width and arm mass not negative"});
    w->has_seat = true;
    w->has_arm = in->has_arm;
    if (!w->has_hand && w->resting.verdict != POISE_HOLDS)
        w->resting.hand_load_g = no;
    return POISE_OK;
}
