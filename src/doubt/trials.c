#include "doubt/trials.h"

#include <math.h>

#include "base/memory.h"
#include "doubt/run_trials.h"
#include "doubt/stand_in.h"
#include "doubt/trial_draw.h"
#include "geometry/parallel.h"
#include "statics/lever.h"
#include "statics/range.h"
#include "statics/seat.h"
#include "statics/strap.h"

/* Standard deviations either way that the stand-in spans. Beyond 5 lie 6 draws in 10 million; they
 * are solved exactly. */
static const double SPAN_DEVIATES = 5.0;
/* Finding where it settles walks all angles, some hundred times the work of the rest of a trial.
 * 2000 tell a probability to ±1 %. */
enum { SETTLE_TRIALS = 2000, SETTLE_ROUND = 100 };

enum { MASS, MARGIN, FRICTION, LOAD, SEAT_LOAD, RESULTS };

/* How often each verdict came up within a block. */
typedef struct Counts {
    size_t strap[3], seat[3]; /* by PoiseVerdict */
} Counts;

typedef struct Trials {
    const PoisePosture *posture;
    PoiseDrawing drawing;
    PoiseStandIn edges;
    PoiseTurn turn; /* at the angle as given */
    PoiseBelt belt; /* likewise, but for friction and length */
    bool angle_varies;
    Counts *counts;  /* of each block */
    double *settles; /* of the first SETTLE_TRIALS; INFINITY: it does not settle */
    size_t settle_trials;
} Trials;

/* A trial's strap, seen from the tail post at its angle. */
typedef struct Hung {
    PoiseBelt belt;
    PoisePoint from_tail;
    double station_mm, friction; /* friction: signed, needed */
    bool has_window;
    PoiseVerdict verdict;
} Hung;

static PoiseTurn turn_of(const Trials *t, const PoiseDraw *draw)
{
    return t->angle_varies ? poise_turn(draw->angle_deg) : t->turn;
}

static void hang(const Trials *t, const PoiseDraw *draw, PoiseTurn turn, Hung *h)
{
    const PoiseStrap *strap = &t->posture->strap;
    h->belt = t->angle_varies ? poise_belt(strap, turn) : t->belt;
    h->belt.friction = draw->friction;
    h->belt.length_mm = draw->length_mm;
    h->from_tail = poise_from(strap->tail, draw->centre);
    h->station_mm = poise_turned_h(turn, h->from_tail);
    h->has_window = poise_belt_spreads(&h->belt) && isfinite(h->station_mm);
    if (!h->has_window)
        return;
    h->friction = poise_belt_friction(&h->belt, h->station_mm);
    h->verdict = h->friction > draw->friction    ? POISE_NECK_HEAVY
                 : h->friction < -draw->friction ? POISE_TAIL_HEAVY
                                                 : POISE_HOLDS;
}

/* The load about the edge it has left. That edge may be interpolated: what little it is off must
 * not turn the hand's push round. */
static double strap_load(const Trials *t, const PoiseDraw *draw, PoiseTurn turn, const Hung *h,
                         double edge_hi)
{
    if (h->verdict == POISE_HOLDS)
        return 0.0;
    if (!t->posture->has_hand)
        return (double)NAN;
    bool neck = h->verdict == POISE_NECK_HEAVY;
    double edge =
        neck ? edge_hi
             : poise_stand_in_edge(&t->edges, 0, draw->friction, draw->length_mm, draw->angle_deg);
    double hand = poise_turned_h(turn, poise_from(t->posture->strap.tail, t->posture->hand));
    double load = poise_lever_strap_load(draw->mass_g, h->station_mm, edge, hand);
    if (isnan(load))
        return load;
    return neck ? fmax(load, 0.0) : fmin(load, 0.0);
}

static void on_strap(const Trials *t, const PoiseDraw *draw, PoiseTurn turn, double y[RESULTS],
                     Counts *counts)
{
    Hung h;
    hang(t, draw, turn, &h);
    if (!h.has_window)
        return;
    double hi = poise_stand_in_edge(&t->edges, 1, draw->friction, draw->length_mm, draw->angle_deg);
    counts->strap[h.verdict]++;
    y[MARGIN] = hi - h.station_mm;
    y[FRICTION] = isfinite(h.friction) ? fabs(h.friction) : (double)NAN;
    y[LOAD] = strap_load(t, draw, turn, &h, hi);
}

