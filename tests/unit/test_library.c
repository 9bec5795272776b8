/* The library loader, on the small library in tests/data/components. */
#include "input_check.h"

#include <stdlib.h>
#include <unistd.h>

#include "base/memory.h"
#include "input/library.h"
#include "poise/instrument.h"

static const char GOOD[] = POISE_TEST_SOURCE_DIR "/tests/data/components";

static void reads_materials(void **state)
{
    (void)state;
    PoiseLibrary *library;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_library_read(GOOD, &library, NULL, faults);
    faults_are(faults, "");
    assert_int_equal(status, POISE_OK);
    assert_int_equal(library->material_count, 7);
    for (size_t i = 1; i < library->material_count; i++)
        assert_true(strcmp(library->materials[i - 1]->id, library->materials[i]->id) < 0);
    const PoiseMaterial *plastic = poise_library_material(library, "test-plastic");
    check_near(plastic->density_g_cm3.value, 1.25, 0);
    check_near(plastic->density_g_cm3.u, 0.02, 0);
    assert_int_equal(plastic->hazards, POISE_HAZARD_DUST);
    assert_true(isnan(plastic->moisture_percent) && isnan(plastic->pour_limit_mm));
    /* Wood Handbook (FPL-GTR-282) eq. (4-12): hard maple, G 0.63 at 12 %: 1.12 × 0.63 g/cm³. */
    const PoiseMaterial *maple = poise_library_material(library, "test-maple");
    check_close(maple->density_g_cm3.value, 0.7056, 1e-14);
    check_close(maple->density_g_cm3.u, 0.07056, 1e-14);
    check_near(maple->moisture_percent, 12, 0);
    /* Eq. (4-11): G_b 0.56 gives G_12 = 0.56/(1 − 0.265 · 0.56 · 0.6). */
    const PoiseMaterial *green = poise_library_material(library, "test-green");
    check_close(green->density_g_cm3.value, 1.12 * 0.56 / (1 - 0.265 * 0.56 * 0.6), 1e-14);
    const PoiseMaterial *epoxy = poise_library_material(library, "test-epoxy");
    check_close(epoxy->density_g_cm3.u, 0.022, 1e-14);
    check_near(epoxy->shrinkage, 0.02, 1e-17);
    check_near(epoxy->part_a_g_cm3, 1.15, 0);
    assert_int_equal(epoxy->hazards, POISE_HAZARD_RESIN | POISE_HAZARD_DUST);
    check_close(poise_library_material(library, "test-steel")->density_g_cm3.value, 7.85, 1e-15);
    poise_library_free(library);
    poise_faults_free(faults);
}

static void reads_parts_and_presets(void **state)
{
    (void)state;
    PoiseLibrary *library;
    PoisePresets presets;
    assert_int_equal(poise_library_read(GOOD, &library, &presets, NULL), POISE_OK);
    assert_int_equal(library->part_count, 4);
    const PoisePart *nut = poise_library_part(library, "test-nut");
    assert_int_equal(nut->geometry.kind, POISE_GEOMETRY_SQUARE_NUT);
    assert_true(isnan(nut->mass_g.value));
    assert_ptr_equal(nut->material, poise_library_material(library, "test-steel"));
    assert_int_equal(nut->axis, 2);
    check_near(nut->extent_mm[0], 7, 0);
    check_near(nut->extent_mm[2], 2.2, 0);
    assert_string_equal(nut->family, "hardware");
    const PoisePart *bridge = poise_library_part(library, "test-bridge");
    assert_int_equal(bridge->shape, POISE_SHAPE_BOX); /* an extent and no shape: filled */
    check_near(bridge->mass_g.u, 15, 0);
    check_near(bridge->centre_mm[0], -10, 0);
    assert_true(bridge->has_price && bridge->price == 35.0);
    assert_int_equal(bridge->hazards, POISE_HAZARD_LEAD);
    const PoisePart *jack = poise_library_part(library, "test-jack");
    assert_int_equal(jack->shape, POISE_SHAPE_POINT);
    check_near(jack->mass_g.value, 28.349523125, 0);
    const PoisePart *post = poise_library_part(library, "test-post");
    assert_int_equal(post->shape, POISE_SHAPE_CYLINDER);
    assert_int_equal(post->axis, 2);
    assert_null(poise_library_part(library, "Test-nut"));

    assert_int_equal(presets.count, 2);
    const PoisePreset *neck = poise_presets_find(&presets, POISE_ITEM_NECK, "test-neck");
    assert_non_null(neck);
    assert_string_equal(neck->name, "Neck");
    assert_null(cJSON_GetObjectItemCaseSensitive(neck->value, "name"));
    assert_non_null(cJSON_GetObjectItemCaseSensitive(neck->value, "shaft"));
    assert_null(poise_presets_find(&presets, POISE_ITEM_STRINGS, "test-neck"));
    poise_presets_clear(&presets);
    poise_library_free(library);
}

