/* Times of the statics, as JSON on standard output: nanoseconds per call, the median of several
 * rounds. Usage: bench_statics */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "poise/statics.h"

#define ROUNDS 9

static double now_ns(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e9 + (double)t.tv_nsec;
}

/* Angles and friction vary from call to call, so that neither the branch predictor nor the compiler
 * can learn one answer by heart. The returned values are summed for the same reason. */
static PoiseStrap varied(int i)
{
    return (PoiseStrap){{0, 0}, {390, 70}, 1050 + i % 11, 0.2 + 0.01 * (i % 41)};
}

static double windows(int calls)
{
    double sum = 0;
    for (int i = 0; i < calls; i++) {
        PoiseStrap strap = varied(i);
        PoiseInterval w;
        if (poise_strap_window(&strap, i % 61 - 10, &w) == POISE_OK)
            sum += w.hi;
    }
    return sum;
}

static double needed_frictions(int calls)
{
    double sum = 0, friction;
    for (int i = 0; i < calls; i++) {
        PoiseStrap strap = varied(i);
        if (poise_strap_needed_friction(&strap, i % 61 - 10, 150 + i % 37, &friction) == POISE_OK)
            sum += friction;
    }
    return sum;
}

static double hangs(int calls)
{
    double sum = 0;
    for (int i = 0; i < calls; i++) {
        PoiseStrap strap = varied(i);
        PoiseHanging h;
        PoisePoint centre = {250 + i % 101, 5};
        if (poise_strap_hang(&strap, centre, 2900, i % 61 - 10, (PoisePoint){743, 0}, &h, NULL) ==
            POISE_OK)
            sum += h.station_mm;
    }
    return sum;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median_ns(double (*work)(int), int calls, double *check)
{
    double times[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
        double start = now_ns();
        *check += work(calls);
        times[i] = (now_ns() - start) / calls;
    }
    qsort(times, ROUNDS, sizeof *times, by_size);
    return times[ROUNDS / 2];
}

int main(void)
{
    double check = 0;
    double window = median_ns(windows, 20000, &check);
    double friction = median_ns(needed_frictions, 50000, &check);
    double hang = median_ns(hangs, 300, &check);
    if (!isfinite(check))
        return EXIT_FAILURE;
    printf("{\"bench\": \"statics\", \"strap_window_ns\": %.0f, \"needed_friction_ns\": %.0f, "
           "\"strap_hang_ns\": %.0f}\n",
           window, friction, hang);
    return EXIT_SUCCESS;
}
