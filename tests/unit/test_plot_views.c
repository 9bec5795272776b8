/* The plan and the budget: outlines of every kind of item, and bars. */
#include "plot_view_help.h"

/* A box of 40 by 30 by 10 from the origin, as triangles. */
static void write_box(const char *name)
{
    char *path = in_fakes(name);
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    for (int i = 0; i < 8; i++)
        fprintf(f, "v %d %d %d\n", i & 1 ? 40 : 0, i & 2 ? 30 : 0, i & 4 ? 10 : 0);
    fputs("f 1 3 4\nf 1 4 2\nf 5 6 8\nf 5 8 7\nf 1 2 6\nf 1 6 5\nf 3 7 8\nf 3 8 4\n"
          "f 1 5 7\nf 1 7 3\nf 2 4 8\nf 2 8 6\n",
          f);
    assert_int_equal(fclose(f), 0);
    poise_release(path);
}

/* The box around an outline. */
static void extent(const char *table, const char *block, const double want[4])
{
    double lo[2] = {INFINITY, INFINITY}, hi[2] = {-INFINITY, -INFINITY};
    for (int row = rows_of(table, block) - 1; row >= 0; row--)
        for (int k = 0; k < 2; k++) {
            lo[k] = fmin(lo[k], cell(table, block, row, k));
            hi[k] = fmax(hi[k], cell(table, block, row, k));
        }
    for (int k = 0; k < 2; k++) {
        check_near(lo[k], want[k], 1e-3);
        check_near(hi[k], want[k + 2], 1e-3);
    }
}

static void test_outlines_of_meshes(void **state)
{
    (void)state;
    write_box("slab.obj");
    write_box("pool.obj");
    load("", "\"a\":{\"kind\":\"solid\",\"mesh\":\"slab.obj\",\"material\":\"board\","
             "\"at\":[100,0,0]}");
    char *table = draw(POISE_PLOT_FRONT);
    extent(table, "edge-body", (double[4]){100, 0, 140, 30});
    block_says(table, "notes", "\ta\n", true);
    poise_release(table);
    load("", "\"a\":{\"kind\":\"printed\",\"mesh\":\"slab.obj\",\"material\":\"test-plastic\","
             "\"turn\":[0,0,90]}");
    table = draw(POISE_PLOT_FRONT);
    extent(table, "edge-body", (double[4]){-30, 0, 0, 40});
    poise_release(table);
    load("", "\"a\":{\"kind\":\"poured\",\"mesh\":\"pool.obj\",\"material\":\"test-epoxy\","
             "\"at\":[0,7,0]}");
    table = draw(POISE_PLOT_FRONT);
    extent(table, "edge-pour", (double[4]){0, 7, 40, 37});
    assert_true(isnan(cell(table, "edge-body", 0, 0)));
    poise_release(table);
    /* a mesh that has gone since it was weighed */
    char *path = in_fakes("pool.obj");
    assert_int_equal(unlink(path), 0);
    PoiseStatus status = draw_refused(POISE_PLOT_FRONT, "pool.obj");
    assert_true(status == POISE_E_IO || status == POISE_E_MESH);
    assert_int_equal(draw_refused(POISE_PLOT_BALLAST, "no holding window"), POISE_E_USAGE);
    poise_release(path);
}

static void test_what_has_no_outline(void **state)
{
    (void)state;
    load("", "\"a\":{\"kind\":\"poured\",\"volume\":\"100 ml\",\"material\":\"test-epoxy\","
             "\"at\":[10,20,0]},\"b\":{\"kind\":\"mass\",\"mass\":\"1 g\",\"at\":[0,0,0]}");
    char *table = draw(POISE_PLOT_FRONT);
    assert_true(isnan(cell(table, "edge-pour", 0, 0)));
    block_says(table, "notes", "\ta\n", true); /* it is named all the same */
    block_says(table, "notes", "\tb\n", false);
    poise_release(table);
    /* a printer's program alone: lines of 0.5 mm by 0.25 mm on the bed */
    char *path = in_fakes("slab.gcode");
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fputs("G90\nM82\nG92 E0\n", f);
    double fed = 0;
    for (int layer = 1; layer <= 8; layer++)
        for (int i = 0; i < 40; i++) {
            fed += 20 * 0.5 * 0.25 / (acos(-1.0) / 4 * 1.75 * 1.75);
            fprintf(f, "G0 X50 Y%.2f Z%.2f\nG1 X70 Y%.2f E%.6f\n", 60 + 0.5 * i, 0.25 * layer,
                    60 + 0.5 * i, fed);
        }
    assert_int_equal(fclose(f), 0);
    load("", "\"a\":{\"kind\":\"printed\",\"toolpath\":\"slab.gcode\",\"material\":"
             "\"test-plastic\"}");
    check_close(w->total.mass_g, 20 * 20 * 2 * 1.25e-3, 0.02);
    table = draw(POISE_PLOT_FRONT);
    assert_true(isnan(cell(table, "edge-body", 0, 0)));
    block_says(table, "notes", "\ta\n", true);
    poise_release(table);
    assert_int_equal(unlink(path), 0);
    poise_release(path);
}

