/* Printed sections against closed forms of layered solids. A layer is the prism over the solid's
 * section at the layer's mid-height; everything expected here is worked out from that definition
 * with the areas of regular polygons, rectangles and circles (elementary geometry, no source
 * needed). */
#include "base/memory.h"
#include "check.h"
#include "poise/section.h"
#include "shapes.h"

static PoiseSection slice(const PoiseMesh *mesh, const PoiseSlicing *slicing)
{
    PoiseSection section;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status =
        poise_section_slice(mesh, "mesh", slicing, 2, NULL, NULL, &section, faults);
    if (status) {
        char *text = poise_fault_text(poise_faults_get(faults, 0));
        print_error("%s\n", text);
        poise_string_free(text);
    }
    poise_faults_free(faults);
    assert_int_equal(status, POISE_OK);
    return section;
}

/* Checks the things that hold for every section. */
static void check_whole(const PoiseSection *section)
{
    const PoiseMoments *solid = &section->solid;
    double size = cbrt(solid->volume_mm3);
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++) {
        const PoiseSplit *s = &section->splits[n];
        const PoiseMoments *part[3] = {&s->perimeter, &s->skin, &s->infill};
        PoiseMoments sum = {0};
        for (int p = 0; p < 3; p++) {
            assert_true(part[p]->volume_mm3 >= -1e-9 * solid->volume_mm3);
            poise_moments_add(&sum, part[p], 1);
        }
        check_close(sum.volume_mm3, solid->volume_mm3, 1e-12);
        sum = poise_moments_about(&sum, solid->origin_mm);
        for (int i = 0; i < 3; i++)
            check_near(sum.first_mm4[i], solid->first_mm4[i], 1e-10 * solid->volume_mm3 * size);
        for (int i = 0; i < 6; i++)
            check_near(sum.second_mm5[i], solid->second_mm5[i],
                       1e-10 * solid->volume_mm3 * size * size);
        if (n > 0) {
            assert_true(s->perimeter.volume_mm3 >= section->splits[n - 1].perimeter.volume_mm3);
            assert_true(s->infill.volume_mm3 <= section->splits[n - 1].infill.volume_mm3);
        }
    }
}

/* What a split should be: volumes, and the parts' first and second moments about a height. */
typedef struct Expected {
    double volume[3], z[3], zz[3], xx[3];
} Expected;

static void add_prism(Expected *e, int part, double area, double second, double z, double h)
{
    e->volume[part] += area * h;
    e->z[part] += area * h * z;
    e->zz[part] += area * h * (z * z + h * h / 12);
    e->xx[part] += second * h;
}

/* A solid whose sections are nested regular polygons of n sides: apothem (distance of a side from
 * the axis) of each layer given. Shrinking by d makes the apothem d less; what nested regions have
 * in common is the smallest of them. Area n a² tan(π/n); second moment about a diameter A a² (2 +
 * cos(2π/n)) / (12 cos²(π/n)). */
static Expected expect_nested(const double *apothem, int layers, double h, const PoiseSlicing *s,
                              int perimeters, double sides)
{
    Expected e = {{0}, {0}, {0}, {0}};
    double k_area = sides * tan(SHAPE_PI / sides);
    double cosine = cos(SHAPE_PI / sides);
    double k_second = k_area * (2 + cos(2 * SHAPE_PI / sides)) / (12 * cosine * cosine);
    for (int k = 0; k < layers; k++) {
        double outer = apothem[k], inner = fmax(0, outer - perimeters * s->line_mm), common = inner;
        if (s->top > 0 || s->bottom > 0)
            for (int j = k - s->bottom; j <= k + s->top; j++)
                common =
                    fmin(common,
                         j < 0 || j >= layers ? 0 : fmax(0, apothem[j] - perimeters * s->line_mm));
        double z = (k + 0.5) * h, a[4] = {outer, inner, common, 0};
        for (int part = 0; part < 3; part++)
            add_prism(&e, part, k_area * (a[part] * a[part] - a[part + 1] * a[part + 1]),
                      k_second * (pow(a[part], 4) - pow(a[part + 1], 4)), z, h);
    }
    return e;
}

