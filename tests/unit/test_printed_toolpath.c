/* A printed item with a toolpath: a box laid as a raster, with a skirt around it. */
#include "item_fixture.h"

#include "base/memory.h"
#include "geometry/columns.h"

/* mm: a box with its corner at 5, 6, 7 in the mesh; it stands on the bed at 100, 80. */
static const double LO[3] = {5, 6, 7}, HI[3] = {45, 26, 17};
static const double BED[2] = {100, 80};
static const double LINE = 0.5, LAYER = 0.25, FILAMENT = 1.75;
/* A thousandth: the raster's turns at the ends. */
static const double RASTER = 1e-3;

static const double PI = 3.14159265358979323846;

static PoiseMaterial petg(void)
{
    return (PoiseMaterial){.density_g_cm3 = {1.25, 0.0125}};
}

static double filament_of(double volume_mm3)
{
    return volume_mm3 / (PI / 4 * FILAMENT * FILAMENT);
}

typedef struct Writer {
    FILE *file;
    double fed_mm;
    double raised_mm; /* of what follows */
} Writer;

static void go(const Writer *w, double x, double y, double z)
{
    fprintf(w->file, "G0 X%.4f Y%.4f Z%.4f\n", x, y, z + w->raised_mm);
}

static void lay(Writer *w, double x, double y, double length)
{
    w->fed_mm += filament_of(length * LINE * LAYER);
    fprintf(w->file, "G1 X%.4f Y%.4f E%.6f\n", x, y, w->fed_mm);
}

/* Lines along x fill a box of this size from x0, y0, every layer; with `turned` along y, the box's
 * sides exchanged. */
static void raster(Writer *w, double x0, double y0, bool turned)
{
    double size[3] = {HI[0] - LO[0], HI[1] - LO[1], HI[2] - LO[2]};
    int layers = (int)lround(size[2] / LAYER), lines = (int)lround(size[1] / LINE);
    for (int k = 1; k <= layers; k++)
        for (int i = 0; i < lines; i++) {
            double across = (i + 0.5) * LINE;
            go(w, x0 + (turned ? across : 0), y0 + (turned ? 0 : across), k * LAYER);
            lay(w, x0 + (turned ? across : size[0]), y0 + (turned ? size[0] : across), size[0]);
        }
}

/* Two loops of one line around the part in the first layer, 4 mm away, and a purge line. */
static double skirt(Writer *w, double x0, double y0, double wide, double deep)
{
    double before = w->fed_mm;
    go(w, 1, 1, LAYER);
    lay(w, 60, 1, 59);
    for (int loop = 0; loop < 2; loop++) {
        double d = 4 + loop * LINE;
        go(w, x0 - d, y0 - d, LAYER);
        lay(w, x0 + wide + d, y0 - d, wide + 2 * d);
        lay(w, x0 + wide + d, y0 + deep + d, deep + 2 * d);
        lay(w, x0 - d, y0 + deep + d, wide + 2 * d);
        lay(w, x0 - d, y0 - d, deep + 2 * d);
    }
    return (w->fed_mm - before) * PI / 4 * FILAMENT * FILAMENT;
}

typedef struct Bench {
    char mesh[512], path[512];
    PoiseMaterial material;
    PoiseInstrument instrument;
    PoiseItem item;
    double skirt_mm3;
} Bench;

/* The box as mesh and program; `turned`: by a quarter anticlockwise on the bed. */
static void set_up_raised(Bench *b, const char *name, bool turned, double raised_mm)
{
    *b = (Bench){
        .material = petg(), .instrument = drawn_along_x(), .item = item_of(POISE_ITEM_PRINTED)};
    char file[64];
    Soup soup = {0};
    soup_box(&soup, LO, HI);
    snprintf(file, sizeof file, "%s.stl", name);
    write_stl(&soup, file, b->mesh);
    soup_free(&soup);
    snprintf(b->path, sizeof b->path, "%s/%s.gcode", POISE_TEST_BINARY_DIR, name);
    Writer w = {.file = fopen(b->path, "w")};
    assert_non_null(w.file);
    fprintf(w.file, "G21\nG90\nM82\nG92 E0\n");
    double wide = HI[0] - LO[0], deep = HI[1] - LO[1];
    b->skirt_mm3 =
        turned ? skirt(&w, BED[0], BED[1], deep, wide) : skirt(&w, BED[0], BED[1], wide, deep);
    w.raised_mm = raised_mm;
    raster(&w, BED[0], BED[1], turned);
    assert_int_equal(fclose(w.file), 0);
    b->instrument.printer.filament_mm = FILAMENT;
    b->item.as.printed = (PoisePrinted){
        .mesh = b->mesh,
        .toolpath = b->path,
        .material = &b->material,
        .slicing = {.layer_mm = LAYER, .line_mm = LINE, .top = 4, .bottom = 4, .up = {0, 0, 1}},
        .perimeters = 2,
        .infill = {1, 0},
        .flow = {1, 0.02}};
}

