/* The accuracy table of README.md, measured: the worst relative error of each part of a printed
 * section, for 1 … 8 perimeters, against closed forms, and of the whole volume.
 *
 * A layer is the prism over the solid's section at the layer's mid-height. Of a box and of solids
 * of revolution every section, what is left of it inside n lines, and what several layers have in
 * common are rectangles and circles (elementary geometry, no source needed). The meshes have sides
 * instead of circles: polygons of the same area, fine enough to count as circles. */
#include <stdlib.h>

#include "check.h"
#include "poise/section.h"
#include "shapes.h"

enum { PERIMETER, SKIN, INFILL, WHOLE, COLUMNS };

/* What the table may promise at most: the accuracy asked of the program. */
static const double MOST[COLUMNS] = {1e-4, 1e-4, 1e-4, 1e-6};

/* Area of what is left of a section inside a border. */
typedef struct Solid {
    const char *name;
    double height, volume;
    double (*area)(double z, double border);
} Solid;

static double box_area(double z, double border)
{
    (void)z;
    return (120 - 2 * border) * (80 - 2 * border);
}

static double disc(double r)
{
    return r > 0 ? SHAPE_PI * r * r : 0;
}

static double cylinder_area(double z, double border)
{
    (void)z;
    return disc(40 - border);
}

static double cone_area(double z, double border)
{
    return disc(30 * (1 - z / 40) - border);
}

static double stepped_area(double z, double border)
{
    return disc((z < 6 ? 40 : z < 14 ? 26 : z < 20 ? 33 : 12) - border);
}

static double sphere_area(double z, double border)
{
    return disc(sqrt(20 * 20 - (z - 20) * (z - 20)) - border);
}

static const Solid SOLIDS[] = {
    {"box", 20, 120 * 80 * 20.0, box_area},
    {"cylinder", 20, SHAPE_PI * 1600 * 20, cylinder_area},
    {"cone", 40, SHAPE_PI * 900 * 40 / 3, cone_area},
    {"stepped", 26, SHAPE_PI *(1600 * 6 + 676 * 8 + 1089 * 6 + 144 * 6), stepped_area},
    {"sphere", 40, 0, sphere_area}, /* its volume is that of the frusta it is made of */
};
enum { SOLIDS_COUNT = sizeof SOLIDS / sizeof *SOLIDS };

/* Lathes with polygons of n sides that have the area of the profile's circles; returns the volume
 * of the frusta. */
static double add_round(PoiseMesh *mesh, const ShapePoint *profile, size_t count, unsigned n)
{
    double f = sqrt(2 * SHAPE_PI / (n * sin(2 * SHAPE_PI / n))), volume = 0;
    ShapePoint *same = calloc(count, sizeof *same);
    shape_must(same);
    for (size_t i = 0; i < count; i++)
        same[i] = (ShapePoint){f * profile[i].r, profile[i].z};
    shape_lathe(mesh, same, count, n, 3, -2, 0.1);
    free(same);
    for (size_t i = 1; i < count; i++) {
        double a = profile[i - 1].r, b = profile[i].r;
        volume += SHAPE_PI / 3 * (profile[i].z - profile[i - 1].z) * (a * a + a * b + b * b);
    }
    return volume;
}

static PoiseMesh *make_solid(size_t which, double *volume)
{
    enum { SIDES = 1024, STEPS = 240 };
    PoiseMesh *mesh = shape_new();
    const ShapePoint cylinder[] = {{40, 0}, {40, 20}}, cone[] = {{30, 0}, {0, 40}};
    const ShapePoint stepped[] = {{40, 0},  {40, 6},  {26, 6},  {26, 14},
                                  {33, 14}, {33, 20}, {12, 20}, {12, 26}};
    ShapePoint sphere[STEPS + 1];
    for (int i = 0; i <= STEPS; i++)
        sphere[i] = (ShapePoint){i == 0 || i == STEPS ? 0 : 20 * sin(SHAPE_PI * i / STEPS),
                                 20 - 20 * cos(SHAPE_PI * i / STEPS)};
    *volume = SOLIDS[which].volume;
    switch (which) {
    case 0:
        shape_box(mesh, -60, -40, 0, 60, 40, 20);
        break;
    case 1:
        add_round(mesh, cylinder, 2, SIDES);
        break;
    case 2:
        add_round(mesh, cone, 2, SIDES);
        break;
    case 3:
        add_round(mesh, stepped, 8, SIDES);
        break;
    default:
        *volume = add_round(mesh, sphere, STEPS + 1, SIDES / 2);
        break;
    }
    return mesh;
}

