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

/* "other parts, infill and ballast": what there is to choose. Empty when there is nothing. */
static void say_levers(PoiseText *text, const PoiseChoices *c)
{
    unsigned classes = 0;
    size_t count = 0;
    for (size_t g = 0; g < c->group_count; g++)
        classes |= c->groups[g].kind;
    const char *names[3];
    if (classes & POISE_CHOOSE_SWAP)
        names[count++] = "other parts";
    if (classes & POISE_CHOOSE_PRINT)
        names[count++] = "infill";
    if (classes & (POISE_CHOOSE_BALLAST | POISE_CHOOSE_PLACE))
        names[count++] = classes & POISE_CHOOSE_PLACE ? "ballast" : "ballast at the file's places";
    for (size_t i = 0; i < count; i++)
        poise_text_printf(text, "%s%s", i == 0 ? "" : i + 1 < count ? ", " : " and ", names[i]);
}

/* " by other parts, infill and ballast", or nothing. */
static void say_with(PoiseText *text, const char *preposition, const PoiseChoices *c)
{
    if (c->group_count == 0)
        return;
    poise_text_append(text, preposition);
    say_levers(text, c);
}

/* A margin wider than the window leaves the centre no place: headwards there is too little room,
 * tailwards it is tail-heavy. The goals' edges are −per_gram and +per_gram from the same origin. */
static void explain_windows(PoiseRemedyTask *t)
{
    for (size_t i = 0; i < t->goal_count; i++) {
        const PoiseGoal *m = &t->goals[i], *p = NULL;
        for (size_t k = 0; k < t->goal_count && m->kind == POISE_GOAL_MARGIN; k++)
            if (t->goals[k].kind == POISE_GOAL_PRESS && t->goals[k].leg == m->leg &&
                t->goals[k].neck_angle_deg == m->neck_angle_deg)
                p = &t->goals[k];
        if (!p)
            continue;
        double width = -m->per_gram + m->asked - p->per_gram;
        PoiseText text = {0};
        if (!(width < m->asked) || p->asked * p->arm_mm > 0.0)
            continue;
        poise_text_append(&text, m->leg ? "The leg carries it over a stretch of "
                                        : "The strap holds over a stretch of ");
        poise_words_number(&text, width, 0);
        poise_text_append(&text, " mm at ");
        poise_words_number(&text, m->neck_angle_deg, 0);
        poise_text_append(&text, "°. A margin of ");
        poise_words_number(&text, m->asked, 0);
        poise_text_append(&text, " mm is ");
        poise_words_number(&text, m->asked - width, 0);
        poise_text_append(&text, " mm more than there is: it would be tail-heavy. Ask for less");
        poise_text_append(&text, m->leg ? "." : ", or change the strap.");
        say(t, &text);
    }
}

static PoiseStatus explain_alone(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    for (size_t i = 0; i < t->goal_count; i++) {
        double by;
        bool proved;
        PoiseText text = {0};
        PoiseStatus status =
            poise_choices_short(c, NULL, 0, &t->goals[i], POISE_CHOOSE_ALL, picks, &by, &proved);
        if (status)
            return status;
        if (!(by > 0.0) || !proved)
            continue;
        poise_text_append(&text, "Out of reach");
        say_with(&text, " of ", c);
        poise_text_append(&text, ": ");
        poise_goal_say(&text, &t->goals[i]);
        poise_text_append(&text, ". At best ");
        poise_goal_say_short(&text, &t->goals[i], by);
        poise_text_append(&text, isnan(t->out->target_mass_g) ? "."
                                 : t->goals[i].kind == POISE_GOAL_MASS
                                     ? ", whatever becomes of the balance."
                                     : ", whatever it weighs.");
        say(t, &text);
    }
    return POISE_OK;
}

static PoiseStatus explain_pairs(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    for (size_t i = 0; i < t->goal_count; i++) {
        for (size_t k = i + 1; k < t->goal_count; k++) {
            double by;
            bool proved;
            PoiseText text = {0};
            PoiseStatus status = poise_choices_short(c, &t->goals[k], 1, &t->goals[i],
                                                     POISE_CHOOSE_ALL, picks, &by, &proved);
            if (status)
                return status;
            if (!(by > 0.0) || !proved)
                continue;
            poise_text_append(&text, "These two clash: ");
            poise_goal_say(&text, &t->goals[i]);
            poise_text_append(&text, ", and ");
            poise_goal_say(&text, &t->goals[k]);
            poise_text_append(&text, ". With the second met");
            say_with(&text, " by ", c);
            poise_text_append(&text, ", the first is at best ");
            poise_goal_say_short(&text, &t->goals[i], by);
            poise_text_append(&text, ".");
            say(t, &text);
        }
    }
    return POISE_OK;
}

/* Neither one nor two of the goals are to blame. */
static PoiseStatus explain_all(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    bool proved = true;
    PoiseText text = {0};
    PoiseStatus status = POISE_E_DOMAIN;
    if (c->group_count)
        status = poise_choices_solve(c, t->goals, t->goal_count, POISE_CHOOSE_ALL, SIZE_MAX, picks,
                                     &proved);
    if (status && (status != POISE_E_DOMAIN || !proved)) /* time that ran out proves nothing */
        return status == POISE_E_DOMAIN ? POISE_OK : status;
    poise_text_append(&text, status ? "Each two of the targets can be met together"
                                    : "All targets can be met together");
    say_with(&text, " by ", c);
    poise_text_append(&text,
                      status ? ", but not all of them." : ", but not in whole grams and percent.");
    say(t, &text);
    return POISE_OK;
}

PoiseStatus poise_remedy_explain(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    size_t before = t->out->conflict_count;
    explain_windows(t);
    PoiseStatus status = explain_alone(t, c, picks);
    if (!status && t->out->conflict_count == before)
        status = explain_pairs(t, c, picks);
    if (!status && t->out->conflict_count == before)
        status = explain_all(t, c, picks);
    return !status && t->out->failed ? POISE_E_MEMORY : status;
}
