/* Random numbers, distributions and the sums of JCGM 100. Status of each value: "transcription" was
 * read in another project's copy that names the source, "from memory" recalled, "computed" worked
 * out from what stands beside it. */
#include "check.h"

#include "doubt/distribution.h"
#include "doubt/first_order.h"
#include "doubt/normal.h"
#include "doubt/random.h"
#include "doubt/samples.h"

/* Known answers distributed with the generator's reference code, philox4x32 with 10 rounds (from
 * memory). The third takes its input from the digits of π. */
static void test_philox(void **state)
{
    (void)state;
    static const struct {
        uint32_t counter[4], key[2], out[4];
    } known[] = {
        {{0, 0, 0, 0}, {0, 0}, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
        {{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff},
         {0xffffffff, 0xffffffff},
         {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}},
        {{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344},
         {0xa4093822, 0x299f31d0},
         {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}},
    };
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        uint32_t out[4];
        poise_philox(known[i].counter, known[i].key, out);
        assert_memory_equal(out, known[i].out, sizeof out);
    }
}

static void test_uniform(void **state)
{
    (void)state;
    double sum = 0, squares = 0, least = 1, most = 0, u[2];
    const int n = 50000;
    for (int i = 0; i < n; i++) {
        poise_uniform_pair(7, (uint64_t)i, 3, u);
        for (int k = 0; k < 2; k++) {
            sum += u[k];
            squares += u[k] * u[k];
            least = fmin(least, u[k]);
            most = fmax(most, u[k]);
        }
    }
    assert_true(least > 0 && most < 1);
    /* Mean 1/2 and mean square 1/3, within 5 standard deviations of the averages. */
    check_near(sum / (2 * n), 0.5, 5 * sqrt(1.0 / 12 / (2 * n)));
    check_near(squares / (2 * n), 1.0 / 3, 5 * sqrt(4.0 / 45 / (2 * n)));
    double other[2];
    poise_uniform_pair(8, 0, 3, u);
    poise_uniform_pair(7, 0, 3, other);
    assert_true(u[0] != other[0]);
}

/* Wichura's own checks of PPND16: p = 0.25, 0.001 and 10⁻²⁰ (from memory). */
static void test_normal_deviate(void **state)
{
    (void)state;
    check_close(poise_normal_deviate(0.25), -0.6744897501960817, 1e-15);
    check_close(poise_normal_deviate(0.001), -3.090232306167814, 1e-15);
    check_close(poise_normal_deviate(1e-20), -9.262340089798408, 1e-15);
    check_close(poise_normal_deviate(0.975), POISE_K_95, 1e-15);
    check_near(poise_normal_deviate(0.5), 0.0, 0.0);
    assert_true(isinf(poise_normal_deviate(1.0)) && poise_normal_deviate(0.0) < 0);
    assert_true(isnan(poise_normal_deviate(1.5)) && isnan(poise_normal_deviate(-0.1)));
    /* The error function of the C library is the inverse's inverse. */
    for (double z = -8; z <= 5; z += 0.37)
        check_near(poise_normal_deviate(poise_normal_below(z, 0, 1)), z, 2e-10);
    check_near(poise_normal_below(0, 0, 0), 0.0, 0.0);
    check_near(poise_normal_below(0, -1, 0), 1.0, 0.0);
}

/* Coverage factors of t, JCGM 100:2008 table G.2 (from memory, but for k(99 %, 16) = 2.92, seen in
 * a transcription): ν = 1 63.66, 5 4.03 at 99 %; 1 12.71, 10 2.23, 50 2.01 at 95 %. */
static void test_student(void **state)
{
    (void)state;
    check_near(poise_student_k(0.99, 16), 2.92, 0.005);
    check_near(poise_student_k(0.99, 1), 63.66, 0.005);
    check_near(poise_student_k(0.99, 5), 4.03, 0.005);
    check_near(poise_student_k(0.95, 1), 12.71, 0.005);
    check_near(poise_student_k(0.95, 10), 2.23, 0.005);
    check_near(poise_student_k(0.95, 50), 2.01, 0.005);
    /* One and two degrees of freedom have closed forms: tan(πp/2), and p√(2/(1 − p²)). */
    check_close(poise_student_k(0.9, 1), tan(0.45 * 3.14159265358979323846), 1e-9);
    check_close(poise_student_k(0.9, 2), 0.9 * sqrt(2 / (1 - 0.81)), 1e-9);
    check_close(poise_student_k(0.95, (double)INFINITY), POISE_K_95, 1e-12);
    check_close(poise_student_k(0.95, 1e7), POISE_K_95, 1e-6);
    assert_true(isnan(poise_student_k(0.95, 0)) && isnan(poise_student_k(1, 5)));
}

