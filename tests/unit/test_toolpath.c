/* What a program lays down: lines, arcs, helices against closed forms. Centroids and moments of
 * thin rods and arcs are those of any mechanics table (rod m l²/12; arc r sin a/a from its middle,
 * 2a the angle; ring m r²/2 about a diameter): from memory, and worked again here. */
#include "toolpath_help.h"

static void test_line(void **state)
{
    (void)state;
    PoiseToolpath t = read_text("G21\nG90\nM82\nG1 X10 Y20 Z0.5 F1200\nG1 X40 Y60 E7.5\n");
    PoiseBody b = body_of(&t);
    check_near(b.mass_g, 7.5, 1e-12);
    check_centre(&b, 25, 40, 0.5, 1e-12);
    /* a rod of length 50 in direction (0.6, 0.8): m l²/12 times the square of the distance share */
    double rod = 7.5 * 2500 / 12;
    check_near(b.inertia_gmm2[0][0], rod * 0.64, 1e-9);
    check_near(b.inertia_gmm2[1][1], rod * 0.36, 1e-9);
    check_near(b.inertia_gmm2[2][2], rod, 1e-9);
    check_near(b.inertia_gmm2[0][1], -rod * 0.48, 1e-9);
    check_near(t.path_mm, 50, 1e-12);
    check_near(t.filament_mm, 7.5, 1e-12);
    check_near(t.kept_mm, 7.5, 1e-12);
    check_near(t.min_mm[0], 10, 0);
    check_near(t.max_mm[1], 60, 0);
    /* both moves at 1200 mm/min; the first from the power-on place, taken as 0 */
    check_near(t.seconds_at_least, (sqrt(100 + 400 + 0.25) + 50) / 20, 1e-9);
    assert_int_equal(t.layers, 1);
    assert_true(isnan(t.layer_mm));
    assert_int_equal(t.lines, 5);
    assert_int_equal(t.moves, 2);
    assert_true(t.has_units);
}

/* A filament of 1.75 mm: 2.405 mm² (π/4 d²). */
static void test_filament_section(void **state)
{
    (void)state;
    PoiseToolpathOptions options = {.filament_mm = 1.75};
    PoiseToolpath t = read_with("G1 X0 Y0 Z1\nG1 X10 E100\n", &options);
    check_near(t.laid.volume_mm3, 240.528187, 1e-6);
}

/* A wire rectangle a × b of even thickness: about its middle Σ over the sides, each a rod. */
static void test_rectangle(void **state)
{
    (void)state;
    double a = 60, b = 25;
    PoiseToolpath t =
        read_text("G1 X5 Y5 Z0.2\nM83\nG1 X65 E60\nG1 Y30 E25\nG1 X5 E60\nG1 Y5 E25\n");
    PoiseBody body = body_of(&t);
    check_near(body.mass_g, 170, 1e-12);
    check_centre(&body, 35, 17.5, 0.2, 1e-12);
    check_close(body.inertia_gmm2[0][0], 2 * a * b * b / 4 + 2 * b * b * b / 12, 1e-13);
    check_close(body.inertia_gmm2[1][1], 2 * b * a * a / 4 + 2 * a * a * a / 12, 1e-13);
    check_near(body.inertia_gmm2[0][1], 0, 1e-9);
}

static void test_half_circle(void **state)
{
    (void)state;
    /* from (10, 0) over (0, 10) to (−10, 0), counter-clockwise about the origin */
    PoiseToolpath t = read_text("G1 X10 Y0 Z1\nG3 X-10 Y0 I-10 J0 E3\n");
    PoiseBody b = body_of(&t);
    check_near(b.mass_g, 3, 1e-12);
    check_centre(&b, 0, 20 / PI, 1, 1e-12);
    check_near(t.path_mm, 10 * PI, 1e-12);
    check_near(t.max_mm[1], 10, 1e-12);
    check_near(t.min_mm[1], 0, 1e-12);
    /* about the middle of the circle m r²/2 each way; down to the centre by m ȳ² */
    check_near(b.inertia_gmm2[0][0], 3 * (50 - 400 / (PI * PI)), 1e-9);
    check_near(b.inertia_gmm2[1][1], 3 * 50, 1e-9);
    /* the same way round the other side */
    t = read_text("G1 X10 Y0 Z1\nG2 X-10 Y0 I-10 J0 E3\n");
    b = body_of(&t);
    check_centre(&b, 0, -20 / PI, 1, 1e-12);
}

