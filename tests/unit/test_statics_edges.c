/* What the other tests of the statics leave open: the ends of the turn, light weights, short
 * levers, posts given the other way round, one number that is none. */
#include "check.h"

#include "base/vec.h"
#include "poise/statics.h"
#include "statics/free_hang.h"
#include "statics/range.h"
#include "statics/root.h"

static PoisePoint turned(PoisePoint p, double deg)
{
    double s, c;
    poise_sincos_deg(deg, &s, &c);
    return (PoisePoint){c * p.x_mm - s * p.y_mm, s * p.x_mm + c * p.y_mm};
}

static bool has_angle(const PoiseFreeHang *list, size_t n, double deg, bool stable)
{
    for (size_t i = 0; i < n; i++)
        if (fabs(remainder(list[i].neck_angle_deg - deg, 360.0)) < 1e-4 && list[i].stable == stable)
            return true;
    return false;
}

/* Drawing the instrument turned by some angle takes that angle off every way it hangs; no way may
 * be lost or doubled where the scan over the turn begins and ends, and every angle lies in the
 * turn. */
static void turning_the_drawing_turns_the_hangs(void **state)
{
    (void)state;
    const PoiseStrap strap = {.tail = {0, 0}, .horn = {390, 70}, .length_mm = 1050};
    const PoisePoint centres[] = {{340, 5}, {150, -40}, {195, 300}};
    for (size_t k = 0; k < 3; k++) {
        PoiseFreeHang base[POISE_MAX_FREE_HANGS], found[POISE_MAX_FREE_HANGS];
        size_t n = poise_free_hangs(&strap, centres[k], 0, base);
        assert_true(n >= 1);
        for (double by = 0; by < 360.0; by += 0.37) {
            const PoiseStrap other = {.tail = turned(strap.tail, by),
                                      .horn = turned(strap.horn, by),
                                      .length_mm = strap.length_mm};
            assert_int_equal(poise_free_hangs(&other, turned(centres[k], by), 0, found), n);
            for (size_t i = 0; i < n; i++) {
                assert_true(found[i].neck_angle_deg > -180.0 && found[i].neck_angle_deg <= 180.0);
                assert_true(has_angle(found, n, base[i].neck_angle_deg - by, base[i].stable));
            }
        }
    }
}

static void half_a_gram_is_a_weight(void **state)
{
    (void)state;
    const PoiseStrap strap = {{0, 0}, {390, 70}, 1050, 0.3};
    PoiseHanging h;
    assert_int_equal(
        poise_strap_hang(&strap, (PoisePoint){340, 5}, 0.5, 0, (PoisePoint){743, 0}, &h, NULL),
        POISE_OK);
    PoiseHanging heavy;
    assert_int_equal(
        poise_strap_hang(&strap, (PoisePoint){340, 5}, 2900, 0, (PoisePoint){743, 0}, &heavy, NULL),
        POISE_OK);
    check_near(h.hand_load_g, heavy.hand_load_g * 0.5 / 2900, 1e-9);
    double ballast;
    const PoiseInterval window = {100, 200};
    /* 0.5 g, 10 mm past the edge, ballast 0.5 mm before it: 0.5 × 10 / 0.5 g */
    assert_int_equal(poise_ballast_needed(0.5, 210, window, 199.5, &ballast), POISE_OK);
    check_near(ballast, 10.0, 1e-9);
    /* tailwards likewise */
    assert_int_equal(poise_ballast_needed(0.5, 90, window, 100.5, &ballast), POISE_OK);
    check_near(ballast, 10.0, 1e-9);
    assert_int_equal(poise_ballast_needed(0.0, 210, window, 199.5, &ballast), POISE_E_DOMAIN);
}

/* The line through the posts is the same whichever is named first. */
static void lean_does_not_ask_which_post_is_which(void **state)
{
    (void)state;
    const double tail[3] = {0, 0, -20}, horn[3] = {390, 70, -15}, centre[3] = {300, 10, -12};
    for (double angle = -40; angle <= 60; angle += 20) {
        double one, other;
        assert_int_equal(poise_lean(tail, horn, centre, angle, &one), POISE_OK);
        assert_int_equal(poise_lean(horn, tail, centre, angle, &other), POISE_OK);
        check_near(other, one, 1e-9);
    }
}

static void one_number_that_is_none_is_enough(void **state)
{
    (void)state;
    const PoiseStrap strap = {{0, 0}, {390, 70}, 1050, 0.3};
    double out;
    const double no = (double)NAN;
    assert_int_equal(poise_strap_support(&strap, no, 200, &out), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_support(&strap, 0, no, &out), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_needed_friction(&strap, no, 200, &out), POISE_E_DOMAIN);
    assert_int_equal(poise_strap_needed_friction(&strap, 0, no, &out), POISE_E_DOMAIN);
}