/* Compares, the expected volumes scaled to the solid's as the contract of PoiseSplit says. The
 * moments, which also share the layers' shift, only to `loose`. */
static void check_split(const PoiseSection *section, int n, const Expected *e, double tolerance,
                        double loose, double base_z)
{
    const PoiseSplit *s = &section->splits[n];
    const PoiseMoments *part[3] = {&s->perimeter, &s->skin, &s->infill};
    double layered = e->volume[0] + e->volume[1] + e->volume[2];
    double f = section->solid.volume_mm3 / layered;
    check_close(section->layered_mm3, layered, tolerance);
    for (int p = 0; p < 3; p++) {
        const double origin[3] = {0, 0, base_z};
        PoiseMoments m = poise_moments_about(part[p], origin);
        check_near(m.volume_mm3, f * e->volume[p],
                   tolerance * fmax(f * e->volume[p], 1e-6 * layered));
        check_near(m.first_mm4[2], f * e->z[p], loose * (f * e->z[p] + 1e-6 * layered));
        check_near(m.second_mm5[2], f * e->zz[p], loose * (f * e->zz[p] + 1e-6 * layered));
        check_near(m.second_mm5[0], f * e->xx[p], loose * (f * e->xx[p] + 1e-6 * layered));
        check_near(m.second_mm5[1], f * e->xx[p], loose * (f * e->xx[p] + 1e-6 * layered));
        check_near(m.first_mm4[0], 0, loose * section->solid.volume_mm3);
        check_near(m.second_mm5[3], 0, loose * section->solid.second_mm5[0]);
    }
}

static void box(void **state)
{
    (void)state;
    PoiseMesh *mesh = shape_new();
    shape_box(mesh, -20, -20, 3, 20, 20, 23);
    PoiseSlicing s = poise_slicing_default();
    PoiseSection section = slice(mesh, &s);
    check_whole(&section);
    assert_int_equal(section.layers, 100);
    assert_int_equal(section.distinct_layers, 1);
    double apothem[100];
    for (int k = 0; k < 100; k++)
        apothem[k] = 20;
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++) {
        Expected e = expect_nested(apothem, 100, 0.2, &s, n, 4);
        check_split(&section, n, &e, 1e-12, 1e-11, 3);
    }
    shape_free(mesh);
}

/* Sections of a solid of revolution with straight sides between the points of a profile. */
static double profile_radius(const ShapePoint *p, size_t count, double z)
{
    for (size_t i = 1; i < count; i++)
        if (z >= p[i - 1].z && z < p[i].z)
            return p[i - 1].r + (p[i].r - p[i - 1].r) * (z - p[i - 1].z) / (p[i].z - p[i - 1].z);
    return p[count - 1].r;
}

static void check_lathe(const ShapePoint *profile, size_t count, unsigned sides,
                        const PoiseSlicing *s, double tolerance, double loose)
{
    static double apothem[2000];
    PoiseMesh *mesh = shape_new();
    shape_lathe(mesh, profile, count, sides, 0, 0, 0.3);
    PoiseSection section = slice(mesh, s);
    check_whole(&section);
    double height = profile[count - 1].z - profile[0].z;
    int layers = (int)floor(height / s->layer_mm + 0.5);
    layers = layers < 1 ? 1 : layers;
    assert_int_equal(section.layers, layers);
    double h = height / layers;
    for (int k = 0; k < layers; k++)
        apothem[k] =
            profile_radius(profile, count, profile[0].z + (k + 0.5) * h) * cos(SHAPE_PI / sides);
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++) {
        Expected e = expect_nested(apothem, layers, h, s, n, sides);
        check_split(&section, n, &e, tolerance, loose, profile[0].z);
    }
    shape_free(mesh);
}

