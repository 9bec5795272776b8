/* Offsets and unions of plane regions against closed forms, samples by the definition, and other
 * overlays. */
#include <geos_c.h>
#include <stdlib.h>

#include "check.h"
#include "geometry/islands.h"
#include "geometry/offset.h"
#include "geometry/reduce.h"
#include "geometry/simplify.h"

#define PI 3.14159265358979323846

/* xorshift32: the same shapes on every machine. */
static double draw(uint32_t *seed)
{
    *seed ^= *seed << 13;
    *seed ^= *seed >> 17;
    *seed ^= *seed << 5;
    return (double)*seed / 4294967296.0;
}

static void add_rectangle(PoiseRings *rings, double x0, double y0, double x1, double y1, bool hole)
{
    poise_rings_add(rings, x0, y0);
    poise_rings_add(rings, hole ? x0 : x1, hole ? y1 : y0);
    poise_rings_add(rings, x1, y1);
    poise_rings_add(rings, hole ? x1 : x0, hole ? y0 : y1);
    poise_rings_close(rings);
}

static void add_polygon(PoiseRings *rings, double cx, double cy, double r, int n, double phase)
{
    for (int i = 0; i < n; i++)
        poise_rings_add(rings, cx + r * cos(phase + 2 * PI * i / n),
                        cy + r * sin(phase + 2 * PI * i / n));
    poise_rings_close(rings);
}

/* Regular polygons lose d of their apothem a: area n a² tan(π/n). Squares, holes and what vanishes.
 */
static void closed_forms(void **state)
{
    (void)state;
    PoiseOffsetWork work = {0};
    PoiseRings in = {0}, out = {0};
    for (int n = 3; n < 200; n += 7) {
        poise_rings_reset(&in);
        add_polygon(&in, 3, -2, 10, n, 0.3);
        double a = 10 * cos(PI / n);
        for (double d = 0.4; d < 10; d += 0.7) {
            assert_int_equal(poise_offset_inward(&in, d, &work, &out), POISE_OK);
            double left = fmax(0, a - d);
            check_near(poise_rings_flat(&out).area, n * left * left * tan(PI / n), 1e-9);
        }
    }
    poise_rings_reset(&in); /* a frame: mitred corners outside the hole */
    add_rectangle(&in, 0, 0, 40, 30, false);
    add_rectangle(&in, 10, 10, 20, 20, true);
    assert_int_equal(poise_offset_inward(&in, 2, &work, &out), POISE_OK);
    check_near(poise_rings_flat(&out).area, 36 * 26 - 14 * 14.0, 1e-9);
    assert_int_equal(poise_offset_inward(&in, 4.5, &work, &out), POISE_OK);
    check_near(poise_rings_flat(&out).area, 31 * 21 - 19 * 19.0, 1e-9);
    /* the hole breaks through two sides: 31.9 × 19.9 to 30 … an L of what is left */
    assert_int_equal(poise_offset_inward(&in, 6, &work, &out), POISE_OK);
    check_near(poise_rings_flat(&out).area, 28 * 18 - (26 - 6) * (24 - 6.0), 1e-9);
    assert_int_equal(poise_offset_inward(&in, 15, &work, &out), POISE_OK);
    assert_int_equal(out.rings, 0);
    poise_rings_reset(&in); /* walls that meet exactly: nothing stays between them */
    add_rectangle(&in, 0, 0, 40, 30, false);
    add_rectangle(&in, 4, 4, 20, 26, true);
    assert_int_equal(poise_offset_inward(&in, 2, &work, &out), POISE_OK);
    check_near(poise_rings_flat(&out).area, (38 - 22) * 26.0, 1e-6);
    poise_rings_release(&in);
    poise_rings_release(&out);
    poise_offset_release(&work);
}

