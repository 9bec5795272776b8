/* Volume moments of meshes and the bodies made from them, against closed forms and published
 * bodies. */
#include "check.h"
#include "solids.h"

#include "base/vec.h"

static const double PI = 3.141592653589793238463;
static const double AT_ORIGIN[3] = {0, 0, 0};

static void add(Soup *s, const double points[][3], int a, int b, int c)
{
    soup_triangle(s, points[a], points[b], points[c]);
}

static PoiseMoments at_origin(const Soup *s)
{
    PoiseMoments m = soup_moments(s);
    return poise_moments_about(&m, AT_ORIGIN);
}

/* B. Mirtich, "Fast and Accurate Computation of Polyhedral Mass Properties", J. Graphics Tools
 * 1(2), 1996: the bodies of its test files (geometry read); the paper's files print no results, so
 * those are exact computations on that geometry. */
static void test_mirtich_cube(void **state)
{
    (void)state;
    Soup s = {0};
    soup_box(&s, (double[3]){-10, -10, -10}, (double[3]){10, 10, 10});
    PoiseMoments m = soup_moments(&s);
    check_near(m.volume_mm3, 8000.0, 1e-10);
    for (int i = 0; i < 3; i++) {
        check_near(m.first_mm4[i], 0.0, 1e-9);
        check_near(m.second_mm5[i], 800000.0 / 3.0, 1e-8);
        check_near(m.second_mm5[3 + i], 0.0, 1e-8);
    }
    PoiseBody b = poise_body_from_moments(&m, 1000.0); /* 1 g/mm³ */
    for (int i = 0; i < 3; i++)
        check_near(b.inertia_gmm2[i][i], 1600000.0 / 3.0, 1e-7);
    soup_free(&s);
}

static void test_mirtich_tetrahedron(void **state)
{
    (void)state;
    static const double p[4][3] = {{0, 0, 0}, {5, 0, 0}, {0, 4, 0}, {0, 0, 3}};
    Soup s = {0};
    add(&s, p, 0, 3, 2);
    add(&s, p, 3, 0, 1);
    add(&s, p, 2, 1, 0);
    add(&s, p, 1, 2, 3);
    PoiseMoments m = at_origin(&s);
    check_near(m.volume_mm3, 10.0, 1e-13);
    static const double first[3] = {12.5, 10, 7.5}, second[6] = {25, 16, 9, 10, 6, 7.5};
    for (int i = 0; i < 3; i++)
        check_near(m.first_mm4[i], first[i], 1e-13);
    for (int k = 0; k < 6; k++)
        check_near(m.second_mm5[k], second[k], 1e-12);
    PoiseBody b = poise_body_from_moments(&m, 1000.0);
    static const double centre[3] = {1.25, 1, 0.75};
    static const double inertia[3][3] = {
        {9.375, 2.5, 1.875}, {2.5, 12.75, 1.5}, {1.875, 1.5, 15.375}};
    for (int i = 0; i < 3; i++) {
        check_near(b.centre_mm[i], centre[i], 1e-14);
        for (int j = 0; j < 3; j++)
            check_near(b.inertia_gmm2[i][j], inertia[i][j], 1e-12);
    }
    soup_free(&s);
}

/* The formula itself, triangle by triangle in its own words: V = Σv/6, c = Σ v s/(4 Σv),
 * ∫x_i x_j = Σ v (Σ_k x_ki x_kj + s_i s_j)/120. M. Kallay, JGT 11(2), 2006 (read in its published
 * code). Run here with long doubles about the origin, against the program's blocks about the
 * bounding box's middle. */
