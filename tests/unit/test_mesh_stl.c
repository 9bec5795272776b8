/* Reading STL, both kinds, whole and damaged. Layout of the binary kind: P. Bourke, "StL Format",
 * 1999: 84 + 50 n bytes (a cube of 12 triangles: 684), little-endian. */
#include <locale.h>

#include "check.h"
#include "solids.h"

static PoiseMesh *parse(const void *data, size_t size, const char *unit)
{
    PoiseMesh *mesh = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_mesh_parse(data, size, "test.stl", unit, &mesh, faults);
    if (status)
        print_error("%s\n", poise_fault_text(poise_faults_get(faults, 0)));
    assert_int_equal(status, POISE_OK);
    assert_int_equal(poise_faults_count(faults), 0);
    poise_faults_free(faults);
    return mesh;
}

/* The fault's text; the parse must fail with that status and this text in the message. */
static void refuse(const void *data, size_t size, const char *unit, PoiseStatus want,
                   const char *saying)
{
    PoiseMesh *mesh = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_mesh_parse(data, size, "test.stl", unit, &mesh, faults);
    assert_int_equal(status, want);
    assert_null(mesh);
    assert_int_equal(poise_faults_count(faults), 1);
    char *text = poise_fault_text(poise_faults_get(faults, 0));
    if (!strstr(text, saying))
        print_error("\"%s\" does not say \"%s\"\n", text, saying);
    assert_non_null(strstr(text, saying));
    poise_string_free(text);
    poise_faults_free(faults);
}

static unsigned char *box_stl(size_t *size)
{
    Soup s = {0};
    soup_box(&s, (double[3]){-5, 0, 2}, (double[3]){25, 40, 12});
    unsigned char *file = soup_stl(&s, size);
    soup_free(&s);
    return file;
}

static void test_binary(void **state)
{
    (void)state;
    size_t size;
    unsigned char *file = box_stl(&size);
    assert_int_equal(size, 684);
    PoiseMesh *mesh = parse(file, size, NULL);
    assert_int_equal(mesh->triangle_count, 12);
    assert_int_equal(mesh->vertex_count, 8);
    check_near(mesh->min_mm[0], -5, 0);
    check_near(mesh->max_mm[1], 40, 0);
    check_near(poise_mesh_moments(mesh).volume_mm3, 12000, 1e-9);
    assert_string_equal(mesh->unit_warning, "");
    poise_mesh_free(mesh);
    /* Many programs begin binary files with "solid" all the same. */
    memcpy(file, "solid made by a program", 23);
    mesh = parse(file, size, "mm");
    assert_int_equal(mesh->triangle_count, 12);
    poise_mesh_free(mesh);
    free(file);
}

/* The moments summed up while reading, about the first corner and moved, beside those of the welded
 * mesh about the middle of its box. Far from the
 * origin, in centimetres, and a count of triangles that fills no block. */
static void test_moments_while_reading(void **state)
{
    (void)state;
    Soup s = {0};
    for (int k = 0; k < 7; k++)
        soup_box(&s, (double[3]){500 + 40 * k, -300, 7 * k},
                 (double[3]){530.25 + 40 * k, -260.5 + k, 7 * k + 3.1});
    size_t size;
    unsigned char *file = soup_stl(&s, &size);
    soup_free(&s);
    PoiseMesh *mesh = parse(file, size, "cm");
    assert_true(mesh->integrated);
    PoiseMoments read = poise_mesh_moments(mesh);
    mesh->integrated = 0;
    PoiseMoments again = poise_mesh_moments(mesh);
    double side = mesh->max_mm[0] - mesh->min_mm[0];
    check_close(read.volume_mm3, again.volume_mm3, 1e-12);
    for (int i = 0; i < 3; i++) {
        check_near(read.origin_mm[i], again.origin_mm[i], 0);
        check_near(read.first_mm4[i], again.first_mm4[i], 1e-12 * side * again.volume_mm3);
    }
    for (int k = 0; k < 6; k++)
        check_near(read.second_mm5[k], again.second_mm5[k], 1e-12 * side * side * again.volume_mm3);
    poise_mesh_free(mesh);
    free(file);
}

static void test_units(void **state)
{
    (void)state;
    size_t size;
    unsigned char *file = box_stl(&size);
    static const struct {
        const char *unit;
        double mm;
    } units[] = {{"cm", 10}, {"in", 25.4}, {"um", 0.001}, {NULL, 1}};
    for (size_t i = 0; i < 4; i++) {
        PoiseMesh *mesh = parse(file, size, units[i].unit);
        double f = units[i].mm;
        check_close(poise_mesh_moments(mesh).volume_mm3, 12000 * f * f * f, 1e-13);
        assert_int_equal(mesh->vertex_count, 8);
        poise_mesh_free(mesh);
    }
    refuse(file, size, "ft", POISE_E_MESH, "unit may be wrong");
    refuse(file, size, "furlong", POISE_E_USAGE, "furlong");
    free(file);
}