/* A fillet that the offset swallows whole: what is left is the sharp corner. */
static void fillet(void **state)
{
    (void)state;
    PoiseOffsetWork work = {0};
    PoiseRings in = {0}, out = {0};
    for (int n = 3; n < 40; n++) {
        poise_rings_reset(&in);
        for (int corner = 0; corner < 4; corner++)
            for (int i = 0; i <= n; i++) {
                double a = PI / 2 * (corner + (double)i / n),
                       cx = corner == 0 || corner == 3 ? 9 : -9, cy = corner < 2 ? 9 : -9;
                poise_rings_add(&in, cx + cos(a), cy + sin(a));
            }
        poise_rings_close(&in);
        assert_int_equal(poise_offset_inward(&in, 1.2, &work, &out), POISE_OK);
        check_near(poise_rings_flat(&out).area, 17.6 * 17.6, 1e-9);
    }
    poise_rings_release(&in);
    poise_rings_release(&out);
    poise_offset_release(&work);
}

/* A slit from the top of a rectangle down to its middle: past its tip the mitre is cut off across,
 * at five times the distance. The strip along the slit is twice 1/cos α wide at the tip. */
static void slit(void **state)
{
    (void)state;
    PoiseOffsetWork work = {0};
    PoiseRings in = {0}, out = {0};
    const double p[][2] = {{0, 0}, {40, 0}, {40, 30}, {20.01, 30}, {20, 20}, {19.99, 30}, {0, 30}};
    for (size_t i = 0; i < sizeof p / sizeof *p; i++)
        poise_rings_add(&in, p[i][0], p[i][1]);
    poise_rings_close(&in);
    double slope = 0.01 / 10, tip = sqrt(1 + slope * slope); /* 1/cos α */
    double strip = 2 * (tip * (29 - 15) + slope * ((29 - 20) * (29 - 20) - 5 * 5) / 2);
    assert_int_equal(poise_offset_inward(&in, 1, &work, &out), POISE_OK);
    check_near(poise_rings_flat(&out).area, 38 * 28 - strip, 1e-6);
    poise_rings_release(&in);
    poise_rings_release(&out);
    poise_offset_release(&work);
}

/* Area of the offset by its definition, from a grid of sample points: what is in the region, within
 * no edge's strip of width w, and within no mitre (the points past the ends of both edges at a
 * reflex corner, and within w of both their lines). */
static double sampled(const PoiseRings *in, double w, int grid)
{
    double lo[2] = {INFINITY, INFINITY}, hi[2] = {-INFINITY, -INFINITY};
    for (size_t i = 0; i < in->count; i++)
        for (int c = 0; c < 2; c++) {
            lo[c] = fmin(lo[c], in->points[i][c]);
            hi[c] = fmax(hi[c], in->points[i][c]);
        }
    long count = 0;
    for (int g = 0; g < grid * grid; g++) {
        double x = lo[0] + (hi[0] - lo[0]) * (g % grid + 0.5) / grid;
        double y = lo[1] + (hi[1] - lo[1]) * (g / grid + 0.5) / grid;
        bool left = poise_rings_winding(in, x, y) > 0;
        for (size_t r = 0; left && r < in->rings; r++) {
            size_t start = poise_rings_start(in, r), n = in->ends[r] - start;
            for (size_t i = 0; left && i < n; i++) {
                const double *a = in->points[start + i], *b = in->points[start + (i + 1) % n],
                             *c = in->points[start + (i + 2) % n];
                double length = hypot(b[0] - a[0], b[1] - a[1]),
                       next = hypot(c[0] - b[0], c[1] - b[1]);
                double dx = (b[0] - a[0]) / length, dy = (b[1] - a[1]) / length;
                double ex = (c[0] - b[0]) / next, ey = (c[1] - b[1]) / next;
                double along = (x - b[0]) * dx + (y - b[1]) * dy,
                       above = (y - b[1]) * dx - (x - b[0]) * dy;
                double along_next = (x - b[0]) * ex + (y - b[1]) * ey,
                       above_next = (y - b[1]) * ex - (x - b[0]) * ey;
                if (along <= 0 && along >= -length && above >= 0 && above <= w)
                    left = false;
                if (dx * ey - dy * ex < 0 && along >= 0 && along_next <= 0 && above <= w &&
                    above_next <= w)
                    left = false;
            }
        }
        count += left;
    }
    return (double)count * (hi[0] - lo[0]) * (hi[1] - lo[1]) / grid / grid;
}

