/* The window view and the side view: verdicts, what the hand does, and bands that end. */
#include "plot_view_help.h"

/* Posts 390 mm apart, the horn's `rise` mm higher; a body of 2903 g with its centre at (90, y). */
static void load_hanging(double rise_mm, double angle_deg, double y_mm, const char *more_members,
                         const char *items)
{
    char members[600], all[900];
    snprintf(members, sizeof members,
             "\"scale\":{\"nut\":[648,0,0],\"saddle\":[0,0,0],\"frets\":22},\"posts\":{\"tail\":"
             "[-60,0,0],\"horn\":[330,%g,0]},\"strap\":{\"length\":1100,\"friction\":0.2},"
             "\"stance\":{\"neck_angle\":%g%s},",
             rise_mm, angle_deg, more_members);
    snprintf(all, sizeof all,
             "\"body\":{\"kind\":\"solid\",\"outline\":[[-60,%g],[240,%g],[240,%g],[-60,%g]],"
             "\"thickness\":53.76,\"top\":0,\"material\":\"board\"}%s",
             y_mm - 150, y_mm - 150, y_mm + 150, y_mm + 150, items);
    load(members, all);
}

static const char HEAD[] = ",\"head\":{\"kind\":\"mass\",\"mass\":\"1200 g\",\"at\":[740,0,0]}";
static const char TAIL[] = ",\"tail\":{\"kind\":\"mass\",\"mass\":\"1500 g\",\"at\":[-300,0,0]}";

static void test_it_holds(void **state)
{
    (void)state;
    load_hanging(90, 0, 0, "", ",\"head\":{\"kind\":\"mass\",\"mass\":250,\"at\":[740,0,0]}");
    assert_int_equal(w->hanging.verdict, POISE_HOLDS);
    char *table = draw(POISE_PLOT_WINDOW), words[120];
    snprintf(words, sizeof words, "Holds at 0°, and from %.0f° to %.0f°\n",
             w->hanging.hold_range_deg.lo, w->hanging.hold_range_deg.hi);
    for (char *minus; (minus = strchr(words, '-')) != NULL;) { /* a true minus is shown */
        memmove(minus + 3, minus + 1, strlen(minus + 1) + 1);
        memcpy(minus, "\xe2\x88\x92", 3);
    }
    block_says(table, "words", words, true);
    snprintf(words, sizeof words, "%.0f mm to spare\n", w->hanging.margin_mm);
    block_says(table, "accents", words, true);
    assert_true(isnan(cell(table, "settles", 0, 0)));
    check_near(cell(table, "playing", 0, 1), w->hanging.station_mm, 1e-4);
    poise_release(table);
    table = draw(POISE_PLOT_SIDE);
    block_says(table, "accents", words, true);
    assert_true(isnan(cell(table, "force", 0, 0))); /* no hand has anything to do */
    check_near(cell(table, "strap", 1, 0), w->hanging.station_mm, 1e-3); /* shoulder over it */
    poise_release(table);
    /* where the angles at which it holds are not known, the verdict has to do */
    w->hanging.hold_range_deg.lo = w->hanging.hold_range_deg.hi = (double)NAN;
    table = draw(POISE_PLOT_WINDOW);
    block_says(table, "words", "Holds at 0°: the strap keeps the neck where it is put\n", true);
    poise_release(table);
}

