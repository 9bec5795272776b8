/* The neck as an item: what it adds up to, where it lies, what is doubted, weighing and refusals.
 */
#include "check.h"

#include "bodies/doubt.h"
#include "bodies/item_body.h"
#include "bodies/neck.h"
#include "typical_neck.h"

/* An instrument with one neck: 648 mm, sugar maple and Indian rosewood at 12 % moisture by the Wood
 * Handbook's figures (FPL-GTR-282, Tables 5-3b and 5-5b, eqs. 4-11 and 4-12): 0.7056 and 0.9537
 * g/cm³. */
typedef struct Bench {
    PoiseMaterial maple, rosewood;
    PoiseItem item;
    PoiseInstrument instrument;
    PoiseItemBody body;
    bool placed;
    PoiseFaults *faults;
} Bench;

static void set_up(Bench *bench)
{
    *bench = (Bench){.maple = {.density_g_cm3 = {0.7056, 0.05}},
                     .rosewood = {.density_g_cm3 = {0.9537, 0.08}}};
    bench->item = (PoiseItem){
        .id = (char *)"neck", .kind = POISE_ITEM_NECK, .line = 12, .column = 5, .count = 1};
    bench->item.as.neck = (PoiseNeck){.shaft = &bench->maple,
                                      .board = &bench->rosewood,
                                      .frets = 22,
                                      .nut_width_mm = {42.5, 0},
                                      .heel_width_mm = {56, 0},
                                      .first_mm = {21, 0.5},
                                      .twelfth_mm = {23, 0.5},
                                      .board_mm = 6,
                                      .length_mm = NAN,
                                      .heel_length_mm = 76,
                                      .heel_mm = 25,
                                      .headstock_length_mm = 180,
                                      .headstock_width_mm = 60,
                                      .headstock_mm = 14.5,
                                      .headstock_drop_mm = 8,
                                      .truss_rod_g = {110, 15},
                                      .fret_wire_g_per_m = {27, 3},
                                      .balance_from_nut_mm = NAN};
    bench->instrument = (PoiseInstrument){.file = (char *)"wren.json",
                                          .frame = {.head = {1, 0, 0}, .face = {0, 0, 1}},
                                          .has_scale = true,
                                          .nut_mm = {748, 5, 12},
                                          .saddle_mm = {100, 5, 12},
                                          .item_count = 1,
                                          .items = &bench->item};
    bench->faults = poise_faults_new();
    assert_non_null(bench->faults);
}

static PoiseStatus run(Bench *bench)
{
    bench->body = (PoiseItemBody){0};
    bench->placed = false;
    return poise_neck_body(&bench->instrument, &bench->item, NULL, &bench->body, &bench->placed,
                           bench->faults);
}

static void typical_neck_weighs_what_necks_weigh(void **state)
{
    (void)state;
    Bench bench;
    set_up(&bench);
    assert_int_equal(run(&bench), POISE_OK);
    const PoiseBody *body = &bench.body.body;
    /* Common practice, no source: 0.55 to 0.75 kg without tuners. */
    assert_true(body->mass_g > 550 && body->mass_g < 750);
    /* Common practice, no source: it balances between the 3rd and the 9th fret. */
    double from_nut = 748 - body->centre_mm[0];
    assert_true(from_nut > poise_fret_station_mm(648, 3) &&
                from_nut < poise_fret_station_mm(648, 9));
    assert_true(bench.placed);
    check_near(body->centre_mm[1], 5.0, 1e-12);
    assert_true(body->centre_mm[2] < 12 && body->centre_mm[2] > 12 - 21);
    /* Symmetric about its axis: no products with y. */
    check_near(body->inertia_gmm2[0][1], 0.0, 1e-9 * body->inertia_gmm2[1][1]);
    check_near(body->inertia_gmm2[1][2], 0.0, 1e-9 * body->inertia_gmm2[1][1]);
    assert_true(bench.body.has_volumes && isnan(bench.body.infill_mm3));
    check_near(bench.body.mass_u_g, poise_doubt_mass_u_g(&bench.body.doubt), 1e-12);
    poise_faults_free(bench.faults);
}

