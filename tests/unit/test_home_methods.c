/* Weighing and balancing the real instrument: published weighings of aircraft, which are the same
 * problem, and centres put in and found again. Errors are checked against differences of the
 * estimates themselves (JCGM 100:2008, 5.1.2: u² = Σ (∂f/∂x u)²). */
#include "check.h"
#include "scale/home_methods.h"

static const double PI = 3.14159265358979323846;

static PoiseSupport support(double station_mm, double load_g)
{
    return (PoiseSupport){{station_mm, 0}, {load_g, 0}};
}

static PoiseScaleResult weigh(const PoiseSupport *supports, size_t count)
{
    PoiseScaleResult r;
    assert_int_equal(poise_weigh_on_scales(supports, count, &r, NULL), POISE_OK);
    return r;
}

/* FAA-H-8083-1 (Aircraft Weight and Balance Handbook). Pounds and inches stand for g and mm: the
 * rule is the same in any unit. The first is seen in a copy of ch. 10 of edition 1B ("Electronic
 * calculator": F 340, L −78, W 2006, −13.2 in); the others, of ch. 3, are from memory, their
 * arithmetic done again. */
static void test_aircraft(void **state)
{
    (void)state;
    /* nosewheel, datum at the main wheels */
    PoiseScaleResult r =
        weigh((PoiseSupport[]){support(0, 830), support(0, 836), support(-78, 340)}, 3);
    check_near(r.mass_g.value, 2006, 1e-12);
    check_near(r.station_mm.value, -13.2, 0.05);
    /* empty weight from scales, datum ahead: mains at 128, nosewheel at 50 */
    r = weigh((PoiseSupport[]){support(128, 830), support(128, 836), support(50, 340)}, 3);
    check_near(r.station_mm.value, 114.8, 0.05);
    /* nosewheel, datum 75 aft of the main wheels */
    r = weigh((PoiseSupport[]){support(-75, 1666), support(-75 - 78, 340)}, 2);
    check_near(r.station_mm.value, -88.2, 0.05);
    /* tailwheel, R 67 at 222 behind the main wheels, W 1218, datum 7.5 ahead of them */
    r = weigh((PoiseSupport[]){support(7.5, 1218 - 67), support(7.5 + 222, 67)}, 2);
    check_near(r.station_mm.value, 19.7, 0.05);
    /* and 80 behind them */
    r = weigh((PoiseSupport[]){support(-80, 1218 - 67), support(-80 + 222, 67)}, 2);
    check_near(r.station_mm.value, -67.8, 0.05);
    /* three weights on a lever, ch. 2, figure 2-11: 72 seen, the weights from memory */
    r = weigh((PoiseSupport[]){support(0, 100), support(80, 200), support(100, 200)}, 3);
    check_near(r.station_mm.value, 72, 1e-12);
}

/* Any load between two supports: the lever gives the readings, the readings give it back; where the
 * drawing's origin lies does not matter. */
static void test_scales_recover(void **state)
{
    (void)state;
    for (double x = 0; x <= 620; x += 77.5)
        for (double origin = -5000; origin <= 5000; origin += 2500) {
            double m = 3187, far = m * x / 620;
            PoiseScaleResult r =
                weigh((PoiseSupport[]){support(origin, m - far), support(origin + 620, far)}, 2);
            check_near(r.mass_g.value, m, 1e-9);
            check_near(r.station_mm.value, origin + x, 1e-9);
        }
}

static void test_scales_error(void **state)
{
    (void)state;
    /* equal loads: ∂x/∂F = ± l/(2M) each, ∂x/∂x_i = 1/2 each */
    PoiseSupport s[2] = {{{0, 0}, {1500, 1}}, {{600, 0}, {1500, 1}}};
    PoiseScaleResult r = weigh(s, 2);
    check_near(r.mass_g.u, 1.41421356, 1e-8); /* JCGM 100, 5.2.2: uncorrelated, u1 = u2 = 1 */
    check_near(r.station_mm.u, 600.0 / 6000 * sqrt(2), 1e-12);
    check_near(r.correlation, 0, 1e-12);
    s[0].station_mm.u = s[1].station_mm.u = 0.8;
    s[0].load_g.u = s[1].load_g.u = 0;
    r = weigh(s, 2);
    check_near(r.station_mm.u, 0.8 / sqrt(2), 1e-12);
    /* only one scale in doubt: mass and station go together */
    s[0] = (PoiseSupport){{0, 0}, {1000, 0}};
    s[1] = (PoiseSupport){{600, 0}, {2000, 3}};
    r = weigh(s, 2);
    check_near(r.correlation, 1, 1e-12);
    check_near(r.station_mm.u, 3 * (600 - 400) / 3000.0, 1e-12);
}

