/* Ballast where the file allows it: more of it, or less. */
#include <math.h>

#include "base/memory.h"
#include "decide/remedy_lever.h"
#include "decide/remedy_task.h"
#include "output/words.h"

/* Ballast is weighed out to the gram. */
static double whole_grams(PoiseInterval range, double now)
{
    if (now < range.lo)
        return poise_amount_least(range);
    return floor(range.hi) >= range.lo ? floor(range.hi) : range.hi;
}

/* " (87 g in all)": what the file says then, where it is not what the title has said. */
static void say_in_all(PoiseText *text, double now, double amount)
{
    if (!(now > 0.0))
        return;
    poise_text_append(text, " (");
    if (amount > 0.0)
        poise_words_mass(text, amount);
    poise_text_append(text, amount > now ? " in all)" : amount > 0.0 ? " left)" : "all of it)");
}

static void propose(PoiseRemedyTask *t, const PoiseItem *item, double now, double amount)
{
    bool more = amount > now;
    PoiseRemedy *r = poise_task_propose(t, more ? POISE_REMEDY_BALLAST : POISE_REMEDY_REMOVE, 2);
    if (!r)
        return;
    PoiseText text = {0}, step = {0};
    poise_words_mass(&text, fabs(amount - now));
    poise_text_printf(&text,
                      !more       ? " off the ballast at %s"
                      : now > 0.0 ? " more ballast at %s"
                                  : " of ballast at %s",
                      item->id);
    say_in_all(&text, now, amount);
    poise_task_title(t, r, &text);
    poise_text_printf(&step, "%s: ", item->id);
    poise_words_mass(&step, amount);
    poise_text_append(&step, " of ballast instead of ");
    poise_words_mass(&step, now);
    poise_task_step(t, r, &step);
    poise_task_name(t, r, more ? "%.0f g at %s" : "%.0f g off %s", fabs(amount - now), item->id);
    poise_task_patch(t, r, item->id, "mass", NULL, cJSON_CreateNumber(amount / item->count));
    r->added_g = amount - now;
}

/* The goals but for that of the mass. */
static size_t balance_goals(const PoiseRemedyTask *t, PoiseGoal *balance)
{
    size_t n = 0;
    for (size_t i = 0; i < t->goal_count; i++)
        if (t->goals[i].kind != POISE_GOAL_MASS)
            balance[n++] = t->goals[i];
    return n;
}

/* What balance alone would need there, however much that is; NAN when no amount does it. *heavy: by
 * how much the whole would then be too heavy (0: it would not). */
double poise_ballast_wanted(const PoiseRemedyTask *t, const PoiseAmount *a, double *heavy)
{
    PoiseGoal balance[POISE_MOST_GOALS];
    PoiseInterval range;
    size_t n = balance_goals(t, balance);
    *heavy = 0.0;
    if (!poise_amount_solve(balance, n, a, 0.0, INFINITY, &range))
        return (double)NAN;
    if (!isnan(t->out->target_mass_g))
        *heavy = fmax(a->mass_g + range.lo - t->out->target_mass_g, 0.0);
    return range.lo;
}

/* "324 g would balance it, but make it 205 g too heavy." */
static void say_wanted(PoiseText *text, double wanted_g, double heavy_g)
{
    poise_words_mass(text, ceil(wanted_g));
    poise_text_append(text, " would balance it");
    if (heavy_g > 0.0) {
        poise_text_append(text, ", but make it ");
        poise_words_mass(text, ceil(heavy_g));
        poise_text_append(text, " too heavy");
    }
    poise_text_append(text, ".");
}

/* The amount of [0, most] with which the balance is short by least. */
typedef struct Least {
    const PoiseGoal *worst; /* NULL: none is short */
    double x, short_by;
} Least;

static Least least_short(const PoiseGoal *balance, size_t n, const PoiseAmount *a, double most)
{
    Least l = {0};
    l.x = poise_amount_best(balance, n, a, 0.0, most, &l.worst, &l.short_by);
    return l;
}

