/* Volume that shells share, against inclusion and exclusion: |A| + |B| = |A ∪ B| + |A ∩ B|. */
#include "check.h"

#include "base/memory.h"
#include "geometry/mesh_overlap.h"
#include "solids.h"

/* The lines stand 1/128 of the width apart: a shared width along x or y is known to one cell. */
static const double CELL = 1.0 / 128;

static PoiseMesh *mesh_of(Soup *soup)
{
    size_t size;
    unsigned char *stl = soup_stl(soup, &size);
    PoiseMesh *mesh = NULL;
    assert_int_equal(poise_mesh_parse(stl, size, "test.stl", NULL, &mesh, NULL), POISE_OK);
    assert_int_equal(poise_mesh_check(mesh, "test.stl", NULL), POISE_OK);
    free(stl);
    soup_free(soup);
    return mesh;
}

static double share_of(Soup *soup)
{
    PoiseMesh *mesh = mesh_of(soup);
    double share = -1.0;
    assert_int_equal(poise_mesh_overlap(mesh, &share), POISE_OK);
    poise_mesh_free(mesh);
    return share;
}

static void box_at(Soup *soup, double x, double y, double z, double size)
{
    soup_box(soup, (double[3]){x, y, z}, (double[3]){x + size, y + size, z + size});
}

static void no_overlap_is_none(void **state)
{
    (void)state;
    Soup soup = {0};
    box_at(&soup, 0, 0, 0, 10);
    check_near(share_of(&soup), 0.0, 0.0);
    box_at(&soup, 0, 0, 0, 10); /* apart, with overlapping shadows */
    box_at(&soup, 3, 3, 20, 10);
    check_near(share_of(&soup), 0.0, 0.0);
    box_at(&soup, 0, 0, 0, 10); /* face on face */
    box_at(&soup, 0, 0, 10, 10);
    box_at(&soup, 10, 0, 0, 10);
    check_near(share_of(&soup), 0.0, 1e-12); /* where they touch, up to round-off */
    soup_sphere(&soup, (double[3]){1, 2, 3}, 20, 48);
    check_near(share_of(&soup), 0.0, 0.0);
}

/* A body in a hollow in a body: nothing is counted twice. */
static void hollows_and_islands_are_no_overlap(void **state)
{
    (void)state;
    Soup soup = {0};
    box_at(&soup, 0, 0, 0, 20);
    size_t outer = soup.count;
    box_at(&soup, 2, 2, 2, 16);
    soup_reverse(&soup, outer);
    box_at(&soup, 5, 5, 5, 10);
    check_near(share_of(&soup), 0.0, 0.0);
}

static void overlaps_are_measured(void **state)
{
    (void)state;
    Soup soup = {0};
    box_at(&soup, 0, 0, 0, 10); /* 1000 + 1000, 500 of it in both, along the lines: exact */
    box_at(&soup, 0, 0, 5, 10);
    check_near(share_of(&soup), 0.25, 1e-12);
    box_at(&soup, 0, 0, 0, 10); /* 200 of 2000, across the lines */
    box_at(&soup, 8, 0, 0, 10);
    check_near(share_of(&soup), 0.1, CELL);
    box_at(&soup, 0, 0, 0, 20); /* one within the other: 1000 of 9000 */
    box_at(&soup, 5, 5, 5, 10);
    check_near(share_of(&soup), 1.0 / 9, 0.01);
    /* Crossing bars, 60 × 10 × 10: no corner of one lies in the other; 1000 of 12 000. */
    soup_box(&soup, (double[3]){-30, -5, 0}, (double[3]){30, 5, 10});
    soup_box(&soup, (double[3]){-5, -30, 0}, (double[3]){5, 30, 10});
    check_near(share_of(&soup), 1.0 / 12, 0.01);
    box_at(&soup, 0, 0, 0, 10); /* thrice the same: each is two times too many */
    box_at(&soup, 0, 0, 5, 10);
    box_at(&soup, 0, 0, 5, 10);
    check_near(share_of(&soup), (500.0 + 1000) / 3000, 1e-12);
}

static void memory_that_runs_out_is_told(void **state)
{
    (void)state;
    Soup soup = {0};
    box_at(&soup, 0, 0, 0, 10);
    PoiseMesh *mesh = mesh_of(&soup);
    double share;
    poise_alloc_fail_at(0, 1);
    PoiseStatus status = poise_mesh_overlap(mesh, &share);
    poise_alloc_fail_at(-1, 0);
    assert_int_equal(status, POISE_E_MEMORY);
    poise_mesh_free(mesh);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_overlap_is_none),
        cmocka_unit_test(hollows_and_islands_are_no_overlap),
        cmocka_unit_test(overlaps_are_measured),
        cmocka_unit_test(memory_that_runs_out_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
