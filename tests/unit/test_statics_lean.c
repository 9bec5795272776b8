/* Lean, against a brute-force minimum of potential energy about the hinge. */
#include "statics_help.h"

/* p turned about the unit axis by angle (Rodrigues' rotation formula). */
static void turn_about(const double axis[3], double angle, const double p[3], double out[3])
{
    double c = cos(angle), s = sin(angle);
    double dot = axis[0] * p[0] + axis[1] * p[1] + axis[2] * p[2];
    double cross[3] = {axis[1] * p[2] - axis[2] * p[1], axis[2] * p[0] - axis[0] * p[2],
                       axis[0] * p[1] - axis[1] * p[0]};
    for (int i = 0; i < 3; i++)
        out[i] = p[i] * c + cross[i] * s + axis[i] * dot * (1 - c);
}

/* Degrees the instrument turns about its posts until its centre is lowest. Turning right-handed
 * about an axis that points towards the head takes the face, which looks forward, downwards. */
static double lean_by_energy(const double a[3], const double b[3], const double g[3],
                             double angle_deg)
{
    double c = cos(angle_deg * PI / 180), s = sin(angle_deg * PI / 180);
    double axis[3], arm[3], dx[2][3];
    for (int i = 0; i < 3; i++)
        dx[0][i] = b[i] - a[i], dx[1][i] = g[i] - a[i];
    for (int k = 0; k < 2; k++) {
        double *out = k ? arm : axis;
        out[0] = dx[k][0] * c - dx[k][1] * s;
        out[1] = dx[k][0] * s + dx[k][1] * c;
        out[2] = dx[k][2];
    }
    double length = sqrt(axis[0] * axis[0] + axis[1] * axis[1] + axis[2] * axis[2]);
    for (int i = 0; i < 3; i++)
        axis[i] /= length;
    double best = 0, lowest = INFINITY, turned[3];
    for (int i = -180; i < 180; i++) {
        turn_about(axis, i * PI / 180, arm, turned);
        if (turned[1] < lowest)
            lowest = turned[1], best = i;
    }
    double lo = best - 1,
           hi = best + 1; /* the height is a cosine: one minimum, thirds close in on it */
    for (int i = 0; i < 100; i++) {
        double p = lo + (hi - lo) / 3, q = hi - (hi - lo) / 3, hp, hq;
        turn_about(axis, p * PI / 180, arm, turned);
        hp = turned[1];
        turn_about(axis, q * PI / 180, arm, turned);
        hq = turned[1];
        if (hp < hq)
            hi = q;
        else
            lo = p;
    }
    return 0.5 * (lo + hi);
}

static void test_plain_cases(void **state)
{
    (void)state;
    const double a[3] = {0, 0, -20}, b[3] = {400, 0, -20};
    double lean;
    assert_int_equal(poise_lean(a, b, (double[3]){200, -50, -20}, 0, &lean), POISE_OK);
    check_near(lean, 0, 1e-12);
    /* 50 below and 50 in front: the face tips down by 45°. */
    assert_int_equal(poise_lean(a, b, (double[3]){200, -50, 30}, 0, &lean), POISE_OK);
    check_near(lean, 45, 1e-12);
    assert_int_equal(poise_lean(a, b, (double[3]){200, -50, -70}, 0, &lean), POISE_OK);
    check_near(lean, -45, 1e-12);
    assert_int_equal(poise_lean(a, b, (double[3]){200, 0, 10}, 0, &lean), POISE_OK);
    check_near(lean, 90, 1e-12);
    assert_int_equal(poise_lean(a, b, (double[3]){200, 50, 30}, 0, &lean), POISE_OK);
    check_near(lean, 135, 1e-12);
}

static void test_agrees_with_least_energy(void **state)
{
    (void)state;
    uint64_t seed = 41;
    for (int i = 0; i < 200; i++) {
        double a[3] = {random_between(&seed, -900, 900), random_between(&seed, -900, 900),
                       random_between(&seed, -40, 40)};
        double b[3] = {a[0] + random_between(&seed, 200, 500),
                       a[1] + random_between(&seed, -100, 150),
                       a[2] + random_between(&seed, -30, 30)};
        double g[3] = {a[0] + random_between(&seed, -50, 500),
                       a[1] + random_between(&seed, -120, 60),
                       a[2] + random_between(&seed, -40, 40)};
        double angle = random_between(&seed, -30, 60), lean;
        assert_int_equal(poise_lean(a, b, g, angle, &lean), POISE_OK);
        check_near(remainder(lean - lean_by_energy(a, b, g, angle), 360), 0, 1e-5);
    }
}

static void test_drawing_origin_does_not_matter(void **state)
{
    (void)state;
    double near, far;
    assert_int_equal(poise_lean((double[3]){0, 0, -20}, (double[3]){390, 70, -25},
                                (double[3]){340, 5, -2}, 20, &near),
                     POISE_OK);
    assert_int_equal(poise_lean((double[3]){4000, -3000, 980}, (double[3]){4390, -2930, 975},
                                (double[3]){4340, -2995, 998}, 20, &far),
                     POISE_OK);
    check_near(near, far, 1e-9);
}

static void test_senseless_hinges_are_refused(void **state)
{
    (void)state;
    const double a[3] = {0, 0, 0}, b[3] = {400, 0, 0}, g[3] = {200, -50, 10};
    double lean;
    assert_int_equal(poise_lean(a, a, g, 0, &lean), POISE_E_DOMAIN);
    assert_true(isnan(lean));
    assert_int_equal(poise_lean(a, b, g, 90, &lean), POISE_E_DOMAIN); /* the line stands upright */
    assert_int_equal(poise_lean(a, b, g, -90, &lean), POISE_E_DOMAIN);
    assert_int_equal(poise_lean(a, b, (double[3]){123, 0, 0}, 0, &lean),
                     POISE_E_DOMAIN); /* on the line */
    assert_int_equal(poise_lean(a, (double[3]){0, 0, 30}, g, 0, &lean),
                     POISE_E_DOMAIN); /* out of the face */
    assert_int_equal(poise_lean(a, b, g, NAN, &lean), POISE_E_DOMAIN);
    assert_int_equal(poise_lean((double[3]){0, NAN, 0}, b, g, 0, &lean), POISE_E_DOMAIN);
    assert_int_equal(poise_lean(a, (double[3]){0, 0, INFINITY}, g, 0, &lean), POISE_E_DOMAIN);
    assert_int_equal(poise_lean(a, b, (double[3]){-INFINITY, 0, 0}, 0, &lean), POISE_E_DOMAIN);
    assert_true(isnan(lean));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plain_cases),
        cmocka_unit_test(test_agrees_with_least_energy),
        cmocka_unit_test(test_drawing_origin_does_not_matter),
        cmocka_unit_test(test_senseless_hinges_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
