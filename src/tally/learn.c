/* From the weighed items to flow, densities, and everything else made with them. */
#include <math.h>

#include "base/memory.h"
#include "bodies/item_body.h"
#include "tally/tally_parts.h"

static double share_of(double u_g, double mass_g)
{
    return mass_g > 0.0 ? u_g / mass_g : 0.0;
}

/* The entry of a material, made when it is new. Room for one a row is there. */
static size_t material_index(PoiseTally *t, const PoiseMaterial *material)
{
    size_t i = 0;
    while (i < t->material_count && t->materials[i].material != material)
        i++;
    if (i == t->material_count)
        t->materials[t->material_count++] = (PoiseTallyMaterial){.material = material};
    return i;
}

static void fill_item(PoiseTally *t, size_t i, PoiseFitItem *f)
{
    const PoiseItem *item = &t->instrument->items[i];
    const PoiseItemDoubt *doubt = &t->weighing->items[i].detail->predicted_doubt;
    const PoiseTallyItem *row = &t->items[i];
    const PoiseMaterial *material = poise_item_material(item);
    *f = (PoiseFitItem){.predicted_g = row->predicted_g,
                        .flow_share = share_of(doubt->flow_u_g, row->predicted_g),
                        .density_share = share_of(doubt->density_u_g, row->predicted_g),
                        .material = POISE_FIT_NONE,
                        .own_u_g = doubt->own_u_g,
                        .weighed = row->weighed,
                        .weighed_g = row->weighed_g,
                        .scale_u_g = row->scale_u_g};
    if (!material || f->density_share == 0.0) {
        /* A density that no material stands for is the item's own matter. */
        f->own_u_g = hypot(f->own_u_g, doubt->density_u_g);
        f->density_share = 0.0;
        return;
    }
    f->material = material_index(t, material);
    PoiseTallyMaterial *m = &t->materials[f->material];
    m->items++;
    m->weighed += row->weighed ? 1 : 0;
    m->printed = m->printed || item->kind == POISE_ITEM_PRINTED;
}

static PoiseQuantity scaled(double value, double share)
{
    return (PoiseQuantity){value, value * share};
}

/* value · exp(c · x) after the fit. */
static PoiseQuantity after(const PoiseFit *fit, double value, double flow, double density,
                           size_t material)
{
    double x, variance;
    poise_fit_combine(fit, flow, density, material, &x, &variance);
    return scaled(value * exp(x), sqrt(variance));
}

static void fill_flow(PoiseTally *t, const PoiseFitItem *items, const PoiseFit *fit)
{
    double learned = t->instrument->learned_flow.value, share = 0.0;
    for (size_t i = 0; i < t->item_count; i++) {
        double a = items[i].flow_share;
        if (a == 0.0)
            continue;
        /* Differences of rounding between items of the same setting are none. */
        t->flow_mixed = t->flow_mixed || (share != 0.0 && fabs(a - share) > 1e-9 * share);
        share = share == 0.0 ? a : share;
    }
    t->has_flow = share != 0.0;
    t->flow_before = scaled(learned > 0.0 ? learned : 1.0, share);
    t->flow_after = after(fit, t->flow_before.value, share, 0.0, POISE_FIT_NONE);
}

static void fill_material(PoiseTally *t, size_t index, const PoiseFit *fit)
{
    PoiseTallyMaterial *m = &t->materials[index];
    const PoiseMaterial *material = m->material;
    PoiseQuantity density = material->density_g_cm3, laid = material->laid_g_cm3;
    double flow = t->flow_before.value, a = t->flow_before.u / flow;
    double b = density.u / density.value;
    m->correlation = (double)NAN;
    m->joint = m->printed && laid.value > 0.0;
    m->density_before = m->density_after = density;
    if (m->joint) {
        m->laid_before = laid;
        m->laid_after = after(fit, laid.value, 0.0, laid.u / laid.value, index);
        return;
    }
    m->density_after = after(fit, density.value, 0.0, b, index);
    if (!m->printed)
        return;
    m->laid_before = scaled(density.value * flow, hypot(a, b));
    m->laid_after = after(fit, density.value * flow, a, b, index);
    if (a > 0.0 && b > 0.0)
        m->correlation = poise_fit_correlation(fit, 0, 1 + index);
}

/* Does another weighed item bear on this one? Only then is there something to compare. */
static bool has_siblings(const PoiseFitItem *items, size_t n, size_t i)
{
    for (size_t j = 0; j < n; j++) {
        const PoiseFitItem *a = &items[i], *b = &items[j];
        if (j == i || !b->weighed || !poise_fit_shares(b))
            continue;
        if ((a->flow_share != 0.0 && b->flow_share != 0.0) ||
            (a->material != POISE_FIT_NONE && a->material == b->material))
            return true;
    }
    return false;
}

/* By how much a gap is beyond what its uncertainty allows. */
static double beyond(double gap_g, double u_g)
{
    return fmax(0.0, fabs(gap_g) - POISE_TALLY_ODD_Z * u_g);
}