static void load_neck(const char *more)
{
    char *items = poise_format("\"n\":{\"kind\":\"neck\",\"preset\":\"test-neck\"%s}", more);
    load("\"scale\":{\"nut\":[648,0,0],\"saddle\":[0,0,0],\"frets\":21},", items);
    poise_release(items);
}

/* Widths are those of the preset and the usual ones: 42 mm at the nut, 56 mm at the heel, a head of
 * 180 mm by 80 mm. */
static void test_outlines_of_necks(void **state)
{
    (void)state;
    load_neck(",\"length\":470");
    char *table = draw(POISE_PLOT_FRONT);
    extent(table, "edge-neck", (double[4]){648 - 470, -40, 648 + 180, 40});
    assert_int_equal(rows_of(table, "edge-neck"), 9); /* eight corners, closed */
    poise_release(table);
    /* no head, and a heel 8 mm past the last fret: 1 − 2^(−21/12) of the scale, equal temperament
     */
    load_neck(",\"headstock\":{\"length\":0}");
    table = draw(POISE_PLOT_FRONT);
    double heel = 648 - 648 * (1 - exp2(-21.0 / 12)) - 8;
    extent(table, "edge-neck", (double[4]){heel, -28, 648, 28});
    assert_int_equal(rows_of(table, "edge-neck"), 5);
    check_near(cell(table, "edge-neck", 1, 1), -21, 1e-3);
    poise_release(table);
    /* where its own place is given, the nut goes there */
    load_neck(",\"length\":470,\"at\":[500,10,0]");
    table = draw(POISE_PLOT_FRONT);
    extent(table, "edge-neck", (double[4]){30, -30, 680, 50});
    poise_release(table);
    /* an instrument that has lost its scale cannot say where the neck is */
    in->has_scale = false;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    const PoisePlotOptions options = {.out = "never.svg"};
    assert_int_equal(poise_plot(in, w, POISE_PLOT_FRONT, &options, &done, faults), POISE_E_INPUT);
    assert_string_equal(poise_faults_get(faults, 0)->pointer, "/scale");
    poise_faults_free(faults);
}

static void test_titles_of_the_plan(void **state)
{
    (void)state;
    static const char mass[] = "\"a\":{\"kind\":\"mass\",\"mass\":\"900 g ± 30 g\","
                               "\"at\":[-100,20,0]}";
    load("\"posts\":{\"tail\":[-60,0,0],\"horn\":[330,90,0]},", mass);
    char *table = draw(POISE_PLOT_FRONT);
    block_says(table, "words", "900 g ± 30 g, balancing 40 mm tailwards of the tail post\n", true);
    block_says(table, "words", "mm from the tail post\n", true);
    block_says(table, "words", "Reed. Seen from the front, the strings level.\n", true);
    poise_release(table);
    load("\"scale\":{\"nut\":[648,0,0],\"saddle\":[-250,0,0]},", mass);
    table = draw(POISE_PLOT_FRONT);
    block_says(table, "words", "900 g ± 30 g, balancing 150 mm headwards of the saddle\n", true);
    poise_release(table);
    load("", mass);
    table = draw(POISE_PLOT_FRONT);
    block_says(table, "words", "900 g ± 30 g\n", true);
    block_says(table, "words", "\nalong the strings towards the head, mm\nup, mm\n", true);
    check_near(cell(table, "centre", 0, 0), -100, 0);
    /* the ray to the lens starts on the lens */
    double dx = cell(table, "ray", 0, 0) - cell(table, "lens", 0, 0),
           dy = cell(table, "ray", 0, 1) - cell(table, "lens", 0, 1);
    check_close(hypot(dx, dy), cell(table, "lens", 0, 2), 1e-4);
    poise_release(table);
}

