/* Free hang against an independent minimisation of energy: the support is the highest point of the
 * ellipse found by search, and the hang is where the centre is furthest below it. */
#include "statics_help.h"

/* v_P − v_G at a neck angle, the ellipse's highest point found numerically from its two foci. */
static double drop_at(const Sample *s, double angle_deg)
{
    PoisePoint b = horn_at(&s->strap, angle_deg);
    double distance = hypot(b.x_mm, b.y_mm), major = s->strap.length_mm / 2;
    double minor = sqrt(major * major - distance * distance / 4);
    double ux = b.x_mm / distance, uy = b.y_mm / distance;
    double best = 0, highest = -INFINITY;
    for (int i = 0; i < 64; i++) {
        double t = 2 * PI * i / 64;
        double v = b.y_mm / 2 + major * cos(t) * uy + minor * sin(t) * ux;
        if (v > highest)
            highest = v, best = t;
    }
    double lo = best - 2 * PI / 64, hi = best + 2 * PI / 64;
    for (int i = 0; i < 60; i++) {
        double p = lo + (hi - lo) * 0.381966011250105, q = hi - (hi - lo) * 0.381966011250105;
        double vp = major * cos(p) * uy + minor * sin(p) * ux;
        double vq = major * cos(q) * uy + minor * sin(q) * ux;
        if (vp > vq)
            hi = q;
        else
            lo = p;
    }
    double t = 0.5 * (lo + hi);
    double c = cos(angle_deg * PI / 180), sine = sin(angle_deg * PI / 180);
    double gx = s->centre.x_mm - s->strap.tail.x_mm, gy = s->centre.y_mm - s->strap.tail.y_mm;
    return b.y_mm / 2 + major * cos(t) * uy + minor * sin(t) * ux - (gx * sine + gy * c);
}

/* The local extreme of the drop in [lo, hi] (sign 1 greatest, −1 least) by golden section. */
static double extreme_between(const Sample *s, double lo, double hi, double sign)
{
    for (int i = 0; i < 50; i++) {
        double p = lo + (hi - lo) * 0.381966011250105, q = hi - (hi - lo) * 0.381966011250105;
        if (sign * drop_at(s, p) > sign * drop_at(s, q))
            hi = q;
        else
            lo = p;
    }
    return 0.5 * (lo + hi);
}

static bool listed(const PoiseHanging *h, double angle, bool stable)
{
    for (size_t i = 0; i < h->free_hang_count; i++)
        if (h->free_hangs[i].stable == stable &&
            fabs(remainder(h->free_hangs[i].neck_angle_deg - angle, 360)) < 2e-4)
            return true;
    return false;
}

static void check_all_extremes(const Sample *s)
{
    PoiseHanging h;
    assert_int_equal(
        poise_strap_hang(&s->strap, s->centre, s->weight_g, s->angle_deg, s->hand, &h, NULL),
        POISE_OK);
    size_t extremes = 0;
    double before = drop_at(s, -181), here = drop_at(s, -180);
    for (int a = -180; a < 180; a++) {
        double after = drop_at(s, a + 1);
        if ((here > before && here >= after) || (here < before && here <= after)) {
            double sign = here > before ? 1 : -1;
            double angle = extreme_between(s, a - 1, a + 1, sign);
            if (!listed(&h, angle, sign > 0))
                fail_msg("an extreme at %g° (%s) is not listed", angle,
                         sign > 0 ? "stable" : "unstable");
            extremes++;
        }
        before = here;
        here = after;
    }
    assert_int_equal(h.free_hang_count, extremes);
}

static void test_worked_instrument(void **state)
{
    (void)state;
    Sample s = {.strap = {{0, 0}, {390, 70}, 1050, 0.3},
                .centre = {340, 5},
                .weight_g = 2900,
                .hand = {743, 0}};
    check_all_extremes(&s);
    s.centre = (PoisePoint){200, -40}; /* hangs level or so */
    check_all_extremes(&s);
}

