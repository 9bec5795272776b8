/* Strings: published unit masses and tensions, the wound model against a turn-by-turn count, the
 * rod. */
#include "check.h"

#include "bodies/item_body.h"
#include "bodies/string_model.h"

static const double PI = 3.14159265358979323846;
static const double MM_PER_IN = 25.4;
static const double N_PER_LBF = 4.4482216152605;

/* T = 4 L² f² μ of an ideal string (mm, Hz, g/m → N). */
static double tension_n(double length_mm, double hz, double g_per_m)
{
    double l = length_mm / 1000;
    return 4 * l * l * hz * hz * g_per_m / 1000;
}

static void plain_unit_masses(void **state)
{
    (void)state;
    /* A physics course's worked problem gives d = 0.010 in and ρ = 7.80 g/cm³; the values are
     * ρπd²/4 worked out by hand. */
    check_near(poise_plain_string_g_per_m(0.010 * MM_PER_IN, 7.80), 0.395232, 5e-7);
    check_near(poise_plain_string_g_per_m(0.010 * MM_PER_IN, 7.85), 0.397765, 5e-7);
    check_near(poise_plain_string_g_per_m(0.013 * MM_PER_IN, 7.85), 0.672223, 5e-7);
    check_near(poise_plain_string_g_per_m(0.017 * MM_PER_IN, 7.85), 1.149542, 5e-7);
}

static void plain_strings_give_published_tensions(void **state)
{
    (void)state;
    /* Two worked examples of piano wire from a technicians' mailing list archive (moypiano.com):
     * C64, 440·2^(15/12) Hz, 181 mm, 0.925 mm, 7.85 g/cm³: 170.2 lbf; and 0.020 in, 16 in, 440 Hz,
     * 0.283 lb/in³: "under 45.6 lb" (with g rounded to 32.2 ft/s²). */
    double unit = poise_plain_string_g_per_m(0.925, 7.85);
    check_near(tension_n(181, 440 * pow(2, 15 / 12.0), unit) / N_PER_LBF, 170.2, 0.05);
    unit = poise_plain_string_g_per_m(0.020 * MM_PER_IN, 0.283 * 27.679905);
    double rounded_g = 32.174 / 32.2;
    check_near(rounded_g * tension_n(16 * MM_PER_IN, 440, unit) / N_PER_LBF, 45.6, 0.05);
}

static void wound_model_counts_the_turns(void **state)
{
    (void)state;
    /* One metre of core 0.5 mm under wrap wire of 0.25 mm: 4000 turns, each the length of a circle
     * through the wire's middle. */
    double wrap_mm = 0.25, core_mm = 0.5, gauge = core_mm + 2 * wrap_mm;
    double turns = 1000 / wrap_mm;
    double wire_mm3 = turns * PI * (core_mm + wrap_mm) * PI * wrap_mm * wrap_mm / 4;
    double core_mm3 = 1000 * PI * core_mm * core_mm / 4;
    check_close(poise_wound_string_g_per_m(gauge, 0.5, 7.85, 8.9),
                core_mm3 * 7.85e-3 + wire_mm3 * 8.9e-3, 1e-12);
    /* All core is a plain string. */
    check_close(poise_wound_string_g_per_m(0.8, 1.0, 7.85, 8.9),
                poise_plain_string_g_per_m(0.8, 7.85), 1e-12);
}

static void wound_strings_pull_as_sets_are_rated(void **state)
{
    (void)state;
    /* Ratings of common nickel-plated steel wound strings at 25.5 in (from memory): 0.026 in at
     * D3 18.4 lbf, 0.036 in at A2 19.5 lbf, 0.046 in at E2 17.5 lbf. Wrap 7.95 g/cm³: steel with a
     * nickel plating. */
    static const struct {
        double gauge_in, hz, lbf;
    } rated[] = {{0.026, 146.832, 18.4}, {0.036, 110.0, 19.5}, {0.046, 82.4069, 17.5}};
    for (size_t i = 0; i < 3; i++) {
        double unit = poise_wound_string_g_per_m(rated[i].gauge_in * MM_PER_IN, POISE_STRING_CORE,
                                                 7.85, 7.95);
        /* Two standard uncertainties of the model. */
        check_close(tension_n(25.5 * MM_PER_IN, rated[i].hz, unit) / N_PER_LBF, rated[i].lbf,
                    2 * POISE_STRING_WOUND_U);
    }
}

