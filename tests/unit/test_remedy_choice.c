/* Goals, single amounts and combinations: against aircraft weight and balance, whose rules they
 * are, and against trying every combination. */
#include "check.h"
#include "decide/remedy_choice.h"
#include "statics/lever.h"

#include <stdlib.h>

/* Level, the tail post at the origin of moments, the hand at hand_mm. */
static PoiseStance level(double lo, double hi, double hand_mm)
{
    return (PoiseStance){.horizontal = {1, 0, 0},
                         .has_strap = true,
                         .window_mm = {lo, hi},
                         .hand_mm = hand_mm,
                         .tail_h_mm = 0};
}

static size_t goals_of(PoiseStance stance, double hand_load_g, double margin_mm, PoiseGoal *goals)
{
    size_t n = 0;
    poise_goals_add(&stance, 0, hand_load_g, margin_mm, true, false, goals, &n);
    return n;
}

/* Permanent ballast: FAA-H-8083-1B, "Ballast": 1876 lb, centre of gravity +32.2 in (read in a
 * copy); limit +33.0 in, ballast station 228 in, answer 7.7 lb (from memory). The rule: weight ×
 * distance out of limits / arm from the ballast station to the limit (AMT Handbook – General ch. 4,
 * read in a copy). */
static void test_handbook_ballast(void **state)
{
    (void)state;
    PoiseGoal goals[POISE_MOST_GOALS];
    size_t n = goals_of(level(33.0, 46.0, 300), 0, (double)NAN, goals);
    PoiseAmount a = {.mass_g = 1876, .moment_gmm = {1876 * 32.2}, .per_g = 1, .per_gmm = {228}};
    PoiseInterval range;
    assert_true(poise_amount_solve(goals, n, &a, 0, INFINITY, &range));
    check_near(range.lo, 7.7, 0.05); /* as printed */
    check_near(range.lo, 1876 * 0.8 / 195, 1e-9);
    /* The other end: as much as takes it to the aft limit. */
    check_near((1876 * 32.2 + range.hi * 228) / (1876 + range.hi), 46.0, 1e-9);
}

/* Weight shift: Pilot's Handbook of Aeronautical Knowledge, "Weight and Balance": 7800 lb, centre
 * of gravity 81.5 in, limit 80.5 in, cargo from station 150 to station 30: 65 lb (seen in a
 * quotation). */
static void test_handbook_weight_shift(void **state)
{
    (void)state;
    PoiseGoal goals[POISE_MOST_GOALS];
    size_t n = goals_of(level(0, 80.5, 300), 0, (double)NAN, goals);
    PoiseAmount a = {
        .mass_g = 7800, .moment_gmm = {7800 * 81.5}, .per_g = 0, .per_gmm = {30 - 150}};
    PoiseInterval range;
    assert_true(poise_amount_solve(goals, n, &a, 0, INFINITY, &range));
    check_near(range.lo, 65, 1e-9);
    /* The same chapter's forward example (read in a copy): 100 lb from 30 to 150 takes 8000 lb from
     * 77.0 to 78.5 in. */
    double mass, moment[3];
    PoiseAmount forward = {.mass_g = 8000, .moment_gmm = {8000 * 77.0}, .per_gmm = {150 - 30}};
    poise_amount_at(&forward, 100, &mass, moment);
    check_near(moment[0] / mass, 78.5, 1e-12);
}

/* The amounts agree with the statics room's own rule, and a hand load that is asked for is met
 * exactly. */