static void test_frictions(void **state)
{
    (void)state;
    load_hanging(90, 0, 0, "", HEAD);
    w->friction_u = 0.05;
    char *table = draw(POISE_PLOT_WINDOW);
    block_says(table, "words", "Friction 0.20, from 0.15 to 0.25; the lines", true);
    block_says(table, "notes", "holds: darkest even at\n", true);
    block_says(table, "notes", "friction 0.15, lightest", true);
    block_says(table, "notes", "only at 0.25", true);
    poise_release(table);
    const PoisePlotOptions wide = {
        .has_friction_range = true, .friction_lo = 0.1, .friction_hi = 0.4};
    table = draw_by(POISE_PLOT_WINDOW, wide);
    block_says(table, "words", ", from 0.10 to 0.40; the lines", true);
    /* each band is the strap's window at its own friction; row 60 is 0° */
    static const char *const bands[] = {"band-least", "band-file", "band-most"};
    static const double frictions[] = {0.1, 0.2, 0.4};
    for (int i = 0; i < 3; i++) {
        PoiseStrap strap = w->strap;
        PoiseInterval window;
        strap.friction = frictions[i];
        assert_int_equal(poise_strap_window(&strap, 0, &window), POISE_OK);
        int row = 0;
        while (fabs(cell(table, bands[i], row, 0)) > 0.3)
            row++;
        double angle = cell(table, bands[i], row, 0);
        assert_int_equal(poise_strap_window(&strap, angle, &window), POISE_OK);
        check_near(cell(table, bands[i], row, 1), window.lo, 1e-3);
        check_near(cell(table, bands[i], row, 2), window.hi, 1e-3);
    }
    poise_release(table);
    const PoisePlotOptions one = {
        .has_friction_range = true, .friction_lo = 0.2, .friction_hi = 0.2};
    table = draw_by(POISE_PLOT_WINDOW, one);
    block_says(table, "words", "Friction 0.20; the lines are the file's own.\n", true);
    block_says(table, "notes", "friction 0.20\n", true);
    block_says(table, "notes", "lightest", false);
    poise_release(table);
    /* the file's friction, 0.2, lies outside what was asked for: it has its lines, not its shade */
    static const double asked[][2] = {{0.3, 0.6}, {0.05, 0.1}, {0.4, 0.4}};
    static const char *const says[] = {"Friction 0.30 to 0.60 (the file: 0.20); the lines",
                                       "Friction 0.05 to 0.10 (the file: 0.20); the lines",
                                       "Friction 0.40 (the file: 0.20); the lines"};
    for (int i = 0; i < 3; i++) {
        const PoisePlotOptions outside = {
            .has_friction_range = true, .friction_lo = asked[i][0], .friction_hi = asked[i][1]};
        table = draw_by(POISE_PLOT_WINDOW, outside);
        block_says(table, "words", says[i], true);
        block_says(table, "notes", "friction 0.40\n", i == 2);
        const char *edge = i == 1 ? "band-most" : "band-least";
        check_near(cell(table, "band-middle", 60, 2), cell(table, edge, 60, 2), 1e-9);
        assert_true(fabs(cell(table, "band-file", 60, 2) - cell(table, edge, 60, 2)) > 1);
        poise_release(table);
    }
}

static void test_it_dives_and_settles_or_not(void **state)
{
    (void)state;
    load_hanging(90, 0, 0, "", HEAD);
    assert_int_equal(w->hanging.verdict, POISE_NECK_HEAVY);
    double settles = w->hanging.settles_at_deg, outside = -w->hanging.margin_mm;
    assert_true(settles < 0 && outside > 0);
    char *table = draw(POISE_PLOT_WINDOW), words[100];
    snprintf(words, sizeof words,
             "Neck-heavy at 0°: let go, the neck settles at \xe2\x88\x92%.0f°\n", -settles);
    block_says(table, "words", words, true);
    snprintf(words, sizeof words, "\tsettles at \xe2\x88\x92%.0f°\n", -settles);
    block_says(table, "accents", words, true);
    snprintf(words, sizeof words, "\t%.0f mm outside\n", outside);
    block_says(table, "accents", words, true);
    check_near(cell(table, "settles", 0, 0), settles, 1e-4);
    poise_release(table);
    w->hanging.settles_at_deg = (double)NAN;
    table = draw(POISE_PLOT_WINDOW);
    block_says(table, "words", "Neck-heavy at 0°: let go, no angle down to −90° holds it\n", true);
    block_says(table, "accents", "settles at", false);
    assert_true(isnan(cell(table, "settles", 0, 0)));
    /* nothing is shown beyond what is always shown */
    check_near(cell(table, "path", 0, 0), -30, 0);
    assert_int_equal(rows_of(table, "path"), 181);
    poise_release(table);
}

