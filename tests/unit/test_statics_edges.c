/* What the other tests of the statics leave open: the ends of the turn, light weights, short
 * levers, posts given the other way round, one number that is none. */
#include "check.h"

#include "base/vec.h"
#include "poise/statics.h"
#include "statics/free_hang.h"

static PoisePoint turned(PoisePoint p, double deg)
{
    double s, c;
    poise_sincos_deg(deg, &s, &c);
    return (PoisePoint){c * p.x_mm - s * p.y_mm, s * p.x_mm + c * p.y_mm};
}

static bool has_angle(const PoiseFreeHang *list, size_t n, double deg, bool stable)
{
    for (size_t i = 0; i < n; i++)
        if (fabs(remainder(list[i].neck_angle_deg - deg, 360.0)) < 1e-4 && list[i].stable == stable)
            return true;
    return false;
}

/* Drawing the instrument turned by some angle takes that angle off every way it hangs; no way may
 * be lost or doubled where the scan over the turn begins and ends, and every angle lies in the
 * turn. */
static void turning_the_drawing_turns_the_hangs(void **state)
{
    (void)state;
    const PoiseStrap strap = {.tail = {0, 0}, .horn = {390, 70}, .length_mm = 1050};
    const PoisePoint centres[] = {{340, 5}, {150, -40}, {195, 300}};
    for (size_t k = 0; k < 3; k++) {
        PoiseFreeHang base[POISE_MAX_FREE_HANGS], found[POISE_MAX_FREE_HANGS];
        size_t n = poise_free_hangs(&strap, centres[k], 0, base);
        assert_true(n >= 1);
        for (double by = 0; by < 360.0; by += 0.37) {
            const PoiseStrap other = {.tail = turned(strap.tail, by),
                                      .horn = turned(strap.horn, by),
                                      .length_mm = strap.length_mm};
            assert_int_equal(poise_free_hangs(&other, turned(centres[k], by), 0, found), n);
            for (size_t i = 0; i < n; i++) {
                assert_true(found[i].neck_angle_deg > -180.0 && found[i].neck_angle_deg <= 180.0);
                assert_true(has_angle(found, n, base[i].neck_angle_deg - by, base[i].stable));
            }
        }
    }
}

static void half_a_gram_is_a_weight(void **state)
{
    (void)state;
    const PoiseStrap strap = {{0, 0}, {390, 70}, 1050, 0.3};
    PoiseHanging h;
    assert_int_equal(
        poise_strap_hang(&strap, (PoisePoint){340, 5}, 0.5, 0, (PoisePoint){743, 0}, &h, NULL),
        POISE_OK);
    PoiseHanging heavy;
    assert_int_equal(
        poise_strap_hang(&strap, (PoisePoint){340, 5}, 2900, 0, (PoisePoint){743, 0}, &heavy, NULL),
        POISE_OK);
    check_near(h.hand_load_g, heavy.hand_load_g * 0.5 / 2900, 1e-9);
    double ballast;
    const PoiseInterval window = {100, 200};
    /* 0.5 g, 10 mm past the edge, ballast 0.5 mm before it: 0.5 × 10 / 0.5 g */
    assert_int_equal(poise_ballast_needed(0.5, 210, window, 199.5, &ballast), POISE_OK);
    check_near(ballast, 10.0, 1e-9);
    /* tailwards likewise */
    assert_int_equal(poise_ballast_needed(0.5, 90, window, 100.5, &ballast), POISE_OK);
    check_near(ballast, 10.0, 1e-9);
    assert_int_equal(poise_ballast_needed(0.0, 210, window, 199.5, &ballast), POISE_E_DOMAIN);
}

/* The line through the posts is the same whichever is named first. */
static void lean_does_not_ask_which_post_is_which(void **state)
{
    (void)state;
    const double tail[3] = {0, 0, -20}, horn[3] = {390, 70, -15}, centre[3] = {300, 10, -12};
    for (double angle = -40; angle <= 60; angle += 20) {
        double one, other;
        assert_int_equal(poise_lean(tail, horn, centre, angle, &one), POISE_OK);
        assert_int_equal(poise_lean(horn, tail, centre, angle, &other), POISE_OK);
        check_near(other, one, 1e-9);
    }
}

static void one_number_that_is_none_is_enough(void **state)
{
    (void)state;
    const PoiseStrap strap = {{0, 0}, {390, 70}, 1050, 0.3};
    double out;
    const double no = (double)NAN;
    assert_int_equal(poise_strap_support(&strap, no, 200, &out), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_support(&strap, 0, no, &out), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_needed_friction(&strap, no, 200, &out), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_needed_friction(&strap, 0, no, &out), POISE_E_DOMAIN);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(turning_the_drawing_turns_the_hangs),
        cmocka_unit_test(half_a_gram_is_a_weight),
        cmocka_unit_test(lean_does_not_ask_which_post_is_which),
        cmocka_unit_test(one_number_that_is_none_is_enough),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