/* A lens is drawn where it enlarges much and covers nothing. */
static void test_the_lens(void **state)
{
    (void)state;
    /* a body known to a hair, all on the tail's side: the lens stands beside the head */
    static const char body[] =
        "\"body\":{\"kind\":\"solid\",\"outline\":[[0,-100],[300,-100],[300,100],[0,100]],"
        "\"thickness\":40,\"top\":0,\"material\":\"board\"},"
        "\"head\":{\"kind\":\"solid\",\"outline\":[[300,80],[900,80],[900,100],[300,100]],"
        "\"thickness\":40,\"top\":0,\"material\":\"board\"}";
    load("", body);
    memset(w->centre_covariance_mm2, 0, sizeof w->centre_covariance_mm2);
    w->centre_covariance_mm2[0][0] = 1.0;
    char *table = draw(POISE_PLOT_FRONT);
    double x = cell(table, "lens", 0, 0), y = cell(table, "lens", 0, 1),
           r = cell(table, "lens", 0, 2);
    assert_true(x - r > 300 && y + r < 80);
    block_says(table, "remarks", "\tdrawn 10 times as large\n", true);
    /* twice the square root of −2 ln 0.05, the 95 % point of chi-squared over two */
    block_says(table, "remarks", "\t95 % ellipse 4.9 mm by 0.0 mm,\n", true);
    poise_release(table);
    /* large enough to be seen: no lens, and the words stand at the centre */
    w->centre_covariance_mm2[0][0] = 100.0;
    table = draw(POISE_PLOT_FRONT);
    assert_true(isnan(cell(table, "lens", 0, 0)));
    assert_true(isnan(cell(table, "ray", 0, 0)));
    block_says(table, "accents", "\t95 % ellipse 49.0 mm by 0.0 mm\n", true);
    poise_release(table);
    /* no doubt at all: nothing to enlarge or to say */
    w->centre_covariance_mm2[0][0] = 0.0;
    table = draw(POISE_PLOT_FRONT);
    assert_true(isnan(cell(table, "lens", 0, 0)));
    block_says(table, "accents", "\tcentre of mass\n", true);
    block_says(table, "accents", "ellipse", false);
    poise_release(table);
    /* no room: a slab that fills the page */
    load("", "\"body\":{\"kind\":\"solid\",\"outline\":[[0,-200],[900,-200],[900,200],[0,200]],"
             "\"thickness\":40,\"top\":0,\"material\":\"board\"}");
    memset(w->centre_covariance_mm2, 0, sizeof w->centre_covariance_mm2);
    w->centre_covariance_mm2[0][0] = 1.0;
    table = draw(POISE_PLOT_FRONT);
    assert_true(isnan(cell(table, "lens", 0, 0)));
    block_says(table, "accents", "\t95 % ellipse 4.9 mm by 0.0 mm\n", true);
    poise_release(table);
}

/* Masses are seen, and named, where there is nothing else to see. */
static void test_a_plan_of_masses_alone(void **state)
{
    (void)state;
    load("", "\"a\":{\"kind\":\"mass\",\"mass\":\"900 g\",\"at\":[0,0,0]},"
             "\"b\":{\"kind\":\"mass\",\"mass\":\"5 g\",\"at\":[600,0,0]}");
    char *table = draw(POISE_PLOT_FRONT);
    assert_int_equal(rows_of(table, "masses"), 2);
    block_says(table, "notes", "\ta\n", true);
    block_says(table, "notes", "\tb\n", false); /* less than a hundredth */
    poise_release(table);
    load("", "\"a\":{\"kind\":\"mass\",\"mass\":\"900 g\",\"at\":[0,0,0]},"
             "\"s\":{\"kind\":\"solid\",\"outline\":[[0,0],[90,0],[90,90],[0,90]],"
             "\"thickness\":40,\"material\":\"board\"}");
    table = draw(POISE_PLOT_FRONT);
    assert_true(isnan(cell(table, "masses", 0, 0)));
    block_says(table, "notes", "\ta\n", false);
    poise_release(table);
}

