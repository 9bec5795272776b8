#include "bodies/mesh_item.h"

#include <math.h>
#include <stdio.h>

#include "base/faults.h"
#include "bodies/doubt.h"
#include "bodies/item_fault.h"
#include "bodies/refuse.h"
#include "geometry/mesh_overlap.h"

/* A shared volume below this share of the whole changes no mass that anyone can weigh, and is what
 * a drawing program leaves where it joins shells. */
static const double OVERLAP_TOLD = 1e-4;

static PoiseStatus read_checked(const char *path, const char *unit, PoiseMesh **mesh,
                                PoiseFaults *faults)
{
    PoiseStatus status = poise_mesh_read(path, unit, mesh, faults);
    if (status)
        return status;
    status = poise_mesh_check(*mesh, path, faults);
    if (status) {
        poise_mesh_free(*mesh);
        *mesh = NULL;
    }
    return status;
}

PoiseStatus poise_mesh_item(const PoiseInstrument *instrument, const PoiseItem *item,
                            const char *path, const char *unit, PoiseMesh **mesh,
                            PoiseMoments *moments, PoiseFaults *faults)
{
    *mesh = NULL;
    PoiseFaults *found = poise_faults_new();
    PoiseStatus status = found ? read_checked(path, unit, mesh, found) : POISE_E_MEMORY;
    if (status == POISE_E_MEMORY)
        poise_fault_memory(faults);
    else if (status == POISE_E_USAGE) /* the unit: here it comes from the file */
        status = poise_item_fault(instrument, item, POISE_E_INPUT, "/mesh_unit", unit,
                                  "mm, cm, m, in, ft or um", NULL, faults);
    else if (status)
        status = poise_item_pass_on(instrument, item, "/mesh", status, found, faults);
    poise_faults_free(found);
    if (!status)
        *moments = poise_mesh_moments(*mesh);
    return status;
}

PoiseStatus poise_mesh_item_warn(const PoiseMesh *mesh, PoiseItemBody *out, PoiseFaults *faults)
{
    double share;
    PoiseStatus status = poise_mesh_overlap(mesh, &share);
    if (status)
        return poise_fault_memory(faults);
    if (mesh->unit_warning[0])
        poise_item_add_warning(out, mesh->unit_warning);
    if (share < OVERLAP_TOLD)
        return POISE_OK;
    char sentence[POISE_ITEM_WARNING_SIZE];
    /* Tenths as whole numbers: no decimal comma, whatever the locale. */
    long tenths = lround(1000.0 * share);
    snprintf(sentence, sizeof sentence,
             "about %ld.%ld %% of the volume lies in more than one of the mesh's shells and is "
             "counted more than once; join the overlapping shells where the mesh was drawn",
             tenths / 10, tenths % 10);
    poise_item_add_warning(out, sentence);
    return POISE_OK;
}

void poise_fill_uniform(const PoiseMoments *moments, const PoiseMaterial *material,
                        PoiseItemBody *out)
{
    out->body = poise_body_from_moments(moments, material->density_g_cm3.value);
    out->doubt.density_u_g = poise_density_doubt_g(material, out->body.mass_g);
    out->has_volumes = true;
    out->perimeter_mm3 = out->skin_mm3 = out->infill_mm3 = NAN;
    out->solid_mm3 = moments->volume_mm3;
}