typedef struct Bench {
    PoiseMaterial steel, nickel;
    PoiseString strings[2];
    PoiseItem item;
    PoiseInstrument instrument;
    PoiseItemBody body;
    bool placed;
    PoiseFaults *faults;
} Bench;

static void set_up(Bench *bench)
{
    *bench =
        (Bench){.steel = {.density_g_cm3 = {7.85, 0.05}}, .nickel = {.density_g_cm3 = {8.9, 0.1}}};
    bench->strings[0] = (PoiseString){.gauge_mm = {0.254, 0}, .unit_mass_g_per_m = NAN};
    bench->strings[1] =
        (PoiseString){.gauge_mm = {1.0, 0}, .wound = true, .unit_mass_g_per_m = 6.2};
    bench->item = (PoiseItem){.id = (char *)"set", .kind = POISE_ITEM_STRINGS, .count = 1};
    bench->item.as.strings = (PoiseStrings){.count = 2,
                                            .strings = bench->strings,
                                            .material = &bench->steel,
                                            .wrap = &bench->nickel,
                                            .beyond_nut_mm = 100,
                                            .beyond_saddle_mm = 50};
    bench->instrument = (PoiseInstrument){.file = (char *)"wren.json",
                                          .frame = {.head = {1, 0, 0}, .face = {0, 0, 1}},
                                          .has_scale = true,
                                          .nut_mm = {800, 3, 10},
                                          .saddle_mm = {150, 3, 10}};
    bench->faults = poise_faults_new();
    assert_non_null(bench->faults);
}

static PoiseStatus run(Bench *bench)
{
    bench->body = (PoiseItemBody){0};
    bench->placed = false;
    return poise_strings_body(&bench->instrument, &bench->item, NULL, &bench->body, &bench->placed,
                              bench->faults);
}

static void a_set_is_a_rod_from_post_to_anchor(void **state)
{
    (void)state;
    Bench bench;
    set_up(&bench);
    assert_int_equal(run(&bench), POISE_OK);
    assert_true(bench.placed);
    const PoiseBody *body = &bench.body.body;
    /* 0.397765 g/m (above) and 6.2 g/m as given, 650 + 100 + 50 mm long. */
    check_near(body->mass_g, 0.8 * (0.397765 + 6.2), 1e-6);
    check_near(body->centre_mm[0], (900 + 100) / 2.0, 1e-9);
    check_near(body->centre_mm[1], 3, 1e-12);
    check_near(body->centre_mm[2], 10, 1e-12);
    /* Thin rod: ml²/12 across, 0 along. */
    check_near(body->inertia_gmm2[0][0], 0, 1e-6);
    check_close(body->inertia_gmm2[1][1], body->mass_g * 800 * 800 / 12, 1e-12);
    check_close(body->inertia_gmm2[2][2], body->mass_g * 800 * 800 / 12, 1e-12);
    poise_faults_free(bench.faults);
}

static void a_slanted_line_keeps_its_rod(void **state)
{
    (void)state;
    /* The saddle 30 mm higher than the nut: the rod lies along the line through both. */
    Bench bench;
    set_up(&bench);
    bench.instrument.saddle_mm[2] = 40;
    bench.item.as.strings.beyond_nut_mm = bench.item.as.strings.beyond_saddle_mm = 0;
    assert_int_equal(run(&bench), POISE_OK);
    const PoiseBody *body = &bench.body.body;
    check_near(body->centre_mm[0], 475, 1e-9);
    check_near(body->centre_mm[2], 25, 1e-9);
    /* −∫xz dm of a rod along (650, 0, −30) is +m·650·30/12. */
    check_close(body->inertia_gmm2[0][2], body->mass_g * 650 * 30 / 12, 1e-9);
    check_close(body->inertia_gmm2[0][0], body->mass_g * 30 * 30 / 12, 1e-9);
    poise_faults_free(bench.faults);
}

