/* The results of weighing as JSON; the keys are a fixed contract with people's scripts. */
#include <math.h>

#include "bodies/item_body.h"
#include "output/weigh_json_parts.h"

static const double MM3_PER_ML = 1000.0;

/* What to weigh out for a poured item; null for any other. */
static void add_pour(PoiseJson *j, cJSON *item, const PoiseItemResult *r)
{
    if (!r->detail->has_pour) {
        poise_json_null(j, item, "pour");
        return;
    }
    const PoisePourFacts *p = &r->detail->pour;
    double no = (double)NAN;
    cJSON *o = poise_json_object(j, item, "pour");
    poise_json_number(j, o, "volume_ml", r->solid_mm3 / MM3_PER_ML);
    poise_json_number(j, o, "depth_mm", p->depth_mm);
    poise_json_number(j, o, "limit_mm", p->limit_mm);
    poise_json_number(j, o, "pours", p->pours > 0 ? p->pours : no);
    poise_json_number(j, o, "cup_a_g", p->has_cups ? p->cup_a_g : no);
    poise_json_number(j, o, "cup_b_g", p->has_cups ? p->cup_b_g : no);
    poise_json_number(j, o, "pigment_g", p->has_cups ? p->pigment_g : no);
    poise_json_number(j, o, "tilt_error_mm", p->tilt_error_mm);
}

static void add_item(PoiseJson *j, cJSON *items, const PoiseItemResult *r)
{
    cJSON *o = poise_json_object(j, items, r->id);
    poise_json_text(j, o, "kind", r->kind);
    poise_json_number(j, o, "mass_g", r->body.mass_g);
    poise_json_number(j, o, "mass_u_g", r->mass_u_g);
    poise_json_vector(j, o, "centre_mm", r->body.centre_mm, 3);
    poise_json_bool(j, o, "measured", r->measured);
    poise_json_number(j, o, "predicted_g", r->predicted_g);
    poise_json_number(j, o, "predicted_u_g", r->predicted_u_g);
    if (isnan(r->solid_mm3)) {
        poise_json_null(j, o, "split");
    } else {
        cJSON *split = poise_json_object(j, o, "split");
        poise_json_number(j, split, "perimeter_mm3", r->perimeter_mm3);
        poise_json_number(j, split, "skin_mm3", r->skin_mm3);
        poise_json_number(j, split, "infill_mm3", r->infill_mm3);
        poise_json_number(j, split, "solid_mm3", r->solid_mm3);
    }
    if (isnan(r->filament_g)) {
        poise_json_null(j, o, "filament");
    } else {
        cJSON *filament = poise_json_object(j, o, "filament");
        poise_json_number(j, filament, "g", r->filament_g);
        poise_json_number(j, filament, "m", r->filament_m);
        poise_json_number(j, filament, "h", r->filament_h);
    }
    add_pour(j, o, r);
    poise_json_number(j, o, "price", r->price);
}

static void add_strap(PoiseJson *j, const PoiseWeighing *w)
{
    if (!w->has_strap) {
        poise_json_null(j, NULL, "strap");
        return;
    }
    const PoiseHanging *h = &w->hanging;
    cJSON *o = poise_json_object(j, NULL, "strap");
    poise_json_number(j, o, "neck_angle_deg", w->neck_angle_deg);
    poise_json_number(j, o, "station_mm", h->station_mm);
    poise_json_interval(j, o, "window_mm", h->window_mm);
    poise_json_number(j, o, "margin_mm", h->margin_mm);
    poise_json_number(j, o, "margin_u_mm", w->margin_u_mm);
    poise_json_number(j, o, "margin_gmm", h->margin_mm * w->total.mass_g);
    poise_json_text(j, o, "verdict", h->has_verdict ? poise_verdict_name(h->verdict) : NULL);
    poise_json_number(j, o, "needed_friction", h->needed_friction);
    poise_json_number(j, o, "hand_load_g", h->hand_load_g);
    if (h->holds_somewhere)
        poise_json_interval(j, o, "hold_range_deg", h->hold_range_deg);
    else
        poise_json_null(j, o, "hold_range_deg");
    poise_json_number(j, o, "settles_at_deg", h->settles_at_deg);
    poise_json_number(j, o, "free_hang_deg", w->free_hang_deg);
    cJSON *hangs = poise_json_array(j, o, "free_hangs");
    for (size_t i = 0; i < h->free_hang_count; i++) {
        cJSON *hang = poise_json_object(j, hangs, NULL);
        poise_json_number(j, hang, "neck_angle_deg", h->free_hangs[i].neck_angle_deg);
        poise_json_bool(j, hang, "stable", h->free_hangs[i].stable);
    }
    poise_json_number(j, o, "lean_deg", w->lean_deg);
    poise_json_number(j, o, "p_neck_heavy", w->p_neck_heavy);
    poise_json_strap_doubt(j, o, w);
}

