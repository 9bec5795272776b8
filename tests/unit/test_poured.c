/* Poured layers: what stays on the instrument, what to weigh out, how often to pour. */
#include "item_fixture.h"

#include "bodies/doubt.h"

/* A cured laminating epoxy, 1.18 g/cm³ (a manufacturer's data sheet, read in a transcription). The
 * liquid densities are of the usual size, 1.15 and 0.97 (common practice, no source). */
static PoiseMaterial epoxy(void)
{
    return (PoiseMaterial){.family = POISE_MATERIAL_RESIN,
                           .density_g_cm3 = {1.18, 0.0118},
                           .pour_limit_mm = 6,
                           .part_a_g_cm3 = 1.15,
                           .part_b_g_cm3 = 0.97,
                           .shrinkage = 0.03};
}

static PoiseItem volume_of(const PoiseMaterial *material, double ml, double depth_mm)
{
    PoiseItem item = item_of(POISE_ITEM_POURED);
    item.as.poured = (PoisePoured){
        .volume_ml = {ml, 0}, .depth_mm = depth_mm, .material = material, .up = {0, 0, 1}};
    return item;
}

static void mix(PoiseItem *item, double a, double b, bool by_mass, double waste, double pigment)
{
    item->as.poured.has_mix = true;
    item->as.poured.ratio_a = a;
    item->as.poured.ratio_b = b;
    item->as.poured.ratio_by_mass = by_mass;
    item->as.poured.waste = waste;
    item->as.poured.pigment = pigment;
}

static void test_volume(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = epoxy();
    PoiseItem item = volume_of(&resin, 160, NAN);
    item.as.poured.volume_ml.u = 4;
    item.has_at = true;
    item.at_mm[0] = 220;
    PoiseItemBody b = body_of(&wren, &item);
    check_close(b.body.mass_g, 188.8, 1e-14);
    check_close(b.doubt.density_u_g, 1.888, 1e-14); /* 1 % */
    check_close(b.doubt.own_u_g, 4.72, 1e-14);      /* 4 mL */
    check_close(b.mass_u_g, sqrt(1.888 * 1.888 + 4.72 * 4.72), 1e-14);
    check_near(b.doubt.place_u_mm[0], POISE_PLACE_U_MM, 0);
    check_near(b.body.centre_mm[0], 220, 0);
    check_near(b.solid_mm3, 160000, 1e-9);
    assert_true(b.has_volumes && isnan(b.infill_mm3));
    assert_true(b.has_pour && isnan(b.pour.depth_mm) && isnan(b.pour.tilt_error_mm));
    assert_int_equal(b.pour.pours, 0);
    assert_false(b.pour.has_cups);
}

/* A volume without ± is one as drawn: the pour's own filling is in doubt. */
static void test_volume_without_doubt(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = epoxy();
    PoiseItem item = volume_of(&resin, 100, NAN);
    check_close(body_of(&wren, &item).doubt.own_u_g, 1.18, 1e-12);
}

/* By hand: 100 mL weigh 118 g; with 8 % left in the cup 127.44 g; 2:1 by mass 84.96 + 42.48 g.
 * Shrinkage adds nothing: curing takes volume away, not mass. */
static void test_cups_by_mass(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = epoxy();
    PoiseItem item = volume_of(&resin, 100, NAN);
    mix(&item, 2, 1, true, 0.08, 0);
    PoiseItemBody b = body_of(&wren, &item);
    assert_true(b.pour.has_cups);
    check_close(b.pour.cup_a_g, 84.96, 1e-14);
    check_close(b.pour.cup_b_g, 42.48, 1e-14);
    check_near(b.pour.pigment_g, 0, 0);
    /* The waste stays in the cup, not on the instrument. */
    check_close(b.body.mass_g, 118.0, 1e-14);

    /* 5 % pigment of the mixture: 6.372 g; the rest two to one. */
    mix(&item, 2, 1, true, 0.08, 0.05);
    b = body_of(&wren, &item);
    check_close(b.pour.pigment_g, 6.372, 1e-14);
    check_close(b.pour.cup_a_g + b.pour.cup_b_g + b.pour.pigment_g, 127.44, 1e-14);
    check_close(b.pour.cup_a_g, 2 * b.pour.cup_b_g, 1e-14);

    /* Two of the same: twice the cups. */
    item.count = 2;
    check_close(body_of(&wren, &item).pour.pigment_g, 2 * 6.372, 1e-14);
}

