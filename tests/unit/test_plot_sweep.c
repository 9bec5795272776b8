/* The picture of a sweep: the front, the best, the target, and their names. */
#include "plot_help.h"

#include "plot/plot.h"

static const double NONE = (double)NAN;

/* The table of a sweep that can be drawn; free it. */
static char *table_of(const PoiseSweepPlot *sweep)
{
    char *out = in_fakes("p.svg");
    const PoisePlotOptions options = {.out = out, .data = true};
    PoisePlotDone done;
    assert_int_equal(poise_plot_sweep(sweep, &options, &done, NULL), POISE_OK);
    char *table = text_of(done.table);
    poise_plot_done_free(&done);
    poise_release(out);
    return table;
}

/* Three candidates; the last one hangs tail-heavy. */
static const PoiseSweepPoint THREE[] = {{2600, 60, 310, true, "infill 15 %", false},
                                        {2500, 120, 300, true, "infill 10 %", false},
                                        {2800, -90, 350, false, "infill 30 %", false}};

static PoiseSweepPlot three(double mass_g, double load_g)
{
    return (PoiseSweepPlot){.name = "Reed",
                            .candidates = 3,
                            .count = 3,
                            .points = THREE,
                            .target_mass_g = mass_g,
                            .target_hand_load_g = load_g};
}

static void test_both_targets(void **state)
{
    (void)state;
    const PoiseSweepPlot sweep = three(2650, 100);
    char *table = table_of(&sweep);
    block_says(table, "words",
               "The lightest that meets the target weighs 2.60 kg, hand load 60 g\n", true);
    check_near(cell(table, "best", 0, 0), 2600, 0);
    check_near(cell(table, "best", 0, 1), 60, 0);
    /* lighter first, and a load is a load whichever way it pushes */
    check_near(cell(table, "candidates", 0, 0), 2500, 0);
    check_near(cell(table, "candidates", 2, 1), 90, 0);
    assert_int_equal(rows_of(table, "front"), 2);
    check_near(cell(table, "target", 1, 0), 2650, 0); /* lower right corner */
    check_near(cell(table, "target", 2, 1), 100, 0);  /* upper right */
    block_says(table, "remarks", "meets target", true);
    block_says(table, "accents", "infill 15 %", true); /* the best stands out */
    block_says(table, "remarks", "infill 10 %", true);
    block_says(table, "remarks", "infill 30 %", false); /* not worth a choice */
    check_near(setting("HAS_FILAMENT"), 1, 0);
    check_near(setting("FILAMENT_LO"), 300, 0);
    check_near(setting("FILAMENT_HI"), 350, 0);
    check_near(setting("MARK_FRONT"), 1, 0);
    poise_release(table);
}

static void test_one_target_alone(void **state)
{
    (void)state;
    PoiseSweepPlot sweep = three(2550, NONE);
    char *table = table_of(&sweep);
    check_near(cell(table, "best", 0, 0), 2500, 0);
    check_near(cell(table, "target", 2, 0), 2550, 0);
    check_near(cell(table, "target", 2, 1), 1.12 * 120, 1e-9); /* up to the picture's edge */
    poise_release(table);
    sweep = three(NONE, 70);
    table = table_of(&sweep);
    check_near(cell(table, "best", 0, 0), 2600, 0);
    check_near(cell(table, "target", 2, 1), 70, 0);
    check_near(cell(table, "target", 2, 0), 2824, 1e-9); /* 2800 and 8 % of 300 */
    poise_release(table);
    sweep = three(NONE, 500); /* far above all of them: the picture still shows it */
    table = table_of(&sweep);
    check_near(cell(table, "target", 2, 1), 500, 0);
    check_near(cell(table, "best", 0, 0), 2500, 0);
    poise_release(table);
}

static void test_no_target_and_none_met(void **state)
{
    (void)state;
    PoiseSweepPlot sweep = three(NONE, NONE);
    sweep.on_leg = true;
    char *table = table_of(&sweep);
    block_says(table, "words", "2 of 3 candidates are worth a choice\n", true);
    block_says(table, "words", "\nhand load on the leg, g\n", true);
    assert_true(isnan(cell(table, "best", 0, 0))); /* without a target none is ringed */
    block_says(table, "words", "lightest for their hand load on the leg.", true);
    assert_int_equal(rows_of(table, "target"), 1); /* a row of nothing */
    assert_true(isnan(cell(table, "target", 0, 0)));
    block_says(table, "remarks", "meets target", false);
    poise_release(table);
    sweep = three(2550, 70); /* each is met, but by different ones */
    table = table_of(&sweep);
    block_says(table, "words", "None of the candidates meets all targets\n", true);
    block_says(table, "words", "lightest for their hand load.\n", true);
    block_says(table, "words", "\nhand load on the strap, g\n", true);
    assert_true(isnan(cell(table, "best", 0, 0)));
    block_says(table, "accents", "infill", false);
    poise_release(table);
    sweep = three(1000, NONE); /* further left than the picture reaches */
    table = table_of(&sweep);
    assert_true(isnan(cell(table, "target", 0, 0)));
    poise_release(table);
}

