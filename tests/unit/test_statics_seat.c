/* Resting on the leg. Expected values by hand: moments about the leg's edge (elementary statics).
 */
#include "check.h"
#include "poise/statics.h"

static const PoiseSeat SEAT = {.rest = {200, -95}, .half_width_mm = 45};
static const PoisePoint HAND = {743, 0};

static void test_without_the_arm(void **state)
{
    (void)state;
    PoiseResting r;
    /* 3000 g at 320, edge at 245: 3000·75 = F·498. */
    assert_int_equal(poise_seat_rest(&SEAT, (PoisePoint){320, 0}, 3000, 0, HAND, &r), POISE_OK);
    assert_int_equal(r.verdict, POISE_NECK_HEAVY);
    check_near(r.horizontal_mm, 320, 1e-9);
    check_near(r.window_mm.lo, 155, 1e-9);
    check_near(r.window_mm.hi, 245, 1e-9);
    check_near(r.hand_load_g, 225000.0 / 498, 1e-9);
    /* 3000 g at 100, edge at 155: the hand presses down with 3000·55/588. */
    assert_int_equal(poise_seat_rest(&SEAT, (PoisePoint){100, 0}, 3000, 0, HAND, &r), POISE_OK);
    assert_int_equal(r.verdict, POISE_TAIL_HEAVY);
    check_near(r.hand_load_g, -165000.0 / 588, 1e-9);
    assert_int_equal(poise_seat_rest(&SEAT, (PoisePoint){245, 0}, 3000, 0, HAND, &r), POISE_OK);
    assert_int_equal(r.verdict, POISE_HOLDS);
    assert_true(r.hand_load_g == 0);
}

static void test_with_the_arm(void **state)
{
    (void)state;
    PoiseSeat seat = SEAT;
    seat.has_arm = true;
    seat.arm = (PoisePoint){120, 150};
    seat.arm_g = 900;
    PoiseResting r;
    /* 3000·75 − 900·125 = 112 500 g·mm about 245, over 498. */
    assert_int_equal(poise_seat_rest(&seat, (PoisePoint){320, 0}, 3000, 0, HAND, &r), POISE_OK);
    assert_int_equal(r.verdict, POISE_NECK_HEAVY);
    check_near(r.horizontal_mm, (3000 * 320.0 + 900 * 120.0) / 3900, 1e-9);
    check_near(r.hand_load_g, 112500.0 / 498, 1e-9);
    /* 1800 g of arm balance 3000 g exactly on the edge: 3000·75 = 1800·125. */
    seat.arm_g = 1800;
    assert_int_equal(poise_seat_rest(&seat, (PoisePoint){320, 0}, 3000, 0, HAND, &r), POISE_OK);
    assert_int_equal(r.verdict, POISE_HOLDS);
    /* An arm without weight, or not on the instrument, changes nothing. */
    seat.arm_g = 0;
    PoiseResting bare;
    assert_int_equal(poise_seat_rest(&SEAT, (PoisePoint){320, 0}, 3000, 0, HAND, &bare), POISE_OK);
    assert_int_equal(poise_seat_rest(&seat, (PoisePoint){320, 0}, 3000, 0, HAND, &r), POISE_OK);
    assert_true(r.hand_load_g == bare.hand_load_g);
    seat.has_arm = false;
    seat.arm_g = NAN;
    assert_int_equal(poise_seat_rest(&seat, (PoisePoint){320, 0}, 3000, 0, HAND, &r), POISE_OK);
    assert_true(r.hand_load_g == bare.hand_load_g);
}

/* At 30° with a right triangle's numbers: h = x cos 30° − y sin 30°. */
static void test_at_an_angle(void **state)
{
    (void)state;
    PoiseResting r;
    double c = sqrt(3) / 2;
    assert_int_equal(poise_seat_rest(&SEAT, (PoisePoint){320, 5}, 2900, 30, HAND, &r), POISE_OK);
    double rest = 200 * c + 47.5, centre = 320 * c - 2.5, hand = 743 * c;
    check_near(r.horizontal_mm, centre, 1e-9);
    check_near(r.window_mm.hi, rest + 45, 1e-9);
    check_near(r.hand_load_g, 2900 * (centre - rest - 45) / (hand - rest - 45), 1e-9);
}

