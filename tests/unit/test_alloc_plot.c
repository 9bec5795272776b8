/* Out of memory while a view is drawn: as in test_alloc_failure.c. No gnuplot can be found here, so
 * that each run is quick and ends where the finished data would be handed to it. */
#include "alloc_help.h"

#include <cjson/cJSON.h>
#include <stdlib.h>

#include "plot/plot.h"
#include "poise/poise.h"

/* Neck-heavy, with a slab to draw, a seat, ballast, targets, and names that need care. */
static const char DIVING[] =
    "{\"poise\":1,\"name\":\"Reed {/Bold x}\",\"scale\":{\"nut\":[648,0,10],\"saddle\":[0,0,10],"
    "\"frets\":22},\"posts\":{\"tail\":[-60,0,0],\"horn\":[330,90,0]},"
    "\"strap\":{\"length\":1100,\"friction\":\"0.2 ± 0.05\"},\"seat\":{\"rest\":[200,-120]},"
    "\"target\":{\"hand_load\":50,\"mass\":\"3 kg\"},\"materials\":{\"board\":{\"density\":0.6}},"
    "\"items\":{\"body\":{\"kind\":\"solid\",\"outline\":[[-60,-150],[300,-150],[300,150],"
    "[-60,150]],\"thickness\":44,\"top\":0,\"material\":\"board\"},"
    "\"head'\\\"\":{\"kind\":\"mass\",\"mass\":\"900 g ± 9 g\",\"at\":[740,0,0]},"
    "\"lead\":{\"kind\":\"mass\",\"mass\":0,\"at\":[-50,0,0],\"ballast\":{\"max\":\"600 g\"}}}}";

static PoiseInstrument *instrument;
static PoiseWeighing *weighing;

static Outcome view(const char *name, PoiseFaults *faults)
{
    const PoisePlotOptions options = {.out = POISE_TEST_BINARY_DIR "/alloc-view.svg", .data = true};
    PoisePlotDone done = {0};
    PoisePlotView which = POISE_PLOT_SIDE;
    while (strcmp(poise_plot_view_name(which), name) != 0)
        which = (PoisePlotView)(which + 1);
    PoiseStatus status = poise_plot(instrument, weighing, which, &options, &done, faults);
    poise_plot_done_free(&done);
    return refused(status);
}

static Outcome sweep(const char *name, PoiseFaults *faults)
{
    const PoisePlotOptions options = {.out = POISE_TEST_BINARY_DIR "/alloc-view.svg", .data = true};
    const PoiseSweepPoint points[] = {
        {2500, 120, 300, true, "wing infill 12 %\nlead 0 g", false},
        {2600, 60, 310, true, "\xC2\xB1 it's", false},
        {2700, 0, 320, true, NULL, true},
        {2800, 90, (double)NAN, false, "x", false},
        {2900, (double)NAN, 0, false, NULL, false},
    };
    const PoiseSweepPlot plot = {.name = name,
                                 .candidates = 5,
                                 .count = 5,
                                 .points = points,
                                 .target_mass_g = 2750,
                                 .target_hand_load_g = 100,
                                 .unseen_target = "a margin of 10 mm"};
    PoisePlotDone done = {0};
    PoiseStatus status = poise_plot_sweep(&plot, &options, &done, faults);
    poise_plot_done_free(&done);
    return refused(status);
}

static void test_views(void **state)
{
    (void)state;
    static const char *const names[] = {"side", "front", "window", "ballast", "budget"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        print_message("%s\n", names[i]);
        fail_some(view, names[i], POISE_E_IO, 500);
    }
}

static void test_sweep(void **state)
{
    (void)state;
    fail_each(sweep, "Reed {x}", POISE_E_IO);
}

static int set_up(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = poise_alloc, .free_fn = poise_release};
    cJSON_InitHooks(&hooks);
    if (setenv("PATH", "/nowhere", 1) != 0 ||
        poise_instrument_parse(DIVING, sizeof DIVING - 1, "reed.json", ".", NULL,
                               POISE_TEST_SOURCE_DIR "/tests/data/components", &instrument, NULL))
        return -1;
    return poise_weigh(instrument, NULL, &weighing, NULL) ? -1 : 0;
}

static int tear_down(void **state)
{
    (void)state;
    poise_weighing_free(weighing);
    poise_instrument_free(instrument);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_views),
        cmocka_unit_test(test_sweep),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