/* JCGM 100:2008, 4.3.7 and 4.3.9: a/√3, a/√6, a/√2 (transcription); and each distribution has the
 * mean and spread it says, by the midpoint rule over its inverse. */
static void test_distributions(void **state)
{
    (void)state;
    const PoiseDistributionKind kinds[] = {POISE_SPREAD_NORMAL, POISE_SPREAD_RECTANGULAR,
                                           POISE_SPREAD_TRIANGULAR, POISE_SPREAD_U_SHAPED};
    const double factors[] = {1, 1 / sqrt(3), 1 / sqrt(6), 1 / sqrt(2)};
    for (size_t k = 0; k < 4; k++) {
        PoiseDistribution d = {kinds[k], 5, 0.3};
        check_close(poise_distribution_u(&d), 0.3 * factors[k], 1e-15);
        double sum = 0, squares = 0;
        const int n = 20000;
        for (int i = 0; i < n; i++) {
            double x = poise_distribution_at(&d, (i + 0.5) / n) - 5;
            sum += x;
            squares += x * x;
        }
        check_near(sum / n, 0, 1e-9);
        check_close(sqrt(squares / n), 0.3 * factors[k], 1e-3);
    }
}

/* A normal distribution cut at its own mean is half a normal distribution: mean u√(2/π). */
static void test_cut_normal(void **state)
{
    (void)state;
    PoiseCutNormal half = poise_cut_normal(2, 0.5, 2), whole = poise_cut_normal(2, 0.5, -INFINITY);
    double sum = 0, least = 9;
    for (int i = 0; i < 20000; i++) {
        double x = poise_cut_normal_at(&half, (i + 0.5) / 20000);
        sum += x;
        least = fmin(least, x);
    }
    assert_true(least >= 2);
    check_near(sum / 20000, 2 + 0.5 * sqrt(2 / 3.14159265358979), 1e-4);
    check_near(poise_cut_normal_at(&whole, 0.975), 2 + 0.5 * POISE_K_95, 1e-12);
    PoiseCutNormal sharp = poise_cut_normal(2, 0, 3);
    check_near(poise_cut_normal_at(&sharp, 0.1), 2, 0);
}

/* --- JCGM 100:2008, H.1: an end gauge, nm and °C (transcriptions) --- */

enum { L_S, D, ALPHA_S, THETA, DELTA_ALPHA, DELTA_THETA, H1_INPUTS };

static void end_gauge(const double *x, double *y, const void *context)
{
    (void)context;
    y[0] = x[L_S] + x[D] - x[L_S] * (x[DELTA_ALPHA] * x[THETA] + x[ALPHA_S] * x[DELTA_THETA]);
}

static PoiseInput plain(double value, double u)
{
    return (PoiseInput){value, u, -(double)INFINITY, (double)INFINITY};
}

