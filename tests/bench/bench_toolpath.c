/* Speed of reading a toolpath, as JSON on standard output: megabytes per second of the reader and
 * of a plain pass over the same bytes in memory, and their ratio; the best of several rounds.
 * Usage: bench_toolpath [MEGABYTES]   (default 64) */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "geometry/toolpath.h"

#define ROUNDS 5

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

/* Raster layers with a retraction after each line, comments and feeds, as such programs are. */
static size_t write_program(char *text, size_t capacity)
{
    size_t n = (size_t)snprintf(text, capacity, "G21\nG90\nM83\nG28\nG1 X10 Y10 Z0.2 F9000\n");
    for (unsigned i = 0; n + 512 < capacity; i++) {
        double y = 10 + 0.45 * (i % 400), z = 0.2 + 0.2 * (i / 400);
        if (i % 400 == 0)
            n +=
                (size_t)snprintf(text + n, capacity - n, ";layer %u\nG1 Z%.3f F9000\n", i / 400, z);
        n += (size_t)snprintf(text + n, capacity - n,
                              "G1 X10 Y%.3f F9000\nG1 E.8 F2400\nG1 F1800\n", y);
        for (unsigned k = 1; k <= 12; k++)
            n += (size_t)snprintf(text + n, capacity - n, "G1 X%.3f Y%.3f E%.5f\n", 10 + 15.017 * k,
                                  y + 0.003 * k, 0.50321 + 0.0001 * k);
        n += (size_t)snprintf(text + n, capacity - n, "G1 E-.8 F2400\n");
    }
    return n;
}

static unsigned long long plain_pass(const char *text, size_t size)
{
    unsigned long long sum = 0;
    for (size_t i = 0; i < size; i++)
        sum += (unsigned char)text[i];
    return sum;
}

int main(int argc, char **argv)
{
    size_t capacity = (size_t)(argc > 1 ? strtoul(argv[1], NULL, 10) : 64) << 20;
    char *text = capacity ? malloc(capacity) : NULL;
    if (!text)
        return EXIT_FAILURE;
    size_t size = write_program(text, capacity);
    PoiseToolpathOptions options = {.filament_mm = 1.75};
    PoiseToolpath toolpath = {0};
    double best = 1e9, plain = 1e9;
    unsigned long long sum = 0;
    for (int i = 0; i < ROUNDS; i++) {
        double start = now();
        sum += plain_pass(text, size);
        double middle = now();
        if (poise_toolpath_parse(text, size, "bench", &options, &toolpath, NULL))
            return EXIT_FAILURE;
        double end = now();
        plain = middle - start < plain ? middle - start : plain;
        best = end - middle < best ? end - middle : best;
    }
    free(text);
    double mb = (double)size / 1e6;
    printf("{\"bench\": \"toolpath\", \"megabytes\": %.1f, \"moves\": %zu, \"mb_per_s\": %.0f, "
           "\"plain_pass_mb_per_s\": %.0f, \"ratio\": %.3f, \"laid_mm3\": %.3f, \"sum\": %llu}\n",
           mb, toolpath.moves, mb / best, mb / plain, plain / best, toolpath.laid.volume_mm3, sum);
    return EXIT_SUCCESS;
}
