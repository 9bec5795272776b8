/* The neck's wood: closed forms of what it can be reduced to, the fret rule, integration against
 * ten times the stations. */
#include "check.h"

#include "bodies/neck_shape.h"
#include "typical_neck.h"

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
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
