/* Reading OBJ: polygons, references from the front and the back, damage. */
#include "check.h"
#include "solids.h"

#include "geometry/face.h"
#include "geometry/number.h"

#define CORNERS                                                                                    \
    "v 0 0 0\nv 10 0 0\nv 0 20 0\nv 10 20 0\nv 0 0 30\nv 10 0 30\nv 0 20 30\nv 10 20 30\n"

static PoiseMesh *parse(const char *text)
{
    PoiseMesh *mesh = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_mesh_parse(text, strlen(text), "part.obj", NULL, &mesh, faults);
    if (status) {
        char *fault = poise_fault_text(poise_faults_get(faults, 0));
        print_error("%s\n", fault);
        poise_string_free(fault);
    }
    assert_int_equal(status, POISE_OK);
    poise_faults_free(faults);
    return mesh;
}

static void check_solid(const char *text, size_t triangles, double volume)
{
    PoiseMesh *mesh = parse(text);
    assert_int_equal(mesh->triangle_count, triangles);
    assert_int_equal(poise_mesh_check(mesh, "part.obj", NULL), POISE_OK);
    check_close(poise_mesh_moments(mesh).volume_mm3, volume, 1e-12);
    poise_mesh_free(mesh);
}

static void refuse(const char *text, const char *saying)
{
    PoiseMesh *mesh = NULL;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_mesh_parse(text, strlen(text), "part.obj", NULL, &mesh, faults),
                     POISE_E_MESH);
    assert_int_equal(poise_faults_count(faults), 1);
    char *fault = poise_fault_text(poise_faults_get(faults, 0));
    if (!strstr(fault, saying))
        print_error("\"%s\" does not say \"%s\"\n", fault, saying);
    assert_non_null(strstr(fault, saying));
    poise_string_free(fault);
    poise_faults_free(faults);
}

static void test_box(void **state)
{
    (void)state;
    check_solid("# a box\nmtllib a.mtl\no box\n" CORNERS
                "vn 0 0 1\nvt 0 0\ng faces\nusemtl red\ns off\n"
                "f 1 3 4 2\nf 5/1 6/1 8/1 7/1\nf 1//1 2//1 6//1 5//1\nf 3/1/1 7/1/1 8/1/1 4/1/1\nf "
                "1 5 7 3\nf 2 4 8 6\n",
                12, 6000);
    /* Counted from the back, Windows line ends, no line end at the end, a joint line, colours. */
    check_solid("v 0 0 0 1 0 0\r\nv 10 0 0\r\nv 0 20 0\r\nv 10 20 0\r\nv 0 0 30\r\nv 10 0 30\r\nv "
                "0 20 30\r\nv 10 20 30\r\n"
                "f -8 -6 \\\r\n-5 -7\r\nf -4 -3 -1 -2\r\nf -8 -7 -3 -4\r\nf -6 -2 -1 -5\r\nf -8 -4 "
                "-2 -6\r\nf -7 -5 -1 -3",
                12, 6000);
    /* Vertices written twice are welded; a face along an edge and back is left out. */
    check_solid(
        CORNERS
        "v 0 0 -0\nf 9 3 4 2\nf 5 6 8 7\nf 1 2 6 5\nf 3 7 8 4\nf 9 5 7 3\nf 2 4 8 6\nf 1 9 2\n",
        12, 6000);
    PoiseMesh *mesh = parse(CORNERS "v 0 0 0\nf 1 9 2\nf 1 2 3\n");
    assert_int_equal(mesh->dropped_triangles, 1);
    assert_int_equal(mesh->vertex_count, 3); /* those no face uses are left out */
    poise_mesh_free(mesh);
}

/* An L-shaped prism: its two L faces are hexagons with one corner turned inwards. 20·20 − 12·12 =
 * 256. */
static void test_concave(void **state)
{
    (void)state;
    check_solid("v 0 0 0\nv 20 0 0\nv 20 8 0\nv 8 8 0\nv 8 20 0\nv 0 20 0\n"
                "v 0 0 50\nv 20 0 50\nv 20 8 50\nv 8 8 50\nv 8 20 50\nv 0 20 50\n"
                "f 3 2 1 6 5 4\nf 9 10 11 12 7 8\n"
                "f 1 2 8 7\nf 2 3 9 8\nf 3 4 10 9\nf 4 5 11 10\nf 5 6 12 11\nf 6 1 7 12\n",
                20, 12800);
}

/* Each way of naming the same concave polygon must give triangles that turn the same way and add up
 * to it. */
