/* The trade-off front against comparing every point with every other. */
#include "check.h"

#include <stdlib.h>

#include "decide/front.h"

/* Park and Miller's "minimal standard" generator (Comm. ACM 31 (1988), from memory). */
static double next(uint32_t *state)
{
    *state = (uint32_t)((uint64_t)*state * 16807u % 2147483647u);
    return (double)*state / 2147483647.0;
}

static int equals_or_betters(const PoiseFrontPoint *a, const PoiseFrontPoint *b)
{
    return a->by[0] <= b->by[0] && a->by[1] <= b->by[1] && a->by[2] <= b->by[2];
}

static int beats(const PoiseFrontPoint *a, const PoiseFrontPoint *b)
{
    if (!equals_or_betters(a, b))
        return 0;
    return !equals_or_betters(b, a) || a->index < b->index;
}

enum { MANY = 3000 };

/* `grain` > 0 rounds, so that many are equal in one number or in all. */
static PoiseFrontPoint *cloud(double grain, uint32_t seed)
{
    PoiseFrontPoint *points = malloc(MANY * sizeof *points);
    assert_non_null(points);
    for (size_t i = 0; i < MANY; i++) {
        points[i].index = i;
        for (int k = 0; k < 3; k++) {
            double v = next(&seed);
            points[i].by[k] = grain > 0 ? floor(v / grain) * grain : v;
        }
    }
    return points;
}

/* Merged in batches, asking first whether each adds anything. */
static void fill(PoiseFront *front, const PoiseFrontPoint *points, size_t n, size_t batch)
{
    PoiseFrontPoint *kept = malloc(batch * sizeof *kept);
    assert_non_null(kept);
    for (size_t i = 0; i < n; i += batch) {
        size_t m = 0;
        for (size_t k = i; k < n && k < i + batch; k++)
            if (!poise_front_beaten(front, points[k].by))
                kept[m++] = points[k];
        assert_int_equal(poise_front_merge(front, kept, m), POISE_OK);
    }
    free(kept);
}

static void agrees_with_brute_force(double grain, size_t batch)
{
    PoiseFrontPoint *points = cloud(grain, 7);
    PoiseFront *front = malloc(sizeof *front);
    assert_non_null(front);
    poise_front_begin(front);
    fill(front, points, MANY, batch);
    size_t on_front = 0;
    for (size_t i = 0; i < MANY; i++) {
        int beaten = 0;
        for (size_t j = 0; j < MANY && !beaten; j++)
            beaten = beats(&points[j], &points[i]);
        if (beaten)
            continue;
        on_front++;
        size_t k = 0;
        while (k < front->count && front->points[k].index != i)
            k++;
        assert_true(k < front->count);
    }
    assert_int_equal(front->count, on_front);
    check_near(front->step, 0, 0);
    for (size_t k = 1; k < front->count; k++)
        assert_true(front->points[k - 1].by[0] <= front->points[k].by[0]);
    poise_front_clear(front);
    free(front);
    free(points);
}

static void test_against_brute_force(void **state)
{
    (void)state;
    agrees_with_brute_force(0, MANY);
    agrees_with_brute_force(0, 1);
    agrees_with_brute_force(0, 37);
    agrees_with_brute_force(0.1, 37);
    agrees_with_brute_force(0.5, 100);
}

/* A plane on which no point beats another: more of them than are kept. For every point left out one
 * that stays is worse by less than a step in each number. */
static void test_thinning(void **state)
{
    (void)state;
    enum { SIDE = 120 };
    PoiseFrontPoint *points = malloc(SIDE * SIDE * sizeof *points);
    PoiseFront *front = malloc(sizeof *front);
    assert_true(points && front);
    for (size_t i = 0; i < SIDE * SIDE; i++) {
        double x = 0.01 * (double)(i / SIDE), y = 0.01 * (double)(i % SIDE);
        points[i] = (PoiseFrontPoint){{x + 0.001, y + 0.002, 2.4 - x - y}, i};
    }
    poise_front_begin(front);
    fill(front, points, SIDE * SIDE, 1000);
    assert_true(front->step > 0);
    assert_true(front->count <= POISE_FRONT_MOST);
    assert_true(front->count > 100);
    for (size_t i = 0; i < SIDE * SIDE; i += 17) {
        size_t k = 0;
        for (; k < front->count; k++) {
            const double *a = front->points[k].by, *b = points[i].by;
            if (a[0] < b[0] + front->step && a[1] < b[1] + front->step && a[2] < b[2] + front->step)
                break;
        }
        assert_true(k < front->count);
    }
    poise_front_clear(front);
    free(front);
    free(points);
}

static void test_few_points(void **state)
{
    (void)state;
    PoiseFront *front = malloc(sizeof *front);
    assert_non_null(front);
    poise_front_begin(front);
    const double any[3] = {1, 1, 1};
    assert_true(!poise_front_beaten(front, any));
    const PoiseFrontPoint twins[] = {{{3, 0, 5}, 4}, {{3, 0, 5}, 2}, {{3, 0, 5}, 9}};
    assert_int_equal(poise_front_merge(front, twins, 3), POISE_OK);
    assert_int_equal(front->count, 1);
    assert_int_equal(front->points[0].index, 2);
    const double same[3] = {3, 0, 5}, heavier[3] = {4, 0, 5}, lighter[3] = {2, 0, 6};
    assert_true(poise_front_beaten(front, same));
    assert_true(poise_front_beaten(front, heavier));
    assert_true(!poise_front_beaten(front, lighter));
    poise_front_clear(front);
    free(front);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_brute_force),
        cmocka_unit_test(test_thinning),
        cmocka_unit_test(test_few_points),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
