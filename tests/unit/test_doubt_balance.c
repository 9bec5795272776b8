/* The doubt of the balance: budget, trials, and whether the intervals cover the truth. Expected
 * values are worked out here by other means: item by item, or by the statics alone. */
#include "doubt_help.h"

#include "base/memory.h"
#include "doubt/normal.h"
#include "doubt/run_trials.h"
#include "doubt/stand_in.h"
#include "doubt/trial_draw.h"
#include "doubt/trials.h"

static PoiseDoubts doubts_of(const Rig *rig, PoiseBudgetLine **lines, size_t *count)
{
    PoiseDoubts d;
    assert_int_equal(poise_doubts(&rig->problem, &d, lines, count), POISE_OK);
    return d;
}

static PoiseTrials trials_of(const Rig *rig, size_t n, uint64_t seed)
{
    PoiseTrials t;
    const PoiseTrialOptions options = {.trials = n, .seed = seed, .threads = 2};
    assert_int_equal(poise_trials(&rig->problem, &options, &t), POISE_OK);
    return t;
}

static const PoiseBudgetLine *line_of(const PoiseBudgetLine *lines, size_t n, PoiseDoubtKind kind,
                                      const char *id)
{
    for (size_t i = 0; i < n; i++)
        if (lines[i].kind == kind && (!id || strcmp(lines[i].id, id) == 0))
            return &lines[i];
    fail_msg("no line %s %s", poise_doubt_kind_name(kind), id ? id : "");
    return NULL;
}

/* The mass: one density for four items, one flow for three, the rest alone (JCGM 100, 5.2.2). */
static void test_budget_of_mass(void **state)
{
    (void)state;
    Rig rig;
    PoiseBudgetLine *lines;
    size_t n;
    rig_begin(&rig);
    PoiseDoubts d = doubts_of(&rig, &lines, &n);
    double density = 10 + 9 + 3 + 0.7, flow = 12.4 + 10.8 + 4.2;
    double own = 36 + 25 + 4 + 0.25 + 2500 + 625 + 400 + 225 + 225 + 36 + 9 + 64;
    double u = sqrt(density * density + flow * flow + own);
    check_close((d.mass_95_g.hi - d.mass_95_g.lo) / (2 * POISE_K_95), u, 1e-12);
    check_close(rig.ledger.mass_u_g, u, 1e-12);
    const PoiseBudgetLine *line = line_of(lines, n, POISE_DOUBT_DENSITY, "petg");
    assert_int_equal(line->items, 4);
    check_close(line->u[POISE_BUDGET_MASS], density, 1e-12);
    check_close(line->share[POISE_BUDGET_MASS], density * density / (u * u), 1e-12);
    line = line_of(lines, n, POISE_DOUBT_FLOW, NULL);
    assert_int_equal(line->items, 3);
    check_close(line->u[POISE_BUDGET_MASS], flow, 1e-12);
    check_close(line_of(lines, n, POISE_DOUBT_ITEM, "item-4")->share[POISE_BUDGET_MASS],
                2500 / (u * u), 1e-12);
    check_near(line_of(lines, n, POISE_DOUBT_FRICTION, NULL)->u[POISE_BUDGET_MASS], 0, 0);
    size_t order[3];
    assert_int_equal(poise_budget_order(lines, n, POISE_BUDGET_MASS, order, 3), 3);
    assert_string_equal(lines[order[0]].id, "item-4");
    assert_int_equal(lines[order[1]].kind, POISE_DOUBT_FLOW);
    assert_string_equal(lines[order[2]].id, "item-5");
    for (int k = 0; k < 3; k++) { /* the leg holds: nothing to share out there */
        double sum = 0;
        for (size_t i = 0; i < n; i++)
            sum += lines[i].share[k];
        check_near(sum, 1, 1e-12);
    }
    poise_release(lines);
    rig_end(&rig);
}

/* An item whose density nobody shares stands on one line: weighing it settles both. Once weighed it
 * is told apart. */