static void tells_every_fault(void **state)
{
    (void)state;
    /* Names short, so that the messages do not hold this machine's paths. */
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests/data"), 0);
    PoiseLibrary *library;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_library_read("bad-components", &library, NULL, faults), POISE_E_INPUT);
    assert_null(library);
    faults_are(
        faults,
        "bad-components/b.json:1:23: /poise_components: found 2, expected 1\n"
        "bad-components/b.json:1:45: /pars: found the unknown key \"pars\", expected one of: "
        "poise_components, family, title, note, materials, parts, necks, string_sets; did you mean "
        "\"parts\"?\n"
        "bad-components/a.json:5:61: /materials/iron/density: found \"7.87 kg\", expected a "
        "density such as 1.24 or \"1240 kg/m3\"; \"kg\" is a unit of mass, not of density\n"
        "bad-components/a.json:6:29: /materials/oak/family: found the unknown word \"wod\", "
        "expected one of: other, plastic, wood, resin, adhesive, metal; did you mean \"wood\"?\n"
        "bad-components/a.json:7:12: /materials/ash: found specific gravity or moisture of a "
        "material that is no wood, expected a density, or the family \"wood\"\n"
        "bad-components/a.json:8:12: /materials/gas: found no key \"density\", expected a density "
        "such as 1.24 or \"1240 kg/m3\"; or, of a wood, a specific gravity\n"
        "bad-components/b.json:2:18: /materials/iron: found the id \"iron\" again, expected each "
        "id once in the library; it stands in bad-components/a.json too\n"
        "bad-components/a.json:11:43: /parts/bolt/geometry: found no key \"pitch\", expected a "
        "length such as 25.4, \"25.4 mm\" or \"1 in\"\n"
        "bad-components/a.json:11:13: /parts/bolt: found no key \"material\", expected what the "
        "computed part is made of\n"
        "bad-components/a.json:12:102: /parts/cap/material: found the unknown material \"irn\", "
        "expected a material of the component library or of this file; did you mean \"iron\"?\n"
        "bad-components/a.json:12:12: /parts/cap: found both a mass and a geometry, expected one "
        "or the other\n"
        "bad-components/a.json:13:12: /parts/lid: found no key \"extent\", expected the overall "
        "size that the shape fills\n"
        "bad-components/a.json:14:12: /parts/rod: found a bore as wide as the tube, expected a "
        "bore below the diameter\n"
        "bad-components/a.json:16:72: /necks/n/nut_witdh: found the unknown key \"nut_witdh\", "
        "expected one of: name, source, shaft, board, frets, nut_width, heel_width, first, "
        "twelfth, board_thickness, length, heel, headstock, truss_rod, fret_wire, weighed; did you "
        "mean \"nut_width\"?\n");
    poise_faults_free(faults);
}

static void says_when_there_is_none(void **state)
{
    (void)state;
    PoiseLibrary *library;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_library_read("/nonexistent/components", &library, NULL, faults),
                     POISE_E_IO);
    faults_are(
        faults,
        "/nonexistent/components: cannot read the component library: No such file or directory\n");
    poise_faults_free(faults);
    faults = poise_faults_new();
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests"), 0);
    assert_int_equal(poise_library_read("data", &library, NULL, faults), POISE_E_INPUT);
    faults_are(faults, "data: no component files (*.json) in this directory\n");
    poise_faults_free(faults);
}

static void finds_its_directory(void **state)
{
    (void)state;
    assert_int_equal(setenv("POISE_COMPONENTS", "/somewhere/parts", 1), 0);
    char *dir = poise_components_dir();
    assert_string_equal(dir, "/somewhere/parts");
    poise_string_free(dir);
    unsetenv("POISE_COMPONENTS");
}

/* Each allocation fails once. */
static void survives_failing_memory(void **state)
{
    (void)state;
    long at = 0;
    PoiseStatus status;
    do {
        PoiseLibrary *library;
        PoisePresets presets;
        poise_alloc_fail_at(at++, 0);
        status = poise_library_read(GOOD, &library, &presets, NULL);
        poise_alloc_fail_at(-1, 0);
        poise_library_free(library);
        poise_presets_clear(&presets);
        if (status)
            assert_int_equal(status, POISE_E_MEMORY);
    } while (status);
    assert_true(at > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_materials),     cmocka_unit_test(reads_parts_and_presets),
        cmocka_unit_test(tells_every_fault),   cmocka_unit_test(says_when_there_is_none),
        cmocka_unit_test(finds_its_directory), cmocka_unit_test(survives_failing_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