static void test_agrees_with_least_energy(void **state)
{
    (void)state;
    uint64_t seed = 71;
    for (int i = 0; i < 60; i++) {
        Sample s = random_sample(&seed);
        double distance =
            hypot(s.strap.horn.x_mm - s.strap.tail.x_mm, s.strap.horn.y_mm - s.strap.tail.y_mm);
        s.strap.length_mm =
            fmax(s.strap.length_mm, 1.01 * distance); /* what a 1° look can resolve */
        check_all_extremes(&s);
    }
}

static PoiseHanging hang_symmetric(double centre_y)
{
    PoiseStrap strap = {{0, 0}, {400, 0}, 1000, 0.3};
    PoiseHanging h;
    assert_int_equal(poise_strap_hang(&strap, (PoisePoint){200, centre_y}, 3000, 10,
                                      (PoisePoint){700, 0}, &h, NULL),
                     POISE_OK);
    return h;
}

/* Posts level and the centre y above their middle: V(φ) = √(L² − d² cos²φ)/2 − y cos φ, so
 * V''(0) = d²/(2√(L² − d²)) + y. Level is stable only while the centre is lower than −d²/(2√(L² −
 * d²)), here −87.29 mm; above it two tilted hangs, mirror images, take its place. */
static void test_symmetric_instrument(void **state)
{
    (void)state;
    double threshold = -160000 / (2 * sqrt(1e6 - 160000));
    PoiseHanging low = hang_symmetric(threshold - 0.5), high = hang_symmetric(threshold + 0.5);
    assert_true(low.free_hangs[0].stable);
    check_near(low.free_hangs[0].neck_angle_deg, 0, 1e-9);
    assert_true(listed(&high, 0, false));
    assert_true(high.free_hangs[0].stable && high.free_hangs[1].stable);
    check_near(high.free_hangs[0].neck_angle_deg, -high.free_hangs[1].neck_angle_deg, 1e-8);
    assert_true(fabs(high.free_hangs[0].neck_angle_deg) < 15);
}

/* Station of the ellipse's top, from the unfolded belt: half the span plus half the rise times the
 * tangent of either side's angle, whose sine is span over length. */
static double top_at(const PoiseStrap *strap, double angle_deg)
{
    PoisePoint b = horn_at(strap, angle_deg);
    double sine = b.x_mm / strap->length_mm;
    return 0.5 * (b.x_mm + b.y_mm * sine / sqrt(1 - sine * sine));
}

/* Each listed angle is one at which the centre hangs below the support, given as −180° < φ ≤ 180°.
 */
static void check_hangs(const PoiseStrap *strap, PoisePoint centre, const PoiseHanging *h)
{
    for (size_t i = 0; i < h->free_hang_count; i++) {
        double angle = h->free_hangs[i].neck_angle_deg, rad = angle * PI / 180;
        assert_true(angle > -180 && angle <= 180);
        double gx = centre.x_mm - strap->tail.x_mm, gy = centre.y_mm - strap->tail.y_mm;
        check_near(gx * cos(rad) - gy * sin(rad), top_at(strap, angle), 1e-5);
    }
}

/* Level posts, upside down: 180° is a hang by symmetry, and there is one of it. */
static void test_upside_down(void **state)
{
    (void)state;
    for (double y = -200; y < 300; y += 100) {
        PoiseStrap strap = {{0, 0}, {400, 0}, 1000, 0.3};
        PoiseHanging h = hang_symmetric(y);
        check_hangs(&strap, (PoisePoint){200, y}, &h);
        size_t found = 0;
        for (size_t i = 0; i < h.free_hang_count; i++)
            found += fabs(h.free_hangs[i].neck_angle_deg - 180) < 1e-9;
        assert_int_equal(found, 1);
    }
}

/* For any angle there is one centre for which h_G − h_P touches 0 there without crossing: value and
 * slope are two linear equations for it. Moved a hair to one side the touch becomes two hangs, far
 * nearer to each other than any scan step; to the other side, none. */
