/* Verdict, margin and hand load at the playing angle. */
#include "statics_help.h"

static const PoisePoint NUT = {743, 0}, CENTRE = {340, 5};

static PoiseStrap example(double friction)
{
    return (PoiseStrap){{0, 0}, {390, 70}, 1050, friction};
}

static PoiseHanging hang(const PoiseStrap *strap, PoisePoint centre, double angle)
{
    PoiseHanging h;
    assert_int_equal(poise_strap_hang(strap, centre, 2900, angle, NUT, &h, NULL), POISE_OK);
    return h;
}

static void test_worked_values(void **state)
{
    (void)state;
    static const struct {
        double friction, angle, station, load;
    } rows[] = {{0.00, 0, 340, 711},
                {0.15, 15, 327, 507},
                {0.30, 0, 340, 361},
                {0.30, 30, 292, 368},
                {0.50, 15, 327, 160}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        PoiseStrap strap = example(rows[i].friction);
        PoiseHanging h = hang(&strap, CENTRE, rows[i].angle);
        assert_true(h.has_verdict);
        assert_int_equal(h.verdict, POISE_NECK_HEAVY);
        check_near(h.station_mm, rows[i].station, 1.0);
        check_near(h.hand_load_g, rows[i].load, 2.0);
        check_near(h.margin_mm, h.window_mm.hi - h.station_mm, 1e-12);
        assert_true(h.needed_friction > rows[i].friction);
    }
}

/* With the hand's force as a negative mass at the nut, the combined centre is on the window's edge.
 */
static void test_hand_load_balances_about_the_edge(void **state)
{
    (void)state;
    uint64_t seed = 101;
    int neck = 0, tail = 0;
    for (int i = 0; i < 400; i++) {
        Sample s = random_sample(&seed);
        s.angle_deg *= 0.5;
        PoiseHanging h = hang_sample(&s);
        if (!h.has_verdict || h.verdict == POISE_HOLDS || isnan(h.hand_load_g))
            continue;
        double at = station_at(&s.strap, s.hand, s.angle_deg);
        double centre =
            (s.weight_g * h.station_mm - h.hand_load_g * at) / (s.weight_g - h.hand_load_g);
        if (h.verdict == POISE_NECK_HEAVY) {
            assert_true(h.hand_load_g > 0);
            /* 1e-9 relative to a small remaining weight */
            check_near((centre - h.window_mm.hi) * (1 - h.hand_load_g / s.weight_g), 0, 1e-7);
            neck++;
        } else {
            assert_true(h.hand_load_g < 0);
            check_near(centre, h.window_mm.lo, 1e-7);
            tail++;
        }
        double ballast;
        PoiseStatus status =
            poise_ballast_needed(s.weight_g, h.station_mm, h.window_mm, at, &ballast);
        if (h.verdict == POISE_TAIL_HEAVY) { /* a mass in place of the pressing hand */
            assert_int_equal(status, POISE_OK);
            check_close(ballast, -h.hand_load_g, 1e-9);
        } else {
            assert_int_equal(status, POISE_E_DOMAIN);
        }
    }
    assert_true(neck > 50 && tail > 20);
}

/* Ballast put on the instrument itself moves its centre; the solver must then find it on the edge.
 */
static void test_ballast_stops_the_dive(void **state)
{
    (void)state;
    PoiseStrap strap = example(0.3);
    const PoisePoint place = {-10, -60};
    PoiseHanging h = hang(&strap, CENTRE, 20);
    double m;
    assert_int_equal(
        poise_ballast_needed(2900, h.station_mm, h.window_mm, station_at(&strap, place, 20), &m),
        POISE_OK);
    for (int k = 0; k < 2; k++) {
        double mass = m * (k ? 1 + 1e-6 : 1 - 1e-4), total = 2900 + mass;
        PoisePoint centre = {(2900 * CENTRE.x_mm + mass * place.x_mm) / total,
                             (2900 * CENTRE.y_mm + mass * place.y_mm) / total};
        PoiseHanging after;
        assert_int_equal(poise_strap_hang(&strap, centre, total, 20, NUT, &after, NULL), POISE_OK);
        assert_int_equal(after.verdict, k ? POISE_HOLDS : POISE_NECK_HEAVY);
        check_near(after.margin_mm, 0, 0.05);
    }
}