static void set_up(Bench *b, const char *name, bool turned)
{
    set_up_raised(b, name, turned, 0);
}

static void tear_down(Bench *b)
{
    remove(b->mesh);
    remove(b->path);
}

static double solid_g(const Bench *b)
{
    return b->material.density_g_cm3.value * 1e-3 * (HI[0] - LO[0]) * (HI[1] - LO[1]) *
           (HI[2] - LO[2]);
}

/* Laid full, the box weighs what the mesh weighs full; centre and inertia are the cuboid's (I =
 * m(b²
 * + c²)/12, less the line's own section); skirt and purge are thrown away. */
static void the_same_box_as_mesh_and_toolpath(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, "laid-box", false);
    PoiseItemBody body = body_of(&b.instrument, &b.item);
    assert_true(body.has_toolpath);
    check_close(body.body.mass_g, solid_g(&b), RASTER);
    check_close(body.layers_g, solid_g(&b), RASTER);
    check_near(body.toolpath_g, body.body.mass_g, 0);
    for (int i = 0; i < 3; i++)
        check_near(body.body.centre_mm[i], 0.5 * (LO[i] + HI[i]), 0.01);
    double wide = HI[0] - LO[0], deep = HI[1] - LO[1];
    check_close(body.body.inertia_gmm2[2][2], body.body.mass_g * (wide * wide + deep * deep) / 12,
                RASTER);
    /* Flow ± 2 %, density ± 1 %, and this program's own half per cent. */
    check_close(body.mass_u_g, body.body.mass_g * sqrt(4e-4 + 1e-4 + 0.25e-4), 1e-9);
    check_close(body.print.filament_g,
                solid_g(&b) + b.material.density_g_cm3.value * 1e-3 * b.skirt_mm3, RASTER);
    assert_null(strstr(body.warning, "layer model")); /* they agree */
    assert_null(strstr(body.warning, "smaller"));
    assert_null(strstr(body.warning, "above the mesh's top"));
    assert_null(strstr(body.warning, "left out")); /* the skirt is 0.6 % */
    poise_item_body_free(&body);
    tear_down(&b);
}

/* A nozzle some tenths too high lifts the whole part off the mesh: it is the same part, in the same
 * place, and nothing of it is lost. */
static void a_raised_part_is_lowered(void **state)
{
    (void)state;
    static const double raised[] = {0.2, 0.3, 0.6, 1};
    for (size_t i = 0; i < sizeof raised / sizeof *raised; i++) {
        Bench b;
        set_up_raised(&b, "laid-raised", false, raised[i]);
        PoiseItemBody body = body_of(&b.instrument, &b.item);
        check_close(body.body.mass_g, solid_g(&b), RASTER);
        for (int k = 0; k < 3; k++)
            check_near(body.body.centre_mm[k], 0.5 * (LO[k] + HI[k]), 0.01);
        char told[64];
        snprintf(told, sizeof told, "ends %.2f mm above the mesh's top", raised[i]);
        assert_non_null(strstr(body.warning, told));
        assert_null(strstr(body.warning, "layer model"));
        poise_item_body_free(&body);
        tear_down(&b);
    }
}

/* A blob that was primed above the top raises nothing. */
static void a_blob_above_the_top(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, "laid-blob", false);
    FILE *f = fopen(b.path, "a");
    assert_non_null(f);
    fprintf(f, "M83\nG0 X110 Y90 Z%.2f\nG1 E0.5\n", HI[2] - LO[2] + 0.6);
    assert_int_equal(fclose(f), 0);
    PoiseItemBody body = body_of(&b.instrument, &b.item);
    check_close(body.body.mass_g, solid_g(&b), RASTER);
    check_near(body.body.centre_mm[2], 0.5 * (LO[2] + HI[2]), 0.01);
    assert_null(strstr(body.warning, "lowered"));
    poise_item_body_free(&body);
    tear_down(&b);
}

/* Too high to be the nozzle's doing: left where it is, and what lies above the mesh is told in
 * grams. 6 of 40 layers: a bead is kept while it touches the mesh. */
static void what_lies_above_the_mesh_is_told(void **state)
{
    (void)state;
    Bench b;
    set_up_raised(&b, "laid-high", false, 1.625);
    PoiseItemBody body = body_of(&b.instrument, &b.item);
    check_close(body.body.mass_g, solid_g(&b) * 34 / 40, RASTER);
    check_close(body.layers_g, solid_g(&b), RASTER);
    assert_non_null(strstr(body.warning, "toolpath lays 8.50 g, the layer model says 10.0 g"));
    assert_non_null(
        strstr(body.warning, ": 1.50 g above the mesh's top, 0.057 g elsewhere outside it (skirt"));
    assert_null(strstr(body.warning, "lowered"));
    poise_item_body_free(&body);
    tear_down(&b);
}