/* "363 g short with the 400 g the place takes" */
static void say_least(PoiseText *text, const Least *l, double most, const char *whose)
{
    poise_goal_say_short(text, l->worst, l->short_by);
    if (l->x < POISE_REMEDY_SHOWS_G) {
        poise_text_append(text, " at best, without any there");
        return;
    }
    poise_text_append(text, l->x < most - POISE_REMEDY_SHOWS_G ? " at best, with " : " with the ");
    poise_words_mass(text, l->x);
    if (!(l->x < most - POISE_REMEDY_SHOWS_G))
        poise_text_append(text, whose);
}

static void say_within(PoiseRemedyTask *t, PoiseText *text, const PoiseAmount *a, double most,
                       double room, const Least *kept)
{
    PoiseGoal balance[POISE_MOST_GOALS];
    size_t n = balance_goals(t, balance);
    double heavy, wanted = poise_ballast_wanted(t, a, &heavy);
    say_least(text, kept, fmin(room, most),
              room < most ? " that the target mass leaves" : " the place takes");
    Least all = isfinite(most) && room < most ? least_short(balance, n, a, most) : *kept;
    if (all.worst && all.x > kept->x + POISE_REMEDY_SHOWS_G) {
        poise_text_append(text, ", and ");
        say_least(text, &all, most, " the place takes");
        poise_text_append(text, ", which makes it ");
        poise_words_mass(text, a->mass_g + all.x - t->out->target_mass_g);
        poise_text_append(text, " too heavy");
    }
    poise_text_append(text, ". ");
    if (isnan(wanted))
        poise_text_append(text, "No amount there balances it.");
    else
        say_wanted(text, wanted, heavy);
}

/* Ballast has the target mass to keep: what is short is told with that kept, as of the other ways.
 */
void poise_ballast_say_short(PoiseRemedyTask *t, const char *way, PoiseText *text,
                             const PoiseAmount *a, double most)
{
    PoiseGoal balance[POISE_MOST_GOALS];
    size_t n = balance_goals(t, balance);
    double room = isnan(t->out->target_mass_g) ? INFINITY : t->out->target_mass_g - a->mass_g;
    if (room < 0.0) {
        poise_text_append(text, "without any there it is still ");
        poise_words_mass(text, -room);
        poise_text_append(text, " too heavy.");
        poise_task_short(t, way, text, -room, "g");
        return;
    }
    Least kept = {0};
    if (isfinite(fmin(room, most)))
        kept = least_short(balance, n, a, fmin(room, most));
    if (!kept.worst) {
        poise_text_clear(text);
        return;
    }
    say_within(t, text, a, most, room, &kept);
    poise_task_short(t, way, text, kept.short_by, poise_goal_unit(kept.worst));
}

static void not_enough(PoiseRemedyTask *t, const PoiseItem *item, const PoiseAmount *a, double most)
{
    PoiseText text = {0};
    char *way = poise_format("ballast at %s", item->id);
    poise_text_printf(&text, "Ballast at %s alone does not do it: ", item->id);
    poise_ballast_say_short(t, way, &text, a, most);
    poise_release(way);
}

/* The mass without any ballast is over the target already: no ballast by itself is the answer. */
bool poise_ballast_is_hopeless(const PoiseRemedyTask *t, double *over_g)
{
    *over_g = t->total.mass_g - t->out->target_mass_g;
    for (size_t i = 0; i < t->instrument->item_count; i++) {
        const PoiseItem *item = &t->instrument->items[i];
        if (item->kind == POISE_ITEM_MASS && item->as.mass.ballast)
            *over_g -= poise_task_item(t, i).mass_g;
    }
    return *over_g > 0.0; /* false, too, without a target mass */
}