static void test_weighed_beside_estimated(void **state)
{
    (void)state;
    load("\"measured\":{\"body\":\"2 kg ± 1 g\"},",
         "\"body\":{\"kind\":\"solid\",\"outline\":[[-60,-150],[240,-150],[240,150],[-60,150]],"
         "\"thickness\":50,\"top\":0,\"material\":\"board\"},"
         "\"c\":{\"kind\":\"mass\",\"mass\":\"100 g ± 2 g\",\"at\":[0,0,0]},"
         "\"b\":{\"kind\":\"mass\",\"mass\":\"100 g ± 3 g\",\"at\":[0,0,0]},"
         "\"a\":{\"kind\":\"mass\",\"mass\":\"100 g ± 4 g\",\"at\":[0,0,0]},"
         "\"none\":{\"kind\":\"mass\",\"mass\":0,\"at\":[0,0,0]}");
    const double estimate = 300 * 300 * 50 * 0.6e-3; /* 2700 g */
    char *table = draw(POISE_PLOT_BUDGET);
    block_says(table, "words",
               "2.30 kg: the body is 87 % of it, neck and strings 0 %, the rest "
               "13 %\n",
               true);
    block_says(table, "words", "; open bars: estimates.\n", true);
    assert_int_equal(rows_of(table, "names"), 4); /* what weighs nothing has no bar */
    block_says(table, "names", "4\tbody\n3\tc\n2\tb\n1\ta\n", true); /* equals: as in the file */
    block_says(table, "bars-body", "2000\t4.17\t0.16\n", true);
    block_says(table, "bars-parts", "100\t3\t0.34\n100\t2\t0.34\n", true);
    check_near(cell(table, "estimates", 0, 0), estimate, 1e-3);
    check_near(cell(table, "estimates", 0, 1), 3.83, 1e-9);
    assert_int_equal(rows_of(table, "doubts"), 5);
    check_near(cell(table, "doubts", 0, 2), 1, 1e-6);
    check_near(cell(table, "doubts", 1, 0), estimate, 1e-3);
    check_near(cell(table, "doubts", 4, 2), 4, 1e-6);
    block_says(table, "amounts", "\tweighed 2.00 kg ± 1.0 g, estimated 2.70 kg\n", true);
    block_says(table, "amounts", "\t100 g ± 3.0 g\n", true);
    /* the longer bar, and room behind it for two amounts */
    char *path = in_fakes("p.gp"), *script = text_of(path);
    double most = estimate + w->items[0].predicted_u_g;
    check_close(strtod(strstr(script, "\nXHI = ") + 7, NULL), 1.62 * most, 1e-9);
    poise_release(script);
    poise_release(table);
    /* on the scale it was nothing: its estimate is shown all the same */
    w->items[4].predicted_g = 7;
    w->items[4].measured = true;
    table = draw(POISE_PLOT_BUDGET);
    assert_int_equal(rows_of(table, "names"), 5);
    block_says(table, "amounts", "\tweighed 0.0 g ± 0.0 g, estimated 7.0 g\n", true);
    poise_release(path);
    poise_release(table);
}

static void test_many_items_share_the_last_bar(void **state)
{
    (void)state;
    PoiseText items = {0};
    double rest = 0;
    for (int i = 0; i < 22; i++) {
        poise_text_printf(&items,
                          "%s\"m%d\":{\"kind\":\"mass\",\"mass\":\"%d g ± 3 g\","
                          "\"at\":[%d,0,0]}",
                          i ? "," : "", i, 100 + i, i);
        rest += i < 5 ? 100 + i : 0;
    }
    load("", items.data);
    poise_text_clear(&items);
    char *table = draw(POISE_PLOT_BUDGET), words[80];
    assert_int_equal(rows_of(table, "names"), 18);
    block_says(table, "names", "18\tm21\n", true);
    block_says(table, "names", "2\tm5\n1\t5 lighter items\n", true);
    check_near(cell(table, "bars-parts", 17, 0), rest, 1e-9);
    check_close(cell(table, "doubts", 17, 2), 3 * sqrt(5), 1e-6);
    snprintf(words, sizeof words, "%.0f g ± 6.7 g\n", rest);
    block_says(table, "amounts", words, true);
    block_says(table, "words", ". Whiskers: one standard uncertainty.\n", true);
    poise_release(table);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_outlines_of_meshes),
        cmocka_unit_test(test_what_has_no_outline),
        cmocka_unit_test(test_outlines_of_necks),
        cmocka_unit_test(test_titles_of_the_plan),
        cmocka_unit_test(test_the_lens),
        cmocka_unit_test(test_a_plan_of_masses_alone),
        cmocka_unit_test(test_weighed_beside_estimated),
        cmocka_unit_test(test_many_items_share_the_last_bar),
    };
    int failures = cmocka_run_group_tests(tests, fakes_make, NULL);
    unload();
    return fakes_over(failures);
}
