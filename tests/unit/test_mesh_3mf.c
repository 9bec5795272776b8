/* Reading 3MF packages, made here with libzip. 3MF Core Specification 1.4.0: units and their
 * default (3.4), transforms as row-major affine matrices for row vectors (3.3), triangles
 * counter-clockwise from outside and counted from 0 (4.1), the sign of the volume kept under a
 * negative determinant (3.3). */
#include <zip.h>

#include "check.h"
#include "solids.h"

#define CORE "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
#define RELATIONS                                                                                  \
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<Relationships "                                  \
    "xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\"><Relationship "        \
    "Target=\"%s\" "                                                                               \
    "Id=\"rel0\" "                                                                                 \
    "Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/></Relationships>"
#define BOX                                                                                        \
    "<mesh><vertices><vertex x=\"0\" y=\"0\" z=\"0\"/><vertex x=\"10\" y=\"0\" z=\"0\"/><vertex "  \
    "x=\"0\" "                                                                                     \
    "y=\"20\" z=\"0\"/><vertex x=\"10\" y=\"20\" z=\"0\"/><vertex x=\"0\" y=\"0\" "                \
    "z=\"30\"/><vertex "                                                                           \
    "x=\"10\" y=\"0\" z=\"30\"/><vertex x=\"0\" y=\"20\" z=\"30\"/><vertex x=\"1e1\" "             \
    "y=\"2.0e+1\" "                                                                                \
    "z=\" 30 \"/></vertices><triangles>"                                                           \
    "<triangle v1=\"0\" v2=\"2\" v3=\"3\"/><triangle v1=\"0\" v2=\"3\" v3=\"1\"/>"                 \
    "<triangle v1=\"4\" v2=\"5\" v3=\"7\"/><triangle v1=\"4\" v2=\"7\" v3=\"6\"/>"                 \
    "<triangle v1=\"0\" v2=\"1\" v3=\"5\"/><triangle v1=\"0\" v2=\"5\" v3=\"4\"/>"                 \
    "<triangle v1=\"2\" v2=\"6\" v3=\"7\"/><triangle v1=\"2\" v2=\"7\" v3=\"3\"/>"                 \
    "<triangle v1=\"0\" v2=\"4\" v3=\"6\"/><triangle v1=\"0\" v2=\"6\" v3=\"2\"/>"                 \
    "<triangle v1=\"1\" v2=\"3\" v3=\"7\"/><triangle v1=\"1\" v2=\"7\" "                           \
    "v3=\"5\"/></triangles></mesh>"
#define MODEL(attributes, resources, build)                                                        \
    "<?xml version=\"1.0\"?><model xmlns=\"" CORE "\" " attributes "><metadata name=\"Title\">a "  \
    "<b/>part</metadata><resources>" resources "</resources><build>" build "</build></model>"
#define OBJECT(id, rest) "<object id=\"" id "\">" rest "</object>"

static const char PATH[] = POISE_TEST_BINARY_DIR "/test_mesh_3mf.3mf";

/* A package with these parts; a NULL name leaves the part out. */
static void write_package(const char *relations, const char *part, const char *model)
{
    remove(PATH);
    int error = 0;
    zip_t *zip = zip_open(PATH, ZIP_CREATE | ZIP_TRUNCATE, &error);
    assert_non_null(zip);
    zip_source_t *source;
    if (relations) {
        source = zip_source_buffer(zip, relations, strlen(relations), 0);
        assert_true(zip_file_add(zip, "_rels/.rels", source, ZIP_FL_OVERWRITE) >= 0);
    }
    if (part) {
        source = zip_source_buffer(zip, model, strlen(model), 0);
        assert_true(zip_file_add(zip, part, source, ZIP_FL_OVERWRITE) >= 0);
    }
    source = zip_source_buffer(zip, "x", 1, 0);
    assert_true(zip_file_add(zip, "Metadata/other.txt", source, ZIP_FL_OVERWRITE) >= 0);
    assert_int_equal(zip_close(zip), 0);
}

