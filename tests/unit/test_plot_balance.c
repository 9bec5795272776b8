/* The views of balance on the strap: where ballast is needed, and where the strap holds. */
#include "plot_view_help.h"

static const char STRAP[] =
    "\"scale\":{\"nut\":[648,0,0],\"saddle\":[0,0,0],\"frets\":22},\"posts\":{\"tail\":[-60,0,0],"
    "\"horn\":[330,90,0]},\"strap\":{\"length\":1100,\"friction\":0.2},\"stance\":"
    "{\"neck_angle\":0},";
/* 2903 g, its centre on the line of the strings at x = 90 */
static const char BODY[] =
    "\"body\":{\"kind\":\"solid\",\"outline\":[[-60,-150],[240,-150],[240,150],[-60,150]],"
    "\"thickness\":53.76,\"top\":0,\"material\":\"board\"}";
static const char HEAD[] = ",\"head\":{\"kind\":\"mass\",\"mass\":\"1200 g\",\"at\":[740,0,0]}";

static void load_two(const char *members, const char *more_members, const char *items)
{
    char *all = poise_format("%s%s", members, more_members);
    char *every = poise_format("%s%s", BODY, items);
    load(all, every);
    poise_release(all);
    poise_release(every);
}

/* Grams that bring the centre to the window's upper end from a station: Σ m (h − edge) = 0. */
static double needed_at(double station_mm)
{
    double edge = w->hanging.window_mm.hi;
    return w->total.mass_g * (w->hanging.station_mm - edge) / (edge - station_mm);
}

/* As they are told: rounded up, for less would not do. */
static double told(double grams)
{
    double step = grams > 999.5 ? 10 : 1;
    return ceil(grams / step) * step;
}

static const char *place(char out[200], const char *id, double x_mm, int max_g)
{
    snprintf(out, 200,
             ",\"%s\":{\"kind\":\"mass\",\"mass\":0,\"at\":[%g,0,0],\"ballast\":{\"max\":%d}}", id,
             x_mm, max_g);
    return out;
}

static void test_the_place_that_takes_least(void **state)
{
    (void)state;
    /* the second needs less; less but no room; more; room where the first has none */
    static const struct {
        double x[2];
        int max[2], best;
    } cases[] = {{{0, -50}, {3000, 3000}, 1}, {{0, -50}, {3000, 100}, 0},
                 {{-50, 0}, {3000, 3000}, 0}, {{-50, 0}, {100, 3000}, 1},
                 {{-50, 0}, {100, 100}, 0},   {{0, -50}, {100, 100}, 1}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char items[700], one[200], two[200], words[120];
        snprintf(items, sizeof items, "%s%s%s", HEAD,
                 place(one, "first", cases[i].x[0], cases[i].max[0]),
                 place(two, "second", cases[i].x[1], cases[i].max[1]));
        load_two(STRAP, "", items);
        assert_int_equal(w->hanging.verdict, POISE_NECK_HEAVY);
        int best = cases[i].best;
        double station = cases[i].x[best] + 60, grams = needed_at(station);
        assert_true(grams > 100 && grams < 3000);
        char *table = draw(POISE_PLOT_BALLAST);
        check_near(cell(table, "best", 0, 0), station, 1e-3);
        assert_int_equal(rows_of(table, "best"), 1);
        assert_int_equal(rows_of(table, "places"), 2);
        const char *id = best ? "second" : "first";
        if (cases[i].max[best] > grams) {
            snprintf(words, sizeof words, " at %s is enough for it to hold\n", id);
            titled(table, "", told(grams), words);
        } else {
            snprintf(words, sizeof words, "%s has room for 100 g of the ", id);
            titled(table, words, told(grams), " needed there\n");
        }
        poise_release(table);
    }
}

static void test_no_place_of_its_own(void **state)
{
    (void)state;
    load_two(STRAP, "", HEAD);
    char *table = draw(POISE_PLOT_BALLAST);
    titled(table, "At least ", told(needed_at(0)),
           " at the tail end for it to hold\n"); /* the body ends at the tail post */
    assert_true(isnan(cell(table, "best", 0, 0)));
    block_says(table, "notes", "no help here: mass added here", true);
    /* each contour's grams are what its own station takes */
    double at = cell(table, "contours", 0, 0);
    char contour[32];
    snprintf(contour, sizeof contour, "%.0f g\n", needed_at(at));
    block_says(table, "notes", contour, true);
    poise_release(table);
    /* the same with a mass far behind the body: the head end takes least */
    load_two(STRAP, "", ",\"tail\":{\"kind\":\"mass\",\"mass\":\"1500 g\",\"at\":[-300,0,0]}");
    assert_int_equal(w->hanging.verdict, POISE_TAIL_HEAVY);
    table = draw(POISE_PLOT_BALLAST);
    double lo = w->hanging.window_mm.lo; /* the body ends 300 mm from the post */
    titled(table, "At least ", told(w->total.mass_g * (lo - w->hanging.station_mm) / (300 - lo)),
           " at the head end for it to hold\n");
    poise_release(table);
}