static void cones(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    const ShapePoint cone[] = {{30, 0}, {0, 40}}, funnel[] = {{4, -10}, {30, 15}},
                     hourglass[] = {{25, 0}, {9, 12}, {28, 30.1}},
                     spindle[] = {{0, 0}, {21, 9}, {0, 31}};
    for (unsigned sides = 3; sides <= 48; sides += 5) {
        check_lathe(cone, 2, sides, &s, 1e-6, 5e-4);
        check_lathe(funnel, 2, sides, &s, 1e-6, 5e-4);
        check_lathe(hourglass, 3, sides, &s, 1e-6, 5e-4);
        check_lathe(spindle, 3, sides, &s, 1e-6, 5e-4);
    }
    s.layer_mm = 0.35;
    s.line_mm = 0.6;
    s.top = 1;
    s.bottom = 9;
    check_lathe(hourglass, 3, 17, &s, 1e-7, 1e-3);
}

static void stepped(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    const ShapePoint up[] = {{30, 0}, {30, 5},  {22, 5}, {22, 9},
                             {21, 9}, {21, 15}, {6, 15}, {6, 25}};
    const ShapePoint down[] = {{6, 0}, {6, 10}, {21, 10}, {21, 16}, {30, 16}, {30, 25}};
    const ShapePoint neck[] = {{20, 0}, {20, 4}, {5, 4}, {5, 5}, {20, 5}, {20, 9}};
    for (unsigned sides = 3; sides <= 64; sides += 1 + sides / 4) {
        check_lathe(up, 8, sides, &s, 1e-7, 1e-7);
        check_lathe(down, 6, sides, &s, 1e-7, 1e-7);
        check_lathe(neck, 6, sides, &s, 1e-7, 1e-7);
    }
}

/* Fine polygons stand for circles: against π r² and π r⁴/4 themselves. */
static void cylinder(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    const double r = 20, h = 10;
    const ShapePoint profile[] = {{r, 0}, {r, h}};
    PoiseMesh *mesh = shape_new();
    shape_lathe(mesh, profile, 2, 1440, 7, -3, 0);
    PoiseSection section = slice(mesh, &s);
    check_whole(&section);
    assert_true(section.simplified_mm2 > 0);
    assert_true(section.simplified_mm2 < 1e-4 * SHAPE_PI * r * r * 50);
    check_close(section.layered_mm3, SHAPE_PI * r * r * h, 3e-5);
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++) {
        double inner = r - n * s.line_mm, skins = 9 * 0.2 / h;
        const PoiseSplit *split = &section.splits[n];
        check_close(split->perimeter.volume_mm3, SHAPE_PI * h * (r * r - inner * inner), 1e-4);
        check_close(split->skin.volume_mm3, SHAPE_PI * h * inner * inner * skins, 1e-4);
        check_close(split->infill.volume_mm3, SHAPE_PI * h * inner * inner * (1 - skins), 1e-4);
    }
    shape_free(mesh);
}

