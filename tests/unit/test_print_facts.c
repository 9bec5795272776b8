/* Filament, hours, spools; rectangles in rectangles. */
#include "check.h"

#include "base/vec.h"
#include "bodies/print_facts.h"

static PoisePrinter printer(void)
{
    return (PoisePrinter){.bed_mm = {220, 220, 250},
                          .flow_mm3_s = {10, 0},
                          .layer_seconds = 8,
                          .spool_g = 1000,
                          .price = 20,
                          .filament_mm = 1.75};
}

static PoisePrintJob job(void)
{
    return (PoisePrintJob){.body_g = 1000,
                           .density_g_cm3 = 1.24,
                           .layers = 225,
                           .size_mm = {100, 80, 45},
                           .up = {0, 0, 1}};
}

static void a_spool_holds_its_length(void **state)
{
    (void)state;
    /* Common practice, no source: 1 kg of PLA at 1.24 g/cm³ and 1.75 mm is sold as about 335 m
     * (2.85 mm: about 126 m). */
    PoisePrintJob work = job();
    PoisePrinter with = printer();
    PoisePrintFacts facts;
    poise_print_facts(&work, &with, &facts);
    check_near(facts.filament_g, 1000, 1e-9);
    check_near(facts.filament_m, 335, 1);
    with.filament_mm = 2.85;
    poise_print_facts(&work, &with, &facts);
    check_near(facts.filament_m, 126, 1);
    check_near(facts.spools, 1, 1e-12);
    check_near(facts.price, 20, 1e-12);
}

static void hours_are_flow_and_layers(void **state)
{
    (void)state;
    /* 1240 g of 1.24 g/cm³ is 10⁶ mm³: 10⁵ s at 10 mm³/s, and 450 layers of 8 s are one hour. */
    PoisePrintJob work = job();
    PoisePrinter with = printer();
    work.body_g = 1240;
    work.layers = 450;
    PoisePrintFacts facts;
    poise_print_facts(&work, &with, &facts);
    check_close(facts.hours, 1e5 / 3600 + 1, 1e-12);
}

static void waste_and_supports_cost_but_do_not_weigh(void **state)
{
    (void)state;
    PoisePrintJob work = job();
    PoisePrinter with = printer();
    work.waste = 0.05;
    work.support_g = 70;
    PoisePrintFacts facts;
    poise_print_facts(&work, &with, &facts);
    check_near(facts.filament_g, 1000 * 1.05 + 70, 1e-9);
    check_near(facts.spools, 1.12, 1e-12);
    check_near(facts.price, 22.4, 1e-9);
}

static void missing_values_are_not_made_up(void **state)
{
    (void)state;
    PoisePrintJob work = job();
    PoisePrinter with = {.layer_seconds = NAN, .price = NAN};
    PoisePrintFacts facts;
    poise_print_facts(&work, &with, &facts);
    assert_true(isnan(facts.spools) && isnan(facts.price));
    assert_false(facts.bed_known || facts.fits_bed);
    check_near(facts.size_mm[0], 100, 0);
    check_near(facts.size_mm[2], 45, 0);
    /* What a printer commonly does stands in for the printer's own speed. */
    check_close(facts.hours,
                (1e6 / 1.24 / POISE_PRINT_FLOW_MM3_S + 225 * POISE_PRINT_LAYER_SECONDS) / 3600,
                1e-12);
    with.spool_g = 1000;
    poise_print_facts(&work, &with, &facts);
    check_near(facts.spools, 1, 1e-12);
    assert_true(isnan(facts.price));
}

