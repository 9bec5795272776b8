/* Items of kind "printed": the split of the mesh, filled as the print settings say, or what a
 * toolpath lays. */
#include <math.h>
#include <stdio.h>

#include "base/memory.h"
#include "bodies/doubt.h"
#include "bodies/print_facts.h"
#include "bodies/printed_fill.h"
#include "bodies/printed_toolpath.h"
#include "bodies/refuse.h"

/* Slices the mesh into out->loaded; what is wrong with the mesh is told at the item's "mesh". */
static PoiseStatus load_section(const PoiseInstrument *instrument, const PoiseItem *item,
                                const PoiseSectionOptions *options, PoiseItemBody *out,
                                PoiseFaults *faults)
{
    static const PoiseSectionOptions plain = {0};
    const PoisePrinted *printed = &item->as.printed;
    PoiseFaults *found = poise_faults_new();
    PoiseLoadedSection *loaded = poise_alloc_zero(1, sizeof *loaded);
    PoiseStatus status = POISE_E_MEMORY;
    if (found && loaded)
        status = poise_section_load(printed->mesh, printed->mesh_unit, &printed->slicing,
                                    options ? options : &plain, loaded, found);
    if (status == POISE_E_MEMORY)
        poise_fault_memory(faults);
    else if (status == POISE_E_USAGE) /* bad slicing: here it comes from the file */
        status = poise_item_pass_on(instrument, item, "/print", POISE_E_INPUT, found, faults);
    else if (status != POISE_OK)
        status = poise_item_pass_on(instrument, item, "/mesh", status, found, faults);
    poise_faults_free(found);
    if (status == POISE_OK)
        out->loaded = loaded;
    else
        poise_release(loaded);
    return status;
}

static void fill_facts(const PoiseInstrument *instrument, const PoiseItem *item, PoiseItemBody *out)
{
    const PoisePrinted *printed = &item->as.printed;
    const PoiseLoadedSection *loaded = out->loaded;
    PoisePrintJob job = {
        .body_g = out->body.mass_g,
        .density_g_cm3 = printed->material->density_g_cm3.value,
        .waste = printed->waste,
        .support_g = printed->support_g,
        .layers = loaded->section.layers,
    };
    for (int i = 0; i < 3; i++) {
        job.size_mm[i] = loaded->max_mm[i] - loaded->min_mm[i];
        job.up[i] = printed->slicing.up[i];
    }
    out->has_print = true;
    poise_print_facts(&job, &instrument->printer, &out->print);
}

static PoiseStatus from_layers(const PoiseInstrument *instrument, const PoiseItem *item,
                               const PoiseSectionOptions *options, PoiseItemBody *out,
                               PoiseFaults *faults)
{
    const PoisePrinted *printed = &item->as.printed;
    PoiseStatus status = load_section(instrument, item, options, out, faults);
    if (status != POISE_OK)
        return status;
    const PoiseSplit *split = &out->loaded->section.splits[printed->perimeters];
    PoiseLaying laying = poise_printed_laying(printed, false);
    out->body = poise_printed_fill(split, printed->infill.value, laying.flow.value,
                                   laying.density_g_cm3.value);
    out->doubt = poise_printed_doubt(printed, split, &out->body);
    out->has_volumes = true;
    out->perimeter_mm3 = split->perimeter.volume_mm3;
    out->skin_mm3 = split->skin.volume_mm3;
    out->infill_mm3 = split->infill.volume_mm3;
    out->solid_mm3 = out->loaded->section.solid.volume_mm3;
    snprintf(out->warning, sizeof out->warning, "%s", out->loaded->unit_warning);
    fill_facts(instrument, item, out);
    return POISE_OK;
}

PoiseStatus poise_printed_body(const PoiseInstrument *instrument, const PoiseItem *item,
                               const PoiseSectionOptions *options, PoiseItemBody *out, bool *placed,
                               PoiseFaults *faults)
{
    (void)placed; /* the mesh's own axes: the dispatcher moves it */
    const PoisePrinted *printed = &item->as.printed;
    if (printed->perimeters < 0 || printed->perimeters > POISE_MAX_PERIMETERS)
        return poise_item_refuse(instrument, item, "/print/perimeters",
                                 "a whole number from 0 to 8", faults, "%d perimeters",
                                 printed->perimeters);
    double layers_g = (double)NAN;
    PoiseStatus status = POISE_OK;
    if (printed->mesh) {
        status = from_layers(instrument, item, options, out, faults);
        layers_g = out->body.mass_g;
    }
    if (!status && printed->toolpath)
        status = poise_printed_toolpath(instrument, item, layers_g, out, faults);
    out->mass_u_g = poise_doubt_mass_u_g(&out->doubt);
    return status;
}
