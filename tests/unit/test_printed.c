/* Printed sections: what the split weighs when filled, where its doubt comes from, faults of its
 * mesh. */
#include "check.h"

#include "base/memory.h"
#include "bodies/doubt.h"
#include "bodies/printed_fill.h"
#include "bodies/refuse.h"

/* Moments of a cuboid about a point of its own, by the closed form. */
static PoiseMoments cuboid(const double lo[3], const double hi[3])
{
    PoiseMoments m = {.volume_mm3 = 1};
    double d[3];
    for (int i = 0; i < 3; i++) {
        m.origin_mm[i] = lo[i]; /* about a corner */
        d[i] = hi[i] - lo[i];
        m.volume_mm3 *= d[i];
    }
    for (int i = 0; i < 3; i++) {
        m.first_mm4[i] = m.volume_mm3 * d[i] / 2;
        m.second_mm5[i] = m.volume_mm3 * d[i] * d[i] / 3;
        m.second_mm5[3 + i] = m.volume_mm3 * d[i] * d[(i + 1) % 3] / 4;
    }
    return m;
}

/* A block 200 × 100 × 40 cut across into perimeters (60 mm), skins (40 mm) and infill (100 mm): not
 * how a block prints, but all three have closed forms and together they are the block. */
static PoiseSplit cut_block(void)
{
    return (PoiseSplit){.perimeter = cuboid((double[3]){0, 0, 0}, (double[3]){60, 100, 40}),
                        .skin = cuboid((double[3]){60, 0, 0}, (double[3]){100, 100, 40}),
                        .infill = cuboid((double[3]){100, 0, 0}, (double[3]){200, 100, 40})};
}

static void all_infill_is_the_solid(void **state)
{
    (void)state;
    PoiseSplit split = cut_block();
    PoiseBody body = poise_printed_fill(&split, 1.0, 1.0, 1.24);
    double mass = 200 * 100 * 40 * 1.24e-3;
    check_close(body.mass_g, mass, 1e-14);
    check_near(body.centre_mm[0], 100, 1e-11);
    check_near(body.centre_mm[1], 50, 1e-11);
    check_near(body.centre_mm[2], 20, 1e-11);
    /* I = m(b² + c²)/12 of a cuboid. */
    check_close(body.inertia_gmm2[0][0], mass * (100 * 100 + 40 * 40) / 12, 1e-12);
    check_close(body.inertia_gmm2[1][1], mass * (200 * 200 + 40 * 40) / 12, 1e-12);
    check_close(body.inertia_gmm2[2][2], mass * (200 * 200 + 100 * 100) / 12, 1e-12);
    check_near(body.inertia_gmm2[0][1], 0, 1e-12 * body.inertia_gmm2[2][2]);
}

static void no_infill_is_walls_and_skins(void **state)
{
    (void)state;
    PoiseSplit split = cut_block();
    PoiseBody body = poise_printed_fill(&split, 0.0, 1.0, 1.24);
    check_close(body.mass_g, 100 * 100 * 40 * 1.24e-3, 1e-14);
    check_near(body.centre_mm[0], 50, 1e-11);
    check_close(body.inertia_gmm2[1][1], body.mass_g * (100 * 100 + 40 * 40) / 12, 1e-12);
}

static void mass_and_moment_are_linear_in_the_infill(void **state)
{
    (void)state;
    PoiseSplit split = cut_block();
    PoiseBody none = poise_printed_fill(&split, 0.0, 1.0, 1.24);
    PoiseBody full = poise_printed_fill(&split, 1.0, 1.0, 1.24);
    for (double f = 0.05; f < 1.0; f += 0.15) {
        PoiseBody body = poise_printed_fill(&split, f, 1.0, 1.24);
        check_close(body.mass_g, (1 - f) * none.mass_g + f * full.mass_g, 1e-13);
        check_close(body.mass_g * body.centre_mm[0],
                    (1 - f) * none.mass_g * none.centre_mm[0] + f * full.mass_g * full.centre_mm[0],
                    1e-12);
    }
}

static void infill_share_is_exact_at_both_ends(void **state)
{
    (void)state;
    assert_true(poise_infill_share(0.0) == 0.0);
    assert_true(poise_infill_share(1.0) == 1.0);
}

static void flow_and_density_scale_everything(void **state)
{
    (void)state;
    PoiseSplit split = cut_block();
    PoiseBody one = poise_printed_fill(&split, 0.3, 1.0, 1.0);
    PoiseBody other = poise_printed_fill(&split, 0.3, 0.95, 1.27);
    check_close(other.mass_g, one.mass_g * 0.95 * 1.27, 1e-13);
    check_near(other.centre_mm[0], one.centre_mm[0], 1e-11);
    check_close(other.inertia_gmm2[2][2], one.inertia_gmm2[2][2] * 0.95 * 1.27, 1e-13);
}

