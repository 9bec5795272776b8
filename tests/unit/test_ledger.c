/* The sum of all items and of their doubts. Aircraft examples are in pounds and inches: the ledger
 * only adds moments, so their numbers go in as they stand. Sources, with how each value was come
 * by: read         in a copy of the source's own text from memory  recalled; the arithmetic was
 * checked */
#include "check.h"

#include "bodies/ledger.h"

#define MOST 8

static PoiseItemBody at(double mass, double x, double y, double z)
{
    const double place[3] = {x, y, z};
    return (PoiseItemBody){.body = poise_body_point(mass, place)};
}

static PoiseLedger add(const PoiseItemBody *items, size_t n)
{
    PoiseLedgerEntry entries[MOST] = {{0}};
    PoiseLedger out;
    for (size_t i = 0; i < n; i++)
        entries[i].body = &items[i];
    assert_int_equal(poise_ledger(entries, n, &out), POISE_OK);
    return out;
}

typedef struct Load {
    double weight, arm;
} Load;

static PoiseLedger load(const Load *loads, size_t n)
{
    PoiseItemBody items[MOST];
    for (size_t i = 0; i < n; i++)
        items[i] = at(loads[i].weight, loads[i].arm, 0, 0);
    return add(items, n);
}

/* FAA-H-8083-1B (2016) ch. 2, fig. 2-11, "Shifting the balance point or CG": 72 in, then 50 in
 * (read); the three weights, and B moved 55 in to the left (from memory). */
static void test_faa_shift(void **state)
{
    (void)state;
    check_near(load((Load[]){{100, 0}, {200, 80}, {200, 100}}, 3).total.centre_mm[0], 72.0, 1e-12);
    check_near(load((Load[]){{100, 0}, {200, 25}, {200, 100}}, 3).total.centre_mm[0], 50.0, 1e-12);
}

/* FAA-H-8083-1 ch. 2, law of the lever: datum 50 in left of A, 400 lb, 110 in; datum at A, 60 in
 * (from memory). The datum moves the answer by exactly as much as it moves. */
static void test_faa_datum(void **state)
{
    (void)state;
    PoiseLedger off = load((Load[]){{100, 50}, {100, 90}, {200, 150}}, 3);
    check_near(off.total.mass_g, 400.0, 0.0);
    check_near(off.total.mass_g * off.total.centre_mm[0], 44000.0, 1e-9);
    check_near(off.total.centre_mm[0], 110.0, 1e-12);
    check_near(load((Load[]){{100, 0}, {100, 40}, {200, 100}}, 3).total.centre_mm[0], 60.0, 1e-12);
}

/* FAA-H-8083-1 ch. 3, nosewheel aeroplane, datum ahead: 830 and 836 lb at 128, 340 lb at 50: 2006
 * lb, moment 230 248, 114.8 in (from memory). Relative to the main wheels: F·L/W = −13.2 in for F
 * 340, L −78, W 2006 (FAA-H-8083-1B ch. 10, read). */
static void test_faa_scales(void **state)
{
    (void)state;
    PoiseLedger ahead = load((Load[]){{830, 128}, {836, 128}, {340, 50}}, 3);
    check_near(ahead.total.mass_g, 2006.0, 0.0);
    check_near(ahead.total.mass_g * ahead.total.centre_mm[0], 230248.0, 1e-8);
    check_near(ahead.total.centre_mm[0], 114.8, 0.05);
    check_near(load((Load[]){{830, 0}, {836, 0}, {340, -78}}, 3).total.centre_mm[0], -13.2, 0.05);
    /* Tailwheel, datum 7.5 in ahead of the main wheels: R 67 at 222 in behind them, W 1218: 19.7 in
     * (ch. 3, from memory). */
    check_near(load((Load[]){{1218 - 67, 7.5}, {67, 7.5 + 222}}, 2).total.centre_mm[0], 19.7, 0.05);
}

/* FAA-H-8083-1B ch. 7, permanent ballast: 1876 lb at +32.2 (read); 7.7 lb at 228 bring it to the
 * limit +33.0 (from memory; 1876·0.8/195). */
static void test_faa_ballast(void **state)
{
    (void)state;
    PoiseLedger l = load((Load[]){{1876, 32.2}, {1876 * 0.8 / 195.0, 228}}, 2);
    check_near(l.total.centre_mm[0], 33.0, 1e-10);
    check_near(l.total.mass_g - 1876.0, 7.7, 0.05);
}

/* PHAK, "Weight and Balance", weight shifting: 100 lb from station 30 to 150 takes 8000 lb from 616
 * 000 to 628 000 lb·in, CG 77.0 to 78.5 (read). 65 lb from 150 to 30 take 7800 lb from 81.5 to 80.5
 * (read in a quotation). A weight taken away is negative (ch. 2, read). */
static void test_faa_weight_shift(void **state)
{
    (void)state;
    PoiseLedger l = load((Load[]){{8000, 77.0}, {-100, 30}, {100, 150}}, 3);
    check_near(l.total.centre_mm[0], 78.5, 1e-12);
    check_near(l.total.mass_g * l.total.centre_mm[0], 628000.0, 1e-8);
    check_near(load((Load[]){{7800, 81.5}, {-65, 150}, {65, 30}}, 3).total.centre_mm[0], 80.5,
               1e-12);
}