static void a_part_that_fits_is_left_as_it_stands(void **state)
{
    (void)state;
    const double up[3] = {0, 0, 1}, bed[3] = {220, 180, 250};
    PoiseBedFit fit = poise_bed_fit((double[3]){220, 180, 250}, up, bed);
    assert_true(fit.fits);
    check_near(fit.turn_deg, 0, 0);
    fit = poise_bed_fit((double[3]){170, 210, 40}, up, bed);
    assert_true(fit.fits);
    check_near(fit.turn_deg, 90, 0);
    check_near(fit.size_mm[0], 210, 1e-12);
    check_near(fit.size_mm[1], 170, 1e-12);
    fit = poise_bed_fit((double[3]){170, 210, 251.5}, up, bed);
    assert_false(fit.fits);
    check_near(fit.over_mm[2], 1.5, 1e-12);
    check_near(fit.over_mm[0] + fit.over_mm[1], 0, 0);
}

static void a_long_part_lies_on_the_diagonal(void **state)
{
    (void)state;
    /* 280 × 20 on a square of 220: at 45° both extents are (280 + 20)/√2 = 212.13. 300 × 20 is over
     * by 320/√2 − 220 = 6.274 both ways. */
    const double up[3] = {0, 0, 1}, bed[3] = {220, 220, 250};
    PoiseBedFit fit = poise_bed_fit((double[3]){280, 20, 45}, up, bed);
    assert_true(fit.fits);
    check_near(fit.size_mm[0], 300 / sqrt(2), 1e-9);
    check_near(fit.size_mm[1], 300 / sqrt(2), 1e-9);
    check_near(fmod(fit.turn_deg, 90), 45, 1e-9);
    fit = poise_bed_fit((double[3]){300, 20, 45}, up, bed);
    assert_false(fit.fits);
    check_near(fit.over_mm[0], 320 / sqrt(2) - 220, 1e-9);
    check_near(fit.over_mm[1], 320 / sqrt(2) - 220, 1e-9);
}

/* A part that does not fit is told as it lies best, each excess with its direction. */
static void what_is_too_large_is_told(void **state)
{
    (void)state;
    static const struct {
        double over[3], turn;
        const char *text;
    } want[] = {{{0, 0, 0}, 0, ""},
                {{120, 0, 0}, 0, "120.0 mm too long"},
                {{0, 10, 30}, 90, "10.0 mm too long; 30.0 mm too high"},
                {{0, 0, 1.5}, 90, "1.5 mm too high"},
                {{53.6, 53.6, 0},
                 45,
                 "53.6 mm too large one way and 53.6 mm the other, even turned by 45° on the bed"},
                {{3, 2, 1}, 0, "3.0 mm too large one way and 2.0 mm the other; 1.0 mm too high"}};
    for (size_t i = 0; i < sizeof want / sizeof *want; i++) {
        PoisePrintFacts facts = {.bed_known = true, .turn_deg = want[i].turn};
        memcpy(facts.over_mm, want[i].over, sizeof facts.over_mm);
        PoiseText text = {0};
        poise_text_append(&text, "");
        poise_bed_words(&facts, &text);
        assert_string_equal(text.data ? text.data : "", want[i].text);
        poise_text_clear(&text);
    }
}

/* Whether a p × q rectangle (p ≥ q) lies in an a × b one (a ≥ b), and by how much b has to spare: p
 * ≤ a and q ≤ b, or p > a and b ≥ (2pqa + (p² − q²)√(p² + q² − a²))/(p² + q²). W. B. Carver, Amer.
 * Math. Monthly 64 (1957), 114–116; J. E. Wetzel, "Rectangles in rectangles", Math. Magazine 73
 * (2000) (from memory). */
static double carver_slack(double p, double q, double a, double b)
{
    if (p <= a)
        return b - q;
    double squares = p * p + q * q;
    return fmin(b - q, b - (2 * p * q * a + (p * p - q * q) * sqrt(squares - a * a)) / squares);
}

