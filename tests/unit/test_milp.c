/* The linear programmes against textbook answers and against trying everything. */
#include "check.h"
#include "decide/milp.h"

/* The window maker of F. S. Hillier and G. J. Lieberman, "Introduction to Operations Research", ch.
 * 3: most of 3x + 5y with x ≤ 4, 2y ≤ 12, 3x + 2y ≤ 18 is 36 at (2, 6) (from memory). */
static void test_textbook_programme(void **state)
{
    (void)state;
    PoiseMilp *m = poise_milp_new(2);
    assert_non_null(m);
    static const size_t columns[2] = {0, 1};
    assert_true(poise_milp_at_most(m, 1, columns, (double[]){1}, 4));
    assert_true(poise_milp_at_most(m, 1, columns + 1, (double[]){2}, 12));
    assert_true(poise_milp_at_most(m, 2, columns, (double[]){3, 2}, 18));
    double x[2];
    PoiseMilpAnswer answer;
    assert_int_equal(poise_milp_minimise(m, (double[]){-3, -5}, x, &answer), POISE_OK);
    check_near(answer.value, -36, 1e-9);
    check_near(x[0], 2, 1e-9);
    check_near(x[1], 6, 1e-9);
    assert_true(answer.proved);

    /* Again with another aim and one more row: nothing of the first answer may linger. */
    assert_true(poise_milp_equal(m, 2, columns, (double[]){1, 1}, 5));
    assert_int_equal(poise_milp_minimise(m, (double[]){1, 2}, x, &answer), POISE_OK);
    check_near(answer.value, 6, 1e-9); /* x = 4, y = 1 */
    poise_milp_free(m);
}

/* Whole numbers are not the rounded real answer: most of 5x + 4y with 6x + 4y ≤ 24, x + 2y ≤ 6 is
 * 21 at (3, 1.5); in whole numbers 20, at (4, 0). H. A. Taha, "Operations Research", the paint
 * maker of ch. 2 (from memory); the whole answer is seen by trying all 5 × 4 pairs. */
static void test_whole_numbers(void **state)
{
    (void)state;
    static const size_t columns[2] = {0, 1};
    for (int whole = 0; whole < 2; whole++) {
        PoiseMilp *m = poise_milp_new(2);
        assert_non_null(m);
        assert_true(poise_milp_column(m, 0, 0, INFINITY, whole));
        assert_true(poise_milp_column(m, 1, 0, INFINITY, whole));
        assert_true(poise_milp_at_most(m, 2, columns, (double[]){6, 4}, 24));
        assert_true(poise_milp_at_most(m, 2, columns, (double[]){1, 2}, 6));
        double x[2], best = 0;
        PoiseMilpAnswer answer;
        assert_int_equal(poise_milp_minimise(m, (double[]){-5, -4}, x, &answer), POISE_OK);
        for (int a = 0; a <= 4; a++)
            for (int b = 0; b <= 3; b++)
                if (6 * a + 4 * b <= 24 && a + 2 * b <= 6)
                    best = fmax(best, 5 * a + 4 * b);
        check_near(best, 20, 0);
        check_near(answer.value, whole ? -best : -21, 1e-6);
        poise_milp_free(m);
    }
}

static void test_no_answer(void **state)
{
    (void)state;
    static const size_t column[1] = {0};
    double x[1];
    PoiseMilpAnswer answer;
    PoiseMilp *m = poise_milp_new(1);
    assert_non_null(m);
    assert_int_equal(poise_milp_minimise(m, (double[]){-1}, x, &answer),
                     POISE_E_DOMAIN);                                  /* unbounded */
    assert_true(poise_milp_at_most(m, 1, column, (double[]){-1}, -3)); /* x ≥ 3 */
    assert_int_equal(poise_milp_minimise(m, (double[]){1}, x, &answer), POISE_OK);
    check_near(x[0], 3, 1e-9);
    assert_true(poise_milp_at_most(m, 1, column, (double[]){1}, 2));
    assert_int_equal(poise_milp_minimise(m, (double[]){1}, x, &answer),
                     POISE_E_DOMAIN); /* infeasible */
    assert_true(answer.proved);
    poise_milp_free(m);
}

/* Rows whose coefficients are a million apart (g beside g·mm) against trying all 2^10 choices. */
static void test_binaries_against_trying_all(void **state)
{
    (void)state;
    enum { N = 10 };
    unsigned seed = 20261;
    for (int round = 0; round < 20; round++) {
        double cost[N], moment[N], mass[N];
        size_t columns[N];
        PoiseMilp *m = poise_milp_new(N);
        assert_non_null(m);
        for (size_t i = 0; i < N; i++) {
            double *values[3] = {&cost[i], &moment[i], &mass[i]};
            static const double spans[3] = {50, 2e5, 100};
            for (int k = 0; k < 3; k++) {
                seed = seed * 1664525U + 1013904223U; /* Numerical Recipes' generator */
                *values[k] = spans[k] * ((double)(seed >> 8) / (1 << 24) - (k == 1 ? 0.5 : 0.0));
            }
            columns[i] = i;
            assert_true(poise_milp_column(m, i, 0, 1, true));
        }
        double best = INFINITY;
        for (unsigned set = 0; set < 1U << N; set++) {
            double c = 0, t = 0, g = 0;
            for (size_t i = 0; i < N; i++) {
                if (!(set >> i & 1U))
                    continue;
                c += cost[i];
                t += moment[i];
                g += mass[i];
            }
            if (t <= -5e4 && g <= 300)
                best = fmin(best, c);
        }
        double x[N];
        PoiseMilpAnswer answer;
        assert_true(poise_milp_at_most(m, N, columns, moment, -5e4));
        assert_true(poise_milp_at_most(m, N, columns, mass, 300));
        PoiseStatus status = poise_milp_minimise(m, cost, x, &answer);
        if (isinf(best)) {
            assert_int_equal(status, POISE_E_DOMAIN);
        } else {
            assert_int_equal(status, POISE_OK);
            check_near(answer.value, best, 2 * POISE_MILP_GAP);
        }
        poise_milp_free(m);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_textbook_programme),
        cmocka_unit_test(test_whole_numbers),
        cmocka_unit_test(test_no_answer),
        cmocka_unit_test(test_binaries_against_trying_all),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
