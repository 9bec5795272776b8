/* Items of kind "mass": a weighed thing of a plain shape about the item's own origin. */
#include "bodies/doubt.h"

static PoiseBody plain_body(const PoiseMass *mass)
{
    static const double origin[3] = {0.0, 0.0, 0.0};
    switch (mass->shape) {
    case POISE_SHAPE_BOX:
        return poise_body_box(mass->mass_g.value, origin, mass->size_mm);
    case POISE_SHAPE_CYLINDER:
        return poise_body_cylinder(mass->mass_g.value, origin, mass->size_mm[0], mass->size_mm[1],
                                   mass->axis);
    case POISE_SHAPE_POINT:
        break;
    }
    return poise_body_point(mass->mass_g.value, origin);
}

/* A ballast place weighs what the file says, which is 0 until something is put there. */
PoiseStatus poise_mass_body(const PoiseInstrument *instrument, const PoiseItem *item,
                            const PoiseSectionOptions *options, PoiseItemBody *out, bool *placed,
                            PoiseFaults *faults)
{
    (void)instrument;
    (void)options;
    (void)placed;
    (void)faults;
    const PoiseMass *mass = &item->as.mass;
    out->body = plain_body(mass);
    out->doubt.own_u_g = mass->mass_g.u;
    for (int i = 0; i < 3; i++)
        out->doubt.place_u_mm[i] = POISE_PLACE_U_MM;
    return POISE_OK;
}
