/* From an instrument file to the model, and everything that is wrong with a bad one. */
#include "input_check.h"

#include <unistd.h>

#include "base/file.h"
#include "base/memory.h"
#include "input/reader.h"

static PoiseInstrument *read_good(const char *file, const char *variant)
{
    PoiseInstrument *in;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests/data"), 0);
    PoiseStatus status = poise_instrument_read(file, variant, "components", &in, faults);
    faults_are(faults, "");
    assert_int_equal(status, POISE_OK);
    poise_faults_free(faults);
    return in;
}

static void has(PoiseQuantity q, double value, double u)
{
    check_near(q.value, value, 1e-12 * fabs(value));
    check_near(q.u, u, 1e-12 * fabs(u));
}

static void reads_the_head(void **state)
{
    (void)state;
    PoiseInstrument *in = read_good("instruments/good.json", NULL);
    assert_string_equal(in->file, "instruments/good.json");
    assert_string_equal(in->dir, "instruments");
    assert_string_equal(in->name, "good");
    assert_null(in->variant);
    /* head and face come out as unit vectors, exactly square. */
    check_near(in->frame.head[0], 1, 0);
    check_near(in->frame.face[0], 0, 0);
    check_near(in->frame.face[2], 1, 1e-15);
    assert_false(in->frame.left);
    assert_true(in->has_scale && in->has_posts && in->has_strap && in->has_seat && in->has_arm);
    check_near(in->horn_mm[0], 330.2, 1e-12);
    has(in->strap_mm, 1100, 0);
    has(in->friction, 0.35, 0.1);
    has(in->neck_angle_deg, 20, 0);
    /* Fifth fret, twelve-tone rule: x = L (1 − 2^(−5/12)) from the nut, on the line to the saddle;
     * 650 mm gives 163.050 mm (computed table), so 648 mm gives 162.548. */
    assert_string_equal(in->hand_text, "fret 5");
    check_near(648 - in->hand_mm[0], 163.050 * 648 / 650, 5e-4);
    check_near(in->hand_mm[2], 10 + 2 * 163.050 / 650, 5e-6);
    check_near(in->rest_mm[2], 0, 0);
    check_near(in->seat_width_mm, 90, 0);
    check_near(in->arm_mm[2], 20, 0);
    has(in->arm_g, 907.18474, 0);
    assert_true(in->has_target_mass && in->has_target_margin && !in->has_target_hand_load);
    check_near(in->target_mass_g, 117 * 28.349523125, 1e-9);
    check_near(in->printer.bed_mm[2], 250, 0);
    has(in->printer.flow_mm3_s, 11.5, 1.5);
    check_near(in->printer.layer_seconds, 5, 0);
    check_near(in->printer.spool_g, 1000, 0);
    check_near(in->printer.filament_mm, 1.75, 0);
    assert_int_equal(in->variant_count, 2);
    assert_string_equal(in->variants[1], "same");
    poise_instrument_free(in);
}

static void reads_own_materials(void **state)
{
    (void)state;
    PoiseInstrument *in = read_good("instruments/good.json", NULL);
    assert_int_equal(in->material_count, 3);
    /* Wood Handbook eq. (4-11) and (4-12) by hand: G_12 = 0.63 back to G_b = 0.63/(1 + 0.159·0.63),
     * on to 6 %: G_6 = G_b/(1 − 0.212 G_b), ρ = 1.06 G_6. The base's 10 % spread stays 10 %. */
    double basic = 0.63 / (1 + 0.265 * 0.6 * 0.63), at6 = basic / (1 - 0.265 * 0.8 * basic);
    has(in->materials[0]->density_g_cm3, 1.06 * at6, 0.106 * at6);
    assert_int_equal(in->materials[0]->family, POISE_MATERIAL_WOOD);
    check_near(in->materials[0]->moisture_percent, 6, 0);
    has(in->materials[1]->density_g_cm3, 1.26, 0.01);
    assert_string_equal(in->materials[1]->name, "house");
    const PoiseItem *neck = poise_instrument_item(in, "neck");
    assert_ptr_equal(neck->as.neck.board, in->materials[0]);
    /* The file's own comes before the library's of the same id; a preset's material stays the
     * library's… */
    assert_ptr_equal(poise_instrument_item(in, "strings")->as.strings.material, in->materials[2]);
    poise_instrument_free(in);
}

