/* What weighed items teach: against closed forms of least squares, against fitting anew, and by
 * coverage over prints whose flow and density are known because they were made up here. */
#include "check.h"

#include <stdlib.h>

#include "doubt/normal.h"
#include "doubt/random.h"
#include "tally/fit.h"

/* Flow ± 2 %, density ± 1.2 %, ± 1.5 % of its own, on a scale of ± 1 g. */
static const double FLOW = 0.02, DENSITY = 0.012, OWN = 0.015, SCALE_G = 1;

static PoiseFitItem section(double predicted_g)
{
    return (PoiseFitItem){.predicted_g = predicted_g,
                          .flow_share = FLOW,
                          .density_share = DENSITY,
                          .material = 0,
                          .own_u_g = OWN * predicted_g};
}

static PoiseFitItem weighed(PoiseFitItem item, double mass_g)
{
    item.weighed = true;
    item.weighed_g = mass_g;
    item.scale_u_g = SCALE_G;
    return item;
}

static PoiseFit fit_of(const PoiseFitItem *items, size_t n, size_t materials)
{
    PoiseFit fit;
    assert_int_equal(poise_fit(items, n, materials, &fit), POISE_OK);
    return fit;
}

static PoiseFitMass total_of(const PoiseFit *fit, const PoiseFitItem *items, size_t n)
{
    PoiseFitMass total;
    assert_int_equal(poise_fit_total(fit, items, n, &total), POISE_OK);
    return total;
}

static double noise2(double weighed_g)
{
    return OWN * OWN + SCALE_G * SCALE_G / (weighed_g * weighed_g);
}

/* Of readings of one plastic only λ = φ + δ is told. With prior N(0, s²), s² = a² + b², and
 * readings y_i ± r_i, 1/var = 1/s² + Σ 1/r_i², mean = var Σ y_i/r_i² (the weighted mean with a
 * prior, any text on least squares). What λ gains is shared out by a² : b², and what splits it
 * stays as it was: var(φ) = a² − a⁴ (s² − var)/s⁴, cov(φ, δ) = −a² b² (s² − var)/s⁴. */
static void one_plastic_is_a_weighted_mean(void **state)
{
    (void)state;
    const PoiseFitItem items[] = {weighed(section(300), 288), weighed(section(180), 176)};
    PoiseFit fit = fit_of(items, 2, 1);
    double a2 = FLOW * FLOW, b2 = DENSITY * DENSITY, s2 = a2 + b2;
    double r1 = noise2(288), r2 = noise2(176);
    double var = 1 / (1 / s2 + 1 / r1 + 1 / r2);
    double mean = var * (log(288.0 / 300) / r1 + log(176.0 / 180) / r2);
    double value, variance;
    poise_fit_combine(&fit, FLOW, DENSITY, 0, &value, &variance);
    check_close(value, mean, 1e-12);
    check_close(variance, var, 1e-12);
    poise_fit_combine(&fit, FLOW, 0, POISE_FIT_NONE, &value, &variance);
    check_close(value, mean * a2 / s2, 1e-12);
    double vf = a2 - a2 * a2 * (s2 - var) / (s2 * s2);
    check_close(variance, vf, 1e-12);
    poise_fit_combine(&fit, 0, DENSITY, 0, &value, &variance);
    check_close(value, mean * b2 / s2, 1e-12);
    double vd = b2 - b2 * b2 * (s2 - var) / (s2 * s2);
    check_close(variance, vd, 1e-12);
    check_close(poise_fit_correlation(&fit, 0, 1),
                -a2 * b2 * (s2 - var) / (s2 * s2) / sqrt(vf * vd), 1e-9);
    poise_fit_free(&fit);
}

/* No reading: the priors, and the estimates as they were. */
static void nothing_weighed_changes_nothing(void **state)
{
    (void)state;
    const PoiseFitItem items[] = {section(300),
                                  {.predicted_g = 50, .own_u_g = 3, .material = POISE_FIT_NONE}};
    PoiseFit fit = fit_of(items, 2, 1);
    assert_true(isnan(fit.p_value));
    PoiseFitMass m = poise_fit_mass(&fit, &items[0]);
    check_near(m.mass_g, 300, 0);
    check_close(m.u_g, 300 * sqrt(FLOW * FLOW + DENSITY * DENSITY + OWN * OWN), 1e-14);
    PoiseFitMass total = total_of(&fit, items, 2);
    check_near(total.mass_g, 350, 1e-12);
    check_close(total.u_g, hypot(m.u_g, 3), 1e-14);
    poise_fit_free(&fit);
}