static void test_filament_that_tells_nothing_apart(void **state)
{
    (void)state;
    const PoiseSweepPoint points[] = {{2500, 10, 200, true, NULL, false},
                                      {2600, 5, 200, true, NULL, false}};
    const PoiseSweepPoint bare[] = {{2500, 10, NONE, true, NULL, false},
                                    {2500, 10, NONE, false, NULL, false}};
    PoiseSweepPlot sweep = three(NONE, NONE);
    sweep.count = sweep.candidates = 2;
    for (int k = 0; k < 2; k++) {
        sweep.points = k ? bare : points;
        char *table = table_of(&sweep);
        check_near(setting("HAS_FILAMENT"), 0, 0);
        check_near(setting("FILAMENT_LO"), 0, 0);
        check_near(setting("FILAMENT_HI"), 1, 0);
        check_near(cell(table, "candidates", 0, 2), k ? 0 : 200, 0);
        poise_release(table);
    }
}

/* Forty on the front: too many to ring one by one, and only the best, the ends and a few between
 * them are named. */
static void test_a_crowded_front(void **state)
{
    (void)state;
    PoiseSweepPoint points[41];
    char names[41][16];
    for (int i = 0; i < 41; i++) {
        snprintf(names[i], sizeof names[i], "number %02d;", i);
        points[i] = (PoiseSweepPoint){2000 + 10 * i, 200 - 4 * i, 100 + i, i != 5, names[i], false};
    }
    points[0].label = NULL;
    const PoiseSweepPlot sweep = {.name = "Reed",
                                  .candidates = 50,
                                  .count = 41,
                                  .points = points,
                                  .target_mass_g = NONE,
                                  .target_hand_load_g = 180};
    char *table = table_of(&sweep);
    check_near(setting("MARK_FRONT"), 0, 0);
    assert_int_equal(rows_of(table, "front"), 40);
    check_near(cell(table, "best", 0, 0), 2050, 0); /* number 5, off the front */
    block_says(table, "accents", "number 05;", true);
    /* every 39/4 + 1 = 10th of the front, 0, 10, 20, 30 of it, and its end; 0 has no name */
    char *remarks = block_of(table, "remarks");
    int named = 0;
    for (const char *at = remarks; (at = strstr(at, "number")) != NULL; at++)
        named++;
    assert_int_equal(named, 4);
    says(remarks, "number 11;", true);
    says(remarks, "number 21;", true);
    says(remarks, "number 31;", true);
    says(remarks, "number 40;", true);
    poise_release(remarks);
    poise_release(table);
}

static void test_names_of_several_lines(void **state)
{
    (void)state;
    const PoiseSweepPoint points[] = {
        {2500, 120, 300, true, "infill 10 %\nlead 0 g", false},
        {2600, 60, 310, true, NULL, false}, /* the one below, drawn twice */
        {2600, -60, 310, false, "infill 15 %\nlead 50 g", false},
        {2600, 90, 310, false, "not this", false}};
    PoiseSweepPlot sweep = three(NONE, 100);
    sweep.points = points;
    sweep.count = sweep.candidates = 4;
    char *table = table_of(&sweep);
    block_says(table, "words", "Reed. 4 candidates. Ringed: infill 15 %, lead 50 g.\n", true);
    /* the best in full under the title, and both ends of the front, each line of its own */
    block_says(table, "remarks", "\tinfill 10 %\n", true);
    block_says(table, "remarks", "\tlead 0 g\n", true);
    block_says(table, "accents", "\tinfill 15 %\n", true);
    block_says(table, "accents", "\tlead 50 g\n", true);
    block_says(table, "remarks", "lead 50 g", false); /* once */
    block_says(table, "remarks", "not this", false);
    poise_release(table);
    sweep.target_hand_load_g = NONE;
    sweep.target_mass_g = 1000; /* nothing is ringed */
    table = table_of(&sweep);
    block_says(table, "words", "Ringed", false);
    block_says(table, "words", "those along the line are the lightest", true);
    poise_release(table);
    const PoiseSweepPoint unnamed[] = {{2500, 60, 300, true, NULL, false},
                                       {2700, 30, 0, true, "a\nb", false}};
    sweep = three(2600, NONE);
    sweep.points = unnamed;
    sweep.count = sweep.candidates = 2;
    table = table_of(&sweep);
    block_says(table, "words", "Reed. 2 candidates.\n", true);
    block_says(table, "words", "Ringed", false);
    poise_release(table);
}

