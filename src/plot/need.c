#include "plot/need.h"

#include <math.h>

static void add_rule(PoiseNeed *need, double edge, double excess)
{
    if (excess > 0.0)
        need->rules[need->count++] = (PoiseNeedRule){edge, excess};
}

PoiseNeed poise_need_find(const PoiseInstrument *in, const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    bool tail_heavy = h->verdict == POISE_TAIL_HEAVY;
    PoiseNeed need = {
        .way = tail_heavy ? -1.0 : 1.0, .hand_load_g = (double)NAN, .margin_mm = (double)NAN};
    double edge = tail_heavy ? h->window_mm.lo : h->window_mm.hi, mass = w->total.mass_g;
    double excess = need.way * (h->station_mm - edge) * mass, allowed = 0.0;
    if (in->has_target_hand_load && w->has_hand && h->verdict != POISE_HOLDS) {
        double hand = poise_horizontal_mm(w->hand, w->neck_angle_deg) - w->tail_h_mm;
        need.hand_load_g = in->target_hand_load_g;
        /* The hand lifts a neck, and pulls down on a tail-heavy one, from headwards of both edges.
         */
        allowed = in->target_hand_load_g * (hand - edge);
    }
    if (h->verdict != POISE_HOLDS)
        add_rule(&need, edge, excess - fmax(allowed, 0.0));
    if (in->has_target_margin && !tail_heavy) {
        double inner = edge - in->target_margin_mm;
        need.margin_mm = in->target_margin_mm;
        add_rule(&need, inner, (h->station_mm - inner) * mass);
    }
    return need;
}

double poise_need_at(const PoiseNeed *need, double station_mm)
{
    double most = 0.0;
    for (int i = 0; i < need->count; i++) {
        double arm = need->way * (need->rules[i].edge_mm - station_mm);
        most = fmax(most, arm > 0.0 ? need->rules[i].excess_gmm / arm : INFINITY);
    }
    return most;
}

/* Of the rules' answers the one furthest from the edge. */
static double furthest(const PoiseNeed *need, double grams)
{
    double station = need->way * INFINITY;
    for (int i = 0; i < need->count; i++) {
        const PoiseNeedRule *rule = &need->rules[i];
        double at = rule->edge_mm - need->way * rule->excess_gmm / grams;
        station = need->way > 0.0 ? fmin(station, at) : fmax(station, at);
    }
    return station;
}

double poise_need_station(const PoiseNeed *need, double grams)
{
    return furthest(need, grams);
}

double poise_need_limit(const PoiseNeed *need)
{
    return furthest(need, INFINITY);
}
