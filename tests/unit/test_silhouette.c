/* Outlines of solids against the areas of their shadows in closed form. */
#include "check.h"
#include "solids.h"

#include "geometry/silhouette.h"

static const double PI = 3.141592653589793238463;

/* Looking along a unit vector: two axes square to it. */
static PoiseProjection along(const double n[3])
{
    PoiseProjection p = {0};
    double helper[3] = {fabs(n[0]) < 0.9, fabs(n[0]) >= 0.9, 0};
    p.across[0] = helper[1] * n[2] - helper[2] * n[1];
    p.across[1] = helper[2] * n[0] - helper[0] * n[2];
    p.across[2] = helper[0] * n[1] - helper[1] * n[0];
    double length =
        sqrt(p.across[0] * p.across[0] + p.across[1] * p.across[1] + p.across[2] * p.across[2]);
    for (int i = 0; i < 3; i++)
        p.across[i] /= length;
    p.up[0] = n[1] * p.across[2] - n[2] * p.across[1];
    p.up[1] = n[2] * p.across[0] - n[0] * p.across[2];
    p.up[2] = n[0] * p.across[1] - n[1] * p.across[0];
    return p;
}

static PoiseRings outline_of(const Soup *soup, const PoiseProjection *projection)
{
    size_t size;
    unsigned char *file = soup_stl(soup, &size);
    PoiseMesh *mesh = NULL;
    assert_int_equal(poise_mesh_parse(file, size, "soup.stl", NULL, &mesh, NULL), POISE_OK);
    free(file);
    PoiseRings rings = {0};
    assert_int_equal(poise_silhouette_mesh(mesh, projection, &rings), POISE_OK);
    poise_mesh_free(mesh);
    return rings;
}

/* Corners move by at most half a grid diagonal, so an area is off by at most that times the length
 * of the outline. */
static double slack(const PoiseRings *rings)
{
    double length = 0;
    for (size_t r = 0; r < rings->rings; r++)
        for (size_t i = poise_rings_start(rings, r); i < rings->ends[r]; i++) {
            size_t next = i + 1 < rings->ends[r] ? i + 1 : poise_rings_start(rings, r);
            length += hypot(rings->points[next][0] - rings->points[i][0],
                            rings->points[next][1] - rings->points[i][1]);
        }
    return POISE_SILHOUETTE_GRID_MM * length;
}

/* The shadow of a box along n is Σ (face area · |n across the face|): each pair of faces shows one.
 */
static void test_box_from_every_side(void **state)
{
    (void)state;
    Soup soup = {0};
    soup_box(&soup, (double[3]){10, -20, 5}, (double[3]){70, 20, 35});
    for (int k = 0; k < 40; k++) {
        double z = -1 + 2 * (k + 0.5) / 40, r = sqrt(1 - z * z), t = 2.399963 * k;
        double n[3] = {r * cos(t), r * sin(t), z};
        PoiseProjection p = along(n);
        PoiseRings rings = outline_of(&soup, &p);
        double want = 40 * 30 * fabs(n[0]) + 60 * 30 * fabs(n[1]) + 60 * 40 * fabs(n[2]);
        assert_int_equal(rings.rings, 1);
        check_near(poise_rings_flat(&rings).area, want, slack(&rings));
        poise_rings_release(&rings);
    }
    soup_free(&soup);
}

/* Edge-on walls show nothing of themselves: a box looked at along an axis is its face. */
static void test_box_along_an_axis(void **state)
{
    (void)state;
    Soup soup = {0};
    soup_box(&soup, (double[3]){0, 0, 0}, (double[3]){60, 40, 30});
    const PoiseProjection plan = {{1, 0, 0}, {0, 1, 0}, {100, -7}};
    PoiseRings rings = outline_of(&soup, &plan);
    double lo[2], hi[2];
    assert_int_equal(rings.rings, 1);
    check_near(poise_rings_flat(&rings).area, 2400, 1e-9);
    assert_true(poise_rings_box(&rings, lo, hi));
    check_near(lo[0], 100, 1e-9);
    check_near(hi[1], 33, 1e-9);
    poise_rings_release(&rings);
    soup_free(&soup);
}

static void test_sphere_is_a_disc(void **state)
{
    (void)state;
    Soup soup = {0};
    soup_sphere(&soup, (double[3]){5, 6, 7}, 40, 180);
    const double n[3] = {0.36, 0.48, 0.8};
    PoiseProjection p = along(n);
    PoiseRings rings = outline_of(&soup, &p);
    /* an inscribed polyhedron: smaller, by about 1 − (π/180)²/2 of the radius at the worst */
    check_near(poise_rings_flat(&rings).area, PI * 1600, 0.001 * PI * 1600 + slack(&rings));
    poise_rings_release(&rings);
    soup_free(&soup);
}

/* Seen along its axis a torus is the ring between its two circles; its hole is a ring of its own,
 * run the other way. From the side it is a stadium. */
static void test_torus_keeps_its_hole(void **state)
{
    (void)state;
    Soup soup = {0};
    soup_torus(&soup, (double[3]){0, 0, 0}, 50, 12, 240, 60);
    const PoiseProjection plan = {{1, 0, 0}, {0, 1, 0}, {0, 0}};
    PoiseRings rings = outline_of(&soup, &plan);
    assert_int_equal(rings.rings, 2);
    assert_true(poise_ring_area(&rings, 0) * poise_ring_area(&rings, 1) < 0);
    double want = PI * (62 * 62 - 38 * 38);
    check_near(poise_rings_flat(&rings).area, want, 0.002 * want);
    poise_rings_release(&rings);
    const PoiseProjection side = {{1, 0, 0}, {0, 0, 1}, {0, 0}};
    rings = outline_of(&soup, &side);
    want = 100 * 24 + PI * 144; /* a rectangle between the tube's end discs */
    check_near(poise_rings_flat(&rings).area, want, 0.004 * want);
    poise_rings_release(&rings);
    soup_free(&soup);
}