/* A candidate that misses the margin meets nothing, however light and easy it is. */
static void test_a_target_that_the_axes_do_not_show(void **state)
{
    (void)state;
    PoiseSweepPoint points[] = {{2500, 0, 300, true, "lead 0 g", true},
                                {2600, 0, 300, false, "lead 100 g", false},
                                {2700, 200, 300, false, "lead 200 g", true}};
    PoiseSweepPlot sweep = three(2800, 100);
    sweep.points = points;
    sweep.unseen_target = "the margin of 10 mm";
    sweep.unseen_target_count = 1;
    char *table = table_of(&sweep);
    block_says(table, "words", "The lightest that meets the target weighs 2.60 kg", true);
    check_near(cell(table, "best", 0, 0), 2600, 0);
    block_says(table, "accents", "lead 100 g", true); /* although it is not on the front */
    assert_int_equal(rows_of(table, "missed"), 1);    /* the last one is seen to miss */
    check_near(cell(table, "missed", 0, 0), 2500, 0);
    block_says(table, "remarks", "crossed out: in the shade, but misses", true);
    block_says(table, "remarks", "the margin of 10 mm\n", true);
    block_says(table, "remarks", "meets mass and hand load targets\n", true);
    poise_release(table);
    /* no cross on one that meets them, but where another one is that does not */
    points[0].mass_g = 2600;
    table = table_of(&sweep);
    assert_true(isnan(cell(table, "missed", 0, 0)));
    block_says(table, "remarks", "crossed out", false);
    points[0].mass_g = 2500;
    poise_release(table);
    /* with none that meets them all the title says it of all, and none is crossed */
    points[1].misses = true;
    table = table_of(&sweep);
    block_says(table, "words", "None of the candidates meets all targets\n", true);
    block_says(table, "remarks", "of those in the shade none meets", true);
    block_says(table, "remarks", "crossed out", false);
    assert_true(isnan(cell(table, "best", 0, 0)));
    assert_true(isnan(cell(table, "missed", 0, 0)));
    poise_release(table);
    /* each of the two alone, and neither: then there is no region, but there is a target */
    for (int k = 0; k < 3; k++) {
        static const char *const met[] = {"meets the mass target\n", "meets the hand load target\n",
                                          "meets"};
        sweep.target_mass_g = k == 0 ? 2800 : NONE;
        sweep.target_hand_load_g = k == 1 ? 100 : NONE;
        table = table_of(&sweep);
        block_says(table, "remarks", met[k], k < 2);
        block_says(table, "words", "None of the candidates meets ", true);
        block_says(table, "words", k < 2 ? "meets all targets\n" : "meets the target\n", true);
        block_says(table, "remarks", "of those in the shade", k < 2);
        block_says(table, "remarks", "crossed out", false);
        poise_release(table);
    }
    /* of names with many lines three are drawn */
    points[0].label = "one\ntwo\nthree\nfour";
    table = table_of(&sweep);
    block_says(table, "remarks", "\tthree …\n", true);
    block_says(table, "remarks", "four", false);
    poise_release(table);
}

static void test_nothing_to_draw(void **state)
{
    (void)state;
    const PoiseSweepPoint points[] = {{2500, NONE, 300, false, NULL, false},
                                      {NONE, 60, 0, false, NULL, false}};
    PoiseSweepPlot sweep = three(NONE, NONE);
    sweep.points = points;
    for (size_t count = 0; count <= 2; count += 2) {
        PoiseFaults *faults = poise_faults_new();
        PoisePlotDone done;
        sweep.count = count;
        const PoisePlotOptions options = {.out = "never.svg"};
        assert_int_equal(poise_plot_sweep(&sweep, &options, &done, faults), POISE_E_USAGE);
        assert_string_equal(last_fault(faults),
                            "no candidate has both a mass and a hand load to draw");
        poise_faults_free(faults);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_both_targets),
        cmocka_unit_test(test_one_target_alone),
        cmocka_unit_test(test_no_target_and_none_met),
        cmocka_unit_test(test_filament_that_tells_nothing_apart),
        cmocka_unit_test(test_a_crowded_front),
        cmocka_unit_test(test_names_of_several_lines),
        cmocka_unit_test(test_a_target_that_the_axes_do_not_show),
        cmocka_unit_test(test_nothing_to_draw),
    };
    return fakes_over(cmocka_run_group_tests(tests, fakes_make, NULL));
}