static void test_kallay(void **state)
{
    (void)state;
    Soup s = {0};
    soup_torus(&s, (double[3]){40, -25, 9}, 30, 11, 60, 40);
    soup_cone(&s, (double[3]){200, 10, -40}, 17, 60, 41);
    long double t[10] = {0};
    static const int pair[6][2] = {{0, 0}, {1, 1}, {2, 2}, {0, 1}, {1, 2}, {2, 0}};
    for (size_t k = 0; k < s.count; k++) {
        const double *a = s.corners[3 * k], *b = s.corners[3 * k + 1], *c = s.corners[3 * k + 2];
        long double x[3], n[3];
        for (int i = 0; i < 3; i++) {
            int j = (i + 1) % 3, l = (i + 2) % 3;
            n[i] = (long double)b[j] * c[l] - (long double)b[l] * c[j];
            x[i] = (long double)a[i] + b[i] + c[i];
        }
        long double v = a[0] * n[0] + a[1] * n[1] + a[2] * n[2];
        t[0] += v / 6;
        for (int i = 0; i < 3; i++)
            t[1 + i] += v * x[i] / 24;
        for (int q = 0; q < 6; q++) {
            int i = pair[q][0], j = pair[q][1];
            t[4 + q] += v *
                        ((long double)a[i] * a[j] + (long double)b[i] * b[j] +
                         (long double)c[i] * c[j] + x[i] * x[j]) /
                        120;
        }
    }
    PoiseMoments m = at_origin(&s);
    check_close(m.volume_mm3, (double)t[0], 1e-14);
    for (int i = 0; i < 3; i++)
        check_close(m.first_mm4[i], (double)t[1 + i], 1e-13);
    for (int q = 0; q < 6; q++)
        check_close(m.second_mm5[q], (double)t[4 + q], 1e-13);
    soup_free(&s);
}

/* Closed forms; the inertia tensors as in the common table of solids (read in transcriptions):
 * cuboid m(h² + d²)/12, cylinder m a²/2 and m(3a² + H²)/12, sphere 2 m a²/5, cone 3 m r²/10 and 3 m
 * h²/80 + 3 m r²/20 about the centre; torus V = 2π²Rr², m(4R² + 3r²)/4, m(4R² + 5r²)/8 (from
 * memory). */
static void check_body(const Soup *s, const double want_centre[3], double volume, double across,
                       double along, double relative)
{
    PoiseMoments m = soup_moments(s);
    PoiseBody b = poise_body_from_moments(&m, 1000.0);
    check_close(b.mass_g, volume, relative);
    double size = cbrt(volume);
    for (int i = 0; i < 3; i++)
        check_near(b.centre_mm[i], want_centre[i], relative * size);
    check_close(b.inertia_gmm2[0][0], volume * across, relative);
    check_close(b.inertia_gmm2[1][1], volume * across, relative);
    check_close(b.inertia_gmm2[2][2], volume * along, relative);
    for (int i = 0; i < 3; i++)
        check_near(b.inertia_gmm2[i][(i + 1) % 3], 0.0, 1e-9 * volume * (across + along));
}

static void test_cuboid(void **state)
{
    (void)state;
    Soup s = {0};
    soup_box(&s, (double[3]){100, 20, -7}, (double[3]){102, 22, 0});
    check_body(&s, (double[3]){101, 21, -3.5}, 28, (4.0 + 49.0) / 12, 8.0 / 12, 1e-13);
    soup_free(&s);
}

/* Round solids have fewer mm³ than their closed forms by a term in 1/n²: four times the facets, a
 * sixteenth of the error. */
static void check_converges(void (*build)(Soup *, size_t), double volume, double across,
                            double along, const double centre[3])
{
    double error[2];
    for (int k = 0; k < 2; k++) {
        size_t n = k ? 256 : 64;
        Soup s = {0};
        build(&s, n);
        PoiseMoments m = soup_moments(&s);
        error[k] = (volume - m.volume_mm3) / volume;
        double inscribed = 40.0 / (double)(n * n); /* well above π²·(a few)/n² */
        check_body(&s, centre, volume, across, along, inscribed);
        soup_free(&s);
    }
    assert_true(error[1] > 0.0);
    check_near(error[0] / error[1], 16.0, 0.2);
}

