/* Adding bodies: the aircraft handbooks' weight-and-balance examples, parallel axes, taking bodies
 * away. The handbooks count in pounds and inches; a sum of moments does not care, so their numbers
 * go in as they stand. */
#include "check.h"
#include "solids.h"

#include "base/vec.h"

typedef struct Load {
    double weight, arm;
} Load;

static PoiseBody sum_loads(const Load *loads, unsigned long n)
{
    PoiseBody bodies[8];
    for (unsigned long k = 0; k < n; k++)
        bodies[k] = poise_body_point(loads[k].weight, (double[3]){loads[k].arm, 0, 0});
    return poise_body_sum(bodies, n);
}

/* FAA-H-8083-1B ch. 2, fig. 2-11, "Shifting the balance point or CG": 72 in (read); the three
 * weights are from memory and give it. Solution by formula: B moves 55 in to the left, balance at
 * 50 (from memory). */
static void test_lever(void **state)
{
    (void)state;
    check_near(sum_loads((Load[]){{100, 0}, {200, 80}, {200, 100}}, 3).centre_mm[0], 72.0, 1e-12);
    check_near(sum_loads((Load[]){{100, 0}, {200, 25}, {200, 100}}, 3).centre_mm[0], 50.0, 1e-12);
}

/* FAA-H-8083-1 ch. 2, law of the lever, datum off the lever and on weight A (from memory,
 * arithmetic checked): CG 110 in from the one, 60 in from the other: the datum changes nothing. */
static void test_datum(void **state)
{
    (void)state;
    PoiseBody off = sum_loads((Load[]){{100, 50}, {100, 90}, {200, 150}}, 3);
    PoiseBody on = sum_loads((Load[]){{100, 0}, {100, 40}, {200, 100}}, 3);
    check_near(off.mass_g, 400.0, 0.0);
    check_near(off.mass_g * off.centre_mm[0], 44000.0, 1e-9);
    check_near(off.centre_mm[0], 110.0, 1e-12);
    check_near(on.centre_mm[0], 60.0, 1e-12);
    for (int i = 0; i < 3; i++)
        check_near(off.inertia_gmm2[i][i], on.inertia_gmm2[i][i], 1e-9);
}

/* FAA-H-8083-1 ch. 3, empty weight from the scales. Nosewheel, datum ahead: mains 830 and 836 lb at
 * 128 in, nose 340 at 50: 2006 lb, moment 230 248, CG 114.8 (from memory; the relative −13.2 in
 * from F 340, L −78, W 2006 read in FAA-H-8083-1B ch. 10). Datum 75 in aft of the mains: −88.2
 * (from memory). */
static void test_nosewheel(void **state)
{
    (void)state;
    PoiseBody ahead = sum_loads((Load[]){{830, 128}, {836, 128}, {340, 50}}, 3);
    check_near(ahead.mass_g, 2006.0, 0.0);
    check_near(ahead.mass_g * ahead.centre_mm[0], 230248.0, 1e-9);
    check_near(ahead.centre_mm[0], 114.8, 0.05);
    check_near(ahead.centre_mm[0], 128.0 - 340.0 * 78.0 / 2006.0, 1e-12);
    PoiseBody mains = sum_loads((Load[]){{830, 0}, {836, 0}, {340, -78}}, 3);
    check_near(mains.centre_mm[0], -13.2203, 0.00005);
    PoiseBody aft = sum_loads((Load[]){{830, -75}, {836, -75}, {340, -153}}, 3);
    check_near(aft.centre_mm[0], -88.2, 0.05);
}

/* FAA-H-8083-1 ch. 3 (from memory, arithmetic checked): tailwheel R 67 lb, L 222 in, W 1218 lb;
 * datum 7.5 in ahead of the mains: 19.7 in; 80 in aft of them: −67.8 in. */
static void test_tailwheel(void **state)
{
    (void)state;
    check_near(sum_loads((Load[]){{1218 - 67, 7.5}, {67, 229.5}}, 2).centre_mm[0], 19.7, 0.05);
    check_near(sum_loads((Load[]){{1218 - 67, -80}, {67, 142}}, 2).centre_mm[0], -67.8, 0.05);
}

/* FAA-H-8083-25, ch. "Weight and Balance", weight shifting (read): 8000 lb at 77.0; 100 lb from
 * station 30 to 150: moment 616 000 → 628 000, CG 78.5. The load is taken away as a negative mass.
 * Inverse (read in a quotation): 7800 lb at 81.5, 65 lb from 150 to 30 gives 80.5. */
static void test_shift(void **state)
{
    (void)state;
    PoiseBody before = poise_body_point(8000, (double[3]){77, 0, 0});
    check_near(before.mass_g * before.centre_mm[0], 616000.0, 0.0);
    PoiseBody after = sum_loads((Load[]){{8000, 77}, {-100, 30}, {100, 150}}, 3);
    check_near(after.mass_g, 8000.0, 0.0);
    check_near(after.mass_g * after.centre_mm[0], 628000.0, 1e-8);
    check_near(after.centre_mm[0], 78.5, 1e-12);
    check_near(sum_loads((Load[]){{7800, 81.5}, {-65, 150}, {65, 30}}, 3).centre_mm[0], 80.5,
               1e-12);
}

