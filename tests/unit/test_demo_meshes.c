/* The demonstration bass's meshes as the build made them, read back as any user's would be. */
#include "check.h"

#include <stdbool.h>

#include "poise/mesh.h"

typedef struct Solid {
    const char *name;
    bool printed;
} Solid;

static const Solid SOLIDS[] = {{"spine-tail", true}, {"spine-neck", true}, {"wing-bout", true},
                               {"wing-horn", true},  {"wing-knee", true},  {"wing-toe", true},
                               {"inlay", false}};
enum { SOLID_COUNT = sizeof SOLIDS / sizeof SOLIDS[0] };

static PoiseMesh *meshes[SOLID_COUNT];

static int read_meshes(void **state)
{
    (void)state;
    for (int i = 0; i < SOLID_COUNT; i++) {
        char path[1024];
        snprintf(path, sizeof path, "%s/mudlark/%s.stl", POISE_TEST_DEMOS, SOLIDS[i].name);
        PoiseFaults *faults = poise_faults_new();
        if (faults == NULL || poise_mesh_read(path, NULL, &meshes[i], faults) != POISE_OK)
            return -1;
        poise_faults_free(faults);
    }
    return 0;
}

static int free_meshes(void **state)
{
    (void)state;
    for (int i = 0; i < SOLID_COUNT; i++)
        poise_mesh_free(meshes[i]);
    return 0;
}

static void every_mesh_is_closed(void **state)
{
    (void)state;
    for (int i = 0; i < SOLID_COUNT; i++) {
        PoiseFaults *faults = poise_faults_new();
        assert_int_equal(poise_mesh_check(meshes[i], SOLIDS[i].name, faults), POISE_OK);
        assert_int_equal(poise_faults_count(faults), 0);
        poise_faults_free(faults);
        assert_string_equal(meshes[i]->unit_warning, "");
    }
}

/* What a maker's section looks like: enough triangles to be real work, and flat on a 220 mm bed. */
static void sections_fit_the_bed(void **state)
{
    (void)state;
    for (int i = 0; i < SOLID_COUNT; i++) {
        if (!SOLIDS[i].printed)
            continue;
        assert_in_range(meshes[i]->triangle_count, 20000, 60000);
        for (int x = 0; x < 2; x++)
            assert_true(meshes[i]->max_mm[x] - meshes[i]->min_mm[x] < 220);
        check_near(meshes[i]->max_mm[2], 0, 0);
        check_near(meshes[i]->min_mm[2], -46, 0);
    }
}

/* Each section stays on its own side of its joints and reaches them exactly. */
static void sections_meet_and_do_not_overlap(void **state)
{
    (void)state;
    enum { TAIL, NECK, BOUT, HORN, KNEE, TOE };
    const PoiseMesh *const *m = (const PoiseMesh *const *)meshes;
    check_near(m[TAIL]->max_mm[0], 100, 0);
    check_near(m[NECK]->min_mm[0], 100, 0);
    check_near(m[BOUT]->max_mm[0], 144, 0);
    check_near(m[HORN]->min_mm[0], 144, 0);
    check_near(m[KNEE]->max_mm[0], 122, 0);
    check_near(m[TOE]->min_mm[0], 122, 0);
    for (int i = TAIL; i <= NECK; i++) {
        check_near(m[i]->min_mm[1], -56, 0);
        check_near(m[i]->max_mm[1], 56, 0);
    }
    for (int i = 0; i < 2; i++) {
        check_near(m[BOUT + i]->min_mm[1], 56, 0);
        check_near(m[KNEE + i]->max_mm[1], -56, 0);
    }
}

/* Worked out by hand from the drawing, apart from the mesh maker. Body, mL: outline area (shoelace
 * over 2688 points of the spline) 103 915 mm² × 46 mm = 4780.1; edges rounded over at 6 mm, 2 ×
 * 1501.7 mm × (1 − π/4)·36 mm² = −23.2; pockets −534.4 (neck 73.0, pickups 161.9, controls and
 * cover 174.7, nut slots 5.4, round holes 51.6, inlay 67.8). The grid eases every sharp edge by up
 * to half of its 2 mm square: 0.5 mm² along roughly 10 m of edge, partly gained (pockets) and
 * partly lost (joints), so 5 mL is the doubt. Inlay: a band 2 × 17 mm wide on the mean along 456 mm
 * × 0.66 rad, with half discs of 24 and 10 mm radius at its ends, 6 mm deep: (10 233 + 1062) mm² ×
 * 6 mm = 67.8; its two edges, 2 × 0.7 m, lose 0.7. */
static void volumes_are_those_of_the_drawing(void **state)
{
    (void)state;
    double body = 0;
    for (int i = 0; i < SOLID_COUNT; i++) {
        double ml = poise_mesh_moments(meshes[i]).volume_mm3 / 1000;
        if (SOLIDS[i].printed)
            body += ml;
        else
            check_near(ml, 67.8 - 0.7, 0.7);
    }
    check_near(body, 4780.1 - 23.2 - 534.4, 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_mesh_is_closed),
        cmocka_unit_test(sections_fit_the_bed),
        cmocka_unit_test(sections_meet_and_do_not_overlap),
        cmocka_unit_test(volumes_are_those_of_the_drawing),
    };
    return cmocka_run_group_tests(tests, read_meshes, free_meshes);
}