static void test_agrees_with_the_statics(void **state)
{
    (void)state;
    PoiseGoal goals[POISE_MOST_GOALS];
    PoiseInterval window = {131, 283}, range;
    double needed, mass, moment[3];
    for (double at = -60; at < 283; at += 49) {
        size_t n = goals_of(level(window.lo, window.hi, 743), 0, (double)NAN, goals);
        PoiseAmount a = {.mass_g = 2900, .moment_gmm = {2900 * 340}, .per_g = 1, .per_gmm = {at}};
        assert_int_equal(poise_ballast_needed(2900, 340, window, at, &needed), POISE_OK);
        assert_true(poise_amount_solve(goals, n, &a, 0, INFINITY, &range));
        check_close(range.lo, needed, 1e-12);
        n = goals_of(level(window.lo, window.hi, 743), 80, (double)NAN, goals);
        assert_true(poise_amount_solve(goals, n, &a, 0, INFINITY, &range));
        poise_amount_at(&a, range.lo, &mass, moment);
        check_near(poise_lever_hand_load(mass, moment[0] / mass, window.hi, 743), 80, 1e-9);
    }
    /* Headwards of the edge nothing helps. */
    size_t n = goals_of(level(window.lo, window.hi, 743), 0, (double)NAN, goals);
    PoiseAmount a = {.mass_g = 2900, .moment_gmm = {2900 * 340}, .per_g = 1, .per_gmm = {300}};
    assert_false(poise_amount_solve(goals, n, &a, 0, INFINITY, &range));
}

/* A goal's excess against the statics' own verdicts: met exactly where they say so. */
static void test_goals_say_what_the_statics_say(void **state)
{
    (void)state;
    PoiseInterval w = {131, 283};
    for (double station = 20; station < 420; station += 7.3) {
        for (double load = 0; load <= 300; load += 150) {
            PoiseGoal goals[POISE_MOST_GOALS];
            size_t n = goals_of(level(w.lo, w.hi, 743), load, (double)NAN, goals);
            double moment[3] = {2900 * station, 0, 0};
            PoiseVerdict v = poise_lever_verdict(station, w);
            double hand = v == POISE_HOLDS
                              ? 0
                              : poise_lever_hand_load(2900, station, poise_lever_edge(v, w), 743);
            assert_int_equal(poise_goals_met(goals, n, 2900, moment), fabs(hand) <= load);
            double by;
            const PoiseGoal *worst = poise_goals_worst(goals, n, 2900, moment, &by);
            if (worst)
                check_near(by, fabs(hand) - load, 1e-9);
            n = goals_of(level(w.lo, w.hi, 743), (double)NAN, load / 10, goals);
            assert_int_equal(poise_goals_met(goals, n, 2900, moment),
                             w.hi - station >= load / 10 && station >= w.lo);
        }
    }
}

/* On the leg: the combined centre of the instrument and the arm's weight. */
static void test_leg_goals(void **state)
{
    (void)state;
    PoiseSeat seat = {
        .rest = {205, -95}, .half_width_mm = 45, .has_arm = true, .arm = {120, 150}, .arm_g = 900};
    PoiseStance stance = {.horizontal = {1, 0, 0},
                          .has_seat = true,
                          .rest_h_mm = 205,
                          .half_width_mm = 45,
                          .arm_g = 900,
                          .arm_h_mm = 120 - 205,
                          .seat_hand_mm = 743 - 205};
    for (double station = 50; station < 500; station += 11.7) {
        PoiseGoal goals[POISE_MOST_GOALS];
        size_t n = 0;
        PoiseResting resting;
        poise_goals_add(&stance, 0, 60, (double)NAN, false, true, goals, &n);
        assert_int_equal(poise_seat_rest(&seat, (PoisePoint){station, 3}, 3100, 0,
                                         (PoisePoint){743, 0}, &resting),
                         POISE_OK);
        double moment[3] = {3100 * station, 0, 0};
        assert_int_equal(poise_goals_met(goals, n, 3100, moment), fabs(resting.hand_load_g) <= 60);
        /* Without a strap a margin is asked of the leg: as far as the arm's weight leaves. */
        double margin = resting.window_mm.hi - resting.horizontal_mm, by;
        n = 0;
        poise_goals_add(&stance, 0, (double)NAN, 20, false, true, goals, &n);
        const PoiseGoal *worst = poise_goals_worst(goals, n, 3100, moment, &by);
        assert_int_equal(!worst, margin >= 20 && resting.verdict != POISE_TAIL_HEAVY);
        if (worst && margin < 20) {
            assert_int_equal(worst->kind, POISE_GOAL_MARGIN);
            check_near(by, 20 - margin, 1e-9);
        }
    }
}

