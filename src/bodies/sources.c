#include "bodies/sources.h"

#include "base/memory.h"
#include "base/sum.h"
#include "bodies/doubt.h"

/* Own, density, flow and a place along three axes. */
enum { MOST_PER_ENTRY = 6 };

/* A source as its items are added to it. */
typedef struct Growing {
    PoiseSourceKind kind;
    size_t item, items;
    PoiseSum mass, moment[3];
} Growing;

static void grow(Growing *g, const PoiseLedgerEntry *entries, size_t i, double u_g,
                 const double centre_mm[3])
{
    if (u_g == 0.0)
        return;
    if (g->items++ == 0)
        g->item = i;
    poise_sum_add(&g->mass, u_g);
    for (int k = 0; k < 3; k++)
        poise_sum_add(&g->moment[k], u_g * (entries[i].body->body.centre_mm[k] - centre_mm[k]));
}

static void put(PoiseSources *out, const Growing *g)
{
    if (g->items == 0)
        return;
    PoiseSource *s = &out->list[out->count++];
    *s = (PoiseSource){
        .kind = g->kind, .item = g->item, .items = g->items, .mass_g = poise_sum_value(&g->mass)};
    for (int k = 0; k < 3; k++)
        s->moment_gmm[k] = poise_sum_value(&g->moment[k]);
}

/* The density of entry i's material, with every later entry of the same; nothing when an earlier
 * one took it along already. */
static void put_density(PoiseSources *out, const PoiseLedgerEntry *entries, size_t n, size_t i,
                        const double centre_mm[3])
{
    const PoiseMaterial *material = entries[i].material;
    for (size_t j = 0; material && j < i; j++)
        if (entries[j].material == material)
            return;
    Growing g = {.kind = POISE_SOURCE_DENSITY};
    grow(&g, entries, i, entries[i].body->doubt.density_u_g, centre_mm);
    for (size_t j = i + 1; material && j < n; j++)
        if (entries[j].material == material)
            grow(&g, entries, j, entries[j].body->doubt.density_u_g, centre_mm);
    put(out, &g);
}

static void put_flow(PoiseSources *out, const PoiseLedgerEntry *entries, size_t n,
                     const double centre_mm[3])
{
    Growing shared = {.kind = POISE_SOURCE_FLOW};
    for (size_t i = 0; i < n; i++) {
        Growing alone = {.kind = POISE_SOURCE_FLOW};
        grow(entries[i].printed ? &shared : &alone, entries, i, entries[i].body->doubt.flow_u_g,
             centre_mm);
        put(out, &alone);
    }
    put(out, &shared);
}

static void put_own_and_place(PoiseSources *out, const PoiseLedgerEntry *entries, size_t i,
                              const double centre_mm[3])
{
    const PoiseItemBody *item = entries[i].body;
    Growing own = {.kind = POISE_SOURCE_OWN};
    grow(&own, entries, i, item->doubt.own_u_g, centre_mm);
    put(out, &own);
    double mass_u = poise_doubt_mass_u_g(&item->doubt);
    for (int k = 0; k < 3; k++) {
        double place = item->doubt.place_u_mm[k], both = mass_u * place;
        out->product_g2mm2[k] += both * both;
        if (place == 0.0 || item->body.mass_g == 0.0)
            continue;
        PoiseSource *s = &out->list[out->count++];
        *s = (PoiseSource){.kind = POISE_SOURCE_PLACE, .item = i, .items = 1};
        s->moment_gmm[k] = item->body.mass_g * place;
    }
}

PoiseStatus poise_sources(const PoiseLedgerEntry *entries, size_t n, const double centre_mm[3],
                          PoiseSources *out)
{
    *out = (PoiseSources){.list = poise_alloc_zero(n, MOST_PER_ENTRY * sizeof *out->list)};
    if (!out->list)
        return POISE_E_MEMORY;
    for (size_t i = 0; i < n; i++) {
        put_density(out, entries, n, i, centre_mm);
        put_own_and_place(out, entries, i, centre_mm);
    }
    put_flow(out, entries, n, centre_mm);
    return POISE_OK;
}

void poise_sources_free(PoiseSources *sources)
{
    poise_release(sources->list);
    *sources = (PoiseSources){0};
}
