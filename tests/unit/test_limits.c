/* The bounds of base/limits.h at their edges: the last that is accepted, the first that is not. The
 * list of faults has its edge in test_faults.c, files theirs in test_file.c. */
#include "check.h"

#include <stdbool.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "geometry/section_load.h"
#include "input/reader.h"
#include "model/instrument.h"
#include "poise/poise.h"
#include "solids.h"

static PoiseShelf shelf;

/* Is the instrument accepted? If not, a fault says `says`. */
static bool accepted(PoiseText *text, const char *says)
{
    char *file = poise_text_take(text);
    assert_non_null(file);
    PoiseFaults *faults = poise_faults_new();
    PoiseDocument *document = NULL;
    PoiseInstrument *in = NULL;
    PoiseStatus status = poise_document_parse(file, strlen(file), "f", &document, faults);
    if (!status)
        status = poise_instrument_from_document(document, NULL, NULL, ".", &shelf, &in, faults);
    if (status) {
        char *words = poise_fault_text(poise_faults_get(faults, 0));
        assert_int_equal(status, POISE_E_INPUT);
        if (!strstr(words, says))
            fail_msg("\"%s\" is not in \"%s\"", says, words);
        poise_string_free(words);
    }
    poise_instrument_free(in);
    poise_document_free(document);
    poise_faults_free(faults);
    poise_release(file);
    return status == POISE_OK;
}

static PoiseText begin(void)
{
    PoiseText t = {0};
    poise_text_append(&t, "{\"poise\":1,");
    return t;
}

static bool takes_items(int n)
{
    PoiseText t = begin();
    poise_text_append(&t, "\"items\":{");
    for (int i = 0; i < n; i++)
        poise_text_printf(&t, "%s\"i%d\":{\"kind\":\"mass\",\"mass\":1}", i ? "," : "", i);
    poise_text_append(&t, "}}");
    return accepted(&t, "1000");
}

static void items(void **state)
{
    (void)state;
    assert_true(takes_items(POISE_LIMIT_ITEMS));
    assert_false(takes_items(POISE_LIMIT_ITEMS + 1));
}

static bool takes_count(int n)
{
    PoiseText t = begin();
    poise_text_printf(&t, "\"items\":{\"a\":{\"kind\":\"mass\",\"mass\":1,\"count\":%d}}}", n);
    return accepted(&t, "10000");
}

static void count(void **state)
{
    (void)state;
    assert_true(takes_count(POISE_LIMIT_COUNT));
    assert_false(takes_count(POISE_LIMIT_COUNT + 1));
    assert_false(takes_count(0));
}

static bool takes_variants(int n)
{
    PoiseText t = begin();
    poise_text_append(&t, "\"items\":{\"a\":{\"kind\":\"mass\",\"mass\":1}},\"variants\":{");
    for (int i = 0; i < n; i++)
        poise_text_printf(&t, "%s\"v%d\":{\"name\":\"n\"}", i ? "," : "", i);
    poise_text_append(&t, "}}");
    return accepted(&t, "200");
}

static void variants(void **state)
{
    (void)state;
    assert_true(takes_variants(POISE_LIMIT_VARIANTS));
    assert_false(takes_variants(POISE_LIMIT_VARIANTS + 1));
}

/* A regular polygon: no two sides cross. */
static bool takes_points(int n)
{
    PoiseText t = begin();
    poise_text_append(&t, "\"materials\":{\"m\":{\"density\":1}},\"items\":{\"a\":{\"kind\":"
                          "\"solid\",\"material\":\"m\",\"thickness\":5,\"outline\":[");
    for (int i = 0; i < n; i++) {
        double angle = 6.283185307179586 * i / n;
        poise_text_printf(&t, "%s[%.9g,%.9g]", i ? "," : "", 100 * cos(angle), 100 * sin(angle));
    }
    poise_text_append(&t, "]}}}");
    return accepted(&t, "20000");
}

static void outline_points(void **state)
{
    (void)state;
    assert_true(takes_points(POISE_LIMIT_OUTLINE_POINTS));
    assert_false(takes_points(POISE_LIMIT_OUTLINE_POINTS + 1));
}

static bool takes_length(const char *mm)
{
    PoiseText t = begin();
    poise_text_printf(&t, "\"items\":{\"a\":{\"kind\":\"mass\",\"mass\":1,\"at\":[%s,0,0]}}}", mm);
    return accepted(&t, "10 m");
}

static void coordinates(void **state)
{
    (void)state;
    assert_true(takes_length("10000"));
    assert_true(takes_length("-10000"));
    assert_false(takes_length("10000.001"));
    assert_false(takes_length("-1e300"));
}

/* What the scanner says of plain JSON. */
static PoiseStatus scans(PoiseText *t)
{
    char *text = poise_text_take(t);
    assert_non_null(text);
    PoiseDocument *document = NULL;
    PoiseStatus status = poise_document_parse(text, strlen(text), "f", &document, NULL);
    poise_document_free(document);
    poise_release(text);
    return status;
}

static PoiseStatus nested(int depth)
{
    PoiseText t = {0};
    for (int i = 0; i < depth; i++)
        poise_text_append(&t, "[");
    for (int i = 0; i < depth; i++)
        poise_text_append(&t, "]");
    return scans(&t);
}

