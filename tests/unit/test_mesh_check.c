/* Which meshes bound a solid, and what is said of those that do not. */
#include "check.h"
#include "solids.h"

static void check_soup(const Soup *s, PoiseStatus want, const char *saying)
{
    size_t size;
    unsigned char *file = soup_stl(s, &size);
    PoiseMesh *mesh = NULL;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_mesh_parse(file, size, "part.stl", NULL, &mesh, faults), POISE_OK);
    assert_int_equal(poise_mesh_check(mesh, "part.stl", faults), want);
    assert_int_equal(poise_faults_count(faults), want ? 1 : 0);
    if (want) {
        char *text = poise_fault_text(poise_faults_get(faults, 0));
        if (!strstr(text, saying))
            print_error("\"%s\" does not say \"%s\"\n", text, saying);
        assert_non_null(strstr(text, saying));
        assert_non_null(strstr(text, "part.stl: "));
        poise_string_free(text);
    }
    poise_mesh_free(mesh);
    poise_faults_free(faults);
    free(file);
}

static void box(Soup *s, double x, double y, double z, double size)
{
    soup_box(s, (double[3]){x, y, z}, (double[3]){x + size, y + size, z + size});
}

static void test_good(void **state)
{
    (void)state;
    Soup s = {0};
    soup_sphere(&s, (double[3]){0, 0, 0}, 20, 40);
    soup_torus(&s, (double[3]){100, 0, 0}, 20, 5, 40, 16);
    soup_stepped(&s, (double[3]){0, 100, 0}, 20, 5, 10, 30, 33);
    soup_cone(&s, (double[3]){0, -100, 0}, 20, 30, 400); /* hubs with 400 edges */
    check_soup(&s, POISE_OK, NULL);
    soup_free(&s);
}

static void test_holes(void **state)
{
    (void)state;
    Soup s = {0};
    box(&s, 0, 0, 0, 20);
    s.count--; /* one triangle of the face x = 20 is missing */
    check_soup(&s, POISE_E_MESH, "3 bad edges (3 open, beside a hole)");
    s.count--; /* the whole face: its rim is open */
    check_soup(&s, POISE_E_MESH, "4 bad edges (4 open, beside a hole)");
    soup_free(&s);
    /* A single missing facet, whose first edge is named: from (0, 0, 0) to (0, 20, 0) or so. */
    box(&s, 0, 0, 0, 20);
    memmove(s.corners[0], s.corners[3], 11 * 3 * sizeof *s.corners);
    s.count--;
    check_soup(&s, POISE_E_MESH, "the first at (10, 10, 0) mm");
    soup_free(&s);
}

static void test_turned_facet(void **state)
{
    (void)state;
    Soup s = {0};
    box(&s, 0, 0, 0, 20);
    soup_reverse(&s, 11);
    check_soup(&s, POISE_E_MESH, "3 between facets that disagree");
    soup_free(&s);
}

static void test_repeated_facet(void **state)
{
    (void)state;
    Soup s = {0};
    box(&s, 0, 0, 0, 20);
    double copy[3][3];
    memcpy(copy, s.corners[0], sizeof copy);
    soup_triangle(&s, copy[0], copy[1], copy[2]);
    check_soup(&s, POISE_E_MESH, "3 shared by an odd number");
    /* With its back it is a sheet that encloses nothing, and harmless. */
    soup_triangle(&s, copy[0], copy[2], copy[1]);
    check_soup(&s, POISE_OK, NULL);
    soup_free(&s);
}

static void test_inside_out(void **state)
{
    (void)state;
    Soup s = {0};
    box(&s, 0, 0, 0, 20);
    soup_reverse(&s, 0);
    check_soup(&s, POISE_E_MESH, "inside out: its volume is -8000 mm3");
    soup_free(&s);
}

static void test_flat(void **state)
{
    (void)state;
    Soup s = {0};
    soup_triangle(&s, (double[3]){0, 0, 0}, (double[3]){50, 0, 0}, (double[3]){0, 50, 7});
    soup_triangle(&s, (double[3]){0, 0, 0}, (double[3]){0, 50, 7}, (double[3]){50, 0, 0});
    check_soup(&s, POISE_E_MESH, "flat");
    soup_free(&s);
    /* A foil of 0.05 mm is a solid. */
    soup_box(&s, (double[3]){0, 0, 0}, (double[3]){400, 300, 0.05});
    check_soup(&s, POISE_OK, NULL);
    soup_free(&s);
}

/* Shells that share an edge or a corner use it twice in each direction. */
static void test_touching(void **state)
{
    (void)state;
    Soup s = {0};
    box(&s, 0, 0, 0, 20);
    box(&s, 20, 20, 0, 20);  /* along an edge */
    box(&s, 40, 40, 20, 20); /* at a corner */
    box(&s, 40, 20, 0, 20);  /* on a face */
    check_soup(&s, POISE_OK, NULL);
    box(&s, 10, 10, 10, 25); /* overlapping */
    check_soup(&s, POISE_OK, NULL);
    soup_free(&s);
}

static void test_hollows(void **state)
{
    (void)state;
    Soup s = {0};
    box(&s, 0, 0, 0, 40);
    size_t from = s.count;
    soup_sphere(&s, (double[3]){20, 20, 20}, 12, 24);
    soup_reverse(&s, from);
    check_soup(&s, POISE_OK, NULL);
    /* The same bubble in the open is a mistake, even though the total volume is positive; so is one
     * within the bounding box of a ring, but in its hole. */
    soup_free(&s);
    box(&s, 0, 0, 0, 40);
    soup_sphere(&s, (double[3]){120, 20, 20}, 12, 24);
    soup_reverse(&s, from);
    check_soup(&s, POISE_E_MESH, "lies in no other");
    soup_free(&s);
    soup_torus(&s, (double[3]){0, 0, 0}, 40, 15, 40, 20);
    from = s.count;
    soup_sphere(&s, (double[3]){0, 0, 0}, 10, 16);
    soup_reverse(&s, from);
    check_soup(&s, POISE_E_MESH, "lies in no other");
    soup_free(&s);
}

static void test_bad_indices(void **state)
{
    (void)state;
    double vertices[12] = {0, 0, 0, 10, 0, 0, 0, 10, 0, 0, 0, 10};
    uint32_t triangles[12] = {0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3};
    PoiseMesh mesh = {.vertex_count = 4,
                      .triangle_count = 4,
                      .vertices_mm = vertices,
                      .triangles = triangles,
                      .max_mm = {10, 10, 10}};
    assert_int_equal(poise_mesh_check(&mesh, "made", NULL), POISE_OK);
    triangles[11] = 4;
    assert_int_equal(poise_mesh_check(&mesh, "made", NULL), POISE_E_MESH);
    triangles[11] = 2;
    assert_int_equal(poise_mesh_check(&mesh, "made", NULL), POISE_E_MESH);
    mesh.triangle_count = 0;
    assert_int_equal(poise_mesh_check(&mesh, "made", NULL), POISE_E_MESH);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_good),         cmocka_unit_test(test_holes),
        cmocka_unit_test(test_turned_facet), cmocka_unit_test(test_repeated_facet),
        cmocka_unit_test(test_inside_out),   cmocka_unit_test(test_flat),
        cmocka_unit_test(test_touching),     cmocka_unit_test(test_hollows),
        cmocka_unit_test(test_bad_indices),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
