/* Every allocation of the mesh readers, the check and the slab fails once: the answer is "out of
 * memory", and (under the address sanitizer) nothing leaks. */
#include <zip.h>

#include "check.h"
#include "solids.h"

#include "base/memory.h"
#include "geometry/slab.h"

typedef struct File {
    void *data;
    size_t size;
} File;

static PoiseStatus read_and_check(const File *file, PoiseFaults *faults)
{
    PoiseMesh *mesh = NULL;
    PoiseStatus status = poise_mesh_parse(file->data, file->size, "a file", NULL, &mesh, faults);
    if (!status)
        status = poise_mesh_check(mesh, "a file", faults);
    poise_mesh_free(mesh);
    return status;
}

static void fail_each(PoiseStatus (*work)(const File *, PoiseFaults *), const File *file,
                      PoiseStatus want)
{
    long at = 0;
    for (;; at++) {
        assert_true(at < 5000);
        PoiseFaults *faults = poise_faults_new();
        assert_non_null(faults);
        poise_alloc_fail_at(at, 0);
        PoiseStatus status = work(file, faults);
        long counted = poise_alloc_fail_at(-1, 0);
        bool told = poise_faults_count(faults) > 0;
        poise_faults_free(faults);
        if (counted <= at) { /* nothing failed */
            assert_int_equal(status, want);
            break;
        }
        assert_true(status == POISE_E_MEMORY || status == want);
        assert_true(told || status == POISE_OK);
    }
    assert_true(at > 3);
}

static void test_stl(void **state)
{
    (void)state;
    Soup s = {0};
    soup_box(&s, (double[3]){0, 0, 0}, (double[3]){50, 50, 50});
    soup_cone(&s, (double[3]){80, 0, 0}, 20, 30, 300);
    File file = {.data = soup_stl(&s, &file.size)};
    fail_each(read_and_check, &file, POISE_OK);
    soup_reverse(&s, 30); /* disagreeing facets: the fault is put together in memory too */
    free(file.data);
    file.data = soup_stl(&s, &file.size);
    fail_each(read_and_check, &file, POISE_E_MESH);
    free(file.data);
    soup_free(&s);
    static char text[] =
        "solid a\nfacet normal 0 0 0\nouter loop\nvertex 0 0 0\nvertex 0 0 1\nvertex 0 1e9 0\n";
    fail_each(read_and_check, &(File){text, sizeof text - 1}, POISE_E_MESH);
}

static void test_obj(void **state)
{
    (void)state;
    char text[65536], *p = text;
    enum { N = 90 }; /* a prism on a star: two concave faces of 90 corners */
    for (int k = 0; k < 2 * N; k++) {
        double angle = 6.283185307179586 * (k % N) / N, radius = k % 2 ? 50 : 40;
        p += sprintf(p, "v %.6f %.6f %d\n", radius * cos(angle), radius * sin(angle),
                     k < N ? 0 : 30);
    }
    for (int k = N; k > 0; k--)
        p += sprintf(p, "%s%d", k == N ? "f " : " ", k);
    for (int k = N + 1; k <= 2 * N; k++)
        p += sprintf(p, "%s%d", k == N + 1 ? "\nf " : " ", k);
    for (int k = 0; k < N; k++)
        p += sprintf(p, "\nf %d %d %d %d", k + 1, (k + 1) % N + 1, N + (k + 1) % N + 1, N + k + 1);
    fail_each(read_and_check, &(File){text, (size_t)(p - text)}, POISE_OK);
}

static void test_3mf(void **state)
{
    (void)state;
    static const char path[] = POISE_TEST_BINARY_DIR "/test_mesh_memory.3mf";
    static const char relations[] =
        "<Relationships "
        "xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\"><Relationship "
        "Target=\"/m\" Id=\"a\" "
        "Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/></Relationships>";
    static const char model[] =
        "<model "
        "xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\"><resources><object "
        "id=\"1\"><mesh>"
        "<vertices><vertex x=\"0\" y=\"0\" z=\"0\"/><vertex x=\"50\" y=\"0\" z=\"0\"/><vertex "
        "x=\"0\" y=\"50\" z=\"0\"/>"
        "<vertex x=\"0\" y=\"0\" z=\"50\"/></vertices><triangles><triangle v1=\"0\" v2=\"2\" "
        "v3=\"1\"/><triangle v1=\"0\" "
        "v2=\"1\" v3=\"3\"/><triangle v1=\"1\" v2=\"2\" v3=\"3\"/><triangle v1=\"2\" v2=\"0\" "
        "v3=\"3\"/></triangles></mesh>"
        "</object><object id=\"2\"><components><component "
        "objectid=\"1\"/></components></object></resources><build><item "
        "objectid=\"2\"/></build></model>";
    remove(path);
    zip_t *zip = zip_open(path, ZIP_CREATE | ZIP_TRUNCATE, NULL);
    assert_non_null(zip);
    assert_true(zip_file_add(zip, "_rels/.rels",
                             zip_source_buffer(zip, relations, sizeof relations - 1, 0), 0) >= 0);
    assert_true(zip_file_add(zip, "m", zip_source_buffer(zip, model, sizeof model - 1, 0), 0) >= 0);
    assert_int_equal(zip_close(zip), 0);
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    char whole[8192];
    size_t size = fread(whole, 1, sizeof whole, f);
    fclose(f);
    remove(path);
    fail_each(read_and_check, &(File){whole, size}, POISE_OK);
}

static PoiseStatus cut_slab(const File *unused, PoiseFaults *faults)
{
    (void)unused;
    static const double board[4][2] = {{0, 0}, {200, 0}, {200, 100}, {0, 100}};
    static const double pocket[4][2] = {{20, 20}, {60, 20}, {60, 60}, {20, 60}};
    PoiseSlabCut cuts[3] = {{.count = 4, .points_mm = pocket, .depth_mm = 10},
                            {.at_mm = {60, 60}, .diameter_mm = 20, .depth_mm = NAN},
                            {.at_mm = {150, 50}, .diameter_mm = 20, .depth_mm = 5}};
    PoiseMoments m;
    return poise_slab_moments(board, 4, 40, 0, cuts, 3, "a.json", "/items/a", &m, faults);
}

static PoiseStatus refuse_slab(const File *unused, PoiseFaults *faults)
{
    (void)unused;
    static const double board[4][2] = {{0, 0}, {200, 0}, {200, 100}, {0, 100}};
    static const double bow[4][2] = {{20, 20}, {60, 60}, {60, 20}, {20, 50}};
    PoiseSlabCut cut = {.count = 4, .points_mm = bow, .depth_mm = 10};
    PoiseMoments m;
    return poise_slab_moments(board, 4, 40, 0, &cut, 1, "a.json", "/items/a", &m, faults);
}

static void test_slab(void **state)
{
    (void)state;
    fail_each(cut_slab, NULL, POISE_OK);
    fail_each(refuse_slab, NULL, POISE_E_INPUT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_stl),
        cmocka_unit_test(test_obj),
        cmocka_unit_test(test_3mf),
        cmocka_unit_test(test_slab),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