static void sphere_and_torus(void **state)
{
    (void)state;
    enum { STEPS = 256, LAYERS = 200 };
    PoiseSlicing s = poise_slicing_default();
    ShapePoint profile[STEPS + 1];
    for (int i = 0; i <= STEPS; i++)
        profile[i] = (ShapePoint){i == 0 || i == STEPS ? 0 : 20 * sin(SHAPE_PI * i / STEPS),
                                  -20 * cos(SHAPE_PI * i / STEPS)};
    PoiseMesh *mesh = shape_new();
    shape_lathe(mesh, profile, STEPS + 1, 512, 0, 0, 0);
    PoiseSection section = slice(mesh, &s);
    check_whole(&section);
    check_close(section.solid.volume_mm3, 4 / 3.0 * SHAPE_PI * 8000, 1e-4);
    double apothem[LAYERS];
    for (int k = 0; k < LAYERS; k++)
        apothem[k] = sqrt(400 - pow((k + 0.5) * 0.2 - 20, 2));
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++) {
        Expected e = expect_nested(apothem, LAYERS, 0.2, &s, n, 1e6);
        check_split(&section, n, &e, 1.5e-4, 1e-3, -20);
    }
    shape_free(mesh);

    /* A torus' sections are nested annuli, common part the narrowest. */
    mesh = shape_new();
    shape_torus(mesh, 30, 10, 720, 360);
    section = slice(mesh, &s);
    check_whole(&section);
    check_close(section.solid.volume_mm3, 2 * SHAPE_PI * SHAPE_PI * 30 * 100, 1e-4);
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n += 2) {
        double volume[3] = {0};
        for (int k = 0; k < 100; k++) {
            double half[3] = {0};
            half[0] = sqrt(100 - pow((k + 0.5) * 0.2 - 10, 2));
            half[1] = half[2] = fmax(0, half[0] - n * s.line_mm);
            for (int j = k - s.bottom; j <= k + s.top; j++)
                half[2] = fmin(half[2], j < 0 || j >= 100
                                            ? 0
                                            : fmax(0, sqrt(100 - pow((j + 0.5) * 0.2 - 10, 2)) -
                                                          n * s.line_mm));
            for (int p = 0; p < 3; p++)
                volume[p] += 0.2 * 4 * SHAPE_PI * 30 * (half[p] - (p < 2 ? half[p + 1] : 0));
        }
        double f = section.solid.volume_mm3 / (volume[0] + volume[1] + volume[2]);
        check_near(section.splits[n].perimeter.volume_mm3, f * volume[0], 1.5e-4 * volume[0]);
        check_near(section.splits[n].skin.volume_mm3, f * volume[1], 1.5e-4 * volume[1]);
        check_near(section.splits[n].infill.volume_mm3, f * volume[2], 1.5e-4 * volume[2]);
    }
    shape_free(mesh);
}

/* Area of the rectangle x0 … x1 × y0 … y1 drawn in by d on each side. */
static double rectangle(double x0, double x1, double y0, double y1, double d)
{
    return fmax(0, x1 - x0 - 2 * d) * fmax(0, y1 - y0 - 2 * d);
}

/* Two blocks, one on the other but shifted: their common part is neither of them. */
static void shifted_blocks(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    PoiseMesh *mesh = shape_new();
    shape_box(mesh, 0, 0, 0, 40, 30, 4);
    shape_box(mesh, 10, 5, 4, 55, 33, 10);
    PoiseSection section = slice(mesh, &s);
    check_whole(&section);
    check_close(section.solid.volume_mm3, 40.0 * 30 * 4 + 45 * 28 * 6, 1e-12);
    assert_int_equal(section.layers, 50);
    assert_int_equal(section.distinct_layers, 2);
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++) {
        double d = n * s.line_mm, low = rectangle(0, 40, 0, 30, d),
               high = rectangle(10, 55, 5, 33, d);
        double both = rectangle(10, 40, 5, 30, d);
        /* 20 layers below: 4 skins at the bottom, 5 lose what has no block above them, likewise
         * above */
        double skin = 0.2 * (4 * low + 5 * (low - both) + 4 * (high - both) + 5 * high);
        double perimeter = 4 * (40 * 30 - low) + 6 * (45 * 28 - high);
        check_close(section.splits[n].perimeter.volume_mm3, perimeter, n ? 1e-10 : 1);
        check_close(section.splits[n].skin.volume_mm3, skin, 1e-5);
        check_close(section.splits[n].infill.volume_mm3, 4 * low + 6 * high - skin, 1e-5);
    }
    shape_free(mesh);
}

