/* The holding window of the strap. */
#include "statics_help.h"

static PoiseStrap example(double friction)
{
    return (PoiseStrap){{0, 0}, {390, 70}, 1050, friction};
}

/* Worked values computed outside the program, to the millimetre and (in test_statics_hang.c) the
 * gram. */
static void test_worked_values(void **state)
{
    (void)state;
    static const struct {
        double friction, angle, lo, hi;
    } rows[] = {
        {0.00, 0, 209, 209},  {0.15, 15, 173, 244}, {0.30, 0, 131, 283},
        {0.30, 30, 128, 241}, {0.50, 15, 96, 304},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        PoiseStrap strap = example(rows[i].friction);
        PoiseInterval w;
        assert_int_equal(poise_strap_window(&strap, rows[i].angle, &w), POISE_OK);
        check_near(w.lo, rows[i].lo, 1.0);
        check_near(w.hi, rows[i].hi, 1.0);
    }
}

/* Equilibrium of the instrument under the two belt tensions and its weight, solved as two linear
 * equations; then the belt friction law T2/T1 = e^(μθ) must hold with equality at each edge. Law:
 * Euler–Eytelwein
 * ("capstan"), e.g. Shigley's Mechanical Engineering Design, ch. 17; Marks' Standard Handbook,
 * sec. 3.2 (both from memory). */
static void check_capstan(const PoiseStrap *strap, double angle_deg, double station, double sign)
{
    PoisePoint b = horn_at(strap, angle_deg);
    PoisePoint p = support_by_bisection(b, strap->length_mm, station);
    double to_a = hypot(p.x_mm, p.y_mm), to_b = hypot(p.x_mm - b.x_mm, p.y_mm - b.y_mm);
    double ax = p.x_mm / to_a, ay = p.y_mm / to_a;
    double bx = (p.x_mm - b.x_mm) / to_b, by = (p.y_mm - b.y_mm) / to_b;
    /* T_A (ax, ay) + T_B (bx, by) = (0, 1) */
    double determinant = ax * by - bx * ay;
    double tension_a = -bx / determinant, tension_b = ax / determinant;
    assert_true(tension_a > 0 && tension_b > 0);
    double wrap = PI - acos(ax * bx + ay * by);
    check_close(tension_b / tension_a, exp(sign * strap->friction * wrap), 1e-6);
}

static void test_edges_obey_the_capstan_law(void **state)
{
    (void)state;
    for (double friction = 0.05; friction < 1.2; friction += 0.15)
        for (double angle = -60; angle <= 70; angle += 10) {
            PoiseStrap strap = example(friction);
            PoiseInterval w;
            assert_int_equal(poise_strap_window(&strap, angle, &w), POISE_OK);
            check_capstan(&strap, angle, w.hi, 1);
            check_capstan(&strap, angle, w.lo, -1);
        }
    uint64_t seed = 11;
    for (int i = 0; i < 300; i++) {
        Sample s = random_sample(&seed);
        PoiseInterval w;
        s.strap.friction = fmax(s.strap.friction, 0.01);
        assert_int_equal(poise_strap_window(&s.strap, s.angle_deg * 0.5, &w), POISE_OK);
        check_capstan(&s.strap, s.angle_deg * 0.5, w.hi, 1);
        check_capstan(&s.strap, s.angle_deg * 0.5, w.lo, -1);
    }
}

static void test_needed_friction_is_friction_at_the_edges(void **state)
{
    (void)state;
    for (double friction = 0.05; friction < 2; friction *= 1.7)
        for (double angle = -70; angle <= 75; angle += 5) {
            PoiseStrap strap = example(friction);
            PoiseInterval w;
            double needed;
            assert_int_equal(poise_strap_window(&strap, angle, &w), POISE_OK);
            assert_int_equal(poise_strap_needed_friction(&strap, angle, w.lo, &needed), POISE_OK);
            check_close(needed, friction, 1e-8);
            assert_int_equal(poise_strap_needed_friction(&strap, angle, w.hi, &needed), POISE_OK);
            check_close(needed, friction, 1e-8);
        }
}