/* Any angle, any turn: r sin a/a along the bisector; both ways of writing the arc. */
static void test_arcs(void **state)
{
    (void)state;
    static const double SWEEP[] = {3, 45, 90, 170, 181, 270, 355};
    for (int way = 0; way < 2; way++)
        for (size_t k = 0; k < sizeof SWEEP / sizeof *SWEEP; k++)
            for (double start = 0; start < 360; start += 50) {
                double r = 12, half = SWEEP[k] * PI / 360, sign = way ? -1 : 1;
                double s = start * PI / 180, e = s + sign * 2 * half;
                char text[2][256];
                snprintf(text[0], 256, "G1 X%.12f Y%.12f Z1\nG%d X%.12f Y%.12f I%.12f J%.12f E2\n",
                         5 + r * cos(s), r * sin(s), way ? 2 : 3, 5 + r * cos(e), r * sin(e),
                         -r * cos(s), -r * sin(s));
                snprintf(text[1], 256, "G1 X%.12f Y%.12f Z1\nG%d X%.12f Y%.12f R%.12f E2\n",
                         5 + r * cos(s), r * sin(s), way ? 2 : 3, 5 + r * cos(e), r * sin(e),
                         SWEEP[k] > 180 ? -r : r);
                for (int form = 0; form < 2; form++) {
                    PoiseToolpath t = read_text(text[form]);
                    PoiseBody b = body_of(&t);
                    double u = r * sin(half) / half, middle = s + sign * half;
                    check_centre(&b, 5 + u * cos(middle), u * sin(middle), 1, 1e-8);
                    /* the polar moment about the circle's middle is m r² */
                    check_near(b.inertia_gmm2[2][2], 2 * (r * r - u * u), 1e-7);
                    check_near(t.path_mm, 2 * half * r, 1e-8);
                }
            }
}

static void test_full_circle(void **state)
{
    (void)state;
    PoiseToolpath t = read_text("G1 X30 Y10 Z1\nG2 I-8 E4\n");
    PoiseBody b = body_of(&t);
    check_centre(&b, 22, 10, 1, 1e-12);
    check_near(b.inertia_gmm2[0][0], 4 * 32, 1e-9);
    check_near(b.inertia_gmm2[2][2], 4 * 64, 1e-9);
    check_near(t.min_mm[0], 14, 1e-12);
    check_near(t.max_mm[1], 18, 1e-12);
}

/* A helix against the same way cut into 20000 chords: an independent sum, which converges as the
 * square of the chord, 7e-8 here. */
static void test_helix(void **state)
{
    (void)state;
    PoiseToolpath t = read_text("G1 X9 Y2 Z1\nG3 X1 Y10 Z6 I-8 J0 E5\n"); /* a quarter turn */
    PoiseBody b = body_of(&t);
    PoiseMoments sum = {.origin_mm = {1, 2, 0}};
    enum { N = 20000 };
    for (int i = 0; i < N; i++) {
        double a = (i + 0.5) / N * PI / 2, v = 5.0 / N;
        double r[3] = {8 * cos(a), 8 * sin(a), 1 + 5 * (i + 0.5) / N};
        sum.volume_mm3 += v;
        for (int k = 0; k < 3; k++) {
            sum.first_mm4[k] += v * r[k];
            sum.second_mm5[k] += v * r[k] * r[k];
            sum.second_mm5[3 + k] += v * r[k] * r[(k + 1) % 3];
        }
    }
    PoiseBody want = poise_body_from_moments(&sum, 1000);
    check_same_body(&b, &want, 1e-6);
    check_near(t.path_mm, hypot(4 * PI, 5), 1e-12);
    check_near(t.max_mm[2], 6, 0);
    /* downwards and clockwise is the same curve */
    t = read_text("G1 X1 Y10 Z6\nG2 X9 Y2 Z1 I0 J-8 E5\n");
    b = body_of(&t);
    check_same_body(&b, &want, 1e-6);
}

/* A box filled with parallel lines, layer on layer. The beads are lines, so against the solid box
 * the moments lack exactly V w²/12 across the lines and V h²/12 upwards: the header's bound. */
