/* Solids of one material: slabs with pockets, and meshes. */
#include "item_fixture.h"

#include "base/memory.h"
#include "model/wood.h"

static double blank_mm[4][2] = {{0, 0}, {400, 0}, {400, 300}, {0, 300}};
static double pocket_mm[4][2] = {{100, 100}, {200, 100}, {200, 150}, {100, 150}};

/* White ash, specific gravity 0.605 at 12 %: 678 kg/m³ (Wood Handbook, GTR-190 p. 4-10; read in
 * another project's test). */
static PoiseMaterial ash(void)
{
    double density = poise_wood_density_g_cm3(0.605, 12);
    return (PoiseMaterial){.family = POISE_MATERIAL_WOOD,
                           .density_g_cm3 = {density, 0.1 * density}};
}

static PoiseItem slab_of(const PoiseMaterial *material)
{
    PoiseItem item = item_of(POISE_ITEM_SOLID);
    item.as.solid =
        (PoiseSolid){.outline = {4, blank_mm}, .thickness_mm = {44, 0}, .material = material};
    return item;
}

/* 400 × 300 × 44 mm = 5.28 L at 678 kg/m³: 3.580 kg, its top face at z = 0. */
static void test_slab(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial wood = ash();
    PoiseItem item = slab_of(&wood);
    PoiseItemBody b = body_of(&wren, &item);
    check_near(b.body.mass_g, 5.28 * 678, 5.28 * 0.5);
    check_close(b.solid_mm3, 5.28e6, 1e-12);
    assert_true(b.has_volumes && isnan(b.skin_mm3));
    check_near(b.body.centre_mm[0], 200, 1e-9);
    check_near(b.body.centre_mm[1], 150, 1e-9);
    check_near(b.body.centre_mm[2], -22, 1e-9);
    /* m(h² + d²)/12 */
    check_close(b.body.inertia_gmm2[2][2], b.body.mass_g * (160000.0 + 90000.0) / 12.0, 1e-11);
    check_close(b.doubt.density_u_g, 0.1 * b.body.mass_g, 1e-14);
    check_near(b.doubt.own_u_g, 0, 0);
    check_near(b.doubt.place_u_mm[0], 0, 0);
}

/* A pocket 100 × 50 × 20 mm from the top, a hole of 50 mm right through, a bore from the back: by
 * hand. */
static void test_cuts(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial one = {.density_g_cm3 = {1, 0}};
    PoiseItem item = slab_of(&one);
    PoiseCut cuts[3] = {
        {.outline = {4, pocket_mm}, .depth_mm = 20},
        {.at_mm = {300, 200}, .diameter_mm = 50, .depth_mm = NAN},
        {.at_mm = {50, 250}, .diameter_mm = 20, .depth_mm = 10, .from_bottom = true},
    };
    item.as.solid.cuts = cuts;
    item.as.solid.cut_count = 3;
    item.as.solid.top_mm = 5;
    PoiseItemBody b = body_of(&wren, &item);
    const double pi = 3.14159265358979323846;
    double volume[4] = {5.28e6, -1e5, -pi * 625 * 44, -pi * 100 * 10};
    double x[4] = {200, 150, 300, 50}, y[4] = {150, 125, 200, 250}, z[4] = {-17, -5, -17, -34};
    double all = 0, mx = 0, my = 0, mz = 0;
    for (int k = 0; k < 4; k++) {
        all += volume[k];
        mx += volume[k] * x[k];
        my += volume[k] * y[k];
        mz += volume[k] * z[k];
    }
    check_close(b.solid_mm3, all, 1e-9);
    check_near(b.body.centre_mm[0], mx / all, 1e-6);
    check_near(b.body.centre_mm[1], my / all, 1e-6);
    check_near(b.body.centre_mm[2], mz / all, 1e-6);
}

/* Stock of 44 ± 0.5 mm. The pocket keeps its depth, so what varies is the full outline less the
 * hole that goes through; the middle moves by half a millimetre's half. */
static void test_thickness_doubt(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial one = {.density_g_cm3 = {1, 0}};
    PoiseItem item = slab_of(&one);
    item.as.solid.thickness_mm.u = 0.5;
    PoiseItemBody b = body_of(&wren, &item);
    check_close(b.doubt.own_u_g, 60.0, 1e-10);
    check_near(b.doubt.place_u_mm[2], 0.25, 1e-10);
    PoiseCut cuts[2] = {{.outline = {4, pocket_mm}, .depth_mm = 20},
                        {.at_mm = {300, 200}, .diameter_mm = 50, .depth_mm = NAN}};
    item.as.solid.cuts = cuts;
    item.as.solid.cut_count = 2;
    b = body_of(&wren, &item);
    check_close(b.doubt.own_u_g, 0.5 * (120000 - 3.14159265358979323846 * 625) * 1e-3, 1e-9);
}

