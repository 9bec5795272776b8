/* What every item goes through: turn, place, count, a weighed mass; and the whole for any drawing.
 */
#include "item_fixture.h"

#include "base/memory.h"
#include "base/vec.h"
#include "bodies/doubt.h"
#include "bodies/ledger.h"

static PoiseItem box_item(double mass, double x, double y, double z)
{
    PoiseItem item = item_of(POISE_ITEM_MASS);
    item.as.mass = (PoiseMass){
        .mass_g = {mass, 0.02 * mass}, .shape = POISE_SHAPE_BOX, .size_mm = {120, 40, 10}};
    item.has_at = true;
    item.at_mm[0] = x;
    item.at_mm[1] = y;
    item.at_mm[2] = z;
    return item;
}

/* RFC 6901, section 3: "/" in a key is written ~1 and "~" is written ~0. */
static void test_pointer(void **state)
{
    (void)state;
    PoiseItem item = item_of(POISE_ITEM_MASS);
    char *pointer = poise_item_pointer(&item, "/mesh");
    assert_string_equal(pointer, "/items/a~1b~0c/mesh");
    poise_release(pointer);
}

static void test_shapes(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseItem item = box_item(300, 1, 2, 3);
    PoiseItemBody b = body_of(&wren, &item);
    /* m(h² + d²)/12 */
    check_close(b.body.inertia_gmm2[1][1], 300.0 * (120.0 * 120 + 10.0 * 10) / 12.0, 1e-14);
    item.as.mass.shape = POISE_SHAPE_CYLINDER;
    item.as.mass.size_mm[0] = 20; /* diameter */
    item.as.mass.size_mm[1] = 50; /* length */
    item.as.mass.axis = 2;
    b = body_of(&wren, &item);
    /* axial Ma²/2; transverse Ma²/4 + MH²/12 */
    check_close(b.body.inertia_gmm2[2][2], 300.0 * 100 / 2.0, 1e-14);
    check_close(b.body.inertia_gmm2[0][0], 300.0 * (100 / 4.0 + 2500 / 12.0), 1e-14);
    item.as.mass.shape = POISE_SHAPE_POINT;
    b = body_of(&wren, &item);
    check_near(b.body.inertia_gmm2[0][0], 0.0, 0.0);
    check_near(b.body.centre_mm[1], 2.0, 0.0);
    assert_false(b.has_volumes);
}

/* About x first, then y, then z, by hand: 90° each takes the long side x → x → −z → −z. */
static void test_turn(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseItem item = box_item(300, 10, 20, 30);
    for (int i = 0; i < 3; i++)
        item.turn_deg[i] = 90;
    PoiseItemBody b = body_of(&wren, &item);
    double along_120 = 300.0 * (40.0 * 40 + 10.0 * 10) / 12.0;
    double along_40 = 300.0 * (120.0 * 120 + 10.0 * 10) / 12.0;
    check_close(b.body.inertia_gmm2[2][2], along_120, 1e-13);
    /* y → z → x → y */
    check_close(b.body.inertia_gmm2[1][1], along_40, 1e-13);
    check_near(b.body.centre_mm[0], 10, 1e-12);
    check_near(b.body.centre_mm[2], 30, 1e-12);
    double r[3], x[3] = {1, 0, 0};
    poise_rotate(b.turn, x, r);
    check_near(r[2], -1.0, 1e-15);
    check_near(b.shift_mm[1], 20, 0);

    /* 45° about z: the tensor of a thin plate by Mohr's circle, product ∓(Ix − Iy)/2. */
    item.turn_deg[0] = item.turn_deg[1] = 0;
    item.turn_deg[2] = 45;
    b = body_of(&wren, &item);
    check_close(b.body.inertia_gmm2[0][0], (along_120 + along_40) / 2.0, 1e-13);
    check_close(b.body.inertia_gmm2[0][1], (along_120 - along_40) / 2.0, 1e-13);
}

