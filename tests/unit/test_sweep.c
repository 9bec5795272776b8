/* Sweeping against weighing each candidate the long way. */
#include "sweep_help.h"

#include "base/memory.h"
#include "poise/weigh.h"

#define AGREES(...)                                                                                \
    do {                                                                                           \
        const char *const list[] = {__VA_ARGS__};                                                  \
        agrees(sweep_file(), list, sizeof list / sizeof *list, NULL);                              \
    } while (0)

static void test_print_settings(void **state)
{
    (void)state;
    AGREES("/items/wing/print/infill=0 %:100 %:5 %");
    AGREES("/items/wing/print/perimeters=0:8:1");
    AGREES("/items/wing/print/infill=10 %:40 %:10 %", "/items/wing/print/perimeters=0:8:1",
           "/items/wing/print/flow=0.9,1,1.1");
    AGREES("/items/wing/print/waste=0,5 %", "/items/wing/print/support=0,9,\"20 g\"",
           "/items/wing/print/infill=15 %,60 %");
    AGREES("/items/wing/material=petg,pla,own-plastic", "/items/wing/print/perimeters=2,4");
    AGREES("/materials/own-plastic/density=1.2:1.3:0.02", "/items/wing/print/infill=15 %,60 %");
}

static void test_slicing_settings(void **state)
{
    (void)state;
    AGREES("/items/wing/print/layer=0.5,1,2", "/items/wing/print/infill=15 %,60 %");
    AGREES("/items/wing/print/top=1:4:1", "/items/wing/print/bottom=1,3",
           "/items/wing/print/perimeters=1,5");
    AGREES("/items/wing/print/line=0.4,0.8");
    AGREES("/items/wing/print/up=[0,0,1],[1,0,0]", "/items/wing/count=1,2,3");
}

static void test_parts_and_masses(void **state)
{
    (void)state;
    AGREES("/items/tuners/part=tuners-4-inline-diecast,tuners-4-inline-lightweight",
           "/items/lead/mass=0:400:50");
    AGREES("/items/lead/mass=0:400:100", "/items/lead/at/0=-80:80:40", "/items/lead/count=1,2");
    AGREES("/items/tuners/at=[700,0,0],[820,10,-5]", "/items/tuners/turn/2=0:90:30");
    AGREES("/items/tuners/price=10,20",
           "/items/tuners/part=tuners-4-inline-diecast,tuners-4-inline-lightweight");
    AGREES("/measured/lead=40,60", "/items/lead/at/1=-30,30");
    AGREES("/items/wing/at/0=0:80:20", "/items/wing/turn/2=0:90:45", "/items/wing/price=0,5");
}

static void test_other_kinds(void **state)
{
    (void)state;
    AGREES("/items/slab/thickness=38:46:2", "/items/slab/material=red-alder,mahogany");
    AGREES("/items/slab/thickness=38,44", "/items/slab/at=[0,0,0],[5,1,2]");
    AGREES("/items/neck/shaft=sugar-maple,mahogany", "/items/neck/truss_rod=0,110");
    AGREES("/items/neck/at=[700,0,5],[650,0,10]", "/items/neck/turn=[0,0,0],[0,0,3]");
    AGREES("/items/dot/volume=20,40", "/materials/own-resin/density=1.1,1.2");
    AGREES("/scale/nut/0=640:700:20", "/items/neck/length=510,540");
    AGREES("/items/strings/beyond_nut=60,120");
}

static void test_stance(void **state)
{
    (void)state;
    AGREES("/strap/length=1000:1300:50", "/strap/friction=0:0.6:0.1");
    AGREES("/posts/horn/0=250:400:25", "/posts/horn/1=60,100",
           "/posts/tail=[-80,0,-20],[-70,20,-20]");
    AGREES("/stance/neck_angle=-10:45:5", "/items/lead/mass=0,300");
    AGREES("/stance/hand=nut,fret 5", "/scale/nut/0=640:700:20");
    AGREES("/seat/rest/0=100:200:20", "/seat/width=40,90", "/seat/arm/mass=0,1200");
    AGREES("/frame/handed=right,left", "/stance/neck_angle=0,20");
    AGREES("/printer/flow=6:12:3", "/printer/price=15,25", "/items/wing/print/infill=15 %,60 %");
}

