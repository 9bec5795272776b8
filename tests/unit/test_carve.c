/* Regions shrunk edge by edge against closed forms, and against the offsets they stand in for. */
#include "check.h"
#include "geometry/carve.h"
#include "geometry/offset.h"

#define PI 3.14159265358979323846
/* A grid of 1e-8 mm along outlines of up to 200 mm. */
#define GRID_MM  1e-8
#define NEAR_MM2 2e-6

/* xorshift32: the same shapes on every machine. */
static double draw(uint32_t *seed)
{
    *seed ^= *seed << 13;
    *seed ^= *seed >> 17;
    *seed ^= *seed << 5;
    return (double)*seed / 4294967296.0;
}

static void add(PoiseRings *rings, const double (*p)[2], size_t n)
{
    for (size_t i = 0; i < n; i++)
        poise_rings_add(rings, p[i][0], p[i][1]);
    poise_rings_close(rings);
}

static double carved(const PoiseRings *in, double distance)
{
    PoiseRings pieces = {0}, out = {0};
    GEOSContextHandle_t geos = poise_geos_new();
    poise_carve_strips(in, distance, &pieces);
    assert_false(pieces.failed);
    assert_int_equal(pieces.rings, in->count);
    for (size_t r = 0; r < pieces.rings; r++)
        assert_true(poise_ring_area(&pieces, r) > 0);
    assert_int_equal(poise_geos_without(geos, in, &pieces, GRID_MM, &out), POISE_OK);
    double area = poise_rings_flat(&out).area;
    poise_geos_free(geos);
    poise_rings_release(&pieces);
    poise_rings_release(&out);
    return area;
}

/* Regular polygons lose d of their apothem; an L, a frame; a corner straight on. */
static void closed_forms(void **state)
{
    (void)state;
    PoiseRings in = {0};
    for (int n = 3; n < 60; n += 7) {
        poise_rings_reset(&in);
        for (int i = 0; i < n; i++)
            poise_rings_add(&in, 3 + 10 * cos(0.3 + 2 * PI * i / n),
                            10 * sin(0.3 + 2 * PI * i / n));
        poise_rings_close(&in);
        for (double d = 0.4; d < 11; d += 0.7) {
            double left = fmax(0, 10 * cos(PI / n) - d);
            check_near(carved(&in, d), n * left * left * tan(PI / n), NEAR_MM2);
        }
    }
    poise_rings_reset(&in);
    const double l[][2] = {{0, 0}, {20, 0}, {30, 0}, {30, 10}, {10, 10}, {10, 40}, {0, 40}};
    add(&in, l, 7);
    check_near(carved(&in, 2), 26 * 6.0 + 6 * 30.0, NEAR_MM2);
    poise_rings_reset(&in);
    const double outline[][2] = {{0, 0}, {40, 0}, {40, 30}, {0, 30}};
    const double hole[][2] = {{10, 10}, {10, 20}, {20, 20}, {20, 10}};
    add(&in, outline, 4);
    add(&in, hole, 4);
    check_near(carved(&in, 2), 36 * 26 - 14 * 14.0, NEAR_MM2);
    check_near(carved(&in, 6), 28 * 18 - (26 - 6) * (24 - 6.0), NEAR_MM2);
    poise_rings_release(&in);
}

/* Past the tip of a slit the mitre is cut off across, at five times the distance: as in
 * test_offset.c. */
static void slit(void **state)
{
    (void)state;
    PoiseRings in = {0};
    const double p[][2] = {{0, 0}, {40, 0}, {40, 30}, {20.01, 30}, {20, 20}, {19.99, 30}, {0, 30}};
    add(&in, p, 7);
    double slope = 0.01 / 10, tip = sqrt(1 + slope * slope);
    double strip = 2 * (tip * (29 - 15) + slope * ((29 - 20) * (29 - 20) - 5 * 5) / 2);
    check_near(carved(&in, 1), 38 * 28 - strip, NEAR_MM2);
    poise_rings_release(&in);
}

/* Where two lines meet that run d to the left of a → b and c → e. */
static void meeting(const double a[2], const double b[2], const double c[2], const double e[2],
                    double d, double at[2])
{
    double u[2] = {b[0] - a[0], b[1] - a[1]}, v[2] = {e[0] - c[0], e[1] - c[1]};
    double lu = hypot(u[0], u[1]), lv = hypot(v[0], v[1]);
    double p[2] = {a[0] - d * u[1] / lu, a[1] + d * u[0] / lu};
    double q[2] = {c[0] - d * v[1] / lv, c[1] + d * v[0] / lv};
    double t = ((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / (u[0] * v[1] - u[1] * v[0]);
    at[0] = p[0] + t * u[0];
    at[1] = p[1] + t * u[1];
}

/* A sail on a foot thinner than the line, which runs on to one side: GEOS loses the sail together
 * with the foot, in one step and in many. What stays is a triangle. */
static void sail_on_a_foot(void **state)
{
    (void)state;
    const double d = 1.0 / 6;
    const double p[][2] = {{-1.5, -4.45833},    {-1.41667, -4.5}, {1.41667, -4.5},
                           {1.41667, -4.45833}, {-0.5, 4.16667},  {-0.54167, 4.16667},
                           {0.41667, -4.45833}};
    PoiseRings in = {0}, out = {0};
    PoiseOffsetWork work = {0};
    add(&in, p, 7);
    PoiseRings corners = {0};
    double at[3][2];
    meeting(p[1], p[2], p[3], p[4], d, at[0]);
    meeting(p[3], p[4], p[5], p[6], d, at[1]);
    meeting(p[5], p[6], p[1], p[2], d, at[2]);
    add(&corners, (const double(*)[2])at, 3);
    double expected = poise_rings_flat(&corners).area;
    assert_true(expected > 1);
    check_near(carved(&in, d), expected, NEAR_MM2);
    assert_int_equal(poise_offset_inward(&in, d, &work, &out), POISE_OK);
    check_near(poise_rings_flat(&out).area, expected, NEAR_MM2);
    assert_int_equal(out.rings, 1);
    poise_offset_release(&work);
    poise_rings_release(&in);
    poise_rings_release(&out);
    poise_rings_release(&corners);
}

/* Around stars both ways end at the same place. */
static void beside_the_offset(void **state)
{
    (void)state;
    PoiseRings in = {0}, out = {0};
    PoiseOffsetWork work = {0};
    uint32_t seed = 20261125;
    for (int i = 0; i < 200; i++) {
        poise_rings_reset(&in);
        int n = 5 + (int)(20 * draw(&seed));
        for (int k = 0; k < n; k++) {
            double r = 6 + 8 * draw(&seed), a = 2 * PI * k / n;
            poise_rings_add(&in, r * cos(a), r * sin(a));
        }
        poise_rings_close(&in);
        double area = poise_rings_flat(&in).area, d = 0.1 + draw(&seed);
        assert_int_equal(poise_offset_inward(&in, d, &work, &out), POISE_OK);
        check_near(carved(&in, d), poise_rings_flat(&out).area, 1e-4 * area);
    }
    poise_offset_release(&work);
    poise_rings_release(&in);
    poise_rings_release(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(closed_forms),
        cmocka_unit_test(slit),
        cmocka_unit_test(sail_on_a_foot),
        cmocka_unit_test(beside_the_offset),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
