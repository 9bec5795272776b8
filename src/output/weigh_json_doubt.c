/* How far the results may be off, as JSON. */
#include <math.h>

#include "output/weigh_json_parts.h"
#include "output/words.h"

/* Lines of each budget. */
enum { BUDGET_LINES = 20 };

void poise_json_interval(PoiseJson *j, cJSON *parent, const char *key, PoiseInterval interval)
{
    double pair[2] = {interval.lo, interval.hi};
    poise_json_vector(j, parent, key, pair, 2);
}

/* The interval that is told decides; the ± stays that to first order as far as there is one. */
static double load_u(const PoiseWeighing *w, double u_g, PoiseInterval interval_g,
                     const PoiseSampled *sampled)
{
    double told = poise_words_load_u(u_g, interval_g, w->has_trials ? sampled : NULL);
    return isnan(told) || isnan(u_g) ? told : u_g;
}

/* The trials' interval when they ran. */
static void add_95(PoiseJson *j, cJSON *o, const PoiseWeighing *w, const char *key,
                   const PoiseSampled *sampled, PoiseInterval first_order)
{
    poise_json_interval(j, o, key, w->has_trials ? sampled->interval_95 : first_order);
}

void poise_json_strap_doubt(PoiseJson *j, cJSON *o, const PoiseWeighing *w)
{
    const PoiseDoubts *d = &w->doubts;
    poise_json_number(j, o, "station_u_mm", d->station_mm);
    poise_json_interval(j, o, "window_u_mm", d->window_mm);
    poise_json_number(j, o, "needed_friction_u", d->needed_friction);
    poise_json_number(j, o, "hand_load_u_g",
                      load_u(w, d->hand_load_g, d->hand_load_95_g, &w->trials.hand_load_g));
    poise_json_interval(j, o, "hold_range_u_deg", d->hold_range_deg);
    poise_json_number(j, o, "settles_at_u_deg", d->settles_at_deg);
    poise_json_number(j, o, "free_hang_u_deg", d->free_hang_deg);
    poise_json_number(j, o, "lean_u_deg", d->lean_deg);
    cJSON *i = poise_json_object(j, o, "interval_95");
    add_95(j, i, w, "margin_mm", &w->trials.margin_mm, d->margin_95_mm);
    add_95(j, i, w, "hand_load_g", &w->trials.hand_load_g, d->hand_load_95_g);
}

void poise_json_seat_doubt(PoiseJson *j, cJSON *o, const PoiseWeighing *w)
{
    const PoiseDoubts *d = &w->doubts;
    poise_json_number(j, o, "station_u_mm", d->seat_station_mm);
    poise_json_interval(j, o, "window_u_mm", d->seat_window_mm);
    poise_json_number(
        j, o, "hand_load_u_g",
        load_u(w, d->seat_hand_load_g, d->seat_hand_load_95_g, &w->trials.seat_hand_load_g));
    cJSON *i = poise_json_object(j, o, "interval_95");
    add_95(j, i, w, "hand_load_g", &w->trials.seat_hand_load_g, d->seat_hand_load_95_g);
}

static void add_budget(PoiseJson *j, cJSON *budget, const PoiseWeighing *w,
                       PoiseBudgetResult result)
{
    size_t order[BUDGET_LINES];
    size_t n = poise_budget_order(w->budget, w->budget_count, result, order, BUDGET_LINES);
    cJSON *list = poise_json_array(j, budget, poise_budget_result_name(result));
    for (size_t i = 0; i < n && !j->failed; i++) {
        const PoiseBudgetLine *line = &w->budget[order[i]];
        cJSON *o = poise_json_object(j, list, NULL);
        poise_json_text(j, o, "source", poise_doubt_kind_name(line->kind));
        poise_json_text(j, o, "id", line->id);
        poise_json_bool(j, o, "weighed", line->weighed);
        poise_json_number(j, o, "u", line->u[result]);
        poise_json_number(j, o, "share", line->share[result]);
    }
}

static void add_sampled(PoiseJson *j, cJSON *trials, const char *key, const PoiseSampled *s)
{
    cJSON *o = poise_json_object(j, trials, key);
    poise_json_number(j, o, "count", (double)s->count);
    poise_json_number(j, o, "mean", s->mean);
    poise_json_number(j, o, "u", s->u);
    poise_json_interval(j, o, "interval_95", s->interval_95);
}

static void add_trials(PoiseJson *j, const PoiseTrials *t)
{
    cJSON *o = poise_json_object(j, NULL, "trials");
    poise_json_number(j, o, "count", (double)t->trials);
    poise_json_number(j, o, "seed", (double)t->seed);
    poise_json_bool(j, o, "adaptive", t->adaptive);
    poise_json_bool(j, o, "settled", t->settled);
    add_sampled(j, o, "mass_g", &t->mass_g);
    add_sampled(j, o, "margin_mm", &t->margin_mm);
    add_sampled(j, o, "needed_friction", &t->needed_friction);
    add_sampled(j, o, "hand_load_g", &t->hand_load_g);
    add_sampled(j, o, "seat_hand_load_g", &t->seat_hand_load_g);
    poise_json_number(j, o, "p_neck_heavy", t->p_neck_heavy);
    poise_json_number(j, o, "p_tail_heavy", t->p_tail_heavy);
    poise_json_number(j, o, "p_seat_neck_heavy", t->p_seat_neck_heavy);
    poise_json_number(j, o, "p_seat_tail_heavy", t->p_seat_tail_heavy);
    poise_json_number(j, o, "settle_trials", (double)t->settle_trials);
    add_sampled(j, o, "settles_at_deg", &t->settles_at_deg);
    poise_json_number(j, o, "p_does_not_settle", t->p_does_not_settle);
    poise_json_number(j, o, "window_error_mm", t->window_error_mm);
}

void poise_json_doubt(PoiseJson *j, const PoiseWeighing *w)
{
    double along = w->doubts.along_mm, no = (double)NAN;
    cJSON *stations = poise_json_object(j, NULL, "stations_u_mm");
    poise_json_number(j, stations, "from_tail_post", isnan(w->from_tail_post_mm) ? no : along);
    poise_json_number(j, stations, "from_saddle", isnan(w->from_saddle_mm) ? no : along);
    poise_json_number(j, stations, "from_nut", isnan(w->from_nut_mm) ? no : along);
    cJSON *i = poise_json_object(j, NULL, "interval_95");
    add_95(j, i, w, "mass_g", &w->trials.mass_g, w->doubts.mass_95_g);
    cJSON *budget = poise_json_object(j, NULL, "budget");
    for (int k = 0; k < POISE_BUDGET_RESULTS; k++)
        add_budget(j, budget, w, (PoiseBudgetResult)k);
    if (w->has_trials)
        add_trials(j, &w->trials);
    else
        poise_json_null(j, NULL, "trials");
}