static void on_leg(const Trials *t, const PoiseDraw *draw, PoiseTurn turn, double y[RESULTS],
                   Counts *counts)
{
    if (!(draw->mass_g > 0.0))
        return;
    PoiseSeat seat = t->posture->seat;
    seat.arm_g = draw->arm_g;
    PoisePoint hand = t->posture->has_hand ? t->posture->hand : seat.rest;
    PoiseSeatLever lever = poise_seat_lever(&seat, turn, draw->centre, draw->mass_g, hand);
    PoiseInterval window = {-seat.half_width_mm, seat.half_width_mm};
    PoiseVerdict verdict = poise_lever_verdict(lever.station_mm, window);
    counts->seat[verdict]++;
    if (verdict == POISE_HOLDS)
        y[SEAT_LOAD] = 0.0;
    else if (t->posture->has_hand)
        y[SEAT_LOAD] = poise_lever_hand_load(lever.weight_g, lever.station_mm,
                                             poise_lever_edge(verdict, window), lever.hand_mm);
}

static void run_block(void *context, uint64_t first, size_t n, double *const *out)
{
    const Trials *t = context;
    Counts counts = {{0}, {0}};
    for (size_t i = 0; i < n; i++) {
        double no = (double)NAN, y[RESULTS] = {no, no, no, no, no};
        PoiseDraw draw;
        poise_draw(&t->drawing, first + i, &draw);
        PoiseTurn turn = turn_of(t, &draw);
        y[MASS] = draw.mass_g;
        if (t->posture->has_strap)
            on_strap(t, &draw, turn, y, &counts);
        if (t->posture->has_seat)
            on_leg(t, &draw, turn, y, &counts);
        for (int k = 0; k < RESULTS; k++)
            out[k][i] = y[k];
    }
    t->counts[first / POISE_BLOCK_TRIALS] = counts;
}

/* --- where it settles --- */

static double settles_at(const Trials *t, uint64_t trial)
{
    PoiseDraw draw;
    Hung h;
    poise_draw(&t->drawing, trial, &draw);
    hang(t, &draw, turn_of(t, &draw), &h);
    if (!h.has_window)
        return (double)NAN;
    if (h.verdict == POISE_HOLDS)
        return draw.angle_deg;
    PoiseStrap strap = t->posture->strap;
    strap.friction = draw.friction;
    strap.length_mm = draw.length_mm;
    PoiseHoldRange range = poise_hold_range(&strap, h.from_tail, draw.angle_deg);
    double at = poise_settles_at(&range, h.verdict, draw.angle_deg);
    return isnan(at) ? (double)INFINITY : at;
}

static PoiseStatus settle_round(void *context, size_t worker, size_t round)
{
    (void)worker;
    const Trials *t = context;
    for (size_t i = round * SETTLE_ROUND; i < (round + 1) * SETTLE_ROUND; i++)
        if (i < t->settle_trials)
            t->settles[i] = settles_at(t, i);
    return POISE_OK;
}

static PoiseStatus find_settling(Trials *t, int threads, PoiseTrials *out)
{
    size_t n = t->settle_trials, rounds = (n + SETTLE_ROUND - 1) / SETTLE_ROUND, never = 0;
    PoiseStatus status = poise_parallel(poise_thread_count(threads), rounds, settle_round, t, NULL);
    if (status)
        return status;
    for (size_t i = 0; i < n; i++)
        never += isinf(t->settles[i]) ? 1 : 0;
    PoiseTally tally = poise_tally_of(t->settles, n);
    out->settle_trials = n;
    if (tally.count + never > 0)
        out->p_does_not_settle = (double)never / (double)(tally.count + never);
    return poise_sampled(t->settles, n, &tally, &out->settles_at_deg);
}

/* --- all together --- */

static PoiseSpan span_of(const PoiseCutNormal *cut, double least, double most)
{
    double low = fmax(cut->mean - SPAN_DEVIATES * cut->u, least);
    double high = fmin(cut->mean + SPAN_DEVIATES * cut->u, most);
    if (!(cut->u > 0.0) || !(high > low))
        return (PoiseSpan){.middle = cut->mean};
    return (PoiseSpan){.middle = 0.5 * (low + high), .half = 0.5 * (high - low)};
}

