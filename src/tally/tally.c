#include "tally/tally.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "bodies/item_body.h"
#include "tally/tally_parts.h"

static void fill_item(const PoiseItem *item, const PoiseItemResult *r, PoiseTallyItem *row)
{
    double no = (double)NAN;
    *row = (PoiseTallyItem){.id = r->id,
                            .kind = r->kind,
                            .weighed = poise_item_is_weighed(item),
                            .predicted_g = r->predicted_g,
                            .predicted_u_g = r->predicted_u_g,
                            .weighed_g = no,
                            .scale_u_g = no,
                            .gap_g = no,
                            .z = no};
    if (!row->weighed)
        return;
    row->weighed_g = r->body.mass_g;
    row->scale_u_g = r->mass_u_g;
}

static PoiseStatus fill(PoiseTally *t, PoiseFaults *faults)
{
    const PoiseInstrument *in = t->instrument;
    for (size_t i = 0; i < t->item_count; i++) {
        fill_item(&in->items[i], &t->weighing->items[i], &t->items[i]);
        t->weighed_count += t->items[i].weighed ? 1 : 0;
    }
    t->now = (PoiseQuantity){t->weighing->total.mass_g, t->weighing->mass_u_g};
    t->profile_counts_twice =
        in->profile_from && t->weighed_count && strcmp(in->profile_from, in->name) == 0;
    PoiseStatus status = poise_tally_learn(t);
    if (status)
        return poise_fault_memory(faults);
    return poise_tally_observed(t, faults);
}

PoiseStatus poise_tally(const PoiseInstrument *instrument, const PoiseWeighing *weighing,
                        PoiseTally **tally, PoiseFaults *faults)
{
    *tally = NULL;
    PoiseTally *t = poise_alloc_zero(1, sizeof *t);
    if (!t)
        return poise_fault_memory(faults);
    t->instrument = instrument;
    t->weighing = weighing;
    t->item_count = weighing->item_count;
    t->items = poise_alloc_zero(t->item_count, sizeof *t->items);
    PoiseStatus status = t->items ? fill(t, faults) : poise_fault_memory(faults);
    if (status)
        poise_tally_free(t);
    else
        *tally = t;
    return status;
}

void poise_tally_free(PoiseTally *t)
{
    if (!t)
        return;
    poise_release(t->items);
    poise_release(t->materials);
    poise_release(t);
}
