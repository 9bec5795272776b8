/* The neck: closed forms of what it can be reduced to, the fret rule, integration against ten times
 * the stations, placing, weighing and refusals. */
#include "check.h"

#include "bodies/doubt.h"
#include "bodies/item_body.h"
#include "bodies/neck.h"
#include "bodies/neck_shape.h"

static const double PI = 3.14159265358979323846;

/* A neck with neither heel nor headstock, the same all along. */
static PoiseNeckShape prism(double width, double thickness, double board, double exponent)
{
    return (PoiseNeckShape){.scale_mm = 600,
                            .length_mm = 400,
                            .nut_width_mm = width,
                            .heel_width_mm = width,
                            .first_mm = thickness,
                            .twelfth_mm = thickness,
                            .board_mm = board,
                            .exponent = exponent};
}

static void check_moments(const PoiseMoments *got, const PoiseMoments *want, double relative)
{
    /* Second moments that vanish by symmetry are compared on the scale of the largest. */
    check_close(got->volume_mm3, want->volume_mm3, relative);
    double first = 0.0, second = 0.0;
    for (int i = 0; i < 3; i++)
        first = fmax(first, fabs(want->first_mm4[i]));
    for (int i = 0; i < 6; i++)
        second = fmax(second, fabs(want->second_mm5[i]));
    for (int i = 0; i < 3; i++)
        check_near(got->first_mm4[i], want->first_mm4[i], relative * first);
    for (int i = 0; i < 6; i++)
        check_near(got->second_mm5[i], want->second_mm5[i], relative * second);
}

static void board_of_full_thickness_is_a_cuboid(void **state)
{
    (void)state;
    PoiseNeckShape shape = prism(50, 20, 20, POISE_NECK_EXPONENT);
    PoiseMoments shaft, board;
    poise_neck_wood(&shape, 1, &shaft, &board);
    check_near(shaft.volume_mm3, 0.0, 1e-9);
    /* Cuboid 400 × 50 × 20 with x from −400 to 0, y symmetric, z from −20 to 0:
     * ∫x² = V·l²/3 about an end, ∫y² = V·w²/12, ∫z² = V·t²/3, ∫zx = V·(l/2)(t/2). */
    double v = 400.0 * 50.0 * 20.0;
    PoiseMoments want = {.volume_mm3 = v,
                         .first_mm4 = {-200 * v, 0, -10 * v},
                         .second_mm5 = {v * 400 * 400 / 3.0, v * 50 * 50 / 12.0, v * 20 * 20 / 3.0,
                                        0, 0, v * 200 * 10}};
    check_moments(&board, &want, 1e-14);
}

static void half_ellipse_section_matches_the_handbook(void **state)
{
    (void)state;
    /* Half ellipse, semi-axes a = w/2 and d: area πad/2, centroid 4d/3π from the flat side, second
     * moment about the flat side πad³/8, about the axis of symmetry πa³d/8 (any table of plane
     * sections, as in Roark's Formulas for Stress and Strain, App. A; from memory, follows from the
     * circle by stretching). */
    PoiseHalfSection half = poise_half_section(2.0);
    double w = 40.0, d = 15.0, a = w / 2;
    check_close(half.area * w * d, PI * a * d / 2, 1e-14);
    check_close(half.first / half.area * d, 4 * d / (3 * PI), 1e-14);
    check_close(half.depth2 * w * d * d * d, PI * a * d * d * d / 8, 1e-14);
    check_close(half.width2 * w * w * w * d, PI * a * a * a * d / 8, 1e-14);
}

static void half_section_between_triangle_and_rectangle(void **state)
{
    (void)state;
    /* n = 1 is a triangle of base w and height d: A = wd/2, centroid d/3, ∫depth² = wd³/12,
     * ∫y² = dw³/48. */
    PoiseHalfSection half = poise_half_section(1.0);
    check_close(half.area, 1.0 / 2, 1e-14);
    check_close(half.first, 1.0 / 6, 1e-14);
    check_close(half.depth2, 1.0 / 12, 1e-14);
    check_close(half.width2, 1.0 / 48, 1e-14);
    /* n → ∞ is the rectangle: 1, 1/2, 1/3, 1/12. */
    half = poise_half_section(1e6);
    check_close(half.area, 1.0, 1e-9);
    check_close(half.first, 1.0 / 2, 1e-9);
    check_close(half.depth2, 1.0 / 3, 1e-9);
    check_close(half.width2, 1.0 / 12, 1e-9);
}

