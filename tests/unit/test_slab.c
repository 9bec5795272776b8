/* Slabs with pockets against closed forms: boxes and cylinders added and taken away. */
#include "check.h"

#include "geometry/slab.h"

static const double PI = 3.141592653589793238463;
static const double BOARD[4][2] = {{100, 50}, {300, 50}, {300, 150}, {100, 150}};
static const double POCKET[4][2] = {{120, 60}, {160, 60}, {160, 90}, {120, 90}};
static const double SECOND[4][2] = {{150, 80}, {190, 80}, {190, 110}, {150, 110}};
static const double OVER_THE_RIM[4][2] = {{280, 90}, {340, 90}, {340, 110}, {280, 110}};

static PoiseMoments slab(const PoiseSlabCut *cuts, size_t n)
{
    PoiseMoments m;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status =
        poise_slab_moments(BOARD, 4, 40, 0, cuts, n, "a.json", "/items/blank", &m, faults);
    assert_int_equal(status, POISE_OK);
    assert_int_equal(poise_faults_count(faults), 0);
    poise_faults_free(faults);
    return m;
}

/* A solid as a sum of boxes and cylinders of ±1 g/cm³. */
static PoiseBody cuboid(double sign, double x0, double y0, double z0, double x1, double y1,
                        double z1)
{
    double centre[3] = {(x0 + x1) / 2, (y0 + y1) / 2, (z0 + z1) / 2},
           size[3] = {x1 - x0, y1 - y0, z1 - z0};
    return poise_body_box(sign * size[0] * size[1] * size[2] / 1000, centre, size);
}

static void check_slab(const PoiseSlabCut *cuts, size_t n, const PoiseBody *parts, unsigned long m,
                       double relative)
{
    PoiseMoments got = slab(cuts, n);
    PoiseBody b = poise_body_from_moments(&got, 1.0), want = poise_body_sum(parts, m);
    check_close(b.mass_g, want.mass_g, relative);
    for (int i = 0; i < 3; i++) {
        check_near(b.centre_mm[i], want.centre_mm[i], 100 * relative);
        for (int j = 0; j < 3; j++)
            check_near(b.inertia_gmm2[i][j], want.inertia_gmm2[i][j],
                       10 * relative * want.inertia_gmm2[2][2]);
    }
}

static void test_plain(void **state)
{
    (void)state;
    PoiseBody whole = cuboid(1, 100, 50, -40, 300, 150, 0);
    check_slab(NULL, 0, &whole, 1, 1e-13);
    /* Drawn the other way around, and with the first point repeated. */
    static const double back[5][2] = {{100, 50}, {100, 150}, {300, 150}, {300, 50}, {100, 50}};
    PoiseMoments m;
    assert_int_equal(poise_slab_moments(back, 5, 40, 0, NULL, 0, NULL, NULL, &m, NULL), POISE_OK);
    check_near(m.volume_mm3, 800000, 1e-8);
}

static void test_pockets(void **state)
{
    (void)state;
    PoiseSlabCut top = {.count = 4, .points_mm = POCKET, .depth_mm = 15};
    PoiseSlabCut bottom = top, through = top;
    bottom.from_bottom = true;
    through.depth_mm = NAN;
    PoiseBody whole = cuboid(1, 100, 50, -40, 300, 150, 0);
    PoiseBody parts[2] = {whole, cuboid(-1, 120, 60, -15, 160, 90, 0)};
    check_slab(&top, 1, parts, 2, 1e-13);
    parts[1] = cuboid(-1, 120, 60, -40, 160, 90, -25);
    check_slab(&bottom, 1, parts, 2, 1e-13);
    parts[1] = cuboid(-1, 120, 60, -40, 160, 90, 0);
    check_slab(&through, 1, parts, 2, 1e-13);
    through.depth_mm = 40; /* as deep as the slab is thick */
    check_slab(&through, 1, parts, 2, 1e-13);
}