static void check_pair(double x, double z0, double z1, double solid)
{
    PoiseSlicing s = poise_slicing_default();
    PoiseMesh *mesh = shape_new();
    shape_box(mesh, 0, 0, 0, 20, 20, 10);
    shape_box(mesh, x, 5, z0, 40, 15, z1);
    PoiseSection section = slice(mesh, &s);
    check_whole(&section);
    check_close(section.solid.volume_mm3, solid, 1e-9);
    if (z0 == 0 && z1 == 10 && x <= 20) { /* one outline: an L's worth of corners cancels */
        double inner = rectangle(0, 20, 0, 20, 0.9) + (40 - 20) * (10 - 1.8);
        check_close(section.splits[2].perimeter.volume_mm3, solid - 10 * inner, 1e-9);
    }
    shape_free(mesh);
}

/* Shells that overlap, touch face to face, or stand apart by a hair. */
static void shells(void **state)
{
    (void)state;
    check_pair(12, 0, 10, 4000 + 20 * 10 * 10);
    check_pair(12, 2, 8, 4000 + 20 * 10 * 6);
    check_pair(20, 0, 10, 4000 + 20 * 10 * 10);
    check_pair(20, 4, 6, 4000 + 20 * 10 * 2);
    check_pair(20.5, 0, 10, 4000 + 19.5 * 10 * 10);

    /* the same box twice */
    PoiseSlicing s = poise_slicing_default();
    PoiseMesh *mesh = shape_new();
    shape_box(mesh, 0, 0, 0, 20, 20, 10);
    shape_box(mesh, 0, 0, 0, 20, 20, 10);
    PoiseSection section = slice(mesh, &s);
    check_close(section.solid.volume_mm3, 4000.0, 1e-9);
    check_close(section.splits[1].perimeter.volume_mm3, 10 * (400 - 19.1 * 19.1), 1e-9);
    shape_free(mesh);

    /* a block turned by 45° through another: square of side 20, and one with half diagonal 14 */
    mesh = shape_new();
    shape_box(mesh, -10, -10, 0, 10, 10, 10);
    const ShapePoint pillar[] = {{14, 0}, {14, 10}};
    shape_lathe(mesh, pillar, 2, 4, 0, 0, 0);
    section = slice(mesh, &s);
    check_whole(&section);
    check_close(section.solid.volume_mm3, 10.0 * (400 + 4 * 4 * 4),
                1e-9); /* four tips, 4 high, 8 wide */
    shape_free(mesh);
}

static void hollow(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    PoiseMesh *mesh = shape_new();
    shape_box(mesh, -20, -20, 0, 20, 20, 20);
    size_t from = mesh->triangle_count;
    shape_box(mesh, -10, -10, 5, 10, 10, 15);
    shape_invert(mesh, from);
    PoiseSection section = slice(mesh, &s);
    check_whole(&section);
    check_close(section.solid.volume_mm3, 28000.0, 1e-12);
    assert_int_equal(section.distinct_layers, 3);
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++) {
        double d = n * s.line_mm, full = pow(40 - 2 * d, 2), hole = pow(20 + 2 * d, 2);
        /* skins: 4 + 5 outer ones, 5 below the hollow's roof … */
        double perimeter = 20 * (1600 - full) + 10 * (hole - 400);
        double skin = 0.2 * (9 * full + (4 + 5) * hole);
        check_near(section.splits[n].perimeter.volume_mm3, perimeter, 1e-9 * 28000);
        check_close(section.splits[n].skin.volume_mm3, skin, 1e-6);
    }
    shape_free(mesh);
}

static void thin_walls(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    PoiseMesh *mesh = shape_new();
    shape_box(mesh, 0, 0, 0, 30, 1.5, 10);
    PoiseSection section = slice(mesh, &s);
    check_whole(&section);
    double inner = rectangle(0, 30, 0, 1.5, 0.45);
    check_close(section.splits[1].perimeter.volume_mm3, 10 * (45 - inner), 1e-9);
    for (int n = 2; n <= POISE_MAX_PERIMETERS; n++) {
        check_close(section.splits[n].perimeter.volume_mm3, 450.0, 1e-12);
        assert_true(section.splits[n].skin.volume_mm3 == 0 &&
                    section.splits[n].infill.volume_mm3 == 0);
    }
    shape_free(mesh);

    /* thinner than a layer: one layer, all of it skin */
    mesh = shape_new();
    shape_box(mesh, 0, 0, 0, 10, 10, 0.07);
    section = slice(mesh, &s);
    check_whole(&section);
    assert_int_equal(section.layers, 1);
    check_close(section.splits[0].skin.volume_mm3, 7.0, 1e-12);
    check_close(section.splits[3].skin.volume_mm3, 0.07 * pow(10 - 2.7, 2), 1e-9);
    shape_free(mesh);
}