/* Does it hold there? Asked of the window alone. */
static bool holds_at(const PoiseStrap *strap, PoisePoint centre, double deg)
{
    PoiseInterval window;
    if (poise_strap_window(strap, deg, &window) != POISE_OK)
        return false;
    double station = poise_horizontal_mm(centre, deg) - poise_horizontal_mm(strap->tail, deg);
    return station >= window.lo && station <= window.hi;
}

static double drawn(uint64_t *state, double lo, double hi)
{
    *state = *state * 6364136223846793005ULL + 1442695040888963407ULL; /* D. Knuth, MMIX */
    return lo + (hi - lo) * (double)(*state >> 11) / 9007199254740992.0;
}

/* The nearest holding angles below and above the playing angle, against a walk in small steps. */
static void finds_the_nearest_angles_that_hold(void **state)
{
    (void)state;
    const double step = 0.05;
    uint64_t draw = 7;
    int found = 0;
    for (int n = 0; n < 150; n++) {
        const PoiseStrap strap = {{0, 0},
                                  {drawn(&draw, 150, 500), drawn(&draw, -150, 150)},
                                  drawn(&draw, 800, 1300),
                                  drawn(&draw, 0.05, 0.5)};
        const PoisePoint centre = {drawn(&draw, -50, 500), drawn(&draw, -200, 200)};
        const double from = step * floor(drawn(&draw, -80, 80) / step);
        double below = (double)NAN, above = (double)NAN;
        for (double d = from; d > -90 && isnan(below); d -= step)
            if (holds_at(&strap, centre, d))
                below = d;
        for (double d = from; d < 90 && isnan(above); d += step)
            if (holds_at(&strap, centre, d))
                above = d;
        PoiseHoldRange range = poise_hold_range(&strap, centre, from);
        if (!isnan(below))
            check_near(range.below_deg, below, step * 1.01);
        if (!isnan(above))
            check_near(range.above_deg, above, step * 1.01);
        assert_true(range.holds_somewhere || (isnan(below) && isnan(above)));
        assert_false(range.below_deg > from || range.above_deg < from);
        found += !isnan(below) + !isnan(above);
        double nearest = fmin(isnan(below) ? 1e9 : from - below, isnan(above) ? 1e9 : above - from);
        if (nearest < 1e9) {
            double gap = fmax(fmax(range.nearest_deg.lo - from, from - range.nearest_deg.hi), 0);
            check_near(gap, nearest, step * 1.01);
        }
    }
    assert_true(found > 100);
}

/* The interpolate-truncate-project method (I. F. D. Oliveira, R. H. C. Takahashi, "An Enhancement
 * of the Bisection Method Average Performance Preserving Minmax Optimality", ACM TOMS 47(1), 2021;
 * from memory) takes at most one evaluation more than bisection, whatever the function, and far
 * fewer on smooth ones. */
typedef struct Counted {
    int kind, calls;
} Counted;

static double counted(double x, const void *context)
{
    Counted *c = (Counted *)context;
    c->calls++;
    switch (c->kind) {
    case 0:
        return x * x * x - x - 2; /* root 1.5213797068… */
    case 1:
        return -(x * x * x - x - 2);
    case 2:
        return x < 1.7 ? -1.0 : 1e6; /* a step of very unequal height */
    case 3:
        return x < 1.2 ? -1e6 : 1.0;
    case 4:
        return exp(20 * (x - 1.3)) - 1; /* flat, then steep */
    default:
        return pow(x - 1.9, 9); /* flat about the root */
    }
}

static void roots_take_few_evaluations(void **state)
{
    (void)state;
    static const struct {
        double root;
        int most;
    } want[] = {{1.5213797068045676, 7},
                {1.5213797068045676, 7},
                {1.7, 36},
                {1.2, 36},
                {1.3, 14},
                {1.9, 36}};
    const double tolerance = 2e-11; /* bisection of [1, 2]: 35 halvings */
    for (int k = 0; k < 6; k++) {
        Counted c = {.kind = k};
        double fa = counted(1, &c), fb = counted(2, &c);
        c.calls = 0;
        double root = poise_root(counted, &c, 1, fa, 2, fb, tolerance);
        check_near(root, want[k].root, k == 5 ? 1e-2 : 2 * tolerance);
        if (c.calls > want[k].most)
            fail_msg("function %d took %d evaluations", k, c.calls);
    }
    Counted c = {.kind = 0};
    check_near(poise_root(counted, &c, 1, 0, 2, 5, tolerance), 1, 0);
    check_near(poise_root(counted, &c, 1, -5, 2, 0, tolerance), 2, 0);
    assert_int_equal(c.calls, 0);
}