/* The friction needed falls towards the top point from either side and never turns. Also the
 * tension ratio itself, from equilibrium, rises with the station. */
static void test_ratio_is_monotone(void **state)
{
    (void)state;
    uint64_t seed = 5;
    for (int i = 0; i < 60; i++) {
        Sample s = random_sample(&seed);
        double angle = s.angle_deg * 0.6;
        PoisePoint b = horn_at(&s.strap, angle);
        double before = -INFINITY;
        for (int j = 1; j < 200; j++) {
            double station = b.x_mm * j / 200.0, needed;
            assert_int_equal(poise_strap_needed_friction(&s.strap, angle, station, &needed),
                             POISE_OK);
            PoisePoint p = support_by_bisection(b, s.strap.length_mm, station);
            double sine_a = station / hypot(station, p.y_mm);
            double sine_b = (b.x_mm - station) / hypot(b.x_mm - station, p.y_mm - b.y_mm);
            double signed_needed = sine_a >= sine_b ? needed : -needed;
            assert_true(signed_needed > before);
            before = signed_needed;
        }
    }
}

static void test_symmetric_posts_give_symmetric_window(void **state)
{
    (void)state;
    for (double length = 401; length < 5000; length *= 1.4)
        for (double friction = 0; friction < 3; friction += 0.25) {
            PoiseStrap strap = {{0, 0}, {400, 0}, length, friction};
            PoiseInterval w;
            assert_int_equal(poise_strap_window(&strap, 0, &w), POISE_OK);
            check_near(0.5 * (w.lo + w.hi), 200, 1e-9);
        }
}

/* Seen in a mirror that swaps head and tail the same instrument has the mirrored window. */
static void test_end_for_end_mirror(void **state)
{
    (void)state;
    uint64_t seed = 3;
    for (int i = 0; i < 200; i++) {
        Sample s = random_sample(&seed);
        double angle = s.angle_deg * 0.5;
        PoiseStrap mirrored = s.strap;
        mirrored.tail = (PoisePoint){-s.strap.horn.x_mm, s.strap.horn.y_mm};
        mirrored.horn = (PoisePoint){-s.strap.tail.x_mm, s.strap.tail.y_mm};
        PoiseInterval w, m;
        assert_int_equal(poise_strap_window(&s.strap, angle, &w), POISE_OK);
        assert_int_equal(poise_strap_window(&mirrored, -angle, &m), POISE_OK);
        double span = horn_at(&s.strap, angle).x_mm;
        check_near(m.lo, span - w.hi, 1e-7);
        check_near(m.hi, span - w.lo, 1e-7);
    }
}

static void test_drawing_origin_and_scale_do_not_matter(void **state)
{
    (void)state;
    uint64_t seed = 17;
    for (int i = 0; i < 200; i++) {
        Sample s = random_sample(&seed);
        PoiseStrap far = s.strap, large = s.strap;
        far.tail.x_mm += 7e4, far.horn.x_mm += 7e4;
        far.tail.y_mm -= 3e4, far.horn.y_mm -= 3e4;
        large.tail = (PoisePoint){3 * s.strap.tail.x_mm, 3 * s.strap.tail.y_mm};
        large.horn = (PoisePoint){3 * s.strap.horn.x_mm, 3 * s.strap.horn.y_mm};
        large.length_mm *= 3;
        PoiseInterval w, f, l;
        double angle = s.angle_deg * 0.5;
        assert_int_equal(poise_strap_window(&s.strap, angle, &w), POISE_OK);
        assert_int_equal(poise_strap_window(&far, angle, &f), POISE_OK);
        assert_int_equal(poise_strap_window(&large, angle, &l), POISE_OK);
        check_near(f.lo, w.lo, 1e-6);
        check_near(f.hi, w.hi, 1e-6);
        check_near(l.lo, 3 * w.lo, 1e-6);
        check_near(l.hi, 3 * w.hi, 1e-6);
    }
}

