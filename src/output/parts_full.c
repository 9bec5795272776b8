#include "output/parts_full.h"

#include <math.h>
#include <string.h>

static const struct {
    PoiseHazard hazard;
    const char *words;
} HAZARDS[] = {{POISE_HAZARD_RESIN, "uncured resin"},
               {POISE_HAZARD_SOLVENT_CEMENT, "solvent cement"},
               {POISE_HAZARD_SUPERGLUE, "superglue"},
               {POISE_HAZARD_LEAD, "lead"},
               {POISE_HAZARD_DUST, "dust from sanding"}};

int poise_amount_decimals(double value, double u)
{
    double least = u > 0.0 ? u : fabs(value) / 10.0;
    return least < 0.95 ? 2 : least < 9.5 ? 1 : 0;
}

static void append_with_u(PoiseText *t, double value, double u, const char *unit)
{
    int decimals = poise_amount_decimals(value, u);
    poise_words_number(t, value, decimals);
    poise_text_printf(t, " %s", unit);
    if (u > 0.0) {
        poise_text_append(t, " ± ");
        poise_words_number(t, u, decimals);
        poise_text_printf(t, " %s", unit);
    }
}

static void append_density(PoiseText *t, double value, double u)
{
    poise_words_number(t, value, 3);
    poise_text_append(t, " ± ");
    poise_words_number(t, u, 3);
    poise_text_append(t, " g/cm³");
}

/* "140 × 45 × 42 mm" */
static void append_size(PoiseText *t, const double size_mm[3])
{
    for (int i = 0; i < 3; i++) {
        poise_text_append(t, i ? " × " : "");
        poise_words_number(t, size_mm[i], size_mm[i] == round(size_mm[i]) ? 0 : 1);
    }
    poise_text_append(t, " mm");
}

static void add_centre(PoiseFactList *list, const double c[3])
{
    PoiseText t = {0};
    if (c[0] == 0.0 && c[1] == 0.0 && c[2] == 0.0) {
        poise_facts_add(list, "Centre of mass", "at the origin");
        return;
    }
    static const char *const axes[] = {"x ", ", y ", ", z "};
    for (int i = 0; i < 3; i++) {
        poise_text_append(&t, axes[i]);
        poise_words_number(&t, c[i], c[i] == round(c[i]) ? 0 : 1);
    }
    poise_text_append(&t,
                      " mm from the origin (x towards the head, y up as worn, z out of the face)");
    poise_facts_take(list, "Centre of mass", &t);
}

static void add_spread(PoiseFactList *list, const PoisePart *p)
{
    static const char *const along[] = {"towards the head", "up as worn", "out of the face"};
    if (p->geometry.kind != POISE_GEOMETRY_NONE && p->geometry.kind != POISE_GEOMETRY_BOX)
        poise_facts_add(list, "Lies", "along %c (%s) until \"turn\" turns it", "xyz"[p->axis],
                        along[p->axis]);
    else if (p->shape == POISE_SHAPE_POINT)
        poise_facts_add(list, "Mass spread", "as if it were one point");
    else if (p->shape == POISE_SHAPE_BOX)
        poise_facts_add(list, "Mass spread", "evenly over a box of that size");
    else
        poise_facts_add(list, "Mass spread", "evenly over a cylinder of that size, along %c (%s)",
                        "xyz"[p->axis], along[p->axis]);
}

static void add_hazards(PoiseFactList *list, unsigned hazards)
{
    PoiseText t = {0};
    for (size_t i = 0; i < sizeof HAZARDS / sizeof *HAZARDS; i++)
        if (hazards & (unsigned)HAZARDS[i].hazard) {
            poise_text_append(&t, t.length ? ", " : "");
            poise_text_append(&t, HAZARDS[i].words);
        }
    if (t.length == 0 && !t.failed)
        return;
    poise_text_append(&t, ": follow the safety sheet; poise weigh shows the cautions");
    poise_facts_take(list, "Hazards", &t);
}

