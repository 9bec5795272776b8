/* Rings that come back to where they were. */
#include "check.h"
#include "geometry/reduce.h"

static void add(PoiseRings *rings, const double (*p)[2], size_t n)
{
    for (size_t i = 0; i < n; i++)
        poise_rings_add(rings, p[i][0], p[i][1]);
    poise_rings_close(rings);
}

/* A slit narrower than the shortest edge ends where it began. What lies beside it must not be cut
 * off along with it. */
static void a_slit_stays_a_slit(void **state)
{
    (void)state;
    PoiseRings in = {0}, out = {0};
    for (double w = 0; w <= 1.6e-5; w += 4e-6) {
        const double p[][2] = {{0, 0},   {40, 0},  {40, 30}, {20 + w, 30},
                               {20, 14}, {20, 30}, {0, 30}};
        poise_rings_reset(&in);
        poise_rings_reset(&out);
        add(&in, p, 7);
        double given_up = 0;
        poise_reduce(&in, POISE_STRAIGHT_MM, INFINITY, &given_up, &out);
        check_near(poise_rings_flat(&out).area, 40 * 30, 2e-4);
        assert_true(given_up < 2e-4);
    }
    poise_rings_release(&in);
    poise_rings_release(&out);
}

/* Round one triangle, with its last two sides gone over five times, forth and back: what is left is
 * the triangle, once. */
static void forth_and_back(void **state)
{
    (void)state;
    const double a[2] = {-1, 0}, b[2] = {0, -1}, c[2] = {1, 1};
    const double *way[] = {a, b, c, b, a, b, c, b, a, b, c};
    PoiseRings in = {0}, out = {0};
    for (size_t i = 0; i < sizeof way / sizeof *way; i++)
        poise_rings_add(&in, way[i][0], way[i][1]);
    poise_rings_close(&in);
    double area = poise_rings_flat(&in).area, given_up = 0;
    check_near(area, 1.5, 1e-12);
    poise_reduce(&in, POISE_STRAIGHT_MM, INFINITY, &given_up, &out);
    check_near(poise_rings_flat(&out).area, area, 1e-9);
    poise_rings_release(&in);
    poise_rings_release(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_slit_stays_a_slit),
        cmocka_unit_test(forth_and_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