/* A wild star with a hole. */
static void add_star(PoiseRings *in, uint32_t *seed)
{
    int n = 8 + (int)(draw(seed) * 60);
    double wild = draw(seed) * 0.5, phase = 6 * draw(seed);
    for (int i = 0; i < n; i++) {
        double a = 2 * PI * (i + 0.3 * draw(seed)) / n;
        double r = 10 * (1 + wild * (draw(seed) - 0.5) + 0.3 * sin(3 * a + phase));
        poise_rings_add(in, r * cos(a), r * sin(a));
    }
    poise_rings_close(in);
    for (int i = 0; i < 9; i++) {
        double a = -2 * PI * i / 9, r = 2 + draw(seed);
        poise_rings_add(in, r * cos(a), r * sin(a));
    }
    poise_rings_close(in);
}

static double outline_of(const PoiseRings *in)
{
    double outline = 0;
    for (size_t r = 0; r < in->rings; r++)
        for (size_t start = poise_rings_start(in, r), i = start; i < in->ends[r]; i++) {
            const double *a = in->points[i], *b = in->points[i + 1 < in->ends[r] ? i + 1 : start];
            outline += hypot(b[0] - a[0], b[1] - a[1]);
        }
    return outline;
}

/* What GEOS makes of each island at the first attempt; whether all of it can be right. */
static double first_answer(PoiseOffsetWork *work, const PoiseRings *in, bool *plausible)
{
    PoiseRings island = {0}, out = {0};
    double area = 0;
    *plausible = true;
    for (size_t r = 0; r < in->rings;) {
        size_t end = poise_island_end(in, r);
        poise_rings_reset(&island);
        for (; r < end; r++)
            poise_rings_add_ring(&island, in, r);
        assert_int_equal(poise_geos_shrink(work->geos, &island, 0.45, 1, &out), POISE_OK);
        *plausible = *plausible && poise_offset_plausible(&island, 0.45, &out);
        area += poise_rings_flat(&out).area;
    }
    poise_rings_release(&island);
    poise_rings_release(&out);
    return area;
}

/* Stars shrunk again and again until they fall apart and vanish. GEOS now and then loses a part:
 * that is noticed. Where the answer is not its first one, and now and then, samples by the
 * definition decide. */
static void stars(void **state)
{
    (void)state;
    PoiseOffsetWork work = {.geos = poise_geos_new()};
    PoiseRings in = {0}, out = {0};
    uint32_t seed = 2463534242u;
    int fell_apart = 0, mended = 0, noticed = 0;
    for (int trial = 0; trial < 120; trial++) {
        poise_rings_reset(&in);
        add_star(&in, &seed);
        for (int p = 0; p < 9; p++) {
            bool plausible;
            double first = first_answer(&work, &in, &plausible), outline = outline_of(&in);
            assert_int_equal(poise_offset_inward(&in, 0.45, &work, &out), POISE_OK);
            double area = poise_rings_flat(&out).area;
            fell_apart += out.rings > 2;
            noticed += !plausible;
            if (fabs(area - first) > 1e-4 * outline) {
                assert_true(area > first);
                check_near(area, sampled(&in, 0.45, 400), 0.002 * outline);
                mended++;
            } else if (trial % 12 == p) {
                check_near(area, sampled(&in, 0.45, 200), 0.005 * outline);
            }
            poise_rings_swap(&in, &out);
        }
    }
    assert_true(fell_apart > 200);
    assert_true(mended >= 2 && noticed >= 1);
    poise_rings_release(&in);
    poise_rings_release(&out);
    poise_offset_release(&work);
}

