/* The surface maker behind the demonstration meshes: closed whatever the field, right where a
 * closed form is known. Its sources are no part of the library, so they are compiled in here. */
#include "check.h"

#include "../../components/instruments/mudlark/closed_check.c"
#include "../../components/instruments/mudlark/surface_grid.c"

static const double PI = 3.14159265358979323846;

static void assert_closed(const MudlarkSurface *s, MudlarkClosedness *c)
{
    assert_true(mudlark_closed_check(s, c));
    assert_int_equal(c->repeated_vertices, 0);
    assert_int_equal(c->flat_triangles, 0);
    assert_int_equal(c->bad_edges, 0);
}

typedef struct Ball {
    double centre_mm[3], radius_mm;
} Ball;

static double ball_field(void *context, const double at[3])
{
    const Ball *b = context;
    return sqrt(pow(at[0] - b->centre_mm[0], 2) + pow(at[1] - b->centre_mm[1], 2) +
                pow(at[2] - b->centre_mm[2], 2)) -
           b->radius_mm;
}

/* 4πr³/3 (closed form). Vertices lie on the sphere and the faces inside it, so the volume is a
 * little low: a chord across one cell falls short by at most 3·step²/(8r) over the area 4πr², that
 * is by 9/8·(step/r)² of the volume. */
static void ball_volume_is_the_closed_form(void **state)
{
    (void)state;
    Ball ball = {{300.3, -41.7, 12.1}, 20};
    double lo[3] = {278, -64, -10}, hi[3] = {324, -20, 34}, want = 4 * PI * pow(20, 3) / 3;
    for (double step = 2; step > 0.9; step /= 2) {
        MudlarkSurface s;
        MudlarkClosedness c;
        const char *error;
        assert_true(mudlark_surface_make(ball_field, &ball, lo, hi, step, &s, &error));
        assert_closed(&s, &c);
        assert_true(c.volume_mm3 < want);
        check_near(c.volume_mm3, want, want * 9.0 / 8 * pow(step / 20, 2));
        mudlark_surface_free(&s);
    }
}

static double box_field(void *context, const double at[3])
{
    (void)context;
    return fmax(fmax(fabs(at[0]) - 10, fabs(at[1]) - 6), fabs(at[2]) - 4);
}

/* Planes midway between nodes come out exactly flat; only the edges of the box are chamfered, from
 * the middle of one cell's side to the middle of the next: ½·1·1 mm² along 4·(20 + 12 + 8) mm.
 * Where three chamfers meet at a corner less than one cell, 1 mm³, is counted in doubt. */
static void box_faces_are_exact(void **state)
{
    (void)state;
    double lo[3] = {-13, -9, -7}, hi[3] = {13, 9, 7};
    MudlarkSurface s;
    MudlarkClosedness c;
    const char *error;
    assert_true(mudlark_surface_make(box_field, NULL, lo, hi, 2, &s, &error));
    assert_closed(&s, &c);
    double want[3] = {10, 6, 4};
    for (int x = 0; x < 3; x++) {
        check_near(c.min_mm[x], -want[x], 0);
        check_near(c.max_mm[x], want[x], 0);
    }
    check_near(c.volume_mm3, 20 * 12 * 8 - 0.5 * 4 * (20 + 12 + 8), 8);
    mudlark_surface_free(&s);
}

/* Signs at random, outside at the border: meets every kind of cell and every pair of ambiguous
 * faces. */
static double noise_field(void *context, const double at[3])
{
    uint64_t *seed = context;
    if (fmax(fmax(fabs(at[0]), fabs(at[1])), fabs(at[2])) > 12)
        return 1;
    *seed = *seed * 6364136223846793005u +
            1442695040888963407u; /* Knuth, TAOCP 2, 3.3.4, from memory */
    return (double)(*seed >> 40) / (double)(1 << 24) - 0.5;
}

static void any_signs_give_a_closed_surface(void **state)
{
    (void)state;
    double lo[3] = {-13, -13, -13}, hi[3] = {13, 13, 13};
    for (uint64_t run = 1; run <= 8; run++) {
        uint64_t seed = run;
        MudlarkSurface s;
        MudlarkClosedness c;
        const char *error;
        assert_true(mudlark_surface_make(noise_field, &seed, lo, hi, 1, &s, &error));
        assert_true(s.triangle_count > 10000);
        assert_closed(&s, &c);
        assert_true(c.volume_mm3 > 0);
        mudlark_surface_free(&s);
    }
}

static void a_solid_at_the_border_is_refused(void **state)
{
    (void)state;
    Ball ball = {{0, 0, 0}, 20};
    double lo[3] = {-24, -24, -24}, hi[3] = {18, 24, 24};
    MudlarkSurface s;
    const char *error = NULL;
    assert_false(mudlark_surface_make(ball_field, &ball, lo, hi, 2, &s, &error));
    assert_non_null(strstr(error, "border"));
    mudlark_surface_free(&s);
}

/* The check itself must see a missing, a turned and a doubled triangle. */
static void the_check_sees_damage(void **state)
{
    (void)state;
    Ball ball = {{0, 0, 0}, 5};
    double lo[3] = {-8, -8, -8}, hi[3] = {8, 8, 8};
    MudlarkSurface s;
    MudlarkClosedness c;
    const char *error;
    assert_true(mudlark_surface_make(ball_field, &ball, lo, hi, 2, &s, &error));
    uint32_t *t = s.triangles[3], a = t[0];
    t[0] = t[1];
    t[1] = a;
    assert_true(mudlark_closed_check(&s, &c));
    assert_int_equal(c.bad_edges, 3);
    t[1] = t[0];
    t[0] = a;
    assert_closed(&s, &c);
    s.triangle_count--;
    assert_true(mudlark_closed_check(&s, &c));
    assert_int_equal(c.bad_edges, 3);
    memcpy(s.triangles[s.triangle_count++], s.triangles[0], sizeof s.triangles[0]);
    assert_true(mudlark_closed_check(&s, &c));
    assert_true(c.bad_edges >= 5); /* the hole's edges and those of the doubled triangle */
    mudlark_surface_free(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ball_volume_is_the_closed_form),
        cmocka_unit_test(box_faces_are_exact),
        cmocka_unit_test(any_signs_give_a_closed_surface),
        cmocka_unit_test(a_solid_at_the_border_is_refused),
        cmocka_unit_test(the_check_sees_damage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