/* 1:1 by volume is not 1:1 by mass: the cups hold equal volumes, so 1.15 to 0.97 by mass. */
static void test_cups_by_volume(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = epoxy();
    PoiseItem item = volume_of(&resin, 100, NAN);
    mix(&item, 1, 1, false, 0, 0);
    PoiseItemBody b = body_of(&wren, &item);
    check_close(b.pour.cup_a_g / 1.15, b.pour.cup_b_g / 0.97, 1e-14);
    check_close(b.pour.cup_a_g + b.pour.cup_b_g, 118.0, 1e-14);
    assert_true(b.pour.cup_a_g - b.pour.cup_b_g > 10.0);

    /* 3:1 by volume. */
    mix(&item, 3, 1, false, 0, 0);
    b = body_of(&wren, &item);
    check_close(b.pour.cup_a_g / 1.15, 3 * b.pour.cup_b_g / 0.97, 1e-14);

    resin.part_b_g_cm3 = NAN;
    b = body_of(&wren, &item);
    assert_false(b.pour.has_cups);
    assert_non_null(strstr(b.warning, "by volume"));
}

static int pours(double depth, double limit)
{
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = epoxy();
    resin.pour_limit_mm = limit;
    PoiseItem item = volume_of(&resin, 100, depth);
    return body_of(&wren, &item).pour.pours;
}

static void test_pours(void **state)
{
    (void)state;
    assert_int_equal(pours(3, 6), 1);
    assert_int_equal(pours(6, 6), 1);
    assert_int_equal(pours(6.5, 6), 2);
    assert_int_equal(pours(12, 6), 2);
    assert_int_equal(pours(12.0000005, 6), 2); /* a single-precision mesh of 12 mm */
    assert_int_equal(pours(12.1, 6), 3);
    assert_int_equal(pours(0.004, 6), 1);
    assert_int_equal(pours(12, NAN), 0);
    assert_int_equal(pours(NAN, 6), 0);
}

static PoiseItem mesh_of(const PoiseMaterial *material, char path[512])
{
    Soup soup = {0};
    soup_box(&soup, (const double[3]){100, -50, -12}, (const double[3]){300, 50, 0});
    write_stl(&soup, "pour-box.stl", path);
    soup_free(&soup);
    PoiseItem item = item_of(POISE_ITEM_POURED);
    item.as.poured =
        (PoisePoured){.mesh = path, .depth_mm = NAN, .material = material, .up = {0, 0, 2}};
    return item;
}

/* 200 × 100 × 12 mm of it: 283.2 g. */
static void test_mesh(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = epoxy();
    char path[512];
    PoiseItem item = mesh_of(&resin, path);
    PoiseItemBody b = body_of(&wren, &item);
    check_close(b.body.mass_g, 283.2, 1e-12);
    check_near(b.body.centre_mm[0], 200, 1e-10);
    check_near(b.body.centre_mm[2], -6, 1e-10);
    check_close(b.solid_mm3, 240000.0, 1e-12);
    check_close(b.doubt.own_u_g, 2.832, 1e-12); /* filled to 1 % of what is drawn */
    check_near(b.pour.depth_mm, 12, 1e-12);
    assert_int_equal(b.pour.pours, 2);
    for (int i = 0; i < 3; i++)
        check_near(b.doubt.place_u_mm[i], 0, 0);
    /* Stood on its edge it is 100 mm deep. */
    item.as.poured.up[1] = -1;
    item.as.poured.up[2] = 0;
    b = body_of(&wren, &item);
    check_near(b.pour.depth_mm, 100, 1e-12);
    assert_int_equal(b.pour.pours, 17);
}

/* Half a degree out of level over the pocket's diagonal. The centre: a trapezium of depths a and b
 * over L has its centroid L(b − a)/(6(a + b)) from the middle (handbooks, from memory); which way
 * it leans is open, so each axis takes 1/√2 of that. */
static void test_tilt(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = epoxy();
    char path[512];
    PoiseItem item = mesh_of(&resin, path);
    item.as.poured.tilt_deg = 0.5;
    PoiseItemBody b = body_of(&wren, &item);
    double slope = 0.0087268677907587893;
    /* Low by at most 0.12 %, never high. */
    double diagonal = hypot(200, 100) * slope;
    assert_true(b.pour.tilt_error_mm <= diagonal * (1 + 1e-12));
    check_close(b.pour.tilt_error_mm, diagonal, 0.0012);
    const double side[2] = {200, 100};
    for (int i = 0; i < 2; i++) {
        double rise = side[i] * slope;
        check_close(b.doubt.place_u_mm[i], side[i] * rise / (6 * 24) / sqrt(2), 1e-10);
    }
    check_near(b.doubt.place_u_mm[2], 0, 1e-10);
    /* Turned in the file, the doubt turns with it. */
    item.turn_deg[2] = 90;
    PoiseItemBody turned = body_of(&wren, &item);
    check_close(turned.doubt.place_u_mm[1], b.doubt.place_u_mm[0], 1e-12);
}

