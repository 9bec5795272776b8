#include "bodies/mesh_item.h"

#include <math.h>

#include "bodies/doubt.h"
#include "bodies/item_fault.h"
#include "bodies/refuse.h"

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

void poise_fill_uniform(const PoiseMoments *moments, const PoiseMaterial *material,
                        PoiseItemBody *out)
{
    out->body = poise_body_from_moments(moments, material->density_g_cm3.value);
    out->doubt.density_u_g = poise_density_doubt_g(material, out->body.mass_g);
    out->has_volumes = true;
    out->perimeter_mm3 = out->skin_mm3 = out->infill_mm3 = NAN;
    out->solid_mm3 = moments->volume_mm3;
}
