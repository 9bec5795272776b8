/* GEOS fails: every call of it that the library makes fails once, in turn. Its functions are
 * replaced here by ones that count, and otherwise call the real ones. What comes back is a status,
 * or (where the answer is asked for again in another way) the same numbers; under the address
 * sanitizer nothing leaks and nothing is freed twice. Who owns what after a failure is as the
 * library's documentation says: what a polygon, a line or a collection is made from is theirs, made
 * or not. */
#define _GNU_SOURCE /* RTLD_NEXT */
#include "check.h"
#include "solids.h"

#include <dlfcn.h>
#include <geos_c.h>
#include <stdbool.h>

#include "decide/body_outline.h"
#include "geometry/offset.h"
#include "geometry/slab.h"
#include "poise/poise.h"

static long fail_at = -1, counted;
static const char *failed; /* which function it was */

/* Must this call fail? */
static bool now(const char *name)
{
    if (counted++ != fail_at)
        return false;
    failed = name;
    return true;
}

/* The function itself, into the pointer at `function`. */
static void find(const char *name, void *function)
{
    void *found = dlsym(RTLD_NEXT, name);
    if (!found)
        abort();
    memcpy(function, &found, sizeof found);
}

typedef GEOSContextHandle_t H;
typedef GEOSGeometry G;
typedef GEOSCoordSequence S;