/* JCGM 100:2008, 5.2.2: u1 = u2 = 1 add to 2 when fully correlated, to 1.41421 when not (values
 * read in another project's test). Shared material, shared flow, and neither. */
static void test_correlated_mass(void **state)
{
    (void)state;
    PoiseMaterial alder = {0}, maple = {0};
    PoiseItemBody a = at(10, -5, 0, 0), b = at(10, 5, 0, 0);
    PoiseLedgerEntry entries[2] = {{.body = &a, .material = &alder},
                                   {.body = &b, .material = &alder}};
    PoiseLedger out;
    a.doubt.density_u_g = b.doubt.density_u_g = 1.0;
    assert_int_equal(poise_ledger(entries, 2, &out), POISE_OK);
    check_near(out.mass_u_g, 2.0, 1e-15);
    /* Both grow alike about their middle: the centre does not know. */
    check_near(out.centre_u_mm[0], 0.0, 1e-15);

    entries[1].material = &maple;
    assert_int_equal(poise_ledger(entries, 2, &out), POISE_OK);
    check_near(out.mass_u_g, 1.41421, 5e-6);
    /* ∂C/∂m = ±5/20 each: √2/4. */
    check_near(out.centre_u_mm[0], sqrt(2.0) / 4.0, 1e-15);

    entries[0].material = entries[1].material = NULL;
    assert_int_equal(poise_ledger(entries, 2, &out), POISE_OK);
    check_near(out.mass_u_g, 1.41421, 5e-6);

    a.doubt = b.doubt = (PoiseItemDoubt){.flow_u_g = 1.0};
    entries[0].printed = entries[1].printed = true;
    assert_int_equal(poise_ledger(entries, 2, &out), POISE_OK);
    check_near(out.mass_u_g, 2.0, 1e-15);
    entries[1].printed = false;
    assert_int_equal(poise_ledger(entries, 2, &out), POISE_OK);
    check_near(out.mass_u_g, 1.41421, 5e-6);

    a.doubt = b.doubt = (PoiseItemDoubt){.own_u_g = 1.0};
    entries[1].printed = true;
    assert_int_equal(poise_ledger(entries, 2, &out), POISE_OK);
    check_near(out.mass_u_g, 1.41421, 5e-6);
}

/* Four independent inputs of standard uncertainty 1 add to 2.0 (JCGM 101:2008, 9.2.2; u read in
 * another project's test). One item's four sources, and four items. */
static void test_four_inputs(void **state)
{
    (void)state;
    PoiseMaterial resin = {0};
    PoiseItemBody items[2] = {at(10, 0, 0, 0), at(10, 0, 0, 0)};
    items[0].doubt = (PoiseItemDoubt){.density_u_g = 1, .flow_u_g = 1, .own_u_g = 1};
    items[1].doubt = (PoiseItemDoubt){.own_u_g = 1};
    PoiseLedgerEntry entries[2] = {{&items[0], &resin, true}, {&items[1], NULL, false}};
    PoiseLedger out;
    assert_int_equal(poise_ledger(entries, 2, &out), POISE_OK);
    check_near(out.mass_u_g, 2.0, 1e-15);
}

/* The product y = ab with a = 3 ± 0.1 and b = 4 ± 0.2 has u = √0.52 = 0.721110 (JCGM 100, eq. 10;
 * value read in another project's test). A moment is such a product: with 1 − a of 3 held at the
 * datum by a weight of no doubt, M·C = m r. Here M is fixed by scale: the counterweight at the
 * datum is heavy, so that u(C) M is u(m r) to first order in m/M. */
static void test_product(void **state)
{
    (void)state;
    const double heavy = 3e9;
    PoiseItemBody items[2] = {at(3, 4, 0, 0), at(heavy, 0, 0, 0)};
    items[0].doubt = (PoiseItemDoubt){.own_u_g = 0.1, .place_u_mm = {0.2, 0, 0}};
    PoiseLedger l = add(items, 2);
    check_near(l.centre_u_mm[0] * l.total.mass_g, 0.721110, 5e-7);
}

/* What first order promises: moving each input by a little and adding up again gives the same
 * slopes. Every source in turn moves all the items it is common to. */
typedef struct Nudge {
    double own[3], density, flow;
} Nudge;

static void nudged_centre(const PoiseItemBody *items, const Nudge *nudge, double centre[3])
{
    PoiseItemBody moved[3];
    for (int k = 0; k < 3; k++) {
        moved[k] = items[k];
        moved[k].body.mass_g += nudge->own[k] * items[k].doubt.own_u_g;
        if (k < 2)
            moved[k].body.mass_g += nudge->density * items[k].doubt.density_u_g;
        if (k > 0)
            moved[k].body.mass_g += nudge->flow * items[k].doubt.flow_u_g;
    }
    memcpy(centre, add(moved, 3).total.centre_mm, 3 * sizeof *centre);
}