static void test_unit_warning(void **state)
{
    (void)state;
    static const struct {
        double side;
        const char *unit, *saying; /* NULL: no warning */
    } cases[] = {{40, NULL, NULL},
                 {15, NULL, NULL},
                 {14, NULL, " (inches)"},
                 {0.4, NULL, " (metres)"},
                 {1.3, NULL, " (inches, metres)"},
                 {0.001, NULL, "another unit"},
                 {14, "mm", NULL},
                 {300, "in", "millimetres"},
                 {12, "in", NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        Soup s = {0};
        double a = cases[i].side;
        soup_box(&s, (double[3]){0, 0, 0}, (double[3]){a / 2, a, a / 8});
        size_t size;
        unsigned char *file = soup_stl(&s, &size);
        PoiseMesh *mesh = parse(file, size, cases[i].unit);
        if (cases[i].saying)
            assert_non_null(strstr(mesh->unit_warning, cases[i].saying));
        else
            assert_string_equal(mesh->unit_warning, "");
        poise_mesh_free(mesh);
        free(file);
        soup_free(&s);
    }
}

static void test_binary_damaged(void **state)
{
    (void)state;
    size_t size;
    unsigned char *file = box_stl(&size), longer[700] = {0};
    for (size_t cut = 1; cut < size; cut += 7)
        refuse(file, cut, NULL, POISE_E_MESH, cut < 84 ? "test.stl" : "cut short");
    memcpy(longer, file, size);
    refuse(longer, size + 1, NULL, POISE_E_MESH, "684 bytes"); /* a byte too many */
    refuse("", 0, NULL, POISE_E_MESH, "empty");
    unsigned char none[84] = {0};
    refuse(none, sizeof none, NULL, POISE_E_MESH, "no triangles");
    static const unsigned char infinity[4] = {0, 0, 0x80, 0x7F}, nan[4] = {1, 0, 0xC0, 0x7F};
    static const unsigned char far[4] = {0, 0x50, 0x1C, 0x46}; /* 10004 */
    memcpy(longer, file, size);
    memcpy(longer + 84 + 3 * 50 + 12, infinity, 4);
    refuse(longer, size, NULL, POISE_E_MESH, "triangle 4");
    memcpy(longer + 84 + 3 * 50 + 12, nan, 4);
    refuse(longer, size, NULL, POISE_E_MESH, "nan");
    memcpy(longer + 84 + 3 * 50 + 12, far, 4);
    refuse(longer, size, NULL, POISE_E_MESH, "10004");
    free(file);
}

/* −0 and 0 are one place; slivers with two equal corners go, and the mesh stays closed. */
static void test_welding(void **state)
{
    (void)state;
    Soup s = {0};
    static const double a[3] = {0, 0, 0}, b[3] = {20, 0, 0}, c[3] = {0, 20, 0}, d[3] = {0, 0, 20};
    static const double minus[3] = {-0.0, 0, -0.0};
    soup_triangle(&s, a, c, b);
    soup_triangle(&s, minus, b, d);
    soup_triangle(&s, b, c, d);
    soup_triangle(&s, c, a, d);
    soup_triangle(&s, a, a, d);
    soup_triangle(&s, a, minus, c);
    soup_triangle(&s, b, b, b);
    size_t size;
    unsigned char *file = soup_stl(&s, &size);
    PoiseMesh *mesh = parse(file, size, NULL);
    assert_int_equal(mesh->vertex_count, 4);
    assert_int_equal(mesh->triangle_count, 4);
    assert_int_equal(mesh->dropped_triangles, 3);
    assert_int_equal(poise_mesh_check(mesh, "test.stl", NULL), POISE_OK);
    poise_mesh_free(mesh);
    free(file);
    soup_free(&s);
}

static char *text_stl(const Soup *s, const char *newline)
{
    size_t capacity = 200 + 400 * s->count, used = 0;
    char *text = malloc(capacity);
    assert_non_null(text);
    used +=
        (size_t)snprintf(text + used, capacity - used, "solid a part, facet by facet%s", newline);
    for (size_t k = 0; k < s->count; k++) {
        used += (size_t)snprintf(text + used, capacity - used,
                                 "  facet normal nan 0 -1e0%s\touter loop%s", newline, newline);
        for (int j = 0; j < 3; j++) {
            const double *p = s->corners[3 * k + (size_t)j];
            used += (size_t)snprintf(text + used, capacity - used,
                                     "      vertex %.17g %.9e %+.17g%s", p[0], p[1], p[2], newline);
        }
        used += (size_t)snprintf(text + used, capacity - used, "    ENDLOOP%s  endfacet%s", newline,
                                 newline);
    }
    snprintf(text + used, capacity - used, "endsolid a part%s", newline);
    return text;
}

static void test_text(void **state)
{
    (void)state;
    Soup s = {0};
    soup_box(&s, (double[3]){-5, 0, 2.1}, (double[3]){25, 40, 12.1});
    static const char *const newlines[] = {"\n", "\r\n", "\r"};
    for (int i = 0; i < 3; i++) {
        char *text = text_stl(&s, newlines[i]);
        PoiseMesh *mesh = parse(text, strlen(text), NULL);
        assert_int_equal(mesh->vertex_count, 8);
        assert_int_equal(mesh->triangle_count, 12);
        check_near(mesh->min_mm[2], 2.1, 0);
        check_near(poise_mesh_moments(mesh).volume_mm3, 12000, 1e-8);
        poise_mesh_free(mesh);
        size_t length = strlen(text);
        for (size_t cut = 29; cut < length - 12; cut += 41)
            refuse(text, cut, NULL, POISE_E_MESH, "expected");
        free(text);
    }
    /* Two solids in one file. */
    char *text = text_stl(&s, "\n"), *twice = malloc(2 * strlen(text) + 1);
    strcpy(twice, text);
    strcat(twice, text);
    PoiseMesh *mesh = parse(twice, strlen(twice), NULL);
    assert_int_equal(mesh->triangle_count, 24);
    poise_mesh_free(mesh);
    free(twice);
    free(text);
    soup_free(&s);
}

static void test_text_damaged(void **state)
{
    (void)state;
    static const struct {
        const char *text, *saying;
    } cases[] = {
        {"solid x\nendsolid x\n", "no triangles"},
        {"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 5abc\n",
         "test.stl:4:1: found \"5abc\""},
        {"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0x10\n", "a number"},
        {"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 inf\n", "\"inf\""},
        {"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 1e9\n", "line 4"},
        {"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 1e999\n", "finite"},
        {"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 1\nvertex 1 0 1\nvertex 0 1 "
         "1\nvertex 1 1 1\n",
         "\"endloop\""},
        {"solid x\nfacet normal 0 0 outer loop\n", "a number"},
        {"solid x\nfacet\n", "cut short"},
        {"solid x\nendsolid x\nmore\n", "\"solid\""},
        {"hello world, this is no mesh\n", "neither STL nor OBJ"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        refuse(cases[i].text, strlen(cases[i].text), NULL, POISE_E_MESH, cases[i].saying);
}

/* Under a locale with a decimal comma nothing changes. */
static void test_comma_locale(void **state)
{
    (void)state;
    if (!setlocale(LC_ALL, "de_DE.UTF-8") && !setlocale(LC_ALL, "fr_FR.UTF-8"))
        skip();
    static const char text[] =
        "solid x\nfacet normal 0 0 1\nouter loop\nvertex 0.12345678901234567890123 0 0\n"
        "vertex 20.5 0 0\nvertex 0 1.5 0\nendloop\nendfacet\nendsolid\n";
    PoiseMesh *mesh = parse(text, sizeof text - 1, NULL);
    check_near(mesh->vertices_mm[0], 0.12345678901234567890123, 0);
    check_near(mesh->max_mm[0], 20.5, 0);
    poise_mesh_free(mesh);
    setlocale(LC_ALL, "C");
}

static void test_files(void **state)
{
    (void)state;
    static const char path[] = POISE_TEST_BINARY_DIR "/test_mesh_stl.stl";
    size_t size;
    unsigned char *data = box_stl(&size);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(data, 1, size, file), size);
    fclose(file);
    PoiseMesh *mesh = NULL;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_mesh_read(path, NULL, &mesh, faults), POISE_OK);
    assert_int_equal(mesh->triangle_count, 12);
    poise_mesh_free(mesh);
    assert_int_equal(
        poise_mesh_read(POISE_TEST_BINARY_DIR "/no such file.stl", NULL, &mesh, faults),
        POISE_E_IO);
    assert_null(mesh);
    poise_faults_free(faults);
    remove(path);
    free(data);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_binary),       cmocka_unit_test(test_units),
        cmocka_unit_test(test_unit_warning), cmocka_unit_test(test_binary_damaged),
        cmocka_unit_test(test_welding),      cmocka_unit_test(test_text),
        cmocka_unit_test(test_text_damaged), cmocka_unit_test(test_comma_locale),
        cmocka_unit_test(test_files),        cmocka_unit_test(test_moments_while_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
