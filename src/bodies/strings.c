/* Items of kind "strings": thin rods on the line from the posts to behind the saddle. */
#include <math.h>

#include "bodies/doubt.h"
#include "bodies/refuse.h"
#include "bodies/scale_axes.h"
#include "bodies/string_model.h"

static const double QUARTER_PI = 0.78539816339744830962;

double poise_plain_string_g_per_m(double gauge_mm, double density_g_cm3)
{
    return density_g_cm3 * QUARTER_PI * gauge_mm * gauge_mm;
}

double poise_wound_string_g_per_m(double gauge_mm, double core, double core_g_cm3,
                                  double wrap_g_cm3)
{
    double core_mm = core * gauge_mm;
    double annulus_mm2 = QUARTER_PI * (gauge_mm * gauge_mm - core_mm * core_mm);
    return poise_plain_string_g_per_m(core_mm, core_g_cm3) +
           wrap_g_cm3 * POISE_STRING_PACKING * annulus_mm2;
}

/* Unit masses of the set, added up, with what each source leaves open, all g/m. The same densities
 * and the same ways of winding go through every string of a set, so these add up as they are;
 * gauges are measured one by one and add as squares. */
typedef struct SetMass {
    double g_per_m;
    double core_u, wrap_u, winding_u, gauge_u;
} SetMass;

static const PoiseMaterial *wrap_of(const PoiseStrings *set)
{
    return set->wrap ? set->wrap : set->material;
}

static void add_gauge_doubt(SetMass *sum, const PoiseString *string, double unit)
{
    /* m ∝ d² for either kind. */
    sum->gauge_u = hypot(sum->gauge_u, 2.0 * unit * string->gauge_mm.u / string->gauge_mm.value);
}

static void add_plain(SetMass *sum, const PoiseStrings *set, const PoiseString *string)
{
    double unit =
        poise_plain_string_g_per_m(string->gauge_mm.value, set->material->density_g_cm3.value);
    sum->g_per_m += unit;
    sum->core_u += poise_density_doubt_g(set->material, unit);
    add_gauge_doubt(sum, string, unit);
}

static void add_wound(SetMass *sum, const PoiseStrings *set, const PoiseString *string)
{
    double d = string->gauge_mm.value;
    double core = set->material->density_g_cm3.value, wrap = wrap_of(set)->density_g_cm3.value;
    double unit = poise_wound_string_g_per_m(d, POISE_STRING_CORE, core, wrap);
    double thin =
        poise_wound_string_g_per_m(d, POISE_STRING_CORE - POISE_STRING_CORE_U, core, wrap);
    double thick =
        poise_wound_string_g_per_m(d, POISE_STRING_CORE + POISE_STRING_CORE_U, core, wrap);
    double core_part = poise_plain_string_g_per_m(POISE_STRING_CORE * d, core);
    sum->g_per_m += unit;
    sum->core_u += poise_density_doubt_g(set->material, core_part);
    double *wrap_u = wrap_of(set) == set->material ? &sum->core_u : &sum->wrap_u;
    *wrap_u += poise_density_doubt_g(wrap_of(set), unit - core_part);
    sum->winding_u += hypot((thick - thin) / 2.0, POISE_STRING_WOUND_U * unit);
    add_gauge_doubt(sum, string, unit);
}

static SetMass set_mass(const PoiseStrings *set)
{
    SetMass sum = {0};
    for (size_t i = 0; i < set->count; i++) {
        const PoiseString *string = &set->strings[i];
        if (!isnan(string->unit_mass_g_per_m))
            sum.g_per_m += string->unit_mass_g_per_m;
        else if (string->wound)
            add_wound(&sum, set, string);
        else
            add_plain(&sum, set, string);
    }
    return sum;
}

PoiseStatus poise_strings_body(const PoiseInstrument *instrument, const PoiseItem *item,
                               const PoiseSectionOptions *options, PoiseItemBody *out, bool *placed,
                               PoiseFaults *faults)
{
    (void)options;
    const PoiseStrings *set = &item->as.strings;
    if (set->count == 0)
        return poise_item_refuse(instrument, item, "/gauges", "the gauge of at least one string",
                                 faults, "a set without strings");
    PoiseScaleAxes axes;
    PoiseStatus status = poise_scale_axes(instrument, item, &axes, faults);
    if (status != POISE_OK)
        return status;
    double head_end = set->beyond_nut_mm, tail_end = -axes.length_mm - set->beyond_saddle_mm;
    double metres = (head_end - tail_end) / 1000.0;
    SetMass unit = set_mass(set);
    out->body =
        poise_body_box(unit.g_per_m * metres, (double[3]){(head_end + tail_end) / 2.0, 0.0, 0.0},
                       (double[3]){head_end - tail_end, 0.0, 0.0});
    out->doubt.density_u_g = unit.core_u * metres;
    out->doubt.own_u_g = hypot(hypot(unit.wrap_u, unit.winding_u), unit.gauge_u) * metres;
    for (int i = 0; i < 3; i++)
        out->doubt.place_u_mm[i] = POISE_PLACE_U_MM;
    out->mass_u_g = poise_doubt_mass_u_g(&out->doubt);
    poise_scale_place(&axes, item, out, placed);
    return POISE_OK;
}