/* What an answer may not be: larger or smaller than an offset can be, or in the wrong place. */
static void implausible(void **state)
{
    (void)state;
    PoiseRings in = {0}, out = {0};
    add_rectangle(&in, 0, 0, 40, 30, false);
    add_rectangle(&in, 10, 10, 20, 20, true);
    add_rectangle(&out, 2, 2, 38, 28, false);
    assert_false(poise_offset_plausible(&in, 2, &out)); /* the hole is gone */
    add_rectangle(&out, 8, 8, 22, 22, true);
    assert_true(poise_offset_plausible(&in, 2, &out));
    assert_false(poise_offset_plausible(&in, 1, &out));
    assert_false(poise_offset_plausible(&in, 3, &out));
    poise_rings_reset(&out);
    assert_false(poise_offset_plausible(&in, 2, &out)); /* nothing is left of it */
    add_rectangle(&out, 2, 3, 38, 29, false);
    add_rectangle(&out, 8, 8, 22, 22, true);
    assert_false(poise_offset_plausible(&in, 2, &out)); /* the right size, but shifted */
    poise_rings_release(&in);
    poise_rings_release(&out);
}

/* A plate of many holes, which grow until there is nothing between them. */
static void plate_of_holes(void **state)
{
    (void)state;
    enum { SIDE = 30, EDGE = 4 * SIDE + 6, HOLES = SIDE * SIDE };
    PoiseOffsetWork work = {0};
    PoiseRings in = {0}, out = {0};
    add_rectangle(&in, -3, -3, EDGE - 3, EDGE - 3, false);
    for (int i = 0; i < HOLES; i++) { /* squares of 2 mm every 4 mm */
        int x = 4 * (i % SIDE), y = 4 * (i / SIDE);
        add_rectangle(&in, x + 1, y + 1, x + 3, y + 3, true);
    }
    const double steps[] = {0.6, 0.3, 0.05};
    double drawn_in = 0;
    for (int i = 0; i < 3; i++) {
        assert_int_equal(poise_offset_inward(&in, steps[i], &work, &out), POISE_OK);
        drawn_in += steps[i];
        assert_int_equal(out.rings, HOLES + 1);
        check_near(poise_rings_flat(&out).area,
                   pow(EDGE - 2 * drawn_in, 2) - HOLES * pow(2 + 2 * drawn_in, 2), 1e-6);
        poise_rings_swap(&in, &out);
    }
    assert_int_equal(poise_offset_inward(&in, 0.2, &work, &out),
                     POISE_OK); /* only a frame is left */
    assert_int_equal(out.rings, 2);
    check_near(poise_rings_flat(&out).area, pow(EDGE - 2.3, 2) - pow(4 * SIDE + 0.3, 2), 1e-6);
    poise_rings_release(&in);
    poise_rings_release(&out);
    poise_offset_release(&work);
}

/* Holes follow their outlines, also of islands within holes. */
static void islands(void **state)
{
    (void)state;
    PoiseRings in = {0}, scratch = {0};
    add_rectangle(&in, 11, 11, 12, 12, true); /* in the inner island */
    add_rectangle(&in, 5, 5, 25, 25, true);
    add_rectangle(&in, 40, 0, 50, 10, false);
    add_rectangle(&in, 0, 0, 30, 30, false);
    add_rectangle(&in, 42, 2, 44, 4, true);
    add_rectangle(&in, 10, 10, 20, 20, false);
    assert_true(poise_islands_sort(&in, &scratch));
    const double areas[] = {100, -4, 900, -400, 100, -1};
    assert_int_equal(in.rings, 6);
    for (size_t r = 0; r < 6; r++)
        check_near(poise_ring_area(&in, r), areas[r], 1e-12);
    assert_int_equal(poise_island_end(&in, 0), 2);
    assert_int_equal(poise_island_end(&in, 2), 4);
    assert_int_equal(poise_island_end(&in, 4), 6);
    poise_rings_release(&in);
    poise_rings_release(&scratch);
}

static double united(const PoiseRings *in, PoiseOffsetWork *work, bool *joined)
{
    PoiseRings out = {0};
    assert_int_equal(poise_region_unite(in, 1e-5, work, joined, &out), POISE_OK);
    double area = poise_rings_flat(*joined ? &out : in).area;
    poise_rings_release(&out);
    return area;
}