/* FAA-H-8083-1B ch. 7, permanent ballast: 1876 lb, CG +32.2 (read); limit +33.0, ballast at
 * 228: 7.7 lb, exactly 7.69641 (the rest from memory, arithmetic checked). */
static void test_ballast(void **state)
{
    (void)state;
    double ballast = 1876 * (33.0 - 32.2) / (228.0 - 33.0);
    check_near(ballast, 7.7, 0.05);
    check_near(sum_loads((Load[]){{1876, 32.2}, {ballast, 228}}, 2).centre_mm[0], 33.0, 1e-12);
}

static void check_same(const PoiseBody *got, const PoiseBody *want, double inertia_tolerance)
{
    check_close(got->mass_g, want->mass_g, 1e-14);
    for (int i = 0; i < 3; i++) {
        check_near(got->centre_mm[i], want->centre_mm[i], 1e-12);
        for (int j = 0; j < 3; j++)
            check_near(got->inertia_gmm2[i][j], want->inertia_gmm2[i][j], inertia_tolerance);
    }
}

/* Parallel axes, I_ij(P) = I_ij(C) + m(|r|²δ_ij − r_i r_j) (any mechanics text, e.g. Goldstein ch.
 * 5, from memory): two half boxes are the box. */
static void test_parallel_axes(void **state)
{
    (void)state;
    PoiseBody whole = poise_body_box(120, (double[3]){5, 7, 9}, (double[3]){10, 4, 6});
    PoiseBody half[2] = {poise_body_box(60, (double[3]){2.5, 7, 9}, (double[3]){5, 4, 6}),
                         poise_body_box(60, (double[3]){7.5, 7, 9}, (double[3]){5, 4, 6})};
    PoiseBody sum = poise_body_sum(half, 2), pair = poise_body_add(&half[0], &half[1]);
    check_same(&sum, &whole, 1e-11);
    check_same(&pair, &whole, 1e-11);
    /* Two points on a diagonal: off-diagonal entries are −∫xy dm. */
    PoiseBody a = poise_body_point(1, (double[3]){1, 1, 0}),
              b = poise_body_point(1, (double[3]){-1, -1, 0});
    PoiseBody bar = poise_body_add(&a, &b);
    check_near(bar.inertia_gmm2[0][1], -2.0, 1e-15);
    check_near(bar.inertia_gmm2[0][0], 2.0, 1e-15);
    check_near(bar.inertia_gmm2[2][2], 4.0, 1e-15);
}

/* Tube, L 1 m, outer radius 50 mm, wall 2 mm, 1 g/cm³: m 0.61575 kg, axial 0.0014790, transverse
 * 0.052052 kg·m² (read in the documentation of an open rocketry library): a cylinder less its core.
 */
static void test_tube(void **state)
{
    (void)state;
    const double pi = 3.141592653589793238463, at[3] = {3000, 0, 0};
    double outer = pi * 50 * 50 * 1000 * 1e-3, inner = pi * 48 * 48 * 1000 * 1e-3;
    PoiseBody shell = poise_body_cylinder(outer, at, 100, 1000, 0),
              core = poise_body_cylinder(-inner, at, 96, 1000, 0);
    PoiseBody tube = poise_body_add(&shell, &core);
    check_near(tube.mass_g, 615.75, 0.005);
    check_near(tube.inertia_gmm2[0][0] * 1e-9, 0.0014790, 5e-8);
    check_near(tube.inertia_gmm2[1][1] * 1e-9, 0.052052, 5e-7);
    check_near(tube.centre_mm[0], 3000.0, 1e-9);
}

/* The ready shapes against meshes of the same shapes. */
static void test_shapes_agree_with_meshes(void **state)
{
    (void)state;
    Soup s = {0};
    soup_box(&s, (double[3]){0, 0, 0}, (double[3]){10, 20, 30});
    PoiseMoments m = soup_moments(&s);
    PoiseBody mesh = poise_body_from_moments(&m, 1.0);
    PoiseBody box = poise_body_box(6.0, (double[3]){5, 10, 15}, (double[3]){10, 20, 30});
    check_same(&mesh, &box, 1e-11);
    soup_free(&s);
    soup_cylinder(&s, (double[3]){0, 0, -15}, 10, 30, 720);
    m = soup_moments(&s);
    mesh = poise_body_from_moments(&m, 1.0);
    mesh = poise_body_with_mass(&mesh, 100.0);
    double quarter[3][3];
    for (int axis = 0; axis < 3; axis++) {
        PoiseBody cylinder = poise_body_cylinder(100, (double[3]){0, 0, 0}, 20, 30, axis),
                  turned = mesh;
        poise_rotation_xyz((double[3]){axis == 1 ? 90 : 0, axis == 0 ? 90 : 0, 0}, quarter);
        turned = poise_body_move(&mesh, quarter, (double[3]){0, 0, 0});
        check_same(&turned, &cylinder, 1.0); /* of 5000 … 10 000 g·mm²: the facets' share */
    }
    soup_free(&s);
}

