#include "report/engine.h"

#include <math.h>

#include "base/memory.h"
#include "base/sum.h"
#include "bodies/printed_fill.h"
#include "doubt/balance.h"
#include "output/words.h"

_Static_assert(sizeof(PoiseEngineHead) % 8 == 0, "a head is an array of doubles");

const char *const POISE_ENGINE_RESULTS[] = {
    "mass_g",           "centre_x_mm",  "centre_y_mm",     "centre_z_mm",       "station_mm",
    "window_lo_mm",     "window_hi_mm", "margin_mm",       "verdict",           "needed_friction",
    "hand_load_g",      "hold_lo_deg",  "hold_hi_deg",     "settles_at_deg",    "free_hang_deg",
    "lean_deg",         "seat_verdict", "seat_station_mm", "seat_window_lo_mm", "seat_window_hi_mm",
    "seat_hand_load_g", "targets_met",  "centre_v_mm",     "horn_h_mm",         "horn_v_mm",
    "hand_h_mm",        "hand_v_mm",    "support_h_mm",    "support_v_mm",      NULL};
_Static_assert(sizeof POISE_ENGINE_RESULTS / sizeof *POISE_ENGINE_RESULTS - 1 ==
                   sizeof(PoiseEngineResult) / sizeof(double),
               "every result has a name");

static const PoiseEngineHead *head_of(const double *numbers)
{
    return (const PoiseEngineHead *)(const void *)numbers;
}

static const PoiseEngineSection *sections_of(const double *numbers)
{
    return (const PoiseEngineSection *)(const void *)(head_of(numbers) + 1);
}

static const PoiseEngineBallast *ballasts_of(const double *numbers)
{
    const PoiseEngineSection *end = sections_of(numbers) + (size_t)head_of(numbers)->section_count;
    return (const PoiseEngineBallast *)(const void *)end;
}

void poise_engine_place(const double *numbers, unsigned ballast, double at_mm[3])
{
    const PoiseEngineBallast *b = ballasts_of(numbers) + ballast;
    const PoiseAxes *axes = &head_of(numbers)->stance.axes;
    for (int i = 0; i < 3; i++)
        at_mm[i] = b->at_mm[i] + b->headwards_mm * axes->x[i] + b->upward_mm * axes->y[i];
}

static void add(PoiseSum sums[4], double mass_g, const double moment_gmm[3], double share)
{
    poise_sum_add(&sums[3], share * mass_g);
    for (int i = 0; i < 3; i++)
        poise_sum_add(&sums[i], share * moment_gmm[i]);
}

/* Mass and centre of mass, file coordinates. */
static void weigh(const double *numbers, PoiseEngineResult *r)
{
    const PoiseEngineHead *head = head_of(numbers);
    const PoiseEngineSection *section = sections_of(numbers);
    const PoiseEngineBallast *ballast = ballasts_of(numbers);
    PoiseSum sums[4] = {{0}};
    add(sums, head->rest_g, head->rest_gmm, 1.0);
    for (size_t i = 0; i < (size_t)head->section_count; i++) {
        add(sums, section[i].fixed_g, section[i].fixed_gmm, 1.0);
        add(sums, section[i].infill_g, section[i].infill_gmm,
            poise_infill_share(section[i].infill));
    }
    for (size_t i = 0; i < (size_t)head->ballast_count; i++) {
        double at[3];
        poise_engine_place(numbers, (unsigned)i, at);
        for (int k = 0; k < 3; k++)
            at[k] -= head->origin_mm[k];
        add(sums, 1.0, at, ballast[i].mass_g);
    }
    r->mass_g = poise_sum_value(&sums[3]);
    for (int i = 0; i < 3; i++)
        r->centre_mm[i] = head->origin_mm[i] + poise_sum_value(&sums[i]) / r->mass_g;
}

static PoisePosture posture_of(const PoiseStanceSetting *s, const PoiseEngineResult *r)
{
    PoisePosture p = {.mass_g = r->mass_g,
                      .neck_angle_deg = s->neck_angle_deg,
                      .has_hand = !isnan(s->hand_mm[0]),
                      .has_strap = !isnan(s->strap_mm) && !isnan(s->tail_mm[0]),
                      .has_seat = !isnan(s->seat_width_mm)};
    poise_axes_xyz(&s->axes, r->centre_mm, p.centre_mm);
    poise_axes_xyz(&s->axes, s->tail_mm, p.tail_mm);
    poise_axes_xyz(&s->axes, s->horn_mm, p.horn_mm);
    p.hand = poise_axes_point(&s->axes, s->hand_mm);
    p.strap = (PoiseStrap){.tail = poise_axes_point(&s->axes, s->tail_mm),
                           .horn = poise_axes_point(&s->axes, s->horn_mm),
                           .length_mm = s->strap_mm,
                           .friction = s->friction};
    p.seat = (PoiseSeat){.rest = poise_axes_point(&s->axes, s->rest_mm),
                         .half_width_mm = 0.5 * s->seat_width_mm,
                         .has_arm = !isnan(s->arm_g)};
    if (p.seat.has_arm) {
        p.seat.arm = poise_axes_point(&s->axes, s->arm_mm);
        p.seat.arm_g = s->arm_g;
    }
    return p;
}