/* The reading of a hanging from a post with the centre at g: it hangs with g straight below. */
static double hanging_angle_deg(PoisePoint post, PoisePoint g)
{
    return atan2(post.x_mm - g.x_mm, post.y_mm - g.y_mm) * 180 / PI;
}

static void test_hanging_recovers(void **state)
{
    (void)state;
    PoisePoint tail = {0, 0}, horn = {390, 70};
    for (double x = 150; x <= 420; x += 45)
        for (double y = -60; y <= 5; y += 30) {
            PoisePoint g = {x, y};
            /* straight below its post, at the angle read: the statics agree that it is */
            double a = hanging_angle_deg(horn, g);
            check_near(poise_horizontal_mm(g, a), poise_horizontal_mm(horn, a), 1e-9);
            assert_true(poise_vertical_mm(g, a) < poise_vertical_mm(horn, a));
            PoiseHangReading by_angle[2] = {
                {.post = tail, .angle_deg = {hanging_angle_deg(tail, g), 0}},
                {.post = horn, .angle_deg = {a, 0}}};
            PoiseHangResult r;
            assert_int_equal(poise_hang_crossing(by_angle, &r, NULL), POISE_OK);
            check_near(r.centre.x_mm, x, 1e-9);
            check_near(r.centre.y_mm, y, 1e-9);
            PoiseHangReading mixed[2] = {
                {.post = tail, .by_mark = true, .mark = {2.2 * x, 2.2 * y}}, by_angle[1]};
            assert_int_equal(poise_hang_crossing(mixed, &r, NULL), POISE_OK);
            check_near(r.centre.x_mm, x, 1e-9);
            check_near(r.centre.y_mm, y, 1e-9);
        }
}

/* Every number of two readings in turn, moved by its own u. */
static void difference_errors(const PoiseHangReading given[2], double *x_u, double *y_u,
                              double *correlation)
{
    double xx = 0, yy = 0, xy = 0;
    for (int which = 0; which < 10; which++) {
        PoisePoint moved[2];
        double step = 1e-4, u = 0;
        for (int side = 0; side < 2; side++) {
            PoiseHangReading r[2] = {given[0], given[1]};
            PoiseHangReading *one = &r[which % 2];
            double *field[5] = {&one->post.x_mm, &one->post.y_mm, &one->mark.x_mm, &one->mark.y_mm,
                                &one->angle_deg.value};
            u = which / 2 == 4 ? one->angle_deg.u : one->place_u_mm;
            *field[which / 2] += side ? step : -step;
            PoiseHangResult result;
            assert_int_equal(poise_hang_crossing(r, &result, NULL), POISE_OK);
            moved[side] = result.centre;
        }
        double dx = (moved[1].x_mm - moved[0].x_mm) / (2 * step) * u;
        double dy = (moved[1].y_mm - moved[0].y_mm) / (2 * step) * u;
        xx += dx * dx;
        yy += dy * dy;
        xy += dx * dy;
    }
    *x_u = sqrt(xx);
    *y_u = sqrt(yy);
    *correlation = xy / sqrt(xx * yy);
}