static void half_section_agrees_with_strips(void **state)
{
    (void)state;
    /* The exponent in use, summed over strips of depth, independently of any gamma function. */
    double n = POISE_NECK_EXPONENT, area = 0, first = 0, depth2 = 0, width2 = 0;
    enum { STRIPS = 200000 };
    for (int i = 0; i < STRIPS; i++) {
        double t = (i + 0.5) / STRIPS, w = pow(1 - pow(t, n), 1 / n);
        area += w / STRIPS;
        first += w * t / STRIPS;
        depth2 += w * t * t / STRIPS;
        width2 += w * w * w / 12 / STRIPS;
    }
    PoiseHalfSection half = poise_half_section(n);
    check_close(half.area, area, 1e-6);
    check_close(half.first, first, 1e-6);
    check_close(half.depth2, depth2, 1e-6);
    check_close(half.width2, width2, 1e-6);
}

static void tapered_board_is_a_frustum(void **state)
{
    (void)state;
    /* A board that tapers in width only, w0 to w1 over l: volume t l (w0 + w1)/2, centroid of the
     * trapezium at l (w0 + 2 w1)/(3 (w0 + w1)) from w0, ∫x² = t l³ (w0 + 3 w1)/12. */
    PoiseNeckShape shape = prism(42, 6, 6, 2.0);
    shape.heel_width_mm = 56;
    PoiseMoments shaft, board;
    poise_neck_wood(&shape, 1, &shaft, &board);
    double l = 400, w0 = 42, w1 = 56, t = 6;
    check_close(board.volume_mm3, t * l * (w0 + w1) / 2, 1e-14);
    check_close(-board.first_mm4[0] / board.volume_mm3, l * (w0 + 2 * w1) / (3 * (w0 + w1)), 1e-14);
    check_close(board.second_mm5[0], t * l * l * l * (w0 + 3 * w1) / 12, 1e-14);
    /* ∫y² = t/12 ∫w³ = t l (w1⁴ − w0⁴)/(48 (w1 − w0)). */
    check_close(board.second_mm5[1], t * l * (pow(w1, 4) - pow(w0, 4)) / (48 * (w1 - w0)), 1e-13);
}

static void tapered_half_ellipse_is_half_a_cone_frustum(void **state)
{
    (void)state;
    /* Width and depth in proportion: half a cone frustum of radii r0 = 15, r1 = 20 over l. Half of
     * πl(r0² + r0r1 + r1²)/3, centroid from the r0 end l (r0² + 2r0r1 + 3r1²)/(4(r0² + r0r1 + r1²))
     * (frustum of a cone, any table of solids). */
    double r0 = 15, r1 = 20, l = 400;
    PoiseNeckShape shape = prism(2 * r0, r0, 0, 2.0);
    shape.heel_width_mm = 2 * r1;
    double slope = (r1 - r0) / l;
    shape.first_mm = r0 + slope * poise_fret_station_mm(600, 1);
    shape.twelfth_mm = r0 + slope * poise_fret_station_mm(600, 12);
    PoiseMoments shaft, board;
    poise_neck_wood(&shape, 1, &shaft, &board);
    double squares = r0 * r0 + r0 * r1 + r1 * r1;
    check_close(shaft.volume_mm3, PI * l * squares / 6, 1e-13);
    check_close(-shaft.first_mm4[0] / shaft.volume_mm3,
                l * (r0 * r0 + 2 * r0 * r1 + 3 * r1 * r1) / (4 * squares), 1e-13);
    /* ∫y² of the whole frustum is π/4 ∫r⁴ = πl(r1⁵ − r0⁵)/(20(r1 − r0)); half of it here, and the
     * same for ∫z² about the flat side. */
    double quartic = PI * l * (pow(r1, 5) - pow(r0, 5)) / (40 * (r1 - r0));
    check_close(shaft.second_mm5[1], quartic, 1e-12);
    check_close(shaft.second_mm5[2], quartic, 1e-12);
    check_near(board.volume_mm3, 0.0, 1e-9);
}

static void shaft_hangs_under_its_board(void **state)
{
    (void)state;
    /* A half ellipse 40 × 14 under a board of 6: its own second moment about its centroid, moved by
     * the parallel-axis theorem to the board's top. */
    PoiseNeckShape shape = prism(40, 20, 6, 2.0);
    PoiseMoments shaft, board;
    poise_neck_wood(&shape, 1, &shaft, &board);
    double a = 20, d = 14, l = 400, area = PI * a * d / 2, centroid = 4 * d / (3 * PI);
    double own = PI * a * d * d * d / 8 - area * centroid * centroid;
    double arm = 6 + centroid;
    check_close(shaft.volume_mm3, area * l, 1e-13);
    check_close(shaft.first_mm4[2], -area * arm * l, 1e-13);
    check_close(shaft.second_mm5[2], (own + area * arm * arm) * l, 1e-13);
    check_close(shaft.second_mm5[5], area * arm * l * l / 2, 1e-13);
    check_close(board.volume_mm3, 40.0 * 6 * l, 1e-13);
}

