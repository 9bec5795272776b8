/* How far to believe the results, in words. */
#include <math.h>

#include <string.h>

#include "base/memory.h"
#include "bodies/doubt.h"
#include "output/words.h"

/* Sources named for each result. */
enum { NAMED = 3 };
/* A share below this is not worth a maker's time. */
static const double LEAST_SHARE = 0.005;

bool poise_words_place_guessed(const PoiseWeighing *w, const char *id)
{
    const double same = 1e-9; /* mm: round-off of a turn */
    for (size_t i = 0; i < w->item_count; i++) {
        if (strcmp(w->items[i].id, id) != 0)
            continue;
        const double *u = w->items[i].detail->doubt.place_u_mm;
        return fabs(u[0] - POISE_PLACE_U_MM) < same && fabs(u[1] - POISE_PLACE_U_MM) < same &&
               fabs(u[2] - POISE_PLACE_U_MM) < same;
    }
    return false;
}

static void append_source(PoiseText *t, const PoiseBudgetLine *line)
{
    const char *id = line->id ? line->id : "";
    switch (line->kind) {
    case POISE_DOUBT_ITEM:
        poise_text_printf(t, line->weighed ? "%s (as weighed)" : "%s", id);
        break;
    case POISE_DOUBT_DENSITY:
        poise_text_printf(t, "density of %s (%zu items)", id, line->items);
        break;
    case POISE_DOUBT_FLOW:
        poise_text_append(t, "the printer's flow");
        break;
    case POISE_DOUBT_PLACE:
        poise_text_printf(t, "place of %s", id);
        break;
    case POISE_DOUBT_FRICTION:
        poise_text_append(t, "the strap's friction");
        break;
    case POISE_DOUBT_STRAP:
        poise_text_append(t, "the strap's length");
        break;
    case POISE_DOUBT_ANGLE:
        poise_text_append(t, "the neck angle");
        break;
    case POISE_DOUBT_ARM:
        poise_text_append(t, "the arm's weight");
        break;
    }
}

static void mark_outside(PoiseFactList *list)
{
    if (!list->failed && list->count)
        list->lines[list->count - 1].outside = true;
}

/* "neck 71 %, body 20 %, tuners 4 %" */
static void add_budget(PoiseFactList *list, const PoiseWeighing *w, const char *label,
                       PoiseBudgetResult result)
{
    size_t order[NAMED];
    size_t n = poise_budget_order(w->budget, w->budget_count, result, order, NAMED);
    PoiseText t = {0};
    for (size_t i = 0; i < n; i++) {
        const PoiseBudgetLine *line = &w->budget[order[i]];
        if (line->share[result] < LEAST_SHARE)
            break;
        poise_text_append(&t, i ? ", " : "");
        append_source(&t, line);
        if (i == 0 && line->kind == POISE_DOUBT_PLACE && poise_words_place_guessed(w, line->id))
            poise_text_printf(&t, " (taken as ± %.0f mm)", POISE_PLACE_U_MM);
        poise_text_printf(&t, " %.0f %%", 100.0 * line->share[result]);
    }
    if (!t.length && !t.failed) {
        poise_text_clear(&t);
        return;
    }
    poise_facts_take(list, label, &t);
    mark_outside(list);
}

/* What a scale can settle: an item not yet weighed, or one of those that share a density or the
 * printer's flow. */
static bool can_be_weighed(const PoiseBudgetLine *line)
{
    return (line->kind == POISE_DOUBT_ITEM && !line->weighed) ||
           line->kind == POISE_DOUBT_DENSITY || line->kind == POISE_DOUBT_FLOW;
}

static const PoiseBudgetLine *worst(const PoiseWeighing *w, PoiseBudgetResult result)
{
    const PoiseBudgetLine *found = NULL;
    for (size_t i = 0; i < w->budget_count; i++) {
        const PoiseBudgetLine *line = &w->budget[i];
        if (can_be_weighed(line) && line->share[result] >= LEAST_SHARE &&
            (!found || line->share[result] > found->share[result]))
            found = line;
    }
    return found;
}

static void append_weigh(PoiseText *t, const PoiseBudgetLine *line, PoiseBudgetResult result)
{
    if (line->kind == POISE_DOUBT_FLOW)
        poise_text_append(t, "a printed section");
    else
        poise_text_printf(t, line->kind == POISE_DOUBT_ITEM ? "\"%s\"" : "a piece of %s", line->id);
    poise_text_printf(t, ", for %.0f %% of the doubt in the %s", 100.0 * line->share[result],
                      result == POISE_BUDGET_MASS ? "weight" : "margin");
}

static void add_weigh_first(PoiseFactList *list, const PoiseWeighing *w)
{
    const PoiseBudgetLine *mass = worst(w, POISE_BUDGET_MASS);
    const PoiseBudgetLine *margin = worst(w, POISE_BUDGET_MARGIN);
    PoiseText t = {0};
    if (!mass)
        return;
    append_weigh(&t, mass, POISE_BUDGET_MASS);
    if (margin && margin == mass) {
        poise_text_printf(&t, " and %.0f %% of that in the margin",
                          100.0 * margin->share[POISE_BUDGET_MARGIN]);
    } else if (margin) {
        poise_text_append(&t, "; ");
        append_weigh(&t, margin, POISE_BUDGET_MARGIN);
    }
    poise_facts_take(list, "Weigh first", &t);
    mark_outside(list);
}