static void test_hands_that_cannot_hold(void **state)
{
    (void)state;
    PoiseStrap strap = example(0.3); /* window 131 to 283 at 0° */
    static const double hands[] = {283.5, 339, 282, 200, 50, -20};
    for (size_t i = 0; i < 6; i++) {
        PoiseHanging h;
        assert_int_equal(
            poise_strap_hang(&strap, CENTRE, 2900, 0, (PoisePoint){hands[i], 0}, &h, NULL),
            POISE_OK);
        assert_int_equal(h.verdict, POISE_NECK_HEAVY);
        assert_true(isnan(h.hand_load_g)); /* nearer than the centre it would have to lift it all */
    }
    PoiseHanging h;
    assert_int_equal(poise_strap_hang(&strap, CENTRE, 2900, 0, (PoisePoint){341, 0}, &h, NULL),
                     POISE_OK);
    assert_true(h.hand_load_g > 0.9 * 2900 && h.hand_load_g < 2900);
    /* Tail-heavy, a hand behind the window: pressing there makes it worse. */
    assert_int_equal(
        poise_strap_hang(&strap, (PoisePoint){90, 0}, 2900, 0, (PoisePoint){100, 0}, &h, NULL),
        POISE_OK);
    assert_int_equal(h.verdict, POISE_TAIL_HEAVY);
    assert_true(isnan(h.hand_load_g));
}

static void test_a_centre_on_the_edge_holds(void **state)
{
    (void)state;
    static const double frictions[] = {0, 0.05, 0.3, 0.8, 3, 20};
    for (size_t i = 0; i < 6; i++) {
        PoiseStrap strap = example(frictions[i]);
        PoiseInterval w;
        assert_int_equal(poise_strap_window(&strap, 0, &w), POISE_OK);
        double stations[] = {w.lo, w.hi};
        for (int k = 0; k < 2; k++) {
            PoiseHanging h = hang(&strap, (PoisePoint){stations[k], 12}, 0);
            assert_int_equal(h.verdict, POISE_HOLDS);
            assert_true(h.hand_load_g == 0 && h.settles_at_deg == 0);
            assert_true(h.hold_range_deg.lo <= 0 && h.hold_range_deg.hi >= 0);
            /* A thousandth of a millimetre outside does not. */
            h = hang(&strap, (PoisePoint){stations[k] + (k ? 1e-3 : -1e-3), 12}, 0);
            assert_int_equal(h.verdict, k ? POISE_NECK_HEAVY : POISE_TAIL_HEAVY);
        }
    }
}

static void test_centre_outside_the_posts(void **state)
{
    (void)state;
    PoiseStrap strap = example(0.5);
    PoiseHanging h = hang(&strap, (PoisePoint){450, 0}, 0);
    assert_int_equal(h.verdict, POISE_NECK_HEAVY);
    assert_true(isnan(h.needed_friction));
    check_near(h.hand_load_g, 2900 * (450 - h.window_mm.hi) / (743 - h.window_mm.hi), 1e-9);
    h = hang(&strap, (PoisePoint){-30, 0}, 0);
    assert_int_equal(h.verdict, POISE_TAIL_HEAVY);
    assert_true(isnan(h.needed_friction) && h.hand_load_g < 0);
    /* On the tail post itself no angle holds. */
    h = hang(&strap, (PoisePoint){0, 0}, 0);
    assert_false(h.holds_somewhere);
    assert_true(isnan(h.settles_at_deg) && isnan(h.hold_range_deg.lo) &&
                isnan(h.hold_range_deg.hi));
}

