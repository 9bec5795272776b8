/* The linear model of an instrument against weighing it, and against sums done by hand. */
#include "sweep_help.h"

#include "bodies/printed_fill.h"
#include "decide/linear.h"
#include "poise/weigh.h"

typedef struct Fixture {
    PoiseInstrument *in;
    PoiseWeighing *w;
    PoiseLinear *l;
} Fixture;

static Fixture weigh_sedge(void)
{
    Fixture f = {0};
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_instrument_read(sweep_file(), NULL, NULL, &f.in, faults);
    if (!status)
        status = poise_weigh(f.in, NULL, &f.w, faults);
    if (!status)
        status = poise_linear_new(f.in, f.w, &f.l, faults);
    print_faults(faults);
    poise_faults_free(faults);
    assert_int_equal(status, POISE_OK);
    return f;
}

static void drop(Fixture *f)
{
    poise_linear_free(f->l);
    poise_weighing_free(f->w);
    poise_instrument_free(f->in);
}

static PoiseLinearSetting *setting(Fixture *f, const char *id)
{
    for (size_t i = 0; i < f->l->item_count; i++)
        if (strcmp(f->l->items[i].id, id) == 0)
            return &f->l->items[i].setting;
    fail();
    return NULL;
}

static void test_each_item_and_the_total(void **state)
{
    (void)state;
    Fixture f = weigh_sedge();
    for (size_t i = 0; i < f.l->item_count; i++) {
        PoiseLinearSum sum = poise_linear_sum(&f.l->items[i].setting, f.l->origin_mm);
        const PoiseItemResult *r = &f.w->items[i];
        check_close(sum.mass_g, r->body.mass_g, 1e-12);
        for (int k = 0; k < 3; k++)
            check_near(sum.moment_gmm[k] / sum.mass_g + f.l->origin_mm[k], r->body.centre_mm[k],
                       1e-9);
        if (!isnan(r->filament_g)) {
            check_close(sum.filament_g, r->filament_g, 1e-12);
            check_close(sum.hours, r->filament_h, 1e-12);
        }
        if (!isnan(r->price))
            check_close(sum.price, r->price, 1e-12);
        check_near(sum.priced, isnan(r->price) ? 0.0 : 1.0, 0.0);
    }
    PoiseLinearSum total = poise_linear_total(f.l);
    check_close(total.mass_g, f.w->total.mass_g, 1e-12);
    for (int k = 0; k < 3; k++) /* about the centre of mass there is no moment */
        check_near(total.moment_gmm[k] / total.mass_g, 0.0, 1e-9);
    drop(&f);
}

/* By definition: a mass of 60 g at (-60, -30, -20), two of them, turned about its own origin (which
 * moves nothing). */
static void test_a_mass_by_hand(void **state)
{
    (void)state;
    Fixture f = weigh_sedge();
    PoiseLinearSetting *lead = setting(&f, "lead");
    const double origin[3] = {100, 0, 0};
    lead->piece_g = 60;
    lead->count = 2;
    lead->turn_deg[2] = 90;
    PoiseLinearSum sum = poise_linear_sum(lead, origin);
    check_near(sum.mass_g, 120, 1e-12);
    check_near(sum.moment_gmm[0], 120 * (-60.0 - 100.0), 1e-9);
    check_near(sum.moment_gmm[1], 120 * -30.0, 1e-9);
    check_near(sum.moment_gmm[2], 120 * -20.0, 1e-9);
    lead->measured_g = 115; /* the scale has the last word on the mass, not on the place */
    sum = poise_linear_sum(lead, origin);
    check_near(sum.mass_g, 115, 1e-12);
    check_near(sum.moment_gmm[0], 115 * (-60.0 - 100.0), 1e-9);
    drop(&f);
}