/* Round holes that touch nothing are exact, through or blind. */
static void test_holes(void **state)
{
    (void)state;
    PoiseSlabCut cuts[2] = {
        {.at_mm = {130, 120}, .diameter_mm = 20, .depth_mm = NAN},
        {.at_mm = {250, 75}, .diameter_mm = 8, .depth_mm = 30, .from_bottom = true}};
    PoiseBody parts[3] = {
        cuboid(1, 100, 50, -40, 300, 150, 0),
        poise_body_cylinder(-PI * 100 * 40 / 1000, (double[3]){130, 120, -20}, 20, 40, 2),
        poise_body_cylinder(-PI * 16 * 30 / 1000, (double[3]){250, 75, -25}, 8, 30, 2)};
    check_slab(cuts, 2, parts, 3, 1e-13);
    /* A hole in the floor of a pocket: they overlap in plan and in the pocket's height, where the
     * pocket has already taken everything. */
    PoiseSlabCut floor[2] = {{.count = 4, .points_mm = POCKET, .depth_mm = 15},
                             {.at_mm = {140, 75}, .diameter_mm = 10, .depth_mm = NAN}};
    parts[1] = cuboid(-1, 120, 60, -15, 160, 90, 0);
    parts[2] = poise_body_cylinder(-PI * 25 * 25 / 1000, (double[3]){140, 75, -27.5}, 10, 25, 2);
    check_slab(floor, 2, parts, 3, 1e-13);
}

static void test_overlapping_pockets(void **state)
{
    (void)state;
    /* Depths 15 and 25 from the top; common 10 × 10 counted once. */
    PoiseSlabCut cuts[2] = {{.count = 4, .points_mm = POCKET, .depth_mm = 15},
                            {.count = 4, .points_mm = SECOND, .depth_mm = 25}};
    PoiseBody parts[4] = {
        cuboid(1, 100, 50, -40, 300, 150, 0), cuboid(-1, 120, 60, -15, 160, 90, 0),
        cuboid(-1, 150, 80, -25, 190, 110, 0), cuboid(1, 150, 80, -15, 160, 90, 0)};
    check_slab(cuts, 2, parts, 4, 1e-12);
    /* From both faces, meeting in the middle: −25 … −15 shared. */
    cuts[0].depth_mm = 25;
    cuts[1].from_bottom = true;
    parts[1] = cuboid(-1, 120, 60, -25, 160, 90, 0);
    parts[2] = cuboid(-1, 150, 80, -40, 190, 110, -15);
    parts[3] = cuboid(1, 150, 80, -25, 160, 90, -15);
    check_slab(cuts, 2, parts, 4, 1e-12);
    /* Not deep enough to meet: nothing is shared. */
    cuts[0].depth_mm = 15;
    parts[1] = cuboid(-1, 120, 60, -15, 160, 90, 0);
    check_slab(cuts, 2, parts, 3, 1e-12);
    /* The same cut twice is one cut. */
    cuts[1] = cuts[0];
    check_slab(cuts, 2, parts, 2, 1e-12);
}

static void test_over_the_rim(void **state)
{
    (void)state;
    PoiseSlabCut cuts[2] = {
        {.count = 4, .points_mm = OVER_THE_RIM, .depth_mm = NAN},
        {.at_mm = {500, 500}, .diameter_mm = 30, .depth_mm = 5}}; /* in the air */
    PoiseBody parts[2] = {cuboid(1, 100, 50, -40, 300, 150, 0),
                          cuboid(-1, 280, 90, -40, 300, 110, 0)};
    check_slab(cuts, 2, parts, 2, 1e-12);
    /* Half a hole on the edge, as a polygon of equal area: its rim strays by micrometres. */
    PoiseSlabCut half = {.at_mm = {200, 50}, .diameter_mm = 60, .depth_mm = NAN};
    PoiseMoments m = slab(&half, 1);
    check_close(m.volume_mm3, 800000 - 40 * PI * 900 / 2, 1e-9);
}