static void test_it_rises(void **state)
{
    (void)state;
    load_hanging(90, 0, 0, "", TAIL);
    assert_int_equal(w->hanging.verdict, POISE_TAIL_HEAVY);
    char *table = draw(POISE_PLOT_WINDOW), words[100];
    block_says(table, "words", "Tail-heavy at 0°: let go, the neck ", true);
    double outside = w->hanging.window_mm.lo - w->hanging.station_mm;
    snprintf(words, sizeof words, "\t%.0f mm outside\n", outside);
    block_says(table, "accents", words, true);
    poise_release(table);
    table = draw(POISE_PLOT_SIDE);
    snprintf(words, sizeof words, "\t%.0f mm too near the tail\n", outside);
    block_says(table, "accents", words, true);
    block_says(table, "accents", "\tthe hand pulls down\n", true);
    /* moments about the window's edge, the hand at the nut, 708 mm from the post */
    double load = w->total.mass_g * outside / (708 - w->hanging.window_mm.lo), scale = 0.5;
    while (scale * load > 320)
        scale /= 2;
    check_near(cell(table, "force", 0, 3), -scale * load, 1e-2);
    check_near(cell(table, "force", 1, 3), scale * 100, 1e-2);
    check_near(cell(table, "strap", 1, 0), w->hanging.window_mm.lo, 1e-3);
    poise_release(table);
}

static void test_the_hand_of_a_heavy_head(void **state)
{
    (void)state;
    load_hanging(90, 0, 0, "", ",\"head\":{\"kind\":\"mass\",\"mass\":\"3 kg\",\"at\":[740,0,0]}");
    double edge = w->hanging.window_mm.hi;
    double load = w->total.mass_g * (w->hanging.station_mm - edge) / (708 - edge);
    assert_true(load > 1280); /* at half a millimetre a gram it would leave the page */
    char *table = draw(POISE_PLOT_SIDE), number[32], words[60];
    check_near(cell(table, "force", 0, 0), 708, 1e-3);
    check_near(cell(table, "force", 0, 3), (load > 2560 ? 0.0625 : 0.125) * load, 0.1);
    block_says(table, "accents", "\tthe hand holds up\n", true);
    snprintf(words, sizeof words, "\t%s\n", mass_words(number, load));
    block_says(table, "accents", words, true);
    poise_release(table);
    /* without a hand, or with one behind the edge that can do nothing, there is no arrow */
    w->has_hand = false;
    table = draw(POISE_PLOT_SIDE);
    assert_true(isnan(cell(table, "force", 0, 0)));
    poise_release(table);
    load_hanging(90, 0, 0, ",\"hand\":[0,0,0]", HEAD);
    table = draw(POISE_PLOT_SIDE);
    assert_true(isnan(cell(table, "force", 0, 0)));
    block_says(table, "words", "Neck-heavy at 0°: the neck dives\n", true);
    block_says(table, "remarks", "hand load of 100 g", false);
    poise_release(table);
}

/* The horn post 300 mm over the tail post: above atan(390/300) = 52.4° there is no window. */
static void test_bands_end_where_the_window_does(void **state)
{
    (void)state;
    load_hanging(300, 40, 0, "", "");
    assert_true(w->hanging.has_verdict);
    char *table = draw(POISE_PLOT_WINDOW);
    double last = 0;
    int rows = rows_of(table, "band-most");
    for (int i = 0; i < rows; i++)
        if (cell(table, "band-most", i, 0) > last)
            last = cell(table, "band-most", i, 0);
    assert_true(last <= 52.5 && last > 51.4);
    assert_true(rows_of(table, "path") > rows); /* the path goes on */
    block_says(table, "accents", "centre of mass", true);
    poise_release(table);
    /* 500 mm over it: above 38.0°, where names could stand, there is nothing to name */
    load_hanging(500, 20, 0, "", "");
    table = draw(POISE_PLOT_WINDOW);
    check_near(cell(table, "path", 0, 0), -30, 0);
    assert_true(cell(table, "notes", 0, 0) < 38);
    block_says(table, "notes", "\tholds at", true);
    poise_release(table);
}

static double path_at(double angle_deg)
{
    return poise_horizontal_mm(w->centre, angle_deg) -
           poise_horizontal_mm(w->strap.tail, angle_deg);
}

/* A centre under the line of the posts moves headwards as the neck rises, one over it tailwards:
 * the path's name stands over the path either way, on the side to which it falls. */