static void prepare(const PoiseDoubtProblem *p, uint64_t seed, Trials *t)
{
    PoiseInput inputs[POISE_IN_COUNT];
    poise_balance_inputs(&p->posture, inputs);
    t->posture = &p->posture;
    poise_drawing(p, seed, &t->drawing);
    t->turn = poise_turn(p->posture.neck_angle_deg);
    t->belt = poise_belt(&p->posture.strap, t->turn);
    t->angle_varies = t->drawing.angle.u > 0.0;
    if (!p->posture.has_strap)
        return;
    const PoiseInput *length = &inputs[POISE_IN_LENGTH], *angle = &inputs[POISE_IN_ANGLE];
    poise_stand_in(&p->posture.strap, span_of(&t->drawing.friction, 0.0, (double)INFINITY),
                   span_of(&t->drawing.length, length->least, length->most),
                   span_of(&t->drawing.angle, angle->least, angle->most), &t->edges);
}

typedef struct Summing {
    const PoiseSamples *samples;
    PoiseSampled *results[RESULTS];
} Summing;

static PoiseStatus sum_up(void *context, size_t worker, size_t k)
{
    (void)worker;
    const Summing *s = context;
    return poise_sampled(poise_samples_of(s->samples, k), s->samples->trials,
                         &s->samples->tallies[k], s->results[k]);
}

static double ratio(size_t part, const size_t of[3])
{
    size_t all = of[0] + of[1] + of[2];
    return all ? (double)part / (double)all : (double)NAN;
}

static void find_probabilities(const Trials *t, size_t trials, PoiseTrials *out)
{
    Counts sum = {{0}, {0}};
    for (size_t b = 0; b * POISE_BLOCK_TRIALS < trials; b++)
        for (int v = 0; v < 3; v++) {
            sum.strap[v] += t->counts[b].strap[v];
            sum.seat[v] += t->counts[b].seat[v];
        }
    out->p_neck_heavy = ratio(sum.strap[POISE_NECK_HEAVY], sum.strap);
    out->p_tail_heavy = ratio(sum.strap[POISE_TAIL_HEAVY], sum.strap);
    out->p_seat_neck_heavy = ratio(sum.seat[POISE_NECK_HEAVY], sum.seat);
    out->p_seat_tail_heavy = ratio(sum.seat[POISE_TAIL_HEAVY], sum.seat);
}

static PoiseStatus run_and_sum(Trials *t, const PoiseTrialOptions *options, PoiseTrials *out)
{
    PoiseRun run = {run_block, t, RESULTS, *options, POISE_MOST_TRIALS};
    PoiseSamples samples;
    PoiseStatus status = poise_run_trials(&run, &samples);
    if (status)
        return status;
    out->trials = samples.trials;
    out->settled = samples.settled;
    Summing summing = {&samples,
                       {&out->mass_g, &out->margin_mm, &out->needed_friction, &out->hand_load_g,
                        &out->seat_hand_load_g}};
    status = poise_parallel(poise_thread_count(options->threads), RESULTS, sum_up, &summing, NULL);
    find_probabilities(t, samples.trials, out);
    poise_samples_free(&samples);
    return status;
}

PoiseStatus poise_trials(const PoiseDoubtProblem *problem, const PoiseTrialOptions *options,
                         PoiseTrials *out)
{
    const PoiseSampled none = {0, (double)NAN, (double)NAN, {(double)NAN, (double)NAN}};
    size_t most = options->adaptive ? POISE_MOST_TRIALS : options->trials;
    *out = (PoiseTrials){.seed = options->seed,
                         .adaptive = options->adaptive,
                         .settles_at_deg = none,
                         .p_does_not_settle = (double)NAN};
    if (most < POISE_FEWEST_TRIALS || most > POISE_MOST_TRIALS)
        return POISE_E_USAGE;
    Trials *t = poise_alloc_zero(1, sizeof *t);
    if (!t)
        return POISE_E_MEMORY;
    t->counts = poise_alloc_zero(most / POISE_BLOCK_TRIALS + 1, sizeof *t->counts);
    t->settles = poise_alloc_zero(SETTLE_TRIALS, sizeof *t->settles);
    PoiseStatus status = POISE_E_MEMORY;
    if (t->counts && t->settles) {
        prepare(problem, options->seed, t);
        out->window_error_mm = t->edges.usable ? t->edges.error_mm : 0.0;
        status = run_and_sum(t, options, out);
        t->settle_trials = out->trials < SETTLE_TRIALS ? out->trials : SETTLE_TRIALS;
        if (!status && problem->posture.has_strap)
            status = find_settling(t, options->threads, out);
    }
    poise_release(t->counts);
    poise_release(t->settles);
    poise_release(t);
    return status;
}
