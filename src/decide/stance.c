#include "decide/stance.h"

#include <math.h>
#include <string.h>

#include "base/vec.h"
#include "statics/lever.h"

static const double NOT_GIVEN = (double)NAN;

static void set3(double to[3], const double from[3], bool given)
{
    for (int i = 0; i < 3; i++)
        to[i] = given ? from[i] : NOT_GIVEN;
}

PoiseStanceSetting poise_stance_setting(const PoiseInstrument *in)
{
    PoiseStanceSetting s = {
        .axes = poise_frame_axes(&in->frame),
        .neck_angle_deg = in->neck_angle_deg.value,
        .strap_mm = in->has_strap ? in->strap_mm.value : NOT_GIVEN,
        .friction = in->has_strap ? in->friction.value : NOT_GIVEN,
        .seat_width_mm = in->has_seat ? in->seat_width_mm : NOT_GIVEN,
        .arm_g = in->has_seat && in->has_arm ? in->arm_g.value : NOT_GIVEN,
        .target_mass_g = in->has_target_mass ? in->target_mass_g : NOT_GIVEN,
        .target_hand_load_g = in->has_target_hand_load ? in->target_hand_load_g : NOT_GIVEN,
        .target_margin_mm = in->has_target_margin ? in->target_margin_mm : NOT_GIVEN,
    };
    set3(s.tail_mm, in->tail_mm, in->has_posts);
    set3(s.horn_mm, in->horn_mm, in->has_posts);
    set3(s.hand_mm, in->hand_mm, in->has_hand);
    set3(s.rest_mm, in->rest_mm, in->has_seat);
    set3(s.arm_mm, in->arm_mm, in->has_seat && in->has_arm);
    return s;
}

/* Distance from one point to another along a direction; NAN when either is not given. */
static double along(const double direction[3], const double from[3], const double to[3])
{
    double d[3];
    for (int i = 0; i < 3; i++)
        d[i] = to[i] - from[i];
    return poise_dot(direction, d);
}

static PoiseStatus solve_window(const PoiseStanceSetting *set, PoiseStance *s, PoiseFaults *faults)
{
    if (isnan(set->strap_mm) || isnan(set->tail_mm[0]))
        return POISE_OK;
    PoiseStrap strap = {.tail = poise_axes_point(&set->axes, set->tail_mm),
                        .horn = poise_axes_point(&set->axes, set->horn_mm),
                        .length_mm = set->strap_mm,
                        .friction = set->friction};
    PoiseStatus status = poise_strap_check(&strap, faults);
    if (status)
        return status;
    /* Without a window at this angle there is no verdict; that is no fault of the strap. */
    s->has_strap = !poise_strap_window(&strap, set->neck_angle_deg, &s->window_mm);
    return POISE_OK;
}

static void place_seat(const PoiseStanceSetting *set, const double origin_mm[3], PoiseStance *s)
{
    s->has_seat = !isnan(set->seat_width_mm);
    s->on_leg = s->has_seat && (isnan(set->strap_mm) || isnan(set->tail_mm[0]));
    s->rest_h_mm = along(s->horizontal, origin_mm, set->rest_mm);
    s->half_width_mm = 0.5 * set->seat_width_mm;
    s->seat_hand_mm = along(s->horizontal, set->rest_mm, set->hand_mm);
    s->arm_g = isnan(set->arm_g) ? 0.0 : set->arm_g;
    s->arm_h_mm = s->arm_g > 0.0 ? along(s->horizontal, set->rest_mm, set->arm_mm) : 0.0;
}

PoiseStatus poise_stance_solve(const PoiseStanceSetting *set, const double origin_mm[3],
                               PoiseStance *s, PoiseFaults *faults)
{
    *s = (PoiseStance){.window_mm = {NOT_GIVEN, NOT_GIVEN},
                       .target_mass_g = set->target_mass_g,
                       .target_hand_load_g = set->target_hand_load_g,
                       .target_margin_mm = set->target_margin_mm};
    poise_axes_horizontal(&set->axes, set->neck_angle_deg, s->horizontal);
    s->tail_h_mm = along(s->horizontal, origin_mm, set->tail_mm);
    s->hand_mm = along(s->horizontal, set->tail_mm, set->hand_mm);
    place_seat(set, origin_mm, s);
    return solve_window(set, s, faults);
}

static void judge_strap(const PoiseStance *s, PoiseBalance *b)
{
    b->has_strap = s->has_strap;
    if (!s->has_strap)
        return;
    b->margin_mm = s->window_mm.hi - b->station_mm;
    b->verdict = poise_lever_verdict(b->station_mm, s->window_mm);
    b->hand_load_g = 0.0;
    if (b->verdict == POISE_HOLDS)
        return;
    double edge = poise_lever_edge(b->verdict, s->window_mm);
    /* A hand that is not headwards of the edge cannot relieve the strap by lifting. */
    b->hand_load_g = s->hand_mm > edge
                         ? poise_lever_hand_load(b->mass_g, b->station_mm, edge, s->hand_mm)
                         : NOT_GIVEN;
}

static void judge_seat(const PoiseStance *s, double centre_h_mm, PoiseBalance *b)
{
    b->has_seat = s->has_seat;
    if (!s->has_seat)
        return;
    double weight = b->mass_g + s->arm_g, at = centre_h_mm - s->rest_h_mm;
    at += (s->arm_h_mm - at) * (s->arm_g / weight);
    PoiseInterval window = {-s->half_width_mm, s->half_width_mm};
    b->seat_margin_mm = window.hi - at;
    b->seat_verdict = poise_lever_verdict(at, window);
    b->seat_hand_load_g = 0.0;
    if (b->seat_verdict != POISE_HOLDS)
        b->seat_hand_load_g = poise_lever_hand_load(
            weight, at, poise_lever_edge(b->seat_verdict, window), s->seat_hand_mm);
}

/* A target that is not given is met; one that cannot be judged is not. */
static bool targets_met(const PoiseStance *s, const PoiseBalance *b)
{
    double load_g = s->on_leg ? b->seat_hand_load_g : b->hand_load_g;
    double margin_mm = s->on_leg ? b->seat_margin_mm : b->margin_mm;
    return (isnan(s->target_mass_g) || b->mass_g <= s->target_mass_g) &&
           (isnan(s->target_hand_load_g) || fabs(load_g) <= s->target_hand_load_g) &&
           (isnan(s->target_margin_mm) || margin_mm >= s->target_margin_mm);
}

PoiseBalance poise_stance_judge(const PoiseStance *s, double mass_g, const double moment_gmm[3])
{
    PoiseBalance b = {.mass_g = mass_g,
                      .margin_mm = NOT_GIVEN,
                      .hand_load_g = NOT_GIVEN,
                      .seat_hand_load_g = NOT_GIVEN,
                      .seat_margin_mm = NOT_GIVEN};
    double centre_h_mm = poise_dot(s->horizontal, moment_gmm) / mass_g;
    b.station_mm = centre_h_mm - s->tail_h_mm;
    judge_strap(s, &b);
    judge_seat(s, centre_h_mm, &b);
    b.targets_met = targets_met(s, &b);
    return b;
}