static void build_cylinder(Soup *s, size_t n)
{
    soup_cylinder(s, (double[3]){5, 6, 7}, 10, 30, n);
}

static void build_sphere(Soup *s, size_t n)
{
    soup_sphere(s, (double[3]){5, 6, 7}, 10, n);
}

static void build_cone(Soup *s, size_t n)
{
    soup_cone(s, (double[3]){5, 6, 7}, 10, 30, n);
}

static void build_torus(Soup *s, size_t n)
{
    soup_torus(s, (double[3]){5, 6, 7}, 3, 1, n, n);
}

static void test_round_solids(void **state)
{
    (void)state;
    check_converges(build_cylinder, PI * 100 * 30, 100.0 / 4 + 900.0 / 12, 50,
                    (double[3]){5, 6, 22});
    check_converges(build_sphere, 4.0 / 3 * PI * 1000, 40, 40, (double[3]){5, 6, 7});
    check_converges(build_cone, PI * 1000, 3.0 * 900 / 80 + 3.0 * 100 / 20, 30,
                    (double[3]){5, 6, 14.5});
    /* R 3, r 1: V 59.2176264065, about the axis 577.371857, about a diameter 303.490336 (computed).
     */
    check_converges(build_torus, 2 * PI * PI * 3, 41.0 / 8, 39.0 / 4, (double[3]){5, 6, 7});
    check_near(2 * PI * PI * 3 * 41.0 / 8, 303.490336, 1e-6);
    check_near(2 * PI * PI * 3 * 39.0 / 4, 577.371857, 1e-6);
}

/* An n-sided prism is a polyhedron: exact. Area n/2 r² sin(2π/n); ∫x² = ∫y² = n r⁴ sin(2π/n)(2 +
 * cos(2π/n))/24. */
static void test_prism_exact(void **state)
{
    (void)state;
    for (size_t n = 3; n <= 12; n++) {
        Soup s = {0};
        soup_cylinder(&s, (double[3]){0, 0, 0}, 10, 8, n);
        double angle = 2 * PI / (double)n, area = 0.5 * (double)n * 100 * sin(angle);
        PoiseMoments m = at_origin(&s);
        check_close(m.volume_mm3, area * 8, 1e-13);
        double across = (double)n * 1e4 * sin(angle) * (2 + cos(angle)) / 24 * 8;
        check_close(m.second_mm5[0], across, 1e-12);
        check_close(m.second_mm5[1], across, 1e-12);
        check_close(m.second_mm5[2], area * 512 / 3, 1e-12);
        soup_free(&s);
    }
}

/* Regular tetrahedron of edge s: V = s³/(6√2) (from memory), I = m s²/20 about any central axis. */
static void test_regular_tetrahedron(void **state)
{
    (void)state;
    static const double p[4][3] = {{1, 1, 1}, {-1, -1, 1}, {-1, 1, -1}, {1, -1, -1}};
    Soup s = {0};
    add(&s, p, 0, 2, 1);
    add(&s, p, 0, 1, 3);
    add(&s, p, 0, 3, 2);
    add(&s, p, 1, 2, 3);
    double edge = 2 * sqrt(2.0), volume = edge * edge * edge / (6 * sqrt(2.0));
    check_body(&s, AT_ORIGIN, volume, edge * edge / 20, edge * edge / 20, 1e-14);
    soup_free(&s);
}