/* Corners and whole edges exactly at the height of a cut. */
static void on_plane(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    s.layer_mm = 0.5; /* cuts at odd quarters: exact in binary */
    const ShapePoint profile[] = {{0, 0}, {8, 2.25}, {8, 3.75}, {5, 4.25}, {9, 6.75}, {0, 8}};
    for (unsigned sides = 3; sides < 9; sides++)
        check_lathe(profile, 6, sides, &s, 1e-5, INFINITY);
    /* a facet lying in a cut: the cut passes just below it, where the section is still the wide one
     */
    const ShapePoint ledge[] = {{12, 0}, {12, 2.25}, {6, 2.25}, {6, 5}};
    PoiseMesh *mesh = shape_new();
    shape_lathe(mesh, ledge, 4, 4, 0, 0, 0);
    PoiseSection section = slice(mesh, &s);
    check_close(section.layered_mm3, 288 * 2.5 + 72 * 2.5, 1e-12);
    check_close(section.solid.volume_mm3, 288 * 2.25 + 72 * 2.75, 1e-12);
    shape_free(mesh);
}

static void same_section(const PoiseSection *a, const PoiseSection *b, double tolerance)
{
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++) {
        check_near(a->splits[n].perimeter.volume_mm3, b->splits[n].perimeter.volume_mm3,
                   tolerance * a->solid.volume_mm3);
        check_near(a->splits[n].skin.volume_mm3, b->splits[n].skin.volume_mm3,
                   tolerance * a->solid.volume_mm3);
        check_near(a->splits[n].infill.volume_mm3, b->splits[n].infill.volume_mm3,
                   tolerance * a->solid.volume_mm3);
    }
}

/* The same solid turned, with `up` turned along, divides alike; its moments turn with it. */
static void build_direction(void **state)
{
    (void)state;
    double turns[][3][3] = {{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}, /* upside down */
                            {{0, 0, 1}, {1, 0, 0}, {0, 1, 0}},   /* up along x */
                            {{1, 0, 0}, {0, 0, 1}, {0, -1, 0}},  /* up along y */
                            {{0.36, 0.48, -0.8}, {-0.8, 0.6, 0}, {0.48, 0.64, 0.6}}};
    const ShapePoint profile[] = {{18, 0}, {18, 5}, {11, 5}, {4, 14}};
    PoiseSlicing s = poise_slicing_default();
    PoiseMesh *mesh = shape_new();
    shape_lathe(mesh, profile, 4, 7, 3, -2, 0.1);
    shape_box(mesh, 0, -5, 1, 40, 6, 3);
    PoiseSection plain = slice(mesh, &s);
    for (size_t t = 0; t < sizeof turns / sizeof *turns; t++) {
        PoiseMesh *copy = shape_new();
        shape_lathe(copy, profile, 4, 7, 3, -2, 0.1);
        shape_box(copy, 0, -5, 1, 40, 6, 3);
        shape_rotate(copy, turns[t]);
        PoiseSlicing turned = s;
        for (int i = 0; i < 3; i++)
            turned.up[i] = 2.5 * turns[t][i][2]; /* its length is of no matter */
        PoiseSection section = slice(copy, &turned);
        check_whole(&section);
        same_section(&section, &plain, 2e-6);
        for (int p = 0; p < 3; p++) {
            const PoiseMoments *a = p == 0   ? &plain.splits[3].perimeter
                                    : p == 1 ? &plain.splits[3].skin
                                             : &plain.splits[3].infill;
            const PoiseMoments *b = p == 0   ? &section.splits[3].perimeter
                                    : p == 1 ? &section.splits[3].skin
                                             : &section.splits[3].infill;
            PoiseBody body = poise_body_from_moments(a, 1), other = poise_body_from_moments(b, 1);
            const double still[3] = {0, 0, 0};
            PoiseBody want = poise_body_move(&body, turns[t], still);
            for (int i = 0; i < 3; i++) {
                check_near(other.centre_mm[i], want.centre_mm[i], 1e-4);
                for (int j = 0; j < 3; j++)
                    check_near(other.inertia_gmm2[i][j], want.inertia_gmm2[i][j],
                               1e-5 * (body.inertia_gmm2[0][0] + body.inertia_gmm2[2][2]));
            }
        }
        shape_free(copy);
    }
    shape_free(mesh);
}