static void parts_add_up(void **state)
{
    (void)state;
    /* Woods by volume × density, wire by Σ width, rod by its mass less the wood it displaces. */
    Bench bench;
    set_up(&bench);
    bench.item.as.neck.length_mm = 475;
    PoiseNeckShape shape = typical_shape();
    PoiseMoments shaft, board;
    poise_neck_wood(&shape, 7, &shaft, &board);
    double wire_g = 0, wire_along = 0;
    for (int fret = 1; fret <= 22; fret++) {
        double at = 648 * (1 - pow(2, -fret / 12.0));
        double g = 27 * (42.5 + (56 - 42.5) * at / 475) / 1000;
        wire_g += g;
        wire_along -= g * at;
    }
    double rod_mm3 = 110 / 7.85 * 1000, rod_g = 110 - rod_mm3 * 0.7056e-3;
    double want = shaft.volume_mm3 * 0.7056e-3 + board.volume_mm3 * 0.9537e-3 + rod_g + wire_g;
    double along = shaft.first_mm4[0] * 0.7056e-3 + board.first_mm4[0] * 0.9537e-3 -
                   rod_g * POISE_NECK_ROD_SHARE * 475 / 2 + wire_along;
    double out = shaft.first_mm4[2] * 0.7056e-3 + board.first_mm4[2] * 0.9537e-3 -
                 rod_g * (6 + POISE_NECK_ROD_DEPTH_MM);
    assert_int_equal(run(&bench), POISE_OK);
    const PoiseBody *body = &bench.body.body;
    check_close(body->mass_g, want, 1e-12);
    check_near(body->centre_mm[0] - 748, along / want, 1e-9);
    check_near(body->centre_mm[2] - 12, out / want, 1e-9);
    check_close(bench.body.solid_mm3, shaft.volume_mm3 + board.volume_mm3 - rod_mm3, 1e-12);
    /* The shaft's density is shared with other items of that wood; its part of the doubt is the
     * wood's mass at the density's own uncertainty. */
    check_close(bench.body.doubt.density_u_g, (shaft.volume_mm3 - rod_mm3) * 0.05e-3, 1e-9);
    poise_faults_free(bench.faults);
}

static void a_neck_through_has_no_heel_block(void **state)
{
    (void)state;
    /* Without a heel the shaft's section runs to the end: no board thicker than the neck, no block.
     */
    Bench bench;
    set_up(&bench);
    bench.item.as.neck.heel_length_mm = 0;
    bench.item.as.neck.heel_mm = 0;
    bench.item.as.neck.length_mm = 475;
    PoiseNeckShape shape = typical_shape();
    shape.heel_length_mm = 0;
    PoiseMoments shaft, board;
    poise_neck_wood(&shape, 1, &shaft, &board);
    assert_int_equal(run(&bench), POISE_OK);
    check_close(bench.body.solid_mm3, shaft.volume_mm3 + board.volume_mm3 - 110 / 7.85e-3, 1e-12);
    poise_faults_free(bench.faults);
}

static void own_doubt_is_the_root_of_its_squares(void **state)
{
    (void)state;
    /* Only the rod is doubtful beside the fixed assumptions: raising its ± from 0 to 15 g adds
     * (15 (1 − ρ/7.85))² to the square. */
    Bench bench;
    set_up(&bench);
    bench.item.as.neck.truss_rod_g.u = 0;
    assert_int_equal(run(&bench), POISE_OK);
    double without = bench.body.doubt.own_u_g;
    assert_true(without > 0);
    bench.item.as.neck.truss_rod_g.u = 15;
    assert_int_equal(run(&bench), POISE_OK);
    check_close(bench.body.doubt.own_u_g, hypot(without, 15 * (1 - 0.7056 / 7.85)), 1e-9);
    poise_faults_free(bench.faults);
}

static void the_unknown_section_and_headstock_are_doubted(void **state)
{
    (void)state;
    /* Nothing doubtful but the fixed assumptions: a tenth of the headstock's cuboid, and the shaft
     * between a half ellipse and an exponent of 3 as a rectangular distribution (half-width/√3,
     * JCGM 100, 4.3.7). */
    Bench bench;
    set_up(&bench);
    PoiseNeck *neck = &bench.item.as.neck;
    neck->length_mm = 475;
    neck->board = &bench.maple;
    neck->first_mm.u = neck->twelfth_mm.u = neck->truss_rod_g.u = neck->fret_wire_g_per_m.u = 0;
    assert_int_equal(run(&bench), POISE_OK);
    PoiseNeckShape lean = typical_shape(), full = lean;
    lean.exponent = 2;
    full.exponent = 3;
    PoiseMoments lean_shaft, full_shaft, board;
    poise_neck_wood(&lean, 1, &lean_shaft, &board);
    poise_neck_wood(&full, 1, &full_shaft, &board);
    double section_u = (full_shaft.volume_mm3 - lean_shaft.volume_mm3) * 0.7056e-3 / 2 / sqrt(3);
    double headstock_u = 0.1 * 180 * 60 * 14.5 * 0.7056e-3;
    check_close(bench.body.doubt.own_u_g, hypot(section_u, headstock_u), 1e-9);
    poise_faults_free(bench.faults);
}