static void tell_strap(const PoiseStrapBalance *b, PoiseEngineResult *r)
{
    const PoiseHanging *h = &b->hanging;
    r->station_mm = h->station_mm;
    r->window_lo_mm = h->window_mm.lo;
    r->window_hi_mm = h->window_mm.hi;
    r->margin_mm = h->margin_mm;
    r->verdict = h->has_verdict ? (double)h->verdict : (double)NAN;
    r->needed_friction = h->needed_friction;
    r->hand_load_g = h->hand_load_g;
    r->hold_lo_deg = h->hold_range_deg.lo;
    r->hold_hi_deg = h->hold_range_deg.hi;
    r->settles_at_deg = h->settles_at_deg;
    r->free_hang_deg = b->free_hang_deg;
    r->lean_deg = b->lean_deg;
}

/* Stations are from the tail post, or from the rest when there are no posts. */
static void tell_seat(const PoiseResting *rest, const PoisePosture *p, PoiseEngineResult *r)
{
    PoisePoint from = isnan(p->strap.tail.x_mm) ? p->seat.rest : p->strap.tail;
    double from_h_mm = poise_horizontal_mm(from, p->neck_angle_deg);
    r->seat_verdict = rest->verdict;
    r->seat_station_mm = rest->horizontal_mm - from_h_mm;
    r->seat_window_lo_mm = rest->window_mm.lo - from_h_mm;
    r->seat_window_hi_mm = rest->window_mm.hi - from_h_mm;
    r->seat_hand_load_g = rest->hand_load_g;
}

/* Where to draw the posts, the hand, the centre, and the shoulder: over the centre while the strap
 * holds, else at the edge of the window. */
static void tell_places(const PoisePosture *p, PoiseEngineResult *r)
{
    double angle = p->neck_angle_deg;
    PoisePoint tail = p->strap.tail, centre = {p->centre_mm[0], p->centre_mm[1]};
    double h = poise_horizontal_mm(tail, angle), v = poise_vertical_mm(tail, angle);
    r->centre_v_mm = poise_vertical_mm(centre, angle) - v;
    r->horn_h_mm = poise_horizontal_mm(p->strap.horn, angle) - h;
    r->horn_v_mm = poise_vertical_mm(p->strap.horn, angle) - v;
    r->hand_h_mm = p->has_hand ? poise_horizontal_mm(p->hand, angle) - h : (double)NAN;
    r->hand_v_mm = p->has_hand ? poise_vertical_mm(p->hand, angle) - v : (double)NAN;
    r->support_h_mm = fmin(fmax(r->station_mm, r->window_lo_mm), r->window_hi_mm);
    if (poise_strap_support(&p->strap, angle, r->support_h_mm, &r->support_v_mm))
        r->support_v_mm = (double)NAN;
}

static bool target(double limit, double value)
{
    return isnan(limit) || value <= limit;
}

static PoiseEngineResult nothing(void)
{
    union {
        double values[sizeof(PoiseEngineResult) / sizeof(double)];
        PoiseEngineResult result;
    } r = {{0}};
    for (size_t i = 0; i < sizeof r.values / sizeof *r.values; i++)
        r.values[i] = (double)NAN;
    return r.result;
}

/* Solves both ways of holding it; false when either has no answer for these numbers. */
static bool solve(const double *numbers, PoiseEngineResult *r, PoiseStrapBalance *strap,
                  PoiseResting *rest, PoisePosture *posture)
{
    bool solved = true;
    *r = nothing();
    weigh(numbers, r);
    *posture = posture_of(&head_of(numbers)->stance, r);
    if (posture->has_strap) {
        solved = !poise_strap_balance(posture, strap, NULL);
        if (solved)
            tell_strap(strap, r);
        tell_places(posture, r);
    }
    if (posture->has_seat) {
        bool rests = !poise_seat_balance(posture, rest);
        if (rests)
            tell_seat(rest, posture, r);
        solved = solved && rests;
    }
    return solved;
}

bool poise_engine_solve(const double *numbers, PoiseEngineResult *r)
{
    PoiseStrapBalance strap = poise_strap_balance_none();
    PoiseResting rest = {0};
    PoisePosture posture;
    bool solved = solve(numbers, r, &strap, &rest, &posture);
    const PoiseStanceSetting *s = &head_of(numbers)->stance;
    /* As in "weigh": on the leg when there is no strap; the margin is wanted from below, and what
     * cannot be judged is not met. */
    bool leg = posture.has_seat && !posture.has_strap;
    double load_g = leg ? r->seat_hand_load_g : r->hand_load_g;
    double margin_mm = leg ? r->seat_window_hi_mm - r->seat_station_mm : r->margin_mm;
    r->targets_met = target(s->target_mass_g, r->mass_g) &&
                     target(s->target_hand_load_g, fabs(load_g)) &&
                     target(-s->target_margin_mm, -margin_mm);
    return solved;
}

void poise_engine_words(const double *numbers, PoiseText *text)
{
    const PoiseEngineHead *head = head_of(numbers);
    PoiseStrapBalance strap = poise_strap_balance_none();
    PoiseEngineResult r;
    PoisePosture posture;
    PoiseWeighing w = {0};
    char *fret = poise_format("fret %.0f", head->hand_fret);
    bool solved = solve(numbers, &r, &strap, &w.resting, &posture);
    w.neck_angle_deg = posture.neck_angle_deg;
    w.hanging = strap.hanging;
    w.has_strap = posture.has_strap;
    w.hand_text = isnan(head->hand_fret) ? NULL : head->hand_fret > 0.0 ? fret : "nut";
    if (posture.has_strap)
        poise_words_strap_verdict(text, &w);
    if (posture.has_seat && solved) {
        poise_text_append(text, "\n");
        poise_words_seat_verdict(text, &w);
    }
    poise_release(fret);
}