static void test_drawing_origin_does_not_matter(void **state)
{
    (void)state;
    PoiseSeat far = SEAT;
    far.has_arm = true;
    far.arm = (PoisePoint){120, 150};
    far.arm_g = 400;
    PoiseSeat near = far;
    far.rest.x_mm += 5000, far.rest.y_mm -= 7000;
    far.arm.x_mm += 5000, far.arm.y_mm -= 7000;
    PoiseResting a, b;
    assert_int_equal(poise_seat_rest(&near, (PoisePoint){320, 5}, 2900, 17, HAND, &a), POISE_OK);
    assert_int_equal(
        poise_seat_rest(&far, (PoisePoint){5320, -6995}, 2900, 17, (PoisePoint){5743, -7000}, &b),
        POISE_OK);
    check_near(a.hand_load_g, b.hand_load_g, 1e-8);
    check_near(a.window_mm.hi - a.horizontal_mm, b.window_mm.hi - b.horizontal_mm, 1e-8);
}

static void test_hands_that_cannot_hold(void **state)
{
    (void)state;
    PoiseResting r;
    /* On the edge itself the hand has no arm. */
    assert_int_equal(
        poise_seat_rest(&SEAT, (PoisePoint){320, 0}, 3000, 0, (PoisePoint){245, 9}, &r), POISE_OK);
    assert_int_equal(r.verdict, POISE_NECK_HEAVY);
    assert_true(isnan(r.hand_load_g));
    /* Between edge and centre lifting would need more than the whole weight, and the leg would have
     * to pull. */
    assert_int_equal(
        poise_seat_rest(&SEAT, (PoisePoint){320, 0}, 3000, 0, (PoisePoint){300, 9}, &r), POISE_OK);
    assert_true(isnan(r.hand_load_g));
    /* Behind the edge it can press down instead: 3000·75 = F·145. */
    assert_int_equal(
        poise_seat_rest(&SEAT, (PoisePoint){320, 0}, 3000, 0, (PoisePoint){100, 9}, &r), POISE_OK);
    check_near(r.hand_load_g, -225000.0 / 145, 1e-9);
}

static void test_senseless_numbers_are_refused(void **state)
{
    (void)state;
    PoisePoint centre = {320, 0};
    PoiseResting r;
    PoiseSeat seat = SEAT;
    seat.half_width_mm = 0; /* a knife edge is allowed */
    assert_int_equal(poise_seat_rest(&seat, centre, 3000, 0, HAND, &r), POISE_OK);
    seat.half_width_mm = -1;
    assert_int_equal(poise_seat_rest(&seat, centre, 3000, 0, HAND, &r), POISE_E_DOMAIN);
    assert_true(isnan(r.horizontal_mm) && isnan(r.hand_load_g) && isnan(r.window_mm.lo));
    seat = SEAT;
    seat.has_arm = true;
    seat.arm_g = -1;
    assert_int_equal(poise_seat_rest(&seat, centre, 3000, 0, HAND, &r), POISE_E_DOMAIN);
    seat.arm_g = 100;
    seat.arm.y_mm = NAN;
    assert_int_equal(poise_seat_rest(&seat, centre, 3000, 0, HAND, &r), POISE_E_DOMAIN);
    seat = SEAT;
    seat.rest.x_mm = INFINITY;
    assert_int_equal(poise_seat_rest(&seat, centre, 3000, 0, HAND, &r), POISE_E_DOMAIN);
    static const double bad[] = {NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(poise_seat_rest(&SEAT, (PoisePoint){bad[i], 0}, 3000, 0, HAND, &r),
                         POISE_E_DOMAIN);
        assert_int_equal(poise_seat_rest(&SEAT, centre, bad[i], 0, HAND, &r), POISE_E_DOMAIN);
        assert_int_equal(poise_seat_rest(&SEAT, centre, 3000, bad[i], HAND, &r), POISE_E_DOMAIN);
        assert_int_equal(poise_seat_rest(&SEAT, centre, 3000, 0, (PoisePoint){0, bad[i]}, &r),
                         POISE_E_DOMAIN);
    }
    assert_int_equal(poise_seat_rest(&SEAT, centre, 0, 0, HAND, &r), POISE_E_DOMAIN);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_without_the_arm),
        cmocka_unit_test(test_with_the_arm),
        cmocka_unit_test(test_at_an_angle),
        cmocka_unit_test(test_drawing_origin_does_not_matter),
        cmocka_unit_test(test_hands_that_cannot_hold),
        cmocka_unit_test(test_senseless_numbers_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