/* "0 g", where the rest of the list says "0.0 g": nothing at all, not a little. */
static void append_grams(PoiseText *t, double mass_g)
{
    if (mass_g == 0.0)
        poise_text_append(t, "0 g");
    else
        poise_words_mass(t, mass_g);
}

double poise_words_load_u(double u_g, PoiseInterval interval_g, const PoiseSampled *sampled)
{
    if (sampled)
        interval_g = sampled->interval_95;
    if (interval_g.lo <= 0.0 && interval_g.hi >= 0.0)
        return (double)NAN;
    return sampled ? sampled->u : u_g;
}

/* "214 g ± 61 g; 95 % sure: between 98 g and 330 g". Where the interval reaches 0 the load has a
 * corner and no ± of first order: "0 g; 95 % sure: below 171 g", and the trials' mean if there are
 * any. */
static void add_load(PoiseFactList *list, const char *label, double load_g, double u_g,
                     PoiseInterval interval_g, const PoiseSampled *sampled)
{
    PoiseText t = {0};
    if (sampled)
        interval_g = sampled->interval_95;
    bool cut = interval_g.lo <= 0.0 && interval_g.hi >= 0.0;
    if (isnan(load_g) || isnan(interval_g.lo) || (interval_g.lo == 0.0 && interval_g.hi == 0.0))
        return;
    append_grams(&t, load_g);
    u_g = poise_words_load_u(u_g, interval_g, sampled);
    if (!isnan(u_g)) {
        poise_text_append(&t, " ± ");
        poise_words_mass(&t, u_g);
    }
    if (interval_g.lo == 0.0) {
        poise_text_append(&t, "; 95 % sure: below ");
        poise_words_mass(&t, interval_g.hi);
    } else {
        poise_text_append(&t, "; 95 % sure: between ");
        poise_words_mass(&t, interval_g.lo);
        poise_text_append(&t, " and ");
        append_grams(&t, interval_g.hi);
    }
    if (cut && sampled) {
        poise_text_append(&t, "; mean of the trials ");
        poise_words_mass(&t, sampled->mean);
        poise_text_append(&t, " ± ");
        poise_words_mass(&t, sampled->u);
    }
    poise_facts_take(list, label, &t);
}

static void append_percent(PoiseText *t, const char *before, double p, const char *after)
{
    double percent = 100.0 * p;
    if (percent > 0.0 && percent < 0.5)
        poise_text_printf(t, "%sunder 1 %%%s", before, after);
    else if (percent < 100.0 && percent > 99.5)
        poise_text_printf(t, "%sover 99 %%%s", before, after);
    else
        poise_text_printf(t, "%s%.0f %%%s", before, percent, after);
}

static void add_chance(PoiseFactList *list, const PoiseWeighing *w)
{
    PoiseText t = {0};
    if (!w->has_strap || isnan(w->p_neck_heavy))
        return;
    append_percent(&t, "", w->p_neck_heavy, " neck dive");
    if (w->has_trials) {
        append_percent(&t, ", ", w->trials.p_tail_heavy, " tail-heavy");
        append_percent(&t, ", ", w->trials.p_does_not_settle,
                       " that it settles nowhere from −90° to 90°");
    }
    poise_facts_take(list, "Chances", &t);
}

static void add_settling(PoiseFactList *list, const PoiseTrials *trials)
{
    const PoiseInterval *i = &trials->settles_at_deg.interval_95;
    PoiseText t = {0};
    if (isnan(i->lo))
        return;
    poise_text_append(&t, "95 % sure: neck between ");
    poise_words_number(&t, i->lo, 0);
    poise_text_append(&t, "° and ");
    poise_words_number(&t, i->hi, 0);
    poise_text_printf(&t, "° (of %zu trials)", trials->settle_trials);
    poise_facts_take(list, "Settles", &t);
}

static void add_trials(PoiseFactList *list, const PoiseTrials *trials)
{
    poise_facts_add(list, "Trials", "%zu, seed %llu%s", trials->trials,
                    (unsigned long long)trials->seed,
                    !trials->adaptive ? ""
                    : trials->settled ? "; settled to two digits of each ±"
                                      : "; NOT settled to two digits of each ±");
}

void poise_words_doubt(PoiseFactList *list, const PoiseWeighing *w)
{
    const PoiseTrials *trials = w->has_trials ? &w->trials : NULL;
    const PoiseDoubts *d = &w->doubts;
    if (w->has_strap) {
        add_load(list, "Hand, strap", w->hanging.hand_load_g, d->hand_load_g, d->hand_load_95_g,
                 trials ? &trials->hand_load_g : NULL);
        add_chance(list, w);
        if (trials)
            add_settling(list, trials);
    }
    if (w->has_seat)
        add_load(list, "Hand, leg", w->resting.hand_load_g, d->seat_hand_load_g,
                 d->seat_hand_load_95_g, trials ? &trials->seat_hand_load_g : NULL);
    add_budget(list, w, "Weight's ±", POISE_BUDGET_MASS);
    add_budget(list, w, "Margin's ±", POISE_BUDGET_MARGIN);
    add_weigh_first(list, w);
    if (trials)
        add_trials(list, trials);
}
