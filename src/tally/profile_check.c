/* What a profile may say of what was learned. */
#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/text.h"
#include "tally/tally.h"

bool poise_tally_in_profile(const PoiseTallyMaterial *m)
{
    return (m->weighed > 0 || m->joint) && m->material->family != POISE_MATERIAL_WOOD;
}

/* A flow is learned from printed items, and their plastics are in the profile too. */
size_t poise_tally_profile_count(const PoiseTally *t)
{
    size_t count = 0;
    for (size_t i = 0; i < t->item_count; i++) {
        const PoiseMaterial *material = poise_item_material(&t->instrument->items[i]);
        for (size_t m = 0; t->items[i].taught && m < t->material_count; m++)
            count +=
                t->materials[m].material == material && poise_tally_in_profile(&t->materials[m])
                    ? 1
                    : 0;
    }
    return count;
}

bool poise_tally_is_doubtful(const PoiseTally *t)
{
    bool odd = false;
    for (size_t i = 0; i < t->item_count; i++)
        odd = odd || (t->items[i].taught && t->items[i].odd);
    return odd || t->inconsistent;
}

/* Of the readings that bear on a material (NULL: on the flow), the one farthest from its estimate.
 */
static const PoiseTallyItem *suspect(const PoiseTally *t, const PoiseMaterial *material)
{
    const PoiseTallyItem *worst = NULL;
    for (size_t i = 0; i < t->item_count; i++) {
        const PoiseTallyItem *row = &t->items[i];
        const PoiseItem *item = &t->instrument->items[i];
        bool bears =
            material ? poise_item_material(item) == material : item->kind == POISE_ITEM_PRINTED;
        if (row->taught && bears && (!worst || fabs(row->z) > fabs(worst->z)))
            worst = row;
    }
    return worst;
}

static PoiseStatus check(const PoiseTally *t, const char *what, const PoiseMaterial *material,
                         double value, double least, double most, const char *unit,
                         PoiseFaults *faults)
{
    if (value >= least && value <= most)
        return POISE_OK;
    const PoiseTallyItem *item = suspect(t, material);
    char found[32], lo[32], hi[32];
    poise_double_text(round(value * 1000.0) / 1000.0, found);
    poise_double_text(least, lo);
    poise_double_text(most, hi);
    return poise_fault_say(
        faults, POISE_E_INPUT, t->instrument->file,
        "no profile is written: the readings make the %s%s%s %s%s, and a profile may say from %s "
        "to %s%s; %s%s%s is farthest from its estimate: weigh it again, or take its reading out of "
        "the file",
        what, material ? " of " : "", material ? material->id : "", found, unit, lo, hi, unit,
        item ? "\"" : "", item ? item->id : "some reading", item ? "\"" : "");
}

PoiseStatus poise_tally_check_profile(const PoiseTally *t, PoiseFaults *faults)
{
    PoiseStatus status = t->has_flow
                             ? check(t, "flow", NULL, t->flow_after.value, POISE_LIMIT_LEAST_FLOW,
                                     POISE_LIMIT_MOST_FLOW, "", faults)
                             : POISE_OK;
    for (size_t i = 0; i < t->material_count && !status; i++) {
        const PoiseTallyMaterial *m = &t->materials[i];
        if (!poise_tally_in_profile(m))
            continue;
        status = check(t, "density", m->material, m->density_after.value, POISE_LIMIT_LEAST_DENSITY,
                       POISE_LIMIT_MOST_DENSITY, " g/cm³", faults);
        if (!status && m->printed)
            status = check(t, "density as laid", m->material, m->laid_after.value,
                           POISE_LIMIT_LEAST_DENSITY, POISE_LIMIT_MOST_DENSITY, " g/cm³", faults);
    }
    return status;
}