static void test_budget_of_an_item(void **state)
{
    (void)state;
    Rig rig;
    PoiseBudgetLine *lines;
    size_t n;
    rig_begin(&rig);
    rig.bodies[4].doubt.density_u_g = 30;
    rig.items[5].has_measured = true;
    rig_settle(&rig);
    doubts_of(&rig, &lines, &n);
    const PoiseBudgetLine *line = line_of(lines, n, POISE_DOUBT_ITEM, "item-4");
    check_close(line->u[POISE_BUDGET_MASS], sqrt(2500 + 900), 1e-12);
    assert_false(line->weighed);
    assert_true(line_of(lines, n, POISE_DOUBT_ITEM, "item-5")->weighed);
    check_near(line_of(lines, n, POISE_DOUBT_PLACE, "item-4")->u[POISE_BUDGET_MASS], 0, 0);
    poise_release(lines);
    rig_end(&rig);
}

/* The margin: its parts by friction and centre, each from the statics alone. */
static void test_margin(void **state)
{
    (void)state;
    Rig rig;
    PoiseBudgetLine *lines;
    size_t n;
    rig_begin(&rig);
    PoiseDoubts d = doubts_of(&rig, &lines, &n);
    PoiseStrap up = rig.problem.posture.strap, down = up;
    up.friction += 0.08;
    down.friction -= 0.08;
    PoiseInterval hi, lo;
    assert_int_equal(poise_strap_window(&up, 20, &hi), POISE_OK);
    assert_int_equal(poise_strap_window(&down, 20, &lo), POISE_OK);
    double friction = (hi.hi - lo.hi) / 2, s = sin(20 * 3.14159265358979323846 / 180);
    check_close(line_of(lines, n, POISE_DOUBT_FRICTION, NULL)->u[POISE_BUDGET_MARGIN], friction,
                1e-9);
    check_close(d.window_mm.hi, friction, 1e-9);
    const double along[3] = {sqrt(1 - s * s), -s, 0};
    double station = poise_ledger_station_u(&rig.ledger, along);
    check_close(d.station_mm, station, 1e-9);
    check_close(d.margin_mm, hypot(friction, station), 1e-9);
    check_close(d.along_mm, rig.ledger.centre_u_mm[0], 1e-12);
    poise_release(lines);
    rig_end(&rig);
}

/* Strap length, neck angle and the arm, one at a time: by differences of the whole balance. */
static void test_other_sources(void **state)
{
    (void)state;
    Rig rig;
    PoiseBudgetLine *lines;
    size_t n;
    rig_begin(&rig);
    for (int i = 0; i < RIG_ITEMS; i++)
        rig.bodies[i].doubt = (PoiseItemDoubt){0};
    rig.problem.friction_u = 0;
    rig_settle(&rig);
    PoiseDoubts d = doubts_of(&rig, &lines, &n);
    assert_int_equal(n, 0);
    check_near(d.margin_mm, 0, 0);
    poise_release(lines);

    PoiseHanging plus, minus;
    PoisePosture p = rig.problem.posture;
    PoisePoint centre = {p.centre_mm[0], p.centre_mm[1]};
    rig.problem.angle_u = 3;
    d = doubts_of(&rig, &lines, &n);
    poise_strap_hang(&p.strap, centre, p.mass_g, 23, p.hand, &plus, NULL);
    poise_strap_hang(&p.strap, centre, p.mass_g, 17, p.hand, &minus, NULL);
    check_close(d.margin_mm, fabs(plus.margin_mm - minus.margin_mm) / 2, 1e-9);
    check_close(d.needed_friction, fabs(plus.needed_friction - minus.needed_friction) / 2, 1e-9);
    assert_int_equal(n, 1);
    assert_int_equal(lines[0].kind, POISE_DOUBT_ANGLE);
    poise_release(lines);

    rig.problem.angle_u = 0;
    rig.problem.length_u = 40;
    d = doubts_of(&rig, &lines, &n);
    p.strap.length_mm += 40;
    poise_strap_hang(&p.strap, centre, p.mass_g, 20, p.hand, &plus, NULL);
    p.strap.length_mm -= 80;
    poise_strap_hang(&p.strap, centre, p.mass_g, 20, p.hand, &minus, NULL);
    check_close(d.margin_mm, fabs(plus.margin_mm - minus.margin_mm) / 2, 1e-9);
    poise_release(lines);

    rig.problem.length_u = 0;
    rig.problem.arm_u = 200;
    d = doubts_of(&rig, &lines, &n);
    PoiseResting heavy, light;
    p.seat.arm_g = 1100;
    poise_seat_rest(&p.seat, centre, p.mass_g, 20, p.hand, &heavy);
    p.seat.arm_g = 700;
    poise_seat_rest(&p.seat, centre, p.mass_g, 20, p.hand, &light);
    check_close(d.seat_station_mm, fabs(heavy.horizontal_mm - light.horizontal_mm) / 2, 1e-9);
    check_near(d.margin_mm, 0, 0);
    poise_release(lines);
    rig_end(&rig);
}

