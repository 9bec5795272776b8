/* A tally as JSON. */
#include <math.h>

#include "output/json_build.h"
#include "output/tally_report.h"

static void add_quantity(PoiseJson *j, cJSON *parent, const char *key, PoiseQuantity q)
{
    cJSON *o = poise_json_object(j, parent, key);
    poise_json_number(j, o, "value", q.value);
    poise_json_number(j, o, "u", q.u);
}

static void add_change(PoiseJson *j, cJSON *parent, const char *key, bool known,
                       PoiseQuantity before, PoiseQuantity after)
{
    if (!known) {
        poise_json_null(j, parent, key);
        return;
    }
    cJSON *o = poise_json_object(j, parent, key);
    add_quantity(j, o, "before", before);
    add_quantity(j, o, "after", after);
}

static void add_item(PoiseJson *j, cJSON *items, const PoiseTallyItem *item)
{
    cJSON *o = poise_json_object(j, items, item->id);
    poise_json_text(j, o, "kind", item->kind);
    poise_json_bool(j, o, "weighed", item->weighed);
    poise_json_number(j, o, "predicted_g", item->predicted_g);
    poise_json_number(j, o, "predicted_u_g", item->predicted_u_g);
    poise_json_number(j, o, "weighed_g", item->weighed_g);
    poise_json_number(j, o, "scale_u_g", item->scale_u_g);
    poise_json_number(j, o, "gap_g", item->gap_g);
    poise_json_number(j, o, "z", item->z);
    poise_json_number(j, o, "expected_g", item->expected_g);
    poise_json_number(j, o, "expected_u_g", item->expected_u_g);
    poise_json_number(j, o, "expected_z", item->expected_z);
    poise_json_number(j, o, "unexplained_g", item->weighed ? item->unexplained_g : (double)NAN);
    if (item->weighed)
        poise_json_bool(j, o, "fits", !item->odd);
    else
        poise_json_null(j, o, "fits");
    poise_json_number(j, o, "corrected_g", item->corrected_g);
    poise_json_number(j, o, "corrected_u_g", item->corrected_u_g);
    poise_json_number(j, o, "total_u_if_weighed_next_g", item->next_u_g);
}

static void add_materials(PoiseJson *j, const PoiseTally *tally)
{
    cJSON *list = poise_json_object(j, NULL, "materials");
    for (size_t i = 0; i < tally->material_count && !j->failed; i++) {
        const PoiseTallyMaterial *m = &tally->materials[i];
        cJSON *o = poise_json_object(j, list, m->material->id);
        poise_json_number(j, o, "items", (double)m->items);
        poise_json_number(j, o, "weighed", (double)m->weighed);
        add_change(j, o, "density_g_cm3", true, m->density_before, m->density_after);
        add_change(j, o, "laid_g_cm3", m->printed, m->laid_before, m->laid_after);
        poise_json_number(j, o, "correlation", m->correlation);
    }
}

static void add_observed(PoiseJson *j, const PoiseTally *tally)
{
    cJSON *list = poise_json_array(j, NULL, "observed");
    for (size_t i = 0; i < tally->reading_count && !j->failed; i++) {
        const PoiseTallyReading *r = &tally->readings[i];
        cJSON *o = poise_json_object(j, list, NULL);
        poise_json_text(j, o, "what", r->what);
        poise_json_text(j, o, "method", r->method);
        poise_json_text(j, o, "unit", r->unit);
        poise_json_number(j, o, "predicted", r->predicted);
        poise_json_number(j, o, "predicted_u", r->predicted_u);
        poise_json_number(j, o, "observed", r->observed);
        poise_json_number(j, o, "observed_u", r->observed_u);
        poise_json_number(j, o, "z", r->z);
        poise_json_bool(j, o, "fits", !r->odd);
    }
    if (!tally->has_friction) {
        poise_json_null(j, NULL, "friction");
        return;
    }
    cJSON *o = poise_json_object(j, NULL, "friction");
    poise_json_number(j, o, "value", tally->friction.value);
    poise_json_number(j, o, "u", tally->friction.u);
    poise_json_text(j, o, "slips", poise_verdict_name(tally->slips));
    poise_json_number(j, o, "file_value", tally->instrument->friction.value);
    poise_json_number(j, o, "file_u", tally->instrument->friction.u);
    poise_json_number(j, o, "z", tally->friction_z);
}

char *poise_tally_json(const PoiseTally *tally)
{
    PoiseJson j = poise_json_begin();
    poise_json_number(&j, NULL, "poise", 1);
    poise_json_text(&j, NULL, "name", tally->weighing->name);
    poise_json_text(&j, NULL, "variant", tally->weighing->variant);
    cJSON *items = poise_json_object(&j, NULL, "items");
    for (size_t i = 0; i < tally->item_count && !j.failed; i++)
        add_item(&j, items, &tally->items[i]);
    add_change(&j, NULL, "flow", tally->has_flow, tally->flow_before, tally->flow_after);
    add_materials(&j, tally);
    poise_json_number(&j, NULL, "chi2", tally->chi2);
    poise_json_number(&j, NULL, "chi2_p", tally->p_value);
    cJSON *mass = poise_json_object(&j, NULL, "mass_g");
    add_quantity(&j, mass, "estimate", tally->estimate);
    add_quantity(&j, mass, "with_readings", tally->now);
    add_quantity(&j, mass, "corrected", tally->learned);
    cJSON *next = poise_json_array(&j, NULL, "weigh_next");
    for (size_t k = 0; k < tally->next_count && !j.failed; k++) {
        cJSON *o = poise_json_object(&j, next, NULL);
        poise_json_text(&j, o, "item", tally->items[tally->next[k]].id);
        poise_json_number(&j, o, "total_u_g", tally->items[tally->next[k]].next_u_g);
    }
    add_observed(&j, tally);
    return poise_json_end(&j);
}