/* Without a mesh everything laid counts, in the bed's own axes. */
static void a_toolpath_alone(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, "laid-alone", false);
    b.item.as.printed.mesh = NULL;
    PoiseItemBody body = body_of(&b.instrument, &b.item);
    check_close(body.body.mass_g, solid_g(&b) + b.material.density_g_cm3.value * 1e-3 * b.skirt_mm3,
                1e-5);
    assert_null(body.loaded);
    assert_true(isnan(body.layers_g));
    poise_item_body_free(&body);
    /* Above the first layer is only the box: 39 of 40 layers. */
    b.item.as.printed.toolpath_skip_below_mm = 1.5 * LAYER;
    b.item.has_at = true;
    memcpy(b.item.at_mm, (double[3]){-BED[0], -BED[1], 0}, sizeof b.item.at_mm);
    body = body_of(&b.instrument, &b.item);
    check_close(body.body.mass_g, solid_g(&b) * 39 / 40, 1e-5);
    check_near(body.body.centre_mm[0], 20, 1e-3);
    check_near(body.body.centre_mm[1], 10, 1e-3);
    check_near(body.body.centre_mm[2], 5 + LAYER / 2, 1e-3);
    assert_non_null(strstr(body.warning, "left out: all lower than toolpath_skip_below"));
    assert_null(strstr(body.warning, "mesh"));
    poise_item_body_free(&body);
    tear_down(&b);
}

/* A part turned on the bed is found out, and put right by toolpath_turn. */
static void a_part_turned_on_the_bed(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, "laid-turned", true);
    PoiseItemBody body = body_of(&b.instrument, &b.item);
    assert_non_null(strstr(body.warning, "along the bed's x the toolpath is 20 mm smaller"));
    poise_item_body_free(&body);
    b.item.as.printed.toolpath_turn_deg = 90;
    body = body_of(&b.instrument, &b.item);
    check_close(body.body.mass_g, solid_g(&b), RASTER);
    for (int i = 0; i < 3; i++)
        check_near(body.body.centre_mm[i], 0.5 * (LO[i] + HI[i]), 0.01);
    assert_null(strstr(body.warning, "smaller"));
    poise_item_body_free(&body);
    tear_down(&b);
}

/* The bed's origin stated: the part's corner is at BED on the bed and at LO in the mesh. */
static void the_beds_place_stated(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, "laid-at", false);
    b.item.as.printed.has_toolpath_at = true;
    memcpy(b.item.as.printed.toolpath_at_mm, (double[3]){LO[0] - BED[0], LO[1] - BED[1], LO[2]},
           sizeof b.item.as.printed.toolpath_at_mm);
    PoiseItemBody body = body_of(&b.instrument, &b.item);
    check_close(body.body.mass_g, solid_g(&b), RASTER);
    for (int i = 0; i < 3; i++)
        check_near(body.body.centre_mm[i], 0.5 * (LO[i] + HI[i]), 1e-3);
    poise_item_body_free(&body);
    tear_down(&b);
}

/* What the program lays has the flow setting in it already; what a profile learned about the
 * printer, and of the plastic, is not in it. */
static void flow_setting_and_learned_flow(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, "laid-flow", false);
    b.item.as.printed.flow = (PoiseQuantity){0.9, 0.018};
    PoiseItemBody body = body_of(&b.instrument, &b.item);
    check_close(body.toolpath_g, solid_g(&b), RASTER);
    check_close(body.layers_g, 0.9 * solid_g(&b), RASTER);
    poise_item_body_free(&body);
    b.item.as.printed.learned_flow = (PoiseQuantity){0.97, 0.01};
    body = body_of(&b.instrument, &b.item);
    check_close(body.toolpath_g, 0.97 * solid_g(&b), RASTER);
    check_close(body.layers_g, 0.97 * 0.9 * solid_g(&b), RASTER);
    check_close(body.doubt.flow_u_g, body.toolpath_g * 0.01 / 0.97, 1e-9);
    poise_item_body_free(&body);
    b.material.laid_g_cm3 = (PoiseQuantity){1.2, 0.006};
    body = body_of(&b.instrument, &b.item);
    check_close(body.toolpath_g, 1.2 / 1.25 * solid_g(&b), RASTER);
    check_near(body.doubt.flow_u_g, 0, 0);
    check_close(body.doubt.density_u_g, body.toolpath_g * 0.006 / 1.2, 1e-9);
    poise_item_body_free(&body);
    tear_down(&b);
}