/* What is drawn at once has the mean and covariance of what is drawn item by item with another
 * generator; within 5 standard deviations of either. */
static void test_draw(void **state)
{
    (void)state;
    enum { N = 60000 };
    Rig rig;
    PoiseDrawing drawing;
    rig_begin(&rig);
    poise_drawing(&rig.problem, 4, &drawing);
    double sums[2][3] = {{0}}, squares[2][3][3] = {{{0}}};
    uint64_t truth = 4;
    const double *c = rig.problem.posture.centre_mm;
    for (uint64_t i = 0; i < N; i++) {
        double mass, centre[3];
        PoiseDraw draw;
        poise_draw(&drawing, i, &draw);
        rig_truth(&rig, &truth, &mass, centre);
        const double values[2][3] = {
            {draw.mass_g - drawing.mass_g, draw.centre.x_mm - c[0], draw.centre.y_mm - c[1]},
            {mass - drawing.mass_g, centre[0] - c[0], centre[1] - c[1]}};
        for (int w = 0; w < 2; w++)
            for (int k = 0; k < 3; k++) {
                sums[w][k] += values[w][k];
                for (int l = 0; l < 3; l++)
                    squares[w][k][l] += values[w][k] * values[w][l];
            }
    }
    for (int k = 0; k < 3; k++) {
        double sd = sqrt(squares[1][k][k] / N);
        check_near(sums[0][k] / N, sums[1][k] / N, 5 * sd * sqrt(2.0 / N));
        for (int l = 0; l < 3; l++) {
            double other = sqrt(squares[1][l][l] / N);
            check_near(squares[0][k][l] / N, squares[1][k][l] / N, 5 * sd * other * sqrt(4.0 / N));
        }
    }
    rig_end(&rig);
}

/* A root of a covariance gives it back, also one without rank. */
static void test_cholesky(void **state)
{
    (void)state;
    double cases[3][3][3] = {{{4, 2, -1}, {2, 5, 0.5}, {-1, 0.5, 3}},
                             {{4, 2, -2}, {2, 1, -1}, {-2, -1, 1}},
                             {{0, 0, 0}, {0, 9, 3}, {0, 3, 1}}};
    for (int c = 0; c < 3; c++) {
        double root[3][3];
        poise_cholesky3(cases[c], root);
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++) {
                double sum = 0;
                for (int k = 0; k < 3; k++)
                    sum += root[i][k] * root[j][k];
                check_near(sum, cases[c][i][j], 1e-12);
            }
    }
}

/* Trials agree with first order where it holds (JCGM 101, clause 8: within the numerical tolerance
 * of two digits): the mass exactly, the margin while friction is known. */
static void test_against_first_order(void **state)
{
    (void)state;
    enum { N = 200000 };
    Rig rig;
    PoiseBudgetLine *lines;
    size_t n;
    rig_begin(&rig);
    rig.problem.friction_u = 0;
    PoiseDoubts d = doubts_of(&rig, &lines, &n);
    PoiseTrials t = trials_of(&rig, N, 21);
    double u = rig.ledger.mass_u_g, delta = poise_numerical_tolerance(u, 2);
    check_near(t.mass_g.mean, rig.problem.posture.mass_g, delta);
    check_near(t.mass_g.u, u, delta);
    check_near(t.mass_g.interval_95.lo, d.mass_95_g.lo, 5 * 2.7 * u / sqrt(N));
    check_near(t.mass_g.interval_95.hi, d.mass_95_g.hi, 5 * 2.7 * u / sqrt(N));
    /* u is some 6 mm: two digits are ±0.05 mm. */
    check_near(t.margin_mm.u, d.margin_mm, 0.05);
    check_near(t.margin_mm.interval_95.lo, d.margin_95_mm.lo, 5 * 2.7 * d.margin_mm / sqrt(N));
    check_near(t.p_neck_heavy,
               poise_normal_below(0, 0.5 * (d.margin_95_mm.lo + d.margin_95_mm.hi), d.margin_mm),
               5 * 0.5 / sqrt(N) + 0.002);
    poise_release(lines);
    rig_end(&rig);
}