static void reads_items(void **state)
{
    (void)state;
    PoiseInstrument *in = read_good("instruments/good.json", NULL);
    assert_int_equal(in->item_count, 10);
    const PoiseItem *spine = &in->items[0];
    assert_string_equal(spine->id, "spine");
    assert_int_equal(spine->line, 18);
    assert_int_equal(spine->column, 14);
    assert_string_equal(spine->as.printed.mesh, "instruments/meshes/spine.stl");
    assert_null(spine->as.printed.mesh_unit);
    has(spine->as.printed.infill, 0.3, 0);
    has(spine->as.printed.flow, 1, 0.02);
    assert_int_equal(spine->as.printed.perimeters, 3);
    check_near(spine->as.printed.slicing.layer_mm, 0.2, 0);
    check_near(spine->as.printed.slicing.line_mm, 0.5, 0);
    assert_int_equal(spine->as.printed.slicing.top, 5);
    assert_int_equal(spine->as.printed.slicing.bottom, 4);
    check_near(spine->as.printed.slicing.up[2], 1, 0);
    assert_true(spine->has_measured && !spine->has_at && spine->count == 1);
    has(spine->measured_g, 742, 1);

    const PoisePoured *pour = &poise_instrument_item(in, "pour")->as.poured;
    assert_string_equal(pour->mesh, "/abs/pour.stl");
    assert_string_equal(pour->mesh_unit, "in");
    assert_true(pour->has_mix && pour->ratio_by_mass && pour->ratio_a == 100.0 &&
                pour->ratio_b == 45.0);
    check_near(pour->waste, 0.08, 0);
    check_near(pour->tilt_deg, 0.5, 0);
    const PoiseItem *dot = poise_instrument_item(in, "dot");
    has(dot->as.poured.volume_ml, 2, 0.2);
    check_near(dot->as.poured.depth_mm, 3, 0);
    assert_true(dot->has_at && !dot->as.poured.has_mix && dot->at_mm[2] == 3.0);

    const PoiseItem *slab = poise_instrument_item(in, "slab");
    assert_int_equal(slab->as.solid.outline.count, 4);
    has(slab->as.solid.thickness_mm, 44, 0.5);
    check_near(slab->as.solid.top_mm, -1, 0);
    check_near(slab->turn_deg[2], 90, 0);
    assert_int_equal(slab->as.solid.cut_count, 2);
    check_near(slab->as.solid.cuts[0].depth_mm, 16, 0);
    assert_int_equal(slab->as.solid.cuts[0].outline.count, 3);
    assert_true(isnan(slab->as.solid.cuts[1].depth_mm) && slab->as.solid.cuts[1].from_bottom);
    check_near(slab->as.solid.cuts[1].at_mm[1], 60, 0);

    const PoiseItem *bridge = poise_instrument_item(in, "bridge");
    assert_string_equal(bridge->part->name, "Bridge");
    assert_string_equal(bridge->note, "two of them");
    assert_true(bridge->count == 2 && bridge->has_price && bridge->price == 30.0);
    const PoiseMass *box = &poise_instrument_item(in, "box")->as.mass;
    assert_true(box->shape == POISE_SHAPE_BOX && box->size_mm[1] == 20.0);
    const PoiseMass *rod = &poise_instrument_item(in, "rod")->as.mass;
    assert_true(rod->shape == POISE_SHAPE_CYLINDER && rod->size_mm[0] == 8.0 &&
                rod->size_mm[1] == 100.0);
    assert_int_equal(rod->axis, 1);
    const PoiseMass *lead = &poise_instrument_item(in, "lead")->as.mass;
    assert_true(lead->ballast && lead->ballast_max_g == 400.0 && lead->shape == POISE_SHAPE_POINT);
    poise_instrument_free(in);
}