static void faults_stand_at_the_toolpath(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, "laid-faulty", false);
    b.item.as.printed.toolpath = (char *)"/nonexistent.gcode";
    refused_at(&b.instrument, &b.item, POISE_E_IO, "/toolpath");
    FILE *f = fopen(b.path, "w");
    assert_non_null(f);
    fprintf(f, "G1 X1 Y1 E\n");
    fclose(f);
    b.item.as.printed.toolpath = b.path;
    refused_at(&b.instrument, &b.item, POISE_E_MESH, "/toolpath");
    tear_down(&b);
}

static void memory_may_run_out(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, "laid-memory", false);
    const PoiseSectionOptions options = {.threads = 1, .no_cache = true};
    poise_alloc_fail_at(1000000000, 0);
    PoiseItemBody body;
    assert_int_equal(poise_item_body(&b.instrument, &b.item, &options, &body, NULL), POISE_OK);
    poise_item_body_free(&body);
    long total = poise_alloc_fail_at(-1, 0);
    for (long at = total > 60 ? total - 60 : 0; at < total; at++) { /* the toolpath comes last */
        poise_alloc_fail_at(at, 0);
        PoiseStatus status = poise_item_body(&b.instrument, &b.item, &options, &body, NULL);
        poise_alloc_fail_at(-1, 0);
        assert_true(status == POISE_OK || status == POISE_E_MEMORY);
        poise_item_body_free(&body);
    }
    tear_down(&b);
}

/* A box with a box-shaped hollow, cut into columns upright and lying. */
static void columns_know_inside_from_outside(void **state)
{
    (void)state;
    const double lo[3] = {0, 0, 0}, hi[3] = {20, 12, 10}, in_lo[3] = {5, 4, 3},
                 in_hi[3] = {15, 8, 7};
    Soup soup = {0};
    soup_box(&soup, lo, hi);
    size_t from = soup.count;
    soup_box(&soup, in_lo, in_hi);
    for (size_t t = from; t < soup.count; t++)
        for (int i = 0; i < 3; i++) {
            double swapped = soup.corners[3 * t][i];
            soup.corners[3 * t][i] = soup.corners[3 * t + 1][i];
            soup.corners[3 * t + 1][i] = swapped;
        }
    size_t size;
    unsigned char *stl = soup_stl(&soup, &size);
    PoiseMesh *mesh;
    assert_int_equal(poise_mesh_parse(stl, size, "hollow", NULL, &mesh, NULL), POISE_OK);
    free(stl);
    soup_free(&soup);
    double upright[3][3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    double lying[3][3] = {{0, 1, 0}, {0, 0, 1}, {1, 0, 0}};
    for (int turn = 0; turn < 2; turn++) {
        PoiseColumns *c;
        assert_int_equal(poise_columns_new(mesh, turn ? lying : upright, 0.3, &c), POISE_OK);
        static const struct {
            double at[3];
            bool inside;
        } points[] = {{{1, 1, 1}, true},      {{10, 6, 5}, false},    {{10, 6, 1.5}, true},
                      {{10, 6, 8.5}, true},   {{10, 2, 5}, true},     {{2.5, 6, 5}, true},
                      {{-0.5, 6, 5}, false},  {{10, 12.5, 5}, false}, {{10, 6, 10.5}, false},
                      {{10, 6, -0.5}, false}, {{19, 11, 9}, true}};
        for (size_t i = 0; i < sizeof points / sizeof *points; i++) {
            double at[3];
            for (int k = 0; k < 3; k++) {
                double *axis = turn ? lying[k] : upright[k];
                at[k] = axis[0] * points[i].at[0] + axis[1] * points[i].at[1] +
                        axis[2] * points[i].at[2];
            }
            if (poise_columns_hold(c, at, 0) != points[i].inside)
                fail_msg("point %zu, turn %d", i, turn);
        }
        if (turn == 0) { /* half a millimetre over the top is within reach of one */
            const double over[3] = {10, 6, 10.5}, under[3] = {10, 6, -0.5};
            assert_true(poise_columns_hold(c, over, 1) && poise_columns_hold(c, under, 1));
        }
        poise_columns_free(c);
    }
    poise_mesh_free(mesh);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_box_as_mesh_and_toolpath),
        cmocka_unit_test(a_raised_part_is_lowered),
        cmocka_unit_test(a_blob_above_the_top),
        cmocka_unit_test(what_lies_above_the_mesh_is_told),
        cmocka_unit_test(a_toolpath_alone),
        cmocka_unit_test(a_part_turned_on_the_bed),
        cmocka_unit_test(the_beds_place_stated),
        cmocka_unit_test(flow_setting_and_learned_flow),
        cmocka_unit_test(faults_stand_at_the_toolpath),
        cmocka_unit_test(memory_may_run_out),
        cmocka_unit_test(columns_know_inside_from_outside),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