/* Two equal discs share 2 r² acos(d/2r) − (d/2)√(4r² − d²) (any geometry text, from memory). */
static void test_overlapping_holes(void **state)
{
    (void)state;
    double r = 20, d = 25;
    PoiseSlabCut cuts[2] = {{.at_mm = {150, 100}, .diameter_mm = 2 * r, .depth_mm = NAN},
                            {.at_mm = {150 + d, 100}, .diameter_mm = 2 * r, .depth_mm = NAN}};
    double lens = 2 * r * r * acos(d / (2 * r)) - d / 2 * sqrt(4 * r * r - d * d);
    PoiseMoments m = slab(cuts, 2);
    check_near(m.volume_mm3, 40 * (20000 - 2 * PI * r * r + lens), 40 * 0.05);
    check_near(m.first_mm4[1], 0, 1e-6); /* symmetric about y = 100 */
    /* Just touching: exact. */
    cuts[1].at_mm[0] = 190;
    m = slab(cuts, 2);
    check_close(m.volume_mm3, 40 * (20000 - 2 * PI * r * r), 1e-13);
}

static void refuse(const double (*outline)[2], size_t count, double thickness,
                   const PoiseSlabCut *cuts, size_t n, const char *pointer, const char *saying)
{
    PoiseMoments m;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_slab_moments(outline, count, thickness, 0, cuts, n, "a.json",
                                        "/items/blank", &m, faults),
                     POISE_E_INPUT);
    assert_int_equal(poise_faults_count(faults), 1);
    const PoiseFault *fault = poise_faults_get(faults, 0);
    assert_string_equal(fault->pointer, pointer);
    assert_string_equal(fault->file, "a.json");
    if (!strstr(fault->found, saying))
        print_error("\"%s\" does not say \"%s\"\n", fault->found, saying);
    assert_non_null(strstr(fault->found, saying));
    poise_faults_free(faults);
}

static void test_refusals(void **state)
{
    (void)state;
    static const double bow_tie[4][2] = {{0, 0}, {50, 40}, {50, 0}, {0, 30}};
    static const double line[3][2] = {{0, 0}, {50, 50}, {100, 100}};
    static const double nowhere[3][2] = {{0, 0}, {NAN, 50}, {100, 0}};
    static const double all[4][2] = {{0, 0}, {400, 0}, {400, 400}, {0, 400}};
    refuse(bow_tie, 4, 40, NULL, 0, "/items/blank/outline", "crosses");
    refuse(line, 3, 40, NULL, 0, "/items/blank/outline", "without area");
    refuse(line, 2, 40, NULL, 0, "/items/blank/outline", "fewer than three");
    refuse(nowhere, 3, 40, NULL, 0, "/items/blank/outline", "no place");
    refuse(BOARD, 4, 0, NULL, 0, "/items/blank/thickness", "thickness");
    refuse(BOARD, 4, NAN, NULL, 0, "/items/blank/thickness", "thickness");
    PoiseSlabCut cuts[2] = {{.count = 4, .points_mm = POCKET, .depth_mm = 15},
                            {.count = 4, .points_mm = bow_tie, .depth_mm = 5}};
    refuse(BOARD, 4, 40, cuts, 2, "/items/blank/cut/1/outline", "crosses");
    cuts[1] = (PoiseSlabCut){.at_mm = {150, 100}, .diameter_mm = 0, .depth_mm = 5};
    refuse(BOARD, 4, 40, cuts, 2, "/items/blank/cut/1/diameter", "diameter");
    cuts[1] = (PoiseSlabCut){.at_mm = {150, INFINITY}, .diameter_mm = 3, .depth_mm = 5};
    refuse(BOARD, 4, 40, cuts, 2, "/items/blank/cut/1/at", "no place");
    cuts[1] = (PoiseSlabCut){.at_mm = {150, 100}, .diameter_mm = 5, .depth_mm = 0};
    refuse(BOARD, 4, 40, cuts, 2, "/items/blank/cut/1/depth", "without depth");
    cuts[1].depth_mm = 41;
    refuse(BOARD, 4, 40, cuts, 2, "/items/blank/cut/1/depth", "deeper");
    cuts[1] = (PoiseSlabCut){.count = 4, .points_mm = all, .depth_mm = NAN};
    refuse(BOARD, 4, 40, cuts, 2, "/items/blank/cut", "whole slab");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plain),        cmocka_unit_test(test_pockets),
        cmocka_unit_test(test_holes),        cmocka_unit_test(test_overlapping_pockets),
        cmocka_unit_test(test_over_the_rim), cmocka_unit_test(test_overlapping_holes),
        cmocka_unit_test(test_refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
