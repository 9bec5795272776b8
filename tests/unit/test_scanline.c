/* Intervals along lines: against closed forms, and windows against intersections made one by one.
 */
#include <stdlib.h>

#include "base/memory.h"
#include "check.h"
#include "geometry/scanline.h"

#define LINES   16
#define REGIONS 23

static double draw(uint32_t *seed)
{
    *seed ^= *seed << 13;
    *seed ^= *seed >> 17;
    *seed ^= *seed << 5;
    return (double)*seed / 4294967296.0;
}

static PoiseSpans spans_of(const PoiseRings *rings, const PoiseScan *scan)
{
    PoiseScanWork work = {0};
    PoiseSpans spans;
    assert_int_equal(poise_spans_make(rings, scan, &work, &spans), POISE_OK);
    poise_scan_work_release(&work);
    return spans;
}

/* Moments of a parallelogram are linear and quadratic along the lines: the midpoint rule is exact
 * when its ends lie between lines. About its middle: Ixx = A(w² + s²)/12 with shear s, Iyy = A
 * h²/12, Ixy = A s h/12. */
static void parallelogram(void **state)
{
    (void)state;
    PoiseScan scan = {.low_mm = -4, .step_mm = 0.5, .lines = LINES};
    PoiseRings rings = {0};
    poise_rings_add(&rings, -3, -2);
    poise_rings_add(&rings, 1, -2);
    poise_rings_add(&rings, 3, 2);
    poise_rings_add(&rings, -1, 2);
    poise_rings_close(&rings);
    PoiseSpans spans = spans_of(&rings, &scan);
    const PoiseSpans *one[1] = {&spans};
    PoiseFlat own;
    PoiseCommonQuery query = {.from = 0, .to = 0};
    assert_int_equal(poise_spans_common(one, 1, &scan, 0, LINES, &own, &query, 1), POISE_OK);
    check_near(own.area, 16.0, 1e-12);
    check_near(own.x, 0.0, 1e-12);
    check_near(own.y, 0.0, 1e-12);
    check_near(own.yy, 16 * 16 / 12.0, 1e-12);
    /* per line the shear is seen at its middle: s² is short by what varies within a line, (s/8)² of
     * 8 lines */
    check_near(own.xx, 16 * (16 + 4 - 4 / 64.0) / 12.0, 1e-12);
    check_near(own.xy, 16 * 2 * 4 / 12.0 * (1 - 1 / 64.0), 1e-12);
    check_near(query.common.area, own.area, 0);
    poise_spans_release(&spans);
    poise_rings_release(&rings);
}

/* Combs with gaps in different places: all in common they have more pieces than any of them. Sample
 * points on each line decide what is common. */
static void windows(void **state)
{
    (void)state;
    PoiseScan scan = {.low_mm = 0, .step_mm = 1, .lines = LINES};
    PoiseSpans spans[REGIONS];
    const PoiseSpans *list[REGIONS];
    uint32_t seed = 2463534242u;
    enum { CELLS = 200 };
    static bool filled[REGIONS][LINES][CELLS];
    for (int r = 0; r < REGIONS; r++) {
        spans[r].start = poise_alloc_zero(LINES + 1, sizeof(uint32_t));
        spans[r].at = poise_alloc((size_t)LINES * (CELLS + 2) * sizeof(float));
        uint32_t n = 0;
        for (int i = 0; i < LINES; i++) {
            int gaps = (int)(draw(&seed) * 4);
            for (int c = 0; c < CELLS; c++)
                filled[r][i][c] = i % 5 != 3 || r % 4 != 1; /* some lines are empty */
            for (int g = 0; g < gaps; g++) {
                int at = (int)(draw(&seed) * (CELLS - 10)), wide = 1 + (int)(draw(&seed) * 8);
                for (int c = at; c < at + wide; c++)
                    filled[r][i][c] = false;
            }
            for (int c = 0; c < CELLS; c++) {
                if (filled[r][i][c] && (c == 0 || !filled[r][i][c - 1]))
                    spans[r].at[n++] = (float)c;
                if (filled[r][i][c] && (c == CELLS - 1 || !filled[r][i][c + 1]))
                    spans[r].at[n++] = (float)(c + 1);
            }
            spans[r].start[i + 1] = n;
        }
        list[r] = &spans[r];
    }
    PoiseCommonQuery queries[REGIONS * REGIONS];
    size_t count = 0;
    for (size_t from = 0; from < REGIONS; from++)
        for (size_t to = from; to < REGIONS; to++)
            queries[count++] = (PoiseCommonQuery){.from = from, .to = to};
    PoiseFlat own[REGIONS];
    assert_int_equal(poise_spans_common(list, REGIONS, &scan, 2, 15, own, queries, count),
                     POISE_OK);
    for (size_t q = 0; q < count; q++) {
        double area = 0, x = 0, y = 0, xx = 0;
        for (int i = 2; i < 15; i++)
            for (int c = 0; c < CELLS; c++) {
                bool all = true;
                for (size_t r = queries[q].from; r <= queries[q].to; r++)
                    all = all && filled[r][i][c];
                area += all;
                x += all * (c + 0.5);
                y += all * (i + 0.5);
                xx += all * ((c + 0.5) * (c + 0.5) + 1 / 12.0);
            }
        check_near(queries[q].common.area, area, 1e-9);
        check_near(queries[q].common.x, x, 1e-7);
        check_near(queries[q].common.y, y, 1e-7);
        check_near(queries[q].common.xx, xx, 1e-5);
        if (queries[q].from == queries[q].to)
            check_near(own[queries[q].from].area, area, 1e-9);
    }
    for (int r = 0; r < REGIONS; r++)
        poise_spans_release(&spans[r]);
}

/* A corner on a line, a side along one: crossed twice or not at all, never once. */
static void corners_on_lines(void **state)
{
    (void)state;
    PoiseScan scan = {.low_mm = -0.5, .step_mm = 1, .lines = LINES}; /* lines at 0, 1, 2, … */
    PoiseRings rings = {0};
    const double points[][2] = {{0, 2}, {3, 0}, {6, 2}, {9, 2}, {9, 5},
                                {7, 4}, {5, 5}, {2, 5}, {2, 3}};
    for (size_t i = 0; i < sizeof points / sizeof *points; i++)
        poise_rings_add(&rings, points[i][0], points[i][1]);
    poise_rings_close(&rings);
    PoiseSpans spans = spans_of(&rings, &scan);
    for (size_t i = 0; i < LINES; i++)
        assert_int_equal((spans.start[i + 1] - spans.start[i]) % 2, 0);
    assert_int_equal(spans.start[2] - spans.start[1], 2); /* y = 1: 1.5 … 4.5 */
    check_near(spans.at[spans.start[1]], 1.5, 1e-6);
    check_near(spans.at[spans.start[1] + 1], 4.5, 1e-6);
    poise_spans_release(&spans);
    poise_rings_release(&rings);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parallelogram),
        cmocka_unit_test(windows),
        cmocka_unit_test(corners_on_lines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