static void test_window_is_between_the_posts_and_grows_with_friction(void **state)
{
    (void)state;
    uint64_t seed = 23;
    for (int i = 0; i < 200; i++) {
        Sample s = random_sample(&seed);
        double angle = s.angle_deg * 0.6, span = horn_at(&s.strap, angle).x_mm;
        PoiseInterval before = {INFINITY, -INFINITY};
        for (double friction = 0; friction < 4; friction += 0.1) {
            s.strap.friction = friction;
            PoiseInterval w;
            assert_int_equal(poise_strap_window(&s.strap, angle, &w), POISE_OK);
            assert_true(w.lo >= 0 && w.lo <= w.hi && w.hi <= span + 1e-9);
            if (friction > 0)
                assert_true(w.lo < before.lo && w.hi > before.hi);
            before = w;
        }
    }
}

/* Without friction both sides hang equally steep, so over a horizontal span b the unfolded belt is
 * a straight line of length L: elementary statics of a ring on a string. */
static void test_without_friction_the_window_is_one_point(void **state)
{
    (void)state;
    uint64_t seed = 29;
    for (int i = 0; i < 200; i++) {
        Sample s = random_sample(&seed);
        s.strap.friction = 0;
        double angle = s.angle_deg * 0.6;
        PoisePoint b = horn_at(&s.strap, angle);
        PoiseInterval w;
        assert_int_equal(poise_strap_window(&s.strap, angle, &w), POISE_OK);
        assert_true(w.lo == w.hi);
        /* sin of either side's angle is b/L; the two heights differ by the rise. */
        double sine = b.x_mm / s.strap.length_mm, tangent = sine / sqrt(1 - sine * sine);
        double expected = 0.5 * (b.x_mm + b.y_mm * tangent);
        check_near(w.lo, expected, 1e-6);
        /* A touch of friction opens it about the same point. */
        s.strap.friction = 1e-9;
        PoiseInterval touch;
        assert_int_equal(poise_strap_window(&s.strap, angle, &touch), POISE_OK);
        assert_true(touch.lo <= w.lo && touch.hi >= w.hi);
        check_near(touch.lo, w.lo, 1e-3);
    }
}

static void test_much_friction_opens_it_to_the_posts(void **state)
{
    (void)state;
    static const double frictions[] = {20, 300, 1e6, 1e300};
    for (size_t i = 0; i < 4; i++) {
        PoiseStrap strap = example(frictions[i]);
        PoiseInterval w;
        assert_int_equal(poise_strap_window(&strap, 15, &w), POISE_OK);
        double span = horn_at(&strap, 15).x_mm;
        assert_true(w.lo >= 0 && w.hi <= span);
        check_near(w.lo, 0, 1e-6);
        check_near(w.hi, span, 1e-6);
    }
}

/* On a taut belt P is all but on the line AB, so the belt lies all but straight over the shoulder:
 * both sides pull along AB and θ → 0. Level, every station holds by any friction; steeper than the
 * angle of friction, arctan μ, none does: a block on a slope. The window shrinks to a post. */
static void test_taut_belt_is_a_block_on_a_slope(void **state)
{
    (void)state;
    static const double slacks[] = {1e-3, 1e-6, 1e-9, 1e-11};
    for (size_t i = 0; i < 4; i++) {
        PoiseStrap strap = {{0, 0}, {400, 0}, 400 * (1 + slacks[i]), 0.3};
        double slope = atan(0.3) * 180 / PI, reach = 400 * sqrt(slacks[i]) + 1e-3;
        PoiseInterval w;
        assert_int_equal(poise_strap_window(&strap, 0, &w), POISE_OK);
        check_near(w.lo, 0, 4 * reach);
        check_near(w.hi, 400, 4 * reach);
        assert_int_equal(poise_strap_window(&strap, slope + 5, &w), POISE_OK);
        check_near(w.hi - w.lo, 0, 10 * reach);
        check_near(w.hi, 400 * cos((slope + 5) * PI / 180), 10 * reach);
        assert_int_equal(poise_strap_window(&strap, -slope - 5, &w), POISE_OK);
        check_near(w.lo, 0, 10 * reach);
        check_near(w.hi, 0, 10 * reach);
    }
    /* The next longer double still has an answer. */
    PoiseStrap strap = {{0, 0}, {400, 0}, nextafter(400, 401), 0.3};
    PoiseInterval w;
    assert_int_equal(poise_strap_window(&strap, 10, &w), POISE_OK);
    assert_true(w.lo >= 0 && w.lo <= w.hi && w.hi <= 400);
}