static void test_face_cut(void **state)
{
    (void)state;
    /* A comb in the plane x + y + z = 0, seen from any side. Area in the projection: 10 + 3 teeth
     * of 2. */
    static const double comb[14][2] = {{0, 0}, {6, 0}, {6, 4}, {5, 4}, {5, 1}, {4, 1},   {4, 4},
                                       {3, 4}, {3, 1}, {2, 1}, {2, 4}, {1, 4}, {1, 1.5}, {0, 1.5}};
    double vertices[14][3], want = 0;
    for (size_t k = 0; k < 14; k++) {
        const double *q = comb[(k + 1) % 14];
        vertices[k][0] = comb[k][0];
        vertices[k][1] = comb[k][1];
        vertices[k][2] = -comb[k][0] - comb[k][1];
        want += 0.5 * (comb[k][0] * q[1] - comb[k][1] * q[0]);
    }
    for (int way = 0; way < 2; way++)
        for (uint32_t first = 0; first < 14; first++) {
            uint32_t corners[14], triangles[36];
            for (uint32_t k = 0; k < 14; k++)
                corners[k] = way ? (first + 14 - k) % 14 : (first + k) % 14;
            size_t count = 0;
            assert_int_equal(poise_face_cut(vertices[0], corners, 14, triangles, &count), POISE_OK);
            assert_int_equal(count, 12);
            double sum = 0;
            for (size_t k = 0; k < count; k++) {
                const double *a = vertices[triangles[3 * k]], *b = vertices[triangles[3 * k + 1]];
                const double *c = vertices[triangles[3 * k + 2]];
                double area = 0.5 * ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
                assert_true(way ? area <= 0 : area >= 0);
                sum += area;
            }
            check_near(sum, way ? -want : want, 1e-12);
        }
    /* A comb with more corners than are worth clipping is refused; a round face with as many is a
     * fan. */
    enum { MANY = 4100 };
    double(*edge)[3] = malloc(MANY * sizeof *edge);
    uint32_t *corners = malloc(MANY * sizeof *corners),
             *triangles = malloc(3 * MANY * sizeof *triangles);
    assert_true(edge && corners && triangles);
    size_t count;
    for (int round = 0; round < 2; round++) {
        for (uint32_t k = 0; k < MANY; k++) {
            double angle = 2 * 3.141592653589793 * k / MANY, radius = round || k % 2 ? 100 : 99;
            edge[k][0] = radius * cos(angle);
            edge[k][1] = radius * sin(angle);
            edge[k][2] = 7;
            corners[k] = k;
        }
        PoiseStatus status = poise_face_cut(edge[0], corners, MANY, triangles, &count);
        assert_int_equal(status, round ? POISE_OK : POISE_E_MESH);
    }
    free(edge);
    free(corners);
    free(triangles);
}

static void test_damaged(void **state)
{
    (void)state;
    refuse(CORNERS "f 1 2 9\n", "part.obj:9:1");
    refuse(CORNERS "f 1 2 0\n", "vertex not there");
    refuse(CORNERS "f 1 2 -9\n", "vertex not there");
    refuse(CORNERS "f 1 2 3x\n", "vertex not there");
    refuse(CORNERS "f 1 2 99999999999999999999999\n", "vertex not there");
    refuse(CORNERS "f 1 2\n", "fewer than three");
    refuse(CORNERS, "no triangles");
    refuse("v 1 2\n", "three numbers");
    refuse("v 1 2 3abc\n", "three numbers");
    refuse("v 1 2 nan\n", "three numbers");
    refuse("v 1 2 1e7\n", "line 1");
    refuse("v 1 2 3\ncstype bspline\n", "free-form");
    refuse("v 1 2 3\nhello\n", "part.obj:2:1");
}

/* Numbers as strtod reads them in the C locale. */
static void test_numbers(void **state)
{
    (void)state;
    static const char *const good[] = {"0",
                                       "-0",
                                       "1",
                                       "-1.5",
                                       "+2.",
                                       ".5",
                                       "1e3",
                                       "1E-3",
                                       "123456789012345678",
                                       "0.1",
                                       "1.7976931348623157e308",
                                       "5e-324",
                                       "0.000000000000000000000000000123",
                                       "3.14159265358979323846264338327950288",
                                       "9007199254740993",
                                       "1e22",
                                       "1e23",
                                       "2.2250738585072011e-308",
                                       "8.5e-22",
                                       "72057594037927945e-20"};
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        double value = -1;
        size_t n = strlen(good[i]);
        assert_int_equal(poise_number_scan(good[i], good[i] + n, &value), n);
        check_near(value, strtod(good[i], NULL), 0);
    }
    double value;
    static const char *const bad[] = {"", "-", ".", "e5", "nan", "inf", "-.e1", "+-1"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_int_equal(poise_number_scan(bad[i], bad[i] + strlen(bad[i]), &value), 0);
    assert_int_equal(poise_number_scan("1e", &"1e"[2], &value),
                     1); /* what follows is not part of it */
    assert_int_equal(poise_number_scan("0x10", &"0x10"[4], &value), 1);
    assert_int_equal(poise_number_scan("12", &"12"[1], &value),
                     1); /* stops at the end, not at a NUL */
    check_near(value, 1, 0);
    char endless[300];
    memset(endless, '1', sizeof endless);
    assert_int_equal(poise_number_scan(endless, endless + sizeof endless, &value), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_box),      cmocka_unit_test(test_concave),
        cmocka_unit_test(test_face_cut), cmocka_unit_test(test_damaged),
        cmocka_unit_test(test_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