static void test_where_nothing_helps(void **state)
{
    (void)state;
    /* all of it is headwards of the window; the place for ballast, too */
    char items[500], one[200];
    snprintf(items, sizeof items,
             "\"bar\":{\"kind\":\"solid\",\"outline\":[[400,-20],[700,-20],[700,20],[400,20]],"
             "\"thickness\":40,\"material\":\"board\"}%s",
             place(one, "lead", 600, 500));
    load(STRAP, items);
    char *table = draw(POISE_PLOT_BALLAST);
    block_says(table, "words", "No place where ballast would help for it to hold\n", true);
    block_says(table, "accents", "\tno help, room for 500 g\n", true);
    assert_true(isnan(cell(table, "contours", 0, 0)));
    check_near(cell(table, "best", 0, 0), 660, 1e-3); /* the only one there is */
    poise_release(table);
}

/* Masses alone have no outline: a band from the tail post to the mass stands for the body. */
static void test_without_a_body(void **state)
{
    (void)state;
    load(STRAP, "\"head\":{\"kind\":\"mass\",\"mass\":\"900 g\",\"at\":[740,0,0]},"
                "\"weight\":{\"kind\":\"mass\",\"mass\":\"1600 g\",\"at\":[100,0,0]}");
    assert_int_equal(w->hanging.verdict, POISE_NECK_HEAVY);
    char *table = draw(POISE_PLOT_BALLAST);
    titled(table, "At least ", told(needed_at(0)), " at the tail post for it to hold\n");
    block_says(table, "words", " No body in the file.\n", true);
    double lo = INFINITY, hi = -INFINITY;
    for (int row = rows_of(table, "outline") - 1; row >= 0; row--) {
        lo = fmin(lo, cell(table, "outline", row, 0));
        hi = fmax(hi, cell(table, "outline", row, 0));
    }
    check_near(lo, 0, 1e-3);
    check_near(hi, 800, 1e-3);
    assert_true(rows_of(table, "contours") >= 2);
    assert_true(rows_of(table, "hatch") > 2);
    block_says(table, "notes", "no help here", true);
    poise_release(table);
    /* with a mass behind the tail post the band begins there */
    load(STRAP, "\"head\":{\"kind\":\"mass\",\"mass\":\"900 g\",\"at\":[740,0,0]},"
                "\"stone\":{\"kind\":\"mass\",\"mass\":\"200 g\",\"at\":[-90,0,0]}");
    table = draw(POISE_PLOT_BALLAST);
    titled(table, "At least ", told(needed_at(-30)), " at the tail end for it to hold\n");
    poise_release(table);
}

/* The neck is part of the whole for either hand: its outline runs from the body to the head. */
static void test_the_neck_belongs_to_the_whole(void **state)
{
    (void)state;
    for (int left = 0; left < 2; left++) {
        load_two(STRAP,
                 left ? "\"frame\":{\"head\":[1,0,0],\"face\":[0,0,1],\"handed\":\"left\"}," : "",
                 ",\"neck\":{\"kind\":\"neck\",\"preset\":\"test-neck\",\"length\":500}");
        char *table = draw(POISE_PLOT_BALLAST);
        double most = -INFINITY;
        for (int row = rows_of(table, "edge-whole") - 1; row >= 0; row--)
            most = fmax(most, cell(table, "edge-whole", row, 0));
        check_near(most, 648 + 180 + 60, 0.06); /* the head's end, from the tail post */
        /* and not cut out of the body: four corners of the body, those of the neck beyond it */
        assert_int_equal(rows_of(table, "edge-whole"), 13);
        poise_release(table);
    }
}

