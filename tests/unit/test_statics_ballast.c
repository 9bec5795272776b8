/* Ballast and removal against aircraft weight and balance, whose rules they are. */
#include "check.h"
#include "poise/statics.h"

/* A limit with nothing to stop the other side (inches, as in the handbook). */
static const double FAR = 1e5;

/* Permanent ballast: FAA-H-8083-1B Aircraft Weight and Balance Handbook, "Ballast": weight 1876 lb,
 * centre of gravity +32.2 in (read in a copy); limit +33.0 in, ballast station 228 in, answer 7.7
 * lb (from memory). Rule: weight × distance out of limits / arm from the ballast station to the
 * affected limit (AMT Handbook – General, ch. 4, "The use of ballast"; read in a copy). */
static void test_handbook_ballast(void **state)
{
    (void)state;
    double ballast;
    assert_int_equal(poise_ballast_needed(1876, 32.2, (PoiseInterval){33.0, 46.0}, 228, &ballast),
                     POISE_OK);
    check_near(ballast, 7.7, 0.05); /* as printed */
    check_near(ballast, 1876 * 0.8 / 195, 1e-9);
    check_near((1876 * 32.2 + ballast * 228) / (1876 + ballast), 33.0, 1e-12);
}

/* Weight shift: Pilot's Handbook of Aeronautical Knowledge, "Weight and Balance": 7800 lb, centre
 * of gravity 81.5 in, limit 80.5 in, cargo moves from station 150 to station 30: 65 lb (seen in a
 * quotation). A shift is a removal at one station and ballast at the other. */
static void test_handbook_weight_shift(void **state)
{
    (void)state;
    double taken = 65, without = 7800 - taken, ballast;
    double station = (7800 * 81.5 - taken * 150) / without;
    assert_int_equal(
        poise_ballast_needed(without, station, (PoiseInterval){-FAR, 80.5}, 30, &ballast),
        POISE_OK);
    check_near(ballast, 65, 1e-8);

    /* And the other way round: with the cargo already laid at 30, what must leave 150. */
    double with = 7800 + 65, heavy = (7800 * 81.5 + 65 * 30) / with, removal;
    assert_int_equal(poise_removal_needed(with, heavy, (PoiseInterval){-FAR, 80.5}, 150, &removal),
                     POISE_OK);
    check_near(removal, 65, 1e-8);
}

/* Forward computation in the same chapter (read in a copy): 100 lb from station 30 to 150 takes
 * 8000 lb from 77.0 to 78.5 in. With a limit at 78.5 the aircraft before the move needs exactly
 * that. */
static void test_handbook_forward_shift(void **state)
{
    (void)state;
    double without = 7900, station = (616000 - 100 * 30) / without, ballast;
    assert_int_equal(
        poise_ballast_needed(without, station, (PoiseInterval){78.5, FAR}, 150, &ballast),
        POISE_OK);
    check_near(ballast, 100, 1e-8);
}

static void test_closes_the_gap_from_either_side(void **state)
{
    (void)state;
    PoiseInterval w = {130, 280};
    double m;
    assert_int_equal(poise_ballast_needed(2900, 340, w, 20, &m), POISE_OK);
    check_near((2900 * 340 + m * 20) / (2900 + m), 280, 1e-10);
    assert_int_equal(poise_ballast_needed(2900, 100, w, 600, &m), POISE_OK);
    check_near((2900 * 100 + m * 600) / (2900 + m), 130, 1e-10);
    assert_int_equal(poise_removal_needed(2900, 340, w, 743, &m), POISE_OK);
    check_near((2900 * 340 - m * 743) / (2900 - m), 280, 1e-10);
    assert_int_equal(poise_removal_needed(2900, 100, w, -50, &m), POISE_OK);
    check_near((2900 * 100 + m * 50) / (2900 - m), 130, 1e-10);
    /* Further away needs less. */
    double near, far;
    assert_int_equal(poise_ballast_needed(2900, 340, w, 200, &near), POISE_OK);
    assert_int_equal(poise_ballast_needed(2900, 340, w, -30, &far), POISE_OK);
    assert_true(far < near);
}

static void test_nothing_needed_or_nothing_helps(void **state)
{
    (void)state;
    PoiseInterval w = {130, 280};
    double m;
    assert_int_equal(poise_ballast_needed(2900, 280, w, 900, &m),
                     POISE_OK); /* on the edge: holds */
    assert_true(m == 0);
    assert_int_equal(poise_removal_needed(2900, 130, w, 900, &m), POISE_OK);
    assert_true(m == 0);
    static const double useless[] = {280, 281, 900};
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(poise_ballast_needed(2900, 340, w, useless[i], &m), POISE_E_DOMAIN);
        assert_true(isnan(m));
    }
    assert_int_equal(poise_ballast_needed(2900, 100, w, 130, &m), POISE_E_DOMAIN);
    assert_int_equal(poise_ballast_needed(2900, 100, w, 20, &m), POISE_E_DOMAIN);
    assert_int_equal(poise_removal_needed(2900, 340, w, 100, &m), POISE_E_DOMAIN);
    assert_int_equal(poise_removal_needed(2900, 100, w, 500, &m), POISE_E_DOMAIN);
    /* To remove all of it at its own centre, or more, is no answer. */
    assert_int_equal(poise_removal_needed(2900, 340, w, 340, &m), POISE_E_DOMAIN);
    assert_int_equal(poise_removal_needed(2900, 340, w, 300, &m), POISE_E_DOMAIN);
    assert_true(isnan(m));
}

static void test_senseless_numbers_are_refused(void **state)
{
    (void)state;
    PoiseInterval w = {130, 280};
    double m;
    static const double bad[] = {NAN, INFINITY, -INFINITY, 0, -5};
    for (size_t i = 0; i < 5; i++) {
        assert_int_equal(poise_ballast_needed(bad[i], 340, w, 20, &m), POISE_E_DOMAIN);
        assert_int_equal(poise_removal_needed(bad[i], 340, w, 743, &m), POISE_E_DOMAIN);
        assert_true(isnan(m));
    }
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(poise_ballast_needed(2900, bad[i], w, 20, &m), POISE_E_DOMAIN);
        assert_int_equal(poise_ballast_needed(2900, 340, w, bad[i], &m), POISE_E_DOMAIN);
        assert_int_equal(poise_ballast_needed(2900, 340, (PoiseInterval){130, bad[i]}, 20, &m),
                         POISE_E_DOMAIN);
        assert_int_equal(poise_removal_needed(2900, 340, (PoiseInterval){bad[i], 280}, 743, &m),
                         POISE_E_DOMAIN);
    }
    assert_int_equal(poise_ballast_needed(2900, 340, (PoiseInterval){280, 130}, 20, &m),
                     POISE_E_DOMAIN);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_handbook_ballast),
        cmocka_unit_test(test_handbook_weight_shift),
        cmocka_unit_test(test_handbook_forward_shift),
        cmocka_unit_test(test_closes_the_gap_from_either_side),
        cmocka_unit_test(test_nothing_needed_or_nothing_helps),
        cmocka_unit_test(test_senseless_numbers_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
