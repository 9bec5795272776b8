/* Over all neck angles: the holding range and where an instrument settles. The window, checked by
 * itself elsewhere, is the judge. */
#include "statics_help.h"

/* At the settling angle it holds; just before it, and everywhere on the way, it does not. */
static void test_settling(void **state)
{
    (void)state;
    uint64_t seed = 202;
    int settled = 0, restless = 0;
    for (int i = 0; i < 300; i++) {
        Sample s = random_sample(&seed);
        PoiseHanging h = hang_sample(&s);
        if (!h.has_verdict)
            continue;
        if (h.verdict == POISE_HOLDS) {
            assert_true(h.settles_at_deg == s.angle_deg);
            continue;
        }
        double way = h.verdict == POISE_NECK_HEAVY ? -1 : 1;
        double end = isnan(h.settles_at_deg) ? way * 90 : h.settles_at_deg;
        assert_true((end - s.angle_deg) * way > 0);
        if (isnan(h.settles_at_deg)) {
            restless++;
        } else {
            settled++;
            assert_true(in_window(&s.strap, s.centre, end, 2e-6));
            if (fabs(end - s.angle_deg) > 1e-4)
                assert_false(in_window(&s.strap, s.centre, end - way * 1e-4, 0));
        }
        for (int k = 0; k < 400; k++)
            assert_false(
                in_window(&s.strap, s.centre, s.angle_deg + (end - s.angle_deg) * k / 400.0, 0));
    }
    assert_true(settled > 50 && restless > 5);
}

/* Ends hold, a little further does not (unless it is ±90°), and all between hold. */
static void test_holding_range(void **state)
{
    (void)state;
    uint64_t seed = 303;
    int seen = 0;
    for (int i = 0; i < 300; i++) {
        Sample s = random_sample(&seed);
        PoiseHanging h = hang_sample(&s);
        if (!h.holds_somewhere)
            continue;
        seen++;
        PoiseInterval r = h.hold_range_deg;
        assert_true(r.lo <= r.hi && r.lo >= -90 && r.hi <= 90);
        assert_true(in_window(&s.strap, s.centre, r.lo, 2e-6));
        assert_true(in_window(&s.strap, s.centre, r.hi, 2e-6));
        if (r.lo > -90 + 1e-4)
            assert_false(in_window(&s.strap, s.centre, r.lo - 1e-4, 0));
        if (r.hi < 90 - 1e-4)
            assert_false(in_window(&s.strap, s.centre, r.hi + 1e-4, 0));
        for (int k = 1; k < 100; k++)
            assert_true(in_window(&s.strap, s.centre, r.lo + (r.hi - r.lo) * k / 100.0, 2e-6));
        bool here = h.has_verdict && h.verdict == POISE_HOLDS;
        assert_int_equal(here, r.lo <= s.angle_deg && s.angle_deg <= r.hi);
    }
    assert_true(seen > 100);
}

/* The whole course of angles, looked at finely without any refinement: what this finds the scan
 * must not have missed, and nothing nearer may exist. */
static void test_scan_agrees_with_a_fine_look(void **state)
{
    (void)state;
    uint64_t seed = 404;
    const double step = 0.02;
    for (int i = 0; i < 60; i++) {
        Sample s = random_sample(&seed);
        if (i % 3 == 0)
            s.strap.friction *= 0.02; /* narrow ranges */
        PoiseHanging h = hang_sample(&s);
        double nearest = INFINITY;
        for (double angle = -90 + step; angle < 90; angle += step)
            if (in_window(&s.strap, s.centre, angle, 0))
                nearest = fmin(nearest, fabs(angle - s.angle_deg));
        if (!h.holds_somewhere) {
            assert_true(isinf(nearest));
            continue;
        }
        double found =
            fmax(fmax(h.hold_range_deg.lo - s.angle_deg, s.angle_deg - h.hold_range_deg.hi), 0);
        assert_true(found <= nearest + 1e-9);
        assert_true(nearest <= found + step ||
                    h.hold_range_deg.hi - h.hold_range_deg.lo < 2 * step);
    }
}

/* The friction needed at an angle, infinite where none is enough. */
static double needed_at(const Sample *s, double angle)
{
    double needed;
    PoiseStatus status = poise_strap_needed_friction(
        &s->strap, angle, station_at(&s->strap, s->centre, angle), &needed);
    return status ? INFINITY : needed;
}

/* Friction that only just reaches a local minimum of the friction needed makes a range far narrower
 * than any scan step, entered and left on the same side. A little less and it is gone. */
static void test_ranges_that_only_touch_are_found(void **state)
{
    (void)state;
    uint64_t seed = 505;
    int touched = 0;
    for (int i = 0; i < 4000 && touched < 40; i++) {
        Sample s = random_sample(&seed);
        double step = 0.25;
        for (double angle = -89; angle < 89; angle += step) {
            double at = needed_at(&s, angle);
            if (!(at > 0.02 && at < 3 && at < needed_at(&s, angle - step) &&
                  at < needed_at(&s, angle + step)))
                continue;
            double lo = angle - step, hi = angle + step;
            for (int k = 0; k < 100; k++) {
                double p = lo + (hi - lo) / 3, q = hi - (hi - lo) / 3;
                if (needed_at(&s, p) < needed_at(&s, q))
                    hi = q;
                else
                    lo = p;
            }
            double where = 0.5 * (lo + hi), least = needed_at(&s, where);
            if (least < 0.02)
                continue; /* passes through 0: not a touch */
            touched++;
            /* played from a place off the grid of this test, near enough that no other range is
             * nearer */
            s.angle_deg = where + 0.137;
            s.strap.friction = least * (1 + 1e-6);
            PoiseHanging h = hang_sample(&s);
            assert_true(h.holds_somewhere);
            assert_true(h.hold_range_deg.lo <= where + 1e-4 && h.hold_range_deg.hi >= where - 1e-4);
            s.strap.friction = least * (1 - 1e-4);
            h = hang_sample(&s);
            assert_false(h.holds_somewhere && h.hold_range_deg.lo < where &&
                         h.hold_range_deg.hi > where);
        }
    }
    assert_true(touched >= 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_settling),
        cmocka_unit_test(test_holding_range),
        cmocka_unit_test(test_scan_agrees_with_a_fine_look),
        cmocka_unit_test(test_ranges_that_only_touch_are_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