static void rectangles_in_rectangles_as_carver_has_it(void **state)
{
    (void)state;
    const double up[3] = {0, 0, 1};
    int fitting = 0, tried = 0;
    for (double p = 150; p <= 330; p += 7.3)
        for (double q = 5; q <= p; q += 11.1)
            for (double b = 150; b <= 220; b += 23) {
                double slack = carver_slack(p, q, 220, b);
                if (fabs(slack) < 0.001)
                    continue;
                const double bed[3] = {220, b, 0}, turned_bed[3] = {b, 220, 0};
                bool fits = poise_bed_fit((double[3]){p, q, 30}, up, bed).fits;
                if (fits != (slack > 0))
                    print_error("%g x %g on 220 x %g: slack %g\n", p, q, b, slack);
                assert_true(fits == (slack > 0));
                assert_true(poise_bed_fit((double[3]){p, q, 30}, up, turned_bed).fits == fits);
                fitting += fits;
                tried++;
            }
    assert_true(tried > 1000 && fitting > 200 && fitting < tried - 200);
}

static void the_best_turn_is_no_worse_than_any_tried(void **state)
{
    (void)state;
    /* A tilted box: the shadow is a hexagon. Its corners, turned by every tenth of a degree. */
    const double size[3] = {230, 90, 160}, up[3] = {0.3, -0.2, 0.9}, bed[3] = {200, 150, 0};
    PoiseBedFit fit = poise_bed_fit(size, up, bed);
    double z[3], x[3] = {1, 0, 0}, y[3], length = poise_length(up), best = INFINITY;
    for (int i = 0; i < 3; i++)
        z[i] = up[i] / length;
    for (int i = 0; i < 3; i++)
        x[i] -= z[0] * z[i];
    length = poise_length(x);
    for (int i = 0; i < 3; i++)
        x[i] /= length;
    poise_cross(z, x, y);
    double height_lo = INFINITY, height_hi = -INFINITY;
    for (int tenth = 0; tenth < 1800; tenth++) {
        double s, c, lo[2] = {INFINITY, INFINITY}, hi[2] = {-INFINITY, -INFINITY};
        poise_sincos_deg(tenth / 10.0, &s, &c);
        for (int k = 0; k < 8; k++) {
            double corner[3];
            for (int i = 0; i < 3; i++)
                corner[i] = (k >> i) & 1 ? size[i] : 0;
            double u = poise_dot(corner, x), v = poise_dot(corner, y),
                   at[2] = {c * u - s * v, s * u + c * v};
            for (int i = 0; i < 2; i++) {
                lo[i] = fmin(lo[i], at[i]);
                hi[i] = fmax(hi[i], at[i]);
            }
            height_lo = fmin(height_lo, poise_dot(corner, z));
            height_hi = fmax(height_hi, poise_dot(corner, z));
        }
        best = fmin(best, fmax(hi[0] - lo[0] - bed[0], hi[1] - lo[1] - bed[1]));
    }
    double ours = fmax(fit.size_mm[0] - bed[0], fit.size_mm[1] - bed[1]);
    assert_true(ours <= best + 1e-9);
    /* A tenth of a degree moves a corner 300 mm away by half a millimetre. */
    check_near(ours, best, 0.5);
    check_near(fit.size_mm[2], height_hi - height_lo, 1e-9);
}

static void up_along_another_axis_lays_the_part_over(void **state)
{
    (void)state;
    const double bed[3] = {220, 220, 250}, size[3] = {240, 100, 45};
    PoiseBedFit fit = poise_bed_fit(size, (double[3]){-2, 0, 0}, bed);
    assert_true(fit.fits);
    check_near(fit.size_mm[0], 100, 1e-12);
    check_near(fit.size_mm[1], 45, 1e-12);
    check_near(fit.size_mm[2], 240, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_spool_holds_its_length),
        cmocka_unit_test(hours_are_flow_and_layers),
        cmocka_unit_test(waste_and_supports_cost_but_do_not_weigh),
        cmocka_unit_test(missing_values_are_not_made_up),
        cmocka_unit_test(a_part_that_fits_is_left_as_it_stands),
        cmocka_unit_test(a_long_part_lies_on_the_diagonal),
        cmocka_unit_test(what_is_too_large_is_told),
        cmocka_unit_test(rectangles_in_rectangles_as_carver_has_it),
        cmocka_unit_test(the_best_turn_is_no_worse_than_any_tried),
        cmocka_unit_test(up_along_another_axis_lays_the_part_over),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
