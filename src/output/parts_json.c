/* The component library as JSON, for people's scripts. */
#include <math.h>

#include "output/json_build.h"
#include "output/parts_list.h"

static void add_hazards(PoiseJson *j, cJSON *o, unsigned hazards)
{
    static const struct {
        PoiseHazard hazard;
        char *name;
    } names[] = {{POISE_HAZARD_RESIN, (char *)"resin"},
                 {POISE_HAZARD_SOLVENT_CEMENT, (char *)"solvent-cement"},
                 {POISE_HAZARD_SUPERGLUE, (char *)"superglue"},
                 {POISE_HAZARD_LEAD, (char *)"lead"},
                 {POISE_HAZARD_DUST, (char *)"dust"}};
    char *list[sizeof names / sizeof *names];
    size_t n = 0;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (hazards & (unsigned)names[i].hazard)
            list[n++] = names[i].name;
    poise_json_texts(j, o, "hazards", list, n);
}

static void add_part(PoiseJson *j, cJSON *o, const PoiseListed *e)
{
    static const char *const cylinders[] = {"cylinder-x", "cylinder-y", "cylinder-z"};
    const PoisePart *p = e->part;
    bool sized = p->extent_mm[0] > 0.0 || p->extent_mm[1] > 0.0 || p->extent_mm[2] > 0.0;
    poise_json_number(j, o, "mass_g", e->mass_g);
    poise_json_number(j, o, "mass_u_g", e->mass_u_g);
    poise_json_bool(j, o, "computed", p->geometry.kind != POISE_GEOMETRY_NONE);
    poise_json_text(j, o, "material", p->material ? p->material->id : NULL);
    poise_json_text(j, o, "origin", p->origin);
    poise_json_vector(j, o, "centre_mm", p->centre_mm, 3);
    if (sized)
        poise_json_vector(j, o, "extent_mm", p->extent_mm, 3);
    else
        poise_json_null(j, o, "extent_mm");
    poise_json_text(j, o, "shape",
                    p->shape == POISE_SHAPE_POINT ? "point"
                    : p->shape == POISE_SHAPE_BOX ? "box"
                                                  : cylinders[p->axis]);
    poise_json_number(j, o, "price", p->has_price ? p->price : (double)NAN);
    add_hazards(j, o, p->hazards);
}

static void add_material(PoiseJson *j, cJSON *o, const PoiseMaterial *m)
{
    poise_json_number(j, o, "density_g_cm3", m->density_g_cm3.value);
    poise_json_number(j, o, "density_u_g_cm3", m->density_g_cm3.u);
    poise_json_number(j, o, "moisture_percent", m->moisture_percent);
    poise_json_number(j, o, "pour_limit_mm", m->pour_limit_mm);
    poise_json_number(j, o, "part_a_g_cm3", m->part_a_g_cm3);
    poise_json_number(j, o, "part_b_g_cm3", m->part_b_g_cm3);
    poise_json_number(j, o, "shrinkage", m->shrinkage);
    add_hazards(j, o, m->hazards);
}

static void add_entry(PoiseJson *j, cJSON *group, const PoiseListed *e)
{
    cJSON *o = poise_json_object(j, group, e->id);
    poise_json_text(j, o, "name", e->name);
    poise_json_text(j, o, "family", e->family);
    if (e->part)
        add_part(j, o, e);
    else if (e->material)
        add_material(j, o, e->material);
    else
        poise_json_copy(j, o, "settings", e->settings);
    poise_json_text(j, o, "source", e->source);
}

char *poise_parts_json(const PoiseListing *l)
{
    static const char *const groups[] = {"parts", "necks", "string_sets", "materials"};
    static const char *const matches[] = {"all", "words", "inside words", "near", "none"};
    PoiseJson j = poise_json_begin();
    poise_json_number(&j, NULL, "poise", 1);
    poise_json_text(&j, NULL, "match", matches[l->match]);
    for (size_t k = 0; k < POISE_LISTED_KINDS; k++) {
        cJSON *group = poise_json_object(&j, NULL, groups[k]);
        for (size_t i = 0; i < l->count && !j.failed && l->match != POISE_MATCH_NONE; i++)
            if ((size_t)l->entries[i].kind == k)
                add_entry(&j, group, &l->entries[i]);
    }
    return poise_json_end(&j);
}
