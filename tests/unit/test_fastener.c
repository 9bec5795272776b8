/* Fasteners from standard dimensions. No standard prints masses for these; the figures are worked
 * from the standards' dimensions with the steel's density 7.85 g/cm³ (MIL-HDBK-5J Table 2.2.1.0(b)
 * has 0.284 lb/in³ for carbon steel, read in a transcription). */
#include "check.h"

#include "bodies/fastener.h"

static const double STEEL = 7.85;
static const double PI = 3.14159265358979323846;

static PoiseFastener make(const PoiseGeometry *geometry, double density)
{
    PoiseFastener f;
    const char *complaint = "";
    assert_int_equal(poise_fastener(geometry, density, &f, &complaint), POISE_OK);
    assert_null(complaint);
    return f;
}

/* M4 × 0.7 by the factors of ISO 724 (from memory): d2 3.5453, D1 3.2422; the shank is 9.872 mm²,
 * 0.07750 g/mm (computed from them). ISO 898-1 prints the stress area 8.78 mm² (from memory), which
 * is that of the mean of d2 and d3 and so a little less than the pitch-diameter cylinder's. */
static void test_thread(void **state)
{
    (void)state;
    check_near(poise_thread_pitch_diameter_mm(4.0, 0.7), 3.5453, 5e-5);
    check_near(poise_thread_nut_minor_diameter_mm(4.0, 0.7), 3.2422, 5e-5);
    double d2 = poise_thread_pitch_diameter_mm(4.0, 0.7), d3 = 4.0 - 1.226869 * 0.7;
    check_near(PI / 4.0 * pow((d2 + d3) / 2.0, 2), 8.78, 0.005);
    PoiseGeometry m4 = {.kind = POISE_GEOMETRY_MACHINE_SCREW,
                        .thread_mm = 4,
                        .pitch_mm = 0.7,
                        .length_mm = 20,
                        .head = POISE_HEAD_PAN,
                        .head_diameter_mm = 8,
                        .head_height_mm = 3.1};
    double longer = make(&m4, STEEL).body.mass_g;
    m4.length_mm = 10;
    check_near((longer - make(&m4, STEEL).body.mass_g) / 10.0, 0.07750, 5e-6);
}

/* DIN 562 M4: s 7, m 2.2 (read in a dealer's table): 0.676 g with the bore at d2, 0.704 g at D1
 * (computed). DIN 934 M4: s 7, m 3.2 (same): 0.818 g at d2 (computed). No chamfers. */
static void test_nuts(void **state)
{
    (void)state;
    PoiseGeometry square = {.kind = POISE_GEOMETRY_SQUARE_NUT,
                            .thread_mm = 4,
                            .pitch_mm = 0.7,
                            .across_flats_mm = 7,
                            .height_mm = 2.2};
    PoiseFastener f = make(&square, STEEL);
    check_near(f.body.mass_g, 0.676, 0.0005);
    /* u from the bore: rectangular between 0.676 and 0.704 g about 0.676 (JCGM 100, 4.3.7). */
    check_near(f.volume_u_mm3 * STEEL * 1e-3, (0.704 - 0.676) / sqrt(3.0), 0.0005);
    check_near(f.extent_mm[0], 2.2, 1e-12);
    check_near(f.extent_mm[1], 7.0, 1e-12);
    for (int i = 0; i < 3; i++)
        check_near(f.body.centre_mm[i], 0.0, 1e-12);

    PoiseGeometry hex = square;
    hex.kind = POISE_GEOMETRY_HEX_NUT;
    hex.height_mm = 3.2;
    f = make(&hex, STEEL);
    check_near(f.body.mass_g, 0.818, 0.0005);
    /* Its corners lie e apart; DIN 934 has 7.66 mm as the least, below the full 8.08 of a sharp
     * corner. */
    assert_true(f.extent_mm[2] >= 7.66 && f.extent_mm[2] < 8.09);
}

/* A regular hexagon with side a has the second moment of area 5√3a⁴/16 about any middle line
 * (handbooks of mechanics, from memory): the thin, thread-less limit of a hex nut, I_axial/m =
 * 2·(5√3a⁴/16)/(3√3a²/2). */
static void test_hexagon_inertia(void **state)
{
    (void)state;
    PoiseGeometry hex = {.kind = POISE_GEOMETRY_HEX_NUT,
                         .thread_mm = 1e-3,
                         .across_flats_mm = 10,
                         .height_mm = 1e-3};
    PoiseBody b = make(&hex, 1.0).body;
    double a = 10.0 / sqrt(3.0);
    double area = 3.0 * sqrt(3.0) / 2.0 * a * a, line = 5.0 * sqrt(3.0) / 16.0 * pow(a, 4);
    check_close(b.inertia_gmm2[0][0] / b.mass_g, 2.0 * line / area, 1e-6);
    check_close(b.inertia_gmm2[1][1] / b.mass_g, line / area, 1e-6);
}