/* TYPE NAME(PARAMETERS) that gives FAILED when it must fail. */
#define REPLACE(TYPE, NAME, FAILED, PARAMETERS, ARGUMENTS)                                         \
    TYPE NAME PARAMETERS                                                                           \
    {                                                                                              \
        TYPE(*real) PARAMETERS;                                                                    \
        find(#NAME, &real);                                                                        \
        return now(#NAME) ? (FAILED) : real ARGUMENTS;                                             \
    }

/* The same for one that takes its arguments over: they go, whether it fails or not. */
#define REPLACE_TAKING(NAME, PARAMETERS, ARGUMENTS)                                                \
    G *NAME PARAMETERS                                                                             \
    {                                                                                              \
        G *(*real)PARAMETERS;                                                                      \
        find(#NAME, &real);                                                                        \
        G *made = real ARGUMENTS;                                                                  \
        if (!now(#NAME))                                                                           \
            return made;                                                                           \
        GEOSGeom_destroy_r(h, made);                                                               \
        return NULL;                                                                               \
    }

REPLACE(H, GEOS_init_r, NULL, (void), ())
REPLACE(S *, GEOSCoordSeq_create_r, NULL, (H h, unsigned n, unsigned d), (h, n, d))
REPLACE(int, GEOSCoordSeq_setXY_r, 0, (H h, S *s, unsigned i, double x, double y), (h, s, i, x, y))
REPLACE(int, GEOSCoordSeq_getXY_r, 0, (H h, const S *s, unsigned i, double *x, double *y),
        (h, s, i, x, y))
REPLACE(int, GEOSCoordSeq_getSize_r, 0, (H h, const S *s, unsigned *n), (h, s, n))
REPLACE(S *, GEOSCoordSeq_copyFromBuffer_r, NULL, (H h, const double *b, unsigned n, int z, int m),
        (h, b, n, z, m))
REPLACE(int, GEOSCoordSeq_copyToBuffer_r, 0, (H h, const S *s, double *b, int z, int m),
        (h, s, b, z, m))
REPLACE(G *, GEOSGeom_clone_r, NULL, (H h, const G *g), (h, g))
REPLACE(G *, GEOSGeom_createPointFromXY_r, NULL, (H h, double x, double y), (h, x, y))
REPLACE(const S *, GEOSGeom_getCoordSeq_r, NULL, (H h, const G *g), (h, g))
REPLACE(const G *, GEOSGetExteriorRing_r, NULL, (H h, const G *g), (h, g))
REPLACE(const G *, GEOSGetInteriorRingN_r, NULL, (H h, const G *g, int n), (h, g, n))
REPLACE(const G *, GEOSGetGeometryN_r, NULL, (H h, const G *g, int n), (h, g, n))
REPLACE(int, GEOSGetNumInteriorRings_r, -1, (H h, const G *g), (h, g))
REPLACE(int, GEOSGetNumGeometries_r, -1, (H h, const G *g), (h, g))
REPLACE(int, GEOSGeomTypeId_r, -1, (H h, const G *g), (h, g))
REPLACE(char, GEOSisEmpty_r, 2, (H h, const G *g), (h, g))
REPLACE(char, GEOSCovers_r, 2, (H h, const G *a, const G *b), (h, a, b))
REPLACE(char, GEOSRelatePattern_r, 2, (H h, const G *a, const G *b, const char *p), (h, a, b, p))
REPLACE(char, GEOSisValid_r, 2, (H h, const G *g), (h, g))
REPLACE(int, GEOSDistance_r, 0, (H h, const G *a, const G *b, double *d), (h, a, b, d))
REPLACE(int, GEOSArea_r, 0, (H h, const G *g, double *a), (h, g, a))
REPLACE(int, GEOSGeomGetX_r, 0, (H h, const G *g, double *x), (h, g, x))
REPLACE(int, GEOSGeomGetY_r, 0, (H h, const G *g, double *y), (h, g, y))
REPLACE(G *, GEOSUnaryUnion_r, NULL, (H h, const G *g), (h, g))
REPLACE(G *, GEOSUnaryUnionPrec_r, NULL, (H h, const G *g, double p), (h, g, p))
REPLACE(G *, GEOSIntersection_r, NULL, (H h, const G *a, const G *b), (h, a, b))
REPLACE(G *, GEOSDifferencePrec_r, NULL, (H h, const G *a, const G *b, double p), (h, a, b, p))
REPLACE(G *, GEOSPolygonize_r, NULL, (H h, const G *const *g, unsigned n), (h, g, n))
REPLACE(G *, GEOSPointOnSurface_r, NULL, (H h, const G *g), (h, g))
REPLACE(G *, GEOSBufferWithStyle_r, NULL,
        (H h, const G *g, double w, int q, int cap, int join, double limit),
        (h, g, w, q, cap, join, limit))
REPLACE_TAKING(GEOSGeom_createLineString_r, (H h, S *s), (h, s))
REPLACE_TAKING(GEOSGeom_createLinearRing_r, (H h, S *s), (h, s))
REPLACE_TAKING(GEOSGeom_createPolygon_r, (H h, G *shell, G **holes, unsigned n),
               (h, shell, holes, n))
REPLACE_TAKING(GEOSGeom_createCollection_r, (H h, int type, G **g, unsigned n), (h, type, g, n))

/* A run; *number is what it found out, to compare. */
typedef PoiseStatus Work(double *number, PoiseFaults *faults);

static void fail_each(Work *work, int least)
{
    double usual = 0.0;
    fail_at = -1;
    assert_int_equal(work(&usual, NULL), POISE_OK);
    long at = 0, told = 0;
    for (;; at++) {
        double number = 0.0;
        PoiseFaults *faults = poise_faults_new();
        assert_non_null(faults);
        counted = 0;
        fail_at = at;
        PoiseStatus status = work(&number, faults);
        fail_at = -1;
        poise_faults_free(faults);
        if (counted <= at)
            break; /* nothing failed */
        if (status) {
            told++;
            assert_true(status == POISE_E_INTERNAL || status == POISE_E_MEMORY);
        } else {
            if (!(fabs(number - usual) <= 1e-9 * fabs(usual)))
                print_error("call %ld, of %s:\n", at, failed);
            check_close(number, usual, 1e-9);
        }
    }
    print_message("%ld calls, told of %ld\n", at, told);
    assert_true(at >= least && told > 0);
}

/* Pockets that overlap each other, the rim and a hole; round holes alone and beside others. */
static PoiseStatus slab(double *number, PoiseFaults *faults)
{
    static const double board[4][2] = {{0, 0}, {200, 0}, {200, 100}, {0, 100}};
    static const double pocket[4][2] = {{20, 20}, {60, 20}, {60, 60}, {20, 60}};
    static const double notch[4][2] = {{190, 40}, {220, 40}, {220, 60}, {190, 60}};
    const PoiseSlabCut cuts[] = {
        {.count = 4, .points_mm = pocket, .depth_mm = 10},
        {.count = 4, .points_mm = notch, .depth_mm = 20, .from_bottom = true},
        {.at_mm = {60, 60}, .diameter_mm = 20, .depth_mm = NAN},
        {.at_mm = {150, 50}, .diameter_mm = 20, .depth_mm = 5},
        {.at_mm = {120, 50}, .diameter_mm = 10, .depth_mm = 30, .from_bottom = true}};
    PoiseMoments m;
    PoiseStatus status = poise_slab_moments(board, 4, 40, 0, cuts, 5, "f", "/a", &m, faults);
    *number = m.volume_mm3;
    return status;
}

/* Two shells that overlap, one of them with a hollow: united, then shrunk. */
static PoiseStatus section(double *number, PoiseFaults *faults)
{
    Soup soup = {0};
    soup_box(&soup, (double[3]){0, 0, 0}, (double[3]){20, 20, 6});
    soup_box(&soup, (double[3]){10, 5, 1}, (double[3]){30, 15, 4});
    size_t first = soup.count;
    soup_box(&soup, (double[3]){2, 2, 2}, (double[3]){7, 18, 4});
    soup_reverse(&soup, first);
    size_t size = 0;
    void *file = soup_stl(&soup, &size);
    soup_free(&soup);
    PoiseMesh *mesh = NULL;
    PoiseSlicing slicing = poise_slicing_default();
    slicing.layer_mm = 1.5;
    PoiseSection found = {0};
    PoiseStatus status = poise_mesh_parse(file, size, "f", NULL, &mesh, faults);
    free(file);
    if (!status)
        status = poise_section_slice(mesh, "f", &slicing, 1, NULL, NULL, &found, faults);
    *number = found.splits[3].perimeter.volume_mm3;
    poise_mesh_free(mesh);
    return status;
}

/* A sail on a thin foot, which GEOS loses: shrunk edge by edge in the end. */
static PoiseStatus sail(double *number, PoiseFaults *faults)
{
    static const double p[][2] = {{-1.5, -4.45833},    {-1.41667, -4.5}, {1.41667, -4.5},
                                  {1.41667, -4.45833}, {-0.5, 4.16667},  {-0.54167, 4.16667},
                                  {0.41667, -4.45833}};
    PoiseRings in = {0}, out = {0};
    PoiseOffsetWork work = {0};
    (void)faults;
    for (size_t i = 0; i < sizeof p / sizeof *p; i++)
        poise_rings_add(&in, p[i][0], p[i][1]);
    poise_rings_close(&in);
    PoiseStatus status = poise_offset_inward(&in, 1.0 / 6, &work, &out);
    *number = poise_rings_flat(&out).area;
    poise_offset_release(&work);
    poise_rings_release(&in);
    poise_rings_release(&out);
    return status;
}

static PoiseInstrument *plank;
static PoiseWeighing *weighed;

static PoiseStatus outline(double *number, PoiseFaults *faults)
{
    PoiseBodyOutline found = {0};
    PoiseStatus status = poise_body_outline(plank, weighed, -10, 5, &found, faults);
    *number = (double)(found.edge.count + found.inset.count);
    poise_body_outline_clear(&found);
    return status;
}

static void test_slab(void **state)
{
    (void)state;
    fail_each(slab, 60);
}

static void test_section(void **state)
{
    (void)state;
    fail_each(section, 60);
}

static void test_sail(void **state)
{
    (void)state;
    fail_each(sail, 60);
}

static void test_outline(void **state)
{
    (void)state;
    static const char text[] =
        "{\"poise\":1,\"materials\":{\"m\":{\"density\":1}},\"items\":{"
        "\"a\":{\"kind\":\"solid\",\"material\":\"m\",\"thickness\":20,"
        "\"outline\":[[0,0],[100,0],[100,60],[0,60]]},"
        "\"b\":{\"kind\":\"solid\",\"material\":\"m\",\"thickness\":20,\"at\":[100.5,0,0],"
        "\"outline\":[[0,0],[50,0],[50,60],[0,60]]}}}";
    assert_int_equal(poise_instrument_parse(text, sizeof text - 1, "f", ".", NULL,
                                            POISE_TEST_SOURCE_DIR "/components", &plank, NULL),
                     POISE_OK);
    assert_int_equal(poise_weigh(plank, NULL, &weighed, NULL), POISE_OK);
    fail_each(outline, 20);
    poise_weighing_free(weighed);
    poise_instrument_free(plank);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_slab),
        cmocka_unit_test(test_section),
        cmocka_unit_test(test_sail),
        cmocka_unit_test(test_outline),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