/* Tetrahedron (0,0,0), (5,0,0), (0,4,0), (0,0,3): volume 10, centre (1.25, 1, 0.75), inertia about
 * it 9.375, 12.75, 15.375 (B. Mirtich's test body; exact values worked from its geometry). In
 * centimetres here. */
static void test_mesh(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial brass = {.density_g_cm3 = {8.5, 0.085}};
    Soup soup = {0};
    const double o[3] = {0, 0, 0}, a[3] = {5, 0, 0}, b[3] = {0, 4, 0}, c[3] = {0, 0, 3};
    soup_triangle(&soup, o, b, a);
    soup_triangle(&soup, o, a, c);
    soup_triangle(&soup, o, c, b);
    soup_triangle(&soup, a, b, c);
    char path[512], unit[] = "cm";
    write_stl(&soup, "solid-tetra.stl", path);
    PoiseItem item = item_of(POISE_ITEM_SOLID);
    item.as.solid = (PoiseSolid){.mesh = path, .mesh_unit = unit, .material = &brass};
    item.has_at = true;
    item.at_mm[0] = 1000;
    PoiseItemBody got = body_of(&wren, &item);
    check_close(got.body.mass_g, 85.0, 1e-13);
    check_close(got.doubt.density_u_g, 0.85, 1e-13);
    check_near(got.body.centre_mm[0], 1012.5, 1e-10);
    check_near(got.body.centre_mm[2], 7.5, 1e-12);
    const double inertia[3] = {9.375, 12.75, 15.375};
    for (int i = 0; i < 3; i++)
        check_close(got.body.inertia_gmm2[i][i], inertia[i] * 8.5 * 100, 1e-12);
    check_close(got.solid_mm3, 10000.0, 1e-13);

    /* One triangle short is no solid. */
    soup.count--;
    write_stl(&soup, "solid-tetra.stl", path);
    refused_at(&wren, &item, POISE_E_MESH, "/mesh");
    soup_free(&soup);
}

static void test_refusals(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial wood = ash();
    PoiseItem item = slab_of(&wood);
    double bow_tie[4][2] = {{0, 0}, {10, 10}, {10, 0}, {0, 10}};
    item.as.solid.outline.points_mm = bow_tie;
    refused_at(&wren, &item, POISE_E_INPUT, "/outline");
}

/* Two boxes of 1000 mm³ each that share half: 2000 mm³ are counted, and the maker is told that a
 * quarter of them is there twice. */
static void test_overlapping_shells(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial wood = ash();
    Soup soup = {0};
    soup_box(&soup, (double[3]){0, 0, 0}, (double[3]){10, 10, 10});
    soup_box(&soup, (double[3]){0, 0, 5}, (double[3]){10, 10, 15});
    char path[512], unit[] = "mm";
    write_stl(&soup, "solid-overlap.stl", path);
    PoiseItem item = item_of(POISE_ITEM_SOLID);
    item.as.solid = (PoiseSolid){.mesh = path, .mesh_unit = unit, .material = &wood};
    PoiseItemBody got = body_of(&wren, &item);
    check_close(got.solid_mm3, 2000.0, 1e-13);
    assert_non_null(strstr(got.warning, "25.0 % of the volume"));
    soup.count = 12;
    write_stl(&soup, "solid-overlap.stl", path);
    got = body_of(&wren, &item);
    assert_string_equal(got.warning, "");
    soup_free(&soup);
}

/* Each allocation on the way failing in turn is a status and leaves nothing behind (the sanitizer
 * looks). */
static void test_out_of_memory(void **state)
{
    (void)state;
    PoiseInstrument wren = drawn_along_x();
    PoiseMaterial wood = ash();
    PoiseItem item = slab_of(&wood);
    PoiseCut cut = {.outline = {4, pocket_mm}, .depth_mm = 20};
    item.as.solid.cuts = &cut;
    item.as.solid.cut_count = 1;
    PoiseStatus status = POISE_E_MEMORY;
    long at = 0;
    for (; status == POISE_E_MEMORY && at < 1000; at++) {
        PoiseItemBody out;
        poise_alloc_fail_at(at, 0);
        status = poise_item_body(&wren, &item, NULL, &out, NULL);
        poise_alloc_fail_at(-1, 0);
    }
    assert_int_equal(status, POISE_OK);
    assert_true(at > 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_slab),
        cmocka_unit_test(test_cuts),
        cmocka_unit_test(test_thickness_doubt),
        cmocka_unit_test(test_mesh),
        cmocka_unit_test(test_overlapping_shells),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
