/* Items of kind "solid": a mesh of one material, or a slab with pockets. */
#include <math.h>
#include <stdio.h>

#include "base/faults.h"
#include "base/memory.h"
#include "bodies/item_fault.h"
#include "bodies/mesh_item.h"
#include "geometry/slab.h"

static PoiseStatus from_mesh(const PoiseInstrument *instrument, const PoiseItem *item,
                             PoiseItemBody *out, PoiseFaults *faults)
{
    const PoiseSolid *solid = &item->as.solid;
    PoiseMesh *mesh;
    PoiseMoments moments;
    PoiseStatus status =
        poise_mesh_item(instrument, item, solid->mesh, solid->mesh_unit, &mesh, &moments, faults);
    if (status)
        return status;
    poise_fill_uniform(&moments, solid->material, out);
    status = poise_mesh_item_warn(mesh, out, faults);
    poise_mesh_free(mesh);
    return status;
}

static PoiseSlabCut *slab_cuts(const PoiseSolid *solid)
{
    PoiseSlabCut *cuts = poise_alloc_zero(solid->cut_count, sizeof *cuts);
    if (!cuts)
        return NULL;
    for (size_t i = 0; i < solid->cut_count; i++) {
        const PoiseCut *from = &solid->cuts[i];
        cuts[i] = (PoiseSlabCut){
            .count = from->outline.count,
            .points_mm = (const double(*)[2])from->outline.points_mm,
            .at_mm = {from->at_mm[0], from->at_mm[1]},
            .diameter_mm = from->diameter_mm,
            .depth_mm = from->depth_mm,
            .from_bottom = from->from_bottom,
        };
    }
    return cuts;
}

/* What the stock's thickness leaves open: the slab worked out again one standard uncertainty
 * thicker, the top face and the pockets' depths staying (JCGM 100, 5.1.3, note 2). */
static void add_thickness_doubt(const PoiseMoments *thicker, const PoiseMaterial *material,
                                PoiseItemBody *out)
{
    PoiseBody other = poise_body_from_moments(thicker, material->density_g_cm3.value);
    out->doubt.own_u_g = fabs(other.mass_g - out->body.mass_g);
    for (int i = 0; i < 3; i++)
        out->doubt.place_u_mm[i] = fabs(other.centre_mm[i] - out->body.centre_mm[i]);
}

/* The geometry room knows pointers but not the file's lines: adds the item's. */
static void relay_faults(const PoiseItem *item, const PoiseFaults *from, PoiseFaults *faults)
{
    for (size_t i = 0; i < poise_faults_count(from); i++) {
        PoiseFault fault = *poise_faults_get(from, i);
        fault.line = item->line;
        fault.column = item->column;
        poise_fault_add(faults, &fault);
    }
}

/* The slab's moments at a thickness, its faults at the item's place. */
static PoiseStatus slab_moments(const PoiseInstrument *instrument, const PoiseItem *item,
                                const PoiseSlabCut *cuts, double thickness_mm,
                                PoiseMoments *moments, PoiseFaults *faults)
{
    const PoiseSolid *solid = &item->as.solid;
    char *pointer = poise_item_pointer(item, "");
    PoiseFaults *found = poise_faults_new();
    PoiseStatus status = POISE_E_MEMORY;
    if (pointer && found)
        status = poise_slab_moments((const double(*)[2])solid->outline.points_mm,
                                    solid->outline.count, thickness_mm, solid->top_mm, cuts,
                                    solid->cut_count, instrument->file, pointer, moments, found);
    if (status == POISE_E_MEMORY)
        poise_fault_memory(faults);
    else if (status)
        relay_faults(item, found, faults);
    poise_faults_free(found);
    poise_release(pointer);
    return status;
}

static PoiseStatus from_slab(const PoiseInstrument *instrument, const PoiseItem *item,
                             PoiseItemBody *out, PoiseFaults *faults)
{
    const PoiseSolid *solid = &item->as.solid;
    PoiseSlabCut *cuts = slab_cuts(solid);
    if (!cuts)
        return poise_fault_memory(faults);
    PoiseMoments moments;
    double thickness = solid->thickness_mm.value, u = solid->thickness_mm.u;
    PoiseStatus status = slab_moments(instrument, item, cuts, thickness, &moments, faults);
    if (!status) {
        poise_fill_uniform(&moments, solid->material, out);
        if (u > 0.0)
            status = slab_moments(instrument, item, cuts, thickness + u, &moments, faults);
        if (!status && u > 0.0)
            add_thickness_doubt(&moments, solid->material, out);
    }
    poise_release(cuts);
    return status;
}

PoiseStatus poise_solid_body(const PoiseInstrument *instrument, const PoiseItem *item,
                             const PoiseSectionOptions *options, PoiseItemBody *out, bool *placed,
                             PoiseFaults *faults)
{
    (void)options;
    (void)placed;
    return item->as.solid.mesh ? from_mesh(instrument, item, out, faults)
                               : from_slab(instrument, item, out, faults);
}