static void test_far_origin(void **state)
{
    (void)state;
    PoiseBody near[40], far[40];
    for (int k = 0; k < 40; k++) {
        double at[3] = {k * 23 % 97, k * 31 % 89, k * 7 % 41};
        near[k] = poise_body_box(1 + k % 5, at, (double[3]){1, 2, 3});
        far[k] = near[k];
        far[k].centre_mm[0] += 1048576;
        far[k].centre_mm[1] -= 1048576;
    }
    PoiseBody a = poise_body_sum(near, 40), b = poise_body_sum(far, 40);
    check_near(b.centre_mm[0] - 1048576, a.centre_mm[0],
               3e-10); /* the spacing of doubles out there */
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            check_near(b.inertia_gmm2[i][j], a.inertia_gmm2[i][j], 1e-11 * a.inertia_gmm2[2][2]);
}

static void test_nothing_and_opposites(void **state)
{
    (void)state;
    PoiseBody none = poise_body_sum(NULL, 0);
    check_near(none.mass_g, 0.0, 0.0);
    check_near(none.centre_mm[0], 0.0, 0.0);
    PoiseBody a = poise_body_box(0.1, (double[3]){100, 200, 300}, (double[3]){4, 5, 6}),
              opposite = a;
    opposite.mass_g = -a.mass_g;
    for (int i = 0; i < 3; i++)
        opposite.inertia_gmm2[i][i] = -a.inertia_gmm2[i][i];
    PoiseBody gone = poise_body_add(&a, &opposite);
    check_near(gone.mass_g, 0.0, 0.0);
    for (int i = 0; i < 3; i++) {
        check_near(gone.inertia_gmm2[i][i], 0.0, 0.0);
        assert_true(isfinite(gone.centre_mm[i]));
    }
    /* 0.1 + 0.2 − 0.3 is not 0 in doubles, but it is no mass either. */
    PoiseBody three[3] = {poise_body_point(0.1, (double[3]){1, 0, 0}),
                          poise_body_point(0.2, (double[3]){2, 0, 0}),
                          poise_body_point(-0.3, (double[3]){3, 0, 0})};
    gone = poise_body_sum(three, 3);
    check_near(gone.mass_g, 0.0, 0.0);
    assert_true(fabs(gone.centre_mm[0]) < 10.0);
    for (int i = 0; i < 3; i++)
        check_near(gone.inertia_gmm2[i][i], 0.0, 0.0);
    /* Massless bodies count for nothing, wherever they are. */
    PoiseBody two[2] = {poise_body_point(0, (double[3]){9e9, 0, 0}), a};
    PoiseBody sum = poise_body_sum(two, 2);
    check_same(&sum, &a, 1e-15);
    PoiseBody other = poise_body_with_mass(&two[0], 5);
    check_near(other.mass_g, 5.0, 0.0);
    check_near(other.inertia_gmm2[0][0], 0.0, 0.0);
    other = poise_body_with_mass(&a, 0.2);
    check_close(other.inertia_gmm2[0][0], 2 * a.inertia_gmm2[0][0], 1e-15);
}

/* A speck is added up as a beam is: nothing in the sums has a size of its own. */
static void test_specks(void **state)
{
    (void)state;
    const double place[3] = {3, 4, 5};
    PoiseBody rod = poise_body_cylinder(2e-15, place, 6, 20, 0);
    check_close(rod.inertia_gmm2[0][0], 2e-15 * 9 / 2, 1e-14);
    check_close(rod.inertia_gmm2[1][1], 2e-15 * (9.0 / 4 + 400.0 / 12), 1e-14);
    check_near(rod.inertia_gmm2[0][1], 0.0, 0.0);
    check_near(rod.inertia_gmm2[1][2], 0.0, 0.0);
    check_near(rod.inertia_gmm2[2][0], 0.0, 0.0);
    PoiseBody other = poise_body_point(2e-15, (double[3]){3, 4, 15});
    PoiseBody both = poise_body_add(&rod, &other);
    check_close(both.mass_g, 4e-15, 1e-14);
    check_close(both.centre_mm[2], 10.0, 1e-14);
    check_close(both.inertia_gmm2[0][0], 2e-15 * (9.0 / 2 + 2 * 25), 1e-13);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lever),
        cmocka_unit_test(test_datum),
        cmocka_unit_test(test_nosewheel),
        cmocka_unit_test(test_tailwheel),
        cmocka_unit_test(test_shift),
        cmocka_unit_test(test_ballast),
        cmocka_unit_test(test_parallel_axes),
        cmocka_unit_test(test_tube),
        cmocka_unit_test(test_shapes_agree_with_meshes),
        cmocka_unit_test(test_far_origin),
        cmocka_unit_test(test_nothing_and_opposites),
        cmocka_unit_test(test_specks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
