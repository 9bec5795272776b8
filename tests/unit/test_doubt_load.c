/* The doubt of the hand load, which has a corner where the instrument begins to hold. Expected
 * values by moments about the edge (elementary statics) and by trials (JCGM 101). */
#include "doubt_help.h"

#include "base/memory.h"
#include "doubt/trials.h"

static const double SOME = 1e-9;

static PoiseDoubts doubts_of(const Rig *rig, PoiseBudgetLine **lines, size_t *count)
{
    PoiseDoubts d;
    assert_int_equal(poise_doubts(&rig->problem, &d, lines, count), POISE_OK);
    return d;
}

static PoiseResting rest(const PoisePosture *p)
{
    PoiseResting r;
    PoisePoint centre = {p->centre_mm[0], p->centre_mm[1]};
    poise_seat_rest(&p->seat, centre, p->mass_g, p->neck_angle_deg, p->hand, &r);
    return r;
}

static double hang_load(const PoisePosture *p)
{
    PoiseHanging h;
    PoisePoint centre = {p->centre_mm[0], p->centre_mm[1]};
    poise_strap_hang(&p->strap, centre, p->mass_g, p->neck_angle_deg, p->hand, &h, NULL);
    return h.hand_load_g;
}

/* While it holds, the load is 0 and can only grow: an interval from 0 and no ±. */
static void test_no_slope_at_a_corner(void **state)
{
    (void)state;
    Rig rig;
    PoiseBudgetLine *lines;
    size_t n;
    rig_begin(&rig);
    rig.problem.posture.strap.friction = 0.6;
    assert_true(hang_load(&rig.problem.posture) == 0);
    PoiseDoubts d = doubts_of(&rig, &lines, &n);
    assert_true(isnan(d.hand_load_g) && d.hand_load_95_g.lo == 0 && d.margin_mm > 0);
    for (size_t i = 0; i < n; i++)
        assert_true(isnan(lines[i].share[POISE_BUDGET_HAND_LOAD]));
    poise_release(lines);
    rig_end(&rig);
}

/* Neck-heavy, but by less than the doubt reaches: the interval starts at 0 and ends where the lever
 * about the edge does. */
static void test_a_load_that_may_be_none(void **state)
{
    (void)state;
    Rig rig;
    PoiseBudgetLine *lines;
    size_t n;
    rig_begin(&rig);
    PoisePosture *p = &rig.problem.posture;
    PoiseInterval window;
    for (p->strap.friction = 0.6; hang_load(p) < 1.0;)
        p->strap.friction -= 0.001;
    poise_strap_window(&p->strap, p->neck_angle_deg, &window);
    PoiseDoubts d = doubts_of(&rig, &lines, &n);
    assert_true(isnan(d.hand_load_g) && d.hand_load_95_g.lo == 0);
    /* Its slope with the margin is W over the hand's arm, to within what the weight adds. */
    PoisePoint hand = {p->hand.x_mm - p->strap.tail.x_mm, p->hand.y_mm - p->strap.tail.y_mm};
    double arm = poise_horizontal_mm(hand, p->neck_angle_deg) - window.hi;
    double expected = hang_load(p) + 1.96 * d.margin_mm * p->mass_g / arm;
    check_near(d.hand_load_95_g.hi, expected, 0.05 * expected);
    poise_release(lines);
    rig_end(&rig);
}

/* A hand tailwards of the edge it tips over has to press down on a neck-heavy instrument: the load
 * is negative, and the interval is about it. */
static void test_hand_on_the_other_side(void **state)
{
    (void)state;
    Rig rig;
    PoiseBudgetLine *lines;
    size_t n;
    rig_begin(&rig);
    PoisePosture *p = &rig.problem.posture;
    p->seat.has_arm = false;
    p->neck_angle_deg = 0;
    p->hand = (PoisePoint){p->seat.rest.x_mm - 300, 0};
    PoiseResting r = rest(p);
    assert_int_equal(r.verdict, POISE_NECK_HEAVY);
    /* About the edge at rest + 45: M (h_G − h_e) = F (−345). */
    double out = p->centre_mm[0] - p->seat.rest.x_mm - 45;
    check_near(r.hand_load_g, -p->mass_g * out / 345, SOME);
    PoiseDoubts d = doubts_of(&rig, &lines, &n);
    PoiseInterval i = d.seat_hand_load_95_g;
    check_near(0.5 * (i.lo + i.hi), r.hand_load_g, SOME);
    /* F = Σ m (h − h_e) / −345: at level the places' own doubt is all there is. */
    double variance = 0;
    for (size_t k = 0; k < RIG_ITEMS; k++) {
        const PoiseItemBody *b = &rig.bodies[k];
        double lever = b->body.centre_mm[0] - p->seat.rest.x_mm - 45;
        variance += pow(b->doubt.own_u_g * lever, 2) +
                    pow(b->body.mass_g * b->doubt.place_u_mm[0], 2) +
                    pow(b->doubt.own_u_g * b->doubt.place_u_mm[0], 2);
    }
    double density = 0, flow = 0;
    for (size_t k = 0; k < RIG_ITEMS; k++) {
        double lever = rig.bodies[k].body.centre_mm[0] - p->seat.rest.x_mm - 45;
        density += rig.bodies[k].doubt.density_u_g * lever;
        flow += rig.bodies[k].doubt.flow_u_g * lever;
    }
    variance += density * density + flow * flow;
    check_close(d.seat_hand_load_g, sqrt(variance) / 345, 1e-3);
    poise_release(lines);
    rig_end(&rig);
}