static void test_nothing_is_needed(void **state)
{
    (void)state;
    char items[400], one[200];
    snprintf(items, sizeof items,
             ",\"head\":{\"kind\":\"mass\",\"mass\":\"250 g\",\"at\":[740,0,0]}%s",
             place(one, "lead", 0, 300));
    load_two(STRAP, "", items);
    assert_int_equal(w->hanging.verdict, POISE_HOLDS);
    char *table = draw(POISE_PLOT_BALLAST), margin[80];
    block_says(table, "words", "No ballast needed for balance: it holds as it is\n", true);
    block_says(table, "words", "the darker, the fewer", false);
    snprintf(margin, sizeof margin, "%.0f mm from where the neck would dive",
             w->hanging.window_mm.hi - w->hanging.station_mm);
    block_says(table, "notes", margin, true);
    assert_true(isnan(cell(table, "hatch", 0, 0)));
    assert_true(rows_of(table, "shade-5") > 4); /* all of the body in one tone */
    block_says(table, "accents", "\troom for 300 g\n", true);
    block_says(table, "accents", "needs", false);
    poise_release(table);
    /* it dives, but no more than the maker allows */
    load_two(STRAP, "\"target\":{\"hand_load\":\"2 kg\"},", HEAD);
    assert_int_equal(w->hanging.verdict, POISE_NECK_HEAVY);
    table = draw(POISE_PLOT_BALLAST);
    block_says(table, "words", "No ballast needed for balance: its target is met\n", true);
    block_says(table, "notes", "centre of mass", true);
    block_says(table, "notes", "would dive", false);
    poise_release(table);
    /* but it is too heavy */
    load_two(STRAP, "\"target\":{\"hand_load\":\"2 kg\",\"mass\":\"2.5 kg\"},", HEAD);
    table = draw(POISE_PLOT_BALLAST);
    block_says(table, "words",
               "No ballast needed for balance, but the target mass of 2.50 kg is missed\n", true);
    poise_release(table);
}

static void test_what_the_ballast_aims_at(void **state)
{
    (void)state;
    char *table;
    load_two(STRAP, "\"target\":{\"hand_load\":\"50 g\"},", HEAD);
    table = draw(POISE_PLOT_BALLAST);
    block_says(table, "words", " at the tail end for a hand load of 50 g\n", true);
    poise_release(table);
    load_two(STRAP, "\"target\":{\"margin\":20},", HEAD);
    table = draw(POISE_PLOT_BALLAST);
    double edge = w->hanging.window_mm.hi - 20, station = w->hanging.station_mm;
    titled(table, "At least ", told(w->total.mass_g * (station - edge) / edge),
           " at the tail end for a margin of 20 mm\n");
    poise_release(table);
    /* a margin is one towards the head: a tail-heavy one does not ask for it, nor for a hand load
     * where no hand is */
    load_two(STRAP, "\"target\":{\"margin\":20,\"hand_load\":50},",
             ",\"tail\":{\"kind\":\"mass\",\"mass\":\"1500 g\",\"at\":[-300,0,0]}");
    w->has_hand = false;
    table = draw(POISE_PLOT_BALLAST);
    block_says(table, "words", " at the head end for it to hold\n", true);
    poise_release(table);
}

/* A window of no width, for the belt does not grip: a margin within it asks for a tail-heavy
 * instrument, which the hand may pull down with no more than its target. Far from the strap there
 * is an amount between the two, near it there is none. */
static void test_where_what_is_enough_is_too_much(void **state)
{
    (void)state;
    static const char members[] =
        "\"scale\":{\"nut\":[648,0,0],\"saddle\":[0,0,0],\"frets\":22},\"posts\":{\"tail\":"
        "[-60,0,0],\"horn\":[330,90,0]},\"strap\":{\"length\":1100,\"friction\":0},\"stance\":"
        "{\"neck_angle\":0},\"target\":{\"margin\":5,\"hand_load\":";
    for (int strict = 0; strict < 2; strict++) {
        char items[400], one[200], more[40];
        snprintf(items, sizeof items, "%s%s", HEAD, place(one, "lead", 60, 3000));
        snprintf(more, sizeof more, "%d},", strict ? 1 : 100);
        load_two(members, more, items);
        double edge = w->hanging.window_mm.hi, mass = w->total.mass_g, hand = 648 + 60;
        double g = w->hanging.station_mm;
        check_near(w->hanging.window_mm.lo, edge, 1e-6);
        double enough = mass * (g - edge + 5),
               room = mass * (g - edge) + (strict ? 1 : 100) * (hand - edge);
        char *table = draw(POISE_PLOT_BALLAST);
        block_says(table, "notes", "no amount here will do:", true);
        block_says(table, "accents", "\tno amount will do, room for 3.00 kg\n", true);
        if (strict) {
            assert_true(room < enough); /* nowhere */
            block_says(table, "words",
                       "No place where ballast would help for both balance targets\n", true);
            assert_true(isnan(cell(table, "contours", 0, 0)));
        } else {
            double limit = edge - 5 - 5 * enough / (room - enough);
            assert_true(limit > 0 && limit < 60 + 60);
            block_says(table, "words", "No amount at lead will do for both balance targets\n",
                       true);
            double least = INFINITY;
            for (int row = rows_of(table, "hatch") - 1; row >= 0; row--)
                if (isfinite(cell(table, "hatch", row, 0)))
                    least = fmin(least, cell(table, "hatch", row, 0));
            check_near(least, limit, 14.0); /* the hatch's pitch */
        }
        poise_release(table);
    }
}

