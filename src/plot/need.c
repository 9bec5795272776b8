#include "plot/need.h"

#include <math.h>

/* Excesses below this are round-off: the moment of a microgram over a metre. */
static const double ROUND_OFF_GMM = 1e-3;
/* The least and the most of a place may be the same but for round-off. */
static const double ROUND_OFF = 1e-9;

static bool unmet(const PoiseNeedRule *rule)
{
    return rule->has_gmm < -ROUND_OFF_GMM;
}

static void add_rule(PoiseNeed *need, double sense, double edge, double has)
{
    PoiseNeedRule *rule = &need->rules[need->rule_count++];
    *rule = (PoiseNeedRule){sense, edge, has};
    need->count += unmet(rule);
}

PoiseNeed poise_need_find(const PoiseInstrument *in, const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    const double edges[2] = {h->window_mm.hi, h->window_mm.lo};
    PoiseNeed need = {.way = -1.0, .hand_load_g = (double)NAN, .margin_mm = (double)NAN};
    double mass = w->total.mass_g, hand = (double)NAN;
    if (in->has_target_hand_load && w->has_hand) {
        hand = poise_horizontal_mm(w->hand, w->neck_angle_deg) - w->tail_h_mm;
        need.hand_load_g = in->target_hand_load_g;
    }
    /* The hand lifts a neck, and pulls down on a tail-heavy one, from headwards of both edges. */
    for (int i = 0; i < 2; i++) {
        double sense = i ? -1.0 : 1.0;
        double allowed = isnan(hand) ? 0.0 : need.hand_load_g * fmax(hand - edges[i], 0.0);
        add_rule(&need, sense, edges[i], sense * (edges[i] - h->station_mm) * mass + allowed);
    }
    if (in->has_target_margin) {
        double inner = edges[0] - in->target_margin_mm;
        need.margin_mm = in->target_margin_mm;
        add_rule(&need, 1.0, inner, (inner - h->station_mm) * mass);
    }
    for (int i = 0; i < need.rule_count; i++)
        if (unmet(&need.rules[i]) && need.rules[i].sense > 0.0)
            need.way = 1.0;
    if (need.count == 0 && h->verdict != POISE_TAIL_HEAVY)
        need.way = 1.0;
    return need;
}

/* What the rules that are met leave room for. */
double poise_need_most(const PoiseNeed *need, double station_mm)
{
    double most = INFINITY;
    for (int i = 0; i < need->rule_count; i++) {
        const PoiseNeedRule *rule = &need->rules[i];
        double arm = rule->sense * (rule->edge_mm - station_mm);
        if (!unmet(rule) && arm < 0.0)
            most = fmin(most, fmax(rule->has_gmm, 0.0) / -arm);
    }
    return most;
}

double poise_need_at(const PoiseNeed *need, double station_mm)
{
    double least = 0.0;
    for (int i = 0; i < need->rule_count; i++) {
        const PoiseNeedRule *rule = &need->rules[i];
        double arm = rule->sense * (rule->edge_mm - station_mm);
        if (unmet(rule))
            least = fmax(least, arm > 0.0 ? -rule->has_gmm / arm : INFINITY);
    }
    return least <= poise_need_most(need, station_mm) * (1.0 + ROUND_OFF) ? least : INFINITY;
}

/* Of the answers of the rules that are not met the one furthest from the edge. */
double poise_need_station(const PoiseNeed *need, double grams)
{
    double station = need->way * INFINITY;
    for (int i = 0; i < need->rule_count; i++) {
        const PoiseNeedRule *rule = &need->rules[i];
        if (!unmet(rule))
            continue;
        double at = rule->edge_mm + rule->sense * rule->has_gmm / grams;
        station = need->way > 0.0 ? fmin(station, at) : fmax(station, at);
    }
    return station;
}

/* Where what is enough for one rule, X/(e − h), is all that the other one allows, R/(f − h): at
 * h = (R e − X f)/(R − X), and beyond it from the edges while R > X. With f on the near side of e
 * they never clash. Lengths are taken the need's way. */
static double clash(const PoiseNeed *need, const PoiseNeedRule *wants, const PoiseNeedRule *allows)
{
    double e = need->way * wants->edge_mm, f = need->way * allows->edge_mm;
    double enough = -wants->has_gmm, room = fmax(allows->has_gmm, 0.0);
    if (f <= e)
        return INFINITY;
    return room > enough ? (room * e - enough * f) / (room - enough) : -INFINITY;
}

/* Two rules that pull apart are met nowhere; else the nearest clash, taken the need's way. */
static double first_clash(const PoiseNeed *need)
{
    double first = INFINITY;
    for (int i = 0; i < need->rule_count; i++)
        for (int k = 0; k < need->rule_count && unmet(&need->rules[i]); k++) {
            const PoiseNeedRule *a = &need->rules[i], *b = &need->rules[k];
            if (a->sense != b->sense)
                first = fmin(first, unmet(b) ? -INFINITY : clash(need, a, b));
        }
    return first;
}

double poise_need_limit(const PoiseNeed *need)
{
    return need->way * fmin(need->way * poise_need_station(need, INFINITY), first_clash(need));
}

bool poise_need_clashes(const PoiseNeed *need)
{
    return first_clash(need) < need->way * poise_need_station(need, INFINITY);
}