static void far_away(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    PoiseMesh *mesh = shape_new();
    shape_body(mesh, 4000);
    PoiseSection near = slice(mesh, &s);
    for (size_t v = 0; v < mesh->vertex_count; v++) {
        mesh->vertices_mm[3 * v] += 4096;
        mesh->vertices_mm[3 * v + 1] -= 2048;
        mesh->vertices_mm[3 * v + 2] += 1024;
    }
    const double shift[3] = {4096, -2048, 1024};
    for (int i = 0; i < 3; i++) {
        mesh->min_mm[i] += shift[i];
        mesh->max_mm[i] += shift[i];
    }
    PoiseSection far = slice(mesh, &s);
    same_section(&near, &far, 1e-7);
    PoiseBody a = poise_body_from_moments(&near.splits[4].infill, 1),
              b = poise_body_from_moments(&far.splits[4].infill, 1);
    for (int i = 0; i < 3; i++)
        check_near(b.centre_mm[i] - shift[i], a.centre_mm[i], 1e-5);
    shape_free(mesh);
}

static void thread_counts(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    PoiseMesh *mesh = shape_new();
    shape_body(mesh, 6000);
    PoiseSection one, many;
    memset(&one, 0, sizeof one);
    assert_int_equal(poise_section_slice(mesh, "body", &s, 1, NULL, NULL, &one, NULL), POISE_OK);
    check_whole(&one);
    for (int threads = 2; threads < 20; threads += 5) {
        memset(&many, 0, sizeof many);
        assert_int_equal(poise_section_slice(mesh, "body", &s, threads, NULL, NULL, &many, NULL),
                         POISE_OK);
        assert_memory_equal(&one, &many, sizeof one);
    }
    shape_free(mesh);
}

static void no_skins(void **state)
{
    (void)state;
    const ShapePoint profile[] = {{20, 0}, {20, 5}, {10, 5}, {10, 10}};
    PoiseSlicing s = poise_slicing_default();
    s.top = 0;
    check_lathe(profile, 4, 4, &s, 1e-7, 1e-6);
    s.bottom = 0;
    check_lathe(profile, 4, 4, &s, 1e-7, 1e-6);
    s.top = 3;
    check_lathe(profile, 4, 4, &s, 1e-7, 1e-6);
    s.top = s.bottom = 1000; /* thicker than the part */
    check_lathe(profile, 4, 4, &s, 1e-7, 1e-6);
}

static void refuse(const PoiseMesh *mesh, const PoiseSlicing *s, PoiseStatus want)
{
    PoiseSection section;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_section_slice(mesh, "part.stl", s, 1, NULL, NULL, &section, faults),
                     want);
    assert_int_equal(poise_faults_count(faults), 1);
    assert_string_equal(poise_faults_get(faults, 0)->file, "part.stl");
    poise_faults_free(faults);
}

