/* Library parts at their place, for any way the drawing lies and either hand. */
#include "item_fixture.h"

#include "bodies/doubt.h"

/* 380 g of tuners, centred 6 mm below and 8 mm behind the middle of their post holes. */
static PoisePart tuners(void)
{
    return (PoisePart){.mass_g = {380, 25},
                       .centre_mm = {2, -6, -8},
                       .extent_mm = {150, 60, 45},
                       .shape = POISE_SHAPE_BOX};
}

static PoiseItem placed(const PoisePart *part)
{
    PoiseItem item = item_of(POISE_ITEM_PART);
    item.part = part;
    item.has_at = true;
    item.at_mm[0] = 985;
    item.at_mm[2] = -5;
    return item;
}

static void is_at(const PoiseItemBody *b, double x, double y, double z)
{
    check_near(b->body.centre_mm[0], x, 1e-12);
    check_near(b->body.centre_mm[1], y, 1e-12);
    check_near(b->body.centre_mm[2], z, 1e-12);
}

static void test_right_handed(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoisePart part = tuners();
    PoiseItem item = placed(&part);
    PoiseItemBody b = body_of(&wren, &item);
    is_at(&b, 987, -6, -13);
    check_near(b.body.mass_g, 380, 0);
    check_near(b.mass_u_g, 25, 0);
    check_near(b.doubt.own_u_g, 25, 0);
    for (int i = 0; i < 3; i++)
        check_near(b.doubt.place_u_mm[i], POISE_PLACE_U_MM, 1e-15);
    /* m(h² + d²)/12 */
    check_close(b.body.inertia_gmm2[0][0], 380.0 * (60.0 * 60 + 45.0 * 45) / 12.0, 1e-14);
    check_close(b.body.inertia_gmm2[2][2], 380.0 * (150.0 * 150 + 60.0 * 60) / 12.0, 1e-14);
}

/* "up as worn": on a left-handed instrument drawn the same way, up is −y. */
static void test_left_handed(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    wren.frame.left = true;
    PoisePart part = tuners();
    PoiseItem item = placed(&part);
    PoiseItemBody b = body_of(&wren, &item);
    is_at(&b, 987, 6, -13);
}

/* Drawn standing, head up (+y), face towards −x: y = z × x of the part is (−x) × y = −z. */
static void test_standing_drawing(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    wren.frame = (PoiseFrame){.head = {0, 1, 0}, .face = {-1, 0, 0}};
    PoisePart part = tuners();
    PoiseItem item = placed(&part);
    PoiseItemBody b = body_of(&wren, &item);
    is_at(&b, 985 + 8, 2, -5 + 6);
    check_close(b.body.inertia_gmm2[1][1], 380.0 * (60.0 * 60 + 45.0 * 45) / 12.0, 1e-14);
}

/* "turn" is about the file's axes through the part's origin. */
static void test_turned(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoisePart part = tuners();
    PoiseItem item = placed(&part);
    item.turn_deg[2] = 90;
    PoiseItemBody b = body_of(&wren, &item);
    is_at(&b, 985 + 6, 2, -13);
    wren.frame = (PoiseFrame){.head = {0, 1, 0}, .face = {0, 0, 1}};
    b = body_of(&wren, &item); /* centre (6, 2, −8) in the file's axes, then turned */
    is_at(&b, 985 - 2, 6, -13);
}

/* An elliptic cylinder, semi-axes a and b, has m(a² + b²)/4 about its axis (handbooks, from
 * memory). */
static void test_round_part(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoisePart part = {
        .mass_g = {100, 5}, .extent_mm = {30, 12, 20}, .shape = POISE_SHAPE_CYLINDER, .axis = 1};
    PoiseItem item = placed(&part);
    PoiseItemBody b = body_of(&wren, &item);
    check_close(b.body.inertia_gmm2[1][1], 100.0 * (15.0 * 15 + 10.0 * 10) / 4.0, 1e-14);
    check_near(b.body.inertia_gmm2[0][2], 0.0, 1e-12);
}

/* Computed parts: DIN 562 M4 in steel, 0.676 g (worked from the standard's dimensions); density ± 1
 * %. */
static void test_computed(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial steel = {.density_g_cm3 = {7.85, 0.0785}};
    PoisePart nut = {.mass_g = {NAN, 0},
                     .geometry = {.kind = POISE_GEOMETRY_SQUARE_NUT,
                                  .thread_mm = 4,
                                  .pitch_mm = 0.7,
                                  .across_flats_mm = 7,
                                  .height_mm = 2.2},
                     .material = &steel};
    PoiseItem item = placed(&nut);
    item.count = 100;
    PoiseItemBody b = body_of(&wren, &item);
    check_near(b.body.mass_g, 67.6, 0.05);
    check_near(b.doubt.density_u_g, 0.676, 0.0005);
    assert_true(b.doubt.own_u_g > 0.0);
    check_near(b.mass_u_g, hypot(b.doubt.density_u_g, b.doubt.own_u_g), 1e-15);
}

/* A dowel lies along x unless its axis says otherwise; the thin axis is where its inertia is least.
 */
static void test_axis_of_a_computed_part(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial beech = {.density_g_cm3 = {0.7, 0}};
    PoisePart dowel = {
        .geometry = {.kind = POISE_GEOMETRY_CYLINDER, .diameter_mm = 8, .length_mm = 60},
        .material = &beech};
    PoiseItem item = placed(&dowel);
    for (int axis = 0; axis < 3; axis++) {
        dowel.axis = axis;
        PoiseItemBody b = body_of(&wren, &item);
        double m = b.body.mass_g;
        for (int i = 0; i < 3; i++)
            check_close(b.body.inertia_gmm2[i][i],
                        i == axis ? m * 16 / 2 : m * (3 * 16.0 + 3600) / 12.0, 1e-13);
    }
    /* A box's sizes are along x, y, z as they stand. */
    PoisePart plate = {.geometry = {.kind = POISE_GEOMETRY_BOX, .size_mm = {60, 40, 3}},
                       .material = &beech,
                       .axis = 2};
    item.part = &plate;
    PoiseItemBody b = body_of(&wren, &item);
    check_close(b.body.inertia_gmm2[0][0], b.body.mass_g * (1600.0 + 9.0) / 12.0, 1e-13);
}

static void test_refusals(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial brass = {.density_g_cm3 = {8.5, 0}};
    PoisePart part = {
        .geometry = {.kind = POISE_GEOMETRY_TUBE, .diameter_mm = 4, .bore_mm = 6, .length_mm = 2},
        .material = &brass};
    PoiseItem item = placed(&part);
    refused_at(&wren, &item, POISE_E_INPUT, "/part");
    part.geometry.bore_mm = 2;
    part.material = NULL;
    refused_at(&wren, &item, POISE_E_INPUT, "/part");
    part = (PoisePart){.mass_g = {NAN, 0}};
    refused_at(&wren, &item, POISE_E_INPUT, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_right_handed),
        cmocka_unit_test(test_left_handed),
        cmocka_unit_test(test_standing_drawing),
        cmocka_unit_test(test_turned),
        cmocka_unit_test(test_round_part),
        cmocka_unit_test(test_computed),
        cmocka_unit_test(test_axis_of_a_computed_part),
        cmocka_unit_test(test_refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
