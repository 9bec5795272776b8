#include <math.h>

#include "decide/remedy.h"
#include "output/json_build.h"

static void add_hold(PoiseJson *j, cJSON *list, const PoiseRemedyHold *h)
{
    cJSON *o = poise_json_object(j, list, NULL);
    poise_json_number(j, o, "neck_angle_deg", h->neck_angle_deg);
    poise_json_text(j, o, "verdict", h->known ? poise_verdict_name(h->verdict) : NULL);
    poise_json_number(j, o, "margin_mm", h->margin_mm);
    poise_json_number(j, o, "hand_load_g", h->hand_load_g);
}

static void add_state(PoiseJson *j, cJSON *o, const PoiseRemedyState *s)
{
    poise_json_number(j, o, "mass_g", s->mass_g);
    poise_json_number(j, o, "price", s->price);
    poise_json_number(j, o, "filament_g", s->filament_g);
    poise_json_number(j, o, "hours", s->hours);
    cJSON *strap = poise_json_array(j, o, "strap"), *leg = poise_json_array(j, o, "leg");
    for (size_t i = 0; i < s->angle_count; i++) {
        if (s->strap[i].known)
            add_hold(j, strap, &s->strap[i]);
        if (s->leg[i].known)
            add_hold(j, leg, &s->leg[i]);
    }
}

static void add_remedy(PoiseJson *j, cJSON *list, const PoiseRemedies *all, size_t i)
{
    const PoiseRemedy *r = &all->list[i];
    cJSON *o = poise_json_object(j, list, NULL);
    poise_json_number(j, o, "rank", (double)(i + 1));
    poise_json_text(j, o, "kind", poise_remedy_kind_name(r->kind));
    poise_json_text(j, o, "title", r->title);
    poise_json_texts(j, o, "steps", r->steps, r->step_count);
    poise_json_number(j, o, "added_g", r->added_g);
    poise_json_number(j, o, "price_change", r->price_change);
    poise_json_number(j, o, "filament_change_g", r->state.filament_g - all->now.filament_g);
    poise_json_number(j, o, "effort", r->effort);
    poise_json_bool(j, o, "proved", r->proved);
    add_state(j, o, &r->state);
    cJSON *patch = cJSON_Duplicate(r->patch, 1);
    if (!patch || !o || !cJSON_AddItemToObject(o, "patch", patch)) {
        cJSON_Delete(patch);
        j->failed = true;
    }
}

static void add_rest(PoiseJson *j, const PoiseRemedies *r)
{
    cJSON *list = poise_json_array(j, NULL, "not_enough");
    for (size_t i = 0; i < r->shortfall_count; i++) {
        cJSON *o = poise_json_object(j, list, NULL);
        poise_json_text(j, o, "way", r->shortfalls[i].way);
        poise_json_text(j, o, "text", r->shortfalls[i].text);
        poise_json_number(j, o, "short_by", r->shortfalls[i].short_by);
        poise_json_text(j, o, "unit", r->shortfalls[i].unit);
    }
    poise_json_texts(j, NULL, "conflicts", r->conflicts, r->conflict_count);
    list = poise_json_array(j, NULL, "weight_off");
    for (size_t i = 0; i < r->leverage_count; i++) {
        cJSON *o = poise_json_object(j, list, NULL);
        poise_json_text(j, o, "item", r->leverages[i].id);
        poise_json_number(j, o, "mass_g", r->leverages[i].mass_g);
        poise_json_number(j, o, "hand_load_per_10_g", r->leverages[i].hand_load_per_10_g);
        poise_json_number(j, o, "enough_g", r->leverages[i].enough_g);
    }
    poise_json_texts(j, NULL, "notes", r->notes, r->note_count);
    poise_json_number(j, NULL, "unshown", (double)r->unshown);
    poise_json_number(j, NULL, "dropped", (double)r->dropped);
}

char *poise_remedies_json(const PoiseRemedies *r)
{
    PoiseJson j = poise_json_begin();
    poise_json_number(&j, NULL, "poise", 1);
    poise_json_text(&j, NULL, "name", r->name);
    poise_json_text(&j, NULL, "variant", r->variant);
    cJSON *target = poise_json_object(&j, NULL, "target");
    poise_json_number(&j, target, "mass_g", r->target_mass_g);
    poise_json_number(&j, target, "hand_load_g", r->target_hand_load_g);
    poise_json_number(&j, target, "margin_mm", r->target_margin_mm);
    poise_json_bool(&j, target, "only_holds", r->default_target);
    poise_json_bool(&j, target, "on_strap", r->strap);
    poise_json_bool(&j, target, "on_leg", r->leg);
    add_state(&j, poise_json_object(&j, NULL, "now"), &r->now);
    poise_json_bool(&j, NULL, "met", r->met);
    poise_json_text(&j, NULL, "problem", r->worst);
    cJSON *list = poise_json_array(&j, NULL, "remedies");
    for (size_t i = 0; i < r->count; i++)
        add_remedy(&j, list, r, i);
    add_rest(&j, r);
    return poise_json_end(&j);
}