static void test_support_is_on_the_belt(void **state)
{
    (void)state;
    uint64_t seed = 31;
    for (int i = 0; i < 200; i++) {
        Sample s = random_sample(&seed);
        double angle = s.angle_deg * 0.6, height;
        PoisePoint b = horn_at(&s.strap, angle);
        double station = b.x_mm * random_between(&seed, 0.01, 0.99);
        assert_int_equal(poise_strap_support(&s.strap, angle, station, &height), POISE_OK);
        double sum = hypot(station, height) + hypot(b.x_mm - station, b.y_mm - height);
        check_close(sum, s.strap.length_mm, 1e-12);
        check_near(height, support_by_bisection(b, s.strap.length_mm, station).y_mm, 1e-4);
    }
}

static void test_no_window_where_posts_stand_one_above_the_other(void **state)
{
    (void)state;
    PoiseStrap strap = example(0.3);
    double upright = 90 - atan2(70, 390) * 180 / PI; /* AB points straight up */
    PoiseInterval w;
    double value;
    assert_int_equal(poise_strap_window(&strap, upright, &w), POISE_E_DOMAIN);
    assert_true(isnan(w.lo) && isnan(w.hi));
    assert_int_equal(poise_strap_window(&strap, upright + 1, &w), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_window(&strap, upright - 1, &w), POISE_OK);
    assert_int_equal(poise_strap_needed_friction(&strap, upright + 1, 1, &value), POISE_E_DOMAIN);
    assert_true(isnan(value));
    assert_int_equal(poise_strap_support(&strap, 0, 390, &value), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_support(&strap, 0, 0, &value), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_support(&strap, 0, NAN, &value), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_needed_friction(&strap, 0, -1, &value), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_window(&strap, NAN, &w), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_window(&strap, INFINITY, &w), POISE_E_DOMAIN);
}

static void check_refused(PoiseStrap strap, const char *pointer, const char *word)
{
    PoiseFaults *faults = poise_faults_new();
    assert_non_null(faults);
    assert_int_equal(poise_strap_check(&strap, faults), POISE_E_DOMAIN);
    assert_int_equal(poise_faults_count(faults), 1);
    const PoiseFault *fault = poise_faults_get(faults, 0);
    assert_string_equal(fault->pointer, pointer);
    assert_null(fault->file);
    char *text = poise_fault_text(fault);
    assert_non_null(text);
    if (!strstr(text, word))
        fail_msg("\"%s\" does not say \"%s\"", text, word);
    poise_string_free(text);
    poise_faults_free(faults);
    PoiseInterval w;
    assert_int_equal(poise_strap_window(&strap, 0, &w), POISE_E_DOMAIN);
    assert_true(isnan(w.lo) && isnan(w.hi));
}