static void test_additive(void **state)
{
    (void)state;
    Soup whole = {0}, left = {0}, right = {0};
    soup_box(&whole, (double[3]){0, 0, 0}, (double[3]){10, 4, 3});
    soup_box(&left, (double[3]){0, 0, 0}, (double[3]){3.7, 4, 3});
    soup_box(&right, (double[3]){3.7, 0, 0}, (double[3]){10, 4, 3});
    PoiseMoments w = at_origin(&whole), l = soup_moments(&left), r = soup_moments(&right),
                 sum = {0};
    poise_moments_add(&sum, &l, 1.0);
    check_near(sum.origin_mm[0], l.origin_mm[0],
               0.0); /* a zeroed sum takes the first one's origin */
    poise_moments_add(&sum, &r, 1.0);
    sum = poise_moments_about(&sum, AT_ORIGIN);
    check_close(sum.volume_mm3, w.volume_mm3, 1e-14);
    for (int k = 0; k < 6; k++)
        check_close(sum.second_mm5[k], w.second_mm5[k], 1e-13);
    /* Taking the right part away again leaves the left one. */
    poise_moments_add(&w, &r, -1.0);
    l = poise_moments_about(&l, AT_ORIGIN);
    check_close(w.volume_mm3, l.volume_mm3, 1e-13);
    for (int i = 0; i < 3; i++)
        check_close(w.first_mm4[i], l.first_mm4[i], 1e-13);
    soup_free(&whole);
    soup_free(&left);
    soup_free(&right);
}

/* Drawing origins five metres away must not cost digits. */
/* Only a sum that is 0 in every number takes the other's origin: an empty sum about a point keeps
 * its point, and so does one whose volumes cancel. */
static void test_sum_keeps_its_origin(void **state)
{
    (void)state;
    const PoiseMoments b = {.origin_mm = {10, 20, 30}, .volume_mm3 = 2};
    PoiseMoments fresh = {0};
    poise_moments_add(&fresh, &b, 1.0);
    for (int i = 0; i < 3; i++)
        check_near(fresh.origin_mm[i], b.origin_mm[i], 0);
    for (int k = 0; k < 12; k++) {
        PoiseMoments a = {0};
        double *const numbers[12] = {&a.origin_mm[0],  &a.origin_mm[1],  &a.origin_mm[2],
                                     &a.first_mm4[0],  &a.first_mm4[1],  &a.first_mm4[2],
                                     &a.second_mm5[0], &a.second_mm5[1], &a.second_mm5[2],
                                     &a.second_mm5[3], &a.second_mm5[4], &a.second_mm5[5]};
        *numbers[k] = 0.5;
        const PoiseMoments before = a;
        poise_moments_add(&a, &b, 1.0);
        for (int i = 0; i < 3; i++) {
            check_near(a.origin_mm[i], before.origin_mm[i], 0);
            check_near(a.first_mm4[i], before.first_mm4[i] + 2 * (b.origin_mm[i] - a.origin_mm[i]),
                       1e-12);
        }
    }
}