static void test_the_paths_name_stands_over_it(void **state)
{
    (void)state;
    for (int low = 0; low < 2; low++) {
        load_hanging(90, 50, low ? -250 : 100, "", "");
        char *table = draw(POISE_PLOT_WINDOW), *accents = block_of(table, "accents");
        const char *name = strstr(accents, "\tcentre of mass"), *row = name;
        assert_non_null(name);
        while (row > accents && row[-1] != '\n')
            row--;
        double at[2];
        assert_int_equal(sscanf(row, "%lf\t%lf", &at[0], &at[1]), 2);
        assert_true((path_at(at[0] + 1) > path_at(at[0] - 1)) == low);
        assert_true(at[1] > path_at(at[0]));
        poise_release(accents);
        poise_release(table);
    }
}

static void test_without_posts_and_strap(void **state)
{
    (void)state;
    load("", "\"head\":{\"kind\":\"mass\",\"mass\":\"1 kg\",\"at\":[100,20,0]}");
    char *table = draw(POISE_PLOT_SIDE);
    block_says(table, "words", "No verdict: there is no strap it hangs on, and no leg\n", true);
    block_says(table, "words", "Seen from the front, at its neck angle.\n", true);
    block_says(table, "words", "\ntowards the head, mm\nup, mm\n", true);
    block_says(table, "remarks", "shoulder", false);
    block_says(table, "remarks", "post", false);
    check_near(cell(table, "masses", 0, 2), 2 * sqrt(1000), 1e-3); /* area by mass */
    assert_true(isnan(cell(table, "posts", 0, 0)));
    /* the plumb line runs through the whole picture */
    char *path = in_fakes("p.gp"), *script = text_of(path);
    check_near(cell(table, "plumb", 0, 1), strtod(strstr(script, "\nYHI = ") + 7, NULL), 1e-3);
    poise_release(script);
    poise_release(path);
    poise_release(table);
}

/* Without a strap it is drawn on the leg. Level, a body of 3 kg at x = 90 by its own centre, the
 * leg 20 mm around x = 50: the hand at x = 648 holds up M (90 − 70)/(648 − 70). */
static void test_on_the_leg(void **state)
{
    (void)state;
    static const char members[] =
        "\"scale\":{\"nut\":[648,0,0],\"saddle\":[0,0,0],\"frets\":22},%s\"stance\":"
        "{\"neck_angle\":0},\"seat\":{\"rest\":[50,-100],\"width\":40%s},";
    for (int k = 0; k < 3; k++) { /* plain; from a tail post; with an arm of 1 kg at x = 40 */
        char all[500];
        double from = k == 1 ? -60 : 0;
        snprintf(all, sizeof all, members,
                 k == 1 ? "\"posts\":{\"tail\":[-60,0,0],\"horn\":[330,90,0]}," : "",
                 k == 2 ? ",\"arm\":{\"at\":[40,100],\"mass\":\"1 kg\"}" : "");
        load(all, "\"m\":{\"kind\":\"mass\",\"mass\":\"3 kg\",\"at\":[90,0,0]}");
        assert_false(w->has_strap);
        char *table = draw(POISE_PLOT_SIDE), number[32], words[100];
        double mass = k == 2 ? 4000 : 3000, at = k == 2 ? (3 * 90 + 40) / 4.0 : 90;
        double load_g = mass * (at - 70) / (648 - 70);
        titled(table, "Neck-heavy on the leg: the fretting hand holds up ", load_g,
               " at the nut\n");
        block_says(table, "words", "as it rests on the leg at its neck angle.\n", true);
        check_near(cell(table, "window", 0, 0), 30 - from, 1e-3);
        check_near(cell(table, "window", 2, 0), 70 - from, 1e-3);
        check_near(cell(table, "plumb", 0, 0), at - from, 1e-3);
        check_near(cell(table, "centre", 0, 0), 90 - from, 1e-3);
        assert_int_equal(rows_of(table, "strap"), 2); /* the leg, end to end */
        check_near(cell(table, "strap", 0, 0), 30 - from, 1e-3);
        check_near(cell(table, "strap", 1, 1), -100, 1e-3);
        assert_true(isnan(cell(table, "shoulder", 0, 0)));
        block_says(table, "remarks", "\tleg\n", true);
        snprintf(words, sizeof words, "\t%s\n", mass_words(number, load_g));
        block_says(table, "accents", words, true);
        snprintf(words, sizeof words, "\t%.0f mm too near the head\n", at - 70);
        block_says(table, "accents", words, true);
        block_says(table, "accents", "\tthe arm rests with\n", k == 2);
        block_says(table, "accents", "\tcentre of mass with the arm,\n", k == 2);
        if (k == 2) /* downwards, and to the same scale as the hand's */
            check_close(cell(table, "force", 1, 3) / cell(table, "force", 0, 3), -1000 / load_g,
                        1e-3);
        poise_release(table);
    }
}