static void test_hanging_error(void **state)
{
    (void)state;
    PoisePoint tail = {0, 0}, horn = {390, 70}, g = {320, -15};
    PoiseHangReading angle_tail = {
        .post = tail, .angle_deg = {hanging_angle_deg(tail, g), 0.5}, .place_u_mm = 1.5};
    PoiseHangReading angle_horn = {
        .post = horn, .angle_deg = {hanging_angle_deg(horn, g), 0.8}, .place_u_mm = 0.7};
    PoiseHangReading mark_tail = {
        .post = tail, .by_mark = true, .mark = {480, -22.5}, .place_u_mm = 2};
    PoiseHangReading mark_horn = {
        .post = horn, .by_mark = true, .mark = {285, -57.5}, .place_u_mm = 1};
    const PoiseHangReading pairs[4][2] = {{angle_tail, angle_horn},
                                          {mark_tail, mark_horn},
                                          {mark_tail, angle_horn},
                                          {angle_tail, mark_horn}};
    for (int i = 0; i < 4; i++) {
        PoiseHangResult r;
        double x_u, y_u, correlation;
        assert_int_equal(poise_hang_crossing(pairs[i], &r, NULL), POISE_OK);
        check_near(r.centre.x_mm, 320, 1e-9);
        difference_errors(pairs[i], &x_u, &y_u, &correlation);
        check_close(r.x_u_mm, x_u, 1e-6);
        check_close(r.y_u_mm, y_u, 1e-6);
        check_near(r.correlation, correlation, 1e-6);
    }
    /* lines at a right angle, off by u each: u along either axis */
    PoiseHangReading square[2] = {{.post = {0, 0}, .angle_deg = {0, 0}, .place_u_mm = 3},
                                  {.post = {50, -80}, .angle_deg = {90, 0}, .place_u_mm = 2}};
    PoiseHangResult r;
    assert_int_equal(poise_hang_crossing(square, &r, NULL), POISE_OK);
    check_near(r.crossing_deg, 90, 1e-9);
    check_near(r.centre.x_mm, 0, 1e-12);
    check_near(r.centre.y_mm, -80, 1e-12);
    check_near(r.x_u_mm, 3, 1e-12);
    check_near(r.y_u_mm, 2, 1e-12);
}

static void test_edge(void **state)
{
    (void)state;
    PoiseQuantity x;
    /* Two point masses, 1 g at 0 and 3 g at 404, have their centre at 303: over an edge at 305 the
     * tail's side has the larger moment, at 301 the head's. */
    assert_true(305.0 * 1 > (404 - 305.0) * 3 && 301.0 * 1 < (404 - 301.0) * 3);
    PoiseEdgeReading r = {.tips_tail_mm = 305, .tips_head_mm = 301};
    assert_int_equal(poise_edge_balance(&r, &x, NULL), POISE_OK);
    check_near(x.value, 303, 1e-12);
    check_near(x.u, 2 / sqrt(3), 1e-12); /* JCGM 100, 4.3.7 */
    r = (PoiseEdgeReading){.tips_tail_mm = 303, .tips_head_mm = 303, .read_u_mm = 1};
    assert_int_equal(poise_edge_balance(&r, &x, NULL), POISE_OK);
    check_near(x.u, 1, 1e-12);
    r = (PoiseEdgeReading){.tips_tail_mm = 305, .tips_head_mm = 301, .read_u_mm = 1};
    assert_int_equal(poise_edge_balance(&r, &x, NULL), POISE_OK);
    check_near(x.u, sqrt(1 + 4 / 3.0), 1e-12);
    r = (PoiseEdgeReading){.tips_tail_mm = 301, .tips_head_mm = 305, .read_u_mm = 1};
    assert_int_equal(poise_edge_balance(&r, &x, NULL), POISE_E_DOMAIN);
}

/* A belt drawn first: the shoulder at a chosen place, so that angles, length and friction follow
 * from the drawing by Euler and Eytelwein's law, T2/T1 = e^(μθ), with the sides' tensions in the
 * ratio of the sines of the other side's angle. */
static void test_slip(void **state)
{
    (void)state;
    for (double xp = 60; xp < 400; xp += 55) {
        double yp = 380, alpha = atan2(xp, yp), beta = atan2(400 - xp, yp);
        double friction = fabs(log(sin(alpha) / sin(beta))) / (PI - alpha - beta);
        PoiseSlipReading r = {.strap = {{0, 0}, {400, 0}, hypot(xp, yp) + hypot(400 - xp, yp), NAN},
                              .centre = {xp, -40}};
        PoiseSlipResult result;
        assert_int_equal(poise_slip_friction(&r, &result, NULL), POISE_OK);
        check_near(result.friction.value, friction, 1e-9);
        check_near(result.friction.u, 0, 0);
        assert_int_equal(result.slips, xp > 200 ? POISE_NECK_HEAVY : POISE_TAIL_HEAVY);
    }
}

