/* Time of a million trials of a bass's balance, against one naive propagation per trial: every item
 * drawn and added up, the window's edges solved as roots. JSON on standard output. Usage:
 * bench_trials [THREADS]   (default 2) */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "bodies/ledger.h"
#include "doubt/normal.h"
#include "doubt/random.h"
#include "doubt/trials.h"
#include "doubt_posture.h"

enum { ITEMS = 40, TRIALS = 1000000, NAIVE = 20000, ROUNDS = 5 };

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static PoiseItemBody bodies[ITEMS];
static PoiseItem items[ITEMS];
static PoiseLedgerEntry entries[ITEMS];
/* Forty items spread along the instrument, 3.7 kg, each with some doubt of each kind. */
static void make_items(void)
{
    static char id[] = "item";
    for (int i = 0; i < ITEMS; i++) {
        const double at[3] = {-80 + 25.5 * i + (i == 30 ? 60 : 0), 40 * sin(i), -20 + (i % 7)};
        double mass = i == 30 ? 640 : 30 + (i * 53) % 110;
        bodies[i] = (PoiseItemBody){.body = poise_body_point(mass, at),
                                    .doubt = {.flow_u_g = i < 6 ? 0.02 * mass : 0,
                                              .own_u_g = 0.05 * mass,
                                              .place_u_mm = {1, 1, 1}}};
        items[i] = (PoiseItem){.id = id, .kind = POISE_ITEM_MASS, .count = 1};
        entries[i] = (PoiseLedgerEntry){.body = &bodies[i], .printed = i < 6};
    }
}

static double naive_trial(uint64_t trial, double friction_u)
{
    double mass = 0, moment[3] = {0}, u[2];
    uint32_t draw = 0;
    poise_uniform_pair(5, trial, draw++, u);
    double flow = poise_normal_deviate(u[0]), friction = poise_normal_deviate(u[1]);
    for (int i = 0; i < ITEMS; i++) {
        const PoiseItemDoubt *d = &bodies[i].doubt;
        double z[4];
        for (int k = 0; k < 4; k += 2) {
            poise_uniform_pair(5, trial, draw++, u);
            z[k] = poise_normal_deviate(u[0]);
            z[k + 1] = poise_normal_deviate(u[1]);
        }
        double m = bodies[i].body.mass_g + flow * d->flow_u_g + z[3] * d->own_u_g;
        mass += m;
        for (int k = 0; k < 3; k++)
            moment[k] += m * (bodies[i].body.centre_mm[k] + z[k] * d->place_u_mm[k]);
    }
    PoisePosture p = doubt_posture();
    PoiseInterval window;
    PoiseResting rest;
    double needed = 0;
    p.strap.friction = fmax(0, p.strap.friction + friction_u * friction);
    PoisePoint centre = {moment[0] / mass, moment[1] / mass};
    if (poise_strap_window(&p.strap, p.neck_angle_deg, &window))
        return 0;
    double station = poise_horizontal_mm(centre, p.neck_angle_deg) -
                     poise_horizontal_mm(p.strap.tail, p.neck_angle_deg);
    if (poise_strap_needed_friction(&p.strap, p.neck_angle_deg, station, &needed))
        return 0;
    poise_seat_rest(&p.seat, centre, mass, p.neck_angle_deg, p.hand, &rest);
    return window.hi - station + needed + rest.hand_load_g;
}

static double best_trials_s(const PoiseDoubtProblem *problem, int threads, PoiseTrials *out)
{
    double best = INFINITY;
    for (int i = 0; i < ROUNDS; i++) {
        const PoiseTrialOptions options = {.trials = TRIALS, .seed = 1, .threads = threads};
        double start = now_s();
        if (poise_trials(problem, &options, out))
            exit(EXIT_FAILURE);
        best = fmin(best, now_s() - start);
    }
    return best;
}

int main(int argc, char **argv)
{
    int threads = argc > 1 ? atoi(argv[1]) : 2;
    PoiseInstrument instrument = {.item_count = ITEMS, .items = items};
    PoiseLedger ledger;
    PoiseSources sources;
    make_items();
    if (poise_ledger(entries, ITEMS, &ledger) ||
        poise_sources(entries, ITEMS, ledger.total.centre_mm, &sources))
        return EXIT_FAILURE;
    PoiseDoubtProblem problem = {.posture = doubt_posture(),
                                 .instrument = &instrument,
                                 .entries = entries,
                                 .sources = &sources,
                                 .axes = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
                                 .friction_u = 0.08};
    problem.posture.mass_g = ledger.total.mass_g;
    for (int i = 0; i < 3; i++)
        problem.posture.centre_mm[i] = ledger.total.centre_mm[i];
    PoiseTrials trials;
    double common = best_trials_s(&problem, threads, &trials);
    problem.length_u = 20;
    problem.angle_u = 3;
    problem.arm_u = 100;
    PoiseTrials everything;
    double all = best_trials_s(&problem, threads, &everything);

    double start = now_s(), check = 0;
    for (uint64_t i = 0; i < NAIVE; i++)
        check += naive_trial(i, 0.08);
    double naive_ns = (now_s() - start) * 1e9 / NAIVE;
    if (!isfinite(check))
        return EXIT_FAILURE;
    double trial_ns = common * 1e9 / TRIALS * threads;
    printf("{\"bench\": \"trials\", \"threads\": %d, \"trials\": %d, \"seconds\": %.3f, "
           "\"seconds_all_doubtful\": %.3f, \"thread_ns_per_trial\": %.0f, "
           "\"naive_ns_per_trial\": %.0f, \"ratio\": %.1f, \"p_neck_heavy\": %.4f}\n",
           threads, TRIALS, common, all, trial_ns, naive_ns, naive_ns / trial_ns,
           trials.p_neck_heavy);
    poise_sources_free(&sources);
    return EXIT_SUCCESS;
}
