/* What one kind of choice, or all of them together, does not do. */
#include <math.h>

#include "base/memory.h"
#include "decide/remedy_combine.h"

/* The goals around the one that is told. */
typedef struct Around {
    const PoiseGoal *target;
    PoiseGoal mass, balance[POISE_MOST_GOALS], all[POISE_MOST_GOALS]; /* without the target */
    size_t masses, balances, count;
} Around;

static Around around(const PoiseRemedyTask *t, const PoiseGoal *target)
{
    Around a = {.target = target};
    for (size_t i = 0; i < t->goal_count; i++) {
        const PoiseGoal *g = &t->goals[i];
        if (g == target)
            continue;
        a.all[a.count++] = *g;
        if (g->kind != POISE_GOAL_MASS)
            a.balance[a.balances++] = *g;
        else
            a.mass = a.all[a.masses++];
    }
    return a;
}

/* What is asked of, in words. */
typedef struct Way {
    const char *name, *capital;
    bool one; /* "ballast does", "parts do" */
} Way;

static Way way_of(const PoiseChoices *c, unsigned classes)
{
    bool place = false;
    for (size_t g = 0; g < c->group_count; g++)
        place = place || c->groups[g].kind == POISE_CHOOSE_PLACE;
    switch (classes) {
    case POISE_CHOOSE_BALLAST:
        return (Way){"ballast at the file's places", "Ballast at the file's places alone", true};
    case POISE_CHOOSE_PRINT:
        return (Way){"infill and perimeters", "Infill and perimeters alone", false};
    case POISE_CHOOSE_SWAP:
        return (Way){"other parts", "Other parts alone", false};
    default:
        return classes == POISE_CHOOSE_FILE && place
                   ? (Way){"parts, infill and ballast at the file's places",
                           "Parts, infill and ballast at the file's places together", false}
                   : (Way){"parts, infill and ballast", "Parts, infill and ballast together",
                           false};
    }
}

/* Numbers that came out of a search that ran out of time are no bounds. */
static const char *at_best(bool proved)
{
    return proved ? "at best " : "as far as the search came ";
}

static void say_asked(PoiseText *text, const PoiseGoal *target)
{
    poise_text_append(text, " (asked: ");
    poise_goal_say(text, target);
    poise_text_append(text, ")");
}

/* "Other parts alone reach it" */
static void say_reached(PoiseText *text, const Way *way, const PoiseGoal *target, const char *but)
{
    poise_text_printf(text, "%s %s it, %s", way->capital, way->one ? "reaches" : "reach", but);
    say_asked(text, target);
    poise_text_append(text, ".");
}

/* `kept`: which other targets are met then, " with …" or nothing. */
static void say_missed(PoiseText *text, const Way *way, const PoiseGoal *target, double by,
                       bool proved, const char *kept)
{
    poise_text_printf(text, "%s %s not do it: %s", way->capital, way->one ? "does" : "do",
                      at_best(proved));
    poise_goal_say_short(text, target, by);
    poise_text_append(text, kept);
    say_asked(text, target);
}

/* What the target costs in mass: *heavy, NAN or 0 where there is nothing to tell. */
static PoiseStatus cost_of(const PoiseChoices *c, const Around *a, unsigned classes,
                           PoisePick *picks, double *heavy, bool *proved)
{
    *heavy = (double)NAN;
    if (!a->masses)
        return POISE_OK;
    return poise_choices_short(c, a->target, 1, &a->mass, classes, picks, heavy, proved);
}

/* The mass cannot be kept, whatever is chosen. */
static PoiseStatus say_too_heavy(const PoiseChoices *c, const Around *a, unsigned classes,
                                 const Way *way, PoisePick *picks, PoiseText *text, double *by)
{
    bool proved;
    double heavy;
    PoiseStatus status = poise_choices_short(c, NULL, 0, a->target, classes, picks, by, &proved);
    if (status || isnan(*by))
        return status;
    PoisePicked sum = poise_choices_sum(c, picks);
    if (*by > 0.0) {
        say_missed(text, way, a->target, *by, proved, "");
        poise_text_append(text, ", and then ");
        heavy = poise_goal_excess(&a->mass, sum.mass_g, sum.moment_gmm);
        poise_goal_say_short(text, &a->mass, heavy);
        poise_text_append(text, ".");
        return POISE_OK;
    }
    status = cost_of(c, a, classes, picks, &heavy, &proved);
    if (status || !(heavy > 0.0))
        return status;
    PoiseText but = {0};
    poise_text_printf(&but, "but then it is %s", at_best(proved));
    poise_goal_say_short(&but, &a->mass, heavy);
    char *words = poise_text_take(&but);
    if (!words)
        return POISE_E_MEMORY;
    say_reached(text, way, a->target, words);
    poise_release(words);
    *by = (double)NAN;
    return POISE_OK;
}