static void two_halves_weigh_what_the_whole_does(void **state)
{
    (void)state;
    PoiseSplit split = cut_block(), only_walls = {0}, rest = split;
    only_walls.perimeter = split.perimeter;
    rest.perimeter = (PoiseMoments){0};
    PoiseBody a = poise_printed_fill(&only_walls, 0.2, 1.0, 1.24);
    PoiseBody b = poise_printed_fill(&rest, 0.2, 1.0, 1.24);
    PoiseBody sum = poise_body_add(&a, &b), whole = poise_printed_fill(&split, 0.2, 1.0, 1.24);
    check_close(sum.mass_g, whole.mass_g, 1e-13);
    check_near(sum.centre_mm[0], whole.centre_mm[0], 1e-10);
    check_close(sum.inertia_gmm2[1][1], whole.inertia_gmm2[1][1], 1e-12);
}

static void nothing_to_fill_weighs_nothing(void **state)
{
    (void)state;
    PoiseSplit empty = {0};
    PoiseBody body = poise_printed_fill(&empty, 0.5, 1.0, 1.24);
    check_near(body.mass_g, 0, 0);
}

static void round_lines_stand_closer_than_their_width(void **state)
{
    (void)state;
    /* Line 0.45 mm, layer 0.2 mm: a rectangle 0.25 × 0.2 and a circle of 0.2 between two half
     * rounds. The spacing that leaves no gap is that area over the height. */
    PoiseSlicing slicing = {.layer_mm = 0.2, .line_mm = 0.45};
    double area = 0.25 * 0.2 + 3.14159265358979323846 * 0.1 * 0.1;
    check_close(1 - poise_line_narrowing(&slicing), area / 0.2 / 0.45, 1e-12);
}

static PoisePrinted settings(const PoiseMaterial *material)
{
    return (PoisePrinted){.material = material,
                          .slicing = {.layer_mm = 0.2, .line_mm = 0.45, .up = {0, 0, 1}},
                          .perimeters = 3,
                          .infill = {0.25, 0},
                          .flow = {1.0, 0.02}};
}

static void doubt_comes_apart_by_source(void **state)
{
    (void)state;
    PoiseMaterial petg = {.density_g_cm3 = {1.27, 0.0127}};
    PoisePrinted printed = settings(&petg);
    PoiseSplit split = cut_block();
    PoiseBody body = poise_printed_fill(&split, 0.25, 1.0, 1.27);
    PoiseItemDoubt doubt = poise_printed_doubt(&printed, &split, &body);
    check_close(doubt.density_u_g, body.mass_g * 0.01, 1e-12);
    check_close(doubt.flow_u_g, body.mass_g * 0.02, 1e-12);
    double infill_u = 0.25 * POISE_INFILL_PATTERN_U * 400000 * 1.27e-3;
    double wall_u = poise_line_narrowing(&printed.slicing) / sqrt(3) * 0.75 * 240000 * 1.27e-3;
    check_close(doubt.own_u_g, hypot(infill_u, wall_u), 1e-12);
    /* A mass δm at x moves the centre by δm (x − c)/m: infill about x = 150, perimeters about 30.
     */
    double c = body.centre_mm[0], m = body.mass_g;
    check_close(doubt.place_u_mm[0], hypot(infill_u * (150 - c) / m, wall_u * (30 - c) / m), 1e-10);
    check_near(doubt.place_u_mm[1], 0, 1e-12);
    /* A doubtful fraction adds its own: 2 points of infill are 2 % of the infill region. */
    printed.infill.u = 0.02;
    PoiseItemDoubt more = poise_printed_doubt(&printed, &split, &body);
    check_close(more.own_u_g, hypot(doubt.own_u_g, 0.02 * 400000 * 1.27e-3), 1e-12);
}

static void a_solid_print_has_no_doubt_of_its_own(void **state)
{
    (void)state;
    PoiseMaterial petg = {.density_g_cm3 = {1.27, 0.0127}};
    PoisePrinted printed = settings(&petg);
    printed.infill.value = 1.0;
    PoiseSplit split = cut_block();
    PoiseBody body = poise_printed_fill(&split, 1.0, 1.0, 1.27);
    check_near(poise_printed_doubt(&printed, &split, &body).own_u_g, 0, 0);
}