static void test_no_window_at_this_angle(void **state)
{
    (void)state;
    PoiseStrap strap = {{0, 0}, {200, 300}, 900, 0.4}; /* upright from 33.7° */
    PoiseHanging h = hang(&strap, (PoisePoint){120, 0}, 40);
    assert_false(h.has_verdict);
    assert_true(isnan(h.window_mm.lo) && isnan(h.window_mm.hi) && isnan(h.margin_mm));
    assert_true(isnan(h.hand_load_g) && isnan(h.needed_friction) && isnan(h.settles_at_deg));
    check_near(h.station_mm, 120 * cos(40 * PI / 180), 1e-12);
    assert_true(h.holds_somewhere && h.hold_range_deg.hi < 33.7); /* there are angles that hold */
}

static void test_drawing_origin_does_not_matter(void **state)
{
    (void)state;
    uint64_t seed = 606;
    for (int i = 0; i < 60; i++) {
        Sample s = random_sample(&seed), far = s;
        PoisePoint *points[] = {&far.strap.tail, &far.strap.horn, &far.centre, &far.hand};
        for (int k = 0; k < 4; k++)
            points[k]->x_mm += 9000, points[k]->y_mm -= 8000;
        PoiseHanging a = hang_sample(&s), b = hang_sample(&far);
        assert_int_equal(a.has_verdict, b.has_verdict);
        assert_int_equal(a.holds_somewhere, b.holds_somewhere);
        check_near(a.station_mm, b.station_mm, 1e-8);
        if (!a.has_verdict)
            continue;
        assert_int_equal(a.verdict, b.verdict);
        check_near(a.window_mm.hi, b.window_mm.hi, 1e-7);
        assert_int_equal(isnan(a.settles_at_deg), isnan(b.settles_at_deg));
        if (!isnan(a.settles_at_deg))
            check_near(a.settles_at_deg, b.settles_at_deg, 1e-5);
        if (!isnan(a.hand_load_g))
            check_near(a.hand_load_g, b.hand_load_g, 1e-5);
    }
}

/* A thousand instruments of any sense. */
static void test_invariants(void **state)
{
    (void)state;
    uint64_t seed = 20240607;
    int counts[3] = {0};
    for (int i = 0; i < 1000; i++) {
        Sample s = random_sample(&seed);
        PoiseHanging h = hang_sample(&s);
        assert_true(h.free_hang_count >=
                    2); /* a height over a whole turn has a maximum and a minimum */
        if (!h.has_verdict)
            continue;
        counts[h.verdict]++;
        double span = station_at(&s.strap, s.strap.horn, s.angle_deg);
        assert_true(h.window_mm.lo >= 0 && h.window_mm.lo <= h.window_mm.hi &&
                    h.window_mm.hi <= span);
        bool between = h.station_mm > 0 && h.station_mm < span;
        assert_int_equal(between, !isnan(h.needed_friction));
        bool holds = between && h.needed_friction <= s.strap.friction;
        assert_int_equal(h.verdict == POISE_HOLDS, holds);
        assert_int_equal(h.verdict == POISE_NECK_HEAVY, h.margin_mm < 0);
        assert_int_equal(h.verdict == POISE_HOLDS, h.hand_load_g == 0);
        if (h.verdict == POISE_NECK_HEAVY && !isnan(h.hand_load_g))
            assert_true(h.hand_load_g > 0 && h.hand_load_g <= s.weight_g);
        if (holds)
            assert_true(h.holds_somewhere);
        if (!isnan(h.settles_at_deg))
            assert_true(h.holds_somewhere);

        /* Twice the weight needs twice the hand; nothing else changes. */
        Sample heavy = s;
        heavy.weight_g *= 2;
        PoiseHanging twice = hang_sample(&heavy);
        assert_true(twice.station_mm == h.station_mm && twice.verdict == h.verdict);
        assert_true(isnan(h.hand_load_g) ? isnan(twice.hand_load_g)
                                         : twice.hand_load_g == 2 * h.hand_load_g);
        assert_true(isnan(h.settles_at_deg) ? isnan(twice.settles_at_deg)
                                            : twice.settles_at_deg == h.settles_at_deg);

        /* More friction never stops it from holding. */
        Sample tacky = s;
        tacky.strap.friction += 0.1;
        PoiseHanging more = hang_sample(&tacky);
        if (h.verdict == POISE_HOLDS)
            assert_int_equal(more.verdict, POISE_HOLDS);
        if (h.verdict == POISE_NECK_HEAVY && !isnan(h.settles_at_deg) &&
            more.verdict != POISE_HOLDS)
            assert_true(more.settles_at_deg >= h.settles_at_deg - 1e-9);
    }
    assert_true(counts[POISE_HOLDS] > 100 && counts[POISE_NECK_HEAVY] > 100 &&
                counts[POISE_TAIL_HEAVY] > 50);
}