static void lays_items_over_presets(void **state)
{
    (void)state;
    PoiseInstrument *in = read_good("instruments/good.json", NULL);
    const PoiseNeck *neck = &poise_instrument_item(in, "neck")->as.neck;
    assert_string_equal(neck->shaft->id, "test-maple");
    assert_int_equal(neck->frets, 21);       /* the preset's, not the scale's */
    has(neck->nut_width_mm, 42, 0.5);        /* the preset's */
    check_near(neck->heel_length_mm, 80, 0); /* the item's, key by key */
    check_near(neck->heel_mm, 26, 0);        /* the preset's */
    has(neck->heel_width_mm, 56, 1);         /* the default */
    has(neck->truss_rod_g, 0, 0);
    assert_true(isnan(neck->length_mm) && !neck->has_measured);
    const PoiseStrings *strings = &poise_instrument_item(in, "strings")->as.strings;
    assert_int_equal(strings->count, 4);
    has(strings->strings[0].gauge_mm, 0.25, 0);
    has(strings->strings[1].gauge_mm, 0.3302, 0);
    has(strings->strings[2].gauge_mm, 1.1, 0.02);
    assert_true(strings->strings[2].wound && strings->strings[2].unit_mass_g_per_m == 6.5);
    assert_true(strings->strings[3].wound && isnan(strings->strings[3].unit_mass_g_per_m));
    assert_string_equal(strings->wrap->id, "nickel-wrap");
    check_near(strings->beyond_nut_mm, 60, 0);
    check_near(strings->beyond_saddle_mm, 25, 0);
    poise_instrument_free(in);
}

static void merges_variants(void **state)
{
    (void)state;
    PoiseInstrument *in = read_good("instruments/good.json", "light");
    assert_string_equal(in->variant, "light");
    const PoiseItem *spine = poise_instrument_item(in, "spine");
    has(spine->as.printed.infill, 0.12, 0);
    check_near(spine->as.printed.slicing.line_mm, 0.5, 0);
    /* What was weighed is not what the variant prints. */
    assert_false(spine->has_measured);
    assert_null(poise_instrument_item(in, "box"));
    has(poise_instrument_item(in, "bridge")->measured_g, 300, 1 / sqrt(12));
    poise_instrument_free(in);
    in = read_good("instruments/good.json", "same");
    assert_true(poise_instrument_item(in, "spine")->has_measured);
    poise_instrument_free(in);

    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(
        poise_instrument_read("instruments/good.json", "lihgt", "components", &in, faults),
        POISE_E_USAGE);
    assert_null(in);
    faults_are(faults, "instruments/good.json: found no variant \"lihgt\", expected one of: "
                       "\"light\", \"same\"; did you "
                       "mean \"light\"?\n");
    poise_faults_free(faults);
}

static void says_what_variants_change(void **state)
{
    (void)state;
    PoiseDocument *document;
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests/data"), 0);
    assert_int_equal(poise_document_read("instruments/good.json", &document, NULL), POISE_OK);
    assert_true(poise_variant_changes(document, "light"));
    assert_false(poise_variant_changes(document, "same"));
    assert_false(poise_variant_changes(document, "none"));
    assert_non_null(poise_document_variant(document, "same"));
    poise_document_free(document);
}

/* As a sweep does: one document, one shelf, many trees. */
static void reads_changed_trees(void **state)
{
    (void)state;
    PoiseDocument *document;
    PoiseShelf shelf;
    PoiseInstrument *in;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests/data"), 0);
    assert_int_equal(poise_document_read("instruments/good.json", &document, NULL), POISE_OK);
    assert_int_equal(poise_shelf_read("components", &shelf, NULL), POISE_OK);
    cJSON *tree = cJSON_Duplicate(document->root, 1);
    const char *pointer = "/items/spine/print/infill";
    assert_int_equal(poise_pointer_set(tree, pointer, cJSON_CreateNumber(0.45)), POISE_OK);
    poise_forget_measured(tree, pointer);
    assert_int_equal(
        poise_instrument_from_document(document, tree, NULL, "instruments", &shelf, &in, faults),
        POISE_OK);
    has(in->items[0].as.printed.infill, 0.45, 0);
    assert_false(in->items[0].has_measured);
    assert_true(poise_instrument_item(in, "bridge")->has_measured);
    poise_instrument_free(in);
    assert_int_equal(
        poise_instrument_from_document(document, tree, "light", "instruments", &shelf, &in, faults),
        POISE_OK);
    has(in->items[0].as.printed.infill, 0.12, 0);
    poise_instrument_free(in);
    /* A value the file does not have is placed at what surrounds it. */
    assert_int_equal(
        poise_pointer_set(tree, "/items/spine/print/perimeters", cJSON_CreateNumber(99)), POISE_OK);
    assert_int_equal(
        poise_instrument_from_document(document, tree, NULL, "instruments", &shelf, &in, faults),
        POISE_E_INPUT);
    assert_null(in);
    faults_are(faults, "instruments/good.json:18:93: /items/spine/print/perimeters: found 99, "
                       "expected from 0 to 8\n");
    cJSON_Delete(tree);
    poise_shelf_clear(&shelf);
    poise_document_free(document);
    poise_faults_free(faults);
}

