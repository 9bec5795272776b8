/* A small instrument on disk with one item of each kind, for sweeps. */
#ifndef POISE_TEST_SWEEP_HELP_H
#define POISE_TEST_SWEEP_HELP_H

#include "item_fixture.h"

#include "decide/sweep.h"
#include "poise/instrument.h"

/* An invented baritone with a printed wing (drawn off the axes, three of its walls slanted), a
 * poured dot, a slab, and everything else that has mass. */
static const char SWEEP_FILE[] =
    "{\"poise\": 1, \"name\": \"Sedge\","
    "\"frame\": {\"head\": [1,0,0], \"face\": [0,0,1]},"
    "\"scale\": {\"nut\": [680,0,10], \"saddle\": [0,0,10], \"frets\": 22},"
    "\"posts\": {\"tail\": [-80,0,-20], \"horn\": [330,90,-20]},"
    "\"strap\": {\"length\": \"1.1 m\", \"friction\": \"0.2 ± 0.05\"},"
    "\"stance\": {\"neck_angle\": 15, \"hand\": \"fret 1\"},"
    "\"seat\": {\"rest\": [150,-100], \"width\": 80, \"arm\": {\"at\": [20,140], \"mass\": 700}},"
    "\"target\": {\"mass\": \"3 kg\", \"hand_load\": \"200 g\"},"
    "\"printer\": {\"bed\": [220,220,250], \"flow\": 9, \"spool\": \"1 kg\", \"price\": 21},"
    "\"materials\": {\"own-resin\": {\"base\": \"epoxy\", \"density\": 1.13},"
    "  \"own-plastic\": {\"base\": \"petg\", \"density\": 1.26}},"
    "\"items\": {"
    "\"wing\": {\"kind\": \"printed\", \"mesh\": \"sweep-wing.stl\", \"material\": \"own-plastic\","
    "  \"at\": [40,20,-40], \"turn\": [0,0,30], \"count\": 2,"
    "  \"print\": {\"infill\": \"20 %\", \"perimeters\": 3, \"layer\": 1, \"line\": 0.8, \"top\": "
    "2,"
    "  \"bottom\": 2, \"waste\": \"3 %\", \"support\": \"4 g\"}},"
    "\"dot\": {\"kind\": \"poured\", \"volume\": \"30 ml\", \"depth\": 8, \"material\": "
    "\"own-resin\","
    "  \"at\": [100,0,-4]},"
    "\"slab\": {\"kind\": \"solid\", \"outline\": [[-90,-60],[260,-60],[260,60],[-90,60]],"
    "  \"thickness\": 42, \"top\": 0, \"material\": \"red-alder\"},"
    "\"neck\": {\"kind\": \"neck\", \"shaft\": \"sugar-maple\", \"board\": \"indian-rosewood\"},"
    "\"strings\": {\"kind\": \"strings\", \"gauges\": [\"0.33 mm\",\"0.43 mm\",\"0.66 mm wound\","
    "  \"0.91 mm wound\",\"1.17 mm wound\",\"1.42 mm wound\"]},"
    "\"tuners\": {\"kind\": \"part\", \"part\": \"tuners-4-inline-diecast\", \"at\": [800,10,-5], "
    "\"turn\": [0,0,0]},"
    "\"lead\": {\"kind\": \"mass\", \"mass\": 50, \"at\": [-60,-30,-20], \"box\": [20,20,10],"
    "  \"ballast\": {\"max\": 400}}},"
    "\"measured\": {\"dot\": \"37 g ± 1 g\"},"
    "\"variants\": {\"thin\": {\"items\": {\"wing\": {\"print\": {\"infill\": \"8 %\"}},"
    "  \"slab\": {\"thickness\": 38}}}}}";

/* Writes the file and its mesh; the path is the caller's to read. */
static inline const char *sweep_file(void)
{
    static char path[512];
    char mesh[512];
    Soup wing = {0};
    const double base[3] = {60, 40, 0};
    soup_stepped(&wing, base, 48, 12, 30, 16, 24);
    write_stl(&wing, "sweep-wing.stl", mesh);
    soup_free(&wing);
    snprintf(path, sizeof path, "%s/sweep-sedge.json", POISE_TEST_BINARY_DIR);
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    assert_true(fputs(SWEEP_FILE, f) >= 0);
    assert_int_equal(fclose(f), 0);
    return path;
}

static inline void print_faults(const PoiseFaults *faults)
{
    for (size_t i = 0; i < poise_faults_count(faults); i++) {
        char *text = poise_fault_text(poise_faults_get(faults, i));
        print_error("fault: %s\n", text);
        poise_string_free(text);
    }
}

/* Opens a sweep that has to be good. */
static inline PoiseSweep *open_sweep(const char *const *vary, size_t n, int threads,
                                     const char *variant)
{
    PoiseSweep *sweep = NULL;
    PoiseFaults *faults = poise_faults_new();
    const PoiseSweepOptions options = {.variant = variant, .threads = threads};
    PoiseStatus status = poise_sweep_open(sweep_file(), vary, n, &options, &sweep, faults);
    print_faults(faults);
    poise_faults_free(faults);
    assert_int_equal(status, POISE_OK);
    return sweep;
}

/* Rows of a run, in order. */
typedef struct Rows {
    size_t count, capacity;
    PoiseSweepRow *list;
} Rows;

static inline PoiseStatus keep_rows(const PoiseSweepRow *rows, size_t n, void *context)
{
    Rows *kept = context;
    if (kept->count + n > kept->capacity) {
        kept->capacity = 2 * (kept->count + n);
        kept->list = realloc(kept->list, kept->capacity * sizeof *kept->list);
        if (!kept->list)
            abort();
    }
    memcpy(&kept->list[kept->count], rows, n * sizeof *rows);
    kept->count += n;
    return POISE_OK;
}

/* The same numbers on every machine: the generator of Park and Miller's "minimal standard" (Comm.
 * ACM 31 (1988), from memory). */
static inline uint32_t next_random(uint32_t *state)
{
    *state = (uint32_t)((uint64_t)*state * 16807u % 2147483647u);
    return *state;
}

#endif