/* ISO 7045 M4 pan head: dk 8, k 3.1 (read in a dealer's table). Between the shank alone, 1.240 g
 * and 1.550 g, and the head as a full cylinder, 2.463 g and 2.773 g, for 16 and 20 mm (computed).
 */
static void test_pan_screw(void **state)
{
    (void)state;
    const double length[2] = {16, 20}, shank[2] = {1.240, 1.550}, solid[2] = {2.463, 2.773};
    for (int k = 0; k < 2; k++) {
        PoiseGeometry g = {.kind = POISE_GEOMETRY_MACHINE_SCREW,
                           .thread_mm = 4,
                           .pitch_mm = 0.7,
                           .length_mm = length[k],
                           .head = POISE_HEAD_PAN,
                           .head_diameter_mm = 8,
                           .head_height_mm = 3.1};
        PoiseFastener f = make(&g, STEEL);
        check_near(f.solid_mm3 * STEEL * 1e-3, solid[k], 0.0005);
        assert_true(f.body.mass_g > shank[k] && f.body.mass_g < solid[k]);
        /* √3 standard uncertainties of the head reach the solid head and no further. */
        check_near(f.body.mass_g + sqrt(3.0) * f.volume_u_mm3 * STEEL * 1e-3, solid[k], 0.0005);
        check_near(f.extent_mm[0], length[k] + 3.1, 1e-12);
        /* The centre lies behind the middle of the shank, towards the head. */
        assert_true(f.body.centre_mm[0] > 0.0 && f.body.centre_mm[0] < length[k] / 2.0);
    }
}

/* ISO 7046 M4 countersunk: dk 8.4, k 2.7 (read in a dealer's table), 90°: head 96.92 mm³, at
 * most 1.791 g and 2.101 g for 16 and 20 mm, counted from the head's top (computed). */
static void test_countersunk_screw(void **state)
{
    (void)state;
    const double length[2] = {16, 20}, solid[2] = {1.791, 2.101};
    for (int k = 0; k < 2; k++) {
        PoiseGeometry g = {.kind = POISE_GEOMETRY_MACHINE_SCREW,
                           .thread_mm = 4,
                           .pitch_mm = 0.7,
                           .length_mm = length[k],
                           .head = POISE_HEAD_COUNTERSUNK,
                           .head_diameter_mm = 8.4,
                           .head_height_mm = 2.7};
        PoiseFastener f = make(&g, STEEL);
        check_near(f.solid_mm3 * STEEL * 1e-3, solid[k], 0.0005);
        check_near(f.solid_mm3 - (length[k] - 2.7) * 9.872, 96.92, 0.02);
        assert_true(f.body.mass_g < solid[k]);
        assert_true(f.body.mass_g > solid[k] - 2.0 * 96.92e-3 * STEEL * 0.1);
        check_near(f.extent_mm[0], length[k], 1e-12);
    }
}

/* Solid cone about its apex: transverse 3mh²/5 + 3mr²/20, axial 3mr²/10 (List of 3D inertia
 * tensors, read in a copy); V = πr²h/3, centre 3h/4 from the apex. A frustum is a cone less its
 * tip. */
static void test_frustum(void **state)
{
    (void)state;
    double r = 3.0, h = 8.0;
    PoiseBody cone = poise_body_frustum(1000.0, 0.0, 0.0, r, h);
    double m = PI * r * r * h / 3.0;
    check_close(cone.mass_g, m, 1e-14);
    check_close(cone.centre_mm[0], 6.0, 1e-14);
    check_close(cone.inertia_gmm2[0][0], 3.0 * m * r * r / 10.0, 1e-14);
    check_close(cone.inertia_gmm2[1][1] + m * 36.0, 3.0 * m * h * h / 5.0 + 3.0 * m * r * r / 20.0,
                1e-13);

    PoiseBody less = poise_body_add(&cone, &(PoiseBody){-PI * 3.0, {3.0, 0, 0}, {{0}}});
    PoiseBody frustum = poise_body_frustum(1000.0, 4.0, 1.5, 3.0, 4.0);
    check_close(frustum.mass_g, less.mass_g, 1e-13);
    check_close(frustum.centre_mm[0], less.centre_mm[0], 1e-13);
}

/* Tube 1 m, outer radius 50 mm, wall 2 mm, 1000 kg/m³: 0.61575 kg, axial 0.0014790, transverse
 * 0.052052 kg·m² (a rocket simulation's documentation, "by hand", read there). */
