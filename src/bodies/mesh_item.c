#include "bodies/mesh_item.h"

#include <math.h>

#include "bodies/doubt.h"
#include "bodies/item_fault.h"

PoiseStatus poise_mesh_item(const PoiseInstrument *instrument, const PoiseItem *item,
                            const char *path, const char *unit, PoiseMesh **mesh,
                            PoiseMoments *moments, PoiseFaults *faults)
{
    *mesh = NULL;
    PoiseStatus status = poise_mesh_read(path, unit, mesh, faults);
    if (!status)
        status = poise_mesh_check(*mesh, path, faults);
    if (status) {
        if (*mesh)
            poise_mesh_free(*mesh);
        *mesh = NULL;
        if (status == POISE_E_MEMORY)
            return status;
        return poise_item_fault(instrument, item, status, "/mesh", path,
                                "a mesh file that bounds a solid", NULL, faults);
    }
    *moments = poise_mesh_moments(*mesh);
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