static void test_end_gauge(void **state)
{
    (void)state;
    /* u(d): the mean of five, and the comparator's random and systematic parts. */
    const double d_parts[3] = {5.8, 3.9, 6.7}, d_dof[3] = {24, 5, 8};
    double d_u = sqrt(5.8 * 5.8 + 3.9 * 3.9 + 6.7 * 6.7);
    double d_nu = poise_effective_dof(3, d_parts, d_dof);
    check_near(d_u, 9.7, 0.05);
    /* Printed from u(d) rounded to 9.7; unrounded 25.45. */
    check_near(d_nu * pow(9.7 / d_u, 4), 25.6, 0.05);

    const PoiseInput inputs[H1_INPUTS] = {[L_S] = plain(50000623, 25),
                                          [D] = plain(215, d_u),
                                          [ALPHA_S] = plain(11.5e-6, 2e-6 / sqrt(3)),
                                          [THETA] = plain(-0.1, 0.41),
                                          [DELTA_ALPHA] = plain(0, 1e-6 / sqrt(3)),
                                          [DELTA_THETA] = plain(0, 0.05 / sqrt(3))};
    const double dof[H1_INPUTS] = {[L_S] = 18,         [D] = d_nu,         [ALPHA_S] = INFINITY,
                                   [THETA] = INFINITY, [DELTA_ALPHA] = 50, [DELTA_THETA] = 2};
    double y, c[H1_INPUTS], covariance[H1_INPUTS][H1_INPUTS] = {{0}}, parts[H1_INPUTS];
    poise_sensitivities(end_gauge, NULL, H1_INPUTS, inputs, 1, &y, c);
    for (int i = 0; i < H1_INPUTS; i++) {
        covariance[i][i] = inputs[i].u * inputs[i].u;
        parts[i] = fabs(c[i]) * inputs[i].u;
    }
    check_near(y, 50000838, 0.5);
    check_near(parts[L_S], 25, 0.05);
    check_near(parts[D], 9.7, 0.05);
    check_near(parts[DELTA_ALPHA], 2.887, 0.005);
    check_near(parts[DELTA_THETA], 16.599, 0.005);
    check_near(parts[ALPHA_S], 0, 1e-6);
    check_near(parts[THETA], 0, 1e-6);
    double u_c = poise_combined_u(H1_INPUTS, c, &covariance[0][0]);
    check_near(u_c, 32, 0.5);
    check_near(u_c, 31.71, 0.05);
    double nu = poise_effective_dof(H1_INPUTS, parts, dof);
    check_near(nu, 16.7, 0.1);
    check_near(floor(nu), 16, 0);
    check_near(poise_student_k(0.99, floor(nu)), 2.92, 0.005);
    /* Printed from the rounded u_c: 2.92 · 32. */
    check_near(poise_student_k(0.99, floor(nu)) * round(u_c), 93, 0.5);
}

/* --- sums and products --- */

static void sum_of_two(const double *x, double *y, const void *context)
{
    (void)context;
    y[0] = x[0] + x[1];
    y[1] = x[0] * x[1];
}

/* JCGM 100:2008, 5.2.2: u = 1 and 1 add to 2 when fully correlated, 1.41421 when not
 * (transcription). Eq. 10 on a product, 3 ± 0.1 times 4 ± 0.2: √0.52 = 0.721110 (transcription). */
static void test_sums(void **state)
{
    (void)state;
    PoiseInput ones[2] = {plain(3, 1), plain(4, 1)}, product[2] = {plain(3, 0.1), plain(4, 0.2)};
    double y[2], c[2][2];
    poise_sensitivities(sum_of_two, NULL, 2, ones, 2, y, &c[0][0]);
    check_near(poise_combined_u(2, c[0], (double[]){1, 1, 1, 1}), 2, 1e-12);
    check_near(poise_combined_u(2, c[0], (double[]){1, 0, 0, 1}), 1.41421, 5e-6);
    check_near(poise_combined_u(2, c[0], (double[]){1, -1, -1, 1}), 0, 1e-7);
    poise_sensitivities(sum_of_two, NULL, 2, product, 2, y, &c[0][0]);
    check_near(y[1], 12, 0);
    check_near(poise_combined_u(2, c[1], (double[]){0.01, 0, 0, 0.04}), 0.721110, 5e-7);
}

/* 1/x for x > 0 only. */
static void inverse(const double *x, double *y, const void *context)
{
    (void)context;
    y[0] = x[0] > 0 ? 1 / x[0] : (double)NAN;
    y[1] = (double)NAN;
}

/* One-sided where the other side does not exist or is out of bounds; NAN where nothing can be told;
 * an input without doubt is no obstacle. */