static void half_a_gram_sits_too(void **state)
{
    (void)state;
    const PoiseSeat seat = {.rest = {200, -90}, .half_width_mm = 45};
    PoiseResting light, heavy;
    const PoisePoint centre = {400, 0}, hand = {743, 0};
    assert_int_equal(poise_seat_rest(&seat, centre, 0.5, 0, hand, &light), POISE_OK);
    assert_int_equal(poise_seat_rest(&seat, centre, 3000, 0, hand, &heavy), POISE_OK);
    check_near(light.hand_load_g, heavy.hand_load_g * 0.5 / 3000, 1e-9);
    assert_int_equal(poise_seat_rest(&seat, centre, 0, 0, hand, &light), POISE_E_DOMAIN);
}

/* An arm that is not there has no weight, whatever stands beside it; half a gram of arm has. */
static void the_arm_counts_when_it_is_there(void **state)
{
    (void)state;
    const PoisePoint centre = {400, 0}, hand = {743, 0};
    PoiseSeat seat = {.rest = {200, -90}, .half_width_mm = 45};
    PoiseResting without, with;
    assert_int_equal(poise_seat_rest(&seat, centre, 2, 0, hand, &without), POISE_OK);
    seat.arm = (PoisePoint){100, 40};
    seat.arm_g = 500;
    assert_int_equal(poise_seat_rest(&seat, centre, 2, 0, hand, &with), POISE_OK);
    check_near(with.horizontal_mm, without.horizontal_mm, 0);
    seat.has_arm = true;
    seat.arm_g = 0.5;
    assert_int_equal(poise_seat_rest(&seat, centre, 2, 0, hand, &with), POISE_OK);
    check_near(with.horizontal_mm, (2 * 400 + 0.5 * 100) / 2.5, 1e-12);
}

/* With next to no slack the strap lies along the line between the posts, to the very ends. */
static void a_taut_strap_is_a_straight_line(void **state)
{
    (void)state;
    const double slack = 1e-7, d = hypot(390, 70); /* the ellipse is d √(slack/2) high: 0.09 mm */
    const PoiseStrap strap = {{0, 0}, {390, 70}, d * (1 + slack), 0.3};
    const double half = 0.5 * d * sqrt(2 * slack), rise = half * d / 390;
    for (double at = 0.05; at < 1; at += 0.1) {
        double height;
        assert_int_equal(poise_strap_support(&strap, 0, 390 * at, &height), POISE_OK);
        /* above the chord by the half-axis times the circle's √(1 − t²), measured straight up */
        check_near(height, 70 * at + rise * 2 * sqrt(at * (1 - at)), 1e-3);
    }
}

static void refusals_name_the_number(void **state)
{
    (void)state;
    const struct {
        double length;
        const char *found, *expected;
    } want[] = {{-0.0001, "-0.0001 mm", "above 0"},
                {0.5, "0.5 mm", "longer than the 396.232 mm"},
                {390.00049, "390 mm", "longer than"},
                {(double)INFINITY, "infinite", "above 0"}};
    for (size_t i = 0; i < sizeof want / sizeof *want; i++) {
        const PoiseStrap strap = {{0, 0}, {390, 70}, want[i].length, 0.3};
        PoiseFaults *faults = poise_faults_new();
        assert_int_equal(poise_strap_check(&strap, faults), POISE_E_DOMAIN);
        assert_int_equal(poise_faults_count(faults), 1);
        assert_non_null(strstr(poise_faults_get(faults, 0)->found, want[i].found));
        assert_non_null(strstr(poise_faults_get(faults, 0)->expected, want[i].expected));
        poise_faults_free(faults);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(turning_the_drawing_turns_the_hangs),
        cmocka_unit_test(finds_the_nearest_angles_that_hold),
        cmocka_unit_test(roots_take_few_evaluations),
        cmocka_unit_test(half_a_gram_sits_too),
        cmocka_unit_test(half_a_gram_is_a_weight),
        cmocka_unit_test(the_arm_counts_when_it_is_there),
        cmocka_unit_test(a_taut_strap_is_a_straight_line),
        cmocka_unit_test(refusals_name_the_number),
        cmocka_unit_test(lean_does_not_ask_which_post_is_which),
        cmocka_unit_test(one_number_that_is_none_is_enough),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