static void test_senseless_straps_are_refused(void **state)
{
    (void)state;
    check_refused((PoiseStrap){{5, 5}, {5, 5}, 1000, 0.3}, "/posts", "one place");
    check_refused((PoiseStrap){{390, 70}, {0, 0}, 1000, 0.3}, "/posts", "nearer the head");
    check_refused((PoiseStrap){{0, 0}, {0, 70}, 1000, 0.3}, "/posts", "nearer the head");
    check_refused((PoiseStrap){{0, 0}, {300, 400}, 500, 0.3}, "/strap/length",
                  "longer than the 500 mm");
    check_refused((PoiseStrap){{0, 0}, {300, 400}, 499, 0.3}, "/strap/length",
                  "strap length 499 mm");
    check_refused((PoiseStrap){{0, 0}, {300, 400}, 0, 0.3}, "/strap/length", "above 0");
    check_refused((PoiseStrap){{0, 0}, {300, 400}, -3, 0.3}, "/strap/length", "above 0");
    check_refused((PoiseStrap){{0, 0}, {300, 400}, NAN, 0.3}, "/strap/length", "not a number");
    check_refused((PoiseStrap){{0, 0}, {300, 400}, INFINITY, 0.3}, "/strap/length", "infinite");
    check_refused((PoiseStrap){{0, 0}, {300, 400}, 1000, -0.1}, "/strap/friction", "friction -0.1");
    check_refused((PoiseStrap){{0, 0}, {300, 400}, 1000, NAN}, "/strap/friction", "not a number");
    check_refused((PoiseStrap){{0, 0}, {300, 400}, 1000, INFINITY}, "/strap/friction", "infinite");
    check_refused((PoiseStrap){{NAN, 0}, {300, 400}, 1000, 0.3}, "/posts", "not finite");
    check_refused((PoiseStrap){{0, 0}, {INFINITY, 400}, 1000, 0.3}, "/posts", "not finite");
    check_refused((PoiseStrap){{0, 0}, {1e300, 400}, 1000, 0.3}, "/posts", "kilometre");
    /* Every fault in one pass. */
    PoiseStrap all = {{0, 0}, {0, 0}, -1, -1};
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_strap_check(&all, faults), POISE_E_DOMAIN);
    assert_int_equal(poise_faults_count(faults), 3);
    poise_faults_free(faults);
    assert_int_equal(poise_strap_check(&all, NULL), POISE_E_DOMAIN);
    PoiseStrap fine = example(0.3);
    assert_int_equal(poise_strap_check(&fine, NULL), POISE_OK);
}

static void test_plane_coordinates(void **state)
{
    (void)state;
    PoisePoint p = {3, 4};
    assert_true(poise_horizontal_mm(p, 0) == 3 && poise_vertical_mm(p, 0) == 4);
    assert_true(poise_horizontal_mm(p, 90) == -4 && poise_vertical_mm(p, 90) == 3); /* exact */
    check_near(poise_horizontal_mm(p, 30), 3 * cos(PI / 6) - 2, 1e-12);
    check_near(poise_vertical_mm(p, 30), 1.5 + 4 * cos(PI / 6), 1e-12);
    assert_true(isnan(poise_horizontal_mm(p, NAN)) && isnan(poise_vertical_mm(p, INFINITY)));
    assert_string_equal(poise_verdict_name(POISE_HOLDS), "holds");
    assert_string_equal(poise_verdict_name(POISE_NECK_HEAVY), "neck-heavy");
    assert_string_equal(poise_verdict_name(POISE_TAIL_HEAVY), "tail-heavy");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_worked_values),
        cmocka_unit_test(test_edges_obey_the_capstan_law),
        cmocka_unit_test(test_needed_friction_is_friction_at_the_edges),
        cmocka_unit_test(test_ratio_is_monotone),
        cmocka_unit_test(test_symmetric_posts_give_symmetric_window),
        cmocka_unit_test(test_end_for_end_mirror),
        cmocka_unit_test(test_drawing_origin_and_scale_do_not_matter),
        cmocka_unit_test(test_window_is_between_the_posts_and_grows_with_friction),
        cmocka_unit_test(test_without_friction_the_window_is_one_point),
        cmocka_unit_test(test_much_friction_opens_it_to_the_posts),
        cmocka_unit_test(test_taut_belt_is_a_block_on_a_slope),
        cmocka_unit_test(test_support_is_on_the_belt),
        cmocka_unit_test(test_no_window_where_posts_stand_one_above_the_other),
        cmocka_unit_test(test_senseless_straps_are_refused),
        cmocka_unit_test(test_plane_coordinates),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
