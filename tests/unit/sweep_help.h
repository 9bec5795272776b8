/* A small instrument on disk with one item of each kind, for sweeps. */
#ifndef POISE_TEST_SWEEP_HELP_H
#define POISE_TEST_SWEEP_HELP_H

#include "item_fixture.h"

#include "decide/sweep.h"
#include "poise/instrument.h"
#include "poise/weigh.h"

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
static inline PoiseSweep *open_sweep_of(const char *path, const char *const *vary, size_t n,
                                        int threads, const char *variant)
{
    PoiseSweep *sweep = NULL;
    PoiseFaults *faults = poise_faults_new();
    const PoiseSweepOptions options = {.variant = variant, .threads = threads};
    PoiseStatus status = poise_sweep_open(path, vary, n, &options, &sweep, faults);
    print_faults(faults);
    poise_faults_free(faults);
    assert_int_equal(status, POISE_OK);
    return sweep;
}

static inline PoiseSweep *open_sweep(const char *const *vary, size_t n, int threads,
                                     const char *variant)
{
    return open_sweep_of(sweep_file(), vary, n, threads, variant);
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

static inline void same(double got, double want, const char *what)
{
    if (isnan(want) && isnan(got))
        return;
    if (!(fabs(got - want) <= 1e-9 * fmax(1.0, fabs(want)))) {
        print_error("%s: swept %.17g, weighed %.17g\n", what, got, want);
        fail();
    }
}

static inline void same_as_weighed(const PoiseSweep *sweep, const PoiseSweepRow *row)
{
    PoiseInstrument *in = NULL;
    PoiseWeighing *w = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_sweep_instrument(sweep, row->index, &in, faults);
    if (!status)
        status = poise_weigh(in, NULL, &w, faults);
    print_faults(faults);
    assert_int_equal(status, POISE_OK);
    same(row->mass_g, w->total.mass_g, "mass");
    same(row->station_mm, w->hanging.station_mm, "station");
    same(row->margin_mm, w->hanging.margin_mm, "margin");
    same(row->hand_load_g, w->hanging.hand_load_g, "hand load");
    same(row->seat_hand_load_g, w->has_seat ? w->resting.hand_load_g : (double)NAN, "seat");
    same(row->filament_g, w->filament_g, "filament");
    same(row->hours, w->filament_h, "hours");
    same(row->price, w->price, "price");
    assert_int_equal(row->targets_met, w->targets_met);
    assert_int_equal(row->has_strap, w->hanging.has_verdict);
    if (row->has_strap)
        assert_int_equal(row->verdict, w->hanging.verdict);
    assert_int_equal(row->seat_verdict, w->resting.verdict);
    poise_weighing_free(w);
    poise_instrument_free(in);
    poise_faults_free(faults);
}

/* Some candidates of a grid, taken at random with a fixed seed, each read and weighed in full. */
static inline void agrees(const char *path, const char *const *vary, size_t n, const char *variant)
{
    enum { TRIES = 12 };
    PoiseSweep *sweep = open_sweep_of(path, vary, n, 2, variant);
    PoiseSweepFindings found;
    Rows rows = {0};
    assert_int_equal(poise_sweep_run(sweep, keep_rows, &rows, &found, NULL), POISE_OK);
    assert_int_equal(rows.count, poise_sweep_count(sweep));
    assert_int_equal(found.count, rows.count);
    assert_int_equal(found.impossible, 0);
    uint32_t seed = 20;
    for (int i = 0; i < TRIES; i++) {
        size_t at = rows.count <= TRIES ? (size_t)i % rows.count : next_random(&seed) % rows.count;
        assert_int_equal(rows.list[at].index, at);
        same_as_weighed(sweep, &rows.list[at]);
    }
    free(rows.list);
    poise_sweep_findings_free(&found);
    poise_sweep_free(sweep);
}

#endif