/* The angle at which the statics let an instrument slip gives its friction back. */
static void test_slip_round_trip(void **state)
{
    (void)state;
    PoiseStrap strap = {{0, 0}, {390, 70}, 1050, 0.3};
    PoisePoint centre = {300, 5};
    PoiseHanging h;
    assert_int_equal(poise_strap_hang(&strap, centre, 2900, 20, (PoisePoint){743, 0}, &h, NULL),
                     POISE_OK);
    assert_true(h.holds_somewhere);
    PoiseSlipReading r = {.strap = strap, .centre = centre, .angle_deg = {h.hold_range_deg.lo, 0}};
    PoiseSlipResult result;
    assert_int_equal(poise_slip_friction(&r, &result, NULL), POISE_OK);
    check_near(result.friction.value, 0.3, 1e-6);
}

static void test_slip_error(void **state)
{
    (void)state;
    PoiseSlipReading r = {.strap = {{0, 0}, {390, 70}, 1050, 0},
                          .length_u_mm = 5,
                          .centre = {320, 5},
                          .x_u_mm = 3,
                          .y_u_mm = 4,
                          .angle_deg = {12, 2}};
    PoiseSlipResult whole, one;
    assert_int_equal(poise_slip_friction(&r, &whole, NULL), POISE_OK);
    /* each source alone, by the change over its own ± u */
    double sum = 0;
    for (int which = 0; which < 4; which++) {
        double value[2];
        for (int side = 0; side < 2; side++) {
            PoiseSlipReading moved = r;
            double sign = side ? 1 : -1;
            moved.strap.length_mm += which == 0 ? sign * r.length_u_mm : 0;
            moved.centre.x_mm += which == 1 ? sign * r.x_u_mm : 0;
            moved.centre.y_mm += which == 2 ? sign * r.y_u_mm : 0;
            moved.angle_deg.value += which == 3 ? sign * r.angle_deg.u : 0;
            assert_int_equal(poise_slip_friction(&moved, &one, NULL), POISE_OK);
            value[side] = one.friction.value;
        }
        double share = (value[1] - value[0]) / 2;
        sum += share * share;
    }
    check_close(whole.friction.u, sqrt(sum), 0.01);
}

static void refused(PoiseStatus status, PoiseFaults *faults, const char *pointer,
                    const char *saying)
{
    assert_int_equal(status, POISE_E_DOMAIN);
    size_t last = poise_faults_count(faults) - 1;
    const PoiseFault *fault = poise_faults_get(faults, last);
    assert_string_equal(fault->pointer, pointer);
    char *text = poise_fault_text(fault);
    if (!strstr(text, saying))
        print_error("\"%s\" does not say \"%s\"\n", text, saying);
    assert_non_null(strstr(text, saying));
    poise_string_free(text);
}