static void unions(void **state)
{
    (void)state;
    PoiseOffsetWork work = {0};
    PoiseRings in = {0};
    bool joined;
    add_rectangle(&in, 0, 0, 10, 10, false);
    add_rectangle(&in, 20, 0, 30, 10, false);
    check_near(united(&in, &work, &joined), 200.0, 1e-12);
    assert_false(joined);
    add_rectangle(&in, 5, 3, 25, 6, false); /* a bridge */
    check_near(united(&in, &work, &joined), 230.0, 1e-9);
    assert_true(joined);
    add_rectangle(&in, 22, 4, 23, 5,
                  false); /* inside: wound around three times, no outline of its own */
    check_near(united(&in, &work, &joined), 230.0, 1e-9);
    add_rectangle(&in, 30, 0, 31, 10, false); /* face to face */
    check_near(united(&in, &work, &joined), 240.0, 1e-4);

    poise_rings_reset(&in); /* a hole in one shell, partly filled by another */
    add_rectangle(&in, 0, 0, 10, 10, false);
    add_rectangle(&in, 2, 2, 8, 8, true);
    add_rectangle(&in, 4, 4, 12, 6, false);
    check_near(united(&in, &work, &joined), 64 + 4 * 2 + 2 * 2.0, 1e-9);

    poise_rings_reset(&in); /* inside out: nothing */
    add_rectangle(&in, 0, 0, 10, 10, true);
    check_near(united(&in, &work, &joined), 0.0, 0);
    assert_true(joined);
    poise_rings_release(&in);
    poise_offset_release(&work);
}

static double geos_union_area(GEOSContextHandle_t geos, const PoiseRings *in)
{
    GEOSGeometry *all = GEOSGeom_createEmptyPolygon_r(geos);
    for (size_t r = 0; r < in->rings; r++) {
        size_t start = poise_rings_start(in, r), n = in->ends[r] - start;
        GEOSCoordSequence *line = GEOSCoordSeq_create_r(geos, (unsigned)n + 1, 2);
        for (size_t i = 0; i <= n; i++)
            GEOSCoordSeq_setXY_r(geos, line, (unsigned)i, in->points[start + i % n][0],
                                 in->points[start + i % n][1]);
        GEOSGeometry *one =
            GEOSGeom_createPolygon_r(geos, GEOSGeom_createLinearRing_r(geos, line), NULL, 0);
        GEOSGeometry *next = GEOSUnion_r(geos, all, one);
        GEOSGeom_destroy_r(geos, one);
        GEOSGeom_destroy_r(geos, all);
        all = next;
        assert_non_null(all);
    }
    double area = 0;
    assert_int_equal(GEOSArea_r(geos, all, &area), 1);
    GEOSGeom_destroy_r(geos, all);
    return area;
}

/* Heaps of polygons in general position beside GEOS' overlays. */
static void beside_overlay(void **state)
{
    (void)state;
    PoiseOffsetWork work = {.geos = poise_geos_new()};
    PoiseRings in = {0};
    uint32_t seed = 88172645u;
    for (int trial = 0; trial < 60; trial++) {
        poise_rings_reset(&in);
        int count = 2 + trial % 12;
        for (int i = 0; i < count; i++)
            add_polygon(&in, 10 * draw(&seed), 10 * draw(&seed), 1 + 4 * draw(&seed),
                        3 + (int)(9 * draw(&seed)), 6 * draw(&seed));
        bool joined;
        check_close(united(&in, &work, &joined), geos_union_area(work.geos, &in), 1e-10);
    }
    poise_rings_release(&in);
    poise_offset_release(&work);
}