/* An uneven doubt of place turns with the item. */
static void test_turned_place_doubt(void **state)
{
    (void)state;
    PoiseItemDoubt doubt = {.place_u_mm = {3, 4, 0}};
    double r[3][3];
    poise_rotation_xyz((const double[3]){0, 0, 90}, r);
    poise_doubt_turn(&doubt, r);
    check_near(doubt.place_u_mm[0], 4, 1e-15);
    check_near(doubt.place_u_mm[1], 3, 1e-15);
    poise_rotation_xyz((const double[3]){0, 0, 45}, r);
    poise_doubt_turn(&doubt, r);
    check_near(doubt.place_u_mm[0], 5 / sqrt(2.0), 1e-14);
}

static void test_count(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseItem one = box_item(0.7, 455, 80, -20), three = one;
    three.count = 3;
    PoiseItemBody a = body_of(&wren, &one), b = body_of(&wren, &three);
    check_close(b.body.mass_g, 2.1, 1e-15);
    /* A scale that is 2 % off is 2 % off for all three: 3u, not √3u (JCGM 100, 5.2.2). */
    check_close(b.mass_u_g, 3 * a.mass_u_g, 1e-15);
    check_close(b.body.inertia_gmm2[1][1], 3 * a.body.inertia_gmm2[1][1], 1e-14);
    check_near(b.body.centre_mm[0], 455, 0);
    check_near(b.doubt.place_u_mm[0], a.doubt.place_u_mm[0], 0);
}

/* A weighed mass is that of all pieces; its doubt is the balance's alone; the estimate is kept. */
static void test_measured(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseItem item = box_item(400, 10, 20, 30);
    item.count = 2;
    PoiseItemBody guess = body_of(&wren, &item);
    item.has_measured = true;
    item.measured_g = (PoiseQuantity){742, 1};
    PoiseItemBody b = body_of(&wren, &item);
    check_near(b.body.mass_g, 742, 0);
    check_near(b.mass_u_g, 1, 0);
    check_near(b.doubt.own_u_g, 1, 0);
    check_near(b.predicted_g, 800, 1e-12);
    check_near(b.predicted_u_g, 16, 1e-12);
    check_near(guess.predicted_g, 800, 1e-12);
    for (int i = 0; i < 3; i++) {
        check_near(b.body.centre_mm[i], guess.body.centre_mm[i], 0);
        check_near(b.doubt.place_u_mm[i], guess.doubt.place_u_mm[i], 0);
        check_close(b.body.inertia_gmm2[i][i], guess.body.inertia_gmm2[i][i] * 742 / 800, 1e-14);
    }
}

/* Weighing the thing makes its material's density irrelevant. */
static void test_measured_density(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial resin = {.density_g_cm3 = {1.2, 0.12}, .pour_limit_mm = NAN};
    PoiseItem item = item_of(POISE_ITEM_POURED);
    item.as.poured = (PoisePoured){.volume_ml = {100, 0}, .depth_mm = NAN, .material = &resin};
    /* 10 % of 120 g by its density, and 1 % by how full it is poured. */
    check_near(body_of(&wren, &item).mass_u_g, hypot(12, 1.2), 1e-12);
    item.has_measured = true;
    item.measured_g = (PoiseQuantity){131, 0.5};
    PoiseItemBody b = body_of(&wren, &item);
    check_near(b.mass_u_g, 0.5, 0);
    check_near(b.doubt.density_u_g, 0, 0);
    check_near(b.predicted_u_g, hypot(12, 1.2), 1e-12);
}

/* Strings stand where "scale" puts them, and turn about the nut; with "at" the nut goes there. By
 * hand: their middle is halfway between the ends, 372 mm from the nut. */