static void judge_item(PoiseTallyItem *row, const PoiseFit *fit, const PoiseFitItem *items,
                       size_t n, size_t i)
{
    PoiseFitMass mass = poise_fit_mass(fit, &items[i]);
    row->corrected_g = row->weighed ? row->weighed_g : mass.mass_g;
    row->corrected_u_g = row->weighed ? row->scale_u_g : mass.u_g;
    row->expected_g = row->expected_u_g = row->expected_z = (double)NAN;
    row->next_u_g = (double)NAN;
    row->taught = row->weighed && poise_fit_shares(&items[i]);
    if (!row->weighed)
        return;
    row->gap_g = row->weighed_g - row->predicted_g;
    double u = hypot(row->predicted_u_g, row->scale_u_g);
    row->z = row->gap_g / u;
    row->unexplained_g = beyond(row->gap_g, u);
    if (has_siblings(items, n, i)) {
        PoiseFitMass expected = poise_fit_left_out(fit, &items[i]);
        row->expected_g = expected.mass_g;
        row->expected_u_g = expected.u_g;
        double gap = row->weighed_g - expected.mass_g;
        u = hypot(expected.u_g, row->scale_u_g);
        row->expected_z = gap / u;
        row->unexplained_g = fmax(row->unexplained_g, beyond(gap, u));
    }
    row->odd = row->unexplained_g > 0.0;
}

/* The unweighed items whose weighing takes most away from the doubt of the whole. */
static PoiseStatus choose_next(PoiseTally *t, const PoiseFit *fit, const PoiseFitItem *items)
{
    for (size_t i = 0; i < t->item_count; i++) {
        PoiseTallyItem *row = &t->items[i];
        if (row->weighed || !(row->predicted_g > 0.0))
            continue;
        PoiseStatus status = poise_fit_total_u_after(fit, items, t->item_count, i,
                                                     POISE_TALLY_NEXT_U_G, &row->next_u_g);
        if (status)
            return status;
        if (!(row->next_u_g < t->learned.u))
            continue;
        size_t at = t->next_count;
        for (; at > 0 && t->items[t->next[at - 1]].next_u_g > row->next_u_g; at--)
            if (at < POISE_TALLY_NEXT)
                t->next[at] = t->next[at - 1];
        if (at == POISE_TALLY_NEXT)
            continue;
        t->next[at] = i;
        t->next_count += t->next_count < POISE_TALLY_NEXT ? 1 : 0;
    }
    return POISE_OK;
}

/* Everything as estimated: what the doubt was before the scale saw anything. */
static PoiseStatus find_estimate(PoiseTally *t, const PoiseFitItem *items)
{
    PoiseFitItem *none = poise_alloc_zero(t->item_count, sizeof *none);
    if (!none)
        return POISE_E_MEMORY;
    for (size_t i = 0; i < t->item_count; i++) {
        none[i] = items[i];
        none[i].weighed = false;
    }
    PoiseFit fit;
    PoiseFitMass total = {0.0, 0.0};
    PoiseStatus status = poise_fit(none, t->item_count, t->material_count, &fit);
    if (!status) {
        status = poise_fit_total(&fit, none, t->item_count, &total);
        poise_fit_free(&fit);
    }
    t->estimate = (PoiseQuantity){total.mass_g, total.u_g};
    poise_release(none);
    return status;
}

static PoiseStatus use_fit(PoiseTally *t, const PoiseFitItem *items, const PoiseFit *fit)
{
    t->learned_count = fit->weighed;
    t->chi2 = fit->weighed ? fit->chi2 : (double)NAN;
    t->p_value = fit->p_value;
    t->inconsistent = fit->p_value < POISE_TALLY_ODD_P;
    fill_flow(t, items, fit);
    for (size_t m = 0; m < t->material_count; m++)
        fill_material(t, m, fit);
    for (size_t i = 0; i < t->item_count; i++)
        judge_item(&t->items[i], fit, items, t->item_count, i);
    PoiseFitMass total;
    PoiseStatus status = poise_fit_total(fit, items, t->item_count, &total);
    if (status)
        return status;
    t->learned = (PoiseQuantity){total.mass_g, total.u_g};
    status = choose_next(t, fit, items);
    return status ? status : find_estimate(t, items);
}

PoiseStatus poise_tally_learn(PoiseTally *t)
{
    PoiseFitItem *items = poise_alloc_zero(t->item_count, sizeof *items);
    t->materials = poise_alloc_zero(t->item_count, sizeof *t->materials);
    PoiseFit fit;
    PoiseStatus status = items && t->materials ? POISE_OK : POISE_E_MEMORY;
    if (!status) {
        for (size_t i = 0; i < t->item_count; i++)
            fill_item(t, i, &items[i]);
        status = poise_fit(items, t->item_count, t->material_count, &fit);
    }
    if (!status) {
        status = use_fit(t, items, &fit);
        poise_fit_free(&fit);
    }
    poise_release(items);
    return status;
}
