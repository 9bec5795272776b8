/* A whole body divided a second way: GEOS' buffers for the regions, its overlays for the windows
 * and its areas for the splits, layer by layer. Slow and independent of the scanlines, the offsets
 * and the sums. */
#include <geos_c.h>

#include "check.h"
#include "geometry/contour.h"
#include "poise/section.h"
#include "shapes.h"

#define LAYERS 24

typedef struct Stack {
    GEOSContextHandle_t geos;
    GEOSGeometry *region[LAYERS];
} Stack;

static void quiet(const char *message, void *context)
{
    (void)message;
    (void)context;
}

static double area(const Stack *stack, const GEOSGeometry *g)
{
    double value = -1;
    assert_int_equal(GEOSArea_r(stack->geos, g, &value), 1);
    return value;
}

/* The region between rings that do not cross: lines in, area out. */
static GEOSGeometry *region_of(const Stack *stack, const PoiseRings *rings)
{
    GEOSGeometry *line[64];
    assert_true(rings->rings > 0 && rings->rings <= 64);
    for (size_t r = 0; r < rings->rings; r++) {
        size_t start = poise_rings_start(rings, r), n = rings->ends[r] - start;
        GEOSCoordSequence *points = GEOSCoordSeq_create_r(stack->geos, (unsigned)n + 1, 2);
        for (size_t i = 0; i <= n; i++)
            GEOSCoordSeq_setXY_r(stack->geos, points, (unsigned)i, rings->points[start + i % n][0],
                                 rings->points[start + i % n][1]);
        line[r] = GEOSGeom_createLineString_r(stack->geos, points);
    }
    GEOSGeometry *lines = GEOSGeom_createCollection_r(stack->geos, GEOS_MULTILINESTRING, line,
                                                      (unsigned)rings->rings);
    GEOSGeometry *region = GEOSBuildArea_r(stack->geos, lines);
    GEOSGeom_destroy_r(stack->geos, lines);
    assert_non_null(region);
    return region;
}

static void cut_all(const PoiseMesh *mesh, Stack *stack, double *height)
{
    double planes[LAYERS];
    *height = (mesh->max_mm[2] - mesh->min_mm[2]) / LAYERS;
    for (int k = 0; k < LAYERS; k++)
        planes[k] = mesh->min_mm[2] + (k + 0.5) * *height;
    PoiseSlices slices = {.vertices = mesh->vertices_mm,
                          .triangles = mesh->triangles,
                          .triangle_count = mesh->triangle_count,
                          .planes = planes,
                          .layers = LAYERS};
    PoiseSliceRun run;
    PoiseContourWork work = {0};
    PoiseRings rings = {0};
    const double centre[2] = {0, 0};
    assert_int_equal(poise_slices_build(&slices, 1), POISE_OK);
    assert_int_equal(poise_slices_run(&slices, 0, LAYERS, &run), POISE_OK);
    for (int k = 0; k < LAYERS; k++) {
        poise_rings_reset(&rings);
        assert_int_equal(poise_contour(&slices, run.triangles + run.start[k],
                                       run.start[k + 1] - run.start[k], planes[k], centre, &work,
                                       &rings),
                         POISE_OK);
        stack->region[k] = region_of(stack, &rings);
    }
    poise_rings_release(&rings);
    poise_contour_work_release(&work);
    poise_slice_run_release(&run);
    poise_slices_release(&slices);
}

static void shrink_all(Stack *stack, double by)
{
    for (int k = 0; k < LAYERS; k++) {
        GEOSGeometry *g = GEOSBufferWithStyle_r(stack->geos, stack->region[k], -by, 8,
                                                GEOSBUF_CAP_ROUND, GEOSBUF_JOIN_MITRE, 5);
        assert_non_null(g);
        GEOSGeom_destroy_r(stack->geos, stack->region[k]);
        stack->region[k] = g;
    }
}

/* Area of layer k that neither a layer above nor one below uncovers. */
static double infill_area(const Stack *stack, int k, int bottom, int top)
{
    if (k - bottom < 0 || k + top >= LAYERS)
        return 0;
    GEOSGeometry *common = GEOSGeom_clone_r(stack->geos, stack->region[k]);
    for (int j = k - bottom; j <= k + top; j++) {
        GEOSGeometry *next = GEOSIntersection_r(stack->geos, common, stack->region[j]);
        assert_non_null(next);
        GEOSGeom_destroy_r(stack->geos, common);
        common = next;
    }
    double value = area(stack, common);
    GEOSGeom_destroy_r(stack->geos, common);
    return value;
}

static void body(void **state)
{
    (void)state;
    PoiseMesh *mesh = shape_new();
    shape_body(mesh, 3000);
    Stack stack = {.geos = GEOS_init_r()};
    GEOSContext_setErrorMessageHandler_r(stack.geos, quiet, NULL);
    double height;
    cut_all(mesh, &stack, &height);
    PoiseSlicing s = {.layer_mm = height, .line_mm = 0.8, .top = 3, .bottom = 2, .up = {0, 0, 1}};
    PoiseSection section;
    assert_int_equal(poise_section_slice(mesh, "body", &s, 2, NULL, NULL, &section, NULL),
                     POISE_OK);
    assert_int_equal(section.layers, LAYERS);
    double layered = 0;
    for (int n = 0; n <= 4; n++) {
        if (n > 0)
            shrink_all(&stack, s.line_mm);
        double inside = 0, infill = 0;
        for (int k = 0; k < LAYERS; k++) {
            inside += height * area(&stack, stack.region[k]);
            infill += height * infill_area(&stack, k, s.bottom, s.top);
        }
        if (n == 0)
            layered = inside;
        double f = section.solid.volume_mm3 / layered;
        check_close(section.layered_mm3, layered, 1e-6);
        /* The buffer moves points by up to a hundredth of the distance beforehand. */
        check_near(section.splits[n].perimeter.volume_mm3, f * (layered - inside),
                   2e-3 * (layered - inside) + 1e-3);
        check_close(section.splits[n].infill.volume_mm3, f * infill, 1e-4);
        check_close(section.splits[n].skin.volume_mm3, f * (inside - infill), 3e-4);
    }
    for (int k = 0; k < LAYERS; k++)
        GEOSGeom_destroy_r(stack.geos, stack.region[k]);
    GEOS_finish_r(stack.geos);
    shape_free(mesh);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(body)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
