#include "input/material_read.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "model/wood.h"

double poise_wood_density_from(double gravity, double at_moisture_percent, double moisture_percent)
{
    double basic = poise_wood_basic_gravity(gravity, at_moisture_percent);
    return poise_wood_density_g_cm3(poise_wood_gravity_at(basic, moisture_percent),
                                    moisture_percent);
}

/* The inverse of ρ = G_x (1 + x/100). */
static double gravity_from(double density_g_cm3, double moisture_percent)
{
    return density_g_cm3 / (1.0 + moisture_percent / 100.0);
}

/* Half the change over ±u: the first-order propagation of u (JCGM 100:2008, 5.1.3) for this smooth
 * function. */
static PoiseQuantity density_of_gravity(PoiseQuantity gravity, double at, double moisture)
{
    double hi = poise_wood_density_from(gravity.value + gravity.u, at, moisture);
    double lo = poise_wood_density_from(gravity.value - gravity.u, at, moisture);
    return (PoiseQuantity){poise_wood_density_from(gravity.value, at, moisture),
                           fabs(hi - lo) / 2.0};
}

static bool take_text(PoiseReading *r, char **to, const char *text)
{
    if (*to)
        return true;
    *to = poise_copy_text(text);
    if (!*to)
        poise_reading_memory(r);
    return *to != NULL;
}

/* What the file does not say is as in the base. */
static void inherit(PoiseMaterialDraft *d, const PoiseMaterial *base)
{
    PoiseMaterial *m = &d->material;
    if (!d->has_family)
        m->family = base->family;
    if (!d->has_hazards)
        m->hazards = base->hazards;
    if (!d->has_shrinkage)
        m->shrinkage = base->shrinkage;
    if (isnan(m->pour_limit_mm))
        m->pour_limit_mm = base->pour_limit_mm;
    if (isnan(m->part_a_g_cm3))
        m->part_a_g_cm3 = base->part_a_g_cm3;
    if (isnan(m->part_b_g_cm3))
        m->part_b_g_cm3 = base->part_b_g_cm3;
    if (!d->has_moisture && !isnan(base->moisture_percent))
        d->moisture_percent = base->moisture_percent;
}

static const PoiseMaterial *find_base(PoiseReading *r, const PoiseMaterialDraft *d)
{
    if (!d->base || !r->library)
        return NULL;
    const PoiseMaterial *base = poise_library_material(r->library, d->base);
    if (!base) {
        static const PoiseKey BASE = {.kind = POISE_VALUE_MATERIAL};
        /* A name that is not there: the same message as for an item's material. */
        cJSON name = {.type = cJSON_String, .valuestring = d->base};
        size_t up = poise_reading_down(r, "base");
        PoiseMaterial *const *own = r->own;
        size_t own_count = r->own_count;
        r->own_count = 0;
        poise_read_value(r, &name, &BASE, NULL);
        r->own = own;
        r->own_count = own_count;
        poise_reading_up(r, up);
    }
    return base;
}

/* The density from whichever of the ways the file takes. */
static void settle_density(PoiseMaterialDraft *d, const PoiseMaterial *base)
{
    PoiseQuantity *density = &d->material.density_g_cm3;
    if (d->has_density) {
        *density = d->density_g_cm3;
    } else if (d->has_gravity) {
        *density = density_of_gravity(d->gravity, d->at_moisture_percent, d->moisture_percent);
    } else if (d->has_green) {
        *density =
            density_of_gravity(d->green, POISE_FIBRE_SATURATION_PERCENT, d->moisture_percent);
    } else if (base) {
        *density = base->density_g_cm3;
        if (!isnan(base->moisture_percent) && d->moisture_percent != base->moisture_percent) {
            double gravity = gravity_from(base->density_g_cm3.value, base->moisture_percent);
            double value =
                poise_wood_density_from(gravity, base->moisture_percent, d->moisture_percent);
            density->u *= value / density->value;
            density->value = value;
        }
    } else {
        return; /* said already */
    }
    bool stated = d->has_density && d->density_g_cm3.u > 0.0;
    if (!isnan(d->spread) && !stated)
        density->u = d->spread * density->value;
}

/* One way to the density, whether its value is good or not. */
static void check_members(PoiseReading *r, const cJSON *value, bool own)
{
    static const char *const ways[] = {"density", "specific_gravity", "specific_gravity_green"};
    int given = 0;
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++)
        given += poise_member(value, ways[i]) != NULL;
    if (given > 1)
        poise_reading_fault(r, false, "the density given in more than one way",
                            "one of: density, specific_gravity, specific_gravity_green", NULL);
    if (given == 0 && !(own && poise_member(value, "base")))
        poise_reading_missing(r, "density", poise_unit_kind_example(POISE_UNIT_DENSITY),
                              own ? "or a base to start from"
                                  : "or, of a wood, a specific gravity");
}

static void settle(PoiseReading *r, PoiseMaterialDraft *d, bool own)
{
    const PoiseMaterial *base = find_base(r, d);
    if (base)
        inherit(d, base);
    bool wood = d->material.family == POISE_MATERIAL_WOOD;
    if ((d->has_gravity || d->has_green || d->has_moisture) && !wood && !(d->base && !base))
        poise_reading_fault(r, false, "specific gravity or moisture of a material that is no wood",
                            "a density, or the family \"wood\"", NULL);
    settle_density(d, base);
    d->material.moisture_percent = wood ? d->moisture_percent : NAN;
    if (own) {
        take_text(r, &d->material.name, d->material.id);
        take_text(r, &d->material.source, base ? base->source : "the instrument file");
    }
}

PoiseMaterial *poise_read_material(PoiseReading *r, const cJSON *value, const char *id, bool own)
{
    PoiseMaterialDraft d = {0};
    PoiseStatus before = r->status;
    r->status = POISE_OK;
    bool object = poise_read_object(r, value, own ? &poise_own_material_keys : &poise_material_keys,
                                    &d, NULL);
    bool good = take_text(r, &d.material.id, id);
    if (object)
        check_members(r, value, own);
    if (good && !r->status) /* what is built on faulty numbers would only repeat the faults */
        settle(r, &d, own);
    if (before && r->status != POISE_E_MEMORY)
        r->status = before;
    poise_release(d.base);
    PoiseMaterial *material = good ? poise_alloc(sizeof *material) : NULL;
    if (material) {
        *material = d.material;
        return material;
    }
    if (good)
        poise_reading_memory(r);
    poise_release(d.material.id);
    poise_release(d.material.name);
    poise_release(d.material.source);
    return NULL;
}