static void check_refused(PoiseStrap strap, PoisePoint centre, double weight, double angle,
                          PoisePoint hand, const char *word)
{
    PoiseFaults *faults = poise_faults_new();
    assert_non_null(faults);
    PoiseHanging h;
    assert_int_equal(poise_strap_hang(&strap, centre, weight, angle, hand, &h, faults),
                     POISE_E_DOMAIN);
    assert_int_equal(poise_faults_count(faults), 1);
    char *text = poise_fault_text(poise_faults_get(faults, 0));
    assert_non_null(text);
    if (!strstr(text, word))
        fail_msg("\"%s\" does not say \"%s\"", text, word);
    assert_true(isnan(h.station_mm) && isnan(h.hand_load_g) && isnan(h.settles_at_deg));
    assert_true(!h.has_verdict && !h.holds_somewhere && h.free_hang_count == 0);
    poise_string_free(text);
    poise_faults_free(faults);
}

static void test_senseless_numbers_are_refused(void **state)
{
    (void)state;
    PoiseStrap strap = example(0.3), short_strap = strap;
    short_strap.length_mm = 390;
    check_refused(short_strap, CENTRE, 2900, 0, NUT,
                  "longer than the 396.232 mm between the posts");
    check_refused(strap, (PoisePoint){NAN, 0}, 2900, 0, NUT, "centre of mass");
    check_refused(strap, (PoisePoint){0, INFINITY}, 2900, 0, NUT, "centre of mass");
    check_refused(strap, CENTRE, 0, 0, NUT, "weight 0 g");
    check_refused(strap, CENTRE, -1, 0, NUT, "weight -1 g");
    check_refused(strap, CENTRE, NAN, 0, NUT, "weight not a number");
    check_refused(strap, CENTRE, INFINITY, 0, NUT, "weight infinite");
    check_refused(strap, CENTRE, 2900, NAN, NUT, "neck angle not a number");
    check_refused(strap, CENTRE, 2900, 90, NUT, "neck angle 90°");
    check_refused(strap, CENTRE, 2900, -90, NUT, "between -90° and 90°");
    check_refused(strap, CENTRE, 2900, 0, (PoisePoint){0, NAN}, "/stance/hand");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_worked_values),
        cmocka_unit_test(test_hand_load_balances_about_the_edge),
        cmocka_unit_test(test_ballast_stops_the_dive),
        cmocka_unit_test(test_hands_that_cannot_hold),
        cmocka_unit_test(test_a_centre_on_the_edge_holds),
        cmocka_unit_test(test_centre_outside_the_posts),
        cmocka_unit_test(test_no_window_at_this_angle),
        cmocka_unit_test(test_drawing_origin_does_not_matter),
        cmocka_unit_test(test_invariants),
        cmocka_unit_test(test_senseless_numbers_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