PoiseStatus poise_remedy_ballast(PoiseRemedyTask *t, PoiseFaults *faults)
{
    (void)faults;
    double over;
    if (poise_ballast_is_hopeless(t, &over)) {
        PoiseText text = {0};
        poise_text_append(&text, "Ballast does not do it: without any the mass is ");
        poise_words_mass(&text, over);
        poise_text_append(&text, " above the target.");
        poise_task_short(t, "ballast", &text, over, "g");
        return POISE_OK;
    }
    for (size_t i = 0; i < t->instrument->item_count; i++) {
        const PoiseItem *item = &t->instrument->items[i];
        if (item->kind != POISE_ITEM_MASS || !item->as.mass.ballast)
            continue;
        PoiseLinearSum now = poise_task_item(t, i);
        double at[3], most = item->as.mass.ballast_max_g * item->count;
        const PoiseBody *body = &t->weighing->items[i].body;
        poise_task_per_gram(t, body->centre_mm, at);
        PoiseAmount a = {.mass_g = t->total.mass_g - now.mass_g, .per_g = 1.0};
        for (int k = 0; k < 3; k++) {
            a.moment_gmm[k] = t->total.moment_gmm[k] - now.moment_gmm[k];
            a.per_gmm[k] = at[k];
        }
        PoiseInterval range;
        if (poise_amount_solve(t->goals, t->goal_count, &a, 0.0, most, &range))
            propose(t, item, now.mass_g, whole_grams(range, now.mass_g));
        else
            not_enough(t, item, &a, most);
    }
    return POISE_OK;
}

/* Items from whose place a gram less helps most, times the grams there are. Ballast has its own
 * remedies. */
void poise_remedy_leverage(PoiseRemedyTask *t)
{
    const double TEN_G = 10.0, LEAST_G = 20.0; /* less is not worth a line */
    double by;
    PoiseRemedies *out = t->out;
    const PoiseGoal *worst =
        poise_goals_worst(t->goals, t->goal_count, t->total.mass_g, t->total.moment_gmm, &by);
    if (!worst || *poise_goal_unit(worst) != 'g' || worst->kind == POISE_GOAL_MASS)
        return;
    for (size_t i = 0; i < t->instrument->item_count; i++) {
        const PoiseItem *item = &t->instrument->items[i];
        PoiseLinearSum now = poise_task_item(t, i);
        if (!(now.mass_g >= LEAST_G) || (item->kind == POISE_ITEM_MASS && item->as.mass.ballast))
            continue;
        PoiseAmount a = {.mass_g = t->total.mass_g, .per_g = -1.0};
        for (int k = 0; k < 3; k++) {
            a.moment_gmm[k] = t->total.moment_gmm[k];
            a.per_gmm[k] = -now.moment_gmm[k] / now.mass_g;
        }
        double mass, moment[3];
        poise_amount_at(&a, TEN_G, &mass, moment);
        PoiseLeverage l = {.id = item->id, .mass_g = now.mass_g, .enough_g = (double)NAN};
        l.hand_load_per_10_g =
            poise_goal_short(worst, poise_goal_excess(worst, mass, moment), mass) - by;
        PoiseInterval range;
        if (poise_amount_solve(t->goals, t->goal_count, &a, 0.0, now.mass_g, &range))
            l.enough_g = range.lo;
        if (!(l.hand_load_per_10_g < 0.0))
            continue;
        /* Kept in order: by what taking a gram off is worth there. */
        size_t at = out->leverage_count;
        while (at > 0 && out->leverages[at - 1].hand_load_per_10_g > l.hand_load_per_10_g)
            at--;
        if (at >= POISE_REMEDY_LEVERAGES)
            continue;
        if (out->leverage_count < POISE_REMEDY_LEVERAGES)
            out->leverage_count++;
        for (size_t k = out->leverage_count - 1; k > at; k--)
            out->leverages[k] = out->leverages[k - 1];
        out->leverages[at] = l;
    }
}