/* Each trial with everything doubtful against the statics asked for that very draw. */
static void test_each_trial(void **state)
{
    (void)state;
    enum { N = 1500 };
    Rig rig;
    PoiseDrawing drawing;
    rig_begin(&rig);
    rig.problem.length_u = 30;
    rig.problem.angle_u = 4;
    rig.problem.arm_u = 150;
    rig.problem.posture.seat.half_width_mm = 4;
    PoiseTrials t = trials_of(&rig, N, 8);
    assert_true(t.window_error_mm <= POISE_STAND_IN_MM);
    poise_drawing(&rig.problem, 8, &drawing);
    double load = 0, margin = 0, seat = 0, settles = 0;
    size_t neck = 0, tail = 0, seat_neck = 0, settled = 0;
    for (uint64_t i = 0; i < N; i++) {
        PoiseDraw draw;
        PoiseHanging h;
        PoiseResting r;
        PoisePosture p = rig.problem.posture;
        poise_draw(&drawing, i, &draw);
        p.strap.friction = draw.friction;
        p.strap.length_mm = draw.length_mm;
        p.seat.arm_g = draw.arm_g;
        assert_int_equal(
            poise_strap_hang(&p.strap, draw.centre, draw.mass_g, draw.angle_deg, p.hand, &h, NULL),
            POISE_OK);
        poise_seat_rest(&p.seat, draw.centre, draw.mass_g, draw.angle_deg, p.hand, &r);
        load += h.hand_load_g;
        margin += h.margin_mm;
        seat += r.hand_load_g;
        neck += h.verdict == POISE_NECK_HEAVY;
        tail += h.verdict == POISE_TAIL_HEAVY;
        seat_neck += r.verdict == POISE_NECK_HEAVY;
        if (!isnan(h.settles_at_deg)) {
            settles += h.settles_at_deg;
            settled++;
        }
    }
    check_near(t.hand_load_g.mean, load / N, 0.01);
    check_near(t.margin_mm.mean, margin / N, POISE_STAND_IN_MM);
    check_near(t.seat_hand_load_g.mean, seat / N, 1e-6);
    check_near(t.p_neck_heavy, (double)neck / N, 1e-12);
    check_near(t.p_tail_heavy, (double)tail / N, 1e-12);
    check_near(t.p_seat_neck_heavy, (double)seat_neck / N, 1e-12);
    check_near(t.settles_at_deg.mean, settles / (double)settled, 1e-6);
    check_near(t.p_does_not_settle, 1 - (double)settled / N, 1e-12);
    assert_int_equal(t.settle_trials, N);
    assert_true(neck > 0 && neck < N && seat_neck > 0);
    rig_end(&rig);
}

/* The stand-in against the root at places it was not fitted to, with one and with three variables;
 * beyond its range it is the root. */
static void test_stand_in(void **state)
{
    (void)state;
    PoiseStrap strap = {{0, 0}, {390, 70}, 1050, 0.35};
    const PoiseSpan spans[2][3] = {{{0.4, 0.4, 0}, {1050, 0, 0}, {15, 0, 0}},
                                   {{0.4, 0.4, 0}, {1050, 100, 0}, {15, 20, 0}}};
    uint64_t at = 1;
    for (int s = 0; s < 2; s++) {
        PoiseStandIn fit;
        poise_stand_in(&strap, spans[s][0], spans[s][1], spans[s][2], &fit);
        assert_true(fit.usable);
        double most = 0;
        for (int i = 0; i < 400; i++) {
            double x[3];
            for (int k = 0; k < 3; k++)
                x[k] = spans[s][k].middle + spans[s][k].half * (2 * truth_uniform(&at) - 1);
            strap.friction = x[0];
            strap.length_mm = x[1];
            PoiseInterval w;
            assert_int_equal(poise_strap_window(&strap, x[2], &w), POISE_OK);
            most = fmax(most, fabs(poise_stand_in_edge(&fit, 0, x[0], x[1], x[2]) - w.lo));
            most = fmax(most, fabs(poise_stand_in_edge(&fit, 1, x[0], x[1], x[2]) - w.hi));
        }
        assert_true(most <= POISE_STAND_IN_MM);
        /* Random places hardly find more than the measured worst. */
        assert_true(most <= 2 * fit.error_mm + 1e-9);
        strap.friction = 0.95;
        strap.length_mm = 1050;
        PoiseInterval w;
        poise_strap_window(&strap, 15, &w);
        check_near(poise_stand_in_edge(&fit, 1, 0.95, 1050, 15), w.hi, 0);
    }
    /* Posts nearly one above the other at some angles of the range: no window there, no fit. */
    PoiseStandIn fit;
    poise_stand_in(&strap, spans[0][0], spans[0][1], (PoiseSpan){60, 29, 0}, &fit);
    assert_false(fit.usable);
    assert_true(isfinite(poise_stand_in_edge(&fit, 1, 0.3, 1050, 40)));
    assert_true(isnan(poise_stand_in_edge(&fit, 1, 0.3, 1050, 85)));
}