static void write_model(const char *model)
{
    char relations[600];
    snprintf(relations, sizeof relations, RELATIONS, "/3D/3dmodel.model");
    write_package(relations, "3D/3dmodel.model", model);
}

static PoiseMesh *read_written(void)
{
    PoiseMesh *mesh = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_mesh_read(PATH, NULL, &mesh, faults);
    if (status) {
        char *text = poise_fault_text(poise_faults_get(faults, 0));
        print_error("%s\n", text);
        poise_string_free(text);
    }
    assert_int_equal(status, POISE_OK);
    poise_faults_free(faults);
    return mesh;
}

static void refuse_written(const char *saying)
{
    PoiseMesh *mesh = NULL;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_mesh_read(PATH, NULL, &mesh, faults), POISE_E_MESH);
    assert_null(mesh);
    assert_int_equal(poise_faults_count(faults), 1);
    char *text = poise_fault_text(poise_faults_get(faults, 0));
    if (!strstr(text, saying))
        print_error("\"%s\" does not say \"%s\"\n", text, saying);
    assert_non_null(strstr(text, saying));
    poise_string_free(text);
    poise_faults_free(faults);
}

static void refuse(const char *model, const char *saying)
{
    write_model(model);
    refuse_written(saying);
}

static PoiseBody body_of(const char *model, size_t triangles)
{
    write_model(model);
    PoiseMesh *mesh = read_written();
    assert_int_equal(mesh->triangle_count, triangles);
    assert_int_equal(poise_mesh_check(mesh, "x", NULL), POISE_OK);
    assert_string_equal(mesh->unit_warning, "");
    PoiseMoments m = poise_mesh_moments(mesh);
    poise_mesh_free(mesh);
    return poise_body_from_moments(&m, 1000.0); /* mass = volume in mm³ */
}

static void check_at(const PoiseBody *body, double volume, double x, double y, double z)
{
    check_close(body->mass_g, volume, 1e-12);
    check_near(body->centre_mm[0], x, 1e-9);
    check_near(body->centre_mm[1], y, 1e-9);
    check_near(body->centre_mm[2], z, 1e-9);
}

static void test_plain(void **state)
{
    (void)state;
    PoiseBody b = body_of(MODEL("", OBJECT("1", BOX), "<item objectid=\"1\"/>"), 12);
    check_at(&b, 6000, 5, 10, 15);
}

static void test_units(void **state)
{
    (void)state;
    static const struct {
        const char *model;
        double mm;
    } units[] = {
        {MODEL("unit=\"micron\"", OBJECT("1", BOX), "<item objectid=\"1\"/>"), 0.001},
        {MODEL("unit=\"millimeter\"", OBJECT("1", BOX), "<item objectid=\"1\"/>"), 1},
        {MODEL("unit=\"centimeter\"", OBJECT("1", BOX), "<item objectid=\"1\"/>"), 10},
        {MODEL("unit=\"inch\"", OBJECT("1", BOX), "<item objectid=\"1\"/>"), 25.4},
        {MODEL("unit=\"foot\"", OBJECT("1", BOX), "<item objectid=\"1\"/>"), 304.8},
    };
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        double f = units[i].mm;
        PoiseBody b = body_of(units[i].model, 12);
        check_at(&b, 6000 * f * f * f, 5 * f, 10 * f, 15 * f);
    }
    refuse(MODEL("unit=\"meter\"", OBJECT("1", BOX), "<item objectid=\"1\"/>"),
           "10 m"); /* 30 m tall */
    refuse(MODEL("unit=\"mm\"", OBJECT("1", BOX), "<item objectid=\"1\"/>"), "unit");
}

