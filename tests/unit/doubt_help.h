/* An instrument in numbers only, and its parts made by hand: what the tests of doubt share. */
#ifndef POISE_TEST_DOUBT_HELP_H
#define POISE_TEST_DOUBT_HELP_H

#include "check.h"

#include "bodies/ledger.h"
#include "doubt/budget.h"
#include "doubt_posture.h"

enum { RIG_ITEMS = 12 };

/* Two printed sections of one plastic, a slab of it that no printer made, a neck, parts. Items 0 to
 * 3 share the density, 0 to 2 the flow. */
typedef struct Rig {
    PoiseMaterial plastic;
    PoiseItem items[RIG_ITEMS];
    PoiseInstrument instrument;
    PoiseItemBody bodies[RIG_ITEMS];
    PoiseLedgerEntry entries[RIG_ITEMS];
    PoiseLedger ledger;
    PoiseSources sources;
    PoiseDoubtProblem problem;
} Rig;

/* Adds the items up and sets the problem; to be called again after a change of the bodies. */
static inline void rig_settle(Rig *rig)
{
    poise_sources_free(&rig->sources);
    for (size_t i = 0; i < RIG_ITEMS; i++)
        rig->entries[i] = (PoiseLedgerEntry){
            .body = &rig->bodies[i], .material = i < 4 ? &rig->plastic : NULL, .printed = i < 3};
    assert_int_equal(poise_ledger(rig->entries, RIG_ITEMS, &rig->ledger), POISE_OK);
    const double *c = rig->ledger.total.centre_mm;
    assert_int_equal(poise_sources(rig->entries, RIG_ITEMS, c, &rig->sources), POISE_OK);
    rig->problem.instrument = &rig->instrument;
    rig->problem.entries = rig->entries;
    rig->problem.sources = &rig->sources;
    rig->problem.posture.mass_g = rig->ledger.total.mass_g;
    for (int i = 0; i < 3; i++) {
        rig->problem.posture.centre_mm[i] = c[i];
        for (int j = 0; j < 3; j++)
            rig->problem.axes[i][j] = i == j;
    }
}

/* An instrument of some 3.5 kg, its centre near the window's edge. */
static inline void rig_begin(Rig *rig)
{
    static char ids[RIG_ITEMS][8], plastic[] = "plastic", density[] = "petg";
    static const struct {
        double mass, x, y, z;
        PoiseItemDoubt doubt;
    } items[RIG_ITEMS] = {
        {620, 60, 10, -20, {10, 12.4, 6, {0, 0, 0}}}, {540, 220, 40, -20, {9, 10.8, 5, {0, 0, 0}}},
        {210, 150, -90, -22, {3, 4.2, 2, {0, 0, 0}}}, {45, 20, -110, -40, {0.7, 0, 0.5, {0, 0, 0}}},
        {640, 560, 0, -2, {0, 0, 50, {4, 1, 1}}},     {310, 975, 10, -5, {0, 0, 25, {1, 1, 1}}},
        {290, 5, 0, 3, {0, 0, 20, {1, 1, 1}}},        {160, 170, 0, 0, {0, 0, 15, {1, 1, 1}}},
        {160, 60, 0, 0, {0, 0, 15, {1, 1, 1}}},       {90, 20, -105, -18, {0, 0, 6, {1, 1, 1}}},
        {60, 400, 0, 10, {0, 0, 3, {1, 1, 1}}},       {260, 110, 20, -30, {0, 0, 8, {0, 0, 1}}},
    };
    memset(rig, 0, sizeof *rig);
    rig->plastic = (PoiseMaterial){.id = density, .name = plastic};
    rig->instrument = (PoiseInstrument){.item_count = RIG_ITEMS, .items = rig->items};
    for (size_t i = 0; i < RIG_ITEMS; i++) {
        snprintf(ids[i], sizeof ids[i], "item-%zu", i);
        const double at[3] = {items[i].x, items[i].y, items[i].z};
        rig->items[i] = (PoiseItem){.id = ids[i], .kind = POISE_ITEM_MASS, .count = 1};
        rig->bodies[i] =
            (PoiseItemBody){.body = poise_body_point(items[i].mass, at), .doubt = items[i].doubt};
    }
    rig->problem = (PoiseDoubtProblem){.posture = doubt_posture(), .friction_u = 0.08};
    rig_settle(rig);
}

static inline void rig_end(Rig *rig)
{
    poise_sources_free(&rig->sources);
}

/* --- synthetic truths: drawn item by item, with a generator the library does not use --- */

/* SplitMix64 and the polar method: G. Marsaglia and T. A. Bray, SIAM Review 6 (1964) (from memory).
 */
static inline double truth_uniform(uint64_t *state)
{
    uint64_t z = (*state += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    z ^= z >> 31;
    return (double)(z >> 11) * 0x1p-53;
}

static inline double truth_normal(uint64_t *state)
{
    for (;;) {
        double x = 2.0 * truth_uniform(state) - 1.0, y = 2.0 * truth_uniform(state) - 1.0;
        double s = x * x + y * y;
        if (s > 0.0 && s < 1.0)
            return x * sqrt(-2.0 * log(s) / s);
    }
}

/* The same items as they might really be: one density error, one flow error, and for each item its
 * own mass and place. */
static inline void rig_truth(const Rig *rig, uint64_t *state, double *mass_g, double centre_mm[3])
{
    double density = truth_normal(state), flow = truth_normal(state), moment[3] = {0, 0, 0};
    *mass_g = 0.0;
    for (size_t i = 0; i < RIG_ITEMS; i++) {
        const PoiseItemBody *b = &rig->bodies[i];
        double m = b->body.mass_g + density * b->doubt.density_u_g + flow * b->doubt.flow_u_g +
                   truth_normal(state) * b->doubt.own_u_g;
        *mass_g += m;
        for (int k = 0; k < 3; k++)
            moment[k] += m * (b->body.centre_mm[k] + truth_normal(state) * b->doubt.place_u_mm[k]);
    }
    for (int k = 0; k < 3; k++)
        centre_mm[k] = moment[k] / *mass_g;
}

#endif
