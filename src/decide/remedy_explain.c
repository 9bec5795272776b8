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