static void test_refusals(void **state)
{
    (void)state;
    PoiseFaults *f = poise_faults_new();
    PoiseScaleResult s;
    PoiseSupport near[2] = {support(100, 500), support(104, 700)};
    refused(poise_weigh_on_scales(near, 2, &s, f), f, "/supports", "one place");
    assert_true(isnan(s.mass_g.value));
    PoiseSupport pair[2] = {support(100, 500), support(700, 700)};
    refused(poise_weigh_on_scales(pair, 1, &s, f), f, "/supports", "fewer than two");
    pair[1].load_g.value = -1;
    refused(poise_weigh_on_scales(pair, 2, &s, f), f, "/supports/1/load", "below 0");
    pair[1].load_g.value = NAN;
    refused(poise_weigh_on_scales(pair, 2, &s, f), f, "/supports/1/load", "below 0");
    pair[1] = support(INFINITY, 5);
    refused(poise_weigh_on_scales(pair, 2, &s, f), f, "/supports/1/station", "not finite");
    pair[1] = (PoiseSupport){{700, -1}, {5, 0}};
    refused(poise_weigh_on_scales(pair, 2, &s, f), f, "/supports/1", "uncertainty");
    PoiseSupport empty[2] = {support(0, 0), support(700, 0)};
    refused(poise_weigh_on_scales(empty, 2, &s, f), f, "/supports", "no load");

    PoiseHangResult h;
    PoiseHangReading lines[2] = {{.post = {0, 0}, .angle_deg = {-80, 0}},
                                 {.post = {300, 0}, .angle_deg = {-77, 0}}};
    refused(poise_hang_crossing(lines, &h, f), f, "/hangings", "cross at 3°");
    lines[1].angle_deg.value = 100; /* the same line the other way up */
    refused(poise_hang_crossing(lines, &h, f), f, "/hangings", "cross at");
    lines[1].angle_deg.value = 400;
    refused(poise_hang_crossing(lines, &h, f), f, "/hangings/1/angle", "beyond 180");
    lines[1] = (PoiseHangReading){.post = {300, 0}, .by_mark = true, .mark = {310, 5}};
    refused(poise_hang_crossing(lines, &h, f), f, "/hangings/1/mark", "at its post");
    lines[1].mark.x_mm = NAN;
    refused(poise_hang_crossing(lines, &h, f), f, "/hangings/1/mark", "not finite");
    lines[0].place_u_mm = -1;
    refused(poise_hang_crossing(lines, &h, f), f, "/hangings/0", "uncertainty");
    assert_true(isnan(h.centre.x_mm));

    PoiseQuantity x;
    refused(poise_edge_balance(&(PoiseEdgeReading){NAN, 0, 0}, &x, f), f, "/edge", "not finite");
    refused(poise_edge_balance(&(PoiseEdgeReading){1, 2, -1}, &x, f), f, "/edge", "uncertainty");

    PoiseSlipResult slip;
    PoiseSlipReading r = {.strap = {{0, 0}, {400, 0}, 1000, 0.3}, .centre = {500, 0}};
    refused(poise_slip_friction(&r, &slip, f), f, "/angle", "between the posts");
    r.centre.x_mm = 202;
    r.angle_deg.u = 3;
    r.centre.y_mm = -40;
    refused(poise_slip_friction(&r, &slip, f), f, "/angle", "hangs freely");
    r.strap.length_mm = 300;
    refused(poise_slip_friction(&r, &slip, f), f, "/strap/length", "longer");
    r.strap.length_mm = 1000;
    r.angle_deg.value = 95;
    refused(poise_slip_friction(&r, &slip, f), f, "/angle", "95");
    poise_faults_free(f);
}

/* Text for a terminal and for paper: lines of at most 80 plain bytes, a formula, an error, and a
 * caution wherever something can fall. */
static void test_how_to(void **state)
{
    (void)state;
    for (int m = 0; m < POISE_HOME_METHODS; m++) {
        const char *text = poise_home_method_text((PoiseHomeMethod)m);
        size_t column = 0;
        for (const char *p = text; *p; p++) {
            column = *p == '\n' ? 0 : column + 1;
            assert_true(column <= 80);
            assert_true(*p == '\n' || (*p >= ' ' && *p < 127));
        }
        assert_int_equal(column, 0);
        assert_non_null(strstr(text, "Error:"));
        assert_non_null(strstr(text, " = "));
        for (int k = 0; k < m; k++) {
            assert_string_not_equal(text, poise_home_method_text((PoiseHomeMethod)k));
            assert_string_not_equal(poise_home_method_name((PoiseHomeMethod)m),
                                    poise_home_method_name((PoiseHomeMethod)k));
        }
    }
    assert_non_null(strstr(poise_home_method_text(POISE_HOME_HANGING), "Caution:"));
    assert_non_null(strstr(poise_home_method_text(POISE_HOME_SLIP), "Caution:"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_aircraft),      cmocka_unit_test(test_scales_recover),
        cmocka_unit_test(test_scales_error),  cmocka_unit_test(test_hanging_recovers),
        cmocka_unit_test(test_hanging_error), cmocka_unit_test(test_edge),
        cmocka_unit_test(test_slip),          cmocka_unit_test(test_slip_round_trip),
        cmocka_unit_test(test_slip_error),    cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_how_to),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