/* What is varied wins over the variant; the rest of the variant stays. */
static void test_variant(void **state)
{
    (void)state;
    const char *const infill[] = {"/items/wing/print/infill=20 %,60 %"};
    const char *const lead[] = {"/items/lead/mass=0,100", "/items/slab/thickness=38,42"};
    agrees(sweep_file(), infill, 1, "thin");
    agrees(sweep_file(), lead, 2, "thin");
    const char *const one[] = {"/items/wing/print/infill=8 %,20 %"};
    PoiseSweep *thin = open_sweep(one, 1, 1, "thin"), *plain = open_sweep(one, 1, 1, NULL);
    PoiseSweepFindings f, g;
    Rows a = {0}, b = {0};
    assert_int_equal(poise_sweep_run(thin, keep_rows, &a, &f, NULL), POISE_OK);
    assert_int_equal(poise_sweep_run(plain, keep_rows, &b, &g, NULL), POISE_OK);
    assert_true(a.list[0].mass_g < a.list[1].mass_g);
    assert_true(a.list[1].mass_g < b.list[1].mass_g - 50.0); /* 4 mm of a slab of 350 × 120 mm */
    free(a.list);
    free(b.list);
    poise_sweep_findings_free(&f);
    poise_sweep_findings_free(&g);
    poise_sweep_free(thin);
    poise_sweep_free(plain);
}

/* An item that was weighed is estimated again once the sweep changes it, and the reader is told. */
static void test_weighed_item(void **state)
{
    (void)state;
    AGREES("/items/dot/volume=20,30,40");
    const char *const vary[] = {"/items/dot/volume=20,30,40"};
    PoiseSweep *sweep = open_sweep(vary, 1, 1, NULL);
    assert_int_equal(poise_sweep_note_count(sweep), 1);
    assert_non_null(strstr(poise_sweep_note(sweep, 0), "dot"));
    poise_sweep_free(sweep);
}

/* Past the size of a table each candidate is put together anew: 21 · 9 · 21 · 21 entries of one
 * item. */
static void test_beyond_the_table(void **state)
{
    (void)state;
    AGREES("/items/wing/print/infill=0:1:0.05", "/items/wing/print/perimeters=0:8:1",
           "/items/wing/print/flow=0.9:1.1:0.01", "/items/wing/at/0=0:20:1");
    AGREES("/strap/length=1000:1250:1", "/strap/friction=0.1:0.6:0.01",
           "/stance/neck_angle=0:25:5");
}

static bool dominates(const PoiseSweepRow *a, const PoiseSweepRow *b)
{
    double x[3] = {a->mass_g, fabs(a->hand_load_g), a->filament_g};
    double y[3] = {b->mass_g, fabs(b->hand_load_g), b->filament_g};
    bool equal = true;
    for (int i = 0; i < 3; i++) {
        if (x[i] > y[i])
            return false;
        equal = equal && x[i] == y[i];
    }
    return !equal || a->index < b->index;
}

static const char *const FRONT_GRID[] = {"/items/wing/print/infill=5 %:60 %:5 %",
                                         "/items/lead/mass=0:400:25", "/items/lead/at/0=-80,0,40",
                                         "/items/slab/thickness=36:44:2"};

static void test_front_against_brute_force(void **state)
{
    (void)state;
    PoiseSweep *sweep = open_sweep(FRONT_GRID, 4, 2, NULL);
    PoiseSweepFindings found;
    Rows rows = {0};
    assert_int_equal(poise_sweep_run(sweep, keep_rows, &rows, &found, NULL), POISE_OK);
    assert_int_equal(rows.count, 12 * 17 * 3 * 5);
    size_t on_front = 0, holding = 0, met = 0, best = 0;
    for (size_t i = 0; i < rows.count; i++) {
        bool beaten = false;
        for (size_t j = 0; j < rows.count && !beaten; j++)
            beaten = dominates(&rows.list[j], &rows.list[i]);
        holding += rows.list[i].hand_load_g == 0.0 ? 1 : 0;
        met += rows.list[i].targets_met ? 1 : 0;
        if (fabs(rows.list[i].hand_load_g) < fabs(rows.list[best].hand_load_g))
            best = i;
        if (beaten)
            continue;
        size_t k = 0;
        while (k < found.front_count && found.front[k].index != i)
            k++;
        assert_true(k < found.front_count);
        check_near(found.front[k].mass_g, rows.list[i].mass_g, 0.0);
        on_front++;
    }
    assert_int_equal(found.front_count, on_front);
    assert_true(on_front > 3);
    assert_int_equal(found.holding, holding);
    assert_int_equal(found.met, met);
    assert_int_equal(found.judged, rows.count);
    assert_true(found.has_best);
    check_near(fabs(found.best.hand_load_g), fabs(rows.list[best].hand_load_g), 0.0);
    free(rows.list);
    poise_sweep_findings_free(&found);
    poise_sweep_free(sweep);
}