static double draw(unsigned *seed, double lo, double hi)
{
    *seed = *seed * 1664525U + 1013904223U;
    return lo + (hi - lo) * (double)(*seed >> 8) / (1 << 24);
}

enum { GROUPS = 4, WAYS = 3 };

/* GROUPS items of WAYS fixed choices and one place for ballast. */
static PoiseChoices some_choices(unsigned *seed)
{
    PoiseChoices c = {.rest_g = 2000, .rest_gmm = {2000 * 330.0}};
    for (size_t g = 0; g < GROUPS; g++) {
        double at = draw(seed, -50, 800);
        assert_true(poise_choices_group(&c, SIZE_MAX, POISE_CHOOSE_SWAP));
        for (int w = 0; w < WAYS; w++) {
            double mass = draw(seed, 20, 300);
            PoiseChoice o = {.unchanged = w == 0,
                             .fixed_g = mass,
                             .fixed_gmm = {mass * at},
                             .fixed_price = round(draw(seed, 0, 80)),
                             .effort = w ? 3 : 0};
            assert_true(poise_choices_add(&c, &o));
        }
    }
    PoiseChoice none = {.unchanged = true},
                some = {.per_g = 1, .per_gmm = {draw(seed, -60, 200)}, .hi = 250, .effort = 2};
    assert_true(poise_choices_group(&c, SIZE_MAX, POISE_CHOOSE_BALLAST));
    assert_true(poise_choices_add(&c, &none));
    assert_true(poise_choices_add(&c, &some));
    return c;
}

/* All fixed combinations, each with the least ballast in closed form. With `cheapest` at most
 * `mass` heavy: the least price; otherwise the least mass. INFINITY: none. */
static double try_all(const PoiseChoices *c, const PoiseGoal *goals, size_t n, size_t most,
                      bool cheapest, double mass)
{
    double best = INFINITY;
    for (size_t combination = 0; combination < 2 * 81; combination++) {
        PoisePick picks[GROUPS + 1];
        size_t rest = combination;
        for (size_t g = 0; g < GROUPS; g++, rest /= WAYS)
            picks[g] = (PoisePick){c->groups[g].first + rest % WAYS, 0};
        picks[GROUPS] = (PoisePick){c->groups[GROUPS].first + rest % 2, 0};
        PoisePicked sum = poise_choices_sum(c, picks);
        if (sum.changes > most)
            continue;
        const PoiseChoice *ballast = &c->list[picks[GROUPS].choice];
        PoiseAmount a = {.mass_g = sum.mass_g, .per_g = ballast->per_g};
        memcpy(a.moment_gmm, sum.moment_gmm, sizeof a.moment_gmm);
        memcpy(a.per_gmm, ballast->per_gmm, sizeof a.per_gmm);
        PoiseInterval range;
        if (!poise_amount_solve(goals, n, &a, 0, ballast->hi, &range))
            continue;
        if (!cheapest)
            best = fmin(best, sum.mass_g + range.lo);
        else if (sum.mass_g + range.lo <= mass)
            best = fmin(best, sum.price);
    }
    return best;
}