static void test_transforms(void **state)
{
    (void)state;
    /* The specification's own example of a translation. */
    PoiseBody b =
        body_of(MODEL("", OBJECT("1", BOX),
                      "<item objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 1 -19.999 -62.998 0\"/>"),
                12);
    check_at(&b, 6000, 5 - 19.999, 10 - 62.998, 15);
    /* Row vectors: x' = x m00 + y m10 + z m20 + m30. Here (x, y, z) → (−y, x, z): a quarter turn
     * about z. */
    b = body_of(MODEL("", OBJECT("1", BOX),
                      "<item objectid=\"1\" transform=\"0 1 0 -1 0 0 0 0 1 0 0 0\"/>"),
                12);
    check_at(&b, 6000, -10, 5, 15);
    /* A mirror, and twice as tall: still a positive volume. */
    b = body_of(MODEL("", OBJECT("1", BOX),
                      "<item objectid=\"1\" transform=\"-1 0 0 0 1 0 0 0 2 0 0 0\"/>"),
                12);
    check_at(&b, 12000, -5, 10, 30);
    /* The unit applies to the translation too. */
    b = body_of(MODEL("unit=\"centimeter\"", OBJECT("1", BOX),
                      "<item objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 1 100 0 0\"/>"),
                12);
    check_at(&b, 6e6, 1050, 100, 150);
    refuse(
        MODEL("", OBJECT("1", BOX), "<item objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 0 0 0 0\"/>"),
        "flattens");
    refuse(
        MODEL("", OBJECT("1", BOX), "<item objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 1 0 0\"/>"),
        "12 numbers");
    refuse(MODEL("", OBJECT("1", BOX),
                 "<item objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 1 0 0 0 0\"/>"),
           "12 numbers");
    refuse(MODEL("", OBJECT("1", BOX),
                 "<item objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 1 0 0 0x\"/>"),
           "12 numbers");
}

static void test_several_objects(void **state)
{
    (void)state;
    PoiseBody b = body_of(
        MODEL("", OBJECT("1", BOX) OBJECT("7", BOX),
              "<item objectid=\"1\"/><item objectid=\"7\" transform=\"1 0 0 0 1 0 0 0 1 100 0 0\"/>"
              "<item objectid=\"7\" transform=\"1 0 0 0 1 0 0 0 1 200 0 0\"/>"),
        36);
    check_at(&b, 18000, 105, 10, 15);
    /* Supports are broken off. Objects that are not built do not count. */
    b = body_of(MODEL("",
                      OBJECT("1", BOX) OBJECT("2", BOX) "<object id=\"3\" type=\"support\">" BOX
                                                        "</object>",
                      "<item objectid=\"1\"/><item objectid=\"3\"/>"),
                12);
    check_at(&b, 6000, 5, 10, 15);
    refuse(
        MODEL("", "<object id=\"3\" type=\"surface\">" BOX "</object>", "<item objectid=\"3\"/>"),
        "not a solid");
}

static void test_components(void **state)
{
    (void)state;
    /* Two boxes 50 apart, that pair turned a quarter about z and moved: the inner transform applies
     * first. */
    PoiseBody b = body_of(
        MODEL(
            "",
            OBJECT("1", BOX) OBJECT("2", "<components><component objectid=\"1\"/><component "
                                         "objectid=\"1\" transform=\"1 0 0 "
                                         "0 1 0 0 0 1 50 0 0\"/></components>")
                OBJECT(
                    "3",
                    "<components><component objectid=\"2\" transform=\"0 1 0 -1 0 0 0 0 1 0 0 0\"/>"
                    "</components>"),
            "<item objectid=\"3\" transform=\"1 0 0 0 1 0 0 0 1 0 0 1000\"/>"),
        24);
    check_at(&b, 12000, -10, 30, 1015);
    /* Two mirrors make none. */
    b = body_of(MODEL("",
                      OBJECT("1", BOX) OBJECT(
                          "2", "<components><component objectid=\"1\" transform=\"-1 0 0 0 1 0 0 "
                               "0 1 0 0 0\"/></components>"),
                      "<item objectid=\"2\" transform=\"1 0 0 0 -1 0 0 0 1 0 0 0\"/>"),
                12);
    check_at(&b, 6000, -5, -10, 15);
}