static void test_threads_change_nothing(void **state)
{
    (void)state;
    const char *const vary[] = {"/items/wing/print/infill=0 %:100 %:1 %",
                                "/items/lead/mass=0:400:4", "/items/slab/thickness=30:44:1"};
    PoiseSweepFindings found[3];
    const int threads[] = {1, 2, 7};
    for (int i = 0; i < 3; i++) {
        PoiseSweep *sweep = open_sweep(vary, 3, threads[i], NULL);
        assert_int_equal(poise_sweep_run(sweep, NULL, NULL, &found[i], NULL), POISE_OK);
        poise_sweep_free(sweep);
        assert_int_equal(found[i].count, 101 * 101 * 15);
        assert_int_equal(found[i].front_count, found[0].front_count);
        assert_int_equal(found[i].holding, found[0].holding);
        assert_int_equal(found[i].best.index, found[0].best.index);
        for (size_t k = 0; k < found[i].front_count; k++) {
            assert_int_equal(found[i].front[k].index, found[0].front[k].index);
            check_near(found[i].front[k].mass_g, found[0].front[k].mass_g, 0.0);
        }
    }
    for (int i = 0; i < 3; i++)
        poise_sweep_findings_free(&found[i]);
}

static void refused(const char *vary, const char *pointer, const char *hint)
{
    PoiseSweep *sweep = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_sweep_open(sweep_file(), &vary, 1, NULL, &sweep, faults);
    if (status != POISE_E_USAGE)
        print_error("for %s\n", vary);
    assert_int_equal(status, POISE_E_USAGE);
    assert_null(sweep);
    const PoiseFault *fault = poise_faults_get(faults, 0);
    assert_non_null(fault);
    assert_int_equal(fault->status, POISE_E_USAGE);
    if (pointer)
        assert_string_equal(fault->pointer, pointer);
    if (hint) {
        assert_non_null(fault->hint);
        assert_non_null(strstr(fault->hint, hint));
    }
    poise_faults_free(faults);
}

static void test_bad_pointers(void **state)
{
    (void)state;
    refused("/items/wng/print/infill=0.1,0.2", "/items/wng/print/infill", "\"wing\"");
    refused("/items/wing/print/infil=0.1,0.2", "/items/wing/print/infil", "infill");
    refused("/itmes/wing/print/infill=0.1", "/itmes/wing/print/infill", "/items");
    refused("/materials/own-resn/density=1", "/materials/own-resn/density", "own-resin");
    refused("/items/wing/print/infill=0.1,30", "/items/wing/print/infill", NULL);
    refused("/items/wing/print/perimeters=2,9", "/items/wing/print/perimeters", NULL);
    refused("/items/tuners/part=tuners-4-inline-diecats", "/items/tuners/part",
            "tuners-4-inline-diecast");
    refused("/items/lead/mass=10 mm", "/items/lead/mass", NULL);
    refused("/items/lead/mass/deep=1", "/items/lead/mass/deep", NULL);
    refused("/items/lead/note=a,b", "/items/lead/note", NULL);
    refused("/name=a,b", "/name", NULL);
    refused("/target/mass=2000,4000", "/target/mass", NULL);
    refused("/items=1", "/items", NULL);
    refused("/strap/length=100:1200:100", "/strap/length",
            NULL); /* shorter than the posts' distance */
    const char *const twice[] = {"/items/wing/at=[0,0,0]", "/items/wing/at/0=1"};
    PoiseSweep *sweep = NULL;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_sweep_open(sweep_file(), twice, 2, NULL, &sweep, faults), POISE_E_USAGE);
    assert_string_equal(poise_faults_get(faults, 0)->pointer, "/items/wing/at/0");
    poise_faults_free(faults);
}

/* A neck has to reach its last fret, d_22 = L (1 − 2^(−22/12)) from the nut (equal temperament):
 * 470 mm do at a scale of 640 mm and not at 660 mm, 500 mm do up to 680 mm. */