static void test_translation(void **state)
{
    (void)state;
    double identity[3][3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    /* Coordinates on a grid of 1/1024 mm, so that moving by whole mm rounds nothing. */
    Soup near = {0}, far = {0};
    soup_torus(&near, (double[3]){0, 0, 0}, 30, 10, 48, 32);
    for (size_t k = 0; k < 3 * near.count; k++)
        for (int i = 0; i < 3; i++)
            near.corners[k][i] = round(near.corners[k][i] * 1024) / 1024;
    for (size_t k = 0; k < near.count; k++)
        soup_triangle(&far, near.corners[3 * k], near.corners[3 * k + 1], near.corners[3 * k + 2]);
    soup_move(&far, identity, (double[3]){5000, -5000, 4321});
    PoiseMoments a = soup_moments(&near), b = soup_moments(&far);
    check_near(b.volume_mm3, a.volume_mm3, 0.0);
    PoiseBody body_a = poise_body_from_moments(&a, 1.25),
              body_b = poise_body_from_moments(&b, 1.25);
    check_near(body_b.centre_mm[0] - 5000, body_a.centre_mm[0], 1e-12);
    check_near(body_b.centre_mm[2] - 4321, body_a.centre_mm[2], 1e-12);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            check_near(body_b.inertia_gmm2[i][j], body_a.inertia_gmm2[i][j], 0.0);
    soup_free(&near);
    soup_free(&far);
}

static void test_rotation_and_mirror(void **state)
{
    (void)state;
    Soup s = {0}, turned = {0}, mirrored = {0};
    double r[3][3];
    poise_rotation_xyz((double[3]){20, -35, 110}, r);
    soup_stepped(&s, (double[3]){12, -4, 3}, 20, 6, 9, 30, 17);
    soup_box(&s, (double[3]){40, 0, 0}, (double[3]){60, 7, 11});
    for (size_t k = 0; k < s.count; k++) {
        soup_triangle(&turned, s.corners[3 * k], s.corners[3 * k + 1], s.corners[3 * k + 2]);
        soup_triangle(&mirrored, s.corners[3 * k], s.corners[3 * k + 1], s.corners[3 * k + 2]);
    }
    static const double shift[3] = {100, 200, -50};
    soup_move(&turned, r, shift);
    PoiseMoments m = soup_moments(&s), t = soup_moments(&turned);
    PoiseBody body = poise_body_from_moments(&m, 1.0), want = poise_body_move(&body, r, shift);
    PoiseBody got = poise_body_from_moments(&t, 1.0);
    check_close(got.mass_g, want.mass_g, 1e-13);
    for (int i = 0; i < 3; i++) {
        check_near(got.centre_mm[i], want.centre_mm[i], 1e-11);
        for (int j = 0; j < 3; j++)
            check_near(got.inertia_gmm2[i][j], want.inertia_gmm2[i][j],
                       1e-11 * body.inertia_gmm2[2][2]);
    }
    /* A mirror image with its faces turned back has the same volume, and products with one y change
     * sign. */
    double mirror[3][3] = {{1, 0, 0}, {0, -1, 0}, {0, 0, 1}};
    soup_move(&mirrored, mirror, AT_ORIGIN);
    PoiseMoments inside_out = soup_moments(&mirrored);
    check_close(inside_out.volume_mm3, -m.volume_mm3, 1e-13);
    soup_reverse(&mirrored, 0);
    PoiseMoments image = soup_moments(&mirrored);
    PoiseBody b = poise_body_from_moments(&image, 1.0);
    check_near(b.centre_mm[1], -body.centre_mm[1], 1e-12);
    check_near(b.inertia_gmm2[0][1], -body.inertia_gmm2[0][1], 1e-12 * body.inertia_gmm2[2][2]);
    check_near(b.inertia_gmm2[0][2], body.inertia_gmm2[0][2], 1e-12 * body.inertia_gmm2[2][2]);
    soup_free(&s);
    soup_free(&turned);
    soup_free(&mirrored);
}

static void test_degenerate(void **state)
{
    (void)state;
    Soup s = {0};
    PoiseMoments m = soup_moments(&s);
    check_near(m.volume_mm3, 0.0, 0.0);
    PoiseBody b = poise_body_from_moments(&m, 1.0);
    check_near(b.mass_g, 0.0, 0.0);
    /* A flat sheet, both sides: no volume. */
    static const double p[3][3] = {{50, 1, 2}, {60, 1, 2}, {50, 9, 2}};
    add(&s, p, 0, 1, 2);
    add(&s, p, 0, 2, 1);
    m = soup_moments(&s);
    check_near(m.volume_mm3, 0.0, 0.0);
    b = poise_body_from_moments(&m, 1.0);
    check_near(b.mass_g, 0.0, 0.0);
    check_near(b.centre_mm[0], 55.0, 1e-12); /* the region's origin */
    soup_free(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mirtich_cube),
        cmocka_unit_test(test_mirtich_tetrahedron),
        cmocka_unit_test(test_kallay),
        cmocka_unit_test(test_cuboid),
        cmocka_unit_test(test_round_solids),
        cmocka_unit_test(test_prism_exact),
        cmocka_unit_test(test_regular_tetrahedron),
        cmocka_unit_test(test_additive),
        cmocka_unit_test(test_translation),
        cmocka_unit_test(test_sum_keeps_its_origin),
        cmocka_unit_test(test_rotation_and_mirror),
        cmocka_unit_test(test_degenerate),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