static void test_cycles_and_floods(void **state)
{
    (void)state;
    refuse(MODEL("", OBJECT("1", "<components><component objectid=\"1\"/></components>"),
                 "<item objectid=\"1\"/>"),
           "contains itself");
    refuse(MODEL("",
                 OBJECT("1", "<components><component objectid=\"2\"/></components>")
                     OBJECT("2", "<components><component objectid=\"1\"/></components>"),
                 "<item objectid=\"1\"/>"),
           "contains itself");
    refuse(MODEL("", OBJECT("1", BOX), "<item objectid=\"2\"/>"), "no object has");
    /* Thirty levels that double each time: a thousand million copies. */
    char model[8192], *p = model;
    p += sprintf(p, "<model xmlns=\"" CORE "\"><resources>" OBJECT("1", BOX));
    for (int k = 2; k <= 31; k++)
        p += sprintf(
            p,
            "<object id=\"%d\"><components><component objectid=\"%d\"/><component objectid=\"%d\"/>"
            "</components></object>",
            k, k - 1, k - 1);
    sprintf(p, "</resources><build><item objectid=\"31\"/></build></model>");
    refuse(model, "too many copies");
    /* Forty levels that do not. */
    p = model;
    p += sprintf(p, "<model xmlns=\"" CORE "\"><resources>" OBJECT("1", BOX));
    for (int k = 2; k <= 41; k++)
        p += sprintf(
            p, "<object id=\"%d\"><components><component objectid=\"%d\"/></components></object>",
            k, k - 1);
    sprintf(p, "</resources><build><item objectid=\"41\"/></build></model>");
    refuse(model, "nested too deeply");
    p = model + sprintf(model, "<model xmlns=\"" CORE "\">");
    for (int k = 0; k < 100; k++)
        p += sprintf(p, "<a>");
    refuse(model, "nested too deeply");
}

static void test_bad_models(void **state)
{
    (void)state;
    refuse(MODEL("", OBJECT("1", BOX), ""), "no items");
    refuse(MODEL("", OBJECT("1", BOX) OBJECT("1", BOX), "<item objectid=\"1\"/>"), "same id");
    refuse(MODEL("", OBJECT("-1", BOX), "<item objectid=\"1\"/>"), "without a number");
    refuse(MODEL("", OBJECT("1", "<mesh/>"), "<item objectid=\"1\"/>"), "no triangles");
    refuse(MODEL("", OBJECT("1", "<mesh><vertices><vertex x=\"1\" y=\"2\"/></vertices></mesh>"),
                 "<item objectid=\"1\"/>"),
           "three numbers");
    refuse(
        MODEL("",
              OBJECT("1", "<mesh><vertices><vertex x=\"1\" y=\"2\" z=\"5abc\"/></vertices></mesh>"),
              ""),
        "three numbers");
    refuse(
        MODEL(
            "",
            OBJECT(
                "1",
                "<mesh><vertices><vertex x=\"1\" y=\"2\" z=\"3\"/></vertices><triangles><triangle "
                "v1=\"0\" v2=\"0\" v3=\"1\"/></triangles></mesh>"),
            ""),
        "vertex not there");
    refuse(MODEL("requiredextensions=\"p\"", OBJECT("1", BOX), "<item objectid=\"1\"/>"),
           "extensions");
    refuse(MODEL("xmlns:p=\"http://schemas.microsoft.com/3dmanufacturing/production/2015/06\"",
                 OBJECT("1", BOX), "<item objectid=\"1\" p:path=\"/3D/other.model\"/>"),
           "another part");
    refuse("<html/>", "another kind");
    refuse("<model xmlns=\"" CORE "\"><resources>", "well-formed");
    refuse("", "well-formed");
}