static void test_placed_by_scale(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    wren.has_scale = true;
    wren.nut_mm[0] = 872;
    wren.saddle_mm[0] = 110;
    PoiseMaterial wire = {.density_g_cm3 = {7.85, 0}};
    PoiseString string = {.gauge_mm = {1, 0}, .unit_mass_g_per_m = 6};
    PoiseItem item = item_of(POISE_ITEM_STRINGS);
    item.as.strings = (PoiseStrings){.count = 1,
                                     .strings = &string,
                                     .material = &wire,
                                     .beyond_nut_mm = 58,
                                     .beyond_saddle_mm = 40};
    PoiseItemBody b = body_of(&wren, &item);
    check_close(b.body.mass_g, 6 * 0.860, 1e-12);
    check_near(b.body.centre_mm[0], 872 - 372, 1e-10);
    check_near(b.body.centre_mm[1], 0, 1e-10);
    item.turn_deg[2] = 90;
    b = body_of(&wren, &item);
    check_near(b.body.centre_mm[0], 872, 1e-10);
    check_near(b.body.centre_mm[1], -372, 1e-10);
    item.has_at = true;
    item.at_mm[0] = 900;
    item.at_mm[2] = 5;
    b = body_of(&wren, &item);
    check_near(b.body.centre_mm[0], 900, 1e-10);
    check_near(b.body.centre_mm[1], -372, 1e-10);
    check_near(b.body.centre_mm[2], 5, 1e-10);
}

/* A place for ballast weighs what the file says: nothing yet. */
static void test_ballast_place(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseItem item = item_of(POISE_ITEM_MASS);
    item.as.mass = (PoiseMass){.ballast = true, .ballast_max_g = 400};
    item.has_at = true;
    item.at_mm[0] = 40;
    PoiseItemBody b = body_of(&wren, &item);
    check_near(b.body.mass_g, 0, 0);
    check_near(b.body.centre_mm[0], 40, 0);
}

static void test_refusals(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseItem item = box_item(-3, 0, 0, 0);
    refused_at(&wren, &item, POISE_E_INPUT, "");
    item = box_item(3, 0, INFINITY, 0);
    refused_at(&wren, &item, POISE_E_INPUT, "");
    /* Allocation failing on the way to saying so is still a status, not a crash. */
    PoiseItemBody out;
    poise_alloc_fail_at(0, 1);
    PoiseStatus status = poise_item_body(&wren, &item, NULL, &out, NULL);
    poise_alloc_fail_at(-1, 0);
    assert_int_equal(status, POISE_E_MEMORY);
}

/* The same small instrument in any drawing. */
static PoisePart bridge(void)
{
    return (PoisePart){.mass_g = {290, 15},
                       .centre_mm = {3, -4, 7},
                       .extent_mm = {60, 90, 20},
                       .shape = POISE_SHAPE_BOX};
}

static PoiseLedger whole(const PoiseFrame *frame, double turn_deg[3], const double shift[3],
                         bool mirrored)
{
    PoiseInstrument wren = drawn_along_x();
    wren.frame = *frame;
    PoisePart part = bridge();
    PoiseMaterial resin = {.density_g_cm3 = {1.18, 0.02}, .pour_limit_mm = NAN};
    PoiseItem items[4] = {box_item(1200, 100, 5, -22), box_item(650, 700, 12, -8),
                          item_of(POISE_ITEM_PART), item_of(POISE_ITEM_POURED)};
    items[2].part = &part;
    items[2].at_mm[0] = 110;
    items[2].at_mm[1] = -3;
    items[3].as.poured = (PoisePoured){.volume_ml = {160, 4}, .depth_mm = NAN, .material = &resin};
    items[3].at_mm[0] = 220;
    items[3].at_mm[1] = 31;
    double rotation[3][3];
    poise_rotation_xyz(turn_deg, rotation);
    PoiseItemBody bodies[4];
    PoiseLedgerEntry entries[4] = {{0}};
    for (int k = 0; k < 4; k++) {
        PoiseItem *item = &items[k];
        item->has_at = true;
        if (mirrored)
            item->at_mm[1] = -item->at_mm[1];
        poise_rotate(rotation, item->at_mm, item->at_mm);
        for (int i = 0; i < 3; i++) {
            item->at_mm[i] += shift[i];
            /* A part follows the frame by itself. */
            item->turn_deg[i] = k == 2 ? 0.0 : turn_deg[i];
        }
        bodies[k] = body_of(&wren, item);
        entries[k].body = &bodies[k];
    }
    entries[3].material = &resin;
    PoiseLedger out;
    assert_int_equal(poise_ledger(entries, 4, &out), POISE_OK);
    return out;
}