/* Leaving a reading out by formula is the same as a fit without it. */
static void leaving_out_is_fitting_anew(void **state)
{
    (void)state;
    PoiseFitItem items[] = {weighed(section(300), 288), weighed(section(180), 179),
                            weighed(section(240), 231), section(410)};
    PoiseFit all = fit_of(items, 4, 1);
    PoiseFitMass by_formula = poise_fit_left_out(&all, &items[1]);
    items[1].weighed = false;
    PoiseFit rest = fit_of(items, 4, 1);
    PoiseFitMass anew = poise_fit_mass(&rest, &items[1]);
    check_close(by_formula.mass_g, anew.mass_g, 1e-12);
    check_close(by_formula.u_g, anew.u_g, 1e-12);
    poise_fit_free(&all);
    poise_fit_free(&rest);
}

/* What a weighing would bring is what it brings when the scale says what was expected. */
static void the_next_weighing_brings_what_was_promised(void **state)
{
    (void)state;
    PoiseFitItem items[] = {weighed(section(300), 288), section(410), section(180)};
    PoiseFit before = fit_of(items, 3, 1);
    double promised, now = total_of(&before, items, 3).u_g;
    assert_int_equal(poise_fit_total_u_after(&before, items, 3, 1, SCALE_G, &promised), POISE_OK);
    items[1] = weighed(items[1], poise_fit_mass(&before, &items[1]).mass_g);
    PoiseFit after = fit_of(items, 3, 1);
    /* The promise leaves out one covariance of the scale's error: 1 g² beside 30 g². */
    check_close(total_of(&after, items, 3).u_g, promised, 0.03);
    assert_true(promised < 0.5 * now);
    poise_fit_free(&before);
    poise_fit_free(&after);
}

/* Six sections of a plastic; weighing two narrows each of the other four, and their sum even more,
 * since what they have in common is what was weighed. */
static void two_weighed_narrow_the_other_four(void **state)
{
    (void)state;
    PoiseFitItem items[] = {section(340), section(450), section(190),
                            section(185), section(250), section(140)};
    PoiseFit before = fit_of(items, 6, 1);
    double whole = total_of(&before, items, 6).u_g;
    items[0] = weighed(items[0], 333);
    items[2] = weighed(items[2], 186);
    PoiseFit after = fit_of(items, 6, 1);
    double four = sqrt(pow(total_of(&after, items, 6).u_g, 2) - 2 * SCALE_G * SCALE_G);
    for (size_t i = 0; i < 6; i++)
        if (!items[i].weighed)
            assert_true(poise_fit_mass(&after, &items[i]).u_g <
                        0.85 * poise_fit_mass(&before, &items[i]).u_g);
    /* The four are 1025 of 1555 g: their share of the doubt as estimated was about that. */
    assert_true(four < 0.6 * whole * 1025 / 1555);
    poise_fit_free(&before);
    poise_fit_free(&after);
}

/* A solid piece of the plastic has no flow in it: with one weighed, flow and density come apart. */
static void a_solid_piece_tells_flow_from_density(void **state)
{
    (void)state;
    PoiseFitItem block = {.predicted_g = 100,
                          .density_share = DENSITY,
                          .material = 0,
                          .own_u_g = 0.2,
                          .weighed = true,
                          .weighed_g = 101,
                          .scale_u_g = 0.1};
    /* True density +1 %, flow 0.95: nine prints without scatter. */
    PoiseFitItem items[10];
    for (size_t i = 0; i < 9; i++)
        items[i] = weighed(section(200), 200 * 1.01 * 0.95);
    items[9] = block;
    PoiseFit fit = fit_of(items, 10, 1);
    double value, variance;
    poise_fit_combine(&fit, 0, DENSITY, 0, &value, &variance);
    check_near(exp(value), 1.01, 2 * sqrt(variance));
    assert_true(sqrt(variance) < 0.003);
    poise_fit_combine(&fit, FLOW, 0, POISE_FIT_NONE, &value, &variance);
    check_near(exp(value), 0.95, 2 * sqrt(variance));
    assert_true(sqrt(variance) < 0.007);
    poise_fit_free(&fit);
}

/* A standard normal number for draw `draw` of trial `trial`. */
static double normal(uint64_t trial, uint32_t draw)
{
    double u[2];
    poise_uniform_pair(20240607, trial, draw, u);
    return poise_normal_deviate(u[0]);
}

/* Is the truth inside ± 1.96 u? */
static int inside(double value, double u, double truth)
{
    return fabs(value - truth) <= POISE_K_95 * u;
}