/* Bitwise the same for any number of threads, fixed and adaptive. */
static void test_deterministic(void **state)
{
    (void)state;
    Rig rig;
    rig_begin(&rig);
    for (int adaptive = 0; adaptive < 2; adaptive++) {
        PoiseTrials t[3];
        const int threads[3] = {1, 2, 7};
        for (int i = 0; i < 3; i++) {
            const PoiseTrialOptions options = {
                .trials = 33333, .adaptive = adaptive, .seed = 17, .threads = threads[i]};
            memset(&t[i], 0, sizeof t[i]);
            assert_int_equal(poise_trials(&rig.problem, &options, &t[i]), POISE_OK);
            assert_memory_equal(&t[i], &t[0], sizeof t[i]);
        }
        assert_true(adaptive ? t[0].settled : t[0].trials == 33333);
    }
    assert_true(trials_of(&rig, 20000, 1).mass_g.mean != trials_of(&rig, 20000, 2).mass_g.mean);
    rig_end(&rig);
}

/* No strap, no seat, no hand: what is left is told and the rest is NAN. */
static void test_what_is_missing(void **state)
{
    (void)state;
    Rig rig;
    PoiseBudgetLine *lines;
    size_t n;
    rig_begin(&rig);
    rig.problem.posture.has_hand = false;
    PoiseTrials t = trials_of(&rig, 2000, 1);
    PoiseDoubts d = doubts_of(&rig, &lines, &n);
    /* Without a hand only the trials that hold have a load, 0. */
    assert_true(t.hand_load_g.count < t.margin_mm.count && t.hand_load_g.u == 0);
    assert_true(isnan(d.hand_load_95_g.lo) && d.margin_mm > 0);
    poise_release(lines);
    rig.problem.posture.has_strap = rig.problem.posture.has_seat = false;
    t = trials_of(&rig, 2000, 1);
    d = doubts_of(&rig, &lines, &n);
    assert_true(isnan(t.p_neck_heavy) && isnan(t.p_does_not_settle) && t.margin_mm.count == 0);
    assert_true(isnan(d.margin_mm) && isnan(d.lean_deg) && d.mass_95_g.hi > d.mass_95_g.lo);
    check_near(t.mass_g.u, rig.ledger.mass_u_g, 5);
    for (size_t i = 0; i < n; i++)
        assert_true(lines[i].kind != POISE_DOUBT_FRICTION && isnan(lines[i].share[1]));
    poise_release(lines);
    for (long at = 0; at < 3; at++) {
        poise_alloc_fail_at(at, 0);
        const PoiseTrialOptions options = {.trials = 2000, .threads = 1};
        assert_int_equal(poise_trials(&rig.problem, &options, &t), POISE_E_MEMORY);
    }
    poise_alloc_fail_at(-1, 0);
    const PoiseTrialOptions few = {.trials = 10};
    assert_int_equal(poise_trials(&rig.problem, &few, &t), POISE_E_USAGE);
    rig_end(&rig);
}