static void test_combination_against_trying_all(void **state)
{
    (void)state;
    unsigned seed = 77;
    int found = 0, none = 0;
    for (int round = 0; round < 30; round++) {
        PoiseChoices c = some_choices(&seed);
        PoiseGoal goals[POISE_MOST_GOALS];
        size_t n = goals_of(level(130, 290, 760), draw(&seed, 0, 120), (double)NAN, goals);
        goals[n++] = poise_goal_mass(draw(&seed, 2300, 2900));
        for (size_t most = 1; most <= GROUPS + 1; most++) {
            PoisePick picks[GROUPS + 1];
            bool proved;
            double lightest = try_all(&c, goals, n, most, false, 0);
            PoiseStatus status =
                poise_choices_solve(&c, goals, n, POISE_CHOOSE_ALL, most, picks, &proved);
            assert_true(proved);
            if (isinf(lightest)) {
                assert_int_equal(status, POISE_E_DOMAIN);
                none++;
                continue;
            }
            assert_int_equal(status, POISE_OK);
            found++;
            PoisePicked sum = poise_choices_sum(&c, picks);
            assert_true(sum.changes <= most);
            for (size_t i = 0; i < n; i++)
                assert_true(poise_goal_excess(&goals[i], sum.mass_g, sum.moment_gmm) <
                            1e-6 * fabs(goals[i].limit) + 1e-3);
            assert_true(sum.mass_g >= lightest - 1e-3);
            assert_true(sum.mass_g <= lightest + POISE_CHOICE_MASS_G + 2e-3);
            double cheapest = try_all(&c, goals, n, most, true, lightest + POISE_CHOICE_MASS_G);
            check_near(sum.price, cheapest, 0.02);
        }
        poise_choices_clear(&c);
    }
    assert_true(found > 20 && none > 5); /* both kinds were met */
}

/* The margin, in mm, is a ratio of moment and mass: with none or all of the ballast each fixed
 * combination has its least. */
static double try_all_short(const PoiseChoices *c, const PoiseGoal *target)
{
    double best = INFINITY;
    for (size_t combination = 0; combination < 3 * 81; combination++) {
        PoisePick picks[GROUPS + 1];
        size_t rest = combination;
        for (size_t g = 0; g < GROUPS; g++, rest /= WAYS)
            picks[g] = (PoisePick){c->groups[g].first + rest % WAYS, 0};
        picks[GROUPS] = (PoisePick){c->groups[GROUPS].first + (rest > 0), rest == 2 ? 250 : 0};
        PoisePicked sum = poise_choices_sum(c, picks);
        best = fmin(best,
                    poise_goal_short(target, poise_goal_excess(target, sum.mass_g, sum.moment_gmm),
                                     sum.mass_g));
    }
    return best;
}

/* A margin far out of reach: a light instrument has less moment, and may be further from it. */
static void test_least_short_against_trying_all(void **state)
{
    (void)state;
    unsigned seed = 11;
    int different = 0;
    for (int round = 0; round < 20; round++) {
        PoiseChoices c = some_choices(&seed);
        PoiseGoal goals[POISE_MOST_GOALS];
        size_t n = goals_of(level(130, 290, 760), (double)NAN, 10000, goals);
        const PoiseGoal *margin = &goals[n - 1];
        PoisePick picks[GROUPS + 1];
        bool proved;
        double by;
        assert_int_equal(margin->kind, POISE_GOAL_MARGIN);
        assert_int_equal(
            poise_choices_short(&c, NULL, 0, margin, POISE_CHOOSE_ALL, picks, &by, &proved),
            POISE_OK);
        assert_true(proved);
        check_near(by, try_all_short(&c, margin), 2e-3);
        PoisePicked sum = poise_choices_sum(&c, picks);
        check_near(by, 10000 - (290 - sum.moment_gmm[0] / sum.mass_g), 1e-6);
        /* Least moment is another choice. */
        PoiseGoal moment = *margin;
        moment.kind = POISE_GOAL_MASS;
        assert_int_equal(
            poise_choices_least(&c, NULL, 0, &moment, POISE_CHOOSE_ALL, picks, &proved), POISE_OK);
        PoisePicked light = poise_choices_sum(&c, picks);
        different += light.mass_g < sum.mass_g - 1.0;
        poise_choices_clear(&c);
    }
    assert_true(different > 10);
}

