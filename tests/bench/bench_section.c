/* Times of reading, integrating, welding, checking and slicing, and the memory they take, as JSON
 * on standard output. Every measurement runs in a process of its own, so that its peak memory is
 * its own; times are the best of three. All perimeter counts come from one pass: there is no time
 * per count, so the line width is varied instead. Usage: bench_section [MOST_TRIANGLES] (default
 * 5000000) */
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/file.h"
#include "base/limits.h"
#include "bench_mesh.h"
#include "geometry/hash.h"
#include "geometry/mesh_build.h"
#include "poise/section.h"

typedef struct Measured {
    double plain_s;     /* adding up all words of the mapped file */
    double hash_s;      /* its fingerprint */
    double integrate_s; /* decoding the mapped file and integrating its moments */
    double mesh_s;      /* all that makes a mesh of the file: that, and welding its corners */
    double check_s;     /* whether it is closed and the right way out */
    double slice_s, slice_cpu_s;
    long peak_kb; /* of the whole process */
    size_t triangles, layers, distinct;
    double layered_error; /* layers' volume against the solid's, relative */
    int failed;
} Measured;

static double now(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double plain_read(const char *path, int *failed)
{
    double begun = now(CLOCK_MONOTONIC);
    PoiseView view;
    if (poise_view_open(path, POISE_LIMIT_MESH_BYTES, &view, NULL) != POISE_OK) {
        *failed = 1;
        return 0;
    }
    uint64_t sum = 0, word;
    for (size_t i = 0; i + sizeof word <= view.size; i += sizeof word) {
        memcpy(&word, view.data + i, sizeof word);
        sum += word;
    }
    volatile uint64_t kept = sum;
    (void)kept;
    poise_view_close(&view);
    return now(CLOCK_MONOTONIC) - begun;
}

static double hash_file(const char *path, int *failed)
{
    double begun = now(CLOCK_MONOTONIC);
    PoiseView view;
    if (poise_view_open(path, POISE_LIMIT_MESH_BYTES, &view, NULL) != POISE_OK) {
        *failed = 1;
        return 0;
    }
    volatile uint64_t kept = poise_fingerprint(view.data, view.size).word[0];
    (void)kept;
    poise_view_close(&view);
    return now(CLOCK_MONOTONIC) - begun;
}

static double integrate(const char *path, int *failed)
{
    double begun = now(CLOCK_MONOTONIC);
    PoiseView view;
    if (poise_view_open(path, POISE_LIMIT_MESH_BYTES, &view, NULL) != POISE_OK) {
        *failed = 1;
        return 0;
    }
    volatile double kept = poise_stl_moments(view.data, view.size, 1.0).volume_mm3;
    (void)kept;
    poise_view_close(&view);
    return now(CLOCK_MONOTONIC) - begun;
}

static double least(double a, double b)
{
    return a > 0 && a < b ? a : b;
}

static Measured measure(const char *path, const PoiseSlicing *slicing, int threads)
{
    Measured m = {0};
    for (int round = 0; round < 3; round++) {
        m.plain_s = least(m.plain_s, plain_read(path, &m.failed));
        m.hash_s = least(m.hash_s, hash_file(path, &m.failed));
        m.integrate_s = least(m.integrate_s, integrate(path, &m.failed));
        double begun = now(CLOCK_MONOTONIC);
        PoiseMesh *mesh = NULL;
        if (poise_mesh_read(path, "mm", &mesh, NULL) != POISE_OK) {
            m.failed = 1;
            return m;
        }
        m.mesh_s = least(m.mesh_s, now(CLOCK_MONOTONIC) - begun);
        begun = now(CLOCK_MONOTONIC);
        m.failed |= poise_mesh_check(mesh, path, NULL) != POISE_OK;
        m.check_s = least(m.check_s, now(CLOCK_MONOTONIC) - begun);
        if (slicing) {
            PoiseSection section;
            begun = now(CLOCK_MONOTONIC);
            double cpu = now(CLOCK_PROCESS_CPUTIME_ID);
            if (poise_section_slice(mesh, path, slicing, threads, NULL, NULL, &section, NULL) !=
                POISE_OK)
                m.failed = 1;
            m.slice_cpu_s = least(m.slice_cpu_s, now(CLOCK_PROCESS_CPUTIME_ID) - cpu);
            m.slice_s = least(m.slice_s, now(CLOCK_MONOTONIC) - begun);
            m.layers = section.layers;
            m.distinct = section.distinct_layers;
            m.layered_error = section.layered_mm3 / section.solid.volume_mm3 - 1;
        }
        m.triangles = mesh->triangle_count;
        poise_mesh_free(mesh);
    }
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    m.peak_kb = usage.ru_maxrss;
    return m;
}

static Measured apart(const char *path, const PoiseSlicing *slicing, int threads)
{
    Measured m = {.failed = 1};
    int ends[2];
    if (pipe(ends) != 0)
        return m;
    fflush(stdout);
    pid_t child = fork();
    if (child == 0) {
        close(ends[0]);
        m = measure(path, slicing, threads);
        _exit(write(ends[1], &m, sizeof m) == (ssize_t)sizeof m ? 0 : 1);
    }
    close(ends[1]);
    if (child < 0 || read(ends[0], &m, sizeof m) != (ssize_t)sizeof m)
        m.failed = 1;
    close(ends[0]);
    if (child > 0)
        waitpid(child, NULL, 0);
    return m;
}

static int failures;
static const char *comma = "";

static void report_slice(const char *path, const PoiseSlicing *s, int threads)
{
    Measured m = apart(path, s, threads);
    failures += m.failed;
    printf("%s\n    {\"triangles\": %zu, \"layer_mm\": %.2f, \"layers\": %zu, \"distinct_layers\": "
           "%zu, "
           "\"line_mm\": %.2f, \"perimeters\": %d, \"threads\": %d, \"slice_s\": %.4f, "
           "\"slice_cpu_s\": %.4f, "
           "\"peak_mb\": %.1f, \"layered_error\": %.2e}",
           comma, m.triangles, s->layer_mm, m.layers, m.distinct, s->line_mm, POISE_MAX_PERIMETERS,
           threads, m.slice_s, m.slice_cpu_s, (double)m.peak_kb / 1024, m.layered_error);
    comma = ",";
}

static void report_read(const char *path)
{
    Measured m = apart(path, NULL, 1);
    failures += m.failed;
    printf("%s\n    {\"triangles\": %zu, \"plain_read_s\": %.5f, \"fingerprint_s\": %.5f, "
           "\"read_integrate_s\": %.5f, \"ratio\": %.2f, \"read_weld_s\": %.5f, \"check_s\": %.5f, "
           "\"peak_mb\": %.1f}",
           comma, m.triangles, m.plain_s, m.hash_s, m.integrate_s, m.integrate_s / m.plain_s,
           m.mesh_s, m.check_s, (double)m.peak_kb / 1024);
    comma = ",";
}

/* Makes the file in a process of its own: what the mesh takes there does not count later. */
static bool make_file(size_t triangles, const char *path)
{
    fflush(stdout);
    pid_t child = fork();
    if (child == 0)
        _exit(bench_write_body(triangles, path) ? 0 : 1);
    int how = 1;
    return child > 0 && waitpid(child, &how, 0) == child && how == 0;
}

int main(int argc, char **argv)
{
    static const size_t sizes[] = {20000, 100000, 500000, 1000000, 5000000};
    static const size_t count = sizeof sizes / sizeof *sizes;
    size_t most = argc > 1 ? strtoul(argv[1], NULL, 10) : sizes[count - 1];
    char dir[] = "/tmp/poise-bench-XXXXXX", path[sizeof sizes / sizeof *sizes][64];
    if (!mkdtemp(dir))
        return 5;
    size_t have = 0;
    for (; have < count && sizes[have] <= most; have++) {
        snprintf(path[have], sizeof path[have], "%s/body-%zu.stl", dir, sizes[have]);
        failures += !make_file(sizes[have], path[have]);
    }
    PoiseSlicing s = poise_slicing_default();
    printf("{\n  \"read\": [");
    for (size_t i = 0; i < have; i++)
        report_read(path[i]);
    printf("\n  ],\n  \"slice\": [");
    comma = "";
    for (size_t i = 0; i < have; i++)
        for (int threads = 1; threads <= 4; threads *= 2)
            report_slice(path[i], &s, threads);
    size_t middle = have > 2 ? 2 : have - 1;
    for (double layer = 0.1; have && layer < 0.9; layer *= 2) {
        s.layer_mm = layer;
        report_slice(path[middle], &s, 2);
    }
    s = poise_slicing_default();
    for (double line = 0.3; have && line < 1.3; line *= 2) {
        s.line_mm = line;
        report_slice(path[middle], &s, 2);
    }
    printf("\n  ]\n}\n");
    for (size_t i = 0; i < have; i++)
        unlink(path[i]);
    rmdir(dir);
    return failures ? 1 : 0;
}