static void test_it_rests_on_the_leg(void **state)
{
    (void)state;
    load("\"scale\":{\"nut\":[648,0,0],\"saddle\":[0,0,0],\"frets\":22},"
         "\"stance\":{\"neck_angle\":0},\"seat\":{\"rest\":[80,-100],\"width\":40},",
         "\"m\":{\"kind\":\"mass\",\"mass\":\"3 kg\",\"at\":[90,0,0]}");
    char *table = draw(POISE_PLOT_SIDE);
    block_says(table, "words", "Holds on the leg: it rests without help\n", true);
    block_says(table, "accents", " mm to spare\n", true);
    assert_true(isnan(cell(table, "force", 0, 0)));
    poise_release(table);
}

/* The middle of the first row of a block that has these words: px would do as well. */
static void place_of(const char *table, const char *block, const char *words, double at[2])
{
    char *rows = block_of(table, block);
    const char *found = strstr(rows, words), *row = found;
    assert_non_null(found);
    while (row > rows && row[-1] != '\n')
        row--;
    assert_int_equal(sscanf(row, "%lf\t%lf", &at[0], &at[1]), 2);
    poise_release(rows);
}

/* On a small instrument the legend's circle is large: it is whole, and clear of arrow and words. */
static void test_the_legend_of_a_small_instrument(void **state)
{
    (void)state;
    for (int left = 0; left < 2; left++) {
        char *members = poise_format(
            "%s\"scale\":{\"nut\":[648,0,0],\"saddle\":[300,0,0],\"frets\":12},\"stance\":"
            "{\"neck_angle\":0},\"seat\":{\"rest\":[320,-60],\"width\":40},",
            left ? "\"frame\":{\"head\":[1,0,0],\"face\":[0,0,1],\"handed\":\"left\"}," : "");
        load(members, "\"m\":{\"kind\":\"mass\",\"mass\":\"300 g\",\"at\":[300,0,0]},"
                      "\"head\":{\"kind\":\"mass\",\"mass\":\"90 g\",\"at\":[640,0,0]}");
        char *table = draw(POISE_PLOT_SIDE);
        double x = cell(table, "scale-mass", 0, 0), y = cell(table, "scale-mass", 0, 1);
        double radius = cell(table, "scale-mass", 0, 2), words[2];
        check_near(radius, 20, 1e-9); /* 100 g, as the masses are drawn */
        assert_true(y - radius >= setting("YLO"));
        assert_true(fmin(setting("XLO"), setting("XHI")) <= x - radius);
        assert_int_equal(rows_of(table, "force"), 2); /* the hand's, the legend's */
        check_near(cell(table, "force", 1, 0), x, 1e-6);
        assert_true(cell(table, "force", 1, 1) > y + radius);
        place_of(table, "remarks", "mass of 100 g", words);
        double px =
            fabs(setting("XHI") - setting("XLO")) / 1018; /* mm; the page's 1120 px less axes */
        assert_true(fabs(words[0] - x) - 0.5 * 13 * 0.6 * 13 * px > radius);
        poise_release(table);
        poise_release(members);
    }
}

/* Nothing runs through the words at the two marked angles: 15 px of text at 0.6 of it a letter. */
static void test_no_curve_strikes_a_name(void **state)
{
    (void)state;
    static const struct {
        double rise, angle;
        const char *items;
    } cases[] = {{90, 0, HEAD}, {90, 25, HEAD}, {60, 0, HEAD}, {120, 40, HEAD}, {90, 10, TAIL}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        load_hanging(cases[i].rise, cases[i].angle, 0, "", cases[i].items);
        char *table = draw(POISE_PLOT_WINDOW);
        double x = (1120 - 78 - 24) / (setting("XHI") - setting("XLO")),
               y = (640 - 84 - 62) / (setting("YHI") - setting("YLO"));
        static const char *const names[] = {"\tsettles at", " mm outside", "\tplaying angle",
                                            "\tcentre of mass"};
        for (size_t k = isfinite(w->hanging.settles_at_deg) ? 0U : 1U; k < 4; k++) {
            double at[2], half = 0.5 * 0.56 * 15 * 13 / x;
            place_of(table, "accents", names[k], at);
            for (double angle = at[0] - half; angle <= at[0] + half; angle += 0.25)
                if (fabs(path_at(angle) - at[1]) * y < 7)
                    fail_msg("case %zu: the path runs through \"%s\"", i, names[k]);
        }
        poise_release(table);
    }
}

