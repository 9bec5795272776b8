/* Times of a sweep, as JSON on standard output: opening it, candidates a second for 1, 2 … threads,
 * and what weighing candidates one by one costs instead. Usage: bench_sweep INSTRUMENT.json
 * [CANDIDATES]   (an instrument with printed sections "spine-tail", "spine-neck" and a mass
 * "tail-ballast", such as the demo) */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

#include "decide/sweep.h"
#include "poise/poise.h"

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static long peak_kib(void)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss;
}

static void print_faults(const PoiseFaults *faults)
{
    for (size_t i = 0; i < poise_faults_count(faults); i++) {
        char *text = poise_fault_text(poise_faults_get(faults, i));
        fprintf(stderr, "%s\n", text ? text : "out of memory");
        poise_string_free(text);
    }
}

static PoiseSweep *open_sweep(const char *path, long ballast_steps, int threads)
{
    char ballast[64];
    /* 10 · 10 · 10 · 10 settings of two sections, and as many masses as asked for. */
    snprintf(ballast, sizeof ballast, "/items/tail-ballast/mass=1:%ld:1", ballast_steps);
    const char *const vary[] = {"/items/spine-tail/print/infill=10 %:55 %:5 %",
                                "/items/spine-neck/print/infill=10:55:5 %",
                                "/items/spine-tail/print/perimeters=2,3,4,5,6",
                                "/items/spine-neck/print/perimeters=2,3,4,5",
                                "/strap/length=1000:1200:50",
                                ballast};
    PoiseSweep *sweep = NULL;
    PoiseFaults *faults = poise_faults_new();
    const PoiseSweepOptions options = {.threads = threads};
    poise_sweep_open(path, vary, sizeof vary / sizeof *vary, &options, &sweep, faults);
    print_faults(faults);
    poise_faults_free(faults);
    return sweep;
}

/* Seconds for the whole grid, the best of three. */
static double run_s(const PoiseSweep *sweep, size_t *front)
{
    double best = INFINITY;
    for (int i = 0; i < 3; i++) {
        PoiseSweepFindings found;
        double start = now_s();
        poise_sweep_run(sweep, NULL, NULL, &found, NULL);
        best = fmin(best, now_s() - start);
        *front = found.front_count;
        poise_sweep_findings_free(&found);
    }
    return best;
}

/* Seconds for one candidate read and weighed in full, sections from the cache. */
static double naive_s(const PoiseSweep *sweep)
{
    enum { TRIES = 20 };
    double start = now_s();
    for (uint64_t i = 0; i < TRIES; i++) {
        PoiseInstrument *in = NULL;
        PoiseWeighing *w = NULL;
        uint64_t index = (i * 7919u) % poise_sweep_count(sweep);
        if (!poise_sweep_instrument(sweep, index, &in, NULL))
            poise_weigh(in, NULL, &w, NULL);
        poise_weighing_free(w);
        poise_instrument_free(in);
    }
    return (now_s() - start) / TRIES;
}

int main(int argc, char **argv)
{
    if (argc < 2) {
        fprintf(stderr, "usage: bench_sweep INSTRUMENT.json [CANDIDATES]\n");
        return 2;
    }
    double wanted = argc > 2 ? atof(argv[2]) : 1e6;
    long steps = lround(wanted / 10000.0);
    double start = now_s();
    PoiseSweep *sweep = open_sweep(argv[1], steps, 1);
    if (!sweep)
        return 1;
    double opened = now_s() - start, naive = naive_s(sweep),
           count = (double)poise_sweep_count(sweep);
    printf("{\n  \"candidates\": %.0f,\n  \"open_s\": %.4f,\n  \"naive_weigh_s\": %.6f,\n  "
           "\"runs\": [\n",
           count, opened, naive);
    poise_sweep_free(sweep);
    for (int threads = 1; threads <= 2; threads++) {
        size_t front = 0;
        sweep = open_sweep(argv[1], steps, threads);
        double s = run_s(sweep, &front);
        printf("    {\"threads\": %d, \"run_s\": %.4f, \"ns_per_candidate\": %.1f, \"front\": %zu, "
               "\"times_faster_than_naive\": %.0f}%s\n",
               threads, s, s / count * 1e9, front, naive * count / s, threads < 2 ? "," : "");
        poise_sweep_free(sweep);
    }
    printf("  ],\n  \"peak_memory_kib\": %ld\n}\n", peak_kib());
    return 0;
}