static void test_against_differences(void **state)
{
    (void)state;
    PoiseMaterial petg = {0};
    PoiseItemBody items[3] = {at(700, 10, 40, -20), at(250, 420, -30, 5), at(1200, -160, 8, 33)};
    items[0].doubt = (PoiseItemDoubt){12, 0, 3, {0, 0, 0}};
    items[1].doubt = (PoiseItemDoubt){4, 5, 1, {0, 0, 0}};
    items[2].doubt = (PoiseItemDoubt){0, 21, 7, {0, 0, 0}};
    PoiseLedgerEntry entries[3] = {
        {&items[0], &petg, false}, {&items[1], &petg, true}, {&items[2], NULL, true}};
    PoiseLedger out;
    assert_int_equal(poise_ledger(entries, 3, &out), POISE_OK);

    const double direction[3] = {0.6, 0.0, -0.8}, step = 1e-4;
    double variance = 0.0;
    for (int source = 0; source < 5; source++) {
        double *slot, lo[3], hi[3], along = 0.0;
        Nudge nudge = {0};
        slot = source < 3 ? &nudge.own[source] : source == 3 ? &nudge.density : &nudge.flow;
        *slot = step;
        nudged_centre(items, &nudge, hi);
        *slot = -step;
        nudged_centre(items, &nudge, lo);
        for (int i = 0; i < 3; i++)
            along += direction[i] * (hi[i] - lo[i]) / (2.0 * step);
        variance += along * along;
    }
    check_close(poise_ledger_station_u(&out, direction), sqrt(variance), 1e-6);
}

/* Two places of 1 mm, one in three parts of the mass: √(1² + 2²)/3 along every axis, whatever the
 * axes. */
static void test_places(void **state)
{
    (void)state;
    PoiseItemBody items[2] = {at(100, 0, 0, 0), at(200, 300, 0, 0)};
    for (int k = 0; k < 2; k++)
        for (int i = 0; i < 3; i++)
            items[k].doubt.place_u_mm[i] = 1.0;
    PoiseLedger l = add(items, 2);
    check_near(l.mass_u_g, 0.0, 0.0);
    for (int i = 0; i < 3; i++)
        check_near(l.centre_u_mm[i], sqrt(5.0) / 3.0, 1e-15);
    check_near(poise_ledger_station_u(&l, (const double[3]){0.36, 0.48, 0.8}), sqrt(5.0) / 3.0,
               1e-15);
}

/* The drawing's origin is anywhere: 10 m away in each direction changes nothing but the centre
 * itself. */
static void test_far_origin(void **state)
{
    (void)state;
    PoiseItemBody near[3] = {at(700, 10, 40, -20), at(250, 420, -30, 5), at(1200, -160, 8, 33)},
                  far[3];
    for (int k = 0; k < 3; k++) {
        near[k].doubt = (PoiseItemDoubt){3, 2, 1, {1, 1, 0.5}};
        far[k] = near[k];
        for (int i = 0; i < 3; i++)
            far[k].body.centre_mm[i] += i == 1 ? -10000 : 10000;
    }
    PoiseLedger a = add(near, 3), b = add(far, 3);
    check_near(b.mass_u_g, a.mass_u_g, 0.0);
    for (int i = 0; i < 3; i++) {
        check_near(b.total.centre_mm[i] - a.total.centre_mm[i], i == 1 ? -10000 : 10000, 1e-10);
        check_near(b.centre_u_mm[i], a.centre_u_mm[i], 1e-12);
        for (int j = 0; j < 3; j++)
            check_close(b.total.inertia_gmm2[i][j], a.total.inertia_gmm2[i][j], 1e-10);
    }
}

/* Nothing weighs nothing: there is no centre, and no number pretends otherwise. */
static void test_massless(void **state)
{
    (void)state;
    PoiseLedger out;
    assert_int_equal(poise_ledger(NULL, 0, &out), POISE_E_DOMAIN);
    check_near(out.total.mass_g, 0.0, 0.0);
    assert_true(isnan(out.total.centre_mm[0]) && isnan(out.centre_u_mm[2]));
    PoiseItemBody lead = at(0, 40, 0, 0);
    lead.doubt.own_u_g = 2.0;
    assert_int_equal(poise_ledger(&(PoiseLedgerEntry){.body = &lead}, 1, &out), POISE_E_DOMAIN);
    check_near(out.mass_u_g, 2.0, 0.0);
    assert_true(isnan(out.centre_covariance_mm2[0][1]));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_faa_shift),           cmocka_unit_test(test_faa_datum),
        cmocka_unit_test(test_faa_scales),          cmocka_unit_test(test_faa_ballast),
        cmocka_unit_test(test_faa_weight_shift),    cmocka_unit_test(test_correlated_mass),
        cmocka_unit_test(test_four_inputs),         cmocka_unit_test(test_product),
        cmocka_unit_test(test_against_differences), cmocka_unit_test(test_places),
        cmocka_unit_test(test_far_origin),          cmocka_unit_test(test_massless),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