static PoiseNeckShape typical_shape(void)
{
    return (PoiseNeckShape){.scale_mm = 648,
                            .length_mm = 475,
                            .nut_width_mm = 42.5,
                            .heel_width_mm = 56,
                            .first_mm = 21,
                            .twelfth_mm = 23,
                            .board_mm = 6,
                            .heel_length_mm = 76,
                            .heel_mm = 25,
                            .headstock_length_mm = 180,
                            .headstock_width_mm = 60,
                            .headstock_mm = 14.5,
                            .headstock_drop_mm = 8,
                            .exponent = POISE_NECK_EXPONENT};
}

static void ten_times_the_stations_change_nothing(void **state)
{
    (void)state;
    PoiseNeckShape shape = typical_shape();
    PoiseMoments shaft, board, fine_shaft, fine_board;
    poise_neck_wood(&shape, 1, &shaft, &board);
    poise_neck_wood(&shape, 10, &fine_shaft, &fine_board);
    check_moments(&shaft, &fine_shaft, 1e-12);
    check_moments(&board, &fine_board, 1e-12);
}

static void heel_and_headstock_add_their_cuboids(void **state)
{
    (void)state;
    /* A board of the full thickness leaves no shaft; a heel of 30 mm under it adds 10 mm of depth
     * over its length, and the headstock its own cuboid beyond the nut. */
    PoiseNeckShape shape = prism(50, 20, 20, 2.0);
    shape.heel_length_mm = 80;
    shape.heel_mm = 30;
    PoiseMoments shaft, board;
    poise_neck_wood(&shape, 1, &shaft, &board);
    double heel = 80.0 * 50.0 * 10.0;
    check_close(shaft.volume_mm3, heel, 1e-12);
    check_close(shaft.first_mm4[0], -heel * 360, 1e-12);
    check_close(shaft.first_mm4[2], -heel * 25, 1e-12);
    shape.headstock_length_mm = 150;
    shape.headstock_width_mm = 70;
    shape.headstock_mm = 14;
    shape.headstock_drop_mm = 6;
    double head = 150.0 * 70.0 * 14.0;
    poise_neck_wood(&shape, 1, &shaft, &board);
    check_close(shaft.volume_mm3, heel + head, 1e-12);
    check_close(shaft.first_mm4[0], -heel * 360 + head * 75, 1e-12);
    check_close(shaft.first_mm4[2], -heel * 25 - head * 13, 1e-12);
}

static void frets_follow_the_twelve_tone_rule(void **state)
{
    (void)state;
    /* Computed from x = L(1 − 2^(−n/12)) in exact arithmetic, rounded to 0.001 mm. */
    static const struct {
        double scale;
        int fret;
        double at;
    } table[] = {
        {650, 1, 36.482},     {650, 2, 70.916},     {650, 3, 103.417},    {650, 4, 134.095},
        {650, 5, 163.050},    {650, 7, 216.177},    {650, 9, 263.508},    {650, 12, 325.0},
        {650, 14, 360.458},   {647.7, 1, 36.353},   {647.7, 15, 375.376}, {647.7, 17, 405.087},
        {647.7, 19, 431.556}, {647.7, 21, 455.138}, {647.7, 22, 465.945}, {647.7, 24, 485.775}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        check_near(poise_fret_station_mm(table[i].scale, table[i].fret), table[i].at, 0.0006);
    /* The luthier's rule: each fret lies 1/17.817 of what is left further on (M. Koch, Building
     * Electric Guitars). Its twelve steps on 650 mm come to 325.0020 mm. */
    double left = 650;
    for (int fret = 0; fret < 12; fret++)
        left -= left / 17.817;
    check_near(poise_fret_station_mm(650, 12), 650 - left, 0.0025);
    assert_true(poise_fret_station_mm(650, 0) == 0.0);
}

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
    Bench bench;
    set_up(&bench);
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
        cmocka_unit_test(board_of_full_thickness_is_a_cuboid),
        cmocka_unit_test(half_ellipse_section_matches_the_handbook),
        cmocka_unit_test(half_section_between_triangle_and_rectangle),
        cmocka_unit_test(half_section_agrees_with_strips),
        cmocka_unit_test(tapered_board_is_a_frustum),
        cmocka_unit_test(tapered_half_ellipse_is_half_a_cone_frustum),
        cmocka_unit_test(shaft_hangs_under_its_board),
        cmocka_unit_test(ten_times_the_stations_change_nothing),
        cmocka_unit_test(heel_and_headstock_add_their_cuboids),
        cmocka_unit_test(frets_follow_the_twelve_tone_rule),
        cmocka_unit_test(typical_neck_weighs_what_necks_weigh),
        cmocka_unit_test(parts_add_up),
        cmocka_unit_test(a_neck_through_has_no_heel_block),
        cmocka_unit_test(own_doubt_is_the_root_of_its_squares),
        cmocka_unit_test(the_unknown_section_and_headstock_are_doubted),
        cmocka_unit_test(one_wood_shares_one_density),
        cmocka_unit_test(place_follows_scale_and_frame),
        cmocka_unit_test(weighing_overrides_the_estimate),
        cmocka_unit_test(refuses_what_cannot_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