static PoiseToolpath raster_box(int lines, int layers, double a, double b, double c)
{
    static char text[1 << 20];
    size_t n = (size_t)snprintf(text, sizeof text, "M83\nG90\n");
    double w = b / lines, h = c / layers;
    for (int k = 0; k < layers; k++)
        for (int i = 0; i < lines; i++) {
            double y = 7 + (i + 0.5) * w, z = (k + 1) * h, from = i % 2 ? 3 + a : 3;
            n += (size_t)snprintf(text + n, sizeof text - n,
                                  "G0 X%.9f Y%.9f Z%.9f\nG1 X%.9f E%.12f\n", from, y, z,
                                  i % 2 ? 3 : 3 + a, a * w * h);
        }
    PoiseToolpathOptions options = {.filament_mm = UNIT_FILAMENT, .layer_mm = h};
    return read_with(text, &options);
}

static void test_raster_box(void **state)
{
    (void)state;
    double a = 40, b = 30, c = 12, v = a * b * c;
    for (int n = 4; n <= 32; n *= 2) {
        PoiseToolpath t = raster_box(2 * n, n, a, b, c);
        PoiseBody body = body_of(&t);
        double w = b / (2 * n), h = c / n;
        check_close(body.mass_g, v, 1e-10);
        check_centre(&body, 3 + a / 2, 7 + b / 2, c / 2, 1e-8);
        check_close(body.inertia_gmm2[0][0], v * (b * b + c * c - w * w - h * h) / 12, 1e-9);
        check_close(body.inertia_gmm2[1][1], v * (a * a + c * c - h * h) / 12, 1e-9);
        check_close(body.inertia_gmm2[2][2], v * (a * a + b * b - w * w) / 12, 1e-9);
        assert_int_equal(t.layers, n);
        check_close(t.layer_mm, h, 1e-8);
        check_close(t.laid.volume_mm3 / t.path_mm, w * h, 1e-9);
    }
}

/* Two programs, one after the other, are the sum of both. */
static void test_additivity(void **state)
{
    (void)state;
    static const char *one = "G90\nM82\nG92 E0\nG1 X1 Y2 Z3\nG1 X11 Y5 E4\nG3 X1 Y15 I-10 J0 E9\n";
    static const char *two = "G90\nM82\nG92 E0\nG1 X100 Y-2 Z9\nG1 X11 Y5 Z9.5 E2.5\n";
    char both[256];
    snprintf(both, sizeof both, "%s%s", one, two);
    PoiseToolpath a = read_text(one), b = read_text(two), ab = read_text(both);
    PoiseBody sum = body_of(&a), second = body_of(&b), whole = body_of(&ab);
    sum = poise_body_add(&sum, &second);
    check_same_body(&whole, &sum, 1e-10);
    check_near(ab.path_mm, a.path_mm + b.path_mm, 1e-10);
}

/* Moved far away the shape stays, to the digits its coordinates keep. */
static void test_translation(void **state)
{
    (void)state;
    PoiseBody bodies[2];
    for (int far = 0; far < 2; far++) {
        double d = far ? 8192 : 0; /* a power of two, so that the coordinates stay exact */
        char text[256];
        snprintf(text, sizeof text, "G1 X%.3f Y%.3f Z%.3f\nG1 X%.3f E2\nG2 X%.3f Y%.3f I0 J-4 E5\n",
                 1.5 + d, 2 - d, 0.25 + d, 5.5 + d, 9.5 + d, -2 - d);
        PoiseToolpath t = read_text(text);
        bodies[far] = body_of(&t);
        for (int i = 0; i < 3; i++)
            bodies[far].centre_mm[i] -= i == 1 ? -d : d;
    }
    check_same_body(&bodies[1], &bodies[0], 1e-10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_line),       cmocka_unit_test(test_filament_section),
        cmocka_unit_test(test_rectangle),  cmocka_unit_test(test_half_circle),
        cmocka_unit_test(test_arcs),       cmocka_unit_test(test_full_circle),
        cmocka_unit_test(test_helix),      cmocka_unit_test(test_raster_box),
        cmocka_unit_test(test_additivity), cmocka_unit_test(test_translation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