static void test_edges_of_a_model(void **state)
{
    (void)state;
    PoiseInput x = plain(1, 2);
    double y[2], c[2];
    poise_sensitivities(inverse, NULL, 1, &x, 2, y, c);
    check_near(c[0], (1.0 / 3 - 1) / 2, 1e-15);
    assert_true(isnan(c[1]));
    assert_true(isnan(poise_combined_u(1, &c[1], (double[]){4})));
    x.least = 0.5;
    poise_sensitivities(inverse, NULL, 1, &x, 2, y, c);
    check_near(c[0], (1.0 / 3 - 2) / 2.5, 1e-15);
    x.u = 0;
    poise_sensitivities(inverse, NULL, 1, &x, 2, y, c);
    check_near(c[0], 0, 0);
    check_near(poise_combined_u(1, c, (double[]){0}), 0, 0);
    assert_true(isinf(poise_effective_dof(1, (double[]){2}, (double[]){INFINITY})));
}

/* --- samples --- */

/* Ranks by the sifting selection are those of sorting, with ties, atoms and gaps. */
static void test_ranked(void **state)
{
    (void)state;
    enum { N = 30000 };
    static double values[N], sorted[N], work[N];
    uint64_t at = 0;
    size_t finite = 0;
    for (int i = 0; i < N; i++) {
        double u[2];
        poise_uniform_pair(3, at++, 0, u);
        double z = poise_normal_deviate(u[0]);
        values[i] = u[1] < 0.4 ? 0 : u[1] < 0.5 ? (double)NAN : u[1] < 0.6 ? 1e9 * z : fmax(z, 0);
        if (!isnan(values[i]))
            sorted[finite++] = values[i];
    }
    PoiseTally tally = poise_tally_of(values, N);
    assert_int_equal(tally.count, finite);
    PoiseInterval all = poise_shortest_interval(sorted, finite, 1.0);
    check_near(all.lo, tally.least, 0);
    check_near(all.hi, tally.most, 0);
    for (size_t rank = 1; rank <= finite; rank += 997)
        check_near(poise_ranked(values, N, &tally, rank, work), sorted[rank - 1], 0);
    check_near(poise_ranked(values, N, &tally, finite, work), sorted[finite - 1], 0);
    for (int i = 0; i < N; i++)
        values[i] = 3;
    tally = poise_tally_of(values, N);
    check_near(poise_ranked(values, N, &tally, 5, work), 3, 0);
    check_near(poise_tally_u(&tally), 0, 0);
}

/* Tallies joined are the tally of all; JCGM 101:2008, 7.7.2 with M = 100 and p = 0.95: q = 95, r =
 * (100 − 95 + 1)/2 = 3, the interval from value 3 to value 98 (from memory of the rule). */
static void test_tallies(void **state)
{
    (void)state;
    double values[100];
    for (int i = 0; i < 100; i++)
        values[i] = 1e6 + (i * 37 % 100);
    PoiseTally whole = poise_tally_of(values, 100), a = poise_tally_of(values, 31),
               b = poise_tally_of(values + 31, 69), both = poise_tally_join(&a, &b);
    check_near(both.mean, whole.mean, 1e-9);
    check_close(both.squares, whole.squares, 1e-10);
    /* 0 … 99: mean 49.5, variance 100·101/12. */
    check_near(whole.mean, 1e6 + 49.5, 1e-9);
    check_close(poise_tally_u(&whole), sqrt(100.0 * 101 / 12), 1e-10);
    PoiseSampled s;
    assert_int_equal(poise_sampled(values, 100, &whole, &s), POISE_OK);
    check_near(s.interval_95.lo, 1e6 + 2, 0);
    check_near(s.interval_95.hi, 1e6 + 97, 0);
    whole = poise_tally_of((double[]){NAN, 4}, 2);
    assert_int_equal(poise_sampled(values, 1, &whole, &s), POISE_OK);
    assert_true(s.count == 1 && isnan(s.u) && isnan(s.interval_95.hi));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_philox),           cmocka_unit_test(test_uniform),
        cmocka_unit_test(test_normal_deviate),   cmocka_unit_test(test_student),
        cmocka_unit_test(test_distributions),    cmocka_unit_test(test_cut_normal),
        cmocka_unit_test(test_end_gauge),        cmocka_unit_test(test_sums),
        cmocka_unit_test(test_edges_of_a_model), cmocka_unit_test(test_ranked),
        cmocka_unit_test(test_tallies),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