static void takes_long_defaults_on_long_scales(void **state)
{
    (void)state;
    static const char format[] =
        "{\"poise\":1,\"scale\":{\"nut\":[%s,0,0],\"saddle\":[0,0,0],\"frets\":20},"
        "\"items\":{\"n\":{\"kind\":\"neck\",\"shaft\":\"test-maple\",\"board_thickness\":0}}}";
    static const struct {
        const char *scale;
        double first, rod;
    } table[] = {{"700", 21, 110}, {"701", 21.5, 140}};
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests/data"), 0);
    for (size_t i = 0; i < 2; i++) {
        char text[512];
        PoiseInstrument *in;
        snprintf(text, sizeof text, format, table[i].scale);
        assert_int_equal(
            poise_instrument_parse(text, strlen(text), "text", ".", NULL, "components", &in, NULL),
            POISE_OK);
        has(in->items[0].as.neck.first_mm, table[i].first, 1);
        check_near(in->items[0].as.neck.truss_rod_g.value, table[i].rod, 0);
        assert_int_equal(in->items[0].as.neck.frets, 20); /* the scale's */
        assert_null(in->items[0].as.neck.board);
        assert_string_equal(in->hand_text, "nut");
        check_near(in->hand_mm[0], i ? 701 : 700, 0);
        assert_true(isnan(in->printer.price));
        poise_instrument_free(in);
    }
}

/* The print defaults of the key table are those of slicing a section on its own. */
static void agrees_with_the_slicer(void **state)
{
    (void)state;
    static const char text[] = "{\"poise\":1,\"items\":{\"a\":{\"kind\":\"printed\",\"mesh\":\"a."
                               "stl\",\"material\":\"test-plastic\"}}}";
    PoiseInstrument *in;
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests/data"), 0);
    assert_int_equal(
        poise_instrument_parse(text, strlen(text), "text", ".", NULL, "components", &in, NULL),
        POISE_OK);
    PoiseSlicing alone = poise_slicing_default(), read = in->items[0].as.printed.slicing;
    check_near(read.layer_mm, alone.layer_mm, 0);
    check_near(read.line_mm, alone.line_mm, 0);
    assert_int_equal(read.top, alone.top);
    assert_int_equal(read.bottom, alone.bottom);
    for (int i = 0; i < 3; i++)
        check_near(read.up[i], alone.up[i], 0);
    poise_instrument_free(in);
}

/* The expected lines were checked by eye, place by place, against the file. */
static void tells_every_fault(void **state)
{
    (void)state;
    PoiseInstrument *in;
    PoiseFaults *faults = poise_faults_new();
    char *want;
    size_t size;
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests/data"), 0);
    assert_int_equal(poise_file_read("instruments/bad.expected", 65536, &want, &size, NULL),
                     POISE_OK);
    assert_int_equal(poise_instrument_read("instruments/bad.json", NULL, "components", &in, faults),
                     POISE_E_INPUT);
    assert_null(in);
    faults_are(faults, want);
    poise_release(want);
    poise_faults_free(faults);
}

/* A broken library does not hide what is wrong with the file. */
static void goes_on_without_a_library(void **state)
{
    (void)state;
    PoiseInstrument *in;
    PoiseFaults *faults = poise_faults_new();
    static const char text[] =
        "{\"poise\":1,\"items\":{\"a\":{\"kind\":\"part\",\"part\":\"x\",\"cuont\":2}}}";
    assert_int_equal(
        poise_instrument_parse(text, strlen(text), "text", ".", NULL, "/nonexistent", &in, faults),
        POISE_E_IO);
    assert_null(in);
    faults_are(faults,
               "/nonexistent: cannot read the component library: No such file or directory\n"
               "text:1:51: /items/a/cuont: found the unknown key \"cuont\", expected one of: kind, "
               "at, turn, count, note, price, part; did you mean \"count\"?\n");
    poise_faults_free(faults);
}

