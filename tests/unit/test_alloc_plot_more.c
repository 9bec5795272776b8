/* Out of memory over meshes, over names beside a front, and where nothing is needed: as in
 * test_alloc_plot.c. There is no gnuplot, so each run ends where it would be started. */
#include "alloc_help.h"
#include "plot_view_help.h"

static Outcome view(const char *name, PoiseFaults *faults)
{
    PoisePlotDone done;
    const PoisePlotOptions options = {.out = "never.svg"};
    PoisePlotView which = strcmp(name, "front") == 0 ? POISE_PLOT_FRONT : POISE_PLOT_BALLAST;
    PoiseStatus status = poise_plot(in, w, which, &options, &done, faults);
    assert_null(done.table);
    return refused(status);
}

static Outcome sweep(const char *name, PoiseFaults *faults)
{
    const PoiseSweepPoint points[] = {{2500, 120, 300, true, "infill 12 %", false},
                                      {2600, 60, 310, true, "infill 15 %", false},
                                      {2700, 50, 320, true, NULL, false}};
    const PoiseSweepPlot plot = {.name = name,
                                 .candidates = 3,
                                 .count = 3,
                                 .points = points,
                                 .target_mass_g = (double)NAN,
                                 .target_hand_load_g = 100};
    const PoisePlotOptions options = {.out = "never.svg"};
    PoisePlotDone done;
    return refused(poise_plot_sweep(&plot, &options, &done, faults));
}

static void test_names_beside_the_front(void **state)
{
    (void)state;
    fail_each(sweep, "Reed", POISE_E_IO);
}

static void test_meshes_and_a_neck(void **state)
{
    (void)state;
    char *path = in_fakes("slab.obj");
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fputs("v 0 0 0\nv 40 0 0\nv 0 30 0\nv 0 0 10\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 3 1 4\n", f);
    assert_int_equal(fclose(f), 0);
    load("\"scale\":{\"nut\":[648,0,0],\"saddle\":[0,0,0],\"frets\":21},",
         "\"a\":{\"kind\":\"solid\",\"mesh\":\"slab.obj\",\"material\":\"board\"},"
         "\"n\":{\"kind\":\"neck\",\"preset\":\"test-neck\"}");
    fail_some(view, "front", POISE_E_IO, 400);
    poise_release(path);
}

static void test_ballast_that_is_not_needed(void **state)
{
    (void)state;
    load("\"scale\":{\"nut\":[648,0,0],\"saddle\":[0,0,0],\"frets\":22},\"posts\":{\"tail\":"
         "[-60,0,0],\"horn\":[330,90,0]},\"strap\":{\"length\":1100,\"friction\":0.2},"
         "\"stance\":{\"neck_angle\":0},",
         "\"a\":{\"kind\":\"mass\",\"mass\":\"3 kg\",\"at\":[130,0,0]}");
    assert_int_equal(w->hanging.verdict, POISE_HOLDS);
    fail_some(view, "ballast", POISE_E_IO, 400);
}

static int make(void **state)
{
    int failed = fakes_make(state);
    fake("gnuplot", NULL);
    return failed;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_names_beside_the_front),
        cmocka_unit_test(test_meshes_and_a_neck),
        cmocka_unit_test(test_ballast_that_is_not_needed),
    };
    int failures = cmocka_run_group_tests(tests, make, NULL);
    unload();
    return fakes_over(failures);
}