static void test_printed_is_linear_in_the_share(void **state)
{
    (void)state;
    Fixture f = weigh_sedge();
    PoiseLinearSetting wing = *setting(&f, "wing");
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++)
        for (int percent = 0; percent <= 100; percent += 20) {
            PoiseLinearPrinted p;
            wing.perimeters = n;
            wing.infill = percent / 100.0;
            assert_true(poise_linear_printed(&wing, n, f.l->origin_mm, &p));
            PoiseLinearSum sum = poise_linear_sum(&wing, f.l->origin_mm);
            double share = poise_infill_share(wing.infill);
            check_close(p.fixed_g + share * p.infill_g, sum.mass_g, 1e-12);
            for (int k = 0; k < 3; k++)
                check_near(p.fixed_gmm[k] + share * p.infill_gmm[k], sum.moment_gmm[k],
                           1e-9 * sum.mass_g);
        }
    /* Full infill is solid, whatever the walls: two pieces of density 1.26 g/cm³. Two stacked
     * prisms of 24 sides, area n/2·r²·sin(2π/n): 48 mm × 12 mm and 30 mm × 16 mm. */
    wing.infill = 1.0;
    double area = 12.0 * sin(2.0 * 3.14159265358979323846 / 24.0);
    double volume = area * (48.0 * 48.0 * 12.0 + 30.0 * 30.0 * 16.0);
    check_close(poise_linear_sum(&wing, f.l->origin_mm).mass_g, 2.0 * 1.26e-3 * volume, 1e-6);
    wing.measured_g = 150;
    PoiseLinearPrinted weighed;
    assert_true(poise_linear_printed(&wing, 2, f.l->origin_mm, &weighed));
    check_near(weighed.fixed_g, 150, 1e-12);
    check_near(weighed.infill_g, 0, 0);
    assert_false(poise_linear_printed(setting(&f, "lead"), 2, f.l->origin_mm, &weighed));
    drop(&f);
}

static void test_stance_judges_as_weighing_does(void **state)
{
    (void)state;
    Fixture f = weigh_sedge();
    PoiseStance stance;
    PoiseLinearSum total = poise_linear_total(f.l);
    assert_int_equal(poise_stance_solve(&f.l->stance, f.l->origin_mm, &stance, NULL), POISE_OK);
    PoiseBalance b = poise_stance_judge(&stance, total.mass_g, total.moment_gmm);
    check_near(b.station_mm, f.w->hanging.station_mm, 1e-9);
    check_near(b.margin_mm, f.w->hanging.margin_mm, 1e-9);
    check_near(b.hand_load_g, f.w->hanging.hand_load_g, 1e-6);
    check_near(b.seat_hand_load_g, f.w->resting.hand_load_g, 1e-6);
    assert_int_equal(b.verdict, f.w->hanging.verdict);
    assert_int_equal(b.seat_verdict, f.w->resting.verdict);
    drop(&f);
}

/* Tail post (0, 0), horn post (390, 70), strap 1050 mm, friction 0.30, nut at (743, 0), centre
 * (340, 5), 2900 g, neck level: window 131 … 283 mm, hand load 361 g (worked out apart from the
 * program, by a root search along the ellipse; ±1 mm, ±2 g). */
static void test_stance_by_the_worked_example(void **state)
{
    (void)state;
    double no = (double)NAN;
    PoiseStanceSetting s = {.axes = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
                            .tail_mm = {1000, 0, 0},
                            .horn_mm = {1390, 70, 0},
                            .strap_mm = 1050,
                            .friction = 0.30,
                            .hand_mm = {1743, 0, 0},
                            .rest_mm = {no, no, no},
                            .seat_width_mm = no,
                            .arm_g = no,
                            .target_mass_g = no,
                            .target_hand_load_g = no,
                            .target_margin_mm = 0};
    const double origin[3] = {1200, 30, 5};
    const double moment[3] = {2900 * (1340.0 - 1200.0), 2900 * (5.0 - 30.0), 0};
    PoiseStance stance;
    assert_int_equal(poise_stance_solve(&s, origin, &stance, NULL), POISE_OK);
    check_near(stance.window_mm.lo, 131, 1);
    check_near(stance.window_mm.hi, 283, 1);
    PoiseBalance b = poise_stance_judge(&stance, 2900, moment);
    check_near(b.station_mm, 340, 1e-9);
    check_near(b.hand_load_g, 361, 2);
    assert_int_equal(b.verdict, POISE_NECK_HEAVY);
    assert_false(b.has_seat);
    assert_false(b.targets_met); /* the margin is below 0 */
    s.strap_mm = 300;            /* shorter than the posts' distance */
    assert_int_equal(poise_stance_solve(&s, origin, &stance, NULL), POISE_E_DOMAIN);
    b = poise_stance_judge(&stance, 2900, moment);
    assert_false(b.has_strap);
    assert_true(isnan(b.hand_load_g) != 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_item_and_the_total),
        cmocka_unit_test(test_a_mass_by_hand),
        cmocka_unit_test(test_printed_is_linear_in_the_share),
        cmocka_unit_test(test_stance_judges_as_weighing_does),
        cmocka_unit_test(test_stance_by_the_worked_example),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