static void refuses_what_is_no_instrument(void **state)
{
    (void)state;
    static const struct {
        const char *text, *message;
    } table[] = {
        {"5", "text:1:1: (whole document): found 5, expected an object in braces; An instrument "
              "file of poise\n"},
        {"{}",
         "text:1:1: (whole document): found no key \"items\", expected everything that has mass, "
         "by id\n"
         "text:1:1: (whole document): found no key \"poise\", expected version of the format: 1\n"},
        {"{\"poise\":1,\"items\":{}}",
         "text:1:20: /items: found 0 items, expected from 1 to 1000 items\n"},
        {"{\"poise\":1,\"items\":[]}",
         "text:1:20: /items: found a list of 0, expected an object in braces\n"},
        {"{\"poise\":1,\"items\":{\"\":{\"kind\":\"mass\",\"mass\":1}}}",
         "text:1:21: /items/: found an empty id, expected an id\n"},
        {"{\"poise\":1,\"poise\":1,\"items\":",
         "text:1:30: found the end of the file, expected a value\n"},
    };
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests/data"), 0);
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        PoiseInstrument *in;
        PoiseFaults *faults = poise_faults_new();
        PoiseStatus status = poise_instrument_parse(table[i].text, strlen(table[i].text), "text",
                                                    ".", NULL, "components", &in, faults);
        faults_are(faults, table[i].message);
        assert_int_equal(status, POISE_E_INPUT);
        poise_faults_free(faults);
    }
}

/* Each allocation fails once: a good answer or POISE_E_MEMORY, and nothing leaked (checked by the
 * sanitizer). */
static void survives_failing_memory(void **state)
{
    (void)state;
    PoiseDocument *document;
    PoiseShelf shelf;
    PoiseStatus status = POISE_OK;
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests/data"), 0);
    assert_int_equal(poise_document_read("instruments/good.json", &document, NULL), POISE_OK);
    assert_int_equal(poise_shelf_read("components", &shelf, NULL), POISE_OK);
    for (long at = 0; at == 0 || status; at++) {
        PoiseInstrument *in;
        poise_alloc_fail_at(at, 0);
        status = poise_instrument_from_document(document, NULL, "light", "instruments", &shelf, &in,
                                                NULL);
        poise_alloc_fail_at(-1, 0);
        poise_instrument_free(in);
        if (status)
            assert_int_equal(status, POISE_E_MEMORY);
    }
    poise_shelf_clear(&shelf);
    poise_document_free(document);
}

/* The same over a file with faults: the list may lose some, the call may not crash or say OK. */
static void survives_failing_memory_with_faults(void **state)
{
    (void)state;
    assert_int_equal(chdir(POISE_TEST_SOURCE_DIR "/tests/data"), 0);
    for (long at = 0; at < 3000; at += 7) {
        PoiseInstrument *in;
        PoiseFaults *faults = poise_faults_new();
        poise_alloc_fail_at(at, 0);
        PoiseStatus status =
            poise_instrument_read("instruments/bad.json", NULL, "components", &in, faults);
        poise_alloc_fail_at(-1, 0);
        assert_true(status == POISE_E_INPUT || status == POISE_E_MEMORY);
        assert_null(in);
        poise_faults_free(faults);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_the_head),
        cmocka_unit_test(reads_own_materials),
        cmocka_unit_test(reads_items),
        cmocka_unit_test(lays_items_over_presets),
        cmocka_unit_test(merges_variants),
        cmocka_unit_test(says_what_variants_change),
        cmocka_unit_test(reads_changed_trees),
        cmocka_unit_test(takes_long_defaults_on_long_scales),
        cmocka_unit_test(agrees_with_the_slicer),
        cmocka_unit_test(tells_every_fault),
        cmocka_unit_test(goes_on_without_a_library),
        cmocka_unit_test(refuses_what_is_no_instrument),
        cmocka_unit_test(survives_failing_memory),
        cmocka_unit_test(survives_failing_memory_with_faults),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