static PoiseStatus values(size_t n)
{
    PoiseText t = {0};
    poise_text_append(&t, "[0");
    for (size_t i = 2; i < n; i++) /* the list is a value, too */
        poise_text_append(&t, ",0");
    poise_text_append(&t, "]");
    return scans(&t);
}

static PoiseStatus keys(int n)
{
    PoiseText t = {0};
    for (int i = 0; i < n; i++)
        poise_text_printf(&t, "%s\"%d\":0", i ? "," : "{", i);
    poise_text_append(&t, "}");
    return scans(&t);
}

static void json(void **state)
{
    (void)state;
    assert_int_equal(nested(POISE_LIMIT_JSON_DEPTH), POISE_OK);
    assert_int_equal(nested(POISE_LIMIT_JSON_DEPTH + 1), POISE_E_INPUT);
    assert_int_equal(values(POISE_LIMIT_JSON_VALUES), POISE_OK);
    assert_int_equal(values(POISE_LIMIT_JSON_VALUES + 1), POISE_E_INPUT);
    assert_int_equal(keys(POISE_LIMIT_JSON_KEYS), POISE_OK);
    assert_int_equal(keys(POISE_LIMIT_JSON_KEYS + 1), POISE_E_INPUT);
}

/* Files that only claim their size take no room on the disk. */
static void file_sizes(void **state)
{
    (void)state;
    char path[] = "/tmp/poise-test-limits-XXXXXX";
    int fd = mkstemp(path);
    assert_true(fd >= 0);
    PoiseFaults *faults = poise_faults_new();
    PoiseDocument *document = NULL;
    assert_int_equal(ftruncate(fd, (off_t)POISE_LIMIT_JSON_BYTES + 1), 0);
    assert_int_equal(poise_document_read(path, &document, faults), POISE_E_INPUT);
    assert_non_null(strstr(poise_faults_get(faults, 0)->found, "limit of 8388608 bytes"));
    assert_int_equal(ftruncate(fd, (off_t)POISE_LIMIT_JSON_BYTES), 0);
    assert_int_equal(poise_document_read(path, &document, faults), POISE_E_INPUT);
    assert_null(strstr(poise_faults_get(faults, 1)->found, "limit")); /* only not JSON */
    poise_faults_free(faults);
    faults = poise_faults_new();
    PoiseMesh *mesh = NULL;
    assert_int_equal(ftruncate(fd, (off_t)POISE_LIMIT_MESH_BYTES + 1), 0);
    assert_int_equal(poise_mesh_read(path, NULL, &mesh, faults), POISE_E_MESH);
    assert_non_null(strstr(poise_faults_get(faults, 0)->found, "limit of 1073741824 bytes"));
    poise_faults_free(faults);
    close(fd);
    unlink(path);
}

/* A binary STL file whose header promises more triangles than any mesh may have. */
static void triangles(void **state)
{
    (void)state;
    unsigned char header[84] = {0};
    for (int edge = 0; edge <= 1; edge++) {
        uint32_t n = (uint32_t)POISE_LIMIT_TRIANGLES + (uint32_t)edge;
        for (int i = 0; i < 4; i++)
            header[80 + i] = (unsigned char)(n >> (8 * i));
        PoiseMesh *mesh = NULL;
        assert_int_equal(poise_mesh_parse(header, sizeof header, "f", NULL, &mesh, NULL),
                         POISE_E_MESH); /* the facets are missing, and none was made room for */
        assert_null(mesh);
    }
}

/* A box of this height in layers of 1 µm. */
static PoiseStatus slices(double height_mm)
{
    Soup soup = {0};
    soup_box(&soup, (double[3]){0, 0, 0}, (double[3]){4, 4, height_mm});
    size_t size = 0;
    void *file = soup_stl(&soup, &size);
    soup_free(&soup);
    PoiseMesh *mesh = NULL;
    assert_int_equal(poise_mesh_parse(file, size, "f", NULL, &mesh, NULL), POISE_OK);
    free(file);
    PoiseSlicing slicing = poise_slicing_default();
    slicing.layer_mm = 0.001;
    PoiseSection section;
    PoiseStatus status = poise_section_slice(mesh, "f", &slicing, 1, NULL, NULL, &section, NULL);
    if (!status)
        assert_int_equal(section.layers, (size_t)(height_mm / 0.001 + 0.5));
    poise_mesh_free(mesh);
    return status;
}

static void layers(void **state)
{
    (void)state;
    const double most = 0.001 * (double)POISE_LIMIT_LAYERS; /* 50 mm */
    assert_int_equal(slices(most), POISE_OK);
    assert_int_equal(slices(most + 0.002), POISE_E_USAGE);
}

static int set_up(void **state)
{
    (void)state;
    return poise_shelf_read(POISE_TEST_SOURCE_DIR "/tests/data/components", &shelf, NULL) ? -1 : 0;
}

static int tear_down(void **state)
{
    (void)state;
    poise_shelf_clear(&shelf);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(items),          cmocka_unit_test(count),       cmocka_unit_test(variants),
        cmocka_unit_test(outline_points), cmocka_unit_test(coordinates), cmocka_unit_test(json),
        cmocka_unit_test(file_sizes),     cmocka_unit_test(triangles),   cmocka_unit_test(layers),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