/* Wherever the hand and the leg are: the interval holds the load, ± is told where that has no 0 in
 * it and nowhere else, and trials find the same interval. */
static void test_intervals_hold_their_load(void **state)
{
    (void)state;
    enum { HANDS = 7, LEGS = 8 };
    static const double hands[HANDS] = {-400, -100, 0, 120, 300, 500, 760};
    static const double legs[LEGS] = {-60, 140, 208, 216, 262, 308, 316, 420};
    Rig rig;
    size_t seen[3] = {0, 0, 0}, told = 0, clipped = 0;
    rig_begin(&rig);
    PoisePosture *p = &rig.problem.posture;
    p->seat.has_arm = p->has_strap = false;
    p->neck_angle_deg = 10;
    for (int i = 0; i < HANDS * LEGS; i++) {
        PoiseBudgetLine *lines;
        size_t n;
        p->hand = (PoisePoint){hands[i % HANDS], 0};
        p->seat.rest = (PoisePoint){legs[i / HANDS], -100};
        PoiseResting r = rest(p);
        PoiseDoubts d = doubts_of(&rig, &lines, &n);
        poise_release(lines);
        PoiseInterval g = d.seat_hand_load_95_g;
        if (isnan(r.hand_load_g) || isnan(g.lo))
            continue;
        seen[r.verdict]++;
        assert_true(g.lo <= r.hand_load_g && r.hand_load_g <= g.hi);
        assert_int_equal(isnan(d.seat_hand_load_g) != 0, g.lo <= 0 && g.hi >= 0);
        told += isnan(d.seat_hand_load_g) ? 0 : 1;
        clipped += isnan(d.seat_hand_load_g) ? 1 : 0;
        const PoiseTrialOptions options = {.trials = 20000, .seed = 5};
        PoiseTrials t;
        assert_int_equal(poise_trials(&rig.problem, &options, &t), POISE_OK);
        PoiseInterval drawn = t.seat_hand_load_g.interval_95;
        double near = 0.08 * (g.hi - g.lo) + 1e-6;
        check_near(drawn.lo, g.lo, near);
        check_near(drawn.hi, g.hi, near);
    }
    assert_true(seen[0] && seen[1] > 3 && seen[2] > 3 && told > 6 && clipped > 2);
    rig_end(&rig);
}

/* A friction that is hardly known is not negative all the same: without any the load is as large as
 * it can get, and what the other doubts add to that is as if it were known. */
static void test_no_friction_below_none(void **state)
{
    (void)state;
    Rig rig;
    PoiseBudgetLine *lines;
    size_t n;
    rig_begin(&rig);
    PoisePosture *p = &rig.problem.posture;
    rig.problem.friction_u = 0.0;
    p->strap.friction = 0.0;
    double bare = hang_load(p);
    PoiseDoubts known = doubts_of(&rig, &lines, &n);
    poise_release(lines);
    p->strap.friction = 0.1;
    rig.problem.friction_u = 0.3;
    PoiseDoubts d = doubts_of(&rig, &lines, &n);
    poise_release(lines);
    assert_true(known.hand_load_95_g.hi > bare);
    assert_true(d.hand_load_95_g.hi > bare);
    assert_true(d.hand_load_95_g.hi < 1.001 * known.hand_load_95_g.hi);
    rig_end(&rig);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_slope_at_a_corner),
        cmocka_unit_test(test_a_load_that_may_be_none),
        cmocka_unit_test(test_hand_on_the_other_side),
        cmocka_unit_test(test_intervals_hold_their_load),
        cmocka_unit_test(test_no_friction_below_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