/* Entities could blow a file of a kilobyte up to gigabytes, or read other files. */
static void test_entities(void **state)
{
    (void)state;
    refuse("<!DOCTYPE model [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;\">]><model "
           "xmlns=\"" CORE "\">&b;</model>",
           "document type");
    refuse("<!DOCTYPE model SYSTEM \"file:///etc/hostname\"><model xmlns=\"" CORE "\"/>",
           "document type");
}

static void test_packages(void **state)
{
    (void)state;
    static const char model[] = MODEL("", OBJECT("1", BOX), "<item objectid=\"1\"/>");
    char relations[600];
    /* The relationships say where the model is; the name is free. */
    snprintf(relations, sizeof relations, RELATIONS, "/parts/body.xml");
    write_package(relations, "parts/body.xml", model);
    poise_mesh_free(read_written());
    write_package(relations, "3D/3dmodel.model", model);
    refuse_written("no part: parts/body.xml");
    write_package(NULL, "3D/3dmodel.model", model);
    refuse_written("no part: _rels/.rels");
    write_package(
        "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\"/>",
        "3D/3dmodel.model", model);
    refuse_written("name no model part");
    static const char *const escapes[] = {"../../etc/hostname", "/../x", "..\\x",
                                          "http://example.org/x"};
    for (size_t i = 0; i < sizeof escapes / sizeof *escapes; i++) {
        snprintf(relations, sizeof relations, RELATIONS, escapes[i]);
        write_package(relations, "3D/3dmodel.model", model);
        refuse_written("outside the package");
    }
}

static void test_damaged_packages(void **state)
{
    (void)state;
    write_model(MODEL("", OBJECT("1", BOX), "<item objectid=\"1\"/>"));
    FILE *file = fopen(PATH, "rb");
    unsigned char whole[16384];
    assert_non_null(file);
    size_t size = fread(whole, 1, sizeof whole, file);
    fclose(file);
    assert_true(size > 200 && size < sizeof whole);
    PoiseMesh *mesh = NULL;
    for (size_t cut = 5; cut < size; cut += 13)
        assert_int_equal(poise_mesh_parse(whole, cut, "cut.3mf", NULL, &mesh, NULL), POISE_E_MESH);
    /* A changed byte anywhere is refused or reads as the same mesh; it never crashes. */
    for (size_t at = 0; at < size; at += 3) {
        whole[at] ^= 0x55;
        PoiseStatus status = poise_mesh_parse(whole, size, "changed.3mf", NULL, &mesh, NULL);
        if (!status)
            check_close(poise_mesh_moments(mesh).volume_mm3, 6000.0, 1e-12);
        else
            assert_int_equal(status, POISE_E_MESH);
        poise_mesh_free(mesh);
        whole[at] ^= 0x55;
    }
}

/* Eight megabytes of blanks pack to eight kilobytes: ratio 1000. */
static void test_inflation(void **state)
{
    (void)state;
    size_t blanks = (size_t)8 << 20;
    char *model = malloc(blanks + 4096);
    assert_non_null(model);
    memset(model, ' ', blanks);
    strcpy(model + blanks,
           "<model xmlns=\"" CORE
           "\"><resources>" OBJECT("1", BOX) "</resources><build>"
                                             "<item objectid=\"1\"/></build></model>");
    write_model(model);
    refuse_written("inflates");
    free(model);
    remove(PATH);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plain),      cmocka_unit_test(test_units),
        cmocka_unit_test(test_transforms), cmocka_unit_test(test_several_objects),
        cmocka_unit_test(test_components), cmocka_unit_test(test_cycles_and_floods),
        cmocka_unit_test(test_bad_models), cmocka_unit_test(test_entities),
        cmocka_unit_test(test_packages),   cmocka_unit_test(test_damaged_packages),
        cmocka_unit_test(test_inflation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