static void mesh_faults_name_their_item(void **state)
{
    (void)state;
    PoiseItem item = {.id = (char *)"left/wing", .line = 7, .column = 3};
    PoiseInstrument instrument = {.file = (char *)"wren.json"};
    PoiseFaults *mesh = poise_faults_new(), *faults = poise_faults_new();
    assert_non_null(mesh);
    assert_non_null(faults);
    poise_fault_add(mesh, &(PoiseFault){.status = POISE_E_MESH,
                                        .file = "wing.stl",
                                        .found = "4 open edges",
                                        .expected = "a closed surface",
                                        .hint = "repair it"});
    poise_fault_add(
        mesh, &(PoiseFault){
                  .status = POISE_E_MESH, .file = "wing.stl", .line = 9, .found = "half a facet"});
    assert_int_equal(poise_item_pass_on(&instrument, &item, "/mesh", POISE_E_MESH, mesh, faults),
                     POISE_E_MESH);
    assert_int_equal(poise_faults_count(faults), 2);
    const PoiseFault *first = poise_faults_get(faults, 0), *second = poise_faults_get(faults, 1);
    assert_string_equal(first->file, "wren.json");
    assert_int_equal(first->line, 7);
    assert_string_equal(first->pointer, "/items/left~1wing/mesh");
    assert_string_equal(first->found, "in wing.stl: 4 open edges");
    assert_string_equal(first->expected, "a closed surface");
    assert_string_equal(first->hint, "repair it");
    assert_string_equal(second->found, "wing.stl:9: half a facet");
    poise_faults_free(mesh);
    poise_faults_free(faults);
}

static void refuses_more_perimeters_than_are_split(void **state)
{
    (void)state;
    PoiseMaterial petg = {.density_g_cm3 = {1.27, 0}};
    PoiseItem item = {.id = (char *)"wing", .kind = POISE_ITEM_PRINTED, .count = 1};
    item.as.printed = settings(&petg);
    item.as.printed.perimeters = POISE_MAX_PERIMETERS + 1;
    PoiseInstrument instrument = {.file = (char *)"wren.json"};
    PoiseFaults *faults = poise_faults_new();
    assert_non_null(faults);
    PoiseItemBody body = {0};
    bool placed = false;
    assert_int_equal(poise_printed_body(&instrument, &item, NULL, &body, &placed, faults),
                     POISE_E_INPUT);
    assert_string_equal(poise_faults_get(faults, 0)->pointer, "/items/wing/print/perimeters");
    assert_null(body.loaded);
    poise_faults_free(faults);
}

/* Every allocation on the way of a fault fails once; the sanitizer sees what leaks. */
static void running_out_of_memory_is_survived(void **state)
{
    (void)state;
    PoiseItem item = {.id = (char *)"wing", .kind = POISE_ITEM_PRINTED, .count = 1};
    PoiseInstrument instrument = {.file = (char *)"wren.json"};
    PoiseFaults *mesh = poise_faults_new();
    assert_non_null(mesh);
    poise_fault_add(
        mesh, &(PoiseFault){.status = POISE_E_MESH, .file = "w.stl", .found = "4 open edges"});
    bool finished = false;
    int failures = 0;
    for (long at = 0; !finished && at < 100; at++) {
        PoiseFaults *faults = poise_faults_new();
        assert_non_null(faults);
        poise_alloc_fail_at(at, 0);
        PoiseStatus passed =
            poise_item_pass_on(&instrument, &item, "/mesh", POISE_E_MESH, mesh, faults);
        PoiseStatus refused =
            poise_item_refuse(&instrument, &item, "", "less", faults, "%.6g mm", 12.5);
        finished = poise_alloc_fail_at(-1, 0) <= at;
        assert_true(passed == POISE_E_MESH || passed == POISE_E_MEMORY);
        assert_true(refused == POISE_E_INPUT || refused == POISE_E_MEMORY);
        failures += passed == POISE_E_MEMORY || refused == POISE_E_MEMORY;
        poise_faults_free(faults);
    }
    assert_true(finished && failures > 0);
    poise_faults_free(mesh);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_infill_is_the_solid),
        cmocka_unit_test(no_infill_is_walls_and_skins),
        cmocka_unit_test(mass_and_moment_are_linear_in_the_infill),
        cmocka_unit_test(infill_share_is_exact_at_both_ends),
        cmocka_unit_test(flow_and_density_scale_everything),
        cmocka_unit_test(two_halves_weigh_what_the_whole_does),
        cmocka_unit_test(nothing_to_fill_weighs_nothing),
        cmocka_unit_test(round_lines_stand_closer_than_their_width),
        cmocka_unit_test(doubt_comes_apart_by_source),
        cmocka_unit_test(a_solid_print_has_no_doubt_of_its_own),
        cmocka_unit_test(mesh_faults_name_their_item),
        cmocka_unit_test(refuses_more_perimeters_than_are_split),
        cmocka_unit_test(running_out_of_memory_is_survived),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