static void refusals(void **state)
{
    (void)state;
    PoiseMesh *mesh = shape_new();
    shape_box(mesh, 0, 0, 0, 10, 10, 10);
    const PoiseSlicing good = poise_slicing_default();
    const double bad[] = {0, -0.2, NAN, INFINITY};
    for (size_t i = 0; i < 4; i++) {
        PoiseSlicing s = good;
        s.layer_mm = bad[i];
        refuse(mesh, &s, POISE_E_USAGE);
        s = good;
        s.line_mm = bad[i];
        refuse(mesh, &s, POISE_E_USAGE);
        s = good;
        s.up[2] = bad[i] < 0 ? 0 : bad[i];
        refuse(mesh, &s, POISE_E_USAGE);
    }
    PoiseSlicing s = good;
    s.top = -1;
    refuse(mesh, &s, POISE_E_USAGE);
    s = good;
    s.bottom = -1;
    refuse(mesh, &s, POISE_E_USAGE);
    s = good;
    s.layer_mm = 1e-5; /* a million layers */
    refuse(mesh, &s, POISE_E_USAGE);
    shape_invert(mesh, 0);
    refuse(mesh, &good, POISE_E_MESH);
    shape_invert(mesh, 0);
    mesh->triangle_count--; /* a hole in a side: the last triangle stands upright */
    refuse(mesh, &good, POISE_E_MESH);
    mesh->triangle_count++;
    for (size_t v = 0; v < mesh->vertex_count; v++)
        mesh->vertices_mm[3 * v + 2] = 0;
    refuse(mesh, &good, POISE_E_MESH);
    shape_free(mesh);
}

typedef struct Heard {
    int times;
    double last;
} Heard;

static void hear(double fraction, void *context)
{
    Heard *heard = context;
    assert_true(fraction >= heard->last && fraction <= 1);
    heard->last = fraction;
    heard->times++;
}

static void progress(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    PoiseMesh *mesh = shape_new();
    shape_body(mesh, 3000);
    PoiseSection section;
    Heard heard = {0};
    assert_int_equal(poise_section_slice(mesh, "body", &s, 1, hear, &heard, &section, NULL),
                     POISE_OK);
    assert_true(heard.times > 100);
    check_near(heard.last, 1, 1e-12);
    shape_free(mesh);
}

/* Every allocation may fail once: an error each time, and no leak (the sanitizer sees those). */
static void no_memory(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    s.layer_mm = 1;
    PoiseMesh *mesh = shape_new();
    shape_box(mesh, 0, 0, 0, 40, 30, 4);
    shape_box(mesh, 10, 5, 4, 55, 33, 10);
    shape_box(mesh, 12, 8, 8, 20, 20, 14);
    PoiseSection section;
    poise_alloc_fail_at(-1, 0);
    assert_int_equal(poise_section_slice(mesh, "m", &s, 1, NULL, NULL, &section, NULL), POISE_OK);
    long count = poise_alloc_fail_at(-1, 0);
    assert_true(count > 50);
    for (long i = 0; i < count; i++) {
        poise_alloc_fail_at(i, 0);
        PoiseStatus status = poise_section_slice(mesh, "m", &s, 1, NULL, NULL, &section, NULL);
        assert_true(status == POISE_E_MEMORY || status == POISE_E_INTERNAL);
    }
    poise_alloc_fail_at(-1, 0);
    shape_free(mesh);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(box),
        cmocka_unit_test(cones),
        cmocka_unit_test(stepped),
        cmocka_unit_test(cylinder),
        cmocka_unit_test(sphere_and_torus),
        cmocka_unit_test(shifted_blocks),
        cmocka_unit_test(shells),
        cmocka_unit_test(hollow),
        cmocka_unit_test(thin_walls),
        cmocka_unit_test(on_plane),
        cmocka_unit_test(build_direction),
        cmocka_unit_test(far_away),
        cmocka_unit_test(thread_counts),
        cmocka_unit_test(no_skins),
        cmocka_unit_test(refusals),
        cmocka_unit_test(progress),
        cmocka_unit_test(no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