/* The plumb line close beside the horn post, on the side where its name would stand. */
static void test_the_plumb_line_strikes_no_name(void **state)
{
    (void)state;
    for (int left = 0; left < 2; left++) {
        load_hanging(90, 0, 0,
                     left ? "},\"frame\":{\"head\":[1,0,0],\"face\":[0,0,1],\"handed\":\"left\""
                          : "",
                     ",\"head\":{\"kind\":\"mass\",\"mass\":\"4500 g\",\"at\":[535,0,0]}");
        double plumb = w->hanging.station_mm;
        assert_true(plumb > 390 && plumb < 440); /* the horn post stands at 390 */
        char *table = draw(POISE_PLOT_SIDE);
        double at[2], scale = (1120 - 78 - 24) / fabs(setting("XHI") - setting("XLO"));
        place_of(table, "remarks", "\thorn post", at);
        assert_true(fabs(at[0] - plumb) * scale > 0.5 * 0.56 * 13 * 9);
        poise_release(table);
    }
}

/* A heavy mass where the scales would stand: they stand elsewhere. */
static void test_the_scales_cover_no_mass(void **state)
{
    (void)state;
    load("\"posts\":{\"tail\":[0,0,0],\"horn\":[400,0,0]},\"strap\":{\"length\":1000,"
         "\"friction\":0.3},\"scale\":{\"nut\":[700,0,0],\"saddle\":[100,0,0]},"
         "\"stance\":{\"neck_angle\":0},",
         "\"a\":{\"kind\":\"mass\",\"mass\":2000,\"at\":[100,0,0]},"
         "\"b\":{\"kind\":\"mass\",\"mass\":1000,\"at\":[700,0,0]}");
    char *table = draw(POISE_PLOT_SIDE);
    for (int i = 0; i < 2; i++) {
        double x = cell(table, "masses", i, 0), y = cell(table, "masses", i, 1),
               r = cell(table, "masses", i, 2);
        assert_true(
            hypot(cell(table, "scale-mass", 0, 0) - x, cell(table, "scale-mass", 0, 1) - y) >
            r + cell(table, "scale-mass", 0, 2));
        assert_true(hypot(cell(table, "force", 1, 0) - x, cell(table, "force", 1, 1) - y) > r);
    }
    poise_release(table);
    /* a slab as large as the page: below it */
    load("\"stance\":{\"neck_angle\":0},",
         "\"s\":{\"kind\":\"solid\",\"outline\":[[0,0],[900,0],[900,500],[0,500]],"
         "\"thickness\":40,\"material\":\"board\"}");
    table = draw(POISE_PLOT_SIDE);
    assert_true(cell(table, "scale-mass", 0, 1) + cell(table, "scale-mass", 0, 2) < 0);
    poise_release(table);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_it_holds),
        cmocka_unit_test(test_frictions),
        cmocka_unit_test(test_it_dives_and_settles_or_not),
        cmocka_unit_test(test_it_rises),
        cmocka_unit_test(test_the_hand_of_a_heavy_head),
        cmocka_unit_test(test_bands_end_where_the_window_does),
        cmocka_unit_test(test_the_paths_name_stands_over_it),
        cmocka_unit_test(test_without_posts_and_strap),
        cmocka_unit_test(test_on_the_leg),
        cmocka_unit_test(test_it_rests_on_the_leg),
        cmocka_unit_test(test_the_legend_of_a_small_instrument),
        cmocka_unit_test(test_no_curve_strikes_a_name),
        cmocka_unit_test(test_the_plumb_line_strikes_no_name),
        cmocka_unit_test(test_the_scales_cover_no_mass),
    };
    int failures = cmocka_run_group_tests(tests, fakes_make, NULL);
    unload();
    return fakes_over(failures);
}