static const char AT_COST[] = "but only at the cost of another target";

/* The mass is kept, or none is asked. */
static PoiseStatus say_within(const PoiseChoices *c, const Around *a, unsigned classes,
                              const Way *way, PoisePick *picks, PoiseText *text, double *by,
                              bool proved)
{
    double heavy;
    if (!(*by > 0.0)) {
        say_reached(text, way, a->target, AT_COST);
        *by = (double)NAN;
        return POISE_OK;
    }
    PoisePicked sum = poise_choices_sum(c, picks);
    bool others = poise_goals_met(a->balance, a->balances, sum.mass_g, sum.moment_gmm);
    say_missed(text, way, a->target, *by, proved, a->masses ? " with the mass kept" : "");
    poise_text_append(text, others ? "." : ", and another target is then missed.");
    PoiseStatus status = cost_of(c, a, classes, picks, &heavy, &proved);
    if (!status && heavy > 0.0) {
        poise_text_printf(text, " With that met, it is %s", at_best(proved));
        poise_goal_say_short(text, &a->mass, heavy);
        poise_text_append(text, ".");
    }
    return status;
}

/* A balance goal is told with the mass kept. *by: what it is short of with all others met. */
static PoiseStatus say_balance(const PoiseChoices *c, const Around *a, unsigned classes,
                               const Way *way, PoisePick *picks, PoiseText *text, double *by)
{
    bool proved;
    double with_all = *by;
    PoiseStatus status =
        poise_choices_short(c, &a->mass, a->masses, a->target, classes, picks, by, &proved);
    if (status || (isnan(*by) && !a->masses))
        return status;
    if (*by == 0.0 && with_all > 0.0) { /* the other goals of the balance are in its way */
        *by = with_all;
        say_missed(text, way, a->target, *by, proved, " with all other targets met");
        poise_text_append(text, ".");
        return POISE_OK;
    }
    return isnan(*by) ? say_too_heavy(c, a, classes, way, picks, text, by)
                      : say_within(c, a, classes, way, picks, text, by, proved);
}

/* The mass is told with the balance kept, as far as that can be. */
static PoiseStatus say_mass(const PoiseChoices *c, const Around *a, unsigned classes,
                            const Way *way, PoisePick *picks, PoiseText *text, double *by)
{
    bool proved;
    PoiseStatus status =
        poise_choices_short(c, a->all, a->count, a->target, classes, picks, by, &proved);
    bool kept = !isnan(*by);
    if (!status && !kept)
        status = poise_choices_short(c, NULL, 0, a->target, classes, picks, by, &proved);
    if (status || isnan(*by))
        return status;
    if (*by > 0.0) {
        say_missed(text, way, a->target, *by, proved, kept ? " with the balance kept" : "");
        poise_text_append(text, kept ? "." : ", and another target is then missed.");
        return POISE_OK;
    }
    say_reached(text, way, a->target, AT_COST);
    *by = (double)NAN;
    return POISE_OK;
}

PoiseStatus poise_remedy_say_short(PoiseRemedyTask *t, const PoiseChoices *c, unsigned classes,
                                   PoisePick *picks)
{
    double by;
    bool proved;
    PoiseText text = {0};
    Way way = way_of(c, classes);
    const PoiseGoal *target =
        poise_goals_worst(t->goals, t->goal_count, t->total.mass_g, t->total.moment_gmm, &by);
    if (!target)
        return POISE_OK;
    Around a = around(t, target);
    PoiseStatus status =
        poise_choices_short(c, a.all, a.count, target, classes, picks, &by, &proved);
    if (status)
        return status;
    if (by == 0.0) { /* all of it can be met, but then there would be a way */
        say_reached(&text, &way, target, "but not in whole grams and percent");
        by = (double)NAN;
    } else if (target->kind == POISE_GOAL_MASS) {
        status = say_mass(c, &a, classes, &way, picks, &text, &by);
    } else {
        status = say_balance(c, &a, classes, &way, picks, &text, &by);
    }
    if (status || (!text.data && !text.failed))
        poise_text_clear(&text);
    else
        poise_task_short(t, way.name, &text, by, poise_goal_unit(target));
    return !status && t->out->failed ? POISE_E_MEMORY : status;
}