static const PoiseFrame ALONG_X = {.head = {1, 0, 0}, .face = {0, 0, 1}};

static void test_translation(void **state)
{
    (void)state;
    double none[3] = {0};
    const double shift[3] = {-4000, 2500, 9000};
    PoiseLedger a = whole(&ALONG_X, none, none, false), b = whole(&ALONG_X, none, shift, false);
    check_near(b.mass_u_g, a.mass_u_g, 0);
    for (int i = 0; i < 3; i++) {
        check_near(b.total.centre_mm[i] - shift[i], a.total.centre_mm[i], 1e-9);
        check_near(b.centre_u_mm[i], a.centre_u_mm[i], 1e-11);
        check_close(b.total.inertia_gmm2[i][i], a.total.inertia_gmm2[i][i], 1e-10);
    }
}

static void test_rotation(void **state)
{
    (void)state;
    double none[3] = {0}, turn[3] = {25, -140, 71}, r[3][3];
    const double shift[3] = {12, -7, 300};
    poise_rotation_xyz(turn, r);
    PoiseFrame frame;
    frame.left = false;
    poise_rotate(r, ALONG_X.head, frame.head);
    poise_rotate(r, ALONG_X.face, frame.face);
    PoiseLedger a = whole(&ALONG_X, none, none, false), b = whole(&frame, turn, shift, false);
    PoiseBody expected = poise_body_move(&a.total, r, shift);
    check_close(b.total.mass_g, a.total.mass_g, 1e-15);
    for (int i = 0; i < 3; i++) {
        check_near(b.total.centre_mm[i], expected.centre_mm[i], 1e-10);
        for (int j = 0; j < 3; j++)
            check_near(b.total.inertia_gmm2[i][j], expected.inertia_gmm2[i][j],
                       1e-12 * a.total.inertia_gmm2[2][2]);
    }
    const double up[3] = {0, 1, 0};
    double u[3] = {0, 1, 0};
    poise_rotate(r, u, u);
    check_close(poise_ledger_station_u(&b, frame.head), poise_ledger_station_u(&a, ALONG_X.head),
                1e-12);
    check_close(poise_ledger_station_u(&b, u), poise_ledger_station_u(&a, up), 1e-12);
}

/* The left-handed twin is the mirror image. */
static void test_mirror(void **state)
{
    (void)state;
    double none[3] = {0};
    PoiseFrame left = ALONG_X;
    left.left = true;
    PoiseLedger a = whole(&ALONG_X, none, none, false), b = whole(&left, none, none, true);
    for (int i = 0; i < 3; i++) {
        check_near(b.total.centre_mm[i], i == 1 ? -a.total.centre_mm[i] : a.total.centre_mm[i],
                   1e-12);
        check_near(b.centre_u_mm[i], a.centre_u_mm[i], 1e-13);
        for (int j = 0; j < 3; j++) {
            double sign = (i == 1) != (j == 1) ? -1.0 : 1.0;
            check_near(b.total.inertia_gmm2[i][j], sign * a.total.inertia_gmm2[i][j],
                       1e-13 * a.total.inertia_gmm2[2][2]);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pointer),
        cmocka_unit_test(test_shapes),
        cmocka_unit_test(test_turn),
        cmocka_unit_test(test_turned_place_doubt),
        cmocka_unit_test(test_count),
        cmocka_unit_test(test_measured),
        cmocka_unit_test(test_measured_density),
        cmocka_unit_test(test_ballast_place),
        cmocka_unit_test(test_placed_by_scale),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_translation),
        cmocka_unit_test(test_rotation),
        cmocka_unit_test(test_mirror),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