static void one_wood_shares_one_density(void **state)
{
    (void)state;
    Bench bench;
    set_up(&bench);
    bench.item.as.neck.board = &bench.maple;
    assert_int_equal(run(&bench), POISE_OK);
    /* All the wood moves together: volume × u(ρ). */
    check_close(bench.body.doubt.density_u_g, bench.body.solid_mm3 * 0.05e-3, 1e-9);
    poise_faults_free(bench.faults);
}

static void place_follows_scale_and_frame(void **state)
{
    (void)state;
    Bench bench;
    set_up(&bench);
    assert_int_equal(run(&bench), POISE_OK);
    PoiseBody along_x = bench.body.body;
    /* The same instrument drawn with the head along −y and the face along x: x → −y, z → x, y → −z.
     */
    bench.instrument.frame = (PoiseFrame){.head = {0, -1, 0}, .face = {1, 0, 0}};
    bench.instrument.nut_mm[0] = 12, bench.instrument.nut_mm[1] = -748,
    bench.instrument.nut_mm[2] = -5;
    bench.instrument.saddle_mm[0] = 12, bench.instrument.saddle_mm[1] = -100,
    bench.instrument.saddle_mm[2] = -5;
    assert_int_equal(run(&bench), POISE_OK);
    const PoiseBody *turned = &bench.body.body;
    check_near(turned->centre_mm[0], along_x.centre_mm[2], 1e-9);
    check_near(turned->centre_mm[1], -along_x.centre_mm[0], 1e-9);
    check_near(turned->centre_mm[2], -along_x.centre_mm[1], 1e-9);
    check_close(turned->inertia_gmm2[0][0], along_x.inertia_gmm2[2][2], 1e-12);
    check_close(turned->inertia_gmm2[1][1], along_x.inertia_gmm2[0][0], 1e-12);
    check_close(turned->inertia_gmm2[2][2], along_x.inertia_gmm2[1][1], 1e-12);
    check_close(turned->inertia_gmm2[0][1], -along_x.inertia_gmm2[0][2], 1e-9);
    /* With "at" the nut is the neck's own origin. */
    bench.item.has_at = true;
    assert_int_equal(run(&bench), POISE_OK);
    assert_false(bench.placed);
    check_near(turned->centre_mm[1], -along_x.centre_mm[0] + 748, 1e-9);
    poise_faults_free(bench.faults);
}

static void weighing_overrides_the_estimate(void **state)
{
    (void)state;
    Bench bench;
    set_up(&bench);
    assert_int_equal(run(&bench), POISE_OK);
    PoiseBody estimate = bench.body.body;
    bench.item.as.neck.has_measured = true;
    bench.item.as.neck.measured_g = (PoiseQuantity){702, 1};
    assert_int_equal(run(&bench), POISE_OK);
    check_near(bench.body.body.mass_g, 702, 1e-12);
    check_near(bench.body.mass_u_g, 1, 1e-12);
    check_near(bench.body.body.centre_mm[0], estimate.centre_mm[0], 1e-12);
    check_near(bench.body.predicted_g, estimate.mass_g, 1e-12);
    check_close(bench.body.body.inertia_gmm2[2][2],
                estimate.inertia_gmm2[2][2] * 702 / estimate.mass_g, 1e-12);
    bench.item.as.neck.balance_from_nut_mm = 190;
    assert_int_equal(run(&bench), POISE_OK);
    check_near(bench.body.body.centre_mm[0], 748 - 190, 1e-12);
    check_near(bench.body.body.centre_mm[2], estimate.centre_mm[2], 1e-12);
    check_near(bench.body.doubt.place_u_mm[0], POISE_NECK_BALANCE_U_MM, 1e-12);
    poise_faults_free(bench.faults);
}

/* The estimate survives the way through place, count and weighing, for all pieces together; without
 * a weighing it is the body itself. */