static void add_part(PoiseFactList *list, const PoiseListed *e)
{
    const PoisePart *p = e->part;
    PoiseText t = {0};
    poise_facts_add(list, "In a file", "\"kind\": \"part\", \"part\": \"%s\", \"at\": [x, y, z]",
                    e->id);
    append_with_u(&t, e->mass_g, e->mass_u_g, "g");
    if (p->material)
        poise_text_printf(&t, ", computed from its size and the density of \"%s\"",
                          p->material->id);
    poise_facts_take(list, "Mass", &t);
    poise_facts_add(list, "Origin", "%s; \"at\" says where this point goes", p->origin);
    add_centre(list, p->centre_mm);
    if (p->extent_mm[0] > 0.0 || p->extent_mm[1] > 0.0 || p->extent_mm[2] > 0.0) {
        append_size(&t, p->extent_mm);
        poise_text_append(&t, " along x, y, z");
        poise_facts_take(list, "Size", &t);
    }
    add_spread(list, p);
    if (p->has_price)
        poise_facts_add(list, "Price", "about %.0f, a rough guide in any currency", p->price);
}

static void add_material(PoiseFactList *list, const PoiseListed *e)
{
    const PoiseMaterial *m = e->material;
    PoiseText t = {0};
    poise_facts_add(list, "In a file", "\"material\": \"%s\"", e->id);
    append_density(&t, m->density_g_cm3.value, m->density_g_cm3.u);
    if (!isnan(m->moisture_percent))
        poise_text_printf(&t, " at %.0f %% moisture", m->moisture_percent);
    poise_facts_take(list, "Density", &t);
    if (!isnan(m->pour_limit_mm))
        poise_facts_add(list, "Pour limit",
                        "%.0f mm in one pour at most; the product's data sheet decides",
                        m->pour_limit_mm);
    if (!isnan(m->part_a_g_cm3) && !isnan(m->part_b_g_cm3))
        poise_facts_add(list, "Liquid parts", "A %.2f g/cm³, B %.2f g/cm³", m->part_a_g_cm3,
                        m->part_b_g_cm3);
    if (m->shrinkage > 0.0)
        poise_facts_add(list, "Shrinks", "%.1f %% by volume while it cures", 100.0 * m->shrinkage);
}

/* "sugar-maple", "76", "0.46 mm, 0.33 mm", "length 76, thickness 25" */
static void append_setting(PoiseText *t, const cJSON *value)
{
    char number[32];
    if (cJSON_IsString(value)) {
        poise_text_append(t, value->valuestring);
    } else if (cJSON_IsNumber(value)) {
        poise_double_text(value->valuedouble, number);
        poise_text_append(t, number);
    }
    for (const cJSON *v = value->child; v; v = v->next) {
        if (v->string)
            poise_text_printf(t, "%s ", v->string);
        append_setting(t, v);
        poise_text_append(t, v->next ? ", " : "");
    }
}

static void add_preset(PoiseFactList *list, const PoiseListed *e)
{
    poise_facts_add(list, "In a file", "\"kind\": \"%s\", \"preset\": \"%s\"",
                    poise_listed_kind_name(e->kind), e->id);
    poise_facts_add(list, "Mass",
                    "follows from the settings and the file's \"scale\"; an item may give any of "
                    "them anew");
    PoiseText t = {0};
    for (const cJSON *v = e->settings ? e->settings->child : NULL; v; v = v->next) {
        poise_text_printf(&t, "%s ", v->string);
        append_setting(&t, v);
        poise_text_append(&t, v->next ? "; " : "");
    }
    poise_facts_take(list, "Settings", &t);
}

void poise_words_listed(PoiseFactList *list, const PoiseListed *e)
{
    poise_facts_add(list, "Name", "%s", e->name);
    if (e->kind == POISE_LISTED_PART)
        add_part(list, e);
    else if (e->kind == POISE_LISTED_MATERIAL)
        add_material(list, e);
    else
        add_preset(list, e);
    add_hazards(list, e->part ? e->part->hazards : e->material ? e->material->hazards : 0U);
    poise_facts_add(list, "Source", "%s", e->source);
}
