#include "decide/remedy_combine.h"

#include <math.h>

#include "base/memory.h"
#include "output/words.h"

static void say(PoiseRemedyTask *t, PoiseText *text)
{
    PoiseRemedies *out = t->out;
    char *sentence = poise_text_take(text);
    char **list =
        sentence ? poise_resize(out->conflicts, out->conflict_count + 1, sizeof *list) : NULL;
    if (!list) {
        poise_release(sentence);
        out->failed = true;
        return;
    }
    out->conflicts = list;
    list[out->conflict_count++] = sentence;
}

/* Of a target: by how much it is missed at best, in its own unit, where `hard` is kept (NULL:
 * nothing is). NAN when `hard` cannot be kept at all. */
static PoiseStatus least_short(const PoiseChoices *c, const PoiseGoal *hard,
                               const PoiseGoal *target, PoisePick *picks, double *by)
{
    bool proved;
    *by = (double)NAN;
    PoiseStatus status =
        poise_choices_least(c, hard, hard ? 1 : 0, target, POISE_CHOOSE_ALL, picks, &proved);
    if (status)
        return status == POISE_E_DOMAIN ? POISE_OK : status;
    PoisePicked sum = poise_choices_sum(c, picks);
    double excess = poise_goal_excess(target, sum.mass_g, sum.moment_gmm);
    *by = poise_goal_met(target, excess, sum.mass_g) ? 0.0
                                                     : poise_goal_short(target, excess, sum.mass_g);
    return POISE_OK;
}

/* A margin wider than the window leaves the centre no place: headwards there is too little room,
 * tailwards it is tail-heavy. The goals' edges are −per_gram and +per_gram from the same origin. */
static void explain_windows(PoiseRemedyTask *t)
{
    for (size_t i = 0; i < t->goal_count; i++) {
        const PoiseGoal *m = &t->goals[i], *p = NULL;
        for (size_t k = 0; k < t->goal_count && m->kind == POISE_GOAL_MARGIN; k++)
            if (t->goals[k].kind == POISE_GOAL_PRESS && !t->goals[k].leg &&
                t->goals[k].neck_angle_deg == m->neck_angle_deg)
                p = &t->goals[k];
        if (!p)
            continue;
        double width = -m->per_gram + m->asked - p->per_gram;
        PoiseText text = {0};
        if (!(width < m->asked) || p->limit > 0.0)
            continue;
        poise_text_append(&text, "The strap holds over a stretch of ");
        poise_words_number(&text, width, 0);
        poise_text_append(&text, " mm at ");
        poise_words_number(&text, m->neck_angle_deg, 0);
        poise_text_append(&text, "°. A margin of ");
        poise_words_number(&text, m->asked, 0);
        poise_text_append(&text, " mm is ");
        poise_words_number(&text, m->asked - width, 0);
        poise_text_append(&text, " mm more than there is: it would be tail-heavy. Ask for less, or "
                                 "change the strap.");
        say(t, &text);
    }
}

static PoiseStatus explain_alone(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    for (size_t i = 0; i < t->goal_count; i++) {
        double by;
        PoiseText text = {0};
        PoiseStatus status = least_short(c, NULL, &t->goals[i], picks, &by);
        if (status)
            return status;
        if (!(by > 0.0))
            continue;
        poise_text_append(&text, "Out of reach of other parts, infill and ballast: ");
        poise_goal_say(&text, &t->goals[i]);
        poise_text_append(&text, ". At best ");
        poise_goal_say_short(&text, &t->goals[i], by);
        poise_text_append(&text, ".");
        say(t, &text);
    }
    return POISE_OK;
}

static PoiseStatus explain_pairs(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    for (size_t i = 0; i < t->goal_count; i++) {
        for (size_t k = i + 1; k < t->goal_count; k++) {
            double by;
            PoiseText text = {0};
            PoiseStatus status = least_short(c, &t->goals[k], &t->goals[i], picks, &by);
            if (status)
                return status;
            if (!(by > 0.0))
                continue;
            poise_text_append(&text, "These two clash: ");
            poise_goal_say(&text, &t->goals[i]);
            poise_text_append(&text, ", and ");
            poise_goal_say(&text, &t->goals[k]);
            poise_text_append(&text, ". With the second met, the first is at best ");
            poise_goal_say_short(&text, &t->goals[i], by);
            poise_text_append(&text, ".");
            say(t, &text);
        }
    }
    return POISE_OK;
}

PoiseStatus poise_remedy_explain(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    size_t before = t->out->conflict_count;
    explain_windows(t);
    PoiseStatus status = explain_alone(t, c, picks);
    if (!status && t->out->conflict_count == before)
        status = explain_pairs(t, c, picks);
    PoiseText text = {0};
    if (!status && t->out->conflict_count == before) {
        poise_text_append(&text,
                          "Each two of the targets can be met together, but not all of them.");
        say(t, &text);
    }
    return !status && t->out->failed ? POISE_E_MEMORY : status;
}