static void at_moves_the_nut_end(void **state)
{
    (void)state;
    Bench bench;
    set_up(&bench);
    bench.item.has_at = true;
    assert_int_equal(run(&bench), POISE_OK);
    assert_false(bench.placed);
    check_near(bench.body.body.centre_mm[0], -300, 1e-9); /* from the nut: 100 … −700 */
    check_near(bench.body.body.centre_mm[2], 0, 1e-12);
    poise_faults_free(bench.faults);
}

static void doubt_comes_from_density_and_gauge(void **state)
{
    (void)state;
    Bench bench;
    set_up(&bench);
    assert_int_equal(run(&bench), POISE_OK);
    /* Only the plain string follows the density; the other's unit mass is given. */
    check_near(bench.body.doubt.density_u_g, 0.8 * 0.397765 * 0.05 / 7.85, 1e-8);
    check_near(bench.body.doubt.own_u_g, 0, 1e-15);
    bench.strings[0].gauge_mm.u = 0.254 * 0.01; /* 1 % of the gauge is 2 % of the mass */
    assert_int_equal(run(&bench), POISE_OK);
    check_near(bench.body.doubt.own_u_g, 0.8 * 0.397765 * 0.02, 1e-8);
    bench.strings[0].gauge_mm.u = 0;
    bench.strings[1].unit_mass_g_per_m = NAN;
    assert_int_equal(run(&bench), POISE_OK);
    /* The wound string, 1 mm: wrap of 8.9 ± 0.1 g/cm³ in π/4 of the annulus outside 0.4 mm, the
     * core anywhere from 0.3 to 0.5 mm, and the model's own share. */
    double annulus = PI / 4 * (1 - 0.4 * 0.4),
           unit = PI / 4 * 0.4 * 0.4 * 7.85 + PI / 4 * annulus * 8.9;
    check_close(bench.body.doubt.density_u_g,
                0.8 * (0.397765 + PI / 4 * 0.4 * 0.4 * 7.85) * 0.05 / 7.85, 1e-6);
    double wrap_u = PI / 4 * annulus * 0.1;
    double core_u = PI / 4 * (0.5 * 0.5 - 0.3 * 0.3) / 2 * fabs(7.85 - PI / 4 * 8.9);
    double want = sqrt(wrap_u * wrap_u + core_u * core_u + pow(POISE_STRING_WOUND_U * unit, 2));
    check_close(bench.body.doubt.own_u_g, 0.8 * want, 1e-9);
    poise_faults_free(bench.faults);
}

static void refuses_an_empty_set_and_a_missing_scale(void **state)
{
    (void)state;
    Bench bench;
    set_up(&bench);
    bench.item.as.strings.count = 0;
    assert_int_equal(run(&bench), POISE_E_INPUT);
    assert_string_equal(poise_faults_get(bench.faults, 0)->pointer, "/items/set/gauges");
    bench.item.as.strings.count = 2;
    bench.instrument.has_scale = false;
    assert_int_equal(run(&bench), POISE_E_INPUT);
    assert_string_equal(poise_faults_get(bench.faults, 1)->pointer, "/scale");
    poise_faults_free(bench.faults);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plain_unit_masses),
        cmocka_unit_test(plain_strings_give_published_tensions),
        cmocka_unit_test(wound_model_counts_the_turns),
        cmocka_unit_test(wound_strings_pull_as_sets_are_rated),
        cmocka_unit_test(a_set_is_a_rod_from_post_to_anchor),
        cmocka_unit_test(a_slanted_line_keeps_its_rod),
        cmocka_unit_test(at_moves_the_nut_end),
        cmocka_unit_test(doubt_comes_from_density_and_gauge),
        cmocka_unit_test(refuses_an_empty_set_and_a_missing_scale),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
