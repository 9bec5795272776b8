/* Area moments of rings against closed forms (any handbook's table of plane areas, from memory):
 * rectangle b h³/12, triangle b h³/36, regular n-gon, circle π r⁴/4. */
#include "check.h"

#include "geometry/polygon.h"

static const double PI = 3.141592653589793238463;

static void test_rectangle(void **state)
{
    (void)state;
    static const double ring[4][2] = {{10, 20}, {16, 20}, {16, 24}, {10, 24}};
    PoiseAreaMoments m = poise_ring_moments(ring, 4, (double[2]){13, 22});
    check_near(m.area_mm2, 24, 1e-13);
    check_near(m.first_mm3[0], 0, 1e-13);
    check_near(m.first_mm3[1], 0, 1e-13);
    check_near(m.second_mm4[0], 4.0 * 6 * 6 * 6 / 12, 1e-12);
    check_near(m.second_mm4[1], 6.0 * 4 * 4 * 4 / 12, 1e-12);
    check_near(m.second_mm4[2], 0, 1e-12);
    /* About another point: parallel axes. */
    m = poise_ring_moments(ring, 4, (double[2]){0, 0});
    check_near(m.first_mm3[0], 24.0 * 13, 1e-11);
    check_near(m.second_mm4[1], 32 + 24.0 * 22 * 22, 1e-10);
    check_near(m.second_mm4[2], 24.0 * 13 * 22, 1e-10);
    /* The other way around: negative. */
    static const double back[4][2] = {{10, 24}, {16, 24}, {16, 20}, {10, 20}};
    PoiseAreaMoments r = poise_ring_moments(back, 4, (double[2]){0, 0});
    check_near(r.area_mm2, -24, 1e-12);
    check_near(r.second_mm4[2], -m.second_mm4[2], 1e-10);
}

static void test_triangle(void **state)
{
    (void)state;
    /* Right triangle b 12, h 9, its centroid at the origin: ∫y² = b h³/36, ∫xy = −b²h²/72. */
    static const double ring[3][2] = {{-4, -3}, {8, -3}, {-4, 6}};
    PoiseAreaMoments m = poise_ring_moments(ring, 3, (double[2]){0, 0});
    check_near(m.area_mm2, 54, 1e-12);
    check_near(m.first_mm3[0], 0, 1e-11);
    check_near(m.second_mm4[1], 12.0 * 729 / 36, 1e-11);
    check_near(m.second_mm4[0], 9.0 * 1728 / 36, 1e-11);
    check_near(m.second_mm4[2], -144.0 * 81 / 72, 1e-11);
}

/* Regular n-gon of circumradius r: A = n r² sin(2π/n)/2, ∫x² = A r² (2 + cos(2π/n))/12; towards the
 * circle as n grows. */
static void test_regular(void **state)
{
    (void)state;
    double ring[360][2];
    for (size_t n = 3; n <= 360; n += 17) {
        for (size_t k = 0; k < n; k++) {
            ring[k][0] = 5 + 7 * cos(2 * PI * (double)k / (double)n);
            ring[k][1] = -3 + 7 * sin(2 * PI * (double)k / (double)n);
        }
        double angle = 2 * PI / (double)n, area = 0.5 * (double)n * 49 * sin(angle);
        PoiseAreaMoments m = poise_ring_moments((const double(*)[2])ring, n, (double[2]){5, -3});
        check_close(m.area_mm2, area, 1e-13);
        check_close(m.second_mm4[0], area * 49 * (2 + cos(angle)) / 12, 1e-12);
        check_close(m.second_mm4[1], area * 49 * (2 + cos(angle)) / 12, 1e-12);
        check_near(m.second_mm4[2], 0, 1e-10);
    }
}

static void test_add_and_extrude(void **state)
{
    (void)state;
    static const double outer[4][2] = {{0, 0}, {30, 0}, {30, 20}, {0, 20}};
    static const double hole[4][2] = {{5, 5}, {10, 5}, {10, 15}, {5, 15}};
    PoiseAreaMoments m = poise_ring_moments(outer, 4, (double[2]){15, 10}), sum = {0};
    PoiseAreaMoments h = poise_ring_moments(hole, 4, (double[2]){7, 9});
    poise_area_moments_add(&sum, &m, 1.0);
    check_near(sum.origin_mm[0], 15, 0);
    poise_area_moments_add(&sum, &h, -1.0);
    check_near(sum.area_mm2, 550, 1e-12);
    /* ∫x about 0: 600·15 − 50·7.5; ∫xy about 0: 600·15·10 − 50·7.5·10 */
    check_near(sum.first_mm3[0] + 15 * sum.area_mm2, 9000 - 375, 1e-10);
    PoiseMoments v = poise_extrude_moments(&sum, -44, -4);
    v = poise_moments_about(&v, (double[3]){0, 0, 0});
    check_near(v.volume_mm3, 22000, 1e-10);
    check_near(v.first_mm4[2], -24 * 22000.0, 1e-8);
    check_near(v.second_mm5[2], 550.0 * (44.0 * 44 * 44 - 64) / 3, 1e-6);
    check_near(v.second_mm5[3], 40 * (90000.0 - 3750), 1e-7);
    check_near(v.second_mm5[4], -24.0 * 40 * (600.0 * 10 - 50 * 10), 1e-7);
    check_near(v.second_mm5[5], -24.0 * 40 * (9000 - 375), 1e-7);
}

static void test_far_away(void **state)
{
    (void)state;
    static const double near[3][2] = {{0, 0}, {0.5, 0}, {0, 0.25}};
    double far[3][2];
    for (int k = 0; k < 3; k++) {
        far[k][0] = near[k][0] + 4096;
        far[k][1] = near[k][1] - 8192;
    }
    PoiseAreaMoments a = poise_ring_moments(near, 3, (double[2]){0, 0});
    PoiseAreaMoments b = poise_ring_moments((const double(*)[2])far, 3, (double[2]){4096, -8192});
    check_near(b.area_mm2, a.area_mm2, 0);
    check_near(b.second_mm4[2], a.second_mm4[2], 0);
    PoiseAreaMoments none = poise_ring_moments(near, 0, (double[2]){1, 2});
    check_near(none.area_mm2, 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rectangle), cmocka_unit_test(test_triangle),
        cmocka_unit_test(test_regular),   cmocka_unit_test(test_add_and_extrude),
        cmocka_unit_test(test_far_away),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