static void add_seat(PoiseJson *j, const PoiseWeighing *w)
{
    if (!w->has_seat) {
        poise_json_null(j, NULL, "seat");
        return;
    }
    const PoiseResting *r = &w->resting;
    cJSON *o = poise_json_object(j, NULL, "seat");
    double from = w->seat_from_h_mm;
    poise_json_interval(j, o, "window_mm",
                        (PoiseInterval){r->window_mm.lo - from, r->window_mm.hi - from});
    poise_json_number(j, o, "station_mm", r->horizontal_mm - from);
    poise_json_text(j, o, "verdict", poise_verdict_name(r->verdict));
    poise_json_number(j, o, "hand_load_g", r->hand_load_g);
    poise_json_seat_doubt(j, o, w);
}

static void add_targets(PoiseJson *j, const PoiseWeighing *w)
{
    cJSON *list = poise_json_object(j, NULL, "targets");
    for (size_t i = 0; i < w->target_count; i++) {
        cJSON *t = poise_json_object(j, list, w->targets[i].key);
        poise_json_number(j, t, "limit", w->targets[i].limit);
        poise_json_number(j, t, "value", w->targets[i].value);
        if (w->targets[i].known)
            poise_json_bool(j, t, "met", w->targets[i].met);
        else
            poise_json_null(j, t, "met");
    }
}

static void add_inertia(PoiseJson *j, const PoiseWeighing *w)
{
    cJSON *rows = poise_json_array(j, NULL, "inertia_gmm2");
    for (int i = 0; i < 3; i++)
        poise_json_vector(j, rows, NULL, w->total.inertia_gmm2[i], 3);
}

char *poise_weighing_json(const PoiseWeighing *w)
{
    PoiseJson j = poise_json_begin();
    poise_json_number(&j, NULL, "poise", 1);
    poise_json_text(&j, NULL, "name", w->name);
    poise_json_text(&j, NULL, "variant", w->variant);
    poise_json_number(&j, NULL, "mass_g", w->total.mass_g);
    poise_json_number(&j, NULL, "mass_u_g", w->mass_u_g);
    poise_json_vector(&j, NULL, "centre_mm", w->total.centre_mm, 3);
    poise_json_vector(&j, NULL, "centre_u_mm", w->centre_u_mm, 3);
    add_inertia(&j, w);
    cJSON *stations = poise_json_object(&j, NULL, "stations_mm");
    poise_json_number(&j, stations, "from_tail_post", w->from_tail_post_mm);
    poise_json_number(&j, stations, "from_saddle", w->from_saddle_mm);
    poise_json_number(&j, stations, "from_nut", w->from_nut_mm);
    cJSON *items = poise_json_object(&j, NULL, "items");
    for (size_t i = 0; i < w->item_count && !j.failed; i++)
        add_item(&j, items, &w->items[i]);
    add_strap(&j, w);
    add_seat(&j, w);
    add_targets(&j, w);
    poise_json_doubt(&j, w);
    cJSON *filament = poise_json_object(&j, NULL, "filament");
    poise_json_number(&j, filament, "g", w->filament_g);
    poise_json_number(&j, filament, "m", w->filament_m);
    poise_json_number(&j, filament, "h", w->filament_h);
    poise_json_number(&j, filament, "spools", w->spools);
    poise_json_number(&j, NULL, "price", w->price);
    poise_json_texts(&j, NULL, "cautions", w->cautions, w->caution_count);
    poise_json_texts(&j, NULL, "warnings", w->warnings, w->warning_count);
    return poise_json_end(&j);
}
