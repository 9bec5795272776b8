/* Geometry for drawing the strap. */
#include "statics/strap_curve.h"
#include "statics_help.h"

static const PoiseStrap STRAP = {{100, -40}, {490, 30}, 1050, 0.3};

static void test_window_over_angles(void **state)
{
    (void)state;
    double angles[121];
    PoiseInterval windows[121];
    assert_int_equal(poise_strap_curve(&STRAP, -40, 80, 121, angles, windows), POISE_OK);
    assert_true(angles[0] == -40 && angles[120] == 80);
    double upright = 90 - atan2(70, 390) * 180 / PI; /* 79.8°: no window beyond */
    for (size_t i = 0; i < 121; i++) {
        check_near(angles[i], -40 + (double)i, 1e-12);
        PoiseInterval w;
        PoiseStatus status = poise_strap_window(&STRAP, angles[i], &w);
        assert_int_equal(status == POISE_OK, angles[i] < upright);
        assert_int_equal(status == POISE_OK, !isnan(windows[i].lo) && !isnan(windows[i].hi));
        if (!status)
            assert_true(windows[i].lo == w.lo && windows[i].hi == w.hi);
    }
}

static void test_belt_polyline(void **state)
{
    (void)state;
    PoiseDrawn p[3];
    for (double angle = -40; angle < 75; angle += 5) {
        PoisePoint b = horn_at(&STRAP, angle);
        for (double part = 0.1; part < 1; part += 0.2) {
            assert_int_equal(poise_strap_polyline(&STRAP, angle, part * b.x_mm, p), POISE_OK);
            assert_true(p[0].h_mm == 0 && p[0].v_mm == 0 && p[1].h_mm == part * b.x_mm);
            check_near(p[2].h_mm, b.x_mm, 1e-9);
            check_near(p[2].v_mm, b.y_mm, 1e-9);
            double drawn = hypot(p[1].h_mm - p[0].h_mm, p[1].v_mm - p[0].v_mm) +
                           hypot(p[2].h_mm - p[1].h_mm, p[2].v_mm - p[1].v_mm);
            check_near(drawn, 1050, 1e-9);
            assert_true(p[1].v_mm > part * b.y_mm); /* above the line of the posts */
        }
        assert_int_equal(poise_strap_polyline(&STRAP, angle, b.x_mm + 1, p), POISE_E_DOMAIN);
        assert_int_equal(poise_strap_polyline(&STRAP, angle, -1, p), POISE_E_DOMAIN);
    }
}

static void test_senseless_requests_are_refused(void **state)
{
    (void)state;
    double angles[2];
    PoiseInterval windows[2];
    PoiseStrap bad = STRAP;
    bad.length_mm = 100;
    assert_int_equal(poise_strap_curve(&bad, -40, 80, 2, angles, windows), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_curve(&STRAP, 80, -40, 2, angles, windows), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_curve(&STRAP, -40, 80, 1, angles, windows), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_curve(&STRAP, NAN, 80, 2, angles, windows), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_curve(&STRAP, -40, INFINITY, 2, angles, windows), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_curve(&STRAP, -40, 80, 2, angles, windows), POISE_OK);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_window_over_angles),
        cmocka_unit_test(test_belt_polyline),
        cmocka_unit_test(test_senseless_requests_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