static void covered(int hits, int trials, const char *what)
{
    /* 95 % of 1000 scatters by √(0.95 · 0.05/1000) = 0.7 %. */
    if (hits < 0.93 * trials || hits > 0.97 * trials)
        fail_msg("%s: the 95 %% interval covers the truth in %d of %d", what, hits, trials);
}

/* 1000 makers: each printer's flow and spool's density drawn from the file's ±, every section with
 * a scatter of its own, two of six weighed. The 95 % intervals of flow, density, their product, an
 * unprinted section and the whole cover the truth in 93 to 97 % of cases. */
static void intervals_cover_the_truth(void **state)
{
    (void)state;
    enum { MAKERS = 1000 };
    static const double predicted[6] = {340, 450, 190, 185, 250, 140};
    int flow = 0, density = 0, product = 0, unprinted = 0, whole = 0;
    for (uint64_t k = 0; k < MAKERS; k++) {
        double zf = normal(k, 0), zd = normal(k, 1), truth[6], all = 0;
        PoiseFitItem items[6];
        for (uint32_t i = 0; i < 6; i++) {
            truth[i] = predicted[i] * exp(FLOW * zf + DENSITY * zd) * (1 + OWN * normal(k, 2 + i));
            items[i] = section(predicted[i]);
            if (i == 0 || i == 2)
                items[i] = weighed(items[i], truth[i] + SCALE_G * normal(k, 10 + i));
            all += truth[i];
        }
        PoiseFit fit = fit_of(items, 6, 1);
        double value, variance;
        poise_fit_combine(&fit, FLOW, 0, POISE_FIT_NONE, &value, &variance);
        flow += inside(value, sqrt(variance), FLOW * zf);
        poise_fit_combine(&fit, 0, DENSITY, 0, &value, &variance);
        density += inside(value, sqrt(variance), DENSITY * zd);
        poise_fit_combine(&fit, FLOW, DENSITY, 0, &value, &variance);
        product += inside(value, sqrt(variance), FLOW * zf + DENSITY * zd);
        PoiseFitMass m = poise_fit_mass(&fit, &items[1]);
        unprinted += inside(m.mass_g, m.u_g, truth[1]);
        PoiseFitMass total = total_of(&fit, items, 6);
        whole += inside(total.mass_g, total.u_g, all);
        poise_fit_free(&fit);
    }
    covered(flow, MAKERS, "flow");
    covered(density, MAKERS, "density");
    covered(product, MAKERS, "product");
    covered(unprinted, MAKERS, "an unprinted section");
    covered(whole, MAKERS, "the whole");
}

/* χ² and the critical values of any handbook's table: 3.841 (5 %, 1), 11.070 (5 %, 5), 23.209 (1 %,
 * 10), 124.342 (5 %, 100); NIST/SEMATECH e-Handbook 1.3.6.7.4, from memory. With two degrees of
 * freedom the tail is exp(−χ²/2). */
static void chi_square_tails_are_those_of_the_table(void **state)
{
    (void)state;
    check_near(poise_chi2_above(3.841, 1), 0.05, 2e-5);
    check_near(poise_chi2_above(11.070, 5), 0.05, 2e-5);
    check_near(poise_chi2_above(23.209, 10), 0.01, 2e-6);
    check_near(poise_chi2_above(124.342, 100), 0.05, 2e-5);
    check_close(poise_chi2_above(0.3, 2), exp(-0.15), 1e-13);
    check_close(poise_chi2_above(30, 2), exp(-15), 1e-12);
    check_near(poise_chi2_above(0, 3), 1, 0);
}

/* The fit's χ² of a single reading is its z² (y²/(s² + r²)). */
static void chi_square_of_one_reading(void **state)
{
    (void)state;
    const PoiseFitItem item = weighed(section(300), 280);
    PoiseFit fit = fit_of(&item, 1, 1);
    double y = log(280.0 / 300);
    check_close(fit.chi2, y * y / (FLOW * FLOW + DENSITY * DENSITY + noise2(280)), 1e-12);
    poise_fit_free(&fit);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_plastic_is_a_weighted_mean),
        cmocka_unit_test(nothing_weighed_changes_nothing),
        cmocka_unit_test(leaving_out_is_fitting_anew),
        cmocka_unit_test(the_next_weighing_brings_what_was_promised),
        cmocka_unit_test(two_weighed_narrow_the_other_four),
        cmocka_unit_test(a_solid_piece_tells_flow_from_density),
        cmocka_unit_test(intervals_cover_the_truth),
        cmocka_unit_test(chi_square_tails_are_those_of_the_table),
        cmocka_unit_test(chi_square_of_one_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