static void test_tube(void **state)
{
    (void)state;
    PoiseGeometry g = {
        .kind = POISE_GEOMETRY_TUBE, .diameter_mm = 100, .bore_mm = 96, .length_mm = 1000};
    PoiseFastener f = make(&g, 1.0);
    check_near(f.body.mass_g, 615.75, 0.005);
    check_near(f.body.inertia_gmm2[0][0] * 1e-9, 0.0014790, 5e-8);
    check_near(f.body.inertia_gmm2[2][2] * 1e-9, 0.052052, 5e-7);
    check_close(f.volume_mm3, 615752.16, 1e-6);
    g.bore_mm = 0;
    g.kind = POISE_GEOMETRY_CYLINDER;
    check_close(make(&g, 1.0).body.mass_g, PI * 2500.0, 1e-14);
}

static void test_box(void **state)
{
    (void)state;
    PoiseGeometry g = {.kind = POISE_GEOMETRY_BOX, .size_mm = {10, 20, 30}};
    PoiseFastener f = make(&g, 11.34); /* lead, GNU units' element table */
    check_close(f.body.mass_g, 68.04, 1e-14);
    /* m(h² + d²)/12 */
    check_close(f.body.inertia_gmm2[0][0], 68.04 * (400.0 + 900.0) / 12.0, 1e-14);
    check_near(f.extent_mm[1], 20.0, 0.0);
}

/* A wood screw weighs more than its core and less than a rod of its nominal diameter with its solid
 * head, and the truth's band, √3 standard uncertainties, stays inside. */
static void test_wood_screw(void **state)
{
    (void)state;
    PoiseGeometry g = {.kind = POISE_GEOMETRY_WOOD_SCREW,
                       .thread_mm = 4,
                       .length_mm = 30,
                       .head = POISE_HEAD_COUNTERSUNK,
                       .head_diameter_mm = 8,
                       .head_height_mm = 2.5};
    PoiseFastener f = make(&g, STEEL);
    double core = PI / 4.0 * 2.4 * 2.4 * (30.0 - 2.5 - 4.0) * STEEL * 1e-3;
    double stout = (PI / 4.0 * 16.0 * 27.5 + PI / 4.0 * 64.0 * 2.5) * STEEL * 1e-3;
    double band = sqrt(3.0) * f.volume_u_mm3 * STEEL * 1e-3;
    assert_true(f.body.mass_g - band > core);
    assert_true(f.body.mass_g + band < stout);
    check_near(f.extent_mm[0], 30.0, 1e-12);
}

static void refused(PoiseGeometry g, double density, const char *word)
{
    PoiseFastener f;
    const char *complaint = NULL;
    assert_int_equal(poise_fastener(&g, density, &f, &complaint), POISE_E_DOMAIN);
    assert_non_null(complaint);
    if (!strstr(complaint, word))
        fail_msg("\"%s\" does not say \"%s\"", complaint, word);
}

static void test_refusals(void **state)
{
    (void)state;
    refused((PoiseGeometry){0}, 1.0, "without dimensions");
    refused((PoiseGeometry){.kind = POISE_GEOMETRY_BOX, .size_mm = {1, 0, 1}}, 1.0, "box");
    refused((PoiseGeometry){.kind = POISE_GEOMETRY_BOX, .size_mm = {1, 1, 1}}, 0.0, "density");
    refused(
        (PoiseGeometry){
            .kind = POISE_GEOMETRY_TUBE, .diameter_mm = 5, .bore_mm = 5, .length_mm = 1},
        1.0, "bore");
    PoiseGeometry nut = {.kind = POISE_GEOMETRY_HEX_NUT,
                         .thread_mm = 7,
                         .pitch_mm = 1,
                         .across_flats_mm = 7,
                         .height_mm = 2};
    refused(nut, 1.0, "wider than the nut");
    nut.thread_mm = 4;
    nut.pitch_mm = 4;
    refused(nut, 1.0, "pitch");
    PoiseGeometry screw = {.kind = POISE_GEOMETRY_MACHINE_SCREW,
                           .thread_mm = 4,
                           .pitch_mm = 0.7,
                           .length_mm = 2.5,
                           .head = POISE_HEAD_COUNTERSUNK,
                           .head_diameter_mm = 8,
                           .head_height_mm = 2.7};
    refused(screw, 1.0, "no longer than its head");
    screw.head_diameter_mm = 3;
    refused(screw, 1.0, "head narrower");
    screw.head_diameter_mm = NAN;
    refused(screw, 1.0, "without thread");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_thread),
        cmocka_unit_test(test_nuts),
        cmocka_unit_test(test_hexagon_inertia),
        cmocka_unit_test(test_pan_screw),
        cmocka_unit_test(test_countersunk_screw),
        cmocka_unit_test(test_frustum),
        cmocka_unit_test(test_tube),
        cmocka_unit_test(test_box),
        cmocka_unit_test(test_wood_screw),
        cmocka_unit_test(test_refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