/* Level liquid over a covered rectangular floor out of level by t: at the low corner it stands by
 * half the diagonal, 111.80 mm, times tan t deeper than its mean (by hand). The 12 mm of a 6 mm
 * resin: 0.5° is 0.98 mm, so that two pours of 6 stand 6.98 mm deep and three of 4 stand 4.98 mm;
 * 1.5° is 2.93 mm: three of 4 stand 6.93 mm, four of 3 stand 5.93 mm; 2° is 3.90 mm: it takes six
 * of 2 to keep to the limit, and they leave the high side dry. */
static void test_pours_out_of_level(void **state)
{
    (void)state;
    static const struct {
        double tilt_deg, rise_mm;
        int pours;
        bool too_steep, over_rim;
    } cases[] = {{0, 0, 2, false, false},
                 {0.5, 0.97569, 3, false, false},
                 {1.5, 2.92769, 4, false, true},
                 {2, 3.90427, 0, true, true},
                 {4, 7.81806, 0, true, true}};
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = epoxy();
    char path[512];
    PoiseItem item = mesh_of(&resin, path);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        item.as.poured.tilt_deg = cases[i].tilt_deg;
        PoisePourFacts p = body_of(&wren, &item).pour;
        check_near(p.low_rise_mm, cases[i].rise_mm, 1e-4);
        assert_int_equal(p.pours, cases[i].pours);
        assert_int_equal(p.level_pours, 2);
        assert_int_equal(p.too_steep, cases[i].too_steep);
        assert_int_equal(p.over_rim, cases[i].over_rim);
        assert_false(p.floor_dry || p.rise_at_least);
        check_near(p.tilt_deg, cases[i].tilt_deg, 0);
    }
    /* A resin that allows 30 mm takes it in one pour; at 7° (13.73 mm) the high side stays dry. */
    resin.pour_limit_mm = 30;
    item.as.poured.tilt_deg = 7;
    PoisePourFacts p = body_of(&wren, &item).pour;
    assert_int_equal(p.pours, 1);
    assert_true(p.floor_dry && p.over_rim && !p.too_steep);
    /* Where the limit is not known, nothing is said of the pours. */
    resin.pour_limit_mm = NAN;
    p = body_of(&wren, &item).pour;
    assert_int_equal(p.pours, 0);
    assert_true(p.floor_dry && !p.too_steep);
}

/* Without a mesh the floor's area is known, and a round floor has the nearest edge: 100 mL, 5.5 mm
 * deep, make 18182 mm², a radius of 76.07 mm, and 1.33 mm at 1° (by hand): one pour of 5.5 would
 * stand 6.8 mm deep. */
static void test_volume_out_of_level(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = epoxy();
    PoiseItem item = volume_of(&resin, 100, 5.5);
    PoisePourFacts p = body_of(&wren, &item).pour;
    check_near(p.low_rise_mm, 0, 0);
    assert_true(p.pours == 1 && !p.rise_at_least);
    item.as.poured.tilt_deg = 1;
    p = body_of(&wren, &item).pour;
    check_near(p.low_rise_mm, 1.3279, 1e-4);
    assert_true(p.rise_at_least && p.over_rim && isnan(p.tilt_error_mm));
    assert_true(p.level_pours == 1 && p.pours == 2);
    item.as.poured.depth_mm = NAN;
    p = body_of(&wren, &item).pour;
    assert_true(isnan(p.low_rise_mm) && p.pours == 0 && !p.over_rim && !p.too_steep);
}

static void test_refusals(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = epoxy();
    PoiseItem item = volume_of(&resin, 100, NAN);
    mix(&item, 2, 0, true, 0, 0);
    refused_at(&wren, &item, POISE_E_INPUT, "/mix/ratio");
    mix(&item, 2, 1, true, 0, 1);
    refused_at(&wren, &item, POISE_E_INPUT, "/mix/pigment");
    char path[512];
    item = mesh_of(&resin, path);
    item.as.poured.tilt_deg = 90;
    refused_at(&wren, &item, POISE_E_INPUT, "/tilt");
    item.as.poured.tilt_deg = 0;
    item.as.poured.up[2] = 0;
    refused_at(&wren, &item, POISE_E_INPUT, "/up");
    item.as.poured.up[2] = 1;
    snprintf(path, sizeof path, "%s/no-such-mesh.stl", POISE_TEST_BINARY_DIR);
    refused_at(&wren, &item, POISE_E_IO, "/mesh");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_volume_without_doubt),
        cmocka_unit_test(test_volume),
        cmocka_unit_test(test_cups_by_mass),
        cmocka_unit_test(test_cups_by_volume),
        cmocka_unit_test(test_pours),
        cmocka_unit_test(test_mesh),
        cmocka_unit_test(test_tilt),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_pours_out_of_level),
        cmocka_unit_test(test_volume_out_of_level),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