static void the_estimate_of_a_weighed_neck_is_kept(void **state)
{
    (void)state;
    Bench bench;
    set_up(&bench);
    PoiseItemBody whole;
    bench.item.count = 2;
    assert_int_equal(poise_item_body(&bench.instrument, &bench.item, NULL, &whole, bench.faults),
                     POISE_OK);
    double estimate = whole.body.mass_g, doubt = whole.mass_u_g;
    check_near(whole.predicted_g, estimate, 0.0);
    bench.item.as.neck.has_measured = true;
    bench.item.as.neck.measured_g = (PoiseQuantity){702, 1};
    assert_int_equal(poise_item_body(&bench.instrument, &bench.item, NULL, &whole, bench.faults),
                     POISE_OK);
    check_near(whole.body.mass_g, 2 * 702, 1e-9);
    check_near(whole.mass_u_g, 2, 1e-12);
    check_close(whole.predicted_g, estimate, 1e-12);
    check_close(whole.predicted_u_g, doubt, 1e-12);
    bench.item.has_measured = true; /* both together on the scale */
    bench.item.measured_g = (PoiseQuantity){1400, 3};
    assert_int_equal(poise_item_body(&bench.instrument, &bench.item, NULL, &whole, bench.faults),
                     POISE_OK);
    check_near(whole.body.mass_g, 1400, 1e-9);
    check_close(whole.predicted_g, estimate, 1e-12);
    poise_faults_free(bench.faults);
}

/* The neck ends about 489 mm from the nut. */
static void a_balance_point_that_is_unlikely_is_told(void **state)
{
    (void)state;
    static const struct {
        double at;
        const char *says;
    } cases[] = {{-100, "its balance point lies 100 mm beyond the nut; "},
                 {30, "its balance point lies 30 mm from the nut; "},
                 {400, "its balance point lies 400 mm from the nut; "},
                 {90, ""},
                 {250, ""}};
    Bench bench;
    set_up(&bench);
    bench.item.as.neck.has_measured = true;
    bench.item.as.neck.measured_g = (PoiseQuantity){702, 1};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench.item.as.neck.balance_from_nut_mm = cases[i].at;
        assert_int_equal(run(&bench), POISE_OK);
        assert_int_equal(strncmp(bench.body.warning, cases[i].says, strlen(cases[i].says)), 0);
        assert_int_equal(bench.body.warning[0] == '\0', cases[i].says[0] == '\0');
    }
    poise_faults_free(bench.faults);
}

/* Runs, wants POISE_E_INPUT with one fault at the pointer, and leaves the bench fresh. */
static void refuses(Bench *bench, const char *pointer)
{
    assert_int_equal(run(bench), POISE_E_INPUT);
    assert_int_equal(poise_faults_count(bench->faults), 1);
    const PoiseFault *fault = poise_faults_get(bench->faults, 0);
    assert_string_equal(fault->pointer, pointer);
    assert_string_equal(fault->file, "wren.json");
    assert_int_equal(fault->line, 12);
    assert_non_null(fault->expected);
    poise_faults_free(bench->faults);
    set_up(bench);
}

static void refuses_what_cannot_be(void **state)
{
    (void)state;
    static const double beyond[] = {-181, 495, 700};
    Bench bench;
    set_up(&bench);
    for (size_t i = 0; i < sizeof beyond / sizeof *beyond; i++) {
        bench.item.as.neck.has_measured = true;
        bench.item.as.neck.measured_g = (PoiseQuantity){702, 1};
        bench.item.as.neck.balance_from_nut_mm = beyond[i];
        refuses(&bench, "/items/neck/weighed/balance");
    }
    bench.instrument.has_scale = false;
    refuses(&bench, "/scale");
    bench.instrument.saddle_mm[0] = 748;
    refuses(&bench, "/scale");
    bench.instrument.saddle_mm[0] = 748, bench.instrument.saddle_mm[2] = -600;
    refuses(&bench, "/scale");
    bench.item.as.neck.length_mm = 460; /* fret 22 of 648 mm is at 466 */
    refuses(&bench, "/items/neck/length");
    bench.item.as.neck.heel_length_mm = 500;
    refuses(&bench, "/items/neck/heel/length");
    bench.item.as.neck.heel_mm = 4;
    refuses(&bench, "/items/neck/heel/thickness");
    bench.item.as.neck.first_mm.value = 5;
    refuses(&bench, "/items/neck/first");
    bench.item.as.neck.nut_width_mm.value = 0;
    refuses(&bench, "/items/neck");
    poise_faults_free(bench.faults);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(typical_neck_weighs_what_necks_weigh),
        cmocka_unit_test(parts_add_up),
        cmocka_unit_test(a_neck_through_has_no_heel_block),
        cmocka_unit_test(own_doubt_is_the_root_of_its_squares),
        cmocka_unit_test(the_unknown_section_and_headstock_are_doubted),
        cmocka_unit_test(one_wood_shares_one_density),
        cmocka_unit_test(place_follows_scale_and_frame),
        cmocka_unit_test(weighing_overrides_the_estimate),
        cmocka_unit_test(the_estimate_of_a_weighed_neck_is_kept),
        cmocka_unit_test(a_balance_point_that_is_unlikely_is_told),
        cmocka_unit_test(refuses_what_cannot_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