static void test_left_handed_is_mirrored(void **state)
{
    (void)state;
    double x[2], note[2];
    for (int left = 0; left < 2; left++) {
        load_two(STRAP,
                 left ? "\"frame\":{\"head\":[1,0,0],\"face\":[0,0,1],\"handed\":\"left\"}," : "",
                 HEAD);
        char *table = draw(POISE_PLOT_BALLAST), *path = in_fakes("p.gp"), *script = text_of(path);
        x[left] = strtod(strstr(script, "\nXLO = ") + 7, NULL);
        note[left] = strtod(strstr(script, "\nXHI = ") + 7, NULL);
        block_says(table, "notes", "no help here", true);
        poise_release(script);
        poise_release(path);
        poise_release(table);
    }
    check_near(x[0], note[1], 1e-9); /* the same page, its x turned around */
    check_near(x[1], note[0], 1e-9);
    assert_true(x[0] < x[1]);
}

static void test_views_that_need_a_window(void **state)
{
    (void)state;
    load("", BODY);
    assert_int_equal(draw_refused(POISE_PLOT_BALLAST, "no holding window"), POISE_E_USAGE);
    assert_int_equal(draw_refused(POISE_PLOT_WINDOW, "no holding window to draw"), POISE_E_USAGE);
    /* the horn post is 90 mm over the tail post and 390 mm before it: at 85° it hangs behind it */
    load_two(STRAP, "", HEAD);
    unload();
    char *members = poise_format("%s", STRAP), *angle = strstr(members, "\"neck_angle\":0");
    assert_non_null(angle);
    char *steep = poise_format("%.*s\"neck_angle\":85},", (int)(angle - members), members);
    load(steep, BODY);
    assert_false(w->hanging.has_verdict);
    assert_int_equal(draw_refused(POISE_PLOT_BALLAST, "no holding window"), POISE_E_USAGE);
    char *table = draw(POISE_PLOT_WINDOW);
    block_says(table, "words",
               "No verdict: at 85° the horn post is not headwards of the tail post\n", true);
    block_says(table, "accents", "\tno window here\n", true);
    /* atan(390/90) = 77.0°: steps of half a degree from −30° to 89° have 214 of them up to 76.5° */
    assert_int_equal(rows_of(table, "path"), 239);
    check_near(cell(table, "band-file", 0, 0), -30, 0);
    check_near(cell(table, "band-file", 213, 0), 76.5, 1e-9);
    assert_true(rows_of(table, "band-file") <= 215);
    poise_release(table);
    table = draw(POISE_PLOT_SIDE);
    block_says(table, "words",
               "No verdict: at 85° the horn post is not headwards of the tail post\n", true);
    block_says(table, "accents", "centre of mass\n", true);
    assert_true(isnan(cell(table, "window", 0, 0)));
    assert_true(isnan(cell(table, "strap", 0, 0)));
    poise_release(table);
    poise_release(steep);
    poise_release(members);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_place_that_takes_least),
        cmocka_unit_test(test_no_place_of_its_own),
        cmocka_unit_test(test_where_nothing_helps),
        cmocka_unit_test(test_without_a_body),
        cmocka_unit_test(test_the_neck_belongs_to_the_whole),
        cmocka_unit_test(test_nothing_is_needed),
        cmocka_unit_test(test_what_the_ballast_aims_at),
        cmocka_unit_test(test_where_what_is_enough_is_too_much),
        cmocka_unit_test(test_left_handed_is_mirrored),
        cmocka_unit_test(test_views_that_need_a_window),
    };
    int failures = cmocka_run_group_tests(tests, fakes_make, NULL);
    unload();
    return fakes_over(failures);
}