/* A random instrument: other masses, places, doubts, straps. */
static void shuffle(Rig *rig, uint64_t *seed)
{
    for (int i = 0; i < RIG_ITEMS; i++) {
        PoiseItemBody *b = &rig->bodies[i];
        double scale = 0.6 + 0.8 * truth_uniform(seed);
        b->body.mass_g *= scale;
        for (int k = 0; k < 3; k++) {
            b->body.centre_mm[k] += 20 * (2 * truth_uniform(seed) - 1);
            b->doubt.place_u_mm[k] *= 3 * truth_uniform(seed);
        }
        b->doubt.own_u_g *= 1.5 * truth_uniform(seed);
        b->doubt.density_u_g *= 2 * scale * truth_uniform(seed);
        b->doubt.flow_u_g *= scale;
    }
    PoiseStrap *strap = &rig->problem.posture.strap;
    strap->length_mm = 950 + 400 * truth_uniform(seed);
    strap->friction = 0.25 + 0.2 * truth_uniform(seed);
    rig->problem.posture.neck_angle_deg = 30 * truth_uniform(seed);
    rig->problem.friction_u = 0.02 + 0.05 * truth_uniform(seed);
    rig->problem.length_u = 20 * truth_uniform(seed);
    rig_settle(rig);
}

static double inside(PoiseInterval i, double value)
{
    return value >= i.lo && value <= i.hi ? 1 : 0;
}

/* Coverage over 1000 seeds: random instruments whose truth is drawn item by item from what the file
 * says of them. The 95 % intervals of mass and margin, to first order and by trials, cover it 93 to
 * 97 times in a hundred (for a true 95 % the count's standard deviation is 0.7 %). */
static void test_coverage(void **state)
{
    (void)state;
    enum { SEEDS = 1000, PER_INSTRUMENT = 40 };
    Rig rig;
    PoiseDoubts d = {0};
    PoiseTrials t = {0};
    double mass_hits[2] = {0}, margin_hits[2] = {0};
    uint64_t seed = 20240517;
    rig_begin(&rig);
    for (int s = 0; s < SEEDS; s++) {
        if (s % PER_INSTRUMENT == 0) {
            PoiseBudgetLine *lines;
            size_t n;
            rig_end(&rig);
            rig_begin(&rig);
            shuffle(&rig, &seed);
            d = doubts_of(&rig, &lines, &n);
            poise_release(lines);
            t = trials_of(&rig, 10000, (uint64_t)s);
        }
        double mass, centre[3], along;
        rig_truth(&rig, &seed, &mass, centre);
        PoiseStrap strap = rig.problem.posture.strap;
        double angle = rig.problem.posture.neck_angle_deg;
        strap.friction = fmax(0, strap.friction + rig.problem.friction_u * truth_normal(&seed));
        strap.length_mm += rig.problem.length_u * truth_normal(&seed);
        PoiseInterval window;
        assert_int_equal(poise_strap_window(&strap, angle, &window), POISE_OK);
        along = poise_horizontal_mm((PoisePoint){centre[0], centre[1]}, angle) -
                poise_horizontal_mm(strap.tail, angle);
        double margin = window.hi - along;
        mass_hits[0] += inside(d.mass_95_g, mass);
        mass_hits[1] += inside(t.mass_g.interval_95, mass);
        margin_hits[0] += inside(d.margin_95_mm, margin);
        margin_hits[1] += inside(t.margin_mm.interval_95, margin);
    }
    for (int how = 0; how < 2; how++) {
        print_message("covered: mass %.1f %%, margin %.1f %% (%s)\n",
                      mass_hits[how] * 100.0 / SEEDS, margin_hits[how] * 100.0 / SEEDS,
                      how ? "trials" : "first order");
        check_near(mass_hits[how] / SEEDS, 0.95, 0.02);
        check_near(margin_hits[how] / SEEDS, 0.95, 0.02);
    }
    rig_end(&rig);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_budget_of_mass),
        cmocka_unit_test(test_budget_of_an_item),
        cmocka_unit_test(test_margin),
        cmocka_unit_test(test_other_sources),
        cmocka_unit_test(test_draw),
        cmocka_unit_test(test_cholesky),
        cmocka_unit_test(test_against_first_order),
        cmocka_unit_test(test_each_trial),
        cmocka_unit_test(test_stand_in),
        cmocka_unit_test(test_deterministic),
        cmocka_unit_test(test_what_is_missing),
        cmocka_unit_test(test_coverage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