/* Closed classes stay as they are. */
static void test_classes(void **state)
{
    (void)state;
    unsigned seed = 5;
    PoiseChoices c = some_choices(&seed);
    PoiseGoal goals[POISE_MOST_GOALS];
    size_t n = goals_of(level(130, 320, 760), 100, (double)NAN, goals);
    PoisePick picks[GROUPS + 1];
    bool proved;
    PoiseStatus status =
        poise_choices_solve(&c, goals, n, POISE_CHOOSE_BALLAST, SIZE_MAX, picks, &proved);
    if (!status)
        for (size_t g = 0; g < GROUPS; g++)
            assert_true(c.list[picks[g].choice].unchanged);
    /* What is least without any goal is the lightest of each group. */
    PoiseGoal mass = poise_goal_mass(0);
    assert_int_equal(poise_choices_least(&c, NULL, 0, &mass, POISE_CHOOSE_ALL, picks, &proved),
                     POISE_OK);
    for (size_t g = 0; g < GROUPS; g++)
        for (size_t w = 0; w < WAYS; w++)
            assert_true(c.list[picks[g].choice].fixed_g <= c.list[c.groups[g].first + w].fixed_g);
    poise_choices_clear(&c);
}

static bool fits_in(char *family, const char *a, const char *b)
{
    PoisePart x = {.id = (char *)(uintptr_t)a, .family = family},
              y = {.id = (char *)(uintptr_t)b, .family = family};
    return poise_part_fits(&x, &y);
}

static bool fits(const char *a, const char *b)
{
    return fits_in("tuners", a, b);
}

/* Ids name number and kind of what they are for; the rule that four in a line do not fit where two
 * and two go is common practice, no source. */
static void test_which_parts_fit(void **state)
{
    (void)state;
    assert_true(fits("tuners-4-inline-lightweight", "tuners-4-inline-diecast"));
    assert_true(fits("tuners-6-inline-locking", "tuners-6-inline-split-post"));
    assert_true(fits("pegs-4-ukulele-geared", "tuners-4-ukulele-side"));
    assert_true(fits("pot-16mm", "pot-24mm"));
    assert_false(fits("tuners-4-inline-diecast", "tuners-6-inline-diecast"));
    assert_false(fits("tuners-2-2-diecast", "tuners-4-inline-diecast"));
    assert_false(fits("tuners-4-ukulele-side", "tuners-4-inline-diecast"));
    assert_false(fits("pickup-bass-soapbar-4", "pickup-single-coil"));
    /* One strap post of a pair, whose other end of the strap then fits no more. */
    assert_true(fits_in("knobs", "knob-plastic", "knob-aluminium"));
    assert_false(fits_in("posts", "strap-post", "strap-post-flush"));
    assert_false(fits("jack-open", "battery-9v-alkaline"));
    PoisePart glue = {.id = (char *)(uintptr_t) "epoxy-joint",
                      .family = (char *)(uintptr_t) "adhesives"};
    assert_false(poise_part_fits(&glue, &glue));
}

static void test_infill_of_share(void **state)
{
    (void)state;
    for (double f = 0; f <= 1; f += 0.05)
        check_near(poise_infill_of_share(f), f,
                   1e-12); /* no allowance: the share is the fraction */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_handbook_ballast),
        cmocka_unit_test(test_handbook_weight_shift),
        cmocka_unit_test(test_agrees_with_the_statics),
        cmocka_unit_test(test_goals_say_what_the_statics_say),
        cmocka_unit_test(test_leg_goals),
        cmocka_unit_test(test_combination_against_trying_all),
        cmocka_unit_test(test_least_short_against_trying_all),
        cmocka_unit_test(test_classes),
        cmocka_unit_test(test_which_parts_fit),
        cmocka_unit_test(test_infill_of_share),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