/* Solids that overlap in the picture, or in space, cover their common part once. */
static void test_overlapping_shells_count_once(void **state)
{
    (void)state;
    Soup soup = {0};
    soup_box(&soup, (double[3]){0, 0, 0}, (double[3]){60, 40, 30});
    soup_box(&soup, (double[3]){40, 20, 10}, (double[3]){90, 60, 80});
    soup_box(&soup, (double[3]){200, 0, 0}, (double[3]){210, 10, 10});
    const PoiseProjection plan = {{1, 0, 0}, {0, 1, 0}, {0, 0}};
    PoiseRings rings = outline_of(&soup, &plan);
    assert_int_equal(rings.rings, 2);
    check_near(poise_rings_flat(&rings).area, 2400 + 2000 - 400 + 100, 1e-6);
    poise_rings_release(&rings);
    soup_free(&soup);
}

/* A mirrored picture, as left-handed instruments have, has the same area. */
static void test_mirrored(void **state)
{
    (void)state;
    Soup soup = {0};
    soup_cone(&soup, (double[3]){0, 0, 0}, 30, 70, 120);
    const PoiseProjection side = {{1, 0, 0}, {0, 0, 1}, {0, 0}};
    const PoiseProjection mirrored = {{1, 0, 0}, {0, 0, -1}, {0, 0}};
    PoiseRings a = outline_of(&soup, &side), b = outline_of(&soup, &mirrored);
    check_near(poise_rings_flat(&a).area, 30 * 70, slack(&a));
    check_near(poise_rings_flat(&b).area, poise_rings_flat(&a).area, 1e-6);
    poise_rings_release(&a);
    poise_rings_release(&b);
    soup_free(&soup);
}

static PoiseRings square_with_hole(void)
{
    PoiseRings rings = {0};
    const double points[8][2] = {{0, 0},   {100, 0}, {100, 100}, {0, 100},
                                 {40, 40}, {40, 60}, {60, 60},   {60, 40}};
    for (int i = 0; i < 8; i++) {
        poise_rings_add(&rings, points[i][0], points[i][1]);
        if (i % 4 == 3)
            poise_rings_close(&rings);
    }
    return rings;
}

static void test_strips_add_up(void **state)
{
    (void)state;
    PoiseRings rings = square_with_hole();
    const double cuts[] = {-5, 13, 45, 50, 71, 200};
    double sum = 0;
    for (int i = 0; i < 5; i++) {
        PoiseRings strip = {0};
        poise_rings_between(&rings, cuts[i], cuts[i + 1], &strip);
        double area = poise_rings_flat(&strip).area, lo[2], hi[2];
        if (poise_rings_box(&strip, lo, hi))
            assert_true(lo[0] >= cuts[i] - 1e-9 && hi[0] <= cuts[i + 1] + 1e-9);
        sum += area;
        if (i == 2)
            check_near(area, 5 * 80, 1e-9); /* through the hole */
        poise_rings_release(&strip);
    }
    check_near(sum, 9600, 1e-9);
    poise_rings_release(&rings);
}

static void test_uprights_and_hatching(void **state)
{
    (void)state;
    PoiseRings rings = square_with_hole(), line = {0}, hatch = {0};
    poise_rings_upright(&rings, 50, &line);
    assert_int_equal(line.count, 4);
    const double want[4] = {0, 40, 60, 100};
    for (int i = 0; i < 4; i++) {
        check_near(line.points[i][0], 50, 1e-12);
        check_near(line.points[i][1], want[i], 1e-12);
    }
    /* Cavalieri: chords times their distance come to the area as the distance shrinks. */
    poise_rings_hatch(&rings, 45, 0.25, &hatch);
    double sum = 0;
    for (size_t i = 0; i + 1 < hatch.count; i += 2)
        sum += hypot(hatch.points[i + 1][0] - hatch.points[i][0],
                     hatch.points[i + 1][1] - hatch.points[i][1]);
    check_near(0.25 * sum, 9600, 0.002 * 9600);
    poise_rings_release(&rings);
    poise_rings_release(&line);
    poise_rings_release(&hatch);
}

static void test_a_flat_outline_runs_counter_clockwise(void **state)
{
    (void)state;
    const double clockwise[4][2] = {{0, 0}, {0, 10}, {20, 10}, {20, 0}};
    const PoiseProjection turned = {{0, 1, 0}, {-1, 0, 0}, {3, 4}};
    PoiseRings rings = {0};
    assert_int_equal(poise_silhouette_outline(clockwise, 4, &turned, &rings), POISE_OK);
    check_near(poise_rings_flat(&rings).area, 200, 1e-12);
    poise_rings_release(&rings);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_box_from_every_side),
        cmocka_unit_test(test_box_along_an_axis),
        cmocka_unit_test(test_sphere_is_a_disc),
        cmocka_unit_test(test_torus_keeps_its_hole),
        cmocka_unit_test(test_overlapping_shells_count_once),
        cmocka_unit_test(test_mirrored),
        cmocka_unit_test(test_strips_add_up),
        cmocka_unit_test(test_uprights_and_hatching),
        cmocka_unit_test(test_a_flat_outline_runs_counter_clockwise),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