/* Dropped points stay within the tolerance, and the area within the bound that is reported. */
static void reducing(void **state)
{
    (void)state;
    PoiseRings in = {0}, out = {0};
    add_polygon(&in, 0, 0, 50, 3000, 0);
    double area = poise_rings_flat(&in).area, given_up = 0;
    poise_reduce(&in, 0.01, INFINITY, &given_up, &out);
    assert_true(out.count < 500 && out.count > 20);
    double lost = fabs(area - poise_rings_flat(&out).area);
    assert_true(lost <= given_up + 1e-9 && given_up < 2 * lost);
    for (size_t i = 0; i < out.count; i++) { /* the chord's middle lies deepest: sagitta */
        const double *a = out.points[i], *b = out.points[(i + 1) % out.count];
        assert_true(50 - hypot((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) <= 0.0101);
    }
    given_up = 0;
    poise_rings_reset(&out);
    poise_reduce(&in, 0.01, 0.5, &given_up, &out);
    assert_true(given_up <= 0.5 && given_up > 0.4);
    check_near(poise_rings_flat(&out).area, area, given_up);

    poise_rings_reset(&in); /* points along straight sides go, wherever the ring begins */
    for (int i = 0; i < 40; i++) {
        double t = (i + 3) % 40 / 10.0;
        poise_rings_add(&in,
                        t < 1   ? t
                        : t < 2 ? 1
                        : t < 3 ? 3 - t
                                : 0,
                        t < 1   ? 0
                        : t < 2 ? t - 1
                        : t < 3 ? 1
                                : 4 - t);
    }
    poise_rings_close(&in);
    poise_rings_reset(&out);
    poise_reduce(&in, POISE_STRAIGHT_MM, INFINITY, &given_up, &out);
    assert_int_equal(out.count, 4);
    check_near(poise_rings_flat(&out).area, 1.0, 1e-12);
    poise_rings_release(&in);
    poise_rings_release(&out);
}

/* Simplifying keeps the area of curves and straight sides alike, and stays near them. */
static void simplifying(void **state)
{
    (void)state;
    PoiseSimplifyWork work = {0};
    PoiseRings in = {0}, out = {0};
    for (int corner = 0; corner < 4; corner++) /* a rectangle with large fillets */
        for (int i = 0; i <= 400; i++) {
            double a = PI / 2 * (corner + i / 400.0);
            poise_rings_add(&in, (corner == 0 || corner == 3 ? 40 : -40) + 20 * cos(a),
                            (corner < 2 ? 10 : -10) + 20 * sin(a));
        }
    poise_rings_close(&in);
    add_polygon(&in, 0, 0, 5, 999, 0.2);
    for (size_t i = poise_rings_start(&in, 1), j = in.count - 1; i < j; i++, j--) /* a hole */
        for (int c = 0; c < 2; c++) {
            double t = in.points[i][c];
            in.points[i][c] = in.points[j][c];
            in.points[j][c] = t;
        }
    double given_up = 0;
    assert_true(poise_simplify(&in, 0.003, INFINITY, &work, &given_up, &out));
    assert_int_equal(out.rings, 2);
    assert_true(out.count < in.count / 5);
    for (size_t r = 0; r < 2; r++)
        check_close(poise_ring_area(&out, r), poise_ring_area(&in, r), 1e-9);
    PoiseFlat before = poise_rings_flat(&in), after = poise_rings_flat(&out);
    check_close(after.xx, before.xx, 1e-6);
    check_close(after.yy, before.yy, 1e-6);
    assert_true(given_up > 0 && given_up < 0.004 * outline_of(&in));
    double budget = given_up / 4;
    given_up = 0;
    poise_rings_reset(&out);
    assert_true(poise_simplify(&in, 0.003, budget, &work, &given_up, &out));
    assert_true(given_up <= budget);
    check_near(poise_rings_flat(&out).area, before.area, 1e-9 * before.area);
    poise_rings_release(&in);
    poise_rings_release(&out);
    poise_simplify_release(&work);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(closed_forms),   cmocka_unit_test(fillet),
        cmocka_unit_test(slit),           cmocka_unit_test(stars),
        cmocka_unit_test(implausible),    cmocka_unit_test(plate_of_holes),
        cmocka_unit_test(islands),        cmocka_unit_test(unions),
        cmocka_unit_test(beside_overlay), cmocka_unit_test(reducing),
        cmocka_unit_test(simplifying),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
