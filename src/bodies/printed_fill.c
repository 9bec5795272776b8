#include "bodies/printed_fill.h"

#include <math.h>

#include "bodies/doubt.h"

static const double QUARTER_PI = 0.78539816339744830962;
static const double G_MM3_PER_G_CM3 = 1e-3;

double poise_infill_share(double infill)
{
    return infill * (1.0 + POISE_INFILL_OVERLAP * (1.0 - infill));
}

PoiseLaying poise_printed_laying(const PoisePrinted *printed, bool told)
{
    const PoiseMaterial *material = printed->material;
    double set = printed->flow.value, scale = told ? 1.0 / set : 1.0;
    PoiseLaying laying = {material->density_g_cm3, {set * scale, printed->flow.u * scale}};
    if (material->laid_g_cm3.value > 0.0)
        laying = (PoiseLaying){material->laid_g_cm3, {set * scale, 0.0}};
    else if (printed->learned_flow.value > 0.0)
        laying.flow = (PoiseQuantity){set * scale * printed->learned_flow.value,
                                      set * scale * printed->learned_flow.u};
    return laying;
}

PoiseBody poise_printed_fill(const PoiseSplit *split, double infill, double flow,
                             double density_g_cm3)
{
    PoiseMoments filled = {0};
    poise_moments_add(&filled, &split->perimeter, 1.0);
    poise_moments_add(&filled, &split->skin, 1.0);
    poise_moments_add(&filled, &split->infill, poise_infill_share(infill));
    return poise_body_from_moments(&filled, density_g_cm3 * flow);
}

double poise_line_narrowing(const PoiseSlicing *slicing)
{
    return (1.0 - QUARTER_PI) * slicing->layer_mm / slicing->line_mm;
}

/* Adds a doubtful mass in a region: to the item's own doubt, and to its centre's by the lever from
 * the body's centre to the region's, δc = δm (c_region − c) / m. */
static void add_region_doubt(PoiseItemDoubt *doubt, const PoiseMoments *region, double mass_u_g,
                             const PoiseBody *body)
{
    if (!(region->volume_mm3 > 0.0 && body->mass_g > 0.0))
        return;
    doubt->own_u_g = hypot(doubt->own_u_g, mass_u_g);
    for (int i = 0; i < 3; i++) {
        double centre = region->origin_mm[i] + region->first_mm4[i] / region->volume_mm3;
        double moved = mass_u_g * (centre - body->centre_mm[i]) / body->mass_g;
        doubt->place_u_mm[i] = hypot(doubt->place_u_mm[i], moved);
    }
}

static double share_of(PoiseQuantity q)
{
    return q.value > 0.0 ? q.u / q.value : 0.0;
}

PoiseItemDoubt poise_laying_doubt(const PoiseLaying *laying, double mass_g)
{
    return (PoiseItemDoubt){.density_u_g = mass_g * share_of(laying->density_g_cm3),
                            .flow_u_g = mass_g * share_of(laying->flow)};
}

PoiseItemDoubt poise_printed_doubt(const PoisePrinted *printed, const PoiseSplit *split,
                                   const PoiseBody *body)
{
    PoiseLaying laying = poise_printed_laying(printed, false);
    double infill = printed->infill.value, share = poise_infill_share(infill);
    double g_per_mm3 = laying.density_g_cm3.value * laying.flow.value * G_MM3_PER_G_CM3;
    PoiseItemDoubt doubt = poise_laying_doubt(&laying, body->mass_g);
    /* The slope of the share, and a pattern that cannot be off where there is none or no room for
     * it. */
    double slope = 1.0 + POISE_INFILL_OVERLAP * (1.0 - 2.0 * infill);
    double pattern = infill < 1.0 ? share * POISE_INFILL_PATTERN_U : 0.0;
    double infill_u = hypot(slope * printed->infill.u, pattern);
    add_region_doubt(&doubt, &split->infill, g_per_mm3 * split->infill.volume_mm3 * infill_u, body);
    double wall_u = poise_line_narrowing(&printed->slicing) * POISE_RECTANGULAR * (1.0 - share);
    add_region_doubt(&doubt, &split->perimeter, g_per_mm3 * split->perimeter.volume_mm3 * wall_u,
                     body);
    return doubt;
}