static void test_impossible_combinations(void **state)
{
    (void)state;
    const char *const vary[] = {"/scale/nut/0=640:700:20", "/items/neck/length=470,500"};
    PoiseSweep *sweep = open_sweep(vary, 2, 1, NULL);
    PoiseSweepFindings found;
    Rows rows = {0};
    assert_int_equal(poise_sweep_run(sweep, keep_rows, &rows, &found, NULL), POISE_OK);
    size_t impossible = 0;
    for (size_t i = 0; i < rows.count; i++) {
        PoiseInstrument *in = NULL;
        PoiseWeighing *w = NULL;
        PoiseStatus status = poise_sweep_instrument(sweep, (uint64_t)i, &in, NULL);
        if (!status)
            status = poise_weigh(in, NULL, &w, NULL);
        assert_true((isnan(rows.list[i].mass_g) != 0) == (status != POISE_OK));
        impossible += status ? 1 : 0;
        poise_weighing_free(w);
        poise_instrument_free(in);
    }
    assert_int_equal(found.impossible, 4);
    assert_int_equal(impossible, 4);
    for (size_t i = 0; i < found.front_count; i++)
        assert_true(found.front[i].mass_g > 0.0);
    free(rows.list);
    poise_sweep_findings_free(&found);
    poise_sweep_free(sweep);
}

static PoiseStatus stop_at_once(const PoiseSweepRow *rows, size_t n, void *context)
{
    (void)rows;
    (void)n;
    (void)context;
    return POISE_E_IO;
}

static void test_sink_ends_the_run(void **state)
{
    (void)state;
    const char *const vary[] = {"/items/lead/mass=0:400:25"};
    PoiseSweep *sweep = open_sweep(vary, 1, 1, NULL);
    PoiseSweepFindings found;
    assert_int_equal(poise_sweep_run(sweep, stop_at_once, NULL, &found, NULL), POISE_E_IO);
    poise_sweep_findings_free(&found);
    poise_sweep_free(sweep);
}

/* Opens and runs a small sweep; the status is what it ends with. */
static PoiseStatus small_sweep(const char *path)
{
    static const char *const vary[] = {"/items/wing/print/infill=10 %,40 %",
                                       "/items/neck/first=20,21", "/items/neck/twelfth=22,23"};
    const PoiseSweepOptions options = {.threads = 1};
    PoiseSweepFindings found = {0};
    PoiseSweep *sweep = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_sweep_open(path, vary, 3, &options, &sweep, faults);
    if (!status)
        status = poise_sweep_run(sweep, NULL, NULL, &found, faults);
    poise_sweep_findings_free(&found);
    poise_sweep_free(sweep);
    poise_faults_free(faults);
    return status;
}

/* An allocation that fails is an error and no leak (the sanitizer's word), wherever it happens. The
 * places are spread over the run, close together towards its end: reading and weighing, which come
 * first, have tests of their own. */
static void test_memory_runs_out(void **state)
{
    (void)state;
    const char *path = sweep_file();
    assert_int_equal(small_sweep(path), POISE_OK); /* the section is in the cache from here on */
    poise_alloc_fail_at(-1, 0);
    assert_int_equal(small_sweep(path), POISE_OK);
    long all = poise_alloc_fail_at(-1, 0);
    assert_true(all > 100);
    for (long left = 1; left < all; left += left < 60 ? 3 : left / 4) {
        poise_alloc_fail_at(all - left, 1);
        PoiseStatus status = small_sweep(path);
        poise_alloc_fail_at(-1, 0);
        assert_int_equal(status, POISE_E_MEMORY);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_print_settings),
        cmocka_unit_test(test_slicing_settings),
        cmocka_unit_test(test_parts_and_masses),
        cmocka_unit_test(test_other_kinds),
        cmocka_unit_test(test_stance),
        cmocka_unit_test(test_variant),
        cmocka_unit_test(test_weighed_item),
        cmocka_unit_test(test_beyond_the_table),
        cmocka_unit_test(test_front_against_brute_force),
        cmocka_unit_test(test_threads_change_nothing),
        cmocka_unit_test(test_bad_pointers),
        cmocka_unit_test(test_impossible_combinations),
        cmocka_unit_test(test_sink_ends_the_run),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