/* The volumes of the three parts by the definition, scaled to the whole. */
static void expect(const Solid *solid, double volume, const PoiseSlicing *s, int n, double want[3])
{
    int layers = (int)floor(solid->height / s->layer_mm + 0.5);
    double h = solid->height / layers, border = n * s->line_mm, sum = 0;
    want[PERIMETER] = want[SKIN] = want[INFILL] = 0;
    for (int k = 0; k < layers; k++) {
        double inner = solid->area((k + 0.5) * h, border), common = inner;
        for (int j = k - s->bottom; j <= k + s->top; j++)
            common = fmin(common, j < 0 || j >= layers ? 0 : solid->area((j + 0.5) * h, border));
        want[PERIMETER] += h * (solid->area((k + 0.5) * h, 0) - inner);
        want[SKIN] += h * (inner - common);
        want[INFILL] += h * common;
    }
    for (int p = 0; p < 3; p++)
        sum += want[p];
    for (int p = 0; p < 3; p++)
        want[p] *= volume / sum;
}

static void measure(size_t which, double worst[COLUMNS])
{
    PoiseSlicing s = poise_slicing_default();
    double volume;
    PoiseMesh *mesh = make_solid(which, &volume);
    PoiseSection section;
    assert_int_equal(
        poise_section_slice(mesh, SOLIDS[which].name, &s, 2, NULL, NULL, &section, NULL), POISE_OK);
    for (int c = 0; c < COLUMNS; c++)
        worst[c] = 0;
    worst[WHOLE] = fabs(section.solid.volume_mm3 / volume - 1);
    for (int n = 1; n <= POISE_MAX_PERIMETERS; n++) {
        const PoiseSplit *split = &section.splits[n];
        double want[3], got[3] = {split->perimeter.volume_mm3, split->skin.volume_mm3,
                                  split->infill.volume_mm3};
        expect(&SOLIDS[which], volume, &s, n, want);
        for (int p = 0; p < 3; p++)
            worst[p] = fmax(worst[p], fabs(got[p] / want[p] - 1));
    }
    shape_free(mesh);
}

/* The text between the two markers of README.md. */
static char *read_table(void)
{
    static const char begin[] = "<!-- accuracy -->", end[] = "<!-- /accuracy -->";
    FILE *file = fopen(POISE_TEST_SOURCE_DIR "/README.md", "rb");
    assert_non_null(file);
    static char text[1 << 20];
    size_t n = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    text[n] = '\0';
    char *from = strstr(text, begin), *to = from ? strstr(from, end) : NULL;
    assert_non_null(to);
    *to = '\0';
    return from + sizeof begin - 1;
}

/* The numbers of the row that begins with that name. */
static void read_row(const char *table, const char *name, double bound[COLUMNS])
{
    char start[32];
    snprintf(start, sizeof start, "\n| %s |", name);
    const char *at = strstr(table, start);
    if (!at)
        print_error("no row for the %s\n", name);
    assert_non_null(at);
    at += strlen(start);
    for (int c = 0; c < COLUMNS; c++) {
        char *end;
        bound[c] = strtod(at, &end);
        assert_true(end != at);
        at = end + strspn(end, " ");
        assert_int_equal(*at, '|');
        at++;
    }
}

static void readme_table(void **state)
{
    (void)state;
    static const char *const column[COLUMNS] = {"perimeters", "skins", "infill", "whole"};
    const char *table = read_table();
    int bad = 0;
    for (size_t i = 0; i < SOLIDS_COUNT; i++) {
        double worst[COLUMNS], bound[COLUMNS];
        measure(i, worst);
        read_row(table, SOLIDS[i].name, bound);
        for (int c = 0; c < COLUMNS; c++) {
            print_message("%s, %s: measured %.1e, promised %.0e\n", SOLIDS[i].name, column[c],
                          worst[c], bound[c]);
            bad += !(worst[c] <= bound[c] && bound[c] <= MOST[c]);
        }
    }
    assert_int_equal(bad, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(readme_table)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