static void test_pairs_that_are_about_to_merge_are_found(void **state)
{
    (void)state;
    PoiseStrap strap = {{0, 0}, {390, 70}, 900, 0.3};
    const double eps = 1e-3; /* degrees */
    for (double angle = -170.13; angle<182; angle += angle> 178 ? 0.07 : 5.29) {
        double t = top_at(&strap, angle), before = top_at(&strap, angle - eps),
               after = top_at(&strap, angle + eps);
        double rad = angle * PI / 180, step = eps * PI / 180;
        double slope = (after - before) / (2 * step);
        double x = t * cos(rad) - slope * sin(rad), y = -t * sin(rad) - slope * cos(rad);
        /* the touching curve's second derivative: −h_G − t'' */
        double bend = -t - (after - 2 * t + before) / (step * step);
        if (fabs(bend) < 20)
            continue; /* three hangs merge near here */
        size_t count[2];
        for (int k = 0; k < 2; k++) {
            /* two hangs about 0.08° apart: bend/2 · (0.04°)² */
            double shift = (k ? 0.5 : -0.5) * bend * pow(0.04 * PI / 180, 2);
            PoisePoint centre = {x + shift * cos(rad), y - shift * sin(rad)};
            PoiseHanging h;
            assert_int_equal(
                poise_strap_hang(&strap, centre, 3000, 10, (PoisePoint){700, 0}, &h, NULL),
                POISE_OK);
            check_hangs(&strap, centre, &h);
            count[k] = h.free_hang_count;
        }
        assert_int_equal(count[0], count[1] + 2);
    }
}

/* Stable ones first, each kind by nearness to the playing angle. */
static void test_order(void **state)
{
    (void)state;
    uint64_t seed = 73;
    for (int i = 0; i < 200; i++) {
        Sample s = random_sample(&seed);
        PoiseHanging h;
        assert_int_equal(
            poise_strap_hang(&s.strap, s.centre, s.weight_g, s.angle_deg, s.hand, &h, NULL),
            POISE_OK);
        assert_true(h.free_hang_count >= 2 && h.free_hang_count <= POISE_MAX_FREE_HANGS);
        assert_true(h.free_hangs[0].stable);
        size_t stable = 0;
        for (size_t k = 0; k < h.free_hang_count; k++) {
            PoiseFreeHang f = h.free_hangs[k];
            assert_true(f.neck_angle_deg > -180 && f.neck_angle_deg <= 180);
            stable += f.stable;
            if (k == 0)
                continue;
            PoiseFreeHang g = h.free_hangs[k - 1];
            assert_true(g.stable >= f.stable);
            if (g.stable == f.stable)
                assert_true(fabs(remainder(g.neck_angle_deg - s.angle_deg, 360)) <=
                            fabs(remainder(f.neck_angle_deg - s.angle_deg, 360)));
        }
        assert_int_equal(2 * stable,
                         h.free_hang_count); /* hills and valleys of a circle alternate */
    }
}

/* Without friction the holding range shrinks to the free hang. */
static void test_frictionless_settling_is_the_free_hang(void **state)
{
    (void)state;
    PoiseStrap strap = {{0, 0}, {390, 70}, 1050, 0};
    PoiseHanging h;
    assert_int_equal(
        poise_strap_hang(&strap, (PoisePoint){250, -40}, 2900, 20, (PoisePoint){743, 0}, &h, NULL),
        POISE_OK);
    assert_int_equal(h.verdict, POISE_NECK_HEAVY);
    assert_true(h.holds_somewhere);
    /* as wide as a station may be off by and still count as on the edge (1e-6 mm) */
    check_near(h.settles_at_deg, h.free_hangs[0].neck_angle_deg, 1e-5);
    check_near(h.hold_range_deg.lo, h.hold_range_deg.hi, 1e-5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_worked_instrument),
        cmocka_unit_test(test_agrees_with_least_energy),
        cmocka_unit_test(test_symmetric_instrument),
        cmocka_unit_test(test_upside_down),
        cmocka_unit_test(test_pairs_that_are_about_to_merge_are_found),
        cmocka_unit_test(test_order),
        cmocka_unit_test(test_frictionless_settling_is_the_free_hang),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
